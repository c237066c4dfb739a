/* The instructor's hand on a night: what each act does, what it leaves in the log, and what is refused. */
#include "sim/session.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char NIGHT[] =
    "evenkeel_case: 1\nid: hand-test\ntitle: Hand\ntheme: tests\nlevel: 2\nlength: 30min\nseed: 3\n"
    "summary: For tests.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None.]}\n"
    "patient: {base: supported_axial, settle: 30s}\n"
    "truth: {diagnosis: well}\n"
    "timeline:\n"
    "  - {id: Clot, at: 5min, do: [{ramp: {parameter: rv_ees_mmhg_ml, to: 0.1, over: 1min}}]}\n"
    "  - {id: later, after: Clot, plus: 1min, do: [{message: {from: nurse, text: Later.}}]}\n"
    "  - {id: sometime, within: [2min, 4min], do: [{message: {from: nurse, text: Sometime.}}]}\n"
    "  - {id: seldom, at: 25min, if: art_mean_mmhg > 500, do: [{message: {from: nurse, text: Done.}}],\n"
    "     otherwise: [{message: {from: nurse, text: Otherwise.}}]}\n"
    "  - {id: warm, when: art_mean_mmhg > 10, for: 20s, do: [{message: {from: nurse, text: Warm.}}]}\n"
    "endings:\n"
    "  - {id: dead, when: time_s > 28min, outcome: death, text: Over.}\n"
    "  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n";

static ErrorList errors; /* static: large */
static Error error;
static Session *session;

static Session *open_night(void) {
    Case *night = sim_case_parse(NIGHT, strlen(NIGHT), "hand.yaml", &errors);
    if (night == NULL)
        ck_abort_msg("line %d: %s; %s", errors.items[0].line, errors.items[0].what, errors.items[0].allowed);
    Session *opened = sim_session_open(night, NULL, &error);
    ck_assert_msg(opened != NULL, "%s", error.what);
    sim_case_free(night);
    return opened;
}

static void setup(void) {
    session = open_night();
}

static void teardown(void) {
    sim_session_close(session);
}

static void run_to(Session *played, double time_s) {
    if (sim_session_advance_to(played, time_s, &error) != ERROR_OK) ck_abort_msg("%s", error.what);
}

static void say(const char *words) {
    if (sim_session_say_as(session, SESSION_VOICE_INSTRUCTOR, words, &error) != ERROR_OK)
        ck_abort_msg("%s: %s; %s", words, error.what, error.allowed);
}

/* Refused in `voice` with `part` in the reason or in what is allowed, and nothing has changed. */
static void refused(SessionVoice voice, const char *words, const char *part) {
    uint64_t hash = sim_session_hash(session);
    int64_t log = sim_session_log_count(session);
    model_error_clear(&error);
    ck_assert_msg(sim_session_say_as(session, voice, words, &error) != ERROR_OK, "%s was taken", words);
    ck_assert_msg(strstr(error.what, part) != NULL || strstr(error.allowed, part) != NULL,
                  "%s: \"%s; %s\" does not say \"%s\"", words, error.what, error.allowed, part);
    ck_assert(sim_session_hash(session) == hash && sim_session_log_count(session) == log);
}

static const LogEntry *newest(LogKind kind) {
    for (int64_t i = sim_session_log_count(session) - 1; i >= 0; i--) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry->kind == kind) return entry;
    }
    return NULL;
}

static bool was_said(const char *text) {
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry->kind == LOG_MESSAGE && strcmp(entry->text, text) == 0) return true;
    }
    return false;
}

static int event(const char *id) {
    int index = sim_script_find_event(sim_session_case(session), id, &error);
    ck_assert_int_ge(index, 0);
    return index;
}

static double fired_s(const char *id) {
    return sim_session_script(session)->fired_s[event(id)];
}

static double due_s(const char *id) {
    return sim_script_due_s(sim_session_script(session), sim_session_case(session), event(id));
}

START_TEST(hand_trainee_cannot_say_what_is_the_instructors) {
    static const char *const acts[] = {
        "fire clot",        "delay clot by 1min", "skip clot", "keep clot",      "freeze pump",
        "say nurse: hello", "truth tamponade",    "mark here", "take_back 5min", "instructor speed 9000"};
    run_to(session, 20);
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++)
        refused(SESSION_VOICE_TRAINEE, acts[i], "instructor");
    refused(SESSION_VOICE_TRAINEE, "set rv_ees_mmhg_ml 0.2", "practice");
    refused(SESSION_VOICE_INSTRUCTOR, "call tamponade confidence 50", "trainee");
    refused(SESSION_VOICE_INSTRUCTOR, "look four_chamber", "trainee");
    refused(SESSION_VOICE_INSTRUCTOR, "pause", "trainee");
}
END_TEST

START_TEST(hand_fired_event_comes_with_the_next_beat_and_what_follows_it) {
    run_to(session, 30);
    say("fire clot"); /* small letters are enough */
    ck_assert_double_lt(fired_s("Clot"), 0);
    refused(SESSION_VOICE_INSTRUCTOR, "fire clot", "next beat");
    run_to(session, 32);
    ck_assert_double_gt(fired_s("Clot"), 30);
    ck_assert_double_eq_tol(due_s("later"), fired_s("Clot") + 60, 1e-9);
    refused(SESSION_VOICE_INSTRUCTOR, "fire clot", "has come, at 00:00:3");
    refused(SESSION_VOICE_INSTRUCTOR, "delay clot by 1min", "has come");
    refused(SESSION_VOICE_INSTRUCTOR, "skip clot", "has come");
    refused(SESSION_VOICE_INSTRUCTOR, "fire clutt", "Clot");
    run_to(session, 95);
    ck_assert(was_said("Later."));
    ck_assert_double_lt(sim_session_parameters(session)->rv_ees_mmhg_ml, 0.1001);
    say("fire seldom"); /* goes its own way, whatever its condition */
    run_to(session, 100);
    ck_assert(was_said("Done."));
    ck_assert(!was_said("Otherwise."));
}
END_TEST

START_TEST(hand_delay_moves_every_kind_of_event) {
    double drawn_s = due_s("sometime");
    ck_assert_double_ge(drawn_s, 120);
    ck_assert_double_le(drawn_s, 240);
    run_to(session, 10);
    say("delay sometime by 3min");
    say("delay Clot by 1min");
    say("delay clot by 30s"); /* adds */
    say("delay warm by 1min");
    ck_assert_double_eq_tol(due_s("sometime"), drawn_s + 180, 1e-9);
    ck_assert_double_eq_tol(due_s("Clot"), 390, 1e-9);
    run_to(session, 60);
    ck_assert(!was_said("Warm."));
    run_to(session, 85); /* held from the first beat on for 20 s and 60 s */
    ck_assert(was_said("Warm."));
    run_to(session, 389);
    ck_assert_double_lt(fired_s("Clot"), 0);
    run_to(session, 392);
    ck_assert_double_ge(fired_s("Clot"), 390);
    say("delay seldom by 100h");
    refused(SESSION_VOICE_INSTRUCTOR, "delay seldom by 100h", "later than any night");
    refused(SESSION_VOICE_INSTRUCTOR, "delay seldom by 0.2s", "too short");
    refused(SESSION_VOICE_INSTRUCTOR, "delay seldom 2min", "by");
}
END_TEST

START_TEST(hand_skipped_event_stays_away_until_it_is_kept) {
    say("skip clot");
    refused(SESSION_VOICE_INSTRUCTOR, "skip clot", "skipped already");
    refused(SESSION_VOICE_INSTRUCTOR, "keep warm", "not skipped");
    ck_assert(isnan(due_s("Clot")));
    run_to(session, 400);
    ck_assert_double_lt(fired_s("Clot"), 0);
    ck_assert(!was_said("Later."));
    say("keep clot");
    run_to(session, 402); /* its time has passed: at once */
    ck_assert_double_gt(fired_s("Clot"), 400);
}
END_TEST

START_TEST(hand_causes_move_in_every_case_and_orders_stay_orders) {
    run_to(session, 20);
    double start = sim_session_parameters(session)->rv_ees_mmhg_ml;
    say("set rv_ees_mmhg_ml 0.12 over 1min");
    ck_assert_str_eq(newest(LOG_CAUSE)->from, "instructor");
    ck_assert(sim_records_hidden(newest(LOG_CAUSE)));
    run_to(session, 50);
    ck_assert_double_lt(sim_session_parameters(session)->rv_ees_mmhg_ml, start);
    ck_assert_double_gt(sim_session_parameters(session)->rv_ees_mmhg_ml, 0.12);
    run_to(session, 82);
    ck_assert_double_eq_tol(sim_session_parameters(session)->rv_ees_mmhg_ml, 0.12, 1e-12);
    refused(SESSION_VOICE_INSTRUCTOR, "set left_pump_speed_rpm 8000", "instructor speed");
    refused(SESSION_VOICE_INSTRUCTOR, "set rv_ees_mmhg_ml 99", "0.");
    int64_t given = sim_session_deeds(session).value[DEED_orders_given] > 0;
    say("norepinephrine 0.07"); /* a pump that somebody set: no deed of the trainee */
    ck_assert_str_eq(newest(LOG_ORDER)->from, "instructor");
    ck_assert(sim_records_hidden(newest(LOG_ORDER)));
    ck_assert_int_eq(sim_session_deeds(session).value[DEED_orders_given] > 0, given);
    ck_assert_double_eq_tol(sim_session_parameters(session)->norepinephrine_mcg_kg_min, 0.07, 1e-12);
}
END_TEST

START_TEST(hand_two_causes_that_do_not_go_together_do_not_end_the_night) {
    run_to(session, 5);
    say("set mitral_leak_cm2 1.5");
    say("set mitral_area_cm2 1 over 30s");
    run_to(session, 60);
    ck_assert_ptr_nonnull(newest(LOG_ASIDE));
    ck_assert_str_eq(newest(LOG_ASIDE)->from, "mitral_area_cm2");
    ck_assert_ptr_nonnull(strstr(newest(LOG_ASIDE)->text, "stays where it is"));
    ck_assert(sim_records_hidden(newest(LOG_ASIDE)));
    ck_assert_double_ge(sim_session_parameters(session)->mitral_area_cm2, 1.5);
}
END_TEST

START_TEST(hand_frozen_screen_stays_while_the_pump_and_its_alarms_go_on) {
    run_to(session, 60);
    const Display *display = sim_session_display(session);
    double flow = display->value[DISPLAY_pump_flow_l_min], power = display->value[DISPLAY_pump_power_w];
    ck_assert_double_gt(flow, 2.5);
    say("freeze pump");
    refused(SESSION_VOICE_INSTRUCTOR, "freeze pump", "already");
    say("set left_pump_powered 0");
    run_to(session, 120);
    ck_assert_double_eq_tol(display->value[DISPLAY_pump_flow_l_min], flow, 1e-12);
    ck_assert_double_eq_tol(display->value[DISPLAY_pump_power_w], power, 1e-12);
    ck_assert_double_gt(display->value[DISPLAY_pump_rpm], 5000);
    const Trace *trace = sim_session_trace(session);
    for (int i = 1; i < trace->ticks; i++)
        ck_assert_double_eq_tol(trace->value[TRACE_PUMP_FLOW][i], trace->value[TRACE_PUMP_FLOW][0], 1e-12);
    ck_assert_double_gt(trace->value[TRACE_PUMP_FLOW][0], 2);
    /* the patient knows, the arterial line knows, and the controller's own alarms do */
    ck_assert_double_lt(sim_session_beat(session)->observables.pump_rpm, 1000);
    bool stopped = false;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        stopped |= entry->kind == LOG_ALARM && strncmp(entry->text, "begins", 6) == 0 &&
                   strstr(entry->from, "pump") != NULL;
    }
    ck_assert_msg(stopped, "no alarm of the pump although it stands still");
    say("freeze end");
    refused(SESSION_VOICE_INSTRUCTOR, "freeze end", "not frozen");
    run_to(session, 130);
    ck_assert_double_lt(display->value[DISPLAY_pump_rpm], 1000);
}
END_TEST

START_TEST(hand_freezing_changes_what_is_shown_and_nothing_of_the_patient) {
    Session *other = open_night();
    run_to(session, 40);
    run_to(other, 40);
    say("freeze pump");
    run_to(session, 100);
    run_to(other, 100);
    ck_assert_int_eq(memcmp(&sim_session_beat(session)->observables, &sim_session_beat(other)->observables,
                            sizeof(Observables)),
                     0);
    say("freeze end");
    run_to(session, 140);
    run_to(other, 140);
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        if (sim_session_display(other)->valid[id])
            ck_assert_double_eq_tol(sim_session_display(session)->value[id],
                                    sim_session_display(other)->value[id], 1e-12);
    }
    sim_session_close(other);
}
END_TEST

START_TEST(hand_message_truth_and_mark_are_said_and_logged) {
    run_to(session, 12);
    refused(SESSION_VOICE_INSTRUCTOR, "say nurse", ":");
    refused(SESSION_VOICE_INSTRUCTOR, "say : hello", "nobody");
    refused(SESSION_VOICE_INSTRUCTOR, "say nurse:  ", "missing");
    refused(SESSION_VOICE_INSTRUCTOR, "truth tamponad", "tamponade");
    say("say Charge  nurse: The bottle: 400 mL, in an hour.");
    ck_assert_str_eq(newest(LOG_MESSAGE)->from, "charge nurse");
    ck_assert_str_eq(newest(LOG_MESSAGE)->text, "The bottle: 400 mL, in an hour.");
    ck_assert(!sim_records_hidden(newest(LOG_MESSAGE)));
    ck_assert_str_eq(newest(LOG_HAND)->text, "say charge nurse: The bottle: 400 mL, in an hour.");
    ck_assert(sim_records_hidden(newest(LOG_HAND)));
    say("truth tamponade");
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_tamponade);
    ck_assert_str_eq(newest(LOG_TRUTH)->from, "tamponade");
    refused(SESSION_VOICE_INSTRUCTOR, "truth tamponade", "already");
    ck_assert_int_eq(
        sim_script_truth_at(sim_session_script(session), sim_session_case(session), 3)->diagnosis,
        DIAGNOSIS_well);
    say("mark saw it first on the trace");
    ck_assert_str_eq(newest(LOG_MARK)->from, "instructor");
    ck_assert(sim_records_hidden(newest(LOG_MARK)));
}
END_TEST

START_TEST(hand_plan_speaks_for_both) {
    run_to(session, 12);
    static const char *const words[] = {"speed 9000", "fire clot", "instructor norepinephrine 0.06",
                                        "set rv_ees_mmhg_ml 0.14", "note hello"};
    static const char *const from[] = {"trainee", "instructor", "instructor", "instructor", "trainee"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (sim_session_say_as(session, SESSION_VOICE_PLAN, words[i], &error) != ERROR_OK)
            ck_abort_msg("%s: %s", words[i], error.what);
        const LogEntry *entry = sim_session_log_entry(session, sim_session_log_count(session) - 1);
        ck_assert_msg(strcmp(entry->from, from[i]) == 0, "%s from %s", words[i], entry->from);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/session_hand");
    TCase *c = tcase_create("session_hand");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, hand_trainee_cannot_say_what_is_the_instructors);
    tcase_add_test(c, hand_fired_event_comes_with_the_next_beat_and_what_follows_it);
    tcase_add_test(c, hand_delay_moves_every_kind_of_event);
    tcase_add_test(c, hand_skipped_event_stays_away_until_it_is_kept);
    tcase_add_test(c, hand_causes_move_in_every_case_and_orders_stay_orders);
    tcase_add_test(c, hand_two_causes_that_do_not_go_together_do_not_end_the_night);
    tcase_add_test(c, hand_frozen_screen_stays_while_the_pump_and_its_alarms_go_on);
    tcase_add_test(c, hand_freezing_changes_what_is_shown_and_nothing_of_the_patient);
    tcase_add_test(c, hand_message_truth_and_mark_are_said_and_logged);
    tcase_add_test(c, hand_plan_speaks_for_both);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
