/* What ran at which rate during the night, read back from the log of orders: settings, drips, inhaled drugs,
   fluids, pacing. Nothing is kept for it: the log is enough, so that a resumed or rewound night has the same
   course. */
#ifndef SIM_COURSE_H
#define SIM_COURSE_H

#include "sim/orders.h"
#include "sim/session.h"

#include <stdbool.h>

enum { COURSE_SPANS_MAX = 2048 };

/* One order's value over some time. */
typedef struct CourseSpan {
    OrderId id;
    double from_s, to_s; /* case time; the present for what still runs */
    double value;        /* in the order's unit; fluids: mL/h */
    double total;        /* extra: what was ordered, as ordered: mL, amount, or amount per kg */
    double total_value;  /* extra: the same as value times hours */
    OrderPacing pacing;
    bool extra; /* a volume, a dose or a load, on top of what stays */
    bool load;  /* extra: a load, which a new rate ends */
    bool open;  /* not over yet */
} CourseSpan;

typedef struct Course {
    int count;
    bool full; /* older spans than fit are missing */
    CourseSpan span[COURSE_SPANS_MAX];
} Course;

/* Reads the course of the night so far. */
void sim_course_read(Course *course, const Session *session);

/* Everything of order `id` together at time_s: the rate in the order's unit (fluids: mL/h). */
double sim_course_value(const Course *course, OrderId id, double time_s);

/* What stays at time_s, without volumes and loads on top. */
double sim_course_setting(const Course *course, OrderId id, double time_s);

/* Pacing in force at time_s. */
OrderPacing sim_course_pacing(const Course *course, double time_s);

/* Value times hours between two moments: mL for fluids. */
double sim_course_amount(const Course *course, OrderId id, double from_s, double to_s);

/* Whether the order was ever above 0. */
bool sim_course_used(const Course *course, OrderId id);

#endif
