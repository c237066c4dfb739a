/* Urine from renal perfusion pressure, congestion and flow, with its lag. */
#include "model/kidney.h"

#include "model/lag.h"
#include "model/units.h"

#include <math.h>

/* Shape of urine against perfusion pressure: little below about 40 mmHg, a plateau above 75 (Redfors 2011;
   Crit Care Explor 2024, doi 10.1097/CCE.0000000000001141); the curve is design. */
static const double CLOSING_WIDTH_MMHG = 3.0;
static const double PLATEAU_MMHG = 12.0;
static const double USUAL_CLOSING_GAP_MMHG = 30.0; /* closing pressure below the reference: 40 at 70 mmHg */
/* Congestion: -5 % per mmHg of CVP above 12 */
static const double CONGESTION_MMHG = 12.0;
static const double CONGESTION_PER_MMHG = 0.05;
static const double CONGESTION_WIDTH_MMHG = 1.0;
/* Neurohumoral answer to low flow: urine falls in proportion below this flow, a cardiac index of about 2
 * (design) */
static const double LOW_FLOW_ML_S_KG = 0.85;
static const double LOW_FLOW_WIDTH = 0.05;
static const double REST_FLOW_ML_S_KG = 1.15; /* 5.2 L/min at 75 kg */
/* Volume: plasma expansion raises urine, loss saves it; 0.006 /min of an excess of 250 mL is excreted (Hahn
   and Lyons 2016, PMC4890831, fit) */
static const double VOLUME_GAIN = 8.0;
static const double VOLUME_MIN_X = 0.3;
static const double VOLUME_MAX_X = 2.0;
/* Lags: falls in 5-15 min, recovers in 30-60 min */
static const double PERFUSION_LAG_S = 60.0;
static const double SETTLE_LAG_S = 10.0; /* several breaths */
static const double FALL_LAG_S = 8.0 * 60.0;
static const double RISE_LAG_S = 25.0 * 60.0;
/* KDIGO 2012, urine criteria */
static const double CHART_LAG_S = UNITS_S_PER_H;
static const double LOW_ML_KG_H = 0.5;
static const double VERY_LOW_ML_KG_H = 0.3;
static const double NONE_ML_KG_H = 0.05;
static const double STAGE_1_S = 6.0 * UNITS_S_PER_H;
static const double STAGE_2_S = 12.0 * UNITS_S_PER_H;
static const double STAGE_3_S = 24.0 * UNITS_S_PER_H;
static const double ANURIA_S = 12.0 * UNITS_S_PER_H;

static double perfusion_shape(double pressure_mmhg, double reference_mmhg) {
    const double closing_mmhg = reference_mmhg - USUAL_CLOSING_GAP_MMHG;
    const double above = model_lag_softplus(pressure_mmhg - closing_mmhg, CLOSING_WIDTH_MMHG);
    return -expm1(-above / PLATEAU_MMHG);
}

double model_kidney_target(const Parameters *parameters, double pressure_mmhg, double cvp_mmhg,
                           double flow_ml_s, double plasma_x) {
    const double reference = parameters->kidney_reference_mmhg;
    const double usual_ml_s = parameters->urine_rest_ml_kg_h * parameters->weight_kg *
                              parameters->kidney_function_frac / UNITS_S_PER_H;
    const double shape = perfusion_shape(pressure_mmhg, reference) / perfusion_shape(reference, reference);
    const double congestion =
        1.0 - CONGESTION_PER_MMHG * model_lag_softplus(cvp_mmhg - CONGESTION_MMHG, CONGESTION_WIDTH_MMHG);
    const double flow_x = flow_ml_s / (LOW_FLOW_ML_S_KG * parameters->weight_kg);
    const double output = 1.0 - model_lag_softplus(1.0 - flow_x, LOW_FLOW_WIDTH);
    const double volume = fmin(VOLUME_MAX_X, fmax(VOLUME_MIN_X, exp(VOLUME_GAIN * (plasma_x - 1.0))));
    return usual_ml_s * shape * fmax(0.0, congestion) * fmax(0.0, output) * volume;
}

/* Urine that belongs to the present perfusion, as if it had always been so. */
static void fill(KidneyState *kidney, const Parameters *parameters) {
    kidney->tubular_ml_s =
        model_kidney_target(parameters, kidney->pressure_mmhg, kidney->cvp_mmhg, kidney->flow_ml_s, 1.0);
    kidney->urine_ml_s = kidney->tubular_ml_s;
    kidney->hourly_ml_s = kidney->tubular_ml_s;
    kidney->low_s = kidney->very_low_s = kidney->none_s = 0.0;
}

void model_kidney_start(KidneyState *kidney, const Parameters *parameters) {
    kidney->pressure_mmhg = parameters->kidney_reference_mmhg;
    kidney->cvp_mmhg = 0.0;
    kidney->flow_ml_s = REST_FLOW_ML_S_KG * parameters->weight_kg;
    fill(kidney, parameters);
}

/* Renal perfusion pressure: the vein's outside pressure counts when it is higher. */
static double perfusion_mmhg(double aorta_mmhg, double cvp_mmhg, double abdomen_mmhg) {
    return aorta_mmhg - fmax(cvp_mmhg, abdomen_mmhg);
}

static void follow(KidneyState *kidney, double aorta_mmhg, double cvp_mmhg, double abdomen_mmhg,
                   double flow_ml_s, double dt_s, double lag_s) {
    const double pressure = perfusion_mmhg(aorta_mmhg, cvp_mmhg, abdomen_mmhg);
    (void)model_lag_step(&kidney->pressure_mmhg, pressure, dt_s, lag_s);
    (void)model_lag_step(&kidney->cvp_mmhg, cvp_mmhg, dt_s, lag_s);
    (void)model_lag_step(&kidney->flow_ml_s, fmax(0.0, flow_ml_s), dt_s, lag_s);
}

void model_kidney_settle(KidneyState *kidney, const Parameters *parameters, double aorta_mmhg,
                         double cvp_mmhg, double abdomen_mmhg, double flow_ml_s, double dt_s) {
    follow(kidney, aorta_mmhg, cvp_mmhg, abdomen_mmhg, flow_ml_s, dt_s, SETTLE_LAG_S);
    fill(kidney, parameters);
}

/* Time below a limit (mL/kg/h), begun anew above it. */
static double time_below(double so_far_s, double now_ml_kg_h, double limit_ml_kg_h, double dt_s) {
    return now_ml_kg_h < limit_ml_kg_h ? so_far_s + dt_s : 0.0;
}

static void chart(KidneyState *kidney, const Parameters *parameters, double dt_s) {
    (void)model_lag_step(&kidney->hourly_ml_s, kidney->urine_ml_s, dt_s, CHART_LAG_S);
    const double ml_kg_h = kidney->hourly_ml_s * UNITS_S_PER_H / parameters->weight_kg;
    kidney->low_s = time_below(kidney->low_s, ml_kg_h, LOW_ML_KG_H, dt_s);
    kidney->very_low_s = time_below(kidney->very_low_s, ml_kg_h, VERY_LOW_ML_KG_H, dt_s);
    kidney->none_s = time_below(kidney->none_s, ml_kg_h, NONE_ML_KG_H, dt_s);
}

int model_kidney_stage(const KidneyState *kidney) {
    if (kidney->very_low_s >= STAGE_3_S || kidney->none_s >= ANURIA_S) return 3;
    if (kidney->low_s >= STAGE_2_S) return 2;
    return kidney->low_s >= STAGE_1_S ? 1 : 0;
}

double model_kidney_advance(KidneyState *kidney, const Parameters *parameters, double aorta_mmhg,
                            double cvp_mmhg, double abdomen_mmhg, double flow_ml_s, double plasma_x,
                            double drugs_x, double dt_s) {
    follow(kidney, aorta_mmhg, cvp_mmhg, abdomen_mmhg, flow_ml_s, dt_s, PERFUSION_LAG_S);
    const double target =
        model_kidney_target(parameters, kidney->pressure_mmhg, kidney->cvp_mmhg, kidney->flow_ml_s, plasma_x);
    const double lag_s = target < kidney->tubular_ml_s ? FALL_LAG_S : RISE_LAG_S;
    const double mean_ml_s = drugs_x * model_lag_step(&kidney->tubular_ml_s, target, dt_s, lag_s);
    kidney->urine_ml_s = drugs_x * kidney->tubular_ml_s;
    chart(kidney, parameters, dt_s);
    return mean_ml_s * dt_s;
}
