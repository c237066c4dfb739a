/* The solver's work per beat of the verified people stays within a tenth of what is kept here, so that a
   slower solver is noticed by counting, not by a clock. EVENKEEL_UPDATE_GOLDEN=1 prints the rows to paste. */
#include "model/patient.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>

#define SETTLE_S 20.0
#define PLAYED_S 60.0
#define BAND     0.10

typedef struct Work {
    PersonId person;
    double steps, evaluations, jacobians; /* per beat */
} Work;

static const Work KEPT[] = {
#include "tests/golden/data/solver_work.def"
};
enum { KEPT_COUNT = sizeof KEPT / sizeof KEPT[0] };

static Work measure(PersonId person) {
    static Beat beat;
    Error error;
    const Parameters parameters = model_people_parameters(person);
    Patient *patient = model_patient_create(&parameters, 1, &error);
    ck_assert_ptr_nonnull(patient);
    ck_assert_int_eq(model_patient_settle(patient, SETTLE_S, &error), ERROR_OK);
    Work work = {.person = person};
    double beats = 0;
    while (model_patient_time_s(patient) < PLAYED_S) {
        ck_assert_int_eq(model_patient_advance(patient, &beat, &error), ERROR_OK);
        ck_assert_int_eq((int)beat.retries, 0);
        work.steps += (double)beat.steps;
        work.evaluations += (double)beat.evaluations;
        work.jacobians += (double)beat.jacobians;
        beats += 1;
    }
    model_patient_destroy(patient);
    work.steps /= beats;
    work.evaluations /= beats;
    work.jacobians /= beats;
    return work;
}

START_TEST(solver_work_per_beat_is_as_kept) {
    const Work *kept = &KEPT[_i];
    const Work now = measure(kept->person);
    const char *key = model_people_key(kept->person);
    if (getenv("EVENKEEL_UPDATE_GOLDEN"))
        printf("{%d, %.1f, %.1f, %.2f}, /* %s */\n", (int)kept->person, now.steps, now.evaluations,
               now.jacobians, key);
    ck_assert_msg(fabs(now.steps / kept->steps - 1) < BAND, "%s: %.1f steps a beat, kept %.1f", key,
                  now.steps, kept->steps);
    ck_assert_msg(fabs(now.evaluations / kept->evaluations - 1) < BAND,
                  "%s: %.1f evaluations a beat, kept %.1f", key, now.evaluations, kept->evaluations);
    ck_assert_msg(fabs(now.jacobians / kept->jacobians - 1) < BAND, "%s: %.2f Jacobians a beat, kept %.2f",
                  key, now.jacobians, kept->jacobians);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("solver work");
    TCase *c = tcase_create("counters");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, solver_work_per_beat_is_as_kept, 0, KEPT_COUNT);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
