/* The alarm sounds: pulses, spacings and spectrum against the conventions, and when a burst is due. No
 * device. */
#include "ui/audio.h"
#include "ui/sound.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdlib.h>

static float samples[SOUND_SAMPLES_MAX];

/* Amplitude of one frequency in a stretch of samples (one line of a discrete Fourier transform, Hann window).
 */
static double amplitude_at(const float x[], int count, double hz) {
    const double two_pi = 6.283185307179586;
    double re = 0, im = 0, weight = 0;
    for (int i = 0; i < count; i++) {
        double w = 0.5 - 0.5 * cos(two_pi * i / (count - 1));
        re += w * x[i] * cos(two_pi * hz * i / SOUND_RATE_HZ);
        im += w * x[i] * sin(two_pi * hz * i / SOUND_RATE_HZ);
        weight += w;
    }
    return 2 * sqrt(re * re + im * im) / weight;
}

/* Finds pulses by their envelope alone: stretches above a tenth of the peak, gaps longer than 10 ms. */
static int find_pulses(const float x[], int count, double start_s[], double end_s[], int most) {
    const int gap = SOUND_RATE_HZ / 100;
    double peak = 0;
    int pulses = 0, quiet = gap + 1;
    for (int i = 0; i < count; i++)
        peak = fmax(peak, fabs(x[i]));
    for (int i = 0; i < count; i++) {
        if (fabs(x[i]) < 0.1 * peak) {
            quiet++;
            continue;
        }
        if (quiet > gap && pulses < most) start_s[pulses++] = (double)i / SOUND_RATE_HZ;
        end_s[pulses - 1] = (double)i / SOUND_RATE_HZ;
        quiet = 0;
    }
    return pulses;
}

START_TEST(sound_bursts_have_the_pulses_of_their_priority) {
    /* 10 (5 + 5), 3 and 1 pulses: conventions of IEC 60601-1-8, second-hand texts; spacings 50-125 and
     * 125-250 ms */
    static const struct {
        SoundId id;
        int pulses;
        double least_gap_s, most_gap_s;
    } rows[] = {{SOUND_HIGH, 10, 0.05, 0.125}, {SOUND_MEDIUM, 3, 0.125, 0.25}, {SOUND_LOW, 1, 0, 0}};
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        double start_s[12], end_s[12];
        int count = (int)ui_sound_write(rows[r].id, 1.0, samples, SOUND_SAMPLES_MAX);
        ck_assert_int_lt(count, SOUND_SAMPLES_MAX);
        ck_assert_int_eq(find_pulses(samples, count, start_s, end_s, 12), rows[r].pulses);
        int longer = 0;
        for (int i = 1; i < rows[r].pulses; i++) {
            double gap_s = start_s[i] - end_s[i - 1];
            /* the ramps' quiet ends count to the gap here */
            if (gap_s > rows[r].most_gap_s + SOUND_RAMP_S)
                longer++;
            else
                ck_assert_double_ge(gap_s, rows[r].least_gap_s);
        }
        ck_assert_int_eq(longer, rows[r].id == SOUND_HIGH ? 3 : 0); /* after the third, fifth and eighth */
        if (rows[r].id == SOUND_HIGH) {
            ck_assert_double_ge(start_s[5] - end_s[4],
                                0.35); /* the halves stand apart: 0.35 to 1.3 s (from memory) */
            ck_assert_double_le(start_s[5] - end_s[4], 1.3);
        }
    }
}
END_TEST

START_TEST(sound_spectrum_is_a_pitch_with_harmonics) {
    for (SoundId id = SOUND_LOW; id <= SOUND_HIGH; id++) {
        int count = (int)ui_sound_write(id, 1.0, samples, SOUND_SAMPLES_MAX);
        int pulse = (int)(ui_sound_pattern(id)->pulse_s * SOUND_RATE_HZ), strongest = 0, harmonics = 0;
        double most = 0, all = 0;
        ck_assert_int_ge(count, pulse);
        for (int hz = 50; hz <= 5000; hz += 10) {
            double a = amplitude_at(samples, pulse, hz);
            all += a;
            if (a > most) {
                most = a;
                strongest = hz;
            }
        }
        /* fundamental within 150-1000 Hz, at least four harmonics within 300-4000 Hz and 15 dB of it */
        ck_assert_int_ge(strongest, 150);
        ck_assert_int_le(strongest, 1000);
        for (int k = 2; k * strongest <= 4000; k++)
            harmonics += 20 * log10(amplitude_at(samples, pulse, k * strongest) / most) > -15;
        ck_assert_int_ge(harmonics, 4);
        ck_assert_double_gt(all, 0);
    }
}
END_TEST

START_TEST(sound_ramps_and_level_keep_bounds) {
    for (SoundId id = SOUND_LOW; id <= SOUND_CLICK; id++) {
        double peak = 0, step = 0;
        size_t count = ui_sound_write(id, 0.3, samples, SOUND_SAMPLES_MAX);
        for (size_t i = 0; i < count; i++) {
            peak = fmax(peak, fabs(samples[i]));
            if (i > 0) step = fmax(step, fabs(samples[i] - samples[i - 1]));
        }
        ck_assert_double_le(peak, 0.3);
        ck_assert_double_ge(peak, 0.1);
        ck_assert_double_le(step, 0.1); /* nothing jumps: no crack in the loudspeaker */
        ck_assert_double_le(fabs(samples[0]), 1e-6);
        ck_assert_double_le(fabs(samples[count - 1]), 0.3 * 0.02);
    }
    /* a low alarm is not louder than a high one: the same pulse level */
    ck_assert_double_le(ui_sound_length_s(SOUND_LOW), ui_sound_length_s(SOUND_MEDIUM));
    ck_assert_double_le(ui_sound_length_s(SOUND_MEDIUM), ui_sound_length_s(SOUND_HIGH));
}
END_TEST

/* Plays a course of frames with fixed inputs; counts the bursts and notes when the last one began. */
static int run(SoundCourse *course, SoundInputs inputs, double from_s, double to_s, SoundId *last) {
    int bursts = 0;
    for (double now_s = from_s; now_s < to_s; now_s += 0.02) {
        SoundAsk ask = ui_sound_step(course, &inputs, now_s);
        if (ask.play == SOUND_NONE) continue;
        bursts++;
        *last = ask.play;
    }
    return bursts;
}

START_TEST(sound_repeats_by_priority) {
    SoundId last = SOUND_NONE;
    for (int priority = 0; priority <= 3; priority++) {
        SoundCourse course = {0};
        SoundInputs calm = {.time_rate = 1}, on = {.priority = priority, .told = 1, .time_rate = 1};
        (void)ui_sound_step(&course, &calm, 0);
        static const int bursts[] = {0, 1, 4, 8}; /* in a minute: none, once, every 15 s, every 8 s */
        ck_assert_int_eq(run(&course, on, 0.02, 60, &last), bursts[priority]);
    }
    ck_assert_int_eq(last, SOUND_HIGH);
}
END_TEST

START_TEST(sound_stops_when_nothing_asks) {
    SoundCourse course = {0};
    SoundInputs on = {.priority = 3, .told = 1, .time_rate = 1}, known = {.told = 1, .time_rate = 1};
    ck_assert_int_eq(ui_sound_step(&course, &on, 0).play, SOUND_HIGH);
    ck_assert(ui_sound_step(&course, &known, 0.5).stop);
    ck_assert(!ui_sound_step(&course, &known, 0.6).stop);
    on.halted = true;
    ck_assert_int_eq(ui_sound_step(&course, &on, 1).play, SOUND_NONE);
}
END_TEST

START_TEST(sound_higher_cuts_in_lower_waits) {
    SoundCourse course = {0};
    SoundInputs inputs = {.priority = 2, .told = 1, .time_rate = 1};
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 0).play, SOUND_MEDIUM);
    inputs = (SoundInputs){.priority = 3, .told = 2, .time_rate = 1};
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 0.3).play, SOUND_HIGH);
    inputs.priority = 2;
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 4).play, SOUND_NONE);
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 19.1).play, SOUND_MEDIUM);
}
END_TEST

START_TEST(sound_new_alarm_of_the_same_priority_is_heard_soon) {
    SoundCourse course = {0};
    SoundInputs inputs = {.priority = 2, .told = 1, .time_rate = 1};
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 0).play, SOUND_MEDIUM);
    inputs.told = 2;
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 6).play, SOUND_MEDIUM);
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 12).play, SOUND_NONE);
    ck_assert_int_eq(ui_sound_step(&course, &inputs, 21.1).play, SOUND_MEDIUM);
}
END_TEST

START_TEST(sound_fast_time_clicks_once_per_alarm) {
    SoundCourse course = {0};
    SoundId last = SOUND_NONE;
    SoundInputs calm = {.time_rate = 60}, on = {.priority = 3, .told = 1, .time_rate = 60};
    (void)ui_sound_step(&course, &calm, 0);
    ck_assert_int_eq(run(&course, on, 0.02, 60, &last), 1);
    ck_assert_int_eq(last, SOUND_CLICK);
    on.told = 3;
    ck_assert_int_eq(run(&course, on, 60, 120, &last), 1);
    on.time_rate = 2; /* slow again: the alarm that is on sounds */
    ck_assert_int_eq(ui_sound_step(&course, &on, 121).play, SOUND_HIGH);
}
END_TEST

START_TEST(sound_silent_device_is_no_failure) {
    Error error;
    model_error_clear(&error);
    ck_assert_int_eq(setenv("SDL_AUDIODRIVER", "no-such-driver", 1), 0);
    Audio *audio = ui_audio_open(&error);
    ck_assert_ptr_null(audio);
    ck_assert_str_ne(error.what, "");
    ui_audio_play(audio, SOUND_HIGH, 0.3);
    ui_audio_stop(audio);
    ui_audio_close(audio);
    ck_assert_int_eq(setenv("SDL_AUDIODRIVER", "dummy", 1), 0);
    audio = ui_audio_open(&error);
    ck_assert_ptr_nonnull(audio);
    ui_audio_play(audio, SOUND_HIGH, 0.3);
    ui_audio_stop(audio);
    ui_audio_close(audio);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sound");
    TCase *t = tcase_create("sound");
    tcase_add_test(t, sound_bursts_have_the_pulses_of_their_priority);
    tcase_add_test(t, sound_spectrum_is_a_pitch_with_harmonics);
    tcase_add_test(t, sound_ramps_and_level_keep_bounds);
    tcase_add_test(t, sound_repeats_by_priority);
    tcase_add_test(t, sound_stops_when_nothing_asks);
    tcase_add_test(t, sound_higher_cuts_in_lower_waits);
    tcase_add_test(t, sound_new_alarm_of_the_same_priority_is_heard_soon);
    tcase_add_test(t, sound_fast_time_clicks_once_per_alarm);
    tcase_add_test(t, sound_silent_device_is_no_failure);
    suite_add_tcase(s, t);
    return s;
}

CHECK_MAIN(suite)
