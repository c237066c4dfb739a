/* The flow sheet: its columns and what stands in them. */
#include "sim/flowsheet_parts.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define BEAT_S      2.0  /* what is taken on the hour is there with the next beat */
#define EPSILON_S   1e-6 /* a moment on the edge of a column belongs to it */
#define PRESENT_S   5.0  /* so much later than the last column, the present has one of its own */
#define SHORTEST_S  300.0
#define LAST_HOUR_S 3600.0

/* What the cells are filled from. */
typedef struct Sources {
    const Session *session;
    const Course *course;
} Sources;

/* ---- columns ---- */

/* Moments at whole steps, then the present if it is later; the oldest go when there are too many. */
static void find_columns(FlowSheet *sheet, double now_s) {
    int64_t last = (int64_t)floor(now_s / sheet->step_s + EPSILON_S);
    sheet->present_column = now_s - (double)last * sheet->step_s > PRESENT_S;
    int64_t room = FLOWSHEET_COLUMNS_MAX - sheet->present_column;
    int64_t first = last + 1 > room ? last + 1 - room : 0;
    sheet->columns = 0;
    for (int64_t k = first; k <= last; k++)
        sheet->time_s[sheet->columns++] = (double)k * sheet->step_s;
    if (sheet->present_column) sheet->time_s[sheet->columns++] = now_s;
}

/* Beginning of a column: the moment of the one before. The first column of a night has no time before it. */
static double column_from_s(const FlowSheet *sheet, int column) {
    if (column > 0) return sheet->time_s[column - 1];
    return sheet->time_s[0] < SHORTEST_S / 2 ? -SHORTEST_S : sheet->time_s[0] - sheet->step_s;
}

/* ---- readings and volumes ---- */

/* What was on show at the moment of a column. */
static double reading(const FlowSheet *sheet, const Sources *from, DisplayId id, int column) {
    if (sheet->present_column && column == sheet->columns - 1) {
        const Display *display = sim_session_display(from->session);
        return display->valid[id] ? display->value[id] : NAN;
    }
    int64_t point = (int64_t)lround(sheet->time_s[column] / RECORDS_HISTORY_STEP_S);
    return sim_session_history_value(from->session, id, point);
}

/* What was on show at any moment; for the present the display itself. */
static double shown_at(const Session *session, DisplayId id, double time_s) {
    int64_t count = sim_session_history_count(session);
    int64_t point = (int64_t)lround(time_s / RECORDS_HISTORY_STEP_S);
    const Display *display = sim_session_display(session);
    if (time_s > (double)(count - 1) * RECORDS_HISTORY_STEP_S + EPSILON_S || point >= count)
        return display->valid[id] ? display->value[id] : NAN;
    return sim_session_history_value(session, id, point);
}

/* Rise of something that only fills (a bag, a bottle) between two moments, as it was read. */
static double filled_ml(const Session *session, DisplayId id, double from_s, double to_s) {
    double rise = shown_at(session, id, to_s) - shown_at(session, id, from_s);
    return isfinite(rise) ? rise : 0;
}

/* Whether the urine bag was read in a column. */
static bool urine_read(const Session *session, double from_s, double to_s) {
    double read_s = shown_at(session, DISPLAY_urine_read_s, to_s);
    return isfinite(read_s) && read_s > from_s + BEAT_S && to_s > from_s + EPSILON_S;
}

static double fluids_ml(const Sources *from, double from_s, double to_s) {
    double sum = 0;
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (sim_orders_row((OrderId)id)->kind == ORDER_KIND_FLUID)
            sum += sim_course_amount(from->course, (OrderId)id, from_s, to_s);
    }
    return sum;
}

static double drips_ml(const FlowSheet *sheet, const Sources *from, double from_s, double to_s) {
    double sum = 0;
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (sim_orders_row((OrderId)id)->kind != ORDER_KIND_DRIP) continue;
        double amount = sim_course_amount(from->course, (OrderId)id, from_s, to_s);
        sum += sim_orders_ml_h((OrderId)id, amount, sheet->weight_kg);
    }
    return sum;
}

static double volume_ml(const FlowSheet *sheet, const Sources *from, const FlowRow *row, double from_s,
                        double to_s) {
    double in = 0, out = 0;
    switch (row->volume) {
    case FLOW_VOLUME_ORDER:
        return sim_course_amount(from->course, row->order, from_s, to_s);
    case FLOW_VOLUME_DRIPS:
        return drips_ml(sheet, from, from_s, to_s);
    case FLOW_VOLUME_URINE:
        return filled_ml(from->session, DISPLAY_urine_total_ml, from_s, to_s);
    case FLOW_VOLUME_DRAIN:
        return filled_ml(from->session, DISPLAY_drain_total_ml, from_s, to_s);
    default:
        break;
    }
    if (row->volume != FLOW_VOLUME_OUT)
        in = fluids_ml(from, from_s, to_s) + drips_ml(sheet, from, from_s, to_s);
    if (row->volume != FLOW_VOLUME_IN)
        out = filled_ml(from->session, DISPLAY_urine_total_ml, from_s, to_s) +
              filled_ml(from->session, DISPLAY_drain_total_ml, from_s, to_s);
    return row->volume == FLOW_VOLUME_OUT ? out : in - out;
}

/* ---- cells ---- */

static int beyond(const FlowRow *row, double value) {
    if (value < row->low || value < row->limit_low) return -1;
    return value > row->high || value > row->limit_high ? 1 : 0;
}

/* Samples of blood give the row of times. */
static bool is_blood(const FlowSampleRow *kind) {
    return kind->taken == DISPLAY_blood_sample_s || kind->taken == DISPLAY_lactate_taken_s ||
           kind->taken == DISPLAY_hb_taken_s || kind->taken == DISPLAY_mixed_venous_s;
}

static FlowCell sample_cell(const FlowSheet *sheet, const FlowRow *row, int column) {
    FlowCell cell = {.value = NAN, .second = NAN};
    double from_s = column_from_s(sheet, column), to_s = sheet->time_s[column];
    for (int i = 0; i < sheet->samples; i++) {
        const FlowSample *sample = &sheet->sample[i];
        const FlowSampleRow *kind = sim_flowsheet_sample_row(sample->row);
        if (sample->taken_s <= from_s + BEAT_S || sample->taken_s > to_s + BEAT_S) continue;
        if (row->kind == FLOW_TAKEN && is_blood(kind)) cell.value = sample->taken_s;
        for (int k = 0; row->kind == FLOW_SAMPLE && k < kind->values; k++) {
            if (kind->value[k] != row->shown) continue;
            cell.value = sample->value[k];
            cell.second = sample->taken_s;
        }
    }
    cell.beyond = beyond(row, cell.value);
    return cell;
}

static FlowCell count_cell(const FlowSheet *sheet, const FlowRow *row, int column) {
    FlowCell cell = {.value = NAN, .second = NAN};
    double from_s = column_from_s(sheet, column), to_s = sheet->time_s[column];
    for (int i = 0; i < sheet->marks; i++) {
        const FlowMark *mark = &sheet->mark[i];
        if (mark->kind != row->mark || mark->time_s <= from_s + EPSILON_S || mark->time_s > to_s + EPSILON_S)
            continue;
        bool first = isnan(cell.value);
        if (row->mark == FLOW_MARK_ORDER) {
            if (first) cell.value = mark->number;
            cell.second = mark->number;
        } else {
            cell.value = first ? 1 : cell.value + 1;
        }
    }
    return cell;
}

static FlowCell fill_cell(const FlowSheet *sheet, const Sources *from, const FlowRow *row, int column) {
    FlowCell cell = {.value = NAN, .second = NAN};
    double to_s = sheet->time_s[column], from_s = fmax(column_from_s(sheet, column), 0);
    switch (row->kind) {
    case FLOW_HEAD:
    case FLOW_RUNNING:
        break;
    case FLOW_SHOWN:
    case FLOW_PAIR:
    case FLOW_RHYTHM:
        cell.value = reading(sheet, from, row->shown, column);
        if (row->kind == FLOW_PAIR) cell.second = reading(sheet, from, row->lower, column);
        cell.beyond = beyond(row, cell.value);
        break;
    case FLOW_SETTING:
        cell.value = sim_course_setting(from->course, row->order, to_s);
        break;
    case FLOW_RATE:
    case FLOW_ML_H:
        cell.value = sim_course_value(from->course, row->order, to_s);
        if (row->kind == FLOW_ML_H) cell.value = sim_orders_ml_h(row->order, cell.value, sheet->weight_kg);
        break;
    case FLOW_PACING:
        cell.value = sim_course_setting(from->course, row->order, to_s);
        cell.second = (double)sim_course_pacing(from->course, to_s);
        break;
    case FLOW_VOLUME:
        if (to_s > from_s) cell.value = volume_ml(sheet, from, row, from_s, to_s);
        if (row->volume == FLOW_VOLUME_URINE && !urine_read(from->session, from_s, to_s)) cell.value = NAN;
        break;
    case FLOW_LAST_H:
        if (to_s > EPSILON_S && fmod(to_s + EPSILON_S, LAST_HOUR_S) < 2 * EPSILON_S)
            cell.value = volume_ml(sheet, from, row, to_s - LAST_HOUR_S, to_s);
        break;
    case FLOW_SAMPLE:
    case FLOW_TAKEN:
        return sample_cell(sheet, row, column);
    case FLOW_COUNT:
        return count_cell(sheet, row, column);
    }
    return cell;
}

/* A volume since the night began, column by column, and its end as the row's total. */
static void fill_running(FlowSheet *sheet, const Sources *from, FlowRow *row, FlowCell *cells) {
    double sum = sheet->columns > 0 ? volume_ml(sheet, from, row, 0, fmax(column_from_s(sheet, 0), 0)) : 0;
    for (int k = 0; k < sheet->columns; k++) {
        double from_s = fmax(column_from_s(sheet, k), 0), to_s = sheet->time_s[k];
        if (to_s > from_s) sum += volume_ml(sheet, from, row, from_s, to_s);
        if (row->kind == FLOW_RUNNING) cells[k] = (FlowCell){.value = to_s > 0 ? sum : NAN, .second = NAN};
    }
    row->total = sum;
}

void sim_flowsheet_fill(FlowSheet *sheet, const Session *session, const Course *course, double step_s) {
    Sources from = {session, course};
    sheet->step_s = fmax(step_s, SHORTEST_S);
    sheet->now_s = sim_session_time_s(session);
    sheet->weight_kg = sim_session_parameters(session)->weight_kg;
    find_columns(sheet, sheet->now_s);
    sim_flowsheet_find_rows(sheet, session, course);
    sim_flowsheet_find_marks(sheet, session);
    sim_flowsheet_find_samples(sheet, session);
    for (int r = 0; r < sheet->rows; r++) {
        FlowRow *row = &sheet->row[r];
        for (int k = 0; k < sheet->columns; k++)
            sheet->cell[r][k] = fill_cell(sheet, &from, row, k);
        if (row->kind == FLOW_RUNNING || row->kind == FLOW_VOLUME)
            fill_running(sheet, &from, row, sheet->cell[r]);
    }
}
