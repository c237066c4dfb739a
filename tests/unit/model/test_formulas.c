/* Chances of shocks: rising with energy, against published first-shock and cumulative results. */
#include "model/formulas.h"
#include "tests/support/check_main.h"

START_TEST(formulas_cardioversion_follows_first_shock_and_ladder) {
    /* Mittal, Circulation 2000;101:1282, from memory: biphasic first shock of 70 J 68 %; 70, 120, 150, 170 J
       in turn 94 % in all */
    const double ladder_j[] = {70, 120, 150, 170};
    double failed = 1;
    for (int i = 0; i < 4; i++) {
        failed *= 1 - model_formulas_cardioversion_success(ladder_j[i], false);
    }
    ck_assert_double_eq_tol(model_formulas_cardioversion_success(70, false), 0.68, 0.02);
    ck_assert_double_ge(1 - failed, 0.94);
    for (double j = 20; j < 200; j += 10) {
        ck_assert_double_lt(model_formulas_cardioversion_success(j, false),
                            model_formulas_cardioversion_success(j + 10, false));
    }
}
END_TEST

START_TEST(formulas_heart_itself_needs_less_energy_than_pads) {
    for (double j = 5; j <= 50; j += 5) {
        ck_assert_double_gt(model_formulas_shock_success(j, true), model_formulas_shock_success(j, false));
        ck_assert_double_gt(model_formulas_cardioversion_success(j, true),
                            model_formulas_cardioversion_success(j, false));
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("formulas");
    TCase *c = tcase_create("formulas");
    tcase_add_test(c, formulas_cardioversion_follows_first_shock_and_ladder);
    tcase_add_test(c, formulas_heart_itself_needs_less_energy_than_pads);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
