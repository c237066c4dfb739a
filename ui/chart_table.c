/* The flow sheet on the screen: names at the left, moments across, a cursor that says more below. */
#include "ui/chart.h"
#include "ui/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROW_PX      25.0
#define HEAD_PX     34.0
#define COLUMN_PX   82.0
#define NAMES_PX    262.0
#define NAMES_LEAST 222.0
#define WANTED_PX   84.0
#define TRACK_PX    14.0
#define BASELINE_PX 18.0
#define ARROW_PX    9.0
#define WIDE_PX     1100.0
#define WHEEL_ROWS  3.0
#define NEWEST      (-1.0)
#define NO_READING  "\u2013 \u2013" /* the instrument gave none */

/* Where everything is, and which part of the sheet is on show. */
typedef struct TableLayout {
    Rect names, head, cells, across, down;
    int rows, columns; /* that fit */
    int first_row, first_column, last_column;
    int cursor_row, cursor_column;
} TableLayout;

static int clamp(int value, int low, int high) {
    return value < low ? low : value > high ? high : value;
}

static TableLayout lay_out(Rect body, const ChartState *chart) {
    const FlowSheet *sheet = &chart->sheet;
    TableLayout l;
    Rect rest = body;
    memset(&l, 0, sizeof l);
    l.across = ui_rect_cut_bottom(&rest, TRACK_PX);
    l.down = ui_rect_cut_right(&rest, TRACK_PX);
    Rect names = ui_rect_cut_left(&rest, (body.w >= WIDE_PX ? NAMES_PX : NAMES_LEAST) + WANTED_PX);
    l.columns = clamp((int)floor(rest.w / COLUMN_PX), 1, FLOWSHEET_COLUMNS_MAX);
    l.rows = clamp((int)floor((rest.h - HEAD_PX) / ROW_PX), 1, FLOWSHEET_ROWS_MAX);
    l.head = (Rect){names.x, rest.y, names.w + rest.w, HEAD_PX};
    l.names = (Rect){names.x, rest.y + HEAD_PX, names.w, rest.h - HEAD_PX};
    l.cells = (Rect){rest.x, rest.y + HEAD_PX, rest.w, rest.h - HEAD_PX};
    l.last_column = ui_chart_column(sheet, chart->right_s);
    l.last_column = clamp(l.last_column, clamp(l.columns - 1, 0, sheet->columns - 1), sheet->columns - 1);
    l.first_column = clamp(l.last_column - l.columns + 1, 0, sheet->columns - 1);
    l.first_row = clamp(chart->top, 0, clamp(sheet->rows - l.rows, 0, sheet->rows));
    l.cursor_row = chart->row;
    l.cursor_column = ui_chart_column(sheet, chart->cell_s);
    return l;
}

/* Left edge of a column on show: the newest one ends at the right where there are enough. */
static double column_x(const TableLayout *l, int column) {
    int shown = l->last_column - l->first_column + 1;
    double left = shown < l->columns ? l->cells.x : l->cells.x + l->cells.w - l->columns * COLUMN_PX;
    return left + (column - l->first_column) * COLUMN_PX;
}

static double row_y(const TableLayout *l, int row) {
    return l->cells.y + (row - l->first_row) * ROW_PX;
}

static bool row_shown(const TableLayout *l, const FlowSheet *sheet, int row) {
    return row >= l->first_row && row < l->first_row + l->rows && row < sheet->rows;
}

static bool is_hour(const FlowSheet *sheet, int column) {
    return fmod(sheet->time_s[column] + 0.5, 3600.0) < 1.0;
}

static bool is_present(const FlowSheet *sheet, int column) {
    return sheet->present_column && column == sheet->columns - 1;
}

/* "02:15", or "now". */
static void moment_text(const FlowSheet *sheet, int column, char *text, size_t size) {
    if (is_present(sheet, column))
        snprintf(text, size, "now");
    else
        sim_flowsheet_clock(sheet->time_s[column], text, size);
}

/* ---- names, moments, cells ---- */

/* A number of a row as the settings want it shown; rows without a number on show are in their own unit. */
static void row_number(const Ui *ui, const FlowRow *row, double value, char *text, size_t size) {
    int decimals = row->decimals > 0 ? row->decimals : 0;
    if (row->shown == DISPLAY_COUNT) {
        ui_chart_number(text, size, value, decimals);
        return;
    }
    const DisplayRow *display = sim_instruments_display_row(row->shown);
    ui_units_format(ui->settings, display->key, display->unit, decimals, value, text, size);
}

static const char *row_unit(const Ui *ui, const FlowRow *row) {
    if (row->shown == DISPLAY_COUNT) return row->unit;
    const DisplayRow *display = sim_instruments_display_row(row->shown);
    ShownUnit shown = ui_units_shown(ui->settings, display->key, display->unit);
    return shown.name == display->unit ? row->unit : shown.name;
}

/* The wanted range, or what a volume has come to. */
static void wanted_text(const Ui *ui, const FlowRow *row, char *text, size_t size) {
    char low[TEXT_SHORT], high[TEXT_SHORT];
    snprintf(text, size, "%s", "");
    if (isfinite(row->total)) {
        ui_chart_number(text, size, row->total, 0);
    } else if (isfinite(row->low)) {
        row_number(ui, row, row->low, low, sizeof low);
        row_number(ui, row, row->high, high, sizeof high);
        snprintf(text, size, "%.16s\u2013%.16s", low, high);
    }
}

static void draw_name(Ui *ui, const TableLayout *l, const FlowRow *row, double y, bool cursor) {
    const Theme *t = ui->theme;
    char wanted[TEXT_LINE];
    double unit_x = l->names.x + l->names.w - WANTED_PX - 10.0;
    if (row->kind == FLOW_HEAD) {
        ui_draw_rect(ui->list, (Rect){l->names.x, y, l->names.w, ROW_PX}, 0.0, t->raised);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, l->names.x + 12.0,
                         y + BASELINE_PX, l->names.w - 24.0, row->name);
        return;
    }
    if (cursor) ui_draw_rect(ui->list, (Rect){l->names.x, y, l->names.w, ROW_PX}, 0.0, t->selected);
    const char *unit = row_unit(ui, row);
    double unit_w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, unit);
    ui_draw_text_fit(ui->list, row->sum || cursor ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT,
                     t->text1, l->names.x + 12.0, y + BASELINE_PX, unit_x - unit_w - l->names.x - 20.0,
                     row->name);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, unit_x, y + BASELINE_PX, unit);
    wanted_text(ui, row, wanted, sizeof wanted);
    ui_draw_text_fit(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, l->names.x + l->names.w - 10.0,
                     y + BASELINE_PX, WANTED_PX - 6.0, wanted);
    if (row->sum)
        ui_draw_line(ui->list, l->names.x + 12.0, y + 0.5, l->names.x + l->names.w, y + 0.5,
                     ui_draw_solid(t->edge, 1.0));
}

static void draw_names(Ui *ui, const TableLayout *l, const ChartState *chart) {
    ui_chart_region(ui, chart, CHART_REGION_NAMES, l->names, ui->theme->panel);
    for (int r = l->first_row; row_shown(l, &chart->sheet, r); r++) {
        double y = row_y(l, r) + ROW_PX - 0.5;
        draw_name(ui, l, &chart->sheet.row[r], row_y(l, r), r == l->cursor_row);
        ui_draw_line(ui->list, l->names.x, y, l->names.x + l->names.w, y,
                     ui_draw_solid(ui->theme->hairline, 1.0));
    }
}

static void draw_head(Ui *ui, const TableLayout *l, const ChartState *chart) {
    const Theme *t = ui->theme;
    char text[TEXT_SHORT];
    ui_chart_region(ui, chart, CHART_REGION_HEAD, l->head, t->panel);
    double y = l->head.y + 23.0;
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, l->names.x + l->names.w - 10.0, y,
                 "wanted, total");
    for (int k = l->first_column; k <= l->last_column; k++) {
        double x = column_x(l, k);
        bool strong = is_hour(&chart->sheet, k) || is_present(&chart->sheet, k);
        if (k == l->cursor_column)
            ui_draw_rect(ui->list, (Rect){x, l->head.y, COLUMN_PX, HEAD_PX}, 0.0, t->selected);
        moment_text(&chart->sheet, k, text, sizeof text);
        ui_draw_text(ui->list, strong ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT,
                     strong ? t->text1 : t->text2, x + COLUMN_PX - 16.0, y, text);
    }
    ui_draw_line(ui->list, l->head.x, l->head.y + HEAD_PX - 0.5, l->head.x + l->head.w,
                 l->head.y + HEAD_PX - 0.5, ui_draw_solid(t->edge, 1.0));
}

/* A cell in the units of the settings, with a true minus sign. */
static void cell_text(const Ui *ui, const FlowSheet *sheet, int r, int k, char *text, size_t size) {
    const FlowRow *row = &sheet->row[r];
    const FlowCell *cell = &sheet->cell[r][k];
    char lower[TEXT_SHORT], upper[TEXT_SHORT];
    bool number = row->kind == FLOW_SHOWN || row->kind == FLOW_SAMPLE || row->kind == FLOW_VOLUME ||
                  row->kind == FLOW_LAST_H || row->kind == FLOW_RUNNING;
    if (!isfinite(cell->value)) {
        bool unread = row->kind == FLOW_SHOWN || row->kind == FLOW_PAIR;
        snprintf(text, size, "%s", unread ? NO_READING : "");
    } else if (number) {
        row_number(ui, row, cell->value, text, size);
    } else if (row->kind == FLOW_PAIR && isfinite(cell->second)) {
        row_number(ui, row, cell->value, upper, sizeof upper);
        row_number(ui, row, cell->second, lower, sizeof lower);
        snprintf(text, size, "%.12s/%.12s", upper, lower);
    } else {
        sim_flowsheet_format(sheet, r, k, text, size);
    }
}

/* Nothing given, nothing running: there to be seen, but quiet. */
static bool is_quiet(const FlowRow *row, const FlowCell *cell) {
    bool rate = row->kind == FLOW_RATE || row->kind == FLOW_ML_H || row->group == FLOW_INFUSIONS;
    bool volume = row->kind == FLOW_VOLUME && !row->sum;
    return (rate && fabs(cell->value) < 1e-9) || (volume && fabs(cell->value) < 0.5);
}

static void draw_cell(Ui *ui, const TableLayout *l, const FlowSheet *sheet, int r, int k) {
    const Theme *t = ui->theme;
    const FlowRow *row = &sheet->row[r];
    const FlowCell *cell = &sheet->cell[r][k];
    char text[FLOWSHEET_CELL_MAX];
    double x = column_x(l, k), y = row_y(l, r), right = x + COLUMN_PX - 16.0;
    cell_text(ui, sheet, r, k, text, sizeof text);
    if (text[0] == '\0') return;
    if (row->kind == FLOW_RHYTHM) {
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text1, x + COLUMN_PX - 4.0,
                         y + BASELINE_PX, COLUMN_PX - 6.0, text);
        return;
    }
    Colour ink = cell->beyond != 0                               ? t->text1
                 : row->kind == FLOW_ML_H || is_quiet(row, cell) ? t->text2
                                                                 : t->text1;
    ui_draw_text_fit(ui->list, cell->beyond != 0 || row->sum ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_NOTE,
                     ALIGN_RIGHT, ink, right, y + BASELINE_PX, COLUMN_PX - 18.0, text);
    if (cell->beyond != 0)
        ui_widgets_arrow(ui->list, x + COLUMN_PX - 8.0, y + ROW_PX / 2.0, ARROW_PX,
                         cell->beyond > 0 ? 'u' : 'd', ink);
}

static void draw_grid(Ui *ui, const TableLayout *l, const FlowSheet *sheet) {
    const Theme *t = ui->theme;
    double bottom = l->cells.y + l->cells.h;
    for (int r = l->first_row; row_shown(l, sheet, r); r++) {
        double y = row_y(l, r);
        Rect line = {l->cells.x, y, l->cells.w, ROW_PX};
        if (sheet->row[r].kind == FLOW_HEAD) ui_draw_rect(ui->list, line, 0.0, t->raised);
        if (r == l->cursor_row) ui_draw_rect(ui->list, line, 0.0, t->selected);
        ui_draw_line(ui->list, line.x, y + ROW_PX - 0.5, line.x + line.w, y + ROW_PX - 0.5,
                     ui_draw_solid(t->hairline, 1.0));
        if (sheet->row[r].sum)
            ui_draw_line(ui->list, line.x, y + 0.5, line.x + line.w, y + 0.5, ui_draw_solid(t->edge, 1.0));
    }
    for (int k = l->first_column; k <= l->last_column; k++) {
        double x = column_x(l, k) + COLUMN_PX - 0.5;
        ui_draw_line(ui->list, x, l->cells.y, x, bottom,
                     ui_draw_solid(is_hour(sheet, k) ? t->edge : t->hairline, 1.0));
    }
}

static void draw_cells(Ui *ui, const TableLayout *l, const ChartState *chart) {
    const FlowSheet *sheet = &chart->sheet;
    ui_chart_region(ui, chart, CHART_REGION_CELLS, l->cells, ui->theme->panel);
    draw_grid(ui, l, sheet);
    for (int r = l->first_row; row_shown(l, sheet, r); r++) {
        for (int k = l->first_column; k <= l->last_column; k++)
            draw_cell(ui, l, sheet, r, k);
    }
    if (!row_shown(l, sheet, l->cursor_row) || l->cursor_column < l->first_column ||
        l->cursor_column > l->last_column)
        return;
    Rect at = {column_x(l, l->cursor_column), row_y(l, l->cursor_row), COLUMN_PX, ROW_PX};
    ui_draw_frame(ui->list, ui_rect_inset(at, 1.0, 1.0), 3.0, ui_draw_solid(ui->theme->focus, 2.0));
}

/* ---- bars that scroll ---- */

static void draw_track(Ui *ui, Rect track, double from, double part) {
    const Theme *t = ui->theme;
    bool flat = track.w > track.h;
    Rect line =
        flat ? (Rect){track.x, track.y + 4.0, track.w, 8.0} : (Rect){track.x + 4.0, track.y, 8.0, track.h};
    ui_draw_rect(ui->list, line, 4.0, t->raised);
    if (part >= 1.0) return;
    Rect thumb = line;
    if (flat) {
        thumb.x += from * line.w;
        thumb.w *= part;
    } else {
        thumb.y += from * line.h;
        thumb.h *= part;
    }
    ui_draw_rect(ui->list, thumb, 4.0, t->edge);
}

/* Share (0..1) of a track where the mouse holds it; negative when it does not. */
static double held_share(Ui *ui, int id, Rect track) {
    ui->mouse_only = true;
    (void)ui_widgets_area(ui, id, track);
    ui_widgets_tell(ui, UI_ROLE_TRACK, track.w > track.h ? "time" : "rows", false);
    ui->mouse_only = false;
    if (ui->blocked || ui->active != id || !ui->input.down) return -1.0;
    double share =
        track.w > track.h ? (ui->input.x_px - track.x) / track.w : (ui->input.y_px - track.y) / track.h;
    return fmin(fmax(share, 0.0), 1.0);
}

static void draw_tracks(Ui *ui, const TableLayout *l, const ChartState *chart, Intents *intents) {
    const FlowSheet *sheet = &chart->sheet;
    double columns = sheet->columns, rows = sheet->rows;
    ui_draw_region(ui->list, CHART_REGION_AXIS, l->across);
    ui_draw_rect(ui->list, l->across, 0.0, ui->theme->window);
    draw_track(ui, l->across, l->first_column / columns, l->columns / columns);
    double share = held_share(ui, CHART_ID_BAR_ACROSS, l->across);
    if (share >= 0.0 && sheet->columns > l->columns) {
        int last = clamp((int)lround(share * columns + l->columns / 2.0), 0, sheet->columns - 1);
        ui_intents_add(intents, INTENT_PART, CHART_PART_RIGHT,
                       last == sheet->columns - 1 ? NEWEST : sheet->time_s[last], false);
    }
    ui_draw_region(ui->list, CHART_REGION_SIDE, l->down);
    ui_draw_rect(ui->list, l->down, 0.0, ui->theme->window);
    draw_track(ui, l->down, l->first_row / rows, l->rows / rows);
    share = held_share(ui, CHART_ID_BAR_DOWN, l->down);
    if (share >= 0.0 && sheet->rows > l->rows)
        ui_intents_add(intents, INTENT_PART, CHART_PART_TOP,
                       clamp((int)lround(share * rows - l->rows / 2.0), 0, sheet->rows - l->rows), false);
}

/* ---- the cursor ---- */

static void go_to(const TableLayout *l, const FlowSheet *sheet, int row, int column, Intents *intents) {
    row = clamp(row, 0, sheet->rows - 1);
    column = clamp(column, 0, sheet->columns - 1);
    if (row != l->cursor_row) ui_intents_add(intents, INTENT_PART, CHART_PART_ROW, row, false);
    bool newest = column == sheet->columns - 1;
    if (column != l->cursor_column)
        ui_intents_add(intents, INTENT_PART, CHART_PART_CELL, newest ? NEWEST : sheet->time_s[column], false);
    int top = l->first_row;
    if (row < top) top = row;
    if (row >= top + l->rows) top = row - l->rows + 1;
    if (top != l->first_row) ui_intents_add(intents, INTENT_PART, CHART_PART_TOP, top, false);
    int last = l->last_column;
    if (column > last) last = column;
    if (column < l->first_column) last = column + l->columns - 1;
    if (last != l->last_column)
        ui_intents_add(intents, INTENT_PART, CHART_PART_RIGHT,
                       last >= sheet->columns - 1 ? NEWEST : sheet->time_s[last], false);
}

static void take_keys(Ui *ui, const TableLayout *l, const ChartState *chart, Intents *intents) {
    const FlowSheet *sheet = &chart->sheet;
    int row = l->cursor_row, column = l->cursor_column;
    bool shift = false;
    while (ui_widgets_take_key(ui, KEY_UP, &shift))
        row -= shift ? l->rows - 1 : 1;
    while (ui_widgets_take_key(ui, KEY_DOWN, &shift))
        row += shift ? l->rows - 1 : 1;
    while (ui_widgets_take_key(ui, KEY_LEFT, &shift))
        column -= shift ? l->columns - 1 : 1;
    while (ui_widgets_take_key(ui, KEY_RIGHT, &shift))
        column += shift ? l->columns - 1 : 1;
    while (ui_widgets_take_key(ui, KEY_PAGE_UP, &shift)) {
        row -= shift ? 0 : l->rows - 1;
        column -= shift ? l->columns - 1 : 0;
    }
    while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, &shift)) {
        row += shift ? 0 : l->rows - 1;
        column += shift ? l->columns - 1 : 0;
    }
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) column = 0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) column = sheet->columns - 1;
    row = clamp(row, 0, sheet->rows - 1);
    column = clamp(column, 0, sheet->columns - 1);
    if (row != l->cursor_row || column != l->cursor_column) go_to(l, sheet, row, column, intents);
    if (ui->focus == 0 && ui_widgets_take_key(ui, KEY_ENTER, NULL))
        ui_intents_add(intents, INTENT_PART, CHART_PART_PLOT, row, false);
    if (ui_widgets_take_char(ui, 'p')) ui_intents_add(intents, INTENT_PART, CHART_PART_PLOT, row, false);
}

static void take_mouse(Ui *ui, const TableLayout *l, const ChartState *chart, Intents *intents) {
    const FlowSheet *sheet = &chart->sheet;
    Rect all = {l->names.x, l->names.y, l->names.w + l->cells.w, l->cells.h};
    ui->mouse_only = true;
    bool hit = ui_widgets_area(ui, CHART_ID_CELLS, all);
    ui_widgets_tell(ui, UI_ROLE_FIELD, "flow sheet", false);
    ui->mouse_only = false;
    if (hit) {
        int row = l->first_row + (int)floor((ui->input.y_px - l->cells.y) / ROW_PX);
        int column = l->cursor_column;
        if (ui->input.x_px >= l->cells.x)
            column =
                l->first_column + (int)floor((ui->input.x_px - column_x(l, l->first_column)) / COLUMN_PX);
        column = clamp(column, l->first_column, l->last_column);
        if (row == l->cursor_row && column == l->cursor_column)
            ui_intents_add(intents, INTENT_PART, CHART_PART_PLOT, row, false);
        else
            go_to(l, sheet, clamp(row, 0, sheet->rows - 1), column, intents);
        ui->focus = 0;
    }
    if (ui->blocked || fabs(ui->input.wheel) <= 0.0) return;
    bool across =
        ui_widgets_hovered(ui, l->across) || ui_widgets_hovered(ui, l->head) || sheet->rows <= l->rows;
    if (across) {
        int last = clamp(l->last_column - (int)lround(ui->input.wheel), l->columns - 1, sheet->columns - 1);
        ui_intents_add(intents, INTENT_PART, CHART_PART_RIGHT,
                       last >= sheet->columns - 1 ? NEWEST : sheet->time_s[last], false);
    } else {
        int top = l->first_row - (int)lround(WHEEL_ROWS * ui->input.wheel);
        ui_intents_add(intents, INTENT_PART, CHART_PART_TOP, clamp(top, 0, sheet->rows - l->rows), false);
    }
}

/* ---- the bar above, the words below ---- */

static void draw_bar(Ui *ui, Rect bar, const TableLayout *l, const ChartState *chart, Intents *intents) {
    static const char *const STEP_NAMES[CHART_STEPS] = {"5 min", "15 min", "1 h"};
    const FlowSheet *sheet = &chart->sheet;
    const Theme *t = ui->theme;
    ui_chart_region(ui, chart, CHART_REGION_BAR, bar, t->window);
    double x = bar.x + 12.0, y = bar.y + 2.0;
    for (int i = 0; i < CHART_STEPS; i++) {
        if (ui_chart_button(ui, CHART_ID_STEP + i, &x, y, STEP_NAMES[i],
                            i == chart->step ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_PART, CHART_PART_STEP, i, false);
    }
    x += 12.0;
    bool more = l->first_column > 0, newest = chart->right_s < 0.0 || l->last_column == sheet->columns - 1;
    int page = l->columns > 1 ? l->columns - 1 : 1;
    if (ui_chart_button(ui, CHART_ID_MOVE, &x, y, "Earlier", more ? BUTTON_PLAIN : BUTTON_OFF))
        ui_intents_add(intents, INTENT_PART, CHART_PART_RIGHT,
                       sheet->time_s[clamp(l->last_column - page, 0, sheet->columns - 1)], false);
    if (ui_chart_button(ui, CHART_ID_MOVE + 1, &x, y, "Later", newest ? BUTTON_OFF : BUTTON_PLAIN)) {
        int last = clamp(l->last_column + page, 0, sheet->columns - 1);
        ui_intents_add(intents, INTENT_PART, CHART_PART_RIGHT,
                       last == sheet->columns - 1 ? NEWEST : sheet->time_s[last], false);
    }
    x += 12.0;
    if (ui_chart_button(ui, CHART_ID_EXPORT, &x, y, "Save as table  X", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, CHART_PART_EXPORT, 0.0, false);
    ui_chart_alarms(ui, bar, x, chart, intents);
}

/* What happened in a column, in words. */
static void marks_text(const FlowSheet *sheet, FlowMarkKind kind, int column, char *text, size_t size) {
    double to_s = sheet->time_s[column], from_s = column > 0 ? sheet->time_s[column - 1] : -1.0;
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < sheet->marks && used < size; i++) {
        const FlowMark *mark = &sheet->mark[i];
        char when[TEXT_SHORT], number[TEXT_SHORT] = "";
        if (mark->kind != kind || mark->time_s <= from_s + 1e-6 || mark->time_s > to_s + 1e-6) continue;
        sim_flowsheet_clock(mark->time_s, when, sizeof when);
        if (mark->number > 0) snprintf(number, sizeof number, "%d ", mark->number);
        used += (size_t)snprintf(text + used, size - used, "%s%s%s %s %s", used > 0 ? ";  " : "", number,
                                 when, mark->what, mark->detail);
    }
}

/* A cell in a sentence: "MAP at 02:15: 58 mmHg, low, wanted 65 to 85". */
static void cell_words(const Ui *ui, const FlowSheet *sheet, int r, int k, char *text, size_t size) {
    const FlowRow *row = &sheet->row[r], *name = row->kind == FLOW_ML_H ? row - 1 : row;
    const FlowCell *cell = &sheet->cell[r][k];
    char moment[TEXT_SHORT], value[FLOWSHEET_CELL_MAX], more[TEXT_LINE] = "", wanted[TEXT_LINE] = "";
    char marks[TEXT_LONG];
    moment_text(sheet, k, moment, sizeof moment);
    if (row->kind == FLOW_HEAD) {
        snprintf(text, size, "%s", row->name);
        return;
    }
    if (row->kind == FLOW_COUNT) {
        marks_text(sheet, row->mark, k, marks, sizeof marks);
        snprintf(text, size, "%s, to %s:  %.500s", row->name, moment, marks[0] != '\0' ? marks : "none");
        return;
    }
    cell_text(ui, sheet, r, k, value, sizeof value);
    if (row->kind == FLOW_RATE)
        snprintf(more, sizeof more, ", %.1f mL/h",
                 sim_orders_ml_h(row->order, cell->value, sheet->weight_kg));
    wanted_text(ui, row, wanted, sizeof wanted);
    const char *side = cell->beyond < 0 ? ", low" : cell->beyond > 0 ? ", high" : "";
    bool volume = row->kind == FLOW_VOLUME;
    snprintf(text, size, "%s, %s%s:  %s %s%s%s%s%.60s", name->name,
             is_present(sheet, k) ? ""
             : volume             ? "to "
                                  : "at ",
             moment, value[0] != '\0' ? value : "no value", value[0] != '\0' ? row_unit(ui, row) : "", more,
             side,
             wanted[0] == '\0'      ? ""
             : isfinite(row->total) ? ";  since the night began "
                                    : ";  wanted ",
             wanted);
}

static void draw_foot(Ui *ui, Rect foot, const TableLayout *l, const ChartState *chart) {
    const Theme *t = ui->theme;
    char text[TEXT_LONG + TEXT_LINE];
    ui_chart_region(ui, chart, CHART_REGION_FOOT, foot, t->window);
    if (chart->notice[0] != '\0') {
        ui_chart_notice(ui, foot, chart);
        return;
    }
    cell_words(ui, &chart->sheet, l->cursor_row, l->cursor_column, text, sizeof text);
    const char *keys = "Arrows: cell   + \u2212: time step   P: plot it   Home End: first, newest";
    double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, keys);
    bool room = foot.w >= WIDE_PX;
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, foot.x + 16.0,
                     foot.y + 23.0, foot.w - 32.0 - (room ? w + 24.0 : 0.0), text);
    if (room)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, foot.x + foot.w - 16.0,
                     foot.y + 23.0, keys);
}

void ui_chart_table(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents) {
    if (chart->sheet.columns == 0) return;
    TableLayout l = lay_out(body, chart);
    draw_bar(ui, bar, &l, chart, intents);
    draw_head(ui, &l, chart);
    draw_names(ui, &l, chart);
    draw_cells(ui, &l, chart);
    take_mouse(ui, &l, chart, intents);
    draw_tracks(ui, &l, chart, intents);
    draw_foot(ui, foot, &l, chart);
    take_keys(ui, &l, chart, intents);
    int step = chart->step;
    while (ui_widgets_take_char(ui, '+'))
        step--;
    while (ui_widgets_take_char(ui, '-'))
        step++;
    if (step != chart->step)
        ui_intents_add(intents, INTENT_PART, CHART_PART_STEP, clamp(step, 0, CHART_STEPS - 1), false);
}
