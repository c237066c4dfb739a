/* Sweep buffers and lanes. */
#include "ui/traces.h"

#include <math.h>
#include <stdio.h>

#define CURSOR_DOT_PX 3.5
#define EDGE_PX       3.0 /* the line's half width and a little air at the lane's ends */
#define DASH_ON_PX    2.0
#define DASH_OFF_PX   6.0
#define FILL_ALPHA    0.55
#define STEEP_PX      4.0 /* a rise or fall within a column that no line style interrupts */

enum { JOIN_MAX = 64 }; /* columns joined after a pause of samples; more than that stays a gap */

void ui_traces_reset(Sweep *sweep, int columns) {
    sweep->columns = columns < 2 ? 2 : columns > SWEEP_COLUMNS_MAX ? SWEEP_COLUMNS_MAX : columns;
    sweep->cursor = -1;
    sweep->at = -1;
    sweep->last = NAN;
    for (int i = 0; i < SWEEP_COLUMNS_MAX; i++)
        sweep->low[i] = sweep->high[i] = NAN;
}

/* Starts column `column` with `value` and clears the gap ahead. */
static void open_column(Sweep *sweep, int64_t column, double value, int gap) {
    int at = (int)(column % sweep->columns);
    sweep->low[at] = sweep->high[at] = (float)value;
    sweep->cursor = at;
    sweep->at = column;
    for (int i = 1; i <= gap && i < sweep->columns; i++) {
        int ahead = (at + i) % sweep->columns;
        sweep->low[ahead] = sweep->high[ahead] = NAN;
    }
}

void ui_traces_add(Sweep *sweep, int64_t column, double value, int gap) {
    if (column > sweep->at) {
        int64_t passed = column - sweep->at - 1;
        if (sweep->at >= 0 && passed <= JOIN_MAX && isfinite(sweep->last) && isfinite(value)) {
            double first = sweep->last;
            int64_t from = sweep->at;
            for (int64_t i = 1; i <= passed; i++)
                open_column(sweep, from + i, first + (value - first) * (double)i / (double)(passed + 1), gap);
        }
        open_column(sweep, column, value, gap);
    } else if (isfinite(value)) {
        int at = sweep->cursor;
        sweep->low[at] = isfinite(sweep->low[at]) ? fminf(sweep->low[at], (float)value) : (float)value;
        sweep->high[at] = isfinite(sweep->high[at]) ? fmaxf(sweep->high[at], (float)value) : (float)value;
    }
    sweep->last = value;
}

double ui_traces_y(const Lane *lane, Rect rect, double value) {
    double share = (value - lane->low) / (lane->high - lane->low);
    share = fmin(fmax(share, 0.0), 1.0);
    return rect.y + rect.h - EDGE_PX - share * (rect.h - 2.0 * EDGE_PX);
}

double ui_traces_cursor_x(const Sweep *sweep, Rect rect) {
    return rect.x + (sweep->cursor + 0.5) * rect.w / sweep->columns;
}

void ui_traces_ground(DrawList *list, const Theme *theme, const Lane *lane, Rect rect, double second_px) {
    Colour faint = ui_colour_mix(theme->panel, theme->hairline, 0.45);
    for (double x = rect.x + second_px; second_px > 4.0 && x < rect.x + rect.w; x += second_px)
        ui_draw_line(list, x, rect.y, x, rect.y + rect.h, ui_draw_solid(faint, 1.0));
    for (int i = 0; i < lane->ticks; i++) {
        double y = round(ui_traces_y(lane, rect, lane->tick[i])) + 0.5;
        ui_draw_path(list);
        ui_draw_move(list, rect.x, y);
        ui_draw_to(list, rect.x + rect.w, y);
        StrokeStyle dots = ui_draw_dashed(theme->hairline, 1.0, DASH_ON_PX, DASH_OFF_PX);
        dots.flat = true;
        ui_draw_stroke(list, dots);
    }
}

typedef struct Pen {
    DrawList *list;
    bool down;
    double middle; /* of the column before */
} Pen;

/* Joins one column to the line: the end nearer to the column before comes first, so that a spike is one
   stroke up and one down. What is drawn depends on this column and the one before only, so that a part of a
   trace looks the same when it is drawn alone. */
static void pen_column(Pen *pen, double x, double y_low, double y_high) {
    bool low_first = !pen->down || fabs(pen->middle - y_low) <= fabs(pen->middle - y_high);
    double first = low_first ? y_low : y_high, second = low_first ? y_high : y_low;
    pen->middle = 0.5 * (y_low + y_high);
    if (fabs(y_low - y_high) < 0.75) first = second = pen->middle;
    if (pen->down)
        ui_draw_to(pen->list, x, first);
    else
        ui_draw_move(pen->list, x, first);
    if (fabs(first - second) > 0.0) ui_draw_to(pen->list, x, second);
    pen->down = true;
}

/* Whether column i falls into a gap of the side's line style. Fixed to the lane and not to where a stroke
   begins, so that a part drawn alone has its gaps in the same places; steep parts have none. */
static bool in_gap(const Theme *theme, const Lane *lane, const Sweep *sweep, Rect rect, int i) {
    double on = theme->dash_on_px[lane->side], off = theme->dash_off_px[lane->side];
    double step = rect.w / sweep->columns;
    if (on <= 0.0 || i == 0 || fmod((i + 0.5) * step, on + off) < on) return false;
    double low = fmin(sweep->low[i], sweep->low[i - 1]), high = fmax(sweep->high[i], sweep->high[i - 1]);
    return !(ui_traces_y(lane, rect, low) - ui_traces_y(lane, rect, high) > STEEP_PX);
}

static void draw_line(DrawList *list, const Theme *theme, const Lane *lane, const Sweep *sweep, Rect rect,
                      int first, int last) {
    double step = rect.w / sweep->columns;
    Pen pen = {list, false, 0.0};
    ui_draw_path(list);
    for (int i = first; i <= last; i++) {
        if (isnan(sweep->low[i]) || in_gap(theme, lane, sweep, rect, i)) {
            pen.down = false;
            continue;
        }
        pen_column(&pen, rect.x + (i + 0.5) * step, ui_traces_y(lane, rect, sweep->low[i]),
                   ui_traces_y(lane, rect, sweep->high[i]));
    }
    ui_draw_stroke(list, ui_draw_solid(theme->side[lane->side], theme->trace_px));
}

/* One closed shape per unbroken stretch: along the highs and back along the lows. */
static void draw_band(DrawList *list, const Lane *lane, const Sweep *sweep, Rect rect, int first, int last,
                      Colour colour) {
    double step = rect.w / sweep->columns;
    for (int i = first; i <= last; i++) {
        if (isnan(sweep->low[i])) continue;
        int end = i;
        while (end < last && !isnan(sweep->low[end + 1]))
            end++;
        ui_draw_path(list);
        for (int k = i; k <= end; k++) {
            double x = rect.x + (k + 0.5) * step, y = ui_traces_y(lane, rect, sweep->high[k]);
            if (k == i)
                ui_draw_move(list, x, y);
            else
                ui_draw_to(list, x, y);
        }
        for (int k = end; k >= i; k--)
            ui_draw_to(list, rect.x + (k + 0.5) * step, ui_traces_y(lane, rect, sweep->low[k]));
        ui_draw_close(list);
        ui_draw_fill(list, ui_colour_alpha(colour, FILL_ALPHA));
        ui_draw_stroke(list, ui_draw_solid(colour, 1.0));
        i = end;
    }
}

void ui_traces_draw(DrawList *list, const Theme *theme, const Lane *lane, const Sweep *sweep, Rect rect,
                    double x0, double x1, bool filled) {
    if (sweep->cursor < 0) return;
    double step = rect.w / sweep->columns;
    /* two columns beyond the cut on each side, so that joins at the cut look the same */
    int first = (int)fmax(floor((x0 - rect.x) / step) - 3.0, 0.0);
    int last = (int)fmin(ceil((x1 - rect.x) / step) + 3.0, sweep->columns - 1.0);
    if (filled)
        draw_band(list, lane, sweep, rect, first, last, theme->side[lane->side]);
    else
        draw_line(list, theme, lane, sweep, rect, first, last);
    int at = sweep->cursor;
    double x = ui_traces_cursor_x(sweep, rect);
    if (!isnan(sweep->low[at]) && x > x0 - 2.0 * CURSOR_DOT_PX && x < x1 + 2.0 * CURSOR_DOT_PX)
        ui_draw_circle(list, x, ui_traces_y(lane, rect, sweep->last), CURSOR_DOT_PX, theme->text1);
}
