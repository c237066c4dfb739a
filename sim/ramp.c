/* A speed ramp: the case's patient at one pump speed after the other, until a reason to stop. */
#include "sim/ramp.h"

#include "model/patient.h"
#include "sim/means.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Values are read over the end of the dwell: several breaths. */
static const double READ_OVER_S = 30.0;

/* Stop rules. Suction, or the septum to the left with a left ventricle below 30 mm, ended all of 38 published
   ramps (Authorea preprint 312794). The pressure limits lie wide of the usual 60 to 100 mmHg (common
   practice), so that the ramp can show what comes after: nobody treats this patient meanwhile. */
static const double SUCTION_STOP_FRAC = 0.1; /* mean share of the inlet shut by the wall: design */
static const double SMALL_LV_MM = 30.0;
static const double MAP_HIGH_MMHG = 125.0;
static const double MAP_LOW_MMHG = 45.0;

/* A speed must be one that the pump's parameter can have. */
static ErrorCode check_speed(const char *option, double speed_rpm, Error *error) {
    const ParameterRow *row = model_parameters_row(PARAMETER_left_pump_speed_rpm);
    if (speed_rpm >= row->low && speed_rpm <= row->high) return ERROR_OK;
    ErrorCode code = model_error_set(error, ERROR_RANGE, "the pump cannot run at %.10g rpm", speed_rpm);
    model_error_at(error, option, 0, 0);
    model_error_allow(error, "%g to %g rpm", row->low, row->high);
    return code;
}

static ErrorCode check_plan(const Parameters *parameters, const RampPlan *plan, Error *error) {
    if (parameters->left_pump_present < 0.5) {
        ErrorCode code =
            model_error_set(error, ERROR_NOT_ALLOWED, "the patient of this case has no left pump");
        model_error_allow(error, "a case with left_pump_present = 1");
        return code;
    }
    ErrorCode speeds = check_speed("--from", plan->from_rpm, error);
    if (speeds == ERROR_OK) speeds = check_speed("--to", plan->to_rpm, error);
    if (speeds != ERROR_OK) return speeds;
    double steps = fabs(plan->to_rpm - plan->from_rpm) / plan->step_rpm;
    if (!(plan->step_rpm > 0.0) || steps + 1.0 > RAMP_STEPS_MAX) {
        ErrorCode code =
            model_error_set(error, ERROR_RANGE, "the ramp would have %.0f speeds", floor(steps) + 1.0);
        model_error_at(error, "--step", 0, 0);
        model_error_allow(error, "at most %d speeds", RAMP_STEPS_MAX);
        return code;
    }
    return ERROR_OK;
}

/* Plays duration_s and keeps the means of its last read_s. */
static ErrorCode play(Patient *patient, Beat *beat, double duration_s, double read_s, Means *means,
                      Error *error) {
    double end_s = model_patient_time_s(patient) + duration_s;
    sim_means_clear(means);
    while (model_patient_time_s(patient) < end_s) {
        ErrorCode code = model_patient_advance(patient, beat, error);
        if (code != ERROR_OK) return code;
        if (model_patient_time_s(patient) > end_s - read_s) sim_means_add(means, beat);
    }
    return ERROR_OK;
}

/* True, with the reason, if the ramp is to end at its last step. */
static bool must_stop(RampResult *result) {
    const Observables *now = &result->steps[result->count - 1].means;
    const Observables *before = result->count > 1 ? &result->steps[result->count - 2].means : now;
    double speed_rpm = result->steps[result->count - 1].speed_rpm;
    if (now->suction_frac > SUCTION_STOP_FRAC)
        snprintf(result->reason, RAMP_REASON_MAX, "suction at %.0f rpm: the wall shuts %.0f %% of the inlet",
                 speed_rpm, 100.0 * now->suction_frac);
    else if (now->lv_edd_mm < SMALL_LV_MM && now->septum_mm < 0.0)
        snprintf(result->reason, RAMP_REASON_MAX,
                 "small left ventricle at %.0f rpm: %.0f mm (below %.0f) with the septum to the left",
                 speed_rpm, now->lv_edd_mm, SMALL_LV_MM);
    else if (now->art_mean_mmhg > MAP_HIGH_MMHG && now->art_mean_mmhg > before->art_mean_mmhg)
        snprintf(result->reason, RAMP_REASON_MAX, "MAP %.0f mmHg at %.0f rpm, above %.0f", now->art_mean_mmhg,
                 speed_rpm, MAP_HIGH_MMHG);
    else if (now->art_mean_mmhg < MAP_LOW_MMHG && now->art_mean_mmhg < before->art_mean_mmhg)
        snprintf(result->reason, RAMP_REASON_MAX, "MAP %.0f mmHg at %.0f rpm, falling below %.0f",
                 now->art_mean_mmhg, speed_rpm, MAP_LOW_MMHG);
    else
        return false;
    result->stopped = true;
    return true;
}

static ErrorCode run_steps(Patient *patient, Beat *beat, const RampPlan *plan, RampResult *result,
                           void (*progress)(void *context, double done), void *context, Error *error) {
    int steps = (int)floor(fabs(plan->to_rpm - plan->from_rpm) / plan->step_rpm + 1e-9) + 1;
    double direction = plan->to_rpm >= plan->from_rpm ? 1.0 : -1.0;
    Means means;
    for (int i = 0; i < steps; i++) {
        double speed_rpm = plan->from_rpm + direction * i * plan->step_rpm;
        ErrorCode code = model_patient_set(patient, PARAMETER_left_pump_speed_rpm, speed_rpm, error);
        if (code == ERROR_OK) code = play(patient, beat, plan->dwell_s, READ_OVER_S, &means, error);
        if (code != ERROR_OK) return code;
        result->steps[result->count++] = (RampStep){speed_rpm, sim_means_read(&means)};
        if (progress != NULL) progress(context, (i + 1.0) / steps);
        if (must_stop(result)) return ERROR_OK;
    }
    snprintf(result->reason, RAMP_REASON_MAX, "the last speed was reached without suction");
    return ERROR_OK;
}

ErrorCode sim_ramp_run(const Parameters *parameters, const RampPlan *plan, RampResult *result,
                       void (*progress)(void *context, double done), void *context, Error *error) {
    *result = (RampResult){.count = 0};
    ErrorCode code = check_plan(parameters, plan, error);
    if (code != ERROR_OK) return code;
    Parameters start = *parameters;
    code = model_parameters_set(&start, PARAMETER_left_pump_speed_rpm, plan->from_rpm, error);
    if (code != ERROR_OK) return code;
    Patient *patient = model_patient_create(&start, plan->seed, error);
    Beat *beat = calloc(1, sizeof *beat);
    if (patient == NULL)
        code = error != NULL ? error->code : ERROR_INTERNAL;
    else if (beat == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for a beat");
    if (code == ERROR_OK) code = model_patient_settle(patient, plan->settle_s, error);
    if (code == ERROR_OK) code = run_steps(patient, beat, plan, result, progress, context, error);
    free(beat);
    model_patient_destroy(patient);
    return code;
}

double sim_ramp_slope(const RampResult *result, ObservableId id) {
    if (result->count < 2) return NAN;
    double mean_x = 0.0, mean_y = 0.0, xx = 0.0, xy = 0.0;
    for (int i = 0; i < result->count; i++) {
        mean_x += result->steps[i].speed_rpm / result->count;
        mean_y += model_observables_get(&result->steps[i].means, id) / result->count;
    }
    for (int i = 0; i < result->count; i++) {
        double dx = result->steps[i].speed_rpm - mean_x;
        xx += dx * dx;
        xy += dx * (model_observables_get(&result->steps[i].means, id) - mean_y);
    }
    return xy / xx;
}
