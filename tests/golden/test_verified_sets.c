/* The base patients against their verified haemodynamics: clinical target values of a healthy adult,
   end-stage failure, and support with a good and a failing right ventricle, first reached with an independent
   prototype of the same equations (integrated with CVODE and with Runge-Kutta). Pressures within 2 mmHg, the
   rest within 5 %. */
#include "model/patient.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { VERIFIED_COUNT = PERSON_SUPPORTED_RV_FAILURE + 1 }; /* the first five people */

#define SETTLE_S  120.0
#define SKIP_S    20.0 /* after a change of the reflex */
#define AVERAGE_S 60.0

typedef struct Target {
    ObservableId id;
    double value[VERIFIED_COUNT];
    double absolute; /* allowed difference; the larger of this and `relative` counts */
    double relative;
} Target;

/* columns: healthy, dilated failure, axial, centrifugal, right ventricular failure */
static const Target TARGETS[] = {
    {OBSERVABLE_art_sys_mmhg, {109, 86, 85, 86, 71}, 2, 0},
    {OBSERVABLE_art_dia_mmhg, {69, 60, 75, 74, 63}, 2, 0},
    {OBSERVABLE_art_mean_mmhg, {90, 73, 79, 79, 67}, 2, 0},
    {OBSERVABLE_cvp_mmhg, {3.9, 11.9, 8.0, 8.0, 16.6}, 1, 0},
    {OBSERVABLE_pa_sys_mmhg, {22, 46, 33, 33, 24}, 2, 0},
    {OBSERVABLE_pa_dia_mmhg, {9, 28, 13, 13, 14}, 2, 0},
    {OBSERVABLE_pa_mean_mmhg, {15, 36, 22.5, 22.5, 20}, 2, 0},
    {OBSERVABLE_wedge_mmhg, {8.8, 26.0, 12.5, 12.5, 4.4}, 1.5, 0},
    {OBSERVABLE_systemic_flow_l_min, {5.14, 3.49, 4.91, 4.91, 3.57}, 0, 0.05},
    {OBSERVABLE_pump_flow_l_min, {0, 0, 4.90, 4.91, 3.57}, 1e-9, 0.05},
    {OBSERVABLE_pump_flow_min_l_min, {0, 0, 2.6, 1.9, 0.8}, 0.35, 0},
    {OBSERVABLE_pump_flow_max_l_min, {0, 0, 8.1, 8.45, 6.7}, 1e-9, 0.05},
    {OBSERVABLE_lv_edv_ml, {128, 288, 248, 248, 172}, 0, 0.05},
    {OBSERVABLE_lv_esv_ml, {51, 225, 195, 193, 140}, 0, 0.05},
    {OBSERVABLE_rv_edv_ml, {145, 203, 213, 213, 251}, 0, 0.05},
    {OBSERVABLE_rv_esv_ml, {68, 154, 147, 147, 207}, 0, 0.05},
    {OBSERVABLE_septum_ml, {14.8, 23.8, 8.5, 8.5, -22}, 2, 0},
    {OBSERVABLE_mr_frac, {0, 0.335, 0.14, 0.135, 0}, 0.025, 0},
    {OBSERVABLE_pvr_wu, {1.27, 3.0, 2.05, 2.05, 4.3}, 0.1, 0.05},
    {OBSERVABLE_papi, {3.2, 1.5, 2.5, 2.5, 0.58}, 0.15, 0.05},
    {OBSERVABLE_pump_power_w, {0, 0, 5.0, 3.2, 4.6}, 1e-9, 0.05},
};
enum { TARGET_COUNT = sizeof TARGETS / sizeof TARGETS[0] };

static Beat *beat;

static void average(Patient *patient, double seconds, double *means) {
    Error error;
    const double begin_s = model_patient_time_s(patient);
    double sums[TARGET_COUNT] = {0};
    while (model_patient_time_s(patient) < begin_s + seconds) {
        ck_assert_msg(model_patient_advance(patient, beat, &error) == ERROR_OK, "%s", error.what);
        for (int i = 0; i < TARGET_COUNT; i++)
            sums[i] += beat->ticks * BEAT_TICK_S * model_observables_get(&beat->observables, TARGETS[i].id);
    }
    for (int i = 0; i < TARGET_COUNT; i++)
        means[i] = sums[i] / (model_patient_time_s(patient) - begin_s);
}

static int compare(PersonId person, const char *how, const double *means) {
    int outside = 0;
    for (int i = 0; i < TARGET_COUNT; i++) {
        const double target = TARGETS[i].value[person];
        const double allowed = fmax(TARGETS[i].absolute, TARGETS[i].relative * fabs(target));
        const bool bad = !(fabs(means[i] - target) <= allowed);
        outside += bad;
        if (bad || getenv("VERIFIED_SETS_ALL"))
            printf("%-22s %-12s %-24s %8.3f target %8.3f +- %.3f%s\n", model_people_key(person), how,
                   model_observables_row(TARGETS[i].id)->key, means[i], target, allowed,
                   bad ? "  OUTSIDE" : "");
    }
    return outside;
}

static void verify(PersonId person) {
    Error error;
    const Parameters parameters = model_people_parameters(person);
    Patient *patient = model_patient_create(&parameters, 1, &error);
    ck_assert_msg(patient != NULL, "%s", error.what);
    ck_assert_msg(model_patient_settle(patient, SETTLE_S, &error) == ERROR_OK, "%s", error.what);
    Snapshot *settled = malloc(sizeof *settled);
    model_patient_save(patient, settled);
    double means[TARGET_COUNT];
    int outside = 0;

    /* fixed rate, no reflex */
    ck_assert(model_patient_set(patient, PARAMETER_reflex_gain, 0, &error) == ERROR_OK);
    ck_assert(model_patient_set(patient, PARAMETER_reflex_heart_gain, 0, &error) == ERROR_OK);
    average(patient, AVERAGE_S, means);
    outside += compare(person, "reflex off", means);

    /* with the reflex, which is neutral at the settled pressure and so must stay there */
    ck_assert(model_patient_restore(patient, settled, &error) == ERROR_OK);
    average(patient, SKIP_S, means);
    average(patient, AVERAGE_S, means);
    outside += compare(person, "reflex on", means);
    free(settled);
    model_patient_destroy(patient);
    ck_assert_int_eq(outside, 0);
}

START_TEST(verified_set_is_reproduced) {
    verify((PersonId)_i);
}
END_TEST

static void make_beat(void) {
    beat = malloc(sizeof *beat);
}

static void free_beat(void) {
    free(beat);
}

static Suite *suite(void) {
    Suite *s = suite_create("verified sets");
    TCase *c = tcase_create("people");
    tcase_add_unchecked_fixture(c, make_beat, free_beat);
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, verified_set_is_reproduced, 0, VERIFIED_COUNT);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
