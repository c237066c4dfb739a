/* The electrocardiogram as a sum of waves set off by the heart's activations. */
#ifndef SIM_ECG_H
#define SIM_ECG_H

#include "model/beat.h"
#include "model/random.h"

#include <stdint.h>

enum { ECG_ONSETS_MAX = 12, ECG_FIBRILLATION_WAVES = 3 };

typedef enum EcgKind {
    ECG_NONE,
    ECG_ATRIAL,
    ECG_ATRIAL_PACED,
    ECG_VENTRICULAR,
    ECG_VENTRICULAR_PACED,
    ECG_ECTOPIC,    /* premature beats and ventricular tachycardia */
    ECG_LOST_SPIKE, /* a pacing spike without capture */
    ECG_KIND_COUNT
} EcgKind;

/* An activation whose waves may still be on the paper. */
typedef struct EcgOnset {
    int64_t tick;
    int kind;         /* enum EcgKind */
    double stretch_x; /* length of repolarisation against that at 60/min */
} EcgOnset;

/* Flat: copied by assignment. */
typedef struct EcgState {
    EcgOnset onsets[ECG_ONSETS_MAX]; /* ring */
    int next;
    double phase_rad[ECG_FIBRILLATION_WAVES]; /* of the fibrillatory waves */
    double rate_hz[ECG_FIBRILLATION_WAVES];
    double wander_rad; /* of the baseline */
} EcgState;

/* A flat line. */
void sim_ecg_start(EcgState *ecg);

/* Draws lead II of one beat into mv[beat->ticks], mV. */
void sim_ecg_advance(EcgState *ecg, const Beat *beat, Random *random, double mv[]);

#endif
