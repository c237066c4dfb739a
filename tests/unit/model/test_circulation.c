/* The right-hand side of the circulation: exact Jacobian, conserved blood, agreement with an independent
   fixed-step integration (the regression test against stale Newton matrices). */
#include "model/circulation.h"
#include "model/patient.h"
#include "model/people.h"
#include "model/solver.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = VARIABLE_COUNT };

static Beat *beat;

/* A patient some beats into the run, so that no variable sits at a special value. */
static Patient *warm_patient(const Parameters *parameters, int beats) {
    Error error;
    Patient *patient = model_patient_create(parameters, 7, &error);
    ck_assert_msg(patient != NULL, "%s", error.what);
    for (int i = 0; i < beats; i++)
        ck_assert_msg(model_patient_advance(patient, beat, &error) == ERROR_OK, "%s", error.what);
    return patient;
}

/* Constants as the next beat of `patient` would have them; the rhythm is a copy. */
static void next_constants(const Patient *patient, CirculationConstants *constants, int *ticks) {
    State state = *model_patient_state(patient);
    const Parameters *parameters = model_patient_parameters(patient);
    Effects effects;
    BeatTiming timing;
    model_slow_effects(&state.slow, parameters, &effects);
    model_rhythm_next(&state.rhythm, parameters, &effects, state.circulation.breath_frac, &state.random, beat,
                      &timing);
    model_circulation_prepare(constants, parameters, &effects, &state.circulation, &timing);
    *ticks = beat->ticks;
}

static void rates_at(const CirculationConstants *constants, double t_s, const double *y, double *rates) {
    CirculationDrive drive;
    model_circulation_drive(constants, t_s, &drive);
    model_circulation_rates(constants, &drive, y, rates);
}

static void dense_jacobian(const CirculationConstants *constants, double t_s, const double *y,
                           double *jacobian) {
    int16_t place[N * N];
    for (int i = 0; i < N * N; i++) {
        place[i] = (int16_t)i;
        jacobian[i] = 0;
    }
    CirculationDrive drive;
    model_circulation_drive(constants, t_s, &drive);
    const JacobianSink sink = {.value = jacobian, .place = place};
    model_circulation_jacobian(constants, &drive, y, &sink);
}

/* Central differences against the analytic derivative at several times of a beat. */
static void compare_jacobian(const Parameters *parameters) {
    static const double TIMES_S[] = {0.0, 0.03, 0.11, 0.27, 0.36, 0.45, 0.6, 0.69};
    Patient *patient = warm_patient(parameters, 12);
    CirculationConstants constants;
    int ticks;
    next_constants(patient, &constants, &ticks);
    double y[N];
    memcpy(y, model_patient_state(patient)->circulation.y, sizeof y);
    for (size_t k = 0; k < sizeof TIMES_S / sizeof TIMES_S[0]; k++) {
        /* off the special points: shut valves and uncovered inlets sit at kinks */
        for (int v = 0; v < VALVE_COUNT; v++)
            y[VARIABLE_MITRAL_OPEN + v] = 0.2 + 0.15 * v;
        y[VARIABLE_LEFT_OCCLUSION] = 0.3;
        y[VARIABLE_RIGHT_OCCLUSION] = 0.2;
        y[VARIABLE_LEFT_PUMP_ML_S] = 40.0 + 10.0 * (double)k;
        y[VARIABLE_AORTIC_ML_S] = 120.0;
        y[VARIABLE_PULMONARY_ML_S] = 90.0;
        double exact[N * N];
        dense_jacobian(&constants, TIMES_S[k], y, exact);
        for (int column = 0; column < N; column++) {
            const double step = 1e-5 * fmax(fabs(y[column]), 1.0);
            double moved[N];
            double high[N];
            double low[N];
            memcpy(moved, y, sizeof moved);
            moved[column] = y[column] + step;
            rates_at(&constants, TIMES_S[k], moved, high);
            moved[column] = y[column] - step;
            rates_at(&constants, TIMES_S[k], moved, low);
            for (int row = 0; row < N; row++) {
                const double difference = (high[row] - low[row]) / (2 * step);
                const double scale = fmax(fabs(difference), fabs(high[row]) * 1e-9 / step) + 1e-4;
                ck_assert_msg(fabs(difference - exact[row * N + column]) < 2e-4 * scale + 1e-4,
                              "time %g: d rate of %s by %s: %g, differences say %g", TIMES_S[k],
                              model_circulation_variable_text(row), model_circulation_variable_text(column),
                              exact[row * N + column], difference);
            }
        }
    }
    model_patient_destroy(patient);
}

START_TEST(jacobian_healthy_matches_differences) {
    const Parameters parameters = model_people_parameters(PERSON_HEALTHY);
    compare_jacobian(&parameters);
}
END_TEST

START_TEST(jacobian_both_pumps_and_tamponade_matches_differences) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_RV_FAILURE);
    parameters.right_pump_present = 1;
    parameters.right_pump_speed_rpm = 5000;
    parameters.pericardial_free_ml = 400;
    parameters.clot_ra_ml = 60;
    parameters.aortic_leak_cm2 = 0.1;
    compare_jacobian(&parameters);
    parameters.right_pump_inlet = 1;
    compare_jacobian(&parameters);
}
END_TEST

START_TEST(jacobian_columns_over_volumes_sum_to_zero) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    parameters.right_pump_present = 1;
    Patient *patient = warm_patient(&parameters, 5);
    CirculationConstants constants;
    int ticks;
    next_constants(patient, &constants, &ticks);
    double jacobian[N * N];
    dense_jacobian(&constants, 0.2, model_patient_state(patient)->circulation.y, jacobian);
    for (int column = 0; column < N; column++) {
        double sum = 0;
        double size = 0;
        for (int row = 0; row < VARIABLE_BLOOD_COUNT; row++) {
            sum += jacobian[row * N + column];
            size += fabs(jacobian[row * N + column]);
        }
        ck_assert_double_le(fabs(sum), 1e-14 * size);
    }
    model_patient_destroy(patient);
}
END_TEST

START_TEST(rates_of_volumes_sum_to_zero) {
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = warm_patient(&parameters, 5);
    CirculationConstants constants;
    int ticks;
    next_constants(patient, &constants, &ticks);
    double rates[N];
    rates_at(&constants, 0.15, model_patient_state(patient)->circulation.y, rates);
    ck_assert_double_le(fabs(model_circulation_blood_ml(rates)), 1e-10);
    model_patient_destroy(patient);
}
END_TEST

/* Classical Runge-Kutta with fixed steps of 0.1 ms over one beat, samples every tick. */
static void runge_kutta(const CirculationConstants *constants, int ticks, double *y, Sample *samples) {
    enum { STEPS_PER_TICK = 40 };
    const double h = BEAT_TICK_S / STEPS_PER_TICK;
    for (int tick = 0; tick < ticks; tick++) {
        for (int step = 0; step < STEPS_PER_TICK; step++) {
            const double t = (tick * STEPS_PER_TICK + step) * h;
            double k1[N], k2[N], k3[N], k4[N], z[N];
            rates_at(constants, t, y, k1);
            for (int i = 0; i < N; i++)
                z[i] = y[i] + 0.5 * h * k1[i];
            rates_at(constants, t + 0.5 * h, z, k2);
            for (int i = 0; i < N; i++)
                z[i] = y[i] + 0.5 * h * k2[i];
            rates_at(constants, t + 0.5 * h, z, k3);
            for (int i = 0; i < N; i++)
                z[i] = y[i] + h * k3[i];
            rates_at(constants, t + h, z, k4);
            for (int i = 0; i < N; i++)
                y[i] += h / 6.0 * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
        }
        CirculationDrive drive;
        model_circulation_drive(constants, (tick + 1) * BEAT_TICK_S, &drive);
        model_circulation_sample(constants, &drive, y, &samples[tick]);
    }
}

/* One beat by CVODE against one by Runge-Kutta, tick by tick. */
static void compare_beat(PersonId person, double mmhg, double ml, double ml_s) {
    const Parameters parameters = model_people_parameters(person);
    Patient *patient = warm_patient(&parameters, 20);
    CirculationConstants constants;
    int ticks;
    next_constants(patient, &constants, &ticks);
    Sample *fine = calloc(BEAT_TICKS_MAX, sizeof *fine);
    Sample *coarse = calloc(BEAT_TICKS_MAX, sizeof *coarse);
    double y_fine[N];
    double y_coarse[N];
    memcpy(y_fine, model_patient_state(patient)->circulation.y, sizeof y_fine);
    memcpy(y_coarse, y_fine, sizeof y_fine);
    runge_kutta(&constants, ticks, y_fine, fine);
    Error error;
    SolverWork work;
    Solver *solver = model_solver_create(&error);
    ck_assert(model_solver_run(solver, &constants, y_coarse, ticks, 0, coarse, &work, &error) == ERROR_OK);
    double sum_flow = 0;
    for (int i = 0; i < ticks; i++) {
        ck_assert_double_eq_tol(coarse[i].artery_mmhg, fine[i].artery_mmhg, mmhg);
        ck_assert_double_eq_tol(coarse[i].ra_mmhg, fine[i].ra_mmhg, mmhg);
        ck_assert_double_eq_tol(coarse[i].la_mmhg, fine[i].la_mmhg, mmhg);
        ck_assert_double_eq_tol(coarse[i].pa_mmhg, fine[i].pa_mmhg, mmhg);
        ck_assert_double_eq_tol(coarse[i].lv_ml, fine[i].lv_ml, ml);
        ck_assert_double_eq_tol(coarse[i].rv_ml, fine[i].rv_ml, ml);
        sum_flow +=
            coarse[i].left_pump_ml_s + coarse[i].aortic_ml_s - fine[i].left_pump_ml_s - fine[i].aortic_ml_s;
    }
    ck_assert_double_le(fabs(sum_flow / ticks), ml_s);
    model_solver_destroy(solver);
    free(fine);
    free(coarse);
    model_patient_destroy(patient);
}

/* accuracy goal of the program: 0.02 L/min of flow, 0.5 mL; single moments on steep edges may differ by more
   than the goal for means, 0.1 mmHg */
START_TEST(beat_matches_fixed_step_runge_kutta) {
    for (int person = 0; person < PERSON_COUNT; person++)
        compare_beat((PersonId)person, 0.8, 0.5, 0.02 * 1000.0 / 60.0);
}
END_TEST

START_TEST(check_names_the_variable_and_time) {
    double y[N] = {0};
    Error error;
    y[VARIABLE_RA_ML] = -4;
    ck_assert_int_eq(model_circulation_check(y, 12.5, &error), ERROR_NEGATIVE_VOLUME);
    ck_assert_ptr_nonnull(strstr(error.what, "right atrial volume"));
    ck_assert_ptr_nonnull(strstr(error.what, "12.5"));
    y[VARIABLE_RA_ML] = 4;
    y[VARIABLE_SEPTUM_ML] = NAN;
    ck_assert_int_eq(model_circulation_check(y, 1, &error), ERROR_NOT_FINITE);
}
END_TEST

static void make_beat(void) {
    beat = malloc(sizeof *beat);
}

static void free_beat(void) {
    free(beat);
}

static Suite *suite(void) {
    Suite *s = suite_create("circulation");
    TCase *c = tcase_create("circulation");
    tcase_add_unchecked_fixture(c, make_beat, free_beat);
    tcase_set_timeout(c, 120);
    tcase_add_test(c, jacobian_healthy_matches_differences);
    tcase_add_test(c, jacobian_both_pumps_and_tamponade_matches_differences);
    tcase_add_test(c, jacobian_columns_over_volumes_sum_to_zero);
    tcase_add_test(c, rates_of_volumes_sum_to_zero);
    tcase_add_test(c, beat_matches_fixed_step_runge_kutta);
    tcase_add_test(c, check_names_the_variable_and_time);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
