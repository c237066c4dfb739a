/* A whole patient for tests of treatment: settle a person, run, and average what an observer would write
 * down. */
#ifndef TESTS_SUPPORT_CLOSED_LOOP_H
#define TESTS_SUPPORT_CLOSED_LOOP_H

#include "model/patient.h"
#include "model/people.h"

#include <check.h>
#include <math.h>

static Beat closed_loop_beat;

/* A settled person with `parameters`; the test ends if the model refuses. */
static inline Patient *closed_loop_settled(const Parameters *parameters) {
    Error error;
    Patient *patient = model_patient_create(parameters, 1, &error);
    ck_assert_msg(patient != NULL, "%s", error.what);
    const ErrorCode code = model_patient_settle(patient, 120.0, &error);
    ck_assert_msg(code == ERROR_OK, "%s", error.what);
    return patient;
}

/* Runs `seconds` and returns the time-weighted means of the last `average_s` of them. */
static inline Observables closed_loop_run(Patient *patient, double seconds, double average_s) {
    const double end_s = model_patient_time_s(patient) + seconds;
    double sum[OBSERVABLE_COUNT] = {0}, weight = 0.0;
    Observables means = {0};
    while (model_patient_time_s(patient) < end_s) {
        Error error;
        const ErrorCode code = model_patient_advance(patient, &closed_loop_beat, &error);
        ck_assert_msg(code == ERROR_OK, "%s", error.what);
        if (model_patient_time_s(patient) < end_s - average_s) continue;
        const double dt_s = closed_loop_beat.ticks * BEAT_TICK_S;
        for (int i = 0; i < OBSERVABLE_COUNT; i++)
            sum[i] += dt_s * model_observables_get(&closed_loop_beat.observables, (ObservableId)i);
        weight += dt_s;
    }
#define O(key, unit, text) means.key = sum[OBSERVABLE_##key] / weight;
#include "model/observables.def"
#undef O
    return means;
}

static inline void closed_loop_set(Patient *patient, ParameterId id, double value) {
    Error error;
    const ErrorCode code = model_patient_set(patient, id, value, &error);
    ck_assert_msg(code == ERROR_OK, "%s", error.what);
}

/* Change in percent. */
static inline double closed_loop_percent(double before, double after) {
    return 100.0 * (after - before) / before;
}

#define ck_assert_between(value, low, high)                                                                  \
    do {                                                                                                     \
        ck_assert_double_ge(value, low);                                                                     \
        ck_assert_double_le(value, high);                                                                    \
    } while (0)

#endif
