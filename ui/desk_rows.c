/* Rows of the order desk: names, running values, limits, notes. */
#include "ui/desk_rows.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define OVER_LOW_MIN     1.0
#define OVER_HIGH_MIN    60.0
#define RATE_STEP_ML_H   10.0
#define RATE_COARSE_ML_H 50.0
#define RATE_HIGH_ML_H   1000.0
#define DRIP_STEP_ML_H   0.1 /* of a syringe pump */
#define DRIP_COARSE_ML_H 1.0
#define SHOCK_COARSE_J   50.0
#define SHOCK_HEART_J    20.0 /* offered first when the chest is open */

static const char *const CHAMBERS[] = {"off", "atrial (AAI)", "ventricular (VVI)", "both (DDD)"};

bool ui_desk_present(const Session *session, OrderId id) {
    const Parameters *p = sim_session_parameters(session);
    bool left = id == ORDER_speed || id == ORDER_pump_haematocrit || id == ORDER_power_source ||
                id == ORDER_changeover;
    if (left) return p->left_pump_present > 0.5;
    if (id == ORDER_right_speed) return p->right_pump_present > 0.5;
    return true;
}

bool ui_desk_dose_is_load(OrderId id) {
    const OrderDose *dose = sim_orders_dose(id);
    return dose != NULL && dose->load && dose->per_kg && strstr(sim_orders_row(id)->unit, "/kg") != NULL;
}

double ui_desk_shown_scale(const Desk *desk, const Session *session, const DeskRow *row) {
    if (!desk->ml_h || row->part != DESK_SET || sim_orders_row(row->id)->kind != ORDER_KIND_DRIP) return 1.0;
    return sim_orders_ml_h(row->id, 1.0, sim_session_parameters(session)->weight_kg);
}

double ui_desk_pace_rate(const Session *session, OrderId id) {
    double set = sim_session_orders(session)->value[id];
    return set > 0.0 ? set : sim_orders_row(id)->standard;
}

/* Decimals that a step needs: 0.005 -> 3. */
static int step_decimals(double step) {
    int decimals = 0;
    while (decimals < 4 && fabs(step - round(step * pow(10.0, decimals)) / pow(10.0, decimals)) > 1e-9)
        decimals++;
    return decimals;
}

/* "h:mm h" since the setting was last changed; "off" for a rate of 0. */
static void since(const Session *session, const DeskRow *row, double current, DeckRow *view) {
    double changed_s = sim_session_orders(session)->changed_s[row->id];
    bool rate = row->part == DESK_RATE || sim_orders_row(row->id)->kind != ORDER_KIND_SETTING;
    if (rate && current <= 0.0) {
        snprintf(view->note, sizeof view->note, view->is_pending ? "not started" : "off");
        return;
    }
    if (changed_s < 0.0) {
        snprintf(view->note, sizeof view->note, "unchanged");
        return;
    }
    int minutes = (int)fmax((sim_session_time_s(session) - changed_s) / 60.0, 0.0);
    snprintf(view->note, sizeof view->note, "for %d:%02d h", minutes / 60, minutes % 60);
}

/* The same rate in the other unit, or what kind of drug it is. */
static void describe_drip(const Desk *desk, const Session *session, const DeskRow *row, DeckRow *view) {
    const OrderRow *table = sim_orders_row(row->id);
    double scale = ui_desk_shown_scale(desk, session, row);
    double value = view->is_pending ? view->pending : view->current;
    double ml_h = sim_orders_ml_h(row->id, value, sim_session_parameters(session)->weight_kg);
    if (value <= 0.0)
        snprintf(view->detail, sizeof view->detail, "%s", sim_orders_class(row->id));
    else if (desk->ml_h && ml_h > 0.0)
        snprintf(view->detail, sizeof view->detail, "%.3g %s", value, table->unit);
    else if (ml_h > 0.0)
        snprintf(view->detail, sizeof view->detail, "%.1f mL/h", ml_h);
    if (!desk->ml_h || scale <= 0.0 || table->kind != ORDER_KIND_DRIP) return;
    view->current *= scale;
    view->pending *= scale;
    view->low *= scale;
    view->high *= scale;
    view->step = DRIP_STEP_ML_H;
    view->large_step = DRIP_COARSE_ML_H;
    snprintf(view->unit, sizeof view->unit, "mL/h");
}

static void fill_set(const Desk *desk, const Session *session, const DeskRow *row, DeckRow *view) {
    const OrderRow *table = sim_orders_row(row->id);
    const OrderLimit *limit = &sim_session_limits(session)->of[row->id];
    view->kind = DECK_LEVEL;
    view->current = sim_session_orders(session)->value[row->id];
    view->low = table->kind == ORDER_KIND_SETTING ? limit->low : 0.0;
    view->high = limit->high;
    view->step = limit->step > 0.0 ? limit->step : table->step;
    view->large_step = fmax(table->coarse, view->step);
    snprintf(view->unit, sizeof view->unit, "%s", table->unit);
    since(session, row, view->current, view);
    if (row->id == ORDER_pump_haematocrit && view->current <= 0.0)
        snprintf(view->detail, sizeof view->detail, "kept up to date");
    describe_drip(desk, session, row, view);
}

static void fill_fluid(const Desk *desk, const Session *session, const DeskRow *row, DeckRow *view) {
    const OrderRow *table = sim_orders_row(row->id);
    const OrderLimit *limit = &sim_session_limits(session)->of[row->id];
    const OrdersState *state = sim_session_orders(session);
    bool bolus = row->part == DESK_BOLUS;
    view->kind = bolus ? DECK_DOSE : DECK_LEVEL;
    if (bolus)
        snprintf(view->detail, sizeof view->detail, "bolus over %.0f min", desk->over_min);
    else
        snprintf(view->detail, sizeof view->detail, "running rate");
    snprintf(view->unit, sizeof view->unit, bolus ? "mL" : "mL/h");
    view->low = bolus ? limit->low : 0.0;
    view->high = bolus ? limit->high : fmin(RATE_HIGH_ML_H, limit->high);
    view->step = bolus ? table->step : RATE_STEP_ML_H;
    view->large_step = bolus ? table->coarse : RATE_COARSE_ML_H;
    if (bolus) {
        view->current = fmin(fmax(table->standard, limit->low), limit->high);
        if (state->given_ml[row->id] > 0.0)
            snprintf(view->note, sizeof view->note, "%.0f mL in", state->given_ml[row->id]);
    } else {
        view->current = state->value[row->id];
        since(session, row, view->current, view);
    }
}

static void fill_pacing(const Session *session, const DeskRow *row, bool pending, double value,
                        DeckRow *view) {
    const OrderRow *table = sim_orders_row(row->id);
    const OrdersState *state = sim_session_orders(session);
    if (row->part == DESK_CHAMBERS) {
        view->kind = DECK_CHOICE;
        snprintf(view->name, sizeof view->name, "Pacing wires");
        view->current = state->pacing;
        view->high = ORDER_PACING_BOTH;
        view->step = view->large_step = 1.0;
        snprintf(view->current_word, sizeof view->current_word, "%s", CHAMBERS[state->pacing]);
        snprintf(view->pending_word, sizeof view->pending_word, "%s",
                 CHAMBERS[pending ? (int)value : (int)state->pacing]);
        return;
    }
    const OrderLimit *limit = &sim_session_limits(session)->of[row->id];
    view->kind = DECK_LEVEL;
    snprintf(view->name, sizeof view->name, "Pacing rate");
    snprintf(view->unit, sizeof view->unit, "/min");
    view->current = ui_desk_pace_rate(session, row->id);
    view->low = limit->low;
    view->high = limit->high;
    view->step = table->step;
    view->large_step = table->coarse;
    if (state->pacing == ORDER_PACING_OFF) snprintf(view->note, sizeof view->note, "off");
}

/* A drug given at once, or the load that goes with a rate. */
static void fill_dose(const DeskRow *row, DeckRow *view) {
    const OrderRow *table = sim_orders_row(row->id);
    const OrderDose *dose = sim_orders_dose(row->id);
    view->kind = DECK_DOSE;
    snprintf(view->name, sizeof view->name, "%s %s", table->label, row->part == DESK_LOAD ? "load" : "bolus");
    snprintf(view->detail, sizeof view->detail, "over %.0f min", dose->over_s / 60.0);
    snprintf(view->unit, sizeof view->unit, "%s%s", table->amount_unit, dose->per_kg ? "/kg" : "");
    view->current = dose->standard;
    view->low = dose->low;
    view->high = dose->high;
    view->step = view->large_step = dose->step;
}

static void fill_shock(const Session *session, const DeskRow *row, DeckRow *view) {
    const OrderLimit *limit = &sim_session_limits(session)->of[row->id];
    const OrderDose *dose = sim_orders_dose(row->id);
    bool open = sim_session_parameters(session)->chest_open > 0.5;
    view->kind = DECK_DOSE;
    snprintf(view->name, sizeof view->name, row->part == DESK_SYNC ? "Shock, synchronised" : "Shock");
    snprintf(view->detail, sizeof view->detail, "%s",
             row->part == DESK_SYNC ? "waits for the R wave"
             : open                 ? "50 J or less: on the heart"
                                    : "at once");
    snprintf(view->unit, sizeof view->unit, "J");
    view->low = limit->low;
    view->high = limit->high;
    view->current = fmin(fmax(open ? SHOCK_HEART_J : dose->standard, limit->low), limit->high);
    view->step = dose->step;
    view->large_step = SHOCK_COARSE_J;
}

static void fill_units(const Desk *desk, DeckRow *view) {
    static const char *const words[] = {"dose", "mL/h"};
    view->kind = DECK_CHOICE;
    snprintf(view->name, sizeof view->name, "Rates shown in");
    view->current = desk->ml_h ? 1.0 : 0.0;
    view->high = view->step = view->large_step = 1.0;
    snprintf(view->current_word, sizeof view->current_word, "%s", words[desk->ml_h ? 1 : 0]);
    snprintf(view->pending_word, sizeof view->pending_word, "%s", view->current_word);
}

/* What the patient or the device does not let happen is grey, with the reason. */
static void grey(const Session *session, const DeskRow *row, DeckRow *view) {
    if (row->part == DESK_STOP) return;
    const char *why =
        sim_orders_prevented(row->id, sim_session_orders(session), sim_session_parameters(session));
    if (why == NULL) return;
    view->allowed = false;
    snprintf(view->detail, sizeof view->detail, "%s", why);
    snprintf(view->note, sizeof view->note, "not now");
}

static void fill_act(const Session *session, const DeskRow *row, DeckRow *view) {
    const OrderRow *table = sim_orders_row(row->id);
    const OrdersState *state = sim_session_orders(session);
    view->kind = DECK_ACT;
    snprintf(view->current_word, sizeof view->current_word, row->part == DESK_STOP ? "Stop" : "Order");
    if (row->part == DESK_DO) {
        double delay_s = sim_session_limits(session)->of[row->id].delay_s;
        snprintf(view->detail, sizeof view->detail, "takes %.0f min", fmax(round(delay_s / 60.0), 1.0));
        for (int slot = 0; slot < ORDER_RUNNING_MAX; slot++) {
            if (state->running[slot].active && state->running[slot].order.id == row->id) {
                view->allowed = false;
                snprintf(view->note, sizeof view->note, "under way");
            }
        }
        return;
    }
    const OrderRunning *running = &state->running[row->slot];
    const char *unit = table->kind == ORDER_KIND_FLUID    ? "mL"
                       : table->kind == ORDER_KIND_ACTION ? "min"
                                                          : table->amount_unit;
    double unit_size = table->kind == ORDER_KIND_ACTION ? 60.0 : 1.0;
    bool load = table->kind == ORDER_KIND_DRIP && running->order.act == ORDER_ACT_SET;
    const char *what = load ? ", load" : table->kind == ORDER_KIND_DRIP ? ", bolus" : "";
    snprintf(view->name, sizeof view->name, "%s%s: %.0f of %.0f %s", table->label, what,
             running->given / unit_size, running->total / unit_size, unit);
    snprintf(view->note, sizeof view->note, "under way");
}

void ui_desk_row(const Desk *desk, const Session *session, const DeskRow *row, bool pending, double value,
                 DeckRow *view) {
    memset(view, 0, sizeof *view);
    view->order = (int)row->id;
    view->allowed = !sim_session_ended(session);
    view->is_pending = pending;
    view->pending = value;
    if (row->part == DESK_OVER) {
        view->kind = DECK_LEVEL;
        snprintf(view->name, sizeof view->name, "Bolus over");
        snprintf(view->unit, sizeof view->unit, "min");
        view->current = desk->over_min;
        view->low = OVER_LOW_MIN;
        view->high = OVER_HIGH_MIN;
        view->step = 1.0;
        view->large_step = 5.0;
    } else if (row->part == DESK_UNITS) {
        fill_units(desk, view);
    } else {
        const OrderRow *table = sim_orders_row(row->id);
        snprintf(view->name, sizeof view->name, "%s", table->label);
        snprintf(view->caution, sizeof view->caution, "%s", table->caution);
        switch (row->part) {
        case DESK_SET:
            fill_set(desk, session, row, view);
            break;
        case DESK_LOAD:
        case DESK_DOSE:
            fill_dose(row, view);
            break;
        case DESK_SHOCK:
        case DESK_SYNC:
            fill_shock(session, row, view);
            break;
        case DESK_BOLUS:
        case DESK_RATE:
            fill_fluid(desk, session, row, view);
            break;
        case DESK_CHAMBERS:
        case DESK_PACE:
            fill_pacing(session, row, pending, value, view);
            break;
        case DESK_DO:
        case DESK_STOP:
            fill_act(session, row, view);
            break;
        case DESK_OVER:
        case DESK_UNITS:
        case DESK_PARTS:
            break;
        }
        grey(session, row, view);
    }
    view->decimals = step_decimals(view->step);
    if (strcmp(view->unit, "1/min") == 0) snprintf(view->unit, sizeof view->unit, "/min");
    if (pending && (view->kind == DECK_DOSE || view->kind == DECK_ACT))
        snprintf(view->note, sizeof view->note, "to be given");
    if (!pending) view->pending = view->current;
}
