/* Oxygen, gases and lactate against published magnitudes; the saturation curve has its own published test
 * (A8). */
#include "model/oxygen.h"
#include "tests/support/check_main.h"

#include <math.h>

static const double ML_S_PER_L_MIN = 1000.0 / 60.0;
static const double HCT = 0.42;
static const double SPLANCHNIC_FRAC = 0.28;

static void run(OxygenState *oxygen, const Parameters *parameters, double hct, double l_min, double seconds) {
    const double flow = l_min * ML_S_PER_L_MIN;
    for (int s = 0; s < (int)seconds; s++) {
        model_oxygen_advance(oxygen, parameters, hct, flow, SPLANCHNIC_FRAC * flow, 1.0, 1.0);
    }
}

static OxygenState settled(const Parameters *parameters, double hct, double l_min) {
    OxygenState oxygen;
    model_oxygen_start(&oxygen, parameters, hct);
    const double flow = l_min * ML_S_PER_L_MIN;
    for (int s = 0; s < 300; s++) {
        model_oxygen_settle(&oxygen, parameters, hct, flow, SPLANCHNIC_FRAC * flow, 1.0, 1.0);
    }
    return oxygen;
}

START_TEST(oxygen_of_a_healthy_adult_at_rest_is_textbook) {
    const Parameters parameters = model_parameters_standard();
    const OxygenState oxygen = settled(&parameters, HCT, 5.1);
    ck_assert_double_eq_tol(oxygen.sao2_frac, 0.97, 0.01);
    ck_assert_double_eq_tol(oxygen.svo2_frac, 0.74, 0.02);
    ck_assert_double_eq_tol(oxygen.ph, 7.40, 0.005);
    ck_assert_double_eq_tol(oxygen.paco2_mmhg, 40.0, 1e-9);
    ck_assert_double_gt(oxygen.pao2_mmhg, 80.0);
    ck_assert_double_eq_tol(oxygen.vo2_ml_min, 3.1 * 75.0, 1.0);
    ck_assert_double_eq_tol(model_oxygen_pvr_x(&oxygen, &parameters), 1.0, 0.005);
}
END_TEST

START_TEST(oxygen_after_settling_nothing_drifts) {
    const Parameters parameters = model_parameters_standard();
    const double flows[] = {5.1, 4.9, 3.5};
    for (int i = 0; i < 3; i++) {
        OxygenState oxygen = settled(&parameters, HCT, flows[i]);
        const OxygenState before = oxygen;
        run(&oxygen, &parameters, HCT, flows[i], 2.0 * 3600.0);
        ck_assert_double_eq_tol(oxygen.lactate_mmol_l, before.lactate_mmol_l, 1e-6);
        ck_assert_double_eq_tol(oxygen.svo2_frac, before.svo2_frac, 1e-6);
        ck_assert_double_eq_tol(oxygen.sao2_frac, before.sao2_frac, 1e-6);
        ck_assert_double_eq_tol(model_oxygen_pvr_x(&oxygen, &parameters),
                                model_oxygen_pvr_x(&before, &parameters), 1e-6);
    }
}
END_TEST

START_TEST(oxygen_tension_inverts_the_content) {
    for (double mmhg = 15.0; mmhg < 400.0; mmhg *= 1.3) {
        const double saturation = model_oxygen_saturation(mmhg, 7.3, 38.0);
        const double content = model_oxygen_content(11.0, saturation, mmhg);
        ck_assert_double_eq_tol(model_oxygen_tension(11.0, content, 7.3, 38.0), mmhg, 1e-6 * mmhg);
    }
}
END_TEST

/* Severinghaus 1979: acid and heat shift the curve to the right. */
START_TEST(oxygen_curve_shifts_right_with_acid_and_heat) {
    const double standard = model_oxygen_saturation(50.0, 7.4, 37.0);
    const double acid = model_oxygen_saturation(50.0, 7.2, 37.0);
    ck_assert_double_lt(acid, standard - 0.05);
    ck_assert_double_gt(acid, standard - 0.12);
    ck_assert_double_lt(model_oxygen_saturation(50.0, 7.4, 39.0), standard);
    ck_assert_double_gt(model_oxygen_saturation(50.0, 7.4, 34.0), standard);
}
END_TEST

/* Manthous, AJRCCM 1995: 39.4 to 37.0 degC lowers consumption by 18 %; so 37 to 39.4 raises it by 16 to 25 %.
 */
START_TEST(oxygen_demand_rises_with_fever) {
    Parameters parameters = model_parameters_standard();
    const double cool = settled(&parameters, HCT, 6.0).vo2_ml_min;
    parameters.temperature_c = 39.4;
    const double hot = settled(&parameters, HCT, 6.0).vo2_ml_min;
    ck_assert_double_gt(hot / cool, 1.16);
    ck_assert_double_lt(hot / cool, 1.25);
}
END_TEST

/* Guffin, J Cardiothorac Anesth 1987: VO2 +105 %, delivery +20 %, SvO2 74 to 57 %. */
START_TEST(oxygen_shivering_halves_the_venous_reserve) {
    Parameters parameters = model_parameters_standard();
    parameters.sedation_frac = 0.5;
    OxygenState oxygen = settled(&parameters, 0.36, 5.0);
    const double before = oxygen.svo2_frac, vo2 = oxygen.vo2_ml_min;
    parameters.shivering_frac = 1.0;
    run(&oxygen, &parameters, 0.36, 6.0, 300.0);
    ck_assert_double_ge(oxygen.vo2_ml_min / vo2, 1.8);
    ck_assert_double_le(oxygen.vo2_ml_min / vo2, 2.1);
    ck_assert_double_gt(before - oxygen.svo2_frac, 0.12);
    ck_assert_double_lt(before - oxygen.svo2_frac, 0.25);
}
END_TEST

START_TEST(oxygen_consumption_becomes_supply_dependent_at_very_low_delivery) {
    const Parameters parameters = model_parameters_standard();
    OxygenState oxygen = settled(&parameters, 0.30, 4.9);
    run(&oxygen, &parameters, 0.30, 1.5, 900.0);
    ck_assert_double_lt(oxygen.vo2_ml_min, 0.66 * oxygen.do2_ml_min);
    ck_assert_double_lt(oxygen.vo2_ml_min, 0.6 * oxygen.demand_ml_min);
    ck_assert_double_ge(oxygen.svo2_frac, 0.0);
}
END_TEST

/* Delivery 200 mL/min/m2 (about 380 mL/min at 1.9 m2): lactate +1 mmol/L or more in 30-60 min. */
START_TEST(oxygen_debt_raises_lactate_within_the_hour) {
    const Parameters parameters = model_parameters_standard();
    OxygenState oxygen = settled(&parameters, 0.30, 4.9);
    const double before = oxygen.lactate_mmol_l;
    run(&oxygen, &parameters, 0.30, 2.85, 3600.0);
    ck_assert_double_eq_tol(oxygen.do2_ml_min, 380.0, 25.0);
    ck_assert_double_gt(oxygen.lactate_mmol_l - before, 1.0);
    ck_assert_double_lt(oxygen.lactate_mmol_l - before, 5.0);
}
END_TEST

/* Revelly, Crit Care Med 2005;33:2235 (clearance 9.6-12 mL/kg/min in 0.4-0.5 L/kg): 6 mmol/L falls to 3.0-3.8
   in 30 min and 1.3-1.9 in 90 min when production is normal. */
START_TEST(oxygen_lactate_clears_when_the_cause_is_gone) {
    const Parameters parameters = model_parameters_standard();
    OxygenState oxygen = settled(&parameters, HCT, 5.1);
    oxygen.lactate_mmol_l = 6.0;
    run(&oxygen, &parameters, HCT, 5.1, 1800.0);
    ck_assert_double_ge(oxygen.lactate_mmol_l, 3.0);
    ck_assert_double_le(oxygen.lactate_mmol_l, 3.8);
    run(&oxygen, &parameters, HCT, 5.1, 3600.0);
    ck_assert_double_ge(oxygen.lactate_mmol_l, 1.3);
    ck_assert_double_le(oxygen.lactate_mmol_l, 1.9);
}
END_TEST

START_TEST(oxygen_low_splanchnic_flow_alone_raises_lactate_slowly) {
    const Parameters parameters = model_parameters_standard();
    OxygenState oxygen = settled(&parameters, HCT, 5.1);
    const double flow = 5.1 * ML_S_PER_L_MIN;
    for (int s = 0; s < 4 * 3600; s++) {
        model_oxygen_advance(&oxygen, &parameters, HCT, flow, 0.5 * SPLANCHNIC_FRAC * flow, 1.0, 1.0);
    }
    ck_assert_double_gt(oxygen.lactate_mmol_l, 1.4);
    ck_assert_double_lt(oxygen.lactate_mmol_l, 2.0);
}
END_TEST

/* Viitanen, Anesthesiology 1990;73:393: PaCO2 38 to 50 mmHg, pulmonary resistance +54 %; 38 to 33 no change.
 */
START_TEST(oxygen_hypercapnia_narrows_the_lung_and_hypocapnia_does_not_open_it) {
    Parameters parameters = model_parameters_standard();
    parameters.fio2_frac = 0.5;
    double pvr_x[3];
    const double paco2[] = {33.0, 38.0, 50.0};
    for (int i = 0; i < 3; i++) {
        parameters.alveolar_ventilation_x = 40.0 / paco2[i];
        const OxygenState oxygen = settled(&parameters, 0.36, 5.0);
        ck_assert_double_eq_tol(oxygen.paco2_mmhg, paco2[i], 1e-9);
        pvr_x[i] = model_oxygen_pvr_x(&oxygen, &parameters);
    }
    ck_assert_double_ge(pvr_x[2] / pvr_x[1], 1.35);
    ck_assert_double_le(pvr_x[2] / pvr_x[1], 1.60);
    ck_assert_double_eq_tol(pvr_x[0] / pvr_x[1], 1.0, 0.08);
}
END_TEST

/* Fullerton, J Thorac Cardiovasc Surg 1993: the effect is the hydrogen ion's; about +25..30 % per -0.1
 * (design reading). */
START_TEST(oxygen_metabolic_acid_narrows_the_lung) {
    Parameters parameters = model_parameters_standard();
    parameters.base_excess_mmol_l = -5.5;
    OxygenState oxygen = settled(&parameters, HCT, 5.1);
    ck_assert_double_eq_tol(oxygen.ph, 7.29, 0.02);
    ck_assert_double_gt(model_oxygen_pvr_x(&oxygen, &parameters), 1.20);
    ck_assert_double_lt(model_oxygen_pvr_x(&oxygen, &parameters), 1.40);
}
END_TEST

/* Oxford, 1997: end-tidal oxygen 50 mmHg: +44 % at 30 min, +137 % at 2 h. Bands of T52. */
START_TEST(oxygen_hypoxia_narrows_the_lung_in_two_steps) {
    Parameters parameters = model_parameters_standard();
    parameters.shunt_frac = 0.0;
    OxygenState oxygen = settled(&parameters, HCT, 5.1);
    const double before = model_oxygen_pvr_x(&oxygen, &parameters);
    parameters.fio2_frac = (50.0 + 40.0 / 0.8) / 713.0; /* alveolar 50 mmHg at a carbon dioxide of 40 */
    run(&oxygen, &parameters, HCT, 5.5, 1800.0);
    const double half_hour = model_oxygen_pvr_x(&oxygen, &parameters) / before;
    ck_assert_double_ge(half_hour, 1.35);
    ck_assert_double_le(half_hour, 1.55);
    run(&oxygen, &parameters, HCT, 5.5, 5400.0);
    const double two_hours = model_oxygen_pvr_x(&oxygen, &parameters) / before;
    ck_assert_double_ge(two_hours, 2.00);
    ck_assert_double_le(two_hours, 2.60);
}
END_TEST

START_TEST(oxygen_shunt_lowers_saturation_most_when_venous_blood_is_poor) {
    Parameters parameters = model_parameters_standard();
    parameters.shunt_frac = 0.25;
    const double good = settled(&parameters, 0.36, 5.5).sao2_frac;
    const double poor = settled(&parameters, 0.36, 3.0).sao2_frac;
    ck_assert_double_lt(poor, good);
    parameters.fio2_frac = 1.0;
    ck_assert_double_gt(settled(&parameters, 0.36, 5.5).sao2_frac, good);
}
END_TEST

START_TEST(oxygen_in_an_arrest_stays_finite) {
    const Parameters parameters = model_parameters_standard();
    OxygenState oxygen = settled(&parameters, HCT, 5.1);
    run(&oxygen, &parameters, HCT, 0.0, 1800.0);
    ck_assert(isfinite(oxygen.svo2_frac) && isfinite(oxygen.lactate_mmol_l) && isfinite(oxygen.ph));
    ck_assert_double_ge(oxygen.svo2_frac, 0.0);
    ck_assert_double_gt(oxygen.lactate_mmol_l, 4.0);
    ck_assert_double_gt(model_oxygen_pvr_x(&oxygen, &parameters), 1.0);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("oxygen");
    TCase *tests = tcase_create("oxygen");
    tcase_add_test(tests, oxygen_of_a_healthy_adult_at_rest_is_textbook);
    tcase_add_test(tests, oxygen_after_settling_nothing_drifts);
    tcase_add_test(tests, oxygen_tension_inverts_the_content);
    tcase_add_test(tests, oxygen_curve_shifts_right_with_acid_and_heat);
    tcase_add_test(tests, oxygen_demand_rises_with_fever);
    tcase_add_test(tests, oxygen_shivering_halves_the_venous_reserve);
    tcase_add_test(tests, oxygen_consumption_becomes_supply_dependent_at_very_low_delivery);
    tcase_add_test(tests, oxygen_debt_raises_lactate_within_the_hour);
    tcase_add_test(tests, oxygen_lactate_clears_when_the_cause_is_gone);
    tcase_add_test(tests, oxygen_low_splanchnic_flow_alone_raises_lactate_slowly);
    tcase_add_test(tests, oxygen_hypercapnia_narrows_the_lung_and_hypocapnia_does_not_open_it);
    tcase_add_test(tests, oxygen_metabolic_acid_narrows_the_lung);
    tcase_add_test(tests, oxygen_hypoxia_narrows_the_lung_in_two_steps);
    tcase_add_test(tests, oxygen_shunt_lowers_saturation_most_when_venous_blood_is_poor);
    tcase_add_test(tests, oxygen_in_an_arrest_stays_finite);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
