/* Text on a memory canvas: measured and drawn from a cache of rendered runs. */
#ifndef UI_TEXT_H
#define UI_TEXT_H

#include "model/error.h"
#include "ui/draw.h"
#include "ui/fonts.h"

typedef struct Text Text;

/* A target of 32-bit pixels 0xXXRRGGBB and the part of it that may be touched, in device pixels. */
typedef struct TextTarget {
    uint32_t *pixels;
    int stride_px;
    int left, top, right, bottom; /* right and bottom exclusive */
} TextTarget;

/* Loads the fonts of `fonts`. The caller destroys the result; on failure NULL and `error` says why. */
Text *ui_text_create(const FontSet *fonts, Error *error);
/* Accepts NULL. */
void ui_text_destroy(Text *text);

/* Width in device pixels at `size_px` device pixels. */
int ui_text_width(Text *text, FontFace face, int size_px, const char *utf8);

/* Draws with the baseline at y, x being the left edge, centre or right edge; device pixels. */
void ui_text_draw(Text *text, const TextTarget *target, FontFace face, int size_px, TextAlign align,
                  Colour colour, double x, double y, const char *utf8);

#endif
