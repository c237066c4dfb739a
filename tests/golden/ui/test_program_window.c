/* The program's window from outside: what it says where there is no display or no font, and that ending it
   from outside closes the night properly. SDL's dummy driver stands in for the screen. */
#include "tests/support/check_main.h"
#include "tests/support/night_case.h"
#include "sim/journal.h"

#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* With a leak checker built in: what the desktop's message bus keeps for itself is not ours. */
#define KNOWN_LEAKS                                                                                          \
    "LSAN_OPTIONS=print_suppressions=0:suppressions=" EVENKEEL_SOURCE_DIR "/tests/golden/ui/leaks.supp"

static char folder[] = "/tmp/evenkeel-window-XXXXXX";
static char case_path[512];

static void start(void) {
    ck_assert_ptr_nonnull(mkdtemp(folder));
    sim_case_free(night_case_in(folder));
    snprintf(case_path, sizeof case_path, "%s/window-test.yaml", folder);
    setenv("XDG_DATA_HOME", folder, 1);
}

/* Runs a command of the shell; fills out[size] with what it wrote and returns its exit status. */
static int run(const char *command, char *out, size_t size) {
    FILE *pipe = popen(command, "r");
    ck_assert_ptr_nonnull(pipe);
    size_t got = fread(out, 1, size - 1, pipe);
    out[got] = '\0';
    int status = pclose(pipe);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static int lines(const char *text) {
    int count = 0;
    for (; *text != '\0'; text++)
        count += *text == '\n';
    return count;
}

START_TEST(no_display_is_told_in_one_line) {
    char command[1024], out[2048];
    snprintf(command, sizeof command,
             "env -u DISPLAY -u WAYLAND_DISPLAY -u SDL_VIDEODRIVER timeout 20 '%s' '%s' 2>&1",
             EVENKEEL_PROGRAM, case_path);
    ck_assert_int_eq(run(command, out, sizeof out), 1);
    ck_assert_int_eq(lines(out), 1);
    ck_assert_ptr_nonnull(strstr(out, "evenkeel: no display"));
    ck_assert_ptr_nonnull(strstr(out, "evenkeel run CASE"));
}
END_TEST

START_TEST(display_that_does_not_answer_is_told_in_one_line) {
    char command[1024], out[2048];
    snprintf(command, sizeof command,
             "env "
             "-u WAYLAND_DISPLAY -u SDL_VIDEODRIVER " KNOWN_LEAKS " DISPLAY=:4711 timeout 20 '%s' '%s' 2>&1",
             EVENKEEL_PROGRAM, case_path);
    ck_assert_int_eq(run(command, out, sizeof out), 1);
    ck_assert_int_eq(lines(out), 1);
    ck_assert_ptr_nonnull(strstr(out, "no display"));
}
END_TEST

START_TEST(no_font_is_told_in_one_line) {
    char command[2048], out[2048];
    snprintf(
        command, sizeof command,
        "cd '%s' && echo '<?xml "
        "version=\"1.0\"?><fontconfig><dir>%s</dir><cachedir>%s</cachedir></fontconfig>' "
        "> fonts.conf && env SDL_VIDEODRIVER=dummy FONTCONFIG_FILE='%s/fonts.conf' timeout 20 '%s' '%s' 2>&1",
        folder, folder, folder, folder, EVENKEEL_PROGRAM, case_path);
    ck_assert_int_eq(run(command, out, sizeof out), 1);
    ck_assert_int_eq(lines(out), 1);
    ck_assert_ptr_nonnull(strstr(out, "no font"));
    ck_assert_ptr_nonnull(strstr(out, "fonts-b612"));
}
END_TEST

/* The one night in the folder of nights. */
static void find_night(char *path, size_t size) {
    char nights[512];
    Error error;
    ck_assert_int_eq(sim_journal_folder(nights, sizeof nights, &error), ERROR_OK);
    DIR *dir = opendir(nights);
    ck_assert_ptr_nonnull(dir);
    path[0] = '\0';
    for (const struct dirent *e = readdir(dir); e != NULL; e = readdir(dir)) {
        if (strstr(e->d_name, ".night") != NULL && strstr(e->d_name, ".night-") == NULL)
            snprintf(path, size, "%.400s/%.100s", nights, e->d_name);
    }
    closedir(dir);
    ck_assert_str_ne(path, "");
}

START_TEST(program_ended_from_outside_closes_its_night) {
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        setenv("SDL_VIDEODRIVER", "dummy", 1);
        execl(EVENKEEL_PROGRAM, EVENKEEL_PROGRAM, case_path, (char *)NULL);
        _exit(127);
    }
    nanosleep(&(struct timespec){.tv_sec = 2}, NULL);
    ck_assert_int_eq(kill(child, SIGTERM), 0);
    int status = 0;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 0);
    char path[640];
    JournalNight night;
    Error error;
    find_night(path, sizeof path);
    ck_assert_msg(sim_journal_read(path, &night, &error) == ERROR_OK, "%s", error.what);
    ck_assert_str_eq(night.case_id, "window-test");
    ck_assert_str_eq(night.maker, "window");
    ck_assert(!night.ended);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("window of the program");
    TCase *c = tcase_create("outside");
    tcase_set_timeout(c, 60);
    tcase_add_unchecked_fixture(c, start, NULL);
    tcase_add_test(c, no_display_is_told_in_one_line);
    tcase_add_test(c, display_that_does_not_answer_is_told_in_one_line);
    tcase_add_test(c, no_font_is_told_in_one_line);
    tcase_add_test(c, program_ended_from_outside_closes_its_night);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
