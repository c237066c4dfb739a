/* Speed of the patient: for each base patient the solver's work per beat and the speed against real time,
   with a line of haemodynamics so that a speed is never quoted for a wrong circulation. */
#include "model/patient.h"
#include "model/people.h"
#include "model/units.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define SETTLE_S    120.0
#define RUN_S       240.0
#define NANOSECONDS 1e-9

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + NANOSECONDS * (double)t.tv_nsec;
}

/* Runs one person; returns 0 or 1. */
static int bench_person(PersonId id, double run_s, Beat *beat) {
    static const ObservableId SHOWN[] = {
        OBSERVABLE_art_sys_mmhg,    OBSERVABLE_art_dia_mmhg,      OBSERVABLE_art_mean_mmhg,
        OBSERVABLE_cvp_mmhg,        OBSERVABLE_pa_sys_mmhg,       OBSERVABLE_pa_dia_mmhg,
        OBSERVABLE_pa_mean_mmhg,    OBSERVABLE_wedge_mmhg,        OBSERVABLE_systemic_flow_l_min,
        OBSERVABLE_pump_flow_l_min, OBSERVABLE_lv_edv_ml,         OBSERVABLE_lv_esv_ml,
        OBSERVABLE_rv_edv_ml,       OBSERVABLE_rv_esv_ml,         OBSERVABLE_septum_ml,
        OBSERVABLE_mr_frac,         OBSERVABLE_native_flow_l_min, OBSERVABLE_pump_power_w,
    };
    enum { COUNT = sizeof SHOWN / sizeof SHOWN[0] };
    Error error;
    const Parameters parameters = model_people_parameters(id);
    Patient *patient = model_patient_create(&parameters, 1, &error);
    if (!patient || model_patient_settle(patient, SETTLE_S, &error) != ERROR_OK) {
        fprintf(stderr, "%s: %s\n", model_people_key(id), error.what);
        model_patient_destroy(patient);
        return 1;
    }
    double sums[COUNT] = {0};
    int64_t beats = 0;
    int64_t steps = 0;
    int64_t evaluations = 0;
    int64_t jacobians = 0;
    int64_t retries = 0;
    const double begin_s = now_s();
    while (model_patient_time_s(patient) < run_s) {
        if (model_patient_advance(patient, beat, &error) != ERROR_OK) {
            fprintf(stderr, "%s: %s\n", model_people_key(id), error.what);
            model_patient_destroy(patient);
            return 1;
        }
        beats++;
        steps += beat->steps;
        evaluations += beat->evaluations;
        jacobians += beat->jacobians;
        retries += beat->retries;
        for (int i = 0; i < COUNT; i++)
            sums[i] += beat->ticks * BEAT_TICK_S * model_observables_get(&beat->observables, SHOWN[i]);
    }
    const double cpu_s = now_s() - begin_s;
    const double time_s = model_patient_time_s(patient);
    printf("%-22s %6.0f x real time; per beat: %.0f steps, %.0f right-hand sides, %.1f Jacobians; retries "
           "%lld\n",
           model_people_key(id), time_s / cpu_s, (double)steps / (double)beats,
           (double)evaluations / (double)beats, (double)jacobians / (double)beats, (long long)retries);
    for (int i = 0; i < COUNT; i++)
        printf("  %s %.2f%s", model_observables_row(SHOWN[i])->key, sums[i] / time_s, i % 6 == 5 ? "\n" : "");
    model_patient_destroy(patient);
    return 0;
}

/* Arguments: simulated seconds per person (default 240), then keys of people (default all). */
int main(int argc, char **argv) {
    const double run_s = argc > 1 ? strtod(argv[1], NULL) : RUN_S;
    Beat *beat = malloc(sizeof *beat);
    int failed = beat == NULL;
    for (int i = 0; i < PERSON_COUNT && beat; i++) {
        bool wanted = argc <= 2;
        for (int k = 2; k < argc; k++)
            wanted = wanted || model_people_find(argv[k]) == (PersonId)i;
        if (wanted) failed |= bench_person((PersonId)i, run_s, beat);
    }
    free(beat);
    return failed;
}
