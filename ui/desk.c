/* The order desk: which rows there are, what is pending, giving it. What a row shows is in desk_rows.c. */
#include "ui/desk.h"
#include "ui/desk_rows.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define OVER_MIN_START 10.0
#define SAME           1e-9 /* values closer than this are the same setting */

void ui_desk_start(Desk *desk) {
    memset(desk, 0, sizeof *desk);
    desk->open_group = ORDER_GROUP_DRUGS;
    desk->over_min = OVER_MIN_START;
}

static void add_row(Desk *desk, OrderGroup group, OrderId id, DeskPart part, int slot) {
    if (desk->rows[group] < DECK_ROWS_MAX) desk->row[group][desk->rows[group]++] = (DeskRow){id, part, slot};
}

/* Whether something of this drug goes in now. */
static bool runs(const OrdersState *state, OrderId id) {
    bool running = state->value[id] > 0.0;
    for (int slot = 0; slot < ORDER_RUNNING_MAX; slot++)
        running = running || (state->running[slot].active && state->running[slot].order.id == id);
    return running;
}

/* The rows of one order. */
static void add_order(Desk *desk, OrderId id) {
    const OrderRow *row = sim_orders_row(id);
    switch (row->kind) {
    case ORDER_KIND_SETTING:
    case ORDER_KIND_GAS:
        add_row(desk, row->group, id, DESK_SET, 0);
        break;
    case ORDER_KIND_DRIP:
        add_row(desk, row->group, id, DESK_SET, 0);
        if (sim_orders_dose(id) != NULL)
            add_row(desk, row->group, id, ui_desk_dose_is_load(id) ? DESK_LOAD : DESK_DOSE, 0);
        break;
    case ORDER_KIND_FLUID:
        add_row(desk, row->group, id, DESK_BOLUS, 0);
        break;
    case ORDER_KIND_PACING:
        add_row(desk, row->group, id, DESK_CHAMBERS, 0);
        add_row(desk, row->group, id, DESK_PACE, 0);
        break;
    case ORDER_KIND_ACTION:
        if (id == ORDER_shock) {
            add_row(desk, row->group, id, DESK_SHOCK, 0);
            add_row(desk, row->group, id, DESK_SYNC, 0);
        } else {
            add_row(desk, row->group, id, DESK_DO, 0);
        }
        break;
    }
}

static bool offered(const Session *session, OrderId id) {
    return sim_session_limits(session)->of[id].allowed && ui_desk_present(session, id);
}

/* The rows of every group: what is under way and can be stopped, then what the case allows; of the drugs
   those that run come first. */
static void build_rows(Desk *desk, const Session *session) {
    const OrdersState *state = sim_session_orders(session);
    bool fluids = false, drips = false;
    memset(desk->rows, 0, sizeof desk->rows);
    for (int slot = 0; slot < ORDER_RUNNING_MAX; slot++) {
        OrderId id = state->running[slot].order.id;
        if (state->running[slot].active) add_row(desk, sim_orders_row(id)->group, id, DESK_STOP, slot);
    }
    for (int i = 0; i < ORDER_COUNT; i++) {
        OrderId id = (OrderId)i;
        if (!offered(session, id)) continue;
        fluids = fluids || sim_orders_row(id)->kind == ORDER_KIND_FLUID;
        drips = drips || sim_orders_row(id)->kind == ORDER_KIND_DRIP;
        if (sim_orders_row(id)->group != ORDER_GROUP_DRUGS || runs(state, id)) add_order(desk, id);
    }
    for (int i = 0; i < ORDER_COUNT; i++) {
        OrderId id = (OrderId)i;
        bool drug = sim_orders_row(id)->group == ORDER_GROUP_DRUGS;
        if (drug && offered(session, id) && !runs(state, id)) add_order(desk, id);
    }
    if (drips) add_row(desk, ORDER_GROUP_DRUGS, ORDER_COUNT, DESK_UNITS, 0);
    if (fluids) add_row(desk, ORDER_GROUP_FLUIDS, ORDER_COUNT, DESK_OVER, 0);
    for (int i = 0; i < ORDER_COUNT; i++) {
        const OrderRow *row = sim_orders_row((OrderId)i);
        if (row->kind == ORDER_KIND_FLUID && offered(session, (OrderId)i))
            add_row(desk, row->group, (OrderId)i, DESK_RATE, 0);
    }
}

/* The row's pending flag; a row that stops something has one per slot. */
static bool *pending_flag(Desk *desk, const DeskRow *row) {
    return row->part == DESK_STOP ? &desk->stop[row->slot] : &desk->pending[row->id][row->part];
}

static bool is_pending(const Desk *desk, const DeskRow *row) {
    return row->part == DESK_STOP ? desk->stop[row->slot] : desk->pending[row->id][row->part];
}

static int group_pending(const Desk *desk, int group) {
    int count = 0;
    for (int i = 0; i < desk->rows[group]; i++)
        count += is_pending(desk, &desk->row[group][i]);
    return count;
}

int ui_desk_pending(const Desk *desk) {
    int count = 0;
    for (int group = 0; group < ORDER_GROUP_COUNT; group++)
        count += group_pending(desk, group);
    return count;
}

static int clamp_index(int index, int count) {
    return index < 0 || count == 0 ? 0 : index >= count ? count - 1 : index;
}

/* Keeps the focus on the row it was on when rows came or went above it. */
static void keep_focus(Desk *desk, int group, const DeskRow *was) {
    for (int i = 0; i < desk->rows[group]; i++) {
        const DeskRow *row = &desk->row[group][i];
        if (row->id == was->id && row->part == was->part && row->slot == was->slot) desk->focus[group] = i;
    }
}

void ui_desk_fill(Desk *desk, const Session *session, int visible, DeckView *view) {
    DeskRow was[ORDER_GROUP_COUNT];
    for (int i = 0; i < ORDER_GROUP_COUNT; i++)
        was[i] = desk->row[i][desk->focus[i]];
    bool first_time = desk->rows[ORDER_GROUP_DRUGS] == 0 && desk->rows[ORDER_GROUP_PUMP] == 0;
    build_rows(desk, session);
    for (int i = 0; i < ORDER_GROUP_COUNT && !first_time; i++)
        keep_focus(desk, i, &was[i]);
    int group = desk->open_group;
    int focus = desk->focus[group] = clamp_index(desk->focus[group], desk->rows[group]);
    int first = desk->first[group];
    if (focus < first) first = focus;
    if (focus >= first + visible) first = focus - visible + 1;
    if (first > desk->rows[group] - visible) first = desk->rows[group] - visible;
    desk->first[group] = first < 0 ? 0 : first;
    view->groups = ORDER_GROUP_COUNT;
    view->open_group = group;
    view->rows = desk->rows[group];
    view->focus_row = focus;
    view->first_row = desk->first[group];
    for (int i = 0; i < ORDER_GROUP_COUNT; i++) {
        const char *label = sim_orders_group_label((OrderGroup)i);
        snprintf(view->group[i].name, sizeof view->group[i].name, "%s", label);
        snprintf(view->group[i].title, sizeof view->group[i].title, "%s",
                 i == ORDER_GROUP_PROCEDURES ? "Tests and procedures" : label);
        view->group[i].pending = group_pending(desk, i);
    }
    for (int i = 0; i < view->rows; i++) {
        const DeskRow *row = &desk->row[group][i];
        ui_desk_row(desk, session, row, is_pending(desk, row), desk->value[row->id][row->part],
                    &view->row[i]);
    }
    snprintf(view->entry, sizeof view->entry, "%s", desk->entry);
    snprintf(view->problem, sizeof view->problem, "%s", desk->problem);
}

static void forget_typing(Desk *desk) {
    desk->entry[0] = desk->problem[0] = '\0';
}

void ui_desk_group(Desk *desk, int group) {
    desk->open_group = clamp_index(group, ORDER_GROUP_COUNT);
    forget_typing(desk);
}

void ui_desk_focus(Desk *desk, int row) {
    int group = desk->open_group;
    desk->focus[group] = clamp_index(row, desk->rows[group]);
    forget_typing(desk);
}

/* The row as shown now; false where there is none. */
static bool shown(Desk *desk, const Session *session, int index, DeskRow *row, DeckRow *view) {
    int group = desk->open_group;
    if (index < 0 || index >= desk->rows[group]) return false;
    *row = desk->row[group][index];
    memset(view, 0, sizeof *view);
    ui_desk_row(desk, session, row, is_pending(desk, row), desk->value[row->id][row->part], view);
    return view->allowed;
}

/* Keeps a new pending value, given as it is shown; one equal to what runs is no change. */
static void keep(Desk *desk, const Session *session, const DeskRow *row, const DeckRow *view, double value) {
    bool dose = view->kind == DECK_DOSE || view->kind == DECK_ACT;
    value = fmin(fmax(value, view->low), view->high);
    if (row->part == DESK_OVER) {
        desk->over_min = value;
        return;
    }
    if (row->part == DESK_UNITS) {
        desk->ml_h = value > 0.5;
        return;
    }
    desk->value[row->id][row->part] = value / ui_desk_shown_scale(desk, session, row);
    *pending_flag(desk, row) = dose || fabs(value - view->current) > SAME * fmax(1.0, fabs(value));
}

void ui_desk_step(Desk *desk, const Session *session, int index, double steps, bool coarse) {
    DeskRow row;
    DeckRow view;
    ui_desk_focus(desk, index);
    if (!shown(desk, session, index, &row, &view)) return;
    if (view.kind == DECK_ACT) {
        *pending_flag(desk, &row) = !view.is_pending;
        return;
    }
    double step = coarse ? view.large_step : view.step;
    /* a dose that is not pending yet begins with the amount on show */
    if (view.kind == DECK_DOSE && !view.is_pending) {
        keep(desk, session, &row, &view, view.pending + (steps > 0.0 ? 0.0 : steps * step));
        return;
    }
    double value = view.pending + steps * step;
    keep(desk, session, &row, &view, round(value / view.step) * view.step);
}

void ui_desk_set(Desk *desk, const Session *session, int index, double value) {
    DeskRow row;
    DeckRow view;
    ui_desk_focus(desk, index);
    if (shown(desk, session, index, &row, &view)) keep(desk, session, &row, &view, value);
}

void ui_desk_type(Desk *desk, const Session *session, int character) {
    DeskRow row;
    DeckRow view;
    size_t length = strlen(desk->entry);
    desk->problem[0] = '\0';
    if (!shown(desk, session, desk->focus[desk->open_group], &row, &view)) return;
    if (view.kind != DECK_LEVEL && view.kind != DECK_DOSE) return;
    if (character == '\b') {
        if (length > 0) desk->entry[length - 1] = '\0';
    } else if (length + 1 < sizeof desk->entry / 2 &&
               !(character == '.' && strchr(desk->entry, '.') != NULL)) {
        desk->entry[length] = (char)character;
        desk->entry[length + 1] = '\0';
    }
    if (desk->entry[0] == '\0') {
        *pending_flag(desk, &row) = false;
        return;
    }
    double value = strtod(desk->entry, NULL);
    if (value < view.low || value > view.high) {
        snprintf(desk->problem, sizeof desk->problem, "allowed: %g to %g %s", view.low, view.high, view.unit);
        *pending_flag(desk, &row) = false;
        return;
    }
    keep(desk, session, &row, &view, value);
}

/* The order a row stands for. */
static Order order_of(const Desk *desk, const Session *session, const DeskRow *row) {
    Order order = {.id = row->id, .act = ORDER_ACT_SET, .value = desk->value[row->id][row->part]};
    const OrdersState *state = sim_session_orders(session);
    switch (row->part) {
    case DESK_SET:
        if (order.value <= 0.0 && sim_orders_row(row->id)->kind != ORDER_KIND_SETTING)
            order.act = ORDER_ACT_OFF;
        break;
    case DESK_LOAD:
        order.load = order.value;
        order.load_s = sim_orders_dose(row->id)->over_s;
        order.value =
            desk->pending[row->id][DESK_SET] ? desk->value[row->id][DESK_SET] : state->value[row->id];
        break;
    case DESK_BOLUS:
        order.act = ORDER_ACT_BOLUS;
        order.duration_s = desk->over_min * 60.0;
        break;
    case DESK_RATE:
        order.act = order.value > 0.0 ? ORDER_ACT_INFUSION : ORDER_ACT_OFF;
        break;
    case DESK_CHAMBERS:
    case DESK_PACE:
        order.pacing = desk->pending[row->id][DESK_CHAMBERS]
                           ? (OrderPacing)(int)desk->value[row->id][DESK_CHAMBERS]
                           : state->pacing;
        order.value = desk->pending[row->id][DESK_PACE] ? desk->value[row->id][DESK_PACE]
                                                        : ui_desk_pace_rate(session, row->id);
        if (order.pacing == ORDER_PACING_OFF) order.act = ORDER_ACT_OFF;
        break;
    case DESK_DOSE:
        order.act = ORDER_ACT_BOLUS;
        order.per_kg = sim_orders_dose(row->id)->per_kg;
        order.duration_s = sim_orders_dose(row->id)->over_s;
        break;
    case DESK_SHOCK:
    case DESK_SYNC:
        order.act = ORDER_ACT_DO;
        order.synchronised = row->part == DESK_SYNC;
        break;
    case DESK_DO:
        order.act = ORDER_ACT_DO;
        break;
    case DESK_OVER:
    case DESK_UNITS:
    case DESK_STOP:
    case DESK_PARTS:
        break;
    }
    return order;
}

/* Gives an order, with what was predicted of it. */
static ErrorCode give_order(Desk *desk, Session *session, const Order *order, Error *error) {
    if (!desk->predicted || order->id != desk->predicted_order.id || order->act != desk->predicted_order.act)
        return sim_session_give(session, order, error);
    Act act = {.id = ACT_predict, .order = *order, .answer = desk->answer};
    desk->predicted = false;
    return sim_session_act(session, &act, error);
}

/* Gives one row's order; a refusal goes to desk->problem. */
static bool give(Desk *desk, Session *session, const DeskRow *row) {
    Error error;
    model_error_clear(&error);
    ErrorCode code;
    if (row->part == DESK_STOP) {
        code = sim_session_stop(session, row->slot, &error);
    } else {
        Order order = order_of(desk, session, row);
        code = give_order(desk, session, &order, &error);
    }
    if (code == ERROR_OK) {
        *pending_flag(desk, row) = false;
        return true;
    }
    if (error.allowed[0] != '\0')
        snprintf(desk->problem, sizeof desk->problem, "%.150s; %.150s", error.what, error.allowed);
    else
        snprintf(desk->problem, sizeof desk->problem, "%.300s", error.what);
    return false;
}

/* A rate that goes with a load or with chambers is given in one order with it. */
static bool goes_with_another(const Desk *desk, const DeskRow *row) {
    return (row->part == DESK_SET && desk->pending[row->id][DESK_LOAD]) ||
           (row->part == DESK_PACE && desk->pending[row->id][DESK_CHAMBERS]);
}

int ui_desk_orders(const Desk *desk, const Session *session, Order orders[DESK_ORDERS_MAX]) {
    int count = 0;
    if (desk->problem[0] != '\0' && desk->entry[0] != '\0') return 0; /* what is typed is refused */
    for (int group = 0; group < ORDER_GROUP_COUNT; group++) {
        for (int i = 0; i < desk->rows[group]; i++) {
            const DeskRow *row = &desk->row[group][i];
            if (!is_pending(desk, row) || goes_with_another(desk, row) || row->part == DESK_STOP) continue;
            if (count < DESK_ORDERS_MAX) orders[count++] = order_of(desk, session, row);
        }
    }
    return count;
}

void ui_desk_predict(Desk *desk, const Order *order, const PredictionAnswer *answer) {
    desk->predicted = true;
    desk->predicted_order = *order;
    desk->answer = *answer;
}

int ui_desk_confirm(Desk *desk, Session *session) {
    int given = 0;
    bool refused = desk->problem[0] != '\0' && desk->entry[0] != '\0';
    desk->entry[0] = '\0';
    if (refused) return 0;
    desk->problem[0] = '\0';
    if (ui_desk_pending(desk) == 0) {
        DeskRow row;
        DeckRow view;
        if (shown(desk, session, desk->focus[desk->open_group], &row, &view) &&
            (view.kind == DECK_DOSE || view.kind == DECK_ACT))
            ui_desk_step(desk, session, desk->focus[desk->open_group], 1.0, false);
        return 0;
    }
    for (int group = 0; group < ORDER_GROUP_COUNT; group++) {
        for (int i = 0; i < desk->rows[group]; i++) {
            const DeskRow *row = &desk->row[group][i];
            if (!*pending_flag(desk, row)) continue;
            if (goes_with_another(desk, row)) continue;
            if (!give(desk, session, row)) {
                desk->predicted = false;
                return given;
            }
            given++;
            if (row->part == DESK_LOAD) desk->pending[row->id][DESK_SET] = false;
            if (row->part == DESK_CHAMBERS) desk->pending[row->id][DESK_PACE] = false;
        }
    }
    desk->predicted = false;
    return given;
}

void ui_desk_drop(Desk *desk) {
    desk->predicted = false;
    memset(desk->pending, 0, sizeof desk->pending);
    memset(desk->stop, 0, sizeof desk->stop);
    forget_typing(desk);
}
