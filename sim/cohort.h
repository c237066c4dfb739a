/* Many nights at once: cases, their plans and varied patients, played in shards that any batch system may
   spread over machines, and put together again. The shards together are, byte for byte, what one run writes.
 */
#ifndef SIM_COHORT_H
#define SIM_COHORT_H

#include "sim/case.h"
#include "sim/crew.h"

#include <stdio.h>

enum { COHORT_CASES_MAX = 256, COHORT_PATIENTS_MAX = 100000, COHORT_SHARDS_MAX = 100000 };

/* What is to be played. A night's number is ((case x courses) + course) x patients + patient; shard I of N
   plays the nights whose number leaves I - 1 when divided by N. Borrows the cases. */
typedef struct Cohort {
    const Case *const *cases; /* [case_count], in the order of their ids */
    int case_count;
    int patients;      /* of each course, patient 0 is the case's own; 1..COHORT_PATIENTS_MAX */
    bool plans;        /* the plans of the cases too; false: untouched only */
    uint64_t seed;     /* of the varied patients */
    int shard, shards; /* 1 <= shard <= shards */
    int threads;
    CrewWatch watch; /* may be NULL */
    void *watch_context;
} Cohort;

/* Nights of the whole cohort. */
long sim_cohort_nights(const Cohort *cohort);

/* Plays this shard's nights and writes a table: one row each in the order of their numbers, times in s, truth
   in the units of `evenkeel rehearse`. A patient whom the model cannot play has an empty row that says so.
   ERROR_NOT_ALLOWED when the watch gave up. */
MODEL_CHECKED ErrorCode sim_cohort_play(const Cohort *cohort, FILE *out, Error *error);

/* A table read back. Free with sim_cohort_table_free. */
typedef struct CohortTable {
    char *head;     /* first line */
    int count;      /* rows */
    char **row;     /* [count], as written */
    long *number;   /* [count], of the nights, rising */
    long nights;    /* of the whole cohort */
    char whole[80]; /* what the shards have in common: build and cohort */
} CohortTable;

/* Reads the shards' tables and puts them in order. Refuses what is no such table, tables of different cohorts
   or builds, a night that is there twice, and missing nights (telling how many, and the shards that may be
   missing when all tables come from one division). */
MODEL_CHECKED ErrorCode sim_cohort_merge(const char *const paths[], size_t count, CohortTable *table,
                                         Error *error);

void sim_cohort_write(const CohortTable *table, FILE *out);

/* One line for each case and course: how the nights ended, and the middle and the range of what was measured.
 */
MODEL_CHECKED ErrorCode sim_cohort_summarise(const CohortTable *table, FILE *out, Error *error);

void sim_cohort_table_free(CohortTable *table);

#endif
