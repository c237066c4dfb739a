/* Numbers with what makes them readable: unit, companion, half an hour of trend, target bar, and a mark with
   a word when outside the target. */
#ifndef UI_TILES_H
#define UI_TILES_H

#include "ui/draw.h"
#include "ui/theme.h"
#include "ui/view.h"

/* A large tile beside a lane. */
void ui_tiles_large(DrawList *list, const Theme *theme, const Reading *reading, Side side, Rect rect);
/* The same on a single line, for a low lane: name, number, unit, mark, companion, bar. */
void ui_tiles_low(DrawList *list, const Theme *theme, const Reading *reading, Rect rect);
/* A pump value: name, number, unit, trend below. */
void ui_tiles_medium(DrawList *list, const Theme *theme, const Reading *reading, Side side, Rect rect);
/* A small cell: name, number, unit, note. */
void ui_tiles_small(DrawList *list, const Theme *theme, const Reading *reading, Rect rect);

/* Only the number, its unit where there is room, and an arrow when outside the target; the baseline is at y.
 */
void ui_tiles_inline(DrawList *list, const Theme *theme, const Reading *reading, double size_px, double x,
                     double y, double max_px);

/* Writes a number with `decimals` places, a true minus sign and thin gaps in thousands; "--" for NAN. */
void ui_tiles_format(char *text, size_t size, double value, int decimals);
/* h:mm or h:mm:ss of seconds. */
void ui_tiles_clock(char *text, size_t size, double time_s, bool seconds);

/* m:ss of seconds, the minutes not folded into hours. */
void ui_tiles_minutes(char *text, size_t size, double time_s);

/* Colour of the marks, words and frames of a priority 1..3. */
Colour ui_tiles_priority(const Theme *theme, int priority);

#endif
