/* The log and the trends. */
#include "sim/records.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

START_TEST(records_log_keeps_the_newest) {
    Records *records = sim_records_create();
    for (int i = 0; i < RECORDS_LOG_MAX + 5; i++) {
        char text[32];
        snprintf(text, sizeof text, "entry %d", i);
        sim_records_log(records, i, LOG_MESSAGE, "nurse", text);
    }
    ck_assert_int_eq(sim_records_log_count(records), RECORDS_LOG_MAX + 5);
    ck_assert_ptr_null(sim_records_log_entry(records, 4));
    ck_assert_ptr_null(sim_records_log_entry(records, RECORDS_LOG_MAX + 5));
    ck_assert_ptr_null(sim_records_log_entry(records, -1));
    ck_assert_str_eq(sim_records_log_entry(records, 5)->text, "entry 5");
    ck_assert_str_eq(sim_records_log_entry(records, RECORDS_LOG_MAX + 4)->from, "nurse");
    sim_records_destroy(records);
}
END_TEST

START_TEST(records_trend_has_one_point_per_step) {
    Records *records = sim_records_create();
    Display display;
    memset(&display, 0, sizeof display);
    display.value[DISPLAY_art_mean_mmhg] = 70;
    display.valid[DISPLAY_art_mean_mmhg] = true;
    sim_records_show(records, 0.7, &display);
    sim_records_show(records, 9.9, &display);
    ck_assert_int_eq(sim_records_history_count(records), 1);
    display.value[DISPLAY_art_mean_mmhg] = 60;
    sim_records_show(records, 10.1, &display);
    sim_records_show(records, 35, &display);
    ck_assert_int_eq(sim_records_history_count(records), 4);
    ck_assert_double_eq_tol(sim_records_history_value(records, DISPLAY_art_mean_mmhg, 0), 70, 1e-12);
    ck_assert_double_eq_tol(sim_records_history_value(records, DISPLAY_art_mean_mmhg, 1), 60, 1e-12);
    ck_assert(isnan(sim_records_history_value(records, DISPLAY_cvp_mmhg, 0)));
    ck_assert(isnan(sim_records_history_value(records, DISPLAY_art_mean_mmhg, 4)));
    sim_records_destroy(records);
}
END_TEST

START_TEST(records_trend_of_a_day_stays_within_the_ring) {
    Records *records = sim_records_create();
    Display display;
    memset(&display, 0, sizeof display);
    display.valid[DISPLAY_cvp_mmhg] = true;
    int64_t points = RECORDS_HISTORY_MAX + 100;
    for (int64_t i = 0; i < points; i++) {
        display.value[DISPLAY_cvp_mmhg] = (double)i;
        sim_records_show(records, (double)i * RECORDS_HISTORY_STEP_S, &display);
    }
    ck_assert_int_eq(sim_records_history_count(records), points);
    ck_assert_int_eq(sim_records_history_first(records), 100);
    ck_assert_double_eq_tol(sim_records_history_value(records, DISPLAY_cvp_mmhg, 100), 100, 1e-12);
    ck_assert(isnan(sim_records_history_value(records, DISPLAY_cvp_mmhg, 99)));
    sim_records_destroy(records);
}
END_TEST

START_TEST(records_rewound_go_on_from_there) {
    Records *records = sim_records_create();
    sim_records_log(records, 1, LOG_ORDER, "trainee", "a");
    sim_records_log(records, 2, LOG_ORDER, "trainee", "b");
    sim_records_rewind(records, 1, 0);
    ck_assert_int_eq(sim_records_log_count(records), 1);
    ck_assert_ptr_null(sim_records_log_entry(records, 1));
    sim_records_log(records, 2, LOG_ORDER, "trainee", "c");
    ck_assert_str_eq(sim_records_log_entry(records, 1)->text, "c");
    ck_assert_str_eq(sim_records_log_entry(records, 0)->text, "a");
    /* the state of another, longer night: nothing of it is here */
    sim_records_rewind(records, 50, 40);
    ck_assert_ptr_null(sim_records_log_entry(records, 0));
    ck_assert_ptr_null(sim_records_log_entry(records, 49));
    sim_records_log(records, 9, LOG_ORDER, "trainee", "d");
    ck_assert_str_eq(sim_records_log_entry(records, 50)->text, "d");
    sim_records_destroy(records);
}
END_TEST

START_TEST(records_destroy_accepts_null) {
    sim_records_destroy(NULL);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("records");
    TCase *c = tcase_create("records");
    tcase_add_test(c, records_log_keeps_the_newest);
    tcase_add_test(c, records_trend_has_one_point_per_step);
    tcase_add_test(c, records_trend_of_a_day_stays_within_the_ring);
    tcase_add_test(c, records_rewound_go_on_from_there);
    tcase_add_test(c, records_destroy_accepts_null);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
