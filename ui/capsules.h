/* Volume per beat of the four chambers on one common scale. */
#ifndef UI_CAPSULES_H
#define UI_CAPSULES_H

#include "ui/draw.h"
#include "ui/view.h"

/* Draws a heading and one capsule per chamber in % of its reference volume: the bar runs from the smallest to
   the largest volume of the beat, so that its length is the stroke; the bracket is the usual range of the
   largest; a pointer appears beside the bar when the largest is outside it. Wants at least 280 x 140 px.
   Draws nothing where `view->shown` is false. */
void ui_capsules_draw(DrawList *list, Rect rect, const HeartView *view);

#endif
