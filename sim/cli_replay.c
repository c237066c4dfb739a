/* `evenkeel replay SESSION` and `evenkeel resume SESSION`: recorded nights. */
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/duration.h"
#include "sim/journal.h"
#include "sim/night.h"
#include "sim/plan.h"
#include "sim/progress.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void show_progress(void *context, double done) {
    sim_progress_show(context, done);
}

static ErrorCode replay_night(const CliCall *call, Error *error) {
    const char *path = call->operands[0];
    Progress progress = sim_progress_start("replay");
    JournalReplay replay;
    ErrorCode code = sim_journal_replay(path, show_progress, &progress, &replay, error);
    sim_progress_end(&progress);
    if (code != ERROR_OK) return code;
    char clock[DURATION_TEXT_MAX];
    if (replay.differing > 0) {
        sim_duration_format_clock(replay.first_differing_s, clock, sizeof clock);
        code = model_error_set(error, ERROR_FORMAT, "the night does not repeat: %lld of %lld states differ",
                               (long long)replay.differing, (long long)replay.snapshots);
        model_error_at(error, path, 0, 0);
        model_error_allow(error, "the first at %s", clock);
        return code;
    }
    sim_duration_format_clock(replay.reached_s, clock, sizeof clock);
    printf("%s: repeats to %s, %lld of %lld states are identical\n", path, clock, (long long)replay.snapshots,
           (long long)replay.snapshots);
    return ERROR_OK;
}

const CliCommand SIM_CLI_REPLAY = {
    .name = "replay",
    .operands = "SESSION",
    .operand_min = 1,
    .operand_max = 1,
    .text = "plays a recorded night again and checks that it is the same",
    .run = replay_night,
};

enum { UNTIL, EVERY, CSV, WAVES, DISPLAYED, ROWS };

static const OptionRow RESUME_ROWS[ROWS] = {
    [UNTIL] = {"until", "DUR", OPTION_DURATION, 1, 7 * 86400.0, false,
               "go on without a window to this time; as planned if not given"},
    [EVERY] = {"every", "DUR", OPTION_DURATION, 0.1, 86400, false,
               "time between rows of the table; 10s if not given"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false, "table of the rest of the night"},
    [WAVES] = {"waves", "FILE", OPTION_TEXT, 0, 0, false, "waveforms of the rest of the night"},
    [DISPLAYED] = {"display", NULL, OPTION_FLAG, 0, 0, false, "add to the table what the bedside shows"},
};

static const double EVERY_STANDARD_S = 10.0;

/* Orders of the night's plan; those already recorded come first. */
static ErrorCode read_plan(const Journal *journal, const Session *session, Plan *plan) {
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return ERROR_MEMORY;
    sim_plan_add_lines(plan, sim_journal_plan(journal), sim_journal_path(journal),
                       &sim_session_case(session)->limits, errors);
    ErrorCode code = sim_cli_report(errors);
    free(errors);
    return code;
}

static ErrorCode resume_headless(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    Session *session = NULL;
    Journal *journal = sim_journal_resume(call->operands[0], &session, error);
    if (journal == NULL) return error->code;
    char clock[DURATION_TEXT_MAX];
    sim_duration_format_clock(sim_session_time_s(session), clock, sizeof clock);
    NightOutputs outputs = {.csv_path = values[CSV].text,
                            .waves_path = values[WAVES].text,
                            .every_s = values[EVERY].given ? values[EVERY].number : EVERY_STANDARD_S,
                            .display = values[DISPLAYED].given};
    double until_s = values[UNTIL].given ? values[UNTIL].number : sim_journal_until_s(journal);
    Plan *plan = calloc(1, sizeof *plan);
    ErrorCode code = plan != NULL ? read_plan(journal, session, plan)
                                  : model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    if (code == ERROR_OK) {
        int64_t given = sim_journal_order_count(journal);
        int first = given < plan->count ? (int)given : plan->count;
        sim_console_say("goes on from %s", clock);
        code = sim_night_play(session, plan, first, journal, until_s, &outputs, error);
    } else {
        Error unread;
        ErrorCode closed = sim_journal_close(journal, NULL, false, &unread);
        (void)closed; /* nothing was played: nothing is lost */
    }
    sim_session_close(session);
    free(plan);
    return code;
}

static ErrorCode resume_night(const CliCall *call, Error *error) {
    JournalNight night;
    ErrorCode code = sim_journal_read(call->operands[0], &night, error);
    if (code != ERROR_OK) return code;
    if (call->values[UNTIL].given && call->values[UNTIL].number <= night.reached_s) {
        char clock[DURATION_TEXT_MAX];
        sim_duration_format_clock(night.reached_s, clock, sizeof clock);
        code = model_error_set(error, ERROR_RANGE, "the night has already come to %s", clock);
        model_error_at(error, "--until", 0, 0);
        model_error_allow(error, "a later time");
        return code;
    }
    const CliFile files[] = {{"the night", call->operands[0], false},
                             {"--csv", call->values[CSV].text, true},
                             {"--waves", call->values[WAVES].text, true}};
    code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code != ERROR_OK) return code;
    bool headless = call->values[UNTIL].given || call->values[CSV].given || call->values[WAVES].given ||
                    strcmp(night.maker, "run") == 0 || call->window == NULL;
    if (headless) return resume_headless(call, error);
    WindowRequest request = {.resume_path = call->operands[0]};
    return call->window->open(&request, error);
}

const CliCommand SIM_CLI_RESUME = {
    .name = "resume",
    .operands = "SESSION",
    .operand_min = 1,
    .operand_max = 1,
    .text = "goes on with a recorded night after a crash or a break",
    .rows = RESUME_ROWS,
    .row_count = ROWS,
    .run = resume_night,
};
