/* The untreated course of a few cases, an hour long, every column against a table kept here (what happens
   in all cases is kept by test_rehearsals). Numbers may differ by a tolerance per unit: what a reader of a
   chart would not call another course, and more than compilers make. After a change that is meant:
   EVENKEEL_UPDATE_GOLDEN=1, and say in the commit what moved and why. */
#include "tests/support/check_main.h"
#include "tests/support/program.h"

#include <math.h>
#include <stdbool.h>

enum { LINE_MAX_BYTES = 4096, COLUMNS_MAX = 160 };

static const char RUN_OPTIONS[] = "--until 1h --every 5min --csv -";

/* Tolerance by the end of a column's name; relative part for quantities that span decades. */
static const struct {
    const char *ending;
    double absolute, relative;
} TOLERANCES[] = {
    {"mmhg_ml", 0.02, 0.03}, {"_l_min_m2", 0.05, 0.02},
    {"_mmhg", 0.6, 0.01},    {"_ml_h", 4, 0.05},
    {"_ml_min", 6, 0.02},    {"_l_min", 0.06, 0.02},
    {"_ml", 3, 0.01},        {"_mm", 0.6, 0.01},
    {"_frac", 0.02, 0.03},   {"_per_min", 1, 0.01},
    {"_rpm", 5, 0},          {"_w", 0.1, 0.02},
    {"_wu", 0.4, 0.03},      {"_cm_s", 3, 0.03},
    {"_cmh2o", 0.5, 0.02},   {"_g_dl", 0.1, 0.01},
    {"_mmol_l", 0.1, 0.05},  {"_c", 0.1, 0},
    {"time_s", 2.6, 0},      {"", 0.1, 0.05},
};

static char folder[64];
static Program program;

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_runs_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void remove_folder(void) {
    ck_assert_int_eq(rmdir(folder), 0);
}

static bool ends_with(const char *text, const char *ending) {
    size_t length = strlen(text), tail = strlen(ending);
    return length >= tail && strcmp(text + length - tail, ending) == 0;
}

static double tolerance_for(const char *name, double value) {
    size_t i = 0;
    while (!ends_with(name, TOLERANCES[i].ending))
        i++;
    return TOLERANCES[i].absolute + TOLERANCES[i].relative * fabs(value);
}

/* Splits a line at its commas in place; the cells of these tables have no quotes. */
static int split(char *line, char *cells[COLUMNS_MAX]) {
    int count = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; count < COLUMNS_MAX;) {
        cells[count++] = at;
        at = strchr(at, ',');
        if (at == NULL) break;
        *at++ = '\0';
    }
    return count;
}

/* Copies the line at *text and moves *text behind it; false at the end. */
static bool next_line(const char **text, char line[LINE_MAX_BYTES]) {
    size_t length = strcspn(*text, "\n");
    if (**text == '\0') return false;
    ck_assert_uint_lt(length, LINE_MAX_BYTES);
    memcpy(line, *text, length);
    line[length] = '\0';
    *text += length + ((*text)[length] == '\n');
    return true;
}

/* Compares each column of the kept table with the column of that name now; further columns may have come. */
static int compare(const char *name, const char *kept, const char *now) {
    static char kept_head[LINE_MAX_BYTES], now_head[LINE_MAX_BYTES], kept_line[LINE_MAX_BYTES],
        now_line[LINE_MAX_BYTES];
    char *kept_names[COLUMNS_MAX], *now_names[COLUMNS_MAX], *kept_cells[COLUMNS_MAX], *now_cells[COLUMNS_MAX];
    int place[COLUMNS_MAX], differing = 0, row = 0;
    ck_assert(next_line(&kept, kept_head) && next_line(&now, now_head));
    int kept_count = split(kept_head, kept_names), now_count = split(now_head, now_names);
    for (int k = 0; k < kept_count; k++) {
        place[k] = 0;
        while (place[k] < now_count && strcmp(kept_names[k], now_names[place[k]]) != 0)
            place[k]++;
        ck_assert_msg(place[k] < now_count, "%s: column %s is gone", name, kept_names[k]);
    }
    while (next_line(&kept, kept_line)) {
        row++;
        ck_assert_msg(next_line(&now, now_line), "%s: the night ends after %d rows", name, row - 1);
        split(kept_line, kept_cells);
        split(now_line, now_cells);
        for (int k = 0; k < kept_count; k++) {
            const char *was = kept_cells[k], *is = now_cells[place[k]];
            double value = strtod(was, NULL);
            bool same = (was[0] == '\0') == (is[0] == '\0') &&
                        fabs(strtod(is, NULL) - value) <= tolerance_for(kept_names[k], value);
            if (!same && differing++ < 20)
                printf("%s: row %d (%s s), %s is %s, was %s\n", name, row, kept_cells[0], kept_names[k], is,
                       was);
        }
    }
    ck_assert_msg(!next_line(&now, now_line), "%s: the night goes on after %d rows", name, row);
    return differing;
}

/* A titration, a collection and a failing ventricle: what the model does at a bed. */
static const char *const CASES[] = {"speed-titration", "clot-behind-right-heart", "failing-right-ventricle"};

START_TEST(runs_keep_their_course) {
    static char kept[PROGRAM_TEXT_MAX];
    int differing = 0;
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        char arguments[1024], path[1024];
        const char *stem = CASES[i];
        snprintf(arguments, sizeof arguments, "run scenarios/%s.yaml %s", stem, RUN_OPTIONS);
        snprintf(path, sizeof path, "%s/tests/golden/data/%s.csv", EVENKEEL_SOURCE_DIR, stem);
        program_run(&program, folder, arguments);
        ck_assert_msg(program.status == 0, "%s: %s", stem, program.err);
        if (getenv("EVENKEEL_UPDATE_GOLDEN") != NULL) {
            FILE *file = fopen(path, "w");
            ck_assert_ptr_nonnull(file);
            fputs(program.out, file);
            fclose(file);
            continue;
        }
        FILE *file = fopen(path, "r");
        ck_assert_msg(file != NULL, "%s: no kept table; EVENKEEL_UPDATE_GOLDEN=1 writes it", stem);
        size_t length = fread(kept, 1, sizeof kept - 1, file);
        kept[length] = '\0';
        fclose(file);
        differing += compare(stem, kept, program.out);
    }
    ck_assert_msg(differing == 0, "%d numbers differ", differing);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("golden/runs");
    TCase *c = tcase_create("runs");
    tcase_set_timeout(c, 900);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, runs_keep_their_course);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
