/* Branches, example plans, the rubric and questions in case files: what they become, and every error. */
#include "sim/plan.h"

#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static ErrorList errors; /* static: large */
static Plan plan;

/* Behind the good text: a branch in the timeline cannot be added there, so it has a text of its own. */
#define EXTRA                                                                                                \
    "plans:\n"                                                                                               \
    "  - id: early\n"                                                                                        \
    "    rank: good\n"                                                                                       \
    "    text: Acts early.\n"                                                                                \
    "    steps:\n"                                                                                           \
    "      - 12min speed 9000\n"                                                                             \
    "      - \"6min predict speed 8800 : art_mean up, sure 2\"\n"                                            \
    "  - {id: late, rank: late, text: Acts late., steps: [20min crystalloid 250mL]}\n"                       \
    "score:\n"                                                                                               \
    "  - {objective: pressure, points: 20}\n"                                                                \
    "  - {ending: good, points: 30}\n"                                                                       \
    "  - {inside: art_mean_mmhg, points: 15, full: 0.9, none: 0.4}\n"                                        \
    "  - {call: right, points: 20, full: 5min, none: 20min}\n"                                               \
    "  - {predictions: yes, points: 10}\n"                                                                   \
    "  - {minus: 2, when: shown_art_mean_mmhg < 55, each: 1min, at_most: 20, text: Low pressure.}\n"         \
    "questions:\n"                                                                                           \
    "  - What was seen first?\n"                                                                             \
    "  - What was done?\n"

#define BRANCH                                                                                               \
    "  - id: later\n"                                                                                        \
    "    within: [8min, 20min]\n"                                                                            \
    "    if: shown_cvp_mmhg > 8\n"                                                                           \
    "    chance: 0.4\n"                                                                                      \
    "    do:\n"                                                                                              \
    "      - set: {clot_ra_ml: 20}\n"                                                                        \
    "    otherwise:\n"                                                                                       \
    "      - set: {clot_ra_ml: 5}\n"                                                                         \
    "      - message: {from: nurse, text: Nothing.}\n"                                                       \
    "  - id: other\n"                                                                                        \
    "    instead_of: later\n"                                                                                \
    "    plus: 5min\n"                                                                                       \
    "    do: []\n"

/* The good text with `old` replaced by `new` once; the caller frees. */
static char *replaced(const char *base, const char *old, const char *new) {
    const char *at = strstr(base, old);
    ck_assert_msg(at != NULL, "not in the text: %s", old);
    size_t size = strlen(base) + strlen(new) + 1;
    char *text = malloc(size);
    ck_assert_ptr_nonnull(text);
    snprintf(text, size, "%.*s%s%s", (int)(at - base), base, new, at + strlen(old));
    return text;
}

/* The whole text with branches and all that follows the endings. */
static char *whole_text(void) {
    static const char LATER[] = "  - id: later\n    after: weakens\n    plus: 3min\n    do:\n"
                                "      - message: {from: surgeon, text: Call me if you need me.}\n";
    return replaced(CASE_TEXT_GOOD EXTRA, LATER, BRANCH);
}

static Case *parse(const char *text) {
    Case *night = sim_case_parse(text, strlen(text), "test.yaml", &errors);
    for (int i = 0; i < errors.count; i++) {
        char line[800];
        model_error_format(&errors.items[i], line, sizeof line);
        fprintf(stderr, "%s\n", line);
    }
    return night;
}

START_TEST(case_plans_branches_are_read) {
    char *text = whole_text();
    Case *night = parse(text);
    ck_assert_ptr_nonnull(night);
    const CaseEvent *event = &night->events[2];
    ck_assert_int_eq(event->trigger, CASE_TRIGGER_WITHIN);
    ck_assert_double_eq_tol(event->at_s, 480, 1e-9);
    ck_assert_double_eq_tol(event->until_s, 1200, 1e-9);
    ck_assert(event->chance_given);
    ck_assert_double_eq_tol(event->chance, 0.4, 1e-12);
    ck_assert_int_gt(event->only_if.count, 0);
    ck_assert_int_eq(event->action_count, 1);
    ck_assert_int_eq(event->other_count, 2);
    ck_assert_double_eq_tol(night->actions[event->first_action].value, 20, 1e-12);
    ck_assert_double_eq_tol(night->actions[event->first_other].value, 5, 1e-12);
    ck_assert_int_eq(night->actions[event->first_other + 1].kind, CASE_ACTION_MESSAGE);
    ck_assert_int_eq(night->events[3].trigger, CASE_TRIGGER_INSTEAD);
    ck_assert_int_eq(night->events[3].after, 2);
    ck_assert_int_eq(night->events[3].action_count, 0);
    ck_assert(!night->events[0].chance_given);
    sim_case_free(night);
    free(text);
}
END_TEST

START_TEST(case_plans_steps_are_read_and_played_in_order_of_time) {
    char *text = whole_text();
    Case *night = parse(text);
    Error error;
    ck_assert_ptr_nonnull(night);
    ck_assert_int_eq(night->plan_count, 2);
    ck_assert_int_eq(night->plans[0].rank, CASE_RANK_GOOD);
    ck_assert_int_eq(night->plans[1].rank, CASE_RANK_LATE);
    ck_assert_int_eq(night->plans[0].step_count, 2);
    ck_assert_int_eq(night->plans[1].first_step, 2);
    int index = sim_case_find_plan(night, "early", &error);
    ck_assert_int_eq(index, 0);
    memset(&plan, 0, sizeof plan);
    ck_assert_int_eq(sim_plan_add_steps(&plan, night, index, &error), ERROR_OK);
    ck_assert_int_eq(plan.count, 2);
    ck_assert_double_eq_tol(plan.items[0].time_s, 360, 1e-9);
    ck_assert_int_eq(plan.items[0].act.id, ACT_predict);
    ck_assert_str_eq(plan.items[1].text, "speed 9000");
    ck_assert_int_gt(plan.items[1].line, 0);
    ck_assert_int_lt(sim_case_find_plan(night, "erly", &error), 0);
    ck_assert_ptr_nonnull(strstr(error.allowed, "early"));
    sim_case_free(night);
    free(text);
}
END_TEST

START_TEST(case_plans_score_and_questions_are_read) {
    char *text = whole_text();
    Case *night = parse(text);
    ck_assert_ptr_nonnull(night);
    ck_assert_int_eq(night->score_count, 6);
    for (int i = 0; i < CASE_SCORE_KIND_COUNT; i++)
        ck_assert_int_eq(night->score[i].kind, i);
    ck_assert_int_eq(night->score[0].objective, 0);
    ck_assert_int_eq(night->score[1].outcome, CASE_OUTCOME_GOOD);
    ck_assert_int_eq(night->score[2].inside, DISPLAY_art_mean_mmhg);
    ck_assert_double_eq_tol(night->score[2].none, 0.4, 1e-12);
    ck_assert_double_eq_tol(night->score[3].full, 300, 1e-12);
    ck_assert_double_eq_tol(night->score[3].none, 1200, 1e-12);
    ck_assert_double_eq_tol(night->score[5].minus, 2, 1e-12);
    ck_assert_double_eq_tol(night->score[5].points, 20, 1e-12);
    ck_assert_double_eq_tol(night->score[5].each_s, 60, 1e-12);
    ck_assert_int_eq(night->question_count, 2);
    ck_assert_str_eq(night->questions[1], "What was done?");
    sim_case_free(night);
    free(text);
}
END_TEST

static const struct {
    const char *old, *new;
    ErrorCode code;
    const char *what, *allowed; /* parts; NULL: any */
} BAD[] = {
    {"[8min, 20min]", "[20min, 8min]", ERROR_COMBINATION, "within", "[8min, 20min]"},
    {"[8min, 20min]", "8min", ERROR_FORMAT, "within", "[8min, 20min]"},
    {"[8min, 20min]", "[8min, 20]", ERROR_SYNTAX, "20", NULL},
    {"[8min, 20min]", "[8min, 50min]", ERROR_RANGE, "after the end", NULL},
    {"within: [8min", "at: 3min\n    within: [8min", ERROR_COMBINATION, "more than one", "within"},
    {"chance: 0.4", "chance: 1.4", ERROR_RANGE, "1.4", "0 to 1"},
    {"if: shown_cvp_mmhg > 8", "if: shown_cvp > 8", ERROR_UNKNOWN_NAME, "shown_cvp", "shown_cvp_mmhg"},
    {"    if: shown_cvp_mmhg > 8\n    chance: 0.4\n", "", ERROR_COMBINATION, "otherwise", NULL},
    {"instead_of: later", "instead_of: lter", ERROR_UNKNOWN_NAME, "lter", "later"},
    {"instead_of: later", "instead_of: weakens", ERROR_COMBINATION, "one way", "chance"},
    {"instead_of: later", "instead_of: other", ERROR_COMBINATION, NULL, NULL},
    {"rank: good", "rank: best", ERROR_UNKNOWN_NAME, "best", "good late wrong"},
    {"12min speed 9000", "12 speed 9000", ERROR_SYNTAX, "12", NULL},
    {"12min speed 9000", "12min sped 9000", ERROR_UNKNOWN_NAME, "sped", "speed"},
    {"12min speed 9000", "12min speed 19000", ERROR_RANGE, "early", NULL},
    {"12min speed 9000", "12min epinephrine 0.05", ERROR_NOT_ALLOWED, "epinephrine", NULL},
    {"12min speed 9000", "12min", ERROR_SYNTAX, "no time", "look four_chamber"},
    {"12min speed 9000", "12min predict speed 9000 : cvp up", ERROR_FORMAT, "a map", "in quotes"},
    {"id: late,", "id: early,", ERROR_COMBINATION, "two entries", "once"},
    {"objective: pressure", "objective: presure", ERROR_UNKNOWN_NAME, "presure", "pressure"},
    {"ending: good", "ending: well", ERROR_UNKNOWN_NAME, "well", "good"},
    {"inside: art_mean_mmhg", "inside: art_maen_mmhg", ERROR_UNKNOWN_NAME, NULL, "art_mean_mmhg"},
    {"inside: art_mean_mmhg", "inside: cvp_mmhg", ERROR_COMBINATION, "no target", "targets"},
    {"full: 0.9, none: 0.4", "full: 0.3, none: 0.4", ERROR_COMBINATION, "above", NULL},
    {"full: 0.9", "full: 9min", ERROR_COMBINATION, "shares", NULL},
    {"full: 0.9", "full: 9", ERROR_COMBINATION, "shares", "0 to 1"},
    {"full: 5min", "full: 0.5", ERROR_COMBINATION, "durations", "10min"},
    {"full: 5min", "full: 25min", ERROR_COMBINATION, "before", NULL},
    {"full: 5min", "full: soon", ERROR_SYNTAX, "soon", "10min"},
    {"{objective: pressure, points: 20}", "{objective: pressure}", ERROR_COMBINATION, "points", NULL},
    {"{objective: pressure, points: 20}", "{points: 20}", ERROR_COMBINATION, "nothing", "objective"},
    {"{objective: pressure, points: 20}", "{objective: pressure, call: right, points: 20}", ERROR_COMBINATION,
     "two things", NULL},
    {"{objective: pressure, points: 20}", "{objective: pressure, points: 20, each: 1min}", ERROR_COMBINATION,
     "each", "points text"},
    {"predictions: yes", "predictions: no", ERROR_COMBINATION, "no row", NULL},
    {", text: Low pressure.", "", ERROR_COMBINATION, "text", NULL},
    {"when: shown_art_mean_mmhg < 55, each", "each", ERROR_COMBINATION, "when", NULL},
};

START_TEST(case_plans_bad_is_refused_with_place_and_hint) {
    char *whole = whole_text();
    char *text = replaced(whole, BAD[_i].old, BAD[_i].new);
    Case *night = sim_case_parse(text, strlen(text), "test.yaml", &errors);
    ck_assert_msg(night == NULL, "taken: %s", BAD[_i].new);
    const Error *found = NULL;
    for (int i = 0; i < errors.count; i++) {
        ck_assert_int_gt(errors.items[i].line, 0);
        ck_assert_int_gt(errors.items[i].column, 0);
        if (errors.items[i].code == BAD[_i].code &&
            (BAD[_i].what == NULL || strstr(errors.items[i].what, BAD[_i].what) != NULL))
            found = &errors.items[i];
    }
    ck_assert_msg(found != NULL, "%s: %s", BAD[_i].new, errors.items[0].what);
    if (BAD[_i].allowed != NULL)
        ck_assert_msg(strstr(found->allowed, BAD[_i].allowed) != NULL, "%s: %s", found->what, found->allowed);
    free(text);
    free(whole);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("case_plans");
    TCase *c = tcase_create("case_plans");
    tcase_add_test(c, case_plans_branches_are_read);
    tcase_add_test(c, case_plans_steps_are_read_and_played_in_order_of_time);
    tcase_add_test(c, case_plans_score_and_questions_are_read);
    tcase_add_loop_test(c, case_plans_bad_is_refused_with_place_and_hint, 0, sizeof BAD / sizeof BAD[0]);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
