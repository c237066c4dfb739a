/* The first change of a quantity that is more than its noise: what could have been seen, and when. */
#ifndef SIM_FIRSTSIGN_H
#define SIM_FIRSTSIGN_H

#include "model/observables.h"
#include "sim/instruments.h"

#include <stdbool.h>
#include <stddef.h>

/* What the picture of the heart shows beside its looks: quantity, smallest change that is seen. */
typedef struct PictureRow {
    ObservableId observable;
    const char *label;
    int decimals;
    double least, least_share; /* the larger of both counts: in its unit, and as share of what was usual */
} PictureRow;

/* One quantity over time, evenly or not; a value that is not finite was not on show. */
typedef struct SignSeries {
    const double *time_s, *value; /* [count], borrowed */
    size_t count;
} SignSeries;

/* A change that is more than noise. */
typedef struct FirstSign {
    bool found;
    double time_s;      /* when it began */
    double before, now; /* mean before the trouble; value a minute after the sign began */
} FirstSign;

int sim_firstsign_picture_count(void);
const PictureRow *sim_firstsign_picture(int index);

/* True if a change of a displayed quantity says something of the patient: not what is set, nor the time of a
   reading. */
bool sim_firstsign_counts(DisplayId id);

/* Finds when the quantity has left its mean of the 10 min before trouble_s (s) by the largest of `least`,
   `least_share` of that mean and three standard deviations of that time, for a minute at least. Not found
   when less than 2 min before the trouble are known. */
FirstSign sim_firstsign_find(SignSeries series, double trouble_s, double least, double least_share);

#endif
