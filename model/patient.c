/* The patient: one beat at a time, with the slow organs between beats. */
#include "model/patient.h"

#include "model/measure.h"
#include "model/solver.h"

#include <math.h>
#include <stdlib.h>

#define SETTLE_AVERAGE_S    20.0 /* end of settling over which the reflex's neutral pressure is averaged */
#define VEIN_LEAST_ML       20.0 /* of a venous compartment when blood is taken away */
#define PRESSURE_LEAST_MMHG 1.0

struct Patient {
    Parameters parameters;
    State state;
    Solver *solver;
    CirculationConstants constants;
    Beat scratch;
};

Patient *model_patient_create(const Parameters *parameters, uint64_t seed, Error *error) {
    model_error_clear(error);
    if (model_parameters_check(parameters, error) != ERROR_OK) return NULL;
    Patient *patient = calloc(1, sizeof *patient);
    if (!patient) {
        model_error_set(error, ERROR_MEMORY, "no memory for a patient");
        return NULL;
    }
    patient->solver = model_solver_create(error);
    if (!patient->solver) {
        free(patient);
        return NULL;
    }
    patient->parameters = *parameters;
    patient->state.random = model_random_seed(seed);
    model_circulation_start(&patient->state.circulation, parameters);
    model_rhythm_start(&patient->state.rhythm, parameters);
    model_slow_start(&patient->state.slow, parameters);
    return patient;
}

void model_patient_destroy(Patient *patient) {
    if (!patient) return;
    model_solver_destroy(patient->solver);
    free(patient);
}

/* Takes or adds blood in the three venous compartments; a compartment that is almost empty passes the loss
 * on. */
static void change_blood(double *y, const VolumeChanges *changes) {
    static const int VEINS[] = {VARIABLE_SPLANCHNIC_ML, VARIABLE_OTHER_ML, VARIABLE_CAVA_ML};
    enum { VEIN_COUNT = sizeof VEINS / sizeof VEINS[0] };
    const double amounts[VEIN_COUNT] = {changes->splanchnic_ml, changes->other_veins_ml, changes->cava_ml};
    double owed = 0;
    for (int i = 0; i < VEIN_COUNT; i++) {
        y[VEINS[i]] += amounts[i];
        const double missing = VEIN_LEAST_ML - y[VEINS[i]];
        if (amounts[i] < 0 && missing > 0) {
            const double back = fmin(missing, -amounts[i]);
            y[VEINS[i]] += back;
            owed += back;
        }
    }
    int largest = VEINS[0];
    for (int i = 0; i < VARIABLE_BLOOD_COUNT; i++)
        if (y[i] > y[largest]) largest = i;
    y[largest] -= owed;
}

static void apply_changes(CirculationState *circulation, const VolumeChanges *changes) {
    change_blood(circulation->y, changes);
    circulation->free_ml += changes->pericardium_free_ml;
    circulation->clot_ml[CHAMBER_LV] += changes->clot_lv_ml;
    circulation->clot_ml[CHAMBER_RV] += changes->clot_rv_ml;
    circulation->clot_ml[CHAMBER_LA] += changes->clot_la_ml;
    circulation->clot_ml[CHAMBER_RA] += changes->clot_ra_ml;
}

/* One beat with `state` changed in place; `frozen` as in model_slow_advance. `means` is filled. */
static ErrorCode play_beat(Patient *patient, bool frozen, Beat *beat, BeatMeans *means, Error *error) {
    State *state = &patient->state;
    CirculationState *circulation = &state->circulation;
    const Parameters *parameters = &patient->parameters;
    CirculationConstants *constants = &patient->constants;
    Effects effects;
    BeatTiming timing;
    model_slow_effects(&state->slow, parameters, &effects);
    beat->first_tick = state->tick;
    model_rhythm_next(&state->rhythm, parameters, &effects, circulation->breath_frac, &state->random, beat,
                      &timing);
    model_circulation_prepare(constants, parameters, &effects, circulation, &timing);

    CirculationDrive drive;
    Sample start;
    double y_start[VARIABLE_COUNT];
    model_circulation_drive(constants, 0.0, &drive);
    model_circulation_sample(constants, &drive, circulation->y, &start);
    for (int i = 0; i < VARIABLE_COUNT; i++)
        y_start[i] = circulation->y[i];

    SolverWork work;
    const ErrorCode code = model_solver_run(patient->solver, constants, circulation->y, beat->ticks,
                                            (double)state->tick * BEAT_TICK_S, beat->samples, &work, error);
    if (code != ERROR_OK) return code;
    beat->steps = work.steps;
    beat->evaluations = work.evaluations;
    beat->jacobians = work.jacobians;
    beat->retries = work.retries;

    const double length_s = beat->ticks * BEAT_TICK_S;
    if (constants->left.present)
        circulation->left_krpm = model_pump_krpm(&constants->left, circulation->left_krpm, length_s);
    if (constants->right.present)
        circulation->right_krpm = model_pump_krpm(&constants->right, circulation->right_krpm, length_s);
    const MeasureInput input = {parameters, constants, &start, y_start};
    model_measure_beat(&input, circulation, beat, means);
    model_circulation_follow(circulation, parameters, length_s);
    circulation->breath_frac = model_lung_breath_frac(&constants->lung, length_s);
    state->tick += beat->ticks;

    VolumeChanges changes;
    model_slow_advance(&state->slow, parameters, means, frozen, &changes, &beat->observables);
    apply_changes(circulation, &changes);
    return model_circulation_check(circulation->y, (double)state->tick * BEAT_TICK_S, error);
}

ErrorCode model_patient_advance(Patient *patient, Beat *beat, Error *error) {
    const State before = patient->state;
    BeatMeans means;
    model_error_clear(error);
    const ErrorCode code = play_beat(patient, false, beat, &means, error);
    if (code != ERROR_OK) patient->state = before;
    return code;
}

ErrorCode model_patient_settle(Patient *patient, double duration_s, Error *error) {
    const State before = patient->state;
    const int64_t first_tick = patient->state.tick;
    double sum_mmhg_s = 0;
    double sum_s = 0;
    model_error_clear(error);
    for (double t_s = 0; t_s < duration_s;) {
        BeatMeans means;
        const ErrorCode code = play_beat(patient, true, &patient->scratch, &means, error);
        if (code != ERROR_OK) {
            patient->state = before;
            return code;
        }
        model_reflex_neutralise(&patient->state.slow.reflex, fmax(means.aorta_mmhg, PRESSURE_LEAST_MMHG));
        if (t_s >= duration_s - SETTLE_AVERAGE_S) {
            sum_mmhg_s += means.aorta_mmhg * means.dt_s;
            sum_s += means.dt_s;
        }
        t_s = (double)(patient->state.tick - first_tick) * BEAT_TICK_S;
    }
    if (sum_s > 0)
        model_reflex_neutralise(&patient->state.slow.reflex, fmax(sum_mmhg_s / sum_s, PRESSURE_LEAST_MMHG));
    patient->state.tick = 0;
    return ERROR_OK;
}

ErrorCode model_patient_set(Patient *patient, ParameterId id, double value, Error *error) {
    Parameters changed = patient->parameters;
    ErrorCode code = model_parameters_set(&changed, id, value, error);
    if (code == ERROR_OK) code = model_parameters_check(&changed, error);
    if (code == ERROR_OK) patient->parameters = changed;
    return code;
}

void model_patient_tolerance(Patient *patient, double relative, double absolute_x) {
    model_solver_tolerance(patient->solver, relative, absolute_x);
}

const Parameters *model_patient_parameters(const Patient *patient) {
    return &patient->parameters;
}

const State *model_patient_state(const Patient *patient) {
    return &patient->state;
}

double model_patient_time_s(const Patient *patient) {
    return (double)patient->state.tick * BEAT_TICK_S;
}

void model_patient_save(const Patient *patient, Snapshot *snapshot) {
    snapshot->parameters = patient->parameters;
    snapshot->state = patient->state;
}

/* Whether the parts of a state that index or divide hold values they can have. */
static ErrorCode check_state(const State *state, Error *error) {
    const CirculationState *c = &state->circulation;
    const RhythmState *r = &state->rhythm;
    const double numbers[] = {c->left_krpm,
                              c->right_krpm,
                              c->breath_frac,
                              c->free_ml,
                              c->chest_open,
                              c->pericardium_v0_ml,
                              c->pericardium_lambda_per_ml,
                              c->wedge_mmhg,
                              c->shown_l_min,
                              r->rr_s[0],
                              r->rr_s[1],
                              r->rr_reference_s,
                              r->potentiation,
                              r->period_carry_s,
                              r->atrial_wait_s,
                              r->blocked,
                              r->ventricular[0].onset_s,
                              r->ventricular[1].onset_s,
                              r->atrial[0].onset_s,
                              r->atrial[1].onset_s};
    bool sound = state->tick >= 0 && c->pulse_count >= 0 && c->pulse_count <= CIRCULATION_PULSE_BEATS &&
                 c->pulse_next >= 0 && c->pulse_next < CIRCULATION_PULSE_BEATS && c->valve_beats >= 0 &&
                 c->valve_beats <= CIRCULATION_VALVE_BEATS && c->breath_frac >= 0 && c->breath_frac <= 1 &&
                 r->rr_reference_s > 0;
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        sound = sound && isfinite(numbers[i]);
    sound = sound && model_slow_is_sound(&state->slow);
    if (!sound) return model_error_set(error, ERROR_FORMAT, "a snapshot holds values no patient can have");
    const ErrorCode code = model_circulation_check(c->y, (double)state->tick * BEAT_TICK_S, error);
    return code == ERROR_OK ? ERROR_OK : (error ? (error->code = ERROR_FORMAT) : ERROR_FORMAT);
}

ErrorCode model_patient_restore(Patient *patient, const Snapshot *snapshot, Error *error) {
    model_error_clear(error);
    ErrorCode code = model_parameters_check(&snapshot->parameters, error);
    if (code == ERROR_OK) code = check_state(&snapshot->state, error);
    if (code != ERROR_OK) return code;
    patient->parameters = snapshot->parameters;
    patient->state = snapshot->state;
    return ERROR_OK;
}
