/* Quantities: numbers with units. */
#include "sim/quantity.h"

#include "tests/support/check_main.h"

START_TEST(quantity_number_with_unit_is_split) {
    Quantity q;
    Error error;
    ck_assert_int_eq(sim_quantity_parse("250mL", &q, &error), ERROR_OK);
    ck_assert_double_eq_tol(q.value, 250, 1e-12);
    ck_assert_str_eq(q.unit, "mL");
    ck_assert_int_eq(sim_quantity_parse("0.25 mcg/kg/min", &q, &error), ERROR_OK);
    ck_assert_double_eq_tol(q.value, 0.25, 1e-12);
    ck_assert_str_eq(q.unit, "mcg/kg/min");
    ck_assert_int_eq(sim_quantity_parse("9000", &q, &error), ERROR_OK);
    ck_assert_str_eq(q.unit, "");
    ck_assert_int_eq(sim_quantity_parse("14 1/min", &q, &error), ERROR_OK);
    ck_assert_double_eq_tol(q.value, 14, 1e-12);
    ck_assert_str_eq(q.unit, "1/min");
}
END_TEST

START_TEST(quantity_bad_text_is_refused) {
    static const char *const bad[] = {
        "", "mL", "-", ".", "abc", "1 2 mL", "250 a very long unit that nobody has"};
    Quantity q = {.value = 3, .unit = "x"};
    Error error;
    ck_assert_int_ne(sim_quantity_parse(bad[_i], &q, &error), ERROR_OK);
    ck_assert_double_eq_tol(q.value, 3, 1e-12);
}
END_TEST

START_TEST(quantity_number_refuses_what_strtod_would_take) {
    static const char *const bad[] = {"nan", "inf", "0x1p3", " 5", "5 ", "1e", "1e999", "1_000", ""};
    double value = 3;
    Error error;
    ck_assert_int_ne(sim_quantity_number(bad[_i], &value, &error), ERROR_OK);
    ck_assert_double_eq_tol(value, 3, 1e-12);
}
END_TEST

START_TEST(quantity_number_reads_sign_and_exponent) {
    double value = 0;
    Error error;
    ck_assert_int_eq(sim_quantity_number("-1.5e2", &value, &error), ERROR_OK);
    ck_assert_double_eq_tol(value, -150, 1e-12);
}
END_TEST

START_TEST(quantity_units_of_one_meaning_agree) {
    ck_assert(sim_quantity_unit_is("ml", "mL"));
    ck_assert(sim_quantity_unit_is("ug/kg/min", "mcg/kg/min"));
    ck_assert(sim_quantity_unit_is("RPM", "rpm"));
    ck_assert(sim_quantity_unit_is("/min", "1/min"));
    ck_assert(sim_quantity_unit_is("", "mL"));
    ck_assert(!sim_quantity_unit_is("mL", "L"));
    ck_assert(!sim_quantity_unit_is("mcg/min", "mcg/kg/min"));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("quantity");
    TCase *c = tcase_create("quantity");
    tcase_add_test(c, quantity_number_with_unit_is_split);
    tcase_add_loop_test(c, quantity_bad_text_is_refused, 0, 7);
    tcase_add_loop_test(c, quantity_number_refuses_what_strtod_would_take, 0, 9);
    tcase_add_test(c, quantity_number_reads_sign_and_exponent);
    tcase_add_test(c, quantity_units_of_one_meaning_agree);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
