/* The alarm strip, tiles and the bedside under alarm against kept draw lists and pictures, without a display.
 */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/golden_text.h"
#include "ui/alarm_strip.h"
#include "ui/screen.h"
#include "ui/tiles.h"

#include <string.h>

#define LIT_S  0.1 /* moments at which blocks of both flashing priorities are lit, and dark */
#define DARK_S 1.3

static BedsideView view;
static Sweep sweep[LANE_COUNT];
static Screen screen;

static AlarmStrip strip_of(int priority, bool known, bool over) {
    static const char *const text[] = {"", "Pump flow low", "MAP low", "MAP very low"};
    AlarmStrip strip = {.lines = 1, .count = 2, .first = 1};
    AlarmLine *line = &strip.line[0];
    *line = (AlarmLine){.id = priority, .priority = priority, .known = known, .over = over};
    snprintf(line->text, sizeof line->text, "%s", text[priority]);
    snprintf(line->detail, sizeof line->detail, "46 mmHg, limit 50 \u00b7 0:48");
    return strip;
}

static void dump_strip(FILE *out, const char *title, double time_s, double width_px) {
    static Ui ui;
    DrawList list;
    Input input = {.x_px = -1.0, .y_px = -1.0};
    Intents intents = {0};
    ui_draw_init(&list);
    ui_widgets_begin(&ui, &list, ui_theme_dark(), &input);
    ui.time_s = time_s;
    ui_alarm_strip_draw(&ui, &view, (Rect){0.0, 0.0, width_px, 44.0}, &intents);
    ui_widgets_end(&ui);
    fprintf(out, "# %s\n", title);
    ui_draw_dump(&list, 0, 0, out);
    ui_draw_free(&list);
}

START_TEST(alarm_strip_looks_as_kept) {
    static const char *const words[] = {"", "low", "medium", "high"};
    char *text = NULL, title[80];
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    memset(&view, 0, sizeof view);
    dump_strip(out, "calm", LIT_S, 420.0);
    view.outside = 3;
    dump_strip(out, "calm, three values outside their targets", LIT_S, 420.0);
    for (int priority = 1; priority <= 3; priority++) {
        for (int state = 0; state < 4; state++) {
            static const char *const states[] = {"lit", "dark", "acknowledged", "over"};
            view.alarms = strip_of(priority, state == 2, state == 3);
            snprintf(title, sizeof title, "%s priority, %s", words[priority], states[state]);
            dump_strip(out, title, state == 1 ? DARK_S : LIT_S, 420.0);
        }
    }
    view.alarms.pause_left_s = 92.0;
    dump_strip(out, "sound paused, narrow", LIT_S, 420.0);
    dump_strip(out, "sound paused, wide", LIT_S, 1000.0);
    view.alarms.silent = true;
    view.alarms.pause_left_s = 0.0;
    dump_strip(out, "silent", LIT_S, 1000.0);
    fclose(out);
    golden_text_check(text, "alarm_strip.txt");
    free(text);
}
END_TEST

START_TEST(alarm_tiles_look_as_kept) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    for (int k = 0; k < 8; k++) {
        DrawList list;
        Reading r = bedside_reading("MAP", "mmHg", 58.0, 0, 40.0, 110.0, 65.0, 85.0, -13.0);
        ui_draw_init(&list);
        bedside_alarm(&r, k % 4, k % 4 == 0 ? "" : "low");
        r.known = k >= 4;
        r.outside = k < 4;
        fprintf(out, "# priority %d%s\n", k % 4, r.known ? ", acknowledged" : "");
        ui_tiles_large(&list, ui_theme_dark(), &r, SIDE_LEFT, (Rect){0.0, 0.0, 270.0, 100.0});
        ui_tiles_medium(&list, ui_theme_dark(), &r, SIDE_LEFT, (Rect){0.0, 110.0, 150.0, 110.0});
        ui_tiles_small(&list, ui_theme_dark(), &r, (Rect){0.0, 230.0, 80.0, 92.0});
        ui_draw_dump(&list, 0, 0, out);
        ui_draw_free(&list);
    }
    fclose(out);
    golden_text_check(text, "alarm_tiles.txt");
    free(text);
}
END_TEST

/* The example under a high alarm with a second one, at a moment of its flash. */
static void check_picture(int width_px, int height_px, double time_s, bool light, const char *name) {
    Error error;
    Intents intents = {0};
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, width_px, height_px, 1.0, &error), ERROR_OK);
    if (light) ui_settings_set(&screen.settings, SETTING_theme, THEME_LIGHT);
    bedside_example(&view, sweep, screen.columns);
    view.alarms.line[0] = strip_of(3, false, false).line[0];
    view.alarms.line[1] = strip_of(2, true, false).line[0];
    snprintf(view.alarms.line[1].text, sizeof view.alarms.line[1].text, "HR high");
    snprintf(view.alarms.line[1].detail, sizeof view.alarms.line[1].detail,
             "134 /min, limit 130 \u00b7 4:02");
    view.alarms.pause_left_s = 0.0;
    bedside_alarm(&view.lane[LANE_ARTERY].value, 3, "low");
    bedside_alarm(&view.lane[LANE_ECG].value, 2, "high");
    view.lane[LANE_ECG].value.known = true;
    ScreenFrame frame = {.view = &view, .input = {.x_px = -1.0, .y_px = -1.0}, .time_s = time_s};
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = &sweep[i];
    ui_screen_frame(&screen, &frame, &intents);
    golden_image_check(screen.canvas, name);
    ui_screen_free(&screen);
}

START_TEST(alarm_bedside_lit_looks_as_kept) {
    check_picture(1280, 800, LIT_S, false, "alarm_high_1280x800");
}
END_TEST

START_TEST(alarm_bedside_dark_looks_as_kept) {
    check_picture(1920, 1080, DARK_S, false, "alarm_high_dark_1920x1080");
}
END_TEST

START_TEST(alarm_bedside_light_theme_looks_as_kept) {
    check_picture(1280, 800, LIT_S, true, "alarm_high_light");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("alarm screens");
    TCase *t = tcase_create("alarm screens");
    tcase_add_test(t, alarm_strip_looks_as_kept);
    tcase_add_test(t, alarm_tiles_look_as_kept);
    tcase_add_test(t, alarm_bedside_lit_looks_as_kept);
    tcase_add_test(t, alarm_bedside_dark_looks_as_kept);
    tcase_add_test(t, alarm_bedside_light_theme_looks_as_kept);
    suite_add_tcase(s, t);
    return s;
}

CHECK_MAIN(suite)
