/* Gases and oxygen: saturation curve, lungs with shunt, delivery, consumption, lactate, pH, and what they do
   to the pulmonary resistance. */
#ifndef MODEL_OXYGEN_H
#define MODEL_OXYGEN_H

#include "model/parameters.h"

typedef struct OxygenState {
    double sao2_frac, svo2_frac;
    double pao2_mmhg, paco2_mmhg, ph;
    double mixed_venous_ml_dl; /* low-passed mixed venous oxygen content */
    double vo2_ml_min, do2_ml_min, demand_ml_min;
    double flow_ml_s;            /* low-passed systemic flow */
    double splanchnic_ml_s;      /* low-passed splanchnic flow */
    double splanchnic_rest_ml_s; /* this person's usual splanchnic flow, taken while settling */
    double lactate_mmol_l;
    double
        overproduction_mmol_min; /* lactate made beyond rest; rises at once, fades when its cause is gone */
    double shunt_x;              /* factor of the drugs on the shunt, set from outside; 1 without */
    double hypoxia_fast, hypoxia_slow[2]; /* hypoxic vasoconstriction: quick part and slow chain */
} OxygenState;

/* Oxygen saturation (0..1) at po2_mmhg (> 0), pH and temperature (degC).
   Severinghaus, J Appl Physiol 1979;46:599; standard curve, temperature and Bohr shifts. */
double model_oxygen_saturation(double po2_mmhg, double ph, double temperature_c);

/* Oxygen content, mL/dL, of blood with hb_g_dl, saturation and tension: 1.34 Hb S + 0.003 PO2. */
double model_oxygen_content(double hb_g_dl, double saturation_frac, double po2_mmhg);

/* Tension (mmHg) at which blood with hb_g_dl holds content_ml_dl (clamped to 0.1..700 mmHg). */
double model_oxygen_tension(double hb_g_dl, double content_ml_dl, double ph, double temperature_c);

/* Haemoglobin, g/dL, from haematocrit. */
double model_oxygen_hb(double hct_frac);

/* A resting start: usual flow for the weight, lactate as in *parameters. */
void model_oxygen_start(OxygenState *oxygen, const Parameters *parameters, double hct_frac);

/* While settling: gases and lactate take their steady values at this flow, and the splanchnic flow its
 * reference. */
void model_oxygen_settle(OxygenState *oxygen, const Parameters *parameters, double hct_frac, double flow_ml_s,
                         double splanchnic_ml_s, double lactate_x, double dt_s);

/* Advances by dt_s (s) at systemic and splanchnic flow (mL/s, beat means); lactate_x is the drugs' factor on
   resting lactate production. */
void model_oxygen_advance(OxygenState *oxygen, const Parameters *parameters, double hct_frac,
                          double flow_ml_s, double splanchnic_ml_s, double lactate_x, double dt_s);

/* Factor of carbon dioxide, pH and hypoxia on the pulmonary resistance, 1 at rest on room air. */
double model_oxygen_pvr_x(const OxygenState *oxygen, const Parameters *parameters);

#endif
