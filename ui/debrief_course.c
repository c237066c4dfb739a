/* The course of the night: what was wrong and what was called as ribbons, what was done as numbered marks,
   the main quantities stacked on one time axis with targets and alarms, a cursor with its values, and the
   course as it might have been. */
#include "ui/alarm_strip.h"
#include "ui/debrief.h"
#include "ui/tiles.h"
#include "ui/units.h"

#include <math.h>
#include <stdio.h>

#define TICKS_PX    52.0
#define VALUES_PX   124.0
#define LEGEND_PX   26.0
#define RIBBON_PX   26.0
#define MARKS_PX    34.0
#define AXIS_PX     30.0
#define MARK_R_PX   10.5
#define ALARM_PX    7.0
#define GAP_PX      8.0
#define LEAST_PX    84.0 /* of a plot: fewer plots where there is less room */
#define LINE_PX     2.0
#define TICK_ROOM   84.0
#define PERCENT     100.0
#define SMOOTH      3 /* points to either side: the truth rides on the ventilator, what is shown flickers */
#define SCALE_STEPS 3.0

/* One plot: a displayed quantity, or one of the truth, perhaps in percent of the beginning. */
typedef struct PlotRow {
    const char *name;
    Side side;
    DisplayId shown;    /* DISPLAY_COUNT: the truth */
    ObservableId truth; /* of the course as it might have been, and of what is not shown */
    bool relative;
} PlotRow;

static const PlotRow PLOTS[] = {
    {"MAP", SIDE_LEFT, DISPLAY_art_mean_mmhg, OBSERVABLE_art_mean_mmhg, false},
    {"CVP", SIDE_RIGHT, DISPLAY_cvp_mmhg, OBSERVABLE_cvp_mmhg, false},
    {"Pump flow", SIDE_PUMP, DISPLAY_pump_flow_l_min, OBSERVABLE_pump_flow_shown_l_min, false},
    {"LV size", SIDE_LEFT, DISPLAY_COUNT, OBSERVABLE_lv_edv_ml, true},
    {"RV size", SIDE_RIGHT, DISPLAY_COUNT, OBSERVABLE_rv_edv_ml, true},
    {"Lactate", SIDE_TISSUE, DISPLAY_COUNT, OBSERVABLE_lactate_mmol_l, false},
    {"Speed", SIDE_PUMP, DISPLAY_pump_rpm, OBSERVABLE_pump_rpm, false},
};

enum { PLOT_COUNT = sizeof PLOTS / sizeof PLOTS[0] };

/* Order in which plots are left out where there is little room. */
static const int LEAVE_OUT[] = {6, 4, 5, 3};

typedef struct Course {
    const DebriefDraw *d;
    const Debrief *b;
    const RerunCourse *other; /* NULL: none */
    Rect panel;
    double left, right, top, bottom; /* of the plots */
    double end_s, height;
    int plots, plot[PLOT_COUNT];
} Course;

typedef struct Range {
    double low, high;
} Range;

static double x_of(const Course *c, double time_s) {
    return c->left + (c->right - c->left) * fmin(fmax(time_s / c->end_s, 0.0), 1.0);
}

static bool left_out(int plot, int how_many) {
    for (int i = 0; i < how_many; i++) {
        if (LEAVE_OUT[i] == plot) return true;
    }
    return false;
}

static Course lay_out(const DebriefDraw *d, Rect room) {
    const DebriefState *s = d->state;
    Course c = {.d = d, .b = s->debrief, .panel = room};
    if (s->page == DEBRIEF_WHATIF && s->whatif.job != NULL && s->whatif.news.course_here && !s->whatif.stale)
        c.other = sim_whatif_job_other(s->whatif.job);
    c.end_s = ui_debrief_end_s(s);
    c.left = room.x + TICKS_PX;
    c.right = room.x + room.w - VALUES_PX;
    int ribbons = (c.b->band_count > 0) + (c.b->recall->calls.kept > 0);
    c.top = room.y + LEGEND_PX + ribbons * RIBBON_PX + MARKS_PX;
    c.bottom = room.y + room.h - AXIS_PX;
    int fit = (int)((c.bottom - c.top) / LEAST_PX), without = PLOT_COUNT - (fit < 1 ? 1 : fit);
    int most = (int)(sizeof LEAVE_OUT / sizeof LEAVE_OUT[0]);
    without = without < 1 ? 1 : without > most ? most : without;
    for (int i = 0; i < PLOT_COUNT; i++) {
        if (!left_out(i, without)) c.plot[c.plots++] = i;
    }
    c.height = floor((c.bottom - c.top) / c.plots);
    return c;
}

/* ---- values ---- */

static double mean_around(const RecallPoint *point, int64_t count, const PlotRow *row, int64_t i) {
    double sum = 0.0, known = 0.0;
    for (int64_t k = i - SMOOTH; k <= i + SMOOTH; k++) {
        double value = k < 0 || k >= count           ? NAN
                       : row->shown != DISPLAY_COUNT ? point[k].shown[row->shown]
                                                     : model_observables_get(&point[k].truth, row->truth);
        if (!isfinite(value)) continue;
        sum += value;
        known += 1.0;
    }
    return known > 0.0 ? sum / known : NAN;
}

/* Value `i` of a course's points as it is read: what was shown, or the truth. */
static double value_at(const Course *c, const PlotRow *row, const RecallPoint *point, int64_t count,
                       int64_t i) {
    if (i < 0 || i >= count) return NAN;
    if (row->shown != DISPLAY_COUNT) return point[i].shown[row->shown];
    const Recall *r = c->b->recall;
    double value = mean_around(point, count, row, i);
    return row->relative ? PERCENT * value / mean_around(r->point, r->point_count, row, 0) : value;
}

static Range range_of(const Course *c, const PlotRow *row) {
    const Recall *r = c->b->recall;
    Range range = {INFINITY, -INFINITY};
    int64_t step = 1 + r->point_count / 1500;
    for (int which = 0; which < (c->other != NULL ? 2 : 1); which++) {
        const RecallPoint *point = which == 0 ? r->point : c->other->point;
        int64_t count = which == 0 ? r->point_count : c->other->observed;
        for (int64_t i = 0; i < count; i += step) {
            double value = value_at(c, row, point, count, i);
            if (!isfinite(value)) continue;
            range.low = fmin(range.low, value);
            range.high = fmax(range.high, value);
        }
    }
    const CaseTarget *target = row->shown != DISPLAY_COUNT ? &r->case_file->targets[row->shown] : NULL;
    if (target != NULL && target->given) {
        range.low = fmin(range.low, target->low);
        if (target->high < 2.0 * fmax(range.high, 1.0)) range.high = fmax(range.high, target->high);
    }
    if (range.low > range.high) return (Range){0.0, 1.0};
    double pad = fmax(0.08 * (range.high - range.low), 0.02 * fmax(fabs(range.high), 1e-3));
    return (Range){range.low - pad, range.high + pad};
}

static double y_of(Range range, Rect r, double value) {
    double y = r.y + r.h * (range.high - value) / (range.high - range.low);
    return fmin(fmax(y, r.y), r.y + r.h);
}

/* ---- one plot ---- */

static ShownUnit unit_of(const Course *c, const PlotRow *row) {
    if (row->relative) return (ShownUnit){"%", 1.0, 0};
    if (row->shown == DISPLAY_COUNT)
        return ui_units_shown(c->d->ui->settings, model_observables_row(row->truth)->key,
                              model_observables_row(row->truth)->unit);
    const DisplayRow *shown = sim_instruments_display_row(row->shown);
    return ui_units_shown(c->d->ui->settings, shown->key, shown->unit);
}

static double round_step(double least) {
    double power = pow(10.0, floor(log10(least)));
    static const double STEPS[] = {1.0, 2.0, 5.0};
    for (int i = 0; i < 3; i++) {
        if (STEPS[i] * power >= least * (1.0 - 1e-9)) return STEPS[i] * power;
    }
    return 10.0 * power;
}

static void draw_scale(const Course *c, const PlotRow *row, Range range, Rect r) {
    const Theme *t = c->d->ui->theme;
    double factor = unit_of(c, row).factor, low = range.low * factor, high = range.high * factor;
    double step = round_step((high - low) / SCALE_STEPS);
    int decimals = step < 0.099 ? 2 : step < 0.99 ? 1 : 0;
    for (double v = ceil(low / step) * step; v <= high; v += step) {
        char text[TEXT_SHORT];
        double y = floor(y_of(range, r, v / factor)) + 0.5;
        ui_draw_line(c->d->ui->list, c->left, y, c->right, y, ui_draw_solid(t->hairline, 1.0));
        ui_tiles_format(text, sizeof text, fabs(v) < 1e-9 * step ? 0.0 : v, decimals);
        if (y > r.y + 8.0 && y < r.y + r.h - 4.0)
            ui_draw_text(c->d->ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, c->left - 8.0,
                         y + 5.5, text);
    }
}

static void draw_target(const Course *c, const PlotRow *row, Range range, Rect r) {
    const CaseTarget *target =
        row->shown != DISPLAY_COUNT ? &c->b->recall->case_file->targets[row->shown] : NULL;
    if (target == NULL || !target->given) return;
    double high = y_of(range, r, fmin(target->high, range.high)),
           low = y_of(range, r, fmax(target->low, range.low));
    ui_draw_rect(c->d->ui->list, (Rect){c->left, high, c->right - c->left, fmax(low - high, 0.0)}, 0.0,
                 ui_colour_alpha(c->d->ui->theme->band, 0.22));
}

/* A curve: every point, or where points lie closer than pixels the lowest and highest of each. */
static void draw_curve(const Course *c, const PlotRow *row, Range range, Rect r, const RecallPoint *point,
                       int64_t count, double from_s, StrokeStyle style) {
    DrawList *list = c->d->ui->list;
    bool down = false;
    double px = -1e9, low = 0.0, high = 0.0;
    const Recall *night = c->b->recall;
    double share = row->relative ? PERCENT / mean_around(night->point, night->point_count, row, 0) : 1.0;
    ui_draw_path(list);
    for (int64_t i = 0; i < count; i++) {
        double value = point[i].time_s < from_s || !isfinite(value_at(c, row, point, count, i))
                           ? NAN
                           : share * mean_around(point, count, row, i);
        if (!isfinite(value)) {
            down = false;
            continue;
        }
        double x = x_of(c, point[i].time_s), y = y_of(range, r, value);
        bool fresh = x - px >= 1.0;
        if (down && !fresh && y >= low && y <= high) continue;
        low = fresh ? y : fmin(low, y);
        high = fresh ? y : fmax(high, y);
        px = fresh ? x : px;
        if (down)
            ui_draw_to(list, x, y);
        else
            ui_draw_move(list, x, y);
        down = true;
    }
    ui_draw_stroke(list, style);
}

static void draw_alarms(const Course *c, const PlotRow *row, Rect r) {
    for (int i = 0; row->shown != DISPLAY_COUNT && i < c->b->alarm_count; i++) {
        AlarmId id = sim_alarms_find(c->b->alarm[i].key);
        if (id >= ALARM_COUNT || sim_alarms_row(id)->side == ALARM_SIDE_SIGN ||
            sim_alarms_row(id)->display != row->shown)
            continue;
        Colour colour = ui_theme_alarm_text(c->d->ui->theme, (int)sim_alarms_row(id)->priority);
        double x0 = x_of(c, c->b->alarm[i].from_s), x1 = x_of(c, c->b->alarm[i].to_s);
        Rect span = {x0, r.y + 1.0, fmax(x1 - x0, 3.0), ALARM_PX};
        ui_draw_rect(c->d->ui->list, span, 0.0, ui_colour_alpha(colour, 0.25));
        ui_draw_path(c->d->ui->list);
        ui_draw_round(c->d->ui->list, span, 0.0);
        ui_draw_pattern(c->d->ui->list, (PatternStyle){PATTERN_HATCH, colour, 6.0, 1.5});
        ui_draw_line(c->d->ui->list, x0, span.y, x0, span.y + ALARM_PX + 3.0, ui_draw_solid(colour, 2.0));
    }
}

/* Number of the last point at or before time_s; -1: none. */
static int64_t point_at(const RecallPoint *point, int64_t count, double time_s) {
    int64_t low = 0, high = count;
    while (low < high) {
        int64_t middle = (low + high) / 2;
        if (point[middle].time_s <= time_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low - 1;
}

/* A number and its unit at the right. */
static void draw_number(const Course *c, const PlotRow *row, double value, double y, bool strong) {
    const Theme *t = c->d->ui->theme;
    ShownUnit unit = unit_of(c, row);
    char text[TEXT_SHORT];
    int decimals = row->shown != DISPLAY_COUNT ? sim_instruments_display_row(row->shown)->decimals : 1;
    FontFace face = strong ? FACE_DIGITS_STRONG : FACE_DIGITS;
    double x = c->right + 10.0, size = strong ? TYPE_TITLE : TYPE_NOTE;
    ui_tiles_format(text, sizeof text, value * unit.factor,
                    row->relative ? 0 : decimals + unit.more_decimals);
    ui_draw_text(c->d->ui->list, face, size, ALIGN_LEFT, t->text1, x, y, text);
    x += ui_draw_text_width(c->d->ui->list, face, size, text) + 8.0;
    if (strong)
        ui_draw_text_fit(c->d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y,
                         c->panel.x + c->panel.w - x, unit.name);
    else
        ui_draw_text_fit(c->d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y,
                         c->panel.x + c->panel.w - x, "what if");
}

/* The plot's name and the values at the cursor, the night's above the other's. */
static void draw_values(const Course *c, const PlotRow *row, Range range, Rect r) {
    const Recall *night = c->b->recall;
    const Theme *t = c->d->ui->theme;
    double at_s = c->d->state->cursor_s, x = x_of(c, at_s), y = r.y + 50.0;
    ui_widgets_badge(c->d->ui->list, t, c->right + 10.0, r.y + 4.0, row->side);
    ui_draw_text_fit(c->d->ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, c->right + 38.0,
                     r.y + 21.0, c->panel.x + c->panel.w - c->right - 38.0, row->name);
    double value =
        value_at(c, row, night->point, night->point_count, point_at(night->point, night->point_count, at_s));
    if (isfinite(value) && at_s <= night->night.reached_s + RECORDS_HISTORY_STEP_S) {
        ui_draw_circle(c->d->ui->list, x, y_of(range, r, value), 4.5, t->side[row->side]);
        draw_number(c, row, value, y, true);
    }
    if (c->other == NULL || at_s < c->other->from_s) return;
    value = value_at(c, row, c->other->point, c->other->observed,
                     point_at(c->other->point, c->other->observed, at_s));
    if (!isfinite(value) || at_s > c->other->reached_s + RECORDS_HISTORY_STEP_S) return;
    ui_draw_ring(c->d->ui->list, x, y_of(range, r, value), 4.5, ui_draw_solid(t->text1, 2.0));
    draw_number(c, row, value, y + 22.0, false);
}

static void draw_plot(const Course *c, int i) {
    const PlotRow *row = &PLOTS[c->plot[i]];
    const Theme *t = c->d->ui->theme;
    const Recall *night = c->b->recall;
    Rect r = {c->left, c->top + i * c->height, c->right - c->left, c->height - GAP_PX};
    Range range = range_of(c, row);
    draw_target(c, row, range, r);
    draw_scale(c, row, range, r);
    draw_curve(c, row, range, r, night->point, night->point_count, 0.0,
               ui_draw_solid(t->side[row->side], LINE_PX));
    if (c->other != NULL)
        draw_curve(c, row, range, r, c->other->point, c->other->observed, c->other->from_s,
                   ui_draw_dashed(t->text1, LINE_PX, 7.0, 5.0));
    draw_alarms(c, row, r);
    draw_values(c, row, range, r);
}

/* ---- ribbons, marks, axis ---- */

static void draw_ribbon(const Course *c, double from_s, double to_s, double y, Colour fill,
                        const char *word) {
    double x0 = x_of(c, from_s), w = fmax(x_of(c, to_s) - x0 - 1.0, 1.0);
    ui_draw_rect(c->d->ui->list, (Rect){x0, y, w, RIBBON_PX - 4.0}, 0.0, fill);
    if (w > 26.0)
        ui_draw_text_fit(c->d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, c->d->ui->theme->text1, x0 + 6.0,
                         y + 16.5, w - 10.0, word);
}

static void draw_ribbons(const Course *c, double y) {
    static const char *const VERDICT[] = {"\u2717", "~", "\u2713"};
    const Theme *t = c->d->ui->theme;
    const CallsState *calls = &c->b->recall->calls;
    DrawList *list = c->d->ui->list;
    if (c->b->band_count > 0) {
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, c->left - 8.0, y + 16.5, "was");
        for (int i = 0; i < c->b->band_count; i++) {
            DiagnosisId id = c->b->band[i].truth.diagnosis;
            draw_ribbon(c, c->b->band[i].from_s, c->b->band[i].to_s, y,
                        id == DIAGNOSIS_well ? t->raised : t->blood_right, sim_diagnoses_row(id)->label);
        }
        y += RIBBON_PX;
    }
    for (int i = 0; i < calls->kept; i++) {
        char text[TEXT_LINE * 2];
        const Call *call = &calls->call[i];
        if (i == 0)
            ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, c->left - 8.0, y + 16.5,
                         "called");
        snprintf(text, sizeof text, "%s %s, %d %%", VERDICT[c->b->call_right[i]],
                 sim_diagnoses_row(call->diagnosis)->label, call->confidence_percent);
        draw_ribbon(c, call->time_s,
                    i + 1 < calls->kept ? calls->call[i + 1].time_s : c->b->recall->night.reached_s, y,
                    t->raised, text);
    }
}

static void draw_marks(const Course *c, double y) {
    const Theme *t = c->d->ui->theme;
    DrawList *list = c->d->ui->list;
    double last = -1e9;
    for (int i = 0; i < c->b->mark_count; i++) {
        double x = x_of(c, c->b->mark[i].time_s), at = fmax(x, last + 2.0 * MARK_R_PX + 2.0);
        char number[TEXT_SHORT];
        ui_draw_line(list, floor(x) + 0.5, y + MARK_R_PX + 6.0, floor(x) + 0.5, c->bottom,
                     ui_draw_dashed(t->edge, 1.0, 3.0, 4.0));
        if (at > c->right + MARK_R_PX) continue;
        bool now = fabs(c->b->mark[i].time_s - c->d->state->cursor_s) < 1.0;
        if (now) ui_draw_circle(list, at, y, MARK_R_PX, t->text1);
        if (!now) ui_draw_circle(list, at, y, MARK_R_PX, t->panel);
        ui_draw_ring(list, at, y, MARK_R_PX, ui_draw_solid(t->text2, 1.5));
        if (at - x > 1.0)
            ui_draw_line(list, at, y + MARK_R_PX, x, y + MARK_R_PX + 6.0, ui_draw_solid(t->edge, 1.0));
        snprintf(number, sizeof number, "%d", i + 1);
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, now ? t->ink : t->text1, at, y + 5.5,
                     number);
        last = at;
    }
}

/* Where acts of the what-if went: a square at the new time, an arrow from the old one. */
static void draw_moves(const Course *c, double y) {
    const DebriefWhatifState *w = &c->d->state->whatif;
    const Theme *t = c->d->ui->theme;
    if (c->d->state->page != DEBRIEF_WHATIF) return;
    for (int i = 0; i < w->edits; i++) {
        const DebriefEdit *edit = &w->edit[i];
        bool moved = edit->was_s < 0.0 || fabs(edit->time_s - edit->was_s) > 0.5;
        if (edit->dropped || !moved) continue;
        double x = x_of(c, edit->time_s);
        if (edit->was_s >= 0.0)
            ui_draw_line(c->d->ui->list, x, y + 16.0, x_of(c, edit->was_s), y + 16.0,
                         ui_draw_solid(t->text1, 1.5));
        ui_widgets_arrow(c->d->ui->list, x, y + 16.0, 12.0,
                         edit->was_s < 0.0            ? 'd'
                         : edit->time_s < edit->was_s ? 'l'
                                                      : 'r',
                         t->text1);
        ui_draw_line(c->d->ui->list, floor(x) + 0.5, y + 16.0, floor(x) + 0.5, c->bottom,
                     ui_draw_dashed(t->text1, 1.5, 6.0, 4.0));
    }
}

static void draw_axis(const Course *c) {
    static const double STEPS_S[] = {60, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200};
    const Theme *t = c->d->ui->theme;
    DrawList *list = c->d->ui->list;
    char text[TEXT_SHORT];
    double step = STEPS_S[0], x = x_of(c, c->d->state->cursor_s);
    for (size_t i = 0; i < sizeof STEPS_S / sizeof STEPS_S[0]; i++) {
        step = STEPS_S[i];
        if ((c->right - c->left) * step / c->end_s >= TICK_ROOM) break;
    }
    double chip_x = fmin(fmax(x, c->left + 28.0), c->right - 28.0);
    for (double at = 0.0; at <= c->end_s + 1.0; at += step) {
        if (fabs(x_of(c, at) - chip_x) < TICK_ROOM - 14.0) continue;
        ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text2, x_of(c, at), c->bottom + 21.0,
                     ui_debrief_clock(at, text));
    }
    ui_draw_line(list, floor(x) + 0.5, c->top - 6.0, floor(x) + 0.5, c->bottom, ui_draw_solid(t->text1, 1.5));
    Rect chip = {chip_x - 32.0, c->bottom + 4.0, 64.0, 23.0};
    ui_draw_rect(list, chip, 5.0, t->text1);
    ui_draw_text(list, FACE_DIGITS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->ink, chip_x, chip.y + 17.0,
                 ui_debrief_clock(c->d->state->cursor_s, text));
}

static void draw_legend(const Course *c, double y) {
    const Theme *t = c->d->ui->theme;
    DrawList *list = c->d->ui->list;
    double x = c->left;
    ui_draw_line(list, x, y + 9.0, x + 26.0, y + 9.0, ui_draw_solid(t->text1, LINE_PX));
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x + 33.0, y + 14.0, "night");
    x += 92.0;
    if (c->d->state->page == DEBRIEF_WHATIF) {
        ui_draw_line(list, x, y + 9.0, x + 30.0, y + 9.0, ui_draw_dashed(t->text1, LINE_PX, 7.0, 5.0));
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x + 37.0, y + 14.0, "what if");
        x += 108.0;
    }
    ui_draw_rect(list, (Rect){x, y + 2.0, 18.0, 14.0}, 0.0, ui_colour_alpha(t->band, 0.35));
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x + 25.0, y + 14.0, "target");
    x += 90.0;
    Rect hatch = {x, y + 5.0, 22.0, ALARM_PX};
    ui_draw_path(list);
    ui_draw_round(list, hatch, 0.0);
    ui_draw_pattern(list, (PatternStyle){PATTERN_HATCH, ui_theme_alarm_text(t, 2), 6.0, 1.5});
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x + 29.0, y + 14.0, "alarm");
    if (c->right - x > 330.0)
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, c->right, y + 14.0,
                     "values at the cursor \u2192");
}

static void take_mouse(const Course *c) {
    Ui *ui = c->d->ui;
    Rect all = {c->left, c->top - MARKS_PX, c->right - c->left, c->bottom - c->top + MARKS_PX};
    ui->mouse_only = true;
    (void)ui_widgets_area(ui, DEBRIEF_ID_COURSE, all);
    ui_widgets_tell(ui, UI_ROLE_FIELD, "course, time cursor", false);
    ui->mouse_only = false;
    if (ui->blocked || ui->active != DEBRIEF_ID_COURSE || !ui->input.down) return;
    double share = fmin(fmax((ui->input.x_px - c->left) / (c->right - c->left), 0.0), 1.0);
    double to_s = round(share * c->end_s / RECORDS_HISTORY_STEP_S) * RECORDS_HISTORY_STEP_S;
    if (fabs(to_s - c->d->state->cursor_s) > 1.0) ui_debrief_want(c->d->intents, DEBRIEF_PART_CURSOR, to_s);
}

double ui_debrief_course_text(const DebriefDraw *d, Rect room) {
    if (d->state->recall->point_count < 2)
        return ui_debrief_words(d, room, room.y + 20.0, d->ui->theme->text2,
                                "The night was too short for a plot.");
    Course c = lay_out(d, room);
    draw_legend(&c, room.y);
    draw_ribbons(&c, room.y + LEGEND_PX);
    double marks_y = c.top - MARKS_PX + 12.0;
    draw_moves(&c, marks_y);
    draw_marks(&c, marks_y);
    for (int i = 0; i < c.plots; i++)
        draw_plot(&c, i);
    draw_axis(&c);
    take_mouse(&c);
    return room.y + room.h;
}
