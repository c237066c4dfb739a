/* Exact first-order lag over a step with constant input, and smooth helpers. */
#include "model/lag.h"

#include <math.h>

double model_lag_step(double *x, double input, double dt_s, double tau_s) {
    if (tau_s <= 0.0) {
        *x = input;
        return input;
    }
    if (dt_s <= 0.0) {
        return *x;
    }
    const double steps = dt_s / tau_s;
    const double gone = -expm1(-steps); /* share of the gap closed */
    const double start = *x;
    *x = start + (input - start) * gone;
    return input + (start - input) * gone / steps;
}

double model_lag_softplus(double x, double width) {
    const double z = x / width;
    return z > 0.0 ? x + width * log1p(exp(-z)) : width * log1p(exp(z));
}

double model_lag_smoothstep(double x, double low, double high) {
    const double z = (x - low) / (high - low);
    if (z <= 0.0) {
        return 0.0;
    }
    return z >= 1.0 ? 1.0 : z * z * (3.0 - 2.0 * z);
}
