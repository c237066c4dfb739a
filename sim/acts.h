/* Acts: everything a trainee or an instructor can do, in words. An order is one of them; the others have rows
   in acts.def.

     speed 9000                             look four_chamber             look end
     call tamponade confidence 70 kind surgical plan re-open the chest now
     predict milrinone 0.375 : cvp down, art_mean down, pump_flow up, sure 3
     note hands are warm now                bookmark                      set rv_ees_mmhg_ml 0.12 over 10min
     delay clot by 10min                    say nurse: the bottle is full take_back 5min
     instructor milrinone stop

   "instructor" in front of what a trainee could say too makes it the instructor's.
   Plans, the command line, the journal, resume and replay carry these words. This file reads and writes them;
   what they do is in the session. */
#ifndef SIM_ACTS_H
#define SIM_ACTS_H

#include "model/error.h"
#include "model/parameters.h"
#include "sim/alarms.h"
#include "sim/diagnoses.h"
#include "sim/look.h"
#include "sim/orders.h"
#include "sim/predictions.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum ActId {
#define ACT(key, label, who, when_over, example, form, text) ACT_##key,
#include "sim/acts.def"
#undef ACT
    ACT_order, /* the words of an order */
    ACT_COUNT
} ActId;

enum {
    ACT_ROW_COUNT = ACT_order, /* rows of the table */
    ACT_WORDS_MAX = 400,       /* free words: a note, a plan; with the terminator */
    ACT_TEXT_MAX = 560,        /* a whole act, with the terminator */
    ACT_NAME_MAX = 48          /* id of an event; who speaks */
};

typedef struct ActRow {
    const char *key;   /* first word */
    const char *label; /* on a button */
    bool instructor;   /* not the trainee's to say */
    bool when_over;    /* also after the night has ended */
    const char *example, *form, *text;
} ActRow;

typedef struct Act {
    ActId id;
    bool by_instructor;        /* said with "instructor" in front, or nobody else's to say */
    Order order;               /* order, predict */
    bool end;                  /* look end, freeze end */
    LookView view;             /* look */
    DiagnosisId diagnosis;     /* call, truth */
    ProblemKind kind;          /* call */
    int confidence_percent;    /* call: 0 to 100 */
    PredictionAnswer answer;   /* predict */
    AlarmAct alarm;            /* acknowledge, pause, limit */
    ParameterId parameter;     /* set */
    double value, over_s;      /* set: in the parameter's unit; 0: at once */
    double for_s;              /* delay, take_back: how long */
    char name[ACT_NAME_MAX];   /* fire, delay, skip, keep: the event; say: who speaks */
    char words[ACT_WORDS_MAX]; /* note, bookmark, mark, say; call: the plan */
} Act;

/* Row of an act, 0 <= id < ACT_ROW_COUNT. */
const ActRow *sim_acts_row(ActId id);

/* What the trainee and the instructor may take back at most, and what "take_back" alone does, s. */
#define ACT_BACK_MOST_S  3600.0
#define ACT_BACK_USUAL_S 300.0

/* Finds an act by its first word; ACT_order if there is none. */
ActId sim_acts_find(const char *key);

/* Reads the text form of any act or order. `limits` (may be NULL) is what the case lets be ordered. On
 *failure act is unchanged and `error` says what is allowed or the nearest name. */
MODEL_CHECKED ErrorCode sim_acts_parse(const char *text, const OrderLimits *limits, Act *act, Error *error);

/* Writes an act in the text form that sim_acts_parse reads, without who says it; always terminated. */
void sim_acts_format(const Act *act, char *text, size_t size);

#endif
