/* Urine from renal perfusion pressure, congestion and flow, with its lag. */
#ifndef MODEL_KIDNEY_H
#define MODEL_KIDNEY_H

#include "model/parameters.h"

typedef struct KidneyState {
    double pressure_mmhg;             /* low-passed renal perfusion pressure, MAP - max(CVP, abdomen) */
    double cvp_mmhg;                  /* low-passed central venous pressure */
    double flow_ml_s;                 /* low-passed systemic flow */
    double tubular_ml_s;              /* urine this perfusion makes, behind the tubules' lag */
    double urine_ml_s;                /* flow into the bladder: with what drugs do to the tubules */
    double hourly_ml_s;               /* low-passed over an hour, as charted */
    double low_s, very_low_s, none_s; /* how long the charted urine has been below 0.5, 0.3, 0.05 mL/kg/h */
} KidneyState;

/* Usual urine at the reference pressure. */
void model_kidney_start(KidneyState *kidney, const Parameters *parameters);

/* Urine flow, mL/s, this perfusion would give after the lag. Pressures mmHg, flow mL/s;
   plasma_x is the plasma volume over its usual value. */
double model_kidney_target(const Parameters *parameters, double pressure_mmhg, double cvp_mmhg,
                           double flow_ml_s, double plasma_x);

/* Stage of acute kidney injury by urine output, 0 to 3. KDIGO 2012: below 0.5 mL/kg/h for 6 h; for 12 h;
   below 0.3 mL/kg/h for 24 h or none for 12 h. */
int model_kidney_stage(const KidneyState *kidney);

/* While settling: urine takes the value that belongs to the present perfusion. */
void model_kidney_settle(KidneyState *kidney, const Parameters *parameters, double aorta_mmhg,
                         double cvp_mmhg, double abdomen_mmhg, double flow_ml_s, double dt_s);

/* Advances by dt_s (s) with the beat's means, the plasma volume over its usual value and the drugs' factor on
   urine; returns the urine of this beat, mL (>= 0). */
double model_kidney_advance(KidneyState *kidney, const Parameters *parameters, double aorta_mmhg,
                            double cvp_mmhg, double abdomen_mmhg, double flow_ml_s, double plasma_x,
                            double drugs_x, double dt_s);

#endif
