/* What the files of the session share. Internal to sim/session*.c. */
#ifndef SIM_SESSION_PARTS_H
#define SIM_SESSION_PARTS_H

#include "sim/session.h"

#define SESSION_TRAINEE "trainee"

/* States kept to go back to, oldest first, and what was cut off last. */
typedef struct SessionBack {
    int kept, taken;
    double next_keep_s;
    int64_t takes;
    SessionTake take[SESSION_TAKES_MAX]; /* take n at n % max */
    SessionState state[SESSION_KEPT_MAX];
    LogEntry entry[SESSION_TAKEN_MAX];
} SessionBack;

struct Session {
    Case case_file;
    uint64_t seed;
    Patient *patient;
    Records *records;
    Observables reference;
    OrdersState first_orders; /* in force when the night began */
    SessionState state;       /* its patient part is filled when saved; the rest is live */
    Beat beat;
    Trace trace;
    SessionBack *back; /* NULL: nothing is kept */
};

/* Writes to the night's log, at its present time. */
void sim_session_parts_log(Session *session, LogKind kind, const char *from, const char *text);

/* Sets parameters; on a refusal those already set are put back. */
MODEL_CHECKED ErrorCode sim_session_parts_set(Session *session, const ParameterChange changes[], int count,
                                              Error *error);

/* Gives an order; `from` goes into the log. Refusals change nothing. */
MODEL_CHECKED ErrorCode sim_session_parts_give(Session *session, const Order *order, const char *from,
                                               Error *error);

/* The acts' part of a new night, and what of them goes on by itself after dt_s (s) more. */
void sim_session_parts_start_acts(Session *session);
void sim_session_parts_advance_acts(Session *session, double dt_s);

/* Carries out an instructor's act; `words` are what it says. */
MODEL_CHECKED ErrorCode sim_session_parts_hand(Session *session, const Act *act, const char *words,
                                               Error *error);

/* Changes a cause; by the instructor or in free practice. */
MODEL_CHECKED ErrorCode sim_session_parts_cause(Session *session, const Act *act, const char *words,
                                                Error *error);

/* Takes time back. */
MODEL_CHECKED ErrorCode sim_session_parts_take_back(Session *session, double for_s, Error *error);

/* Keeps the present state if it is time to. */
void sim_session_parts_keep(Session *session);

/* Logs an act in its words; they are part of what makes the night. */
void sim_session_parts_log_act(Session *session, LogKind kind, const char *from, const char *words);

/* What the trainee has done so far. */
Deeds sim_session_parts_deeds(const Session *session);

/* Adds words to the night's running hash. */
void sim_session_parts_chain(Session *session, const char *words);

#endif
