/* Conditions over ranges: never and always have to be certain, whatever the values within the ranges are. */
#include "sim/condition_range.h"

#include "model/random.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static ConditionRanges ranges;

static void setup(void) {
    memset(&ranges, 0, sizeof ranges);
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        ranges.observable[i] = (ConditionSpan){.low = -INFINITY, .high = INFINITY, .sure = true};
    for (int i = 0; i < DISPLAY_COUNT; i++)
        ranges.display[i] = (ConditionSpan){.low = 0, .high = 100};
    ranges.observable[OBSERVABLE_cvp_mmhg] = (ConditionSpan){.low = 2, .high = 10, .sure = true};
    ranges.observable[OBSERVABLE_wedge_mmhg] = (ConditionSpan){.low = 5, .high = 20, .sure = true};
    ranges.display[DISPLAY_right_pump_rpm].none = true;
    ranges.deed[DEED_looks_had] = (ConditionSpan){.low = 0, .high = 0, .sure = true};
}

static Condition condition(const char *text) {
    Condition out;
    Error error;
    ck_assert_msg(sim_condition_parse(text, &out, &error) == ERROR_OK, "%s", text);
    return out;
}

static const struct {
    const char *text;
    ConditionVerdict verdict;
} ROWS[] = {
    {"cvp_mmhg > 10", VERDICT_NEVER},
    {"cvp_mmhg >= 10", VERDICT_EITHER},
    {"cvp_mmhg > 1", VERDICT_ALWAYS},
    {"cvp_mmhg < 5", VERDICT_EITHER},
    {"not cvp_mmhg > 10", VERDICT_ALWAYS},
    {"cvp_mmhg > 10 or wedge_mmhg < 30", VERDICT_ALWAYS},
    {"cvp_mmhg > 10 and wedge_mmhg < 30", VERDICT_NEVER},
    {"wedge_mmhg - cvp_mmhg > 18", VERDICT_NEVER},
    {"wedge_mmhg - cvp_mmhg < -5", VERDICT_NEVER},
    {"wedge_mmhg - cvp_mmhg < -4", VERDICT_EITHER},
    {"wedge_mmhg * 2 > 40", VERDICT_NEVER},
    {"-cvp_mmhg > -2", VERDICT_NEVER},
    {"cvp_mmhg / wedge_mmhg > 2", VERDICT_NEVER},
    {"wedge_mmhg / (cvp_mmhg - 5) > 100", VERDICT_EITHER},
    {"shown_cvp_mmhg > 100", VERDICT_NEVER},
    {"shown_cvp_mmhg >= 0", VERDICT_EITHER}, /* it may not be on show */
    {"shown_right_pump_rpm > 0", VERDICT_NEVER},
    {"not shown_right_pump_rpm > 0", VERDICT_ALWAYS},
    {"looks_had > 0", VERDICT_NEVER},
};

START_TEST(condition_verdict_is_as_worked_out) {
    setup();
    Condition when = condition(ROWS[_i].text);
    ck_assert_msg(sim_condition_verdict(&when, &ranges) == ROWS[_i].verdict, "%s", ROWS[_i].text);
}
END_TEST

START_TEST(condition_verdict_of_nothing_is_always) {
    const Condition none = {.count = 0};
    ck_assert_int_eq(sim_condition_verdict(&none, &ranges), VERDICT_ALWAYS);
}
END_TEST

/* Property: values drawn within the ranges never go against a verdict. */
START_TEST(condition_verdict_holds_for_drawn_values) {
    static const char *const TEXTS[] = {
        "wedge_mmhg - cvp_mmhg > 12 and not cvp_mmhg * wedge_mmhg < 30", "cvp_mmhg + 2 * wedge_mmhg < 51",
        "cvp_mmhg / wedge_mmhg <= 2 or wedge_mmhg < 0", "(cvp_mmhg - 3) * (wedge_mmhg - 6) < -56",
        "not (wedge_mmhg > 4 and cvp_mmhg < 11)"};
    static Observables observables;
    static Display display;
    const Parameters parameters = model_parameters_standard();
    const uint64_t seed = 20251125;
    Random random = model_random_seed(seed);
    setup();
    for (size_t t = 0; t < sizeof TEXTS / sizeof TEXTS[0]; t++) {
        Condition when = condition(TEXTS[t]);
        ConditionVerdict verdict = sim_condition_verdict(&when, &ranges);
        for (int i = 0; i < 20000; i++) {
            observables.cvp_mmhg = 2 + 8 * model_random_uniform(&random);
            observables.wedge_mmhg = 5 + 15 * model_random_uniform(&random);
            const ConditionInputs inputs = {&observables, &display, &parameters, NULL};
            bool holds = sim_condition_holds(&when, &inputs);
            ck_assert_msg(verdict == VERDICT_EITHER || holds == (verdict == VERDICT_ALWAYS),
                          "%s at %g, %g, seed %llu", TEXTS[t], observables.cvp_mmhg, observables.wedge_mmhg,
                          (unsigned long long)seed);
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("condition_range");
    TCase *c = tcase_create("condition_range");
    tcase_add_loop_test(c, condition_verdict_is_as_worked_out, 0, sizeof ROWS / sizeof ROWS[0]);
    tcase_add_test(c, condition_verdict_of_nothing_is_always);
    tcase_add_test(c, condition_verdict_holds_for_drawn_values);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
