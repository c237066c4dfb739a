/* The look: the picture of the heart in the whole window, from the present state of the model. Schematic: its
   outlines are computed from volumes, septum, openings and flows; nothing is an image and nothing is
   scripted. What a look shows is in LookSheet; ui/look.c fills it from the feed, tests and the bench fill it
   by hand. */
#ifndef UI_LOOK_H
#define UI_LOOK_H

#include "ui/heart_shape.h"
#include "ui/sheet.h"

typedef enum LookPage {
    LOOK_PAGE_FOUR,   /* four chambers with the outflow tract */
    LOOK_PAGE_SHORT,  /* both ventricles across */
    LOOK_PAGE_VALVE,  /* aortic valve from above */
    LOOK_PAGE_SAC,    /* pericardium */
    LOOK_PAGE_INFLOW, /* inflow of the left pump */
    LOOK_PAGES
} LookPage;

typedef struct LookSheet {
    LookPage page;
    bool gauges;    /* small screens: the gauges in place of the picture */
    bool frozen;    /* the picture stands; the night goes on */
    bool plain;     /* diagram instead of grain */
    bool outline;   /* the reference is drawn over the picture */
    bool measuring; /* the calliper has the arrow keys */
    bool tags;      /* volumes and distances are written beside the picture */
    bool reduced_motion;
    bool picture;                             /* the probe is in place */
    bool can_ask;                             /* a look can be asked for now */
    char words[TEXT_LINE], detail[TEXT_LINE]; /* otherwise: why not, or how long still */
    char notice[TEXT_LINE];                   /* what was refused last; empty: nothing */
    double left_s;                            /* until the look ends by itself; NAN: no limit */
    HeartView heart;                          /* the last beat: gauges */
    HeartView now;                            /* with what moves at the moment on show: picture */
    HeartLoop loop;
    int64_t at; /* moment on show, -1 none yet */
    double time_s, time_rate;
    BedsideView bedside; /* only its alarms are filled */
    bool paused;
    double depth_mm[LOOK_PAGES]; /* shown from the probe downward */
    bool marked;                 /* the calliper has been placed on this page */
    int mark_chosen;             /* point that the arrow keys move, 0 or 1 */
    HeartPoint mark[2];          /* mm in the plane of the page */
    double sized_for;            /* sum of sizes that the depths were last set for */
    double renewed_s;            /* wall clock of the last copy at high time rates */
    int64_t played_from;
} LookSheet;

extern const SheetKind UI_LOOK_SHEET;

/* Puts moment `at` of the loop into sheet->now, and keeps depths up with the size of the heart; to be called
   after the loop, the heart or `at` has changed. */
void ui_look_settle(LookSheet *sheet);

/* Draws the sheet; the kind's `draw`. */
void ui_look_draw(Ui *ui, Rect screen, const void *state, Intents *intents);

/* Distance of the two calliper points, mm. */
double ui_look_measured_mm(const LookSheet *sheet);

/* Velocity in m/s of `flow_ml_s` through an inflow `bore_mm` wide that the wall covers by `occlusion_frac`;
   the share that a full cover takes is the model's (model/measure.c). */
double ui_look_velocity_m_s(double flow_ml_s, double bore_mm, double occlusion_frac);

/* Why there is no picture, and what can be done about it; the second may be empty. */
void ui_look_words(const HeartView *heart, char words[TEXT_LINE], char detail[TEXT_LINE]);

/* What the flows of the loop say, in one sentence. */
void ui_look_sentence(const HeartView *heart, char *text, size_t size);

#endif
