/* Smooth building blocks with their slopes. Every kink the integrator would see is rounded here. */
#ifndef MODEL_SMOOTH_H
#define MODEL_SMOOTH_H

#include <math.h>

#define SMOOTH_PI          3.14159265358979323846
#define SMOOTH_FAR         36.0 /* exp(-36) is below the rounding of 1 */
#define SMOOTH_EXP_LIMIT   6.0  /* exponent beyond which stiffness laws go on as straight lines, e^6 = 403 */
#define SMOOTH_EMPTY_LEAST 0.02 /* share of the joining volume below which that law is straight */

/* w ln(1 + exp(x / w)): a smooth max(x, 0). `slope` may be NULL. */
static inline double smooth_positive(double x, double w, double *slope) {
    const double z = x / w;
    if (z > SMOOTH_FAR) {
        if (slope) *slope = 1.0;
        return x;
    }
    if (z < -SMOOTH_FAR) {
        if (slope) *slope = 0.0;
        return 0.0;
    }
    const double e = exp(-fabs(z));
    if (slope) *slope = z > 0 ? 1.0 / (1.0 + e) : e / (1.0 + e);
    return (z > 0 ? x : 0.0) + w * log1p(e);
}

/* 1 / (1 + exp(-z)). `slope` may be NULL. */
static inline double smooth_step(double z, double *slope) {
    const double e = exp(-fabs(z));
    const double small = e / (1.0 + e);
    if (slope) *slope = small / (1.0 + e);
    return z > 0 ? 1.0 - small : small;
}

/* exp(z), continued as a straight line beyond SMOOTH_EXP_LIMIT. `slope` may be NULL. */
static inline double smooth_exp(double z, double *slope) {
    if (z > SMOOTH_EXP_LIMIT) {
        const double top = exp(SMOOTH_EXP_LIMIT);
        if (slope) *slope = top;
        return top * (1.0 + z - SMOOTH_EXP_LIMIT);
    }
    if (z < -SMOOTH_FAR) {
        if (slope) *slope = 0.0;
        return 0.0;
    }
    const double e = exp(z);
    if (slope) *slope = e;
    return e;
}

/* Pressure x above a floor: x when positive, flattening to -depth when negative. `slope` may be NULL. */
static inline double smooth_floor(double x, double depth, double *slope) {
    if (x >= 0) {
        if (slope) *slope = 1.0;
        return x;
    }
    const double e = exp(x / depth);
    if (slope) *slope = e;
    return -depth * (1.0 - e);
}

/* Pressure (<= 0) of a hollow that is all but empty: -2 exp((room - V) / width) mmHg, and below twice the
   width the same value and slope going on as 1/V^2: no finite suction or squeeze empties it, so that no
   volume becomes negative. What an integrator may try at or below zero continues a straight line. `slope`
   (mmHg/mL) may be NULL. */
static inline double smooth_empty(double volume, double room, double width, double *slope) {
    const double scale_mmhg = 2.0;
    const double join = 2.0 * width; /* where exp and 1/V^2 have one slope */
    if (volume > join) {
        const double z = (room - volume) / width;
        const double e = z < -SMOOTH_FAR ? 0.0 : exp(z);
        if (slope) *slope = scale_mmhg * e / width;
        return -scale_mmhg * e;
    }
    const double least = SMOOTH_EMPTY_LEAST * join;
    const double at = volume > least ? volume : least;
    const double share = join / at;
    const double value = scale_mmhg * exp((room - join) / width) * share * share;
    const double steep = 2.0 * value / at;
    if (slope) *slope = steep;
    return -value + steep * (volume - at);
}

#endif
