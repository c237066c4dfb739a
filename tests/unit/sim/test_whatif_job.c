/* A what-if in the background: what it finds is what is found in the foreground, it says how far it is, and
   it can be stopped at any time. Built with -fsanitize=thread this is also the test that its threads share
   nothing. */
#include "sim/whatif_job.h"
#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static const double NIGHT_S = 200;

static char folder[64], path[128];
static Error error;
static Recall *recall;
static RerunActs acts, otherwise;

static void record_night(void) {
    ErrorList errors;
    char file[128];
    strcpy(folder, "/tmp/evenkeel_job_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/night.night", folder);
    snprintf(file, sizeof file, "%s/night.yaml", folder);
    FILE *out = fopen(file, "w");
    fputs(CASE_TEXT_GOOD, out);
    fclose(out);
    Case *night = sim_case_load(file, &errors);
    ck_assert_ptr_nonnull(night);
    Session *session = sim_session_open(night, NULL, &error);
    JournalSetup setup = {.maker = "run", .until_s = NIGHT_S, .plan = ""};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    bool said = false;
    while (sim_session_time_s(session) < NIGHT_S) {
        if (!said && sim_session_time_s(session) >= 100) {
            ck_assert_int_eq(sim_session_say(session, "speed 9000", &error), ERROR_OK);
            said = true;
        }
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    sim_case_free(night);
    recall = sim_recall_open(path, &error);
    ck_assert_msg(recall != NULL, "%s", error.what);
    ck_assert(sim_whatif_acts(recall, &acts));
    ck_assert(sim_whatif_copy_acts(&acts, &otherwise));
    otherwise.act[0].time_s = 70;
}

static void forget_night(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    sim_rerun_acts_free(&acts);
    sim_rerun_acts_free(&otherwise);
    sim_recall_free(recall);
}

static void nap(void) {
    nanosleep(&(struct timespec){.tv_nsec = 5000000}, NULL);
}

START_TEST(the_job_finds_what_the_foreground_finds) {
    enum { WANTED = 3 };
    WhatifNews news;
    WhatifJob *job = sim_whatif_job_start(recall, &acts, &otherwise, WANTED, &error);
    ck_assert_ptr_nonnull(job);
    int seen = 0;
    bool course_first = false;
    do {
        nap();
        sim_whatif_job_news(job, &news);
        ck_assert_int_ge(news.range.variants, seen); /* never fewer than before */
        seen = news.range.variants;
        course_first = course_first || (news.course_here && seen == 0);
        ck_assert((sim_whatif_job_other(job) != NULL) || !news.course_here);
    } while (news.working);
    ck_assert_int_eq(news.phase, WHATIF_DONE);
    ck_assert(course_first);
    ck_assert_int_eq(seen, WANTED);
    RerunCourse night, other;
    WhatifRange range;
    ck_assert_int_eq(sim_whatif_compare(recall, &acts, &otherwise, sim_whatif_until_s(recall), NULL, NULL,
                                        &night, &other, &error),
                     ERROR_OK);
    ck_assert_int_eq(sim_whatif_range(recall->case_file, &recall->options, &otherwise,
                                      sim_whatif_until_s(recall), WANTED, 1, NULL, NULL, NULL, &range,
                                      &error),
                     ERROR_OK);
    ck_assert_mem_eq(sim_whatif_job_night(job)->outcome, night.outcome, sizeof night.outcome);
    ck_assert_mem_eq(sim_whatif_job_other(job)->outcome, other.outcome, sizeof other.outcome);
    ck_assert_mem_eq(news.range.low, range.low, sizeof range.low);
    ck_assert_mem_eq(news.range.high, range.high, sizeof range.high);
    sim_whatif_job_free(job);
    sim_rerun_course_free(&night);
    sim_rerun_course_free(&other);
}
END_TEST

START_TEST(the_job_stops_when_asked_and_can_be_freed_at_any_time) {
    WhatifNews news;
    WhatifJob *job = sim_whatif_job_start(recall, &acts, &otherwise, WHATIF_VARIANTS, &error);
    sim_whatif_job_stop(job);
    do {
        nap();
        sim_whatif_job_news(job, &news);
    } while (news.working);
    ck_assert_int_eq(news.phase, WHATIF_STOPPED);
    ck_assert_int_lt(news.range.variants, WHATIF_VARIANTS);
    sim_whatif_job_free(job);
    job = sim_whatif_job_start(recall, &acts, &otherwise, 2, &error);
    nap();
    sim_whatif_job_free(job); /* in the middle of it */
    sim_whatif_job_free(NULL);
}
END_TEST

START_TEST(a_night_that_is_gone_fails_with_a_reason) {
    WhatifNews news;
    ck_assert_int_eq(unlink(path), 0);
    WhatifJob *job = sim_whatif_job_start(recall, &acts, &otherwise, 0, &error);
    do {
        nap();
        sim_whatif_job_news(job, &news);
    } while (news.working);
    ck_assert_int_eq(news.phase, WHATIF_FAILED);
    ck_assert_str_ne(news.error.what, "");
    ck_assert(!news.course_here);
    ck_assert_ptr_null(sim_whatif_job_other(job));
    sim_whatif_job_free(job);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("whatif_job");
    TCase *c = tcase_create("whatif_job");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, record_night, forget_night);
    tcase_add_test(c, the_job_finds_what_the_foreground_finds);
    tcase_add_test(c, the_job_stops_when_asked_and_can_be_freed_at_any_time);
    tcase_add_test(c, a_night_that_is_gone_fails_with_a_reason);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
