/* Speed ramps of four patients side by side: the diameter slope flattens with an obstructed graft, a leaking
   aortic valve and a high afterload, and most with the obstruction (Uriel, J Am Coll Cardiol 2012;60:1764;
   Adatya, JACC Heart Fail 2015;3:291: directions; sizes are judged in tests/published, G6 to G8). */
#include "model/people.h"
#include "sim/ramp.h"
#include "tests/support/check_main.h"

#include <stdio.h>

/* Millimetres per rpm of the axial base patient with one parameter changed. */
static double diameter_slope(ParameterId id, double value) {
    static RampResult result;
    Error error;
    const RampPlan plan = {
        .from_rpm = 8000, .to_rpm = 10400, .step_rpm = 800, .dwell_s = 90, .settle_s = 60, .seed = 1};
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    ck_assert_int_eq(model_parameters_set(&parameters, id, value, &error), ERROR_OK);
    ck_assert_int_eq(sim_ramp_run(&parameters, &plan, &result, NULL, NULL, &error), ERROR_OK);
    return sim_ramp_slope(&result, OBSERVABLE_lv_edd_mm);
}

START_TEST(slopes_flatten_with_obstruction_leak_and_afterload) {
    const double usual = diameter_slope(PARAMETER_systemic_resistance_x, 1.0);
    const double kinked = diameter_slope(PARAMETER_left_pump_graft_r_mmhg_s_ml, 0.8);
    const double leaking = diameter_slope(PARAMETER_aortic_leak_cm2, 0.1);
    const double loaded = diameter_slope(PARAMETER_systemic_resistance_x, 1.3);
    printf("mm per 400 rpm: usual %.2f, kinked graft %.2f, leaking valve %.2f, high afterload %.2f\n",
           400 * usual, 400 * kinked, 400 * leaking, 400 * loaded);
    ck_assert_double_lt(usual, 0);
    ck_assert_double_gt(loaded, usual);
    ck_assert_double_gt(leaking, usual);
    ck_assert_double_gt(kinked, leaking);
    ck_assert_double_gt(kinked, 0.5 * usual); /* lost more than half of the slope */
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("ramps");
    TCase *c = tcase_create("four patients");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, slopes_flatten_with_obstruction_leak_and_afterload);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
