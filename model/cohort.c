/* Correlated log-normal traits, refusal of the impossible, and the causes of early complications. */
#include "model/cohort.h"

#include "model/bodysize.h"
#include "model/patient.h"
#include "model/sizes.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define CUT_SD       2.5
#define TRIES_MOST   50
#define MEANS_OVER_S 20.0

/* Spreads: coefficients of variation of normal values and of published cohorts (output and pressures vary by
   20-40 % between patients); sizes are design. */
static const double SPREAD[COHORT_TRAITS] = {
    [COHORT_SIZE] = 0.10,       [COHORT_LEFT_STRENGTH] = 0.20, [COHORT_RIGHT_STRENGTH] = 0.20,
    [COHORT_LEFT_STIFF] = 0.06, [COHORT_RIGHT_STIFF] = 0.08,   [COHORT_SYSTEMIC] = 0.13,
    [COHORT_PULMONARY] = 0.25,  [COHORT_VOLUME] = 0.04,        [COHORT_RATE] = 0.12,
    [COHORT_CELLS] = 0.10,      [COHORT_ARTERIES] = 0.15,
};

/* Who goes with whom; signs from physiology, sizes design. All other pairs are independent. */
static const struct {
    CohortTrait one, other;
    double correlation;
} PAIRS[] = {
    {COHORT_LEFT_STRENGTH, COHORT_RIGHT_STRENGTH, 0.4}, /* one disease, both ventricles */
    {COHORT_LEFT_STIFF, COHORT_RIGHT_STIFF, 0.4},
    {COHORT_PULMONARY, COHORT_RIGHT_STRENGTH, 0.3}, /* adaptation to load */
    {COHORT_PULMONARY, COHORT_LEFT_STIFF, 0.3},     /* a congested left side */
    {COHORT_VOLUME, COHORT_RIGHT_STRENGTH, -0.3},   /* retention */
    {COHORT_SYSTEMIC, COHORT_ARTERIES, -0.4},       /* stiff and narrow together */
    {COHORT_RATE, COHORT_LEFT_STRENGTH, -0.2},
    {COHORT_CELLS, COHORT_VOLUME, -0.2}, /* dilution */
};

/* Early complications: medians and spreads of the logarithms; design, so that published rates come out. */
#define RIGHT_MEDIAN_X       0.36 /* right ventricular strength just after bypass */
#define RIGHT_SPREAD         0.60
#define LUNG_MEDIAN_X        1.50 /* pulmonary resistance; more where the ventricle is weaker */
#define LUNG_WITH_RIGHT      0.20
#define FILLING_PER_SPREAD   0.10 /* blood given to a weaker right side, share */
#define FILLING_X            1.04 /* first hours: warm, wide, filled */
#define VESSELS_MEDIAN_X     0.59
#define VESSELS_SPREAD       0.35
#define BLEEDING_MEDIAN_ML_H 30.0
#define BLEEDING_SPREAD      0.90

double model_cohort_spread(CohortTrait trait) {
    assert((int)trait >= 0 && trait < COHORT_TRAITS);
    return SPREAD[trait];
}

double model_cohort_correlation(CohortTrait one, CohortTrait other) {
    if (one == other) return 1.0;
    for (size_t i = 0; i < sizeof PAIRS / sizeof PAIRS[0]; i++)
        if ((PAIRS[i].one == one && PAIRS[i].other == other) ||
            (PAIRS[i].one == other && PAIRS[i].other == one))
            return PAIRS[i].correlation;
    return 0.0;
}

/* Lower triangle L with L L' = correlation matrix (Cholesky). */
static void triangle(double l[COHORT_TRAITS][COHORT_TRAITS]) {
    for (int i = 0; i < COHORT_TRAITS; i++)
        for (int j = 0; j <= i; j++) {
            double rest = model_cohort_correlation((CohortTrait)i, (CohortTrait)j);
            for (int k = 0; k < j; k++)
                rest -= l[i][k] * l[j][k];
            if (i == j) {
                assert(rest > 0);
                l[i][j] = sqrt(rest);
            } else {
                l[i][j] = rest / l[j][j];
            }
        }
}

void model_cohort_traits(Random *random, double width, double *ln_x) {
    double l[COHORT_TRAITS][COHORT_TRAITS];
    double z[COHORT_TRAITS];
    triangle(l);
    for (int i = 0; i < COHORT_TRAITS; i++)
        z[i] = model_random_normal(random);
    for (int i = 0; i < COHORT_TRAITS; i++) {
        double sum = 0;
        for (int j = 0; j <= i; j++)
            sum += l[i][j] * z[j];
        ln_x[i] = width * SPREAD[i] * fmin(fmax(sum, -CUT_SD), CUT_SD);
    }
}

/* Multiplies a value, staying in its range. */
static void scale(Parameters *p, ParameterId id, double x) {
    const ParameterRow *row = model_parameters_row(id);
    const double value = fmin(fmax(x * model_parameters_get(p, id), row->low), row->high);
    (void)!model_parameters_set(p, id, value, NULL);
}

Parameters model_cohort_apply(const Parameters *base, const double *ln_x) {
    static const struct {
        CohortTrait trait;
        ParameterId id;
    } MAP[] = {
        {COHORT_LEFT_STRENGTH, PARAMETER_lv_ees_mmhg_ml},
        {COHORT_RIGHT_STRENGTH, PARAMETER_rv_ees_mmhg_ml},
        {COHORT_LEFT_STIFF, PARAMETER_lv_beta_per_ml},
        {COHORT_RIGHT_STIFF, PARAMETER_rv_beta_per_ml},
        {COHORT_SYSTEMIC, PARAMETER_splanchnic_r_mmhg_s_ml},
        {COHORT_SYSTEMIC, PARAMETER_other_r_mmhg_s_ml},
        {COHORT_PULMONARY, PARAMETER_pulmonary_r_mmhg_s_ml},
        {COHORT_VOLUME, PARAMETER_blood_volume_ml},
        {COHORT_RATE, PARAMETER_sinus_rate_per_min},
        {COHORT_CELLS, PARAMETER_hct_start_frac},
        {COHORT_ARTERIES, PARAMETER_aorta_c_ml_mmhg},
        {COHORT_ARTERIES, PARAMETER_artery_c_ml_mmhg},
    };
    Parameters p = *base;
    /* height grows as the cube root of what weight and height make of the surface */
    const double size = exp(ln_x[COHORT_SIZE]);
    const ParameterRow *tall = model_parameters_row(PARAMETER_height_cm);
    const ParameterRow *heavy = model_parameters_row(PARAMETER_weight_kg);
    const double height_cm = fmin(fmax(p.height_cm * cbrt(size), tall->low), tall->high);
    const double weight_kg = fmin(fmax(p.weight_kg * pow(size, 5.0 / 3.0), heavy->low), heavy->high);
    model_bodysize_scale(&p, weight_kg, height_cm, p.sex_female > 0.5);
    for (size_t i = 0; i < sizeof MAP / sizeof MAP[0]; i++)
        scale(&p, MAP[i].id, exp(ln_x[MAP[i].trait]));
    return p;
}

bool model_cohort_is_survivable(const Observables *o) {
    return o->art_mean_mmhg > 40 && o->art_mean_mmhg < 140 && o->cvp_mmhg < 30 && o->wedge_mmhg < 45 &&
           o->pa_mean_mmhg < 80 && o->cardiac_index_l_min_m2 > 1.2 && o->cardiac_index_l_min_m2 < 6 &&
           o->svo2_frac > 0.25;
}

/* Settles a person and takes the means of some breaths; false if the model refuses or fails. */
static bool settle(const Parameters *person, double settle_s, uint64_t seed, Observables *means) {
    Beat *beat = malloc(sizeof *beat);
    Patient *patient = beat ? model_patient_create(person, seed, NULL) : NULL;
    bool good = patient && model_patient_settle(patient, settle_s, NULL) == ERROR_OK;
    double sum[OBSERVABLE_COUNT] = {0}, length_s = 0;
    while (good && length_s < MEANS_OVER_S) {
        good = model_patient_advance(patient, beat, NULL) == ERROR_OK;
        const double dt_s = beat->ticks * BEAT_TICK_S;
        for (int i = 0; good && i < OBSERVABLE_COUNT; i++)
            sum[i] += dt_s * model_observables_get(&beat->observables, (ObservableId)i);
        length_s += dt_s;
    }
#define O(key, unit, text) means->key = sum[OBSERVABLE_##key] / length_s;
    if (good) {
#include "model/observables.def"
    }
#undef O
    model_patient_destroy(patient);
    free(beat);
    return good;
}

ErrorCode model_cohort_draw(const Parameters *base, double width, double settle_s, Random *random,
                            Parameters *person, Observables *means, int *refused, Error *error) {
    for (int i = 0; i < TRIES_MOST; i++) {
        double ln_x[COHORT_TRAITS];
        Observables settled;
        model_cohort_traits(random, width, ln_x);
        const uint64_t seed = model_random_next(random);
        *person = model_cohort_apply(base, ln_x);
        if (model_parameters_check(person, NULL) == ERROR_OK && settle(person, settle_s, seed, &settled) &&
            model_cohort_is_survivable(&settled)) {
            if (means) *means = settled;
            return ERROR_OK;
        }
        if (refused) (*refused)++;
    }
    return model_error_set(error, ERROR_COMBINATION, "no survivable person in %d draws around the base",
                           TRIES_MOST);
}

void model_cohort_complicate(Random *random, Parameters *person) {
    const double z = model_random_normal(random);
    const double vessels = VESSELS_MEDIAN_X * exp(VESSELS_SPREAD * model_random_normal(random));
    const double bleeding = BLEEDING_MEDIAN_ML_H * exp(BLEEDING_SPREAD * model_random_normal(random));
    scale(person, PARAMETER_rv_ees_mmhg_ml, fmin(RIGHT_MEDIAN_X * exp(RIGHT_SPREAD * z), 1.0));
    scale(person, PARAMETER_pulmonary_resistance_x, LUNG_MEDIAN_X * exp(-LUNG_WITH_RIGHT * z));
    scale(person, PARAMETER_blood_volume_ml, FILLING_X + FILLING_PER_SPREAD * fmax(-z, 0.0));
    scale(person, PARAMETER_systemic_resistance_x, fmin(vessels, 1.2));
    const ParameterRow *row = model_parameters_row(PARAMETER_bleed_drain_ml_h);
    (void)!model_parameters_set(person, PARAMETER_bleed_drain_ml_h, fmin(bleeding, row->high), NULL);
    (void)!model_parameters_set(person, PARAMETER_drain_patency_frac, 1.0, NULL);
}
