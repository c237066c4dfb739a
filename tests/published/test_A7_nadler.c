/* A7. Blood volume from height and weight: Nadler, Hidalgo and Bloch, Surgery 1962;51:224. Expected values
   worked by hand from the published regression (L, m, kg): men 0.3669 h^3 + 0.03219 w + 0.6041, women 0.3561
   h^3 + 0.03308 w + 0.1833. */
#include "model/formulas.h"
#include "tests/support/check_main.h"

START_TEST(nadler_of_three_adults_is_the_published_regression) {
    ck_assert_double_eq_tol(model_formulas_nadler_ml(175.0, 80.0, false), 5150.0,
                            10.0); /* T35: 5.15 +/- 0.01 L */
    ck_assert_double_eq_tol(model_formulas_nadler_ml(165.0, 65.0, true), 3930.0, 10.0);
    ck_assert_double_eq_tol(model_formulas_nadler_ml(180.0, 95.0, false), 5800.0, 10.0);
}
END_TEST

/* Mosteller, N Engl J Med 1987;317:1098: root of (cm x kg / 3600). 180 cm and 80 kg are exactly 2 m2. */
START_TEST(mosteller_of_180_cm_and_80_kg_is_two_square_metres) {
    ck_assert_double_eq_tol(model_formulas_surface_m2(180.0, 80.0), 2.0, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("A7");
    TCase *tests = tcase_create("A7");
    tcase_add_test(tests, nadler_of_three_adults_is_the_published_regression);
    tcase_add_test(tests, mosteller_of_180_cm_and_80_kg_is_two_square_metres);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
