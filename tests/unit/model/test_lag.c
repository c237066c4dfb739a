/* Lags against their closed form, smooth helpers against their limits. */
#include "model/lag.h"
#include "tests/support/check_main.h"

#include <math.h>

START_TEST(lag_step_is_the_exponential_whatever_the_step) {
    double whole = 2.0, parts = 2.0;
    (void)model_lag_step(&whole, 10.0, 3.0, 4.0);
    for (int i = 0; i < 300; i++) {
        (void)model_lag_step(&parts, 10.0, 0.01, 4.0);
    }
    ck_assert_double_eq_tol(whole, 10.0 - 8.0 * exp(-0.75), 1e-14);
    ck_assert_double_eq_tol(parts, whole, 1e-12);
}
END_TEST

START_TEST(lag_step_returns_the_mean_over_the_step) {
    double x = 2.0;
    const double mean = model_lag_step(&x, 10.0, 3.0, 4.0);
    ck_assert_double_eq_tol(mean, 10.0 - 8.0 * (1.0 - exp(-0.75)) / 0.75, 1e-14);
}
END_TEST

START_TEST(lag_step_without_time_or_lag_stands_or_follows) {
    double x = 2.0;
    ck_assert_double_eq_tol(model_lag_step(&x, 10.0, 0.0, 4.0), 2.0, 1e-15);
    ck_assert_double_eq_tol(x, 2.0, 1e-15);
    ck_assert_double_eq_tol(model_lag_step(&x, 10.0, 1.0, 0.0), 10.0, 1e-15);
    ck_assert_double_eq_tol(x, 10.0, 1e-15);
    (void)model_lag_step(&x, -5.0, 1e9, 1.0);
    ck_assert_double_eq_tol(x, -5.0, 1e-12);
}
END_TEST

START_TEST(lag_softplus_is_a_positive_part_far_from_zero) {
    ck_assert_double_eq_tol(model_lag_softplus(0.0, 2.0), 2.0 * log(2.0), 1e-14);
    ck_assert_double_eq_tol(model_lag_softplus(1e6, 2.0), 1e6, 1e-9);
    ck_assert_double_eq_tol(model_lag_softplus(-1e6, 2.0), 0.0, 1e-15);
}
END_TEST

START_TEST(lag_smoothstep_goes_from_0_to_1) {
    ck_assert_double_eq_tol(model_lag_smoothstep(9.0, 10.0, 20.0), 0.0, 1e-15);
    ck_assert_double_eq_tol(model_lag_smoothstep(15.0, 10.0, 20.0), 0.5, 1e-15);
    ck_assert_double_eq_tol(model_lag_smoothstep(21.0, 10.0, 20.0), 1.0, 1e-15);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("lag");
    TCase *tests = tcase_create("lag");
    tcase_add_test(tests, lag_step_is_the_exponential_whatever_the_step);
    tcase_add_test(tests, lag_step_returns_the_mean_over_the_step);
    tcase_add_test(tests, lag_step_without_time_or_lag_stands_or_follows);
    tcase_add_test(tests, lag_softplus_is_a_positive_part_far_from_zero);
    tcase_add_test(tests, lag_smoothstep_goes_from_0_to_1);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
