/* A whole night: opening, advancing, orders, records, saving and restoring. */
#include "sim/session.h"

#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static ErrorList errors;
static Error error;

static Session *open_session(uint64_t seed) {
    Case *night = sim_case_parse(CASE_TEXT_GOOD, strlen(CASE_TEXT_GOOD), "test.yaml", &errors);
    ck_assert_ptr_nonnull(night);
    SessionOptions options = sim_session_options_none();
    options.seed_given = seed != 0;
    options.seed = seed;
    Session *session = sim_session_open(night, &options, &error);
    if (session == NULL) ck_abort_msg("%s", error.what);
    sim_case_free(night); /* the session has its own copy */
    return session;
}

static void run_to(Session *session, double time_s) {
    ErrorCode code = sim_session_advance_to(session, time_s, &error);
    if (code != ERROR_OK) ck_abort_msg("%s", error.what);
}

START_TEST(session_opens_at_zero_with_a_reference) {
    Session *session = open_session(0);
    ck_assert_double_eq_tol(sim_session_time_s(session), 0, 1e-12);
    ck_assert_int_eq(sim_session_beat(session)->ticks, 0);
    ck_assert_uint_eq(sim_session_seed(session), 42);
    ck_assert_double_gt(sim_session_reference(session)->lv_edv_ml, 100);
    ck_assert_double_gt(sim_session_reference(session)->art_mean_mmhg, 50);
    ck_assert(!sim_session_ended(session));
    ck_assert_double_eq_tol(sim_session_orders(session)->value[ORDER_milrinone], 0.25, 1e-12);
    sim_session_close(session);
}
END_TEST

START_TEST(session_beats_join_and_fill_the_display) {
    Session *session = open_session(0);
    int64_t tick = 0;
    for (int i = 0; i < 20; i++) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        const Beat *beat = sim_session_beat(session);
        ck_assert_int_eq(beat->first_tick, tick);
        ck_assert_int_eq(sim_session_trace(session)->first_tick, tick);
        ck_assert_int_eq(sim_session_trace(session)->ticks, beat->ticks);
        tick += beat->ticks;
    }
    ck_assert_double_eq_tol(sim_session_time_s(session), (double)tick * BEAT_TICK_S, 1e-9);
    const Display *display = sim_session_display(session);
    ck_assert(display->valid[DISPLAY_art_mean_mmhg]);
    ck_assert_double_eq_tol(display->value[DISPLAY_art_mean_mmhg],
                            sim_session_beat(session)->observables.art_mean_mmhg, 4);
    ck_assert_double_eq_tol(display->value[DISPLAY_pump_rpm], 8600, 10.1);
    sim_session_close(session);
}
END_TEST

START_TEST(session_orders_act_and_are_logged) {
    Session *session = open_session(0);
    run_to(session, 20);
    ck_assert_int_eq(sim_session_order(session, "speed 9400", &error), ERROR_OK);
    ck_assert_int_eq(sim_session_order(session, "bolus crystalloid 100mL over 1min", &error), ERROR_OK);
    ck_assert_double_eq_tol(sim_session_parameters(session)->left_pump_speed_rpm, 9400, 1e-9);
    double before_ml = sim_session_beat(session)->observables.blood_volume_ml;
    run_to(session, 90);
    ck_assert_double_gt(sim_session_beat(session)->observables.blood_volume_ml, before_ml + 40);
    ck_assert_double_eq_tol(sim_session_orders(session)->given_ml[ORDER_crystalloid], 100, 0.03);
    ck_assert_double_eq_tol(sim_session_beat(session)->observables.pump_rpm, 9400, 1);
    ck_assert_int_eq(sim_session_log_count(session), 3); /* two orders, one volume in */
    ck_assert_str_eq(sim_session_log_entry(session, 0)->text, "speed 9400rpm");
    ck_assert_int_eq(sim_session_log_entry(session, 2)->kind, LOG_DONE);
    sim_session_close(session);
}
END_TEST

START_TEST(session_refused_order_changes_nothing) {
    Session *session = open_session(0);
    run_to(session, 5);
    uint64_t hash = sim_session_hash(session);
    ck_assert_int_eq(sim_session_order(session, "speed 12000", &error), ERROR_RANGE);
    ck_assert_int_eq(sim_session_order(session, "epinephrine 0.05", &error), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_session_order(session, "dance", &error), ERROR_UNKNOWN_NAME);
    ck_assert_int_eq(sim_session_stop(session, 3, &error), ERROR_NOT_ALLOWED);
    Order order = {.id = ORDER_dobutamine, .act = ORDER_ACT_SET, .value = 5}; /* not in the case's list */
    ck_assert_int_eq(sim_session_give(session, &order, &error), ERROR_NOT_ALLOWED);
    ck_assert_uint_eq(sim_session_hash(session), hash);
    ck_assert_int_eq(sim_session_log_count(session), 0);
    sim_session_close(session);
}
END_TEST

START_TEST(session_script_fires_and_speaks) {
    Session *session = open_session(0);
    run_to(session, 8 * 60 + 5);
    /* at 5 min the event and what it says, then the objective (five minutes above 60), then the second event
     */
    static const LogKind kinds[] = {LOG_EVENT, LOG_MESSAGE, LOG_OBJECTIVE, LOG_EVENT, LOG_MESSAGE};
    ck_assert_int_eq(sim_session_log_count(session), 5);
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(sim_session_log_entry(session, i)->kind, kinds[i]);
    }
    ck_assert_str_eq(sim_session_log_entry(session, 0)->from, "weakens");
    ck_assert_str_eq(sim_session_log_entry(session, 1)->text, "Something is different.");
    ck_assert_str_eq(sim_session_log_entry(session, 4)->from, "surgeon");
    const Parameters *now = sim_session_parameters(session);
    ck_assert_double_eq_tol(now->clot_ra_ml, 10, 1e-12);
    ck_assert_double_gt(now->rv_ees_mmhg_ml, 0.12);
    ck_assert_double_lt(now->rv_ees_mmhg_ml, sim_session_case(session)->patient.parameters.rv_ees_mmhg_ml);
    sim_session_close(session);
}
END_TEST

START_TEST(session_restored_has_the_identical_future) {
    SessionState *saved = malloc(sizeof *saved);
    ck_assert_ptr_nonnull(saved);
    Session *session = open_session(0);
    run_to(session, 30);
    ck_assert_int_eq(sim_session_order(session, "bolus crystalloid 250mL over 5min", &error), ERROR_OK);
    run_to(session, 60);
    sim_session_save(session, saved);
    int64_t log_count = sim_session_log_count(session);
    run_to(session, 120);
    uint64_t hash = sim_session_hash(session);
    double points = sim_session_history_value(session, DISPLAY_cvp_mmhg, 11);
    ck_assert_int_eq(sim_session_order(session, "speed 10000", &error), ERROR_OK);
    run_to(session, 150);
    ck_assert_int_eq(sim_session_restore(session, saved, &error), ERROR_OK);
    ck_assert_double_eq_tol(sim_session_time_s(session), saved->time_s, 1e-12);
    ck_assert_int_eq(sim_session_log_count(session), log_count);
    ck_assert_int_eq(sim_session_beat(session)->ticks, 0);
    run_to(session, 120);
    ck_assert_uint_eq(sim_session_hash(session), hash);
    ck_assert_double_eq_tol(sim_session_history_value(session, DISPLAY_cvp_mmhg, 11), points, 1e-12);
    /* and in another session of the same case */
    Session *other = open_session(0);
    ck_assert_int_eq(sim_session_restore(other, saved, &error), ERROR_OK);
    run_to(other, 120);
    ck_assert_uint_eq(sim_session_hash(other), hash);
    sim_session_close(other);
    sim_session_close(session);
    free(saved);
}
END_TEST

START_TEST(session_reopened_chest_is_emptied) {
    Case *night = sim_case_parse(CASE_TEXT_GOOD, strlen(CASE_TEXT_GOOD), "test.yaml", &errors);
    SessionOptions options = sim_session_options_none();
    options.set_count = 2;
    options.sets[0] = (CaseSet){.id = PARAMETER_bleed_clot_ra_ml_h, .value = 2000};
    options.sets[1] = (CaseSet){.id = PARAMETER_bleed_pericardium_ml_h, .value = 1000};
    night->limits.of[ORDER_reopen_chest].delay_s = 30;
    Session *session = sim_session_open(night, &options, &error);
    ck_assert_ptr_nonnull(session);
    run_to(session, 120);
    double collected_ml = sim_session_beat(session)->observables.pericardial_ml;
    ck_assert_double_gt(collected_ml, 60);
    ck_assert_int_eq(sim_session_order(session, "reopen_chest", &error), ERROR_OK);
    run_to(session, 160);
    ck_assert_double_eq_tol(sim_session_beat(session)->observables.pericardial_ml, 0, 1e-9);
    ck_assert_double_eq_tol(sim_session_parameters(session)->bleed_clot_ra_ml_h, 0, 1e-12);
    sim_session_close(session);
    sim_case_free(night);
}
END_TEST

START_TEST(session_same_seed_same_night_other_seed_other_night) {
    Session *a = open_session(7), *b = open_session(7), *c = open_session(8);
    run_to(a, 60);
    run_to(b, 30);
    run_to(b, 60); /* how it is cut into steps does not matter */
    run_to(c, 60);
    ck_assert_uint_eq(sim_session_hash(a), sim_session_hash(b));
    ck_assert_uint_ne(sim_session_hash(a), sim_session_hash(c));
    sim_session_close(a);
    sim_session_close(b);
    sim_session_close(c);
}
END_TEST

START_TEST(session_nonsense_state_is_refused) {
    SessionState *saved = malloc(sizeof *saved);
    ck_assert_ptr_nonnull(saved);
    Session *session = open_session(0);
    run_to(session, 10);
    sim_session_save(session, saved);
    uint64_t hash = sim_session_hash(session);
    saved->time_s = NAN;
    ck_assert_int_ne(sim_session_restore(session, saved, &error), ERROR_OK);
    ck_assert_uint_eq(sim_session_hash(session), hash);
    sim_session_close(session);
    free(saved);
}
END_TEST

START_TEST(session_plays_to_its_end_and_stops_there) {
    Session *session = open_session(0);
    run_to(session, 3600);
    ck_assert(sim_session_ended(session));
    ck_assert_double_eq_tol(sim_session_time_s(session), 1800, 1.5);
    ck_assert_str_ne(sim_session_end_text(session), "");
    ck_assert_int_eq(sim_session_advance(session, &error), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_session_order(session, "speed 9000", &error), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_session_log_entry(session, sim_session_log_count(session) - 1)->kind, LOG_END);
    ck_assert_int_ge(sim_session_history_count(session), 180);
    sim_session_close(session);
}
END_TEST

START_TEST(session_set_from_outside_is_checked) {
    Case *night = sim_case_parse(CASE_TEXT_GOOD, strlen(CASE_TEXT_GOOD), "test.yaml", &errors);
    SessionOptions options = sim_session_options_none();
    options.set_count = 1;
    options.sets[0] = (CaseSet){.id = PARAMETER_weight_kg, .value = 1e6};
    ck_assert_ptr_null(sim_session_open(night, &options, &error));
    ck_assert_int_eq(error.code, ERROR_RANGE);
    options.sets[0].value = 60;
    Session *session = sim_session_open(night, &options, &error);
    ck_assert_ptr_nonnull(session);
    ck_assert_double_eq_tol(sim_session_parameters(session)->weight_kg, 60, 1e-12);
    sim_session_close(session);
    sim_session_close(NULL);
    sim_case_free(night);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("session");
    TCase *c = tcase_create("session");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, session_opens_at_zero_with_a_reference);
    tcase_add_test(c, session_beats_join_and_fill_the_display);
    tcase_add_test(c, session_orders_act_and_are_logged);
    tcase_add_test(c, session_refused_order_changes_nothing);
    tcase_add_test(c, session_script_fires_and_speaks);
    tcase_add_test(c, session_restored_has_the_identical_future);
    tcase_add_test(c, session_reopened_chest_is_emptied);
    tcase_add_test(c, session_same_seed_same_night_other_seed_other_night);
    tcase_add_test(c, session_nonsense_state_is_refused);
    tcase_add_test(c, session_plays_to_its_end_and_stops_there);
    tcase_add_test(c, session_set_from_outside_is_checked);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
