/* Geometry of the heart picture: from volumes to closed smooth outlines in millimetres. */
#include "ui/heart_shape.h"

#include "ui/heart_chamber.h"
#include "ui/heart_hull.h"

#include <math.h>
#include <string.h>

/* A chamber in its own proportions at a usual volume. Diameters and lengths: ASE/EACVI chamber quantification
   (Lang et al., J Am Soc Echocardiogr 2015;28:1-39) for an adult heart; the profile exponents are drawing
   choices. */
typedef struct ChamberKind {
    double volume_ml, area_mm2, length_mm;
    double base_mm; /* share of the valve plane that is its own (left ventricle: with the outflow tract) */
    double wall_mm; /* at the patient's reference volume */
    double tip_frac, tip_power, belly_base, belly_tip;
    double free_wall_mm2_per_mm2; /* surface under a clot per length squared */
} ChamberKind;

static const ChamberKind KINDS[HEART_CHAMBER_COUNT] = {
    [HEART_LV] = {128.0, 3550.0, 88.0, 15.0, 9.5, 0.47, 4.2, 0.75, 0.50, 1.2},
    [HEART_RV] = {145.0, 2450.0, 80.0, 0.0, 4.0, 0.27, 3.6, 0.80, 0.50, 1.6},
    [HEART_LA] = {70.0, 1850.0, 50.0, 0.0, 2.5, 0.50, 3.0, 0.70, 0.50, 2.0},
    [HEART_RA] = {75.0, 1850.0, 50.0, 0.0, 2.5, 0.50, 3.0, 0.70, 0.50, 2.0},
};

static const double PI = 3.14159265358979323846;
static const double VOLUME_LOW = 0.10, VOLUME_HIGH = 4.0; /* of the reference */
static const double MITRAL_MM = 31.0,
                    TRICUSPID_MM = 33.0; /* annulus at usual volumes (2-chamber mean about 3 cm) */
static const double ANNULUS_POWER = 0.6; /* annuli follow the chambers less than in proportion */
static const double ROOT_LEFT_MM = -6.0, ROOT_RIGHT_MM = 12.0, ROOT_WALL_MM = 2.2; /* lumen 18 mm */
static const double ROOT_POWER = 0.3;   /* the root follows the ventricle little */
static const double VALVE_GAP_MM = 2.0; /* aortic root to the mitral hinge: they are continuous */
static const double AORTIC_ABOVE_MM = 11.0;
static const double SEPTUM_LEAN = 0.14; /* rightward per mm downward: the apex points to the patient's left */
/* Height of the names, valve plane 0 to tip 1: clear of leaflets, leaks and the inflow. */
static const double LABEL_HEIGHT[HEART_CHAMBER_COUNT] = {0.36, 0.32, 0.70, 0.70};
static const double SEPTUM_ARROW = 0.58; /* height of the arrow, of the septum's length: below the labels */
static const double SEPTUM_LIMIT_MM = 22.0;
static const double BOW_SKEW = 0.8;      /* below 1: bows most a little above its middle */
static const double SEPTUM_SHARE = 0.92; /* of the free wall's thickness */
static const double BASE_DESCENT = 0.6;  /* of a ventricle's shortening; the apex takes the rest */
static const double CANNULA_MM = 11.0, CANNULA_INSIDE_MM = 17.0, CANNULA_OUTSIDE_MM = 20.0;
static const double RIGHT_INLET_INSIDE_MM = 9.0, RIGHT_INLET_OUTSIDE_MM = 22.0;
static const double RIGHT_INLET_HEIGHT[2] = {0.40, 0.62}; /* atrium, ventricle: of the chamber's length */
static const double PULL_WIDTH = 0.20; /* of the left ventricle's length, pulled onto the inlet */
/* Surface over which free fluid spreads: 300 mL lie about 12 mm thick. */
static const double FLUID_SURFACE_MM2 = 25000.0;
static const double LEAFLET_SHUT_RAD = 0.38, LEAFLET_OPEN_RAD = 1.30;
static const double CLOT_BUMP_MEAN = 2.0 / 3.0; /* mean of the bump 4u(1-u) */
static const double CLOT_INWARD = 1.05;         /* wanted push into the chamber, of the clot's thickness */
static const double HULL_CENTRE_X = 0.15, HULL_CENTRE_Y = 0.20,
                    HULL_SCALE = 0.70; /* of the septum's length */
static const double MM3_PER_ML = 1000.0;

static double limit(double value, double low, double high) {
    return fmin(fmax(value, low), high);
}

/* The smaller of two positive numbers, with a smooth change between them. */
static double smooth_min(double a, double b) {
    return pow(0.5 * (pow(a, -6.0) + pow(b, -6.0)), -1.0 / 6.0);
}

static HeartPoint between(HeartPoint a, HeartPoint b, double t) {
    return (HeartPoint){a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
}

static double known(double value, double otherwise) {
    return isfinite(value) ? value : otherwise;
}

double ui_heart_shape_area_mm2(HeartChamberId chamber, double volume_ml) {
    double scale = cbrt(volume_ml / KINDS[chamber].volume_ml);
    return KINDS[chamber].area_mm2 * scale * scale;
}

double ui_heart_shape_wall_mm(double area_mm2, double reference_mm2, double reference_mm) {
    double r_mm = sqrt(area_mm2 / PI), reference_r_mm = sqrt(reference_mm2 / PI);
    double muscle_mm2 = reference_mm * (2.0 * reference_r_mm + reference_mm); /* over pi */
    return sqrt(r_mm * r_mm + muscle_mm2) - r_mm;
}

double ui_heart_shape_fluid_mm(double fluid_ml) {
    return fmax(fluid_ml, 0.0) * MM3_PER_ML / FLUID_SURFACE_MM2;
}

/* Scales and landmarks that several parts share. */
typedef struct Frame {
    double scale[HEART_CHAMBER_COUNT],
        rest_scale[HEART_CHAMBER_COUNT]; /* length now, at reference, of the usual */
    double volume_ml[HEART_CHAMBER_COUNT], reference_ml[HEART_CHAMBER_COUNT];
    double mitral_mm, tricuspid_mm;     /* annuli */
    double mitral_y_mm, tricuspid_y_mm; /* their heights: they descend in systole */
    double septum_length_mm, septum_mm, half_septum_mm;
    double root_left_mm, root_right_mm;
    double pull_mm, pull_y_mm, pull_width_mm; /* suction */
} Frame;

static double kind_length_mm(const Frame *frame, int chamber) {
    return KINDS[chamber].length_mm * frame->scale[chamber];
}

/* How far the valve plane of one ventricle has come down since end diastole. */
static double descent_mm(const HeartShapeInput *in, const Frame *frame, int chamber) {
    double ed_ml = limit(in->end_diastole_ml[chamber], VOLUME_LOW * frame->reference_ml[chamber],
                         VOLUME_HIGH * frame->reference_ml[chamber]);
    double ed_mm = KINDS[chamber].length_mm * cbrt(ed_ml / KINDS[chamber].volume_ml);
    return BASE_DESCENT * (ed_mm - kind_length_mm(frame, chamber));
}

static void frame_fill(const HeartShapeInput *in, Frame *frame) {
    memset(frame, 0, sizeof *frame);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        double reference_ml = fmax(in->reference_ml[c], 1.0);
        frame->reference_ml[c] = reference_ml;
        frame->volume_ml[c] = limit(in->now_ml[c], VOLUME_LOW * reference_ml, VOLUME_HIGH * reference_ml);
        frame->scale[c] = cbrt(frame->volume_ml[c] / KINDS[c].volume_ml);
        frame->rest_scale[c] = cbrt(reference_ml / KINDS[c].volume_ml);
    }
    const double *s = frame->scale;
    frame->mitral_mm = MITRAL_MM * pow(smooth_min(s[HEART_LV], s[HEART_LA]), ANNULUS_POWER);
    frame->tricuspid_mm = TRICUSPID_MM * pow(smooth_min(s[HEART_RV], s[HEART_RA]), ANNULUS_POWER);
    frame->mitral_y_mm = descent_mm(in, frame, HEART_LV);
    frame->tricuspid_y_mm = descent_mm(in, frame, HEART_RV);
    frame->septum_length_mm = KINDS[HEART_LV].length_mm * frame->rest_scale[HEART_LV];
    frame->septum_mm = limit(in->septum_mm, -SEPTUM_LIMIT_MM, SEPTUM_LIMIT_MM);
    double root = pow(frame->rest_scale[HEART_LV], ROOT_POWER);
    frame->root_left_mm = ROOT_LEFT_MM * root;
    frame->root_right_mm = ROOT_RIGHT_MM * root;
}

/* Rightward shift of the septum from straight at height y: bowing and the pull of the inlet. */
static double septum_shift_mm(const Frame *frame, double y_mm) {
    double v = limit(y_mm / frame->septum_length_mm, 0.0, 1.0), bow = sin(PI * pow(v, BOW_SKEW));
    double shift_mm = -frame->septum_mm * bow * sqrt(fmax(bow, 0.0));
    if (frame->pull_mm > 0.0) {
        double d = (y_mm - frame->pull_y_mm) / frame->pull_width_mm;
        shift_mm += frame->pull_mm * exp(-d * d);
    }
    return shift_mm;
}

static double septum_line_mm(double y_mm) {
    return SEPTUM_LEAN * fmax(y_mm, 0.0);
}

static void plan_common(const Frame *frame, int chamber, ChamberPlan *plan) {
    const ChamberKind *kind = &KINDS[chamber];
    bool left = chamber == HEART_LV || chamber == HEART_LA,
         ventricle = chamber == HEART_LV || chamber == HEART_RV;
    double rest_mm2 = ui_heart_shape_area_mm2((HeartChamberId)chamber, frame->reference_ml[chamber]);
    memset(plan, 0, sizeof *plan);
    plan->x_dir = left ? 1.0 : -1.0;
    plan->y_dir = ventricle ? 1.0 : -1.0;
    plan->base_y_mm = left ? frame->mitral_y_mm : frame->tricuspid_y_mm;
    plan->length_mm = kind_length_mm(frame, chamber);
    plan->area_mm2 = ui_heart_shape_area_mm2((HeartChamberId)chamber, frame->volume_ml[chamber]);
    plan->base_mm = left ? frame->mitral_mm : frame->tricuspid_mm;
    plan->tip_frac = kind->tip_frac;
    plan->tip_power = kind->tip_power;
    plan->belly_base = kind->belly_base;
    plan->belly_tip = kind->belly_tip;
    plan->wall_mm = ui_heart_shape_wall_mm(plan->area_mm2, rest_mm2, kind->wall_mm);
    plan->inside_mm = plan->wall_mm;
}

static void plan_ventricle(const Frame *frame, int chamber, ChamberPlan *plan) {
    plan_common(frame, chamber, plan);
    double side = plan->x_dir;
    /* the outflow tract lies between the septum and the mitral valve */
    if (chamber == HEART_LV) plan->base_mm += frame->root_right_mm + VALVE_GAP_MM - frame->half_septum_mm;
    for (int i = 0; i < HEART_SAMPLES; i++) {
        double y_mm = plan->base_y_mm + plan->length_mm * ui_heart_chamber_height(i);
        plan->line_mm[i] = septum_line_mm(y_mm) + side * frame->half_septum_mm;
        plan->bow_mm[i] = side * septum_shift_mm(frame, y_mm);
    }
    if (chamber == HEART_LV) plan->inside_mm = 2.0 * frame->half_septum_mm;
}

static void plan_atrium(const Frame *frame, int chamber, ChamberPlan *plan) {
    plan_common(frame, chamber, plan);
    for (int i = 0; i < HEART_SAMPLES; i++) {
        double u = ui_heart_chamber_height(i), lift = 1.0 - (1.0 - u) * (1.0 - u) * (1.0 - u);
        if (chamber == HEART_LA) {
            plan->line_mm[i] = frame->root_right_mm + VALVE_GAP_MM + lift * (ROOT_WALL_MM + 1.5);
        } else {
            plan->line_mm[i] = -frame->half_septum_mm +
                               lift * (frame->root_left_mm - ROOT_WALL_MM - 3.5 + frame->half_septum_mm);
        }
    }
}

/* Thickness in the middle of a clot: its volume over the surface of the chamber that it covers. */
static double clot_peak_mm(const HeartShapeInput *in, const Frame *frame, int chamber) {
    double length_mm = KINDS[chamber].length_mm * frame->rest_scale[chamber];
    double surface_mm2 = KINDS[chamber].free_wall_mm2_per_mm2 * length_mm * length_mm;
    return fmax(in->clot_ml[chamber], 0.0) * MM3_PER_ML / surface_mm2 / CLOT_BUMP_MEAN;
}

static double clot_bump(double u) {
    return 4.0 * u * (1.0 - u);
}

/* The wall is pushed in most in its middle and not at all at its ends. */
static double dent_bump(double u) {
    double b = 4.0 * u * (1.0 - u);
    return b * b;
}

static void clot_build(const ChamberForm *form, double peak_mm, HeartCurve *curve) {
    HeartPoint knot[2 * HEART_SAMPLES];
    int count = 0;
    curve->count = 0;
    if (!(peak_mm > 0.0)) return;
    for (int i = 0; i < HEART_SAMPLES; i++)
        knot[count++] = form->outer_wall[i];
    ui_heart_curve_through(curve, knot, count);
    count = 0;
    for (int i = HEART_SAMPLES - 1; i >= 0; i--) {
        double thick_mm = peak_mm * clot_bump(ui_heart_chamber_height(i));
        knot[count++] = (HeartPoint){form->outer_wall[i].x_mm + thick_mm * form->outward[i].x_mm,
                                     form->outer_wall[i].y_mm + thick_mm * form->outward[i].y_mm};
    }
    ui_heart_curve_through(curve, knot, count);
}

/* Two leaflets between hinges `a` (septal side) and `b`, tips toward the ventricle. */
static void inlet_valve(HeartPoint a, HeartPoint b, double long_share, double open_frac,
                        HeartValveShape *valve) {
    double width_mm = hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm), side = b.x_mm > a.x_mm ? 1.0 : -1.0;
    double open = limit(open_frac, 0.0, 1.0);
    valve->hinge[0] = a;
    valve->hinge[1] = b;
    valve->width_mm = width_mm;
    for (int k = 0; k < 2; k++) {
        double share = k == 0 ? long_share : 1.0 - long_share, dir = k == 0 ? side : -side;
        /* both tips meet at one depth when shut */
        double shut = atan2(0.5 * width_mm * tan(LEAFLET_SHUT_RAD), share * width_mm);
        double length_mm = share * width_mm / cos(shut), now = shut + open * (LEAFLET_OPEN_RAD - shut);
        HeartPoint hinge = valve->hinge[k];
        HeartPoint tip = {hinge.x_mm + dir * length_mm * cos(now), hinge.y_mm + length_mm * sin(now)};
        /* the belly hangs toward the apex when shut and toward the wall when open */
        double belly_mm = 0.12 * length_mm;
        HeartPoint middle = {0.5 * (hinge.x_mm + tip.x_mm) - dir * belly_mm * sin(now) * open,
                             0.5 * (hinge.y_mm + tip.y_mm) + belly_mm * cos(now)};
        HeartPoint knots[3] = {hinge, middle, tip};
        valve->leaflet[k].count = 0;
        ui_heart_curve_through(&valve->leaflet[k], knots, 3);
    }
    HeartPoint mid = {a.x_mm + long_share * (b.x_mm - a.x_mm), 0.5 * (a.y_mm + b.y_mm)};
    valve->centre = mid;
}

static void aortic_valve(HeartPoint left, HeartPoint right, double open_frac, HeartValveShape *valve) {
    double open = limit(open_frac, 0.0, 1.0), width_mm = right.x_mm - left.x_mm;
    valve->hinge[0] = left;
    valve->hinge[1] = right;
    valve->width_mm = width_mm;
    valve->centre = (HeartPoint){0.5 * (left.x_mm + right.x_mm), left.y_mm - 0.15 * width_mm};
    for (int k = 0; k < 2; k++) {
        HeartPoint hinge = valve->hinge[k];
        double dir = k == 0 ? 1.0 : -1.0;
        HeartPoint tip = {hinge.x_mm + dir * width_mm * (0.49 - 0.37 * open),
                          hinge.y_mm - width_mm * (0.30 + 0.36 * open)};
        HeartPoint middle = {hinge.x_mm + dir * width_mm * (0.27 - 0.17 * open),
                             hinge.y_mm - width_mm * (0.02 + 0.30 * open)};
        HeartPoint knots[3] = {hinge, middle, tip};
        valve->leaflet[k].count = 0;
        ui_heart_curve_through(&valve->leaflet[k], knots, 3);
    }
}

/* Right side down, left side up: the same turn as the left ventricle, so that both fill as one. */
static void root_outline(const HeartPoint *up, const HeartPoint *down, int count, HeartCurve *curve) {
    HeartPoint knot[16] = {{0.0, 0.0}};
    for (int i = 0; i < count; i++)
        knot[i] = up[count - 1 - i];
    curve->count = 0;
    ui_heart_curve_through(curve, knot, count);
    for (int i = 0; i < count; i++)
        knot[i] = down[count - 1 - i];
    ui_heart_curve_line(curve, knot[0]);
    ui_heart_curve_through(curve, knot, count);
    ui_heart_curve_line(curve, curve->point[0]);
}

static void root_build(const Frame *frame, HeartShape *shape) {
    double la_mm = KINDS[HEART_LA].length_mm * frame->rest_scale[HEART_LA],
           ra_mm = KINDS[HEART_RA].length_mm * frame->rest_scale[HEART_RA];
    double top_mm = -1.16 * fmax(la_mm, ra_mm), left_mm = frame->root_left_mm,
           right_mm = frame->root_right_mm;
    double ring_mm = frame->mitral_y_mm - AORTIC_ABOVE_MM, bulge_mm = 0.13 * (right_mm - left_mm),
           sinus_mm = right_mm - left_mm;
    HeartPoint down[] = {
        {left_mm, top_mm},
        {left_mm, 0.6 * top_mm + 0.4 * ring_mm},
        {left_mm - 0.2 * bulge_mm, ring_mm - 1.0 * sinus_mm},
        {left_mm - bulge_mm, ring_mm - 0.45 * sinus_mm},
        {left_mm, ring_mm},
        {0.5 * (left_mm + frame->half_septum_mm), frame->mitral_y_mm - 0.4 * AORTIC_ABOVE_MM},
        {frame->half_septum_mm, frame->mitral_y_mm + 1.0}};
    HeartPoint up[] = {{right_mm + VALVE_GAP_MM, frame->mitral_y_mm + 1.0},
                       {right_mm + 0.4 * VALVE_GAP_MM, frame->mitral_y_mm - 0.5 * AORTIC_ABOVE_MM},
                       {right_mm, ring_mm},
                       {right_mm + bulge_mm, ring_mm - 0.45 * sinus_mm},
                       {right_mm + 0.2 * bulge_mm, ring_mm - 1.0 * sinus_mm},
                       {right_mm, 0.6 * top_mm + 0.4 * ring_mm},
                       {right_mm, top_mm}};
    enum { SIDE = sizeof down / sizeof down[0] };
    root_outline(up, down, SIDE, &shape->root);
    shape->root_top[0] = down[0];
    shape->root_top[1] = up[SIDE - 1];
    for (int i = 0; i < SIDE; i++) {
        down[i].x_mm -= ROOT_WALL_MM;
        up[i].x_mm += ROOT_WALL_MM;
    }
    /* the fibrous body between the root, the septum's crest and the right atrium */
    down[SIDE - 1] =
        (HeartPoint){-frame->half_septum_mm, fmax(frame->mitral_y_mm, frame->tricuspid_y_mm) + 3.0};
    down[SIDE - 2].x_mm = fmin(down[SIDE - 2].x_mm, 0.5 * (down[SIDE - 3].x_mm + down[SIDE - 1].x_mm));
    root_outline(up, down, SIDE, &shape->root_wall);
    aortic_valve((HeartPoint){left_mm, ring_mm}, (HeartPoint){right_mm, ring_mm}, 0.0,
                 &shape->valve[HEART_AORTIC]);
}

/* The inflow stands on the left ventricle's tip and points at the middle of its base. */
static void cannula_place(const ChamberPlan *lv, const Frame *frame, double fluid_mm, HeartShape *shape) {
    double mean_mm = lv->area_mm2 / lv->length_mm, tip_y_mm = lv->base_y_mm + lv->length_mm;
    HeartPoint apex = {lv->line_mm[HEART_SAMPLES - 1] + lv->tip_frac * mean_mm, tip_y_mm};
    HeartPoint base = {frame->half_septum_mm + 0.55 * lv->base_mm, lv->base_y_mm};
    double dx = base.x_mm - apex.x_mm, dy = base.y_mm - apex.y_mm, norm = hypot(dx, dy);
    double in_mm = CANNULA_INSIDE_MM, out_mm = lv->wall_mm + CANNULA_OUTSIDE_MM + fluid_mm;
    shape->cannula_tip = (HeartPoint){apex.x_mm + dx / norm * in_mm, apex.y_mm + dy / norm * in_mm};
    shape->cannula_end = (HeartPoint){apex.x_mm - dx / norm * out_mm, apex.y_mm - dy / norm * out_mm};
}

/* Suction draws the septum onto the inlet: how far it is from there now. */
static void pull_place(const HeartShapeInput *in, const ChamberPlan *lv, const HeartShape *shape,
                       Frame *frame) {
    double y_mm = shape->cannula_tip.y_mm + 3.0;
    double height = limit((y_mm - lv->base_y_mm) / lv->length_mm, 0.0, 1.0);
    double septum_mm = septum_line_mm(y_mm) + frame->half_septum_mm + septum_shift_mm(frame, y_mm) +
                       ui_heart_chamber_turn_mm(lv, height);
    double gap_mm = shape->cannula_tip.x_mm - 0.5 * shape->cannula_mm - septum_mm;
    frame->pull_y_mm = y_mm;
    frame->pull_width_mm = PULL_WIDTH * lv->length_mm;
    frame->pull_mm = limit(in->suction_frac, 0.0, 1.0) * fmax(gap_mm, 0.0);
}

/* A right pump's inflow goes straight through the free wall. */
static void right_inlet_place(const ChamberForm *form, int site, double cover_mm, HeartShape *shape) {
    int i = 0;
    while (i + 2 < HEART_SAMPLES && ui_heart_chamber_height(i + 1) < RIGHT_INLET_HEIGHT[site])
        i++;
    double low = ui_heart_chamber_height(i), high = ui_heart_chamber_height(i + 1);
    double t = (RIGHT_INLET_HEIGHT[site] - low) / (high - low);
    HeartPoint wall = between(form->outer[i], form->outer[i + 1], t);
    HeartPoint out = between(form->outward[i], form->outward[i + 1], t);
    double out_mm = RIGHT_INLET_OUTSIDE_MM + cover_mm;
    shape->right_inlet_tip[site] = (HeartPoint){wall.x_mm - RIGHT_INLET_INSIDE_MM * out.x_mm,
                                                wall.y_mm - RIGHT_INLET_INSIDE_MM * out.y_mm};
    shape->right_inlet_end[site] = (HeartPoint){wall.x_mm + out_mm * out.x_mm, wall.y_mm + out_mm * out.y_mm};
}

static void label_place(const ChamberForm *form, int chamber, HeartShape *shape) {
    int i = 0;
    while (i + 2 < HEART_SAMPLES && ui_heart_chamber_height(i + 1) < LABEL_HEIGHT[chamber])
        i++;
    double low = ui_heart_chamber_height(i), high = ui_heart_chamber_height(i + 1);
    double t = (LABEL_HEIGHT[chamber] - low) / (high - low);
    HeartPoint inner = between(form->inner[i], form->inner[i + 1], t);
    HeartPoint outer = between(form->outer[i], form->outer[i + 1], t);
    shape->label[chamber] = between(inner, outer, 0.5);
    shape->label_width_mm[chamber] = fabs(outer.x_mm - inner.x_mm);
}

void ui_heart_shape_build(const HeartShapeInput *input, HeartShape *shape) {
    Frame frame;
    ChamberPlan plan[HEART_CHAMBER_COUNT];
    ChamberForm form;
    HeartHull hull;
    frame_fill(input, &frame);
    plan_common(&frame, HEART_LV, &plan[HEART_LV]);
    frame.half_septum_mm = 0.5 * SEPTUM_SHARE * plan[HEART_LV].wall_mm;
    plan_ventricle(&frame, HEART_LV, &plan[HEART_LV]);
    shape->fluid_mm = ui_heart_shape_fluid_mm(input->fluid_ml);
    shape->cannula_mm = input->inflow_mm > 0.0 ? input->inflow_mm : CANNULA_MM;
    cannula_place(&plan[HEART_LV], &frame, shape->fluid_mm, shape);
    pull_place(input, &plan[HEART_LV], shape, &frame);
    plan_ventricle(&frame, HEART_LV, &plan[HEART_LV]);
    plan_ventricle(&frame, HEART_RV, &plan[HEART_RV]);
    plan_atrium(&frame, HEART_LA, &plan[HEART_LA]);
    plan_atrium(&frame, HEART_RA, &plan[HEART_RA]);

    ui_heart_hull_begin(
        &hull, (HeartPoint){HULL_CENTRE_X * frame.septum_length_mm, HULL_CENTRE_Y * frame.septum_length_mm},
        HULL_SCALE * frame.septum_length_mm);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        double peak_mm = clot_peak_mm(input, &frame, c);
        for (int i = 0; i < HEART_SAMPLES; i++)
            plan[c].dent_mm[i] = (CLOT_INWARD * peak_mm + fmax(input->push_mm[c], 0.0)) *
                                 dent_bump(ui_heart_chamber_height(i));
        ui_heart_chamber_lay(&plan[c], &form);
        ui_heart_chamber_cavity(&form, &shape->cavity[c]);
        ui_heart_chamber_wall(&form, &shape->wall[c]);
        clot_build(&form, peak_mm, &shape->clot[c]);
        shape->wall_mm[c] = plan[c].wall_mm;
        shape->length_mm[c] = plan[c].length_mm;
        shape->clot_mm[c] = peak_mm;
        label_place(&form, c, shape);
        if (c == HEART_RA || c == HEART_RV)
            right_inlet_place(&form, c == HEART_RA ? 0 : 1, shape->fluid_mm + peak_mm, shape);
        ui_heart_hull_add(&hull, &shape->wall[c]);
        ui_heart_hull_add(&hull, &shape->clot[c]);
    }
    root_build(&frame, shape);
    double mitral_mm = frame.root_right_mm + VALVE_GAP_MM;
    inlet_valve((HeartPoint){mitral_mm, frame.mitral_y_mm},
                (HeartPoint){mitral_mm + frame.mitral_mm, frame.mitral_y_mm}, 0.58,
                input->open_frac[HEART_MITRAL], &shape->valve[HEART_MITRAL]);
    inlet_valve((HeartPoint){-frame.half_septum_mm, frame.tricuspid_y_mm},
                (HeartPoint){-frame.half_septum_mm - frame.tricuspid_mm, frame.tricuspid_y_mm}, 0.45,
                input->open_frac[HEART_TRICUSPID], &shape->valve[HEART_TRICUSPID]);
    aortic_valve(shape->valve[HEART_AORTIC].hinge[0], shape->valve[HEART_AORTIC].hinge[1],
                 input->open_frac[HEART_AORTIC], &shape->valve[HEART_AORTIC]);
    memset(&shape->valve[HEART_PULMONARY], 0, sizeof shape->valve[HEART_PULMONARY]);
    ui_heart_hull_finish(&hull, shape->fluid_mm, &shape->pericardium);
    double middle_mm = SEPTUM_ARROW * frame.septum_length_mm;
    shape->septum_straight = (HeartPoint){septum_line_mm(middle_mm), middle_mm};
    shape->septum = (HeartPoint){septum_line_mm(middle_mm) + septum_shift_mm(&frame, middle_mm), middle_mm};
}

void ui_heart_shape_reference(const HeartView *view, HeartShapeInput *input) {
    memset(input, 0, sizeof *input);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        double ml = known(view->chamber[c].reference_ml, KINDS[c].volume_ml);
        if (ml <= 0.0) ml = KINDS[c].volume_ml;
        input->now_ml[c] = input->end_diastole_ml[c] = input->reference_ml[c] = ml;
    }
    input->septum_mm = known(view->septum_reference_mm, 0.0);
    input->fluid_ml = known(view->pericardial_reference_ml, 0.0);
}

void ui_heart_shape_now(const HeartView *view, HeartShapeInput *input) {
    ui_heart_shape_reference(view, input);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        const HeartChamber *chamber = &view->chamber[c];
        input->now_ml[c] = known(chamber->now_ml, input->reference_ml[c]);
        input->end_diastole_ml[c] = fmax(known(chamber->beat_max_ml, input->now_ml[c]), input->now_ml[c]);
        input->clot_ml[c] = known(chamber->clot_ml, 0.0);
    }
    for (int v = 0; v < HEART_VALVE_COUNT; v++)
        input->open_frac[v] = known(view->valve[v].open_frac, 0.0);
    input->septum_mm = known(view->septum_mm, input->septum_mm);
    input->suction_frac = view->left_pump.present ? known(view->left_pump.occlusion_frac, 0.0) : 0.0;
    input->fluid_ml = known(view->pericardial_ml, 0.0);
}
