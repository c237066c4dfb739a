/* The tables of a recorded night as text, and the steps from one schema to the next. */
#include "sim/journal_schema.h"

#include "sim/journal_store.h"

/* What was taken back: rows of the tables of the same names, moved here. */
#define SCHEMA_TAKEN                                                                                         \
    "CREATE TABLE taken_act("                                                                                \
    " take INTEGER NOT NULL, number INTEGER NOT NULL, time_s REAL NOT NULL, kind INTEGER NOT NULL,"          \
    " sender TEXT NOT NULL, text TEXT NOT NULL, PRIMARY KEY(take, number)) STRICT, WITHOUT ROWID;"           \
    "CREATE TABLE taken_observation("                                                                        \
    " take INTEGER NOT NULL, number INTEGER NOT NULL, time_s REAL NOT NULL, truth BLOB NOT NULL,"            \
    " shown BLOB NOT NULL, PRIMARY KEY(take, number)) STRICT;"                                               \
    "CREATE TABLE taken_snapshot("                                                                           \
    " take INTEGER NOT NULL, number INTEGER NOT NULL, time_s REAL NOT NULL, hash INTEGER NOT NULL,"          \
    " log_count INTEGER NOT NULL, state BLOB NOT NULL, PRIMARY KEY(take, number)) STRICT;"

static const char SCHEMA[] =
    "CREATE TABLE night("
    " id INTEGER PRIMARY KEY CHECK(id = 1), build TEXT NOT NULL, maker TEXT NOT NULL, begun TEXT NOT NULL,"
    " case_path TEXT NOT NULL, case_id TEXT NOT NULL, case_title TEXT NOT NULL, case_text TEXT NOT NULL,"
    " sets TEXT NOT NULL, plan TEXT NOT NULL, truth_columns TEXT NOT NULL, shown_columns TEXT NOT NULL,"
    " case_hash INTEGER NOT NULL, seed INTEGER NOT NULL, until_s REAL NOT NULL,"
    " ended INTEGER NOT NULL DEFAULT 0, trainee TEXT NOT NULL DEFAULT '') STRICT;"
    "CREATE TABLE act("
    " number INTEGER PRIMARY KEY, time_s REAL NOT NULL, kind INTEGER NOT NULL, sender TEXT NOT NULL,"
    " text TEXT NOT NULL) STRICT;"
    "CREATE TABLE observation("
    " number INTEGER PRIMARY KEY, time_s REAL NOT NULL, truth BLOB NOT NULL, shown BLOB NOT NULL) STRICT;"
    "CREATE TABLE snapshot("
    " number INTEGER PRIMARY KEY, time_s REAL NOT NULL, hash INTEGER NOT NULL, log_count INTEGER NOT NULL,"
    " state BLOB NOT NULL) STRICT;"
    "CREATE INDEX act_of_kind ON act(kind, number);"
    "CREATE TABLE result(key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;"
    "CREATE TABLE result_line("
    " number INTEGER PRIMARY KEY, kind TEXT NOT NULL, time_s REAL NOT NULL, what TEXT NOT NULL,"
    " why TEXT NOT NULL, got REAL NOT NULL, most REAL NOT NULL) STRICT;" SCHEMA_TAKEN;

/* Steps from each schema to the next: element v brings v + 1 to v + 2. */
static const char *const STEPS[JOURNAL_STORE_SCHEMA - 1] = {
    "ALTER TABLE night ADD COLUMN trainee TEXT NOT NULL DEFAULT '';"
    "CREATE INDEX act_of_kind ON act(kind, number);",
    "CREATE TABLE result(key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;"
    "CREATE TABLE result_line("
    " number INTEGER PRIMARY KEY, kind TEXT NOT NULL, time_s REAL NOT NULL, what TEXT NOT NULL,"
    " why TEXT NOT NULL, got REAL NOT NULL, most REAL NOT NULL) STRICT;",
    SCHEMA_TAKEN,
};

const char *sim_journal_schema(void) {
    return SCHEMA;
}

const char *sim_journal_schema_step(int schema) {
    return STEPS[schema - 1];
}
