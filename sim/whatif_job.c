/* A what-if in the background. */
#include "sim/whatif_job.h"

#include <pthread.h>
#include <stdlib.h>
#include <sys/resource.h>

enum { NICE = 10 }; /* the window goes first */

struct WhatifJob {
    const Recall *recall;
    RerunActs acts, otherwise;
    int variants;
    pthread_t thread;
    bool started;
    RerunCourse night, other; /* the thread's until news.course_here */
    pthread_mutex_t lock;
    WhatifNews news; /* under lock */
    bool stop;       /* under lock */
};

bool sim_whatif_copy_acts(const RerunActs *from, RerunActs *to) {
    *to = (RerunActs){.count = 0};
    for (int i = 0; i < from->count; i++) {
        if (!sim_rerun_acts_add(to, from->act[i].time_s, from->act[i].kind, from->act[i].words)) return false;
    }
    return true;
}

static bool watch(void *context, double done) {
    WhatifJob *job = context;
    pthread_mutex_lock(&job->lock);
    job->news.done = done;
    bool stop = job->stop;
    pthread_mutex_unlock(&job->lock);
    return stop;
}

static void found(void *context, const WhatifRange *range) {
    WhatifJob *job = context;
    pthread_mutex_lock(&job->lock);
    job->news.range = *range;
    pthread_mutex_unlock(&job->lock);
}

/* Goes on to `phase`; where somebody asked to stop, that is what happened. */
static void enter(WhatifJob *job, WhatifPhase phase, const Error *error) {
    pthread_mutex_lock(&job->lock);
    job->news.phase = job->stop ? WHATIF_STOPPED : phase;
    job->news.done = 0.0;
    job->news.working = phase == WHATIF_RANGE && !job->stop;
    if (phase == WHATIF_RANGE || phase == WHATIF_DONE) job->news.course_here = true;
    if (error != NULL) job->news.error = *error;
    pthread_mutex_unlock(&job->lock);
}

static void *work(void *context) {
    WhatifJob *job = context;
    Error error;
    model_error_clear(&error);
    (void)setpriority(PRIO_PROCESS, 0, NICE); /* of this thread and of those it starts */
    double until_s = sim_whatif_until_s(job->recall);
    ErrorCode code = sim_whatif_compare(job->recall, &job->acts, &job->otherwise, until_s, watch, job,
                                        &job->night, &job->other, &error);
    if (code == ERROR_OK && job->variants > 0) {
        WhatifRange range;
        enter(job, WHATIF_RANGE, NULL);
        code = sim_whatif_range(job->recall->case_file, &job->recall->options, &job->otherwise, until_s,
                                job->variants, sim_whatif_threads(), watch, found, job, &range, &error);
    }
    enter(job, code == ERROR_OK ? WHATIF_DONE : WHATIF_FAILED, &error);
    return NULL;
}

WhatifJob *sim_whatif_job_start(const Recall *recall, const RerunActs *acts, const RerunActs *otherwise,
                                int variants, Error *error) {
    WhatifJob *job = calloc(1, sizeof *job);
    bool copied = job != NULL && sim_whatif_copy_acts(acts, &job->acts) &&
                  sim_whatif_copy_acts(otherwise, &job->otherwise);
    if (!copied) {
        model_error_set(error, ERROR_MEMORY, "no memory for what might have been");
        if (job != NULL) {
            sim_rerun_acts_free(&job->acts);
            sim_rerun_acts_free(&job->otherwise);
        }
        free(job);
        return NULL;
    }
    job->recall = recall;
    job->variants = variants < 0 ? 0 : variants > WHATIF_VARIANTS ? WHATIF_VARIANTS : variants;
    job->news = (WhatifNews){.phase = WHATIF_COURSE, .working = true, .variants = job->variants};
    pthread_mutex_init(&job->lock, NULL);
    job->started = pthread_create(&job->thread, NULL, work, job) == 0;
    if (job->started) return job;
    model_error_set(error, ERROR_MEMORY, "no thread for what might have been");
    sim_whatif_job_free(job);
    return NULL;
}

void sim_whatif_job_news(WhatifJob *job, WhatifNews *news) {
    pthread_mutex_lock(&job->lock);
    *news = job->news;
    pthread_mutex_unlock(&job->lock);
}

static bool here(WhatifJob *job) {
    pthread_mutex_lock(&job->lock);
    bool course_here = job->news.course_here;
    pthread_mutex_unlock(&job->lock);
    return course_here;
}

const RerunCourse *sim_whatif_job_night(WhatifJob *job) {
    return here(job) ? &job->night : NULL;
}

const RerunCourse *sim_whatif_job_other(WhatifJob *job) {
    return here(job) ? &job->other : NULL;
}

void sim_whatif_job_stop(WhatifJob *job) {
    pthread_mutex_lock(&job->lock);
    job->stop = true;
    pthread_mutex_unlock(&job->lock);
}

void sim_whatif_job_free(WhatifJob *job) {
    if (job == NULL) return;
    if (job->started) {
        sim_whatif_job_stop(job);
        pthread_join(job->thread, NULL);
    }
    pthread_mutex_destroy(&job->lock);
    sim_rerun_course_free(&job->night);
    sim_rerun_course_free(&job->other);
    sim_rerun_acts_free(&job->acts);
    sim_rerun_acts_free(&job->otherwise);
    free(job);
}
