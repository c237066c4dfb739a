/* Free practice: groups and search, steps and typed values, the written keys, the page's keys and clicks. */
#include "tests/support/check_main.h"
#include "tests/support/sheet_screen.h"
#include "ui/practice.h"

#include "model/people.h"

#include <stdlib.h>

static SheetScreen s;
static PracticeView p;

static void start(void) {
    memset(&p, 0, sizeof p);
    p.start = p.now = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    snprintf(p.person, sizeof p.person, "supported_axial");
    p.rate_x = 1.0;
    for (int i = 0; i < 2; i++) {
        LoopPanel *panel = &p.loop[i];
        panel->chamber = i == 0 ? CHAMBER_LV : CHAMBER_RV;
        panel->side = i == 0 ? SIDE_LEFT : SIDE_RIGHT;
        panel->systole = panel->diastole = -1;
        panel->now = (Loop){.points = 4, .ml = {180, 180, 120, 120}, .mmhg = {10, 90, 90, 5}};
        ui_loops_axes(panel);
    }
    p.truths = 6;
    for (int i = 0; i < p.truths; i++) {
        snprintf(p.truth[i].name, TEXT_SHORT, "LV volume ED");
        snprintf(p.truth[i].value, TEXT_SHORT, "%d", 100 + i);
        snprintf(p.truth[i].unit, TEXT_SHORT, "mmHg/mL");
    }
    ParameterId rows[PARAMETER_COUNT];
    ck_assert_int_gt(ui_practice_rows(&p, rows), 0);
    p.focus = rows[0];
    sheet_start(&s, 0);
}

static void stop(void) {
    sheet_stop(&s);
}

static void change(PracticePart part, double amount) {
    ui_practice_change(&p, &(Intent){INTENT_PART, (int)part, amount, false});
}

static void carry_out(void) {
    for (int i = 0; i < s.intents.count; i++) {
        if (s.intents.of[i].kind == INTENT_PART) ui_practice_change(&p, &s.intents.of[i]);
    }
}

static void key(Key k) {
    sheet_key(&s, &UI_PRACTICE_SHEET, &p, k);
    carry_out();
}

static void type(const char *text) {
    for (; *text != '\0'; text++) {
        sheet_char(&s, &UI_PRACTICE_SHEET, &p, *text);
        carry_out();
    }
}

START_TEST(every_parameter_stands_in_one_group) {
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        int in = 0;
        for (int group = 1; group < ui_practice_group_count(); group++)
            in += ui_practice_group_has(group, (ParameterId)i);
        ck_assert_msg(in == 1, "%s stands in %d groups", model_parameters_row((ParameterId)i)->key, in);
    }
    for (int group = 0; group < ui_practice_group_count(); group++) {
        ParameterId rows[PARAMETER_COUNT];
        p.group = group;
        ck_assert_msg(ui_practice_rows(&p, rows) > 0, "%s is empty", ui_practice_group_name(group));
    }
}
END_TEST

START_TEST(what_goes_wrong_holds_the_causes) {
    ck_assert(ui_practice_group_has(0, PARAMETER_clot_ra_ml));
    ck_assert(ui_practice_group_has(0, PARAMETER_bleed_drain_ml_h));
    ck_assert(ui_practice_group_has(0, PARAMETER_left_pump_thrombus_frac));
    ck_assert(!ui_practice_group_has(0, PARAMETER_weight_kg));
}
END_TEST

START_TEST(search_looks_at_names_and_keys_of_all_groups) {
    ParameterId rows[PARAMETER_COUNT];
    ui_textfield_set(&p.search, "RIGHT atrium clot");
    int count = ui_practice_rows(&p, rows);
    bool clot = false;
    for (int i = 0; i < count; i++)
        clot = clot || rows[i] == PARAMETER_clot_ra_ml;
    ck_assert(clot);
    ck_assert_int_lt(count, 8);
    ui_textfield_set(&p.search, "peep_cmh2o");
    ck_assert_int_eq(ui_practice_rows(&p, rows), 1);
    ck_assert_int_eq(rows[0], PARAMETER_peep_cmh2o);
    ui_textfield_set(&p.search, "no such thing");
    ck_assert_int_eq(ui_practice_rows(&p, rows), 0);
    ui_textfield_set(&p.search, "   ");
    p.group = 1;
    ck_assert_int_eq(ui_practice_rows(&p, rows),
                     5); /* spaces alone search nothing: the left ventricle's five */
}
END_TEST

START_TEST(steps_are_round_and_lead_through_the_range) {
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        ParameterId id = (ParameterId)i;
        const ParameterRow *row = model_parameters_row(id);
        double size = ui_practice_step(&p, id), power = pow(10.0, floor(log10(size) + 1e-9)),
               times = size / power;
        ck_assert_msg(fabs(times - 1.0) < 1e-6 || fabs(times - 2.0) < 1e-6 || fabs(times - 5.0) < 1e-6,
                      "%s: step %g", row->key, size);
        ck_assert_msg(size <= row->high - row->low, "%s: step %g", row->key, size);
        p.focus = id;
        for (int k = 0; k < 3; k++) {
            ui_practice_change(&p, &(Intent){INTENT_PART, PRACTICE_PART_STEP, k == 0 ? 1e6 : -2e6, k == 2});
            double wanted = ui_practice_wanted(&p, id);
            ck_assert_msg(wanted >= row->low && wanted <= row->high, "%s: %g", row->key, wanted);
        }
        p.pending[i] = false;
    }
    ck_assert_double_eq_tol(ui_practice_step(&p, PARAMETER_chest_open), 1.0, 1e-12);
    ck_assert_double_eq_tol(ui_practice_step(&p, PARAMETER_rhythm_kind), 1.0, 1e-12);
    ck_assert_double_eq_tol(ui_practice_step(&p, PARAMETER_left_pump_speed_rpm), 100.0, 1e-9);
}
END_TEST

START_TEST(typed_values_hold_within_the_range_only) {
    p.search = (TextField){.caret = 0};
    change(PRACTICE_PART_SEARCH, 'p');
    ui_textfield_set(&p.search, "peep_cmh2o");
    change(PRACTICE_PART_FOCUS, PARAMETER_peep_cmh2o);
    type("12.5");
    ck_assert_double_eq_tol(ui_practice_wanted(&p, PARAMETER_peep_cmh2o), 12.5, 1e-12);
    ck_assert_int_eq(p.pendings, 1);
    key(KEY_BACKSPACE);
    key(KEY_BACKSPACE);
    type("0"); /* 120: more than is allowed */
    ck_assert_int_eq(p.pendings, 0);
    ck_assert_ptr_nonnull(strstr(p.told, "allowed: 0 to 25 cmH2O"));
    key(KEY_ESCAPE);
    ck_assert_str_eq(p.entry, "");
    type("8");
    sheet_key(&s, &UI_PRACTICE_SHEET, &p, KEY_ENTER);
    (void)sheet_intent(&s, INTENT_PART, PRACTICE_PART_SET);
    change(PRACTICE_PART_DROP, 0.0);
    ck_assert_int_eq(p.pendings, 0);
    for (const char *c = "--e..e9"; *c != '\0'; c++)
        change(PRACTICE_PART_DIGIT, *c); /* never a value */
    ck_assert_int_eq(p.pendings, 0);
}
END_TEST

START_TEST(back_to_where_it_began) {
    p.focus = PARAMETER_clot_ra_ml;
    p.now.clot_ra_ml = 80.0;
    change(PRACTICE_PART_BACK, 0.0);
    ck_assert(p.pending[PARAMETER_clot_ra_ml]);
    ck_assert_double_eq_tol(ui_practice_wanted(&p, PARAMETER_clot_ra_ml), 0.0, 1e-12);
    p.now.clot_ra_ml = 0.0;
    change(PRACTICE_PART_BACK, 0.0);
    ck_assert(!p.pending[PARAMETER_clot_ra_ml]); /* nothing to change */
}
END_TEST

START_TEST(keys_move_step_and_choose_the_time) {
    ParameterId rows[PARAMETER_COUNT];
    (void)ui_practice_rows(&p, rows);
    sheet_still(&s, &UI_PRACTICE_SHEET, &p);
    key(KEY_DOWN);
    ck_assert_int_eq(p.focus, rows[1]);
    key(KEY_RIGHT);
    ck_assert_int_eq(p.pendings, 1);
    ck_assert_double_eq_tol(ui_practice_wanted(&p, rows[1]), ui_practice_step(&p, rows[1]), 1e-9);
    key(KEY_LEFT);
    ck_assert_int_eq(p.pendings, 0);
    type("]");
    ck_assert_int_eq(p.group, 1);
    ck_assert(ui_practice_group_has(1, p.focus)); /* the focus goes along */
    type("[[");
    ck_assert_int_eq(p.group, ui_practice_group_count() - 1);
    type(">>");
    ck_assert_double_eq_tol(ui_practice_over_s(p.over), 60.0, 1e-9);
    type("<<<<");
    ck_assert_double_eq_tol(ui_practice_over_s(p.over), 0.0, 1e-9);
    type("/");
    type("wsk"); /* letters of the search, not keys */
    ck_assert_str_eq(p.search.text, "wsk");
    key(KEY_ESCAPE);
    ck_assert_str_eq(p.search.text, "");
    key(KEY_ENTER);
    type("k");
    ck_assert_int_eq(p.loop[0].kept.points, p.loop[0].now.points);
    sheet_key(&s, &UI_PRACTICE_SHEET, &p, KEY_ESCAPE);
    (void)sheet_intent(&s, INTENT_SHEET, SHEET_NONE);
}
END_TEST

START_TEST(mouse_drags_steps_and_sets) {
    sheet_still(&s, &UI_PRACTICE_SHEET, &p);
    Rect track = {0}, more = {0};
    for (int i = 0; i < s.screen.ui.befores; i++) {
        const UiItem *item = &s.screen.ui.before[i];
        if (track.w <= 0.0 && item->role == UI_ROLE_TRACK) track = item->rect;
        if (more.w <= 0.0 && strcmp(item->label, "more") == 0) more = item->rect;
    }
    ck_assert_double_gt(track.w, 100.0);
    Input press = {.x_px = track.x + 2.0, .y_px = track.y + 10.0, .pressed = true, .down = true};
    sheet_frame(&s, &UI_PRACTICE_SHEET, &p, &press);
    Input drag = {.x_px = track.x + track.w / 2.0, .y_px = track.y + 10.0, .down = true};
    sheet_frame(&s, &UI_PRACTICE_SHEET, &p, &drag);
    carry_out();
    const ParameterRow *row = model_parameters_row(p.focus);
    ck_assert_double_eq_tol(ui_practice_wanted(&p, p.focus), 0.5 * (row->low + row->high),
                            0.02 * (row->high - row->low));
    Input release = {.x_px = drag.x_px, .y_px = drag.y_px, .released = true};
    sheet_frame(&s, &UI_PRACTICE_SHEET, &p, &release);
    carry_out();
    double before = ui_practice_wanted(&p, p.focus);
    sheet_click(&s, &UI_PRACTICE_SHEET, &p, more.x + 10.0, more.y + 10.0);
    carry_out();
    ck_assert_double_gt(ui_practice_wanted(&p, p.focus), before);
    sheet_still(&s, &UI_PRACTICE_SHEET, &p);
    sheet_click_text(&s, &UI_PRACTICE_SHEET, &p, "Change 1  Enter");
    (void)sheet_intent(&s, INTENT_PART, PRACTICE_PART_SET);
}
END_TEST

/* What is written is a piece of a case that the loader takes. */
START_TEST(written_keys_make_a_case) {
    p.now.clot_ra_ml = 62.5;
    p.now.systemic_resistance_x = 0.65;
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    fputs("evenkeel_case: 1\nid: written\ntitle: Written\nlevel: 1\ntheme: tests\nlength: 10min\nseed: 1\n"
          "summary: Written.\nhandover:\n  who: Nobody.\n  done: Nothing.\n  attached: Nothing.\n  objectives:\n    - None.\n"
          "endings:\n  - id: end\n    at_length: yes\n    outcome: good\n    text: Over.\n",
          out);
    ui_practice_snippet(&p, out);
    fclose(out);
    ck_assert_ptr_nonnull(strstr(text, "--set systemic_resistance_x=0.65"));
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *file = sim_case_parse(text, size, "written", errors);
    ck_assert_msg(file != NULL, "%s\n%s", errors->items[0].what, text);
    ck_assert_double_eq_tol(file->patient.parameters.clot_ra_ml, 62.5, 1e-9);
    ck_assert_double_eq_tol(file->patient.parameters.systemic_resistance_x, 0.65, 1e-9);
    ck_assert_str_eq(file->patient.base, "supported_axial");
    ck_assert_int_eq(file->patient.set_count, 2);
    sim_case_free(file);
    free(errors);
    free(text);
}
END_TEST

START_TEST(fits_every_size_and_shows_the_focus) {
    sheet_stop(&s);
    sheet_start(&s, _i);
    for (int group = 0; group < ui_practice_group_count(); group++) {
        sheet_still(&s, &UI_PRACTICE_SHEET, &p);
        sheet_check_sizes(&s);
        change(PRACTICE_PART_GROUP, 1.0);
    }
    p.pendings = 1;
    p.pending[p.focus] = true;
    sheet_check_tab(&s, &UI_PRACTICE_SHEET, &p);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("practice");
    TCase *c = tcase_create("page");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, every_parameter_stands_in_one_group);
    tcase_add_test(c, what_goes_wrong_holds_the_causes);
    tcase_add_test(c, search_looks_at_names_and_keys_of_all_groups);
    tcase_add_test(c, steps_are_round_and_lead_through_the_range);
    tcase_add_test(c, typed_values_hold_within_the_range_only);
    tcase_add_test(c, back_to_where_it_began);
    tcase_add_test(c, keys_move_step_and_choose_the_time);
    tcase_add_test(c, mouse_drags_steps_and_sets);
    tcase_add_test(c, written_keys_make_a_case);
    tcase_add_loop_test(c, fits_every_size_and_shows_the_focus, 0, SHEET_SIZES);
    suite_add_tcase(suite, c);
    return suite;
}

CHECK_MAIN(suite)
