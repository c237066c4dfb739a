/* Judges a session's state that comes from outside (a journal, a file) before anything uses it. */
#ifndef SIM_SESSION_STATE_H
#define SIM_SESSION_STATE_H

#include "sim/session.h"

#include <stdbool.h>

/* True if every index, choice and count of `state` is one that a session of `case_file` can have, and every
   number the session's own parts calculate with is finite. The patient's part is judged by
   model_patient_restore. */
bool sim_session_state_sound(const SessionState *state, const Case *case_file);

#endif
