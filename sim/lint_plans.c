/* Reading a case critically: plans, rubric, targets, texts. */
#include "sim/lint_parts.h"

#include "sim/script.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { TEXT_MAX = 240 };

/* ---- plans ---- */

static void warn_step(Lint *lint, const CasePlan *plan, const CaseStep *step, const char *why,
                      const char *better) {
    char what[TEXT_MAX];
    Error warning;
    snprintf(what, sizeof what, "plan %.40s, \"%.60s\": %.110s", plan->id, step->text, why);
    model_error_set(&warning, ERROR_NOT_ALLOWED, "%s", what);
    if (better != NULL && better[0] != '\0') model_error_allow(&warning, "%s", better);
    model_error_at(&warning, lint->night->path, step->line, step->column);
    sim_errorlist_add(lint->warnings, &warning);
}

/* The steps in the order they are said: a plan's own order where times are equal. */
static int order_steps(const Case *night, const CasePlan *plan, const CaseStep *sorted[CASE_STEPS_MAX]) {
    for (int i = 0; i < plan->step_count; i++) {
        const CaseStep *step = &night->steps[plan->first_step + i];
        int at = i;
        for (; at > 0 && sorted[at - 1]->time_s > step->time_s; at--)
            sorted[at] = sorted[at - 1];
        sorted[at] = step;
    }
    return plan->step_count;
}

/* What a step's words refuse whatever the patient does: looks that cannot be had, devices that are not there.
 */
static void check_step(Lint *lint, const CasePlan *plan, const CaseStep *step, LookState *look,
                       double *looked_s, const OrdersState *orders) {
    const Case *night = lint->night;
    Act act;
    Error error;
    model_error_clear(&error);
    if (sim_acts_parse(step->text, &night->limits, &act, &error) != ERROR_OK) return; /* an error already */
    if (step->time_s > night->length_s) {
        warn_step(lint, plan, step, "it is after the end of the case", "a time within the case's length");
    } else if (act.id == ACT_look) {
        bool shown;
        for (; *looked_s < step->time_s; *looked_s += 1.0)
            sim_look_advance(look, &night->look, *looked_s);
        ErrorCode code = act.end ? sim_look_end(look, step->time_s, &error)
                                 : sim_look_ask(look, &night->look, act.view, step->time_s, &shown, &error);
        if (code != ERROR_OK) warn_step(lint, plan, step, error.what, error.allowed);
    } else if (act.id == ACT_order || act.id == ACT_predict) {
        OrderKind kind = sim_orders_row(act.order.id)->kind;
        const char *why = kind == ORDER_KIND_ACTION
                              ? NULL
                              : sim_orders_prevented(act.order.id, orders, &night->patient.parameters);
        if (why != NULL) warn_step(lint, plan, step, why, NULL);
    } else if (act.id == ACT_fire || act.id == ACT_delay || act.id == ACT_skip || act.id == ACT_keep) {
        if (sim_script_find_event(night, act.name, &error) < 0)
            warn_step(lint, plan, step, error.what, error.allowed);
    }
}

static void warn_ranks(Lint *lint, const bool rank[CASE_RANK_COUNT]) {
    char what[TEXT_MAX] = "no plan is ";
    size_t used = strlen(what);
    int missing = 0;
    for (int i = 0; i < CASE_RANK_COUNT; i++) {
        if (rank[i]) continue;
        used += (size_t)snprintf(what + used, sizeof what - used, "%s%s", missing > 0 ? ", none " : "",
                                 sim_case_rank_word((CaseRank)i));
        missing++;
    }
    if (missing > 0)
        sim_lint_warn(lint, "plans", -1, NULL, what,
                      "at least one plan of each rank, so that a rehearsal can compare them");
}

void sim_lint_plans(Lint *lint) {
    const Case *night = lint->night;
    bool rank[CASE_RANK_COUNT] = {false};
    OrdersState orders;
    sim_orders_start(&orders, &night->patient.parameters);
    for (int p = 0; p < night->plan_count; p++) {
        const CasePlan *plan = &night->plans[p];
        const CaseStep *sorted[CASE_STEPS_MAX];
        LookState look;
        double looked_s = 0;
        sim_look_start(&look);
        rank[plan->rank] = true;
        int count = order_steps(night, plan, sorted);
        for (int i = 0; i < count; i++)
            check_step(lint, plan, sorted[i], &look, &looked_s, &orders);
    }
    if (!night->practice) warn_ranks(lint, rank);
}

/* ---- rubric ---- */

static bool row_for_objective(const Case *night, int objective) {
    for (int i = 0; i < night->score_count; i++)
        if (night->score[i].kind == CASE_SCORE_OBJECTIVE && night->score[i].objective == objective)
            return true;
    return false;
}

static void check_row(Lint *lint, int index, double *most) {
    const Case *night = lint->night;
    const CaseScore *row = &night->score[index];
    char what[TEXT_MAX];
    if (row->kind != CASE_SCORE_MINUS) *most += row->points;
    for (int i = 0; i < index; i++) {
        const CaseScore *above = &night->score[i];
        bool same = above->kind == row->kind &&
                    ((row->kind == CASE_SCORE_OBJECTIVE && above->objective == row->objective) ||
                     (row->kind == CASE_SCORE_ENDING && above->outcome == row->outcome) ||
                     (row->kind == CASE_SCORE_INSIDE && above->inside == row->inside));
        if (same) sim_lint_warn(lint, "score", index, NULL, "this row of score counts something twice", NULL);
    }
    if (row->kind == CASE_SCORE_CALL && !night->truth_given)
        sim_lint_warn(lint, "score", index, "call", "no call can be right: the case never says what is wrong",
                      "truth: {diagnosis: ...} at the start or in an event");
    if (row->kind == CASE_SCORE_PREDICTIONS && !night->guided)
        sim_lint_warn(lint, "score", index, "predictions", "the trainee is not asked for predictions here",
                      "guided: yes");
    if (row->kind == CASE_SCORE_MINUS && sim_condition_verdict(&row->when, &lint->ranges) == VERDICT_NEVER)
        sim_lint_warn(lint, "score", index, "when", "these points can never be lost", NULL);
    if (row->kind == CASE_SCORE_INSIDE && lint->ranges.display[row->inside].none) {
        snprintf(what, sizeof what, "%s is never on show here",
                 sim_instruments_display_row(row->inside)->key);
        sim_lint_warn(lint, "score", index, "inside", what, NULL);
    }
}

void sim_lint_score(Lint *lint) {
    const Case *night = lint->night;
    char what[TEXT_MAX];
    double most = 0;
    bool calls = false;
    if (sim_lint_entry(lint, "score", 0) == NULL) return; /* the standard rubric */
    for (int i = 0; i < night->score_count; i++) {
        check_row(lint, i, &most);
        calls = calls || night->score[i].kind == CASE_SCORE_CALL;
    }
    if (most <= 0) sim_lint_warn(lint, "score", -1, NULL, "there is nothing to get", "points above 0");
    for (int i = 0; i < night->objective_count; i++) {
        /* a row about calls stands for objectives that ask for one */
        if (row_for_objective(night, i) ||
            (calls && sim_lint_needs_right_call(lint, &night->objectives[i].when)))
            continue;
        snprintf(what, sizeof what, "objective %s has no row in score", night->objectives[i].id);
        sim_lint_warn(lint, "objectives", i, NULL, what, "- {objective: its id, points: 10}");
    }
}

/* ---- targets, teaching, names ---- */

static void check_targets(Lint *lint) {
    const YamlNode *targets = sim_yaml_get(lint->tree, sim_yaml_root(lint->tree), "targets");
    char what[TEXT_MAX];
    if (targets == NULL) {
        if (!lint->night->practice)
            sim_lint_warn(lint, "targets", -1, NULL, "the case has no targets",
                          "targets: {art_mean_mmhg: [65, 85]}");
        return;
    }
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        const char *key = sim_instruments_display_row((DisplayId)i)->key;
        if (!lint->night->targets[i].given || !lint->ranges.display[i].none) continue;
        const YamlNode *node = sim_yaml_get(lint->tree, targets, key);
        snprintf(what, sizeof what, "target for %s, which is never on show here", key);
        sim_lint_warn_at(lint, node != NULL ? node : targets, what, NULL);
    }
}

/* A source that somebody else can find: a year, a number or a name; or it says that it is common practice. */
static bool says_where(const char *source) {
    static const char PRACTICE[] = "common practice";
    for (const char *c = source; *c != '\0'; c++)
        if (isdigit((unsigned char)*c)) return true;
    size_t length = strlen(PRACTICE);
    for (const char *c = source; *c != '\0'; c++) {
        size_t same = 0;
        while (same < length && c[same] != '\0' && tolower((unsigned char)c[same]) == PRACTICE[same])
            same++;
        if (same == length) return true;
    }
    return false;
}

void sim_lint_texts(Lint *lint) {
    const Case *night = lint->night;
    const char *name = strrchr(night->path, '/');
    char what[TEXT_MAX];
    check_targets(lint);
    if (night->teaching_count == 0 && !night->practice)
        sim_lint_warn(lint, "teaching", -1, NULL, "the case teaches nothing",
                      "teaching: points with their sources");
    for (int i = 0; i < night->teaching_count; i++) {
        if (!says_where(night->teaching[i].source))
            sim_lint_warn(lint, "teaching", i, "source", "this source cannot be looked up",
                          "author, journal and year, a DOI, or: common practice");
    }
    name = name != NULL ? name + 1 : night->path;
    size_t length = strlen(night->id);
    if (night->practice || (strncmp(name, night->id, length) == 0 && strcmp(name + length, ".yaml") == 0))
        return;
    snprintf(what, sizeof what, "the id %s is not the file's name", night->id);
    sim_lint_warn(lint, "id", -1, NULL, what, "the same word, so that the case is found by it");
}
