/* Parts of the heart picture that are drawn rather than filled: lines, valves, leaks, inflow, arrow. */
#ifndef UI_HEART_PARTS_H
#define UI_HEART_PARTS_H

#include "ui/draw.h"
#include "ui/heart_shape.h"
#include "ui/theme.h"

/* Where and how large the picture is. */
typedef struct HeartPen {
    double x_px, y_px; /* of the shape's origin */
    double px_per_mm;
    double height_px; /* of the picture: sizes of lines and letters follow it */
    double line_px;   /* width of an edge line */
} HeartPen;

double ui_heart_px_x(const HeartPen *pen, HeartPoint point);
double ui_heart_px_y(const HeartPen *pen, HeartPoint point);

/* Adds a closed curve to the current path. */
void ui_heart_trace(DrawList *list, const HeartPen *pen, const HeartCurve *curve);
/* Adds cubics [first, first + count) of a curve as an open line. */
void ui_heart_trace_open(DrawList *list, const HeartPen *pen, const HeartCurve *curve, int first, int count);
/* Adds the first `count` cubics as dashes: short chords, quicker to draw than a dashed stroke. */
void ui_heart_trace_dashes(DrawList *list, const HeartPen *pen, const HeartCurve *curve, int count,
                           double on_mm, double off_mm);
/* Adds the two sides of the aortic root as open lines. */
void ui_heart_trace_root(DrawList *list, const HeartPen *pen, const HeartCurve *root);

/* The wavy cut through the aorta. */
void ui_heart_torn_top(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme);
/* Leaflets of the mitral, tricuspid and aortic valve. */
void ui_heart_valves(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme);
/* Leaks as drops with chevrons: size is the fraction, chevrons the direction. */
void ui_heart_jets(DrawList *list, const HeartPen *pen, const HeartShape *shape, const HeartView *view,
                   const Theme *theme);
/* The pumps' inflows with chevrons that move with the blood. */
void ui_heart_tubes(DrawList *list, const HeartPen *pen, const HeartShape *shape, const HeartView *view,
                    const Theme *theme);
/* A ring at the start and an arrow to the end, with a dark border so that it reads on any ground. */
void ui_heart_arrow(DrawList *list, double x0, double y0, double x1, double y1, double line_px, Colour ink,
                    Colour border);

/* A filled triangle with its point at (x, y), pointing along the unit vector (dx, dy), `size_px` long. */
void ui_heart_arrow_head(DrawList *list, double x, double y, double dx, double dy, double size_px,
                         Colour ink);

/* A gauge's heading with its baseline at y: `full` where it fits in `room_px`, else `brief`, cut if need be.
 */
void ui_heart_heading(DrawList *list, double x, double y, double room_px, const char *full,
                      const char *brief);

#endif
