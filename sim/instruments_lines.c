/* Fluid-filled lines and their transducers, and the oximeter at the finger. */
#include "sim/instruments_parts.h"

#include "model/units.h"

#include <math.h>

#define CVP_HZ                  12.0 /* a usable line: Gardner, Anesthesiology 1981;54:227 */
#define CVP_DAMPING             0.45
#define TRANSDUCER_LOWEST_MMHG  (-30.0) /* measuring range of a pressure channel, IEC 60601-2-34 */
#define TRANSDUCER_HIGHEST_MMHG 300.0
#define PRESSURE_NOISE_MMHG     0.15 /* half-width; design */
#define DRIFT_MMHG_SQRT_H                                                                                    \
    0.4 /* random walk: at most some 2 mmHg in 4 h (limit of transducers, from memory) */
#define DRIFT_MOST_MMHG 4.0
#define BAG_MMHG        300.0 /* pressure bag of the flush */
#define BAG_S           1.5   /* a fast flush is open for a second or two; common practice */
#define FLUSH_S         5.0   /* until it has rung out */
#define DRAW_S          12.0  /* stopcock shut while blood is drawn, then flushed */
#define SHUT_MMHG       2.0   /* what a shut line drifts toward */
#define OPEN_S          5.0   /* open to air */
#define BALLOON_S       15.0
#define SINGULAR        1e-9

#define OXIMETER_LEAST_PULSE_MMHG 5.0  /* no reading below this pulse pressure; from memory */
#define OXIMETER_SURE_PULSE_MMHG  15.0 /* no drop-outs above it; from memory */
#define OXIMETER_DROPS_PER_MIN    2.0  /* at the least pulse; design */
#define OXIMETER_DROP_S           25.0
#define OXIMETER_DELAY_S          24.0 /* from the heart to the finger's number, 20-30 s; from memory */
#define OXIMETER_BIAS_PERCENT     1.0 /* standard deviation; allowed 4 % r.m.s., ISO 80601-2-61 (from memory) */
#define OXIMETER_BIAS_MOST        2.5
#define OXIMETER_MOST_PERCENT     100.0
#define DYE_HALF_S                600.0 /* methylene blue in the blood; design */
#define DYE_PERCENT_PER_MG_KG     5.0   /* falsely low reading (from memory for the direction); size design */
#define DYE_MOST_PERCENT          15.0

static double clip(double x, double low, double high) {
    return x < low ? low : x > high ? high : x;
}

/* Exact step of a damped second-order system with the input held over the tick. */
typedef struct CatheterStep {
    double pp, pv, vp, vv;
} CatheterStep;

static CatheterStep catheter_step(double natural_hz, double damping) {
    const double two_pi = 6.283185307179586;
    double w = two_pi * natural_hz, decay = damping * w, h = BEAT_TICK_S;
    double under = 1 - damping * damping, wd = w * sqrt(fabs(under));
    double c = 1, s = h; /* critically damped */
    if (under > SINGULAR) {
        c = cos(wd * h);
        s = sin(wd * h) / wd;
    } else if (under < -SINGULAR) {
        c = cosh(wd * h);
        s = sinh(wd * h) / wd;
    }
    double e = exp(-decay * h);
    return (CatheterStep){
        .pp = e * (c + decay * s), .pv = e * s, .vp = -e * s * w * w, .vv = e * (c - decay * s)};
}

static void begin(Line *line, LineHands hands, double seconds) {
    line->hands = hands;
    line->hands_s = seconds;
}

void sim_instruments_lines_handle(InstrumentsState *state, unsigned hands) {
    if (hands & ORDER_HANDS_DRAW_ART) begin(&state->art, LINE_DRAWN, DRAW_S);
    if (hands & ORDER_HANDS_DRAW_PA) begin(&state->pa, LINE_DRAWN, DRAW_S);
    if (hands & ORDER_HANDS_FLUSH_ART) begin(&state->art, LINE_FLUSHED, FLUSH_S);
    if (hands & ORDER_HANDS_BALLOON) begin(&state->pa, LINE_BALLOON, BALLOON_S);
    if (hands & ORDER_HANDS_ZERO) {
        begin(&state->art, LINE_OPEN, OPEN_S);
        begin(&state->pa, LINE_OPEN, OPEN_S);
        begin(&state->cvp, LINE_OPEN, OPEN_S);
    }
}

/* Pressure at the catheter's tip as hands leave it, and whether it goes past the catheter to the transducer.
 */
static double tip_mmhg(const Line *line, double p_mmhg, double behind_mmhg) {
    switch (line->hands) {
    case LINE_FLUSHED:
        return line->hands_s > FLUSH_S - BAG_S ? BAG_MMHG : p_mmhg;
    case LINE_DRAWN:
        return line->hands_s > FLUSH_S ? SHUT_MMHG : line->hands_s > FLUSH_S - BAG_S ? BAG_MMHG : p_mmhg;
    case LINE_OPEN:
        return 0;
    case LINE_BALLOON:
        return behind_mmhg;
    case LINE_LEFT_ALONE:
    case LINE_HANDS_COUNT:
        break;
    }
    return p_mmhg;
}

static double line_read(Line *line, const CatheterStep *step, double p_mmhg, double behind_mmhg,
                        double offset_mmhg, Random *random) {
    Catheter *catheter = &line->catheter;
    double tip = tip_mmhg(line, p_mmhg, behind_mmhg);
    if (!catheter->started) *catheter = (Catheter){.p_mmhg = tip, .started = true};
    double off = catheter->p_mmhg - tip, rate = catheter->rate_mmhg_s;
    catheter->p_mmhg = tip + step->pp * off + step->pv * rate;
    catheter->rate_mmhg_s = step->vp * off + step->vv * rate;
    double noise = PRESSURE_NOISE_MMHG * (2 * model_random_uniform(random) - 1);
    double error = (line->hands == LINE_OPEN ? 0 : offset_mmhg) + line->drift_mmhg - line->zero_mmhg;
    return clip(catheter->p_mmhg + error + noise, TRANSDUCER_LOWEST_MMHG, TRANSDUCER_HIGHEST_MMHG);
}

/* Hands leave the line in time; a line that was open to air is zeroed where it now hangs. */
static void line_advance(Line *line, double offset_mmhg, double dt_s, Random *random) {
    double walk = DRIFT_MMHG_SQRT_H * sqrt(dt_s / UNITS_S_PER_H) * model_random_normal(random);
    line->drift_mmhg = clip(line->drift_mmhg + walk, -DRIFT_MOST_MMHG, DRIFT_MOST_MMHG);
    if (line->hands == LINE_LEFT_ALONE || line->hands_s > 0) return;
    if (line->hands == LINE_OPEN) line->zero_mmhg = line->drift_mmhg + offset_mmhg;
    line->hands = LINE_LEFT_ALONE;
    line->hands_s = 0;
}

double sim_instruments_pa_error_mmhg(const InstrumentsState *state, const Parameters *parameters) {
    return parameters->pa_zero_mmhg + state->pa.drift_mmhg - state->pa.zero_mmhg;
}

void sim_instruments_lines_read(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                                Trace *trace) {
    const Parameters *p = parameters;
    const CatheterStep art = catheter_step(p->art_line_hz, p->art_line_damping);
    const CatheterStep pa = catheter_step(p->pa_line_hz, p->pa_line_damping);
    const CatheterStep cvp = catheter_step(CVP_HZ, CVP_DAMPING);
    Random *random = &state->random;
    for (int i = 0; i < beat->ticks; i++) {
        const Sample *sample = &beat->samples[i];
        trace->value[TRACE_ART][i] =
            line_read(&state->art, &art, sample->artery_mmhg, 0, p->art_zero_mmhg, random);
        trace->value[TRACE_PA][i] =
            line_read(&state->pa, &pa, sample->pa_mmhg, sample->pulmonary_vein_mmhg, p->pa_zero_mmhg, random);
        trace->value[TRACE_CVP][i] =
            line_read(&state->cvp, &cvp, sample->cvp_mmhg, 0, p->cvp_zero_mmhg, random);
        trace->value[TRACE_AIRWAY][i] = sample->airway_mmhg / UNITS_MMHG_PER_CMH2O;
        Line *lines[] = {&state->art, &state->pa, &state->cvp};
        for (int k = 0; k < 3; k++) {
            /* hands' time runs by ticks; they leave at the beat's end */
            if (lines[k]->hands != LINE_LEFT_ALONE)
                lines[k]->hands_s = fmax(lines[k]->hands_s - BEAT_TICK_S, 0);
        }
    }
    double dt_s = beat->ticks * BEAT_TICK_S;
    line_advance(&state->art, p->art_zero_mmhg, dt_s, random);
    line_advance(&state->pa, p->pa_zero_mmhg, dt_s, random);
    line_advance(&state->cvp, p->cvp_zero_mmhg, dt_s, random);
}

void sim_instruments_oximeter_start(InstrumentsState *state) {
    state->oximeter_bias_percent = clip(OXIMETER_BIAS_PERCENT * model_random_normal(&state->random),
                                        -OXIMETER_BIAS_MOST, OXIMETER_BIAS_MOST);
}

/* Whether there is pulse enough at the finger: none without pulse, drop-outs with little. */
static bool finger_reads(InstrumentsState *state, double pulse_mmhg, double dt_s) {
    double room = OXIMETER_SURE_PULSE_MMHG - OXIMETER_LEAST_PULSE_MMHG;
    double weak = clip((OXIMETER_SURE_PULSE_MMHG - pulse_mmhg) / room, 0, 1);
    state->oximeter_lost_s = fmax(state->oximeter_lost_s - dt_s, 0);
    if (weak > 0 && state->oximeter_lost_s <= 0) {
        double chance = weak * OXIMETER_DROPS_PER_MIN * dt_s / UNITS_S_PER_MIN;
        if (model_random_uniform(&state->random) < chance)
            state->oximeter_lost_s = OXIMETER_DROP_S * (1 + weak) * model_random_uniform(&state->random);
    }
    return pulse_mmhg >= OXIMETER_LEAST_PULSE_MMHG && state->oximeter_lost_s <= 0;
}

/* True pulse pressure of the beat at the artery, mmHg: the finger does not know of the line. */
static double pulse_of(const Beat *beat) {
    double low = beat->samples[0].artery_mmhg, high = low;
    for (int i = 0; i < beat->ticks; i++) {
        low = fmin(low, beat->samples[i].artery_mmhg);
        high = fmax(high, beat->samples[i].artery_mmhg);
    }
    return high - low;
}

void sim_instruments_oximeter_read(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                                   Readings *readings) {
    const double percent = 100;
    double dt_s = beat->ticks * BEAT_TICK_S, frac = beat->observables.sao2_frac;
    double share = 1 - exp(-dt_s * INSTRUMENTS_OXIMETER_STAGES / OXIMETER_DELAY_S);
    if (!state->started) share = 1;
    for (int i = 0; i < INSTRUMENTS_OXIMETER_STAGES; i++) {
        state->oximeter_frac[i] += share * (frac - state->oximeter_frac[i]);
        frac = state->oximeter_frac[i];
    }
    state->dye_mg_kg = state->dye_mg_kg * exp2(-dt_s / DYE_HALF_S) +
                       parameters->methylene_blue_mg_kg_min * dt_s / UNITS_S_PER_MIN;
    double dye = fmin(DYE_PERCENT_PER_MG_KG * state->dye_mg_kg, DYE_MOST_PERCENT);
    double reading = fmin(percent * frac + state->oximeter_bias_percent - dye, OXIMETER_MOST_PERCENT);
    bool reads = finger_reads(state, pulse_of(beat), dt_s);
    sim_instruments_put(readings, DISPLAY_spo2_percent, reading, reads);
}
