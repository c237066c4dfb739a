/* What the user has chosen: looks, units, sound, traces. A plain text file in the folder of settings,
   $XDG_CONFIG_HOME/evenkeel/settings (or ~/.config), one "key = value" a line; ui/settings.def is the table
   it, the sheet of settings and the tests walk. */
#ifndef UI_SETTINGS_H
#define UI_SETTINGS_H

#include "model/error.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum SettingId {
#define S(name, kind, group, start, low, high, step, words, label, help) SETTING_##name,
#include "ui/settings.def"
#undef S
    SETTING_COUNT
} SettingId;

typedef enum SettingKind { SETTING_CHOICE, SETTING_SWITCH, SETTING_NUMBER } SettingKind;

typedef enum SettingGroup {
    SETTINGS_LOOKS,
    SETTINGS_UNITS,
    SETTINGS_SOUND,
    SETTINGS_NIGHT,
    SETTINGS_TRACES,
    SETTINGS_HIDDEN, /* kept in the file, not shown */
    SETTINGS_GROUPS
} SettingGroup;

typedef struct SettingRow {
    const char *key;
    SettingKind kind;
    SettingGroup group;
    int start, low, high, step; /* CHOICE: number of the word */
    const char *words;          /* CHOICE: word|word; NUMBER: unit */
    const char *label, *help;   /* help may be empty */
} SettingRow;

enum {
    SETTINGS_NAME_MAX = 48,
    SETTINGS_KEPT_MAX = 4096,
    SETTINGS_PATH_MAX = 1024,
    SETTINGS_FILE_MAX = 65536
};

/* What the screens are drawn with. */
typedef struct Settings {
    int value[SETTING_COUNT];
    char trainee[SETTINGS_NAME_MAX]; /* a pseudonym; may be empty */
} Settings;

/* Settings with their file. */
typedef struct SettingsStore {
    Settings now;
    char path[SETTINGS_PATH_MAX];    /* empty: no folder to keep them in */
    char kept[SETTINGS_KEPT_MAX];    /* lines of the file that are not understood, to be written again */
    char problem[SETTINGS_KEPT_MAX]; /* file:line and why, a line each; empty if none */
    bool unsaved_told;               /* that they cannot be kept has been said */
} SettingsStore;

const SettingRow *ui_settings_row(SettingId id);
const char *ui_settings_group_name(SettingGroup group);

/* The settings of a first start. */
Settings ui_settings_default(void);
/* The word or number with unit of a value, as the sheet and the file write it. */
void ui_settings_format(SettingId id, int value, char *text, size_t size);
/* Sets to the nearest allowed value. */
void ui_settings_set(Settings *settings, SettingId id, int value);
/* A step up or down; a choice or switch goes round. */
void ui_settings_step(Settings *settings, SettingId id, int steps);
/* Whether it is on; also for a NULL `settings`, which stands for the defaults. */
bool ui_settings_on(const Settings *settings, SettingId id);
/* Its value; NULL `settings` as above. */
int ui_settings_value(const Settings *settings, SettingId id);

/* Reads the file of settings, or the defaults where there is none. Never fails: what is wrong is in
   store->problem, and the line is kept. `path` NULL: the user's own file. */
void ui_settings_load(SettingsStore *store, const char *path);
/* Writes the file beside its place and renames it; lines that were not understood stay in it.
   ERROR_FILE_WRITE says why it cannot; the settings hold for this run all the same. */
MODEL_CHECKED ErrorCode ui_settings_save(SettingsStore *store, Error *error);

#endif
