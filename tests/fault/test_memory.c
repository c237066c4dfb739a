/* Memory runs out at every moment: the N-th allocation fails, once or from then on, wherever it is made (the
   libraries' too). Each door must come back with an error that says something or with its work done, must
   have given back all it took, and must leave the files of others as they were. */
#define _GNU_SOURCE /* dladdr */
#include "sim/attempts.h"
#include "sim/cohort.h"
#include "sim/debrief.h"
#include "sim/journal.h"
#include "sim/logbook.h"
#include "sim/whatif.h"
#include "tests/support/check_main.h"

#include <dlfcn.h>
#include <errno.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* ---- allocations that fail when told to ---- */

/* glibc's own, behind the names that this program takes over. */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);
extern void *__libc_memalign(size_t alignment, size_t size);
extern void __libc_free(void *memory);

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *old, size_t size);
void free(void *memory);
int posix_memalign(void **memory, size_t alignment, size_t size);
void *aligned_alloc(size_t alignment, size_t size);

static atomic_long live;         /* allocations not given back */
static atomic_long asked;        /* since armed */
static atomic_long fail_at = -1; /* number of the one that fails; negative: none */
static atomic_bool for_good;     /* and all after it */

/* SUNDIALS 6.4 does not look at what it is given in SUNLogger_Create and N_VClone, and falls: its own calls
   are spared. */
static bool is_spared(void *caller) {
    Dl_info where;
    return dladdr(caller, &where) != 0 && where.dli_fname != NULL &&
           strstr(where.dli_fname, "libsundials") != NULL;
}

static bool fails(void *caller) {
    long number = atomic_fetch_add(&asked, 1), at = atomic_load(&fail_at);
    if (at < 0 || number < at || (number > at && !atomic_load(&for_good)) || is_spared(caller)) return false;
    errno = ENOMEM;
    return true;
}

static void *counted(void *memory) {
    if (memory != NULL) atomic_fetch_add(&live, 1);
    return memory;
}

void *malloc(size_t size) {
    return fails(__builtin_return_address(0)) ? NULL : counted(__libc_malloc(size));
}

void *calloc(size_t count, size_t size) {
    return fails(__builtin_return_address(0)) ? NULL : counted(__libc_calloc(count, size));
}

void *realloc(void *old, size_t size) {
    if (fails(__builtin_return_address(0))) return NULL;
    void *memory = __libc_realloc(old, size);
    return old == NULL ? counted(memory) : memory;
}

void free(void *memory) {
    if (memory != NULL) atomic_fetch_sub(&live, 1);
    __libc_free(memory);
}

void *aligned_alloc(size_t alignment, size_t size) {
    return fails(__builtin_return_address(0)) ? NULL : counted(__libc_memalign(alignment, size));
}

int posix_memalign(void **memory, size_t alignment, size_t size) {
    if (fails(__builtin_return_address(0))) return ENOMEM;
    *memory = counted(__libc_memalign(alignment, size));
    return *memory != NULL ? 0 : ENOMEM;
}

/* ---- the doors ---- */

enum { EVERY_MOST = 60 }; /* failures tried at one door; further apart where there are more allocations */

static const char SMALL_CASE[] =
    "evenkeel_case: 1\n"
    "id: small\n"
    "title: A small night\n"
    "theme: testing\n"
    "level: 1\n"
    "length: 1min\n"
    "seed: 3\n"
    "guided: no\n"
    "summary: Little time.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [MAP]}\n"
    "patient: {base: supported_axial, settle: 2s}\n"
    "running: [norepinephrine 0.05mcg/kg/min]\n"
    "targets: {art_mean_mmhg: [65, 85]}\n"
    "timeline:\n"
    "  - {id: word, at: 2s, do: [{message: {from: nurse, text: Hello.}}]}\n"
    "endings: [{id: over, at_length: yes, outcome: mixed, text: Over.}]\n";

static char folder[64], kept[96], made[96], page[96];
static Case *night;
static Recall *recalled;
static Error error;

static ErrorCode failed(void) {
    return error.code;
}

static ErrorCode open_case(void) {
    static ErrorList errors;
    Case *again = sim_case_parse(SMALL_CASE, strlen(SMALL_CASE), "small.yaml", &errors);
    if (again == NULL) error = errors.items[0];
    sim_case_free(again);
    return again != NULL ? ERROR_OK : failed();
}

static ErrorCode play_session(void) {
    const SessionOptions options = sim_session_options_none();
    Session *session = sim_session_open(night, &options, &error);
    if (session == NULL) return failed();
    ErrorCode code = sim_session_advance_to(session, 5.0, &error);
    if (code == ERROR_OK) code = sim_session_say(session, "norepinephrine 0.1", &error);
    if (code == ERROR_OK) code = sim_session_say(session, "call tamponade confidence 60 plan look", &error);
    if (code == ERROR_OK) code = sim_session_advance_to(session, 8.0, &error);
    sim_session_close(session);
    return code;
}

static ErrorCode record_night(void) {
    const SessionOptions options = sim_session_options_none();
    const JournalSetup setup = {.options = &options, .maker = "run", .until_s = 8.0};
    Session *session = sim_session_open(night, &options, &error);
    if (session == NULL) return failed();
    Journal *journal = sim_journal_create(made, session, &setup, &error);
    ErrorCode code = journal != NULL ? ERROR_OK : failed(), later;
    while (code == ERROR_OK && sim_session_time_s(session) < 8.0) {
        code = sim_session_advance(session, &error);
        if (code == ERROR_OK) code = sim_journal_follow(journal, session, &error);
    }
    Error at_close;
    later = journal != NULL ? sim_journal_close(journal, session, true, &at_close) : ERROR_OK;
    if (code == ERROR_OK && later != ERROR_OK) {
        code = later;
        error = at_close;
    }
    sim_session_close(session);
    unlink(made);
    return code;
}

static ErrorCode read_night(void) {
    Recall *recall = sim_recall_open(kept, &error);
    if (recall == NULL) return failed();
    sim_recall_free(recall);
    return ERROR_OK;
}

static ErrorCode replay_night(void) {
    JournalReplay replay;
    return sim_journal_replay(kept, NULL, NULL, &replay, &error);
}

static ErrorCode write_page(void) {
    Debrief *debrief = calloc(1, sizeof *debrief);
    FILE *out = fopen(page, "w");
    if (debrief != NULL && out != NULL) {
        sim_debrief_make(recalled, debrief);
        sim_debrief_write_page(debrief, NULL, out);
    }
    if (out != NULL) fclose(out);
    free(debrief);
    return ERROR_OK; /* it draws what it can */
}

static ErrorCode read_logbook(void) {
    Logbook *logbook = sim_logbook_open(folder, NULL, &error);
    if (logbook == NULL) return failed();
    sim_logbook_free(logbook);
    return ERROR_OK;
}

static ErrorCode try_otherwise(void) {
    RerunActs acts = {0};
    RerunCourse was = {0}, other = {0};
    ErrorCode code = ERROR_MEMORY;
    model_error_set(&error, ERROR_MEMORY, "no memory for the acts");
    if (sim_whatif_acts(recalled, &acts))
        code = sim_whatif_compare(recalled, &acts, &acts, 8.0, NULL, NULL, &was, &other, &error);
    sim_rerun_course_free(&was);
    sim_rerun_course_free(&other);
    sim_rerun_acts_free(&acts);
    return code;
}

static ErrorCode play_cohort(void) {
    const Case *const cases[] = {night};
    const Cohort cohort = {
        .cases = cases, .case_count = 1, .patients = 2, .seed = 7, .shard = 40, .shards = 40, .threads = 1};
    FILE *out = fopen(page, "w");
    if (out == NULL) return model_error_set(&error, ERROR_FILE_WRITE, "no file");
    ErrorCode code = sim_cohort_play(&cohort, out, &error);
    fclose(out);
    return code;
}

static const struct {
    const char *name;
    ErrorCode (*run)(void);
} DOORS[] = {
    {"case", open_case},       {"session", play_session}, {"record", record_night},
    {"recall", read_night},    {"replay", replay_night},  {"page", write_page},
    {"logbook", read_logbook}, {"whatif", try_otherwise}, {"cohort", play_cohort},
};

/* ---- the test ---- */

static void make_kept(void) {
    const SessionOptions options = sim_session_options_none();
    const JournalSetup setup = {.options = &options, .maker = "window", .trainee = "A", .until_s = 20.0};
    Session *session = sim_session_open(night, &options, &error);
    ck_assert_ptr_nonnull(session);
    Journal *journal = sim_journal_create(kept, session, &setup, &error);
    ck_assert_ptr_nonnull(journal);
    while (sim_session_time_s(session) < 20.0) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_session_say(session, "norepinephrine 0.1", &error), ERROR_OK);
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
}

static void begin(void) {
    strcpy(folder, "/tmp/evenkeel_memory_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(kept, sizeof kept, "%s/kept.night", folder);
    snprintf(made, sizeof made, "%s/made.night", folder);
    snprintf(page, sizeof page, "%s/page.html", folder);
    char path[96];
    static ErrorList errors;
    snprintf(path, sizeof path, "%s/small.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_int_ge(fputs(SMALL_CASE, out), 0);
    ck_assert_int_eq(fclose(out), 0);
    night = sim_case_load(path, &errors);
    ck_assert_msg(night != NULL, "%s", errors.items[0].what);
    make_kept();
    recalled = sim_recall_open(kept, &error);
    ck_assert_msg(recalled != NULL, "%s", error.what);
}

static void end(void) {
    char command[128];
    sim_recall_free(recalled);
    sim_case_free(night);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static long file_size(const char *path) {
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    fseek(file, 0, SEEK_END);
    long size = ftell(file);
    fclose(file);
    return size;
}

/* Runs a door with allocation `at` failing; true when that many were asked for. */
static bool run_once(int door, long at, bool from_then_on) {
    model_error_clear(&error);
    long before = atomic_load(&live);
    atomic_store(&for_good, from_then_on);
    atomic_store(&asked, 0);
    atomic_store(&fail_at, at);
    ErrorCode code = DOORS[door].run();
    long number = atomic_load(&asked);
    atomic_store(&fail_at, -1);
    ck_assert_msg(code == ERROR_OK || error.what[0] != '\0', "%s: allocation %ld fails and nothing is said",
                  DOORS[door].name, at);
    ck_assert_msg(atomic_load(&live) == before, "%s: allocation %ld fails and %ld are kept", DOORS[door].name,
                  at, atomic_load(&live) - before);
    if (at < 0) ck_assert_msg(code == ERROR_OK, "%s: %s", DOORS[door].name, error.what);
    return number > at;
}

START_TEST(memory_that_runs_out_is_said_and_nothing_leaks) {
    const long size = file_size(kept);
    const int door = _i;
    (void)run_once(door, -1, false); /* what libraries keep for good is taken now */
    (void)run_once(door, -1, false);
    const long all = atomic_load(&asked), stride = all > EVERY_MOST ? all / EVERY_MOST : 1;
    ck_assert_int_gt(all, 0);
    for (long at = 0; at < all; at += stride) {
        (void)run_once(door, at, false);
        (void)run_once(door, at, true);
    }
    printf("%s: %ld allocations, one in %ld failed\n", DOORS[door].name, all, stride);
    ck_assert_int_eq(file_size(kept), size);
    model_error_clear(&error);
    ck_assert_msg(DOORS[door].run() == ERROR_OK, "%s afterwards: %s", DOORS[door].name, error.what);
}
END_TEST

static Suite *suite(void) {
    Suite *all = suite_create("memory");
    TCase *tests = tcase_create("memory");
    tcase_set_timeout(tests, 300);
    tcase_add_unchecked_fixture(tests, begin, end);
    tcase_add_loop_test(tests, memory_that_runs_out_is_said_and_nothing_leaks, 0,
                        (int)(sizeof DOORS / sizeof DOORS[0]));
    suite_add_tcase(all, tests);
    return all;
}

CHECK_MAIN(suite)
