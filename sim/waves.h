/* Waveforms as a table: one row per 4 ms, the bedside's traces first, then the truth behind them. */
#ifndef SIM_WAVES_H
#define SIM_WAVES_H

#include "model/beat.h"
#include "sim/instruments.h"

#include <stdio.h>

/* Writes the names of the columns. */
void sim_waves_write_header(FILE *out);

/* Writes the samples of one beat; `trace` is the same beat as the bedside shows it. */
void sim_waves_write_beat(FILE *out, const Beat *beat, const Trace *trace);

#endif
