/* evenkeel manual: the manual page, made from the tables of commands and options. */
#include "sim/build_id.h"
#include "sim/cli_commands.h"

#include <stdio.h>
#include <string.h>

/* Prints text for roff: what roff would take for a command or a minus sign is written so that it does not. */
static void print_roff(const char *text) {
    if (*text == '.' || *text == '\'') fputs("\\&", stdout);
    for (; *text != '\0'; text++) {
        if (*text == '-')
            fputs("\\-", stdout);
        else if (*text == '\\')
            fputs("\\e", stdout);
        else
            putchar(*text);
    }
}

static void print_line(const char *text) {
    print_roff(text);
    putchar('\n');
}

static void print_option(const OptionRow *row) {
    printf(".TP\n.B \\-\\-");
    print_roff(row->name);
    if (row->value != NULL) {
        fputs(" \\fI", stdout);
        print_roff(row->value);
        fputs("\\fR", stdout);
    }
    putchar('\n');
    print_line(row->text);
}

static void print_command(const CliCommand *command) {
    fputs(".SS evenkeel", stdout);
    if (command->name[0] != '\0') {
        putchar(' ');
        print_roff(command->name);
    }
    if (command->operands[0] != '\0') {
        putchar(' ');
        print_roff(command->operands);
    }
    putchar('\n');
    print_line(command->text);
    for (size_t i = 0; i < command->row_count; i++)
        print_option(&command->rows[i]);
}

static ErrorCode manual(const CliCall *call, Error *error) {
    (void)call;
    (void)error;
    size_t count;
    const CliCommand *const *commands = sim_cli_commands(&count);
    printf(".TH EVENKEEL 1 \"\" \"Evenkeel %s\" \"User Commands\"\n.SH NAME\n"
           "evenkeel \\- training simulator for the first night after a ventricular assist device\n"
           ".SH SYNOPSIS\n.B evenkeel\n.RI [ case ]\n.br\n.B evenkeel\n.I command\n.RI [ options ]\n"
           ".SH DESCRIPTION\n",
           sim_build_version());
    print_line(
        "A patient is back from theatre with a continuous-flow pump in the left ventricle. The trainee "
        "changes pump speed, fluids and drugs and sees numbers, waveforms and the heart answer. The "
        "physiology is computed beat by beat.");
    printf(".PP\n");
    print_line("For education only. Local protocols and licensed practice decide what is done to a person.");
    printf(".SH COMMANDS\n");
    for (size_t i = 0; i < count; i++)
        print_command(commands[i]);
    printf(".SH EXIT STATUS\n0 ok, 1 bad input, 2 wrong use, 3 internal failure.\n.SH FILES\n.TP\n"
           ".I $XDG_DATA_HOME/evenkeel/nights\n");
    print_line("recorded nights; without the variable ~/.local/share/evenkeel/nights");
    printf(".SH NOTES\n");
    print_line("Durations are written 90s, 20min, 6h or 1h30min. Keys, orders and cases: evenkeel list.");
    return ERROR_OK;
}

const CliCommand SIM_CLI_MANUAL = {
    .name = "manual",
    .operands = "",
    .text = "prints this program's manual page, for man(1)",
    .run = manual,
};
