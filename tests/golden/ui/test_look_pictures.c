/* The look against kept pictures and draw lists: every view at full size with its grain, all views of five
   patients as diagrams, small screens, no probe. Set EVENKEEL_GOLDEN_OUT to a folder to look at what differs.
 */
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/golden_text.h"
#include "tests/support/look_views.h"
#include "ui/look_parts.h"
#include "ui/screen.h"

#include <stdio.h>
#include <string.h>

static Screen screen;
static LookSheet sheet;

/* Moments at which the views are told apart best. */
static const double PHASE[LOOK_PAGES] = {0.24, 0.98, 0.20, 0.10, 0.30};
static const char *const PAGE[LOOK_PAGES] = {"four", "short", "valve", "sac", "inflow"};

static void start(int width_px, int height_px) {
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, width_px, height_px, 1.0, &error), ERROR_OK);
}

static void draw(void) {
    ScreenFrame frame = {
        .sheet = &UI_LOOK_SHEET, .sheet_state = &sheet, .input = {.x_px = -1.0, .y_px = -1.0}};
    static BedsideView view;
    Intents intents = {0};
    frame.view = &view;
    ui_screen_frame(&screen, &frame, &intents);
    ck_assert(!screen.list.failed);
    ck_assert_int_eq(intents.count, 0);
}

static void check(const char *name) {
    draw();
    golden_image_check(screen.canvas, name);
    ui_screen_free(&screen);
}

/* Which patient shows each view at full size. */
START_TEST(views_look_as_kept) {
    static const LookExample WHO[LOOK_PAGES] = {LOOK_RV_FAILURE, LOOK_RV_FAILURE, LOOK_SUPPORTED,
                                                LOOK_TAMPONADE, LOOK_SUCTION};
    char name[64];
    start(1280, 800);
    look_example(&sheet, WHO[_i], (LookPage)_i, PHASE[_i]);
    draw();
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    ui_draw_dump(&screen.list, 0, 0, out);
    fclose(out);
    snprintf(name, sizeof name, "look_%s.txt", PAGE[_i]);
    golden_text_check(text, name);
    free(text);
    snprintf(name, sizeof name, "look_%s", PAGE[_i]);
    check(name);
}
END_TEST

START_TEST(big_screen_looks_as_kept) {
    start(1920, 1080);
    look_example(&sheet, LOOK_SUPPORTED, LOOK_PAGE_FOUR, 0.6);
    sheet.plain = true;
    check("look_1920x1080");
}
END_TEST

/* All views of one patient on one sheet, at half the size. */
START_TEST(patients_look_as_kept) {
    enum { COLUMNS = 3, WIDTH = 1280, HEIGHT = 720 };
    const double scale = 0.5;
    Error error;
    FontSet fonts;
    ck_assert_int_eq(ui_fonts_find(&fonts, &error), ERROR_OK);
    Text *text = ui_text_create(&fonts, &error);
    ck_assert_ptr_nonnull(text);
    Canvas *whole = ui_raster_create(COLUMNS * WIDTH / 2, HEIGHT, scale, text, &error);
    ck_assert_ptr_nonnull(whole);
    static DrawList list;
    static Ui ui;
    static Painter painter;
    Input input = {.x_px = -1.0, .y_px = -1.0};
    for (int page = 0; page <= LOOK_PAGES; page++) {
        Intents intents = {0};
        Rect at = {(page % COLUMNS) * (double)WIDTH, (page / COLUMNS) * (double)HEIGHT, WIDTH, HEIGHT};
        ui_raster_measure(whole, &list);
        ui_widgets_begin(&ui, &list, ui_theme_dark(), &input);
        look_example(&sheet, (LookExample)_i, (LookPage)(page % LOOK_PAGES),
                     page < LOOK_PAGES ? PHASE[page] : 0.98);
        sheet.plain = true;
        ui_look_draw(&ui, at, &sheet, &intents);
        ui_widgets_end(&ui);
        ui_painter_begin(&painter);
        ui_painter_always(&painter, whole, &list);
    }
    char name[64];
    snprintf(name, sizeof name, "look_patient_%s", LOOK_EXAMPLE_NAME[_i]);
    golden_image_check(whole, name);
    ui_draw_free(&list);
    ui_raster_destroy(whole);
    ui_text_destroy(text);
}
END_TEST

START_TEST(small_screens_look_as_kept) {
    static const struct {
        int width_px, height_px;
        LookPage page;
        bool gauges;
        const char *name;
    } SMALL[] = {{960, 540, LOOK_PAGE_SHORT, false, "look_960x540"},
                 {960, 540, LOOK_PAGE_SHORT, true, "look_960x540_gauges"},
                 {640, 400, LOOK_PAGE_SAC, false, "look_640x400"}};
    start(SMALL[_i].width_px, SMALL[_i].height_px);
    look_example(&sheet, LOOK_TAMPONADE, SMALL[_i].page, 0.1);
    sheet.gauges = SMALL[_i].gauges;
    check(SMALL[_i].name);
}
END_TEST

START_TEST(frozen_with_calliper_looks_as_kept) {
    start(1280, 800);
    look_example(&sheet, LOOK_HEALTHY, LOOK_PAGE_SHORT, 0.98);
    sheet.plain = sheet.frozen = sheet.measuring = sheet.marked = true;
    sheet.tags = false;
    sheet.mark[0] = (HeartPoint){-24.0, 0.0};
    sheet.mark[1] = (HeartPoint){24.0, 4.0};
    check("look_frozen");
}
END_TEST

START_TEST(no_probe_looks_as_kept) {
    start(1280, 800);
    look_example(&sheet, LOOK_HEALTHY, LOOK_PAGE_FOUR, 0.5);
    sheet.picture = false;
    sheet.heart.absence = HEART_COMING;
    sheet.heart.absent_s = 160.0;
    ui_look_words(&sheet.heart, sheet.words, sheet.detail);
    check("look_waiting");
}
END_TEST

START_TEST(light_theme_looks_as_kept) {
    start(1280, 800);
    screen.settings.value[SETTING_theme] = THEME_LIGHT;
    look_example(&sheet, LOOK_SUPPORTED, LOOK_PAGE_FOUR, 0.24);
    check("look_light");
}
END_TEST

/* A second frame of the same picture paints nothing; the next moment paints the picture but no gauge. */
START_TEST(frame_repaints_what_moved) {
    start(1280, 800);
    look_example(&sheet, LOOK_SUPPORTED, LOOK_PAGE_FOUR, 0.24);
    draw();
    draw();
    ck_assert_int_eq(screen.painter.dirties, 0);
    sheet.at += 8;
    ui_look_settle(&sheet);
    draw();
    ck_assert_int_eq(screen.painter.dirties, 1);
    ck_assert(ui_painter_painted(&screen.painter, LOOK_REGION_BODY));
    ui_screen_free(&screen);
}
END_TEST

/* What is kept and copied is what would be drawn. */
START_TEST(kept_ground_is_the_drawn_one) {
    start(1280, 800);
    look_example(&sheet, LOOK_SUPPORTED, LOOK_PAGE_FOUR, 0.24);
    draw();
    int stride = ui_raster_stride(screen.canvas), rows = ui_raster_height(screen.canvas);
    size_t bytes = (size_t)stride * (size_t)rows * sizeof(uint32_t);
    uint32_t *first = malloc(bytes);
    ck_assert_ptr_nonnull(first);
    memcpy(first, ui_raster_pixels(screen.canvas), bytes);
    sheet.at += 8;
    ui_look_settle(&sheet);
    draw();
    ck_assert_int_ne(memcmp(first, ui_raster_pixels(screen.canvas), bytes), 0);
    sheet.at -= 8;
    ui_look_settle(&sheet);
    draw();
    ck_assert_int_eq(memcmp(first, ui_raster_pixels(screen.canvas), bytes), 0);
    free(first);
    ui_screen_free(&screen);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("look pictures");
    TCase *c = tcase_create("pictures");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, views_look_as_kept, 0, LOOK_PAGES);
    tcase_add_test(c, big_screen_looks_as_kept);
    tcase_add_loop_test(c, patients_look_as_kept, 0, LOOK_EXAMPLES);
    tcase_add_loop_test(c, small_screens_look_as_kept, 0, 3);
    tcase_add_test(c, frozen_with_calliper_looks_as_kept);
    tcase_add_test(c, no_probe_looks_as_kept);
    tcase_add_test(c, light_theme_looks_as_kept);
    tcase_add_test(c, frame_repaints_what_moved);
    tcase_add_test(c, kept_ground_is_the_drawn_one);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
