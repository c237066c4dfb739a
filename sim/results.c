/* What came of a recorded night: made from its debrief, kept in its file, read back. */
#include "sim/results.h"

#include "sim/journal_store.h"
#include "sim/quantity.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEYS_MAX = 16, VALUE_MAX = 128 };

#define SAME_MOMENT_S  1.0 /* results of a night that has gone further than this are not its own */
#define PERCENT        100.0
#define MINUTE_S       60.0
#define OF_NO_MOMENT_S (-1.0)

static const char *const WORDS[RESULT_KIND_COUNT] = {[RESULT_SCORE] = "score",
                                                     [RESULT_CALL] = "call",
                                                     [RESULT_PREDICTION] = "prediction",
                                                     [RESULT_OBJECTIVE] = "objective",
                                                     [RESULT_TARGET] = "target"};

/* Numbers of the night as a whole, in the file by these keys. */
static const struct {
    const char *key;
    size_t offset;
} NUMBERS[] = {
    {"reached_s", offsetof(Results, reached_s)}, {"score_got", offsetof(Results, got)},
    {"score_most", offsetof(Results, most)},     {"trouble_s", offsetof(Results, trouble_s)},
    {"sign_s", offsetof(Results, sign_s)},       {"look_s", offsetof(Results, look_s)},
    {"call_s", offsetof(Results, call_s)},       {"answer_s", offsetof(Results, answer_s)},
    {"brier", offsetof(Results, brier)},
};

enum { NUMBER_COUNT = sizeof NUMBERS / sizeof NUMBERS[0] };

const char *sim_results_kind_word(ResultKind kind) {
    return WORDS[kind];
}

/* ---- making ---- */

/* The next line; NULL when full. */
static ResultLine *add(Results *r, ResultKind kind, double time_s) {
    if (r->line_count == RESULTS_LINES_MAX) return NULL;
    ResultLine *line = &r->line[r->line_count++];
    *line = (ResultLine){.kind = kind, .time_s = time_s};
    return line;
}

static void take_score(const Debrief *d, Results *r) {
    r->got = d->total.got;
    r->most = d->total.most;
    for (int i = 0; i < d->line_count; i++) {
        ResultLine *line = add(r, RESULT_SCORE, OF_NO_MOMENT_S);
        if (line == NULL) return;
        line->got = d->line[i].got;
        line->most = d->line[i].most;
        snprintf(line->what, sizeof line->what, "%.239s", d->line[i].what);
        snprintf(line->why, sizeof line->why, "%.239s", d->line[i].why);
    }
}

/* Every call of the log; the state keeps the newest only. */
static void take_calls(const Debrief *d, Results *r) {
    for (int64_t i = 0; i < d->recall->entry_count; i++) {
        const LogEntry *entry = &d->recall->entry[i];
        Act act;
        if (entry->kind != LOG_CALL || sim_acts_parse(entry->text, NULL, &act, NULL) != ERROR_OK ||
            act.id != ACT_call)
            continue;
        const CaseTruth *truth = sim_debrief_truth_at(d, entry->time_s);
        if (truth == NULL) continue; /* a case that does not say cannot judge */
        ResultLine *line = add(r, RESULT_CALL, entry->time_s);
        if (line == NULL) return;
        line->got = sim_session_names(truth, act.diagnosis)   ? 2.0
                    : sim_session_names_kind(truth, act.kind) ? 1.0
                                                              : 0.0;
        line->most = act.confidence_percent;
        if (act.diagnosis < DIAGNOSIS_COUNT)
            snprintf(line->what, sizeof line->what, "%s", sim_diagnoses_row(act.diagnosis)->key);
        else
            snprintf(line->what, sizeof line->what, "%s", sim_diagnoses_kind_key(act.kind));
        snprintf(line->why, sizeof line->why, "%s", sim_diagnoses_row(truth->diagnosis)->key);
    }
}

static void take_predictions(const Debrief *d, Results *r) {
    const PredictionsState *predictions = &d->recall->predictions;
    r->brier = d->brier;
    for (int i = 0; i < predictions->kept; i++) {
        const Prediction *p = &predictions->prediction[i];
        for (int k = 0; k < p->count && p->status == PREDICTION_SEEN; k++) {
            const PredictionPart *part = &p->part[k];
            if (!part->known) continue;
            ResultLine *line = add(r, RESULT_PREDICTION, p->given_s);
            if (line == NULL) return;
            line->got = part->hit;
            line->most = PERCENT * sim_predictions_chance(p->sure);
            snprintf(line->what, sizeof line->what, "%s", sim_instruments_display_row(part->quantity)->key);
            snprintf(line->why, sizeof line->why, "%s, seen %s", sim_predictions_way_word(part->said),
                     sim_predictions_way_word(part->seen));
        }
    }
}

static void take_objectives(const Debrief *d, Results *r) {
    const Case *night = d->recall->case_file;
    for (int i = 0; i < night->objective_count; i++) {
        ResultLine *line = add(r, RESULT_OBJECTIVE, OF_NO_MOMENT_S);
        if (line == NULL) return;
        line->most = 1.0;
        snprintf(line->what, sizeof line->what, "%.239s", night->objectives[i].text);
        snprintf(line->why, sizeof line->why, "%s", night->objectives[i].id);
        for (int64_t k = 0; k < d->recall->entry_count; k++) {
            const LogEntry *entry = &d->recall->entry[k];
            if (entry->kind != LOG_OBJECTIVE || strcmp(entry->from, night->objectives[i].id) != 0) continue;
            line->got = 1.0;
            line->time_s = entry->time_s;
        }
    }
}

static void take_targets(const Debrief *d, Results *r) {
    for (int i = 0; i < d->target_count; i++) {
        const DebriefTarget *target = &d->target[i];
        int64_t shown = 0;
        for (int64_t k = 0; k < d->recall->point_count; k++)
            shown += isfinite(d->recall->point[k].shown[target->quantity]);
        ResultLine *line = add(r, RESULT_TARGET, OF_NO_MOMENT_S);
        if (line == NULL) return;
        line->most = (double)shown * RECORDS_HISTORY_STEP_S / MINUTE_S;
        line->got = target->inside_frac * line->most;
        snprintf(line->what, sizeof line->what, "%s", sim_instruments_display_row(target->quantity)->key);
    }
}

void sim_results_make(const Debrief *d, Results *r) {
    const Recall *recall = d->recall;
    memset(r, 0, sizeof *r);
    snprintf(r->theme, sizeof r->theme, "%s", recall->case_file->theme);
    r->level = recall->case_file->level;
    r->reached_s = recall->night.reached_s;
    r->trouble_s = d->chain.trouble_s;
    r->sign_s = d->chain.sign_s;
    r->look_s = d->chain.look_s;
    r->call_s = d->chain.call_s;
    r->answer_s = d->chain.answer_s;
    for (int64_t i = 0; i < recall->entry_count; i++) {
        if (recall->entry[i].kind == LOG_END)
            snprintf(r->outcome, sizeof r->outcome, "%.15s", recall->entry[i].from);
    }
    take_score(d, r);
    take_calls(d, r);
    take_predictions(d, r);
    take_objectives(d, r);
    take_targets(d, r);
}

static ErrorCode make_from(const char *path, Results *results, Error *error) {
    Recall *recall = sim_recall_open(path, error);
    if (recall == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    Debrief *debrief = calloc(1, sizeof *debrief);
    ErrorCode code = ERROR_OK;
    if (debrief == NULL) {
        code = model_error_set(error, ERROR_MEMORY, "no memory for the debrief");
    } else {
        sim_debrief_make(recall, debrief);
        sim_results_make(debrief, results);
    }
    free(debrief);
    sim_recall_free(recall);
    return code;
}

/* ---- keeping ---- */

static double *number_of(Results *r, int i) {
    return (double *)((char *)r + NUMBERS[i].offset);
}

static ErrorCode write_results(JournalStore *store, Results *r, Error *error) {
    JournalResultRow row[KEYS_MAX];
    char value[KEYS_MAX][VALUE_MAX];
    size_t count = 0;
    for (int i = 0; i < NUMBER_COUNT; i++) {
        double number = *number_of(r, i);
        if (!isfinite(number)) continue;
        snprintf(value[count], VALUE_MAX, "%.17g", number);
        row[count] = (JournalResultRow){NUMBERS[i].key, value[count]};
        count++;
    }
    snprintf(value[count], VALUE_MAX, "%d", r->level);
    row[count] = (JournalResultRow){"level", value[count]};
    row[count + 1] = (JournalResultRow){"theme", r->theme};
    row[count + 2] = (JournalResultRow){"outcome", r->outcome};
    count += 3;
    JournalResultLineRow *line = calloc((size_t)r->line_count + 1, sizeof *line);
    if (line == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the results");
    for (int i = 0; i < r->line_count; i++) {
        const ResultLine *from = &r->line[i];
        line[i] = (JournalResultLineRow){.kind = WORDS[from->kind],
                                         .what = from->what,
                                         .why = from->why,
                                         .time_s = from->time_s,
                                         .got = isfinite(from->got) ? from->got : 0.0,
                                         .most = isfinite(from->most) ? from->most : 0.0};
    }
    ErrorCode code = sim_journal_store_put_results(store, row, count, line, (size_t)r->line_count, error);
    free(line);
    return code;
}

ErrorCode sim_results_keep(const char *path, Error *error) {
    Results *results = calloc(1, sizeof *results);
    if (results == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the results");
    ErrorCode code = make_from(path, results, error);
    JournalStore *store = NULL;
    if (code == ERROR_OK) {
        store = sim_journal_store_open(path, true, error);
        if (store == NULL) code = error != NULL ? error->code : ERROR_FILE_WRITE;
    }
    if (code == ERROR_OK) code = sim_journal_store_migrate(store, error);
    if (code == ERROR_OK) code = write_results(store, results, error);
    sim_journal_store_close(store);
    free(results);
    return code;
}

/* ---- reading ---- */

static ErrorCode read_row(void *context, const JournalResultRow *row, Error *error) {
    Results *r = context;
    (void)error;
    if (strcmp(row->key, "theme") == 0) snprintf(r->theme, sizeof r->theme, "%.119s", row->value);
    if (strcmp(row->key, "outcome") == 0) snprintf(r->outcome, sizeof r->outcome, "%.15s", row->value);
    double number = 0.0;
    if (sim_quantity_number(row->value, &number, NULL) != ERROR_OK) return ERROR_OK;
    if (strcmp(row->key, "level") == 0 && number >= 0.0 && number <= 9.0) r->level = (int)number;
    for (int i = 0; i < NUMBER_COUNT; i++) {
        if (strcmp(row->key, NUMBERS[i].key) == 0) *number_of(r, i) = number;
    }
    return ERROR_OK;
}

static ErrorCode read_line(void *context, const JournalResultLineRow *row, Error *error) {
    Results *r = context;
    (void)error;
    for (int kind = 0; kind < RESULT_KIND_COUNT; kind++) {
        if (strcmp(row->kind, WORDS[kind]) != 0) continue;
        ResultLine *line = add(r, (ResultKind)kind, row->time_s);
        if (line == NULL) return ERROR_OK;
        line->got = row->got;
        line->most = row->most;
        snprintf(line->what, sizeof line->what, "%.239s", row->what);
        snprintf(line->why, sizeof line->why, "%.239s", row->why);
    }
    return ERROR_OK; /* a kind of a later build is left out */
}

/* Reads what is kept; *fits tells whether there is something and it is of the whole night. */
static ErrorCode read_kept(const char *path, Results *r, bool *fits, Error *error) {
    *fits = false;
    JournalStore *store = sim_journal_store_open(path, false, error);
    if (store == NULL) return error != NULL ? error->code : ERROR_FILE_READ;
    double reached_s = 0.0;
    int64_t acts = 0;
    *r = (Results){.reached_s = NAN, .brier = NAN, .trouble_s = OF_NO_MOMENT_S};
    r->sign_s = r->look_s = r->call_s = r->answer_s = OF_NO_MOMENT_S;
    ErrorCode code = sim_journal_store_extent(store, &acts, &reached_s, error);
    if (code == ERROR_OK) code = sim_journal_store_each_result(store, read_row, r, error);
    if (code == ERROR_OK) code = sim_journal_store_each_result_line(store, read_line, r, error);
    *fits = code == ERROR_OK && isfinite(r->reached_s) && fabs(r->reached_s - reached_s) < SAME_MOMENT_S;
    sim_journal_store_close(store);
    return code;
}

ErrorCode sim_results_read(const char *path, Results *results, Error *error) {
    bool fits = false;
    ErrorCode code = read_kept(path, results, &fits, error);
    if (code != ERROR_OK || fits) return code;
    return make_from(path, results, error);
}
