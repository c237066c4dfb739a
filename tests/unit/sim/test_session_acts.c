/* Acts in a night: what they do, what they leave behind, and that a refusal changes nothing. */
#include "sim/practice.h"
#include "sim/session.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char HEAD[] = "evenkeel_case: 1\n"
                           "id: acts-test\n"
                           "title: Acts\n"
                           "theme: tests\n"
                           "level: 2\n"
                           "length: 40min\n"
                           "seed: 3\n"
                           "summary: For tests.\n"
                           "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None.]}\n"
                           "patient: {base: supported_axial, settle: 30s}\n"
                           "endings:\n"
                           "  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n";

static ErrorList errors; /* static: large */
static Error error;

/* A night of HEAD and `more`. */
static Session *open_night(const char *more) {
    char text[4000];
    snprintf(text, sizeof text, "%s%s", HEAD, more);
    Case *night = sim_case_parse(text, strlen(text), "acts.yaml", &errors);
    if (night == NULL)
        ck_abort_msg("line %d: %s; %s", errors.items[0].line, errors.items[0].what, errors.items[0].allowed);
    Session *session = sim_session_open(night, NULL, &error);
    if (session == NULL) ck_abort_msg("%s", error.what);
    sim_case_free(night);
    return session;
}

static void run_to(Session *session, double time_s) {
    if (sim_session_advance_to(session, time_s, &error) != ERROR_OK) ck_abort_msg("%s", error.what);
}

static void say(Session *session, const char *words) {
    if (sim_session_say(session, words, &error) != ERROR_OK)
        ck_abort_msg("%s: %s; %s", words, error.what, error.allowed);
}

/* Number of entries of a kind; *last (may be NULL) is set to the newest. */
static int entries(const Session *session, LogKind kind, const LogEntry **last) {
    int count = 0;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry->kind != kind) continue;
        if (last != NULL) *last = entry;
        count++;
    }
    return count;
}

static void refused(Session *session, const char *words, ErrorCode code) {
    uint64_t before = sim_session_hash(session);
    int64_t log = sim_session_log_count(session);
    int64_t predictions = sim_session_prediction_count(session);
    ErrorCode got = sim_session_say(session, words, &error);
    ck_assert_msg(got == code, "%s: %d, %s", words, got, error.what);
    ck_assert_uint_eq(sim_session_hash(session), before);
    ck_assert_int_eq(sim_session_log_count(session), log);
    ck_assert_int_eq(sim_session_prediction_count(session), predictions);
}

START_TEST(session_look_comes_after_its_time_and_goes) {
    const LogEntry *last = NULL;
    Session *session =
        open_night("look: {probe: on_request, ready: 60s, longest: 30s, rest: 2min, at_most: 2}\n");
    ck_assert(!sim_session_look(session).picture);
    run_to(session, 10);
    say(session, "look short_axis");
    ck_assert_int_eq(sim_session_look(session).phase, LOOK_ASKED);
    ck_assert_int_eq(entries(session, LOG_LOOK, &last), 1);
    ck_assert_str_eq(last->text, "look short_axis");
    run_to(session, 65);
    ck_assert(!sim_session_look(session).picture);
    run_to(session, 72);
    ck_assert(sim_session_look(session).picture);
    ck_assert_int_eq(entries(session, LOG_PICTURE, &last), 1);
    ck_assert_str_eq(last->from, "short_axis");
    ck_assert_int_eq(entries(session, LOG_MESSAGE, &last), 1);
    ck_assert_str_eq(last->from, "nurse");
    run_to(session, 105);
    ck_assert_int_eq(sim_session_look(session).phase, LOOK_RESTING);
    ck_assert_int_eq(entries(session, LOG_PICTURE, NULL), 2);
    refused(session, "look four_chamber", ERROR_NOT_ALLOWED);
    run_to(session, 230);
    say(session, "look four_chamber");
    say(session, "look end"); /* given up: costs none */
    ck_assert_int_eq(sim_session_look(session).left, 1);
    refused(session, "look end", ERROR_NOT_ALLOWED);
    sim_session_close(session);
}
END_TEST

START_TEST(session_calls_are_kept_newest_first_and_answered) {
    Session *session = open_night("");
    ck_assert_ptr_null(sim_session_call(session, 0));
    run_to(session, 20);
    say(session, "call hypovolaemia confidence 40");
    run_to(session, 40);
    say(session, "call tamponade confidence 75 plan Open the chest");
    const Call *last = sim_session_call(session, 0);
    ck_assert_int_eq(last->diagnosis, DIAGNOSIS_tamponade);
    ck_assert_int_eq(last->kind, PROBLEM_surgical);
    ck_assert_int_eq(last->confidence_percent, 75);
    ck_assert_str_eq(last->plan, "Open the chest");
    ck_assert_double_eq_tol(last->time_s, 40, 1.5);
    ck_assert_int_eq(sim_session_call(session, 1)->diagnosis, DIAGNOSIS_hypovolaemia);
    ck_assert_ptr_null(sim_session_call(session, 2));
    ck_assert_ptr_null(sim_session_call(session, -1));
    const LogEntry *answer = NULL;
    ck_assert_int_eq(entries(session, LOG_MESSAGE, &answer), 2);
    ck_assert_ptr_nonnull(strstr(answer->text, "75 %"));
    ck_assert_ptr_nonnull(strstr(answer->text, "surgeon"));
    for (int i = 0; i < SESSION_CALLS_MAX + 3; i++)
        say(session, "call well confidence 90");
    ck_assert_int_eq(sim_session_call_count(session), SESSION_CALLS_MAX + 5);
    ck_assert_int_eq(sim_session_call(session, SESSION_CALLS_MAX - 1)->diagnosis, DIAGNOSIS_well);
    ck_assert_ptr_null(sim_session_call(session, SESSION_CALLS_MAX));
    sim_session_close(session);
}
END_TEST

START_TEST(session_prediction_goes_with_its_order_and_is_resolved) {
    Session *session = open_night("");
    PredictionAsk ask;
    Order order;
    run_to(session, 60);
    ck_assert_int_eq(sim_orders_parse("norepinephrine 0.15", NULL, &order, &error), ERROR_OK);
    ck_assert(sim_session_asks(session, &order, &ask)); /* level 2: guided */
    ck_assert_int_eq(ask.count, 3);
    refused(session, "predict norepinephrine 0.15 : art_mean up, sure 3", ERROR_NOT_ALLOWED);
    refused(session, "predict norepinephrine 0.15 : art_mean up, cvp up, hr up, sure 3", ERROR_NOT_ALLOWED);
    refused(session, "predict wedge : skip", ERROR_NOT_ALLOWED);
    say(session, "predict norepinephrine 0.15 : art_mean up, cvp same, pump_flow up, sure 4");
    ck_assert_double_eq_tol(sim_session_parameters(session)->norepinephrine_mcg_kg_min, 0.15, 1e-12);
    ck_assert_int_eq(entries(session, LOG_ORDER, NULL), 1);
    ck_assert_int_eq(entries(session, LOG_PREDICTION, NULL), 1);
    const Prediction *prediction = sim_session_prediction(session, 0);
    ck_assert_int_eq(prediction->status, PREDICTION_PENDING);
    ck_assert_double_eq_tol(prediction->due_s - prediction->given_s, ask.horizon_s, 1e-9);
    run_to(session, 120);
    say(session, "pacing both 85");
    refused(session, "predict norepinephrine 0.15 : skip", ERROR_NOT_ALLOWED); /* in force already */
    run_to(session, prediction->due_s + 2);
    prediction = sim_session_prediction(session, 0);
    ck_assert_int_eq(prediction->status, PREDICTION_SEEN);
    ck_assert_int_eq(prediction->others, 1);
    ck_assert_int_eq(prediction->part[0].quantity, DISPLAY_art_mean_mmhg);
    ck_assert_int_eq(prediction->part[0].seen, WAY_UP); /* a vasoconstrictor raises the pressure */
    ck_assert(prediction->part[0].hit);
    ck_assert_double_gt(prediction->part[0].after, prediction->part[0].before + 3);
    const LogEntry *outcome = NULL;
    ck_assert_int_eq(entries(session, LOG_OUTCOME, &outcome), 1);
    ck_assert_str_eq(outcome->from, "norepinephrine");
    ck_assert_ptr_nonnull(strstr(outcome->text, "art_mean up"));
    sim_session_close(session);
}
END_TEST

START_TEST(session_prediction_whose_order_is_refused_leaves_nothing) {
    Session *session = open_night("");
    run_to(session, 30);
    /* too much volume at once for the line: the order itself refuses */
    refused(session, "predict bolus crystalloid 2L over 10s : cvp up, art_mean up, pump_flow up, sure 2",
            ERROR_RANGE);
    say(session, "bolus crystalloid 100mL over 60s");
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_under_way], 1, 1e-12);
    run_to(session, 95);
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_under_way], 0, 1e-12);
    say(session, "predict speed 9900 : skip");
    ck_assert_int_eq(sim_session_prediction(session, 0)->status, PREDICTION_SKIPPED);
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_predictions_made], 0, 1e-12);
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_orders_given], 2, 1e-12);
    sim_session_close(session);
}
END_TEST

START_TEST(session_asks_only_where_the_case_guides) {
    Session *session = open_night("guided: no\n");
    PredictionAsk ask;
    Order order;
    run_to(session, 30);
    ck_assert_int_eq(sim_orders_parse("speed 9900", NULL, &order, &error), ERROR_OK);
    ck_assert(!sim_session_asks(session, &order, &ask));
    say(session, "predict speed 9900 : skip"); /* who wants to may */
    sim_session_close(session);
}
END_TEST

START_TEST(session_notes_and_bookmarks_are_taken_also_when_it_is_over) {
    Session *session = open_night("");
    const LogEntry *last = NULL;
    say(session, "note cool hands");
    run_to(session, 2500);
    ck_assert(sim_session_ended(session));
    refused(session, "speed 9000", ERROR_NOT_ALLOWED);
    refused(session, "look four_chamber", ERROR_NOT_ALLOWED);
    refused(session, "call well confidence 50", ERROR_NOT_ALLOWED);
    refused(session, "pause", ERROR_NOT_ALLOWED);
    say(session, "bookmark the end");
    say(session, "note I waited too long");
    ck_assert_int_eq(entries(session, LOG_NOTE, &last), 2);
    ck_assert_str_eq(last->text, "note I waited too long");
    ck_assert_int_eq(entries(session, LOG_BOOKMARK, NULL), 1);
    sim_session_close(session);
}
END_TEST

START_TEST(session_alarm_acts_come_through_the_same_door) {
    Session *session = open_night("");
    const LogEntry *last = NULL;
    run_to(session, 10);
    say(session, "limit art_mean_mmhg low 50");
    say(session, "pause");
    ck_assert_int_eq(entries(session, LOG_ALARM_ACT, &last), 2);
    ck_assert_int_eq(entries(session, LOG_ORDER, NULL), 0);
    ck_assert_double_gt(sim_alarms_pause_left_s(sim_session_alarms(session), sim_session_time_s(session)),
                        60);
    sim_session_close(session);
}
END_TEST

START_TEST(session_truth_follows_the_timeline_and_judges_calls) {
    Session *session = open_night("truth: {diagnosis: speed_too_low}\n"
                                  "timeline:\n"
                                  "  - id: clot\n"
                                  "    at: 1min\n"
                                  "    do:\n"
                                  "      - truth: {diagnosis: clot_right, also: [tamponade]}\n"
                                  "objectives:\n"
                                  "  - {id: named, text: Named., when: call_right > 0.5}\n");
    const LogEntry *last = NULL;
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_speed_too_low);
    ck_assert_int_eq(entries(session, LOG_TRUTH, &last), 1);
    ck_assert(sim_records_kind(LOG_TRUTH)->hidden);
    run_to(session, 70);
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_clot_right);
    ck_assert_int_eq(
        sim_script_truth_at(sim_session_script(session), sim_session_case(session), 30)->diagnosis,
        DIAGNOSIS_speed_too_low);
    ck_assert_int_eq(entries(session, LOG_TRUTH, &last), 2);
    ck_assert_str_eq(last->from, "clot_right");
    say(session, "call right_failure confidence 80");
    run_to(session, 75);
    ck_assert_double_lt(sim_session_script(session)->objective_met_s[0], 0);
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_call_kind_right], 0, 1e-12);
    say(session, "call tamponade confidence 60"); /* passes for it */
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_call_right], 1, 1e-12);
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_call_kind_right], 1, 1e-12);
    ck_assert_double_eq_tol(sim_session_deeds(session).value[DEED_call_confidence_percent], 60, 1e-12);
    run_to(session, 80);
    ck_assert_double_gt(sim_session_script(session)->objective_met_s[0], 75);
    sim_session_close(session);
}
END_TEST

START_TEST(session_prompts_speak_up_when_nothing_is_done) {
    Session *session =
        open_night("prompts:\n"
                   "  - {id: idle, idle: 2min, at_most: 2, from: nurse, text: Shall we wait?}\n"
                   "  - {id: call, idle: 3min, when: calls_made < 1, from: surgeon, text: What is it?}\n");
    const LogEntry *last = NULL;
    run_to(session, 118);
    ck_assert_int_eq(entries(session, LOG_MESSAGE, NULL), 0);
    run_to(session, 122);
    ck_assert_int_eq(entries(session, LOG_MESSAGE, &last), 1);
    ck_assert_str_eq(last->text, "Shall we wait?");
    say(session, "pacing both 85"); /* something is done: both wait anew */
    run_to(session, 236);
    ck_assert_int_eq(entries(session, LOG_MESSAGE, NULL), 1);
    say(session, "note not a deed");
    run_to(session, 244);
    ck_assert_int_eq(entries(session, LOG_MESSAGE, NULL), 2);
    run_to(session, 304);
    ck_assert_int_eq(entries(session, LOG_MESSAGE, &last), 3);
    ck_assert_str_eq(last->from, "surgeon");
    run_to(session, 900); /* at most twice, and once */
    ck_assert_int_eq(entries(session, LOG_MESSAGE, NULL), 3);
    sim_session_close(session);
}
END_TEST

START_TEST(session_causes_move_in_practice_only) {
    Session *session = open_night("");
    refused(session, "set rv_ees_mmhg_ml 0.1", ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.allowed, "practice"));
    sim_session_close(session);

    session = open_night("practice: yes\n");
    ck_assert(!sim_session_case(session)->guided);
    double start = sim_session_parameters(session)->rv_ees_mmhg_ml;
    run_to(session, 10);
    say(session, "set rv_ees_mmhg_ml 0.1 over 100s");
    run_to(session, 60);
    double half = sim_session_parameters(session)->rv_ees_mmhg_ml;
    ck_assert_double_eq_tol(half, start + 0.5 * (0.1 - start), 0.02 * start);
    run_to(session, 115);
    ck_assert_double_eq_tol(sim_session_parameters(session)->rv_ees_mmhg_ml, 0.1, 1e-12);
    ck_assert_int_eq(sim_session_set_parameter(session, PARAMETER_rv_ees_mmhg_ml, 0.1 + 0.2, 0, &error),
                     ERROR_OK);
    ck_assert(fabs(sim_session_parameters(session)->rv_ees_mmhg_ml - (0.1 + 0.2)) <= 0);
    /* what an order sets is ordered */
    refused(session, "set left_pump_speed_rpm 9000", ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.allowed, "speed"));
    say(session, "set rhythm_kind 3");
    ck_assert_double_eq_tol(sim_session_parameters(session)->rhythm_kind, 3, 1e-12);
    ck_assert_int_eq(entries(session, LOG_CAUSE, NULL), 3);
    sim_session_close(session);
}
END_TEST

START_TEST(session_causes_that_do_not_go_together_stop_and_say_so) {
    Session *session = open_night("practice: yes\n");
    const LogEntry *last = NULL;
    run_to(session, 5);
    /* a valve that closes to less than its leak */
    double narrow_cm2 = model_parameters_row(PARAMETER_aortic_area_cm2)->low;
    say(session, "set aortic_leak_cm2 0.8");
    ck_assert_double_lt(narrow_cm2, 0.8);
    ck_assert_int_eq(sim_session_set_parameter(session, PARAMETER_aortic_area_cm2, narrow_cm2, 0, &error),
                     ERROR_COMBINATION);
    ck_assert_int_eq(sim_session_set_parameter(session, PARAMETER_aortic_area_cm2, narrow_cm2, 20, &error),
                     ERROR_OK);
    run_to(session, 40);
    ck_assert_double_ge(sim_session_parameters(session)->aortic_area_cm2, 0.8);
    ck_assert_int_eq(entries(session, LOG_MESSAGE, &last), 1);
    ck_assert_ptr_nonnull(strstr(last->text, "aortic_area_cm2"));
    sim_session_close(session);
}
END_TEST

START_TEST(session_no_more_causes_move_than_there_is_room_for) {
    Session *session = open_night("practice: yes\n");
    int moving = 0;
    ErrorCode code = ERROR_OK;
    for (int id = 0; id < PARAMETER_COUNT && code == ERROR_OK; id++) {
        const ParameterRow *row = model_parameters_row((ParameterId)id);
        double now = model_parameters_get(sim_session_parameters(session), (ParameterId)id);
        if (strcmp(row->unit, "0/1") == 0 || strcmp(row->unit, "RhythmKind") == 0) continue;
        code = sim_session_set_parameter(session, (ParameterId)id, now, 1e5, &error);
        if (code == ERROR_NOT_ALLOWED && strstr(error.what, "order") != NULL)
            code = ERROR_OK;
        else
            moving += code == ERROR_OK;
    }
    ck_assert_int_eq(code, ERROR_NOT_ALLOWED);
    ck_assert_int_eq(moving, SCRIPT_LIVE_MAX);
    /* one that moves already may be given another way */
    ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
    sim_session_close(session);
}
END_TEST

START_TEST(session_acts_make_the_night_another) {
    Session *a = open_night(""), *b = open_night("");
    run_to(a, 30);
    run_to(b, 30);
    ck_assert_uint_eq(sim_session_hash(a), sim_session_hash(b));
    say(a, "call well confidence 50");
    ck_assert_uint_ne(sim_session_hash(a), sim_session_hash(b));
    say(b, "call well confidence 50");
    ck_assert_uint_eq(sim_session_hash(a), sim_session_hash(b));
    sim_session_close(a);
    sim_session_close(b);
}
END_TEST

START_TEST(session_state_of_acts_is_saved_and_restored) {
    static SessionState state; /* static: large */
    Session *session = open_night("look: {probe: on_request, ready: 60s}\n"), *other;
    run_to(session, 40);
    say(session, "look inflow");
    say(session, "call bleeding confidence 55 plan blood");
    say(session, "predict milrinone 0.5 : cvp down, art_mean down, pump_flow up, sure 2");
    run_to(session, 60);
    sim_session_save(session, &state);
    other = open_night("look: {probe: on_request, ready: 60s}\n");
    ck_assert_int_eq(sim_session_restore(other, &state, &error), ERROR_OK);
    run_to(session, 1300);
    run_to(other, 1300);
    ck_assert_uint_eq(sim_session_hash(session), sim_session_hash(other));
    ck_assert_str_eq(sim_session_call(other, 0)->plan, "blood");
    ck_assert_int_eq(sim_session_look(other).view, LOOK_VIEW_inflow);
    ck_assert_int_eq(sim_session_prediction(other, 0)->status, PREDICTION_SEEN);
    /* a state from outside with a number that cannot be is refused */
    SessionState bad = state;
    bad.calls.kept = SESSION_CALLS_MAX + 1;
    ck_assert_int_eq(sim_session_restore(other, &bad, &error), ERROR_FORMAT);
    bad = state;
    bad.predictions.prediction[0].part[0].quantity = DISPLAY_COUNT;
    ck_assert_int_eq(sim_session_restore(other, &bad, &error), ERROR_FORMAT);
    bad = state;
    bad.look.view = (LookView)77;
    ck_assert_int_eq(sim_session_restore(other, &bad, &error), ERROR_FORMAT);
    bad = state;
    memset(bad.calls.call[0].plan, 'x', sizeof bad.calls.call[0].plan);
    ck_assert_int_eq(sim_session_restore(other, &bad, &error), ERROR_FORMAT);
    bad = state;
    bad.last_deed_s = NAN;
    ck_assert_int_eq(sim_session_restore(other, &bad, &error), ERROR_FORMAT);
    sim_session_close(session);
    sim_session_close(other);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/session_acts");
    TCase *c = tcase_create("session_acts");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, session_look_comes_after_its_time_and_goes);
    tcase_add_test(c, session_calls_are_kept_newest_first_and_answered);
    tcase_add_test(c, session_prediction_goes_with_its_order_and_is_resolved);
    tcase_add_test(c, session_prediction_whose_order_is_refused_leaves_nothing);
    tcase_add_test(c, session_asks_only_where_the_case_guides);
    tcase_add_test(c, session_notes_and_bookmarks_are_taken_also_when_it_is_over);
    tcase_add_test(c, session_alarm_acts_come_through_the_same_door);
    tcase_add_test(c, session_truth_follows_the_timeline_and_judges_calls);
    tcase_add_test(c, session_prompts_speak_up_when_nothing_is_done);
    tcase_add_test(c, session_causes_move_in_practice_only);
    tcase_add_test(c, session_causes_that_do_not_go_together_stop_and_say_so);
    tcase_add_test(c, session_no_more_causes_move_than_there_is_room_for);
    tcase_add_test(c, session_acts_make_the_night_another);
    tcase_add_test(c, session_state_of_acts_is_saved_and_restored);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
