/* Vasoactive drugs from the syringe pump to the effect: line, plasma, effect site, receptor pools. */
#ifndef MODEL_DRUGS_H
#define MODEL_DRUGS_H

#include "model/effects.h"
#include "model/parameters.h"

/* One entry per DRUG row of drugs.def. */
typedef enum DrugId {
#define DRUG(name, ...) DRUG_##name,
#include "model/drugs.def"
    DRUG_COUNT
} DrugId;

enum { DRUG_LINE_STAGES = 8, DRUG_HABIT_STAGES = 2 };

/* One drug in the body. Concentrations are rate equivalents (the steady rate that would hold this level),
   or ng/mL for a drug with volumes of distribution. */
typedef struct DrugLevel {
    double line[DRUG_LINE_STAGES]; /* rate travelling through the dead space, unit of the drip */
    double plasma;
    double tissue; /* second compartment, ng/mL */
    double effect_site;
    double habit[DRUG_HABIT_STAGES]; /* long exposure, 0..1 */
} DrugLevel;

typedef struct DrugsState {
    DrugLevel level[DRUG_COUNT];
    double nitric_oxide_habit_frac; /* how far the lung has come to rely on inhaled nitric oxide, 0..1 */
} DrugsState;

/* Everything at the steady level of the rates in *parameters. */
void model_drugs_start(DrugsState *drugs, const Parameters *parameters);

/* Advances by dt_s (s, > 0), exactly for constant rates. */
void model_drugs_advance(DrugsState *drugs, const Parameters *parameters, double dt_s);

/* Multiplies the drugs' part into *effects. `ph` is the arterial pH (weakens catecholamines below 7.20). */
void model_drugs_effects(const DrugsState *drugs, const Parameters *parameters, double ph, Effects *effects);

/* What drugs do outside the circulation, as factors; 1 without drugs. */
typedef struct DrugsElsewhere {
    double lactate_x; /* on resting lactate production, >= 1 */
    double urine_x;   /* on urine flow, >= 0.1 */
    double shunt_x;   /* on the venous admixture of the lungs */
} DrugsElsewhere;

DrugsElsewhere model_drugs_elsewhere(const DrugsState *drugs, const Parameters *parameters, double ph);

/* Short name, unit of the level and source of a drug's row. */
const char *model_drugs_name(DrugId id);
const char *model_drugs_unit(DrugId id);
const char *model_drugs_source(DrugId id);

#endif
