/* Tables of a recorded night that lists and the logbook read: its brief, and what came of it. */
#include "sim/journal_sql.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SQL_MAX = 800 };

/* ---- the brief ---- */

/* Everything in one statement: the time goes into preparing, not into reading. */
static ErrorCode read_brief(JournalStore *store, int end_kind, int call_kind, JournalStoreBrief *brief,
                            Error *error) {
    JournalSql *query = NULL;
    char sql[SQL_MAX];
    snprintf(sql, sizeof sql,
             "SELECT build,maker,begun,case_id,case_title,%s,case_hash,seed,until_s,ended,"
             "(SELECT time_s FROM act ORDER BY number DESC LIMIT 1),"
             "(SELECT time_s FROM observation ORDER BY number DESC LIMIT 1),"
             "(SELECT time_s FROM snapshot ORDER BY number DESC LIMIT 1),"
             "(SELECT sender FROM act WHERE kind=%d ORDER BY number DESC LIMIT 1),"
             "(SELECT text FROM act WHERE kind=%d ORDER BY number DESC LIMIT 1) FROM night WHERE id=1",
             sim_journal_store_schema(store) >= JOURNAL_SCHEMA_TRAINEE ? "trainee" : "''", end_kind,
             call_kind);
    ErrorCode code = sim_journal_sql_open(store, sql, &query, error);
    if (code != ERROR_OK) return code;
    bool found = sim_journal_sql_row(query);
    if (found) {
        snprintf(brief->build, sizeof brief->build, "%s", sim_journal_sql_get_text(query, 0));
        snprintf(brief->maker, sizeof brief->maker, "%s", sim_journal_sql_get_text(query, 1));
        snprintf(brief->begun, sizeof brief->begun, "%s", sim_journal_sql_get_text(query, 2));
        snprintf(brief->case_id, sizeof brief->case_id, "%s", sim_journal_sql_get_text(query, 3));
        snprintf(brief->case_title, sizeof brief->case_title, "%s", sim_journal_sql_get_text(query, 4));
        snprintf(brief->trainee, sizeof brief->trainee, "%s", sim_journal_sql_get_text(query, 5));
        brief->case_hash = (uint64_t)sim_journal_sql_get_whole(query, 6);
        brief->seed = (uint64_t)sim_journal_sql_get_whole(query, 7);
        brief->until_s = sim_journal_sql_get_number(query, 8);
        brief->ended = sim_journal_sql_get_whole(query, 9) != 0;
        for (int column = 10; column <= 12; column++)
            brief->reached_s = fmax(brief->reached_s, sim_journal_sql_get_number(query, column));
        snprintf(brief->outcome, sizeof brief->outcome, "%s", sim_journal_sql_get_text(query, 13));
        snprintf(brief->last_call, sizeof brief->last_call, "%s", sim_journal_sql_get_text(query, 14));
    }
    code = sim_journal_sql_close(query, ERROR_OK, error);
    if (code == ERROR_OK && !found)
        code =
            model_error_set(error, ERROR_FORMAT, "this is not a whole recorded night: it has no first row");
    return code;
}

ErrorCode sim_journal_store_brief(const char *path, int end_kind, int call_kind, JournalStoreBrief *brief,
                                  Error *error) {
    memset(brief, 0, sizeof *brief);
    JournalStore *store = sim_journal_sql_peek(path, error);
    if (store == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    ErrorCode code = read_brief(store, end_kind, call_kind, brief, error);
    sim_journal_store_close(store);
    return code;
}

/* ---- results ---- */

static ErrorCode put_row(JournalStore *store, const JournalResultRow *row, Error *error) {
    JournalSql *query = NULL;
    ErrorCode code = sim_journal_sql_open(store, "INSERT INTO result VALUES(?1,?2)", &query, error);
    if (code != ERROR_OK) return code;
    sim_journal_sql_text(query, 1, row->key);
    sim_journal_sql_text(query, 2, row->value);
    (void)sim_journal_sql_row(query);
    return sim_journal_sql_close(query, ERROR_OK, error);
}

static ErrorCode put_line(JournalStore *store, const JournalResultLineRow *row, Error *error) {
    JournalSql *query = NULL;
    ErrorCode code =
        sim_journal_sql_open(store, "INSERT INTO result_line VALUES(NULL,?1,?2,?3,?4,?5,?6)", &query, error);
    if (code != ERROR_OK) return code;
    sim_journal_sql_text(query, 1, row->kind);
    sim_journal_sql_number(query, 2, row->time_s);
    sim_journal_sql_text(query, 3, row->what);
    sim_journal_sql_text(query, 4, row->why);
    sim_journal_sql_number(query, 5, row->got);
    sim_journal_sql_number(query, 6, row->most);
    (void)sim_journal_sql_row(query);
    return sim_journal_sql_close(query, ERROR_OK, error);
}

ErrorCode sim_journal_store_put_results(JournalStore *store, const JournalResultRow *rows, size_t row_count,
                                        const JournalResultLineRow *lines, size_t line_count, Error *error) {
    ErrorCode code = sim_journal_store_begin(store, error);
    if (code == ERROR_OK)
        code = sim_journal_sql_execute(store, "DELETE FROM result; DELETE FROM result_line", error);
    for (size_t i = 0; i < row_count && code == ERROR_OK; i++)
        code = put_row(store, &rows[i], error);
    for (size_t i = 0; i < line_count && code == ERROR_OK; i++)
        code = put_line(store, &lines[i], error);
    if (code == ERROR_OK) code = sim_journal_store_commit(store, error);
    if (code != ERROR_OK) sim_journal_store_rollback(store);
    return code;
}

ErrorCode sim_journal_store_each_result(JournalStore *store, JournalResultVisit visit, void *context,
                                        Error *error) {
    JournalSql *query = NULL;
    if (sim_journal_store_schema(store) < JOURNAL_SCHEMA_RESULTS) return ERROR_OK;
    ErrorCode code = sim_journal_sql_open(store, "SELECT key,value FROM result ORDER BY key", &query, error);
    while (code == ERROR_OK && sim_journal_sql_row(query)) {
        JournalResultRow row = {.key = sim_journal_sql_get_text(query, 0),
                                .value = sim_journal_sql_get_text(query, 1)};
        code = visit(context, &row, error);
    }
    return sim_journal_sql_close(query, code, error);
}

ErrorCode sim_journal_store_each_result_line(JournalStore *store, JournalResultLineVisit visit, void *context,
                                             Error *error) {
    JournalSql *query = NULL;
    if (sim_journal_store_schema(store) < JOURNAL_SCHEMA_RESULTS) return ERROR_OK;
    ErrorCode code = sim_journal_sql_open(
        store, "SELECT kind,time_s,what,why,got,most FROM result_line ORDER BY number", &query, error);
    while (code == ERROR_OK && sim_journal_sql_row(query)) {
        JournalResultLineRow row = {.kind = sim_journal_sql_get_text(query, 0),
                                    .time_s = sim_journal_sql_get_number(query, 1),
                                    .what = sim_journal_sql_get_text(query, 2),
                                    .why = sim_journal_sql_get_text(query, 3),
                                    .got = sim_journal_sql_get_number(query, 4),
                                    .most = sim_journal_sql_get_number(query, 5)};
        code = visit(context, &row, error);
    }
    return sim_journal_sql_close(query, code, error);
}
