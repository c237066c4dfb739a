/* Sheets: what takes the place of the bedside (a look, the chart) or lies over it (a call, the alarm limits).
   Each is one SheetKind in a file of its own and one row in ui/sheets.c; the shell opens, fills and closes
   them, the screen draws the one that is open. */
#ifndef UI_SHEET_H
#define UI_SHEET_H

#include "sim/journal.h"
#include "ui/feed.h"
#include "ui/intents.h"
#include "ui/widgets.h"

#include <stddef.h>

typedef enum SheetId {
    SHEET_NONE, /* the bedside itself */
    SHEET_LOOK,
    SHEET_CHART,
    SHEET_CALL,
    SHEET_PREDICT,
    SHEET_LIMITS,
    SHEET_SETTINGS,
    SHEET_TOUR,
    SHEET_PRACTICE,
    SHEET_DEBRIEF,
    SHEET_LOGBOOK, /* from the list of cases */
    SHEET_COUNT
} SheetId;

/* What a sheet may reach. */
typedef struct SheetContext {
    Feed *feed;              /* NULL: no night is open */
    SettingsStore *settings; /* settings->now to read and to change: the shell keeps them in their file */
    double now_s;            /* wall clock */
    bool close;              /* set by `fill` or `apply`: the sheet is done */
    bool apart;              /* nothing of the user's is to be written */
    const char *night;       /* recorded night that a debrief is about; empty: none */
    char debrief[JOURNAL_PATH_MAX]; /* set by `fill` or `apply`: open the debrief of this recorded night */
} SheetContext;

/* One kind of sheet. `state` is its own struct of `state_size` bytes: zeroed when the night opens, kept until
   it ends. */
typedef struct SheetKind {
    size_t state_size;
    bool card;  /* lies over the bedside; false: fills the window */
    bool waits; /* the night waits while it is open */
    /* Each time it is opened; may be NULL. */
    void (*open)(void *state, SheetContext *context);
    /* Each time it is closed while the night is open; may be NULL. */
    void (*close)(void *state, SheetContext *context);
    /* Every frame, before it is drawn; may be NULL. */
    void (*fill)(void *state, SheetContext *context);
    /* Draws it in regions of its own (any number below PAINTER_REGIONS; a card: REGION_OVERLAY), takes its
       keys and adds intents: INTENT_PART for itself, INTENT_SHEET with SHEET_NONE when it is done with. */
    void (*draw)(Ui *ui, Rect screen, const void *state, Intents *intents);
    /* Carries out its INTENT_PART; may be NULL. */
    void (*apply)(void *state, SheetContext *context, const Intent *intent);
    /* Before its state is freed: gives back what the state owns; may be NULL. */
    void (*forget)(void *state);
} SheetKind;

/* The kind with this number; NULL for SHEET_NONE and for a number that has none. */
const SheetKind *ui_sheets_kind(SheetId id);

/* Takes the keys that hold on every sheet that fills the window: pause, time rate, messages, help, picture,
   and the keys that open another sheet. Escape closes. */
void ui_sheets_keys(Ui *ui, Intents *intents);

/* The keys that open sheets, for the bedside as well. */
void ui_sheets_open_keys(Ui *ui, Intents *intents);

#endif
