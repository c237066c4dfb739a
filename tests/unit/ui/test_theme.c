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
    const Theme *t = ui_theme_of((ThemeKind)_i);
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
    const Theme *t = ui_theme_of((ThemeKind)_i);
    for (int i = 0; i < SIDE_COUNT; i++)
        check(ui_theme_side_name((Side)i), t->ink, t->side[i], TEXT_LEAST);
    for (int priority = 1; priority <= 3; priority++) {
        check("alarm block", ui_theme_alarm_ink(t, priority), ui_theme_alarm(t, priority), TEXT_LEAST);
        check("frame of a block", ui_theme_alarm_text(t, priority), t->window, PART_LEAST);
    }
    check("chosen button", t->ink, t->text1, TEXT_LEAST);
}
END_TEST

START_TEST(traces_and_marks_stand_out) {
    const Theme *t = ui_theme_of((ThemeKind)_i);
    for (int i = 0; i < SIDE_COUNT; i++)
        check(ui_theme_side_name((Side)i), t->side[i], t->panel, TEXT_LEAST);
    check("target band", t->band, t->panel, PART_LEAST);
    check("band marks", t->band_mark, t->panel, PART_LEAST);
    check("pericardium", t->pericardium, t->panel, PART_LEAST);
    check("fluid", t->fluid, t->panel, PART_LEAST);
}
END_TEST

START_TEST(text_on_a_tinted_tile_reads) {
    const Theme *t = ui_theme_of((ThemeKind)_i);
    for (int priority = 1; priority <= 3; priority++) {
        Colour tile = ui_colour_mix(t->panel, ui_theme_alarm(t, priority), 0.16);
        Colour strip = ui_colour_mix(t->window, ui_theme_alarm(t, priority), 0.16);
        check("value", t->text1, tile, TEXT_LEAST);
        check("unit", t->text2, tile, TEXT_LEAST);
        check("mark", ui_theme_alarm_text(t, priority), tile, TEXT_LEAST);
        check("strip", t->text1, strip, TEXT_LEAST);
        Colour dark = ui_colour_mix(t->window, ui_theme_alarm(t, priority), 0.2); /* a block between two flashes */
        check("dark block", t->text1, dark, TEXT_LEAST);
        check("its sign", ui_theme_alarm_text(t, priority), dark, PART_LEAST);
        check("word on a panel", ui_theme_alarm_text(t, priority), t->panel, TEXT_LEAST);
    }
}
END_TEST

START_TEST(names_on_the_heart_read) {
    const Theme *t = ui_theme_of((ThemeKind)_i);
    check("left", t->text1, t->blood_left, TEXT_LEAST);
    check("right", t->text1, t->blood_right, TEXT_LEAST);
    check("edge of left blood", t->side[SIDE_LEFT], t->blood_left, PART_LEAST);
    check("edge of right blood", t->side[SIDE_RIGHT], t->blood_right, PART_LEAST);
}
END_TEST

START_TEST(high_contrast_tells_sides_by_line_style) {
    const Theme *t = ui_theme_of(THEME_HIGH_CONTRAST);
    const Side drawn[] = {SIDE_LEFT, SIDE_RIGHT, SIDE_PUMP, SIDE_GAS};
    for (size_t i = 0; i < sizeof drawn / sizeof drawn[0]; i++) {
        for (size_t k = 0; k < i; k++) {
            double on = t->dash_on_px[drawn[i]] - t->dash_on_px[drawn[k]];
            double off = t->dash_off_px[drawn[i]] - t->dash_off_px[drawn[k]];
            ck_assert_msg(on * on + off * off > 16.0, "%s and %s have one line style",
                          ui_theme_side_name(drawn[i]), ui_theme_side_name(drawn[k]));
        }
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
    tcase_add_loop_test(c, text_on_every_surface_reads, 0, THEME_COUNT);
    tcase_add_loop_test(c, ink_on_every_block_reads, 0, THEME_COUNT);
    tcase_add_loop_test(c, traces_and_marks_stand_out, 0, THEME_COUNT);
    tcase_add_loop_test(c, text_on_a_tinted_tile_reads, 0, THEME_COUNT);
    tcase_add_loop_test(c, names_on_the_heart_read, 0, THEME_COUNT);
    tcase_add_test(c, high_contrast_tells_sides_by_line_style);
    tcase_add_test(c, every_side_has_a_letter_of_its_own);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
