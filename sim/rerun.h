/* Plays a case with given acts in memory and keeps its course: what a night was, or would have been. */
#ifndef SIM_RERUN_H
#define SIM_RERUN_H

#include "sim/recall.h"
#include "sim/session.h"

/* Something that was said or is to be said, at its time. */
typedef struct RerunAct {
    double time_s;
    LogKind kind;
    char words[ACT_TEXT_MAX];
} RerunAct;

/* In order of time. Free with sim_rerun_acts_free. */
typedef struct RerunActs {
    int count, room;
    RerunAct *act;
} RerunActs;

/* What is measured of a course (outcomes.def). */
typedef enum RerunOutcome {
#define OUTCOME(key, label, unit, decimals, how, observable, limit) OUTCOME_##key,
#include "sim/outcomes.def"
#undef OUTCOME
    OUTCOME_COUNT
} RerunOutcome;

typedef struct RerunOutcomeRow {
    const char *key, *label, *unit;
    int decimals;
    bool more_is_worse;
} RerunOutcomeRow;

#define RERUN_STEP_S 60.0 /* between the points of a course */

/* A course as a recorded night has it: an observation every 10 s, so that a rerun and a record compare like
   with like. */
typedef struct RerunCourse {
    int64_t observed, room;
    RecallPoint *point; /* [observed], every RECORDS_HISTORY_STEP_S */
    int points;
    Observables *mean; /* [points]: means of the observations of RERUN_STEP_S; time_s is the last one's */
    double outcome[OUTCOME_COUNT];
    double reached_s;
    bool ended;
    CaseOutcome end;
    char end_text[CASE_TEXT_MAX];
    int refused; /* acts that this course did not allow */
    char refusal[ERROR_WHAT_MAX];
    double from_s; /* played from here on; before it is the record */
} RerunCourse;

/* Called now and then with the share done; returns true to give up. */
typedef bool (*RerunWatch)(void *context, double done);

const RerunOutcomeRow *sim_rerun_outcome_row(RerunOutcome id);

/* Adds an act behind those of the same time; false when memory is short. */
bool sim_rerun_acts_add(RerunActs *acts, double time_s, LogKind kind, const char *words);
void sim_rerun_acts_free(RerunActs *acts);

/* Plays `case_file` with `acts` until until_s or its end. What a course does not allow (an order that is no
   longer possible) is left out and counted. ERROR_NOT_ALLOWED when `watch` gave up. Free the course with
   sim_rerun_course_free, also after a failure. */
MODEL_CHECKED ErrorCode sim_rerun_play(const Case *case_file, const SessionOptions *options,
                                       const RerunActs *acts, double until_s, RerunWatch watch, void *context,
                                       RerunCourse *course, Error *error);
void sim_rerun_course_free(RerunCourse *course);

/* The course that was recorded, as far as until_s: nothing is played. */
MODEL_CHECKED ErrorCode sim_rerun_recorded(const Recall *recall, double until_s, RerunCourse *course,
                                           Error *error);

/* Goes on from a state of the recorded night with the acts from number `first` of the list on; what was
   before it is taken from the record. Otherwise like sim_rerun_play. */
MODEL_CHECKED ErrorCode sim_rerun_branch(const Recall *recall, const SessionState *state,
                                         const RerunActs *acts, int first, double until_s, RerunWatch watch,
                                         void *context, RerunCourse *course, Error *error);

#endif
