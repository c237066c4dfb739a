/* What happened, from the log; and the samples, from the trends. */
#include "sim/flowsheet_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const FlowSampleRow SAMPLES[] = {
    {"Blood sample",
     DISPLAY_blood_sample_s,
     4,
     {DISPLAY_lactate_mmol_l, DISPLAY_hb_g_dl, DISPLAY_paco2_mmhg, DISPLAY_ph}},
    {"Wedge reading", DISPLAY_wedge_taken_s, 1, {DISPLAY_wedge_mmhg}},
};

int sim_flowsheet_sample_rows(void) {
    return (int)(sizeof SAMPLES / sizeof SAMPLES[0]);
}

const FlowSampleRow *sim_flowsheet_sample_row(int index) {
    return &SAMPLES[index];
}

/* ---- marks ---- */

static const char *pacing_word(OrderPacing pacing) {
    static const char *const WORDS[] = {[ORDER_PACING_OFF] = "off",
                                        [ORDER_PACING_ATRIAL] = "A",
                                        [ORDER_PACING_VENTRICULAR] = "V",
                                        [ORDER_PACING_BOTH] = "A+V"};
    return WORDS[pacing];
}

static void volume_words(const Order *order, FlowMark *mark) {
    if (order->act == ORDER_ACT_BOLUS)
        snprintf(mark->detail, sizeof mark->detail, "%.0f mL over %.0f min", order->value,
                 order->duration_s / 60);
    else if (order->act == ORDER_ACT_INFUSION)
        snprintf(mark->detail, sizeof mark->detail, "%.0f mL/h", order->value);
    else
        snprintf(mark->detail, sizeof mark->detail, "stopped");
}

/* "0.05 \u2192 0.08 mcg/kg/min"; `before` is what stayed until now. */
static void level_words(const Order *order, double before, FlowMark *mark) {
    const OrderRow *row = sim_orders_row(order->id);
    char was[FLOWSHEET_CELL_MAX], is[FLOWSHEET_CELL_MAX], load[FLOWSHEET_CELL_MAX * 2] = "";
    const char *unit = strcmp(row->unit, "fraction") == 0 ? "" : row->unit;
    sim_orders_format_value(order->id, before, was, sizeof was);
    sim_orders_format_value(order->id, order->value, is, sizeof is);
    if (order->load > 0) snprintf(load, sizeof load, ", load %.4g %s/kg", order->load, row->amount_unit);
    if (order->act != ORDER_ACT_SET)
        snprintf(mark->detail, sizeof mark->detail, "%s \u2192 off", was);
    else
        snprintf(mark->detail, sizeof mark->detail, "%s \u2192 %s %s%s", was, is, unit, load);
}

static void order_words(const Order *order, double before, FlowMark *mark) {
    const OrderRow *row = sim_orders_row(order->id);
    snprintf(mark->what, sizeof mark->what, "%s", row->label);
    switch (row->kind) {
    case ORDER_KIND_FLUID:
        volume_words(order, mark);
        break;
    case ORDER_KIND_PACING:
        if (order->act == ORDER_ACT_SET)
            snprintf(mark->detail, sizeof mark->detail, "%s %.0f/min", pacing_word(order->pacing),
                     order->value);
        else
            snprintf(mark->detail, sizeof mark->detail, "off");
        break;
    case ORDER_KIND_ACTION:
        snprintf(mark->detail, sizeof mark->detail, "%s",
                 order->act == ORDER_ACT_STOP ? "called off" : "ordered");
        break;
    default:
        level_words(order, before, mark);
        break;
    }
}

/* What stays of an order after it has been given. */
static void keep_level(const Order *order, double level[]) {
    if (order->act == ORDER_ACT_SET || order->act == ORDER_ACT_INFUSION) level[order->id] = order->value;
    if (order->act == ORDER_ACT_OFF || order->act == ORDER_ACT_STOP) level[order->id] = 0;
}

/* Numbers of `kind` in the log; FLOW_MARK_COUNT: the trainee does not see it. */
static FlowMarkKind kind_of(const LogEntry *entry) {
    switch (entry->kind) {
    case LOG_ORDER:
        return FLOW_MARK_ORDER;
    case LOG_DONE:
        return FLOW_MARK_DONE;
    case LOG_MESSAGE:
        return FLOW_MARK_MESSAGE;
    case LOG_END:
        return FLOW_MARK_END;
    default:
        return FLOW_MARK_COUNT;
    }
}

static void fill_mark(FlowMark *mark, const LogEntry *entry, double level[]) {
    Order order;
    bool act = entry->kind == LOG_ORDER || entry->kind == LOG_DONE;
    if (act && sim_orders_parse(entry->text, NULL, &order, NULL) == ERROR_OK) {
        order_words(&order, level[order.id], mark);
        if (entry->kind == LOG_DONE) {
            char what[FLOWSHEET_WORDS_MAX];
            snprintf(what, sizeof what, "%s", mark->detail);
            bool action = sim_orders_row(order.id)->kind == ORDER_KIND_ACTION;
            snprintf(mark->detail, sizeof mark->detail, "%.80s%s", action ? "" : what,
                     action ? "done" : " is in");
        } else {
            keep_level(&order, level);
        }
        return;
    }
    snprintf(mark->what, sizeof mark->what, "%.90s", entry->from);
    snprintf(mark->detail, sizeof mark->detail, "%.90s", entry->text);
}

void sim_flowsheet_find_marks(FlowSheet *sheet, const Session *session) {
    double level[ORDER_COUNT];
    int orders = 0;
    memcpy(level, sim_session_first_orders(session)->value, sizeof level);
    sheet->marks = 0;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        FlowMarkKind kind = entry != NULL ? kind_of(entry) : FLOW_MARK_COUNT;
        if (kind == FLOW_MARK_COUNT || sheet->marks == FLOWSHEET_MARKS_MAX) continue;
        FlowMark *mark = &sheet->mark[sheet->marks++];
        *mark = (FlowMark){.time_s = entry->time_s, .kind = kind, .log_number = entry->number};
        if (kind == FLOW_MARK_ORDER) mark->number = ++orders;
        fill_mark(mark, entry, level);
    }
}

/* ---- samples ---- */

static void add_sample(FlowSheet *sheet, const Session *session, int row, int64_t point, double taken_s) {
    if (sheet->samples == FLOWSHEET_SAMPLES_MAX) return;
    FlowSample *sample = &sheet->sample[sheet->samples++];
    *sample = (FlowSample){.row = row, .taken_s = taken_s, .known_s = (double)point * RECORDS_HISTORY_STEP_S};
    for (int k = 0; k < SAMPLES[row].values; k++)
        sample->value[k] = sim_session_history_value(session, SAMPLES[row].value[k], point);
}

void sim_flowsheet_find_samples(FlowSheet *sheet, const Session *session) {
    enum { ROWS = sizeof SAMPLES / sizeof SAMPLES[0] };
    double before[ROWS];
    sheet->samples = 0;
    for (int row = 0; row < ROWS; row++)
        before[row] = NAN;
    int64_t count = sim_session_history_count(session);
    for (int64_t i = sim_session_history_first(session); i < count; i++) {
        for (int row = 0; row < ROWS; row++) {
            double taken_s = sim_session_history_value(session, SAMPLES[row].taken, i);
            if (!isfinite(taken_s) || (isfinite(before[row]) && fabs(taken_s - before[row]) < 0.5)) continue;
            before[row] = taken_s;
            add_sample(sheet, session, row, i, taken_s);
        }
    }
}
