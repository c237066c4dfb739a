/* What would have happened. */
#include "sim/whatif.h"

#include "model/cohort.h"
#include "model/people.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define VARIANT_WIDTH  0.33 /* of the spread between people */
#define STATE_BEFORE_S 0.5  /* a state this long before the first changed act is surely before it */

enum { VARIANT_SEED = 20, DRAWS_MAX = 200 };

static const double LOW_SHARE = 0.05, MID_SHARE = 0.5, HIGH_SHARE = 0.95;

bool sim_whatif_acts(const Recall *recall, RerunActs *acts) {
    *acts = (RerunActs){.count = 0};
    for (int64_t i = 0; i < recall->entry_count; i++) {
        const LogEntry *entry = &recall->entry[i];
        char words[ACT_TEXT_MAX];
        bool by_hand = strcmp(entry->from, RECORDS_FROM_INSTRUCTOR) == 0;
        if (!sim_records_repeats(entry->kind, entry->from)) continue;
        snprintf(words, sizeof words, "%s%.500s", by_hand ? RECORDS_FROM_INSTRUCTOR " " : "", entry->text);
        if (!sim_rerun_acts_add(acts, entry->time_s, entry->kind, by_hand ? words : entry->text))
            return false;
    }
    return true;
}

double sim_whatif_trouble_s(const Recall *recall) {
    double event_s = -1.0;
    for (int64_t i = 0; i < recall->entry_count; i++) {
        const LogEntry *entry = &recall->entry[i];
        if (entry->kind == LOG_TRUTH && strcmp(entry->from, sim_diagnoses_row(DIAGNOSIS_well)->key) != 0)
            return entry->time_s;
        if (entry->kind == LOG_EVENT && event_s < 0.0) event_s = entry->time_s;
    }
    return fmax(event_s, 0.0);
}

/* An order that changes the patient; a measurement does not. */
static bool treats(const RerunAct *act, const OrderLimits *limits) {
    Act read;
    Error ignored;
    if (act->kind != LOG_ORDER && act->kind != LOG_PREDICTION) return false;
    if (sim_acts_parse(act->words, limits, &read, &ignored) != ERROR_OK) return false;
    return sim_orders_row(read.order.id)->parameter != PARAMETER_COUNT;
}

int sim_whatif_treatment(const Recall *recall, const RerunActs *acts, int *numbers, int most) {
    double from_s = sim_whatif_trouble_s(recall);
    int count = 0;
    for (int i = 0; i < acts->count && count < most; i++) {
        if (acts->act[i].time_s >= from_s && treats(&acts->act[i], &recall->case_file->limits))
            numbers[count++] = i;
    }
    return count;
}

int sim_whatif_earlier(const Recall *recall, const RerunActs *acts, double by_s, double time_s[]) {
    int number[WHATIF_TREATMENTS_MAX];
    int count = sim_whatif_treatment(recall, acts, number, WHATIF_TREATMENTS_MAX);
    double least_s = sim_whatif_trouble_s(recall);
    for (int i = 0; i < acts->count; i++)
        time_s[i] = acts->act[i].time_s;
    for (int i = 0; i < count; i++)
        time_s[number[i]] = fmax(time_s[number[i]] - by_s, least_s);
    return count;
}

/* ---- the night and the other course ---- */

int sim_whatif_threads(void) {
    long count = sysconf(_SC_NPROCESSORS_ONLN);
    return count < 1 ? 1 : count > WHATIF_THREADS_MAX ? WHATIF_THREADS_MAX : (int)count;
}

double sim_whatif_until_s(const Recall *recall) {
    return recall->night.ended ? recall->case_file->length_s : recall->night.reached_s;
}

/* Number of acts at the head of both lists that are the same. */
static int alike(const RerunActs *acts, const RerunActs *otherwise) {
    int i = 0;
    while (i < acts->count && i < otherwise->count && acts->act[i].time_s == otherwise->act[i].time_s &&
           strcmp(acts->act[i].words, otherwise->act[i].words) == 0)
        i++;
    return i;
}

double sim_whatif_parts_s(const RerunActs *acts, const RerunActs *otherwise) {
    int i = alike(acts, otherwise);
    double one = i < acts->count ? acts->act[i].time_s : INFINITY;
    double other = i < otherwise->count ? otherwise->act[i].time_s : INFINITY;
    return fmin(one, other);
}

/* Number of the recorded acts that had been said when the state was kept. */
static int said_before(const Recall *recall, const SessionState *state) {
    int count = 0;
    for (int64_t i = 0; i < recall->entry_count; i++) {
        const LogEntry *entry = &recall->entry[i];
        count += entry->number < state->log_count && sim_records_repeats(entry->kind, entry->from);
    }
    return count;
}

static ErrorCode play_other(const Recall *recall, const RerunActs *otherwise, double parts_s, double until_s,
                            RerunWatch watch, void *context, RerunCourse *other, Error *error) {
    SessionState *state = malloc(sizeof *state);
    if (state == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a state of the night");
    double before_s = fmin(parts_s, until_s) - STATE_BEFORE_S;
    ErrorCode code = sim_recall_state(recall->path, before_s, state, error);
    if (code == ERROR_OK)
        code = state->time_s <= before_s
                   ? sim_rerun_branch(recall, state, otherwise, said_before(recall, state), until_s, watch,
                                      context, other, error)
                   : sim_rerun_play(recall->case_file, &recall->options, otherwise, until_s, watch, context,
                                    other, error);
    free(state);
    return code;
}

ErrorCode sim_whatif_compare(const Recall *recall, const RerunActs *acts, const RerunActs *otherwise,
                             double until_s, RerunWatch watch, void *context, RerunCourse *night,
                             RerunCourse *other, Error *error) {
    *night = *other = (RerunCourse){.points = 0};
    ErrorCode code = sim_rerun_recorded(recall, until_s, night, error);
    if (code == ERROR_OK)
        code = play_other(recall, otherwise, sim_whatif_parts_s(acts, otherwise), until_s, watch, context,
                          other, error);
    return code;
}

/* ---- variants ---- */

/* What the threads share. */
typedef struct Pool {
    const Case *case_file;
    const SessionOptions *options;
    const RerunActs *acts;
    double until_s;
    int variants;
    const Parameters *person; /* [variants] */
    RerunCourse *course;      /* [variants] */
    bool *played;             /* [variants], under lock */
    pthread_mutex_t lock;
    int next, done; /* under lock */
    bool stop;      /* under lock: somebody gave up, or something failed */
    ErrorCode code; /* under lock: the first failure */
    Error error;
    RerunWatch watch;
    WhatifFound found;
    void *context;
} Pool;

typedef struct Worker {
    Pool *pool;
    bool first; /* the one that calls the watch */
} Worker;

static bool watch_worker(void *context, double done) {
    Worker *worker = context;
    Pool *pool = worker->pool;
    pthread_mutex_lock(&pool->lock);
    bool stop = pool->stop;
    int whole = pool->done;
    pthread_mutex_unlock(&pool->lock);
    if (!worker->first || pool->watch == NULL || stop) return stop;
    return pool->watch(pool->context, fmin((whole + done) / pool->variants, 1.0));
}

static ErrorCode play_variant(Worker *worker, int i, Error *error) {
    const Pool *pool = worker->pool;
    Case *variant = malloc(sizeof *variant);
    if (variant == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a variant");
    *variant = *pool->case_file;
    variant->patient.parameters = pool->person[i];
    ErrorCode code = sim_rerun_play(variant, pool->options, pool->acts, pool->until_s, watch_worker, worker,
                                    &pool->course[i], error);
    sim_rerun_course_free(&pool->course[i]); /* its outcomes stay */
    free(variant);
    return code;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* What is known so far; under lock. */
static void summarise(const Pool *pool, WhatifRange *range) {
    *range = (WhatifRange){.variants = 0};
    double value[OUTCOME_COUNT][WHATIF_VARIANTS];
    for (int i = 0; i < pool->variants; i++) {
        if (!pool->played[i]) continue;
        for (int k = 0; k < OUTCOME_COUNT; k++)
            value[k][range->variants] = pool->course[i].outcome[k];
        range->ends[pool->course[i].end]++;
        range->variants++;
    }
    double last = range->variants - 1;
    for (int k = 0; k < OUTCOME_COUNT && range->variants > 0; k++) {
        qsort(value[k], (size_t)range->variants, sizeof value[k][0], by_size);
        range->low[k] = value[k][lround(LOW_SHARE * last)];
        range->mid[k] = value[k][lround(MID_SHARE * last)];
        range->high[k] = value[k][lround(HIGH_SHARE * last)];
    }
}

static void *work(void *context) {
    Worker *worker = context;
    Pool *pool = worker->pool;
    for (;;) {
        pthread_mutex_lock(&pool->lock);
        int i = pool->stop || pool->next == pool->variants ? -1 : pool->next++;
        pthread_mutex_unlock(&pool->lock);
        if (i < 0) return NULL;
        Error error;
        model_error_clear(&error);
        ErrorCode code = play_variant(worker, i, &error);
        bool failed = code == ERROR_SOLVER || code == ERROR_NOT_FINITE || code == ERROR_NEGATIVE_VOLUME;
        pthread_mutex_lock(&pool->lock);
        pool->done++;
        pool->played[i] = code == ERROR_OK;
        if (pool->played[i] && pool->found != NULL) {
            WhatifRange range;
            summarise(pool, &range);
            pool->found(pool->context, &range);
        }
        if (code != ERROR_OK && !failed && pool->code == ERROR_OK) {
            pool->code = code;
            pool->error = error;
        }
        pool->stop = pool->stop || (code != ERROR_OK && !failed);
        pthread_mutex_unlock(&pool->lock);
    }
}

/* Draws the variants: the case's person with traits moved a little, body size kept. */
static ErrorCode draw_people(const Case *case_file, int count, Parameters *person, Error *error) {
    Random random = model_random_seed(VARIANT_SEED);
    int drawn = 0;
    for (int tries = 0; drawn < count && tries < DRAWS_MAX; tries++) {
        double ln_x[COHORT_TRAITS];
        model_cohort_traits(&random, VARIANT_WIDTH, ln_x);
        ln_x[COHORT_SIZE] = 0.0;
        Error ignored;
        person[drawn] = model_cohort_apply(&case_file->patient.parameters, ln_x);
        if (model_parameters_check(&person[drawn], &ignored) == ERROR_OK) drawn++;
    }
    if (drawn == count) return ERROR_OK;
    return model_error_set(error, ERROR_COMBINATION, "no people like this one could be drawn");
}

/* Plays all variants; the calling thread is one of the workers. */
static ErrorCode play_all(Pool *pool, int threads, Error *error) {
    pthread_t thread[WHATIF_THREADS_MAX];
    Worker worker[WHATIF_THREADS_MAX];
    int started = 0;
    for (int i = 1; i < threads && i < WHATIF_THREADS_MAX; i++) {
        worker[i] = (Worker){.pool = pool};
        if (pthread_create(&thread[started], NULL, work, &worker[i]) != 0) break;
        started++;
    }
    worker[0] = (Worker){.pool = pool, .first = true};
    work(&worker[0]);
    for (int i = 0; i < started; i++)
        pthread_join(thread[i], NULL);
    if (pool->code != ERROR_OK && error != NULL) *error = pool->error;
    return pool->code;
}

ErrorCode sim_whatif_range(const Case *case_file, const SessionOptions *options, const RerunActs *acts,
                           double until_s, int variants, int threads, RerunWatch watch, WhatifFound found,
                           void *context, WhatifRange *range, Error *error) {
    Parameters *person = calloc((size_t)variants, sizeof *person);
    RerunCourse *course = calloc((size_t)variants, sizeof *course);
    bool *played = calloc((size_t)variants, sizeof *played);
    Pool pool = {.case_file = case_file,
                 .options = options,
                 .acts = acts,
                 .until_s = until_s,
                 .variants = variants,
                 .person = person,
                 .course = course,
                 .played = played,
                 .found = found,
                 .watch = watch,
                 .context = context};
    ErrorCode code = ERROR_OK;
    if (person == NULL || course == NULL || played == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the variants");
    if (code == ERROR_OK) code = draw_people(case_file, variants, person, error);
    if (code == ERROR_OK) {
        pthread_mutex_init(&pool.lock, NULL);
        code = play_all(&pool, threads, error);
        pthread_mutex_destroy(&pool.lock);
    }
    if (code == ERROR_OK) summarise(&pool, range);
    if (code == ERROR_OK && range->variants == 0)
        code = model_error_set(error, ERROR_SOLVER, "none of the variants could be played");
    for (int i = 0; course != NULL && i < variants; i++)
        sim_rerun_course_free(&course[i]);
    free(played);
    free(course);
    free(person);
    return code;
}
