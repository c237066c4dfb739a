/* The course of orders, from the log and from what was in force when the night began. */
#include "sim/course.h"

#include "model/units.h"

#include <math.h>
#include <string.h>

#define SAME_SHARE 1e-9 /* two volumes are the same order's when they differ by less */
#define SAME_S     1e-3 /* and two moments, half a tick */
#define SHORTEST_S 1.0  /* a dose that is given at once */

static CourseSpan *add_span(Course *course, OrderId id, double from_s, double value) {
    if (course->count == COURSE_SPANS_MAX) {
        course->full = true;
        return NULL;
    }
    CourseSpan *span = &course->span[course->count++];
    *span = (CourseSpan){.id = id, .from_s = from_s, .to_s = from_s, .value = value, .open = true};
    return span;
}

/* Ends what stays of an order. */
static void end_setting(Course *course, OrderId id, double time_s) {
    for (int i = 0; i < course->count; i++) {
        CourseSpan *span = &course->span[i];
        if (!span->open || span->id != id || span->extra) continue;
        span->open = false;
        span->to_s = time_s;
    }
}

/* Ends what lies on top: loads, or everything. */
static void end_extras(Course *course, OrderId id, bool loads_only, double time_s) {
    for (int i = 0; i < course->count; i++) {
        CourseSpan *span = &course->span[i];
        if (!span->open || span->id != id || !span->extra || (loads_only && !span->load)) continue;
        span->open = false;
        span->to_s = time_s;
    }
}

static void change(Course *course, const Order *order, double time_s, double value) {
    end_setting(course, order->id, time_s);
    CourseSpan *span = add_span(course, order->id, time_s, value);
    if (span != NULL) span->pacing = order->act == ORDER_ACT_OFF ? ORDER_PACING_OFF : order->pacing;
}

static double extra_total(const Order *order) {
    return order->act == ORDER_ACT_SET ? order->load : order->value;
}

/* A volume, dose or load as value times hours of its order. */
static double value_hours(const Order *order, double weight_kg) {
    const OrderRow *row = sim_orders_row(order->id);
    double total = extra_total(order);
    if (row->kind == ORDER_KIND_FLUID) return total;
    bool per_kg = order->act == ORDER_ACT_SET ? strstr(row->unit, "/kg") != NULL : order->per_kg;
    double ml_h = sim_orders_ml_h(order->id, 1, weight_kg);
    if (ml_h <= 0 || row->concentration <= 0) return 0;
    return total * (per_kg ? weight_kg : 1) / row->concentration / ml_h;
}

/* A volume, a dose or a load: runs on top of what stays until it is in. */
static void start_extra(Course *course, const Order *order, double weight_kg, double time_s) {
    bool load = order->act == ORDER_ACT_SET;
    double duration_s = fmax(load ? order->load_s : order->duration_s, SHORTEST_S);
    double hours = value_hours(order, weight_kg);
    CourseSpan *span = add_span(course, order->id, time_s, hours / (duration_s / UNITS_S_PER_H));
    if (span == NULL) return;
    span->extra = true;
    span->load = load;
    span->total = extra_total(order);
    span->total_value = hours;
}

static void take_order(Course *course, const Order *order, double weight_kg, double time_s) {
    switch (order->act) {
    case ORDER_ACT_SET:
        if (order->load > 0)
            start_extra(course, order, weight_kg, time_s);
        else
            end_extras(course, order->id, true, time_s);
        change(course, order, time_s, order->value);
        break;
    case ORDER_ACT_OFF:
    case ORDER_ACT_STOP:
        end_extras(course, order->id, false, time_s);
        change(course, order, time_s, 0);
        break;
    case ORDER_ACT_BOLUS:
        start_extra(course, order, weight_kg, time_s);
        break;
    case ORDER_ACT_INFUSION:
        change(course, order, time_s, order->value);
        break;
    case ORDER_ACT_DO:
        break;
    }
}

static bool same_total(double a, double b) {
    return fabs(a - b) <= SAME_SHARE * fmax(fabs(a), fabs(b));
}

/* Spreads what was given over the time it took. */
static void settle(CourseSpan *span, double share, double to_s) {
    span->to_s = to_s;
    double time_s = to_s - span->from_s;
    if (time_s > 0) span->value = share * span->total_value / (time_s / UNITS_S_PER_H);
}

/* A volume, a dose or a load is in: the oldest open one like it has got all of its amount. */
static void take_end(Course *course, const Order *order, double time_s) {
    bool load = order->act == ORDER_ACT_SET;
    for (int i = 0; i < course->count; i++) {
        CourseSpan *span = &course->span[i];
        if (!span->open || !span->extra || span->id != order->id || span->load != load ||
            !same_total(span->total, extra_total(order)))
            continue;
        settle(span, 1, time_s);
        span->open = false;
        return;
    }
}

/* What still runs has got what the orders say it has. */
static void take_running(Course *course, const OrdersState *orders, double now_s) {
    for (int i = 0; i < course->count; i++) {
        CourseSpan *span = &course->span[i];
        if (!span->open) continue;
        span->to_s = now_s;
        for (int k = 0; span->extra && k < ORDER_RUNNING_MAX; k++) {
            const OrderRunning *running = &orders->running[k];
            if (running->active && running->order.id == span->id && running->total > 0 &&
                fabs(running->start_s - span->from_s) < SAME_S && same_total(running->total, span->total))
                settle(span, running->given / running->total, now_s);
        }
    }
}

/* What was in force when the night began. */
static void take_start(Course *course, const OrdersState *first) {
    for (int id = 0; id < ORDER_COUNT; id++) {
        if (sim_orders_row((OrderId)id)->kind == ORDER_KIND_ACTION) continue;
        CourseSpan *span = add_span(course, (OrderId)id, 0, first->value[id]);
        if (span != NULL && sim_orders_row((OrderId)id)->kind == ORDER_KIND_PACING)
            span->pacing = first->pacing;
    }
}

void sim_course_read(Course *course, const Session *session) {
    course->count = 0;
    course->full = false;
    take_start(course, sim_session_first_orders(session));
    double weight_kg = sim_session_parameters(session)->weight_kg;
    int64_t count = sim_session_log_count(session);
    for (int64_t i = 0; i < count; i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        Order order;
        if (entry == NULL || (entry->kind != LOG_ORDER && entry->kind != LOG_DONE)) continue;
        if (sim_orders_parse(entry->text, NULL, &order, NULL) != ERROR_OK) continue;
        if (sim_orders_row(order.id)->kind == ORDER_KIND_ACTION) continue;
        order = sim_orders_resolve(&order, weight_kg);
        if (entry->kind == LOG_ORDER)
            take_order(course, &order, weight_kg, entry->time_s);
        else
            take_end(course, &order, entry->time_s);
    }
    take_running(course, sim_session_orders(session), sim_session_time_s(session));
}

static bool holds(const CourseSpan *span, double time_s) {
    return span->from_s <= time_s && (time_s < span->to_s || span->open);
}

double sim_course_value(const Course *course, OrderId id, double time_s) {
    double sum = 0;
    for (int i = 0; i < course->count; i++) {
        if (course->span[i].id == id && holds(&course->span[i], time_s)) sum += course->span[i].value;
    }
    return sum;
}

double sim_course_setting(const Course *course, OrderId id, double time_s) {
    for (int i = 0; i < course->count; i++) {
        const CourseSpan *span = &course->span[i];
        if (span->id == id && !span->extra && holds(span, time_s)) return span->value;
    }
    return NAN;
}

OrderPacing sim_course_pacing(const Course *course, double time_s) {
    for (int i = 0; i < course->count; i++) {
        const CourseSpan *span = &course->span[i];
        if (span->id == ORDER_pacing && holds(span, time_s)) return span->pacing;
    }
    return ORDER_PACING_OFF;
}

double sim_course_amount(const Course *course, OrderId id, double from_s, double to_s) {
    double sum = 0;
    for (int i = 0; i < course->count; i++) {
        const CourseSpan *span = &course->span[i];
        double a = fmax(from_s, span->from_s), b = fmin(to_s, span->to_s);
        if (span->id == id && b > a) sum += span->value * (b - a) / UNITS_S_PER_H;
    }
    return sum;
}

bool sim_course_used(const Course *course, OrderId id) {
    for (int i = 0; i < course->count; i++) {
        if (course->span[i].id == id && course->span[i].value > 0) return true;
    }
    return false;
}
