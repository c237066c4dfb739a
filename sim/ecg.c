/* Sum-of-waves electrocardiogram: each activation sets off waves of fixed shape, so that the trace follows
   the rhythm the model makes and nothing is played from a record. Amplitudes and times are those of a usual
   lead II (textbook orders of magnitude, from memory); only the shapes are drawn, no rhythm is decided here.
 */
#include "sim/ecg.h"

#include <math.h>
#include <string.h>

#define TWO_PI                      6.283185307179586
#define REACH_WIDTHS                4.0  /* a wave is over this many widths from its middle */
#define LONGEST_WAVE_S              0.9  /* no activation leaves a trace for longer */
#define WANDER_MV                   0.03 /* baseline movement with breathing */
#define WANDER_HZ                   0.23
#define NOISE_MV                    0.008 /* half-width of the amplifier's noise */
#define ATRIAL_FIBRILLATION_MV      0.05
#define ATRIAL_FIBRILLATION_HZ      6.0
#define VENTRICULAR_FIBRILLATION_MV 0.35
#define VENTRICULAR_FIBRILLATION_HZ 4.8
#define FIBRILLATION_SPREAD_HZ      1.6 /* the waves' rates wander within this */
#define SPIKE_MV                    1.6 /* pacing artefact, one tick long */
#define STRETCH_LOWEST              0.6 /* limits of the square-root scaling of repolarisation */
#define STRETCH_HIGHEST             1.2

enum { WAVES_MAX = 5 };

typedef struct Wave {
    double mv, middle_s, width_s;
    int stretched; /* moves with the heart rate */
} Wave;

typedef struct Complex {
    int spike;
    Wave waves[WAVES_MAX];
} Complex;

static const Complex complexes[ECG_KIND_COUNT] = {
    [ECG_ATRIAL] = {0, {{0.11, 0.050, 0.020, 0}}},
    [ECG_ATRIAL_PACED] = {1, {{0.11, 0.060, 0.022, 0}}},
    [ECG_VENTRICULAR] = {0,
                         {{-0.09, 0.014, 0.006, 0},
                          {1.10, 0.036, 0.010, 0},
                          {-0.24, 0.062, 0.009, 0},
                          {0.14, 0.270, 0.045, 1},
                          {0.16, 0.310, 0.032, 1}}},
    [ECG_VENTRICULAR_PACED] = {1,
                               {{-0.95, 0.070, 0.028, 0}, {0.25, 0.130, 0.020, 0}, {0.42, 0.330, 0.055, 1}}},
    [ECG_ECTOPIC] = {0, {{1.25, 0.070, 0.032, 0}, {-0.30, 0.140, 0.024, 0}, {-0.45, 0.310, 0.055, 1}}},
    [ECG_LOST_SPIKE] = {1, {{0, 0, 0, 0}}},
};

static void add_onset(EcgState *ecg, int64_t tick, EcgKind kind, double rr_s) {
    double stretch = sqrt(rr_s);
    if (stretch < STRETCH_LOWEST) stretch = STRETCH_LOWEST;
    if (stretch > STRETCH_HIGHEST) stretch = STRETCH_HIGHEST;
    ecg->onsets[ecg->next] = (EcgOnset){.tick = tick, .kind = kind, .stretch_x = stretch};
    ecg->next = (ecg->next + 1) % ECG_ONSETS_MAX;
}

static EcgKind ventricular_kind(const Beat *beat) {
    if (beat->ectopic || beat->rhythm == RHYTHM_VENTRICULAR_TACHYCARDIA) return ECG_ECTOPIC;
    return beat->paced_ventricular ? ECG_VENTRICULAR_PACED : ECG_VENTRICULAR;
}

static void add_beat(EcgState *ecg, const Beat *beat) {
    double rr_s = beat->ticks * BEAT_TICK_S;
    if (beat->ventricular) add_onset(ecg, beat->first_tick, ventricular_kind(beat), rr_s);
    if (beat->lost_spike_tick > 0)
        add_onset(ecg, beat->first_tick + beat->lost_spike_tick, ECG_LOST_SPIKE, rr_s);
    for (int i = 0; i < beat->atrial_count && i < BEAT_ATRIAL_MAX; i++) {
        add_onset(ecg, beat->first_tick + beat->atrial_tick[i],
                  beat->paced_atrial ? ECG_ATRIAL_PACED : ECG_ATRIAL, rr_s);
    }
}

/* What one activation contributes t_s after it. */
static double onset_mv(const EcgOnset *onset, double t_s) {
    const Complex *shape = &complexes[onset->kind];
    double sum = 0;
    if (shape->spike && t_s < BEAT_TICK_S / 2) sum += SPIKE_MV;
    for (int i = 0; i < WAVES_MAX && shape->waves[i].width_s > 0; i++) {
        const Wave *wave = &shape->waves[i];
        double middle_s = wave->stretched ? wave->middle_s * onset->stretch_x : wave->middle_s;
        double x = (t_s - middle_s) / wave->width_s;
        if (fabs(x) < REACH_WIDTHS) sum += wave->mv * exp(-0.5 * x * x);
    }
    return sum;
}

/* Height and rate of the fibrillatory waves of a rhythm; 0 if it has none. */
static double fibrillation_mv(RhythmKind rhythm, double *rate_hz) {
    if (rhythm == RHYTHM_ATRIAL_FIBRILLATION) {
        *rate_hz = ATRIAL_FIBRILLATION_HZ;
        return ATRIAL_FIBRILLATION_MV;
    }
    if (rhythm == RHYTHM_VENTRICULAR_FIBRILLATION) {
        *rate_hz = VENTRICULAR_FIBRILLATION_HZ;
        return VENTRICULAR_FIBRILLATION_MV;
    }
    *rate_hz = 0;
    return 0;
}

void sim_ecg_start(EcgState *ecg) {
    memset(ecg, 0, sizeof *ecg);
}

void sim_ecg_advance(EcgState *ecg, const Beat *beat, Random *random, double mv[]) {
    add_beat(ecg, beat);
    double rate_hz = 0;
    double height_mv = fibrillation_mv(beat->rhythm, &rate_hz);
    for (int k = 0; k < ECG_FIBRILLATION_WAVES; k++) {
        ecg->rate_hz[k] = rate_hz + FIBRILLATION_SPREAD_HZ * (model_random_uniform(random) - 0.5) * (k + 1);
    }
    for (int i = 0; i < beat->ticks; i++) {
        int64_t tick = beat->first_tick + i;
        double sum = WANDER_MV * sin(ecg->wander_rad) + NOISE_MV * (2 * model_random_uniform(random) - 1);
        ecg->wander_rad = fmod(ecg->wander_rad + TWO_PI * WANDER_HZ * BEAT_TICK_S, TWO_PI);
        for (int k = 0; k < ECG_ONSETS_MAX; k++) {
            const EcgOnset *onset = &ecg->onsets[k];
            double t_s = (double)(tick - onset->tick) * BEAT_TICK_S;
            if (onset->kind != ECG_NONE && t_s >= 0 && t_s < LONGEST_WAVE_S) sum += onset_mv(onset, t_s);
        }
        for (int k = 0; k < ECG_FIBRILLATION_WAVES && height_mv > 0; k++) {
            sum += height_mv / (k + 1) * sin(ecg->phase_rad[k]);
            ecg->phase_rad[k] = fmod(ecg->phase_rad[k] + TWO_PI * ecg->rate_hz[k] * BEAT_TICK_S, TWO_PI);
        }
        mv[i] = sum;
    }
}
