/* `evenkeel rehearse CASE`: what happens in a case, and what can be told apart when, before it is taught
 * with. */
#include "sim/cli_commands.h"
#include "sim/output.h"
#include "sim/progress.h"
#include "sim/rehearse.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { PATIENTS, ALIKE, THREADS, SEED, HTML, CSV, ROWS };

#define LONG_MIN 2.0 /* what takes longer is said beforehand */

static const OptionRow ROW_TABLE[ROWS] = {
    [PATIENTS] = {"patients", "N", OPTION_WHOLE, 0, REHEARSE_PATIENTS_MAX, false,
                  "varied patients, untouched and with the first good plan; 50 if not given, 0: none"},
    [ALIKE] = {"alike", "N", OPTION_WHOLE, 0, REHEARSE_ALIKE_MAX, false,
               "patients of each look-alike, 4 or more; 6 if not given, 0: no look-alikes"},
    [THREADS] = {"threads", "N", OPTION_WHOLE, 1, CREW_THREADS_MAX, false,
                 "one for each processor if not given; the result is the same"},
    [SEED] = {"seed", "N", OPTION_WHOLE, 0, 9007199254740991.0, false, "instead of the case's own"},
    [HTML] = {"html", "FILE|-", OPTION_TEXT, 0, 0, false, "all of it as one page with plots"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false,
             "one row for each course, patient and fact; times in s"},
};

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static bool show_progress(void *context, double done) {
    sim_progress_show(context, done);
    return false;
}

/* A part of the rehearsal: played under a bar, then printed. */
typedef struct Part {
    const char *name;
    ErrorCode (*play)(Rehearsal *rehearsal, Error *error);
    void (*print)(const Rehearsal *rehearsal, FILE *out);
} Part;

static ErrorCode play_part(const Part *part, Rehearsal *r, FILE *out, Error *error) {
    double from_s = now_s();
    Progress progress = sim_progress_start(part->name);
    r->options.watch = show_progress;
    r->options.watch_context = &progress;
    ErrorCode code = part->play(r, error);
    sim_progress_end(&progress);
    r->options.watch = NULL;
    if (code != ERROR_OK || out == NULL) return code;
    part->print(r, out);
    fprintf(out, "(%s: %.0f s on %d thread%s)\n", part->name, now_s() - from_s, r->options.threads,
            r->options.threads == 1 ? "" : "s");
    fflush(out);
    return ERROR_OK;
}

static ErrorCode write_file(const char *path, const Rehearsal *r, void (*write)(const Rehearsal *, FILE *),
                            Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    write(r, output.file);
    return sim_output_close(&output, error);
}

/* Says beforehand how long the varied patients will take, as far as the courses tell, when that is long. */
static void say_how_long(const Rehearsal *r, double courses_s, FILE *out) {
    int ranges = 1;
    for (int i = 1; i < r->course_count; i++)
        if (r->course[i].rank == CASE_RANK_GOOD) ranges = 2;
    double minutes = courses_s / r->course_count * ranges * r->options.patients / 60.0;
    if (minutes < LONG_MIN) return;
    fprintf(out, "\nNext: %d varied patients, about %.0f min; --patients 0 leaves them out.\n",
            r->options.patients, minutes);
    fflush(out);
}

/* The page is there as soon as there is something to read; the varied patients come to it at the end. */
static ErrorCode write_page_early(const char *html, const Rehearsal *r, Error *error) {
    if (html == NULL || strcmp(html, "-") == 0 || r->options.patients == 0) return ERROR_OK;
    return write_file(html, r, sim_rehearse_write_page, error);
}

static ErrorCode play_all(const CliCall *call, Rehearsal *r, Error *error) {
    const char *html = call->values[HTML].text, *csv = call->values[CSV].text;
    bool quiet = (html != NULL && strcmp(html, "-") == 0) || (csv != NULL && strcmp(csv, "-") == 0);
    FILE *out = quiet ? NULL : stdout;
    const Part courses = {"courses", sim_rehearse_courses, sim_rehearse_print_courses};
    const Part alike = {"look-alikes", sim_rehearse_alike, sim_rehearse_print_alike};
    const Part varied = {"varied patients", sim_rehearse_vary, sim_rehearse_print_ranges};
    if (out != NULL)
        fprintf(out, "%s, level %d, seed %llu\n", r->case_file->title, r->case_file->level,
                (unsigned long long)(r->options.session.seed_given ? r->options.session.seed
                                                                   : r->case_file->seed));
    double from_s = now_s();
    ErrorCode code = play_part(&courses, r, out, error);
    double courses_s = now_s() - from_s;
    if (code == ERROR_OK && r->options.alike > 0) code = play_part(&alike, r, out, error);
    if (code == ERROR_OK) code = write_page_early(html, r, error);
    if (code == ERROR_OK && r->options.patients > 0) {
        if (out != NULL) say_how_long(r, courses_s, out);
        code = play_part(&varied, r, out, error);
    }
    if (code == ERROR_OK && html != NULL) code = write_file(html, r, sim_rehearse_write_page, error);
    if (code == ERROR_OK && csv != NULL) code = write_file(csv, r, sim_rehearse_write_csv, error);
    return code;
}

static ErrorCode rehearse(const CliCall *call, Error *error) {
    const OptionValue *values = call->values;
    const CliFile files[] = {{"the case", call->operands[0], false},
                             {"--html", values[HTML].text, true},
                             {"--csv", values[CSV].text, true}};
    ErrorCode code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code != ERROR_OK) return code;
    RehearseOptions options = {
        .session = sim_session_options_none(),
        .patients = values[PATIENTS].given ? (int)values[PATIENTS].number : REHEARSE_PATIENTS,
        .alike = values[ALIKE].given ? (int)values[ALIKE].number : REHEARSE_ALIKE,
        .threads = values[THREADS].given ? (int)values[THREADS].number : sim_crew_threads()};
    options.session.seed_given = values[SEED].given;
    options.session.seed = (uint64_t)values[SEED].number;
    if (options.alike > 0 && options.alike < REHEARSE_ALIKE_LEAST) {
        code = model_error_set(error, ERROR_RANGE, "%d patients are no group", options.alike);
        model_error_at(error, "--alike", 0, 0);
        model_error_allow(error, "0, or %d to %d", REHEARSE_ALIKE_LEAST, REHEARSE_ALIKE_MAX);
        return code;
    }
    Case *case_file = NULL;
    code = sim_cli_load_case(call->operands[0], &case_file, error);
    if (code != ERROR_OK) return code;
    Rehearsal *rehearsal = sim_rehearse_begin(case_file, &options, error);
    code = rehearsal == NULL ? error->code : play_all(call, rehearsal, error);
    sim_rehearse_free(rehearsal);
    sim_case_free(case_file);
    return code;
}

const CliCommand SIM_CLI_REHEARSE = {
    .name = "rehearse",
    .operands = "CASE",
    .operand_min = 1,
    .operand_max = 1,
    .text = "what happens in a case: untouched, with its plans, in varied patients; what the numbers and the "
            "picture tell apart, and when",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = rehearse,
};
