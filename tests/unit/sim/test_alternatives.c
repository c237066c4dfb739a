/* The table of alternative causes: nothing at no severity, within ranges at full, and only where it can be.
 */
#include "sim/alternatives.h"

#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>

START_TEST(alternatives_at_no_severity_change_nothing) {
    const Parameters before = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    for (int id = 0; id < ALTERNATIVE_COUNT; id++) {
        ParameterId parameter[ALTERNATIVE_PARTS];
        double value[ALTERNATIVE_PARTS];
        int count = sim_alternatives_at((AlternativeId)id, &before, 0.0, parameter, value);
        ck_assert_int_ge(count, 1);
        for (int i = 0; i < count; i++)
            ck_assert_double_eq_tol(value[i], model_parameters_get(&before, parameter[i]), 1e-12);
    }
}
END_TEST

START_TEST(alternatives_grow_with_severity_and_stay_in_range) {
    const Parameters before = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    for (int id = 0; id < ALTERNATIVE_COUNT; id++) {
        ParameterId parameter[ALTERNATIVE_PARTS];
        double last[ALTERNATIVE_PARTS], value[ALTERNATIVE_PARTS];
        sim_alternatives_at((AlternativeId)id, &before, 0.0, parameter, last);
        for (double severity = 0.25; severity <= 1.3; severity += 0.25) {
            int count = sim_alternatives_at((AlternativeId)id, &before, severity, parameter, value);
            for (int i = 0; i < count; i++) {
                const ParameterRow *row = model_parameters_row(parameter[i]);
                ck_assert_double_ge(value[i], row->low);
                ck_assert_double_le(value[i], row->high);
                if (severity <= 0.5) ck_assert_double_gt(fabs(value[i] - last[i]), 0.0);
                last[i] = value[i];
            }
        }
    }
}
END_TEST

START_TEST(alternatives_of_a_pump_need_one) {
    const Parameters pump = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    const Parameters graft = model_people_parameters(PERSON_FRESH_TRANSPLANT);
    ck_assert(sim_alternatives_possible(ALTERNATIVE_graft_obstruction, &pump));
    ck_assert(!sim_alternatives_possible(ALTERNATIVE_graft_obstruction, &graft));
    ck_assert(sim_alternatives_possible(ALTERNATIVE_graft_dysfunction, &graft));
    ck_assert(!sim_alternatives_possible(ALTERNATIVE_graft_dysfunction, &pump));
    ck_assert(sim_alternatives_possible(ALTERNATIVE_tamponade, &graft));
}
END_TEST

/* By hand: half of TIMES 0.08 on a logarithmic scale is the square root; half of PLUS 350 is 175. */
START_TEST(alternatives_halfway_are_what_the_table_says) {
    const Parameters before = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    ParameterId parameter[ALTERNATIVE_PARTS];
    double value[ALTERNATIVE_PARTS];
    ck_assert_int_eq(sim_alternatives_at(ALTERNATIVE_right_failure, &before, 0.5, parameter, value), 1);
    ck_assert_int_eq((int)parameter[0], (int)PARAMETER_rv_ees_mmhg_ml);
    ck_assert_double_eq_tol(value[0], before.rv_ees_mmhg_ml * sqrt(0.08), 1e-9);
    ck_assert_int_eq(sim_alternatives_at(ALTERNATIVE_clot_right, &before, 0.5, parameter, value), 1);
    ck_assert_double_eq_tol(value[0], before.clot_ra_ml + 175.0, 1e-9);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("alternatives");
    TCase *c = tcase_create("alternatives");
    tcase_add_test(c, alternatives_at_no_severity_change_nothing);
    tcase_add_test(c, alternatives_grow_with_severity_and_stay_in_range);
    tcase_add_test(c, alternatives_of_a_pump_need_one);
    tcase_add_test(c, alternatives_halfway_are_what_the_table_says);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
