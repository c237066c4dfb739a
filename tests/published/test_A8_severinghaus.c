/* A8. Oxygen saturation against Severinghaus, J Appl Physiol 1979;46:599: values of his equation, and the
   reference points of the standard curve he fitted, from which the equation differs by at most 0.0055. */
#include "model/oxygen.h"
#include "tests/support/check_main.h"

static double percent(double po2_mmhg) {
    return 100.0 * model_oxygen_saturation(po2_mmhg, 7.4, 37.0);
}

START_TEST(severinghaus_equation_points_come_out) {
    const double points[][2] = {{10.0, 9.65},  {20.0, 31.98}, {26.86, 50.01}, {30.0, 57.38},
                                {40.0, 74.95}, {50.0, 84.99}, {60.0, 90.58},  {70.0, 93.79},
                                {80.0, 95.73}, {90.0, 96.94}, {100.0, 97.75}, {150.0, 99.32}};
    for (unsigned i = 0; i < sizeof points / sizeof points[0]; i++) {
        ck_assert_double_eq_tol(percent(points[i][0]), points[i][1], 0.05);
    }
}
END_TEST

START_TEST(severinghaus_curve_lies_on_the_reference_data) {
    const double data[][2] = {{50.0, 85.08}, {60.0, 90.85}, {70.0, 94.06},
                              {80.0, 95.84}, {90.0, 96.88}, {100.0, 97.49}};
    for (unsigned i = 0; i < sizeof data / sizeof data[0]; i++) {
        ck_assert_double_eq_tol(percent(data[i][0]), data[i][1], 0.6);
    }
}
END_TEST

/* Severinghaus 1979: dlnPO2/dpH = (PO2/26.6)^0.184 - 2.2: at 26.6 mmHg -1.2, so pH 7.2 moves the curve right
   by the factor exp(0.24). */
START_TEST(severinghaus_bohr_shift_at_half_saturation_is_minus_1_2) {
    const double same = model_oxygen_saturation(26.6, 7.2, 37.0);
    const double shifted = model_oxygen_saturation(26.6 / 1.271249, 7.4, 37.0); /* exp(0.24) */
    ck_assert_double_eq_tol(same, shifted, 1e-6);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("A8");
    TCase *tests = tcase_create("A8");
    tcase_add_test(tests, severinghaus_equation_points_come_out);
    tcase_add_test(tests, severinghaus_curve_lies_on_the_reference_data);
    tcase_add_test(tests, severinghaus_bohr_shift_at_half_saturation_is_minus_1_2);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
