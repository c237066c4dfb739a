/* What an instructor does to a night that runs: events, causes, the pump's screen, messages, the truth. */
#include "sim/session_parts.h"

#include <stdio.h>
#include <string.h>

/* The order that sets a parameter; ORDER_COUNT if none does. Actions only touch theirs once. */
static OrderId order_of(ParameterId id) {
    for (int i = 0; i < ORDER_COUNT; i++) {
        const OrderRow *row = sim_orders_row((OrderId)i);
        if (row->parameter == id && row->kind != ORDER_KIND_ACTION) return (OrderId)i;
    }
    return ORDER_COUNT;
}

static ErrorCode set_at_once(Session *session, const Act *act, Error *error) {
    ParameterChange change = {.id = act->parameter, .value = act->value};
    const OrdersState before = session->state.orders;
    if (change.id == PARAMETER_rhythm_kind)
        change.value = sim_orders_rhythm(&session->state.orders, change.value);
    ErrorCode code = sim_session_parts_set(session, &change, 1, error);
    if (code == ERROR_OK)
        sim_script_stop_ramp(&session->state.script, act->parameter);
    else
        session->state.orders = before;
    return code;
}

ErrorCode sim_session_parts_cause(Session *session, const Act *act, const char *words, Error *error) {
    SessionState *state = &session->state;
    const Parameters *parameters = model_patient_parameters(session->patient);
    OrderId order = order_of(act->parameter);
    ErrorCode code = ERROR_OK;
    if (!session->case_file.practice && !act->by_instructor) {
        model_error_set(error, ERROR_NOT_ALLOWED, "causes can be changed in free practice only");
        model_error_allow(error, "a case with practice: yes");
        return ERROR_NOT_ALLOWED;
    }
    if (order != ORDER_COUNT) {
        char example[ORDER_TEXT_MAX];
        sim_orders_example(order, example, sizeof example);
        model_error_set(error, ERROR_NOT_ALLOWED, "%s is set by an order",
                        model_parameters_row(act->parameter)->key);
        model_error_allow(error, "like %s%s", act->by_instructor ? RECORDS_FROM_INSTRUCTOR " " : "", example);
        return ERROR_NOT_ALLOWED;
    }
    if (act->over_s <= 0) {
        code = set_at_once(session, act, error);
    } else if (!sim_script_ramp(&state->script, act->parameter,
                                model_parameters_get(parameters, act->parameter), act->value, act->over_s,
                                state->time_s)) {
        code = model_error_set(error, ERROR_NOT_ALLOWED, "too many causes are moving at once");
        model_error_allow(error, "at most %d", SCRIPT_LIVE_MAX);
    }
    if (code == ERROR_OK)
        sim_session_parts_log_act(session, LOG_CAUSE,
                                  act->by_instructor ? RECORDS_FROM_INSTRUCTOR : SESSION_TRAINEE, words);
    return code;
}

/* ---- the timeline ---- */

static ErrorCode do_event(Session *session, const Act *act, Error *error) {
    ScriptState *script = &session->state.script;
    const Case *case_file = &session->case_file;
    int event = sim_script_find_event(case_file, act->name, error);
    if (event < 0) return ERROR_UNKNOWN_NAME;
    switch (act->id) {
    case ACT_fire:
        return sim_script_call(script, case_file, event, error);
    case ACT_delay:
        return sim_script_delay(script, case_file, event, act->for_s, error);
    default:
        return sim_script_skip(script, case_file, event, act->id == ACT_skip, error);
    }
}

static ErrorCode do_freeze(Session *session, const Act *act, Error *error) {
    if (session->state.beats == 0) return model_error_set(error, ERROR_NOT_ALLOWED, "nothing is on show yet");
    if (sim_instruments_freeze(&session->state.instruments, !act->end)) return ERROR_OK;
    return model_error_set(error, ERROR_NOT_ALLOWED, "the pump's screen %s",
                           act->end ? "is not frozen" : "is frozen already");
}

static ErrorCode do_truth(Session *session, const Act *act, Error *error) {
    const DiagnosisRow *row = sim_diagnoses_row(act->diagnosis);
    CaseTruth truth = {.diagnosis = act->diagnosis};
    const CaseTruth *now = sim_session_truth(session);
    if (session->case_file.truth_given && now->diagnosis == act->diagnosis && now->also_count == 0)
        return model_error_set(error, ERROR_NOT_ALLOWED, "the truth is %s already", row->key);
    sim_script_say_truth(&session->state.script, &truth, session->state.time_s);
    return ERROR_OK;
}

/* The rest of an act, after its own entry in the log. */
static void follow_up(Session *session, const Act *act) {
    if (act->id == ACT_say) sim_session_parts_log(session, LOG_MESSAGE, act->name, act->words);
    if (act->id != ACT_truth) return;
    const DiagnosisRow *row = sim_diagnoses_row(act->diagnosis);
    sim_session_parts_log(session, LOG_TRUTH, row->key, row->label);
}

/* Acts that have an entry of one kind and may be refused. */
static ErrorCode do_hand(Session *session, const Act *act, Error *error) {
    switch (act->id) {
    case ACT_fire:
    case ACT_delay:
    case ACT_skip:
    case ACT_keep:
        return do_event(session, act, error);
    case ACT_freeze:
        return do_freeze(session, act, error);
    case ACT_truth:
        return do_truth(session, act, error);
    default:
        return ERROR_OK;
    }
}

static LogKind kind_of(ActId id) {
    return id == ACT_mark       ? LOG_MARK
           : id == ACT_note     ? LOG_NOTE
           : id == ACT_bookmark ? LOG_BOOKMARK
                                : LOG_HAND;
}

ErrorCode sim_session_parts_hand(Session *session, const Act *act, const char *words, Error *error) {
    ErrorCode code = ERROR_OK;
    if (act->id == ACT_take_back) return sim_session_parts_take_back(session, act->for_s, error);
    if (act->id == ACT_order) {
        code = sim_session_parts_give(session, &act->order, RECORDS_FROM_INSTRUCTOR, error);
    } else if (act->id == ACT_set) {
        code = sim_session_parts_cause(session, act, words, error);
    } else {
        code = do_hand(session, act, error);
        if (code != ERROR_OK) return code;
        sim_session_parts_log_act(session, kind_of(act->id), RECORDS_FROM_INSTRUCTOR, words);
        follow_up(session, act);
    }
    if (code == ERROR_OK) session->state.hands++;
    return code;
}

bool sim_session_frozen(const Session *session) {
    return session->state.instruments.pump_frozen;
}
