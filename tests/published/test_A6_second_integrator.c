/* A6 of the checks: the same right-hand side under GSL (Runge-Kutta Prince-Dormand 8(9), tolerance 1e-10)
   and under CVODE for 20 beats of every base patient agree within the accuracy goal: 0.1 mmHg, 0.5 mL,
   0.02 L/min on every beat's means, and the same goal at every sample for volumes. */
#include "model/people.h"
#include "model/rhythm.h"
#include "model/solver.h"
#include "model/units.h"
#include "tests/support/check_main.h"
#include "tests/support/second_integrator.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { BEATS = 20, LEAD_IN_BEATS = 5 };
#define GOAL_MMHG 0.1
#define GOAL_ML 0.5
#define GOAL_L_MIN 0.02

/* What is compared: means of pressures and flows over a beat. */
typedef struct Means {
    double artery_mmhg, cvp_mmhg, pa_mmhg, la_mmhg, aortic_ml_s, pump_ml_s;
} Means;

static void add(Means *means, const Sample *sample, int ticks) {
    means->artery_mmhg += sample->artery_mmhg / ticks;
    means->cvp_mmhg += sample->cvp_mmhg / ticks;
    means->pa_mmhg += sample->pa_mmhg / ticks;
    means->la_mmhg += sample->la_mmhg / ticks;
    means->aortic_ml_s += sample->aortic_ml_s / ticks;
    means->pump_ml_s += sample->left_pump_ml_s / ticks;
}

START_TEST(A6_second_integrator_agrees) {
    const Parameters parameters = model_people_parameters((PersonId)_i);
    const Effects effects = model_effects_none();
    Error error;
    Solver *solver = model_solver_create(&error);
    ck_assert_ptr_nonnull(solver);
    CirculationState state;
    RhythmState rhythm;
    Random random = model_random_seed(1);
    model_circulation_start(&state, &parameters);
    model_rhythm_start(&rhythm, &parameters);

    double other[VARIABLE_COUNT];
    double worst_mmhg = 0, worst_ml = 0, worst_l_min = 0;
    static Beat beat;
    for (int n = 0; n < LEAD_IN_BEATS + BEATS; n++) {
        BeatTiming timing;
        CirculationConstants constants;
        SolverWork work;
        model_rhythm_next(&rhythm, &parameters, &effects, state.breath_frac, &random, &beat, &timing);
        model_circulation_prepare(&constants, &parameters, &effects, &state, &timing);
        if (n <= LEAD_IN_BEATS)
            memcpy(other, state.y, sizeof other);
        ck_assert_int_eq(model_solver_run(solver, &constants, state.y, beat.ticks, 0.0, beat.samples, &work, &error),
                         ERROR_OK);
        state.breath_frac = model_lung_breath_frac(&constants.lung, beat.ticks * BEAT_TICK_S);
        if (n < LEAD_IN_BEATS)
            continue;
        SecondSystem system = {.constants = &constants};
        Means a = {0}, b = {0};
        for (int i = 0; i < beat.ticks; i++) {
            Sample sample;
            CirculationDrive drive;
            const double t = i * BEAT_TICK_S, end = (i + 1) * BEAT_TICK_S;
            ck_assert(second_run(&system, t, end, 1e-10, other));
            model_circulation_drive(&constants, end, &drive);
            model_circulation_sample(&constants, &drive, other, &sample);
            add(&a, &beat.samples[i], beat.ticks);
            add(&b, &sample, beat.ticks);
            worst_ml = fmax(worst_ml, fabs(sample.lv_ml - beat.samples[i].lv_ml));
            worst_ml = fmax(worst_ml, fabs(sample.rv_ml - beat.samples[i].rv_ml));
        }
        worst_mmhg = fmax(worst_mmhg, fabs(a.artery_mmhg - b.artery_mmhg));
        worst_mmhg = fmax(worst_mmhg, fabs(a.cvp_mmhg - b.cvp_mmhg));
        worst_mmhg = fmax(worst_mmhg, fabs(a.pa_mmhg - b.pa_mmhg));
        worst_mmhg = fmax(worst_mmhg, fabs(a.la_mmhg - b.la_mmhg));
        worst_l_min = fmax(worst_l_min, fabs(a.aortic_ml_s - b.aortic_ml_s) / UNITS_ML_S_PER_L_MIN);
        worst_l_min = fmax(worst_l_min, fabs(a.pump_ml_s - b.pump_ml_s) / UNITS_ML_S_PER_L_MIN);
    }
    printf("%s: largest difference %.4f mmHg, %.4f mL, %.5f L/min\n", model_people_key((PersonId)_i), worst_mmhg,
           worst_ml, worst_l_min);
    ck_assert_double_lt(worst_mmhg, GOAL_MMHG);
    ck_assert_double_lt(worst_ml, GOAL_ML);
    ck_assert_double_lt(worst_l_min, GOAL_L_MIN);
    model_solver_destroy(solver);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("A6 second integrator");
    TCase *c = tcase_create("20 beats");
    tcase_set_timeout(c, 300);
    tcase_add_loop_test(c, A6_second_integrator_agrees, 0, PERSON_COUNT);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
