/* Lists of errors. */
#include "sim/errorlist.h"

#include "tests/support/check_main.h"

START_TEST(errorlist_full_counts_the_rest) {
    static ErrorList list;
    Error error;
    for (int i = 0; i < ERRORLIST_MAX + 3; i++) {
        model_error_set(&error, ERROR_RANGE, "number %d", i);
        sim_errorlist_add(&list, &error);
    }
    ck_assert_int_eq(list.count, ERRORLIST_MAX);
    ck_assert_int_eq(list.dropped, 3);
    ck_assert_str_eq(list.items[0].what, "number 0");
    ck_assert_str_eq(list.items[ERRORLIST_MAX - 1].what, "number 63");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("errorlist");
    TCase *c = tcase_create("errorlist");
    tcase_add_test(c, errorlist_full_counts_the_rest);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
