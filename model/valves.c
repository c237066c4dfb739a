/* Valve rates. */
#include "model/valves.h"

#include "model/smooth.h"
#include "model/units.h"

#include <math.h>
#include <stdbool.h>

#define BLOOD_DENSITY_G_ML     1.06
#define BLOOD_VISCOSITY_G_CM_S 0.035
#define AREA_CLOSED_CM2        0.001 /* what no valve closes */
#define RESISTANCE_MMHG_S_ML   0.001
#define LEAK_WIDTH_ML          15.0 /* softness of the onset of a functional leak */

ValveConstants model_valves_constants(const Parameters *p, ValveId id) {
    ValveConstants valve = {.length_cm = p->valve_length_cm};
    const bool inflow = id == VALVE_MITRAL || id == VALVE_TRICUSPID;
    valve.open_rate = inflow ? p->inflow_valve_open_per_mmhg_s : p->outflow_valve_open_per_mmhg_s;
    valve.close_rate = inflow ? p->inflow_valve_close_per_mmhg_s : p->outflow_valve_close_per_mmhg_s;
    switch (id) {
    case VALVE_MITRAL:
        valve.area_cm2 = p->mitral_area_cm2;
        valve.leak_cm2 = p->mitral_leak_cm2;
        valve.leak_gain = p->mitral_leak_gain_cm2_ml;
        valve.leak_onset_ml = p->mitral_leak_onset_ml;
        valve.leak_max_cm2 = p->mitral_leak_max_cm2;
        break;
    case VALVE_AORTIC:
        valve.area_cm2 = p->aortic_area_cm2;
        valve.leak_cm2 = p->aortic_leak_cm2;
        break;
    case VALVE_TRICUSPID:
        valve.area_cm2 = p->tricuspid_area_cm2;
        valve.leak_cm2 = p->tricuspid_leak_cm2;
        valve.leak_gain = p->tricuspid_leak_gain_cm2_ml;
        valve.leak_onset_ml = p->tricuspid_leak_onset_ml;
        valve.leak_max_cm2 = p->tricuspid_leak_max_cm2;
        break;
    default:
        valve.area_cm2 = p->pulmonary_area_cm2;
        valve.leak_cm2 = p->pulmonary_leak_cm2;
        break;
    }
    return valve;
}

double model_valves_leak_cm2(const ValveConstants *valve, double ventricle_ml, double *slope) {
    double leak = valve->leak_cm2;
    double steep = 0.0;
    if (valve->leak_gain > 0) {
        double dleak;
        const double more =
            valve->leak_gain * smooth_positive(ventricle_ml - valve->leak_onset_ml, LEAK_WIDTH_ML, &dleak);
        if (more < valve->leak_max_cm2) {
            leak += more;
            steep = valve->leak_gain * dleak;
        } else {
            leak += valve->leak_max_cm2;
        }
    }
    if (leak > valve->area_cm2) {
        leak = valve->area_cm2;
        steep = 0.0;
    }
    if (slope) *slope = steep;
    return leak;
}

ValveRates model_valves_rates(const ValveConstants *valve, double dp, double flow, double open,
                              double ventricle_ml, ValveSlopes *slopes) {
    /* effective area; the opening may leave 0..1 by the integrator's tolerance */
    double dleak;
    const double leak = model_valves_leak_cm2(valve, ventricle_ml, &dleak);
    const double z = fmin(fmax(open, 0.0), 1.0);
    const double area = AREA_CLOSED_CM2 + leak + (valve->area_cm2 - leak) * z;

    /* dQ/dt = (dp - R Q - B Q|Q|) / L with L = rho l / A, R = R0 + 8 pi mu l / A^2, B = rho / (2 A^2) */
    const double inertia = BLOOD_DENSITY_G_ML * valve->length_cm / UNITS_DYN_CM2_PER_MMHG; /* L A */
    const double viscous =
        8.0 * SMOOTH_PI * BLOOD_VISCOSITY_G_CM_S * valve->length_cm / UNITS_DYN_CM2_PER_MMHG;
    const double kinetic = 0.5 * BLOOD_DENSITY_G_ML / UNITS_DYN_CM2_PER_MMHG;
    const double per_area = (viscous + kinetic * fabs(flow)) / area;
    const double drive = dp - RESISTANCE_MMHG_S_ML * flow;
    ValveRates rates;
    rates.flow_ml_s2 = (drive * area - per_area * flow) / inertia;
    rates.open_per_s = dp > 0 ? (1.0 - open) * valve->open_rate * dp : open * valve->close_rate * dp;
    if (slopes) {
        const double by_area = (drive + per_area * flow / area) / inertia;
        slopes->flow_pressure = area / inertia;
        slopes->flow_flow =
            -(RESISTANCE_MMHG_S_ML * area + (viscous + 2.0 * kinetic * fabs(flow)) / area) / inertia;
        slopes->flow_open = open > 0 && open < 1 ? by_area * (valve->area_cm2 - leak) : 0.0;
        slopes->flow_ventricle = by_area * dleak * (1.0 - z);
        slopes->open_pressure = dp > 0 ? (1.0 - open) * valve->open_rate : open * valve->close_rate;
        slopes->open_open = dp > 0 ? -valve->open_rate * dp : valve->close_rate * dp;
    }
    return rates;
}
