/* Observables of one beat. Means are trapezoids over the 4 ms samples. */
#include "model/measure.h"

#include "model/circulation_parts.h"
#include "model/sizes.h"
#include "model/smooth.h"
#include "model/units.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#define WEDGE_FILTER_S   0.15 /* balloon trace: pulmonary venous pressure low-passed */
#define SHOWN_FILTER_S   2.0  /* of the console's flow estimate */
#define RATIO_FILTER_S   5.0  /* about a breath */
#define PULSE_WINDOW_S   15.0
#define VALVE_OPEN_FRAC  0.2 /* opening above which an aortic valve counts as open */
#define VALVE_OPEN_ML_S  5.0
#define FLOW_LEAST_L_MIN 0.1 /* keeps ratios finite */
#define CVP_LEAST_MMHG   1.0
#define OCCLUSION_JET    0.8   /* share of the inlet a full occlusion takes from the velocity's area */
#define CARDIAC_POWER    451.0 /* mmHg L/min per W */
#define RPM_PER_KRPM     1000.0
#define MM_PER_CM        10.0

/* Mean, lowest and highest of one sampled quantity. */
typedef struct Span {
    double mean, low, high;
} Span;

/* Reads the quantity that lies `offset` bytes into a sample. */
static double value_at(const Sample *sample, size_t offset) {
    return *(const double *)(const void *)((const char *)sample + offset);
}

static Span span_of(const MeasureInput *input, const Beat *beat, size_t offset) {
    const double first = value_at(input->start, offset);
    const double last = value_at(&beat->samples[beat->ticks - 1], offset);
    Span span = {0.5 * (first - last), first, first};
    for (int i = 0; i < beat->ticks; i++) {
        const double value = value_at(&beat->samples[i], offset);
        span.mean += value;
        span.low = fmin(span.low, value);
        span.high = fmax(span.high, value);
    }
    span.mean /= beat->ticks;
    return span;
}

#define SPAN(member) span_of(input, beat, offsetof(Sample, member))

/* Backward flow through a shut valve, L/min; the volume that closes it is not counted. */
static double leak_l_min(const Beat *beat, size_t flow, size_t open) {
    double sum = 0;
    for (int i = 0; i < beat->ticks; i++)
        if (value_at(&beat->samples[i], open) < VALVE_OPEN_FRAC)
            sum += fmax(-value_at(&beat->samples[i], flow), 0.0);
    return sum / beat->ticks / UNITS_ML_S_PER_L_MIN;
}

static double leak_share(double leak, double forward) {
    return leak > 0 ? leak / (leak + fmax(forward, FLOW_LEAST_L_MIN)) : 0.0;
}

static void measure_pressures(const MeasureInput *input, CirculationState *state, const Beat *beat,
                              Observables *o) {
    const Span artery = SPAN(artery_mmhg);
    const Span pa = SPAN(pa_mmhg);
    const Span cvp = SPAN(cvp_mmhg);
    const Span pericardium = SPAN(pericardium_mmhg);
    o->art_sys_mmhg = artery.high;
    o->art_dia_mmhg = artery.low;
    o->art_mean_mmhg = artery.mean;
    o->cvp_mmhg = cvp.mean;
    o->pa_sys_mmhg = pa.high;
    o->pa_dia_mmhg = pa.low;
    o->pa_mean_mmhg = pa.mean;
    o->la_mean_mmhg = SPAN(la_mmhg).mean;
    o->ra_mean_mmhg = SPAN(ra_mmhg).mean;
    o->lv_sys_mmhg = SPAN(lv_mmhg).high;
    o->rv_sys_mmhg = SPAN(rv_mmhg).high;
    o->pericardial_mmhg = pericardium.mean;
    o->pericardial_ml = input->constants->heart.collection_ml;

    const double share = 1.0 - exp(-BEAT_TICK_S / WEDGE_FILTER_S);
    double sum = 0;
    for (int i = 0; i < beat->ticks; i++) {
        state->wedge_mmhg += share * (beat->samples[i].pulmonary_vein_mmhg - state->wedge_mmhg);
        sum += state->wedge_mmhg;
    }
    o->wedge_mmhg = sum / beat->ticks;
    o->wedge_gap_mmhg = o->wedge_mmhg - o->cvp_mmhg;
}

static void measure_chambers(const MeasureInput *input, const Beat *beat, Observables *o) {
    const Sample *end = &beat->samples[beat->ticks - 1];
    const Span lv = SPAN(lv_ml);
    const Span rv = SPAN(rv_ml);
    const Span la = SPAN(la_ml);
    const Span ra = SPAN(ra_ml);
    o->lv_edv_ml = lv.high;
    o->lv_esv_ml = lv.low;
    o->rv_edv_ml = rv.high;
    o->rv_esv_ml = rv.low;
    o->la_max_ml = la.high;
    o->la_min_ml = la.low;
    o->ra_max_ml = ra.high;
    o->ra_min_ml = ra.low;
    o->lv_edp_mmhg = end->lv_mmhg;
    o->rv_edp_mmhg = end->rv_mmhg;
    o->septum_ml = end->septum_ml;
    o->septum_mm = model_sizes_septum_mm(end->septum_ml);
    o->lv_edd_mm = model_sizes_lv_mm(lv.high, end->septum_ml);
    o->rv_edd_mm = model_sizes_rv_mm(rv.high);
    o->lv_ees_mmhg_ml = input->constants->heart.lv.ees;
    o->rv_ees_mmhg_ml = input->constants->heart.rv.ees;
}

/* Share of the last beats in which the aortic valve opened. */
static void measure_aortic_valve(CirculationState *state, const Beat *beat, Observables *o) {
    int open_ticks = 0;
    for (int i = 0; i < beat->ticks; i++)
        open_ticks +=
            beat->samples[i].aortic_open > VALVE_OPEN_FRAC && beat->samples[i].aortic_ml_s > VALVE_OPEN_ML_S;
    o->aortic_valve_open_s = open_ticks * BEAT_TICK_S;
    const uint32_t mask = (1u << CIRCULATION_VALVE_BEATS) - 1u;
    state->valve_bits = (state->valve_bits << 1 | (open_ticks > 0 ? 1u : 0u)) & mask;
    if (state->valve_beats < CIRCULATION_VALVE_BEATS) state->valve_beats++;
    int open_beats = 0;
    for (int i = 0; i < state->valve_beats; i++)
        open_beats += (int)(state->valve_bits >> i & 1u);
    o->aortic_valve_open_frac = (double)open_beats / state->valve_beats;
}

/* Resistances over about a breath: ratio of low-passed pressures and flows. */
static void measure_resistances(CirculationState *state, double dt_s, Observables *o) {
    CirculationRatios *r = &state->ratios;
    const double share = r->started ? 1.0 - exp(-dt_s / RATIO_FILTER_S) : 1.0;
    r->started = 1;
    r->systemic_mmhg += share * (o->art_mean_mmhg - o->cvp_mmhg - r->systemic_mmhg);
    r->systemic_l_min += share * (o->systemic_flow_l_min - r->systemic_l_min);
    r->pulmonary_mmhg += share * (o->pa_mean_mmhg - o->wedge_mmhg - r->pulmonary_mmhg);
    r->pulmonary_l_min += share * (o->right_flow_l_min - r->pulmonary_l_min);
    o->svr_wu = r->systemic_mmhg / fmax(r->systemic_l_min, FLOW_LEAST_L_MIN);
    o->pvr_wu = r->pulmonary_mmhg / fmax(r->pulmonary_l_min, FLOW_LEAST_L_MIN);
}

static void measure_flows(const MeasureInput *input, CirculationState *state, const Beat *beat,
                          Observables *o) {
    const double native = SPAN(aortic_ml_s).mean / UNITS_ML_S_PER_L_MIN;
    const double pump = SPAN(left_pump_ml_s).mean / UNITS_ML_S_PER_L_MIN;
    const double right_pump = SPAN(right_pump_ml_s).mean / UNITS_ML_S_PER_L_MIN;
    const double right_native = SPAN(pulmonary_ml_s).mean / UNITS_ML_S_PER_L_MIN;
    const double dt_s = beat->ticks * BEAT_TICK_S;
    const double stored =
        (state->y[VARIABLE_AORTA_ML] - input->y_start[VARIABLE_AORTA_ML]) / dt_s / UNITS_ML_S_PER_L_MIN;
    o->native_flow_l_min = native;
    o->pump_flow_l_min = pump;
    o->right_pump_flow_l_min = right_pump;
    o->systemic_flow_l_min = native + pump - stored;
    o->right_flow_l_min = right_native + right_pump;
    o->mr_l_min = leak_l_min(beat, offsetof(Sample, mitral_ml_s), offsetof(Sample, mitral_open));
    o->tr_l_min = leak_l_min(beat, offsetof(Sample, tricuspid_ml_s), offsetof(Sample, tricuspid_open));
    o->ar_l_min = leak_l_min(beat, offsetof(Sample, aortic_ml_s), offsetof(Sample, aortic_open));
    o->mr_frac = leak_share(o->mr_l_min, native + pump);
    o->tr_frac = leak_share(o->tr_l_min, right_native + right_pump);

    measure_resistances(state, dt_s, o);
    o->papi = (o->pa_sys_mmhg - o->pa_dia_mmhg) / fmax(o->cvp_mmhg, CVP_LEAST_MMHG);
    const Parameters *p = input->parameters;
    o->cardiac_index_l_min_m2 = o->systemic_flow_l_min / model_sizes_body_m2(p->weight_kg, p->height_cm);
    o->cardiac_power_w = o->art_mean_mmhg * o->systemic_flow_l_min / CARDIAC_POWER;
}

/* (max - min)/mean over the last PULSE_WINDOW_S. */
static double pulsatility(CirculationState *state, double dt_s, const Span *flow) {
    state->pulse[state->pulse_next] = (PumpPulse){dt_s, flow->low, flow->high, flow->mean * dt_s};
    state->pulse_next = (state->pulse_next + 1) % CIRCULATION_PULSE_BEATS;
    if (state->pulse_count < CIRCULATION_PULSE_BEATS) state->pulse_count++;
    double seen_s = 0;
    double volume_ml = 0;
    double low = flow->low;
    double high = flow->high;
    for (int i = 0; i < state->pulse_count && seen_s < PULSE_WINDOW_S; i++) {
        const int at = (state->pulse_next - 1 - i + 2 * CIRCULATION_PULSE_BEATS) % CIRCULATION_PULSE_BEATS;
        const PumpPulse *pulse = &state->pulse[at];
        seen_s += pulse->dt_s;
        volume_ml += pulse->volume_ml;
        low = fmin(low, pulse->low_ml_s);
        high = fmax(high, pulse->high_ml_s);
    }
    const double mean_ml_s = volume_ml / seen_s;
    return (high - low) / fmax(fabs(mean_ml_s), FLOW_LEAST_L_MIN * UNITS_ML_S_PER_L_MIN);
}

static void measure_pumps(const MeasureInput *input, CirculationState *state, const Beat *beat,
                          Observables *o) {
    const Parameters *p = input->parameters;
    const CirculationConstants *c = input->constants;
    const double dt_s = beat->ticks * BEAT_TICK_S;
    o->right_pump_rpm = c->right.present ? state->right_krpm * RPM_PER_KRPM : 0.0;
    if (!c->left.present) {
        state->pulse_count = 0;
        state->shown_l_min = 0;
        return;
    }
    const Span flow = SPAN(left_pump_ml_s);
    double forward = 0;
    for (int i = 0; i < beat->ticks; i++)
        forward += fmax(beat->samples[i].left_pump_ml_s, 0.0);
    forward /= beat->ticks * UNITS_ML_S_PER_L_MIN;
    o->pump_rpm = state->left_krpm * RPM_PER_KRPM;
    o->pump_power_w = model_pump_power_w(&c->left, state->left_krpm, forward);
    const double shown = model_pump_shown_l_min(p, state->left_krpm, o->pump_power_w);
    state->shown_l_min += (shown - state->shown_l_min) * (1.0 - exp(-dt_s / SHOWN_FILTER_S));
    o->pump_flow_shown_l_min = state->shown_l_min;
    o->pump_flow_max_l_min = flow.high / UNITS_ML_S_PER_L_MIN;
    o->pump_flow_min_l_min = flow.low / UNITS_ML_S_PER_L_MIN;
    o->pump_pulsatility = pulsatility(state, dt_s, &flow);
    o->suction_frac = SPAN(left_occlusion).mean;
    const double bore_cm = p->left_pump_bore_mm / MM_PER_CM;
    const double area_cm2 = 0.25 * SMOOTH_PI * bore_cm * bore_cm * (1.0 - OCCLUSION_JET * o->suction_frac);
    o->inflow_velocity_cm_s = flow.mean / area_cm2;
}

static void measure_breath(const MeasureInput *input, CirculationState *state, const Beat *beat,
                           Observables *o) {
    const LungConstants *lung = &input->constants->lung;
    for (int i = 0; i < beat->ticks; i++)
        state->airway_peak_mmhg = fmax(state->airway_peak_mmhg, beat->samples[i].airway_mmhg);
    const double length_s = beat->ticks * BEAT_TICK_S;
    if (lung->breath_frac_start + length_s / lung->breath_s >= 1.0) {
        state->airway_peak_last_mmhg = state->airway_peak_mmhg;
        state->airway_peak_mmhg = beat->samples[beat->ticks - 1].airway_mmhg;
    }
    o->airway_peak_cmh2o = state->airway_peak_last_mmhg / UNITS_MMHG_PER_CMH2O;
    o->peep_cmh2o = lung->ventilated ? input->parameters->peep_cmh2o : 0.0;
    o->respiratory_rate_per_min = input->parameters->respiratory_rate_per_min;
}

static void fill_means(const MeasureInput *input, const CirculationState *state, const Beat *beat,
                       const Observables *o, BeatMeans *means) {
    const CirculationConstants *c = input->constants;
    CirculationDrive drive;
    CirculationParts parts;
    model_circulation_drive(c, beat->ticks * BEAT_TICK_S, &drive);
    circulation_parts(c, &drive, state->y, &parts, NULL);
    const double splanchnic_mmhg = parts.vessels.pressure[VESSEL_SPLANCHNIC];
    double clot_mmhg = 0;
    for (int i = 0; i < CHAMBER_COUNT; i++)
        clot_mmhg = fmax(clot_mmhg,
                         model_heart_clot_mmhg(&c->heart, (ChamberId)i, state->y[VARIABLE_LV_ML + i], NULL));
    const double enclosed_mmhg = o->pericardial_mmhg + clot_mmhg;
    *means = (BeatMeans){
        .dt_s = beat->ticks * BEAT_TICK_S,
        .rr_s = beat->ticks * BEAT_TICK_S,
        .aorta_mmhg = SPAN(aorta_mmhg).mean,
        .artery_pulse_mmhg = o->art_sys_mmhg - o->art_dia_mmhg,
        .rv_systolic_mmhg = o->rv_sys_mmhg - o->pericardial_mmhg,
        .rv_stroke_ml = o->right_flow_l_min * UNITS_ML_S_PER_L_MIN * beat->ticks * BEAT_TICK_S,
        .cvp_mmhg = o->cvp_mmhg,
        .wedge_mmhg = o->wedge_mmhg,
        .abdomen_mmhg = c->lung.abdomen_mmhg + c->lung.abdomen_per_ml * SPAN(lung_ml).mean,
        .enclosed_mmhg = fmax(enclosed_mmhg, 0.0),
        .systemic_ml_s = o->systemic_flow_l_min * UNITS_ML_S_PER_L_MIN,
        .splanchnic_ml_s = (o->art_mean_mmhg - splanchnic_mmhg) / c->vessels.splanchnic_r,
        .blood_ml = model_circulation_blood_ml(state->y),
    };
}

void model_measure_beat(const MeasureInput *input, CirculationState *state, Beat *beat, BeatMeans *means) {
    Observables *o = &beat->observables;
    *o = (Observables){0};
    const double length_s = beat->ticks * BEAT_TICK_S;
    o->time_s = (double)(beat->first_tick + beat->ticks) * BEAT_TICK_S;
    o->hr_per_min = beat->ventricular ? UNITS_S_PER_MIN / length_s : 0.0;
    measure_pressures(input, state, beat, o);
    measure_chambers(input, beat, o);
    measure_aortic_valve(state, beat, o);
    measure_flows(input, state, beat, o);
    measure_pumps(input, state, beat, o);
    measure_breath(input, state, beat, o);
    o->blood_volume_ml = model_circulation_blood_ml(state->y);
    fill_means(input, state, beat, o, means);
}
