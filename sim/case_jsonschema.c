/* The case language as a JSON Schema. */
#include "sim/case_jsonschema.h"

#include "model/people.h"
#include "sim/case_schema.h"

#include <string.h>

#define DURATION_PATTERN "^(?=.)([0-9.]+h)?([0-9.]+min)?([0-9.]+s)?$"
#define QUANTITY_PATTERN "^[-+]?[0-9.]+(e[-+]?[0-9]+)? *[A-Za-z/0-9%]*$"
#define NAME_PATTERN     "^[A-Za-z0-9_-]+$"
#define TIME_PATTERN     "[0-9.]+[hms][0-9.hmins]*"

/* Text under way; `first` holds whether a comma is due. */
typedef struct Json {
    FILE *out;
    bool first;
} Json;

static void put_string(FILE *out, const char *text) {
    fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\') fputc('\\', out);
        fputc(*text, out);
    }
    fputc('"', out);
}

/* Begins a member, or with a NULL key an element. */
static void next(Json *json, const char *key) {
    fputs(json->first ? "" : ",", json->out);
    json->first = false;
    if (key == NULL) return;
    fputc('\n', json->out);
    put_string(json->out, key);
    fputc(':', json->out);
}

static void open_with(Json *json, const char *key, char bracket) {
    next(json, key);
    fputc(bracket, json->out);
    json->first = true;
}

static void close_with(Json *json, char bracket) {
    fputc(bracket, json->out);
    json->first = false;
}

static void put_text(Json *json, const char *key, const char *text) {
    next(json, key);
    put_string(json->out, text);
}

static void put_number(Json *json, const char *key, double number) {
    next(json, key);
    fprintf(json->out, "%.17g", number);
}

static void put_word(Json *json, const char *key, const char *word) {
    next(json, key);
    fputs(word, json->out);
}

/* ---- values ---- */

typedef const char *(*NameOf)(int index);

static const char *person_name(int i) {
    return model_people_key((PersonId)i);
}
static const char *parameter_name(int i) {
    return model_parameters_row((ParameterId)i)->key;
}
static const char *diagnosis_name(int i) {
    return sim_diagnoses_row((DiagnosisId)i)->key;
}
static const char *display_name(int i) {
    return sim_instruments_display_row((DisplayId)i)->key;
}
static const char *order_name(int i) {
    return sim_orders_row((OrderId)i)->key;
}
static const char *view_name(int i) {
    return sim_look_view_key((LookView)i);
}
static const char *act_name(int i) {
    return i < ACT_ROW_COUNT ? sim_acts_row((ActId)i)->key : order_name(i - ACT_ROW_COUNT);
}

static void put_enum(Json *json, NameOf name, int count) {
    open_with(json, "enum", '[');
    for (int i = 0; i < count; i++)
        put_text(json, NULL, name(i));
    close_with(json, ']');
}

static void put_words(Json *json, const char *words) {
    char word[64];
    open_with(json, "enum", '[');
    while (*words != '\0') {
        size_t length = strcspn(words, " ");
        snprintf(word, sizeof word, "%.*s", (int)length, words);
        put_text(json, NULL, word);
        words += length;
        words += strspn(words, " ");
    }
    close_with(json, ']');
}

/* A pattern: `before`, one of the names, then anything or nothing. */
static void put_pattern(Json *json, const char *before, NameOf name, int count) {
    put_text(json, "type", "string");
    next(json, "pattern");
    fprintf(json->out, "\"^%s(", before);
    for (int i = 0; i < count; i++)
        fprintf(json->out, "%s%s", i > 0 ? "|" : "", name(i));
    fputs(")( .*)?$\"", json->out);
}

static void put_duration(Json *json) {
    put_text(json, "type", "string");
    put_text(json, "pattern", DURATION_PATTERN);
}

/* One name of a table, or a list of them. */
static void put_names(Json *json, NameOf name, int count) {
    open_with(json, "anyOf", '[');
    open_with(json, NULL, '{');
    put_enum(json, name, count);
    close_with(json, '}');
    open_with(json, NULL, '{');
    put_text(json, "type", "array");
    open_with(json, "items", '{');
    put_enum(json, name, count);
    close_with(json, '}');
    close_with(json, '}');
    close_with(json, ']');
}

/* Texts of YAML may look like numbers or yes and no; the reader judges their length, blanks counted once. */
static void put_any_text(Json *json) {
    open_with(json, "type", '[');
    put_text(json, NULL, "string");
    put_text(json, NULL, "number");
    put_text(json, NULL, "boolean");
    close_with(json, ']');
    put_number(json, "minLength", 1);
}

static void put_texts(Json *json, const CaseField *field) {
    open_with(json, "anyOf", '[');
    open_with(json, NULL, '{');
    put_any_text(json);
    close_with(json, '}');
    open_with(json, NULL, '{');
    put_text(json, "type", "array");
    put_number(json, "maxItems", (double)(field->size / field->stride));
    open_with(json, "items", '{');
    put_any_text(json);
    close_with(json, '}');
    close_with(json, '}');
    close_with(json, ']');
}

/* ---- parts with readers of their own ---- */

static void put_person(Json *json) {
    put_enum(json, person_name, PERSON_COUNT);
}

static void put_diagnosis(Json *json) {
    put_enum(json, diagnosis_name, DIAGNOSIS_COUNT);
}

static void put_diagnoses(Json *json) {
    put_names(json, diagnosis_name, DIAGNOSIS_COUNT);
}

static void put_order(Json *json) {
    put_enum(json, order_name, ORDER_COUNT);
}

static void put_display(Json *json) {
    put_enum(json, display_name, DISPLAY_COUNT);
}

static void put_views(Json *json) {
    put_names(json, view_name, LOOK_VIEW_COUNT);
}

/* One displayed quantity, with or without its unit. */
static void put_quantity(Json *json) {
    char name[PREDICTION_NAME_MAX];
    open_with(json, "enum", '[');
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        put_text(json, NULL, display_name(i));
        sim_predictions_name((DisplayId)i, name);
        if (strcmp(name, display_name(i)) != 0) put_text(json, NULL, name);
    }
    close_with(json, ']');
}

static void put_quantities(Json *json) {
    open_with(json, "anyOf", '[');
    open_with(json, NULL, '{');
    put_quantity(json);
    close_with(json, '}');
    open_with(json, NULL, '{');
    put_text(json, "type", "array");
    put_number(json, "maxItems", PREDICTION_PARTS);
    open_with(json, "items", '{');
    put_quantity(json);
    close_with(json, '}');
    close_with(json, '}');
    close_with(json, ']');
}

static void put_parameters(Json *json) {
    put_text(json, "type", "object");
    open_with(json, "properties", '{');
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        const ParameterRow *row = model_parameters_row((ParameterId)i);
        open_with(json, row->key, '{');
        put_text(json, "type", "number");
        put_number(json, "minimum", row->low);
        put_number(json, "maximum", row->high);
        put_text(json, "description", row->text);
        close_with(json, '}');
    }
    close_with(json, '}');
    put_word(json, "additionalProperties", "false");
}

static void put_band(Json *json) {
    put_text(json, "type", "array");
    put_number(json, "minItems", 2);
    put_number(json, "maxItems", 2);
    open_with(json, "items", '{');
    put_text(json, "type", "number");
    close_with(json, '}');
}

static void put_targets(Json *json) {
    put_text(json, "type", "object");
    open_with(json, "properties", '{');
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        open_with(json, display_name(i), '{');
        put_band(json);
        put_text(json, "description", sim_instruments_display_row((DisplayId)i)->text);
        close_with(json, '}');
    }
    close_with(json, '}');
    put_word(json, "additionalProperties", "false");
}

static void put_alarms(Json *json) {
    put_text(json, "type", "object");
    open_with(json, "properties", '{');
    for (int i = 0; i < ALARM_COUNT; i++) {
        const AlarmRow *row = sim_alarms_row((AlarmId)i);
        if (row->side == ALARM_SIDE_SIGN) continue;
        open_with(json, row->key, '{');
        open_with(json, "anyOf", '[');
        open_with(json, NULL, '{');
        put_text(json, "type", "number");
        put_number(json, "minimum", row->least);
        put_number(json, "maximum", row->most);
        close_with(json, '}');
        open_with(json, NULL, '{');
        put_word(json, "enum", "[\"on\",\"off\",true,false]");
        close_with(json, '}');
        close_with(json, ']');
        put_text(json, "description", row->text);
        close_with(json, '}');
    }
    close_with(json, '}');
    put_word(json, "additionalProperties", "false");
}

static void put_running(Json *json) {
    put_text(json, "type", "array");
    put_number(json, "maxItems", CASE_RUNNING_MAX);
    open_with(json, "items", '{');
    put_pattern(json, "(infusion )?", order_name, ORDER_COUNT);
    close_with(json, '}');
}

static void put_map(Json *json, const char *prefix);

/* A name of an order, or one order's name with its limits. */
static void put_orders(Json *json) {
    put_text(json, "type", "array");
    open_with(json, "items", '{');
    open_with(json, "anyOf", '[');
    open_with(json, NULL, '{');
    put_order(json);
    close_with(json, '}');
    open_with(json, NULL, '{');
    put_text(json, "type", "object");
    put_number(json, "minProperties", 1);
    put_number(json, "maxProperties", 1);
    open_with(json, "propertyNames", '{');
    put_order(json);
    close_with(json, '}');
    open_with(json, "additionalProperties", '{');
    put_map(json, "orders[].");
    close_with(json, '}');
    close_with(json, '}');
    close_with(json, ']');
    close_with(json, '}');
}

static void put_window(Json *json) {
    put_text(json, "type", "array");
    put_number(json, "minItems", 2);
    put_number(json, "maxItems", 2);
    open_with(json, "items", '{');
    put_duration(json);
    close_with(json, '}');
}

static void put_do(Json *json) {
    put_text(json, "type", "array");
    open_with(json, "items", '{');
    put_map(json, "timeline[].do[].");
    put_number(json, "minProperties", 1);
    close_with(json, '}');
}

static void put_otherwise(Json *json) {
    put_text(json, "$ref", "#/$defs/actions");
}

static void put_steps(Json *json) {
    open_with(json, "anyOf", '[');
    for (int list = 0; list < 2; list++) {
        open_with(json, NULL, '{');
        if (list == 1) {
            put_text(json, "type", "array");
            open_with(json, "items", '{');
        }
        put_pattern(json, TIME_PATTERN " +(bolus |infusion |stop )?", act_name, ACT_ROW_COUNT + ORDER_COUNT);
        if (list == 1) close_with(json, '}');
        close_with(json, '}');
    }
    close_with(json, ']');
}

static void put_bound(Json *json) {
    open_with(json, "anyOf", '[');
    open_with(json, NULL, '{');
    put_text(json, "type", "number");
    put_number(json, "minimum", 0);
    put_number(json, "maximum", 1);
    close_with(json, '}');
    open_with(json, NULL, '{');
    put_duration(json);
    close_with(json, '}');
    close_with(json, ']');
}

/* Values that the kind of a key does not tell. The readers of the case name them all: a row that has a reader
   of its own and none here would accept anything. */
static const struct {
    const char *path;
    void (*put)(Json *json);
} OWN_VALUES[] = {
    {"patient.base", put_person},
    {"patient.set", put_parameters},
    {"look.views", put_views},
    {"predict[].order", put_order},
    {"predict[].quantities", put_quantities},
    {"truth.diagnosis", put_diagnosis},
    {"truth.also", put_diagnoses},
    {"running", put_running},
    {"orders", put_orders},
    {"targets", put_targets},
    {"alarms", put_alarms},
    {"timeline[].within", put_window},
    {"timeline[].do", put_otherwise},
    {"timeline[].otherwise", put_otherwise},
    {"timeline[].do[].set", put_parameters},
    {"timeline[].do[].truth.diagnosis", put_diagnosis},
    {"timeline[].do[].truth.also", put_diagnoses},
    {"plans[].steps", put_steps},
    {"score[].inside", put_display},
    {"score[].full", put_bound},
    {"score[].none", put_bound},
};

/* Keys of which exactly one has to be there, and those of which one at least. */
static const struct {
    const char *prefix, *how, *keys;
} CHOICES[] = {
    {"timeline[].", "oneOf", "at within when after instead_of"},
    {"score[].", "oneOf", "objective ending inside call predictions minus"},
    {"endings[].", "anyOf", "when at_length"},
};

/* ---- the table ---- */

static void put_bounds(Json *json, const CaseKeyRow *row) {
    if (row->high <= row->low) return;
    put_number(json, "minimum", row->low);
    put_number(json, "maximum", row->high);
}

static void put_list(Json *json, const CaseField *field) {
    char prefix[CASE_PATH_TEXT_MAX];
    snprintf(prefix, sizeof prefix, "%s[].", field->row.path);
    put_text(json, "type", "array");
    put_number(json, "maxItems", (double)(field->size / field->stride));
    open_with(json, "items", '{');
    put_map(json, prefix);
    close_with(json, '}');
}

static void put_kind(Json *json, const CaseField *field) {
    const CaseKeyRow *row = &field->row;
    char prefix[CASE_PATH_TEXT_MAX];
    switch (row->kind) {
    case CASE_KEY_TEXT:
    case CASE_KEY_ORDER:
        put_any_text(json);
        break;
    case CASE_KEY_TEXTS:
        put_texts(json, field);
        break;
    case CASE_KEY_NAME:
        put_text(json, "type", "string");
        put_text(json, "pattern", NAME_PATTERN);
        put_number(json, "maxLength", (double)(field->size - 1));
        break;
    case CASE_KEY_INTEGER:
        put_text(json, "type", "integer");
        put_bounds(json, row);
        if (row->low >= row->high) put_number(json, "const", row->low);
        break;
    case CASE_KEY_NUMBER:
        put_text(json, "type", "number");
        put_bounds(json, row);
        break;
    case CASE_KEY_YES:
        put_word(json, "enum", "[true,false,\"yes\",\"no\",\"true\",\"false\"]");
        break;
    case CASE_KEY_DURATION:
        put_duration(json);
        break;
    case CASE_KEY_WINDOW:
        put_window(json);
        break;
    case CASE_KEY_CONDITION:
        put_text(json, "type", "string");
        put_number(json, "minLength", 1);
        put_number(json, "maxLength", CONDITION_TEXT_MAX - 1);
        break;
    case CASE_KEY_CHOICE:
        put_words(json, row->words);
        break;
    case CASE_KEY_PARAMETER:
        put_enum(json, parameter_name, PARAMETER_COUNT);
        break;
    case CASE_KEY_QUANTITY:
        put_text(json, "type", "string");
        put_text(json, "pattern", QUANTITY_PATTERN);
        break;
    case CASE_KEY_MAP:
        snprintf(prefix, sizeof prefix, "%s.", row->path);
        put_map(json, prefix);
        break;
    case CASE_KEY_LIST:
        put_list(json, field);
        break;
    }
}

static void put_value(Json *json, const CaseField *field) {
    put_text(json, "description", field->row.text);
    for (size_t i = 0; i < sizeof OWN_VALUES / sizeof OWN_VALUES[0]; i++) {
        if (strcmp(OWN_VALUES[i].path, field->row.path) != 0) continue;
        OWN_VALUES[i].put(json);
        return;
    }
    put_kind(json, field);
}

static void put_choices(Json *json, const char *prefix) {
    for (size_t i = 0; i < sizeof CHOICES / sizeof CHOICES[0]; i++) {
        if (strcmp(CHOICES[i].prefix, prefix) != 0) continue;
        const char *key = CHOICES[i].keys;
        open_with(json, CHOICES[i].how, '[');
        while (*key != '\0') {
            size_t length = strcspn(key, " ");
            next(json, NULL);
            fprintf(json->out, "{\"required\":[\"%.*s\"]}", (int)length, key);
            key += length;
            key += strspn(key, " ");
        }
        close_with(json, ']');
    }
}

/* An object with the keys below `prefix`. */
static void put_map(Json *json, const char *prefix) {
    const char *key;
    put_text(json, "type", "object");
    open_with(json, "properties", '{');
    for (int i = 0; i < sim_case_schema_count(); i++) {
        const CaseField *field = sim_case_schema_field(i);
        if (!sim_case_schema_below(field->row.path, prefix, &key)) continue;
        open_with(json, key, '{');
        put_value(json, field);
        close_with(json, '}');
    }
    close_with(json, '}');
    open_with(json, "required", '[');
    for (int i = 0; i < sim_case_schema_count(); i++) {
        const CaseField *field = sim_case_schema_field(i);
        if (field->row.required && sim_case_schema_below(field->row.path, prefix, &key))
            put_text(json, NULL, key);
    }
    close_with(json, ']');
    put_word(json, "additionalProperties", "false");
    put_choices(json, prefix);
}

void sim_case_jsonschema_write(FILE *out) {
    Json json = {.out = out, .first = true};
    fputc('{', out);
    put_text(&json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    put_text(&json, "title", "Evenkeel case");
    put_text(&json, "description", "Written from the program's own table of keys: evenkeel list keys.");
    put_map(&json, "");
    open_with(&json, "$defs", '{');
    open_with(&json, "actions", '{');
    put_do(&json);
    close_with(&json, '}');
    close_with(&json, '}');
    fputs("}\n", out);
}
