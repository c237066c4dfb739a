/* G49-G53, G55, G56: suction, a stopped pump, bleeding: animal experiments. */
#include "tests/support/haemodynamics.h"

#define SUCTION_SHEEP "sheep, Artif Organs 2007, suction due to left ventricular assist"
#define STOP_SHEEP    "sheep, Artif Organs 2000;24:893-8"

/* the animals' pump: a diagonal rotor outside the body, with a wider passage when it stands still */
#define WIDE_ROTOR HAEMO_SET(left_pump_stop_k_mmhg_min2_l2, 2.2)

/* Shuts the pulmonary artery as far as the table goes and takes the right ventricle's strength. */
static void shut_pulmonary_artery(Patient *patient) {
    closed_loop_set(patient, PARAMETER_pulmonary_resistance_x, 8);
    closed_loop_set(patient, PARAMETER_pa_r_mmhg_s_ml, 0.3);
    closed_loop_set(patient, PARAMETER_rv_ees_mmhg_ml, 0.02);
}

START_TEST(G49_pulmonary_artery_shut) {
    const HaemoSet sets[] = {HAEMO_SET(left_pump_speed_rpm, 8400), HAEMO_SET(lv_ees_mmhg_ml, 0.9)};
    Patient *patient = haemo_person("supported_axial", sets, 2);
    const Observables before = haemo_run(patient, 30.0);
    static Snapshot open;
    model_patient_save(patient, &open);
    shut_pulmonary_artery(patient);
    double lowest = INFINITY, artery = INFINITY;
    Error error;
    int beats = 0;
    for (const double end_s = model_patient_time_s(patient) + 20.0; model_patient_time_s(patient) < end_s;) {
        ck_assert(model_patient_advance(patient, &closed_loop_beat, &error) == ERROR_OK);
        if (++beats <= 10)
            for (int i = 0; i < closed_loop_beat.ticks; i++)
                lowest = fmin(lowest, closed_loop_beat.samples[i].lv_mmhg);
        artery = fmin(artery, closed_loop_beat.observables.art_mean_mmhg);
    }
    closed_loop_set(patient, PARAMETER_pulmonary_resistance_x, open.parameters.pulmonary_resistance_x);
    closed_loop_set(patient, PARAMETER_pa_r_mmhg_s_ml, open.parameters.pa_r_mmhg_s_ml);
    closed_loop_set(patient, PARAMETER_rv_ees_mmhg_ml, open.parameters.rv_ees_mmhg_ml);
    const double released_s = model_patient_time_s(patient);
    double lasts_s = 60;
    while (model_patient_time_s(patient) < released_s + 60.0) {
        ck_assert(model_patient_advance(patient, &closed_loop_beat, &error) == ERROR_OK);
        if (closed_loop_beat.observables.art_mean_mmhg > 0.8 * before.art_mean_mmhg) {
            lasts_s = model_patient_time_s(patient) - released_s;
            break;
        }
    }
    published_begin("G49", "supported, pulmonary artery shut for 20 s", "S", SUCTION_SHEEP);
    published_known("lowest left ventricular pressure in 10 beats, mmHg", lowest, -20, -10,
                    "the blood of a large lung bed empties slowly here, and the inlet closes softly; a "
                    "collapsing wall that the pump sucks at would be needed");
    published_known("mean arterial pressure, %", 100.0 * (artery / before.art_mean_mmhg - 1.0), -60, -40,
                    "as above: blood stored in the lungs lasts longer than 20 s");
    published_known("collapse after release, s", lasts_s, 10, INFINITY, "as above");
    model_patient_destroy(patient);
}
END_TEST

START_TEST(G50_speed_of_collapse) {
    const Parameters parameters = haemo_parameters("supported_axial", NULL, 0);
    static RampResult ramp;
    const double clinic_rpm = parameters.left_pump_speed_rpm;
    haemo_ramp(&parameters, clinic_rpm, 1.6 * clinic_rpm, 0.04 * clinic_rpm, &ramp);
    published_begin("G50", "speed needed for collapse with the pulmonary artery open", "S", SUCTION_SHEEP);
    published_between("above clinic speed, % (stop rule of the ramp)",
                      100.0 * (ramp.steps[ramp.count - 1].speed_rpm / clinic_rpm - 1.0), 20, 45);
}
END_TEST

START_TEST(G51_collapse_and_release) {
    const HaemoSet fast = HAEMO_SET(left_pump_speed_rpm, 9600);
    Patient *patient = haemo_person("supported_axial", &fast, 1);
    haemo_bleed(patient, 1200.0, 720.0);
    const Observables collapsed = haemo_run(patient, 60.0);
    static Snapshot before;
    model_patient_save(patient, &before);
    haemo_add(patient, PARAMETER_left_pump_speed_rpm, -400);
    const Observables slower = haemo_run(patient, 60.0);
    Error error;
    ck_assert(model_patient_restore(patient, &before, &error) == ERROR_OK);
    closed_loop_set(patient, PARAMETER_left_pump_powered, 0);
    (void)closed_loop_run(patient, 10.0, 10.0);
    closed_loop_set(patient, PARAMETER_left_pump_powered, 1);
    const Observables restarted = closed_loop_run(patient, 20.0, 10.0);
    published_begin("G51", "collapsed ventricle after bleeding (optional feature)", "S", SUCTION_SHEEP);
    published_between("inlet shut before, share", collapsed.suction_frac, 0.1, 1);
    published_known(
        "one step slower: inlet still shut, share of before", slower.suction_frac / collapsed.suction_frac,
        0.8, 1.2,
        "the wall lets go as soon as there is room; a wall that sticks (hysteresis) would be needed");
    published_known("after a stop of 10 s: share of before", restarted.suction_frac / collapsed.suction_frac,
                    0, 0.2, "as above: what empties the ventricle goes on when the pump does");
    model_patient_destroy(patient);
}
END_TEST

static void stop_pump(const char *id, const char *statement, const char *person, double back_low,
                      double back_high, double map_low, double map_high) {
    const HaemoSet sets[] = {HAEMO_SET(left_pump_present, 1), HAEMO_SET(left_pump_speed_rpm, 7200),
                             WIDE_ROTOR};
    Patient *patient = haemo_person(person, sets, 3);
    const Observables before = haemo_run(patient, 60.0);
    closed_loop_set(patient, PARAMETER_left_pump_powered, 0);
    const Observables minute = haemo_run(patient, 120.0);
    const Observables quarter = haemo_run(patient, 780.0);
    closed_loop_set(patient, PARAMETER_left_pump_powered, 1);
    const Observables again = haemo_run(patient, 300.0);
    published_begin(id, statement, "S", STOP_SHEEP);
    published_between("back-flow, L/min", minute.pump_flow_l_min, back_low, back_high);
    published_between("mean aortic pressure, mmHg", minute.art_mean_mmhg - before.art_mean_mmhg, map_low,
                      map_high);
    published_between("further slide to 15 min, mmHg", quarter.art_mean_mmhg - minute.art_mean_mmhg, -2, 2);
    published_between("recovered in 5 min, mmHg off", again.art_mean_mmhg - before.art_mean_mmhg, -3, 3);
    model_patient_destroy(patient);
}

START_TEST(G52_G53_pump_stop) {
    stop_pump("G52", "pump stopped for 15 min, failing ventricle", "dilated_failure", -2.7, -1.9, -14, -8);
    stop_pump("G53", "pump stopped for 15 min, normal ventricle", "healthy", -3.1, -2.5, -9, -4);
}
END_TEST

START_TEST(G55_G56_bleeding) {
    Patient *patient = haemo_person("healthy", NULL, 0);
    const Observables before = haemo_run(patient, 60.0);
    const double blood_ml = before.blood_volume_ml;
    const double weight_kg = model_patient_parameters(patient)->weight_kg;
    /* 50 mL in 30 s, then a look of 15 s, and so on */
    double lost_ml = 0, loss_at_30 = NAN;
    Observables at_14 = before;
    while (lost_ml < 0.4 * blood_ml && isnan(loss_at_30)) {
        haemo_bleed(patient, 50.0, 30.0);
        lost_ml += 50.0;
        const Observables o = closed_loop_run(patient, 15.0, 15.0);
        if (lost_ml <= 14.0 * weight_kg + 25.0) at_14 = o;
        if (o.art_mean_mmhg <= before.art_mean_mmhg - 30.0) loss_at_30 = 100.0 * lost_ml / blood_ml;
    }
    published_begin("G55", "healthy, stepwise bleeding: loss at which MAP is 30 mmHg down", "S2",
                    "Scully, Physiol Rep 2016;4:e12739; puppies");
    published_between("% of blood volume", loss_at_30, 23, 31);
    published_begin("G56", "healthy, 14 mL/kg bled", "S", "dog flow study");
    published_between("output, %", closed_loop_percent(before.systemic_flow_l_min, at_14.systemic_flow_l_min),
                      -50, -30);
    published_between("MAP, %", closed_loop_percent(before.art_mean_mmhg, at_14.art_mean_mmhg), -20, -10);
    model_patient_destroy(patient);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("G49-G56 animals");
    TCase *c = tcase_create("rows");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, G49_pulmonary_artery_shut);
    tcase_add_test(c, G50_speed_of_collapse);
    tcase_add_test(c, G51_collapse_and_release);
    tcase_add_test(c, G52_G53_pump_stop);
    tcase_add_test(c, G55_G56_bleeding);
    suite_add_tcase(s, c);
    return s;
}

PUBLISHED_MAIN(suite)
