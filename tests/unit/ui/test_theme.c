/* Contrast of the palette: text at least 4.5:1, parts of controls and traces at least 3:1 (WCAG 2.2, 1.4.3
 * and 1.4.11). */
#include "tests/support/check_main.h"
#include "ui/theme.h"

#define TEXT_LEAST 4.5
#define PART_LEAST 3.0

static void check(const char *what, Colour a, Colour b, double least) {
    double contrast = ui_colour_contrast(a, b);
    ck_assert_msg(contrast >= least, "%s: %.2f, at least %.1f wanted", what, contrast, least);
}

START_TEST(text_on_every_surface_reads) {
    const Theme *t = ui_theme_dark();
    const Colour surface[] = {t->window, t->panel, t->raised, t->selected};
    for (size_t i = 0; i < sizeof surface / sizeof surface[0]; i++) {
        check("text 1", t->text1, surface[i], TEXT_LEAST);
        check("text 2", t->text2, surface[i], TEXT_LEAST);
        check("text 3", t->text3, surface[i], TEXT_LEAST);
        check("control edge", t->edge, surface[i], PART_LEAST);
        check("focus", t->focus, surface[i], PART_LEAST);
    }
}
END_TEST

START_TEST(ink_on_every_block_reads) {
    const Theme *t = ui_theme_dark();
    for (int i = 0; i < SIDE_COUNT; i++)
        check(ui_theme_side_name((Side)i), t->ink, t->side[i], TEXT_LEAST);
    check("high", t->ink, t->alarm_high, TEXT_LEAST);
    check("medium", t->ink, t->alarm_medium, TEXT_LEAST);
    check("low", t->ink, t->alarm_low, TEXT_LEAST);
    check("chosen button", t->ink, t->text1, TEXT_LEAST);
}
END_TEST

START_TEST(traces_and_marks_stand_out) {
    const Theme *t = ui_theme_dark();
    for (int i = 0; i < SIDE_COUNT; i++)
        check(ui_theme_side_name((Side)i), t->side[i], t->panel, TEXT_LEAST);
    check("target band", t->band, t->panel, PART_LEAST);
    check("band marks", t->band_mark, t->panel, PART_LEAST);
    check("pericardium", t->pericardium, t->panel, PART_LEAST);
    check("fluid", t->fluid, t->panel, PART_LEAST);
}
END_TEST

START_TEST(text_on_a_tinted_tile_reads) {
    const Theme *t = ui_theme_dark();
    const Colour alarm[] = {t->alarm_high, t->alarm_medium, t->alarm_low};
    for (size_t i = 0; i < sizeof alarm / sizeof alarm[0]; i++) {
        Colour tile = ui_colour_mix(t->panel, alarm[i], 0.16);
        check("value", t->text1, tile, TEXT_LEAST);
        check("unit", t->text2, tile, TEXT_LEAST);
        check("mark", alarm[i], tile, PART_LEAST);
    }
}
END_TEST

START_TEST(every_side_has_a_letter_of_its_own) {
    for (int i = 0; i < SIDE_COUNT; i++) {
        for (int k = 0; k < i; k++)
            ck_assert_str_ne(ui_theme_letter((Side)i), ui_theme_letter((Side)k));
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("theme");
    TCase *c = tcase_create("palette");
    tcase_add_test(c, text_on_every_surface_reads);
    tcase_add_test(c, ink_on_every_block_reads);
    tcase_add_test(c, traces_and_marks_stand_out);
    tcase_add_test(c, text_on_a_tinted_tile_reads);
    tcase_add_test(c, every_side_has_a_letter_of_its_own);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
