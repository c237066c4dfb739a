/* `evenkeel describe [CASE]`: a screen in words, without a display. */
#include "sim/casefolder.h"
#include "sim/cli_commands.h"
#include "sim/output.h"
#include "sim/textfile.h"

#include <stdio.h>
#include <stdlib.h>

enum { AT, DEBRIEF, KEYS, SCRIPT, PICTURES, SIZE, INTERFACE, THEME, SEED, INSTRUCTOR, OUT, ROWS };
enum { SCRIPT_LONGEST = 1 << 20 };

static const OptionRow ROW_TABLE[ROWS] = {
    [AT] = {"at", "DUR", OPTION_DURATION, 0, 604800, false, "time of the night to go to first"},
    [DEBRIEF] = {"debrief", "SESSION", OPTION_TEXT, 0, 0, false, "the debrief of this recorded night"},
    [KEYS] = {"keys", "NAMES", OPTION_TEXT, 0, 0, false,
              "keys to press then, for example \"F3 Down Right Enter\""},
    [SCRIPT] = {"script", "FILE", OPTION_TEXT, 0, 0, false, "a file of keys to play, as in tests/journey"},
    [PICTURES] = {"pictures", "FOLDER", OPTION_TEXT, 0, 0, false,
                  "write a picture of the end, and the script's"},
    [SIZE] = {"size", "WxH", OPTION_TEXT, 0, 0, false, "size of the screen; 1280x800 if not given"},
    [INTERFACE] = {"interface", "PERCENT", OPTION_WHOLE, 75, 300, false, "interface size; 100 if not given"},
    [THEME] = {"theme", "NAME", OPTION_TEXT, 0, 0, false, "dark, light or contrast"},
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 9007199254740991.0, false, "seed of all that is random"},
    [INSTRUCTOR] = {"instructor", NULL, OPTION_FLAG, 0, 0, false, "the instructor's screen; --keys go to it"},
    [OUT] = {"out", "FILE", OPTION_TEXT, 0, 0, false, "write the words to this file"},
};

/* Runs the hook with the words going to `out`. */
static ErrorCode describe_to(const CliCall *call, const DescribeRequest *request, const char *out,
                             Error *error) {
    Output output = {.file = NULL};
    ErrorCode code = sim_output_open(&output, out, error);
    if (code != ERROR_OK) return code;
    code = call->window->describe(request, output.file, error);
    if (code == ERROR_OK) return sim_output_close(&output, error);
    sim_output_drop(&output);
    return code;
}

static ErrorCode describe(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    if (call->window == NULL) {
        ErrorCode code = model_error_set(error, ERROR_DISPLAY, "this build has no screens");
        model_error_allow(error, "a command, such as: evenkeel run CASE; see evenkeel --help");
        return code;
    }
    char path[CASEFOLDER_PATH_MAX], *script = NULL;
    size_t length = 0;
    DescribeRequest request = {.at_s = values[AT].number,
                               .keys = values[KEYS].text,
                               .script_name = values[SCRIPT].text,
                               .pictures = values[PICTURES].text,
                               .theme = values[THEME].text,
                               .instructor = values[INSTRUCTOR].given,
                               .interface_percent =
                                   values[INTERFACE].given ? (int)values[INTERFACE].number : 100,
                               .window = {.seed_given = values[SEED].given,
                                          .seed = (uint64_t)values[SEED].number,
                                          .debrief_path = values[DEBRIEF].text,
                                          .width_px = 1280,
                                          .height_px = 800,
                                          .apart = true}};
    ErrorCode code = ERROR_OK;
    if (values[SIZE].given)
        code =
            sim_cli_read_size(values[SIZE].text, &request.window.width_px, &request.window.height_px, error);
    if (code == ERROR_OK && call->operand_count > 0) {
        code = sim_casefolder_resolve(call->operands[0], path, sizeof path, error);
        request.window.case_path = path;
    }
    if (code == ERROR_OK && values[SCRIPT].given) {
        code = sim_textfile_read(values[SCRIPT].text, SCRIPT_LONGEST, &script, &length, error);
        request.script = script;
    }
    if (code == ERROR_OK)
        code = describe_to(call, &request, values[OUT].given ? values[OUT].text : "-", error);
    free(script);
    return code;
}

const CliCommand SIM_CLI_DESCRIBE = {
    .name = "describe",
    .operands = "[CASE]",
    .operand_max = 1,
    .text = "a screen in words: any moment, after any keys",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = describe,
};
