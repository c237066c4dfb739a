/* Colours: contrast against the worked values of WCAG 2.2. */
#include "tests/support/check_main.h"
#include "ui/colour.h"

START_TEST(contrast_black_on_white_is_21) {
    /* WCAG 2.2, definition of contrast ratio: ratios range from 1 to 21 */
    ck_assert_double_eq_tol(ui_colour_contrast(ui_colour_hex(0x000000), ui_colour_hex(0xFFFFFF)), 21.0, 1e-9);
    ck_assert_double_eq_tol(ui_colour_contrast(ui_colour_hex(0x123456), ui_colour_hex(0x123456)), 1.0, 1e-12);
}
END_TEST

START_TEST(contrast_grey_767676_on_white_just_passes) {
    /* common practice: #767676 is known as the lightest grey that passes 4.5:1 on white */
    ck_assert_double_ge(ui_colour_contrast(ui_colour_hex(0x767676), ui_colour_hex(0xFFFFFF)), 4.5);
    ck_assert_double_lt(ui_colour_contrast(ui_colour_hex(0x777777), ui_colour_hex(0xFFFFFF)), 4.5);
}
END_TEST

START_TEST(luminance_primaries_match_the_weights) {
    /* WCAG 2.2, relative luminance: 0.2126 R + 0.7152 G + 0.0722 B */
    ck_assert_double_eq_tol(ui_colour_luminance(ui_colour_hex(0xFF0000)), 0.2126, 1e-12);
    ck_assert_double_eq_tol(ui_colour_luminance(ui_colour_hex(0x00FF00)), 0.7152, 1e-12);
    ck_assert_double_eq_tol(ui_colour_luminance(ui_colour_hex(0x0000FF)), 0.0722, 1e-12);
}
END_TEST

START_TEST(mix_and_alpha_ends_are_exact) {
    Colour a = ui_colour_hex(0x102030), b = ui_colour_hex(0xF0E0D0);
    ck_assert_int_eq(ui_colour_mix(a, b, 0.0).r, 0x10);
    ck_assert_int_eq(ui_colour_mix(a, b, 1.0).b, 0xD0);
    ck_assert_int_eq(ui_colour_mix(a, b, 0.5).g, 0x80);
    ck_assert_int_eq(ui_colour_alpha(a, 2.0).a, 255);
    ck_assert_int_eq(ui_colour_alpha(a, -1.0).a, 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("colour");
    TCase *c = tcase_create("contrast");
    tcase_add_test(c, contrast_black_on_white_is_21);
    tcase_add_test(c, contrast_grey_767676_on_white_just_passes);
    tcase_add_test(c, luminance_primaries_match_the_weights);
    tcase_add_test(c, mix_and_alpha_ends_are_exact);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
