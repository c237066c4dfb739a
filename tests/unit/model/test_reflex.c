/* Baroreflex: deviation form of Ursino, Am J Physiol 1998;275:H1733. Expected static values are worked out
   from the published curves in the test itself. */
#include "model/reflex.h"
#include "tests/support/check_main.h"

#include <math.h>

static const double MEAN_MMHG = 80.0;
static const double PULSE_MMHG = 40.0;

static ReflexState neutral(void) {
    ReflexState reflex;
    model_reflex_start(&reflex);
    model_reflex_neutralise(&reflex, MEAN_MMHG);
    return reflex;
}

static void run(ReflexState *reflex, double mmhg, double seconds, double dt_s) {
    const int steps = (int)(seconds / dt_s + 0.5);
    for (int i = 0; i < steps; i++) {
        model_reflex_advance(reflex, mmhg, PULSE_MMHG, dt_s);
    }
}

static Effects effects_of(const ReflexState *reflex, const Parameters *parameters) {
    Effects effects = model_effects_none();
    model_reflex_effects(reflex, parameters, &effects);
    return effects;
}

START_TEST(reflex_at_its_neutral_pressure_does_nothing_for_an_hour) {
    ReflexState reflex = neutral();
    run(&reflex, MEAN_MMHG, 3600.0, 0.8);
    const Parameters parameters = model_parameters_standard();
    const Effects effects = effects_of(&reflex, &parameters);
    ck_assert_double_eq_tol(effects.reflex_svr_x, 1.0, 1e-12);
    ck_assert_double_eq_tol(effects.reflex_ees_x, 1.0, 1e-12);
    ck_assert_double_eq_tol(effects.reflex_splanchnic_ml, 0.0, 1e-9);
    ck_assert_double_eq_tol(effects.reflex_other_ml, 0.0, 1e-9);
    ck_assert_double_eq_tol(effects.reflex_period_s, 0.0, 1e-12);
}
END_TEST

START_TEST(reflex_after_a_lasting_fall_reaches_ursinos_static_curve) {
    ReflexState reflex = neutral();
    const double fall_mmhg = 20.0;
    run(&reflex, MEAN_MMHG - fall_mmhg, 600.0, 0.8);
    const double z = exp(-fall_mmhg / 11.758);
    const double afferent = (2.52 + 47.78 * z) / (1.0 + z);
    const double sympathetic = 2.10 + 14.01 * exp(-0.0675 * afferent);
    const double at_rest = 2.10 + 14.01 * exp(-0.0675 * 25.15);
    const double drive = log(sympathetic - 2.66 + 1.0) - log(at_rest - 2.66 + 1.0);
    ck_assert_double_eq_tol(reflex.drive_resistance, drive, 1e-3);
    ck_assert_double_eq_tol(reflex.drive_veins, drive, 1e-3);
    const Parameters parameters = model_parameters_standard();
    const Effects effects = effects_of(&reflex, &parameters);
    ck_assert_double_eq_tol(effects.reflex_svr_x, exp(0.45 * drive), 1e-3);
    ck_assert_double_eq_tol(effects.reflex_splanchnic_ml, -20.0 * drive, 0.5);
    ck_assert_double_lt(effects.reflex_period_s, -0.04);
}
END_TEST

START_TEST(reflex_veins_answer_later_than_the_heart) {
    ReflexState reflex = neutral();
    run(&reflex, MEAN_MMHG - 20.0, 3.0, 0.5);
    ck_assert_double_lt(reflex.drive_veins, 0.1 * reflex.drive_rate);
    ck_assert_double_gt(reflex.drive_rate, 0.0);
    ck_assert_double_lt(reflex.drive_vagal, 0.0); /* vagal withdrawal */
}
END_TEST

START_TEST(reflex_result_hardly_depends_on_the_beat_length) {
    ReflexState slow = neutral(), fast = neutral();
    run(&slow, MEAN_MMHG - 15.0, 12.0, 1.0);
    run(&fast, MEAN_MMHG - 15.0, 12.0, 0.3);
    ck_assert_double_eq_tol(slow.drive_resistance, fast.drive_resistance, 0.02);
    ck_assert_double_eq_tol(slow.drive_rate, fast.drive_rate, 0.02);
}
END_TEST

START_TEST(reflex_of_a_denervated_heart_keeps_the_vessels_only) {
    ReflexState reflex = neutral();
    run(&reflex, MEAN_MMHG - 20.0, 120.0, 0.8);
    Parameters parameters = model_parameters_standard();
    parameters.reflex_heart_gain = 0.0;
    const Effects effects = effects_of(&reflex, &parameters);
    ck_assert_double_eq_tol(effects.reflex_period_s, 0.0, 1e-15);
    ck_assert_double_eq_tol(effects.reflex_ees_x, 1.0, 1e-15);
    ck_assert_double_gt(effects.reflex_svr_x, 1.1);
    ck_assert_double_lt(effects.reflex_splanchnic_ml, -10.0);
}
END_TEST

START_TEST(reflex_in_deep_sedation_is_silent) {
    ReflexState reflex = neutral();
    run(&reflex, MEAN_MMHG - 20.0, 120.0, 0.8);
    Parameters parameters = model_parameters_standard();
    parameters.sedation_frac = 1.0;
    const Effects effects = effects_of(&reflex, &parameters);
    ck_assert_double_eq_tol(effects.reflex_svr_x, 1.0, 1e-15);
    ck_assert_double_eq_tol(effects.reflex_other_ml, 0.0, 1e-12);
}
END_TEST

START_TEST(reflex_feels_a_loss_of_pulse_at_an_unchanged_mean) {
    ReflexState reflex = neutral();
    for (int i = 0; i < 200; i++) {
        model_reflex_advance(&reflex, MEAN_MMHG, 8.0, 0.8);
    }
    ck_assert_double_gt(reflex.drive_resistance, 0.1); /* direction: Cornwell, Circulation 2015;132 */
}
END_TEST

START_TEST(reflex_neutralised_at_a_new_pressure_lets_go) {
    ReflexState reflex = neutral();
    run(&reflex, 60.0, 120.0, 0.8);
    model_reflex_neutralise(&reflex, 60.0);
    run(&reflex, 60.0, 60.0, 0.8);
    ck_assert_double_eq_tol(reflex.drive_resistance, 0.0, 1e-12);
    ck_assert_double_eq_tol(reflex.drive_vagal, 0.0, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("reflex");
    TCase *tests = tcase_create("reflex");
    tcase_add_test(tests, reflex_at_its_neutral_pressure_does_nothing_for_an_hour);
    tcase_add_test(tests, reflex_after_a_lasting_fall_reaches_ursinos_static_curve);
    tcase_add_test(tests, reflex_veins_answer_later_than_the_heart);
    tcase_add_test(tests, reflex_result_hardly_depends_on_the_beat_length);
    tcase_add_test(tests, reflex_of_a_denervated_heart_keeps_the_vessels_only);
    tcase_add_test(tests, reflex_in_deep_sedation_is_silent);
    tcase_add_test(tests, reflex_feels_a_loss_of_pulse_at_an_unchanged_mean);
    tcase_add_test(tests, reflex_neutralised_at_a_new_pressure_lets_go);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
