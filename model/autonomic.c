/* Temperature, shivering, sedation and anaemia on heart rate and vessels. */
#include "model/autonomic.h"

#include "model/lag.h"

#include <math.h>

/* Anaemia: rate +4 per g/dL lost in healthy people (Weiskopf, Transfusion 2003;43:235); more here because the
   pressure that comes with the higher output slows the rate again (fit). */
static const double ANAEMIA_RATE_PER_G_DL = 4.8;
static const double ANAEMIA_LAG_S = 60.0;
static const double ANAEMIA_WIDTH_G_DL = 0.1;
/* Fever: 8 beats/min per degC, also without nerves (textbook, from memory); vessels widen as output follows
   demand: CO 8.4 to 6.5 with 39.4 to 37.0 degC (Manthous, AJRCCM 1995) */
static const double RATE_PER_DEGC = 0.08;
static const double RESISTANCE_PER_DEGC = -0.07;
static const double TEMPERATURE_LAG_S = 300.0;
static const double WARMTH_MAX_DEGC = 4.0; /* of the deviation, to either side */
/* Shivering: delivery +20 % while demand doubles (Guffin, J Cardiothorac Anesth 1987); its split is design */
static const double SHIVERING_RATE = 0.12;
static const double SHIVERING_RESISTANCE = -0.28;
static const double SHIVERING_VEINS_ML = -400.0; /* muscles press on their veins */
static const double SHIVERING_LAG_S = 60.0;
/* Anaesthesia adds about 1.2 L of unstressed volume (86 patients, PMC10156538) */
static const double SEDATION_VEINS_ML = 1200.0;
static const double SEDATION_LAG_S = 120.0;

void model_autonomic_start(AutonomicState *autonomic, const Parameters *parameters, double hb_g_dl) {
    const AutonomicState now = {
        .hb_rest_g_dl = hb_g_dl,
        .temperature_rest_c = parameters->temperature_c,
        .sedation_rest_frac = parameters->sedation_frac,
        .shivering_rest_frac = parameters->shivering_frac,
        .hb_g_dl = hb_g_dl,
        .temperature_c = parameters->temperature_c,
        .sedation_frac = parameters->sedation_frac,
        .shivering_frac = parameters->shivering_frac,
    };
    *autonomic = now;
}

void model_autonomic_advance(AutonomicState *autonomic, const Parameters *parameters, double hb_g_dl,
                             double dt_s) {
    (void)model_lag_step(&autonomic->hb_g_dl, hb_g_dl, dt_s, ANAEMIA_LAG_S);
    (void)model_lag_step(&autonomic->temperature_c, parameters->temperature_c, dt_s, TEMPERATURE_LAG_S);
    (void)model_lag_step(&autonomic->sedation_frac, parameters->sedation_frac, dt_s, SEDATION_LAG_S);
    (void)model_lag_step(&autonomic->shivering_frac, parameters->shivering_frac, dt_s, SHIVERING_LAG_S);
}

void model_autonomic_effects(const AutonomicState *autonomic, const Parameters *parameters,
                             Effects *effects) {
    const double nerves = parameters->reflex_heart_gain * (1.0 - parameters->sedation_frac);
    const double lost_g_dl =
        model_lag_softplus(autonomic->hb_rest_g_dl - autonomic->hb_g_dl, ANAEMIA_WIDTH_G_DL) -
        model_lag_softplus(0.0, ANAEMIA_WIDTH_G_DL);
    const double anaemia = ANAEMIA_RATE_PER_G_DL * nerves * lost_g_dl / parameters->sinus_rate_per_min;
    const double warmer_c = fmin(
        WARMTH_MAX_DEGC, fmax(-WARMTH_MAX_DEGC, autonomic->temperature_c - autonomic->temperature_rest_c));
    const double shivering = autonomic->shivering_frac - autonomic->shivering_rest_frac;
    const double sedation = autonomic->sedation_frac - autonomic->sedation_rest_frac;
    effects->hr_x *=
        (1.0 + fmax(0.0, anaemia)) * (1.0 + RATE_PER_DEGC * warmer_c) * (1.0 + SHIVERING_RATE * shivering);
    effects->svr_x *= exp(RESISTANCE_PER_DEGC * warmer_c) * (1.0 + SHIVERING_RESISTANCE * shivering);
    effects->unstressed_ml += SEDATION_VEINS_ML * sedation + SHIVERING_VEINS_ML * shivering;
}
