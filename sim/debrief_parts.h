/* What the files of the debrief share. Internal to sim/debrief*.c. */
#ifndef SIM_DEBRIEF_PARTS_H
#define SIM_DEBRIEF_PARTS_H

#include "sim/debrief.h"

/* Makes the questions to talk through from what happened: open, without blame. */
void sim_debrief_ask(Debrief *debrief);

/* Picks what went well: before the gaps. */
void sim_debrief_find_well(Debrief *debrief);

/* Finds the turning points. */
void sim_debrief_find_moments(Debrief *debrief);

/* Sections of the page that are written only when there is something for them. */
void sim_debrief_write_notes(const DebriefExtras *extras, FILE *out);
void sim_debrief_write_belief(const Debrief *debrief, FILE *out);
void sim_debrief_write_hearts(const Debrief *debrief, const DebriefExtras *extras, FILE *out);
void sim_debrief_write_whatif(const DebriefExtras *extras, FILE *out);

/* Text of a time of the night, hours and minutes. */
const char *sim_debrief_clock(double time_s, char text[16]);

#endif
