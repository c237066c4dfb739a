/* Recognition on the shown waveforms. */
#include "sim/signs.h"

#include <math.h>
#include <string.h>

#define FLAT_MV           0.3 /* an ECG that moves less within an interval shows no ventricular beat; design */
#define SPIKE_MV_PER_TICK 1.0   /* a pacing artefact rises within one tick, no heart does; design */
#define HALF_SHARE        0.4   /* height at which a complex's width is taken; design */
#define WIDE_S            0.06  /* width there: narrow complexes have 0.03 s, ectopic ones 0.09 s; design */
#define FAST_PER_MIN      120.0 /* of ventricular tachycardia; common practice: above 100-120/min */
#define QRS_SEARCH_S      0.25  /* the complex lies within this after the beat's onset */
#define STOPPED_RPM       500.0 /* a rotor slower than this does not pump; design */
#define DIPS_TAU_S        6.0   /* averaging of the dips: several beats */
#define DIPS_LEARN_S      20.0  /* the usual depth is learnt after this time at a speed; design */
#define DIPS_SHARE        0.78  /* of the usual share: dips that much deeper are a sign; design */
#define DIPS_FLOW_SHARE                                                                                      \
    0.95 /* and the mean flow has fallen to this part, unlike with a stronger heart; design */
#define DIPS_MAP_MMHG    8.0  /* a MAP that has risen by this explains deeper dips and less flow; design */
#define DIPS_LEAST_L_MIN 0.5  /* below this mean flow the dips say nothing */
#define SPEED_STEP_RPM   50.0 /* a smaller change of speed is none */

enum { WIDE_RUN = 5 };

void sim_signs_start(SignsState *state) {
    memset(state, 0, sizeof *state);
}

typedef struct EcgShape {
    double range_mv, width_s;
    bool spike;
} EcgShape;

/* Height, width at part of the height, and pacing artefact of the complex that opens the interval. */
static EcgShape shape_of(const double mv[], int ticks) {
    EcgShape shape = {0};
    double low = mv[0], high = mv[0], peak = 0;
    int search = (int)(QRS_SEARCH_S / BEAT_TICK_S);
    for (int i = 0; i < ticks; i++) {
        low = fmin(low, mv[i]);
        high = fmax(high, mv[i]);
        if (i > 0 && fabs(mv[i] - mv[i - 1]) > SPIKE_MV_PER_TICK) shape.spike = true;
    }
    if (ticks > 0 && fabs(mv[0]) > SPIKE_MV_PER_TICK) shape.spike = true;
    shape.range_mv = high - low;
    for (int i = 0; i < ticks && i < search; i++)
        peak = fmax(peak, fabs(mv[i]));
    for (int i = 0; i < ticks && i < search; i++)
        shape.width_s += fabs(mv[i]) > HALF_SHARE * peak ? BEAT_TICK_S : 0;
    return shape;
}

static void recognise_rhythm(SignsState *state, const Trace *trace, const Display *display) {
    EcgShape shape = shape_of(trace->value[TRACE_ECG], trace->ticks);
    bool moves = shape.range_mv > FLAT_MV, counted = display->valid[DISPLAY_hr_per_min];
    double rate_per_min = 60.0 / (trace->ticks * BEAT_TICK_S);
    bool wide = moves && counted && !shape.spike && shape.width_s > WIDE_S && rate_per_min > FAST_PER_MIN;
    state->wide_run = wide ? state->wide_run + 1 : 0;
    if (state->wide_run > WIDE_RUN) state->wide_run = WIDE_RUN;
    state->on[SIGN_FLAT] = !moves;
    state->on[SIGN_FIBRILLATION] = moves && !counted;
    state->on[SIGN_WIDE_FAST] = state->wide_run >= WIDE_RUN;
}

/* A lower speed makes deeper dips by itself: what is usual is learnt anew. A higher one does not. A higher
   arterial pressure makes them too, and less flow: that is no sign. */
static void recognise_dips(SignsState *state, const Trace *trace, const Display *display) {
    const double *flow = trace->value[TRACE_PUMP_FLOW];
    double low = flow[0], mean = 0, speed = display->value[DISPLAY_pump_rpm];
    double dt_s = trace->ticks * BEAT_TICK_S;
    for (int i = 0; i < trace->ticks; i++) {
        low = fmin(low, flow[i]);
        mean += flow[i] / trace->ticks;
    }
    state->on[SIGN_DIPS] = false;
    if (!display->valid[DISPLAY_pump_flow_l_min] || !display->valid[DISPLAY_pump_rpm] ||
        mean < DIPS_LEAST_L_MIN) {
        state->dips_started = false;
        return;
    }
    if (!state->dips_started || speed < state->speed_rpm - SPEED_STEP_RPM) {
        state->dips_started = true;
        state->usual_share = state->settled_s = 0;
        state->dip_share = low / mean;
        state->flow_l_min = mean;
        state->speed_rpm = speed;
    }
    double share = 1 - exp(-dt_s / DIPS_TAU_S);
    state->dip_share += share * (low / mean - state->dip_share);
    state->flow_l_min += share * (mean - state->flow_l_min);
    state->settled_s += dt_s;
    state->speed_rpm = fmax(state->speed_rpm, speed);
    if (state->settled_s < DIPS_LEARN_S || state->on[SIGN_FLAT] || state->on[SIGN_FIBRILLATION]) return;
    if (state->dip_share > state->usual_share) {
        state->usual_share = state->dip_share;
        state->usual_l_min = state->flow_l_min;
        state->usual_map_mmhg = display->value[DISPLAY_art_mean_mmhg];
    }
    bool pressed = display->valid[DISPLAY_art_mean_mmhg] &&
                   display->value[DISPLAY_art_mean_mmhg] > state->usual_map_mmhg + DIPS_MAP_MMHG;
    state->on[SIGN_DIPS] = !pressed && state->dip_share < DIPS_SHARE * state->usual_share &&
                           state->flow_l_min < DIPS_FLOW_SHARE * state->usual_l_min;
}

static bool stopped(const Display *display, DisplayId speed) {
    return !display->valid[speed] || display->value[speed] < STOPPED_RPM;
}

void sim_signs_advance(SignsState *state, const Trace *trace, const Display *display,
                       const SignsDevices *devices) {
    if (trace->ticks <= 0) return;
    recognise_rhythm(state, trace, display);
    recognise_dips(state, trace, display);
    state->on[SIGN_LEFT_NO_POWER] = devices->left_present && !devices->left_supplied;
    state->on[SIGN_LEFT_STOPPED] = devices->left_present && stopped(display, DISPLAY_pump_rpm);
    state->on[SIGN_RIGHT_STOPPED] = devices->right_present && stopped(display, DISPLAY_right_pump_rpm);
    state->on[SIGN_ART_NO_READING] = !display->valid[DISPLAY_art_mean_mmhg];
    state->on[SIGN_CVP_NO_READING] = !display->valid[DISPLAY_cvp_mmhg];
    state->on[SIGN_PA_NO_READING] = !display->valid[DISPLAY_pa_mean_mmhg];
    state->on[SIGN_SPO2_NO_READING] = !display->valid[DISPLAY_spo2_percent];
}
