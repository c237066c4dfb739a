/* The window and what the user does to it. The only part that knows SDL's video and events. */
#ifndef UI_WINDOW_H
#define UI_WINDOW_H

#include "model/error.h"
#include "ui/draw.h"
#include "ui/input.h"
#include "ui/raster.h"

typedef struct Window Window;

/* Opens a window on a display (0 first; one that is not there: the first); width and height 0: fitted to the
   screen. ERROR_DISPLAY and NULL if there is no display. The caller destroys it. */
Window *ui_window_open(const char *title, int display, int width_px, int height_px, bool full_screen,
                       Error *error);
/* Accepts NULL. */
void ui_window_close(Window *window);

/* Size in device pixels, and device pixels per unit of the pointer's coordinates. */
void ui_window_size(const Window *window, int *width_px, int *height_px);
/* Device pixels per window unit: above 1 where the desktop draws in larger units (HiDPI). */
double ui_window_pixel_ratio(const Window *window);
/* A first guess of the interface's scale: from the pixel ratio, else from the height of the window. */
double ui_window_scale_guess(const Window *window);

/* The display a window is on, and another one if there is another. */
int ui_window_display(const Window *window);
int ui_window_other_display(const Window *window);

/* Waits up to `wait_s` for something to happen and hands all that did to the windows it is for (an entry may
   be NULL, the first must not); a wish to end the program is the first's. */
void ui_window_wait(Window *const windows[], int count, double wait_s);

/* Fills *input with all that happened to a window since it was last asked. `scale`: device px per design px.
 */
void ui_window_input(Window *window, double scale, Input *input);

/* Copies the given parts of the canvas (design px) to the window; `count` 0 with `all` copies everything. */
void ui_window_present(Window *window, Canvas *canvas, const Rect *dirty, int count, bool all);

/* Fills the screen, or goes back to a window. */
void ui_window_full_screen(Window *window, bool full);
void ui_window_title(Window *window, const char *title);

#endif
