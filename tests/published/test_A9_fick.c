/* A9. The principle of Fick: VO2 = flow x (arterial - mixed venous content). The expected numbers are
   arithmetic on the stated inputs; the constants 1.34 mL/g and 0.003 mL/dL/mmHg are common practice. */
#include "model/formulas.h"
#include "model/oxygen.h"
#include "tests/support/check_main.h"

static const double ML_S_PER_L_MIN = 1000.0 / 60.0;

/* G69: flow 4.8, Hb 9, VO2 240, SaO2 98 %: SvO2 = 98 - 240/(4.8 x 9 x 13.4) x 100 = 56.5 %. */
START_TEST(fick_without_dissolved_oxygen_is_arithmetic) {
    ck_assert_double_eq_tol(model_formulas_fick_svo2(0.98, 240.0, 4.8, 9.0), 0.565, 0.001);
}
END_TEST

/* T40: flow 4.5, Hb 9, SaO2 0.98, VO2 210: delivery 545 mL/min, SvO2 0.59 +/- 0.01 by the same arithmetic. */
START_TEST(fick_of_an_anaemic_patient) {
    const double hb_g_dl = 9.0, arterial_mmhg = 100.0;
    const double arterial = model_oxygen_content(hb_g_dl, 0.98, arterial_mmhg);
    ck_assert_double_eq_tol(10.0 * 4.5 * arterial, 545.0, 1.0);
    ck_assert_double_eq_tol(model_formulas_fick_svo2(0.98, 210.0, 4.5, hb_g_dl), 0.59, 0.01);
}
END_TEST

/* The oxygen organ led to the same state (no shunt, inspired oxygen that gives 0.98, a demand of 210). It
   counts the dissolved oxygen too: content 12.12 - 210/45 = 7.45 mL/dL, of which 0.1 dissolved: 7.35/12.06 =
   0.61. */
START_TEST(fick_of_the_oxygen_organ_in_balance) {
    Parameters parameters = model_parameters_standard();
    const double hct = 9.0 / 33.5;
    parameters.shunt_frac = 0.0;
    parameters.oxygen_demand_ml_kg_min = 210.0 / parameters.weight_kg;
    parameters.fio2_frac = (105.0 + 50.0) / 713.0; /* alveolar 105 mmHg */
    OxygenState oxygen;
    model_oxygen_start(&oxygen, &parameters, hct);
    for (int s = 0; s < 1800; s++) {
        model_oxygen_advance(&oxygen, &parameters, hct, 4.5 * ML_S_PER_L_MIN, 20.0, 1.0, 1.0);
    }
    ck_assert_double_eq_tol(oxygen.sao2_frac, 0.98, 0.002);
    ck_assert_double_eq_tol(oxygen.vo2_ml_min, 210.0, 1.0);
    ck_assert_double_eq_tol(oxygen.do2_ml_min, 545.0, 5.0);
    ck_assert_double_eq_tol(oxygen.svo2_frac, 0.61, 0.005);
}
END_TEST

/* Whatever is taken up leaves the blood: content difference x flow equals consumption. */
START_TEST(fick_content_difference_times_flow_is_consumption) {
    const Parameters parameters = model_parameters_standard();
    const double hct[] = {0.25, 0.35, 0.45};
    const double l_min[] = {2.0, 4.0, 7.0};
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            OxygenState oxygen;
            model_oxygen_start(&oxygen, &parameters, hct[i]);
            for (int s = 0; s < 1800; s++) {
                model_oxygen_advance(&oxygen, &parameters, hct[i], l_min[j] * ML_S_PER_L_MIN, 20.0, 1.0, 1.0);
            }
            const double arterial =
                model_oxygen_content(model_oxygen_hb(hct[i]), oxygen.sao2_frac, oxygen.pao2_mmhg);
            const double uptake = 10.0 * l_min[j] * (arterial - oxygen.mixed_venous_ml_dl);
            ck_assert_double_eq_tol(uptake, oxygen.vo2_ml_min, 1e-3 * oxygen.vo2_ml_min);
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("A9");
    TCase *tests = tcase_create("A9");
    tcase_add_test(tests, fick_without_dissolved_oxygen_is_arithmetic);
    tcase_add_test(tests, fick_of_an_anaemic_patient);
    tcase_add_test(tests, fick_of_the_oxygen_organ_in_balance);
    tcase_add_test(tests, fick_content_difference_times_flow_is_consumption);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
