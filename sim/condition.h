/* Conditions of case files: a small expression language over what can be read from the patient and the
   bedside.

     cvp_mmhg > 16 and (pump_flow_shown_l_min < 3 or not art_mean_mmhg >= 60)
     wedge_mmhg - cvp_mmhg < 0        time_s > 20min        shown_art_mean_mmhg < 60

   Names: observables (truth, observables.def), `shown_` and a displayed quantity (display.def: what the
   bedside shows), parameters (causes and settings, parameters.def), deeds (what the trainee has done,
   deeds.def); an observable wins over a parameter of the same name, and that over a deed. Operators, loosest
   first: or, and, not, one comparison (< <= > >=), + -, * /, minus sign, parentheses. A number may be
   followed by s, min or h (then it is in seconds). No equality: computed values are never equal on purpose.
   There is nothing else: no assignment, no functions, no loops. */
#ifndef SIM_CONDITION_H
#define SIM_CONDITION_H

#include "model/error.h"
#include "model/observables.h"
#include "model/parameters.h"
#include "sim/deeds.h"
#include "sim/instruments.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    CONDITION_CODE_MAX = 40,  /* instructions of one condition */
    CONDITION_STACK_MAX = 12, /* values in flight while evaluating; the parser refuses deeper nesting */
    CONDITION_TEXT_MAX = 200  /* longest condition, with its terminator */
};

typedef struct ConditionInstruction {
    int16_t operation; /* enum ConditionOperation (condition_parts.h) */
    int16_t index;     /* id in its table for a name */
    double value;      /* the number, for a constant */
} ConditionInstruction;

/* A parsed condition: a program for a small stack machine. Flat; count 0 is "no condition" and always true.
 */
typedef struct Condition {
    int count;
    ConditionInstruction code[CONDITION_CODE_MAX];
    char text[CONDITION_TEXT_MAX]; /* as written */
} Condition;

/* What names refer to while evaluating. All must be set, but for deeds: without them what compares one is
 * false. */
typedef struct ConditionInputs {
    const Observables *observables;
    const Display *display;
    const Parameters *parameters;
    const Deeds *deeds;
} ConditionInputs;

/* Parses `text`. On failure *condition is unchanged; error->column is the 1-based column within `text`, and
   error->allowed has the nearest name for an unknown one. */
MODEL_CHECKED ErrorCode sim_condition_parse(const char *text, Condition *condition, Error *error);

/* True if the condition holds. A comparison with a displayed value that is not on show (not valid), or with
   the result of a division by zero, is false. */
bool sim_condition_holds(const Condition *condition, const ConditionInputs *inputs);

#endif
