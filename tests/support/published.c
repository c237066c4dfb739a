/* The table of published checks: collecting rows, and keeping tests/published/README.md true. */
#include "tests/support/published.h"

#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { ROWS_MAX = 256, LINE_BYTES = 1536, README_BYTES = 1 << 20, CELLS = 7 };

static const char README_PATH[] = EVENKEEL_SOURCE_DIR "/tests/published/README.md";
static const char TABLE_HEAD[] = "| id | check | measured | band | tag | source | verdict |\n"
                                 "| --- | --- | --- | --- | --- | --- | --- |\n";
/* cells that must agree with the README; measured values and wording of sources may move */
static const bool COMPARED[CELLS] = {true, true, false, true, true, false, true};

static struct {
    const char *id, *statement, *tag, *source;
    char lines[ROWS_MAX][LINE_BYTES];
    int count, failed;
} table;

static char readme[README_BYTES];

void published_begin(const char *id, const char *statement, const char *tag, const char *source) {
    table.id = id;
    table.statement = statement;
    table.tag = tag;
    table.source = source;
}

static bool binding(const char *tag) {
    return tag[0] == 'S' || tag[0] == 'D' || strcmp(tag, "C") == 0;
}

static void band_text(char *text, size_t size, double low, double high) {
    if (isinf(low)) {
        snprintf(text, size, "<= %.4g", high);
    } else if (isinf(high)) {
        snprintf(text, size, ">= %.4g", low);
    } else {
        snprintf(text, size, "%.4g to %.4g", low, high);
    }
}

static void add_row(const char *quantity, double measured, double low, double high, const char *reason) {
    char band[64], verdict[LINE_BYTES / 2];
    ck_assert_msg(table.id != NULL && table.count < ROWS_MAX, "published_begin first, %d rows at most",
                  ROWS_MAX);
    band_text(band, sizeof band, low, high);
    if (measured >= low && measured <= high) {
        snprintf(verdict, sizeof verdict, "pass");
    } else if (!binding(table.tag)) {
        snprintf(verdict, sizeof verdict, "warn%s%s", reason ? ": " : "", reason ? reason : "");
    } else if (reason != NULL) {
        snprintf(verdict, sizeof verdict, "**known**: %s", reason);
    } else {
        snprintf(verdict, sizeof verdict, "**FAIL**");
        table.failed++;
    }
    char *line = table.lines[table.count++];
    const int length = snprintf(line, LINE_BYTES, "| %s | %s: %s | %.3g | %s | %s | %s | %s |\n", table.id,
                                table.statement, quantity, measured, band, table.tag, table.source, verdict);
    ck_assert_msg(length < LINE_BYTES, "%s: the row is too long", table.id);
    fputs(line, stdout);
}

void published_between(const char *quantity, double measured, double low, double high) {
    add_row(quantity, measured, low, high, NULL);
}

void published_known(const char *quantity, double measured, double low, double high, const char *reason) {
    add_row(quantity, measured, low, high, reason);
}

/* Name of the test without folder and ending. */
static void stem_of(const char *file, char stem[128]) {
    const char *slash = strrchr(file, '/');
    snprintf(stem, 128, "%s", slash ? slash + 1 : file);
    char *dot = strrchr(stem, '.');
    if (dot) *dot = '\0';
}

static void read_readme(FILE *file) {
    readme[fread(readme, 1, sizeof readme - 1, file)] = '\0';
}

/* Start of the part headed "## <stem>", NULL if there is none; *end is where the next part begins. */
static char *find_part(const char *stem, char **end) {
    char heading[160];
    snprintf(heading, sizeof heading, "\n## %s\n", stem);
    char *start = strstr(readme, heading);
    if (!start) return NULL;
    start++;
    *end = strstr(start, "\n## ");
    *end = *end ? *end + 1 : readme + strlen(readme);
    return start;
}

/* Where a new part goes: parts stand in the order of their names. */
static char *place_for(const char *stem) {
    char *at = readme;
    while ((at = strstr(at, "\n## ")) != NULL) {
        char name[128];
        at++;
        snprintf(name, sizeof name, "%.*s", (int)strcspn(at + 3, "\n"), at + 3);
        if (strncmp(name, "test_", 5) == 0 && strcmp(name, stem) > 0) return at;
    }
    return readme + strlen(readme);
}

/* Returns the number of failures. */
static int rewrite_part(FILE *file, const char *stem) {
    char *end = NULL;
    char *start = find_part(stem, &end);
    if (!start) start = end = place_for(stem);
    rewind(file);
    if (ftruncate(fileno(file), 0) != 0) return 1;
    const bool gap = start - readme >= 2 && strncmp(start - 2, "\n\n", 2) != 0;
    fprintf(file, "%.*s%s## %s\n\n%s", (int)(start - readme), readme, gap ? "\n" : "", stem, TABLE_HEAD);
    for (int i = 0; i < table.count; i++)
        fputs(table.lines[i], file);
    fprintf(file, "%s%s", *end ? "\n" : "", end);
    return 0;
}

/* Cell `number` of a table line. Of the verdict only the word before the reason counts. */
static void cell_of(const char *line, int number, char cell[LINE_BYTES]) {
    for (int i = 0; i <= number && line; i++) {
        line = strchr(line, '|');
        if (line) line++;
    }
    snprintf(cell, LINE_BYTES, "%.*s", line ? (int)strcspn(line, "|\n") : 0, line ? line : "");
    if (number == CELLS - 1) cell[strcspn(cell, ":")] = '\0';
    for (size_t length = strlen(cell); length > 0 && cell[length - 1] == ' '; length--)
        cell[length - 1] = '\0';
}

static bool same_row(const char *kept, const char *now) {
    for (int i = 0; i < CELLS; i++) {
        char was[LINE_BYTES], is[LINE_BYTES];
        cell_of(kept, i, was);
        cell_of(now, i, is);
        if (COMPARED[i] && strcmp(was, is) != 0) return false;
    }
    return true;
}

/* The next line of the table behind `at` that is a row, before `end`; NULL if there is none. */
static const char *next_row(const char *at, const char *end) {
    while (at != NULL && (at = strstr(at, "\n| ")) != NULL && at < end) {
        at++;
        if (strncmp(at, "| id ", 5) != 0 && strncmp(at, "| ---", 5) != 0) return at;
    }
    return NULL;
}

/* Number of rows whose story differs from the README. */
static int compare_part(const char *stem) {
    char *end = NULL;
    const char *at = find_part(stem, &end);
    int differing = 0;
    for (int i = 0; i < table.count; i++) {
        at = next_row(at, end);
        if (at && same_row(at, table.lines[i])) continue;
        printf("differs from tests/published/README.md: %s", table.lines[i]);
        differing++;
    }
    for (; (at = next_row(at, end)) != NULL; differing++)
        printf("in tests/published/README.md only: %.*s\n", (int)strcspn(at, "\n"), at);
    if (differing > 0) printf("EVENKEEL_UPDATE_GOLDEN=1 rewrites this part\n");
    return differing;
}

int published_finish(const char *file) {
    char stem[128];
    stem_of(file, stem);
    FILE *text = fopen(README_PATH, "r+");
    if (!text) {
        printf("tests/published/README.md cannot be opened\n");
        return 1;
    }
    /* several programs may run at once: one at a time in the README */
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    (void)fcntl(fileno(text), F_SETLKW, &whole);
    read_readme(text);
    const bool rewrite = getenv("EVENKEEL_UPDATE_GOLDEN") != NULL;
    const int differing = rewrite ? rewrite_part(text, stem) : compare_part(stem);
    fclose(text);
    return table.failed > 0 || differing > 0;
}
