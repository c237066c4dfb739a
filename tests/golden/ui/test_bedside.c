/* The bedside and its cards against kept draw lists and pictures, without a display. */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/golden_text.h"
#include "tests/support/night_case.h"
#include "ui/screen.h"

#include <stdbool.h>

static BedsideView view;
static Sweep sweep[LANE_COUNT];
static Screen screen;

static void start_screen(int width_px, int height_px, double scale) {
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, width_px, height_px, scale, &error), ERROR_OK);
    bedside_example(&view, sweep, screen.columns);
}

static void draw(const OverlayView *overlay, bool night) {
    ScreenFrame frame = {
        .view = night ? &view : NULL, .overlay = overlay, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = &sweep[i];
    ui_screen_frame(&screen, &frame, &intents);
    ck_assert(!screen.list.failed);
}

/* The commands but the heart and its gauges, which have sheets of their own. */
static void check_list(const char *name) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    for (size_t i = 0, end; i < screen.list.command_count; i = end) {
        end = ui_draw_region_end(&screen.list, i);
        int id = screen.list.commands[i].id;
        if (id != REGION_HEART && id != REGION_GAUGES) ui_draw_dump(&screen.list, i, end - i, out);
    }
    fclose(out);
    golden_text_check(text, name);
    free(text);
}

START_TEST(bedside_at_1920x1080_looks_as_kept) {
    start_screen(1920, 1080, 1.0);
    draw(NULL, true);
    check_list("bedside_1920x1080.txt");
    golden_image_check(screen.canvas, "bedside_1920x1080");
    ui_screen_free(&screen);
}
END_TEST

START_TEST(bedside_at_1280x800_looks_as_kept) {
    start_screen(1280, 800, 1.0);
    draw(NULL, true);
    check_list("bedside_1280x800.txt");
    golden_image_check(screen.canvas, "bedside_1280x800");
    ui_screen_free(&screen);
}
END_TEST

START_TEST(bedside_at_scale_2_looks_as_kept) {
    start_screen(3200, 1800, 2.0);
    draw(NULL, true);
    golden_image_check(screen.canvas, "bedside_3200x1800_scale2");
    ui_screen_free(&screen);
}
END_TEST

START_TEST(bedside_at_high_time_rate_shows_bands) {
    start_screen(1280, 800, 1.0);
    view.time_rate = 60.0;
    for (int lane = 0; lane < LANE_COUNT; lane++) {
        ui_traces_reset(&sweep[lane], screen.columns);
        for (double t_s = 0.0; t_s < 60.0 * 8.5 * 1.69; t_s += 0.004)
            ui_traces_add(&sweep[lane], (int64_t)(t_s / (60.0 * view.sweep_s) * screen.columns),
                          bedside_wave(lane, t_s), screen.columns / UI_TRACES_GAP_SHARE);
    }
    draw(NULL, true);
    golden_image_check(screen.canvas, "bedside_fast");
    ui_screen_free(&screen);
}
END_TEST

START_TEST(cards_look_as_kept) {
    static const struct {
        OverlayKind kind;
        const char *name;
    } CARD[] = {{OVERLAY_CAUTION, "card_caution"}, {OVERLAY_HANDOVER, "card_handover"},
                {OVERLAY_HELP, "card_keys"},       {OVERLAY_MESSAGES, "card_messages"},
                {OVERLAY_ACTIONS, "card_orders"},  {OVERLAY_END, "card_end"}};
    static OverlayView overlay;
    Case *file = night_case();
    overlay = (OverlayView){.kind = CARD[_i].kind, .handover = &file->handover, .case_title = file->title};
    snprintf(overlay.title, sizeof overlay.title, "The night is over");
    snprintf(overlay.text, sizeof overlay.text,
             "The patient is awake and warm, and the morning team has come.");
    start_screen(1280, 800, 1.0);
    draw(&overlay, overlay.kind == OVERLAY_MESSAGES || overlay.kind == OVERLAY_ACTIONS);
    golden_image_check(screen.canvas, CARD[_i].name);
    ui_screen_free(&screen);
    sim_case_free(file);
}
END_TEST

START_TEST(list_of_cases_looks_as_kept) {
    static OverlayView overlay;
    overlay.kind = OVERLAY_CASES;
    overlay.entries = 3;
    overlay.chosen = 1;
    for (int i = 0; i < 3; i++) {
        CaseEntry *e = &overlay.entry[i];
        *e = (CaseEntry){.level = i + 1, .length_s = 7200.0 * (i + 1), .readable = i < 2};
        snprintf(e->title, sizeof e->title, "Invented case %d", i + 1);
        snprintf(e->theme, sizeof e->theme, "titration");
        snprintf(e->summary, sizeof e->summary, "%s",
                 i < 2 ? "Two sentences about the case. They give nothing away."
                       : "broken.yaml:3:1: unknown key 'levl'; nearest: level");
    }
    start_screen(1280, 800, 1.0);
    draw(&overlay, false);
    golden_image_check(screen.canvas, "card_cases");
    ui_screen_free(&screen);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("bedside");
    TCase *c = tcase_create("pictures");
    tcase_set_timeout(c, 60);
    tcase_add_test(c, bedside_at_1920x1080_looks_as_kept);
    tcase_add_test(c, bedside_at_1280x800_looks_as_kept);
    tcase_add_test(c, bedside_at_scale_2_looks_as_kept);
    tcase_add_test(c, bedside_at_high_time_rate_shows_bands);
    tcase_add_loop_test(c, cards_look_as_kept, 0, 6);
    tcase_add_test(c, list_of_cases_looks_as_kept);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
