/* Baroreflex in deviation form, once per beat: no drive at the neutral pressure. */
#ifndef MODEL_REFLEX_H
#define MODEL_REFLEX_H

#include "model/effects.h"
#include "model/parameters.h"

/* Flat. All drives are deviations from the neutral point (dimensionless), 0 when nothing pulls. */
typedef struct ReflexState {
    double neutral_mmhg;                            /* pressure without drive */
    double neutral_pulse_mmhg;                      /* pulse pressure without drive */
    double pressure_mmhg;                           /* low-passed mean aortic pressure with the pulse term */
    double pulse_mmhg;                              /* low-passed arterial pulse pressure */
    double sympathetic_hz[4];                       /* lag chain: [1] after about 2 s, [3] after about 5 s */
    double vagal_hz;                                /* after about 0.2 s */
    double catecholamine_rise, drive_catecholamine; /* adrenal: slow, reaches a denervated heart */
    double drive_resistance, drive_veins, drive_contractility, drive_rate, drive_vagal;
} ReflexState;

/* Neutral at 90 mmHg until model_reflex_neutralise is called. */
void model_reflex_start(ReflexState *reflex);

/* Takes `mean_mmhg` (> 0) and the present pulse pressure as the point without drive, and clears all drives.
 */
void model_reflex_neutralise(ReflexState *reflex, double mean_mmhg);

/* Advances by dt_s (s, > 0) with the beat's mean aortic pressure and arterial pulse pressure (mmHg).
   Ursino, Am J Physiol 1998;275:H1733, afferent and efferent curves. */
void model_reflex_advance(ReflexState *reflex, double aorta_mmhg, double pulse_mmhg, double dt_s);

/* Sets the reflex_* members of *effects with the gains of *parameters, reduced by sedation, and multiplies
   the circulating catecholamines' part into hr_x. */
void model_reflex_effects(const ReflexState *reflex, const Parameters *parameters, Effects *effects);

#endif
