/* What came of a recorded night, kept in its file when it is closed, so that a list of nights can be read
   without playing them again, whatever build made them. Everything comes from the debrief. */
#ifndef SIM_RESULTS_H
#define SIM_RESULTS_H

#include "sim/debrief.h"

enum { RESULTS_LINES_MAX = 400, RESULTS_WHAT_MAX = 240, RESULTS_WHY_MAX = 240, RESULTS_WORD_MAX = 16 };

/* What a line is about, and what its numbers are. Words, not numbers, stand in the file. */
typedef enum ResultKind {
    RESULT_SCORE, /* a row of the score: what, why, points got and most */
    RESULT_CALL,  /* what: diagnosis called; why: what was true; got: 2 right, 1 its kind, 0 neither; most:
                     confidence, percent */
    RESULT_PREDICTION, /* what: quantity; why: "up, seen same"; got: 1 right, 0 not; most: chance it was
                          given, percent */
    RESULT_OBJECTIVE,  /* what: its text; why: its id; got: 1 met, 0 not; time_s: when, negative: never */
    RESULT_TARGET,     /* what: key of the quantity; got: minutes inside its target; most: minutes on show */
    RESULT_KIND_COUNT
} ResultKind;

typedef struct ResultLine {
    ResultKind kind;
    double time_s; /* of the night; negative: of no moment */
    double got, most;
    char what[RESULTS_WHAT_MAX], why[RESULTS_WHY_MAX];
} ResultLine;

/* Large: allocate it. Times in s since the case began; negative: did not happen. */
typedef struct Results {
    char theme[CASE_LINE_MAX];
    int level;
    char outcome[RESULTS_WORD_MAX]; /* word of the outcome; empty: the case did not come to its end */
    double reached_s;
    double got, most;                                   /* points of the score; most 0: nothing to score */
    double trouble_s, sign_s, look_s, call_s, answer_s; /* see DebriefChain */
    double brier;                                       /* of the predictions; NaN: none */
    int line_count;
    ResultLine line[RESULTS_LINES_MAX];
} Results;

/* Word of a kind in the file; "score", "call", ... */
const char *sim_results_kind_word(ResultKind kind);

/* Fills *results from a debrief. */
void sim_results_make(const Debrief *debrief, Results *results);

/* Makes the results of the night at `path` and keeps them in it, in the place of earlier ones. */
MODEL_CHECKED ErrorCode sim_results_keep(const char *path, Error *error);

/* Reads the results of the night at `path`: those that are kept, or, where there are none or the night has
   gone on since, those of a debrief made for it. Changes nothing. */
MODEL_CHECKED ErrorCode sim_results_read(const char *path, Results *results, Error *error);

#endif
