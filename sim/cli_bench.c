/* `evenkeel bench`: how fast the model is here, what it costs per beat, and how exact it is. */
#include "sim/cli_commands.h"

#include "model/patient.h"
#include "model/people.h"
#include "sim/means.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { DURATION, REFERENCE, SCREENS, HOURS, CSV, ROWS };

static const double DURATION_STANDARD_S = 600.0;
static const double REFERENCE_STANDARD_S = 60.0;
static const double SETTLE_S = 60.0;
static const uint64_t SEED = 1;

/* The reference of the goals in the developers' guide: relative 1e-10, absolutes tightened as much. */
static const double REFERENCE_RELATIVE = 1e-10;
static const double REFERENCE_ABSOLUTE_X = 1e-6;

static const OptionRow ROW_TABLE[ROWS] = {
    [DURATION] = {"duration", "DUR", OPTION_DURATION, 1, 86400, false,
                  "simulated per patient; 10min if not given"},
    [REFERENCE] = {"reference", "DUR", OPTION_DURATION, 0, 3600, false,
                   "compared with the fine integration; 1min if not given, 0s: not compared"},
    [SCREENS] = {"screens", NULL, OPTION_FLAG, 0, 0, false, "the screens instead of the model"},
    [HOURS] = {"hours", "N", OPTION_NUMBER, 0, 168, false, "with --screens: hours of a night for the memory; 1"},
    [CSV] = {"csv", NULL, OPTION_FLAG, 0, 0, false, "as comma-separated text"},
};

/* What was measured for one base patient. */
typedef struct Measured {
    double factor_x;                               /* simulated over elapsed time */
    double steps, evaluations, jacobians, retries; /* per beat */
    double error_mmhg, error_ml, error_l_min;      /* largest difference of a sample from the reference */
} Measured;

static double elapsed_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static ErrorCode measure_speed(Patient *patient, double duration_s, Beat *beat, Measured *measured,
                               Error *error) {
    double end_s = model_patient_time_s(patient) + duration_s;
    double beats = 0.0, steps = 0.0, evaluations = 0.0, jacobians = 0.0, retries = 0.0;
    double start_s = elapsed_s();
    while (model_patient_time_s(patient) < end_s) {
        ErrorCode code = model_patient_advance(patient, beat, error);
        if (code != ERROR_OK) return code;
        beats += 1.0;
        steps += (double)beat->steps;
        evaluations += (double)beat->evaluations;
        jacobians += (double)beat->jacobians;
        retries += (double)beat->retries;
    }
    measured->factor_x = duration_s / (elapsed_s() - start_s);
    measured->steps = steps / beats;
    measured->evaluations = evaluations / beats;
    measured->jacobians = jacobians / beats;
    measured->retries = retries / beats;
    return ERROR_OK;
}

static double larger(double most, double a, double b) {
    double difference = fabs(a - b);
    return difference > most ? difference : most;
}

/* Plays each beat twice from the same state, once with the usual and once with the reference tolerance, so
   that the error is that of one beat's integration and not of two courses drifting apart. */
static ErrorCode measure_error(Patient *patient, Patient *reference, double duration_s, Beat *beat,
                               Beat *fine, Measured *measured, Error *error) {
    Snapshot *snapshot = malloc(sizeof *snapshot);
    if (snapshot == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the comparison");
    ErrorCode code = ERROR_OK;
    double end_s = model_patient_time_s(patient) + duration_s;
    model_patient_tolerance(reference, REFERENCE_RELATIVE, REFERENCE_ABSOLUTE_X);
    while (code == ERROR_OK && model_patient_time_s(patient) < end_s) {
        model_patient_save(patient, snapshot);
        code = model_patient_restore(reference, snapshot, error);
        if (code == ERROR_OK) code = model_patient_advance(patient, beat, error);
        if (code == ERROR_OK) code = model_patient_advance(reference, fine, error);
        for (int t = 0; code == ERROR_OK && t < beat->ticks && t < fine->ticks; t++) {
            const Sample *a = &beat->samples[t], *b = &fine->samples[t];
            measured->error_mmhg = larger(measured->error_mmhg, a->artery_mmhg, b->artery_mmhg);
            measured->error_mmhg = larger(measured->error_mmhg, a->lv_mmhg, b->lv_mmhg);
            measured->error_mmhg = larger(measured->error_mmhg, a->pa_mmhg, b->pa_mmhg);
            measured->error_mmhg = larger(measured->error_mmhg, a->ra_mmhg, b->ra_mmhg);
            measured->error_ml = larger(measured->error_ml, a->lv_ml, b->lv_ml);
            measured->error_ml = larger(measured->error_ml, a->rv_ml, b->rv_ml);
        }
        measured->error_l_min = larger(measured->error_l_min, beat->observables.systemic_flow_l_min,
                                       fine->observables.systemic_flow_l_min);
    }
    free(snapshot);
    return code;
}

static ErrorCode measure_person(PersonId id, double duration_s, double reference_s, Measured *measured,
                                Error *error) {
    *measured = (Measured){.factor_x = 0.0};
    Parameters parameters = model_people_parameters(id);
    Patient *patient = model_patient_create(&parameters, SEED, error);
    Patient *reference = patient != NULL ? model_patient_create(&parameters, SEED, error) : NULL;
    Beat *beats = calloc(2, sizeof *beats);
    ErrorCode code = ERROR_OK;
    if (patient == NULL || reference == NULL)
        code = error->code;
    else if (beats == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for a beat");
    if (code == ERROR_OK) code = model_patient_settle(patient, SETTLE_S, error);
    if (code == ERROR_OK) code = measure_speed(patient, duration_s, &beats[0], measured, error);
    if (code == ERROR_OK && reference_s > 0.0)
        code = measure_error(patient, reference, reference_s, &beats[0], &beats[1], measured, error);
    free(beats);
    model_patient_destroy(reference);
    model_patient_destroy(patient);
    return code;
}

static ErrorCode bench_screens(const CliCall *call, Error *error) {
    if (call->window == NULL) return model_error_set(error, ERROR_DISPLAY, "this build has no screens");
    return call->window->bench(call->values[HOURS].given ? call->values[HOURS].number : 1.0, error);
}

static ErrorCode bench(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    if (values[SCREENS].given) return bench_screens(call, error);
    double duration_s = values[DURATION].given ? values[DURATION].number : DURATION_STANDARD_S;
    double reference_s = values[REFERENCE].given ? values[REFERENCE].number : REFERENCE_STANDARD_S;
    bool as_csv = values[CSV].given;
    if (as_csv)
        puts("patient,real_time_x,steps,evaluations,jacobians,retries,error_mmhg,error_ml,error_l_min");
    else
        printf(
            "One patient on one core, %.0f s simulated; work per beat; largest difference in %.0f s from a\n"
            "beat-by-beat reference at a relative tolerance of %g.\n\n%-30s%14s%8s%7s%8s%9s%9s%8s%9s\n",
            duration_s, reference_s, REFERENCE_RELATIVE, "patient", "x real time", "steps", "evals", "jacob.",
            "retries", "mmHg", "mL", "L/min");
    for (int i = 0; i < PERSON_COUNT; i++) {
        Measured m;
        ErrorCode code = measure_person((PersonId)i, duration_s, reference_s, &m, error);
        if (code != ERROR_OK) return code;
        printf(as_csv ? "%s,%.0f,%.1f,%.1f,%.2f,%.4f,%.5f,%.5f,%.6f\n"
                      : "%-30s%14.0f%8.1f%7.1f%8.2f%9.4f%9.4f%8.4f%9.5f\n",
               model_people_key((PersonId)i), m.factor_x, m.steps, m.evaluations, m.jacobians, m.retries,
               m.error_mmhg, m.error_ml, m.error_l_min);
        fflush(stdout);
    }
    return ERROR_OK;
}

const CliCommand SIM_CLI_BENCH = {
    .name = "bench",
    .operands = "",
    .operand_max = 0,
    .text = "how fast and how exact the model is on this machine, and what the screens cost",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = bench,
};
