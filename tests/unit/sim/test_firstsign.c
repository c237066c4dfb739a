/* The first sign on series made by hand. */
#include "sim/firstsign.h"

#include "tests/support/check_main.h"

#include <math.h>

enum { POINTS = 200 };

static double time_s[POINTS], value[POINTS];

/* 10 s apart: 50 that swings by 1, and by `step` more from `from_s` until `to_s`. */
static FirstSign find(double step, double from_s, double to_s, double trouble_s) {
    for (int i = 0; i < POINTS; i++) {
        time_s[i] = 10.0 * i;
        value[i] = 50.0 + (i % 2 == 0 ? 1.0 : -1.0) + (time_s[i] >= from_s && time_s[i] < to_s ? step : 0.0);
    }
    return sim_firstsign_find((SignSeries){time_s, value, POINTS}, trouble_s, 2.0, 0.0);
}

START_TEST(sign_beyond_the_noise_is_found_where_it_begins) {
    FirstSign sign = find(-10.0, 900.0, 1e6, 700.0);
    ck_assert(sign.found);
    ck_assert_double_eq(sign.time_s, 900.0);
    ck_assert_double_eq_tol(sign.before, 50.0, 0.05);
    ck_assert_double_lt(sign.now, 42.0);
}
END_TEST

START_TEST(sign_within_the_noise_is_none) {
    ck_assert(!find(1.5, 900.0, 1e6, 700.0).found);     /* three standard deviations are 3 */
    ck_assert(!find(-10.0, 900.0, 950.0, 700.0).found); /* less than a minute */
    ck_assert(!find(-10.0, 300.0, 500.0, 700.0).found); /* over before the trouble */
}
END_TEST

START_TEST(sign_without_a_usual_time_before_is_not_told) {
    ck_assert(!find(-10.0, 400.0, 1e6, 60.0).found);
    for (int i = 0; i < POINTS; i++)
        value[i] = time_s[i] < 600.0 ? NAN : value[i];
    ck_assert(!sim_firstsign_find((SignSeries){time_s, value, POINTS}, 650.0, 2.0, 0.0).found);
}
END_TEST

START_TEST(sign_as_share_counts_from_the_usual_value) {
    for (int i = 0; i < POINTS; i++)
        value[i] = 200.0 - 0.2 * (double)i;
    FirstSign sign = sim_firstsign_find((SignSeries){time_s, value, POINTS}, 300.0, 0.0, 0.15);
    ck_assert(sign.found); /* 197 before; 167.5 is reached at point 163 */
    ck_assert_double_eq_tol(sign.time_s, 1630.0, 10.0);
}
END_TEST

START_TEST(pictures_and_numbers_that_count_are_listed) {
    ck_assert_int_ge(sim_firstsign_picture_count(), 3);
    ck_assert_int_eq((int)sim_firstsign_picture(0)->observable, (int)OBSERVABLE_septum_mm);
    ck_assert(sim_firstsign_counts(DISPLAY_cvp_mmhg));
    ck_assert(!sim_firstsign_counts(DISPLAY_pump_rpm));
    ck_assert(!sim_firstsign_counts(DISPLAY_wedge_taken_s));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("firstsign");
    TCase *c = tcase_create("firstsign");
    tcase_add_test(c, sign_beyond_the_noise_is_found_where_it_begins);
    tcase_add_test(c, sign_within_the_noise_is_none);
    tcase_add_test(c, sign_without_a_usual_time_before_is_not_told);
    tcase_add_test(c, sign_as_share_counts_from_the_usual_value);
    tcase_add_test(c, pictures_and_numbers_that_count_are_listed);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
