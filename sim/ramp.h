/* A speed ramp: the case's patient at one pump speed after the other, as in a ramp study, until a reason to
 * stop. */
#ifndef SIM_RAMP_H
#define SIM_RAMP_H

#include "model/error.h"
#include "model/observables.h"
#include "model/parameters.h"

#include <stdbool.h>
#include <stdint.h>

enum { RAMP_STEPS_MAX = 200, RAMP_REASON_MAX = 160 };

typedef struct RampPlan {
    double from_rpm, to_rpm; /* may go up or down */
    double step_rpm;         /* > 0 */
    double dwell_s;          /* at each speed, before the next */
    double settle_s;         /* at the first speed, before the ramp begins */
    uint64_t seed;
} RampPlan;

typedef struct RampStep {
    double speed_rpm;
    Observables means; /* over the last part of the dwell */
} RampStep;

typedef struct RampResult {
    int count;
    RampStep steps[RAMP_STEPS_MAX];
    bool stopped;                 /* before the last speed, or at it, for the reason below */
    char reason[RAMP_REASON_MAX]; /* why it ended */
} RampResult;

/* Runs the ramp with the patient of `parameters`; script and orders stay out of it. Stops at suction, at a
   small left ventricle with the septum to the left, and when arterial pressure leaves its limits. `progress`
   (nullable) is called with 0..1. ERROR_NOT_ALLOWED when the patient has no left pump, ERROR_RANGE for a plan
   that cannot be. */
MODEL_CHECKED ErrorCode sim_ramp_run(const Parameters *parameters, const RampPlan *plan, RampResult *result,
                                     void (*progress)(void *context, double done), void *context,
                                     Error *error);

/* Least-squares slope of an observable against speed, per rpm, over the steps; NaN with fewer than 2. */
double sim_ramp_slope(const RampResult *result, ObservableId id);

#endif
