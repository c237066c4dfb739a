/* `evenkeel run CASE`: a night without a window. */
#include "sim/cli_commands.h"
#include "sim/journal.h"
#include "sim/night.h"
#include "sim/plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PLAN, ORDERS, ORDER_LINE, SET, UNTIL, EVERY, CSV, WAVES, EDF, SEED, SAVE, DISPLAYED, ROWS };

static const double EVERY_STANDARD_S = 10.0;

static const OptionRow ROW_TABLE[ROWS] = {
    [PLAN] = {"plan", "ID", OPTION_TEXT, 0, 0, false, "play one of the case's own example plans"},
    [ORDERS] = {"orders", "FILE", OPTION_TEXT, 0, 0, false, "orders to give, one 'TIME ORDER' a line"},
    [ORDER_LINE] = {"order", "'TIME ORDER'", OPTION_LIST, 0, 0, false,
                    "an order, for example '20min speed 9400'"},
    [SET] = {"set", "KEY=VALUE", OPTION_LIST, 0, 0, false, "change a parameter of the patient"},
    [UNTIL] = {"until", "DUR", OPTION_DURATION, 1, 7 * 86400.0, false,
               "end; the case's own length if not given"},
    [EVERY] = {"every", "DUR", OPTION_DURATION, 0.1, 86400, false,
               "time between rows of the table; 10s if not given"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false,
             "table of means over the beats; - is standard output"},
    [WAVES] = {"waves", "FILE", OPTION_TEXT, 0, 0, false, "table of waveforms, one row per 4 ms"},
    [EDF] = {"edf", "FILE", OPTION_TEXT, 0, 0, false, "waveforms and what happened, in EDF+"},
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 9007199254740991.0, false, "seed of all that is random"},
    [SAVE] = {"save", "FILE", OPTION_TEXT, 0, 0, false, "record the night in this new file"},
    [DISPLAYED] = {"display", NULL, OPTION_FLAG, 0, 0, false, "add to the table what the bedside shows"},
};

/* All that a night needs; freed together. */
typedef struct Run {
    Case *case_file;
    SessionOptions options;
    Plan *plan;
    Session *session;
    Journal *journal;
    double until_s;
} Run;

/* Reads everything that was typed, before anything is simulated or written. */
static ErrorCode read_inputs(const CliCall *call, Run *run, Error *error) {
    const OptionValue *values = call->values;
    ErrorCode code = sim_cli_load_case(call->operands[0], &run->case_file, error);
    if (code != ERROR_OK) return code;
    const CliFile files[] = {
        {"the case", run->case_file->path, false}, {"--orders", values[ORDERS].text, false},
        {"--csv", values[CSV].text, true},         {"--waves", values[WAVES].text, true},
        {"--edf", values[EDF].text, true},         {"--save", values[SAVE].text, true}};
    code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code != ERROR_OK) return code;
    run->options = sim_session_options_none();
    run->options.seed_given = values[SEED].given;
    run->options.seed = (uint64_t)values[SEED].number;
    for (size_t i = 0; code == ERROR_OK && i < values[SET].count; i++)
        code = sim_cli_read_set(values[SET].list[i], &run->options, error);
    run->until_s = values[UNTIL].given ? values[UNTIL].number : run->case_file->length_s;
    run->plan = calloc(1, sizeof *run->plan);
    if (code == ERROR_OK && run->plan == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    if (code == ERROR_OK && values[PLAN].given) {
        int plan = sim_case_find_plan(run->case_file, values[PLAN].text, error);
        code = plan < 0 ? error->code : sim_plan_add_steps(run->plan, run->case_file, plan, error);
    }
    for (size_t i = 0; code == ERROR_OK && i < values[ORDER_LINE].count; i++) {
        char where[PLAN_LINE_MAX]; /* which of many it was */
        snprintf(where, sizeof where, "--order '%s'", values[ORDER_LINE].list[i]);
        code = sim_plan_add(run->plan, values[ORDER_LINE].list[i], where, 0, &run->case_file->limits, error);
    }
    if (code != ERROR_OK || !values[ORDERS].given) return code;
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    sim_plan_add_file(run->plan, values[ORDERS].text, &run->case_file->limits, errors);
    code = sim_cli_report(errors);
    free(errors);
    return code;
}

/* A recording of waveforms goes forward only. */
static ErrorCode check_forward(const CliCall *call, const Run *run, Error *error) {
    for (int i = 0; i < run->plan->count; i++) {
        const PlanItem *item = &run->plan->items[i];
        if (item->act.id != ACT_take_back || (!call->values[EDF].given && !call->values[WAVES].given))
            continue;
        ErrorCode code = model_error_set(error, ERROR_NOT_ALLOWED, "waveforms cannot be taken back");
        model_error_at(error, item->where, item->line, item->line > 0 ? 1 : 0);
        model_error_allow(error, "take_back without --edf and --waves");
        return code;
    }
    return ERROR_OK;
}

static ErrorCode open_night(const CliCall *call, Run *run, Error *error) {
    run->session = sim_session_open(run->case_file, &run->options, error);
    if (run->session == NULL) return error->code;
    const char *save_path = call->values[SAVE].text;
    if (save_path == NULL) return ERROR_OK;
    char *plan = sim_plan_write(run->plan);
    if (plan == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    JournalSetup setup = {.options = &run->options, .maker = "run", .until_s = run->until_s, .plan = plan};
    run->journal = sim_journal_create(save_path, run->session, &setup, error);
    free(plan);
    return run->journal != NULL ? ERROR_OK : error->code;
}

static ErrorCode run_case(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    Run run = {.case_file = NULL};
    NightOutputs outputs = {.csv_path = values[CSV].text,
                            .waves_path = values[WAVES].text,
                            .edf_path = values[EDF].text,
                            .every_s = values[EVERY].given ? values[EVERY].number : EVERY_STANDARD_S,
                            .display = values[DISPLAYED].given};
    ErrorCode code = read_inputs(call, &run, error);
    if (code == ERROR_OK) code = check_forward(call, &run, error);
    if (code == ERROR_OK) code = open_night(call, &run, error);
    if (code == ERROR_OK)
        code = sim_night_play(run.session, run.plan, 0, run.journal, run.until_s, &outputs, error);
    sim_session_close(run.session);
    sim_case_free(run.case_file);
    free(run.plan);
    return code;
}

const CliCommand SIM_CLI_RUN = {
    .name = "run",
    .operands = "CASE",
    .operand_min = 1,
    .operand_max = 1,
    .text = "a night without a window",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = run_case,
};
