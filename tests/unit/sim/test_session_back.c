/* Time taken back: the state is that of then to the last bit, the night goes on from there as if the rest had
   not been, and the file keeps the rest as history. A crash is made by copying the files of an open journal.
 */
#include "sim/journal.h"
#include "sim/journal_store.h"
#include "sim/recall.h"
#include "sim/session.h"

#include "tests/support/check_main.h"

#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

static const char NIGHT[] =
    "evenkeel_case: 1\nid: back-test\ntitle: Back\ntheme: tests\nlevel: 2\nlength: 14min\nseed: 3\n"
    "summary: For tests.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None.]}\n"
    "patient: {base: supported_axial, settle: 30s}\n"
    "truth: {diagnosis: well}\n"
    "timeline:\n"
    "  - {id: clot, at: 4min, do: [{truth: {diagnosis: clot_right}},\n"
    "     {ramp: {parameter: rv_ees_mmhg_ml, to: 0.1, over: 3min}}]}\n"
    "  - {id: later, after: clot, plus: 1min, do: [{message: {from: nurse, text: Later.}}]}\n"
    "objectives:\n"
    "  - {id: named, text: Named., when: call_right > 0.5}\n"
    "endings:\n"
    "  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n";

typedef struct Said {
    double at_s;
    const char *words;
} Said;

static ErrorList errors; /* static: large */
static Error error;
static char folder[64], path[128], copy[128];

static void setup(void) {
    strcpy(folder, "/tmp/evenkeel_back_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a.night", folder);
    snprintf(copy, sizeof copy, "%s/copy.night", folder);
    model_error_clear(&error);
}

static void teardown(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static Session *open_night(bool keeps) {
    char file[128];
    snprintf(file, sizeof file, "%s/back.yaml", folder);
    FILE *out = fopen(file, "w");
    ck_assert_ptr_nonnull(out);
    fputs(NIGHT, out);
    fclose(out);
    Case *night = sim_case_load(file, &errors);
    if (night == NULL)
        ck_abort_msg("line %d: %s; %s", errors.items[0].line, errors.items[0].what, errors.items[0].allowed);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(night);
    if (keeps) ck_assert(sim_session_keep(session));
    return session;
}

static void follow(Session *session, Journal *journal) {
    if (journal != NULL) ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
}

static void play(Session *session, Journal *journal, double time_s) {
    while (sim_session_time_s(session) < time_s) {
        ck_assert_msg(sim_session_advance(session, &error) == ERROR_OK, "%s", error.what);
        follow(session, journal);
    }
}

static void say(Session *session, Journal *journal, const char *words) {
    ErrorCode code = sim_session_say_as(session, SESSION_VOICE_PLAN, words, &error);
    ck_assert_msg(code == ERROR_OK, "%s: %s; %s", words, error.what, error.allowed);
    follow(session, journal);
}

static void play_all(Session *session, Journal *journal, const Said said[], int count) {
    for (int i = 0; i < count; i++) {
        play(session, journal, said[i].at_s);
        say(session, journal, said[i].words);
    }
}

static Journal *record(Session *session) {
    JournalSetup set = {.maker = "window", .trainee = "Ada", .until_s = 840};
    Journal *journal = sim_journal_create(path, session, &set, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    return journal;
}

static void close_all(Session *session, Journal *journal, bool ended) {
    ck_assert_int_eq(sim_journal_close(journal, session, ended, &error), ERROR_OK);
    sim_session_close(session);
}

/* What lies on the disk when the power goes. */
static void crash(void) {
    char command[600];
    snprintf(command, sizeof command, "cp '%s' '%s' && cp '%s-wal' '%s-wal'", path, copy, path, copy);
    ck_assert_int_eq(system(command), 0);
}

static int64_t read_whole(const char *file, const char *sql) {
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    ck_assert_int_eq(sqlite3_open(file, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &statement, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    int64_t value = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return value;
}

/* Number of entries of a kind in the log. */
static int entries(const Session *session, LogKind kind) {
    int count = 0;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        count += entry != NULL && entry->kind == kind;
    }
    return count;
}

static void check_replay(const char *file, int64_t least) {
    JournalReplay replay;
    ck_assert_msg(sim_journal_replay(file, NULL, NULL, &replay, &error) == ERROR_OK, "%s", error.what);
    ck_assert_int_ge(replay.snapshots, least);
    ck_assert_int_eq(replay.differing, 0);
}

/* The same state, but for how long the log is. */
static void check_same(const Session *a, const Session *b) {
    SessionState *state = calloc(2, sizeof *state);
    ck_assert_ptr_nonnull(state);
    ck_assert(sim_session_hash(a) == sim_session_hash(b));
    sim_session_save(a, &state[0]);
    sim_session_save(b, &state[1]);
    state[0].log_count = state[1].log_count = 0;
    ck_assert_int_eq(memcmp(&state[0], &state[1], sizeof state[0]), 0);
    free(state);
}

START_TEST(back_state_is_that_of_then_to_the_last_bit) {
    static const double BACK_S[] = {1, 7, 60, 61, 200, 299, 300, 3000};
    static const Said said[] = {{30, "speed 8800"},
                                {95, "call hypovolaemia confidence 40"},
                                {130, "milrinone 0.25"},
                                {180, "freeze pump"},
                                {200, "look four_chamber"}};
    for (size_t i = 0; i < sizeof BACK_S / sizeof BACK_S[0]; i++) {
        char words[32];
        Session *session = open_night(true), *then = open_night(false);
        play_all(session, NULL, said, 5);
        play(session, NULL, 300);
        double to_s = sim_session_time_s(session) - BACK_S[i];
        snprintf(words, sizeof words, "take_back %gs", BACK_S[i]);
        say(session, NULL, words);
        for (int k = 0; k < 5 && said[k].at_s < to_s; k++) {
            play(then, NULL, said[k].at_s);
            say(then, NULL, said[k].words);
        }
        play(then, NULL, to_s);
        check_same(session, then);
        ck_assert_int_eq(sim_session_history_count(session), sim_session_history_count(then));
        ck_assert_int_eq(sim_session_log_count(session), sim_session_log_count(then) + 1);
        const LogEntry *last = sim_session_log_entry(session, sim_session_log_count(session) - 1);
        ck_assert_int_eq(last->kind, LOG_TAKE_BACK);
        ck_assert(!sim_records_hidden(last)); /* the trainee sees the clock go back, and why */
        sim_session_close(session);
        sim_session_close(then);
    }
}
END_TEST

START_TEST(back_night_goes_on_as_if_the_rest_had_not_been) {
    static const Said with[] = {
        {100, "speed 8800"},         {250, "call tamponade confidence 80"},
        {290, "milrinone 0.5"},      {310, "take_back 2min"},
        {250, "speed 8400"},         {330, "take_back 1min"}, /* across what came after */
        {275, "norepinephrine 0.08"}};
    static const Said without[] = {{100, "speed 8800"}, {250, "speed 8400"}, {275, "norepinephrine 0.08"}};
    Session *session = open_night(true), *plain = open_night(false);
    play_all(session, NULL, with, 7);
    play_all(plain, NULL, without, 3);
    play(session, NULL, 420);
    play(plain, NULL, 420);
    check_same(session, plain);
    ck_assert_int_eq(sim_session_takes(session), 2);
    ck_assert_int_eq(sim_session_call_count(session), 0);
    ck_assert_int_eq(entries(session, LOG_EVENT), 2); /* each event once */
    ck_assert_int_eq(entries(session, LOG_TAKE_BACK), 2);
    sim_session_close(session);
    sim_session_close(plain);
}
END_TEST

START_TEST(back_past_an_event_lets_it_come_again) {
    Session *session = open_night(true);
    play(session, NULL, 290);
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_clot_right);
    say(session, NULL, "take_back 2min");
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_well);
    ck_assert_int_eq(entries(session, LOG_EVENT), 0);
    say(session, NULL, "delay clot by 1min");
    play(session, NULL, 295);
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_well);
    play(session, NULL, 302);
    ck_assert_int_eq(sim_session_truth(session)->diagnosis, DIAGNOSIS_clot_right);
    sim_session_close(session);
}
END_TEST

START_TEST(back_also_from_the_end) {
    Session *session = open_night(true);
    while (!sim_session_ended(session))
        play(session, NULL, sim_session_time_s(session) + 1);
    ck_assert_int_eq(sim_session_say(session, "speed 8800", &error), ERROR_NOT_ALLOWED);
    say(session, NULL, "take_back 3min");
    ck_assert(!sim_session_ended(session));
    say(session, NULL, "speed 8800");
    play(session, NULL, 800);
    sim_session_close(session);
}
END_TEST

START_TEST(back_is_refused_with_the_reason) {
    Session *session = open_night(false);
    ck_assert_int_ne(sim_session_say_as(session, SESSION_VOICE_PLAN, "take_back 1min", &error), ERROR_OK);
    ck_assert_ptr_nonnull(strstr(error.what, "nothing has happened"));
    play(session, NULL, 70);
    ck_assert_int_ne(sim_session_say_as(session, SESSION_VOICE_PLAN, "take_back 1min", &error), ERROR_OK);
    ck_assert_ptr_nonnull(strstr(error.what, "cannot go back"));
    ck_assert(sim_session_keep(session));
    play(session, NULL, 130);
    ck_assert_int_ne(sim_session_say_as(session, SESSION_VOICE_PLAN, "take_back 2min", &error), ERROR_OK);
    say(session, NULL, "take_back 30s");
    ck_assert_int_ne(sim_session_say_as(session, SESSION_VOICE_PLAN, "take_back 61min", &error), ERROR_OK);
    ck_assert_ptr_nonnull(strstr(error.allowed, "1h"));
    ck_assert_int_ne(sim_session_say(session, "take_back 10s", &error), ERROR_OK);
    sim_session_close(session);
}
END_TEST

/* Two takes, the second reaching behind the first's own entry, with acts of every kind around. */
static const Said course[] = {
    {50, "speed 8800"},
    {70, "say nurse: the bottle is full"},
    {100, "skip clot"},
    {130, "set rv_ees_mmhg_ml 0.15 over 2min"},
    {150, "predict norepinephrine 0.12 : skip"},
    {200, "call tamponade confidence 80"},
    {205, "take_back 1min"}, /* to 145 */
    {160, "mark here"},
    {190, "instructor milrinone 0.25"},
    {215, "take_back 100s"}, /* to 115: past the first take's entry */
    {125, "keep clot"},
    {140, "fire clot"},
    {150, "truth tamponade"},
    {170, "freeze pump"},
    {230, "freeze end"},
    {240, "call tamponade confidence 60"},
};
enum { COURSE = sizeof course / sizeof course[0] };

START_TEST(back_journal_keeps_what_was_taken_back_out_of_the_course) {
    Session *session = open_night(true);
    Journal *journal = record(session);
    play_all(session, journal, course, COURSE);
    play(session, journal, 300);
    int64_t log = sim_session_log_count(session);
    uint64_t hash = sim_session_hash(session);
    close_all(session, journal, false);
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM act"), log);
    ck_assert_int_eq(read_whole(path, "SELECT count(DISTINCT take) FROM taken_act"), 2);
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM taken_act WHERE text='call tamponade confidence "
                                      "80 kind surgical'"),
                     1);
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM act WHERE text LIKE 'call%80%'"), 0);
    ck_assert_int_gt(read_whole(path, "SELECT count(*) FROM taken_observation"), 10);
    ck_assert_int_gt(read_whole(path, "SELECT count(*) FROM taken_snapshot"), 0);
    /* observations stay in order: of the first beat, and one per ten seconds */
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM observation"), 31);
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM observation a JOIN observation b ON "
                                      "b.number>a.number AND b.time_s<=a.time_s"),
                     0);
    check_replay(path, 6);
    Session *again = NULL;
    journal = sim_journal_resume(path, &again, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    ck_assert(sim_session_hash(again) == hash);
    ck_assert_int_eq(sim_session_log_count(again), log);
    ck_assert_int_eq(sim_journal_order_count(journal), COURSE);
    close_all(again, journal, false);
}
END_TEST

START_TEST(back_night_survives_a_crash_at_any_moment) {
    Session *plain = open_night(true);
    play_all(plain, NULL, course, COURSE);
    play(plain, NULL, 300);
    static const int cuts[] = {0, 4, 6, 7, 8, 9, 10, 13, COURSE}; /* around the takes */
    for (size_t i = 0; i < sizeof cuts / sizeof cuts[0]; i++) {
        int cut = cuts[i];
        Session *session = open_night(true), *again = NULL;
        Journal *journal = record(session);
        play_all(session, journal, course, cut);
        crash();
        close_all(session, journal, false);
        journal = sim_journal_resume(copy, &again, &error);
        ck_assert_msg(journal != NULL, "cut %d: %s", cut, error.what);
        ck_assert_int_eq(sim_journal_order_count(journal), cut);
        play_all(again, journal, course + cut, COURSE - cut);
        play(again, journal, 300);
        ck_assert_msg(sim_session_hash(again) == sim_session_hash(plain), "cut %d", cut);
        ck_assert_int_eq(sim_session_log_count(again), sim_session_log_count(plain));
        close_all(again, journal, false);
        check_replay(copy, 5);
        ck_assert_int_eq(read_whole(copy, "SELECT count(DISTINCT take) FROM taken_act"), 2);
        unlink(path);
        unlink(copy);
    }
    sim_session_close(plain);
}
END_TEST

START_TEST(back_take_that_could_not_be_written_is_written_later) {
    Session *session = open_night(true);
    Journal *journal = record(session);
    play_all(session, journal, course, 6);
    struct rlimit before, none = {0, 0};
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &before), 0);
    none.rlim_max = before.rlim_max;
    signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &none), 0); /* a full disk */
    int failed = 0;
    for (int i = 6; i < 10; i++) {
        while (sim_session_time_s(session) < course[i].at_s) {
            ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
            failed += sim_journal_follow(journal, session, &error) != ERROR_OK;
        }
        ck_assert_int_eq(sim_session_say_as(session, SESSION_VOICE_PLAN, course[i].words, &error), ERROR_OK);
        failed += sim_journal_follow(journal, session, &error) != ERROR_OK;
    }
    ck_assert_int_ge(failed, 1);
    ck_assert(sim_journal_failing(journal));
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &before), 0);
    uint64_t hash = sim_session_hash(session);
    int64_t log = sim_session_log_count(session);
    close_all(session, journal, false);
    check_replay(path, 3);
    Session *again = NULL;
    journal = sim_journal_resume(path, &again, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    ck_assert(sim_session_hash(again) == hash);
    ck_assert_int_eq(sim_session_log_count(again), log);
    close_all(again, journal, false);
}
END_TEST

START_TEST(back_recall_reads_the_course_that_stayed) {
    Session *session = open_night(true);
    Journal *journal = record(session);
    play_all(session, journal, course, COURSE);
    play(session, journal, 300);
    close_all(session, journal, false);
    Recall *recall = sim_recall_open(path, &error);
    ck_assert_msg(recall != NULL, "%s", error.what);
    ck_assert_int_eq(recall->calls.count, 1);
    ck_assert_int_eq(recall->calls.call[0].confidence_percent, 60);
    int takes = 0, marks = 0;
    for (int64_t i = 0; i < recall->entry_count; i++) {
        takes += recall->entry[i].kind == LOG_TAKE_BACK;
        marks += recall->entry[i].kind == LOG_MARK;
    }
    ck_assert_int_eq(takes, 1); /* the first take's own entry was taken back by the second */
    ck_assert_int_eq(marks, 0);
    ck_assert_int_gt(recall->taken_count, 4);
    bool call = false;
    for (int64_t i = 0; i < recall->taken_count; i++)
        call |= recall->taken[i].kind == LOG_CALL && strstr(recall->taken[i].text, "80") != NULL;
    ck_assert(call);
    sim_recall_free(recall);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/session_back");
    TCase *c = tcase_create("session_back");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, back_state_is_that_of_then_to_the_last_bit);
    tcase_add_test(c, back_night_goes_on_as_if_the_rest_had_not_been);
    tcase_add_test(c, back_past_an_event_lets_it_come_again);
    tcase_add_test(c, back_also_from_the_end);
    tcase_add_test(c, back_is_refused_with_the_reason);
    tcase_add_test(c, back_journal_keeps_what_was_taken_back_out_of_the_course);
    tcase_add_test(c, back_night_survives_a_crash_at_any_moment);
    tcase_add_test(c, back_take_that_could_not_be_written_is_written_later);
    tcase_add_test(c, back_recall_reads_the_course_that_stayed);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
