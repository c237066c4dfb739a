/* A case: the patient, the bed around them, what will go wrong, and what is to be learnt. Read from a YAML
   file whose keys are those of one table (case_schema.c). Flat structs with fixed maxima; nothing in it can
   loop, run a program or read another file. */
#ifndef SIM_CASE_H
#define SIM_CASE_H

#include "model/error.h"
#include "model/parameters.h"
#include "sim/acts.h"
#include "sim/alarms.h"
#include "sim/condition.h"
#include "sim/diagnoses.h"
#include "sim/errorlist.h"
#include "sim/instruments.h"
#include "sim/look.h"
#include "sim/orders.h"
#include "sim/predictions.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    CASE_FORMAT = 1, /* value of `evenkeel_case` that this build reads */
    CASE_ID_MAX = 48,
    CASE_LINE_MAX = 120,
    CASE_TEXT_MAX = 600,
    CASE_PATH_MAX = 512,
    CASE_LIST_MAX = 8,     /* entries of objectives and cautions in the handover */
    CASE_SETS_MAX = 64,    /* parameters changed from the base */
    CASE_RUNNING_MAX = 16, /* orders running at the start */
    CASE_EVENTS_MAX = 48,
    CASE_ACTIONS_MAX = 128, /* of all events together */
    CASE_OBJECTIVES_MAX = 12,
    CASE_TEACHING_MAX = 12,
    CASE_ENDINGS_MAX = 12,
    CASE_PROMPTS_MAX = 12,
    CASE_ALSO_MAX = 4, /* diagnoses that pass for the true one */
    CASE_PLANS_MAX = 12,
    CASE_STEPS_MAX = 160, /* of all plans together */
    CASE_SCORE_MAX = 24,
    CASE_QUESTIONS_MAX = 8,
    CASE_SOURCE_MAX = 4096 /* text of a case that has no file */
};

typedef struct CaseHandover {
    char who[CASE_TEXT_MAX];      /* person and history */
    char done[CASE_TEXT_MAX];     /* operation */
    char attached[CASE_TEXT_MAX]; /* lines, devices, drips */
    int objective_count;
    char objectives[CASE_LIST_MAX][CASE_TEXT_MAX]; /* aims for the night */
    int caution_count;
    char cautions[CASE_LIST_MAX][CASE_TEXT_MAX];
} CaseHandover;

typedef struct CaseSet {
    ParameterId id;
    double value;
} CaseSet;

/* Target band of a displayed quantity. */
typedef struct CaseTarget {
    bool given;
    double low, high;
} CaseTarget;

typedef enum CaseTriggerKind {
    CASE_TRIGGER_AT,     /* at at_s */
    CASE_TRIGGER_WITHIN, /* at a time between at_s and until_s, drawn with the session's seed */
    CASE_TRIGGER_WHEN,   /* once the condition has held for hold_s */
    CASE_TRIGGER_AFTER,  /* plus_s after another event went its `do` way */
    CASE_TRIGGER_INSTEAD /* plus_s after another event went the other way */
} CaseTriggerKind;

typedef struct CaseEvent {
    char id[CASE_ID_MAX];
    CaseTriggerKind trigger;
    double at_s, until_s;
    Condition when;
    double hold_s;
    char after_id[CASE_ID_MAX];   /* after */
    char instead_id[CASE_ID_MAX]; /* instead_of */
    int after;                    /* index of the other event, of either */
    double plus_s;
    Condition only_if; /* looked at when its time comes; count 0: always */
    bool chance_given;
    double chance;                  /* share of nights in which it goes its `do` way; drawn with the seed */
    int first_action, action_count; /* in Case.actions: what it does */
    int first_other, other_count;   /* what it does otherwise */
    int line;                       /* in the file */
} CaseEvent;

/* What is really wrong, and what passes for it when it is called. */
typedef struct CaseTruth {
    DiagnosisId diagnosis;
    int also_count;
    DiagnosisId also[CASE_ALSO_MAX];
} CaseTruth;

typedef enum CaseActionKind {
    CASE_ACTION_RAMP,
    CASE_ACTION_SET,
    CASE_ACTION_MESSAGE,
    CASE_ACTION_TRUTH,
    CASE_ACTION_END
} CaseActionKind;

typedef enum CaseOutcome {
    CASE_OUTCOME_NONE,
    CASE_OUTCOME_GOOD,  /* the night went well */
    CASE_OUTCOME_MIXED, /* alive, with a price */
    CASE_OUTCOME_HARM,  /* lasting harm */
    CASE_OUTCOME_DEATH,
    CASE_OUTCOME_COUNT
} CaseOutcome;

typedef struct CaseAction {
    CaseActionKind kind;
    ParameterId parameter;    /* ramp, set */
    double value;             /* ramp: where to; set: what */
    double over_s;            /* ramp */
    CaseOutcome outcome;      /* end */
    CaseTruth truth;          /* truth: what is wrong from now on */
    char from[CASE_ID_MAX];   /* message: who speaks */
    char text[CASE_TEXT_MAX]; /* message, end */
} CaseAction;

/* Something that can be measured: the condition held for hold_s, before by_s. */
typedef struct CaseObjective {
    char id[CASE_ID_MAX];
    char text[CASE_TEXT_MAX];
    Condition when;
    double hold_s;
    double by_s; /* deadline; the case's length if not given */
} CaseObjective;

typedef struct CaseTeaching {
    char text[CASE_TEXT_MAX];
    char source[CASE_LINE_MAX * 2];
} CaseTeaching;

typedef struct CaseEnding {
    char id[CASE_ID_MAX];
    Condition when; /* count 0: always */
    double hold_s;
    bool at_length; /* looked at only when the case's length is over; the first that holds is taken */
    CaseOutcome outcome;
    char text[CASE_TEXT_MAX];
} CaseEnding;

/* Somebody speaks up when nothing has been done for a time. */
typedef struct CasePrompt {
    char id[CASE_ID_MAX];
    Condition when; /* count 0: always */
    double idle_s;  /* since the last order, look or call, and since it was last said */
    int at_most;    /* times in the night */
    char from[CASE_ID_MAX];
    char text[CASE_TEXT_MAX];
} CasePrompt;

/* How an example plan is meant: the score has to rank them so. */
typedef enum CaseRank { CASE_RANK_GOOD, CASE_RANK_LATE, CASE_RANK_WRONG, CASE_RANK_COUNT } CaseRank;

/* One line of a plan: what is said, and when. */
typedef struct CaseStep {
    double time_s;
    int line, column;        /* in the file, of the step */
    char text[ACT_TEXT_MAX]; /* an act in words, without the time */
} CaseStep;

/* A worked example. */
typedef struct CasePlan {
    char id[CASE_ID_MAX];
    CaseRank rank;
    char text[CASE_TEXT_MAX];
    int first_step, step_count; /* in Case.steps, in the file's order */
} CasePlan;

typedef enum CaseScoreKind {
    CASE_SCORE_OBJECTIVE,   /* met: all points */
    CASE_SCORE_ENDING,      /* the night ended with this outcome */
    CASE_SCORE_INSIDE,      /* share of the time a displayed quantity was in its target */
    CASE_SCORE_CALL,        /* how soon what was wrong was called */
    CASE_SCORE_PREDICTIONS, /* Brier score of the predictions */
    CASE_SCORE_MINUS,       /* points off while a condition holds */
    CASE_SCORE_KIND_COUNT
} CaseScoreKind;

typedef enum CaseCall { CASE_CALL_RIGHT, CASE_CALL_KIND } CaseCall; /* the diagnosis, or its kind at least */

/* One row of the rubric. */
typedef struct CaseScore {
    CaseScoreKind kind;
    double points;                  /* at most; minus: at most off */
    char objective_id[CASE_ID_MAX]; /* objective */
    int objective;                  /* its index */
    CaseOutcome outcome;            /* ending */
    DisplayId inside;               /* inside */
    CaseCall call;                  /* call */
    bool predictions;
    double full, none; /* inside: share of the time; call: s from the onset; for all and for no points */
    double minus;      /* minus: points off each time */
    Condition when;    /* minus */
    double each_s;     /* minus: one more for each so long; 0: once */
    char text[CASE_TEXT_MAX]; /* in words; empty: said by itself */
} CaseScore;

typedef struct CasePatient {
    char base[CASE_ID_MAX]; /* name in model/people.h */
    double settle_s;        /* run before the case begins, without slow changes */
    int set_count;
    CaseSet sets[CASE_SETS_MAX];
    Parameters parameters; /* base, sets and running orders: the patient at the start */
} CasePatient;

typedef struct Case {
    int format; /* CASE_FORMAT */
    char path[CASE_PATH_MAX];
    uint64_t file_hash;           /* of the file's bytes */
    char source[CASE_SOURCE_MAX]; /* its text, when it has no file (free practice); else empty */
    char id[CASE_ID_MAX];
    char title[CASE_LINE_MAX];
    char theme[CASE_LINE_MAX];
    char summary[CASE_TEXT_MAX];
    int level; /* 1..3 */
    double length_s;
    uint64_t seed;
    bool practice; /* causes may be changed while it runs */
    bool guided;   /* the trainee is asked to predict before orders */
    LookPolicy look;
    PredictionRules predict; /* the case's own questions */
    bool truth_given;        /* the case says what is wrong */
    CaseTruth truth;         /* at the start */
    CaseHandover handover;
    CasePatient patient;
    int running_count;
    Order running[CASE_RUNNING_MAX];
    OrderLimits limits;
    CaseTarget targets[DISPLAY_COUNT];
    AlarmLimits alarms; /* limits at the start, and after a reset */
    int event_count;
    CaseEvent events[CASE_EVENTS_MAX];
    int action_count;
    CaseAction actions[CASE_ACTIONS_MAX];
    int objective_count;
    CaseObjective objectives[CASE_OBJECTIVES_MAX];
    int teaching_count;
    CaseTeaching teaching[CASE_TEACHING_MAX];
    int ending_count;
    CaseEnding endings[CASE_ENDINGS_MAX];
    int prompt_count;
    CasePrompt prompts[CASE_PROMPTS_MAX];
    int plan_count;
    CasePlan plans[CASE_PLANS_MAX];
    int step_count;
    CaseStep steps[CASE_STEPS_MAX];
    int score_count; /* the case's own rubric, or the standard one: sim/score.h */
    CaseScore score[CASE_SCORE_MAX];
    int question_count;
    char questions[CASE_QUESTIONS_MAX][CASE_TEXT_MAX]; /* to talk through in the debrief */
} Case;

typedef enum CaseKeyKind {
    CASE_KEY_TEXT,
    CASE_KEY_TEXTS, /* a list of texts, or one */
    CASE_KEY_NAME,  /* letters, digits, - and _ */
    CASE_KEY_INTEGER,
    CASE_KEY_NUMBER,
    CASE_KEY_YES,       /* yes or no */
    CASE_KEY_DURATION,  /* 90s, 20min, 1h30min */
    CASE_KEY_WINDOW,    /* two durations: [8min, 20min] */
    CASE_KEY_CONDITION, /* see condition.h */
    CASE_KEY_CHOICE,    /* one of the words */
    CASE_KEY_PARAMETER, /* key of a parameter */
    CASE_KEY_QUANTITY,  /* a number with its unit */
    CASE_KEY_ORDER,     /* an order in its text form */
    CASE_KEY_MAP,
    CASE_KEY_LIST
} CaseKeyKind;

/* One key of the case language, for help and for the editor schema. */
typedef struct CaseKeyRow {
    const char *path; /* "patient.base", "timeline[].at" */
    CaseKeyKind kind;
    bool required;
    double low, high;  /* of numbers and of a text's length; both 0 if there are none */
    const char *words; /* of a choice, separated by spaces; NULL elsewhere */
    const char *text;  /* what it is */
} CaseKeyRow;

/* Reads and checks `path`. All errors at once go to *errors (emptied first): each with file, line, column,
   what is allowed. "practice:PERSON" makes free practice (sim/practice.h). Returns a new case that the caller
   frees with sim_case_free, or NULL if there is any error. */
Case *sim_case_load(const char *path, ErrorList *errors);

/* The same from memory; `name` stands for the file in errors. */
Case *sim_case_parse(const char *text, size_t length, const char *name, ErrorList *errors);

/* Accepts NULL. */
void sim_case_free(Case *case_file);

/* Rows of the case language, 0 <= index < sim_case_key_count(), and a word for a kind. */
int sim_case_key_count(void);
const CaseKeyRow *sim_case_key(int index);
const char *sim_case_key_kind_word(CaseKeyKind kind);

/* "good", "mixed", "harm", "death"; "none" for no outcome. */
const char *sim_case_outcome_word(CaseOutcome outcome);

/* "good", "late", "wrong". */
const char *sim_case_rank_word(CaseRank rank);

/* Index of a plan by its id; -1, with the nearest in `error`, if there is none. */
int sim_case_find_plan(const Case *case_file, const char *id, Error *error);

#endif
