/* Reading a case critically: objectives that nobody can meet, endings that cannot be taken. */
#include "sim/lint_parts.h"

#include "sim/duration.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { TEXT_MAX = 240 };

/* ---- objectives ---- */

/* When something other than well is true at the earliest, and at the latest as far as that is known; false
   if it never is. */
static bool trouble_comes(const Lint *lint, double *earliest_s, double *latest_s) {
    const Case *night = lint->night;
    *earliest_s = INFINITY;
    *latest_s = NAN;
    if (night->truth_given && night->truth.diagnosis != DIAGNOSIS_well) {
        *earliest_s = *latest_s = 0;
        return true;
    }
    for (int i = 0; i < night->event_count; i++) {
        const CaseEvent *event = &night->events[i];
        for (int way = 0; way < 2; way++) {
            int first = way == 0 ? event->first_action : event->first_other;
            int count = way == 0 ? event->action_count : event->other_count;
            for (int k = first; k < first + count; k++) {
                const CaseAction *action = &night->actions[k];
                if (!(way == 0 ? lint->can_do : lint->can_other)[i] || action->kind != CASE_ACTION_TRUTH ||
                    action->truth.diagnosis == DIAGNOSIS_well || lint->earliest_s[i] >= *earliest_s)
                    continue;
                *earliest_s = lint->earliest_s[i];
                *latest_s = lint->latest_s[i];
            }
        }
    }
    return isfinite(*earliest_s);
}

bool sim_lint_needs_right_call(const Lint *lint, const Condition *when) {
    ConditionRanges ranges = lint->ranges;
    ranges.deed[DEED_call_right] = ranges.deed[DEED_call_kind_right] =
        (ConditionSpan){.low = 0, .high = 0, .sure = true};
    return sim_condition_verdict(when, &ranges) == VERDICT_NEVER;
}

static void check_call(Lint *lint, int index) {
    const CaseObjective *objective = &lint->night->objectives[index];
    double earliest_s, latest_s;
    char what[TEXT_MAX], better[TEXT_MAX], time[DURATION_TEXT_MAX];
    if (!sim_lint_needs_right_call(lint, &objective->when)) return;
    if (!lint->night->truth_given) {
        snprintf(what, sizeof what,
                 "objective %s asks for a right call, and the case never says what is wrong", objective->id);
        sim_lint_warn(lint, "objectives", index, "when", what,
                      "truth: {diagnosis: ...} at the start or in an event");
        return;
    }
    if (!trouble_comes(lint, &earliest_s, &latest_s)) return;
    bool always = earliest_s >= objective->by_s;
    if (!always && !(latest_s >= objective->by_s)) return;
    sim_duration_format(always ? earliest_s : latest_s, time, sizeof time);
    snprintf(what, sizeof what, "objective %s has to be met before anything is wrong%s", objective->id,
             always ? "" : ", in some nights");
    snprintf(better, sizeof better, "by: later than %s", time);
    sim_lint_warn(lint, "objectives", index, "by", what, better);
}

void sim_lint_objectives(Lint *lint) {
    const Case *night = lint->night;
    char what[TEXT_MAX];
    if (night->objective_count == 0 && !night->practice)
        sim_lint_warn(lint, "objectives", -1, NULL, "the case has no objectives",
                      "objectives: what can be measured of the trainee's work");
    for (int i = 0; i < night->objective_count; i++) {
        const CaseObjective *objective = &night->objectives[i];
        if (sim_condition_verdict(&objective->when, &lint->ranges) == VERDICT_NEVER) {
            snprintf(what, sizeof what, "nobody can meet objective %s", objective->id);
            sim_lint_warn(lint, "objectives", i, "when", what,
                          "what the orders, looks and devices of this case make possible");
        } else if (objective->hold_s > objective->by_s) {
            snprintf(what, sizeof what, "objective %s has to hold longer than it has time", objective->id);
            sim_lint_warn(lint, "objectives", i, "for", what, "a shorter for, or a later by");
        } else if (objective->by_s > night->length_s) {
            snprintf(what, sizeof what, "objective %s may be met after the case is over", objective->id);
            sim_lint_warn(lint, "objectives", i, "by", what, "by: within the case's length");
        } else {
            check_call(lint, i);
        }
    }
}

/* ---- endings ---- */

static ConditionVerdict verdict(const Lint *lint, const CaseEnding *ending) {
    return sim_condition_verdict(&ending->when, &lint->ranges);
}

/* True if whenever `below` could be taken, `above` is taken before it. */
static bool hides(const Lint *lint, const CaseEnding *above, const CaseEnding *below) {
    if (above->at_length && !below->at_length) return false;
    if (above->hold_s > below->hold_s) return false;
    return verdict(lint, above) == VERDICT_ALWAYS ||
           (above->when.count > 0 && strcmp(above->when.text, below->when.text) == 0);
}

static void check_ending(Lint *lint, int index) {
    const CaseEnding *ending = &lint->night->endings[index];
    char what[TEXT_MAX], better[TEXT_MAX];
    snprintf(what, sizeof what, "ending %s can never be taken", ending->id);
    if (verdict(lint, ending) == VERDICT_NEVER || ending->hold_s > lint->night->length_s) {
        sim_lint_warn(lint, "endings", index, ending->hold_s > lint->night->length_s ? "for" : "when", what,
                      "a condition within what its quantities can come to here");
        return;
    }
    for (int i = 0; i < index; i++) {
        const CaseEnding *above = &lint->night->endings[i];
        if (!hides(lint, above, ending)) continue;
        snprintf(better, sizeof better, "%s above it always holds then: put it below", above->id);
        sim_lint_warn(lint, "endings", index, NULL, what, better);
        return;
    }
}

static bool some_ending(const Case *night, CaseOutcome outcome) {
    for (int i = 0; i < night->ending_count; i++)
        if (night->endings[i].outcome == outcome) return true;
    for (int i = 0; i < night->action_count; i++)
        if (night->actions[i].kind == CASE_ACTION_END && night->actions[i].outcome == outcome) return true;
    return false;
}

void sim_lint_endings(Lint *lint) {
    const Case *night = lint->night;
    bool sure = false;
    for (int i = 0; i < night->ending_count; i++) {
        const CaseEnding *ending = &night->endings[i];
        sure = sure || (ending->at_length && ending->hold_s <= 0 && verdict(lint, ending) == VERDICT_ALWAYS);
        check_ending(lint, i);
    }
    if (!sure)
        sim_lint_warn(lint, "endings", -1, NULL, "the night can be over without any ending",
                      "a last ending with at_length: yes and without when");
    if (!some_ending(night, CASE_OUTCOME_GOOD) && !night->practice)
        sim_lint_warn(lint, "endings", -1, NULL, "no ending is good",
                      "outcome: good, for those who do it right");
}
