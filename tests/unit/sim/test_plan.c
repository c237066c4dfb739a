/* Planned orders: order of time, comments, places of errors, and what is written can be read. */
#include "sim/plan.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static Plan plan;
static ErrorList errors;

static void empty(void) {
    memset(&plan, 0, sizeof plan);
    memset(&errors, 0, sizeof errors);
}

START_TEST(plan_lines_come_in_order_of_time) {
    sim_plan_add_lines(&plan, "# night\n30min speed 9000\n\n10min milrinone 0.25 # slow\n30min peep 6\r\n",
                       "f", NULL, &errors);
    ck_assert_int_eq(errors.count, 0);
    ck_assert_int_eq(plan.count, 3);
    ck_assert_int_eq(plan.items[0].act.order.id, ORDER_milrinone);
    ck_assert_int_eq(plan.items[1].act.order.id, ORDER_speed);
    ck_assert_int_eq(plan.items[2].act.order.id, ORDER_peep); /* same time: as written */
    ck_assert_double_eq_tol(plan.items[2].time_s, 1800.0, 1e-9);
    ck_assert_str_eq(plan.items[0].text, "milrinone 0.25");
    ck_assert_int_eq(plan.items[0].line, 4);
}
END_TEST

START_TEST(plan_errors_are_all_given_with_their_place) {
    sim_plan_add_lines(&plan, "10min sped 9000\nspeed 9000\n5min\n1h speed 9000\n", "orders.txt", NULL,
                       &errors);
    ck_assert_int_eq(errors.count, 3);
    ck_assert_int_eq(plan.count, 1);
    ck_assert_str_eq(errors.items[0].where, "orders.txt");
    ck_assert_int_eq(errors.items[0].line, 1);
    ck_assert_int_eq(errors.items[0].column, 7);
    ck_assert_int_eq(errors.items[1].line, 2);
    ck_assert_int_eq(errors.items[1].column, 1);
    ck_assert_int_eq(errors.items[2].line, 3);
}
END_TEST

START_TEST(plan_overlong_and_strange_lines_are_refused) {
    static char text[2000];
    memset(text, 'x', sizeof text - 1);
    sim_plan_add_lines(&plan, text, "f", NULL, &errors);
    ck_assert_int_eq(errors.count, 1);
    snprintf(text, sizeof text, "5min %01500d", 7);
    sim_plan_add_lines(&plan, text, "f", NULL, &errors);
    ck_assert_int_eq(errors.count, 2);
    sim_plan_add_lines(&plan, "\xff\xfe 9000\n-5min speed 9000\n5min speed nan", "f", NULL, &errors);
    ck_assert_int_eq(errors.count, 5);
    ck_assert_int_eq(plan.count, 0);
}
END_TEST

START_TEST(plan_full_is_said) {
    for (int i = 0; i < PLAN_MAX; i++)
        ck_assert_int_eq(sim_plan_add(&plan, "1h speed 9000", "f", 0, NULL, NULL), ERROR_OK);
    Error error;
    ck_assert_int_eq(sim_plan_add(&plan, "1h speed 9000", "f", 0, NULL, &error), ERROR_RANGE);
    ck_assert_ptr_nonnull(strstr(error.allowed, "512"));
}
END_TEST

START_TEST(plan_written_reads_back) {
    sim_plan_add_lines(&plan,
                       "90s speed 9000\n1h30min bolus crystalloid 250mL over 10min\n2h norepinephrine off\n",
                       "f", NULL, &errors);
    ck_assert_int_eq(plan.count, 3);
    char *text = sim_plan_write(&plan);
    static Plan again;
    memset(&again, 0, sizeof again);
    sim_plan_add_lines(&again, text, "f", NULL, &errors);
    ck_assert_int_eq(errors.count, 0);
    ck_assert_int_eq(again.count, 3);
    for (int i = 0; i < 3; i++) {
        ck_assert_double_eq_tol(again.items[i].time_s, plan.items[i].time_s, 1e-9);
        ck_assert_str_eq(again.items[i].text, plan.items[i].text);
    }
    free(text);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/plan");
    TCase *c = tcase_create("plan");
    tcase_add_checked_fixture(c, empty, NULL);
    tcase_add_test(c, plan_lines_come_in_order_of_time);
    tcase_add_test(c, plan_errors_are_all_given_with_their_place);
    tcase_add_test(c, plan_overlong_and_strange_lines_are_refused);
    tcase_add_test(c, plan_full_is_said);
    tcase_add_test(c, plan_written_reads_back);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
