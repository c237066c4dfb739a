/* What temperature, shivering, sedation and anaemia do to heart rate and vessels, beside the baroreflex. Like
   the reflex in deviation form: the patient as he starts is the point where none of them pulls. */
#ifndef MODEL_AUTONOMIC_H
#define MODEL_AUTONOMIC_H

#include "model/effects.h"
#include "model/parameters.h"

/* Flat. */
typedef struct AutonomicState {
    double hb_rest_g_dl, temperature_rest_c, sedation_rest_frac, shivering_rest_frac; /* as at the start */
    double hb_g_dl, temperature_c, sedation_frac, shivering_frac; /* as felt: behind their lags */
} AutonomicState;

/* Takes the present as the point where nothing pulls; hb_g_dl (> 0) is the haemoglobin. Also while settling.
 */
void model_autonomic_start(AutonomicState *autonomic, const Parameters *parameters, double hb_g_dl);

/* Advances by dt_s (s, > 0). */
void model_autonomic_advance(AutonomicState *autonomic, const Parameters *parameters, double hb_g_dl,
                             double dt_s);

/* Multiplies rate and resistance and adds venous capacity in *effects. */
void model_autonomic_effects(const AutonomicState *autonomic, const Parameters *parameters, Effects *effects);

#endif
