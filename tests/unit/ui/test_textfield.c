/* The text field: edits, characters of several bytes, limits, keys and clicks. */
#include "tests/support/check_main.h"
#include "ui/textfield.h"

#include <stdio.h>
#include <string.h>

static void type(TextField *field, const char *text) {
    for (; *text != '\0'; text++)
        ui_textfield_edit(field, (unsigned char)*text);
}

START_TEST(characters_go_in_at_the_caret) {
    TextField field = {.caret = 0};
    type(&field, "clot");
    ui_textfield_edit(&field, TEXT_EDIT_HOME);
    type(&field, "a ");
    ck_assert_str_eq(field.text, "a clot");
    ck_assert_int_eq(field.caret, 2);
    ui_textfield_edit(&field, TEXT_EDIT_END);
    type(&field, "?");
    ck_assert_str_eq(field.text, "a clot?");
}
END_TEST

START_TEST(backspace_and_delete_take_whole_characters) {
    TextField field = {.caret = 0};
    const int WORD[] = {'x', 0x3BC, 0x20AC, 0x1F600, 'y'}; /* 1, 2, 3 and 4 bytes */
    for (int i = 0; i < 5; i++)
        ui_textfield_edit(&field, WORD[i]);
    ck_assert_str_eq(field.text, "x\u03bc\u20ac\U0001F600y");
    ui_textfield_edit(&field, TEXT_EDIT_LEFT);
    ui_textfield_edit(&field, TEXT_EDIT_BACK);
    ck_assert_str_eq(field.text, "x\u03bc\u20acy");
    ui_textfield_edit(&field, TEXT_EDIT_HOME);
    ui_textfield_edit(&field, TEXT_EDIT_RIGHT);
    ui_textfield_edit(&field, TEXT_EDIT_DELETE);
    ck_assert_str_eq(field.text, "x\u20acy");
    ui_textfield_edit(&field, TEXT_EDIT_BACK);
    ui_textfield_edit(&field, TEXT_EDIT_BACK); /* at the beginning: nothing */
    ck_assert_str_eq(field.text, "\u20acy");
    ui_textfield_edit(&field, TEXT_EDIT_CARET - 1); /* inside a character: before it */
    ck_assert_int_eq(field.caret, 0);
    ui_textfield_edit(&field, TEXT_EDIT_CARET - 500);
    ck_assert_int_eq(field.caret, 4);
    ui_textfield_edit(&field, TEXT_EDIT_DELETE); /* at the end: nothing */
    ck_assert_str_eq(field.text, "\u20acy");
    ui_textfield_edit(&field, TEXT_EDIT_CLEAR);
    ck_assert_str_eq(field.text, "");
    ck_assert_int_eq(field.caret, 0);
}
END_TEST

START_TEST(what_cannot_be_shown_or_does_not_fit_is_dropped) {
    TextField field = {.caret = 0};
    const double NONE[] = {1, '\t', '\n', 27, 127, 0x85, 0xD800, 0x110000, 4e9};
    for (size_t i = 0; i < sizeof NONE / sizeof NONE[0] - 1; i++)
        ui_textfield_edit(&field, NONE[i]);
    ck_assert_str_eq(field.text, "");
    for (int i = 0; i < 2 * TEXTFIELD_MAX; i++)
        ui_textfield_edit(&field, 0x20AC);
    ck_assert_uint_le(strlen(field.text), TEXTFIELD_MAX - 1);
    ck_assert_uint_eq(strlen(field.text) % 3, 0);
}
END_TEST

START_TEST(set_cuts_between_characters) {
    char text[2 * TEXTFIELD_MAX] = "";
    while (strlen(text) < TEXTFIELD_MAX + 10)
        strcat(text, "\u20ac");
    TextField field;
    ui_textfield_set(&field, text);
    ck_assert_uint_eq(strlen(field.text), (TEXTFIELD_MAX - 1) / 3 * 3);
    ck_assert_int_eq(field.caret, (int)strlen(field.text));
    ui_textfield_set(&field, "short");
    ck_assert_str_eq(field.text, "short");
}
END_TEST

static DrawList list;
static Ui ui;
static Intents intents;
static const Rect FIELD = {100.0, 50.0, 200.0, 40.0};

static void frame(const TextField *field, const Input *input) {
    intents.count = 0;
    ui_widgets_begin(&ui, &list, ui_theme_dark(), input);
    ui_textfield_draw(&ui, 7, FIELD, field, "hint", INTENT_PART, 3, &intents);
    ui_widgets_end(&ui);
}

START_TEST(keys_reach_the_field_only_with_the_focus) {
    TextField field = {.caret = 0};
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 3};
    input.key[0] = (KeyPress){KEY_CHARACTER, false, 'Q'};
    input.key[1] = (KeyPress){KEY_ENTER, false, 0};
    input.key[2] = (KeyPress){KEY_CHARACTER, false, ' '};
    frame(&field, &input);
    ck_assert_int_eq(intents.count, 0);
    ui.focus = 7;
    frame(&field, &input);
    ck_assert_int_eq(intents.count, 2);
    ck_assert_int_eq(intents.of[0].number, 3);
    ck_assert_double_eq_tol(intents.of[0].amount, 'Q', 0.1);
    ck_assert_double_eq_tol(intents.of[1].amount, ' ', 0.1);
    ck_assert(ui_widgets_take_key(&ui, KEY_ENTER, NULL)); /* left to the card */
    ui_draw_free(&list);
}
END_TEST

START_TEST(click_takes_the_focus_and_puts_the_caret) {
    TextField field;
    ui_textfield_set(&field, "abcdef");
    memset(&ui, 0, sizeof ui);
    ui_draw_init(&list);
    double to_c = ui_draw_text_width(&list, FACE_WORDS, TYPE_BODY, "abc");
    Input input = {.x_px = FIELD.x + 10.0 + to_c, .y_px = FIELD.y + 10.0, .pressed = true, .released = true};
    frame(&field, &input);
    ck_assert_int_eq(ui.focus, 7);
    ck_assert_int_eq(intents.count, 1);
    ui_textfield_edit(&field, intents.of[0].amount);
    ck_assert_int_eq(field.caret, 3);
    ui_draw_free(&list);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("textfield");
    TCase *c = tcase_create("edits");
    tcase_add_test(c, characters_go_in_at_the_caret);
    tcase_add_test(c, backspace_and_delete_take_whole_characters);
    tcase_add_test(c, what_cannot_be_shown_or_does_not_fit_is_dropped);
    tcase_add_test(c, set_cuts_between_characters);
    tcase_add_test(c, keys_reach_the_field_only_with_the_focus);
    tcase_add_test(c, click_takes_the_focus_and_puts_the_caret);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
