/* Conditions: what they mean, and what is refused where. */
#include "sim/condition.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static Observables observables;
static Display display;
static Parameters parameters;

static void setup(void) {
    memset(&observables, 0, sizeof observables);
    memset(&display, 0, sizeof display);
    memset(&parameters, 0, sizeof parameters);
    observables.cvp_mmhg = 17;
    observables.wedge_mmhg = 6;
    observables.pump_flow_shown_l_min = 2.8;
    observables.art_mean_mmhg = 58;
    observables.time_s = 1500;
    parameters.left_pump_speed_rpm = 8400;
    display.value[DISPLAY_art_mean_mmhg] = 59;
    display.valid[DISPLAY_art_mean_mmhg] = true;
    display.value[DISPLAY_wedge_mmhg] = 6;
    display.valid[DISPLAY_wedge_mmhg] = false;
}

static bool holds(const char *text) {
    Condition condition;
    Error error;
    ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    ErrorCode code = sim_condition_parse(text, &condition, &error);
    if (code != ERROR_OK) ck_abort_msg("%s: %s", text, error.what);
    ck_assert_str_eq(condition.text, text);
    return sim_condition_holds(&condition, &inputs);
}

static const struct {
    const char *text;
    bool truth;
} MEANINGS[] = {
    {"cvp_mmhg > 16", true},
    {"cvp_mmhg > 17", false},
    {"cvp_mmhg >= 17", true},
    {"cvp_mmhg < 17", false},
    {"cvp_mmhg <= 17", true},
    {"cvp_mmhg > 16 and pump_flow_shown_l_min < 3", true},
    {"cvp_mmhg > 18 or pump_flow_shown_l_min < 3", true},
    {"cvp_mmhg > 18 and art_mean_mmhg < 60 or pump_flow_shown_l_min < 3", true}, /* and before or */
    {"cvp_mmhg > 18 and (art_mean_mmhg < 60 or pump_flow_shown_l_min < 3)", false},
    {"not cvp_mmhg > 18 and art_mean_mmhg < 60", true}, /* not binds tighter than and */
    {"not (cvp_mmhg > 16 and art_mean_mmhg < 60)", false},
    {"not not cvp_mmhg > 16", true},
    {"wedge_mmhg - cvp_mmhg < -10", true},
    {"wedge_mmhg - cvp_mmhg - 1 < -11.5", true}, /* left to right */
    {"2 + 3 * 4 > 13.9 and 2 + 3 * 4 < 14.1", true},
    {"12 / 4 / 3 < 1.1", true},
    {"-cvp_mmhg < -16", true},
    {"cvp_mmhg / 0 > 1", false},
    {"not cvp_mmhg / 0 > 1", true},
    {"time_s > 20min", true},
    {"time_s > 0.5h", false},
    {"time_s > 1499s", true},
    {"left_pump_speed_rpm > 8000", true},
    {"shown_art_mean_mmhg < 60", true},
    {"shown_wedge_mmhg < 60", false}, /* not on show */
    {"shown_wedge_mmhg > 0", false},
    {"  cvp_mmhg>16  ", true},
};

START_TEST(condition_means_what_it_says) {
    setup();
    ck_assert_msg(holds(MEANINGS[_i].text) == MEANINGS[_i].truth, "%s", MEANINGS[_i].text);
}
END_TEST

static const struct {
    const char *text;
    ErrorCode code;
    int column;
    const char *hint; /* part of what is allowed; NULL: none needed */
} REFUSALS[] = {
    {"", ERROR_SYNTAX, 1, NULL},
    {"cvp_mmhg", ERROR_SYNTAX, 1, "cvp_mmhg > 16"},
    {"cvp_mmhg >", ERROR_SYNTAX, 11, NULL},
    {"cvp_mmgh > 16", ERROR_UNKNOWN_NAME, 1, "cvp_mmhg"},
    {"art_mean_mmhg < 60 and cvp_mmgh > 16", ERROR_UNKNOWN_NAME, 24, "cvp_mmhg"},
    {"shown_cvp_mhg > 3", ERROR_UNKNOWN_NAME, 1, "shown_cvp_mmhg"},
    {"cvp_mmhg = 16", ERROR_SYNTAX, 10, "<"},
    {"cvp_mmhg == 16", ERROR_SYNTAX, 10, "<"},
    {"(cvp_mmhg > 16", ERROR_SYNTAX, 1, NULL},
    {"cvp_mmhg > 16)", ERROR_SYNTAX, 14, NULL},
    {"1 < cvp_mmhg < 3", ERROR_SYNTAX, 14, NULL},
    {"cvp_mmhg > 16 and 3", ERROR_SYNTAX, 19, NULL},
    {"(cvp_mmhg > 1) + 2 > 1", ERROR_SYNTAX, 1, NULL},
    {"cvp_mmhg > 16 mmHg", ERROR_SYNTAX, 15, NULL},
    {"cvp_mmhg > 16mmHg", ERROR_SYNTAX, 14, "units"},
    {"cvp_mmhg > 16 && art_mean_mmhg < 3", ERROR_SYNTAX, 15, NULL},
    {"exit(1) > 0", ERROR_UNKNOWN_NAME, 1, NULL},
    {". > 1", ERROR_SYNTAX, 1, NULL},
    {"((((((((((((((((((1 > 0))))))))))))))))))", ERROR_SYNTAX, 17, NULL},
};

START_TEST(condition_bad_text_is_refused_at_its_column) {
    Condition condition = {.count = 77};
    Error error;
    ck_assert_int_eq(sim_condition_parse(REFUSALS[_i].text, &condition, &error), REFUSALS[_i].code);
    ck_assert_msg(error.column == REFUSALS[_i].column, "%s: column %d", REFUSALS[_i].text, error.column);
    ck_assert_int_eq(condition.count, 77);
    if (REFUSALS[_i].hint != NULL) ck_assert_ptr_nonnull(strstr(error.allowed, REFUSALS[_i].hint));
}
END_TEST

START_TEST(condition_too_long_or_too_deep_is_refused_without_harm) {
    char text[4096] = "";
    Condition condition;
    Error error;
    for (int i = 0; i < 30; i++) {
        strcat(text, "1+(");
    }
    ck_assert_int_ne(sim_condition_parse(text, &condition, &error), ERROR_OK);
    text[0] = '\0';
    for (int i = 0; i < 45; i++) {
        strcat(text, "1+");
    }
    strcat(text, "1>0");
    ck_assert_int_eq(sim_condition_parse(text, &condition, &error), ERROR_SYNTAX);
    memset(text, '(', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    ck_assert_int_eq(sim_condition_parse(text, &condition, &error), ERROR_SYNTAX);
    memset(text, '-', 150);
    text[150] = '\0';
    ck_assert_int_eq(sim_condition_parse(text, &condition, &error), ERROR_SYNTAX);
}
END_TEST

START_TEST(condition_empty_program_always_holds) {
    Condition none = {0};
    ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    ck_assert(sim_condition_holds(&none, &inputs));
}
END_TEST

/* Any text of the language's letters is either read or refused; what is read can be evaluated. */
START_TEST(condition_random_text_never_crashes) {
    static const char *const parts[] = {
        "cvp_mmhg", "time_s", "3", "0.5h",           "(", ")", "and", "or", "not", "<", ">=", "+", "-",
        "*",        "/",      " ", "shown_cvp_mmhg", "=", "x"};
    uint32_t seed = 20240611; /* printed on failure by the test's name */
    ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    setup();
    for (int n = 0; n < 20000; n++) {
        char text[CONDITION_TEXT_MAX + 60] = "";
        int count = 1 + (int)(seed >> 8) % 12;
        for (int i = 0; i < count; i++) {
            seed = seed * 1664525u + 1013904223u;
            strcat(text, parts[(seed >> 16) % (sizeof parts / sizeof parts[0])]);
            strcat(text, " ");
        }
        Condition condition;
        Error error;
        if (sim_condition_parse(text, &condition, &error) == ERROR_OK) {
            bool truth = sim_condition_holds(&condition, &inputs);
            ck_assert(truth || !truth);
        } else {
            ck_assert_int_gt(error.column, 0);
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("condition");
    TCase *c = tcase_create("condition");
    tcase_add_loop_test(c, condition_means_what_it_says, 0, (int)(sizeof MEANINGS / sizeof MEANINGS[0]));
    tcase_add_loop_test(c, condition_bad_text_is_refused_at_its_column, 0,
                        (int)(sizeof REFUSALS / sizeof REFUSALS[0]));
    tcase_add_test(c, condition_too_long_or_too_deep_is_refused_without_harm);
    tcase_add_test(c, condition_empty_program_always_holds);
    tcase_add_test(c, condition_random_text_never_crashes);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
