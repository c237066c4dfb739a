/* Orders: what a trainee can change, by a table (orders.def), a short text form, and their course over time.

     speed 9000          milrinone 0.25                  milrinone 0.25 load 50mcg/kg over 10min
     peep 8cmH2O         norepinephrine off              bolus crystalloid 250mL over 10min
     pacing both 90      infusion crystalloid 100mL/h    bolus red_cells 1unit over 20min
     pacing off          stop crystalloid                reopen_chest

   An order changes the patient's parameters between beats only. This file knows no patient: it turns orders
   into parameter changes, so that a night can be planned, checked and replayed without one. */
#ifndef SIM_ORDERS_H
#define SIM_ORDERS_H

#include "model/error.h"
#include "model/parameters.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum OrderId {
#define ORDER(key, label, group, kind, unit, low, high, step, coarse, standard, amount, conc, parameter,     \
              text, caution, source)                                                                         \
    ORDER_##key,
#include "sim/orders.def"
#undef ORDER
    ORDER_COUNT
} OrderId;

typedef enum OrderGroup {
    ORDER_GROUP_PUMP,
    ORDER_GROUP_FLUIDS,
    ORDER_GROUP_DRUGS,
    ORDER_GROUP_VENTILATOR,
    ORDER_GROUP_RHYTHM,
    ORDER_GROUP_PROCEDURES,
    ORDER_GROUP_COUNT
} OrderGroup;

typedef enum OrderKind {
    ORDER_KIND_SETTING, /* a value that stays: speed, PEEP */
    ORDER_KIND_DRIP,    /* a drug rate that stays until changed; 0 is off */
    ORDER_KIND_GAS,     /* an inhaled drug; 0 is off */
    ORDER_KIND_FLUID,   /* a volume over a time, or a rate that stays */
    ORDER_KIND_PACING,  /* chambers and a rate */
    ORDER_KIND_ACTION   /* done once, after a time */
} OrderKind;

typedef struct OrderRow {
    const char *key;   /* first word of the text form */
    const char *label; /* on a button */
    OrderGroup group;
    OrderKind kind;
    const char *unit;
    double low, high;    /* allowed values; 0 (off) is always allowed for drips, gas and fluid rates */
    double step, coarse; /* small and large change by the buttons */
    double standard;     /* first value offered; blood products: one unit, mL; actions: time they take, s */
    const char *amount_unit; /* "mcg" or "U" for a drip */
    double concentration;    /* amount_unit per mL drawn up; 0 if none */
    ParameterId parameter;   /* what it sets; PARAMETER_COUNT if none */
    const char *text, *caution, *source;
} OrderRow;

typedef enum OrderPacing {
    ORDER_PACING_OFF,
    ORDER_PACING_ATRIAL,
    ORDER_PACING_VENTRICULAR,
    ORDER_PACING_BOTH
} OrderPacing;

typedef enum OrderAct {
    ORDER_ACT_SET,      /* setting, drip or gas to `value`; pacing on at `value` */
    ORDER_ACT_OFF,      /* drip, gas, pacing or fluid rate off */
    ORDER_ACT_BOLUS,    /* fluid: `value` mL over duration_s */
    ORDER_ACT_INFUSION, /* fluid: `value` mL/h until changed */
    ORDER_ACT_STOP,     /* fluid: rate off and all running volumes stopped; action: called off */
    ORDER_ACT_DO        /* action */
} OrderAct;

typedef struct Order {
    OrderId id;
    OrderAct act;
    double value;       /* in the row's unit; mL for a bolus, mL/h for an infusion */
    double duration_s;  /* bolus only */
    OrderPacing pacing; /* pacing only */
    double load;        /* drip: loading dose, amount_unit per kg; 0 if none */
    double load_s;      /* time the load takes */
} Order;

/* What a case lets be ordered. */
typedef struct OrderLimit {
    bool allowed;
    double low, high, step; /* within the row's */
    double delay_s;         /* actions: from the order to its end */
} OrderLimit;

typedef struct OrderLimits {
    OrderLimit of[ORDER_COUNT];
} OrderLimits;

enum { ORDER_TEXT_MAX = 96, ORDER_RUNNING_MAX = 8, ORDER_CHANGES_MAX = 48 };

/* A volume, a load, or an action under way. */
typedef struct OrderRunning {
    bool active;
    Order order;
    double start_s;
    double total, given; /* mL for a fluid; amount_unit per kg for a load; s for an action */
    double rate_per_min; /* mL/min, or amount_unit/kg/min */
} OrderRunning;

/* Flat: copied by assignment. */
typedef struct OrdersState {
    double value[ORDER_COUNT];     /* setting, drip, gas, pacing rate; mL/h for a fluid rate */
    double changed_s[ORDER_COUNT]; /* case time of the last change; negative: since before the case */
    OrderPacing pacing;
    double native_rhythm; /* rhythm_kind under the pacing */
    OrderRunning running[ORDER_RUNNING_MAX];
    double given_ml[ORDER_COUNT]; /* fluids: given since the case began, mL */
} OrdersState;

/* What is to be set in the patient now. */
typedef struct ParameterChange {
    ParameterId id;
    double value;
} ParameterChange;

/* Changes and ends to be carried out and logged by the session. */
typedef struct OrderEffects {
    int change_count;
    ParameterChange changes[ORDER_CHANGES_MAX];
    int done_count;
    Order done[ORDER_RUNNING_MAX]; /* volumes in, loads in, actions finished */
    bool wedge, sample;            /* a measurement is due */
} OrderEffects;

const OrderRow *sim_orders_row(OrderId id);
const char *sim_orders_group_label(OrderGroup group);

/* Finds an order by key; ORDER_COUNT if there is none. */
OrderId sim_orders_find(const char *key);

/* Everything allowed within the table's ranges, with standard delays. */
OrderLimits sim_orders_limits_standard(void);

/* Reads the text form. Checks words, units and the table's ranges, and (with `limits`, may be NULL) what the
   case allows. On failure *order is unchanged and `error` says what is allowed or the nearest name. */
MODEL_CHECKED ErrorCode sim_orders_parse(const char *text, const OrderLimits *limits, Order *order,
                                         Error *error);

/* Checks an order against the table and (with `limits`, may be NULL) what the case allows. */
MODEL_CHECKED ErrorCode sim_orders_check(const Order *order, const OrderLimits *limits, Error *error);

/* Writes an order in the text form that sim_orders_parse reads; always terminated. */
void sim_orders_format(const Order *order, char *text, size_t size);

/* Writes how this order is given, with its first value: "bolus crystalloid 250mL over 10min". */
void sim_orders_example(OrderId id, char *text, size_t size);

/* Writes a value of an order with as many decimals as its step needs, without the unit. */
void sim_orders_format_value(OrderId id, double value, char *text, size_t size);

/* Volume rate of a drip at `value` for a person of weight_kg, mL/h; 0 for what is not a drip. */
double sim_orders_ml_h(OrderId id, double value, double weight_kg);

/* Settings and drips as found in *parameters; nothing running. */
void sim_orders_start(OrdersState *state, const Parameters *parameters);

/* Takes an order at case time time_s and appends what changes at once to *effects. ERROR_RANGE,
   ERROR_NOT_ALLOWED (device not there, too much at once, already under way) leave everything unchanged. */
MODEL_CHECKED ErrorCode sim_orders_give(OrdersState *state, const Order *order, const OrderLimits *limits,
                                        const Parameters *parameters, double time_s, OrderEffects *effects,
                                        Error *error);

/* Books dt_s (s) just played of everything running, ends what is complete, and fills *effects (overwritten).
 */
void sim_orders_advance(OrdersState *state, const Parameters *parameters, double dt_s, OrderEffects *effects);

/* The order that stops running entry `index` (which is active): a load leaves the drip as it is. */
Order sim_orders_stop(const OrdersState *state, int index);

/* A script changed the rhythm: keeps it under the pacing. Returns the rhythm_kind that holds now. */
double sim_orders_rhythm(OrdersState *state, double rhythm_kind);

#endif
