/* Pressure-volume loops of the ventricles: the last beat, a kept one to compare with, and the end-systolic
   and end-diastolic relations of the walls. Truth, for free practice. */
#ifndef UI_LOOPS_H
#define UI_LOOPS_H

#include "model/beat.h"
#include "model/heart.h"
#include "ui/view.h"
#include "ui/widgets.h"

enum { RELATION_POINTS = 40 };

/* One beat of one ventricle; closed from the last point to the first. */
typedef struct Loop {
    int points; /* 0: none */
    float ml[BEAT_TICKS_MAX], mmhg[BEAT_TICKS_MAX];
} Loop;

/* Pressure against volume of a wall that is held in one state. */
typedef struct Relation {
    int points;
    float ml[RELATION_POINTS], mmhg[RELATION_POINTS];
} Relation;

typedef struct LoopPanel {
    ChamberId chamber; /* CHAMBER_LV or CHAMBER_RV */
    Side side;
    char title[TEXT_SHORT];
    Loop now, kept; /* kept: the reference, dashed */
    Relation end_systolic, end_diastolic;
    int at;                    /* point on show now, -1 none */
    int systole, diastole;     /* points of end systole and end diastole, -1 none */
    double high_ml, high_mmhg; /* ends of the axes, which begin at 0; see ui_loops_axes */
    double low_mmhg;
} LoopPanel;

/* What surrounds the walls in a beat and is no parameter: clots that have grown, mL [CHAMBER_COUNT]. */
typedef struct LoopSurroundings {
    double clot_ml[CHAMBER_COUNT];
} LoopSurroundings;

/* Takes the loop of a beat, with its points of end systole (greatest pressure over volume above the dead
   volume) and end diastole (the last before the next activation), and the relations of the walls as they are
   in this beat: septum and the other chambers as at those points. A beat without ticks is none. */
void ui_loops_take(LoopPanel *panel, const Beat *beat, const Parameters *parameters,
                   const LoopSurroundings *surroundings);

/* Chooses the ends of the axes so that both loops fit; they widen at once and narrow when there is much room.
 */
void ui_loops_axes(LoopPanel *panel);

/* Work of one beat, mmHg mL: the area of the loop, positive where it runs as a heart's does. */
double ui_loops_work(const Loop *loop);

/* Draws the panel: axes in mL and mmHg, relations, kept loop dashed, present loop, the place in the beat. */
void ui_loops_draw(Ui *ui, Rect rect, const LoopPanel *panel);

/* Where a volume and a pressure stand in the panel drawn in `rect`, px. */
double ui_loops_x(Rect rect, const LoopPanel *panel, double ml);
double ui_loops_y(Rect rect, const LoopPanel *panel, double mmhg);

#endif
