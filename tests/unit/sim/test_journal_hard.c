/* Recorded nights under rough hands: bytes turned over, cut off, foreign files, hostile tables, a full disk,
   a locked file. Nothing crashes, nothing is overwritten, and what could be read is said. */
#include "model/random.h"
#include "sim/attempts.h"
#include "sim/debrief.h"
#include "sim/digest.h"
#include "sim/journal_store.h"
#include "sim/logbook.h"
#include "tests/support/check_main.h"
#include "tests/support/program.h"

#include <errno.h>
#include <inttypes.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PLACES = 240, PATH_MAX_HERE = 160, RESUME_EVERY = 4, REPLAY_EVERY = 12 };

static const uint64_t SEED = 20261125;

static const char NIGHT[] =
    "evenkeel_case: 1\nid: hard-night\ntitle: Hard\ntheme: tests\nlevel: 1\nlength: 10min\nseed: 8\n"
    "summary: Used by tests.\nguided: no\n"
    "handover:\n  who: Nobody.\n  done: Nothing.\n  attached: Lines.\n  objectives: [MAP.]\n"
    "patient:\n  base: supported_axial\n  settle: 5s\n  set: {ventilated: 1}\n"
    "targets:\n  art_mean_mmhg: [20, 150]\ntruth: {diagnosis: hypovolaemia}\n"
    "objectives:\n  - id: named\n    text: It is named.\n    when: call_right > 0.5\n    by: 8min\n"
    "endings:\n  - id: morning\n    at_length: yes\n    outcome: good\n    text: It is morning.\n";

static char folder[64], whole[PATH_MAX_HERE], bad[PATH_MAX_HERE];
static Error error;
static Program program;

static char *path_in(const char *name, char path[PATH_MAX_HERE]) {
    snprintf(path, PATH_MAX_HERE, "%s/%s", folder, name);
    return path;
}

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_hard_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    path_in("whole.night", whole);
    path_in("bad.night", bad);
    ck_assert_int_eq(setenv("XDG_DATA_HOME", folder, 1), 0);
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static Session *open_session(void) {
    char path[PATH_MAX_HERE];
    FILE *out = fopen(path_in("hard.yaml", path), "w");
    ck_assert_ptr_nonnull(out);
    fputs(NIGHT, out);
    fclose(out);
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *file = sim_case_load(path, errors);
    ck_assert_msg(file != NULL, "%s", errors->items[0].what);
    free(errors);
    Session *session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(file);
    return session;
}

static Journal *create(const char *path, const Session *session) {
    JournalSetup setup = {.maker = "window", .trainee = "Robin", .until_s = 600};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    return journal;
}

/* Plays on; what the journal says first goes to *said. */
static void play(Session *session, Journal *journal, double time_s, ErrorCode *said) {
    static const char *const WORDS[] = {"speed 8400", "call hypovolaemia confidence 70", "peep 6",
                                        "note a word"};
    while (sim_session_time_s(session) < time_s) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        int64_t beats = sim_session_time_s(session) > 0 ? (int64_t)(sim_session_time_s(session)) : 0;
        if (beats % 17 == 3 && sim_session_log_count(session) < 40)
            ck_assert_int_eq(sim_session_say(session, WORDS[beats % 4], &error), ERROR_OK);
        if (journal == NULL) continue;
        ErrorCode code = sim_journal_follow(journal, session, &error);
        if (code != ERROR_OK && said != NULL && *said == ERROR_OK)
            *said = code;
        else
            ck_assert_int_eq(code, ERROR_OK); /* said once only */
    }
}

static void make_whole(double until_s) {
    Session *session = open_session();
    Journal *journal = create(whole, session);
    play(session, journal, until_s, NULL);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
}

static void copy_file(const char *from, const char *to) {
    char block[4096];
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    ck_assert(in != NULL && out != NULL);
    for (size_t n; (n = fread(block, 1, sizeof block, in)) > 0;)
        fwrite(block, 1, n, out);
    fclose(in);
    fclose(out);
}

static void print_of(const char *path, char hex[DIGEST_HEX_MAX]) {
    ck_assert_msg(sim_digest_file(path, hex, &error) == ERROR_OK, "%s", error.what);
}

static long size_of(const char *path) {
    struct stat status;
    ck_assert_int_eq(stat(path, &status), 0);
    return (long)status.st_size;
}

/* Damages bad.night, a copy of the whole one, in one of several ways. */
static void damage(int place, Random *random) {
    long size = size_of(whole);
    long at = (long)(model_random_uniform(random) * (double)size);
    copy_file(whole, bad);
    if (place % 3 == 0)
        at = at / 4096 * 4096 + (long)(model_random_uniform(random) * 40.0); /* a page's own head */
    if (place % 8 == 7) {
        ck_assert_int_eq(truncate(bad, at), 0);
        return;
    }
    int count = place % 5 == 0 ? 64 : 1;
    FILE *file = fopen(bad, "r+b");
    for (int i = 0; i < count && at + i < size; i++) {
        ck_assert_int_eq(fseek(file, at + i, SEEK_SET), 0);
        int byte = fgetc(file);
        ck_assert_int_eq(fseek(file, at + i, SEEK_SET), 0);
        fputc(place % 10 == 0 ? 0xff : byte ^ (1 + (int)(model_random_uniform(random) * 254.0)), file);
    }
    fclose(file);
}

/* Looks back on bad.night as the debrief, the logbook and the lists do. */
static bool look_back(void) {
    Recall *recall = sim_recall_open(bad, &error);
    if (recall == NULL) {
        ck_assert_msg(error.what[0] != '\0' && strcmp(error.where, bad) == 0, "%s at %s", error.what,
                      error.where);
        return false;
    }
    Debrief *debrief = calloc(1, sizeof *debrief);
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    sim_debrief_make(recall, debrief);
    sim_debrief_write_page(debrief, NULL, out);
    fclose(out);
    ck_assert_int_gt((int)size, 1000);
    bool damaged = recall->damage[0] != '\0';
    free(text);
    free(debrief);
    sim_recall_free(recall);
    return !damaged;
}

static void use_everything(int place, int *told, int *resumed) {
    JournalNight night;
    JournalReplay replay;
    char before[DIGEST_HEX_MAX], after[DIGEST_HEX_MAX];
    print_of(bad, before);
    ErrorCode read = sim_journal_read(bad, &night, &error);
    bool same = look_back();
    Logbook *book = sim_logbook_open(folder, NULL, &error);
    ck_assert_ptr_nonnull(book);
    ck_assert_int_ge(book->night_count, 1); /* the whole one */
    sim_logbook_free(book);
    bool repeats = true;
    if (place % REPLAY_EVERY == 0)
        repeats = sim_journal_replay(bad, NULL, NULL, &replay, &error) == ERROR_OK && replay.differing == 0;
    print_of(bad, after);
    ck_assert_str_eq(before, after); /* reading changes nothing */
    *told += read != ERROR_OK || !same || !repeats;
    if (place % RESUME_EVERY != 0) return;
    Session *session = NULL;
    Journal *journal = sim_journal_resume(bad, &session, &error);
    if (journal == NULL) {
        ck_assert_ptr_null(session);
        ck_assert_msg(error.what[0] != '\0' && strcmp(error.where, bad) == 0, "%s at %s", error.what,
                      error.where);
        print_of(bad, after);
        ck_assert_str_eq(before, after); /* nor does a refusal */
        return;
    }
    (*resumed)++;
    ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
    (void)!sim_journal_follow(journal, session, &error); /* a damaged page may refuse */
    (void)!sim_journal_close(journal, session, false, &error);
    sim_session_close(session);
}

START_TEST(bytes_turned_over_anywhere_do_no_harm) {
    Random random = model_random_seed(SEED);
    int told = 0, resumed = 0;
    make_whole(70);
    for (int place = 0; place < PLACES; place++) {
        damage(place, &random);
        use_everything(place, &told, &resumed);
        char command[700];
        snprintf(command, sizeof command, "rm -rf '%s' '%s-wal' '%s-shm' '%s/evenkeel'", bad, bad, bad,
                 folder);
        ck_assert_int_eq(system(command), 0);
    }
    printf("seed %" PRIu64 ": %d damages, %d told of, %d could be gone on with\n", SEED, PLACES, told,
           resumed);
    ck_assert_int_gt(told, PLACES / 8);
}
END_TEST

START_TEST(a_damaged_last_state_costs_no_more_than_a_minute_of_playing_again) {
    make_whole(200);
    Session *session = NULL;
    Journal *journal = sim_journal_resume(whole, &session, &error);
    uint64_t expected = sim_session_hash(session);
    ck_assert_int_eq(sim_journal_close(journal, NULL, false, &error), ERROR_OK);
    sim_session_close(session);
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(whole, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db,
                                  "UPDATE snapshot SET state=zeroblob(length(state)) "
                                  "WHERE number>(SELECT max(number) FROM snapshot)-2",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
    journal = sim_journal_resume(whole, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    ck_assert_uint_eq(sim_session_hash(session), expected);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
}
END_TEST

START_TEST(what_could_be_read_is_said) {
    make_whole(130);
    sqlite3 *db = NULL;
    copy_file(whole, bad);
    ck_assert_int_eq(sqlite3_open(bad, &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_exec(db, "DROP TABLE observation; UPDATE snapshot SET state=x'00'", NULL, NULL, NULL),
        SQLITE_OK);
    sqlite3_close(db);
    Recall *recall = sim_recall_open(bad, &error);
    ck_assert_msg(recall != NULL, "%s", error.what);
    ck_assert_str_eq(recall->damage, "observations can be read to 00:00:00, states can be read to 00:00:00");
    ck_assert_int_gt((int)recall->entry_count, 3);
    ck_assert(!recall->same_build);
    sim_recall_free(recall);
    char arguments[256];
    snprintf(arguments, sizeof arguments, "debrief %s --html %s/page.html", bad, folder);
    program_run(&program, folder, arguments);
    ck_assert_msg(program.status == 0, "%s", program.err);
    ck_assert_ptr_nonnull(strstr(program.err, "the night is damaged: observations can be read to"));
    ck_assert_int_eq(program_lines(program.err), 1);
}
END_TEST

/* Every command that takes a night, given what is none: one line that names the file, and the file stays. */
START_TEST(foreign_files_are_refused_by_every_command) {
    static const char *const COMMANDS[] = {"replay %s", "resume %s --until 1h", "debrief %s --html -",
                                           "whatif %s --earlier 5min", "logbook --import %s"};
    static const char *const KINDS[] = {"zero", "text", "database", "later", "cut"};
    make_whole(20);
    for (size_t kind = 0; kind < sizeof KINDS / sizeof KINDS[0]; kind++) {
        sqlite3 *db = NULL;
        unlink(bad);
        if (kind < 2) {
            FILE *file = fopen(bad, "w");
            if (kind == 1) fputs("a letter, and nothing else\n", file);
            fclose(file);
        } else if (kind == 2) {
            ck_assert_int_eq(sqlite3_open(bad, &db), SQLITE_OK);
            ck_assert_int_eq(
                sqlite3_exec(db, "CREATE TABLE night(a); INSERT INTO night VALUES(1)", NULL, NULL, NULL),
                SQLITE_OK);
        } else if (kind == 3) {
            copy_file(whole, bad);
            ck_assert_int_eq(sqlite3_open(bad, &db), SQLITE_OK);
            ck_assert_int_eq(sqlite3_exec(db, "PRAGMA user_version=900", NULL, NULL, NULL), SQLITE_OK);
        } else {
            copy_file(whole, bad);
            ck_assert_int_eq(truncate(bad, 5000), 0);
        }
        sqlite3_close(db);
        char before[DIGEST_HEX_MAX], after[DIGEST_HEX_MAX], arguments[256];
        print_of(bad, before);
        for (size_t c = 0; c < sizeof COMMANDS / sizeof COMMANDS[0]; c++) {
            snprintf(arguments, sizeof arguments, COMMANDS[c], bad);
            program_run(&program, folder, arguments);
            ck_assert_msg(program.status == 1, "%s of %s ended with %d: %s", KINDS[kind], arguments,
                          program.status, program.err);
            ck_assert_msg(program_lines(program.err) == 1 && strstr(program.err, "bad.night") != NULL,
                          "%s of %s said %s", KINDS[kind], arguments, program.err);
            print_of(bad, after);
            ck_assert_str_eq(before, after);
        }
    }
    for (size_t c = 0; c < sizeof COMMANDS / sizeof COMMANDS[0]; c++) {
        char arguments[256];
        snprintf(arguments, sizeof arguments, COMMANDS[c], folder);
        program_run(&program, folder, arguments);
        ck_assert_msg(program.status == 1 && program_lines(program.err) == 1, "%s: %s", arguments,
                      program.err);
    }
}
END_TEST

/* Tables that are not tables: what stands in the file is not run. */
START_TEST(hostile_tables_are_not_run) {
    static const char *const SQL[] = {
        "DROP TABLE act; CREATE VIEW act AS WITH RECURSIVE n(number) AS (SELECT 0 UNION ALL SELECT number+1 "
        "FROM n)"
        " SELECT number, 0.0 AS time_s, 1 AS kind, '' AS sender, '' AS text FROM n",
        "CREATE TRIGGER t AFTER UPDATE ON night BEGIN DELETE FROM act; END",
        "UPDATE act SET time_s=1e300",
        "UPDATE observation SET time_s=9e999",
        "UPDATE snapshot SET time_s=-5",
        "UPDATE act SET number=number+1000000000",
        "UPDATE night SET truth_columns=',,,,', shown_columns=''",
        "UPDATE observation SET truth=x'ff', shown=x''",
        "UPDATE snapshot SET log_count=-9"};
    make_whole(20);
    for (size_t i = 0; i < sizeof SQL / sizeof SQL[0]; i++) {
        sqlite3 *db = NULL;
        copy_file(whole, bad);
        ck_assert_int_eq(sqlite3_open(bad, &db), SQLITE_OK);
        ck_assert_msg(sqlite3_exec(db, SQL[i], NULL, NULL, NULL) == SQLITE_OK, "%s: %s", SQL[i],
                      sqlite3_errmsg(db));
        sqlite3_close(db);
        int told = 0, resumed = 0;
        use_everything(0, &told, &resumed);
        unlink(bad);
    }
}
END_TEST

/* A file whose place is taken by something else until the night is over: saved elsewhere, and goes on from
 * there.
 */
START_TEST(a_night_that_its_file_never_takes_is_saved_elsewhere) {
    Session *session = open_session();
    Journal *journal = create(whole, session);
    play(session, journal, 30, NULL);
    sqlite3 *other = NULL;
    ck_assert_int_eq(sqlite3_open(whole, &other), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    ErrorCode said = ERROR_OK;
    play(session, journal, 100, &said);
    ck_assert_int_eq(said, ERROR_FILE_WRITE);
    ck_assert(sim_journal_failing(journal));
    uint64_t expected = sim_session_hash(session);
    int64_t log_count = sim_session_log_count(session);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_FILE_WRITE);
    ck_assert_ptr_nonnull(strstr(error.what, "lock"));
    const char *saved = strstr(error.allowed, "saved as ");
    ck_assert_msg(saved != NULL, "%s", error.allowed);
    char path[PATH_MAX_HERE];
    ck_assert_int_eq(sscanf(saved, "saved as %159s", path), 1);
    ck_assert_msg(strncmp(path, folder, strlen(folder)) == 0, "%s", path); /* the folder of nights */
    sim_session_close(session);
    session = NULL;
    journal = sim_journal_resume(path, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    ck_assert_uint_eq(sim_session_hash(session), expected);
    ck_assert_int_eq(sim_session_log_count(session), log_count);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    JournalReplay replay;
    ck_assert_int_eq(sim_journal_replay(path, NULL, NULL, &replay, &error), ERROR_OK);
    ck_assert_int_eq(replay.differing, 0);
    ck_assert_int_eq(sqlite3_exec(other, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(other);
}
END_TEST

/* A disk that is full for a while: said once, the night goes on, and everything is in the file afterwards. */
START_TEST(a_full_disk_costs_nothing_once_there_is_room) {
    struct rlimit before, tight;
    Session *session = open_session();
    Journal *journal = create(whole, session);
    play(session, journal, 15, NULL);
    signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &before), 0);
    tight = before;
    char wal[PATH_MAX_HERE + 8];
    snprintf(wal, sizeof wal, "%s-wal", whole);
    tight.rlim_cur = (rlim_t)(size_of(wal) + 20000); /* room for what the test itself notes */
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &tight), 0);
    ErrorCode said = ERROR_OK;
    play(session, journal, 200, &said);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &before), 0);
    ck_assert_int_ne(said, ERROR_OK);
    ck_assert(sim_journal_failing(journal));
    uint64_t expected = sim_session_hash(session);
    ck_assert_msg(sim_journal_close(journal, session, false, &error) == ERROR_OK, "%s", error.what);
    sim_session_close(session);
    session = NULL;
    journal = sim_journal_resume(whole, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    ck_assert_uint_eq(sim_session_hash(session), expected);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    Recall *recall = sim_recall_open(whole, &error);
    ck_assert_ptr_nonnull(recall);
    ck_assert_int_ge((int)recall->point_count, 20); /* one per 10 s, without a gap */
    for (int64_t i = 1; i < recall->point_count; i++)
        ck_assert_double_lt(recall->point[i].time_s - recall->point[i - 1].time_s, 12.0);
    for (int64_t i = 0; i < recall->entry_count; i++)
        ck_assert_int_eq((int)recall->entry[i].number, (int)i);
    sim_recall_free(recall);
}
END_TEST

/* A night that may be read only can be looked back on and played again, and cannot be gone on with. */
START_TEST(a_read_only_night_is_read) {
    JournalReplay replay;
    make_whole(20);
    ck_assert_int_eq(chmod(whole, 0444), 0);
    ck_assert_int_eq(sim_journal_replay(whole, NULL, NULL, &replay, &error), ERROR_OK);
    Recall *recall = sim_recall_open(whole, &error);
    ck_assert_ptr_nonnull(recall);
    sim_recall_free(recall);
    if (geteuid() == 0) return; /* whoever may do everything may write it */
    Session *session = NULL;
    ck_assert_ptr_null(sim_journal_resume(whole, &session, &error));
    ck_assert_int_eq(error.code, ERROR_FILE_WRITE);
    ck_assert_str_eq(error.where, whole);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/journal_hard");
    TCase *c = tcase_create("journal_hard");
    tcase_set_timeout(c, 600);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, a_damaged_last_state_costs_no_more_than_a_minute_of_playing_again);
    tcase_add_test(c, what_could_be_read_is_said);
    tcase_add_test(c, foreign_files_are_refused_by_every_command);
    tcase_add_test(c, hostile_tables_are_not_run);
    tcase_add_test(c, a_night_that_its_file_never_takes_is_saved_elsewhere);
    tcase_add_test(c, a_full_disk_costs_nothing_once_there_is_room);
    tcase_add_test(c, a_read_only_night_is_read);
    tcase_add_test(c, bytes_turned_over_anywhere_do_no_harm);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
