/* Draw commands as SVG: every element closed, names of their own, text made safe. */
#include "tests/support/check_main.h"
#include "ui/draw_svg.h"

#include <stdlib.h>
#include <string.h>

static const Colour INK = {18, 24, 29, 255}, HALF = {255, 0, 0, 128};

static char *write_list(const DrawList *list) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    ui_draw_svg_write(list, (Rect){0.0, 0.0, 100.0, 50.0}, "a-", "two & three", out);
    fclose(out);
    return text;
}

static int count(const char *text, const char *what) {
    int found = 0;
    size_t length = strlen(what);
    for (size_t i = 0; text[i] != '\0'; i++)
        found += strncmp(&text[i], what, length) == 0;
    return found;
}

START_TEST(every_command_becomes_an_element) {
    DrawList list;
    ui_draw_init(&list);
    ui_draw_region(&list, 1, (Rect){0, 0, 100, 50});
    ui_draw_rect(&list, (Rect){1, 2, 30, 4}, 3.0, HALF);
    ui_draw_frame(&list, (Rect){5, 6, 7, 8}, 0.0, ui_draw_dashed(INK, 2.0, 4.0, 3.0));
    ui_draw_path(&list);
    ui_draw_move(&list, 1, 1);
    ui_draw_to(&list, 9, 1);
    ui_draw_curve(&list, 9, 2, 8, 3, 7, 4);
    ui_draw_close(&list);
    ui_draw_fill(&list, INK);
    ui_draw_pattern(&list, (PatternStyle){PATTERN_DOTS, INK, 6.0, 2.0});
    ui_draw_pattern(&list, (PatternStyle){PATTERN_HATCH, INK, 6.0, 2.0});
    ui_draw_clip_rect(&list, (Rect){0, 0, 10, 10});
    ui_draw_text(&list, FACE_WORDS_STRONG, 16.0, ALIGN_CENTRE, INK, 5, 6, "a < b");
    ui_draw_unclip(&list);
    ui_draw_clip_rect(&list, (Rect){0, 0, 10, 10}); /* left open */
    char *text = write_list(&list);
    ck_assert_int_eq(count(text, "<svg"), 1);
    ck_assert_int_eq(count(text, "</svg>"), 1);
    ck_assert_int_eq(count(text, "<g "), count(text, "</g>"));
    ck_assert_int_eq(count(text, "<clipPath"), count(text, "</clipPath>"));
    ck_assert_int_eq(count(text, "<pattern"), 2);
    ck_assert_int_eq(count(text, "id=\"a-0\""), 1);
    ck_assert_int_eq(count(text, "id=\"a-1\""), 1);
    ck_assert_ptr_nonnull(strstr(text, "M1.0 1.0L9.0 1.0C9.0 2.0 8.0 3.0 7.0 4.0Z"));
    ck_assert_ptr_nonnull(strstr(text, "fill=\"#ff0000\" fill-opacity=\"0.502\""));
    ck_assert_ptr_nonnull(strstr(text, "stroke-dasharray=\"4.0 3.0\""));
    ck_assert_ptr_nonnull(strstr(text, "text-anchor=\"middle\" font-weight=\"bold\""));
    ck_assert_ptr_nonnull(strstr(text, ">a &lt; b</text>"));
    ck_assert_ptr_nonnull(strstr(text, "aria-label=\"two &amp; three\""));
    free(text);
    ui_draw_free(&list);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("draw_svg");
    TCase *c = tcase_create("draw_svg");
    tcase_add_test(c, every_command_becomes_an_element);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
