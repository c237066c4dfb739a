/* The patient's parameters: one flat struct of doubles, described by one table (parameters.def). */
#ifndef MODEL_PARAMETERS_H
#define MODEL_PARAMETERS_H

#include "model/error.h"

#include <stdbool.h>

/* Everything that is an input to the patient: anatomy, causes of trouble, device settings, drips.
   Fixed during a beat; changed only between beats. The defaults are a healthy adult. */
typedef struct Parameters {
#define P(key, unit, standard, low, high, text, source) double key;
#include "model/parameters.def"
#undef P
} Parameters;

typedef enum ParameterId {
#define P(key, unit, standard, low, high, text, source) PARAMETER_##key,
#include "model/parameters.def"
#undef P
    PARAMETER_COUNT
} ParameterId;

typedef struct ParameterRow {
    const char *key;      /* name, ends with its unit */
    const char *unit;
    double standard;      /* default: healthy adult */
    double low, high;     /* allowed range, inclusive */
    const char *text;     /* what it is */
    const char *source;   /* where the default comes from */
} ParameterRow;

/* Table row of `id` (0 <= id < PARAMETER_COUNT). */
const ParameterRow *model_parameters_row(ParameterId id);

/* Finds a parameter by key; returns PARAMETER_COUNT if there is none. */
ParameterId model_parameters_find(const char *key);

/* All defaults. */
Parameters model_parameters_standard(void);

double model_parameters_get(const Parameters *parameters, ParameterId id);

/* Sets one value; on ERROR_RANGE nothing is changed and `error` names key, range and unit. */
MODEL_CHECKED ErrorCode model_parameters_set(Parameters *parameters, ParameterId id, double value, Error *error);

/* Checks every value against its range and the combinations that cannot be a person
   (for example a dead volume larger than the chamber's filling); names the first offence. */
MODEL_CHECKED ErrorCode model_parameters_check(const Parameters *parameters, Error *error);

#endif
