/* Tables: quoting after RFC 4180 section 2 (rules 5 to 7), numbers independent of the locale. */
#include "sim/csv.h"
#include "tests/support/check_main.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static char written[4096];

static const char *read_back(FILE *file) {
    rewind(file);
    size_t length = fread(written, 1, sizeof written - 1, file);
    written[length] = '\0';
    fclose(file);
    return written;
}

START_TEST(csv_text_with_comma_quote_or_line_end_is_quoted) {
    FILE *file = tmpfile();
    CsvWriter csv = sim_csv_begin(file);
    sim_csv_text(&csv, "plain");
    sim_csv_text(&csv, "a,b");
    sim_csv_text(&csv, "say \"no\"");
    sim_csv_text(&csv, "two\nlines");
    sim_csv_text(&csv, "");
    sim_csv_end_row(&csv);
    sim_csv_text(&csv, "next");
    sim_csv_end_row(&csv);
    ck_assert_str_eq(read_back(file), "plain,\"a,b\",\"say \"\"no\"\"\",\"two\nlines\",\nnext\n");
}
END_TEST

START_TEST(csv_quantity_has_decimals_of_its_unit) {
    FILE *file = tmpfile();
    CsvWriter csv = sim_csv_begin(file);
    sim_csv_quantity(&csv, 72.34567, "mmHg");
    sim_csv_quantity(&csv, 4.56789, "L/min");
    sim_csv_quantity(&csv, 0.65432109, "fraction");
    sim_csv_quantity(&csv, 9.87654321, "furlong");
    sim_csv_end_row(&csv);
    ck_assert_str_eq(read_back(file), "72.35,4.568,0.6543,9.8765\n");
}
END_TEST

START_TEST(csv_quantity_not_finite_is_empty) {
    FILE *file = tmpfile();
    CsvWriter csv = sim_csv_begin(file);
    sim_csv_quantity(&csv, NAN, "mmHg");
    sim_csv_quantity(&csv, INFINITY, "mmHg");
    sim_csv_number(&csv, -INFINITY);
    sim_csv_quantity(&csv, 1.0, "mmHg");
    sim_csv_end_row(&csv);
    ck_assert_str_eq(read_back(file), ",,,1.00\n");
}
END_TEST

START_TEST(csv_format_of_a_negative_rounding_to_zero_has_no_sign) {
    char text[32];
    sim_csv_format(text, sizeof text, -0.0004, 2);
    ck_assert_str_eq(text, "0.00");
    sim_csv_format(text, sizeof text, -0.006, 2);
    ck_assert_str_eq(text, "-0.01");
}
END_TEST

START_TEST(csv_number_is_short_and_exact) {
    FILE *file = tmpfile();
    CsvWriter csv = sim_csv_begin(file);
    sim_csv_number(&csv, 0.1);
    sim_csv_number(&csv, 9400.0);
    sim_csv_number(&csv, 1e-7);
    sim_csv_end_row(&csv);
    ck_assert_str_eq(read_back(file), "0.1,9400,1e-07\n");
}
END_TEST

START_TEST(csv_every_locale_writes_a_point) {
    const char *const locales[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "ps_AF.UTF-8", "C.UTF-8"};
    for (size_t i = 0; i < sizeof locales / sizeof locales[0]; i++) {
        if (setlocale(LC_ALL, locales[i]) == NULL) continue; /* not installed here; C.UTF-8 always is */
        char text[32];
        sim_csv_format(text, sizeof text, 3.25, 2);
        ck_assert_str_eq(text, "3.25");
    }
    setlocale(LC_ALL, "C");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/csv");
    TCase *c = tcase_create("csv");
    tcase_add_test(c, csv_text_with_comma_quote_or_line_end_is_quoted);
    tcase_add_test(c, csv_quantity_has_decimals_of_its_unit);
    tcase_add_test(c, csv_quantity_not_finite_is_empty);
    tcase_add_test(c, csv_format_of_a_negative_rounding_to_zero_has_no_sign);
    tcase_add_test(c, csv_number_is_short_and_exact);
    tcase_add_test(c, csv_every_locale_writes_a_point);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
