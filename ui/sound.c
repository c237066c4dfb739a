/* Synthesis and timing of alarm sounds. */
#include "ui/sound.h"

#include <math.h>
#include <string.h>

/* Pulses 75-200 ms long for high, 125-250 ms for medium and low; pauses between them 50-125 ms and 125-250
   ms; a longer one after the third and the fifth pulse of a high burst (conventions of IEC 60601-1-8, from
   memory and second-hand texts). */
#define HIGH_PULSE_S 0.12
#define HIGH_STEP_S  (HIGH_PULSE_S + 0.1)
#define HIGH_BREAK_S (2 * 0.1 + HIGH_PULSE_S) /* between the third and the fourth pulse */
#define HIGH_HALF_S                                                                                          \
    (3 * HIGH_STEP_S + HIGH_BREAK_S + HIGH_PULSE_S + 0.1 + 0.45) /* start to start of the halves */
#define MEDIUM_PULSE_S  0.15
#define MEDIUM_STEP_S   (MEDIUM_PULSE_S + 0.2)
#define CLICK_PULSE_S   0.03
#define HIGH_REPEAT_S   8.0
#define MEDIUM_REPEAT_S 15.0

#define HIGH_FOURTH_S (2 * HIGH_STEP_S + HIGH_PULSE_S + HIGH_BREAK_S)

static const SoundPattern patterns[SOUND_COUNT] = {
    [SOUND_LOW] = {.pulses = 1, .pulse_s = MEDIUM_PULSE_S, .start_s = {0}},
    [SOUND_MEDIUM] = {.pulses = 3,
                      .pulse_s = MEDIUM_PULSE_S,
                      .start_s = {0, MEDIUM_STEP_S, 2 * MEDIUM_STEP_S},
                      .repeat_s = MEDIUM_REPEAT_S},
    [SOUND_HIGH] = {.pulses = 10,
                    .pulse_s = HIGH_PULSE_S,
                    .start_s = {0, HIGH_STEP_S, 2 * HIGH_STEP_S, HIGH_FOURTH_S, HIGH_FOURTH_S + HIGH_STEP_S,
                                HIGH_HALF_S, HIGH_HALF_S + HIGH_STEP_S, HIGH_HALF_S + 2 * HIGH_STEP_S,
                                HIGH_HALF_S + HIGH_FOURTH_S, HIGH_HALF_S + HIGH_FOURTH_S + HIGH_STEP_S},
                    .repeat_s = HIGH_REPEAT_S},
    [SOUND_CLICK] = {.pulses = 1, .pulse_s = CLICK_PULSE_S, .start_s = {0}},
};

/* Fundamental and four harmonics, each within 15 dB of the loudest (from memory of the conventions). */
static const double parts[SOUND_HARMONICS + 1] = {1.0, 0.7, 0.55, 0.4, 0.3};

const SoundPattern *ui_sound_pattern(SoundId id) {
    return &patterns[id];
}

double ui_sound_length_s(SoundId id) {
    const SoundPattern *pattern = &patterns[id];
    return pattern->pulses > 0 ? pattern->start_s[pattern->pulses - 1] + pattern->pulse_s : 0;
}

/* Raised-cosine ramps at both ends. */
static double envelope(double time_s, double pulse_s) {
    const double pi = 3.141592653589793;
    double edge_s = fmin(time_s, pulse_s - time_s);
    if (edge_s <= 0) return 0;
    return edge_s >= SOUND_RAMP_S ? 1 : 0.5 - 0.5 * cos(pi * edge_s / SOUND_RAMP_S);
}

double ui_sound_value(SoundId id, double time_s) {
    const double two_pi = 6.283185307179586;
    const SoundPattern *pattern = &patterns[id];
    double sum = 0, most = 0;
    for (int i = 0; i < pattern->pulses; i++) {
        double since_s = time_s - pattern->start_s[i], level = envelope(since_s, pattern->pulse_s);
        for (int k = 0; k <= SOUND_HARMONICS && level > 0; k++)
            sum += level * parts[k] * sin(two_pi * SOUND_PITCH_HZ * (k + 1) * since_s);
    }
    for (int k = 0; k <= SOUND_HARMONICS; k++)
        most += parts[k];
    return sum / most;
}

size_t ui_sound_write(SoundId id, double volume, float samples[], size_t size) {
    size_t count = (size_t)ceil(ui_sound_length_s(id) * SOUND_RATE_HZ);
    if (count > size) count = size;
    for (size_t i = 0; i < count; i++)
        samples[i] = (float)(volume * ui_sound_value(id, (double)i / SOUND_RATE_HZ));
    return count;
}

/* The sound that is wanted to go on. */
static SoundId wanted_of(const SoundInputs *inputs) {
    static const SoundId by_priority[] = {SOUND_NONE, SOUND_LOW, SOUND_MEDIUM, SOUND_HIGH};
    if (inputs->halted || inputs->time_rate > SOUND_FAST_RATE) return SOUND_NONE;
    return by_priority[inputs->priority < 0 ? 0 : inputs->priority > 3 ? 3 : inputs->priority];
}

SoundAsk ui_sound_step(SoundCourse *course, const SoundInputs *inputs, double now_s) {
    SoundAsk ask = {SOUND_NONE, false};
    SoundId wanted = wanted_of(inputs), before = course->on;
    bool told = course->begun && inputs->told > course->told;
    course->begun = true;
    course->told = inputs->told;
    course->on = wanted;
    if (wanted == SOUND_NONE) {
        ask.stop = before != SOUND_NONE;
        bool fast = !inputs->halted && inputs->time_rate > SOUND_FAST_RATE;
        if (fast && told && inputs->priority > 0) ask.play = SOUND_CLICK;
        return ask;
    }
    double repeat_s = patterns[wanted].repeat_s;
    bool louder = wanted > before, due = before == wanted && repeat_s > 0 && now_s >= course->next_s;
    bool anew = told && before == wanted && now_s >= course->next_s - repeat_s + ui_sound_length_s(wanted);
    /* a milder sound follows in its own time; the same one waits until a burst is over */
    if (wanted < before) course->next_s = now_s + repeat_s;
    if (!louder && !due && !anew) return ask;
    ask.play = wanted;
    course->next_s = now_s + repeat_s;
    return ask;
}
