/* Colours with their contrast, after WCAG 2.2 (relative luminance and contrast ratio). */
#ifndef UI_COLOUR_H
#define UI_COLOUR_H

#include <stdint.h>

typedef struct Colour {
    uint8_t r, g, b, a; /* sRGB 0..255, straight alpha */
} Colour;

/* From 0xRRGGBB, opaque. */
Colour ui_colour_hex(uint32_t rgb);

/* The same colour with alpha 0..1. */
Colour ui_colour_alpha(Colour colour, double alpha);

/* Mix of two colours in sRGB space, t 0 -> a, 1 -> b. */
Colour ui_colour_mix(Colour a, Colour b, double t);

/* Relative luminance 0..1 of an opaque colour (WCAG 2.2, definition of relative luminance). */
double ui_colour_luminance(Colour colour);

/* Contrast ratio 1..21 of two opaque colours (WCAG 2.2, 1.4.3). */
double ui_colour_contrast(Colour a, Colour b);

#endif
