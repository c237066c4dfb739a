/* Jobs are done once each, by any number of threads; failures and a change of mind end them all. */
#include "sim/crew.h"

#include "tests/support/check_main.h"

#include <stdatomic.h>

enum { JOBS = 40 };

static atomic_int done[JOBS];
static int fails; /* number of a job that fails; -1: none */
static Error error;

static ErrorCode job(void *context, int index, CrewSeat *seat, Error *why) {
    (void)context;
    for (int i = 0; i < 10; i++)
        if (sim_crew_tell(seat, i / 10.0)) return model_error_set(why, ERROR_NOT_ALLOWED, "told to stop");
    atomic_fetch_add(&done[index], 1);
    if (index == fails) return model_error_set(why, ERROR_RANGE, "job %d", index);
    return ERROR_OK;
}

static ErrorCode run(int threads, CrewWatch watch, void *context) {
    for (int i = 0; i < JOBS; i++)
        atomic_store(&done[i], 0);
    const CrewTask task = {
        .jobs = JOBS, .threads = threads, .job = job, .watch = watch, .watch_context = context};
    model_error_clear(&error);
    return sim_crew_run(&task, &error);
}

static bool look(void *context, double share) {
    double *last = context;
    ck_assert_double_ge(share, *last);
    ck_assert_double_le(share, 1.0);
    *last = share;
    return false;
}

START_TEST(crew_of_any_size_does_every_job_once) {
    static const int THREADS[] = {1, 2, 3, 16, 100, 0};
    fails = -1;
    for (size_t k = 0; k < sizeof THREADS / sizeof THREADS[0]; k++) {
        double last = 0.0;
        ck_assert_int_eq(run(THREADS[k], look, &last), ERROR_OK);
        for (int i = 0; i < JOBS; i++)
            ck_assert_int_eq(atomic_load(&done[i]), 1);
    }
    const CrewTask nothing = {.jobs = 0, .threads = 2, .job = job};
    ck_assert_int_eq(sim_crew_run(&nothing, &error), ERROR_OK);
}
END_TEST

START_TEST(crew_with_a_job_that_fails_stops_and_says_which) {
    fails = 3;
    for (int threads = 1; threads <= 4; threads++) {
        ck_assert_int_eq(run(threads, NULL, NULL), ERROR_RANGE);
        ck_assert_str_eq(error.what, "job 3");
    }
    run(1, NULL, NULL);
    ck_assert_int_eq(atomic_load(&done[4]), 0);
}
END_TEST

static bool give_up(void *context, double share) {
    (void)context;
    return share > 0.2;
}

START_TEST(crew_that_is_told_to_stop_gives_up) {
    fails = -1;
    ck_assert_int_eq(run(2, give_up, NULL), ERROR_NOT_ALLOWED);
    int count = 0;
    for (int i = 0; i < JOBS; i++)
        count += atomic_load(&done[i]);
    ck_assert_int_lt(count, JOBS);
    ck_assert_int_ge(sim_crew_threads(), 1);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("crew");
    TCase *c = tcase_create("crew");
    tcase_add_test(c, crew_of_any_size_does_every_job_once);
    tcase_add_test(c, crew_with_a_job_that_fails_stops_and_says_which);
    tcase_add_test(c, crew_that_is_told_to_stop_gives_up);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
