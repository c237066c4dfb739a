/* G17, G27, G42: what happens to many patients: nitric oxide or not, early complications, the chest drain. */
#include "tests/support/haemodynamics.h"

#include "model/cohort.h"
#include "model/slow.h"

enum { NITRIC_PEOPLE = 30, NEW_PEOPLE = 60 };
static const double DYN_PER_WU = 80.0;

/* Right ventricular failure by numbers within 48 h, two of five (J Heart Lung Transplant 2008, PMID
 * 19059106). */
static bool right_failure(const Observables *o) {
    const int signs = (o->art_mean_mmhg <= 55) + (o->cvp_mmhg >= 16) + (o->svo2_frac <= 0.55) +
                      (o->cardiac_index_l_min_m2 < 2.0);
    return signs >= 2;
}

START_TEST(G17_nitric_oxide_or_not) {
    const Parameters base = haemo_parameters("supported_axial", NULL, 0);
    Random random = model_random_seed(17);
    int without = 0, with = 0, people = 0;
    for (int i = 0; i < NITRIC_PEOPLE; i++) {
        Parameters person;
        Observables o;
        Error error;
        ck_assert_msg(model_cohort_draw(&base, 1.0, 60.0, &random, &person, &o, NULL, &error) == ERROR_OK,
                      "%s", error.what);
        model_cohort_complicate(&random, &person);
        person.bleed_drain_ml_h = 0;
        Patient *patient = closed_loop_settled(&person);
        o = haemo_run(patient, 60.0);
        if (DYN_PER_WU * o.pvr_wu <= 200) {
            model_patient_destroy(patient);
            continue;
        }
        without += right_failure(&o);
        closed_loop_set(patient, PARAMETER_nitric_oxide_ppm, 20);
        o = haemo_run(patient, 300.0);
        with += right_failure(&o);
        people++;
        model_patient_destroy(patient);
    }
    ck_assert_int_gt(without, 2); /* or the comparison says nothing */
    published_begin("G17", "unselected support, resistance above 200 dyn: nitric oxide against none", "S2",
                    "Potapov, J Heart Lung Transplant 2011;30:870-8; no large effect (9.6 against 15.6 %)");
    published_known(
        "fewer right ventricular failures, points (band ours)", 100.0 * (without - with) / people, -5, 20,
        "lower resistance crosses the numbers' limits at once here; in the trial the label needed 48 h "
        "and physicians treated both groups, which nobody does here");
}
END_TEST

START_TEST(G27_early_complications) {
    const Parameters base = haemo_parameters("supported_axial", NULL, 0);
    Random random = model_random_seed(27);
    int failing = 0, vasoplegic = 0, bleeding = 0;
    for (int i = 0; i < NEW_PEOPLE; i++) {
        Parameters person;
        Error error;
        ck_assert_msg(model_cohort_draw(&base, 1.0, 30.0, &random, &person, NULL, NULL, &error) == ERROR_OK,
                      "%s", error.what);
        model_cohort_complicate(&random, &person);
        /* drain loss above 600 mL in 12 h is more than insignificant (Dyke 2014; cut-off from memory) */
        bleeding += person.bleed_drain_ml_h * 12.0 > 600.0;
        person.bleed_drain_ml_h = 0;
        Patient *patient = closed_loop_settled(&person);
        const Observables o = haemo_run(patient, 30.0);
        failing += right_failure(&o) || (o.cvp_mmhg > 16 && o.cardiac_index_l_min_m2 < 2.2);
        vasoplegic += o.svr_wu < 10 && o.cardiac_index_l_min_m2 > 2.2;
        model_patient_destroy(patient);
    }
    published_begin("G27", "60 new left pumps with the generator's causes: consequences in the model, %",
                    "S2", "Bravo 2022 (PMC9626829); Tecson 2018; Muslem 2018; reviews");
    published_between("bleeding", 100.0 * bleeding / NEW_PEOPLE, 20, 45);
    published_between("right ventricular failure", 100.0 * failing / NEW_PEOPLE, 16, 35);
    published_between("vasoplegia (resistance below 800 dyn, index above 2.2)",
                      100.0 * vasoplegic / NEW_PEOPLE, 33, 50);
}
END_TEST

START_TEST(G42_chest_drain) {
    Parameters parameters = haemo_parameters("supported_axial", NULL, 0);
    parameters.ooze_drain_ml_h = 60; /* ooze without a surgical source */
    parameters.drain_patency_frac = 1;
    SlowState slow;
    model_slow_start(&slow, &parameters);
    const BeatMeans means = {.dt_s = 10,
                             .rr_s = 10,
                             .aorta_mmhg = 75,
                             .artery_pulse_mmhg = 20,
                             .cvp_mmhg = 10,
                             .wedge_mmhg = 13,
                             .abdomen_mmhg = 5,
                             .systemic_ml_s = 83,
                             .splanchnic_ml_s = 25,
                             .blood_ml = parameters.blood_volume_ml};
    Observables o = {0};
    VolumeChanges changes;
    double at_4_h = 0;
    for (double t_s = 0; t_s < 12 * 3600.0; t_s += means.dt_s) {
        model_slow_advance(&slow, &parameters, &means, false, &changes, &o);
        if (t_s < 4 * 3600.0) at_4_h = o.drain_total_ml;
    }
    published_begin("G42", "chest drain over 12 h without surgical bleeding", "S",
                    "Ann Thorac Surg 2021, PMID 32896545");
    published_between("total, mL", o.drain_total_ml, 150, 700);
    published_between("share in the first 4 h, %", 100.0 * at_4_h / o.drain_total_ml, 45, 63);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("G17, G27, G42 cohorts");
    TCase *c = tcase_create("rows");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, G17_nitric_oxide_or_not);
    tcase_add_test(c, G27_early_complications);
    tcase_add_test(c, G42_chest_drain);
    suite_add_tcase(s, c);
    return s;
}

PUBLISHED_MAIN(suite)
