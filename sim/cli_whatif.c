/* `evenkeel whatif SESSION`: a recorded night with an order moved, left out or added, beside what happened.
 */
#include "sim/build_id.h"
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/csv.h"
#include "sim/duration.h"
#include "sim/output.h"
#include "sim/progress.h"
#include "sim/quantity.h"
#include "sim/whatif.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { EARLIER, DROP, MOVE, ORDER_LINE, VARIANTS, CSV, ROWS };

enum { LABEL_WIDTH = 26 };

static const OptionRow ROW_TABLE[ROWS] = {
    [EARLIER] = {"earlier", "DUR", OPTION_DURATION, 1, 86400, false,
                 "the treatment that much earlier; 20min if nothing is changed"},
    [DROP] = {"drop", "N", OPTION_LIST, 0, 0, false, "leave act N out"},
    [MOVE] = {"move", "'N TIME'", OPTION_LIST, 0, 0, false, "act N at another time"},
    [ORDER_LINE] = {"order", "'TIME ORDER'", OPTION_LIST, 0, 0, false, "one more order"},
    [VARIANTS] = {"variants", "N", OPTION_WHOLE, 0, WHATIF_VARIANTS, false,
                  "how many like patients the range is over; 20 if not given, 0: no range"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false, "both courses, one row a minute"},
};

/* All that is compared. */
typedef struct Comparison {
    Recall *recall;
    RerunActs acts, otherwise;
    RerunCourse night, other;
    WhatifRange range;
    double until_s;
    int variants;
} Comparison;

static bool show_progress(void *context, double done) {
    sim_progress_show(context, done);
    return false;
}

static void print_acts(const RerunActs *acts) {
    for (int i = 0; i < acts->count; i++) {
        char clock[DURATION_TEXT_MAX];
        sim_duration_format_clock(acts->act[i].time_s, clock, sizeof clock);
        printf("%4d  %s  %s\n", i + 1, clock, acts->act[i].words);
    }
}

/* The number of an act as it is typed, 1 to count. */
static ErrorCode read_number(const char *text, size_t length, int count, const char *option, int *number,
                             Error *error) {
    char copy[16] = "";
    char *end = copy;
    if (length < sizeof copy) memcpy(copy, text, length);
    long value = strtol(copy, &end, 10);
    if (end != copy && *end == '\0' && value >= 1 && value <= count) {
        *number = (int)value - 1;
        return ERROR_OK;
    }
    ErrorCode code = model_error_set(error, ERROR_RANGE, "'%.40s' is no act of this night", text);
    model_error_at(error, option, 0, 0);
    model_error_allow(error, "1 to %d; without options they are listed", count);
    return code;
}

/* Carries out --move: acts keep their typed numbers, which are those of the list before any change. */
static ErrorCode move_act(const char *text, const RerunActs *acts, double *time_s, Error *error) {
    size_t length = strcspn(text, " ");
    int number;
    ErrorCode code = read_number(text, length, acts->count, "--move", &number, error);
    if (code != ERROR_OK) return code;
    code = sim_duration_parse(text + length + (text[length] == ' '), &time_s[number], error);
    if (code != ERROR_OK) model_error_at(error, "--move", 0, 0);
    return code;
}

static ErrorCode add_order(const char *text, Comparison *c, Error *error) {
    char typed[DURATION_TEXT_MAX];
    size_t length = strcspn(text, " ");
    double time_s;
    Act act;
    snprintf(typed, sizeof typed, "%.*s", (int)(length < sizeof typed ? length : sizeof typed - 1), text);
    ErrorCode code = sim_duration_parse(typed, &time_s, error);
    const char *words = text + length + (text[length] == ' ');
    if (code == ERROR_OK) code = sim_acts_parse(words, &c->recall->case_file->limits, &act, error);
    if (code == ERROR_OK && !sim_rerun_acts_add(&c->otherwise, time_s, LOG_ORDER, words))
        code = model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    if (code != ERROR_OK) model_error_at(error, "--order", 0, 0);
    return code;
}

/* Makes `otherwise` from what was typed. */
static ErrorCode change(const CliCall *call, Comparison *c, double earlier_s, Error *error) {
    const OptionValue *values = call->values;
    double *time_s = calloc((size_t)c->acts.count + 1, sizeof *time_s);
    bool *dropped = calloc((size_t)c->acts.count + 1, sizeof *dropped);
    ErrorCode code = ERROR_OK;
    if (time_s == NULL || dropped == NULL) code = model_error_set(error, ERROR_MEMORY, "no memory");
    if (code == ERROR_OK && sim_whatif_earlier(c->recall, &c->acts, earlier_s, time_s) == 0 &&
        earlier_s > 0.0) {
        code = model_error_set(error, ERROR_NOT_ALLOWED, "this night has no treatment to move");
        model_error_at(error, "--earlier", 0, 0);
        model_error_allow(error, "another change, for example --order '20min peep 5'");
    }
    for (size_t i = 0; code == ERROR_OK && i < values[MOVE].count; i++)
        code = move_act(values[MOVE].list[i], &c->acts, time_s, error);
    for (size_t i = 0; code == ERROR_OK && i < values[DROP].count; i++) {
        int number = 0;
        const char *text = values[DROP].list[i];
        code = read_number(text, strlen(text), c->acts.count, "--drop", &number, error);
        if (code == ERROR_OK) dropped[number] = true;
    }
    for (int i = 0; code == ERROR_OK && i < c->acts.count; i++) {
        const RerunAct *act = &c->acts.act[i];
        if (!dropped[i] && !sim_rerun_acts_add(&c->otherwise, time_s[i], act->kind, act->words))
            code = model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    }
    for (size_t i = 0; code == ERROR_OK && i < values[ORDER_LINE].count; i++)
        code = add_order(values[ORDER_LINE].list[i], c, error);
    free(dropped);
    free(time_s);
    return code;
}

static ErrorCode play_both(Comparison *c, Error *error) {
    const Recall *recall = c->recall;
    Progress progress = sim_progress_start("what if");
    ErrorCode code = sim_whatif_compare(recall, &c->acts, &c->otherwise, c->until_s, show_progress, &progress,
                                        &c->night, &c->other, error);
    if (code == ERROR_OK && c->variants > 0) {
        code = sim_whatif_range(recall->case_file, &recall->options, &c->otherwise, c->until_s, c->variants,
                                sim_whatif_threads(), show_progress, NULL, &progress, &c->range, error);
    }
    sim_progress_end(&progress);
    return code;
}

static void print_difference(const Comparison *c) {
    for (int i = 0; i < c->otherwise.count; i++) {
        const RerunAct *act = &c->otherwise.act[i];
        bool before = false;
        for (int k = 0; k < c->acts.count && !before; k++)
            before = c->acts.act[k].time_s == act->time_s && strcmp(c->acts.act[k].words, act->words) == 0;
        char clock[DURATION_TEXT_MAX];
        sim_duration_format_clock(act->time_s, clock, sizeof clock);
        if (!before) printf("  now at %s  %s\n", clock, act->words);
    }
    for (int i = 0; i < c->acts.count; i++) {
        const RerunAct *act = &c->acts.act[i];
        bool after = false;
        for (int k = 0; k < c->otherwise.count && !after; k++)
            after = c->otherwise.act[k].time_s == act->time_s &&
                    strcmp(c->otherwise.act[k].words, act->words) == 0;
        char clock[DURATION_TEXT_MAX];
        sim_duration_format_clock(act->time_s, clock, sizeof clock);
        if (!after) printf("  not at %s  %s\n", clock, act->words);
    }
    if (c->other.refused > 0)
        printf("  left out, no longer possible: %d (%s)\n", c->other.refused, c->other.refusal);
}

static void print_end(const char *what, const RerunCourse *course) {
    char clock[DURATION_TEXT_MAX];
    sim_duration_format_clock(course->reached_s, clock, sizeof clock);
    printf("  %-10s %s  %s%s%s\n", what, clock,
           course->ended ? sim_case_outcome_word(course->end) : "goes on", course->ended ? ": " : "",
           course->ended ? course->end_text : "");
}

static void print_table(const Comparison *c) {
    printf("\n%-*s%10s%10s%22s\n", LABEL_WIDTH, "", "night", "what if", c->variants > 0 ? "range" : "");
    for (int i = 0; i < OUTCOME_COUNT; i++) {
        const RerunOutcomeRow *row = sim_rerun_outcome_row((RerunOutcome)i);
        char label[64];
        snprintf(label, sizeof label, "%s, %s", row->label, row->unit);
        printf("%-*s%10.*f%10.*f", LABEL_WIDTH, label, row->decimals, c->night.outcome[i], row->decimals,
               c->other.outcome[i]);
        if (c->variants > 0)
            printf("%12.*f to %.*f", row->decimals, c->range.low[i], row->decimals, c->range.high[i]);
        putchar('\n');
    }
    printf("\n");
    print_end("night", &c->night);
    print_end("what if", &c->other);
    if (c->variants > 0) {
        printf("  range: 5th to 95th of %d like patients; of these", c->range.variants);
        for (int i = 0; i < CASE_OUTCOME_COUNT; i++) {
            if (c->range.ends[i] > 0)
                printf(" %d %s", c->range.ends[i],
                       i == CASE_OUTCOME_NONE ? "not ended" : sim_case_outcome_word((CaseOutcome)i));
        }
        printf("\n");
    }
    printf("\nA model's estimate with the same seed, not proof of what a person would have done.\n");
}

static void write_course(FILE *out, const char *which, const RerunCourse *course) {
    CsvWriter csv = sim_csv_begin(out);
    for (int k = 0; k < course->points; k++) {
        sim_csv_text(&csv, which);
        for (int i = 0; i < OBSERVABLE_COUNT; i++)
            sim_csv_quantity(&csv, model_observables_get(&course->mean[k], (ObservableId)i),
                             model_observables_row((ObservableId)i)->unit);
        sim_csv_end_row(&csv);
    }
}

static ErrorCode write_csv(const Comparison *c, const char *path, Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    CsvWriter csv = sim_csv_begin(output.file);
    sim_csv_text(&csv, "course");
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        sim_csv_text(&csv, model_observables_row((ObservableId)i)->key);
    sim_csv_end_row(&csv);
    write_course(output.file, "night", &c->night);
    write_course(output.file, "whatif", &c->other);
    return sim_output_close(&output, error);
}

static ErrorCode compare(const CliCall *call, Comparison *c, Error *error) {
    const OptionValue *values = call->values;
    c->recall = sim_recall_open(call->operands[0], error);
    if (c->recall == NULL) return error->code;
    if (!c->recall->same_build) {
        ErrorCode code = model_error_set(error, ERROR_FORMAT, "another build recorded this night: %s",
                                         c->recall->night.build);
        model_error_at(error, call->operands[0], 0, 0);
        model_error_allow(error, "a night of this build, %s", sim_build_id());
        return code;
    }
    if (!sim_whatif_acts(c->recall, &c->acts))
        return model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    bool changed =
        values[EARLIER].given || values[MOVE].count + values[DROP].count + values[ORDER_LINE].count > 0;
    double earlier_s = changed ? values[EARLIER].number : WHATIF_EARLIER_S;
    if (!changed) {
        int number[WHATIF_TREATMENTS_MAX];
        printf("What was done in this night, by number:\n");
        print_acts(&c->acts);
        printf("Change it with --earlier, --move, --drop or --order; see --help.\n\n");
        if (sim_whatif_treatment(c->recall, &c->acts, number, WHATIF_TREATMENTS_MAX) == 0) return ERROR_OK;
    }
    c->until_s = sim_whatif_until_s(c->recall);
    c->variants = values[VARIANTS].given ? (int)values[VARIANTS].number : WHATIF_VARIANTS;
    ErrorCode code = change(call, c, earlier_s, error);
    if (code == ERROR_OK) code = play_both(c, error);
    if (code != ERROR_OK) return code;
    if (values[CSV].given && strcmp(values[CSV].text, "-") == 0) return write_csv(c, "-", error);
    printf("%s, seed %llu\n", c->recall->night.case_title, (unsigned long long)c->recall->night.seed);
    print_difference(c);
    print_table(c);
    return values[CSV].given ? write_csv(c, values[CSV].text, error) : ERROR_OK;
}

static ErrorCode whatif(const CliCall *call, Error *error) {
    const CliFile files[] = {{"the night", call->operands[0], false},
                             {"--csv", call->values[CSV].text, true}};
    ErrorCode code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code != ERROR_OK) return code;
    Comparison c = {.recall = NULL};
    code = compare(call, &c, error);
    sim_rerun_course_free(&c.night);
    sim_rerun_course_free(&c.other);
    sim_rerun_acts_free(&c.acts);
    sim_rerun_acts_free(&c.otherwise);
    sim_recall_free(c.recall);
    return code;
}

const CliCommand SIM_CLI_WHATIF = {
    .name = "whatif",
    .operands = "SESSION",
    .operand_min = 1,
    .operand_max = 1,
    .text = "a recorded night with something done otherwise, beside what happened",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = whatif,
};
