/* The list of cases, calls, predictions and free practice against kept pictures and draw lists. */
#include "tests/support/check_main.h"
#include "tests/support/golden_image.h"
#include "tests/support/golden_text.h"
#include "tests/support/sheet_screen.h"
#include "ui/call.h"
#include "ui/practice.h"
#include "ui/predict.h"

#include "model/people.h"

static SheetScreen s;

/* Name of a picture at a size: "call_1280x800". */
static void check_image(const char *what, int size) {
    char name[64];
    snprintf(name, sizeof name, "%s_%s", what, SHEET_SIZE[size].name);
    golden_image_check(s.screen.canvas, name);
}

/* The commands of one region, or of all from it on. */
static void check_list(const char *name, int region) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    for (size_t i = 0, end; i < s.screen.list.command_count; i = end) {
        end = ui_draw_region_end(&s.screen.list, i);
        if (s.screen.list.commands[i].id == region) ui_draw_dump(&s.screen.list, i, end - i, out);
    }
    fclose(out);
    golden_text_check(text, name);
    free(text);
}

static void overlay(OverlayView *o) {
    ScreenFrame frame = {.overlay = o, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    ui_screen_frame(&s.screen, &frame, &intents);
    ck_assert(!s.screen.list.failed);
}

START_TEST(call_looks_as_kept) {
    static CallView call;
    call =
        (CallView){.kind = PROBLEM_surgical, .diagnosis = DIAGNOSIS_clot_right, .confidence = 7, .frames = 1};
    ui_textfield_set(&call.plan, "a look now, then the surgeon");
    call.earliers = 2;
    call.earlier[0] = (CallLine){7500.0, DIAGNOSIS_right_failure, 60, "milrinone, less PEEP"};
    call.earlier[1] = (CallLine){2400.0, DIAGNOSIS_well, 80, ""};
    sheet_start(&s, _i);
    s.bare = true;
    sheet_still(&s, &UI_CALL_SHEET, &call);
    check_image("call", _i);
    if (_i == 0) check_list("call_1280x800.txt", REGION_OVERLAY);
    sheet_stop(&s);
}
END_TEST

START_TEST(prediction_looks_as_kept) {
    static PredictView p;
    p = (PredictView){.what = "Milrinone 0.25 mcg/kg/min",
                      .horizon_s = 600.0,
                      .parts = 3,
                      .sure = 3,
                      .frames = 2,
                      .part = {{.name = "CVP", .now = "17 mmHg", .way = WAY_DOWN},
                               {.name = "MAP", .now = "58 mmHg", .way = WAY_DOWN},
                               {.name = "Pump flow", .now = "3.1 L/min", .way = -1}}};
    sheet_start(&s, _i);
    s.bare = true;
    sheet_still(&s, &UI_PREDICT_SHEET, &p);
    check_image("predict", _i);
    if (_i == 0) check_list("predict_1280x800.txt", REGION_OVERLAY);
    sheet_stop(&s);
}
END_TEST

/* The card alone, where the bedside has it. */
static void draw_told(Ui *ui, Rect screen, const void *state, Intents *intents) {
    BedsideChoice choice = ui_bedside_all();
    choice.panel = PANEL_WORDS;
    BedsideLayout layout = ui_bedside_layout(screen.w, screen.h, &choice);
    ui_bedside_ground(ui, &layout, false);
    ui_predict_told(ui, &layout, state, intents);
}

static const SheetKind TOLD = {.draw = draw_told};

START_TEST(outcome_of_a_prediction_looks_as_kept) {
    sheet_start(&s, _i);
    s.view.unseen = 0;
    s.view.told = (PredictionTold){.what = "Milrinone 0.25: 2 of 3 as said",
                                   .note = "10 min after",
                                   .parts = 3,
                                   .part = {{"CVP", "mmHg", "17", "13", WAY_DOWN, true, true},
                                            {"MAP", "mmHg", "58", "54", WAY_DOWN, true, true},
                                            {"Pump flow", "L/min", "3.1", "3.6", WAY_SAME, true, false}}};
    sheet_still(&s, &TOLD, &s.view);
    check_image("told", _i);
    if (_i == 0) check_list("told_1280x800.txt", REGION_PREDICTION);
    sheet_stop(&s);
}
END_TEST

/* A loop with the corners of a beat, rounded. */
static void loop(LoopPanel *panel, double small_ml, double large_ml, double high_mmhg) {
    enum { POINTS = 120 };
    panel->now.points = panel->kept.points = POINTS;
    for (int i = 0; i < POINTS; i++) {
        double a = 2.0 * BEDSIDE_PI * i / POINTS, x = cos(a), y = sin(a);
        double wide = 0.5 * (1.0 + copysign(sqrt(fabs(x)), x)),
               high = 0.5 * (1.0 + copysign(sqrt(fabs(y)), y));
        panel->now.ml[i] = (float)(small_ml + (large_ml - small_ml) * wide);
        panel->now.mmhg[i] = (float)(4.0 + 6.0 * wide + (high_mmhg - 4.0 - 6.0 * wide) * high);
        panel->kept.ml[i] = 1.08f * panel->now.ml[i];
        panel->kept.mmhg[i] = 0.9f * panel->now.mmhg[i];
    }
    panel->end_systolic.points = RELATION_POINTS;
    for (int i = 0; i < RELATION_POINTS; i++) {
        panel->end_systolic.ml[i] = (float)(small_ml * (0.4 + 0.7 * i / (RELATION_POINTS - 1)));
        panel->end_systolic.mmhg[i] = (float)(1.15 * high_mmhg * i / (RELATION_POINTS - 1));
    }
    panel->end_diastolic.points = RELATION_POINTS;
    for (int i = 0; i < RELATION_POINTS; i++) {
        double ml = small_ml * 0.8 + (1.15 * large_ml - 0.8 * small_ml) * i / (RELATION_POINTS - 1);
        panel->end_diastolic.ml[i] = (float)ml;
        panel->end_diastolic.mmhg[i] = (float)(10.0 * exp(0.025 * (ml - large_ml)));
    }
    panel->at = 20;
    panel->systole = 45;
    panel->diastole = 110;
    ui_loops_axes(panel);
}

START_TEST(practice_looks_as_kept) {
    static PracticeView p;
    static const struct {
        const char *name, *value, *unit;
    } TRUTH[] = {{"MAP", "71", "mmHg"},
                 {"Systemic flow", "4.62", "L/min"},
                 {"Pump, true", "4.40", "L/min"},
                 {"CVP", "9.4", "mmHg"},
                 {"LV volume ED", "196", "mL"},
                 {"LV Ees", "0.66", "mmHg/mL"},
                 {"RV volume ED", "188", "mL"},
                 {"RV Ees", "0.41", "mmHg/mL"},
                 {"Septum right", "\u22122.1", "mm"},
                 {"LV work", "0.41", "J"},
                 {"Blood", "5120", "mL"},
                 {"Inlet covered", "0.02", ""}};
    memset(&p, 0, sizeof p);
    p.start = p.now = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    p.now.clot_ra_ml = 40.0;
    snprintf(p.person, sizeof p.person, "supported_axial");
    p.time_s = 754.0;
    p.rate_x = 5.0;
    p.loop[0] = (LoopPanel){.chamber = CHAMBER_LV, .side = SIDE_LEFT, .title = "Left ventricle"};
    p.loop[1] = (LoopPanel){.chamber = CHAMBER_RV, .side = SIDE_RIGHT, .title = "Right ventricle"};
    loop(&p.loop[0], 150.0, 196.0, 82.0);
    loop(&p.loop[1], 130.0, 188.0, 34.0);
    for (size_t i = 0; i < sizeof TRUTH / sizeof TRUTH[0]; i++) {
        PracticeTruth *truth = &p.truth[p.truths++];
        snprintf(truth->name, TEXT_SHORT, "%s", TRUTH[i].name);
        snprintf(truth->value, TEXT_SHORT, "%s", TRUTH[i].value);
        snprintf(truth->unit, TEXT_SHORT, "%s", TRUTH[i].unit);
    }
    p.focus = PARAMETER_clot_rv_ml;
    p.over = 3;
    p.pending[PARAMETER_clot_rv_ml] = true;
    p.wanted[PARAMETER_clot_rv_ml] = 60.0;
    p.pendings = 1;
    sheet_start(&s, _i);
    sheet_still(&s, &UI_PRACTICE_SHEET, &p);
    check_image("practice", _i);
    if (_i == 0) check_list("practice_loop_1280x800.txt", 2); /* the left loop */
    sheet_stop(&s);
}
END_TEST

START_TEST(list_of_cases_looks_as_kept) {
    static OverlayView o;
    static const struct {
        const char *title, *theme;
        int level, tries;
        CaseOutcome outcome;
    } CASES[] = {{"Finding the speed", "speed", 1, 2, CASE_OUTCOME_GOOD},
                 {"A wet night", "volume", 1, 0, CASE_OUTCOME_NONE},
                 {"The right side tires", "right heart", 2, 1, CASE_OUTCOME_MIXED},
                 {"Behind the pump", "right heart", 3, 3, CASE_OUTCOME_DEATH},
                 {"A quiet drain", "surgical", 3, 1, CASE_OUTCOME_HARM}};
    memset(&o, 0, sizeof o);
    o.kind = OVERLAY_CASES;
    o.settings = true;
    o.chosen = 2;
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        CaseEntry *e = &o.entry[o.entries++];
        *e = (CaseEntry){
            .level = CASES[i].level, .length_s = 9000.0, .readable = true, .tries = CASES[i].tries};
        snprintf(e->title, sizeof e->title, "%s", CASES[i].title);
        snprintf(e->theme, sizeof e->theme, "%s", CASES[i].theme);
        snprintf(e->summary, sizeof e->summary, "Two sentences about the case. They give nothing away.");
        e->last[0] = (CaseTry){
            .when = "11-24 20:15", .finished = true, .outcome = CASES[i].outcome, .reached_s = 9000.0};
    }
    o.entry[2].tries = 2;
    o.entry[2].last[1] = o.entry[2].last[0];
    o.entry[2].last[0] =
        (CaseTry){.when = "11-25 08:40", .goes_on = true, .reached_s = 4800.0, .call = "Vasoplegia"};
    o.entry[2].aim_count = 2;
    snprintf(o.entry[2].aims[0], CASE_LINE_MAX, "Mean arterial pressure 65 to 85 mmHg.");
    snprintf(o.entry[2].aims[1], CASE_LINE_MAX, "A central venous pressure below 12 mmHg.");
    CaseEntry *broken = &o.entry[o.entries++];
    snprintf(broken->title, sizeof broken->title, "broken.yaml");
    snprintf(broken->summary, sizeof broken->summary, "broken.yaml:3:1: unknown key 'levl'; nearest: level");
    sheet_start(&s, _i);
    overlay(&o);
    check_image("list", _i);
    if (_i == 0) check_list("list_1280x800.txt", REGION_OVERLAY);
    o.kind = OVERLAY_PRACTICE;
    o.person = PERSON_SUPPORTED_RV_FAILURE;
    o.practice_x = 5.0;
    overlay(&o);
    check_image("practice_setup", _i);
    sheet_stop(&s);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("practice pictures");
    TCase *c = tcase_create("pictures");
    tcase_set_timeout(c, 60);
    tcase_add_loop_test(c, call_looks_as_kept, 0, SHEET_SIZES);
    tcase_add_loop_test(c, prediction_looks_as_kept, 0, SHEET_SIZES);
    tcase_add_loop_test(c, outcome_of_a_prediction_looks_as_kept, 0, SHEET_SIZES);
    tcase_add_loop_test(c, practice_looks_as_kept, 0, SHEET_SIZES);
    tcase_add_loop_test(c, list_of_cases_looks_as_kept, 0, SHEET_SIZES);
    suite_add_tcase(suite, c);
    return suite;
}

CHECK_MAIN(suite)
