/* Whole patients for the published haemodynamic checks: named base people with overrides, snapshots of a
   settled patient, speed ramps, and means an observer would write down. */
#ifndef TESTS_SUPPORT_HAEMODYNAMICS_H
#define TESTS_SUPPORT_HAEMODYNAMICS_H

#include "tests/support/closed_loop.h"
#include "tests/support/published.h"

#include "model/sizes.h"
#include "sim/ramp.h"

#include <math.h>
#include <string.h>

#define HAEMO_SETTLE_S  120.0
#define HAEMO_AVERAGE_S 30.0 /* several breaths */

/* One override of a person. */
typedef struct HaemoSet {
    ParameterId id;
    double value;
} HaemoSet;

#define HAEMO_SET(key, value)                                                                                \
    { PARAMETER_##key, (value) }

/* Parameters of the person called `key` with `count` overrides. */
static inline Parameters haemo_parameters(const char *key, const HaemoSet *sets, size_t count) {
    const PersonId person = model_people_find(key);
    ck_assert_msg(person != PERSON_COUNT, "no person called %s", key);
    Parameters parameters = model_people_parameters(person);
    for (size_t i = 0; i < count; i++) {
        Error error;
        const ErrorCode code = model_parameters_set(&parameters, sets[i].id, sets[i].value, &error);
        ck_assert_msg(code == ERROR_OK, "%s", error.what);
    }
    return parameters;
}

/* The person called `key`, with overrides, settled. Free with model_patient_destroy. */
static inline Patient *haemo_person(const char *key, const HaemoSet *sets, size_t count) {
    const Parameters parameters = haemo_parameters(key, sets, count);
    return closed_loop_settled(&parameters);
}

/* Means of the last HAEMO_AVERAGE_S of `seconds`. */
static inline Observables haemo_run(Patient *patient, double seconds) {
    return closed_loop_run(patient, seconds, HAEMO_AVERAGE_S);
}

/* Multiplies a parameter of a running patient. */
static inline void haemo_scale(Patient *patient, ParameterId id, double factor) {
    closed_loop_set(patient, id, factor * model_parameters_get(model_patient_parameters(patient), id));
}

/* Adds to a parameter of a running patient. */
static inline void haemo_add(Patient *patient, ParameterId id, double change) {
    closed_loop_set(patient, id, change + model_parameters_get(model_patient_parameters(patient), id));
}

/* Takes `volume_ml` of blood over `seconds` (at least 1 mL/s is possible in the table's range). */
static inline void haemo_bleed(Patient *patient, double volume_ml, double seconds) {
    closed_loop_set(patient, PARAMETER_bleed_hidden_ml_h, volume_ml / seconds * 3600.0);
    (void)closed_loop_run(patient, seconds, seconds);
    closed_loop_set(patient, PARAMETER_bleed_hidden_ml_h, 0.0);
}

/* A ramp with 2 min at each speed, as published ramps are read (stop rules of sim/ramp.c). */
static inline void haemo_ramp(const Parameters *parameters, double from_rpm, double to_rpm, double step_rpm,
                              RampResult *result) {
    const RampPlan plan = {.from_rpm = from_rpm,
                           .to_rpm = to_rpm,
                           .step_rpm = step_rpm,
                           .dwell_s = 120.0,
                           .settle_s = HAEMO_SETTLE_S,
                           .seed = 1};
    Error error;
    const ErrorCode code = sim_ramp_run(parameters, &plan, result, NULL, NULL, &error);
    ck_assert_msg(code == ERROR_OK, "%s", error.what);
}

static inline const Observables *haemo_ramp_first(const RampResult *result) {
    return &result->steps[0].means;
}

static inline const Observables *haemo_ramp_last(const RampResult *result) {
    return &result->steps[result->count - 1].means;
}

/* Coefficient of determination of a straight line through an observable over speed. */
static inline double haemo_ramp_r2(const RampResult *result, ObservableId id) {
    const double slope = sim_ramp_slope(result, id);
    double mean_x = 0.0, mean_y = 0.0, left = 0.0, total = 0.0;
    for (int i = 0; i < result->count; i++) {
        mean_x += result->steps[i].speed_rpm / result->count;
        mean_y += model_observables_get(&result->steps[i].means, id) / result->count;
    }
    for (int i = 0; i < result->count; i++) {
        const double y = model_observables_get(&result->steps[i].means, id) - mean_y;
        const double off = y - slope * (result->steps[i].speed_rpm - mean_x);
        left += off * off;
        total += y * y;
    }
    return 1.0 - left / total;
}

#endif
