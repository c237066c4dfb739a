/* Case files: what a good one becomes, and every error of a bad one with its place. */
#include "sim/case.h"

#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>

static ErrorList errors; /* static: large */

static Case *parse(const char *text) {
    return sim_case_parse(text, strlen(text), "test.yaml", &errors);
}

static void report(void) {
    for (int i = 0; i < errors.count; i++) {
        char text[800];
        model_error_format(&errors.items[i], text, sizeof text);
        fprintf(stderr, "%s\n", text);
    }
}

START_TEST(case_good_is_read_whole) {
    Case *night = parse(CASE_TEXT_GOOD);
    report();
    ck_assert_ptr_nonnull(night);
    ck_assert_int_eq(errors.count, 0);
    ck_assert_str_eq(night->id, "test-night");
    ck_assert_str_eq(night->title, "A test night");
    ck_assert_str_eq(night->summary, "Two lines become one.");
    ck_assert_int_eq(night->level, 2);
    ck_assert_double_eq_tol(night->length_s, 1800, 1e-9);
    ck_assert_uint_eq(night->seed, 42);
    ck_assert_int_eq(night->handover.objective_count, 2);
    ck_assert_str_eq(night->handover.objectives[1], "Urine.");
    ck_assert_int_eq(night->handover.caution_count, 1);
    ck_assert_double_eq_tol(night->patient.parameters.weight_kg, 82, 1e-9);
    ck_assert_double_eq_tol(night->patient.parameters.milrinone_mcg_kg_min, 0.25, 1e-9);
    ck_assert_double_eq_tol(night->patient.parameters.left_pump_speed_rpm, 8600, 1e-9);
    ck_assert_int_eq(night->running_count, 2);
    ck_assert(night->limits.of[ORDER_speed].allowed);
    ck_assert_double_eq_tol(night->limits.of[ORDER_speed].high, 10400, 1e-9);
    ck_assert_double_eq_tol(night->limits.of[ORDER_reopen_chest].delay_s, 900, 1e-9);
    ck_assert(night->limits.of[ORDER_crystalloid].allowed);
    ck_assert(!night->limits.of[ORDER_epinephrine].allowed);
    ck_assert(night->targets[DISPLAY_art_mean_mmhg].given);
    ck_assert_double_eq_tol(night->targets[DISPLAY_art_mean_mmhg].low, 65, 1e-9);
    ck_assert_int_eq(night->event_count, 3);
    ck_assert_int_eq(night->events[0].trigger, CASE_TRIGGER_AT);
    ck_assert_int_eq(night->events[0].action_count, 4);
    ck_assert_int_eq(night->actions[0].kind, CASE_ACTION_RAMP);
    ck_assert_int_eq(night->actions[0].parameter, PARAMETER_rv_ees_mmhg_ml);
    ck_assert_double_eq_tol(night->actions[0].over_s, 600, 1e-9);
    ck_assert_int_eq(night->actions[3].kind, CASE_ACTION_MESSAGE);
    ck_assert_str_eq(night->actions[3].from, "nurse");
    ck_assert_int_eq(night->events[1].trigger, CASE_TRIGGER_WHEN);
    ck_assert_double_eq_tol(night->events[1].hold_s, 120, 1e-9);
    ck_assert_int_eq(night->events[2].after, 0);
    ck_assert_int_eq(night->objective_count, 1);
    ck_assert_double_eq_tol(night->objectives[0].by_s, 1800, 1e-9);
    ck_assert_int_eq(night->ending_count, 2);
    ck_assert(night->endings[1].at_length);
    ck_assert_int_eq(night->endings[0].outcome, CASE_OUTCOME_DEATH);
    sim_case_free(night);
}
END_TEST

/* Replaces the first `old` in the good text; the caller frees. */
static char *changed(const char *old, const char *new) {
    const char *at = strstr(CASE_TEXT_GOOD, old);
    ck_assert_msg(at != NULL, "not in the text: %s", old);
    size_t size = strlen(CASE_TEXT_GOOD) + strlen(new) + 1;
    char *text = malloc(size);
    ck_assert_ptr_nonnull(text);
    snprintf(text, size, "%.*s%s%s", (int)(at - CASE_TEXT_GOOD), CASE_TEXT_GOOD, new, at + strlen(old));
    return text;
}

static const struct {
    const char *old, *new;
    ErrorCode code;
    const char *what, *allowed; /* parts; NULL: any */
} BAD[] = {
    {"evenkeel_case: 1", "evenkeel_case: 2", ERROR_RANGE, "evenkeel_case", "1"},
    {"evenkeel_case: 1\n", "", ERROR_FORMAT, "evenkeel_case is missing", NULL},
    {"title: A test night", "titel: A test night", ERROR_UNKNOWN_NAME, "titel", "title"},
    {"level: 2", "level: 4", ERROR_RANGE, "level", "1 to 3"},
    {"level: 2", "level: 2.5", ERROR_RANGE, "whole", NULL},
    {"level: 2", "level: two", ERROR_SYNTAX, "two", NULL},
    {"level: 2", "level: [2]", ERROR_FORMAT, "a list", "whole number"},
    {"length: 30min", "length: 30", ERROR_SYNTAX, "30", "20min"},
    {"length: 30min", "length: 5s", ERROR_RANGE, "length", "48h"},
    {"id: test-night", "id: test night!", ERROR_SYNTAX, "name", "letters"},
    {"title: A test night", "title: \"\"", ERROR_RANGE, "empty", NULL},
    {"base: supported_axial", "base: suported_axial", ERROR_UNKNOWN_NAME, "suported_axial",
     "supported_axial"},
    {"base: supported_axial", "base: cat", ERROR_UNKNOWN_NAME, "cat", "list patients"},
    {"weight_kg: 82", "weight: 82", ERROR_UNKNOWN_NAME, "weight", "weight_kg"},
    {"weight_kg: 82", "cvp_mmhg: 82", ERROR_NOT_ALLOWED, "consequence", "list parameters"},
    {"weight_kg: 82", "weight_kg: 8200", ERROR_RANGE, NULL, NULL},
    {"weight_kg: 82", "rhythm_kind: 2.5", ERROR_RANGE, "2.5", "whole number"},
    {"parameter: rv_ees_mmhg_ml, to: 0.12", "parameter: rhythm_kind, to: 6", ERROR_NOT_ALLOWED, "evenly",
     "set"},
    {"weight_kg: 82", "weight_kg: heavy", ERROR_SYNTAX, "heavy", NULL},
    {"weight_kg: 82", "weight_kg: [82]", ERROR_FORMAT, "a list", "number"},
    {"- milrinone 0.25mcg/kg/min", "- milrinon 0.25", ERROR_UNKNOWN_NAME, "milrinon", "milrinone"},
    {"- milrinone 0.25mcg/kg/min", "- bolus crystalloid 250mL", ERROR_NOT_ALLOWED, "start", "drips"},
    {"- milrinone 0.25mcg/kg/min", "- right_speed 5000", ERROR_NOT_ALLOWED, "right pump", NULL},
    {"low: 7600rpm", "low: 7600", ERROR_SYNTAX, "unit", "rpm"},
    {"low: 7600rpm", "low: 76000rpm", ERROR_RANGE, "low", NULL},
    {"low: 7600rpm", "low: 10500rpm", ERROR_COMBINATION, "above", NULL},
    {"low: 7600rpm", "lower: 7600rpm", ERROR_UNKNOWN_NAME, "lower", "low"},
    {"- crystalloid", "- crystalloid\n  - crystalloid", ERROR_COMBINATION, "twice", "once"},
    {"- crystalloid", "- cristalloid", ERROR_UNKNOWN_NAME, "cristalloid", "crystalloid"},
    {"art_mean_mmhg: [65, 85]", "art_mean_mmhg: [85, 65]", ERROR_COMBINATION, "band", NULL},
    {"art_mean_mmhg: [65, 85]", "art_mean_mmhg: 65", ERROR_FORMAT, NULL, "[65, 85]"},
    {"art_mean_mmhg: [65, 85]", "art_maen_mmhg: [65, 85]", ERROR_UNKNOWN_NAME, NULL, "art_mean_mmhg"},
    {"at: 5min\n", "at: 5min\n    when: cvp_mmhg > 3\n", ERROR_COMBINATION, "more than one",
     "at, within, when, after, instead_of"},
    {"    at: 5min\n", "", ERROR_COMBINATION, "no trigger", "at, within, when, after, instead_of"},
    {"at: 5min", "at: 50min", ERROR_RANGE, "after the end", NULL},
    {"at: 5min\n", "at: 5min\n    for: 1min\n", ERROR_COMBINATION, "for", NULL},
    {"after: weakens", "after: weaken", ERROR_UNKNOWN_NAME, "weaken", "weakens"},
    {"after: weakens", "after: later", ERROR_COMBINATION, "waits for itself", NULL},
    {"id: later", "id: weakens", ERROR_COMBINATION, "two entries", "once"},
    {"cvp_mmhg > 15", "cvp_mmgh > 15", ERROR_UNKNOWN_NAME, "cvp_mmgh", "cvp_mmhg"},
    {"parameter: rv_ees_mmhg_ml", "parameter: rv_es_mmhg_ml", ERROR_UNKNOWN_NAME, NULL, "rv_ees_mmhg_ml"},
    {"to: 0.12", "to: 99", ERROR_RANGE, NULL, NULL},
    {"to: 0.12, ", "", ERROR_FORMAT, "to is missing", NULL},
    {"- set: {clot_ra_ml", "- sett: {clot_ra_ml", ERROR_UNKNOWN_NAME, "sett", "set"},
    {"clot_ra_ml: 10", "clot_r_ml: 10", ERROR_UNKNOWN_NAME, "clot_r_ml", "nearest is clot_"},
    {"outcome: death", "outcome: deth", ERROR_UNKNOWN_NAME, "deth", "death"},
    {"at_length: yes", "at_length: maybe", ERROR_SYNTAX, "maybe", "yes or no"},
    {"    at_length: yes\n", "", ERROR_COMBINATION, "at once", "at_length"},
    {"endings:", "ending:", ERROR_UNKNOWN_NAME, "ending", "endings"},
    {"timeline:", "timeline: {}\nx:", ERROR_FORMAT, NULL, NULL},
};

START_TEST(case_bad_is_refused_with_place_and_hint) {
    char *text = changed(BAD[_i].old, BAD[_i].new);
    Case *night = parse(text);
    free(text);
    ck_assert_ptr_null(night);
    ck_assert_int_ge(errors.count, 1);
    bool found = false;
    for (int i = 0; i < errors.count; i++) {
        const Error *error = &errors.items[i];
        ck_assert_str_eq(error->where, "test.yaml");
        ck_assert_int_gt(error->line, 0);
        ck_assert_int_gt(error->column, 0);
        found = found ||
                (error->code == BAD[_i].code && (BAD[_i].what == NULL || strstr(error->what, BAD[_i].what)) &&
                 (BAD[_i].allowed == NULL || strstr(error->allowed, BAD[_i].allowed)));
    }
    if (!found) report();
    ck_assert_msg(found, "\"%s\" -> \"%s\"", BAD[_i].old, BAD[_i].new);
}
END_TEST

START_TEST(case_all_errors_come_at_once_in_file_order_of_parts) {
    char *text = changed("level: 2\n", "level: 9\nfoo: 1\n");
    char *both = malloc(strlen(text) + 200);
    ck_assert_ptr_nonnull(both);
    sprintf(both, "%s  - {id: third, when: cvp > 3, outcome: good, text: x}\n", text);
    ck_assert_ptr_null(parse(both));
    free(text);
    free(both);
    ck_assert_int_eq(errors.count, 3);
    ck_assert_int_eq(errors.items[0].line, 5);
    ck_assert_int_eq(errors.items[1].line, 6);
    ck_assert_int_eq(errors.items[1].column, 1);
    ck_assert_int_eq(errors.items[2].column, 23); /* of "cvp" in the condition */
}
END_TEST

START_TEST(case_file_missing_or_broken_is_one_error) {
    ck_assert_ptr_null(sim_case_load("/nowhere/case.yaml", &errors));
    ck_assert_int_eq(errors.count, 1);
    ck_assert_int_eq(errors.items[0].code, ERROR_FILE_READ);
    ck_assert_ptr_null(parse("a: [1"));
    ck_assert_int_eq(errors.count, 1);
    ck_assert_int_eq(errors.items[0].code, ERROR_SYNTAX);
    ck_assert_ptr_null(parse("just a text"));
    ck_assert_int_eq(errors.count, 1);
    ck_assert_ptr_null(parse("- a\n- b\n"));
    ck_assert_ptr_null(parse("{}"));
    ck_assert_int_ge(errors.count, 5); /* every required key */
}
END_TEST

START_TEST(case_more_than_fits_is_refused) {
    char *text = malloc(200000);
    ck_assert_ptr_nonnull(text);
    size_t used = (size_t)sprintf(text, "timeline:\n");
    for (int i = 0; i < CASE_EVENTS_MAX + 1; i++) {
        used += (size_t)sprintf(text + used, "  - {id: e%d, at: 1min, do: []}\n", i);
    }
    ck_assert_ptr_null(parse(text));
    bool found = false;
    for (int i = 0; i < errors.count; i++) {
        found = found || strstr(errors.items[i].what, "too many") != NULL;
    }
    ck_assert(found);
    used = (size_t)sprintf(text, "timeline:\n  - id: e\n    at: 1min\n    do:\n");
    for (int i = 0; i < CASE_ACTIONS_MAX + 1; i++) {
        used += (size_t)sprintf(text + used, "      - set: {clot_ra_ml: 1}\n");
    }
    ck_assert_ptr_null(parse(text));
    found = false;
    for (int i = 0; i < errors.count; i++) {
        found = found || strstr(errors.items[i].what, "too many") != NULL;
    }
    ck_assert(found);
    free(text);
}
END_TEST

/* Every prefix of a good file is either a case or a list of errors. */
START_TEST(case_cut_anywhere_never_crashes) {
    size_t length = strlen(CASE_TEXT_GOOD);
    for (size_t i = 0; i < length; i += 3) {
        Case *night = sim_case_parse(CASE_TEXT_GOOD, i, "test.yaml", &errors);
        ck_assert((night == NULL) == (errors.count > 0));
        sim_case_free(night);
    }
}
END_TEST

START_TEST(case_keys_are_documented) {
    ck_assert_int_gt(sim_case_key_count(), 40);
    for (int i = 0; i < sim_case_key_count(); i++) {
        const CaseKeyRow *row = sim_case_key(i);
        ck_assert_str_ne(row->text, "");
        ck_assert_ptr_nonnull(sim_case_key_kind_word(row->kind));
    }
}
END_TEST

START_TEST(case_shipped_are_right) {
    static const char *const files[] = {"speed-titration", "clot-behind-right-heart",
                                        "failing-right-ventricle"};
    char path[600];
    snprintf(path, sizeof path, "%s/scenarios/%s.yaml", EVENKEEL_SOURCE_DIR, files[_i]);
    Case *night = sim_case_load(path, &errors);
    report();
    ck_assert_ptr_nonnull(night);
    ck_assert_str_eq(night->id, files[_i]);
    sim_case_free(night);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("case");
    TCase *c = tcase_create("case");
    tcase_add_test(c, case_good_is_read_whole);
    tcase_add_loop_test(c, case_bad_is_refused_with_place_and_hint, 0, (int)(sizeof BAD / sizeof BAD[0]));
    tcase_add_test(c, case_all_errors_come_at_once_in_file_order_of_parts);
    tcase_add_test(c, case_file_missing_or_broken_is_one_error);
    tcase_add_test(c, case_more_than_fits_is_refused);
    tcase_add_test(c, case_cut_anywhere_never_crashes);
    tcase_add_test(c, case_keys_are_documented);
    tcase_add_loop_test(c, case_shipped_are_right, 0, 3);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
