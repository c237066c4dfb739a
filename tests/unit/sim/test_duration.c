/* Durations: reading, writing, refusing. */
#include "sim/duration.h"

#include "tests/support/check_main.h"

#include <string.h>

static const struct {
    const char *text;
    double seconds;
} GOOD[] = {{"90s", 90},    {"20min", 1200}, {"6h", 21600}, {"1h30min", 5400}, {"1h30min10s", 5410},
            {"0.5h", 1800}, {"1.5min", 90},  {"0s", 0},     {"168h", 604800},  {"2h5s", 7205}};

static const char *const BAD[] = {"",     "90",  "s",     "min",   "1h 30min", "30min1h", "1h1h", "1d",
                                  "-5s",  "+5s", "1e3s",  "0x10s", "1..5s",    ".s",      "5sec", "nan",
                                  "infs", "5 s", "5minn", "1,5h",  "h5",       "5Min",    "10ms"};

START_TEST(duration_parse_good_gives_seconds) {
    double seconds = -1;
    Error error;
    ck_assert_int_eq(sim_duration_parse(GOOD[_i].text, &seconds, &error), ERROR_OK);
    ck_assert_double_eq_tol(seconds, GOOD[_i].seconds, 1e-9);
}
END_TEST

START_TEST(duration_parse_bad_is_refused_and_leaves_value) {
    double seconds = 7;
    Error error;
    ck_assert_int_eq(sim_duration_parse(BAD[_i], &seconds, &error), ERROR_SYNTAX);
    ck_assert_double_eq_tol(seconds, 7, 1e-12);
    ck_assert_str_ne(error.allowed, "");
}
END_TEST

START_TEST(duration_parse_longer_than_a_week_is_out_of_range) {
    double seconds = 7;
    Error error;
    ck_assert_int_eq(sim_duration_parse("169h", &seconds, &error), ERROR_RANGE);
    ck_assert_int_eq(sim_duration_parse("99999999999999999999h", &seconds, &error), ERROR_RANGE);
    ck_assert_double_eq_tol(seconds, 7, 1e-12);
}
END_TEST

START_TEST(duration_clock_rounds_down) {
    char text[DURATION_TEXT_MAX];
    sim_duration_format_clock(8077.99, text, sizeof text);
    ck_assert_str_eq(text, "02:14:37");
    sim_duration_format_clock(0, text, sizeof text);
    ck_assert_str_eq(text, "00:00:00");
    sim_duration_format_clock(-61, text, sizeof text);
    ck_assert_str_eq(text, "-00:01:01");
}
END_TEST

START_TEST(duration_format_is_read_back) {
    for (double s = 0; s < 20000; s += 123.457) {
        char text[DURATION_TEXT_MAX];
        double back = -1;
        Error error;
        sim_duration_format(s, text, sizeof text);
        ck_assert_int_eq(sim_duration_parse(text, &back, &error), ERROR_OK);
        ck_assert_double_eq_tol(back, s, 5.1e-4);
    }
}
END_TEST

START_TEST(duration_format_into_small_buffer_stays_inside) {
    char text[4] = "zzz";
    sim_duration_format(5410, text, sizeof text);
    ck_assert_uint_lt(strlen(text), sizeof text);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("duration");
    TCase *c = tcase_create("duration");
    tcase_add_loop_test(c, duration_parse_good_gives_seconds, 0, (int)(sizeof GOOD / sizeof GOOD[0]));
    tcase_add_loop_test(c, duration_parse_bad_is_refused_and_leaves_value, 0,
                        (int)(sizeof BAD / sizeof BAD[0]));
    tcase_add_test(c, duration_parse_longer_than_a_week_is_out_of_range);
    tcase_add_test(c, duration_clock_rounds_down);
    tcase_add_test(c, duration_format_is_read_back);
    tcase_add_test(c, duration_format_into_small_buffer_stays_inside);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
