/* An invented chart for tests and pictures: a night whose right ventricle fails and recovers, of any length.
   Made by formulas, so that it does not move with the model. */
#ifndef TESTS_SUPPORT_CHART_VIEWS_H
#define TESTS_SUPPORT_CHART_VIEWS_H

#include "tests/support/night_case.h"
#include "ui/chart.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A course between 0 and 1: trouble around a third of the night, then recovery. */
static inline double chart_trouble(double share) {
    double d = (share - 0.35) / 0.12;
    return exp(-0.5 * d * d);
}

static inline double chart_value(DisplayId id, double share) {
    double trouble = chart_trouble(share), wave = sin(share * 61.0);
    const DisplayRow *row = sim_instruments_display_row(id);
    switch (id) {
    case DISPLAY_art_sys_mmhg:
        return 92.0 - 22.0 * trouble + wave;
    case DISPLAY_art_dia_mmhg:
        return 68.0 - 16.0 * trouble + wave;
    case DISPLAY_art_mean_mmhg:
        return 76.0 - 19.0 * trouble + wave;
    case DISPLAY_cvp_mmhg:
        return 9.0 + 9.0 * trouble + 0.5 * wave;
    case DISPLAY_pump_flow_l_min:
        return 4.8 - 2.0 * trouble + 0.1 * wave;
    case DISPLAY_pump_rpm:
        return share > 0.55 ? 9000.0 : 8600.0;
    case DISPLAY_hr_per_min:
        return share > 0.6 ? 90.0 : 96.0 + 12.0 * trouble;
    case DISPLAY_rhythm_kind:
        return share > 0.6 ? 4.0 : share > 0.33 && share < 0.4 ? 1.0 : 0.0;
    case DISPLAY_spo2_percent:
        return share > 0.34 && share < 0.37 ? NAN : 97.0;
    default:
        return row->low + (row->high - row->low) * (0.45 + 0.1 * trouble + 0.02 * wave);
    }
}

static inline double chart_as_shown(double value, int decimals) {
    double scale = pow(10.0, decimals);
    return decimals < 0 ? round(value / 10.0) * 10.0 : round(value * scale) / scale;
}

/* Volume of a quarter of an hour, mL: crystalloid with a bolus now and then, drips, urine on the hour, drain.
 */
static inline double chart_volume(const FlowRow *row, int column) {
    double crystalloid = column % 7 == 3 ? 265.0 : 15.0, drips = 3.0, urine = column % 4 == 0 ? 64.0 : 0.0;
    double drain = column < 12 ? 15.0 : 10.0;
    switch (row->volume) {
    case FLOW_VOLUME_ORDER:
        return row->order == ORDER_crystalloid ? crystalloid : 0.0;
    case FLOW_VOLUME_DRIPS:
        return drips;
    case FLOW_VOLUME_IN:
        return crystalloid + drips;
    case FLOW_VOLUME_URINE:
        return urine;
    case FLOW_VOLUME_DRAIN:
        return drain;
    case FLOW_VOLUME_OUT:
        return urine + drain;
    default:
        return crystalloid + drips - urine - drain;
    }
}

static inline FlowCell chart_cell(const FlowRow *row, double share, int column) {
    FlowCell cell = {.value = NAN, .second = NAN};
    switch (row->kind) {
    case FLOW_SHOWN:
    case FLOW_PAIR:
    case FLOW_RHYTHM:
        cell.value = chart_as_shown(chart_value(row->shown, share), row->decimals);
        if (row->kind == FLOW_PAIR)
            cell.second = chart_as_shown(chart_value(row->lower, share), row->decimals);
        cell.beyond = cell.value < row->low ? -1 : cell.value > row->high ? 1 : 0;
        break;
    case FLOW_SAMPLE:
        if (column % 4 == 0) cell.value = chart_as_shown(chart_value(row->shown, share), row->decimals);
        break;
    case FLOW_TAKEN:
        if (column % 4 == 0) cell.value = column * 900.0;
        break;
    case FLOW_RATE:
    case FLOW_SETTING:
        cell.value = row->order == ORDER_norepinephrine ? (share > 0.3 ? 0.08 : 0.05) : 0.5;
        break;
    case FLOW_ML_H:
        cell.value = share > 0.3 ? 4.3 : 2.7;
        break;
    case FLOW_PACING:
        cell.value = 90.0;
        cell.second = share > 0.6 ? ORDER_PACING_BOTH : ORDER_PACING_OFF;
        break;
    case FLOW_VOLUME:
        if (column > 0) cell.value = chart_volume(row, column);
        if (row->volume == FLOW_VOLUME_URINE && column % 4 != 0) cell.value = NAN;
        break;
    case FLOW_LAST_H:
    case FLOW_RUNNING:
        if (column == 0 || (row->kind == FLOW_LAST_H && column % 4 != 0)) break;
        cell.value = 0.0;
        for (int k = row->kind == FLOW_LAST_H ? column - 3 : 1; k <= column; k++)
            cell.value += chart_volume(row, k);
        break;
    case FLOW_COUNT:
        if (column % 5 == 2) cell.value = column / 5 + 1;
        if (column % 5 == 2) cell.second = column / 5 + (row->mark == FLOW_MARK_ORDER ? 2 : 1);
        break;
    case FLOW_HEAD:
        break;
    }
    return cell;
}

static inline void chart_mark(ChartState *chart, double share, FlowMarkKind kind, const char *what,
                              const char *detail) {
    FlowSheet *sheet = &chart->sheet;
    int orders = 0;
    for (int i = 0; i < sheet->marks; i++)
        orders += sheet->mark[i].kind == FLOW_MARK_ORDER;
    FlowMark *mark = &sheet->mark[sheet->marks++];
    *mark = (FlowMark){.time_s = floor(share * chart->now_s),
                       .kind = kind,
                       .number = kind == FLOW_MARK_ORDER ? orders + 1 : 0};
    snprintf(mark->what, sizeof mark->what, "%s", what);
    snprintf(mark->detail, sizeof mark->detail, "%s", detail);
}

static inline void chart_marks(ChartState *chart) {
    chart->sheet.marks = 0;
    chart_mark(chart, 0.05, FLOW_MARK_ORDER, "Wedge reading", "ordered");
    chart_mark(chart, 0.06, FLOW_MARK_RESULT, "Nurse", "Wedge 11 mmHg, taken at 0:21.");
    chart_mark(chart, 0.22, FLOW_MARK_ORDER, "Crystalloid", "250 mL over 15 min");
    chart_mark(
        chart, 0.28, FLOW_MARK_MESSAGE, "Nurse",
        "The neck veins are full and the hands feel cool. The drain has slowed down in the last half hour.");
    chart_mark(chart, 0.30, FLOW_MARK_ORDER, "Norepinephrine", "0.05 \u2192 0.08 mcg/kg/min");
    chart_mark(chart, 0.31, FLOW_MARK_LOOK, "Look", "four chamber");
    chart_mark(chart, 0.32, FLOW_MARK_ORDER, "Milrinone", "off \u2192 0.25 mcg/kg/min");
    chart_mark(chart, 0.33, FLOW_MARK_LOOK, "Call", "Right-heart failure, 70 % sure: support it");
    chart_mark(chart, 0.34, FLOW_MARK_ALARM, "MAP low", "begins: 58 mmHg, limit 60, medium priority");
    chart_mark(chart, 0.55, FLOW_MARK_ORDER, "Pump speed", "8600 \u2192 9000 rpm");
    chart_mark(chart, 0.61, FLOW_MARK_ORDER, "Pacing", "A+V 90/min");
    chart_mark(chart, 0.62, FLOW_MARK_DONE, "Crystalloid", "250 mL over 15 min is in");
    chart->sheet.alarms = 2;
    chart->sheet.alarm[0] = (FlowAlarm){ALARM_art_mean_low, 0.29 * chart->now_s, 0.42 * chart->now_s, false};
    chart->sheet.alarm[1] = (FlowAlarm){ALARM_cvp_high, 0.27 * chart->now_s, 0.45 * chart->now_s, false};
}

static inline void chart_samples(ChartState *chart) {
    FlowSheet *sheet = &chart->sheet;
    sheet->samples = 0;
    for (int i = 0; i * 3600.0 <= chart->now_s && sheet->samples < FLOWSHEET_SAMPLES_MAX; i++) {
        FlowSample *sample = &sheet->sample[sheet->samples++];
        *sample = (FlowSample){.row = 0, .taken_s = i * 3600.0, .known_s = i * 3600.0 + 180.0};
        for (int k = 0; k < sim_flowsheet_sample_row(0)->values; k++)
            sample->value[k] =
                chart_value(sim_flowsheet_sample_row(0)->value[k], i * 3600.0 / fmax(chart->now_s, 1.0));
    }
}

/* Fills every plot chosen with the invented course. */
static inline void chart_plots_fill(ChartState *chart) {
    chart->point_first = 0;
    chart->points = (int64_t)floor(chart->now_s / RECORDS_HISTORY_STEP_S) + 1;
    for (int i = 0; i < chart->plots; i++) {
        ChartPlot *plot = &chart->plot[i];
        const ChartQuantity *q = &chart->quantity[chart->chosen[i]];
        plot->quantity = chart->chosen[i];
        plot->low = q->low;
        plot->high = q->high;
        for (int64_t k = 0; k < chart->points; k++) {
            double share = (double)k / (double)(chart->points > 1 ? chart->points - 1 : 1);
            double value = q->shown != DISPLAY_COUNT ? chart_value(q->shown, share)
                           : share > 0.3             ? 0.25
                                                     : 0.0;
            plot->value[k] = (float)chart_as_shown(value, q->decimals);
            plot->line[k] = plot->value[k];
        }
    }
}

/* A chart of a night of this length, with quarter hours. */
static inline void chart_example(ChartState *chart, double now_s) {
    Error error;
    Case *file = night_case();
    Session *session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    ui_chart_start(chart);
    ui_chart_fill(chart, session);
    sim_session_close(session);
    sim_case_free(file);
    chart->now_s = chart->sheet.now_s = now_s;
    chart->bedside.time_rate = 1.0;
    snprintf(chart->case_title, sizeof chart->case_title, "A ventricle on its own");
    for (int q = 0; q < chart->quantities; q++) {
        if (chart->quantity[q].shown == DISPLAY_art_mean_mmhg) chart->quantity[q].target_low = 65.0;
        if (chart->quantity[q].shown == DISPLAY_art_mean_mmhg) chart->quantity[q].target_high = 85.0;
    }
    FlowSheet *sheet = &chart->sheet;
    sheet->columns = (int)floor(now_s / 900.0) + 1;
    sheet->present_column = fmod(now_s, 900.0) > 1.0;
    for (int k = 0; k < sheet->columns; k++)
        sheet->time_s[k] = k * 900.0;
    if (sheet->present_column) sheet->time_s[sheet->columns++] = now_s;
    for (int r = 0; r < sheet->rows; r++) {
        FlowRow *row = &sheet->row[r];
        if (row->shown == DISPLAY_art_mean_mmhg) row->low = 65.0;
        if (row->shown == DISPLAY_art_mean_mmhg) row->high = 85.0;
        if (row->kind == FLOW_VOLUME || row->kind == FLOW_RUNNING) row->total = 0.0;
        for (int k = 1; isfinite(row->total) && k < sheet->columns; k++)
            row->total += chart_volume(row, k);
        for (int k = 0; k < sheet->columns; k++)
            sheet->cell[r][k] = chart_cell(row, sheet->time_s[k] / fmax(now_s, 1.0), k);
    }
    chart_marks(chart);
    chart_samples(chart);
    chart_plots_fill(chart);
}

#endif
