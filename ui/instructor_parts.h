/* Inside the instructor's window: its drawing in two files. */
#ifndef UI_INSTRUCTOR_PARTS_H
#define UI_INSTRUCTOR_PARTS_H

#include "ui/instructor.h"

/* Regions and controls. */
enum {
    INSTRUCTOR_AREA_GROUND = 40, /* beyond those of the bedside */
    INSTRUCTOR_AREA_TOP,
    INSTRUCTOR_AREA_STRIP,
    INSTRUCTOR_AREA_EVENTS,
    INSTRUCTOR_AREA_HEART,
    INSTRUCTOR_AREA_TRUTH,
    INSTRUCTOR_AREA_TABS,
    INSTRUCTOR_AREA_SAY,
    INSTRUCTOR_AREA_TRAINEE,
    INSTRUCTOR_AREA_TOLD,
    INSTRUCTOR_AREA_CAUSES
};
enum {
    INSTRUCTOR_ID_SLOWER = 2501,
    INSTRUCTOR_ID_PAUSE,
    INSTRUCTOR_ID_FASTER,
    INSTRUCTOR_ID_FIRE,
    INSTRUCTOR_ID_DELAY,
    INSTRUCTOR_ID_DELAY_LESS,
    INSTRUCTOR_ID_SKIP,
    INSTRUCTOR_ID_WHO,
    INSTRUCTOR_ID_MESSAGE,
    INSTRUCTOR_ID_SEND,
    INSTRUCTOR_ID_NOTE,
    INSTRUCTOR_ID_MARK,
    INSTRUCTOR_ID_TRUTH_BEFORE,
    INSTRUCTOR_ID_TRUTH_AFTER,
    INSTRUCTOR_ID_TRUTH_SAY,
    INSTRUCTOR_ID_FREEZE,
    INSTRUCTOR_ID_BACK_LESS,
    INSTRUCTOR_ID_BACK_MORE,
    INSTRUCTOR_ID_BACK,
    INSTRUCTOR_ID_BACK_KEEP,
    INSTRUCTOR_ID_TABS,         /* + InstructorPanel */
    INSTRUCTOR_ID_READY = 2540, /* + prepared line */
    INSTRUCTOR_ID_EVENTS = 2560 /* + event */
};

/* A region with its ground. */
void ui_instructor_area(Ui *ui, int area, Rect r);

/* The two panels beside the causes. */
void ui_instructor_draw_say(Ui *ui, Rect r, const InstructorView *v, Intents *intents);
void ui_instructor_draw_trainee(Ui *ui, Rect r, const InstructorView *v);

#endif
