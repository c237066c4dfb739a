/* Rhythm: when the atria and ventricles are activated, and how strongly. Everything happens between beats. */
#ifndef MODEL_RHYTHM_H
#define MODEL_RHYTHM_H

#include "model/beat.h"
#include "model/circulation.h"
#include "model/effects.h"
#include "model/parameters.h"
#include "model/random.h"

#include <stdint.h>

/* Where a ventricular beat starts, if not where the rhythm's kind says. */
typedef enum RhythmOrigin {
    RHYTHM_ORIGIN_USUAL,
    RHYTHM_ORIGIN_CONDUCTED, /* pacing waited, or did not capture */
    RHYTHM_ORIGIN_ESCAPE,    /* nothing was conducted in time */
    RHYTHM_ORIGIN_COUNT
} RhythmOrigin;

/* Past onsets and intervals. Flat; copied by assignment. */
typedef struct RhythmState {
    Activation ventricular[2]; /* last two onsets, relative to the start of the next beat, older first */
    Activation atrial[2];      /* last two atrial onsets, older first */
    double rr_s[2];            /* last two ventricular intervals, newest last; 0 before the first */
    double rr_reference_s;     /* slow average of the interval, for restitution */
    double potentiation;       /* extra strength left from early beats */
    double period_carry_s;     /* part of the period that did not fit a whole number of ticks */
    double atrial_wait_s;      /* time to the next atrial onset when the atria keep their own clock */
    int32_t ectopic_next;      /* the coming beat is premature */
    int32_t origin_next;       /* enum RhythmOrigin: where the coming beat starts */
    double blocked;            /* atrial beats the conduction still owes, 0..1 */
    int32_t beats;             /* ventricular beats since the start */
} RhythmState;

/* Before the first beat. */
void model_rhythm_start(RhythmState *rhythm, const Parameters *parameters);

/* Decides the coming beat: fills its kind, length, onsets (in `beat`) and activations (in `timing`), and
   moves `rhythm` on to the beat's end. Draws from `random`. `breath_frac` (0..1) modulates the sinus node. */
void model_rhythm_next(RhythmState *rhythm, const Parameters *parameters, const Effects *effects,
                       double breath_frac, Random *random, Beat *beat, BeatTiming *timing);

#endif
