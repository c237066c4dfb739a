/* The right ventricle's answer to load: nothing at the start, up only, slow, bounded, none in failure. */
#include "model/homeometric.h"
#include "tests/support/check_main.h"

static const double REST_MMHG = 28.0;
static const double REST_ML = 70.0;
static const double SETTLE_S = 300.0;

/* Contractility after held_s seconds at the given load, x. */
static double ees_after(const Parameters *parameters, double systolic_mmhg, double stroke_ml, double held_s) {
    HomeometricState state;
    Effects effects = model_effects_none();
    model_homeometric_start(&state);
    for (double t_s = 0.0; t_s < SETTLE_S; t_s += 1.0)
        model_homeometric_settle(&state, REST_MMHG, REST_ML, 1.0);
    for (double t_s = 0.0; t_s < held_s; t_s += 1.0)
        model_homeometric_advance(&state, systolic_mmhg, stroke_ml, 1.0);
    model_homeometric_effects(&state, parameters, &effects);
    return effects.rv_ees_x;
}

START_TEST(homeometric_as_while_settling_does_nothing) {
    const Parameters parameters = model_parameters_standard();
    ck_assert_double_eq_tol(ees_after(&parameters, REST_MMHG, REST_ML, 3600.0), 1.0, 1e-6);
}
END_TEST

/* Pressure x 1.7 for hours with the same output and filling (de Vroomen, Am J Physiol 2000;278:H100): the
   contractility has to follow; the size is bounded. */
START_TEST(homeometric_follows_a_lasting_load) {
    const Parameters parameters = model_parameters_standard();
    const double hour = ees_after(&parameters, 1.7 * REST_MMHG, REST_ML, 3600.0);
    ck_assert_double_ge(hour, 1.25);
    ck_assert_double_le(hour, 1.5);
    ck_assert_double_le(ees_after(&parameters, 5.0 * REST_MMHG, REST_ML, 3600.0), 1.5 + 1e-9);
}
END_TEST

START_TEST(homeometric_takes_minutes) {
    const Parameters parameters = model_parameters_standard();
    const double hour = ees_after(&parameters, 1.5 * REST_MMHG, REST_ML, 3600.0) - 1.0;
    ck_assert_double_le(ees_after(&parameters, 1.5 * REST_MMHG, REST_ML, 10.0) - 1.0, 0.15 * hour);
    ck_assert_double_ge(ees_after(&parameters, 1.5 * REST_MMHG, REST_ML, 600.0) - 1.0, 0.85 * hour);
}
END_TEST

/* More pressure because more flows is an inotrope's or a fluid's work, not a load. */
START_TEST(homeometric_pressure_that_flow_explains_is_no_load) {
    const Parameters parameters = model_parameters_standard();
    ck_assert_double_eq_tol(ees_after(&parameters, 1.3 * REST_MMHG, 1.3 * REST_ML, 3600.0), 1.0, 1e-6);
    ck_assert_double_eq_tol(ees_after(&parameters, 0.6 * REST_MMHG, 0.6 * REST_ML, 3600.0), 1.0, 1e-6);
    ck_assert_double_eq_tol(ees_after(&parameters, 0.6 * REST_MMHG, REST_ML, 3600.0), 1.0, 1e-6);
}
END_TEST

START_TEST(homeometric_failing_ventricle_has_none) {
    Parameters parameters = model_parameters_standard();
    parameters.rv_homeometric_gain = 0.0;
    ck_assert_double_eq_tol(ees_after(&parameters, 2.0 * REST_MMHG, REST_ML, 3600.0), 1.0, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("homeometric");
    TCase *tests = tcase_create("homeometric");
    tcase_add_test(tests, homeometric_as_while_settling_does_nothing);
    tcase_add_test(tests, homeometric_follows_a_lasting_load);
    tcase_add_test(tests, homeometric_takes_minutes);
    tcase_add_test(tests, homeometric_pressure_that_flow_explains_is_no_load);
    tcase_add_test(tests, homeometric_failing_ventricle_has_none);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
