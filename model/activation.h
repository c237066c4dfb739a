/* Activation of heart muscle over time: the double Hill function (Stergiopulos, Am J Physiol 1996;270:H2050).
 */
#ifndef MODEL_ACTIVATION_H
#define MODEL_ACTIVATION_H

/* Shape common to all beats of one kind of muscle. */
typedef struct ActivationShape {
    double log_rise_s, log_fall_s; /* logarithms of the two Hill times, s */
    double rise_n, fall_n;         /* exponents */
    double norm;                   /* 1 / largest value */
} ActivationShape;

/* One onset. */
typedef struct Activation {
    double onset_s;   /* relative to the start of the present beat; negative for a past one */
    double log_scale; /* logarithm of the time stretch with rate */
    double strength;  /* 1 normal, 0 none */
} Activation;

/* Shape from Hill times (s, at 75/min) and exponents; fall_n > rise_n > 1. */
ActivationShape model_activation_shape(double rise_s, double rise_n, double fall_s, double fall_n);

/* Level 0..1 of one activation at `t_s`, without its strength. */
double model_activation_level(const ActivationShape *shape, const Activation *activation, double t_s);

/* Stretch of ventricular systole with the preceding interval `rr_s` (Weissler, Circulation 1968;37:149). */
double model_activation_systole_scale(double rr_s);

#endif
