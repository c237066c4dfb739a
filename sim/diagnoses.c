/* The table of diagnoses. */
#include "sim/diagnoses.h"

#include <string.h>

static const char *const kind_keys[PROBLEM_COUNT] = {
#define KIND(key, label) #key,
#include "sim/diagnoses.def"
#undef KIND
};

static const char *const kind_labels[PROBLEM_COUNT] = {
#define KIND(key, label) label,
#include "sim/diagnoses.def"
#undef KIND
};

static const DiagnosisRow rows[DIAGNOSIS_COUNT] = {
#define DIAGNOSIS(key, label, kind, text, source) {#key, label, PROBLEM_##kind, text, source},
#include "sim/diagnoses.def"
#undef DIAGNOSIS
};

const DiagnosisRow *sim_diagnoses_row(DiagnosisId id) {
    return &rows[id];
}

const char *sim_diagnoses_kind_key(ProblemKind kind) {
    return kind_keys[kind];
}

const char *sim_diagnoses_kind_label(ProblemKind kind) {
    return kind_labels[kind];
}

DiagnosisId sim_diagnoses_find(const char *key) {
    for (int id = 0; id < DIAGNOSIS_COUNT; id++) {
        if (strcmp(key, rows[id].key) == 0) return (DiagnosisId)id;
    }
    return DIAGNOSIS_COUNT;
}

ProblemKind sim_diagnoses_kind_find(const char *key) {
    for (int kind = 0; kind < PROBLEM_COUNT; kind++) {
        if (strcmp(key, kind_keys[kind]) == 0) return (ProblemKind)kind;
    }
    return PROBLEM_COUNT;
}
