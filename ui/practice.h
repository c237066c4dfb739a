/* Free practice: every cause and control of the patient open, pressure-volume loops and the truth beside
   them. A page in the place of the bedside; the night goes on. */
#ifndef UI_PRACTICE_H
#define UI_PRACTICE_H

#include "model/parameters.h"
#include "ui/loops.h"
#include "ui/sheet.h"
#include "ui/textfield.h"

enum { PRACTICE_TRUTHS_MAX = 28, PRACTICE_OVER_COUNT = 8 };

/* A value as it really is. */
typedef struct PracticeTruth {
    char name[TEXT_SHORT], value[TEXT_SHORT], unit[TEXT_SHORT];
} PracticeTruth;

typedef struct PracticeView {
    char person[TEXT_LINE];
    double time_s, rate_x;
    bool paused, open; /* open: causes may be changed in this night */
    LoopPanel loop[2]; /* left, right */
    PracticeTruth truth[PRACTICE_TRUTHS_MAX];
    int truths;
    Parameters now, start; /* in force; when the night began */
    bool pending[PARAMETER_COUNT];
    double wanted[PARAMETER_COUNT]; /* where pending */
    int pendings;
    int group;         /* on show, see ui_practice_group_name */
    ParameterId focus; /* the row that keys change */
    TextField search;  /* not empty: rows of every group that hold its words */
    char entry[TEXT_SHORT];
    int over;             /* time the next change takes, see ui_practice_over_s */
    char told[TEXT_LONG]; /* what was done last, or why it was refused; up to two lines */
    int64_t beat_tick;    /* of the loops */
    bool begun;
} PracticeView;

/* The parts of the page, as numbers of INTENT_PART. */
typedef enum PracticePart {
    PRACTICE_PART_GROUP,  /* amount: groups forth or back */
    PRACTICE_PART_FOCUS,  /* amount: ParameterId */
    PRACTICE_PART_STEP,   /* amount: steps of the row with the focus; large: ten times as far */
    PRACTICE_PART_VALUE,  /* amount: wanted value of the row with the focus */
    PRACTICE_PART_DIGIT,  /* amount: a typed character */
    PRACTICE_PART_SEARCH, /* amount: an edit (ui/textfield.h) */
    PRACTICE_PART_OVER,   /* amount: steps of the time a change takes */
    PRACTICE_PART_SET,    /* carry out what is pending */
    PRACTICE_PART_DROP,   /* forget what is pending */
    PRACTICE_PART_BACK,   /* the row with the focus back to where it began, pending */
    PRACTICE_PART_KEEP,   /* the present loops are what to compare with */
    PRACTICE_PART_SAVE    /* write the keys that differ from the start to a file */
} PracticePart;

extern const SheetKind UI_PRACTICE_SHEET;

/* Groups of parameters: their number, name, and whether a parameter stands in one. Group 0: what goes wrong.
 */
int ui_practice_group_count(void);
const char *ui_practice_group_name(int group);
bool ui_practice_group_has(int group, ParameterId id);

/* The rows on show, in the order of the table; returns how many. */
int ui_practice_rows(const PracticeView *practice, ParameterId rows[PARAMETER_COUNT]);

/* A step of a parameter by the buttons: 1, 2 or 5 times a power of ten, about a twentieth of where it began;
   1 for switches and kinds. */
double ui_practice_step(const PracticeView *practice, ParameterId id);

/* The value a row shows as wanted: pending, or in force. */
double ui_practice_wanted(const PracticeView *practice, ParameterId id);

/* Time a change takes, s; 0 at once. */
double ui_practice_over_s(int over);
void ui_practice_over_text(int over, char *text, size_t size);

/* Carries out an intent that concerns the page alone: all but PRACTICE_PART_SET and PRACTICE_PART_SAVE. */
void ui_practice_change(PracticeView *practice, const Intent *intent);

/* Writes the keys that differ from the start as a piece of a case file, with the same as --set options. */
void ui_practice_snippet(const PracticeView *practice, FILE *out);

/* Draws the list of causes alone, with group, search, time of a change and what is pending, in regions from
   `area` on (four of them); with `keys` it takes the keys of its rows. */
void ui_practice_causes(Ui *ui, Rect r, int area, const PracticeView *practice, bool keys, Intents *intents);

/* Draws the page and takes its keys. */
void ui_practice_draw(Ui *ui, Rect screen, const PracticeView *practice, Intents *intents);

#endif
