/* Taking time back: states of every minute are kept, and the way from one of them to the moment wanted is
   played again. The future depends on nothing here. */
#include "sim/session_parts.h"

#include "sim/duration.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KEEP_EVERY_S 60.0

static const double HALF_TICK_S = BEAT_TICK_S / 2.0;

bool sim_session_keep(Session *session) {
    if (session->back == NULL) session->back = calloc(1, sizeof *session->back);
    if (session->back == NULL) return false;
    if (session->back->kept == 0) sim_session_parts_keep(session);
    return true;
}

/* Room for one more; the oldest goes when there is none. */
static SessionState *slot(SessionBack *back) {
    if (back->kept == SESSION_KEPT_MAX) {
        memmove(&back->state[0], &back->state[1], (SESSION_KEPT_MAX - 1) * sizeof back->state[0]);
        back->kept--;
    }
    return &back->state[back->kept++];
}

static void keep_next(SessionBack *back, double time_s) {
    back->next_keep_s = (floor(time_s / KEEP_EVERY_S) + 1) * KEEP_EVERY_S;
}

void sim_session_parts_keep(Session *session) {
    SessionBack *back = session->back;
    if (back == NULL || session->state.time_s < back->next_keep_s) return;
    sim_session_save(session, slot(back));
    keep_next(back, session->state.time_s);
}

void sim_session_keep_state(Session *session, const SessionState *state) {
    SessionBack *back = session->back;
    if (back == NULL) return;
    while (back->kept > 0 && back->state[back->kept - 1].time_s >= state->time_s - HALF_TICK_S)
        back->kept--;
    *slot(back) = *state;
    keep_next(back, state->time_s);
}

/* The newest state from which the moment can be reached; NULL: none. What was said at its moment may be in
   it: it has to be earlier, but for the beginning. */
static const SessionState *state_before(const Session *session, double to_s) {
    const SessionBack *back = session->back;
    for (int i = back != NULL ? back->kept - 1 : -1; i >= 0; i--) {
        const SessionState *state = &back->state[i];
        bool begins = state->beats == 0 && to_s <= 0;
        if (state->time_s >= to_s - HALF_TICK_S && !begins) continue;
        /* what was said since has to be known still */
        if (state->log_count < session->state.log_count &&
            sim_records_log_entry(session->records, state->log_count) == NULL)
            return NULL;
        return state;
    }
    return NULL;
}

double sim_session_back_to_s(const Session *session, double for_s, Error *error) {
    double to_s = fmax(session->state.time_s - for_s, 0);
    if (session->state.time_s <= HALF_TICK_S) {
        (void)model_error_set(error, ERROR_NOT_ALLOWED, "nothing has happened yet");
        return -1;
    }
    if (state_before(session, to_s) != NULL) return to_s;
    (void)model_error_set(error, ERROR_NOT_ALLOWED, "the night cannot go back so far");
    model_error_allow(error, session->back == NULL ? "a night in the window, or evenkeel run and resume"
                                                   : "a shorter time: the last hour is kept");
    return -1;
}

/* Entries of the log from `first` on, in memory of its own; NULL when memory is short. */
static LogEntry *copy_log(const Session *session, int64_t first, int *count) {
    int64_t end = session->state.log_count;
    LogEntry *entries = calloc((size_t)(end - first) + 1, sizeof *entries);
    *count = 0;
    for (int64_t i = first; entries != NULL && i < end; i++) {
        const LogEntry *entry = sim_records_log_entry(session->records, i);
        if (entry != NULL) entries[(*count)++] = *entry;
    }
    return entries;
}

static SessionVoice voice_of(const LogEntry *entry) {
    return strcmp(entry->from, RECORDS_FROM_INSTRUCTOR) == 0 ? SESSION_VOICE_INSTRUCTOR
                                                             : SESSION_VOICE_TRAINEE;
}

/* Plays on to the first beat's end at to_s or later, saying again what was said before it. */
static ErrorCode play_again(Session *session, const LogEntry *entries, int count, double to_s, Error *error) {
    ErrorCode code = ERROR_OK;
    for (int i = 0; code == ERROR_OK && i < count && entries[i].time_s < to_s - HALF_TICK_S; i++) {
        if (!sim_records_repeats(entries[i].kind, entries[i].from)) continue;
        while (code == ERROR_OK && session->state.time_s < entries[i].time_s - HALF_TICK_S)
            code = sim_session_advance(session, error);
        if (code == ERROR_OK)
            code = sim_session_say_as(session, voice_of(&entries[i]), entries[i].text, error);
    }
    while (code == ERROR_OK && session->state.time_s < to_s - HALF_TICK_S)
        code = sim_session_advance(session, error);
    return code;
}

/* Keeps what was cut off for the journal, and says in the log that it was. */
static void note_take(Session *session, const LogEntry *entries, int count, double from_s) {
    SessionBack *back = session->back;
    char from[DURATION_TEXT_MAX], to[DURATION_TEXT_MAX], text[RECORDS_TEXT_MAX];
    back->taken = 0;
    for (int i = 0; i < count; i++) {
        if (entries[i].number < session->state.log_count || back->taken == SESSION_TAKEN_MAX) continue;
        back->entry[back->taken++] = entries[i];
    }
    back->takes++;
    back->take[back->takes % SESSION_TAKES_MAX] = (SessionTake){.number = back->takes,
                                                                .from_s = from_s,
                                                                .to_s = session->state.time_s,
                                                                .log_count = session->state.log_count};
    sim_duration_format_clock(from_s, from, sizeof from);
    sim_duration_format_clock(session->state.time_s, to, sizeof to);
    snprintf(text, sizeof text, "the night was taken back from %s to %s", from, to);
    sim_session_parts_log(session, LOG_TAKE_BACK, RECORDS_FROM_INSTRUCTOR, text);
}

ErrorCode sim_session_parts_take_back(Session *session, double for_s, Error *error) {
    double from_s = session->state.time_s, to_s = sim_session_back_to_s(session, for_s, error);
    if (to_s < 0) return ERROR_NOT_ALLOWED;
    const SessionState *before = state_before(session, to_s);
    int count;
    LogEntry *entries = copy_log(session, before->log_count, &count);
    if (entries == NULL) return model_error_set(error, ERROR_MEMORY, "no memory to take time back");
    SessionBack *back = session->back;
    back->kept = (int)(before - back->state) + 1;
    keep_next(back, before->time_s);
    ErrorCode code = sim_session_restore(session, before, error);
    if (code == ERROR_OK) code = play_again(session, entries, count, to_s, error);
    if (code == ERROR_OK) note_take(session, entries, count, from_s);
    free(entries);
    return code;
}

int64_t sim_session_takes(const Session *session) {
    return session->back != NULL ? session->back->takes : 0;
}

SessionTake sim_session_take(const Session *session, int64_t number) {
    int64_t takes = sim_session_takes(session);
    bool known = number > 0 && number <= takes && number > takes - SESSION_TAKES_MAX;
    return known ? session->back->take[number % SESSION_TAKES_MAX] : (SessionTake){.number = number};
}

const LogEntry *sim_session_taken(const Session *session, int i, int *count) {
    const SessionBack *back = session->back;
    int taken = back != NULL ? back->taken : 0;
    if (count != NULL) *count = taken;
    return i >= 0 && i < taken ? &back->entry[i] : NULL;
}
