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
    TARGET_URINE,
    TARGET_SHUNT,
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
    POOL_DOPAMINE,
    POOL_PROSTACYCLIN,
    POOL_GUANYLATE_CYCLASE,
    POOL_V2,
    POOL_LOOP,
    POOL_CALCINEURIN,
    POOL_SOLVENT,  /* what an ampoule's solvent does */
    POOL_STUNNING, /* what electrical energy does to the heart */
    POOL_COUNT
} Pool;

/* Stands for "no parameter" in drugs.def. */
enum { PARAMETER_one = PARAMETER_COUNT, PARAMETER_none = PARAMETER_COUNT };

typedef struct DrugRow {
    const char *name;
    int rate; /* ParameterId, or PARAMETER_none */
    const char *unit;
    bool line;
    double half_life_min;
    double v1_l_kg, v2_l_kg, clearance_ml_kg_min, exchange_ml_kg_min;
    double ke0_per_min;
    int level_parameter;
    const char *source;
} DrugRow;

typedef struct CurveRow {
    DrugId drug;
    Target target;
    Pool pool;
    double emax, ec50, hill;
    int emax_parameter, ec50_parameter;
} CurveRow;

typedef struct FeedRow {
    DrugId from, to;
    double share;
} FeedRow;

typedef struct ToleranceRow {
    DrugId drug;
    double loss, half_level, lag_h;
} ToleranceRow;

static const DrugRow DRUGS[] = {
#define DRUG(name, parameter, unit, line, half_life_min, v1_l_kg, v2_l_kg, clearance_ml_kg_min,              \
             exchange_ml_kg_min, ke0_per_min, level_parameter, source)                                       \
    {#name,                                                                                                  \
     (int)PARAMETER_##parameter,                                                                             \
     unit,                                                                                                   \
     line,                                                                                                   \
     half_life_min,                                                                                          \
     v1_l_kg,                                                                                                \
     v2_l_kg,                                                                                                \
     clearance_ml_kg_min,                                                                                    \
     exchange_ml_kg_min,                                                                                     \
     ke0_per_min,                                                                                            \
     (int)PARAMETER_##level_parameter,                                                                       \
     source},
#include "model/drugs.def"
};

static const CurveRow CURVES[] = {
#define CURVE(drug, target, pool, emax, ec50, hill, emax_parameter, ec50_parameter, source)                  \
    {DRUG_##drug,                                                                                            \
     TARGET_##target,                                                                                        \
     POOL_##pool,                                                                                            \
     emax,                                                                                                   \
     ec50,                                                                                                   \
     hill,                                                                                                   \
     (int)PARAMETER_##emax_parameter,                                                                        \
     (int)PARAMETER_##ec50_parameter},
#include "model/drugs.def"
};

static const FeedRow FEEDS[] = {
#define FEED(from, to, share, source) {DRUG_##from, DRUG_##to, share},
#include "model/drugs.def"
};

static const ToleranceRow TOLERANCES[] = {
#define TOLERANCE(drug, loss, half_level, lag_h, source) {DRUG_##drug, loss, half_level, lag_h},
#include "model/drugs.def"
};

enum {
    CURVE_COUNT = sizeof CURVES / sizeof CURVES[0],
    FEED_COUNT = sizeof FEEDS / sizeof FEEDS[0],
    TOLERANCE_COUNT = sizeof TOLERANCES / sizeof TOLERANCES[0]
};

static const double LN2 = 0.69314718055994530942;
/* Renal clearance of milrinone: the label's maintenance rates 0.43, 0.38, 0.33, 0.28, 0.23, 0.20 at
   creatinine clearances of 50, 40, 30, 20, 10, 5 mL/min against 0.5 lie within 0.02 of this line. */
static const double RENAL_FLOOR = 0.36;
static const double RENAL_SLOPE = 0.98;
/* Combination limits (design: greatest answers a heart or vessel bed gives). */
static const double EES_MAX_X = 2.5;
static const double HR_MAX_PER_MIN = 170.0;
static const double SHARE_MAX = 1.0 - 1e-12; /* of the greatest effect: keeps equivalent doses finite */
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

static double factor(const Parameters *parameters, int parameter) {
    return parameter == PARAMETER_one ? 1.0 : model_parameters_get(parameters, (ParameterId)parameter);
}

/* Rate the drip is set to, as the level it stands for in this person. */
static double drip_rate(const DrugRow *row, const Parameters *parameters) {
    if (row->rate == PARAMETER_none) return 0.0;
    return model_parameters_get(parameters, (ParameterId)row->rate) *
           factor(parameters, row->level_parameter);
}

void model_drugs_start(DrugsState *drugs, const Parameters *parameters) {
    for (int i = 0; i < DRUG_COUNT; i++) {
        const DrugRow *row = &DRUGS[i];
        DrugLevel *level = &drugs->level[i];
        const DrugLevel none = {0};
        const double rate = drip_rate(row, parameters);
        *level = none;
        for (int stage = 0; stage < DRUG_LINE_STAGES; stage++) {
            level->line[stage] = rate;
        }
        level->plasma = steady_level(row, parameters, rate);
        level->tissue = row->half_life_min > 0.0 ? 0.0 : level->plasma;
        level->effect_site = level->plasma;
    }
    drugs->nitric_oxide_habit_frac = nitric_oxide_share(drugs);
}

/* What one drug gets from its drip over dt_s, in the drip's unit: the mean behind the line. */
static double delivered(DrugLevel *level, const DrugRow *row, const Parameters *parameters, double dt_s) {
    const double stage_s = row->line ? parameters->line_delay_s / DRUG_LINE_STAGES : 0.0;
    double rate = drip_rate(row, parameters);
    for (int stage = 0; stage < DRUG_LINE_STAGES; stage++) {
        rate = model_lag_step(&level->line[stage], rate, dt_s, stage_s);
    }
    return rate;
}

/* Long exposure, for drugs whose effect wears off. */
static void grow_used(DrugsState *drugs, double dt_s) {
    for (int i = 0; i < (int)TOLERANCE_COUNT; i++) {
        const ToleranceRow *row = &TOLERANCES[i];
        DrugLevel *level = &drugs->level[row->drug];
        double share = level->effect_site / (row->half_level + level->effect_site);
        for (int stage = 0; stage < DRUG_HABIT_STAGES; stage++) {
            share = model_lag_step(&level->habit[stage], share, dt_s, row->lag_h * UNITS_S_PER_H);
        }
    }
}

void model_drugs_advance(DrugsState *drugs, const Parameters *parameters, double dt_s) {
    double fed[DRUG_COUNT] = {0};
    for (int i = 0; i < (int)FEED_COUNT; i++) {
        /* a level in rate equivalents is also the rate at which the drug leaves */
        fed[FEEDS[i].to] += FEEDS[i].share * drugs->level[FEEDS[i].from].plasma;
    }
    for (int i = 0; i < DRUG_COUNT; i++) {
        const DrugRow *row = &DRUGS[i];
        DrugLevel *level = &drugs->level[i];
        const double rate = delivered(level, row, parameters, dt_s) + fed[i];
        const double plasma =
            row->half_life_min > 0.0
                ? model_lag_step(&level->plasma, rate, dt_s, row->half_life_min * UNITS_S_PER_MIN / LN2)
                : two_compartment_step(level, row, parameters, rate, dt_s);
        (void)model_lag_step(&level->effect_site, plasma, dt_s, UNITS_S_PER_MIN / row->ke0_per_min);
    }
    grow_used(drugs, dt_s);
    const double share = nitric_oxide_share(drugs);
    const double habit_s = share > drugs->nitric_oxide_habit_frac ? HABIT_BUILD_S : HABIT_FADE_S;
    (void)model_lag_step(&drugs->nitric_oxide_habit_frac, share, dt_s, habit_s);
}

/* Weakening of catecholamines by acidosis, 1 at a normal pH. */
static double acidosis_x(double ph) {
    return fmax(ACIDOSIS_MIN_X, 1.0 - ACIDOSIS_LOSS_PER_PH * fmax(0.0, ACIDOSIS_PH - ph));
}

/* Drugs of one pool on one target: the strongest of them, and the doses of all in units of its EC50. */
typedef struct PoolDose {
    double emax, hill; /* of the strongest, with the person's and tolerance's factors */
    double units;
} PoolDose;

typedef struct Doses {
    PoolDose of[TARGET_COUNT][POOL_COUNT];
} Doses;

/* What is left of each drug's effect after long exposure, 1 for those without tolerance. */
static void remaining_effect(const DrugsState *drugs, double left[DRUG_COUNT]) {
    for (int i = 0; i < DRUG_COUNT; i++) {
        left[i] = 1.0;
    }
    for (int i = 0; i < (int)TOLERANCE_COUNT; i++) {
        const DrugId drug = TOLERANCES[i].drug;
        left[drug] = 1.0 - TOLERANCES[i].loss * drugs->level[drug].habit[DRUG_HABIT_STAGES - 1];
    }
}

/* Hill curve of a dose in units of the EC50, 0..1. */
static double hill_curve(double units, double hill) {
    const double power = pow(units, hill);
    return power / (1.0 + power);
}

/* Doses of drugs on one receptor are turned into doses of the strongest that give the same effect, and added;
   so one drug alone follows its own curve exactly, and one more never takes away. */
static void count_doses(const DrugsState *drugs, const Parameters *parameters, Doses *doses) {
    const Doses none = {0};
    double left[DRUG_COUNT], emax[CURVE_COUNT];
    *doses = none;
    remaining_effect(drugs, left);
    for (int i = 0; i < (int)CURVE_COUNT; i++) {
        const CurveRow *row = &CURVES[i];
        if (drugs->level[row->drug].effect_site <= 0.0) continue;
        PoolDose *dose = &doses->of[row->target][row->pool];
        emax[i] = row->emax * factor(parameters, row->emax_parameter) * left[row->drug];
        if (fabs(emax[i]) > fabs(dose->emax)) {
            dose->emax = emax[i];
            dose->hill = row->hill;
        }
    }
    for (int i = 0; i < (int)CURVE_COUNT; i++) {
        const CurveRow *row = &CURVES[i];
        const double level = drugs->level[row->drug].effect_site;
        PoolDose *dose = &doses->of[row->target][row->pool];
        if (level <= 0.0 || dose->emax * emax[i] <= 0.0) continue;
        const double own =
            hill_curve(level / (row->ec50 * factor(parameters, row->ec50_parameter)), row->hill);
        const double share = fmin(SHARE_MAX, own * emax[i] / dose->emax);
        dose->units += pow(share / (1.0 - share), 1.0 / dose->hill);
    }
}

static double pool_effect(const Doses *doses, Target target, Pool pool, double ph) {
    const PoolDose *dose = &doses->of[target][pool];
    if (dose->units <= 0.0) {
        return 0.0;
    }
    const double catecholamine = pool == POOL_BETA || pool == POOL_ALPHA ? acidosis_x(ph) : 1.0;
    return catecholamine * dose->emax * hill_curve(dose->units, dose->hill);
}

/* Product over the pools of 1 + effect, never below a tenth. */
static double target_x(const Doses *doses, Target target, double ph) {
    const double floor_x = 0.1; /* design: no drug abolishes a property */
    double product = 1.0;
    for (int pool = 0; pool < POOL_COUNT; pool++) {
        product *= fmax(floor_x, 1.0 + pool_effect(doses, target, (Pool)pool, ph));
    }
    return product;
}

void model_drugs_effects(const DrugsState *drugs, const Parameters *parameters, double ph, Effects *effects) {
    Doses doses;
    count_doses(drugs, parameters, &doses);
    const double lv_x = fmin(EES_MAX_X, target_x(&doses, TARGET_LV_EES, ph));
    const double rv_x = fmin(EES_MAX_X, target_x(&doses, TARGET_RV_EES, ph));
    const double svr_x = target_x(&doses, TARGET_SVR, ph);
    const double hr_x = target_x(&doses, TARGET_HR, ph);
    const double rebound_x =
        1.0 + REBOUND_GAIN *
                  fmax(0.0, drugs->nitric_oxide_habit_frac - nitric_oxide_share(drugs) - REBOUND_THRESHOLD);
    effects->lv_ees_x *= lv_x;
    effects->rv_ees_x *= rv_x;
    effects->atrial_ees_x *= sqrt(lv_x * rv_x); /* design: no atrial data */
    effects->relaxation_x *= fmax(RELAXATION_MIN_X, target_x(&doses, TARGET_RELAXATION, ph));
    effects->hr_x *= fmin(hr_x, fmax(1.0, HR_MAX_PER_MIN / parameters->sinus_rate_per_min));
    effects->svr_x *= fmin(SVR_MAX_X, fmax(SVR_MIN_X, svr_x));
    effects->pvr_x *= fmax(PVR_MIN_X, target_x(&doses, TARGET_PVR, ph)) * rebound_x;
    for (int pool = 0; pool < POOL_COUNT; pool++) {
        effects->unstressed_ml += pool_effect(&doses, TARGET_UNSTRESSED, (Pool)pool, ph);
    }
}

DrugsElsewhere model_drugs_elsewhere(const DrugsState *drugs, const Parameters *parameters, double ph) {
    Doses doses;
    count_doses(drugs, parameters, &doses);
    const DrugsElsewhere elsewhere = {
        .lactate_x = target_x(&doses, TARGET_LACTATE, ph),
        .urine_x = target_x(&doses, TARGET_URINE, ph),
        .shunt_x = target_x(&doses, TARGET_SHUNT, ph),
    };
    return elsewhere;
}

const char *model_drugs_name(DrugId id) {
    return DRUGS[id].name;
}

const char *model_drugs_unit(DrugId id) {
    return DRUGS[id].unit;
}

const char *model_drugs_source(DrugId id) {
    return DRUGS[id].source;
}
