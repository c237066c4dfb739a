/* A command typed in a folder of its own: shared by the tests that use the program from outside. */
#ifndef TESTS_SUPPORT_COMMAND_H
#define TESTS_SUPPORT_COMMAND_H

#include "tests/support/program.h"

static char folder[64];
static Program program;

static inline void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_command_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static inline void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

/* Runs with every $F in `arguments` replaced by the test's folder. */
static inline void run(const char *arguments) {
    char text[2048];
    size_t used = 0;
    for (const char *c = arguments; *c != '\0' && used + 80 < sizeof text; c++) {
        if (c[0] == '$' && c[1] == 'F') {
            used += (size_t)snprintf(text + used, sizeof text - used, "%s", folder);
            c++;
        } else {
            text[used++] = *c;
        }
    }
    text[used] = '\0';
    program_run(&program, folder, text);
}

static inline const char *path_in_folder(const char *name) {
    static char path[128];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static inline void write_file(const char *name, const char *text) {
    FILE *file = fopen(path_in_folder(name), "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

/* Must end with `status` and say one line that names `where` and `allowed`. */
static inline void expect_refused(const char *arguments, int status, const char *where, const char *allowed) {
    run(arguments);
    ck_assert_msg(program.status == status, "'%s' ended with %d, not %d: %.900s", arguments, program.status,
                  status, program.err);
    ck_assert_msg(program_lines(program.err) == 1, "'%s' said %d lines:\n%.900s", arguments,
                  program_lines(program.err), program.err);
    ck_assert_msg(strncmp(program.err, "evenkeel: ", 10) == 0, "'%s' said: %.900s", arguments, program.err);
    ck_assert_msg(strstr(program.err, where) != NULL, "'%s' does not say where (%s): %.900s", arguments,
                  where, program.err);
    ck_assert_msg(strstr(program.err, allowed) != NULL, "'%s' does not say what is allowed (%s): %.900s",
                  arguments, allowed, program.err);
    ck_assert_str_eq(program.out, "");
}

#endif
