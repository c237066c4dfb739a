/* Orders that are done once: what prevents them, how long they take, what they do. */
#include "sim/orders_parts.h"

#include "model/formulas.h"
#include "model/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DRAIN_CLEARED_FRAC 0.3  /* of what is blocked; design */
#define BEDSIDE_BLEED_FRAC 0.3  /* of the bleeding that goes on after re-opening at the bedside; design */
#define SURGEON_HERE_FRAC  0.5  /* of the time to re-open, when he is there already; design */
#define BALLOON_UP_S       15.0 /* before a wedge reading; common practice: as short as possible */
#define INTERNAL_MOST_J    50.0 /* paddles on the heart */
#define INTERNAL_AS_EXTERNAL                                                                                 \
    10.0 /* energy on the heart that stuns as much as ten times as much through the chest; design */
#define FLUSH_FREES_FRAC  0.5  /* of what damps a line; design */
#define SHOCK_J_MIN_PER_J 60.0 /* a shock reaches the heart within a second */
#define VULNERABLE_S      0.04 /* of each beat, in which a shock makes the ventricles fibrillate (textbook) */

enum { FAULT_SOURCE = 1, FAULT_CONTROLLER = 2, FAULT_MOTOR = 3 };

static bool under_way(const OrdersState *state, OrderId id) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        if (state->running[i].active && state->running[i].order.id == id) return true;
    }
    return false;
}

const char *sim_orders_prevented(OrderId id, const OrdersState *state, const Parameters *parameters) {
    switch (id) {
    case ORDER_speed:
    case ORDER_pump_haematocrit:
    case ORDER_power_source:
    case ORDER_changeover:
        return parameters->left_pump_present < 0.5 ? "there is no left pump" : NULL;
    case ORDER_right_speed:
        return parameters->right_pump_present < 0.5 ? "there is no right pump" : NULL;
    case ORDER_peep:
    case ORDER_driving_pressure:
    case ORDER_respiratory_rate:
        return parameters->ventilated < 0.5 ? "the patient is not on the ventilator" : NULL;
    case ORDER_thermodilution:
        return parameters->right_pump_present > 0.5 ? "the right pump takes the injected cold" : NULL;
    case ORDER_call_surgeon:
        return state->surgeon_here ? "the surgeon is here" : NULL;
    case ORDER_reopen_bedside:
    case ORDER_reopen_chest:
        if (parameters->chest_open > 0.5) return "the chest is already open";
        return under_way(state, id == ORDER_reopen_chest ? ORDER_reopen_bedside : ORDER_reopen_chest)
                   ? "the chest is being re-opened"
                   : NULL;
    default:
        return NULL;
    }
}

void sim_orders_add_change(OrderEffects *effects, ParameterId id, double value) {
    if (effects->change_count < ORDER_CHANGES_MAX)
        effects->changes[effects->change_count++] = (ParameterChange){.id = id, .value = value};
}

/* Adds something to be told; the text is written by the caller. NULL when enough is told. */
static char *say(OrderEffects *effects, const char *from) {
    if (effects->saying_count == ORDER_SAYINGS_MAX) return NULL;
    OrderSaying *saying = &effects->sayings[effects->saying_count++];
    saying->from = from;
    return saying->text;
}

static void tell(OrderEffects *effects, const char *from, const char *words) {
    char *text = say(effects, from);
    if (text != NULL) snprintf(text, ORDER_TEXT_MAX, "%s", words);
}

/* Tests: which, and what hands do for it when the sample is taken. */
typedef struct TestRow {
    OrderId id;
    OrderTest test;
    unsigned hands;
} TestRow;

static const TestRow *find_test(OrderId id) {
    static const TestRow tests[ORDER_TEST_COUNT] = {
        {ORDER_wedge, ORDER_TEST_WEDGE, 0},
        {ORDER_blood_sample, ORDER_TEST_GAS, ORDER_HANDS_DRAW_ART},
        {ORDER_mixed_venous, ORDER_TEST_MIXED_VENOUS, ORDER_HANDS_DRAW_PA},
        {ORDER_lactate, ORDER_TEST_LACTATE, ORDER_HANDS_DRAW_ART},
        {ORDER_haemoglobin, ORDER_TEST_HAEMOGLOBIN, ORDER_HANDS_DRAW_ART},
        {ORDER_thermodilution, ORDER_TEST_THERMODILUTION, 0},
        {ORDER_read_urine, ORDER_TEST_URINE, 0},
    };
    for (int i = 0; i < ORDER_TEST_COUNT; i++) {
        if (tests[i].id == id) return &tests[i];
    }
    return NULL;
}

static bool at_its_end(OrderTest test) {
    return test == ORDER_TEST_WEDGE || test == ORDER_TEST_THERMODILUTION || test == ORDER_TEST_URINE;
}

/* What is taken out and tied when the chest is opened. */
static void relieve(const Parameters *parameters, double bleed_frac, OrderEffects *effects) {
    static const ParameterId cleared[] = {PARAMETER_clot_lv_ml, PARAMETER_clot_rv_ml, PARAMETER_clot_la_ml,
                                          PARAMETER_clot_ra_ml, PARAMETER_pericardial_free_ml};
    static const ParameterId tied[] = {PARAMETER_bleed_drain_ml_h,       PARAMETER_bleed_hidden_ml_h,
                                       PARAMETER_bleed_pericardium_ml_h, PARAMETER_bleed_clot_lv_ml_h,
                                       PARAMETER_bleed_clot_rv_ml_h,     PARAMETER_bleed_clot_la_ml_h,
                                       PARAMETER_bleed_clot_ra_ml_h};
    sim_orders_add_change(effects, PARAMETER_chest_open, 1);
    for (size_t i = 0; i < sizeof cleared / sizeof cleared[0]; i++) {
        sim_orders_add_change(effects, cleared[i], 0);
    }
    for (size_t i = 0; i < sizeof tied / sizeof tied[0]; i++) {
        sim_orders_add_change(effects, tied[i], bleed_frac * model_parameters_get(parameters, tied[i]));
    }
}

/* Whether a shock brings about what it is given for; draws from the orders' own numbers. */
static bool succeeds(OrdersState *state, const Parameters *parameters, double chance) {
    return model_random_uniform(&state->random) < chance * (1 - parameters->shock_refractory_frac);
}

/* Rate of a rhythm that a shock without synchronisation may hit in its vulnerable time. */
static double beats_per_min(const Parameters *parameters, RhythmKind native) {
    return native == RHYTHM_VENTRICULAR_TACHYCARDIA ? parameters->ventricular_tachycardia_rate_per_min
                                                    : parameters->sinus_rate_per_min;
}

static RhythmKind after_shock(OrdersState *state, const Order *order, const Parameters *parameters,
                              bool internal) {
    RhythmKind native = (RhythmKind)lround(state->native_rhythm);
    RhythmKind cured = (RhythmKind)lround(parameters->rhythm_after_shock);
    if (native == RHYTHM_ASYSTOLE) return native;
    if (native == RHYTHM_VENTRICULAR_FIBRILLATION)
        return succeeds(state, parameters, model_formulas_shock_success(order->value, internal)) ? cured
                                                                                                 : native;
    double hit = VULNERABLE_S * beats_per_min(parameters, native) / UNITS_S_PER_MIN;
    if (!order->synchronised && model_random_uniform(&state->random) < hit)
        return RHYTHM_VENTRICULAR_FIBRILLATION;
    if (native == RHYTHM_VENTRICULAR_TACHYCARDIA)
        return succeeds(state, parameters, model_formulas_shock_success(order->value, internal)) ? cured
                                                                                                 : native;
    if (native == RHYTHM_ATRIAL_FIBRILLATION)
        return succeeds(state, parameters, model_formulas_cardioversion_success(order->value, internal))
                   ? cured
                   : native;
    return native;
}

static const char *rhythm_words(RhythmKind kind) {
    static const char *const words[RHYTHM_COUNT] = {
        [RHYTHM_SINUS] = "sinus rhythm",
        [RHYTHM_ATRIAL_FIBRILLATION] = "atrial fibrillation",
        [RHYTHM_PACED_ATRIAL] = "sinus rhythm",
        [RHYTHM_PACED_VENTRICULAR] = "sinus rhythm",
        [RHYTHM_PACED_BOTH] = "sinus rhythm",
        [RHYTHM_VENTRICULAR_TACHYCARDIA] = "ventricular tachycardia",
        [RHYTHM_VENTRICULAR_FIBRILLATION] = "ventricular fibrillation",
        [RHYTHM_ASYSTOLE] = "asystole",
    };
    return words[kind];
}

static void give_shock(OrdersState *state, const Order *order, const Parameters *parameters,
                       OrderEffects *effects) {
    bool internal = parameters->chest_open > 0.5 && order->value <= INTERNAL_MOST_J;
    RhythmKind before = (RhythmKind)lround(state->native_rhythm);
    RhythmKind after = after_shock(state, order, parameters, internal);
    state->native_rhythm = after;
    state->shock_left_j += order->value * (internal ? INTERNAL_AS_EXTERNAL : 1);
    sim_orders_add_change(effects, PARAMETER_shock_j_min, state->shock_left_j * SHOCK_J_MIN_PER_J);
    sim_orders_add_rhythm(state, parameters, effects);
    char *text = say(effects, "Nurse");
    if (text != NULL)
        snprintf(text, ORDER_TEXT_MAX, "%.0f J given%s: %s%s.", order->value, internal ? " on the heart" : "",
                 before == after ? "still " : "", rhythm_words(after));
}

/* Clot or air in the arterial line goes in part with a flush. */
static void free_line(const Parameters *parameters, OrderEffects *effects) {
    double usual = model_parameters_row(PARAMETER_art_line_damping)->standard;
    double usual_hz = model_parameters_row(PARAMETER_art_line_hz)->standard;
    double over = parameters->art_line_damping - usual, slow = parameters->art_line_hz - usual_hz;
    if (over > 0)
        sim_orders_add_change(effects, PARAMETER_art_line_damping, usual + (1 - FLUSH_FREES_FRAC) * over);
    if (slow < 0)
        sim_orders_add_change(effects, PARAMETER_art_line_hz, usual_hz + (1 - FLUSH_FREES_FRAC) * slow);
}

/* Power comes back unless what has failed is not what was changed. */
static void restore_power(const Parameters *parameters, bool controller, OrderEffects *effects) {
    long fault = lround(parameters->left_pump_fault);
    bool fails = controller && parameters->left_pump_changeover_fails > 0.5;
    bool repaired = controller ? fault == FAULT_CONTROLLER : fault == FAULT_SOURCE;
    bool runs = !fails && (fault == 0 || repaired);
    bool stood = parameters->left_pump_powered < 0.5;
    if (runs) {
        sim_orders_add_change(effects, PARAMETER_left_pump_powered, 1);
        sim_orders_add_change(effects, PARAMETER_left_pump_fault, 0);
        tell(effects, "Nurse",
             stood && !controller ? "The pump has power again and is running up."
             : controller         ? "The pump is running on the other controller."
                                  : "Both power sources are changed; the pump did not stop.");
    } else if (stood || controller) {
        if (fails) { /* going back to a first controller that was sound still works */
            sim_orders_add_change(effects, PARAMETER_left_pump_fault,
                                  fault == 0 ? FAULT_CONTROLLER : FAULT_MOTOR);
            sim_orders_add_change(effects, PARAMETER_left_pump_changeover_fails, 0);
        }
        tell(effects, "Nurse",
             controller ? "The pump does not start on the other controller." : "Still no power at the pump.");
    }
}

void sim_orders_midway(const Order *order, OrderEffects *effects) {
    if (order->id == ORDER_changeover) sim_orders_add_change(effects, PARAMETER_left_pump_powered, 0);
    if (order->id == ORDER_wedge) effects->hands |= ORDER_HANDS_BALLOON;
}

void sim_orders_finish_action(OrdersState *state, const Order *order, const Parameters *parameters,
                              OrderEffects *effects) {
    const TestRow *test = find_test(order->id);
    if (test != NULL) {
        if (at_its_end(test->test)) effects->drawn |= 1u << test->test;
        effects->reported |= 1u << test->test;
        return;
    }
    switch (order->id) {
    case ORDER_zero_lines:
        effects->hands |= ORDER_HANDS_ZERO;
        break;
    case ORDER_flush_line:
        effects->hands |= ORDER_HANDS_FLUSH_ART;
        free_line(parameters, effects);
        break;
    case ORDER_shock:
        give_shock(state, order, parameters, effects);
        break;
    case ORDER_power_source:
        restore_power(parameters, false, effects);
        break;
    case ORDER_changeover:
        restore_power(parameters, true, effects);
        break;
    case ORDER_call_surgeon:
        state->surgeon_here = true;
        effects->surgeon = true;
        break;
    case ORDER_clear_drain:
        sim_orders_add_change(effects, PARAMETER_drain_patency_frac,
                              parameters->drain_patency_frac +
                                  DRAIN_CLEARED_FRAC * (1 - parameters->drain_patency_frac));
        break;
    case ORDER_pericardial_drain:
        sim_orders_add_change(effects, PARAMETER_drain_patency_frac, 1);
        break;
    case ORDER_reopen_bedside:
        relieve(parameters, BEDSIDE_BLEED_FRAC, effects);
        break;
    case ORDER_reopen_chest:
        relieve(parameters, 0, effects);
        break;
    default:
        break;
    }
}

/* The pump stands still in the middle of a changeover: too late to call it off. */
static ErrorCode call_off(OrdersState *state, const Order *order, const Parameters *parameters,
                          Error *error) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        const OrderRunning *running = &state->running[i];
        if (running->active && running->order.id == ORDER_changeover && order->id == ORDER_changeover &&
            running->total - running->given <= parameters->left_pump_changeover_s)
            return model_error_set(error, ERROR_NOT_ALLOWED, "the pump is stopped for the changeover now");
    }
    sim_orders_end_running(state, order->id);
    return ERROR_OK;
}

static ErrorCode check_shock(const OrdersState *state, const Order *order, Error *error) {
    RhythmKind native = (RhythmKind)lround(state->native_rhythm);
    bool no_waves = native == RHYTHM_VENTRICULAR_FIBRILLATION || native == RHYTHM_ASYSTOLE;
    if (!order->synchronised || !no_waves) return ERROR_OK;
    model_error_set(error, ERROR_NOT_ALLOWED,
                    "there is no R wave to wait for: a synchronised shock never comes");
    model_error_allow(error, "a shock that is not synchronised");
    return ERROR_NOT_ALLOWED;
}

/* From the order to its end, s, with `midway_s` of it after something has happened. */
static double time_needed(const OrdersState *state, const Order *order, const OrderLimits *limits,
                          const Parameters *parameters, double *midway_s) {
    double delay_s = limits->of[order->id].delay_s;
    bool reopens = order->id == ORDER_reopen_bedside || order->id == ORDER_reopen_chest;
    *midway_s = 0;
    if (order->id == ORDER_wedge) *midway_s = fmin(BALLOON_UP_S, delay_s);
    if (reopens && state->surgeon_here) delay_s *= SURGEON_HERE_FRAC;
    if (order->id != ORDER_changeover) return delay_s;
    *midway_s = parameters->left_pump_changeover_s;
    return delay_s + *midway_s;
}

ErrorCode sim_orders_give_action(OrdersState *state, const Order *order, const OrderLimits *limits,
                                 const Parameters *parameters, double time_s, OrderEffects *effects,
                                 Error *error) {
    if (order->act == ORDER_ACT_STOP) return call_off(state, order, parameters, error);
    if (under_way(state, order->id))
        return model_error_set(error, ERROR_NOT_ALLOWED, "%s is already under way",
                               sim_orders_row(order->id)->key);
    if (order->id == ORDER_shock) {
        ErrorCode code = check_shock(state, order, error);
        if (code != ERROR_OK) return code;
    }
    double midway_s, total_s = time_needed(state, order, limits, parameters, &midway_s);
    OrderRunning *running = sim_orders_free_running(state);
    if (total_s > 0 && running == NULL)
        return model_error_set(error, ERROR_NOT_ALLOWED, "too much is under way at once");
    const TestRow *test = find_test(order->id);
    if (test != NULL && !at_its_end(test->test)) {
        effects->drawn |= 1u << test->test;
        effects->hands |= test->hands;
    }
    if (total_s <= 0) {
        sim_orders_finish_action(state, order, parameters, effects);
        return ERROR_OK;
    }
    if (midway_s > 0 && total_s <= midway_s) sim_orders_midway(order, effects);
    *running = (OrderRunning){.active = true,
                              .order = *order,
                              .start_s = time_s,
                              .total = total_s,
                              .midway_s = midway_s < total_s ? midway_s : 0};
    return ERROR_OK;
}
