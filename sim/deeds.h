/* What the trainee has done, as numbers that conditions of case files can ask for (deeds.def): prompts when
   nothing happens, objectives about looks and calls. */
#ifndef SIM_DEEDS_H
#define SIM_DEEDS_H

typedef enum DeedId {
#define DEED(key, unit, text) DEED_##key,
#include "sim/deeds.def"
#undef DEED
    DEED_COUNT
} DeedId;

typedef struct DeedRow {
    const char *key, *unit, *text;
} DeedRow;

/* Flat: copied by assignment. */
typedef struct Deeds {
    double value[DEED_COUNT];
} Deeds;

const DeedRow *sim_deeds_row(DeedId id);

/* Finds a deed by key; DEED_COUNT if there is none. */
DeedId sim_deeds_find(const char *key);

#endif
