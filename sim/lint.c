/* Reading a case critically: places, order. */
#include "sim/lint.h"

#include "sim/lint_parts.h"
#include "sim/textfile.h"

#include <stdlib.h>
#include <string.h>

void sim_lint_warn_at(Lint *lint, const YamlNode *node, const char *what, const char *better) {
    Error warning;
    model_error_set(&warning, ERROR_COMBINATION, "%s", what);
    if (better != NULL) model_error_allow(&warning, "%s", better);
    bool keyed = node->kind != YAML_KIND_TEXT && node->key != NULL;
    model_error_at(&warning, lint->night->path, keyed ? node->key_line : node->line,
                   keyed ? node->key_column : node->column);
    sim_errorlist_add(lint->warnings, &warning);
}

const YamlNode *sim_lint_entry(const Lint *lint, const char *list, int index) {
    const YamlNode *node = sim_yaml_get(lint->tree, sim_yaml_root(lint->tree), list);
    if (node == NULL || node->kind != YAML_KIND_LIST) return NULL;
    node = sim_yaml_first(lint->tree, node);
    for (; node != NULL && index > 0; index--)
        node = sim_yaml_next(lint->tree, node);
    return node;
}

void sim_lint_warn(Lint *lint, const char *list, int index, const char *key, const char *what,
                   const char *better) {
    const YamlNode *root = sim_yaml_root(lint->tree);
    const YamlNode *node = sim_yaml_get(lint->tree, root, list);
    if (node == NULL) node = root;
    const YamlNode *entry = index >= 0 ? sim_lint_entry(lint, list, index) : NULL;
    if (entry != NULL) node = entry;
    const YamlNode *value = key != NULL ? sim_yaml_get(lint->tree, node, key) : NULL;
    sim_lint_warn_at(lint, value != NULL ? value : node, what, better);
}

void sim_lint_case(const Case *case_file, const char *text, size_t length, ErrorList *warnings) {
    Error error;
    int first = warnings->count;
    Lint *lint = calloc(1, sizeof *lint);
    YamlTree *tree = lint != NULL ? sim_yaml_parse(text, length, case_file->path, &error) : NULL;
    if (tree != NULL && sim_yaml_root(tree)->kind == YAML_KIND_MAP) {
        lint->night = case_file;
        lint->tree = tree;
        lint->warnings = warnings;
        sim_lint_find_ranges(lint);
        sim_lint_find_ways(lint);
        sim_lint_events(lint);
        sim_lint_objectives(lint);
        sim_lint_endings(lint);
        sim_lint_numbers(lint);
        sim_lint_plans(lint);
        sim_lint_score(lint);
        sim_lint_texts(lint);
        sim_errorlist_sort(warnings, first);
    }
    sim_yaml_free(tree);
    free(lint);
}

ErrorCode sim_lint_file(const Case *case_file, ErrorList *warnings, Error *error) {
    char *text;
    size_t length;
    if (case_file->source[0] != '\0') {
        sim_lint_case(case_file, case_file->source, strlen(case_file->source), warnings);
        return ERROR_OK;
    }
    ErrorCode code = sim_textfile_read(case_file->path, YAML_BYTES_MAX, &text, &length, error);
    if (code != ERROR_OK) return code;
    sim_lint_case(case_file, text, length, warnings);
    free(text);
    return ERROR_OK;
}
