/* Plays a night without a window: orders at their times, tables as it goes, the journal kept. */
#ifndef SIM_NIGHT_H
#define SIM_NIGHT_H

#include "sim/journal.h"
#include "sim/plan.h"
#include "sim/session.h"

#include <stdbool.h>

typedef struct NightOutputs {
    const char *csv_path;   /* NULL: none; "-": standard output */
    const char *waves_path; /* NULL: none */
    const char *edf_path;   /* NULL: none */
    double every_s;         /* one row of the table per this time */
    bool display;           /* adds what the bedside shows to the table */
} NightOutputs;

/* Plays `session` until until_s or the case's end, giving the orders of `plan` from item `first` on, each at
   its time, and closes `journal` (may be NULL); that it cannot be written is said on stderr and the night
   goes on. What happens is printed to stdout as it happens, unless a table goes there. An order that is
   refused ends the night with its place and reason. The tables keep what was played, whatever ended it; a
   signal that asks to stop ends the program when they and the journal are complete. */
MODEL_CHECKED ErrorCode sim_night_play(Session *session, const Plan *plan, int first, Journal *journal,
                                       double until_s, const NightOutputs *outputs, Error *error);

#endif
