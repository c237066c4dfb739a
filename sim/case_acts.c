/* The parts of a case about what the trainee does beside ordering: looks, predictions, what is really wrong.
 */
#include "sim/case_schema.h"

#include "sim/suggest.h"

#include <stdio.h>
#include <string.h>

enum { LEVEL_GUIDED_MOST = 2 };

/* Refuses a name, with the nearest one or where the names are listed. */
static void refuse_name(CaseReader *reader, const YamlNode *node, const char *what, const char *const *names,
                        size_t count, const char *otherwise) {
    Error error;
    model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no %s \"%.60s\"", what, node->text);
    sim_suggest_allow(&error, node->text, names, count, "", otherwise);
    sim_case_read_error(reader, node, &error);
}

static bool need_scalar(CaseReader *reader, const YamlNode *node, const char *what) {
    if (node->kind == YAML_KIND_TEXT) return true;
    Error error;
    model_error_set(&error, ERROR_FORMAT, "%s is %s", what, sim_yaml_kind_word(node->kind));
    model_error_allow(&error, "a name");
    sim_case_read_error(reader, node, &error);
    return false;
}

typedef bool (*TakeName)(CaseReader *reader, const YamlNode *node, void *target);

/* Takes one name, or each name of a list of at most `most`. */
static void read_names(CaseReader *reader, const YamlNode *node, const char *what, int most, TakeName take,
                       void *target) {
    if (node->kind != YAML_KIND_LIST) {
        if (need_scalar(reader, node, what)) take(reader, node, target);
        return;
    }
    int count = 0;
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (count++ == most) {
            Error error;
            model_error_set(&error, ERROR_RANGE, "%s has too many entries", what);
            model_error_allow(&error, "at most %d", most);
            sim_case_read_error(reader, child, &error);
            return;
        }
        if (need_scalar(reader, child, what)) take(reader, child, target);
    }
}

/* ---- look ---- */

static bool take_view(CaseReader *reader, const YamlNode *node, void *target) {
    LookPolicy *policy = target;
    LookView view = sim_look_view_find(node->text);
    if (view != LOOK_VIEW_COUNT) {
        policy->view[view] = true;
        return true;
    }
    const char *names[LOOK_VIEW_COUNT];
    for (int i = 0; i < LOOK_VIEW_COUNT; i++) {
        names[i] = sim_look_view_key((LookView)i);
    }
    refuse_name(reader, node, "view", names, LOOK_VIEW_COUNT,
                "four_chamber, short_axis, aortic_valve, pericardium, inflow");
    return false;
}

void sim_case_read_look_views(CaseReader *reader, const YamlNode *node, void *target) {
    read_names(reader, node, "look.views", LOOK_VIEW_COUNT, take_view, target);
}

/* ---- predict ---- */

void sim_case_read_predict_order(CaseReader *reader, const YamlNode *node, void *target) {
    PredictionRule *rule = target;
    if (!need_scalar(reader, node, "predict[].order")) return;
    OrderId id = sim_orders_find(node->text);
    if (id != ORDER_COUNT) {
        rule->order = id;
        return;
    }
    const char *names[ORDER_COUNT];
    for (int i = 0; i < ORDER_COUNT; i++) {
        names[i] = sim_orders_row((OrderId)i)->key;
    }
    refuse_name(reader, node, "order", names, ORDER_COUNT, "see: evenkeel list orders");
}

static bool take_quantity(CaseReader *reader, const YamlNode *node, void *target) {
    PredictionRule *rule = target;
    DisplayId id = sim_predictions_find(node->text);
    if (id != DISPLAY_COUNT) {
        rule->quantity[rule->count++] = id;
        return true;
    }
    const char *names[DISPLAY_COUNT];
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        names[i] = sim_instruments_display_row((DisplayId)i)->key;
    }
    refuse_name(reader, node, "displayed quantity", names, DISPLAY_COUNT, "see: evenkeel list display");
    return false;
}

void sim_case_read_predict_quantities(CaseReader *reader, const YamlNode *node, void *target) {
    read_names(reader, node, "predict[].quantities", PREDICTION_PARTS, take_quantity, target);
}

/* ---- truth ---- */

static bool find_diagnosis(CaseReader *reader, const YamlNode *node, DiagnosisId *id) {
    *id = sim_diagnoses_find(node->text);
    if (*id != DIAGNOSIS_COUNT) return true;
    const char *names[DIAGNOSIS_COUNT];
    for (int i = 0; i < DIAGNOSIS_COUNT; i++) {
        names[i] = sim_diagnoses_row((DiagnosisId)i)->key;
    }
    refuse_name(reader, node, "diagnosis", names, DIAGNOSIS_COUNT, "see: evenkeel list diagnoses");
    *id = DIAGNOSIS_well;
    return false;
}

void sim_case_read_truth_diagnosis(CaseReader *reader, const YamlNode *node, void *target) {
    CaseTruth *truth = target;
    if (need_scalar(reader, node, "truth.diagnosis")) find_diagnosis(reader, node, &truth->diagnosis);
}

static bool take_also(CaseReader *reader, const YamlNode *node, void *target) {
    CaseTruth *truth = target;
    return find_diagnosis(reader, node, &truth->also[truth->also_count++]);
}

void sim_case_read_truth_also(CaseReader *reader, const YamlNode *node, void *target) {
    read_names(reader, node, "truth.also", CASE_ALSO_MAX, take_also, target);
}

/* ---- what the level decides ---- */

static void complete_look(const CaseReader *reader, const YamlNode *root) {
    Case *out = reader->out;
    const YamlNode *node = sim_yaml_get(reader->tree, root, "look");
    if (node == NULL || node->kind != YAML_KIND_MAP) {
        out->look = sim_look_policy_of_level(out->level);
        return;
    }
    const LookPolicy standard = sim_look_policy_of_probe(out->look.probe);
    if (sim_yaml_get(reader->tree, node, "ready") == NULL) out->look.ready_s = standard.ready_s;
    if (sim_yaml_get(reader->tree, node, "longest") == NULL) out->look.longest_s = standard.longest_s;
    if (sim_yaml_get(reader->tree, node, "rest") == NULL) out->look.rest_s = standard.rest_s;
    if (sim_yaml_get(reader->tree, node, "at_most") == NULL) out->look.at_most = standard.at_most;
    if (sim_yaml_get(reader->tree, node, "views") == NULL)
        memcpy(out->look.view, standard.view, sizeof out->look.view);
}

static void check_predict(CaseReader *reader, const YamlNode *root) {
    const PredictionRules *rules = &reader->out->predict;
    const YamlNode *list = sim_yaml_get(reader->tree, root, "predict");
    if (list == NULL || list->kind != YAML_KIND_LIST) return;
    const YamlNode *node = sim_yaml_first(reader->tree, list);
    for (int i = 0; i < rules->count && node != NULL; i++, node = sim_yaml_next(reader->tree, node)) {
        for (int k = 0; k < i; k++) {
            if (rules->rule[i].order != rules->rule[k].order) continue;
            Error error;
            model_error_set(&error, ERROR_COMBINATION, "predict has two entries for %s",
                            sim_orders_row(rules->rule[i].order)->key);
            model_error_allow(&error, "each order once");
            sim_case_read_error(reader, node, &error);
            break;
        }
    }
}

void sim_case_complete_acts(CaseReader *reader) {
    Case *out = reader->out;
    const YamlNode *root = sim_yaml_root(reader->tree);
    complete_look(reader, root);
    check_predict(reader, root);
    if (sim_yaml_get(reader->tree, root, "guided") == NULL)
        out->guided = !out->practice && out->level <= LEVEL_GUIDED_MOST;
    out->truth_given = sim_yaml_get(reader->tree, root, "truth") != NULL;
    for (int i = 0; i < out->action_count; i++) {
        out->truth_given = out->truth_given || out->actions[i].kind == CASE_ACTION_TRUTH;
    }
    for (int i = 0; i < out->prompt_count; i++) {
        if (out->prompts[i].at_most == 0) out->prompts[i].at_most = 1;
    }
}
