/* The sounds of alarms: how each one goes (a pure function of time, no recordings) and when one is due. Knows
   no device; ui/audio.c plays. The patterns follow the conventions of alarm systems so that they can be
   learnt. */
#ifndef UI_SOUND_H
#define UI_SOUND_H

#include <stdbool.h>
#include <stddef.h>

typedef enum SoundId {
    SOUND_NONE,
    SOUND_LOW,    /* 1 pulse, once */
    SOUND_MEDIUM, /* 3 pulses */
    SOUND_HIGH,   /* 5 + 5 pulses */
    SOUND_CLICK,  /* one short pulse: a new alarm while time runs fast */
    SOUND_COUNT
} SoundId;

enum {
    SOUND_PULSES_MAX = 10,
    SOUND_HARMONICS = 4,
    SOUND_RATE_HZ = 44100,
    SOUND_SAMPLES_MAX = 7 * SOUND_RATE_HZ / 2 /* no burst is longer */
};

#define SOUND_PITCH_HZ  440.0 /* fundamental; conventions allow 150 to 1000 Hz */
#define SOUND_RAMP_S    0.012 /* rise and fall of a pulse */
#define SOUND_FAST_RATE 2.0   /* faster than this, new alarms click instead of sounding */

typedef struct SoundPattern {
    int pulses;
    double pulse_s;                   /* length of a pulse, ramps included */
    double start_s[SOUND_PULSES_MAX]; /* of each pulse */
    double repeat_s;                  /* from one burst's start to the next; 0: once */
} SoundPattern;

const SoundPattern *ui_sound_pattern(SoundId id);

/* Length of one burst, s. */
double ui_sound_length_s(SoundId id);

/* Value at `time_s` after the start, -1 to 1. */
double ui_sound_value(SoundId id, double time_s);

/* Writes a burst at `volume` (0 to 1) into samples[size], SOUND_RATE_HZ a second; returns the number written.
 */
size_t ui_sound_write(SoundId id, double volume, float samples[], size_t size);

/* What decides about sounds in a frame. */
typedef struct SoundInputs {
    int priority;     /* highest that asks for a sound: 0 none, 1 low, 2 medium, 3 high */
    double told;      /* alarms told since the night began */
    double time_rate; /* 1 to 240 */
    bool halted;      /* the night waits, or sounds are off */
} SoundInputs;

/* Between frames. */
typedef struct SoundCourse {
    bool begun;
    double told;   /* alarms told when this was last asked */
    SoundId on;    /* sound that repeats */
    double next_s; /* its next burst, wall clock */
} SoundCourse;

typedef struct SoundAsk {
    SoundId play; /* start this now in place of what plays; SOUND_NONE: nothing new */
    bool stop;    /* what plays is to end now */
} SoundAsk;

/* What to do at `now_s` (wall clock). */
SoundAsk ui_sound_step(SoundCourse *course, const SoundInputs *inputs, double now_s);

#endif
