/* The logbook as a sheet: what its intents do. Reading is in logbook_fill.c, drawing in logbook_draw.c. */
#include "ui/logbook.h"

#include "sim/journal.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

static void open_sheet(void *state, SheetContext *context) {
    LogbookSheet *sheet = state;
    if (!sheet->loaded) sheet->name = sheet->chosen_case = -1;
    sheet->mode = LOGBOOK_MODE_NONE;
    sheet->notice[0] = '\0';
    snprintf(sheet->working, sizeof sheet->working, "%.63s", context->settings->now.trainee);
    ui_logbook_load(sheet);
}

/* From -1 (all) through `count` and round. */
static int step(int at, int by, int count) {
    int places = count + 1;
    return (at + 1 + by + places) % places - 1;
}

/* A name for the file that is exported to; the folder of nights has one beside it. */
static void suggest_file(LogbookSheet *sheet) {
    char folder[JOURNAL_PATH_MAX], name[JOURNAL_PATH_MAX + 48], day[16] = "";
    time_t now = time(NULL);
    struct tm here;
    if (localtime_r(&now, &here) == NULL || strftime(day, sizeof day, "%Y%m%d", &here) == 0) day[0] = '\0';
    snprintf(folder, sizeof folder, "%s", sheet->folder);
    char *last = strrchr(folder, '/');
    if (last != NULL) *last = '\0';
    snprintf(name, sizeof name, "%s/nights-%s.tar", folder, day);
    if (strlen(name) >= TEXTFIELD_MAX) snprintf(name, sizeof name, "nights-%s.tar", day);
    ui_textfield_set(&sheet->field, name);
}

static void begin_mode(LogbookSheet *sheet, LogbookMode mode) {
    sheet->mode = mode;
    sheet->notice[0] = '\0';
    ui_textfield_set(&sheet->field, mode == LOGBOOK_MODE_NAME ? sheet->working : "");
    if (mode == LOGBOOK_MODE_EXPORT) suggest_file(sheet);
}

static void apply_part(void *state, SheetContext *context, const Intent *intent) {
    LogbookSheet *sheet = state;
    int amount = (int)intent->amount;
    switch (intent->number) {
    case LOGBOOK_PART_ROW:
        sheet->row = amount < 0 ? 0 : amount >= sheet->rows ? sheet->rows - 1 : amount;
        if (sheet->row < 0) sheet->row = 0;
        break;
    case LOGBOOK_PART_TRAINEE:
        sheet->name = step(sheet->name, amount, sheet->names);
        ui_logbook_load(sheet);
        break;
    case LOGBOOK_PART_CASE:
        sheet->chosen_case = step(sheet->chosen_case, amount, sheet->cases);
        ui_logbook_load(sheet);
        break;
    case LOGBOOK_PART_TAB:
        sheet->tab = amount != 0;
        break;
    case LOGBOOK_PART_MODE:
        begin_mode(sheet, (LogbookMode)amount);
        break;
    case LOGBOOK_PART_EDIT:
        ui_textfield_edit(&sheet->field, intent->amount);
        break;
    case LOGBOOK_PART_DONE:
        ui_logbook_done(sheet, context);
        break;
    case LOGBOOK_PART_DEBRIEF:
        if (sheet->row < sheet->rows)
            snprintf(context->debrief, sizeof context->debrief, "%.800s/%s", sheet->folder,
                     sheet->item[sheet->row].file);
        break;
    default:
        break;
    }
}

const SheetKind UI_LOGBOOK_SHEET = {
    .state_size = sizeof(LogbookSheet),
    .waits = true,
    .open = open_sheet,
    .draw = ui_logbook_draw,
    .apply = apply_part,
};
