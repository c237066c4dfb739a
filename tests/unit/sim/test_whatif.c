/* A recorded night read back, played again, and played otherwise. The night played again with nothing changed
   is the reference: it must be the recorded one. */
#include "sim/recall.h"
#include "sim/rerun.h"
#include "sim/whatif_job.h"
#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static const double NIGHT_S = 480;

static char folder[64], path[128];
static Error error;
static Recall *recall;
static RerunActs acts;
static Observables at_the_end;

/* Eight minutes of the test case: PEEP and a wedge before the right ventricle weakens at 5 min, volume after.
 */
static void record_night(void) {
    static const struct {
        double time_s;
        const char *words;
    } SAID[] = {{60, "wedge"},
                {120, "speed 9000"},
                {360, "bolus crystalloid 100mL over 10min"},
                {400, "note cold hands"}};
    ErrorList errors;
    strcpy(folder, "/tmp/evenkeel_whatif_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/night.db", folder);
    char file[128];
    snprintf(file, sizeof file, "%s/night.yaml", folder);
    FILE *out = fopen(file, "w");
    fputs(CASE_TEXT_GOOD, out);
    fclose(out);
    Case *night = sim_case_load(file, &errors);
    ck_assert_ptr_nonnull(night);
    SessionOptions options = sim_session_options_none();
    Session *session = sim_session_open(night, &options, &error);
    JournalSetup setup = {.options = &options, .maker = "run", .until_s = NIGHT_S, .plan = ""};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    for (size_t i = 0; i < sizeof SAID / sizeof SAID[0]; i++) {
        while (sim_session_time_s(session) < SAID[i].time_s) {
            ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
            ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
        }
        ck_assert_msg(sim_session_say(session, SAID[i].words, &error) == ERROR_OK, "%s", error.what);
    }
    while (sim_session_time_s(session) < NIGHT_S) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    at_the_end = sim_session_beat(session)->observables;
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    sim_case_free(night);
    recall = sim_recall_open(path, &error);
    ck_assert_msg(recall != NULL, "%s", error.what);
    ck_assert(sim_whatif_acts(recall, &acts));
}

static void forget_night(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    sim_rerun_acts_free(&acts);
    sim_recall_free(recall);
}

static RerunCourse play(const RerunActs *which) {
    RerunCourse course;
    ErrorCode code =
        sim_rerun_play(recall->case_file, &recall->options, which, NIGHT_S, NULL, NULL, &course, &error);
    ck_assert_msg(code == ERROR_OK, "%s", error.what);
    return course;
}

START_TEST(recall_reads_what_was_recorded) {
    ck_assert(recall->same_build);
    ck_assert_str_eq(recall->night.case_id, "test-night");
    ck_assert_int_ge(recall->point_count, (int64_t)(NIGHT_S / 10));
    ck_assert_double_eq_tol(recall->point[recall->point_count - 1].truth.art_mean_mmhg,
                            at_the_end.art_mean_mmhg, 12);
    ck_assert(isfinite(recall->point[20].shown[DISPLAY_art_mean_mmhg]));
    ck_assert_int_eq(acts.count, 4);
    ck_assert_str_eq(acts.act[3].words, "note cold hands");
    SessionState *state = malloc(sizeof *state);
    ck_assert_int_eq(sim_recall_state(path, 200, state, &error), ERROR_OK);
    ck_assert_double_eq_tol(state->time_s, 180, 2); /* kept every minute */
    free(state);
}
END_TEST

START_TEST(recall_refuses_what_is_no_night) {
    ck_assert_ptr_null(sim_recall_open(EVENKEEL_SOURCE_DIR "/README.md", &error));
    ck_assert_int_eq(error.code, ERROR_FORMAT);
    ck_assert_ptr_null(sim_recall_open("/nonexistent/night.db", &error));
    ck_assert_int_eq(error.code, ERROR_FILE_READ);
    ck_assert_int_eq(truncate(path, 3000), 0);
    ck_assert_ptr_null(sim_recall_open(path, &error));
    ck_assert_str_eq(error.where, path);
}
END_TEST

START_TEST(rerun_of_the_same_acts_is_the_same_night) {
    RerunCourse course = play(&acts);
    ck_assert_int_eq(course.refused, 0);
    ck_assert_int_eq(course.points, (int)ceil(NIGHT_S / RERUN_STEP_S));
    ck_assert_double_eq(course.reached_s, recall->night.reached_s);
    /* each minute's mean lies among that minute's observations, and running totals end alike */
    for (int i = 0; i < course.points; i++) {
        double low = INFINITY, high = -INFINITY;
        for (int64_t k = 0; k < recall->point_count; k++) {
            const RecallPoint *point = &recall->point[k];
            if (point->time_s < i * RERUN_STEP_S - 10 || point->time_s > (i + 1) * RERUN_STEP_S + 10)
                continue;
            low = fmin(low, point->truth.art_mean_mmhg);
            high = fmax(high, point->truth.art_mean_mmhg);
        }
        ck_assert_double_ge(course.mean[i].art_mean_mmhg, low - 1);
        ck_assert_double_le(course.mean[i].art_mean_mmhg, high + 1);
    }
    ck_assert_double_eq(course.mean[course.points - 1].urine_total_ml, at_the_end.urine_total_ml);
    sim_rerun_course_free(&course);
}
END_TEST

START_TEST(outcomes_are_those_of_the_minutes) {
    RerunCourse course = play(&acts);
    double least = INFINITY, most = -INFINITY, below_min = 0, sum = 0, all_s = 0;
    for (int i = 0; i < course.points; i++) {
        double step_s = course.mean[i].time_s - (i > 0 ? course.mean[i - 1].time_s : 0);
        least = fmin(least, course.mean[i].systemic_flow_l_min);
        most = fmax(most, course.mean[i].cvp_mmhg);
        if (course.mean[i].svo2_frac < 0.55) below_min += step_s / 60;
        sum += course.mean[i].urine_ml_h * step_s;
        all_s += step_s;
    }
    ck_assert_double_eq_tol(course.outcome[OUTCOME_flow_least], least, 1e-12);
    ck_assert_double_eq_tol(course.outcome[OUTCOME_cvp_most], most, 1e-12);
    ck_assert_double_eq_tol(course.outcome[OUTCOME_svo2_low], below_min, 1e-9);
    ck_assert_double_eq_tol(course.outcome[OUTCOME_urine], sum / all_s, 1e-9);
    ck_assert_double_eq(course.outcome[OUTCOME_lactate_last], course.mean[course.points - 1].lactate_mmol_l);
    sim_rerun_course_free(&course);
}
END_TEST

START_TEST(an_order_left_out_changes_only_what_follows) {
    RerunActs otherwise;
    otherwise = (RerunActs){.count = 0};
    for (int i = 0; i < acts.count; i++) /* without the bolus at 6 min */
        ck_assert(i == 2 ||
                  sim_rerun_acts_add(&otherwise, acts.act[i].time_s, acts.act[i].kind, acts.act[i].words));
    RerunCourse night, other;
    ck_assert_int_eq(
        sim_whatif_compare(recall, &acts, &otherwise, NIGHT_S, NULL, NULL, &night, &other, &error), ERROR_OK);
    for (int i = 0; i < 5; i++)
        ck_assert_mem_eq(&night.mean[i], &other.mean[i], sizeof night.mean[i]);
    /* 100 mL in ten minutes: after two minutes 20 mL, less what has left the vessels */
    double more_ml = night.mean[7].blood_volume_ml - other.mean[7].blood_volume_ml;
    ck_assert_double_gt(more_ml, 8);
    ck_assert_double_lt(more_ml, 20);
    sim_rerun_course_free(&night);
    sim_rerun_course_free(&other);
    sim_rerun_acts_free(&otherwise);
}
END_TEST

/* The reference is the whole course played from its beginning. */
START_TEST(a_branch_is_the_course_played_from_the_beginning) {
    RerunActs otherwise;
    ck_assert(sim_whatif_copy_acts(&acts, &otherwise));
    ck_assert(sim_rerun_acts_add(&otherwise, 250, LOG_ORDER, "speed 8600"));
    ck_assert_double_eq(sim_whatif_parts_s(&acts, &otherwise), 250);
    RerunCourse night, other, whole = play(&otherwise), same = play(&acts);
    ck_assert_int_eq(
        sim_whatif_compare(recall, &acts, &otherwise, NIGHT_S, NULL, NULL, &night, &other, &error), ERROR_OK);
    ck_assert_double_eq_tol(other.from_s, 240, 2); /* the state kept before */
    ck_assert_int_eq(other.observed, whole.observed);
    ck_assert_mem_eq(other.point, whole.point, (size_t)whole.observed * sizeof whole.point[0]);
    ck_assert_mem_eq(other.outcome, whole.outcome, sizeof whole.outcome);
    ck_assert_int_eq(night.observed, same.observed);
    ck_assert_mem_eq(night.point, same.point, (size_t)same.observed * sizeof same.point[0]);
    ck_assert_mem_eq(night.outcome, same.outcome, sizeof same.outcome);
    ck_assert(memcmp(other.outcome, night.outcome, sizeof night.outcome) != 0);
    ck_assert(isinf(sim_whatif_parts_s(&acts, &acts)));
    sim_rerun_course_free(&night);
    sim_rerun_course_free(&other);
    sim_rerun_course_free(&whole);
    sim_rerun_course_free(&same);
    sim_rerun_acts_free(&otherwise);
}
END_TEST

START_TEST(acts_are_kept_in_the_order_of_time) {
    ck_assert(sim_rerun_acts_add(&acts, 90, LOG_NOTE, "note early"));
    ck_assert_str_eq(acts.act[1].words, "note early");
    ck_assert(
        sim_rerun_acts_add(&acts, acts.act[2].time_s, LOG_NOTE, "note behind what stands at that time"));
    ck_assert_str_eq(acts.act[3].words, "note behind what stands at that time");
    ck_assert_int_eq(acts.count, 6);
    for (int i = 1; i < acts.count; i++)
        ck_assert_double_ge(acts.act[i].time_s, acts.act[i - 1].time_s);
}
END_TEST

START_TEST(the_treatment_is_what_treats_since_the_trouble_began) {
    ck_assert_double_eq_tol(sim_whatif_trouble_s(recall), 300, 2); /* the script's first event */
    int number[4];
    ck_assert_int_eq(sim_whatif_treatment(recall, &acts, number, 4), 1);
    ck_assert_int_eq(number[0], 2);
    double time_s[4];
    ck_assert_int_eq(sim_whatif_earlier(recall, &acts, 30, time_s), 1);
    ck_assert_double_eq_tol(time_s[2], acts.act[2].time_s - 30, 1e-9);
    ck_assert_double_eq(time_s[1], acts.act[1].time_s);
    sim_whatif_earlier(recall, &acts, WHATIF_EARLIER_S, time_s); /* none before the trouble */
    ck_assert_double_eq(time_s[2], sim_whatif_trouble_s(recall));
}
END_TEST

START_TEST(what_is_no_longer_possible_is_left_out_and_said) {
    ck_assert(sim_rerun_acts_add(&acts, 420, LOG_ORDER, "peep 8"));
    RerunCourse course = play(&acts);
    ck_assert_int_eq(course.refused, 1);
    ck_assert_ptr_nonnull(strstr(course.refusal, "peep 8"));
    sim_rerun_course_free(&course);
}
END_TEST

static bool give_up(void *context, double done) {
    *(double *)context = done;
    return done > 0.1;
}

START_TEST(a_rerun_can_be_given_up) {
    RerunCourse course;
    double done = 0;
    ck_assert_int_eq(
        sim_rerun_play(recall->case_file, &recall->options, &acts, NIGHT_S, give_up, &done, &course, &error),
        ERROR_NOT_ALLOWED);
    ck_assert_double_lt(done, 0.6);
    sim_rerun_course_free(&course);
    WhatifRange range;
    ck_assert_int_eq(sim_whatif_range(recall->case_file, &recall->options, &acts, NIGHT_S, 4, 2, give_up, NULL,
                                      &done, &range, &error),
                     ERROR_NOT_ALLOWED);
}
END_TEST

START_TEST(the_range_is_the_same_on_one_thread_and_on_two) {
    WhatifRange one, two;
    ck_assert_int_eq(
        sim_whatif_range(recall->case_file, &recall->options, &acts, 240, 5, 1, NULL, NULL, NULL, &one, &error),
        ERROR_OK);
    ck_assert_int_eq(
        sim_whatif_range(recall->case_file, &recall->options, &acts, 240, 5, 2, NULL, NULL, NULL, &two, &error),
        ERROR_OK);
    ck_assert_int_eq(one.variants, 5);
    ck_assert_mem_eq(one.low, two.low, sizeof one.low);
    ck_assert_mem_eq(one.high, two.high, sizeof one.high);
    ck_assert_double_lt(one.low[OUTCOME_flow_least], one.high[OUTCOME_flow_least]); /* they do differ */
    for (int i = 0; i < OUTCOME_COUNT; i++) {
        ck_assert_double_le(one.low[i], one.mid[i]);
        ck_assert_double_le(one.mid[i], one.high[i]);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("whatif");
    TCase *c = tcase_create("whatif");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, record_night, forget_night);
    tcase_add_test(c, recall_reads_what_was_recorded);
    tcase_add_test(c, recall_refuses_what_is_no_night);
    tcase_add_test(c, rerun_of_the_same_acts_is_the_same_night);
    tcase_add_test(c, outcomes_are_those_of_the_minutes);
    tcase_add_test(c, an_order_left_out_changes_only_what_follows);
    tcase_add_test(c, a_branch_is_the_course_played_from_the_beginning);
    tcase_add_test(c, acts_are_kept_in_the_order_of_time);
    tcase_add_test(c, the_treatment_is_what_treats_since_the_trouble_began);
    tcase_add_test(c, what_is_no_longer_possible_is_left_out_and_said);
    tcase_add_test(c, a_rerun_can_be_given_up);
    tcase_add_test(c, the_range_is_the_same_on_one_thread_and_on_two);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
