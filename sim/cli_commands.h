/* What the sub-commands share: their table rows, how they are called, and small helpers. Internal to the
   command line. A new command is one file with one CliCommand, and one row in cli.c. */
#ifndef SIM_CLI_COMMANDS_H
#define SIM_CLI_COMMANDS_H

#include "sim/case.h"
#include "sim/cli.h"
#include "sim/errorlist.h"
#include "sim/options.h"
#include "sim/session.h"

#define CLI_ANY_NUMBER SIZE_MAX

typedef struct CliCall {
    const OptionValue *values; /* [command's option count] */
    const char *const *operands;
    size_t operand_count;
    const WindowHook *window; /* NULL in a build without one */
} CliCall;

typedef struct CliCommand {
    const char *name;
    const char *operands;            /* for the help */
    size_t operand_min, operand_max; /* operand_max CLI_ANY_NUMBER: as many as wanted */
    const char *text;                /* one line for the help */
    const OptionRow *rows;
    size_t row_count;
    ErrorCode (*run)(const CliCall *call, Error *error); /* an error left empty was printed */
} CliCommand;

extern const CliCommand SIM_CLI_WINDOW, SIM_CLI_RUN, SIM_CLI_RAMP, SIM_CLI_INSPECT, SIM_CLI_REHEARSE,
    SIM_CLI_COHORT, SIM_CLI_LIST, SIM_CLI_REPLAY, SIM_CLI_RESUME, SIM_CLI_DEBRIEF, SIM_CLI_WHATIF, SIM_CLI_LOGBOOK,
    SIM_CLI_DESCRIBE, SIM_CLI_BENCH, SIM_CLI_MANUAL, SIM_CLI_COMPLETION;

/* Every command, in the order of the help. */
const CliCommand *const *sim_cli_commands(size_t *count);

/* Reads WIDTHxHEIGHT of a window; ERROR_RANGE for what is none. */
MODEL_CHECKED ErrorCode sim_cli_read_size(const char *text, int *width_px, int *height_px, Error *error);

/* Prints every error of the list, one line each; returns the first one's code, or ERROR_OK for an empty list.
 */
MODEL_CHECKED ErrorCode sim_cli_report(const ErrorList *list);

/* Loads a case by path or name. The first error is reported, with the number of the others. The caller frees
   the case with sim_case_free. */
MODEL_CHECKED ErrorCode sim_cli_load_case(const char *typed, Case **case_file, Error *error);

/* A file that a command reads or makes. */
typedef struct CliFile {
    const char *role; /* "--csv", "the case" */
    const char *path; /* NULL: not given; "-": a standard stream */
    bool made;
} CliFile;

/* Refuses that one file is made twice, or made from itself. */
MODEL_CHECKED ErrorCode sim_cli_check_files(const CliFile files[], size_t count, Error *error);

/* Reads KEY=VALUE into options; refuses unknown keys (nearest name), what is no input, a key given twice and
   values out of range. */
MODEL_CHECKED ErrorCode sim_cli_read_set(const char *text, SessionOptions *options, Error *error);

#endif
