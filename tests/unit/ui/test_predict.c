/* Predict first: keys and clicks of the card, its answer, and the card that tells what happened. */
#include "tests/support/check_main.h"
#include "tests/support/sheet_screen.h"
#include "ui/predict.h"

static SheetScreen s;
static PredictView p;

static void start(void) {
    memset(&p, 0, sizeof p);
    snprintf(p.what, sizeof p.what, "Milrinone 0.25 mcg/kg/min");
    p.horizon_s = 1200.0;
    p.parts = 3;
    static const DisplayId QUANTITY[] = {DISPLAY_cvp_mmhg, DISPLAY_art_mean_mmhg, DISPLAY_pump_flow_l_min};
    static const char *const NAME[] = {"CVP", "MAP", "Pump flow"}, *const NOW[] = {"17 mmHg", "58 mmHg",
                                                                                   "3.1 L/min"};
    for (int i = 0; i < 3; i++) {
        p.part[i].quantity = QUANTITY[i];
        p.part[i].way = -1;
        snprintf(p.part[i].name, TEXT_SHORT, "%s", NAME[i]);
        snprintf(p.part[i].now, TEXT_SHORT, "%s", NOW[i]);
    }
    p.frames = 1;
    sheet_start(&s, 0);
}

static void stop(void) {
    sheet_stop(&s);
}

static void carry_out(void) {
    for (int i = 0; i < s.intents.count; i++) {
        if (s.intents.of[i].kind == INTENT_PART) ui_predict_change(&p, &s.intents.of[i]);
    }
    p.frames++;
}

static void type(const char *text) {
    for (; *text != '\0'; text++) {
        sheet_char(&s, &UI_PREDICT_SHEET, &p, *text);
        carry_out();
    }
}

START_TEST(digits_answer_row_by_row) {
    sheet_still(&s, &UI_PREDICT_SHEET, &p);
    carry_out();
    ck_assert(sheet_says(&s, "Milrinone 0.25 mcg/kg/min: what changes in 20 min?"));
    ck_assert(sheet_says(&s, "4 answers missing"));
    type("1");
    ck_assert_int_eq(p.part[0].way, WAY_DOWN);
    type("23");
    ck_assert_int_eq(ui_predict_missing(&p), 1);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_ENTER); /* not yet */
    ck_assert_int_eq(s.intents.count, 0);
    type("4");
    ck_assert_int_eq(ui_predict_missing(&p), 0);
    PredictionAnswer answer = ui_predict_answer(&p);
    ck_assert(!answer.skipped);
    ck_assert_int_eq(answer.count, 3);
    ck_assert_int_eq(answer.sure, 4);
    ck_assert_int_eq(answer.way[1], WAY_SAME);
    ck_assert_int_eq(answer.way[2], WAY_UP);
    ck_assert_int_eq(answer.quantity[2], DISPLAY_pump_flow_l_min);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_ENTER);
    (void)sheet_intent(&s, INTENT_PART, PREDICT_PART_GIVE);
}
END_TEST

START_TEST(enter_belongs_to_the_button_with_the_focus) {
    for (int i = 0; i < 3; i++)
        p.part[i].way = WAY_SAME;
    p.sure = 3;
    sheet_still(&s, &UI_PREDICT_SHEET, &p);
    carry_out();
    for (int i = 0; i < 5; i++) /* past the rows to the second button */
        sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_TAB);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_ENTER);
    ck_assert_int_eq(s.intents.count, 1);
    (void)sheet_intent(&s, INTENT_PART, PREDICT_PART_SKIP);
}
END_TEST

START_TEST(arrows_move_and_change_the_answer) {
    sheet_still(&s, &UI_PREDICT_SHEET, &p);
    carry_out();
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_DOWN);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_RIGHT);
    carry_out();
    ck_assert_int_eq(p.part[1].way, WAY_UP);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_LEFT);
    carry_out();
    ck_assert_int_eq(p.part[1].way, WAY_SAME);
    ck_assert_int_eq(p.part[0].way, -1);
    for (int i = 0; i < 5; i++)
        sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_DOWN);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_RIGHT);
    carry_out();
    ck_assert_int_eq(p.sure, 1);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_UP);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_LEFT);
    carry_out();
    ck_assert_int_eq(p.part[2].way, WAY_DOWN);
}
END_TEST

START_TEST(clicks_answer_and_skip) {
    sheet_still(&s, &UI_PREDICT_SHEET, &p);
    carry_out();
    for (int i = 0; i < 3; i++) {
        Rect r = {0};
        for (int k = 0; k < s.screen.ui.befores; k++) {
            if (strncmp(s.screen.ui.before[k].label, p.part[i].name, strlen(p.part[i].name)) == 0)
                r = s.screen.ui.before[k].rect;
        }
        ck_assert_double_gt(r.w, 100.0);
        sheet_click(&s, &UI_PREDICT_SHEET, &p, r.x + r.w * (i + 0.5) / 3.0, r.y + 10.0);
        carry_out();
        ck_assert_int_eq(p.part[i].way, i);
    }
    sheet_click_text(&s, &UI_PREDICT_SHEET, &p, "0  Skip");
    (void)sheet_intent(&s, INTENT_PART, PREDICT_PART_SKIP);
    sheet_char(&s, &UI_PREDICT_SHEET, &p, '0');
    (void)sheet_intent(&s, INTENT_PART, PREDICT_PART_SKIP);
    sheet_key(&s, &UI_PREDICT_SHEET, &p, KEY_ESCAPE); /* back to the orders, which stay pending */
    (void)sheet_intent(&s, INTENT_SHEET, SHEET_NONE);
}
END_TEST

START_TEST(answers_out_of_range_are_refused) {
    ui_predict_change(&p, &(Intent){INTENT_PART, PREDICT_PART_WAY, 3.0, false});
    ui_predict_change(&p, &(Intent){INTENT_PART, PREDICT_PART_WAY + 1, -1.0, false});
    ui_predict_change(&p, &(Intent){INTENT_PART, PREDICT_PART_SURE, 6.0, false});
    ui_predict_change(&p, &(Intent){INTENT_PART, PREDICT_PART_SURE, 0.0, false});
    ck_assert_int_eq(ui_predict_missing(&p), 4);
}
END_TEST

START_TEST(fits_every_size_and_shows_the_focus) {
    sheet_stop(&s);
    sheet_start(&s, _i);
    p.frames = 2;
    p.others = 2;
    sheet_check_tab(&s, &UI_PREDICT_SHEET, &p);
    sheet_check_sizes(&s);
    ck_assert(sheet_says(&s, "2 more go along"));
}
END_TEST

START_TEST(told_says_what_happened_in_signs_and_words) {
    sheet_stop(&s);
    sheet_start(&s, _i);
    PredictionTold *told = &s.view.told;
    snprintf(told->what, sizeof told->what, "Milrinone 0.25: 1 of 2 as said");
    snprintf(told->note, sizeof told->note, "20 min after");
    told->parts = 3;
    told->time_s = 8000.0;
    told->part[0] = (PredictionToldPart){"CVP", "mmHg", "17", "13", WAY_DOWN, true, true};
    told->part[1] = (PredictionToldPart){"MAP", "mmHg", "58", "57", WAY_UP, true, false};
    told->part[2] = (PredictionToldPart){"Pump flow", "L/min", "3.1", "", WAY_UP, false, false};
    s.view.unseen = 0;
    s.screen.panel = PANEL_WORDS; /* where only one panel is on show at a time, it stands with the messages */
    sheet_still(&s, NULL, NULL);
    ck_assert(sheet_says(&s, "17 \u2192 13 mmHg"));
    ck_assert(sheet_says(&s, "as said"));
    ck_assert(sheet_says(&s, "not so"));
    ck_assert(sheet_says(&s, "no longer on show"));
    sheet_char(&s, NULL, NULL, 'p');
    (void)sheet_intent(&s, INTENT_PREDICTION_SEEN, 0);
    /* a message that came later has the room */
    s.view.unseen = 1;
    s.view.message[0].time_s = 8100.0;
    sheet_still(&s, NULL, NULL);
    ck_assert(!sheet_says(&s, "17 \u2192 13 mmHg"));
    ck_assert(sheet_says(&s, "1 of 2 as said"));
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("predict");
    TCase *c = tcase_create("card");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, digits_answer_row_by_row);
    tcase_add_test(c, enter_belongs_to_the_button_with_the_focus);
    tcase_add_test(c, arrows_move_and_change_the_answer);
    tcase_add_test(c, clicks_answer_and_skip);
    tcase_add_test(c, answers_out_of_range_are_refused);
    tcase_add_loop_test(c, fits_every_size_and_shows_the_focus, 0, SHEET_SIZES);
    tcase_add_loop_test(c, told_says_what_happened_in_signs_and_words, 0, SHEET_SIZES);
    suite_add_tcase(suite, c);
    return suite;
}

CHECK_MAIN(suite)
