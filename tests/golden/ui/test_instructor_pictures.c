/* The instructor's window against kept pictures and draw lists, from an invented night. */
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/golden_text.h"
#include "tests/support/heart_views.h"
#include "tests/support/sheet_screen.h"
#include "ui/instructor.h"

static SheetScreen s;
static InstructorView v; /* static: large */

static const SheetKind KIND = {.state_size = sizeof(InstructorView), .draw = ui_instructor_draw};

static void event(const char *id, EventStand stand, double time_s, const char *when, const char *what) {
    InstructorEvent *e = &v.event[v.events++];
    *e = (InstructorEvent){.stand = stand, .time_s = time_s};
    snprintf(e->id, sizeof e->id, "%s", id);
    snprintf(e->when, sizeof e->when, "%s", when);
    snprintf(e->what, sizeof e->what, "%s", what);
}

static void truth(const char *name, const char *is, const char *shown, const char *unit, bool apart) {
    InstructorTruth *row = &v.row[v.rows++];
    *row = (InstructorTruth){.apart = apart};
    snprintf(row->name, sizeof row->name, "%s", name);
    snprintf(row->truth, sizeof row->truth, "%s", is);
    snprintf(row->shown, sizeof row->shown, "%s", shown);
    snprintf(row->unit, sizeof row->unit, "%s", unit);
}

static void line(double time_s, LogKind kind, bool instructor, const char *text) {
    InstructorLine *l = &v.line[v.lines++];
    *l = (InstructorLine){.time_s = time_s, .kind = kind, .instructor = instructor, .mine = instructor};
    snprintf(l->text, sizeof l->text, "%s", text);
    v.mark[v.marks++] = (InstructorMark){time_s, kind};
}

static void goal(const char *text, const char *points, bool all) {
    InstructorGoal *g = &v.goal[v.goals++];
    *g = (InstructorGoal){.all = all, .none = !all};
    snprintf(g->text, sizeof g->text, "%s", text);
    snprintf(g->points, sizeof g->points, "%s", points);
}

static void invent(void) {
    memset(&v, 0, sizeof v);
    v.open = v.frozen = true;
    v.time_s = 2052.0;
    v.length_s = 9000.0;
    v.rate_x = 5.0;
    snprintf(v.case_title, sizeof v.case_title, "A night that was made up");
    snprintf(v.truth, sizeof v.truth, "Clot on the right heart");
    snprintf(v.also, sizeof v.also, "Tamponade all round");
    snprintf(v.last_call, sizeof v.last_call, "Right heart fails, 60 %%");
    v.heart = heart_view(&HEART_SITUATION[4], 0.5);
    event("clot", EVENT_CAME, 480.0, "at 00:08:00",
          "truth: Clot on the right heart; clot_ra_ml to 120 over 20min");
    event("drains", EVENT_DUE, 2520.0, "drawn between 00:40:00 and 00:45:00",
          "drain_patency_frac to 0.1 over 15min");
    event("quiet", EVENT_WAITS, NAN, "when shown_drain_ml_h < 45 for 2min", "nurse: The drains are quiet.");
    event("spare", EVENT_SKIPPED, NAN, "at 01:10:00", "bleed_hidden_ml_h = 200");
    event("warm", EVENT_OTHERWISE, 1200.0, "at 00:20:00, if chest_open > 0.5", "nurse: He is warm.");
    v.event[1].delay_s = 300.0;
    v.chosen = 1;
    truth("Clot at RA", "84", "", "mL", false);
    truth("MAP", "61", "62", "mmHg", false);
    truth("CVP", "17.4", "17.0", "mmHg", false);
    truth("Pump flow", "2.6", "4.1", "L/min", true);
    truth("LV volume ED", "148", "", "mL", false);
    truth("Septum to the right", "\u22126.1", "", "mm", false);
    truth("RV contractility", "0.31", "", "mmHg/mL", false);
    line(1990.0, LOG_CALL, false, "calls Right heart fails, 60 % sure: right kind; milrinone");
    line(1920.0, LOG_HAND, true, "freeze pump");
    line(1805.0, LOG_ORDER, false, "milrinone 0.25mcg/kg/min");
    line(1500.0, LOG_LOOK, false, "look four_chamber");
    line(480.0, LOG_EVENT, false, "event clot");
    v.call_right = 1;
    snprintf(v.drip[v.drips++], TEXT_LINE, "Pump speed 9000 rpm");
    snprintf(v.drip[v.drips++], TEXT_LINE, "Milrinone 0.25 mcg/kg/min");
    goal("The right problem is called by 1 h 15 min.", "0 of 10", false);
    goal("Mean arterial pressure above 60 mmHg for ten minutes.", "10 of 10", true);
    v.got = 10.0;
    v.most = 40.0;
    v.causes.start = v.causes.now = model_parameters_standard();
    ParameterId rows[PARAMETER_COUNT];
    ck_assert_int_gt(ui_practice_rows(&v.causes, rows), 2);
    v.causes.focus = rows[2];
    v.panel = INSTRUCTOR_PANELS;
    v.back_min = 5;
    v.diagnosis = DIAGNOSIS_tamponade;
    snprintf(v.told, sizeof v.told, "Done: freeze pump");
}

static void check_image(const char *what, int size) {
    char name[64];
    snprintf(name, sizeof name, "%s_%s", what, SHEET_SIZE[size].name);
    golden_image_check(s.screen.canvas, name);
}

START_TEST(instructor_looks_as_kept) {
    invent();
    sheet_start(&s, _i);
    s.bare = true;
    sheet_still(&s, &KIND, &v);
    check_image("instructor", _i);
    v.panel = v.last_panel = INSTRUCTOR_SAY;
    v.asked = true;
    v.back_to_s = 1752.0;
    snprintf(v.lost, sizeof v.lost, "Lost: 1 order, 1 call, 1 act of yours");
    ui_textfield_set(&v.message, "The urine has almost stopped.");
    sheet_still(&s, &KIND, &v);
    check_image("instructor_back", _i);
    v.asked = false;
    v.panel = v.last_panel = INSTRUCTOR_TRAINEE;
    sheet_still(&s, &KIND, &v);
    if (_i == 0) check_image("instructor_trainee", _i);
    sheet_stop(&s);
}
END_TEST

START_TEST(instructor_draws_the_same_list) {
    char *text = NULL;
    size_t size = 0;
    invent();
    sheet_start(&s, 0);
    s.bare = true;
    sheet_still(&s, &KIND, &v);
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    ui_draw_dump(&s.screen.list, 0, 0, out);
    fclose(out);
    golden_text_check(text, "instructor_1280x800.txt");
    free(text);
    sheet_stop(&s);
}
END_TEST

static Suite *suite(void) {
    Suite *suite_made = suite_create("golden/instructor_pictures");
    TCase *c = tcase_create("instructor_pictures");
    tcase_set_timeout(c, 60);
    tcase_add_loop_test(c, instructor_looks_as_kept, 0, SHEET_SIZES);
    tcase_add_test(c, instructor_draws_the_same_list);
    suite_add_tcase(suite_made, c);
    return suite_made;
}

CHECK_MAIN(suite)
