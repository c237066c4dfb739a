/* Controls by mouse and by keyboard. */
#include "tests/support/check_main.h"
#include "ui/widgets.h"

#include <string.h>

static Ui ui;
static DrawList list;
static const Rect FIRST = {10, 10, 80, 40}, SECOND = {10, 60, 80, 40};

static void start(void) {
    memset(&ui, 0, sizeof ui);
    ui_draw_init(&list);
}

static void stop(void) {
    ui_draw_free(&list);
}

/* One frame with two buttons; returns the number of the one that was used, 0 for none. */
static int frame(const Input *input) {
    ui_widgets_begin(&ui, &list, ui_theme_dark(), input);
    int hit = 0;
    if (ui_widgets_button(&ui, 1, FIRST, "One", BUTTON_PLAIN)) hit = 1;
    if (ui_widgets_button(&ui, 2, SECOND, "Two", BUTTON_PLAIN)) hit = 2;
    ui_widgets_end(&ui);
    return hit;
}

static Input pointer(double x, double y, bool down, bool pressed, bool released) {
    return (Input){.x_px = x, .y_px = y, .down = down, .pressed = pressed, .released = released};
}

static Input key(Key k, bool shift) {
    Input input = {.x_px = -1, .y_px = -1, .keys = 1};
    input.key[0] = (KeyPress){k, shift, 0};
    return input;
}

START_TEST(click_over_two_frames_activates_on_release) {
    Input down = pointer(20, 70, true, true, false), up = pointer(25, 75, false, false, true);
    ck_assert_int_eq(frame(&down), 0);
    ck_assert_int_eq(frame(&up), 2);
}
END_TEST

START_TEST(click_within_one_frame_activates) {
    Input click = pointer(20, 20, false, true, true);
    ck_assert_int_eq(frame(&click), 1);
    Input rest = pointer(20, 20, false, false, false);
    ck_assert_int_eq(frame(&rest), 0);
}
END_TEST

START_TEST(release_on_another_control_activates_nothing) {
    Input down = pointer(20, 20, true, true, false), up = pointer(20, 70, false, false, true);
    ck_assert_int_eq(frame(&down), 0);
    ck_assert_int_eq(frame(&up), 0);
}
END_TEST

START_TEST(tab_walks_in_reading_order_and_enter_activates) {
    Input rest = pointer(-1, -1, false, false, false), tab = key(KEY_TAB, false),
          enter = key(KEY_ENTER, false);
    frame(&rest);
    frame(&tab);
    ck_assert_int_eq(ui.focus, 1);
    ck_assert(ui.focus_shown);
    frame(&tab);
    ck_assert_int_eq(ui.focus, 2);
    ck_assert_int_eq(frame(&enter), 2);
    frame(&tab);
    ck_assert_int_eq(ui.focus, 1);
    Input back = key(KEY_TAB, true);
    frame(&back);
    ck_assert_int_eq(ui.focus, 2);
}
END_TEST

START_TEST(focus_is_drawn_around_the_control) {
    Input rest = pointer(-1, -1, false, false, false), tab = key(KEY_TAB, false);
    frame(&rest);
    size_t before = list.command_count;
    frame(&tab);
    ck_assert_uint_eq(list.command_count, before + 1);
    bool found = false;
    for (size_t i = 0; i < list.command_count; i++) {
        const DrawCommand *c = &list.commands[i];
        found = found || (c->kind == DRAW_FRAME && c->rect.x < FIRST.x && c->rect.w > FIRST.w);
    }
    ck_assert(found);
}
END_TEST

START_TEST(blocked_controls_do_not_answer) {
    Input click = pointer(20, 20, false, true, true);
    ui_widgets_begin(&ui, &list, ui_theme_dark(), &click);
    ui.blocked = true;
    ck_assert(!ui_widgets_button(&ui, 1, FIRST, "One", BUTTON_PLAIN));
    ui_widgets_end(&ui);
    ck_assert_int_eq(ui.befores, 0);
}
END_TEST

START_TEST(mouse_only_control_takes_no_focus) {
    Input click = pointer(20, 20, false, true, true);
    ui_widgets_begin(&ui, &list, ui_theme_dark(), &click);
    ui.mouse_only = true;
    ck_assert(ui_widgets_button(&ui, 1, FIRST, "One", BUTTON_PLAIN));
    ui_widgets_end(&ui);
    ck_assert_int_eq(ui.focus, 0);
}
END_TEST

START_TEST(taken_key_is_taken_once_and_letters_ignore_case) {
    Input input = {.keys = 2};
    input.key[0] = (KeyPress){KEY_CHARACTER, false, 'M'};
    input.key[1] = (KeyPress){KEY_F9, true, 0};
    bool shift = false;
    ui_widgets_begin(&ui, &list, ui_theme_dark(), &input);
    ck_assert(ui_widgets_take_char(&ui, 'm'));
    ck_assert(!ui_widgets_take_char(&ui, 'm'));
    ck_assert(ui_widgets_take_key(&ui, KEY_F9, &shift));
    ck_assert(shift);
    ck_assert_int_eq(ui.input.keys, 0);
    ui_widgets_end(&ui);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("widgets");
    TCase *c = tcase_create("controls");
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, click_over_two_frames_activates_on_release);
    tcase_add_test(c, click_within_one_frame_activates);
    tcase_add_test(c, release_on_another_control_activates_nothing);
    tcase_add_test(c, tab_walks_in_reading_order_and_enter_activates);
    tcase_add_test(c, focus_is_drawn_around_the_control);
    tcase_add_test(c, blocked_controls_do_not_answer);
    tcase_add_test(c, mouse_only_control_takes_no_focus);
    tcase_add_test(c, taken_key_is_taken_once_and_letters_ignore_case);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
