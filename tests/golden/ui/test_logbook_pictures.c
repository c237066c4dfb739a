/* The logbook's sheet as kept pictures: usual, large, light, high contrast, compact, and while a name is
 * typed. */
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/logbook_sheets.h"
#include "ui/screen.h"

#include <stdlib.h>

static const struct {
    const char *name;
    int width_px, height_px;
    double scale;
    ThemeKind theme;
    int tab;
    LogbookMode mode;
} PICTURES[] = {
    {"logbook", 1280, 800, 1.0, THEME_DARK, 0, LOGBOOK_MODE_NONE},
    {"logbook_large", 1920, 1080, 1.0, THEME_DARK, 0, LOGBOOK_MODE_NONE},
    {"logbook_light", 1280, 800, 1.0, THEME_LIGHT, 0, LOGBOOK_MODE_EXPORT},
    {"logbook_contrast", 1280, 800, 1.0, THEME_HIGH_CONTRAST, 0, LOGBOOK_MODE_NONE},
    {"logbook_compact_nights", 960, 540, 1.0, THEME_DARK, 0, LOGBOOK_MODE_NAME},
    {"logbook_compact_figures", 960, 540, 1.0, THEME_DARK, 1, LOGBOOK_MODE_NONE},
};

START_TEST(logbook_looks_as_kept) {
    Error error;
    Screen *screen = calloc(1, sizeof *screen);
    LogbookSheet *sheet = calloc(1, sizeof *sheet);
    ck_assert_int_eq(ui_screen_start(screen, &error), ERROR_OK);
    ui_settings_set(&screen->settings, SETTING_theme, (int)PICTURES[_i].theme);
    ck_assert_int_eq(
        ui_screen_resize(screen, PICTURES[_i].width_px, PICTURES[_i].height_px, PICTURES[_i].scale, &error),
        ERROR_OK);
    screen->settings.value[SETTING_reduced_motion] = 1; /* the caret does not blink */
    logbook_sheet_fill(sheet, 26);
    sheet->row = 2;
    sheet->tab = PICTURES[_i].tab;
    sheet->mode = PICTURES[_i].mode;
    if (sheet->mode == LOGBOOK_MODE_EXPORT)
        ui_textfield_set(&sheet->field, "/home/robin/nights-20261125.tar");
    ScreenFrame frame = {
        .sheet = &UI_LOGBOOK_SHEET, .sheet_state = sheet, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    ui_screen_frame(screen, &frame, &intents);
    ck_assert(!screen->list.failed);
    golden_image_check(screen->canvas, PICTURES[_i].name);
    ui_screen_free(screen);
    free(screen);
    free(sheet);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("logbook pictures");
    TCase *c = tcase_create("pictures");
    tcase_set_timeout(c, 60);
    tcase_add_loop_test(c, logbook_looks_as_kept, 0, (int)(sizeof PICTURES / sizeof PICTURES[0]));
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
