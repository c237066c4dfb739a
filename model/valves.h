/* Heart valves: opening as a state, Bernoulli resistance and inertance of the effective area
   (Mynard, Int J Numer Meth Biomed Eng 2012;28:626). Inertance follows 1/area, which keeps it non-stiff. */
#ifndef MODEL_VALVES_H
#define MODEL_VALVES_H

#include "model/parameters.h"
#include "model/variables.h"

typedef struct ValveConstants {
    double area_cm2, leak_cm2;
    double leak_gain, leak_onset_ml, leak_max_cm2; /* functional leak of a dilated ventricle; gain 0: none */
    double open_rate, close_rate;                  /* 1/(mmHg s) */
    double length_cm;
} ValveConstants;

/* Rates of one valve. */
typedef struct ValveRates {
    double flow_ml_s2, open_per_s;
} ValveRates;

typedef struct ValveSlopes {
    double flow_pressure, flow_flow, flow_open, flow_ventricle;
    double open_pressure, open_open;
} ValveSlopes;

ValveConstants model_valves_constants(const Parameters *parameters, ValveId id);

/* Regurgitant area at a ventricular volume, cm2; `slope` (cm2/mL) may be NULL. */
double model_valves_leak_cm2(const ValveConstants *valve, double ventricle_ml, double *slope);

/* Rates at pressure difference `dp_mmhg` (upstream minus downstream), flow and opening; `slopes` may be NULL.
 */
ValveRates model_valves_rates(const ValveConstants *valve, double dp_mmhg, double flow_ml_s, double open_frac,
                              double ventricle_ml, ValveSlopes *slopes);

#endif
