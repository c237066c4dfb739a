/* Lines and the finger: damping, zero, flush, draw, balloon, oximeter, against signals made here. */
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
    beat.ticks = TICKS;
    beat.ventricular = true;
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 70;
        beat.samples[i].pa_mmhg = 20;
        beat.samples[i].pulmonary_vein_mmhg = 11;
        beat.samples[i].cvp_mmhg = 8;
    }
    beat.observables.sao2_frac = 0.97;
    beat.observables.wedge_mmhg = 11;
    sim_instruments_start(&state, 9);
}

static void pulse(double half_mmhg) {
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 70 + half_mmhg * sin(6.283185307179586 * i / TICKS);
    }
}

static void play(int beats) {
    for (int i = 0; i < beats; i++) {
        sim_instruments_advance(&state, &beat, &parameters, &trace);
        beat.first_tick += beat.ticks;
    }
}

/* Highest value of the arterial trace after a step of 50 mmHg, as a share of the step. */
static double overshoot(double damping) {
    setup();
    parameters.art_line_damping = damping;
    play(5);
    for (int i = 0; i < TICKS; i++) {
        beat.samples[i].artery_mmhg = 120;
    }
    play(1);
    double top = 0;
    for (int i = 0; i < TICKS; i++) {
        top = fmax(top, trace.value[TRACE_ART][i]);
    }
    return (top - 120) / 50;
}

START_TEST(lines_overshoot_as_their_damping_says) {
    /* exp(-pi z/sqrt(1 - z^2)): any control textbook */
    ck_assert_double_eq_tol(overshoot(0.15), exp(-3.14159265 * 0.15 / sqrt(1 - 0.0225)), 0.03);
    ck_assert_double_eq_tol(overshoot(0.7), 0.046, 0.02);
    ck_assert_double_le(overshoot(1.0), 0.02);
    ck_assert_double_le(overshoot(3.0), 0.02);
}
END_TEST

START_TEST(lines_damped_too_much_lose_the_pulse_and_keep_the_mean) {
    setup();
    pulse(15);
    play(20);
    double wide = state.display.value[DISPLAY_art_sys_mmhg] - state.display.value[DISPLAY_art_dia_mmhg];
    parameters.art_line_damping = 4;
    parameters.art_line_hz = 2;
    play(20);
    double narrow = state.display.value[DISPLAY_art_sys_mmhg] - state.display.value[DISPLAY_art_dia_mmhg];
    ck_assert_double_lt(narrow, 0.5 * wide);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_art_mean_mmhg], 70, 1.1);
}
END_TEST

START_TEST(lines_hung_wrong_read_wrong_until_zeroed) {
    setup();
    parameters.cvp_zero_mmhg = 7.4; /* 10 cm too low */
    play(20);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_cvp_mmhg], 15, 1.1);
    sim_instruments_handle(&state, 0, 0, ORDER_HANDS_ZERO);
    play(3);
    ck_assert_double_eq_tol(trace.value[TRACE_CVP][TICKS / 2], 0, 1.1);      /* open to air */
    ck_assert_double_eq_tol(state.display.value[DISPLAY_cvp_mmhg], 15, 1.1); /* the number is held */
    play(30);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_cvp_mmhg], 8, 0.6);
}
END_TEST

START_TEST(lines_drift_within_a_few_mmhg_and_not_alike) {
    double square = 0, most = 0;
    const int nights = 20;
    for (int seed = 0; seed < nights; seed++) {
        setup();
        sim_instruments_start(&state, (uint64_t)seed);
        play(4500); /* an hour */
        square += state.art.drift_mmhg * state.art.drift_mmhg / nights;
        most = fmax(most, fabs(state.art.drift_mmhg));
        ck_assert_double_gt(fabs(state.art.drift_mmhg - state.pa.drift_mmhg), 0);
    }
    ck_assert_double_eq_tol(sqrt(square), 0.4, 0.25); /* 0.4 mmHg for a square root hour */
    ck_assert_double_lt(most, 2);
}
END_TEST

START_TEST(lines_flush_is_a_square_wave_that_rings_out) {
    setup();
    play(5);
    double before = state.display.value[DISPLAY_art_mean_mmhg];
    sim_instruments_handle(&state, 0, 0, ORDER_HANDS_FLUSH_ART);
    play(1);
    ck_assert_double_ge(trace.value[TRACE_ART][TICKS - 1], 290);
    double lowest = 300;
    for (int b = 0; b < 3; b++) {
        play(1);
        for (int i = 0; i < TICKS; i++) {
            lowest = fmin(lowest, trace.value[TRACE_ART][i]);
        }
    }
    /* falls 230 mmHg and rings below the pressure by 20 % of it */
    ck_assert_double_lt(lowest, 70 - 0.1 * 230);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_art_mean_mmhg], before, 1e-9);
    play(10);
    ck_assert_double_eq_tol(trace.value[TRACE_ART][TICKS - 1], 70, 1);
    ck_assert_int_eq(state.art.hands, LINE_LEFT_ALONE);
}
END_TEST

START_TEST(lines_show_nothing_of_the_patient_while_blood_is_drawn) {
    setup();
    play(5);
    sim_instruments_handle(&state, 0, 0, ORDER_HANDS_DRAW_ART);
    play(3);
    ck_assert_double_lt(trace.value[TRACE_ART][TICKS - 1], 10);
    ck_assert_double_eq_tol(trace.value[TRACE_CVP][TICKS - 1], 8, 1);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_art_mean_mmhg], 70, 1.1);
    play(16);
    ck_assert_double_eq_tol(trace.value[TRACE_ART][TICKS - 1], 70, 1);
}
END_TEST

START_TEST(lines_behind_the_balloon_show_the_left_atrium) {
    setup();
    play(5);
    sim_instruments_handle(&state, 0, 0, ORDER_HANDS_BALLOON);
    play(3);
    ck_assert_double_eq_tol(trace.value[TRACE_PA][TICKS - 1], 11, 1);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_pa_mean_mmhg], 20, 1.1); /* held */
    play(20);
    ck_assert_double_eq_tol(trace.value[TRACE_PA][TICKS - 1], 20, 1);
}
END_TEST

START_TEST(oximeter_needs_a_pulse) {
    setup();
    play(40);
    ck_assert(!state.display.valid[DISPLAY_spo2_percent]);
    pulse(12);
    play(60);
    ck_assert(state.display.valid[DISPLAY_spo2_percent]);
    ck_assert_double_eq_tol(state.display.value[DISPLAY_spo2_percent], 97, 4); /* 4 %: ISO 80601-2-61 */
}
END_TEST

START_TEST(oximeter_drops_out_with_a_weak_pulse_only) {
    int lost[2] = {0, 0};
    for (int strong = 0; strong < 2; strong++) {
        setup();
        pulse(strong ? 12 : 3.5); /* 24 and 7 mmHg of pulse pressure */
        for (int i = 0; i < 1500; i++) {
            play(1);
            lost[strong] += !state.display.valid[DISPLAY_spo2_percent];
        }
    }
    ck_assert_int_gt(lost[0], 150);
    ck_assert_int_lt(lost[0], 1350);
    ck_assert_int_le(lost[1], 2);
}
END_TEST

START_TEST(oximeter_is_late) {
    setup();
    pulse(12);
    play(60);
    double before = state.display.value[DISPLAY_spo2_percent];
    beat.observables.sao2_frac = 0.80;
    play(10); /* 8 s */
    ck_assert_double_gt(state.display.value[DISPLAY_spo2_percent], before - 4);
    play(100); /* a minute and a half */
    ck_assert_double_eq_tol(state.display.value[DISPLAY_spo2_percent], before - 17, 1.1);
}
END_TEST

START_TEST(oximeter_reads_low_with_methylene_blue) {
    setup();
    pulse(12);
    play(60);
    double before = state.display.value[DISPLAY_spo2_percent];
    parameters.methylene_blue_mg_kg_min = 0.1;
    play(750); /* ten minutes: 1 mg/kg */
    ck_assert_double_lt(state.display.value[DISPLAY_spo2_percent], before - 2);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("instruments_lines");
    TCase *c = tcase_create("instruments_lines");
    tcase_set_timeout(c, 60);
    tcase_add_test(c, lines_overshoot_as_their_damping_says);
    tcase_add_test(c, lines_damped_too_much_lose_the_pulse_and_keep_the_mean);
    tcase_add_test(c, lines_hung_wrong_read_wrong_until_zeroed);
    tcase_add_test(c, lines_drift_within_a_few_mmhg_and_not_alike);
    tcase_add_test(c, lines_flush_is_a_square_wave_that_rings_out);
    tcase_add_test(c, lines_show_nothing_of_the_patient_while_blood_is_drawn);
    tcase_add_test(c, lines_behind_the_balloon_show_the_left_atrium);
    tcase_add_test(c, oximeter_needs_a_pulse);
    tcase_add_test(c, oximeter_drops_out_with_a_weak_pulse_only);
    tcase_add_test(c, oximeter_is_late);
    tcase_add_test(c, oximeter_reads_low_with_methylene_blue);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
