/* Earlier nights: which cases were worked, when, how long and how they went, from the folder of recorded
   nights. Quick enough for a list of cases: a night is not opened for more than a few of its rows. */
#ifndef SIM_ATTEMPTS_H
#define SIM_ATTEMPTS_H

#include "sim/case.h"
#include "sim/journal.h"

enum { ATTEMPTS_MAX = 1000, ATTEMPT_FILE_MAX = 160, ATTEMPT_BEGUN_MAX = 32 };

typedef struct Attempt {
    char file[ATTEMPT_FILE_MAX];   /* in Attempts.folder */
    char begun[ATTEMPT_BEGUN_MAX]; /* wall-clock time, ISO 8601 UTC */
    char trainee[JOURNAL_NAME_MAX];
    char case_id[JOURNAL_NAME_MAX];
    char case_title[CASE_LINE_MAX];
    char build[JOURNAL_BUILD_MAX]; /* that wrote it */
    uint64_t case_hash;            /* of the case's text then */
    uint64_t seed;
    double reached_s, until_s; /* how far it was played, and was to be */
    bool complete;             /* closed as ended; otherwise it can be gone on with */
    bool this_build;           /* can be resumed and replayed by this program */
    bool outcome_known;        /* the case came to an end of its own */
    CaseOutcome outcome;
    bool called;      /* at least one working diagnosis */
    DiagnosisId call; /* the last one */
    int confidence_percent;
} Attempt;

/* Large: allocate it. */
typedef struct Attempts {
    char folder[JOURNAL_PATH_MAX];
    int count;
    Attempt item[ATTEMPTS_MAX]; /* newest first */
    int skipped;                /* files that are no whole nights, or that this build cannot read */
    int older;                  /* files not looked at because there are more than ATTEMPTS_MAX */
} Attempts;

/* Reads the nights (files that end in .night) of `folder`; NULL: the folder of the window's nights. A folder
   that does not exist has none. Nothing is changed. ERROR_FILE_READ when a folder cannot be listed. */
MODEL_CHECKED ErrorCode sim_attempts_read(const char *folder, Attempts *attempts, Error *error);

/* The next night of a case from index `from` on (0 first, then the last result + 1), the newest first; NULL:
   of any case. Returns its index, or -1 if there is none. */
int sim_attempts_next(const Attempts *attempts, const char *case_id, int from);

/* Nights of a case. */
int sim_attempts_count(const Attempts *attempts, const char *case_id);

#endif
