/* Populations of the published studies, each one person built from the parameter table so that pressures,
   output and rate before treatment lie where the studies found them. None is tuned to a single check. */
#ifndef TESTS_SUPPORT_POPULATIONS_H
#define TESTS_SUPPORT_POPULATIONS_H

#include "model/parameters.h"

typedef enum PopulationId {
    POPULATION_VOLUNTEER,           /* healthy adult at rest */
    POPULATION_HEART_FAILURE,       /* severe chronic dilated heart failure (HF) */
    POPULATION_CONSTRICTED_FAILURE, /* the same with a high resistance and MAP about 90 */
    POPULATION_COMPENSATED_FAILURE, /* the same, treated: low filling pressures */
    POPULATION_POST_OPERATIVE,      /* hours after coronary surgery, ventilated, fair ventricle (PO) */
    POPULATION_CORONARY, /* after coronary surgery with a good ventricle and low filling pressures */
    POPULATION_PULMONARY_HYPERTENSION, /* the same with mean PA above 30 */
    POPULATION_LOW_OUTPUT,             /* cardiac index about 1.7 just off bypass (LO) */
    POPULATION_TIGHT_CHEST,   /* low output because the swollen heart has no room in the closed chest */
    POPULATION_VASODILATED,   /* septic or post-bypass vasodilatation with a high output */
    POPULATION_ANAESTHETISED, /* anaesthetised, ventilated, dry: preload dependent */
    POPULATION_TRANSPLANT,    /* fresh denervated graft (TX) */
    POPULATION_PUMP,          /* left pump, right ventricle holding */
    POPULATION_PUMP_VASOPLEGIA,
    POPULATION_PUMP_RIGHT_FAILURE, /* left pump, failing right ventricle, high pulmonary resistance */
    POPULATION_COUNT
} PopulationId;

Parameters populations_parameters(PopulationId id);

#endif
