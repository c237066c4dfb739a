/* The line around the whole heart: a smooth hull by direction from one point. */
#include "ui/heart_hull.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
/* Valleys are filled with arcs that rise by this share of the radius per radian squared (a chord: 0.5). */
static const double VALLEY = 1.3;
enum { VALLEY_REACH = 11 };              /* knots to each side that can hold a valley open */
static const double CLEAR_MM = 1.6;      /* line to muscle without fluid */
static const double VESSEL_RAD = -1.571; /* the great vessels leave upward */
static const double VESSEL_WIDTH_RAD = 0.55;

static double turn(int i) {
    return 2.0 * PI * i / HEART_HULL_KNOTS;
}

void ui_heart_hull_begin(HeartHull *hull, HeartPoint centre) {
    hull->centre = centre;
    for (int i = 0; i < HEART_HULL_KNOTS; i++)
        hull->radius_mm[i] = 1.0;
}

/* Widens the rays that the segment from `a` to `b` crosses. */
static void add_segment(HeartHull *hull, HeartPoint a, HeartPoint b) {
    const double step = 2.0 * PI / HEART_HULL_KNOTS;
    double ax = a.x_mm - hull->centre.x_mm, ay = a.y_mm - hull->centre.y_mm;
    double bx = b.x_mm - hull->centre.x_mm, by = b.y_mm - hull->centre.y_mm;
    double from = atan2(ay, ax), sweep = remainder(atan2(by, bx) - from, 2.0 * PI);
    if (sweep < 0.0) {
        from += sweep;
        sweep = -sweep;
    }
    for (int i = (int)ceil(from / step); i * step <= from + sweep; i++) {
        double c = cos(i * step), s = sin(i * step), across = (by - ay) * c - (bx - ax) * s;
        int slot = ((i % HEART_HULL_KNOTS) + HEART_HULL_KNOTS) % HEART_HULL_KNOTS;
        double r_mm = fabs(across) > 0.0 ? (ax * by - ay * bx) / across : 0.0;
        if (isfinite(r_mm)) hull->radius_mm[slot] = fmax(hull->radius_mm[slot], r_mm);
    }
}

void ui_heart_hull_add(HeartHull *hull, const HeartCurve *curve) {
    for (int k = 0; k + 3 < curve->count; k += 3)
        add_segment(hull, curve->point[k], curve->point[k + 3]);
}

/* Fills valleys: an opening of the outside by a parabola, so that hills stay as they are. */
static void fill_valleys(const double r_mm[HEART_HULL_KNOTS], double filled_mm[HEART_HULL_KNOTS]) {
    const double step = 2.0 * PI / HEART_HULL_KNOTS;
    double wide_mm[HEART_HULL_KNOTS], mean_mm = 0.0;
    for (int i = 0; i < HEART_HULL_KNOTS; i++)
        mean_mm += r_mm[i] / HEART_HULL_KNOTS;
    for (int pass = 0; pass < 2; pass++) {
        const double *in = pass == 0 ? r_mm : wide_mm;
        double *out = pass == 0 ? wide_mm : filled_mm;
        for (int i = 0; i < HEART_HULL_KNOTS; i++) {
            double best_mm = in[i];
            for (int k = -VALLEY_REACH; k <= VALLEY_REACH; k++) {
                double held_mm = VALLEY * mean_mm * (k * step) * (k * step);
                double other_mm = in[(i + k + HEART_HULL_KNOTS) % HEART_HULL_KNOTS];
                best_mm = pass == 0 ? fmax(best_mm, other_mm - held_mm) : fmin(best_mm, other_mm + held_mm);
            }
            out[i] = best_mm;
        }
    }
}

/* Share of the mean gap in a direction: full around the ventricles and the free walls, none at the vessels.
 */
static double gap_share(double angle_rad) {
    double d = remainder(angle_rad - VESSEL_RAD, 2.0 * PI) / VESSEL_WIDTH_RAD;
    return 1.0 - exp(-d * d);
}

void ui_heart_hull_finish(const HeartHull *hull, double gap_mm, HeartCurve *curve) {
    HeartPoint knot[HEART_HULL_KNOTS];
    double r[HEART_HULL_KNOTS];
    fill_valleys(hull->radius_mm, r);
    for (int i = 0; i < HEART_HULL_KNOTS; i++) {
        int n = HEART_HULL_KNOTS, a = (i + n - 1) % n, b = (i + 1) % n, aa = (i + n - 2) % n,
            bb = (i + 2) % n;
        double smooth_mm = (r[aa] + 4.0 * r[a] + 6.0 * r[i] + 4.0 * r[b] + r[bb]) / 16.0;
        double radius_mm = fmax(smooth_mm, r[i]) + CLEAR_MM + gap_mm * gap_share(turn(i));
        knot[i] = (HeartPoint){hull->centre.x_mm + radius_mm * cos(turn(i)),
                               hull->centre.y_mm + radius_mm * sin(turn(i))};
    }
    ui_heart_curve_ring(curve, knot, HEART_HULL_KNOTS);
}
