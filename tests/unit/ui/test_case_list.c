/* The list of cases, the card of free practice and the handover: search, order, signs, keys, clicks, sizes.
 */
#include "tests/support/check_main.h"
#include "tests/support/night_case.h"
#include "tests/support/sheet_screen.h"
#include "ui/case_list.h"

static SheetScreen s;
static OverlayView o;

static void add(const char *title, const char *theme, int level, bool readable) {
    CaseEntry *e = &o.entry[o.entries++];
    memset(e, 0, sizeof *e);
    snprintf(e->title, sizeof e->title, "%s", title);
    snprintf(e->theme, sizeof e->theme, "%s", theme);
    snprintf(e->summary, sizeof e->summary, "%s",
             readable ? "Two sentences about it. They give nothing away."
                      : "broken.yaml:3:1: unknown key 'levl'");
    e->level = level;
    e->length_s = 7200.0;
    e->readable = readable;
}

static void start(void) {
    memset(&o, 0, sizeof o);
    o.kind = OVERLAY_CASES;
    o.settings = true;
    o.practice_x = 1.0;
    add("Zebra", "volume", 3, true);
    add("broken.yaml", "", 0, false);
    add("Apple", "volume", 1, true);
    add("Mango", "speed", 1, true);
    add("Berry", "right heart", 2, true);
    sheet_start(&s, 0);
}

static void stop(void) {
    sheet_stop(&s);
}

static void frame(const Input *input) {
    ScreenFrame f = {.overlay = &o, .input = *input};
    s.intents = (Intents){0};
    ui_screen_frame(&s.screen, &f, &s.intents);
    ck_assert(!s.screen.list.failed);
}

static void still(void) {
    frame(&(Input){.x_px = -1.0, .y_px = -1.0});
}

static void key(Key k, uint32_t character) {
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
    input.key[0] = (KeyPress){k, false, character};
    frame(&input);
}

static void click_text(const char *text) {
    const DrawCommand *c = sheet_text(&s, text);
    ck_assert_msg(c != NULL, "nothing reads %s", text);
    frame(&(Input){.x_px = c->rect.x + (c->align == ALIGN_LEFT ? 4.0 : 0.0),
                   .y_px = c->rect.y - 4.0,
                   .pressed = true,
                   .released = true});
}

START_TEST(order_is_by_level_or_theme_with_broken_ones_last) {
    int index[OVERLAY_CASES_MAX];
    static const char *const BY_LEVEL[] = {"Mango", "Apple", "Berry", "Zebra", "broken.yaml"};
    static const char *const BY_THEME[] = {"Berry", "Mango", "Apple", "Zebra", "broken.yaml"};
    for (int turn = 0; turn < 2; turn++) {
        o.by_theme = turn == 1;
        ck_assert_int_eq(ui_case_list_shown(&o, index), 5);
        for (int i = 0; i < 5; i++)
            ck_assert_str_eq(o.entry[index[i]].title, turn == 0 ? BY_LEVEL[i] : BY_THEME[i]);
    }
}
END_TEST

START_TEST(search_needs_every_word_somewhere) {
    int index[OVERLAY_CASES_MAX];
    ui_textfield_set(&o.search, "VOLUME");
    ck_assert_int_eq(ui_case_list_shown(&o, index), 2);
    ui_textfield_set(&o.search, "volume zeb");
    ck_assert_int_eq(ui_case_list_shown(&o, index), 1);
    ck_assert_str_eq(o.entry[index[0]].title, "Zebra");
    ui_textfield_set(&o.search, "levl"); /* why a case cannot be read is found, too */
    ck_assert_int_eq(ui_case_list_shown(&o, index), 1);
    ui_textfield_set(&o.search, "nothing like it");
    ck_assert_int_eq(ui_case_list_shown(&o, index), 0);
    still();
    ck_assert(sheet_says(&s, "No case has these words."));
}
END_TEST

START_TEST(keys_move_open_search_sort) {
    o.chosen = 3; /* Mango, the first on show */
    still();
    key(KEY_DOWN, 0);
    (void)sheet_intent(&s, INTENT_ROW, 2);
    key(KEY_UP, 0);
    ck_assert_int_eq(s.intents.count, 0); /* there is none above */
    key(KEY_END, 0);
    (void)sheet_intent(&s, INTENT_ROW, 1);
    key(KEY_ENTER, 0);
    (void)sheet_intent(&s, INTENT_CASE, 3);
    key(KEY_CHARACTER, 'h');
    ck_assert_double_eq_tol(sheet_intent(&s, INTENT_TYPE, 0).amount, 'h', 0.1);
    key(KEY_ESCAPE, 0);
    ck_assert_double_eq_tol(sheet_intent(&s, INTENT_TYPE, 0).amount, TEXT_EDIT_CLEAR, 0.1);
    key(KEY_F5, 0);
    (void)sheet_intent(&s, INTENT_SORT, 0);
    key(KEY_F3, 0);
    (void)sheet_intent(&s, INTENT_PRACTICE, 0);
    key(KEY_F4, 0);
    (void)sheet_intent(&s, INTENT_SHEET, SHEET_SETTINGS);
}
END_TEST

START_TEST(broken_case_says_why_and_does_not_open) {
    o.chosen = 1;
    still();
    ck_assert(sheet_says(&s, "unknown key 'levl'"));
    ck_assert(!sheet_says(&s, "Open the case"));
    key(KEY_ENTER, 0);
    ck_assert_int_eq(s.intents.count, 0);
}
END_TEST

START_TEST(mouse_chooses_and_opens) {
    o.chosen = 3;
    still();
    click_text("Berry");
    (void)sheet_intent(&s, INTENT_ROW, 4);
    o.chosen = 4;
    still();
    click_text("Open the case");
    (void)sheet_intent(&s, INTENT_CASE, 4);
    click_text("F3  Free practice");
    (void)sheet_intent(&s, INTENT_PRACTICE, 0);
}
END_TEST

START_TEST(what_was_tried_is_said_and_can_be_gone_on_with) {
    CaseEntry *e = &o.entry[3];
    o.chosen = 3;
    e->tries = 8;
    for (int i = 0; i < OVERLAY_TRIES_MAX; i++) {
        e->last[i] = (CaseTry){.finished = i != 1,
                               .goes_on = i == 1,
                               .outcome = (CaseOutcome)(i % CASE_OUTCOME_COUNT),
                               .reached_s = 4800.0};
        snprintf(e->last[i].when, TEXT_SHORT, "11-2%d 14:40", i);
    }
    still();
    ck_assert(sheet_says(&s, "8 nights"));
    ck_assert(sheet_says(&s, "left at 1:20 h"));
    ck_assert(sheet_says(&s, "Begin anew"));
    click_text("F2  Go on at 1:20 h");
    (void)sheet_intent(&s, INTENT_RESUME, 3);
    key(KEY_F2, 0);
    (void)sheet_intent(&s, INTENT_RESUME, 3);
    e->last[1].goes_on = false; /* of another build */
    key(KEY_F2, 0);
    ck_assert_int_eq(s.intents.count, 0);
}
END_TEST

START_TEST(every_outcome_has_its_word_and_its_sign) {
    char words[CASE_OUTCOME_COUNT + 1][64];
    uint64_t sign[CASE_OUTCOME_COUNT + 1];
    for (int i = 0; i <= CASE_OUTCOME_COUNT; i++) {
        CaseTry night = {.finished = i < CASE_OUTCOME_COUNT,
                         .outcome = i < CASE_OUTCOME_COUNT ? (CaseOutcome)i : CASE_OUTCOME_NONE};
        ui_case_list_went(words[i], sizeof words[i], &night);
        still();
        size_t before = s.screen.list.command_count;
        ui_case_list_sign(&s.screen.ui, 50.0, 50.0, 16.0, &night);
        sign[i] = ui_draw_hash(&s.screen.list, before, s.screen.list.command_count - before);
        for (int k = 0; k < i; k++) {
            ck_assert_str_ne(words[i], words[k]);
            ck_assert(sign[i] != sign[k]);
        }
    }
}
END_TEST

START_TEST(person_body_and_time_are_chosen) {
    o.kind = OVERLAY_PRACTICE;
    o.person = PERSON_DILATED_FAILURE;
    still();
    key(KEY_DOWN, 0);
    (void)sheet_intent(&s, INTENT_PERSON, PERSON_SUPPORTED_AXIAL);
    key(KEY_RIGHT, 0);
    (void)sheet_intent(&s, INTENT_PERSON, PERSON_DILATED_FAILURE + PERSON_BODY_COUNT);
    click_text("Smaller body");
    (void)sheet_intent(&s, INTENT_PERSON, PERSON_DILATED_FAILURE + PERSON_BODY_COUNT);
    click_text("Fresh transplant");
    (void)sheet_intent(&s, INTENT_PERSON, PERSON_FRESH_TRANSPLANT);
    key(KEY_CHARACTER, '+');
    ck_assert_double_eq_tol(sheet_intent(&s, INTENT_RATE, 0).amount, 1.0, 1e-9);
    key(KEY_ENTER, 0);
    (void)sheet_intent(&s, INTENT_PRACTICE, 1);
    key(KEY_ESCAPE, 0);
    (void)sheet_intent(&s, INTENT_CLOSE, 0);
    ck_assert(sheet_says(&s, "Supported RV failure"));
    key(KEY_F2, 0); /* there is no night to go on with */
    ck_assert_int_eq(s.intents.count, 0);
    o.practice_last[o.person] = (CaseTry){.goes_on = true, .reached_s = 4800.0};
    still();
    click_text("F2  Go on at 1:20 h");
    (void)sheet_intent(&s, INTENT_RESUME, 0);
}
END_TEST

START_TEST(handover_says_what_may_be_ordered) {
    Case *file = night_case();
    o.kind = OVERLAY_HANDOVER;
    o.handover = &file->handover;
    o.case_file = file;
    o.case_title = file->title;
    still();
    ck_assert(sheet_says(&s, "You may order"));
    ck_assert(sheet_says(&s, "Ventilator: PEEP"));
    ck_assert(sheet_says(&s, "Norepinephrine 0.05 mcg/kg/min"));
    ck_assert(!sheet_says(&s, "ight pump")); /* not there */
    /* the same rate written as volume is shown in the drug's own unit */
    char words[64];
    double ml_h = sim_orders_ml_h(ORDER_norepinephrine, 0.05, file->patient.parameters.weight_kg);
    snprintf(words, sizeof words, "norepinephrine %.9gmL/h", ml_h);
    ck_assert_int_eq(sim_orders_parse(words, NULL, &file->running[0], NULL), ERROR_OK);
    still();
    ck_assert(sheet_says(&s, "Norepinephrine 0.05 mcg/kg/min"));
    file->limits.of[ORDER_peep].allowed = false;
    file->limits.of[ORDER_speed].low = 8800.0;
    still();
    ck_assert(!sheet_says(&s, "Ventilator: PEEP"));
    ck_assert(sheet_says(&s, "ump speed 8800 to"));
    sim_case_free(file);
}
END_TEST

START_TEST(cards_fit_every_size) {
    sheet_stop(&s);
    sheet_start(&s, _i);
    Case *file = night_case();
    static const OverlayKind KINDS[] = {OVERLAY_CASES, OVERLAY_PRACTICE, OVERLAY_HANDOVER, OVERLAY_HELP};
    for (int i = 0; i < 20; i++)
        add("A title of a case that is as long as a title can reasonably become, and then some",
            "a long theme", 2, true);
    o.handover = &file->handover;
    o.case_file = file;
    o.case_title = file->title;
    o.chosen = 12;
    for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0]; i++) {
        o.kind = KINDS[i];
        still();
        sheet_check_sizes(&s);
    }
    sim_case_free(file);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("case list");
    TCase *c = tcase_create("list");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, order_is_by_level_or_theme_with_broken_ones_last);
    tcase_add_test(c, search_needs_every_word_somewhere);
    tcase_add_test(c, keys_move_open_search_sort);
    tcase_add_test(c, broken_case_says_why_and_does_not_open);
    tcase_add_test(c, mouse_chooses_and_opens);
    tcase_add_test(c, what_was_tried_is_said_and_can_be_gone_on_with);
    tcase_add_test(c, every_outcome_has_its_word_and_its_sign);
    tcase_add_test(c, person_body_and_time_are_chosen);
    tcase_add_test(c, handover_says_what_may_be_ordered);
    tcase_add_loop_test(c, cards_fit_every_size, 0, SHEET_SIZES);
    suite_add_tcase(suite, c);
    return suite;
}

CHECK_MAIN(suite)
