/* The instruments at the bedside: what monitors and the pump console show of the patient. Never the truth
   itself: catheters ring, averages lag, the pump's flow is an estimate, laboratory values come when they are
   taken. */
#ifndef SIM_INSTRUMENTS_H
#define SIM_INSTRUMENTS_H

#include "model/beat.h"
#include "model/parameters.h"
#include "model/random.h"
#include "sim/ecg.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Displayed numbers (display.def) and displayed waveforms. */
typedef enum DisplayId {
#define D(key, unit, label, decimals, low, high, window_s, text) DISPLAY_##key,
#include "sim/display.def"
#undef D
    DISPLAY_COUNT
} DisplayId;

typedef struct DisplayRow {
    const char *key; /* name with its unit; `shown_` in front of it in CSV columns and conditions */
    const char *unit;
    const char *label; /* short, for a tile */
    int decimals;      /* shown after the point; -1: whole tens */
    double low, high;  /* scale of its bar and trend; values outside are drawn at the edge */
    double window_s;   /* averaging time, s; 0: taken as a sample on demand or at set times */
    const char *text;  /* what it is */
} DisplayRow;

/* The numbers on show. Values are rounded as shown. */
typedef struct Display {
    double value[DISPLAY_COUNT];
    bool valid[DISPLAY_COUNT];     /* false: two dashes are shown (no catheter, no pulse, not yet measured) */
    double taken_s[DISPLAY_COUNT]; /* case time of the value, s: for samples, the time they were drawn */
} Display;

typedef enum TraceId {
    TRACE_ECG,       /* mV */
    TRACE_ART,       /* arterial line, mmHg */
    TRACE_PA,        /* pulmonary artery catheter, mmHg */
    TRACE_CVP,       /* central venous catheter, mmHg */
    TRACE_PUMP_FLOW, /* left pump console's estimate, L/min */
    TRACE_AIRWAY,    /* airway, cmH2O */
    TRACE_COUNT
} TraceId;

typedef struct TraceRow {
    const char *key; /* CSV column of `run --waves` */
    const char *unit;
    const char *label;
    double low, high; /* usual scale */
} TraceRow;

/* Displayed waveforms of the last beat, one value per tick; joins the beat before without overlap. */
typedef struct Trace {
    int64_t first_tick;
    int ticks;
    double value[TRACE_COUNT][BEAT_TICKS_MAX];
} Trace;

/* A fluid-filled catheter and transducer: damped second-order system. */
typedef struct Catheter {
    double p_mmhg, rate_mmhg_s;
    bool started;
} Catheter;

/* Flat: copied by assignment. */
typedef struct InstrumentsState {
    Random random; /* the instruments' own, separate from the patient's */
    bool started;
    Catheter art, pa, cvp;
    double console_flow_l_min;             /* estimate behind the pump flow trace, low-passed */
    double pump_max_l_min, pump_min_l_min; /* running averages of each beat's extremes on the trace */
    EcgState ecg;
    double average[DISPLAY_COUNT]; /* running averages behind the numbers */
    bool average_valid[DISPLAY_COUNT];
    double next_update_s; /* numbers change at most this often */
    double next_sample_s; /* next routine blood sample */
    bool wedge_wanted, sample_wanted;
    Display display;
} InstrumentsState;

const DisplayRow *sim_instruments_display_row(DisplayId id);
const TraceRow *sim_instruments_trace_row(TraceId id);

/* Finds a displayed quantity by key (without `shown_`); DISPLAY_COUNT if there is none. */
DisplayId sim_instruments_display_find(const char *key);

/* Writes the number as a tile shows it ("--" when not valid); always terminated. */
void sim_instruments_format(const Display *display, DisplayId id, char *text, size_t size);

/* All off, before the first beat. `seed` is the session's; the instruments draw their own numbers from it. */
void sim_instruments_start(InstrumentsState *state, uint64_t seed);

/* Takes in one beat: fills *trace and, at most every 2 s, the numbers in state->display. */
void sim_instruments_advance(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                             Trace *trace);

/* Asks for a wedge reading / a blood sample; it appears with the next beat. */
void sim_instruments_measure_wedge(InstrumentsState *state);
void sim_instruments_draw_sample(InstrumentsState *state);

#endif
