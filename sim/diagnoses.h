/* What can be wrong, as trainees call it and as a case knows it: one table (diagnoses.def). */
#ifndef SIM_DIAGNOSES_H
#define SIM_DIAGNOSES_H

/* Which kind of problem it is. */
typedef enum ProblemKind {
#define KIND(key, label) PROBLEM_##key,
#include "sim/diagnoses.def"
#undef KIND
    PROBLEM_COUNT
} ProblemKind;

typedef enum DiagnosisId {
#define DIAGNOSIS(key, label, kind, text, source) DIAGNOSIS_##key,
#include "sim/diagnoses.def"
#undef DIAGNOSIS
    DIAGNOSIS_COUNT
} DiagnosisId;

typedef struct DiagnosisRow {
    const char *key;   /* in acts and case files */
    const char *label; /* on a button */
    ProblemKind kind;
    const char *text; /* what tells it from its look-alikes */
    const char *source;
} DiagnosisRow;

const DiagnosisRow *sim_diagnoses_row(DiagnosisId id);

/* "right_heart", and "Right heart". */
const char *sim_diagnoses_kind_key(ProblemKind kind);
const char *sim_diagnoses_kind_label(ProblemKind kind);

/* Find by key; DIAGNOSIS_COUNT, PROBLEM_COUNT if there is none. */
DiagnosisId sim_diagnoses_find(const char *key);
ProblemKind sim_diagnoses_kind_find(const char *key);

#endif
