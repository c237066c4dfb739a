/* The YAML subset: what is read, and what is refused with its place. */
#include "sim/yaml.h"

#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>

static YamlTree *parse(const char *text, Error *error) {
    return sim_yaml_parse(text, strlen(text), "test.yaml", error);
}

START_TEST(yaml_maps_lists_and_texts_are_read_with_places) {
    Error error;
    YamlTree *tree = parse("a: 1\nb:\n  - x\n  - \"y z\"\nc: {d: 2, e: [3, 4]}\n", &error);
    ck_assert_ptr_nonnull(tree);
    const YamlNode *root = sim_yaml_root(tree);
    ck_assert_int_eq(root->kind, YAML_KIND_MAP);
    ck_assert_int_eq(root->count, 3);
    const YamlNode *b = sim_yaml_get(tree, root, "b");
    ck_assert_int_eq(b->kind, YAML_KIND_LIST);
    const YamlNode *y = sim_yaml_next(tree, sim_yaml_first(tree, b));
    ck_assert_str_eq(y->text, "y z");
    ck_assert(y->quoted);
    ck_assert_int_eq(y->line, 4);
    ck_assert_int_eq(y->column, 5);
    const YamlNode *e = sim_yaml_get(tree, sim_yaml_get(tree, root, "c"), "e");
    ck_assert_int_eq(e->count, 2);
    ck_assert_int_eq(e->key_line, 5);
    ck_assert_int_eq(e->key_column, 11);
    ck_assert_ptr_null(sim_yaml_get(tree, root, "missing"));
    ck_assert_ptr_null(sim_yaml_next(tree, e));
    sim_yaml_free(tree);
}
END_TEST

START_TEST(yaml_many_nodes_keep_their_links) {
    enum { COUNT = 3000 };
    char *text = malloc(COUNT * 8);
    ck_assert_ptr_nonnull(text);
    size_t used = 0;
    for (int i = 0; i < COUNT; i++) {
        used += (size_t)sprintf(text + used, "- %d\n", i);
    }
    Error error;
    YamlTree *tree = sim_yaml_parse(text, used, "test.yaml", &error);
    ck_assert_ptr_nonnull(tree);
    int i = 0;
    for (const YamlNode *n = sim_yaml_first(tree, sim_yaml_root(tree)); n != NULL;
         n = sim_yaml_next(tree, n)) {
        ck_assert_int_eq(atoi(n->text), i++);
    }
    ck_assert_int_eq(i, COUNT);
    sim_yaml_free(tree);
    free(text);
}
END_TEST

static const struct {
    const char *text;
    ErrorCode code;
    int line;
    const char *what; /* part of the message */
} REFUSALS[] = {
    {"", ERROR_FORMAT, 1, "empty"},
    {"# only a comment\n", ERROR_FORMAT, 1, "empty"},
    {"a: &x 1\nb: *x\n", ERROR_FORMAT, 1, "anchors"},
    {"a: 1\nb: *x\n", ERROR_FORMAT, 2, "aliases"},
    {"a: &x {b: 1}\n", ERROR_FORMAT, 1, "anchors"},
    {"a: !!int 1\n", ERROR_FORMAT, 1, "tags"},
    {"a: !!map {}\n", ERROR_FORMAT, 1, "tags"},
    {"a: 1\nb: 2\na: 3\n", ERROR_FORMAT, 3, "twice"},
    {"a: 1\n---\nb: 2\n", ERROR_FORMAT, 2, "second"},
    {"? [a]\n: 1\n", ERROR_FORMAT, 1, "key"},
    {"a: [1, 2\nb: 3\n", ERROR_SYNTAX, 2, "YAML"},
    {"a: 1\n\tb: 2\n", ERROR_SYNTAX, 2, "YAML"},
    {"a: \"x\n", ERROR_SYNTAX, 2, "YAML"},
    {"a: \x01\n", ERROR_SYNTAX, 1, "UTF-8"},
    {"a: b\nc: \xff\xfe\n", ERROR_SYNTAX, 2, "UTF-8"},
    {"a: \"\\0\"\n", ERROR_FORMAT, 1, "control"},
    {"a: b\n\"\\e[2J\": c\n", ERROR_FORMAT, 2, "control"},
    {"a: \"\\x9b31m\"\n", ERROR_FORMAT, 1, "control"},
    {"a: \"\xc2\x9b\"\n", ERROR_SYNTAX, 1, "UTF-8"},
};

START_TEST(yaml_what_is_not_used_is_refused_with_its_line) {
    Error error;
    YamlTree *tree = parse(REFUSALS[_i].text, &error);
    ck_assert_ptr_null(tree);
    ck_assert_int_eq(error.code, REFUSALS[_i].code);
    ck_assert_str_eq(error.where, "test.yaml");
    ck_assert_msg(strstr(error.what, REFUSALS[_i].what) != NULL, "%s", error.what);
    if (REFUSALS[_i].line > 0) ck_assert_int_eq(error.line, REFUSALS[_i].line);
}
END_TEST

START_TEST(yaml_deep_nesting_is_refused_quickly) {
    enum { LENGTH = 100000 };
    char *text = malloc(LENGTH);
    ck_assert_ptr_nonnull(text);
    memset(text, '[', LENGTH);
    Error error;
    ck_assert_ptr_null(sim_yaml_parse(text, LENGTH, "test.yaml", &error));
    ck_assert_int_eq(error.code, ERROR_FORMAT);
    ck_assert_ptr_nonnull(strstr(error.what, "deep"));
    free(text);
}
END_TEST

START_TEST(yaml_too_long_text_is_refused) {
    char *text = malloc(YAML_BYTES_MAX + 10);
    ck_assert_ptr_nonnull(text);
    memset(text, 'a', YAML_BYTES_MAX + 10);
    Error error;
    ck_assert_ptr_null(sim_yaml_parse(text, YAML_BYTES_MAX + 1, "test.yaml", &error));
    ck_assert_ptr_nonnull(strstr(error.what, "too long"));
    ck_assert_ptr_null(sim_yaml_parse(text, YAML_TEXT_MAX + 1, "test.yaml", &error));
    ck_assert_ptr_nonnull(strstr(error.what, "too long"));
    free(text);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("yaml");
    TCase *c = tcase_create("yaml");
    tcase_add_test(c, yaml_maps_lists_and_texts_are_read_with_places);
    tcase_add_test(c, yaml_many_nodes_keep_their_links);
    tcase_add_loop_test(c, yaml_what_is_not_used_is_refused_with_its_line, 0,
                        (int)(sizeof REFUSALS / sizeof REFUSALS[0]));
    tcase_add_test(c, yaml_deep_nesting_is_refused_quickly);
    tcase_add_test(c, yaml_too_long_text_is_refused);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
