/* Between the files of the orders only. */
#ifndef SIM_ORDERS_PARTS_H
#define SIM_ORDERS_PARTS_H

#include "sim/orders.h"

#include "model/beat.h"

/* Adds one parameter to what changes now. */
void sim_orders_add_change(OrderEffects *effects, ParameterId id, double value);

/* Pacing, and the rhythm under it, as it now is: adds what changes against *parameters. */
void sim_orders_add_rhythm(const OrdersState *state, const Parameters *parameters, OrderEffects *effects);

/* A free entry of what is under way; NULL if all are taken. */
OrderRunning *sim_orders_free_running(OrdersState *state);

/* Ends everything of one order that is under way. */
void sim_orders_end_running(OrdersState *state, OrderId id);

/* Starts or calls off an action. */
MODEL_CHECKED ErrorCode sim_orders_give_action(OrdersState *state, const Order *order,
                                               const OrderLimits *limits, const Parameters *parameters,
                                               double time_s, OrderEffects *effects, Error *error);

/* What an action does a while before its end, and when its time is over. */
void sim_orders_midway(const Order *order, OrderEffects *effects);
void sim_orders_finish_action(OrdersState *state, const Order *order, const Parameters *parameters,
                              OrderEffects *effects);

/* The parameter's unit for each unit of the row (mg/h of mg/kg/min ...); 1 for what is not a drip. */
double sim_orders_parameter_scale(OrderId id, double weight_kg);

/* The parameter's unit for one amount_unit per minute (per kg with per_kg). */
double sim_orders_amount_scale(OrderId id, bool per_kg, double weight_kg);

#endif
