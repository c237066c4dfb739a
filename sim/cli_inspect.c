/* `evenkeel inspect CASE...`: checks case files and says everything that is wrong at once. */
#include "sim/casefolder.h"
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/duration.h"

#include <stdio.h>
#include <stdlib.h>

/* Checks one file; prints what it is when it is right. */
static ErrorCode inspect_file(const char *typed, ErrorList *errors, Error *error) {
    char path[CASEFOLDER_PATH_MAX];
    ErrorCode code = sim_casefolder_resolve(typed, path, sizeof path, error);
    if (code != ERROR_OK) return code;
    Case *case_file = sim_case_load(path, errors);
    if (case_file == NULL) return sim_cli_report(errors);
    char length[DURATION_TEXT_MAX];
    sim_duration_format(case_file->length_s, length, sizeof length);
    /* the person must also be one that the model accepts */
    code = model_parameters_check(&case_file->patient.parameters, error);
    if (code != ERROR_OK)
        model_error_at(error, path, 0, 0);
    else
        printf("%s: right. \"%s\", level %d, %s, %d events, %d objectives, %d endings\n", path,
               case_file->title, case_file->level, length, case_file->event_count, case_file->objective_count,
               case_file->ending_count);
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
        ErrorCode code = inspect_file(call->operands[i], errors, &one);
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
    .text = "checks case files: every error at once, with its place",
    .run = inspect_all,
};
