/* What one beat's samples say: the observables of the circulation and the means the slow organs read. */
#ifndef MODEL_MEASURE_H
#define MODEL_MEASURE_H

#include "model/beat.h"
#include "model/circulation.h"
#include "model/parameters.h"
#include "model/slow.h"

/* The beat just integrated, besides its samples. */
typedef struct MeasureInput {
    const Parameters *parameters;
    const CirculationConstants *constants;
    const Sample *start;   /* truth at the beat's start */
    const double *y_start; /* [VARIABLE_COUNT] */
} MeasureInput;

/* Fills beat->observables (all fields of the circulation) and *means, and moves the filters and histories in
   `state`, whose y is already that of the beat's end. */
void model_measure_beat(const MeasureInput *input, CirculationState *state, Beat *beat, BeatMeans *means);

#endif
