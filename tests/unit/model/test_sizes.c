/* Lengths of the picture. */
#include "model/sizes.h"
#include "tests/support/check_main.h"

#include <math.h>

START_TEST(septum_height_gives_its_volume_back) {
    for (double ml = -30; ml <= 30; ml += 5) {
        const double h = model_sizes_septum_mm(ml);
        ck_assert_double_eq_tol(3.14159265358979 * h * (3 * 33.0 * 33.0 + h * h) / 6 / 1000, ml, 1e-9);
        ck_assert_double_eq_tol(model_sizes_septum_ml(h), ml, 1e-9);
    }
    /* round: the septum as far out as on the sphere that the diameter holds for */
    ck_assert_double_eq_tol(model_sizes_septum_ml(model_sizes_septum_usual_mm()), 15, 1e-9);
}
END_TEST

/* textbook: a normal left ventricle of 125-130 mL is 4.8-5.2 cm wide, a failing one of 290 mL about 7 cm */
START_TEST(diameters_have_textbook_sizes) {
    ck_assert_double_ge(model_sizes_lv_mm(128, 15), 48);
    ck_assert_double_le(model_sizes_lv_mm(128, 15), 52);
    ck_assert_double_ge(model_sizes_lv_mm(288, 24), 68);
    ck_assert_double_le(model_sizes_lv_mm(288, 24), 78);
    ck_assert_double_eq_tol(model_sizes_rv_mm(145), 39, 1e-9);
    ck_assert_double_gt(model_sizes_rv_mm(250), 45);
}
END_TEST

START_TEST(septum_to_the_left_narrows_the_left_ventricle) {
    ck_assert_double_lt(model_sizes_lv_mm(170, -20), model_sizes_lv_mm(170, 10) - 10);
}
END_TEST

/* Mosteller 1987: 80 kg, 180 cm is 2.00 m2 */
START_TEST(body_surface_follows_mosteller) {
    ck_assert_double_eq_tol(model_sizes_body_m2(80, 180), 2.0, 1e-9);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sizes");
    TCase *c = tcase_create("sizes");
    tcase_add_test(c, septum_height_gives_its_volume_back);
    tcase_add_test(c, diameters_have_textbook_sizes);
    tcase_add_test(c, septum_to_the_left_narrows_the_left_ventricle);
    tcase_add_test(c, body_surface_follows_mosteller);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
