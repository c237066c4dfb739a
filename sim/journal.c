/* The journal: where nights lie, and what of a night is written when. */
#include "sim/journal.h"

#include "sim/build_id.h"
#include "sim/journal_parts.h"
#include "sim/output.h"
#include "sim/results.h"
#include "sim/textfile.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum {
    COLUMNS_TEXT_MAX = 8192,
    STAMP_MAX = 32,
    CASE_BYTES_MAX = 1 << 20 /* longest case file */
};

static const double WRITE_EVERY_WALL_S =
    0.2; /* observations alone wait so long, so that a fast run is not held up */
static const double RETRY_EVERY_WALL_S = 5.0;

/* Wall-clock time in UTC, for names only; nothing in a night depends on it. */
static void write_stamp(const char *format, char stamp[STAMP_MAX]) {
    struct timespec now;
    struct tm utc;
    clock_gettime(CLOCK_REALTIME, &now);
    gmtime_r(&now.tv_sec, &utc);
    strftime(stamp, STAMP_MAX, format, &utc);
}

/* ---- where nights lie ---- */

ErrorCode sim_journal_folder(char *path, size_t size, Error *error) {
    const char *data = getenv("XDG_DATA_HOME");
    const char *home = getenv("HOME");
    int length;
    if (data != NULL && data[0] == '/') {
        length = snprintf(path, size, "%s/evenkeel/nights", data);
    } else if (home != NULL && home[0] == '/') {
        length = snprintf(path, size, "%s/.local/share/evenkeel/nights", home);
    } else {
        ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "no folder for recorded nights");
        model_error_at(error, "XDG_DATA_HOME", 0, 0);
        model_error_allow(error, "set XDG_DATA_HOME or HOME to an absolute path");
        return code;
    }
    if (length < 0 || (size_t)length >= size) {
        ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "the folder's name is too long");
        model_error_at(error, "XDG_DATA_HOME", 0, 0);
        return code;
    }
    return sim_output_make_folder(path, error);
}

ErrorCode sim_journal_new_path(const char *case_id, char *path, size_t size, Error *error) {
    char folder[JOURNAL_PATH_MAX], stamp[STAMP_MAX];
    ErrorCode code = sim_journal_folder(folder, sizeof folder, error);
    if (code != ERROR_OK) return code;
    write_stamp("%Y%m%dT%H%M%SZ", stamp);
    for (int attempt = 0; attempt < 100; attempt++) {
        char suffix[8] = "";
        if (attempt > 0) snprintf(suffix, sizeof suffix, "-%d", attempt + 1);
        int length = snprintf(path, size, "%s/%s-%s%s.night", folder, stamp, case_id, suffix);
        if (length < 0 || (size_t)length >= size) break;
        if (access(path, F_OK) != 0) return ERROR_OK;
    }
    code = model_error_set(error, ERROR_FILE_WRITE, "no free name for a new night");
    model_error_at(error, folder, 0, 0);
    return code;
}

/* ---- writing ---- */

static double wall_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void write_truth_columns(char *text, size_t size) {
    size_t used = 0;
    for (int i = 0; i < OBSERVABLE_COUNT && used < size; i++)
        used += (size_t)snprintf(text + used, size - used, "%s%s", i > 0 ? "," : "",
                                 model_observables_row((ObservableId)i)->key);
}

static void write_shown_columns(char *text, size_t size) {
    size_t used = 0;
    for (int i = 0; i < DISPLAY_COUNT && used < size; i++)
        used += (size_t)snprintf(text + used, size - used, "%s%s", i > 0 ? "," : "",
                                 sim_instruments_display_row((DisplayId)i)->key);
}

static void write_sets(const SessionOptions *options, char *text, size_t size) {
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; options != NULL && i < options->set_count && used < size; i++)
        used += (size_t)snprintf(text + used, size - used, "%s=%.17g\n",
                                 model_parameters_row(options->sets[i].id)->key, options->sets[i].value);
}

/* Takes the text that the case holds, or reads it again and makes sure that it is still the one the session
 * was made from. */
static ErrorCode read_case_text(const Case *case_file, char **text, Error *error) {
    size_t length = 0;
    if (case_file->source[0] != '\0') {
        size_t size = strlen(case_file->source) + 1;
        *text = malloc(size);
        if (*text == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the journal");
        memcpy(*text, case_file->source, size);
        return ERROR_OK;
    }
    ErrorCode code = sim_textfile_read(case_file->path, CASE_BYTES_MAX, text, &length, error);
    if (code != ERROR_OK) return code;
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *again = errors != NULL ? sim_case_parse(*text, length, case_file->path, errors) : NULL;
    bool same = again != NULL && again->file_hash == case_file->file_hash;
    sim_case_free(again);
    free(errors);
    if (same) return ERROR_OK;
    free(*text);
    *text = NULL;
    code = model_error_set(error, ERROR_FILE_READ, "the case file has changed since the night was opened");
    model_error_at(error, case_file->path, 0, 0);
    return code;
}

double sim_journal_next_s(double time_s, double every_s) {
    return (floor(time_s / every_s) + 1.0) * every_s;
}

Journal *sim_journal_new(const char *path, Error *error) {
    if (strlen(path) >= JOURNAL_PATH_MAX) {
        model_error_set(error, ERROR_FILE_WRITE, "the journal's name is too long");
        model_error_at(error, path, 0, 0);
        return NULL;
    }
    Journal *journal = calloc(1, sizeof *journal);
    if (journal == NULL) {
        model_error_set(error, ERROR_MEMORY, "no memory for the journal");
        return NULL;
    }
    strcpy(journal->path, path);
    return journal;
}

/* Takes the session's present numbers as an observation to be written; the oldest gives way when full. */
static void take_observation(Journal *journal, const Session *session) {
    if (journal->pending_count == JOURNAL_PENDING_MAX) {
        memmove(&journal->pending[0], &journal->pending[1],
                (JOURNAL_PENDING_MAX - 1) * sizeof(JournalPending));
        journal->pending_count--;
    }
    JournalPending *pending = &journal->pending[journal->pending_count++];
    const Display *display = sim_session_display(session);
    const Observables *observables = &sim_session_beat(session)->observables;
    pending->time_s = sim_session_time_s(session);
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        pending->truth[i] = model_observables_get(observables, (ObservableId)i);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        pending->shown[i] = display->valid[i] ? display->value[i] : NAN;
}

/* Writes the log's entries from `first` on; *orders counts the acts among them. */
static ErrorCode put_acts(Journal *journal, const Session *session, int64_t first, int64_t log_count,
                          int64_t *orders, Error *error) {
    for (int64_t number = first; number < log_count; number++) {
        const LogEntry *entry = sim_session_log_entry(session, number);
        if (entry == NULL) continue; /* older than what the session keeps */
        JournalActRow row = {.number = entry->number,
                             .time_s = entry->time_s,
                             .kind = (int)entry->kind,
                             .sender = entry->from,
                             .text = entry->text};
        ErrorCode code = sim_journal_store_put_act(journal->store, &row, error);
        if (code != ERROR_OK) return code;
        *orders += sim_records_planned(entry->kind, entry->from);
    }
    return ERROR_OK;
}

static ErrorCode put_pending(Journal *journal, Error *error) {
    for (int i = 0; i < journal->pending_count; i++) {
        const JournalPending *pending = &journal->pending[i];
        JournalObservationRow row = {.time_s = pending->time_s,
                                     .truth = pending->truth,
                                     .shown = pending->shown,
                                     .truth_count = OBSERVABLE_COUNT,
                                     .shown_count = DISPLAY_COUNT};
        ErrorCode code = sim_journal_store_put_observation(journal->store, &row, error);
        if (code != ERROR_OK) return code;
    }
    return ERROR_OK;
}

static ErrorCode put_snapshot(Journal *journal, const Session *session, Error *error) {
    sim_session_save(session, &journal->state);
    JournalSnapshotRow row = {.time_s = sim_session_time_s(session),
                              .hash = sim_session_hash(session),
                              .log_count = sim_session_log_count(session),
                              .state = &journal->state,
                              .state_size = sizeof journal->state};
    return sim_journal_store_put_snapshot(journal->store, &row, error);
}

/* Writes all that is due in one transaction; nothing is marked as written unless all of it is. */
static ErrorCode write_due(Journal *journal, const Session *session, bool snapshot, Error *error) {
    int64_t log_count = session != NULL ? sim_session_log_count(session) : journal->log_written;
    int64_t orders = 0, first = journal->log_written;
    int64_t takes = session != NULL ? sim_session_takes(session) : journal->takes_written;
    journal->last_try_wall_s = wall_s();
    ErrorCode code = sim_journal_store_begin(journal->store, error);
    if (code == ERROR_OK) code = put_pending(journal, error);
    if (code == ERROR_OK && session != NULL)
        code = sim_journal_put_takes(journal, session, &first, &orders, error);
    if (code == ERROR_OK) code = put_acts(journal, session, first, log_count, &orders, error);
    if (code == ERROR_OK && snapshot) code = put_snapshot(journal, session, error);
    if (code == ERROR_OK) code = sim_journal_store_commit(journal->store, error);
    if (code != ERROR_OK) {
        sim_journal_store_rollback(journal->store);
        journal->failing = true;
        return code;
    }
    journal->failing = false;
    journal->log_written = log_count;
    journal->takes_written = takes;
    journal->order_count += orders;
    journal->pending_count = 0;
    journal->last_write_wall_s = journal->last_try_wall_s;
    if (snapshot)
        journal->next_snapshot_s = sim_journal_next_s(sim_session_time_s(session), JOURNAL_SNAPSHOT_EVERY_S);
    return ERROR_OK;
}

ErrorCode sim_journal_write(Journal *journal, const Session *session, Error *error) {
    return write_due(journal, session, true, error);
}

Journal *sim_journal_create(const char *path, const Session *session, const JournalSetup *setup,
                            Error *error) {
    const Case *case_file = sim_session_case(session);
    char *case_text = NULL;
    if (read_case_text(case_file, &case_text, error) != ERROR_OK) return NULL;
    Journal *journal = sim_journal_new(path, error);
    if (journal == NULL) {
        free(case_text);
        return NULL;
    }
    char begun[STAMP_MAX], truth[COLUMNS_TEXT_MAX], shown[COLUMNS_TEXT_MAX],
        sets[SESSION_SETS_MAX * JOURNAL_SET_MAX];
    write_stamp("%Y-%m-%dT%H:%M:%SZ", begun);
    write_truth_columns(truth, sizeof truth);
    write_shown_columns(shown, sizeof shown);
    write_sets(setup->options, sets, sizeof sets);
    JournalNightRow night = {.build = sim_build_id(),
                             .maker = setup->maker,
                             .trainee = setup->trainee != NULL ? setup->trainee : "",
                             .begun = begun,
                             .case_path = case_file->path,
                             .case_id = case_file->id,
                             .case_title = case_file->title,
                             .case_text = case_text,
                             .sets = sets,
                             .plan = setup->plan != NULL ? setup->plan : "",
                             .truth_columns = truth,
                             .shown_columns = shown,
                             .case_hash = case_file->file_hash,
                             .seed = sim_session_seed(session),
                             .until_s = setup->until_s};
    journal->store = sim_journal_store_create(path, &night, error);
    free(case_text);
    if (journal->store != NULL && write_due(journal, session, true, error) == ERROR_OK) return journal;
    if (journal->store != NULL) unlink(path); /* made here, and of no use */
    sim_journal_store_close(journal->store);
    free(journal);
    return NULL;
}

ErrorCode sim_journal_follow(Journal *journal, const Session *session, Error *error) {
    double time_s = sim_session_time_s(session);
    sim_journal_notice_takes(journal, session);
    if (time_s >= journal->next_observation_s && sim_session_beat(session)->ticks > 0) {
        take_observation(journal, session);
        journal->next_observation_s = sim_journal_next_s(time_s, JOURNAL_OBSERVATION_EVERY_S);
    }
    bool taken = sim_session_takes(session) > journal->takes_written;
    bool acts = taken || sim_session_log_count(session) > journal->log_written;
    bool snapshot = taken || time_s >= journal->next_snapshot_s;
    if (!acts && !snapshot && journal->pending_count == 0) return ERROR_OK;
    double now_s = wall_s();
    if (!acts && !snapshot && now_s - journal->last_write_wall_s < WRITE_EVERY_WALL_S) return ERROR_OK;
    if (!journal->failing) return write_due(journal, session, snapshot, error);
    /* said once already: try again now and then, quietly */
    if (now_s - journal->last_try_wall_s >= RETRY_EVERY_WALL_S) {
        Error again;
        if (write_due(journal, session, snapshot, &again) != ERROR_OK) return ERROR_OK;
    }
    return ERROR_OK;
}

ErrorCode sim_journal_flush(Journal *journal, Error *error) {
    if (journal->pending_count == 0) return ERROR_OK;
    return write_due(journal, NULL, false, error);
}

bool sim_journal_failing(const Journal *journal) {
    return journal->failing;
}

const char *sim_journal_path(const Journal *journal) {
    return journal->path;
}

const char *sim_journal_plan(const Journal *journal) {
    return sim_journal_store_night(journal->store)->plan;
}

double sim_journal_until_s(const Journal *journal) {
    return sim_journal_store_night(journal->store)->until_s;
}

int64_t sim_journal_order_count(const Journal *journal) {
    return journal->order_count;
}

ErrorCode sim_journal_close(Journal *journal, const Session *session, bool ended, Error *error) {
    if (journal == NULL) return ERROR_OK;
    ErrorCode code = write_due(journal, session, session != NULL, error), said = ERROR_OK;
    if (code != ERROR_OK && session != NULL) {
        Error none;
        said = code;
        code = sim_journal_rescue(journal, session, &none);
        if (code == ERROR_OK) model_error_allow(error, "it was saved as %.200s instead", journal->path);
    }
    if (code == ERROR_OK && ended) code = sim_journal_store_put_ended(journal->store, true, error);
    sim_journal_store_close(journal->store);
    Error unmade; /* a night without results is whole: whoever wants them makes them from it */
    if (code == ERROR_OK && session != NULL) (void)!sim_results_keep(journal->path, &unmade);
    free(journal);
    return said != ERROR_OK ? said : code;
}
