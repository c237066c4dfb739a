/* The electrocardiogram follows the beats it is given. */
#include "sim/ecg.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

enum { RR_TICKS = 200 };

static Beat beat; /* static: large */
static EcgState ecg;
static Random noise;
static double mv[BEAT_TICKS_MAX];

static void setup(void) {
    memset(&beat, 0, sizeof beat);
    beat.ticks = RR_TICKS;
    sim_ecg_start(&ecg);
    noise = model_random_seed(5);
}

static void play(void) {
    sim_ecg_advance(&ecg, &beat, &noise, mv);
    beat.first_tick += beat.ticks;
}

static int highest(int from, int to) {
    int at = from;
    for (int i = from; i < to; i++) {
        if (mv[i] > mv[at]) at = i;
    }
    return at;
}

START_TEST(ecg_r_wave_stands_after_the_ventricular_onset) {
    setup();
    beat.ventricular = true;
    play();
    int r = highest(0, RR_TICKS);
    ck_assert_int_ge(r, 6);
    ck_assert_int_le(r, 14); /* 24-56 ms */
    ck_assert_double_gt(mv[r], 0.8);
}
END_TEST

START_TEST(ecg_p_wave_stands_at_the_atrial_onset_also_across_beats) {
    setup();
    beat.ventricular = true;
    beat.atrial_count = 1;
    beat.atrial_tick[0] = 160;
    play();
    int p = highest(150, RR_TICKS);
    ck_assert_int_ge(p, 165);
    ck_assert_int_le(p, 185);
    beat.atrial_tick[0] = RR_TICKS - 2; /* its wave comes with the next beat */
    play();
    beat.ventricular = false;
    beat.atrial_count = 0;
    play();
    ck_assert_double_gt(mv[highest(0, 40)], 0.05);
}
END_TEST

START_TEST(ecg_no_activation_is_nearly_flat) {
    setup();
    beat.rhythm = RHYTHM_ASYSTOLE;
    play();
    for (int i = 0; i < RR_TICKS; i++) {
        ck_assert_double_lt(fabs(mv[i]), 0.05);
    }
}
END_TEST

START_TEST(ecg_fibrillation_moves_without_complexes) {
    setup();
    beat.rhythm = RHYTHM_VENTRICULAR_FIBRILLATION;
    double sum = 0;
    for (int k = 0; k < 5; k++) {
        play();
        for (int i = 0; i < RR_TICKS; i++) {
            sum += mv[i] * mv[i] / (5 * RR_TICKS);
        }
    }
    ck_assert_double_gt(sqrt(sum), 0.15);
    ck_assert_double_lt(sqrt(sum), 0.8);
}
END_TEST

START_TEST(ecg_same_seed_is_the_same_trace) {
    double first[RR_TICKS];
    setup();
    beat.ventricular = true;
    beat.rhythm = RHYTHM_ATRIAL_FIBRILLATION;
    play();
    memcpy(first, mv, sizeof first);
    setup();
    beat.ventricular = true;
    beat.rhythm = RHYTHM_ATRIAL_FIBRILLATION;
    play();
    ck_assert_mem_eq(first, mv, sizeof first);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("ecg");
    TCase *c = tcase_create("ecg");
    tcase_add_test(c, ecg_r_wave_stands_after_the_ventricular_onset);
    tcase_add_test(c, ecg_p_wave_stands_at_the_atrial_onset_also_across_beats);
    tcase_add_test(c, ecg_no_activation_is_nearly_flat);
    tcase_add_test(c, ecg_fibrillation_moves_without_complexes);
    tcase_add_test(c, ecg_same_seed_is_the_same_trace);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
