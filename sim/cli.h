/* The command line: one entry for the program with and without a window. */
#ifndef SIM_CLI_H
#define SIM_CLI_H

#include "model/error.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

struct DebriefHeart; /* sim/debrief.h */

/* What the command line asks of the window. Strings live until the hook returns; NULL where not given. */
typedef struct WindowRequest {
    const char *case_path;   /* case file to open; NULL: begin with the list of cases */
    const char *resume_path; /* recorded night to go on with; then case_path is NULL */
    const char *debrief_path; /* recorded night to look back on; then the others are NULL */
    const char *save_path;   /* journal to write; NULL: a new file in sim_journal_folder */
    bool seed_given;         /* false: the case's own seed */
    uint64_t seed;
    int width_px, height_px; /* window size; 0: the window's own choice */
    bool full_screen;
    bool instructor;        /* open the instructor's window as well */
    int instructor_display; /* display it opens on, 1 is the first; 0: another than the trainee's, if there is one */
    double rate_x; /* time rate to begin with, 1 to 240; 0: the window's own choice */
    const char *text_log; /* file or pipe that is told in words what happens on the screen; NULL: none */
    bool apart;           /* nothing of the user's is read or written: no record, the settings of a first start */
} WindowRequest;

/* A screen in words: the case list, or a night at a moment, after some keys. */
typedef struct DescribeRequest {
    WindowRequest window;
    double at_s;          /* time of the night; 0: its beginning */
    const char *keys;     /* names of keys; NULL: none */
    const char *script, *script_name; /* text of a key script and its name for errors; NULL: none */
    const char *pictures; /* folder; NULL: none */
    const char *theme;    /* name; NULL: dark */
    bool instructor;      /* the instructor's screen instead of the trainee's */
    int interface_percent;
} DescribeRequest;

/* Opens the window, runs it until it is closed and returns ERROR_OK; on failure fills `error` (what, where,
   allowed) and returns its code. Prints nothing to stderr itself: the command line prints the error. */
typedef struct WindowHook {
    ErrorCode (*open)(const WindowRequest *request, Error *error);
    /* Draws without a display and writes what the screen says to `out`. */
    ErrorCode (*describe)(const DescribeRequest *request, FILE *out, Error *error);
    /* Measures the screens and prints a table; `hours` of a night for the memory. */
    ErrorCode (*bench)(double hours, Error *error);
    /* Draws the heart of a moment of a recorded night as an inline picture of a page. */
    void (*heart)(const struct DebriefHeart *heart, FILE *out);
} WindowHook;

/* Runs the program. `window` is NULL in a build without a window. Returns the exit status:
   0 ok, 1 bad input, 2 wrong use, 3 internal failure. Errors are one line on stderr, "evenkeel: ...". */
int sim_cli_main(int argc, char **argv, const WindowHook *window);

#endif
