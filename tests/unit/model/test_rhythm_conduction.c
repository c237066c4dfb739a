/* Block, escape and pacing wires: what is dropped, what takes over, what captures. */
#include "model/rhythm.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdlib.h>

static Beat *beat;

static void make_beat(void) {
    beat = calloc(1, sizeof *beat);
}

static void free_beat(void) {
    free(beat);
}

typedef struct Run {
    Parameters parameters;
    Effects effects;
    RhythmState rhythm;
    Random random;
    BeatTiming timing;
} Run;

/* Counts over many beats. */
typedef struct Count {
    double s;
    int beats, atria, paced_atria, paced_ventricles, lost_spikes, slow_spread;
} Count;

static Run start(RhythmKind kind) {
    Run run = {.parameters = model_parameters_standard(), .effects = model_effects_none()};
    run.parameters.rhythm_kind = kind;
    run.parameters.respiratory_arrhythmia_frac = 0;
    run.parameters.ventricular_sensing = 1;
    run.random = model_random_seed(3);
    model_rhythm_start(&run.rhythm, &run.parameters);
    return run;
}

static Count play(Run *run, int beats) {
    Count count = {0};
    for (int i = 0; i < beats; i++) {
        model_rhythm_next(&run->rhythm, &run->parameters, &run->effects, 0.0, &run->random, beat,
                          &run->timing);
        count.s += beat->ticks * BEAT_TICK_S;
        count.beats += beat->ventricular;
        count.atria += beat->atrial_count;
        count.paced_atria += beat->paced_atrial;
        count.paced_ventricles += beat->paced_ventricular;
        count.lost_spikes += beat->lost_spike_tick > 0;
        count.slow_spread += run->timing.ventricular_ees_x < 1.0;
    }
    return count;
}

static double per_min(int count, double s) {
    return 60.0 * count / s;
}

START_TEST(two_to_one_block_halves_the_ventricles_only) {
    Run run = start(RHYTHM_SINUS);
    run.parameters.sinus_rate_per_min = 90;
    run.parameters.av_block_frac = 0.5;
    const Count c = play(&run, 400);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 45, 0.3);
    ck_assert_double_eq_tol(per_min(c.atria, c.s), 90, 0.6);
    ck_assert_int_eq(c.slow_spread, 0); /* conducted: narrow */
}
END_TEST

START_TEST(complete_block_escapes_with_its_own_atria) {
    Run run = start(RHYTHM_SINUS);
    run.parameters.av_block_frac = 1;
    run.parameters.escape_rate_per_min = 36;
    const Count c = play(&run, 300);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 36, 0.3);
    ck_assert_double_eq_tol(per_min(c.atria, c.s), 70, 1);
    ck_assert_int_ge(c.slow_spread, 298);
}
END_TEST

START_TEST(escape_comes_before_a_long_pause) {
    Run run = start(RHYTHM_SINUS);
    run.parameters.sinus_rate_per_min = 50;
    run.parameters.av_block_frac = 0.5; /* 25/min would be conducted */
    const Count c = play(&run, 200);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 38, 0.5);
}
END_TEST

START_TEST(fibrillation_with_complete_block_is_regular_and_slow) {
    Run run = start(RHYTHM_ATRIAL_FIBRILLATION);
    run.parameters.av_block_frac = 1;
    (void)play(&run, 5);
    for (int i = 0; i < 50; i++) {
        (void)play(&run, 1);
        ck_assert_double_eq_tol(beat->ticks * BEAT_TICK_S, 60.0 / 38, 0.005);
        ck_assert_int_eq(beat->atrial_count, 0);
    }
}
END_TEST

START_TEST(vvi_waits_for_a_faster_heart_and_supports_a_slow_one) {
    Run run = start(RHYTHM_PACED_VENTRICULAR);
    run.parameters.pacing_rate_per_min = 60;
    Count c = play(&run, 200);
    ck_assert_int_le(c.paced_ventricles, 1);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 70, 0.5);
    run.parameters.av_block_frac = 1;
    (void)play(&run, 3);
    c = play(&run, 200);
    ck_assert_int_eq(c.paced_ventricles, 200);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 60, 0.5);
}
END_TEST

START_TEST(aai_needs_conduction_and_ddd_does_not) {
    Run aai = start(RHYTHM_PACED_ATRIAL);
    aai.parameters.pacing_rate_per_min = 90;
    aai.parameters.av_block_frac = 1;
    const Count alone = play(&aai, 200);
    ck_assert_double_eq_tol(per_min(alone.beats, alone.s), 38, 0.5);
    ck_assert_double_eq_tol(per_min(alone.atria, alone.s), 90, 2);
    Run ddd = start(RHYTHM_PACED_BOTH);
    ddd.parameters.pacing_rate_per_min = 90;
    ddd.parameters.av_block_frac = 1;
    const Count both = play(&ddd, 200);
    ck_assert_double_eq_tol(per_min(both.beats, both.s), 90, 0.5);
    ck_assert_int_eq(both.paced_ventricles, 200);
}
END_TEST

START_TEST(output_below_threshold_leaves_spikes_without_beats) {
    Run run = start(RHYTHM_PACED_VENTRICULAR);
    run.parameters.pacing_rate_per_min = 80;
    run.parameters.av_block_frac = 1;
    run.parameters.ventricular_threshold_ma = 15;
    (void)play(&run, 2);
    const Count c = play(&run, 100);
    ck_assert_int_eq(c.paced_ventricles, 0);
    ck_assert_int_eq(c.lost_spikes, 100);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 38, 0.5);
}
END_TEST

START_TEST(capture_near_the_threshold_comes_and_goes) {
    Run run = start(RHYTHM_PACED_BOTH);
    run.parameters.pacing_rate_per_min = 90;
    run.parameters.ventricular_threshold_ma = 10; /* the output */
    const Count c = play(&run, 1000);
    ck_assert_int_gt(c.paced_ventricles, 400);
    ck_assert_int_lt(c.paced_ventricles, 600);
}
END_TEST

START_TEST(a_silent_heart_beats_only_where_wires_capture) {
    Run run = start(RHYTHM_PACED_VENTRICULAR);
    run.parameters.underlying_rhythm_kind = RHYTHM_ASYSTOLE;
    run.parameters.pacing_rate_per_min = 80;
    Count c = play(&run, 100);
    ck_assert_double_eq_tol(per_min(c.beats, c.s), 80, 0.6);
    ck_assert_int_eq(c.atria, 0);
    run.parameters.ventricular_threshold_ma = 30;
    c = play(&run, 20);
    ck_assert_int_eq(c.beats, 0);
    ck_assert_int_eq(beat->rhythm, RHYTHM_ASYSTOLE);
}
END_TEST

START_TEST(paced_ventricles_over_fibrillating_atria_have_no_kick) {
    Run run = start(RHYTHM_PACED_VENTRICULAR);
    run.parameters.underlying_rhythm_kind = RHYTHM_ATRIAL_FIBRILLATION;
    run.parameters.sinus_rate_per_min = 80;
    run.parameters.pacing_rate_per_min = 90;
    const Count c = play(&run, 500);
    ck_assert_int_eq(c.atria, 0);
    /* the pauses are filled, short intervals stay the heart's own */
    ck_assert_int_gt(c.paced_ventricles, 100);
    ck_assert_int_lt(c.paced_ventricles, 450);
    ck_assert_double_gt(per_min(c.beats, c.s), 90);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("rhythm_conduction");
    TCase *c = tcase_create("rhythm_conduction");
    tcase_add_checked_fixture(c, make_beat, free_beat);
    tcase_add_test(c, two_to_one_block_halves_the_ventricles_only);
    tcase_add_test(c, complete_block_escapes_with_its_own_atria);
    tcase_add_test(c, escape_comes_before_a_long_pause);
    tcase_add_test(c, fibrillation_with_complete_block_is_regular_and_slow);
    tcase_add_test(c, vvi_waits_for_a_faster_heart_and_supports_a_slow_one);
    tcase_add_test(c, aai_needs_conduction_and_ddd_does_not);
    tcase_add_test(c, output_below_threshold_leaves_spikes_without_beats);
    tcase_add_test(c, capture_near_the_threshold_comes_and_goes);
    tcase_add_test(c, a_silent_heart_beats_only_where_wires_capture);
    tcase_add_test(c, paced_ventricles_over_fibrillating_atria_have_no_kick);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
