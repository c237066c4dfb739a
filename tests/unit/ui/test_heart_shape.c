/* Geometry of the heart picture: outlines over random hearts. */
#include "tests/support/check_main.h"
#include "tests/support/heart_views.h"
#include "ui/heart_shape.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { CHORDS = 5, LINE_MAX = CHORDS * HEART_HULL_KNOTS + 1, HEARTS = 400 };

static const uint64_t SEED = 20240611u;

/* Numerical Recipes' 64-bit congruential constants; only to spread the cases. */
static double draw(uint64_t *state, double low, double high) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*state >> 11) / 9007199254740992.0;
}

/* Any heart from 15 % to 250 % of a patient's reference, with anything else that can be wrong with it. */
static HeartShapeInput random_heart(uint64_t *state) {
    HeartShapeInput in;
    memset(&in, 0, sizeof in);
    static const double LOW[HEART_CHAMBER_COUNT] = {90.0, 100.0, 50.0, 50.0},
                        HIGH[HEART_CHAMBER_COUNT] = {320.0, 260.0, 180.0, 180.0};
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        in.reference_ml[c] = draw(state, LOW[c], HIGH[c]);
        in.now_ml[c] = in.reference_ml[c] * draw(state, 0.15, 2.5);
        in.end_diastole_ml[c] = in.now_ml[c] * draw(state, 1.0, 1.6);
        if (draw(state, 0.0, 1.0) < 0.25) in.clot_ml[c] = draw(state, 0.0, 200.0);
    }
    for (int v = 0; v < HEART_VALVE_COUNT; v++)
        in.open_frac[v] = draw(state, 0.0, 1.0);
    in.septum_mm = draw(state, -20.0, 20.0);
    in.suction_frac = draw(state, 0.0, 1.0) < 0.3 ? draw(state, 0.0, 1.0) : 0.0;
    in.fluid_ml = draw(state, 0.0, 1.0) < 0.3 ? draw(state, 0.0, 900.0) : 15.0;
    return in;
}

typedef struct Line {
    int count;
    HeartPoint p[LINE_MAX];
} Line;

static void flatten(const HeartCurve *curve, Line *line) {
    line->count = 0;
    for (int i = 0; i < (curve->count - 1) / 3; i++) {
        for (int k = 0; k < CHORDS; k++)
            line->p[line->count++] = ui_heart_curve_at(curve, i, (double)k / CHORDS);
    }
}

static double side(HeartPoint a, HeartPoint b, HeartPoint c) {
    return (b.x_mm - a.x_mm) * (c.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (c.x_mm - a.x_mm);
}

static bool cross(HeartPoint a, HeartPoint b, HeartPoint c, HeartPoint d) {
    const double eps = 1e-9;
    double s1 = side(a, b, c), s2 = side(a, b, d), s3 = side(c, d, a), s4 = side(c, d, b);
    return ((s1 > eps && s2 < -eps) || (s1 < -eps && s2 > eps)) &&
           ((s3 > eps && s4 < -eps) || (s3 < -eps && s4 > eps));
}

static bool crosses_itself(const Line *line) {
    for (int i = 0; i < line->count; i++) {
        for (int k = i + 2; k < line->count; k++) {
            if (i == 0 && k == line->count - 1) continue;
            if (cross(line->p[i], line->p[i + 1], line->p[k], line->p[(k + 1) % line->count])) return true;
        }
    }
    return false;
}

static bool cross_each_other(const Line *a, const Line *b) {
    for (int i = 0; i < a->count; i++) {
        for (int k = 0; k < b->count; k++) {
            if (cross(a->p[i], a->p[(i + 1) % a->count], b->p[k], b->p[(k + 1) % b->count])) return true;
        }
    }
    return false;
}

static bool inside(const Line *line, HeartPoint q) {
    bool in = false;
    for (int i = 0, k = line->count - 1; i < line->count; k = i++) {
        HeartPoint a = line->p[i], b = line->p[k];
        if ((a.y_mm > q.y_mm) != (b.y_mm > q.y_mm) &&
            q.x_mm < (b.x_mm - a.x_mm) * (q.y_mm - a.y_mm) / (b.y_mm - a.y_mm) + a.x_mm)
            in = !in;
    }
    return in;
}

static HeartShapeInput usual_heart(void) {
    HeartView view = heart_view(&HEART_SITUATION[0], 1.0);
    HeartShapeInput in;
    ui_heart_shape_now(&view, &in);
    return in;
}

START_TEST(crossing_a_bow_tie_is_found_and_a_square_is_not) {
    Line tie = {4, {{0.0, 0.0}, {10.0, 10.0}, {10.0, 0.0}, {0.0, 10.0}}};
    Line square = {4, {{0.0, 0.0}, {10.0, 0.0}, {10.0, 10.0}, {0.0, 10.0}}};
    Line beside = {4, {{5.0, 5.0}, {15.0, 5.0}, {15.0, 15.0}, {5.0, 15.0}}};
    ck_assert(crosses_itself(&tie));
    ck_assert(!crosses_itself(&square));
    ck_assert(cross_each_other(&square, &beside));
    ck_assert(inside(&square, (HeartPoint){5.0, 5.0}) && !inside(&square, (HeartPoint){12.0, 5.0}));
}
END_TEST

START_TEST(outlines_any_heart_never_cross_themselves) {
    uint64_t state = SEED;
    static HeartShape shape;
    static Line line;
    for (int n = 0; n < HEARTS; n++) {
        HeartShapeInput in = random_heart(&state);
        ui_heart_shape_build(&in, &shape);
        for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
            flatten(&shape.cavity[c], &line);
            ck_assert_msg(!crosses_itself(&line), "seed %llu heart %d: cavity %d", (unsigned long long)SEED,
                          n, c);
            flatten(&shape.wall[c], &line);
            ck_assert_msg(!crosses_itself(&line), "seed %llu heart %d: wall %d", (unsigned long long)SEED, n,
                          c);
        }
        flatten(&shape.pericardium, &line);
        ck_assert_msg(!crosses_itself(&line), "seed %llu heart %d: pericardium", (unsigned long long)SEED, n);
        flatten(&shape.root, &line);
        ck_assert_msg(!crosses_itself(&line), "seed %llu heart %d: root", (unsigned long long)SEED, n);
    }
}
END_TEST

START_TEST(septum_any_heart_lies_between_the_ventricles) {
    uint64_t state = SEED + 1;
    static HeartShape shape;
    static Line lv, rv, la, ra;
    for (int n = 0; n < HEARTS; n++) {
        HeartShapeInput in = random_heart(&state);
        ui_heart_shape_build(&in, &shape);
        flatten(&shape.cavity[HEART_LV], &lv);
        flatten(&shape.cavity[HEART_RV], &rv);
        flatten(&shape.cavity[HEART_LA], &la);
        flatten(&shape.cavity[HEART_RA], &ra);
        ck_assert_msg(!cross_each_other(&lv, &rv), "seed %llu heart %d: LV and RV",
                      (unsigned long long)SEED + 1, n);
        ck_assert_msg(!cross_each_other(&la, &ra), "seed %llu heart %d: LA and RA",
                      (unsigned long long)SEED + 1, n);
        ck_assert_msg(!inside(&lv, shape.septum) && !inside(&rv, shape.septum),
                      "seed %llu heart %d: septum in a cavity", (unsigned long long)SEED + 1, n);
    }
}
END_TEST

START_TEST(pericardium_any_heart_holds_all_chambers) {
    uint64_t state = SEED + 2;
    static HeartShape shape;
    static Line sac, line;
    for (int n = 0; n < HEARTS; n++) {
        HeartShapeInput in = random_heart(&state);
        ui_heart_shape_build(&in, &shape);
        flatten(&shape.pericardium, &sac);
        for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
            flatten(&shape.cavity[c], &line);
            for (int i = 0; i < line.count; i++)
                ck_assert_msg(inside(&sac, line.p[i]), "seed %llu heart %d chamber %d at %.1f %.1f mm",
                              (unsigned long long)SEED + 2, n, c, line.p[i].x_mm, line.p[i].y_mm);
        }
    }
}
END_TEST

START_TEST(area_any_heart_is_what_the_volume_asks_for) {
    uint64_t state = SEED + 3;
    static HeartShape shape;
    for (int n = 0; n < HEARTS; n++) {
        HeartShapeInput in = random_heart(&state);
        ui_heart_shape_build(&in, &shape);
        for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
            double wanted_mm2 = ui_heart_shape_area_mm2((HeartChamberId)c, in.now_ml[c]);
            double drawn_mm2 = ui_heart_curve_area_mm2(&shape.cavity[c], 8);
            ck_assert_msg(fabs(drawn_mm2 / wanted_mm2 - 1.0) < 0.02,
                          "seed %llu heart %d chamber %d: %.0f of %.0f mm2", (unsigned long long)SEED + 3, n,
                          c, drawn_mm2, wanted_mm2);
        }
    }
}
END_TEST

START_TEST(area_grows_with_volume_without_a_step_back) {
    static HeartShape shape;
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        HeartShapeInput in = usual_heart();
        double last_mm2 = 0.0;
        for (double share = 0.15; share <= 2.5; share += 0.01) {
            in.now_ml[c] = in.end_diastole_ml[c] = share * in.reference_ml[c];
            ui_heart_shape_build(&in, &shape);
            double area_mm2 = ui_heart_curve_area_mm2(&shape.cavity[c], 8);
            ck_assert_msg(area_mm2 > last_mm2, "chamber %d at %.2f of reference", c, share);
            last_mm2 = area_mm2;
        }
    }
}
END_TEST

START_TEST(area_eight_times_the_volume_is_four_times_as_large) {
    /* similar bodies: area goes with volume^(2/3) */
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        HeartChamberId id = (HeartChamberId)c;
        ck_assert_double_eq_tol(ui_heart_shape_area_mm2(id, 200.0) / ui_heart_shape_area_mm2(id, 25.0), 4.0,
                                1e-9);
    }
}
END_TEST

/* Widest horizontal extent of a chamber. */
static double width_mm(const HeartCurve *cavity) {
    double best_mm = 0.0;
    int last = 2 * (HEART_SAMPLES - 1);
    for (int i = 0; i < HEART_SAMPLES; i++)
        best_mm = fmax(best_mm, fabs(cavity->point[3 * i].x_mm - cavity->point[3 * (last - i)].x_mm));
    return best_mm;
}

START_TEST(diameters_of_usual_volumes_match_adult_hearts) {
    /* Lang et al., J Am Soc Echocardiogr 2015;28:1-39: end-diastolic diameter of the left ventricle 38-58 mm,
       right ventricular width 25-41 mm at the base */
    HeartShapeInput in = usual_heart();
    static HeartShape shape;
    in.now_ml[HEART_LV] = in.end_diastole_ml[HEART_LV] = in.reference_ml[HEART_LV] = 120.0;
    in.now_ml[HEART_RV] = in.end_diastole_ml[HEART_RV] = in.reference_ml[HEART_RV] = 130.0;
    in.septum_mm = 0.0;
    ui_heart_shape_build(&in, &shape);
    double lv_mm = width_mm(&shape.cavity[HEART_LV]), rv_mm = width_mm(&shape.cavity[HEART_RV]);
    ck_assert_msg(lv_mm >= 38.0 && lv_mm <= 58.0, "LV %.1f mm", lv_mm);
    ck_assert_msg(rv_mm >= 25.0 && rv_mm <= 41.0, "RV %.1f mm", rv_mm);
    /* the dilated ventricle before implantation: above 58 mm in men is enlarged, above 68 severely (same
     * source) */
    in.now_ml[HEART_LV] = in.end_diastole_ml[HEART_LV] = in.reference_ml[HEART_LV] = 288.0;
    ui_heart_shape_build(&in, &shape);
    lv_mm = width_mm(&shape.cavity[HEART_LV]);
    ck_assert_msg(lv_mm > 58.0 && lv_mm < 85.0, "dilated LV %.1f mm", lv_mm);
}
END_TEST

START_TEST(wall_small_cavity_is_thicker_and_keeps_its_muscle) {
    const double pi = 3.14159265358979323846, reference_mm2 = 3000.0, reference_mm = 9.0;
    double r_mm = sqrt(reference_mm2 / pi),
           muscle_mm2 = pi * ((r_mm + reference_mm) * (r_mm + reference_mm) - r_mm * r_mm);
    double last_mm = INFINITY;
    for (double share = 0.2; share < 3.0; share += 0.1) {
        double area_mm2 = share * reference_mm2,
               wall_mm = ui_heart_shape_wall_mm(area_mm2, reference_mm2, reference_mm);
        double now_mm = sqrt(area_mm2 / pi);
        ck_assert_double_eq_tol(pi * ((now_mm + wall_mm) * (now_mm + wall_mm) - now_mm * now_mm), muscle_mm2,
                                1e-6);
        ck_assert_double_lt(wall_mm, last_mm);
        last_mm = wall_mm;
    }
    ck_assert_double_eq_tol(ui_heart_shape_wall_mm(reference_mm2, reference_mm2, reference_mm), reference_mm,
                            1e-12);
}
END_TEST

START_TEST(fluid_300_ml_is_12_mm_thick) {
    /* effusion of 300 mL over the 250 cm2 of the pericardium (the project's equations, echo-like observables)
     */
    ck_assert_double_eq_tol(ui_heart_shape_fluid_mm(300.0), 12.0, 1e-9);
    ck_assert_double_eq_tol(ui_heart_shape_fluid_mm(-5.0), 0.0, 1e-12);
}
END_TEST

START_TEST(fluid_gap_is_drawn_as_thick_as_it_is) {
    HeartShapeInput in = usual_heart();
    static HeartShape dry, wet;
    in.fluid_ml = 0.0;
    ui_heart_shape_build(&in, &dry);
    in.fluid_ml = 400.0;
    ui_heart_shape_build(&in, &wet);
    /* knots run clockwise from the right: beside the ventricles, at the apex, beside the right heart */
    for (int knot = 0; knot <= HEART_HULL_KNOTS / 2; knot++) {
        HeartPoint a = dry.pericardium.point[3 * knot], b = wet.pericardium.point[3 * knot];
        ck_assert_double_eq_tol(hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm), 16.0, 0.1);
    }
}
END_TEST

/* Largest distance that any point of `a` lies from the same point of `b`. */
static double moved_mm(const HeartCurve *a, const HeartCurve *b) {
    double most_mm = 0.0;
    for (int i = 0; i < a->count && i < b->count; i++)
        most_mm =
            fmax(most_mm, hypot(a->point[i].x_mm - b->point[i].x_mm, a->point[i].y_mm - b->point[i].y_mm));
    return most_mm;
}

static double shape_moved_mm(const HeartShape *a, const HeartShape *b) {
    double most_mm = fmax(moved_mm(&a->pericardium, &b->pericardium), moved_mm(&a->root, &b->root));
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        most_mm =
            fmax(most_mm, fmax(moved_mm(&a->cavity[c], &b->cavity[c]), moved_mm(&a->wall[c], &b->wall[c])));
        if (a->clot[c].count == b->clot[c].count) most_mm = fmax(most_mm, moved_mm(&a->clot[c], &b->clot[c]));
        most_mm =
            fmax(most_mm, hypot(a->label[c].x_mm - b->label[c].x_mm, a->label[c].y_mm - b->label[c].y_mm));
    }
    for (int v = 0; v < HEART_PULMONARY; v++) {
        for (int k = 0; k < 2; k++)
            most_mm = fmax(most_mm, moved_mm(&a->valve[v].leaflet[k], &b->valve[v].leaflet[k]));
    }
    return fmax(most_mm,
                hypot(a->cannula_tip.x_mm - b->cannula_tip.x_mm, a->cannula_tip.y_mm - b->cannula_tip.y_mm));
}

START_TEST(shape_any_small_change_moves_it_little) {
    uint64_t state = SEED + 4;
    static HeartShape before, after;
    const double nudge = 1e-4; /* mL, mm or fraction */
    for (int n = 0; n < HEARTS; n++) {
        HeartShapeInput in = random_heart(&state);
        ui_heart_shape_build(&in, &before);
        for (int k = 0; k < 19; k++) {
            HeartShapeInput next = in;
            if (k < 4)
                next.now_ml[k] += nudge;
            else if (k < 8)
                next.end_diastole_ml[k - 4] += nudge;
            else if (k < 12)
                next.clot_ml[k - 8] += nudge;
            else if (k < 16)
                next.open_frac[k - 12] += nudge;
            else if (k == 16)
                next.septum_mm += nudge;
            else if (k == 17)
                next.suction_frac += nudge;
            else
                next.fluid_ml += nudge;
            ui_heart_shape_build(&next, &after);
            /* at most 100 mm per unit: a jump would be far larger than 0.01 mm */
            ck_assert_msg(shape_moved_mm(&before, &after) < 100.0 * nudge,
                          "seed %llu heart %d input %d moves %g mm", (unsigned long long)SEED + 4, n, k,
                          shape_moved_mm(&before, &after));
        }
    }
}
END_TEST

START_TEST(shape_long_sweeps_have_no_jump) {
    static HeartShape shape[2];
    for (int k = 0; k < 3; k++) {
        HeartShapeInput in = usual_heart();
        const int steps = 2000;
        for (int i = 0; i <= steps; i++) {
            double t = (double)i / steps;
            if (k == 0)
                in.septum_mm = -25.0 + 50.0 * t;
            else if (k == 1)
                in.now_ml[HEART_LV] = in.end_diastole_ml[HEART_LV] =
                    in.reference_ml[HEART_LV] * (0.15 + 2.35 * t);
            else
                in.clot_ml[HEART_RA] = 200.0 * t;
            ui_heart_shape_build(&in, &shape[i % 2]);
            if (i > 0) ck_assert_msg(shape_moved_mm(&shape[0], &shape[1]) < 0.5, "sweep %d at %.4f", k, t);
        }
    }
}
END_TEST

START_TEST(septum_shift_toward_the_right_moves_it_left_in_the_picture) {
    HeartShapeInput in = usual_heart();
    static HeartShape shape;
    in.septum_mm = 8.0;
    ui_heart_shape_build(&in, &shape);
    ck_assert_double_lt(shape.septum.x_mm, shape.septum_straight.x_mm - 6.0);
    in.septum_mm = -8.0;
    ui_heart_shape_build(&in, &shape);
    ck_assert_double_gt(shape.septum.x_mm, shape.septum_straight.x_mm + 6.0);
}
END_TEST

/* Distance from the left border of the left ventricle to the near edge of the inflow, at the height of its
 * mouth. */
static double inflow_gap_mm(const HeartShape *shape) {
    const HeartCurve *lv = &shape->cavity[HEART_LV];
    double y_mm = shape->cannula_tip.y_mm + 3.0, best_mm = INFINITY;
    for (int i = HEART_SAMPLES - 1; i < 2 * (HEART_SAMPLES - 1); i++) {
        for (int k = 0; k < 50; k++) {
            HeartPoint p = ui_heart_curve_at(lv, i, k / 50.0);
            if (fabs(p.y_mm - y_mm) < 1.0)
                best_mm = fmin(best_mm, fabs(shape->cannula_tip.x_mm - 0.5 * shape->cannula_mm - p.x_mm));
        }
    }
    return best_mm;
}

START_TEST(suction_full_lays_the_septum_on_the_inflow) {
    HeartShapeInput in = usual_heart();
    static HeartShape shape;
    in.now_ml[HEART_LV] = in.end_diastole_ml[HEART_LV] = 90.0;
    ui_heart_shape_build(&in, &shape);
    double free_mm = inflow_gap_mm(&shape);
    in.suction_frac = 1.0;
    ui_heart_shape_build(&in, &shape);
    double drawn_mm = inflow_gap_mm(&shape);
    ck_assert_double_lt(drawn_mm, 2.0);
    ck_assert_double_gt(free_mm, drawn_mm + 1.0);
}
END_TEST

/* How far the outer wall's middle stands out from the chord between its quarters; right heart mirrored. */
static double outer_bulge_mm(const HeartCurve *cavity) {
    const HeartPoint *p = cavity->point;
    int low = 3 * (HEART_SAMPLES / 4), middle = 3 * (HEART_SAMPLES / 2),
        high = 3 * (HEART_SAMPLES - 1 - HEART_SAMPLES / 4);
    double outward = p[0].x_mm > p[cavity->count - 4].x_mm ? 1.0 : -1.0;
    double t = (p[middle].y_mm - p[low].y_mm) / (p[high].y_mm - p[low].y_mm);
    return outward * (p[middle].x_mm - p[low].x_mm - t * (p[high].x_mm - p[low].x_mm));
}

START_TEST(clot_beside_a_chamber_pushes_its_wall_in_and_lies_outside) {
    static HeartShape without, with;
    static Line cavity, clot;
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        HeartShapeInput in = usual_heart();
        ui_heart_shape_build(&in, &without);
        in.clot_ml[c] = 120.0;
        ui_heart_shape_build(&in, &with);
        double before_mm = outer_bulge_mm(&without.cavity[c]), after_mm = outer_bulge_mm(&with.cavity[c]);
        ck_assert_msg(after_mm < 0.5 * before_mm, "chamber %d: bulge %.1f -> %.1f mm", c, before_mm,
                      after_mm);
        ck_assert_int_eq(without.clot[c].count, 0);
        ck_assert_double_gt(with.clot_mm[c], 5.0);
        flatten(&with.cavity[c], &cavity);
        flatten(&with.clot[c], &clot);
        ck_assert_msg(!cross_each_other(&cavity, &clot), "chamber %d", c);
    }
}
END_TEST

START_TEST(leaflets_open_turn_into_the_flow) {
    HeartShapeInput in = usual_heart();
    static HeartShape shut, open;
    in.open_frac[HEART_MITRAL] = in.open_frac[HEART_AORTIC] = in.open_frac[HEART_TRICUSPID] = 0.0;
    ui_heart_shape_build(&in, &shut);
    in.open_frac[HEART_MITRAL] = in.open_frac[HEART_AORTIC] = in.open_frac[HEART_TRICUSPID] = 1.0;
    ui_heart_shape_build(&in, &open);
    for (int v = 0; v < HEART_PULMONARY; v++) {
        HeartPoint shut_tip[2], open_tip[2];
        for (int k = 0; k < 2; k++) {
            const HeartCurve *a = &shut.valve[v].leaflet[k], *b = &open.valve[v].leaflet[k];
            shut_tip[k] = a->point[a->count - 1];
            open_tip[k] = b->point[b->count - 1];
        }
        double shut_gap_mm = hypot(shut_tip[0].x_mm - shut_tip[1].x_mm, shut_tip[0].y_mm - shut_tip[1].y_mm);
        double open_gap_mm = hypot(open_tip[0].x_mm - open_tip[1].x_mm, open_tip[0].y_mm - open_tip[1].y_mm);
        ck_assert_msg(shut_gap_mm < 0.05 * shut.valve[v].width_mm, "valve %d does not meet: %.2f mm", v,
                      shut_gap_mm);
        ck_assert_msg(open_gap_mm > 0.4 * open.valve[v].width_mm, "valve %d does not part: %.2f mm", v,
                      open_gap_mm);
        /* inlet valves open downward, the aortic valve upward */
        double dir = v == HEART_AORTIC ? -1.0 : 1.0;
        ck_assert_double_gt(dir * (open_tip[0].y_mm - shut_tip[0].y_mm), 0.0);
    }
}
END_TEST

START_TEST(now_missing_values_fall_back_to_the_reference) {
    HeartView view = heart_view(&HEART_SITUATION[0], 1.0);
    HeartShapeInput in;
    view.chamber[HEART_LV].now_ml = NAN;
    view.septum_mm = NAN;
    view.pericardial_ml = NAN;
    view.chamber[HEART_RA].reference_ml = NAN;
    ui_heart_shape_now(&view, &in);
    ck_assert_double_eq_tol(in.now_ml[HEART_LV], view.chamber[HEART_LV].reference_ml, 1e-12);
    ck_assert_double_eq_tol(in.septum_mm, view.septum_reference_mm, 1e-12);
    ck_assert(isfinite(in.reference_ml[HEART_RA]) && in.reference_ml[HEART_RA] > 0.0);
    ck_assert_double_eq_tol(in.fluid_ml, 0.0, 1e-12);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("heart_shape");
    TCase *c = tcase_create("geometry");
    tcase_set_timeout(c, 60.0);
    tcase_add_test(c, crossing_a_bow_tie_is_found_and_a_square_is_not);
    tcase_add_test(c, outlines_any_heart_never_cross_themselves);
    tcase_add_test(c, septum_any_heart_lies_between_the_ventricles);
    tcase_add_test(c, pericardium_any_heart_holds_all_chambers);
    tcase_add_test(c, area_any_heart_is_what_the_volume_asks_for);
    tcase_add_test(c, area_grows_with_volume_without_a_step_back);
    tcase_add_test(c, area_eight_times_the_volume_is_four_times_as_large);
    tcase_add_test(c, diameters_of_usual_volumes_match_adult_hearts);
    tcase_add_test(c, wall_small_cavity_is_thicker_and_keeps_its_muscle);
    tcase_add_test(c, fluid_300_ml_is_12_mm_thick);
    tcase_add_test(c, fluid_gap_is_drawn_as_thick_as_it_is);
    tcase_add_test(c, shape_any_small_change_moves_it_little);
    tcase_add_test(c, shape_long_sweeps_have_no_jump);
    tcase_add_test(c, septum_shift_toward_the_right_moves_it_left_in_the_picture);
    tcase_add_test(c, suction_full_lays_the_septum_on_the_inflow);
    tcase_add_test(c, clot_beside_a_chamber_pushes_its_wall_in_and_lies_outside);
    tcase_add_test(c, leaflets_open_turn_into_the_flow);
    tcase_add_test(c, now_missing_values_fall_back_to_the_reference);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
