/* The tables of one recorded night in SQLite. The only file that knows SQLite; what is written when, and how
   a night is resumed from it, is in journal.c. */
#ifndef SIM_JOURNAL_STORE_H
#define SIM_JOURNAL_STORE_H

#include "model/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct JournalStore JournalStore;

enum {
    JOURNAL_STORE_SCHEMA = 4,
    JOURNAL_SCHEMA_TRAINEE = 2, /* first schema with a trainee and an index of kinds */
    JOURNAL_SCHEMA_RESULTS = 3, /* first schema with results */
    JOURNAL_SCHEMA_TAKEN = 4    /* first schema that can take back */
};

/* Row of table night. Texts are the reader's: valid until the store is closed. */
typedef struct JournalNightRow {
    const char *build, *maker, *begun;
    const char *trainee; /* who worked it; empty: not said */
    const char *case_path, *case_id, *case_title, *case_text;
    const char *sets; /* parameters changed when the session was opened, KEY=VALUE lines */
    const char *plan; /* orders to come, TIME ORDER lines */
    const char *truth_columns,
        *shown_columns; /* names of the doubles in an observation, with commas between */
    uint64_t case_hash, seed;
    double until_s;
    bool ended;
} JournalNightRow;

/* Row of table act: an entry of the night's log. */
typedef struct JournalActRow {
    int64_t number;
    double time_s;
    int kind;           /* enum LogKind */
    const char *sender; /* who speaks; id of the event or objective */
    const char *text;
} JournalActRow;

/* Row of table observation: doubles as the columns in night say. A value that is not on show is NaN. */
typedef struct JournalObservationRow {
    double time_s;
    const void *truth, *shown; /* doubles, perhaps not aligned: copy them out */
    size_t truth_count, shown_count;
} JournalObservationRow;

/* Row of table snapshot: the complete state of the session. */
typedef struct JournalSnapshotRow {
    double time_s;
    uint64_t hash;     /* sim_session_hash at that moment */
    int64_t log_count; /* acts before it */
    const void *state;
    size_t state_size;
} JournalSnapshotRow;

/* Makes a new night at `path`; refuses one that exists. NULL and `error` on failure. */
JournalStore *sim_journal_store_create(const char *path, const JournalNightRow *night, Error *error);

/* Opens a night of this or an earlier schema; NULL and `error` when it is missing, no night, or of a later
   schema. */
JournalStore *sim_journal_store_open(const char *path, bool writable, Error *error);

/* Accepts NULL. */
void sim_journal_store_close(JournalStore *store);

const JournalNightRow *sim_journal_store_night(const JournalStore *store);

/* Schema that the file has, 1 to JOURNAL_STORE_SCHEMA. */
int sim_journal_store_schema(const JournalStore *store);

/* Makes a file that was opened for writing ready for it: until then nothing in it is changed. What is
   committed from now on survives a power cut, and a file of an earlier schema is brought to this one, as a
   whole or not at all. */
MODEL_CHECKED ErrorCode sim_journal_store_migrate(JournalStore *store, Error *error);

/* What is put between begin and commit is written as a whole or not at all. After a failure call rollback. */
MODEL_CHECKED ErrorCode sim_journal_store_begin(JournalStore *store, Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_commit(JournalStore *store, Error *error);
void sim_journal_store_rollback(JournalStore *store);
MODEL_CHECKED ErrorCode sim_journal_store_put_act(JournalStore *store, const JournalActRow *row,
                                                  Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_put_observation(JournalStore *store,
                                                          const JournalObservationRow *row, Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_put_snapshot(JournalStore *store, const JournalSnapshotRow *row,
                                                       Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_put_ended(JournalStore *store, bool ended, Error *error);

/* Walks a table in order of time; stops at the first visit that does not return ERROR_OK and returns that.
   A row is valid during its visit only. */
typedef ErrorCode (*JournalActVisit)(void *context, const JournalActRow *row, Error *error);
typedef ErrorCode (*JournalObservationRowVisit)(void *context, const JournalObservationRow *row,
                                                Error *error);
typedef ErrorCode (*JournalSnapshotVisit)(void *context, const JournalSnapshotRow *row, Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_each_act(JournalStore *store, int64_t first_number,
                                                   JournalActVisit visit, void *context, Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_each_observation(JournalStore *store,
                                                           JournalObservationRowVisit visit, void *context,
                                                           Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_each_snapshot(JournalStore *store, JournalSnapshotVisit visit,
                                                        void *context, Error *error);

/* Visits the newest snapshot at or before time_s (s), or the first one when all are later; ERROR_FORMAT when
   there is none. */
MODEL_CHECKED ErrorCode sim_journal_store_snapshot_at(JournalStore *store, double time_s,
                                                      JournalSnapshotVisit visit, void *context,
                                                      Error *error);

/* Visits the last snapshot only; ERROR_FORMAT when there is none. */
MODEL_CHECKED ErrorCode sim_journal_store_last_snapshot(JournalStore *store, JournalSnapshotVisit visit,
                                                        void *context, Error *error);

/* What a list of nights needs to know of one. Texts are copies, cut to fit. */
typedef struct JournalStoreBrief {
    char build[64], maker[16], begun[32], trainee[64], case_id[64], case_title[128];
    uint64_t case_hash, seed;
    double until_s, reached_s;
    bool ended;
    char outcome[16];    /* word of the outcome; empty: the case has not ended */
    char last_call[640]; /* words of the last call; empty: none */
} JournalStoreBrief;

/* Reads the brief of a night without changing the file or reading what is large in it. ERROR_FORMAT for what
   is no night, a damaged one included. `end_kind`, `call_kind`: numbers of the log's kinds. */
MODEL_CHECKED ErrorCode sim_journal_store_brief(const char *path, int end_kind, int call_kind,
                                                JournalStoreBrief *brief, Error *error);

/* Row of table result: one thing that came of the night. */
typedef struct JournalResultRow {
    const char *key, *value;
} JournalResultRow;

/* Row of table result_line: one of many of a kind. */
typedef struct JournalResultLineRow {
    const char *kind, *what, *why;
    double time_s, got, most;
} JournalResultLineRow;

typedef ErrorCode (*JournalResultVisit)(void *context, const JournalResultRow *row, Error *error);
typedef ErrorCode (*JournalResultLineVisit)(void *context, const JournalResultLineRow *row, Error *error);

/* Puts results in the place of those that are there, as a whole or not at all. */
MODEL_CHECKED ErrorCode sim_journal_store_put_results(JournalStore *store, const JournalResultRow *rows,
                                                      size_t row_count, const JournalResultLineRow *lines,
                                                      size_t line_count, Error *error);

/* Walks the results; none in a file of an earlier schema. */
MODEL_CHECKED ErrorCode sim_journal_store_each_result(JournalStore *store, JournalResultVisit visit,
                                                      void *context, Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_each_result_line(JournalStore *store, JournalResultLineVisit visit,
                                                           void *context, Error *error);

/* Moves what was recorded after log_count entries of the log, or later than to_s (s), to where it is kept as
   taken back. Between begin and commit. *take is its number. */
MODEL_CHECKED ErrorCode sim_journal_store_take(JournalStore *store, int64_t log_count, double to_s,
                                               int64_t *take, Error *error);

/* Puts an act that was taken back before it was written. */
MODEL_CHECKED ErrorCode sim_journal_store_put_taken(JournalStore *store, int64_t take,
                                                    const JournalActRow *row, Error *error);

/* Walks the acts that were taken back, in the order of takes; nothing in a file of an earlier schema. */
typedef ErrorCode (*JournalTakenVisit)(void *context, int64_t take, const JournalActRow *row, Error *error);
MODEL_CHECKED ErrorCode sim_journal_store_each_taken(JournalStore *store, JournalTakenVisit visit,
                                                     void *context, Error *error);

/* Writes a whole copy of the night at `path` as the new file `copy`: also of one that is being written or was
   left by a crash. What is at `path` is not changed. */
MODEL_CHECKED ErrorCode sim_journal_store_copy(const char *path, const char *copy, Error *error);

/* Number of acts, and the latest time of any act, observation or snapshot (s). */
MODEL_CHECKED ErrorCode sim_journal_store_extent(JournalStore *store, int64_t *acts, double *reached_s,
                                                 Error *error);

#endif
