/* Valves: steady flow by Bernoulli, opening and closing, functional leak. */
#include "model/people.h"
#include "model/valves.h"
#include "tests/support/check_main.h"

#include <math.h>

static ValveConstants valve(ValveId id) {
    const Parameters parameters = model_people_parameters(PERSON_DILATED_FAILURE);
    return model_valves_constants(&parameters, id);
}

/* simplified Bernoulli of echocardiography: dp = 4 v^2, v in m/s (textbook) */
START_TEST(steady_flow_through_a_tight_valve_obeys_bernoulli) {
    ValveConstants stenosis = valve(VALVE_AORTIC);
    stenosis.area_cm2 = 0.8;
    const double dp_mmhg = 64;
    double flow = 10;
    for (int i = 0; i < 60; i++) {
        ValveSlopes slopes;
        const ValveRates rates = model_valves_rates(&stenosis, dp_mmhg, flow, 1.0, 100, &slopes);
        flow -= rates.flow_ml_s2 / slopes.flow_flow;
    }
    const double velocity_m_s = flow / stenosis.area_cm2 / 100;
    ck_assert_double_eq_tol(4 * velocity_m_s * velocity_m_s, dp_mmhg, 0.05 * dp_mmhg);
}
END_TEST

START_TEST(forward_pressure_opens_backward_closes) {
    const ValveConstants v = valve(VALVE_MITRAL);
    ck_assert_double_gt(model_valves_rates(&v, 5, 0, 0.2, 100, NULL).open_per_s, 0);
    ck_assert_double_lt(model_valves_rates(&v, -5, 0, 0.2, 100, NULL).open_per_s, 0);
    ck_assert_double_eq_tol(model_valves_rates(&v, -5, 0, 0.0, 100, NULL).open_per_s, 0, 1e-12);
    ck_assert_double_eq_tol(model_valves_rates(&v, 5, 0, 1.0, 100, NULL).open_per_s, 0, 1e-12);
}
END_TEST

START_TEST(functional_leak_grows_with_the_ventricle_up_to_its_limit) {
    const ValveConstants v = valve(VALVE_MITRAL);
    ck_assert_double_le(model_valves_leak_cm2(&v, 100, NULL), 0.001);
    const double at_failure = model_valves_leak_cm2(&v, 280, NULL);
    ck_assert_double_ge(at_failure, 0.2); /* severe functional regurgitation: 0.2-0.4 cm2 */
    ck_assert_double_le(at_failure, 0.4);
    ck_assert_double_eq_tol(model_valves_leak_cm2(&v, 5000, NULL), 1.2, 1e-9);
}
END_TEST

START_TEST(shut_valve_passes_next_to_nothing) {
    const Parameters parameters = model_people_parameters(PERSON_HEALTHY);
    const ValveConstants v = model_valves_constants(&parameters, VALVE_AORTIC);
    double flow = -1;
    for (int i = 0; i < 60; i++) {
        ValveSlopes slopes;
        const ValveRates rates = model_valves_rates(&v, -100, flow, 0.0, 100, &slopes);
        flow -= rates.flow_ml_s2 / slopes.flow_flow;
    }
    ck_assert_double_ge(flow, -1.0);
    ck_assert_double_lt(flow, 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("valves");
    TCase *c = tcase_create("valves");
    tcase_add_test(c, steady_flow_through_a_tight_valve_obeys_bernoulli);
    tcase_add_test(c, forward_pressure_opens_backward_closes);
    tcase_add_test(c, functional_leak_grows_with_the_ventricle_up_to_its_limit);
    tcase_add_test(c, shut_valve_passes_next_to_nothing);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
