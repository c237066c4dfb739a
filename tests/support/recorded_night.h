/* A recorded night whose course is known, for tests of what is read back from nights: the right ventricle
   weakens from 6 min on; one wrong call, one look, one right call, one treatment. */
#ifndef TESTS_SUPPORT_RECORDED_NIGHT_H
#define TESTS_SUPPORT_RECORDED_NIGHT_H

#include "sim/journal.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char RECORDED_NIGHT[] =
    "evenkeel_case: 1\nid: recorded-night\ntitle: A <night> & a half\ntheme: tests\nlevel: 2\n"
    "length: 15min\nseed: 8\nsummary: Used by tests.\nguided: yes\n"
    "handover:\n  who: Nobody.\n  done: Nothing.\n  attached: Lines.\n  objectives: [MAP.]\n"
    "patient:\n  base: supported_axial\n  settle: 60s\n  set: {ventilated: 1}\n"
    "targets:\n  art_mean_mmhg: [20, 150]\n  cvp_mmhg: [40, 50]\n"
    "truth: {diagnosis: well}\n"
    "timeline:\n  - id: weakens\n    at: 6min\n    do:\n"
    "      - ramp: {parameter: rv_ees_mmhg_ml, to: 0.06, over: 2min}\n"
    "      - truth: {diagnosis: right_failure, also: [right_failure_high_resistance]}\n"
    "objectives:\n  - id: named\n    text: It is named.\n    when: call_right > 0.5\n    by: 14min\n"
    "  - id: never\n    text: The moon is reached.\n    when: art_mean_mmhg > 290\n    by: 14min\n"
    "teaching:\n  - text: Look at the right ventricle.\n    source: common practice\n"
    "endings:\n  - id: morning\n    at_length: yes\n    outcome: good\n    text: It is morning.\n";

/* Records the night as `folder`/`name` by `trainee`, played to `until_s` (900: its end). */
static inline void recorded_night_make(const char *folder, const char *name, const char *trainee,
                                       double until_s) {
    static const struct {
        double time_s;
        const char *words;
    } SAID[] = {{120, "predict peep 7 : skip"},
                {480, "call tamponade confidence 90"},
                {540, "look four_chamber"},
                {600, "call right_failure_high_resistance confidence 60"},
                {660, "predict milrinone 0.25 : skip"}};
    char path[256];
    Error error;
    ErrorList *errors = calloc(1, sizeof *errors);
    ck_assert_ptr_nonnull(errors);
    snprintf(path, sizeof path, "%s/recorded-night.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    fputs(RECORDED_NIGHT, out);
    fclose(out);
    Case *night = sim_case_load(path, errors);
    ck_assert_msg(night != NULL, "%s: %s", errors->items[0].what, errors->items[0].allowed);
    free(errors);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    JournalSetup setup = {.maker = "run", .trainee = trainee, .until_s = 900, .plan = ""};
    snprintf(path, sizeof path, "%s/%s", folder, name);
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    size_t next = 0;
    while (!sim_session_ended(session) && sim_session_time_s(session) < until_s) {
        for (; next < sizeof SAID / sizeof SAID[0] && SAID[next].time_s <= sim_session_time_s(session);
             next++)
            ck_assert_msg(sim_session_say(session, SAID[next].words, &error) == ERROR_OK, "%s: %s",
                          SAID[next].words, error.what);
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_journal_close(journal, session, sim_session_ended(session), &error), ERROR_OK);
    sim_session_close(session);
    sim_case_free(night);
}

#endif
