/* What the screens are drawn from: plain structs without a pointer into the simulation. ui/feed.c fills them
   from a session; tests and bench fill them by hand. Values are what instruments show, not truth, except in
   HeartView, which is the picture the bedside team has. A value that is not available is NAN. */
#ifndef UI_VIEW_H
#define UI_VIEW_H

#include "ui/theme.h"

#include <stdbool.h>
#include <stdint.h>

/* --- the heart --- */

typedef enum HeartChamberId { HEART_LV, HEART_RV, HEART_LA, HEART_RA, HEART_CHAMBER_COUNT } HeartChamberId;
typedef enum HeartValveId {
    HEART_MITRAL,
    HEART_AORTIC,
    HEART_TRICUSPID,
    HEART_PULMONARY,
    HEART_VALVE_COUNT
} HeartValveId;

enum { HEART_BEATS = 12 }; /* beats in the aortic valve row */

typedef struct HeartChamber {
    double now_ml;                      /* at this instant */
    double reference_ml;                /* same patient at the reference, end diastole: the dashed outline */
    double beat_min_ml, beat_max_ml;    /* extremes of the last whole beat */
    double usual_low_ml, usual_high_ml; /* the usual range of the end-diastolic volume: the bracket */
    double clot_ml;                     /* clot pressing on this chamber from outside, 0 none */
} HeartChamber;

typedef struct HeartValve {
    double open_frac; /* leaflets now, 0 shut to 1 fully open */
    double flow_ml_s; /* through it now; negative is a leak */
    double leak_frac; /* regurgitant fraction of the last beat, 0..1 */
} HeartValve;

typedef struct HeartPump {
    bool present, running;
    bool inlet_atrium;     /* right pump only: inflow in the right atrium instead of the right ventricle */
    double flow_ml_s;      /* now; negative is back-flow */
    double mean_l_min;     /* over the last beats */
    double occlusion_frac; /* of the inlet by the wall, 0 free to 1 shut */
    double travel;         /* distance the blood has moved through it, in mL, running: chevron phase */
    double bore_mm;        /* inner diameter of the inflow; 0 not known */
} HeartPump;

/* Why there is no picture. */
typedef enum HeartAbsence {
    HEART_NOT_BEATEN, /* no beat yet */
    HEART_NO_PROBE,   /* the case has none */
    HEART_ASK,        /* a look can be asked for */
    HEART_COMING,     /* the probe is being placed: `absent_s` still */
    HEART_RESTING,    /* the probe is elsewhere: `absent_s` still */
    HEART_USED_UP     /* no more looks in this night */
} HeartAbsence;

typedef struct HeartView {
    bool shown;           /* false: no probe in place; the panel says so */
    HeartAbsence absence; /* where it is not shown */
    double absent_s;
    bool past;     /* not shown now; the rest is how the heart stood when the last look ended */
    double past_s; /* time of the night of that moment */
    bool frozen, reduced_motion; /* chevrons stand still in reduced motion */
    HeartChamber chamber[HEART_CHAMBER_COUNT];
    double septum_mm;                     /* shift now at end diastole, positive toward the right ventricle */
    double septum_reference_mm;           /* the same at the reference */
    double septum_low_mm, septum_high_mm; /* usual range */
    HeartValve valve[HEART_VALVE_COUNT];
    HeartPump left_pump, right_pump;
    double pericardial_ml; /* free fluid around the heart, clot not included */
    double pericardial_reference_ml;
    bool chest_open;
    /* one entry per beat, oldest first */
    int beats;                         /* entries in use, 0..HEART_BEATS */
    double aortic_open_s[HEART_BEATS]; /* opening time; 0 stayed shut */
    /* flow balance over the last seconds, L/min */
    double pump_l_min, native_l_min; /* out of the left heart: pump, valve (net forward) */
    double right_l_min;              /* out of the right heart into the lungs, right pump included */
    double mitral_leak_l_min, tricuspid_leak_l_min, aortic_leak_l_min;
    double lungs_l_min;    /* right minus left: positive, the lungs fill */
    double systemic_l_min; /* into the body */
    double time_s;         /* running clock of the picture, for motion */
} HeartView;

/* One instant of the heart, for strips and for going through the last beats picture by picture. */
typedef struct HeartMoment {
    float volume_ml[HEART_CHAMBER_COUNT];
    float push_mmhg[HEART_CHAMBER_COUNT]; /* pressure around a chamber less the pressure in it */
    float open_frac[HEART_VALVE_COUNT];
    float valve_ml_s[HEART_VALVE_COUNT];
    float septum_mm; /* positive toward the right ventricle */
    float left_pump_ml_s, right_pump_ml_s, left_occlusion, right_occlusion;
    float ecg_mv;
    bool onset;         /* a ventricular activation falls on it */
    bool beating;       /* part of a beat, not of a pause */
    bool systole;       /* from the onset until left ventricular pressure has fallen to half its height */
    bool diastolic_end; /* largest left ventricular volume of its beat */
} HeartMoment;

enum { HEART_MOMENTS = 1024, HEART_MOMENT_MS = 8 };

/* The last 8 s, a ring: moment number n stands in slot n modulo HEART_MOMENTS, n counts 8 ms since the night
   began. */
typedef struct HeartLoop {
    int64_t first, end; /* moments [first, end) are kept */
    HeartMoment moment[HEART_MOMENTS];
} HeartLoop;

/* --- traces --- */

typedef enum LaneId {
    LANE_ECG,
    LANE_ARTERY,
    LANE_PA,
    LANE_CVP,
    LANE_PUMP_FLOW,
    LANE_AIRWAY,
    LANE_COUNT
} LaneId;

enum { SWEEP_COLUMNS_MAX = 4096, TREND_POINTS = 180, TEXT_SHORT = 24, TEXT_LINE = 96, TEXT_LONG = 640 };

/* A swept trace: one minimum and maximum per column; NAN is a gap. Columns run over the lane's width. */
typedef struct Sweep {
    int columns; /* in use, 2..SWEEP_COLUMNS_MAX */
    int cursor;  /* column written last, -1 none yet */
    int64_t at;  /* the same without wrapping: columns written since the start, -1 none yet */
    double last; /* value written last */
    float low[SWEEP_COLUMNS_MAX];
    float high[SWEEP_COLUMNS_MAX];
} Sweep;

/* Thirty minutes of one value, oldest first; NAN where it was not measured. */
typedef struct Trend {
    int count;
    float value[TREND_POINTS];
} Trend;

typedef enum LimitState { LIMIT_INSIDE, LIMIT_LOW, LIMIT_HIGH, LIMIT_NONE } LimitState;

/* One number with its surroundings. */
typedef struct Reading {
    char name[TEXT_SHORT], unit[TEXT_SHORT];
    double value; /* NAN: not available */
    int decimals;
    char companion[TEXT_SHORT];     /* sys/dia, rhythm, PEEP ...; may be empty */
    double scale_low, scale_high;   /* ends of the target bar */
    double target_low, target_high; /* wanted range, NAN none */
    LimitState limit;               /* which side of the wanted range it is on */
    bool outside;                   /* it has been there for long enough to be marked */
    int priority;                   /* alarm on it: 0 none, 1 low, 2 medium, 3 high */
    bool known;                     /* the alarm has been acknowledged */
    char mark[TEXT_SHORT];          /* alarm in a word: low, high, VF ... */
    char reason[TEXT_SHORT];        /* why there is no value; may be empty */
    Trend trend;
    double trend_low, trend_high; /* scale of the 30 min line */
} Reading;

typedef struct Lane {
    LaneId id;
    Side side;
    char name[TEXT_SHORT];
    double low, high; /* scale ends in the trace's unit */
    double tick[4];
    int ticks;
    double tick_factor; /* label = tick * factor; 0: 1 */
    int tick_decimals;
    Reading value;
} Lane;

/* --- pump, orders, messages --- */

enum { PUMP_VALUES = 4, DECK_GROUPS = 6, DECK_ROWS_MAX = 64, ACTIONS_MAX = 24, MESSAGES_MAX = 24 };

typedef struct PumpStrip {
    char title[TEXT_LINE]; /* Pump, or Left pump / Right pump */
    Side side;
    bool present;
    int values;                 /* in use */
    Reading value[PUMP_VALUES]; /* speed, flow estimated, pulsatility, power */
} PumpStrip;

typedef enum DeckRowKind {
    DECK_LEVEL, /* a setting or a rate: current -> pending, steps */
    DECK_DOSE,  /* something given once: pending amount, starts when confirmed */
    DECK_ACT,   /* something done: a button */
    DECK_CHOICE /* one of several words */
} DeckRowKind;

typedef struct DeckRow {
    int order; /* index in the order table, or the caller's own number */
    DeckRowKind kind;
    char name[TEXT_LINE], unit[TEXT_SHORT];
    double current, pending; /* running value; chosen value (equal: nothing pending) */
    double low, high, step, large_step;
    int decimals;
    bool allowed; /* false: greyed, `note` says why */
    bool is_pending;
    char current_word[TEXT_SHORT], pending_word[TEXT_SHORT]; /* DECK_CHOICE */
    char note[TEXT_LINE];                                    /* 0:06 h, off, not started, 120 of 250 mL ... */
    char detail[TEXT_LINE]; /* the same rate in another unit, 7.2 mL/h, or why it cannot be ordered; may be empty */
    char caution[TEXT_LINE]; /* shown while the row has the focus */
} DeckRow;

typedef struct DeckGroup {
    char name[TEXT_SHORT];  /* on the F-key */
    char title[TEXT_SHORT]; /* above the rows */
    int pending;            /* rows with a pending change */
} DeckGroup;

typedef struct DeckView {
    DeckGroup group[DECK_GROUPS];
    int groups, open_group;
    DeckRow row[DECK_ROWS_MAX]; /* of the open group */
    int rows, first_row, focus_row;
    char entry[TEXT_SHORT];  /* digits being typed */
    char problem[TEXT_LONG]; /* why the last order was refused; empty if none */
} DeckView;

typedef struct ActionLine {
    double time_s;
    char what[TEXT_LINE];   /* Norepinephrine */
    char detail[TEXT_LINE]; /* 0.08 -> 0.12 */
} ActionLine;

typedef struct MessageLine {
    double time_s;
    char from[TEXT_SHORT]; /* Nurse, Laboratory, Surgeon ... */
    char text[TEXT_LONG];
    bool seen;
} MessageLine;

/* --- a prediction whose time has come --- */

enum { TOLD_PARTS = 3 };

typedef struct PredictionToldPart {
    char name[TEXT_SHORT], unit[TEXT_SHORT], before[TEXT_SHORT], after[TEXT_SHORT];
    int said;   /* PredictionWay */
    bool known; /* false: no longer on show, so neither right nor wrong */
    bool hit;
} PredictionToldPart;

typedef struct PredictionTold {
    char what[TEXT_LINE], note[TEXT_LINE]; /* the order; how sure, how long ago, what else was done */
    double time_s;                         /* when it came out */
    int parts;                             /* 0: nothing to tell */
    PredictionToldPart part[TOLD_PARTS];
} PredictionTold;

/* --- the bedside --- */

enum { ALARM_LINES_MAX = 2 };

/* An alarm on show. */
typedef struct AlarmLine {
    int id;                                  /* AlarmId */
    int priority;                            /* 1 low, 2 medium, 3 high */
    bool known;                              /* acknowledged */
    bool over;                               /* its cause has gone; it stays until it is acknowledged */
    char text[TEXT_LINE], detail[TEXT_LINE]; /* MAP low; 58 mmHg, limit 60 . 0:48 */
} AlarmLine;

typedef struct AlarmStrip {
    AlarmLine line[ALARM_LINES_MAX]; /* most urgent first, or from where somebody walked to */
    int lines, count, first; /* lines in use; alarms on show in all; number of the first line, from 1 */
    double pause_left_s;     /* of the audio pause; 0: none */
    bool silent;             /* sounds are switched off in the settings, or there is no device */
} AlarmStrip;

typedef struct BedsideView {
    char case_title[TEXT_LINE], patient[TEXT_LINE];
    double time_s;    /* scenario time */
    double time_rate; /* 1..240 */
    bool paused, ended;
    bool catching_up; /* the model is behind the chosen rate */
    AlarmStrip alarms;
    int outside;    /* values outside their wanted range now, with an alarm or without */
    double sweep_s; /* seconds of one sweep across the lane */
    Lane lane[LANE_COUNT];
    int lanes;
    PumpStrip pump[2]; /* left, right */
    HeartView heart;
    DeckView deck;
    ActionLine action[ACTIONS_MAX]; /* newest first */
    int actions;
    MessageLine message[MESSAGES_MAX]; /* newest first */
    int messages, unseen;
    PredictionTold told; /* the newest one not put away yet */
    Reading lab[8];      /* SpO2, SvO2, lactate, urine, drain, Hb ... : small tiles */
    int labs;
} BedsideView;

#endif
