/* Plots of anything on show, stacked on one time axis, with the orders and a cursor. */
#include "ui/alarm_strip.h"
#include "ui/chart.h"
#include "ui/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TICKS_PX     70.0  /* room for the scale at the left */
#define VALUES_PX    176.0 /* and for name and value at the right */
#define VALUES_LEAST 132.0
#define MARKS_PX     30.0
#define AXIS_PX      28.0
#define SIDE_PX      310.0
#define SIDE_LEAST   240.0
#define WIDE_PX      1200.0
#define GAP_PX       6.0
#define TICK_ROOM_PX 74.0 /* between labels of the time axis */
#define LINE_PX      1.8
#define LABEL_PX     48.0 /* name and value together */
#define VALUE_PX     20.0
#define LABEL_LEAST  38.0 /* where there is little room */
#define PLOT_PAD     10.0 /* above and below the scale */
#define TICK_PX      26.0 /* between marks of the scale, about */
#define ALARM_PX     7.0  /* height of an alarm's span */
#define BADGE_R_PX   10.0
#define CURSOR_STEPS 120.0 /* of the cursor across the plots */
#define WHEEL_SHARE  0.125
#define FOLLOW       (-1.0)

/* The plots' place in time and on the screen. */
typedef struct PlotsLayout {
    Rect panel, marks, axis, side;
    double left, right; /* of the time axis, px */
    double from_s, to_s;
    double cursor_s; /* never negative */
    double height;   /* of one plot */
} PlotsLayout;

static double x_of(const PlotsLayout *l, double time_s) {
    return l->left + (time_s - l->from_s) / (l->to_s - l->from_s) * (l->right - l->left);
}

static bool in_view(const PlotsLayout *l, double time_s) {
    return time_s >= l->from_s && time_s <= l->to_s;
}

static PlotsLayout lay_out(Rect body, const ChartState *chart) {
    PlotsLayout l;
    Rect rest = body;
    l.side = ui_rect_cut_right(&rest, body.w >= WIDE_PX ? SIDE_PX : SIDE_LEAST);
    rest.w -= GAP_PX * 2.0;
    l.panel = rest;
    l.marks = ui_rect_cut_top(&rest, MARKS_PX);
    l.axis = ui_rect_cut_bottom(&rest, AXIS_PX);
    l.panel = rest;
    l.left = rest.x + TICKS_PX;
    l.right = rest.x + rest.w - (body.w >= WIDE_PX ? VALUES_PX : VALUES_LEAST);
    ui_chart_range(chart, &l.from_s, &l.to_s);
    double last_s = fmax((double)(chart->point_first + chart->points - 1) * RECORDS_HISTORY_STEP_S, 0.0);
    l.cursor_s = chart->cursor_s < 0.0 ? last_s : fmin(chart->cursor_s, last_s);
    l.height = chart->plots > 0 ? floor(rest.h / chart->plots) : rest.h;
    return l;
}

/* ---- scales ---- */

/* 1, 2 or 5 times a power of ten, at least `least`. */
static double round_step(double least) {
    double power = pow(10.0, floor(log10(least)));
    static const double STEPS[] = {1.0, 2.0, 5.0};
    for (int i = 0; i < 3; i++) {
        if (STEPS[i] * power >= least * (1.0 - 1e-9)) return STEPS[i] * power;
    }
    return 10.0 * power;
}

/* How a quantity is written: numbers on show follow the settings. */
static ShownUnit unit_of(const Ui *ui, const ChartQuantity *q) {
    if (q->shown == DISPLAY_COUNT) return (ShownUnit){q->unit, 1.0, 0};
    const DisplayRow *display = sim_instruments_display_row(q->shown);
    ShownUnit shown = ui_units_shown(ui->settings, display->key, display->unit);
    if (shown.name == display->unit) shown.name = q->unit;
    return shown;
}

static double y_of(const ChartPlot *plot, Rect r, double value) {
    double span = plot->high - plot->low;
    double share = span > 0.0 ? (value - plot->low) / span : 0.5;
    return r.y + r.h - PLOT_PAD - fmin(fmax(share, 0.0), 1.0) * (r.h - 2.0 * PLOT_PAD);
}

static void draw_ticks(Ui *ui, const PlotsLayout *l, const ChartPlot *plot, const ChartQuantity *q, Rect r) {
    const Theme *t = ui->theme;
    double factor = unit_of(ui, q).factor, low = plot->low * factor, high = plot->high * factor;
    double step = round_step((high - low) / fmax(floor(r.h / TICK_PX), 1.0));
    int decimals = step < 0.0099 ? 3 : step < 0.099 ? 2 : step < 0.99 ? 1 : 0;
    char text[TEXT_SHORT];
    for (double v = ceil(low / step - 1e-9) * step; v <= high + 1e-9 * step; v += step) {
        double y = y_of(plot, r, v / factor);
        ui_draw_line(ui->list, l->left, y, l->right, y, ui_draw_solid(t->hairline, 1.0));
        ui_chart_number(text, sizeof text, fabs(v) < 1e-9 * step ? 0.0 : v, decimals);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, l->left - 8.0, y + 6.0, text);
    }
}

/* ---- curves ---- */

/* Every point joined: where points are wider apart than pixels. */
static void draw_line(Ui *ui, const PlotsLayout *l, const ChartState *chart, const ChartPlot *plot, Rect r,
                      int64_t first, int64_t last, StrokeStyle style) {
    bool down = false;
    ui_draw_path(ui->list);
    for (int64_t k = first; k <= last; k++) {
        if (!isfinite(plot->line[k])) {
            down = false;
            continue;
        }
        double x = x_of(l, (double)(chart->point_first + k) * RECORDS_HISTORY_STEP_S);
        double y = y_of(plot, r, plot->line[k]);
        if (down)
            ui_draw_to(ui->list, x, y);
        else
            ui_draw_move(ui->list, x, y);
        down = true;
    }
    ui_draw_stroke(ui->list, style);
}

enum { COLUMNS_MAX = 4096 };

/* Lowest and highest point of each pixel column, NAN where there is none. */
typedef struct Columns {
    int count;
    float low[COLUMNS_MAX], high[COLUMNS_MAX];
} Columns;

static void find_columns(const PlotsLayout *l, const ChartState *chart, const ChartPlot *plot, int64_t first,
                         int64_t last, Columns *c) {
    c->count = (int)fmin(l->right - l->left, COLUMNS_MAX);
    for (int i = 0; i < c->count; i++)
        c->low[i] = c->high[i] = NAN;
    for (int64_t k = first; k <= last; k++) {
        float v = plot->line[k];
        int i = (int)(x_of(l, (double)(chart->point_first + k) * RECORDS_HISTORY_STEP_S) - l->left);
        i = i < 0 ? 0 : i >= c->count ? c->count - 1 : i;
        if (!isfinite(v)) continue;
        c->low[i] = isnan(c->low[i]) ? v : fminf(c->low[i], v);
        c->high[i] = isnan(c->high[i]) ? v : fmaxf(c->high[i], v);
    }
    /* neighbours touch, so that a steep stroke is not torn */
    for (int i = 1; i < c->count; i++) {
        if (isnan(c->low[i]) || isnan(c->low[i - 1])) continue;
        if (c->low[i] > c->high[i - 1]) c->low[i] = c->high[i - 1];
        if (c->high[i] < c->low[i - 1]) c->high[i] = c->low[i - 1];
    }
}

/* The band between lowest and highest of a run of columns, thickened to a line's width. */
static void fill_run(Ui *ui, const PlotsLayout *l, const ChartPlot *plot, Rect r, const Columns *c, int from,
                     int to, Colour colour) {
    double half = LINE_PX / 2.0;
    ui_draw_path(ui->list);
    ui_draw_move(ui->list, l->left + from, y_of(plot, r, c->high[from]) - half);
    for (int i = from; i < to; i++)
        ui_draw_to(ui->list, l->left + i + 0.5, y_of(plot, r, c->high[i]) - half);
    ui_draw_to(ui->list, l->left + to, y_of(plot, r, c->high[to - 1]) - half);
    ui_draw_to(ui->list, l->left + to, y_of(plot, r, c->low[to - 1]) + half);
    for (int i = to - 1; i >= from; i--)
        ui_draw_to(ui->list, l->left + i + 0.5, y_of(plot, r, c->low[i]) + half);
    ui_draw_to(ui->list, l->left + from, y_of(plot, r, c->low[from]) + half);
    ui_draw_close(ui->list);
    ui_draw_fill(ui->list, colour);
}

static void draw_band(Ui *ui, const PlotsLayout *l, const ChartPlot *plot, Rect r, const Columns *c,
                      Colour colour) {
    for (int i = 0; i < c->count;) {
        int end = i;
        while (end < c->count && !isnan(c->low[end]))
            end++;
        if (end > i) fill_run(ui, l, plot, r, c, i, end, colour);
        i = end + 1;
    }
}

static void draw_curve(Ui *ui, const PlotsLayout *l, const ChartState *chart, const ChartPlot *plot, Rect r,
                       Colour colour) {
    int64_t first = (int64_t)floor(l->from_s / RECORDS_HISTORY_STEP_S) - chart->point_first;
    int64_t last = (int64_t)ceil(l->to_s / RECORDS_HISTORY_STEP_S) - chart->point_first;
    Columns columns;
    first = first < 0 ? 0 : first;
    last = last > chart->points - 1 ? chart->points - 1 : last;
    if (last < first) return;
    ui_draw_clip_rect(ui->list, (Rect){l->left, r.y, l->right - l->left + 1.0, r.h});
    if ((double)(last - first) < l->right - l->left) {
        draw_line(ui, l, chart, plot, r, first, last, ui_draw_solid(colour, LINE_PX));
    } else {
        find_columns(l, chart, plot, first, last, &columns);
        draw_band(ui, l, plot, r, &columns, colour);
    }
    ui_draw_unclip(ui->list);
}

/* ---- one plot ---- */

static void draw_target(Ui *ui, const PlotsLayout *l, const ChartQuantity *q, const ChartPlot *plot, Rect r) {
    if (!isfinite(q->target_low)) return;
    double top = y_of(plot, r, q->target_high), bottom = y_of(plot, r, q->target_low);
    Colour ground = ui_colour_alpha(ui->theme->band, 0.22);
    ui_draw_rect(ui->list, (Rect){l->left, top, l->right - l->left, bottom - top}, 0.0, ground);
    StrokeStyle edge = ui_draw_dashed(ui->theme->band, 1.0, 2.0, 4.0);
    ui_draw_line(ui->list, l->left, top, l->right, top, edge);
    ui_draw_line(ui->list, l->left, bottom, l->right, bottom, edge);
}

static void draw_orders(Ui *ui, const PlotsLayout *l, const ChartState *chart, double y0, double y1) {
    for (int i = 0; i < chart->sheet.marks; i++) {
        const FlowMark *mark = &chart->sheet.mark[i];
        if (mark->kind != FLOW_MARK_ORDER || !in_view(l, mark->time_s)) continue;
        double x = floor(x_of(l, mark->time_s)) + 0.5;
        ui_draw_line(ui->list, x, y0, x, y1, ui_draw_dashed(ui->theme->edge, 1.0, 3.0, 4.0));
    }
}

/* Where name and value of a plot stand, at its right: one above the other, closer in a low plot. */
typedef struct LabelPlace {
    bool roomy;
    double x, end, top;      /* of the badge; where the room ends */
    double value_x, value_y; /* baseline of the value */
    double size_px;
} LabelPlace;

static LabelPlace place_label(const PlotsLayout *l, Rect r) {
    LabelPlace p = {.roomy = r.h >= LABEL_PX, .x = l->right + 10.0, .end = r.x + r.w - 6.0};
    p.top = r.y + fmax((r.h - (p.roomy ? LABEL_PX : LABEL_LEAST)) / 2.0, 1.0);
    p.value_x = p.roomy ? p.x : p.x + 28.0;
    p.value_y = p.top + (p.roomy ? 43.0 : 33.0);
    p.size_px = p.roomy ? VALUE_PX : TYPE_NOTE;
    return p;
}

static void draw_label(Ui *ui, const LabelPlace *p, const ChartQuantity *q) {
    ui_widgets_badge(ui->list, ui->theme, p->x, p->top + (p->roomy ? 0.0 : 7.0), q->side);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text1, p->x + 28.0,
                     p->top + (p->roomy ? 17.0 : 14.0), p->end - p->x - 28.0, q->name);
}

/* When alarms about this number were on: hatched, at the top, with the sign of their priority. */
static void draw_alarms(Ui *ui, const PlotsLayout *l, const ChartState *chart, const ChartQuantity *q,
                        Rect r) {
    const Theme *t = ui->theme;
    if (q->shown == DISPLAY_COUNT) return;
    for (int i = 0; i < chart->sheet.alarms; i++) {
        const FlowAlarm *alarm = &chart->sheet.alarm[i];
        if (!sim_flowsheet_alarm_concerns(alarm->id, q->shown)) continue;
        double x0 = fmax(x_of(l, alarm->from_s), l->left);
        double x1 = fmin(x_of(l, alarm->to_s), l->right);
        if (x1 < l->left || x0 > l->right) continue;
        int priority = (int)sim_alarms_row(alarm->id)->priority;
        Colour colour = ui_theme_alarm_text(t, priority);
        Rect span = {x0, r.y + 2.0, fmax(x1 - x0, 3.0), ALARM_PX};
        ui_draw_rect(ui->list, span, 0.0, ui_colour_alpha(colour, 0.25));
        ui_draw_path(ui->list);
        ui_draw_round(ui->list, span, 0.0);
        ui_draw_pattern(ui->list, (PatternStyle){PATTERN_HATCH, colour, 6.0, 1.5});
        ui_draw_line(ui->list, x0, span.y, x0, span.y + ALARM_PX + 3.0, ui_draw_solid(colour, 2.0));
        if (span.w > 26.0)
            ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, colour, x0 + 4.0,
                         span.y + ALARM_PX + 15.0, ui_alarm_strip_mark(priority));
    }
}

/* The value at the cursor: dot on the curve, number at the right, arrow and word outside the wanted range. */
static void draw_value(Ui *ui, const PlotsLayout *l, const ChartState *chart, const ChartPlot *plot,
                       const ChartQuantity *q, Rect r) {
    const Theme *t = ui->theme;
    int64_t k = ui_chart_point(chart, l->cursor_s);
    double value = k < 0 ? NAN : plot->value[k];
    char text[TEXT_SHORT];
    bool low = value<q->target_low, high = value> q->target_high;
    Colour ink = t->text1; /* alarms alone have colours of their own */
    LabelPlace p = place_label(l, r);
    ShownUnit unit = unit_of(ui, q);
    draw_label(ui, &p, q);
    ui_chart_number(text, sizeof text, value * unit.factor, q->decimals + unit.more_decimals);
    ui_draw_text(ui->list, FACE_DIGITS_STRONG, p.size_px, ALIGN_LEFT, ink, p.value_x, p.value_y, text);
    double after = p.value_x + ui_draw_text_width(ui->list, FACE_DIGITS_STRONG, p.size_px, text) + 6.0;
    if (low || high) {
        ui_widgets_arrow(ui->list, after + 6.0, p.value_y - 6.0, 11.0, high ? 'u' : 'd', ink);
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, after + 16.0, p.value_y,
                     high ? "high" : "low");
        after += 58.0;
    }
    if (p.end - after > 30.0)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, after, p.value_y,
                         p.end - after, unit.name);
    if (!in_view(l, l->cursor_s) || !isfinite(value)) return;
    ui_draw_circle(ui->list, x_of(l, l->cursor_s), y_of(plot, r, value), 4.5, t->text1);
}

static void draw_plot(Ui *ui, const PlotsLayout *l, const ChartState *chart, int i) {
    const Theme *t = ui->theme;
    const ChartPlot *plot = &chart->plot[i];
    const ChartQuantity *q = &chart->quantity[plot->quantity];
    Rect r = {l->panel.x, l->panel.y + i * l->height, l->panel.w, l->height};
    ui_chart_region(ui, chart, CHART_REGION_PLOT + i, r, t->panel);
    if (i > 0) ui_draw_line(ui->list, r.x, r.y + 0.5, r.x + r.w, r.y + 0.5, ui_draw_solid(t->edge, 1.0));
    draw_target(ui, l, q, plot, r);
    draw_ticks(ui, l, plot, q, r);
    draw_orders(ui, l, chart, r.y, r.y + r.h);
    if (in_view(l, l->cursor_s)) {
        double x = floor(x_of(l, l->cursor_s)) + 0.5;
        ui_draw_line(ui->list, x, r.y, x, r.y + r.h, ui_draw_solid(t->text1, 1.5));
    }
    draw_curve(ui, l, chart, plot, r, t->side[q->side]);
    draw_alarms(ui, l, chart, q, r);
    draw_value(ui, l, chart, plot, q, r);
}

/* ---- the axis and the orders above ---- */

/* Middle of the time at the cursor. */
static double cursor_chip_x(const PlotsLayout *l) {
    return fmin(fmax(x_of(l, l->cursor_s), l->left + 24.0), l->right - 24.0);
}

static void draw_axis(Ui *ui, const PlotsLayout *l, const ChartState *chart) {
    static const double STEPS_S[] = {300, 600, 900, 1800, 3600, 7200, 14400, 21600};
    const Theme *t = ui->theme;
    char text[TEXT_SHORT];
    double step = STEPS_S[0], px_s = (l->right - l->left) / (l->to_s - l->from_s);
    for (size_t i = 0; i < sizeof STEPS_S / sizeof STEPS_S[0] && step * px_s < TICK_ROOM_PX; i++)
        step = STEPS_S[i];
    ui_chart_region(ui, chart, CHART_REGION_AXIS, l->axis, t->panel);
    double chip_x = in_view(l, l->cursor_s) ? cursor_chip_x(l) : -INFINITY;
    for (double at = ceil(l->from_s / step) * step; at <= l->to_s + 1e-6; at += step) {
        double x = x_of(l, at);
        ui_draw_line(ui->list, x, l->axis.y, x, l->axis.y + 5.0, ui_draw_solid(t->edge, 1.0));
        if (fabs(x - chip_x) < TICK_ROOM_PX - 10.0) continue;
        sim_flowsheet_clock(at, text, sizeof text);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text2, x, l->axis.y + 20.0, text);
    }
    if (!in_view(l, l->cursor_s)) return;
    double x = chip_x;
    Rect chip = {x - 34.0, l->axis.y + 3.0, 68.0, 22.0};
    ui_draw_rect(ui->list, chip, 5.0, t->text1);
    sim_flowsheet_clock(l->cursor_s, text, sizeof text);
    ui_draw_text(ui->list, FACE_DIGITS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->ink, x, chip.y + 17.0, text);
}

/* A badge for the orders `first` to `last`, which lie closer together than badges do. */
static void draw_badge(Ui *ui, const PlotsLayout *l, double x, int first, int last) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE];
    if (last > first)
        snprintf(text, sizeof text, "%d\u2013%d", first, last);
    else
        snprintf(text, sizeof text, "%d", first);
    double w =
        fmax(ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, text) + 10.0, 2.0 * BADGE_R_PX);
    Rect r = {x - w / 2.0, l->marks.y + 5.0, w, 2.0 * BADGE_R_PX};
    ui_draw_rect(ui->list, r, BADGE_R_PX, t->raised);
    ui_draw_frame(ui->list, r, BADGE_R_PX, ui_draw_solid(t->text2, 1.5));
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, x, r.y + 15.0, text);
}

static void draw_marks(Ui *ui, const PlotsLayout *l, const ChartState *chart) {
    const Theme *t = ui->theme;
    ui_chart_region(ui, chart, CHART_REGION_HEAD, l->marks, t->panel);
    draw_orders(ui, l, chart, l->marks.y + 15.0, l->marks.y + MARKS_PX);
    double start = -INFINITY, x = 0.0;
    int first = 0, last = 0;
    for (int i = 0; i < chart->sheet.marks; i++) {
        const FlowMark *mark = &chart->sheet.mark[i];
        if (mark->kind != FLOW_MARK_ORDER || !in_view(l, mark->time_s)) continue;
        x = x_of(l, mark->time_s);
        if (first > 0 && x - start < 4.0 * BADGE_R_PX) {
            last = mark->number;
            continue;
        }
        if (first > 0) draw_badge(ui, l, start, first, last);
        start = x;
        first = last = mark->number;
    }
    if (first > 0) draw_badge(ui, l, start, first, last);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, l->right + 10.0, l->marks.y + 20.0,
                 chart->cursor_s < 0.0 ? "now" : "at cursor");
}

/* ---- moving ---- */

static void set_end(const PlotsLayout *l, const ChartState *chart, double end_s, Intents *intents) {
    double last_s = fmax((double)(chart->point_first + chart->points - 1) * RECORDS_HISTORY_STEP_S, 0.0);
    double span = l->to_s - l->from_s;
    end_s = fmax(end_s, span);
    ui_intents_add(intents, INTENT_PART, CHART_PART_END, end_s >= last_s ? FOLLOW : end_s, false);
}

static void set_cursor(const PlotsLayout *l, const ChartState *chart, double time_s, Intents *intents) {
    double last_s = fmax((double)(chart->point_first + chart->points - 1) * RECORDS_HISTORY_STEP_S, 0.0);
    double step = RECORDS_HISTORY_STEP_S;
    time_s = fmin(fmax(round(time_s / step) * step, 0.0), last_s);
    ui_intents_add(intents, INTENT_PART, CHART_PART_CURSOR, time_s >= last_s ? FOLLOW : time_s, false);
    if (time_s > l->to_s) set_end(l, chart, time_s, intents);
    if (time_s < l->from_s) set_end(l, chart, time_s + (l->to_s - l->from_s), intents);
}

/* The next order after the cursor, or the one before it. */
static double neighbour_s(const PlotsLayout *l, const ChartState *chart, bool next) {
    double found = -1.0;
    for (int i = 0; i < chart->sheet.marks; i++) {
        const FlowMark *mark = &chart->sheet.mark[i];
        double at = round(mark->time_s / RECORDS_HISTORY_STEP_S) * RECORDS_HISTORY_STEP_S;
        if (mark->kind != FLOW_MARK_ORDER) continue;
        if (!next && at < l->cursor_s - 1e-6) found = at;
        if (next && at > l->cursor_s + 1e-6) return at;
    }
    return found;
}

static void take_keys(Ui *ui, const PlotsLayout *l, const ChartState *chart, Intents *intents) {
    double step = fmax(round((l->to_s - l->from_s) / CURSOR_STEPS / 10.0) * 10.0, RECORDS_HISTORY_STEP_S);
    double to = l->cursor_s, other;
    bool shift = false;
    while (ui_widgets_take_key(ui, KEY_LEFT, &shift))
        to -= shift ? 10.0 * step : step;
    while (ui_widgets_take_key(ui, KEY_RIGHT, &shift))
        to += shift ? 10.0 * step : step;
    if (ui_widgets_take_key(ui, KEY_UP, NULL) && (other = neighbour_s(l, chart, false)) >= 0.0) to = other;
    if (ui_widgets_take_key(ui, KEY_DOWN, NULL) && (other = neighbour_s(l, chart, true)) >= 0.0) to = other;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0.0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = INFINITY;
    if (fabs(to - l->cursor_s) > 0.0) set_cursor(l, chart, fmin(to, 1e9), intents);
    double page = 0.5 * (l->to_s - l->from_s);
    if (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL)) set_end(l, chart, l->to_s - page, intents);
    if (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL)) set_end(l, chart, l->to_s + page, intents);
}

static void take_mouse(Ui *ui, const PlotsLayout *l, const ChartState *chart, Intents *intents) {
    Rect all = {l->panel.x, l->panel.y, l->panel.w, l->panel.h};
    ui->mouse_only = true;
    (void)ui_widgets_area(ui, CHART_ID_PLOTS, all);
    ui_widgets_tell(ui, UI_ROLE_FIELD, "plots, time cursor", false);
    ui->mouse_only = false;
    if (ui->blocked) return;
    if (ui->active == CHART_ID_PLOTS && ui->input.down) {
        double share = (ui->input.x_px - l->left) / (l->right - l->left);
        double to_s = l->from_s + fmin(fmax(share, 0.0), 1.0) * (l->to_s - l->from_s);
        if (fabs(to_s - l->cursor_s) > RECORDS_HISTORY_STEP_S / 2.0) set_cursor(l, chart, to_s, intents);
    }
    if (fabs(ui->input.wheel) > 0.0 && ui_widgets_hovered(ui, all))
        set_end(l, chart, l->to_s - ui->input.wheel * WHEEL_SHARE * (l->to_s - l->from_s), intents);
}

static void draw_bar(Ui *ui, Rect bar, const PlotsLayout *l, const ChartState *chart, Intents *intents) {
    static const char *const SPAN_NAMES[CHART_SPANS] = {"30 min", "2 h", "6 h", "Night"};
    const Theme *t = ui->theme;
    ui_chart_region(ui, chart, CHART_REGION_BAR, bar, t->window);
    double x = bar.x + 12.0, y = bar.y + 2.0;
    for (int i = 0; i < CHART_SPANS; i++) {
        if (ui_chart_button(ui, CHART_ID_STEP + i, &x, y, SPAN_NAMES[i],
                            i == chart->span ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_PART, CHART_PART_SPAN, i, false);
    }
    x += 12.0;
    double page = 0.5 * (l->to_s - l->from_s);
    if (ui_chart_button(ui, CHART_ID_MOVE, &x, y, "Earlier", l->from_s > 0.0 ? BUTTON_PLAIN : BUTTON_OFF))
        set_end(l, chart, l->to_s - page, intents);
    if (ui_chart_button(ui, CHART_ID_MOVE + 1, &x, y, "Later",
                        chart->end_s < 0.0 ? BUTTON_OFF : BUTTON_PLAIN))
        set_end(l, chart, l->to_s + page, intents);
    x += 12.0;
    if (ui_chart_button(ui, CHART_ID_PICKER, &x, y, "Choose plots  V",
                        chart->picking ? BUTTON_CHOSEN : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, CHART_PART_PICKER, 0.0, false);
    ui_chart_alarms(ui, bar, x, chart, intents);
}

static void draw_foot(Ui *ui, Rect foot, const ChartState *chart) {
    const Theme *t = ui->theme;
    ui_chart_region(ui, chart, CHART_REGION_FOOT, foot, t->window);
    if (chart->notice[0] != '\0') {
        ui_chart_notice(ui, foot, chart);
        return;
    }
    ui_draw_text_fit(
        ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, foot.x + 16.0, foot.y + 23.0, foot.w - 32.0,
        chart->picking ? "\u2191 \u2193: line   Enter: plot or take off   Esc: done"
                       : "\u2190 \u2192: cursor, with Shift ten times as far   \u2191 \u2193: order "
                         "before, after   + \u2212: span   Page up, down: earlier, later");
}

void ui_chart_plots(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents) {
    PlotsLayout l = lay_out(body, chart);
    draw_bar(ui, bar, &l, chart, intents);
    draw_marks(ui, &l, chart);
    if (chart->plots <= 0) {
        ui_chart_region(ui, chart, CHART_REGION_PLOT, l.panel, ui->theme->panel);
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, l.left, l.panel.y + 40.0,
                     "Nothing is plotted: V chooses what is.");
    }
    for (int i = 0; i < chart->plots; i++)
        draw_plot(ui, &l, chart, i);
    draw_axis(ui, &l, chart);
    draw_foot(ui, foot, chart);
    if (ui_widgets_take_char(ui, 'v')) ui_intents_add(intents, INTENT_PART, CHART_PART_PICKER, 0.0, false);
    ui_chart_side(ui, l.side, chart, l.from_s, l.to_s, intents);
    take_mouse(ui, &l, chart, intents);
    take_keys(ui, &l, chart, intents);
    int span = chart->span;
    while (ui_widgets_take_char(ui, '+'))
        span--;
    while (ui_widgets_take_char(ui, '-'))
        span++;
    span = span < 0 ? 0 : span >= CHART_SPANS ? CHART_SPANS - 1 : span;
    if (span != chart->span) ui_intents_add(intents, INTENT_PART, CHART_PART_SPAN, span, false);
}
