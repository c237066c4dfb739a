/* Rhythms: intervals, onsets, strength. */
#include "model/people.h"
#include "model/rhythm.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdlib.h>

static Beat *beat;

static void make_beat(void) {
    beat = malloc(sizeof *beat);
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

static Run start(RhythmKind kind) {
    Run run = {.parameters = model_parameters_standard(), .effects = model_effects_none()};
    run.parameters.rhythm_kind = kind;
    run.parameters.respiratory_arrhythmia_frac = 0;
    run.random = model_random_seed(11);
    model_rhythm_start(&run.rhythm, &run.parameters);
    return run;
}

static void next(Run *run) {
    model_rhythm_next(&run->rhythm, &run->parameters, &run->effects, 0.0, &run->random, beat, &run->timing);
}

START_TEST(sinus_keeps_its_mean_rate_and_pr_interval) {
    Run run = start(RHYTHM_SINUS);
    int ticks = 0;
    for (int i = 0; i < 700; i++) {
        next(&run);
        ticks += beat->ticks;
        ck_assert_int_eq(beat->atrial_count, 1);
        ck_assert_int_eq(beat->ticks - beat->atrial_tick[0], 40); /* 0.16 s */
    }
    ck_assert_double_eq_tol(ticks * BEAT_TICK_S, 600, 0.01);
}
END_TEST

START_TEST(reflex_period_changes_the_interval) {
    Run run = start(RHYTHM_SINUS);
    run.effects.reflex_period_s = -0.2;
    next(&run);
    ck_assert_double_eq_tol(beat->ticks * BEAT_TICK_S, 60.0 / 70 - 0.2, 0.003);
    run.effects.reflex_period_s = -5;
    next(&run);
    ck_assert_double_ge(beat->ticks * BEAT_TICK_S, 0.32);
}
END_TEST

/* RR = 0.35 s + a gamma deviate of shape 4 with the same mean: variation coefficient 0.25-0.3, no memory
   (Bootsma, Circulation 1970;41:783) */
START_TEST(fibrillation_of_the_atria_is_irregular_without_memory) {
    Run run = start(RHYTHM_ATRIAL_FIBRILLATION);
    enum { COUNT = 4000 };
    static double rr[COUNT];
    double mean = 0;
    for (int i = 0; i < COUNT; i++) {
        next(&run);
        ck_assert_int_eq(beat->atrial_count, 0);
        rr[i] = beat->ticks * BEAT_TICK_S;
        mean += rr[i] / COUNT;
    }
    double variance = 0;
    double covariance = 0;
    for (int i = 1; i < COUNT; i++) {
        variance += (rr[i] - mean) * (rr[i] - mean);
        covariance += (rr[i] - mean) * (rr[i - 1] - mean);
    }
    ck_assert_double_eq_tol(mean, 60.0 / 70, 0.02);
    ck_assert_double_ge(sqrt(variance / COUNT) / mean, 0.22);
    ck_assert_double_le(sqrt(variance / COUNT) / mean, 0.33);
    ck_assert_double_le(fabs(covariance / variance), 0.06);
}
END_TEST

START_TEST(premature_beat_is_weak_and_followed_by_a_full_pause) {
    Run run = start(RHYTHM_SINUS);
    run.parameters.ectopic_per_min = 20;
    int seen = 0;
    for (int i = 0; i < 400; i++) {
        const double before_s = run.rhythm.rr_s[1];
        next(&run);
        if (!beat->ectopic) continue;
        seen++;
        ck_assert_double_eq_tol(before_s, 0.45, 0.005);
        ck_assert_double_eq_tol(before_s + beat->ticks * BEAT_TICK_S, 2 * 60.0 / 70, 0.01);
        ck_assert_double_lt(run.timing.ventricular[1].strength * run.timing.ventricular_ees_x, 0.8);
    }
    ck_assert_int_ge(seen, 40);
}
END_TEST

START_TEST(pacing_takes_over_below_its_rate_only) {
    Run run = start(RHYTHM_PACED_ATRIAL);
    run.parameters.pacing_rate_per_min = 90;
    next(&run);
    ck_assert(beat->paced_atrial);
    ck_assert_double_eq_tol(beat->ticks * BEAT_TICK_S, 60.0 / 90, 0.003);
    run.parameters.pacing_rate_per_min = 50;
    next(&run);
    ck_assert(!beat->paced_atrial);
    ck_assert_double_eq_tol(beat->ticks * BEAT_TICK_S, 60.0 / 70, 0.005);
}
END_TEST

START_TEST(ventricular_pacing_leaves_the_atria_their_own_clock) {
    Run run = start(RHYTHM_PACED_VENTRICULAR);
    run.parameters.pacing_rate_per_min = 40;
    int atrial = 0;
    int ticks = 0;
    for (int i = 0; i < 100; i++) {
        next(&run);
        ck_assert(beat->paced_ventricular);
        atrial += beat->atrial_count;
        ticks += beat->ticks;
    }
    ck_assert_double_eq_tol(atrial / (ticks * BEAT_TICK_S / 60), 70, 1);
    ck_assert_double_lt(run.timing.ventricular_ees_x, 1);
}
END_TEST

START_TEST(quiet_rhythms_have_no_onsets_and_forget_them) {
    Run run = start(RHYTHM_SINUS);
    for (int i = 0; i < 5; i++)
        next(&run);
    run.parameters.rhythm_kind = RHYTHM_VENTRICULAR_FIBRILLATION;
    for (int i = 0; i < 12; i++) {
        next(&run);
        ck_assert(!beat->ventricular);
        ck_assert_int_eq(beat->atrial_count, 0);
        ck_assert_int_le(beat->ticks * BEAT_TICK_MS, 1000);
        ck_assert_double_gt(run.timing.tone_frac, 0);
    }
    ck_assert_double_eq_tol(run.rhythm.ventricular[1].strength, 0, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("rhythm");
    TCase *c = tcase_create("rhythm");
    tcase_add_unchecked_fixture(c, make_beat, free_beat);
    tcase_add_test(c, sinus_keeps_its_mean_rate_and_pr_interval);
    tcase_add_test(c, reflex_period_changes_the_interval);
    tcase_add_test(c, fibrillation_of_the_atria_is_irregular_without_memory);
    tcase_add_test(c, premature_beat_is_weak_and_followed_by_a_full_pause);
    tcase_add_test(c, pacing_takes_over_below_its_rate_only);
    tcase_add_test(c, ventricular_pacing_leaves_the_atria_their_own_clock);
    tcase_add_test(c, quiet_rhythms_have_no_onsets_and_forget_them);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
