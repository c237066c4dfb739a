/* Waveforms in EDF+, the open format of physiological recordings: the bedside's traces, the truth of both
   ventricles beside them, and what was ordered, said and seen as annotations. */
#ifndef SIM_EDF_H
#define SIM_EDF_H

#include "sim/session.h"

typedef struct EdfWriter EdfWriter;

/* Begins a file for `path`, written aside until it is complete. NULL and `error` (path, reason) on failure;
   the path must be a regular file's. End with sim_edf_close or sim_edf_drop. */
EdfWriter *sim_edf_open(const char *path, Error *error);

/* Adds the last beat of `session` and what was logged since the call before. A signal that is not connected
   is written at the lower end of its range. */
MODEL_CHECKED ErrorCode sim_edf_beat(EdfWriter *writer, const Session *session, Error *error);

/* Completes the last second by repeating its last sample, and gives the file its name. Accepts NULL. */
MODEL_CHECKED ErrorCode sim_edf_close(EdfWriter *writer, Error *error);

/* Gives up: removes the unfinished file. Accepts NULL. */
void sim_edf_drop(EdfWriter *writer);

#endif
