/* T rows of the published checks that a whole patient of this tree can be put through: each test names its
   row, its source and its band. Averages over a minute, as a bedside would read them. */
#include "tests/support/check_main.h"
#include "tests/support/closed_loop.h"

static const double MINUTE_S = 60.0;

/* T1, T2. Milrinone 50 mcg/kg in 10 min, then 0.5, chronic heart failure: CI +25 to +45 %, wedge -20 to -35
   %, MAP -2 to -13 %, rate 0 to +13 % (Anderson, J Am Coll Cardiol 1987); PVR -20 to -38 %, transpulmonary
   gradient within 2 mmHg (Givertz, J Am Coll Cardiol 1996;28:1775). Ten minutes after the end of the load. */
START_TEST(T1_milrinone_load_in_heart_failure) {
    const Parameters parameters = model_people_parameters(PERSON_DILATED_FAILURE);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables before = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, PARAMETER_milrinone_mcg_kg_min, 5.0);
    (void)closed_loop_run(patient, 10 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, PARAMETER_milrinone_mcg_kg_min, 0.5);
    const Observables after = closed_loop_run(patient, 8 * MINUTE_S, 5 * MINUTE_S);
    ck_assert_between(closed_loop_percent(before.systemic_flow_l_min, after.systemic_flow_l_min), 25.0, 45.0);
    ck_assert_between(closed_loop_percent(before.wedge_mmhg, after.wedge_mmhg), -35.0, -20.0);
    ck_assert_between(closed_loop_percent(before.art_mean_mmhg, after.art_mean_mmhg), -13.0, -2.0);
    ck_assert_between(closed_loop_percent(before.hr_per_min, after.hr_per_min), 0.0, 13.0);
    ck_assert_between(closed_loop_percent(before.pvr_wu, after.pvr_wu), -38.0, -20.0);
    const double gradient =
        (after.pa_mean_mmhg - after.wedge_mmhg) - (before.pa_mean_mmhg - before.wedge_mmhg);
    ck_assert_between(gradient, -2.0, 2.0);
    model_patient_destroy(patient);
}
END_TEST

/* T5. Dobutamine 10 in chronic heart failure: CI +45 to +85 %, MAP 0 to +8 %, rate +5 to +18 % (Akhtar, Am J
   Cardiol 1975;36:202; Monrad, Circulation 1986). */
START_TEST(T5_dobutamine_in_heart_failure) {
    const Parameters parameters = model_people_parameters(PERSON_DILATED_FAILURE);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables before = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, PARAMETER_dobutamine_mcg_kg_min, 10.0);
    const Observables after = closed_loop_run(patient, 15 * MINUTE_S, MINUTE_S);
    ck_assert_between(closed_loop_percent(before.systemic_flow_l_min, after.systemic_flow_l_min), 45.0, 85.0);
    ck_assert_between(closed_loop_percent(before.art_mean_mmhg, after.art_mean_mmhg), 0.0, 8.0);
    ck_assert_between(closed_loop_percent(before.hr_per_min, after.hr_per_min), 5.0, 18.0);
    ck_assert_between(closed_loop_percent(before.wedge_mmhg, after.wedge_mmhg), -25.0, -8.0);
    model_patient_destroy(patient);
}
END_TEST

/* T13. Norepinephrine to MAP +20 %: PVR at most +10 %, CVP 0 to +2 mmHg (human studies; Maas, Crit Care Med
 * 2013). */
START_TEST(T13_norepinephrine_raises_pressure_and_spares_the_lung) {
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables before = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    Observables after = before;
    double dose = 0.0;
    while (after.art_mean_mmhg < 1.2 * before.art_mean_mmhg && dose < 0.3) {
        dose += 0.02;
        closed_loop_set(patient, PARAMETER_norepinephrine_mcg_kg_min, dose);
        after = closed_loop_run(patient, 6 * MINUTE_S, MINUTE_S);
    }
    ck_assert_double_gt(after.art_mean_mmhg, 1.15 * before.art_mean_mmhg);
    ck_assert_double_le(closed_loop_percent(before.pvr_wu, after.pvr_wu), 10.0);
    ck_assert_between(after.cvp_mmhg - before.cvp_mmhg, 0.0, 2.0);
    model_patient_destroy(patient);
}
END_TEST

/* T14, T15. Vasopressin 0.1 U/min in vasoplegia on a pump: SVR +35 to +60 % and MAP +20 to +40 % within 20
   min, PVR within 5 %; half gone 10 min after stopping, gone by 25 (Argenziano, Circulation 1997;96 Suppl
   II-286; label). */
START_TEST(T14_T15_vasopressin_in_vasoplegia) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    parameters.systemic_resistance_x = 0.55;
    Patient *patient = closed_loop_settled(&parameters);
    const Observables before = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, PARAMETER_vasopressin_u_min, 0.1);
    const Observables after = closed_loop_run(patient, 20 * MINUTE_S, MINUTE_S);
    ck_assert_between(closed_loop_percent(before.svr_wu, after.svr_wu), 35.0, 60.0);
    ck_assert_between(closed_loop_percent(before.art_mean_mmhg, after.art_mean_mmhg), 20.0, 40.0);
    ck_assert_between(closed_loop_percent(before.pvr_wu, after.pvr_wu), -5.0, 5.0);
    closed_loop_set(patient, PARAMETER_vasopressin_u_min, 0.0);
    const Observables gone = closed_loop_run(patient, 25 * MINUTE_S, MINUTE_S);
    ck_assert_double_lt(gone.svr_wu - before.svr_wu, 0.15 * (after.svr_wu - before.svr_wu));
    model_patient_destroy(patient);
}
END_TEST

/* G13, T27. Nitric oxide 40 ppm, pump and right ventricular failure: PVR -25 to -45 % (Wagner, Circulation
   1997, PMID 9386113); more flow, and the left atrium rises when the pump cannot take all of it (Hare,
   Circulation 1997). */
START_TEST(T27_nitric_oxide_in_right_ventricular_failure) {
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_RV_FAILURE);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables before = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, PARAMETER_nitric_oxide_ppm, 40.0);
    const Observables after = closed_loop_run(patient, 15 * MINUTE_S, MINUTE_S);
    ck_assert_between(closed_loop_percent(before.pvr_wu, after.pvr_wu), -45.0, -25.0);
    ck_assert_double_gt(closed_loop_percent(before.systemic_flow_l_min, after.systemic_flow_l_min), 2.0);
    ck_assert_double_gt(after.la_mean_mmhg, before.la_mean_mmhg);
    ck_assert_double_lt(after.cvp_mmhg, before.cvp_mmhg);
    model_patient_destroy(patient);
}
END_TEST

/* T32. 500 mL of balanced fluid in 15 min: 60-75 % in the circulation at the end, 20-25 % half an hour later;
   CVP +2 to +4 at the peak; output back within 5 % by 60 min (Hahn 2020, doi 10.1111/aas.13533; Yanase 2021
   for the pressures). */
START_TEST(T32_crystalloid_bolus) {
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables before = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, PARAMETER_crystalloid_ml_min, 500.0 / 15.0);
    const Observables end = closed_loop_run(patient, 15 * MINUTE_S, 5.0);
    closed_loop_set(patient, PARAMETER_crystalloid_ml_min, 0.0);
    ck_assert_between((end.blood_volume_ml - before.blood_volume_ml) / 500.0, 0.60, 0.75);
    ck_assert_between(end.cvp_mmhg - before.cvp_mmhg, 2.0, 4.0);
    const Observables later = closed_loop_run(patient, 30 * MINUTE_S, 5.0);
    ck_assert_between((later.blood_volume_ml - before.blood_volume_ml) / 500.0, 0.20, 0.25);
    const Observables hour = closed_loop_run(patient, 30 * MINUTE_S, MINUTE_S);
    ck_assert_between(closed_loop_percent(before.systemic_flow_l_min, hour.systemic_flow_l_min), -5.0, 5.0);
    model_patient_destroy(patient);
}
END_TEST

/* Minutes after stopping until half of what `pick` had changed is gone. */
static double half_gone_min(ParameterId drug, double dose, ObservableId pick) {
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables none = closed_loop_run(patient, 2 * MINUTE_S, MINUTE_S);
    closed_loop_set(patient, drug, dose);
    const Observables full = closed_loop_run(patient, 25 * MINUTE_S, MINUTE_S);
    const double half = 0.5 * (model_observables_get(&none, pick) + model_observables_get(&full, pick));
    const double sign = model_observables_get(&full, pick) > half ? 1.0 : -1.0;
    closed_loop_set(patient, drug, 0.0);
    const double step_s = 15.0;
    double t_s = 0.0;
    while (t_s < 30 * MINUTE_S) {
        const Observables now = closed_loop_run(patient, step_s, step_s);
        t_s += step_s;
        if (sign * (model_observables_get(&now, pick) - half) < 0.0) break;
    }
    model_patient_destroy(patient);
    return (t_s - 0.5 * step_s) / MINUTE_S;
}

/* T61. Drip stopped: norepinephrine pressure half gone in 2-5 min, dobutamine output in 3-6 min (labels). */
START_TEST(T61_pressure_and_output_fall_when_drips_stop) {
    ck_assert_between(half_gone_min(PARAMETER_norepinephrine_mcg_kg_min, 0.05, OBSERVABLE_art_mean_mmhg), 2.0,
                      5.0);
    ck_assert_between(half_gone_min(PARAMETER_dobutamine_mcg_kg_min, 5.0, OBSERVABLE_systemic_flow_l_min),
                      3.0, 6.0);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("T");
    TCase *tests = tcase_create("T");
    tcase_add_test(tests, T1_milrinone_load_in_heart_failure);
    tcase_add_test(tests, T5_dobutamine_in_heart_failure);
    tcase_add_test(tests, T13_norepinephrine_raises_pressure_and_spares_the_lung);
    tcase_add_test(tests, T14_T15_vasopressin_in_vasoplegia);
    tcase_add_test(tests, T27_nitric_oxide_in_right_ventricular_failure);
    tcase_add_test(tests, T32_crystalloid_bolus);
    tcase_add_test(tests, T61_pressure_and_output_fall_when_drips_stop);
    tcase_set_timeout(tests, 300.0);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
