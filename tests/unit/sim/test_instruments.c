/* The instruments against signals made here: catheters, averages, validity, samples. */
#include "sim/instruments.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

enum { TICKS = 200 };

static Beat beat; /* static: large */
static Trace trace;
static InstrumentsState state;
static Parameters parameters;

static void setup(void) {
    memset(&beat, 0, sizeof beat);
    memset(&trace, 0, sizeof trace);
    parameters = model_parameters_standard();
    parameters.left_pump_present = 1;
    parameters.left_pump_powered = 1;
    beat.ticks = TICKS;
    beat.ventricular = true;
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 70;
        beat.samples[i].pa_mmhg = 20;
        beat.samples[i].cvp_mmhg = 8;
        beat.samples[i].left_pump_ml_s = 5000.0 / 60;
    }
    beat.observables.pump_flow_l_min = 5;
    beat.observables.pump_flow_shown_l_min = 4.7;
    beat.observables.pump_rpm = 8436;
    beat.observables.wedge_mmhg = 12;
    beat.observables.lactate_mmol_l = 2.04;
    beat.observables.hr_per_min = 75;
    sim_instruments_start(&state, 9);
}

static void play(int beats) {
    for (int i = 0; i < beats; i++) {
        sim_instruments_advance(&state, &beat, &parameters, &trace);
        beat.first_tick += beat.ticks;
    }
}

START_TEST(instruments_steady_pressure_is_shown_as_it_is) {
    setup();
    play(20);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_art_mean_mmhg], 70, 0.6);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_cvp_mmhg], 8, 0.6);
    for (int i = 0; i < TICKS; i++) {
        ck_assert_double_eq_tol(trace.value[TRACE_ART][i], 70, 0.4);
    }
}
END_TEST

START_TEST(instruments_catheter_rings_after_a_step_as_second_order) {
    /* a step of 50 mmHg: overshoot exp(-pi z / sqrt(1 - z^2)), z = 0.45: 20.5 % (any control textbook) */
    setup();
    play(5);
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 120;
    }
    play(1);
    double top = 0;
    for (int i = 0; i < TICKS; i++) {
        top = fmax(top, trace.value[TRACE_ART][i]);
    }
    ck_assert_double_eq_tol((top - 120) / 50, 0.205, 0.02);
    ck_assert_double_eq_tol(trace.value[TRACE_ART][TICKS - 1], 120, 0.3);
}
END_TEST

START_TEST(instruments_range_is_that_of_the_transducer) {
    setup();
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 500;
        beat.samples[i].cvp_mmhg = -90;
    }
    play(3);
    for (int i = 0; i < TICKS; i++) {
        ck_assert_double_le(trace.value[TRACE_ART][i], 300);
        ck_assert_double_ge(trace.value[TRACE_CVP][i], -30);
    }
}
END_TEST

START_TEST(instruments_pump_flow_is_the_estimate_not_the_truth) {
    setup();
    play(30);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_pump_flow_l_min], 4.7, 0.051);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_pump_rpm], 8440, 1e-9); /* whole tens */
}
END_TEST

START_TEST(instruments_unpowered_pump_shows_no_flow) {
    setup();
    play(5);
    parameters.left_pump_powered = 0;
    play(10);
    ck_assert(!state.display.valid[DISPLAY_pump_flow_l_min]);
    ck_assert(!state.display.valid[DISPLAY_right_pump_flow_l_min]);
    char text[16];
    sim_instruments_format(&state.display, DISPLAY_pump_flow_l_min, text, sizeof text);
    ck_assert_str_eq(text, "--");
}
END_TEST

START_TEST(instruments_console_reads_wrong_with_a_wrong_haematocrit) {
    setup();
    beat.observables.hct_frac = 0.35;
    play(30);
    double told = state.display.value[DISPLAY_pump_flow_l_min];
    parameters.left_pump_hct_set_frac =
        0.25; /* thicker than the console is told: more power, more flow shown */
    play(60);
    ck_assert_double_gt(state.display.value[DISPLAY_pump_flow_l_min], told + 0.3);
    parameters.left_pump_hct_set_frac = 0.35;
    play(60);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_pump_flow_l_min], told, 0.051);
}
END_TEST

START_TEST(instruments_console_shows_no_flow_when_it_is_very_low) {
    setup();
    beat.observables.pump_flow_shown_l_min = 0.6;
    play(30);
    ck_assert(!state.display.valid[DISPLAY_pump_flow_l_min]);
    ck_assert(state.display.valid[DISPLAY_pump_power_w]);
}
END_TEST

START_TEST(instruments_numbers_change_at_most_every_two_seconds) {
    setup();
    play(1);
    double taken_s = state.display.taken_s[DISPLAY_art_mean_mmhg];
    play(1);
    ck_assert_double_eq_tol(state.display.taken_s[DISPLAY_art_mean_mmhg], taken_s, 1e-12);
    play(2);
    ck_assert_double_gt(state.display.taken_s[DISPLAY_art_mean_mmhg], taken_s + 1.5);
}
END_TEST

START_TEST(instruments_averages_lag) {
    setup();
    play(30);
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 50;
    }
    play(3); /* 2.4 s of a window of 6 s: 1 - exp(-0.8) = 0.55 of the fall, less at the last update */
    double shown = state.display.value[DISPLAY_art_mean_mmhg];
    ck_assert_double_gt(shown, 52);
    ck_assert_double_lt(shown, 68);
    play(30);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_art_mean_mmhg], 50, 0.6);
}
END_TEST

START_TEST(instruments_copied_state_goes_on_the_same) {
    static InstrumentsState copy;
    static Trace other;
    setup();
    play(7);
    copy = state;
    Beat next = beat;
    play(1);
    sim_instruments_advance(&copy, &next, &parameters, &other);
    for (int k = 0; k < TRACE_COUNT; k++) {
        ck_assert_mem_eq(trace.value[k], other.value[k], TICKS * sizeof(double));
    }
}
END_TEST

START_TEST(instruments_tables_are_sound) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        const DisplayRow *row = sim_instruments_display_row((DisplayId)id);
        ck_assert_int_eq(sim_instruments_display_find(row->key), id);
        ck_assert_double_lt(row->low, row->high);
        ck_assert_int_le(row->decimals, 2);
    }
    ck_assert_int_eq(sim_instruments_display_find("nothing"), DISPLAY_COUNT);
    for (int id = 0; id < TRACE_COUNT; id++) {
        ck_assert_ptr_nonnull(sim_instruments_trace_row((TraceId)id)->key);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("instruments");
    TCase *c = tcase_create("instruments");
    tcase_add_test(c, instruments_steady_pressure_is_shown_as_it_is);
    tcase_add_test(c, instruments_catheter_rings_after_a_step_as_second_order);
    tcase_add_test(c, instruments_range_is_that_of_the_transducer);
    tcase_add_test(c, instruments_pump_flow_is_the_estimate_not_the_truth);
    tcase_add_test(c, instruments_unpowered_pump_shows_no_flow);
    tcase_add_test(c, instruments_console_reads_wrong_with_a_wrong_haematocrit);
    tcase_add_test(c, instruments_console_shows_no_flow_when_it_is_very_low);
    tcase_add_test(c, instruments_numbers_change_at_most_every_two_seconds);
    tcase_add_test(c, instruments_averages_lag);
    tcase_add_test(c, instruments_copied_state_goes_on_the_same);
    tcase_add_test(c, instruments_tables_are_sound);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
