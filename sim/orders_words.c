/* Writing orders in the text form. */
#include "sim/orders.h"

#include "sim/duration.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define BOLUS_STANDARD_S 600.0 /* common practice */

static const char *const pacing_words[] = {"off", "atrial", "ventricular", "both"};

static void format_bolus(const OrderRow *row, const Order *order, char *text, size_t size) {
    char over[DURATION_TEXT_MAX];
    bool fluid = row->kind == ORDER_KIND_FLUID;
    sim_duration_format(order->duration_s, over, sizeof over);
    snprintf(text, size, "bolus %s %.10g%s%s over %s", row->key, order->value,
             fluid ? "mL" : row->amount_unit, !fluid && order->per_kg ? "/kg" : "", over);
}

static void format_value(const OrderRow *row, const Order *order, char *text, size_t size) {
    char over[DURATION_TEXT_MAX], load[ORDER_TEXT_MAX] = "", unit[ORDER_TEXT_MAX / 4];
    switch (order->measure) {
    case ORDER_MEASURE_ML_H:
        snprintf(unit, sizeof unit, "mL/h");
        break;
    case ORDER_MEASURE_AMOUNT_MIN:
        snprintf(unit, sizeof unit, "%s/min", row->amount_unit);
        break;
    case ORDER_MEASURE_AMOUNT_KG_MIN:
        snprintf(unit, sizeof unit, "%s/kg/min", row->amount_unit);
        break;
    case ORDER_MEASURE_ROW:
    case ORDER_MEASURE_COUNT:
        snprintf(unit, sizeof unit, "%s", strcmp(row->unit, "fraction") == 0 ? "" : row->unit);
        break;
    }
    const char *space = isdigit((unsigned char)unit[0]) ? " " : ""; /* 14 1/min */
    if (order->load > 0) {
        sim_duration_format(order->load_s, over, sizeof over);
        snprintf(load, sizeof load, " load %.10g%s%s over %s", order->load, row->amount_unit,
                 strstr(row->unit, "/kg") != NULL ? "/kg" : "", over);
    }
    snprintf(text, size, "%s %.10g%s%s%s", row->key, order->value, space, unit, load);
}

void sim_orders_format(const Order *order, char *text, size_t size) {
    const OrderRow *row = sim_orders_row(order->id);
    switch (order->act) {
    case ORDER_ACT_BOLUS:
        format_bolus(row, order, text, size);
        break;
    case ORDER_ACT_INFUSION:
        snprintf(text, size, "infusion %s %.10gmL/h", row->key, order->value);
        break;
    case ORDER_ACT_STOP:
        snprintf(text, size, "stop %s", row->key);
        break;
    case ORDER_ACT_OFF:
        snprintf(text, size, "%s off", row->key);
        break;
    case ORDER_ACT_DO:
        if (order->id == ORDER_shock)
            snprintf(text, size, "%s %.10gJ%s", row->key, order->value,
                     order->synchronised ? " synchronised" : "");
        else
            snprintf(text, size, "%s", row->key);
        break;
    case ORDER_ACT_SET:
        if (row->kind == ORDER_KIND_PACING)
            snprintf(text, size, "%s %s %.10g", row->key, pacing_words[order->pacing], order->value);
        else
            format_value(row, order, text, size);
        break;
    }
}

void sim_orders_example(OrderId id, char *text, size_t size) {
    const OrderRow *row = sim_orders_row(id);
    Order order = {.id = id, .act = ORDER_ACT_SET, .value = row->standard};
    if (row->kind == ORDER_KIND_ACTION) order.act = ORDER_ACT_DO;
    if (id == ORDER_shock) order.value = sim_orders_dose(id)->standard;
    if (row->kind == ORDER_KIND_PACING) order.pacing = ORDER_PACING_BOTH;
    if (row->kind == ORDER_KIND_FLUID) {
        order.act = ORDER_ACT_BOLUS;
        order.duration_s = BOLUS_STANDARD_S;
    }
    sim_orders_format(&order, text, size);
}
