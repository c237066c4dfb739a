/* The parts of a case with rules of their own: parameters, orders, target bands, actions of events. */
#include "sim/case_schema.h"

#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <stdio.h>
#include <string.h>

static const double DELAY_LONGEST_S = 24.0 * 3600.0; /* of an action, from the order to its end */

static bool need_kind(CaseReader *reader, const YamlNode *node, YamlKind kind, const char *what,
                      const char *allowed) {
    if (node->kind == kind) return true;
    Error error;
    model_error_set(&error, ERROR_FORMAT, "%s: %s is found", what, sim_yaml_kind_word(node->kind));
    model_error_allow(&error, "%s", allowed);
    sim_case_read_error(reader, node, &error);
    return false;
}

static void too_many(CaseReader *reader, const YamlNode *node, const char *what, int most) {
    Error error;
    model_error_set(&error, ERROR_RANGE, "%s has too many entries", what);
    model_error_allow(&error, "at most %d", most);
    sim_case_read_error(reader, node, &error);
}

void sim_case_read_patient_set(CaseReader *reader, const YamlNode *node, void *target) {
    CasePatient *patient = target;
    if (!need_kind(reader, node, YAML_KIND_MAP, "patient.set", "a map: parameter: value")) return;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (patient->set_count == CASE_SETS_MAX) {
            too_many(reader, child, "patient.set", CASE_SETS_MAX);
            return;
        }
        if (sim_case_read_set(reader, child, &patient->sets[patient->set_count])) patient->set_count++;
    }
}

void sim_case_read_running(CaseReader *reader, const YamlNode *node, void *target) {
    Case *out = target;
    Error error;
    if (!need_kind(reader, node, YAML_KIND_LIST, "running", "a list of orders: - milrinone 0.25mcg/kg/min"))
        return;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (!need_kind(reader, child, YAML_KIND_TEXT, "running", "an order: milrinone 0.25mcg/kg/min"))
            continue;
        if (out->running_count == CASE_RUNNING_MAX) {
            too_many(reader, child, "running", CASE_RUNNING_MAX);
            return;
        }
        Order order;
        ErrorCode code = sim_orders_parse(child->text, NULL, &order, &error);
        if (code == ERROR_OK &&
            (order.load > 0 || (order.act != ORDER_ACT_SET && order.act != ORDER_ACT_INFUSION))) {
            code = model_error_set(&error, ERROR_NOT_ALLOWED, "only what stays can be running at the start");
            model_error_allow(&error, "settings, drips, infusions, pacing");
        }
        if (code == ERROR_OK) {
            out->running[out->running_count++] = order;
        } else {
            sim_case_read_error(reader, child, &error);
        }
    }
}

/* Reads one limit of an order, with its unit. */
static void read_limit(CaseReader *reader, const YamlNode *node, const OrderRow *row, double *out) {
    Error error;
    Quantity quantity;
    if (!need_kind(reader, node, YAML_KIND_TEXT, node->key, "a number with its unit")) return;
    ErrorCode code = sim_quantity_parse(node->text, &quantity, &error);
    bool has_unit = row->unit[0] != '\0' && strcmp(row->unit, "fraction") != 0;
    if (code == ERROR_OK &&
        ((has_unit && quantity.unit[0] == '\0') || !sim_quantity_unit_is(quantity.unit, row->unit))) {
        code = model_error_set(&error, ERROR_SYNTAX, "%s needs its unit", node->key);
        model_error_allow(&error, "%g%s", quantity.value, row->unit);
    }
    bool step = strcmp(node->key, "step") == 0;
    if (code == ERROR_OK && (quantity.value > row->high || quantity.value < (step ? 1e-6 : row->low))) {
        code = model_error_set(&error, ERROR_RANGE, "%s of %s is out of range", node->key, row->key);
        if (step)
            model_error_allow(&error, "above 0, at most %g %s", row->high, row->unit);
        else
            model_error_allow(&error, "%g to %g %s", row->low, row->high, row->unit);
    }
    if (code == ERROR_OK) {
        *out = quantity.value;
    } else {
        sim_case_read_error(reader, node, &error);
    }
}

static void read_delay(CaseReader *reader, const YamlNode *node, const OrderRow *row, double *out) {
    Error error;
    if (!need_kind(reader, node, YAML_KIND_TEXT, node->key, "a duration")) return;
    ErrorCode code = ERROR_OK;
    if (row->kind != ORDER_KIND_ACTION) {
        code = model_error_set(&error, ERROR_NOT_ALLOWED, "%s acts at once: it has no delay", row->key);
    } else {
        code = sim_duration_parse(node->text, out, &error);
        if (code == ERROR_OK && *out > DELAY_LONGEST_S) {
            code = model_error_set(&error, ERROR_RANGE, "delay of %s is out of range", row->key);
            model_error_allow(&error, "0s to 24h");
        }
    }
    if (code != ERROR_OK) sim_case_read_error(reader, node, &error);
}

/* One entry of `orders`: the name, and its limits if it has any. */
static void read_order_limit(CaseReader *reader, const YamlNode *node, const char *name,
                             const YamlNode *limits) {
    enum { DELAY = 3, KEY_COUNT };
    static const char *const keys[KEY_COUNT] = {"low", "high", "step", [DELAY] = "delay"};
    Error error;
    OrderId id = sim_orders_find(name);
    if (id == ORDER_COUNT) {
        const char *names[ORDER_COUNT];
        for (int i = 0; i < ORDER_COUNT; i++) {
            names[i] = sim_orders_row((OrderId)i)->key;
        }
        model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no order \"%.60s\"", name);
        sim_suggest_allow(&error, name, names, ORDER_COUNT, "", "see: evenkeel list orders");
        sim_case_read_error(reader, node, &error);
        return;
    }
    OrderLimit *limit = &reader->out->limits.of[id];
    if (limit->allowed) {
        model_error_set(&error, ERROR_COMBINATION, "%s is listed twice", name);
        model_error_allow(&error, "each order once");
        sim_case_read_error(reader, node, &error);
        return;
    }
    limit->allowed = true;
    if (limits == NULL) return;
    if (!need_kind(reader, limits, YAML_KIND_MAP, "orders", "low, high, step, delay")) return;
    for (const YamlNode *child = sim_yaml_first(reader->tree, limits); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        const OrderRow *row = sim_orders_row(id);
        double *const out[] = {&limit->low, &limit->high, &limit->step};
        size_t key = 0;
        while (key < KEY_COUNT && strcmp(child->key, keys[key]) != 0)
            key++;
        if (key < DELAY) {
            read_limit(reader, child, row, out[key]);
        } else if (key == DELAY) {
            read_delay(reader, child, row, &limit->delay_s);
        } else {
            model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no key \"%.60s\" here", child->key);
            sim_suggest_allow(&error, child->key, keys, KEY_COUNT, "", "low, high, step, delay");
            sim_case_read_error_key(reader, child, &error);
        }
    }
    if (limit->low > limit->high) {
        model_error_set(&error, ERROR_COMBINATION, "low of %s is above high", name);
        sim_case_read_error(reader, limits, &error);
    }
}

void sim_case_read_orders(CaseReader *reader, const YamlNode *node, void *target) {
    Case *out = target;
    if (!need_kind(reader, node, YAML_KIND_LIST, "orders", "a list: - speed, or - speed: {low: 7600rpm}"))
        return;
    for (int i = 0; i < ORDER_COUNT; i++) {
        out->limits.of[i].allowed = false;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (child->kind == YAML_KIND_TEXT) {
            read_order_limit(reader, child, child->text, NULL);
        } else if (child->kind == YAML_KIND_MAP && child->count == 1) {
            const YamlNode *limits = sim_yaml_first(reader->tree, child);
            read_order_limit(reader, child, limits->key, limits);
        } else {
            need_kind(reader, child, YAML_KIND_TEXT, "orders",
                      "an order's name, or one name with its limits");
        }
    }
}

/* Reads [low, high]. */
static bool read_band(CaseReader *reader, const YamlNode *node, CaseTarget *band) {
    const char *form = "two numbers: [65, 85]";
    double value[2];
    int i = 0;
    Error error;
    if (!need_kind(reader, node, YAML_KIND_LIST, node->key, form)) return false;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL && i < 2;
         child = sim_yaml_next(reader->tree, child), i++) {
        if (!need_kind(reader, child, YAML_KIND_TEXT, node->key, form)) return false;
        if (sim_quantity_number(child->text, &value[i], &error) != ERROR_OK) {
            sim_case_read_error(reader, child, &error);
            return false;
        }
    }
    if (node->count != 2 || value[0] >= value[1]) {
        model_error_set(&error, ERROR_COMBINATION, "the band of %.60s is not a low and a higher value",
                        node->key);
        model_error_allow(&error, "%s", form);
        sim_case_read_error(reader, node, &error);
        return false;
    }
    *band = (CaseTarget){.given = true, .low = value[0], .high = value[1]};
    return true;
}

void sim_case_read_targets(CaseReader *reader, const YamlNode *node, void *target) {
    Case *out = target;
    Error error;
    if (!need_kind(reader, node, YAML_KIND_MAP, "targets", "a map: art_mean_mmhg: [65, 85]")) return;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        DisplayId id = sim_instruments_display_find(child->key);
        if (id != DISPLAY_COUNT) {
            read_band(reader, child, &out->targets[id]);
            continue;
        }
        const char *names[DISPLAY_COUNT];
        for (int i = 0; i < DISPLAY_COUNT; i++) {
            names[i] = sim_instruments_display_row((DisplayId)i)->key;
        }
        model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no displayed quantity \"%.60s\"", child->key);
        sim_suggest_allow(&error, child->key, names, DISPLAY_COUNT, "", "see: evenkeel list display");
        sim_case_read_error_key(reader, child, &error);
    }
}

/* Room for one more action, or NULL with an error. */
static CaseAction *new_action(CaseReader *reader, const YamlNode *node, int *count, CaseActionKind kind) {
    Case *out = reader->out;
    if (out->action_count == CASE_ACTIONS_MAX) {
        too_many(reader, node, "the timeline's actions", CASE_ACTIONS_MAX);
        return NULL;
    }
    CaseAction *action = &out->actions[out->action_count++];
    *action = (CaseAction){.kind = kind, .parameter = PARAMETER_COUNT};
    ++*count;
    return action;
}

static void read_set_actions(CaseReader *reader, const YamlNode *node, int *count) {
    if (!need_kind(reader, node, YAML_KIND_MAP, "set", "a map: parameter: value")) return;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        CaseSet set;
        if (!sim_case_read_set(reader, child, &set)) continue;
        CaseAction *action = new_action(reader, child, count, CASE_ACTION_SET);
        if (action == NULL) return;
        action->parameter = set.id;
        action->value = set.value;
    }
}

static void read_ramp(CaseReader *reader, const YamlNode *node, CaseAction *action) {
    sim_case_read_map(reader, node, "timeline[].do[].ramp.", action);
    const YamlNode *to = sim_yaml_get(reader->tree, node, "to");
    double number;
    Error error;
    if (action->parameter == PARAMETER_COUNT || to == NULL || to->kind != YAML_KIND_TEXT) return;
    if (sim_quantity_number(to->text, &number, NULL) != ERROR_OK) return; /* said with the map */
    if (sim_quantity_is_choice(action->parameter)) {
        model_error_set(&error, ERROR_NOT_ALLOWED, "%s cannot be moved evenly",
                        model_parameters_row(action->parameter)->key);
        model_error_allow(&error, "set: {key: value}");
        sim_case_read_error(reader, node, &error);
    } else if (sim_quantity_parameter(to->text, action->parameter, &action->value, &error) != ERROR_OK) {
        sim_case_read_error(reader, to, &error);
    }
}

static void read_action(CaseReader *reader, const YamlNode *node, int *count) {
    static const char *const words[] = {"ramp", "set", "message", "truth", "end"};
    Error error;
    CaseAction *action;
    if (strcmp(node->key, "set") == 0) {
        read_set_actions(reader, node, count);
    } else if (strcmp(node->key, "ramp") == 0) {
        action = new_action(reader, node, count, CASE_ACTION_RAMP);
        if (action != NULL) read_ramp(reader, node, action);
    } else if (strcmp(node->key, "message") == 0) {
        action = new_action(reader, node, count, CASE_ACTION_MESSAGE);
        if (action != NULL) sim_case_read_map(reader, node, "timeline[].do[].message.", action);
    } else if (strcmp(node->key, "truth") == 0) {
        action = new_action(reader, node, count, CASE_ACTION_TRUTH);
        if (action != NULL) sim_case_read_map(reader, node, "timeline[].do[].truth.", &action->truth);
    } else if (strcmp(node->key, "end") == 0) {
        action = new_action(reader, node, count, CASE_ACTION_END);
        if (action != NULL) sim_case_read_map(reader, node, "timeline[].do[].end.", action);
    } else {
        model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no action \"%.60s\"", node->key);
        sim_suggest_allow(&error, node->key, words, sizeof words / sizeof words[0], "",
                          "ramp, set, message, truth, end");
        sim_case_read_error_key(reader, node, &error);
    }
}

/* Reads a list of actions behind those already read; *first and *count say where they are. */
static void read_actions(CaseReader *reader, const YamlNode *node, const char *what, int *first, int *count) {
    *first = reader->out->action_count;
    if (!need_kind(reader, node, YAML_KIND_LIST, what,
                   "a list of actions: - message: {from: nurse, text: ...}"))
        return;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (!need_kind(reader, child, YAML_KIND_MAP, what, "an action: ramp, set, message, truth, end"))
            continue;
        for (const YamlNode *action = sim_yaml_first(reader->tree, child); action != NULL;
             action = sim_yaml_next(reader->tree, action)) {
            read_action(reader, action, count);
        }
    }
}

void sim_case_read_do(CaseReader *reader, const YamlNode *node, void *target) {
    CaseEvent *event = target;
    read_actions(reader, node, "do", &event->first_action, &event->action_count);
}

void sim_case_read_otherwise(CaseReader *reader, const YamlNode *node, void *target) {
    CaseEvent *event = target;
    read_actions(reader, node, "otherwise", &event->first_other, &event->other_count);
}
