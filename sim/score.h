/* The rubric of a case, measured while the night plays. What is measured is in a flat ScoreState within the
   session's state, so that resume, replay, what-if, rehearsal, debrief and logbook all find the same.

   A score is a list of lines, in the order of the case's rows:

     ScoreLine lines[SCORE_LINES_MAX];
     int count = sim_score_lines(session, lines);
     for (i < count) lines[i].got, .most, .what, .why
     ScoreTotal total = sim_score_total(lines, count);    total.got of total.most, total.percent

   Rows about endings make one line together. Points off (CASE_SCORE_MINUS) have a negative `got` and `most`
   0. Points are rounded to tenths; sim_score_format writes them. While the night runs, a line is what would
   count if it ended now.

   How points are found:
     objective     all when it was met
     ending        those of the row of the outcome; mixed gives half of good's unless it has a row of its own
     inside        share of the time in target, evenly from `none` (no points) to `full` (all); time when the
                   quantity was not on show does not count, time after a death counts as outside
     call          from the onset of what is wrong to its first right call, evenly from `full` to `none`; when
                   several things went wrong one after the other, the mean; when nothing did, all points
   unless a problem was called predictions   Brier score of all parts that were seen, evenly from
   SCORE_BRIER_NONE to SCORE_BRIER_FULL minus         `minus` off once, or for every full `each` that the
   condition has held, at most `points` A case without a rubric gets the standard one: 10 points for each
   objective and 20 for a good ending. */
#ifndef SIM_SCORE_H
#define SIM_SCORE_H

#include "sim/case.h"
#include "sim/condition.h"
#include "sim/predictions.h"
#include "sim/script.h"

#define SCORE_OBJECTIVE_POINTS 10.0 /* of the standard rubric */
#define SCORE_ENDING_POINTS    20.0
#define SCORE_BRIER_NONE       0.25 /* what saying 50 % of everything gives (Brier, Mon Weather Rev 1950) */
#define SCORE_BRIER_FULL       0.10 /* nine of ten right, and sure of it; design */

enum {
    SCORE_LINES_MAX = CASE_SCORE_MAX,
    SCORE_TROUBLES_MAX = 8, /* things that go wrong one after the other; further ones are not counted */
    SCORE_KEY_MAX = CASE_ID_MAX + 16,
    SCORE_WHY_MAX = 240,
    SCORE_POINTS_TEXT_MAX = 16
};

/* Something that was wrong for a time. Times are case times in s; negative: not yet. */
typedef struct ScoreTrouble {
    DiagnosisId diagnosis;
    double from_s;
    double right_s; /* first call of it */
    double kind_s;  /* first call of its kind */
} ScoreTrouble;

/* Flat: copied by assignment. Rows are those of Case.score. */
typedef struct ScoreState {
    double known_s[CASE_SCORE_MAX]; /* inside: time the quantity was on show */
    double held_s[CASE_SCORE_MAX];  /* inside: time in target; minus: time the condition held */
    int times[CASE_SCORE_MAX];      /* minus: how often it began */
    bool holds[CASE_SCORE_MAX];     /* minus: it holds now */
    int trouble_count;
    ScoreTrouble trouble[SCORE_TROUBLES_MAX];
    int present;           /* index of the trouble that goes on; -1: none, or not counted */
    DiagnosisId diagnosis; /* what is wrong now */
    bool called;           /* since something is wrong; what was called last: */
    DiagnosisId last;
    ProblemKind last_kind;
    int false_calls; /* problems called while nothing was wrong */
    int parts, hits; /* of predictions that were seen */
    double brier_sum;
} ScoreState;

typedef struct ScoreLine {
    CaseScoreKind kind;
    char key[SCORE_KEY_MAX]; /* which row: "objective:named", "ending", "inside:cvp_mmhg", "minus:5" */
    double got, most;
    char what[CASE_TEXT_MAX]; /* what is asked */
    char why[SCORE_WHY_MAX];  /* what was found */
} ScoreLine;

typedef struct ScoreTotal {
    double got, most; /* got is never below 0 */
    double percent;   /* 0 to 100; 0 when there is nothing to get */
} ScoreTotal;

/* All that lines are made from; every pointer must be set. */
typedef struct ScoreView {
    const ScoreState *score;
    const double *objective_met_s; /* [objective_count], negative: not met */
    CaseOutcome outcome;
    bool ended;
    double time_s; /* case time reached */
} ScoreView;

/* Nothing measured yet. */
void sim_score_start(ScoreState *state);

/* Fills in the standard rubric of a case that has none. */
void sim_score_standard(Case *case_file);

/* Measures dt_s (s) more, up to case time time_s; `truth` is what is wrong then. */
void sim_score_advance(ScoreState *state, const Case *case_file, const ConditionInputs *inputs,
                       const CaseTruth *truth, double dt_s, double time_s);

/* Takes in a call made at case time time_s while `truth` held, and a prediction whose time has come. */
void sim_score_call(ScoreState *state, const CaseTruth *truth, DiagnosisId diagnosis, ProblemKind kind,
                    double time_s);
void sim_score_prediction(ScoreState *state, const Prediction *prediction);

/* Writes the lines of a score; returns their number. */
int sim_score_tell(const Case *case_file, const ScoreView *view, ScoreLine lines[SCORE_LINES_MAX]);

/* The lines of a session as it stands. */
struct Session;
int sim_score_lines(const struct Session *session, ScoreLine lines[SCORE_LINES_MAX]);

ScoreTotal sim_score_total(const ScoreLine lines[], int count);

/* Writes points without needless decimals: "12", "7.5", "-2". */
const char *sim_score_format(double points, char text[SCORE_POINTS_TEXT_MAX]);

/* True if the state holds what a session can have measured. */
bool sim_score_state_sound(const ScoreState *state);

#endif
