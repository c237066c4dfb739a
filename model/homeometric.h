/* The right ventricle's answer to load at an unchanged length (Anrep): its contractility follows the pressure
   it has to make, within minutes. In deviation form: the pressure while settling is the one at which nothing
   pulls. */
#ifndef MODEL_HOMEOMETRIC_H
#define MODEL_HOMEOMETRIC_H

#include "model/effects.h"
#include "model/parameters.h"

/* Flat. */
typedef struct HomeometricState {
    double rest_mmhg, rest_ml; /* right ventricular systolic pressure and stroke volume: usual */
    double felt_mmhg, felt_ml; /* as felt, behind their lag */
} HomeometricState;

void model_homeometric_start(HomeometricState *homeometric);

/* While settling: systolic pressure above that around the heart (mmHg) and volume into the lungs (mL) of a
   beat of dt_s (s) become the usual ones. */
void model_homeometric_settle(HomeometricState *homeometric, double systolic_mmhg, double stroke_ml,
                              double dt_s);

/* Advances by dt_s (s, > 0). */
void model_homeometric_advance(HomeometricState *homeometric, double systolic_mmhg, double stroke_ml,
                               double dt_s);

/* Multiplies right ventricular contractility in *effects. */
void model_homeometric_effects(const HomeometricState *homeometric, const Parameters *parameters,
                               Effects *effects);

#endif
