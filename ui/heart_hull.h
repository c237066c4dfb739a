/* The line around the whole heart: a smooth hull by direction from one point, so that it cannot cross itself.
   Used by ui/heart_shape.c and ui/look_short.c. */
#ifndef UI_HEART_HULL_H
#define UI_HEART_HULL_H

#include "ui/heart_shape.h"

typedef struct HeartHull {
    HeartPoint centre;
    double scale_mm;
    double radius_mm[HEART_HULL_KNOTS]; /* by direction, 0 right, growing toward the apex */
} HeartHull;

/* Starts an empty hull seen from `centre`; `scale_mm` is a usual radius, which sets how deep valleys stay. */
void ui_heart_hull_begin(HeartHull *hull, HeartPoint centre, double scale_mm);
/* Widens the hull so that it holds the knots of `curve` (count 0: nothing). */
void ui_heart_hull_add(HeartHull *hull, const HeartCurve *curve);
/* Writes the closed line at `gap_mm` mean distance; the gap is thin where the great vessels leave. */
void ui_heart_hull_finish(const HeartHull *hull, double gap_mm, HeartCurve *curve);

#endif
