/* Reads a tree into a case by the table: one function per kind of value, and every error with its place. */
#include "sim/case_schema.h"

#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { NAMES_MAX = 128, WORD_MAX = 32 };

static const char *where(const CaseField *field) {
    return field->row.path;
}

void sim_case_read_error(CaseReader *reader, const YamlNode *node, Error *error) {
    model_error_at(error, reader->name, node->line, node->column);
    sim_errorlist_add(reader->errors, error);
}

void sim_case_read_error_key(CaseReader *reader, const YamlNode *node, Error *error) {
    bool keyed = node->key != NULL;
    model_error_at(error, reader->name, keyed ? node->key_line : node->line,
                   keyed ? node->key_column : node->column);
    sim_errorlist_add(reader->errors, error);
}

/* True if the node is a scalar; otherwise says what the key needs. */
static bool need_text(CaseReader *reader, const YamlNode *node, const CaseField *field) {
    if (node->kind == YAML_KIND_TEXT) return true;
    Error error;
    model_error_set(&error, ERROR_FORMAT, "%s is %s", where(field), sim_yaml_kind_word(node->kind));
    model_error_allow(&error, "a %s", sim_case_key_kind_word(field->row.kind));
    sim_case_read_error(reader, node, &error);
    return false;
}

/* Copies a text with runs of white space made single; the member's size bounds it. */
static void read_text(CaseReader *reader, const YamlNode *node, const CaseField *field, char *out,
                      size_t size) {
    size_t used = 0;
    bool gap = false, full = false;
    for (const char *c = node->text; *c != '\0'; c++) {
        if (isspace((unsigned char)*c)) {
            gap = used > 0;
            continue;
        }
        if (used + (gap ? 2 : 1) >= size) {
            full = true;
            break;
        }
        if (gap) out[used++] = ' ';
        gap = false;
        out[used++] = *c;
    }
    out[full ? 0 : used] = '\0';
    if (!full && used > 0) return;
    Error error;
    model_error_set(&error, ERROR_RANGE, "%s is %s", where(field), full ? "too long" : "empty");
    model_error_allow(&error, "1 to %zu bytes", size - 1);
    sim_case_read_error(reader, node, &error);
}

static void read_name(CaseReader *reader, const YamlNode *node, const CaseField *field, char *out,
                      size_t size) {
    size_t length = strlen(node->text);
    bool good = length > 0 && length < size;
    for (size_t i = 0; i < length && good; i++) {
        good = isalnum((unsigned char)node->text[i]) || node->text[i] == '-' || node->text[i] == '_';
    }
    if (good) {
        memcpy(out, node->text, length + 1);
        return;
    }
    Error error;
    model_error_set(&error, ERROR_SYNTAX, "%s \"%.60s\" is not a name", where(field), node->text);
    model_error_allow(&error, "1 to %zu letters, digits, - and _", size - 1);
    sim_case_read_error(reader, node, &error);
}

/* Reads a number within the field's bounds. */
static bool read_number(CaseReader *reader, const YamlNode *node, const CaseField *field, double *value) {
    Error error;
    bool whole = field->row.kind == CASE_KEY_INTEGER;
    ErrorCode code = sim_quantity_number(node->text, value, &error);
    if (code == ERROR_OK && whole && fabs(*value - floor(*value)) > 0)
        code =
            model_error_set(&error, ERROR_RANGE, "%s %.40s is not a whole number", where(field), node->text);
    if (code == ERROR_OK && (*value < field->row.low || *value > field->row.high)) {
        code = model_error_set(&error, ERROR_RANGE, "%s %.40s is out of range", where(field), node->text);
        model_error_allow(&error, "%.16g to %.16g", field->row.low, field->row.high);
    }
    if (code == ERROR_OK) return true;
    sim_case_read_error(reader, node, &error);
    return false;
}

static void read_duration(CaseReader *reader, const YamlNode *node, const CaseField *field, double *out) {
    Error error;
    ErrorCode code = sim_duration_parse(node->text, out, &error);
    if (code == ERROR_OK && field->row.high > 0 && (*out < field->row.low || *out > field->row.high)) {
        char low[DURATION_TEXT_MAX], high[DURATION_TEXT_MAX];
        sim_duration_format(field->row.low, low, sizeof low);
        sim_duration_format(field->row.high, high, sizeof high);
        code = model_error_set(&error, ERROR_RANGE, "%s %.40s is out of range", where(field), node->text);
        model_error_allow(&error, "%s to %s", low, high);
    }
    if (code != ERROR_OK) sim_case_read_error(reader, node, &error);
}

static void read_condition(CaseReader *reader, const YamlNode *node, Condition *out) {
    Error error;
    if (sim_condition_parse(node->text, out, &error) == ERROR_OK) return;
    int column = error.column > 0 ? error.column - 1 : 0;
    model_error_at(&error, reader->name, node->line, node->column + column + (node->quoted ? 1 : 0));
    sim_errorlist_add(reader->errors, &error);
}

static void read_choice(CaseReader *reader, const YamlNode *node, const CaseField *field, int *out) {
    int index = 0;
    for (const char *word = field->row.words; *word != '\0'; index++) {
        size_t length = strcspn(word, " ");
        if (strlen(node->text) == length && strncmp(word, node->text, length) == 0) {
            *out = index;
            return;
        }
        word += length;
        word += strspn(word, " ");
    }
    Error error;
    model_error_set(&error, ERROR_UNKNOWN_NAME, "%s \"%.60s\" is not known", where(field), node->text);
    model_error_allow(&error, "one of: %s", field->row.words);
    sim_case_read_error(reader, node, &error);
}

static void read_yes(CaseReader *reader, const YamlNode *node, const CaseField *field, bool *out) {
    Error error;
    if (strcmp(node->text, "yes") == 0 || strcmp(node->text, "true") == 0) {
        *out = true;
    } else if (strcmp(node->text, "no") == 0 || strcmp(node->text, "false") == 0) {
        *out = false;
    } else {
        model_error_set(&error, ERROR_SYNTAX, "%s \"%.60s\" is not yes or no", where(field), node->text);
        model_error_allow(&error, "yes or no");
        sim_case_read_error(reader, node, &error);
    }
}

static bool find_parameter(CaseReader *reader, const YamlNode *node, const char *key, bool at_key,
                           ParameterId *id) {
    *id = model_parameters_find(key);
    if (*id != PARAMETER_COUNT) return true;
    Error error;
    ErrorCode code = sim_suggest_parameter(&error, key);
    (void)code; /* kept in the error */
    if (at_key) {
        sim_case_read_error_key(reader, node, &error);
    } else {
        sim_case_read_error(reader, node, &error);
    }
    return false;
}

bool sim_case_read_set(CaseReader *reader, const YamlNode *node, CaseSet *set) {
    Error error;
    ParameterId id;
    if (!find_parameter(reader, node, node->key, true, &id)) return false;
    double value = 0;
    if (node->kind != YAML_KIND_TEXT) {
        model_error_set(&error, ERROR_FORMAT, "%s is %s", node->key, sim_yaml_kind_word(node->kind));
        model_error_allow(&error, "a number");
        sim_case_read_error(reader, node, &error);
        return false;
    }
    if (sim_quantity_parameter(node->text, id, &value, &error) != ERROR_OK) {
        sim_case_read_error(reader, node, &error);
        return false;
    }
    *set = (CaseSet){.id = id, .value = value};
    return true;
}

static void read_texts(CaseReader *reader, const YamlNode *node, const CaseField *field, char *base,
                       int *count) {
    int most = (int)(field->size / field->stride);
    if (node->kind == YAML_KIND_TEXT) {
        read_text(reader, node, field, base, field->stride);
        *count = 1;
        return;
    }
    if (node->kind != YAML_KIND_LIST) {
        need_text(reader, node, field);
        return;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (!need_text(reader, child, field)) continue;
        if (*count == most) {
            Error error;
            model_error_set(&error, ERROR_RANGE, "%s has too many entries", where(field));
            model_error_allow(&error, "at most %d", most);
            sim_case_read_error(reader, child, &error);
            return;
        }
        read_text(reader, child, field, base + (size_t)*count * field->stride, field->stride);
        ++*count;
    }
}

static void read_list(CaseReader *reader, const YamlNode *node, const CaseField *field, char *base,
                      int *count) {
    Error error;
    char prefix[CASE_PATH_TEXT_MAX];
    int most = (int)(field->size / field->stride);
    if (node->kind != YAML_KIND_LIST) {
        model_error_set(&error, ERROR_FORMAT, "%s is %s", where(field), sim_yaml_kind_word(node->kind));
        model_error_allow(&error, "a list, each entry beginning with \"- \"");
        sim_case_read_error(reader, node, &error);
        return;
    }
    snprintf(prefix, sizeof prefix, "%s[].", where(field));
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        if (*count == most) {
            model_error_set(&error, ERROR_RANGE, "%s has too many entries", where(field));
            model_error_allow(&error, "at most %d", most);
            sim_case_read_error(reader, child, &error);
            return;
        }
        sim_case_read_map(reader, child, prefix, base + (size_t)*count * field->stride);
        ++*count;
    }
}

static void read_whole(CaseReader *reader, const YamlNode *node, const CaseField *field, void *out) {
    double value = 0;
    if (!read_number(reader, node, field, &value)) return;
    if (field->size == sizeof(uint64_t)) {
        *(uint64_t *)out = (uint64_t)value;
    } else {
        *(int *)out = (int)value;
    }
}

static void read_scalar(CaseReader *reader, const YamlNode *node, const CaseField *field, void *out) {
    double value = 0;
    if (!need_text(reader, node, field)) return;
    switch (field->row.kind) {
    case CASE_KEY_TEXT:
        read_text(reader, node, field, out, field->size);
        break;
    case CASE_KEY_NAME:
        read_name(reader, node, field, out, field->size);
        break;
    case CASE_KEY_INTEGER:
        read_whole(reader, node, field, out);
        break;
    case CASE_KEY_NUMBER:
        if (read_number(reader, node, field, &value)) *(double *)out = value;
        break;
    case CASE_KEY_YES:
        read_yes(reader, node, field, out);
        break;
    case CASE_KEY_DURATION:
        read_duration(reader, node, field, out);
        break;
    case CASE_KEY_CONDITION:
        read_condition(reader, node, out);
        break;
    case CASE_KEY_CHOICE:
        read_choice(reader, node, field, out);
        break;
    case CASE_KEY_PARAMETER:
        find_parameter(reader, node, node->text, false, out);
        break;
    default:
        break;
    }
}

static void read_field(CaseReader *reader, const YamlNode *node, const CaseField *field, char *target) {
    char prefix[CASE_PATH_TEXT_MAX];
    if (field->own != NULL) {
        field->own(reader, node, target);
    } else if (field->row.kind == CASE_KEY_MAP) {
        snprintf(prefix, sizeof prefix, "%s.", where(field));
        sim_case_read_map(reader, node, prefix, target + field->offset);
    } else if (field->row.kind == CASE_KEY_LIST) {
        read_list(reader, node, field, target + field->offset, (int *)(void *)(target + field->count_offset));
    } else if (field->row.kind == CASE_KEY_TEXTS) {
        read_texts(reader, node, field, target + field->offset,
                   (int *)(void *)(target + field->count_offset));
    } else {
        read_scalar(reader, node, field, target + field->offset);
    }
}

static void unknown_key(CaseReader *reader, const YamlNode *node, const char *prefix) {
    const char *names[NAMES_MAX];
    char list[ERROR_ALLOWED_MAX] = "one of: ";
    size_t count = 0, used = strlen(list);
    for (int i = 0; i < sim_case_schema_count() && count < NAMES_MAX; i++) {
        const char *name;
        if (!sim_case_schema_below(sim_case_schema_field(i)->row.path, prefix, &name)) continue;
        names[count++] = name;
        if (used < sizeof list)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", count > 1 ? ", " : "", name);
    }
    Error error;
    model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no key \"%.60s\" here", node->key);
    sim_suggest_allow(&error, node->key, names, count, "", list);
    sim_case_read_error_key(reader, node, &error);
}

void sim_case_read_map(CaseReader *reader, const YamlNode *node, const char *prefix, void *target) {
    Error error;
    if (node->kind != YAML_KIND_MAP) {
        model_error_set(&error, ERROR_FORMAT, "%s is found where keys are needed",
                        sim_yaml_kind_word(node->kind));
        model_error_allow(&error, "a map: key: value");
        sim_case_read_error(reader, node, &error);
        return;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        const CaseField *field = sim_case_schema_find(prefix, child->key);
        if (field == NULL || field->documentation) {
            unknown_key(reader, child, prefix);
        } else {
            read_field(reader, child, field, target);
        }
    }
    for (int i = 0; i < sim_case_schema_count(); i++) {
        const CaseField *field = sim_case_schema_field(i);
        const char *name;
        if (!field->row.required || !sim_case_schema_below(field->row.path, prefix, &name)) continue;
        if (sim_yaml_get(reader->tree, node, name) != NULL) continue;
        model_error_set(&error, ERROR_FORMAT, "the key %s is missing", name);
        model_error_allow(&error, "%s: %s", name, field->row.text);
        sim_case_read_error_key(reader, node, &error);
    }
}
