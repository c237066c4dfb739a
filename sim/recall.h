/* A recorded night in memory: its case, what was said and done, and what was observed, for looking back on it
   and for trying what would have happened otherwise. Reads the file, never writes it. */
#ifndef SIM_RECALL_H
#define SIM_RECALL_H

#include "sim/journal.h"
#include "sim/session.h"

enum { RECALL_DAMAGE_MAX = 200 };

typedef struct RecallPoint {
    double time_s;
    Observables truth;           /* NaN: the build that recorded it did not know it */
    double shown[DISPLAY_COUNT]; /* NaN: not on show */
} RecallPoint;

typedef struct Recall {
    char path[JOURNAL_PATH_MAX];
    JournalNight night;
    char damage[RECALL_DAMAGE_MAX]; /* what could not be read, and how far the rest goes; empty: the night is
                                       whole */
    bool same_build; /* false: what follows the log and the observations is empty, and nothing can be played
                        again */
    Case *case_file;
    SessionOptions options;
    int64_t entry_count;
    LogEntry *entry; /* the whole log, in order */
    int64_t taken_count;
    LogEntry *taken;     /* what was taken back, take by take; not in `entry` */
    int64_t point_count; /* one per 10 s */
    RecallPoint *point;
    CallsState calls;
    PredictionsState predictions; /* of the last state kept */
    ScriptState script;           /* the same */
    ScoreState score;             /* the same */
} Recall;

/* Reads the night at `path`. Of a damaged one what can be read (see Recall.damage). NULL and `error` when it
   is missing, when its first table is damaged, or when this build cannot read its case. Free with
   sim_recall_free. */
Recall *sim_recall_open(const char *path, Error *error);

/* Accepts NULL. */
void sim_recall_free(Recall *recall);

/* Reads the newest kept state at or before time_s (the first one when all are later) into *state;
   ERROR_FORMAT when there is none or the build was another. */
MODEL_CHECKED ErrorCode sim_recall_state(const char *path, double time_s, SessionState *state, Error *error);

#endif
