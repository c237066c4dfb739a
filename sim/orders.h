/* Orders: what a trainee can change, by a table (orders.def), a short text form, and their course over time.

     speed 9000          milrinone 0.25                  milrinone 0.25 load 50mcg/kg over 10min
     peep 8cmH2O         norepinephrine off              bolus crystalloid 250mL over 10min
     pacing both 90      infusion crystalloid 100mL/h    bolus red_cells 1unit over 20min
     pacing off          stop crystalloid                reopen_chest
     norepinephrine 6mL/h                                bolus furosemide 40mg over 2min
     pacing DDD 90       shock 200J                      shock 100J synchronised

   An order changes the patient's parameters between beats only. This file knows no patient: it turns orders
   into parameter changes, so that a night can be planned, checked and replayed without one. */
#ifndef SIM_ORDERS_H
#define SIM_ORDERS_H

#include "model/error.h"
#include "model/parameters.h"
#include "model/random.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

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
    ORDER_ACT_SET,   /* setting, drip or gas to `value`; pacing on at `value` */
    ORDER_ACT_OFF,   /* drip, gas, pacing or fluid rate off */
    ORDER_ACT_BOLUS, /* fluid: `value` mL over duration_s; drip: `value` amount_unit (per kg with per_kg) */
    ORDER_ACT_INFUSION, /* fluid: `value` mL/h until changed */
    ORDER_ACT_STOP,     /* fluid: rate off and all running volumes stopped; action: called off */
    ORDER_ACT_DO        /* action */
} OrderAct;

/* What a drip's value is in, when it was not typed in the row's unit. */
typedef enum OrderMeasure {
    ORDER_MEASURE_ROW,
    ORDER_MEASURE_ML_H,          /* mL/h of what is drawn up */
    ORDER_MEASURE_AMOUNT_MIN,    /* amount_unit/min, for a drip per kg */
    ORDER_MEASURE_AMOUNT_KG_MIN, /* amount_unit/kg/min, for a drip that is not per kg */
    ORDER_MEASURE_COUNT
} OrderMeasure;

typedef struct Order {
    OrderId id;
    OrderAct act;
    double value;       /* in the row's unit; mL for a bolus, mL/h for an infusion; J for a shock */
    double duration_s;  /* bolus only */
    OrderPacing pacing; /* pacing only */
    double load;        /* drip: loading dose, amount_unit (per kg for a drip per kg); 0 if none */
    double load_s;      /* time the load takes */
    OrderMeasure measure;
    bool per_kg;       /* bolus of a drug: the amount is per kg */
    bool synchronised; /* shock only */
} Order;

/* What is given at once of a drug, or with a shock (doses.def). */
typedef struct OrderDose {
    OrderId id;
    bool per_kg;
    double low, high, step, standard; /* amount_unit, per kg with per_kg; J */
    double over_s;
    bool load; /* a drip usually goes on after it */
    const char *source;
} OrderDose;

/* Measurements, from the draw to the result. Bits of a set. */
typedef enum OrderTest {
    ORDER_TEST_WEDGE,
    ORDER_TEST_GAS,
    ORDER_TEST_MIXED_VENOUS,
    ORDER_TEST_LACTATE,
    ORDER_TEST_HAEMOGLOBIN,
    ORDER_TEST_THERMODILUTION,
    ORDER_TEST_URINE,
    ORDER_TEST_COUNT
} OrderTest;

/* What hands do at the instruments. Bits of a set. */
enum {
    ORDER_HANDS_DRAW_ART = 1,  /* blood is drawn from the arterial line and the line flushed */
    ORDER_HANDS_DRAW_PA = 2,   /* the same at the pulmonary artery catheter */
    ORDER_HANDS_FLUSH_ART = 4, /* fast flush */
    ORDER_HANDS_BALLOON = 8,   /* the balloon goes up for a reading */
    ORDER_HANDS_ZERO = 16      /* the lines are zeroed */
};

/* What a case lets be ordered. */
typedef struct OrderLimit {
    bool allowed;
    double low, high, step; /* within the row's */
    double delay_s;         /* actions: from the order to its end */
} OrderLimit;

typedef struct OrderLimits {
    OrderLimit of[ORDER_COUNT];
} OrderLimits;

enum { ORDER_TEXT_MAX = 96, ORDER_RUNNING_MAX = 16, ORDER_CHANGES_MAX = 48, ORDER_SAYINGS_MAX = 8 };

/* A volume, a dose, or an action under way. */
typedef struct OrderRunning {
    bool active;
    Order order;
    double start_s;
    double total,
        given; /* mL for a fluid; amount_unit (per kg where the order is) for a dose; s for an action */
    double rate_per_min; /* the same per minute; 0 for an action */
    double scale;        /* the parameter's unit for each unit of rate_per_min */
    double midway_s;     /* action: something happens this long before its end; 0 if nothing does */
} OrderRunning;

/* Flat: copied by assignment. */
typedef struct OrdersState {
    double value[ORDER_COUNT];     /* setting, drip, gas, pacing rate; mL/h for a fluid rate */
    double changed_s[ORDER_COUNT]; /* case time of the last change; negative: since before the case */
    OrderPacing pacing;
    double native_rhythm; /* rhythm_kind under the pacing */
    Random random;        /* the orders' own: what a shock does */
    double shock_left_j;  /* energy still to reach the heart within this second, as of pads on the chest */
    bool surgeon_here;
    OrderRunning running[ORDER_RUNNING_MAX];
    double given_ml[ORDER_COUNT]; /* fluids: given since the case began, mL */
} OrdersState;

/* What is to be set in the patient now. */
typedef struct ParameterChange {
    ParameterId id;
    double value;
} ParameterChange;

/* Something to be told: from whom, what. */
typedef struct OrderSaying {
    const char *from;
    char text[ORDER_TEXT_MAX];
} OrderSaying;

/* Changes and ends to be carried out and logged by the session. */
typedef struct OrderEffects {
    int change_count;
    ParameterChange changes[ORDER_CHANGES_MAX];
    int done_count;
    Order done[ORDER_RUNNING_MAX]; /* volumes in, loads in, actions finished */
    unsigned drawn, reported;      /* measurements taken now, results that arrive now: bits of OrderTest */
    unsigned hands;                /* ORDER_HANDS_... */
    bool surgeon;                  /* the surgeon has come and looks */
    int saying_count;
    OrderSaying sayings[ORDER_SAYINGS_MAX];
} OrderEffects;

const OrderRow *sim_orders_row(OrderId id);
const char *sim_orders_group_label(OrderGroup group);

/* What is given at once of this order; NULL if nothing is. */
const OrderDose *sim_orders_dose(OrderId id);

/* "vasoconstrictor" for a drug, "" for the rest. */
const char *sim_orders_class(OrderId id);

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

/* Writes a drip's value (mL/h, amount/min ...) in the row's unit for a person of weight_kg; measure becomes
   ORDER_MEASURE_ROW. Other orders are copied. */
Order sim_orders_resolve(const Order *order, double weight_kg);

/* Settings and drips as found in *parameters; nothing running. */
void sim_orders_start(OrdersState *state, const Parameters *parameters);

/* Sets what shocks draw from; without it sim_orders_start's own. */
void sim_orders_seed(OrdersState *state, uint64_t seed);

/* Why this order cannot be given now whatever its value ("there is no left pump"); NULL if it can. */
const char *sim_orders_prevented(OrderId id, const OrdersState *state, const Parameters *parameters);

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
