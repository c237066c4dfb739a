/* Causes that can be held beside a case's own. */
#include "sim/alternatives.h"

#include <math.h>

typedef enum When { ANY, LEFT_PUMP, NO_LEFT_PUMP } When;
typedef enum Way { NONE, PLUS, TIMES } Way;

typedef struct Part {
    ParameterId parameter;
    Way way;
    double amount;
} Part;

#define PART(parameter, way, amount)                                                                         \
    { PARAMETER_##parameter, way, amount }
#define NO_PART                                                                                              \
    { PARAMETER_COUNT, NONE, 0.0 }

static const AlternativeRow ROWS[ALTERNATIVE_COUNT] = {
#define ALTERNATIVE(name, diagnosis, when, how, words, one, two, three)                                      \
    {#name, DIAGNOSIS_##diagnosis, ALTERNATIVE_##how, words},
#include "sim/alternatives.def"
#undef ALTERNATIVE
};

static const struct {
    When when;
    Part part[ALTERNATIVE_PARTS];
} RULES[ALTERNATIVE_COUNT] = {
#define ALTERNATIVE(name, diagnosis, when, how, words, one, two, three) {when, {one, two, three}},
#include "sim/alternatives.def"
#undef ALTERNATIVE
};

const AlternativeRow *sim_alternatives_row(AlternativeId id) {
    return &ROWS[id];
}

bool sim_alternatives_possible(AlternativeId id, const Parameters *parameters) {
    bool pump = parameters->left_pump_present > 0.5;
    return RULES[id].when == ANY || (RULES[id].when == LEFT_PUMP) == pump;
}

int sim_alternatives_at(AlternativeId id, const Parameters *before, double severity, ParameterId parameter[],
                        double value[]) {
    int count = 0;
    double s = fmin(fmax(severity, 0.0), 1.0);
    for (; count < ALTERNATIVE_PARTS && RULES[id].part[count].way != NONE; count++) {
        const Part *part = &RULES[id].part[count];
        const ParameterRow *row = model_parameters_row(part->parameter);
        double was = model_parameters_get(before, part->parameter);
        double now = part->way == TIMES ? was * pow(part->amount, s) : was + part->amount * s;
        parameter[count] = part->parameter;
        value[count] = fmin(fmax(now, row->low), row->high);
    }
    return count;
}
