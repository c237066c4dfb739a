/* What the files of the critical reading share. Internal to sim/lint*.c. */
#ifndef SIM_LINT_PARTS_H
#define SIM_LINT_PARTS_H

#include "sim/condition_range.h"
#include "sim/lint.h"
#include "sim/yaml.h"

typedef struct Lint {
    const Case *night;
    const YamlTree *tree;
    ErrorList *warnings;
    ConditionRanges ranges;          /* what can come in this case */
    bool can_do[CASE_EVENTS_MAX];    /* the event can go its `do` way */
    bool can_other[CASE_EVENTS_MAX]; /* or the other */
    double earliest_s[CASE_EVENTS_MAX];
    double latest_s[CASE_EVENTS_MAX]; /* NaN: nobody knows */
} Lint;

/* Warns at the value of `key` of entry `index` of the list at the top; where there is none, at the nearest
   thing above. index -1: at the top key itself. NULL `key`: at the entry. */
void sim_lint_warn(Lint *lint, const char *list, int index, const char *key, const char *what,
                   const char *better);
void sim_lint_warn_at(Lint *lint, const YamlNode *node, const char *what, const char *better);

/* Entry `index` of the list at the top; NULL if there is none. */
const YamlNode *sim_lint_entry(const Lint *lint, const char *list, int index);

/* Works out what can come: ranges of all quantities, and which way events can go (lint_reach.c). */
void sim_lint_find_ranges(Lint *lint);
void sim_lint_find_ways(Lint *lint);

/* Events, prompts, objectives and endings that cannot come (lint_reach.c, lint_ends.c). */
void sim_lint_events(Lint *lint);
void sim_lint_objectives(Lint *lint);
void sim_lint_endings(Lint *lint);

/* True if the condition cannot hold without a right call. */
bool sim_lint_needs_right_call(const Lint *lint, const Condition *when);

/* Numbers outside what is usual (lint_numbers.c). */
void sim_lint_numbers(Lint *lint);

/* Plans, rubric, targets, teaching, names (lint_plans.c). */
void sim_lint_plans(Lint *lint);
void sim_lint_score(Lint *lint);
void sim_lint_texts(Lint *lint);

#endif
