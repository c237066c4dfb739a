/* The logbook: what came of all nights in a folder, per trainee, case and theme, over time; how confidence
   agrees with being right; and what to practise next. Reads the nights' kept results and plays nothing. */
#ifndef SIM_LOGBOOK_H
#define SIM_LOGBOOK_H

#include "sim/attempts.h"
#include "sim/calibration.h"
#include "sim/casefolder.h"
#include "sim/results.h"

enum {
    LOGBOOK_NEXT_MAX = 3,
    LOGBOOK_GROUPS_MAX = 100,
    LOGBOOK_PAIRS_MAX = 20,
    LOGBOOK_DATE_MAX = 11,
    LOGBOOK_REASON_MAX = 200
};

/* Which nights are wanted; empty: all. */
typedef struct LogbookFilter {
    const char *trainee; /* NULL: all; "": nights without a name */
    const char *case_id; /* NULL: all */
    const char *since;   /* "2026-11-25" or a beginning of it; NULL: all */
} LogbookFilter;

/* A night as a line of the logbook. */
typedef struct LogbookNight {
    Attempt attempt;
    char case_title[CASE_LINE_MAX], theme[CASE_LINE_MAX];
    int level;
    char outcome[RESULTS_WORD_MAX]; /* empty: the case did not come to its end */
    double got, most;               /* points; most 0: nothing to score */
    double onset_s, sign_s, call_s; /* negative: did not happen */
    double recognition_s;           /* onset of the trouble to the first right call; negative: none */
    double answer_s;
    double brier;     /* of its predictions; NaN: none */
    double in_target; /* share of minutes inside targets, over all targets; NaN: no targets */
    int objectives, objectives_met;
    int first_call, call_count; /* in Logbook.call */
} LogbookNight;

/* A working diagnosis that was called, against the truth of its moment. */
typedef struct LogbookCall {
    int night;
    double time_s;
    DiagnosisId called, truth; /* called: DIAGNOSIS_COUNT when only a kind was called */
    int right;                 /* 2 the diagnosis, 1 its kind, 0 neither */
    int confidence_percent;
} LogbookCall;

/* A prediction's part. */
typedef struct LogbookPrediction {
    int night;
    double chance_frac;
    bool hit;
} LogbookPrediction;

typedef struct Logbook {
    char folder[JOURNAL_PATH_MAX];
    int night_count; /* oldest first */
    LogbookNight *night;
    int call_count;
    LogbookCall *call;
    int prediction_count;
    LogbookPrediction *prediction;
    int skipped;    /* files that are no whole nights */
    int unmeasured; /* nights in the list whose results could neither be read nor made */
} Logbook;

/* Reads the nights of `folder` (NULL: the folder of the window's nights) that `filter` (NULL: all) wants.
   NULL and `error` when the folder cannot be listed. Free with sim_logbook_free. */
Logbook *sim_logbook_open(const char *folder, const LogbookFilter *filter, Error *error);

/* Accepts NULL. */
void sim_logbook_free(Logbook *logbook);

/* Full path of a night's file. */
void sim_logbook_path(const Logbook *logbook, int night, char *path, size_t size);

/* True when a night counts in averages: its case came to an end and there is a score. */
bool sim_logbook_counts(const LogbookNight *night);

/* Score as a share of what could be had, 0 to 1; NaN without a score. */
double sim_logbook_score(const LogbookNight *night);

typedef enum LogbookBy { LOGBOOK_BY_CASE, LOGBOOK_BY_THEME, LOGBOOK_BY_TRAINEE } LogbookBy;

/* Nights with the same case, theme or trainee. */
typedef struct LogbookGroup {
    char key[CASE_LINE_MAX], title[CASE_LINE_MAX];
    int nights, counted;
    double first_score, last_score, mean_score; /* of those that count; NaN: none */
    double first_recognition_s, last_recognition_s;
    double best_recognition_s; /* negative: never recognised */
    int trouble, recognised;   /* nights with trouble; of these, with a right call */
    char last_begun[ATTEMPT_BEGUN_MAX];
} LogbookGroup;

/* Groups in order of their keys; returns how many. */
int sim_logbook_groups(const Logbook *logbook, LogbookBy by, LogbookGroup group[LOGBOOK_GROUPS_MAX]);

/* Calls with their confidence. A call is right when it is the diagnosis or passes
   for it. ERROR_MEMORY only. */
MODEL_CHECKED ErrorCode sim_logbook_calibrate_calls(const Logbook *logbook, Calibration *calibration,
                                                    Error *error);

/* The same for predictions. */
MODEL_CHECKED ErrorCode sim_logbook_calibrate_predictions(const Logbook *logbook, Calibration *calibration,
                                                          Error *error);

/* What was true and what was called in its place. */
typedef struct LogbookPair {
    DiagnosisId truth, called;
    int times;
} LogbookPair;

/* Wrong calls, the most frequent first; returns how many. */
int sim_logbook_confused(const Logbook *logbook, LogbookPair pair[LOGBOOK_PAIRS_MAX]);

/* A case that can be practised. */
typedef struct LogbookCase {
    char id[CASE_ID_MAX], title[CASE_LINE_MAX], theme[CASE_LINE_MAX];
    int level;
    int truth_count;
    DiagnosisId truth[CASE_ALSO_MAX * 2]; /* what is wrong in it at some time */
} LogbookCase;

typedef struct LogbookNext {
    int index; /* in the list of cases */
    char why[LOGBOOK_REASON_MAX];
} LogbookNext;

/* Reads the cases of the folder of cases that can be read; returns how many, none when there is no folder. */
int sim_logbook_cases(LogbookCase item[CASEFOLDER_FILES_MAX]);

/* What to practise next, by a plain rule, at most one case for each reason and no case twice:
   1. the case in which the truth that was missed most often (wrong calls, at least two) occurs, the one
   played longest ago first;
   2. of the theme with the lowest mean score (under 80 %) the case with the lowest last score;
   3. of cases never played the one of the lowest level, else the case played longest ago.
   Returns how many there are. */
int sim_logbook_next(const Logbook *logbook, const LogbookCase *item, int count,
                     LogbookNext next[LOGBOOK_NEXT_MAX]);

#endif
