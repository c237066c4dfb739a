/* What the files of the look-alikes share. Internal to sim/alike*.c. */
#ifndef SIM_ALIKE_PARTS_H
#define SIM_ALIKE_PARTS_H

#include "sim/alike.h"

#define ALIKE_BASE_S       600.0  /* before the trouble: what was usual */
#define ALIKE_BASE_LEAST_S 120.0  /* less of it is no base */
#define ALIKE_LONGEST_S    7200.0 /* after the onset */

/* One patient with one cause, as it was seen. */
typedef struct AlikeNight {
    bool played;
    int times;                  /* that it lasted for */
    double base[DISPLAY_COUNT]; /* on show before the trouble, mean; NaN: not on show */
    Observables outline;        /* before the case began */
    double shown[ALIKE_TIMES_MAX][DISPLAY_COUNT];
    Observables truth[ALIKE_TIMES_MAX];
    double miss, severity; /* see AlikeCause */
} AlikeNight;

/* Decides from the untouched course which quantity leads and how long is looked, and lists the causes to be
   tried; sets why_not when there is nothing to compare. */
void sim_alike_plan(Alike *alike, const Case *night, const RehearseCourse *untouched);

/* Fills the views of a cause from own[patients] and other[patients] (the same patients). False when memory is
   short. */
bool sim_alike_compare(const Alike *alike, const AlikeNight *own, const AlikeNight *other, AlikeCause *cause);

/* Distance of all numbers but the leading one at a time of each night, in units of what counts as a change.
 */
double sim_alike_distance(const Alike *alike, const AlikeNight *own, int own_time, const AlikeNight *other,
                          int other_time);

#endif
