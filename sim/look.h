/* Looks at the heart: the probe has to be asked for, takes time to be in place, and is not there for ever.
   What a case allows is a LookPolicy; how far a look has come is a LookState. */
#ifndef SIM_LOOK_H
#define SIM_LOOK_H

#include "model/error.h"

#include <stdbool.h>

typedef enum LookView {
    LOOK_VIEW_four_chamber,
    LOOK_VIEW_short_axis,
    LOOK_VIEW_aortic_valve,
    LOOK_VIEW_pericardium,
    LOOK_VIEW_inflow,
    LOOK_VIEW_COUNT
} LookView;

typedef enum LookProbe {
    LOOK_PROBE_ALWAYS_ON,  /* the picture is at the bedside all the time; a look only opens it */
    LOOK_PROBE_ON_REQUEST, /* a look is asked for, and takes time */
    LOOK_PROBE_NONE        /* there is no probe in this case */
} LookProbe;

/* What a case allows. Times in s; those of a probe that is always on are not used. */
typedef struct LookPolicy {
    LookProbe probe;
    double ready_s;             /* from asking to the picture */
    double longest_s;           /* a look ends by itself after this */
    double rest_s;              /* from the end of a look until the next can be asked for */
    int at_most;                /* looks in the night; 0: any number */
    bool view[LOOK_VIEW_COUNT]; /* those that can be had */
} LookPolicy;

typedef enum LookPhase {
    LOOK_NEVER,   /* no probe in this case */
    LOOK_NONE,    /* can be asked for */
    LOOK_ASKED,   /* asked for, not there yet */
    LOOK_SHOWN,   /* on show */
    LOOK_RESTING, /* over; the next one not yet */
    LOOK_USED_UP  /* no more in this case */
} LookPhase;

/* Flat: copied by assignment. Times are case times, s. */
typedef struct LookState {
    LookPhase phase; /* LOOK_NONE, LOOK_ASKED or LOOK_SHOWN; the others follow from the policy and the time */
    LookView view;   /* asked for or on show, or the last one */
    double asked_s, shown_s, ended_s; /* of the present or last look; negative: not yet */
    int count;                        /* looks that were on show */
    double shown_total_s;             /* time on show, without the look that is on show now */
} LookState;

/* How it stands, for a screen. */
typedef struct LookStatus {
    LookPhase phase;
    LookView view;
    bool picture;    /* the heart may be drawn at the bedside now */
    double ready_s;  /* LOOK_ASKED: still to wait, s */
    double ends_s;   /* LOOK_SHOWN: still on show, s; negative: no limit */
    double rest_s;   /* LOOK_RESTING: still to wait, s */
    int count, left; /* looks had, and still to be had; left -1: any number */
} LookStatus;

/* What happened by itself. */
typedef enum LookChange { LOOK_CHANGE_NONE, LOOK_CHANGE_READY, LOOK_CHANGE_OVER } LookChange;

/* "four_chamber", "Four chambers". */
const char *sim_look_view_key(LookView view);
const char *sim_look_view_label(LookView view);

/* Finds a view by key; LOOK_VIEW_COUNT if there is none. */
LookView sim_look_view_find(const char *key);

/* Policy of a case of `level` (1..3) that says nothing; of a probe of that kind. */
LookPolicy sim_look_policy_of_level(int level);
LookPolicy sim_look_policy_of_probe(LookProbe probe);

/* Nothing asked for. */
void sim_look_start(LookState *state);

/* Asks for a view at case time time_s; while a look is on show or coming it only changes the view.
   ERROR_NOT_ALLOWED with the reason leaves everything unchanged. *shown tells whether it is on show now. */
MODEL_CHECKED ErrorCode sim_look_ask(LookState *state, const LookPolicy *policy, LookView view, double time_s,
                                     bool *shown, Error *error);

/* Ends the look, or gives up the one that is coming. */
MODEL_CHECKED ErrorCode sim_look_end(LookState *state, double time_s, Error *error);

/* Lets time pass to time_s. */
LookChange sim_look_advance(LookState *state, const LookPolicy *policy, double time_s);

LookStatus sim_look_status(const LookState *state, const LookPolicy *policy, double time_s);

#endif
