/* Predict first: what the card holds, and its place among the sheets. */
#include "ui/predict.h"

#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

int ui_predict_missing(const PredictView *p) {
    int missing = p->sure < PREDICTION_SURE_LEAST;
    for (int i = 0; i < p->parts; i++)
        missing += p->part[i].way < 0;
    return missing;
}

PredictionAnswer ui_predict_answer(const PredictView *p) {
    PredictionAnswer answer = {.count = p->parts, .sure = p->sure};
    for (int i = 0; i < p->parts; i++) {
        answer.quantity[i] = p->part[i].quantity;
        answer.way[i] = (PredictionWay)p->part[i].way;
    }
    return answer;
}

void ui_predict_change(PredictView *p, const Intent *intent) {
    int value = (int)intent->amount;
    if (intent->number >= PREDICT_PART_WAY && intent->number < PREDICT_PART_WAY + p->parts) {
        if (value >= 0 && value < WAY_COUNT) p->part[intent->number - PREDICT_PART_WAY].way = value;
    } else if (intent->number == PREDICT_PART_SURE) {
        if (value >= PREDICTION_SURE_LEAST && value <= PREDICTION_SURE_MOST) p->sure = value;
    }
    p->problem[0] = '\0';
}

/* What is asked before what is pending now; the orders that are not asked about go along. Returns whether any
   is asked about. */
static bool find_question(Feed *feed, Order *order, PredictionAsk *ask, int *others) {
    Order orders[DESK_ORDERS_MAX];
    const Session *session = ui_feed_session(feed);
    int count = ui_desk_orders(ui_feed_desk(feed), session, orders), asked = -1;
    for (int i = 0; i < count && asked < 0; i++) {
        if (sim_session_asks(session, &orders[i], ask)) asked = i;
    }
    if (asked < 0) return false;
    *order = orders[asked];
    *others = count - 1;
    return true;
}

bool ui_predict_wanted(Feed *feed) {
    Order order;
    PredictionAsk ask;
    int others;
    return find_question(feed, &order, &ask, &others);
}

/* "Milrinone 0.25 mcg/kg/min" */
static void order_words(const Order *order, char *text, size_t size) {
    const OrderRow *row = sim_orders_row(order->id);
    char value[TEXT_SHORT];
    sim_orders_format_value(order->id, order->value, value, sizeof value);
    switch (order->act) {
    case ORDER_ACT_SET:
        snprintf(text, size, "%s %s %s", row->label, value, row->unit);
        break;
    case ORDER_ACT_BOLUS:
        snprintf(text, size, "%s %.0f mL", row->label, order->value);
        break;
    case ORDER_ACT_INFUSION:
        snprintf(text, size, "%s %.0f mL/h", row->label, order->value);
        break;
    case ORDER_ACT_OFF:
    case ORDER_ACT_STOP:
        snprintf(text, size, "%s off", row->label);
        break;
    case ORDER_ACT_DO:
        snprintf(text, size, "%s", row->label);
        break;
    }
}

static void predict_open(void *state, SheetContext *context) {
    PredictView *p = state;
    PredictionAsk ask;
    memset(p, 0, sizeof *p);
    if (context->feed == NULL || !find_question(context->feed, &p->order, &ask, &p->others)) {
        context->close = true;
        return;
    }
    const Display *display = sim_session_display(ui_feed_session(context->feed));
    order_words(&p->order, p->what, sizeof p->what);
    p->horizon_s = ask.horizon_s;
    p->parts = ask.count;
    for (int i = 0; i < ask.count; i++) {
        PredictPart *part = &p->part[i];
        part->quantity = ask.quantity[i];
        part->way = -1;
        ui_feed_quantity(context->feed, ask.quantity[i], display->value[ask.quantity[i]], part->name,
                         part->now);
    }
}

static void predict_fill(void *state, SheetContext *context) {
    (void)context;
    ((PredictView *)state)->frames++;
}

static void predict_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    ui_predict_draw(ui, screen, state, intents);
}

static void predict_apply(void *state, SheetContext *context, const Intent *intent) {
    PredictView *p = state;
    if (intent->number < PREDICT_PART_GIVE) {
        ui_predict_change(p, intent);
        return;
    }
    if (intent->number == PREDICT_PART_GIVE && ui_predict_missing(p) > 0) return;
    PredictionAnswer answer = ui_predict_answer(p);
    if (intent->number == PREDICT_PART_SKIP) answer = (PredictionAnswer){.skipped = true};
    Desk *desk = ui_feed_desk(context->feed);
    ui_desk_predict(desk, &p->order, &answer);
    (void)ui_feed_confirm(context->feed);
    snprintf(p->problem, sizeof p->problem, "%s", desk->problem);
    context->close = true; /* what was refused is told by the desk */
}

const SheetKind UI_PREDICT_SHEET = {.state_size = sizeof(PredictView),
                                    .card = true,
                                    .waits = true,
                                    .open = predict_open,
                                    .fill = predict_fill,
                                    .draw = predict_draw,
                                    .apply = predict_apply};
