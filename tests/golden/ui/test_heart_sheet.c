/* The heart picture and its gauges in eight situations, against kept images. Also: what the draw list itself
   must hold whatever it looks like. */
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/heart_views.h"
#include "ui/capsules.h"
#include "ui/comb.h"
#include "ui/flow_loop.h"
#include "ui/heart.h"
#include "ui/septum_ruler.h"
#include "ui/theme.h"

#include <math.h>
#include <string.h>

static Text *text;
static DrawList list;

static void open_all(void) {
    FontSet fonts;
    Error error;
    ck_assert_int_eq(ui_fonts_find(&fonts, &error), ERROR_OK);
    text = ui_text_create(&fonts, &error);
    ck_assert_ptr_nonnull(text);
    ui_draw_init(&list);
}

static void close_all(void) {
    ui_draw_free(&list);
    ui_text_destroy(text);
}

enum { COLUMNS = 4 };
static const double GAP_PX = 10.0, TITLE_PX = 40.0;

typedef void (*DrawOne)(Rect rect, const HeartView *view);

static void draw_heart(Rect rect, const HeartView *view) {
    ui_heart_draw(&list, rect, view);
}

static void draw_gauges(Rect rect, const HeartView *view) {
    ui_capsules_draw(&list, ui_rect_cut_top(&rect, 150.0), view);
    (void)ui_rect_cut_top(&rect, 8.0);
    ui_comb_draw(&list, ui_rect_cut_top(&rect, 66.0), view);
    (void)ui_rect_cut_top(&rect, 8.0);
    ui_septum_ruler_draw(&list, ui_rect_cut_top(&rect, 70.0), view);
    (void)ui_rect_cut_top(&rect, 8.0);
    ui_flow_loop_draw(&list, rect, view);
}

/* The situations [first, first + count) in panels of one size, `full` of the way from systole to diastole. */
static void check_sheet(const char *name, DrawOne draw, int first, int count, double w, double h,
                        double full) {
    const Theme *theme = ui_theme_dark();
    Error error;
    int columns = count < COLUMNS ? count : COLUMNS, rows = (count + columns - 1) / columns;
    double width = columns * (w + GAP_PX) + GAP_PX, height = rows * (h + GAP_PX) + GAP_PX;
    Canvas *canvas = ui_raster_create((int)width, (int)height, 1.0, text, &error);
    ck_assert_ptr_nonnull(canvas);
    ui_raster_measure(canvas, &list);
    ui_draw_clear(&list);
    ui_draw_rect(&list, (Rect){0.0, 0.0, width, height}, 0.0, theme->window);
    for (int i = 0; i < count; i++) {
        const HeartSituation *s = &HEART_SITUATION[first + i];
        Rect panel = {GAP_PX + (i % columns) * (w + GAP_PX), GAP_PX + (i / columns) * (h + GAP_PX), w, h};
        HeartView view = heart_view(s, full);
        ui_draw_rect(&list, panel, PANEL_RADIUS, theme->panel);
        ui_draw_text_fit(&list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, theme->text1, panel.x + 14.0,
                         panel.y + 26.0, w - 28.0, s->title);
        Rect inner = ui_rect_inset(panel, 14.0, 10.0);
        (void)ui_rect_cut_top(&inner, TITLE_PX - 10.0);
        draw(inner, &view);
    }
    ck_assert(!list.failed);
    ui_raster_run(canvas, &list, 0, 0, (Rect){0.0, 0.0, width, height});
    golden_image_check(canvas, name);
    ui_raster_destroy(canvas);
}

START_TEST(heart_end_diastole_looks_as_kept) {
    check_sheet("heart_diastole", draw_heart, 0, HEART_SITUATIONS, 340.0, 430.0, 1.0);
}
END_TEST

START_TEST(heart_small_mid_beat_looks_as_kept) {
    check_sheet("heart_small", draw_heart, 0, HEART_SITUATIONS, 240.0, 320.0, 0.4);
}
END_TEST

START_TEST(heart_full_screen_looks_as_kept) {
    check_sheet("heart_large", draw_heart, 1, 1, 760.0, 940.0, 0.7);
}
END_TEST

START_TEST(gauges_look_as_kept) {
    check_sheet("heart_gauges", draw_gauges, 0, HEART_SITUATIONS, 340.0, 540.0, 1.0);
}
END_TEST

START_TEST(heart_not_shown_draws_nothing) {
    HeartView view = heart_view(&HEART_SITUATION[0], 1.0);
    Rect rect = {0.0, 0.0, 400.0, 500.0};
    view.shown = false;
    ui_draw_clear(&list);
    draw_heart(rect, &view);
    draw_gauges(rect, &view);
    ck_assert_uint_eq(list.command_count, 0);
}
END_TEST

/* Words of the list, one after another. */
static bool list_says(const char *words) {
    for (size_t i = 0; i < list.command_count; i++) {
        if (list.commands[i].kind == DRAW_TEXT && strstr(list.chars + list.commands[i].text, words) != NULL)
            return true;
    }
    return false;
}

START_TEST(heart_septum_shift_beyond_3_mm_is_written) {
    HeartView view = heart_view(&HEART_SITUATION[0], 1.0);
    Rect rect = {0.0, 0.0, 400.0, 500.0};
    view.septum_mm = view.septum_reference_mm - 2.5;
    ui_draw_clear(&list);
    draw_heart(rect, &view);
    ck_assert(!list_says("mm"));
    view.septum_mm = view.septum_reference_mm - 7.0;
    ui_draw_clear(&list);
    draw_heart(rect, &view);
    ck_assert(list_says("7 mm"));
}
END_TEST

static size_t count_kind(DrawKind kind, PatternKind pattern) {
    size_t n = 0;
    for (size_t i = 0; i < list.command_count; i++)
        n += list.commands[i].kind == kind &&
             (kind != DRAW_PATTERN || list.commands[i].pattern.kind == pattern);
    return n;
}

START_TEST(heart_fluid_is_dotted_and_clot_is_hatched) {
    Rect rect = {0.0, 0.0, 400.0, 500.0};
    for (int i = 0; i < HEART_SITUATIONS; i++) {
        HeartView view = heart_view(&HEART_SITUATION[i], 1.0);
        double clots_ml = 0.0;
        for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
            clots_ml += view.chamber[c].clot_ml;
        ui_draw_clear(&list);
        draw_heart(rect, &view);
        ck_assert_uint_eq(count_kind(DRAW_PATTERN, PATTERN_DOTS), view.pericardial_ml > 100.0 ? 1 : 0);
        ck_assert_uint_eq(count_kind(DRAW_PATTERN, PATTERN_HATCH), clots_ml > 0.0 ? 1 : 0);
    }
}
END_TEST

START_TEST(comb_counts_the_beats_that_opened) {
    Rect rect = {0.0, 0.0, 300.0, 66.0};
    HeartView view = heart_view(&HEART_SITUATION[0], 1.0);
    ui_draw_clear(&list);
    ui_comb_draw(&list, rect, &view);
    ck_assert(list_says("4 of 12 open"));
    view.beats = 5; /* the five oldest entries: two of them open */
    ui_draw_clear(&list);
    ui_comb_draw(&list, rect, &view);
    ck_assert(list_says("2 of 5 open"));
}
END_TEST

START_TEST(flow_loop_lungs_difference_has_its_sign) {
    Rect rect = {0.0, 0.0, 340.0, 180.0};
    HeartView view = heart_view(&HEART_SITUATION[3], 1.0);
    ui_draw_clear(&list);
    ui_flow_loop_draw(&list, rect, &view);
    ck_assert(list_says("+0.4"));
    view.lungs_l_min = -0.4;
    ui_draw_clear(&list);
    ui_flow_loop_draw(&list, rect, &view);
    ck_assert(list_says("\u22120.4"));
}
END_TEST

START_TEST(septum_ruler_says_which_way) {
    Rect rect = {0.0, 0.0, 340.0, 70.0};
    HeartView view = heart_view(&HEART_SITUATION[1], 1.0);
    ui_draw_clear(&list);
    ui_septum_ruler_draw(&list, rect, &view);
    ck_assert(list_says("11 mm toward LV"));
    view.septum_mm = view.septum_reference_mm + 6.0;
    ui_draw_clear(&list);
    ui_septum_ruler_draw(&list, rect, &view);
    ck_assert(list_says("6 mm toward RV"));
    view.septum_mm = view.septum_reference_mm;
    ui_draw_clear(&list);
    ui_septum_ruler_draw(&list, rect, &view);
    ck_assert(list_says("at reference"));
}
END_TEST

START_TEST(every_picture_stays_inside_its_rectangle) {
    /* commands outside a clip must keep to the rectangle; the heart clips itself */
    HeartView view = heart_view(&HEART_SITUATION[5], 1.0);
    Rect rect = {100.0, 200.0, 340.0, 502.0};
    ui_draw_clear(&list);
    draw_gauges(rect, &view);
    for (size_t i = 0; i < list.coord_count; i += 2) {
        ck_assert_msg(ui_rect_contains(ui_rect_inset(rect, -1.0, -1.0), list.coords[i], list.coords[i + 1]),
                      "path at %.1f %.1f", list.coords[i], list.coords[i + 1]);
    }
    for (size_t i = 0; i < list.command_count; i++) {
        const DrawCommand *c = &list.commands[i];
        if (c->kind != DRAW_RECT && c->kind != DRAW_FRAME && c->kind != DRAW_TEXT) continue;
        ck_assert_msg(ui_rect_contains(ui_rect_inset(rect, -1.0, -1.0), c->rect.x, c->rect.y), "command %zu",
                      i);
    }
}
END_TEST

START_TEST(missing_values_leave_no_broken_coordinate) {
    HeartView view = heart_view(&HEART_SITUATION[1], 1.0);
    Rect rect = {0.0, 0.0, 400.0, 540.0};
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        view.chamber[c] = (HeartChamber){NAN, c == HEART_LV ? 0.0 : NAN, NAN, NAN, NAN, NAN, NAN};
    for (int v = 0; v < HEART_VALVE_COUNT; v++)
        view.valve[v] = (HeartValve){NAN, NAN, NAN};
    view.septum_mm = view.septum_reference_mm = view.septum_low_mm = view.septum_high_mm = NAN;
    view.pericardial_ml = view.pericardial_reference_ml = NAN;
    view.left_pump.mean_l_min = view.left_pump.occlusion_frac = view.left_pump.travel = NAN;
    view.right_pump = view.left_pump;
    view.pump_l_min = view.native_l_min = view.right_l_min = view.lungs_l_min = NAN;
    view.mitral_leak_l_min = view.tricuspid_leak_l_min = view.aortic_leak_l_min = NAN;
    view.aortic_open_s[3] = NAN;
    view.time_s = NAN;
    ui_draw_clear(&list);
    draw_heart(rect, &view);
    draw_gauges(rect, &view);
    ck_assert_uint_gt(list.command_count, 20);
    for (size_t i = 0; i < list.coord_count; i++)
        ck_assert_msg(isfinite(list.coords[i]), "coordinate %zu", i);
    for (size_t i = 0; i < list.command_count; i++) {
        const Rect *r = &list.commands[i].rect;
        ck_assert_msg(isfinite(r->x) && isfinite(r->y) && isfinite(r->w) && isfinite(r->h), "command %zu", i);
    }
    ck_assert(!list_says("nan"));
}
END_TEST

START_TEST(drawing_again_allocates_nothing) {
    Rect rect = {0.0, 0.0, 400.0, 500.0};
    HeartView view = heart_view(&HEART_SITUATION[1], 1.0);
    ui_draw_clear(&list);
    draw_heart(rect, &view);
    draw_gauges(rect, &view);
    const void *commands = list.commands, *coords = list.coords, *chars = list.chars;
    size_t rooms = list.command_room + list.coord_room + list.verb_room + list.char_room;
    uint64_t hash = ui_draw_hash(&list, 0, 0);
    ui_draw_clear(&list);
    draw_heart(rect, &view);
    draw_gauges(rect, &view);
    ck_assert_ptr_eq(list.commands, commands);
    ck_assert_ptr_eq(list.coords, coords);
    ck_assert_ptr_eq(list.chars, chars);
    ck_assert_uint_eq(list.command_room + list.coord_room + list.verb_room + list.char_room, rooms);
    ck_assert_uint_eq(ui_draw_hash(&list, 0, 0), hash);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("heart_sheet");
    TCase *c = tcase_create("pictures");
    tcase_add_checked_fixture(c, open_all, close_all);
    tcase_add_test(c, heart_end_diastole_looks_as_kept);
    tcase_add_test(c, heart_small_mid_beat_looks_as_kept);
    tcase_add_test(c, heart_full_screen_looks_as_kept);
    tcase_add_test(c, gauges_look_as_kept);
    tcase_add_test(c, heart_not_shown_draws_nothing);
    tcase_add_test(c, heart_septum_shift_beyond_3_mm_is_written);
    tcase_add_test(c, heart_fluid_is_dotted_and_clot_is_hatched);
    tcase_add_test(c, comb_counts_the_beats_that_opened);
    tcase_add_test(c, flow_loop_lungs_difference_has_its_sign);
    tcase_add_test(c, septum_ruler_says_which_way);
    tcase_add_test(c, every_picture_stays_inside_its_rectangle);
    tcase_add_test(c, missing_values_leave_no_broken_coordinate);
    tcase_add_test(c, drawing_again_allocates_nothing);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
