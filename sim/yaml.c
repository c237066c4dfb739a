/* The only file that knows libyaml: its events become a tree, and what a case file may not contain is
 * refused. */
#include "sim/yaml.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <yaml.h>

enum { NODES_START = 256 };

struct YamlTree {
    YamlNode *nodes;
    int count, capacity;
};

typedef struct Reader {
    YamlTree *tree;
    const char *name;
    const char *bytes; /* of the file */
    Error *error;
    int open[YAML_DEPTH_MAX]; /* nodes of the lists and maps being read */
    int depth;
    char *key; /* read, its value still to come; owned */
    int key_line, key_column;
} Reader;

static ErrorCode refuse(Reader *reader, yaml_mark_t mark, ErrorCode code, const char *what,
                        const char *allowed) {
    model_error_set(reader->error, code, "%s", what);
    model_error_at(reader->error, reader->name, (int)mark.line + 1, (int)mark.column + 1);
    if (allowed != NULL) model_error_allow(reader->error, "%s", allowed);
    return code;
}

static char *copy_text(const char *text, size_t length) {
    char *copy = malloc(length + 1);
    if (copy == NULL) return NULL;
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

static bool in_map(const Reader *reader) {
    return reader->depth > 0 && reader->tree->nodes[reader->open[reader->depth - 1]].kind == YAML_KIND_MAP;
}

static bool grow(YamlTree *tree) {
    if (tree->count < tree->capacity) return true;
    int capacity = tree->capacity * 2;
    YamlNode *nodes = realloc(tree->nodes, (size_t)capacity * sizeof *nodes);
    if (nodes == NULL) return false;
    tree->nodes = nodes;
    tree->capacity = capacity;
    return true;
}

/* Adds a value under what is open; a waiting key becomes its key. */
static ErrorCode add_node(Reader *reader, YamlKind kind, yaml_mark_t mark, int *index) {
    YamlTree *tree = reader->tree;
    if (tree->count >= YAML_NODES_MAX)
        return refuse(reader, mark, ERROR_FORMAT, "the file has too many entries", NULL);
    if (!grow(tree)) return refuse(reader, mark, ERROR_MEMORY, "no memory for the file", NULL);
    int parent = reader->depth > 0 ? reader->open[reader->depth - 1] : -1;
    int me = tree->count++;
    tree->nodes[me] = (YamlNode){.kind = kind,
                                 .line = (int)mark.line + 1,
                                 .column = (int)mark.column + 1,
                                 .key = reader->key,
                                 .key_line = reader->key_line,
                                 .key_column = reader->key_column,
                                 .parent = parent,
                                 .first = -1,
                                 .last = -1,
                                 .next = -1};
    reader->key = NULL;
    *index = me;
    if (parent < 0) return ERROR_OK;
    YamlNode *above = &tree->nodes[parent];
    if (above->last >= 0) tree->nodes[above->last].next = me;
    if (above->first < 0) above->first = me;
    above->last = me;
    above->count++;
    return ERROR_OK;
}

static ErrorCode read_key(Reader *reader, const yaml_event_t *event) {
    const YamlTree *tree = reader->tree;
    const YamlNode *map = &tree->nodes[reader->open[reader->depth - 1]];
    const char *text = (const char *)event->data.scalar.value;
    if (map->count >= YAML_ENTRIES_MAX)
        return refuse(reader, event->start_mark, ERROR_FORMAT, "this map has too many entries", NULL);
    for (int i = map->first; i >= 0; i = tree->nodes[i].next) {
        if (strcmp(tree->nodes[i].key, text) == 0) {
            char what[ERROR_WHAT_MAX];
            snprintf(what, sizeof what, "\"%.80s\" is given twice, first in line %d", text,
                     tree->nodes[i].key_line);
            return refuse(reader, event->start_mark, ERROR_FORMAT, what, "each key once");
        }
    }
    reader->key = copy_text(text, event->data.scalar.length);
    if (reader->key == NULL)
        return refuse(reader, event->start_mark, ERROR_MEMORY, "no memory for the file", NULL);
    reader->key_line = (int)event->start_mark.line + 1;
    reader->key_column = (int)event->start_mark.column + 1;
    return ERROR_OK;
}

/* True if there is a control character (also of two bytes in UTF-8) other than line ends and tabs: a terminal
   would obey it. */
static bool holds_control(const unsigned char *text, size_t length) {
    for (size_t i = 0; i < length; i++) {
        bool blank = text[i] == '\n' || text[i] == '\r' || text[i] == '\t';
        bool two_bytes = text[i] == 0xc2 && i + 1 < length && text[i + 1] < 0xa0;
        if ((text[i] < 0x20 && !blank) || text[i] == 0x7f || two_bytes) return true;
    }
    return false;
}

static ErrorCode read_scalar(Reader *reader, const yaml_event_t *event) {
    if (event->data.scalar.anchor != NULL || event->data.scalar.tag != NULL)
        return refuse(reader, event->start_mark, ERROR_FORMAT, "anchors and tags are not used here", NULL);
    if (event->data.scalar.length >= YAML_TEXT_MAX)
        return refuse(reader, event->start_mark, ERROR_FORMAT, "this text is too long", "at most 8191 bytes");
    if (holds_control(event->data.scalar.value, event->data.scalar.length))
        return refuse(reader, event->start_mark, ERROR_FORMAT, "a text cannot hold control characters",
                      "line ends and tabs only");
    if (in_map(reader) && reader->key == NULL) return read_key(reader, event);
    int me;
    ErrorCode code = add_node(reader, YAML_KIND_TEXT, event->start_mark, &me);
    if (code != ERROR_OK) return code;
    YamlNode *node = &reader->tree->nodes[me];
    node->text = copy_text((const char *)event->data.scalar.value, event->data.scalar.length);
    node->quoted = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
    if (node->text == NULL)
        return refuse(reader, event->start_mark, ERROR_MEMORY, "no memory for the file", NULL);
    return ERROR_OK;
}

static ErrorCode open_group(Reader *reader, const yaml_event_t *event, YamlKind kind, bool marked) {
    if (marked)
        return refuse(reader, event->start_mark, ERROR_FORMAT, "anchors and tags are not used here", NULL);
    if (in_map(reader) && reader->key == NULL)
        return refuse(reader, event->start_mark, ERROR_FORMAT, "a key must be a plain text", NULL);
    if (reader->depth == YAML_DEPTH_MAX)
        return refuse(reader, event->start_mark, ERROR_FORMAT, "lists and maps are nested too deeply",
                      "at most 12");
    int me;
    ErrorCode code = add_node(reader, kind, event->start_mark, &me);
    if (code == ERROR_OK) reader->open[reader->depth++] = me;
    return code;
}

static ErrorCode read_event(Reader *reader, const yaml_event_t *event) {
    switch (event->type) {
    case YAML_ALIAS_EVENT:
        return refuse(reader, event->start_mark, ERROR_FORMAT, "aliases (*name) are not used here", NULL);
    case YAML_SCALAR_EVENT:
        return read_scalar(reader, event);
    case YAML_SEQUENCE_START_EVENT:
        return open_group(reader, event, YAML_KIND_LIST,
                          event->data.sequence_start.anchor != NULL ||
                              event->data.sequence_start.tag != NULL);
    case YAML_MAPPING_START_EVENT:
        return open_group(reader, event, YAML_KIND_MAP,
                          event->data.mapping_start.anchor != NULL || event->data.mapping_start.tag != NULL);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        reader->depth--;
        return ERROR_OK;
    case YAML_DOCUMENT_START_EVENT:
        if (reader->tree->count > 0)
            return refuse(reader, event->start_mark, ERROR_FORMAT, "the file has a second document",
                          "one document");
        return ERROR_OK;
    default:
        return ERROR_OK;
    }
}

/* Line and column of a byte; the parser itself reads ahead of what it has parsed. */
static yaml_mark_t mark_of(const char *bytes, size_t offset) {
    yaml_mark_t mark = {.index = offset};
    for (size_t i = 0; i < offset; i++) {
        bool line_end = bytes[i] == '\n';
        bool inside = ((unsigned char)bytes[i] & 0xc0) == 0x80; /* not the first byte of a character */
        mark.line += line_end;
        mark.column = line_end ? 0 : mark.column + !inside;
    }
    return mark;
}

static ErrorCode refuse_syntax(Reader *reader, const yaml_parser_t *parser) {
    char what[ERROR_WHAT_MAX];
    yaml_mark_t mark = parser->problem_mark;
    if (parser->error == YAML_MEMORY_ERROR)
        return refuse(reader, mark, ERROR_MEMORY, "no memory for the file", NULL);
    if (parser->error == YAML_READER_ERROR) {
        snprintf(what, sizeof what, "not UTF-8 text: %.120s", parser->problem != NULL ? parser->problem : "");
        mark = mark_of(reader->bytes, parser->problem_offset);
    } else {
        snprintf(what, sizeof what, "not YAML: %.120s%s%.60s", parser->problem != NULL ? parser->problem : "",
                 parser->context != NULL ? ", " : "", parser->context != NULL ? parser->context : "");
    }
    return refuse(reader, mark, ERROR_SYNTAX, what, NULL);
}

static ErrorCode read_all(Reader *reader, yaml_parser_t *parser) {
    for (;;) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) return refuse_syntax(reader, parser);
        bool over = event.type == YAML_STREAM_END_EVENT;
        ErrorCode code = read_event(reader, &event);
        yaml_event_delete(&event);
        if (code != ERROR_OK || over) return code;
    }
}

YamlTree *sim_yaml_parse(const char *text, size_t length, const char *name, Error *error) {
    Reader reader = {.name = name, .bytes = text, .error = error};
    yaml_mark_t start = {0};
    yaml_parser_t parser;
    if (length > YAML_BYTES_MAX) {
        refuse(&reader, start, ERROR_FORMAT, "the file is too long", "at most 262144 bytes");
        return NULL;
    }
    reader.tree = calloc(1, sizeof *reader.tree);
    YamlNode *nodes = malloc(NODES_START * sizeof *nodes);
    if (reader.tree == NULL || nodes == NULL || !yaml_parser_initialize(&parser)) {
        free(reader.tree);
        free(nodes);
        refuse(&reader, start, ERROR_MEMORY, "no memory for the file", NULL);
        return NULL;
    }
    reader.tree->nodes = nodes;
    reader.tree->capacity = NODES_START;
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, length);
    ErrorCode code = read_all(&reader, &parser);
    yaml_parser_delete(&parser);
    free(reader.key);
    if (code == ERROR_OK && reader.tree->count == 0)
        code = refuse(&reader, start, ERROR_FORMAT, "the file is empty", NULL);
    if (code == ERROR_OK) return reader.tree;
    sim_yaml_free(reader.tree);
    return NULL;
}

void sim_yaml_free(YamlTree *tree) {
    if (tree == NULL) return;
    for (int i = 0; i < tree->count; i++) {
        free(tree->nodes[i].key);
        free(tree->nodes[i].text);
    }
    free(tree->nodes);
    free(tree);
}

const YamlNode *sim_yaml_root(const YamlTree *tree) {
    return &tree->nodes[0];
}

const YamlNode *sim_yaml_first(const YamlTree *tree, const YamlNode *node) {
    return node->first < 0 ? NULL : &tree->nodes[node->first];
}

const YamlNode *sim_yaml_next(const YamlTree *tree, const YamlNode *node) {
    return node->next < 0 ? NULL : &tree->nodes[node->next];
}

const YamlNode *sim_yaml_get(const YamlTree *tree, const YamlNode *node, const char *key) {
    if (node == NULL || node->kind != YAML_KIND_MAP) return NULL;
    for (const YamlNode *child = sim_yaml_first(tree, node); child != NULL;
         child = sim_yaml_next(tree, child)) {
        if (strcmp(child->key, key) == 0) return child;
    }
    return NULL;
}

const char *sim_yaml_kind_word(YamlKind kind) {
    static const char *const words[] = {"a text", "a list", "a map"};
    return words[kind];
}
