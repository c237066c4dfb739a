/* The grain of a picture made by sound. Many scatterers in one cell add up to a sum with normally distributed
   real and imaginary parts; its magnitude, compressed, is the grey value (the textbook account of fully
   developed speckle; the sizes are drawing choices). */
#include "ui/speckle.h"

#include <math.h>
#include <stddef.h>

static const double LATERAL = 2.1;   /* grain width over its depth at the near end */
static const double SPREAD = 0.0016; /* growth of the width per px of distance, in grains */
static const double COARSE = 9.0;    /* size of the slow change in brightness, in grains */
static const double COARSE_SHARE = 0.34;
static const double LIFT = 0.30, GAIN = 0.52; /* compression: grey = LIFT + GAIN log2(1 + magnitude) - ... */
static const double FAR_FADE = 0.45;          /* share lost at the far edge */

/* A fixed number 0..1 for a lattice point; the mixing constants are those of a 32-bit finaliser (murmur3). */
static double lattice(int32_t i, int32_t k, uint32_t salt) {
    uint32_t h = (uint32_t)i * 0x9E3779B1u ^ (uint32_t)k * 0x85EBCA77u ^ salt;
    h ^= h >> 16;
    h *= 0x85EBCA6Bu;
    h ^= h >> 13;
    h *= 0xC2B2AE35u;
    h ^= h >> 16;
    return h / 4294967295.0;
}

static double ease(double t) {
    return t * t * (3.0 - 2.0 * t);
}

/* Smooth noise -1..1. */
static double noise(double u, double v, uint32_t salt) {
    double fu = floor(u), fv = floor(v), tu = ease(u - fu), tv = ease(v - fv);
    int32_t i = (int32_t)fu, k = (int32_t)fv;
    double a = lattice(i, k, salt), b = lattice(i + 1, k, salt), c = lattice(i, k + 1, salt),
           d = lattice(i + 1, k + 1, salt);
    double top = a + tu * (b - a), bottom = c + tu * (d - c);
    return 2.0 * (top + tv * (bottom - top)) - 1.0;
}

void ui_speckle_fill(uint8_t *grey, int width, int height, int stride, double beam_x, double beam_y,
                     double grain) {
    double far = hypot(fmax(fabs(beam_x), fabs(width - beam_x)), height - beam_y);
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            double dx = x + 0.5 - beam_x, dy = y + 0.5 - beam_y, r = hypot(dx, dy);
            double depth = r / grain, angle = atan2(dx, dy);
            /* arc length in grains; wider with distance because it counts less there */
            double side = angle * r / (grain * LATERAL * (1.0 + SPREAD * r));
            double real = noise(side, depth, 0x51u) + 0.5 * noise(2.1 * side, 2.1 * depth, 0x1Du);
            double imaginary = noise(side, depth, 0xA7u) + 0.5 * noise(2.1 * side, 2.1 * depth, 0xC3u);
            double magnitude = hypot(real, imaginary);
            double slow = noise(side / COARSE, depth / COARSE, 0x77u);
            double value = (GAIN * log2(1.0 + 3.2 * magnitude) - LIFT) * (1.0 + COARSE_SHARE * slow);
            value *= 1.0 - FAR_FADE * (r / far) * (r / far);
            grey[(size_t)y * (size_t)stride + (size_t)x] =
                (uint8_t)lround(255.0 * fmin(fmax(value, 0.0), 1.0));
        }
    }
}
