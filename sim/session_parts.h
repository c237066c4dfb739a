/* What the files of the session share. Internal to sim/session*.c. */
#ifndef SIM_SESSION_PARTS_H
#define SIM_SESSION_PARTS_H

#include "sim/session.h"

#define SESSION_TRAINEE "trainee"

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

/* What the trainee has done so far. */
Deeds sim_session_parts_deeds(const Session *session);

/* Adds words to the night's running hash. */
void sim_session_parts_chain(Session *session, const char *words);

#endif
