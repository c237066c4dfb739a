/* What the user wants, in our own words: screens, cards and sheets add intents, ui/shell.c carries them out.
 */
#ifndef UI_INTENTS_H
#define UI_INTENTS_H

#include <stdbool.h>

typedef enum IntentKind {
    INTENT_GROUP,   /* open order group `number` */
    INTENT_ROW,     /* give row `number` the focus */
    INTENT_STEP,    /* row `number` by `amount` steps, ten times as far with `large` */
    INTENT_SET,     /* row `number` to `amount` */
    INTENT_DIGIT,   /* a typed character `number` for the row with the focus */
    INTENT_CONFIRM, /* carry out what is pending */
    INTENT_DROP,    /* forget what is pending */
    INTENT_PAUSE,
    INTENT_RATE, /* time rate one step slower (-1), faster (+1), or to 1x (0) */
    INTENT_SEEN, /* messages have been read */
    INTENT_HELP,
    INTENT_MESSAGES,
    INTENT_ACTIONS,
    INTENT_HANDOVER,
    INTENT_CLOSE,  /* close what lies on top */
    INTENT_SCROLL, /* show what lies on top from `amount` px down */
    INTENT_LEAVE,  /* ask whether to leave the night; confirmed with `number` 1 */
    INTENT_FULL_SCREEN,
    INTENT_INSTRUCTOR, /* open or close the instructor's window */
    INTENT_PICTURE,
    INTENT_ZOOM,  /* interface size one step down (-1), up (+1), or to the first guess (0) */
    INTENT_CASE,  /* case `number` of the list was chosen */
    INTENT_SHEET, /* open sheet `number` (SheetId); SHEET_NONE: back to the bedside */
    INTENT_TYPE,     /* an edit `amount` (ui/textfield.h) of the search of the list of cases */
    INTENT_SORT,     /* the other order of the list of cases */
    INTENT_RESUME,   /* go on with the unfinished night of case `number` */
    INTENT_PERSON,   /* free practice: person `number` (PersonId) */
    INTENT_PRACTICE, /* free practice: 0 its card, 1 begin */
    INTENT_ALARM_PAUSE, /* pause the alarms' sound, or end the pause */
    INTENT_ALARM_SEEN,  /* acknowledge alarm `number` (AlarmId); ALARM_FIRST: the first, then on to the next */
    INTENT_SOUND_CHECK, /* play sound `number` (SoundId) once */
    INTENT_PREDICTION_SEEN, /* what became of a prediction has been read */
    INTENT_DESCRIBE, /* tell the screen in words */
    INTENT_PANEL, /* compact arrangement: show panel `number` (BedsidePanel) */
    INTENT_DEBRIEF, /* look back on the night that has just ended; on the list of cases: on night `amount` (0: the
                       newest) of case `number` */
    INTENT_PART   /* for the open sheet: its own part `number`, moved, set or chosen by `amount` */
} IntentKind;

typedef struct Intent {
    IntentKind kind;
    int number;
    double amount;
    bool large;
} Intent;

enum { INTENTS_MAX = 64, ALARM_FIRST = -1 };

typedef struct Intents {
    int count;
    Intent of[INTENTS_MAX];
} Intents;

/* Adds an intent; silently full at INTENTS_MAX, which a frame's input cannot reach. */
void ui_intents_add(Intents *intents, IntentKind kind, int number, double amount, bool large);

#endif
