/* What the chart shows, from the session's records. */
#include "ui/chart.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define HEADROOM 1.15 /* above the largest rate of a drip */

const double CHART_STEPS_S[CHART_STEPS] = {300.0, 900.0, 3600.0};
const double CHART_SPANS_S[CHART_SPANS] = {1800.0, 7200.0, 21600.0, 0.0};

enum { STEP_USUAL = 1, SPAN_USUAL = 1, FLICKER_POINTS = 3 };

void ui_chart_start(ChartState *chart) {
    memset(chart, 0, sizeof *chart);
    chart->step = STEP_USUAL;
    chart->span = SPAN_USUAL;
    chart->row = 1; /* below the first group's title */
    chart->cell_s = chart->right_s = chart->cursor_s = chart->end_s = -1.0;
    chart->plots = -1;                     /* the usual ones, once quantities are known */
    chart->hidden[FLOW_MARK_ALARM] = true; /* many, and shown over the plots */
}

/* ---- quantities ---- */

static Side side_of(DisplayId id) {
    static const struct {
        const char *begins;
        Side side;
    } SIDES[] = {{"art_", SIDE_LEFT},    {"pa_", SIDE_RIGHT},  {"cvp_", SIDE_RIGHT},
                 {"wedge_", SIDE_RIGHT}, {"pump_", SIDE_PUMP}, {"right_pump_", SIDE_PUMP},
                 {"airway_", SIDE_GAS},  {"peep_", SIDE_GAS},  {"respiratory_", SIDE_GAS},
                 {"spo2_", SIDE_GAS},    {"paco2_", SIDE_GAS}, {"hr_", SIDE_ELECTRICAL}};
    const char *key = sim_instruments_display_row(id)->key;
    for (size_t i = 0; i < sizeof SIDES / sizeof SIDES[0]; i++) {
        if (strncmp(key, SIDES[i].begins, strlen(SIDES[i].begins)) == 0) return SIDES[i].side;
    }
    return SIDE_TISSUE;
}

static ChartQuantity *add_quantity(ChartState *chart, const char *name, const char *unit) {
    ChartQuantity *q = &chart->quantity[chart->quantities];
    if (chart->quantities < CHART_QUANTITIES_MAX - 1) chart->quantities++;
    *q = (ChartQuantity){.shown = DISPLAY_COUNT,
                         .order = ORDER_COUNT,
                         .side = SIDE_TISSUE,
                         .target_low = NAN,
                         .target_high = NAN};
    snprintf(q->name, sizeof q->name, "%s", name);
    snprintf(q->unit, sizeof q->unit, "%s", unit);
    return q;
}

static bool is_time_or_kind(DisplayId id) {
    const char *unit = sim_instruments_display_row(id)->unit;
    return id == DISPLAY_rhythm_kind || strcmp(unit, "s") == 0;
}

static void find_quantities(ChartState *chart, const Session *session) {
    chart->quantities = 0;
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        const DisplayRow *row = sim_instruments_display_row((DisplayId)id);
        const CaseTarget *target = &sim_session_case(session)->targets[id];
        if (is_time_or_kind((DisplayId)id)) continue;
        ChartQuantity *q = add_quantity(chart, row->label, row->unit);
        bool speed = id == DISPLAY_pump_rpm || id == DISPLAY_right_pump_rpm;
        if (strcmp(row->unit, "1/min") == 0) snprintf(q->unit, sizeof q->unit, "%s", speed ? "rpm" : "/min");
        if (strcmp(row->unit, "degC") == 0) snprintf(q->unit, sizeof q->unit, "\u00b0C");
        q->shown = (DisplayId)id;
        q->side = side_of((DisplayId)id);
        q->decimals = row->decimals > 0 ? row->decimals : 0;
        q->low = row->low;
        q->high = row->high;
        if (target->given) q->target_low = target->low;
        if (target->given) q->target_high = target->high;
    }
    for (int id = 0; id < ORDER_COUNT; id++) {
        const OrderRow *row = sim_orders_row((OrderId)id);
        if (row->kind != ORDER_KIND_DRIP && row->kind != ORDER_KIND_GAS) continue;
        ChartQuantity *q = add_quantity(chart, row->label, row->unit);
        q->order = (OrderId)id;
        q->decimals = row->step < 0.01 ? 3 : row->step < 1.0 ? 2 : 0;
        q->high = row->standard;
    }
    ChartQuantity *balance = add_quantity(chart, "Balance, night", "mL");
    balance->low = -500.0;
    balance->high = 500.0;
}

static int quantity_shown(const ChartState *chart, DisplayId id) {
    for (int q = 0; q < chart->quantities; q++) {
        if (chart->quantity[q].shown == id) return q;
    }
    return 0;
}

static void choose_usual(ChartState *chart) {
    static const DisplayId USUAL[] = {DISPLAY_art_mean_mmhg,   DISPLAY_cvp_mmhg, DISPLAY_pa_mean_mmhg,
                                      DISPLAY_pump_flow_l_min, DISPLAY_pump_rpm, DISPLAY_urine_ml_h};
    chart->plots = (int)(sizeof USUAL / sizeof USUAL[0]);
    for (int i = 0; i < chart->plots; i++)
        chart->chosen[i] = quantity_shown(chart, USUAL[i]);
}

bool ui_chart_plotted(const ChartState *chart, int quantity) {
    for (int i = 0; i < chart->plots; i++) {
        if (chart->chosen[i] == quantity) return true;
    }
    return false;
}

int ui_chart_row_quantity(const ChartState *chart, int row) {
    if (row < 0 || row >= chart->sheet.rows) return -1;
    const FlowRow *r = &chart->sheet.row[row];
    bool balance = r->volume == FLOW_VOLUME_BALANCE;
    DisplayId shown = r->volume == FLOW_VOLUME_URINE   ? DISPLAY_urine_ml_h
                      : r->volume == FLOW_VOLUME_DRAIN ? DISPLAY_drain_ml_h
                                                       : r->shown;
    for (int q = 0; q < chart->quantities; q++) {
        const ChartQuantity *quantity = &chart->quantity[q];
        if (shown != DISPLAY_COUNT && quantity->shown == shown) return q;
        if (r->order != ORDER_COUNT && quantity->order == r->order) return q;
        if (balance && quantity->shown == DISPLAY_COUNT && quantity->order == ORDER_COUNT) return q;
    }
    return -1;
}

/* ---- plots ---- */

/* Adds the value of an order to the points it ran at. */
static void add_spans(ChartState *chart, ChartPlot *plot, OrderId id, double factor) {
    for (int i = 0; i < chart->course.count; i++) {
        const CourseSpan *span = &chart->course.span[i];
        if (span->id != id) continue;
        int64_t from = (int64_t)ceil(span->from_s / RECORDS_HISTORY_STEP_S) - chart->point_first;
        int64_t to = (int64_t)ceil(span->to_s / RECORDS_HISTORY_STEP_S) - chart->point_first;
        if (span->open) to = chart->points;
        for (int64_t k = from > 0 ? from : 0; k < to && k < chart->points; k++)
            plot->value[k] += (float)(factor * span->value);
    }
}

static void fill_rate(ChartState *chart, ChartPlot *plot, OrderId id) {
    for (int64_t k = 0; k < chart->points; k++)
        plot->value[k] = 0.0F;
    add_spans(chart, plot, id, 1.0);
}

/* In less out: rates in mL/h added up, less what was read from bag and bottle. */
static void fill_balance(ChartState *chart, ChartPlot *plot, const Session *session) {
    for (int64_t k = 0; k < chart->points; k++)
        plot->value[k] = 0.0F;
    for (int id = 0; id < ORDER_COUNT; id++) {
        OrderKind kind = sim_orders_row((OrderId)id)->kind;
        if (kind == ORDER_KIND_FLUID) add_spans(chart, plot, (OrderId)id, 1.0);
        if (kind == ORDER_KIND_DRIP)
            add_spans(chart, plot, (OrderId)id, sim_orders_ml_h((OrderId)id, 1.0, chart->sheet.weight_kg));
    }
    double sum = 0.0, drain_first = sim_session_history_value(session, DISPLAY_drain_total_ml, 0);
    for (int64_t k = 0; k < chart->points; k++) {
        int64_t i = chart->point_first + k;
        double urine = sim_session_history_value(session, DISPLAY_urine_total_ml, i);
        double drain = sim_session_history_value(session, DISPLAY_drain_total_ml, i) - drain_first;
        if (k > 0) sum += plot->value[k] * RECORDS_HISTORY_STEP_S / 3600.0;
        plot->value[k] = (float)(sum - (isfinite(urine) ? urine : 0.0) - (isfinite(drain) ? drain : 0.0));
    }
}

/* Numbers are rounded, and between two roundings they flicker: where a few points differ by no more than the
   last digit, the line goes through their mean. */
static void fill_line(ChartState *chart, ChartPlot *plot, double last_digit) {
    for (int64_t k = 0; k < chart->points; k++) {
        double low = INFINITY, high = -INFINITY, sum = 0.0;
        int used = 0;
        plot->line[k] = plot->value[k];
        if (!isfinite(plot->value[k])) continue;
        for (int64_t i = k - FLICKER_POINTS; i <= k + FLICKER_POINTS; i++) {
            if (i < 0 || i >= chart->points || !isfinite(plot->value[i])) continue;
            low = fmin(low, plot->value[i]);
            high = fmax(high, plot->value[i]);
            sum += plot->value[i];
            used++;
        }
        if (high - low < 1.01 * last_digit) plot->line[k] = (float)(sum / used);
    }
}

static void fill_plot(ChartState *chart, ChartPlot *plot, int quantity, const Session *session) {
    const ChartQuantity *q = &chart->quantity[quantity];
    plot->quantity = quantity;
    plot->low = q->low;
    plot->high = q->high;
    if (q->shown != DISPLAY_COUNT) {
        for (int64_t k = 0; k < chart->points; k++)
            plot->value[k] = (float)sim_session_history_value(session, q->shown, chart->point_first + k);
    } else if (q->order != ORDER_COUNT) {
        fill_rate(chart, plot, q->order);
        for (int64_t k = 0; k < chart->points; k++)
            plot->high = fmax(plot->high, HEADROOM * plot->value[k]);
    } else {
        fill_balance(chart, plot, session);
    }
    fill_line(chart, plot, q->shown != DISPLAY_COUNT ? pow(10.0, -q->decimals) : 0.0);
    for (int64_t k = 0; k < chart->points; k++) {
        if (!isfinite(plot->value[k])) continue;
        plot->low = fmin(plot->low, plot->value[k]);
        plot->high = fmax(plot->high, plot->value[k]);
    }
}

void ui_chart_fill(ChartState *chart, const Session *session) {
    int64_t history = sim_session_history_count(session), log = sim_session_log_count(session);
    chart->now_s = sim_session_time_s(session);
    if (chart->filled && history == chart->history_seen && log == chart->log_seen &&
        chart->step == chart->step_seen)
        return;
    if (!chart->filled) find_quantities(chart, session);
    if (chart->plots < 0) choose_usual(chart);
    snprintf(chart->case_title, sizeof chart->case_title, "%.90s", sim_session_case(session)->title);
    chart->filled = true;
    chart->history_seen = history;
    chart->log_seen = log;
    chart->step_seen = chart->step;
    sim_course_read(&chart->course, session);
    sim_flowsheet_fill(&chart->sheet, session, &chart->course, CHART_STEPS_S[chart->step]);
    chart->point_first = sim_session_history_first(session);
    chart->points = history - chart->point_first;
    for (int i = 0; i < chart->plots; i++)
        fill_plot(chart, &chart->plot[i], chart->chosen[i], session);
    if (chart->row >= chart->sheet.rows) chart->row = chart->sheet.rows - 1;
}

/* ---- places ---- */

int ui_chart_column(const FlowSheet *sheet, double time_s) {
    int best = sheet->columns - 1;
    if (time_s < 0.0) return best;
    for (int k = 0; k < sheet->columns; k++) {
        if (fabs(sheet->time_s[k] - time_s) < fabs(sheet->time_s[best] - time_s)) best = k;
    }
    return best;
}

void ui_chart_range(const ChartState *chart, double *from_s, double *to_s) {
    double span = CHART_SPANS_S[chart->span];
    double last_s = fmax((double)(chart->point_first + chart->points - 1) * RECORDS_HISTORY_STEP_S, 0.0);
    if (span <= 0.0) {
        *from_s = 0.0;
        *to_s = fmax(last_s, CHART_SPANS_S[0]);
        return;
    }
    *to_s = fmax(chart->end_s < 0.0 ? last_s : fmin(chart->end_s, last_s), span);
    *from_s = *to_s - span;
}

int64_t ui_chart_point(const ChartState *chart, double time_s) {
    int64_t k = (int64_t)llround(time_s / RECORDS_HISTORY_STEP_S) - chart->point_first;
    if (time_s < 0.0) k = chart->points - 1;
    return k >= 0 && k < chart->points ? k : -1;
}
