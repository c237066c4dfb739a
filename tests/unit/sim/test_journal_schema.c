/* Nights of every schema there has been: read as they are, brought to the newest when they are gone on with.
   A night of an earlier schema is made by writing that schema's own statements and copying a night's rows. */
#include "sim/attempts.h"
#include "sim/journal_store.h"
#include "sim/results.h"
#include "tests/support/check_main.h"
#include "tests/support/recorded_night.h"

#include <sqlite3.h>
#include <unistd.h>

#define NIGHT_COLUMNS                                                                                        \
    "build,maker,begun,case_path,case_id,case_title,case_text,sets,plan,truth_columns,shown_columns,"        \
    "case_hash,seed,until_s,ended"

#define NIGHT_TABLE                                                                                          \
    "CREATE TABLE night("                                                                                    \
    " id INTEGER PRIMARY KEY CHECK(id = 1), build TEXT NOT NULL, maker TEXT NOT NULL, begun TEXT NOT NULL,"  \
    " case_path TEXT NOT NULL, case_id TEXT NOT NULL, case_title TEXT NOT NULL, case_text TEXT NOT NULL,"    \
    " sets TEXT NOT NULL, plan TEXT NOT NULL, truth_columns TEXT NOT NULL, shown_columns TEXT NOT NULL,"     \
    " case_hash INTEGER NOT NULL, seed INTEGER NOT NULL, until_s REAL NOT NULL,"                             \
    " ended INTEGER NOT NULL DEFAULT 0"

#define OTHER_TABLES                                                                                         \
    "CREATE TABLE act("                                                                                      \
    " number INTEGER PRIMARY KEY, time_s REAL NOT NULL, kind INTEGER NOT NULL, sender TEXT NOT NULL,"        \
    " text TEXT NOT NULL) STRICT;"                                                                           \
    "CREATE TABLE observation("                                                                              \
    " number INTEGER PRIMARY KEY, time_s REAL NOT NULL, truth BLOB NOT NULL, shown BLOB NOT NULL) STRICT;"   \
    "CREATE TABLE snapshot("                                                                                 \
    " number INTEGER PRIMARY KEY, time_s REAL NOT NULL, hash INTEGER NOT NULL, log_count INTEGER NOT NULL,"  \
    " state BLOB NOT NULL) STRICT;"

#define COPY_ROWS                                                                                            \
    "INSERT INTO act SELECT number,time_s,kind,sender,text FROM whole.act;"                                  \
    "INSERT INTO observation SELECT number,time_s,truth,shown FROM whole.observation;"                       \
    "INSERT INTO snapshot SELECT number,time_s,hash,log_count,state FROM whole.snapshot;"

/* Statements that make a night of schema i + 1 from the attached one `whole`. */
static const char *const SCHEMAS[] = {
    NIGHT_TABLE ") STRICT;" OTHER_TABLES "INSERT INTO night SELECT 1," NIGHT_COLUMNS
                " FROM whole.night;" COPY_ROWS,
    NIGHT_TABLE ", trainee TEXT NOT NULL DEFAULT '') STRICT;" OTHER_TABLES
                "CREATE INDEX act_of_kind ON act(kind, number);"
                "INSERT INTO night SELECT 1," NIGHT_COLUMNS ",trainee FROM whole.night;" COPY_ROWS,
    NIGHT_TABLE ", trainee TEXT NOT NULL DEFAULT '') STRICT;" OTHER_TABLES
                "CREATE INDEX act_of_kind ON act(kind, number);"
                "CREATE TABLE result(key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;"
                "CREATE TABLE result_line("
                " number INTEGER PRIMARY KEY, kind TEXT NOT NULL, time_s REAL NOT NULL, what TEXT NOT NULL,"
                " why TEXT NOT NULL, got REAL NOT NULL, most REAL NOT NULL) STRICT;"
                "INSERT INTO night SELECT 1," NIGHT_COLUMNS ",trainee FROM whole.night;" COPY_ROWS,
    NIGHT_TABLE
    ", trainee TEXT NOT NULL DEFAULT '') STRICT;" OTHER_TABLES
    "CREATE INDEX act_of_kind ON act(kind, number);"
    "CREATE TABLE result(key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;"
    "CREATE TABLE result_line("
    " number INTEGER PRIMARY KEY, kind TEXT NOT NULL, time_s REAL NOT NULL, what TEXT NOT NULL,"
    " why TEXT NOT NULL, got REAL NOT NULL, most REAL NOT NULL) STRICT;"
    "CREATE TABLE taken_act("
    " take INTEGER NOT NULL, number INTEGER NOT NULL, time_s REAL NOT NULL, kind INTEGER NOT NULL,"
    " sender TEXT NOT NULL, text TEXT NOT NULL, PRIMARY KEY(take, number)) STRICT, WITHOUT ROWID;"
    "CREATE TABLE taken_observation("
    " take INTEGER NOT NULL, number INTEGER NOT NULL, time_s REAL NOT NULL, truth BLOB NOT NULL,"
    " shown BLOB NOT NULL, PRIMARY KEY(take, number)) STRICT;"
    "CREATE TABLE taken_snapshot("
    " take INTEGER NOT NULL, number INTEGER NOT NULL, time_s REAL NOT NULL, hash INTEGER NOT NULL,"
    " log_count INTEGER NOT NULL, state BLOB NOT NULL, PRIMARY KEY(take, number)) STRICT;"
    "INSERT INTO night SELECT 1," NIGHT_COLUMNS ",trainee FROM whole.night;" COPY_ROWS,
};

enum { SCHEMA_COUNT = sizeof SCHEMAS / sizeof SCHEMAS[0], TEXT_MAX = 8192 };

static char folder[64], whole[128], path[128];
static Error error;

static void execute(sqlite3 *db, const char *sql) {
    char *message = NULL;
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &message) == SQLITE_OK, "%s in %.200s", message, sql);
}

static void record(void) {
    strcpy(folder, "/tmp/evenkeel_schema_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(whole, sizeof whole, "%s/whole.night", folder);
    snprintf(path, sizeof path, "%s/old.night", folder);
    recorded_night_make(folder, "whole.night", "Robin", 700);
}

static void forget(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

/* Makes path a night of `schema`, 1 first. */
static void make_old(int schema) {
    sqlite3 *db = NULL;
    char sql[TEXT_MAX];
    unlink(path);
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    snprintf(sql, sizeof sql, "PRAGMA application_id=%d; PRAGMA user_version=%d; ATTACH '%s' AS whole",
             0x45564b4c, schema, whole);
    execute(db, sql);
    execute(db, SCHEMAS[schema - 1]);
    sqlite3_close(db);
}

/* Version, tables and indices of a file with their columns, however they came about. */
static void describe(const char *file, char text[TEXT_MAX]) {
    static const char SQL[] =
        "SELECT group_concat(t, char(10)) FROM (SELECT m.type || ' ' || m.name || ' ' || coalesce((SELECT "
        "group_concat(c.name || ' ' || c.type || ' ' || c.\"notnull\" || ' ' || coalesce(c.dflt_value,'-') "
        "|| ' ' "
        "|| c.pk, ', ') FROM pragma_table_info(m.name) c),'') AS t FROM sqlite_master m ORDER BY m.name)";
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    ck_assert_int_eq(sqlite3_open(file, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(db, SQL, -1, &statement, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    int used = snprintf(text, TEXT_MAX, "%s\n", (const char *)sqlite3_column_text(statement, 0));
    sqlite3_finalize(statement);
    ck_assert_int_eq(sqlite3_prepare_v2(db, "PRAGMA user_version", -1, &statement, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    snprintf(text + used, (size_t)(TEXT_MAX - used), "version %d", sqlite3_column_int(statement, 0));
    sqlite3_finalize(statement);
    sqlite3_close(db);
}

START_TEST(every_schema_there_has_been_is_tested) {
    ck_assert_int_eq(SCHEMA_COUNT, JOURNAL_STORE_SCHEMA);
}
END_TEST

START_TEST(every_schema_is_read_as_it_is) {
    int schema = _i + 1;
    char before[TEXT_MAX], after[TEXT_MAX];
    make_old(schema);
    describe(path, before);
    JournalNight night;
    ck_assert_msg(sim_journal_read(path, &night, &error) == ERROR_OK, "%s", error.what);
    ck_assert_str_eq(night.case_id, "recorded-night");
    ck_assert_str_eq(night.trainee, schema >= JOURNAL_SCHEMA_TRAINEE ? "Robin" : "");
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_int_ge(replay.snapshots, 10);
    Results *results = calloc(1, sizeof *results);
    ck_assert_msg(sim_results_read(path, results, &error) == ERROR_OK, "%s", error.what);
    ck_assert_double_eq_tol(results->call_s, 600, 2);
    free(results);
    Attempts *attempts = calloc(1, sizeof *attempts);
    ck_assert_int_eq(sim_attempts_read(folder, attempts, &error), ERROR_OK);
    ck_assert_int_eq(attempts->count, 2);
    ck_assert_int_eq(attempts->skipped, 0);
    free(attempts);
    describe(path, after);
    ck_assert_str_eq(before, after);
}
END_TEST

START_TEST(every_schema_is_brought_to_the_newest_when_gone_on_with) {
    char newest[TEXT_MAX], brought[TEXT_MAX];
    make_old(_i + 1);
    Session *session = NULL;
    Journal *journal = sim_journal_resume(path, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    while (!sim_session_ended(session)) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
    describe(whole, newest);
    describe(path, brought);
    ck_assert_str_eq(brought, newest);
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_double_eq_tol(replay.reached_s, 900, 2);
}
END_TEST

/* A migration that cannot be carried through leaves the file at the schema it had. */
START_TEST(a_migration_is_whole_or_not_at_all) {
    char before[TEXT_MAX], after[TEXT_MAX];
    make_old(1);
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    execute(db, "CREATE TABLE result(stranger TEXT)"); /* stands in the way of the step from 2 to 3 */
    sqlite3_close(db);
    describe(path, before);
    Session *session = NULL;
    ck_assert_ptr_null(sim_journal_resume(path, &session, &error));
    ck_assert_ptr_null(session);
    ck_assert_str_eq(error.where, path);
    describe(path, after);
    ck_assert_str_eq(before, after);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/journal_schema");
    TCase *c = tcase_create("journal_schema");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, record, forget);
    tcase_add_test(c, every_schema_there_has_been_is_tested);
    tcase_add_loop_test(c, every_schema_is_read_as_it_is, 0, SCHEMA_COUNT);
    tcase_add_loop_test(c, every_schema_is_brought_to_the_newest_when_gone_on_with, 0, SCHEMA_COUNT);
    tcase_add_test(c, a_migration_is_whole_or_not_at_all);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
