/* The course of a night as SVG: what was wrong and what was called as ribbons, what was done as numbered
   lines, and the main quantities below on one time axis. Colours are those of the light theme; nothing is
   told by colour alone. */
#include "sim/debrief_parts.h"
#include "sim/markup.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WIDTH_PX    1040.0
#define LEFT_PX     190.0
#define RIGHT_PX    70.0
#define TOP_PX      14.0
#define RIBBON_PX   26.0
#define MARK_ROW_PX 34.0
#define PANEL_PX    96.0
#define GAP_PX      18.0
#define AXIS_PX     34.0
#define MARK_GAP_PX 17.0 /* between the middles of two numbers */
#define LABEL_PX    15.0 /* between two labels below each other */
#define PERCENT     100.0

enum { TICKS_WANTED = 9, SCALE_STEPS = 2, SMOOTH_POINTS = 3 };

static const char TEXT[] = "#12181d", QUIET[] = "#5a6873", LINE[] = "#c3ccd4", BAND[] = "#e4eaef";

/* One panel: a displayed quantity, or one or two of the truth in percent of the beginning. */
typedef struct PanelRow {
    const char *badge, *title, *colour;
    DisplayId shown;           /* DISPLAY_COUNT: the truth below */
    ObservableId truth, other; /* OBSERVABLE_COUNT: none */
    const char *other_colour;
    bool relative;
} PanelRow;

static const PanelRow PANELS[] = {
    {"L", "MAP, mmHg", "#9a4f00", DISPLAY_art_mean_mmhg, OBSERVABLE_COUNT, OBSERVABLE_COUNT, NULL, false},
    {"R", "CVP, mmHg", "#1f55b8", DISPLAY_cvp_mmhg, OBSERVABLE_COUNT, OBSERVABLE_COUNT, NULL, false},
    {"P", "Pump flow est., L/min", "#8f3364", DISPLAY_pump_flow_l_min, OBSERVABLE_COUNT, OBSERVABLE_COUNT,
     NULL, false},
    {"P", "Speed, 1/min", "#8f3364", DISPLAY_pump_rpm, OBSERVABLE_COUNT, OBSERVABLE_COUNT, NULL, false},
    {"L R", "Ventricles, % of the start", "#9a4f00", DISPLAY_COUNT, OBSERVABLE_lv_edv_ml,
     OBSERVABLE_rv_edv_ml, "#1f55b8", true},
    {"T", "Lactate, mmol/L", "#3c4a55", DISPLAY_COUNT, OBSERVABLE_lactate_mmol_l, OBSERVABLE_COUNT, NULL,
     false},
};

enum { PANEL_COUNT = sizeof PANELS / sizeof PANELS[0] };

typedef struct Plot {
    const Debrief *debrief;
    FILE *out;
    double until_s;
} Plot;

static double x_of(const Plot *p, double time_s) {
    return LEFT_PX + (WIDTH_PX - LEFT_PX - RIGHT_PX) * fmin(fmax(time_s / p->until_s, 0.0), 1.0);
}

static void text_at(const Plot *p, double x, double y, double size, const char *anchor, const char *colour,
                    const char *weight, const char *text) {
    fprintf(
        p->out,
        "<text x=\"%.1f\" y=\"%.1f\" font-size=\"%.0f\" text-anchor=\"%s\" fill=\"%s\" font-weight=\"%s\">",
        x, y, size, anchor, colour, weight);
    sim_markup_write(text, p->out);
    fputs("</text>\n", p->out);
}

/* A piece of a ribbon with its word, cut where it does not fit. */
static void ribbon(const Plot *p, double from_s, double to_s, double y, const char *fill, const char *ink,
                   const char *text) {
    double x0 = x_of(p, from_s), x1 = x_of(p, to_s), w = fmax(x1 - x0 - 1.0, 1.0);
    fprintf(p->out, "<g><title>");
    sim_markup_write(text, p->out);
    fprintf(p->out,
            "</title><rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\" "
            "stroke=\"%s\"/></g>\n",
            x0, y, w, RIBBON_PX - 6.0, fill, QUIET);
    char cut[DEBRIEF_LINE_MAX];
    int room = (int)((w - 8.0) / 7.2); /* letters of the size below */
    if (room < 3) return;
    bool fits = (int)strlen(text) <= room;
    snprintf(cut, sizeof cut, "%.*s%s", fits ? room : room - 1, text, fits ? "" : "\u2026");
    text_at(p, x0 + 5.0, y + 14.5, 13.0, "start", ink, "normal", cut);
}

static double draw_ribbons(const Plot *p, double y) {
    const Debrief *d = p->debrief;
    if (d->band_count > 0) {
        text_at(p, LEFT_PX - 10.0, y + 14.5, 13.0, "end", TEXT, "bold", "What was wrong");
        for (int i = 0; i < d->band_count; i++) {
            bool well = d->band[i].truth.diagnosis == DIAGNOSIS_well;
            ribbon(p, d->band[i].from_s, d->band[i].to_s, y, well ? "#ffffff" : "#d6dde3", TEXT,
                   sim_diagnoses_row(d->band[i].truth.diagnosis)->label);
        }
        y += RIBBON_PX;
    }
    const CallsState *calls = &d->recall->calls;
    if (calls->kept == 0) return y;
    text_at(p, LEFT_PX - 10.0, y + 14.5, 13.0, "end", TEXT, "bold", "What you called");
    for (int i = 0; i < calls->kept; i++) {
        static const char *const SIGN[] = {"\u2717", "~", "\u2713"}; /* wrong, the kind, right */
        const Call *call = &calls->call[i];
        double to_s = i + 1 < calls->kept ? calls->call[i + 1].time_s : p->until_s;
        char text[DEBRIEF_LINE_MAX];
        snprintf(text, sizeof text, "%s %s %d %%", SIGN[d->call_right[i]],
                 sim_diagnoses_row(call->diagnosis)->label, call->confidence_percent);
        ribbon(p, call->time_s, to_s, y, d->call_right[i] == 2 ? "#d9ece2" : "#f4e3d3", TEXT, text);
    }
    return y + RIBBON_PX;
}

/* Numbers of what was done, pushed apart where they would lie on each other; lines at the true times. */
static void draw_marks(const Plot *p, double y, double bottom) {
    const Debrief *d = p->debrief;
    double last = -INFINITY;
    for (int i = 0; i < d->mark_count; i++) {
        double x = x_of(p, d->mark[i].time_s), at = fmax(x, last + MARK_GAP_PX);
        char number[16];
        fprintf(p->out,
                "<path d=\"M%.1f %.1fL%.1f %.1fL%.1f %.1f\" fill=\"none\" stroke=\"%s\" stroke-dasharray=\"3 "
                "3\"/>\n",
                at, y + 8.0, x, y + 20.0, x, bottom, QUIET);
        fprintf(p->out, "<g><title>");
        sim_markup_write(d->mark[i].text, p->out);
        fprintf(p->out,
                "</title><circle cx=\"%.1f\" cy=\"%.1f\" r=\"8\" fill=\"#ffffff\" stroke=\"%s\"/></g>\n", at,
                y, TEXT);
        snprintf(number, sizeof number, "%d", i + 1);
        text_at(p, at, y + 4.0, 11.0, "middle", TEXT, "bold", number);
        last = at;
    }
}

/* The truth rides on the ventilator: the mean of a minute around a point. */
static double smooth_truth(const Recall *recall, ObservableId truth, int64_t i) {
    double sum = 0.0, count = 0.0;
    for (int64_t k = i - SMOOTH_POINTS; k <= i + SMOOTH_POINTS; k++) {
        if (k < 0 || k >= recall->point_count) continue;
        double value = model_observables_get(&recall->point[k].truth, truth);
        if (!isfinite(value)) continue;
        sum += value;
        count += 1.0;
    }
    return count > 0.0 ? sum / count : NAN;
}

static double read_point(const Plot *p, const PanelRow *row, ObservableId truth, int64_t i) {
    const RecallPoint *point = &p->debrief->recall->point[i];
    if (row->shown != DISPLAY_COUNT) return point->shown[row->shown];
    double value = smooth_truth(p->debrief->recall, truth, i);
    if (!row->relative) return value;
    return PERCENT * value / smooth_truth(p->debrief->recall, truth, 0);
}

typedef struct Range {
    double low, high;
} Range;

static Range find_range(const Plot *p, const PanelRow *row, const CaseTarget *target) {
    Range r = {INFINITY, -INFINITY};
    for (int64_t i = 0; i < p->debrief->recall->point_count; i++) {
        for (int k = 0; k < (row->other != OBSERVABLE_COUNT ? 2 : 1); k++) {
            double value = read_point(p, row, k == 0 ? row->truth : row->other, i);
            if (!isfinite(value)) continue;
            r.low = fmin(r.low, value);
            r.high = fmax(r.high, value);
        }
    }
    if (target != NULL && target->given) {
        r.low = fmin(r.low, target->low);
        if (isfinite(target->high) && target->high < 2.0 * fmax(r.high, 1.0))
            r.high = fmax(r.high, target->high);
    }
    if (r.low > r.high) return (Range){0.0, 1.0};
    double pad = fmax(0.08 * (r.high - r.low), 0.02 * fmax(fabs(r.high), 1e-3));
    return (Range){r.low - pad, r.high + pad};
}

static double y_of(Range r, double top, double value) {
    double y = top + PANEL_PX * (r.high - value) / (r.high - r.low);
    return fmin(fmax(y, top), top + PANEL_PX);
}

/* Returns where its last value is written; `other_y` is where another one stands (negative: none). */
static double draw_line(const Plot *p, const PanelRow *row, ObservableId truth, Range r, double top,
                        const char *colour, const char *dash, double other_y) {
    bool pen = false;
    double last = NAN;
    fprintf(p->out, "<path fill=\"none\" stroke=\"%s\" stroke-width=\"1.8\" stroke-dasharray=\"%s\" d=\"",
            colour, dash);
    for (int64_t i = 0; i < p->debrief->recall->point_count; i++) {
        double value = read_point(p, row, truth, i);
        if (isfinite(value)) {
            fprintf(p->out, "%c%.1f %.1f", pen ? 'L' : 'M', x_of(p, p->debrief->recall->point[i].time_s),
                    y_of(r, top, value));
            last = value;
        }
        pen = isfinite(value);
    }
    fputs("\"/>\n", p->out);
    if (!isfinite(last)) return other_y;
    double y = y_of(r, top, last) + 4.0;
    if (other_y >= 0.0 && fabs(y - other_y) < LABEL_PX) y = other_y + (y < other_y ? -LABEL_PX : LABEL_PX);
    char text[32];
    snprintf(text, sizeof text, "%.*f", fabs(last) < 10.0 ? 1 : 0, last);
    text_at(p, WIDTH_PX - RIGHT_PX + 8.0, y, 13.0, "start", colour, "bold", text);
    return y;
}

/* Times of alarms about this quantity, hatched along the top of its panel. */
static void draw_alarms(const Plot *p, const PanelRow *row, double top) {
    const Debrief *d = p->debrief;
    for (int i = 0; row->shown != DISPLAY_COUNT && i < d->alarm_count; i++) {
        AlarmId id = sim_alarms_find(d->alarm[i].key);
        if (id >= ALARM_COUNT || sim_alarms_row(id)->side == ALARM_SIDE_SIGN ||
            sim_alarms_row(id)->display != row->shown)
            continue;
        double x0 = x_of(p, d->alarm[i].from_s), x1 = x_of(p, d->alarm[i].to_s);
        fprintf(
            p->out,
            "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"6\" fill=\"url(#hatch)\" stroke=\"%s\"/>\n",
            x0, top, fmax(x1 - x0, 2.0), TEXT);
    }
}

static const CaseTarget *target_of(const Plot *p, const PanelRow *row) {
    return row->shown != DISPLAY_COUNT ? &p->debrief->recall->case_file->targets[row->shown] : NULL;
}

/* What lies under the marks: the wanted range and the frame. */
static void draw_ground(const Plot *p, const PanelRow *row, double top) {
    double x0 = LEFT_PX, x1 = WIDTH_PX - RIGHT_PX;
    const CaseTarget *target = target_of(p, row);
    Range r = find_range(p, row, target);
    if (target != NULL && target->given) {
        double high = y_of(r, top, fmin(target->high, r.high)), low = y_of(r, top, fmax(target->low, r.low));
        fprintf(p->out, "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\"/>\n", x0,
                high, x1 - x0, fmax(low - high, 0.0), BAND);
    }
    fprintf(p->out,
            "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"none\" stroke=\"%s\"/>\n", x0,
            top, x1 - x0, PANEL_PX, LINE);
}

static void draw_panel(const Plot *p, const PanelRow *row, double top) {
    double x0 = LEFT_PX;
    Range r = find_range(p, row, target_of(p, row));
    text_at(p, 8.0, top + 16.0, 13.0, "start", row->colour, "bold", row->badge);
    text_at(p, 8.0, top + 33.0, 13.0, "start", TEXT, "normal", row->title);
    for (int i = 0; i <= SCALE_STEPS; i++) {
        double value = r.low + (r.high - r.low) * i / SCALE_STEPS;
        char text[32];
        snprintf(text, sizeof text, "%.*f", r.high - r.low < 12.0 ? 1 : 0, value);
        text_at(p, x0 - 6.0,
                y_of(r, top, value) + (i == 0             ? 0.0
                                       : i == SCALE_STEPS ? 10.0
                                                          : 4.0),
                12.0, "end", QUIET, "normal", text);
    }
    draw_alarms(p, row, top);
    double y = draw_line(p, row, row->truth, r, top, row->colour, "none", -1.0);
    if (row->other != OBSERVABLE_COUNT) draw_line(p, row, row->other, r, top, row->other_colour, "6 3", y);
}

static void draw_axis(const Plot *p, double y) {
    static const double STEPS_S[] = {60, 300, 600, 900, 1800, 3600, 7200, 14400, 21600};
    double step = STEPS_S[0];
    for (size_t i = 0; i < sizeof STEPS_S / sizeof STEPS_S[0] && p->until_s / step > TICKS_WANTED; i++)
        step = STEPS_S[i];
    for (double t = 0.0; t <= p->until_s + 1.0; t += step) {
        char clock[16];
        text_at(p, x_of(p, t), y + 16.0, 13.0, "middle", QUIET, "normal", sim_debrief_clock(t, clock));
    }
}

void sim_debrief_write_course(const Debrief *debrief, FILE *out) {
    Plot p = {debrief, out, fmax(debrief->recall->night.reached_s, RECORDS_HISTORY_STEP_S)};
    int ribbons = (debrief->band_count > 0) + (debrief->recall->calls.kept > 0);
    double height = TOP_PX + ribbons * RIBBON_PX + MARK_ROW_PX + PANEL_COUNT * (PANEL_PX + GAP_PX) + AXIS_PX;
    fprintf(out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %.0f %.0f\" role=\"img\" "
            "aria-label=\"Course of the night\" font-family=\"Inter, 'DejaVu Sans', sans-serif\">\n"
            "<defs><pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">"
            "<rect width=\"6\" height=\"6\" fill=\"#ffd83d\"/><path d=\"M0 6L6 0\" "
            "stroke=\"#12181d\"/></pattern></defs>\n"
            "<rect width=\"100%%\" height=\"100%%\" fill=\"#ffffff\"/>\n",
            WIDTH_PX, height);
    double y = draw_ribbons(&p, TOP_PX) + MARK_ROW_PX;
    double bottom = y + PANEL_COUNT * (PANEL_PX + GAP_PX) - GAP_PX;
    for (int i = 0; i < PANEL_COUNT; i++)
        draw_ground(&p, &PANELS[i], y + i * (PANEL_PX + GAP_PX));
    draw_marks(&p, y - MARK_ROW_PX / 2.0 - 4.0, bottom);
    for (int i = 0; i < PANEL_COUNT; i++)
        draw_panel(&p, &PANELS[i], y + i * (PANEL_PX + GAP_PX));
    draw_axis(&p, bottom);
    fputs("</svg>\n", out);
}
