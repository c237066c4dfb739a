/* Patients share nothing: two threads, each with patients of its own, give the same nights to the last bit as
   one thread does, and each patient costs no more processor time than alone. Processor time is judged, not
   the clock on the wall: the machine may be busy. */
#include "model/patient.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <pthread.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { PATIENTS_EACH = 2, THREADS = 2 };
#define PLAYED_S 120.0
#define COST_MOST_X                                                                                          \
    1.8 /* two threads may share one core's units and caches; a shared line or a spin costs more */

typedef struct Job {
    uint64_t seed;
    double end[PATIENTS_EACH][VARIABLE_COUNT];
    Observables observables[PATIENTS_EACH];
    bool failed;
    double cpu_s;
} Job;

/* Processor time of the calling thread. */
static double spent_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void *work(void *given) {
    Job *job = given;
    const double begin_s = spent_s();
    Beat *beat = calloc(1, sizeof *beat);
    for (int i = 0; i < PATIENTS_EACH && !job->failed; i++) {
        Error error;
        const PersonId person = (PersonId)((job->seed + (uint64_t)i) % PERSON_COUNT);
        const Parameters parameters = model_people_parameters(person);
        Patient *patient = model_patient_create(&parameters, job->seed, &error);
        job->failed = !beat || !patient;
        while (!job->failed && model_patient_time_s(patient) < PLAYED_S)
            job->failed = model_patient_advance(patient, beat, &error) != ERROR_OK;
        if (!job->failed) {
            memcpy(job->end[i], model_patient_state(patient)->circulation.y, sizeof job->end[i]);
            job->observables[i] = beat->observables;
        }
        model_patient_destroy(patient);
    }
    free(beat);
    job->cpu_s = spent_s() - begin_s;
    return NULL;
}

START_TEST(threads_give_the_nights_of_one_thread) {
    static Job alone[THREADS], together[THREADS];
    pthread_t thread[THREADS];
    double alone_s = 0, together_s = 0;
    for (int i = 0; i < THREADS; i++) {
        alone[i].seed = together[i].seed = (uint64_t)(3 * i);
        work(&alone[i]);
    }
    for (int i = 0; i < THREADS; i++)
        ck_assert_int_eq(pthread_create(&thread[i], NULL, work, &together[i]), 0);
    for (int i = 0; i < THREADS; i++)
        pthread_join(thread[i], NULL);
    for (int i = 0; i < THREADS; i++) {
        alone_s += alone[i].cpu_s;
        together_s += together[i].cpu_s;
    }
    printf("processor time per patient in %d threads over that in one: %.2f\n", THREADS,
           together_s / alone_s);
    ck_assert_double_lt(together_s / alone_s, COST_MOST_X);
    for (int i = 0; i < THREADS; i++) {
        ck_assert(!alone[i].failed && !together[i].failed);
        ck_assert_int_eq(memcmp(alone[i].end, together[i].end, sizeof alone[i].end), 0);
        ck_assert_int_eq(memcmp(alone[i].observables, together[i].observables, sizeof alone[i].observables),
                         0);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("threads");
    TCase *c = tcase_create("patients");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, threads_give_the_nights_of_one_thread);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
