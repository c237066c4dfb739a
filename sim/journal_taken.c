/* What was taken back of a recorded night: moved out of its course, never deleted. */
#include "sim/journal_parts.h"
#include "sim/journal_sql.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>

enum { SQL_MAX = 320 };

static const double HALF_TICK_S = BEAT_TICK_S / 2.0;

static ErrorCode run(JournalStore *store, Error *error, const char *sql, int64_t take, int64_t log_count,
                     double later_s) {
    JournalSql *query = NULL;
    ErrorCode code = sim_journal_sql_open(store, sql, &query, error);
    if (code != ERROR_OK) return code;
    if (take > 0) sim_journal_sql_number(query, 1, (double)take);
    sim_journal_sql_number(query, 2, (double)log_count);
    sim_journal_sql_number(query, 3, later_s);
    (void)sim_journal_sql_row(query);
    return sim_journal_sql_close(query, code, error);
}

static ErrorCode next_take(JournalStore *store, int64_t *take, Error *error) {
    JournalSql *query = NULL;
    ErrorCode code = sim_journal_sql_open(store,
                                          "SELECT 1 + max((SELECT coalesce(max(take),0) FROM taken_act),"
                                          "(SELECT coalesce(max(take),0) FROM taken_observation),"
                                          "(SELECT coalesce(max(take),0) FROM taken_snapshot))",
                                          &query, error);
    if (code != ERROR_OK) return code;
    *take = sim_journal_sql_row(query) ? sim_journal_sql_get_whole(query, 0) : 1;
    return sim_journal_sql_close(query, code, error);
}

ErrorCode sim_journal_store_take(JournalStore *store, int64_t log_count, double to_s, int64_t *take,
                                 Error *error) {
    /* columns of a table, and which of its rows */
    static const char *const TABLES[][3] = {
        {"act", "number,time_s,kind,sender,text", "number>=?2 AND ?3 IS NOT NULL"},
        {"observation", "number,time_s,truth,shown", "time_s>?3 AND ?2 IS NOT NULL"},
        {"snapshot", "number,time_s,hash,log_count,state", "(time_s>?3 OR log_count>?2)"},
    };
    double later_s = to_s + HALF_TICK_S;
    ErrorCode code = next_take(store, take, error);
    for (size_t i = 0; code == ERROR_OK && i < sizeof TABLES / sizeof TABLES[0]; i++) {
        char sql[SQL_MAX];
        snprintf(sql, sizeof sql, "INSERT INTO taken_%s(take,%s) SELECT ?1,%s FROM %s WHERE %s", TABLES[i][0],
                 TABLES[i][1], TABLES[i][1], TABLES[i][0], TABLES[i][2]);
        code = run(store, error, sql, *take, log_count, later_s);
        snprintf(sql, sizeof sql, "DELETE FROM %s WHERE %s", TABLES[i][0], TABLES[i][2]);
        if (code == ERROR_OK) code = run(store, error, sql, 0, log_count, later_s);
    }
    return code;
}

ErrorCode sim_journal_store_put_taken(JournalStore *store, int64_t take, const JournalActRow *row,
                                      Error *error) {
    JournalSql *query = NULL;
    ErrorCode code =
        sim_journal_sql_open(store, "INSERT INTO taken_act VALUES(?1,?2,?3,?4,?5,?6)", &query, error);
    if (code != ERROR_OK) return code;
    sim_journal_sql_number(query, 1, (double)take);
    sim_journal_sql_number(query, 2, (double)row->number);
    sim_journal_sql_number(query, 3, row->time_s);
    sim_journal_sql_number(query, 4, row->kind);
    sim_journal_sql_text(query, 5, row->sender);
    sim_journal_sql_text(query, 6, row->text);
    (void)sim_journal_sql_row(query);
    return sim_journal_sql_close(query, code, error);
}

ErrorCode sim_journal_store_each_taken(JournalStore *store, JournalTakenVisit visit, void *context,
                                       Error *error) {
    JournalSql *query = NULL;
    if (sim_journal_store_schema(store) < JOURNAL_SCHEMA_TAKEN) return ERROR_OK;
    ErrorCode code = sim_journal_sql_open(
        store, "SELECT take,number,time_s,kind,sender,text FROM taken_act ORDER BY take,number", &query,
        error);
    while (code == ERROR_OK && sim_journal_sql_row(query)) {
        JournalActRow row = {.number = sim_journal_sql_get_whole(query, 1),
                             .time_s = sim_journal_sql_get_number(query, 2),
                             .kind = (int)sim_journal_sql_get_whole(query, 3),
                             .sender = sim_journal_sql_get_text(query, 4),
                             .text = sim_journal_sql_get_text(query, 5)};
        code = visit(context, sim_journal_sql_get_whole(query, 0), &row, error);
    }
    return sim_journal_sql_close(query, code, error);
}

/* ---- the journal's part ---- */

/* The earliest that the takes not yet written went to. */
static SessionTake earliest(const Journal *journal, const Session *session) {
    SessionTake first = sim_session_take(session, sim_session_takes(session));
    for (int64_t number = journal->takes_written + 1; number < sim_session_takes(session); number++) {
        SessionTake take = sim_session_take(session, number);
        if (take.log_count < first.log_count) first.log_count = take.log_count;
        if (take.to_s < first.to_s) first.to_s = take.to_s;
    }
    return first;
}

void sim_journal_notice_takes(Journal *journal, const Session *session) {
    if (sim_session_takes(session) == journal->takes_noticed) return;
    SessionTake take = earliest(journal, session);
    journal->takes_noticed = sim_session_takes(session);
    journal->next_observation_s = sim_journal_next_s(take.to_s, JOURNAL_OBSERVATION_EVERY_S);
    journal->next_snapshot_s = sim_journal_next_s(take.to_s, JOURNAL_SNAPSHOT_EVERY_S);
    if (!journal->failing) return;
    /* what waits to be written of the course that was left is not of the night's any more */
    int left = 0;
    for (int i = 0; i < journal->pending_count; i++) {
        if (journal->pending[i].time_s <= take.to_s + HALF_TICK_S)
            journal->pending[left++] = journal->pending[i];
    }
    journal->pending_count = left;
}

ErrorCode sim_journal_put_takes(Journal *journal, const Session *session, int64_t *log_written,
                                int64_t *orders, Error *error) {
    int64_t takes = sim_session_takes(session), number;
    if (takes == journal->takes_written) return ERROR_OK;
    SessionTake take = earliest(journal, session);
    ErrorCode code = sim_journal_store_take(journal->store, take.log_count, take.to_s, &number, error);
    int count = 0;
    (void)sim_session_taken(session, 0, &count);
    for (int i = 0; code == ERROR_OK && i < count; i++) {
        const LogEntry *entry = sim_session_taken(session, i, NULL);
        if (entry->number < *log_written) continue;
        JournalActRow row = {.number = entry->number,
                             .time_s = entry->time_s,
                             .kind = (int)entry->kind,
                             .sender = entry->from,
                             .text = entry->text};
        code = sim_journal_store_put_taken(journal->store, number, &row, error);
        *orders += sim_records_planned(entry->kind, entry->from);
    }
    if (take.log_count < *log_written) *log_written = take.log_count;
    return code;
}
