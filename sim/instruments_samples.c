/* What is taken and read: wedge, thermodilution, blood samples, the urine bag, the drain bottle. */
#include "sim/instruments_parts.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>

#define SAMPLE_EVERY_S         3600.0 /* routine blood samples; common practice in the first night */
#define URINE_EVERY_S          3600.0 /* the bag is read on the hour; common practice */
#define BOTTLE_EVERY_S         900.0  /* the drain bottle; common practice in the first hours */
#define URINE_MARK_ML          1.0    /* graduation of an hourly chamber */
#define BOTTLE_MARK_ML         5.0    /* graduation of a drain bottle */
#define READ_LEAST_S           60.0   /* a rate needs some time between readings */
#define WEDGE_ERROR_MMHG       1.0    /* half-width of the reading's error; design */
#define ANALYSER_HB_G_DL       0.3    /* half-width of the analyser's error; design */
#define ANALYSER_SAT_PERCENT   1.0    /* half-width; design */
#define INJECTION_SCATTER_FRAC 0.10   /* standard deviation of one injection (from memory) */
/* Tricuspid regurgitation spreads the cold: a lower reading (direction from memory, size design) */
#define INJECTION_LEAK_LOSS 0.35
/* On a pump thermodilution over-reads, most at low output (J Heart Lung Transplant 2022,
   S1053-2498(22)02203-3); size design */
#define INJECTION_LOW_L_MIN   4.0
#define INJECTION_LOW_SLOPE   0.15
#define INJECTION_LEAST_L_MIN 0.1

static void keep(InstrumentsState *state, DisplayId id, double value, double time_s) {
    state->result[id] = value;
    state->result_s[id] = time_s;
}

static double around(InstrumentsState *state, double half_width) {
    return half_width * (2 * model_random_uniform(&state->random) - 1);
}

/* Three injections of cold into the right atrium. */
static void inject(InstrumentsState *state, const Observables *truth, double time_s) {
    double low = INJECTION_LOW_SLOPE * fmax(0, INJECTION_LOW_L_MIN - truth->right_flow_l_min);
    double centre = truth->right_flow_l_min * (1 - INJECTION_LEAK_LOSS * truth->tr_frac) + low, sum = 0;
    for (int i = 0; i < INSTRUMENTS_INJECTIONS; i++) {
        double reading = centre * (1 + INJECTION_SCATTER_FRAC * model_random_normal(&state->random));
        state->injection_l_min[i] = fmax(reading, INJECTION_LEAST_L_MIN);
        sum += state->injection_l_min[i];
    }
    keep(state, DISPLAY_thermodilution_l_min, sum / INSTRUMENTS_INJECTIONS, time_s);
}

/* Rate since the last reading of something that only fills, mL/h; begins anew. */
static double read_since(double now_ml, double *read_ml, double *read_s, double time_s) {
    double rate = (now_ml - *read_ml) / (fmax(time_s - *read_s, READ_LEAST_S) / UNITS_S_PER_H);
    *read_ml = now_ml;
    *read_s = time_s;
    return fmax(rate, 0);
}

static double to_mark(double ml, double mark_ml) {
    return floor(ml / mark_ml) * mark_ml;
}

static void draw(InstrumentsState *state, OrderTest test, const Beat *beat, const Parameters *parameters,
                 double time_s) {
    const double percent = 100;
    const Observables *truth = &beat->observables;
    switch (test) {
    case ORDER_TEST_WEDGE:
        keep(state, DISPLAY_wedge_mmhg,
             truth->wedge_mmhg + sim_instruments_pa_error_mmhg(state, parameters) +
                 around(state, WEDGE_ERROR_MMHG),
             time_s);
        break;
    case ORDER_TEST_GAS:
        keep(state, DISPLAY_lactate_mmol_l, truth->lactate_mmol_l, time_s);
        keep(state, DISPLAY_hb_g_dl, truth->hb_g_dl + around(state, ANALYSER_HB_G_DL), time_s);
        keep(state, DISPLAY_paco2_mmhg, truth->paco2_mmhg, time_s);
        keep(state, DISPLAY_ph, truth->ph, time_s);
        break;
    case ORDER_TEST_MIXED_VENOUS:
        keep(state, DISPLAY_svo2_sample_percent,
             percent * truth->svo2_frac + around(state, ANALYSER_SAT_PERCENT), time_s);
        break;
    case ORDER_TEST_LACTATE:
        keep(state, DISPLAY_lactate_mmol_l, truth->lactate_mmol_l, time_s);
        break;
    case ORDER_TEST_HAEMOGLOBIN:
        keep(state, DISPLAY_hb_g_dl, truth->hb_g_dl, time_s);
        break;
    case ORDER_TEST_THERMODILUTION:
        inject(state, truth, time_s);
        break;
    case ORDER_TEST_URINE:
        keep(state, DISPLAY_urine_ml_h,
             read_since(to_mark(truth->urine_total_ml, URINE_MARK_ML), &state->urine_read_ml,
                        &state->urine_read_s, time_s),
             time_s);
        break;
    case ORDER_TEST_COUNT:
        break;
    }
}

/* Numbers a test puts on show. */
static int shown_by(OrderTest test, DisplayId shown[]) {
    static const DisplayId first[ORDER_TEST_COUNT] = {
        [ORDER_TEST_WEDGE] = DISPLAY_wedge_mmhg,
        [ORDER_TEST_GAS] = DISPLAY_lactate_mmol_l,
        [ORDER_TEST_MIXED_VENOUS] = DISPLAY_svo2_sample_percent,
        [ORDER_TEST_LACTATE] = DISPLAY_lactate_mmol_l,
        [ORDER_TEST_HAEMOGLOBIN] = DISPLAY_hb_g_dl,
        [ORDER_TEST_THERMODILUTION] = DISPLAY_thermodilution_l_min,
        [ORDER_TEST_URINE] = DISPLAY_urine_ml_h,
    };
    int count = 0;
    shown[count++] = first[test];
    if (test == ORDER_TEST_GAS) {
        shown[count++] = DISPLAY_hb_g_dl;
        shown[count++] = DISPLAY_paco2_mmhg;
        shown[count++] = DISPLAY_ph;
    }
    return count;
}

enum { SHOWN_MOST = 4 };

static void report(InstrumentsState *state, OrderTest test) {
    static const DisplayId taken[ORDER_TEST_COUNT] = {
        [ORDER_TEST_WEDGE] = DISPLAY_wedge_taken_s,
        [ORDER_TEST_GAS] = DISPLAY_blood_sample_s,
        [ORDER_TEST_MIXED_VENOUS] = DISPLAY_mixed_venous_s,
        [ORDER_TEST_LACTATE] = DISPLAY_lactate_taken_s,
        [ORDER_TEST_HAEMOGLOBIN] = DISPLAY_hb_taken_s,
        [ORDER_TEST_THERMODILUTION] = DISPLAY_thermodilution_s,
        [ORDER_TEST_URINE] = DISPLAY_urine_read_s,
    };
    DisplayId shown[SHOWN_MOST];
    int count = shown_by(test, shown);
    for (int i = 0; i < count; i++) {
        sim_instruments_show(state, shown[i], state->result[shown[i]], true, state->result_s[shown[i]]);
    }
    double taken_s = state->result_s[shown[0]];
    sim_instruments_show(state, taken[test], taken_s, true, taken_s);
    if (test == ORDER_TEST_URINE)
        sim_instruments_show(state, DISPLAY_urine_total_ml, state->urine_read_ml, true, taken_s);
}

/* Samples nobody has to order: blood and urine on the hour, the bottle each quarter. */
static void routine(InstrumentsState *state, const Beat *beat, const Parameters *parameters, double time_s) {
    const Observables *truth = &beat->observables;
    if (!state->started) {
        /* the hour before the case */
        state->urine_read_ml = to_mark(truth->urine_total_ml, URINE_MARK_ML);
        state->bottle_read_ml = to_mark(truth->drain_total_ml, BOTTLE_MARK_ML);
        sim_instruments_show(state, DISPLAY_urine_read_s, time_s, true, time_s);
        sim_instruments_show(state, DISPLAY_urine_total_ml, state->urine_read_ml, true, time_s);
        state->next_urine_s = URINE_EVERY_S;
        state->next_bottle_s = BOTTLE_EVERY_S;
        sim_instruments_show(state, DISPLAY_urine_ml_h, truth->urine_ml_h, true, time_s);
        sim_instruments_show(state, DISPLAY_drain_ml_h, truth->drain_ml_h, truth->drain_ml_h > 0, time_s);
    }
    sim_instruments_show(state, DISPLAY_drain_total_ml, to_mark(truth->drain_total_ml, BOTTLE_MARK_ML), true,
                         time_s);
    if (time_s >= state->next_urine_s) {
        state->next_urine_s = (floor(time_s / URINE_EVERY_S) + 1) * URINE_EVERY_S;
        draw(state, ORDER_TEST_URINE, beat, parameters, time_s);
        report(state, ORDER_TEST_URINE);
    }
    if (time_s >= state->next_bottle_s) {
        state->next_bottle_s = (floor(time_s / BOTTLE_EVERY_S) + 1) * BOTTLE_EVERY_S;
        double rate = read_since(to_mark(truth->drain_total_ml, BOTTLE_MARK_ML), &state->bottle_read_ml,
                                 &state->bottle_read_s, time_s);
        sim_instruments_show(state, DISPLAY_drain_ml_h, rate, true, time_s);
    }
    if (time_s >= state->next_sample_s) {
        state->next_sample_s = (floor(time_s / SAMPLE_EVERY_S) + 1) * SAMPLE_EVERY_S;
        if (state->started) sim_instruments_lines_handle(state, ORDER_HANDS_DRAW_ART);
        draw(state, ORDER_TEST_GAS, beat, parameters, time_s);
        report(state, ORDER_TEST_GAS);
    }
}

void sim_instruments_samples_take(InstrumentsState *state, const Beat *beat, const Parameters *parameters,
                                  double time_s) {
    state->told = state->started ? state->reported : 0;
    for (int test = 0; test < ORDER_TEST_COUNT; test++) {
        if (state->drawn & (1u << test)) draw(state, (OrderTest)test, beat, parameters, time_s);
    }
    for (int test = 0; test < ORDER_TEST_COUNT; test++) {
        if (state->reported & (1u << test)) report(state, (OrderTest)test);
    }
    state->drawn = state->reported = 0;
    routine(state, beat, parameters, time_s);
}

/* "Lactate 2.1 mmol/L" of a result. */
static void put_result(const InstrumentsState *state, DisplayId id, char *text, size_t size) {
    char value[24];
    const DisplayRow *row = sim_instruments_display_row(id);
    sim_instruments_format(&state->display, id, value, sizeof value);
    snprintf(text, size, "%s %s%s%s", row->label, value, id == DISPLAY_ph ? "" : " ",
             id == DISPLAY_ph ? "" : row->unit);
}

const char *sim_instruments_result(const InstrumentsState *state, OrderTest test, char *text, size_t size) {
    if (!(state->told & (1u << test))) return NULL;
    DisplayId shown[SHOWN_MOST];
    char part[SHOWN_MOST][48] = {{0}};
    int count = shown_by(test, shown);
    for (int i = 0; i < count; i++) {
        put_result(state, shown[i], part[i], sizeof part[i]);
    }
    int minutes = (int)floor(state->result_s[shown[0]] / UNITS_S_PER_MIN);
    if (test == ORDER_TEST_GAS) {
        snprintf(text, size, "Blood gas of %d:%02d: %s, %s, %s, %s.", minutes / 60, minutes % 60, part[3],
                 part[2], part[1], part[0]);
    } else if (test == ORDER_TEST_THERMODILUTION) {
        const double *l = state->injection_l_min;
        snprintf(text, size, "%s (injections %.1f, %.1f, %.1f).", part[0], l[0], l[1], l[2]);
    } else {
        snprintf(text, size, "%s, taken at %d:%02d.", part[0], minutes / 60, minutes % 60);
    }
    bool laboratory =
        test != ORDER_TEST_WEDGE && test != ORDER_TEST_THERMODILUTION && test != ORDER_TEST_URINE;
    return laboratory ? "Laboratory" : "Nurse";
}
