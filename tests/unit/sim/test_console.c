/* What is said on standard error: one printable line, whatever bytes come in. */
#include "sim/console.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* What `say` prints on standard error. */
static const char *said(const char *text) {
    static char line[2048];
    FILE *file = tmpfile();
    ck_assert_ptr_nonnull(file);
    fflush(stderr);
    int before = dup(STDERR_FILENO);
    ck_assert_int_ne(dup2(fileno(file), STDERR_FILENO), -1);
    sim_console_say("%s", text);
    fflush(stderr);
    ck_assert_int_ne(dup2(before, STDERR_FILENO), -1);
    close(before);
    rewind(file);
    size_t length = fread(line, 1, sizeof line - 1, file);
    line[length] = '\0';
    fclose(file);
    return line;
}

START_TEST(console_text_is_said_as_it_is) {
    ck_assert_str_eq(said("plain"), "evenkeel: plain\n");
    ck_assert_str_eq(said("M\xc3\xa4rz \xe2\x82\xac"), "evenkeel: M\xc3\xa4rz \xe2\x82\xac\n");
}
END_TEST

START_TEST(console_other_bytes_become_question_marks) {
    ck_assert_str_eq(said("a\nb\tc"), "evenkeel: a b c\n");
    ck_assert_str_eq(said("\x1b[31m"), "evenkeel: ?[31m\n");
    ck_assert_str_eq(said("\xc2\x9b"
                          "31m"),
                     "evenkeel: ??31m\n");
    ck_assert_str_eq(said("\xff\xfe"), "evenkeel: ??\n");
    ck_assert_str_eq(said("cut \xe2\x82"), "evenkeel: cut ??\n");
}
END_TEST

START_TEST(console_long_text_is_cut_to_one_line) {
    char text[4096];
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    const char *line = said(text);
    ck_assert_uint_lt(strlen(line), 1100);
    ck_assert_ptr_eq(strchr(line, '\n'), line + strlen(line) - 1);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/console");
    TCase *c = tcase_create("console");
    tcase_add_test(c, console_text_is_said_as_it_is);
    tcase_add_test(c, console_other_bytes_become_question_marks);
    tcase_add_test(c, console_long_text_is_cut_to_one_line);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
