/* The instructor's window: the truth beside what the trainee sees, the timeline, what the trainee does, and a
   hand on all of it. A screen of its own on the same night; every act goes through sim_session_say_as. */
#ifndef UI_INSTRUCTOR_H
#define UI_INSTRUCTOR_H

#include "sim/script.h"
#include "ui/feed.h"
#include "ui/practice.h"
#include "ui/screen.h"
#include "ui/textfield.h"

enum {
    INSTRUCTOR_TRUTHS_MAX = 32,
    INSTRUCTOR_LINES_MAX = 40,
    INSTRUCTOR_DRIPS_MAX = 16,
    INSTRUCTOR_GOALS_MAX = 24,
    INSTRUCTOR_MARKS_MAX = 160,
    INSTRUCTOR_BACK_MOST = 60 /* minutes */
};

/* How an event of the timeline stands. */
typedef enum EventStand {
    EVENT_WAITS,     /* for a condition, or for another event */
    EVENT_DUE,       /* its time is known */
    EVENT_CALLED,    /* comes with the next beat */
    EVENT_SKIPPED,   /* does not come */
    EVENT_CAME,      /* went its own way */
    EVENT_OTHERWISE, /* its time came, and it went the other way */
    EVENT_STANDS
} EventStand;

typedef struct InstructorEvent {
    char id[CASE_ID_MAX];
    EventStand stand;
    double time_s;        /* came or comes; NaN: not known */
    double delay_s;       /* by hand */
    char when[TEXT_LONG]; /* what it waits for, in the case's words */
    char what[TEXT_LONG]; /* what it does */
} InstructorEvent;

/* A value as it is and as the trainee sees it. */
typedef struct InstructorTruth {
    char name[TEXT_SHORT], unit[TEXT_SHORT], truth[TEXT_SHORT], shown[TEXT_SHORT];
    bool apart; /* the two differ by more than noise */
} InstructorTruth;

/* A line of the log. */
typedef struct InstructorLine {
    double time_s;
    LogKind kind;
    bool instructor; /* said by the instructor */
    bool mine;       /* for the instructor's eyes */
    char text[TEXT_LONG];
} InstructorLine;

typedef struct InstructorGoal {
    char text[TEXT_LONG], points[TEXT_SHORT];
    bool all, none; /* of its points */
} InstructorGoal;

/* A moment on the strip over the timeline. */
typedef struct InstructorMark {
    double time_s;
    LogKind kind;
} InstructorMark;

typedef enum InstructorPanel {
    INSTRUCTOR_CAUSES,
    INSTRUCTOR_SAY,
    INSTRUCTOR_TRAINEE,
    INSTRUCTOR_PANELS
} InstructorPanel;

typedef struct InstructorView {
    bool open; /* a night is open */
    char case_title[TEXT_LINE];
    double time_s, length_s, rate_x;
    bool paused, ended, card; /* card: the trainee reads a card, and the night waits */
    char outcome[TEXT_SHORT];
    char truth[TEXT_LINE], also[TEXT_LINE]; /* what is wrong, and what passes for it */
    bool frozen;                            /* the pump's screen */
    HeartView heart;
    InstructorTruth row[INSTRUCTOR_TRUTHS_MAX];
    int rows;
    InstructorEvent event[CASE_EVENTS_MAX];
    int events, chosen;
    InstructorLine line[INSTRUCTOR_LINES_MAX]; /* newest first */
    int lines;
    InstructorMark mark[INSTRUCTOR_MARKS_MAX];
    int marks;
    char drip[INSTRUCTOR_DRIPS_MAX][TEXT_LINE]; /* what runs, and what is under way */
    int drips;
    InstructorGoal goal[INSTRUCTOR_GOALS_MAX];
    int goals;
    double got, most;
    char last_call[TEXT_LINE];
    int call_right;             /* 2 the diagnosis, 1 its kind, 0 neither, -1 no call yet */
    PracticeView causes;        /* only its list of causes is used */
    InstructorPanel panel;      /* has the arrows; INSTRUCTOR_PANELS: the timeline */
    InstructorPanel last_panel; /* on show where there is room for one */
    int who;                    /* who speaks, see ui_instructor_speaker */
    TextField message, note;
    DiagnosisId diagnosis; /* chosen to be said */
    int back_min;          /* how far to take back */
    bool asked;            /* a take-back waits to be confirmed, and the night with it */
    bool was_running;      /* before it was asked */
    double back_to_s;
    char lost[TEXT_LONG]; /* by it */
    char told[TEXT_LONG]; /* what was done last, or why it was refused */
    bool refused;
} InstructorView;

/* Parts of the window, as numbers of INTENT_PART; smaller ones are PracticePart. */
typedef enum InstructorPart {
    INSTRUCTOR_PART_EVENT = 100, /* amount: the event chosen */
    INSTRUCTOR_PART_FIRE,
    INSTRUCTOR_PART_DELAY, /* amount: minutes */
    INSTRUCTOR_PART_SKIP,  /* skip, or keep after all */
    INSTRUCTOR_PART_FREEZE,
    INSTRUCTOR_PART_WHO,     /* amount: speakers forth or back */
    INSTRUCTOR_PART_MESSAGE, /* amount: an edit */
    INSTRUCTOR_PART_LINE,    /* amount: the prepared line taken into the field */
    INSTRUCTOR_PART_SEND,
    INSTRUCTOR_PART_NOTE, /* amount: an edit */
    INSTRUCTOR_PART_MARK,
    INSTRUCTOR_PART_TRUTH, /* amount: diagnoses forth or back */
    INSTRUCTOR_PART_TRUTH_SAY,
    INSTRUCTOR_PART_BACK_BY,  /* amount: minutes more or less */
    INSTRUCTOR_PART_BACK_ASK, /* says what would be lost */
    INSTRUCTOR_PART_BACK_DO,
    INSTRUCTOR_PART_BACK_KEEP,
    INSTRUCTOR_PART_PANEL /* amount: the panel that has the arrows; INSTRUCTOR_PANELS: the timeline */
} InstructorPart;

typedef struct Instructor {
    Screen screen;
    InstructorView view;
    const Session *session; /* of the night that the view is of; to see that it is another */
    double due_s;           /* next refresh of numbers, lists and timeline on the wall clock */
    double heart_due_s, wall_s;
    bool quit, full_screen, zoom;
    int zoom_step;
} Instructor;

/* Finds the fonts; NULL and `error` on failure. Free with ui_instructor_destroy, which accepts NULL. */
Instructor *ui_instructor_create(Error *error);
void ui_instructor_destroy(Instructor *instructor);

/* One frame. `feed` NULL: no night is open. `card`: the trainee reads a card. */
void ui_instructor_frame(Instructor *instructor, Feed *feed, const Settings *settings, bool card,
                         const Input *input, double wall_s, double now_s);

/* Fills numbers, timeline, log, score from the night. */
void ui_instructor_fill(InstructorView *view, Feed *feed);

/* Draws the window and takes its keys; `state` is an InstructorView. */
void ui_instructor_draw(Ui *ui, Rect screen, const void *state, Intents *intents);

/* Carries out what the instructor wants of the night. */
void ui_instructor_apply(InstructorView *view, Feed *feed, const Intent *intent);

/* Who can speak, and lines that are ready. */
int ui_instructor_speakers(void);
const char *ui_instructor_speaker(int who);
int ui_instructor_ready_lines(void);
const char *ui_instructor_ready_line(int index, int *who);

#endif
