/* One chamber of the heart picture: a stack of widths on an inner boundary. */
#include "ui/heart_chamber.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
/* Largest part of the local width that a bulging septum or a pushed-in wall may take before it pushes the
   whole chamber aside instead; their sum stays below 1, so that a width never reaches 0. */
static const double BOW_SHARE = 0.35, DENT_SHARE = 0.50;
/* Power of the fall of the base's own width toward the tip. */
static const double BASE_FALL = 2.0;

double ui_heart_chamber_height(int i) {
    double s = sin(0.5 * PI * i / (HEART_SAMPLES - 1));
    return s * s;
}

double ui_heart_chamber_turn_mm(const ChamberPlan *plan, double height) {
    double mean_mm = plan->area_mm2 / plan->length_mm;
    return plan->tip_frac * mean_mm * (1.0 - sqrt(fmax(1.0 - pow(height, plan->tip_power), 0.0)));
}

/* Integral over height of values at the samples; trapezoids in the angle, exact to rounding for smooth
 * shapes. */
static double height_mean(const double value[HEART_SAMPLES]) {
    double sum = 0.0, step = PI / (HEART_SAMPLES - 1);
    for (int i = 1; i + 1 < HEART_SAMPLES; i++)
        sum += value[i] * 0.5 * sin(step * i) * step;
    return sum;
}

/* Follows `wanted` while it is small and levels off at +-limit. */
static double level_off(double wanted, double limit) {
    return limit > 0.0 ? limit * tanh(wanted / limit) : 0.0;
}

/* Belly profile, 0 at both ends, largest value 1. */
static double belly(const ChamberPlan *plan, double u) {
    double top = plan->belly_base / (plan->belly_base + plan->belly_tip);
    double peak = pow(top, plan->belly_base) * pow(1.0 - top, plan->belly_tip);
    return pow(u, plan->belly_base) * pow(1.0 - u, plan->belly_tip) / peak;
}

/* Outward unit normals of a border from outer base over the tip to inner base; never back across the valve
 * plane. */
static void outward_of(const HeartPoint p[HEART_WALL_KNOTS], const ChamberPlan *plan,
                       HeartPoint normal[HEART_WALL_KNOTS]) {
    double turn = plan->x_dir * plan->y_dir;
    for (int i = 0; i < HEART_WALL_KNOTS; i++) {
        int a = i > 0 ? i - 1 : 0, b = i + 1 < HEART_WALL_KNOTS ? i + 1 : HEART_WALL_KNOTS - 1;
        double nx = turn * (p[b].y_mm - p[a].y_mm), ny = -turn * (p[b].x_mm - p[a].x_mm);
        ny = plan->y_dir * fmax(plan->y_dir * ny, 0.0);
        double norm = hypot(nx, ny);
        normal[i] = norm > 0.0 ? (HeartPoint){nx / norm, ny / norm} : (HeartPoint){0.0, plan->y_dir};
    }
}

void ui_heart_chamber_lay(const ChamberPlan *plan, ChamberForm *form) {
    double base[HEART_SAMPLES], swell[HEART_SAMPLES], bow[HEART_SAMPLES], taken[HEART_SAMPLES];
    double mean_mm = plan->area_mm2 / plan->length_mm;
    for (int i = 0; i < HEART_SAMPLES; i++) {
        double u = ui_heart_chamber_height(i);
        base[i] = plan->base_mm * pow(1.0 - u, BASE_FALL);
        swell[i] = belly(plan, u);
    }
    double swell_mean = height_mean(swell);
    double rest_mm = (mean_mm - height_mean(base)) / swell_mean;
    for (int i = 0; i < HEART_SAMPLES; i++) {
        double width_mm = fmax(base[i] + rest_mm * swell[i], 0.0);
        bow[i] = level_off(plan->bow_mm[i], BOW_SHARE * width_mm);
        form->dent_mm[i] = level_off(plan->dent_mm[i], DENT_SHARE * width_mm);
        taken[i] = bow[i] + form->dent_mm[i];
    }
    /* what the septum and a clot take away, the belly gives back */
    double swell_mm = rest_mm + height_mean(taken) / swell_mean;
    HeartPoint rest[HEART_WALL_KNOTS], normal[HEART_WALL_KNOTS];
    for (int i = 0; i < HEART_SAMPLES; i++) {
        double u = ui_heart_chamber_height(i), y_mm = plan->base_y_mm + plan->y_dir * plan->length_mm * u;
        double turn_mm = ui_heart_chamber_turn_mm(plan, u);
        double line_mm = plan->line_mm[i] + plan->x_dir * turn_mm;
        double inner_mm = line_mm + plan->x_dir * plan->bow_mm[i];
        double width_mm = i + 1 < HEART_SAMPLES ? base[i] + swell_mm * swell[i] - taken[i] : 0.0;
        form->inner[i] = (HeartPoint){inner_mm, y_mm};
        form->outer[i] = (HeartPoint){inner_mm + plan->x_dir * width_mm, y_mm};
        rest[HEART_WALL_KNOTS - 1 - i] = (HeartPoint){line_mm, y_mm};
        if (i + 1 < HEART_SAMPLES)
            rest[i] = (HeartPoint){line_mm + plan->x_dir * (base[i] + rest_mm * swell[i]), y_mm};
    }
    outward_of(rest, plan, normal);
    for (int i = 0; i < HEART_SAMPLES; i++) {
        /* the inner thickness grows into the outer one toward the tip, where both sides meet */
        double u = ui_heart_chamber_height(i),
               inside_mm = plan->inside_mm + (plan->wall_mm - plan->inside_mm) * u * u;
        HeartPoint in = normal[HEART_WALL_KNOTS - 1 - i];
        form->outward[i] = normal[i];
        form->outer_wall[i] = (HeartPoint){form->outer[i].x_mm + plan->wall_mm * normal[i].x_mm,
                                           form->outer[i].y_mm + plan->wall_mm * normal[i].y_mm};
        form->inner_wall[i] = (HeartPoint){form->inner[i].x_mm + inside_mm * in.x_mm,
                                           form->inner[i].y_mm + inside_mm * in.y_mm};
    }
}

static void border(const HeartPoint *outer, const HeartPoint *inner, HeartCurve *curve) {
    HeartPoint knot[HEART_WALL_KNOTS];
    for (int i = 0; i < HEART_SAMPLES; i++) {
        knot[i] = outer[i];
        knot[HEART_WALL_KNOTS - 1 - i] = inner[i];
    }
    curve->count = 0;
    ui_heart_curve_through(curve, knot, HEART_WALL_KNOTS);
    ui_heart_curve_line(curve, outer[0]);
}

void ui_heart_chamber_cavity(const ChamberForm *form, HeartCurve *curve) {
    border(form->outer, form->inner, curve);
}

void ui_heart_chamber_wall(const ChamberForm *form, HeartCurve *curve) {
    border(form->outer_wall, form->inner_wall, curve);
}
