/* Options of a command, read from a table: names, values, ranges, help and the nearest valid name. */
#ifndef SIM_OPTIONS_H
#define SIM_OPTIONS_H

#include "model/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum { OPTION_LIST_MAX = 128 };

typedef enum OptionKind {
    OPTION_FLAG,     /* no value */
    OPTION_TEXT,     /* any text that is not empty */
    OPTION_NUMBER,   /* number in [low, high] */
    OPTION_WHOLE,    /* whole number in [low, high], below 2^53 */
    OPTION_DURATION, /* 90s, 20min, 6h; low and high in s */
    OPTION_LIST      /* text; may be given up to OPTION_LIST_MAX times */
} OptionKind;

typedef struct OptionRow {
    const char *name;  /* without the dashes */
    const char *value; /* name of the value in the help; NULL for a flag */
    OptionKind kind;
    double low, high; /* of numbers and durations */
    bool required;
    const char *text; /* one line for the help */
} OptionRow;

typedef struct OptionValue {
    bool given;
    const char *text;                  /* as typed; points into argv */
    double number;                     /* of numbers and durations (s) */
    const char *list[OPTION_LIST_MAX]; /* of OPTION_LIST, in order */
    size_t count;
} OptionValue;

typedef struct OptionTable {
    const OptionRow *rows;
    size_t count;
} OptionTable;

/* Reads argv[0..argc) into values[table.count]; `--name VALUE` and `--name=VALUE` are the same, `--` ends the
   options. What is no option goes to operands[operand_max], *operand_count tells how many. Returns
   ERROR_USAGE for an unknown option (with the nearest name), a missing or forbidden value, a repeated option
   or too many operands; ERROR_RANGE for a number that is none or out of range. */
MODEL_CHECKED ErrorCode sim_options_parse(OptionTable table, int argc, char **argv, OptionValue *values,
                                          const char **operands, size_t operand_max, size_t *operand_count,
                                          Error *error);

/* Prints the table as aligned help lines. */
void sim_options_help(OptionTable table, FILE *out);

#endif
