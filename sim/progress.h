/* A progress bar on standard error, only where a person watches it. */
#ifndef SIM_PROGRESS_H
#define SIM_PROGRESS_H

#include <stdbool.h>

typedef struct Progress {
    bool shown;        /* standard error is a terminal */
    int last_permille; /* drawn last */
    char what[40];
} Progress;

/* Starts a bar named `what`; draws nothing where standard error is no terminal. */
Progress sim_progress_start(const char *what);

/* Draws the bar at `done` (0..1) when it has moved. */
void sim_progress_show(Progress *progress, double done);

/* Clears the bar's line for something else to be printed there; the next show draws it again. */
void sim_progress_clear(Progress *progress);

/* Takes the bar away for good, so that what is printed next starts on a clean line. */
void sim_progress_end(Progress *progress);

#endif
