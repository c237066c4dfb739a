/* The command line: finds the sub-command in a table, reads its options, runs it, and says what went wrong.
 */
#include "sim/cli.h"

#include "sim/build_id.h"
#include "sim/casefolder.h"
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/output.h"
#include "sim/practice.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <stdlib.h>
#include <string.h>

static const char CAUTION[] =
    "For education only. Generic names. Local protocols and licensed practice decide.";

/* The order of the help. The window comes first: it is what happens without a command. */
static const CliCommand *const COMMANDS[] = {
    &SIM_CLI_WINDOW,  &SIM_CLI_RUN,      &SIM_CLI_RAMP,   &SIM_CLI_INSPECT, &SIM_CLI_REHEARSE,
    &SIM_CLI_COHORT, &SIM_CLI_LIST,    &SIM_CLI_REPLAY,   &SIM_CLI_RESUME, &SIM_CLI_DEBRIEF, &SIM_CLI_WHATIF,
    &SIM_CLI_LOGBOOK, &SIM_CLI_DESCRIBE, &SIM_CLI_BENCH,  &SIM_CLI_MANUAL,  &SIM_CLI_COMPLETION};

enum { COMMAND_COUNT = sizeof COMMANDS / sizeof COMMANDS[0] };

const CliCommand *const *sim_cli_commands(size_t *count) {
    *count = COMMAND_COUNT;
    return COMMANDS;
}

ErrorCode sim_cli_report(const ErrorList *list) {
    for (int i = 0; i < list->count; i++)
        sim_console_say_error(&list->items[i]);
    if (list->dropped > 0) sim_console_say("%d more errors are not shown", list->dropped);
    return list->count > 0 ? list->items[0].code : ERROR_OK;
}

ErrorCode sim_cli_load_case(const char *typed, Case **case_file, Error *error) {
    char path[CASEFOLDER_PATH_MAX];
    *case_file = NULL;
    ErrorCode code = ERROR_OK;
    if (strncmp(typed, PRACTICE_PREFIX, strlen(PRACTICE_PREFIX)) == 0)
        snprintf(path, sizeof path, "%s", typed);
    else
        code = sim_casefolder_resolve(typed, path, sizeof path, error);
    if (code != ERROR_OK) return code;
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the case");
    *case_file = sim_case_load(path, errors);
    if (*case_file == NULL) {
        *error = errors->items[0];
        int others = errors->count + errors->dropped - 1;
        if (others > 0) {
            size_t used = strlen(error->allowed);
            snprintf(error->allowed + used, sizeof error->allowed - used, "%s%d more: evenkeel inspect",
                     used > 0 ? "; " : "", others);
        }
        code = error->code;
    }
    free(errors);
    return code;
}

ErrorCode sim_cli_read_set(const char *text, SessionOptions *options, Error *error) {
    char key[64];
    const char *equals = strchr(text, '=');
    size_t length = equals != NULL ? (size_t)(equals - text) : 0;
    ErrorCode code;
    if (length == 0 || length >= sizeof key) {
        code = model_error_set(error, ERROR_USAGE, "'%.60s' is no change of a parameter", text);
        model_error_at(error, "--set", 0, 0);
        model_error_allow(error, "KEY=VALUE, for example rv_ees_mmhg_ml=0.3");
        return code;
    }
    memcpy(key, text, length);
    key[length] = '\0';
    if (options->set_count == SESSION_SETS_MAX) {
        code = model_error_set(error, ERROR_USAGE, "too many changes of parameters");
        model_error_at(error, "--set", 0, 0);
        model_error_allow(error, "at most %d", SESSION_SETS_MAX);
        return code;
    }
    ParameterId id = model_parameters_find(key);
    if (id == PARAMETER_COUNT) {
        code = sim_suggest_parameter(error, key);
        model_error_at(error, "--set", 0, 0);
        return code;
    }
    for (int i = 0; i < options->set_count; i++) {
        if (options->sets[i].id != id) continue;
        code = model_error_set(error, ERROR_USAGE, "%s is given twice", key);
        model_error_at(error, "--set", 0, 0);
        model_error_allow(error, "each parameter once");
        return code;
    }
    CaseSet *set = &options->sets[options->set_count];
    code = sim_quantity_parameter(equals + 1, id, &set->value, error);
    if (code != ERROR_OK) {
        model_error_at(error, "--set", 0, 0);
        return code;
    }
    set->id = id;
    options->set_count++;
    return ERROR_OK;
}

ErrorCode sim_cli_check_files(const CliFile files[], size_t count, Error *error) {
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < count; k++) {
            bool each_once = i != k && (k < i || !files[k].made);
            if (!files[i].made || !each_once || !sim_output_same(files[i].path, files[k].path)) continue;
            bool standard = strcmp(files[i].path, "-") == 0;
            ErrorCode code = model_error_set(error, ERROR_USAGE, "%s is also %s",
                                             standard ? "standard output" : files[i].path, files[k].role);
            model_error_at(error, files[i].role, 0, 0);
            model_error_allow(error, "another file");
            return code;
        }
    }
    return ERROR_OK;
}

static void print_help(void) {
    enum { USAGE_WIDTH = 26 };
    printf("evenkeel: rehearse the first night after a ventricular assist device.\n%s\n\nCommands:\n",
           CAUTION);
    for (int i = 0; i < COMMAND_COUNT; i++) {
        char usage[120];
        snprintf(usage, sizeof usage, "evenkeel %s%s%s", COMMANDS[i]->name,
                 COMMANDS[i]->name[0] != '\0' ? " " : "", COMMANDS[i]->operands);
        printf("  %-*s", USAGE_WIDTH, usage);
        if (strlen(usage) > USAGE_WIDTH) printf("\n  %*s", USAGE_WIDTH, "");
        printf(" %s\n", COMMANDS[i]->text);
    }
    printf("\nOptions of a command: evenkeel COMMAND --help.  Version: evenkeel --version.\n"
           "Durations are written 90s, 20min, 6h or 1h30min.\n"
           "Exit status: 0 ok, 1 bad input, 2 wrong use, 3 internal failure.\n");
}

static void print_command_help(const CliCommand *command) {
    bool named = command->name[0] != '\0';
    printf("evenkeel %s%s%s%s\n  %s\n", command->name, named && command->operands[0] != '\0' ? " " : "",
           command->operands, command->row_count > 0 ? " [options]" : "", command->text);
    if (command->row_count > 0) {
        printf("\nOptions:\n");
        sim_options_help((OptionTable){command->rows, command->row_count}, stdout);
    }
}

/* The command named by the first argument; the window's for a case file or nothing; NULL if it is neither. */
static const CliCommand *find_command(int argc, char **argv) {
    if (argc < 2 || argv[1][0] == '-') return &SIM_CLI_WINDOW;
    for (int i = 1; i < COMMAND_COUNT; i++)
        if (strcmp(argv[1], COMMANDS[i]->name) == 0) return COMMANDS[i];
    char path[CASEFOLDER_PATH_MAX];
    bool like_a_file = strchr(argv[1], '/') != NULL || strchr(argv[1], '.') != NULL;
    if (like_a_file || sim_casefolder_resolve(argv[1], path, sizeof path, NULL) == ERROR_OK)
        return &SIM_CLI_WINDOW;
    return NULL;
}

static ErrorCode refuse_command(const char *typed, Error *error) {
    const char *names[COMMAND_COUNT];
    for (int i = 1; i < COMMAND_COUNT; i++)
        names[i - 1] = COMMANDS[i]->name;
    ErrorCode code = model_error_set(error, ERROR_USAGE, "this is neither a command nor a case");
    model_error_at(error, typed, 0, 0);
    sim_suggest_allow(error, typed, names, COMMAND_COUNT - 1, "", "see evenkeel --help");
    return code;
}

static ErrorCode run_command(const CliCommand *command, int argc, char **argv, const WindowHook *window,
                             Error *error) {
    OptionValue *values = calloc(command->row_count + 1, sizeof *values);
    const char **operands = calloc((size_t)argc + 1, sizeof *operands);
    CliCall call = {.values = values, .operands = operands, .window = window};
    ErrorCode code;
    if (values == NULL || operands == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the options");
    else
        code = sim_options_parse((OptionTable){command->rows, command->row_count}, argc, argv, values,
                                 operands, command->operand_max, &call.operand_count, error);
    if (code == ERROR_OK && call.operand_count < command->operand_min) {
        code = model_error_set(error, ERROR_USAGE, "an argument is missing");
        model_error_at(error, command->name, 0, 0);
        model_error_allow(error, "evenkeel %s %s", command->name, command->operands);
    }
    if (code == ERROR_OK) code = command->run(&call, error);
    free(operands);
    free(values);
    return code;
}

static bool is_help(const char *word) {
    return strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0;
}

static bool asks_for_help(int argc, char **argv, int first) {
    for (int i = first; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (is_help(argv[i])) return true;
    return false;
}

static ErrorCode run_arguments(int argc, char **argv, const WindowHook *window, Error *error) {
    bool help = argc >= 2 && (is_help(argv[1]) || strcmp(argv[1], "help") == 0);
    if (help && argc < 3) {
        print_help();
        return ERROR_OK;
    }
    if (argc >= 2 && strcmp(argv[1], "--version") == 0) {
        printf("evenkeel %s (build %s)\n%s\n", sim_build_version(), sim_build_id(), CAUTION);
        return ERROR_OK;
    }
    if (help) { /* help COMMAND */
        argc--;
        argv++;
    }
    const CliCommand *command = find_command(argc, argv);
    if (command == NULL) return refuse_command(argv[1], error);
    int first = command->name[0] == '\0' ? 1 : 2;
    if (first > argc) first = argc;
    if (!help && !asks_for_help(argc, argv, first))
        return run_command(command, argc - first, argv + first, window, error);
    print_command_help(command);
    return ERROR_OK;
}

int sim_cli_main(int argc, char **argv, const WindowHook *window) {
    Error error;
    model_error_clear(&error);
    sim_console_open();
    ErrorCode code = run_arguments(argc, argv, window, &error);
    if (code == ERROR_OK) code = sim_console_close(&error);
    error.code = code;
    if (code != ERROR_OK && error.what[0] != '\0') sim_console_say_error(&error); /* else all is said */
    return model_error_exit_status(code);
}
