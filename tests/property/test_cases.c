/* The shipped cases as cases: they play to an end, a good plan ends well and doing nothing does not, and the
   pair that is meant to look alike does so in the numbers and parts in the picture. The limits are those a
   bedside team could read off: what differs less would not be noticed, what differs more would. */
#include "sim/session.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DURATION_DAY_S 86400.0

static ErrorList errors; /* static: large */
static Error error;

typedef struct PlanStep {
    double at_s;
    const char *words;
} PlanStep;

static Session *open_case(const char *id) {
    char path[600];
    snprintf(path, sizeof path, "%s/scenarios/%s.yaml", EVENKEEL_SOURCE_DIR, id);
    Case *night = sim_case_load(path, &errors);
    if (night == NULL) ck_abort_msg("%s: %s", path, errors.items[0].what);
    Session *session = sim_session_open(night, NULL, &error);
    if (session == NULL) ck_abort_msg("%s", error.what);
    sim_case_free(night);
    return session;
}

static void run_to(Session *session, double time_s) {
    ErrorCode code = sim_session_advance_to(session, time_s, &error);
    if (code != ERROR_OK) ck_abort_msg("%s", error.what);
}

/* How a night went. */
typedef struct Course {
    CaseOutcome outcome;
    bool named;          /* the objective `named` was met */
    int predicted, hits; /* quantities predicted and seen; of these, right */
    int looks;
    DiagnosisId truth; /* at the end */
} Course;

static bool met(const Session *session, const char *id) {
    const Case *night = sim_session_case(session);
    for (int i = 0; i < night->objective_count; i++) {
        if (strcmp(night->objectives[i].id, id) == 0)
            return sim_session_script(session)->objective_met_s[i] >= 0;
    }
    return false;
}

static Course course_of(const Session *session) {
    Course course = {.outcome = sim_session_outcome(session),
                     .named = met(session, "named"),
                     .looks = sim_session_look(session).count,
                     .truth = sim_session_truth(session)->diagnosis};
    const Prediction *prediction;
    for (int i = 0; (prediction = sim_session_prediction(session, i)) != NULL; i++) {
        int known, hits;
        sim_predictions_score(prediction, &known, &hits);
        course.predicted += known;
        course.hits += hits;
    }
    return course;
}

/* Plays a case with a plan to its end. */
static Course play(const char *id, const PlanStep steps[], int count) {
    Session *session = open_case(id);
    for (int i = 0; i < count; i++) {
        run_to(session, steps[i].at_s);
        if (sim_session_say(session, steps[i].words, &error) != ERROR_OK)
            ck_abort_msg("%s: %s; %s", steps[i].words, error.what, error.allowed);
    }
    run_to(session, DURATION_DAY_S);
    ck_assert(sim_session_ended(session));
    ck_assert_str_ne(sim_session_end_text(session), "");
    Course course = course_of(session);
    sim_session_close(session);
    return course;
}

static bool ends_badly(const Course *course) {
    return course->outcome == CASE_OUTCOME_HARM || course->outcome == CASE_OUTCOME_DEATH;
}

START_TEST(cases_titration_found_ends_well) {
    static const PlanStep plan[] = {
        {120, "look four_chamber"},
        {240, "call speed_too_low confidence 80 plan small steps, then look again"},
        {300, "predict speed 7600 : pump_flow up, cvp same, art_mean up, sure 4"},
        {900, "predict speed 8000 : pump_flow up, cvp same, art_mean same, sure 3"},
        {1500, "predict speed 8400 : pump_flow up, cvp same, art_mean same, sure 3"},
        {2100, "predict speed 8800 : skip"},
        {3600, "call well confidence 70"}};
    Course course = play("speed-titration", plan, 7);
    ck_assert_int_eq(course.outcome, CASE_OUTCOME_GOOD);
    ck_assert_int_eq(course.predicted, 9);
    ck_assert_int_ge(course.hits, 5); /* what the speed does can be known beforehand */
    ck_assert_int_eq(course.truth, DIAGNOSIS_well);
}
END_TEST

START_TEST(cases_titration_too_fast_does_not) {
    static const PlanStep plan[] = {{300, "speed 10800"}};
    Course course = play("speed-titration", plan, 1);
    ck_assert_int_ne(course.outcome, CASE_OUTCOME_GOOD);
    ck_assert_int_eq(course.truth, DIAGNOSIS_speed_too_high);
}
END_TEST

START_TEST(cases_titration_left_alone_does_not) {
    Course course = play("speed-titration", NULL, 0);
    ck_assert_int_eq(course.outcome, CASE_OUTCOME_MIXED);
    ck_assert_int_eq(course.truth, DIAGNOSIS_speed_too_low);
}
END_TEST

START_TEST(cases_clot_reopened_in_time_ends_well) {
    static const PlanStep plan[] = {
        {2400, "look four_chamber"},
        {2700, "look end"},
        {2760, "call clot_right confidence 75 plan re-open the chest, no more volume than needed"},
        {3600, "reopen_chest"}};
    Course course = play("clot-behind-right-heart", plan, 4);
    ck_assert_int_eq(course.outcome, CASE_OUTCOME_GOOD);
    ck_assert(course.named);
    ck_assert_int_eq(course.looks, 1);
    ck_assert_int_eq(course.truth, DIAGNOSIS_well);
}
END_TEST

START_TEST(cases_clot_treated_as_failure_ends_in_harm) {
    static const PlanStep plan[] = {{2900, "call right_failure_high_resistance confidence 80"},
                                    {3000, "milrinone 0.5"},
                                    {3000, "nitric_oxide 20"},
                                    {3300, "epinephrine 0.05"},
                                    {3600, "vasopressin 0.03"}};
    Course course = play("clot-behind-right-heart", plan, 5);
    ck_assert(ends_badly(&course));
    ck_assert(!course.named);
    ck_assert_int_eq(course.truth, DIAGNOSIS_clot_right);
}
END_TEST

START_TEST(cases_right_ventricle_supported_ends_well) {
    static const PlanStep plan[] = {
        {2520, "look four_chamber"},
        {2820, "call right_failure confidence 75 plan inotrope, pressure, no volume"},
        {2880, "dobutamine 5"},
        {3000, "norepinephrine 0.1"},
        {3240, "milrinone 0.4"},
        {3480, "vasopressin 0.03"},
        {3720, "epinephrine 0.05"}};
    Course course = play("failing-right-ventricle", plan, 7);
    ck_assert_int_eq(course.outcome, CASE_OUTCOME_GOOD);
    ck_assert(course.named);
}
END_TEST

START_TEST(cases_right_ventricle_reopened_only_ends_in_harm) {
    static const PlanStep plan[] = {{3000, "call clot_right confidence 60"}, {3600, "reopen_chest"}};
    Course course = play("failing-right-ventricle", plan, 2);
    ck_assert(ends_badly(&course));
    ck_assert(!course.named);
    ck_assert_int_eq(course.truth, DIAGNOSIS_right_failure);
}
END_TEST

/* What a bedside team would not notice, in the units of the row; the same for every pair. */
static const struct {
    DisplayId id;
    double most;
} alike[] = {{DISPLAY_art_mean_mmhg, 6}, {DISPLAY_cvp_mmhg, 3},       {DISPLAY_pump_flow_l_min, 0.4},
             {DISPLAY_hr_per_min, 8},    {DISPLAY_pump_power_w, 0.4}, {DISPLAY_pa_sys_mmhg, 6},
             {DISPLAY_svo2_percent, 8}};

/* A pair and where its pictures part: the first minus the second, at least. Sizes that are seen on a screen.
 */
typedef struct Pair {
    const char *first, *second;
    double at_s;
    double flow_below_l_min; /* both are sick by then */
    double rv_edd_mm, lv_edd_mm, septum_mm, pericardial_ml;
} Pair;

static const Pair pairs[] = {
    {"clot-behind-right-heart", "failing-right-ventricle", 51 * 60, 3.7, -5, 0, 6, 80},
    {"clot-at-the-left-atrium", "tired-left-ventricle", 65 * 60, 4.1, 0, -12, -10, 100},
    {"drains-that-clot", "right-heart-against-the-lungs", 58 * 60, 3.7, -5, 0, 3, 120},
    {"inflow-against-septum", "too-fast", 50 * 60, 4.4, 0, 8, 5, 0},
};

/* At least as far, the way the limit's sign says; 0 asks for nothing. */
static void parts(double first, double second, double least, const char *what, const Pair *pair) {
    ck_assert_msg((first - second) * (least < 0 ? -1 : 1) >= fabs(least) - (least == 0 ? INFINITY : 0),
                  "%s, %s: %s %g and %g", pair->first, pair->second, what, first, second);
}

START_TEST(cases_look_alikes_agree_in_numbers_and_part_in_the_picture) {
    const Pair *pair = &pairs[_i];
    Session *first = open_case(pair->first);
    Session *second = open_case(pair->second);
    ck_assert_str_eq(sim_session_case(first)->handover.who, sim_session_case(second)->handover.who);
    ck_assert_str_eq(sim_session_case(first)->handover.done, sim_session_case(second)->handover.done);
    ck_assert_str_eq(sim_session_case(first)->summary, sim_session_case(second)->summary);
    run_to(first, pair->at_s);
    run_to(second, pair->at_s);
    for (size_t i = 0; i < sizeof alike / sizeof alike[0]; i++) {
        double a = sim_session_display(first)->value[alike[i].id],
               b = sim_session_display(second)->value[alike[i].id];
        ck_assert_msg(fabs(a - b) <= alike[i].most, "%s, %s: %s %g and %g", pair->first, pair->second,
                      sim_instruments_display_row(alike[i].id)->key, a, b);
    }
    ck_assert_double_lt(sim_session_display(first)->value[DISPLAY_pump_flow_l_min], pair->flow_below_l_min);
    ck_assert_double_lt(sim_session_display(second)->value[DISPLAY_pump_flow_l_min], pair->flow_below_l_min);
    const Observables *a = &sim_session_beat(first)->observables, *b = &sim_session_beat(second)->observables;
    parts(a->rv_edd_mm, b->rv_edd_mm, pair->rv_edd_mm, "RV diameter", pair);
    parts(a->lv_edd_mm, b->lv_edd_mm, pair->lv_edd_mm, "LV diameter", pair);
    parts(a->septum_mm, b->septum_mm, pair->septum_mm, "septum", pair);
    parts(a->pericardial_ml, b->pericardial_ml, pair->pericardial_ml, "pericardium", pair);
    sim_session_close(first);
    sim_session_close(second);
}
END_TEST

/* A new heart: no pump to read, so pressures, rate and venous saturation are all there is. */
START_TEST(cases_new_hearts_agree_in_numbers_and_part_in_the_picture) {
    const double at_s = 50 * 60;
    Session *clot = open_case("transplant-silent-drains");
    Session *failure = open_case("transplant-right-side");
    ck_assert_str_eq(sim_session_case(clot)->handover.who, sim_session_case(failure)->handover.who);
    ck_assert_str_eq(sim_session_case(clot)->handover.done, sim_session_case(failure)->handover.done);
    run_to(clot, at_s);
    run_to(failure, at_s);
    static const struct {
        DisplayId id;
        double most;
    } hearts[] = {{DISPLAY_art_mean_mmhg, 6}, {DISPLAY_cvp_mmhg, 3},    {DISPLAY_hr_per_min, 8},
                  {DISPLAY_pa_sys_mmhg, 6},   {DISPLAY_pa_dia_mmhg, 6}, {DISPLAY_svo2_percent, 8}};
    for (size_t i = 0; i < sizeof hearts / sizeof hearts[0]; i++) {
        double a = sim_session_display(clot)->value[hearts[i].id],
               b = sim_session_display(failure)->value[hearts[i].id];
        ck_assert_msg(fabs(a - b) <= hearts[i].most, "%s: %g and %g",
                      sim_instruments_display_row(hearts[i].id)->key, a, b);
    }
    /* both are sick: a tired circulation under a high venous pressure */
    ck_assert_double_lt(sim_session_display(clot)->value[DISPLAY_svo2_percent], 56);
    ck_assert_double_gt(sim_session_display(clot)->value[DISPLAY_cvp_mmhg], 16);
    const Observables *small = &sim_session_beat(clot)->observables,
                      *big = &sim_session_beat(failure)->observables;
    ck_assert_double_gt(big->rv_edd_mm - small->rv_edd_mm, 3);
    ck_assert_double_gt(small->septum_mm - big->septum_mm, 4);
    ck_assert_double_gt(small->pericardial_ml, 80);
    ck_assert_double_lt(big->pericardial_ml, 20);
    sim_session_close(clot);
    sim_session_close(failure);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("cases");
    TCase *c = tcase_create("cases");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, cases_titration_found_ends_well);
    tcase_add_test(c, cases_titration_too_fast_does_not);
    tcase_add_test(c, cases_titration_left_alone_does_not);
    tcase_add_test(c, cases_clot_reopened_in_time_ends_well);
    tcase_add_test(c, cases_clot_treated_as_failure_ends_in_harm);
    tcase_add_test(c, cases_right_ventricle_supported_ends_well);
    tcase_add_test(c, cases_right_ventricle_reopened_only_ends_in_harm);
    tcase_add_loop_test(c, cases_look_alikes_agree_in_numbers_and_part_in_the_picture, 0,
                        (int)(sizeof pairs / sizeof pairs[0]));
    suite_add_tcase(s, c);
    TCase *hearts = tcase_create("new_hearts");
    tcase_set_timeout(hearts, 600);
    tcase_add_test(hearts, cases_new_hearts_agree_in_numbers_and_part_in_the_picture);
    suite_add_tcase(s, hearts);
    return s;
}

CHECK_MAIN(suite)
