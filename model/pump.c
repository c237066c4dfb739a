/* Rotary pump law: H = a w^2 - b w Q - c Q|Q| - k exp(-w/w0) Q|Q| (w krpm, Q L/min), affinity laws hold. */
#include "model/pump.h"

#include "model/smooth.h"
#include "model/units.h"

#include <math.h>
#include <stddef.h>

#define RPM_PER_KRPM    1000.0
#define SEPTUM_WIDTH_ML 3.0  /* softness of "septum to the left" */
#define GATE_WIDTH_ML_S 5.0  /* suction needs flow into the inlet */
#define STANDSTILL_KRPM 0.05 /* below this no console estimates a flow */
/* drag of a clot of 1 at the rotor, W per mmHg of shut-off head: 1 to 2 W and a shown flow of twice and more
   (17 episodes, Braz J Cardiovasc Surg) */
#define THROMBUS_W_PER_MMHG 0.029
#define GRAFT_BORE_CM       1.4 /* usual outflow graft */
#define BLOOD_G_ML          1.06
#define DYN_CM2_PER_MMHG    1333.22
#define THROMBUS_QUADRATIC  2.0
#define THROMBUS_LINEAR     0.8
/* viscosity: mu = 1.25 exp(2.4 Hct) mPa s; head falls 3 % and power rises 10 % per unit of mu/3.5 */
#define VISCOSITY_AT_NORMAL_MPA_S 3.425 /* at a haematocrit of 0.42 */
#define VISCOSITY_NOMINAL_MPA_S   3.5
#define VISCOSITY_HEAD            0.03
#define VISCOSITY_POWER           0.10
#define RESISTANCE_PLASMA_SHARE   0.6 /* viscosity_x = 0.6 + 0.4 mu/mu_normal (fluids.h) */

/* Selects the side's value of a parameter that both pumps have. */
#define SIDE(p, side, name) ((side) == PUMP_LEFT ? (p)->left_pump_##name : (p)->right_pump_##name)

/* Pressure lost behind a narrowed graft, mmHg per (mL/s)^2: the jet widens to the whole bore again,
   rho/2 (1/A - 1/A0)^2 (Borda and Carnot). Little up to half the area, then steep. */
static double narrowing_quadratic(double lost_frac) {
    const double open_cm2 = 0.25 * SMOOTH_PI * GRAFT_BORE_CM * GRAFT_BORE_CM;
    const double excess = 1.0 / (open_cm2 * (1.0 - lost_frac)) - 1.0 / open_cm2;
    return 0.5 * BLOOD_G_ML * excess * excess / DYN_CM2_PER_MMHG;
}

PumpConstants model_pump_constants(const Parameters *p, PumpSide side, double viscosity_x) {
    const bool powered = SIDE(p, side, powered) > 0.5;
    const double thrombus = SIDE(p, side, thrombus_frac);
    const double mu = VISCOSITY_AT_NORMAL_MPA_S * fmax(viscosity_x - RESISTANCE_PLASMA_SHARE, 0.0) /
                      (1.0 - RESISTANCE_PLASMA_SHARE);
    const double excess = mu / VISCOSITY_NOMINAL_MPA_S - 1.0;
    return (PumpConstants){
        .present = SIDE(p, side, present) > 0.5,
        .from_ventricle = side == PUMP_LEFT || p->right_pump_inlet > 0.5,
        .target_krpm = powered ? SIDE(p, side, speed_rpm) / RPM_PER_KRPM : 0.0,
        .spin_s = powered ? SIDE(p, side, spin_s) : SIDE(p, side, run_down_s),
        .a = SIDE(p, side, a_mmhg_krpm2),
        .b = SIDE(p, side, b_mmhg_min_l_krpm) * (1.0 + THROMBUS_LINEAR * thrombus),
        .c = SIDE(p, side, c_mmhg_min2_l2) * (1.0 + THROMBUS_QUADRATIC * thrombus),
        .stop_k = SIDE(p, side, stop_k_mmhg_min2_l2),
        .stop_krpm = SIDE(p, side, stop_krpm),
        .viscosity_head_x = 1.0 - VISCOSITY_HEAD * excess,
        .viscosity_power_x = 1.0 + VISCOSITY_POWER * excess,
        .l = SIDE(p, side, l_mmhg_s2_ml),
        .r = SIDE(p, side, inlet_r_mmhg_s_ml) + SIDE(p, side, graft_r_mmhg_s_ml),
        .quadratic = SIDE(p, side, inlet_b_mmhg_s2_ml2) +
                     (side == PUMP_LEFT ? narrowing_quadratic(p->left_pump_graft_narrow_frac) : 0.0),
        .suction_ml = SIDE(p, side, suction_ml),
        .suction_width = SIDE(p, side, suction_width_ml),
        .suction_septum = side == PUMP_LEFT ? p->left_pump_suction_septum : 0.0,
        .suction_r = SIDE(p, side, suction_r_mmhg_s_ml),
        .close_s = SIDE(p, side, suction_close_s),
        .release_s = SIDE(p, side, suction_release_s),
        .power_0 = p->left_pump_power_0_w,
        .power_1 = p->left_pump_power_1_w_krpm3,
        .power_2 = p->left_pump_power_2_w_min_l_krpm2,
        .drag_w_krpm2 = THROMBUS_W_PER_MMHG * SIDE(p, side, a_mmhg_krpm2) * thrombus,
    };
}

double model_pump_krpm(const PumpConstants *pump, double start_krpm, double t_s) {
    return pump->target_krpm + (start_krpm - pump->target_krpm) * exp(-t_s / pump->spin_s);
}

PumpDrive model_pump_drive(const PumpConstants *pump, double krpm) {
    if (!pump->present) return (PumpDrive){0, 0, 0};
    const double stopped = pump->stop_k * exp(-krpm / pump->stop_krpm);
    const double x = pump->viscosity_head_x;
    return (PumpDrive){
        .shutoff_mmhg = x * pump->a * krpm * krpm,
        .linear = x * pump->b * krpm / UNITS_ML_S_PER_L_MIN,
        .quadratic = x * (pump->c + stopped) / (UNITS_ML_S_PER_L_MIN * UNITS_ML_S_PER_L_MIN),
    };
}

double model_pump_head_mmhg(const PumpDrive *drive, double flow_ml_s) {
    return drive->shutoff_mmhg - (drive->linear + drive->quadratic * fabs(flow_ml_s)) * flow_ml_s;
}

PumpRates model_pump_rates(const PumpConstants *pump, const PumpDrive *drive, double dp_mmhg, double flow,
                           double occlusion, double chamber_ml, double septum_ml, PumpSlopes *slopes) {
    if (!pump->present) {
        /* an absent pump: both variables decay to rest */
        const double per_s = -1.0 / pump->close_s;
        if (slopes) *slopes = (PumpSlopes){.flow_flow = per_s, .occlusion_own = per_s};
        return (PumpRates){flow * per_s, occlusion * per_s};
    }
    const double covered = pump->suction_r * occlusion * occlusion;
    const double quadratic = drive->quadratic + pump->quadratic;
    const double linear = pump->r + covered + drive->linear;
    double dseptum, dnear, dgate;
    const double left = smooth_positive(-septum_ml, SEPTUM_WIDTH_ML, &dseptum);
    const double distance = pump->suction_ml + pump->suction_septum * left - chamber_ml;
    const double near = smooth_step(distance / pump->suction_width, &dnear);
    const double gate = smooth_step(flow / GATE_WIDTH_ML_S, &dgate);
    const double aim = near * gate;
    const double tau = aim > occlusion ? pump->close_s : pump->release_s;
    PumpRates rates = {
        .flow_ml_s2 = (dp_mmhg + drive->shutoff_mmhg - (linear + quadratic * fabs(flow)) * flow) / pump->l,
        .occlusion_per_s = (aim - occlusion) / tau,
    };
    if (slopes) {
        slopes->flow_pressure = 1.0 / pump->l;
        slopes->flow_flow = -(linear + 2.0 * quadratic * fabs(flow)) / pump->l;
        slopes->flow_occlusion = -2.0 * pump->suction_r * occlusion * flow / pump->l;
        slopes->occlusion_volume = -dnear * gate / (pump->suction_width * tau);
        slopes->occlusion_septum =
            -pump->suction_septum * dseptum * dnear * gate / (pump->suction_width * tau);
        slopes->occlusion_flow = near * dgate / (GATE_WIDTH_ML_S * tau);
        slopes->occlusion_own = -1.0 / tau;
    }
    return rates;
}

double model_pump_power_w(const PumpConstants *pump, double krpm, double flow_l_min) {
    if (krpm < STANDSTILL_KRPM) return 0.0;
    const double friction = pump->power_1 * krpm * krpm * krpm + pump->drag_w_krpm2 * krpm * krpm;
    const double work = pump->power_2 * krpm * krpm * fmax(flow_l_min, 0.0);
    return pump->power_0 + pump->viscosity_power_x * (friction + work);
}

double model_pump_shown_l_min(const Parameters *p, double krpm, double power_w) {
    if (krpm < STANDSTILL_KRPM) return 0.0;
    const double friction = p->left_pump_power_1_w_krpm3 * krpm * krpm * krpm;
    const double estimate =
        (power_w - p->left_pump_power_0_w - friction) / (p->left_pump_power_2_w_min_l_krpm2 * krpm * krpm);
    return fmax(p->left_pump_estimate_gain * estimate + p->left_pump_estimate_offset_l_min, 0.0);
}
