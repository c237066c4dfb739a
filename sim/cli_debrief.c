/* `evenkeel debrief SESSION`: looking back on a recorded night. */
#include "sim/build_id.h"
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/debrief.h"
#include "sim/debrief_notes.h"
#include "sim/output.h"
#include "sim/progress.h"
#include "sim/whatif_job.h"

#include <stdio.h>
#include <stdlib.h>

enum { HTML, SVG, WHATIF, VARIANTS, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [HTML] = {"html", "FILE|-", OPTION_TEXT, 0, 0, false,
              "the whole debrief as one page, instead of the window"},
    [WHATIF] = {"whatif", NULL, OPTION_FLAG, 0, 0, false,
                "with --html: also what the same treatment 20 minutes earlier would have done"},
    [VARIANTS] = {"variants", "N", OPTION_WHOLE, 0, WHATIF_VARIANTS, false,
                  "how many like patients its range is over; 20 if not given, 0: no range"},
    [SVG] = {"svg", "FILE|-", OPTION_TEXT, 0, 0, false, "the course alone, as a picture"},
};

/* All that a page is written from. */
typedef struct Pages {
    const Debrief *debrief;
    DebriefExtras extras;
    DebriefNotes notes;
    RerunActs acts, otherwise;
    RerunCourse night, other;
    WhatifRange range;
} Pages;

static void write_page(const Pages *pages, FILE *out) {
    sim_debrief_write_page(pages->debrief, &pages->extras, out);
}

static void write_course(const Pages *pages, FILE *out) {
    sim_debrief_write_course(pages->debrief, out);
}

static ErrorCode write_file(const char *path, const Pages *pages, void (*write)(const Pages *, FILE *),
                            Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    write(pages, output.file);
    return sim_output_close(&output, error);
}

static bool show_progress(void *context, double done) {
    sim_progress_show(context, done);
    return false;
}

/* The treatment 20 minutes earlier, and its range. */
static ErrorCode compute_whatif(const Recall *recall, int variants, Pages *pages, Error *error) {
    if (!recall->same_build) {
        ErrorCode refused = model_error_set(error, ERROR_FORMAT, "another build recorded this night: %s",
                                            recall->night.build);
        model_error_at(error, "--whatif", 0, 0);
        model_error_allow(error, "the page without it, or a night of this build, %s", sim_build_id());
        return refused;
    }
    if (!sim_whatif_acts(recall, &pages->acts))
        return model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    double *time_s = calloc((size_t)pages->acts.count + 1, sizeof *time_s);
    if (time_s == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    ErrorCode code = ERROR_OK;
    bool any = sim_whatif_earlier(recall, &pages->acts, WHATIF_EARLIER_S, time_s) > 0;
    for (int i = 0; code == ERROR_OK && i < pages->acts.count; i++) {
        if (!sim_rerun_acts_add(&pages->otherwise, time_s[i], pages->acts.act[i].kind,
                                pages->acts.act[i].words))
            code = model_error_set(error, ERROR_MEMORY, "no memory for the orders");
    }
    free(time_s);
    if (code != ERROR_OK || !any) return code; /* without a treatment there is nothing to move */
    Progress progress = sim_progress_start("what if");
    double until_s = sim_whatif_until_s(recall);
    code = sim_whatif_compare(recall, &pages->acts, &pages->otherwise, until_s, show_progress, &progress,
                              &pages->night, &pages->other, error);
    if (code == ERROR_OK && variants > 0)
        code = sim_whatif_range(recall->case_file, &recall->options, &pages->otherwise, until_s, variants,
                                sim_whatif_threads(), show_progress, NULL, &progress, &pages->range, error);
    sim_progress_end(&progress);
    if (code != ERROR_OK) return code;
    pages->extras.acts = &pages->acts;
    pages->extras.otherwise = &pages->otherwise;
    pages->extras.night = &pages->night;
    pages->extras.other = &pages->other;
    pages->extras.range = &pages->range;
    return ERROR_OK;
}

static ErrorCode make_pages(const CliCall *call, const char *html, const char *svg, const Recall *recall,
                            Debrief *debrief, Pages *pages, Error *error) {
    const OptionValue *values = call->values;
    sim_debrief_make(recall, debrief);
    pages->debrief = debrief;
    if (call->window != NULL) pages->extras.heart = call->window->heart;
    Error unread; /* words that cannot be read are no reason to write no page */
    if (sim_debrief_notes_read(recall->path, &pages->notes, &unread) == ERROR_OK)
        pages->extras.notes = &pages->notes;
    ErrorCode code = ERROR_OK;
    if (values[WHATIF].given && html != NULL)
        code = compute_whatif(recall, values[VARIANTS].given ? (int)values[VARIANTS].number : WHATIF_VARIANTS,
                              pages, error);
    if (code == ERROR_OK && html != NULL) code = write_file(html, pages, write_page, error);
    if (code == ERROR_OK && svg != NULL) code = write_file(svg, pages, write_course, error);
    return code;
}

static ErrorCode debrief_night(const CliCall *call, Error *error) {
    const char *html = call->values[HTML].text, *svg = call->values[SVG].text;
    if (html == NULL && svg == NULL && call->window != NULL) {
        JournalNight night; /* said here, before a window opens */
        ErrorCode read = sim_journal_read(call->operands[0], &night, error);
        WindowRequest request = {.debrief_path = call->operands[0]};
        return read == ERROR_OK ? call->window->open(&request, error) : read;
    }
    if (html == NULL && svg == NULL) html = "-";
    const CliFile files[] = {
        {"the night", call->operands[0], false}, {"--html", html, true}, {"--svg", svg, true}};
    ErrorCode code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code != ERROR_OK) return code;
    Recall *recall = sim_recall_open(call->operands[0], error);
    if (recall == NULL) return error->code;
    if (recall->damage[0] != '\0')
        sim_console_say("%s: the night is damaged: %s", call->operands[0], recall->damage);
    Debrief *debrief = calloc(1, sizeof *debrief);
    Pages *pages = calloc(1, sizeof *pages);
    if (debrief == NULL || pages == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the debrief");
    else
        code = make_pages(call, html, svg, recall, debrief, pages, error);
    if (pages != NULL) {
        sim_rerun_course_free(&pages->night);
        sim_rerun_course_free(&pages->other);
        sim_rerun_acts_free(&pages->acts);
        sim_rerun_acts_free(&pages->otherwise);
    }
    free(pages);
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
