/* Gases, oxygen and lactate. */
#include "model/oxygen.h"

#include "model/lag.h"
#include "model/units.h"

#include <math.h>

/* Severinghaus, J Appl Physiol 1979;46:599 */
static const double CURVE_CUBE = 23400.0;
static const double CURVE_LINEAR = 150.0;
static const double BOHR_SCALE_MMHG = 26.6;
static const double BOHR_POWER = 0.184;
static const double BOHR_OFFSET = 2.2;
static const double WARM_NEAR = 0.058;
static const double WARM_FAR = 0.013;
static const double WARM_SCALE_PER_MMHG = 0.243 / 100.0;
static const double WARM_POWER = 3.88;
static const double NORMAL_PH = 7.4;
static const double NORMAL_C = 37.0;
/* oxygen in blood */
static const double BOUND_ML_G = 1.34;
static const double DISSOLVED_ML_DL_MMHG = 0.003;
static const double HB_G_DL_PER_HCT = 33.5;
static const double TENSION_MIN_MMHG = 0.1;
static const double TENSION_MAX_MMHG = 700.0;
static const double TENSION_EXACT_MMHG = 1e-9;
static const double CONTENT_EXACT_ML_DL = 1e-10;
static const double DL_PER_L = 10.0;
/* lungs: alveolar gas equation */
static const double DRY_ATMOSPHERE_MMHG = 713.0; /* 760 - 47 of water vapour */
static const double RESPIRATORY_QUOTIENT = 0.8;
static const double NORMAL_PACO2_MMHG = 40.0;
/* body stores: they fill slowly and empty quickly (from memory) */
static const double CARBON_DIOXIDE_RISE_S = 900.0;
static const double CARBON_DIOXIDE_FALL_S = 300.0;
static const double SHUNT_MAX_FRAC = 0.9;         /* with drugs */
static const double PACO2_MIN_MMHG = 10.0;
static const double PACO2_MAX_MMHG = 150.0;
/* acid-base: Henderson-Hasselbalch, pK 6.1, 0.03 mmol/L/mmHg */
static const double BICARBONATE_MMOL_L = 24.5; /* pH 7.40 at 40 mmHg */
static const double BICARBONATE_PK = 6.1;
static const double CARBON_DIOXIDE_MMOL_L_MMHG = 0.0307;
static const double ACUTE_BUFFER_MMOL_L_MMHG = 0.1; /* acute rise of bicarbonate: 1 per 10 mmHg */
static const double BICARBONATE_MIN_MMOL_L = 2.0;
/* consumption: 7.5 % per degC (Manthous, AJRCCM 1995), sedation to -20 % (from memory), shivering +105 %
 * (Guffin 1987) */
static const double DEMAND_PER_DEGC = 0.075;
static const double DEMAND_SEDATION = 0.20;
static const double DEMAND_SHIVERING = 1.05;
static const double SUPPLY_WIDTH_ML_MIN = 8.0; /* softness of the corner at critical delivery */
static const double VENOUS_LAG_S = 25.0;
static const double FLOW_LAG_S = 15.0;
static const double FLOW_MIN_ML_S = 1.0; /* keeps content finite in an arrest */
/* lactate: distribution 0.4 L/kg; clearance saturates; oxygen debt */
static const double LACTATE_SPACE_L_KG = 0.40;
static const double LACTATE_HALF_MMOL_L = 20.0;
static const double LACTATE_FLOW_POWER = 0.7;
static const double LACTATE_FLOW_MIN = 0.05;
static const double LACTATE_PER_DEBT_MMOL_ML = 0.03;
/* regional debt: lactate rises below a delivery of 8 mL/kg/min, an extraction of about 0.40 (Chest
 * 1985;87:580) */
static const double REGIONAL_EXTRACTION_FRAC = 0.40;
static const double REGIONAL_PER_ML = 0.005; /* mmol per mL of missing delivery, design */
static const double REGIONAL_WIDTH_ML_MIN = 25.0;
static const double LN2 = 0.69314718055994530942;
static const double LACTATE_MAX_MMOL_L = 40.0;      /* beyond what is survived */
static const double LACTATE_START_MAX_MMOL_L = 6.0; /* a case starts no higher than this by itself */
/* pulmonary resistance: PaCO2 38 to 50 +54 % (Viitanen, Anesthesiology 1990), metabolic acid +25..30 % per
   -0.1 pH (Fullerton 1993), alveolar 50 mmHg +44 % at 30 min and +137 % at 2 h (Oxford 1997) */
static const double PVR_PER_MMHG = 0.045;
static const double PVR_ONSET_MMHG = 39.5;
static const double PVR_WIDTH_MMHG = 1.0;
static const double PVR_PER_PH = 2.4;
static const double PVR_PH_WIDTH = 0.01;
static const double HYPOXIA_ONSET_MMHG = 72.0;
static const double HYPOXIA_SPAN_MMHG = 22.0; /* stimulus is 1 at 50 mmHg */
static const double HYPOXIA_WIDTH_MMHG = 3.0;
static const double HYPOXIA_FAST_LAG_S = 150.0;
static const double HYPOXIA_SLOW_LAG_S = 35.0 * 60.0;
static const double HYPOXIA_FAST_GAIN = 0.23;
static const double HYPOXIA_SLOW_GAIN = 1.45;
static const double PVR_MAX_X = 4.0;   /* design: the largest of all these together */
static const double HYPOXIA_MAX = 1.5; /* of the stimulus */
/* usual flows at rest, for a start before any beat has been measured */
static const double REST_FLOW_ML_S_KG = 1.15;
static const double REST_SPLANCHNIC_FRAC = 0.28;

double model_oxygen_hb(double hct_frac) {
    return HB_G_DL_PER_HCT * hct_frac;
}

double model_oxygen_saturation(double po2_mmhg, double ph, double temperature_c) {
    const double bohr = pow(po2_mmhg / BOHR_SCALE_MMHG, BOHR_POWER) - BOHR_OFFSET;
    const double warm = WARM_NEAR / (pow(WARM_SCALE_PER_MMHG * po2_mmhg, WARM_POWER) + 1.0) + WARM_FAR;
    const double standard_mmhg = po2_mmhg * exp(-bohr * (ph - NORMAL_PH) - warm * (temperature_c - NORMAL_C));
    return 1.0 / (1.0 + CURVE_CUBE / (standard_mmhg * (standard_mmhg * standard_mmhg + CURVE_LINEAR)));
}

double model_oxygen_content(double hb_g_dl, double saturation_frac, double po2_mmhg) {
    return BOUND_ML_G * hb_g_dl * saturation_frac + DISSOLVED_ML_DL_MMHG * po2_mmhg;
}

/* How much more oxygen blood at po2_mmhg holds than wanted, mL/dL. */
static double content_excess(double po2_mmhg, double hb_g_dl, double wanted_ml_dl, double ph,
                             double temperature_c) {
    return model_oxygen_content(hb_g_dl, model_oxygen_saturation(po2_mmhg, ph, temperature_c), po2_mmhg) -
           wanted_ml_dl;
}

double model_oxygen_tension(double hb_g_dl, double content_ml_dl, double ph, double temperature_c) {
    enum { ROUNDS_MAX = 60 };
    /* regula falsi with halved weight (Illinois): content rises with tension, so the bracket always holds the
     * answer */
    double low = TENSION_MIN_MMHG, high = TENSION_MAX_MMHG;
    double below = content_excess(low, hb_g_dl, content_ml_dl, ph, temperature_c);
    double above = content_excess(high, hb_g_dl, content_ml_dl, ph, temperature_c);
    if (below >= 0.0) return low;
    if (above <= 0.0) return high;
    double middle = low;
    int side = 0;
    for (int i = 0; i < ROUNDS_MAX && high - low > TENSION_EXACT_MMHG; i++) {
        middle = (low * above - high * below) / (above - below);
        const double excess = content_excess(middle, hb_g_dl, content_ml_dl, ph, temperature_c);
        if (fabs(excess) < CONTENT_EXACT_ML_DL) break;
        if (excess < 0.0) {
            low = middle;
            below = excess;
            if (side < 0) above *= 0.5;
            side = -1;
        } else {
            high = middle;
            above = excess;
            if (side > 0) below *= 0.5;
            side = 1;
        }
    }
    return middle;
}

/* Oxygen the body asks for, mL/min. */
static double demand(const Parameters *parameters) {
    return parameters->oxygen_demand_ml_kg_min * parameters->weight_kg *
           exp(log1p(DEMAND_PER_DEGC) * (parameters->temperature_c - NORMAL_C)) *
           (1.0 - DEMAND_SEDATION * parameters->sedation_frac) *
           (1.0 + DEMAND_SHIVERING * parameters->shivering_frac);
}

/* Arterial carbon dioxide at which ventilation and production balance. A ventilator does not follow a fever
   or shivering; a person who breathes does. */
static double paco2_balance(const Parameters *parameters) {
    double production_x = 1.0;
    if (parameters->ventilated > 0.5) {
        Parameters rest = *parameters;
        rest.temperature_c = NORMAL_C;
        rest.shivering_frac = 0.0;
        production_x = demand(parameters) / demand(&rest);
    }
    const double balance = NORMAL_PACO2_MMHG * production_x / parameters->alveolar_ventilation_x;
    return fmin(PACO2_MAX_MMHG, fmax(PACO2_MIN_MMHG, balance));
}

/* pH with lactic acid above its resting value and the given metabolic state, at a carbon dioxide tension. */
static double ph_at(const OxygenState *oxygen, const Parameters *parameters, double paco2_mmhg) {
    const double bicarbonate = BICARBONATE_MMOL_L + parameters->base_excess_mmol_l -
                               (oxygen->lactate_mmol_l - parameters->lactate_rest_mmol_l) +
                               ACUTE_BUFFER_MMOL_L_MMHG * (paco2_mmhg - NORMAL_PACO2_MMHG);
    return BICARBONATE_PK +
           log10(fmax(BICARBONATE_MIN_MMOL_L, bicarbonate) / (CARBON_DIOXIDE_MMOL_L_MMHG * paco2_mmhg));
}

/* Arterial blood behind the lungs: end-capillary blood mixed with shunted venous blood. Returns its content.
 */
static double arterialise(OxygenState *oxygen, const Parameters *parameters, double hb) {
    const double temperature_c = parameters->temperature_c;
    oxygen->ph = ph_at(oxygen, parameters, oxygen->paco2_mmhg);
    const double alveolar_mmhg = fmax(TENSION_MIN_MMHG, parameters->fio2_frac * DRY_ATMOSPHERE_MMHG -
                                                            oxygen->paco2_mmhg / RESPIRATORY_QUOTIENT);
    const double capillary = model_oxygen_content(
        hb, model_oxygen_saturation(alveolar_mmhg, oxygen->ph, temperature_c), alveolar_mmhg);
    const double shunt = fmin(SHUNT_MAX_FRAC, parameters->shunt_frac * oxygen->shunt_x);
    const double arterial = (1.0 - shunt) * capillary + shunt * oxygen->mixed_venous_ml_dl;
    oxygen->pao2_mmhg = model_oxygen_tension(hb, arterial, oxygen->ph, temperature_c);
    oxygen->sao2_frac = model_oxygen_saturation(oxygen->pao2_mmhg, oxygen->ph, temperature_c);
    return arterial;
}

/* Delivery and consumption at the present flow; returns the mixed venous content this would settle at. */
static double consume(OxygenState *oxygen, const Parameters *parameters, double arterial_ml_dl) {
    const double flow_l_min = fmax(FLOW_MIN_ML_S, oxygen->flow_ml_s) / UNITS_ML_S_PER_L_MIN;
    oxygen->demand_ml_min = demand(parameters);
    oxygen->do2_ml_min = DL_PER_L * flow_l_min * arterial_ml_dl;
    const double supply = parameters->oxygen_extraction_max_frac * oxygen->do2_ml_min;
    oxygen->vo2_ml_min =
        fmax(0.0, supply - model_lag_softplus(supply - oxygen->demand_ml_min, SUPPLY_WIDTH_ML_MIN));
    return arterial_ml_dl - oxygen->vo2_ml_min / (DL_PER_L * flow_l_min);
}

static void set_venous_saturation(OxygenState *oxygen, double hb) {
    const double venous_dissolved_ml_dl = 0.1; /* 0.003 mL/dL/mmHg at about 33 mmHg */
    const double saturation = (oxygen->mixed_venous_ml_dl - venous_dissolved_ml_dl) / (BOUND_ML_G * hb);
    oxygen->svo2_frac = fmin(1.0, fmax(0.0, saturation));
}

/* Lactate made at rest, mmol/min, with the drugs' factor. */
static double lactate_resting(const Parameters *parameters, double lactate_x) {
    const double clearance_l_min = parameters->lactate_clearance_ml_kg_min * parameters->weight_kg / 1000.0;
    const double rest = parameters->lactate_rest_mmol_l;
    return lactate_x * clearance_l_min * rest / (1.0 + rest / LACTATE_HALF_MMOL_L);
}

/* Lactate the present supply makes beyond rest, mmol/min: unmet demand of the whole body, and of poorly
   supplied regions. */
static double lactate_excess(const OxygenState *oxygen) {
    const double debt = fmax(0.0, oxygen->demand_ml_min - oxygen->vo2_ml_min - SUPPLY_WIDTH_ML_MIN);
    const double missing = model_lag_softplus(
        oxygen->demand_ml_min / REGIONAL_EXTRACTION_FRAC - oxygen->do2_ml_min, REGIONAL_WIDTH_ML_MIN);
    return LACTATE_PER_DEBT_MMOL_ML * debt + REGIONAL_PER_ML * missing;
}

/* Clearance at low concentration, L/min, with the splanchnic flow there is. */
static double lactate_clearance(const OxygenState *oxygen, const Parameters *parameters) {
    const double flow_x =
        fmax(LACTATE_FLOW_MIN, oxygen->splanchnic_ml_s / fmax(FLOW_MIN_ML_S, oxygen->splanchnic_rest_ml_s));
    return parameters->lactate_clearance_ml_kg_min * parameters->weight_kg / 1000.0 *
           pow(flow_x, LACTATE_FLOW_POWER);
}

/* Exact for constant production and the clearance at the step's start. */
static void lactate_step(OxygenState *oxygen, const Parameters *parameters, double lactate_x, double dt_s) {
    const double excess = lactate_excess(oxygen);
    const double fading_s = parameters->lactate_decline_min * UNITS_S_PER_MIN / LN2;
    const double lag_s = excess < oxygen->overproduction_mmol_min ? fading_s : 0.0;
    const double over = model_lag_step(&oxygen->overproduction_mmol_min, excess, dt_s, lag_s);
    const double space_l = LACTATE_SPACE_L_KG * parameters->weight_kg;
    const double cleared_l_min =
        lactate_clearance(oxygen, parameters) / (1.0 + oxygen->lactate_mmol_l / LACTATE_HALF_MMOL_L);
    const double balance = (lactate_resting(parameters, lactate_x) + over) / cleared_l_min;
    (void)model_lag_step(&oxygen->lactate_mmol_l, balance, dt_s, UNITS_S_PER_MIN * space_l / cleared_l_min);
    oxygen->lactate_mmol_l = fmin(LACTATE_MAX_MMOL_L, oxygen->lactate_mmol_l);
}

static double hypoxia_stimulus(const OxygenState *oxygen) {
    const double stimulus =
        model_lag_softplus(HYPOXIA_ONSET_MMHG - oxygen->pao2_mmhg, HYPOXIA_WIDTH_MMHG) / HYPOXIA_SPAN_MMHG;
    return fmin(HYPOXIA_MAX, stimulus);
}

void model_oxygen_start(OxygenState *oxygen, const Parameters *parameters, double hct_frac) {
    const OxygenState empty = {0};
    *oxygen = empty;
    oxygen->shunt_x = 1.0;
    oxygen->flow_ml_s = REST_FLOW_ML_S_KG * parameters->weight_kg;
    oxygen->splanchnic_ml_s = REST_SPLANCHNIC_FRAC * oxygen->flow_ml_s;
    oxygen->splanchnic_rest_ml_s = oxygen->splanchnic_ml_s;
    oxygen->lactate_mmol_l = parameters->lactate_start_mmol_l;
    oxygen->mixed_venous_ml_dl = 0.7 * BOUND_ML_G * model_oxygen_hb(hct_frac);
    model_oxygen_settle(oxygen, parameters, hct_frac, oxygen->flow_ml_s, oxygen->splanchnic_ml_s, 1.0, 0.0);
}

void model_oxygen_settle(OxygenState *oxygen, const Parameters *parameters, double hct_frac, double flow_ml_s,
                         double splanchnic_ml_s, double lactate_x, double dt_s) {
    enum {
        ROUNDS = 12
    }; /* each halves the distance or better: venous content feeds back through the shunt only */
    const double hb = model_oxygen_hb(hct_frac);
    (void)model_lag_step(&oxygen->flow_ml_s, flow_ml_s, dt_s, FLOW_LAG_S);
    (void)model_lag_step(&oxygen->splanchnic_ml_s, splanchnic_ml_s, dt_s, FLOW_LAG_S);
    oxygen->splanchnic_rest_ml_s = oxygen->splanchnic_ml_s;
    oxygen->paco2_mmhg = paco2_balance(parameters);
    for (int i = 0; i < ROUNDS; i++) {
        oxygen->mixed_venous_ml_dl = consume(oxygen, parameters, arterialise(oxygen, parameters, hb));
        /* production / (clearance / (1 + L/half)) = L, solved for L */
        oxygen->overproduction_mmol_min = lactate_excess(oxygen);
        const double made = lactate_resting(parameters, lactate_x) + oxygen->overproduction_mmol_min;
        const double ratio = made / lactate_clearance(oxygen, parameters);
        const double spare = 1.0 - ratio / LACTATE_HALF_MMOL_L;
        const double steady =
            spare > 0.0 ? fmin(LACTATE_START_MAX_MMOL_L, ratio / spare) : LACTATE_START_MAX_MMOL_L;
        oxygen->lactate_mmol_l = fmax(parameters->lactate_start_mmol_l, steady);
    }
    set_venous_saturation(oxygen, hb);
    oxygen->hypoxia_fast = hypoxia_stimulus(oxygen);
    oxygen->hypoxia_slow[0] = oxygen->hypoxia_fast;
    oxygen->hypoxia_slow[1] = oxygen->hypoxia_fast;
}

void model_oxygen_advance(OxygenState *oxygen, const Parameters *parameters, double hct_frac,
                          double flow_ml_s, double splanchnic_ml_s, double lactate_x, double dt_s) {
    const double hb = model_oxygen_hb(hct_frac);
    (void)model_lag_step(&oxygen->flow_ml_s, fmax(0.0, flow_ml_s), dt_s, FLOW_LAG_S);
    (void)model_lag_step(&oxygen->splanchnic_ml_s, fmax(0.0, splanchnic_ml_s), dt_s, FLOW_LAG_S);
    const double paco2_mmhg = paco2_balance(parameters);
    const double stores_s =
        paco2_mmhg > oxygen->paco2_mmhg ? CARBON_DIOXIDE_RISE_S : CARBON_DIOXIDE_FALL_S;
    (void)model_lag_step(&oxygen->paco2_mmhg, paco2_mmhg, dt_s, stores_s);
    const double venous = consume(oxygen, parameters, arterialise(oxygen, parameters, hb));
    (void)model_lag_step(&oxygen->mixed_venous_ml_dl, venous, dt_s, VENOUS_LAG_S);
    set_venous_saturation(oxygen, hb);
    lactate_step(oxygen, parameters, lactate_x, dt_s);
    const double stimulus = hypoxia_stimulus(oxygen);
    (void)model_lag_step(&oxygen->hypoxia_fast, stimulus, dt_s, HYPOXIA_FAST_LAG_S);
    const double first = model_lag_step(&oxygen->hypoxia_slow[0], stimulus, dt_s, HYPOXIA_SLOW_LAG_S);
    (void)model_lag_step(&oxygen->hypoxia_slow[1], first, dt_s, HYPOXIA_SLOW_LAG_S);
}

double model_oxygen_pvr_x(const OxygenState *oxygen, const Parameters *parameters) {
    const double gas =
        PVR_PER_MMHG * (model_lag_softplus(oxygen->paco2_mmhg - PVR_ONSET_MMHG, PVR_WIDTH_MMHG) -
                        model_lag_softplus(NORMAL_PACO2_MMHG - PVR_ONSET_MMHG, PVR_WIDTH_MMHG));
    const double metabolic_ph = ph_at(oxygen, parameters, NORMAL_PACO2_MMHG);
    const double acid = PVR_PER_PH * (model_lag_softplus(NORMAL_PH - metabolic_ph, PVR_PH_WIDTH) -
                                      model_lag_softplus(0.0, PVR_PH_WIDTH));
    const double hypoxia =
        HYPOXIA_FAST_GAIN * oxygen->hypoxia_fast + HYPOXIA_SLOW_GAIN * oxygen->hypoxia_slow[1];
    return fmin(PVR_MAX_X, exp(gas + acid) * (1.0 + hypoxia));
}
