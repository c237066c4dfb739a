/* What would have happened. */
#include "sim/whatif.h"

#include "model/cohort.h"
#include "model/people.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#define VARIANT_WIDTH 0.33 /* of the spread between people */

enum { VARIANT_SEED = 20, DRAWS_MAX = 200 };

static const double LOW_SHARE = 0.05, MID_SHARE = 0.5, HIGH_SHARE = 0.95;

bool sim_whatif_acts(const Recall *recall, RerunActs *acts) {
    *acts = (RerunActs){.count = 0};
    for (int64_t i = 0; i < recall->entry_count; i++) {
        const LogEntry *entry = &recall->entry[i];
        if (sim_records_repeats(entry->kind, entry->from) &&
            !sim_rerun_acts_add(acts, entry->time_s, entry->kind, entry->text))
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

/* ---- the night beside itself ---- */

/* The thread that plays the night as it was. */
typedef struct Beside {
    const Recall *recall;
    const RerunActs *acts;
    double until_s;
    RerunCourse *course;
    atomic_bool stop;
    ErrorCode code;
    Error error;
} Beside;

static bool watch_beside(void *context, double done) {
    (void)done;
    return atomic_load(&((Beside *)context)->stop);
}

static void *play_beside(void *context) {
    Beside *beside = context;
    beside->code = sim_rerun_play(beside->recall->case_file, &beside->recall->options, beside->acts,
                                  beside->until_s, watch_beside, beside, beside->course, &beside->error);
    return NULL;
}

ErrorCode sim_whatif_compare(const Recall *recall, const RerunActs *acts, const RerunActs *otherwise,
                             double until_s, RerunWatch watch, void *context, RerunCourse *night,
                             RerunCourse *other, Error *error) {
    Beside beside = {.recall = recall, .acts = acts, .until_s = until_s, .course = night};
    *night = *other = (RerunCourse){.points = 0};
    model_error_clear(&beside.error);
    pthread_t thread;
    bool threaded = pthread_create(&thread, NULL, play_beside, &beside) == 0;
    ErrorCode code =
        sim_rerun_play(recall->case_file, &recall->options, otherwise, until_s, watch, context, other, error);
    if (code != ERROR_OK) atomic_store(&beside.stop, true);
    if (threaded)
        pthread_join(thread, NULL);
    else if (code == ERROR_OK)
        play_beside(&beside);
    if (code == ERROR_OK && beside.code != ERROR_OK) {
        code = beside.code;
        if (error != NULL) *error = beside.error;
    }
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
    bool *failed;             /* [variants]: the model could not play it */
    pthread_mutex_t lock;
    int next, done; /* under lock */
    bool stop;      /* under lock: somebody gave up, or something failed */
    ErrorCode code; /* under lock: the first failure */
    Error error;
    RerunWatch watch;
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
    free(variant);
    return code;
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
        pool->failed[i] = failed;
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

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void summarise(const Pool *pool, WhatifRange *range) {
    *range = (WhatifRange){.variants = 0};
    double value[OUTCOME_COUNT][WHATIF_VARIANTS];
    for (int i = 0; i < pool->variants; i++) {
        if (pool->failed[i]) continue;
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
                           double until_s, int variants, int threads, RerunWatch watch, void *context,
                           WhatifRange *range, Error *error) {
    Parameters *person = calloc((size_t)variants, sizeof *person);
    RerunCourse *course = calloc((size_t)variants, sizeof *course);
    bool *failed = calloc((size_t)variants, sizeof *failed);
    Pool pool = {.case_file = case_file,
                 .options = options,
                 .acts = acts,
                 .until_s = until_s,
                 .variants = variants,
                 .person = person,
                 .course = course,
                 .failed = failed,
                 .watch = watch,
                 .context = context};
    ErrorCode code = ERROR_OK;
    if (person == NULL || course == NULL || failed == NULL)
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
    free(failed);
    free(course);
    free(person);
    return code;
}
