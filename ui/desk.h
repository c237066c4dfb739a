/* The order desk: rows of the order table as the deck shows them, changes that are pending, and their
 * confirmation. */
#ifndef UI_DESK_H
#define UI_DESK_H

#include "sim/session.h"
#include "ui/view.h"

typedef enum DeskPart {
    DESK_SET,      /* setting, drip, gas */
    DESK_LOAD,     /* loading dose of a drip, in one order with its rate */
    DESK_DOSE,     /* a drug given at once */
    DESK_UNITS,    /* drips in their doses or in mL/h; belongs to no order of its own */
    DESK_SHOCK,    /* a shock at once */
    DESK_SYNC,     /* a synchronised shock */
    DESK_BOLUS,    /* a fluid's volume */
    DESK_OVER,     /* the time the next bolus takes; belongs to no order of its own */
    DESK_RATE,     /* a fluid's rate that stays */
    DESK_CHAMBERS, /* paced chambers */
    DESK_PACE,     /* paced rate */
    DESK_DO,       /* an action */
    DESK_STOP,     /* stops what is running in slot `slot` */
    DESK_PARTS
} DeskPart;

typedef struct DeskRow {
    OrderId id;
    DeskPart part;
    int slot; /* DESK_STOP */
} DeskRow;

enum { DESK_ORDERS_MAX = 32 };

/* Flat. Pending values are kept by order and part, so that they survive a change of group. */
typedef struct Desk {
    int open_group;
    int focus[ORDER_GROUP_COUNT], first[ORDER_GROUP_COUNT];
    bool pending[ORDER_COUNT + 1][DESK_PARTS]; /* the last row: DESK_OVER */
    double value[ORDER_COUNT + 1][DESK_PARTS];
    bool stop[ORDER_RUNNING_MAX];
    double over_min; /* time of the next bolus */
    bool ml_h;       /* drips are shown and typed in mL/h */
    bool predicted;  /* the answer below goes with the next order `predicted_order` */
    Order predicted_order;
    PredictionAnswer answer;
    char entry[TEXT_SHORT];
    char problem[TEXT_LONG];
    DeskRow row[ORDER_GROUP_COUNT][DECK_ROWS_MAX];
    int rows[ORDER_GROUP_COUNT];
} Desk;

/* An empty desk. */
void ui_desk_start(Desk *desk);

/* Brings the rows up to date with the session and writes the open group's rows for `visible` lines. */
void ui_desk_fill(Desk *desk, const Session *session, int visible, DeckView *view);

void ui_desk_group(Desk *desk, int group);
void ui_desk_focus(Desk *desk, int row);
/* Moves a row's pending value by `steps` of its step (or coarse step). */
void ui_desk_step(Desk *desk, const Session *session, int row, double steps, bool coarse);
/* Sets a row's pending value, kept within what is allowed. */
void ui_desk_set(Desk *desk, const Session *session, int row, double value);
/* A typed digit, point or backspace for the row with the focus. */
void ui_desk_type(Desk *desk, const Session *session, int character);
/* Gives every pending order; a refusal stays pending and is told in desk->problem. With nothing pending, a
   dose or action with the focus becomes pending. Returns the number of orders given. */
int ui_desk_confirm(Desk *desk, Session *session);
/* The orders that confirming would give now, in the order they would be given; without what is to be stopped.
   Returns how many. */
int ui_desk_orders(const Desk *desk, const Session *session, Order orders[DESK_ORDERS_MAX]);
/* Lets a prediction go with `order` when it is confirmed. */
void ui_desk_predict(Desk *desk, const Order *order, const PredictionAnswer *answer);
void ui_desk_drop(Desk *desk);
int ui_desk_pending(const Desk *desk);

#endif
