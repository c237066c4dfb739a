/* The journal: what of a night is written when, and how a night is gone on with or played again. */
#include "sim/journal.h"

#include "sim/build_id.h"
#include "sim/duration.h"
#include "sim/journal_store.h"
#include "sim/output.h"
#include "sim/quantity.h"
#include "sim/textfile.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum {
    PENDING_MAX = 360, /* observations kept while nothing can be written: an hour */
    COLUMNS_TEXT_MAX = 8192,
    SET_TEXT_MAX = 96,
    CASE_BYTES_MAX = 1 << 20 /* longest case file */
};

static const double OBSERVATION_EVERY_S = 10.0;
static const double SNAPSHOT_EVERY_S = 60.0;
static const double WRITE_EVERY_WALL_S =
    0.2; /* observations alone wait so long, so that a fast run is not held up */
static const double RETRY_EVERY_WALL_S = 5.0;
static const double HALF_TICK_S = BEAT_TICK_S / 2.0;

typedef struct Pending {
    double time_s;
    double truth[OBSERVABLE_COUNT];
    double shown[DISPLAY_COUNT];
} Pending;

struct Journal {
    JournalStore *store;
    char path[JOURNAL_PATH_MAX];
    int64_t log_written; /* entries of the session's log in the file */
    int64_t order_count; /* of these, orders */
    double next_observation_s, next_snapshot_s;
    double last_write_wall_s, last_try_wall_s;
    bool failing;
    int pending_count;
    Pending pending[PENDING_MAX];
    SessionState state; /* scratch for snapshots */
};

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
    char folder[JOURNAL_PATH_MAX], stamp[32];
    ErrorCode code = sim_journal_folder(folder, sizeof folder, error);
    if (code != ERROR_OK) return code;
    time_t now = time(NULL);
    struct tm utc;
    gmtime_r(&now, &utc);
    strftime(stamp, sizeof stamp, "%Y%m%dT%H%M%SZ", &utc);
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

/* Reads the case's text again and makes sure that it is still the one the session was made from. */
static ErrorCode read_case_text(const Case *case_file, char **text, Error *error) {
    size_t length = 0;
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

static Journal *new_journal(const char *path, Error *error) {
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
    if (journal->pending_count == PENDING_MAX) {
        memmove(&journal->pending[0], &journal->pending[1], (PENDING_MAX - 1) * sizeof(Pending));
        journal->pending_count--;
    }
    Pending *pending = &journal->pending[journal->pending_count++];
    const Display *display = sim_session_display(session);
    const Observables *observables = &sim_session_beat(session)->observables;
    pending->time_s = sim_session_time_s(session);
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        pending->truth[i] = model_observables_get(observables, (ObservableId)i);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        pending->shown[i] = display->valid[i] ? display->value[i] : NAN;
}

/* Writes the log's entries from log_written on; *orders counts the orders among them. */
static ErrorCode put_acts(Journal *journal, const Session *session, int64_t log_count, int64_t *orders,
                          Error *error) {
    for (int64_t number = journal->log_written; number < log_count; number++) {
        const LogEntry *entry = sim_session_log_entry(session, number);
        if (entry == NULL) continue; /* older than what the session keeps */
        JournalActRow row = {.number = entry->number,
                             .time_s = entry->time_s,
                             .kind = (int)entry->kind,
                             .sender = entry->from,
                             .text = entry->text};
        ErrorCode code = sim_journal_store_put_act(journal->store, &row, error);
        if (code != ERROR_OK) return code;
        *orders += entry->kind == LOG_ORDER;
    }
    return ERROR_OK;
}

static ErrorCode put_pending(Journal *journal, Error *error) {
    for (int i = 0; i < journal->pending_count; i++) {
        const Pending *pending = &journal->pending[i];
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
    int64_t orders = 0;
    journal->last_try_wall_s = wall_s();
    ErrorCode code = sim_journal_store_begin(journal->store, error);
    if (code == ERROR_OK) code = put_acts(journal, session, log_count, &orders, error);
    if (code == ERROR_OK) code = put_pending(journal, error);
    if (code == ERROR_OK && snapshot) code = put_snapshot(journal, session, error);
    if (code == ERROR_OK) code = sim_journal_store_commit(journal->store, error);
    if (code != ERROR_OK) {
        sim_journal_store_rollback(journal->store);
        journal->failing = true;
        return code;
    }
    journal->failing = false;
    journal->log_written = log_count;
    journal->order_count += orders;
    journal->pending_count = 0;
    journal->last_write_wall_s = journal->last_try_wall_s;
    if (snapshot)
        journal->next_snapshot_s =
            (floor(sim_session_time_s(session) / SNAPSHOT_EVERY_S) + 1.0) * SNAPSHOT_EVERY_S;
    return ERROR_OK;
}

Journal *sim_journal_create(const char *path, const Session *session, const JournalSetup *setup,
                            Error *error) {
    const Case *case_file = sim_session_case(session);
    char *case_text = NULL;
    if (read_case_text(case_file, &case_text, error) != ERROR_OK) return NULL;
    Journal *journal = new_journal(path, error);
    if (journal == NULL) {
        free(case_text);
        return NULL;
    }
    static const char STAMP[] = "%Y-%m-%dT%H:%M:%SZ";
    char begun[32], truth[COLUMNS_TEXT_MAX], shown[COLUMNS_TEXT_MAX], sets[SESSION_SETS_MAX * SET_TEXT_MAX];
    time_t now = time(NULL);
    struct tm utc;
    gmtime_r(&now, &utc);
    strftime(begun, sizeof begun, STAMP, &utc);
    write_truth_columns(truth, sizeof truth);
    write_shown_columns(shown, sizeof shown);
    write_sets(setup->options, sets, sizeof sets);
    JournalNightRow night = {.build = sim_build_id(),
                             .maker = setup->maker,
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
    if (journal->store == NULL || write_due(journal, session, true, error) != ERROR_OK) {
        sim_journal_store_close(journal->store);
        free(journal);
        return NULL;
    }
    return journal;
}

ErrorCode sim_journal_follow(Journal *journal, const Session *session, Error *error) {
    double time_s = sim_session_time_s(session);
    if (time_s >= journal->next_observation_s && sim_session_beat(session)->ticks > 0) {
        take_observation(journal, session);
        journal->next_observation_s = (floor(time_s / OBSERVATION_EVERY_S) + 1.0) * OBSERVATION_EVERY_S;
    }
    bool acts = sim_session_log_count(session) > journal->log_written;
    bool snapshot = time_s >= journal->next_snapshot_s;
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
    ErrorCode code = write_due(journal, session, session != NULL, error);
    if (code == ERROR_OK && ended) code = sim_journal_store_put_ended(journal->store, true, error);
    sim_journal_store_close(journal->store);
    free(journal);
    return code;
}

/* ---- reading ---- */

ErrorCode sim_journal_read(const char *path, JournalNight *night, Error *error) {
    JournalStore *store = sim_journal_store_open(path, false, error);
    if (store == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    const JournalNightRow *row = sim_journal_store_night(store);
    memset(night, 0, sizeof *night);
    snprintf(night->build, sizeof night->build, "%s", row->build);
    snprintf(night->case_path, sizeof night->case_path, "%s", row->case_path);
    snprintf(night->case_id, sizeof night->case_id, "%s", row->case_id);
    snprintf(night->case_title, sizeof night->case_title, "%s", row->case_title);
    snprintf(night->maker, sizeof night->maker, "%s", row->maker);
    snprintf(night->begun, sizeof night->begun, "%s", row->begun);
    night->case_hash = row->case_hash;
    night->seed = row->seed;
    night->until_s = row->until_s;
    night->ended = row->ended;
    ErrorCode code = sim_journal_store_extent(store, &night->entries, &night->reached_s, error);
    sim_journal_store_close(store);
    return code;
}

static ErrorCode refuse_format(const char *path, const char *what, Error *error) {
    ErrorCode code = model_error_set(error, ERROR_FORMAT, "%s", what);
    model_error_at(error, path, 0, 0);
    return code;
}

static ErrorCode check_build(const char *path, const JournalNightRow *night, Error *error) {
    if (strcmp(night->build, sim_build_id()) == 0) return ERROR_OK;
    ErrorCode code =
        model_error_set(error, ERROR_FORMAT, "the night was recorded by build %s, this is build %s",
                        night->build, sim_build_id());
    model_error_at(error, path, 0, 0);
    model_error_allow(error, "the build that recorded it: a night repeats bit for bit only within one build");
    return code;
}

/* Reads KEY=VALUE lines into options. */
static ErrorCode read_sets(const char *path, const char *sets, SessionOptions *options, Error *error) {
    for (const char *line = sets; *line != '\0';) {
        char key[SET_TEXT_MAX], number[SET_TEXT_MAX];
        size_t length = strcspn(line, "\n");
        if (sscanf(line, "%95[^=\n]=%95[^\n]", key, number) != 2 || options->set_count == SESSION_SETS_MAX)
            return refuse_format(path, "its changed parameters cannot be read", error);
        CaseSet *set = &options->sets[options->set_count++];
        set->id = model_parameters_find(key);
        if (set->id == PARAMETER_COUNT || sim_quantity_number(number, &set->value, NULL) != ERROR_OK)
            return refuse_format(path, "its changed parameters cannot be read", error);
        line += length + (line[length] == '\n');
    }
    return ERROR_OK;
}

/* Makes the session of a recorded night, at its beginning. */
static ErrorCode open_session(const char *path, const JournalNightRow *night, Session **session,
                              Error *error) {
    SessionOptions options = sim_session_options_none();
    options.seed_given = true;
    options.seed = night->seed;
    ErrorCode code = check_build(path, night, error);
    if (code == ERROR_OK) code = read_sets(path, night->sets, &options, error);
    if (code != ERROR_OK) return code;
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the case");
    Case *case_file = sim_case_parse(night->case_text, strlen(night->case_text), night->case_path, errors);
    if (case_file == NULL) {
        if (error != NULL && errors->count > 0) *error = errors->items[0];
        code = errors->count > 0 ? errors->items[0].code : ERROR_FORMAT;
    } else {
        *session = sim_session_open(case_file, &options, error);
        code = *session != NULL ? ERROR_OK : error != NULL ? error->code : ERROR_INTERNAL;
    }
    sim_case_free(case_file);
    free(errors);
    return code;
}

typedef struct Restoring {
    const char *path;
    Session *session;
    SessionState *state;
    int64_t log_count;
} Restoring;

static ErrorCode restore_snapshot(void *context, const JournalSnapshotRow *row, Error *error) {
    Restoring *restoring = context;
    if (row->state_size != sizeof *restoring->state)
        return refuse_format(restoring->path, "its last state has another size", error);
    memcpy(restoring->state, row->state, sizeof *restoring->state);
    restoring->log_count = row->log_count;
    ErrorCode code = sim_session_restore(restoring->session, restoring->state, error);
    if (code == ERROR_OK && sim_session_hash(restoring->session) != row->hash)
        code = refuse_format(restoring->path, "its last state is damaged", error);
    return code;
}

/* Plays to a moment that was a beat's end when the night was recorded. */
static ErrorCode play_to(Session *session, double time_s, Error *error) {
    ErrorCode code = ERROR_OK;
    while (code == ERROR_OK && sim_session_time_s(session) < time_s - HALF_TICK_S)
        code = sim_session_advance(session, error);
    return code;
}

static ErrorCode repeat_act(void *context, const JournalActRow *row, Error *error) {
    Session *session = context;
    if (row->kind != LOG_ORDER) return ERROR_OK; /* comes by itself */
    ErrorCode code = play_to(session, row->time_s, error);
    return code == ERROR_OK ? sim_session_order(session, row->text, error) : code;
}

static ErrorCode count_orders(void *context, const JournalActRow *row, Error *error) {
    (void)error;
    *(int64_t *)context += row->kind == LOG_ORDER;
    return ERROR_OK;
}

/* Brings journal->store's night to its last recorded moment. */
static ErrorCode resume_into(Journal *journal, Session **session, Error *error) {
    double reached_s = 0.0;
    int64_t acts = 0;
    ErrorCode code = open_session(journal->path, sim_journal_store_night(journal->store), session, error);
    if (code == ERROR_OK) code = sim_journal_store_extent(journal->store, &acts, &reached_s, error);
    if (code != ERROR_OK) return code;
    Restoring restoring = {.path = journal->path, .session = *session, .state = &journal->state};
    code = sim_journal_store_last_snapshot(journal->store, restore_snapshot, &restoring, error);
    if (code == ERROR_OK)
        code = sim_journal_store_each_act(journal->store, restoring.log_count, repeat_act, *session, error);
    if (code == ERROR_OK) code = play_to(*session, reached_s, error);
    if (code == ERROR_OK)
        code = sim_journal_store_each_act(journal->store, 0, count_orders, &journal->order_count, error);
    if (code == ERROR_OK && sim_session_log_count(*session) < acts)
        code = refuse_format(journal->path, "the night does not repeat: its log is longer than its course",
                             error);
    if (code == ERROR_OK) code = sim_journal_store_put_ended(journal->store, false, error);
    journal->log_written = acts;
    journal->next_observation_s = (floor(reached_s / OBSERVATION_EVERY_S) + 1.0) * OBSERVATION_EVERY_S;
    journal->next_snapshot_s = (floor(reached_s / SNAPSHOT_EVERY_S) + 1.0) * SNAPSHOT_EVERY_S;
    return code;
}

Journal *sim_journal_resume(const char *path, Session **session, Error *error) {
    *session = NULL;
    Journal *journal = new_journal(path, error);
    if (journal == NULL) return NULL;
    journal->store = sim_journal_store_open(path, true, error);
    if (journal->store != NULL && resume_into(journal, session, error) == ERROR_OK) return journal;
    sim_journal_store_close(journal->store);
    free(journal);
    sim_session_close(*session);
    *session = NULL;
    return NULL;
}

/* ---- playing again ---- */

typedef struct Replaying {
    JournalStore *store;
    Session *session;
    JournalReplay *replay;
    int64_t next_act; /* first act not yet repeated */
    int64_t act_end;  /* repeat only acts before this */
    double whole_s;
    void (*progress)(void *context, double done);
    void *progress_context;
} Replaying;

static ErrorCode repeat_until(void *context, const JournalActRow *row, Error *error) {
    Replaying *replaying = context;
    if (row->number >= replaying->act_end) return ERROR_OK;
    replaying->next_act = row->number + 1;
    return repeat_act(replaying->session, row, error);
}

static ErrorCode compare_snapshot(void *context, const JournalSnapshotRow *row, Error *error) {
    Replaying *replaying = context;
    replaying->act_end = row->log_count;
    ErrorCode code = ERROR_OK;
    if (replaying->next_act < replaying->act_end)
        code =
            sim_journal_store_each_act(replaying->store, replaying->next_act, repeat_until, replaying, error);
    if (code == ERROR_OK) code = play_to(replaying->session, row->time_s, error);
    if (code != ERROR_OK) return code;
    JournalReplay *replay = replaying->replay;
    replay->snapshots++;
    replay->reached_s = sim_session_time_s(replaying->session);
    if (sim_session_hash(replaying->session) != row->hash) {
        if (replay->differing++ == 0) replay->first_differing_s = row->time_s;
    }
    if (replaying->progress != NULL && replaying->whole_s > 0.0)
        replaying->progress(replaying->progress_context, row->time_s / replaying->whole_s);
    return ERROR_OK;
}

ErrorCode sim_journal_replay(const char *path, void (*progress)(void *context, double done), void *context,
                             JournalReplay *replay, Error *error) {
    *replay = (JournalReplay){.first_differing_s = -1.0};
    JournalStore *store = sim_journal_store_open(path, false, error);
    if (store == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    Replaying replaying = {
        .store = store, .replay = replay, .progress = progress, .progress_context = context};
    int64_t acts = 0;
    ErrorCode code = open_session(path, sim_journal_store_night(store), &replaying.session, error);
    if (code == ERROR_OK) code = sim_journal_store_extent(store, &acts, &replaying.whole_s, error);
    if (code == ERROR_OK) code = sim_journal_store_each_snapshot(store, compare_snapshot, &replaying, error);
    sim_session_close(replaying.session);
    sim_journal_store_close(store);
    return code;
}

typedef struct Observing {
    const char *columns;
    JournalObservationVisit visit;
    void *context;
} Observing;

/* Puts each column where this build has it; what it does not have is left out. */
static ErrorCode visit_observation(void *context, const JournalObservationRow *row, Error *error) {
    (void)error;
    const Observing *observing = context;
    Observables observables;
    double *values = (double *)&observables;
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        values[i] = NAN;
    const char *name = observing->columns;
    for (size_t i = 0; i < row->truth_count && *name != '\0'; i++) {
        char key[SET_TEXT_MAX];
        size_t length = strcspn(name, ",");
        snprintf(key, sizeof key, "%.*s", (int)(length < sizeof key ? length : sizeof key - 1), name);
        ObservableId id = model_observables_find(key);
        if (id != OBSERVABLE_COUNT)
            memcpy(&values[id], (const char *)row->truth + i * sizeof(double), sizeof(double));
        name += length + (name[length] == ',');
    }
    observing->visit(observing->context, &observables);
    return ERROR_OK;
}

ErrorCode sim_journal_each_observation(const char *path, JournalObservationVisit visit, void *context,
                                       Error *error) {
    JournalStore *store = sim_journal_store_open(path, false, error);
    if (store == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    Observing observing = {
        .columns = sim_journal_store_night(store)->truth_columns, .visit = visit, .context = context};
    ErrorCode code = sim_journal_store_each_observation(store, visit_observation, &observing, error);
    sim_journal_store_close(store);
    return code;
}
