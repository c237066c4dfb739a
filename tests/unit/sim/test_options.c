/* Options: values, ranges, nearest names, and everything a person can mistype. */
#include "sim/options.h"
#include "tests/support/check_main.h"

#include <string.h>

enum { ORDER, UNTIL, SEED, RPM, CSV, DISPLAY, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [ORDER] = {"order", "'TIME ORDER'", OPTION_LIST, 0, 0, false, "an order"},
    [UNTIL] = {"until", "DUR", OPTION_DURATION, 1, 86400, false, "end"},
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 1e15, false, "seed"},
    [RPM] = {"from", "RPM", OPTION_NUMBER, 0, 15000, false, "speed"},
    [CSV] = {"csv", "FILE", OPTION_TEXT, 0, 0, false, "table"},
    [DISPLAY] = {"display", NULL, OPTION_FLAG, 0, 0, false, "shown values"},
};

static OptionValue values[ROWS];
static const char *operands[2];
static size_t operand_count;
static Error error;

static ErrorCode parse(int argc, const char **argv) {
    OptionTable table = {ROW_TABLE, ROWS};
    model_error_clear(&error);
    return sim_options_parse(table, argc, (char **)argv, values, operands, 2, &operand_count, &error);
}

#define PARSE(...)                                                                                           \
    parse((int)(sizeof((const char *[]){__VA_ARGS__}) / sizeof(char *)), (const char *[]){__VA_ARGS__})

START_TEST(options_all_kinds_are_read) {
    ck_assert_int_eq(PARSE("case.yaml", "--until", "20min", "--seed=7", "--from", "8600.5", "--csv", "-",
                           "--display", "--order", "1h a", "--order", "2h b"),
                     ERROR_OK);
    ck_assert_uint_eq(operand_count, 1);
    ck_assert_str_eq(operands[0], "case.yaml");
    ck_assert_double_eq_tol(values[UNTIL].number, 1200.0, 1e-9);
    ck_assert_double_eq_tol(values[SEED].number, 7.0, 1e-9);
    ck_assert_double_eq_tol(values[RPM].number, 8600.5, 1e-9);
    ck_assert_str_eq(values[CSV].text, "-");
    ck_assert(values[DISPLAY].given);
    ck_assert_uint_eq(values[ORDER].count, 2);
    ck_assert_str_eq(values[ORDER].list[1], "2h b");
}
END_TEST

START_TEST(options_not_given_are_marked) {
    ck_assert_int_eq(PARSE("a", "b"), ERROR_OK);
    ck_assert_uint_eq(operand_count, 2);
    for (int i = 0; i < ROWS; i++)
        ck_assert(!values[i].given);
}
END_TEST

START_TEST(options_after_double_dash_are_operands) {
    ck_assert_int_eq(PARSE("--", "--until"), ERROR_OK);
    ck_assert_str_eq(operands[0], "--until");
}
END_TEST

START_TEST(options_unknown_gets_nearest_name) {
    ck_assert_int_eq(PARSE("--untill", "2h"), ERROR_USAGE);
    ck_assert_str_eq(error.where, "--untill");
    ck_assert_str_eq(error.allowed, "nearest is --until");
    ck_assert_int_eq(PARSE("--zzzzzzzzz"), ERROR_USAGE);
    ck_assert_ptr_nonnull(strstr(error.allowed, "--help"));
    ck_assert_int_eq(PARSE("-u"), ERROR_USAGE);
}
END_TEST

START_TEST(options_wrong_values_name_the_range) {
    ck_assert_int_eq(PARSE("--from", "20000"), ERROR_RANGE);
    ck_assert_str_eq(error.where, "--from");
    ck_assert_ptr_nonnull(strstr(error.allowed, "15000"));
    ck_assert_int_eq(PARSE("--from", "9e"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--from", "nan"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--from", "1e999"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--from", "0x10"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--seed", "1.5"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--seed", "-1"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--until", "20"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--until", "20 parsecs"), ERROR_RANGE);
    ck_assert_int_eq(PARSE("--until", "48h"), ERROR_RANGE);
    ck_assert_ptr_nonnull(strstr(error.allowed, "20min"));
}
END_TEST

START_TEST(options_misuse_is_refused) {
    ck_assert_int_eq(PARSE("--until"), ERROR_USAGE);
    ck_assert_int_eq(PARSE("--until", "--display"), ERROR_USAGE);
    ck_assert_int_eq(PARSE("--csv="), ERROR_USAGE);
    ck_assert_int_eq(PARSE("--display=yes"), ERROR_USAGE);
    ck_assert_int_eq(PARSE("--display", "--display"), ERROR_USAGE);
    ck_assert_int_eq(PARSE("a", "b", "c"), ERROR_USAGE);
    ck_assert_str_eq(error.where, "c");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/options");
    TCase *c = tcase_create("options");
    tcase_add_test(c, options_all_kinds_are_read);
    tcase_add_test(c, options_not_given_are_marked);
    tcase_add_test(c, options_after_double_dash_are_operands);
    tcase_add_test(c, options_unknown_gets_nearest_name);
    tcase_add_test(c, options_wrong_values_name_the_range);
    tcase_add_test(c, options_misuse_is_refused);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
