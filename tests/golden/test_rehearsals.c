/* Every case in scenarios/, rehearsed: the untouched course and every example plan against a table kept here,
   and the ranking that the plans promise. A new case is found by itself; its table is written with
   EVENKEEL_UPDATE_GOLDEN=1. Tables are kept to what a reader would call the same course: times to some
   minutes, values to what is spoken of. Both checks are in one program because the courses are the same ones,
   and cost minutes. */
#include "sim/casefolder.h"
#include "sim/rehearse.h"

#include "tests/support/check_main.h"
#include "tests/support/program.h"

#include <math.h>
#include <stdio.h>

enum { TEXT_ROOM = 1 << 16, LINE_ROOM = 512, CELLS = 7, DIFFERENCES_SHOWN = 30 };

/* By fact; a time that depends on when a slow line crosses a limit is looser than a value. */
static const struct {
    const char *fact;
    double most;
} TOLERANCES[] = {
    {"onset", 60},        {"alarm", 240},         {"number", 300},   {"picture", 300},
    {"map_least", 2},     {"map_least_at", 900},  {"cvp_most", 1.5}, {"cvp_most_at", 900},
    {"flow_least", 0.25}, {"flow_least_at", 900}, {"suction", 6},    {"lactate_most", 0.5},
    {"objectives", 0},    {"score", 6},           {"end", 240},
};

static char folder[64];
static Program program;
static Error error;
static ErrorList errors; /* static: large */

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_rehearsals_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void remove_folder(void) {
    ck_assert_int_eq(rmdir(folder), 0);
}

/* ---- tables ---- */

/* Splits at commas in place; none of these cells has one. */
static int split(char *line, char *cells[CELLS]) {
    int count = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; at != NULL && count < CELLS;) {
        cells[count++] = at;
        at = strchr(at, ',');
        if (at != NULL) *at++ = '\0';
    }
    return count;
}

static double tolerance_for(const char *fact) {
    for (size_t i = 0; i < sizeof TOLERANCES / sizeof TOLERANCES[0]; i++)
        if (strcmp(fact, TOLERANCES[i].fact) == 0) return TOLERANCES[i].most;
    ck_abort_msg("fact %s has no tolerance", fact);
    return 0.0;
}

/* The row of a course and fact in a table; false if there is none. */
static bool find_row(const char *table, const char *course, const char *fact, char line[LINE_ROOM],
                     char *cells[CELLS]) {
    for (const char *at = table; *at != '\0'; at += strcspn(at, "\n"), at += *at == '\n') {
        size_t length = strcspn(at, "\n");
        if (length >= LINE_ROOM) continue;
        memcpy(line, at, length);
        line[length] = '\0';
        if (split(line, cells) == CELLS && strcmp(cells[0], course) == 0 && strcmp(cells[3], fact) == 0)
            return true;
    }
    return false;
}

static int differences;

static void differs(const char *stem, const char *course, const char *fact, const char *was, const char *is) {
    if (differences++ < DIFFERENCES_SHOWN)
        printf("%s: %s, %s is %s, was %s\n", stem, course, fact, is[0] ? is : "none", was[0] ? was : "none");
}

static void compare(const char *stem, const char *kept, const char *now) {
    char kept_line[LINE_ROOM], now_line[LINE_ROOM], *was[CELLS], *is[CELLS];
    int rows = 0;
    for (const char *at = kept; *at != '\0'; at += strcspn(at, "\n"), at += *at == '\n') {
        size_t length = strcspn(at, "\n");
        ck_assert_uint_lt(length, LINE_ROOM);
        memcpy(kept_line, at, length);
        kept_line[length] = '\0';
        if (at == kept || split(kept_line, was) != CELLS) continue; /* the head */
        rows++;
        if (!find_row(now, was[0], was[3], now_line, is)) {
            differs(stem, was[0], was[3], was[4], "not in the table");
            continue;
        }
        bool same = (was[4][0] == '\0') == (is[4][0] == '\0') &&
                    fabs(strtod(was[4], NULL) - strtod(is[4], NULL)) <= tolerance_for(was[3]);
        if (!same) differs(stem, was[0], was[3], was[4], is[4]);
        /* how it ends is one of four words */
        if (strcmp(was[3], "end") == 0 && strcmp(was[6], is[6]) != 0)
            differs(stem, was[0], "ending", was[6], is[6]);
    }
    ck_assert_msg(rows > 0, "%s: the kept table is empty", stem);
    for (const char *at = now; *at != '\0'; at += strcspn(at, "\n"), at += *at == '\n') {
        size_t length = strcspn(at, "\n");
        memcpy(now_line, at, length);
        now_line[length] = '\0';
        if (at == now || split(now_line, is) != CELLS || strcmp(is[3], "end") != 0) continue;
        if (!find_row(kept, is[0], is[3], kept_line, was)) differs(stem, is[0], "course", "not kept", "new");
    }
}

static void check_table(const char *stem, const char *now) {
    static char kept[TEXT_ROOM];
    char path[1024];
    snprintf(path, sizeof path, "%s/tests/golden/data/rehearsals/%s.csv", EVENKEEL_SOURCE_DIR, stem);
    bool update = getenv("EVENKEEL_UPDATE_GOLDEN") != NULL;
    FILE *file = fopen(path, update ? "w" : "r");
    ck_assert_msg(file != NULL, "%s: no kept table; EVENKEEL_UPDATE_GOLDEN=1 writes it", stem);
    if (update) {
        fputs(now, file);
    } else {
        size_t length = fread(kept, 1, sizeof kept - 1, file);
        kept[length] = '\0';
    }
    fclose(file);
    if (!update) compare(stem, kept, now);
}

/* ---- ranking ---- */

static int unranked;

/* Every good plan beats every late one, and every late one every wrong one. */
static void check_ranking(const char *stem, const Rehearsal *r) {
    int plans[CASE_RANK_COUNT] = {0};
    for (int i = 1; i < r->course_count; i++) {
        const RehearseCourse *better = &r->course[i];
        plans[better->rank]++;
        if (better->refused > 0) {
            printf("%s: plan %s, %d refused: %s\n", stem, better->name, better->refused, better->refusal);
            unranked++;
        }
        for (int k = 1; k < r->course_count; k++) {
            const RehearseCourse *worse = &r->course[k];
            if (better->rank >= worse->rank || better->facts.score > worse->facts.score) continue;
            printf("%s: %s (%s) has %.1f points, %s (%s) %.1f\n", stem, better->name,
                   sim_case_rank_word(better->rank), better->facts.score, worse->name,
                   sim_case_rank_word(worse->rank), worse->facts.score);
            unranked++;
        }
    }
    for (int rank = 0; rank < CASE_RANK_COUNT; rank++) {
        if (plans[rank] > 0) continue;
        printf("%s: no %s plan\n", stem, sim_case_rank_word((CaseRank)rank));
        unranked++;
    }
}

/* ---- all cases ---- */

static void rehearse_case(const char *name) {
    char path[1024], stem[CASEFOLDER_NAME_MAX], *text = NULL;
    size_t size = 0;
    snprintf(stem, sizeof stem, "%.*s", (int)(strlen(name) - strlen(".yaml")), name);
    const char *only = getenv("EVENKEEL_ONLY_CASE"); /* while one case is being written */
    if (only != NULL && strcmp(only, stem) != 0) return;
    snprintf(path, sizeof path, "%s/scenarios/%s", EVENKEEL_SOURCE_DIR, name);
    Case *night = sim_case_load(path, &errors);
    ck_assert_msg(night != NULL, "%s: %s", stem, errors.items[0].what);
    const RehearseOptions options = {.session = sim_session_options_none(), .threads = sim_crew_threads()};
    Rehearsal *r = sim_rehearse_begin(night, &options, &error);
    ck_assert_msg(r != NULL, "%s: %s", stem, error.what);
    ck_assert_msg(sim_rehearse_courses(r, &error) == ERROR_OK, "%s: %s", stem, error.what);
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    sim_rehearse_write_csv(r, out);
    fclose(out);
    check_table(stem, text);
    check_ranking(stem, r);
    free(text);
    sim_rehearse_free(r);
    sim_case_free(night);
}

/* EVENKEEL_REHEARSE=I/N: only part I of N of the cases, because all of them take minutes (see ./check). */
static bool is_wanted(int number) {
    int part = 1, parts = 1;
    const char *text = getenv("EVENKEEL_REHEARSE");
    if (text == NULL) return true;
    ck_assert_msg(sscanf(text, "%d/%d", &part, &parts) == 2 && part >= 1 && part <= parts,
                  "EVENKEEL_REHEARSE=%s is no part, for example 1/2", text);
    return number % parts == part - 1;
}

START_TEST(rehearsals_keep_their_tables_and_rank_their_plans) {
    static CaseFolder cases;
    ck_assert_int_eq(sim_casefolder_find(&cases, &error), ERROR_OK);
    ck_assert_int_ge(cases.count, 1);
    differences = unranked = 0;
    for (int i = 0; i < cases.count; i++)
        if (is_wanted(i)) rehearse_case(cases.names[i]);
    ck_assert_msg(differences == 0 && unranked == 0, "%d values differ, %d rankings do not hold", differences,
                  unranked);
}
END_TEST

/* ---- the command ---- */

static void refuses(const char *arguments, int status, const char *says) {
    program_run(&program, folder, arguments);
    ck_assert_msg(program.status == status, "%s: status %d, %s", arguments, program.status, program.err);
    ck_assert_msg(strstr(program.err, says) != NULL, "%s: says %s", arguments, program.err);
    ck_assert_int_eq(program_lines(program.err), 1);
}

START_TEST(rehearse_with_bad_input_says_what_is_allowed) {
    refuses("rehearse speed-titraton", 1, "speed-titration");
    refuses("rehearse", 2, "CASE");
    refuses("rehearse speed-titration --patients 100000", 1, "200");
    refuses("rehearse speed-titration --patients -1", 1, "0");
    refuses("rehearse speed-titration --alike 2", 1, "4 to");
    refuses("rehearse speed-titration --threads 0", 1, "1");
    refuses("rehearse speed-titration --paitents 3", 2, "--patients");
    refuses("rehearse speed-titration --csv - --html -", 2, "--html");
    refuses("rehearse scenarios/speed-titration.yaml --html scenarios/speed-titration.yaml", 2, "--html");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("golden/rehearsals");
    TCase *command = tcase_create("command"), *cases = tcase_create("cases");
    tcase_add_checked_fixture(command, make_folder, remove_folder);
    tcase_add_test(command, rehearse_with_bad_input_says_what_is_allowed);
    suite_add_tcase(s, command);
    tcase_set_timeout(cases, 3600);
    tcase_add_test(cases, rehearsals_keep_their_tables_and_rank_their_plans);
    suite_add_tcase(s, cases);
    return s;
}

CHECK_MAIN(suite)
