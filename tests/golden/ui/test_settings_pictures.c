/* The bedside in every theme and in the compact arrangement, the sheet of settings and the tour, as kept
 * pictures. */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "ui/screen.h"

#include <stdlib.h>

static BedsideView view;
static Sweep sweep[LANE_COUNT];
static Screen screen;

static void start(int width_px, int height_px, double scale, ThemeKind theme) {
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ui_settings_set(&screen.settings, SETTING_theme, (int)theme);
    ck_assert_int_eq(ui_screen_resize(&screen, width_px, height_px, scale, &error), ERROR_OK);
    bedside_example(&view, sweep, screen.columns);
}

static void draw(const SheetKind *sheet, const void *state) {
    ScreenFrame frame = {
        .view = &view, .sheet = sheet, .sheet_state = state, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = &sweep[i];
    ui_screen_frame(&screen, &frame, &intents);
    ck_assert(!screen.list.failed);
}

START_TEST(themes_look_as_kept) {
    static const char *const NAME[THEME_COUNT] = {"bedside_dark", "bedside_light", "bedside_contrast"};
    start(1280, 800, 1.0, (ThemeKind)_i);
    draw(NULL, NULL);
    golden_image_check(screen.canvas, NAME[_i]);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(panels_of_the_compact_arrangement_look_as_kept) {
    static const char *const NAME[PANEL_COUNT] = {"compact_numbers", "compact_heart", "compact_orders",
                                                  "compact_words"};
    start(640, 400, 1.0, THEME_DARK);
    screen.panel = (BedsidePanel)_i;
    draw(NULL, NULL);
    golden_image_check(screen.canvas, NAME[_i]);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(sheets_look_as_kept) {
    static const SheetId SHEETS[] = {SHEET_SETTINGS, SHEET_TOUR};
    static const char *const NAME[] = {"sheet_settings", "sheet_tour"};
    const SheetKind *kind = ui_sheets_kind(SHEETS[_i]);
    void *state = calloc(1, kind->state_size);
    ck_assert_ptr_nonnull(state);
    start(1280, 800, 1.0, THEME_DARK);
    draw(kind, state);
    golden_image_check(screen.canvas, NAME[_i]);
    free(state);
    ui_screen_free(&screen);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("settings pictures");
    TCase *c = tcase_create("pictures");
    tcase_set_timeout(c, 60);
    tcase_add_loop_test(c, themes_look_as_kept, 0, THEME_COUNT);
    tcase_add_loop_test(c, panels_of_the_compact_arrangement_look_as_kept, 0, PANEL_COUNT);
    tcase_add_loop_test(c, sheets_look_as_kept, 0, 2);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
