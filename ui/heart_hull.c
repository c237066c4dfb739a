/* The line around the whole heart: a smooth hull by direction from one point. */
#include "ui/heart_hull.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
/* Valleys are filled with parabolas over the angle that rise by this share of the scale per radian squared (a
   straight chord: 0.5). A point holds the line up by the same parabola, so that hills stay as they are. */
static const double VALLEY = 1.3;
enum {
    VALLEY_REACH = 8,
    PER_CURVE = 2
};                                       /* knots to each side that a point reaches; points taken per cubic */
static const double CLEAR_MM = 1.6;      /* line to muscle without fluid */
static const double VESSEL_RAD = -1.571; /* the great vessels leave upward */
static const double VESSEL_WIDTH_RAD = 0.55;

static double turn(int i) {
    return 2.0 * PI * i / HEART_HULL_KNOTS;
}

void ui_heart_hull_begin(HeartHull *hull, HeartPoint centre, double scale_mm) {
    hull->centre = centre;
    hull->scale_mm = scale_mm;
    for (int i = 0; i < HEART_HULL_KNOTS; i++)
        hull->radius_mm[i] = 0.0;
}

static void add_point(HeartHull *hull, HeartPoint point) {
    const double step = 2.0 * PI / HEART_HULL_KNOTS;
    double dx = point.x_mm - hull->centre.x_mm, dy = point.y_mm - hull->centre.y_mm;
    double r_mm = hypot(dx, dy), at = atan2(dy, dx) / step;
    int middle = (int)floor(at + 0.5);
    for (int i = middle - VALLEY_REACH; i <= middle + VALLEY_REACH; i++) {
        double away = (i - at) * step;
        int slot = (i + 2 * HEART_HULL_KNOTS) % HEART_HULL_KNOTS;
        hull->radius_mm[slot] = fmax(hull->radius_mm[slot], r_mm - VALLEY * hull->scale_mm * away * away);
    }
}

void ui_heart_hull_add(HeartHull *hull, const HeartCurve *curve) {
    for (int k = 0; k < (curve->count - 1) / 3; k++) {
        for (int n = 0; n < PER_CURVE; n++)
            add_point(hull, ui_heart_curve_at(curve, k, (double)n / PER_CURVE));
    }
}

/* Lowers the line into the valleys as far as the parabolas go. */
static void sink(const HeartHull *hull, double sunk_mm[HEART_HULL_KNOTS]) {
    const double step = 2.0 * PI / HEART_HULL_KNOTS;
    for (int i = 0; i < HEART_HULL_KNOTS; i++) {
        sunk_mm[i] = hull->radius_mm[i];
        for (int k = -VALLEY_REACH; k <= VALLEY_REACH; k++) {
            double rise_mm = VALLEY * hull->scale_mm * (k * step) * (k * step);
            sunk_mm[i] =
                fmin(sunk_mm[i], hull->radius_mm[(i + k + HEART_HULL_KNOTS) % HEART_HULL_KNOTS] + rise_mm);
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
    sink(hull, r);
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
