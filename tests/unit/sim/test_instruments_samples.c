/* What is taken and read: when, how late, how wrong. */
#include "sim/instruments.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { TICKS = 200 }; /* 0.8 s */

static Beat beat; /* static: large */
static Trace trace;
static InstrumentsState state;
static Parameters parameters;

static void setup(uint64_t seed) {
    memset(&beat, 0, sizeof beat);
    memset(&trace, 0, sizeof trace);
    parameters = model_parameters_standard();
    beat.ticks = TICKS;
    beat.ventricular = true;
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 70 + 10 * (i % 2);
    }
    beat.observables.wedge_mmhg = 12;
    beat.observables.lactate_mmol_l = 2.04;
    beat.observables.hb_g_dl = 9;
    beat.observables.svo2_frac = 0.62;
    beat.observables.right_flow_l_min = 5;
    beat.observables.urine_ml_h = 90;
    beat.observables.drain_ml_h = 120;
    sim_instruments_start(&state, seed);
}

static void play(int beats) {
    for (int i = 0; i < beats; i++) {
        beat.observables.urine_total_ml += beat.observables.urine_ml_h * 0.8 / 3600;
        beat.observables.drain_total_ml += beat.observables.drain_ml_h * 0.8 / 3600;
        sim_instruments_advance(&state, &beat, &parameters, &trace);
        beat.first_tick += beat.ticks;
    }
}

static double shown(DisplayId id) {
    return state.display.valid[id] ? state.display.value[id] : NAN;
}

START_TEST(samples_show_what_was_there_when_they_were_taken) {
    setup(1);
    play(10);
    beat.observables.lactate_mmol_l = 4.5;
    sim_instruments_handle(&state, 1u << ORDER_TEST_LACTATE, 0, 0);
    play(1);
    ck_assert_double_eq_tol(shown(DISPLAY_lactate_mmol_l), 2.0, 1e-9); /* on its way */
    double drawn_s = (double)(beat.first_tick) * BEAT_TICK_S;
    beat.observables.lactate_mmol_l = 8;
    play(100);
    char text[INSTRUMENTS_RESULT_MAX];
    ck_assert_ptr_null(sim_instruments_result(&state, ORDER_TEST_LACTATE, text, sizeof text));
    sim_instruments_handle(&state, 0, 1u << ORDER_TEST_LACTATE, 0);
    play(1);
    ck_assert_double_eq_tol(shown(DISPLAY_lactate_mmol_l), 4.5, 1e-9);
    ck_assert_double_eq_tol(state.display.taken_s[DISPLAY_lactate_mmol_l], drawn_s, 1e-9);
    ck_assert_str_eq(sim_instruments_result(&state, ORDER_TEST_LACTATE, text, sizeof text), "Laboratory");
    ck_assert_ptr_nonnull(strstr(text, "4.5"));
    play(1);
    ck_assert_ptr_null(sim_instruments_result(&state, ORDER_TEST_LACTATE, text, sizeof text));
}
END_TEST

START_TEST(samples_come_every_hour_without_being_asked) {
    setup(1);
    play(1);
    ck_assert_double_eq_tol(shown(DISPLAY_lactate_mmol_l), 2.0, 1e-9);
    beat.observables.lactate_mmol_l = 6;
    play(4490);
    ck_assert_double_eq_tol(shown(DISPLAY_lactate_mmol_l), 2.0, 1e-9);
    play(20);
    ck_assert_double_eq_tol(shown(DISPLAY_lactate_mmol_l), 6, 1e-9);
    ck_assert_double_ge(state.display.taken_s[DISPLAY_lactate_mmol_l], 3600);
    ck_assert_int_eq(state.art.hands, LINE_DRAWN); /* and the line shows it */
}
END_TEST

START_TEST(wedge_is_not_shown_again_until_it_is_measured_again) {
    setup(1);
    play(1);
    double first = shown(DISPLAY_wedge_mmhg);
    ck_assert_double_eq_tol(first, 12, 1.6);
    beat.observables.wedge_mmhg = 25;
    play(2000);
    ck_assert_double_eq_tol(shown(DISPLAY_wedge_mmhg), first, 1e-9);
    sim_instruments_handle(&state, 1u << ORDER_TEST_WEDGE, 1u << ORDER_TEST_WEDGE, 0);
    play(1);
    ck_assert_double_eq_tol(shown(DISPLAY_wedge_mmhg), 25, 2.6);
}
END_TEST

START_TEST(wedge_is_as_wrong_as_its_line) {
    setup(1);
    parameters.pa_zero_mmhg = 8;
    play(1);
    ck_assert_double_eq_tol(shown(DISPLAY_wedge_mmhg), 20, 1.6);
}
END_TEST

/* Mean and standard deviation of the reading in 400 nights. */
static void thermodilute(double flow_l_min, double tr_frac, double *mean, double *sd) {
    double sum = 0, square = 0;
    const int nights = 400;
    const unsigned bit = 1u << ORDER_TEST_THERMODILUTION;
    for (int i = 0; i < nights; i++) {
        setup((uint64_t)i);
        beat.observables.right_flow_l_min = flow_l_min;
        beat.observables.tr_frac = tr_frac;
        play(1);
        ck_assert(!state.display.valid[DISPLAY_thermodilution_l_min]); /* nobody has measured */
        sim_instruments_handle(&state, bit, bit, 0);
        play(1);
        double value = shown(DISPLAY_thermodilution_l_min);
        sum += value / nights;
        square += value * value / nights;
    }
    *mean = sum;
    *sd = sqrt(square - sum * sum);
}

START_TEST(thermodilution_scatters_and_errs_as_known) {
    double mean, sd, leak, low;
    thermodilute(5, 0, &mean, &sd);
    ck_assert_double_eq_tol(mean, 5, 0.06);
    ck_assert_double_eq_tol(sd / mean, 0.10 / sqrt(3), 0.012); /* three injections of 10 % */
    thermodilute(5, 0.4, &leak, &sd);
    ck_assert_double_lt(leak, 4.6); /* a leaking tricuspid valve: too low */
    thermodilute(2, 0, &low, &sd);
    ck_assert_double_gt(low, 2.1); /* at low output: too high */
}
END_TEST

START_TEST(thermodilution_tells_its_injections) {
    char text[INSTRUMENTS_RESULT_MAX];
    const unsigned bit = 1u << ORDER_TEST_THERMODILUTION;
    setup(4);
    play(1);
    sim_instruments_handle(&state, bit, bit, 0);
    play(1);
    ck_assert_str_eq(sim_instruments_result(&state, ORDER_TEST_THERMODILUTION, text, sizeof text), "Nurse");
    double a, b, c;
    const char *list = strstr(text, "injections ");
    ck_assert_ptr_nonnull(list);
    ck_assert_int_eq(sscanf(list, "injections %lf, %lf, %lf", &a, &b, &c), 3);
    ck_assert_double_eq_tol((a + b + c) / 3, shown(DISPLAY_thermodilution_l_min), 0.11);
}
END_TEST

START_TEST(urine_is_read_on_the_hour_and_holds) {
    setup(1);
    play(10);
    ck_assert_double_eq_tol(shown(DISPLAY_urine_ml_h), 90, 1); /* the hour before the case */
    beat.observables.urine_ml_h = 20;
    play(4400);
    ck_assert_double_eq_tol(shown(DISPLAY_urine_ml_h), 90, 1);
    play(100);
    ck_assert_double_eq_tol(shown(DISPLAY_urine_ml_h), 20, 2);
    ck_assert_double_eq_tol(state.display.taken_s[DISPLAY_urine_ml_h], 3600, 1);
}
END_TEST

START_TEST(urine_can_be_read_in_between) {
    setup(1);
    beat.observables.urine_ml_h = 60;
    play(2250); /* half an hour */
    beat.observables.urine_ml_h = 10;
    play(2250);
    const unsigned bit = 1u << ORDER_TEST_URINE;
    beat.observables.urine_ml_h = 200;
    play(1125); /* a quarter */
    sim_instruments_handle(&state, bit, bit, 0);
    play(1);
    ck_assert_double_eq_tol(shown(DISPLAY_urine_ml_h), 200, 8); /* since the bag was read on the hour */
}
END_TEST

START_TEST(bottle_shows_what_is_in_it_and_no_more) {
    setup(1);
    play(1125 * 2);
    ck_assert_double_eq_tol(shown(DISPLAY_drain_ml_h), 120, 21); /* marks of 5 mL in a quarter of an hour */
    ck_assert_double_eq_tol(shown(DISPLAY_drain_total_ml), 60, 5.1);
    /* the drain clots: the patient bleeds on inside, the bottle does not rise */
    beat.observables.drain_ml_h = 0;
    beat.observables.pericardial_ml = 300;
    play(1125 * 2);
    ck_assert_double_eq_tol(shown(DISPLAY_drain_ml_h), 0, 1e-9);
    ck_assert_double_eq_tol(shown(DISPLAY_drain_total_ml), 60, 5.1);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("instruments_samples");
    TCase *c = tcase_create("instruments_samples");
    tcase_set_timeout(c, 60);
    tcase_add_test(c, samples_show_what_was_there_when_they_were_taken);
    tcase_add_test(c, samples_come_every_hour_without_being_asked);
    tcase_add_test(c, wedge_is_not_shown_again_until_it_is_measured_again);
    tcase_add_test(c, wedge_is_as_wrong_as_its_line);
    tcase_add_test(c, thermodilution_scatters_and_errs_as_known);
    tcase_add_test(c, thermodilution_tells_its_injections);
    tcase_add_test(c, urine_is_read_on_the_hour_and_holds);
    tcase_add_test(c, urine_can_be_read_in_between);
    tcase_add_test(c, bottle_shows_what_is_in_it_and_no_more);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
