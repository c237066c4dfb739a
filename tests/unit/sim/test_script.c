/* The timeline engine: triggers, ramps, objectives, endings. */
#include "sim/script.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static Case night; /* static: a case is too large for the stack */
static ScriptState state;
static ScriptEffects effects;
static Observables observables;
static Display display;
static Parameters parameters;

static void setup(void) {
    memset(&night, 0, sizeof night);
    memset(&observables, 0, sizeof observables);
    memset(&display, 0, sizeof display);
    parameters = model_parameters_standard();
    night.length_s = 3600;
    sim_script_start(&state);
}

static Condition condition(const char *text) {
    Condition out;
    Error error;
    ck_assert_int_eq(sim_condition_parse(text, &out, &error), ERROR_OK);
    return out;
}

static void look(double time_s) {
    ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    sim_script_advance(&state, &night, &inputs, time_s, &effects);
    for (int i = 0; i < effects.change_count; i++) {
        Error error;
        ck_assert_int_eq(
            model_parameters_set(&parameters, effects.changes[i].id, effects.changes[i].value, &error),
            ERROR_OK);
    }
}

static void add_event(CaseEvent event, CaseAction action) {
    event.first_action = night.action_count;
    event.action_count = 1;
    night.actions[night.action_count++] = action;
    night.events[night.event_count++] = event;
}

static CaseAction set_clot(double value) {
    return (CaseAction){.kind = CASE_ACTION_SET, .parameter = PARAMETER_clot_ra_ml, .value = value};
}

START_TEST(script_at_fires_once_at_its_time) {
    setup();
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 60}, set_clot(20));
    look(59.9);
    ck_assert_int_eq(effects.fired_count, 0);
    look(60.2);
    ck_assert_int_eq(effects.fired_count, 1);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 20, 1e-12);
    ck_assert_double_eq_tol(state.fired_s[0], 60.2, 1e-12);
    look(61);
    ck_assert_int_eq(effects.fired_count, 0);
}
END_TEST

START_TEST(script_when_needs_the_condition_unbroken) {
    setup();
    add_event((CaseEvent){.trigger = CASE_TRIGGER_WHEN, .when = condition("cvp_mmhg > 16"), .hold_s = 10},
              set_clot(20));
    observables.cvp_mmhg = 17;
    look(0);
    look(9);
    observables.cvp_mmhg = 15;
    look(9.5);
    observables.cvp_mmhg = 17;
    look(10);
    look(19.9);
    ck_assert_int_eq(effects.fired_count, 0);
    look(20);
    ck_assert_int_eq(effects.fired_count, 1);
}
END_TEST

START_TEST(script_after_follows_with_its_delay) {
    setup();
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AFTER, .after = 1, .plus_s = 30}, set_clot(20));
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 60}, set_clot(10));
    look(60);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 10, 1e-12);
    look(89.9);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 10, 1e-12);
    look(90);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 20, 1e-12);
}
END_TEST

START_TEST(script_within_comes_at_the_drawn_time) {
    setup();
    add_event((CaseEvent){.id = "clot", .trigger = CASE_TRIGGER_WITHIN, .at_s = 100, .until_s = 200},
              set_clot(20));
    sim_script_draw(&state, &night, 7);
    double drawn_s = state.drawn_s[0];
    ck_assert_double_ge(drawn_s, 100);
    ck_assert_double_lt(drawn_s, 200);
    look(drawn_s - 0.01);
    ck_assert_int_eq(effects.fired_count, 0);
    look(drawn_s);
    ck_assert_int_eq(effects.fired_count, 1);
    ck_assert_int_eq(state.way[0], SCRIPT_WAY_DO);
}
END_TEST

START_TEST(script_draw_of_an_event_ignores_the_others) {
    setup();
    add_event((CaseEvent){.id = "clot", .trigger = CASE_TRIGGER_WITHIN, .until_s = 200}, set_clot(20));
    sim_script_draw(&state, &night, 7);
    double alone_s = state.drawn_s[0];
    setup();
    add_event((CaseEvent){.id = "first", .trigger = CASE_TRIGGER_WITHIN, .until_s = 200}, set_clot(10));
    add_event((CaseEvent){.id = "clot", .trigger = CASE_TRIGGER_WITHIN, .until_s = 200}, set_clot(20));
    sim_script_draw(&state, &night, 7);
    ck_assert_double_eq_tol(state.drawn_s[1], alone_s, 1e-12);
    ck_assert_double_gt(fabs(state.drawn_s[0] - alone_s), 1e-6);
}
END_TEST

/* An event that asks for a clot already there, two that follow its ways, and what each does. */
static void add_branches(double clot_ml) {
    setup();
    parameters.clot_ra_ml = clot_ml;
    night.actions[night.action_count++] = set_clot(3);
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT,
                          .at_s = 10,
                          .only_if = condition("clot_ra_ml > 5"),
                          .first_other = 0,
                          .other_count = 1},
              set_clot(20));
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AFTER, .after = 0, .plus_s = 5}, set_clot(21));
    add_event((CaseEvent){.trigger = CASE_TRIGGER_INSTEAD, .after = 0, .plus_s = 5}, set_clot(4));
}

START_TEST(script_if_holds_goes_the_do_way) {
    add_branches(6);
    look(10);
    ck_assert_int_eq(state.way[0], SCRIPT_WAY_DO);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 20, 1e-12);
    look(100);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 21, 1e-12);
    ck_assert_double_lt(state.fired_s[2], 0);
}
END_TEST

START_TEST(script_if_fails_goes_the_other_way) {
    add_branches(4);
    look(10);
    ck_assert_int_eq(state.way[0], SCRIPT_WAY_OTHERWISE);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 3, 1e-12);
    look(100);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 4, 1e-12);
    ck_assert_double_lt(state.fired_s[1], 0);
    look(200);
    ck_assert_int_eq(effects.fired_count, 0);
}
END_TEST

START_TEST(script_chance_compares_with_the_draw) {
    for (int way = 0; way < 2; way++) {
        setup();
        add_event(
            (CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 10, .chance_given = true, .chance = way * 1.0},
            set_clot(20));
        sim_script_draw(&state, &night, 3);
        look(10);
        ck_assert_int_eq(state.way[0], way == 1 ? SCRIPT_WAY_DO : SCRIPT_WAY_OTHERWISE);
        ck_assert_double_eq_tol(parameters.clot_ra_ml, way == 1 ? 20 : 0, 1e-12);
    }
}
END_TEST

START_TEST(script_truth_is_of_the_way_that_was_gone) {
    setup();
    night.actions[night.action_count++] =
        (CaseAction){.kind = CASE_ACTION_TRUTH, .truth = {.diagnosis = DIAGNOSIS_right_failure}};
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT, .chance_given = true, .other_count = 1},
              (CaseAction){.kind = CASE_ACTION_TRUTH, .truth = {.diagnosis = DIAGNOSIS_clot_right}});
    look(0);
    ck_assert_int_eq(sim_script_truth_at(&state, &night, 1)->diagnosis, DIAGNOSIS_right_failure);
}
END_TEST

START_TEST(script_ramp_moves_evenly_from_what_is_there) {
    setup();
    parameters.rv_ees_mmhg_ml = 0.3;
    add_event(
        (CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 100},
        (CaseAction){
            .kind = CASE_ACTION_RAMP, .parameter = PARAMETER_rv_ees_mmhg_ml, .value = 0.1, .over_s = 200});
    look(100);
    look(150);
    ck_assert_double_eq_tol(parameters.rv_ees_mmhg_ml, 0.25, 1e-12);
    look(200);
    ck_assert_double_eq_tol(parameters.rv_ees_mmhg_ml, 0.2, 1e-12);
    look(400);
    ck_assert_double_eq_tol(parameters.rv_ees_mmhg_ml, 0.1, 1e-12);
    parameters.rv_ees_mmhg_ml = 0.2; /* a finished ramp lets go */
    look(401);
    ck_assert_double_eq_tol(parameters.rv_ees_mmhg_ml, 0.2, 1e-12);
}
END_TEST

START_TEST(script_new_ramp_or_set_ends_the_old_ramp) {
    setup();
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 0},
              (CaseAction){
                  .kind = CASE_ACTION_RAMP, .parameter = PARAMETER_clot_ra_ml, .value = 100, .over_s = 100});
    add_event(
        (CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 50},
        (CaseAction){.kind = CASE_ACTION_RAMP, .parameter = PARAMETER_clot_ra_ml, .value = 0, .over_s = 50});
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 75}, set_clot(7));
    look(0);
    look(50);
    look(60);
    ck_assert_double_lt(parameters.clot_ra_ml, 60);
    look(75);
    look(99);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 7, 1e-12);
}
END_TEST

START_TEST(script_objective_is_met_only_before_its_deadline) {
    setup();
    night.objective_count = 2;
    night.objectives[0] = (CaseObjective){.when = condition("art_mean_mmhg > 65"), .hold_s = 60, .by_s = 200};
    night.objectives[1] =
        (CaseObjective){.when = condition("art_mean_mmhg > 65"), .hold_s = 300, .by_s = 200};
    observables.art_mean_mmhg = 70;
    look(0);
    look(60);
    ck_assert_int_eq(effects.met_count, 1);
    ck_assert_int_eq(effects.met[0], 0);
    look(300);
    ck_assert_double_lt(state.objective_met_s[1], 0);
}
END_TEST

START_TEST(script_ending_holds_and_stops_everything) {
    setup();
    night.ending_count = 1;
    night.endings[0] =
        (CaseEnding){.when = condition("art_mean_mmhg < 35"), .hold_s = 60, .outcome = CASE_OUTCOME_DEATH};
    snprintf(night.endings[0].text, sizeof night.endings[0].text, "The circulation stopped.");
    add_event((CaseEvent){.trigger = CASE_TRIGGER_AT, .at_s = 100}, set_clot(20));
    observables.art_mean_mmhg = 30;
    look(0);
    ck_assert(!effects.ended);
    look(60);
    ck_assert(effects.ended);
    ck_assert_int_eq(state.outcome, CASE_OUTCOME_DEATH);
    ck_assert_str_eq(sim_script_end_text(&state, &night), "The circulation stopped.");
    look(100);
    ck_assert_int_eq(effects.fired_count, 0);
    ck_assert(!effects.ended);
}
END_TEST

START_TEST(script_length_takes_the_first_ending_that_holds) {
    setup();
    night.ending_count = 2;
    night.endings[0] = (CaseEnding){
        .when = condition("art_mean_mmhg > 65"), .at_length = true, .outcome = CASE_OUTCOME_GOOD};
    night.endings[1] = (CaseEnding){.at_length = true, .outcome = CASE_OUTCOME_MIXED};
    observables.art_mean_mmhg = 50;
    look(3599);
    ck_assert(!effects.ended);
    look(3600);
    ck_assert(effects.ended);
    ck_assert_int_eq(state.outcome, CASE_OUTCOME_MIXED);
    ck_assert_int_eq(state.ending, 1);
}
END_TEST

START_TEST(script_without_ending_stops_at_its_length) {
    setup();
    look(3600);
    ck_assert(effects.ended);
    ck_assert_int_eq(state.outcome, CASE_OUTCOME_NONE);
    ck_assert_str_ne(sim_script_end_text(&state, &night), "");
}
END_TEST

START_TEST(script_fullest_case_fires_all_in_one_look) {
    setup();
    for (int i = 0; i < CASE_EVENTS_MAX; i++) {
        CaseEvent event = {.trigger = CASE_TRIGGER_AT, .first_action = 2 * i, .action_count = 2};
        night.events[night.event_count++] = event;
        for (int k = 0; k < 2; k++) {
            night.actions[night.action_count++] =
                (CaseAction){.kind = k == 0 ? CASE_ACTION_RAMP : CASE_ACTION_MESSAGE,
                             .parameter = (ParameterId)(i % PARAMETER_COUNT),
                             .value = 0,
                             .over_s = 10};
        }
    }
    ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    sim_script_advance(&state, &night, &inputs, 0, &effects);
    ck_assert_int_eq(effects.fired_count, CASE_EVENTS_MAX);
    ck_assert_int_eq(effects.message_count, CASE_EVENTS_MAX);
    ck_assert_int_eq(effects.change_count, CASE_EVENTS_MAX);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("script");
    TCase *c = tcase_create("script");
    tcase_add_test(c, script_at_fires_once_at_its_time);
    tcase_add_test(c, script_when_needs_the_condition_unbroken);
    tcase_add_test(c, script_after_follows_with_its_delay);
    tcase_add_test(c, script_within_comes_at_the_drawn_time);
    tcase_add_test(c, script_draw_of_an_event_ignores_the_others);
    tcase_add_test(c, script_if_holds_goes_the_do_way);
    tcase_add_test(c, script_if_fails_goes_the_other_way);
    tcase_add_test(c, script_chance_compares_with_the_draw);
    tcase_add_test(c, script_truth_is_of_the_way_that_was_gone);
    tcase_add_test(c, script_ramp_moves_evenly_from_what_is_there);
    tcase_add_test(c, script_new_ramp_or_set_ends_the_old_ramp);
    tcase_add_test(c, script_objective_is_met_only_before_its_deadline);
    tcase_add_test(c, script_ending_holds_and_stops_everything);
    tcase_add_test(c, script_length_takes_the_first_ending_that_holds);
    tcase_add_test(c, script_without_ending_stops_at_its_length);
    tcase_add_test(c, script_fullest_case_fires_all_in_one_look);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
