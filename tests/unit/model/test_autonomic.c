/* Temperature, shivering, sedation, anaemia: nothing at the start, directions, nerves. */
#include "model/autonomic.h"
#include "tests/support/check_main.h"

static const double HB_G_DL = 12.0;
static const double HOUR_S = 3600.0;

/* Effects an hour after *later, in the person that started as *parameters. */
static Effects after_an_hour(const Parameters *parameters, const Parameters *later, double hb_g_dl) {
    AutonomicState autonomic;
    Effects effects = model_effects_none();
    model_autonomic_start(&autonomic, parameters, HB_G_DL);
    for (double t_s = 0.0; t_s < HOUR_S; t_s += 1.0)
        model_autonomic_advance(&autonomic, later, hb_g_dl, 1.0);
    model_autonomic_effects(&autonomic, later, &effects);
    return effects;
}

START_TEST(autonomic_as_at_the_start_does_nothing) {
    Parameters parameters = model_parameters_standard();
    parameters.temperature_c = 35.0;
    parameters.sedation_frac = 0.6;
    parameters.shivering_frac = 0.5;
    const Effects effects = after_an_hour(&parameters, &parameters, HB_G_DL);
    ck_assert_double_eq_tol(effects.hr_x, 1.0, 1e-12);
    ck_assert_double_eq_tol(effects.svr_x, 1.0, 1e-12);
    ck_assert_double_eq_tol(effects.unstressed_ml, 0.0, 1e-9);
}
END_TEST

/* About 4 beats/min per g/dL in whole people (Weiskopf, Transfusion 2003;43:235); none without nerves. */
START_TEST(autonomic_anaemia_quickens_the_innervated_heart_only) {
    Parameters parameters = model_parameters_standard();
    const double direct = 70.0 * (after_an_hour(&parameters, &parameters, HB_G_DL - 2.0).hr_x - 1.0);
    ck_assert_double_ge(direct, 7.0);
    ck_assert_double_le(direct, 11.0);
    ck_assert_double_eq_tol(after_an_hour(&parameters, &parameters, HB_G_DL + 2.0).hr_x, 1.0, 1e-12);
    parameters.reflex_heart_gain = 0.0;
    ck_assert_double_eq_tol(after_an_hour(&parameters, &parameters, HB_G_DL - 2.0).hr_x, 1.0, 1e-12);
}
END_TEST

START_TEST(autonomic_fever_and_shivering_quicken_and_widen) {
    const Parameters parameters = model_parameters_standard();
    Parameters fever = parameters, shivering = parameters;
    fever.temperature_c = 39.0;
    shivering.shivering_frac = 1.0;
    ck_assert_double_gt(after_an_hour(&parameters, &fever, HB_G_DL).hr_x, 1.1);
    ck_assert_double_lt(after_an_hour(&parameters, &fever, HB_G_DL).svr_x, 0.95);
    ck_assert_double_gt(after_an_hour(&parameters, &shivering, HB_G_DL).hr_x, 1.05);
    ck_assert_double_lt(after_an_hour(&parameters, &shivering, HB_G_DL).unstressed_ml, 0.0);
}
END_TEST

/* 86 patients, PMC10156538: anaesthesia adds about 1.2 L of unstressed volume; awakening takes it away. */
START_TEST(autonomic_deep_sedation_pools_blood_and_awakening_returns_it) {
    const Parameters awake = model_parameters_standard();
    Parameters asleep = awake;
    asleep.sedation_frac = 1.0;
    ck_assert_double_eq_tol(after_an_hour(&awake, &asleep, HB_G_DL).unstressed_ml, 1200.0, 60.0);
    ck_assert_double_eq_tol(after_an_hour(&asleep, &awake, HB_G_DL).unstressed_ml, -1200.0, 60.0);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("autonomic");
    TCase *tests = tcase_create("autonomic");
    tcase_add_test(tests, autonomic_as_at_the_start_does_nothing);
    tcase_add_test(tests, autonomic_anaemia_quickens_the_innervated_heart_only);
    tcase_add_test(tests, autonomic_fever_and_shivering_quicken_and_widen);
    tcase_add_test(tests, autonomic_deep_sedation_pools_blood_and_awakening_returns_it);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
