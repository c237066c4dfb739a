/* T41 to T49: oxygen demand and supply, anaemia, lactate, urine. */
#include "model/kidney.h"
#include "model/oxygen.h"
#include "tests/support/published.h"
#include "tests/support/treatment.h"

static const double ML_S_PER_L_MIN = 1000.0 / 60.0;

START_TEST(T41) {
    Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    parameters.temperature_c = 35.0; /* as they arrive: cold, deep, VO2 158 mL/min */
    parameters.sedation_frac = 0.8;
    Treatment po = treatment_start_as(&parameters);
    const Observables after = treatment_give(&po, PARAMETER_shivering_frac, 1.0, 5.0);
    published_begin("T41", "after surgery: shivering, at 5 min", "C", "Guffin, J Cardiothorac Anesth 1987");
    published_between("oxygen consumption, %", treatment_percent(po, after, vo2_ml_min), 80, 110);
    published_known(
        "SvO2, points", 100.0 * treatment_change(po, after, svo2_frac), -20, -12,
        "2 points too far: on oxygen the arterial content falls too when poorer venous blood passes "
        "the shunt; a smaller shunt or a higher haematocrit of this population would meet it");
    published_between("output, % (+20 in the study)", treatment_percent(po, after, systemic_flow_l_min), 15,
                      25);
    treatment_end(&po);
}
END_TEST

START_TEST(T42) {
    Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    Treatment po = treatment_start_as(&parameters);
    const Observables after = treatment_give(&po, PARAMETER_temperature_c, 39.4, 30.0);
    published_begin("T42", "after surgery: fever of 39.4 degC", "C", "Manthous, AJRCCM 1995");
    published_between("oxygen consumption, %", treatment_percent(po, after, vo2_ml_min), 16, 25);
    treatment_end(&po);
}
END_TEST

/* Blood against albumin until the haemoglobin has fallen from 12 to 7; means at the end, and after ten
   minutes of exchange. */
static void exchange_to_seven(Parameters parameters, double ml_min, double *rate_first, double *rate_end) {
    static const double HB_START = 12.0, HB_END = 7.0, HB_PER_HCT = 33.5;
    parameters.hct_start_frac = HB_START / HB_PER_HCT;
    parameters.drain_patency_frac = 1.0;
    Treatment person = treatment_start_as(&parameters);
    closed_loop_set(person.patient, PARAMETER_bleed_hidden_ml_h, 30.0 * ml_min);
    closed_loop_set(person.patient, PARAMETER_bleed_drain_ml_h, 30.0 * ml_min);
    closed_loop_set(person.patient, PARAMETER_colloid_ml_min, ml_min);
    Observables now = person.before;
    for (int minute = 1; minute <= 60 && now.hb_g_dl > HB_END; minute++) {
        now = treatment_wait(&person, 1.0);
        if (minute == 10) *rate_first = treatment_change(person, now, hr_per_min);
    }
    closed_loop_set(person.patient, PARAMETER_bleed_hidden_ml_h, 0.0);
    closed_loop_set(person.patient, PARAMETER_bleed_drain_ml_h, 0.0);
    now = treatment_give(&person, PARAMETER_colloid_ml_min, 0.0, 10.0);
    *rate_end = treatment_change(person, now, hr_per_min);
    treatment_end(&person);
}

START_TEST(T43) {
    double first = 0.0, end = 0.0;
    exchange_to_seven(populations_parameters(POPULATION_VOLUNTEER), 120.0, &first, &end);
    published_begin("T43", "isovolaemic haemodilution from Hb 12 to 7", "C",
                    "Transfusion 2003;43:235; JAMA 1998");
    published_between("innervated: rate, 1/min", end, 16, 24);
    exchange_to_seven(populations_parameters(POPULATION_TRANSPLANT), 200.0, &first, &end);
    published_begin("T43", "the same in a denervated graft", "D", "no nerves; adrenal catecholamines only");
    published_between("rate in the first 10 min, 1/min", first, 0, 5);
}
END_TEST

/* Oxygen organ alone at a delivery per m2: flow (L/min) chosen at a fixed haemoglobin. */
static OxygenState at_delivery(const Parameters *parameters, double hct, double l_min, double minutes) {
    OxygenState oxygen;
    model_oxygen_start(&oxygen, parameters, hct);
    for (int s = 0; s < (int)(minutes * 60.0); s++)
        model_oxygen_advance(&oxygen, parameters, hct, l_min * ML_S_PER_L_MIN, 0.28 * l_min * ML_S_PER_L_MIN,
                             1.0, 1.0);
    return oxygen;
}

START_TEST(T44) {
    Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    const double surface_m2 = 1.91;               /* 75 kg, 175 cm */
    parameters.oxygen_extraction_max_frac = 0.38; /* anaesthetised and after bypass: VO2 = 0.36 DO2 - 11 */
    const OxygenState high = at_delivery(&parameters, 0.30, 500.0 * surface_m2 / 136.0, 30.0);
    const OxygenState low = at_delivery(&parameters, 0.30, 200.0 * surface_m2 / 136.0, 45.0);
    const OxygenState lower = at_delivery(&parameters, 0.30, 150.0 * surface_m2 / 136.0, 45.0);
    const double slope = (low.vo2_ml_min - lower.vo2_ml_min) / (low.do2_ml_min - lower.do2_ml_min);
    published_begin("T44", "anaesthetised or after bypass: falling delivery", "C",
                    "Shibutani 1983, Komatsu 1987, Lieberman, Anesthesiology 2000;92:407");
    published_between("consumption at 200 mL/min/m2 against that at 500, %",
                      100.0 * (low.vo2_ml_min / high.vo2_ml_min - 1.0), -60, -20);
    published_between("consumption lost per mL of delivery lost (0.36)", slope, 0.3, 0.42);
    published_between("lactate after 45 min at 200, mmol/L more", low.lactate_mmol_l - high.lactate_mmol_l, 1,
                      INFINITY);
}
END_TEST

/* Lactate `minutes` after production has become normal, from 6 mmol/L. */
static double lactate_after(double decline_min, double minutes) {
    Parameters parameters = model_parameters_standard();
    parameters.lactate_decline_min = decline_min;
    OxygenState oxygen;
    const double hct = 0.30;
    model_oxygen_start(&oxygen, &parameters, hct);
    oxygen.lactate_mmol_l = 6.0;
    if (decline_min > 0.0) {
        /* production that holds 6 mmol/L */
        const double clearance = 12.0e-3 * parameters.weight_kg / (1.0 + 6.0 / 20.0);
        const double resting = 12.0e-3 * parameters.weight_kg / (1.0 + 1.0 / 20.0);
        oxygen.overproduction_mmol_min = 6.0 * clearance - resting;
    }
    for (int s = 0; s < (int)(minutes * 60.0); s++)
        model_oxygen_advance(&oxygen, &parameters, hct, 6.0 * ML_S_PER_L_MIN, oxygen.splanchnic_rest_ml_s,
                             1.0, 1.0);
    return oxygen.lactate_mmol_l;
}

START_TEST(T45) {
    const double within_an_hour = model_parameters_standard().lactate_decline_min; /* 95 % gone */
    published_begin("T45", "lactate 6, production normal at once", "D",
                    "clearance of Revelly, Crit Care Med 2005");
    published_between("at 30 min, mmol/L", lactate_after(0.0, 30.0), 3.0, 3.8);
    published_between("at 90 min, mmol/L", lactate_after(0.0, 90.0), 1.3, 1.9);
    published_begin("T45", "lactate 6, production decaying over 1 h", "D", "clearance of Revelly 2005");
    published_between("at 30 min, mmol/L", lactate_after(within_an_hour, 30.0), 3.8, 4.8);
    published_between("at 90 min, mmol/L", lactate_after(within_an_hour, 90.0), 2.0, 3.2);
}
END_TEST

/* Minutes of poor perfusion until the first stage is reached, kidney alone. */
static double stage_after_h(const Parameters *parameters) {
    KidneyState kidney;
    model_kidney_start(&kidney, parameters);
    double hours = 0.0;
    while (hours < 24.0 && model_kidney_stage(&kidney) < 1) {
        (void)model_kidney_advance(&kidney, parameters, 50.0, 18.0, 5.0, 1.15 * parameters->weight_kg, 1.0,
                                   1.0, 10.0);
        hours += 10.0 / 3600.0;
    }
    return hours;
}

START_TEST(T46) {
    const Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    const double flow_ml_s = 1.15 * parameters.weight_kg;
    const double usual = model_kidney_target(&parameters, 70.0, 5.0, flow_ml_s, 1.0);
    const double poor = model_kidney_target(&parameters, 50.0 - 18.0, 18.0, flow_ml_s, 1.0);
    published_begin("T46", "MAP 50, CVP 18", "C", "KDIGO 2012");
    published_between("urine over the usual", poor / usual, -INFINITY, 0.3);
    published_between("first stage of kidney injury after, h", stage_after_h(&parameters), 6, 9);
}
END_TEST

/* Urine, mL/h, an hour after MAP has changed from one level to another at CVP 8, kidney alone. */
static double urine_after(const Parameters *parameters, double from_mmhg, double to_mmhg) {
    KidneyState kidney;
    const double flow_ml_s = 1.15 * parameters->weight_kg;
    model_kidney_start(&kidney, parameters);
    for (int s = 0; s < 4 * 3600; s++)
        (void)model_kidney_advance(&kidney, parameters, from_mmhg, 8.0, 5.0, flow_ml_s, 1.0, 1.0, 1.0);
    for (int s = 0; s < 45 * 60; s++)
        (void)model_kidney_advance(&kidney, parameters, to_mmhg, 8.0, 5.0, flow_ml_s, 1.0, 1.0, 1.0);
    return 3600.0 * kidney.urine_ml_s;
}

START_TEST(T47) {
    const Parameters parameters = populations_parameters(POPULATION_POST_OPERATIVE);
    published_begin("T47", "MAP raised at CVP 8, urine 45 min later", "C",
                    "Crit Care Explor 2024;6:e1141; Redfors, Crit Care Med 2011");
    published_between(
        "55 to 75: urine, %",
        closed_loop_percent(urine_after(&parameters, 55.0, 55.0), urine_after(&parameters, 55.0, 75.0)), 50,
        INFINITY);
    published_between(
        "75 to 95: urine, %",
        closed_loop_percent(urine_after(&parameters, 75.0, 75.0), urine_after(&parameters, 75.0, 95.0)),
        -INFINITY, 15);
}
END_TEST

START_TEST(T49) {
    Treatment tx = treatment_start(POPULATION_TRANSPLANT);
    const Observables after = treatment_give(&tx, PARAMETER_calcineurin_inhibitor_frac, 1.0, 90.0);
    Treatment without = treatment_start(POPULATION_TRANSPLANT);
    const Observables same = treatment_wait(&without, 90.0);
    published_begin("T49", "graft: calcineurin inhibitor, at 90 min, against none", "C",
                    "Transplantation 2004;77:1457");
    published_between("urine, %", closed_loop_percent(same.urine_ml_h, after.urine_ml_h), -45, -25);
    published_between("MAP, %", closed_loop_percent(same.art_mean_mmhg, after.art_mean_mmhg), -3, 3);
    published_between("CVP, %", closed_loop_percent(same.cvp_mmhg, after.cvp_mmhg), -3, 3);
    published_between("output, %", closed_loop_percent(same.systemic_flow_l_min, after.systemic_flow_l_min),
                      -3, 3);
    treatment_end(&tx);
    treatment_end(&without);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("T41-T49");
    TCase *tests = tcase_create("oxygen and kidney");
    tcase_set_timeout(tests, 300.0);
    tcase_add_test(tests, T41);
    tcase_add_test(tests, T42);
    tcase_add_test(tests, T43);
    tcase_add_test(tests, T44);
    tcase_add_test(tests, T45);
    tcase_add_test(tests, T46);
    tcase_add_test(tests, T47);
    tcase_add_test(tests, T49);
    suite_add_tcase(made, tests);
    return made;
}

PUBLISHED_MAIN(suite)
