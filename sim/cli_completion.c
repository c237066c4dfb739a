/* evenkeel completion: words a shell may offer, made from the tables of commands and options. */
#include "sim/cli_commands.h"

#include <stdio.h>

/* The options of a command, as one line of words. */
static void print_options(const CliCommand *command) {
    for (size_t i = 0; i < command->row_count; i++)
        printf("%s--%s", i > 0 ? " " : "", command->rows[i].name);
}

static ErrorCode completion(const CliCall *call, Error *error) {
    (void)call;
    (void)error;
    size_t count;
    const CliCommand *const *commands = sim_cli_commands(&count);
    printf("# bash completion for evenkeel, printed by `evenkeel completion`\n_evenkeel() {\n"
           "    local word=${COMP_WORDS[COMP_CWORD]} options=\n    COMPREPLY=()\n    case ${COMP_WORDS[1]} "
           "in\n");
    for (size_t i = 0; i < count; i++) {
        if (commands[i]->name[0] == '\0') continue;
        printf("    %s) options='", commands[i]->name);
        print_options(commands[i]);
        printf("' ;;\n");
    }
    printf("    *) options='");
    print_options(&SIM_CLI_WINDOW);
    printf("' ;;\n    esac\n    if [[ $word == -* ]]; then\n"
           "        mapfile -t COMPREPLY < <(compgen -W \"$options --help\" -- \"$word\")\n"
           "    elif [ \"$COMP_CWORD\" -eq 1 ]; then\n"
           "        mapfile -t COMPREPLY < <(compgen -W '");
    for (size_t i = 0; i < count; i++)
        if (commands[i]->name[0] != '\0') printf("%s ", commands[i]->name);
    printf("' -- \"$word\"; compgen -f -- \"$word\")\n    else\n"
           "        mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n    fi\n}\n"
           "complete -o filenames -F _evenkeel evenkeel\n");
    return ERROR_OK;
}

const CliCommand SIM_CLI_COMPLETION = {
    .name = "completion",
    .operands = "",
    .text = "prints the completion of commands and options, for bash",
    .run = completion,
};
