/* What the sub-commands share: their table rows, how they are called, and small helpers. Internal to the
   command line. A new command is one file with one CliCommand, and one row in cli.c. */
#ifndef SIM_CLI_COMMANDS_H
#define SIM_CLI_COMMANDS_H

#include "sim/case.h"
#include "sim/cli.h"
#include "sim/errorlist.h"
#include "sim/options.h"
#include "sim/session.h"

enum { CLI_OPERANDS_MAX = 64 };

typedef struct CliCall {
    const OptionValue *values; /* [command's option count] */
    const char *const *operands;
    size_t operand_count;
    const WindowHook *window; /* NULL in a build without one */
} CliCall;

typedef struct CliCommand {
    const char *name;
    const char *operands; /* for the help */
    size_t operand_min, operand_max;
    const char *text; /* one line for the help */
    const OptionRow *rows;
    size_t row_count;
    ErrorCode (*run)(const CliCall *call, Error *error); /* an error left empty was printed */
} CliCommand;

extern const CliCommand SIM_CLI_WINDOW, SIM_CLI_RUN, SIM_CLI_RAMP, SIM_CLI_INSPECT, SIM_CLI_LIST,
    SIM_CLI_REPLAY, SIM_CLI_RESUME, SIM_CLI_BENCH;

/* Prints "evenkeel: ..." as one line on stderr, whatever bytes the error holds. */
void sim_cli_print_error(const Error *error);

/* Prints every error of the list, one line each; returns the first one's code, or ERROR_OK for an empty list.
 */
MODEL_CHECKED ErrorCode sim_cli_report(const ErrorList *list);

/* Loads a case by path or name. The first error is reported, with the number of the others. The caller frees
   the case with sim_case_free. */
MODEL_CHECKED ErrorCode sim_cli_load_case(const char *typed, Case **case_file, Error *error);

/* Reads KEY=VALUE into options; refuses unknown keys (nearest name) and values out of range. */
MODEL_CHECKED ErrorCode sim_cli_read_set(const char *text, SessionOptions *options, Error *error);

#endif
