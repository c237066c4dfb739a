/* One night: a patient, a case, its script, the orders, the instruments and the log, advanced beat by beat.
   Everything that decides the future is in SessionState, which is plain data: a copy is a snapshot. The log
   and the trends are records; restoring an earlier state cuts them back to its time. */
#ifndef SIM_SESSION_H
#define SIM_SESSION_H

#include "model/beat.h"
#include "model/error.h"
#include "model/patient.h"
#include "sim/acts.h"
#include "sim/alarms.h"
#include "sim/case.h"
#include "sim/instruments.h"
#include "sim/orders.h"
#include "sim/records.h"
#include "sim/score.h"
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

enum { SESSION_CALLS_MAX = 16 };

/* A working diagnosis that was called. */
typedef struct Call {
    double time_s;
    DiagnosisId diagnosis;
    ProblemKind kind;
    int confidence_percent;
    char plan[ACT_WORDS_MAX];
} Call;

/* The newest calls, oldest first. Flat. */
typedef struct CallsState {
    int64_t count; /* of the night */
    int kept;
    Call call[SESSION_CALLS_MAX];
} CallsState;

/* Everything that is not fixed by the case file and decides the future. Flat. */
typedef struct SessionState {
    Snapshot patient;
    OrdersState orders;
    ScriptState script;
    InstrumentsState instruments;
    AlarmsState alarms;
    LookState look;
    CallsState calls;
    PredictionsState predictions;
    ScoreState score;
    int64_t orders_given;
    double last_deed_s;      /* of the last order, look or call; 0 before the first */
    Observables observables; /* running means that conditions look at; time_s is exact */
    double time_s;
    int64_t beats;
    int64_t hands; /* acts of the instructor that were carried out */
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

/* The truth as conditions see it: running means over a breath or two; those of the settled patient before the
   first beat. */
const Observables *sim_session_means(const Session *session);

/* Means over a breath of the settled patient before the case began: the heart picture's reference. */
const Observables *sim_session_reference(const Session *session);

const Parameters *sim_session_parameters(const Session *session);

/* Says anything that a trainee can do, in words: an order, a look, a call, a prediction with its order, a
   note, a bookmark, an act on alarms, in free practice a cause (see sim/acts.h). It is carried out and
   logged, and a night is repeated by saying the same words at the same times. Refusals change nothing and
   give the reason. */
MODEL_CHECKED ErrorCode sim_session_say(Session *session, const char *words, Error *error);

/* Who speaks. The instructor may say the acts that are the instructor's (acts.def), orders, notes, and causes
   in every case; what is looked at, called and predicted stays with the trainee. A plan speaks for both: each
   act by the one whose it is. */
typedef enum SessionVoice {
    SESSION_VOICE_TRAINEE,
    SESSION_VOICE_INSTRUCTOR,
    SESSION_VOICE_PLAN
} SessionVoice;

/* The same door, with who speaks; sim_session_say is the trainee. */
MODEL_CHECKED ErrorCode sim_session_say_as(Session *session, SessionVoice voice, const char *words,
                                           Error *error);
MODEL_CHECKED ErrorCode sim_session_act_as(Session *session, SessionVoice voice, const Act *act,
                                           Error *error);

/* The same for what is already read; what acts is what its words say. */
MODEL_CHECKED ErrorCode sim_session_act(Session *session, const Act *act, Error *error);

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

/* Alarms on show, their limits, the audio pause. */
const AlarmsState *sim_session_alarms(const Session *session);

/* A trainee act on alarms in words: see sim/alarms.h. */
MODEL_CHECKED ErrorCode sim_session_alarm_act(Session *session, const char *words, Error *error);

/* How the look stands: whether the picture may be drawn, how long to wait. */
LookStatus sim_session_look(const Session *session);

/* Working diagnoses called so far, and the newest of them: call i, 0 is the newest; NULL where there is none.
 */
int64_t sim_session_call_count(const Session *session);
const Call *sim_session_call(const Session *session, int i);

/* True if the case asks for a prediction before this order, and then what it asks. Words that answer it:
   "predict ORDER : QUANTITY up, ..., sure 3" or "predict ORDER : skip". */
bool sim_session_asks(const Session *session, const Order *order, PredictionAsk *ask);

/* Predictions said so far, and the newest of them: prediction i, 0 is the newest; NULL where there is none.
 */
int64_t sim_session_prediction_count(const Session *session);
const Prediction *sim_session_prediction(const Session *session, int i);

/* True while the pump's screen stands still (act "freeze"). */
bool sim_session_frozen(const Session *session);

/* What is wrong now, as the case says it: not for the trainee's eyes. The case tells whether it says so at
   all (truth_given). */
const CaseTruth *sim_session_truth(const Session *session);

/* True if a diagnosis is what `truth` says, or passes for it; and the same for a kind of problem. */
bool sim_session_names(const CaseTruth *truth, DiagnosisId diagnosis);
bool sim_session_names_kind(const CaseTruth *truth, ProblemKind kind);

/* Moves a cause to `value` (its unit) within over_s (s; 0: at once), as the act "set" does: free practice
 * only. */
MODEL_CHECKED ErrorCode sim_session_set_parameter(Session *session, ParameterId id, double value,
                                                  double over_s, Error *error);

/* What the trainee has done, as conditions see it. */
Deeds sim_session_deeds(const Session *session);

/* Log: entries are numbered from 0 to count - 1; NULL for one that is no longer kept. */
int64_t sim_session_log_count(const Session *session);
const LogEntry *sim_session_log_entry(const Session *session, int64_t number);

/* What the rubric has measured so far; sim_score_lines tells it. */
const ScoreState *sim_session_score(const Session *session);

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

/* ---- taking back ----

   "take_back 5min" brings the session to what it was at the first beat's end five minutes ago or later,
   before anything was said at that moment: the same state to the last bit. It comes from a state kept before
   that, by saying the acts in between again. The log and the trends are cut back to it; what is cut off is
   handed to the journal. */

enum { SESSION_KEPT_MAX = 64, SESSION_TAKEN_MAX = 1024, SESSION_TAKES_MAX = 32 };

/* Keeps a state of every minute from now on, of the last hour, so that time can be taken back. Without it
   nothing can be. False when memory is short. */
bool sim_session_keep(Session *session);

/* Adds a state of this night, with its records in place: from a recorded night that is gone on with, in order
   of time. */
void sim_session_keep_state(Session *session, const SessionState *state);

/* One time that was taken back. */
typedef struct SessionTake {
    int64_t number; /* 1 is the first since the session was opened */
    double from_s, to_s;
    int64_t log_count; /* entries that stayed; the next is the take-back's own */
} SessionTake;

/* How often time was taken back since the session was opened, and one of those times: 1 to that number, of
   which the newest SESSION_TAKES_MAX are known (an older one: to the beginning). */
int64_t sim_session_takes(const Session *session);
SessionTake sim_session_take(const Session *session, int64_t number);

/* The entries that were cut off last (at most SESSION_TAKEN_MAX): number `i` of *count; NULL behind them. */
const LogEntry *sim_session_taken(const Session *session, int i, int *count);

/* The latest that a take-back by for_s (s) would go to; negative with `error` when it cannot. */
double sim_session_back_to_s(const Session *session, double for_s, Error *error);

/* 64-bit fingerprint of the night so far: time, every beat's end state, observables, parameters, and orders.
   Two nights with the same fingerprint at the same time have had the same course. */
uint64_t sim_session_hash(const Session *session);

#endif
