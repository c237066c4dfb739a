/* The draw list: building, taking back, reading as text, hashing. */
#include "tests/support/check_main.h"
#include "ui/draw.h"

#include <math.h>
#include <string.h>

static DrawList list;
static const Colour WHITE = {255, 255, 255, 255};

static void start(void) {
    ui_draw_init(&list);
}

static void stop(void) {
    ui_draw_free(&list);
}

static void some_picture(DrawList *d, double x) {
    ui_draw_region(d, 3, (Rect){0, 0, 100, 50});
    ui_draw_rect(d, (Rect){x, 2, 10, 20}, 4.0, WHITE);
    ui_draw_path(d);
    ui_draw_move(d, 1, 2);
    ui_draw_curve(d, 1, 2, 3, 4, 5, 6);
    ui_draw_close(d);
    ui_draw_fill(d, WHITE);
    ui_draw_stroke(d, ui_draw_dashed(WHITE, 1.5, 4, 2));
    ui_draw_text(d, FACE_DIGITS, 20, ALIGN_RIGHT, WHITE, 50, 40, "58");
}

START_TEST(dump_of_commands_is_readable_text) {
    static const char EXPECTED[] = "region 3 0.0,0.0 100.0x50.0\n"
                                   "rect 7.0,2.0 10.0x20.0 r4.0 #FFFFFF\n"
                                   "fill #FFFFFF M1.0,2.0 C1.0,2.0 3.0,4.0 5.0,6.0 Z\n"
                                   "stroke #FFFFFF w1.5 dash 4.0/2.0 M1.0,2.0 C1.0,2.0 3.0,4.0 5.0,6.0 Z\n"
                                   "text digits 20.0 right #FFFFFF 50.0,40.0 \"58\"\n";
    char text[1024] = "";
    FILE *out = fmemopen(text, sizeof text, "w");
    some_picture(&list, 7.0);
    ui_draw_dump(&list, 0, 0, out);
    fclose(out);
    ck_assert_str_eq(text, EXPECTED);
}
END_TEST

START_TEST(hash_of_equal_lists_is_equal_wherever_they_lie) {
    DrawList other;
    ui_draw_init(&other);
    some_picture(&list, 7.0);
    ui_draw_text(&other, FACE_WORDS, 12, ALIGN_LEFT, WHITE, 0, 0, "before");
    ui_draw_circle(&other, 4, 4, 2, WHITE);
    size_t first = other.command_count;
    some_picture(&other, 7.0);
    ck_assert(ui_draw_hash(&list, 0, 0) == ui_draw_hash(&other, first, 0));
    ui_draw_clear(&other);
    some_picture(&other, 7.25);
    ck_assert(ui_draw_hash(&list, 0, 0) != ui_draw_hash(&other, 0, 0));
    ui_draw_free(&other);
}
END_TEST

START_TEST(hash_tells_texts_and_paths_apart) {
    ui_draw_text(&list, FACE_WORDS, 12, ALIGN_LEFT, WHITE, 0, 0, "58");
    uint64_t first = ui_draw_hash(&list, 0, 0);
    ui_draw_clear(&list);
    ui_draw_text(&list, FACE_WORDS, 12, ALIGN_LEFT, WHITE, 0, 0, "59");
    ck_assert(first != ui_draw_hash(&list, 0, 0));
    ui_draw_clear(&list);
    ui_draw_circle(&list, 4, 4, 2, WHITE);
    first = ui_draw_hash(&list, 0, 0);
    ui_draw_clear(&list);
    ui_draw_circle(&list, 4, 4, 2.5, WHITE);
    ck_assert(first != ui_draw_hash(&list, 0, 0));
}
END_TEST

START_TEST(rewind_takes_back_what_came_after_the_mark) {
    some_picture(&list, 7.0);
    uint64_t before = ui_draw_hash(&list, 0, 0);
    size_t coords = list.coord_count;
    DrawMark mark = ui_draw_mark(&list);
    some_picture(&list, 9.0);
    ui_draw_rewind(&list, mark);
    ck_assert_uint_eq(list.coord_count, coords);
    ck_assert(before == ui_draw_hash(&list, 0, 0));
}
END_TEST

START_TEST(region_end_finds_the_next_region) {
    some_picture(&list, 1.0);
    size_t first = list.command_count;
    some_picture(&list, 2.0);
    ck_assert_uint_eq(ui_draw_region_end(&list, 0), first);
    ck_assert_uint_eq(ui_draw_region_end(&list, first), list.command_count);
}
END_TEST

START_TEST(text_too_wide_is_cut_between_characters) {
    /* 11 characters, the accented ones two bytes each */
    ui_draw_text_fit(&list, FACE_WORDS, 10, ALIGN_LEFT, WHITE, 0, 0, 40.0,
                     "\u00e9\u00e8\u00ea\u00eb\u00e9\u00e8\u00ea\u00eb\u00e9\u00e8\u00ea");
    ck_assert_uint_eq(list.command_count, 1);
    const char *cut = list.chars + list.commands[0].text;
    size_t bytes = strlen(cut);
    ck_assert_uint_gt(bytes, 3);
    ck_assert_str_eq(cut + bytes - 3, "\u2026");
    ck_assert_uint_eq((bytes - 3) % 2, 0);
    ck_assert(ui_draw_text_width(&list, FACE_WORDS, 10, cut) <= 40.0);
}
END_TEST

START_TEST(wrap_keeps_every_word_and_the_width) {
    static const char WORDS[] = "one two three four five six seven eight nine ten eleven twelve";
    int lines = ui_draw_text_wrap(&list, FACE_WORDS, 10, WHITE, 0, 20, 90.0, 14.0, 20, WORDS);
    char joined[256] = "";
    ck_assert_int_gt(lines, 2);
    ck_assert_uint_eq(list.command_count, (size_t)lines);
    for (int i = 0; i < lines; i++) {
        const char *line = list.chars + list.commands[i].text;
        ck_assert(ui_draw_text_width(&list, FACE_WORDS, 10, line) <= 90.0);
        ck_assert_double_eq_tol(list.commands[i].rect.y, 20.0 + 14.0 * i, 1e-9);
        if (i > 0) strcat(joined, " ");
        strcat(joined, line);
    }
    ck_assert_str_eq(joined, WORDS);
}
END_TEST

START_TEST(wrap_cuts_the_last_line_that_is_allowed) {
    int lines = ui_draw_text_wrap(&list, FACE_WORDS, 10, WHITE, 0, 20, 60.0, 14.0, 2,
                                  "one two three four five six seven");
    ck_assert_int_eq(lines, 2);
    const char *last = list.chars + list.commands[1].text;
    ck_assert_str_eq(last + strlen(last) - 3, "\u2026");
}
END_TEST

START_TEST(wrap_of_a_word_wider_than_the_line_ends) {
    int lines = ui_draw_text_wrap(&list, FACE_WORDS, 10, WHITE, 0, 20, 10.0, 14.0, 5, "norepinephrine drip");
    ck_assert_int_eq(lines, 2);
}
END_TEST

START_TEST(arc_ends_where_it_should) {
    ui_draw_path(&list);
    ui_draw_arc(&list, 10, 20, 5, 0.0, 3.0);
    ck_assert_double_eq_tol(list.coords[0], 15.0, 1e-12);
    ck_assert_double_eq_tol(list.coords[list.coord_count - 2], 10.0 + 5.0 * cos(3.0), 1e-12);
    ck_assert_double_eq_tol(list.coords[list.coord_count - 1], 20.0 + 5.0 * sin(3.0), 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("draw");
    TCase *c = tcase_create("list");
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, dump_of_commands_is_readable_text);
    tcase_add_test(c, hash_of_equal_lists_is_equal_wherever_they_lie);
    tcase_add_test(c, hash_tells_texts_and_paths_apart);
    tcase_add_test(c, rewind_takes_back_what_came_after_the_mark);
    tcase_add_test(c, region_end_finds_the_next_region);
    tcase_add_test(c, text_too_wide_is_cut_between_characters);
    tcase_add_test(c, wrap_keeps_every_word_and_the_width);
    tcase_add_test(c, wrap_cuts_the_last_line_that_is_allowed);
    tcase_add_test(c, wrap_of_a_word_wider_than_the_line_ends);
    tcase_add_test(c, arc_ends_where_it_should);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
