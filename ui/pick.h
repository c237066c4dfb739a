/* Controls that are one stop for Tab and are moved inside by arrows: a list of rows, a row of steps. */
#ifndef UI_PICK_H
#define UI_PICK_H

#include "ui/widgets.h"

enum { PICK_NAME_MAX = 128 };

/* Like ui_widgets_area, but Enter and Space stay with the card: true when clicked. */
bool ui_pick_area(Ui *ui, int id, Rect rect);

/* Writes the name of row `index`. */
typedef void (*PickName)(const void *what, int index, char name[PICK_NAME_MAX]);

/* Draws `count` rows, each `row_px` high, with the chosen one marked (-1: none), as one control `id`, called
   `label`. Returns the row chosen by a click or, with the focus, by Up, Down, Home or End; -1: no other one.
 */
int ui_pick_rows(Ui *ui, int id, Rect rect, double row_px, const char *label, int count, int chosen,
                 PickName name, const void *what);

/* Draws `count` equal cells side by side, filled up to the chosen one (-1: none), as one control `id`.
   Returns the cell chosen by a click or, with the focus, by Left, Right, Home or End; -1: no other one. */
int ui_pick_steps(Ui *ui, int id, Rect rect, const char *label, int count, int chosen);

#endif
