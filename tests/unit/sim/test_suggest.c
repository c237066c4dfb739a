/* Nearest names: the distance against hand-worked examples, and what counts as near enough. */
#include "sim/suggest.h"
#include "tests/support/check_main.h"

#include <string.h>

static const char *const NAMES[] = {"speed", "milrinone", "norepinephrine", "peep"};
enum { NAME_COUNT = 4 };

START_TEST(distance_hand_worked_pairs_match) {
    /* optimal string alignment distances worked by hand */
    ck_assert_int_eq(sim_suggest_distance("speed", "speed"), 0);
    ck_assert_int_eq(sim_suggest_distance("speed", "SPEED"), 0);
    ck_assert_int_eq(sim_suggest_distance("sped", "speed"), 1);
    ck_assert_int_eq(sim_suggest_distance("psede", "speed"), 2);
    ck_assert_int_eq(sim_suggest_distance("kitten", "sitting"), 3);
    ck_assert_int_eq(sim_suggest_distance("", "peep"), 4);
}
END_TEST

START_TEST(distance_swapped_neighbours_cost_one) {
    ck_assert_int_eq(sim_suggest_distance("pepe", "peep"), 1);
}
END_TEST

START_TEST(nearest_small_slip_is_found) {
    ck_assert_uint_eq(sim_suggest_nearest("milrinon", NAMES, NAME_COUNT), 1);
    ck_assert_uint_eq(sim_suggest_nearest("norepinefrine", NAMES, NAME_COUNT), 2);
}
END_TEST

START_TEST(nearest_unlike_anything_finds_none) {
    ck_assert_uint_eq(sim_suggest_nearest("xylophone", NAMES, NAME_COUNT), NAME_COUNT);
    ck_assert_uint_eq(sim_suggest_nearest("peep", NAMES, 0), 0);
}
END_TEST

START_TEST(nearest_without_its_unit_is_found) {
    static const char *const keys[] = {"rv_ees_mmhg_ml", "rv_vd_ml", "weight_kg"};
    ck_assert_uint_eq(sim_suggest_nearest("rv_ees", keys, 3), 0);
    ck_assert_uint_eq(sim_suggest_nearest("wieght", keys, 3), 2);
    ck_assert_uint_eq(sim_suggest_nearest("rv_e", keys, 3), 0);
    ck_assert_uint_eq(sim_suggest_nearest("wax", keys, 3), 3); /* no beginning, and too short for a slip */
    ck_assert_uint_eq(sim_suggest_nearest("x", keys, 3), 3); /* one letter tells nothing */
}
END_TEST

START_TEST(parameter_that_is_a_consequence_is_said_so) {
    Error error;
    ck_assert_int_eq(sim_suggest_parameter(&error, "art_mean_mmhg"), ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.what, "consequence"));
    ck_assert_int_eq(sim_suggest_parameter(&error, "rv_es_mmhg_ml"), ERROR_UNKNOWN_NAME);
    ck_assert_str_eq(error.allowed, "nearest is rv_ees_mmhg_ml");
}
END_TEST

START_TEST(distance_longer_than_the_limit_stays_in_bounds) {
    char longest[400];
    for (int i = 0; i < 399; i++)
        longest[i] = 'a';
    longest[399] = '\0';
    ck_assert_int_eq(sim_suggest_distance(longest, longest), 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("suggest");
    TCase *c = tcase_create("names");
    tcase_add_test(c, distance_hand_worked_pairs_match);
    tcase_add_test(c, distance_swapped_neighbours_cost_one);
    tcase_add_test(c, nearest_small_slip_is_found);
    tcase_add_test(c, nearest_unlike_anything_finds_none);
    tcase_add_test(c, nearest_without_its_unit_is_found);
    tcase_add_test(c, parameter_that_is_a_consequence_is_said_so);
    tcase_add_test(c, distance_longer_than_the_limit_stays_in_bounds);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
