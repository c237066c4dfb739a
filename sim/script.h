/* The timeline of a case: events fire, causes ramp, objectives are met, endings come. Deterministic, between
 * beats. */
#ifndef SIM_SCRIPT_H
#define SIM_SCRIPT_H

#include "sim/case.h"

/* Every event fires once, so that a case's maxima bound what one beat can bring. */
enum {
    SCRIPT_LIVE_MAX = 32, /* ramps under way that nobody wrote down beforehand */
    SCRIPT_RAMPS_MAX = CASE_ACTIONS_MAX + SCRIPT_LIVE_MAX,
    SCRIPT_FIRED_MAX = CASE_EVENTS_MAX,
    SCRIPT_CHANGES_MAX = CASE_ACTIONS_MAX + SCRIPT_RAMPS_MAX,
    SCRIPT_MESSAGES_MAX = CASE_ACTIONS_MAX,
    SCRIPT_TRUTHS_MAX = CASE_ACTIONS_MAX
};

typedef struct ScriptRamp {
    bool active;
    ParameterId parameter;
    double from, to, start_s, over_s;
} ScriptRamp;

/* Which way an event went when its time came. */
typedef enum ScriptWay { SCRIPT_WAY_NONE, SCRIPT_WAY_DO, SCRIPT_WAY_OTHERWISE, SCRIPT_WAY_COUNT } ScriptWay;

/* Flat: copied by assignment. Times are case times in s; negative: not yet. */
typedef struct ScriptState {
    double drawn_s[CASE_EVENTS_MAX];    /* when an event `within` a window comes; negative: not drawn */
    double drawn_frac[CASE_EVENTS_MAX]; /* it goes its `do` way when this is below its chance */
    double fired_s[CASE_EVENTS_MAX];    /* when its time came, whichever way it went */
    ScriptWay way[CASE_EVENTS_MAX];
    double held_since_s[CASE_EVENTS_MAX];
    ScriptRamp ramps[SCRIPT_RAMPS_MAX];
    double objective_since_s[CASE_OBJECTIVES_MAX];
    double objective_met_s[CASE_OBJECTIVES_MAX];
    double ending_since_s[CASE_ENDINGS_MAX];
    int prompt_said[CASE_PROMPTS_MAX]; /* times */
    double prompt_said_s[CASE_PROMPTS_MAX];
    double ended_s;
    CaseOutcome outcome;
    int ending;                      /* index of the ending taken, -1: none or by an action */
    int end_action;                  /* index of the action that ended the case, -1 if none */
    double delay_s[CASE_EVENTS_MAX]; /* by the instructor: later by so much */
    bool called[CASE_EVENTS_MAX];    /* by the instructor: comes with the next beat, its own way */
    bool skipped[CASE_EVENTS_MAX];   /* by the instructor: does not come */
    CaseTruth hand_truth;            /* by the instructor: what is wrong since hand_truth_s */
    double hand_truth_s;
} ScriptState;

/* What the session has to carry out. */
typedef struct ScriptEffects {
    int change_count;
    ParameterChange changes[SCRIPT_CHANGES_MAX];
    int fired_count;
    int fired[SCRIPT_FIRED_MAX]; /* events, in the order fired */
    int message_count;
    int messages[SCRIPT_MESSAGES_MAX]; /* actions with a message */
    int truth_count;
    int truths[SCRIPT_TRUTHS_MAX]; /* actions that say what is wrong */
    int prompt_count;
    int prompts[CASE_PROMPTS_MAX]; /* prompts to be said */
    int met_count;
    int met[CASE_OBJECTIVES_MAX]; /* objectives just met */
    bool ended;
} ScriptEffects;

/* Nothing has happened, and nothing is drawn: windows begin at their start, chances always come. */
void sim_script_start(ScriptState *state);

/* Draws what the case leaves to chance. A draw depends on `seed` and on the event's id only: not on what is
   done, nor on other events. */
void sim_script_draw(ScriptState *state, const Case *case_file, uint64_t seed);

/* Looks at everything once, at case time time_s, and fills *effects (overwritten). */
void sim_script_advance(ScriptState *state, const Case *case_file, const ConditionInputs *inputs,
                        double time_s, ScriptEffects *effects);

/* Actions (indices of Case.actions) that an event carries out on one of its ways. */
void sim_script_actions(const CaseEvent *event, ScriptWay way, int *first, int *count);

/* Index of an event by its id; -1, with the nearest in `error`, if there is none. */
int sim_script_find_event(const Case *case_file, const char *id, Error *error);

/* The instructor's hand on an event that has not come yet: it comes with the next beat, later by for_s, not
   at all, or after all. Refused with the reason for one that has come, or that already is as wanted. */
MODEL_CHECKED ErrorCode sim_script_call(ScriptState *state, const Case *case_file, int event, Error *error);
MODEL_CHECKED ErrorCode sim_script_delay(ScriptState *state, const Case *case_file, int event, double for_s,
                                         Error *error);
MODEL_CHECKED ErrorCode sim_script_skip(ScriptState *state, const Case *case_file, int event, bool skip,
                                        Error *error);

/* What the instructor says is wrong from time_s on. */
void sim_script_say_truth(ScriptState *state, const CaseTruth *truth, double time_s);

/* When an event comes, if that is known by now; NaN: it waits for something, or does not come. */
double sim_script_due_s(const ScriptState *state, const Case *case_file, int event);

/* Moves a parameter evenly from `from` to `to` in over_s (s) from time_s on, in place of a ramp that moves it
   already. False, with nothing changed, when as many ramps are under way as may be beside those of a case. */
bool sim_script_ramp(ScriptState *state, ParameterId parameter, double from, double to, double over_s,
                     double time_s);

/* Ends the ramp of a parameter, which stays where it is. */
void sim_script_stop_ramp(ScriptState *state, ParameterId parameter);

/* What was wrong at case time time_s (s), as the case says it. */
const CaseTruth *sim_script_truth_at(const ScriptState *state, const Case *case_file, double time_s);

/* Text of how the case ended; empty if it has not. */
const char *sim_script_end_text(const ScriptState *state, const Case *case_file);

#endif
