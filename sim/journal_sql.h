/* Statements on an open night for the files that hold its tables but do not know SQLite. Internal to
   sim/journal_store.c and sim/journal_tables.c. */
#ifndef SIM_JOURNAL_SQL_H
#define SIM_JOURNAL_SQL_H

#include "sim/journal_store.h"

typedef struct JournalSql JournalSql;

/* Opens a night for reading without its large texts: sim_journal_store_night is empty. */
JournalStore *sim_journal_sql_peek(const char *path, Error *error);

/* Prepares one statement; *query is NULL on failure. End with sim_journal_sql_close. */
MODEL_CHECKED ErrorCode sim_journal_sql_open(JournalStore *store, const char *sql, JournalSql **query,
                                             Error *error);

/* Fills place `at` (1 first) of the statement; texts are copied. */
void sim_journal_sql_text(JournalSql *query, int at, const char *text);
void sim_journal_sql_number(JournalSql *query, int at, double number);

/* Goes to the next row; false at the end and on failure, which close tells. */
bool sim_journal_sql_row(JournalSql *query);

/* Values of the present row, column 0 first; a text is valid until the next row. */
const char *sim_journal_sql_get_text(JournalSql *query, int column);
double sim_journal_sql_get_number(JournalSql *query, int column);
int64_t sim_journal_sql_get_whole(JournalSql *query, int column);

/* Frees the statement (NULL accepted) and returns `code`, or the failure of the statement if `code` is
   ERROR_OK. */
MODEL_CHECKED ErrorCode sim_journal_sql_close(JournalSql *query, ErrorCode code, Error *error);

/* Runs statements that return nothing. */
MODEL_CHECKED ErrorCode sim_journal_sql_execute(JournalStore *store, const char *sql, Error *error);

#endif
