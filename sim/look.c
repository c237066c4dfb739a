/* Asking for the probe, waiting, looking, resting. */
#include "sim/look.h"

#include <math.h>
#include <string.h>

/* Times of a probe that is asked for, when a case gives none; design. Three minutes to be in place is within
   what a focused study at the bedside takes. */
#define READY_STANDARD_S   180.0
#define LONGEST_STANDARD_S 300.0
#define REST_STANDARD_S    600.0
#define NOT_YET            (-1.0)

enum { AT_MOST_STANDARD = 6, LEVEL_ON_REQUEST = 3, MINUTE_S = 60 };

static const char *const view_keys[LOOK_VIEW_COUNT] = {"four_chamber", "short_axis", "aortic_valve",
                                                       "pericardium", "inflow"};
static const char *const view_labels[LOOK_VIEW_COUNT] = {"Four chambers", "Short axis", "Aortic valve",
                                                         "Pericardium", "Inflow"};

const char *sim_look_view_key(LookView view) {
    return view_keys[view];
}

const char *sim_look_view_label(LookView view) {
    return view_labels[view];
}

LookView sim_look_view_find(const char *key) {
    for (int view = 0; view < LOOK_VIEW_COUNT; view++) {
        if (strcmp(key, view_keys[view]) == 0) return (LookView)view;
    }
    return LOOK_VIEW_COUNT;
}

LookPolicy sim_look_policy_of_probe(LookProbe probe) {
    LookPolicy policy = {.probe = probe};
    if (probe == LOOK_PROBE_ON_REQUEST) {
        policy.ready_s = READY_STANDARD_S;
        policy.longest_s = LONGEST_STANDARD_S;
        policy.rest_s = REST_STANDARD_S;
        policy.at_most = AT_MOST_STANDARD;
    }
    for (int view = 0; view < LOOK_VIEW_COUNT; view++) {
        policy.view[view] = probe != LOOK_PROBE_NONE;
    }
    return policy;
}

LookPolicy sim_look_policy_of_level(int level) {
    return sim_look_policy_of_probe(level >= LEVEL_ON_REQUEST ? LOOK_PROBE_ON_REQUEST : LOOK_PROBE_ALWAYS_ON);
}

void sim_look_start(LookState *state) {
    *state = (LookState){
        .phase = LOOK_NONE, .asked_s = NOT_YET, .shown_s = NOT_YET, .ended_s = NOT_YET, .shown_total_s = 0};
}

static bool on_request(const LookPolicy *policy) {
    return policy->probe == LOOK_PROBE_ON_REQUEST;
}

/* Time until the next look can be asked for, s. */
static double rest_left_s(const LookState *state, const LookPolicy *policy, double time_s) {
    if (!on_request(policy) || state->ended_s < 0 || state->count == 0) return 0;
    return fmax(state->ended_s + policy->rest_s - time_s, 0);
}

static bool used_up(const LookState *state, const LookPolicy *policy) {
    return on_request(policy) && policy->at_most > 0 && state->count >= policy->at_most;
}

LookStatus sim_look_status(const LookState *state, const LookPolicy *policy, double time_s) {
    LookStatus status = {
        .phase = state->phase, .view = state->view, .ends_s = -1, .count = state->count, .left = -1};
    if (on_request(policy) && policy->at_most > 0)
        status.left = policy->at_most > state->count ? policy->at_most - state->count : 0;
    if (policy->probe == LOOK_PROBE_NONE) {
        status.phase = LOOK_NEVER;
        status.left = 0;
        return status;
    }
    status.picture = policy->probe == LOOK_PROBE_ALWAYS_ON || state->phase == LOOK_SHOWN;
    if (state->phase == LOOK_ASKED) {
        status.ready_s = fmax(state->asked_s + policy->ready_s - time_s, 0);
    } else if (state->phase == LOOK_SHOWN) {
        if (on_request(policy)) status.ends_s = fmax(state->shown_s + policy->longest_s - time_s, 0);
    } else if (used_up(state, policy)) {
        status.phase = LOOK_USED_UP;
    } else if (rest_left_s(state, policy, time_s) > 0) {
        status.phase = LOOK_RESTING;
        status.rest_s = rest_left_s(state, policy, time_s);
    }
    return status;
}

static ErrorCode check_view(const LookPolicy *policy, LookView view, Error *error) {
    if (policy->view[view]) return ERROR_OK;
    model_error_set(error, ERROR_NOT_ALLOWED, "the view %s cannot be had in this case", view_keys[view]);
    const char *have[LOOK_VIEW_COUNT + 1] = {"", "", "", "", "", ""};
    int count = 0;
    for (int i = 0; i < LOOK_VIEW_COUNT; i++) {
        if (policy->view[i]) have[count++] = view_keys[i];
    }
    model_error_allow(error, "%s %s %s %s", have[0], have[1], have[2], have[3]);
    return ERROR_NOT_ALLOWED;
}

static void show(LookState *state, double time_s) {
    state->phase = LOOK_SHOWN;
    state->shown_s = time_s;
    state->count++;
}

ErrorCode sim_look_ask(LookState *state, const LookPolicy *policy, LookView view, double time_s, bool *shown,
                       Error *error) {
    *shown = state->phase == LOOK_SHOWN;
    if (policy->probe == LOOK_PROBE_NONE)
        return model_error_set(error, ERROR_NOT_ALLOWED, "there is no probe in this case");
    ErrorCode code = check_view(policy, view, error);
    if (code != ERROR_OK) return code;
    if (state->phase == LOOK_ASKED || state->phase == LOOK_SHOWN) {
        state->view = view;
        return ERROR_OK;
    }
    if (used_up(state, policy)) {
        model_error_set(error, ERROR_NOT_ALLOWED, "the looks of this case are used up");
        model_error_allow(error, "%d in the night", policy->at_most);
        return ERROR_NOT_ALLOWED;
    }
    double rest_s = rest_left_s(state, policy, time_s);
    if (rest_s > 0) {
        model_error_set(error, ERROR_NOT_ALLOWED, "the probe is needed elsewhere");
        model_error_allow(error, "again in %.0f min", ceil(rest_s / MINUTE_S));
        return ERROR_NOT_ALLOWED;
    }
    state->view = view;
    state->asked_s = time_s;
    state->phase = LOOK_ASKED;
    if (!on_request(policy) || policy->ready_s <= 0) show(state, time_s);
    *shown = state->phase == LOOK_SHOWN;
    return ERROR_OK;
}

static void over(LookState *state, double time_s) {
    if (state->phase == LOOK_SHOWN) {
        state->shown_total_s += time_s - state->shown_s;
        state->ended_s = time_s;
    }
    state->phase = LOOK_NONE;
}

ErrorCode sim_look_end(LookState *state, double time_s, Error *error) {
    if (state->phase != LOOK_ASKED && state->phase != LOOK_SHOWN)
        return model_error_set(error, ERROR_NOT_ALLOWED, "there is no look to end");
    over(state, time_s);
    return ERROR_OK;
}

LookChange sim_look_advance(LookState *state, const LookPolicy *policy, double time_s) {
    if (!on_request(policy)) return LOOK_CHANGE_NONE;
    if (state->phase == LOOK_ASKED && time_s >= state->asked_s + policy->ready_s) {
        show(state, time_s);
        return LOOK_CHANGE_READY;
    }
    if (state->phase == LOOK_SHOWN && time_s >= state->shown_s + policy->longest_s) {
        over(state, time_s);
        return LOOK_CHANGE_OVER;
    }
    return LOOK_CHANGE_NONE;
}
