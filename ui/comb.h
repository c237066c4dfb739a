/* Aortic valve, beat by beat. */
#ifndef UI_COMB_H
#define UI_COMB_H

#include "ui/draw.h"
#include "ui/view.h"

/* Draws a heading with the count and one mark per beat, newest at the right: a bar as high as the opening
   time, a hollow ring where the valve stayed shut, so that "1 in 3" is seen as a rhythm. Wants at least 240 x
   60 px; above 84 px of height also the ends of the row are named. Draws nothing where `view->shown` is
   false. */
void ui_comb_draw(DrawList *list, Rect rect, const HeartView *view);

#endif
