/* Random patients across the whole table of parameters: each either is refused with a named error, or runs
   without a failure, a non-finite number or a negative volume, with its blood conserved while nothing is
   given or lost. All are run before a failure is told, with the seeds of those that failed.
   EVENKEEL_RANDOM_PATIENTS, EVENKEEL_RANDOM_SECONDS and EVENKEEL_RANDOM_SEED change number, duration and
   seed. */
#include "model/patient.h"
#include "model/people.h"
#include "model/random.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PATIENTS         80
#define SECONDS          600.0
#define CHAMBER_LEAST_ML -0.01 /* the integrator's tolerance */
#define JUMP_LEAST_ML    -1.0  /* in the beat after a jump */
#define SETTLE_S         20.0
#define SEED             20260101u
#define CHANGE_EVERY_S   20.0 /* a random parameter jumps this often, as orders and scripts may do */
#define CHANGE_FRAC      0.7  /* chance that a parameter of a patient is not a base patient's */

static double from_environment(const char *name, double standard) {
    const char *text = getenv(name);
    return text ? strtod(text, NULL) : standard;
}

/* A value inside the row's range; switches and kinds are whole numbers. */
static double random_value(Random *random, ParameterId id) {
    const ParameterRow *row = model_parameters_row(id);
    const double u = model_random_uniform(random);
    const bool whole = strcmp(row->unit, "0/1") == 0 || strcmp(row->unit, "0 or 1") == 0 ||
                       strcmp(row->unit, "RhythmKind") == 0;
    if (whole) return floor(row->low + u * (row->high - row->low + 1 - 1e-9));
    /* positive scales are drawn evenly in their logarithm, and one in six sits at an end of the range */
    const double end = model_random_uniform(random);
    if (end < 1.0 / 12) return row->low;
    if (end < 2.0 / 12) return row->high;
    if (row->low > 0 && row->high / row->low > 5) return row->low * pow(row->high / row->low, u);
    return row->low + u * (row->high - row->low);
}

/* A speed that suits the curve: between 20 and 300 mmHg without flow, within the row's range. */
static double random_speed(Random *random, double a_mmhg_krpm2, ParameterId id) {
    const ParameterRow *row = model_parameters_row(id);
    const double head_mmhg = 20.0 + 280.0 * model_random_uniform(random);
    return fmin(fmax(1000.0 * sqrt(head_mmhg / a_mmhg_krpm2), row->low), row->high);
}

static Parameters random_parameters(Random *random, PersonId person) {
    Parameters parameters = model_people_parameters(person);
    const double share = CHANGE_FRAC * model_random_uniform(random);
    for (int i = 0; i < PARAMETER_COUNT; i++)
        if (model_random_uniform(random) < share)
            ck_assert(model_parameters_set(&parameters, (ParameterId)i, random_value(random, (ParameterId)i),
                                           NULL) == ERROR_OK);
    parameters.left_pump_speed_rpm =
        random_speed(random, parameters.left_pump_a_mmhg_krpm2, PARAMETER_left_pump_speed_rpm);
    parameters.right_pump_speed_rpm =
        random_speed(random, parameters.right_pump_a_mmhg_krpm2, PARAMETER_right_pump_speed_rpm);
    return parameters;
}

/* What happened to one patient; `failure` is empty when nothing did. */
typedef struct Fate {
    bool refused;
    char failure[400];
    int64_t retries;
    double time_s;
} Fate;

static void note_failure(Fate *fate, uint64_t seed, PersonId person, double time_s, const char *what) {
    if (fate->failure[0]) return;
    snprintf(fate->failure, sizeof fate->failure, "patient %llu of %s at %.1f s: %s",
             (unsigned long long)seed, model_people_key(person), time_s, what);
}

/* What is wrong with a beat, or NULL. */
static const char *beat_fault(const Beat *beat, double least_ml) {
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        if (!isfinite(model_observables_get(&beat->observables, (ObservableId)i)))
            return model_observables_row((ObservableId)i)->key;
    for (int i = 0; i < beat->ticks; i++) {
        const Sample *s = &beat->samples[i];
        if (!(fmin(fmin(s->lv_ml, s->rv_ml), fmin(s->la_ml, s->ra_ml)) > least_ml))
            return "a chamber below zero";
        if (!isfinite(s->aorta_mmhg + s->pa_mmhg + s->cvp_mmhg)) return "a pressure is not finite";
    }
    return NULL;
}

/* What orders, scripts and devices change during a night; anatomy is drawn once per patient. */
static ParameterId random_change(Random *random) {
    for (;;) {
        const ParameterId id = (ParameterId)(model_random_next(random) % PARAMETER_COUNT);
        const char *source = model_parameters_row(id)->source;
        if (id >= PARAMETER_weight_kg || strncmp(source, "cause", 5) == 0 ||
            strncmp(source, "device", 6) == 0 || strncmp(source, "state of", 8) == 0)
            return id;
    }
}

/* Plays one patient to its end, changing a parameter now and then. */
static void play(Patient *patient, uint64_t seed, PersonId person, double seconds, Random *random, Beat *beat,
                 Fate *fate) {
    Error error;
    double next_change_s = CHANGE_EVERY_S;
    bool jumped = false;
    while (!fate->failure[0] && model_patient_time_s(patient) < seconds) {
        const double time_s = model_patient_time_s(patient);
        if (model_patient_advance(patient, beat, &error) != ERROR_OK) {
            note_failure(fate, seed, person, time_s, error.what);
            return;
        }
        const char *fault = beat_fault(beat, jumped ? JUMP_LEAST_ML : CHAMBER_LEAST_ML);
        if (fault) note_failure(fate, seed, person, time_s, fault);
        jumped = false;
        fate->retries += beat->retries;
        if (model_patient_time_s(patient) > next_change_s) {
            const ParameterId id = random_change(random);
            const ErrorCode set = model_patient_set(patient, id, random_value(random, id), &error);
            if (set != ERROR_OK && set != ERROR_COMBINATION)
                note_failure(fate, seed, person, time_s, error.what);
            next_change_s += CHANGE_EVERY_S;
            jumped = true;
        }
    }
    fate->time_s = model_patient_time_s(patient);
}

static Fate run_patient(uint64_t seed, double seconds, Beat *beat) {
    Fate fate = {.refused = false};
    Random random = model_random_seed(seed);
    const PersonId person = (PersonId)(model_random_next(&random) % PERSON_COUNT);
    const Parameters parameters = random_parameters(&random, person);
    Error error;
    Patient *patient = model_patient_create(&parameters, seed, &error);
    if (!patient) {
        fate.refused = true;
        if (error.code != ERROR_COMBINATION || !error.what[0] || !error.where[0] || !error.allowed[0])
            note_failure(&fate, seed, person, 0, "refused without a reason");
        return fate;
    }
    if (model_patient_settle(patient, SETTLE_S, &error) != ERROR_OK)
        note_failure(&fate, seed, person, 0, error.what);
    const double blood_ml = model_circulation_blood_ml(model_patient_state(patient)->circulation.y);
    if (!(fabs(blood_ml - parameters.blood_volume_ml) < 1e-6))
        note_failure(&fate, seed, person, 0, "blood came or went while settling");
    play(patient, seed, person, seconds, &random, beat, &fate);
    model_patient_destroy(patient);
    return fate;
}

START_TEST(random_patients_run_or_are_refused_by_name) {
    const int count = (int)from_environment("EVENKEEL_RANDOM_PATIENTS", PATIENTS);
    const double seconds = from_environment("EVENKEEL_RANDOM_SECONDS", SECONDS);
    const uint64_t seed = (uint64_t)from_environment("EVENKEEL_RANDOM_SEED", SEED);
    Beat *beat = malloc(sizeof *beat);
    int refused = 0, failed = 0;
    int64_t retries = 0;
    double time_s = 0;
    ck_assert_ptr_nonnull(beat);
    for (int i = 0; i < count; i++) {
        const Fate fate = run_patient(seed + (uint64_t)i, seconds, beat);
        refused += fate.refused;
        retries += fate.retries;
        time_s += fate.time_s;
        if (fate.failure[0]) {
            failed++;
            printf("%s\n", fate.failure);
        }
    }
    printf("seed %llu: %d patients, %d refused, %d failed, %.0f s simulated, %lld beats tried again\n",
           (unsigned long long)seed, count, refused, failed, time_s, (long long)retries);
    ck_assert_int_eq(failed, 0);
    ck_assert_int_le(refused, (count + 1) / 2);
    free(beat);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("random patients");
    TCase *c = tcase_create("random patients");
    tcase_set_timeout(c, 1800);
    tcase_add_test(c, random_patients_run_or_are_refused_by_name);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
