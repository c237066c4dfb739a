/* Reading text files. */
#include "sim/textfile.h"

#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

static char path[512];

static void write_file(const char *bytes, size_t length) {
    const char *folder = getenv("TMPDIR");
    snprintf(path, sizeof path, "%s/evenkeel-textfile-%ld", folder != NULL ? folder : ".", (long)getpid());
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
    fclose(file);
}

START_TEST(textfile_whole_file_is_read) {
    char *text;
    size_t length;
    Error error;
    write_file("one\ntwo\n", 8);
    ck_assert_int_eq(sim_textfile_read(path, 8, &text, &length, &error), ERROR_OK);
    ck_assert_uint_eq(length, 8);
    ck_assert_str_eq(text, "one\ntwo\n");
    free(text);
    unlink(path);
}
END_TEST

START_TEST(textfile_one_byte_too_long_is_refused) {
    char *text;
    size_t length;
    Error error;
    write_file("one\ntwo\n", 8);
    ck_assert_int_eq(sim_textfile_read(path, 7, &text, &length, &error), ERROR_FILE_READ);
    ck_assert_ptr_null(text);
    ck_assert_str_eq(error.where, path);
    ck_assert_str_ne(error.allowed, "");
    unlink(path);
}
END_TEST

START_TEST(textfile_zero_byte_is_refused) {
    char *text;
    size_t length;
    Error error;
    write_file("a\0b", 3);
    ck_assert_int_eq(sim_textfile_read(path, 100, &text, &length, &error), ERROR_FORMAT);
    unlink(path);
}
END_TEST

START_TEST(textfile_missing_or_folder_is_refused_with_its_name) {
    char *text;
    size_t length;
    Error error;
    ck_assert_int_eq(sim_textfile_read("/nowhere/at/all", 100, &text, &length, &error), ERROR_FILE_READ);
    ck_assert_str_eq(error.where, "/nowhere/at/all");
    ck_assert_int_eq(sim_textfile_read(EVENKEEL_SOURCE_DIR, 100, &text, &length, &error), ERROR_FILE_READ);
    ck_assert_ptr_null(text);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("textfile");
    TCase *c = tcase_create("textfile");
    tcase_add_test(c, textfile_whole_file_is_read);
    tcase_add_test(c, textfile_one_byte_too_long_is_refused);
    tcase_add_test(c, textfile_zero_byte_is_refused);
    tcase_add_test(c, textfile_missing_or_folder_is_refused_with_its_name);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
