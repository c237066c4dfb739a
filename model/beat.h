/* One heartbeat as it leaves the model: its timing, its waveform samples and its observables. */
#ifndef MODEL_BEAT_H
#define MODEL_BEAT_H

#include "model/observables.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    BEAT_TICK_MS = 4,        /* waveform sample spacing; every RR interval is a whole number of ticks */
    BEAT_TICKS_MAX = 640,    /* 2.56 s, longer than any interval the rhythm makes */
    BEAT_ATRIAL_MAX = 8      /* atrial onsets within one ventricular interval (heart block, flutter) */
};

#define BEAT_TICK_S (BEAT_TICK_MS / 1000.0)

/* Truth at one tick. Pressures mmHg, volumes mL, flows mL/s, openings 0..1. */
typedef struct Sample {
    double lv_mmhg, rv_mmhg, la_mmhg, ra_mmhg;
    double aorta_mmhg, artery_mmhg;          /* root; distal line (radial) */
    double pa_mmhg, pulmonary_vein_mmhg, cvp_mmhg;
    double pericardium_mmhg, pleura_mmhg, airway_mmhg;
    double lv_ml, rv_ml, la_ml, ra_ml, septum_ml, lung_ml;
    double mitral_ml_s, aortic_ml_s, tricuspid_ml_s, pulmonary_ml_s;
    double mitral_open, aortic_open, tricuspid_open, pulmonary_open;
    double left_pump_ml_s, right_pump_ml_s;
    double left_occlusion, right_occlusion;
} Sample;

typedef enum RhythmKind {
    RHYTHM_SINUS,
    RHYTHM_ATRIAL_FIBRILLATION,
    RHYTHM_PACED_ATRIAL,
    RHYTHM_PACED_VENTRICULAR,
    RHYTHM_PACED_BOTH,
    RHYTHM_VENTRICULAR_TACHYCARDIA,
    RHYTHM_VENTRICULAR_FIBRILLATION,
    RHYTHM_ASYSTOLE,
    RHYTHM_COUNT
} RhythmKind;

/* A beat runs from one ventricular onset to the next (or is a quiet interval of at most 1 s).
   samples[i] is the state (i + 1) ticks after the start, so consecutive beats join without overlap. */
typedef struct Beat {
    int64_t first_tick;                      /* tick number at the start, 0 at the case's beginning */
    int ticks;                               /* length in ticks, 1..BEAT_TICKS_MAX */
    RhythmKind rhythm;
    bool ventricular;                        /* a ventricular activation starts this beat */
    bool ectopic;                            /* premature ventricular beat */
    bool paced_atrial, paced_ventricular;
    int lost_spike_tick;                     /* ventricular pacing spike that does not capture, ticks after the start; 0: none */
    int atrial_count;
    int atrial_tick[BEAT_ATRIAL_MAX];        /* onsets, ticks after the start; they belong to the NEXT ventricular beat */
    Observables observables;
    int64_t steps, evaluations, jacobians, retries; /* solver work of this beat */
    Sample samples[BEAT_TICKS_MAX];
} Beat;

#endif
