/* `evenkeel inspect CASE...`: checks case files and says everything that is wrong, or looks so, at once. */
#include "sim/casefolder.h"
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/duration.h"
#include "sim/lint.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { STRICT, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [STRICT] = {"strict", NULL, OPTION_FLAG, 0, 0, false, "a warning counts as an error"},
};

/* "FILE:LINE:COLUMN: warning: ...", one line each. */
static void say_warnings(const ErrorList *warnings) {
    for (int i = 0; i < warnings->count; i++) {
        const Error *warning = &warnings->items[i];
        sim_console_say("%s:%d:%d: warning: %s%s%s", warning->where, warning->line, warning->column,
                        warning->what, warning->allowed[0] != '\0' ? "; " : "", warning->allowed);
    }
    if (warnings->dropped > 0) sim_console_say("and %d more warnings", warnings->dropped);
}

static const char *plural(int count) {
    return count == 1 ? "" : "s";
}

/* Says what a case is that can be read, and what looks wrong in it. */
static ErrorCode describe(const Case *case_file, ErrorList *warnings, bool strict, Error *error) {
    char length[DURATION_TEXT_MAX], found[64] = "";
    memset(warnings, 0, sizeof *warnings);
    ErrorCode code = sim_lint_file(case_file, warnings, error);
    if (code != ERROR_OK) return code;
    say_warnings(warnings);
    int count = warnings->count + warnings->dropped;
    if (count > 0) snprintf(found, sizeof found, ", %d warning%s", count, plural(count));
    sim_duration_format(case_file->length_s, length, sizeof length);
    printf("%s: right%s. \"%s\", level %d, %s, %d events, %d objectives, %d plans, %d endings\n",
           case_file->path, found, case_file->title, case_file->level, length, case_file->event_count,
           case_file->objective_count, case_file->plan_count, case_file->ending_count);
    if (count == 0 || !strict) return ERROR_OK;
    return warnings->items[0].code;
}

/* Checks one file; prints what it is when it is right. */
static ErrorCode inspect_file(const char *typed, bool strict, ErrorList *errors, Error *error) {
    char path[CASEFOLDER_PATH_MAX];
    ErrorCode code = sim_casefolder_resolve(typed, path, sizeof path, error);
    if (code != ERROR_OK) return code;
    Case *case_file = sim_case_load(path, errors);
    if (case_file == NULL) return sim_cli_report(errors);
    /* the person must also be one that the model accepts */
    code = model_parameters_check(&case_file->patient.parameters, error);
    if (code != ERROR_OK)
        model_error_at(error, path, 0, 0);
    else
        code = describe(case_file, errors, strict, error);
    sim_case_free(case_file);
    return code;
}

static ErrorCode inspect_all(const CliCall *call, Error *error) {
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the errors");
    ErrorCode worst = ERROR_OK;
    for (size_t i = 0; i < call->operand_count; i++) {
        Error one;
        model_error_clear(&one);
        ErrorCode code = inspect_file(call->operands[i], call->values[STRICT].given, errors, &one);
        if (code == ERROR_OK) continue;
        worst = code;
        if (one.what[0] != '\0') sim_console_say_error(&one);
    }
    free(errors);
    return worst;
}

const CliCommand SIM_CLI_INSPECT = {
    .name = "inspect",
    .operands = "CASE...",
    .operand_min = 1,
    .operand_max = CLI_ANY_NUMBER,
    .text = "checks case files: every error at once with its place, and warnings",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = inspect_all,
};
