/* Urine from renal perfusion pressure, congestion and flow, with its lag. */
#ifndef MODEL_KIDNEY_H
#define MODEL_KIDNEY_H

#include "model/parameters.h"

typedef struct KidneyState {
    double pressure_mmhg; /* low-passed renal perfusion pressure, MAP - max(CVP, abdomen) */
    double cvp_mmhg;      /* low-passed central venous pressure */
    double flow_ml_s;     /* low-passed systemic flow */
    double urine_ml_s;    /* flow into the bladder, behind the tubules' lag */
} KidneyState;

/* Usual urine at the reference pressure. */
void model_kidney_start(KidneyState *kidney, const Parameters *parameters);

/* Urine flow, mL/s, this perfusion would give after the lag. Pressures mmHg, flow mL/s;
   plasma_x is the plasma volume over its usual value. */
double model_kidney_target(const Parameters *parameters, double pressure_mmhg, double cvp_mmhg,
                           double flow_ml_s, double plasma_x);

/* While settling: urine takes the value that belongs to the present perfusion. */
void model_kidney_settle(KidneyState *kidney, const Parameters *parameters, double aorta_mmhg,
                         double cvp_mmhg, double abdomen_mmhg, double flow_ml_s, double dt_s);

/* Advances by dt_s (s) with the beat's means and the plasma volume over its usual value; returns the urine of
 * this beat, mL (>= 0). */
double model_kidney_advance(KidneyState *kidney, const Parameters *parameters, double aorta_mmhg,
                            double cvp_mmhg, double abdomen_mmhg, double flow_ml_s, double plasma_x,
                            double dt_s);

#endif
