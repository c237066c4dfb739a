/* How well stated confidence agrees with being right: reliability table, Brier score and its decomposition.
   Source of the score: Brier, Mon Weather Rev 1950;78:1-3. Of the decomposition: Murphy, J Appl Meteorol
   1973;12:595-600. */
#ifndef SIM_CALIBRATION_H
#define SIM_CALIBRATION_H

#include <stdbool.h>
#include <stddef.h>

enum { CALIBRATION_BINS = 5 };

/* Something that was said with a confidence, and whether it was right. */
typedef struct CalibrationItem {
    double stated_frac; /* 0 to 1 */
    bool right;
} CalibrationItem;

/* Row of the reliability table: what was said with a confidence in [low, high); the last bin has its end too.
 */
typedef struct CalibrationBin {
    double low_frac, high_frac;
    int count, right;
    double stated_frac; /* mean confidence of these; NaN: none */
    double right_frac;  /* share of these that was right; NaN: none */
} CalibrationBin;

/* brier = reliability - resolution + uncertainty, exactly: the terms are over each confidence that was
   stated, not over the bins. All NaN without items. */
typedef struct Calibration {
    int count;
    double stated_frac, right_frac; /* means over all */
    double brier;                   /* 0 best, 1 worst, 0.25 for always saying one half */
    double reliability;             /* 0 best: said and seen agree at each confidence */
    double resolution;              /* large is good: the confidence tells right from wrong */
    double uncertainty;             /* of the outcome itself */
    CalibrationBin bin[CALIBRATION_BINS];
} Calibration;

/* Sorts item[count] by confidence and fills *calibration. Confidences outside 0 to 1 are taken as the nearer
   end. */
void sim_calibration_make(CalibrationItem *item, size_t count, Calibration *calibration);

#endif
