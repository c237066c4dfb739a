/* Several threads that share a list of jobs. */
#include "sim/crew.h"

#include <pthread.h>
#include <unistd.h>

/* What the threads share; everything that changes is under lock. */
typedef struct Crew {
    const CrewTask *task;
    pthread_mutex_t lock;
    int next;           /* job that nobody has taken yet */
    double whole;       /* jobs done, with the parts told so far */
    bool stop, gave_up; /* somebody failed; the watch gave up */
    int failed;         /* job that failed first by number; task->jobs: none */
    Error error;        /* of that job */
} Crew;

struct CrewSeat {
    Crew *crew;
    bool first;  /* sits in the calling thread: may call the watch */
    double told; /* part of the present job */
};

bool sim_crew_tell(CrewSeat *seat, double done) {
    Crew *crew = seat->crew;
    const CrewTask *task = crew->task;
    pthread_mutex_lock(&crew->lock);
    if (done > seat->told) {
        crew->whole += done - seat->told;
        seat->told = done;
    }
    double share = crew->whole / task->jobs;
    bool stop = crew->stop;
    pthread_mutex_unlock(&crew->lock);
    if (stop || !seat->first || task->watch == NULL) return stop;
    if (!task->watch(task->watch_context, share < 1.0 ? share : 1.0)) return false;
    pthread_mutex_lock(&crew->lock);
    crew->stop = crew->gave_up = true;
    pthread_mutex_unlock(&crew->lock);
    return true;
}

/* Takes the next job; -1 when there is none or all are to stop. */
static int take(Crew *crew) {
    pthread_mutex_lock(&crew->lock);
    int index = crew->stop || crew->next == crew->task->jobs ? -1 : crew->next++;
    pthread_mutex_unlock(&crew->lock);
    return index;
}

static void *work(void *context) {
    CrewSeat *seat = context;
    Crew *crew = seat->crew;
    for (int index = take(crew); index >= 0; index = take(crew)) {
        Error error;
        model_error_clear(&error);
        seat->told = 0.0;
        ErrorCode code = crew->task->job(crew->task->context, index, seat, &error);
        if (code == ERROR_OK) {
            (void)sim_crew_tell(seat, 1.0);
            continue;
        }
        pthread_mutex_lock(&crew->lock);
        /* those that were told to stop fail after the one that made them stop */
        if (!crew->stop || (!crew->gave_up && crew->failed < crew->task->jobs && index < crew->failed &&
                            code != ERROR_NOT_ALLOWED)) {
            crew->failed = index;
            crew->error = error;
            crew->error.code = code;
        }
        crew->stop = true;
        pthread_mutex_unlock(&crew->lock);
    }
    return NULL;
}

ErrorCode sim_crew_run(const CrewTask *task, Error *error) {
    if (task->jobs <= 0) return ERROR_OK;
    Crew crew = {.task = task, .failed = task->jobs};
    int threads = task->threads < CREW_THREADS_MAX ? task->threads : CREW_THREADS_MAX;
    if (threads > task->jobs) threads = task->jobs;
    pthread_mutex_init(&crew.lock, NULL);
    pthread_t thread[CREW_THREADS_MAX];
    CrewSeat seat[CREW_THREADS_MAX];
    int started = 0;
    for (int i = 1; i < threads; i++) {
        seat[i] = (CrewSeat){.crew = &crew};
        if (pthread_create(&thread[started], NULL, work, &seat[i]) != 0) break;
        started++;
    }
    seat[0] = (CrewSeat){.crew = &crew, .first = true};
    work(&seat[0]);
    for (int i = 0; i < started; i++)
        pthread_join(thread[i], NULL);
    pthread_mutex_destroy(&crew.lock);
    if (crew.gave_up) return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
    if (crew.failed == task->jobs) return ERROR_OK;
    if (error != NULL) *error = crew.error;
    return crew.error.code;
}

int sim_crew_threads(void) {
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors < 1 ? 1 : processors > CREW_THREADS_MAX ? CREW_THREADS_MAX : (int)processors;
}
