/* The alarm limits that a case sets: alarms: {art_mean_low_mmhg: 55, cvp_high_mmhg: off}. */
#include "sim/case_schema.h"

#include "sim/quantity.h"
#include "sim/suggest.h"

#include <string.h>

static void unknown_alarm(CaseReader *reader, const YamlNode *node) {
    const char *names[ALARM_COUNT];
    size_t count = 0;
    Error error;
    for (int id = 0; id < ALARM_COUNT; id++) {
        if (sim_alarms_row((AlarmId)id)->side != ALARM_SIDE_SIGN)
            names[count++] = sim_alarms_row((AlarmId)id)->key;
    }
    model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no alarm limit \"%.60s\"", node->key);
    sim_suggest_allow(&error, node->key, names, count, "", "see: evenkeel list alarms");
    sim_case_read_error_key(reader, node, &error);
}

/* One limit: a number in the unit of its key, or on, or off. */
static void read_limit(CaseReader *reader, const YamlNode *node, AlarmId id, AlarmLimits *limits) {
    Error error;
    double value = 0;
    if (node->kind != YAML_KIND_TEXT) {
        model_error_set(&error, ERROR_FORMAT, "%s: %s is found", node->key, sim_yaml_kind_word(node->kind));
        model_error_allow(&error, "a number, on or off");
        sim_case_read_error(reader, node, &error);
        return;
    }
    if (strcmp(node->text, "off") == 0 || strcmp(node->text, "on") == 0) {
        limits->on[id] = strcmp(node->text, "on") == 0;
        return;
    }
    if (sim_quantity_number(node->text, &value, &error) != ERROR_OK) {
        model_error_allow(&error, "a number, on or off");
        sim_case_read_error(reader, node, &error);
        return;
    }
    limits->value[id] = value;
    limits->on[id] = true;
}

void sim_case_read_alarms(CaseReader *reader, const YamlNode *node, void *target) {
    Case *out = target;
    Error error;
    if (node->kind != YAML_KIND_MAP) {
        model_error_set(&error, ERROR_FORMAT, "alarms: %s is found", sim_yaml_kind_word(node->kind));
        model_error_allow(&error, "a map: art_mean_low_mmhg: 55, cvp_high_mmhg: off");
        sim_case_read_error(reader, node, &error);
        return;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        AlarmId id = sim_alarms_find(child->key);
        bool limit = id != ALARM_COUNT && sim_alarms_row(id)->side != ALARM_SIDE_SIGN &&
                     strcmp(child->key, sim_alarms_row(id)->key) == 0;
        if (limit)
            read_limit(reader, child, id, &out->alarms);
        else
            unknown_alarm(reader, child);
    }
    /* ranges and pairs are judged when all are read */
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        AlarmId id = sim_alarms_find(child->key);
        if (id == ALARM_COUNT || sim_alarms_row(id)->side == ALARM_SIDE_SIGN || !out->alarms.on[id]) continue;
        if (sim_alarms_limit_check(&out->alarms, id, out->alarms.value[id], &error) != ERROR_OK)
            sim_case_read_error(reader, child, &error);
    }
}
