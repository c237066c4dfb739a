/* A cohort in parts is the cohort in one, whatever the threads; tables that do not belong together are
 * refused. */
#include "sim/cohort.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATIENTS = 3, SHARDS = 3, FILES = SHARDS + 1 };

static const char SHORT_CASE[] =
    "evenkeel_case: 1\n"
    "id: %s\n"
    "title: A short night\n"
    "theme: testing\n"
    "level: 1\n"
    "length: 2min\n"
    "seed: 3\n"
    "summary: Two minutes.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [MAP]}\n"
    "patient: {base: supported_axial, settle: 10s}\n"
    "targets: {art_mean_mmhg: [65, 85]}\n"
    "timeline:\n"
    "  - {id: dry, at: 30s, do: [{set: {bleed_drain_ml_h: 900}}]}\n"
    "plans:\n"
    "  - {id: fills, rank: good, text: Fluid., steps: [40s crystalloid 250mL over 1min]}\n"
    "endings: [{id: over, at_length: yes, outcome: mixed, text: Over.}]\n";

static Case *cases[2];
static char folder[64], path[FILES][96];
static Error error;

static Case *short_case(const char *id) {
    static ErrorList errors;
    char text[2048];
    int length = snprintf(text, sizeof text, SHORT_CASE, id);
    Case *made = sim_case_parse(text, (size_t)length, id, &errors);
    ck_assert_msg(made != NULL, "%s line %d", errors.items[0].what, errors.items[0].line);
    return made;
}

static void begin(void) {
    cases[0] = short_case("one");
    cases[1] = short_case("two");
    strcpy(folder, "/tmp/evenkeel_cohort_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    for (int i = 0; i < FILES; i++)
        snprintf(path[i], sizeof path[i], "%s/%d.csv", folder, i);
}

static void end(void) {
    for (int i = 0; i < FILES; i++)
        unlink(path[i]);
    rmdir(folder);
    for (int i = 0; i < 2; i++)
        sim_case_free(cases[i]);
}

static Cohort cohort_of(int shard, int shards, int threads) {
    return (Cohort){.cases = (const Case *const *)cases,
                    .case_count = 2,
                    .patients = PATIENTS,
                    .plans = true,
                    .seed = 7,
                    .shard = shard,
                    .shards = shards,
                    .threads = threads};
}

static void play(const Cohort *cohort, const char *to) {
    FILE *out = fopen(to, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_msg(sim_cohort_play(cohort, out, &error) == ERROR_OK, "%s", error.what);
    ck_assert_int_eq(fclose(out), 0);
}

static char *text_of(const char *from) {
    FILE *in = fopen(from, "r");
    ck_assert_ptr_nonnull(in);
    char *text = calloc(1, 1 << 16);
    ck_assert_ptr_nonnull(text);
    (void)!fread(text, 1, (1 << 16) - 1, in);
    fclose(in);
    return text;
}

static void write_text(const char *to, const char *text) {
    FILE *out = fopen(to, "w");
    ck_assert_ptr_nonnull(out);
    fputs(text, out);
    ck_assert_int_eq(fclose(out), 0);
}

static char *merged(const char *const paths[], size_t count) {
    char *text = NULL;
    size_t size = 0;
    CohortTable table;
    ck_assert_msg(sim_cohort_merge(paths, count, &table, &error) == ERROR_OK, "%s", error.what);
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    sim_cohort_write(&table, out);
    ck_assert_int_eq(fclose(out), 0);
    sim_cohort_table_free(&table);
    return text;
}

static void refused(const char *const paths[], size_t count, const char *why) {
    CohortTable table;
    ck_assert_int_ne(sim_cohort_merge(paths, count, &table, &error), ERROR_OK);
    ck_assert_msg(strstr(error.what, why) != NULL, "said: %s", error.what);
    sim_cohort_table_free(&table);
}

START_TEST(cohort_shards_are_the_whole) {
    const Cohort whole = cohort_of(1, 1, 2);
    ck_assert_int_eq(sim_cohort_nights(&whole), 2 * 2 * PATIENTS);
    play(&whole, path[SHARDS]);
    for (int i = 0; i < SHARDS; i++) {
        const Cohort part = cohort_of(i + 1, SHARDS, 1);
        play(&part, path[i]);
    }
    const char *const shuffled[] = {path[2], path[0], path[1]};
    char *one = text_of(path[SHARDS]), *parts = merged(shuffled, SHARDS);
    ck_assert_str_eq(one, parts);
    const char *row = strstr(one, "\n5,");
    ck_assert_ptr_nonnull(row);
    ck_assert_ptr_nonnull(strstr(row, ",one,fills,good,2,mixed,"));
    free(one);
    free(parts);
}
END_TEST

START_TEST(cohort_more_shards_than_nights_leaves_some_empty) {
    const Cohort part = cohort_of(40, 40, 1);
    play(&part, path[0]);
    char *text = text_of(path[0]);
    ck_assert_ptr_eq(strchr(text, '\n') + 1, text + strlen(text));
    free(text);
}
END_TEST

START_TEST(cohort_merge_refuses_what_does_not_belong_together) {
    for (int i = 0; i < SHARDS; i++) {
        const Cohort part = cohort_of(i + 1, SHARDS, 2);
        play(&part, path[i]);
    }
    Cohort other = cohort_of(1, SHARDS, 1);
    other.seed = 8;
    play(&other, path[SHARDS]);
    const char *const missing[] = {path[0], path[2]};
    refused(missing, 2, "4 of 12 nights are missing, the first is 1");
    const char *const twice[] = {path[0], path[1], path[2], path[1]};
    refused(twice, 4, "night 1 is there twice");
    const char *const foreign[] = {path[SHARDS], path[1], path[2]};
    refused(foreign, 3, "the others are");

    char *good = text_of(path[0]);
    char *last = strrchr(good, ',');
    *last = '\0';
    write_text(path[1], good);
    const char *const cut[] = {path[1]};
    refused(cut, 1, "cut off");
    strcpy(last, "\n");
    write_text(path[1], good);
    refused(cut, 1, "no night of a cohort");
    good[0] = 'N';
    write_text(path[1], good);
    refused(cut, 1, "not the columns");
    write_text(path[1], "");
    refused(cut, 1, "empty");
    const char *const folder_too[] = {folder};
    CohortTable table;
    ck_assert_int_eq(sim_cohort_merge(folder_too, 1, &table, &error), ERROR_FILE_READ);
    sim_cohort_table_free(&table);
    free(good);
}
END_TEST

START_TEST(cohort_summary_counts_every_night) {
    const Cohort whole = cohort_of(1, 1, 2);
    play(&whole, path[0]);
    const char *const one[] = {path[0]};
    CohortTable table;
    ck_assert_int_eq(sim_cohort_merge(one, 1, &table, &error), ERROR_OK);
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_int_eq(sim_cohort_summarise(&table, out, &error), ERROR_OK);
    fclose(out);
    ck_assert_ptr_nonnull(strstr(text, "one, untouched: 3 patients: mixed 3"));
    ck_assert_ptr_nonnull(strstr(text, "two, fills: 3 patients: mixed 3"));
    ck_assert_ptr_nonnull(strstr(text, "lowest MAP"));
    free(text);
    sim_cohort_table_free(&table);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("cohort");
    TCase *tests = tcase_create("cohort");
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, cohort_shards_are_the_whole);
    tcase_add_test(tests, cohort_more_shards_than_nights_leaves_some_empty);
    tcase_add_test(tests, cohort_merge_refuses_what_does_not_belong_together);
    tcase_add_test(tests, cohort_summary_counts_every_night);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
