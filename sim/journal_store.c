/* The tables of one recorded night in SQLite. */
#include "sim/journal_store.h"

#include "sim/journal_schema.h"
#include "sim/journal_sql.h"

#include <sqlite3.h>

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LONGEST_S 1e9 /* later than any night */

enum {
    SCHEMA_VERSION = JOURNAL_STORE_SCHEMA,
    APPLICATION_ID = 0x45564b4c, /* "EVKL": tells a night from other SQLite files */
    BUSY_MS = 250,               /* patience with a locked file; the night must not stand still for it */
    NIGHT_TEXTS = 12,
    PATH_SHOWN_MAX = 200,
    VALUE_BYTES_MAX = 64 << 20, /* longest text or state that is read */
    SQL_MAX = 640,
    LOCK_AT = 0x60000000 /* beyond SQLite's own locks at 0x40000000 */
};

static const double NIGHT_LONGEST_S = 8.0 * 24.0 * 3600.0; /* the longest that may be asked for is a week */

struct JournalStore {
    sqlite3 *db;
    int lock; /* file that is locked as long as the night is written; -1: none */
    sqlite3_stmt *put_act, *put_observation, *put_snapshot;
    char path[PATH_SHOWN_MAX];
    bool writable, durable;
    int schema; /* of the file */
    JournalNightRow night;
    char *texts[NIGHT_TEXTS]; /* copies behind the night row */
};

/* Turns SQLite's last result into an error that names the night. */
static ErrorCode refuse(const JournalStore *store, int result, Error *error) {
    int kind = result & 0xff;
    bool foreign = kind == SQLITE_NOTADB || kind == SQLITE_CORRUPT || kind == SQLITE_ERROR;
    ErrorCode code = foreign ? ERROR_FORMAT : store->writable ? ERROR_FILE_WRITE : ERROR_FILE_READ;
    if (foreign)
        model_error_set(error, code, "this is not a whole recorded night: %s", sqlite3_errstr(kind));
    else
        model_error_set(error, code, "cannot %s the night: %s", store->writable ? "write" : "read",
                        sqlite3_errstr(kind));
    model_error_at(error, store->path, 0, 0);
    if (foreign)
        model_error_allow(error, "a file made by run --save or by the window");
    else if (kind == SQLITE_FULL)
        model_error_allow(error, "make room on the disk; the night goes on in memory meanwhile");
    else if (kind == SQLITE_BUSY || kind == SQLITE_LOCKED)
        model_error_allow(error, "close the other program that uses the file");
    else
        model_error_allow(error, "a file in a folder that exists and may be written to");
    return code;
}

static ErrorCode execute(JournalStore *store, const char *sql, Error *error) {
    int result = sqlite3_exec(store->db, sql, NULL, NULL, NULL);
    return result == SQLITE_OK ? ERROR_OK : refuse(store, result, error);
}

static ErrorCode prepare(JournalStore *store, const char *sql, sqlite3_stmt **statement, Error *error) {
    int result = sqlite3_prepare_v2(store->db, sql, -1, statement, NULL);
    return result == SQLITE_OK ? ERROR_OK : refuse(store, result, error);
}

/* Runs a prepared statement that returns no rows, and makes it ready for the next time. */
static ErrorCode step_once(JournalStore *store, sqlite3_stmt *statement, Error *error) {
    int result = sqlite3_step(statement);
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    return result == SQLITE_DONE ? ERROR_OK : refuse(store, result, error);
}

/* One whole number from a pragma or a count. */
static ErrorCode read_whole(JournalStore *store, const char *sql, int64_t *value, Error *error) {
    sqlite3_stmt *statement = NULL;
    ErrorCode code = prepare(store, sql, &statement, error);
    if (code != ERROR_OK) return code;
    int result = sqlite3_step(statement);
    if (result == SQLITE_ROW) *value = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    return result == SQLITE_ROW ? ERROR_OK : refuse(store, result, error);
}

/* Opens the database; a name like ":memory:" or "file:a" is a file's name and nothing else. */
static int open_database(const char *path, int flags, sqlite3 **db) {
    size_t size = strlen(path) + 3;
    char *plain = malloc(size);
    if (plain == NULL) return SQLITE_NOMEM;
    snprintf(plain, size, "%s%s", path[0] == '/' ? "" : "./", path);
    int result = sqlite3_open_v2(plain, db, flags, NULL);
    free(plain);
    return result;
}

static JournalStore *open_file(const char *path, int flags, Error *error) {
    JournalStore *store = calloc(1, sizeof *store);
    if (store == NULL) {
        model_error_set(error, ERROR_MEMORY, "no memory for the journal");
        return NULL;
    }
    snprintf(store->path, sizeof store->path, "%s", path);
    store->lock = -1;
    store->writable = (flags & SQLITE_OPEN_READWRITE) != 0;
    int result = open_database(path, flags, &store->db);
    if (result != SQLITE_OK) {
        refuse(store, result, error);
        sim_journal_store_close(store);
        return NULL;
    }
    sqlite3_busy_timeout(store->db, BUSY_MS);
    /* files come from anywhere: nothing in them is run, nothing in them is believed to be sound */
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_ENABLE_VIEW, 0, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL); /* until it may be written */
    sqlite3_limit(store->db, SQLITE_LIMIT_LENGTH, VALUE_BYTES_MAX);
    sqlite3_extended_result_codes(store->db, 0);
    return store;
}

/* Makes this program the only one that writes the night; others may read it. The lock is on a byte that
   SQLite does not use, and goes with the program, however that ends. */
static ErrorCode lock_for_writing(JournalStore *store, const char *path, Error *error) {
    struct flock lock = {.l_type = F_WRLCK, .l_whence = SEEK_SET, .l_start = LOCK_AT, .l_len = 1};
    store->lock = open(path, O_RDWR);
    if (store->lock == -1) return refuse(store, SQLITE_READONLY, error);
    if (fcntl(store->lock, F_SETLK, &lock) == 0) return ERROR_OK;
    if (errno != EACCES && errno != EAGAIN) return ERROR_OK; /* a file system without locks */
    ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "another program is writing this night");
    model_error_at(error, store->path, 0, 0);
    model_error_allow(error, "one program at a time; close the other");
    return code;
}

/* WAL with a full sync at each commit: what is committed survives a power cut. */
static ErrorCode make_durable(JournalStore *store, Error *error) {
    store->durable = true;
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 0, NULL);
    return execute(store, "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;", error);
}

static ErrorCode prepare_writing(JournalStore *store, Error *error) {
    ErrorCode code = prepare(store, "INSERT INTO act VALUES(?1,?2,?3,?4,?5)", &store->put_act, error);
    if (code == ERROR_OK)
        code =
            prepare(store, "INSERT INTO observation VALUES(NULL,?1,?2,?3)", &store->put_observation, error);
    if (code == ERROR_OK)
        code = prepare(store, "INSERT INTO snapshot VALUES(NULL,?1,?2,?3,?4)", &store->put_snapshot, error);
    return code;
}

static ErrorCode put_night(JournalStore *store, const JournalNightRow *night, Error *error) {
    sqlite3_stmt *statement = NULL;
    ErrorCode code =
        prepare(store, "INSERT INTO night VALUES(1,?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?13,?14,?15,0,?12)",
                &statement, error);
    if (code != ERROR_OK) return code;
    const char *texts[] = {night->build,   night->maker,         night->begun,         night->case_path,
                           night->case_id, night->case_title,    night->case_text,     night->sets,
                           night->plan,    night->truth_columns, night->shown_columns, night->trainee};
    for (int i = 0; i < NIGHT_TEXTS; i++)
        sqlite3_bind_text(statement, i + 1, texts[i], -1, SQLITE_STATIC);
    sqlite3_bind_int64(statement, 13, (int64_t)night->case_hash);
    sqlite3_bind_int64(statement, 14, (int64_t)night->seed);
    sqlite3_bind_double(statement, 15, night->until_s);
    code = step_once(store, statement, error);
    sqlite3_finalize(statement);
    return code;
}

static char *copy_column(sqlite3_stmt *statement, int column) {
    const char *text = (const char *)sqlite3_column_text(statement, column);
    size_t length = text != NULL ? strlen(text) : 0;
    char *copy = malloc(length + 1);
    if (copy != NULL) {
        if (length > 0) memcpy(copy, text, length);
        copy[length] = '\0';
    }
    return copy;
}

static ErrorCode get_night(JournalStore *store, Error *error) {
    sqlite3_stmt *statement = NULL;
    char sql[SQL_MAX];
    snprintf(sql, sizeof sql,
             "SELECT build,maker,begun,case_path,case_id,case_title,case_text,sets,plan,"
             "truth_columns,shown_columns,%s,case_hash,seed,until_s,ended FROM night WHERE id=1",
             store->schema >= JOURNAL_SCHEMA_TRAINEE ? "trainee" : "''");
    ErrorCode code = prepare(store, sql, &statement, error);
    if (code != ERROR_OK) return code;
    int result = sqlite3_step(statement);
    if (result != SQLITE_ROW) {
        sqlite3_finalize(statement);
        return refuse(store, result == SQLITE_DONE ? SQLITE_CORRUPT : result, error);
    }
    for (int i = 0; i < NIGHT_TEXTS; i++) {
        store->texts[i] = copy_column(statement, i);
        if (store->texts[i] == NULL) code = model_error_set(error, ERROR_MEMORY, "no memory for the journal");
    }
    store->night = (JournalNightRow){.build = store->texts[0],
                                     .maker = store->texts[1],
                                     .begun = store->texts[2],
                                     .case_path = store->texts[3],
                                     .case_id = store->texts[4],
                                     .case_title = store->texts[5],
                                     .case_text = store->texts[6],
                                     .sets = store->texts[7],
                                     .plan = store->texts[8],
                                     .truth_columns = store->texts[9],
                                     .shown_columns = store->texts[10],
                                     .trainee = store->texts[11],
                                     .case_hash = (uint64_t)sqlite3_column_int64(statement, 12),
                                     .seed = (uint64_t)sqlite3_column_int64(statement, 13),
                                     .until_s = sqlite3_column_double(statement, 14),
                                     .ended = sqlite3_column_int(statement, 15) != 0};
    sqlite3_finalize(statement);
    return code;
}

JournalStore *sim_journal_store_create(const char *path, const JournalNightRow *night, Error *error) {
    if (access(path, F_OK) == 0) {
        model_error_set(error, ERROR_FILE_WRITE, "the file exists and is not overwritten");
        model_error_at(error, path, 0, 0);
        model_error_allow(error, "the name of a new file");
        return NULL;
    }
    JournalStore *store = open_file(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, error);
    if (store == NULL) return NULL;
    char identity[96];
    snprintf(identity, sizeof identity, "PRAGMA application_id=%d; PRAGMA user_version=%d;", APPLICATION_ID,
             SCHEMA_VERSION);
    ErrorCode code = make_durable(store, error);
    if (code == ERROR_OK) code = lock_for_writing(store, path, error);
    if (code == ERROR_OK) code = execute(store, "BEGIN", error);
    if (code == ERROR_OK) code = execute(store, identity, error);
    if (code == ERROR_OK) code = execute(store, sim_journal_schema(), error);
    if (code == ERROR_OK) code = put_night(store, night, error);
    if (code == ERROR_OK) code = execute(store, "COMMIT", error);
    store->schema = SCHEMA_VERSION;
    if (code == ERROR_OK) code = get_night(store, error);
    if (code == ERROR_OK) code = prepare_writing(store, error);
    if (code != ERROR_OK) {
        sim_journal_store_close(store);
        unlink(path);
        return NULL;
    }
    return store;
}

/* Refuses what is no night, and nights of a schema this build does not know. */
static ErrorCode check_identity(JournalStore *store, Error *error) {
    int64_t application = 0, version = 0;
    ErrorCode code = read_whole(store, "PRAGMA application_id", &application, error);
    if (code == ERROR_OK) code = read_whole(store, "PRAGMA user_version", &version, error);
    if (code != ERROR_OK) return code;
    if (application != APPLICATION_ID) return refuse(store, SQLITE_NOTADB, error);
    if (version < 1 || version > SCHEMA_VERSION) {
        code = model_error_set(error, ERROR_FORMAT, "the night has schema version %lld", (long long)version);
        model_error_at(error, store->path, 0, 0);
        model_error_allow(error, "version 1 to %d", SCHEMA_VERSION);
    }
    store->schema = (int)version;
    return code;
}

JournalStore *sim_journal_store_open(const char *path, bool writable, Error *error) {
    struct stat status;
    bool is_folder = stat(path, &status) == 0 && S_ISDIR(status.st_mode);
    if (is_folder || access(path, R_OK) != 0) {
        model_error_set(error, ERROR_FILE_READ, "cannot read the night: %s",
                        is_folder ? "it is a folder" : strerror(errno));
        model_error_at(error, path, 0, 0);
        model_error_allow(error, "a file made by run --save or by the window");
        return NULL;
    }
    JournalStore *store = open_file(path, writable ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY, error);
    if (store == NULL) return NULL;
    ErrorCode code = check_identity(store, error);
    if (code == ERROR_OK && writable) code = lock_for_writing(store, path, error);
    if (code == ERROR_OK) code = get_night(store, error);
    if (code == ERROR_OK && writable) code = prepare_writing(store, error);
    if (code != ERROR_OK) {
        sim_journal_store_close(store);
        return NULL;
    }
    return store;
}

void sim_journal_store_close(JournalStore *store) {
    if (store == NULL) return;
    sqlite3_finalize(store->put_act);
    sqlite3_finalize(store->put_observation);
    sqlite3_finalize(store->put_snapshot);
    /* one plain file, which can be copied and read where nothing may be written; left as it is when in use */
    if (store->lock != -1 && store->durable)
        sqlite3_exec(store->db, "PRAGMA journal_mode=DELETE", NULL, NULL, NULL);
    sqlite3_close(store->db);
    if (store->lock != -1) close(store->lock); /* last: closing lets go of all locks on the file */
    for (int i = 0; i < NIGHT_TEXTS; i++)
        free(store->texts[i]);
    free(store);
}

const JournalNightRow *sim_journal_store_night(const JournalStore *store) {
    return &store->night;
}

int sim_journal_store_schema(const JournalStore *store) {
    return store->schema;
}

ErrorCode sim_journal_store_migrate(JournalStore *store, Error *error) {
    ErrorCode durable = make_durable(store, error);
    if (durable != ERROR_OK || store->schema == SCHEMA_VERSION) return durable;
    char version[SQL_MAX];
    snprintf(version, sizeof version, "PRAGMA user_version=%d", SCHEMA_VERSION);
    ErrorCode code = execute(store, "BEGIN IMMEDIATE", error);
    for (int schema = store->schema; code == ERROR_OK && schema < SCHEMA_VERSION; schema++)
        code = execute(store, sim_journal_schema_step(schema), error);
    if (code == ERROR_OK) code = execute(store, version, error);
    if (code == ERROR_OK) code = execute(store, "COMMIT", error);
    if (code == ERROR_OK)
        store->schema = SCHEMA_VERSION;
    else
        sim_journal_store_rollback(store);
    return code;
}

ErrorCode sim_journal_store_begin(JournalStore *store, Error *error) {
    return execute(store, "BEGIN IMMEDIATE", error);
}

ErrorCode sim_journal_store_commit(JournalStore *store, Error *error) {
    return execute(store, "COMMIT", error);
}

void sim_journal_store_rollback(JournalStore *store) {
    if (sqlite3_get_autocommit(store->db) == 0) sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
}

ErrorCode sim_journal_store_put_act(JournalStore *store, const JournalActRow *row, Error *error) {
    sqlite3_bind_int64(store->put_act, 1, row->number);
    sqlite3_bind_double(store->put_act, 2, row->time_s);
    sqlite3_bind_int(store->put_act, 3, row->kind);
    sqlite3_bind_text(store->put_act, 4, row->sender, -1, SQLITE_STATIC);
    sqlite3_bind_text(store->put_act, 5, row->text, -1, SQLITE_STATIC);
    return step_once(store, store->put_act, error);
}

ErrorCode sim_journal_store_put_observation(JournalStore *store, const JournalObservationRow *row,
                                            Error *error) {
    sqlite3_bind_double(store->put_observation, 1, row->time_s);
    sqlite3_bind_blob(store->put_observation, 2, row->truth, (int)(row->truth_count * sizeof(double)),
                      SQLITE_STATIC);
    sqlite3_bind_blob(store->put_observation, 3, row->shown, (int)(row->shown_count * sizeof(double)),
                      SQLITE_STATIC);
    return step_once(store, store->put_observation, error);
}

ErrorCode sim_journal_store_put_snapshot(JournalStore *store, const JournalSnapshotRow *row, Error *error) {
    sqlite3_bind_double(store->put_snapshot, 1, row->time_s);
    sqlite3_bind_int64(store->put_snapshot, 2, (int64_t)row->hash);
    sqlite3_bind_int64(store->put_snapshot, 3, row->log_count);
    sqlite3_bind_blob(store->put_snapshot, 4, row->state, (int)row->state_size, SQLITE_STATIC);
    return step_once(store, store->put_snapshot, error);
}

ErrorCode sim_journal_store_put_ended(JournalStore *store, bool ended, Error *error) {
    ErrorCode code = execute(store, ended ? "UPDATE night SET ended=1" : "UPDATE night SET ended=0", error);
    if (code == ERROR_OK) store->night.ended = ended;
    return code;
}

static const char *text_or_empty(sqlite3_stmt *statement, int column) {
    const char *text = (const char *)sqlite3_column_text(statement, column);
    return text != NULL ? text : "";
}

JournalStore *sim_journal_sql_peek(const char *path, Error *error) {
    JournalStore *store = open_file(path, SQLITE_OPEN_READONLY, error);
    if (store == NULL || check_identity(store, error) == ERROR_OK) return store;
    sim_journal_store_close(store);
    return NULL;
}

ErrorCode sim_journal_store_copy(const char *path, const char *copy, Error *error) {
    JournalStore *from = sim_journal_sql_peek(path, error);
    if (from == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    JournalStore *to = open_file(copy, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, error);
    ErrorCode code = to != NULL ? ERROR_OK : error != NULL ? error->code : ERROR_FILE_WRITE;
    if (code == ERROR_OK) {
        sqlite3_backup *backup = sqlite3_backup_init(to->db, "main", from->db, "main");
        int result = backup != NULL ? sqlite3_backup_step(backup, -1) : sqlite3_errcode(to->db);
        sqlite3_backup_finish(backup);
        if (result != SQLITE_DONE) code = refuse(to, result, error);
    }
    if (code == ERROR_OK) code = execute(to, "PRAGMA journal_mode=DELETE", error); /* one plain file */
    sim_journal_store_close(to);
    sim_journal_store_close(from);
    if (code != ERROR_OK) unlink(copy);
    return code;
}

/* ---- statements for the files that do not know SQLite ---- */

struct JournalSql {
    JournalStore *store;
    sqlite3_stmt *statement;
    int result;
};

ErrorCode sim_journal_sql_open(JournalStore *store, const char *sql, JournalSql **query, Error *error) {
    *query = calloc(1, sizeof **query);
    if (*query == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the journal");
    (*query)->store = store;
    ErrorCode code = prepare(store, sql, &(*query)->statement, error);
    if (code == ERROR_OK) return code;
    free(*query);
    *query = NULL;
    return code;
}

void sim_journal_sql_text(JournalSql *query, int at, const char *text) {
    sqlite3_bind_text(query->statement, at, text, -1, SQLITE_TRANSIENT);
}

void sim_journal_sql_number(JournalSql *query, int at, double number) {
    sqlite3_bind_double(query->statement, at, number);
}

bool sim_journal_sql_row(JournalSql *query) {
    if (query->result != SQLITE_DONE) query->result = sqlite3_step(query->statement);
    return query->result == SQLITE_ROW;
}

const char *sim_journal_sql_get_text(JournalSql *query, int column) {
    return text_or_empty(query->statement, column);
}

double sim_journal_sql_get_number(JournalSql *query, int column) {
    return sqlite3_column_double(query->statement, column);
}

int64_t sim_journal_sql_get_whole(JournalSql *query, int column) {
    return sqlite3_column_int64(query->statement, column);
}

ErrorCode sim_journal_sql_close(JournalSql *query, ErrorCode code, Error *error) {
    if (query == NULL) return code;
    int result = query->result;
    if (code == ERROR_OK && result != SQLITE_DONE && result != SQLITE_ROW && result != SQLITE_OK)
        code = refuse(query->store, result, error);
    sqlite3_finalize(query->statement);
    free(query);
    return code;
}

ErrorCode sim_journal_sql_execute(JournalStore *store, const char *sql, Error *error) {
    return execute(store, sql, error);
}

/* Refuses a row at a moment that no night can have: only damage puts it there. */
static ErrorCode check_moment(const JournalStore *store, double time_s, Error *error) {
    if (time_s >= 0.0 && time_s <= NIGHT_LONGEST_S) return ERROR_OK;
    ErrorCode code =
        model_error_set(error, ERROR_FORMAT, "this is not a whole recorded night: its times are damaged");
    model_error_at(error, store->path, 0, 0);
    return code;
}

ErrorCode sim_journal_store_each_act(JournalStore *store, int64_t first_number, JournalActVisit visit,
                                     void *context, Error *error) {
    sqlite3_stmt *statement = NULL;
    ErrorCode code =
        prepare(store, "SELECT number,time_s,kind,sender,text FROM act WHERE number>=?1 ORDER BY number",
                &statement, error);
    if (code != ERROR_OK) return code;
    sqlite3_bind_int64(statement, 1, first_number);
    int result = SQLITE_DONE;
    while (code == ERROR_OK && (result = sqlite3_step(statement)) == SQLITE_ROW) {
        JournalActRow row = {.number = sqlite3_column_int64(statement, 0),
                             .time_s = sqlite3_column_double(statement, 1),
                             .kind = sqlite3_column_int(statement, 2),
                             .sender = text_or_empty(statement, 3),
                             .text = text_or_empty(statement, 4)};
        code = check_moment(store, row.time_s, error);
        if (code == ERROR_OK) code = visit(context, &row, error);
    }
    sqlite3_finalize(statement);
    if (code == ERROR_OK && result != SQLITE_DONE) code = refuse(store, result, error);
    return code;
}

ErrorCode sim_journal_store_each_observation(JournalStore *store, JournalObservationRowVisit visit,
                                             void *context, Error *error) {
    sqlite3_stmt *statement = NULL;
    ErrorCode code =
        prepare(store, "SELECT time_s,truth,shown FROM observation ORDER BY number", &statement, error);
    if (code != ERROR_OK) return code;
    int result = SQLITE_DONE;
    while (code == ERROR_OK && (result = sqlite3_step(statement)) == SQLITE_ROW) {
        JournalObservationRow row = {
            .time_s = sqlite3_column_double(statement, 0),
            .truth = sqlite3_column_blob(statement, 1),
            .shown = sqlite3_column_blob(statement, 2),
            .truth_count = (size_t)sqlite3_column_bytes(statement, 1) / sizeof(double),
            .shown_count = (size_t)sqlite3_column_bytes(statement, 2) / sizeof(double)};
        code = check_moment(store, row.time_s, error);
        if (code == ERROR_OK) code = visit(context, &row, error);
    }
    sqlite3_finalize(statement);
    if (code == ERROR_OK && result != SQLITE_DONE) code = refuse(store, result, error);
    return code;
}

/* Visits the snapshots that `sql` selects; *seen counts them. */
static ErrorCode visit_snapshots(JournalStore *store, const char *sql, JournalSnapshotVisit visit,
                                 void *context, int64_t *seen, Error *error) {
    sqlite3_stmt *statement = NULL;
    ErrorCode code = prepare(store, sql, &statement, error);
    if (code != ERROR_OK) return code;
    int result = SQLITE_DONE;
    while (code == ERROR_OK && (result = sqlite3_step(statement)) == SQLITE_ROW) {
        JournalSnapshotRow row = {.time_s = sqlite3_column_double(statement, 0),
                                  .hash = (uint64_t)sqlite3_column_int64(statement, 1),
                                  .log_count = sqlite3_column_int64(statement, 2),
                                  .state = sqlite3_column_blob(statement, 3),
                                  .state_size = (size_t)sqlite3_column_bytes(statement, 3)};
        *seen += 1;
        code = check_moment(store, row.time_s, error);
        if (code == ERROR_OK) code = visit(context, &row, error);
    }
    sqlite3_finalize(statement);
    if (code == ERROR_OK && result != SQLITE_DONE) code = refuse(store, result, error);
    return code;
}

ErrorCode sim_journal_store_each_snapshot(JournalStore *store, JournalSnapshotVisit visit, void *context,
                                          Error *error) {
    int64_t seen = 0;
    return visit_snapshots(store, "SELECT time_s,hash,log_count,state FROM snapshot ORDER BY number", visit,
                           context, &seen, error);
}

/* Nothing was seen where there has to be something. */
static ErrorCode no_snapshot(const JournalStore *store, Error *error) {
    ErrorCode code = model_error_set(error, ERROR_FORMAT, "the night holds no state to go on from");
    model_error_at(error, store->path, 0, 0);
    return code;
}

ErrorCode sim_journal_store_snapshot_at(JournalStore *store, double time_s, JournalSnapshotVisit visit,
                                        void *context, Error *error) {
    char sql[200];
    int64_t seen = 0;
    snprintf(
        sql, sizeof sql,
        "SELECT time_s,hash,log_count,state FROM snapshot WHERE time_s<=%.17g ORDER BY number DESC LIMIT 1",
        fmin(fmax(time_s, -1.0), LONGEST_S));
    ErrorCode code = visit_snapshots(store, sql, visit, context, &seen, error);
    if (code == ERROR_OK && seen == 0)
        code =
            visit_snapshots(store, "SELECT time_s,hash,log_count,state FROM snapshot ORDER BY number LIMIT 1",
                            visit, context, &seen, error);
    return code == ERROR_OK && seen == 0 ? no_snapshot(store, error) : code;
}

ErrorCode sim_journal_store_last_snapshot(JournalStore *store, JournalSnapshotVisit visit, void *context,
                                          Error *error) {
    int64_t seen = 0;
    ErrorCode code = visit_snapshots(
        store, "SELECT time_s,hash,log_count,state FROM snapshot ORDER BY number DESC LIMIT 1", visit,
        context, &seen, error);
    return code == ERROR_OK && seen == 0 ? no_snapshot(store, error) : code;
}

ErrorCode sim_journal_store_extent(JournalStore *store, int64_t *acts, double *reached_s, Error *error) {
    sqlite3_stmt *statement = NULL;
    ErrorCode code = prepare(store,
                             "SELECT (SELECT coalesce(max(number)+1,0) FROM act), max("
                             "(SELECT coalesce(max(time_s),0) FROM act),"
                             "(SELECT coalesce(max(time_s),0) FROM observation),"
                             "(SELECT coalesce(max(time_s),0) FROM snapshot))",
                             &statement, error);
    if (code != ERROR_OK) return code;
    int result = sqlite3_step(statement);
    if (result == SQLITE_ROW) {
        *acts = sqlite3_column_int64(statement, 0);
        *reached_s = sqlite3_column_double(statement, 1);
    }
    sqlite3_finalize(statement);
    return result == SQLITE_ROW ? ERROR_OK : refuse(store, result, error);
}
