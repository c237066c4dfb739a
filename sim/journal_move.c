/* A night whose file cannot be written any more goes on in another one. */
#include "sim/journal_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { NAMES_TRIED = 100 };

static ErrorCode copy_act(void *context, const JournalActRow *row, Error *error) {
    return sim_journal_store_put_act(context, row, error);
}

static ErrorCode copy_observation(void *context, const JournalObservationRow *row, Error *error) {
    return sim_journal_store_put_observation(context, row, error);
}

static ErrorCode copy_snapshot(void *context, const JournalSnapshotRow *row, Error *error) {
    return sim_journal_store_put_snapshot(context, row, error);
}

static ErrorCode copy_taken(void *context, int64_t take, const JournalActRow *row, Error *error) {
    return sim_journal_store_put_taken(context, take, row, error);
}

/* Everything that the old file holds, as a whole or not at all. */
static ErrorCode copy_rows(JournalStore *from, JournalStore *to, Error *error) {
    ErrorCode code = sim_journal_store_begin(to, error);
    if (code == ERROR_OK) code = sim_journal_store_each_act(from, 0, copy_act, to, error);
    if (code == ERROR_OK) code = sim_journal_store_each_taken(from, copy_taken, to, error);
    if (code == ERROR_OK) code = sim_journal_store_each_observation(from, copy_observation, to, error);
    if (code == ERROR_OK) code = sim_journal_store_each_snapshot(from, copy_snapshot, to, error);
    if (code == ERROR_OK) code = sim_journal_store_commit(to, error);
    if (code != ERROR_OK) sim_journal_store_rollback(to);
    return code;
}

ErrorCode sim_journal_move(Journal *journal, const Session *session, const char *path, Error *error) {
    if (strlen(path) >= sizeof journal->path)
        return model_error_set(error, ERROR_FILE_WRITE, "the journal's name is too long");
    JournalStore *to = sim_journal_store_create(path, sim_journal_store_night(journal->store), error);
    if (to == NULL) return error != NULL ? error->code : ERROR_FILE_WRITE;
    Error unread;
    JournalStore *from = journal->store;
    int64_t written = journal->log_written;
    /* what the old file does not give the session still holds, but for its oldest entries */
    if (copy_rows(from, to, &unread) != ERROR_OK) journal->log_written = 0;
    journal->store = to;
    ErrorCode code = sim_journal_write(journal, session, error);
    if (code != ERROR_OK) { /* no better than the old one */
        journal->store = from;
        journal->log_written = written;
        sim_journal_store_close(to);
        unlink(path);
        return code;
    }
    sim_journal_store_close(from);
    snprintf(journal->path, sizeof journal->path, "%s", path);
    return ERROR_OK;
}

/* A free name in `folder`; false: none. */
static bool name_in(const char *folder, const char *case_id, char *path, size_t size) {
    for (int i = 1; folder != NULL && folder[0] == '/' && i <= NAMES_TRIED; i++) {
        int length = snprintf(path, size, "%s/%s-rescued-%d.night", folder, case_id, i);
        if (length > 0 && (size_t)length < size && access(path, F_OK) != 0) return true;
    }
    return false;
}

ErrorCode sim_journal_rescue(Journal *journal, const Session *session, Error *error) {
    char path[JOURNAL_PATH_MAX];
    const char *case_id = sim_session_case(session)->id, *temporary = getenv("TMPDIR");
    Error refused;
    ErrorCode code = sim_journal_new_path(case_id, path, sizeof path, error);
    if (code == ERROR_OK) code = sim_journal_move(journal, session, path, error);
    const char *folders[] = {getenv("HOME"), temporary != NULL ? temporary : "/tmp"};
    for (size_t i = 0; code != ERROR_OK && i < sizeof folders / sizeof folders[0]; i++) {
        if (name_in(folders[i], case_id, path, sizeof path))
            code = sim_journal_move(journal, session, path, &refused);
    }
    return code;
}
