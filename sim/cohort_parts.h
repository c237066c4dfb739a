/* What the files of the cohort share. Internal to sim/cohort*.c. */
#ifndef SIM_COHORT_PARTS_H
#define SIM_COHORT_PARTS_H

/* First columns of a row; the facts of a rehearsal follow. */
enum {
    COHORT_NIGHT,
    COHORT_NIGHTS,
    COHORT_BUILD,
    COHORT_COHORT,
    COHORT_CASE,
    COHORT_COURSE,
    COHORT_RANK,
    COHORT_PATIENT,
    COHORT_OUTCOME,
    COHORT_COLUMNS,
    COHORT_HEX = 16 /* digits of the cohort's fingerprint in a row */
};

#endif
