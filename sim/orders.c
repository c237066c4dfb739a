/* The order table, and the course of orders over time. */
#include "sim/orders_parts.h"

#include "model/units.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define DONE_SHARE        2e-4 /* a volume is in when less than this share of it is missing */
#define SHOCK_J_MIN_PER_J 60.0 /* a shock reaches the heart within a second */
#define SHOCK_DONE_J      0.01
#define RANDOM_SALT       UINT64_C(0x51ed270b9f1a3c57) /* keeps these draws apart from the patient's */

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
                                                            "Ventilator", "Rhythm", "Tests"};

static const OrderDose doses[] = {
#define DOSE(order, per_kg, low, high, step, standard, over_s, load, source)                                 \
    {ORDER_##order, per_kg, low, high, step, standard, over_s, load, source},
#include "sim/doses.def"
#undef DOSE
};

/* First drug of each class, in the order of orders.def. */
typedef struct ClassRow {
    OrderId first;
    const char *label;
} ClassRow;

static const ClassRow classes[] = {
    {ORDER_milrinone, "inotrope"},        {ORDER_norepinephrine, "vasoconstrictor"},
    {ORDER_nitroglycerin, "vasodilator"}, {ORDER_nitric_oxide, "inhaled"},
    {ORDER_amiodarone, "for the rhythm"}, {ORDER_furosemide, "diuretic"},
};

const OrderDose *sim_orders_dose(OrderId id) {
    for (size_t i = 0; i < sizeof doses / sizeof doses[0]; i++) {
        if (doses[i].id == id) return &doses[i];
    }
    return NULL;
}

const char *sim_orders_class(OrderId id) {
    const char *label = "";
    if (rows[id].group != ORDER_GROUP_DRUGS) return label;
    for (size_t i = 0; i < sizeof classes / sizeof classes[0]; i++) {
        if (id >= classes[i].first) label = classes[i].label;
    }
    return label;
}

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

/* What lies under the wires, where the heart would not beat on its own sinus node. */
static void add_underlying(const OrdersState *state, const Parameters *parameters, OrderEffects *effects) {
    long native = lround(state->native_rhythm);
    double under = native == RHYTHM_ATRIAL_FIBRILLATION || native == RHYTHM_ASYSTOLE ? (double)native : 0;
    if (fabs(under - parameters->underlying_rhythm_kind) > 0.5)
        sim_orders_add_change(effects, PARAMETER_underlying_rhythm_kind, under);
}

void sim_orders_add_rhythm(const OrdersState *state, const Parameters *parameters, OrderEffects *effects) {
    sim_orders_add_change(effects, PARAMETER_rhythm_kind, rhythm_in_force(state));
    add_underlying(state, parameters, effects);
}

/* Rate of a drip or fluid in force: what stays plus all that runs for a time. In the parameter's unit. */
static double rate_in_force(const OrdersState *state, OrderId id, double weight_kg) {
    double rate = rows[id].kind == ORDER_KIND_FLUID
                      ? state->value[id] / 60
                      : state->value[id] * sim_orders_parameter_scale(id, weight_kg);
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        const OrderRunning *running = &state->running[i];
        if (running->active && running->order.id == id) rate += running->rate_per_min * running->scale;
    }
    return rate;
}

void sim_orders_start(OrdersState *state, const Parameters *parameters) {
    memset(state, 0, sizeof *state);
    for (int id = 0; id < ORDER_COUNT; id++) {
        state->changed_s[id] = -1;
        if (rows[id].parameter == PARAMETER_COUNT) continue;
        double value = model_parameters_get(parameters, rows[id].parameter);
        state->value[id] = rows[id].kind == ORDER_KIND_FLUID
                               ? value * 60
                               : value / sim_orders_parameter_scale((OrderId)id, parameters->weight_kg);
    }
    sim_orders_seed(state, 0);
    RhythmKind rhythm = (RhythmKind)lround(parameters->rhythm_kind);
    state->native_rhythm = parameters->rhythm_kind;
    if (rhythm >= RHYTHM_PACED_ATRIAL && rhythm <= RHYTHM_PACED_BOTH) {
        state->native_rhythm = parameters->underlying_rhythm_kind;
        state->pacing = (OrderPacing)(ORDER_PACING_ATRIAL + (rhythm - RHYTHM_PACED_ATRIAL));
    }
}

void sim_orders_seed(OrdersState *state, uint64_t seed) {
    state->random = model_random_seed(seed ^ RANDOM_SALT);
}

static ErrorCode check_capture(const OrdersState *state, const Order *order, Error *error) {
    OrdersState then = *state;
    then.pacing = order->pacing;
    if (order->act == ORDER_ACT_OFF || fabs(rhythm_in_force(&then) - state->native_rhythm) > 0.5)
        return ERROR_OK;
    return model_error_set(error, ERROR_NOT_ALLOWED, "this pacing cannot capture in the present rhythm");
}

OrderRunning *sim_orders_free_running(OrdersState *state) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (!state->running[i].active) return &state->running[i];
    }
    return NULL;
}

/* Puts something under way: `total` (mL, or amount_unit) over duration_s, on top of what runs. */
static ErrorCode start_running(OrdersState *state, const Order *order, double total, double duration_s,
                               const Parameters *parameters, double time_s, OrderEffects *effects,
                               Error *error) {
    const OrderRow *row = &rows[order->id];
    OrderRunning *running = sim_orders_free_running(state);
    if (running == NULL) {
        model_error_set(error, ERROR_NOT_ALLOWED, "too much is under way at once");
        model_error_allow(error, "at most %d volumes, doses and actions", ORDER_RUNNING_MAX);
        return ERROR_NOT_ALLOWED;
    }
    bool load = order->act == ORDER_ACT_SET;
    bool per_kg = load ? strstr(row->unit, "/kg") != NULL : order->per_kg;
    double scale = sim_orders_amount_scale(order->id, per_kg, parameters->weight_kg);
    double rate_per_min = total / (duration_s / UNITS_S_PER_MIN);
    double high = model_parameters_row(row->parameter)->high;
    double in_force = load ? order->value * sim_orders_parameter_scale(order->id, parameters->weight_kg)
                           : rate_in_force(state, order->id, parameters->weight_kg);
    if (rate_per_min * scale + in_force > high) {
        model_error_set(error, ERROR_RANGE, "%s would run too fast", row->key);
        model_error_allow(error, "at most %g %s in all", high, model_parameters_row(row->parameter)->unit);
        return ERROR_RANGE;
    }
    *running = (OrderRunning){.active = true,
                              .order = *order,
                              .start_s = time_s,
                              .total = total,
                              .rate_per_min = rate_per_min,
                              .scale = scale};
    if (load) state->value[order->id] = order->value;
    sim_orders_add_change(effects, row->parameter, rate_in_force(state, order->id, parameters->weight_kg));
    return ERROR_OK;
}

/* Ends everything of one order that is under way. */
void sim_orders_end_running(OrdersState *state, OrderId id) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (state->running[i].order.id == id) state->running[i].active = false;
    }
}

static ErrorCode give_fluid(OrdersState *state, const Order *order, const Parameters *parameters,
                            double time_s, OrderEffects *effects, Error *error) {
    if (order->act == ORDER_ACT_BOLUS)
        return start_running(state, order, order->value, order->duration_s, parameters, time_s, effects,
                             error);
    const OrdersState before = *state;
    if (order->act == ORDER_ACT_STOP) sim_orders_end_running(state, order->id);
    state->value[order->id] = order->act == ORDER_ACT_INFUSION ? order->value : 0;
    double rate = rate_in_force(state, order->id, parameters->weight_kg);
    if (rate > model_parameters_row(rows[order->id].parameter)->high) {
        *state = before;
        return model_error_set(error, ERROR_RANGE, "%s would run too fast", rows[order->id].key);
    }
    sim_orders_add_change(effects, rows[order->id].parameter, rate);
    return ERROR_OK;
}

/* A new rate ends a load that still runs; single doses run on. */
static void end_loads(OrdersState *state, OrderId id) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        OrderRunning *running = &state->running[i];
        if (running->order.id == id && running->order.act == ORDER_ACT_SET) running->active = false;
    }
}

static ErrorCode give_value(OrdersState *state, const Order *typed, const Parameters *parameters,
                            double time_s, OrderEffects *effects, Error *error) {
    const Order order = sim_orders_resolve(typed, parameters->weight_kg);
    if (order.act == ORDER_ACT_BOLUS)
        return start_running(state, &order, order.value, order.duration_s, parameters, time_s, effects,
                             error);
    if (order.act == ORDER_ACT_SET && order.load > 0)
        return start_running(state, &order, order.load, order.load_s, parameters, time_s, effects, error);
    if (order.act == ORDER_ACT_SET)
        end_loads(state, order.id);
    else
        sim_orders_end_running(state, order.id);
    state->value[order.id] = order.act == ORDER_ACT_SET ? order.value : 0;
    sim_orders_add_change(effects, rows[order.id].parameter,
                          rate_in_force(state, order.id, parameters->weight_kg));
    return ERROR_OK;
}

static ErrorCode give_pacing(OrdersState *state, const Order *order, const Parameters *parameters,
                             OrderEffects *effects, Error *error) {
    ErrorCode code = check_capture(state, order, error);
    if (code != ERROR_OK) return code;
    state->pacing = order->act == ORDER_ACT_OFF ? ORDER_PACING_OFF : order->pacing;
    if (order->act == ORDER_ACT_SET) {
        state->value[order->id] = order->value;
        sim_orders_add_change(effects, PARAMETER_pacing_rate_per_min, order->value);
    }
    if (state->pacing == ORDER_PACING_VENTRICULAR)
        sim_orders_add_change(effects, PARAMETER_ventricular_sensing, 1); /* VVI */
    sim_orders_add_rhythm(state, parameters, effects);
    return ERROR_OK;
}

Order sim_orders_stop(const OrdersState *state, int index) {
    const Order *running = &state->running[index].order;
    if (rows[running->id].kind == ORDER_KIND_DRIP && running->act == ORDER_ACT_SET)
        return (Order){.id = running->id, .act = ORDER_ACT_SET, .value = state->value[running->id]};
    return (Order){.id = running->id, .act = ORDER_ACT_STOP};
}

ErrorCode sim_orders_give(OrdersState *state, const Order *order, const OrderLimits *limits,
                          const Parameters *parameters, double time_s, OrderEffects *effects, Error *error) {
    const char *prevented = sim_orders_prevented(order->id, state, parameters);
    if (prevented != NULL && order->act != ORDER_ACT_STOP && order->act != ORDER_ACT_OFF)
        return model_error_set(error, ERROR_NOT_ALLOWED, "%s", prevented);
    ErrorCode code = ERROR_OK;
    switch (rows[order->id].kind) {
    case ORDER_KIND_ACTION:
        code = sim_orders_give_action(state, order, limits, parameters, time_s, effects, error);
        break;
    case ORDER_KIND_FLUID:
        code = give_fluid(state, order, parameters, time_s, effects, error);
        break;
    case ORDER_KIND_PACING:
        code = give_pacing(state, order, parameters, effects, error);
        break;
    case ORDER_KIND_SETTING:
    case ORDER_KIND_DRIP:
    case ORDER_KIND_GAS:
        code = give_value(state, order, parameters, time_s, effects, error);
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
    double before = running->total - running->given;
    running->given += amount;
    if (row->kind == ORDER_KIND_FLUID) state->given_ml[running->order.id] += amount;
    double rest = running->total - running->given;
    if (running->midway_s > 0 && before > running->midway_s && rest <= running->midway_s)
        sim_orders_midway(&running->order, effects);
    if (rest <= DONE_SHARE * running->total) {
        running->active = false;
        effects->done[effects->done_count++] = running->order;
        if (action) sim_orders_finish_action(state, &running->order, parameters, effects);
    } else if (!action) {
        running->rate_per_min = fmin(running->rate_per_min, rest / (dt_s / UNITS_S_PER_MIN));
    }
}

/* Energy of a shock that has reached the heart in the beat just played. */
static void advance_shock(OrdersState *state, const Parameters *parameters, double dt_s,
                          OrderEffects *effects) {
    if (state->shock_left_j <= 0) return;
    state->shock_left_j -= parameters->shock_j_min * dt_s / UNITS_S_PER_MIN;
    if (state->shock_left_j < SHOCK_DONE_J) state->shock_left_j = 0;
    double rate = fmin(SHOCK_J_MIN_PER_J * state->shock_left_j, state->shock_left_j * UNITS_S_PER_MIN / dt_s);
    sim_orders_add_change(effects, PARAMETER_shock_j_min, rate);
}

void sim_orders_advance(OrdersState *state, const Parameters *parameters, double dt_s,
                        OrderEffects *effects) {
    memset(effects, 0, sizeof *effects);
    advance_shock(state, parameters, dt_s, effects);
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (rows[id].kind == ORDER_KIND_FLUID) state->given_ml[id] += state->value[id] * dt_s / UNITS_S_PER_H;
    }
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        OrderRunning *running = &state->running[i];
        if (!running->active) continue;
        advance_running(state, running, parameters, dt_s, effects);
        OrderId id = running->order.id;
        if (rows[id].kind != ORDER_KIND_ACTION)
            sim_orders_add_change(effects, rows[id].parameter,
                                  rate_in_force(state, id, parameters->weight_kg));
    }
    add_underlying(state, parameters, effects);
}
