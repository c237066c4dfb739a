/* Reading a case critically: numbers that a parameter may have but people in a bed rarely do. */
#include "sim/lint_parts.h"

#include "sim/quantity.h"

#include <stdio.h>
#include <string.h>

enum { TEXT_MAX = 240 };

typedef struct Usual {
    ParameterId parameter;
    double low, high;
    bool zero; /* 0 is off, and nothing to wonder about */
    const char *source;
} Usual;

static const Usual USUAL[] = {
#define USUAL_ROW(parameter, low, high, zero, source) {PARAMETER_##parameter, low, high, zero, source},
#include "sim/usual.def"
#undef USUAL_ROW
};

static void check_number(Lint *lint, const YamlNode *node, ParameterId id, double value) {
    char what[TEXT_MAX], better[TEXT_MAX];
    for (size_t i = 0; i < sizeof USUAL / sizeof USUAL[0]; i++) {
        const Usual *usual = &USUAL[i];
        if (usual->parameter != id || (value >= usual->low && value <= usual->high) ||
            (usual->zero && !(value > 0 || value < 0)))
            continue;
        const ParameterRow *row = model_parameters_row(id);
        snprintf(what, sizeof what, "%s %g is outside what is usual", row->key, value);
        snprintf(better, sizeof better, "%g to %g %s: %s", usual->low, usual->high, row->unit, usual->source);
        sim_lint_warn_at(lint, node, what, better);
    }
}

/* Every value of a map parameter: value. */
static void check_set(Lint *lint, const YamlNode *map) {
    if (map == NULL || map->kind != YAML_KIND_MAP) return;
    for (const YamlNode *child = sim_yaml_first(lint->tree, map); child != NULL;
         child = sim_yaml_next(lint->tree, child)) {
        ParameterId id = model_parameters_find(child->key);
        double value;
        if (id == PARAMETER_COUNT || child->kind != YAML_KIND_TEXT ||
            sim_quantity_number(child->text, &value, NULL) != ERROR_OK)
            continue;
        check_number(lint, child, id, value);
    }
}

static void check_actions(Lint *lint, const YamlNode *list) {
    if (list == NULL || list->kind != YAML_KIND_LIST) return;
    for (const YamlNode *child = sim_yaml_first(lint->tree, list); child != NULL;
         child = sim_yaml_next(lint->tree, child)) {
        check_set(lint, sim_yaml_get(lint->tree, child, "set"));
        const YamlNode *ramp = sim_yaml_get(lint->tree, child, "ramp");
        const YamlNode *key = ramp != NULL ? sim_yaml_get(lint->tree, ramp, "parameter") : NULL;
        const YamlNode *to = ramp != NULL ? sim_yaml_get(lint->tree, ramp, "to") : NULL;
        double value;
        if (key == NULL || to == NULL || key->text == NULL || to->text == NULL ||
            sim_quantity_number(to->text, &value, NULL) != ERROR_OK)
            continue;
        ParameterId id = model_parameters_find(key->text);
        if (id != PARAMETER_COUNT) check_number(lint, to, id, value);
    }
}

/* Drips at the start, in the parameter's own unit. */
static void check_running(Lint *lint) {
    const Case *night = lint->night;
    for (int i = 0; i < night->running_count; i++) {
        const OrderRow *row = sim_orders_row(night->running[i].id);
        const YamlNode *node = sim_lint_entry(lint, "running", i);
        if (row->parameter == PARAMETER_COUNT || node == NULL) continue;
        check_number(lint, node, row->parameter,
                     model_parameters_get(&night->patient.parameters, row->parameter));
    }
}

void sim_lint_numbers(Lint *lint) {
    const YamlNode *patient = sim_yaml_get(lint->tree, sim_yaml_root(lint->tree), "patient");
    if (patient != NULL) check_set(lint, sim_yaml_get(lint->tree, patient, "set"));
    check_running(lint);
    for (int i = 0; i < lint->night->event_count; i++) {
        const YamlNode *event = sim_lint_entry(lint, "timeline", i);
        if (event == NULL) continue;
        check_actions(lint, sim_yaml_get(lint->tree, event, "do"));
        check_actions(lint, sim_yaml_get(lint->tree, event, "otherwise"));
    }
}
