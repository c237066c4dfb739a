/* Executes draw lists on a canvas in memory. No display is needed. */
#ifndef UI_RASTER_H
#define UI_RASTER_H

#include "model/error.h"
#include "ui/draw.h"
#include "ui/text.h"

typedef struct Canvas Canvas;

/* A canvas of width x height device pixels showing design pixels enlarged by `scale`. `text` is used, not
   owned. The caller destroys it. On failure NULL, and `error` says why. */
Canvas *ui_raster_create(int width, int height, double scale, Text *text, Error *error);
/* Accepts NULL. */
void ui_raster_destroy(Canvas *canvas);

/* Executes the commands [first, first + count) (count 0: to the end) where they touch `clip`, given in design
   px and widened to whole device pixels. Regions do not clip by themselves. */
void ui_raster_run(Canvas *canvas, const DrawList *list, size_t first, size_t count, Rect clip);

/* The pixels, 0xXXRRGGBB, row by row; valid until destroyed. */
uint32_t *ui_raster_pixels(Canvas *canvas);
int ui_raster_width(const Canvas *canvas);
int ui_raster_height(const Canvas *canvas);
int ui_raster_stride(const Canvas *canvas); /* pixels per row */
double ui_raster_scale(const Canvas *canvas);

/* Makes `list` measure text with this canvas's fonts and scale. The canvas must outlive the use of the list.
 */
void ui_raster_measure(Canvas *canvas, DrawList *list);

/* Writes the canvas as a PNG file. */
ErrorCode ui_raster_write_png(Canvas *canvas, const char *path, Error *error) MODEL_CHECKED;
/* Reads a PNG file of any size into freshly allocated 0xXXRRGGBB pixels the caller frees; NULL on failure. */
uint32_t *ui_raster_read_png(const char *path, int *width, int *height, Error *error);

#endif
