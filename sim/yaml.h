/* YAML read into a small tree of our own. A careful subset: one document of maps, lists and plain or quoted
   texts; anchors, aliases, tags, merge keys, repeated keys, deep nesting and long files are refused. */
#ifndef SIM_YAML_H
#define SIM_YAML_H

#include "model/error.h"

#include <stdbool.h>
#include <stddef.h>

enum {
    YAML_BYTES_MAX = 256 * 1024,
    YAML_DEPTH_MAX = 12,
    YAML_NODES_MAX = 20000,
    YAML_ENTRIES_MAX = 1000, /* of one map */
    YAML_TEXT_MAX = 8192     /* of one scalar */
};

typedef enum YamlKind { YAML_KIND_TEXT, YAML_KIND_LIST, YAML_KIND_MAP } YamlKind;

/* One value. Links are indices into the tree's nodes, -1 for none; texts belong to the tree. */
typedef struct YamlNode {
    YamlKind kind;
    int line, column; /* 1-based, of the value */
    char *key;        /* in a map; NULL elsewhere */
    int key_line, key_column;
    char *text;                           /* of a scalar; NULL elsewhere */
    bool quoted;                          /* a scalar that was quoted or a block */
    int parent, first, last, next, count; /* children in order */
} YamlNode;

typedef struct YamlTree YamlTree;

/* Parses `text`[length]; `name` stands for the file in errors. Returns a tree that the caller frees with
   sim_yaml_free, or NULL with `error` at line and column. */
YamlTree *sim_yaml_parse(const char *text, size_t length, const char *name, Error *error);

/* Accepts NULL. */
void sim_yaml_free(YamlTree *tree);

const YamlNode *sim_yaml_root(const YamlTree *tree);

/* First child, next sibling; NULL if there is none. */
const YamlNode *sim_yaml_first(const YamlTree *tree, const YamlNode *node);
const YamlNode *sim_yaml_next(const YamlTree *tree, const YamlNode *node);

/* Entry of a map by key; NULL if there is none, or `node` is not a map. */
const YamlNode *sim_yaml_get(const YamlTree *tree, const YamlNode *node, const char *key);

/* "a text", "a list", "a map", for messages. */
const char *sim_yaml_kind_word(YamlKind kind);

#endif
