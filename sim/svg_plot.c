/* Small line plots as SVG: panels that share an axis, with direct labels, markers and honest gaps. */
#include "sim/svg_plot.h"

#include "sim/csv.h"
#include "sim/markup.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Layout in px at 96 px per inch; three columns fill a landscape page. */
enum {
    PANEL_WIDTH = 360,
    PANEL_HEIGHT = 250,
    MARGIN_LEFT = 58,
    MARGIN_RIGHT = 84, /* room for the labels at the lines' ends */
    MARGIN_TOP = 34,
    MARGIN_BOTTOM = 40,
    HEADER_HEIGHT = 74,
    FOOTER_HEIGHT = 34,
    EDGE = 20,
    LABEL_GAP = 14, /* least distance between two labels at the lines' ends */
    STEPS_WANTED = 5,
    NUMBER_MAX = 40
};

typedef struct StyleRow {
    const char *colour; /* at least 4.5:1 on white */
    const char *marker; /* path around 0,0 */
} StyleRow;

static const StyleRow STYLES[SVG_STYLE_COUNT] = {
    [SVG_LEFT] = {"#a34a00", "M-3.5-3.5h7v7h-7z"},
    [SVG_RIGHT] = {"#1b5aa6", "M0-4.5L4.2 3.2h-8.4z"},
    [SVG_PUMP] = {"#a12a68", "M0-4.6L4.6 0 0 4.6-4.6 0z"},
    [SVG_NEUTRAL] = {"#3c4650", "M-3.6 0a3.6 3.6 0 1 0 7.2 0a3.6 3.6 0 1 0-7.2 0z"},
};

static const double NEARLY_ZERO = 0.02; /* of the highest value */

/* Where one panel lies, and its two scales. */
typedef struct Frame {
    double left, top, width, height; /* of the plotting area, px */
    SvgScale x, y;
} Frame;

SvgScale sim_svg_plot_scale(double low, double high, int wanted) {
    if (!(high > low)) {
        /* all the same: a band around it, or from 0 to 1 for nothing at all */
        double middle = isfinite(low) ? low : 0.0;
        double half = fabs(middle) * 0.1;
        low = middle - half;
        high = half > 0.0 ? middle + half : 1.0;
    }
    double rough = (high - low) / wanted;
    double power = pow(10.0, floor(log10(rough)));
    double ratio = rough / power;
    double step = (ratio <= 1.0 ? 1.0 : ratio <= 2.0 ? 2.0 : ratio <= 5.0 ? 5.0 : 10.0) * power;
    double slack = step * 1e-9; /* rounding of the division only */
    SvgScale scale = {.step = step,
                      .low = floor((low + slack) / step) * step,
                      .high = ceil((high - slack) / step) * step,
                      .decimals = 0};
    double places = -floor(log10(step) + 1e-9);
    if (places > 0.0) scale.decimals = (int)places;
    return scale;
}

/* One number of a coordinate, two decimals. */
static void write_px(double px, FILE *out) {
    char text[NUMBER_MAX];
    sim_csv_format(text, sizeof text, px, 2);
    fputs(text, out);
}

static void write_text(double x, double y, const char *class_name, const char *anchor, const char *text,
                       FILE *out) {
    fputs("<text x=\"", out);
    write_px(x, out);
    fputs("\" y=\"", out);
    write_px(y, out);
    fprintf(out, "\" class=\"%s\" text-anchor=\"%s\">", class_name, anchor);
    sim_markup_write(text, out);
    fputs("</text>\n", out);
}

static void write_line(double x1, double y1, double x2, double y2, const char *class_name, FILE *out) {
    fprintf(out, "<path class=\"%s\" d=\"M", class_name);
    write_px(x1, out);
    fputc(' ', out);
    write_px(y1, out);
    fputs("L", out);
    write_px(x2, out);
    fputc(' ', out);
    write_px(y2, out);
    fputs("\"/>\n", out);
}

static double place_x(const Frame *frame, double x) {
    return frame->left + (x - frame->x.low) / (frame->x.high - frame->x.low) * frame->width;
}

static double place_y(const Frame *frame, double y) {
    return frame->top + frame->height - (y - frame->y.low) / (frame->y.high - frame->y.low) * frame->height;
}

static bool is_point(const SvgSeries *series, size_t i) {
    return isfinite(series->x[i]) && isfinite(series->y[i]);
}

/* Widest range of x or y over one panel; false without a finite point. */
static bool find_range(const SvgPanel *panel, bool of_x, double *low, double *high) {
    bool any = false;
    for (size_t s = 0; s < panel->series_count; s++) {
        const SvgSeries *series = &panel->series[s];
        for (size_t i = 0; i < series->count; i++) {
            if (!is_point(series, i)) continue;
            double value = of_x ? series->x[i] : series->y[i];
            *low = !any || value < *low ? value : *low;
            *high = !any || value > *high ? value : *high;
            any = true;
        }
    }
    return any;
}

static void write_axes(const Frame *frame, FILE *out) {
    char text[NUMBER_MAX];
    int rows = (int)lround((frame->y.high - frame->y.low) / frame->y.step);
    for (int i = 0; i <= rows; i++) {
        double value = frame->y.low + i * frame->y.step;
        double y = place_y(frame, value);
        write_line(frame->left, y, frame->left + frame->width, y, "grid", out);
        sim_csv_format(text, sizeof text, value, frame->y.decimals);
        write_text(frame->left - 6, y + 4, "tick", "end", text, out);
    }
    int marks = (int)lround((frame->x.high - frame->x.low) / frame->x.step);
    for (int i = 0; i <= marks; i++) {
        double value = frame->x.low + i * frame->x.step;
        double x = place_x(frame, value), bottom = frame->top + frame->height;
        write_line(x, bottom, x, bottom + 4, "axis", out);
        sim_csv_format(text, sizeof text, value, frame->x.decimals);
        write_text(x, bottom + 17, "tick", "middle", text, out);
    }
    write_line(frame->left, frame->top + frame->height, frame->left + frame->width,
               frame->top + frame->height, "axis", out);
}

static void write_series(const Frame *frame, const SvgSeries *series, FILE *out) {
    const StyleRow *style = &STYLES[series->style];
    fprintf(out, "<path class=\"curve\" stroke=\"%s\" d=\"", style->colour);
    bool pen_down = false;
    for (size_t i = 0; i < series->count; i++) {
        if (!is_point(series, i)) {
            pen_down = false;
            continue;
        }
        fputc(pen_down ? 'L' : 'M', out);
        write_px(place_x(frame, series->x[i]), out);
        fputc(' ', out);
        write_px(place_y(frame, series->y[i]), out);
        pen_down = true;
    }
    fputs("\"/>\n", out);
    for (size_t i = 0; i < series->count; i++) {
        if (!is_point(series, i)) continue;
        fprintf(out, "<path fill=\"%s\" transform=\"translate(", style->colour);
        write_px(place_x(frame, series->x[i]), out);
        fputc(' ', out);
        write_px(place_y(frame, series->y[i]), out);
        fprintf(out, ")\" d=\"%s\"/>\n", style->marker);
    }
}

/* Labels at the lines' ends, pushed apart so that they stay readable. */
static void write_labels(const Frame *frame, const SvgPanel *panel, FILE *out) {
    double at[SVG_PLOT_SERIES_MAX];
    size_t order[SVG_PLOT_SERIES_MAX], count = 0;
    for (size_t s = 0; s < panel->series_count; s++) {
        const SvgSeries *series = &panel->series[s];
        size_t last = series->count;
        while (last > 0 && !is_point(series, last - 1))
            last--;
        if (last == 0) continue;
        at[s] = place_y(frame, series->y[last - 1]);
        size_t k = count++;
        for (; k > 0 && at[order[k - 1]] > at[s]; k--)
            order[k] = order[k - 1];
        order[k] = s;
    }
    for (size_t k = 1; k < count; k++)
        if (at[order[k]] < at[order[k - 1]] + LABEL_GAP) at[order[k]] = at[order[k - 1]] + LABEL_GAP;
    for (size_t k = 0; k < count; k++) {
        const SvgSeries *series = &panel->series[order[k]];
        fprintf(out, "<g fill=\"%s\">", STYLES[series->style].colour);
        write_text(frame->left + frame->width + 8, at[order[k]] + 4, "label", "start", series->name, out);
        fputs("</g>\n", out);
    }
}

static void write_panel(const SvgPlot *plot, const SvgPanel *panel, double left, double top, FILE *out) {
    Frame frame = {.left = left + MARGIN_LEFT,
                   .top = top + MARGIN_TOP,
                   .width = PANEL_WIDTH - MARGIN_LEFT - MARGIN_RIGHT,
                   .height = PANEL_HEIGHT - MARGIN_TOP - MARGIN_BOTTOM};
    write_text(frame.left, frame.top - 12, "panel", "start", panel->title, out);
    double x_low = 0.0, x_high = 0.0, y_low = 0.0, y_high = 0.0;
    if (!find_range(panel, true, &x_low, &x_high)) {
        write_text(frame.left + frame.width / 2, frame.top + frame.height / 2, "tick", "middle", "no data",
                   out);
        return;
    }
    find_range(panel, false, &y_low, &y_high);
    if (y_low < 0.0 && y_low > -NEARLY_ZERO * y_high)
        y_low = 0.0; /* a leak of a few mL needs no axis below zero */
    frame.x = sim_svg_plot_scale(x_low, x_high, STEPS_WANTED - 1);
    frame.y = sim_svg_plot_scale(y_low, y_high, STEPS_WANTED);
    write_axes(&frame, out);
    if (plot->mark_text != NULL && plot->mark_x >= frame.x.low && plot->mark_x <= frame.x.high) {
        double x = place_x(&frame, plot->mark_x);
        write_line(x, frame.top, x, frame.top + frame.height, "mark", out);
        write_text(x - 4, frame.top + 10, "tick", "end", plot->mark_text, out);
    }
    for (size_t s = 0; s < panel->series_count; s++)
        write_series(&frame, &panel->series[s], out);
    write_labels(&frame, panel, out);
    write_text(frame.left + frame.width / 2, frame.top + frame.height + 34, "tick", "middle", plot->x_title,
               out);
}

void sim_svg_plot_write(const SvgPlot *plot, FILE *out) {
    int columns = plot->columns > 0 ? plot->columns : 1;
    int rows = ((int)plot->panel_count + columns - 1) / columns;
    int width = 2 * EDGE + columns * PANEL_WIDTH;
    int height = HEADER_HEIGHT + rows * PANEL_HEIGHT + FOOTER_HEIGHT;
    fprintf(out,
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" "
            "role=\"img\" font-family=\"Inter, DejaVu Sans, sans-serif\">\n<title>",
            width, height, width, height);
    sim_markup_write(plot->title, out);
    fputs("</title>\n<desc>", out);
    sim_markup_write(plot->subtitle, out);
    fputs("</desc>\n<style>"
          ".head{font-size:20px;font-weight:600;fill:#1c2329}.sub{font-size:13px;fill:#3c4650}"
          ".panel{font-size:13px;font-weight:600;fill:#1c2329}.tick{font-size:11px;fill:#3c4650}"
          ".label{font-size:12px}.grid{stroke:#dfe4e8;stroke-width:1}.axis{stroke:#7c8790;stroke-width:1}"
          ".mark{stroke:#3c4650;stroke-width:1;stroke-dasharray:4 4}.curve{fill:none;stroke-width:2}"
          "</style>\n",
          out);
    fprintf(out, "<rect width=\"%d\" height=\"%d\" fill=\"#ffffff\"/>\n", width, height);
    write_text(EDGE, 32, "head", "start", plot->title, out);
    write_text(EDGE, 54, "sub", "start", plot->subtitle, out);
    for (size_t p = 0; p < plot->panel_count; p++) {
        int column = (int)p % columns, row = (int)p / columns;
        write_panel(plot, &plot->panels[p], EDGE + column * PANEL_WIDTH, HEADER_HEIGHT + row * PANEL_HEIGHT,
                    out);
    }
    if (plot->footer != NULL) write_text(EDGE, height - 12, "tick", "start", plot->footer, out);
    fputs("</svg>\n", out);
}
