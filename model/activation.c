/* Double Hill activation. */
#include "model/activation.h"

#include <math.h>

/* Weissler, Harris, Schoenfeld, Circulation 1968;37:149 (men): QS2 = 546 - 2.1 HR ms; scaled to 75/min. */
#define SYSTOLE_MS           546.0
#define SYSTOLE_MS_PER_BPM   2.1
#define SYSTOLE_REFERENCE_MS 388.5
#define SYSTOLE_SCALE_LOW    0.5
#define SYSTOLE_SCALE_HIGH   1.15
#define SECONDS_PER_MIN      60.0

/* The Hill product before normalisation at the logarithm of the (unstretched) time. */
static double hill(const ActivationShape *shape, double log_t) {
    const double rise = exp(shape->rise_n * (log_t - shape->log_rise_s));
    const double fall = exp(shape->fall_n * (log_t - shape->log_fall_s));
    return rise / (1.0 + rise) / (1.0 + fall);
}

ActivationShape model_activation_shape(double rise_s, double rise_n, double fall_s, double fall_n) {
    ActivationShape shape = {log(rise_s), log(fall_s), rise_n, fall_n, 1.0};
    /* golden section between a tenth of the fall time and 1.2 times it: one maximum, found to 1e-9 */
    const double ratio = 0.61803398874989485;
    double low = shape.log_fall_s - 2.3;
    double high = shape.log_fall_s + 0.2;
    for (int i = 0; i < 48; i++) {
        const double a = high - ratio * (high - low);
        const double b = low + ratio * (high - low);
        if (hill(&shape, a) < hill(&shape, b))
            low = a;
        else
            high = b;
    }
    shape.norm = 1.0 / hill(&shape, 0.5 * (low + high));
    return shape;
}

double model_activation_level(const ActivationShape *shape, const Activation *activation, double t_s) {
    const double t = t_s - activation->onset_s;
    if (t <= 0) return 0.0;
    return shape->norm * hill(shape, log(t) - activation->log_scale);
}

double model_activation_systole_scale(double rr_s) {
    const double scale = (SYSTOLE_MS - SYSTOLE_MS_PER_BPM * SECONDS_PER_MIN / rr_s) / SYSTOLE_REFERENCE_MS;
    return fmin(fmax(scale, SYSTOLE_SCALE_LOW), SYSTOLE_SCALE_HIGH);
}
