/* Compares a text with one kept in tests/golden/data. Set EVENKEEL_UPDATE_GOLDEN=1 to write it anew; set
   EVENKEEL_GOLDEN_OUT to a folder to get what was made where it differs. */
#ifndef TESTS_SUPPORT_GOLDEN_TEXT_H
#define TESTS_SUPPORT_GOLDEN_TEXT_H

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static inline void golden_text_write(const char *path, const char *text) {
    FILE *out = fopen(path, "w");
    ck_assert_msg(out != NULL, "cannot write %s", path);
    ck_assert_int_ge(fputs(text, out), 0);
    ck_assert_int_eq(fclose(out), 0);
}

/* Number of the first line that differs. */
static inline int golden_text_line(const char *a, const char *b) {
    int line = 1;
    for (; *a != '\0' && *a == *b; a++, b++)
        line += *a == '\n';
    return line;
}

/* Fails the running test if `text` differs from tests/golden/data/`name`. */
static inline void golden_text_check(const char *text, const char *name) {
    char path[512];
    snprintf(path, sizeof path, EVENKEEL_SOURCE_DIR "/tests/golden/data/%s", name);
    const char *update = getenv("EVENKEEL_UPDATE_GOLDEN"), *folder = getenv("EVENKEEL_GOLDEN_OUT");
    if (update != NULL && update[0] == '1') {
        golden_text_write(path, text);
        return;
    }
    FILE *in = fopen(path, "r");
    ck_assert_msg(in != NULL, "no text %s", path);
    ck_assert_int_eq(fseek(in, 0, SEEK_END), 0);
    long size = ftell(in);
    rewind(in);
    char *wanted = calloc((size_t)size + 1, 1);
    ck_assert_ptr_nonnull(wanted);
    size_t got = fread(wanted, 1, (size_t)size, in);
    fclose(in);
    ck_assert_uint_eq(got, (size_t)size);
    bool same = strcmp(text, wanted) == 0;
    int line = golden_text_line(text, wanted);
    free(wanted);
    if (!same && folder != NULL) {
        snprintf(path, sizeof path, "%s/%s", folder, name);
        golden_text_write(path, text);
    }
    ck_assert_msg(same, "%s differs from line %d on", name, line);
}

#endif
