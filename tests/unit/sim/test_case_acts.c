/* The parts of a case about looks, predictions, prompts and what is wrong: what is read, what the level
   decides, and every error with its place. */
#include "sim/case.h"
#include "sim/plan.h"
#include "sim/textfile.h"

#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>

static const char HEAD[] = "evenkeel_case: 1\n"
                           "id: acts-test\n"
                           "title: Acts\n"
                           "theme: tests\n"
                           "level: %d\n"
                           "length: 40min\n"
                           "summary: For tests.\n"
                           "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None.]}\n"
                           "patient: {base: supported_axial}\n"
                           "endings:\n"
                           "  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n"
                           "%s";

enum { HEAD_LINES = 11 }; /* what follows begins on the next one */

static ErrorList errors; /* static: large */

static Case *parse(int level, const char *more) {
    char text[4000];
    snprintf(text, sizeof text, HEAD, level, more);
    return sim_case_parse(text, strlen(text), "acts.yaml", &errors);
}

static Case *good(int level, const char *more) {
    Case *night = parse(level, more);
    if (night == NULL)
        ck_abort_msg("line %d: %s; %s", errors.items[0].line, errors.items[0].what, errors.items[0].allowed);
    return night;
}

START_TEST(case_level_decides_what_is_not_said) {
    for (int level = 1; level <= 3; level++) {
        Case *night = good(level, "");
        ck_assert_int_eq(night->guided, level < 3);
        ck_assert_int_eq(night->look.probe, level < 3 ? LOOK_PROBE_ALWAYS_ON : LOOK_PROBE_ON_REQUEST);
        ck_assert(!night->practice && !night->truth_given);
        ck_assert_int_eq(night->truth.diagnosis, DIAGNOSIS_well);
        ck_assert_int_eq(night->prompt_count + night->predict.count, 0);
        sim_case_free(night);
    }
    Case *night = good(3, "guided: yes\n");
    ck_assert(night->guided);
    sim_case_free(night);
    night = good(1, "practice: yes\n");
    ck_assert(night->practice && !night->guided);
    sim_case_free(night);
}
END_TEST

START_TEST(case_look_fills_in_what_is_left_out) {
    Case *night = good(1, "look: {probe: on_request, ready: 90s, views: [short_axis, pericardium]}\n");
    ck_assert_int_eq(night->look.probe, LOOK_PROBE_ON_REQUEST);
    ck_assert_double_eq_tol(night->look.ready_s, 90, 1e-9);
    ck_assert_double_eq_tol(night->look.longest_s, 300, 1e-9);
    ck_assert_double_eq_tol(night->look.rest_s, 600, 1e-9);
    ck_assert_int_eq(night->look.at_most, 6);
    ck_assert(night->look.view[LOOK_VIEW_short_axis] && night->look.view[LOOK_VIEW_pericardium]);
    ck_assert(!night->look.view[LOOK_VIEW_four_chamber] && !night->look.view[LOOK_VIEW_inflow]);
    sim_case_free(night);
    night = good(1, "look: {probe: on_request, at_most: 0, rest: 0s, views: inflow}\n");
    ck_assert_int_eq(night->look.at_most, 0);
    ck_assert_double_eq_tol(night->look.rest_s, 0, 1e-9);
    ck_assert(night->look.view[LOOK_VIEW_inflow]);
    sim_case_free(night);
    night = good(1, "look: {probe: none}\n");
    ck_assert_int_eq(night->look.probe, LOOK_PROBE_NONE);
    sim_case_free(night);
}
END_TEST

START_TEST(case_all_parts_of_acts_are_read) {
    Case *night =
        good(2, "truth: {diagnosis: speed_too_low}\n"
                "predict:\n"
                "  - {order: speed, quantities: [wedge, art_mean_mmhg], horizon: 8min}\n"
                "  - {order: clear_drain, quantities: drain}\n"
                "timeline:\n"
                "  - id: onset\n"
                "    at: 5min\n"
                "    do:\n"
                "      - truth: {diagnosis: clot_right, also: [tamponade, clot_left]}\n"
                "prompts:\n"
                "  - {id: a, idle: 10min, from: nurse, text: Well?}\n"
                "  - {id: b, idle: 5min, when: calls_made < 1, at_most: 3, from: nurse, text: So?}\n");
    ck_assert(night->truth_given);
    ck_assert_int_eq(night->truth.diagnosis, DIAGNOSIS_speed_too_low);
    ck_assert_int_eq(night->predict.count, 2);
    ck_assert_int_eq(night->predict.rule[0].order, ORDER_speed);
    ck_assert_int_eq(night->predict.rule[0].count, 2);
    ck_assert_int_eq(night->predict.rule[0].quantity[1], DISPLAY_art_mean_mmhg);
    ck_assert_double_eq_tol(night->predict.rule[0].horizon_s, 480, 1e-9);
    ck_assert_int_eq(night->predict.rule[1].quantity[0], DISPLAY_drain_ml_h);
    ck_assert_int_eq(night->actions[0].kind, CASE_ACTION_TRUTH);
    ck_assert_int_eq(night->actions[0].truth.diagnosis, DIAGNOSIS_clot_right);
    ck_assert_int_eq(night->actions[0].truth.also_count, 2);
    ck_assert_int_eq(night->actions[0].truth.also[1], DIAGNOSIS_clot_left);
    ck_assert_int_eq(night->prompt_count, 2);
    ck_assert_int_eq(night->prompts[0].at_most, 1);
    ck_assert_int_eq(night->prompts[1].at_most, 3);
    ck_assert_double_eq_tol(night->prompts[1].idle_s, 300, 1e-9);
    ck_assert_int_gt(night->prompts[1].when.count, 0);
    sim_case_free(night);
}
END_TEST

static const struct {
    const char *more;
    int line; /* after HEAD */
    const char *what, *allowed;
} bad[] = {
    {"guided: perhaps\n", 1, "guided", "yes or no"},
    {"look: {ready: 3min}\n", 1, "probe is missing", "probe"},
    {"look: {probe: sometimes}\n", 1, "sometimes", "on_request"},
    {"look: {probe: none, redy: 3min}\n", 1, "redy", "ready"},
    {"look: {probe: on_request, ready: 3h}\n", 1, "out of range", "2h"},
    {"look: {probe: on_request, at_most: -1}\n", 1, "out of range", "99"},
    {"look: {probe: on_request, views: [short_axes]}\n", 1, "short_axes", "short_axis"},
    {"look: {probe: on_request, views: {a: b}}\n", 1, "look.views", "a name"},
    {"look: always\n", 1, "", "key: value"},
    {"predict:\n  - {quantities: [cvp]}\n", 2, "order is missing", "order"},
    {"predict:\n  - {order: sped}\n", 2, "sped", "speed"},
    {"predict:\n  - {order: speed, quantities: [cpv]}\n", 2, "cpv", ""},
    {"predict:\n  - {order: speed, quantities: [cvp, wedge, art_mean, hr]}\n", 2, "too many", "at most 3"},
    {"predict:\n  - {order: speed}\n  - {order: speed}\n", 3, "two entries for speed", "once"},
    {"truth: {diagnosis: tamponad}\n", 1, "tamponad", "tamponade"},
    {"truth: {diagnosis: tamponade, also: [x1, x2, x3, x4, x5]}\n", 1, "x1", "diagnoses"},
    {"truth: {also: tamponade}\n", 1, "diagnosis is missing", "diagnosis"},
    {"truth: tamponade\n", 1, "", "key: value"},
    {"timeline:\n  - {id: a, at: 5min, do: [{truth: {diagnosis: fever}}]}\n", 2, "fever", "diagnoses"},
    {"prompts:\n  - {id: a, idle: 5min, from: nurse}\n", 2, "text is missing", "text"},
    {"prompts:\n  - {id: a, idle: 5s, from: nurse, text: Well?}\n", 2, "out of range", "30s"},
    {"prompts:\n  - {id: a, idle: 5min, when: cals_made < 1, from: nurse, text: Well?}\n", 2, "cals_made",
     "calls_made"},
    {"prompts:\n  - {id: a, idle: 5min, from: n, text: A.}\n  - {id: a, idle: 5min, from: n, text: B.}\n", 3,
     "two entries", "once"},
};

START_TEST(case_errors_of_acts_say_where_and_what) {
    const size_t i = (size_t)_i;
    Case *night = parse(2, bad[i].more);
    ck_assert_msg(night == NULL, "accepted: %s", bad[i].more);
    const Error *error = &errors.items[0];
    ck_assert_msg(error->line == HEAD_LINES + bad[i].line && error->column > 0, "%s: line %d:%d, %s",
                  bad[i].more, error->line, error->column, error->what);
    ck_assert_msg(strstr(error->what, bad[i].what) != NULL, "%s: %s", bad[i].more, error->what);
    ck_assert_msg(strstr(error->allowed, bad[i].allowed) != NULL, "%s: %s; %s", bad[i].more, error->what,
                  error->allowed);
}
END_TEST

/* Text of the first block of a kind after a heading of the guide to cases; the caller frees it. */
static char *guide_block(const char *heading, const char *fence) {
    char *text = NULL;
    size_t length = 0;
    Error error;
    ck_assert_int_eq(
        sim_textfile_read(EVENKEEL_SOURCE_DIR "/scenarios/README.md", 1 << 18, &text, &length, &error),
        ERROR_OK);
    const char *start = strstr(text, heading);
    ck_assert_msg(start != NULL, "no %s", heading);
    start = strstr(start, fence);
    ck_assert_ptr_nonnull(start);
    start += strlen(fence);
    const char *end = strstr(start, "```");
    ck_assert_ptr_nonnull(end);
    size_t size = (size_t)(end - start);
    char *block = calloc(size + 1, 1);
    ck_assert_ptr_nonnull(block);
    memcpy(block, start, size);
    free(text);
    return block;
}

START_TEST(case_guide_shows_what_is_accepted) {
    static Plan plan; /* static: large */
    char *block = guide_block("## The trainee's work beside orders", "```yaml\n");
    Case *night = good(3, block);
    ck_assert_int_eq(night->look.at_most, 4);
    ck_assert_int_eq(night->prompt_count, 1);
    sim_case_free(night);
    free(block);
    block = guide_block("## The trainee's work beside orders", "```text\n");
    memset(&errors, 0, sizeof errors);
    sim_plan_add_lines(&plan, block, "README.md", NULL, &errors);
    ck_assert_msg(errors.count == 0, "%s", errors.items[0].what);
    ck_assert_int_eq(plan.count, 3);
    free(block);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/case_acts");
    TCase *c = tcase_create("case_acts");
    tcase_add_test(c, case_level_decides_what_is_not_said);
    tcase_add_test(c, case_look_fills_in_what_is_left_out);
    tcase_add_test(c, case_all_parts_of_acts_are_read);
    tcase_add_loop_test(c, case_errors_of_acts_say_where_and_what, 0, (int)(sizeof bad / sizeof bad[0]));
    tcase_add_test(c, case_guide_shows_what_is_accepted);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
