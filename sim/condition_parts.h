/* What a condition's program is made of. Internal to sim/condition*.c. */
#ifndef SIM_CONDITION_PARTS_H
#define SIM_CONDITION_PARTS_H

typedef enum ConditionOperation {
    OP_NUMBER,
    OP_OBSERVABLE,
    OP_DISPLAY,
    OP_PARAMETER,
    OP_DEED,
    OP_NEGATE,
    OP_ADD,
    OP_SUBTRACT,
    OP_MULTIPLY,
    OP_DIVIDE,
    OP_LESS,
    OP_LESS_EQUAL,
    OP_GREATER,
    OP_GREATER_EQUAL,
    OP_NOT,
    OP_AND,
    OP_OR
} ConditionOperation;

#endif
