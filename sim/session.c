/* One night, beat by beat. */
#include "sim/session.h"

#include "sim/session_parts.h"
#include "sim/session_state.h"
#include "sim/surgeon.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AVERAGE_TAU_S 8.0 /* of what conditions look at: two breaths */

enum { REFERENCE_BEATS = 16 }; /* a few breaths */

SessionOptions sim_session_options_none(void) {
    SessionOptions options;
    memset(&options, 0, sizeof options);
    return options;
}

static ConditionInputs inputs_of(const Session *session, const Deeds *deeds) {
    return (ConditionInputs){.observables = &session->state.observables,
                             .display = &session->state.instruments.display,
                             .parameters = model_patient_parameters(session->patient),
                             .deeds = deeds};
}

void sim_session_parts_log(Session *session, LogKind kind, const char *from, const char *text) {
    sim_records_log(session->records, session->state.time_s, kind, from, text);
    session->state.log_count = sim_records_log_count(session->records);
}

static uint64_t mix(uint64_t hash, const double *values, size_t count) {
    for (size_t i = 0; i < count; i++) {
        uint64_t word;
        memcpy(&word, &values[i], sizeof word);
        hash = (hash ^ word) * UINT64_C(1099511628211); /* FNV-1a by words, then folded */
        hash ^= hash >> 32;
    }
    return hash;
}

/* Conditions look at the mean over a breath or two, not at single beats that ride on the ventilator. */
static void average_observables(Session *session) {
    double *mean = (double *)&session->state.observables;
    const double *values = (const double *)&session->beat.observables;
    double share = 1 - exp(-session->beat.ticks * BEAT_TICK_S / AVERAGE_TAU_S);
    for (int k = 0; k < OBSERVABLE_COUNT; k++) {
        mean[k] += share * (values[k] - mean[k]);
    }
    session->state.observables.time_s = session->state.time_s;
}

/* Adds the beat just played to the night's running hash. */
static void chain_beat(Session *session) {
    const Beat *beat = &session->beat;
    SessionState *state = &session->state;
    uint64_t hash = state->chain;
    if (beat->ticks > 0)
        hash = mix(hash, (const double *)&beat->samples[beat->ticks - 1], sizeof(Sample) / sizeof(double));
    hash = mix(hash, (const double *)&beat->observables, sizeof(Observables) / sizeof(double));
    hash = mix(hash, (const double *)model_patient_parameters(session->patient),
               sizeof(Parameters) / sizeof(double));
    hash = mix(hash, state->orders.value, ORDER_COUNT);
    hash = mix(hash, state->alarms.limits.value, ALARM_COUNT);
    hash = mix(hash, state->alarms.told_s, ALARM_COUNT);
    hash = mix(hash, &state->alarms.paused_until_s, 1);
    state->chain = mix(hash, state->instruments.display.value, DISPLAY_COUNT);
}

ErrorCode sim_session_parts_set(Session *session, const ParameterChange changes[], int count, Error *error) {
    const Parameters before = *model_patient_parameters(session->patient);
    for (int i = 0; i < count; i++) {
        ErrorCode code = model_patient_set(session->patient, changes[i].id, changes[i].value, error);
        if (code == ERROR_OK) continue;
        for (int k = 0; k < i; k++) {
            Error ignored;
            ErrorCode back = model_patient_set(session->patient, changes[k].id,
                                               model_parameters_get(&before, changes[k].id), &ignored);
            (void)back; /* a value that was in force is in range */
        }
        return code;
    }
    return ERROR_OK;
}

/* What orders do at the instruments, and what is told about them. */
static void carry_out(Session *session, const OrderEffects *effects) {
    const InstrumentsState *instruments = &session->state.instruments;
    sim_instruments_handle(&session->state.instruments, effects->drawn, effects->reported, effects->hands);
    for (int i = 0; i < effects->saying_count; i++) {
        sim_session_parts_log(session, LOG_MESSAGE, effects->sayings[i].from, effects->sayings[i].text);
    }
    if (!effects->surgeon) return;
    char text[SURGEON_TEXT_MAX];
    sim_surgeon_opinion(&instruments->display, model_patient_parameters(session->patient), text, sizeof text);
    sim_session_parts_log(session, LOG_MESSAGE, "Surgeon", text);
}

/* Results that came with the beat just played. */
static void log_results(Session *session) {
    for (int test = 0; test < ORDER_TEST_COUNT; test++) {
        char text[INSTRUMENTS_RESULT_MAX];
        const char *from =
            sim_instruments_result(&session->state.instruments, (OrderTest)test, text, sizeof text);
        if (from != NULL) sim_session_parts_log(session, LOG_MESSAGE, from, text);
    }
}

/* Books fluids and drips of the beat, ends what is complete. */
static ErrorCode advance_orders(Session *session, double dt_s, Error *error) {
    OrderEffects effects;
    sim_orders_advance(&session->state.orders, model_patient_parameters(session->patient), dt_s, &effects);
    ErrorCode code = sim_session_parts_set(session, effects.changes, effects.change_count, error);
    if (code != ERROR_OK) return code;
    carry_out(session, &effects);
    for (int i = 0; i < effects.done_count; i++) {
        char text[ORDER_TEXT_MAX];
        sim_orders_format(&effects.done[i], text, sizeof text);
        sim_session_parts_log(session, LOG_DONE, SESSION_TRAINEE, text);
    }
    return ERROR_OK;
}

static void log_script(Session *session, const ScriptEffects *effects) {
    const Case *case_file = &session->case_file;
    for (int i = 0; i < effects->fired_count; i++) {
        int event = effects->fired[i];
        bool other = session->state.script.way[event] == SCRIPT_WAY_OTHERWISE;
        sim_session_parts_log(session, LOG_EVENT, case_file->events[event].id, other ? "otherwise" : "");
    }
    for (int i = 0; i < effects->message_count; i++) {
        const CaseAction *action = &case_file->actions[effects->messages[i]];
        sim_session_parts_log(session, LOG_MESSAGE, action->from, action->text);
    }
    for (int i = 0; i < effects->prompt_count; i++) {
        const CasePrompt *prompt = &case_file->prompts[effects->prompts[i]];
        sim_session_parts_log(session, LOG_MESSAGE, prompt->from, prompt->text);
    }
    for (int i = 0; i < effects->truth_count; i++) {
        const CaseTruth *truth = &case_file->actions[effects->truths[i]].truth;
        const DiagnosisRow *row = sim_diagnoses_row(truth->diagnosis);
        sim_session_parts_log(session, LOG_TRUTH, row->key, row->label);
    }
    for (int i = 0; i < effects->met_count; i++) {
        const CaseObjective *objective = &case_file->objectives[effects->met[i]];
        sim_session_parts_log(session, LOG_OBJECTIVE, objective->id, objective->text);
    }
    if (effects->ended) {
        const ScriptState *script = &session->state.script;
        sim_session_parts_log(session, LOG_END, sim_case_outcome_word(script->outcome),
                              sim_script_end_text(script, case_file));
    }
}

/* Causes moved by hand may come to values that do not go together: such a one stays where it is, and says so.
 */
static ErrorCode set_those_that_go(Session *session, const ScriptEffects *effects) {
    for (int i = 0; i < effects->change_count; i++) {
        Error refused;
        char text[ERROR_WHAT_MAX + CASE_LINE_MAX];
        if (sim_session_parts_set(session, &effects->changes[i], 1, &refused) == ERROR_OK) continue;
        const char *key = model_parameters_row(effects->changes[i].id)->key;
        sim_script_stop_ramp(&session->state.script, effects->changes[i].id);
        snprintf(text, sizeof text, "%s stays where it is: %s", key, refused.what);
        bool practice = session->case_file.practice;
        sim_session_parts_log(session, practice ? LOG_MESSAGE : LOG_ASIDE, practice ? "practice" : key, text);
    }
    return ERROR_OK;
}

static ErrorCode advance_script(Session *session, Error *error) {
    ScriptEffects effects;
    const Deeds deeds = sim_session_parts_deeds(session);
    ConditionInputs inputs = inputs_of(session, &deeds);
    sim_script_advance(&session->state.script, &session->case_file, &inputs, session->state.time_s, &effects);
    for (int i = 0; i < effects.change_count; i++) {
        ParameterChange *change = &effects.changes[i];
        if (change->id == PARAMETER_rhythm_kind)
            change->value = sim_orders_rhythm(&session->state.orders, change->value);
    }
    ErrorCode code = session->case_file.practice || session->state.hands > 0
                         ? set_those_that_go(session, &effects)
                         : sim_session_parts_set(session, effects.changes, effects.change_count, error);
    if (code == ERROR_OK) log_script(session, &effects);
    return code;
}

static void log_alarms(Session *session, const AlarmEffects *effects) {
    for (int i = 0; i < effects->note_count; i++) {
        char text[ALARM_TEXT_MAX];
        sim_alarms_note_text(&effects->notes[i], text, sizeof text);
        sim_session_parts_log(session, LOG_ALARM, sim_alarms_row(effects->notes[i].id)->key, text);
    }
}

/* The rubric looks at what there is after the script. */
static void advance_score(Session *session, double dt_s) {
    const Deeds deeds = sim_session_parts_deeds(session);
    const ConditionInputs inputs = inputs_of(session, &deeds);
    sim_score_advance(&session->state.score, &session->case_file, &inputs, sim_session_truth(session), dt_s,
                      session->state.time_s);
}

/* The alarms look at the instruments, and at what the devices tell of themselves. */
static void advance_alarms(Session *session) {
    const Parameters *parameters = model_patient_parameters(session->patient);
    SignsDevices devices = {.left_present = parameters->left_pump_present > 0.5,
                            .left_supplied = parameters->left_pump_powered > 0.5,
                            .right_present = parameters->right_pump_present > 0.5};
    AlarmEffects effects;
    Display display;
    sim_instruments_alarmed(&session->state.instruments, &display);
    sim_alarms_advance(&session->state.alarms, &session->trace, &display, &devices, session->state.time_s,
                       &effects);
    log_alarms(session, &effects);
    sim_instruments_cover(&session->state.instruments, &session->trace);
}

/* Means of the settled patient over some beats; the patient is put back afterwards. */
static ErrorCode take_reference(Session *session, Error *error) {
    Snapshot snapshot;
    double *mean = (double *)&session->reference;
    const double *values = (const double *)&session->beat.observables;
    model_patient_save(session->patient, &snapshot);
    memset(&session->reference, 0, sizeof session->reference);
    for (int i = 0; i < REFERENCE_BEATS; i++) {
        ErrorCode code = model_patient_advance(session->patient, &session->beat, error);
        if (code != ERROR_OK) return code;
        for (int k = 0; k < OBSERVABLE_COUNT; k++) {
            mean[k] += values[k] / REFERENCE_BEATS;
        }
    }
    session->reference.time_s = 0;
    session->beat.ticks = 0;
    return model_patient_restore(session->patient, &snapshot, error);
}

static ErrorCode open_patient(Session *session, const SessionOptions *options, Error *error) {
    Parameters parameters = session->case_file.patient.parameters;
    for (int i = 0; i < options->set_count; i++) {
        ErrorCode code =
            model_parameters_set(&parameters, options->sets[i].id, options->sets[i].value, error);
        if (code != ERROR_OK) return code;
    }
    session->patient = model_patient_create(&parameters, session->seed, error);
    if (session->patient == NULL) return error != NULL ? error->code : ERROR_INTERNAL;
    return model_patient_settle(session->patient, session->case_file.patient.settle_s, error);
}

static ErrorCode open_all(Session *session, const SessionOptions *options, Error *error) {
    SessionState *state = &session->state;
    ErrorCode code = open_patient(session, options, error);
    if (code == ERROR_OK) code = take_reference(session, error);
    if (code != ERROR_OK) return code;
    sim_orders_start(&state->orders, model_patient_parameters(session->patient));
    sim_orders_seed(&state->orders, session->seed);
    session->first_orders = state->orders;
    sim_script_start(&state->script);
    sim_script_draw(&state->script, &session->case_file, session->seed);
    sim_score_start(&state->score);
    sim_instruments_start(&state->instruments, session->seed);
    sim_alarms_start(&state->alarms, &session->case_file.alarms);
    state->observables = session->reference;
    state->chain = session->seed;
    sim_session_parts_start_acts(session);
    ErrorCode scripted = advance_script(session, error);
    advance_score(session, 0);
    return scripted;
}

Session *sim_session_open(const Case *case_file, const SessionOptions *options, Error *error) {
    const SessionOptions none = sim_session_options_none();
    Error local;
    if (error == NULL) error = &local;
    model_error_clear(error);
    if (options == NULL) options = &none;
    Session *session = calloc(1, sizeof *session);
    if (session == NULL) {
        model_error_set(error, ERROR_MEMORY, "no memory for a session");
        return NULL;
    }
    session->case_file = *case_file;
    session->seed = options->seed_given ? options->seed : case_file->seed;
    session->records = sim_records_create();
    if (session->records == NULL) {
        model_error_set(error, ERROR_MEMORY, "no memory for a session");
    } else if (open_all(session, options, error) == ERROR_OK) {
        return session;
    }
    sim_session_close(session);
    return NULL;
}

void sim_session_close(Session *session) {
    if (session == NULL) return;
    model_patient_destroy(session->patient);
    sim_records_destroy(session->records);
    free(session->back);
    free(session);
}

ErrorCode sim_session_advance(Session *session, Error *error) {
    SessionState *state = &session->state;
    if (sim_session_ended(session)) return model_error_set(error, ERROR_NOT_ALLOWED, "the case has ended");
    ErrorCode code = model_patient_advance(session->patient, &session->beat, error);
    if (code != ERROR_OK) return code;
    state->beats++;
    state->time_s = model_patient_time_s(session->patient);
    average_observables(session);
    sim_instruments_advance(&state->instruments, &session->beat, model_patient_parameters(session->patient),
                            &session->trace);
    log_results(session);
    advance_alarms(session);
    code = advance_orders(session, session->beat.ticks * BEAT_TICK_S, error);
    sim_session_parts_advance_acts(session, session->beat.ticks * BEAT_TICK_S);
    if (code == ERROR_OK) code = advance_script(session, error);
    advance_score(session, session->beat.ticks * BEAT_TICK_S);
    sim_records_show(session->records, state->time_s, &state->instruments.display);
    state->history_count = sim_records_history_count(session->records);
    chain_beat(session);
    if (code == ERROR_OK) sim_session_parts_keep(session);
    return code;
}

ErrorCode sim_session_advance_to(Session *session, double time_s, Error *error) {
    while (session->state.time_s < time_s && !sim_session_ended(session)) {
        ErrorCode code = sim_session_advance(session, error);
        if (code != ERROR_OK) return code;
    }
    return ERROR_OK;
}

double sim_session_time_s(const Session *session) {
    return session->state.time_s;
}

const Case *sim_session_case(const Session *session) {
    return &session->case_file;
}

uint64_t sim_session_seed(const Session *session) {
    return session->seed;
}

const Beat *sim_session_beat(const Session *session) {
    return &session->beat;
}

const Display *sim_session_display(const Session *session) {
    return &session->state.instruments.display;
}

const Trace *sim_session_trace(const Session *session) {
    return &session->trace;
}

const Observables *sim_session_means(const Session *session) {
    return &session->state.observables;
}

const Observables *sim_session_reference(const Session *session) {
    return &session->reference;
}

const Parameters *sim_session_parameters(const Session *session) {
    return model_patient_parameters(session->patient);
}

ErrorCode sim_session_parts_give(Session *session, const Order *order, const char *from, Error *error) {
    SessionState *state = &session->state;
    const OrderLimits *limits = &session->case_file.limits;
    const OrdersState before = state->orders;
    OrderEffects effects = {0};
    if (sim_session_ended(session)) return model_error_set(error, ERROR_NOT_ALLOWED, "the case has ended");
    /* what acts is what its words say (a button may add up 0.15000000000000002), so that a night repeated
       from its log is the same to the last bit */
    char text[ORDER_TEXT_MAX];
    Order said;
    const Order resolved = sim_orders_resolve(order, model_patient_parameters(session->patient)->weight_kg);
    ErrorCode code = sim_orders_check(&resolved, limits, error);
    sim_orders_format(&resolved, text, sizeof text);
    if (code == ERROR_OK) code = sim_orders_parse(text, limits, &said, error);
    if (code == ERROR_OK)
        code = sim_orders_give(&state->orders, &said, limits, model_patient_parameters(session->patient),
                               state->time_s, &effects, error);
    if (code == ERROR_OK) code = sim_session_parts_set(session, effects.changes, effects.change_count, error);
    if (code != ERROR_OK) {
        state->orders = before;
        return code;
    }
    carry_out(session, &effects);
    sim_session_parts_log(session, LOG_ORDER, from, text);
    if (strcmp(from, RECORDS_FROM_INSTRUCTOR) == 0) return ERROR_OK; /* nothing that the trainee did */
    state->orders_given++;
    state->last_deed_s = state->time_s;
    return ERROR_OK;
}

ErrorCode sim_session_give(Session *session, const Order *order, Error *error) {
    ErrorCode code = sim_session_parts_give(session, order, SESSION_TRAINEE, error);
    if (code == ERROR_OK) sim_predictions_count_order(&session->state.predictions);
    return code;
}

ErrorCode sim_session_order(Session *session, const char *text, Error *error) {
    Order order;
    ErrorCode code = sim_orders_parse(text, &session->case_file.limits, &order, error);
    if (code != ERROR_OK) return code;
    return sim_session_give(session, &order, error);
}

ErrorCode sim_session_stop(Session *session, int index, Error *error) {
    const OrdersState *orders = &session->state.orders;
    if (index < 0 || index >= ORDER_RUNNING_MAX || !orders->running[index].active)
        return model_error_set(error, ERROR_NOT_ALLOWED, "nothing of this number is under way");
    Order order = sim_orders_stop(orders, index);
    return sim_session_give(session, &order, error);
}

const AlarmsState *sim_session_alarms(const Session *session) {
    return &session->state.alarms;
}

ErrorCode sim_session_alarm_act(Session *session, const char *words, Error *error) {
    AlarmAct act;
    AlarmEffects effects;
    ErrorCode code = sim_alarms_parse(words, &act, error);
    if (code == ERROR_OK)
        code = sim_alarms_do(&session->state.alarms, &act, &session->case_file.alarms, session->state.time_s,
                             &effects, error);
    if (code != ERROR_OK) return code;
    char text[ALARM_TEXT_MAX];
    sim_alarms_format(&act, text, sizeof text);
    sim_session_parts_log(session, LOG_ALARM_ACT, SESSION_TRAINEE, text);
    log_alarms(session, &effects);
    return ERROR_OK;
}

const OrdersState *sim_session_orders(const Session *session) {
    return &session->state.orders;
}

const OrdersState *sim_session_first_orders(const Session *session) {
    return &session->first_orders;
}

const OrderLimits *sim_session_limits(const Session *session) {
    return &session->case_file.limits;
}

int64_t sim_session_log_count(const Session *session) {
    return sim_records_log_count(session->records);
}

const LogEntry *sim_session_log_entry(const Session *session, int64_t number) {
    return sim_records_log_entry(session->records, number);
}

const ScoreState *sim_session_score(const Session *session) {
    return &session->state.score;
}

const ScriptState *sim_session_script(const Session *session) {
    return &session->state.script;
}

bool sim_session_ended(const Session *session) {
    return session->state.script.ended_s >= 0;
}

CaseOutcome sim_session_outcome(const Session *session) {
    return session->state.script.outcome;
}

const char *sim_session_end_text(const Session *session) {
    return sim_script_end_text(&session->state.script, &session->case_file);
}

int64_t sim_session_history_count(const Session *session) {
    return sim_records_history_count(session->records);
}

int64_t sim_session_history_first(const Session *session) {
    return sim_records_history_first(session->records);
}

double sim_session_history_value(const Session *session, DisplayId id, int64_t i) {
    return sim_records_history_value(session->records, id, i);
}

Records *sim_session_records(Session *session) {
    return session->records;
}

void sim_session_save(const Session *session, SessionState *state) {
    *state = session->state;
    model_patient_save(session->patient, &state->patient);
}

ErrorCode sim_session_restore(Session *session, const SessionState *state, Error *error) {
    if (!sim_session_state_sound(state, &session->case_file))
        return model_error_set(error, ERROR_FORMAT, "this is not the state of a session");
    ErrorCode code = model_patient_restore(session->patient, &state->patient, error);
    if (code != ERROR_OK) return code;
    session->state = *state;
    sim_records_rewind(session->records, state->log_count, state->history_count);
    session->beat.ticks = 0;
    session->trace.ticks = 0;
    return ERROR_OK;
}

uint64_t sim_session_hash(const Session *session) {
    return mix(session->state.chain, &session->state.time_s, 1);
}
