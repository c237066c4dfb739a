/* Recorded nights: what they are, going on with one, and playing one again. */
#include "sim/journal_parts.h"

#include "sim/build_id.h"
#include "sim/quantity.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double HALF_TICK_S = BEAT_TICK_S / 2.0;
static const double PAST_END_S = 60.0; /* a night ends within a beat of its case's length */

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
    snprintf(night->trainee, sizeof night->trainee, "%s", row->trainee);
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

ErrorCode sim_journal_check_build(const char *path, const JournalNightRow *night, Error *error) {
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
        char key[JOURNAL_SET_MAX], number[JOURNAL_SET_MAX];
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

ErrorCode sim_journal_read_case(const char *path, const JournalNightRow *night, Case **case_file,
                                SessionOptions *options, Error *error) {
    *case_file = NULL;
    *options = sim_session_options_none();
    options->seed_given = true;
    options->seed = night->seed;
    ErrorCode code = read_sets(path, night->sets, options, error);
    if (code != ERROR_OK) return code;
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the case");
    *case_file = sim_case_parse(night->case_text, strlen(night->case_text), night->case_path, errors);
    free(errors);
    if (*case_file != NULL && (*case_file)->file_hash == night->case_hash) return ERROR_OK;
    sim_case_free(*case_file);
    *case_file = NULL;
    return refuse_format(path, "its case is damaged", error);
}

/* Makes the session of a recorded night, at its beginning. */
static ErrorCode open_session(const char *path, const JournalNightRow *night, Session **session,
                              Error *error) {
    SessionOptions options;
    Case *case_file;
    ErrorCode code = sim_journal_check_build(path, night, error);
    if (code == ERROR_OK) code = sim_journal_read_case(path, night, &case_file, &options, error);
    if (code != ERROR_OK) return code;
    *session = sim_session_open(case_file, &options, error);
    sim_case_free(case_file);
    if (*session != NULL) return ERROR_OK;
    return error != NULL ? error->code : ERROR_INTERNAL;
}

/* A kind that this build does not know can only come from a damaged file: the build is the same. */
static ErrorCode check_act(const JournalActRow *row, Error *error) {
    if (row->kind >= 0 && row->kind < LOG_KIND_COUNT) return ERROR_OK;
    return model_error_set(error, ERROR_FORMAT, "entry %lld of the log is of no known kind",
                           (long long)row->number);
}

static ErrorCode recall_act(void *context, const JournalActRow *row, Error *error) {
    ErrorCode code = check_act(row, error);
    if (code == ERROR_OK) sim_records_log(context, row->time_s, (LogKind)row->kind, row->sender, row->text);
    return code;
}

static ErrorCode recall_observation(void *context, const JournalObservationRow *row, Error *error) {
    (void)error;
    Display display = {.value = {0}};
    if (row->shown_count != DISPLAY_COUNT) return ERROR_OK;
    memcpy(display.value, row->shown, sizeof display.value);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        display.valid[i] = !isnan(display.value[i]);
    sim_records_show(context, row->time_s, &display);
    return ERROR_OK;
}

/* Gives a session back its log and its trends; restoring the state cuts them to its moment. */
static ErrorCode recall_records(JournalStore *store, Session *session, Error *error) {
    Records *records = sim_session_records(session);
    sim_records_rewind(records, 0, 0);
    ErrorCode code = sim_journal_store_each_act(store, 0, recall_act, records, error);
    if (code == ERROR_OK)
        code = sim_journal_store_each_observation(store, recall_observation, records, error);
    return code;
}

typedef struct Restoring {
    const char *path;
    Session *session;
    SessionState *state;
    int64_t log_count;
    double time_s; /* of the state that was tried last */
} Restoring;

static ErrorCode restore_snapshot(void *context, const JournalSnapshotRow *row, Error *error) {
    Restoring *restoring = context;
    restoring->time_s = row->time_s;
    if (row->state_size != sizeof *restoring->state)
        return refuse_format(restoring->path, "its last state has another size", error);
    memcpy(restoring->state, row->state, sizeof *restoring->state);
    restoring->log_count = row->log_count;
    ErrorCode code = sim_session_restore(restoring->session, restoring->state, error);
    if (code != ERROR_OK) model_error_at(error, restoring->path, 0, 0);
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
    ErrorCode code = check_act(row, error);
    if (code != ERROR_OK || !sim_records_repeats((LogKind)row->kind, row->sender))
        return code; /* comes by itself */
    code = play_to(session, row->time_s, error);
    bool by_hand = strcmp(row->sender, RECORDS_FROM_INSTRUCTOR) == 0;
    return code == ERROR_OK
               ? sim_session_say_as(session, by_hand ? SESSION_VOICE_INSTRUCTOR : SESSION_VOICE_TRAINEE,
                                    row->text, error)
               : code;
}

static ErrorCode count_acts(void *context, const JournalActRow *row, Error *error) {
    ErrorCode code = check_act(row, error);
    if (code == ERROR_OK) *(int64_t *)context += sim_records_planned((LogKind)row->kind, row->sender);
    return code;
}

static ErrorCode count_taken(void *context, int64_t take, const JournalActRow *row, Error *error) {
    (void)take;
    return count_acts(context, row, error);
}

typedef struct Keeping {
    Session *session;
    SessionState *state; /* scratch */
    double since_s;
} Keeping;

static ErrorCode keep_snapshot(void *context, const JournalSnapshotRow *row, Error *error) {
    const Keeping *keeping = context;
    (void)error;
    if (row->state_size != sizeof *keeping->state || row->time_s < keeping->since_s) return ERROR_OK;
    memcpy(keeping->state, row->state, sizeof *keeping->state);
    sim_session_keep_state(keeping->session, keeping->state);
    return ERROR_OK;
}

/* Gives the session back the states of the last hour, so that time can be taken back across the pause. */
static ErrorCode keep_states(JournalStore *store, Session *session, SessionState *scratch, Error *error) {
    if (!sim_session_keep(session)) return model_error_set(error, ERROR_MEMORY, "no memory for the night");
    Keeping keeping = {.session = session,
                       .state = scratch,
                       .since_s = sim_session_time_s(session) - ACT_BACK_MOST_S - JOURNAL_SNAPSHOT_EVERY_S};
    return sim_journal_store_each_snapshot(store, keep_snapshot, &keeping, error);
}

/* Restores the newest state that is whole: a damaged one costs the time since the one before it, which is
   played again. */
static ErrorCode restore_newest(JournalStore *store, Restoring *restoring, Error *error) {
    ErrorCode code = sim_journal_store_last_snapshot(store, restore_snapshot, restoring, error);
    for (double tried_s = INFINITY; code == ERROR_FORMAT && restoring->time_s < tried_s;) {
        Error earlier;
        tried_s = restoring->time_s;
        ErrorCode again = sim_journal_store_snapshot_at(store, tried_s - HALF_TICK_S, restore_snapshot,
                                                        restoring, &earlier);
        if (again != ERROR_FORMAT) return again;
    }
    return code;
}

/* Brings journal->store's night to its last recorded moment. */
static ErrorCode resume_into(Journal *journal, Session **session, Error *error) {
    double reached_s = 0.0;
    int64_t acts = 0;
    ErrorCode code = open_session(journal->path, sim_journal_store_night(journal->store), session, error);
    if (code == ERROR_OK) code = sim_journal_store_extent(journal->store, &acts, &reached_s, error);
    if (code != ERROR_OK) return code;
    code = recall_records(journal->store, *session, error);
    if (code != ERROR_OK) return code;
    if (!(reached_s >= 0.0 && reached_s <= sim_session_case(*session)->length_s + PAST_END_S))
        return refuse_format(journal->path, "its times are damaged", error);
    Restoring restoring = {.path = journal->path, .session = *session, .state = &journal->state};
    code = restore_newest(journal->store, &restoring, error);
    if (code == ERROR_OK) code = keep_states(journal->store, *session, &journal->state, error);
    if (code == ERROR_OK)
        code = sim_journal_store_each_act(journal->store, restoring.log_count, repeat_act, *session, error);
    if (code == ERROR_OK) code = play_to(*session, reached_s, error);
    if (code == ERROR_OK)
        code = sim_journal_store_each_act(journal->store, 0, count_acts, &journal->order_count, error);
    if (code == ERROR_OK)
        code = sim_journal_store_each_taken(journal->store, count_taken, &journal->order_count, error);
    if (code == ERROR_OK && sim_session_log_count(*session) < acts)
        code = refuse_format(journal->path, "the night does not repeat: its log is longer than its course",
                             error);
    if (code == ERROR_OK) code = sim_journal_store_migrate(journal->store, error);
    if (code == ERROR_OK) code = sim_journal_store_put_ended(journal->store, false, error);
    journal->log_written = acts;
    journal->next_observation_s = sim_journal_next_s(reached_s, JOURNAL_OBSERVATION_EVERY_S);
    journal->next_snapshot_s = sim_journal_next_s(reached_s, JOURNAL_SNAPSHOT_EVERY_S);
    return code;
}

Journal *sim_journal_resume(const char *path, Session **session, Error *error) {
    *session = NULL;
    Journal *journal = sim_journal_new(path, error);
    if (journal == NULL) return NULL;
    journal->store = sim_journal_store_open(path, true, error);
    if (journal->store != NULL && resume_into(journal, session, error) == ERROR_OK) return journal;
    if (error != NULL && error->where[0] == '\0') model_error_at(error, path, 0, 0);
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
    if (code == ERROR_OK && replay->snapshots == 0)
        code = refuse_format(path, "the night holds no state to compare with", error);
    if (code != ERROR_OK && error != NULL && error->where[0] == '\0') model_error_at(error, path, 0, 0);
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
        char key[JOURNAL_SET_MAX];
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
