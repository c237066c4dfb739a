/* The heart picture: four chambers now against the same patient's reference. */
#ifndef UI_HEART_H
#define UI_HEART_H

#include "ui/draw.h"
#include "ui/view.h"

/* Draws the heart centred in `rect` at true proportions. The frame is set by the reference and widened only
   for a heart that has outgrown it, so that sizes can be compared over time. Reads well from 240 px of height
   up. Draws nothing where `view->shown` is false. Adds commands only; allocates nothing itself. */
void ui_heart_draw(DrawList *list, Rect rect, const HeartView *view);

#endif
