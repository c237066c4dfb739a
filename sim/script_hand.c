/* The instructor's hand on the timeline. */
#include "sim/script.h"

#include "sim/duration.h"
#include "sim/suggest.h"

#include <math.h>
#include <stdio.h>
#include <strings.h>

int sim_script_find_event(const Case *case_file, const char *id, Error *error) {
    const char *names[CASE_EVENTS_MAX];
    for (int i = 0; i < case_file->event_count; i++) {
        names[i] = case_file->events[i].id;
        if (strcasecmp(names[i], id) == 0) return i;
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "this case has no event \"%.60s\"", id);
    if (case_file->event_count > 0)
        sim_suggest_allow(error, id, names, case_file->event_count, "", "an event of the case's timeline");
    else
        model_error_allow(error, "this case has no events at all");
    return -1;
}

static ErrorCode refuse(const CaseEvent *event, const char *why, Error *error) {
    model_error_set(error, ERROR_NOT_ALLOWED, "%s %s", event->id, why);
    return ERROR_NOT_ALLOWED;
}

static ErrorCode check_to_come(const ScriptState *state, const Case *case_file, int event, Error *error) {
    char clock[DURATION_TEXT_MAX];
    if (state->fired_s[event] >= 0) {
        sim_duration_format_clock(state->fired_s[event], clock, sizeof clock);
        model_error_set(error, ERROR_NOT_ALLOWED, "%s has come, at %s", case_file->events[event].id, clock);
        model_error_allow(error, "an event that has not come yet, or take_back");
        return ERROR_NOT_ALLOWED;
    }
    return state->called[event] ? refuse(&case_file->events[event], "comes with the next beat", error)
                                : ERROR_OK;
}

ErrorCode sim_script_call(ScriptState *state, const Case *case_file, int event, Error *error) {
    ErrorCode code = check_to_come(state, case_file, event, error);
    if (code == ERROR_OK) state->called[event] = true;
    return code;
}

ErrorCode sim_script_delay(ScriptState *state, const Case *case_file, int event, double for_s, Error *error) {
    ErrorCode code = check_to_come(state, case_file, event, error);
    if (code != ERROR_OK) return code;
    if (state->delay_s[event] + for_s > DURATION_LONGEST_S) {
        model_error_set(error, ERROR_RANGE, "%s would come later than any night lasts",
                        case_file->events[event].id);
        model_error_allow(error, "skip %s", case_file->events[event].id);
        return ERROR_RANGE;
    }
    state->delay_s[event] += for_s;
    return ERROR_OK;
}

ErrorCode sim_script_skip(ScriptState *state, const Case *case_file, int event, bool skip, Error *error) {
    ErrorCode code = check_to_come(state, case_file, event, error);
    if (code != ERROR_OK) return code;
    if (state->skipped[event] == skip)
        return refuse(&case_file->events[event], skip ? "is skipped already" : "is not skipped", error);
    state->skipped[event] = skip;
    return ERROR_OK;
}

void sim_script_say_truth(ScriptState *state, const CaseTruth *truth, double time_s) {
    state->hand_truth = *truth;
    state->hand_truth_s = time_s;
}

double sim_script_due_s(const ScriptState *state, const Case *case_file, int event) {
    const CaseEvent *row = &case_file->events[event];
    double delay_s = state->delay_s[event];
    if (state->fired_s[event] >= 0 || state->skipped[event]) return NAN;
    switch (row->trigger) {
    case CASE_TRIGGER_AT:
        return row->at_s + delay_s;
    case CASE_TRIGGER_WITHIN:
        return (state->drawn_s[event] >= 0 ? state->drawn_s[event] : row->at_s) + delay_s;
    case CASE_TRIGGER_WHEN:
        return state->held_since_s[event] >= 0 ? state->held_since_s[event] + row->hold_s + delay_s : NAN;
    case CASE_TRIGGER_AFTER:
        return state->way[row->after] == SCRIPT_WAY_DO ? state->fired_s[row->after] + row->plus_s + delay_s
                                                       : NAN;
    case CASE_TRIGGER_INSTEAD:
        return state->way[row->after] == SCRIPT_WAY_OTHERWISE
                   ? state->fired_s[row->after] + row->plus_s + delay_s
                   : NAN;
    }
    return NAN;
}
