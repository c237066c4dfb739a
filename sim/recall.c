/* A recorded night in memory. */
#include "sim/recall.h"

#include "sim/duration.h"
#include "sim/journal_parts.h"
#include "sim/session_state.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What is under way of reading one. */
typedef struct Recalling {
    const char *path;
    Recall *recall;
    int64_t room_entries, room_taken, room_points;
    int truth_at[OBSERVABLE_COUNT], shown_at[DISPLAY_COUNT]; /* columns in the file; negative: not there */
    SessionState *state;                                     /* NULL: not wanted */
} Recalling;

#define PAST_END_S 60.0 /* a night ends within a beat of its case's length */

static ErrorCode no_memory(Error *error) {
    return model_error_set(error, ERROR_MEMORY, "no memory for the recorded night");
}

/* Room for one more: the grown array, or NULL. */
static void *grow(void *array, int64_t count, int64_t *room, size_t size) {
    if (count < *room) return array;
    int64_t wanted = *room > 0 ? 2 * *room : 256;
    void *grown = realloc(array, (size_t)wanted * size);
    if (grown != NULL) *room = wanted;
    return grown;
}

/* False for a moment that no night of this case has: only a damaged file holds one. */
static bool is_moment(const Recall *recall, double time_s) {
    return time_s >= 0.0 && time_s <= recall->case_file->length_s + PAST_END_S;
}

/* Adds a row of the log to a list that grows. */
static ErrorCode add_entry(const Recall *recall, LogEntry **entries, int64_t *count, int64_t *room,
                           const JournalActRow *row, Error *error) {
    if (row->kind < 0 || row->kind >= LOG_KIND_COUNT)
        return model_error_set(error, ERROR_FORMAT, "entry %lld of the log is of no known kind",
                               (long long)row->number);
    if (!is_moment(recall, row->time_s))
        return model_error_set(error, ERROR_FORMAT, "entry %lld of the log is of no moment of the night",
                               (long long)row->number);
    LogEntry *grown = grow(*entries, *count, room, sizeof **entries);
    if (grown == NULL) return no_memory(error);
    *entries = grown;
    LogEntry *entry = &grown[(*count)++];
    *entry = (LogEntry){.number = row->number, .time_s = row->time_s, .kind = (LogKind)row->kind};
    snprintf(entry->from, sizeof entry->from, "%s", row->sender);
    snprintf(entry->text, sizeof entry->text, "%s", row->text);
    return ERROR_OK;
}

static ErrorCode take_entry(void *context, const JournalActRow *row, Error *error) {
    Recalling *recalling = context;
    Recall *recall = recalling->recall;
    return add_entry(recall, &recall->entry, &recall->entry_count, &recalling->room_entries, row, error);
}

static ErrorCode take_taken(void *context, int64_t take, const JournalActRow *row, Error *error) {
    Recalling *recalling = context;
    Recall *recall = recalling->recall;
    (void)take;
    return add_entry(recall, &recall->taken, &recall->taken_count, &recalling->room_taken, row, error);
}

/* Where column `key` stands in a list of names with commas between; negative: nowhere. */
static int find_column(const char *columns, const char *key) {
    size_t length = strlen(key);
    for (int i = 0; *columns != '\0'; i++) {
        size_t name = strcspn(columns, ",");
        if (name == length && strncmp(columns, key, length) == 0) return i;
        columns += name + (columns[name] == ',');
    }
    return -1;
}

static void find_columns(Recalling *recalling, const JournalNightRow *night) {
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        recalling->truth_at[i] =
            find_column(night->truth_columns, model_observables_row((ObservableId)i)->key);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        recalling->shown_at[i] =
            find_column(night->shown_columns, sim_instruments_display_row((DisplayId)i)->key);
}

/* Number `at` of `count` doubles, which may not be aligned; NaN where there is none. */
static double pick(const void *doubles, size_t count, int at) {
    double value = NAN;
    if (at >= 0 && (size_t)at < count)
        memcpy(&value, (const char *)doubles + (size_t)at * sizeof value, sizeof value);
    return value;
}

static ErrorCode take_point(void *context, const JournalObservationRow *row, Error *error) {
    Recalling *recalling = context;
    Recall *recall = recalling->recall;
    if (!is_moment(recall, row->time_s))
        return model_error_set(error, ERROR_FORMAT, "an observation is of no moment of the night");
    RecallPoint *grown =
        grow(recall->point, recall->point_count, &recalling->room_points, sizeof recall->point[0]);
    if (grown == NULL) return no_memory(error);
    recall->point = grown;
    RecallPoint *point = &recall->point[recall->point_count++];
    double *truth = (double *)&point->truth;
    point->time_s = row->time_s;
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        truth[i] = pick(row->truth, row->truth_count, recalling->truth_at[i]);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        point->shown[i] = pick(row->shown, row->shown_count, recalling->shown_at[i]);
    return ERROR_OK;
}

static ErrorCode take_state(void *context, const JournalSnapshotRow *row, Error *error) {
    Recalling *recalling = context;
    if (row->state_size != sizeof *recalling->state)
        return model_error_set(error, ERROR_FORMAT, "a kept state has another size");
    memcpy(recalling->state, row->state, sizeof *recalling->state);
    return ERROR_OK;
}

/* The newest calls, out of their words in the log. */
static void take_calls(Recall *recall) {
    for (int64_t i = 0; i < recall->entry_count; i++) {
        Act act;
        Error ignored;
        const LogEntry *entry = &recall->entry[i];
        if (entry->kind != LOG_CALL || sim_acts_parse(entry->text, NULL, &act, &ignored) != ERROR_OK ||
            act.id != ACT_call)
            continue;
        CallsState *calls = &recall->calls;
        if (calls->kept == SESSION_CALLS_MAX)
            memmove(&calls->call[0], &calls->call[1], (SESSION_CALLS_MAX - 1) * sizeof calls->call[0]);
        else
            calls->kept++;
        Call *call = &calls->call[calls->kept - 1];
        *call = (Call){.time_s = entry->time_s,
                       .diagnosis = act.diagnosis,
                       .kind = act.kind,
                       .confidence_percent = act.confidence_percent};
        snprintf(call->plan, sizeof call->plan, "%s", act.words);
        calls->count++;
    }
}

/* A damaged part ends that part, not the reading: says how far it goes. */
static ErrorCode tolerate(Recall *recall, ErrorCode code, const char *what, double to_s) {
    if (code != ERROR_FORMAT) return code;
    char clock[DURATION_TEXT_MAX];
    size_t used = strlen(recall->damage);
    sim_duration_format_clock(to_s, clock, sizeof clock);
    snprintf(recall->damage + used, sizeof recall->damage - used, "%s%s can be read to %s",
             used > 0 ? ", " : "", what, clock);
    return ERROR_OK;
}

static double last_entry_s(const Recall *recall) {
    return recall->entry_count > 0 ? recall->entry[recall->entry_count - 1].time_s : 0.0;
}

static double last_point_s(const Recall *recall) {
    return recall->point_count > 0 ? recall->point[recall->point_count - 1].time_s : 0.0;
}

/* Predictions, script and score of the last state, if it can be believed. */
static ErrorCode read_state(Recalling *recalling, JournalStore *store, Error *error) {
    Recall *recall = recalling->recall;
    ErrorCode code = sim_journal_store_last_snapshot(store, take_state, recalling, error);
    if (code == ERROR_OK && !sim_session_state_sound(recalling->state, recall->case_file))
        code = model_error_set(error, ERROR_FORMAT, "its last state is damaged");
    if (code == ERROR_OK) {
        recall->predictions = recalling->state->predictions;
        recall->script = recalling->state->script;
        recall->score = recalling->state->score;
        return ERROR_OK;
    }
    recall->same_build = false; /* nothing that needs a state can be done */
    return tolerate(recall, code, "states", 0.0);
}

static ErrorCode read_all(Recalling *recalling, JournalStore *store, Error *error) {
    Recall *recall = recalling->recall;
    const JournalNightRow *night = sim_journal_store_night(store);
    Error other_build;
    recall->same_build = sim_journal_check_build(recalling->path, night, &other_build) == ERROR_OK;
    find_columns(recalling, night);
    ErrorCode code =
        sim_journal_read_case(recalling->path, night, &recall->case_file, &recall->options, error);
    if (code != ERROR_OK) return code;
    code = sim_journal_store_each_act(store, 0, take_entry, recalling, error);
    code = tolerate(recall, code, "the log", last_entry_s(recall));
    if (code == ERROR_OK) code = sim_journal_store_each_taken(store, take_taken, recalling, error);
    code = tolerate(recall, code, "what was taken back", 0.0);
    if (code == ERROR_OK) code = sim_journal_store_each_observation(store, take_point, recalling, error);
    code = tolerate(recall, code, "observations", last_point_s(recall));
    take_calls(recall);
    if (code == ERROR_OK && recall->same_build) code = read_state(recalling, store, error);
    if (recall->damage[0] != '\0' || !is_moment(recall, recall->night.reached_s))
        recall->night.reached_s = fmax(last_entry_s(recall), last_point_s(recall));
    return code;
}

Recall *sim_recall_open(const char *path, Error *error) {
    Recall *recall = calloc(1, sizeof *recall);
    SessionState *state = calloc(1, sizeof *state);
    JournalStore *store = NULL;
    ErrorCode code = recall == NULL || state == NULL ? no_memory(error) : ERROR_OK;
    if (code == ERROR_OK) snprintf(recall->path, sizeof recall->path, "%s", path);
    if (code == ERROR_OK) {
        code = sim_journal_read(path, &recall->night, error);
        if (code == ERROR_FORMAT && recall->night.case_id[0] != '\0')
            code = ERROR_OK; /* what it is, is known */
    }
    if (code == ERROR_OK) {
        store = sim_journal_store_open(path, false, error);
        Recalling recalling = {.path = path, .recall = recall, .state = state};
        code = store == NULL ? ERROR_FILE_READ : read_all(&recalling, store, error);
    }
    if (code != ERROR_OK && error != NULL && error->where[0] == '\0') model_error_at(error, path, 0, 0);
    sim_journal_store_close(store);
    free(state);
    if (code == ERROR_OK) return recall;
    sim_recall_free(recall);
    return NULL;
}

void sim_recall_free(Recall *recall) {
    if (recall == NULL) return;
    sim_case_free(recall->case_file);
    free(recall->entry);
    free(recall->taken);
    free(recall->point);
    free(recall);
}

ErrorCode sim_recall_state(const char *path, double time_s, SessionState *state, Error *error) {
    JournalStore *store = sim_journal_store_open(path, false, error);
    if (store == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    Recalling recalling = {.path = path, .state = state};
    ErrorCode code = sim_journal_check_build(path, sim_journal_store_night(store), error);
    if (code == ERROR_OK) code = sim_journal_store_snapshot_at(store, time_s, take_state, &recalling, error);
    if (code != ERROR_OK && error != NULL && error->where[0] == '\0') model_error_at(error, path, 0, 0);
    sim_journal_store_close(store);
    return code;
}
