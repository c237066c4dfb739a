/* Rotary blood pumps: head-flow law, inflow suction as a state with hysteresis, power and the console's
 * estimate. */
#ifndef MODEL_PUMP_H
#define MODEL_PUMP_H

#include "model/parameters.h"

#include <stdbool.h>

typedef enum PumpSide { PUMP_LEFT, PUMP_RIGHT } PumpSide;

typedef struct PumpConstants {
    bool present;
    bool from_ventricle;               /* right pump: inlet in the right ventricle instead of the atrium */
    double target_krpm, spin_s;        /* the rotor follows its target with this time constant */
    double a, b, c, stop_k, stop_krpm; /* mmHg, L/min, krpm */
    double viscosity_head_x, viscosity_power_x;
    double l, r, quadratic; /* inertance, resistance, quadratic loss in mL/s units */
    double suction_ml, suction_width, suction_septum, suction_r, close_s, release_s;
    double power_0, power_1, power_2;
    double drag_w_krpm2; /* thrombus */
} PumpConstants;

/* Pump law at one rotor speed. */
typedef struct PumpDrive {
    double shutoff_mmhg, linear, quadratic; /* H = shutoff - linear Q - quadratic Q|Q|, Q in mL/s */
} PumpDrive;

typedef struct PumpRates {
    double flow_ml_s2, occlusion_per_s;
} PumpRates;

typedef struct PumpSlopes {
    double flow_pressure, flow_flow, flow_occlusion;
    double occlusion_volume, occlusion_septum, occlusion_flow, occlusion_own;
} PumpSlopes;

/* Constants of one beat; `viscosity_x` is Effects.viscosity_x. */
PumpConstants model_pump_constants(const Parameters *parameters, PumpSide side, double viscosity_x);

/* Rotor speed `t_s` after it was `start_krpm`, krpm. */
double model_pump_krpm(const PumpConstants *pump, double start_krpm, double t_s);

PumpDrive model_pump_drive(const PumpConstants *pump, double krpm);

/* Head of the rotor in mmHg at flow `flow_ml_s`. */
double model_pump_head_mmhg(const PumpDrive *drive, double flow_ml_s);

/* Rates at pressure difference inlet minus outlet, inlet chamber volume and septal volume (0 for the right
   pump); `slopes` may be NULL. A pump that is not present keeps flow and occlusion at rest. */
PumpRates model_pump_rates(const PumpConstants *pump, const PumpDrive *drive, double dp_mmhg,
                           double flow_ml_s, double occlusion, double chamber_ml, double septum_ml,
                           PumpSlopes *slopes);

/* Electrical power in W at rotor speed and flow (L/min). */
double model_pump_power_w(const PumpConstants *pump, double krpm, double flow_l_min);

/* Flow a console works out from power and speed, L/min: the inverse of the healthy power law, then the
   published slope and offset of shown against true flow. 0 when the rotor stands still. */
double model_pump_shown_l_min(const Parameters *parameters, double krpm, double power_w);

#endif
