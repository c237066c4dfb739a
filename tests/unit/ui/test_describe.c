/* A screen in words: everything that is shown is said, in the order it is read, and every control with its
 * name. */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "ui/describe.h"
#include "ui/screen.h"

#include <stdlib.h>
#include <string.h>

static BedsideView view;
static Sweep sweep[LANE_COUNT];
static Screen screen;
static const Input NOTHING = {.x_px = -1.0, .y_px = -1.0};

static void start(int width_px, int height_px, double scale) {
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, width_px, height_px, scale, &error), ERROR_OK);
    bedside_example(&view, sweep, screen.columns);
}

static char *draw(const OverlayView *overlay, const Input *input) {
    ScreenFrame frame = {.view = &view, .overlay = overlay, .input = *input};
    Intents intents = {0};
    ui_screen_frame(&screen, &frame, &intents);
    char *text = ui_describe_text(&screen.ui);
    ck_assert_ptr_nonnull(text);
    return text;
}

static void says(const char *text, const char *words) {
    ck_assert_msg(strstr(text, words) != NULL, "'%s' is not in:\n%s", words, text);
}

START_TEST(bedside_says_values_with_units_marks_and_controls) {
    start(1920, 1080, 1.0);
    char *text = draw(NULL, &NOTHING);
    const char *const words[] = {"02:14:37",
                                 "Value: MAP mmHg 64/53 !! 58 low",
                                 "[tab] F3 Drugs (chosen)",
                                 "[row] Milrinone 0.00 0.25 mcg/kg/min not started (chosen)",
                                 "[button] more: Milrinone",
                                 "[button] slower (not available)",
                                 "[button] Confirm",
                                 "[button] all messages",
                                 "Nurse",
                                 "Crystalloid 250 mL, over 10 min",
                                 "Lactate, 3.4",
                                 "TRAINING ONLY",
                                 "not for patient care"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        says(text, words[i]);
    free(text);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(order_is_that_of_the_eye) {
    start(1920, 1080, 1.0);
    char *text = draw(NULL, &NOTHING);
    const char *const words[] = {"02:14:37",  "ECG II", "ART",  "Airway", "[tab] F1 Pump",
                                 "Milrinone", "Speed",  "SpO2", "Nurse"};
    const char *at = text;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        at = strstr(at, words[i]);
        ck_assert_msg(at != NULL, "'%s' is missing or out of order in:\n%s", words[i], text);
    }
    free(text);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(under_a_card_only_the_card_is_told) {
    static OverlayView help = {.kind = OVERLAY_HELP};
    start(1280, 800, 1.0);
    char *text = draw(&help, &NOTHING);
    says(text, "Space");
    says(text, "[button] Close");
    ck_assert_ptr_null(strstr(text, "Milrinone"));
    free(text);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(focus_is_told_and_moves_with_tab) {
    Input tab = {.x_px = -1.0, .y_px = -1.0, .keys = 1, .key = {{KEY_TAB, false, 0}}};
    char focus[256], before[256] = "";
    start(1280, 800, 1.0);
    free(draw(NULL, &NOTHING));
    for (int i = 0; i < 4; i++) {
        free(draw(NULL, &tab));
        ui_describe_focus(&screen.ui, focus, sizeof focus);
        ck_assert_str_ne(focus, "");
        ck_assert_str_ne(focus, before);
        snprintf(before, sizeof before, "%s", focus);
    }
    char *text = draw(NULL, &NOTHING);
    says(text, "(focus)");
    free(text);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(what_is_scrolled_away_is_not_told) {
    static OverlayView help = {.kind = OVERLAY_HELP};
    start(1280, 800, 2.0);
    char *top = draw(&help, &NOTHING);
    help.scroll_px = 1e6;
    char *end = draw(&help, &NOTHING);
    says(top, "F1");
    says(end, "this list");
    ck_assert_ptr_null(strstr(top, "this list"));
    ck_assert_ptr_null(strstr(end, "orders: pump"));
    free(top);
    free(end);
    help.scroll_px = 0.0;
    ui_screen_free(&screen);
}
END_TEST

START_TEST(every_control_of_the_bedside_has_a_name) {
    static const double SIZES[][3] = {{1920, 1080, 1.0}, {1280, 800, 1.0}, {1280, 800, 2.0}};
    start((int)SIZES[_i][0], (int)SIZES[_i][1], SIZES[_i][2]);
    char *text = draw(NULL, &NOTHING);
    for (char *place = NULL, *line = strtok_r(text, "\n", &place); line != NULL;
         line = strtok_r(NULL, "\n", &place)) {
        const char *end = strstr(line, "] ");
        if (line[0] != '[' || end == NULL) continue;
        ck_assert_msg(end[2] != '\0' && end[2] != '(', "a control without a name: %s", line);
    }
    free(text);
    ui_screen_free(&screen);
}
END_TEST

START_TEST(decimal_comma_holds_for_every_number) {
    start(1280, 800, 1.0);
    screen.settings.value[SETTING_decimal] = 1;
    char *text = draw(NULL, &NOTHING);
    says(text, "3,1");
    for (const char *c = text + 1; *c != '\0'; c++)
        ck_assert_msg(!(c[0] == '.' && c[-1] >= '0' && c[-1] <= '9' && c[1] >= '0' && c[1] <= '9'),
                      "a decimal point is left at: %.20s", c - 1);
    free(text);
    ui_screen_free(&screen);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("describe");
    TCase *c = tcase_create("words");
    tcase_add_test(c, bedside_says_values_with_units_marks_and_controls);
    tcase_add_test(c, order_is_that_of_the_eye);
    tcase_add_test(c, under_a_card_only_the_card_is_told);
    tcase_add_test(c, focus_is_told_and_moves_with_tab);
    tcase_add_test(c, what_is_scrolled_away_is_not_told);
    tcase_add_loop_test(c, every_control_of_the_bedside_has_a_name, 0, 3);
    tcase_add_test(c, decimal_comma_holds_for_every_number);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
