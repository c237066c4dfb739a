/* Geometry of the short axis. */
#include "ui/look_short.h"

#include "model/sizes.h"
#include "ui/heart_hull.h"

#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
static const double LV_WALL_MM = 9.5, RV_WALL_MM = 4.0; /* at the reference volume, as in ui/heart_shape.c */
/* Section of the right ventricle at mid height, healthy: some 14 cm2 at 145 mL, with a width of some 25 mm
   (ASE/EACVI mid diameter 19 to 35 mm; Lang et al., J Am Soc Echocardiogr 2015;28:1-39). The area itself is a
   drawing choice. */
static const double RV_MM2 = 1450.0, RV_ML = 145.0;
static const double LEAST_LV_MM = 4.0, LEAST_RADIUS_MM = 8.0;
static const double INSERT_RAD = 0.17;     /* the free wall starts this far beyond the moving septum */
static const double FLAT_LEAST_COS = 0.05; /* of the moving septum's half angle */
static const double RIDGE = 0.018;         /* height of the trabeculae, of the radius */
static const double RIDGES = 13.0;
static const double PAPILLARY_AT_RAD = 0.92, PAPILLARY_RAD = 0.17,
                    PAPILLARY = 0.14;   /* height, of the radius */
static const double CLOT_LV_RAD = 0.62; /* below the lateral wall: the lower border is the diaphragm's */
static const double CLOT_HALF_RAD = 0.75;
static const double CLOT_HEIGHT_MM2_PER_MM2 = 1.2; /* surface under a clot per length squared */
static const double LENGTH_OF_RADIUS = 3.4;        /* ventricle's length in radii, for that surface */
static const double MM3_PER_ML = 1000.0;
static const double CLEAR_MM = 1.5;

enum { COARSE_STEPS = 8, FINE_STEPS = 12 }; /* halvings of the search for the right ventricle's depth */
static const double COARSE_OFF_MM = 3.0;

enum { LV_KNOTS = 40, RV_HALF = 15, RV_KNOTS = 2 * RV_HALF, CLOT_KNOTS = 11 };

typedef struct Frame {
    double radius_mm; /* round left ventricle, cavity */
    double inward_mm; /* septum, toward the left ventricle */
    double half_rad;  /* half angle of the septum that moves */
    double wall_mm, rv_wall_mm;
    double push_lv_mm;
} Frame;

double ui_look_short_rv_mm2(double rv_ml) {
    double scale = cbrt(fmax(rv_ml, 0.0) / RV_ML);
    return RV_MM2 * scale * scale;
}

static double disc_mm2(double diameter_mm) {
    return 0.25 * PI * diameter_mm * diameter_mm;
}

static void frame_fill(const LookShortInput *in, Frame *f) {
    double septum_ml = model_sizes_septum_ml(in->septum_mm), usual_mm = model_sizes_septum_usual_mm();
    double usual_ml = model_sizes_septum_ml(usual_mm);
    double across_mm = model_sizes_lv_mm(in->lv_ml, septum_ml);
    double round_mm = model_sizes_lv_mm(in->lv_ml - septum_ml + usual_ml, usual_ml);
    memset(f, 0, sizeof *f);
    f->radius_mm = fmax(0.5 * round_mm, LEAST_RADIUS_MM);
    f->inward_mm = fmin(2.0 * f->radius_mm - across_mm, 2.0 * f->radius_mm - LEAST_LV_MM);
    /* so wide that the septum is straight where the model's is: at a shift of 0 */
    f->half_rad = acos(fmax(1.0 - usual_mm / f->radius_mm, FLAT_LEAST_COS));
    double rest_mm = model_sizes_lv_mm(in->lv_reference_ml, usual_ml);
    f->wall_mm = ui_heart_shape_wall_mm(disc_mm2(2.0 * f->radius_mm), disc_mm2(rest_mm), LV_WALL_MM);
    f->rv_wall_mm = ui_heart_shape_wall_mm(ui_look_short_rv_mm2(in->rv_ml),
                                           ui_look_short_rv_mm2(in->rv_reference_ml), RV_WALL_MM);
    f->push_lv_mm = fmin(in->push_lv_mm, 0.5 * f->radius_mm);
}

/* Point at `angle` from the middle of the septum (0), growing toward the lower side; `out_mm` outside the
   cavity's border. The septum moves along x and stays smooth at its insertions. */
static HeartPoint lv_point(const Frame *f, double angle, double out_mm) {
    double r_mm = f->radius_mm + out_mm, away = remainder(angle, 2.0 * PI);
    HeartPoint p = {-r_mm * cos(angle), r_mm * sin(angle)};
    if (fabs(away) < f->half_rad)
        p.x_mm += f->inward_mm * (cos(away) - cos(f->half_rad)) / (1.0 - cos(f->half_rad));
    double side = remainder(angle - PI + CLOT_LV_RAD, 2.0 * PI) / CLOT_HALF_RAD;
    if (f->push_lv_mm > 0.0 && fabs(side) < 1.0) {
        double bump = (1.0 - side * side) * (1.0 - side * side), push = f->push_lv_mm * bump / r_mm;
        p.x_mm -= push * p.x_mm;
        p.y_mm -= push * p.y_mm;
    }
    return p;
}

/* Height of trabeculae and papillary muscles at an angle: none along the septum and where the diameter is
   measured. */
static double ridge_mm(const Frame *f, double angle) {
    double lateral = 0.5 - 0.5 * cos(angle), s = sin(angle);
    double height = RIDGE * lateral * s * s * (1.0 - cos(RIDGES * angle));
    for (int k = -1; k <= 1; k += 2) {
        double d = remainder(angle - PI - k * PAPILLARY_AT_RAD, 2.0 * PI) / PAPILLARY_RAD;
        height += PAPILLARY * exp(-d * d * d * d);
    }
    return height * f->radius_mm;
}

static void build_lv(const Frame *f, LookShort *shape) {
    HeartPoint inner[LV_KNOTS], outer[LV_KNOTS];
    for (int i = 0; i < LV_KNOTS; i++) {
        double angle = 2.0 * PI * i / LV_KNOTS;
        inner[i] = lv_point(f, angle, -ridge_mm(f, angle));
        outer[i] = lv_point(f, angle, f->wall_mm);
    }
    ui_heart_curve_ring(&shape->lv, inner, LV_KNOTS);
    ui_heart_curve_ring(&shape->lv_wall, outer, LV_KNOTS);
    shape->septum = lv_point(f, 0.0, 0.0);
    shape->lateral = lv_point(f, PI, 0.0);
    shape->lower = lv_point(f, 0.5 * PI, 0.0);
    shape->upper = lv_point(f, -0.5 * PI, 0.0);
    shape->across_mm = shape->lateral.x_mm - shape->septum.x_mm;
    shape->along_mm = shape->lower.y_mm - shape->upper.y_mm;
    shape->wall_mm = f->wall_mm;
}

/* The right ventricle's border: along the septum from the upper to the lower insertion, back along the free
   wall, which stands `depth_mm` to the left of the insertions in its middle. */
static void rv_border(const Frame *f, double depth_mm, double push_mm, HeartPoint knot[RV_KNOTS]) {
    double from = f->half_rad + INSERT_RAD;
    HeartPoint a = lv_point(f, -from, f->wall_mm), b = lv_point(f, from, f->wall_mm);
    double half_mm = 0.5 * (b.y_mm - a.y_mm), round = fmin(fmax(depth_mm / half_mm - 0.9, 0.0), 1.6);
    for (int i = 0; i < RV_HALF; i++)
        knot[i] = lv_point(f, from * (2.0 * i / (RV_HALF - 1) - 1.0), f->wall_mm);
    for (int i = 0; i < RV_HALF; i++) {
        double u = PI * (i + 1.0) / (RV_HALF + 1.0), s = sin(u);
        double out = pow(s, 0.72), dent = s * s * s * s;
        knot[RV_HALF + i] =
            (HeartPoint){b.x_mm - depth_mm * out + push_mm * dent,
                         0.5 * (a.y_mm + b.y_mm) + half_mm * cos(u) * (1.0 + 0.34 * round * s)};
    }
}

static double polygon_mm2(const HeartPoint *p, int count) {
    double twice = 0.0;
    for (int i = 0; i < count; i++) {
        const HeartPoint *q = &p[(i + 1) % count];
        twice += p[i].x_mm * q->y_mm - q->x_mm * p[i].y_mm;
    }
    return 0.5 * fabs(twice);
}

static double ring_mm2(const HeartPoint knot[RV_KNOTS]) {
    HeartCurve curve;
    ui_heart_curve_ring(&curve, knot, RV_KNOTS);
    return ui_heart_curve_area_mm2(&curve, 4);
}

static double build_rv(const Frame *f, const LookShortInput *in, LookShort *shape) {
    double wanted_mm2 = ui_look_short_rv_mm2(in->rv_ml), low = 0.0, high = 6.0 * f->radius_mm + 60.0;
    double face_mm = 0.0;
    HeartPoint knot[RV_KNOTS], outer[RV_HALF + 2];
    for (int k = 0; k < COARSE_STEPS + FINE_STEPS; k++) {
        if (k == COARSE_STEPS) { /* chords enclose less than the curve: room for the difference */
            low = fmax(low - COARSE_OFF_MM, 0.0);
            high += COARSE_OFF_MM;
        }
        double depth_mm = 0.5 * (low + high);
        rv_border(f, depth_mm, fmin(in->push_rv_mm, 0.6 * depth_mm), knot);
        /* a free wall on the wrong side of the septum encloses nothing */
        face_mm = knot[RV_HALF / 2].x_mm - knot[RV_HALF + RV_HALF / 2].x_mm;
        double mm2 = !(face_mm > 0.0) ? 0.0 : k < COARSE_STEPS ? polygon_mm2(knot, RV_KNOTS) : ring_mm2(knot);
        if (mm2 < wanted_mm2)
            low = depth_mm;
        else
            high = depth_mm;
    }
    ui_heart_curve_ring(&shape->rv, knot, RV_KNOTS);
    shape->rv_width_mm = face_mm;
    /* the free wall outward, its ends sunk into the left ventricle's wall */
    for (int i = 0; i < RV_HALF; i++) {
        HeartPoint p = knot[RV_HALF + i], before = knot[RV_HALF + i - 1],
                   after = knot[(RV_HALF + i + 1) % RV_KNOTS];
        double dx = after.x_mm - before.x_mm, dy = after.y_mm - before.y_mm, norm = fmax(hypot(dx, dy), 1e-6);
        outer[i + 1] = (HeartPoint){p.x_mm + f->rv_wall_mm * dy / norm, p.y_mm - f->rv_wall_mm * dx / norm};
    }
    double from = f->half_rad + INSERT_RAD + 0.20;
    outer[0] = lv_point(f, from, f->wall_mm);
    outer[RV_HALF + 1] = lv_point(f, -from, f->wall_mm);
    shape->rv_wall.count = 0;
    ui_heart_curve_through(&shape->rv_wall, outer, RV_HALF + 2);
    ui_heart_curve_line(&shape->rv_wall, (HeartPoint){0.0, 0.0});
    ui_heart_curve_line(&shape->rv_wall, outer[0]);
    return f->rv_wall_mm;
}

/* Height of a clot's middle: its volume over the surface it covers, as in ui/heart_shape.c. */
static double clot_peak_mm(double clot_ml, double radius_mm) {
    double length_mm = LENGTH_OF_RADIUS * radius_mm;
    return fmax(clot_ml, 0.0) * MM3_PER_ML / (CLOT_HEIGHT_MM2_PER_MM2 * length_mm * length_mm) * 1.5;
}

static void build_clot(const HeartPoint *base, const HeartPoint *top, HeartCurve *curve) {
    HeartPoint back[CLOT_KNOTS];
    for (int i = 0; i < CLOT_KNOTS; i++)
        back[i] = top[CLOT_KNOTS - 1 - i];
    curve->count = 0;
    ui_heart_curve_through(curve, base, CLOT_KNOTS);
    ui_heart_curve_through(curve, back, CLOT_KNOTS);
}

static void clot_beside_lv(const Frame *f, double peak_mm, HeartCurve *curve) {
    HeartPoint base[CLOT_KNOTS], top[CLOT_KNOTS];
    curve->count = 0;
    if (!(peak_mm > 0.0)) return;
    for (int i = 0; i < CLOT_KNOTS; i++) {
        double t = 2.0 * i / (CLOT_KNOTS - 1) - 1.0, angle = PI - CLOT_LV_RAD + CLOT_HALF_RAD * t;
        base[i] = lv_point(f, angle, f->wall_mm);
        double r = hypot(base[i].x_mm, base[i].y_mm), thick = peak_mm * (1.0 - t * t);
        top[i] = (HeartPoint){base[i].x_mm * (1.0 + thick / r), base[i].y_mm * (1.0 + thick / r)};
    }
    build_clot(base, top, curve);
}

static void clot_beside_rv(const LookShort *shape, double peak_mm, HeartCurve *curve) {
    HeartPoint base[CLOT_KNOTS], top[CLOT_KNOTS];
    curve->count = 0;
    if (!(peak_mm > 0.0)) return;
    for (int i = 0; i < CLOT_KNOTS; i++) {
        double t = 2.0 * i / (CLOT_KNOTS - 1) - 1.0, at = (0.5 + 0.36 * t) * (RV_HALF + 1);
        base[i] = ui_heart_curve_at(&shape->rv_wall, (int)at, at - floor(at));
        top[i] = (HeartPoint){base[i].x_mm - peak_mm * (1.0 - t * t),
                              base[i].y_mm + 0.25 * peak_mm * (1.0 - t * t) * (t > 0.0 ? -t : -t)};
    }
    build_clot(base, top, curve);
}

static void build_sac(const LookShort *shape, HeartCurve *sac) {
    HeartHull hull;
    HeartPoint centre = {-0.35 * shape->rv_width_mm, 0.0};
    double size_mm = 0.5 * shape->along_mm + shape->wall_mm;
    ui_heart_hull_begin(&hull, centre, size_mm);
    ui_heart_hull_add(&hull, &shape->lv_wall);
    ui_heart_hull_add(&hull, &shape->rv_wall);
    ui_heart_hull_add(&hull, &shape->clot[0]);
    ui_heart_hull_add(&hull, &shape->clot[1]);
    ui_heart_hull_finish(&hull, 0.0, sac);
    /* no great vessels here: the fluid lies all around, a little more below */
    for (int i = 0; i < sac->count; i++) {
        double dx = sac->point[i].x_mm - centre.x_mm, dy = sac->point[i].y_mm - centre.y_mm,
               r = fmax(hypot(dx, dy), 1.0);
        double out = (CLEAR_MM - 1.0 + shape->fluid_mm * (1.0 + 0.22 * dy / r)) / r;
        sac->point[i].x_mm += out * dx;
        sac->point[i].y_mm += out * dy;
    }
}

void ui_look_short_build(const LookShortInput *input, LookShort *shape) {
    Frame f;
    frame_fill(input, &f);
    shape->fluid_mm = ui_heart_shape_fluid_mm(input->fluid_ml);
    build_lv(&f, shape);
    (void)build_rv(&f, input, shape);
    shape->clot_mm[0] = clot_peak_mm(input->clot_lv_ml, f.radius_mm);
    shape->clot_mm[1] = clot_peak_mm(input->clot_rv_ml, f.radius_mm);
    clot_beside_lv(&f, shape->clot_mm[0], &shape->clot[0]);
    clot_beside_rv(shape, shape->clot_mm[1], &shape->clot[1]);
    build_sac(shape, &shape->sac);
}
