/* Reading a case critically: what its quantities can come to, and which events can come at all. */
#include "sim/lint_parts.h"

#include "sim/duration.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { TEXT_MAX = 200 };

static ConditionSpan span(double low, double high) {
    return (ConditionSpan){.low = low, .high = high, .sure = true};
}

static void widen(ConditionSpan *out, double value) {
    out->low = fmin(out->low, value);
    out->high = fmax(out->high, value);
}

/* ---- ranges ---- */

static ConditionSpan span_of(const char *key, const char *unit) {
    static const struct {
        const char *name;
        double low, high;
    } SPANS[] = {
#define SPAN(name, low, high) {name, low, high},
#include "sim/lint_ranges.def"
#undef SPAN
    };
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < sizeof SPANS / sizeof SPANS[0]; i++) {
            if (strcmp(SPANS[i].name, pass == 0 ? key : unit) == 0) return span(SPANS[i].low, SPANS[i].high);
        }
    }
    return span(-INFINITY, INFINITY);
}

/* Parameters that actions change, beside those that orders set. */
static const struct {
    OrderId order;
    ParameterId parameter;
} TOUCHED[] = {
#define OPENS(order)                                                                                         \
    {order, PARAMETER_chest_open}, {order, PARAMETER_clot_lv_ml}, {order, PARAMETER_clot_rv_ml},             \
        {order, PARAMETER_clot_la_ml}, {order, PARAMETER_clot_ra_ml},                                        \
        {order, PARAMETER_pericardial_free_ml}, {order, PARAMETER_bleed_drain_ml_h},                         \
        {order, PARAMETER_bleed_hidden_ml_h}, {order, PARAMETER_bleed_pericardium_ml_h},                     \
        {order, PARAMETER_bleed_clot_lv_ml_h}, {order, PARAMETER_bleed_clot_rv_ml_h},                        \
        {order, PARAMETER_bleed_clot_la_ml_h}, {                                                             \
        order, PARAMETER_bleed_clot_ra_ml_h                                                                  \
    }
    OPENS(ORDER_reopen_chest),
    OPENS(ORDER_reopen_bedside),
    {ORDER_clear_drain, PARAMETER_drain_patency_frac},
    {ORDER_pericardial_drain, PARAMETER_drain_patency_frac},
    {ORDER_power_source, PARAMETER_left_pump_powered},
    {ORDER_power_source, PARAMETER_left_pump_fault},
    {ORDER_changeover, PARAMETER_left_pump_powered},
    {ORDER_changeover, PARAMETER_left_pump_fault},
    {ORDER_changeover, PARAMETER_left_pump_changeover_fails},
    {ORDER_shock, PARAMETER_shock_j_min},
    {ORDER_pacing, PARAMETER_ventricular_sensing},
    {ORDER_flush_line, PARAMETER_art_line_damping},
    {ORDER_flush_line, PARAMETER_art_line_hz},
    {ORDER_zero_lines, PARAMETER_art_zero_mmhg},
    {ORDER_zero_lines, PARAMETER_pa_zero_mmhg},
    {ORDER_zero_lines, PARAMETER_cvp_zero_mmhg},
};

static void whole_row(Lint *lint, ParameterId id) {
    const ParameterRow *row = model_parameters_row(id);
    lint->ranges.parameter[id] = span(row->low, row->high);
}

/* What orders can set. A drip's load, and a fluid's rate, may be anything in the parameter's range. */
static void add_orders(Lint *lint) {
    for (int i = 0; i < ORDER_COUNT; i++) {
        const OrderLimit *limit = &lint->night->limits.of[i];
        const OrderRow *row = sim_orders_row((OrderId)i);
        if (!limit->allowed || row->parameter == PARAMETER_COUNT) continue;
        if (row->kind != ORDER_KIND_SETTING && row->kind != ORDER_KIND_GAS) {
            whole_row(lint, row->parameter);
            continue;
        }
        widen(&lint->ranges.parameter[row->parameter], limit->low);
        widen(&lint->ranges.parameter[row->parameter], limit->high);
    }
    for (size_t i = 0; i < sizeof TOUCHED / sizeof TOUCHED[0]; i++) {
        if (lint->night->limits.of[TOUCHED[i].order].allowed) whole_row(lint, TOUCHED[i].parameter);
    }
}

static void find_parameters(Lint *lint) {
    const Case *night = lint->night;
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        double value = model_parameters_get(&night->patient.parameters, (ParameterId)i);
        lint->ranges.parameter[i] = span(value, value);
        if (night->practice) whole_row(lint, (ParameterId)i);
    }
    /* what the heart and the pacing box do by themselves */
    whole_row(lint, PARAMETER_rhythm_kind);
    whole_row(lint, PARAMETER_underlying_rhythm_kind);
    for (int i = 0; i < night->action_count; i++) {
        const CaseAction *action = &night->actions[i];
        if (action->kind == CASE_ACTION_SET || action->kind == CASE_ACTION_RAMP)
            widen(&lint->ranges.parameter[action->parameter], action->value);
    }
    add_orders(lint);
}

/* Numbers that only an order puts on show. */
static void hide_what_nobody_takes(Lint *lint) {
    static const struct {
        DisplayId display;
        OrderId order;
    } TAKEN[] = {{DISPLAY_thermodilution_l_min, ORDER_thermodilution},
                 {DISPLAY_thermodilution_s, ORDER_thermodilution},
                 {DISPLAY_svo2_sample_percent, ORDER_mixed_venous},
                 {DISPLAY_mixed_venous_s, ORDER_mixed_venous},
                 {DISPLAY_lactate_taken_s, ORDER_lactate},
                 {DISPLAY_hb_taken_s, ORDER_haemoglobin}};
    for (size_t i = 0; i < sizeof TAKEN / sizeof TAKEN[0]; i++) {
        if (!lint->night->limits.of[TAKEN[i].order].allowed)
            lint->ranges.display[TAKEN[i].display].none = true;
    }
}

/* A pump that is not there shows nothing and pumps nothing. */
static void hide_missing_pumps(Lint *lint) {
    static const DisplayId left[] = {DISPLAY_pump_rpm, DISPLAY_pump_flow_l_min, DISPLAY_pump_power_w,
                                     DISPLAY_pump_pulsatility};
    static const DisplayId right[] = {DISPLAY_right_pump_rpm, DISPLAY_right_pump_flow_l_min};
    static const ObservableId right_truth[] = {OBSERVABLE_right_pump_rpm, OBSERVABLE_right_pump_flow_l_min};
    if (lint->ranges.parameter[PARAMETER_left_pump_present].high < 0.5)
        for (size_t i = 0; i < sizeof left / sizeof left[0]; i++)
            lint->ranges.display[left[i]].none = true;
    if (lint->ranges.parameter[PARAMETER_right_pump_present].high >= 0.5) return;
    for (size_t i = 0; i < sizeof right / sizeof right[0]; i++) {
        lint->ranges.display[right[i]].none = true;
        lint->ranges.observable[right_truth[i]] = span(0, 0);
    }
}

static void find_deeds(Lint *lint) {
    const Case *night = lint->night;
    const LookPolicy *look = &night->look;
    ConditionSpan *deed = lint->ranges.deed;
    bool probe = look->probe != LOOK_PROBE_NONE;
    bool orders = false;
    for (int i = 0; i < ORDER_COUNT; i++)
        orders = orders || night->limits.of[i].allowed;
    for (int i = 0; i < DEED_COUNT; i++)
        deed[i] = span(0, INFINITY);
    deed[DEED_idle_s] = span(0, night->length_s);
    deed[DEED_orders_given] = span(0, orders ? INFINITY : 0);
    deed[DEED_under_way] = span(0, orders ? ORDER_RUNNING_MAX : 0);
    double looks =
        look->probe == LOOK_PROBE_ON_REQUEST && look->at_most > 0 ? (double)look->at_most : (double)INFINITY;
    deed[DEED_looks_had] = span(0, probe ? looks : 0.0);
    deed[DEED_look_on_show] = span(0, probe);
    deed[DEED_call_right] = deed[DEED_call_kind_right] = span(0, 1);
    deed[DEED_call_confidence_percent] = span(0, 100);
}

void sim_lint_find_ranges(Lint *lint) {
    ConditionRanges *ranges = &lint->ranges;
    for (int i = 0; i < OBSERVABLE_COUNT; i++) {
        const ObservableRow *row = model_observables_row((ObservableId)i);
        ranges->observable[i] = span_of(row->key, row->unit);
    }
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        const DisplayRow *row = sim_instruments_display_row((DisplayId)i);
        ranges->display[i] =
            strcmp(row->unit, "s") == 0 ? span(0, lint->night->length_s) : span_of(row->key, row->unit);
        ranges->display[i].sure = false;
    }
    ranges->observable[OBSERVABLE_time_s] = span(0, lint->night->length_s);
    find_parameters(lint);
    ranges->observable[OBSERVABLE_peep_cmh2o] = ranges->parameter[PARAMETER_peep_cmh2o];
    widen(&ranges->observable[OBSERVABLE_peep_cmh2o], 0); /* without a ventilator */
    hide_what_nobody_takes(lint);
    hide_missing_pumps(lint);
    find_deeds(lint);
}

/* ---- ways ---- */

static bool follows(const CaseEvent *event) {
    return event->trigger == CASE_TRIGGER_AFTER || event->trigger == CASE_TRIGGER_INSTEAD;
}

/* When an event's time can come; false if it cannot. */
static bool find_time(Lint *lint, int index) {
    const CaseEvent *event = &lint->night->events[index];
    double *earliest = &lint->earliest_s[index], *latest = &lint->latest_s[index];
    switch (event->trigger) {
    case CASE_TRIGGER_AT:
        *earliest = *latest = event->at_s;
        return true;
    case CASE_TRIGGER_WITHIN:
        *earliest = event->at_s;
        *latest = event->until_s;
        return true;
    case CASE_TRIGGER_WHEN:
        *earliest = event->hold_s;
        *latest = NAN;
        return *earliest <= lint->night->length_s &&
               sim_condition_verdict(&event->when, &lint->ranges) != VERDICT_NEVER;
    case CASE_TRIGGER_AFTER:
    case CASE_TRIGGER_INSTEAD:
        *earliest = lint->earliest_s[event->after] + event->plus_s;
        *latest = lint->latest_s[event->after] + event->plus_s;
        return *earliest <= lint->night->length_s &&
               (event->trigger == CASE_TRIGGER_AFTER ? lint->can_do : lint->can_other)[event->after];
    }
    return false;
}

static void find_way(Lint *lint, int index) {
    const CaseEvent *event = &lint->night->events[index];
    bool comes = find_time(lint, index);
    ConditionVerdict verdict = sim_condition_verdict(&event->only_if, &lint->ranges);
    double chance = event->chance_given ? event->chance : 1.0;
    lint->can_do[index] = comes && chance > 0 && verdict != VERDICT_NEVER;
    lint->can_other[index] = comes && (chance < 1 || verdict != VERDICT_ALWAYS);
}

/* Events may follow later ones in the list: so often as there are events is always enough. */
void sim_lint_find_ways(Lint *lint) {
    for (int pass = 0; pass <= lint->night->event_count; pass++) {
        for (int i = 0; i < lint->night->event_count; i++)
            find_way(lint, i);
    }
}

/* ---- events ---- */

static void warn_never(Lint *lint, int index) {
    const CaseEvent *event = &lint->night->events[index];
    char what[TEXT_MAX], better[TEXT_MAX] = "a condition within what its quantities can come to here";
    const char *key = "when";
    snprintf(what, sizeof what, "event %s can never come", event->id);
    if (follows(event)) {
        const CaseEvent *other = &lint->night->events[event->after];
        bool after = event->trigger == CASE_TRIGGER_AFTER;
        key = after ? "after" : "instead_of";
        if (!(after ? lint->can_do : lint->can_other)[event->after])
            snprintf(better, sizeof better, "%s never goes %s", other->id,
                     after ? "its do way" : "the other way");
        else
            snprintf(better, sizeof better, "it would be after the end of the case");
    } else if (event->hold_s > lint->night->length_s) {
        snprintf(better, sizeof better, "it has to hold longer than the case is");
    }
    sim_lint_warn(lint, "timeline", index, key, what, better);
}

static void check_event(Lint *lint, int index) {
    const CaseEvent *event = &lint->night->events[index];
    char what[TEXT_MAX];
    if (!lint->can_do[index] && !lint->can_other[index]) {
        warn_never(lint, index);
        return;
    }
    if (!event->chance_given && event->only_if.count == 0) return;
    bool by_chance = event->chance_given && (event->chance <= 0 || event->chance >= 1);
    const char *key = by_chance ? "chance" : "if";
    if (!lint->can_do[index]) {
        snprintf(what, sizeof what, "event %s never goes its do way", event->id);
        sim_lint_warn(lint, "timeline", index, key, what, NULL);
    } else if (!lint->can_other[index]) {
        snprintf(what, sizeof what, "event %s always goes its do way", event->id);
        sim_lint_warn(lint, "timeline", index, key, what, "neither if nor chance");
    }
}

void sim_lint_events(Lint *lint) {
    const Case *night = lint->night;
    char what[TEXT_MAX];
    for (int i = 0; i < night->event_count; i++)
        check_event(lint, i);
    for (int i = 0; i < night->prompt_count; i++) {
        const CasePrompt *prompt = &night->prompts[i];
        if (sim_condition_verdict(&prompt->when, &lint->ranges) != VERDICT_NEVER &&
            prompt->idle_s <= night->length_s)
            continue;
        snprintf(what, sizeof what, "prompt %s can never be said", prompt->id);
        sim_lint_warn(lint, "prompts", i, prompt->idle_s > night->length_s ? "idle" : "when", what, NULL);
    }
}
