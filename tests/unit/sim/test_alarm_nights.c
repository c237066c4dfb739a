/* Alarms in whole nights: which come when, that one cause does not flood, that acts on them repeat exactly.
 */
#include "sim/session.h"

#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>

enum { TEXT_MAX = 4000, EXTRA_MAX = 400, MOST_PER_HOUR = 6 };

static ErrorList errors;
static Error error;
static SessionState kept, first, second; /* static: large */

static const char HEAD[] =
    "evenkeel_case: 1\nid: alarm-test\ntitle: Alarms\nlevel: 1\ntheme: tests\nlength: 1h\n"
    "seed: 7\nsummary: For tests.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None]}\n";
static const char PATIENT[] =
    "patient:\n  base: supported_axial\n  settle: 1min\n  set: {ventilated: 1, peep_cmh2o: 5, "
    "driving_cmh2o: 11}\n";
static const char TAIL[] = "endings:\n  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n";

static Case *parse(const char *extra) {
    char text[TEXT_MAX];
    snprintf(text, sizeof text, "%s%s%.399s%s", HEAD, PATIENT, extra, TAIL);
    return sim_case_parse(text, strlen(text), "alarm-test.yaml", &errors);
}

static Session *open_case(Case *file) {
    ck_assert_msg(file != NULL, "%s", errors.items[0].what);
    Session *session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(file);
    return session;
}

static void run_to(Session *session, double time_s) {
    ck_assert_msg(sim_session_advance_to(session, time_s, &error) == ERROR_OK, "%s", error.what);
}

/* When the alarm began first; negative: never. */
static double begun_s(const Session *session, AlarmId id) {
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry != NULL && entry->kind == LOG_ALARM && strcmp(entry->from, sim_alarms_row(id)->key) == 0 &&
            strncmp(entry->text, "begins", 6) == 0)
            return entry->time_s;
    }
    return -1;
}

START_TEST(alarm_nights_failing_case_is_told_in_order_without_a_flood) {
    Session *session =
        open_case(sim_case_load(EVENKEEL_SOURCE_DIR "/scenarios/failing-right-ventricle.yaml", &errors));
    run_to(session, 10 * 3600);
    double hours = sim_session_time_s(session) / 3600, told = sim_session_alarms(session)->told_count;
    double low = begun_s(session, ALARM_art_mean_low), very_low = begun_s(session, ALARM_art_mean_very_low);
    ck_assert_msg(told >= 3 && told < MOST_PER_HOUR * hours, "%.0f alarms in %.1f h", told, hours);
    ck_assert_double_gt(low, 20 * 60); /* calm before the trouble begins */
    ck_assert_double_gt(very_low, low);
    ck_assert_double_gt(begun_s(session, ALARM_pump_flow_low), 0);
    ck_assert_double_gt(begun_s(session, ALARM_suction), 0);
    ck_assert_double_lt(begun_s(session, ALARM_fibrillation), 0);
    ck_assert_double_lt(begun_s(session, ALARM_asystole), 0);
    ck_assert_double_lt(begun_s(session, ALARM_left_pump_stopped), 0);
    sim_session_close(session);
}
END_TEST

START_TEST(alarm_nights_steady_case_is_silent) {
    Session *session =
        open_case(sim_case_load(EVENKEEL_SOURCE_DIR "/scenarios/speed-titration.yaml", &errors));
    run_to(session, 10 * 3600);
    ck_assert_double_le(sim_session_alarms(session)->told_count, 1);
    sim_session_close(session);
}
END_TEST

START_TEST(alarm_nights_fibrillation_and_power_loss_are_told_at_once) {
    static const struct {
        const char *set;
        AlarmId id, not_told;
        double most_s;
    } rows[] = {
        {"rhythm_kind: 6", ALARM_fibrillation, ALARM_spo2_no_reading, 20},
        {"rhythm_kind: 7", ALARM_asystole, ALARM_hr_low, 20},
        {"rhythm_kind: 5", ALARM_wide_fast, ALARM_hr_high, 20},
        {"left_pump_powered: 0", ALARM_left_pump_no_power, ALARM_pump_flow_very_low, 5},
        {"left_pump_speed_rpm: 0", ALARM_left_pump_stopped, ALARM_pump_flow_very_low, 20},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char extra[EXTRA_MAX];
        snprintf(extra, sizeof extra, "timeline:\n  - {id: trouble, at: 2min, do: [{set: {%s}}]}\n",
                 rows[i].set);
        Session *session = open_case(parse(extra));
        run_to(session, 118);
        ck_assert_double_eq_tol(sim_session_alarms(session)->told_count, 0, 0.1);
        run_to(session, 240);
        double at_s = begun_s(session, rows[i].id);
        ck_assert_msg(at_s > 120 && at_s < 120 + rows[i].most_s, "%s: %.1f s", rows[i].set, at_s);
        ck_assert_msg(begun_s(session, rows[i].not_told) < 0, "%s floods", rows[i].set);
        ck_assert_msg(sim_session_alarms(session)->told_count <= 3, "%s: %.0f alarms", rows[i].set,
                      sim_session_alarms(session)->told_count);
        sim_session_close(session);
    }
}
END_TEST

START_TEST(alarm_nights_ordinary_rhythms_are_not_mistaken) {
    /* sinus, atrial fibrillation, paced atrial, ventricular and both: no rhythm alarm in four minutes */
    for (int rhythm = 0; rhythm <= 4; rhythm++) {
        char extra[EXTRA_MAX];
        snprintf(
            extra, sizeof extra,
            "timeline:\n  - {id: change, at: 5s, do: [{set: {rhythm_kind: %d, pacing_rate_per_min: 125}}]}\n",
            rhythm);
        Session *session = open_case(parse(extra));
        run_to(session, 240);
        ck_assert_msg(begun_s(session, ALARM_fibrillation) < 0 && begun_s(session, ALARM_asystole) < 0 &&
                          begun_s(session, ALARM_wide_fast) < 0,
                      "rhythm %d is mistaken", rhythm);
        sim_session_close(session);
    }
}
END_TEST

START_TEST(alarm_nights_high_pressure_is_not_taken_for_suction) {
    Session *session = open_case(parse("timeline:\n  - {id: tight, at: 5min, do: [{ramp: {parameter: "
                                       "systemic_resistance_x, to: 1.9, over: 3min}}]}\n"));
    run_to(session, 900);
    ck_assert_double_gt(begun_s(session, ALARM_art_mean_high), 300);
    ck_assert_double_lt(begun_s(session, ALARM_suction), 0);
    sim_session_close(session);
}
END_TEST

START_TEST(alarm_nights_bleeding_is_told_as_suction_then_as_low_pressure) {
    Session *session = open_case(parse("timeline:\n  - {id: bleed, at: 2min, do: [{ramp: {parameter: "
                                       "bleed_hidden_ml_h, to: 4500, over: 1min}}]}\n"));
    run_to(session, 3600);
    double suction = begun_s(session, ALARM_suction), low = begun_s(session, ALARM_art_mean_low);
    ck_assert_msg(suction > 120 && low > 120, "suction %.0f s, low pressure %.0f s", suction, low);
    sim_session_close(session);
}
END_TEST

START_TEST(alarm_nights_case_sets_limits) {
    Session *session =
        open_case(parse("alarms: {art_mean_low_mmhg: 80, art_mean_high_mmhg: off, cvp_high_mmhg: 20}\n"));
    const AlarmLimits *limits = &sim_session_alarms(session)->limits;
    ck_assert_double_eq_tol(limits->value[ALARM_art_mean_low], 80, 1e-12);
    ck_assert(!limits->on[ALARM_art_mean_high]);
    ck_assert_double_eq_tol(limits->value[ALARM_cvp_high], 20, 1e-12);
    run_to(session, 30);
    ck_assert_int_eq(sim_session_say(session, "limit cvp_high 25", &error), ERROR_OK);
    ck_assert_int_eq(sim_session_say(session, "limit reset", &error), ERROR_OK);
    ck_assert_double_eq_tol(limits->value[ALARM_cvp_high], 20, 1e-12);
    sim_session_close(session);
}
END_TEST

START_TEST(alarm_nights_case_limits_are_checked) {
    static const struct {
        const char *text, *what;
    } rows[] = {
        {"alarms: {art_mean_low_mmhg: 5}\n", "out of range"},
        {"alarms: {art_mean_lowest_mmhg: 55}\n", "no alarm limit"},
        {"alarms: {art_mean_low: 55}\n", "no alarm limit"}, /* the unit belongs to the key */
        {"alarms: {asystole: off}\n", "no alarm limit"},
        {"alarms: {art_mean_low_mmhg: often}\n", "not a number"},
        {"alarms: {art_mean_low_mmhg: [1, 2]}\n", "is found"},
        {"alarms: [55]\n", "is found"},
        {"alarms: {art_mean_low_mmhg: 80, art_mean_high_mmhg: 75}\n", "would meet"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_ptr_null(parse(rows[i].text));
        ck_assert_msg(errors.count > 0 && strstr(errors.items[0].what, rows[i].what) != NULL, "%s: %s",
                      rows[i].text, errors.items[0].what);
        ck_assert_int_gt(errors.items[0].line, 0);
    }
}
END_TEST

START_TEST(alarm_nights_acts_are_logged_and_repeat_exactly) {
    Session *session = open_case(parse("alarms: {art_mean_low_mmhg: 85, art_mean_high_mmhg: off}\n"));
    run_to(session, 60);
    ck_assert_double_gt(begun_s(session, ALARM_art_mean_low), 0);
    sim_session_save(session, &kept);
    for (int round = 0; round < 2; round++) {
        ck_assert_int_eq(sim_session_restore(session, &kept, &error), ERROR_OK);
        run_to(session, 70);
        ck_assert_int_eq(sim_session_say(session, "pause", &error), ERROR_OK);
        run_to(session, 80);
        ck_assert_int_eq(sim_session_say(session, "acknowledge", &error), ERROR_OK);
        ck_assert_int_eq(sim_session_say(session, "acknowledge", &error), ERROR_NOT_ALLOWED);
        run_to(session, 90);
        ck_assert_int_eq(sim_session_say(session, "limit art_mean low 50", &error), ERROR_OK);
        run_to(session, 200);
        sim_session_save(session, round == 0 ? &first : &second);
    }
    ck_assert_mem_eq(&first.alarms, &second.alarms, sizeof first.alarms);
    ck_assert_uint_eq(first.chain, second.chain);
    int acts = 0, seen = 0, ends = 0;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        acts += entry->kind == LOG_ALARM_ACT;
        seen += entry->kind == LOG_ALARM && strstr(entry->text, "acknowledged after") != NULL;
        ends += entry->kind == LOG_ALARM && strstr(entry->text, "ends after") != NULL;
        if (entry->kind == LOG_ALARM_ACT && strstr(entry->text, "acknowledge") != NULL)
            ck_assert_str_eq(entry->text, "acknowledge art_mean_low"); /* named, not "the first" */
    }
    ck_assert_int_eq(acts, 3);
    ck_assert_int_eq(seen, 1);
    ck_assert_int_eq(ends, 1);
    sim_session_close(session);
}
END_TEST

START_TEST(alarm_nights_limits_change_the_fingerprint) {
    uint64_t chain[2];
    for (int round = 0; round < 2; round++) {
        Session *session = open_case(parse(""));
        run_to(session, 10);
        if (round == 1) ck_assert_int_eq(sim_session_say(session, "limit cvp_high 21", &error), ERROR_OK);
        run_to(session, 30);
        chain[round] = sim_session_hash(session);
        sim_session_close(session);
    }
    ck_assert_uint_ne(chain[0], chain[1]);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("alarm nights");
    TCase *t = tcase_create("alarm nights");
    tcase_set_timeout(t, 120);
    tcase_add_test(t, alarm_nights_failing_case_is_told_in_order_without_a_flood);
    tcase_add_test(t, alarm_nights_steady_case_is_silent);
    tcase_add_test(t, alarm_nights_fibrillation_and_power_loss_are_told_at_once);
    tcase_add_test(t, alarm_nights_ordinary_rhythms_are_not_mistaken);
    tcase_add_test(t, alarm_nights_high_pressure_is_not_taken_for_suction);
    tcase_add_test(t, alarm_nights_bleeding_is_told_as_suction_then_as_low_pressure);
    tcase_add_test(t, alarm_nights_case_sets_limits);
    tcase_add_test(t, alarm_nights_case_limits_are_checked);
    tcase_add_test(t, alarm_nights_acts_are_logged_and_repeat_exactly);
    tcase_add_test(t, alarm_nights_limits_change_the_fingerprint);
    suite_add_tcase(s, t);
    return s;
}

CHECK_MAIN(suite)
