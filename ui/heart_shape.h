/* Geometry of the heart picture: from volumes to closed smooth outlines in millimetres. No drawing.
   The picture is a four-chamber section with the outflow tract, right heart on the left. Origin: the middle
   of the valve plane where the septum begins; x to the right (the patient's left), y down toward the apex.
   Every chamber is a stack of widths on one inner boundary, so that an outline cannot cross itself, the
   septum cannot leave the gap between the ventricles, and the enclosed area is what its volume asks for: area
   ~ volume^(2/3), as for a body that keeps its proportions. */
#ifndef UI_HEART_SHAPE_H
#define UI_HEART_SHAPE_H

#include "ui/view.h"

typedef struct HeartPoint {
    double x_mm, y_mm;
} HeartPoint;

enum {
    HEART_SAMPLES = 13,                       /* per side of a chamber, base and tip included */
    HEART_WALL_KNOTS = 2 * HEART_SAMPLES - 1, /* knots of a chamber's wall, from outer base over the tip */
    HEART_HULL_KNOTS = 40,                    /* knots of the pericardial line */
    HEART_CURVE_POINTS = 3 * HEART_HULL_KNOTS + 1 /* room in a curve */
};

/* Joined cubic curves: a first point, then two controls and an end point for each of the curves. */
typedef struct HeartCurve {
    int count; /* 3 n + 1 points for n cubic curves */
    HeartPoint point[HEART_CURVE_POINTS];
} HeartCurve;

/* What the geometry depends on. Volumes mL, all > 0; they are limited to 10 % .. 400 % of the reference. */
typedef struct HeartShapeInput {
    double now_ml[HEART_CHAMBER_COUNT];
    double end_diastole_ml[HEART_CHAMBER_COUNT]; /* largest of the beat: where the apex stands */
    double reference_ml[HEART_CHAMBER_COUNT];
    double septum_mm; /* positive toward the right ventricle */
    double suction_frac;
    double open_frac[HEART_VALVE_COUNT];
    double fluid_ml;
    double clot_ml[HEART_CHAMBER_COUNT];
    double
        push_mm[HEART_CHAMBER_COUNT]; /* a free wall pushed in by what lies outside, >= 0; no clot needed */
    double inflow_mm;                 /* lumen of the left inflow; 0: the one of the small picture */
} HeartShapeInput;

typedef struct HeartValveShape {
    HeartPoint hinge[2];   /* septal side first */
    HeartCurve leaflet[2]; /* from hinge to tip */
    HeartPoint centre;     /* middle of the orifice, where a leak starts */
    double width_mm;
} HeartValveShape;

typedef struct HeartShape {
    HeartCurve cavity[HEART_CHAMBER_COUNT]; /* closed; the last curve is the straight valve plane */
    HeartCurve wall[HEART_CHAMBER_COUNT];   /* outer border of the muscle, closed; lies under the cavity */
    double wall_mm[HEART_CHAMBER_COUNT];
    double length_mm[HEART_CHAMBER_COUNT];
    HeartPoint label[HEART_CHAMBER_COUNT];
    double label_width_mm[HEART_CHAMBER_COUNT]; /* cavity width at the label */
    HeartCurve root, root_wall;                 /* aortic lumen from the outflow tract up, closed */
    HeartPoint root_top[2];                     /* left and right end of the cut */
    HeartValveShape valve[HEART_VALVE_COUNT];   /* the pulmonary valve is not in this section: count 0 */
    HeartCurve pericardium;                     /* closed; hugs the muscle where there is no fluid */
    double fluid_mm;                            /* mean thickness of the free fluid */
    HeartCurve clot[HEART_CHAMBER_COUNT];       /* closed; count 0 where there is none */
    double clot_mm[HEART_CHAMBER_COUNT];        /* thickness at the middle */
    HeartPoint cannula_tip, cannula_end; /* middle of the inflow's mouth; where it leaves the picture */
    double cannula_mm;                   /* its lumen */
    HeartPoint right_inlet_tip[2],
        right_inlet_end[2];             /* the same for a right pump: in the atrium, the ventricle */
    HeartPoint septum, septum_straight; /* middle of the septum now, and where shift 0 would be */
} HeartShape;

/* Fills *input from a view: the heart now. Missing values (NAN) become the reference or 0. */
void ui_heart_shape_now(const HeartView *view, HeartShapeInput *input);
/* Fills *input with the same patient's reference: end diastole, valves shut, no fluid but the usual, no clot.
 */
void ui_heart_shape_reference(const HeartView *view, HeartShapeInput *input);

/* Builds all outlines. Any finite input is drawable: values are limited to what can be drawn. Continuous in
   every input. */
void ui_heart_shape_build(const HeartShapeInput *input, HeartShape *shape);

/* Area in mm2 that a chamber's outline encloses at `volume_ml`. */
double ui_heart_shape_area_mm2(HeartChamberId chamber, double volume_ml);
/* Thickness in mm of a wall around an area, muscle area kept: `reference_mm` thick around `reference_mm2`. */
double ui_heart_shape_wall_mm(double area_mm2, double reference_mm2, double reference_mm);
/* Mean thickness in mm of `fluid_ml` of free fluid around the heart. */
double ui_heart_shape_fluid_mm(double fluid_ml);

/* Curve helpers: a smooth curve through `count` >= 2 knots, appended to or starting *curve. */
void ui_heart_curve_through(HeartCurve *curve, const HeartPoint *knot, int count);
/* The same, closed: the last knot is joined smoothly to the first. count >= 3. */
void ui_heart_curve_ring(HeartCurve *curve, const HeartPoint *knot, int count);
/* Straight line appended to a curve that has a point. */
void ui_heart_curve_line(HeartCurve *curve, HeartPoint to);
/* Point on cubic curve number `index` at t 0..1. */
HeartPoint ui_heart_curve_at(const HeartCurve *curve, int index, double t);
/* Enclosed area in mm2 (absolute) of a closed curve, by `steps` chords per cubic. */
double ui_heart_curve_area_mm2(const HeartCurve *curve, int steps);

#endif
