/* The table of deeds. */
#include "sim/deeds.h"

#include <string.h>

static const DeedRow rows[DEED_COUNT] = {
#define DEED(key, unit, text) {#key, unit, text},
#include "sim/deeds.def"
#undef DEED
};

const DeedRow *sim_deeds_row(DeedId id) {
    return &rows[id];
}

DeedId sim_deeds_find(const char *key) {
    for (int id = 0; id < DEED_COUNT; id++) {
        if (strcmp(key, rows[id].key) == 0) return (DeedId)id;
    }
    return DEED_COUNT;
}
