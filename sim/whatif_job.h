/* A what-if computed in the background: first the changed course, then the range over patients like this one,
   with what is known so far at any time. */
#ifndef SIM_WHATIF_JOB_H
#define SIM_WHATIF_JOB_H

#include "sim/whatif.h"

typedef struct WhatifJob WhatifJob;

typedef enum WhatifPhase {
    WHATIF_COURSE, /* the changed course is being played */
    WHATIF_RANGE,  /* it is there; the range is being found */
    WHATIF_DONE,
    WHATIF_STOPPED, /* on request */
    WHATIF_FAILED
} WhatifPhase;

/* What is known now. */
typedef struct WhatifNews {
    WhatifPhase phase;
    bool working;      /* a thread still plays; false: nothing more will come */
    double done;       /* 0..1 of this phase */
    bool course_here;  /* sim_whatif_job_night and _other can be read */
    WhatifRange range; /* over the variants played so far; variants 0: none yet */
    int variants;      /* that are wanted */
    Error error;       /* of WHATIF_FAILED */
} WhatifNews;

/* Starts it; `acts` and `otherwise` are copied, `recall` must outlive the job. `variants` 0: no range. NULL
   and `error` on failure. Free with sim_whatif_job_free. */
WhatifJob *sim_whatif_job_start(const Recall *recall, const RerunActs *acts, const RerunActs *otherwise,
                                int variants, Error *error);

void sim_whatif_job_news(WhatifJob *job, WhatifNews *news);

/* The two courses; NULL until news say that they are here. They stay the job's. */
const RerunCourse *sim_whatif_job_night(WhatifJob *job);
const RerunCourse *sim_whatif_job_other(WhatifJob *job);

/* Asks it to stop; returns at once. */
void sim_whatif_job_stop(WhatifJob *job);

/* Stops it, waits for its threads and frees it. Accepts NULL. */
void sim_whatif_job_free(WhatifJob *job);

/* Copies a list of acts; false when memory is short. */
bool sim_whatif_copy_acts(const RerunActs *from, RerunActs *to);

#endif
