/* Options of a command, read from a table: names, values, ranges, help and the nearest valid name. */
#include "sim/options.h"

#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <math.h>
#include <string.h>

enum { NAMES_MAX = 64, WHERE_MAX = 80 };

static const double WHOLE_MAX = 9007199254740992.0; /* 2^53: whole numbers a double holds exactly */

/* Index of the row with this name of `length` letters, or table.count. */
static size_t find_row(OptionTable table, const char *name, size_t length) {
    for (size_t i = 0; i < table.count; i++)
        if (strlen(table.rows[i].name) == length && strncmp(table.rows[i].name, name, length) == 0) return i;
    return table.count;
}

/* `typed` is the option with its dashes, `length` letters of it. */
static ErrorCode refuse_unknown(OptionTable table, const char *typed, size_t length, Error *error) {
    const char *names[NAMES_MAX];
    char copy[WHERE_MAX];
    size_t count = table.count < NAMES_MAX ? table.count : NAMES_MAX;
    for (size_t i = 0; i < count; i++)
        names[i] = table.rows[i].name;
    snprintf(copy, sizeof copy, "%.*s", (int)(length < WHERE_MAX ? length : WHERE_MAX - 1), typed);
    ErrorCode code = model_error_set(error, ERROR_USAGE, "unknown option");
    model_error_at(error, copy, 0, 0);
    sim_suggest_allow(error, copy + strspn(copy, "-"), names, count, "--",
                      "see --help for the options of this command");
    return code;
}

static ErrorCode refuse(const OptionRow *row, ErrorCode code, const char *what, const char *allowed,
                        Error *error) {
    char where[WHERE_MAX];
    model_error_set(error, code, "%s", what);
    snprintf(where, sizeof where, "--%s", row->name);
    model_error_at(error, where, 0, 0);
    if (allowed != NULL) model_error_allow(error, "%s", allowed);
    return code;
}

static ErrorCode refuse_range(const OptionRow *row, const char *typed, Error *error) {
    char what[ERROR_WHAT_MAX / 2], allowed[ERROR_ALLOWED_MAX / 2];
    snprintf(what, sizeof what, "'%.60s' is not accepted", typed);
    if (row->kind == OPTION_DURATION) {
        char low[DURATION_TEXT_MAX], high[DURATION_TEXT_MAX];
        sim_duration_format(row->low, low, sizeof low);
        sim_duration_format(row->high, high, sizeof high);
        snprintf(allowed, sizeof allowed, "a duration such as 90s, 20min or 6h, from %s to %s", low, high);
    } else
        snprintf(allowed, sizeof allowed, "a %s from %.16g to %.16g",
                 row->kind == OPTION_WHOLE ? "whole number" : "number", row->low, row->high);
    return refuse(row, ERROR_RANGE, what, allowed, error);
}

/* Takes one value for a row that has one. */
static ErrorCode take_value(const OptionRow *row, const char *text, OptionValue *value, Error *error) {
    value->text = text;
    if (text[0] == '\0') return refuse(row, ERROR_USAGE, "the value is empty", NULL, error);
    switch (row->kind) {
    case OPTION_FLAG:
    case OPTION_TEXT:
        return ERROR_OK;
    case OPTION_LIST:
        if (value->count == OPTION_LIST_MAX)
            return refuse(row, ERROR_USAGE, "given too often", "up to 128 times", error);
        value->list[value->count++] = text;
        return ERROR_OK;
    case OPTION_DURATION:
        if (sim_duration_parse(text, &value->number, NULL) != ERROR_OK) return refuse_range(row, text, error);
        break;
    case OPTION_NUMBER:
        if (sim_quantity_number(text, &value->number, NULL) != ERROR_OK)
            return refuse_range(row, text, error);
        break;
    case OPTION_WHOLE:
        if (sim_quantity_number(text, &value->number, NULL) != ERROR_OK || fabs(value->number) > WHOLE_MAX ||
            fabs(value->number - nearbyint(value->number)) > 0.0)
            return refuse_range(row, text, error);
        break;
    }
    if (value->number < row->low || value->number > row->high) return refuse_range(row, text, error);
    return ERROR_OK;
}

/* Reads the option at argv[*i]; moves *i over its value. */
static ErrorCode parse_option(OptionTable table, int argc, char **argv, int *i, OptionValue *values,
                              Error *error) {
    const char *name = argv[*i] + 2;
    const char *equals = strchr(name, '=');
    size_t length = equals != NULL ? (size_t)(equals - name) : strlen(name);
    size_t index = find_row(table, name, length);
    if (index == table.count) return refuse_unknown(table, name - 2, length + 2, error);

    const OptionRow *row = &table.rows[index];
    OptionValue *value = &values[index];
    if (value->given && row->kind != OPTION_LIST)
        return refuse(row, ERROR_USAGE, "given twice", "give it once", error);
    value->given = true;
    if (row->kind == OPTION_FLAG)
        return equals == NULL ? ERROR_OK : refuse(row, ERROR_USAGE, "takes no value", NULL, error);
    if (equals != NULL) return take_value(row, equals + 1, value, error);
    /* a lone "-" is a value (standard output); "--..." would be the next option */
    if (*i + 1 >= argc || strncmp(argv[*i + 1], "--", 2) == 0) {
        char allowed[WHERE_MAX];
        snprintf(allowed, sizeof allowed, "--%.30s %.30s", row->name, row->value);
        return refuse(row, ERROR_USAGE, "the value is missing", allowed, error);
    }
    *i += 1;
    return take_value(row, argv[*i], value, error);
}

ErrorCode sim_options_parse(OptionTable table, int argc, char **argv, OptionValue *values,
                            const char **operands, size_t operand_max, size_t *operand_count, Error *error) {
    memset(values, 0, table.count * sizeof *values);
    *operand_count = 0;
    bool options_ended = false;
    for (int i = 0; i < argc; i++) {
        if (!options_ended && strcmp(argv[i], "--") == 0) {
            options_ended = true;
        } else if (!options_ended && strncmp(argv[i], "--", 2) == 0) {
            ErrorCode code = parse_option(table, argc, argv, &i, values, error);
            if (code != ERROR_OK) return code;
        } else if (!options_ended && argv[i][0] == '-' && argv[i][1] != '\0') {
            return refuse_unknown(table, argv[i], strlen(argv[i]), error);
        } else if (*operand_count < operand_max) {
            operands[(*operand_count)++] = argv[i];
        } else {
            ErrorCode code = model_error_set(error, ERROR_USAGE, "one argument too many");
            model_error_at(error, argv[i], 0, 0);
            model_error_allow(error, "at most %zu; see --help", operand_max);
            return code;
        }
    }
    for (size_t i = 0; i < table.count; i++)
        if (table.rows[i].required && !values[i].given)
            return refuse(&table.rows[i], ERROR_USAGE, "this option is needed", "see --help", error);
    return ERROR_OK;
}

/* Which values an option takes; nothing for texts, and for numbers as large as they come. */
static void print_range(const OptionRow *row, FILE *out) {
    char low[DURATION_TEXT_MAX], high[DURATION_TEXT_MAX];
    if (row->kind == OPTION_NUMBER) fprintf(out, "; %g to %g", row->low, row->high);
    if (row->kind == OPTION_WHOLE) fprintf(out, "; a whole number");
    if (row->kind != OPTION_DURATION) return;
    sim_duration_format(row->low, low, sizeof low);
    sim_duration_format(row->high, high, sizeof high);
    fprintf(out, "; %s to %s", low, high);
}

void sim_options_help(OptionTable table, FILE *out) {
    enum { NAME_COLUMN = 24 };
    for (size_t i = 0; i < table.count; i++) {
        const OptionRow *row = &table.rows[i];
        char name[WHERE_MAX];
        snprintf(name, sizeof name, "--%s%s%s", row->name, row->value != NULL ? " " : "",
                 row->value != NULL ? row->value : "");
        fprintf(out, "  %-*s %s", NAME_COLUMN, name, row->text);
        if (row->required) fputs(" (needed)", out);
        if (row->kind == OPTION_LIST) fputs(" (may be repeated)", out);
        print_range(row, out);
        fputc('\n', out);
    }
}
