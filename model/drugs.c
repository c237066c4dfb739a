/* Vasoactive drugs: line, plasma, effect site, receptor pools. Rows and numbers are in drugs.def. */
#include "model/drugs.h"

#include "model/lag.h"
#include "model/units.h"

#include <math.h>
#include <stdbool.h>

typedef enum Target {
    TARGET_LV_EES,
    TARGET_RV_EES,
    TARGET_RELAXATION,
    TARGET_HR,
    TARGET_SVR,
    TARGET_PVR,
    TARGET_UNSTRESSED,
    TARGET_LACTATE,
    TARGET_COUNT
} Target;

/* Drugs of one pool share a receptor: their doses add before the curve is read. */
typedef enum Pool {
    POOL_BETA,
    POOL_ALPHA,
    POOL_V1,
    POOL_PDE3,
    POOL_NITRIC_OXIDE_DONOR,
    POOL_INHALED,
    POOL_CALCIUM_SENSITISER,
    POOL_CALCIUM_CHANNEL,
    POOL_COUNT
} Pool;

/* Stands for "no parameter" in drugs.def. */
enum { PARAMETER_one = PARAMETER_COUNT };

typedef struct DrugRow {
    const char *name;
    ParameterId rate;
    const char *unit;
    bool line;
    double half_life_min;
    double v1_l_kg, v2_l_kg, clearance_ml_kg_min, exchange_ml_kg_min;
    double ke0_per_min;
    const char *source;
} DrugRow;

typedef struct CurveRow {
    DrugId drug;
    Target target;
    Pool pool;
    double emax, ec50, hill;
    int emax_parameter, ec50_parameter;
} CurveRow;

static const DrugRow drug_rows[] = {
#define DRUG(name, parameter, unit, line, half_life_min, v1_l_kg, v2_l_kg, clearance_ml_kg_min,              \
             exchange_ml_kg_min, ke0_per_min, source)                                                        \
    {#name,                                                                                                  \
     PARAMETER_##parameter,                                                                                  \
     unit,                                                                                                   \
     line,                                                                                                   \
     half_life_min,                                                                                          \
     v1_l_kg,                                                                                                \
     v2_l_kg,                                                                                                \
     clearance_ml_kg_min,                                                                                    \
     exchange_ml_kg_min,                                                                                     \
     ke0_per_min,                                                                                            \
     source},
#define CURVE(drug, target, pool, emax, ec50, hill, emax_parameter, ec50_parameter, source)
#include "model/drugs.def"
#undef DRUG
#undef CURVE
};

static const CurveRow curve_rows[] = {
#define DRUG(name, parameter, unit, line, half_life_min, v1_l_kg, v2_l_kg, clearance_ml_kg_min,              \
             exchange_ml_kg_min, ke0_per_min, source)
#define CURVE(drug, target, pool, emax, ec50, hill, emax_parameter, ec50_parameter, source)                  \
    {DRUG_##drug,                                                                                            \
     TARGET_##target,                                                                                        \
     POOL_##pool,                                                                                            \
     emax,                                                                                                   \
     ec50,                                                                                                   \
     hill,                                                                                                   \
     PARAMETER_##emax_parameter,                                                                             \
     PARAMETER_##ec50_parameter},
#include "model/drugs.def"
#undef DRUG
#undef CURVE
};

enum { CURVE_COUNT = sizeof curve_rows / sizeof curve_rows[0] };

static const double LN2 = 0.69314718055994530942;
/* Renal clearance of milrinone: the label's maintenance rates 0.43, 0.38, 0.33, 0.28, 0.23, 0.20 at
   creatinine clearances of 50, 40, 30, 20, 10, 5 mL/min against 0.5 lie within 0.02 of this line. */
static const double RENAL_FLOOR = 0.36;
static const double RENAL_SLOPE = 0.98;
/* Combination limits (design: greatest answers a heart or vessel bed gives). */
static const double EES_MAX_X = 2.5;
static const double HR_MAX_PER_MIN = 170.0;
static const double SVR_MIN_X = 0.3;
static const double SVR_MAX_X = 4.0;
static const double PVR_MIN_X = 0.3;
static const double RELAXATION_MIN_X = 0.4;
/* Acidosis: catecholamine effect x (1 - 0.5 (7.20 - pH)/0.3) below 7.20 (design on conflicting data). */
static const double ACIDOSIS_PH = 7.20;
static const double ACIDOSIS_LOSS_PER_PH = 0.5 / 0.3;
static const double ACIDOSIS_MIN_X = 0.2;
/* Rebound when inhaled nitric oxide stops after a long time: overshoot 15-40 %, peak at 5-15 min, gone in an
   hour (design on AJRCCM 2006, doi 10.1164/rccm.200605-694OC). */
static const double HABIT_BUILD_S = 8.0 * UNITS_S_PER_H;
static const double HABIT_FADE_S = 25.0 * UNITS_S_PER_MIN;
static const double HABIT_HALF_PPM = 8.0;
static const double REBOUND_GAIN = 1.1;
static const double REBOUND_THRESHOLD = 0.2; /* a fall this small (5 to 1 ppm, or 1 to 0) does nothing */
static const double LITRE_ML = 1000.0;

/* Rate constants of a two-compartment drug, 1/s. */
typedef struct Rates {
    double k10, k12, k21;
} Rates;

static Rates two_compartment_rates(const DrugRow *row, const Parameters *parameters) {
    const double renal = fmin(1.0, RENAL_FLOOR + RENAL_SLOPE * parameters->kidney_function_frac);
    const double per_s = 1.0 / (LITRE_ML * UNITS_S_PER_MIN); /* mL/kg/min over L/kg */
    const Rates rates = {
        .k10 = row->clearance_ml_kg_min * renal * per_s / row->v1_l_kg,
        .k12 = row->exchange_ml_kg_min * per_s / row->v1_l_kg,
        .k21 = row->exchange_ml_kg_min * per_s / row->v2_l_kg,
    };
    return rates;
}

/* Plasma concentration a steady rate holds, ng/mL (two compartments) or the rate itself. */
static double steady_level(const DrugRow *row, const Parameters *parameters, double rate) {
    if (row->half_life_min > 0.0) {
        return rate;
    }
    const Rates rates = two_compartment_rates(row, parameters);
    return rate / (UNITS_S_PER_MIN * row->v1_l_kg * rates.k10); /* mcg/L = ng/mL */
}

/* Exact step of plasma and tissue for a constant rate: eigenvectors of the 2 x 2 system about its steady
   state. Returns the mean plasma concentration over the step. */
static double two_compartment_step(DrugLevel *level, const DrugRow *row, const Parameters *parameters,
                                   double rate, double dt_s) {
    const Rates k = two_compartment_rates(row, parameters);
    const double steady = steady_level(row, parameters, rate);
    const double steady_tissue = steady * k.k12 * row->v1_l_kg / (k.k21 * row->v2_l_kg);
    const double sum = k.k10 + k.k12 + k.k21;
    const double root = sqrt(sum * sum - 4.0 * k.k10 * k.k21);
    const double fast = 0.5 * (sum + root);
    const double slow = 2.0 * k.k10 * k.k21 / (sum + root);
    const double exchange_back = k.k21 * row->v2_l_kg / row->v1_l_kg;
    const double dp = level->plasma - steady;
    const double dt_tissue = level->tissue - steady_tissue;
    /* d(dp)/dt = -(k10 + k12) dp + exchange_back dt_tissue; split dp into its fast and slow parts */
    const double slope = -(k.k10 + k.k12) * dp + exchange_back * dt_tissue;
    const double slow_part = (slope + fast * dp) / (fast - slow);
    const double fast_part = dp - slow_part;
    const double decay_fast = exp(-fast * dt_s);
    const double decay_slow = exp(-slow * dt_s);
    const double tissue_fast = (k.k10 + k.k12 - fast) / exchange_back;
    const double tissue_slow = (k.k10 + k.k12 - slow) / exchange_back;
    level->plasma = steady + fast_part * decay_fast + slow_part * decay_slow;
    level->tissue =
        steady_tissue + tissue_fast * fast_part * decay_fast + tissue_slow * slow_part * decay_slow;
    const double fast_mean = -expm1(-fast * dt_s) / (fast * dt_s);
    const double slow_mean = -expm1(-slow * dt_s) / (slow * dt_s);
    return steady + fast_part * fast_mean + slow_part * slow_mean;
}

static double nitric_oxide_share(const DrugsState *drugs) {
    const double ppm = drugs->level[DRUG_nitric_oxide].effect_site;
    return ppm / (HABIT_HALF_PPM + ppm);
}

void model_drugs_start(DrugsState *drugs, const Parameters *parameters) {
    for (int i = 0; i < DRUG_COUNT; i++) {
        const DrugRow *row = &drug_rows[i];
        DrugLevel *level = &drugs->level[i];
        const double rate = model_parameters_get(parameters, row->rate);
        for (int stage = 0; stage < DRUG_LINE_STAGES; stage++) {
            level->line[stage] = rate;
        }
        level->plasma = steady_level(row, parameters, rate);
        level->tissue = row->half_life_min > 0.0 ? 0.0 : level->plasma;
        level->effect_site = level->plasma;
    }
    drugs->nitric_oxide_habit_frac = nitric_oxide_share(drugs);
}

void model_drugs_advance(DrugsState *drugs, const Parameters *parameters, double dt_s) {
    const double stage_s = parameters->line_delay_s / DRUG_LINE_STAGES;
    for (int i = 0; i < DRUG_COUNT; i++) {
        const DrugRow *row = &drug_rows[i];
        DrugLevel *level = &drugs->level[i];
        double rate = model_parameters_get(parameters, row->rate);
        for (int stage = 0; stage < DRUG_LINE_STAGES; stage++) {
            rate = model_lag_step(&level->line[stage], rate, dt_s, row->line ? stage_s : 0.0);
        }
        const double plasma =
            row->half_life_min > 0.0
                ? model_lag_step(&level->plasma, rate, dt_s, row->half_life_min * UNITS_S_PER_MIN / LN2)
                : two_compartment_step(level, row, parameters, rate, dt_s);
        (void)model_lag_step(&level->effect_site, plasma, dt_s, UNITS_S_PER_MIN / row->ke0_per_min);
    }
    const double share = nitric_oxide_share(drugs);
    const double habit_s = share > drugs->nitric_oxide_habit_frac ? HABIT_BUILD_S : HABIT_FADE_S;
    (void)model_lag_step(&drugs->nitric_oxide_habit_frac, share, dt_s, habit_s);
}

static double factor(const Parameters *parameters, int parameter) {
    return parameter == PARAMETER_one ? 1.0 : model_parameters_get(parameters, (ParameterId)parameter);
}

/* Weakening of catecholamines by acidosis, 1 at a normal pH. */
static double acidosis_x(double ph) {
    return fmax(ACIDOSIS_MIN_X, 1.0 - ACIDOSIS_LOSS_PER_PH * fmax(0.0, ACIDOSIS_PH - ph));
}

/* Joint effect of all drugs of one pool on one target. Doses are counted in units of their own EC50 and
   added; greatest effect and steepness are the dose-weighted means, so one drug alone follows its own curve
   exactly. */
static double pool_effect(const DrugsState *drugs, const Parameters *parameters, Target target, Pool pool,
                          double ph) {
    double dose = 0.0, emax_sum = 0.0, hill_sum = 0.0;
    for (int i = 0; i < (int)CURVE_COUNT; i++) {
        const CurveRow *row = &curve_rows[i];
        if (row->target != target || row->pool != pool) {
            continue;
        }
        const double ec50 = row->ec50 * factor(parameters, row->ec50_parameter);
        const double units = drugs->level[row->drug].effect_site / ec50;
        dose += units;
        emax_sum += units * row->emax * factor(parameters, row->emax_parameter);
        hill_sum += units * row->hill;
    }
    if (dose <= 0.0) {
        return 0.0;
    }
    const double power = pow(dose, hill_sum / dose);
    const double catecholamine = pool == POOL_BETA || pool == POOL_ALPHA ? acidosis_x(ph) : 1.0;
    return catecholamine * emax_sum / dose * power / (1.0 + power);
}

/* Product over the pools of 1 + effect, never below a tenth. */
static double target_x(const DrugsState *drugs, const Parameters *parameters, Target target, double ph) {
    const double floor_x = 0.1; /* design: no drug abolishes a property */
    double product = 1.0;
    for (int pool = 0; pool < POOL_COUNT; pool++) {
        product *= fmax(floor_x, 1.0 + pool_effect(drugs, parameters, target, (Pool)pool, ph));
    }
    return product;
}

void model_drugs_effects(const DrugsState *drugs, const Parameters *parameters, double ph, Effects *effects) {
    const double lv_x = fmin(EES_MAX_X, target_x(drugs, parameters, TARGET_LV_EES, ph));
    const double rv_x = fmin(EES_MAX_X, target_x(drugs, parameters, TARGET_RV_EES, ph));
    const double svr_x = target_x(drugs, parameters, TARGET_SVR, ph);
    const double hr_x = target_x(drugs, parameters, TARGET_HR, ph);
    const double rebound_x =
        1.0 + REBOUND_GAIN *
                  fmax(0.0, drugs->nitric_oxide_habit_frac - nitric_oxide_share(drugs) - REBOUND_THRESHOLD);
    effects->lv_ees_x *= lv_x;
    effects->rv_ees_x *= rv_x;
    effects->atrial_ees_x *= sqrt(lv_x * rv_x); /* design: no atrial data */
    effects->relaxation_x *= fmax(RELAXATION_MIN_X, target_x(drugs, parameters, TARGET_RELAXATION, ph));
    effects->hr_x *= fmin(hr_x, fmax(1.0, HR_MAX_PER_MIN / parameters->sinus_rate_per_min));
    effects->svr_x *= fmin(SVR_MAX_X, fmax(SVR_MIN_X, svr_x));
    effects->pvr_x *= fmax(PVR_MIN_X, target_x(drugs, parameters, TARGET_PVR, ph)) * rebound_x;
    for (int pool = 0; pool < POOL_COUNT; pool++) {
        effects->unstressed_ml += pool_effect(drugs, parameters, TARGET_UNSTRESSED, (Pool)pool, ph);
    }
}

double model_drugs_lactate_x(const DrugsState *drugs, const Parameters *parameters, double ph) {
    return target_x(drugs, parameters, TARGET_LACTATE, ph);
}

const char *model_drugs_name(DrugId id) {
    return drug_rows[id].name;
}

const char *model_drugs_unit(DrugId id) {
    return drug_rows[id].unit;
}

const char *model_drugs_source(DrugId id) {
    return drug_rows[id].source;
}
