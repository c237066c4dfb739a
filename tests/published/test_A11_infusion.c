/* A11. Infusion kinetics against closed forms and a general-purpose integrator: one compartment C = R (1 -
   exp(-kt)), a chain of effect site behind plasma, and the two-compartment drug by GSL (rk8pd, 1e-10). */
#include "model/drugs.h"
#include "tests/support/check_main.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <math.h>

static const double LN2 = 0.69314718055994530942;

static void run(DrugsState *drugs, const Parameters *parameters, double seconds, double dt_s) {
    const long steps = lround(seconds / dt_s);
    for (long i = 0; i < steps; i++) {
        model_drugs_advance(drugs, parameters, dt_s);
    }
}

/* Epinephrine, half-life 3.5 min (Crit Care 2009, doi 10.1186/cc7972): rise, then fall after stopping. */
START_TEST(infusion_of_one_compartment_follows_the_closed_form) {
    Parameters parameters = model_parameters_standard();
    parameters.line_delay_s = 0.0;
    DrugsState drugs;
    model_drugs_start(&drugs, &parameters);
    const double rate = 0.08, k_per_s = LN2 / (3.5 * 60.0);
    parameters.epinephrine_mcg_kg_min = rate;
    for (int minute = 1; minute <= 20; minute++) {
        run(&drugs, &parameters, 60.0, 0.75);
        const double expected = rate * (1.0 - exp(-k_per_s * 60.0 * minute));
        ck_assert_double_eq_tol(drugs.level[DRUG_epinephrine].plasma, expected, 1e-12);
    }
    const double top = drugs.level[DRUG_epinephrine].plasma;
    parameters.epinephrine_mcg_kg_min = 0.0;
    run(&drugs, &parameters, 3.5 * 60.0, 0.75);
    ck_assert_double_eq_tol(drugs.level[DRUG_epinephrine].plasma, 0.5 * top, 1e-12);
}
END_TEST

/* Effect site: Ce = R (1 - (b exp(-at) - a exp(-bt))/(b - a)) with a = ln 2/half-life and b = ke0. */
START_TEST(infusion_effect_site_follows_the_bateman_form) {
    Parameters parameters = model_parameters_standard();
    parameters.line_delay_s = 0.0;
    DrugsState drugs;
    model_drugs_start(&drugs, &parameters);
    parameters.epinephrine_mcg_kg_min = 0.1;
    const double a = LN2 / (3.5 * 60.0), b = 0.4 / 60.0;
    for (int minute = 1; minute <= 20; minute++) {
        run(&drugs, &parameters, 60.0, 0.5);
        const double t_s = 60.0 * minute;
        const double expected = 0.1 * (1.0 - (b * exp(-a * t_s) - a * exp(-b * t_s)) / (b - a));
        ck_assert_double_eq_tol(drugs.level[DRUG_epinephrine].effect_site, expected, 1e-5 * 0.1);
    }
}
END_TEST

typedef struct TwoCompartments {
    double rate_ng_ml_s, k10, k12, k21, volumes;
} TwoCompartments;

static int right_side(double t, const double y[], double dydt[], void *given) {
    (void)t;
    const TwoCompartments *m = given;
    dydt[0] = m->rate_ng_ml_s - (m->k10 + m->k12) * y[0] + m->k21 * m->volumes * y[1];
    dydt[1] = m->k12 / m->volumes * y[0] - m->k21 * y[1];
    return GSL_SUCCESS;
}

/* The volumes and clearances of the drug table: V1 0.085, V2 0.25 L/kg, CL 2.6, Q 8 mL/kg/min. */
START_TEST(infusion_of_two_compartments_agrees_with_an_independent_integrator) {
    const double v1 = 0.085, v2 = 0.25, cl = 2.6e-3 / 60.0, q = 8e-3 / 60.0;
    TwoCompartments m = {.k10 = cl / v1, .k12 = q / v1, .k21 = q / v2, .volumes = v2 / v1};
    gsl_odeiv2_system system = {right_side, NULL, 2, &m};
    gsl_odeiv2_driver *driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1.0, 1e-10, 1e-10);
    Parameters parameters = model_parameters_standard();
    parameters.line_delay_s = 0.0;
    DrugsState drugs;
    model_drugs_start(&drugs, &parameters);
    double t = 0.0, y[2] = {0.0, 0.0};
    const double plan[][2] = {
        {5.0, 600.0}, {0.5, 7200.0}, {0.0, 10800.0}, {0.25, 3600.0}}; /* rate, seconds */
    for (int phase = 0; phase < 4; phase++) {
        parameters.milrinone_mcg_kg_min = plan[phase][0];
        m.rate_ng_ml_s = plan[phase][0] / 60.0 / v1;
        run(&drugs, &parameters, plan[phase][1], 0.8);
        ck_assert_int_eq(gsl_odeiv2_driver_apply(driver, &t, t + plan[phase][1], y), GSL_SUCCESS);
        ck_assert_double_eq_tol(drugs.level[DRUG_milrinone].plasma, y[0], 1e-6);
        ck_assert_double_eq_tol(drugs.level[DRUG_milrinone].tissue, y[1], 1e-6);
    }
    gsl_odeiv2_driver_free(driver);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("A11");
    TCase *tests = tcase_create("A11");
    tcase_add_test(tests, infusion_of_one_compartment_follows_the_closed_form);
    tcase_add_test(tests, infusion_effect_site_follows_the_bateman_form);
    tcase_add_test(tests, infusion_of_two_compartments_agrees_with_an_independent_integrator);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
