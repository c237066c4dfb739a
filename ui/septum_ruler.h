/* Where the septum stands. */
#ifndef UI_SEPTUM_RULER_H
#define UI_SEPTUM_RULER_H

#include "ui/draw.h"
#include "ui/view.h"

/* Draws a heading with the shift in words and a line from 10 mm toward the right ventricle (left end) to 10
   mm toward the left ventricle (right end), as the ventricles lie in the heart picture: the usual range as a
   band, a ring for the reference, an arrow to now. A shift beyond the line ends at its end with a second
   arrow head. Wants at least 220 x 66 px. Draws nothing where `view->shown` is false. */
void ui_septum_ruler_draw(DrawList *list, Rect rect, const HeartView *view);

#endif
