/* One chamber of the heart picture: a stack of widths on an inner boundary. Used by ui/heart_shape.c only. */
#ifndef UI_HEART_CHAMBER_H
#define UI_HEART_CHAMBER_H

#include "ui/heart_shape.h"

/* What a chamber must look like. Arrays run over HEART_SAMPLES heights from the valve plane (0) to the tip.
 */
typedef struct ChamberPlan {
    double x_dir;      /* +1 left heart, -1 right heart: from the inner boundary outward */
    double y_dir;      /* +1 ventricles (tip down), -1 atria */
    double base_y_mm;  /* height of the valve plane */
    double length_mm;  /* valve plane to tip, > 0 */
    double area_mm2;   /* to enclose, > 0 */
    double base_mm;    /* width at the valve plane, > 0 */
    double tip_frac;   /* how far outward the tip sits, in mean widths; 0.5 is symmetrical */
    double tip_power;  /* how late the inner boundary turns toward the tip, >= 2 */
    double belly_base; /* exponents of the belly's rise at the base and fall at the tip */
    double belly_tip;
    double wall_mm;                /* thickness outward */
    double inside_mm;              /* thickness on the inner side (septum, between the atria) */
    double line_mm[HEART_SAMPLES]; /* inner boundary at rest */
    double bow_mm[HEART_SAMPLES];  /* its shift now, positive into the chamber */
    double dent_mm[HEART_SAMPLES]; /* wanted inward push of the outer wall, >= 0 */
} ChamberPlan;

typedef struct ChamberForm {
    HeartPoint inner[HEART_SAMPLES], outer[HEART_SAMPLES];           /* cavity border */
    HeartPoint inner_wall[HEART_SAMPLES], outer_wall[HEART_SAMPLES]; /* outer border of the muscle */
    HeartPoint outward[HEART_SAMPLES]; /* unit vector away from the outer wall */
    double dent_mm[HEART_SAMPLES];     /* push that found room */
} ChamberForm;

/* Height fraction of sample `i`: 0 valve plane, 1 tip; dense at both ends. */
double ui_heart_chamber_height(int i);
/* How far the inner boundary has turned outward, toward the tip, at a height fraction 0..1. */
double ui_heart_chamber_turn_mm(const ChamberPlan *plan, double height);
/* Lays the chamber out. The widths stay positive and enclose plan->area_mm2 whatever the bow and the dent. */
void ui_heart_chamber_lay(const ChamberPlan *plan, ChamberForm *form);
/* Cavity border from outer base over the tip to inner base, closed by the straight valve plane. */
void ui_heart_chamber_cavity(const ChamberForm *form, HeartCurve *curve);
/* The muscle's outer border, closed likewise. */
void ui_heart_chamber_wall(const ChamberForm *form, HeartCurve *curve);

#endif
