/* Cards that lie over the bedside, and the list of cases before it. */
#ifndef UI_OVERLAY_H
#define UI_OVERLAY_H

#include "model/people.h"
#include "sim/case.h"
#include "sim/journal.h"
#include "ui/bedside.h"
#include "ui/textfield.h"
#include "ui/widgets.h"

typedef enum OverlayKind {
    OVERLAY_NONE,
    OVERLAY_CAUTION,  /* what this program is not; confirmed once */
    OVERLAY_CASES,    /* the list of cases */
    OVERLAY_PRACTICE, /* free practice: whom, how fast */
    OVERLAY_HANDOVER, /* the handover of the case */
    OVERLAY_HELP,     /* the keys */
    OVERLAY_MESSAGES, /* every message in full */
    OVERLAY_ACTIONS,  /* every order */
    OVERLAY_END,      /* how the night ended */
    OVERLAY_LEAVE,    /* whether to leave the night */
    OVERLAY_PROBLEM   /* something failed */
} OverlayKind;

enum { OVERLAY_CASES_MAX = 64, OVERLAY_TRIES_MAX = 6, OVERLAY_AIMS_MAX = 4 };

/* An earlier night of a case. */
typedef struct CaseTry {
    char when[TEXT_SHORT]; /* date and time on the wall clock */
    bool finished;         /* false: it was left before its end */
    bool goes_on;          /* an unfinished one of this program's build: it can be gone on with */
    CaseOutcome outcome;   /* of a finished one */
    double reached_s;      /* time of the night it was played to */
    char call[TEXT_LINE];  /* the last working diagnosis; may be empty */
    char path[JOURNAL_PATH_MAX];
} CaseTry;

/* A case in the list; one that cannot be read keeps its place and says why. */
typedef struct CaseEntry {
    char path[CASE_PATH_MAX], id[CASE_ID_MAX], title[CASE_LINE_MAX], theme[CASE_LINE_MAX];
    char summary[CASE_TEXT_MAX];
    char aims[OVERLAY_AIMS_MAX][CASE_LINE_MAX]; /* aims of the night */
    int aim_count;
    int level;
    double length_s;
    bool readable;
    int tries;                       /* all there were */
    CaseTry last[OVERLAY_TRIES_MAX]; /* the newest of them, newest first */
} CaseEntry;

typedef struct OverlayView {
    OverlayKind kind;
    CaseEntry entry[OVERLAY_CASES_MAX]; /* OVERLAY_CASES */
    int entries, chosen;
    TextField search;
    bool by_theme;                       /* list ordered by theme instead of by level */
    bool settings;                       /* there are settings to open */
    PersonId person;                     /* OVERLAY_PRACTICE */
    double practice_x;                   /* time rate to begin with */
    CaseTry practice_last[PERSON_COUNT]; /* the newest night of each person that can be gone on with */
    const CaseHandover *handover;        /* OVERLAY_HANDOVER; not owned */
    const Case *case_file;               /* the same night's; not owned; NULL: nothing is said of orders */
    const char *case_title;              /* not owned */
    char title[TEXT_LINE];               /* OVERLAY_END, OVERLAY_LEAVE, OVERLAY_PROBLEM */
    char text[TEXT_LONG], detail[TEXT_LONG];
    bool debrief; /* OVERLAY_END: the night was recorded and can be looked back on */
    double scroll_px; /* of a text longer than its card; more than there is shows its end */
} OverlayView;

/* Draws the card over `screen` and takes its keys. Does nothing for OVERLAY_NONE. INTENT_CLOSE: done with it;
   INTENT_CASE: a case was chosen; INTENT_ROW: another one of the list; INTENT_SCROLL: another part of a long
   text; INTENT_LEAVE: out of the night. */
void ui_overlay_draw(Ui *ui, Rect screen, const OverlayView *overlay, const BedsideView *view,
                     Intents *intents);

#endif
