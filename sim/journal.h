/* The journal: one night in one SQLite file, written as it happens, so that a night can be resumed after a
   crash, replayed and later debriefed. Everything the journal needs is taken from the session; the caller
   opens it once and calls sim_journal_follow after every step. */
#ifndef SIM_JOURNAL_H
#define SIM_JOURNAL_H

#include "model/error.h"
#include "model/observables.h"
#include "sim/session.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct Journal Journal;

enum { JOURNAL_PATH_MAX = 1024, JOURNAL_TEXT_MAX = 512, JOURNAL_BUILD_MAX = 64, JOURNAL_NAME_MAX = 64 };

/* What a recorded night is, as its first table says. */
typedef struct JournalNight {
    char build[JOURNAL_BUILD_MAX];    /* build that wrote it */
    char case_path[JOURNAL_PATH_MAX]; /* path of the case file as given when the night began */
    char case_id[JOURNAL_TEXT_MAX];
    char case_title[JOURNAL_TEXT_MAX];
    uint64_t case_hash; /* of the case file's text, which is kept in the journal */
    uint64_t seed;
    char maker[16];                 /* "run" or "window" */
    char trainee[JOURNAL_NAME_MAX]; /* who worked it; empty: not said */
    char begun[32];                 /* wall-clock time, ISO 8601 UTC */
    double until_s;                 /* planned end, s since the case began */
    double reached_s;               /* last moment recorded, s since the case began */
    bool ended;                     /* the night was closed properly */
    int64_t entries;                /* of its log: orders, events, messages */
} JournalNight;

/* The folder that nights of the window go to: XDG_DATA_HOME/evenkeel/nights, or
   ~/.local/share/evenkeel/nights. Makes it when missing; ERROR_FILE_WRITE naming the folder if that cannot
   be. */
MODEL_CHECKED ErrorCode sim_journal_folder(char *path, size_t size, Error *error);

/* Path of a new night in that folder, named after the case and the wall-clock time. */
MODEL_CHECKED ErrorCode sim_journal_new_path(const char *case_id, char *path, size_t size, Error *error);

/* How a night was set up, so far as the session itself does not know it. */
typedef struct JournalSetup {
    const SessionOptions *options; /* the session was opened with; NULL: none */
    const char *maker;             /* "run" or "window" */
    const char *trainee;           /* who works it; NULL or empty: not said */
    double until_s;                /* planned end, s since the case began */
    const char *plan;              /* orders still to come, one "TIME ORDER" a line; NULL or empty: none */
} JournalSetup;

/* Starts the journal of `session` at its present moment: what its log holds is written too. Refuses a path
   that exists. Returns NULL and fills `error` on failure. Free with sim_journal_close. */
Journal *sim_journal_create(const char *path, const Session *session, const JournalSetup *setup,
                            Error *error);

/* Writes what is new in `session` since the last call: orders, events and messages at once, an observation
   every 10 s and a complete snapshot every simulated minute. Call after every beat and after every order; it
   is cheap when nothing is due. A full disk or a locked file is returned once as ERROR_FILE_WRITE, to be
   shown; the night may go on: later calls return ERROR_OK, try again now and then, and lose no act that the
   session still holds. */
MODEL_CHECKED ErrorCode sim_journal_follow(Journal *journal, const Session *session, Error *error);

/* Makes all that follow has taken safe on disk. Call when the night is paused. */
MODEL_CHECKED ErrorCode sim_journal_flush(Journal *journal, Error *error);

/* True while the last attempt to write failed: the night is in memory only. */
bool sim_journal_failing(const Journal *journal);

const char *sim_journal_path(const Journal *journal);

/* Goes on in the new file `path`, with everything recorded so far; the old file stays as it is. For a night
   whose file cannot be written any more. On failure the journal goes on as it was. */
MODEL_CHECKED ErrorCode sim_journal_move(Journal *journal, const Session *session, const char *path,
                                         Error *error);

/* Writes a last snapshot, marks the night as ended if `ended`, keeps what came of it (sim/results.h) and
   frees `journal`. Accepts NULL. A night that its file does not take is saved in another place: the error
   then says why and where. A night closed with `ended` false (the window was closed half-way) can be resumed.
 */
MODEL_CHECKED ErrorCode sim_journal_close(Journal *journal, const Session *session, bool ended, Error *error);

/* Reads what a recorded night is without changing it. ERROR_FORMAT for a file that is not a night. */
MODEL_CHECKED ErrorCode sim_journal_read(const char *path, JournalNight *night, Error *error);

/* Goes on with a recorded night: makes its session from the last snapshot, plays the later acts again up to
   the last moment recorded, and opens the journal for writing. Refuses a night of another build naming both
   builds. On success *session is the caller's (free with sim_session_close); on failure it is NULL. */
Journal *sim_journal_resume(const char *path, Session **session, Error *error);

/* Plan that the night was set up with; never NULL, valid until the journal is closed. */
const char *sim_journal_plan(const Journal *journal);

/* Planned end that the night was set up with, s. */
double sim_journal_until_s(const Journal *journal);

/* Orders and other acts recorded so far: those of the plan come first in a night made by "run". */
int64_t sim_journal_order_count(const Journal *journal);

/* Outcome of playing a night again. */
typedef struct JournalReplay {
    int64_t snapshots;        /* compared */
    int64_t differing;        /* of these, with another hash */
    double first_differing_s; /* time of the first that differs; negative if none */
    double reached_s;
} JournalReplay;

/* Plays a recorded night again from its beginning and compares the state hash with every snapshot kept.
   `progress` (nullable) is called with 0..1 now and then. */
MODEL_CHECKED ErrorCode sim_journal_replay(const char *path, void (*progress)(void *context, double done),
                                           void *context, JournalReplay *replay, Error *error);

/* Called for each observation of a recorded night, in order of time. */
typedef void (*JournalObservationVisit)(void *context, const Observables *observables);

/* Walks the observations of a recorded night (truth at the end of each 10 s). */
MODEL_CHECKED ErrorCode sim_journal_each_observation(const char *path, JournalObservationVisit visit,
                                                     void *context, Error *error);

#endif
