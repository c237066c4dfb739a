/* Causes that can be held beside a case's own, of any severity: one table (alternatives.def). */
#ifndef SIM_ALTERNATIVES_H
#define SIM_ALTERNATIVES_H

#include "model/parameters.h"
#include "sim/diagnoses.h"

#include <stdbool.h>

typedef enum AlternativeId {
#define ALTERNATIVE(name, diagnosis, when, how, words, one, two, three) ALTERNATIVE_##name,
#include "sim/alternatives.def"
#undef ALTERNATIVE
    ALTERNATIVE_COUNT
} AlternativeId;

enum { ALTERNATIVE_PARTS = 3 };

typedef enum AlternativeHow {
    ALTERNATIVE_LEVEL, /* severity is a state */
    ALTERNATIVE_RATE   /* severity is a speed: what is lost adds up */
} AlternativeHow;

typedef struct AlternativeRow {
    const char *name;
    DiagnosisId diagnosis;
    AlternativeHow how;
    const char *words; /* what happens */
} AlternativeRow;

const AlternativeRow *sim_alternatives_row(AlternativeId id);

/* True if a patient with these parameters can have it. */
bool sim_alternatives_possible(AlternativeId id, const Parameters *parameters);

/* Parameters that severity 0..1 moves in a patient who had `before`: fills change[ALTERNATIVE_PARTS], within
   the parameters' ranges, and returns how many. */
int sim_alternatives_at(AlternativeId id, const Parameters *before, double severity, ParameterId parameter[],
                        double value[]);

#endif
