/* Acts in words: what is read is written and read back as the same; what is not understood is said with what
 * is. */
#include "sim/acts.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static Error error;

static Act read(const char *text) {
    Act act;
    if (sim_acts_parse(text, NULL, &act, &error) != ERROR_OK)
        ck_abort_msg("%s: %s; %s", text, error.what, error.allowed);
    return act;
}

static void written(const char *text, const char *expected) {
    char words[ACT_TEXT_MAX], again[ACT_TEXT_MAX];
    Act act = read(text);
    sim_acts_format(&act, words, sizeof words);
    ck_assert_str_eq(words, expected);
    act = read(words);
    sim_acts_format(&act, again, sizeof again);
    ck_assert_str_eq(again, words);
}

START_TEST(acts_examples_are_read_and_written_alike) {
    for (int id = 0; id < ACT_ROW_COUNT; id++) {
        const ActRow *row = sim_acts_row((ActId)id);
        char words[ACT_TEXT_MAX], again[ACT_TEXT_MAX];
        Act act = read(row->example);
        ck_assert_int_eq(act.id, id);
        sim_acts_format(&act, words, sizeof words);
        ck_assert_msg(strncmp(words, row->key, strlen(row->key)) == 0, "%s", words);
        act = read(words);
        sim_acts_format(&act, again, sizeof again);
        ck_assert_str_eq(again, words);
        /* the first word alone decides: it is no order and no verb of orders */
        ck_assert_int_eq(sim_orders_find(row->key), ORDER_COUNT);
        ck_assert_int_eq(sim_acts_find(row->key), id);
    }
}
END_TEST

START_TEST(acts_are_written_in_one_way) {
    written("Look  Short_Axis", "look short_axis");
    written("look end", "look end");
    written("call tamponade confidence 70", "call tamponade confidence 70 kind surgical");
    written("call bleeding kind volume, confidence 35%", "call bleeding confidence 35 kind volume");
    written("call clot_right confidence 90 plan  Open  the chest, NOW",
            "call clot_right confidence 90 kind surgical plan Open the chest, NOW");
    written("predict speed 9000: pump_flow up art_mean same cvp_mmhg down sure 2",
            "predict speed 9000rpm : pump_flow up, art_mean same, cvp down, sure 2");
    written("predict peep 8 : skip", "predict peep 8cmH2O : skip");
    written("note  Hands \t warm\n now", "note Hands warm now");
    written("bookmark", "bookmark");
    written("bookmark here it began", "bookmark here it began");
    written("set rv_ees_mmhg_ml 0.15 over 90s", "set rv_ees_mmhg_ml 0.15 over 1min30s");
    written("set left_pump_powered 0", "set left_pump_powered 0");
    written("pause", "pause");
    written("pause end", "pause end");
    written("speed 9000", "speed 9000rpm");
    written("bolus crystalloid 250mL", "bolus crystalloid 250mL over 10min");
}
END_TEST

START_TEST(acts_keep_every_part) {
    Act act = read("call right_failure_high_resistance confidence 0 kind lung plan nitric oxide");
    ck_assert_int_eq(act.diagnosis, DIAGNOSIS_right_failure_high_resistance);
    ck_assert_int_eq(act.kind, PROBLEM_lung);
    ck_assert_int_eq(act.confidence_percent, 0);
    ck_assert_str_eq(act.words, "nitric oxide");
    act = read("predict norepinephrine 0.1 : art_mean up, sure 5");
    ck_assert_int_eq(act.order.id, ORDER_norepinephrine);
    ck_assert_int_eq(act.answer.count, 1);
    ck_assert_int_eq(act.answer.quantity[0], DISPLAY_art_mean_mmhg);
    ck_assert_int_eq(act.answer.way[0], WAY_UP);
    ck_assert_int_eq(act.answer.sure, 5);
    act = read("set systemic_resistance_x 0.7 over 20min");
    ck_assert_int_eq(act.parameter, PARAMETER_systemic_resistance_x);
    ck_assert_double_eq_tol(act.value, 0.7, 1e-15);
    ck_assert_double_eq_tol(act.over_s, 1200, 1e-9);
    /* a value that a slider makes comes back to the last bit */
    Act slid = {.id = ACT_set, .parameter = PARAMETER_rv_ees_mmhg_ml, .value = 0.1 + 0.2};
    char words[ACT_TEXT_MAX];
    sim_acts_format(&slid, words, sizeof words);
    act = read(words);
    ck_assert(fabs(act.value - slid.value) <= 0);
}
END_TEST

START_TEST(acts_free_words_are_characters) {
    Act act = read("note Größe 3 \xc2\xb5g \xe2\x80\x93 ok");
    ck_assert_str_eq(act.words, "Größe 3 \xc2\xb5g \xe2\x80\x93 ok");
    act = read("note a\x01"
               "b \xff\xfe end \xe2\x82");
    ck_assert_str_eq(act.words, "a b ?? end ??");
    char text[ACT_TEXT_MAX + 40] = "note ";
    memset(text + 5, 'x', ACT_WORDS_MAX - 1);
    text[5 + ACT_WORDS_MAX - 1] = '\0';
    act = read(text);
    ck_assert_uint_eq(strlen(act.words), ACT_WORDS_MAX - 1);
    strcat(text, "y");
    ck_assert_int_eq(sim_acts_parse(text, NULL, &act, &error), ERROR_RANGE);
    /* a longest plan with the longest names still fits the whole act */
    Act longest = {.id = ACT_call,
                   .diagnosis = DIAGNOSIS_right_failure_high_resistance,
                   .kind = PROBLEM_right_heart,
                   .confidence_percent = 100};
    memset(longest.words, 'w', ACT_WORDS_MAX - 1);
    char words[ACT_TEXT_MAX];
    sim_acts_format(&longest, words, sizeof words);
    act = read(words);
    ck_assert_str_eq(act.words, longest.words);
}
END_TEST

static const struct {
    const char *text;
    ErrorCode code;
    const char *allowed; /* part of what is said to be allowed */
} bad[] = {
    {"", ERROR_SYNTAX, "speed"},
    {"lok four_chamber", ERROR_UNKNOWN_NAME, "look"},
    {"sped 9000", ERROR_UNKNOWN_NAME, "speed"},
    {"dance", ERROR_UNKNOWN_NAME, "list acts"},
    {"look", ERROR_UNKNOWN_NAME, "four_chamber"},
    {"look four_chambers", ERROR_UNKNOWN_NAME, "look four_chamber"},
    {"look four_chamber now", ERROR_SYNTAX, "look VIEW"},
    {"call", ERROR_UNKNOWN_NAME, "list diagnoses"},
    {"call tamponad confidence 70", ERROR_UNKNOWN_NAME, "tamponade"},
    {"call tamponade", ERROR_SYNTAX, "confidence"},
    {"call tamponade confidence", ERROR_RANGE, "0 to 100"},
    {"call tamponade confidence 101", ERROR_RANGE, "0 to 100"},
    {"call tamponade confidence 12.5", ERROR_RANGE, "0 to 100"},
    {"call tamponade confidence -3", ERROR_RANGE, "0 to 100"},
    {"call tamponade confidence 70 kind surgicl", ERROR_UNKNOWN_NAME, "surgical"},
    {"call tamponade confidence 70 surely", ERROR_SYNTAX, "call DIAGNOSIS"},
    {"predict speed 9000", ERROR_SYNTAX, "predict"},
    {"predict speed 9000 :", ERROR_SYNTAX, "predict"},
    {"predict sped 9000 : skip", ERROR_UNKNOWN_NAME, "speed"},
    {"predict speed 9000 : cvp up", ERROR_SYNTAX, "sure"},
    {"predict speed 9000 : sure 3", ERROR_SYNTAX, "predict"},
    {"predict speed 9000 : cvp up, sure 6", ERROR_RANGE, "5"},
    {"predict speed 9000 : cvp up, sure 0", ERROR_RANGE, "1"},
    {"predict speed 9000 : cvp rises, sure 3", ERROR_SYNTAX, "down, same or up"},
    {"predict speed 9000 : cpv up, sure 3", ERROR_UNKNOWN_NAME, "cvp"},
    {"predict speed 9000 : cvp up art_mean up hr up pa_mean up sure 3", ERROR_SYNTAX, "down, same or up"},
    {"predict speed 9000 : skip, sure 3", ERROR_SYNTAX, "predict ORDER"},
    {"note", ERROR_SYNTAX, "note"},
    {"note  \t ", ERROR_SYNTAX, "note"},
    {"set", ERROR_UNKNOWN_NAME, ""},
    {"set rv_es_mmhg_ml 0.2", ERROR_UNKNOWN_NAME, "rv_ees_mmhg_ml"},
    {"set art_mean_mmhg 70", ERROR_NOT_ALLOWED, ""},
    {"set rv_ees_mmhg_ml", ERROR_SYNTAX, ""},
    {"set rv_ees_mmhg_ml 1e9", ERROR_RANGE, ""},
    {"set rv_ees_mmhg_ml 99", ERROR_RANGE, ""},
    {"set rv_ees_mmhg_ml 0.2 over", ERROR_SYNTAX, ""},
    {"set rv_ees_mmhg_ml 0.2 in 5min", ERROR_SYNTAX, "set PARAMETER"},
    {"set left_pump_powered 0 over 5min", ERROR_NOT_ALLOWED, "at once"},
    {"acknowledge everything_at_once", ERROR_UNKNOWN_NAME, ""},
    {"limit", ERROR_SYNTAX, ""},
};

START_TEST(acts_bad_words_are_refused_with_what_is_allowed) {
    const size_t i = (size_t)_i;
    Act act = {.id = ACT_note}, before = act;
    ErrorCode code = sim_acts_parse(bad[i].text, NULL, &act, &error);
    ck_assert_msg(code == bad[i].code, "\"%s\": %d, %s", bad[i].text, code, error.what);
    ck_assert_int_eq(error.code, code);
    ck_assert_msg(error.what[0] != '\0', "\"%s\" says nothing", bad[i].text);
    ck_assert_msg(strstr(error.allowed, bad[i].allowed) != NULL, "\"%s\": %s; %s", bad[i].text, error.what,
                  error.allowed);
    ck_assert_int_eq(memcmp(&act, &before, sizeof act), 0);
    ck_assert_int_eq(sim_acts_parse(bad[i].text, NULL, &act, NULL), code);
}
END_TEST

START_TEST(acts_of_orders_mind_what_the_case_allows) {
    OrderLimits limits = sim_orders_limits_standard();
    limits.of[ORDER_epinephrine].allowed = false;
    Act act;
    ck_assert_int_eq(sim_acts_parse("epinephrine 0.05", &limits, &act, &error), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_acts_parse("predict epinephrine 0.05 : skip", &limits, &act, &error),
                     ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_acts_parse("milrinone 0.3", &limits, &act, &error), ERROR_OK);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/acts");
    TCase *c = tcase_create("acts");
    tcase_add_test(c, acts_examples_are_read_and_written_alike);
    tcase_add_test(c, acts_are_written_in_one_way);
    tcase_add_test(c, acts_keep_every_part);
    tcase_add_test(c, acts_free_words_are_characters);
    tcase_add_loop_test(c, acts_bad_words_are_refused_with_what_is_allowed, 0,
                        (int)(sizeof bad / sizeof bad[0]));
    tcase_add_test(c, acts_of_orders_mind_what_the_case_allows);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
