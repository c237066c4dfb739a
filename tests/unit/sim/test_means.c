/* Means over beats: weighted by length, blind to what is not finite, totals as they stand. */
#include "sim/means.h"
#include "tests/support/check_main.h"

#include <math.h>

static Beat beat;
static Means means;

START_TEST(means_are_weighted_by_the_beats_length) {
    sim_means_clear(&means);
    beat = (Beat){.ticks = 100};
    beat.observables.cvp_mmhg = 10;
    sim_means_add(&means, &beat);
    beat.ticks = 300;
    beat.observables.cvp_mmhg = 14;
    sim_means_add(&means, &beat);
    ck_assert_double_eq_tol(sim_means_read(&means).cvp_mmhg, 13.0, 1e-12);
    ck_assert_double_eq_tol(means.time_s, 1.6, 1e-12);
}
END_TEST

START_TEST(means_leave_out_what_is_not_finite) {
    sim_means_clear(&means);
    beat = (Beat){.ticks = 100};
    beat.observables.svr_wu = NAN;
    beat.observables.papi = INFINITY;
    sim_means_add(&means, &beat);
    ck_assert(isnan(sim_means_read(&means).svr_wu));
    beat.observables.svr_wu = 12;
    sim_means_add(&means, &beat);
    ck_assert_double_eq_tol(sim_means_read(&means).svr_wu, 12.0, 1e-12);
    ck_assert(isnan(sim_means_read(&means).papi));
}
END_TEST

START_TEST(means_of_clock_and_totals_are_the_last) {
    sim_means_clear(&means);
    beat = (Beat){.ticks = 100};
    for (int i = 1; i <= 4; i++) {
        beat.observables.time_s = i;
        beat.observables.drain_total_ml = 10.0 * i;
        sim_means_add(&means, &beat);
    }
    ck_assert_double_eq_tol(sim_means_read(&means).time_s, 4.0, 1e-12);
    ck_assert_double_eq_tol(sim_means_read(&means).drain_total_ml, 40.0, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/means");
    TCase *c = tcase_create("means");
    tcase_add_test(c, means_are_weighted_by_the_beats_length);
    tcase_add_test(c, means_leave_out_what_is_not_finite);
    tcase_add_test(c, means_of_clock_and_totals_are_the_last);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
