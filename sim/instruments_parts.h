/* Between the files of the instruments only. */
#ifndef SIM_INSTRUMENTS_PARTS_H
#define SIM_INSTRUMENTS_PARTS_H

#include "sim/instruments.h"

/* Readings of one beat, before averaging. */
typedef struct Readings {
    double value[DISPLAY_COUNT];
    bool valid[DISPLAY_COUNT];
    bool held[DISPLAY_COUNT]; /* not looked at in this beat: the number stays */
} Readings;

void sim_instruments_put(Readings *readings, DisplayId id, double value, bool valid);

/* Puts a number on show, rounded as it is shown. */
void sim_instruments_show(InstrumentsState *state, DisplayId id, double value, bool valid, double time_s);

/* Where a number goes: on show, or only into the console while the pump's screen stands still. */
Display *sim_instruments_shown_on(InstrumentsState *state, DisplayId id);

/* Lines: hands at them (ORDER_HANDS_...), and the traces of a beat. */
void sim_instruments_lines_handle(InstrumentsState *state, unsigned hands);
void sim_instruments_lines_read(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                                Trace *trace);

/* What the pulmonary artery line reads too high now, mmHg. */
double sim_instruments_pa_error_mmhg(const InstrumentsState *state, const Parameters *parameters);

/* The oximeter at the finger. */
void sim_instruments_oximeter_start(InstrumentsState *state);
void sim_instruments_oximeter_read(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                                   Readings *readings);

/* Tests, routine blood samples, urine bag and drain bottle. */
void sim_instruments_samples_take(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                                  double time_s);

#endif
