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

enum {
    LATTICE = 256
}; /* values per side of a table, a power of two; the noise repeats after as many grains */

/* Fixed numbers -1..1, the same on every machine; the constants are those of a 32-bit finaliser (murmur3). */
static void lattice_fill(float table[LATTICE * LATTICE], uint32_t salt) {
    for (uint32_t i = 0; i < LATTICE * LATTICE; i++) {
        uint32_t h = i * 0x9E3779B1u ^ salt;
        h ^= h >> 16;
        h *= 0x85EBCA6Bu;
        h ^= h >> 13;
        h *= 0xC2B2AE35u;
        h ^= h >> 16;
        table[i] = (float)(2.0 * (h >> 8) / 16777215.0 - 1.0);
    }
}

static double ease(double t) {
    return t * t * (3.0 - 2.0 * t);
}

/* The whole number below; quicker than floor, and enough for places on a screen. */
static int below_of(double value) {
    int whole = (int)value;
    return value < whole ? whole - 1 : whole;
}

/* Smooth noise -1..1; `shift` moves it to another part of the table. */
static double noise(const float table[LATTICE * LATTICE], double u, double v, int shift) {
    int fu = below_of(u), fv = below_of(v);
    double tu = ease(u - fu), tv = ease(v - fv);
    int i = (fu + shift) & (LATTICE - 1), k = (fv + shift) & (LATTICE - 1);
    int next = (i + 1) & (LATTICE - 1);
    const float *row = table + k * LATTICE, *below = table + ((k + 1) & (LATTICE - 1)) * LATTICE;
    double top = row[i] + tu * (double)(row[next] - row[i]),
           bottom = below[i] + tu * (double)(below[next] - below[i]);
    return top + tv * (bottom - top);
}

void ui_speckle_fill(uint8_t *grey, int width, int height, int stride, double beam_x, double beam_y,
                     double grain) {
    float table[LATTICE * LATTICE];
    lattice_fill(table, 0x51u);
    double far = hypot(fmax(fabs(beam_x), fabs(width - beam_x)), height - beam_y);
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            double dx = x + 0.5 - beam_x, dy = y + 0.5 - beam_y, r = sqrt(dx * dx + dy * dy);
            double depth = r / grain, angle = atan2(dx, dy);
            /* arc length in grains; wider with distance because it counts less there */
            double side = angle * r / (grain * LATERAL * (1.0 + SPREAD * r));
            double real = noise(table, side, depth, 0) + 0.5 * noise(table, 2.1 * side, 2.1 * depth, 61);
            double imaginary =
                noise(table, side, depth, 127) + 0.5 * noise(table, 2.1 * side, 2.1 * depth, 193);
            double magnitude = sqrt(real * real + imaginary * imaginary);
            double slow = noise(table, side / COARSE, depth / COARSE, 31);
            double value = (GAIN * log2(1.0 + 3.2 * magnitude) - LIFT) * (1.0 + COARSE_SHARE * slow);
            value *= 1.0 - FAR_FADE * (r / far) * (r / far);
            grey[(size_t)y * (size_t)stride + (size_t)x] =
                (uint8_t)(255.0 * fmin(fmax(value, 0.0), 1.0) + 0.5);
        }
    }
}
