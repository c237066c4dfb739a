/* The order table, and the course of orders over time. */
#include "sim/orders.h"

#include "model/beat.h"
#include "model/units.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define DONE_SHARE         2e-4 /* a volume is in when less than this share of it is missing */
#define DRAIN_CLEARED_FRAC 0.3  /* of what is blocked; design */
#define DECIMALS_MOST      4

enum { PARAMETER_none = PARAMETER_COUNT };

static const OrderRow rows[ORDER_COUNT] = {
#define ORDER(key, label, group, kind, unit, low, high, step, coarse, standard, amount, conc, parameter,     \
              text, caution, source)                                                                         \
    {#key,                                                                                                   \
     label,                                                                                                  \
     ORDER_GROUP_##group,                                                                                    \
     ORDER_KIND_##kind,                                                                                      \
     unit,                                                                                                   \
     low,                                                                                                    \
     high,                                                                                                   \
     step,                                                                                                   \
     coarse,                                                                                                 \
     standard,                                                                                               \
     amount,                                                                                                 \
     conc,                                                                                                   \
     (ParameterId)PARAMETER_##parameter,                                                                     \
     text,                                                                                                   \
     caution,                                                                                                \
     source},
#include "sim/orders.def"
#undef ORDER
};

static const char *const group_labels[ORDER_GROUP_COUNT] = {"Pump",       "Fluids", "Drugs",
                                                            "Ventilator", "Rhythm", "Procedures"};

const OrderRow *sim_orders_row(OrderId id) {
    return &rows[id];
}

const char *sim_orders_group_label(OrderGroup group) {
    return group_labels[group];
}

OrderId sim_orders_find(const char *key) {
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (strcmp(key, rows[id].key) == 0) return (OrderId)id;
    }
    return ORDER_COUNT;
}

OrderLimits sim_orders_limits_standard(void) {
    OrderLimits limits = {0};
    for (int id = 0; id < ORDER_COUNT; id++) {
        limits.of[id] = (OrderLimit){.allowed = true,
                                     .low = rows[id].low,
                                     .high = rows[id].high,
                                     .step = rows[id].step,
                                     .delay_s = rows[id].kind == ORDER_KIND_ACTION ? rows[id].standard : 0};
    }
    return limits;
}

double sim_orders_ml_h(OrderId id, double value, double weight_kg) {
    const OrderRow *row = &rows[id];
    if (row->concentration <= 0) return 0;
    double per_min = strstr(row->unit, "/kg") != NULL ? value * weight_kg : value;
    return per_min * 60 / row->concentration;
}

void sim_orders_format_value(OrderId id, double value, char *text, size_t size) {
    int decimals = 0;
    double step = rows[id].step;
    while (decimals < DECIMALS_MOST && fabs(step - round(step)) > 1e-6) {
        step *= 10;
        decimals++;
    }
    snprintf(text, size, "%.*f", decimals, value);
}

static void add_change(OrderEffects *effects, ParameterId id, double value) {
    assert(effects->change_count < ORDER_CHANGES_MAX);
    effects->changes[effects->change_count++] = (ParameterChange){.id = id, .value = value};
}

/* Pacing and the rhythm under it, as rhythm_kind. */
static double rhythm_in_force(const OrdersState *state) {
    static const RhythmKind paced[] = {[ORDER_PACING_OFF] = RHYTHM_SINUS,
                                       [ORDER_PACING_ATRIAL] = RHYTHM_PACED_ATRIAL,
                                       [ORDER_PACING_VENTRICULAR] = RHYTHM_PACED_VENTRICULAR,
                                       [ORDER_PACING_BOTH] = RHYTHM_PACED_BOTH};
    RhythmKind native = (RhythmKind)lround(state->native_rhythm);
    bool captures = native != RHYTHM_VENTRICULAR_TACHYCARDIA && native != RHYTHM_VENTRICULAR_FIBRILLATION;
    if (state->pacing == ORDER_PACING_OFF || !captures) return state->native_rhythm;
    if (native == RHYTHM_ATRIAL_FIBRILLATION && state->pacing != ORDER_PACING_VENTRICULAR)
        return state->native_rhythm;
    return (double)paced[state->pacing];
}

double sim_orders_rhythm(OrdersState *state, double rhythm_kind) {
    state->native_rhythm = rhythm_kind;
    return rhythm_in_force(state);
}

/* Rate of a drip or fluid in force: what stays plus all that runs for a time. In the parameter's unit. */
static double rate_in_force(const OrdersState *state, OrderId id) {
    double rate = rows[id].kind == ORDER_KIND_FLUID ? state->value[id] / 60 : state->value[id];
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (state->running[i].active && state->running[i].order.id == id)
            rate += state->running[i].rate_per_min;
    }
    return rate;
}

void sim_orders_start(OrdersState *state, const Parameters *parameters) {
    memset(state, 0, sizeof *state);
    for (int id = 0; id < ORDER_COUNT; id++) {
        state->changed_s[id] = -1;
        if (rows[id].parameter == PARAMETER_COUNT) continue;
        double value = model_parameters_get(parameters, rows[id].parameter);
        state->value[id] = rows[id].kind == ORDER_KIND_FLUID ? value * 60 : value;
    }
    RhythmKind rhythm = (RhythmKind)lround(parameters->rhythm_kind);
    state->native_rhythm = parameters->rhythm_kind;
    if (rhythm >= RHYTHM_PACED_ATRIAL && rhythm <= RHYTHM_PACED_BOTH) {
        state->native_rhythm = RHYTHM_SINUS;
        state->pacing = (OrderPacing)(ORDER_PACING_ATRIAL + (rhythm - RHYTHM_PACED_ATRIAL));
    }
}

static ErrorCode refuse_absent(const char *what, Error *error) {
    return model_error_set(error, ERROR_NOT_ALLOWED, "%s", what);
}

/* Devices an order needs. */
static ErrorCode check_devices(const Order *order, const Parameters *parameters, Error *error) {
    if (order->id == ORDER_speed && parameters->left_pump_present < 0.5)
        return refuse_absent("there is no left pump", error);
    if (order->id == ORDER_right_speed && parameters->right_pump_present < 0.5)
        return refuse_absent("there is no right pump", error);
    if (rows[order->id].group == ORDER_GROUP_VENTILATOR && order->id != ORDER_fio2 &&
        parameters->ventilated < 0.5)
        return refuse_absent("the patient is not on the ventilator", error);
    return ERROR_OK;
}

static ErrorCode check_capture(const OrdersState *state, const Order *order, Error *error) {
    OrdersState then = *state;
    then.pacing = order->pacing;
    if (order->act == ORDER_ACT_OFF || fabs(rhythm_in_force(&then) - state->native_rhythm) > 0.5)
        return ERROR_OK;
    return model_error_set(error, ERROR_NOT_ALLOWED, "this pacing cannot capture in the present rhythm");
}

static OrderRunning *free_running(OrdersState *state) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (!state->running[i].active) return &state->running[i];
    }
    return NULL;
}

/* Puts something under way: `total` (mL or dose per kg) over duration_s, on top of what runs. */
static ErrorCode start_running(OrdersState *state, const Order *order, double total, double duration_s,
                               double time_s, OrderEffects *effects, Error *error) {
    const OrderRow *row = &rows[order->id];
    OrderRunning *running = free_running(state);
    if (running == NULL) {
        model_error_set(error, ERROR_NOT_ALLOWED, "too much is under way at once");
        model_error_allow(error, "at most %d volumes, loads and actions", ORDER_RUNNING_MAX);
        return ERROR_NOT_ALLOWED;
    }
    double rate_per_min = total / (duration_s / UNITS_S_PER_MIN);
    double high = model_parameters_row(row->parameter)->high;
    double in_force = order->act == ORDER_ACT_SET ? order->value : rate_in_force(state, order->id);
    if (rate_per_min + in_force > high) {
        model_error_set(error, ERROR_RANGE, "%s would run too fast", row->key);
        model_error_allow(error, "at most %g %s in all", high, model_parameters_row(row->parameter)->unit);
        return ERROR_RANGE;
    }
    *running = (OrderRunning){
        .active = true, .order = *order, .start_s = time_s, .total = total, .rate_per_min = rate_per_min};
    if (order->act == ORDER_ACT_SET) state->value[order->id] = order->value;
    add_change(effects, row->parameter, rate_in_force(state, order->id));
    return ERROR_OK;
}

/* Ends everything of one order that is under way. */
static void end_running(OrdersState *state, OrderId id) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (state->running[i].order.id == id) state->running[i].active = false;
    }
}

/* What an action does when its time is over. */
static void finish_action(const Order *order, const Parameters *parameters, OrderEffects *effects) {
    static const ParameterId repaired[] = {
        PARAMETER_bleed_drain_ml_h,   PARAMETER_bleed_hidden_ml_h,  PARAMETER_bleed_pericardium_ml_h,
        PARAMETER_bleed_clot_lv_ml_h, PARAMETER_bleed_clot_rv_ml_h, PARAMETER_bleed_clot_la_ml_h,
        PARAMETER_bleed_clot_ra_ml_h, PARAMETER_clot_lv_ml,         PARAMETER_clot_rv_ml,
        PARAMETER_clot_la_ml,         PARAMETER_clot_ra_ml,         PARAMETER_pericardial_free_ml,
    };
    switch (order->id) {
    case ORDER_wedge:
        effects->wedge = true;
        break;
    case ORDER_blood_sample:
        effects->sample = true;
        break;
    case ORDER_clear_drain:
        add_change(effects, PARAMETER_drain_patency_frac,
                   parameters->drain_patency_frac +
                       DRAIN_CLEARED_FRAC * (1 - parameters->drain_patency_frac));
        break;
    case ORDER_reopen_chest:
        add_change(effects, PARAMETER_chest_open, 1);
        for (size_t i = 0; i < sizeof repaired / sizeof repaired[0]; i++) {
            add_change(effects, repaired[i], 0);
        }
        break;
    default:
        break;
    }
}

static ErrorCode start_action(OrdersState *state, const Order *order, const OrderLimits *limits,
                              const Parameters *parameters, double time_s, OrderEffects *effects,
                              Error *error) {
    double delay_s = limits->of[order->id].delay_s;
    if (order->act == ORDER_ACT_STOP) {
        end_running(state, order->id);
        return ERROR_OK;
    }
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (state->running[i].active && state->running[i].order.id == order->id)
            return model_error_set(error, ERROR_NOT_ALLOWED, "%s is already under way", rows[order->id].key);
    }
    if (order->id == ORDER_reopen_chest && parameters->chest_open > 0.5)
        return model_error_set(error, ERROR_NOT_ALLOWED, "the chest is already open");
    if (delay_s <= 0) {
        finish_action(order, parameters, effects);
        return ERROR_OK;
    }
    OrderRunning *running = free_running(state);
    if (running == NULL) return model_error_set(error, ERROR_NOT_ALLOWED, "too much is under way at once");
    *running = (OrderRunning){.active = true, .order = *order, .start_s = time_s, .total = delay_s};
    return ERROR_OK;
}

static ErrorCode give_fluid(OrdersState *state, const Order *order, double time_s, OrderEffects *effects,
                            Error *error) {
    if (order->act == ORDER_ACT_BOLUS)
        return start_running(state, order, order->value, order->duration_s, time_s, effects, error);
    if (order->act == ORDER_ACT_STOP) end_running(state, order->id);
    double before = state->value[order->id];
    state->value[order->id] = order->act == ORDER_ACT_INFUSION ? order->value : 0;
    double rate = rate_in_force(state, order->id);
    if (rate > model_parameters_row(rows[order->id].parameter)->high) {
        state->value[order->id] = before;
        return model_error_set(error, ERROR_RANGE, "%s would run too fast", rows[order->id].key);
    }
    add_change(effects, rows[order->id].parameter, rate);
    return ERROR_OK;
}

static ErrorCode give_value(OrdersState *state, const Order *order, double time_s, OrderEffects *effects,
                            Error *error) {
    if (order->act == ORDER_ACT_SET && order->load > 0 && strstr(rows[order->id].unit, "/kg/min") == NULL) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s has no load", rows[order->id].key);
        model_error_allow(error, "a load for drips per kg and minute; this one can run faster for a while");
        return ERROR_NOT_ALLOWED;
    }
    if (order->act == ORDER_ACT_SET && order->load > 0)
        return start_running(state, order, order->load, order->load_s, time_s, effects, error);
    end_running(state, order->id); /* a new order ends a load */
    state->value[order->id] = order->act == ORDER_ACT_SET ? order->value : 0;
    add_change(effects, rows[order->id].parameter, rate_in_force(state, order->id));
    return ERROR_OK;
}

static ErrorCode give_pacing(OrdersState *state, const Order *order, OrderEffects *effects, Error *error) {
    ErrorCode code = check_capture(state, order, error);
    if (code != ERROR_OK) return code;
    state->pacing = order->act == ORDER_ACT_OFF ? ORDER_PACING_OFF : order->pacing;
    if (order->act == ORDER_ACT_SET) {
        state->value[order->id] = order->value;
        add_change(effects, PARAMETER_pacing_rate_per_min, order->value);
    }
    add_change(effects, PARAMETER_rhythm_kind, rhythm_in_force(state));
    return ERROR_OK;
}

Order sim_orders_stop(const OrdersState *state, int index) {
    const Order *running = &state->running[index].order;
    if (rows[running->id].kind == ORDER_KIND_DRIP)
        return (Order){.id = running->id, .act = ORDER_ACT_SET, .value = state->value[running->id]};
    return (Order){.id = running->id, .act = ORDER_ACT_STOP};
}

ErrorCode sim_orders_give(OrdersState *state, const Order *order, const OrderLimits *limits,
                          const Parameters *parameters, double time_s, OrderEffects *effects, Error *error) {
    ErrorCode code = check_devices(order, parameters, error);
    if (code != ERROR_OK) return code;
    switch (rows[order->id].kind) {
    case ORDER_KIND_ACTION:
        code = start_action(state, order, limits, parameters, time_s, effects, error);
        break;
    case ORDER_KIND_FLUID:
        code = give_fluid(state, order, time_s, effects, error);
        break;
    case ORDER_KIND_PACING:
        code = give_pacing(state, order, effects, error);
        break;
    case ORDER_KIND_SETTING:
    case ORDER_KIND_DRIP:
    case ORDER_KIND_GAS:
        code = give_value(state, order, time_s, effects, error);
        break;
    }
    if (code == ERROR_OK) state->changed_s[order->id] = time_s;
    return code;
}

/* Books what ran in the beat just played. The last part runs at the rate that finishes it within one such
   beat, so that the volume given is the volume ordered. */
static void advance_running(OrdersState *state, OrderRunning *running, const Parameters *parameters,
                            double dt_s, OrderEffects *effects) {
    const OrderRow *row = &rows[running->order.id];
    bool action = row->kind == ORDER_KIND_ACTION;
    double amount = action ? dt_s : running->rate_per_min * dt_s / UNITS_S_PER_MIN;
    running->given += amount;
    if (row->kind == ORDER_KIND_FLUID) state->given_ml[running->order.id] += amount;
    double rest = running->total - running->given;
    if (rest <= DONE_SHARE * running->total) {
        running->active = false;
        effects->done[effects->done_count++] = running->order;
        if (action) finish_action(&running->order, parameters, effects);
    } else if (!action) {
        running->rate_per_min = fmin(running->rate_per_min, rest / (dt_s / UNITS_S_PER_MIN));
    }
}

void sim_orders_advance(OrdersState *state, const Parameters *parameters, double dt_s,
                        OrderEffects *effects) {
    memset(effects, 0, sizeof *effects);
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (rows[id].kind == ORDER_KIND_FLUID) state->given_ml[id] += state->value[id] * dt_s / UNITS_S_PER_H;
    }
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        OrderRunning *running = &state->running[i];
        if (!running->active) continue;
        advance_running(state, running, parameters, dt_s, effects);
        OrderId id = running->order.id;
        if (rows[id].kind != ORDER_KIND_ACTION)
            add_change(effects, rows[id].parameter, rate_in_force(state, id));
    }
}
