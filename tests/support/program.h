/* Runs the program as a person would and keeps what it said. */
#ifndef TESTS_SUPPORT_PROGRAM_H
#define TESTS_SUPPORT_PROGRAM_H

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { PROGRAM_TEXT_MAX = 1 << 20 };

typedef struct Program {
    int status;                 /* exit status; -1 if it was killed */
    char out[PROGRAM_TEXT_MAX]; /* standard output, cut to fit */
    char err[PROGRAM_TEXT_MAX];
} Program;

static inline void program_read(const char *path, char *text) {
    FILE *file = fopen(path, "r");
    size_t length = file != NULL ? fread(text, 1, PROGRAM_TEXT_MAX - 1, file) : 0;
    text[length] = '\0';
    if (file != NULL) fclose(file);
    unlink(path);
}

/* Runs EVENKEEL_PROGRAM with `arguments` (a shell's) in the source folder; `folder` takes the output
 * meanwhile. */
static inline void program_run(Program *program, const char *folder, const char *arguments) {
    char command[4096], out[256], err[256];
    snprintf(out, sizeof out, "%s/.out", folder);
    snprintf(err, sizeof err, "%s/.err", folder);
    snprintf(command, sizeof command, "cd '%s' && '%s' %s >'%s' 2>'%s' </dev/null", EVENKEEL_SOURCE_DIR,
             EVENKEEL_PROGRAM, arguments, out, err);
    int status = system(command);
    program->status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    program_read(out, program->out);
    program_read(err, program->err);
}

static inline int program_lines(const char *text) {
    int lines = 0;
    for (const char *c = text; *c != '\0'; c++)
        lines += *c == '\n';
    return lines;
}

#endif
