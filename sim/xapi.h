/* The logbook as statements of the open learning-record standard (xAPI 1.0.3, IEEE 9274.1.1): one JSON array
   that a record store takes as it is. */
#ifndef SIM_XAPI_H
#define SIM_XAPI_H

#include "sim/logbook.h"

#include <stdio.h>

/* Home page of the trainees' accounts where nobody has said one: a name that cannot belong to anybody (RFC
   2606). */
#define XAPI_HOME_STANDARD "https://evenkeel.invalid/"

/* Writes one statement for each night that was begun (completed, or suspended where it was left) and one for
   each working diagnosis called in it (answered). `home`: home page of the trainees' accounts, an http or
   https address; NULL: XAPI_HOME_STANDARD. The same night gives the same statement ids. Returns ERROR_RANGE
   for a home page that is none, ERROR_MEMORY, ERROR_FILE_WRITE. */
MODEL_CHECKED ErrorCode sim_xapi_write(const Logbook *logbook, const char *home, FILE *out, Error *error);

#endif
