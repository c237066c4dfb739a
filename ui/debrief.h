/* The debrief: looking back on a recorded night in the order in which people talk it through. First the
   trainee's own words, then what happened, why, what might have been, and what to take home. It reads the
   night's file and never writes it; notes stand beside it. This header is for the files ui/debrief_*.c and
   their tests; the program knows the debrief by its row in ui/sheets.c. */
#ifndef UI_DEBRIEF_H
#define UI_DEBRIEF_H

#include "sim/debrief.h"
#include "sim/debrief_notes.h"
#include "sim/whatif_job.h"
#include "ui/sheet.h"
#include "ui/textfield.h"
#include "ui/view.h"

typedef enum DebriefPage {
    DEBRIEF_REACTIONS,
    DEBRIEF_HAPPENED,
    DEBRIEF_WHY,
    DEBRIEF_WHATIF,
    DEBRIEF_HOME,
    DEBRIEF_PAGES
} DebriefPage;

/* Fields that are typed into. */
typedef enum DebriefFieldId {
    DEBRIEF_FIELD_FELT,
    DEBRIEF_FIELD_WELL,
    DEBRIEF_FIELD_HARD,
    DEBRIEF_FIELD_NEXT1,
    DEBRIEF_FIELD_NEXT2,
    DEBRIEF_FIELD_NEXT3,
    DEBRIEF_FIELD_MOMENT, /* a note at the cursor */
    DEBRIEF_FIELD_WORDS,  /* what the chosen act of the what-if says */
    DEBRIEF_FIELDS
} DebriefFieldId;

enum { DEBRIEF_EDITS_MAX = 256, DEBRIEF_PANELS_MAX = 32 };

/* Numbers of the debrief's own intents (INTENT_PART). */
typedef enum DebriefPart {
    DEBRIEF_PART_PAGE,   /* amount: DebriefPage */
    DEBRIEF_PART_PANEL,  /* amount: panel of the page on show, where there is room for one only */
    DEBRIEF_PART_CURSOR, /* amount: moment of the cursor, s */
    DEBRIEF_PART_ACT,    /* amount: act of the what-if that is chosen */
    DEBRIEF_PART_MOVE,   /* amount: seconds by which it is moved */
    DEBRIEF_PART_DROP,   /* leaves it out, or takes it back */
    DEBRIEF_PART_WORDS,  /* takes over the words that were typed */
    DEBRIEF_PART_ADD,    /* one more act at the cursor */
    DEBRIEF_PART_OFFER,  /* the same treatment 20 minutes earlier */
    DEBRIEF_PART_RESET,  /* the night as it was */
    DEBRIEF_PART_STOP,   /* stop computing */
    DEBRIEF_PART_EXPORT, /* write the page */
    DEBRIEF_PART_FIELD,  /* + DebriefFieldId; amount: an edit */
    DEBRIEF_PART_SCROLL = DEBRIEF_PART_FIELD + DEBRIEF_FIELDS /* + panel; amount: px */
} DebriefPart;

/* An act of the night as it might have been. */
typedef struct DebriefEdit {
    double time_s, was_s; /* now, in the night; was_s negative: it was added */
    bool dropped;
    LogKind kind;
    char words[ACT_TEXT_MAX], was[ACT_TEXT_MAX];
} DebriefEdit;

typedef struct DebriefWhatifState {
    bool begun; /* the acts have been read */
    RerunActs acts, otherwise;
    int edits, chosen;
    DebriefEdit edit[DEBRIEF_EDITS_MAX];
    bool offer_made;  /* the treatment earlier has been put in once by itself */
    int offered;      /* acts that it moved */
    bool stale;       /* otherwise has changed since the job began */
    double changed_s; /* wall clock of that; negative: not yet seen */
    WhatifJob *job;   /* NULL: none */
    WhatifNews news;
    char problem[TEXT_LONG]; /* why words were not taken, or the job failed */
} DebriefWhatifState;

typedef struct DebriefState {
    char path[JOURNAL_PATH_MAX];
    char problem[TEXT_LONG]; /* the night cannot be read: why */
    Recall *recall;
    Debrief *debrief; /* NULL with a problem */
    DebriefPage page;
    int panel[DEBRIEF_PAGES]; /* on show where there is room for one only */
    double cursor_s;
    double scroll_px[DEBRIEF_PANELS_MAX];
    /* at the cursor and at the turning points */
    double seen_s; /* the moment of what follows; negative: none yet */
    DebriefSeen seen;
    HeartView heart, turn[DEBRIEF_MOMENTS_MAX];
    char heartless[TEXT_LINE]; /* why there are no hearts; empty: there are */
    DebriefNotes notes;
    bool apart;        /* nothing is written: neither notes nor a page */
    bool notes_locked; /* the file beside the night is something else: it is left as it is */
    bool notes_changed;
    double notes_s; /* wall clock of the change */
    TextField field[DEBRIEF_FIELDS];
    char said[TEXT_LONG]; /* what became of the page or a note; empty: nothing */
    DebriefWhatifState whatif;
} DebriefState;

/* The debrief, for ui/sheets.c. */
extern const SheetKind UI_DEBRIEF_SHEET;

/* Reads the night at `path`; where that fails state->problem says why. */
void ui_debrief_read(DebriefState *state, const char *path);
/* The same for what is in memory already (tests): the state does not own it. */
void ui_debrief_begin(DebriefState *state);
/* Gives back what the state owns. */
void ui_debrief_forget(void *state);
/* True while a changed course is being computed; its range may come later. */
bool ui_debrief_busy(const void *state);

/* The heart of a moment as an inline picture for the page. */
void ui_debrief_heart_svg(const DebriefHeart *heart, FILE *out);

/* The end of the night, or of the longer of the two courses, s. */
double ui_debrief_end_s(const DebriefState *state);

/* ---- inside the debrief ---- */

enum {
    DEBRIEF_REGION_BACK = 40, /* past those of the bedside */
    DEBRIEF_REGION_TOP,
    DEBRIEF_REGION_FOOT,
    DEBRIEF_REGION_BAR,
    DEBRIEF_REGION_PANEL = 45 /* + place among the panels of its page */
};

enum {
    DEBRIEF_ID_TAB = 3000,
    DEBRIEF_ID_BACK = 3010,
    DEBRIEF_ID_PANEL = 3020,
    DEBRIEF_ID_SCROLL = 3050, /* + panel */
    DEBRIEF_ID_COURSE = 3080,
    DEBRIEF_ID_EARLIER,
    DEBRIEF_ID_LATER,
    DEBRIEF_ID_DROP,
    DEBRIEF_ID_ADD,
    DEBRIEF_ID_OFFER,
    DEBRIEF_ID_RESET,
    DEBRIEF_ID_STOP,
    DEBRIEF_ID_WORDS,
    DEBRIEF_ID_EXPORT,
    DEBRIEF_ID_FIELD = 3100, /* + DebriefFieldId */
    DEBRIEF_ID_ACT = 3200,   /* + act of the what-if */
    DEBRIEF_ID_MARK = 3600   /* + mark */
};

/* The page on show, its tabs and its keys. */
void ui_debrief_draw(Ui *ui, Rect screen, const void *state, Intents *intents);

/* What a panel is drawn with. */
typedef struct DebriefDraw {
    Ui *ui;
    const DebriefState *state;
    Intents *intents;
    Rect view; /* the part of the screen on which the panel's text is seen */
} DebriefDraw;

/* What a panel says, drawn in `room` (moved up by what is scrolled); returns the y after it. */
typedef double (*DebriefText)(const DebriefDraw *d, Rect room);

/* One more intent of the debrief. */
void ui_debrief_want(Intents *intents, int part, double amount);
/* h:mm as a debrief writes it; "--" for a negative time. */
const char *ui_debrief_clock(double time_s, char text[TEXT_SHORT]);
/* Whether a control at `rect` is seen as a whole: otherwise it is not offered. */
bool ui_debrief_shows(const DebriefDraw *d, Rect rect);
/* A paragraph in the usual size with its first baseline at y; returns the baseline after it. */
double ui_debrief_words(const DebriefDraw *d, Rect room, double y, Colour colour, const char *text);
/* The same with a dot before it: filled for numbers, a ring for the picture. */
double ui_debrief_point(const DebriefDraw *d, Rect room, double y, bool ring, const char *text);
/* A field with what is asked for above it; returns the y after it. */
double ui_debrief_field(const DebriefDraw *d, Rect room, double y, DebriefFieldId id, const char *ask);
/* A sign of how well: 2 a tick in a disc, 1 half a disc, 0 a cross in a ring; 22 px, x, y its middle. */
void ui_debrief_sign(Ui *ui, double x, double y, int how);
/* A name at the left and a number at the right of a line with its baseline at y. */
void ui_debrief_pair(const DebriefDraw *d, Rect room, double y, const char *name, const char *value,
                     bool strong);

/* Texts of the panels. */
double ui_debrief_night_text(const DebriefDraw *d, Rect room);
double ui_debrief_reactions_text(const DebriefDraw *d, Rect room);
double ui_debrief_phases_text(const DebriefDraw *d, Rect room);
double ui_debrief_score_text(const DebriefDraw *d, Rect room);
double ui_debrief_targets_text(const DebriefDraw *d, Rect room);
double ui_debrief_predictions_text(const DebriefDraw *d, Rect room);
double ui_debrief_marks_text(const DebriefDraw *d, Rect room);
double ui_debrief_alarms_text(const DebriefDraw *d, Rect room);
double ui_debrief_seen_text(const DebriefDraw *d, Rect room);
double ui_debrief_note_text(const DebriefDraw *d, Rect room);
double ui_debrief_chain_text(const DebriefDraw *d, Rect room);
double ui_debrief_signs_text(const DebriefDraw *d, Rect room);
double ui_debrief_belief_text(const DebriefDraw *d, Rect room);
double ui_debrief_hearts_text(const DebriefDraw *d, Rect room);
double ui_debrief_questions_text(const DebriefDraw *d, Rect room);
double ui_debrief_well_text(const DebriefDraw *d, Rect room);
double ui_debrief_teaching_text(const DebriefDraw *d, Rect room);
double ui_debrief_next_text(const DebriefDraw *d, Rect room);
double ui_debrief_notes_text(const DebriefDraw *d, Rect room);
double ui_debrief_page_text(const DebriefDraw *d, Rect room);
double ui_debrief_acts_text(const DebriefDraw *d, Rect room);
double ui_debrief_change_text(const DebriefDraw *d, Rect room);
double ui_debrief_table_text(const DebriefDraw *d, Rect room);
double ui_debrief_course_text(const DebriefDraw *d, Rect room);

/* The hearts of the cursor and of the turning points from the states of the night. */
void ui_debrief_heart_view(const DebriefHeart *heart, HeartView *view);

/* What-if: reads the acts, carries out its intents, starts and follows the job. */
void ui_debrief_whatif_begin(DebriefState *state);
void ui_debrief_whatif_apply(DebriefState *state, const Intent *intent);
void ui_debrief_whatif_follow(DebriefState *state, double now_s);
void ui_debrief_whatif_forget(DebriefState *state);

#endif
