/* Which rows a night's flow sheet has. */
#include "sim/flowsheet_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A row of numbers on show. */
typedef struct ShownRow {
    FlowGroup group;
    FlowKind kind;
    DisplayId shown, lower;
    const char *name; /* NULL: the display's own */
} ShownRow;

static const ShownRow SHOWN[] = {
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_hr_per_min, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_RHYTHM, DISPLAY_rhythm_kind, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_PACING, DISPLAY_COUNT, DISPLAY_COUNT, "Pacing"},
    {FLOW_HAEMODYNAMICS, FLOW_PAIR, DISPLAY_art_sys_mmhg, DISPLAY_art_dia_mmhg, "ART sys/dia"},
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_art_mean_mmhg, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_cvp_mmhg, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_PAIR, DISPLAY_pa_sys_mmhg, DISPLAY_pa_dia_mmhg, "PA sys/dia"},
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_pa_mean_mmhg, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_SAMPLE, DISPLAY_wedge_mmhg, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_SAMPLE, DISPLAY_thermodilution_l_min, DISPLAY_COUNT, "Output, thermodil."},
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_spo2_percent, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_svo2_percent, DISPLAY_COUNT, NULL},
    {FLOW_HAEMODYNAMICS, FLOW_SHOWN, DISPLAY_temperature_c, DISPLAY_COUNT, NULL},
    {FLOW_PUMP, FLOW_SHOWN, DISPLAY_pump_rpm, DISPLAY_COUNT, NULL},
    {FLOW_PUMP, FLOW_SHOWN, DISPLAY_pump_flow_l_min, DISPLAY_COUNT, "Flow, est."},
    {FLOW_PUMP, FLOW_SHOWN, DISPLAY_pump_power_w, DISPLAY_COUNT, NULL},
    {FLOW_PUMP, FLOW_SHOWN, DISPLAY_pump_pulsatility, DISPLAY_COUNT, NULL},
    {FLOW_PUMP, FLOW_SHOWN, DISPLAY_right_pump_rpm, DISPLAY_COUNT, NULL},
    {FLOW_PUMP, FLOW_SHOWN, DISPLAY_right_pump_flow_l_min, DISPLAY_COUNT, "Right flow"},
    {FLOW_VENTILATION, FLOW_SHOWN, DISPLAY_respiratory_rate_per_min, DISPLAY_COUNT, NULL},
    {FLOW_VENTILATION, FLOW_SHOWN, DISPLAY_peep_cmh2o, DISPLAY_COUNT, NULL},
    {FLOW_VENTILATION, FLOW_SHOWN, DISPLAY_airway_peak_cmh2o, DISPLAY_COUNT, NULL},
};

/* A row of volumes below the single fluids. */
typedef struct VolumeRow {
    FlowKind kind;
    FlowVolume volume;
    const char *name;
    bool sum;
} VolumeRow;

static const VolumeRow VOLUMES[] = {
    {FLOW_VOLUME, FLOW_VOLUME_DRIPS, "Drug infusions", false},
    {FLOW_VOLUME, FLOW_VOLUME_IN, "In", true},
    {FLOW_VOLUME, FLOW_VOLUME_URINE, "Urine, as read", false},
    {FLOW_VOLUME, FLOW_VOLUME_DRAIN, "Drain bottle", false},
    {FLOW_VOLUME, FLOW_VOLUME_OUT, "Out", true},
    {FLOW_LAST_H, FLOW_VOLUME_BALANCE, "Balance, last hour", true},
    {FLOW_RUNNING, FLOW_VOLUME_BALANCE, "Balance, night", false},
};

/* A row of marks. */
typedef struct MarkRow {
    FlowMarkKind mark;
    const char *name;
} MarkRow;

static const MarkRow MARKS[] = {{FLOW_MARK_ORDER, "Orders, by number"},
                                {FLOW_MARK_LOOK, "Looks, calls, notes"},
                                {FLOW_MARK_MESSAGE, "Messages"}};

static FlowRow *add_row(FlowSheet *sheet, FlowKind kind, FlowGroup group, const char *name,
                        const char *unit) {
    FlowRow *row = &sheet->row[sheet->rows];
    if (sheet->rows < FLOWSHEET_ROWS_MAX) sheet->rows++;
    *row = (FlowRow){.kind = kind,
                     .group = group,
                     .shown = DISPLAY_COUNT,
                     .lower = DISPLAY_COUNT,
                     .order = ORDER_COUNT,
                     .volume = FLOW_VOLUME_COUNT,
                     .mark = FLOW_MARK_COUNT,
                     .low = NAN,
                     .high = NAN,
                     .limit_low = NAN,
                     .limit_high = NAN,
                     .total = NAN};
    snprintf(row->name, sizeof row->name, "%s", name);
    snprintf(row->unit, sizeof row->unit, "%s", unit);
    return row;
}

static void add_head(FlowSheet *sheet, FlowGroup group) {
    static const char *const NAMES[FLOW_GROUP_COUNT] = {
        "Haemodynamics", "Pump", "Ventilation", "Infusions", "Fluids", "Blood samples", "Orders and notes"};
    add_row(sheet, FLOW_HEAD, group, NAMES[group], "");
}

static const char *unit_of(DisplayId id) {
    const char *unit = sim_instruments_display_row(id)->unit;
    if (id == DISPLAY_pump_rpm || id == DISPLAY_right_pump_rpm) return "rpm";
    if (id == DISPLAY_rhythm_kind || strcmp(unit, "pH") == 0) return "";
    return strcmp(unit, "1/min") == 0 ? "/min" : strcmp(unit, "degC") == 0 ? "\u00b0C" : unit;
}

/* The tightest limits that are watched for a number. */
static void find_limits(FlowRow *row, const Session *session) {
    const AlarmLimits *limits = &sim_session_alarms(session)->limits;
    for (int id = 0; id < ALARM_COUNT; id++) {
        const AlarmRow *alarm = sim_alarms_row((AlarmId)id);
        if (alarm->side == ALARM_SIDE_SIGN || alarm->display != row->shown || !limits->on[id]) continue;
        if (alarm->side == ALARM_SIDE_LOW) row->limit_low = fmax(row->limit_low, limits->value[id]);
        if (alarm->side == ALARM_SIDE_HIGH) row->limit_high = fmin(row->limit_high, limits->value[id]);
    }
}

static void add_shown(FlowSheet *sheet, const Session *session, const ShownRow *shown) {
    const Parameters *p = sim_session_parameters(session);
    bool right = shown->shown == DISPLAY_right_pump_rpm || shown->shown == DISPLAY_right_pump_flow_l_min;
    if (right && p->right_pump_present < 0.5) return;
    if (shown->group == FLOW_PUMP && !right && p->left_pump_present < 0.5) return;
    if (shown->shown == DISPLAY_COUNT) {
        FlowRow *pacing = add_row(sheet, shown->kind, shown->group, shown->name, "/min");
        pacing->order = ORDER_pacing;
        return;
    }
    const DisplayRow *display = sim_instruments_display_row(shown->shown);
    const CaseTarget *target = &sim_session_case(session)->targets[shown->shown];
    FlowRow *row = add_row(sheet, shown->kind, shown->group,
                           shown->name != NULL ? shown->name : display->label, unit_of(shown->shown));
    row->shown = shown->shown;
    row->lower = shown->lower;
    row->decimals = display->decimals;
    if (target->given) row->low = target->low;
    if (target->given) row->high = target->high;
    find_limits(row, session);
}

static void add_group(FlowSheet *sheet, const Session *session, FlowGroup group) {
    add_head(sheet, group);
    for (size_t i = 0; i < sizeof SHOWN / sizeof SHOWN[0]; i++) {
        if (SHOWN[i].group == group) add_shown(sheet, session, &SHOWN[i]);
    }
}

/* Decimals that every rate of an order needs. */
static int order_decimals(OrderId id, const Course *course) {
    char text[FLOWSHEET_CELL_MAX];
    int most = 0;
    for (int i = 0; i < course->count; i++) {
        if (course->span[i].id != id || course->span[i].extra) continue;
        sim_flowsheet_level(id, course->span[i].value, text, sizeof text);
        const char *point = strchr(text, '.');
        int decimals = point == NULL ? 0 : (int)strlen(point + 1);
        most = decimals > most ? decimals : most;
    }
    return most;
}

static void add_order(FlowSheet *sheet, const Course *course, FlowKind kind, FlowGroup group, OrderId id) {
    const OrderRow *order = sim_orders_row(id);
    bool ml_h = kind == FLOW_ML_H;
    FlowRow *row =
        add_row(sheet, kind, group, ml_h ? "as volume" : order->label, ml_h ? "mL/h" : order->unit);
    row->order = id;
    row->decimals = ml_h ? 1 : order_decimals(id, course);
    if (strcmp(order->unit, "fraction") == 0) row->unit[0] = '\0';
}

static void add_ventilation(FlowSheet *sheet, const Session *session, const Course *course) {
    add_group(sheet, session, FLOW_VENTILATION);
    if (sim_session_parameters(session)->ventilated > 0.5)
        add_order(sheet, course, FLOW_SETTING, FLOW_VENTILATION, ORDER_driving_pressure);
    add_order(sheet, course, FLOW_SETTING, FLOW_VENTILATION, ORDER_fio2);
}

static void add_infusions(FlowSheet *sheet, const Course *course) {
    add_head(sheet, FLOW_INFUSIONS);
    for (int id = 0; id < ORDER_COUNT; id++) {
        OrderKind kind = sim_orders_row((OrderId)id)->kind;
        if ((kind != ORDER_KIND_DRIP && kind != ORDER_KIND_GAS) || !sim_course_used(course, (OrderId)id))
            continue;
        add_order(sheet, course, kind == ORDER_KIND_DRIP ? FLOW_RATE : FLOW_SETTING, FLOW_INFUSIONS,
                  (OrderId)id);
        if (kind == ORDER_KIND_DRIP) add_order(sheet, course, FLOW_ML_H, FLOW_INFUSIONS, (OrderId)id);
    }
}

static void add_fluids(FlowSheet *sheet, const Session *session, const Course *course) {
    add_head(sheet, FLOW_FLUIDS);
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (sim_orders_row((OrderId)id)->kind != ORDER_KIND_FLUID) continue;
        if (!sim_session_limits(session)->of[id].allowed && !sim_course_used(course, (OrderId)id)) continue;
        FlowRow *row = add_row(sheet, FLOW_VOLUME, FLOW_FLUIDS, sim_orders_row((OrderId)id)->label, "mL");
        row->order = (OrderId)id;
        row->volume = FLOW_VOLUME_ORDER;
    }
    for (size_t i = 0; i < sizeof VOLUMES / sizeof VOLUMES[0]; i++) {
        FlowRow *row = add_row(sheet, VOLUMES[i].kind, FLOW_FLUIDS, VOLUMES[i].name, "mL");
        row->volume = VOLUMES[i].volume;
        row->sum = VOLUMES[i].sum;
    }
}

static void add_samples(FlowSheet *sheet, const Session *session) {
    const FlowSampleRow *gas = sim_flowsheet_sample_row(0);
    add_head(sheet, FLOW_SAMPLES);
    FlowRow *taken = add_row(sheet, FLOW_TAKEN, FLOW_SAMPLES, "Blood taken", "h:min");
    taken->shown = gas->taken;
    for (int i = 0; i < gas->values; i++) {
        ShownRow row = {FLOW_SAMPLES, FLOW_SAMPLE, gas->value[i], DISPLAY_COUNT, NULL};
        add_shown(sheet, session, &row);
    }
    ShownRow venous = {FLOW_SAMPLES, FLOW_SAMPLE, DISPLAY_svo2_sample_percent, DISPLAY_COUNT, NULL};
    add_shown(sheet, session, &venous);
}

void sim_flowsheet_find_rows(FlowSheet *sheet, const Session *session, const Course *course) {
    sheet->rows = 0;
    add_group(sheet, session, FLOW_HAEMODYNAMICS);
    add_group(sheet, session, FLOW_PUMP);
    add_ventilation(sheet, session, course);
    add_infusions(sheet, course);
    add_fluids(sheet, session, course);
    add_samples(sheet, session);
    add_head(sheet, FLOW_NOTES);
    for (size_t i = 0; i < sizeof MARKS / sizeof MARKS[0]; i++)
        add_row(sheet, FLOW_COUNT, FLOW_NOTES, MARKS[i].name, "")->mark = MARKS[i].mark;
}
