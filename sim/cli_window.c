/* `evenkeel [CASE]`: the window. */
#include "sim/casefolder.h"
#include "sim/cli_commands.h"

#include <stdio.h>
#include <string.h>

enum { SEED, SAVE, SIZE, FULL_SCREEN, RATE, TEXT_LOG, INSTRUCTOR, DISPLAY, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 9007199254740991.0, false, "seed of all that is random"},
    [SAVE] = {"save", "FILE", OPTION_TEXT, 0, 0, false, "record the night in this new file"},
    [SIZE] = {"size", "WxH", OPTION_TEXT, 0, 0, false, "size of the window, for example 1280x800"},
    [FULL_SCREEN] = {"full-screen", NULL, OPTION_FLAG, 0, 0, false, "fill the screen"},
    [RATE] = {"rate", "X", OPTION_NUMBER, 1, 240, false, "time rate to begin with"},
    [INSTRUCTOR] = {"instructor", NULL, OPTION_FLAG, 0, 0, false,
                    "open the instructor's window as well: the truth, and a hand on the night"},
    [DISPLAY] = {"display", "N", OPTION_WHOLE, 1, 16, false,
                 "display of the instructor's window; another than the trainee's if not given"},
    [TEXT_LOG] = {"text-log", "FILE", OPTION_TEXT, 0, 0, false,
                  "tell this file or pipe in words what happens"},
};

ErrorCode sim_cli_read_size(const char *text, int *width_px, int *height_px, Error *error) {
    enum { LEAST_PX = 640, MOST_PX = 16384 };
    char rest;
    if (sscanf(text, "%5dx%5d%c", width_px, height_px, &rest) == 2 && *width_px >= LEAST_PX &&
        *width_px <= MOST_PX && *height_px >= LEAST_PX / 2 && *height_px <= MOST_PX)
        return ERROR_OK;
    ErrorCode code = model_error_set(error, ERROR_RANGE, "'%.40s' is no size of a window", text);
    model_error_at(error, "--size", 0, 0);
    model_error_allow(error, "WIDTHxHEIGHT from %dx%d to %dx%d", LEAST_PX, LEAST_PX / 2, MOST_PX, MOST_PX);
    return code;
}

static ErrorCode open_window(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    if (call->window == NULL) {
        ErrorCode code = model_error_set(error, ERROR_DISPLAY, "this build has no window");
        model_error_allow(error, "a command, such as: evenkeel run CASE; see evenkeel --help");
        return code;
    }
    char path[CASEFOLDER_PATH_MAX];
    WindowRequest request = {.save_path = values[SAVE].text,
                             .seed_given = values[SEED].given,
                             .seed = (uint64_t)values[SEED].number,
                             .full_screen = values[FULL_SCREEN].given,
                             .rate_x = values[RATE].number,
                             .instructor = values[INSTRUCTOR].given,
                             .instructor_display = (int)values[DISPLAY].number,
                             .text_log = values[TEXT_LOG].text};
    ErrorCode code = ERROR_OK;
    if (values[SIZE].given)
        code = sim_cli_read_size(values[SIZE].text, &request.width_px, &request.height_px, error);
    if (code == ERROR_OK && call->operand_count > 0) {
        /* said here, before a window opens and closes again */
        Case *case_file = NULL;
        code = sim_cli_load_case(call->operands[0], &case_file, error);
        if (code == ERROR_OK) {
            snprintf(path, sizeof path, "%s", case_file->path);
            request.case_path = path;
        }
        sim_case_free(case_file);
    }
    return code == ERROR_OK ? call->window->open(&request, error) : code;
}

const CliCommand SIM_CLI_WINDOW = {
    .name = "",
    .operands = "[CASE]",
    .operand_max = 1,
    .text = "the window; without a case, the list of cases",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = open_window,
};
