/* T35, T39, T40, T57: blood volume, saturation curve, oxygen arithmetic, shocks. */
#include "model/formulas.h"
#include "model/oxygen.h"
#include "tests/support/published.h"

static const double PERCENT = 100.0;
static const double NORMAL_PH = 7.4, NORMAL_C = 37.0;

START_TEST(T35) {
    published_begin("T35", "man of 80 kg and 1.75 m", "C", "Nadler, Surgery 1962;51:224");
    published_between("blood volume, L", model_formulas_nadler_ml(175.0, 80.0, false) / 1000.0, 5.14, 5.16);
}
END_TEST

START_TEST(T39) {
    published_begin("T39", "saturation curve at pH 7.4 and 37 degC", "C",
                    "Severinghaus, J Appl Physiol 1979;46:599");
    published_between("saturation at 40 mmHg, %",
                      PERCENT * model_oxygen_saturation(40.0, NORMAL_PH, NORMAL_C), 74.85, 75.05);
    published_between("saturation at 60 mmHg, %",
                      PERCENT * model_oxygen_saturation(60.0, NORMAL_PH, NORMAL_C), 90.5, 90.7);
    published_between("saturation at 26.86 mmHg, %",
                      PERCENT * model_oxygen_saturation(26.86, NORMAL_PH, NORMAL_C), 49.9, 50.1);
}
END_TEST

START_TEST(T40) {
    published_begin("T40", "output 4.5 L/min, Hb 9, saturation 0.98, consumption 210", "D",
                    "Fick; 1.34 mL/g and 0.003 mL/dL/mmHg are common practice");
    published_between("delivery, mL/min", 10.0 * 4.5 * model_oxygen_content(9.0, 0.98, 100.0), 544.0, 546.0);
    published_between("mixed venous saturation", model_formulas_fick_svo2(0.98, 210.0, 4.5, 9.0), 0.58, 0.60);
}
END_TEST

START_TEST(T57) {
    published_begin("T57", "one biphasic shock on the heart", "C", "Anesthesiology 2003;98:1063");
    published_between("success at 5 J, %", PERCENT * model_formulas_shock_success(5.0, true), 40, 60);
    published_between("success at 10 J, %", PERCENT * model_formulas_shock_success(10.0, true), 85, 100);
    published_between("success at 20 J, %", PERCENT * model_formulas_shock_success(20.0, true), 85, 100);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("T35-T40");
    TCase *tests = tcase_create("arithmetic");
    tcase_add_test(tests, T35);
    tcase_add_test(tests, T39);
    tcase_add_test(tests, T40);
    tcase_add_test(tests, T57);
    suite_add_tcase(made, tests);
    return made;
}

PUBLISHED_MAIN(suite)
