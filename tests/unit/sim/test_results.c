/* What came of a night: kept when it is closed, read back the same by any build, made anew where it is not
   kept or no longer fits. */
#include "sim/results.h"
#include "tests/support/check_main.h"
#include "tests/support/recorded_night.h"

#include <math.h>
#include <sqlite3.h>

static char folder[64], path[128];
static Error error;
static Results *results;

static void record(void) {
    strcpy(folder, "/tmp/evenkeel_results_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a.night", folder);
    recorded_night_make(folder, "a.night", "Robin", 900);
    results = calloc(1, sizeof *results);
    ck_assert_ptr_nonnull(results);
}

static void forget(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    free(results);
}

static void change(const char *sql) {
    sqlite3 *db = NULL;
    char *message = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &message) == SQLITE_OK, "%s", message);
    sqlite3_close(db);
}

static const ResultLine *find(ResultKind kind, int which) {
    for (int i = 0; i < results->line_count; i++) {
        if (results->line[i].kind == kind && which-- == 0) return &results->line[i];
    }
    ck_abort_msg("no line %d of kind %s", which, sim_results_kind_word(kind));
    return NULL;
}

static void expect_the_night(void) {
    ck_assert_str_eq(results->theme, "tests");
    ck_assert_int_eq(results->level, 2);
    ck_assert_str_eq(results->outcome, "good");
    ck_assert_double_eq_tol(results->reached_s, 900, 2);
    ck_assert_double_eq_tol(results->trouble_s, 360, 2);
    ck_assert_double_eq_tol(results->look_s, 540, 2);
    ck_assert_double_eq_tol(results->call_s, 600, 2);
    ck_assert_double_eq_tol(results->answer_s, 660, 2);
    ck_assert_double_gt(results->most, 0);
    const ResultLine *wrong = find(RESULT_CALL, 0), *right = find(RESULT_CALL, 1);
    ck_assert_str_eq(wrong->what, "tamponade");
    ck_assert_str_eq(wrong->why, "right_failure");
    ck_assert_double_eq(wrong->got, 0);
    ck_assert_double_eq(wrong->most, 90);
    ck_assert_str_eq(right->what, "right_failure_high_resistance");
    ck_assert_double_eq(right->got, 2); /* passes for it */
    ck_assert_double_eq(right->most, 60);
    const ResultLine *named = find(RESULT_OBJECTIVE, 0), *never = find(RESULT_OBJECTIVE, 1);
    ck_assert_str_eq(named->why, "named");
    ck_assert_double_eq(named->got, 1);
    ck_assert_double_eq_tol(named->time_s, 600, 3);
    ck_assert_double_eq(never->got, 0);
    ck_assert_double_lt(never->time_s, 0);
    for (int i = 0; i < 2; i++) {
        const ResultLine *target = find(RESULT_TARGET, i);
        ck_assert_double_eq_tol(target->most, 15, 0.5); /* minutes on show */
        if (strcmp(target->what, "art_mean_mmhg") == 0)
            ck_assert_double_eq(target->got, target->most);
        else
            ck_assert_double_eq(target->got, 0);
    }
    double got = 0, most = 0;
    for (int i = 0; i < results->line_count; i++) {
        if (results->line[i].kind != RESULT_SCORE) continue;
        got += results->line[i].got;
        most += results->line[i].most;
    }
    ck_assert_double_eq_tol(got, results->got, 1e-9);
    ck_assert_double_eq_tol(most, results->most, 1e-9);
}

START_TEST(results_are_kept_when_a_night_is_closed) {
    change("DELETE FROM observation; DELETE FROM act WHERE number < (SELECT max(number) FROM act)");
    ck_assert_int_eq(sim_results_read(path, results, &error),
                     ERROR_OK); /* nothing is left to make them from */
    expect_the_night();
}
END_TEST

START_TEST(results_of_another_build_are_read) {
    change("UPDATE night SET build='0.0.1+older', case_text='a language of another build'");
    ck_assert_int_eq(sim_results_read(path, results, &error), ERROR_OK);
    expect_the_night();
}
END_TEST

START_TEST(results_that_are_missing_are_made) {
    change("DELETE FROM result; DELETE FROM result_line");
    ck_assert_int_eq(sim_results_read(path, results, &error), ERROR_OK);
    expect_the_night();
    change("UPDATE night SET case_text='x'");
    ck_assert_int_eq(sim_results_read(path, results, &error), ERROR_FORMAT);
    ck_assert_str_eq(error.where, path);
}
END_TEST

START_TEST(results_of_a_night_that_went_on_are_made_anew) {
    change(
        "UPDATE result SET value='300' WHERE key='reached_s'; UPDATE result SET value='7' WHERE key='level'");
    ck_assert_int_eq(sim_results_read(path, results, &error), ERROR_OK);
    expect_the_night();
}
END_TEST

START_TEST(results_take_nothing_from_damaged_values) {
    change("UPDATE result SET value='1e400' WHERE key='score_got'; UPDATE result SET value='-3' WHERE "
           "key='level';"
           "INSERT INTO result_line VALUES(NULL,'omen',0,'owl','',1,1)");
    ck_assert_int_eq(sim_results_read(path, results, &error), ERROR_OK);
    ck_assert(isfinite(results->got));
    ck_assert_int_eq(results->level, 0);
    for (int i = 0; i < results->line_count; i++)
        ck_assert_str_ne(results->line[i].what, "owl");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/results");
    TCase *c = tcase_create("results");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, record, forget);
    tcase_add_test(c, results_are_kept_when_a_night_is_closed);
    tcase_add_test(c, results_of_another_build_are_read);
    tcase_add_test(c, results_that_are_missing_are_made);
    tcase_add_test(c, results_of_a_night_that_went_on_are_made_anew);
    tcase_add_test(c, results_take_nothing_from_damaged_values);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
