/* Exact first-order lag over a step with constant input, and smooth helpers. */
#ifndef MODEL_LAG_H
#define MODEL_LAG_H

/* Moves *x toward `input` over dt_s (s, >= 0) with time constant tau_s (s; <= 0 follows at once), exactly for
   a constant input. Returns the mean of x over the step, to feed the next stage of a chain. */
double model_lag_step(double *x, double input, double dt_s, double tau_s);

/* width * ln(1 + exp(x/width)): a smooth positive part; width > 0, in the unit of x. */
double model_lag_softplus(double x, double width);

/* 0 below `low`, 1 above `high`, smooth (cubic) between. */
double model_lag_smoothstep(double x, double low, double high);

#endif
