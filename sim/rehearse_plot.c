/* The courses of a rehearsal as SVG: one panel for each quantity on a common time axis, what was wrong as a
   ribbon above, first signs as lines; and varied patients as bands. Lines differ by colour, dashes and the
   sign at their end. */
#include "sim/markup.h"
#include "sim/firstsign.h"
#include "sim/rehearse_parts.h"
#include "sim/svg_plot.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WIDTH_PX  1040.0
#define LEFT_PX   190.0
#define RIGHT_PX  60.0
#define TOP_PX    10.0
#define RIBBON_PX 26.0
#define LEGEND_PX 24.0
#define MARK_PX   20.0
#define PANEL_PX  92.0
#define GAP_PX    16.0
#define AXIS_PX   30.0
#define LABEL_PX  13.0 /* least distance of two signs at the lines' ends */
#define NEAR_PX   64.0 /* words of two marks would lie on each other */
#define LETTER_PX 7.2
#define MINUTE_S  60.0

enum { STEPS_WANTED = 3, TICKS_WANTED = 10, CLOCK_MAX = 16, FEWEST_IN_BAND = 5, SIGN_MAX = 8 };

static const char TEXT[] = "#12181d", QUIET[] = "#5a6873", LINE[] = "#c3ccd4", BAND[] = "#d6dde3";

/* How the courses are drawn: nobody acts, and the plans by rank. */
static const struct {
    const char *colour, *dash;
} STYLES[CASE_RANK_COUNT + 1] = {
    [CASE_RANK_GOOD] = {"#1f55b8", "none"},
    [CASE_RANK_LATE] = {"#9a4f00", "8 3"},
    [CASE_RANK_WRONG] = {"#8f3364", "2 3"},
    [CASE_RANK_COUNT] = {"#12181d", "none"},
};

typedef struct Plot {
    FILE *out;
    double until_s;
} Plot;

static void clock_of(double time_s, char text[CLOCK_MAX]) {
    int minutes = (int)floor(time_s / MINUTE_S + 0.5);
    snprintf(text, CLOCK_MAX, "%d:%02d", minutes / 60 % 1000, minutes % 60);
}

static double x_of(const Plot *p, double time_s) {
    return LEFT_PX + (WIDTH_PX - LEFT_PX - RIGHT_PX) * fmin(fmax(time_s / p->until_s, 0.0), 1.0);
}

static void text_at(const Plot *p, double x, double y, const char *anchor, const char *colour,
                    const char *weight, const char *text) {
    fprintf(p->out,
            "<text x=\"%.1f\" y=\"%.1f\" font-size=\"13\" text-anchor=\"%s\" fill=\"%s\" font-weight=\"%s\">",
            x, y, anchor, colour, weight);
    sim_markup_write(text, p->out);
    fputs("</text>\n", p->out);
}

static void begin(FILE *out, double height, const char *label) {
    fprintf(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %.0f %.0f\" role=\"img\" aria-label=\"%s\" "
        "font-family=\"Inter, 'DejaVu Sans', sans-serif\">\n"
        "<rect width=\"100%%\" height=\"100%%\" fill=\"#ffffff\"/>\n",
        WIDTH_PX, height, label);
}

/* ---- panels ---- */

static double y_of(SvgScale scale, double top, double value) {
    double y = top + PANEL_PX * (scale.high - value) / (scale.high - scale.low);
    return fmin(fmax(y, top), top + PANEL_PX);
}

static void draw_frame(const Plot *p, RehearsePanel panel, SvgScale scale, double top) {
    const RehearsePanelRow *row = sim_rehearse_panel_row(panel);
    text_at(p, 8.0, top + 16.0, "start", TEXT, "bold", row->label);
    text_at(p, 8.0, top + 33.0, "start", QUIET, "normal", row->unit);
    int steps = (int)lround((scale.high - scale.low) / scale.step);
    for (int i = 0; i <= steps; i++) {
        double value = scale.low + i * scale.step, y = y_of(scale, top, value);
        char text[32];
        snprintf(text, sizeof text, "%.*f", scale.decimals, value);
        fprintf(p->out, "<path d=\"M%.1f %.1fH%.1f\" stroke=\"%s\"/>\n", LEFT_PX, y, WIDTH_PX - RIGHT_PX,
                LINE);
        text_at(p, LEFT_PX - 6.0, y + 4.0, "end", QUIET, "normal", text);
    }
}

static void draw_axis(const Plot *p, double y) {
    static const double STEPS_S[] = {300, 600, 900, 1800, 3600, 7200, 14400, 21600};
    size_t last = sizeof STEPS_S / sizeof STEPS_S[0] - 1, k = 0;
    while (k < last && p->until_s / STEPS_S[k] > TICKS_WANTED)
        k++;
    for (double t = 0.0; t <= p->until_s + 1.0; t += STEPS_S[k]) {
        char clock[CLOCK_MAX];
        clock_of(t, clock);
        fprintf(p->out, "<path d=\"M%.1f %.1fv5\" stroke=\"%s\"/>\n", x_of(p, t), y, QUIET);
        text_at(p, x_of(p, t), y + 19.0, "middle", QUIET, "normal", clock);
    }
}

static void widen(double value, double *low, double *high) {
    if (!isfinite(value)) return;
    *low = isfinite(*low) ? fmin(*low, value) : value;
    *high = isfinite(*high) ? fmax(*high, value) : value;
}

/* ---- courses ---- */

/* "U" for untouched, the plans by number. */
static void sign_of(int course, char text[SIGN_MAX]) {
    if (course == 0)
        snprintf(text, SIGN_MAX, "U");
    else
        snprintf(text, SIGN_MAX, "%d", course % 100);
}

static double draw_legend(const Plot *p, const Rehearsal *r, double y) {
    double x = LEFT_PX;
    for (int i = 0; i < r->course_count; i++) {
        char name[2 * CASE_ID_MAX], text[3 * CASE_ID_MAX], sign[SIGN_MAX];
        sim_rehearse_course_name(&r->course[i], name, sizeof name);
        sign_of(i, sign);
        snprintf(text, sizeof text, "%s  %s", sign, name);
        double width = 44.0 + LETTER_PX * (double)strlen(text);
        if (x > LEFT_PX && x + width > WIDTH_PX) {
            x = LEFT_PX;
            y += LEGEND_PX;
        }
        fprintf(p->out,
                "<path d=\"M%.1f %.1fh26\" stroke=\"%s\" stroke-width=\"2.4\" stroke-dasharray=\"%s\"/>\n", x,
                y + 9.0, STYLES[r->course[i].rank].colour, STYLES[r->course[i].rank].dash);
        text_at(p, x + 32.0, y + 14.0, "start", TEXT, "normal", text);
        x += width;
    }
    return y + LEGEND_PX;
}

/* What was wrong when nobody acted. */
static double draw_bands(const Plot *p, const RehearseCourse *c, double y) {
    if (c->band_count == 0) return y;
    text_at(p, LEFT_PX - 10.0, y + 14.5, "end", TEXT, "bold", "Wrong, untouched");
    for (int i = 0; i < c->band_count; i++) {
        const RehearseBand *band = &c->band[i];
        const char *label = sim_diagnoses_row(band->diagnosis)->label;
        double x0 = x_of(p, band->from_s), width = fmax(x_of(p, band->to_s) - x0 - 1.0, 1.0);
        fputs("<g><title>", p->out);
        sim_markup_write(label, p->out);
        fprintf(p->out,
                "</title><rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\" "
                "stroke=\"%s\"/></g>\n",
                x0, y, width, RIBBON_PX - 6.0, band->diagnosis == DIAGNOSIS_well ? "#ffffff" : BAND, QUIET);
        if (LETTER_PX * (double)strlen(label) < width - 8.0)
            text_at(p, x0 + 5.0, y + 14.5, "start", TEXT, "normal", label);
    }
    return y + RIBBON_PX;
}

/* First alarm, first sign in numbers and in the picture of the untouched course. */
static void draw_marks(const Plot *p, const RehearseFacts *f, double y, double bottom) {
    const struct {
        const char *text;
        double time_s;
    } marks[] = {{"numbers", f->number_s}, {"picture", f->picture_s}, {"alarm", f->alarm_s}};
    text_at(p, LEFT_PX - 10.0, y + 12.0, "end", TEXT, "bold", "First signs");
    double used_x[3];
    int level[3], count = 0;
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        if (marks[i].time_s < 0.0) continue;
        double x = x_of(p, marks[i].time_s);
        int free_level = 0;
        for (int k = 0; k < count; k++)
            if (fabs(used_x[k] - x) < NEAR_PX && level[k] >= free_level) free_level = level[k] + 1;
        used_x[count] = x;
        level[count++] = free_level;
        double at = y + 12.0 - free_level * LABEL_PX;
        fprintf(p->out, "<path d=\"M%.1f %.1fV%.1f\" stroke=\"%s\" stroke-dasharray=\"3 3\"/>\n", x, at,
                bottom, QUIET);
        text_at(p, x + 3.0, at, "start", TEXT, "normal", marks[i].text);
    }
}

static void draw_line(const Plot *p, const RehearseCourse *c, RehearsePanel panel, SvgScale scale,
                      double top) {
    bool pen = false;
    fprintf(p->out, "<path fill=\"none\" stroke=\"%s\" stroke-width=\"1.8\" stroke-dasharray=\"%s\" d=\"",
            STYLES[c->rank].colour, STYLES[c->rank].dash);
    for (int i = 0; i < c->points; i++) {
        double value = c->point[i].value[panel];
        if (isfinite(value))
            fprintf(p->out, "%c%.1f %.1f", pen ? 'L' : 'M', x_of(p, c->point[i].time_s),
                    y_of(scale, top, value));
        pen = isfinite(value);
    }
    fputs("\"/>\n", p->out);
}

/* Signs where the lines end, pushed apart as far as they share an end. */
static void draw_signs(const Plot *p, const Rehearsal *r, RehearsePanel panel, SvgScale scale, double top) {
    double at_x[REHEARSE_COURSES_MAX], at_y[REHEARSE_COURSES_MAX];
    int count = 0;
    for (int i = 0; i < r->course_count; i++) {
        const RehearseCourse *c = &r->course[i];
        int last = c->points - 1;
        while (last >= 0 && !isfinite(c->point[last].value[panel]))
            last--;
        if (last < 0) continue;
        double x = x_of(p, c->point[last].time_s) + 4.0,
               y = y_of(scale, top, c->point[last].value[panel]) + 4.0;
        for (int k = 0; k < count; k++)
            if (fabs(at_x[k] - x) < LABEL_PX && fabs(at_y[k] - y) < LABEL_PX) x = at_x[k] + LABEL_PX;
        at_x[count] = x;
        at_y[count++] = y;
        char sign[SIGN_MAX];
        sign_of(i, sign);
        text_at(p, x, y, "start", STYLES[c->rank].colour, "bold", sign);
    }
}

static bool panel_scale(const Rehearsal *r, RehearsePanel panel, SvgScale *scale) {
    double low = NAN, high = NAN;
    for (int i = 0; i < r->course_count; i++)
        for (int k = 0; k < r->course[i].points; k++)
            widen(r->course[i].point[k].value[panel], &low, &high);
    if (!isfinite(low)) return false;
    *scale = sim_svg_plot_scale(low, high, STEPS_WANTED);
    return true;
}

void sim_rehearse_draw_courses(const Rehearsal *r, FILE *out) {
    const Plot p = {out, fmax(r->case_file->length_s, REHEARSE_STEP_S)};
    SvgScale scale[REHEARSE_PANEL_COUNT];
    bool drawn[REHEARSE_PANEL_COUNT];
    int panels = 0;
    for (int i = 0; i < REHEARSE_PANEL_COUNT; i++)
        panels += drawn[i] = panel_scale(r, (RehearsePanel)i, &scale[i]);
    double head = TOP_PX + LEGEND_PX * (1 + r->course_count / 3) + RIBBON_PX + MARK_PX + 2.0 * GAP_PX;
    begin(out, head + panels * (PANEL_PX + GAP_PX) + AXIS_PX, "Courses of the case");
    double y = draw_legend(&p, r, TOP_PX);
    y = draw_bands(&p, &r->course[0], y) + 2.0 * GAP_PX;
    draw_marks(&p, &r->course[0].facts, y, y + MARK_PX + panels * (PANEL_PX + GAP_PX));
    y += MARK_PX;
    for (int i = 0; i < REHEARSE_PANEL_COUNT; i++) {
        if (!drawn[i]) continue;
        draw_frame(&p, (RehearsePanel)i, scale[i], y);
        for (int k = 0; k < r->course_count; k++)
            draw_line(&p, &r->course[k], (RehearsePanel)i, scale[i], y);
        draw_signs(&p, r, (RehearsePanel)i, scale[i], y);
        y += PANEL_PX + GAP_PX;
    }
    draw_axis(&p, y - GAP_PX);
    fputs("</svg>\n", out);
}

/* ---- varied patients ---- */

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* 5th, 50th and 95th percentile of those whose night still goes on at point `at`; false: too few. */
static bool band_at(const RehearseRange *range, RehearsePanel panel, int at, double band[3]) {
    double value[REHEARSE_PATIENTS_MAX];
    int count = 0;
    for (int i = 0; i < range->wanted; i++) {
        const RehearseCourse *c = &range->course[i];
        if (c->played && at < c->points && isfinite(c->point[at].value[panel]))
            value[count++] = c->point[at].value[panel];
    }
    if (count < FEWEST_IN_BAND || 2 * count < range->played) return false;
    qsort(value, (size_t)count, sizeof value[0], by_size);
    band[0] = value[lround(0.05 * (count - 1))];
    band[1] = value[lround(0.5 * (count - 1))];
    band[2] = value[lround(0.95 * (count - 1))];
    return true;
}

static void draw_range(const Plot *p, const RehearseRange *range, RehearsePanel panel, SvgScale scale,
                       double top) {
    double band[3];
    int last = 0;
    while (band_at(range, panel, last, band))
        last++;
    if (last < 2) return;
    const char *colour = STYLES[range->rank].colour;
    fprintf(p->out, "<path fill=\"%s\" fill-opacity=\"0.16\" stroke=\"%s\" stroke-width=\"0.6\" d=\"", colour,
            colour);
    for (int pass = 0; pass < 2; pass++) {
        for (int k = 0; k < last; k++) {
            int at = pass == 0 ? k : last - 1 - k;
            if (!band_at(range, panel, at, band)) continue;
            fprintf(p->out, "%c%.1f %.1f", pass == 0 && k == 0 ? 'M' : 'L',
                    x_of(p, (at + 1) * REHEARSE_STEP_S), y_of(scale, top, pass == 0 ? band[2] : band[0]));
        }
    }
    fprintf(p->out,
            "Z\"/>\n<path fill=\"none\" stroke=\"%s\" stroke-width=\"2\" stroke-dasharray=\"%s\" d=\"",
            colour, range->rank == CASE_RANK_COUNT ? "none" : "8 3");
    for (int k = 0; k < last; k++) {
        if (band_at(range, panel, k, band))
            fprintf(p->out, "%c%.1f %.1f", k == 0 ? 'M' : 'L', x_of(p, (k + 1) * REHEARSE_STEP_S),
                    y_of(scale, top, band[1]));
    }
    fputs("\"/>\n", p->out);
    (void)band_at(range, panel, last - 1, band);
    text_at(p, x_of(p, last * REHEARSE_STEP_S) + 4.0, y_of(scale, top, band[1]) + 4.0, "start", colour,
            "bold", range->rank == CASE_RANK_COUNT ? "U" : "P");
}

static bool range_scale(const Rehearsal *r, RehearsePanel panel, SvgScale *scale) {
    double low = NAN, high = NAN, band[3];
    for (int i = 0; i < r->range_count; i++) {
        for (int k = 0; band_at(&r->range[i], panel, k, band); k++) {
            widen(band[0], &low, &high);
            widen(band[2], &low, &high);
        }
    }
    if (!isfinite(low)) return false;
    *scale = sim_svg_plot_scale(low, high, STEPS_WANTED);
    return true;
}

void sim_rehearse_draw_ranges(const Rehearsal *r, FILE *out) {
    const Plot p = {out, fmax(r->case_file->length_s, REHEARSE_STEP_S)};
    SvgScale scale[REHEARSE_PANEL_COUNT];
    bool drawn[REHEARSE_PANEL_COUNT];
    int panels = 0;
    for (int i = 0; i < REHEARSE_PANEL_COUNT; i++)
        panels += drawn[i] = range_scale(r, (RehearsePanel)i, &scale[i]);
    begin(out, TOP_PX + panels * (PANEL_PX + GAP_PX) + AXIS_PX, "Varied patients");
    double y = TOP_PX;
    for (int i = 0; i < REHEARSE_PANEL_COUNT; i++) {
        if (!drawn[i]) continue;
        draw_frame(&p, (RehearsePanel)i, scale[i], y);
        for (int k = 0; k < r->range_count; k++)
            draw_range(&p, &r->range[k], (RehearsePanel)i, scale[i], y);
        y += PANEL_PX + GAP_PX;
    }
    draw_axis(&p, y - GAP_PX);
    fputs("</svg>\n", out);
}
