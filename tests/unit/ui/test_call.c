/* The card of the call: what its keys and clicks give, what is missing, the act's words, sizes and focus. */
#include "sim/acts.h"
#include "tests/support/check_main.h"
#include "tests/support/sheet_screen.h"
#include "ui/call.h"

static SheetScreen s;
static CallView call;

static void start(void) {
    memset(&call, 0, sizeof call);
    call.diagnosis = DIAGNOSIS_COUNT;
    call.kind = PROBLEM_surgical;
    call.confidence = -1;
    call.frames = 1;
    sheet_start(&s, 0);
}

static void stop(void) {
    sheet_stop(&s);
}

/* Carries out what the last frame asked for, as the shell does. */
static void carry_out(void) {
    for (int i = 0; i < s.intents.count; i++) {
        if (s.intents.of[i].kind == INTENT_PART && s.intents.of[i].number != CALL_PART_GIVE)
            ui_call_change(&call, &s.intents.of[i]);
    }
    call.frames++;
}

static void key(Key k) {
    sheet_key(&s, &UI_CALL_SHEET, &call, k);
    carry_out();
}

START_TEST(keys_alone_make_a_call) {
    sheet_still(&s, &UI_CALL_SHEET, &call);
    carry_out();
    ck_assert_ptr_nonnull(ui_call_missing(&call));
    key(KEY_RIGHT); /* to the names: the first one */
    ck_assert_int_eq(call.diagnosis, DIAGNOSIS_bleeding);
    key(KEY_DOWN);
    ck_assert_int_eq(call.diagnosis, DIAGNOSIS_tamponade);
    key(KEY_TAB);
    ck_assert_str_eq(ui_call_missing(&call), "Say how sure you are");
    for (int i = 0; i < 8; i++)
        key(KEY_RIGHT);
    ck_assert_int_eq(call.confidence, 7);
    ck_assert_ptr_null(ui_call_missing(&call));
    key(KEY_TAB);
    for (const char *c = "open gq"; *c != '\0'; c++) { /* letters that open other cards, too */
        sheet_char(&s, &UI_CALL_SHEET, &call, *c);
        carry_out();
    }
    key(KEY_BACKSPACE);
    ck_assert_str_eq(call.plan.text, "open g");
    sheet_key(&s, &UI_CALL_SHEET, &call, KEY_ENTER);
    (void)sheet_intent(&s, INTENT_PART, CALL_PART_GIVE);
    char words[ACT_TEXT_MAX];
    ui_call_words(&call, words, sizeof words);
    Act act;
    Error error;
    ck_assert_msg(sim_acts_parse(words, NULL, &act, &error) == ERROR_OK, "%s: %s", words, error.what);
    ck_assert_int_eq(act.id, ACT_call);
    ck_assert_int_eq(act.diagnosis, DIAGNOSIS_tamponade);
    ck_assert_int_eq(act.kind, PROBLEM_surgical);
    ck_assert_int_eq(act.confidence_percent, 70);
    ck_assert_str_eq(act.words, "open g");
}
END_TEST

START_TEST(enter_belongs_to_the_button_with_the_focus) {
    sheet_still(&s, &UI_CALL_SHEET, &call);
    carry_out();
    sheet_key(&s, &UI_CALL_SHEET, &call, KEY_ENTER); /* on a list: the card's default */
    (void)sheet_intent(&s, INTENT_PART, CALL_PART_GIVE);
    carry_out();
    Input back = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
    back.key[0] = (KeyPress){KEY_TAB, true, 0}; /* round to the last control: Not now */
    sheet_frame(&s, &UI_CALL_SHEET, &call, &back);
    sheet_key(&s, &UI_CALL_SHEET, &call, KEY_ENTER);
    ck_assert_int_eq(s.intents.count, 1);
    (void)sheet_intent(&s, INTENT_SHEET, SHEET_NONE);
}
END_TEST

START_TEST(mouse_alone_makes_a_call) {
    sheet_still(&s, &UI_CALL_SHEET, &call);
    carry_out();
    sheet_click_text(&s, &UI_CALL_SHEET, &call, "Right heart");
    carry_out();
    ck_assert_int_eq(call.kind, PROBLEM_right_heart);
    sheet_still(&s, &UI_CALL_SHEET, &call);
    sheet_click_text(&s, &UI_CALL_SHEET, &call, "Right heart failure, high lung resistance");
    carry_out();
    ck_assert_int_eq(call.diagnosis, DIAGNOSIS_right_failure_high_resistance);
    sheet_still(&s, &UI_CALL_SHEET, &call);
    sheet_click_text(&s, &UI_CALL_SHEET, &call, "Say how sure you are"); /* the button says what is missing */
    carry_out();
    const DrawCommand *end = sheet_text(&s, "100 %");
    sheet_click(&s, &UI_CALL_SHEET, &call, end->rect.x - 8.0, end->rect.y - 30.0);
    carry_out();
    ck_assert_int_eq(call.confidence, 10);
    sheet_still(&s, &UI_CALL_SHEET, &call);
    sheet_click_text(&s, &UI_CALL_SHEET, &call, "Make the call");
    (void)sheet_intent(&s, INTENT_PART, CALL_PART_GIVE);
    sheet_click_text(&s, &UI_CALL_SHEET, &call, "Not now");
    (void)sheet_intent(&s, INTENT_SHEET, SHEET_NONE);
}
END_TEST

START_TEST(kind_with_one_name_is_chosen_with_it) {
    for (int kind = 0; kind < PROBLEM_COUNT; kind++) {
        int names = 0;
        for (int i = 0; i < DIAGNOSIS_COUNT; i++)
            names += sim_diagnoses_row((DiagnosisId)i)->kind == (ProblemKind)kind;
        ck_assert_msg(names > 0, "kind %d has no diagnosis", kind);
        ui_call_change(&call, &(Intent){INTENT_PART, CALL_PART_KIND, kind, false});
        if (names == 1)
            ck_assert_int_eq(sim_diagnoses_row(call.diagnosis)->kind, kind);
        else
            ck_assert_int_eq(call.diagnosis, DIAGNOSIS_COUNT);
    }
    ui_call_change(&call, &(Intent){INTENT_PART, CALL_PART_KIND, 99.0, false});
    ui_call_change(&call, &(Intent){INTENT_PART, CALL_PART_DIAGNOSIS, -4.0, false});
    ui_call_change(&call, &(Intent){INTENT_PART, CALL_PART_CONFIDENCE, 99.0, false});
    ck_assert_int_eq(call.confidence, 10);
    ck_assert_int_lt(call.kind, PROBLEM_COUNT);
}
END_TEST

START_TEST(words_for_every_step_of_confidence_differ) {
    for (int i = 0; i < CALL_CONFIDENCE_STEPS; i++) {
        for (int k = 0; k < i; k++)
            ck_assert_str_ne(ui_call_confidence_word(i), ui_call_confidence_word(k));
    }
    ck_assert_str_eq(ui_call_confidence_word(-1), "");
}
END_TEST

START_TEST(earlier_calls_stand_with_time_and_plan) {
    call.earliers = 1;
    call.earlier[0] = (CallLine){4980.0, DIAGNOSIS_vasoplegia, 40, "start vasopressin"};
    sheet_still(&s, &UI_CALL_SHEET, &call);
    ck_assert(sheet_says(&s, "01:23"));
    ck_assert(sheet_says(&s, "40 %: Vasoplegia"));
    ck_assert(sheet_says(&s, "start vasopressin"));
}
END_TEST

START_TEST(fits_every_size_and_shows_the_focus) {
    sheet_stop(&s);
    sheet_start(&s, _i);
    call.earliers = CALL_LINES_MAX;
    for (int i = 0; i < CALL_LINES_MAX; i++)
        call.earlier[i] = (CallLine){60.0 * i, DIAGNOSIS_right_failure_high_resistance, 10 * (i % 11),
                                     "a plan of some words, long enough to be cut"};
    call.frames = 2;
    sheet_check_tab(&s, &UI_CALL_SHEET, &call);
    sheet_check_sizes(&s);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("call");
    TCase *c = tcase_create("card");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, keys_alone_make_a_call);
    tcase_add_test(c, enter_belongs_to_the_button_with_the_focus);
    tcase_add_test(c, mouse_alone_makes_a_call);
    tcase_add_test(c, kind_with_one_name_is_chosen_with_it);
    tcase_add_test(c, words_for_every_step_of_confidence_differ);
    tcase_add_test(c, earlier_calls_stand_with_time_and_plan);
    tcase_add_loop_test(c, fits_every_size_and_shows_the_focus, 0, SHEET_SIZES);
    suite_add_tcase(suite, c);
    return suite;
}

CHECK_MAIN(suite)
