/* The patient's state: one flat struct without pointers; copying it is a snapshot. */
#ifndef MODEL_STATE_H
#define MODEL_STATE_H

#include "model/circulation.h"
#include "model/random.h"
#include "model/rhythm.h"
#include "model/slow.h"

#include <stdint.h>

typedef struct State {
    int64_t tick;               /* BEAT_TICK_MS ticks since the beginning */
    Random random;              /* everything random in the patient draws from here */
    CirculationState circulation; /* ODE vector and what belongs to it (circulation.h) */
    RhythmState rhythm;         /* onsets in force, intervals, restitution (rhythm.h) */
    SlowState slow;             /* reflex, drugs, fluids, oxygen, kidney (slow.h) */
} State;

#endif
