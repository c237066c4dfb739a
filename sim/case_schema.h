/* The table of the case language as the reader uses it: what a key is, and which member it is read into.
   Internal to the case files (case*.c). */
#ifndef SIM_CASE_SCHEMA_H
#define SIM_CASE_SCHEMA_H

#include "sim/case.h"
#include "sim/yaml.h"

#include <stddef.h>

enum { CASE_PATH_TEXT_MAX = 96 };

/* What a reading goes through: the file's tree, the case being filled, the errors so far. */
typedef struct CaseReader {
    const YamlTree *tree;
    const char *name;
    ErrorList *errors;
    Case *out;
} CaseReader;

typedef void (*CaseOwnReader)(CaseReader *reader, const YamlNode *node, void *target);

typedef struct CaseField {
    CaseKeyRow row;
    bool documentation;          /* read by another row's own reader */
    size_t offset, size;         /* of the member in its struct */
    size_t stride, count_offset; /* lists: size of an entry; where the counter is */
    CaseOwnReader own;
} CaseField;

int sim_case_schema_count(void);
const CaseField *sim_case_schema_field(int index);

/* Finds the field of `key` below `prefix` ("timeline[]."); NULL if there is none. */
const CaseField *sim_case_schema_find(const char *prefix, const char *key);

/* True if `path` is one name below `prefix`; *key is set to that name. */
bool sim_case_schema_below(const char *path, const char *prefix, const char **key);

/* Reads a map into the struct at `target`, with the fields below `prefix`; all errors go to the list. */
void sim_case_read_map(CaseReader *reader, const YamlNode *node, const char *prefix, void *target);

/* Reads a parameter's key and a value in its range; false (with an error) if it cannot. */
bool sim_case_read_set(CaseReader *reader, const YamlNode *node, CaseSet *set);

/* Adds an error at a value, or at a key. */
void sim_case_read_error(CaseReader *reader, const YamlNode *node, Error *error);
void sim_case_read_error_key(CaseReader *reader, const YamlNode *node, Error *error);

/* The parts with rules of their own (case_parts.c). */
void sim_case_read_patient_set(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_running(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_orders(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_targets(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_alarms(CaseReader *reader, const YamlNode *node, void *target); /* case_alarms.c */
void sim_case_read_do(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_otherwise(CaseReader *reader, const YamlNode *node, void *target);

/* The parts about branches, plans and the rubric (case_plans.c), and their checks. */
void sim_case_read_within(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_steps(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_inside(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_full(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_none(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_check_plans(CaseReader *reader);
void sim_case_check_score(CaseReader *reader);

/* The entry of a list at the top of the case, and the value of a key of a map or else the map itself. */
const YamlNode *sim_case_entry(const CaseReader *reader, const char *list, int index);
const YamlNode *sim_case_key_of(const CaseReader *reader, const YamlNode *map, const char *key);

/* The parts about looks, predictions and what is wrong (case_acts.c). */
void sim_case_read_look_views(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_predict_order(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_predict_quantities(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_truth_diagnosis(CaseReader *reader, const YamlNode *node, void *target);
void sim_case_read_truth_also(CaseReader *reader, const YamlNode *node, void *target);

/* Fills in what the case leaves to its level: the look, whether it asks for predictions (case_acts.c). */
void sim_case_complete_acts(CaseReader *reader);

/* What can only be judged of the whole (case_check.c): triggers, references, the patient. */
void sim_case_check_all(CaseReader *reader);

#endif
