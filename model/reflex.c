/* Baroreflex in deviation form, once per beat. Curves after Ursino, Am J Physiol 1998;275:H1733; the lead
   term is left out (with it the amplified pulse saturates the sigmoid) and a small pulse-pressure term is put
   in. */
#include "model/reflex.h"

#include "model/lag.h"

#include <math.h>

/* Ursino 1998: afferent sigmoid */
static const double AFFERENT_MIN_HZ = 2.52;
static const double AFFERENT_MAX_HZ = 47.78;
static const double AFFERENT_SLOPE_MMHG = 11.758;
static const double AFFERENT_LAG_S = 2.076;
/* Ursino 1998: efferent curves */
static const double SYMPATHETIC_FLOOR_HZ = 2.10;
static const double SYMPATHETIC_RANGE_HZ = 14.01; /* 16.11 - 2.10 */
static const double SYMPATHETIC_DECAY_S = 0.0675;
static const double SYMPATHETIC_THRESHOLD_HZ = 2.66;
static const double THRESHOLD_WIDTH_HZ = 0.05; /* design: rounds the threshold's corner */
static const double VAGAL_LOW_HZ = 3.2;
static const double VAGAL_HIGH_HZ = 6.3;
static const double VAGAL_CENTRE_HZ = 25.0;
static const double VAGAL_SLOPE_HZ = 7.06;
/* Ursino 1998: delays as lag chains (two of 1 s, two more of 1.5 s) and effectors' time constants */
static const double DELAY_SHORT_S = 1.0;
static const double DELAY_LONG_S = 1.5;
static const double DELAY_VAGAL_S = 0.2;
static const double RESISTANCE_LAG_S = 6.0;
static const double VEINS_LAG_S = 20.0;
static const double CONTRACTILITY_LAG_S = 8.0;
static const double RATE_LAG_S = 2.0;
static const double VAGAL_LAG_S = 1.5;
/* effects per unit of drive: mostly resistance, little on heart and veins, so that bleeding lowers output
   well before pressure (14 mL/kg: output -40 %, pressure -15 % in dogs; pressure -30 mmHg at 27 %, Scully,
   Physiol Rep 2016;4:e12739) and hardly changes the rate at first; Ursino's own gains hold output up */
static const double RESISTANCE_GAIN = 0.45;
static const double CONTRACTILITY_GAIN = 0.03;
static const double SPLANCHNIC_GAIN_ML = -20.0;
static const double OTHER_VEINS_GAIN_ML = -10.0;
static const double PERIOD_SYMPATHETIC_GAIN_S = -0.04;
static const double PERIOD_VAGAL_GAIN_S = 0.03; /* s per Hz */
/* circulating catecholamines: on the heart after half a minute, slow, without nerves (design; direction:
   Leenen, Clin Pharmacol Ther 1998;64:522) */
static const double CATECHOLAMINE_DELAY_S = 30.0;
static const double CATECHOLAMINE_LAG_S = 90.0;
static const double CATECHOLAMINE_RATE_PER_MIN = 12.0;
static const double CATECHOLAMINE_RATE_MIN_X = 0.7; /* least factor: little to withdraw */
static const double CATECHOLAMINE_CONTRACTILITY = 0.10;
/* pulse term: fall of pulse pressure raises sympathetic activity (Cornwell, Circulation 2015;132) */
static const double PULSE_GAIN = 0.3;
static const double PULSE_LAG_S = 10.0; /* design: a few beats, no answer to one odd beat */
static const double STANDARD_NEUTRAL_MMHG = 90.0;
static const double STANDARD_PULSE_MMHG = 40.0;

/* Carotid afferent activity at a deviation from the neutral pressure. */
static double afferent_hz(double deviation_mmhg) {
    const double share = 1.0 / (1.0 + exp(-deviation_mmhg / AFFERENT_SLOPE_MMHG));
    return AFFERENT_MIN_HZ + (AFFERENT_MAX_HZ - AFFERENT_MIN_HZ) * share;
}

static double sympathetic_hz(double afferent) {
    return SYMPATHETIC_FLOOR_HZ + SYMPATHETIC_RANGE_HZ * exp(-SYMPATHETIC_DECAY_S * afferent);
}

static double vagal_hz(double afferent) {
    const double share = 1.0 / (1.0 + exp(-(afferent - VAGAL_CENTRE_HZ) / VAGAL_SLOPE_HZ));
    return VAGAL_LOW_HZ + (VAGAL_HIGH_HZ - VAGAL_LOW_HZ) * share;
}

/* Static effector curve of the sympathetic activity. */
static double effector(double hz) {
    return log1p(model_lag_softplus(hz - SYMPATHETIC_THRESHOLD_HZ, THRESHOLD_WIDTH_HZ));
}

void model_reflex_start(ReflexState *reflex) {
    reflex->pulse_mmhg = STANDARD_PULSE_MMHG;
    model_reflex_neutralise(reflex, STANDARD_NEUTRAL_MMHG);
}

void model_reflex_neutralise(ReflexState *reflex, double mean_mmhg) {
    reflex->neutral_mmhg = mean_mmhg;
    reflex->neutral_pulse_mmhg = reflex->pulse_mmhg;
    reflex->pressure_mmhg = mean_mmhg;
    const double afferent = afferent_hz(0.0);
    for (int i = 0; i < 4; i++) {
        reflex->sympathetic_hz[i] = sympathetic_hz(afferent);
    }
    reflex->vagal_hz = vagal_hz(afferent);
    reflex->catecholamine_rise = 0.0;
    reflex->drive_catecholamine = 0.0;
    reflex->drive_resistance = 0.0;
    reflex->drive_veins = 0.0;
    reflex->drive_contractility = 0.0;
    reflex->drive_rate = 0.0;
    reflex->drive_vagal = 0.0;
}

void model_reflex_advance(ReflexState *reflex, double aorta_mmhg, double pulse_mmhg, double dt_s) {
    const double rest_sympathetic = sympathetic_hz(afferent_hz(0.0));
    const double rest_effector = effector(rest_sympathetic);
    const double rest_vagal = vagal_hz(afferent_hz(0.0));

    const double pulse = model_lag_step(&reflex->pulse_mmhg, pulse_mmhg, dt_s, PULSE_LAG_S);
    const double felt_mmhg = aorta_mmhg + PULSE_GAIN * (pulse - reflex->neutral_pulse_mmhg);
    const double pressure = model_lag_step(&reflex->pressure_mmhg, felt_mmhg, dt_s, AFFERENT_LAG_S);
    const double afferent = afferent_hz(pressure - reflex->neutral_mmhg);

    double hz = sympathetic_hz(afferent);
    hz = model_lag_step(&reflex->sympathetic_hz[0], hz, dt_s, DELAY_SHORT_S);
    hz = model_lag_step(&reflex->sympathetic_hz[1], hz, dt_s, DELAY_SHORT_S);
    const double early = effector(hz) - rest_effector;
    hz = model_lag_step(&reflex->sympathetic_hz[2], hz, dt_s, DELAY_LONG_S);
    hz = model_lag_step(&reflex->sympathetic_hz[3], hz, dt_s, DELAY_LONG_S);
    const double late = effector(hz) - rest_effector;
    const double vagal =
        model_lag_step(&reflex->vagal_hz, vagal_hz(afferent), dt_s, DELAY_VAGAL_S) - rest_vagal;

    (void)model_lag_step(&reflex->drive_resistance, early, dt_s, RESISTANCE_LAG_S);
    (void)model_lag_step(&reflex->drive_contractility, early, dt_s, CONTRACTILITY_LAG_S);
    (void)model_lag_step(&reflex->drive_rate, early, dt_s, RATE_LAG_S);
    (void)model_lag_step(&reflex->drive_veins, late, dt_s, VEINS_LAG_S);
    (void)model_lag_step(&reflex->drive_vagal, vagal, dt_s, VAGAL_LAG_S);
    const double released = model_lag_step(&reflex->catecholamine_rise, early, dt_s, CATECHOLAMINE_DELAY_S);
    (void)model_lag_step(&reflex->drive_catecholamine, released, dt_s, CATECHOLAMINE_LAG_S);
}

void model_reflex_effects(const ReflexState *reflex, const Parameters *parameters, Effects *effects) {
    const double awake = 1.0 - parameters->sedation_frac;
    const double vessels = parameters->reflex_gain * awake;
    const double heart = parameters->reflex_heart_gain * awake;
    effects->reflex_svr_x = exp(RESISTANCE_GAIN * vessels * reflex->drive_resistance);
    effects->reflex_splanchnic_ml = SPLANCHNIC_GAIN_ML * vessels * reflex->drive_veins;
    effects->reflex_other_ml = OTHER_VEINS_GAIN_ML * vessels * reflex->drive_veins;
    const double adrenal = parameters->circulating_catecholamine_gain * awake * reflex->drive_catecholamine;
    effects->hr_x *= fmax(CATECHOLAMINE_RATE_MIN_X,
                          1.0 + CATECHOLAMINE_RATE_PER_MIN * adrenal / parameters->sinus_rate_per_min);
    effects->reflex_ees_x =
        exp(CONTRACTILITY_GAIN * heart * reflex->drive_contractility + CATECHOLAMINE_CONTRACTILITY * adrenal);
    effects->reflex_period_s =
        heart * (PERIOD_SYMPATHETIC_GAIN_S * reflex->drive_rate + PERIOD_VAGAL_GAIN_S * reflex->drive_vagal);
}
