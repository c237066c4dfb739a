/* The alarms on show: blocks with priority sign, what and since when; the state of the sound; the way to the
 * limits. */
#ifndef UI_ALARM_STRIP_H
#define UI_ALARM_STRIP_H

#include "ui/intents.h"
#include "ui/view.h"
#include "ui/widgets.h"

/* Flashes per second of the block of a priority that is not acknowledged; 0: steady. Below three a second. */
double ui_alarm_strip_flash_hz(int priority);

/* Draws the strip into `rect` and adds INTENT_ALARM_SEEN, INTENT_ALARM_PAUSE, INTENT_SHEET. */
void ui_alarm_strip_draw(Ui *ui, const BedsideView *view, Rect rect, Intents *intents);

/* A pause: pauses the sound. Shift and A: acknowledges the first alarm, then walks through the others. */
void ui_alarm_strip_keys(Ui *ui, Intents *intents);

/* The bell in a square of `size_px`: cross 'd' dashed for a pause, 's' solid for silent, 0 none. */
void ui_alarm_strip_bell(DrawList *list, double x, double y, double size_px, char cross, Colour colour);

/* "!!!", "!!" or "!" in a triangle, its foot's middle at (x, y + 13). */
void ui_alarm_strip_sign(DrawList *list, double x, double y, int priority, Colour triangle, Colour mark);

/* "!!!", "!!", "!" or "" of a priority. */
const char *ui_alarm_strip_mark(int priority);

#endif
