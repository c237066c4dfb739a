/* Recorded nights with acts of every kind: resumed after a crash and replayed they are the same to the last
   bit. A crash is made by copying the files of an open journal: that is what a power cut leaves behind. */
#include "sim/journal.h"
#include "sim/journal_store.h"
#include "sim/practice.h"
#include "tests/support/check_main.h"

#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static char folder[64];
static Error error;

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_acts_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    model_error_clear(&error);
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

typedef struct Said {
    double at_s;
    const char *words;
} Said;

/* Every kind of act, some before and some after the snapshots at 60 s and 120 s. */
static const Said acts[] = {
    {12, "look pericardium"},
    {20, "predict norepinephrine 0.12 : art_mean up, cvp up, pump_flow down, sure 3"},
    {31, "note hands are cool # and dry"},
    {40, "call hypovolaemia confidence 35 plan give volume"},
    {58, "bolus crystalloid 200mL over 2min"},
    {70, "set rv_ees_mmhg_ml 0.14 over 90s"},
    {75, "bookmark it turns"},
    {83, "look end"},
    {95, "predict speed 9300 : skip"},
    {110, "limit art_mean_mmhg low 52"},
    {118, "set pulmonary_resistance_x 1.7"},
    {125, "call right_failure confidence 80 kind right_heart plan nitric oxide"},
    {126, "pause"},
    {140, "nitric_oxide 20"},
};

enum { ACTS = sizeof acts / sizeof acts[0] };

static Session *open_session(void) {
    Case *night = sim_practice_case("supported_axial", 5, &error);
    ck_assert_msg(night != NULL, "%s", error.what);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(night);
    return session;
}

static void play(Session *session, Journal *journal, double time_s) {
    while (sim_session_time_s(session) < time_s) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        if (journal != NULL) ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
}

/* Plays from act *next to until_s. */
static void play_acts(Session *session, Journal *journal, int *next, double until_s) {
    for (; *next < ACTS && acts[*next].at_s < until_s; ++*next) {
        play(session, journal, acts[*next].at_s);
        ErrorCode code = sim_session_say(session, acts[*next].words, &error);
        ck_assert_msg(code == ERROR_OK, "%s: %s; %s", acts[*next].words, error.what, error.allowed);
        if (journal != NULL) ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    play(session, journal, until_s);
}

static Journal *create(const char *path, const Session *session) {
    JournalSetup setup = {.maker = "window", .trainee = "Ada", .until_s = 800};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    return journal;
}

static void copy_file(const char *from, const char *to) {
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    ck_assert(in != NULL && out != NULL);
    char block[4096];
    for (size_t n; (n = fread(block, 1, sizeof block, in)) > 0;)
        fwrite(block, 1, n, out);
    fclose(in);
    fclose(out);
}

static void change(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    char *message = NULL;
    int result = sqlite3_exec(db, sql, NULL, NULL, &message);
    ck_assert_msg(result == SQLITE_OK, "%s", message);
    sqlite3_close(db);
}

static int64_t read_whole(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &statement, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    int64_t value = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return value;
}

static void same_log(const Session *a, const Session *b) {
    ck_assert_int_eq(sim_session_log_count(a), sim_session_log_count(b));
    for (int64_t i = 0; i < sim_session_log_count(a); i++) {
        const LogEntry *x = sim_session_log_entry(a, i), *y = sim_session_log_entry(b, i);
        ck_assert_int_eq(x->kind, y->kind);
        ck_assert_str_eq(x->from, y->from);
        ck_assert_str_eq(x->text, y->text);
        ck_assert_double_eq_tol(x->time_s, y->time_s, 1e-9);
    }
}

/* Crashed between the acts, at several moments. */
START_TEST(journal_acts_survive_a_crash_bit_for_bit) {
    static const double crashes_s[] = {35, 59, 78, 119, 150};
    const double crash_s = crashes_s[_i], end_s = 700;
    char path[128], crashed[128], wal_from[160], wal_to[160];
    int next = 0;
    Session *whole = open_session();
    play_acts(whole, NULL, &next, end_s);
    const Prediction *outcome = sim_session_prediction(whole, 1);
    ck_assert_int_eq(outcome->status, PREDICTION_SEEN);

    snprintf(path, sizeof path, "%s/a.night", folder);
    snprintf(crashed, sizeof crashed, "%s/crashed.night", folder);
    next = 0;
    Session *session = open_session();
    Journal *journal = create(path, session);
    play_acts(session, journal, &next, crash_s);
    snprintf(wal_from, sizeof wal_from, "%s-wal", path);
    snprintf(wal_to, sizeof wal_to, "%s-wal", crashed);
    copy_file(path, crashed);
    copy_file(wal_from, wal_to);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);

    Session *resumed = NULL;
    journal = sim_journal_resume(crashed, &resumed, &error);
    ck_assert_msg(journal != NULL, "%s: %s", error.where, error.what);
    ck_assert_int_eq(sim_journal_order_count(journal), next);
    play_acts(resumed, journal, &next, end_s);
    ck_assert_uint_eq(sim_session_hash(resumed), sim_session_hash(whole));
    same_log(resumed, whole);
    const Prediction *again = sim_session_prediction(resumed, 1);
    ck_assert_int_eq(again->status, PREDICTION_SEEN);
    for (int i = 0; i < again->count; i++) {
        ck_assert_double_eq_tol(again->part[i].after, outcome->part[i].after, 1e-12);
        ck_assert_int_eq(again->part[i].hit, outcome->part[i].hit);
    }
    ck_assert_int_eq(sim_session_look(resumed).count, sim_session_look(whole).count);
    ck_assert_str_eq(sim_session_call(resumed, 0)->plan, "nitric oxide");
    ck_assert_int_eq(sim_journal_close(journal, resumed, true, &error), ERROR_OK);
    sim_session_close(resumed);
    sim_session_close(whole);

    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(crashed, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_int_ge(replay.snapshots, 10);
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(crashed, &night, &error), ERROR_OK);
    ck_assert_str_eq(night.trainee, "Ada");
    ck_assert_str_eq(night.case_id, "practice-supported_axial");
}
END_TEST

static void make_closed(const char *path) {
    int next = 0;
    Session *session = open_session();
    Journal *journal = create(path, session);
    play_acts(session, journal, &next, 150);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
}

START_TEST(journal_a_changed_act_is_found) {
    char path[128];
    snprintf(path, sizeof path, "%s/a.night", folder);
    make_closed(path);
    change(path,
           "UPDATE act SET text='call bleeding confidence 35 kind surgical' WHERE text LIKE 'call hypo%'");
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_gt(replay.differing, 0);
}
END_TEST

START_TEST(journal_an_act_that_cannot_be_is_refused) {
    static const char *const damages[] = {"UPDATE act SET kind=99 WHERE text LIKE 'note%'",
                                          "UPDATE act SET kind=-1 WHERE text LIKE 'note%'",
                                          "UPDATE act SET text='look sideways' WHERE text LIKE 'look peri%'"};
    char path[128];
    snprintf(path, sizeof path, "%s/a.night", folder);
    make_closed(path);
    for (size_t i = 0; i < sizeof damages / sizeof damages[0]; i++) {
        char damaged[128];
        JournalReplay replay;
        snprintf(damaged, sizeof damaged, "%s/%zu.night", folder, i);
        copy_file(path, damaged);
        change(damaged, damages[i]);
        ck_assert_int_ne(sim_journal_replay(damaged, NULL, NULL, &replay, &error), ERROR_OK);
        ck_assert(error.what[0] != '\0');
        ck_assert_ptr_nonnull(strstr(error.where, damaged));
    }
}
END_TEST

START_TEST(journal_of_the_first_schema_is_read_and_brought_up) {
    char path[128];
    snprintf(path, sizeof path, "%s/a.night", folder);
    make_closed(path);
    change(path, "DROP TABLE taken_act; DROP TABLE taken_observation; DROP TABLE taken_snapshot; "
                 "DROP TABLE result; DROP TABLE result_line; DROP INDEX act_of_kind; ALTER TABLE night DROP "
                 "COLUMN trainee; PRAGMA user_version=1");
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(path, &night, &error), ERROR_OK);
    ck_assert_str_eq(night.trainee, "");
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_int_eq(read_whole(path, "PRAGMA user_version"), 1); /* reading changes nothing */
    Session *session = NULL;
    Journal *journal = sim_journal_resume(path, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    play(session, journal, 200);
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
    ck_assert_int_eq(read_whole(path, "PRAGMA user_version"), JOURNAL_STORE_SCHEMA);
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM pragma_table_info('night') WHERE name='trainee'"),
                     1);
    ck_assert_int_eq(read_whole(path, "SELECT count(*) FROM sqlite_master WHERE name='act_of_kind'"), 1);
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
}
END_TEST

/* One of another build is refused before anything is changed in it. */
START_TEST(journal_of_the_first_schema_and_another_build_stays_as_it_is) {
    char path[128];
    snprintf(path, sizeof path, "%s/a.night", folder);
    make_closed(path);
    change(path, "DROP TABLE taken_act; DROP TABLE taken_observation; DROP TABLE taken_snapshot; "
                 "DROP TABLE result; DROP TABLE result_line; DROP INDEX act_of_kind; ALTER TABLE night DROP "
                 "COLUMN trainee; PRAGMA user_version=1;"
                 "UPDATE night SET build='0.0.1+older'");
    Session *session = NULL;
    ck_assert_ptr_null(sim_journal_resume(path, &session, &error));
    ck_assert_ptr_nonnull(strstr(error.what, "0.0.1+older"));
    ck_assert_int_eq(read_whole(path, "PRAGMA user_version"), 1);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/journal_acts");
    TCase *c = tcase_create("journal_acts");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_loop_test(c, journal_acts_survive_a_crash_bit_for_bit, 0, 5);
    tcase_add_test(c, journal_a_changed_act_is_found);
    tcase_add_test(c, journal_an_act_that_cannot_be_is_refused);
    tcase_add_test(c, journal_of_the_first_schema_is_read_and_brought_up);
    tcase_add_test(c, journal_of_the_first_schema_and_another_build_stays_as_it_is);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
