/* The table of sheets and the keys that open them. */
#include "ui/chart.h"
#include "ui/debrief.h"
#include "ui/look.h"
#include "ui/alarm_strip.h"
#include "ui/limits.h"
#include "ui/logbook.h"
#include "ui/settings_sheet.h"
#include "ui/sheet.h"
#include "ui/tour.h"

#include "ui/call.h"
#include "ui/practice.h"
#include "ui/predict.h"

typedef struct SheetRow {
    const SheetKind *kind;
    uint32_t key; /* character that opens it; 0: none */
} SheetRow;

static const SheetRow SHEETS[SHEET_COUNT] = {
    [SHEET_NONE] = {NULL, 0},
    [SHEET_LOOK] = {&UI_LOOK_SHEET, 'e'},
    [SHEET_CHART] = {&UI_CHART_SHEET, 'c'},
    [SHEET_CALL] = {&UI_CALL_SHEET, 'g'},
    [SHEET_PRACTICE] = {&UI_PRACTICE_SHEET, 'f'},
    [SHEET_PREDICT] = {&UI_PREDICT_SHEET, 0},
    [SHEET_LIMITS] = {&UI_LIMITS_SHEET, 'i'},
    [SHEET_SETTINGS] = {&UI_SETTINGS_SHEET, 'o'},
    [SHEET_TOUR] = {&UI_TOUR_SHEET, 0},
    [SHEET_DEBRIEF] = {&UI_DEBRIEF_SHEET, 0},
    [SHEET_LOGBOOK] = {&UI_LOGBOOK_SHEET, 0},
};

const SheetKind *ui_sheets_kind(SheetId id) {
    return id > SHEET_NONE && id < SHEET_COUNT ? SHEETS[id].kind : NULL;
}

void ui_sheets_open_keys(Ui *ui, Intents *intents) {
    for (int id = SHEET_NONE + 1; id < SHEET_COUNT; id++) {
        if (SHEETS[id].key != 0 && ui_widgets_take_char(ui, SHEETS[id].key))
            ui_intents_add(intents, INTENT_SHEET, id, 0.0, false);
    }
}

void ui_sheets_keys(Ui *ui, Intents *intents) {
    ui_alarm_strip_keys(ui, intents);
    ui_sheets_open_keys(ui, intents);
    if (ui_widgets_take_char(ui, ' ')) ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    while (ui_widgets_take_char(ui, ','))
        ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    while (ui_widgets_take_char(ui, '.'))
        ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) ui_intents_add(intents, INTENT_RATE, 0, 0.0, false);
    if (ui_widgets_take_char(ui, 'v')) ui_intents_add(intents, INTENT_DESCRIBE, 0, 0.0, false);
    if (ui_widgets_take_char(ui, 'm')) ui_intents_add(intents, INTENT_MESSAGES, 0, 0.0, false);
    if (ui_widgets_take_char(ui, '?') || ui_widgets_take_key(ui, KEY_F9, NULL))
        ui_intents_add(intents, INTENT_HELP, 0, 0.0, false);
    if (ui_widgets_take_key(ui, KEY_F12, NULL)) ui_intents_add(intents, INTENT_PICTURE, 0, 0.0, false);
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}
