/* The slow organs (reflex, warmth and sedation, drugs, fluids and blood, oxygen and lactate, kidney) behind
   one door: they act only between beats, with exact exponentials, and reach the circulation through Effects
   and VolumeChanges.
 */
#ifndef MODEL_SLOW_H
#define MODEL_SLOW_H

#include "model/autonomic.h"
#include "model/drugs.h"
#include "model/effects.h"
#include "model/fluids.h"
#include "model/homeometric.h"
#include "model/kidney.h"
#include "model/observables.h"
#include "model/oxygen.h"
#include "model/parameters.h"
#include "model/reflex.h"

#include <stdbool.h>

/* Flat: no pointers, copied by assignment. */
typedef struct SlowState {
    ReflexState reflex;
    AutonomicState autonomic;
    HomeometricState homeometric;
    DrugsState drugs;
    FluidsState fluids;
    OxygenState oxygen;
    KidneyState kidney;
} SlowState;

/* Flow-averages of one beat that the slow organs read; all means over the beat. */
typedef struct BeatMeans {
    double dt_s;              /* length of the beat */
    double aorta_mmhg;        /* mean aortic root pressure */
    double artery_pulse_mmhg; /* systolic minus diastolic, distal artery */
    double rv_systolic_mmhg;  /* highest right ventricular pressure above that around the heart */
    double rv_stroke_ml;      /* blood into the lungs */
    double cvp_mmhg, wedge_mmhg, abdomen_mmhg;
    double enclosed_mmhg;   /* pressure around the heart where it is highest (pericardium, clot), 0 or more */
    double systemic_ml_s;   /* flow into the systemic arteries */
    double splanchnic_ml_s; /* flow through the splanchnic bed */
    double blood_ml;        /* blood in the circulation before the changes */
    double rr_s;            /* same as dt_s when a ventricular beat */
} BeatMeans;

/* Blood to add (+) or remove (-) before the next beat, mL; the sums are exact bookkeeping. */
typedef struct VolumeChanges {
    double splanchnic_ml, other_veins_ml, cava_ml;         /* changes of circulating blood, by compartment */
    double pericardium_free_ml;                            /* free fluid gained by the pericardial space */
    double clot_lv_ml, clot_rv_ml, clot_la_ml, clot_ra_ml; /* clot gained against one chamber */
} VolumeChanges;

/* Whether every number of a restored state is finite and every amount and concentration one a body can have.
 */
bool model_slow_is_sound(const SlowState *slow);

/* Start values for a person in steady state: plasma and cells from blood volume and haematocrit,
   drugs at the plasma level of the rates set in `parameters`, oxygen and lactate at rest. */
void model_slow_start(SlowState *slow, const Parameters *parameters);

/* What the slow organs do to the next beat (overwrites *effects). */
void model_slow_effects(const SlowState *slow, const Parameters *parameters, Effects *effects);

/* Advances all slow organs over the beat just played. With `frozen` only the reflex runs (settling).
   Fills *changes and the slow fields of *observables (blood, gases, lactate, urine, drain). */
void model_slow_advance(SlowState *slow, const Parameters *parameters, const BeatMeans *means, bool frozen,
                        VolumeChanges *changes, Observables *observables);

#endif
