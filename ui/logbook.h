/* The logbook as a sheet: earlier nights with what came of them, their course over time, how confidence fits,
   what to practise next; nights out to one file and in from one; who works here. Opened from the list of
   cases.
 */
#ifndef UI_LOGBOOK_H
#define UI_LOGBOOK_H

#include "sim/logbook.h"
#include "ui/sheet.h"
#include "ui/textfield.h"
#include "ui/view.h"

enum {
    LOGBOOK_ROWS_MAX = ATTEMPTS_MAX,
    LOGBOOK_NAMES_MAX = 40,
    LOGBOOK_NOTICE_MAX = 400,
    LOGBOOK_COURSE_MAX = 40 /* nights in the plot over time: the newest */
};

/* Parts that intents of the sheet name. */
enum {
    LOGBOOK_PART_ROW,     /* row `amount` gets the cursor */
    LOGBOOK_PART_TRAINEE, /* the next trainee, or the one before */
    LOGBOOK_PART_CASE,    /* the same for the case */
    LOGBOOK_PART_TAB,     /* narrow screens: nights or figures */
    LOGBOOK_PART_MODE,    /* begin to type: LogbookMode `amount` */
    LOGBOOK_PART_EDIT,    /* an edit of what is typed */
    LOGBOOK_PART_DONE,    /* carry out what was typed */
    LOGBOOK_PART_DEBRIEF  /* look back on the night with the cursor */
};

/* What is being typed. */
typedef enum LogbookMode {
    LOGBOOK_MODE_NONE,
    LOGBOOK_MODE_EXPORT,
    LOGBOOK_MODE_IMPORT,
    LOGBOOK_MODE_NAME
} LogbookMode;

/* A night in the list. */
typedef struct LogbookRow {
    char when[TEXT_SHORT]; /* on the wall clock here */
    char trainee[JOURNAL_NAME_MAX];
    char case_title[CASE_LINE_MAX];
    char outcome[TEXT_LINE]; /* in words */
    char call[TEXT_LINE];    /* the last one, with its confidence; may be empty */
    int right;               /* of that call: 2 right, 1 its kind, 0 neither */
    double score;            /* share; NaN: none */
    bool trouble;
    double recognition_s; /* negative: none */
    char file[ATTEMPT_FILE_MAX];
} LogbookRow;

/* Large, flat. */
typedef struct LogbookSheet {
    bool loaded;
    int names, name; /* trainees; the chosen one, -1: all */
    char trainee[LOGBOOK_NAMES_MAX][JOURNAL_NAME_MAX];
    int cases, chosen_case; /* cases that were played; -1: all */
    char case_id[LOGBOOK_NAMES_MAX][JOURNAL_NAME_MAX], case_title[LOGBOOK_NAMES_MAX][CASE_LINE_MAX];
    char working[JOURNAL_NAME_MAX]; /* who works here: the name in the settings */
    char folder[JOURNAL_PATH_MAX];
    int rows, row; /* newest first; the one with the cursor */
    LogbookRow item[LOGBOOK_ROWS_MAX];
    Calibration calls, predictions;
    int next_count;
    char next_case[LOGBOOK_NEXT_MAX][CASE_LINE_MAX], next_why[LOGBOOK_NEXT_MAX][LOGBOOK_REASON_MAX];
    int confused; /* 0: nothing was called for another */
    char confused_text[TEXT_LONG];
    int skipped, unmeasured;
    int tab; /* narrow screens: 0 nights, 1 figures */
    LogbookMode mode;
    TextField field;
    char notice[LOGBOOK_NOTICE_MAX]; /* what came of the last act, or what is wrong */
} LogbookSheet;

extern const SheetKind UI_LOGBOOK_SHEET;

/* Reads the folder of nights anew for the chosen trainee and case. */
void ui_logbook_load(LogbookSheet *sheet);

/* Carries out what was typed: an export to a file (.tar nights, .csv table, .json statements), an import, or
   a name for who works here. */
void ui_logbook_done(LogbookSheet *sheet, SheetContext *context);

/* The whole sheet. */
void ui_logbook_draw(Ui *ui, Rect screen, const void *state, Intents *intents);

/* Score and time to recognition over the nights, oldest of those on show at the left. */
void ui_logbook_course(Ui *ui, Rect room, const LogbookSheet *sheet);

/* What was said against what was right. */
void ui_logbook_reliability(Ui *ui, Rect room, const LogbookSheet *sheet);

#endif
