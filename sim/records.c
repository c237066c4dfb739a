/* The log and the trends, as rings allocated once. */
#include "sim/records.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct Records {
    int64_t log_count, log_first;         /* numbers of the next and of the oldest kept entry */
    int64_t history_count, history_first; /* the same for the points of the trends */
    LogEntry log[RECORDS_LOG_MAX];
    double history[RECORDS_HISTORY_MAX][DISPLAY_COUNT];
};

static const LogKindRow kinds[LOG_KIND_COUNT] = {
    [LOG_ORDER] = {"order", true, false},
    [LOG_DONE] = {"done", false, false},
    [LOG_MESSAGE] = {"message", false, false},
    [LOG_EVENT] = {"event", false, true},
    [LOG_OBJECTIVE] = {"objective", false, true},
    [LOG_END] = {"end", false, false},
    [LOG_ALARM] = {"alarm", false, false},
    [LOG_ALARM_ACT] = {"alarm act", true, false},
    [LOG_LOOK] = {"look", true, false},
    [LOG_PICTURE] = {"picture", false, false},
    [LOG_CALL] = {"call", true, false},
    [LOG_PREDICTION] = {"predict", true, false},
    [LOG_OUTCOME] = {"outcome", false, false},
    [LOG_NOTE] = {"note", true, false},
    [LOG_BOOKMARK] = {"bookmark", true, false},
    [LOG_CAUSE] = {"cause", true, false},
    [LOG_TRUTH] = {"truth", false, true},
    [LOG_HAND] = {"hand", true, true},
    [LOG_MARK] = {"mark", true, true},
    [LOG_TAKE_BACK] = {"take back", false, false},
    [LOG_ASIDE] = {"aside", false, true},
};

const LogKindRow *sim_records_kind(LogKind kind) {
    return &kinds[kind];
}

bool sim_records_repeats(LogKind kind, const char *from) {
    return kinds[kind].act && strcmp(from, RECORDS_FROM_PREDICTION) != 0;
}

bool sim_records_planned(LogKind kind, const char *from) {
    return kind == LOG_TAKE_BACK || sim_records_repeats(kind, from);
}

bool sim_records_hidden(const LogEntry *entry) {
    const LogKindRow *row = &kinds[entry->kind];
    return row->hidden || (row->act && strcmp(entry->from, RECORDS_FROM_INSTRUCTOR) == 0);
}

Records *sim_records_create(void) {
    return calloc(1, sizeof(Records));
}

void sim_records_destroy(Records *records) {
    free(records);
}

void sim_records_log(Records *records, double time_s, LogKind kind, const char *from, const char *text) {
    int64_t number = records->log_count++;
    LogEntry *entry = &records->log[number % RECORDS_LOG_MAX];
    if (records->log_count - records->log_first > RECORDS_LOG_MAX) records->log_first++;
    *entry = (LogEntry){.number = number, .time_s = time_s, .kind = kind};
    snprintf(entry->from, sizeof entry->from, "%s", from);
    snprintf(entry->text, sizeof entry->text, "%s", text);
}

int64_t sim_records_log_count(const Records *records) {
    return records->log_count;
}

const LogEntry *sim_records_log_entry(const Records *records, int64_t number) {
    if (number < records->log_first || number >= records->log_count) return NULL;
    return &records->log[number % RECORDS_LOG_MAX];
}

void sim_records_show(Records *records, double time_s, const Display *display) {
    while ((double)records->history_count * RECORDS_HISTORY_STEP_S <= time_s) {
        double *point = records->history[records->history_count++ % RECORDS_HISTORY_MAX];
        if (records->history_count - records->history_first > RECORDS_HISTORY_MAX) records->history_first++;
        for (int id = 0; id < DISPLAY_COUNT; id++) {
            point[id] = display->valid[id] ? display->value[id] : NAN;
        }
    }
}

int64_t sim_records_history_count(const Records *records) {
    return records->history_count;
}

int64_t sim_records_history_first(const Records *records) {
    return records->history_first;
}

double sim_records_history_value(const Records *records, DisplayId id, int64_t i) {
    if (i < records->history_first || i >= records->history_count) return NAN;
    return records->history[i % RECORDS_HISTORY_MAX][id];
}

void sim_records_rewind(Records *records, int64_t log_count, int64_t history_count) {
    if (records->log_count < log_count || records->log_first > log_count) records->log_first = log_count;
    records->log_count = log_count;
    if (records->history_count < history_count || records->history_first > history_count)
        records->history_first = history_count;
    records->history_count = history_count;
}
