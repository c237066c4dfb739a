/* Urine against perfusion, congestion, flow and volume, with its lag. Bands: T46, T47 of the published
   checks; Redfors, Crit Care Med 2011 and Crit Care Explor 2024, doi 10.1097/CCE.0000000000001141, for the
   plateau. */
#include "model/kidney.h"
#include "tests/support/check_main.h"

#include <math.h>

static const double FLOW_ML_S = 80.0;
static const double USUAL_ML_S = 75.0 / 3600.0;

static double target(double map_mmhg, double cvp_mmhg) {
    const Parameters parameters = model_parameters_standard();
    return model_kidney_target(&parameters, map_mmhg - cvp_mmhg, cvp_mmhg, FLOW_ML_S, 1.0);
}

static double run(KidneyState *kidney, const Parameters *parameters, double map_mmhg, double cvp_mmhg,
                  double seconds) {
    double ml = 0.0;
    for (int s = 0; s < (int)seconds; s++) {
        ml += model_kidney_advance(kidney, parameters, map_mmhg, cvp_mmhg, 3.0, FLOW_ML_S, 1.0, 1.0, 1.0);
    }
    return ml;
}

START_TEST(kidney_at_the_reference_makes_the_usual_urine) {
    ck_assert_double_eq_tol(target(75.0, 5.0), USUAL_ML_S, 0.02 * USUAL_ML_S);
}
END_TEST

START_TEST(kidney_at_low_pressure_and_high_cvp_makes_little) {
    ck_assert_double_lt(target(50.0, 18.0), 0.3 * USUAL_ML_S);
    ck_assert_double_lt(target(55.0, 18.0) * 3600.0, 25.0);
    ck_assert_double_ge(target(20.0, 15.0), 0.0);
}
END_TEST

START_TEST(kidney_rises_steeply_to_75_and_little_above) {
    ck_assert_double_gt(target(75.0, 8.0), 1.5 * target(55.0, 8.0));
    ck_assert_double_lt(target(95.0, 8.0), 1.15 * target(75.0, 8.0));
    ck_assert_double_gt(target(95.0, 8.0), target(75.0, 8.0));
}
END_TEST

START_TEST(kidney_congestion_counts_beyond_its_share_of_perfusion) {
    const Parameters parameters = model_parameters_standard();
    const double low = model_kidney_target(&parameters, 65.0, 8.0, FLOW_ML_S, 1.0);
    const double high = model_kidney_target(&parameters, 65.0, 20.0, FLOW_ML_S, 1.0);
    ck_assert_double_eq_tol(high / low, 0.6, 0.02);
}
END_TEST

START_TEST(kidney_at_low_flow_saves_water_at_the_same_pressure) {
    const Parameters parameters = model_parameters_standard();
    const double usual = model_kidney_target(&parameters, 70.0, 8.0, FLOW_ML_S, 1.0);
    const double low = model_kidney_target(&parameters, 70.0, 8.0, 0.4 * FLOW_ML_S, 1.0);
    ck_assert_double_lt(low, 0.6 * usual);
    ck_assert_double_gt(low, 0.0);
}
END_TEST

START_TEST(kidney_follows_the_plasma_volume) {
    const Parameters parameters = model_parameters_standard();
    const double usual = model_kidney_target(&parameters, 70.0, 8.0, FLOW_ML_S, 1.0);
    ck_assert_double_gt(model_kidney_target(&parameters, 70.0, 8.0, FLOW_ML_S, 1.08), 1.5 * usual);
    ck_assert_double_lt(model_kidney_target(&parameters, 70.0, 8.0, FLOW_ML_S, 0.9), 0.6 * usual);
}
END_TEST

/* Falls in 5-15 min, recovers in 30-60 min. */
START_TEST(kidney_falls_faster_than_it_recovers) {
    const Parameters parameters = model_parameters_standard();
    KidneyState kidney;
    model_kidney_start(&kidney, &parameters);
    const double before = kidney.urine_ml_s, low = target(55.0, 15.0);
    run(&kidney, &parameters, 55.0, 15.0, 60.0);
    ck_assert_double_gt(kidney.urine_ml_s, 0.9 * before); /* nothing yet in the first minute */
    run(&kidney, &parameters, 55.0, 15.0, 840.0);
    ck_assert_double_lt(kidney.urine_ml_s - low, 0.25 * (before - low));
    run(&kidney, &parameters, 55.0, 15.0, 3600.0);
    const double bottom = kidney.urine_ml_s;
    const double high = target(80.0, 8.0);
    run(&kidney, &parameters, 80.0, 8.0, 900.0);
    ck_assert_double_lt(kidney.urine_ml_s - bottom, 0.55 * (high - bottom));
    run(&kidney, &parameters, 80.0, 8.0, 2700.0);
    ck_assert_double_gt(kidney.urine_ml_s - bottom, 0.85 * (high - bottom));
}
END_TEST

START_TEST(kidney_after_settling_stays) {
    const Parameters parameters = model_parameters_standard();
    KidneyState kidney;
    model_kidney_start(&kidney, &parameters);
    for (int s = 0; s < 300; s++) {
        model_kidney_settle(&kidney, &parameters, 68.0, 16.0, 5.0, 60.0, 1.0);
    }
    const double before = kidney.urine_ml_s;
    double ml = 0.0;
    for (int s = 0; s < 3600; s++) {
        ml += model_kidney_advance(&kidney, &parameters, 68.0, 16.0, 5.0, 60.0, 1.0, 1.0, 1.0);
    }
    ck_assert_double_eq_tol(kidney.urine_ml_s, before, 1e-9);
    ck_assert_double_eq_tol(ml, 3600.0 * before, 1e-5);
}
END_TEST

START_TEST(kidney_without_function_makes_nothing) {
    Parameters parameters = model_parameters_standard();
    parameters.kidney_function_frac = 0.0;
    ck_assert_double_eq_tol(model_kidney_target(&parameters, 80.0, 5.0, FLOW_ML_S, 1.0), 0.0, 1e-15);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("kidney");
    TCase *tests = tcase_create("kidney");
    tcase_add_test(tests, kidney_at_the_reference_makes_the_usual_urine);
    tcase_add_test(tests, kidney_at_low_pressure_and_high_cvp_makes_little);
    tcase_add_test(tests, kidney_rises_steeply_to_75_and_little_above);
    tcase_add_test(tests, kidney_congestion_counts_beyond_its_share_of_perfusion);
    tcase_add_test(tests, kidney_at_low_flow_saves_water_at_the_same_pressure);
    tcase_add_test(tests, kidney_follows_the_plasma_volume);
    tcase_add_test(tests, kidney_falls_faster_than_it_recovers);
    tcase_add_test(tests, kidney_after_settling_stays);
    tcase_add_test(tests, kidney_without_function_makes_nothing);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
