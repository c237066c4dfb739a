/* Soundness of a session's state, part by part. */
#include "sim/session_state.h"

#include <math.h>
#include <string.h>

#define TIME_LONGEST_S 1e7 /* no night is longer: four months */
#define SAME_TIME_S    1.0 /* the session's clock is the patient's */
#define VALUE_LARGEST  1e9 /* no quantity of a session is larger */

/* A bool read from outside may hold any byte; only 0 and 1 are bools. */
static bool bool_sound(const bool *value) {
    unsigned char byte;
    memcpy(&byte, value, 1);
    return byte <= 1;
}

static bool bools_sound(const bool values[], int count) {
    for (int i = 0; i < count; i++) {
        if (!bool_sound(&values[i])) return false;
    }
    return true;
}

static bool time_sound(double time_s) {
    return isfinite(time_s) && fabs(time_s) <= TIME_LONGEST_S;
}

static bool value_sound(double value) {
    return isfinite(value) && fabs(value) <= VALUE_LARGEST;
}

static bool values_sound(const double values[], int count) {
    for (int i = 0; i < count; i++) {
        if (!value_sound(values[i])) return false;
    }
    return true;
}

/* True if the index, read as an int whatever its enum, is within 0..count - 1. */
static bool index_sound(int index, int count) {
    return index >= 0 && index < count;
}

static bool order_sound(const Order *order) {
    return index_sound((int)order->id, ORDER_COUNT) && index_sound((int)order->act, ORDER_ACT_DO + 1) &&
           index_sound((int)order->pacing, ORDER_PACING_BOTH + 1) && value_sound(order->value) &&
           value_sound(order->load) && index_sound((int)order->measure, ORDER_MEASURE_COUNT) &&
           bool_sound(&order->per_kg) && bool_sound(&order->synchronised) && time_sound(order->duration_s) &&
           time_sound(order->load_s);
}

static bool orders_sound(const OrdersState *orders) {
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        const OrderRunning *running = &orders->running[i];
        if (!bool_sound(&running->active) || !order_sound(&running->order) || !time_sound(running->start_s) ||
            !value_sound(running->total) || !value_sound(running->given) ||
            !value_sound(running->rate_per_min) || !value_sound(running->scale) ||
            !value_sound(running->midway_s))
            return false;
    }
    return values_sound(orders->value, ORDER_COUNT) && values_sound(orders->changed_s, ORDER_COUNT) &&
           values_sound(orders->given_ml, ORDER_COUNT) &&
           index_sound((int)orders->pacing, ORDER_PACING_BOTH + 1) && orders->native_rhythm >= 0 &&
           orders->native_rhythm <= RHYTHM_COUNT - 1 && bool_sound(&orders->surgeon_here) &&
           value_sound(orders->shock_left_j) && orders->shock_left_j >= 0 &&
           (orders->random.word[0] | orders->random.word[1] | orders->random.word[2] |
            orders->random.word[3]) != 0;
}

static bool truth_sound(const CaseTruth *truth) {
    if (!index_sound((int)truth->diagnosis, DIAGNOSIS_COUNT) ||
        !index_sound(truth->also_count, CASE_ALSO_MAX + 1))
        return false;
    for (int i = 0; i < truth->also_count; i++) {
        if (!index_sound((int)truth->also[i], DIAGNOSIS_COUNT)) return false;
    }
    return true;
}

static bool script_sound(const ScriptState *script, const Case *case_file) {
    for (int i = 0; i < SCRIPT_RAMPS_MAX; i++) {
        const ScriptRamp *ramp = &script->ramps[i];
        if (!bool_sound(&ramp->active)) return false;
        if (!ramp->active) continue;
        if (!index_sound((int)ramp->parameter, PARAMETER_COUNT) || !value_sound(ramp->from) ||
            !value_sound(ramp->to) || !time_sound(ramp->start_s) || !time_sound(ramp->over_s) ||
            ramp->over_s <= 0)
            return false;
    }
    for (int i = 0; i < CASE_EVENTS_MAX; i++) {
        if (!index_sound((int)script->way[i], SCRIPT_WAY_COUNT)) return false;
    }
    return values_sound(script->drawn_s, CASE_EVENTS_MAX) &&
           values_sound(script->drawn_frac, CASE_EVENTS_MAX) &&
           values_sound(script->delay_s, CASE_EVENTS_MAX) && bools_sound(script->called, CASE_EVENTS_MAX) &&
           bools_sound(script->skipped, CASE_EVENTS_MAX) && time_sound(script->hand_truth_s) &&
           truth_sound(&script->hand_truth) && values_sound(script->fired_s, CASE_EVENTS_MAX) &&
           values_sound(script->held_since_s, CASE_EVENTS_MAX) &&
           values_sound(script->objective_since_s, CASE_OBJECTIVES_MAX) &&
           values_sound(script->objective_met_s, CASE_OBJECTIVES_MAX) &&
           values_sound(script->ending_since_s, CASE_ENDINGS_MAX) && time_sound(script->ended_s) &&
           index_sound((int)script->outcome, CASE_OUTCOME_COUNT) &&
           index_sound(script->ending + 1, case_file->ending_count + 1) &&
           index_sound(script->end_action + 1, case_file->action_count + 1);
}

static bool ecg_sound(const EcgState *ecg) {
    for (int i = 0; i < ECG_ONSETS_MAX; i++) {
        const EcgOnset *onset = &ecg->onsets[i];
        if (!index_sound(onset->kind, ECG_KIND_COUNT) || !value_sound(onset->stretch_x) ||
            onset->tick < -(int64_t)TIME_LONGEST_S * 1000 || onset->tick > (int64_t)TIME_LONGEST_S * 1000)
            return false;
    }
    return index_sound(ecg->next, ECG_ONSETS_MAX) && values_sound(ecg->phase_rad, ECG_FIBRILLATION_WAVES) &&
           values_sound(ecg->rate_hz, ECG_FIBRILLATION_WAVES) && value_sound(ecg->wander_rad);
}

static bool line_sound(const Line *line) {
    return bool_sound(&line->catheter.started) && value_sound(line->catheter.p_mmhg) &&
           value_sound(line->catheter.rate_mmhg_s) && value_sound(line->drift_mmhg) &&
           value_sound(line->zero_mmhg) && value_sound(line->hands_s) &&
           index_sound((int)line->hands, LINE_HANDS_COUNT);
}

static bool readings_sound(const InstrumentsState *instruments) {
    const double numbers[] = {
        instruments->oximeter_bias_percent, instruments->oximeter_lost_s, instruments->dye_mg_kg,
        instruments->urine_read_ml,         instruments->urine_read_s,    instruments->next_urine_s,
        instruments->bottle_read_ml,        instruments->bottle_read_s,   instruments->next_bottle_s};
    const unsigned most = 1u << ORDER_TEST_COUNT;
    return bool_sound(&instruments->pump_frozen) && value_sound(instruments->frozen_flow_l_min) &&
           bools_sound(instruments->console.valid, DISPLAY_COUNT) &&
           values_sound(instruments->console.taken_s, DISPLAY_COUNT) &&
           values_sound(numbers, (int)(sizeof numbers / sizeof numbers[0])) &&
           values_sound(instruments->oximeter_frac, INSTRUMENTS_OXIMETER_STAGES) &&
           values_sound(instruments->injection_l_min, INSTRUMENTS_INJECTIONS) &&
           values_sound(instruments->result, DISPLAY_COUNT) &&
           values_sound(instruments->result_s, DISPLAY_COUNT) && instruments->drawn < most &&
           instruments->reported < most && instruments->told < most;
}

static bool instruments_sound(const InstrumentsState *instruments) {
    const Random *random = &instruments->random;
    bool drawn = (random->word[0] | random->word[1] | random->word[2] | random->word[3]) != 0;
    return drawn && bool_sound(&instruments->started) && readings_sound(instruments) &&
           line_sound(&instruments->art) && line_sound(&instruments->pa) && line_sound(&instruments->cvp) &&
           value_sound(instruments->console_flow_l_min) && value_sound(instruments->pump_max_l_min) &&
           value_sound(instruments->pump_min_l_min) && ecg_sound(&instruments->ecg) &&
           values_sound(instruments->average, DISPLAY_COUNT) &&
           bools_sound(instruments->average_valid, DISPLAY_COUNT) && time_sound(instruments->next_update_s) &&
           time_sound(instruments->next_sample_s) && bools_sound(instruments->display.valid, DISPLAY_COUNT) &&
           values_sound(instruments->display.taken_s, DISPLAY_COUNT);
}

static bool look_sound(const LookState *look) {
    return (look->phase == LOOK_NONE || look->phase == LOOK_ASKED || look->phase == LOOK_SHOWN) &&
           index_sound((int)look->view, LOOK_VIEW_COUNT) && time_sound(look->asked_s) &&
           time_sound(look->shown_s) && time_sound(look->ended_s) && look->count >= 0 &&
           time_sound(look->shown_total_s);
}

static bool calls_sound(const CallsState *calls) {
    if (calls->count < 0 || !index_sound(calls->kept, SESSION_CALLS_MAX + 1)) return false;
    for (int i = 0; i < calls->kept; i++) {
        const Call *call = &calls->call[i];
        if (!time_sound(call->time_s) || !index_sound((int)call->diagnosis, DIAGNOSIS_COUNT) ||
            !index_sound((int)call->kind, PROBLEM_COUNT) || !index_sound(call->confidence_percent, 101) ||
            memchr(call->plan, '\0', sizeof call->plan) == NULL)
            return false;
    }
    return true;
}

static bool prediction_sound(const Prediction *prediction) {
    if (!index_sound((int)prediction->status, PREDICTION_SKIPPED + 1) || !order_sound(&prediction->order) ||
        !time_sound(prediction->given_s) || !time_sound(prediction->due_s) ||
        !time_sound(prediction->seen_s) || !index_sound(prediction->sure, PREDICTION_SURE_MOST + 1) ||
        !index_sound(prediction->count, PREDICTION_PARTS + 1))
        return false;
    for (int i = 0; i < prediction->count; i++) {
        const PredictionPart *part = &prediction->part[i];
        if (!index_sound((int)part->quantity, DISPLAY_COUNT) || !index_sound((int)part->said, WAY_COUNT) ||
            !index_sound((int)part->seen, WAY_COUNT) || !value_sound(part->before) ||
            !value_sound(part->after) || !value_sound(part->least) || !bool_sound(&part->known) ||
            !bool_sound(&part->hit))
            return false;
    }
    return true;
}

static bool predictions_sound(const PredictionsState *predictions) {
    if (predictions->count < 0 || !index_sound(predictions->kept, PREDICTIONS_MAX + 1)) return false;
    for (int i = 0; i < predictions->kept; i++) {
        if (!prediction_sound(&predictions->prediction[i])) return false;
    }
    return values_sound(predictions->mean, DISPLAY_COUNT) &&
           bools_sound(predictions->mean_known, DISPLAY_COUNT);
}

static bool prompts_sound(const ScriptState *script) {
    for (int i = 0; i < CASE_PROMPTS_MAX; i++) {
        if (script->prompt_said[i] < 0 || !time_sound(script->prompt_said_s[i])) return false;
    }
    return true;
}

bool sim_session_state_sound(const SessionState *state, const Case *case_file) {
    const double most = TIME_LONGEST_S * 1000;
    const double patient_s = (double)state->patient.state.tick * BEAT_TICK_S;
    return state->time_s >= 0 && time_sound(state->time_s) && fabs(patient_s - state->time_s) < SAME_TIME_S &&
           state->beats >= 0 && state->log_count >= 0 && (double)state->log_count < most &&
           state->history_count >= 0 && (double)state->history_count < most && orders_sound(&state->orders) &&
           script_sound(&state->script, case_file) && prompts_sound(&state->script) &&
           look_sound(&state->look) && calls_sound(&state->calls) && predictions_sound(&state->predictions) &&
           sim_score_state_sound(&state->score) &&
           state->orders_given >= 0 && state->hands >= 0 && time_sound(state->last_deed_s) &&
           instruments_sound(&state->instruments) && sim_alarms_state_sound(&state->alarms);
}
