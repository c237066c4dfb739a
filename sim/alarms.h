/* The alarms of the bed: a table of conditions on what instruments show (alarms.def), and the course each one
   takes: condition -> delay -> active -> acknowledged -> ended. Follows the conventions of alarm systems
   (three priorities, delays, grouping, latching, audio pause) so that they can be learnt; it is no medical
   alarm system.

   Trainee acts in words (sim_alarms_parse):

     acknowledge                     the alarm that stands first
     acknowledge art_mean_low        this one
     pause                           sound paused for 2 min of case time
     pause end                       sound on again
     limit art_mean low 55           also: limit art_mean_low 55mmHg, limit art_mean_mmhg low 55
     limit pump_pulsatility_low on   limit cvp_high off
     limit reset                     back to the case's limits

   Pure logic: knows no session. */
#ifndef SIM_ALARMS_H
#define SIM_ALARMS_H

#include "model/error.h"
#include "sim/instruments.h"
#include "sim/signs.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum AlarmId {
#define LIMIT(stem, suffix, label, group, priority, display, side, standard, on, least, most, step, back,    \
              delay_s, text, source)                                                                         \
    ALARM_##stem,
#define SIGN(key, label, group, priority, sign, latch, delay_s, text, source) ALARM_##key,
#define COVERS(alarm, covered)
#include "sim/alarms.def"
#undef LIMIT
#undef SIGN
#undef COVERS
    ALARM_COUNT
} AlarmId;

typedef enum AlarmPriority {
    ALARM_PRIORITY_NONE,
    ALARM_PRIORITY_LOW,
    ALARM_PRIORITY_MEDIUM,
    ALARM_PRIORITY_HIGH
} AlarmPriority;

typedef enum AlarmGroup {
    ALARM_GROUP_RHYTHM,
    ALARM_GROUP_LEFT_PUMP,
    ALARM_GROUP_RIGHT_PUMP,
    ALARM_GROUP_ARTERY,
    ALARM_GROUP_VEINS,
    ALARM_GROUP_LUNG_ARTERY,
    ALARM_GROUP_OXYGEN,
    ALARM_GROUP_VENOUS_OXYGEN,
    ALARM_GROUP_AIRWAY,
    ALARM_GROUP_BREATHS,
    ALARM_GROUP_TEMPERATURE,
    ALARM_GROUP_COUNT
} AlarmGroup;

typedef enum AlarmSide { ALARM_SIDE_SIGN, ALARM_SIDE_LOW, ALARM_SIDE_HIGH } AlarmSide;

typedef struct AlarmRow {
    const char *key;   /* with its unit if it is a limit: art_mean_low_mmhg */
    const char *stem;  /* without the unit; the same as key for a sign */
    const char *label; /* on the screen */
    AlarmGroup group;
    AlarmPriority priority;
    AlarmSide side;
    DisplayId display; /* number it watches; DISPLAY_COUNT for a sign */
    SignId sign;       /* SIGN_COUNT for a limit */
    double standard;   /* limit, in the unit of the number */
    bool on;           /* watched unless somebody switches it off */
    double least, most, step;
    double back; /* the number must come back inside by this */
    double delay_s;
    bool latch;
    const char *text, *source;
} AlarmRow;

#define ALARMS_PAUSE_S 120.0 /* one audio pause, case time; common practice: 2 min */

/* Limits in force; for signs nothing is kept. Flat. */
typedef struct AlarmLimits {
    double value[ALARM_COUNT];
    bool on[ALARM_COUNT];
} AlarmLimits;

typedef enum AlarmPhase {
    ALARM_QUIET,
    ALARM_WAITING,      /* condition there, delay running */
    ALARM_ACTIVE,       /* not yet acknowledged */
    ALARM_ACKNOWLEDGED, /* condition there, somebody knows */
    ALARM_LATCHED,      /* condition over, not yet acknowledged */
    ALARM_PHASE_COUNT
} AlarmPhase;

/* Flat: copied by assignment. Times are case time, s; negative: none. */
typedef struct AlarmsState {
    SignsState signs;
    AlarmLimits limits;
    AlarmPhase phase[ALARM_COUNT];
    double since_s[ALARM_COUNT]; /* start of the condition */
    double begun_s[ALARM_COUNT]; /* became active */
    double gone_s[ALARM_COUNT];  /* condition over since, while active or acknowledged */
    double told_s[ALARM_COUNT];  /* was told; an alarm covered by a worse one of its cause is not */
    bool covered[ALARM_COUNT];
    double told_count;     /* alarms told since the case began */
    double paused_until_s; /* audio pause */
    AlarmPriority paused;  /* what it silences: this priority and lower ones */
} AlarmsState;

typedef enum AlarmNoteKind {
    ALARM_NOTE_BEGIN,
    ALARM_NOTE_ACKNOWLEDGED,
    ALARM_NOTE_END,
    ALARM_NOTE_PAUSE_BROKEN
} AlarmNoteKind;

/* Something to be logged. */
typedef struct AlarmNote {
    AlarmNoteKind kind;
    AlarmId id;
    double seconds; /* since it was told */
    double value;   /* begin of a limit: the number on show */
    double limit;
} AlarmNote;

enum { ALARM_NOTES_MAX = 2 * ALARM_COUNT, ALARM_TEXT_MAX = 160 };

typedef struct AlarmEffects {
    int note_count;
    AlarmNote notes[ALARM_NOTES_MAX];
} AlarmEffects;

typedef enum AlarmActKind {
    ALARM_ACT_ACKNOWLEDGE,
    ALARM_ACT_PAUSE,
    ALARM_ACT_UNPAUSE,
    ALARM_ACT_LIMIT, /* to `value`, watched */
    ALARM_ACT_ON,
    ALARM_ACT_OFF,
    ALARM_ACT_RESET
} AlarmActKind;

typedef struct AlarmAct {
    AlarmActKind kind;
    AlarmId id; /* ALARM_COUNT: the one that stands first */
    double value;
} AlarmAct;

const AlarmRow *sim_alarms_row(AlarmId id);

/* Finds by key, or by key without its unit; ALARM_COUNT if there is none. */
AlarmId sim_alarms_find(const char *key);

/* "high", "medium", "low"; "none". */
const char *sim_alarms_priority_word(AlarmPriority priority);

/* The table's limits. */
AlarmLimits sim_alarms_limits_standard(void);

/* Checks one limit against its allowed range and against its counterpart on the other side in `limits`. */
MODEL_CHECKED ErrorCode sim_alarms_limit_check(const AlarmLimits *limits, AlarmId id, double value,
                                               Error *error);

/* All quiet, with these limits in force. */
void sim_alarms_start(AlarmsState *state, const AlarmLimits *limits);

/* Takes in what the instruments show after a beat that ended at time_s and fills *effects (overwritten). */
void sim_alarms_advance(AlarmsState *state, const Trace *trace, const Display *display,
                        const SignsDevices *devices, double time_s, AlarmEffects *effects);

/* Reads a trainee act. On failure *act is unchanged and `error` says what is allowed or the nearest name. */
MODEL_CHECKED ErrorCode sim_alarms_parse(const char *words, AlarmAct *act, Error *error);

/* Writes an act as sim_alarms_parse reads it; always terminated. */
void sim_alarms_format(const AlarmAct *act, char *text, size_t size);

/* Carries an act out at time_s. `resets` are the limits that a reset goes back to. An acknowledgement of the
   first alarm is changed to name it (*act), so that the words logged say which. *effects is overwritten.
   ERROR_NOT_ALLOWED, ERROR_RANGE leave the state unchanged. */
MODEL_CHECKED ErrorCode sim_alarms_do(AlarmsState *state, AlarmAct *act, const AlarmLimits *resets,
                                      double time_s, AlarmEffects *effects, Error *error);

/* An alarm on show. */
typedef struct AlarmShown {
    AlarmId id;
    AlarmPhase phase; /* active, acknowledged or latched */
    double told_s;
} AlarmShown;

/* Alarms on show: by priority, then those not acknowledged, then the newest. Returns their number; at most
   `most` are written to `shown`. */
int sim_alarms_list(const AlarmsState *state, AlarmShown shown[], int most);

/* Highest priority that asks for a sound at time_s: told, not acknowledged, not paused. */
AlarmPriority sim_alarms_sounding(const AlarmsState *state, double time_s);

/* Highest priority on show for a displayed number, NONE if there is no alarm on it. */
AlarmPriority sim_alarms_of_display(const AlarmsState *state, DisplayId display, AlarmShown *shown);

/* Seconds left of the audio pause; 0: none. */
double sim_alarms_pause_left_s(const AlarmsState *state, double time_s);

/* Writes a note in words for the log: "begins: MAP low, 58 mmHg, limit 60"; always terminated. */
void sim_alarms_note_text(const AlarmNote *note, char *text, size_t size);

/* Writes a limit with as many decimals as its step needs, without the unit. */
void sim_alarms_format_limit(AlarmId id, double value, char *text, size_t size);

/* True if every number, choice and time is one that alarms can have (a state from outside). */
bool sim_alarms_state_sound(const AlarmsState *state);

#endif
