/* A night that is killed at any moment and gone on with is the same night: kill -9 at random moments, also
   while it is being resumed, and compare the fingerprint of the end with that of a night nobody disturbed.
   EVENKEEL_KILLS=200 kills so many nights instead of the usual number. */
#include "model/random.h"
#include "tests/support/check_main.h"
#include "tests/support/program.h"

#include <inttypes.h>
#include <signal.h>
#include <stdbool.h>
#include <stdint.h>
#include <time.h>
#include <unistd.h>

enum { KILLS = 24, KILLS_MOST = 10000, AT_START = 10, FINGERPRINT_MAX = 32 };

static const uint64_t SEED = 20240611; /* of the moments; the night has its own */
static const char CASE_PATH[] = "scenarios/speed-titration.yaml";
static const char NIGHT[] = "--until 8min --order '2min speed 8600' --order '3min milrinone 0.25' "
                            "--order '5min bolus crystalloid 100mL over 1min' --order '6min speed 8000' "
                            "--order '6min30s say nurse: look here' --order '7min take_back 3min' "
                            "--order '7min10s freeze pump' --order '7min20s take_back 30s'";

static char folder[64];
static Program program;

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_kill_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* The fingerprint in the program's last line. */
static void read_fingerprint(char *fingerprint) {
    const char *at = strstr(program.out, "fingerprint ");
    ck_assert_msg(at != NULL, "no fingerprint in: %s%s", program.out, program.err);
    ck_assert_int_eq(sscanf(at, "fingerprint %31s", fingerprint), 1);
}

static void sleep_s(double seconds) {
    struct timespec delay = {.tv_sec = (time_t)seconds,
                             .tv_nsec = (long)((seconds - (double)(time_t)seconds) * 1e9)};
    nanosleep(&delay, NULL);
}

/* Starts the program with a shell's `arguments`. */
static pid_t start_program(const char *arguments) {
    char command[2048];
    snprintf(command, sizeof command, "cd '%s' && exec '%s' %s >/dev/null 2>&1 </dev/null",
             EVENKEEL_SOURCE_DIR, EVENKEEL_PROGRAM, arguments);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        execl("/bin/sh", "sh", "-c", command, (char *)NULL);
        _exit(127);
    }
    return child;
}

/* Waits until the child has made `path`, or has ended. */
static void wait_for_file(pid_t child, const char *path) {
    siginfo_t info = {.si_pid = 0};
    while (access(path, F_OK) != 0 && info.si_pid == 0) {
        sleep_s(0.0005);
        waitid(P_PID, (id_t)child, &info, WEXITED | WNOHANG | WNOWAIT);
    }
}

/* Starts the program and kills it `delay_s` after its start or, with `path`, after it has made that file;
   true if it was still running. */
static bool run_and_kill(const char *arguments, const char *path, double delay_s) {
    pid_t child = start_program(arguments);
    if (path != NULL) wait_for_file(child, path);
    sleep_s(delay_s);
    int status = 0;
    bool running = waitpid(child, &status, WNOHANG) == 0;
    if (running) {
        kill(child, SIGKILL);
        waitpid(child, &status, 0);
    }
    return running;
}

/* Plays the night `path` to its end; time from the start to the file, and from the file to the end. */
static void measure(const char *arguments, const char *path, double *before_s, double *after_s) {
    double start_s = now_s();
    pid_t child = start_program(arguments);
    wait_for_file(child, path);
    double made_s = now_s();
    int status = 0;
    waitpid(child, &status, 0);
    ck_assert_int_eq(status, 0);
    *before_s = made_s - start_s;
    *after_s = now_s() - made_s;
}

static int kills_wanted(void) {
    const char *text = getenv("EVENKEEL_KILLS");
    long wanted = text != NULL ? strtol(text, NULL, 10) : KILLS;
    return wanted > 0 && wanted <= KILLS_MOST ? (int)wanted : KILLS;
}

START_TEST(journal_killed_night_goes_on_identically) {
    char arguments[1024], expected[FINGERPRINT_MAX], found[FINGERPRINT_MAX], path[128];
    double before_s = 0.0, after_s = 0.0;
    snprintf(path, sizeof path, "%s/whole.night", folder);
    snprintf(arguments, sizeof arguments, "run %s %s --save %s", CASE_PATH, NIGHT, path);
    measure(arguments, path, &before_s, &after_s);
    snprintf(arguments, sizeof arguments, "run %s %s", CASE_PATH, NIGHT);
    program_run(&program, folder, arguments);
    ck_assert_msg(program.status == 0, "%s", program.err);
    read_fingerprint(expected);

    Random random = model_random_seed(SEED);
    int resumed = 0, killed = 0, killed_twice = 0, early = 0, kills = kills_wanted();
    for (int i = 0; i < kills; i++) {
        bool at_start = i % AT_START == 0; /* also while there is no night yet */
        double delay_s = (at_start ? before_s : after_s) * model_random_uniform(&random);
        snprintf(path, sizeof path, "%s/killed%d.night", folder, i);
        snprintf(arguments, sizeof arguments, "run %s %s --save %s", CASE_PATH, NIGHT, path);
        bool hit = run_and_kill(arguments, at_start ? NULL : path, delay_s);
        killed += hit;
        if (!hit && !at_start) after_s *= 0.8; /* the machine has become faster */
        snprintf(arguments, sizeof arguments, "resume %s", path);
        if (i % 3 == 0)
            killed_twice += run_and_kill(arguments, NULL, 0.5 * after_s * model_random_uniform(&random));
        program_run(&program, folder, arguments);
        if (program.status == 1) {
            /* killed before there was a night: said in one line */
            ck_assert_int_eq(program_lines(program.err), 1);
            early++;
            continue;
        }
        ck_assert_msg(program.status == 0, "killed after %.3f s: %s", delay_s, program.err);
        read_fingerprint(found);
        ck_assert_msg(strcmp(found, expected) == 0, "killed after %.3f s: %s, not %s", delay_s, found,
                      expected);
        resumed++;
        snprintf(arguments, sizeof arguments, "replay %s", path);
        program_run(&program, folder, arguments);
        ck_assert_msg(program.status == 0, "%s", program.err);
        unlink(path);
    }
    printf("seed %" PRIu64
           ": %d of %d nights killed, %d also while resumed; %d gone on with and identical, %d killed "
           "before there was a night\n",
           SEED, killed, kills, killed_twice, resumed, early);
    ck_assert_int_ge(killed, kills / 4);
    ck_assert_int_ge(resumed, kills / 2);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("replay/journal_kill");
    TCase *c = tcase_create("journal_kill");
    tcase_set_timeout(c, 3600);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, journal_killed_night_goes_on_identically);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
