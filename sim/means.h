/* Means over beats of all that can be read from the patient, weighted by the beats' length. */
#ifndef SIM_MEANS_H
#define SIM_MEANS_H

#include "model/beat.h"
#include "model/observables.h"

typedef struct Means {
    double time_s;                   /* length of what was added */
    double sum[OBSERVABLE_COUNT];    /* of value x length, finite values only */
    double weight[OBSERVABLE_COUNT]; /* length with a finite value, s */
    Observables last;
} Means;

/* Nothing added yet. */
void sim_means_clear(Means *means);

void sim_means_add(Means *means, const Beat *beat);

/* Adds values that held for length_s (s). */
void sim_means_take(Means *means, const Observables *values, double length_s);

/* Means of what was added; time and running totals are those of the last beat. NaN where nothing was finite.
 */
Observables sim_means_read(const Means *means);

#endif
