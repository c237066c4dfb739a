/* What can be read from the patient after a beat: one flat struct, described by observables.def.
   These are truth; what a bedside shows of them is made in sim/instruments. */
#ifndef MODEL_OBSERVABLES_H
#define MODEL_OBSERVABLES_H

typedef struct Observables {
#define O(key, unit, text) double key;
#include "model/observables.def"
#undef O
} Observables;

typedef enum ObservableId {
#define O(key, unit, text) OBSERVABLE_##key,
#include "model/observables.def"
#undef O
    OBSERVABLE_COUNT
} ObservableId;

typedef struct ObservableRow {
    const char *key;  /* name, ends with its unit; also the CSV column */
    const char *unit;
    const char *text;
} ObservableRow;

const ObservableRow *model_observables_row(ObservableId id);

/* Finds an observable by key; returns OBSERVABLE_COUNT if there is none. */
ObservableId model_observables_find(const char *key);

double model_observables_get(const Observables *observables, ObservableId id);

#endif
