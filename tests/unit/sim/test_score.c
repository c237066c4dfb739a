/* The rubric: each kind of row against values worked out by hand. */
#include "sim/score.h"

#include "sim/session.h"

#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <string.h>

static Case night; /* static: a case is too large for the stack */
static ScoreState state;
static Observables observables;
static Display display;
static Parameters parameters;
static ScoreLine lines[SCORE_LINES_MAX];
static double met_s[CASE_OBJECTIVES_MAX];
static int line_count;

static const CaseTruth WELL = {.diagnosis = DIAGNOSIS_well};
static const CaseTruth CLOT = {
    .diagnosis = DIAGNOSIS_clot_right, .also_count = 1, .also = {DIAGNOSIS_tamponade}};
static const CaseTruth RIGHT = {.diagnosis = DIAGNOSIS_right_failure};

static void setup(void) {
    memset(&night, 0, sizeof night);
    memset(&observables, 0, sizeof observables);
    memset(&display, 0, sizeof display);
    parameters = model_parameters_standard();
    night.length_s = 3600;
    for (int i = 0; i < CASE_OBJECTIVES_MAX; i++)
        met_s[i] = -1;
    sim_score_start(&state);
}

static void add_row(CaseScore row) {
    night.score[night.score_count++] = row;
}

static void pass(double from_s, double to_s, const CaseTruth *truth) {
    const ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    for (double time_s = from_s + 1; time_s <= to_s; time_s += 1)
        sim_score_advance(&state, &night, &inputs, truth, 1, time_s);
}

static void call(double time_s, const CaseTruth *truth, DiagnosisId diagnosis) {
    sim_score_call(&state, truth, diagnosis, sim_diagnoses_row(diagnosis)->kind, time_s);
}

static void tell(CaseOutcome outcome, bool ended, double time_s) {
    const ScoreView view = {&state, met_s, outcome, ended, time_s};
    line_count = sim_score_tell(&night, &view, lines);
}

START_TEST(score_standard_counts_objectives_and_the_ending) {
    setup();
    night.objective_count = 2;
    strcpy(night.objectives[1].id, "second");
    sim_score_standard(&night);
    ck_assert_int_eq(night.score_count, 3);
    met_s[1] = 660;
    tell(CASE_OUTCOME_MIXED, true, 3600);
    ck_assert_int_eq(line_count, 3);
    ck_assert_double_eq_tol(lines[0].got, 0, 1e-12);
    ck_assert_double_eq_tol(lines[1].got, SCORE_OBJECTIVE_POINTS, 1e-12);
    ck_assert_str_eq(lines[1].key, "objective:second");
    ck_assert_str_eq(lines[1].why, "met at 00:11");
    ck_assert_double_eq_tol(lines[2].got, SCORE_ENDING_POINTS / 2, 1e-12);
    ScoreTotal total = sim_score_total(lines, line_count);
    ck_assert_double_eq_tol(total.got, 20, 1e-12);
    ck_assert_double_eq_tol(total.most, 40, 1e-12);
    ck_assert_double_eq_tol(total.percent, 50, 1e-9);
}
END_TEST

START_TEST(score_endings_make_one_line) {
    static const struct {
        CaseOutcome outcome;
        bool ended;
        double got;
    } rows[] = {{CASE_OUTCOME_GOOD, true, 30},
                {CASE_OUTCOME_MIXED, true, 5},
                {CASE_OUTCOME_HARM, true, 0},
                {CASE_OUTCOME_GOOD, false, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        setup();
        add_row((CaseScore){.kind = CASE_SCORE_ENDING, .outcome = CASE_OUTCOME_GOOD, .points = 30});
        add_row((CaseScore){.kind = CASE_SCORE_ENDING, .outcome = CASE_OUTCOME_MIXED, .points = 5});
        tell(rows[i].outcome, rows[i].ended, 3600);
        ck_assert_int_eq(line_count, 1);
        ck_assert_double_eq_tol(lines[0].got, rows[i].got, 1e-12);
        ck_assert_double_eq_tol(lines[0].most, 30, 1e-12);
    }
}
END_TEST

/* 700 s in target, 300 s above, 200 s not on show: 70 %; from 50 % to 90 % that is half of the points. */
static void play_inside(void) {
    setup();
    night.targets[DISPLAY_cvp_mmhg] = (CaseTarget){true, 6, 12};
    add_row((CaseScore){
        .kind = CASE_SCORE_INSIDE, .inside = DISPLAY_cvp_mmhg, .points = 15, .full = 0.9, .none = 0.5});
    display.valid[DISPLAY_cvp_mmhg] = true;
    display.value[DISPLAY_cvp_mmhg] = 9;
    pass(0, 700, &WELL);
    display.value[DISPLAY_cvp_mmhg] = 13;
    pass(700, 1000, &WELL);
    display.valid[DISPLAY_cvp_mmhg] = false;
    pass(1000, 1200, &WELL);
}

START_TEST(score_inside_is_the_share_of_the_time_on_show) {
    play_inside();
    tell(CASE_OUTCOME_MIXED, true, 1200);
    ck_assert_double_eq_tol(lines[0].got, 7.5, 1e-12);
    ck_assert_str_eq(lines[0].key, "inside:cvp_mmhg");
    ck_assert_ptr_nonnull(strstr(lines[0].why, "70 %"));
}
END_TEST

START_TEST(score_inside_counts_the_time_after_a_death_as_outside) {
    play_inside();
    tell(CASE_OUTCOME_DEATH, true, 1200);
    /* 700 s of 1000 s on show and 2400 s that were lost: 21 %, below the half from which points count */
    ck_assert_double_eq_tol(lines[0].got, 0, 1e-12);
    ck_assert_ptr_nonnull(strstr(lines[0].why, "21 %"));
}
END_TEST

static void add_call_row(CaseCall what) {
    add_row((CaseScore){.kind = CASE_SCORE_CALL, .call = what, .points = 20, .full = 600, .none = 2400});
}

START_TEST(score_call_counts_from_the_onset) {
    setup();
    add_call_row(CASE_CALL_RIGHT);
    call(100, &WELL, DIAGNOSIS_clot_right); /* too early: nothing is wrong yet */
    pass(0, 480, &WELL);
    pass(480, 1000, &CLOT);
    tell(CASE_OUTCOME_NONE, false, 1000);
    ck_assert_double_eq_tol(lines[0].got, 0, 1e-12);
    call(1000, &CLOT, DIAGNOSIS_right_failure);
    pass(1000, 1981, &CLOT);
    call(1981, &CLOT, DIAGNOSIS_tamponade); /* passes for it; 1500 s after 481 s: half way */
    call(2400, &CLOT, DIAGNOSIS_vasoplegia);
    tell(CASE_OUTCOME_NONE, false, 2400);
    ck_assert_double_eq_tol(lines[0].got, 10, 1e-12);
    ck_assert_ptr_nonnull(strstr(lines[0].why, "began 00:08, called 00:33, 25min later"));
}
END_TEST

START_TEST(score_call_of_two_troubles_is_their_mean) {
    setup();
    add_call_row(CASE_CALL_RIGHT);
    pass(0, 100, &CLOT);
    call(100, &CLOT, DIAGNOSIS_clot_right);
    pass(100, 200, &WELL);
    pass(200, 3000, &RIGHT);
    tell(CASE_OUTCOME_NONE, false, 3000);
    ck_assert_double_eq_tol(lines[0].got, 10, 1e-12);
    ck_assert_ptr_nonnull(strstr(lines[0].why, "1 of 2 named"));
}
END_TEST

START_TEST(score_call_stands_when_what_is_wrong_grows_out_of_another) {
    setup();
    add_call_row(CASE_CALL_RIGHT);
    pass(0, 100, &RIGHT);
    call(100, &RIGHT, DIAGNOSIS_clot_right);
    pass(100, 200, &CLOT);
    ck_assert_double_eq_tol(state.trouble[1].right_s, 101, 1e-9);
}
END_TEST

START_TEST(score_call_of_the_kind_takes_another_of_its_kind) {
    setup();
    add_call_row(CASE_CALL_KIND);
    pass(0, 100, &CLOT);
    call(100, &CLOT, DIAGNOSIS_bleeding);
    tell(CASE_OUTCOME_NONE, false, 100);
    ck_assert_int_eq(sim_diagnoses_row(DIAGNOSIS_bleeding)->kind,
                     sim_diagnoses_row(DIAGNOSIS_clot_right)->kind);
    ck_assert_double_eq_tol(lines[0].got, 20, 1e-12);
}
END_TEST

START_TEST(score_call_when_nothing_was_wrong_asks_for_calm) {
    for (int alarm = 0; alarm < 2; alarm++) {
        setup();
        add_call_row(CASE_CALL_RIGHT);
        pass(0, 100, &WELL);
        call(100, &WELL, alarm ? DIAGNOSIS_tamponade : DIAGNOSIS_well);
        tell(CASE_OUTCOME_GOOD, true, 3600);
        ck_assert_double_eq_tol(lines[0].got, alarm ? 0 : 20, 1e-12);
    }
}
END_TEST

START_TEST(score_predictions_are_by_brier) {
    setup();
    add_row((CaseScore){.kind = CASE_SCORE_PREDICTIONS, .predictions = true, .points = 10});
    tell(CASE_OUTCOME_NONE, false, 10);
    ck_assert_double_eq_tol(lines[0].got, 0, 1e-12);
    /* sure 4 is 80 %: hit 0.04, hit 0.04, miss 0.64; mean 0.24, and 0.01 of 0.15 above the 0.25 of a coin */
    Prediction prediction = {.status = PREDICTION_SEEN, .sure = 4, .count = 3};
    for (int i = 0; i < 3; i++)
        prediction.part[i] = (PredictionPart){.known = true, .hit = i < 2};
    sim_score_prediction(&state, &prediction);
    tell(CASE_OUTCOME_NONE, false, 10);
    ck_assert_double_eq_tol(lines[0].got, 0.7, 1e-12);
    ck_assert_ptr_nonnull(strstr(lines[0].why, "2 of 3 right"));
    for (int i = 0; i < 3; i++)
        prediction.part[i].known = false;
    sim_score_prediction(&state, &prediction);
    ck_assert_int_eq(state.parts, 3);
}
END_TEST

START_TEST(score_minus_counts_full_spans_up_to_its_most) {
    setup();
    Error error;
    CaseScore row = {
        .kind = CASE_SCORE_MINUS, .minus = 2, .points = 20, .each_s = 60, .text = "Low pressure."};
    ck_assert_int_eq(sim_condition_parse("art_mean_mmhg < 55", &row.when, &error), ERROR_OK);
    add_row(row);
    row.each_s = 0;
    row.points = row.minus = 3;
    add_row(row);
    observables.art_mean_mmhg = 70;
    pass(0, 100, &WELL);
    tell(CASE_OUTCOME_NONE, false, 100);
    ck_assert_double_eq_tol(lines[0].got, 0, 1e-12);
    ck_assert_double_eq_tol(lines[1].got, 0, 1e-12);
    observables.art_mean_mmhg = 50;
    pass(100, 179, &WELL);
    observables.art_mean_mmhg = 70;
    pass(179, 200, &WELL);
    observables.art_mean_mmhg = 50;
    pass(200, 300, &WELL);
    tell(CASE_OUTCOME_NONE, false, 300);
    ck_assert_double_eq_tol(lines[0].got, -4, 1e-12); /* 179 s: two full minutes */
    ck_assert_double_eq_tol(lines[1].got, -3, 1e-12);
    ck_assert_double_eq_tol(lines[0].most, 0, 1e-12);
    pass(300, 2000, &WELL);
    tell(CASE_OUTCOME_NONE, false, 2000);
    ck_assert_double_eq_tol(lines[0].got, -20, 1e-12);
    ck_assert_double_eq_tol(sim_score_total(lines, line_count).got, 0, 1e-12);
}
END_TEST

START_TEST(score_format_leaves_out_needless_decimals) {
    char text[SCORE_POINTS_TEXT_MAX];
    ck_assert_str_eq(sim_score_format(12, text), "12");
    ck_assert_str_eq(sim_score_format(7.46, text), "7.5");
    ck_assert_str_eq(sim_score_format(-2, text), "-2");
}
END_TEST

/* The rubric belongs to the state: a night that goes on from a copy is scored like the one that ran through.
 */
START_TEST(score_is_the_same_after_a_restore) {
    static ErrorList errors;
    static SessionState half;
    static ScoreLine again[SCORE_LINES_MAX];
    static const char RUBRIC[] =
        CASE_TEXT_GOOD "score:\n  - {inside: art_mean_mmhg, points: 10, full: 1, none: 0}\n"
                       "  - {minus: 1, when: shown_hr_per_min > 20, each: 10s, text: Counts.}\n"
                       "  - {objective: pressure, points: 5}\n";
    Error error;
    Case *read = sim_case_parse(RUBRIC, strlen(RUBRIC), "test.yaml", &errors);
    ck_assert_msg(read != NULL, "%s", errors.items[0].what);
    Session *session = sim_session_open(read, NULL, &error);
    ck_assert_ptr_nonnull(session);
    ck_assert_int_eq(sim_session_advance_to(session, 120, &error), ERROR_OK);
    sim_session_save(session, &half);
    ck_assert_int_eq(sim_session_advance_to(session, 400, &error), ERROR_OK);
    int count = sim_score_lines(session, lines);
    ck_assert_int_eq(count, 3);
    ck_assert_double_lt(lines[1].got, -30); /* about 400 s with a pulse, one off for each ten */
    ck_assert_double_eq_tol(lines[2].got, 5, 1e-12);
    Session *other = sim_session_open(read, NULL, &error);
    ck_assert_int_eq(sim_session_restore(other, &half, &error), ERROR_OK);
    ck_assert_int_eq(sim_session_advance_to(other, 400, &error), ERROR_OK);
    ck_assert_int_eq(sim_score_lines(other, again), count);
    for (int i = 0; i < count; i++) {
        ck_assert_double_eq(again[i].got, lines[i].got);
        ck_assert_str_eq(again[i].why, lines[i].why);
    }
    half.score.parts = -1;
    ck_assert_int_eq(sim_session_restore(other, &half, &error), ERROR_FORMAT);
    sim_session_close(session);
    sim_session_close(other);
    sim_case_free(read);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("score");
    TCase *c = tcase_create("score");
    tcase_add_test(c, score_standard_counts_objectives_and_the_ending);
    tcase_add_test(c, score_endings_make_one_line);
    tcase_add_test(c, score_inside_is_the_share_of_the_time_on_show);
    tcase_add_test(c, score_inside_counts_the_time_after_a_death_as_outside);
    tcase_add_test(c, score_call_counts_from_the_onset);
    tcase_add_test(c, score_call_of_two_troubles_is_their_mean);
    tcase_add_test(c, score_call_stands_when_what_is_wrong_grows_out_of_another);
    tcase_add_test(c, score_call_of_the_kind_takes_another_of_its_kind);
    tcase_add_test(c, score_call_when_nothing_was_wrong_asks_for_calm);
    tcase_add_test(c, score_predictions_are_by_brier);
    tcase_add_test(c, score_minus_counts_full_spans_up_to_its_most);
    tcase_add_test(c, score_format_leaves_out_needless_decimals);
    tcase_add_test(c, score_is_the_same_after_a_restore);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
