/* Base patients: verified sets of parameters as overrides of the healthy adult. */
#ifndef MODEL_PEOPLE_H
#define MODEL_PEOPLE_H

#include "model/error.h"
#include "model/parameters.h"

/* Ten people in two body sizes. The first five are the verified sets; PERSON_BODY_COUNT + id is `id` in the
   smaller body ("supported_axial_small"). */
typedef enum PersonId {
    PERSON_HEALTHY,
    PERSON_DILATED_FAILURE,
    PERSON_SUPPORTED_AXIAL,
    PERSON_SUPPORTED_CENTRIFUGAL,
    PERSON_SUPPORTED_RV_FAILURE,
    PERSON_FAILING_ON_INOTROPES,
    PERSON_SUPPORTED_HIGH_PVR,
    PERSON_BIVENTRICULAR,
    PERSON_FRESH_TRANSPLANT,
    PERSON_TRANSPLANT_RIGHT_DYSFUNCTION,
    PERSON_BODY_COUNT,
    PERSON_COUNT = 2 * PERSON_BODY_COUNT
} PersonId;

/* Key ("supported_axial") and one line of description. */
const char *model_people_key(PersonId id);
const char *model_people_text(PersonId id);

/* Finds a person by key; returns PERSON_COUNT if there is none. */
PersonId model_people_find(const char *key);

/* All parameters of a person. */
Parameters model_people_parameters(PersonId id);

#endif
