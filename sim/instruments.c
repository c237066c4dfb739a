/* What the bedside shows of a beat: waveforms through catheters and the pump's console, then numbers from
 * them. */
#include "sim/instruments.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define INSTRUMENTS_SEED_SALT UINT64_C(0x6c62272e07bb0142) /* keeps these draws apart from the patient's */
/* A usable catheter system: natural frequency above 12 Hz with damping 0.4-0.7 (Gardner, Anesthesiology
 * 1981;54:227) */
#define ART_NATURAL_HZ          15.0
#define PA_NATURAL_HZ           12.0 /* long catheter: a little overshoot */
#define CVP_NATURAL_HZ          12.0
#define ART_DAMPING             0.45
#define PA_DAMPING              0.35
#define CVP_DAMPING             0.45
#define TRANSDUCER_LOWEST_MMHG  (-30.0) /* measuring range of a pressure channel, IEC 60601-2-34 */
#define TRANSDUCER_HIGHEST_MMHG 300.0
#define PRESSURE_NOISE_MMHG     0.15 /* half-width; design */
/* Part of a fast change of true flow that the axial console's estimate follows (Slaughter, JHLT 2010: slope
 * 0.74) */
#define CONSOLE_FOLLOWS           0.74
#define CONSOLE_TAU_S             0.05   /* smoothing of the estimate; design */
#define PULSATILITY_WINDOW_S      15.0   /* averaging of the extremes, as usual for this index */
#define PULSATILITY_LEAST_L_MIN   0.3    /* below this mean the ratio says nothing */
#define UPDATE_S                  2.0    /* numbers change at most this often; common practice */
#define SAMPLE_EVERY_S            3600.0 /* routine blood samples; common practice in the first night */
#define OXIMETER_LEAST_PULSE_MMHG 5.0    /* pulse oximetry needs a pulse; from memory */
#define WEDGE_ERROR_MMHG          1.0    /* half-width of the reading's error; design */
#define AVERAGE_LAGS              2.0    /* a window is this many time constants */
#define TENS                      (-1)

/* Readings of one beat, before averaging. */
typedef struct Readings {
    double value[DISPLAY_COUNT];
    bool valid[DISPLAY_COUNT];
} Readings;

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
    state->wedge_wanted = true;
    sim_ecg_start(&state->ecg);
}

void sim_instruments_measure_wedge(InstrumentsState *state) {
    state->wedge_wanted = true;
}

void sim_instruments_draw_sample(InstrumentsState *state) {
    state->sample_wanted = true;
}

static double clip(double x, double low, double high) {
    return x < low ? low : x > high ? high : x;
}

/* Exact step of a damped second-order system with the input held over the tick. */
typedef struct CatheterStep {
    double pp, pv, vp, vv;
} CatheterStep;

static CatheterStep catheter_step(double natural_hz, double damping) {
    const double two_pi = 6.283185307179586;
    double w = two_pi * natural_hz, decay = damping * w, wd = w * sqrt(1 - damping * damping);
    double h = BEAT_TICK_S, e = exp(-decay * h), c = cos(wd * h), s = sin(wd * h);
    return (CatheterStep){.pp = e * (c + decay / wd * s),
                          .pv = e * s / wd,
                          .vp = -e * s * w * w / wd,
                          .vv = e * (c - decay / wd * s)};
}

static double catheter_read(Catheter *catheter, const CatheterStep *step, double p_mmhg, Random *random) {
    if (!catheter->started) *catheter = (Catheter){.p_mmhg = p_mmhg, .started = true};
    double off = catheter->p_mmhg - p_mmhg, rate = catheter->rate_mmhg_s;
    catheter->p_mmhg = p_mmhg + step->pp * off + step->pv * rate;
    catheter->rate_mmhg_s = step->vp * off + step->vv * rate;
    double noise = PRESSURE_NOISE_MMHG * (2 * model_random_uniform(random) - 1);
    return clip(catheter->p_mmhg + noise, TRANSDUCER_LOWEST_MMHG, TRANSDUCER_HIGHEST_MMHG);
}

static void read_pressures(InstrumentsState *state, const Beat *beat, Trace *trace) {
    const CatheterStep art = catheter_step(ART_NATURAL_HZ, ART_DAMPING);
    const CatheterStep pa = catheter_step(PA_NATURAL_HZ, PA_DAMPING);
    const CatheterStep cvp = catheter_step(CVP_NATURAL_HZ, CVP_DAMPING);
    for (int i = 0; i < beat->ticks; i++) {
        const Sample *sample = &beat->samples[i];
        trace->value[TRACE_ART][i] = catheter_read(&state->art, &art, sample->artery_mmhg, &state->random);
        trace->value[TRACE_PA][i] = catheter_read(&state->pa, &pa, sample->pa_mmhg, &state->random);
        trace->value[TRACE_CVP][i] = catheter_read(&state->cvp, &cvp, sample->cvp_mmhg, &state->random);
        trace->value[TRACE_AIRWAY][i] = sample->airway_mmhg / UNITS_MMHG_PER_CMH2O;
    }
}

/* The console computes flow from power and speed: its mean is the model's estimate, its swings are blunted.
 */
static void read_pump(InstrumentsState *state, const Beat *beat, const Parameters *parameters, Trace *trace) {
    bool running = parameters->left_pump_present > 0.5 && parameters->left_pump_powered > 0.5;
    double share = 1 - exp(-BEAT_TICK_S / CONSOLE_TAU_S);
    for (int i = 0; i < beat->ticks; i++) {
        double swing =
            beat->samples[i].left_pump_ml_s / UNITS_ML_S_PER_L_MIN - beat->observables.pump_flow_l_min;
        double estimate = running ? beat->observables.pump_flow_shown_l_min + CONSOLE_FOLLOWS * swing : 0;
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

static void put(Readings *readings, DisplayId id, double value, bool valid) {
    readings->value[id] = value;
    readings->valid[id] = valid && isfinite(value);
}

static void put_pressures(Readings *readings, const Trace *trace) {
    Extent art = extent(trace->value[TRACE_ART], trace->ticks);
    Extent pa = extent(trace->value[TRACE_PA], trace->ticks);
    Extent cvp = extent(trace->value[TRACE_CVP], trace->ticks);
    put(readings, DISPLAY_art_sys_mmhg, art.high, true);
    put(readings, DISPLAY_art_dia_mmhg, art.low, true);
    put(readings, DISPLAY_art_mean_mmhg, art.mean, true);
    put(readings, DISPLAY_pa_sys_mmhg, pa.high, true);
    put(readings, DISPLAY_pa_dia_mmhg, pa.low, true);
    put(readings, DISPLAY_pa_mean_mmhg, pa.mean, true);
    put(readings, DISPLAY_cvp_mmhg, cvp.mean, true);
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
    put(readings, DISPLAY_pump_rpm, truth->pump_rpm, present);
    put(readings, DISPLAY_pump_flow_l_min, flow.mean, powered);
    put(readings, DISPLAY_pump_power_w, truth->pump_power_w, present);
    put(readings, DISPLAY_pump_pulsatility, (state->pump_max_l_min - state->pump_min_l_min) / flow.mean,
        powered && flow.mean > PULSATILITY_LEAST_L_MIN);
    put(readings, DISPLAY_right_pump_rpm, truth->right_pump_rpm, right);
    put(readings, DISPLAY_right_pump_flow_l_min, truth->right_pump_flow_l_min, right);
}

static void put_rest(Readings *readings, const Beat *beat, const Parameters *parameters) {
    const double percent = 100;
    const Observables *truth = &beat->observables;
    bool quivers = beat->rhythm == RHYTHM_VENTRICULAR_FIBRILLATION;
    bool ventilated = parameters->ventilated > 0.5;
    double pulse = readings->value[DISPLAY_art_sys_mmhg] - readings->value[DISPLAY_art_dia_mmhg];
    put(readings, DISPLAY_hr_per_min, truth->hr_per_min, !quivers);
    put(readings, DISPLAY_rhythm_kind, (double)beat->rhythm, true);
    put(readings, DISPLAY_spo2_percent, percent * truth->sao2_frac, pulse >= OXIMETER_LEAST_PULSE_MMHG);
    put(readings, DISPLAY_svo2_percent, percent * truth->svo2_frac, true);
    put(readings, DISPLAY_temperature_c, truth->temperature_c, true);
    put(readings, DISPLAY_airway_peak_cmh2o, truth->airway_peak_cmh2o, ventilated);
    put(readings, DISPLAY_peep_cmh2o, truth->peep_cmh2o, ventilated);
    put(readings, DISPLAY_respiratory_rate_per_min, truth->respiratory_rate_per_min, true);
    put(readings, DISPLAY_urine_ml_h, truth->urine_ml_h, true);
    put(readings, DISPLAY_drain_ml_h, truth->drain_ml_h, true);
}

/* Running averages over each quantity's window; what is not readable now keeps no average. */
static void average(InstrumentsState *state, const Readings *readings, double dt_s) {
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        double window_s = display_rows[id].window_s;
        if (window_s <= 0) continue;
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

static void show(InstrumentsState *state, DisplayId id, double value, bool valid, double time_s) {
    state->display.value[id] = as_shown(id, value);
    state->display.valid[id] = valid && isfinite(value);
    state->display.taken_s[id] = time_s;
}

static void take_samples(InstrumentsState *state, const Observables *truth, double time_s) {
    if (state->wedge_wanted) {
        double off = WEDGE_ERROR_MMHG * (2 * model_random_uniform(&state->random) - 1);
        show(state, DISPLAY_wedge_mmhg, truth->wedge_mmhg + off, true, time_s);
        show(state, DISPLAY_wedge_taken_s, time_s, true, time_s);
        state->wedge_wanted = false;
    }
    if (time_s >= state->next_sample_s) {
        state->sample_wanted = true;
        state->next_sample_s = (floor(time_s / SAMPLE_EVERY_S) + 1) * SAMPLE_EVERY_S;
    }
    if (state->sample_wanted) {
        show(state, DISPLAY_lactate_mmol_l, truth->lactate_mmol_l, true, time_s);
        show(state, DISPLAY_hb_g_dl, truth->hb_g_dl, true, time_s);
        show(state, DISPLAY_paco2_mmhg, truth->paco2_mmhg, true, time_s);
        show(state, DISPLAY_ph, truth->ph, true, time_s);
        show(state, DISPLAY_blood_sample_s, time_s, true, time_s);
        state->sample_wanted = false;
    }
}

void sim_instruments_advance(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                             Trace *trace) {
    trace->first_tick = beat->first_tick;
    trace->ticks = beat->ticks;
    if (beat->ticks <= 0) return;
    sim_ecg_advance(&state->ecg, beat, &state->random, trace->value[TRACE_ECG]);
    read_pressures(state, beat, trace);
    read_pump(state, beat, parameters, trace);

    Readings readings = {{0}, {false}};
    put_pressures(&readings, trace);
    put_pumps(&readings, state, beat, parameters, trace);
    put_rest(&readings, beat, parameters);
    average(state, &readings, beat->ticks * BEAT_TICK_S);
    double time_s = (double)(beat->first_tick + beat->ticks) * BEAT_TICK_S;
    take_samples(state, &beat->observables, time_s);
    if (!state->started || time_s >= state->next_update_s) {
        for (int id = 0; id < DISPLAY_COUNT; id++) {
            if (display_rows[id].window_s > 0) {
                show(state, (DisplayId)id, state->average[id], state->average_valid[id], time_s);
            }
        }
        state->next_update_s = time_s + UPDATE_S;
    }
    state->started = true;
}
