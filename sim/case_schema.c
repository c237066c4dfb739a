/* The table of the case language. */
#include "sim/case_schema.h"

#include <string.h>

#define MEMBER_SIZE(type, member) sizeof(((type *)0)->member)

static const CaseField fields[] = {
#define K(path, kind, required, type, member, low, high, words, text)                                        \
    {.row = {path, CASE_KEY_##kind, required, low, high, words, text},                                       \
     .offset = offsetof(type, member),                                                                       \
     .size = MEMBER_SIZE(type, member)},
#define L(path, kind, required, type, member, count, text)                                                   \
    {.row = {path, CASE_KEY_##kind, required, 0, 0, NULL, text},                                             \
     .offset = offsetof(type, member),                                                                       \
     .size = MEMBER_SIZE(type, member),                                                                      \
     .stride = MEMBER_SIZE(type, member[0]),                                                                 \
     .count_offset = offsetof(type, count)},
#define M(path, required, type, member, text)                                                                \
    {.row = {path, CASE_KEY_MAP, required, 0, 0, NULL, text},                                                \
     .offset = offsetof(type, member),                                                                       \
     .size = MEMBER_SIZE(type, member)},
#define OWN(path, kind, required, reader, text)                                                              \
    {.row = {path, CASE_KEY_##kind, required, 0, 0, NULL, text}, .own = reader},
#define DOC(path, kind, low, high, text)                                                                     \
    {.row = {path, CASE_KEY_##kind, false, low, high, NULL, text}, .documentation = true},
#include "sim/case_keys.def"
#undef K
#undef L
#undef M
#undef OWN
#undef DOC
};

enum { FIELD_COUNT = sizeof fields / sizeof fields[0] };

int sim_case_schema_count(void) {
    return FIELD_COUNT;
}

const CaseField *sim_case_schema_field(int index) {
    return &fields[index];
}

bool sim_case_schema_below(const char *path, const char *prefix, const char **key) {
    size_t length = strlen(prefix);
    if (strncmp(path, prefix, length) != 0) return false;
    *key = path + length;
    return strpbrk(*key, ".[") == NULL;
}

const CaseField *sim_case_schema_find(const char *prefix, const char *key) {
    for (int i = 0; i < FIELD_COUNT; i++) {
        const char *name;
        if (sim_case_schema_below(fields[i].row.path, prefix, &name) && strcmp(name, key) == 0)
            return &fields[i];
    }
    return NULL;
}

int sim_case_key_count(void) {
    return FIELD_COUNT;
}

const CaseKeyRow *sim_case_key(int index) {
    return &fields[index].row;
}

const char *sim_case_key_kind_word(CaseKeyKind kind) {
    static const char *const words[] = {
        [CASE_KEY_TEXT] = "text",           [CASE_KEY_TEXTS] = "list of texts",
        [CASE_KEY_NAME] = "name",           [CASE_KEY_INTEGER] = "whole number",
        [CASE_KEY_NUMBER] = "number",       [CASE_KEY_YES] = "yes or no",
        [CASE_KEY_DURATION] = "duration",   [CASE_KEY_WINDOW] = "window of time",
        [CASE_KEY_CONDITION] = "condition", [CASE_KEY_CHOICE] = "choice",
        [CASE_KEY_PARAMETER] = "parameter", [CASE_KEY_QUANTITY] = "quantity",
        [CASE_KEY_ORDER] = "order",         [CASE_KEY_MAP] = "map",
        [CASE_KEY_LIST] = "list",
    };
    return words[kind];
}
