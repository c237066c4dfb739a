/* A progress bar on standard error, only where a person watches it. */
#include "sim/progress.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { BAR_CELLS = 40, PERMILLE = 1000 };

Progress sim_progress_start(const char *what) {
    Progress progress = {.shown = isatty(STDERR_FILENO) == 1, .last_permille = -1};
    snprintf(progress.what, sizeof progress.what, "%s", what);
    return progress;
}

void sim_progress_show(Progress *progress, double done) {
    if (!progress->shown) return;
    int permille = done <= 0.0 ? 0 : done >= 1.0 ? PERMILLE : (int)(done * PERMILLE);
    if (permille == progress->last_permille) return;
    progress->last_permille = permille;
    char bar[BAR_CELLS + 1];
    int full = permille * BAR_CELLS / PERMILLE;
    memset(bar, '.', BAR_CELLS);
    memset(bar, '=', (size_t)full);
    bar[BAR_CELLS] = '\0';
    fprintf(stderr, "\r%s [%s] %3d %%", progress->what, bar, permille / 10);
    fflush(stderr);
}

void sim_progress_clear(Progress *progress) {
    if (progress->shown && progress->last_permille >= 0) fputs("\r\033[K", stderr);
    progress->last_permille = -1;
}

void sim_progress_end(Progress *progress) {
    sim_progress_clear(progress);
    progress->shown = false;
}
