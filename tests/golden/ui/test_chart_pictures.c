/* The chart against kept draw lists and pictures, without a display: every tab, the sizes, a light theme with
   other units, eight plots on the smallest screen. */
#include "tests/support/chart_views.h"
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/golden_text.h"
#include "ui/screen.h"

#define HOUR_S 3600.0

static Screen screen;
static ChartState chart;

static void start(int width_px, int height_px, double scale, double hours) {
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, width_px, height_px, scale, &error), ERROR_OK);
    chart_example(&chart, hours * HOUR_S);
}

static void draw(void) {
    static BedsideView view;
    ScreenFrame frame = {.view = &view,
                         .sheet = &UI_CHART_SHEET,
                         .sheet_state = &chart,
                         .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    ui_screen_frame(&screen, &frame, &intents);
    ck_assert(!screen.list.failed);
}

static void check_list(const char *name) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    ui_draw_dump(&screen.list, 0, 0, out);
    fclose(out);
    golden_text_check(text, name);
    free(text);
}

static void finish(const char *picture) {
    golden_image_check(screen.canvas, picture);
    ui_screen_free(&screen);
}

static void part(ChartPart which, double amount) {
    ui_chart_apply(&chart, which, amount);
}

START_TEST(flow_sheet_at_1280x800) {
    start(1280, 800, 1.0, 6.1);
    draw();
    check_list("chart_sheet_1280x800.txt");
    finish("chart_sheet_1280x800");
}
END_TEST

START_TEST(flow_sheet_at_1920x1080_lower_rows) {
    start(1920, 1080, 1.0, 4.0);
    part(CHART_PART_TOP, 24.0);
    part(CHART_PART_ROW, 36.0);
    draw();
    finish("chart_sheet_1920x1080");
}
END_TEST

START_TEST(flow_sheet_at_scale_2) {
    start(1920, 1080, 2.0, 6.1);
    draw();
    finish("chart_sheet_960x540_scale2");
}
END_TEST

START_TEST(plots_at_1280x800) {
    start(1280, 800, 1.0, 6.1);
    part(CHART_PART_TAB, CHART_TAB_PLOTS);
    part(CHART_PART_SPAN, 2.0);
    part(CHART_PART_CURSOR, 2.2 * HOUR_S);
    draw();
    check_list("chart_plots_1280x800.txt");
    finish("chart_plots_1280x800");
}
END_TEST

START_TEST(plots_of_24_hours_at_1920x1080) {
    start(1920, 1080, 1.0, 24.0);
    part(CHART_PART_TAB, CHART_TAB_PLOTS);
    part(CHART_PART_SPAN, 3.0);
    draw();
    finish("chart_plots_1920x1080_24h");
}
END_TEST

START_TEST(eight_plots_at_scale_2) {
    start(1920, 1080, 2.0, 3.0);
    part(CHART_PART_TAB, CHART_TAB_PLOTS);
    part(CHART_PART_SPAN, 3.0);
    part(CHART_PART_TOGGLE, 0.0);
    part(CHART_PART_TOGGLE, 1.0);
    chart_plots_fill(&chart);
    part(CHART_PART_PICKER, 0.0);
    draw();
    finish("chart_plots_960x540_scale2");
}
END_TEST

START_TEST(light_theme_and_kilopascal) {
    start(1280, 800, 1.0, 6.1);
    ui_settings_set(&screen.settings, SETTING_theme, THEME_LIGHT);
    ui_settings_set(&screen.settings, SETTING_pressure, 1);
    part(CHART_PART_TAB, CHART_TAB_PLOTS);
    part(CHART_PART_SPAN, 2.0);
    draw();
    finish("chart_plots_light");
}
END_TEST

START_TEST(results_and_log) {
    start(1280, 800, 1.0, 6.1);
    part(CHART_PART_TAB, CHART_TAB_RESULTS);
    draw();
    finish("chart_results");
    start(1280, 800, 1.0, 6.1);
    part(CHART_PART_TAB, CHART_TAB_LOG);
    part(CHART_PART_FILTER, FLOW_MARK_ALARM);
    draw();
    check_list("chart_log_1280x800.txt");
    finish("chart_log");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("chart pictures");
    TCase *c = tcase_create("pictures");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, flow_sheet_at_1280x800);
    tcase_add_test(c, flow_sheet_at_1920x1080_lower_rows);
    tcase_add_test(c, flow_sheet_at_scale_2);
    tcase_add_test(c, plots_at_1280x800);
    tcase_add_test(c, plots_of_24_hours_at_1920x1080);
    tcase_add_test(c, eight_plots_at_scale_2);
    tcase_add_test(c, light_theme_and_kilopascal);
    tcase_add_test(c, results_and_log);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
