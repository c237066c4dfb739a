/* A steady state does not remember where it came from: each base person, started as usual and started as
   someone else (other vessels, a weaker heart, another pump speed), comes to the same pressures, volumes and
   flows once the parameters are the same. Without reflex, whose neutral point is set by where one comes from.
 */
#include "tests/support/check_main.h"
#include "tests/support/closed_loop.h"

#include <math.h>

#define SETTLE_S  240.0
#define AVERAGE_S 60.0
/* the accuracy goal; breathing and rate do not fit the average exactly */
#define GOAL_MMHG  0.1
#define GOAL_ML    0.5
#define GOAL_L_MIN 0.02

static Observables steady(Patient *patient) {
    Error error;
    ck_assert_msg(model_patient_settle(patient, SETTLE_S, &error) == ERROR_OK, "%s", error.what);
    return closed_loop_run(patient, AVERAGE_S, AVERAGE_S);
}

static void scale(Patient *patient, ParameterId id, double x) {
    closed_loop_set(patient, id, x * model_parameters_get(model_patient_parameters(patient), id));
}

START_TEST(steady_state_is_the_same_from_two_starts) {
    Parameters parameters = model_people_parameters((PersonId)_i);
    parameters.reflex_gain = 0;
    parameters.reflex_heart_gain = 0;
    parameters.circulating_catecholamine_gain = 0;
    Error error;
    Patient *usual = model_patient_create(&parameters, 1, &error);
    Patient *other = model_patient_create(&parameters, 1, &error);
    ck_assert_ptr_nonnull(usual);
    ck_assert_ptr_nonnull(other);
    const Observables a = steady(usual);

    scale(other, PARAMETER_systemic_resistance_x, 0.6);
    scale(other, PARAMETER_pulmonary_resistance_x, 1.6);
    scale(other, PARAMETER_lv_ees_mmhg_ml, 0.8);
    scale(other, PARAMETER_rv_ees_mmhg_ml, 1.3);
    scale(other, PARAMETER_left_pump_speed_rpm, 1.1);
    const Observables astray = steady(other);
    for (int i = 0; i < PARAMETER_COUNT; i++)
        closed_loop_set(other, (ParameterId)i, model_parameters_get(&parameters, (ParameterId)i));
    const Observables b = steady(other);

    ck_assert_msg(fabs(astray.art_mean_mmhg - a.art_mean_mmhg) > 3, "the other start must be another state");
    ck_assert_double_eq_tol(a.art_mean_mmhg, b.art_mean_mmhg, GOAL_MMHG);
    ck_assert_double_eq_tol(a.cvp_mmhg, b.cvp_mmhg, GOAL_MMHG);
    ck_assert_double_eq_tol(a.pa_mean_mmhg, b.pa_mean_mmhg, GOAL_MMHG);
    ck_assert_double_eq_tol(a.wedge_mmhg, b.wedge_mmhg, GOAL_MMHG);
    ck_assert_double_eq_tol(a.lv_edv_ml, b.lv_edv_ml, GOAL_ML);
    ck_assert_double_eq_tol(a.rv_edv_ml, b.rv_edv_ml, GOAL_ML);
    ck_assert_double_eq_tol(a.systemic_flow_l_min, b.systemic_flow_l_min, GOAL_L_MIN);
    ck_assert_double_eq_tol(a.pump_flow_l_min, b.pump_flow_l_min, GOAL_L_MIN);
    model_patient_destroy(usual);
    model_patient_destroy(other);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("two starts");
    TCase *c = tcase_create("people");
    tcase_set_timeout(c, 300);
    tcase_add_loop_test(c, steady_state_is_the_same_from_two_starts, 0, PERSON_COUNT);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
