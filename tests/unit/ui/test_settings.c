/* Settings: what is written is read back, a broken file costs only its broken lines, and nothing needs a
   folder that can be written. */
#include "tests/support/check_main.h"
#include "ui/settings.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/evenkeel-settings-XXXXXX";
static char path[256];

static void make_folder(void) {
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/deep/evenkeel/settings", folder);
}

static void write_file(const char *text) {
    char deep[512];
    snprintf(deep, sizeof deep, "%s/deep", folder);
    (void)mkdir(deep, 0700);
    snprintf(deep, sizeof deep, "%s/deep/evenkeel", folder);
    (void)mkdir(deep, 0700);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

static void read_back(char *text, size_t size) {
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    text[fread(text, 1, size - 1, file)] = '\0';
    fclose(file);
}

START_TEST(every_value_of_every_setting_comes_back_from_its_file) {
    static SettingsStore store, again;
    Error error;
    for (int id = 0; id < SETTING_COUNT; id++) {
        const SettingRow *row = ui_settings_row((SettingId)id);
        for (int value = row->low; value <= row->high; value += row->step) {
            unlink(path);
            ui_settings_load(&store, path);
            ck_assert_str_eq(store.problem, "");
            store.now.value[id] = value;
            snprintf(store.now.trainee, sizeof store.now.trainee, "Owl %d", value);
            ck_assert_int_eq(ui_settings_save(&store, &error), ERROR_OK);
            ui_settings_load(&again, path);
            ck_assert_msg(again.problem[0] == '\0', "%s", again.problem);
            ck_assert_msg(again.now.value[id] == value, "%s: %d became %d", row->key, value,
                          again.now.value[id]);
            ck_assert_str_eq(again.now.trainee, store.now.trainee);
        }
    }
}
END_TEST

START_TEST(lines_that_are_wrong_are_told_by_number_and_kept) {
    static SettingsStore store;
    Error error;
    char text[4096];
    write_file(
        "# my own note\ntheme = light\npressure = bar\nfuture_thing = 7\nnonsense\nvolume_percent = 900\n"
        "reduced_motion = on\n");
    ui_settings_load(&store, path);
    ck_assert_int_eq(store.now.value[SETTING_theme], 1);
    ck_assert(ui_settings_on(&store.now, SETTING_reduced_motion));
    ck_assert_int_eq(store.now.value[SETTING_pressure], 0);
    ck_assert_int_eq(store.now.value[SETTING_volume_percent], ui_settings_row(SETTING_volume_percent)->start);
    const char *const told[] = {":3: 'bar' is no value of pressure; allowed: mmHg|kPa",
                                ":4: unknown setting 'future_thing'", ":5: not understood", ":6: '900'"};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++)
        ck_assert_msg(strstr(store.problem, told[i]) != NULL, "'%s' not in: %s", told[i], store.problem);
    ck_assert_int_eq(ui_settings_save(&store, &error), ERROR_OK);
    read_back(text, sizeof text);
    const char *const kept[] = {"# my own note\n",    "theme = light\n", "pressure = bar\n",
                                "future_thing = 7\n", "nonsense\n",      "volume_percent = 900\n"};
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++)
        ck_assert_msg(strstr(text, kept[i]) != NULL, "'%s' not in: %s", kept[i], text);
    /* a second round neither loses nor doubles what was kept */
    size_t length = strlen(text);
    ui_settings_load(&store, path);
    ck_assert_int_eq(ui_settings_save(&store, &error), ERROR_OK);
    read_back(text, sizeof text);
    ck_assert_uint_eq(strlen(text), length);
}
END_TEST

START_TEST(no_folder_to_write_leaves_the_settings_in_force) {
    static SettingsStore store;
    Error error;
    ui_settings_load(&store, "/dev/null/evenkeel/settings");
    ui_settings_set(&store.now, SETTING_theme, 2);
    model_error_clear(&error);
    ck_assert_int_ne(ui_settings_save(&store, &error), ERROR_OK);
    ck_assert_str_ne(error.what, "");
    ck_assert_int_eq(store.now.value[SETTING_theme], 2);
}
END_TEST

START_TEST(hostile_bytes_do_no_harm) {
    static SettingsStore store;
    char text[3000];
    for (int seed = 1; seed < 200; seed++) {
        unsigned random = (unsigned)seed * 2654435761u;
        for (size_t i = 0; i + 1 < sizeof text; i++) {
            random = random * 1664525u + 1013904223u;
            text[i] = (char)(1 + (random >> 24) % 255);
            if (random % 37 == 0) text[i] = '\n';
            if (random % 41 == 0) text[i] = '=';
        }
        text[sizeof text - 1] = '\0';
        write_file(text);
        ui_settings_load(&store, path);
        for (int id = 0; id < SETTING_COUNT; id++) {
            const SettingRow *row = ui_settings_row((SettingId)id);
            ck_assert_int_ge(store.now.value[id], row->low);
            ck_assert_int_le(store.now.value[id], row->high);
        }
    }
}
END_TEST

START_TEST(steps_stay_within_the_table) {
    Settings settings = ui_settings_default();
    for (int id = 0; id < SETTING_COUNT; id++) {
        const SettingRow *row = ui_settings_row((SettingId)id);
        bool seen_high = false, seen_low = false;
        for (int i = 0; i < 40; i++) {
            ui_settings_step(&settings, (SettingId)id, i < 20 ? 1 : -1);
            ck_assert_int_ge(settings.value[id], row->low);
            ck_assert_int_le(settings.value[id], row->high);
            seen_high = seen_high || settings.value[id] == row->high;
            seen_low = seen_low || settings.value[id] == row->low;
        }
        ck_assert_msg(seen_high && seen_low, "%s: not every value can be reached", row->key);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("settings");
    TCase *c = tcase_create("file");
    tcase_add_unchecked_fixture(c, make_folder, NULL);
    tcase_add_test(c, every_value_of_every_setting_comes_back_from_its_file);
    tcase_add_test(c, lines_that_are_wrong_are_told_by_number_and_kept);
    tcase_add_test(c, no_folder_to_write_leaves_the_settings_in_force);
    tcase_add_test(c, hostile_bytes_do_no_harm);
    tcase_add_test(c, steps_stay_within_the_table);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
