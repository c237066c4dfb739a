/* What is kept of a night for reading back: the log of what was said and done, and the trends of the numbers
   on show. Records, not state: nothing in the future depends on them. */
#ifndef SIM_RECORDS_H
#define SIM_RECORDS_H

#include "sim/case.h"
#include "sim/instruments.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    RECORDS_LOG_MAX = 1024, /* newest entries kept */
    RECORDS_TEXT_MAX = 640,
    RECORDS_HISTORY_MAX = 9000 /* points of the trends kept: 25 h */
};

#define RECORDS_HISTORY_STEP_S 10.0 /* spacing of the trends' points */

/* Kinds of entries. Their numbers are in recorded nights: new ones come at the end. */
typedef enum LogKind {
    LOG_ORDER,      /* an order, given by the trainee (or by a plan), in its text form */
    LOG_DONE,       /* a volume is in, a load is in, an action is finished */
    LOG_MESSAGE,    /* somebody says something */
    LOG_EVENT,      /* an event of the script fired: hidden from the trainee */
    LOG_OBJECTIVE,  /* an objective was met: for the debrief */
    LOG_END,        /* the night is over */
    LOG_ALARM,      /* an alarm begins, is acknowledged or ends; comes by itself; `from` is its key */
    LOG_ALARM_ACT,  /* an alarm was acknowledged, its sound paused, a limit moved */
    LOG_LOOK,       /* a look was asked for or ended */
    LOG_PICTURE,    /* the picture came on, or went off by itself; `from` is the view */
    LOG_CALL,       /* a working diagnosis */
    LOG_PREDICTION, /* a prediction, with its order, whose own entry stands before it */
    LOG_OUTCOME,    /* what came of a prediction; `from` is the key of its order */
    LOG_NOTE,       /* a remark */
    LOG_BOOKMARK,   /* a moment to come back to */
    LOG_CAUSE,      /* a cause was changed while the night ran */
    LOG_TRUTH,      /* what is wrong from now on: hidden from the trainee; `from` is the diagnosis */
    LOG_HAND,      /* an act of the instructor's at the night itself: fire, delay, skip, freeze, say, truth */
    LOG_MARK,      /* a moment that the instructor marked, with a note */
    LOG_TAKE_BACK, /* what followed was taken back: the night went on from here; `from` is who did it */
    LOG_ASIDE,     /* something that only the instructor needs to know */
    LOG_KIND_COUNT
} LogKind;

typedef struct LogKindRow {
    const char *word; /* in tables and on the command line */
    bool act;         /* somebody's act: a night is repeated by saying its text again */
    bool hidden;      /* not for the trainee's eyes while the night runs */
} LogKindRow;

typedef struct LogEntry {
    int64_t number; /* 0 is the first of the night */
    double time_s;
    LogKind kind;
    char from[CASE_ID_MAX]; /* who speaks; id of the event or objective */
    char text[RECORDS_TEXT_MAX];
} LogEntry;

/* Who an order is from that came with a prediction: it is not repeated by itself. */
#define RECORDS_FROM_PREDICTION "prediction"

typedef struct Records Records;

const LogKindRow *sim_records_kind(LogKind kind);

/* Who the entries of an instructor's acts are from. */
#define RECORDS_FROM_INSTRUCTOR "instructor"

/* True for an entry whose text has to be said again to repeat the night. `from` as in the entry. */
bool sim_records_repeats(LogKind kind, const char *from);

/* True for an entry that a line of a plan can have made: those above, and a take-back. */
bool sim_records_planned(LogKind kind, const char *from);

/* True for an entry that is not for the trainee's eyes while the night runs. */
bool sim_records_hidden(const LogEntry *entry);

/* Empty records; NULL when memory is short. Free with sim_records_destroy. */
Records *sim_records_create(void);
void sim_records_destroy(Records *records);

/* Appends to the log; texts are cut to fit. */
void sim_records_log(Records *records, double time_s, LogKind kind, const char *from, const char *text);

int64_t sim_records_log_count(const Records *records);

/* Entry `number`, 0 <= number < count; NULL if it is no longer kept. */
const LogEntry *sim_records_log_entry(const Records *records, int64_t number);

/* Appends the points that are due at time_s. */
void sim_records_show(Records *records, double time_s, const Display *display);

int64_t sim_records_history_count(const Records *records);
int64_t sim_records_history_first(const Records *records);

/* Value at point i; NaN where nothing was on show or the point is not kept. */
double sim_records_history_value(const Records *records, DisplayId id, int64_t i);

/* Goes back to when the log had log_count entries and the trends history_count points. Records from another
   night (fewer entries than that) are emptied and numbered on. */
void sim_records_rewind(Records *records, int64_t log_count, int64_t history_count);

#endif
