/* A number with its unit, as typed: "250mL", "0.25 mcg/kg/min", "9000". */
#ifndef SIM_QUANTITY_H
#define SIM_QUANTITY_H

#include "model/error.h"
#include "model/parameters.h"

#include <stdbool.h>

enum { QUANTITY_UNIT_MAX = 24 };

typedef struct Quantity {
    double value;
    char unit[QUANTITY_UNIT_MAX]; /* as typed; empty if none */
} Quantity;

/* Reads a plain decimal number (no hexadecimal, no "inf" or "nan") that fills `text` wholly. */
MODEL_CHECKED ErrorCode sim_quantity_number(const char *text, double *value, Error *error);

/* Reads a number and what follows it, with or without a space between. ERROR_SYNTAX leaves *quantity
 * unchanged. */
MODEL_CHECKED ErrorCode sim_quantity_parse(const char *text, Quantity *quantity, Error *error);

/* True when `unit` is empty, or names the same unit as `wanted` (case ignored; "ug" is "mcg", "u" is "unit").
 */
bool sim_quantity_unit_is(const char *unit, const char *wanted);

/* Reads the value of a parameter: a plain number in its range, whole for switches and kinds. On failure
   *value is unchanged and `error` (may be NULL) says what is allowed. */
MODEL_CHECKED ErrorCode sim_quantity_parameter(const char *text, ParameterId id, double *value, Error *error);

/* True for a parameter that is a switch or a kind: it jumps, and cannot be moved evenly. */
bool sim_quantity_is_choice(ParameterId id);

#endif
