/* G1-G3, G6-G8, G10, G11, G18, G19, G22-G24 and C1-C4: what a change of pump speed does to supported
   patients. One model patient stands for a published mean; a step is 400 rpm (axial) or 100 rpm
   (centrifugal). */
#include "tests/support/haemodynamics.h"

#define URIEL  "Uriel, JACC Heart Fail 2016;4:208-17"
#define ADATYA "Adatya, JACC Heart Fail 2015;3:291-9"

static const double AXIAL_FROM_RPM = 8000, AXIAL_TO_RPM = 12000, AXIAL_STEP_RPM = 400;
static const double CENTRIFUGAL_FROM_RPM = 2100, CENTRIFUGAL_TO_RPM = 3200, CENTRIFUGAL_STEP_RPM = 100;

/* the ramp of the well supported patient with either pump, made once */
static RampResult axial, centrifugal, scratch;

static void make_ramps(void) {
    const Parameters a = haemo_parameters("supported_axial", NULL, 0);
    const Parameters c = haemo_parameters("supported_centrifugal", NULL, 0);
    haemo_ramp(&a, AXIAL_FROM_RPM, AXIAL_TO_RPM, AXIAL_STEP_RPM, &axial);
    haemo_ramp(&c, CENTRIFUGAL_FROM_RPM, CENTRIFUGAL_TO_RPM, CENTRIFUGAL_STEP_RPM, &centrifugal);
}

/* Change from the clinic speed (the second of the ramp; the fourth with the centrifugal pump) to the next. */
static double step_change(const RampResult *ramp, int at, ObservableId id) {
    return model_observables_get(&ramp->steps[at + 1].means, id) -
           model_observables_get(&ramp->steps[at].means, id);
}

/* Diameter slope in cm per 400 rpm. */
static double diameter_slope(const RampResult *ramp) {
    return sim_ramp_slope(ramp, OBSERVABLE_lv_edd_mm) * AXIAL_STEP_RPM / 10.0;
}

START_TEST(G1_G2_one_step) {
    published_begin("G1", "stable support, one step up from clinic speed", "S2",
                    URIEL "; ASAIO J 2016;62:442-6");
    published_between("axial, wedge mmHg", step_change(&axial, 1, OBSERVABLE_wedge_mmhg), -2.1, -0.4);
    published_between("centrifugal, wedge mmHg", step_change(&centrifugal, 2, OBSERVABLE_wedge_mmhg), -2.1,
                      -0.4);
    published_begin("G2", "stable support, one step up from clinic speed", "S", URIEL);
    published_between("axial, output L/min", step_change(&axial, 1, OBSERVABLE_systemic_flow_l_min), 0, 0.35);
    published_between("centrifugal, output L/min",
                      step_change(&centrifugal, 2, OBSERVABLE_systemic_flow_l_min), 0, 0.35);
}
END_TEST

START_TEST(G3_whole_ramp) {
    const Observables *first = haemo_ramp_first(&axial), *last = haemo_ramp_last(&axial);
    published_begin("G3", "axial ramp from 8,000 rpm until its stop rule", "S", URIEL);
    published_between("wedge mmHg", last->wedge_mmhg - first->wedge_mmhg, -16.4, -3.4);
    published_between("output L/min", last->systemic_flow_l_min - first->systemic_flow_l_min, 0, 2.7);
    published_between("CVP mmHg (no significant change)", last->cvp_mmhg - first->cvp_mmhg, -2, 2);
    published_between("suction or a small ventricle ends it", axial.stopped ? 1 : 0, 1, 1);
    first = haemo_ramp_first(&centrifugal), last = haemo_ramp_last(&centrifugal);
    published_begin("G3", "centrifugal ramp from 2,100 rpm until its stop rule", "S", URIEL);
    published_between("wedge mmHg", last->wedge_mmhg - first->wedge_mmhg, -16.4, -3.4);
    published_between("output L/min", last->systemic_flow_l_min - first->systemic_flow_l_min, 0, 2.7);
    published_between("CVP mmHg (no significant change)", last->cvp_mmhg - first->cvp_mmhg, -2, 2);
}
END_TEST

/* Slope of a ramp of the supported patient with one thing changed. */
static double slope_with(ParameterId id, double value) {
    const HaemoSet set = {id, value};
    const Parameters parameters = haemo_parameters("supported_axial", &set, 1);
    haemo_ramp(&parameters, AXIAL_FROM_RPM, AXIAL_TO_RPM, AXIAL_STEP_RPM, &scratch);
    return diameter_slope(&scratch);
}

START_TEST(G6_G8_diameter_slopes) {
    const double plain = diameter_slope(&axial);
    published_begin("G6", "axial ramp: diameter slope, cm per 400 rpm", "S", ADATYA);
    published_between("no fault, MAP below 85 at clinic speed", plain, -0.36, -0.14);
    published_begin("G7", "axial ramp with an obstruction: diameter slope, cm per 400 rpm", "S2",
                    "Uriel, J Am Coll Cardiol 2012;60:1764-75; " ADATYA);
    published_between("rotor thrombus", slope_with(PARAMETER_left_pump_thrombus_frac, 1.0), -0.16, INFINITY);
    published_between("inlet obstruction, 0.8 mmHg s/mL",
                      slope_with(PARAMETER_left_pump_inlet_r_mmhg_s_ml, 0.8), -0.16, INFINITY);
    published_between("kinked graft, 0.8 mmHg s/mL", slope_with(PARAMETER_left_pump_graft_r_mmhg_s_ml, 0.8),
                      -0.16, INFINITY);
    published_begin("G8", "axial ramp: loss of the diameter slope of G6, %", "S", ADATYA);
    const double leak = slope_with(PARAMETER_aortic_leak_cm2, 0.1);
    published_known(
        "moderate aortic regurgitation (0.1 cm2)", 100.0 * (1.0 - leak / plain), 25, 50,
        "the regurgitant ventricle is flatter, but less so: the published mean (-0.14 +- 0.17) has "
        "rounder ventricles among it; a ventricle that remodels would be needed");
    const double tight = slope_with(PARAMETER_systemic_resistance_x, 1.3);
    published_known(
        "MAP of 85 or more (resistance x 1.3)", 100.0 * (1.0 - tight / plain), 25, 50,
        "the curves of the generic pump are parallel, so its flow gains as much with speed against "
        "a high pressure; curves that flatten toward shut-off would be needed");
}
END_TEST

START_TEST(G10_tilt) {
    Patient *patient = haemo_person("supported_centrifugal", NULL, 0);
    const Observables flat = haemo_run(patient, 60.0);
    /* upright, about half a litre pools below the heart (physiology textbooks, from memory) */
    haemo_add(patient, PARAMETER_other_vu_ml, 500.0);
    const Observables up = haemo_run(patient, 180.0);
    published_begin("G10", "valve shut, head-up tilt (500 mL pool in the veins)", "S",
                    "conference abstract, 9 patients with a centrifugal pump");
    published_between("valve opening before", flat.aortic_valve_open_frac, 0, 0.05);
    published_known("pump flow, %", closed_loop_percent(flat.pump_flow_l_min, up.pump_flow_l_min), -14, -7,
                    "a steady pump meets less afterload as filling falls, so its flow falls late; the "
                    "hydrostatic columns of an upright body are not modelled");
    model_patient_destroy(patient);
}
END_TEST

START_TEST(G11_nitrate_at_high_pressure) {
    const HaemoSet tight = HAEMO_SET(systemic_resistance_x, 1.4);
    Patient *patient = haemo_person("supported_axial", &tight, 1);
    const Observables before = haemo_run(patient, 60.0);
    /* a vasodilator drip is raised until MAP has come to about 80 */
    Observables after = before;
    for (double dose = 0.25; dose <= 6.0 && after.art_mean_mmhg > 80.5; dose += 0.25) {
        closed_loop_set(patient, PARAMETER_nitroprusside_mcg_kg_min, dose);
        after = haemo_run(patient, 300.0);
    }
    published_begin("G11", "MAP above 90 at fixed speed, vasodilator to MAP about 80", "S",
                    "Rosenbaum, ASAIO J 2021;67:32-8");
    published_between("MAP before, mmHg", before.art_mean_mmhg, 90, 110);
    published_between("cardiac index, %",
                      closed_loop_percent(before.cardiac_index_l_min_m2, after.cardiac_index_l_min_m2), 10,
                      30);
    published_between("CVP, mmHg (falls)", after.cvp_mmhg - before.cvp_mmhg, -INFINITY, -0.1);
    published_between("wedge, mmHg (falls)", after.wedge_mmhg - before.wedge_mmhg, -INFINITY, -0.1);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(G18_right_ventricle_against_speed) {
    const Observables *first = haemo_ramp_first(&axial), *last = haemo_ramp_last(&axial);
    published_begin("G18", "right ventricle from the lowest to the highest speed", "S",
                    "pressure-volume loops, conference abstract 2019, n = 8");
    published_between("elastance, %", closed_loop_percent(first->rv_ees_mmhg_ml, last->rv_ees_mmhg_ml), -10,
                      10);
    published_between("end-diastolic pressure, mmHg", last->rv_edp_mmhg - first->rv_edp_mmhg, -2, 2);
}
END_TEST

START_TEST(G19_flow_against_speed) {
    const Parameters parameters = haemo_parameters("supported_centrifugal", NULL, 0);
    const double middle_rpm = parameters.left_pump_speed_rpm;
    haemo_ramp(&parameters, 0.89 * middle_rpm, 1.121 * middle_rpm, 0.115 * middle_rpm, &scratch);
    ck_assert_int_eq(scratch.count, 3);
    const double low = scratch.steps[0].means.pump_flow_l_min;
    const double mid = scratch.steps[1].means.pump_flow_l_min;
    const double high = scratch.steps[2].means.pump_flow_l_min;
    published_begin("G19", "centrifugal pump, speed -11 % and +12 %", "S", "Hayward, ASAIO J 2011");
    published_between("pump flow, L/min per 100 rpm",
                      100.0 * sim_ramp_slope(&scratch, OBSERVABLE_pump_flow_l_min), 0.2, 0.45);
    published_between("r2 of the line", haemo_ramp_r2(&scratch, OBSERVABLE_pump_flow_l_min), 0.85, 1);
    published_begin("G19", "centrifugal pump, pump flow as speed falls and rises (published -16, +13)", "R",
                    "Hayward, ASAIO J 2011; bands of a third ours");
    published_between("speed -11 %, flow %", closed_loop_percent(mid, low), -22, -11);
    published_between("speed +12 %, flow %", closed_loop_percent(mid, high), 8.5, 18);
}
END_TEST

START_TEST(G22_aortic_valve) {
    Patient *patient = haemo_person("supported_centrifugal", NULL, 0);
    int opened = 0;
    double longest_s = 0;
    for (int i = 0; i < 100; i++) {
        Error error;
        ck_assert(model_patient_advance(patient, &closed_loop_beat, &error) == ERROR_OK);
        opened += closed_loop_beat.observables.aortic_valve_open_s > 0;
        longest_s = fmax(longest_s, closed_loop_beat.observables.aortic_valve_open_s);
    }
    model_patient_destroy(patient);
    double rise = 0;
    for (int i = 1; i < axial.count; i++)
        rise = fmax(rise, step_change(&axial, i - 1, OBSERVABLE_aortic_valve_open_frac));
    published_begin("G22", "aortic valve over 100 beats at clinic speed, severe failure", "S",
                    "Artif Organs 2018, PMID 30375659");
    published_between("opens in % of beats", opened, 0, 60);
    published_between("longest opening, ms", 1000.0 * longest_s, 0, 280);
    published_between("largest rise of the share with speed", rise, 0, 0);
}
END_TEST

/* Diastolic PA minus wedge once speed has brought the wedge to 8 mmHg. */
static double gap_at_wedge_8(const Parameters *parameters) {
    haemo_ramp(parameters, 7600, AXIAL_TO_RPM, AXIAL_STEP_RPM, &scratch);
    int at = 0;
    while (at + 1 < scratch.count && scratch.steps[at].means.wedge_mmhg > 8.0)
        at++;
    return scratch.steps[at].means.pa_dia_mmhg - scratch.steps[at].means.wedge_mmhg;
}

START_TEST(G23_diastolic_gap) {
    const Parameters usual = haemo_parameters("supported_axial", NULL, 0);
    const Parameters high = haemo_parameters("supported_high_pvr", NULL, 0);
    published_begin("G23", "speed raised until the wedge is 8 mmHg: diastolic PA minus wedge, mmHg", "S2",
                    "Imamura, Circ Heart Fail 2017; J Am Heart Assoc 2020, doi 10.1161/jaha.119.014801");
    published_between("pulmonary resistance normal", gap_at_wedge_8(&usual), -INFINITY, 5);
    published_between("pulmonary resistance 4 WU", gap_at_wedge_8(&high), 5, INFINITY);
}
END_TEST

START_TEST(G24_partial_support) {
    /* a ventricle that still ejects beside the pump, at the lower end of the speeds */
    const HaemoSet sets[] = {HAEMO_SET(lv_ees_mmhg_ml, 1.0), HAEMO_SET(left_pump_speed_rpm, 2200)};
    Patient *patient = haemo_person("supported_centrifugal", sets, 2);
    const Observables o = haemo_run(patient, 60.0);
    published_begin("G24", "partial support: output above the pump flow", "S",
                    "conference abstract, 69 patients, mean 1.15 L/min");
    published_between("output minus true pump flow, L/min", o.systemic_flow_l_min - o.pump_flow_l_min, 0.5,
                      2);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(C1_C4_common_practice) {
    const HaemoSet modest = HAEMO_SET(left_pump_speed_rpm, 9000);
    Patient *patient = haemo_person("supported_axial", &modest, 1);
    const Observables before = haemo_run(patient, 60.0);
    haemo_scale(patient, PARAMETER_left_pump_speed_rpm, 1.02);
    const Observables after = haemo_run(patient, 120.0);
    model_patient_destroy(patient);
    published_begin("C1", "axial pump 2 % faster", "CP", "common practice, no source");
    published_between("MAP, mmHg", after.art_mean_mmhg - before.art_mean_mmhg, 2, 6);
    published_between("CVP, mmHg", after.cvp_mmhg - before.cvp_mmhg, -1, 1);
    published_between("mitral regurgitant fraction, points", 100.0 * (after.mr_frac - before.mr_frac),
                      -INFINITY, 0);
    const HaemoSet slow = HAEMO_SET(left_pump_speed_rpm, 7600);
    patient = haemo_person("supported_axial", &slow, 1);
    published_begin("C2", "aortic valve opens in every beat at a modest speed and shuts as speed rises", "CP",
                    "common practice, no source");
    published_between("share of beats at 7,600 rpm", haemo_run(patient, 60.0).aortic_valve_open_frac, 0.99,
                      1);
    published_between("share of beats at 9,200 rpm", axial.steps[3].means.aortic_valve_open_frac, 0, 0.01);
    model_patient_destroy(patient);
    int flat = 0;
    for (int i = 1; i < axial.count; i++)
        if (fabs(axial.steps[i].means.septum_mm) < fabs(axial.steps[flat].means.septum_mm)) flat = i;
    published_begin("C3", "septum in the middle goes with balanced filling of both sides", "CP",
                    "common practice, no source; band ours");
    published_between("wedge minus CVP where the septum is flattest, mmHg",
                      axial.steps[flat].means.wedge_gap_mmhg, -4, 4);
    published_begin("C4", "laminar flow in the inflow cannula", "CP", "common practice; below 150 cm/s");
    const double area_share = axial.steps[1].means.pump_flow_max_l_min / axial.steps[1].means.pump_flow_l_min;
    published_between("peak velocity at clinic speed, cm/s",
                      axial.steps[1].means.inflow_velocity_cm_s * area_share, 0, 150);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("G1-G24 speed");
    TCase *c = tcase_create("rows");
    tcase_set_timeout(c, 600);
    tcase_add_unchecked_fixture(c, make_ramps, NULL);
    tcase_add_test(c, G1_G2_one_step);
    tcase_add_test(c, G3_whole_ramp);
    tcase_add_test(c, G6_G8_diameter_slopes);
    tcase_add_test(c, G10_tilt);
    tcase_add_test(c, G11_nitrate_at_high_pressure);
    tcase_add_test(c, G18_right_ventricle_against_speed);
    tcase_add_test(c, G19_flow_against_speed);
    tcase_add_test(c, G22_aortic_valve);
    tcase_add_test(c, G23_diastolic_gap);
    tcase_add_test(c, G24_partial_support);
    tcase_add_test(c, C1_C4_common_practice);
    suite_add_tcase(s, c);
    return s;
}

PUBLISHED_MAIN(suite)
