/* What happened, from the log; and the samples, from the trends. */
#include "sim/acts.h"
#include "sim/flowsheet_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const FlowSampleRow SAMPLES[] = {
    {"Arterial blood gas",
     DISPLAY_blood_sample_s,
     4,
     {DISPLAY_ph, DISPLAY_paco2_mmhg, DISPLAY_lactate_mmol_l, DISPLAY_hb_g_dl}},
    {"Lactate alone", DISPLAY_lactate_taken_s, 1, {DISPLAY_lactate_mmol_l}},
    {"Blood count", DISPLAY_hb_taken_s, 1, {DISPLAY_hb_g_dl}},
    {"Mixed venous sample", DISPLAY_mixed_venous_s, 1, {DISPLAY_svo2_sample_percent}},
    {"Wedge reading", DISPLAY_wedge_taken_s, 1, {DISPLAY_wedge_mmhg}},
    {"Thermodilution", DISPLAY_thermodilution_s, 1, {DISPLAY_thermodilution_l_min}},
    {"Urine bag", DISPLAY_urine_read_s, 2, {DISPLAY_urine_ml_h, DISPLAY_urine_total_ml}},
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
    bool drug = row->kind == ORDER_KIND_DRIP || row->kind == ORDER_KIND_GAS;
    char was[FLOWSHEET_CELL_MAX], is[FLOWSHEET_CELL_MAX] = "off", load[FLOWSHEET_CELL_MAX * 2] = "";
    const char *unit = strcmp(row->unit, "fraction") == 0 ? "" : row->unit;
    sim_flowsheet_level(order->id, before, was, sizeof was);
    if (drug && before <= 0) snprintf(was, sizeof was, "off");
    if (order->act == ORDER_ACT_SET) sim_flowsheet_level(order->id, order->value, is, sizeof is);
    if (order->load > 0)
        snprintf(load, sizeof load, ", load %.4g %s%s", order->load, row->amount_unit,
                 strstr(row->unit, "/kg") != NULL ? "/kg" : "");
    snprintf(mark->detail, sizeof mark->detail, "%s \u2192 %s%s%s%s", was, is, unit[0] != '\0' ? " " : "",
             order->act == ORDER_ACT_SET ? unit : "", load);
}

/* "40 mg over 2 min" of a dose, "200 J" of a shock. */
static void dose_words(const Order *order, FlowMark *mark) {
    const OrderRow *row = sim_orders_row(order->id);
    if (row->kind == ORDER_KIND_ACTION)
        snprintf(mark->detail, sizeof mark->detail, "%.0f %s%s", order->value, row->unit,
                 order->synchronised ? ", synchronised" : "");
    else
        snprintf(mark->detail, sizeof mark->detail, "%.4g %s%s over %.3g min", order->value, row->amount_unit,
                 order->per_kg ? "/kg" : "", order->duration_s / 60);
}

static void order_words(const Order *order, double before, FlowMark *mark) {
    const OrderRow *row = sim_orders_row(order->id);
    snprintf(mark->what, sizeof mark->what, "%s", row->label);
    bool shock = order->id == ORDER_shock && order->act == ORDER_ACT_DO;
    if (shock || (row->kind == ORDER_KIND_DRIP && order->act == ORDER_ACT_BOLUS)) {
        dose_words(order, mark);
        return;
    }
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

/* A message that tells the result of a test: it comes from the laboratory or begins with the number's name.
 */
static bool is_result(const LogEntry *entry) {
    if (strcmp(entry->from, "Laboratory") == 0) return true;
    for (size_t i = 0; i < sizeof SAMPLES / sizeof SAMPLES[0]; i++) {
        const char *label = sim_instruments_display_row(SAMPLES[i].value[0])->label;
        size_t length = strlen(label);
        if (strncmp(entry->text, label, length) == 0 && entry->text[length] == ' ' &&
            entry->text[length + 1] >= '0' && entry->text[length + 1] <= '9')
            return true;
    }
    return false;
}

/* Which kind of mark an entry is; FLOW_MARK_COUNT: the trainee does not see it. */
static FlowMarkKind kind_of(const LogEntry *entry) {
    if (sim_records_hidden(entry)) return FLOW_MARK_COUNT;
    switch (entry->kind) {
    case LOG_ORDER:
        return FLOW_MARK_ORDER;
    case LOG_DONE:
        return FLOW_MARK_DONE;
    case LOG_MESSAGE:
        return is_result(entry) ? FLOW_MARK_RESULT : FLOW_MARK_MESSAGE;
    case LOG_ALARM:
    case LOG_ALARM_ACT:
        return FLOW_MARK_ALARM;
    case LOG_END:
        return FLOW_MARK_END;
    case LOG_OBJECTIVE:
        return FLOW_MARK_COUNT;
    default:
        return FLOW_MARK_LOOK;
    }
}

static void capital(char *text) {
    if (text[0] >= 'a' && text[0] <= 'z') text[0] = (char)(text[0] - 'a' + 'A');
}

static void copy_spaced(char *to, size_t size, const char *from) {
    snprintf(to, size, "%s", from);
    for (char *c = to; *c != '\0'; c++)
        *c = *c == '_' ? ' ' : *c;
}

/* "Tamponade, 70 % sure: re-open the chest". */
static void call_words(const Act *act, FlowMark *mark) {
    snprintf(mark->detail, sizeof mark->detail, "%s, %d %% sure%s%.400s",
             sim_diagnoses_row(act->diagnosis)->label, act->confidence_percent,
             act->words[0] != '\0' ? ": " : "", act->words);
}

/* Acts beside orders: what kind, and the rest of their words. */
static void act_words(const LogEntry *entry, FlowMark *mark) {
    Act act;
    const char *space = strchr(entry->text, ' ');
    if (sim_acts_parse(entry->text, NULL, &act, NULL) == ERROR_OK && (int)act.id < ACT_ROW_COUNT) {
        snprintf(mark->what, sizeof mark->what, "%.90s", sim_acts_row(act.id)->label);
        if (act.id == ACT_call)
            call_words(&act, mark);
        else if (act.id == ACT_note || act.id == ACT_bookmark)
            snprintf(mark->detail, sizeof mark->detail, "%.400s", act.words);
        else
            copy_spaced(mark->detail, sizeof mark->detail, space != NULL ? space + 1 : "");
        return;
    }
    copy_spaced(mark->what, sizeof mark->what, entry->from);
    copy_spaced(mark->detail, sizeof mark->detail, entry->text);
    capital(mark->what);
}

/* An order as given, or its end. */
static void fill_order(FlowMark *mark, const Order *order, bool done, double level[]) {
    order_words(order, level[order->id], mark);
    if (!done) {
        keep_level(order, level);
        return;
    }
    char what[FLOWSHEET_WORDS_MAX];
    bool action = sim_orders_row(order->id)->kind == ORDER_KIND_ACTION;
    snprintf(what, sizeof what, "%.90s", mark->detail);
    snprintf(mark->detail, sizeof mark->detail, "%s%s", action ? "" : what, action ? "done" : " is in");
}

/* An alarm's entry without its name, which stands before it. */
static void alarm_words(const char *text, const char *label, FlowMark *mark) {
    const char *at = strstr(text, label);
    const char *after = at == NULL ? "" : at + strlen(label);
    if (at == NULL)
        snprintf(mark->detail, sizeof mark->detail, "%s", text);
    else if (after[0] == ',')
        snprintf(mark->detail, sizeof mark->detail, "%.*s%s", (int)(at - text), text, after + 2);
    else if (after[0] == '\0' && at - text > 2)
        snprintf(mark->detail, sizeof mark->detail, "%.*s", (int)(at - text) - 2, text);
    else
        snprintf(mark->detail, sizeof mark->detail, "%s", text);
}

static void fill_mark(FlowMark *mark, const LogEntry *entry, double weight_kg, double level[]) {
    Order order;
    bool ordered = entry->kind == LOG_ORDER || entry->kind == LOG_DONE;
    if (ordered && sim_orders_parse(entry->text, NULL, &order, NULL) == ERROR_OK) {
        order = sim_orders_resolve(&order, weight_kg);
        fill_order(mark, &order, entry->kind == LOG_DONE, level);
    } else if (entry->kind == LOG_MESSAGE || entry->kind == LOG_END) {
        snprintf(mark->what, sizeof mark->what, "%s", entry->kind == LOG_END ? "The night" : entry->from);
        snprintf(mark->detail, sizeof mark->detail, "%s", entry->text);
        capital(mark->what);
    } else if (entry->kind == LOG_TAKE_BACK) {
        snprintf(mark->what, sizeof mark->what, "Taken back");
        snprintf(mark->detail, sizeof mark->detail, "%s", entry->text);
    } else if (entry->kind == LOG_ALARM) {
        AlarmId id = sim_alarms_find(entry->from);
        const char *label = id < ALARM_COUNT ? sim_alarms_row(id)->label : entry->from;
        snprintf(mark->what, sizeof mark->what, "%s", label);
        alarm_words(entry->text, label, mark);
    } else {
        act_words(entry, mark);
    }
}

/* ---- alarms ---- */

/* Keeps from when to when an alarm was on. */
static void take_alarm(FlowSheet *sheet, const LogEntry *entry) {
    AlarmId id = sim_alarms_find(entry->from);
    if (id >= ALARM_COUNT) return;
    if (strncmp(entry->text, "begins", strlen("begins")) == 0 && sheet->alarms < FLOWSHEET_ALARMS_MAX)
        sheet->alarm[sheet->alarms++] = (FlowAlarm){id, entry->time_s, entry->time_s, true};
    if (strncmp(entry->text, "ends", strlen("ends")) != 0) return;
    for (int i = 0; i < sheet->alarms; i++) {
        FlowAlarm *alarm = &sheet->alarm[i];
        if (alarm->id != id || !alarm->open) continue;
        alarm->open = false;
        alarm->to_s = entry->time_s;
    }
}

bool sim_flowsheet_alarm_concerns(AlarmId id, DisplayId shown) {
    static const DisplayId SIGNS_OF[] = {[ALARM_GROUP_RHYTHM] = DISPLAY_hr_per_min,
                                         [ALARM_GROUP_LEFT_PUMP] = DISPLAY_pump_flow_l_min,
                                         [ALARM_GROUP_RIGHT_PUMP] = DISPLAY_right_pump_flow_l_min,
                                         [ALARM_GROUP_ARTERY] = DISPLAY_art_mean_mmhg,
                                         [ALARM_GROUP_VEINS] = DISPLAY_cvp_mmhg,
                                         [ALARM_GROUP_LUNG_ARTERY] = DISPLAY_pa_mean_mmhg,
                                         [ALARM_GROUP_OXYGEN] = DISPLAY_spo2_percent};
    const AlarmRow *row = sim_alarms_row(id);
    if (row->side != ALARM_SIDE_SIGN) return row->display == shown;
    return (size_t)row->group < sizeof SIGNS_OF / sizeof SIGNS_OF[0] && SIGNS_OF[row->group] == shown;
}

void sim_flowsheet_find_marks(FlowSheet *sheet, const Session *session) {
    double level[ORDER_COUNT];
    int orders = 0;
    memcpy(level, sim_session_first_orders(session)->value, sizeof level);
    sheet->marks = sheet->alarms = 0;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        FlowMarkKind kind = entry != NULL ? kind_of(entry) : FLOW_MARK_COUNT;
        if (entry != NULL && entry->kind == LOG_ALARM) take_alarm(sheet, entry);
        if (kind == FLOW_MARK_COUNT || sheet->marks == FLOWSHEET_MARKS_MAX) continue;
        FlowMark *mark = &sheet->mark[sheet->marks++];
        *mark = (FlowMark){.time_s = entry->time_s, .kind = kind, .log_number = entry->number};
        if (kind == FLOW_MARK_ORDER) mark->number = ++orders;
        fill_mark(mark, entry, sheet->weight_kg, level);
    }
    for (int i = 0; i < sheet->alarms; i++) {
        if (sheet->alarm[i].open) sheet->alarm[i].to_s = sim_session_time_s(session);
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
