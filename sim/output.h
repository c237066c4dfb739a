/* Files the program makes: written beside their place and renamed when complete, so that a file under its own
   name is always whole. "-" is standard output. */
#ifndef SIM_OUTPUT_H
#define SIM_OUTPUT_H

#include "model/error.h"

#include <stdbool.h>
#include <stdio.h>

enum { OUTPUT_PATH_MAX = 1024 };

/* Zero-initialise before use; then close and drop are harmless. */
typedef struct Output {
    FILE *file;                       /* write here; NULL when not open */
    bool standard;                    /* it is standard output */
    char path[OUTPUT_PATH_MAX];       /* final name */
    char aside[OUTPUT_PATH_MAX + 16]; /* name until it is complete */
} Output;

/* Opens a file for `path`, or standard output for "-". ERROR_FILE_WRITE names the path and the reason. */
MODEL_CHECKED ErrorCode sim_output_open(Output *output, const char *path, Error *error);

/* Completes the file: flushes, checks that all was written and gives it its name. On failure the unfinished
   file is removed and what stood under the name before is untouched. */
MODEL_CHECKED ErrorCode sim_output_close(Output *output, Error *error);

/* Gives up: removes the unfinished file. */
void sim_output_drop(Output *output);

/* True if both names (either may be NULL) are the same file, or both standard output. Devices and pipes may
   be used twice. */
bool sim_output_same(const char *a, const char *b);

/* Makes a folder and those above it where missing. */
MODEL_CHECKED ErrorCode sim_output_make_folder(const char *path, Error *error);

#endif
