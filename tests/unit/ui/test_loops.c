/* Pressure-volume loops: the drawn area is the work of the beat, the relations meet the loop, axes hold it.
 */
#include "tests/support/check_main.h"
#include "ui/loops.h"

#include "model/patient.h"
#include "model/people.h"

#include <math.h>
#include <stdlib.h>

#define SETTLE_S 60.0

static const Rect PANEL = {20.0, 30.0, 400.0, 460.0};
static Beat beat;
static LoopPanel panel;

/* A settled beat of a person. */
static void play(PersonId id) {
    Error error;
    Parameters parameters = model_people_parameters(id);
    Patient *patient = model_patient_create(&parameters, 1, &error);
    ck_assert_msg(patient != NULL, "%s", error.what);
    ck_assert_int_eq(model_patient_settle(patient, SETTLE_S, &error), ERROR_OK);
    for (int i = 0; i < 5; i++)
        ck_assert_int_eq(model_patient_advance(patient, &beat, &error), ERROR_OK);
    model_patient_destroy(patient);
}

static void take(PersonId id, ChamberId chamber) {
    LoopSurroundings around = {{0.0}};
    Parameters parameters = model_people_parameters(id);
    memset(&panel, 0, sizeof panel);
    panel.chamber = chamber;
    panel.side = chamber == CHAMBER_LV ? SIDE_LEFT : SIDE_RIGHT;
    ui_loops_take(&panel, &beat, &parameters, &around);
    ui_loops_axes(&panel);
}

static double pressure(const Sample *s, ChamberId chamber) {
    return chamber == CHAMBER_LV ? s->lv_mmhg : s->rv_mmhg;
}

static double volume(const Sample *s, ChamberId chamber) {
    return chamber == CHAMBER_LV ? s->lv_ml : s->rv_ml;
}

/* The integral of pressure over what leaves the ventricle, from the beat itself. */
static double work_of_beat(ChamberId chamber) {
    double work = 0.0;
    for (int i = 0; i < beat.ticks; i++) {
        const Sample *a = &beat.samples[i], *b = &beat.samples[(i + 1) % beat.ticks];
        work -=
            0.5 * (pressure(a, chamber) + pressure(b, chamber)) * (volume(b, chamber) - volume(a, chamber));
    }
    return work;
}

/* Area of the path of the loop as it was drawn, turned back to mmHg mL. */
static double drawn_area(const DrawList *list) {
    const DrawCommand *loop = NULL;
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_STROKE && c->stroke.width_px > 2.3) loop = c;
    }
    ck_assert_ptr_nonnull(loop);
    const double *xy = list->coords + loop->point_first;
    size_t points = loop->path_count - 1; /* the last verb closes */
    double area = 0.0;
    for (size_t i = 0; i < points; i++) {
        size_t k = (i + 1) % points;
        area += xy[2 * i] * xy[2 * k + 1] - xy[2 * k] * xy[2 * i + 1];
    }
    double px_ml = ui_loops_x(PANEL, &panel, 1.0) - ui_loops_x(PANEL, &panel, 0.0);
    double px_mmhg = ui_loops_y(PANEL, &panel, 0.0) - ui_loops_y(PANEL, &panel, 1.0);
    return fabs(0.5 * area / (px_ml * px_mmhg));
}

static const PersonId PEOPLE[] = {PERSON_HEALTHY, PERSON_SUPPORTED_AXIAL, PERSON_SUPPORTED_RV_FAILURE};

START_TEST(drawn_area_is_the_work_of_the_beat) {
    play(PEOPLE[_i]);
    for (int k = 0; k < 2; k++) {
        ChamberId chamber = k == 0 ? CHAMBER_LV : CHAMBER_RV;
        take(PEOPLE[_i], chamber);
        Ui ui = {.theme = ui_theme_dark()};
        DrawList list;
        ui_draw_init(&list);
        ui_widgets_begin(&ui, &list, ui_theme_dark(), &(Input){.x_px = -1.0});
        ui_loops_draw(&ui, PANEL, &panel);
        double work = work_of_beat(chamber), area = drawn_area(&list);
        ck_assert_double_gt(work, 0.0);
        ck_assert_double_eq_tol(area, work, 0.01 * work);
        ck_assert_double_eq_tol(ui_loops_work(&panel.now), work, 0.001 * work);
        ui_draw_free(&list);
    }
}
END_TEST

/* A healthy left ventricle does about 1 J a beat: stroke volume 70-80 mL times a mean ejection pressure near
   100 mmHg (textbook physiology, from memory). */
START_TEST(healthy_work_is_about_a_joule) {
    play(PERSON_HEALTHY);
    take(PERSON_HEALTHY, CHAMBER_LV);
    ck_assert_double_eq_tol(ui_loops_work(&panel.now) * 1.33322e-4, 1.0, 0.3);
}
END_TEST

START_TEST(area_of_a_rectangle_is_exact) {
    Loop loop = {.points = 4, .ml = {100, 100, 40, 40}, .mmhg = {5, 105, 105, 5}};
    ck_assert_double_eq_tol(ui_loops_work(&loop), 6000.0, 1e-6);
    Loop backward = {.points = 4, .ml = {40, 40, 100, 100}, .mmhg = {5, 105, 105, 5}};
    ck_assert_double_eq_tol(ui_loops_work(&backward), -6000.0, 1e-6);
    Loop none = {.points = 0};
    ck_assert_double_eq_tol(ui_loops_work(&none), 0.0, 1e-12);
}
END_TEST

/* Pressure of a relation at a volume, by straight lines between its points. */
static double at_volume(const Relation *r, double ml) {
    for (int i = 1; i < r->points; i++) {
        double a = (double)r->ml[i - 1], b = (double)r->ml[i];
        if (ml >= a && ml <= b)
            return (double)r->mmhg[i - 1] +
                   (ml - a) / (b - a) * ((double)r->mmhg[i] - (double)r->mmhg[i - 1]);
    }
    ck_abort_msg("%.1f mL is outside %.1f to %.1f", ml, (double)r->ml[0], (double)r->ml[r->points - 1]);
    return NAN;
}

/* The loop touches both relations: at end systole from below (what is ejected loses some pressure), at end
   diastole from above (some activation is left or has begun). */
START_TEST(relations_meet_the_loop) {
    play(PEOPLE[_i]);
    for (int k = 0; k < 2; k++) {
        take(PEOPLE[_i], k == 0 ? CHAMBER_LV : CHAMBER_RV);
        ck_assert_int_eq(panel.end_systolic.points, RELATION_POINTS);
        double es = at_volume(&panel.end_systolic, (double)panel.now.ml[panel.systole]);
        double ed = at_volume(&panel.end_diastolic, (double)panel.now.ml[panel.diastole]);
        double p_es = (double)panel.now.mmhg[panel.systole], p_ed = (double)panel.now.mmhg[panel.diastole];
        ck_assert_double_le(p_es, es + 0.5);
        ck_assert_double_ge(p_es, 0.85 * es);
        ck_assert_double_ge(p_ed, ed - 0.5);
        ck_assert_double_le(p_ed, ed + 4.0);
        for (int i = 0; i < panel.now.points; i++) { /* no point above the end-systolic relation */
            double ml = (double)panel.now.ml[i], last = (double)panel.end_systolic.ml[RELATION_POINTS - 1];
            if (ml < (double)panel.end_systolic.ml[0] || ml > last) continue;
            ck_assert_double_le((double)panel.now.mmhg[i], at_volume(&panel.end_systolic, ml) + 3.0);
        }
    }
}
END_TEST

/* The slope of the end-systolic relation is the elastance in force, plus what stiffness of the pericardium
 * adds. */
START_TEST(slope_of_end_systole_is_the_elastance) {
    play(PERSON_SUPPORTED_AXIAL);
    take(PERSON_SUPPORTED_AXIAL, CHAMBER_LV);
    const Relation *r = &panel.end_systolic;
    int last = RELATION_POINTS - 1;
    double slope =
        ((double)r->mmhg[last] - (double)r->mmhg[last - 5]) / ((double)r->ml[last] - (double)r->ml[last - 5]);
    double ees = beat.observables.lv_ees_mmhg_ml;
    ck_assert_double_ge(slope, ees - 0.02);
    ck_assert_double_le(slope, ees + 0.15);
}
END_TEST

START_TEST(axes_hold_both_loops_and_keep_still) {
    play(PERSON_HEALTHY);
    take(PERSON_HEALTHY, CHAMBER_LV);
    double high_ml = panel.high_ml, high_mmhg = panel.high_mmhg;
    for (int i = 0; i < panel.now.points; i++) {
        ck_assert_double_le((double)panel.now.ml[i], high_ml);
        ck_assert_double_le((double)panel.now.mmhg[i], high_mmhg);
        ck_assert_double_ge((double)panel.now.mmhg[i], panel.low_mmhg - 1.0);
    }
    for (int i = 0; i < panel.now.points; i++)
        panel.now.mmhg[i] *= 0.9f;
    ui_loops_axes(&panel);
    ck_assert_double_eq_tol(panel.high_mmhg, high_mmhg, 1e-9); /* no flutter */
    panel.kept = panel.now;
    for (int i = 0; i < panel.kept.points; i++)
        panel.kept.ml[i] *= 3.0f;
    ui_loops_axes(&panel);
    ck_assert_double_gt(panel.high_ml, high_ml);
}
END_TEST

START_TEST(pause_without_beats_has_no_end_systole) {
    play(PERSON_HEALTHY);
    beat.ventricular = false;
    take(PERSON_HEALTHY, CHAMBER_RV);
    ck_assert_int_eq(panel.systole, -1);
    ck_assert_int_eq(panel.end_systolic.points, 0);
    beat.ticks = 0;
    take(PERSON_HEALTHY, CHAMBER_RV);
    ck_assert_int_eq(panel.now.points, 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("loops");
    TCase *c = tcase_create("loops");
    tcase_set_timeout(c, 60);
    tcase_add_loop_test(c, drawn_area_is_the_work_of_the_beat, 0, 3);
    tcase_add_test(c, healthy_work_is_about_a_joule);
    tcase_add_test(c, area_of_a_rectangle_is_exact);
    tcase_add_loop_test(c, relations_meet_the_loop, 0, 3);
    tcase_add_test(c, slope_of_end_systole_is_the_elastance);
    tcase_add_test(c, axes_hold_both_loops_and_keep_still);
    tcase_add_test(c, pause_without_beats_has_no_end_systole);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
