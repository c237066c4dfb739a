/* The circulation as one ribbon. */
#ifndef UI_FLOW_LOOP_H
#define UI_FLOW_LOOP_H

#include "ui/draw.h"
#include "ui/view.h"

/* Draws veins, right heart, lungs, left heart and arteries joined by ribbons as wide as their flow, all on
   one scale. The pump and the valve leave the left heart as two ribbons (the right heart too, where there is
   a right pump); flow that runs backward is hatched with its chevrons turned; leaks turn back in a U under
   their chamber. The lungs' box shows whether they fill, empty or stay, with the difference in L/min. Wants
   at least 300 x 150 px; from 440 px of width the full names are used. Draws nothing where `view->shown` is
   false. */
void ui_flow_loop_draw(DrawList *list, Rect rect, const HeartView *view);

#endif
