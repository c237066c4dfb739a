/* What the bedside shows of a beat: waveforms through catheters and the pump's console, then numbers from
 * them. */
#include "sim/instruments_parts.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define INSTRUMENTS_SEED_SALT UINT64_C(0x6c62272e07bb0142) /* keeps these draws apart from the patient's */
/* Part of a fast change of true flow that the axial console's estimate follows (Slaughter, JHLT 2010: slope
 * 0.74) */
#define CONSOLE_FOLLOWS         0.74
#define CONSOLE_TAU_S           0.05 /* smoothing of the estimate; design */
#define PULSATILITY_WINDOW_S    15.0 /* averaging of the extremes, as usual for this index */
#define PULSATILITY_LEAST_L_MIN 0.3  /* below this mean the ratio says nothing */
#define UPDATE_S                2.0  /* numbers change at most this often; common practice */
/* Viscosity that the console is not told of: share of the flow shown per point of haematocrit entered too
   low; power at the same flow grows with viscosity, the size is design */
#define CONSOLE_VISCOSITY   1.0
#define CONSOLE_LEAST_L_MIN 1.0 /* below this the console shows no flow; common practice */
#define AVERAGE_LAGS        2.0 /* a window is this many time constants */
#define TENS                (-1)

typedef struct Extent {
    double low, high, mean;
} Extent;

static const DisplayRow display_rows[DISPLAY_COUNT] = {
#define D(key, unit, label, decimals, low, high, window_s, text)                                             \
    {#key, unit, label, decimals, low, high, window_s, text},
#include "sim/display.def"
#undef D
};

static const TraceRow trace_rows[TRACE_COUNT] = {
    [TRACE_ECG] = {"shown_ecg_mv", "mV", "ECG II", -1, 2},
    [TRACE_ART] = {"shown_art_mmhg", "mmHg", "ART", 30, 110},
    [TRACE_PA] = {"shown_pa_mmhg", "mmHg", "PA", 0, 50},
    [TRACE_CVP] = {"shown_cvp_mmhg", "mmHg", "CVP", 0, 30},
    [TRACE_PUMP_FLOW] = {"shown_pump_flow_l_min", "L/min", "Pump flow", 0, 8},
    [TRACE_AIRWAY] = {"shown_airway_cmh2o", "cmH2O", "Paw", 0, 40},
};

const DisplayRow *sim_instruments_display_row(DisplayId id) {
    return &display_rows[id];
}

const TraceRow *sim_instruments_trace_row(TraceId id) {
    return &trace_rows[id];
}

DisplayId sim_instruments_display_find(const char *key) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        if (strcmp(key, display_rows[id].key) == 0) return (DisplayId)id;
    }
    return DISPLAY_COUNT;
}

void sim_instruments_format(const Display *display, DisplayId id, char *text, size_t size) {
    if (!display->valid[id]) {
        snprintf(text, size, "--");
        return;
    }
    int decimals = display_rows[id].decimals;
    double value = display->value[id];
    snprintf(text, size, "%.*f", decimals < 0 ? 0 : decimals, fabs(value) > 0 ? value : 0.0);
}

void sim_instruments_start(InstrumentsState *state, uint64_t seed) {
    memset(state, 0, sizeof *state);
    state->random = model_random_seed(seed ^ INSTRUMENTS_SEED_SALT);
    state->drawn = state->reported = 1u << ORDER_TEST_WEDGE;
    sim_instruments_oximeter_start(state);
    sim_ecg_start(&state->ecg);
}

void sim_instruments_handle(InstrumentsState *state, unsigned drawn, unsigned reported, unsigned hands) {
    state->drawn |= drawn;
    state->reported |= reported;
    sim_instruments_lines_handle(state, hands);
}

/* The console computes flow from power and speed: its mean is the model's estimate, its swings are blunted.
 */
static void read_pump(InstrumentsState *state, const Beat *beat, const Parameters *parameters, Trace *trace) {
    bool running = parameters->left_pump_present > 0.5 && parameters->left_pump_powered > 0.5;
    double entered = parameters->left_pump_hct_set_frac;
    double viscosity_x = entered > 0 ? 1 + CONSOLE_VISCOSITY * (beat->observables.hct_frac - entered) : 1;
    double share = 1 - exp(-BEAT_TICK_S / CONSOLE_TAU_S);
    for (int i = 0; i < beat->ticks; i++) {
        double swing =
            beat->samples[i].left_pump_ml_s / UNITS_ML_S_PER_L_MIN - beat->observables.pump_flow_l_min;
        double mean = viscosity_x * beat->observables.pump_flow_shown_l_min;
        double estimate = running ? mean + CONSOLE_FOLLOWS * swing : 0;
        if (!state->started && i == 0) state->console_flow_l_min = estimate;
        state->console_flow_l_min += share * (estimate - state->console_flow_l_min);
        trace->value[TRACE_PUMP_FLOW][i] = fmax(0, state->console_flow_l_min);
    }
}

static Extent extent(const double value[], int count) {
    Extent e = {value[0], value[0], 0};
    for (int i = 0; i < count; i++) {
        e.low = fmin(e.low, value[i]);
        e.high = fmax(e.high, value[i]);
        e.mean += value[i] / count;
    }
    return e;
}

void sim_instruments_put(Readings *readings, DisplayId id, double value, bool valid) {
    readings->value[id] = value;
    readings->valid[id] = valid && isfinite(value);
}

/* While hands are at a line its numbers stay as they were. */
static void hold(Readings *readings, const Line *line, DisplayId first, DisplayId last) {
    for (int id = first; id <= (int)last; id++) {
        readings->held[id] = line->hands != LINE_LEFT_ALONE;
    }
}

static void put_pressures(Readings *readings, const InstrumentsState *state, const Trace *trace) {
    Extent art = extent(trace->value[TRACE_ART], trace->ticks);
    Extent pa = extent(trace->value[TRACE_PA], trace->ticks);
    Extent cvp = extent(trace->value[TRACE_CVP], trace->ticks);
    sim_instruments_put(readings, DISPLAY_art_sys_mmhg, art.high, true);
    sim_instruments_put(readings, DISPLAY_art_dia_mmhg, art.low, true);
    sim_instruments_put(readings, DISPLAY_art_mean_mmhg, art.mean, true);
    sim_instruments_put(readings, DISPLAY_pa_sys_mmhg, pa.high, true);
    sim_instruments_put(readings, DISPLAY_pa_dia_mmhg, pa.low, true);
    sim_instruments_put(readings, DISPLAY_pa_mean_mmhg, pa.mean, true);
    sim_instruments_put(readings, DISPLAY_cvp_mmhg, cvp.mean, true);
    hold(readings, &state->art, DISPLAY_art_sys_mmhg, DISPLAY_art_mean_mmhg);
    hold(readings, &state->pa, DISPLAY_pa_sys_mmhg, DISPLAY_pa_mean_mmhg);
    hold(readings, &state->cvp, DISPLAY_cvp_mmhg, DISPLAY_cvp_mmhg);
}

static void put_pumps(Readings *readings, InstrumentsState *state, const Beat *beat,
                      const Parameters *parameters, const Trace *trace) {
    const Observables *truth = &beat->observables;
    bool present = parameters->left_pump_present > 0.5,
         powered = present && parameters->left_pump_powered > 0.5;
    bool right = parameters->right_pump_present > 0.5;
    Extent flow = extent(trace->value[TRACE_PUMP_FLOW], trace->ticks);
    double share = 1 - exp(-beat->ticks * BEAT_TICK_S / PULSATILITY_WINDOW_S);
    if (!state->started) share = 1;
    state->pump_max_l_min += share * (flow.high - state->pump_max_l_min);
    state->pump_min_l_min += share * (flow.low - state->pump_min_l_min);
    sim_instruments_put(readings, DISPLAY_pump_rpm, truth->pump_rpm, present);
    sim_instruments_put(readings, DISPLAY_pump_flow_l_min, flow.mean,
                        powered && flow.mean >= CONSOLE_LEAST_L_MIN);
    sim_instruments_put(readings, DISPLAY_pump_power_w, truth->pump_power_w, present);
    sim_instruments_put(readings, DISPLAY_pump_pulsatility,
                        (state->pump_max_l_min - state->pump_min_l_min) / flow.mean,
                        powered && flow.mean > PULSATILITY_LEAST_L_MIN);
    sim_instruments_put(readings, DISPLAY_right_pump_rpm, truth->right_pump_rpm, right);
    sim_instruments_put(readings, DISPLAY_right_pump_flow_l_min, truth->right_pump_flow_l_min, right);
}

static void put_rest(Readings *readings, const Beat *beat, const Parameters *parameters) {
    const double percent = 100;
    const Observables *truth = &beat->observables;
    bool quivers = beat->rhythm == RHYTHM_VENTRICULAR_FIBRILLATION;
    bool ventilated = parameters->ventilated > 0.5;
    sim_instruments_put(readings, DISPLAY_hr_per_min, truth->hr_per_min, !quivers);
    sim_instruments_put(readings, DISPLAY_rhythm_kind, (double)beat->rhythm, true);
    sim_instruments_put(readings, DISPLAY_svo2_percent, percent * truth->svo2_frac, true);
    sim_instruments_put(readings, DISPLAY_temperature_c, truth->temperature_c, true);
    sim_instruments_put(readings, DISPLAY_airway_peak_cmh2o, truth->airway_peak_cmh2o, ventilated);
    sim_instruments_put(readings, DISPLAY_peep_cmh2o, truth->peep_cmh2o, ventilated);
    sim_instruments_put(readings, DISPLAY_respiratory_rate_per_min, truth->respiratory_rate_per_min, true);
}

/* Running averages over each quantity's window; what is not readable now keeps no average. */
static void average(InstrumentsState *state, const Readings *readings, double dt_s) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        double window_s = display_rows[id].window_s;
        if (window_s <= 0 || (readings->held[id] && state->average_valid[id])) continue;
        double share = state->average_valid[id] ? 1 - exp(-dt_s * AVERAGE_LAGS / window_s) : 1;
        state->average_valid[id] = readings->valid[id];
        if (!readings->valid[id]) continue;
        if (share >= 1) state->average[id] = 0;
        state->average[id] += share * (readings->value[id] - state->average[id]);
    }
}

static double as_shown(DisplayId id, double value) {
    int decimals = display_rows[id].decimals;
    double scale = 1;
    for (int i = 0; i < decimals; i++) {
        scale *= 10;
    }
    return decimals == TENS ? round(value / 10) * 10 : round(value * scale) / scale;
}

void sim_instruments_show(InstrumentsState *state, DisplayId id, double value, bool valid, double time_s) {
    Display *display = sim_instruments_shown_on(state, id);
    display->value[id] = as_shown(id, value);
    display->valid[id] = valid && isfinite(value);
    display->taken_s[id] = time_s;
}

void sim_instruments_advance(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                             Trace *trace) {
    trace->first_tick = beat->first_tick;
    trace->ticks = beat->ticks;
    if (beat->ticks <= 0) return;
    sim_ecg_advance(&state->ecg, beat, &state->random, trace->value[TRACE_ECG]);
    sim_instruments_lines_read(state, beat, parameters, trace);
    read_pump(state, beat, parameters, trace);

    Readings readings;
    memset(&readings, 0, sizeof readings);
    put_pressures(&readings, state, trace);
    put_pumps(&readings, state, beat, parameters, trace);
    put_rest(&readings, beat, parameters);
    sim_instruments_oximeter_read(state, beat, parameters, &readings);
    average(state, &readings, beat->ticks * BEAT_TICK_S);
    double time_s = (double)(beat->first_tick + beat->ticks) * BEAT_TICK_S;
    sim_instruments_samples_take(state, beat, parameters, time_s);
    if (!state->started || time_s >= state->next_update_s) {
        for (int id = 0; id < DISPLAY_COUNT; id++) {
            if (display_rows[id].window_s > 0) {
                sim_instruments_show(state, (DisplayId)id, state->average[id], state->average_valid[id],
                                     time_s);
            }
        }
        state->next_update_s = time_s + UPDATE_S;
    }
    state->started = true;
}
