/* What would have happened: the same night with an act moved, left out or added, and how much of the
   difference holds for patients who are nearly the same. Estimates of a model, not proof of what a person
   would have done. */
#ifndef SIM_WHATIF_H
#define SIM_WHATIF_H

#include "sim/recall.h"
#include "sim/rerun.h"

enum { WHATIF_VARIANTS = 20, WHATIF_THREADS_MAX = 8, WHATIF_TREATMENTS_MAX = 256 };

#define WHATIF_EARLIER_S 1200.0 /* what is offered by itself: 20 min earlier */

/* The acts of a recorded night that change its course. False when memory is short. */
bool sim_whatif_acts(const Recall *recall, RerunActs *acts);

/* When the trouble began: when the case first says that something is wrong, else at its first event, else 0
 * (s). */
double sim_whatif_trouble_s(const Recall *recall);

/* The answer to the trouble: orders since it began that treat rather than measure. Returns how many and
   writes their numbers, at most `most`. */
int sim_whatif_treatment(const Recall *recall, const RerunActs *acts, int *numbers, int most);

/* Times of the acts with the treatment by_s earlier, nothing of it before the trouble began: what is offered
   by itself. Fills time_s[acts->count]; returns how many acts moved. */
int sim_whatif_earlier(const Recall *recall, const RerunActs *acts, double by_s, double time_s[]);

/* How long a changed night is played, s: to the case's length, or as far as an unfinished one got. */
double sim_whatif_until_s(const Recall *recall);

/* When the first act differs between two lists, s; INFINITY when none does. */
double sim_whatif_parts_s(const RerunActs *acts, const RerunActs *otherwise);

/* The night as it was, from its record, and as it might have been: played from the last state kept before the
   first act that differs. ERROR_FORMAT for a night of another build. Free both courses with
   sim_rerun_course_free, also after a failure. */
MODEL_CHECKED ErrorCode sim_whatif_compare(const Recall *recall, const RerunActs *acts,
                                           const RerunActs *otherwise, double until_s, RerunWatch watch,
                                           void *context, RerunCourse *night, RerunCourse *other,
                                           Error *error);

/* Threads that a range is played on here: as many as there are processors, at most WHATIF_THREADS_MAX. */
int sim_whatif_threads(void);

/* Several courses of one plan in patients who differ a little. */
typedef struct WhatifRange {
    int variants;                                                       /* that could be played */
    double low[OUTCOME_COUNT], mid[OUTCOME_COUNT], high[OUTCOME_COUNT]; /* 5th, 50th, 95th percentile */
    int ends[CASE_OUTCOME_COUNT];                                       /* how they ended */
} WhatifRange;

/* Told what is known so far, each time a variant has been played; from any thread, one at a time. */
typedef void (*WhatifFound)(void *context, const WhatifRange *range);

/* Plays `acts` in `variants` (1..WHATIF_VARIANTS) patients drawn around the case's own with a fixed seed, on
   `threads` threads. The spread is a third of that between people: the same person, not known exactly. A
   variant that cannot live is drawn again. `watch` is called from one thread only; `found` may be NULL. */
MODEL_CHECKED ErrorCode sim_whatif_range(const Case *case_file, const SessionOptions *options,
                                         const RerunActs *acts, double until_s, int variants, int threads,
                                         RerunWatch watch, WhatifFound found, void *context,
                                         WhatifRange *range, Error *error);

#endif
