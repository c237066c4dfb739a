/* Cohorts: people alike but not the same, drawn around a base person with a seed. */
#ifndef MODEL_COHORT_H
#define MODEL_COHORT_H

#include "model/error.h"
#include "model/observables.h"
#include "model/parameters.h"
#include "model/random.h"

#include <stdbool.h>

/* What varies between people, each a factor whose logarithm is normal. */
typedef enum CohortTrait {
    COHORT_SIZE,           /* body surface */
    COHORT_LEFT_STRENGTH,  /* left ventricular end-systolic elastance */
    COHORT_RIGHT_STRENGTH, /* right ventricular end-systolic elastance */
    COHORT_LEFT_STIFF,     /* left ventricular passive exponent */
    COHORT_RIGHT_STIFF,    /* right ventricular passive exponent */
    COHORT_SYSTEMIC,       /* systemic resistance */
    COHORT_PULMONARY,      /* pulmonary resistance */
    COHORT_VOLUME,         /* blood volume for the body's size */
    COHORT_RATE,           /* sinus rate */
    COHORT_CELLS,          /* haematocrit */
    COHORT_ARTERIES,       /* arterial compliance */
    COHORT_TRAITS
} CohortTrait;

/* Standard deviation of the logarithm of a trait, and correlation of two. */
double model_cohort_spread(CohortTrait trait);
double model_cohort_correlation(CohortTrait one, CohortTrait other);

/* Draws the traits of one person: COHORT_TRAITS correlated logarithms in `ln_x`, each cut at 2.5 standard
   deviations, `width` times as wide as usual (0: all alike). */
void model_cohort_traits(Random *random, double width, double *ln_x);

/* `base` with traits applied; body size by model_bodysize_scale. Values stay in their ranges. */
Parameters model_cohort_apply(const Parameters *base, const double *ln_x);

/* Whether a person with these settled means can be alive in a bed: MAP 40-140, CVP below 30, wedge below 45,
   mean PA below 80 mmHg, index 1.2-6 L/min/m2, SvO2 above 25 %. */
bool model_cohort_is_survivable(const Observables *means);

/* Draws people around `base` until one passes model_parameters_check and, settled for `settle_s` (s), is
   survivable. Fills *person and its settled *means (nullable), and adds the number of people refused to
   *refused (nullable). ERROR_COMBINATION after 50 refusals in a row. Deterministic in *random. */
MODEL_CHECKED ErrorCode model_cohort_draw(const Parameters *base, double width, double settle_s,
                                          Random *random, Parameters *person, Observables *means,
                                          int *refused, Error *error);

/* What may go wrong in the first day with a new left pump, drawn as causes (a weaker right ventricle that is
   filled, a narrower lung, wider vessels, a bleeding site); the model makes the consequences. Medians and
   spreads are design, chosen so that published rates of right ventricular failure (16-35 %), vasoplegia
   (33-50 %) and bleeding (20-45 %) come out. */
void model_cohort_complicate(Random *random, Parameters *person);

#endif
