/* The JSON Schema of the case language: whole, and with every key of the table. What it accepts is tested by
   a validator of others, see tests/schema. */
#include "sim/case_jsonschema.h"

#include "sim/case.h"
#include "tests/support/check_main.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

static char *text;
static size_t size;

static void setup(void) {
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    sim_case_jsonschema_write(out);
    ck_assert_int_eq(fclose(out), 0);
}

static void teardown(void) {
    free(text);
}

START_TEST(case_jsonschema_brackets_and_quotes_close) {
    char open[64];
    int depth = 0;
    bool quoted = false;
    for (const char *c = text; *c != '\0'; c++) {
        if (quoted && *c == '\\') {
            c++;
        } else if (*c == '"') {
            quoted = !quoted;
        } else if (!quoted && (*c == '{' || *c == '[')) {
            ck_assert_int_lt(depth, 64);
            open[depth++] = *c;
        } else if (!quoted && (*c == '}' || *c == ']')) {
            ck_assert_int_gt(depth, 0);
            ck_assert_int_eq(open[--depth], *c == '}' ? '{' : '[');
        }
        ck_assert_int_ne(*c == '\n' && quoted, 1);
    }
    ck_assert_int_eq(depth, 0);
    ck_assert(!quoted);
}
END_TEST

START_TEST(case_jsonschema_has_every_key) {
    for (int i = 0; i < sim_case_key_count(); i++) {
        const char *path = sim_case_key(i)->path;
        const char *dot = strrchr(path, '.');
        char member[128];
        snprintf(member, sizeof member, "\"%s\":{", dot != NULL ? dot + 1 : path);
        bool found = strstr(text, member) != NULL;
        ck_assert_msg(found, "%s", path);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("case_jsonschema");
    TCase *c = tcase_create("case_jsonschema");
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, case_jsonschema_brackets_and_quotes_close);
    tcase_add_test(c, case_jsonschema_has_every_key);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
