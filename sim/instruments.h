/* The instruments at the bedside: what monitors and the pump console show of the patient. Never the truth
   itself: catheters ring, averages lag, the pump's flow is an estimate, laboratory values come when they are
   taken. */
#ifndef SIM_INSTRUMENTS_H
#define SIM_INSTRUMENTS_H

#include "model/beat.h"
#include "model/parameters.h"
#include "model/random.h"
#include "sim/ecg.h"
#include "sim/orders.h"

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

/* What hands do at a line for a while. */
typedef enum LineHands {
    LINE_LEFT_ALONE,
    LINE_FLUSHED, /* open to the pressure bag, then rings */
    LINE_DRAWN,   /* shut off while blood is drawn, then flushed */
    LINE_OPEN,    /* open to air, to be zeroed */
    LINE_BALLOON, /* pulmonary artery: behind the balloon */
    LINE_HANDS_COUNT
} LineHands;

typedef struct Line {
    Catheter catheter;
    double drift_mmhg,
        zero_mmhg; /* what the transducer has wandered; what is taken off since it was zeroed */
    LineHands hands;
    double hands_s; /* how much longer */
} Line;

enum { INSTRUMENTS_INJECTIONS = 3, INSTRUMENTS_OXIMETER_STAGES = 3, INSTRUMENTS_RESULT_MAX = 160 };

/* Flat: copied by assignment. */
typedef struct InstrumentsState {
    Random random; /* the instruments' own, separate from the patient's */
    bool started;
    Line art, pa, cvp;
    double console_flow_l_min;             /* estimate behind the pump flow trace, low-passed */
    double pump_max_l_min, pump_min_l_min; /* running averages of each beat's extremes on the trace */
    EcgState ecg;
    double average[DISPLAY_COUNT]; /* running averages behind the numbers */
    bool average_valid[DISPLAY_COUNT];
    double next_update_s;           /* numbers change at most this often */
    double next_sample_s;           /* next routine blood sample */
    unsigned drawn, reported, told; /* bits of OrderTest: to be taken, to be shown, told with this beat */

    double result[DISPLAY_COUNT];   /* taken, on the way */
    double result_s[DISPLAY_COUNT]; /* when taken */
    double injection_l_min[INSTRUMENTS_INJECTIONS];
    double oximeter_frac[INSTRUMENTS_OXIMETER_STAGES]; /* blood on its way to the finger */
    double oximeter_bias_percent, oximeter_lost_s;
    double dye_mg_kg;                                 /* methylene blue in the blood */
    double urine_read_ml, urine_read_s, next_urine_s; /* bag and time of the last reading */
    double bottle_read_ml, bottle_read_s, next_bottle_s;
    Display display;
    bool pump_frozen;         /* the pump's screen stands still: its numbers and its flow trace stay */
    double frozen_flow_l_min; /* where the trace stands */
    Display console;          /* while it stands still: the pump's numbers as they are; of the rest nothing */
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

/* The pump's screen stands still, or goes on with the numbers of the moment. Only the screen does: the
   console behind it measures on, and so do its alarms. False: it is so already. */
bool sim_instruments_freeze(InstrumentsState *state, bool freeze);

/* What the alarms look at: the numbers on show, but of the pump what its console measures. */
void sim_instruments_alarmed(const InstrumentsState *state, Display *display);

/* Takes the pump's flow trace off the trainee's screen while it stands still; after the alarms have seen it.
 */
void sim_instruments_cover(const InstrumentsState *state, Trace *trace);

/* What orders do at the instruments: tests whose sample is taken with the next beat, tests whose result is
   then shown (bits of OrderTest), and hands at the lines (ORDER_HANDS_...). */
void sim_instruments_handle(InstrumentsState *state, unsigned drawn, unsigned reported, unsigned hands);

/* Writes the result of a test that was shown with the last beat and returns who reports it; NULL if there is
 * none. */
const char *sim_instruments_result(const InstrumentsState *state, OrderTest test, char *text, size_t size);

#endif
