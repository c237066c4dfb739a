/* A person of a population before and during a treatment: what most published checks need. Times in minutes,
   readings are means over the last minute, as a bedside would note them. */
#ifndef TESTS_SUPPORT_TREATMENT_H
#define TESTS_SUPPORT_TREATMENT_H

#include "tests/support/closed_loop.h"
#include "tests/support/populations.h"

static const double TREATMENT_MINUTE_S = 60.0;

typedef struct Treatment {
    Patient *patient;
    Observables before;
} Treatment;

/* A settled person with these parameters, and two minutes of observation. End with treatment_end. */
static inline Treatment treatment_start_as(const Parameters *parameters) {
    Treatment treatment;
    treatment.patient = closed_loop_settled(parameters);
    treatment.before = closed_loop_run(treatment.patient, 2.0 * TREATMENT_MINUTE_S, TREATMENT_MINUTE_S);
    return treatment;
}

static inline Treatment treatment_start(PopulationId id) {
    const Parameters parameters = populations_parameters(id);
    return treatment_start_as(&parameters);
}

/* Sets one parameter and lets `minutes` pass; the last one is noted. */
static inline Observables treatment_give(Treatment *treatment, ParameterId id, double value, double minutes) {
    closed_loop_set(treatment->patient, id, value);
    return closed_loop_run(treatment->patient, minutes * TREATMENT_MINUTE_S,
                           fmin(minutes, 1.0) * TREATMENT_MINUTE_S);
}

static inline Observables treatment_wait(Treatment *treatment, double minutes) {
    return closed_loop_run(treatment->patient, minutes * TREATMENT_MINUTE_S,
                           fmin(minutes, 1.0) * TREATMENT_MINUTE_S);
}

static inline void treatment_end(Treatment *treatment) {
    model_patient_destroy(treatment->patient);
    treatment->patient = NULL;
}

/* Change of one observable in percent, and in its unit. */
#define treatment_percent(treatment, after, key) closed_loop_percent((treatment).before.key, (after).key)
#define treatment_change(treatment, after, key)  ((after).key - (treatment).before.key)

#endif
