/* The logbook: nights with what came of them, in groups, and their calibration. What to practise next is in
   logbook_next.c. */
#include "sim/logbook.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PERCENT 100.0

/* ---- reading ---- */

static bool wanted(const Attempt *attempt, const LogbookFilter *filter) {
    if (filter == NULL) return true;
    if (filter->trainee != NULL && strcmp(filter->trainee, attempt->trainee) != 0) return false;
    if (filter->case_id != NULL && strcmp(filter->case_id, attempt->case_id) != 0) return false;
    return filter->since == NULL || strncmp(attempt->begun, filter->since, strlen(filter->since)) >= 0;
}

/* Room for one more: the grown array, or NULL. Arrays grow at powers of two. */
static void *grow(void *array, int count, size_t size) {
    enum { FIRST = 16 };
    bool full = count == 0 || (count >= FIRST && (count & (count - 1)) == 0);
    if (!full) return array;
    return realloc(array, (size_t)(count < FIRST ? FIRST : 2 * count) * size);
}

static bool add_call(Logbook *book, const ResultLine *line, int night) {
    LogbookCall *grown = grow(book->call, book->call_count, sizeof *grown);
    if (grown == NULL) return false;
    book->call = grown;
    book->call[book->call_count++] =
        (LogbookCall){.night = night,
                      .time_s = line->time_s,
                      .called = sim_diagnoses_find(line->what),
                      .truth = sim_diagnoses_find(line->why),
                      .right = line->got > 1.5   ? 2
                               : line->got > 0.5 ? 1
                                                 : 0,
                      .confidence_percent = (int)fmin(fmax(line->most, 0.0), PERCENT)};
    return true;
}

static bool add_prediction(Logbook *book, const ResultLine *line, int night) {
    LogbookPrediction *grown = grow(book->prediction, book->prediction_count, sizeof *grown);
    if (grown == NULL) return false;
    book->prediction = grown;
    book->prediction[book->prediction_count++] =
        (LogbookPrediction){.night = night, .chance_frac = line->most / PERCENT, .hit = line->got > 0.5};
    return true;
}

/* Takes a night's results over; false when memory is short. */
static bool take_results(Logbook *book, LogbookNight *n, const Results *r) {
    int number = (int)(n - book->night);
    double inside = 0.0, shown = 0.0;
    bool kept = true;
    snprintf(n->theme, sizeof n->theme, "%s", r->theme);
    snprintf(n->outcome, sizeof n->outcome, "%s", r->outcome);
    n->level = r->level;
    n->got = r->got;
    n->most = r->most;
    n->onset_s = r->trouble_s;
    n->sign_s = r->sign_s;
    n->call_s = r->call_s;
    n->answer_s = r->answer_s;
    if (r->trouble_s >= 0.0 && r->call_s >= r->trouble_s) n->recognition_s = r->call_s - r->trouble_s;
    n->brier = r->brier;
    n->first_call = book->call_count;
    for (int i = 0; i < r->line_count && kept; i++) {
        const ResultLine *line = &r->line[i];
        if (line->kind == RESULT_CALL) kept = add_call(book, line, number);
        if (line->kind == RESULT_PREDICTION) kept = add_prediction(book, line, number);
        if (line->kind == RESULT_OBJECTIVE) n->objectives++;
        if (line->kind == RESULT_OBJECTIVE && line->got > 0.5) n->objectives_met++;
        if (line->kind != RESULT_TARGET) continue;
        inside += line->got;
        shown += line->most;
    }
    n->call_count = book->call_count - n->first_call;
    if (shown > 0.0) n->in_target = inside / shown;
    return kept;
}

static ErrorCode read_night(Logbook *book, const Attempt *attempt, Results *results, Error *error) {
    LogbookNight *n = &book->night[book->night_count++];
    char path[JOURNAL_PATH_MAX + ATTEMPT_FILE_MAX];
    Error unread;
    *n = (LogbookNight){.attempt = *attempt, .onset_s = -1.0, .sign_s = -1.0, .call_s = -1.0};
    n->recognition_s = n->answer_s = -1.0;
    n->brier = n->in_target = NAN;
    n->first_call = book->call_count;
    snprintf(n->case_title, sizeof n->case_title, "%s", attempt->case_title);
    sim_logbook_path(book, book->night_count - 1, path, sizeof path);
    if (sim_results_read(path, results, &unread) != ERROR_OK)
        book->unmeasured++;
    else if (!take_results(book, n, results))
        return model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    return ERROR_OK;
}

static ErrorCode read_all(Logbook *book, const Attempts *attempts, const LogbookFilter *filter,
                          Error *error) {
    Results *results = malloc(sizeof *results);
    book->night = calloc((size_t)attempts->count + 1, sizeof *book->night);
    ErrorCode code = results != NULL && book->night != NULL
                         ? ERROR_OK
                         : model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    for (int i = attempts->count - 1; code == ERROR_OK && i >= 0; i--) {
        if (wanted(&attempts->item[i], filter)) code = read_night(book, &attempts->item[i], results, error);
    }
    free(results);
    return code;
}

Logbook *sim_logbook_open(const char *folder, const LogbookFilter *filter, Error *error) {
    Logbook *book = calloc(1, sizeof *book);
    Attempts *attempts = malloc(sizeof *attempts);
    ErrorCode code = book != NULL && attempts != NULL
                         ? sim_attempts_read(folder, attempts, error)
                         : model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    if (code == ERROR_OK) {
        snprintf(book->folder, sizeof book->folder, "%s", attempts->folder);
        book->skipped = attempts->skipped;
        code = read_all(book, attempts, filter, error);
    }
    free(attempts);
    if (code == ERROR_OK) return book;
    sim_logbook_free(book);
    return NULL;
}

void sim_logbook_free(Logbook *book) {
    if (book == NULL) return;
    free(book->night);
    free(book->call);
    free(book->prediction);
    free(book);
}

void sim_logbook_path(const Logbook *book, int night, char *path, size_t size) {
    snprintf(path, size, "%s/%s", book->folder, book->night[night].attempt.file);
}

bool sim_logbook_counts(const LogbookNight *night) {
    return night->outcome[0] != '\0' && night->most > 0.0;
}

double sim_logbook_score(const LogbookNight *night) {
    return night->most > 0.0 ? fmin(fmax(night->got / night->most, 0.0), 1.0) : NAN;
}

/* ---- groups ---- */

static const char *key_of(const LogbookNight *night, LogbookBy by) {
    return by == LOGBOOK_BY_CASE    ? night->attempt.case_id
           : by == LOGBOOK_BY_THEME ? night->theme
                                    : night->attempt.trainee;
}

static int by_key(const void *a, const void *b) {
    const LogbookGroup *x = a, *y = b;
    return strcmp(x->key, y->key);
}

static LogbookGroup *find_group(LogbookGroup group[LOGBOOK_GROUPS_MAX], int *count, const LogbookNight *night,
                                LogbookBy by) {
    const char *key = key_of(night, by);
    for (int i = 0; i < *count; i++) {
        if (strcmp(group[i].key, key) == 0) return &group[i];
    }
    if (*count == LOGBOOK_GROUPS_MAX) return NULL;
    LogbookGroup *added = &group[(*count)++];
    *added = (LogbookGroup){.first_score = NAN, .last_score = NAN, .mean_score = 0.0};
    added->first_recognition_s = added->last_recognition_s = added->best_recognition_s = -1.0;
    snprintf(added->key, sizeof added->key, "%s", key);
    snprintf(added->title, sizeof added->title, "%s", by == LOGBOOK_BY_CASE ? night->case_title : key);
    return added;
}

static void add_to_group(LogbookGroup *group, const LogbookNight *night) {
    group->nights++;
    snprintf(group->last_begun, sizeof group->last_begun, "%s", night->attempt.begun);
    if (sim_logbook_counts(night)) {
        double score = sim_logbook_score(night);
        if (group->counted++ == 0) group->first_score = score;
        group->last_score = score;
        group->mean_score += score;
    }
    group->trouble += night->onset_s >= 0.0;
    if (night->recognition_s < 0.0) return;
    if (group->recognised++ == 0) group->first_recognition_s = night->recognition_s;
    group->last_recognition_s = night->recognition_s;
    if (group->best_recognition_s < 0.0 || night->recognition_s < group->best_recognition_s)
        group->best_recognition_s = night->recognition_s;
}

int sim_logbook_groups(const Logbook *book, LogbookBy by, LogbookGroup group[LOGBOOK_GROUPS_MAX]) {
    int count = 0;
    for (int i = 0; i < book->night_count; i++) {
        LogbookGroup *found = find_group(group, &count, &book->night[i], by);
        if (found != NULL) add_to_group(found, &book->night[i]);
    }
    for (int i = 0; i < count; i++)
        group[i].mean_score = group[i].counted > 0 ? group[i].mean_score / group[i].counted : NAN;
    if (count > 0) qsort(group, (size_t)count, sizeof group[0], by_key);
    return count;
}

/* ---- confidence ---- */

ErrorCode sim_logbook_calibrate_calls(const Logbook *book, Calibration *calibration, Error *error) {
    CalibrationItem *item = calloc((size_t)book->call_count + 1, sizeof *item);
    if (item == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    for (int i = 0; i < book->call_count; i++)
        item[i] = (CalibrationItem){book->call[i].confidence_percent / PERCENT, book->call[i].right == 2};
    sim_calibration_make(item, (size_t)book->call_count, calibration);
    free(item);
    return ERROR_OK;
}

ErrorCode sim_logbook_calibrate_predictions(const Logbook *book, Calibration *calibration, Error *error) {
    CalibrationItem *item = calloc((size_t)book->prediction_count + 1, sizeof *item);
    if (item == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    for (int i = 0; i < book->prediction_count; i++)
        item[i] = (CalibrationItem){book->prediction[i].chance_frac, book->prediction[i].hit};
    sim_calibration_make(item, (size_t)book->prediction_count, calibration);
    free(item);
    return ERROR_OK;
}

static int by_times(const void *a, const void *b) {
    const LogbookPair *x = a, *y = b;
    if (x->times != y->times) return y->times - x->times;
    return x->truth != y->truth ? (int)x->truth - (int)y->truth : (int)x->called - (int)y->called;
}

int sim_logbook_confused(const Logbook *book, LogbookPair pair[LOGBOOK_PAIRS_MAX]) {
    static const LogbookPair none = {.times = 0};
    enum { ALL = DIAGNOSIS_COUNT * DIAGNOSIS_COUNT };
    LogbookPair all[ALL];
    int count = 0;
    for (int i = 0; i < ALL; i++)
        all[i] = none;
    for (int i = 0; i < book->call_count; i++) {
        const LogbookCall *call = &book->call[i];
        if (call->right == 2 || call->called >= DIAGNOSIS_COUNT || call->truth >= DIAGNOSIS_COUNT) continue;
        LogbookPair *found = &all[(int)call->truth * DIAGNOSIS_COUNT + (int)call->called];
        found->truth = call->truth;
        found->called = call->called;
        found->times++;
    }
    qsort(all, ALL, sizeof all[0], by_times);
    while (count < LOGBOOK_PAIRS_MAX && all[count].times > 0) {
        pair[count] = all[count];
        count++;
    }
    return count;
}
