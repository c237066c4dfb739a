/* Shards of a cohort put together: the tables read, checked against each other, ordered and summed up. */
#include "sim/cohort.h"

#include "sim/cohort_parts.h"
#include "sim/rehearse.h"
#include "sim/textfile.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FILE_MAX_BYTES = 1 << 28, FIELDS = COHORT_COLUMNS + (int)REHEARSE_FACT_COUNT, FIELD_MAX = 96 };

static const double LOW_SHARE = 0.05, HIGH_SHARE = 0.95;

/* Copies field `index` of a row into field[FIELD_MAX]; false if there is none, or it is quoted or too long:
   this program writes no such row. */
static bool field_of(const char *row, int index, char *field) {
    for (; index > 0; index--) {
        row = strchr(row, ',');
        if (row == NULL) return false;
        row++;
    }
    size_t length = strcspn(row, ",");
    if (length >= FIELD_MAX || (length > 0 && row[0] == '"')) return false;
    memcpy(field, row, length);
    field[length] = '\0';
    return true;
}

static bool whole_number(const char *row, int index, long *value) {
    char field[FIELD_MAX], *end;
    if (!field_of(row, index, field) || field[0] == '\0') return false;
    errno = 0;
    *value = strtol(field, &end, 10);
    return *end == '\0' && errno == 0 && *value >= 0;
}

static int count_fields(const char *row) {
    int fields = 1;
    for (; *row != '\0'; row++)
        fields += *row == ',';
    return fields;
}

static ErrorCode refuse(Error *error, const char *path, int line, const char *what) {
    ErrorCode code = model_error_set(error, ERROR_FORMAT, "%s", what);
    model_error_at(error, path, line, 0);
    model_error_allow(error, "a table written by `evenkeel cohort --csv`");
    return code;
}

/* Takes a row over; the text stays the caller's. */
static ErrorCode take_row(CohortTable *table, size_t *room, char *row, const char *path, int line,
                          Error *error) {
    long number, nights;
    char build[FIELD_MAX], cohort[FIELD_MAX], whole[sizeof table->whole];
    if (count_fields(row) != FIELDS || !whole_number(row, COHORT_NIGHT, &number) ||
        !whole_number(row, COHORT_NIGHTS, &nights) || number >= nights ||
        !field_of(row, COHORT_BUILD, build) || !field_of(row, COHORT_COHORT, cohort))
        return refuse(error, path, line, "this is no night of a cohort");
    if ((size_t)snprintf(whole, sizeof whole, "%s of build %s", cohort, build) >= sizeof whole)
        return refuse(error, path, line, "this is no night of a cohort");
    if (table->count == 0) {
        memcpy(table->whole, whole, sizeof whole);
        table->nights = nights;
    }
    if (strcmp(whole, table->whole) != 0 || nights != table->nights) {
        ErrorCode code = model_error_set(error, ERROR_NOT_ALLOWED, "this is cohort %s, the others are %s",
                                         whole, table->whole);
        model_error_at(error, path, line, 0);
        model_error_allow(error, "shards of one cohort, played by one build");
        return code;
    }
    if ((size_t)table->count == *room) {
        size_t more = *room > 0 ? 2 * *room : 1024;
        char **rows = realloc(table->row, more * sizeof *rows);
        if (rows != NULL) table->row = rows;
        long *numbers = rows != NULL ? realloc(table->number, more * sizeof *numbers) : NULL;
        if (numbers == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the table");
        table->number = numbers;
        *room = more;
    }
    table->row[table->count] = strdup(row);
    if (table->row[table->count] == NULL)
        return model_error_set(error, ERROR_MEMORY, "no memory for the table");
    table->number[table->count++] = number;
    return ERROR_OK;
}

static ErrorCode read_table(const char *path, CohortTable *table, size_t *room, Error *error) {
    char *text;
    size_t length;
    ErrorCode code = sim_textfile_read(path, FILE_MAX_BYTES, &text, &length, error);
    if (code != ERROR_OK) return code;
    int line = 0;
    if (length == 0)
        code = refuse(error, path, 0, "the file is empty");
    else if (text[length - 1] != '\n')
        code = refuse(error, path, 0, "the file is cut off");
    for (char *at = text, *end; code == ERROR_OK && (end = strchr(at, '\n')) != NULL; at = end + 1) {
        *end = '\0';
        line++;
        if (line > 1) {
            code = take_row(table, room, at, path, line, error);
        } else if (count_fields(at) != FIELDS || strncmp(at, "night,nights,build,cohort,", 26) != 0 ||
                   (table->head != NULL && strcmp(table->head, at) != 0)) {
            code = refuse(error, path, line, "these are not the columns of a cohort");
        } else if (table->head == NULL && (table->head = strdup(at)) == NULL) {
            code = model_error_set(error, ERROR_MEMORY, "no memory for the table");
        }
    }
    free(text);
    return code;
}

typedef struct Place {
    long number;
    char *row;
} Place;

static int by_number(const void *a, const void *b) {
    long x = ((const Place *)a)->number, y = ((const Place *)b)->number;
    return (x > y) - (x < y);
}

static ErrorCode put_in_order(CohortTable *table, Error *error) {
    Place *place = calloc((size_t)table->count + 1, sizeof *place);
    if (place == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the table");
    for (int i = 0; i < table->count; i++)
        place[i] = (Place){table->number[i], table->row[i]};
    qsort(place, (size_t)table->count, sizeof *place, by_number);
    for (int i = 0; i < table->count; i++) {
        table->number[i] = place[i].number;
        table->row[i] = place[i].row;
    }
    free(place);
    return ERROR_OK;
}

/* Every night once. */
static ErrorCode check_whole(const CohortTable *table, Error *error) {
    long first = -1, missing = table->nights - table->count;
    for (int i = 1; i < table->count; i++) {
        if (table->number[i] != table->number[i - 1]) continue;
        ErrorCode code =
            model_error_set(error, ERROR_NOT_ALLOWED, "night %ld is there twice", table->number[i]);
        model_error_allow(error, "every shard once");
        return code;
    }
    if (missing == 0) return ERROR_OK;
    for (int i = 0; first < 0; i++)
        if (i == table->count || table->number[i] != i) first = i;
    ErrorCode code =
        model_error_set(error, ERROR_NOT_ALLOWED, "%ld of %ld nights are missing, the first is %ld", missing,
                        table->nights, first);
    model_error_allow(error, "all shards; with N shards, night K is in shard K modulo N plus 1");
    return code;
}

ErrorCode sim_cohort_merge(const char *const paths[], size_t count, CohortTable *table, Error *error) {
    size_t room = 0;
    *table = (CohortTable){0};
    ErrorCode code = ERROR_OK;
    for (size_t i = 0; code == ERROR_OK && i < count; i++)
        code = read_table(paths[i], table, &room, error);
    if (code == ERROR_OK && table->count == 0)
        code = refuse(error, count > 0 ? paths[0] : "--merge", 0, "there is no night in it");
    if (code == ERROR_OK) code = put_in_order(table, error);
    if (code == ERROR_OK) code = check_whole(table, error);
    return code;
}

void sim_cohort_write(const CohortTable *table, FILE *out) {
    fprintf(out, "%s\n", table->head);
    for (int i = 0; i < table->count; i++)
        fprintf(out, "%s\n", table->row[i]);
}

void sim_cohort_table_free(CohortTable *table) {
    for (int i = 0; i < table->count; i++)
        free(table->row[i]);
    free(table->row);
    free(table->number);
    free(table->head);
    *table = (CohortTable){0};
}

/* ---- the summary ---- */

static bool same_course(const char *row, const char *other) {
    char a[FIELD_MAX], b[FIELD_MAX];
    for (int column = COHORT_CASE; column <= COHORT_COURSE; column++) {
        if (!field_of(row, column, a) || !field_of(other, column, b) || strcmp(a, b) != 0) return false;
    }
    return true;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* "9 (7-12)" of a fact over the rows [from, to): 50th, 5th and 95th percentile, and in how many it happened
   if not in all. */
static void range_of(const CohortTable *table, int from, int to, RehearseFact fact, double *value, char *text,
                     size_t size) {
    const RehearseFactRow *row = sim_rehearse_fact_row(fact);
    double unit_s = strcmp(row->unit, "time") == 0 ? 60.0 : 1.0;
    int count = 0;
    for (int i = from; i < to; i++) {
        char field[FIELD_MAX];
        if (field_of(table->row[i], COHORT_COLUMNS + (int)fact, field) && field[0] != '\0')
            value[count++] = strtod(field, NULL) / unit_s;
    }
    if (count == 0) {
        snprintf(text, size, "-");
        return;
    }
    qsort(value, (size_t)count, sizeof *value, by_size);
    int used = snprintf(text, size, "%.*f (%.*f-%.*f)", row->decimals, value[count / 2], row->decimals,
                        value[lround(LOW_SHARE * (count - 1))], row->decimals,
                        value[lround(HIGH_SHARE * (count - 1))]);
    if (count < to - from) snprintf(text + used, size - (size_t)used, " in %d", count);
}

static void print_course(const CohortTable *table, int from, int to, double *value, FILE *out) {
    char case_id[FIELD_MAX], course[FIELD_MAX], word[FIELD_MAX], text[FIELD_MAX];
    (void)field_of(table->row[from], COHORT_CASE, case_id);
    (void)field_of(table->row[from], COHORT_COURSE, course);
    fprintf(out, "\n%s, %s: %d patients:", case_id, course, to - from);
    const char *const ends[] = {"good", "mixed", "harm", "death", "none", "not playable"};
    for (size_t k = 0; k < sizeof ends / sizeof ends[0]; k++) {
        int count = 0;
        for (int i = from; i < to; i++)
            count += field_of(table->row[i], COHORT_OUTCOME, word) && strcmp(word, ends[k]) == 0;
        if (count > 0) fprintf(out, " %s %d", ends[k], count);
    }
    fprintf(out, "\n");
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        const RehearseFactRow *row = sim_rehearse_fact_row((RehearseFact)k);
        if (strcmp(row->label, "at") == 0) continue; /* time of the fact above */
        range_of(table, from, to, (RehearseFact)k, value, text, sizeof text);
        fprintf(out, "  %-26s %s %s\n", row->label, text, strcmp(row->unit, "time") == 0 ? "min" : row->unit);
    }
}

ErrorCode sim_cohort_summarise(const CohortTable *table, FILE *out, Error *error) {
    double *value = calloc((size_t)table->count + 1, sizeof *value);
    if (value == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the summary");
    fprintf(out, "cohort %s: %d nights; middle (5th to 95th percentile)\n", table->whole, table->count);
    for (int from = 0, to; from < table->count; from = to) {
        for (to = from + 1; to < table->count && same_course(table->row[from], table->row[to]);)
            to++;
        print_course(table, from, to, value, out);
    }
    free(value);
    return ERROR_OK;
}
