/* Geometry of the short axis: both ventricles across at their middle, from volumes and septum. No drawing.
   Origin: the centre of the round left ventricle; x to the right (lateral wall), y down (inferior). */
#ifndef UI_LOOK_SHORT_H
#define UI_LOOK_SHORT_H

#include "ui/heart_shape.h"

typedef struct LookShortInput {
    double lv_ml, rv_ml, septum_mm;          /* now */
    double lv_reference_ml, rv_reference_ml; /* end diastole: they set the muscle's area */
    double fluid_ml, clot_lv_ml, clot_rv_ml;
    double push_lv_mm, push_rv_mm; /* walls pushed in, >= 0 */
} LookShortInput;

typedef struct LookShort {
    HeartCurve lv, rv;           /* cavities, closed */
    HeartCurve lv_wall, rv_wall; /* outer borders of the muscle, closed; rv_wall lies under lv_wall */
    HeartCurve sac;              /* pericardial line, closed */
    HeartCurve clot[2];          /* beside LV, beside RV; count 0: none */
    double clot_mm[2];
    HeartPoint septum, lateral; /* ends of the left ventricular diameter, on the cavity */
    HeartPoint upper, lower;    /* of the diameter at right angles to it */
    double across_mm, along_mm; /* septum to lateral wall; at right angles */
    double wall_mm, fluid_mm;
    double rv_width_mm; /* septum to free wall in the middle */
} LookShort;

/* Builds all outlines. The distance septum to lateral wall is the model's diameter (model/sizes.h), the right
   ventricle's area is ui_look_short_rv_mm2 of its volume. Any finite input is drawable. */
void ui_look_short_build(const LookShortInput *input, LookShort *shape);

/* Area in mm2 of the right ventricle's section at a volume: keeps its proportions, area ~ volume^(2/3). */
double ui_look_short_rv_mm2(double rv_ml);

#endif
