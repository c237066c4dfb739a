/* `evenkeel cohort`: many nights in shards for a batch system, and the shards put together. */
#include "sim/casefolder.h"
#include "sim/cli_commands.h"
#include "sim/cohort.h"
#include "sim/output.h"
#include "sim/progress.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PATIENTS, PLANS, SEED, SHARD, THREADS, MERGE, CSV, ROWS };

enum { PATIENTS_USUAL = 50, SEED_USUAL = 50 };

static const OptionRow ROW_TABLE[ROWS] = {
    [PATIENTS] = {"patients", "N", OPTION_WHOLE, 1, COHORT_PATIENTS_MAX, false,
                  "patients of each course, the case's own among them; 50 if not given"},
    [PLANS] = {"plans", NULL, OPTION_FLAG, 0, 0, false, "the plans of the cases too, not untouched only"},
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 9007199254740991.0, false,
              "of the varied patients; 50 if not given"},
    [SHARD] = {"shard", "I/N", OPTION_TEXT, 0, 0, false, "play part I of N only; 1/1 if not given"},
    [THREADS] = {"threads", "N", OPTION_WHOLE, 1, CREW_THREADS_MAX, false,
                 "one for each processor if not given; the result is the same"},
    [MERGE] = {"merge", NULL, OPTION_FLAG, 0, 0, false,
               "the operands are tables of all shards: check them, put them together, sum them up"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false, "one row for each night; needed unless merging"},
};

static bool show_progress(void *context, double done) {
    sim_progress_show(context, done);
    return false;
}

static ErrorCode read_shard(const OptionValue *value, Cohort *cohort, Error *error) {
    int used = 0;
    cohort->shard = cohort->shards = 1;
    if (!value->given) return ERROR_OK;
    if (sscanf(value->text, "%6d/%6d%n", &cohort->shard, &cohort->shards, &used) == 2 &&
        value->text[used] == '\0' && cohort->shard >= 1 && cohort->shard <= cohort->shards &&
        cohort->shards <= COHORT_SHARDS_MAX)
        return ERROR_OK;
    ErrorCode code = model_error_set(error, ERROR_RANGE, "'%.40s' is no part of a cohort", value->text);
    model_error_at(error, "--shard", 0, 0);
    model_error_allow(error, "I/N with I from 1 to N, N at most %d, for example 3/8", COHORT_SHARDS_MAX);
    return code;
}

static int by_id(const void *a, const void *b) {
    return strcmp((*(Case *const *)a)->id, (*(Case *const *)b)->id);
}

/* Loads what was named, or every case of the folder, in the order of their ids. */
static ErrorCode load_cases(const CliCall *call, Case **cases, int *count, Error *error) {
    CaseFolder *folder = calloc(1, sizeof *folder);
    if (folder == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the cases");
    ErrorCode code = call->operand_count > 0 ? ERROR_OK : sim_casefolder_find(folder, error);
    int wanted = call->operand_count > 0 ? (int)call->operand_count : folder->count;
    if (code == ERROR_OK && wanted > COHORT_CASES_MAX) {
        code = model_error_set(error, ERROR_USAGE, "%d cases are too many", wanted);
        model_error_allow(error, "%d", COHORT_CASES_MAX);
    }
    for (int i = 0; code == ERROR_OK && i < wanted; i++) {
        const char *typed = call->operand_count > 0 ? call->operands[i] : folder->names[i];
        code = sim_cli_load_case(typed, &cases[*count], error);
        if (code == ERROR_OK) (*count)++;
    }
    free(folder);
    if (code != ERROR_OK) return code;
    qsort(cases, (size_t)*count, sizeof(Case *), by_id);
    for (int i = 1; i < *count; i++) {
        if (strcmp(cases[i]->id, cases[i - 1]->id) == 0)
            return model_error_set(error, ERROR_USAGE, "the case %s is there twice", cases[i]->id);
    }
    return ERROR_OK;
}

static ErrorCode play(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    Case *cases[COHORT_CASES_MAX] = {NULL};
    Cohort cohort = {.cases = (const Case *const *)cases,
                     .patients = values[PATIENTS].given ? (int)values[PATIENTS].number : PATIENTS_USUAL,
                     .plans = values[PLANS].given,
                     .seed = values[SEED].given ? (uint64_t)values[SEED].number : SEED_USUAL,
                     .threads = values[THREADS].given ? (int)values[THREADS].number : sim_crew_threads()};
    Output output = {0};
    Progress progress = sim_progress_start("cohort");
    cohort.watch = show_progress;
    cohort.watch_context = &progress;
    ErrorCode code = read_shard(&values[SHARD], &cohort, error);
    if (code == ERROR_OK) code = load_cases(call, cases, &cohort.case_count, error);
    if (code == ERROR_OK) code = sim_output_open(&output, values[CSV].text, error);
    if (code == ERROR_OK) code = sim_cohort_play(&cohort, output.file, error);
    sim_progress_end(&progress);
    if (code == ERROR_OK) code = sim_output_close(&output, error);
    sim_output_drop(&output);
    for (int i = 0; i < cohort.case_count; i++)
        sim_case_free(cases[i]);
    return code;
}

static ErrorCode merge(const CliCall *call, Error *error) {
    const char *csv = call->values[CSV].text;
    CohortTable table;
    Output output = {0};
    ErrorCode code = sim_cohort_merge(call->operands, call->operand_count, &table, error);
    if (code == ERROR_OK && csv != NULL) {
        code = sim_output_open(&output, csv, error);
        if (code == ERROR_OK) {
            sim_cohort_write(&table, output.file);
            code = sim_output_close(&output, error);
        }
        sim_output_drop(&output);
    }
    if (code == ERROR_OK && (csv == NULL || strcmp(csv, "-") != 0))
        code = sim_cohort_summarise(&table, stdout, error);
    sim_cohort_table_free(&table);
    return code;
}

static ErrorCode cohort(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    if (values[MERGE].given) {
        const int playing[] = {PATIENTS, PLANS, SEED, SHARD, THREADS};
        for (size_t i = 0; i < sizeof playing / sizeof playing[0]; i++) {
            if (!values[playing[i]].given) continue;
            return model_error_set(error, ERROR_USAGE, "--%s belongs to playing, not to --merge",
                                   ROW_TABLE[playing[i]].name);
        }
        if (call->operand_count == 0) return model_error_set(error, ERROR_USAGE, "--merge needs tables");
        return merge(call, error);
    }
    if (values[CSV].given) return play(call, error);
    ErrorCode code = model_error_set(error, ERROR_USAGE, "there is no file for the nights");
    model_error_allow(error, "--csv FILE, or --csv - for standard output");
    return code;
}

const CliCommand SIM_CLI_COHORT = {
    .name = "cohort",
    .operands = "[CASE... | --merge TABLE...]",
    .operand_min = 0,
    .operand_max = CLI_ANY_NUMBER,
    .text = "cases in many varied patients, in parts that a batch system spreads over machines",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = cohort,
};
