/* Activation: shape, duration with rate. */
#include "model/activation.h"
#include "tests/support/check_main.h"

#include <math.h>

static ActivationShape ventricle(void) {
    return model_activation_shape(0.215, 1.32, 0.362, 27.4);
}

START_TEST(level_peaks_at_one_and_starts_and_ends_at_zero) {
    const ActivationShape shape = ventricle();
    const Activation beat = {.onset_s = 0.1, .strength = 1};
    double highest = 0;
    for (double t = 0; t < 1.5; t += 1e-4)
        highest = fmax(highest, model_activation_level(&shape, &beat, t));
    ck_assert_double_eq_tol(highest, 1.0, 1e-6);
    ck_assert_double_eq_tol(model_activation_level(&shape, &beat, 0.1), 0, 1e-300);
    ck_assert_double_eq_tol(model_activation_level(&shape, &beat, 0.05), 0, 1e-300);
    ck_assert_double_le(model_activation_level(&shape, &beat, 1.0), 1e-9);
}
END_TEST

/* against the formula itself, written out (Stergiopulos 1996) */
START_TEST(level_matches_the_double_hill_formula) {
    const ActivationShape shape = ventricle();
    const Activation beat = {.onset_s = 0, .strength = 1};
    double highest = 0;
    for (double t = 1e-4; t < 1; t += 1e-4) {
        const double rise = pow(t / 0.215, 1.32);
        highest = fmax(highest, rise / (1 + rise) / (1 + pow(t / 0.362, 27.4)));
    }
    for (double t = 0.05; t < 0.5; t += 0.05) {
        const double rise = pow(t / 0.215, 1.32);
        const double expected = rise / (1 + rise) / (1 + pow(t / 0.362, 27.4)) / highest;
        ck_assert_double_eq_tol(model_activation_level(&shape, &beat, t), expected, 1e-6);
    }
}
END_TEST

START_TEST(stretch_scales_time_only) {
    const ActivationShape shape = ventricle();
    const Activation plain = {.onset_s = 0, .strength = 1};
    const Activation slow = {.onset_s = 0, .log_scale = log(1.1), .strength = 1};
    ck_assert_double_eq_tol(model_activation_level(&shape, &slow, 0.33),
                            model_activation_level(&shape, &plain, 0.30), 1e-12);
}
END_TEST

/* Weissler 1968: QS2 = 546 - 2.1 HR ms: at 75/min 388.5, at 100/min 336 */
START_TEST(systole_shortens_with_rate) {
    ck_assert_double_eq_tol(model_activation_systole_scale(0.8), 1.0, 1e-12);
    ck_assert_double_eq_tol(model_activation_systole_scale(0.6), 336.0 / 388.5, 1e-12);
    ck_assert_double_eq_tol(model_activation_systole_scale(0.2), 0.5, 1e-12);
    ck_assert_double_eq_tol(model_activation_systole_scale(5.0), 1.15, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("activation");
    TCase *c = tcase_create("activation");
    tcase_add_test(c, level_peaks_at_one_and_starts_and_ends_at_zero);
    tcase_add_test(c, level_matches_the_double_hill_formula);
    tcase_add_test(c, stretch_scales_time_only);
    tcase_add_test(c, systole_shortens_with_rate);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
