/* Loading a case: file, tree, table, checks. */
#include "sim/case.h"

#include "sim/case_schema.h"
#include "sim/practice.h"
#include "sim/score.h"
#include "sim/textfile.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SETTLE_STANDARD_S 180.0 /* reflex and volumes at rest: several of their slowest time constants */
#define SEED_STANDARD     1

static uint64_t hash_bytes(const char *bytes, size_t length) {
    uint64_t hash = UINT64_C(14695981039346656037); /* FNV-1a, 64 bit */
    for (size_t i = 0; i < length; i++) {
        hash = (hash ^ (unsigned char)bytes[i]) * UINT64_C(1099511628211);
    }
    return hash;
}

static void set_defaults(Case *out) {
    out->seed = SEED_STANDARD;
    out->patient.settle_s = SETTLE_STANDARD_S;
    out->limits = sim_orders_limits_standard();
    out->alarms = sim_alarms_limits_standard();
}

Case *sim_case_parse(const char *text, size_t length, const char *name, ErrorList *errors) {
    Error error;
    memset(errors, 0, sizeof *errors);
    YamlTree *tree = sim_yaml_parse(text, length, name, &error);
    if (tree == NULL) {
        sim_errorlist_add(errors, &error);
        return NULL;
    }
    Case *out = calloc(1, sizeof *out);
    if (out == NULL) {
        model_error_set(&error, ERROR_MEMORY, "no memory for the case");
        sim_errorlist_add(errors, &error);
        sim_yaml_free(tree);
        return NULL;
    }
    set_defaults(out);
    snprintf(out->path, sizeof out->path, "%s", name);
    out->file_hash = hash_bytes(text, length);
    if (strncmp(name, PRACTICE_PREFIX, strlen(PRACTICE_PREFIX)) == 0 && length < sizeof out->source)
        memcpy(out->source, text, length); /* written on the spot: there is no file to read it from again */
    CaseReader reader = {.tree = tree, .name = name, .errors = errors, .out = out};
    sim_case_read_map(&reader, sim_yaml_root(tree), "", out);
    if (sim_yaml_root(tree)->kind == YAML_KIND_MAP) sim_case_check_all(&reader);
    sim_score_standard(out);
    sim_yaml_free(tree);
    sim_errorlist_sort(errors, 0);
    if (errors->count == 0) return out;
    sim_case_free(out);
    return NULL;
}

Case *sim_case_load(const char *path, ErrorList *errors) {
    Error error;
    char *text;
    size_t length;
    memset(errors, 0, sizeof *errors);
    if (strncmp(path, PRACTICE_PREFIX, strlen(PRACTICE_PREFIX)) == 0) {
        Case *practice = sim_practice_case(path + strlen(PRACTICE_PREFIX), PRACTICE_SEED, &error);
        if (practice == NULL) sim_errorlist_add(errors, &error);
        return practice;
    }
    if (sim_textfile_read(path, YAML_BYTES_MAX, &text, &length, &error) != ERROR_OK) {
        sim_errorlist_add(errors, &error);
        return NULL;
    }
    Case *out = sim_case_parse(text, length, path, errors);
    free(text);
    return out;
}

void sim_case_free(Case *case_file) {
    free(case_file);
}

const char *sim_case_outcome_word(CaseOutcome outcome) {
    static const char *const words[] = {"none", "good", "mixed", "harm", "death"};
    return words[outcome];
}
