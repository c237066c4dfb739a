/* The logbook of nights with known results: filters, groups, confidence, look-alikes, what to practise next.
 */
#include "sim/logbook.h"
#include "sim/logbook_report.h"
#include "tests/support/check_main.h"
#include "tests/support/logbook_nights.h"

#include <math.h>

static char folder[64];
static Error error;

static void make(void) {
    strcpy(folder, "/tmp/evenkeel_logbook_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    logbook_nights_make(folder);
}

static void forget(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static Logbook *open_book(const char *trainee, const char *case_id, const char *since) {
    LogbookFilter filter = {.trainee = trainee, .case_id = case_id, .since = since};
    Logbook *book = sim_logbook_open(folder, &filter, &error);
    ck_assert_msg(book != NULL, "%s", error.what);
    return book;
}

START_TEST(nights_are_those_that_are_wanted_in_order_of_time) {
    Logbook *book = open_book(NULL, NULL, NULL);
    ck_assert_int_eq(book->night_count, LOGBOOK_NIGHTS_COUNT);
    for (int i = 0; i < book->night_count; i++) {
        ck_assert_str_eq(book->night[i].theme, LOGBOOK_NIGHTS[i].theme);
        ck_assert_int_eq(strncmp(book->night[i].attempt.begun, LOGBOOK_NIGHTS[i].day, 10), 0);
        ck_assert_double_eq_tol(book->night[i].got, LOGBOOK_NIGHTS[i].got, 1e-9);
        ck_assert_int_eq(book->night[i].call_count, LOGBOOK_NIGHTS[i].called != NULL);
        ck_assert_int_eq(book->night[i].objectives, 2);
        ck_assert_int_eq(book->night[i].objectives_met, 1);
        ck_assert_double_eq_tol(book->night[i].in_target, 0.75, 1e-9);
    }
    ck_assert_double_lt(book->night[0].recognition_s, 0);
    ck_assert_double_eq_tol(book->night[1].recognition_s, 2400, 1e-9);
    sim_logbook_free(book);
    book = open_book("Robin", NULL, NULL);
    ck_assert_int_eq(book->night_count, 5);
    sim_logbook_free(book);
    book = open_book("Robin", "clots", "2026-11-03");
    ck_assert_int_eq(book->night_count, 2);
    sim_logbook_free(book);
    book = open_book("Nobody", NULL, NULL);
    ck_assert_int_eq(book->night_count, 0);
    sim_logbook_free(book);
}
END_TEST

START_TEST(groups_tell_the_course_over_time) {
    static LogbookGroup group[LOGBOOK_GROUPS_MAX];
    Logbook *book = open_book(NULL, NULL, NULL);
    ck_assert_int_eq(sim_logbook_groups(book, LOGBOOK_BY_CASE, group), 2);
    ck_assert_str_eq(group[0].key, "clots");
    ck_assert_int_eq(group[0].nights, 3);
    ck_assert_int_eq(group[0].trouble, 3);
    ck_assert_int_eq(group[0].recognised, 2);
    ck_assert_double_eq_tol(group[0].first_score, 0.2, 1e-9);
    ck_assert_double_eq_tol(group[0].last_score, 0.8, 1e-9);
    ck_assert_double_eq_tol(group[0].mean_score, 0.5, 1e-9);
    ck_assert_double_eq_tol(group[0].first_recognition_s, 2400, 1e-9);
    ck_assert_double_eq_tol(group[0].last_recognition_s, 600, 1e-9);
    ck_assert_double_eq_tol(group[0].best_recognition_s, 600, 1e-9);
    ck_assert_str_eq(group[1].key, "dry");
    ck_assert_int_eq(group[1].nights, 3);
    ck_assert_int_eq(group[1].counted, 2); /* one was left half-way */
    ck_assert_double_eq_tol(group[1].mean_score, 0.8, 1e-9);
    ck_assert_int_eq(sim_logbook_groups(book, LOGBOOK_BY_TRAINEE, group), 2);
    ck_assert_str_eq(group[0].key, "Robin");
    ck_assert_int_eq(sim_logbook_groups(book, LOGBOOK_BY_THEME, group), 2);
    ck_assert_str_eq(group[0].key, "tamponade");
    sim_logbook_free(book);
}
END_TEST

START_TEST(confidence_is_that_of_calls_and_predictions) {
    Calibration c;
    Logbook *book = open_book("Robin", NULL, NULL);
    ck_assert_int_eq(sim_logbook_calibrate_calls(book, &c, &error), ERROR_OK);
    ck_assert_int_eq(c.count, 4);
    ck_assert_double_eq_tol(c.right_frac, 0.5, 1e-9);
    /* 90 wrong, 60 right, 80 right, 70 wrong */
    ck_assert_double_eq_tol(c.brier, (0.81 + 0.16 + 0.04 + 0.49) / 4, 1e-9);
    ck_assert_int_eq(sim_logbook_calibrate_predictions(book, &c, &error), ERROR_OK);
    ck_assert_int_eq(c.count, 10);
    ck_assert_double_eq_tol(c.brier, (0.0625 + 0.5625) / 2, 1e-9);
    LogbookPair pair[LOGBOOK_PAIRS_MAX];
    ck_assert_int_eq(sim_logbook_confused(book, pair), 1);
    ck_assert_int_eq(pair[0].truth, DIAGNOSIS_tamponade);
    ck_assert_int_eq(pair[0].called, DIAGNOSIS_right_failure);
    ck_assert_int_eq(pair[0].times, 2);
    sim_logbook_free(book);
}
END_TEST

START_TEST(what_is_next_follows_the_rule) {
    static const LogbookCase CASES[] = {
        {.id = "dry", .theme = "volume", .level = 1, .truth_count = 1, .truth = {DIAGNOSIS_hypovolaemia}},
        {.id = "clots", .theme = "tamponade", .level = 2, .truth_count = 1, .truth = {DIAGNOSIS_tamponade}},
        {.id = "clots-2", .theme = "tamponade", .level = 3, .truth_count = 1, .truth = {DIAGNOSIS_tamponade}},
        {.id = "kinked", .theme = "graft", .level = 3},
        {.id = "fast", .theme = "speed", .level = 1}};
    LogbookNext next[LOGBOOK_NEXT_MAX];
    Logbook *book = open_book("Robin", NULL, NULL);
    ck_assert_int_eq(sim_logbook_next(book, CASES, 5, next), 3);
    ck_assert_str_eq(CASES[next[0].index].id,
                     "clots-2"); /* missed twice; not played yet comes before played */
    ck_assert_ptr_nonnull(strstr(next[0].why, "Tamponade all round was missed 2 times"));
    ck_assert_str_eq(CASES[next[1].index].id, "clots"); /* the weakest theme, 50 % */
    ck_assert_ptr_nonnull(strstr(next[1].why, "50 %"));
    ck_assert_str_eq(CASES[next[2].index].id, "fast"); /* never played, lowest level */
    ck_assert_int_eq(sim_logbook_next(book, CASES, 2, next), 2);
    ck_assert_str_eq(CASES[next[1].index].id, "dry");
    ck_assert_ptr_nonnull(strstr(next[1].why, "longest ago, on 2026-11-10"));
    ck_assert_int_eq(sim_logbook_next(book, CASES, 0, next), 0);
    sim_logbook_free(book);
    book = open_book("Nobody", NULL, NULL); /* begins at the beginning */
    ck_assert_int_eq(sim_logbook_next(book, CASES, 5, next), 1);
    ck_assert_str_eq(CASES[next[0].index].id, "dry");
    sim_logbook_free(book);
}
END_TEST

START_TEST(damaged_nights_are_counted_and_do_no_harm) {
    char path[256];
    snprintf(path, sizeof path, "%s/2026-12-01-bad.night", folder);
    FILE *file = fopen(path, "w");
    fputs("no night", file);
    fclose(file);
    snprintf(path, sizeof path, "%s/2026-11-09-dry.night", folder);
    logbook_nights_change(path, "DELETE FROM result; UPDATE night SET case_text='x'");
    Logbook *book = open_book(NULL, NULL, NULL);
    ck_assert_int_eq(book->night_count, LOGBOOK_NIGHTS_COUNT);
    ck_assert_int_eq(book->skipped, 1);
    ck_assert_int_eq(book->unmeasured, 1);
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_int_eq(sim_logbook_report(book, out, &error), ERROR_OK);
    sim_logbook_write_csv(book, out);
    fclose(out);
    ck_assert_ptr_nonnull(strstr(text, "1 more files there are no whole nights"));
    ck_assert_ptr_nonnull(strstr(text, "2026-11-01T20:00:00Z,Robin,clots,tamponade,2,8,"));
    ck_assert_ptr_null(strstr(text, "nan"));
    free(text);
    sim_logbook_free(book);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/logbook");
    TCase *c = tcase_create("logbook");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, make, forget);
    tcase_add_test(c, nights_are_those_that_are_wanted_in_order_of_time);
    tcase_add_test(c, groups_tell_the_course_over_time);
    tcase_add_test(c, confidence_is_that_of_calls_and_predictions);
    tcase_add_test(c, what_is_next_follows_the_rule);
    tcase_add_test(c, damaged_nights_are_counted_and_do_no_harm);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
