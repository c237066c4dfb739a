/* A short case rehearsed: what is played, that threads do not matter, that look-alikes go alike and are told
 * apart. */
#include "sim/alike.h"
#include "sim/rehearse.h"
#include "sim/separation.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The right ventricle of a supported patient gives way at 3 min; milrinone and less speed help a little. */
static const char CASE[] = "evenkeel_case: 1\n"
                           "id: short\n"
                           "title: A short night\n"
                           "theme: testing\n"
                           "level: 3\n"
                           "length: 20min\n"
                           "seed: 5\n"
                           "summary: Something is wrong & <nobody> says so.\n"
                           "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: MAP.}\n"
                           "patient: {base: supported_axial, settle: 60s}\n"
                           "orders: [milrinone, crystalloid, wedge]\n"
                           "targets: {art_mean_mmhg: [65, 85]}\n"
                           "truth: {diagnosis: well}\n"
                           "timeline:\n"
                           "  - id: weakens\n"
                           "    at: 3min\n"
                           "    do:\n"
                           "      - truth: {diagnosis: right_failure}\n"
                           "      - ramp: {parameter: rv_ees_mmhg_ml, to: 0.08, over: 5min}\n"
                           "objectives:\n"
                           "  - {id: named, text: Called., when: call_right > 0.5, by: 15min}\n"
                           "plans:\n"
                           "  - id: calls\n"
                           "    rank: good\n"
                           "    text: Calls it early.\n"
                           "    steps: [8min call right_failure confidence 80, 9min milrinone 0.3]\n"
                           "  - id: waits\n"
                           "    rank: late\n"
                           "    text: Calls it late.\n"
                           "    steps: [18min call right_failure confidence 80]\n"
                           "  - id: fills\n"
                           "    rank: wrong\n"
                           "    text: Gives fluid.\n"
                           "    steps: [8min bolus crystalloid 250mL over 10min]\n"
                           "endings:\n"
                           "  - {id: over, at_length: yes, outcome: mixed, text: The time is over.}\n";

static Error error;
static ErrorList errors; /* static: large */

static Case *short_case(void) {
    Case *night = sim_case_parse(CASE, strlen(CASE), "short.yaml", &errors);
    if (night == NULL) ck_abort_msg("%s %s", errors.items[0].what, errors.items[0].allowed);
    return night;
}

static Rehearsal *begin(const Case *night, int patients, int alike, int threads) {
    const RehearseOptions options = {
        .session = sim_session_options_none(), .patients = patients, .alike = alike, .threads = threads};
    Rehearsal *r = sim_rehearse_begin(night, &options, &error);
    ck_assert_msg(r != NULL, "%s", error.what);
    return r;
}

static char *csv_of(const Rehearsal *r) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    sim_rehearse_write_csv(r, out);
    fclose(out);
    return text;
}

START_TEST(rehearse_plays_untouched_and_plans_and_measures_them) {
    Case *night = short_case();
    Rehearsal *r = begin(night, 0, 0, 2);
    ck_assert_int_eq(sim_rehearse_courses(r, &error), ERROR_OK);
    ck_assert_int_eq(r->course_count, 4);
    for (int i = 0; i < r->course_count; i++) {
        const RehearseFacts *f = &r->course[i].facts;
        ck_assert(r->course[i].played);
        ck_assert_int_eq(r->course[i].refused, 0);
        ck_assert_double_eq_tol(f->onset_s, 180.0, 2.0);
        ck_assert_int_eq((int)f->truth, (int)DIAGNOSIS_right_failure);
        ck_assert_int_eq((int)f->end, (int)CASE_OUTCOME_MIXED);
        ck_assert_int_eq(r->course[i].points, 20);
        ck_assert_double_gt(f->number_s, f->onset_s);
        ck_assert_int_eq(f->objectives_met, i == 1);
    }
    /* nothing is said before 8 min, so that courses are the same until then */
    for (int k = 0; k < 7; k++)
        ck_assert_double_eq(r->course[0].point[k].value[REHEARSE_PANEL_flow],
                            r->course[3].point[k].value[REHEARSE_PANEL_flow]);
    ck_assert_double_ne(r->course[0].point[15].value[REHEARSE_PANEL_flow],
                        r->course[3].point[15].value[REHEARSE_PANEL_flow]);
    ck_assert_double_gt(r->course[1].facts.score, r->course[2].facts.score);
    sim_rehearse_free(r);
    sim_case_free(night);
}
END_TEST

START_TEST(rehearse_with_any_number_of_threads_is_the_same) {
    Case *night = short_case();
    char *text[2];
    for (int i = 0; i < 2; i++) {
        Rehearsal *r = begin(night, 2, 0, 1 + 2 * i);
        ck_assert_int_eq(sim_rehearse_courses(r, &error), ERROR_OK);
        ck_assert_int_eq(sim_rehearse_vary(r, &error), ERROR_OK);
        ck_assert_int_eq(r->range_count, 2);
        ck_assert_int_eq(r->range[0].played, 2);
        ck_assert_int_eq((int)r->range[1].rank, (int)CASE_RANK_GOOD);
        ck_assert_double_le(r->range[0].low[REHEARSE_map_least], r->range[0].mid[REHEARSE_map_least]);
        ck_assert_double_lt(r->range[0].low[REHEARSE_map_least], r->range[0].high[REHEARSE_map_least]);
        text[i] = csv_of(r);
        sim_rehearse_free(r);
    }
    ck_assert_str_eq(text[0], text[1]);
    free(text[0]);
    free(text[1]);
    sim_case_free(night);
}
END_TEST

START_TEST(rehearse_look_alikes_go_alike_and_are_told_apart) {
    Case *night = short_case();
    Rehearsal *r = begin(night, 0, REHEARSE_ALIKE_LEAST, 2);
    ck_assert_int_eq(sim_rehearse_courses(r, &error), ERROR_OK);
    ck_assert_msg(sim_rehearse_alike(r, &error) == ERROR_OK, "%s", error.what);
    const Alike *alike = r->alike;
    ck_assert_str_eq(alike->why_not, "");
    ck_assert_int_eq((int)alike->truth, (int)DIAGNOSIS_right_failure);
    ck_assert_int_eq((int)alike->lead, (int)DISPLAY_pump_flow_l_min);
    ck_assert_int_ge(alike->times, 2);
    int kept = 0, clot = -1;
    for (int i = 0; i < alike->cause_count; i++) {
        const AlikeCause *cause = &alike->cause[i];
        ck_assert_int_ne((int)sim_alternatives_row(cause->id)->diagnosis, (int)DIAGNOSIS_right_failure);
        if (!cause->kept) continue;
        kept++;
        if (cause->id == ALTERNATIVE_clot_right) clot = i;
        if (cause->follows) ck_assert_double_le(cause->miss, alike->least);
        for (int t = 0; t < alike->times; t++)
            if (isfinite(cause->number[t].area))
                ck_assert(cause->number[t].area >= 0.5 && cause->number[t].area <= 1.0);
    }
    ck_assert_int_ge(kept, 1);
    ck_assert_int_le(kept, ALIKE_KEPT);
    /* what the cases with the same handover teach: a pressed right heart is small, a failing one is big */
    ck_assert_msg(clot >= 0, "a clot on the right heart is not among those most alike");
    const AlikeView *last = &alike->cause[clot].picture[alike->times - 1];
    ck_assert_double_ge(sim_alike_area(last), SEPARATION_APART);
    sim_rehearse_free(r);
    sim_case_free(night);
}
END_TEST

START_TEST(rehearse_page_is_complete_and_escapes) {
    Case *night = short_case();
    Rehearsal *r = begin(night, 5, 0, 2);
    ck_assert_int_eq(sim_rehearse_courses(r, &error), ERROR_OK);
    ck_assert_int_eq(sim_rehearse_vary(r, &error), ERROR_OK);
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    sim_rehearse_write_page(r, out);
    fclose(out);
    ck_assert_ptr_nonnull(strstr(text, "wrong &amp; &lt;nobody&gt; says so"));
    ck_assert_ptr_nonnull(strstr(text, "For education only"));
    ck_assert_ptr_nonnull(strstr(text, "calls (good)"));
    ck_assert_ptr_null(strstr(text, "<script"));
    ck_assert_ptr_null(strstr(text, "href="));
    ck_assert_ptr_null(strstr(text, "nan"));
    const char *first = strstr(text, "<svg");
    ck_assert_ptr_nonnull(first);
    ck_assert_ptr_nonnull(strstr(first + 1, "<svg")); /* courses, and varied patients */
    ck_assert_ptr_nonnull(strstr(text, "</html>"));
    free(text);
    sim_rehearse_free(r);
    sim_case_free(night);
}
END_TEST

static bool give_up(void *context, double done) {
    (void)context;
    return done >= 0.0;
}

START_TEST(rehearse_given_up_leaves_nothing_behind) {
    Case *night = short_case();
    Rehearsal *r = begin(night, 5, REHEARSE_ALIKE_LEAST, 2);
    r->options.watch = give_up;
    ck_assert_int_eq(sim_rehearse_courses(r, &error), ERROR_NOT_ALLOWED);
    sim_rehearse_free(r);
    sim_rehearse_free(NULL);
    sim_case_free(night);
}
END_TEST

/* Without a time before the trouble there is nothing to compare with, and it is said why. */
START_TEST(rehearse_case_that_is_wrong_from_the_start_says_so) {
    Case *night = short_case();
    night->truth.diagnosis = DIAGNOSIS_right_failure;
    night->length_s = 240.0;
    Rehearsal *r = begin(night, 0, REHEARSE_ALIKE_LEAST, 1);
    ck_assert_int_eq(sim_rehearse_courses(r, &error), ERROR_OK);
    ck_assert_int_eq(sim_rehearse_alike(r, &error), ERROR_OK);
    ck_assert_ptr_nonnull(strstr(r->alike->why_not, "from the beginning"));
    sim_rehearse_free(r);
    sim_case_free(night);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("rehearse");
    TCase *c = tcase_create("rehearse");
    tcase_set_timeout(c, 900);
    tcase_add_test(c, rehearse_plays_untouched_and_plans_and_measures_them);
    tcase_add_test(c, rehearse_with_any_number_of_threads_is_the_same);
    tcase_add_test(c, rehearse_look_alikes_go_alike_and_are_told_apart);
    tcase_add_test(c, rehearse_page_is_complete_and_escapes);
    tcase_add_test(c, rehearse_given_up_leaves_nothing_behind);
    tcase_add_test(c, rehearse_case_that_is_wrong_from_the_start_says_so);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
