/* Sweep buffers: columns, gap, joins, wrapping. */
#include "tests/support/check_main.h"
#include "ui/traces.h"

#include <math.h>

static Sweep sweep;

START_TEST(column_keeps_lowest_and_highest_sample) {
    ui_traces_reset(&sweep, 100);
    ui_traces_add(&sweep, 5, 3.0, 4);
    ui_traces_add(&sweep, 5, -1.0, 4);
    ui_traces_add(&sweep, 5, 2.0, 4);
    ck_assert_float_eq_tol(sweep.low[5], -1.0F, 1e-9F);
    ck_assert_float_eq_tol(sweep.high[5], 3.0F, 1e-9F);
    ck_assert_double_eq_tol(sweep.last, 2.0, 1e-9);
    ck_assert_int_eq(sweep.cursor, 5);
}
END_TEST

START_TEST(gap_ahead_of_the_cursor_is_empty_and_moves) {
    ui_traces_reset(&sweep, 50);
    for (int i = 0; i < 50; i++)
        ui_traces_add(&sweep, i, 1.0, 4);
    ui_traces_add(&sweep, 50, 1.0, 4);
    for (int i = 1; i <= 4; i++)
        ck_assert_float_nan(sweep.low[i]);
    ck_assert(!isnan(sweep.low[0]));
    ck_assert(!isnan(sweep.low[5]));
}
END_TEST

START_TEST(columns_passed_over_are_joined) {
    ui_traces_reset(&sweep, 100);
    ui_traces_add(&sweep, 10, 0.0, 2);
    ui_traces_add(&sweep, 14, 8.0, 2);
    ck_assert_float_eq_tol(sweep.low[11], 2.0, 1e-6f);
    ck_assert_float_eq_tol(sweep.low[12], 4.0, 1e-6f);
    ck_assert_float_eq_tol(sweep.low[13], 6.0, 1e-6f);
}
END_TEST

START_TEST(missing_sample_leaves_a_gap) {
    ui_traces_reset(&sweep, 100);
    ui_traces_add(&sweep, 10, 1.0, 2);
    ui_traces_add(&sweep, 11, NAN, 2);
    ui_traces_add(&sweep, 12, 1.0, 2);
    ck_assert_float_nan(sweep.low[11]);
    ck_assert(!isnan(sweep.low[12]));
}
END_TEST

START_TEST(value_outside_the_scale_is_drawn_at_its_edge) {
    Lane lane = {.low = 0.0, .high = 100.0};
    Rect rect = {0.0, 50.0, 200.0, 80.0};
    double top = ui_traces_y(&lane, rect, 1e9), bottom = ui_traces_y(&lane, rect, -1e9);
    ck_assert(top >= rect.y && top < rect.y + 5.0);
    ck_assert(bottom <= rect.y + rect.h && bottom > rect.y + rect.h - 5.0);
    ck_assert_double_eq_tol(ui_traces_y(&lane, rect, 50.0), 90.0, 1e-9);
}
END_TEST

START_TEST(trace_is_one_stroke_with_the_gap_lifted) {
    static Lane lane = {.low = 0.0, .high = 10.0, .side = SIDE_LEFT};
    DrawList list;
    ui_draw_init(&list);
    ui_traces_reset(&sweep, 100);
    for (int i = 0; i < 130; i++)
        ui_traces_add(&sweep, i, i % 10, 5);
    ui_traces_draw(&list, ui_theme_dark(), &lane, &sweep, (Rect){0, 0, 400, 80}, 0.0, 400.0, false);
    int moves = 0, strokes = 0;
    for (size_t i = 0; i < list.verb_count; i++)
        moves += list.verbs[i] == PATH_MOVE;
    for (size_t i = 0; i < list.command_count; i++)
        strokes += list.commands[i].kind == DRAW_STROKE;
    ck_assert_int_eq(strokes, 1);
    /* before the gap, after the gap, and the cursor's dot */
    ck_assert_int_eq(moves, 3);
    ui_draw_free(&list);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("traces");
    TCase *c = tcase_create("sweep");
    tcase_add_test(c, column_keeps_lowest_and_highest_sample);
    tcase_add_test(c, gap_ahead_of_the_cursor_is_empty_and_moves);
    tcase_add_test(c, columns_passed_over_are_joined);
    tcase_add_test(c, missing_sample_leaves_a_gap);
    tcase_add_test(c, value_outside_the_scale_is_drawn_at_its_edge);
    tcase_add_test(c, trace_is_one_stroke_with_the_gap_lifted);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
