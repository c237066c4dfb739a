/* Rates of drips in the units people use: per kg or not, per minute or per hour, mL/h of what is drawn up. */
#include "sim/orders_parts.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MIN_PER_H     60.0
#define DECIMALS_MOST 4

static bool per_kg(const char *unit) {
    return strstr(unit, "/kg") != NULL;
}

/* Minutes that the unit counts: 60 for "mg/h". */
static double unit_min(const char *unit) {
    size_t length = strlen(unit);
    return length > 2 && strcmp(unit + length - 2, "/h") == 0 ? MIN_PER_H : 1.0;
}

double sim_orders_parameter_scale(OrderId id, double weight_kg) {
    const OrderRow *row = sim_orders_row(id);
    if (row->kind != ORDER_KIND_DRIP) return 1.0;
    const char *unit = model_parameters_row(row->parameter)->unit;
    double scale = unit_min(unit) / unit_min(row->unit);
    if (per_kg(unit) && !per_kg(row->unit)) scale /= weight_kg;
    if (!per_kg(unit) && per_kg(row->unit)) scale *= weight_kg;
    return scale;
}

double sim_orders_amount_scale(OrderId id, bool amount_per_kg, double weight_kg) {
    const OrderRow *row = sim_orders_row(id);
    if (row->kind != ORDER_KIND_DRIP) return 1.0;
    const char *unit = model_parameters_row(row->parameter)->unit;
    double scale = unit_min(unit);
    if (per_kg(unit) && !amount_per_kg) scale /= weight_kg;
    if (!per_kg(unit) && amount_per_kg) scale *= weight_kg;
    return scale;
}

double sim_orders_ml_h(OrderId id, double value, double weight_kg) {
    const OrderRow *row = sim_orders_row(id);
    if (row->concentration <= 0) return 0;
    double amount_h = value * MIN_PER_H / unit_min(row->unit);
    return (per_kg(row->unit) ? amount_h * weight_kg : amount_h) / row->concentration;
}

Order sim_orders_resolve(const Order *order, double weight_kg) {
    const OrderRow *row = sim_orders_row(order->id);
    Order resolved = *order;
    resolved.measure = ORDER_MEASURE_ROW;
    double minutes = unit_min(row->unit);
    switch (order->measure) {
    case ORDER_MEASURE_ML_H: {
        double one_ml_h = sim_orders_ml_h(order->id, 1.0, weight_kg);
        if (one_ml_h > 0) resolved.value = order->value / one_ml_h;
        break;
    }
    case ORDER_MEASURE_AMOUNT_MIN:
        resolved.value = order->value / weight_kg * minutes;
        break;
    case ORDER_MEASURE_AMOUNT_KG_MIN:
        resolved.value = order->value * weight_kg * minutes;
        break;
    case ORDER_MEASURE_ROW:
    case ORDER_MEASURE_COUNT:
        break;
    }
    return resolved;
}

void sim_orders_format_value(OrderId id, double value, char *text, size_t size) {
    int decimals = 0;
    double step = sim_orders_row(id)->step;
    while (decimals < DECIMALS_MOST && fabs(step - round(step)) > 1e-6) {
        step *= 10;
        decimals++;
    }
    snprintf(text, size, "%.*f", decimals, value);
}
