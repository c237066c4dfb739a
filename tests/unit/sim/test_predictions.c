/* Predict first: what is asked, what is kept of an answer, what comes of it. */
#include "sim/predictions.h"

#include "tests/support/check_main.h"

#include <string.h>

static PredictionsState state; /* static: large */
static OrdersState orders;
static OrderLimits limits;
static PredictionRules rules;
static Display display;
static PredictionAsk ask;
static Error error;

static void setup(void) {
    Parameters parameters = model_parameters_standard();
    memset(&display, 0, sizeof display);
    memset(&rules, 0, sizeof rules);
    sim_orders_start(&orders, &parameters);
    limits = sim_orders_limits_standard();
    sim_predictions_start(&state);
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        display.valid[id] = true;
        display.value[id] = 50;
    }
}

static Order order(const char *words) {
    Order out;
    if (sim_orders_parse(words, NULL, &out, &error) != ERROR_OK) ck_abort_msg("%s: %s", words, error.what);
    return out;
}

static bool asks(const char *words) {
    Order given = order(words);
    return sim_predictions_ask(&rules, &given, &orders, &limits, &display, &ask);
}

static const Prediction *pass(double dt_s, double time_s) {
    return sim_predictions_advance(&state, &display, dt_s, time_s);
}

/* Says all quantities of `ask` will go `way`. */
static ErrorCode say(const char *words, PredictionWay way, double time_s) {
    Order given = order(words);
    PredictionAnswer answer = {.count = ask.count, .sure = 4};
    for (int i = 0; i < ask.count; i++) {
        answer.quantity[ask.count - 1 - i] = ask.quantity[i]; /* in any order */
        answer.way[ask.count - 1 - i] = way;
    }
    return sim_predictions_add(&state, &given, &ask, &answer, &display, time_s, &error);
}

START_TEST(predictions_table_asks_about_orders_that_exist) {
    static const char *const asked[] = {
#define ASK(order, after_end, horizon_s, first, second, third) #order,
#include "sim/predictions.def"
#undef ASK
    };
    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++) {
        ck_assert_msg(strcmp(asked[i], "drip") == 0 || sim_orders_find(asked[i]) != ORDER_COUNT, "%s",
                      asked[i]);
    }
    /* every drip is asked about, and what is asked can be seen within the hour */
    for (int id = 0; id < ORDER_COUNT; id++) {
        const OrderRow *row = sim_orders_row((OrderId)id);
        if (row->kind != ORDER_KIND_DRIP) continue;
        Order given = {.id = (OrderId)id, .act = ORDER_ACT_SET, .value = row->high};
        ck_assert_msg(sim_predictions_ask(&rules, &given, &orders, &limits, &display, &ask), "%s", row->key);
        ck_assert_int_eq(ask.count, PREDICTION_PARTS);
        ck_assert_double_le(ask.horizon_s, 3600);
    }
}
END_TEST

START_TEST(predictions_names_lead_back_to_the_quantity) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        char name[PREDICTION_NAME_MAX];
        sim_predictions_name((DisplayId)id, name);
        ck_assert_int_eq(sim_predictions_find(name), id);
        ck_assert_int_eq(sim_predictions_find(sim_instruments_display_row((DisplayId)id)->key), id);
        ck_assert_double_gt(sim_predictions_least((DisplayId)id), 0);
    }
    ck_assert_int_eq(sim_predictions_find("septum"), DISPLAY_COUNT);
}
END_TEST

START_TEST(predictions_are_asked_of_what_moves_something) {
    ck_assert(asks("speed 9999"));
    ck_assert_int_eq(ask.quantity[0], DISPLAY_pump_flow_l_min);
    ck_assert_double_eq_tol(ask.horizon_s, 300, 1e-9);
    orders.value[ORDER_speed] = 9999;
    ck_assert(!asks("speed 9999")); /* in force already */
    ck_assert(!asks("norepinephrine off"));
    orders.value[ORDER_norepinephrine] = 0.1;
    ck_assert(asks("norepinephrine off"));
    ck_assert(asks("milrinone 0 load 50mcg/kg over 10min"));
    ck_assert(!asks("infusion crystalloid 60mL/h"));
    ck_assert(!asks("stop crystalloid"));
    ck_assert(!asks("wedge"));
    ck_assert(!asks("blood_sample"));
    ck_assert(asks("pacing both 90"));
    orders.pacing = ORDER_PACING_BOTH;
    orders.value[ORDER_pacing] = 90;
    ck_assert(!asks("pacing both 90"));
    ck_assert(asks("pacing atrial 90"));
    /* read when the volume is in, when the action is done */
    ck_assert(asks("bolus crystalloid 250mL over 10min"));
    ck_assert_double_eq_tol(ask.horizon_s, 720, 1e-9);
    limits.of[ORDER_reopen_chest].delay_s = 1200;
    ck_assert(asks("reopen_chest"));
    ck_assert_double_eq_tol(ask.horizon_s, 1500, 1e-9);
}
END_TEST

START_TEST(predictions_ask_only_about_what_is_on_show) {
    display.valid[DISPLAY_pump_flow_l_min] = false; /* no pump */
    ck_assert(asks("milrinone 0.5"));
    ck_assert_int_eq(ask.count, 3);
    ck_assert_int_eq(ask.quantity[0], DISPLAY_cvp_mmhg);
    ck_assert_int_eq(ask.quantity[1], DISPLAY_art_mean_mmhg);
    ck_assert_int_eq(ask.quantity[2], DISPLAY_pa_mean_mmhg); /* stands in */
    memset(display.valid, 0, sizeof display.valid);
    ck_assert(!asks("milrinone 0.5")); /* nothing could be answered */
    display.valid[DISPLAY_hr_per_min] = true;
    ck_assert(asks("milrinone 0.5"));
    ck_assert_int_eq(ask.count, 1);
}
END_TEST

START_TEST(predictions_case_rules_go_first) {
    rules.count = 2;
    rules.rule[0] = (PredictionRule){.order = ORDER_speed,
                                     .count = 2,
                                     .quantity = {DISPLAY_wedge_mmhg, DISPLAY_cvp_mmhg},
                                     .horizon_s = 900};
    rules.rule[1] =
        (PredictionRule){.order = ORDER_clear_drain, .count = 1, .quantity = {DISPLAY_drain_ml_h}};
    ck_assert(asks("speed 9999"));
    ck_assert_int_eq(ask.count, 2);
    ck_assert_int_eq(ask.quantity[0], DISPLAY_wedge_mmhg);
    ck_assert_double_eq_tol(ask.horizon_s, 900, 1e-9);
    ck_assert(asks("clear_drain"));
    ck_assert_int_eq(ask.quantity[0], DISPLAY_drain_ml_h);
}
END_TEST

START_TEST(predictions_answer_names_every_quantity_once) {
    ck_assert(asks("speed 9999"));
    PredictionAnswer answer = {
        .count = 3, .quantity = {DISPLAY_pump_flow_l_min, DISPLAY_cvp_mmhg, DISPLAY_cvp_mmhg}, .sure = 2};
    ck_assert_int_eq(sim_predictions_check(&answer, &ask, &error), ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.allowed, "pump_flow, cvp, art_mean"));
    answer.quantity[2] = DISPLAY_art_mean_mmhg;
    ck_assert_int_eq(sim_predictions_check(&answer, &ask, &error), ERROR_OK);
    answer.count = 2;
    ck_assert_int_eq(sim_predictions_check(&answer, &ask, &error), ERROR_NOT_ALLOWED);
    answer.skipped = true;
    ck_assert_int_eq(sim_predictions_check(&answer, &ask, &error), ERROR_OK);
}
END_TEST

START_TEST(predictions_are_held_against_what_was_seen) {
    ck_assert(asks("speed 9999"));
    for (int i = 0; i < 100; i++) {
        ck_assert_ptr_null(pass(1, i));
    }
    ck_assert_int_eq(say("speed 9999", WAY_UP, 100), ERROR_OK);
    sim_predictions_count_order(&state);
    display.value[DISPLAY_pump_flow_l_min] = 50.5;                                        /* rises */
    display.value[DISPLAY_cvp_mmhg] = 50 - 0.9 * sim_predictions_least(DISPLAY_cvp_mmhg); /* too little */
    display.value[DISPLAY_art_mean_mmhg] = 50 - 2 * sim_predictions_least(DISPLAY_art_mean_mmhg); /* falls */
    for (int i = 100; i < 399; i++) {
        ck_assert_ptr_null(pass(1, i));
    }
    const Prediction *seen = pass(1, 400);
    ck_assert_ptr_nonnull(seen);
    ck_assert_ptr_null(pass(0, 400));
    ck_assert_int_eq(seen->status, PREDICTION_SEEN);
    ck_assert_int_eq(seen->others, 1);
    ck_assert_int_eq(seen->sure, 4);
    ck_assert_double_eq_tol(seen->seen_s, 400, 1e-9);
    ck_assert_int_eq(seen->part[0].seen, WAY_UP);
    ck_assert(seen->part[0].hit);
    ck_assert_double_eq_tol(seen->part[0].before, 50, 1e-6);
    ck_assert_double_eq_tol(seen->part[0].after, 50.5, 0.01);
    ck_assert_int_eq(seen->part[1].seen, WAY_SAME);
    ck_assert(!seen->part[1].hit);
    ck_assert_int_eq(seen->part[2].seen, WAY_DOWN);
    int known, hits;
    sim_predictions_score(seen, &known, &hits);
    ck_assert_int_eq(known, 3);
    ck_assert_int_eq(hits, 1);
}
END_TEST

START_TEST(predictions_of_what_left_the_screen_are_not_judged) {
    rules.count = 1;
    rules.rule[0] = (PredictionRule){
        .order = ORDER_speed, .count = 2, .quantity = {DISPLAY_wedge_mmhg, DISPLAY_hr_per_min}};
    display.taken_s[DISPLAY_wedge_mmhg] = 50;
    ck_assert(asks("speed 9999"));
    ck_assert_int_eq(say("speed 9999", WAY_SAME, 100), ERROR_OK);
    display.valid[DISPLAY_hr_per_min] = false;
    const Prediction *seen = pass(1, 500);
    ck_assert_ptr_nonnull(seen);
    ck_assert(!seen->part[0].known); /* the wedge was not measured again */
    ck_assert(!seen->part[1].known);
    int known, hits;
    sim_predictions_score(seen, &known, &hits);
    ck_assert_int_eq(known + hits, 0);
    display.taken_s[DISPLAY_wedge_mmhg] = 300;
    ck_assert_int_eq(say("speed 9999", WAY_SAME, 600), ERROR_OK);
    ck_assert(pass(1, 950) != NULL && !state.prediction[1].part[0].known);
    ck_assert_int_eq(say("speed 9999", WAY_UP, 1000), ERROR_OK);
    display.taken_s[DISPLAY_wedge_mmhg] = 1100;
    display.value[DISPLAY_wedge_mmhg] = 53;
    seen = pass(1, 1400);
    ck_assert(seen->part[0].known && seen->part[0].hit);
}
END_TEST

START_TEST(predictions_skipped_are_kept_and_never_resolved) {
    ck_assert(asks("speed 9999"));
    Order given = order("speed 9999");
    PredictionAnswer answer = {.skipped = true};
    ck_assert_int_eq(sim_predictions_add(&state, &given, &ask, &answer, &display, 10, &error), ERROR_OK);
    ck_assert_ptr_null(pass(1, 1e6));
    ck_assert_int_eq(state.prediction[0].status, PREDICTION_SKIPPED);
    ck_assert_int_eq(state.count, 1);
    ck_assert_int_eq(state.said, 0);
}
END_TEST

START_TEST(predictions_oldest_resolved_leaves_and_pending_stay) {
    ck_assert(asks("speed 9999"));
    ck_assert_int_eq(say("speed 9999", WAY_UP, 1e6), ERROR_OK); /* pending to the end */
    for (int i = 1; i < PREDICTIONS_MAX + 5; i++) {
        ck_assert_int_eq(say("speed 9999", WAY_UP, i), ERROR_OK);
        ck_assert_ptr_nonnull(pass(1, i + 400));
    }
    ck_assert_int_eq(state.kept, PREDICTIONS_MAX);
    ck_assert_int_eq(state.count, PREDICTIONS_MAX + 5);
    ck_assert_int_eq(state.prediction[0].number, 0);
    ck_assert_int_eq(state.prediction[1].number, 6);
    ck_assert_int_eq(state.prediction[PREDICTIONS_MAX - 1].number, PREDICTIONS_MAX + 4);
    for (int i = 0; i < PREDICTIONS_MAX - 1; i++) {
        ck_assert_int_eq(say("speed 9999", WAY_UP, 2e6), ERROR_OK);
    }
    ck_assert_int_eq(say("speed 9999", WAY_UP, 2e6), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(state.kept, PREDICTIONS_MAX);
}
END_TEST

START_TEST(predictions_chance_rises_from_a_guess) {
    ck_assert_double_eq_tol(sim_predictions_chance(1), 1.0 / 3, 1e-9);
    for (int sure = 2; sure <= PREDICTION_SURE_MOST; sure++) {
        ck_assert_double_gt(sim_predictions_chance(sure), sim_predictions_chance(sure - 1));
    }
    ck_assert_double_lt(sim_predictions_chance(PREDICTION_SURE_MOST), 1);
    ck_assert_double_eq_tol(sim_predictions_chance(99), sim_predictions_chance(5), 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/predictions");
    TCase *c = tcase_create("predictions");
    tcase_add_checked_fixture(c, setup, NULL);
    tcase_add_test(c, predictions_table_asks_about_orders_that_exist);
    tcase_add_test(c, predictions_names_lead_back_to_the_quantity);
    tcase_add_test(c, predictions_are_asked_of_what_moves_something);
    tcase_add_test(c, predictions_ask_only_about_what_is_on_show);
    tcase_add_test(c, predictions_case_rules_go_first);
    tcase_add_test(c, predictions_answer_names_every_quantity_once);
    tcase_add_test(c, predictions_are_held_against_what_was_seen);
    tcase_add_test(c, predictions_of_what_left_the_screen_are_not_judged);
    tcase_add_test(c, predictions_skipped_are_kept_and_never_resolved);
    tcase_add_test(c, predictions_oldest_resolved_leaves_and_pending_stay);
    tcase_add_test(c, predictions_chance_rises_from_a_guess);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
