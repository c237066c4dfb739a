/* Geometry of the look: what is drawn has the sizes that the model's volumes ask for. */
#include "model/sizes.h"
#include "tests/support/check_main.h"
#include "tests/support/look_views.h"
#include "ui/look_parts.h"
#include "ui/look_short.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>

static LookShort shape;

static LookShortInput input_of(double lv_ml, double rv_ml, double septum_mm) {
    return (LookShortInput){.lv_ml = lv_ml,
                            .rv_ml = rv_ml,
                            .septum_mm = septum_mm,
                            .lv_reference_ml = 130.0,
                            .rv_reference_ml = 145.0};
}

/* Lowest and highest x or y of a closed curve. */
static void span(const HeartCurve *curve, bool x, double *low, double *high) {
    *low = INFINITY;
    *high = -INFINITY;
    for (int i = 0; i < (curve->count - 1) / 3; i++) {
        for (int k = 0; k < 8; k++) {
            HeartPoint p = ui_heart_curve_at(curve, i, k / 8.0);
            *low = fmin(*low, x ? p.x_mm : p.y_mm);
            *high = fmax(*high, x ? p.x_mm : p.y_mm);
        }
    }
}

START_TEST(short_axis_left_diameter_is_the_models) {
    const double lv_ml[] = {70.0, 128.0, 180.0, 250.0, 330.0};
    const double septum_mm[] = {-8.0, 0.0, 4.0, 8.6, 12.0};
    for (int i = 0; i < 5; i++) {
        for (int k = 0; k < 5; k++) {
            LookShortInput in = input_of(lv_ml[i], 145.0, septum_mm[k]);
            ui_look_short_build(&in, &shape);
            double wanted_mm = model_sizes_lv_mm(lv_ml[i], model_sizes_septum_ml(septum_mm[k]));
            ck_assert_double_eq_tol(shape.across_mm, wanted_mm, 0.01);
        }
    }
}
END_TEST

START_TEST(short_axis_round_ventricle_has_the_area_of_its_diameter) {
    /* at the usual septum the section is a disc, less what the papillary muscles and trabeculae take */
    for (double ml = 80.0; ml < 320.0; ml += 40.0) {
        LookShortInput in = input_of(ml, 145.0, model_sizes_septum_usual_mm());
        ui_look_short_build(&in, &shape);
        double disc_mm2 = 0.25 * LOOK_PI * shape.across_mm * shape.across_mm;
        double drawn_mm2 = ui_heart_curve_area_mm2(&shape.lv, 8);
        ck_assert_double_lt(drawn_mm2, disc_mm2);
        ck_assert_double_gt(drawn_mm2, 0.92 * disc_mm2);
        ck_assert_double_eq_tol(shape.along_mm, shape.across_mm, 0.02 * shape.across_mm);
    }
}
END_TEST

START_TEST(short_axis_right_ventricle_has_the_area_of_its_volume) {
    const double septum_mm[] = {-9.0, 0.0, 8.6};
    for (int k = 0; k < 3; k++) {
        for (double ml = 60.0; ml < 340.0; ml += 40.0) {
            LookShortInput in = input_of(130.0, ml, septum_mm[k]);
            ui_look_short_build(&in, &shape);
            double wanted_mm2 = ui_look_short_rv_mm2(ml);
            ck_assert_double_eq_tol(ui_heart_curve_area_mm2(&shape.rv, 8), wanted_mm2, 0.01 * wanted_mm2);
        }
    }
    /* a body that keeps its proportions: eight times the volume, four times the section */
    ck_assert_double_eq_tol(ui_look_short_rv_mm2(400.0), 4.0 * ui_look_short_rv_mm2(50.0), 1e-6);
}
END_TEST

START_TEST(short_axis_healthy_widths_are_within_the_published) {
    /* Lang et al., J Am Soc Echocardiogr 2015;28:1-39: end-diastolic diameter of the left ventricle 38 to 58
       mm (both sexes), mid diameter of the right ventricle 19 to 35 mm */
    LookShortInput in = input_of(128.0, 145.0, model_sizes_septum_usual_mm());
    ui_look_short_build(&in, &shape);
    ck_assert_double_gt(shape.across_mm, 38.0);
    ck_assert_double_lt(shape.across_mm, 58.0);
    ck_assert_double_gt(shape.rv_width_mm, 19.0);
    ck_assert_double_lt(shape.rv_width_mm, 35.0);
}
END_TEST

/* How far the middle of the septum lies to the left of the line through its ends, mm. */
static double bow_mm(double septum_mm) {
    LookShortInput in = input_of(130.0, 145.0, septum_mm);
    ui_look_short_build(&in, &shape);
    /* the flat part ends where the septum leaves the round outline; 20 degrees are well inside it */
    double y0, y1;
    span(&shape.lv, false, &y0, &y1);
    double off = 0.0, best = INFINITY;
    for (int i = 0; i < (shape.lv.count - 1) / 3; i++) {
        for (int k = 0; k < 16; k++) {
            HeartPoint p = ui_heart_curve_at(&shape.lv, i, k / 16.0);
            if (p.x_mm > 0.0 || fabs(p.y_mm - 0.22 * y1) > best) continue;
            best = fabs(p.y_mm - 0.22 * y1);
            off = p.x_mm;
        }
    }
    return off - shape.septum.x_mm;
}

START_TEST(short_axis_septum_bows_the_way_of_its_sign) {
    ck_assert_double_gt(bow_mm(model_sizes_septum_usual_mm()), 0.5); /* round, toward the right ventricle */
    ck_assert_double_eq_tol(bow_mm(0.0), 0.0, 0.35);                 /* straight: a D */
    ck_assert_double_lt(bow_mm(-8.0), -0.5);                         /* into the left ventricle */
    double before = INFINITY;
    for (double mm = 14.0; mm > -14.0; mm -= 2.0) {
        LookShortInput in = input_of(180.0, 145.0, mm);
        ui_look_short_build(&in, &shape);
        ck_assert_double_lt(shape.across_mm, before);
        before = shape.across_mm;
    }
}
END_TEST

START_TEST(short_axis_pushed_free_wall_comes_nearer_and_keeps_the_area) {
    LookShortInput in = input_of(120.0, 100.0, 4.0);
    in.fluid_ml = 400.0;
    ui_look_short_build(&in, &shape);
    double width_mm = shape.rv_width_mm;
    in.push_rv_mm = 12.0;
    ui_look_short_build(&in, &shape);
    ck_assert_double_lt(shape.rv_width_mm, width_mm - 1.0);
    ck_assert_double_eq_tol(ui_heart_curve_area_mm2(&shape.rv, 8), ui_look_short_rv_mm2(100.0),
                            0.01 * ui_look_short_rv_mm2(100.0));
}
END_TEST

START_TEST(short_axis_fluid_is_as_thick_as_in_the_other_views) {
    LookShortInput in = input_of(120.0, 100.0, 4.0);
    ui_look_short_build(&in, &shape);
    double top0, bottom0, top1, bottom1;
    span(&shape.sac, false, &top0, &bottom0);
    in.fluid_ml = 500.0;
    ui_look_short_build(&in, &shape);
    span(&shape.sac, false, &top1, &bottom1);
    double more_mm = ui_heart_shape_fluid_mm(500.0);
    ck_assert_double_eq_tol(0.5 * (bottom1 - top1 - bottom0 + top0), more_mm, 0.1 * more_mm);
    ck_assert_double_gt(bottom1 - bottom0, top0 - top1); /* a little more below */
}
END_TEST

static double number(uint64_t *state, double low, double high) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*state >> 11) / 9007199254740992.0;
}

START_TEST(short_axis_of_any_patient_is_drawable) {
    uint64_t state = 20251125;
    for (int i = 0; i < 3000; i++) {
        LookShortInput in = {.lv_ml = number(&state, 1.0, 600.0),
                             .rv_ml = number(&state, 1.0, 600.0),
                             .septum_mm = number(&state, -30.0, 30.0),
                             .lv_reference_ml = number(&state, 60.0, 400.0),
                             .rv_reference_ml = number(&state, 60.0, 400.0),
                             .fluid_ml = number(&state, 0.0, 900.0),
                             .clot_lv_ml = number(&state, -50.0, 300.0),
                             .clot_rv_ml = number(&state, -50.0, 300.0),
                             .push_lv_mm = number(&state, 0.0, 40.0),
                             .push_rv_mm = number(&state, 0.0, 40.0)};
        ui_look_short_build(&in, &shape);
        const HeartCurve *curve[] = {&shape.lv, &shape.rv, &shape.lv_wall, &shape.rv_wall, &shape.sac};
        for (int c = 0; c < 5; c++) {
            for (int k = 0; k < curve[c]->count; k++)
                ck_assert_msg(fabs(curve[c]->point[k].x_mm) < 1000.0 &&
                                  fabs(curve[c]->point[k].y_mm) < 1000.0,
                              "seed 20251125, patient %d, curve %d", i, c);
        }
        ck_assert_double_gt(shape.across_mm, 3.0);
    }
}
END_TEST

START_TEST(wall_is_pushed_in_only_by_more_pressure_and_something_beside_it) {
    static LookSheet sheet;
    look_example(&sheet, LOOK_TAMPONADE, LOOK_PAGE_SAC, 0.5);
    HeartMoment m = *ui_look_moment(&sheet);
    m.push_mmhg[HEART_RA] = 3.0f;
    ck_assert(ui_look_pushed(&sheet, &m, HEART_RA));
    m.push_mmhg[HEART_RA] = -0.5f;
    ck_assert(!ui_look_pushed(&sheet, &m, HEART_RA));
    m.push_mmhg[HEART_RA] = 3.0f;
    sheet.now.pericardial_ml = 15.0; /* only the usual film: an empty chamber is not a compressed one */
    ck_assert(!ui_look_pushed(&sheet, &m, HEART_RA));
    sheet.now.chamber[HEART_RA].clot_ml = 80.0;
    ck_assert(ui_look_pushed(&sheet, &m, HEART_RA));
    ck_assert_double_eq(ui_look_push_mm(-1.0, 20.0), 0.0);
    ck_assert_double_eq(ui_look_push_mm(4.0, 0.0), 0.0);
    double before = 0.0;
    for (double mmhg = 0.5; mmhg < 20.0; mmhg += 0.5) {
        double now = ui_look_push_mm(mmhg, 20.0);
        ck_assert_double_gt(now, before);
        ck_assert_double_lt(now, 20.0);
        before = now;
    }
}
END_TEST

START_TEST(four_chamber_wall_that_is_pushed_in_narrows_its_chamber) {
    static LookSheet sheet;
    static HeartShape in, out, reference;
    look_example(&sheet, LOOK_TAMPONADE, LOOK_PAGE_SAC, 0.10); /* right atrium: pushed in here */
    ck_assert(ui_look_pushed(&sheet, ui_look_moment(&sheet), HEART_RA));
    ui_look_shapes(&sheet, &in, &reference);
    for (int64_t n = sheet.loop.first; n < sheet.loop.end; n++)
        sheet.loop.moment[n % HEART_MOMENTS].push_mmhg[HEART_RA] = -5.0f;
    ui_look_shapes(&sheet, &out, &reference);
    int middle = 3 * (HEART_SAMPLES / 2);
    ck_assert_double_gt(in.cavity[HEART_RA].point[middle].x_mm,
                        out.cavity[HEART_RA].point[middle].x_mm + 1.0);
    /* same volume, same area */
    double a = ui_heart_curve_area_mm2(&in.cavity[HEART_RA], 8),
           b = ui_heart_curve_area_mm2(&out.cavity[HEART_RA], 8);
    ck_assert_double_eq_tol(a, b, 0.03 * b);
}
END_TEST

START_TEST(velocity_is_flow_over_area) {
    /* 5 L/min through a bore of 20 mm: 83.3 mL/s over 3.142 cm2 */
    ck_assert_double_eq_tol(ui_look_velocity_m_s(5000.0 / 60.0, 20.0, 0.0), 0.2653, 1e-4);
    ck_assert_double_eq_tol(ui_look_velocity_m_s(-5000.0 / 60.0, 20.0, 0.0), -0.2653, 1e-4);
    ck_assert_double_gt(ui_look_velocity_m_s(5000.0 / 60.0, 20.0, 0.9), 0.2653);
    ck_assert(isnan(ui_look_velocity_m_s(80.0, 0.0, 0.0)));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("look geometry");
    TCase *c = tcase_create("short axis and walls");
    tcase_add_test(c, short_axis_left_diameter_is_the_models);
    tcase_add_test(c, short_axis_round_ventricle_has_the_area_of_its_diameter);
    tcase_add_test(c, short_axis_right_ventricle_has_the_area_of_its_volume);
    tcase_add_test(c, short_axis_healthy_widths_are_within_the_published);
    tcase_add_test(c, short_axis_septum_bows_the_way_of_its_sign);
    tcase_add_test(c, short_axis_pushed_free_wall_comes_nearer_and_keeps_the_area);
    tcase_add_test(c, short_axis_fluid_is_as_thick_as_in_the_other_views);
    tcase_add_test(c, short_axis_of_any_patient_is_drawable);
    tcase_add_test(c, wall_is_pushed_in_only_by_more_pressure_and_something_beside_it);
    tcase_add_test(c, four_chamber_wall_that_is_pushed_in_narrows_its_chamber);
    tcase_add_test(c, velocity_is_flow_over_area);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
