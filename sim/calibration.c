/* Stated confidence against being right. */
#include "sim/calibration.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAME_FRAC 1e-9 /* confidences closer than this are one */

static int by_confidence(const void *a, const void *b) {
    const CalibrationItem *x = a, *y = b;
    return (x->stated_frac > y->stated_frac) - (x->stated_frac < y->stated_frac);
}

/* Terms of Murphy 1973, eq. 5: over the groups of equal confidence. */
static void decompose(const CalibrationItem *item, size_t count, Calibration *c) {
    double n = (double)count;
    for (size_t first = 0, end; first < count; first = end) {
        double right = 0.0;
        for (end = first; end < count && item[end].stated_frac - item[first].stated_frac < SAME_FRAC; end++)
            right += item[end].right;
        double share = (double)(end - first) / n, seen = right / (double)(end - first);
        double miss = item[first].stated_frac - seen, apart = seen - c->right_frac;
        c->reliability += share * miss * miss;
        c->resolution += share * apart * apart;
    }
    c->uncertainty = c->right_frac * (1.0 - c->right_frac);
}

static void fill_bins(const CalibrationItem *item, size_t count, Calibration *c) {
    double stated[CALIBRATION_BINS] = {0};
    for (int b = 0; b < CALIBRATION_BINS; b++) {
        c->bin[b].low_frac = (double)b / CALIBRATION_BINS;
        c->bin[b].high_frac = (double)(b + 1) / CALIBRATION_BINS;
        c->bin[b].stated_frac = c->bin[b].right_frac = NAN;
    }
    for (size_t i = 0; i < count; i++) {
        int b = (int)floor(item[i].stated_frac * CALIBRATION_BINS + SAME_FRAC);
        if (b >= CALIBRATION_BINS) b = CALIBRATION_BINS - 1;
        c->bin[b].count++;
        c->bin[b].right += item[i].right;
        stated[b] += item[i].stated_frac;
    }
    for (int b = 0; b < CALIBRATION_BINS; b++) {
        if (c->bin[b].count == 0) continue;
        c->bin[b].stated_frac = stated[b] / c->bin[b].count;
        c->bin[b].right_frac = (double)c->bin[b].right / c->bin[b].count;
    }
}

void sim_calibration_make(CalibrationItem *item, size_t count, Calibration *c) {
    memset(c, 0, sizeof *c);
    c->count = (int)count;
    double stated = 0.0, right = 0.0, squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        item[i].stated_frac = isfinite(item[i].stated_frac) ? fmin(fmax(item[i].stated_frac, 0.0), 1.0) : 0.0;
        double miss = item[i].stated_frac - item[i].right;
        stated += item[i].stated_frac;
        right += item[i].right;
        squares += miss * miss;
    }
    if (count > 0) qsort(item, count, sizeof *item, by_confidence);
    fill_bins(item, count, c);
    if (count == 0) {
        c->stated_frac = c->right_frac = c->brier = NAN;
        c->reliability = c->resolution = c->uncertainty = NAN;
        return;
    }
    c->stated_frac = stated / (double)count;
    c->right_frac = right / (double)count;
    c->brier = squares / (double)count;
    decompose(item, count, c);
}
