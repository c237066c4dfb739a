/* Nights by keys alone: the journeys of tests/journey, Tab through every control of every screen, and every
   key in the list of keys. No display, no file of the user's. */
#include "tests/support/check_main.h"
#include "ui/describe.h"
#include "ui/keyscript.h"
#include "ui/shell_parts.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { JOURNEYS_MAX = 32, PATH_ROOM = 512, IDS_MAX = UI_ITEMS_MAX };

static const char SOURCE[] = EVENKEEL_SOURCE_DIR;
static char journey[JOURNEYS_MAX][PATH_ROOM];
static int journeys;

static Shell shell;

static int by_name(const void *a, const void *b) {
    return strcmp(a, b);
}

static void find_journeys(void) {
    char folder[PATH_ROOM];
    snprintf(folder, sizeof folder, "%s/tests/journey", SOURCE);
    DIR *dir = opendir(folder);
    ck_assert_ptr_nonnull(dir);
    for (const struct dirent *e = readdir(dir); e != NULL && journeys < JOURNEYS_MAX; e = readdir(dir)) {
        if (strstr(e->d_name, ".keys") != NULL)
            snprintf(journey[journeys++], PATH_ROOM, "%.300s/%.100s", folder, e->d_name);
    }
    closedir(dir);
    qsort(journey, (size_t)journeys, sizeof journey[0], by_name);
}

static char *read_text(const char *path) {
    FILE *file = fopen(path, "r");
    ck_assert_msg(file != NULL, "%s", path);
    char *text = calloc(1, 65536);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_lt(fread(text, 1, 65535, file), 65535);
    fclose(file);
    return text;
}

static bool recorded; /* the nights of what is opened next are kept, in a folder of the test's own */

static void open_case(const char *name, int width_px, int height_px, double scale) {
    static char path[PATH_ROOM];
    static WindowRequest request;
    Error error;
    model_error_clear(&error);
    snprintf(path, sizeof path, "%s/scenarios/%.100s.yaml", SOURCE, name);
    request = (WindowRequest){.case_path = name[0] != '\0' ? path : NULL, .apart = !recorded};
    ck_assert_msg(ui_shell_start(&shell, &request, &error) == ERROR_OK, "%s", error.what);
    ck_assert_int_eq(ui_screen_resize(&shell.screen, width_px, height_px, scale, &error), ERROR_OK);
}

static void close_case(void) {
    Error error;
    ck_assert_int_eq(ui_shell_stop(&shell, &error), ERROR_OK);
}

static void play(const char *script) {
    Error error;
    model_error_clear(&error);
    char said[2048];
    if (ui_keyscript_play(&shell, script, "test", NULL, &error) != ERROR_OK) {
        model_error_format(&error, said, sizeof said);
        ck_abort_msg("%s", said);
    }
}

START_TEST(every_journey_goes_through) {
    for (int i = 0; i < journeys; i++) {
        char *text = read_text(journey[i]), name[100], said[2048];
        Error error;
        model_error_clear(&error);
        ck_assert_msg(sscanf(text, "# case: %99s", name) == 1, "%s names no case", journey[i]);
        recorded = strstr(text, "# recorded") != NULL;
        open_case(strcmp(name, "list") == 0 ? "" : name, 1280, 800, 1.0); /* list: from the list of cases */
        if (ui_keyscript_play(&shell, text, journey[i], NULL, &error) != ERROR_OK) {
            model_error_format(&error, said, sizeof said);
            ck_abort_msg("%s", said);
        }
        close_case();
        recorded = false;
        free(text);
    }
    ck_assert_int_ge(journeys, 5);
}
END_TEST

/* Nights that are kept go to a folder of the test's own. */
static void make_folder(void) {
    static char folder[] = "/tmp/evenkeel-keys-XXXXXX";
    ck_assert_ptr_nonnull(mkdtemp(folder));
    setenv("XDG_DATA_HOME", folder, 1);
}

static void remove_folder(void) {
    char command[PATH_ROOM];
    snprintf(command, sizeof command, "rm -rf '%.300s'", getenv("XDG_DATA_HOME"));
    ck_assert_int_eq(system(command), 0);
}

START_TEST(broken_scripts_are_told_by_line) {
    static const char *const BROKEN[] = {"press Nokey",          "wait long", "dance", "press Enter*999",
                                         "expect no such words", "until soon"};
    open_case("failing-right-ventricle", 1280, 800, 1.0);
    for (size_t i = 0; i < sizeof BROKEN / sizeof BROKEN[0]; i++) {
        char script[100];
        Error error;
        model_error_clear(&error);
        snprintf(script, sizeof script, "# one\n%s\n", BROKEN[i]);
        ck_assert_int_ne(ui_keyscript_play(&shell, script, "broken", NULL, &error), ERROR_OK);
        ck_assert_int_eq(error.line, 2);
        ck_assert_str_eq(error.where, "broken");
    }
    close_case();
}
END_TEST

/* Every control that takes the focus gets it by Tab, once each in the order they were drawn, and then the
   first again; the same backward. */
static void walk(const char *screen) {
    int wanted[IDS_MAX], count = 0;
    for (int i = 0; i < shell.screen.ui.befores; i++) {
        const UiItem *item = &shell.screen.ui.before[i];
        if (!item->mouse_only && !item->off) wanted[count++] = item->id;
    }
    ck_assert_msg(count > 0, "%s has no control", screen);
    shell.screen.ui.focus = 0;
    for (int i = 0; i <= count; i++) {
        play("press Tab");
        ck_assert_msg(shell.screen.ui.focus == wanted[i % count], "%s: control %d has the focus, not %d",
                      screen, shell.screen.ui.focus, wanted[i % count]);
        char focus[256];
        ui_describe_focus(&shell.screen.ui, focus, sizeof focus);
        const char *name = strchr(focus, ' ');
        ck_assert_msg(name != NULL && strlen(name) > 1, "%s: control %d has no name", screen,
                      shell.screen.ui.focus);
    }
    play("press Shift+Tab"); /* from the first back to the last */
    ck_assert_int_eq(shell.screen.ui.focus, wanted[count - 1]);
}

START_TEST(tab_walks_every_control_of_every_screen_and_comes_back) {
    static const struct {
        const char *name, *keys;
    } SCREENS[] = {{"bedside", "press F3"}, {"chart", "press c"},    {"call", "press g"},
                   {"limits", "press i"},   {"settings", "press o"}, {"messages", "press m"},
                   {"orders", "press l"},   {"handover", "press h"}, {"keys", "press ?"},
                   {"leave", "press q"}};
    static const double SIZES[][3] = {{1280, 800, 1.0}, {1280, 800, 2.0}};
    for (size_t i = 0; i < sizeof SCREENS / sizeof SCREENS[0]; i++) {
        open_case("failing-right-ventricle", (int)SIZES[_i][0], (int)SIZES[_i][1], SIZES[_i][2]);
        play("press Enter Enter\nwait 1\npress Space");
        play(SCREENS[i].keys);
        walk(SCREENS[i].name);
        play("press Esc Esc");
        ck_assert_msg(shell.overlay.kind == OVERLAY_NONE && shell.sheet == SHEET_NONE,
                      "%s holds whoever entered it", SCREENS[i].name);
        close_case();
    }
}
END_TEST

START_TEST(focus_returns_to_where_it_was_after_a_card) {
    open_case("failing-right-ventricle", 1280, 800, 1.0);
    play("press Enter Enter\nwait 1\npress Space Tab Tab Tab");
    int before = shell.screen.ui.focus;
    ck_assert_int_ne(before, 0);
    play("press o Tab Tab Esc");
    ck_assert_int_eq(shell.screen.ui.focus, before);
    play("press ? Tab Esc");
    ck_assert_int_eq(shell.screen.ui.focus, before);
    close_case();
}
END_TEST

/* The list of keys, in words, from its beginning to its end. */
static char *key_list(void) {
    char *all = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&all, &size);
    ck_assert_ptr_nonnull(out);
    play("press ?");
    ui_describe_write(&shell.screen.ui, out);
    play("press End");
    ui_describe_write(&shell.screen.ui, out);
    play("press Esc");
    fclose(out);
    return all;
}

/* Whether a line of the list begins with the key, alone or among others. */
static bool listed(const char *list, const char *key) {
    for (const char *line = list; *line != '\0';) {
        size_t length = strcspn(line, "\n"), head = length < 24 ? length : 24, n = strlen(key);
        for (size_t i = 0; i + n <= head; i++) {
            bool starts = i == 0 || line[i - 1] == ' ';
            if (starts && strncmp(line + i, key, n) == 0 && (line[i + n] == ' ' || line[i + n] == ','))
                return true;
        }
        line += length + (line[length] == '\n');
    }
    return false;
}

static int intents_of(KeyPress press) {
    ScreenFrame frame = {.view = &shell.view,
                         .input = {.x_px = -1.0, .y_px = -1.0, .keys = 1, .key = {press}}};
    Intents intents = {0};
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = ui_feed_sweep(shell.feed, (LaneId)i);
    shell.screen.ui.focus = 0;
    ui_screen_frame(&shell.screen, &frame, &intents);
    return intents.count;
}

START_TEST(every_key_of_the_bedside_is_in_the_list_of_keys) {
    open_case("failing-right-ventricle", 1920, 1080, 1.0);
    play("press Enter Enter\nwait 1\npress Space");
    char *list = key_list();
    int found = 0;
    for (char c = 'a'; c <= 'z'; c++) {
        char key[2] = {(char)(c - 'a' + 'A'), '\0'};
        if (intents_of((KeyPress){KEY_CHARACTER, false, (uint32_t)c}) == 0) continue;
        ck_assert_msg(listed(list, key), "%s does something and is not in the list:\n%s", key, list);
        found++;
    }
    ck_assert_int_ge(found, 9);
    ck_assert_int_gt(intents_of((KeyPress){KEY_CHARACTER, false, '?'}), 0);
    ck_assert_int_gt(intents_of((KeyPress){KEY_F9, false, 0}), 0);
    ck_assert(listed(list, "?") && listed(list, "F12") && listed(list, "F11") && listed(list, "Space"));
    ck_assert(listed(list, "F7"));
    free(list);
    close_case();
}
END_TEST

START_TEST(tour_comes_once_and_not_again) {
    open_case("failing-right-ventricle", 1280, 800, 1.0);
    ui_settings_set(&shell.settings.now, SETTING_tour_seen, 0);
    play("press Enter Enter\nwait 1\nexpect 1 of 7\npress Right Right\nexpect 3 of 7\npress Left\nexpect 2 "
         "of 7");
    play("press Enter*6\nwait 1\nrefuse of 7\nexpect running");
    ck_assert(ui_settings_on(&shell.settings.now, SETTING_tour_seen));
    shell.tour_offered = false;
    play("wait 1\nrefuse of 7");
    close_case();
}
END_TEST

START_TEST(window_of_no_size_does_no_harm) {
    static const int SIZES[][2] = {{0, 0}, {1, 1}, {1, 2000}, {3000, 3}, {1280, 800}};
    Error error;
    open_case("failing-right-ventricle", 1280, 800, 1.0);
    play("press Enter Enter\nwait 1");
    for (size_t i = 0; i < sizeof SIZES / sizeof SIZES[0]; i++) {
        ck_assert_int_eq(ui_screen_resize(&shell.screen, SIZES[i][0], SIZES[i][1], 2.0, &error), ERROR_OK);
        play("wait 0.2\npress o Esc c Esc ? Esc");
    }
    close_case();
}
END_TEST

START_TEST(panels_of_a_small_screen_are_reached_by_key) {
    open_case("failing-right-ventricle", 1280, 800, 2.0);
    play("press Enter Enter\nwait 1\nexpect [tab] Numbers (chosen)\npress F7\nexpect [tab] Heart "
         "(chosen)\npress F3");
    play("expect [tab] F3 Drugs (chosen)\npress F7\nexpect [tab] Messages (chosen)\npress Shift+F7 Shift+F7");
    play("expect [tab] Heart (chosen)");
    /* a key for the orders brings them on show and changes nothing yet */
    play("press Right\nexpect [tab] F3 Drugs (chosen)\nrefuse Confirm\npress Right\nexpect Confirm");
    close_case();
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("keys");
    TCase *c = tcase_create("journeys");
    tcase_set_timeout(c, 300);
    tcase_add_unchecked_fixture(c, find_journeys, NULL);
    tcase_add_unchecked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, every_journey_goes_through);
    tcase_add_test(c, broken_scripts_are_told_by_line);
    tcase_add_loop_test(c, tab_walks_every_control_of_every_screen_and_comes_back, 0, 2);
    tcase_add_test(c, focus_returns_to_where_it_was_after_a_card);
    tcase_add_test(c, every_key_of_the_bedside_is_in_the_list_of_keys);
    tcase_add_test(c, tour_comes_once_and_not_again);
    tcase_add_test(c, window_of_no_size_does_no_harm);
    tcase_add_test(c, panels_of_a_small_screen_are_reached_by_key);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
