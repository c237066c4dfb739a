/* `evenkeel debrief SESSION`: looking back on a recorded night. */
#include "sim/cli_commands.h"
#include "sim/debrief.h"
#include "sim/output.h"

#include <stdio.h>
#include <stdlib.h>

enum { HTML, SVG, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [HTML] = {"html", "FILE|-", OPTION_TEXT, 0, 0, false,
              "the whole debrief as one page, instead of the window"},
    [SVG] = {"svg", "FILE|-", OPTION_TEXT, 0, 0, false, "the course alone, as a picture"},
};

static ErrorCode write_file(const char *path, const Debrief *debrief, void (*write)(const Debrief *, FILE *),
                            Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    write(debrief, output.file);
    return sim_output_close(&output, error);
}

static ErrorCode debrief_night(const CliCall *call, Error *error) {
    const char *html = call->values[HTML].text, *svg = call->values[SVG].text;
    if (html == NULL && svg == NULL && call->window != NULL) {
        WindowRequest request = {.debrief_path = call->operands[0]};
        return call->window->open(&request, error);
    }
    if (html == NULL && svg == NULL) html = "-";
    const CliFile files[] = {
        {"the night", call->operands[0], false}, {"--html", html, true}, {"--svg", svg, true}};
    ErrorCode code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code != ERROR_OK) return code;
    Recall *recall = sim_recall_open(call->operands[0], error);
    if (recall == NULL) return error->code;
    Debrief *debrief = calloc(1, sizeof *debrief);
    if (debrief == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the debrief");
    else
        sim_debrief_make(recall, debrief);
    if (code == ERROR_OK && html != NULL) code = write_file(html, debrief, sim_debrief_write_page, error);
    if (code == ERROR_OK && svg != NULL) code = write_file(svg, debrief, sim_debrief_write_course, error);
    free(debrief);
    sim_recall_free(recall);
    return code;
}

const CliCommand SIM_CLI_DEBRIEF = {
    .name = "debrief",
    .operands = "SESSION",
    .operand_min = 1,
    .operand_max = 1,
    .text = "looking back on a recorded night: a page with the course, the truth and the score",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = debrief_night,
};
