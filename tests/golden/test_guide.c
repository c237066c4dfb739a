/* The guide to writing cases: every snippet is run. The pieces of YAML are put together into one file in the
   order of the page (a piece takes the place of the key it begins with, or after <!-- add --> adds to it) and
   the file must pass inspection after each; commands are run as they stand; lines of acts become steps of a
   plan. */
#include "tests/support/check_main.h"
#include "tests/support/command.h"

#include <stdbool.h>

enum { GUIDE_MAX = 1 << 17, CASE_MAX = 1 << 16, PIECES_MAX = 64 };

typedef struct Piece {
    char kind[16]; /* yaml, sh, text */
    bool adds;
    int line;
    const char *text; /* in the guide */
    size_t length;
} Piece;

static char guide[GUIDE_MAX];
static Piece pieces[PIECES_MAX];
static int piece_count;
static char whole[CASE_MAX]; /* the case so far */

/* Finds the fenced blocks of the page. */
static void read_guide(void) {
    static const char ADD[] = "<!-- add -->\n";
    FILE *file = fopen(EVENKEEL_SOURCE_DIR "/scenarios/README.md", "r");
    ck_assert_ptr_nonnull(file);
    guide[fread(guide, 1, GUIDE_MAX - 1, file)] = '\0';
    fclose(file);
    int line = 1;
    bool adds = false;
    piece_count = 0;
    for (const char *at = guide; *at != '\0'; at += strcspn(at, "\n") + 1, line++) {
        if (strncmp(at, ADD, strlen(ADD)) == 0) adds = true;
        if (strncmp(at, "```", 3) != 0) continue;
        const char *start = at + strcspn(at, "\n") + 1, *end = strstr(start, "\n```");
        ck_assert_msg(end != NULL && piece_count < PIECES_MAX, "line %d", line);
        Piece *piece = &pieces[piece_count++];
        *piece = (Piece){.adds = adds, .line = line, .text = start, .length = (size_t)(end - start) + 1};
        snprintf(piece->kind, sizeof piece->kind, "%.*s", (int)strcspn(at + 3, "\n"), at + 3);
        for (const char *c = at; c < end + 1; c++)
            line += *c == '\n';
        at = end + 1;
        adds = false;
    }
}

/* Length of a line with its end. */
static size_t line_length(const char *text) {
    size_t length = strcspn(text, "\n");
    return length + (text[length] == '\n');
}

/* True for a line that begins a key of the top. */
static bool begins_key(const char *line) {
    return (*line >= 'a' && *line <= 'z') || *line == '_';
}

/* Length of a key at the top with everything that belongs to it. */
static size_t part_length(const char *text) {
    size_t length = line_length(text);
    while (text[length] != '\0' && !begins_key(text + length))
        length += line_length(text + length);
    return length;
}

/* Where a key of the top stands in the case; NULL if it does not. */
static char *find_key(const char *part) {
    size_t name = strcspn(part, ":") + 1;
    for (char *at = whole; *at != '\0'; at += line_length(at))
        if (strncmp(at, part, name) == 0) return at;
    return NULL;
}

/* Puts `text`[length] at `at`, in the place of what is `old` long. */
static void put_at(char *at, size_t old, const char *text, size_t length) {
    size_t rest = strlen(at + old) + 1;
    ck_assert_uint_lt((size_t)(at - whole) + length + rest, CASE_MAX);
    memmove(at + length, at + old, rest);
    memcpy(at, text, length);
}

static void take_yaml(const Piece *piece) {
    static char text[CASE_MAX];
    ck_assert_uint_lt(piece->length, CASE_MAX);
    snprintf(text, sizeof text, "%.*s", (int)piece->length, piece->text);
    for (const char *part = text; *part != '\0'; part += part_length(part)) {
        size_t length = part_length(part);
        char *key = find_key(part);
        if (key == NULL)
            put_at(whole + strlen(whole), 0, part, length);
        else if (piece->adds)
            put_at(key + part_length(key), 0, part + line_length(part), length - line_length(part));
        else
            put_at(key, part_length(key), part, length);
    }
}

static void write_case(const char *name, const char *text) {
    char path[160];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

static void inspect(const char *name, int line) {
    char command[160];
    snprintf(command, sizeof command, "inspect $F/%s", name);
    run(command);
    ck_assert_msg(program.status == 0, "guide, line %d: %s", line, program.err);
}

/* Runs each command in the test's folder; those that only print come back with status 0. */
static void run_commands(const Piece *piece) {
    for (const char *line = piece->text; line < piece->text + piece->length; line += line_length(line)) {
        static const char NAME[] = "evenkeel ";
        char command[512];
        size_t length = strcspn(line, "\n");
        ck_assert_msg(strncmp(line, NAME, strlen(NAME)) == 0, "guide, line %d: %.40s", piece->line, line);
        snprintf(command, sizeof command, "%.*s", (int)(length - strlen(NAME)), line + strlen(NAME));
        char *name = strstr(command, "my-first-case.yaml");
        char typed[600];
        ck_assert_msg(name != NULL, "guide, line %d: no case in: %s", piece->line, command);
        snprintf(typed, sizeof typed, "%.*s$F/%s", (int)(name - command), command, name);
        run(typed);
        ck_assert_msg(program.status == 0, "guide, line %d: %s: %s", piece->line, command, program.err);
    }
}

/* Commands that take minutes: there is no case of their name here, so that they come as far as to look for
   it, which a slip in their options would not. A remark may follow. */
static void read_commands(const Piece *piece) {
    for (const char *line = piece->text; line < piece->text + piece->length; line += line_length(line)) {
        static const char NAME[] = "evenkeel ";
        char command[512];
        ck_assert_msg(strncmp(line, NAME, strlen(NAME)) == 0, "guide, line %d: %.40s", piece->line, line);
        const char *start = line + strlen(NAME);
        snprintf(command, sizeof command, "%.*s", (int)strcspn(start, "#\n"), start);
        run(command);
        ck_assert_msg(program.status == 1 && strstr(program.err, "my-case") != NULL, "guide, line %d: %s: %s",
                      piece->line, command, program.err);
    }
}

/* Lines of acts, as the steps of one more plan. */
static void check_acts(const Piece *piece) {
    static char text[CASE_MAX];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", whole);
    char *plans = strstr(text, "\nplans:\n");
    ck_assert_ptr_nonnull(plans);
    char rest[CASE_MAX / 4];
    char *at = plans + strlen("\nplans:\n");
    ck_assert_uint_lt(used, sizeof text - sizeof rest);
    size_t put =
        (size_t)snprintf(rest, sizeof rest, "  - id: acts\n    rank: good\n    text: Acts.\n    steps:\n");
    for (const char *line = piece->text; line < piece->text + piece->length; line += line_length(line))
        put += (size_t)snprintf(rest + put, sizeof rest - put, "      - \"%.*s\"\n", (int)strcspn(line, "\n"),
                                line);
    ck_assert_uint_lt(put, sizeof rest);
    memmove(at + put, at, strlen(at) + 1);
    memcpy(at, rest, put);
    write_case("acts.yaml", text);
    inspect("acts.yaml", piece->line);
}

START_TEST(guide_every_snippet_runs) {
    int kinds[3] = {0};
    make_folder();
    read_guide();
    whole[0] = '\0';
    for (int i = 0; i < piece_count; i++) {
        const Piece *piece = &pieces[i];
        if (strcmp(piece->kind, "yaml") == 0) {
            take_yaml(piece);
            write_case("my-first-case.yaml", whole);
            inspect("my-first-case.yaml", piece->line);
            kinds[0]++;
        } else if (strcmp(piece->kind, "sh") == 0) {
            run_commands(piece);
            kinds[1]++;
        } else if (strcmp(piece->kind, "console") == 0) {
            read_commands(piece);
        } else {
            ck_assert_msg(strcmp(piece->kind, "text") == 0, "guide, line %d: a block of \"%s\"", piece->line,
                          piece->kind);
            check_acts(piece);
            kinds[2]++;
        }
    }
    ck_assert_int_ge(kinds[0], 9);
    ck_assert_int_ge(kinds[1], 6);
    ck_assert_int_ge(kinds[2], 2);
    remove_folder();
}
END_TEST

/* The way the pieces are put together has to notice a slip in one of them. */
START_TEST(guide_slip_in_a_snippet_is_found) {
    make_folder();
    read_guide();
    whole[0] = '\0';
    for (int i = 0; i < piece_count; i++) {
        if (strcmp(pieces[i].kind, "yaml") != 0) continue;
        take_yaml(&pieces[i]);
    }
    char *slip = strstr(whole, "bleed_drain_ml_h");
    ck_assert_ptr_nonnull(slip);
    memcpy(slip, "blood", strlen("blood"));
    write_case("my-first-case.yaml", whole);
    run("inspect $F/my-first-case.yaml");
    ck_assert_int_eq(program.status, 1);
    ck_assert_ptr_nonnull(strstr(program.err, "nearest is bleed_drain_ml_h"));
    remove_folder();
}
END_TEST

/* What the lesson promises of its own case. */
START_TEST(guide_plans_of_the_lesson_rank_as_it_says) {
    static const char *const plans[] = {"ties-it", "fills-first", "squeezes"};
    double percent[3];
    make_folder();
    read_guide();
    whole[0] = '\0';
    for (int i = 0; i < piece_count && strstr(whole, "\nteaching:") == NULL; i++)
        if (strcmp(pieces[i].kind, "yaml") == 0) take_yaml(&pieces[i]);
    write_case("my-first-case.yaml", whole);
    run("inspect --strict $F/my-first-case.yaml");
    ck_assert_msg(program.status == 0, "%s", program.err);
    for (int i = 0; i < 3; i++) {
        char command[160];
        snprintf(command, sizeof command, "run $F/my-first-case.yaml --plan %s", plans[i]);
        run(command);
        ck_assert_int_eq(program.status, 0);
        const char *at = strstr(program.out, " of 100, ");
        ck_assert_msg(at != NULL, "%s", program.out);
        percent[i] = strtod(at + strlen(" of 100, "), NULL);
    }
    ck_assert_msg(percent[0] > percent[1] + 10 && percent[1] > percent[2] + 5, "%g, %g, %g", percent[0],
                  percent[1], percent[2]);
    remove_folder();
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("guide");
    TCase *c = tcase_create("guide");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, guide_every_snippet_runs);
    tcase_add_test(c, guide_slip_in_a_snippet_is_found);
    tcase_add_test(c, guide_plans_of_the_lesson_rank_as_it_says);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
