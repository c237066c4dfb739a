/* Orders and other acts to be given at set times, from a file or from the command line: "20min speed 9400".
 */
#ifndef SIM_PLAN_H
#define SIM_PLAN_H

#include "sim/acts.h"
#include "sim/case.h"
#include "sim/errorlist.h"

enum { PLAN_MAX = 512, PLAN_LINE_MAX = ACT_TEXT_MAX, PLAN_WHERE_MAX = 160 };

typedef struct PlanItem {
    double time_s;
    Act act;
    char text[PLAN_LINE_MAX];   /* as written, without the time */
    char where[PLAN_WHERE_MAX]; /* file or option, for errors */
    int line;                   /* in the file; 0 if none */
} PlanItem;

/* In order of time; acts at the same time in the order they were added. Large: allocate it. */
typedef struct Plan {
    int count;
    PlanItem items[PLAN_MAX];
} Plan;

/* Adds "TIME ORDER", or another act in the order's place. `where` and `line` go into an error, together with
   the column. `limits` (may be NULL) is what the case allows. On failure the plan is unchanged. */
MODEL_CHECKED ErrorCode sim_plan_add(Plan *plan, const char *text, const char *where, int line,
                                     const OrderLimits *limits, Error *error);

/* Adds every line of text; empty lines and what follows a # are skipped, \# is a # itself. All errors go to
 * *errors. */
void sim_plan_add_lines(Plan *plan, const char *text, const char *where, const OrderLimits *limits,
                        ErrorList *errors);

/* Adds every line of a file, see sim_plan_add_lines. */
void sim_plan_add_file(Plan *plan, const char *path, const OrderLimits *limits, ErrorList *errors);

/* Adds the steps of one of the case's own plans, 0 <= index < case_file->plan_count. On failure those before
   the one refused stay added. */
MODEL_CHECKED ErrorCode sim_plan_add_steps(Plan *plan, const Case *case_file, int index, Error *error);

/* The plan as lines that sim_plan_add_lines reads; the caller frees it. NULL when memory is short. */
char *sim_plan_write(const Plan *plan);

#endif
