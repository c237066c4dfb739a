/* The flow sheet as text: single cells, and the whole as a table. */
#include "sim/csv.h"
#include "sim/flowsheet.h"
#include "sim/output.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define EPSILON_S 1e-6
#define OFF       1e-9 /* a rate below this is off */
#define ROUNDING  1e-6 /* a value that differs by less from its rounding is that */

enum { DECIMALS_MOST = 4 };

const char *sim_flowsheet_rhythm(double rhythm_kind) {
    static const char *const WORDS[RHYTHM_COUNT] = {
        [RHYTHM_SINUS] = "sinus",
        [RHYTHM_ATRIAL_FIBRILLATION] = "irregular",
        [RHYTHM_PACED_ATRIAL] = "paced A",
        [RHYTHM_PACED_VENTRICULAR] = "paced V",
        [RHYTHM_PACED_BOTH] = "paced AV",
        [RHYTHM_VENTRICULAR_TACHYCARDIA] = "VT",
        [RHYTHM_VENTRICULAR_FIBRILLATION] = "VF",
        [RHYTHM_ASYSTOLE] = "asystole",
    };
    if (!isfinite(rhythm_kind)) return "";
    long kind = lround(rhythm_kind);
    return kind >= 0 && kind < RHYTHM_COUNT ? WORDS[kind] : "";
}

void sim_flowsheet_clock(double time_s, char *text, size_t size) {
    long minutes = (long)floor(time_s / UNITS_S_PER_MIN + EPSILON_S);
    snprintf(text, size, "%02ld:%02ld", minutes / 60, minutes % 60);
}

void sim_flowsheet_level(OrderId id, double value, char *text, size_t size) {
    sim_orders_format_value(id, value, text, size);
    const char *point = strchr(text, '.');
    int decimals = point == NULL ? 0 : (int)strlen(point + 1);
    for (double power = pow(10, decimals); decimals < DECIMALS_MOST; decimals++, power *= 10) {
        if (fabs(value * power - round(value * power)) < ROUNDING) break;
    }
    snprintf(text, size, "%.*f", decimals, value);
}

/* A pacing cell: chambers and rate. */
static void pacing_text(const FlowCell *cell, char *text, size_t size) {
    static const char *const CHAMBERS[] = {"off", "A", "V", "AV"};
    long pacing = lround(cell->second);
    if (pacing <= ORDER_PACING_OFF || pacing > ORDER_PACING_BOTH)
        snprintf(text, size, "off");
    else
        snprintf(text, size, "%s %.0f", CHAMBERS[pacing], cell->value);
}

static void count_text(const FlowRow *row, const FlowCell *cell, char *text, size_t size) {
    if (row->mark == FLOW_MARK_ORDER && cell->second > cell->value + 0.5)
        snprintf(text, size, "%.0f\u2013%.0f", cell->value, cell->second);
    else
        snprintf(text, size, "%.0f", cell->value);
}

void sim_flowsheet_format(const FlowSheet *sheet, int row_number, int column, char *text, size_t size) {
    const FlowRow *row = &sheet->row[row_number];
    const FlowCell *cell = &sheet->cell[row_number][column];
    snprintf(text, size, "%s", "");
    if (!isfinite(cell->value)) return;
    int decimals = row->decimals > 0 ? row->decimals : 0;
    switch (row->kind) {
    case FLOW_HEAD:
        break;
    case FLOW_RHYTHM:
        snprintf(text, size, "%s", sim_flowsheet_rhythm(cell->value));
        break;
    case FLOW_PACING:
        pacing_text(cell, text, size);
        break;
    case FLOW_TAKEN:
        sim_flowsheet_clock(cell->value, text, size);
        break;
    case FLOW_COUNT:
        count_text(row, cell, text, size);
        break;
    case FLOW_PAIR:
        if (isfinite(cell->second))
            snprintf(text, size, "%.*f/%.*f", decimals, cell->value, decimals, cell->second);
        break;
    case FLOW_RATE:
    case FLOW_ML_H:
        if (fabs(cell->value) < OFF)
            snprintf(text, size, "%s", row->kind == FLOW_RATE ? "off" : "0");
        else
            sim_csv_format(text, size, cell->value, decimals);
        break;
    default:
        sim_csv_format(text, size, cell->value, decimals);
        break;
    }
}

/* One row of the table: name, unit, wanted range, cells. */
static void write_row(CsvWriter *csv, const FlowSheet *sheet, int r) {
    char text[FLOWSHEET_CELL_MAX];
    const FlowRow *row = &sheet->row[r];
    sim_csv_text(csv, row->kind == FLOW_ML_H ? sheet->row[r - 1].name : row->name);
    sim_csv_text(csv, row->unit);
    sim_csv_number(csv, row->low);
    sim_csv_number(csv, row->high);
    for (int k = 0; k < sheet->columns; k++) {
        sim_flowsheet_format(sheet, r, k, text, sizeof text);
        sim_csv_text(csv, text);
    }
    sim_csv_end_row(csv);
}

ErrorCode sim_flowsheet_write(const FlowSheet *sheet, const char *path, Error *error) {
    Output output = {.file = NULL};
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    CsvWriter csv = sim_csv_begin(output.file);
    static const char *const HEAD[] = {"quantity", "unit", "wanted_low", "wanted_high"};
    for (size_t i = 0; i < sizeof HEAD / sizeof HEAD[0]; i++)
        sim_csv_text(&csv, HEAD[i]);
    for (int k = 0; k < sheet->columns; k++) {
        char when[FLOWSHEET_CELL_MAX];
        sim_flowsheet_clock(sheet->time_s[k], when, sizeof when);
        sim_csv_text(&csv, when);
    }
    sim_csv_end_row(&csv);
    for (int r = 0; r < sheet->rows; r++) {
        if (sheet->row[r].kind != FLOW_HEAD) write_row(&csv, sheet, r);
    }
    return sim_output_close(&output, error);
}

ErrorCode sim_flowsheet_write_marks(const FlowSheet *sheet, const char *path, Error *error) {
    static const char *const KINDS[FLOW_MARK_COUNT] = {"order",  "done",  "look or note", "message",
                                                       "result", "alarm", "end"};
    static const char *const HEAD[] = {"time", "kind", "number", "what", "detail"};
    Output output = {.file = NULL};
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    CsvWriter csv = sim_csv_begin(output.file);
    for (size_t i = 0; i < sizeof HEAD / sizeof HEAD[0]; i++)
        sim_csv_text(&csv, HEAD[i]);
    sim_csv_end_row(&csv);
    for (int i = 0; i < sheet->marks; i++) {
        const FlowMark *mark = &sheet->mark[i];
        char when[FLOWSHEET_CELL_MAX];
        sim_flowsheet_clock(mark->time_s, when, sizeof when);
        sim_csv_text(&csv, when);
        sim_csv_text(&csv, KINDS[mark->kind]);
        sim_csv_number(&csv, mark->number > 0 ? (double)mark->number : (double)NAN);
        sim_csv_text(&csv, mark->what);
        sim_csv_text(&csv, mark->detail);
        sim_csv_end_row(&csv);
    }
    return sim_output_close(&output, error);
}
