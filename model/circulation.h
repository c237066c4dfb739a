/* The circulation: its state vector, the constants of one beat, and the right-hand side with its exact
   Jacobian. Written as flows first; volumes change by sums of flows, so blood is neither made nor lost. */
#ifndef MODEL_CIRCULATION_H
#define MODEL_CIRCULATION_H

#include "model/activation.h"
#include "model/beat.h"
#include "model/effects.h"
#include "model/error.h"
#include "model/heart.h"
#include "model/lung.h"
#include "model/parameters.h"
#include "model/pump.h"
#include "model/valves.h"
#include "model/variables.h"
#include "model/vessels.h"

#include <stdint.h>

enum {
    CIRCULATION_CLOT_SITES = 4,   /* left ventricle, right ventricle, left atrium, right atrium */
    CIRCULATION_VALVE_BEATS = 10, /* beats over which aortic opening is counted */
    CIRCULATION_PULSE_BEATS = 64, /* most beats kept for the pulsatility window */
    CIRCULATION_ATRIAL_MAX = BEAT_ATRIAL_MAX + 2
};

/* What of one past beat the pump's pulsatility needs. */
typedef struct PumpPulse {
    double dt_s, low_ml_s, high_ml_s, volume_ml;
} PumpPulse;

/* Low-passed pressures and flows from which resistances are formed, so that breathing does not bias them. */
typedef struct CirculationRatios {
    double systemic_mmhg, systemic_l_min, pulmonary_mmhg, pulmonary_l_min;
    int32_t started;
} CirculationRatios;

/* Everything of the circulation that decides its future. Flat; copied by assignment. */
typedef struct CirculationState {
    double y[VARIABLE_COUNT];     /* mL, mL/s, fraction: variables.h */
    double left_krpm, right_krpm; /* rotor speeds */
    double breath_frac;           /* place in the breath, 0..1 */
    double
        placed_ml[CIRCULATION_CLOT_SITES + 1]; /* clots and free fluid of the parameters, followed in time */
    double chest_open, pericardium_v0_ml, pericardium_lambda_per_ml; /* the parameters, followed in time */
    double free_ml;                         /* free pericardial fluid bled so far, besides the parameter */
    double clot_ml[CIRCULATION_CLOT_SITES]; /* clot bled so far, besides the parameters */
    double wedge_mmhg;                      /* low-passed wedge trace */
    double shown_l_min;                     /* flow the console shows */
    CirculationRatios ratios;               /* low-passed terms of the resistances */
    double airway_peak_mmhg;                /* highest airway pressure of the present breath */
    double airway_peak_last_mmhg;           /* of the last complete breath */
    int32_t valve_beats;                    /* ventricular beats seen, up to CIRCULATION_VALVE_BEATS */
    uint32_t valve_bits;                    /* bit 0: the aortic valve opened in the last beat */
    int32_t pulse_count, pulse_next;        /* ring of past beats */
    PumpPulse pulse[CIRCULATION_PULSE_BEATS];
} CirculationState;

/* Activation of the coming beat, made by the rhythm. Times relative to the beat's start, s. */
typedef struct BeatTiming {
    int ticks;                 /* length of the beat */
    Activation ventricular[2]; /* the last two onsets, older first; strength 0: none */
    int atrial_count;
    Activation atrial[CIRCULATION_ATRIAL_MAX]; /* oldest first */
    double ventricular_ees_x;                  /* strength of the rhythm (dyssynchrony), 1 normal */
    double tone_frac;                          /* activation without beats (fibrillation) */
} BeatTiming;

/* Everything the right-hand side needs during one beat, made from parameters, effects and state. */
typedef struct CirculationConstants {
    ActivationShape ventricle, atrium;
    BeatTiming timing;
    LungConstants lung;
    HeartConstants heart;
    ValveConstants valve[VALVE_COUNT];
    VesselConstants vessels;
    PumpConstants left, right;
    double left_krpm_start, right_krpm_start;
} CirculationConstants;

/* The inputs that depend on time only. */
typedef struct CirculationDrive {
    double t_s;
    double ventricle_e; /* stiffness weight of ventricular activation, 0..1 */
    double ventricle_a; /* the same weighted with each beat's strength */
    double atrium_a;
    LungDrive lung;
    PumpDrive left, right;
} CirculationDrive;

/* Where the Jacobian goes: a value per position of a pattern, or (value NULL) marks of the pattern itself. */
typedef struct JacobianSink {
    double *value;        /* [count], or NULL to record the pattern only */
    const int16_t *place; /* [VARIABLE_COUNT * VARIABLE_COUNT], row-major: index into value, -1 absent */
    unsigned char *mark;  /* [VARIABLE_COUNT * VARIABLE_COUNT], used when value is NULL */
} JacobianSink;

/* Start values for `parameters`: blood volume spread over the compartments at usual pressures. */
void model_circulation_start(CirculationState *state, const Parameters *parameters);

/* Lets what surrounds the heart follow its parameters over `dt_s`, not at once (50 mL/s, a chest in 5 s),
   because a heart squeezed in no time is not a question anyone asks. */
void model_circulation_follow(CirculationState *state, const Parameters *parameters, double dt_s);

/* Constants of the coming beat. */
void model_circulation_prepare(CirculationConstants *constants, const Parameters *parameters,
                               const Effects *effects, const CirculationState *state,
                               const BeatTiming *timing);

/* Inputs of heart and lung at time `t_s` after the beat's start; enough for a sample. */
void model_circulation_drive_heart(const CirculationConstants *constants, double t_s,
                                   CirculationDrive *drive);

/* All inputs at time `t_s` after the beat's start. */
void model_circulation_drive(const CirculationConstants *constants, double t_s, CirculationDrive *drive);

/* Right-hand side: rates[VARIABLE_COUNT] (unit of the variable per s) at y[VARIABLE_COUNT]. */
void model_circulation_rates(const CirculationConstants *constants, const CirculationDrive *drive,
                             const double *y, double *rates);

/* Exact derivative of the rates; adds d rate[row] / d y[column] into the sink (which the caller zeroed). */
void model_circulation_jacobian(const CirculationConstants *constants, const CirculationDrive *drive,
                                const double *y, const JacobianSink *sink);

/* Truth at one moment; `drive` needs the inputs of heart and lung only. */
void model_circulation_sample(const CirculationConstants *constants, const CirculationDrive *drive,
                              const double *y, Sample *sample);

/* Blood in all compartments, mL. */
double model_circulation_blood_ml(const double *y);

/* Name of a variable for messages. */
const char *model_circulation_variable_text(int variable);

/* Returns ERROR_NOT_FINITE or ERROR_NEGATIVE_VOLUME naming the variable and `time_s`, or ERROR_OK. */
MODEL_CHECKED ErrorCode model_circulation_check(const double *y, double time_s, Error *error);

#endif
