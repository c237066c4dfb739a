/* The table of deeds, and conditions that ask for them. */
#include "sim/condition.h"

#include "tests/support/check_main.h"

#include <string.h>

static Error error;
static Observables observables;
static Display display;
static Parameters parameters;

START_TEST(deeds_have_names_of_their_own) {
    for (int id = 0; id < DEED_COUNT; id++) {
        const DeedRow *row = sim_deeds_row((DeedId)id);
        ck_assert_int_eq(sim_deeds_find(row->key), id);
        ck_assert_int_eq(model_observables_find(row->key), OBSERVABLE_COUNT);
        ck_assert_int_eq(model_parameters_find(row->key), PARAMETER_COUNT);
        ck_assert(row->unit[0] != '\0' && row->text[0] != '\0');
    }
    ck_assert_int_eq(sim_deeds_find("good_deeds"), DEED_COUNT);
}
END_TEST

START_TEST(deeds_can_be_asked_for_in_conditions) {
    Condition condition;
    Deeds deeds = {{0}};
    ck_assert_int_eq(
        sim_condition_parse("calls_made > 0 and call_right > 0.5 and idle_s < 5min", &condition, &error),
        ERROR_OK);
    ConditionInputs inputs = {&observables, &display, &parameters, &deeds};
    ck_assert(!sim_condition_holds(&condition, &inputs));
    deeds.value[DEED_calls_made] = 1;
    deeds.value[DEED_call_right] = 1;
    ck_assert(sim_condition_holds(&condition, &inputs));
    deeds.value[DEED_idle_s] = 301;
    ck_assert(!sim_condition_holds(&condition, &inputs));
    inputs.deeds = NULL; /* nobody at work: nothing can be said of it */
    ck_assert(!sim_condition_holds(&condition, &inputs));
}
END_TEST

START_TEST(deeds_mistyped_get_the_nearest_name) {
    Condition condition;
    ck_assert_int_eq(sim_condition_parse("cals_made < 1", &condition, &error), ERROR_UNKNOWN_NAME);
    ck_assert_ptr_nonnull(strstr(error.allowed, "calls_made"));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/deeds");
    TCase *c = tcase_create("deeds");
    tcase_add_test(c, deeds_have_names_of_their_own);
    tcase_add_test(c, deeds_can_be_asked_for_in_conditions);
    tcase_add_test(c, deeds_mistyped_get_the_nearest_name);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
