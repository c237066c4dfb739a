/* Chambers, septum, pericardium, clots: the laws at points where they can be worked out by hand. */
#include "model/heart.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>

static const double NO_CLOT[CHAMBER_COUNT] = {0, 0, 0, 0};
static const double VOLUMES[CHAMBER_COUNT] = {120, 130, 60, 60};

static HeartConstants healthy(const double *clot_ml, double free_ml) {
    const Parameters parameters = model_people_parameters(PERSON_HEALTHY);
    const Effects none = model_effects_none();
    return model_heart_constants(&parameters, &none, 1.0, free_ml, clot_ml);
}

START_TEST(systole_follows_the_end_systolic_line) {
    const HeartConstants heart = healthy(NO_CLOT, 0);
    const HeartDrive drive = {.ventricle_e = 1, .ventricle_a = 1};
    HeartPressures p;
    model_heart_pressures(&heart, &drive, VOLUMES, 0, &p, NULL);
    /* Ees (V - Vd); the flow term is kQ 20 ln 2 at no flow */
    const Parameters q = model_people_parameters(PERSON_HEALTHY);
    const double expected = q.lv_ees_mmhg_ml * (120 - q.lv_vd_ml) * (1 - 4e-4 * 20 * log(2.0)) + p.pericardium_mmhg;
    ck_assert_double_eq_tol(p.chamber_mmhg[CHAMBER_LV], expected, 1e-6);
}
END_TEST

START_TEST(diastole_follows_the_passive_exponential) {
    const HeartConstants heart = healthy(NO_CLOT, 0);
    const HeartDrive drive = {0};
    HeartPressures p;
    model_heart_pressures(&heart, &drive, VOLUMES, 12, &p, NULL);
    const Parameters q = model_people_parameters(PERSON_HEALTHY);
    const double expected =
        q.lv_alpha_mmhg * (exp(q.lv_beta_per_ml * (108 - q.lv_v0_ml)) - 1) + p.pericardium_mmhg;
    ck_assert_double_eq_tol(p.chamber_mmhg[CHAMBER_LV], expected, 1e-6);
}
END_TEST

START_TEST(septum_rests_where_its_law_meets_the_pressure_difference) {
    const HeartConstants heart = healthy(NO_CLOT, 0);
    const HeartDrive drive = {0};
    HeartPressures p;
    HeartSlopes slopes;
    double septum_ml = 0;
    for (int i = 0; i < 50; i++) {
        model_heart_pressures(&heart, &drive, VOLUMES, septum_ml, &p, &slopes);
        septum_ml +=
            p.septum_rate_ml_s * heart.septum_r / (slopes.septum_law - slopes.lv_septum + slopes.rv_septum);
    }
    const double difference = p.chamber_mmhg[CHAMBER_LV] - p.chamber_mmhg[CHAMBER_RV];
    ck_assert_double_eq_tol(difference, 3.0 * sinh(septum_ml / 12), 1e-6);
    ck_assert_double_gt(septum_ml, 5); /* the stiffer left ventricle pushes it to the right */
}
END_TEST

/* cross-talk in systole at fixed volumes (Yamaguchi, Cardiovasc Res 1991;25:774): left to right 0.04, up to
   0.09; right to left 0.10, up to 0.25 */
START_TEST(systolic_cross_talk_has_the_published_size) {
    const HeartConstants heart = healthy(NO_CLOT, 0);
    const HeartDrive drive = {.ventricle_e = 1, .ventricle_a = 1};
    HeartPressures p;
    HeartSlopes s;
    model_heart_pressures(&heart, &drive, VOLUMES, 5, &p, &s);
    const double left_to_right = s.own[CHAMBER_RV] / (s.septum_law + s.own[CHAMBER_RV]);
    const double right_to_left = s.own[CHAMBER_LV] / (s.septum_law + s.own[CHAMBER_LV]);
    ck_assert_double_ge(left_to_right, 0.02);
    ck_assert_double_le(left_to_right, 0.14);
    ck_assert_double_ge(right_to_left, 0.07);
    ck_assert_double_le(right_to_left, 0.31);
}
END_TEST

START_TEST(free_fluid_raises_all_chambers_alike) {
    const HeartConstants dry = healthy(NO_CLOT, 0);
    const HeartConstants wet = healthy(NO_CLOT, 200);
    const HeartDrive drive = {0};
    HeartPressures a;
    HeartPressures b;
    model_heart_pressures(&dry, &drive, VOLUMES, 10, &a, NULL);
    model_heart_pressures(&wet, &drive, VOLUMES, 10, &b, NULL);
    const double rise = b.pericardium_mmhg - a.pericardium_mmhg;
    ck_assert_double_gt(rise, 5);
    for (int i = 0; i < CHAMBER_COUNT; i++)
        ck_assert_double_eq_tol(b.chamber_mmhg[i] - a.chamber_mmhg[i], rise, 1e-9);
}
END_TEST

START_TEST(clot_presses_on_its_chamber_and_starts_from_nothing) {
    const double tiny[CHAMBER_COUNT] = {0, 0, 0, 1e-6};
    const double large[CHAMBER_COUNT] = {0, 0, 0, 80};
    const HeartConstants none = healthy(NO_CLOT, 0);
    const HeartConstants start = healthy(tiny, 0);
    const HeartConstants grown = healthy(large, 0);
    const HeartDrive drive = {0};
    HeartPressures a;
    HeartPressures b;
    HeartPressures c;
    model_heart_pressures(&none, &drive, VOLUMES, 10, &a, NULL);
    model_heart_pressures(&start, &drive, VOLUMES, 10, &b, NULL);
    model_heart_pressures(&grown, &drive, VOLUMES, 10, &c, NULL);
    ck_assert_double_eq_tol(a.chamber_mmhg[CHAMBER_RA], b.chamber_mmhg[CHAMBER_RA], 1e-5);
    const double shared = c.chamber_mmhg[CHAMBER_LA] - a.chamber_mmhg[CHAMBER_LA];
    ck_assert_double_gt(c.chamber_mmhg[CHAMBER_RA] - a.chamber_mmhg[CHAMBER_RA], shared + 10);
}
END_TEST

START_TEST(open_chest_takes_the_pericardium_away) {
    Parameters parameters = model_people_parameters(PERSON_HEALTHY);
    parameters.chest_open = 1;
    const Effects none = model_effects_none();
    const HeartConstants heart = model_heart_constants(&parameters, &none, 1.0, 400, NO_CLOT);
    const HeartDrive drive = {.mediastinum_mmhg = 0};
    HeartPressures p;
    model_heart_pressures(&heart, &drive, VOLUMES, 10, &p, NULL);
    ck_assert_double_eq_tol(p.pericardium_mmhg, 0, 1e-12);
}
END_TEST

/* without activation an atrium is a passive conduit, never a suction chamber */
START_TEST(atrium_without_strength_stays_passive) {
    Parameters parameters = model_people_parameters(PERSON_HEALTHY);
    parameters.la_ees_mmhg_ml = 0;
    const Effects none = model_effects_none();
    const HeartConstants heart = model_heart_constants(&parameters, &none, 1.0, 0, NO_CLOT);
    HeartPressures rest;
    HeartPressures active;
    const HeartDrive off = {0};
    const HeartDrive on = {.atrium_a = 1};
    model_heart_pressures(&heart, &off, VOLUMES, 10, &rest, NULL);
    model_heart_pressures(&heart, &on, VOLUMES, 10, &active, NULL);
    ck_assert_double_ge(active.chamber_mmhg[CHAMBER_LA], rest.chamber_mmhg[CHAMBER_LA]);
    ck_assert_double_le(active.chamber_mmhg[CHAMBER_LA], rest.chamber_mmhg[CHAMBER_LA] + 0.01);
}
END_TEST

START_TEST(emptied_chambers_recoil) {
    const HeartConstants heart = healthy(NO_CLOT, 0);
    const HeartDrive drive = {0};
    const double empty[CHAMBER_COUNT] = {1, 1, 1, 1};
    HeartPressures p;
    model_heart_pressures(&heart, &drive, empty, 0, &p, NULL);
    for (int i = 0; i < CHAMBER_COUNT; i++)
        ck_assert_double_lt(p.chamber_mmhg[i], -100);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("heart");
    TCase *c = tcase_create("heart");
    tcase_add_test(c, systole_follows_the_end_systolic_line);
    tcase_add_test(c, diastole_follows_the_passive_exponential);
    tcase_add_test(c, septum_rests_where_its_law_meets_the_pressure_difference);
    tcase_add_test(c, systolic_cross_talk_has_the_published_size);
    tcase_add_test(c, free_fluid_raises_all_chambers_alike);
    tcase_add_test(c, clot_presses_on_its_chamber_and_starts_from_nothing);
    tcase_add_test(c, open_chest_takes_the_pericardium_away);
    tcase_add_test(c, atrium_without_strength_stays_passive);
    tcase_add_test(c, emptied_chambers_recoil);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
