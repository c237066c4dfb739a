/* The patient: parameters, state and integrator behind one handle that advances beat by beat. */
#ifndef MODEL_PATIENT_H
#define MODEL_PATIENT_H

#include "model/beat.h"
#include "model/error.h"
#include "model/parameters.h"
#include "model/state.h"

#include <stdint.h>

typedef struct Patient Patient;

/* All that decides the future, as plain data. Copying it is a snapshot; restoring it in the same build
   gives the identical future, bit for bit. */
typedef struct Snapshot {
    Parameters parameters;
    State state;
} Snapshot;

/* Makes a patient from parameters, with initial volumes from blood volume and compliances. The patient is
   not yet settled; see model_patient_settle. Returns NULL and fills `error` if the parameters are refused
   (ERROR_RANGE, ERROR_COMBINATION) or memory is short. Free with model_patient_destroy. */
Patient *model_patient_create(const Parameters *parameters, uint64_t seed, Error *error);

/* Accepts NULL. */
void model_patient_destroy(Patient *patient);

/* Runs `duration_s` (s) without slow changes (fluids, drugs, bleeding, oxygen debt), neutralises the reflex
   at the pressure reached, and sets the clock back to 0: a case starts from here. */
MODEL_CHECKED ErrorCode model_patient_settle(Patient *patient, double duration_s, Error *error);

/* Advances one beat with the present parameters and writes it to `beat`. On failure the patient is as it was
   before the call, and `error` names the quantity and the time. */
MODEL_CHECKED ErrorCode model_patient_advance(Patient *patient, Beat *beat, Error *error);

/* Changes one parameter between beats; refuses values out of range and leaves everything as it was. */
MODEL_CHECKED ErrorCode model_patient_set(Patient *patient, ParameterId id, double value, Error *error);

/* Relative tolerance of the integration and a factor on its absolute tolerances (1e-4 and 1 by default), for
   comparisons with a finer integration. Not part of a snapshot. */
void model_patient_tolerance(Patient *patient, double relative, double absolute_x);

const Parameters *model_patient_parameters(const Patient *patient);
const State *model_patient_state(const Patient *patient);

/* Seconds since the beginning, a whole number of ticks. */
double model_patient_time_s(const Patient *patient);

void model_patient_save(const Patient *patient, Snapshot *snapshot);

/* Takes over a snapshot; ERROR_FORMAT or ERROR_RANGE, with the patient unchanged, if it cannot be one. */
MODEL_CHECKED ErrorCode model_patient_restore(Patient *patient, const Snapshot *snapshot, Error *error);

#endif
