/* The tables of parameters, observables, errors and people. */
#include "model/observables.h"
#include "model/parameters.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

START_TEST(every_row_is_complete_and_its_default_allowed) {
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        const ParameterRow *row = model_parameters_row((ParameterId)i);
        ck_assert_msg(row->key[0] && row->unit[0] && row->text[0] && row->source[0], "%s", row->key);
        ck_assert_msg(row->low < row->high, "%s", row->key);
        ck_assert_msg(row->standard >= row->low && row->standard <= row->high, "%s", row->key);
        ck_assert_int_eq(model_parameters_find(row->key), i);
    }
    ck_assert_int_eq(model_parameters_find("no_such_key"), PARAMETER_COUNT);
}
END_TEST

START_TEST(set_and_get_reach_the_same_value_for_every_key) {
    Parameters parameters = model_parameters_standard();
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        const ParameterRow *row = model_parameters_row((ParameterId)i);
        ck_assert_int_eq(model_parameters_set(&parameters, (ParameterId)i, row->high, NULL), ERROR_OK);
        ck_assert_double_eq_tol(model_parameters_get(&parameters, (ParameterId)i), row->high, 1e-12);
    }
}
END_TEST

START_TEST(set_out_of_range_or_not_a_number_names_key_and_range) {
    Parameters parameters = model_parameters_standard();
    Error error;
    char text[512];
    ck_assert_int_eq(model_parameters_set(&parameters, PARAMETER_lv_ees_mmhg_ml, 1e9, &error), ERROR_RANGE);
    model_error_format(&error, text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "lv_ees_mmhg_ml"));
    ck_assert_ptr_nonnull(strstr(text, "allowed"));
    ck_assert_int_eq(model_parameters_set(&parameters, PARAMETER_lv_ees_mmhg_ml, NAN, &error), ERROR_RANGE);
    ck_assert_double_eq_tol(parameters.lv_ees_mmhg_ml, model_parameters_standard().lv_ees_mmhg_ml, 1e-12);
}
END_TEST

START_TEST(check_refuses_impossible_combinations_by_name) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Error error;
    parameters.left_pump_a_mmhg_krpm2 = 20;
    ck_assert_int_eq(model_parameters_check(&parameters, &error), ERROR_COMBINATION);
    ck_assert_str_eq(error.where, "left_pump_speed_rpm");
    parameters = model_parameters_standard();
    parameters.pericardial_free_ml = 900;
    ck_assert_int_eq(model_parameters_check(&parameters, &error), ERROR_COMBINATION);
    ck_assert_str_eq(error.where, "pericardial_free_ml");
}
END_TEST

START_TEST(people_are_allowed_and_found_by_key) {
    Error error;
    for (int i = 0; i < PERSON_COUNT; i++) {
        const Parameters parameters = model_people_parameters((PersonId)i);
        ck_assert_msg(model_parameters_check(&parameters, &error) == ERROR_OK, "%s", error.what);
        ck_assert_int_eq(model_people_find(model_people_key((PersonId)i)), i);
        ck_assert(model_people_text((PersonId)i)[0] != '\0');
    }
    ck_assert_int_eq(model_people_find("nobody"), PERSON_COUNT);
}
END_TEST

START_TEST(observables_are_found_and_read_by_key) {
    Observables observables = {0};
    observables.wedge_mmhg = 12.5;
    const ObservableId id = model_observables_find("wedge_mmhg");
    ck_assert_int_eq(id, OBSERVABLE_wedge_mmhg);
    ck_assert_double_eq_tol(model_observables_get(&observables, id), 12.5, 1e-12);
    ck_assert_int_eq(model_observables_find("nothing"), OBSERVABLE_COUNT);
}
END_TEST

START_TEST(error_text_is_cut_not_overrun) {
    Error error;
    char text[24];
    model_error_set(&error, ERROR_SYNTAX, "%0500d", 7);
    model_error_at(&error, "file.yaml", 3, 9);
    model_error_allow(&error, "%0500d", 7);
    model_error_format(&error, text, sizeof text);
    ck_assert_int_eq((int)strlen(text), (int)sizeof text - 1);
    ck_assert_ptr_eq(strstr(text, "file.yaml:3:9: "), text);
    ck_assert_int_eq(model_error_exit_status(ERROR_USAGE), 2);
    ck_assert_int_eq(model_error_exit_status(ERROR_OK), 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("parameters");
    TCase *c = tcase_create("parameters");
    tcase_add_test(c, every_row_is_complete_and_its_default_allowed);
    tcase_add_test(c, set_and_get_reach_the_same_value_for_every_key);
    tcase_add_test(c, set_out_of_range_or_not_a_number_names_key_and_range);
    tcase_add_test(c, check_refuses_impossible_combinations_by_name);
    tcase_add_test(c, people_are_allowed_and_found_by_key);
    tcase_add_test(c, observables_are_found_and_read_by_key);
    tcase_add_test(c, error_text_is_cut_not_overrun);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
