/* Pump law: shut-off head, affinity, suction, power and the console's estimate. */
#include "model/people.h"
#include "model/pump.h"
#include "model/units.h"
#include "tests/support/check_main.h"

#include <math.h>

/* viscosity factor at which the law has its nominal viscosity of 3.5 mPa s: 0.6 + 0.4 x 3.5/3.425 */
#define NOMINAL_VISCOSITY_X (0.6 + 0.4 * 3.5 / 3.425)

static Parameters axial(void) {
    return model_people_parameters(PERSON_SUPPORTED_AXIAL);
}

static double head(const PumpConstants *pump, double krpm, double l_min) {
    const PumpDrive drive = model_pump_drive(pump, krpm);
    return model_pump_head_mmhg(&drive, l_min * UNITS_ML_S_PER_L_MIN);
}

START_TEST(head_without_flow_is_the_shut_off_curve) {
    const Parameters p = axial();
    const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, NOMINAL_VISCOSITY_X);
    ck_assert_double_eq_tol(head(&pump, 9.0, 0), 1.40 * 81, 1e-9);
}
END_TEST

/* affinity laws: at w -> k w and Q -> k Q the head goes with k^2 (general turbomachinery) */
START_TEST(head_obeys_the_affinity_laws) {
    const Parameters p = axial();
    const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, NOMINAL_VISCOSITY_X);
    const double one = head(&pump, 9.0, 4.0);
    const double two = head(&pump, 10.8, 4.8);
    ck_assert_double_eq_tol(two / one, 1.44, 0.002); /* the stopped-rotor term is all that is left over */
}
END_TEST

START_TEST(rotor_follows_and_runs_down_exponentially) {
    Parameters p = axial();
    p.left_pump_speed_rpm = 10000;
    PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, 1);
    ck_assert_double_eq_tol(model_pump_krpm(&pump, 8, 0.4), 10 - 2 * exp(-1.0), 1e-12);
    p.left_pump_powered = 0;
    pump = model_pump_constants(&p, PUMP_LEFT, 1);
    ck_assert_double_eq_tol(model_pump_krpm(&pump, 8, 0.7), 8 * exp(-1.0), 1e-12);
}
END_TEST

START_TEST(suction_closes_faster_than_it_opens) {
    const Parameters p = axial();
    const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, 1);
    const PumpDrive drive = model_pump_drive(&pump, 9);
    const double closing = model_pump_rates(&pump, &drive, -60, 80, 0.2, 60, 0, NULL).occlusion_per_s;
    const double opening = model_pump_rates(&pump, &drive, -60, 80, 0.8, 300, 0, NULL).occlusion_per_s;
    ck_assert_double_eq_tol(closing, 0.8 / 0.04, 0.02);
    ck_assert_double_eq_tol(opening, -0.8 / 0.20, 0.02);
}
END_TEST

START_TEST(septum_to_the_left_brings_suction_nearer) {
    const Parameters p = axial();
    const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, 1);
    const PumpDrive drive = model_pump_drive(&pump, 9);
    const double middle = model_pump_rates(&pump, &drive, -60, 80, 0, 150, 0, NULL).occlusion_per_s;
    const double left = model_pump_rates(&pump, &drive, -60, 80, 0, 150, -20, NULL).occlusion_per_s;
    ck_assert_double_gt(left, 2 * middle);
}
END_TEST

START_TEST(absent_pump_keeps_still) {
    Parameters p = axial();
    p.left_pump_present = 0;
    const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, 1);
    const PumpDrive drive = model_pump_drive(&pump, 9);
    const PumpRates rates = model_pump_rates(&pump, &drive, 50, 0, 0, 10, 0, NULL);
    ck_assert_double_eq_tol(rates.flow_ml_s2, 0, 1e-12);
    ck_assert_double_eq_tol(rates.occlusion_per_s, 0, 1e-12);
}
END_TEST

/* Slaughter 2010 (axial): shown = 0.74 true + 0.99 L/min */
START_TEST(shown_flow_has_the_published_error) {
    const Parameters p = axial();
    const PumpConstants pump = model_pump_constants(&p, PUMP_LEFT, NOMINAL_VISCOSITY_X);
    for (double l_min = 2; l_min <= 7; l_min += 1) {
        const double power_w = model_pump_power_w(&pump, 9, l_min);
        ck_assert_double_eq_tol(model_pump_shown_l_min(&p, 9, power_w), 0.74 * l_min + 0.99, 1e-6);
    }
    ck_assert_double_eq_tol(model_pump_shown_l_min(&p, 0, 0), 0, 1e-12);
}
END_TEST

/* rotor thrombus: 1-2 W more and a falsely high estimate (17 published episodes) */
START_TEST(thrombus_raises_power_and_the_estimate) {
    Parameters p = axial();
    const PumpConstants clean = model_pump_constants(&p, PUMP_LEFT, 1);
    p.left_pump_thrombus_frac = 0.6;
    const PumpConstants ill = model_pump_constants(&p, PUMP_LEFT, 1);
    const double before_w = model_pump_power_w(&clean, 8.4, 4.9);
    const double after_w = model_pump_power_w(&ill, 8.4, 4.5);
    ck_assert_double_ge(after_w - before_w, 1.0);
    ck_assert_double_le(after_w - before_w, 2.0);
    ck_assert_double_gt(model_pump_shown_l_min(&p, 8.4, after_w),
                        model_pump_shown_l_min(&p, 8.4, before_w) + 2);
    ck_assert_double_lt(head(&ill, 8.4, 5), head(&clean, 8.4, 5));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("pump");
    TCase *c = tcase_create("pump");
    tcase_add_test(c, head_without_flow_is_the_shut_off_curve);
    tcase_add_test(c, head_obeys_the_affinity_laws);
    tcase_add_test(c, rotor_follows_and_runs_down_exponentially);
    tcase_add_test(c, suction_closes_faster_than_it_opens);
    tcase_add_test(c, septum_to_the_left_brings_suction_nearer);
    tcase_add_test(c, absent_pump_keeps_still);
    tcase_add_test(c, shown_flow_has_the_published_error);
    tcase_add_test(c, thrombus_raises_power_and_the_estimate);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
