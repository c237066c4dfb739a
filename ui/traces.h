/* Swept waveforms: the trace stands, a gap moves across it. Only what changed is drawn again. */
#ifndef UI_TRACES_H
#define UI_TRACES_H

#include "ui/draw.h"
#include "ui/theme.h"
#include "ui/view.h"

enum { UI_TRACES_GAP_SHARE = 60 }; /* the gap ahead of the cursor is this part of the lane */

/* Empties a sweep and gives it `columns` columns (cut to 2..SWEEP_COLUMNS_MAX). */
void ui_traces_reset(Sweep *sweep, int columns);

/* Adds one sample that falls on absolute column `column` (it wraps); columns passed over are filled by
   joining the last value to this one. Clears a gap of `gap` columns ahead of the cursor. */
void ui_traces_add(Sweep *sweep, int64_t column, double value, int gap);

/* Draws the ground of a lane: level lines at its ticks, upright lines every second, tick labels to the left.
 */
void ui_traces_ground(DrawList *list, const Theme *theme, const Lane *lane, Rect rect, double second_px);

/* Draws the trace in rect between x0 and x1 (design px; the whole rect: its ends), with the cursor's dot.
   `filled`: a band between low and high instead of a line, for many beats in a column. */
void ui_traces_draw(DrawList *list, const Theme *theme, const Lane *lane, const Sweep *sweep, Rect rect,
                    double x0, double x1, bool filled);

/* y in rect of a value on the lane's scale, kept inside the rect. */
double ui_traces_y(const Lane *lane, Rect rect, double value);

/* Design px from x where the cursor stands in rect. */
double ui_traces_cursor_x(const Sweep *sweep, Rect rect);

#endif
