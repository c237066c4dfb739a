/* The one door for acts, and the trainee's beside orders: looks, calls, predictions, notes. */
#include "sim/session_parts.h"

#include <stdio.h>
#include <string.h>

#define NURSE "nurse"

void sim_session_parts_start_acts(Session *session) {
    SessionState *state = &session->state;
    sim_look_start(&state->look);
    sim_predictions_start(&state->predictions);
    memset(&state->calls, 0, sizeof state->calls);
    state->orders_given = 0;
    state->last_deed_s = 0;
    if (!session->case_file.truth_given) return;
    const DiagnosisRow *row = sim_diagnoses_row(session->case_file.truth.diagnosis);
    sim_session_parts_log(session, LOG_TRUTH, row->key, row->label);
}

void sim_session_parts_chain(Session *session, const char *words) {
    uint64_t hash = session->state.chain;
    for (; *words != '\0'; words++) {
        hash = (hash ^ (unsigned char)*words) * UINT64_C(1099511628211); /* FNV-1a */
    }
    session->state.chain = hash ^ hash >> 32;
}

void sim_session_parts_log_act(Session *session, LogKind kind, const char *from, const char *words) {
    sim_session_parts_log(session, kind, from, words);
    sim_session_parts_chain(session, words);
}

static void log_act(Session *session, LogKind kind, const char *words) {
    sim_session_parts_log_act(session, kind, SESSION_TRAINEE, words);
}

/* ---- look ---- */

static ErrorCode do_look(Session *session, const Act *act, const char *words, Error *error) {
    SessionState *state = &session->state;
    bool was_shown = state->look.phase == LOOK_SHOWN, shown = false;
    ErrorCode code = act->end ? sim_look_end(&state->look, state->time_s, error)
                              : sim_look_ask(&state->look, &session->case_file.look, act->view, state->time_s,
                                             &shown, error);
    if (code != ERROR_OK) return code;
    log_act(session, LOG_LOOK, words);
    state->last_deed_s = state->time_s;
    if (shown && !was_shown)
        sim_session_parts_log(session, LOG_PICTURE, sim_look_view_key(act->view), "on show");
    return ERROR_OK;
}

static void advance_look(Session *session) {
    SessionState *state = &session->state;
    const char *view = sim_look_view_key(state->look.view);
    switch (sim_look_advance(&state->look, &session->case_file.look, state->time_s)) {
    case LOOK_CHANGE_READY:
        sim_session_parts_log(session, LOG_PICTURE, view, "on show");
        sim_session_parts_log(session, LOG_MESSAGE, NURSE, "The probe is in place. You have the picture.");
        break;
    case LOOK_CHANGE_OVER:
        sim_session_parts_log(session, LOG_PICTURE, view, "over");
        sim_session_parts_log(session, LOG_MESSAGE, NURSE, "They need the probe back. The picture is off.");
        break;
    case LOOK_CHANGE_NONE:
        break;
    }
}

/* ---- call ---- */

static void do_call(Session *session, const Act *act, const char *words) {
    SessionState *state = &session->state;
    CallsState *calls = &state->calls;
    char answer[CASE_TEXT_MAX];
    if (calls->kept == SESSION_CALLS_MAX)
        memmove(&calls->call[0], &calls->call[1], (size_t)--calls->kept * sizeof(Call));
    Call *call = &calls->call[calls->kept++];
    *call = (Call){.time_s = state->time_s,
                   .diagnosis = act->diagnosis,
                   .kind = act->kind,
                   .confidence_percent = act->confidence_percent};
    memcpy(call->plan, act->words, sizeof call->plan);
    calls->count++;
    sim_score_call(&state->score, sim_session_truth(session), call->diagnosis, call->kind, state->time_s);
    state->last_deed_s = state->time_s;
    log_act(session, LOG_CALL, words);
    snprintf(answer, sizeof answer, "Noted: %s, %d %% sure.%s%s", sim_diagnoses_row(act->diagnosis)->label,
             act->confidence_percent, act->words[0] != '\0' ? " The plan is written down." : "",
             act->kind == PROBLEM_surgical ? " Say when you want the surgeon to act: it takes time." : "");
    sim_session_parts_log(session, LOG_MESSAGE, NURSE, answer);
}

/* ---- predict ---- */

static bool question(const Session *session, const Order *order, PredictionAsk *ask) {
    const Case *case_file = &session->case_file;
    return sim_predictions_ask(&case_file->predict, order, &session->state.orders, &case_file->limits,
                               &session->state.instruments.display, ask);
}

static ErrorCode do_predict(Session *session, const Act *act, const char *words, Error *error) {
    SessionState *state = &session->state;
    PredictionAsk ask;
    if (!question(session, &act->order, &ask)) {
        model_error_set(error, ERROR_NOT_ALLOWED, "nothing is asked about this order");
        model_error_allow(error, "the order alone");
        return ERROR_NOT_ALLOWED;
    }
    const PredictionsState before = state->predictions;
    sim_predictions_count_order(&state->predictions);
    ErrorCode code = sim_predictions_add(&state->predictions, &act->order, &ask, &act->answer,
                                         &state->instruments.display, state->time_s, error);
    if (code == ERROR_OK) code = sim_session_parts_give(session, &act->order, RECORDS_FROM_PREDICTION, error);
    if (code == ERROR_OK)
        log_act(session, LOG_PREDICTION, words);
    else
        state->predictions = before;
    return code;
}

/* "cvp down 14.2 -> 12.1, said same: missed" for each part. */
static void describe(const Prediction *prediction, char *text, size_t size) {
    int known, hits;
    sim_predictions_score(prediction, &known, &hits);
    size_t used = (size_t)snprintf(text, size, "%d of %d", hits, known);
    for (int i = 0; i < prediction->count && used < size; i++) {
        const PredictionPart *part = &prediction->part[i];
        char name[PREDICTION_NAME_MAX];
        sim_predictions_name(part->quantity, name);
        if (part->known)
            used += (size_t)snprintf(text + used, size - used, "; %s %s %.4g to %.4g, said %s", name,
                                     sim_predictions_way_word(part->seen), part->before, part->after,
                                     sim_predictions_way_word(part->said));
        else
            used += (size_t)snprintf(text + used, size - used, "; %s not on show", name);
    }
}

static void advance_predictions(Session *session, double dt_s) {
    SessionState *state = &session->state;
    const Display *display = &state->instruments.display;
    const Prediction *seen;
    while ((seen = sim_predictions_advance(&state->predictions, display, dt_s, state->time_s)) != NULL) {
        char text[RECORDS_TEXT_MAX];
        dt_s = 0;
        sim_score_prediction(&state->score, seen);
        describe(seen, text, sizeof text);
        sim_session_parts_log(session, LOG_OUTCOME, sim_orders_row(seen->order.id)->key, text);
        sim_session_parts_chain(session, text);
    }
}

/* ---- one door ---- */

static ErrorCode do_act(Session *session, const Act *act, const char *words, Error *error) {
    switch (act->id) {
    case ACT_look:
        return do_look(session, act, words, error);
    case ACT_call:
        do_call(session, act, words);
        return ERROR_OK;
    case ACT_predict:
        return do_predict(session, act, words, error);
    case ACT_note:
        log_act(session, LOG_NOTE, words);
        return ERROR_OK;
    case ACT_bookmark:
        log_act(session, LOG_BOOKMARK, words);
        return ERROR_OK;
    case ACT_set:
        return sim_session_parts_cause(session, act, words, error);
    case ACT_acknowledge:
    case ACT_pause:
    case ACT_limit:
        return sim_session_alarm_act(session, words, error);
    default:
        return sim_session_give(session, &act->order, error);
    }
}

/* Whose act it is when a plan says it. */
static SessionVoice voice_of(const Session *session, const Act *act) {
    bool cause = act->id == ACT_set && !session->case_file.practice;
    return act->by_instructor || cause ? SESSION_VOICE_INSTRUCTOR : SESSION_VOICE_TRAINEE;
}

static ErrorCode check_voice(SessionVoice voice, const Act *act, Error *error) {
    const char *key = act->id == ACT_order ? sim_orders_row(act->order.id)->key : sim_acts_row(act->id)->key;
    if (voice == SESSION_VOICE_TRAINEE && act->by_instructor) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s is said by the instructor here, not by the trainee",
                        key);
        model_error_allow(error, "the instructor's window, or a plan");
        return ERROR_NOT_ALLOWED;
    }
    if (voice == SESSION_VOICE_INSTRUCTOR && !act->by_instructor) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s is the trainee's to say", key);
        model_error_allow(error,
                          "an order, a cause, a note, or an act of the instructor: evenkeel list acts");
        return ERROR_NOT_ALLOWED;
    }
    return ERROR_OK;
}

/* True for what the instructor may say although the trainee may too. */
static bool shared(ActId id) {
    return id == ACT_order || id == ACT_set || id == ACT_note || id == ACT_bookmark;
}

ErrorCode sim_session_act_as(Session *session, SessionVoice voice, const Act *act, Error *error) {
    char words[ACT_TEXT_MAX];
    Act said;
    bool when_over = act->id != ACT_order && sim_acts_row(act->id)->when_over;
    if (sim_session_ended(session) && !when_over)
        return model_error_set(error, ERROR_NOT_ALLOWED, "the case has ended");
    /* what acts is what its words say, so that a night repeated from its log is the same to the last bit */
    sim_acts_format(act, words, sizeof words);
    ErrorCode code = sim_acts_parse(words, &session->case_file.limits, &said, error);
    if (code != ERROR_OK) return code;
    said.by_instructor |= act->by_instructor;
    if (voice == SESSION_VOICE_PLAN) voice = voice_of(session, &said);
    if (voice == SESSION_VOICE_INSTRUCTOR && shared(said.id)) said.by_instructor = true;
    code = check_voice(voice, &said, error);
    if (code != ERROR_OK) return code;
    return said.by_instructor ? sim_session_parts_hand(session, &said, words, error)
                              : do_act(session, &said, words, error);
}

ErrorCode sim_session_say_as(Session *session, SessionVoice voice, const char *words, Error *error) {
    Act act;
    ErrorCode code = sim_acts_parse(words, &session->case_file.limits, &act, error);
    return code == ERROR_OK ? sim_session_act_as(session, voice, &act, error) : code;
}

ErrorCode sim_session_act(Session *session, const Act *act, Error *error) {
    return sim_session_act_as(session, SESSION_VOICE_TRAINEE, act, error);
}

ErrorCode sim_session_say(Session *session, const char *words, Error *error) {
    return sim_session_say_as(session, SESSION_VOICE_TRAINEE, words, error);
}

ErrorCode sim_session_set_parameter(Session *session, ParameterId id, double value, double over_s,
                                    Error *error) {
    const Act act = {.id = ACT_set, .parameter = id, .value = value, .over_s = over_s};
    return sim_session_act(session, &act, error);
}

void sim_session_parts_advance_acts(Session *session, double dt_s) {
    advance_look(session);
    advance_predictions(session, dt_s);
}

/* ---- reading ---- */

LookStatus sim_session_look(const Session *session) {
    return sim_look_status(&session->state.look, &session->case_file.look, session->state.time_s);
}

int64_t sim_session_call_count(const Session *session) {
    return session->state.calls.count;
}

const Call *sim_session_call(const Session *session, int i) {
    const CallsState *calls = &session->state.calls;
    return i >= 0 && i < calls->kept ? &calls->call[calls->kept - 1 - i] : NULL;
}

bool sim_session_asks(const Session *session, const Order *order, PredictionAsk *ask) {
    return session->case_file.guided && question(session, order, ask);
}

int64_t sim_session_prediction_count(const Session *session) {
    return session->state.predictions.count;
}

const Prediction *sim_session_prediction(const Session *session, int i) {
    const PredictionsState *predictions = &session->state.predictions;
    return i >= 0 && i < predictions->kept ? &predictions->prediction[predictions->kept - 1 - i] : NULL;
}

const CaseTruth *sim_session_truth(const Session *session) {
    return sim_script_truth_at(&session->state.script, &session->case_file, session->state.time_s);
}

bool sim_session_names(const CaseTruth *truth, DiagnosisId diagnosis) {
    if (truth->diagnosis == diagnosis) return true;
    for (int i = 0; i < truth->also_count; i++) {
        if (truth->also[i] == diagnosis) return true;
    }
    return false;
}

bool sim_session_names_kind(const CaseTruth *truth, ProblemKind kind) {
    if (sim_diagnoses_row(truth->diagnosis)->kind == kind) return true;
    for (int i = 0; i < truth->also_count; i++) {
        if (sim_diagnoses_row(truth->also[i])->kind == kind) return true;
    }
    return false;
}

Deeds sim_session_parts_deeds(const Session *session) {
    const SessionState *state = &session->state;
    const Call *last = sim_session_call(session, 0);
    Deeds deeds = {{0}};
    deeds.value[DEED_idle_s] = state->time_s - state->last_deed_s;
    deeds.value[DEED_orders_given] = (double)state->orders_given;
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        deeds.value[DEED_under_way] += state->orders.running[i].active;
    }
    deeds.value[DEED_looks_had] = state->look.count;
    deeds.value[DEED_look_on_show] = state->look.phase == LOOK_SHOWN;
    deeds.value[DEED_calls_made] = (double)state->calls.count;
    deeds.value[DEED_predictions_made] = (double)state->predictions.said;
    if (last == NULL) return deeds;
    const CaseTruth *truth = sim_session_truth(session);
    deeds.value[DEED_call_right] = sim_session_names(truth, last->diagnosis);
    deeds.value[DEED_call_kind_right] = sim_session_names_kind(truth, last->kind);
    deeds.value[DEED_call_confidence_percent] = last->confidence_percent;
    return deeds;
}

Deeds sim_session_deeds(const Session *session) {
    return sim_session_parts_deeds(session);
}
