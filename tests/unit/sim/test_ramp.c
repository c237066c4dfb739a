/* Speed ramps: what is refused, the slope, and the direction in which a supported heart goes. */
#include "model/people.h"
#include "sim/ramp.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static RampResult result;
static Error error;

static RampPlan plan_of(double from_rpm, double to_rpm, double step_rpm) {
    return (RampPlan){.from_rpm = from_rpm,
                      .to_rpm = to_rpm,
                      .step_rpm = step_rpm,
                      .dwell_s = 40,
                      .settle_s = 40,
                      .seed = 1};
}

START_TEST(ramp_without_a_pump_is_refused) {
    Parameters healthy = model_people_parameters(PERSON_HEALTHY);
    RampPlan plan = plan_of(8000, 9000, 400);
    ck_assert_int_eq(sim_ramp_run(&healthy, &plan, &result, NULL, NULL, &error), ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.allowed, "left_pump_present"));
}
END_TEST

START_TEST(ramp_with_too_many_speeds_is_refused) {
    Parameters supported = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    RampPlan plan = plan_of(0, 10000, 1);
    ck_assert_int_eq(sim_ramp_run(&supported, &plan, &result, NULL, NULL, &error), ERROR_RANGE);
    plan = plan_of(8000, 9000, 0);
    ck_assert_int_eq(sim_ramp_run(&supported, &plan, &result, NULL, NULL, &error), ERROR_RANGE);
    plan = plan_of(1e6, 1e6, 1);
    ck_assert_int_eq(sim_ramp_run(&supported, &plan, &result, NULL, NULL, &error), ERROR_RANGE);
    ck_assert_ptr_nonnull(strstr(error.where, "--from"));
}
END_TEST

START_TEST(ramp_slope_of_a_line_is_exact) {
    memset(&result, 0, sizeof result);
    ck_assert(isnan(sim_ramp_slope(&result, OBSERVABLE_wedge_mmhg)));
    for (int i = 0; i < 5; i++) {
        result.steps[i].speed_rpm = 8000 + 400 * i;
        result.steps[i].means.wedge_mmhg = 20 - 1.25 * i;
    }
    result.count = 5;
    ck_assert_double_eq_tol(400 * sim_ramp_slope(&result, OBSERVABLE_wedge_mmhg), -1.25, 1e-9);
}
END_TEST

/* Direction only: Uriel, JACC Heart Fail 2016;4:208-17 (wedge falls, output rises with each step). */
START_TEST(ramp_up_unloads_and_down_loads) {
    Parameters supported = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    RampPlan plan = plan_of(8600, 9400, 400);
    ck_assert_int_eq(sim_ramp_run(&supported, &plan, &result, NULL, NULL, &error), ERROR_OK);
    ck_assert_int_eq(result.count, 3);
    ck_assert(sim_ramp_slope(&result, OBSERVABLE_wedge_mmhg) < 0);
    ck_assert(sim_ramp_slope(&result, OBSERVABLE_lv_edd_mm) < 0);
    ck_assert(sim_ramp_slope(&result, OBSERVABLE_systemic_flow_l_min) > 0);
    ck_assert(!result.stopped);
    plan = plan_of(9400, 8600, 400);
    ck_assert_int_eq(sim_ramp_run(&supported, &plan, &result, NULL, NULL, &error), ERROR_OK);
    ck_assert_int_eq(result.count, 3);
    ck_assert_double_eq_tol(result.steps[2].speed_rpm, 8600, 1e-9);
    ck_assert(result.steps[2].means.wedge_mmhg > result.steps[0].means.wedge_mmhg);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/ramp");
    TCase *c = tcase_create("ramp");
    tcase_set_timeout(c, 60);
    tcase_add_test(c, ramp_without_a_pump_is_refused);
    tcase_add_test(c, ramp_with_too_many_speeds_is_refused);
    tcase_add_test(c, ramp_slope_of_a_line_is_exact);
    tcase_add_test(c, ramp_up_unloads_and_down_loads);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
