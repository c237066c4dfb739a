/* The flow sheet of a night: what a nurse would have written down every quarter of an hour. Readings are
   those the instruments showed, rates and volumes those that were ordered and ran; nothing comes from the
   patient's hidden state. A column belongs to a moment: readings are of that moment, volumes and samples of
   the time since the column before. */
#ifndef SIM_FLOWSHEET_H
#define SIM_FLOWSHEET_H

#include "model/error.h"
#include "sim/alarms.h"
#include "sim/course.h"

#include <stdio.h>

enum {
    FLOWSHEET_COLUMNS_MAX = 304, /* 25 h of 5 min, and the present */
    FLOWSHEET_ROWS_MAX = 112,
    FLOWSHEET_MARKS_MAX = 1024,
    FLOWSHEET_SAMPLES_MAX = 256,
    FLOWSHEET_SAMPLE_VALUES = 6,
    FLOWSHEET_NAME_MAX = 32,
    FLOWSHEET_WORDS_MAX = 96,
    FLOWSHEET_ALARMS_MAX = 512,
    FLOWSHEET_CELL_MAX = 32
};

typedef enum FlowGroup {
    FLOW_HAEMODYNAMICS,
    FLOW_PUMP,
    FLOW_VENTILATION,
    FLOW_INFUSIONS,
    FLOW_FLUIDS,
    FLOW_SAMPLES,
    FLOW_NOTES,
    FLOW_GROUP_COUNT
} FlowGroup;

typedef enum FlowKind {
    FLOW_HEAD,    /* title of a group; no cells */
    FLOW_SHOWN,   /* number on show */
    FLOW_PAIR,    /* two numbers on show: systolic and diastolic */
    FLOW_RHYTHM,  /* the monitor's name for the rhythm */
    FLOW_SETTING, /* setting or gas in force */
    FLOW_RATE,    /* drip in its own unit, a load included */
    FLOW_ML_H,    /* the same drip as volume */
    FLOW_PACING,  /* chambers and rate */
    FLOW_VOLUME,  /* mL since the column before */
    FLOW_LAST_H,  /* mL over the last hour, on the hour */
    FLOW_RUNNING, /* mL since the night began */
    FLOW_SAMPLE,  /* value of a sample taken since the column before */
    FLOW_TAKEN,   /* when it was taken, s */
    FLOW_COUNT    /* marks since the column before: first and last number, or how many */
} FlowKind;

/* What a volume row adds up. */
typedef enum FlowVolume {
    FLOW_VOLUME_ORDER, /* one fluid */
    FLOW_VOLUME_DRIPS, /* all drips, from their concentrations */
    FLOW_VOLUME_IN,
    FLOW_VOLUME_URINE,
    FLOW_VOLUME_DRAIN,
    FLOW_VOLUME_OUT,
    FLOW_VOLUME_BALANCE, /* in less out */
    FLOW_VOLUME_COUNT
} FlowVolume;

typedef enum FlowMarkKind {
    FLOW_MARK_ORDER,
    FLOW_MARK_DONE, /* a volume or a load is in, an action is over */
    FLOW_MARK_LOOK, /* looks, calls, predictions, notes */
    FLOW_MARK_MESSAGE,
    FLOW_MARK_RESULT, /* of a sample */
    FLOW_MARK_ALARM,
    FLOW_MARK_END,
    FLOW_MARK_COUNT
} FlowMarkKind;

typedef struct FlowRow {
    FlowKind kind;
    FlowGroup group;
    char name[FLOWSHEET_NAME_MAX], unit[FLOWSHEET_NAME_MAX];
    int decimals;           /* -1: whole tens */
    DisplayId shown, lower; /* FLOW_SHOWN, FLOW_PAIR, FLOW_SAMPLE; lower: the second of a pair */
    OrderId order;          /* FLOW_SETTING, FLOW_RATE, FLOW_ML_H, FLOW_VOLUME_ORDER */
    FlowVolume volume;
    FlowMarkKind mark;
    bool sum;                     /* a line is drawn above it: it adds up rows */
    double low, high;             /* wanted range; NAN: none */
    double limit_low, limit_high; /* alarm limits now in force; NAN: none */
    double total;                 /* volumes: since the night began; NAN elsewhere */
} FlowRow;

typedef struct FlowCell {
    double value;  /* NAN: nothing to write */
    double second; /* lower of a pair; pacing: OrderPacing; sample: when taken, s; marks: last number */
    int beyond;    /* -1 below, 1 above the wanted range or the alarm limit */
} FlowCell;

/* Something that happened, for the rows of marks and the list beside the plots. */
typedef struct FlowMark {
    double time_s;
    FlowMarkKind kind;
    int number;         /* orders: counted from 1; others 0 */
    int64_t log_number; /* entry in the log */
    char what[FLOWSHEET_WORDS_MAX], detail[RECORDS_TEXT_MAX];
} FlowMark;

/* An alarm that was told, from its beginning to its end or to the present. */
typedef struct FlowAlarm {
    AlarmId id;
    double from_s, to_s;
    bool open;
} FlowAlarm;

/* Samples of one kind: the displays that change together when one is taken. */
typedef struct FlowSampleRow {
    const char *name;
    DisplayId taken; /* case time of the last one */
    int values;
    DisplayId value[FLOWSHEET_SAMPLE_VALUES];
} FlowSampleRow;

/* One sample: when it was taken, when its values were there. */
typedef struct FlowSample {
    int row; /* of sim_flowsheet_sample_row */
    double taken_s, known_s;
    double value[FLOWSHEET_SAMPLE_VALUES];
} FlowSample;

typedef struct FlowSheet {
    double step_s, now_s;
    double weight_kg;
    int columns, rows, marks, samples;
    double time_s[FLOWSHEET_COLUMNS_MAX]; /* the last one is the present */
    bool present_column;                  /* the last column is not a full step */
    FlowRow row[FLOWSHEET_ROWS_MAX + 1];  /* the last one is spare */
    FlowCell cell[FLOWSHEET_ROWS_MAX][FLOWSHEET_COLUMNS_MAX];
    FlowMark mark[FLOWSHEET_MARKS_MAX];
    int alarms;
    FlowAlarm alarm[FLOWSHEET_ALARMS_MAX];
    FlowSample sample[FLOWSHEET_SAMPLES_MAX]; /* in order of the results */
} FlowSheet;

/* Fills the sheet with columns every step_s (at least 300 s; 3600 s divides by it). */
void sim_flowsheet_fill(FlowSheet *sheet, const Session *session, const Course *course, double step_s);

/* Writes the value of an order with the decimals it needs, at least those of its smallest step. */
void sim_flowsheet_level(OrderId id, double value, char *text, size_t size);

/* Writes a cell as it stands in the sheet: "58", "64/53", "A+V 90", "02:03", empty. */
void sim_flowsheet_format(const FlowSheet *sheet, int row, int column, char *text, size_t size);

/* Whether an alarm is about this number on show: its limit, or a sign of the same device or line. */
bool sim_flowsheet_alarm_concerns(AlarmId id, DisplayId shown);

/* "sinus", "irregular", "paced V": the monitor's name for a rhythm. */
const char *sim_flowsheet_rhythm(double rhythm_kind);

/* "02:15" of a time in s. */
void sim_flowsheet_clock(double time_s, char *text, size_t size);

/* Writes the sheet as a table: a row per quantity, a column per moment. The file appears whole or not at all.
 */
MODEL_CHECKED ErrorCode sim_flowsheet_write(const FlowSheet *sheet, const char *path, Error *error);

/* Writes what happened as a table: time, kind, number, words. */
MODEL_CHECKED ErrorCode sim_flowsheet_write_marks(const FlowSheet *sheet, const char *path, Error *error);

/* Kinds of samples, 0 <= index < sim_flowsheet_sample_rows(). */
int sim_flowsheet_sample_rows(void);
const FlowSampleRow *sim_flowsheet_sample_row(int index);

#endif
