/* The timeline engine. */
#include "sim/script.h"

#include "model/random.h"

#include <assert.h>
#include <string.h>

#define NOT_YET (-1.0)

void sim_script_start(ScriptState *state) {
    memset(state, 0, sizeof *state);
    for (int i = 0; i < CASE_EVENTS_MAX; i++) {
        state->drawn_s[i] = state->fired_s[i] = state->held_since_s[i] = NOT_YET;
    }
    for (int i = 0; i < CASE_OBJECTIVES_MAX; i++) {
        state->objective_since_s[i] = state->objective_met_s[i] = NOT_YET;
    }
    for (int i = 0; i < CASE_ENDINGS_MAX; i++) {
        state->ending_since_s[i] = NOT_YET;
    }
    state->ended_s = state->hand_truth_s = NOT_YET;
    state->ending = state->end_action = -1;
}

void sim_script_draw(ScriptState *state, const Case *case_file, uint64_t seed) {
    for (int i = 0; i < case_file->event_count; i++) {
        const CaseEvent *event = &case_file->events[i];
        uint64_t name = UINT64_C(14695981039346656037); /* FNV-1a, 64 bit */
        for (const char *c = event->id; *c != '\0'; c++) {
            name = (name ^ (unsigned char)*c) * UINT64_C(1099511628211);
        }
        Random random = model_random_seed(seed ^ name);
        double share = model_random_uniform(&random);
        if (event->trigger == CASE_TRIGGER_WITHIN)
            state->drawn_s[i] = event->at_s + share * (event->until_s - event->at_s);
        state->drawn_frac[i] = model_random_uniform(&random);
    }
}

/* Keeps in *since_s how long a condition has held; true once it has for hold_s. */
static bool held(const Condition *when, double hold_s, const ConditionInputs *inputs, double time_s,
                 double *since_s) {
    if (!sim_condition_holds(when, inputs)) {
        *since_s = NOT_YET;
        return false;
    }
    if (*since_s < 0) *since_s = time_s;
    return time_s - *since_s >= hold_s;
}

static ScriptWay way_followed(const CaseEvent *event) {
    return event->trigger == CASE_TRIGGER_INSTEAD ? SCRIPT_WAY_OTHERWISE : SCRIPT_WAY_DO;
}

static bool due(ScriptState *state, const Case *case_file, int index, const ConditionInputs *inputs,
                double time_s) {
    const CaseEvent *event = &case_file->events[index];
    switch (event->trigger) {
    case CASE_TRIGGER_AT:
        return time_s >= event->at_s;
    case CASE_TRIGGER_WITHIN:
        return time_s >= (state->drawn_s[index] >= 0 ? state->drawn_s[index] : event->at_s);
    case CASE_TRIGGER_WHEN:
        return held(&event->when, event->hold_s, inputs, time_s, &state->held_since_s[index]);
    case CASE_TRIGGER_AFTER:
    case CASE_TRIGGER_INSTEAD:
        return state->way[event->after] == way_followed(event) &&
               time_s >= state->fired_s[event->after] + event->plus_s;
    }
    return false;
}

/* The way an event goes whose time has come. */
static ScriptWay choose_way(const ScriptState *state, const CaseEvent *event, int index,
                            const ConditionInputs *inputs) {
    if (state->called[index]) return SCRIPT_WAY_DO;
    bool chosen = !event->chance_given || state->drawn_frac[index] < event->chance;
    return chosen && sim_condition_holds(&event->only_if, inputs) ? SCRIPT_WAY_DO : SCRIPT_WAY_OTHERWISE;
}

/* Whether an event comes now, with what the instructor has done to it. */
static bool comes(ScriptState *state, const Case *case_file, int index, const ConditionInputs *inputs,
                  double time_s) {
    const CaseEvent *event = &case_file->events[index];
    bool held_for = event->trigger == CASE_TRIGGER_WHEN;
    double delay_s = state->delay_s[index];
    bool ready = due(state, case_file, index, inputs, held_for ? time_s : time_s - delay_s);
    if (held_for && ready) ready = time_s - state->held_since_s[index] >= event->hold_s + delay_s;
    return state->called[index] || (ready && !state->skipped[index]);
}

static void change(ScriptEffects *effects, ParameterId id, double value) {
    assert(effects->change_count < SCRIPT_CHANGES_MAX);
    effects->changes[effects->change_count++] = (ParameterChange){.id = id, .value = value};
}

/* The ramp of a parameter, else a free entry; NULL if there is neither. *active counts the others. */
static ScriptRamp *ramp_slot(ScriptState *state, ParameterId parameter, int *active) {
    ScriptRamp *slot = NULL;
    *active = 0;
    for (int i = 0; i < SCRIPT_RAMPS_MAX; i++) {
        ScriptRamp *ramp = &state->ramps[i];
        if (ramp->active && ramp->parameter == parameter) return ramp;
        *active += ramp->active;
        if (slot == NULL && !ramp->active) slot = ramp;
    }
    return slot;
}

static void start_ramp(ScriptState *state, const CaseAction *action, double from, double time_s) {
    int active;
    ScriptRamp *slot = ramp_slot(state, action->parameter, &active);
    assert(slot != NULL); /* a case has no more ramps than there are entries beside the live ones */
    *slot = (ScriptRamp){.active = true,
                         .parameter = action->parameter,
                         .from = from,
                         .to = action->value,
                         .start_s = time_s,
                         .over_s = action->over_s};
}

bool sim_script_ramp(ScriptState *state, ParameterId parameter, double from, double to, double over_s,
                     double time_s) {
    int active;
    ScriptRamp *slot = ramp_slot(state, parameter, &active);
    if (slot == NULL || (!slot->active && active >= SCRIPT_LIVE_MAX)) return false;
    *slot = (ScriptRamp){
        .active = true, .parameter = parameter, .from = from, .to = to, .start_s = time_s, .over_s = over_s};
    return true;
}

void sim_script_stop_ramp(ScriptState *state, ParameterId parameter) {
    for (int i = 0; i < SCRIPT_RAMPS_MAX; i++) {
        if (state->ramps[i].parameter == parameter) state->ramps[i].active = false;
    }
}

static void act(ScriptState *state, const Case *case_file, int index, const ConditionInputs *inputs,
                double time_s, ScriptEffects *effects) {
    const CaseAction *action = &case_file->actions[index];
    switch (action->kind) {
    case CASE_ACTION_RAMP:
        start_ramp(state, action, model_parameters_get(inputs->parameters, action->parameter), time_s);
        break;
    case CASE_ACTION_SET:
        sim_script_stop_ramp(state, action->parameter);
        change(effects, action->parameter, action->value);
        break;
    case CASE_ACTION_MESSAGE:
        effects->messages[effects->message_count++] = index;
        break;
    case CASE_ACTION_TRUTH:
        effects->truths[effects->truth_count++] = index;
        break;
    case CASE_ACTION_END:
        if (state->ended_s >= 0) break;
        state->ended_s = time_s;
        state->outcome = action->outcome;
        state->end_action = index;
        effects->ended = true;
        break;
    }
}

void sim_script_actions(const CaseEvent *event, ScriptWay way, int *first, int *count) {
    bool other = way == SCRIPT_WAY_OTHERWISE;
    *first = other ? event->first_other : event->first_action;
    *count = way == SCRIPT_WAY_NONE ? 0 : other ? event->other_count : event->action_count;
}

static void fire_events(ScriptState *state, const Case *case_file, const ConditionInputs *inputs,
                        double time_s, ScriptEffects *effects) {
    for (int i = 0; i < case_file->event_count; i++) {
        const CaseEvent *event = &case_file->events[i];
        if (state->fired_s[i] >= 0 || !comes(state, case_file, i, inputs, time_s)) continue;
        state->fired_s[i] = time_s;
        state->way[i] = choose_way(state, event, i, inputs);
        effects->fired[effects->fired_count++] = i;
        int first, count;
        sim_script_actions(event, state->way[i], &first, &count);
        for (int k = 0; k < count; k++) {
            act(state, case_file, first + k, inputs, time_s, effects);
        }
    }
}

static void advance_ramps(ScriptState *state, double time_s, ScriptEffects *effects) {
    for (int i = 0; i < SCRIPT_RAMPS_MAX; i++) {
        ScriptRamp *ramp = &state->ramps[i];
        if (!ramp->active) continue;
        double share = (time_s - ramp->start_s) / ramp->over_s;
        if (share >= 1) {
            share = 1;
            ramp->active = false;
        }
        change(effects, ramp->parameter, ramp->from + share * (ramp->to - ramp->from));
    }
}

static void check_objectives(ScriptState *state, const Case *case_file, const ConditionInputs *inputs,
                             double time_s, ScriptEffects *effects) {
    for (int i = 0; i < case_file->objective_count; i++) {
        const CaseObjective *objective = &case_file->objectives[i];
        if (state->objective_met_s[i] >= 0 || time_s > objective->by_s) continue;
        if (!held(&objective->when, objective->hold_s, inputs, time_s, &state->objective_since_s[i]))
            continue;
        state->objective_met_s[i] = time_s;
        effects->met[effects->met_count++] = i;
    }
}

/* Speaks up once per time of idleness. */
static void check_prompts(ScriptState *state, const Case *case_file, const ConditionInputs *inputs,
                          double time_s, ScriptEffects *effects) {
    double idle_s = inputs->deeds != NULL ? inputs->deeds->value[DEED_idle_s] : 0;
    for (int i = 0; i < case_file->prompt_count; i++) {
        const CasePrompt *prompt = &case_file->prompts[i];
        if (state->prompt_said[i] >= prompt->at_most || idle_s < prompt->idle_s) continue;
        if (state->prompt_said[i] > 0 && time_s - state->prompt_said_s[i] < prompt->idle_s) continue;
        if (!sim_condition_holds(&prompt->when, inputs)) continue;
        state->prompt_said[i]++;
        state->prompt_said_s[i] = time_s;
        effects->prompts[effects->prompt_count++] = i;
    }
}

static void take_ending(ScriptState *state, const Case *case_file, int index, double time_s,
                        ScriptEffects *effects) {
    state->ended_s = time_s;
    state->ending = index;
    state->outcome = index >= 0 ? case_file->endings[index].outcome : CASE_OUTCOME_NONE;
    effects->ended = true;
}

static void check_endings(ScriptState *state, const Case *case_file, const ConditionInputs *inputs,
                          double time_s, ScriptEffects *effects) {
    bool over = time_s >= case_file->length_s;
    for (int i = 0; i < case_file->ending_count && state->ended_s < 0; i++) {
        const CaseEnding *ending = &case_file->endings[i];
        bool holds = held(&ending->when, ending->hold_s, inputs, time_s, &state->ending_since_s[i]);
        if (holds && (over || !ending->at_length)) take_ending(state, case_file, i, time_s, effects);
    }
    if (over && state->ended_s < 0) take_ending(state, case_file, -1, time_s, effects);
}

void sim_script_advance(ScriptState *state, const Case *case_file, const ConditionInputs *inputs,
                        double time_s, ScriptEffects *effects) {
    memset(effects, 0, sizeof *effects);
    if (state->ended_s >= 0) return;
    fire_events(state, case_file, inputs, time_s, effects);
    advance_ramps(state, time_s, effects);
    check_prompts(state, case_file, inputs, time_s, effects);
    check_objectives(state, case_file, inputs, time_s, effects);
    if (state->ended_s < 0) check_endings(state, case_file, inputs, time_s, effects);
}

const CaseTruth *sim_script_truth_at(const ScriptState *state, const Case *case_file, double time_s) {
    const CaseTruth *truth = &case_file->truth;
    double since_s = NOT_YET;
    for (int i = 0; i < case_file->event_count; i++) {
        const CaseEvent *event = &case_file->events[i];
        double fired_s = state->fired_s[i];
        if (fired_s < 0 || fired_s > time_s || fired_s < since_s) continue;
        int first, count;
        sim_script_actions(event, state->way[i], &first, &count);
        for (int k = 0; k < count; k++) {
            const CaseAction *action = &case_file->actions[first + k];
            if (action->kind != CASE_ACTION_TRUTH) continue;
            truth = &action->truth;
            since_s = fired_s;
        }
    }
    bool by_hand = state->hand_truth_s >= 0 && state->hand_truth_s <= time_s;
    return by_hand && state->hand_truth_s >= since_s ? &state->hand_truth : truth;
}

const char *sim_script_end_text(const ScriptState *state, const Case *case_file) {
    if (state->ended_s < 0) return "";
    if (state->end_action >= 0) return case_file->actions[state->end_action].text;
    if (state->ending >= 0) return case_file->endings[state->ending].text;
    return "The time of this case is over.";
}
