/* A10. Bedside formulas on fixed inputs; the expected values are worked by hand from the published
   definitions. Resistances: common practice, Wood units and x 80 = dyn s/cm5. PAPi: Morine, J Card Fail
   2016;22:110. Cardiac power: Fincke, J Am Coll Cardiol 2004;44:340 (divisor 451). RVSWI: factor 0.0136 g
   m/mmHg/mL, from memory. */
#include "model/formulas.h"
#include "tests/support/check_main.h"

#include <math.h>

START_TEST(resistances_of_a_normal_circulation) {
    const double svr = model_formulas_resistance_wu(90.0, 5.0, 5.0);
    ck_assert_double_eq_tol(svr, 17.0, 1e-12);
    ck_assert_double_eq_tol(80.0 * svr, 1360.0, 1e-9); /* dyn s/cm5 */
    ck_assert_double_eq_tol(model_formulas_resistance_wu(15.0, 9.0, 5.0), 1.2, 1e-12);
}
END_TEST

START_TEST(papi_of_good_and_failing_right_ventricles) {
    ck_assert_double_eq_tol(model_formulas_papi(45.0, 20.0, 10.0), 2.5, 1e-12);
    ck_assert_double_eq_tol(model_formulas_papi(24.0, 14.0, 16.0), 0.625, 1e-12); /* below 0.9-1.0: shock */
}
END_TEST

START_TEST(power_at_the_published_threshold) {
    ck_assert_double_eq_tol(model_formulas_power_w(67.65, 4.0), 0.6, 1e-12); /* 0.6 W separates */
    ck_assert_double_eq_tol(model_formulas_power_w(90.2, 5.0), 1.0, 1e-12);
}
END_TEST

START_TEST(stroke_work_with_its_factor) {
    ck_assert_double_eq_tol(model_formulas_rvswi(20.0, 8.0, 40.0), 6.528, 1e-12);
    ck_assert_double_eq_tol(model_formulas_rvswi(18.0, 14.0, 25.0), 1.36, 1e-12);
}
END_TEST

START_TEST(formulas_without_flow_or_pressure_are_not_a_number) {
    ck_assert(isnan(model_formulas_resistance_wu(60.0, 10.0, 0.0)));
    ck_assert(isnan(model_formulas_papi(20.0, 10.0, -1.0)));
    ck_assert(isnan(model_formulas_fick_svo2(0.98, 200.0, 0.0, 10.0)));
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("A10");
    TCase *tests = tcase_create("A10");
    tcase_add_test(tests, resistances_of_a_normal_circulation);
    tcase_add_test(tests, papi_of_good_and_failing_right_ventricles);
    tcase_add_test(tests, power_at_the_published_threshold);
    tcase_add_test(tests, stroke_work_with_its_factor);
    tcase_add_test(tests, formulas_without_flow_or_pressure_are_not_a_number);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
