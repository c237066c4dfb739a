/* What a condition can come to when its quantities stay within ranges: never true, always true, or either. By
   interval arithmetic: each quantity is taken by itself, so that "never" and "always" are certain, and
   "either" is not. */
#ifndef SIM_CONDITION_RANGE_H
#define SIM_CONDITION_RANGE_H

#include "sim/condition.h"

typedef struct ConditionSpan {
    double low, high;
    bool sure; /* false: it may not be known (not on show), and a comparison with it is false then */
    bool none; /* it is never known */
} ConditionSpan;

/* Ranges of everything that a condition can name. */
typedef struct ConditionRanges {
    ConditionSpan observable[OBSERVABLE_COUNT];
    ConditionSpan display[DISPLAY_COUNT];
    ConditionSpan parameter[PARAMETER_COUNT];
    ConditionSpan deed[DEED_COUNT];
} ConditionRanges;

typedef enum ConditionVerdict { VERDICT_NEVER, VERDICT_EITHER, VERDICT_ALWAYS } ConditionVerdict;

/* An empty condition is always true. */
ConditionVerdict sim_condition_verdict(const Condition *condition, const ConditionRanges *ranges);

#endif
