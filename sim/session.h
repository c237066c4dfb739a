/* One night: a patient, a case, its script, the orders, the instruments and the log, advanced beat by beat.
   Everything that decides the future is in SessionState, which is plain data: a copy is a snapshot. The log
   and the trends are records; restoring an earlier state cuts them back to its time. */
#ifndef SIM_SESSION_H
#define SIM_SESSION_H

#include "model/beat.h"
#include "model/error.h"
#include "model/patient.h"
#include "sim/case.h"
#include "sim/instruments.h"
#include "sim/orders.h"
#include "sim/records.h"
#include "sim/script.h"

#include <stdbool.h>
#include <stdint.h>

typedef struct Session Session;

enum { SESSION_SETS_MAX = 64 };

typedef struct SessionOptions {
    bool seed_given;
    uint64_t seed; /* instead of the case's */
    int set_count;
    CaseSet sets[SESSION_SETS_MAX]; /* parameters changed after the case's own */
} SessionOptions;

/* Everything that is not fixed by the case file and decides the future. Flat. */
typedef struct SessionState {
    Snapshot patient;
    OrdersState orders;
    ScriptState script;
    InstrumentsState instruments;
    Observables observables; /* running means that conditions look at; time_s is exact */
    double time_s;
    int64_t beats;
    int64_t log_count;
    int64_t history_count;
    uint64_t chain; /* running hash of the night, see sim_session_hash */
} SessionState;

/* No options: the case's seed, no changes. */
SessionOptions sim_session_options_none(void);

/* Opens a night at 0 s: patient made, settled, script and orders started, events due at 0 fired. Takes a copy
   of the case. NULL and `error` on refused parameters. Free with sim_session_close. */
Session *sim_session_open(const Case *case_file, const SessionOptions *options, Error *error);

/* Accepts NULL. */
void sim_session_close(Session *session);

/* Plays one beat and everything that follows it (instruments, orders, script, records). ERROR_NOT_ALLOWED
   after the end of the case. On a failure of the integrator the session stays at the last good beat. */
MODEL_CHECKED ErrorCode sim_session_advance(Session *session, Error *error);

/* Plays until time_s (s) is reached or the case has ended. */
MODEL_CHECKED ErrorCode sim_session_advance_to(Session *session, double time_s, Error *error);

double sim_session_time_s(const Session *session);
const Case *sim_session_case(const Session *session);
uint64_t sim_session_seed(const Session *session);

/* The last beat (truth), and what the bedside shows of it. Before the first beat ticks is 0 and nothing is
 * valid. */
const Beat *sim_session_beat(const Session *session);
const Display *sim_session_display(const Session *session);
const Trace *sim_session_trace(const Session *session);

/* Means over a breath of the settled patient before the case began: the heart picture's reference. */
const Observables *sim_session_reference(const Session *session);

const Parameters *sim_session_parameters(const Session *session);

/* Gives an order, in words or parsed. It acts from the next beat on and is logged. Refusals change nothing.
 */
MODEL_CHECKED ErrorCode sim_session_order(Session *session, const char *text, Error *error);
MODEL_CHECKED ErrorCode sim_session_give(Session *session, const Order *order, Error *error);

/* Stops a running volume, load or action (index into sim_session_orders()->running), by giving the order that
   stops it: the log has it in words. */
MODEL_CHECKED ErrorCode sim_session_stop(Session *session, int index, Error *error);

/* Settings in force, what is running, and what this case allows. */
const OrdersState *sim_session_orders(const Session *session);
/* Settings in force when the night began. */
const OrdersState *sim_session_first_orders(const Session *session);
const OrderLimits *sim_session_limits(const Session *session);

/* Log: entries are numbered from 0 to count - 1; NULL for one that is no longer kept. */
int64_t sim_session_log_count(const Session *session);
const LogEntry *sim_session_log_entry(const Session *session, int64_t number);

/* Objectives and the end. */
const ScriptState *sim_session_script(const Session *session);
bool sim_session_ended(const Session *session);
CaseOutcome sim_session_outcome(const Session *session);
const char *sim_session_end_text(const Session *session);

/* Trends: point i (0 <= i < count) is at i x RECORDS_HISTORY_STEP_S; NaN where nothing was on show. Only the
   newest RECORDS_HISTORY_MAX points are kept; first is the number of the oldest one. */
int64_t sim_session_history_count(const Session *session);
int64_t sim_session_history_first(const Session *session);
double sim_session_history_value(const Session *session, DisplayId id, int64_t i);

/* The records themselves, to be filled again from a recorded night before a state of it is restored. */
Records *sim_session_records(Session *session);

/* Copies the state out, or takes one over from the same case and build; on failure the session is unchanged.
   The last beat and trace are empty after a restore, until the next beat. */
void sim_session_save(const Session *session, SessionState *state);
MODEL_CHECKED ErrorCode sim_session_restore(Session *session, const SessionState *state, Error *error);

/* 64-bit fingerprint of the night so far: time, every beat's end state, observables, parameters, and orders.
   Two nights with the same fingerprint at the same time have had the same course. */
uint64_t sim_session_hash(const Session *session);

#endif
