/* Settings: the table, the values, the file. */
#include "ui/settings.h"

#include "sim/output.h"
#include "sim/textfile.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { WORD_MAX = 48 };

static const SettingRow ROWS[SETTING_COUNT] = {
#define S(name, kind, group, start, low, high, step, words, label, help)                                     \
    [SETTING_##name] = {#name, SETTING_##kind, SETTINGS_##group, start, low, high, step, words, label, help},
#include "ui/settings.def"
#undef S
};

static const char TRAINEE_KEY[] = "trainee";
static const char HEADING[] = "# Evenkeel: settings. Lines that are not understood are kept as they are.\n";

const SettingRow *ui_settings_row(SettingId id) {
    return &ROWS[id];
}

const char *ui_settings_group_name(SettingGroup group) {
    static const char *const NAMES[SETTINGS_GROUPS] = {"Looks", "Units", "Sound", "The night", "Traces", ""};
    return NAMES[group];
}

Settings ui_settings_default(void) {
    Settings settings = {.trainee = ""};
    for (int i = 0; i < SETTING_COUNT; i++)
        settings.value[i] = ROWS[i].start;
    return settings;
}

int ui_settings_value(const Settings *settings, SettingId id) {
    return settings != NULL ? settings->value[id] : ROWS[id].start;
}

bool ui_settings_on(const Settings *settings, SettingId id) {
    return ui_settings_value(settings, id) != 0;
}

/* The n-th of the words separated by |. */
static void nth_word(const char *words, int n, char *text, size_t size) {
    for (; n > 0 && *words != '\0'; n--) {
        words += strcspn(words, "|");
        words += *words == '|';
    }
    snprintf(text, size, "%.*s", (int)strcspn(words, "|"), words);
}

void ui_settings_format(SettingId id, int value, char *text, size_t size) {
    const SettingRow *row = &ROWS[id];
    if (row->kind == SETTING_SWITCH)
        snprintf(text, size, "%s", value != 0 ? "on" : "off");
    else if (row->kind == SETTING_CHOICE)
        nth_word(row->words, value, text, size);
    else if (id == SETTING_size_percent && value == 0)
        snprintf(text, size, "automatic");
    else
        snprintf(text, size, "%d %s", value, row->words);
}

void ui_settings_set(Settings *settings, SettingId id, int value) {
    const SettingRow *row = &ROWS[id];
    settings->value[id] = value < row->low ? row->low : value > row->high ? row->high : value;
}

/* The interface's size has a gap between "automatic" and its smallest number. */
static int step_size(int value, int steps) {
    enum { LEAST = 75, STEP = 25 };
    if (value == 0) return steps > 0 ? 100 : 0;
    int to = value / STEP * STEP + (value % STEP != 0 && steps < 0 ? STEP : 0) + steps * STEP;
    return to < LEAST ? 0 : to;
}

void ui_settings_step(Settings *settings, SettingId id, int steps) {
    const SettingRow *row = &ROWS[id];
    int value = settings->value[id] + steps * row->step;
    if (id == SETTING_size_percent) {
        ui_settings_set(settings, id, step_size(settings->value[id], steps));
    } else if (row->kind == SETTING_NUMBER) {
        ui_settings_set(settings, id, value);
    } else {
        int count = row->high - row->low + 1;
        settings->value[id] = row->low + ((value - row->low) % count + count) % count;
    }
}

/* --- the file --- */

static void find_path(char *path, size_t size) {
    const char *config = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");
    int length = -1;
    if (config != NULL && config[0] == '/')
        length = snprintf(path, size, "%s/evenkeel/settings", config);
    else if (home != NULL && home[0] == '/')
        length = snprintf(path, size, "%s/.config/evenkeel/settings", home);
    if (length < 0 || (size_t)length >= size) path[0] = '\0';
}

static void append(char *text, size_t size, const char *line) {
    size_t used = strlen(text), length = strlen(line);
    if (used + length + 2 > size) return;
    memcpy(text + used, line, length);
    memcpy(text + used + length, "\n", 2);
}

static char *trim(char *text) {
    while (isspace((unsigned char)*text))
        text++;
    for (size_t n = strlen(text); n > 0 && isspace((unsigned char)text[n - 1]); n--)
        text[n - 1] = '\0';
    return text;
}

/* The value of a written one; false if it is none. */
static bool read_value(SettingId id, const char *text, int *value) {
    const SettingRow *row = &ROWS[id];
    char word[WORD_MAX], *end = NULL;
    for (int i = row->low; row->kind != SETTING_NUMBER && i <= row->high; i++) {
        ui_settings_format(id, i, word, sizeof word);
        if (strcmp(word, text) == 0) {
            *value = i;
            return true;
        }
    }
    if (row->kind != SETTING_NUMBER) return false;
    ui_settings_format(id, 0, word, sizeof word);
    if (id == SETTING_size_percent && strcmp(word, text) == 0) {
        *value = 0;
        return true;
    }
    long number = strtol(text, &end, 10);
    if (end == text || number < row->low || number > row->high) return false;
    *value = (int)number;
    end = trim(end);
    return *end == '\0' || strcmp(end, row->words) == 0;
}

/* What may stand after a key. */
static void allowed(SettingId id, char *text, size_t size) {
    const SettingRow *row = &ROWS[id];
    if (row->kind == SETTING_SWITCH)
        snprintf(text, size, "on, off");
    else if (row->kind == SETTING_CHOICE)
        snprintf(text, size, "%s", row->words);
    else
        snprintf(text, size, "%d to %d", row->low, row->high);
}

static bool printable(const char *text) {
    for (; *text != '\0'; text++) {
        if ((unsigned char)*text < 0x20) return false;
    }
    return true;
}

static void refuse(SettingsStore *store, int number, const char *line, const char *why) {
    char text[256];
    snprintf(text, sizeof text, "%.120s:%d: %.110s", store->path, number, why);
    append(store->problem, sizeof store->problem, text);
    append(store->kept, sizeof store->kept, line);
}

static void read_line(SettingsStore *store, int number, const char *line) {
    char text[256], why[200], words[72];
    snprintf(text, sizeof text, "%s", line);
    char *key = trim(text), *equals = strchr(key, '=');
    if (*key == '\0' || strncmp(line, HEADING, strlen(line)) == 0) return;
    if (*key == '#') {
        append(store->kept, sizeof store->kept, line);
        return;
    }
    if (strlen(line) >= sizeof text || equals == NULL) {
        refuse(store, number, line, "not understood; allowed: key = value");
        return;
    }
    *equals = '\0';
    char *value = trim(equals + 1);
    key = trim(key);
    if (strcmp(key, TRAINEE_KEY) == 0) {
        if (strlen(value) < SETTINGS_NAME_MAX && printable(value))
            snprintf(store->now.trainee, sizeof store->now.trainee, "%.*s", SETTINGS_NAME_MAX - 1, value);
        else
            refuse(store, number, line, "the name is too long or not readable");
        return;
    }
    for (int i = 0; i < SETTING_COUNT; i++) {
        if (strcmp(key, ROWS[i].key) != 0) continue;
        if (read_value((SettingId)i, value, &store->now.value[i])) return;
        allowed((SettingId)i, words, sizeof words);
        snprintf(why, sizeof why, "'%.20s' is no value of %.20s; allowed: %s", value, key, words);
        refuse(store, number, line, why);
        return;
    }
    snprintf(why, sizeof why, "unknown setting '%.40s'", key);
    refuse(store, number, line, why);
}

void ui_settings_load(SettingsStore *store, const char *path) {
    memset(store, 0, sizeof *store);
    store->now = ui_settings_default();
    if (path != NULL)
        snprintf(store->path, sizeof store->path, "%s", path);
    else
        find_path(store->path, sizeof store->path);
    if (store->path[0] == '\0' || access(store->path, F_OK) != 0) return;
    char *text = NULL;
    size_t length = 0;
    Error error;
    model_error_clear(&error);
    if (sim_textfile_read(store->path, SETTINGS_FILE_MAX, &text, &length, &error) != ERROR_OK) {
        model_error_format(&error, store->problem, sizeof store->problem);
        return;
    }
    int number = 1;
    for (char *line = text; *line != '\0'; number++) {
        char *end = line + strcspn(line, "\n");
        bool last = *end == '\0';
        *end = '\0';
        if (end > line && end[-1] == '\r') end[-1] = '\0';
        read_line(store, number, line);
        line = last ? end : end + 1;
    }
    free(text);
}

/* Makes the folder of the file at `path`. */
static ErrorCode make_folder(const char *path, Error *error) {
    char folder[SETTINGS_PATH_MAX];
    snprintf(folder, sizeof folder, "%s", path);
    char *slash = strrchr(folder, '/');
    if (slash == NULL || slash == folder) return ERROR_OK;
    *slash = '\0';
    return sim_output_make_folder(folder, error);
}

ErrorCode ui_settings_save(SettingsStore *store, Error *error) {
    if (store->path[0] == '\0') {
        ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "no folder for the settings");
        model_error_at(error, "XDG_CONFIG_HOME", 0, 0);
        model_error_allow(error, "set XDG_CONFIG_HOME or HOME to an absolute path");
        return code;
    }
    Output output = {.file = NULL};
    ErrorCode code = make_folder(store->path, error);
    if (code == ERROR_OK) code = sim_output_open(&output, store->path, error);
    if (code != ERROR_OK) return code;
    fputs(HEADING, output.file);
    for (int i = 0; i < SETTING_COUNT; i++) {
        char word[WORD_MAX];
        ui_settings_format((SettingId)i, store->now.value[i], word, sizeof word);
        fprintf(output.file, "%s = %s\n", ROWS[i].key, word);
    }
    if (store->now.trainee[0] != '\0') fprintf(output.file, "%s = %s\n", TRAINEE_KEY, store->now.trainee);
    fputs(store->kept, output.file);
    return sim_output_close(&output, error);
}
