/* Several threads that share a list of jobs. Which thread does a job cannot be told from its result, as long
   as a job depends on its number only. */
#ifndef SIM_CREW_H
#define SIM_CREW_H

#include "model/error.h"

#include <stdbool.h>

enum { CREW_THREADS_MAX = 16 };

/* Where a job says how far it is. */
typedef struct CrewSeat CrewSeat;

/* Does job `index`. Tells now and then how far it is, and gives up with any error when told to. */
typedef ErrorCode (*CrewJob)(void *context, int index, CrewSeat *seat, Error *error);

/* Called from the calling thread only, with the share of all jobs done (0..1); returns true to give up. */
typedef bool (*CrewWatch)(void *context, double done);

/* What all jobs share. */
typedef struct CrewTask {
    int jobs;
    int threads; /* 1..CREW_THREADS_MAX, the calling one included; others are cut to that */
    CrewJob job;
    void *context;
    CrewWatch watch; /* may be NULL */
    void *watch_context;
} CrewTask;

/* Tells that the share `done` (0..1) of the present job is done; true: give up. */
bool sim_crew_tell(CrewSeat *seat, double done);

/* Does all jobs and returns when no thread is left. The first failure (by number of the job) ends the others
   and is returned; ERROR_NOT_ALLOWED when the watch gave up. */
MODEL_CHECKED ErrorCode sim_crew_run(const CrewTask *task, Error *error);

/* As many threads as this machine has processors, at most CREW_THREADS_MAX. */
int sim_crew_threads(void);

#endif
