/* Means over beats of all that can be read from the patient, weighted by the beats' length. */
#include "sim/means.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

void sim_means_clear(Means *means) {
    memset(means, 0, sizeof *means);
}

void sim_means_add(Means *means, const Beat *beat) {
    sim_means_take(means, &beat->observables, beat->ticks * BEAT_TICK_S);
}

void sim_means_take(Means *means, const Observables *values, double length_s) {
    means->time_s += length_s;
    means->last = *values;
    for (int i = 0; i < OBSERVABLE_COUNT; i++) {
        double value = model_observables_get(values, (ObservableId)i);
        if (!isfinite(value)) continue;
        means->sum[i] += value * length_s;
        means->weight[i] += length_s;
    }
}

/* Clock and counters: a mean of them would be a value of some moment before. */
static bool is_running_total(const char *key) {
    return strcmp(key, "time_s") == 0 || strstr(key, "_total_") != NULL;
}

Observables sim_means_read(const Means *means) {
    Observables read = means->last;
    double *values = (double *)&read; /* the struct is OBSERVABLE_COUNT doubles by its table */
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        if (!is_running_total(model_observables_row((ObservableId)i)->key))
            values[i] = means->weight[i] > 0.0 ? means->sum[i] / means->weight[i] : NAN;
    return read;
}
