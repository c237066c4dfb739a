/* What can only be judged of a case as a whole: triggers, references between events, the patient it makes. */
#include "sim/case_schema.h"

#include "model/people.h"
#include "sim/suggest.h"

#include <string.h>

const YamlNode *sim_case_entry(const CaseReader *reader, const char *list, int index) {
    const YamlNode *node = sim_yaml_get(reader->tree, sim_yaml_root(reader->tree), list);
    if (node == NULL || node->kind != YAML_KIND_LIST) return NULL;
    const YamlNode *child = sim_yaml_first(reader->tree, node);
    for (; child != NULL && index > 0; index--) {
        child = sim_yaml_next(reader->tree, child);
    }
    return child;
}

const YamlNode *sim_case_key_of(const CaseReader *reader, const YamlNode *map, const char *key) {
    const YamlNode *node = sim_yaml_get(reader->tree, map, key);
    return node != NULL ? node : map;
}

typedef struct TriggerWord {
    const char *key;
    CaseTriggerKind kind;
} TriggerWord;

static const TriggerWord TRIGGERS[] = {{"at", CASE_TRIGGER_AT},
                                       {"within", CASE_TRIGGER_WITHIN},
                                       {"when", CASE_TRIGGER_WHEN},
                                       {"after", CASE_TRIGGER_AFTER},
                                       {"instead_of", CASE_TRIGGER_INSTEAD}};

enum { TRIGGER_COUNT = sizeof TRIGGERS / sizeof TRIGGERS[0] };

static bool follows(const CaseEvent *event) {
    return event->trigger == CASE_TRIGGER_AFTER || event->trigger == CASE_TRIGGER_INSTEAD;
}

static bool branches(const CaseEvent *event) {
    return event->chance_given || event->only_if.count > 0;
}

/* Refuses a key beside a trigger that it does not go with. */
static void refuse_beside(CaseReader *reader, const YamlNode *node, const char *key, const char *with) {
    const YamlNode *value = sim_yaml_get(reader->tree, node, key);
    if (value == NULL) return;
    Error error;
    model_error_set(&error, ERROR_COMBINATION, "\"%s\" goes with %s only", key, with);
    sim_case_read_error_key(reader, value, &error);
}

static void check_in_time(CaseReader *reader, const YamlNode *node, const CaseEvent *event) {
    double length_s = reader->out->length_s;
    bool late = (event->trigger == CASE_TRIGGER_AT && event->at_s > length_s) ||
                (event->trigger == CASE_TRIGGER_WITHIN && event->until_s > length_s);
    if (!late || length_s <= 0) return;
    Error error;
    model_error_set(&error, ERROR_RANGE, "event %s is after the end of the case", event->id);
    model_error_allow(&error, "before the case's length");
    sim_case_read_error(
        reader, sim_case_key_of(reader, node, event->trigger == CASE_TRIGGER_AT ? "at" : "within"), &error);
}

/* Exactly one trigger, and only the words that go with it. */
static void check_trigger(CaseReader *reader, const YamlNode *node, CaseEvent *event) {
    Error error;
    int given = 0;
    event->line = node->line;
    for (int i = 0; i < TRIGGER_COUNT; i++) {
        if (sim_yaml_get(reader->tree, node, TRIGGERS[i].key) == NULL) continue;
        event->trigger = TRIGGERS[i].kind;
        given++;
    }
    if (given != 1) {
        model_error_set(&error, ERROR_COMBINATION, "event %s has %s", event->id,
                        given == 0 ? "no trigger" : "more than one trigger");
        model_error_allow(&error, "one of: at, within, when, after, instead_of");
        sim_case_read_error(reader, node, &error);
        return;
    }
    event->chance_given = sim_yaml_get(reader->tree, node, "chance") != NULL;
    if (event->trigger != CASE_TRIGGER_WHEN) refuse_beside(reader, node, "for", "\"when\"");
    if (!follows(event)) refuse_beside(reader, node, "plus", "\"after\" and \"instead_of\"");
    if (!event->chance_given && sim_yaml_get(reader->tree, node, "if") == NULL)
        refuse_beside(reader, node, "otherwise", "\"if\" or \"chance\"");
    check_in_time(reader, node, event);
}

static int find_event(const Case *out, const char *id) {
    for (int i = 0; i < out->event_count; i++) {
        if (strcmp(out->events[i].id, id) == 0) return i;
    }
    return -1;
}

/* Finds the event that another one follows; `instead_of` needs one that can go either way. */
static void resolve_after(CaseReader *reader, const YamlNode *node, CaseEvent *event) {
    Case *out = reader->out;
    Error error;
    bool instead = event->trigger == CASE_TRIGGER_INSTEAD;
    const char *id = instead ? event->instead_id : event->after_id;
    if (!follows(event)) return;
    event->after = find_event(out, id);
    if (id[0] == '\0') return;
    const YamlNode *place = sim_case_key_of(reader, node, instead ? "instead_of" : "after");
    if (event->after < 0) {
        const char *names[CASE_EVENTS_MAX];
        for (int i = 0; i < out->event_count; i++) {
            names[i] = out->events[i].id;
        }
        model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no event \"%s\"", id);
        sim_suggest_allow(&error, id, names, (size_t)out->event_count, "",
                          "the id of an event of the timeline");
        sim_case_read_error(reader, place, &error);
    } else if (instead && !branches(&out->events[event->after])) {
        model_error_set(&error, ERROR_COMBINATION, "event %s has only one way to go", id);
        model_error_allow(&error, "an event with if or chance");
        sim_case_read_error(reader, place, &error);
    }
}

/* An event must not wait for itself through others. */
static void check_circle(CaseReader *reader, const YamlNode *node, int index) {
    const Case *out = reader->out;
    int i = index;
    for (int steps = 0; steps <= out->event_count; steps++) {
        if (i < 0 || !follows(&out->events[i])) return;
        i = out->events[i].after;
        if (i == index) {
            Error error;
            const char *key = out->events[index].trigger == CASE_TRIGGER_AFTER ? "after" : "instead_of";
            model_error_set(&error, ERROR_COMBINATION, "event %s waits for itself", out->events[index].id);
            sim_case_read_error(reader, sim_case_key_of(reader, node, key), &error);
            return;
        }
    }
}

static void check_events(CaseReader *reader) {
    Case *out = reader->out;
    for (int i = 0; i < out->event_count; i++) {
        const YamlNode *node = sim_case_entry(reader, "timeline", i);
        if (node == NULL || node->kind != YAML_KIND_MAP) continue;
        check_trigger(reader, node, &out->events[i]);
    }
    for (int i = 0; i < out->event_count; i++) {
        const YamlNode *node = sim_case_entry(reader, "timeline", i);
        if (node != NULL && node->kind == YAML_KIND_MAP) resolve_after(reader, node, &out->events[i]);
    }
    for (int i = 0; i < out->event_count; i++) {
        const YamlNode *node = sim_case_entry(reader, "timeline", i);
        if (node != NULL && node->kind == YAML_KIND_MAP) check_circle(reader, node, i);
    }
}

/* Ids of one list must differ. `ids` is the first id, `stride` the distance to the next. */
static void check_ids(CaseReader *reader, const char *list, const char *ids, size_t stride, int count) {
    for (int i = 1; i < count; i++) {
        for (int j = 0; j < i; j++) {
            if (ids[i * stride] == '\0' || strcmp(ids + i * stride, ids + j * stride) != 0) continue;
            Error error;
            const YamlNode *node = sim_case_entry(reader, list, i);
            model_error_set(&error, ERROR_COMBINATION, "%s has two entries \"%s\"", list, ids + i * stride);
            model_error_allow(&error, "each id once");
            if (node != NULL) sim_case_read_error(reader, sim_case_key_of(reader, node, "id"), &error);
            break;
        }
    }
}

static void check_endings(CaseReader *reader) {
    Case *out = reader->out;
    for (int i = 0; i < out->ending_count; i++) {
        const CaseEnding *ending = &out->endings[i];
        const YamlNode *node = sim_case_entry(reader, "endings", i);
        if (node == NULL || node->kind != YAML_KIND_MAP) continue;
        if (ending->at_length || sim_yaml_get(reader->tree, node, "when") != NULL) continue;
        Error error;
        model_error_set(&error, ERROR_COMBINATION, "ending %s would come at once", ending->id);
        model_error_allow(&error, "when: a condition, or at_length: yes");
        sim_case_read_error(reader, node, &error);
    }
    for (int i = 0; i < out->objective_count; i++) {
        CaseObjective *objective = &out->objectives[i];
        const YamlNode *node = sim_case_entry(reader, "objectives", i);
        if (node == NULL || sim_yaml_get(reader->tree, node, "by") != NULL) continue;
        objective->by_s = out->length_s;
    }
}

/* The running orders, as changes of the patient's parameters. */
static void apply_running(CaseReader *reader) {
    Case *out = reader->out;
    OrdersState orders;
    const OrderLimits limits = sim_orders_limits_standard();
    sim_orders_start(&orders, &out->patient.parameters);
    for (int i = 0; i < out->running_count; i++) {
        Error error;
        OrderEffects effects = {0};
        ErrorCode code = sim_orders_give(&orders, &out->running[i], &limits, &out->patient.parameters, 0,
                                         &effects, &error);
        for (int k = 0; k < effects.change_count && code == ERROR_OK; k++) {
            code = model_parameters_set(&out->patient.parameters, effects.changes[k].id,
                                        effects.changes[k].value, &error);
        }
        const YamlNode *node = sim_case_entry(reader, "running", i);
        if (code != ERROR_OK && node != NULL) sim_case_read_error(reader, node, &error);
    }
}

static void unknown_person(CaseReader *reader, const YamlNode *node, const char *key) {
    const char *names[PERSON_COUNT];
    for (int i = 0; i < PERSON_COUNT; i++)
        names[i] = model_people_key((PersonId)i);
    Error error;
    model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no person \"%s\"", key);
    sim_suggest_allow(&error, key, names, PERSON_COUNT, "", "see: evenkeel list patients");
    sim_case_read_error(reader, node, &error);
}

static void check_patient(CaseReader *reader) {
    CasePatient *patient = &reader->out->patient;
    const YamlNode *node = sim_yaml_get(reader->tree, sim_yaml_root(reader->tree), "patient");
    Error error;
    if (node == NULL || patient->base[0] == '\0') return;
    PersonId person = model_people_find(patient->base);
    if (person == PERSON_COUNT) {
        unknown_person(reader, sim_case_key_of(reader, node, "base"), patient->base);
        return;
    }
    patient->parameters = model_people_parameters(person);
    for (int i = 0; i < patient->set_count; i++) {
        if (model_parameters_set(&patient->parameters, patient->sets[i].id, patient->sets[i].value, &error) !=
            ERROR_OK)
            return;
    }
    apply_running(reader);
    if (reader->errors->count > 0) return;
    if (model_parameters_check(&patient->parameters, &error) != ERROR_OK)
        sim_case_read_error(reader, node, &error);
}

void sim_case_check_all(CaseReader *reader) {
    Case *out = reader->out;
    check_events(reader);
    check_ids(reader, "timeline", out->events[0].id, sizeof out->events[0], out->event_count);
    check_ids(reader, "objectives", out->objectives[0].id, sizeof out->objectives[0], out->objective_count);
    check_ids(reader, "endings", out->endings[0].id, sizeof out->endings[0], out->ending_count);
    check_ids(reader, "prompts", out->prompts[0].id, sizeof out->prompts[0], out->prompt_count);
    check_ids(reader, "plans", out->plans[0].id, sizeof out->plans[0], out->plan_count);
    check_endings(reader);
    sim_case_check_plans(reader);
    sim_case_check_score(reader);
    sim_case_complete_acts(reader);
    check_patient(reader);
}
