/* Where case files lie, and which there are. */
#ifndef SIM_CASEFOLDER_H
#define SIM_CASEFOLDER_H

#include "model/error.h"

#include <stddef.h>

enum { CASEFOLDER_FILES_MAX = 200, CASEFOLDER_NAME_MAX = 96, CASEFOLDER_PATH_MAX = 512 };

typedef struct CaseFolder {
    char path[CASEFOLDER_PATH_MAX]; /* the folder */
    int count;
    char names[CASEFOLDER_FILES_MAX][CASEFOLDER_NAME_MAX]; /* file names that end in .yaml, in order */
} CaseFolder;

/* Finds the folder of the cases that come with the program: EVENKEEL_SCENARIOS if set, else ./scenarios, else
   beside the program (in its build or installed), else where it is installed by default. Lists its case
   files. ERROR_FILE_READ when there is none. */
MODEL_CHECKED ErrorCode sim_casefolder_find(CaseFolder *folder, Error *error);

/* Turns what a person typed into a path: the file itself if it exists, else a case of the folder by its name
   with or without .yaml. ERROR_FILE_READ, with the nearest name, if there is none. */
MODEL_CHECKED ErrorCode sim_casefolder_resolve(const char *typed, char *path, size_t size, Error *error);

#endif
