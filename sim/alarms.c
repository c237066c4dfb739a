/* The alarm engine: conditions, delays, groups, acknowledgement, audio pause. */
#include "sim/alarms.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NONE_S         (-1.0)
#define ENDS_AFTER_S   5.0 /* the condition must be over for so long; design */
#define TIME_LONGEST_S 1e7 /* no night is longer */

#define JOIN_KEY(stem, suffix) #stem "_" #suffix

static const AlarmRow rows[ALARM_COUNT] = {
#define LIMIT(stem_, suffix, label_, group_, priority_, display_, side_, standard_, on_, least_, most_,      \
              step_, back_, delay_s_, text_, source_)                                                        \
    {.key = JOIN_KEY(stem_, suffix),                                                                         \
     .stem = #stem_,                                                                                         \
     .label = label_,                                                                                        \
     .group = ALARM_GROUP_##group_,                                                                          \
     .priority = ALARM_PRIORITY_##priority_,                                                                 \
     .side = ALARM_SIDE_##side_,                                                                             \
     .display = DISPLAY_##display_,                                                                          \
     .sign = SIGN_COUNT,                                                                                     \
     .standard = standard_,                                                                                  \
     .on = (on_) != 0,                                                                                       \
     .least = least_,                                                                                        \
     .most = most_,                                                                                          \
     .step = step_,                                                                                          \
     .back = back_,                                                                                          \
     .delay_s = delay_s_,                                                                                    \
     .text = text_,                                                                                          \
     .source = source_},
#define SIGN(key_, label_, group_, priority_, sign_, latch_, delay_s_, text_, source_)                       \
    {.key = #key_,                                                                                           \
     .stem = #key_,                                                                                          \
     .label = label_,                                                                                        \
     .group = ALARM_GROUP_##group_,                                                                          \
     .priority = ALARM_PRIORITY_##priority_,                                                                 \
     .side = ALARM_SIDE_SIGN,                                                                                \
     .display = DISPLAY_COUNT,                                                                               \
     .sign = sign_,                                                                                          \
     .on = true,                                                                                             \
     .latch = (latch_) != 0,                                                                                 \
     .delay_s = delay_s_,                                                                                    \
     .text = text_,                                                                                          \
     .source = source_},
#define COVERS(alarm, covered)
#include "sim/alarms.def"
#undef LIMIT
#undef SIGN
#undef COVERS
};

typedef struct CoverRow {
    AlarmId alarm, covered;
} CoverRow;

static const CoverRow covers[] = {
#define LIMIT(stem, suffix, label, group, priority, display, side, standard, on, least, most, step, back,    \
              delay_s, text, source)
#define SIGN(key, label, group, priority, sign, latch, delay_s, text, source)
#define COVERS(alarm, covered) {ALARM_##alarm, ALARM_##covered},
#include "sim/alarms.def"
#undef LIMIT
#undef SIGN
#undef COVERS
};

const AlarmRow *sim_alarms_row(AlarmId id) {
    return &rows[id];
}

AlarmId sim_alarms_find(const char *key) {
    for (int id = 0; id < ALARM_COUNT; id++) {
        if (strcmp(key, rows[id].key) == 0 || strcmp(key, rows[id].stem) == 0) return (AlarmId)id;
    }
    return ALARM_COUNT;
}

const char *sim_alarms_priority_word(AlarmPriority priority) {
    static const char *const words[] = {"none", "low", "medium", "high"};
    return words[priority];
}

AlarmLimits sim_alarms_limits_standard(void) {
    AlarmLimits limits;
    memset(&limits, 0, sizeof limits);
    for (int id = 0; id < ALARM_COUNT; id++) {
        limits.value[id] = rows[id].standard;
        limits.on[id] = rows[id].on;
    }
    return limits;
}

ErrorCode sim_alarms_limit_check(const AlarmLimits *limits, AlarmId id, double value, Error *error) {
    const AlarmRow *row = &rows[id];
    const double slack = 1e-9; /* a limit read from text still fits */
    if (row->side == ALARM_SIDE_SIGN) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s has no limit to set", row->key);
        return ERROR_NOT_ALLOWED;
    }
    const char *unit = sim_instruments_display_row(row->display)->unit;
    if (!(value >= row->least - slack && value <= row->most + slack)) {
        model_error_set(error, ERROR_RANGE, "limit %g %s is out of range", value, unit);
        model_error_at(error, row->key, 0, 0);
        model_error_allow(error, "%g to %g %s", row->least, row->most, unit);
        return ERROR_RANGE;
    }
    for (int other = 0; other < ALARM_COUNT; other++) {
        if (rows[other].display != row->display || rows[other].side == row->side || !limits->on[other])
            continue;
        double low = row->side == ALARM_SIDE_LOW ? value : limits->value[other];
        double high = row->side == ALARM_SIDE_HIGH ? value : limits->value[other];
        if (low < high) continue;
        model_error_set(error, ERROR_COMBINATION, "limit %g %s would meet %s", value, unit,
                        rows[other].label);
        model_error_at(error, row->key, 0, 0);
        model_error_allow(error, "%s %g %s", row->side == ALARM_SIDE_LOW ? "below" : "above",
                          limits->value[other], unit);
        return ERROR_COMBINATION;
    }
    return ERROR_OK;
}

void sim_alarms_start(AlarmsState *state, const AlarmLimits *limits) {
    memset(state, 0, sizeof *state);
    sim_signs_start(&state->signs);
    state->limits = *limits;
    for (int id = 0; id < ALARM_COUNT; id++)
        state->since_s[id] = state->begun_s[id] = state->gone_s[id] = state->told_s[id] = NONE_S;
    state->paused_until_s = NONE_S;
}

static bool is_on(const AlarmsState *state, int id) {
    return state->phase[id] == ALARM_ACTIVE || state->phase[id] == ALARM_ACKNOWLEDGED;
}

static void note(AlarmEffects *effects, const AlarmsState *state, AlarmNoteKind kind, int id, double time_s,
                 double value) {
    if (effects->note_count == ALARM_NOTES_MAX) return;
    effects->notes[effects->note_count++] =
        (AlarmNote){.kind = kind,
                    .id = (AlarmId)id,
                    .seconds = state->told_s[id] >= 0 ? time_s - state->told_s[id] : 0,
                    .value = value,
                    .limit = state->limits.value[id]};
}

/* The condition now. While the alarm is on, the number must come back inside by a margin. */
static bool holds(const AlarmsState *state, int id, const Display *display) {
    const AlarmRow *row = &rows[id];
    if (row->side == ALARM_SIDE_SIGN) return state->signs.on[row->sign];
    if (!state->limits.on[id] || !display->valid[row->display]) return false;
    double margin = is_on(state, id) ? row->back : 0, value = display->value[row->display];
    return row->side == ALARM_SIDE_LOW ? value < state->limits.value[id] + margin
                                       : value > state->limits.value[id] - margin;
}

static void be_quiet(AlarmsState *state, int id) {
    state->phase[id] = ALARM_QUIET;
    state->since_s[id] = state->begun_s[id] = state->gone_s[id] = state->told_s[id] = NONE_S;
}

static void end(AlarmsState *state, int id, double time_s, AlarmEffects *effects) {
    note(effects, state, ALARM_NOTE_END, id, time_s, 0);
    be_quiet(state, id);
}

/* The condition of an alarm that is on has gone: it ends after a while, or stays until it is acknowledged. */
static void fade(AlarmsState *state, int id, double time_s, AlarmEffects *effects) {
    if (state->told_s[id] < 0) { /* another one stood for it, and nobody has heard of it */
        be_quiet(state, id);
        return;
    }
    if (state->gone_s[id] < 0) state->gone_s[id] = time_s;
    if (time_s - state->gone_s[id] < ENDS_AFTER_S) return;
    bool stays = rows[id].latch && state->phase[id] == ALARM_ACTIVE;
    if (stays)
        state->phase[id] = ALARM_LATCHED;
    else
        end(state, id, time_s, effects);
}

static void advance_row(AlarmsState *state, int id, const Display *display, double time_s,
                        AlarmEffects *effects) {
    bool there = holds(state, id, display);
    if (state->phase[id] == ALARM_QUIET && there) {
        state->phase[id] = ALARM_WAITING;
        state->since_s[id] = time_s;
    }
    switch (state->phase[id]) {
    case ALARM_WAITING:
        if (!there) {
            be_quiet(state, id);
        } else if (time_s - state->since_s[id] >= rows[id].delay_s) {
            state->phase[id] = ALARM_ACTIVE;
            state->begun_s[id] = time_s;
        }
        break;
    case ALARM_ACTIVE:
    case ALARM_ACKNOWLEDGED:
        if (there)
            state->gone_s[id] = NONE_S;
        else
            fade(state, id, time_s, effects);
        break;
    case ALARM_LATCHED:
        if (there) {
            state->phase[id] = ALARM_ACTIVE;
            state->gone_s[id] = NONE_S;
        }
        break;
    case ALARM_QUIET:
    case ALARM_PHASE_COUNT:
        break;
    }
}

/* Of one group only the worst alarm is told: the highest priority, then the first in the table. */
static void cover(AlarmsState *state) {
    int leader[ALARM_GROUP_COUNT];
    for (int group = 0; group < ALARM_GROUP_COUNT; group++)
        leader[group] = ALARM_COUNT;
    for (int id = 0; id < ALARM_COUNT; id++) {
        int *first = &leader[rows[id].group];
        if (is_on(state, id) && (*first == ALARM_COUNT || rows[id].priority > rows[*first].priority))
            *first = id;
    }
    for (int id = 0; id < ALARM_COUNT; id++)
        state->covered[id] = is_on(state, id) && leader[rows[id].group] != id;
    for (size_t i = 0; i < sizeof covers / sizeof covers[0]; i++) {
        if (is_on(state, covers[i].alarm) && is_on(state, covers[i].covered))
            state->covered[covers[i].covered] = true;
    }
}

double sim_alarms_pause_left_s(const AlarmsState *state, double time_s) {
    return time_s < state->paused_until_s ? state->paused_until_s - time_s : 0;
}

/* Tells what has become active and is not covered; what is more urgent than what was silenced breaks a pause.
 */
static void tell(AlarmsState *state, const Display *display, double time_s, AlarmEffects *effects) {
    for (int id = 0; id < ALARM_COUNT; id++) {
        if (state->phase[id] != ALARM_ACTIVE || state->covered[id] || state->told_s[id] >= 0) continue;
        const AlarmRow *row = &rows[id];
        state->told_s[id] = time_s;
        state->told_count++;
        note(effects, state, ALARM_NOTE_BEGIN, id, time_s,
             row->side == ALARM_SIDE_SIGN ? 0 : display->value[row->display]);
        if (sim_alarms_pause_left_s(state, time_s) > 0 && row->priority > state->paused) {
            state->paused_until_s = NONE_S;
            note(effects, state, ALARM_NOTE_PAUSE_BROKEN, id, time_s, 0);
        }
    }
}

void sim_alarms_advance(AlarmsState *state, const Trace *trace, const Display *display,
                        const SignsDevices *devices, double time_s, AlarmEffects *effects) {
    effects->note_count = 0;
    sim_signs_advance(&state->signs, trace, display, devices);
    for (int id = 0; id < ALARM_COUNT; id++)
        advance_row(state, id, display, time_s, effects);
    cover(state);
    tell(state, display, time_s, effects);
}

static bool is_shown(const AlarmsState *state, int id) {
    return (is_on(state, id) || state->phase[id] == ALARM_LATCHED) && !state->covered[id] &&
           state->told_s[id] >= 0;
}

/* True if a stands before b. */
static bool before(const AlarmShown *a, const AlarmShown *b) {
    if (rows[a->id].priority != rows[b->id].priority) return rows[a->id].priority > rows[b->id].priority;
    bool known_a = a->phase == ALARM_ACKNOWLEDGED, known_b = b->phase == ALARM_ACKNOWLEDGED;
    if (known_a != known_b) return known_b;
    return a->told_s > b->told_s;
}

int sim_alarms_list(const AlarmsState *state, AlarmShown shown[], int most) {
    AlarmShown all[ALARM_COUNT];
    int count = 0;
    for (int id = 0; id < ALARM_COUNT; id++) {
        if (!is_shown(state, id)) continue;
        AlarmShown entry = {.id = (AlarmId)id, .phase = state->phase[id], .told_s = state->told_s[id]};
        int at = count++;
        for (; at > 0 && before(&entry, &all[at - 1]); at--)
            all[at] = all[at - 1];
        all[at] = entry;
    }
    for (int i = 0; i < count && i < most; i++)
        shown[i] = all[i];
    return count;
}

/* Highest priority on show and not acknowledged. */
static AlarmPriority unacknowledged(const AlarmsState *state) {
    AlarmPriority highest = ALARM_PRIORITY_NONE;
    for (int id = 0; id < ALARM_COUNT; id++) {
        if (is_shown(state, id) && state->phase[id] != ALARM_ACKNOWLEDGED && rows[id].priority > highest)
            highest = rows[id].priority;
    }
    return highest;
}

AlarmPriority sim_alarms_sounding(const AlarmsState *state, double time_s) {
    return sim_alarms_pause_left_s(state, time_s) > 0 ? ALARM_PRIORITY_NONE : unacknowledged(state);
}

AlarmPriority sim_alarms_of_display(const AlarmsState *state, DisplayId display, AlarmShown *shown) {
    AlarmShown all[ALARM_COUNT];
    int count = sim_alarms_list(state, all, ALARM_COUNT);
    for (int i = 0; i < count; i++) {
        if (rows[all[i].id].display != display) continue;
        if (shown != NULL) *shown = all[i];
        return rows[all[i].id].priority;
    }
    return ALARM_PRIORITY_NONE;
}

/* Acknowledges one alarm, and with it what it covers in its group: the same cause is known. */
static void acknowledge(AlarmsState *state, int id, double time_s, AlarmEffects *effects) {
    note(effects, state, ALARM_NOTE_ACKNOWLEDGED, id, time_s, 0);
    if (state->phase[id] == ALARM_LATCHED) {
        end(state, id, time_s, effects);
        return;
    }
    state->phase[id] = ALARM_ACKNOWLEDGED;
    for (int other = 0; other < ALARM_COUNT; other++) {
        bool same = rows[other].group == rows[id].group && state->covered[other];
        if (!same || state->phase[other] != ALARM_ACTIVE) continue;
        state->phase[other] = ALARM_ACKNOWLEDGED;
        if (state->told_s[other] < 0) state->told_s[other] = state->begun_s[other];
    }
}

static ErrorCode do_acknowledge(AlarmsState *state, AlarmAct *act, double time_s, AlarmEffects *effects,
                                Error *error) {
    AlarmShown all[ALARM_COUNT];
    int count = sim_alarms_list(state, all, ALARM_COUNT);
    for (int i = 0; i < count; i++) {
        if (all[i].phase == ALARM_ACKNOWLEDGED || (act->id != ALARM_COUNT && act->id != all[i].id)) continue;
        act->id = all[i].id;
        acknowledge(state, all[i].id, time_s, effects);
        return ERROR_OK;
    }
    if (act->id == ALARM_COUNT)
        return model_error_set(error, ERROR_NOT_ALLOWED, "there is no alarm to acknowledge");
    return model_error_set(error, ERROR_NOT_ALLOWED, "%s is not waiting to be acknowledged",
                           rows[act->id].label);
}

static ErrorCode do_limit(AlarmsState *state, const AlarmAct *act, Error *error) {
    AlarmLimits *limits = &state->limits;
    double value = act->kind == ALARM_ACT_LIMIT ? act->value : limits->value[act->id];
    ErrorCode code = ERROR_OK;
    if (act->kind != ALARM_ACT_OFF || rows[act->id].side == ALARM_SIDE_SIGN)
        code = sim_alarms_limit_check(limits, act->id, value, error);
    if (code != ERROR_OK) return code;
    limits->value[act->id] = value;
    limits->on[act->id] = act->kind != ALARM_ACT_OFF;
    return ERROR_OK;
}

ErrorCode sim_alarms_do(AlarmsState *state, AlarmAct *act, const AlarmLimits *resets, double time_s,
                        AlarmEffects *effects, Error *error) {
    effects->note_count = 0;
    switch (act->kind) {
    case ALARM_ACT_ACKNOWLEDGE:
        return do_acknowledge(state, act, time_s, effects, error);
    case ALARM_ACT_PAUSE:
        state->paused = unacknowledged(state);
        if (state->paused < ALARM_PRIORITY_LOW) state->paused = ALARM_PRIORITY_LOW;
        state->paused_until_s = time_s + ALARMS_PAUSE_S;
        return ERROR_OK;
    case ALARM_ACT_UNPAUSE:
        state->paused_until_s = NONE_S;
        return ERROR_OK;
    case ALARM_ACT_RESET:
        state->limits = *resets;
        return ERROR_OK;
    case ALARM_ACT_LIMIT:
    case ALARM_ACT_ON:
    case ALARM_ACT_OFF:
        return do_limit(state, act, error);
    }
    return model_error_set(error, ERROR_INTERNAL, "this is no act on alarms");
}

static bool byte_sound(const bool *value) {
    unsigned char byte;
    memcpy(&byte, value, 1);
    return byte <= 1;
}

static bool time_sound(double time_s) {
    return isfinite(time_s) && fabs(time_s) <= TIME_LONGEST_S;
}

static bool signs_sound(const SignsState *signs) {
    for (int id = 0; id < SIGN_COUNT; id++) {
        if (!byte_sound(&signs->on[id])) return false;
    }
    return byte_sound(&signs->dips_started) && signs->wide_run >= 0 && isfinite(signs->dip_share) &&
           isfinite(signs->flow_l_min) && isfinite(signs->usual_share) && isfinite(signs->usual_l_min) &&
           isfinite(signs->usual_map_mmhg) && isfinite(signs->speed_rpm) && isfinite(signs->settled_s);
}

bool sim_alarms_state_sound(const AlarmsState *state) {
    for (int id = 0; id < ALARM_COUNT; id++) {
        if ((int)state->phase[id] < 0 || (int)state->phase[id] >= ALARM_PHASE_COUNT ||
            !time_sound(state->since_s[id]) || !time_sound(state->begun_s[id]) ||
            !time_sound(state->gone_s[id]) || !time_sound(state->told_s[id]) ||
            !byte_sound(&state->covered[id]) || !byte_sound(&state->limits.on[id]) ||
            !isfinite(state->limits.value[id]))
            return false;
    }
    return signs_sound(&state->signs) && isfinite(state->told_count) && time_sound(state->paused_until_s) &&
           (int)state->paused >= ALARM_PRIORITY_NONE && (int)state->paused <= ALARM_PRIORITY_HIGH;
}
