/* Smooth curves through points, as joined cubics. */
#include "ui/heart_shape.h"

#include <math.h>

static const double LEAST_MM = 1e-9; /* knots closer than this count as one */

static void put(HeartCurve *curve, double x_mm, double y_mm) {
    if (curve->count < HEART_CURVE_POINTS) curve->point[curve->count++] = (HeartPoint){x_mm, y_mm};
}

/* Direction of the curve at `at`, of length 1 or less: the chords to both neighbours, the nearer counting
   more, so that knots at uneven distances make no corner. */
static HeartPoint tangent(HeartPoint before, HeartPoint at, HeartPoint after) {
    double ax = at.x_mm - before.x_mm, ay = at.y_mm - before.y_mm, bx = after.x_mm - at.x_mm,
           by = after.y_mm - at.y_mm;
    double a = sqrt(ax * ax + ay * ay), b = sqrt(bx * bx + by * by), sum = a + b;
    if (sum < LEAST_MM) return (HeartPoint){0.0, 0.0};
    double wa = a > LEAST_MM ? b / (a * sum) : 0.0, wb = b > LEAST_MM ? a / (b * sum) : 0.0;
    if (a <= LEAST_MM) wb = 1.0 / b;
    if (b <= LEAST_MM) wa = 1.0 / a;
    return (HeartPoint){wa * ax + wb * bx, wa * ay + wb * by};
}

static void put_segment(HeartCurve *curve, HeartPoint before, HeartPoint from, HeartPoint to,
                        HeartPoint after) {
    if (curve->count + 3 > HEART_CURVE_POINTS) return;
    HeartPoint t0 = tangent(before, from, to), t1 = tangent(from, to, after);
    double dx = to.x_mm - from.x_mm, dy = to.y_mm - from.y_mm, third = sqrt(dx * dx + dy * dy) / 3.0;
    put(curve, from.x_mm + third * t0.x_mm, from.y_mm + third * t0.y_mm);
    put(curve, to.x_mm - third * t1.x_mm, to.y_mm - third * t1.y_mm);
    put(curve, to.x_mm, to.y_mm);
}

void ui_heart_curve_through(HeartCurve *curve, const HeartPoint *knot, int count) {
    if (curve->count == 0) put(curve, knot[0].x_mm, knot[0].y_mm);
    for (int i = 0; i + 1 < count; i++) {
        put_segment(curve, knot[i > 0 ? i - 1 : 0], knot[i], knot[i + 1],
                    knot[i + 2 < count ? i + 2 : count - 1]);
    }
}

void ui_heart_curve_ring(HeartCurve *curve, const HeartPoint *knot, int count) {
    curve->count = 0;
    put(curve, knot[0].x_mm, knot[0].y_mm);
    for (int i = 0; i < count; i++) {
        put_segment(curve, knot[(i + count - 1) % count], knot[i], knot[(i + 1) % count],
                    knot[(i + 2) % count]);
    }
}

void ui_heart_curve_line(HeartCurve *curve, HeartPoint to) {
    if (curve->count == 0 || curve->count + 3 > HEART_CURVE_POINTS) return;
    HeartPoint from = curve->point[curve->count - 1];
    put(curve, from.x_mm + (to.x_mm - from.x_mm) / 3.0, from.y_mm + (to.y_mm - from.y_mm) / 3.0);
    put(curve, from.x_mm + (to.x_mm - from.x_mm) / 1.5, from.y_mm + (to.y_mm - from.y_mm) / 1.5);
    put(curve, to.x_mm, to.y_mm);
}

HeartPoint ui_heart_curve_at(const HeartCurve *curve, int index, double t) {
    const HeartPoint *p = &curve->point[3 * index];
    double s = 1.0 - t, a = s * s * s, b = 3.0 * s * s * t, c = 3.0 * s * t * t, d = t * t * t;
    return (HeartPoint){a * p[0].x_mm + b * p[1].x_mm + c * p[2].x_mm + d * p[3].x_mm,
                        a * p[0].y_mm + b * p[1].y_mm + c * p[2].y_mm + d * p[3].y_mm};
}

double ui_heart_curve_area_mm2(const HeartCurve *curve, int steps) {
    double twice_mm2 = 0.0;
    HeartPoint last = curve->point[0];
    for (int i = 0; i < (curve->count - 1) / 3; i++) {
        for (int k = 1; k <= steps; k++) {
            HeartPoint next = ui_heart_curve_at(curve, i, (double)k / steps);
            twice_mm2 += last.x_mm * next.y_mm - next.x_mm * last.y_mm;
            last = next;
        }
    }
    return fabs(twice_mm2) / 2.0;
}
