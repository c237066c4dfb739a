/* Conditions over ranges: interval arithmetic through the same program. Truth is a span from 0 to 1. */
#include "sim/condition_range.h"

#include "sim/condition_parts.h"

#include <math.h>

static ConditionSpan truth(bool can_be_false, bool can_be_true) {
    return (ConditionSpan){.low = can_be_false ? 0 : 1, .high = can_be_true ? 1 : 0, .sure = true};
}

static ConditionSpan hull4(double a, double b, double c, double d) {
    return (ConditionSpan){.low = fmin(fmin(a, b), fmin(c, d)), .high = fmax(fmax(a, b), fmax(c, d))};
}

/* Infinity times zero is nothing here: an end of a range, not a limit. */
static double times(double a, double b) {
    return fabs(a) > 0 && fabs(b) > 0 ? a * b : 0;
}

static ConditionSpan divide(ConditionSpan a, ConditionSpan b) {
    if (b.low <= 0 && b.high >= 0) return (ConditionSpan){.low = -INFINITY, .high = INFINITY};
    return hull4(a.low / b.low, a.low / b.high, a.high / b.low, a.high / b.high);
}

/* less (a, b) strictly or not: can it be true, and false. */
static ConditionSpan compare(ConditionSpan a, ConditionSpan b, bool strict) {
    bool known = a.sure && b.sure;
    if (a.none || b.none) return truth(true, false);
    return strict ? truth(!known || a.high >= b.low, a.low < b.high)
                  : truth(!known || a.high > b.low, a.low <= b.high);
}

static ConditionSpan calculate(ConditionOperation operation, ConditionSpan a, ConditionSpan b) {
    ConditionSpan out;
    switch (operation) {
    case OP_ADD:
        out = (ConditionSpan){.low = a.low + b.low, .high = a.high + b.high};
        break;
    case OP_SUBTRACT:
        out = (ConditionSpan){.low = a.low - b.high, .high = a.high - b.low};
        break;
    case OP_MULTIPLY:
        out = hull4(times(a.low, b.low), times(a.low, b.high), times(a.high, b.low), times(a.high, b.high));
        break;
    default:
        out = divide(a, b);
        break;
    }
    out.sure = a.sure && b.sure && (operation != OP_DIVIDE || isfinite(out.low));
    out.none = a.none || b.none;
    return out;
}

static ConditionSpan binary(ConditionOperation operation, ConditionSpan a, ConditionSpan b) {
    switch (operation) {
    case OP_LESS:
        return compare(a, b, true);
    case OP_LESS_EQUAL:
        return compare(a, b, false);
    case OP_GREATER:
        return compare(b, a, true);
    case OP_GREATER_EQUAL:
        return compare(b, a, false);
    case OP_AND:
        return (ConditionSpan){.low = fmin(a.low, b.low), .high = fmin(a.high, b.high), .sure = true};
    case OP_OR:
        return (ConditionSpan){.low = fmax(a.low, b.low), .high = fmax(a.high, b.high), .sure = true};
    default:
        return calculate(operation, a, b);
    }
}

static ConditionSpan load(const ConditionInstruction *code, const ConditionRanges *ranges) {
    switch (code->operation) {
    case OP_OBSERVABLE:
        return ranges->observable[code->index];
    case OP_DISPLAY:
        return ranges->display[code->index];
    case OP_PARAMETER:
        return ranges->parameter[code->index];
    case OP_DEED:
        return ranges->deed[code->index];
    default:
        return (ConditionSpan){.low = code->value, .high = code->value, .sure = true};
    }
}

static ConditionSpan unary(ConditionOperation operation, ConditionSpan a) {
    if (operation == OP_NEGATE)
        return (ConditionSpan){.low = -a.high, .high = -a.low, .sure = a.sure, .none = a.none};
    return (ConditionSpan){.low = 1 - a.high, .high = 1 - a.low, .sure = true};
}

ConditionVerdict sim_condition_verdict(const Condition *condition, const ConditionRanges *ranges) {
    ConditionSpan stack[CONDITION_STACK_MAX + 1];
    int top = 0;
    if (condition->count == 0) return VERDICT_ALWAYS;
    for (int i = 0; i < condition->count; i++) {
        const ConditionInstruction *code = &condition->code[i];
        ConditionOperation operation = (ConditionOperation)code->operation;
        if (operation <= OP_DEED) {
            stack[top++] = load(code, ranges);
        } else if (operation == OP_NEGATE || operation == OP_NOT) {
            stack[top - 1] = unary(operation, stack[top - 1]);
        } else {
            top--;
            stack[top - 1] = binary(operation, stack[top - 1], stack[top]);
        }
    }
    return stack[0].high < 0.5 ? VERDICT_NEVER : stack[0].low > 0.5 ? VERDICT_ALWAYS : VERDICT_EITHER;
}
