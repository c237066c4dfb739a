/* Earlier nights from their files: what they were, how they went, and that bad files and many files do no
 * harm. */
#include "sim/attempts.h"

#include "sim/build_id.h"
#include "sim/practice.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

static char folder[64];
static Error error;
static Attempts *attempts;

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_attempts_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    attempts = malloc(sizeof *attempts);
    ck_assert_ptr_nonnull(attempts);
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    free(attempts);
}

static void path_of(const char *name, char path[128]) {
    snprintf(path, 128, "%s/%s", folder, name);
}

/* A short night of free practice with two calls, closed or left open half-way. */
static void make_night(const char *name, const char *person, const char *trainee, bool ended) {
    char path[128];
    path_of(name, path);
    Case *night = sim_practice_case(person, 7, &error);
    ck_assert_msg(night != NULL, "%s", error.what);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(night);
    JournalSetup setup = {.maker = "window", .trainee = trainee, .until_s = 86400};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    static const char *const words[] = {"call hypovolaemia confidence 40",
                                        "call bleeding confidence 65 plan look"};
    for (int i = 0; i < 2; i++) {
        ck_assert_int_eq(sim_session_say(session, words[i], &error), ERROR_OK);
        ck_assert_int_eq(sim_session_advance_to(session, 15 * (i + 1), &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_journal_close(journal, session, ended, &error), ERROR_OK);
    sim_session_close(session);
}

static void change(const char *name, const char *sql) {
    char path[128];
    sqlite3 *db = NULL;
    path_of(name, path);
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static void copy(const char *from, const char *to, long most) {
    char path[128];
    path_of(from, path);
    FILE *in = fopen(path, "rb");
    path_of(to, path);
    FILE *out = fopen(path, "wb");
    ck_assert(in != NULL && out != NULL);
    for (int c; most-- != 0 && (c = fgetc(in)) != EOF;)
        fputc(c, out);
    fclose(in);
    fclose(out);
}

START_TEST(attempts_say_when_how_long_and_how_it_went) {
    make_night("20260102T000000Z-a.night", "supported_axial", "Ada", true);
    make_night("20260101T000000Z-b.night", "healthy", NULL, false);
    /* the case of the newest came to an end of its own */
    change("20260102T000000Z-a.night", "INSERT INTO act VALUES(900, 31, 5, 'harm', 'The end.')");
    ck_assert_int_eq(sim_attempts_read(folder, attempts, &error), ERROR_OK);
    ck_assert_int_eq(attempts->count, 2);
    ck_assert_int_eq(attempts->skipped, 0);
    const Attempt *a = &attempts->item[0], *b = &attempts->item[1];
    ck_assert_str_eq(a->file, "20260102T000000Z-a.night"); /* the newest first */
    ck_assert_str_eq(a->case_id, "practice-supported_axial");
    ck_assert_str_eq(a->trainee, "Ada");
    ck_assert_str_eq(b->trainee, "");
    ck_assert(a->complete && !b->complete);
    ck_assert(a->this_build && b->this_build);
    ck_assert_double_eq_tol(a->reached_s, 31, 1e-9);
    ck_assert_double_eq_tol(b->reached_s, 30, 1.5);
    ck_assert_double_eq_tol(a->until_s, 86400, 1e-9);
    ck_assert(a->outcome_known && !b->outcome_known);
    ck_assert_int_eq(a->outcome, CASE_OUTCOME_HARM);
    ck_assert(a->called);
    ck_assert_int_eq(a->call, DIAGNOSIS_bleeding);
    ck_assert_int_eq(a->confidence_percent, 65);
    ck_assert_uint_eq(a->seed, 7);
    ck_assert_uint_eq(strlen(a->begun), 20);
    ck_assert_int_eq(sim_attempts_count(attempts, "practice-healthy"), 1);
    ck_assert_int_eq(sim_attempts_next(attempts, "practice-healthy", 0), 1);
    ck_assert_int_eq(sim_attempts_next(attempts, "practice-healthy", 2), -1);
    ck_assert_int_eq(sim_attempts_next(attempts, NULL, 0), 0);
}
END_TEST

START_TEST(attempts_count_what_is_no_night_and_change_nothing) {
    make_night("20260101T000000Z-b.night", "healthy", NULL, true);
    copy("20260101T000000Z-b.night", "cut.night", 5000);
    copy("20260101T000000Z-b.night", "later.night", -1);
    copy("20260101T000000Z-b.night", "other-build.night", -1);
    copy("20260101T000000Z-b.night", "no-table.night", -1);
    copy("20260101T000000Z-b.night", "beside.txt", -1);
    change("later.night", "PRAGMA user_version=99");
    change("other-build.night", "UPDATE night SET build='0.0.1+older'");
    change("no-table.night", "DROP TABLE act");
    char path[128];
    path_of("words.night", path);
    FILE *file = fopen(path, "w");
    fputs("no night at all", file);
    fclose(file);
    path_of("empty.night", path);
    fclose(fopen(path, "w"));
    path_of("folder.night", path);
    ck_assert_int_eq(mkdir(path, 0700), 0);
    ck_assert_int_eq(sim_attempts_read(folder, attempts, &error), ERROR_OK);
    ck_assert_int_eq(attempts->count, 2);
    ck_assert_int_eq(attempts->skipped, 6);
    ck_assert_str_eq(attempts->item[0].file, "other-build.night");
    ck_assert(!attempts->item[0].this_build);
    path_of("words.night", path);
    char text[32] = "";
    file = fopen(path, "r");
    ck_assert_ptr_nonnull(fgets(text, sizeof text, file));
    fclose(file);
    ck_assert_str_eq(text, "no night at all");
}
END_TEST

START_TEST(attempts_of_an_earlier_schema_are_read) {
    make_night("20260101T000000Z-b.night", "healthy", "Bo", true);
    change("20260101T000000Z-b.night",
           "DROP TABLE result; DROP TABLE result_line; DROP INDEX act_of_kind; ALTER TABLE night DROP COLUMN trainee; PRAGMA user_version=1");
    ck_assert_int_eq(sim_attempts_read(folder, attempts, &error), ERROR_OK);
    ck_assert_int_eq(attempts->count, 1);
    ck_assert_str_eq(attempts->item[0].trainee, "");
    ck_assert(attempts->item[0].called);
}
END_TEST

START_TEST(attempts_without_a_folder_are_none) {
    char path[128];
    path_of("none", path);
    ck_assert_int_eq(sim_attempts_read(path, attempts, &error), ERROR_OK);
    ck_assert_int_eq(attempts->count + attempts->skipped, 0);
    path_of("plain", path);
    fclose(fopen(path, "w"));
    ck_assert_int_eq(sim_attempts_read(path, attempts, &error), ERROR_FILE_READ);
    ck_assert_str_eq(error.where, path);
}
END_TEST

START_TEST(attempts_hundreds_are_read_at_once) {
    enum { NIGHTS = 300 };
    make_night("00000000T000000Z-first.night", "healthy", NULL, true);
    for (int i = 0; i < NIGHTS; i++) {
        char name[64];
        snprintf(name, sizeof name, "20260101T%06dZ-b.night", i);
        copy("00000000T000000Z-first.night", name, -1);
    }
    struct timespec before, after;
    clock_gettime(CLOCK_MONOTONIC, &before);
    ck_assert_int_eq(sim_attempts_read(folder, attempts, &error), ERROR_OK);
    clock_gettime(CLOCK_MONOTONIC, &after);
    double seconds = (double)(after.tv_sec - before.tv_sec) + (double)(after.tv_nsec - before.tv_nsec) * 1e-9;
    printf("%d nights in %.0f ms\n", attempts->count, seconds * 1e3);
    ck_assert_int_eq(attempts->count, NIGHTS + 1);
    ck_assert_str_eq(attempts->item[0].file, "20260101T000299Z-b.night");
    ck_assert_double_lt(seconds, 2.0); /* far above the goal of 0.1: a slow machine is no fault */
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/attempts");
    TCase *c = tcase_create("attempts");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, attempts_say_when_how_long_and_how_it_went);
    tcase_add_test(c, attempts_count_what_is_no_night_and_change_nothing);
    tcase_add_test(c, attempts_of_an_earlier_schema_are_read);
    tcase_add_test(c, attempts_without_a_folder_are_none);
    tcase_add_test(c, attempts_hundreds_are_read_at_once);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
