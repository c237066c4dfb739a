/* Repaints what changed: compares each region of a draw list with the frame before, and executes only those
 * that differ. */
#ifndef UI_PAINTER_H
#define UI_PAINTER_H

#include "ui/draw.h"
#include "ui/raster.h"

enum { PAINTER_REGIONS = 64, PAINTER_DIRTY_MAX = 96 };

/* Zeroed: nothing has been painted. */
typedef struct Painter {
    uint64_t hash[2 * PAINTER_REGIONS]; /* of a region, and of its second part where a list has two */
    bool painted[PAINTER_REGIONS]; /* in this frame */
    bool all;                      /* everything was painted in this frame */
    Rect dirty[PAINTER_DIRTY_MAX];
    int dirties;
} Painter;

/* Forgets what is on the canvas: the next frame is painted whole. */
void ui_painter_forget(Painter *painter);
/* Starts a frame: nothing is dirty. */
void ui_painter_begin(Painter *painter);
/* Paints the regions of `list` that differ from the frame before and marks them dirty. `whole`: if anything
   differs, all of it is painted again, as it must be where one region lies over others. */
void ui_painter_regions(Painter *painter, Canvas *canvas, const DrawList *list, bool whole);
/* Paints every region of `list` without comparing: for what is known to have changed. */
void ui_painter_always(Painter *painter, Canvas *canvas, const DrawList *list);
/* Whether region `id` was painted in this frame by ui_painter_regions. */
bool ui_painter_painted(const Painter *painter, int id);

#endif
