/* What the files of the journal share. Internal to sim/journal*.c. */
#ifndef SIM_JOURNAL_PARTS_H
#define SIM_JOURNAL_PARTS_H

#include "sim/journal.h"
#include "sim/journal_store.h"

#define JOURNAL_OBSERVATION_EVERY_S 10.0
#define JOURNAL_SNAPSHOT_EVERY_S    60.0

enum {
    JOURNAL_PENDING_MAX =
        8640, /* observations kept while nothing can be written: a day; memory is used as they come */
    JOURNAL_SET_MAX = 96 /* text of one changed parameter, KEY=VALUE */
};

/* An observation that waits to be written. */
typedef struct JournalPending {
    double time_s;
    double truth[OBSERVABLE_COUNT];
    double shown[DISPLAY_COUNT];
} JournalPending;

struct Journal {
    JournalStore *store;
    char path[JOURNAL_PATH_MAX];
    int64_t log_written; /* entries of the session's log in the file */
    int64_t order_count; /* of these, and of what was taken back: acts that a plan can have said */
    int64_t takes_noticed, takes_written; /* times that the session took back, see sim_session_takes */
    double next_observation_s, next_snapshot_s;
    double last_write_wall_s, last_try_wall_s;
    bool failing;
    int pending_count;
    JournalPending pending[JOURNAL_PENDING_MAX];
    SessionState state; /* scratch for snapshots */
};

/* An empty journal for `path`; NULL and `error` when memory is short or the path too long. */
Journal *sim_journal_new(const char *path, Error *error);

/* Writes all that is due, with a snapshot. */
MODEL_CHECKED ErrorCode sim_journal_write(Journal *journal, const Session *session, Error *error);

/* Goes on in another place that takes the night: the folder of nights, the home, the folder for temporary
   files. The old file stays as it is. */
MODEL_CHECKED ErrorCode sim_journal_rescue(Journal *journal, const Session *session, Error *error);

/* Takes in that the session has gone back: what is due next, and what waits no more. */
void sim_journal_notice_takes(Journal *journal, const Session *session);

/* Moves what was taken back, inside a transaction; *log_written is cut to what stays, *orders counts acts
   that had not been written. */
MODEL_CHECKED ErrorCode sim_journal_put_takes(Journal *journal, const Session *session, int64_t *log_written,
                                              int64_t *orders, Error *error);

/* First multiple of every_s after time_s. */
double sim_journal_next_s(double time_s, double every_s);

/* Refuses a night of another build, naming both. */
MODEL_CHECKED ErrorCode sim_journal_check_build(const char *path, const JournalNightRow *night, Error *error);

/* The case of a recorded night and how its session was opened. The caller frees the case with sim_case_free.
 */
MODEL_CHECKED ErrorCode sim_journal_read_case(const char *path, const JournalNightRow *night,
                                              Case **case_file, SessionOptions *options, Error *error);

#endif
