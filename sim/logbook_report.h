/* The logbook as text and as a table. */
#ifndef SIM_LOGBOOK_REPORT_H
#define SIM_LOGBOOK_REPORT_H

#include "sim/logbook.h"

#include <stdio.h>

/* Writes the logbook for reading: nights, cases, themes, trainees, confidence, look-alikes, what next.
   ERROR_MEMORY only. */
MODEL_CHECKED ErrorCode sim_logbook_report(const Logbook *logbook, FILE *out, Error *error);

/* Writes one row per night, oldest first; what is not known is empty. */
void sim_logbook_write_csv(const Logbook *logbook, FILE *out);

#endif
