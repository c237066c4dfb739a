/* Predict first: before an order takes effect the trainee says which way three displayed quantities will go
   and how sure that is; when the effect has come, what was seen is put beside it.

   Values are means over about half a minute of what the bedside shows; a change counts when it is at least as
   large as the table's LEAST (predictions.def). Two orders close together share their effects: `others`
   tells. */
#ifndef SIM_PREDICTIONS_H
#define SIM_PREDICTIONS_H

#include "model/error.h"
#include "sim/instruments.h"
#include "sim/orders.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    PREDICTION_PARTS = 3,
    PREDICTIONS_MAX = 48, /* newest kept; the oldest that is not pending leaves */
    PREDICTION_SURE_LEAST = 1,
    PREDICTION_SURE_MOST = 5,
    PREDICTION_NAME_MAX = 40
};

typedef enum PredictionWay { WAY_DOWN, WAY_SAME, WAY_UP, WAY_COUNT } PredictionWay;

/* What is asked before an order. */
typedef struct PredictionAsk {
    int count;                            /* quantities, up to PREDICTION_PARTS */
    DisplayId quantity[PREDICTION_PARTS]; /* all on show now */
    double horizon_s;                     /* from giving the order to reading the answer */
} PredictionAsk;

/* A case's own question about an order. */
typedef struct PredictionRule {
    OrderId order;
    int count;
    DisplayId quantity[PREDICTION_PARTS];
    double horizon_s; /* 0: the table's */
} PredictionRule;

enum { PREDICTION_RULES_MAX = 16 };

typedef struct PredictionRules {
    int count;
    PredictionRule rule[PREDICTION_RULES_MAX];
} PredictionRules;

/* What the trainee answers. */
typedef struct PredictionAnswer {
    bool skipped;
    int count;
    DisplayId quantity[PREDICTION_PARTS];
    PredictionWay way[PREDICTION_PARTS];
    int sure; /* 1 (a guess) to 5 (certain) */
} PredictionAnswer;

typedef enum PredictionStatus {
    PREDICTION_PENDING,
    PREDICTION_SEEN,   /* the time has come: the parts hold what was seen */
    PREDICTION_SKIPPED /* the trainee did not say */
} PredictionStatus;

typedef struct PredictionPart {
    DisplayId quantity;
    PredictionWay said;
    double before, after; /* as shown, means over about half a minute */
    double least;         /* smallest change that counts */
    bool known;           /* after and seen hold something; false when the quantity was off show */
    PredictionWay seen;
    bool hit;
} PredictionPart;

/* Flat: copied by assignment. */
typedef struct Prediction {
    int64_t number; /* 0 is the first of the night */
    PredictionStatus status;
    Order order;
    double given_s, due_s, seen_s; /* case times; seen_s negative: not yet */
    int sure;
    int others; /* orders given between this one and its answer */
    int count;
    PredictionPart part[PREDICTION_PARTS];
} Prediction;

/* Flat: copied by assignment. */
typedef struct PredictionsState {
    int64_t count, said; /* of the night; of these, not skipped */
    int kept;            /* in prediction[], oldest first */
    Prediction prediction[PREDICTIONS_MAX];
    double mean[DISPLAY_COUNT]; /* of the numbers on show */
    bool mean_known[DISPLAY_COUNT];
} PredictionsState;

/* Short name of a displayed quantity, its key without the unit: "cvp", "art_mean". */
void sim_predictions_name(DisplayId id, char text[PREDICTION_NAME_MAX]);

/* Finds a displayed quantity by short name or key; DISPLAY_COUNT if there is none. */
DisplayId sim_predictions_find(const char *name);

/* "down", "same", "up". */
const char *sim_predictions_way_word(PredictionWay way);

/* Smallest change of a quantity that counts, in its unit. */
double sim_predictions_least(DisplayId id);

/* Chance of being right that "sure 1..5" stands for, for scores and calibration: one in three for a guess. */
double sim_predictions_chance(int sure);

/* Nothing predicted, nothing seen. */
void sim_predictions_start(PredictionsState *state);

/* True if an order is one that is asked about, and then what is asked: the case's rule, else the table's row.
   What is not on show gives way to what is. `orders` and `limits` tell what is in force and how long actions
   take. An order that changes nothing is not asked about. */
bool sim_predictions_ask(const PredictionRules *rules, const Order *order, const OrdersState *orders,
                         const OrderLimits *limits, const Display *display, PredictionAsk *ask);

/* Checks that an answer is one to `ask`: every quantity asked for, once. */
MODEL_CHECKED ErrorCode sim_predictions_check(const PredictionAnswer *answer, const PredictionAsk *ask,
                                              Error *error);

/* Keeps an answer to `ask` about an order given at case time time_s. ERROR_NOT_ALLOWED when too many are
   pending. */
MODEL_CHECKED ErrorCode sim_predictions_add(PredictionsState *state, const Order *order,
                                            const PredictionAsk *ask, const PredictionAnswer *answer,
                                            const Display *display, double time_s, Error *error);

/* Counts an order given for those that are pending. */
void sim_predictions_count_order(PredictionsState *state);

/* Takes in what is shown after dt_s (s) more. Returns the next prediction whose time has come and fills it
   in, or NULL; call with dt_s 0 until it returns NULL. */
const Prediction *sim_predictions_advance(PredictionsState *state, const Display *display, double dt_s,
                                          double time_s);

/* Parts that were known, and of these, hit. */
void sim_predictions_score(const Prediction *prediction, int *known, int *hits);

#endif
