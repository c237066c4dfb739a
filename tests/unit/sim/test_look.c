/* Looks: asking, waiting, looking, resting, and every reason for a refusal. */
#include "sim/look.h"

#include "tests/support/check_main.h"

#include <string.h>

static LookState state;
static LookPolicy policy;
static Error error;
static bool shown;

static void on_request(void) {
    policy = sim_look_policy_of_probe(LOOK_PROBE_ON_REQUEST);
    policy.ready_s = 120;
    policy.longest_s = 60;
    policy.rest_s = 300;
    policy.at_most = 2;
    sim_look_start(&state);
}

static ErrorCode ask(LookView view, double time_s) {
    return sim_look_ask(&state, &policy, view, time_s, &shown, &error);
}

START_TEST(look_takes_its_time_and_ends_by_itself) {
    on_request();
    LookStatus status = sim_look_status(&state, &policy, 0);
    ck_assert_int_eq(status.phase, LOOK_NONE);
    ck_assert(!status.picture);
    ck_assert_int_eq(status.left, 2);
    ck_assert_int_eq(ask(LOOK_VIEW_short_axis, 100), ERROR_OK);
    ck_assert(!shown);
    status = sim_look_status(&state, &policy, 130);
    ck_assert_int_eq(status.phase, LOOK_ASKED);
    ck_assert_double_eq_tol(status.ready_s, 90, 1e-9);
    ck_assert(!status.picture);
    ck_assert_int_eq(sim_look_advance(&state, &policy, 219.9), LOOK_CHANGE_NONE);
    ck_assert_int_eq(sim_look_advance(&state, &policy, 220.4), LOOK_CHANGE_READY);
    ck_assert_int_eq(sim_look_advance(&state, &policy, 220.8), LOOK_CHANGE_NONE);
    status = sim_look_status(&state, &policy, 240.4);
    ck_assert_int_eq(status.phase, LOOK_SHOWN);
    ck_assert_int_eq(status.view, LOOK_VIEW_short_axis);
    ck_assert(status.picture);
    ck_assert_double_eq_tol(status.ends_s, 40, 1e-9);
    ck_assert_int_eq(status.left, 1);
    ck_assert_int_eq(sim_look_advance(&state, &policy, 281), LOOK_CHANGE_OVER);
    ck_assert_double_eq_tol(state.shown_total_s, 60.6, 1e-9);
    status = sim_look_status(&state, &policy, 300);
    ck_assert_int_eq(status.phase, LOOK_RESTING);
    ck_assert_double_eq_tol(status.rest_s, 281, 1e-9);
    ck_assert(!status.picture);
}
END_TEST

START_TEST(look_view_changes_while_it_is_coming_and_on_show) {
    on_request();
    ck_assert_int_eq(ask(LOOK_VIEW_inflow, 0), ERROR_OK);
    ck_assert_int_eq(ask(LOOK_VIEW_pericardium, 30), ERROR_OK);
    ck_assert_int_eq(sim_look_advance(&state, &policy, 120), LOOK_CHANGE_READY); /* not asked anew */
    ck_assert_int_eq(state.view, LOOK_VIEW_pericardium);
    ck_assert_int_eq(ask(LOOK_VIEW_aortic_valve, 130), ERROR_OK);
    ck_assert(shown);
    ck_assert_int_eq(state.view, LOOK_VIEW_aortic_valve);
    ck_assert_int_eq(state.count, 1);
}
END_TEST

START_TEST(look_rests_and_is_used_up) {
    on_request();
    for (int i = 0; i < 2; i++) {
        double start_s = 1000.0 * i;
        ck_assert_int_eq(ask(LOOK_VIEW_inflow, start_s), ERROR_OK);
        ck_assert_int_eq(sim_look_advance(&state, &policy, start_s + 120), LOOK_CHANGE_READY);
        ck_assert_int_eq(sim_look_end(&state, start_s + 150, &error), ERROR_OK);
        if (i > 0) break;
        ck_assert_int_eq(ask(LOOK_VIEW_inflow, start_s + 400), ERROR_NOT_ALLOWED);
        ck_assert_ptr_nonnull(strstr(error.allowed, "1 min"));
        ck_assert_int_eq(state.phase, LOOK_NONE);
    }
    ck_assert_int_eq(ask(LOOK_VIEW_inflow, 9000), ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.what, "used up"));
    ck_assert_int_eq(sim_look_status(&state, &policy, 9000).phase, LOOK_USED_UP);
    ck_assert_int_eq(sim_look_status(&state, &policy, 9000).left, 0);
    ck_assert_int_eq(sim_look_end(&state, 9000, &error), ERROR_NOT_ALLOWED);
}
END_TEST

START_TEST(look_given_up_before_it_comes_costs_none) {
    on_request();
    ck_assert_int_eq(ask(LOOK_VIEW_inflow, 0), ERROR_OK);
    ck_assert_int_eq(sim_look_end(&state, 60, &error), ERROR_OK);
    ck_assert_int_eq(state.count, 0);
    ck_assert_int_eq(sim_look_status(&state, &policy, 61).phase, LOOK_NONE);
    ck_assert_int_eq(ask(LOOK_VIEW_inflow, 61), ERROR_OK);
}
END_TEST

START_TEST(look_that_is_always_on_needs_no_asking) {
    policy = sim_look_policy_of_level(1);
    ck_assert_int_eq(policy.probe, LOOK_PROBE_ALWAYS_ON);
    sim_look_start(&state);
    ck_assert(sim_look_status(&state, &policy, 0).picture);
    for (int i = 0; i < 20; i++) {
        ck_assert_int_eq(ask(LOOK_VIEW_four_chamber, i), ERROR_OK);
        ck_assert(shown);
        ck_assert_int_eq(sim_look_advance(&state, &policy, 1e5), LOOK_CHANGE_NONE);
        ck_assert_int_eq(sim_look_end(&state, i + 0.5, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_look_status(&state, &policy, 30).left, -1);
    ck_assert(sim_look_status(&state, &policy, 30).picture);
}
END_TEST

START_TEST(look_can_be_refused_wholly_or_a_view) {
    policy = sim_look_policy_of_probe(LOOK_PROBE_NONE);
    sim_look_start(&state);
    ck_assert_int_eq(ask(LOOK_VIEW_four_chamber, 0), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_look_status(&state, &policy, 0).phase, LOOK_NEVER);
    ck_assert(!sim_look_status(&state, &policy, 0).picture);
    on_request();
    policy.view[LOOK_VIEW_inflow] = false;
    ck_assert_int_eq(ask(LOOK_VIEW_inflow, 0), ERROR_NOT_ALLOWED);
    ck_assert_ptr_nonnull(strstr(error.what, "inflow"));
    ck_assert_ptr_nonnull(strstr(error.allowed, "short_axis"));
    ck_assert_int_eq(ask(LOOK_VIEW_short_axis, 0), ERROR_OK);
}
END_TEST

START_TEST(look_levels_follow_the_table) {
    ck_assert_int_eq(sim_look_policy_of_level(2).probe, LOOK_PROBE_ALWAYS_ON);
    LookPolicy three = sim_look_policy_of_level(3);
    ck_assert_int_eq(three.probe, LOOK_PROBE_ON_REQUEST);
    ck_assert_double_eq_tol(three.ready_s, 180, 1e-9);
    for (int view = 0; view < LOOK_VIEW_COUNT; view++) {
        ck_assert(three.view[view]);
        ck_assert_int_eq(sim_look_view_find(sim_look_view_key((LookView)view)), view);
    }
    ck_assert_int_eq(sim_look_view_find("five_chamber"), LOOK_VIEW_COUNT);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/look");
    TCase *c = tcase_create("look");
    tcase_add_test(c, look_takes_its_time_and_ends_by_itself);
    tcase_add_test(c, look_view_changes_while_it_is_coming_and_on_show);
    tcase_add_test(c, look_rests_and_is_used_up);
    tcase_add_test(c, look_given_up_before_it_comes_costs_none);
    tcase_add_test(c, look_that_is_always_on_needs_no_asking);
    tcase_add_test(c, look_can_be_refused_wholly_or_a_view);
    tcase_add_test(c, look_levels_follow_the_table);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
