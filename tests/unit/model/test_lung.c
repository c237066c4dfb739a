/* Breathing: pressures against statics, continuity of the drive, and the vessels' waterfalls. */
#include "model/lung.h"
#include "model/people.h"
#include "model/units.h"
#include "model/vessels.h"
#include "tests/support/check_main.h"

#include <math.h>

START_TEST(rest_has_pleural_pressure_and_no_flow) {
    const Parameters p = model_parameters_standard();
    const LungConstants lung = model_lung_constants(&p, 0);
    const LungDrive drive = {0, 0};
    LungPressures at;
    model_lung_pressures(&lung, &drive, 0, &at, NULL);
    ck_assert_double_eq_tol(at.pleura_mmhg, -2.7, 1e-12);
    ck_assert_double_eq_tol(at.rate_ml_s, 0, 1e-12);
    ck_assert_double_eq_tol(at.resistance_x, 1, 1e-12);
}
END_TEST

/* half of an airway pressure reaches the pleura when lung and chest wall are equally stiff */
START_TEST(held_airway_pressure_is_shared_by_lung_and_chest_wall) {
    Parameters p = model_parameters_standard();
    p.ventilated = 1;
    const LungConstants lung = model_lung_constants(&p, 0);
    const LungDrive drive = {10 * UNITS_MMHG_PER_CMH2O, 0};
    const double lung_ml = drive.airway_mmhg / (2 * 3.7e-3);
    LungPressures at;
    model_lung_pressures(&lung, &drive, lung_ml, &at, NULL);
    ck_assert_double_eq_tol(at.rate_ml_s, 0, 1e-9);
    ck_assert_double_eq_tol(at.pleura_mmhg, -2.7 + 0.5 * drive.airway_mmhg, 1e-9);
}
END_TEST

START_TEST(drive_is_continuous_across_breaths) {
    for (int ventilated = 0; ventilated <= 1; ventilated++) {
        Parameters p = model_parameters_standard();
        p.ventilated = ventilated;
        const LungConstants lung = model_lung_constants(&p, 0.3);
        LungDrive before = model_lung_drive(&lung, 0);
        for (double t = 1e-3; t < 10; t += 1e-3) {
            const LungDrive now = model_lung_drive(&lung, t);
            ck_assert_double_le(fabs(now.airway_mmhg - before.airway_mmhg), 0.1);
            ck_assert_double_le(fabs(now.muscle_mmhg - before.muscle_mmhg), 0.05);
            before = now;
        }
    }
}
END_TEST

START_TEST(open_chest_takes_breathing_off_the_heart) {
    Parameters p = model_parameters_standard();
    p.chest_open = 1;
    const LungConstants lung = model_lung_constants(&p, 0);
    const LungDrive drive = {0, 8};
    LungPressures at;
    model_lung_pressures(&lung, &drive, 400, &at, NULL);
    ck_assert_double_eq_tol(at.mediastinum_mmhg, 0, 1e-12);
}
END_TEST

/* a collapsed end neither sucks nor gives: lowering the vena cava below the abdomen adds no flow
   (Takata 1990: flow limits about 1 mmHg above the pressure outside) */
START_TEST(waterfall_limits_venous_return) {
    const Parameters p = model_parameters_standard();
    const Effects none = model_effects_none();
    const VesselConstants v = model_vessels_constants(&p, &none);
    const LungConstants lung = model_lung_constants(&p, 0);
    const LungDrive drive = {0, 0};
    LungPressures at;
    model_lung_pressures(&lung, &drive, 0, &at, NULL);
    double y[VARIABLE_COUNT] = {0};
    for (int i = 0; i < VESSEL_COUNT; i++)
        y[VARIABLE_AORTA_ML + i] = v.unstressed_ml[i] + 8 / v.elastance[i];
    y[VARIABLE_LA_ML] = y[VARIABLE_RA_ML] = 60;
    VesselFlows high;
    VesselFlows low;
    VesselFlows lower;
    model_vessels_flows(&v, &at, y, 5, &high, NULL);
    y[VARIABLE_CAVA_ML] = v.unstressed_ml[VESSEL_CAVA] + 0 / v.elastance[VESSEL_CAVA];
    model_vessels_flows(&v, &at, y, 5, &low, NULL);
    y[VARIABLE_CAVA_ML] = 0.5 * v.unstressed_ml[VESSEL_CAVA];
    model_vessels_flows(&v, &at, y, 5, &lower, NULL);
    ck_assert_double_gt(low.bed[BED_SPLANCHNIC_DRAIN], high.bed[BED_SPLANCHNIC_DRAIN] + 5);
    ck_assert_double_eq_tol(lower.bed[BED_SPLANCHNIC_DRAIN], low.bed[BED_SPLANCHNIC_DRAIN], 0.2);
}
END_TEST

START_TEST(zone_two_stops_the_lung_without_reversing_it) {
    const Parameters p = model_parameters_standard();
    const Effects none = model_effects_none();
    const VesselConstants v = model_vessels_constants(&p, &none);
    LungPressures at = {.waterfall_mmhg = 40, .resistance_x = 1};
    double y[VARIABLE_COUNT] = {0};
    for (int i = 0; i < VESSEL_COUNT; i++)
        y[VARIABLE_AORTA_ML + i] = v.unstressed_ml[i] + 8 / v.elastance[i];
    VesselFlows flows;
    model_vessels_flows(&v, &at, y, 5, &flows, NULL);
    ck_assert_double_eq_tol(flows.bed[BED_LUNG], 0, 1e-6);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("lung and vessels");
    TCase *c = tcase_create("lung and vessels");
    tcase_add_test(c, rest_has_pleural_pressure_and_no_flow);
    tcase_add_test(c, held_airway_pressure_is_shared_by_lung_and_chest_wall);
    tcase_add_test(c, drive_is_continuous_across_breaths);
    tcase_add_test(c, open_chest_takes_breathing_off_the_heart);
    tcase_add_test(c, waterfall_limits_venous_return);
    tcase_add_test(c, zone_two_stops_the_lung_without_reversing_it);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
