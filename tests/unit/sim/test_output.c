/* Files appear under their name only when complete, and what cannot be written is said with place and reason.
 */
#include "sim/output.h"
#include "tests/support/check_main.h"

#include <dirent.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[64];

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_output_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static int count_files(void) {
    int found = 0;
    DIR *dir = opendir(folder);
    for (struct dirent *entry = readdir(dir); entry != NULL; entry = readdir(dir))
        found += entry->d_name[0] != '.';
    closedir(dir);
    return found;
}

static void path_in(char *path, const char *name) {
    snprintf(path, OUTPUT_PATH_MAX, "%s/%s", folder, name);
}

START_TEST(output_close_gives_the_file_its_name) {
    char path[OUTPUT_PATH_MAX];
    path_in(path, "a.csv");
    Output output;
    Error error;
    ck_assert_int_eq(sim_output_open(&output, path, &error), ERROR_OK);
    fputs("hello\n", output.file);
    ck_assert_int_ne(access(path, F_OK), 0);
    ck_assert_int_eq(sim_output_close(&output, &error), ERROR_OK);
    ck_assert_int_eq(access(path, F_OK), 0);
    ck_assert_int_eq(count_files(), 1);
}
END_TEST

START_TEST(output_drop_leaves_what_stood_there) {
    char path[OUTPUT_PATH_MAX], text[16] = "";
    path_in(path, "a.csv");
    FILE *before = fopen(path, "w");
    fputs("before", before);
    fclose(before);
    Output output;
    Error error;
    ck_assert_int_eq(sim_output_open(&output, path, &error), ERROR_OK);
    fputs("half", output.file);
    sim_output_drop(&output);
    FILE *after = fopen(path, "r");
    ck_assert_ptr_nonnull(fgets(text, sizeof text, after));
    fclose(after);
    ck_assert_str_eq(text, "before");
    ck_assert_int_eq(count_files(), 1);
}
END_TEST

START_TEST(output_open_in_missing_folder_names_it) {
    char path[OUTPUT_PATH_MAX];
    path_in(path, "none/a.csv");
    Output output;
    Error error;
    ck_assert_int_eq(sim_output_open(&output, path, &error), ERROR_FILE_WRITE);
    ck_assert_str_eq(error.where, path);
    ck_assert_ptr_nonnull(strstr(error.what, "No such file"));
    sim_output_drop(&output);
    ck_assert_int_eq(sim_output_close(&output, &error), ERROR_OK);
}
END_TEST

START_TEST(output_open_of_a_folder_is_refused) {
    Output output;
    Error error;
    ck_assert_int_eq(sim_output_open(&output, folder, &error), ERROR_FILE_WRITE);
    ck_assert_ptr_nonnull(strstr(error.what, "directory"));
}
END_TEST

START_TEST(output_close_on_a_full_device_is_an_error) {
    if (access("/dev/full", W_OK) != 0) return; /* only Linux has it */
    Output output;
    Error error;
    ck_assert_int_eq(sim_output_open(&output, "/dev/full", &error), ERROR_OK);
    fputs("lost", output.file);
    ck_assert_int_eq(sim_output_close(&output, &error), ERROR_FILE_WRITE);
    ck_assert_ptr_nonnull(strstr(error.what, "No space"));
    ck_assert_int_eq(access("/dev/full", F_OK), 0);
}
END_TEST

START_TEST(output_make_folder_makes_all_above_it) {
    char path[OUTPUT_PATH_MAX];
    Error error;
    path_in(path, "x/y/z");
    ck_assert_int_eq(sim_output_make_folder(path, &error), ERROR_OK);
    ck_assert_int_eq(sim_output_make_folder(path, &error), ERROR_OK);
    struct stat status;
    ck_assert_int_eq(stat(path, &status), 0);
    ck_assert(S_ISDIR(status.st_mode));
    char file[OUTPUT_PATH_MAX];
    path_in(file, "plain");
    fclose(fopen(file, "w"));
    ck_assert_int_eq(sim_output_make_folder(file, &error), ERROR_FILE_WRITE);
    path_in(path, "plain/below");
    ck_assert_int_eq(sim_output_make_folder(path, &error), ERROR_FILE_WRITE);
    ck_assert_str_eq(error.where, path);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/output");
    TCase *c = tcase_create("output");
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, output_close_gives_the_file_its_name);
    tcase_add_test(c, output_drop_leaves_what_stood_there);
    tcase_add_test(c, output_open_in_missing_folder_names_it);
    tcase_add_test(c, output_open_of_a_folder_is_refused);
    tcase_add_test(c, output_close_on_a_full_device_is_an_error);
    tcase_add_test(c, output_make_folder_makes_all_above_it);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
