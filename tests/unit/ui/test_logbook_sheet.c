/* The logbook's sheet: sizes, keys and clicks, filters, names, files out and in, the way in and back. */
#include "sim/bundle.h"
#include "tests/support/check_main.h"
#include "tests/support/logbook_nights.h"
#include "tests/support/logbook_sheets.h"
#include "tests/support/sheet_screen.h"

#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static SheetScreen *s;
static LogbookSheet *sheet;
static SettingsStore *settings;
static char folder[64], nights[128], looked_at[JOURNAL_PATH_MAX];

static void start(void) {
    s = calloc(1, sizeof *s);
    sheet = calloc(1, sizeof *sheet);
    settings = calloc(1, sizeof *settings);
    ck_assert(s != NULL && sheet != NULL && settings != NULL);
    strcpy(folder, "/tmp/evenkeel_sheet_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(nights, sizeof nights, "%s/evenkeel/nights", folder);
    ck_assert_int_eq(setenv("XDG_DATA_HOME", folder, 1), 0);
    ck_assert_int_eq(setenv("TZ", "UTC", 1), 0);
}

static void stop(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    free(s);
    free(sheet);
    free(settings);
}

/* Does what the last frame wanted of the sheet. */
static void apply(void) {
    SheetContext context = {.settings = settings};
    for (int i = 0; i < s->intents.count; i++) {
        if (s->intents.of[i].kind == INTENT_PART) UI_LOGBOOK_SHEET.apply(sheet, &context, &s->intents.of[i]);
    }
    snprintf(looked_at, sizeof looked_at, "%s", context.debrief);
}

static void press(Key key) {
    sheet_key(s, &UI_LOGBOOK_SHEET, sheet, key);
    apply();
}

static void type(const char *text) {
    for (; *text != '\0'; text++) {
        sheet_char(s, &UI_LOGBOOK_SHEET, sheet, *text);
        apply();
    }
}

/* The folder of nights with those of the tests of the logbook, and the sheet opened on it. */
static void open_real(void) {
    char command[160];
    SheetContext context = {.settings = settings};
    snprintf(command, sizeof command, "mkdir -p '%s'", nights);
    ck_assert_int_eq(system(command), 0);
    logbook_nights_make(nights);
    sheet_start(s, 0);
    s->bare = true;
    UI_LOGBOOK_SHEET.open(sheet, &context);
}

START_TEST(everything_fits_at_every_size) {
    static const LogbookMode MODES[] = {LOGBOOK_MODE_NONE, LOGBOOK_MODE_EXPORT, LOGBOOK_MODE_IMPORT,
                                        LOGBOOK_MODE_NAME};
    for (int rows = 0; rows <= 60; rows += 20) {
        for (int m = 0; m < 4; m++) {
            for (int tab = 0; tab < 2; tab++) {
                memset(sheet, 0, sizeof *sheet);
                logbook_sheet_fill(sheet, rows);
                sheet->tab = tab;
                sheet->mode = MODES[m];
                sheet_start(s, _i);
                s->bare = true;
                sheet_still(s, &UI_LOGBOOK_SHEET, sheet);
                sheet_check_sizes(s);
                sheet_stop(s);
            }
        }
    }
    memset(sheet, 0, sizeof *sheet);
    logbook_sheet_fill(sheet, 12);
    sheet_start(s, _i);
    s->bare = true;
    sheet_check_tab(s, &UI_LOGBOOK_SHEET, sheet);
    sheet_stop(s);
}
END_TEST

START_TEST(keys_and_clicks_move_and_choose) {
    sheet_start(s, 0);
    s->bare = true;
    logbook_sheet_fill(sheet, 30);
    press(KEY_DOWN);
    ck_assert_int_eq(sheet->row, 1);
    press(KEY_END);
    ck_assert_int_eq(sheet->row, 29);
    press(KEY_DOWN);
    ck_assert_int_eq(sheet->row, 29);
    press(KEY_HOME);
    press(KEY_PAGE_DOWN);
    ck_assert_int_eq(sheet->row, 8);
    sheet_click_text(s, &UI_LOGBOOK_SHEET, sheet, "11-27 20:01");
    ck_assert_double_eq(sheet_intent(s, INTENT_PART, LOGBOOK_PART_ROW).amount, 1.0);
    sheet_still(s, &UI_LOGBOOK_SHEET, sheet);
    ck_assert_int_eq(s->intents.count, 0);
    sheet_key(s, &UI_LOGBOOK_SHEET, sheet, KEY_ENTER);
    (void)sheet_intent(s, INTENT_PART, LOGBOOK_PART_DEBRIEF);
    sheet_click_text(s, &UI_LOGBOOK_SHEET, sheet, "Enter  Debrief");
    (void)sheet_intent(s, INTENT_PART, LOGBOOK_PART_DEBRIEF);
    sheet_key(s, &UI_LOGBOOK_SHEET, sheet, KEY_ESCAPE);
    ck_assert_int_eq(sheet_intent(s, INTENT_SHEET, SHEET_NONE).number, SHEET_NONE);
    sheet_stop(s);
}
END_TEST

START_TEST(nights_are_those_of_the_folder_and_of_the_choice) {
    open_real();
    ck_assert_int_eq(sheet->rows, LOGBOOK_NIGHTS_COUNT);
    ck_assert_str_eq(sheet->item[0].outcome, "left at 0:01 h");
    ck_assert_str_eq(sheet->item[5].when, "11-01 20:00");
    ck_assert_int_eq(sheet->calls.count, 5);
    press(KEY_DOWN);
    press(KEY_ENTER);
    ck_assert_str_eq(looked_at + strlen(nights), "/2026-11-09-dry.night");
    type("t"); /* Robin */
    ck_assert_int_eq(sheet->rows, 5);
    sheet_still(s, &UI_LOGBOOK_SHEET, sheet);
    ck_assert(sheet_says(s, "Robin"));
    type("t"); /* Sam */
    ck_assert_int_eq(sheet->rows, 1);
    type("t"); /* all */
    type("c");
    ck_assert_int_eq(sheet->rows, 3);
    ck_assert(sheet_text(s, "T  All trainees") != NULL);
    sheet_stop(s);
}
END_TEST

START_TEST(names_are_typed_and_kept_in_the_settings) {
    open_real();
    type("n");
    ck_assert_int_eq(sheet->mode, LOGBOOK_MODE_NAME);
    type("Tim x");
    ck_assert_int_eq(sheet->mode, LOGBOOK_MODE_NAME); /* letters are the name's, not the sheet's */
    press(KEY_ENTER);
    ck_assert_int_eq(sheet->mode, LOGBOOK_MODE_NONE);
    ck_assert_str_eq(settings->now.trainee, "Tim x");
    ck_assert_str_eq(sheet->working, "Tim x");
    type("n");
    press(KEY_ESCAPE);
    ck_assert_str_eq(settings->now.trainee, "Tim x");
    sheet_stop(s);
}
END_TEST

START_TEST(nights_go_out_and_come_in) {
    char tar[128], csv[128], json[128], gone[256];
    open_real();
    snprintf(tar, sizeof tar, "%s/all.tar", folder);
    snprintf(csv, sizeof csv, "%s/all.csv", folder);
    snprintf(json, sizeof json, "%s/all.json", folder);
    const char *files[] = {tar, csv, json};
    for (int i = 0; i < 3; i++) {
        type("x");
        ck_assert_ptr_nonnull(strstr(sheet->field.text, ".tar")); /* a name is suggested */
        ui_textfield_set(&sheet->field, files[i]);
        press(KEY_ENTER);
        ck_assert_msg(strstr(sheet->notice, "6 nights written to") != NULL, "%s", sheet->notice);
        ck_assert_int_eq(access(files[i], R_OK), 0);
    }
    snprintf(gone, sizeof gone, "%s/2026-11-01-clots.night", nights);
    ck_assert_int_eq(unlink(gone), 0);
    type("i");
    ui_textfield_set(&sheet->field, tar);
    press(KEY_ENTER);
    ck_assert_str_eq(sheet->notice, "1 nights added, 5 were here already, 0 left out as damaged");
    ck_assert_int_eq(sheet->rows, LOGBOOK_NIGHTS_COUNT);
    type("i");
    type("/none/such.tar");
    press(KEY_ENTER);
    ck_assert_ptr_nonnull(strstr(sheet->notice, "/none/such.tar"));
    type("i");
    press(KEY_ENTER);
    ck_assert_ptr_nonnull(strstr(sheet->notice, "nothing was done"));
    sheet_stop(s);
}
END_TEST

START_TEST(an_empty_folder_says_so) {
    SheetContext context = {.settings = settings};
    sheet_start(s, 0);
    s->bare = true;
    UI_LOGBOOK_SHEET.open(sheet, &context);
    ck_assert_int_eq(sheet->rows, 0);
    sheet_still(s, &UI_LOGBOOK_SHEET, sheet);
    ck_assert(sheet_says(s, "No night has been recorded"));
    press(KEY_ENTER);
    ck_assert_str_eq(looked_at, "");
    press(KEY_DOWN);
    type("x");
    ck_assert_int_eq(sheet->mode, LOGBOOK_MODE_NONE);
    sheet_stop(s);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("ui/logbook_sheet");
    TCase *c = tcase_create("logbook_sheet");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_loop_test(c, everything_fits_at_every_size, 0, SHEET_SIZES);
    tcase_add_test(c, keys_and_clicks_move_and_choose);
    tcase_add_test(c, nights_are_those_of_the_folder_and_of_the_choice);
    tcase_add_test(c, names_are_typed_and_kept_in_the_settings);
    tcase_add_test(c, nights_go_out_and_come_in);
    tcase_add_test(c, an_empty_folder_says_so);
    suite_add_tcase(suite, c);
    return suite;
}

CHECK_MAIN(suite)
