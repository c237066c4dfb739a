/* The circulation's right-hand side under a second, independent integrator: GSL's explicit Runge-Kutta
   Prince-Dormand 8(9) with step-size control. For tests only. */
#ifndef TESTS_SUPPORT_SECOND_INTEGRATOR_H
#define TESTS_SUPPORT_SECOND_INTEGRATOR_H

#include "model/circulation.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <stdbool.h>

/* What is integrated: all variables, or only those marked `free` (the others are held). */
typedef struct SecondSystem {
    const CirculationConstants *constants;
    bool held[VARIABLE_COUNT];
} SecondSystem;

static int second_rates(double t, const double y[], double rates[], void *user) {
    const SecondSystem *system = user;
    CirculationDrive drive;
    model_circulation_drive(system->constants, t, &drive);
    model_circulation_rates(system->constants, &drive, y, rates);
    for (int i = 0; i < VARIABLE_COUNT; i++)
        if (system->held[i]) rates[i] = 0.0;
    return GSL_SUCCESS;
}

/* Integrates y[VARIABLE_COUNT] from t0_s to t1_s at tolerance `relative`; false if GSL gives up. */
static bool second_run(SecondSystem *system, double t0_s, double t1_s, double relative, double *y) {
    gsl_odeiv2_system ode = {second_rates, NULL, VARIABLE_COUNT, system};
    gsl_odeiv2_driver *driver =
        gsl_odeiv2_driver_alloc_y_new(&ode, gsl_odeiv2_step_rk8pd, 1e-5, relative, relative);
    double t = t0_s;
    int status = gsl_odeiv2_driver_apply(driver, &t, t1_s, y);
    gsl_odeiv2_driver_free(driver);
    return status == GSL_SUCCESS;
}

#endif
