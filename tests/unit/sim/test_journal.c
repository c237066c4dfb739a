/* The journal: what is written can be read, a crash loses nothing, and what cannot be trusted is refused
   unharmed. A crash is made by copying the files of an open journal: that is what a power cut leaves behind.
 */
#include "sim/build_id.h"
#include "sim/journal.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static const char CASE_PATH[] = EVENKEEL_SOURCE_DIR "/scenarios/speed-titration.yaml";

static char folder[64];
static Error error;

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_journal_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    model_error_clear(&error);
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static const char *path_in(const char *name) {
    static char paths[4][128];
    static int next;
    char *path = paths[next++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", folder, name);
    return path;
}

static Session *open_session(const SessionOptions *options) {
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *case_file = sim_case_load(CASE_PATH, errors);
    ck_assert_msg(case_file != NULL, "%s", errors->items[0].what);
    Session *session = sim_session_open(case_file, options, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(case_file);
    free(errors);
    return session;
}

static Journal *create(const char *path, const Session *session, const SessionOptions *options) {
    JournalSetup setup = {.options = options, .maker = "window", .until_s = 600, .plan = "5min speed 9000\n"};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    return journal;
}

/* Plays to time_s as the window does: the journal follows every beat. */
static void play(Session *session, Journal *journal, double time_s) {
    while (sim_session_time_s(session) < time_s) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        if (journal != NULL) ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
}

/* A value as a button makes it: 0.15000000000000002. */
static Order pressor_order(void) {
    return (Order){.id = ORDER_norepinephrine, .act = ORDER_ACT_SET, .value = 0.1 + 0.05};
}

/* The acts of the test night: one before and one after the snapshot at 60 s. */
static void play_night(Session *session, Journal *journal, double until_s) {
    play(session, journal, 40);
    ck_assert_int_eq(sim_session_order(session, "speed 8400", &error), ERROR_OK);
    play(session, journal, 85);
    Order order = pressor_order();
    ck_assert_int_eq(sim_session_give(session, &order, &error), ERROR_OK);
    if (journal != NULL) ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    play(session, journal, until_s);
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

/* What a power cut would leave of an open journal. */
static void copy_crashed(const char *from, const char *to) {
    char wal_from[160], wal_to[160];
    snprintf(wal_from, sizeof wal_from, "%s-wal", from);
    snprintf(wal_to, sizeof wal_to, "%s-wal", to);
    copy_file(from, to);
    if (access(wal_from, F_OK) == 0) copy_file(wal_from, wal_to);
}

static void change(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static void make_closed_night(const char *path) {
    Session *session = open_session(NULL);
    Journal *journal = create(path, session, NULL);
    play_night(session, journal, 130);
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
}

START_TEST(journal_closed_night_reads_back) {
    const char *path = path_in("a.night");
    make_closed_night(path);
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(path, &night, &error), ERROR_OK);
    ck_assert_str_eq(night.build, sim_build_id());
    ck_assert_str_eq(night.maker, "window");
    ck_assert_str_eq(night.case_id, "speed-titration");
    ck_assert(night.ended);
    ck_assert_double_eq_tol(night.until_s, 600.0, 1e-9);
    ck_assert_double_eq_tol(night.reached_s, 130.0, 1.5);
    ck_assert_int_ge(night.entries, 2);
}
END_TEST

static void count_observation(void *context, const Observables *observables) {
    int *count = context;
    /* one per 10 s, at the end of the beat that passes it */
    ck_assert(observables->time_s >= 10.0 * *count && observables->time_s < 10.0 * *count + 2.0);
    ck_assert(isfinite(observables->art_mean_mmhg) && observables->art_mean_mmhg > 20);
    *count += 1;
}

START_TEST(journal_keeps_an_observation_every_10_s) {
    const char *path = path_in("a.night");
    make_closed_night(path);
    int count = 0;
    ck_assert_int_eq(sim_journal_each_observation(path, count_observation, &count, &error), ERROR_OK);
    ck_assert_int_eq(count, 14); /* 0, 10, ... 130 s */
}
END_TEST

START_TEST(journal_crashed_night_resumes_to_the_same_state) {
    SessionOptions options = sim_session_options_none();
    options.seed_given = true;
    options.seed = 77;
    options.set_count = 1;
    options.sets[0] = (CaseSet){PARAMETER_rv_ees_mmhg_ml, 0.31};

    Session *whole = open_session(&options);
    play_night(whole, NULL, 200);
    double map_at_30_s = sim_session_history_value(whole, DISPLAY_art_mean_mmhg, 3);
    ck_assert(isfinite(map_at_30_s));
    uint64_t expected = sim_session_hash(whole);
    sim_session_close(whole);

    Session *session = open_session(&options);
    Journal *journal = create(path_in("a.night"), session, &options);
    play_night(session, journal, 115);
    char crashed[128];
    strcpy(crashed, path_in("crashed.night"));
    copy_crashed(sim_journal_path(journal), crashed);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);

    Session *resumed = NULL;
    Journal *again = sim_journal_resume(crashed, &resumed, &error);
    ck_assert_msg(again != NULL, "%s: %s", error.where, error.what);
    ck_assert(sim_session_time_s(resumed) > 84.0);
    ck_assert_int_eq(sim_journal_order_count(again), 2);
    ck_assert_str_eq(sim_journal_plan(again), "5min speed 9000\n");
    /* the screen has its log and trends again */
    ck_assert_ptr_nonnull(sim_session_log_entry(resumed, 0));
    ck_assert_int_ge(sim_session_history_count(resumed), 9);
    ck_assert_double_eq_tol(sim_session_history_value(resumed, DISPLAY_art_mean_mmhg, 3), map_at_30_s, 1e-9);
    play(resumed, again, 200);
    ck_assert_uint_eq(sim_session_hash(resumed), expected);
    ck_assert_int_eq(sim_journal_close(again, resumed, true, &error), ERROR_OK);
    sim_session_close(resumed);

    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(crashed, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_int_ge(replay.snapshots, 4);
}
END_TEST

START_TEST(journal_resumed_twice_keeps_one_log) {
    const char *path = path_in("a.night");
    Session *session = open_session(NULL);
    Journal *journal = create(path, session, NULL);
    play_night(session, journal, 100);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    for (int i = 0; i < 2; i++) {
        session = NULL;
        journal = sim_journal_resume(path, &session, &error);
        ck_assert_msg(journal != NULL, "%s", error.what);
        play(session, journal, 120 + 20 * i);
        ck_assert_int_eq(sim_journal_close(journal, session, i == 1, &error), ERROR_OK);
        sim_session_close(session);
    }
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_double_eq_tol(replay.reached_s, 140.0, 1.5);
}
END_TEST

START_TEST(journal_replay_finds_a_changed_state) {
    const char *path = path_in("a.night");
    make_closed_night(path);
    change(path, "UPDATE snapshot SET hash=hash+1 WHERE number=2");
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 1);
    ck_assert(replay.first_differing_s > 1.0);
}
END_TEST

START_TEST(journal_replay_finds_a_changed_order) {
    const char *path = path_in("a.night");
    make_closed_night(path);
    change(path, "UPDATE act SET text='speed 8500rpm' WHERE text LIKE 'speed%'");
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_gt(replay.differing, 0);
}
END_TEST

START_TEST(journal_of_another_build_is_refused_naming_both) {
    const char *path = path_in("a.night");
    make_closed_night(path);
    change(path, "UPDATE night SET build='0.0.9+older'");
    Session *session = NULL;
    ck_assert_ptr_null(sim_journal_resume(path, &session, &error));
    ck_assert_ptr_null(session);
    ck_assert_int_eq(error.code, ERROR_FORMAT);
    ck_assert_ptr_nonnull(strstr(error.what, "0.0.9+older"));
    ck_assert_ptr_nonnull(strstr(error.what, sim_build_id()));
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_FORMAT);
    /* what it is can still be said */
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(path, &night, &error), ERROR_OK);
    ck_assert_str_eq(night.build, "0.0.9+older");
}
END_TEST

START_TEST(journal_of_a_later_schema_is_refused) {
    const char *path = path_in("a.night");
    make_closed_night(path);
    change(path, "PRAGMA user_version=99");
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(path, &night, &error), ERROR_FORMAT);
    ck_assert_ptr_nonnull(strstr(error.what, "99"));
}
END_TEST

START_TEST(journal_create_never_overwrites) {
    const char *path = path_in("a.night");
    FILE *file = fopen(path, "w");
    fputs("precious", file);
    fclose(file);
    Session *session = open_session(NULL);
    JournalSetup setup = {.maker = "run", .until_s = 60};
    ck_assert_ptr_null(sim_journal_create(path, session, &setup, &error));
    ck_assert_int_eq(error.code, ERROR_FILE_WRITE);
    ck_assert_str_eq(error.where, path);
    char text[16] = "";
    file = fopen(path, "r");
    ck_assert_ptr_nonnull(fgets(text, sizeof text, file));
    fclose(file);
    ck_assert_str_eq(text, "precious");

    ck_assert_ptr_null(sim_journal_create(path_in("none/a.night"), session, &setup, &error));
    ck_assert_int_eq(error.code, ERROR_FILE_WRITE);
    sim_session_close(session);
}
END_TEST

START_TEST(journal_name_is_a_file_name_and_nothing_else) {
    static const char *const names[] = {":memory:", "file:a.night?mode=memory"};
    char before[512];
    ck_assert_ptr_nonnull(getcwd(before, sizeof before));
    Session *session = open_session(NULL);
    ck_assert_int_eq(chdir(folder), 0);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        Journal *journal = create(names[i], session, NULL);
        ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
        ck_assert_msg(access(names[i], F_OK) == 0, "no file %s", names[i]);
    }
    ck_assert_int_eq(chdir(before), 0);
    sim_session_close(session);
}
END_TEST

START_TEST(journal_is_written_by_one_program_at_a_time) {
    const char *path = path_in("a.night");
    Session *session = open_session(NULL);
    Journal *journal = create(path, session, NULL);
    play(session, journal, 20);
    pid_t other = fork();
    ck_assert_int_ge(other, 0);
    if (other == 0) {
        JournalNight night;
        Session *resumed = NULL;
        bool refused = sim_journal_resume(path, &resumed, &error) == NULL &&
                       strstr(error.what, "another program") != NULL && strcmp(error.where, path) == 0;
        bool readable = sim_journal_read(path, &night, &error) == ERROR_OK;
        _exit(refused && readable ? 0 : 1);
    }
    int status = -1;
    ck_assert_int_eq(waitpid(other, &status, 0), other);
    ck_assert_int_eq(status, 0);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    journal = sim_journal_resume(path, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
}
END_TEST

START_TEST(journal_closed_night_is_one_plain_file) {
    const char *path = path_in("a.night");
    char beside[160];
    make_closed_night(path);
    snprintf(beside, sizeof beside, "%s-wal", path);
    ck_assert_int_ne(access(beside, F_OK), 0);
    /* bytes 18 and 19 of a SQLite file: 2 would want files beside it even for reading
     * (sqlite.org/fileformat2) */
    unsigned char head[20];
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fread(head, 1, sizeof head, file), sizeof head);
    fclose(file);
    ck_assert_int_eq(head[18], 1);
    ck_assert_int_eq(head[19], 1);
}
END_TEST

START_TEST(journal_damaged_parts_are_named_with_the_file) {
    static const struct {
        const char *sql, *what;
    } damages[] = {{"UPDATE night SET case_text = 'x'", "case"},
                   {"UPDATE night SET case_text = case_text || '#'", "case"},
                   {"UPDATE snapshot SET state = zeroblob(length(state))", "state"},
                   {"DELETE FROM snapshot", "state"},
                   {"DROP TABLE act", "whole"}};
    for (size_t i = 0; i < sizeof damages / sizeof damages[0]; i++) {
        const char *path = path_in("a.night");
        Session *session = NULL;
        JournalReplay replay;
        make_closed_night(path);
        change(path, damages[i].sql);
        ck_assert_ptr_null(sim_journal_resume(path, &session, &error));
        ck_assert_msg(strstr(error.what, damages[i].what) != NULL, "%s: %s", damages[i].sql, error.what);
        ck_assert_str_eq(error.where, path);
        ck_assert_int_eq(error.code, ERROR_FORMAT);
        if (strstr(damages[i].sql, "zeroblob") == NULL) /* a replay compares fingerprints only */
            ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_FORMAT);
        unlink(path);
    }
}
END_TEST

START_TEST(journal_broken_files_are_refused_and_left_alone) {
    const char *whole = path_in("whole.night");
    make_closed_night(whole);
    struct stat status;
    ck_assert_int_eq(stat(whole, &status), 0);
    long size = (long)status.st_size;
    long cuts[] = {0, 1, 15, 16, 99, 512, 4095, 4096, 5000, size / 3, size / 2, size - 4096, size - 1};
    for (size_t i = 0; i < sizeof cuts / sizeof cuts[0]; i++) {
        char path[128];
        snprintf(path, sizeof path, "%s/cut%zu.night", folder, i);
        copy_file(whole, path);
        ck_assert_int_eq(truncate(path, cuts[i]), 0);
        JournalNight night;
        JournalReplay replay;
        Session *session = NULL;
        /* a cut in the last page may be read in part; none may crash or be taken for whole */
        ErrorCode read = sim_journal_read(path, &night, &error);
        ErrorCode played = sim_journal_replay(path, NULL, NULL, &replay, &error);
        ck_assert_msg(played != ERROR_OK || replay.differing > 0 || cuts[i] >= size - 4096,
                      "cut at %ld of %ld was played", cuts[i], size);
        (void)read;
        Journal *journal = sim_journal_resume(path, &session, &error);
        if (journal != NULL) ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
        sim_session_close(session);
        ck_assert_int_eq(access(path, F_OK), 0);
    }
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(CASE_PATH, &night, &error), ERROR_FORMAT);
    ck_assert_int_eq(sim_journal_read(folder, &night, &error), ERROR_FILE_READ);
    ck_assert_int_eq(sim_journal_read(path_in("missing"), &night, &error), ERROR_FILE_READ);
    ck_assert_ptr_nonnull(strstr(error.what, "No such file"));
}
END_TEST

START_TEST(journal_locked_file_is_said_once_and_made_up_for) {
    const char *path = path_in("a.night");
    Session *session = open_session(NULL);
    Journal *journal = create(path, session, NULL);
    play(session, journal, 20);
    sqlite3 *other = NULL;
    ck_assert_int_eq(sqlite3_open(path, &other), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);

    ck_assert_int_eq(sim_session_order(session, "speed 8800", &error), ERROR_OK);
    ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_FILE_WRITE);
    ck_assert_ptr_nonnull(strstr(error.what, "locked"));
    ck_assert(sim_journal_failing(journal));
    play(session, journal, 50); /* goes on, and says nothing more */
    ck_assert_int_eq(sqlite3_exec(other, "COMMIT", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(other);

    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
    int count = 0;
    ck_assert_int_eq(sim_journal_each_observation(path, count_observation, &count, &error), ERROR_OK);
    ck_assert_int_eq(count, 6); /* 0 to 50 s: nothing is missing */
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
}
END_TEST

START_TEST(journal_full_disk_is_said_once_and_the_night_goes_on) {
    const char *path = path_in("a.night");
    Session *session = open_session(NULL);
    Journal *journal = create(path, session, NULL);
    play(session, journal, 20);
    /* no file may grow: what a full disk does to a writer */
    struct rlimit before, none = {.rlim_cur = 1024};
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &before), 0);
    none.rlim_max = before.rlim_max;
    signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &none), 0);
    ck_assert_int_eq(sim_session_order(session, "speed 8800", &error), ERROR_OK);
    ErrorCode first = sim_journal_follow(journal, session, &error);
    ErrorCode second = ERROR_OK;
    while (second == ERROR_OK && sim_session_time_s(session) < 60) {
        ck_assert_int_eq(sim_session_advance(session, NULL), ERROR_OK);
        second = sim_journal_follow(journal, session, &error);
    }
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &before), 0);
    ck_assert_int_eq(first, ERROR_FILE_WRITE);
    ck_assert_int_eq(second, ERROR_OK);
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_double_eq_tol(replay.reached_s, 60.0, 1.5);
}
END_TEST

START_TEST(journal_folder_follows_the_data_home) {
    char path[JOURNAL_PATH_MAX], expected[JOURNAL_PATH_MAX];
    ck_assert_int_eq(setenv("XDG_DATA_HOME", path_in("data"), 1), 0);
    ck_assert_int_eq(sim_journal_folder(path, sizeof path, &error), ERROR_OK);
    snprintf(expected, sizeof expected, "%s/data/evenkeel/nights", folder);
    ck_assert_str_eq(path, expected);
    ck_assert_int_eq(sim_journal_new_path("speed-titration", path, sizeof path, &error), ERROR_OK);
    ck_assert_ptr_nonnull(strstr(path, "speed-titration"));
    ck_assert_int_ne(access(path, F_OK), 0);

    fclose(fopen(path_in("plain"), "w"));
    ck_assert_int_eq(setenv("XDG_DATA_HOME", path_in("plain"), 1), 0);
    ck_assert_int_eq(sim_journal_folder(path, sizeof path, &error), ERROR_FILE_WRITE);
    ck_assert_ptr_nonnull(strstr(error.where, "plain"));
    unsetenv("XDG_DATA_HOME");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/journal");
    TCase *c = tcase_create("journal");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, journal_closed_night_reads_back);
    tcase_add_test(c, journal_keeps_an_observation_every_10_s);
    tcase_add_test(c, journal_crashed_night_resumes_to_the_same_state);
    tcase_add_test(c, journal_resumed_twice_keeps_one_log);
    tcase_add_test(c, journal_replay_finds_a_changed_state);
    tcase_add_test(c, journal_replay_finds_a_changed_order);
    tcase_add_test(c, journal_of_another_build_is_refused_naming_both);
    tcase_add_test(c, journal_of_a_later_schema_is_refused);
    tcase_add_test(c, journal_create_never_overwrites);
    tcase_add_test(c, journal_name_is_a_file_name_and_nothing_else);
    tcase_add_test(c, journal_is_written_by_one_program_at_a_time);
    tcase_add_test(c, journal_closed_night_is_one_plain_file);
    tcase_add_test(c, journal_damaged_parts_are_named_with_the_file);
    tcase_add_test(c, journal_broken_files_are_refused_and_left_alone);
    tcase_add_test(c, journal_locked_file_is_said_once_and_made_up_for);
    tcase_add_test(c, journal_full_disk_is_said_once_and_the_night_goes_on);
    tcase_add_test(c, journal_folder_follows_the_data_home);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
