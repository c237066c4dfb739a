/* Colours with their contrast, after WCAG 2.2. */
#include "ui/colour.h"

#include <math.h>

Colour ui_colour_hex(uint32_t rgb) {
    return (Colour){(uint8_t)(rgb >> 16), (uint8_t)(rgb >> 8), (uint8_t)rgb, 255};
}

Colour ui_colour_alpha(Colour colour, double alpha) {
    colour.a = (uint8_t)lround(255.0 * fmin(fmax(alpha, 0.0), 1.0));
    return colour;
}

static uint8_t mix_channel(uint8_t a, uint8_t b, double t) {
    return (uint8_t)lround((1.0 - t) * a + t * b);
}

Colour ui_colour_mix(Colour a, Colour b, double t) {
    return (Colour){mix_channel(a.r, b.r, t), mix_channel(a.g, b.g, t), mix_channel(a.b, b.b, t),
                    mix_channel(a.a, b.a, t)};
}

static double linear_channel(uint8_t value) {
    double c = value / 255.0;
    return c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
}

double ui_colour_luminance(Colour colour) {
    return 0.2126 * linear_channel(colour.r) + 0.7152 * linear_channel(colour.g) +
           0.0722 * linear_channel(colour.b);
}

double ui_colour_contrast(Colour a, Colour b) {
    double la = ui_colour_luminance(a), lb = ui_colour_luminance(b);
    return (fmax(la, lb) + 0.05) / (fmin(la, lb) + 0.05);
}
