/* Homeometric answer of the right ventricle: upward only, with an upper limit. */
#include "model/homeometric.h"

#include "model/lag.h"

#include <math.h>

/* Before the first beat is felt (design) */
static const double START_MMHG = 25.0;
static const double START_ML = 70.0;
/* Floors, so that a heart that stands still makes no ratio (design) */
static const double LEAST_MMHG = 8.0;
static const double LEAST_ML = 5.0;
static const double SETTLE_LAG_S = 20.0; /* several breaths (design) */
/* More after 5 min than at once: Sci Rep 2024, doi 10.1038/s41598-024-59787-w */
static const double LAG_S = 180.0;
static const double WIDTH = 0.03; /* softness of "more than usual", share of the usual load (design) */
static const double MOST = 0.5;   /* greatest gain of contractility, share (design) */

void model_homeometric_start(HomeometricState *homeometric) {
    homeometric->rest_mmhg = homeometric->felt_mmhg = START_MMHG;
    homeometric->rest_ml = homeometric->felt_ml = START_ML;
}

static void follow(HomeometricState *homeometric, double systolic_mmhg, double stroke_ml, double dt_s,
                   double lag_s) {
    (void)model_lag_step(&homeometric->felt_mmhg, systolic_mmhg, dt_s, lag_s);
    (void)model_lag_step(&homeometric->felt_ml, stroke_ml, dt_s, lag_s);
}

void model_homeometric_settle(HomeometricState *homeometric, double systolic_mmhg, double stroke_ml,
                              double dt_s) {
    follow(homeometric, systolic_mmhg, stroke_ml, dt_s, SETTLE_LAG_S);
    homeometric->rest_mmhg = homeometric->felt_mmhg;
    homeometric->rest_ml = homeometric->felt_ml;
}

void model_homeometric_advance(HomeometricState *homeometric, double systolic_mmhg, double stroke_ml,
                               double dt_s) {
    follow(homeometric, systolic_mmhg, stroke_ml, dt_s, LAG_S);
}

void model_homeometric_effects(const HomeometricState *homeometric, const Parameters *parameters,
                               Effects *effects) {
    const double pressure_x =
        fmax(homeometric->felt_mmhg, LEAST_MMHG) / fmax(homeometric->rest_mmhg, LEAST_MMHG);
    const double stroke_x = fmax(homeometric->felt_ml, LEAST_ML) / fmax(homeometric->rest_ml, LEAST_ML);
    /* a load is a pressure that the flow does not explain: inotropes, fluid and bleeding are none */
    const double load = fmin(pressure_x, pressure_x / stroke_x) - 1.0;
    const double more = fmax(model_lag_softplus(load, WIDTH) - model_lag_softplus(0.0, WIDTH), 0.0);
    effects->rv_ees_x *= 1.0 + MOST * tanh(parameters->rv_homeometric_gain * more / MOST);
}
