/* Invented bedside views for tests, golden pictures and the frame timer: a patient whose right ventricle
 * struggles. */
#ifndef TESTS_SUPPORT_BEDSIDE_VIEWS_H
#define TESTS_SUPPORT_BEDSIDE_VIEWS_H

#include "tests/support/heart_views.h"
#include "ui/traces.h"
#include "ui/view.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define BEDSIDE_PI 3.14159265358979323846

static inline Reading bedside_reading(const char *name, const char *unit, double value, int decimals,
                                      double low, double high, double target_low, double target_high,
                                      double drift) {
    Reading r = {.value = value,
                 .decimals = decimals,
                 .scale_low = low,
                 .scale_high = high,
                 .target_low = target_low,
                 .target_high = target_high,
                 .trend_low = low,
                 .trend_high = high};
    snprintf(r.name, sizeof r.name, "%s", name);
    snprintf(r.unit, sizeof r.unit, "%s", unit);
    r.limit = !isfinite(target_low) ? LIMIT_NONE
              : value < target_low  ? LIMIT_LOW
              : value > target_high ? LIMIT_HIGH
                                    : LIMIT_INSIDE;
    double outside = r.limit == LIMIT_LOW    ? target_low - value
                     : r.limit == LIMIT_HIGH ? value - target_high
                                             : 0.0;
    r.outside = outside > 0.0;
    double half = fmax(0.2 * (high - low), 1.3 * fabs(drift)) / 2.0;
    r.trend_low = value - drift / 2.0 - half;
    r.trend_high = value - drift / 2.0 + half;
    r.trend.count = TREND_POINTS;
    for (int i = 0; i < TREND_POINTS; i++) {
        double age = (TREND_POINTS - 1 - i) / (double)TREND_POINTS;
        r.trend.value[i] =
            (float)(value - drift * age + 0.006 * (high - low) * sin(i * 0.9) * sin(i * 0.23 + 1.0));
    }
    return r;
}

/* A smooth pulse: fast up, slow down; phase 0..1. */
static inline double bedside_pulse(double phase) {
    double up = 0.16;
    return phase < up ? sin(0.5 * BEDSIDE_PI * phase / up) : exp(-(phase - up) / 0.34);
}

static inline double bedside_bump(double phase, double at, double width) {
    double d = (phase - at) / width;
    return exp(-0.5 * d * d);
}

/* Waveforms of the example at time t_s, beats of 0.577 s. */
static inline double bedside_wave(int lane, double t_s) {
    double p = fmod(t_s, 0.577) / 0.577, breath = fmod(t_s, 4.3) / 4.3;
    switch (lane) {
    case LANE_ECG:
        return 0.14 * bedside_bump(p, 0.12, 0.035) - 0.12 * bedside_bump(p, 0.262, 0.010) +
               1.05 * bedside_bump(p, 0.285, 0.012) - 0.24 * bedside_bump(p, 0.312, 0.012) +
               0.26 * bedside_bump(p, 0.58, 0.06);
    case LANE_ARTERY:
        return 53.0 + 11.5 * bedside_pulse(fmod(p + 0.6, 1.0));
    case LANE_PA:
        return 17.0 + 16.0 * bedside_pulse(fmod(p + 0.62, 1.0)) + 1.5 * sin(2.0 * BEDSIDE_PI * breath);
    case LANE_CVP:
        return 16.0 + 2.6 * bedside_bump(p, 0.2, 0.06) + 3.8 * bedside_bump(p, 0.7, 0.1) -
               1.9 * bedside_bump(p, 0.45, 0.08) + 1.2 * sin(2.0 * BEDSIDE_PI * breath);
    case LANE_PUMP_FLOW:
        return 2.7 + 1.1 * bedside_bump(p, 0.55, 0.1);
    default:
        return breath < 0.42 ? 8.0 + 15.0 * (1.0 - exp(-breath / 0.045))
                             : 8.0 + 15.0 * exp(-(breath - 0.42) / 0.06);
    }
}

/* Fills the sweeps as they look after `seconds` at sweep_s a sweep. */
static inline void bedside_example_sweeps(Sweep sweep[LANE_COUNT], int columns, double sweep_s,
                                          double seconds) {
    for (int lane = 0; lane < LANE_COUNT; lane++) {
        ui_traces_reset(&sweep[lane], columns);
        for (double t_s = 0.0; t_s < seconds; t_s += 0.004)
            ui_traces_add(&sweep[lane], (int64_t)(t_s / sweep_s * columns), bedside_wave(lane, t_s),
                          columns / 60);
    }
}

static inline Lane bedside_lane(LaneId id, Side side, const char *name, double low, double high,
                                const double tick[], int ticks, Reading value, const char *companion) {
    Lane lane = {.id = id, .side = side, .low = low, .high = high, .ticks = ticks, .value = value};
    snprintf(lane.name, sizeof lane.name, "%s", name);
    snprintf(lane.value.companion, sizeof lane.value.companion, "%s", companion);
    for (int i = 0; i < ticks; i++)
        lane.tick[i] = tick[i];
    return lane;
}

static inline DeckRow bedside_row(const char *name, const char *unit, double current, double pending,
                                  double high, double step, int decimals, const char *note,
                                  const char *detail) {
    DeckRow row = {.kind = DECK_LEVEL,
                   .current = current,
                   .pending = pending,
                   .high = high,
                   .step = step,
                   .large_step = 10.0 * step,
                   .decimals = decimals,
                   .allowed = true,
                   .is_pending = fabs(current - pending) > 1e-9};
    snprintf(row.name, sizeof row.name, "%s", name);
    snprintf(row.unit, sizeof row.unit, "%s", unit);
    snprintf(row.note, sizeof row.note, "%s", note);
    snprintf(row.detail, sizeof row.detail, "%s", detail);
    return row;
}

static inline void bedside_example_deck(DeckView *deck) {
    static const char *const NAMES[DECK_GROUPS] = {"Pump",       "Fluids", "Drugs",
                                                   "Ventilator", "Rhythm", "Procedures"};
    deck->groups = DECK_GROUPS;
    for (int i = 0; i < DECK_GROUPS; i++) {
        snprintf(deck->group[i].name, TEXT_SHORT, "%s", NAMES[i]);
        snprintf(deck->group[i].title, TEXT_SHORT, "%s", NAMES[i]);
    }
    deck->open_group = 2;
    deck->group[2].pending = 1;
    deck->row[0] = bedside_row("Milrinone", "mcg/kg/min", 0.0, 0.25, 1.0, 0.05, 2, "not started", "");
    deck->row[1] = bedside_row("Dobutamine", "mcg/kg/min", 0.0, 0.0, 20.0, 0.5, 1, "off", "");
    deck->row[2] =
        bedside_row("Norepinephrine", "mcg/kg/min", 0.12, 0.12, 1.0, 0.01, 2, "0:06 h", "6.5 mL/h");
    deck->row[3] = bedside_row("Epinephrine", "mcg/kg/min", 0.03, 0.03, 0.5, 0.01, 2, "1:20 h", "1.6 mL/h");
    deck->row[4] = bedside_row("Vasopressin", "U/min", 0.02, 0.02, 0.1, 0.005, 3, "0:41 h", "1.2 mL/h");
    deck->row[5] = bedside_row("Inhaled nitric oxide", "ppm", 0.0, 0.0, 80.0, 5.0, 0, "off", "");
    deck->rows = 6;
    deck->focus_row = 0;
}

/* Puts an alarm on a reading. */
static inline void bedside_alarm(Reading *r, int priority, const char *mark) {
    r->priority = priority;
    snprintf(r->mark, sizeof r->mark, "%s", mark);
}

/* The example; `sweep` gets its traces for `columns` columns. */
static inline void bedside_example(BedsideView *v, Sweep sweep[LANE_COUNT], int columns) {
    memset(v, 0, sizeof *v);
    snprintf(v->case_title, sizeof v->case_title, "A ventricle on its own");
    snprintf(v->patient, sizeof v->patient, "72 kg, 186 cm, first night");
    v->time_s = 2.0 * 3600.0 + 14.0 * 60.0 + 37.0;
    v->time_rate = 1.0;
    v->sweep_s = 8.5;
    v->alarms = (AlarmStrip){
        .line = {{.id = 1, .priority = 2, .text = "MAP low", .detail = "58 mmHg, limit 60 \u00b7 0:48"},
                 {.id = 2, .priority = 1, .text = "Pump flow low", .detail = "3.1 L/min, limit 3.2 \u00b7 2:05"}},
        .lines = 2,
        .count = 2,
        .first = 1,
        .pause_left_s = 92.0};
    v->outside = 4;
    v->lanes = LANE_COUNT;
    v->lane[0] =
        bedside_lane(LANE_ECG, SIDE_ELECTRICAL, "ECG II", -0.5, 1.4, (const double[]){0.0}, 1,
                     bedside_reading("HR", "/min", 104.0, 0, 40.0, 160.0, 70.0, 110.0, 5.0), "sinus");
    v->lane[1] =
        bedside_lane(LANE_ARTERY, SIDE_LEFT, "ART", 30.0, 90.0, (const double[]){40.0, 60.0, 80.0}, 3,
                     bedside_reading("MAP", "mmHg", 58.0, 0, 40.0, 110.0, 65.0, 85.0, -13.0), "64/53");
    v->lane[2] =
        bedside_lane(LANE_PA, SIDE_RIGHT, "PA", 0.0, 45.0, (const double[]){0.0, 20.0, 40.0}, 3,
                     bedside_reading("PA mean", "mmHg", 24.0, 0, 0.0, 50.0, 10.0, 25.0, 1.5), "33/17");
    v->lane[3] = bedside_lane(LANE_CVP, SIDE_RIGHT, "CVP", 0.0, 25.0, (const double[]){0.0, 10.0, 20.0}, 3,
                              bedside_reading("CVP", "mmHg", 17.0, 0, 0.0, 25.0, 6.0, 14.0, 6.0), "");
    v->lane[4] =
        bedside_lane(LANE_PUMP_FLOW, SIDE_PUMP, "Flow", 0.0, 6.0, (const double[]){0.0, 3.0, 6.0}, 3,
                     bedside_reading("Pump flow", "L/min est.", 3.1, 1, 0.0, 8.0, 3.5, 6.0, -0.9), "");
    bedside_alarm(&v->lane[1].value, 2, "low");
    bedside_alarm(&v->lane[4].value, 1, "low");
    v->lane[5] =
        bedside_lane(LANE_AIRWAY, SIDE_GAS, "Airway", 0.0, 32.0, (const double[]){0.0, 15.0, 30.0}, 3,
                     bedside_reading("Ppeak", "cmH2O", 23.0, 0, 0.0, 45.0, 10.0, 30.0, -1.0), "PEEP 8");
    v->pump[0].present = true;
    v->pump[0].side = SIDE_PUMP;
    v->pump[0].values = PUMP_VALUES;
    snprintf(v->pump[0].title, sizeof v->pump[0].title, "Left pump");
    v->pump[0].value[0] = bedside_reading("Speed", "/min", 9000.0, -1, 6000.0, 12000.0, NAN, NAN, 0.0);
    v->pump[0].value[1] = bedside_reading("Flow, est.", "L/min", 3.1, 1, 0.0, 8.0, NAN, NAN, -0.9);
    v->pump[0].value[2] = bedside_reading("Pulsatility", "ratio", 0.4, 1, 0.0, 4.0, NAN, NAN, -0.8);
    v->pump[0].value[3] = bedside_reading("Power", "W", 5.4, 1, 0.0, 12.0, NAN, NAN, -0.7);
    v->lab[0] = bedside_reading("SpO2", "%", 96.0, 0, 70.0, 100.0, 92.0, 100.0, 0.0);
    v->lab[1] = bedside_reading("SvO2", "%", 52.0, 0, 30.0, 90.0, 60.0, 80.0, 0.0);
    v->lab[2] = bedside_reading("Lactate", "mmol/L", 3.4, 1, 0.0, 10.0, 0.0, 2.0, 0.0);
    snprintf(v->lab[2].companion, TEXT_SHORT, "at 02:00");
    v->lab[3] = bedside_reading("Urine", "mL/h", 22.0, 0, 0.0, 300.0, 35.0, 300.0, 0.0);
    v->lab[4] = bedside_reading("Drain", "mL/h", 60.0, 0, 0.0, 400.0, 0.0, 200.0, 0.0);
    v->lab[5] = bedside_reading("Hb", "g/dL", 9.1, 1, 5.0, 16.0, 8.0, 14.0, 0.0);
    v->lab[6] = bedside_reading("Wedge", "mmHg", NAN, 0, 0.0, 35.0, 8.0, 18.0, 0.0);
    snprintf(v->lab[6].reason, TEXT_SHORT, "not taken");
    v->labs = 7;
    v->heart = heart_view(&HEART_SITUATION[1], 0.8);
    bedside_example_deck(&v->deck);
    static const struct {
        double time_s;
        const char *what, *detail;
    } DONE[] = {{7680.0, "Norepinephrine", "0.08 \u2192 0.12 mcg/kg/min"},
                {7320.0, "Crystalloid 250 mL", "over 10 min"},
                {6660.0, "Wedge reading", "done"},
                {6240.0, "PEEP", "10 \u2192 8 cmH2O"},
                {5580.0, "Vasopressin", "0 \u2192 0.02 U/min"}};
    v->actions = (int)(sizeof DONE / sizeof DONE[0]);
    for (int i = 0; i < v->actions; i++) {
        v->action[i].time_s = DONE[i].time_s;
        snprintf(v->action[i].what, TEXT_LINE, "%s", DONE[i].what);
        snprintf(v->action[i].detail, TEXT_LINE, "%s", DONE[i].detail);
    }
    v->messages = 2;
    v->unseen = 1;
    v->message[0].time_s = 8040.0;
    snprintf(v->message[0].from, TEXT_SHORT, "Nurse");
    snprintf(
        v->message[0].text, TEXT_LONG,
        "The neck veins are full and the hands feel cool. The drain has slowed down in the last half hour.");
    v->message[1].time_s = 7260.0;
    v->message[1].seen = true;
    snprintf(v->message[1].from, TEXT_SHORT, "Laboratory");
    snprintf(v->message[1].text, TEXT_LONG, "Gases of 02:00 are back.");
    if (sweep != NULL) bedside_example_sweeps(sweep, columns, v->sweep_s, 8.5 * 1.69);
}

#endif
