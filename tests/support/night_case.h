/* A short invented case for tests of the window: everything may be ordered, a message comes, one target is
 * set. */
#ifndef TESTS_SUPPORT_NIGHT_CASE_H
#define TESTS_SUPPORT_NIGHT_CASE_H

#include "sim/case.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char NIGHT_CASE[] = "evenkeel_case: 1\n"
                                 "id: window-test\n"
                                 "title: A night for tests\n"
                                 "level: 1\n"
                                 "theme: tests\n"
                                 "length: 10min\n"
                                 "seed: 5\n"
                                 "summary: Used by tests of the window.\n"
                                 "handover:\n"
                                 "  who: Nobody.\n"
                                 "  done: Nothing.\n"
                                 "  attached: Lines and drips.\n"
                                 "  objectives:\n"
                                 "    - MAP 65-85\n"
                                 "patient:\n"
                                 "  base: supported_axial\n"
                                 "  set:\n"
                                 "    ventilated: 1\n"
                                 "    peep_cmh2o: 5\n"
                                 "    driving_cmh2o: 11\n"
                                 "running:\n"
                                 "  - norepinephrine 0.05mcg/kg/min\n"
                                 "targets:\n"
                                 "  art_mean_mmhg: [150, 160]\n"
                                 "timeline:\n"
                                 "  - at: 2min\n"
                                 "    id: word\n"
                                 "    do:\n"
                                 "      - message: {from: nurse, text: The hands are cool.}\n"
                                 "endings:\n"
                                 "  - id: morning\n"
                                 "    at_length: yes\n"
                                 "    outcome: mixed\n"
                                 "    text: The night is over.\n"
                                 "guided: no\n";

/* The case; the caller frees it. */
static inline Case *night_case(void) {
    ErrorList *errors = calloc(1, sizeof *errors);
    ck_assert_ptr_nonnull(errors);
    Case *file = sim_case_parse(NIGHT_CASE, strlen(NIGHT_CASE), "window-test.yaml", errors);
    ck_assert_msg(file != NULL, "%s line %d; %s", errors->items[0].what, errors->items[0].line,
                  errors->items[0].allowed);
    free(errors);
    return file;
}

/* The same read from a file in `folder`, so that a journal can keep its text; the caller frees it. */
static inline Case *night_case_in(const char *folder) {
    char path[512];
    snprintf(path, sizeof path, "%.400s/window-test.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_int_ge(fputs(NIGHT_CASE, out), 0);
    ck_assert_int_eq(fclose(out), 0);
    ErrorList *errors = calloc(1, sizeof *errors);
    ck_assert_ptr_nonnull(errors);
    Case *file = sim_case_load(path, errors);
    ck_assert_msg(file != NULL, "%s", errors->items[0].what);
    free(errors);
    return file;
}

#endif
