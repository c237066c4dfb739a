/* Draw commands as SVG: the same drawing in the window and on a page. */
#ifndef UI_DRAW_SVG_H
#define UI_DRAW_SVG_H

#include "ui/draw.h"

/* Writes the list as one svg element that shows `view`; `label` says what it shows to those who cannot see
   it. Names within it begin with `prefix`, so that several stand on one page. Grain is left out; a gradient
   is its middle. */
void ui_draw_svg_write(const DrawList *list, Rect view, const char *prefix, const char *label, FILE *out);

#endif
