/* Finding cases: the folder named by the environment, names without their ending, nearest names. */
#include "sim/casefolder.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

static char folder[64];
static CaseFolder cases;
static Error error;

static void touch(const char *name) {
    char path[128];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    fclose(fopen(path, "w"));
}

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_cases_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    touch("wet-lungs.yaml");
    touch("dry-drain.yaml");
    touch("notes.txt");
    touch(".hidden.yaml");
    touch(".yaml");
    ck_assert_int_eq(setenv("EVENKEEL_SCENARIOS", folder, 1), 0);
    model_error_clear(&error);
}

static void remove_folder(void) {
    char command[128];
    unsetenv("EVENKEEL_SCENARIOS");
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

START_TEST(casefolder_lists_case_files_in_order) {
    ck_assert_int_eq(sim_casefolder_find(&cases, &error), ERROR_OK);
    ck_assert_int_eq(cases.count, 2);
    ck_assert_str_eq(cases.names[0], "dry-drain.yaml");
    ck_assert_str_eq(cases.names[1], "wet-lungs.yaml");
}
END_TEST

START_TEST(casefolder_without_cases_is_an_error) {
    ck_assert_int_eq(setenv("EVENKEEL_SCENARIOS", "/nonexistent", 1), 0);
    ck_assert_int_eq(sim_casefolder_find(&cases, &error), ERROR_FILE_READ);
    ck_assert_str_eq(error.where, "/nonexistent");
}
END_TEST

START_TEST(casefolder_resolves_paths_and_names) {
    char path[CASEFOLDER_PATH_MAX], whole[128];
    snprintf(whole, sizeof whole, "%s/wet-lungs.yaml", folder);
    const char *const typed[] = {whole, "wet-lungs", "wet-lungs.yaml"};
    for (size_t i = 0; i < sizeof typed / sizeof typed[0]; i++) {
        ck_assert_int_eq(sim_casefolder_resolve(typed[i], path, sizeof path, &error), ERROR_OK);
        ck_assert_str_eq(path, whole);
    }
}
END_TEST

START_TEST(casefolder_missing_case_gets_the_nearest_name) {
    char path[CASEFOLDER_PATH_MAX];
    ck_assert_int_eq(sim_casefolder_resolve("wet-lugns", path, sizeof path, &error), ERROR_FILE_READ);
    ck_assert_ptr_nonnull(strstr(error.allowed, "wet-lungs"));
    ck_assert_int_eq(sim_casefolder_resolve("somewhere/dry-drian.yaml", path, sizeof path, &error),
                     ERROR_FILE_READ);
    ck_assert_ptr_nonnull(strstr(error.allowed, "dry-drain"));
    ck_assert_int_eq(sim_casefolder_resolve("../wet-lungs", path, sizeof path, &error), ERROR_FILE_READ);
    ck_assert_int_eq(sim_casefolder_resolve("", path, sizeof path, &error), ERROR_FILE_READ);
    static char longer[3000];
    memset(longer, 'a', sizeof longer - 1);
    ck_assert_int_eq(sim_casefolder_resolve(longer, path, sizeof path, &error), ERROR_FILE_READ);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/casefolder");
    TCase *c = tcase_create("casefolder");
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, casefolder_lists_case_files_in_order);
    tcase_add_test(c, casefolder_without_cases_is_an_error);
    tcase_add_test(c, casefolder_resolves_paths_and_names);
    tcase_add_test(c, casefolder_missing_case_gets_the_nearest_name);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
