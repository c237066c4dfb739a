/* The table of observables. */
#include "model/observables.h"

#include <assert.h>
#include <stddef.h>
#include <string.h>

static const ObservableRow ROWS[OBSERVABLE_COUNT] = {
#define O(key, unit, text) {#key, unit, text},
#include "model/observables.def"
#undef O
};

static const size_t OFFSETS[OBSERVABLE_COUNT] = {
#define O(key, unit, text) offsetof(Observables, key),
#include "model/observables.def"
#undef O
};

const ObservableRow *model_observables_row(ObservableId id) {
    assert((int)id >= 0 && id < OBSERVABLE_COUNT);
    return &ROWS[id];
}

ObservableId model_observables_find(const char *key) {
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        if (strcmp(ROWS[i].key, key) == 0) return (ObservableId)i;
    return OBSERVABLE_COUNT;
}

double model_observables_get(const Observables *observables, ObservableId id) {
    assert((int)id >= 0 && id < OBSERVABLE_COUNT);
    double value;
    memcpy(&value, (const char *)observables + OFFSETS[id], sizeof value);
    return value;
}
