/* What the logbook's sheet shows, read from the folder of nights; files in and out. */
#include "ui/logbook.h"

#include "sim/bundle.h"
#include "sim/logbook_report.h"
#include "sim/output.h"
#include "sim/xapi.h"
#include "ui/clock_here.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- reading ---- */

static void say_outcome(const LogbookNight *n, char *text, size_t size) {
    static const struct {
        const char *word, *says;
    } WORDS[] = {{"good", "went well"},
                 {"mixed", "went with a price"},
                 {"harm", "lasting harm"},
                 {"death", "the patient died"}};
    int minutes = (int)(n->attempt.reached_s / 60.0);
    snprintf(text, size, "%s at %d:%02d h", n->attempt.complete ? "stopped" : "left", minutes / 60,
             minutes % 60);
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (strcmp(n->outcome, WORDS[i].word) == 0) snprintf(text, size, "%s", WORDS[i].says);
    }
}

static void take_row(LogbookRow *row, const Logbook *book, const LogbookNight *n) {
    *row = (LogbookRow){
        .score = sim_logbook_score(n), .trouble = n->onset_s >= 0.0, .recognition_s = n->recognition_s};
    ui_clock_here_write(n->attempt.begun, row->when, sizeof row->when);
    snprintf(row->trainee, sizeof row->trainee, "%s", n->attempt.trainee);
    snprintf(row->case_title, sizeof row->case_title, "%s", n->case_title);
    snprintf(row->file, sizeof row->file, "%s", n->attempt.file);
    say_outcome(n, row->outcome, sizeof row->outcome);
    if (n->call_count == 0) return;
    const LogbookCall *call = &book->call[n->first_call + n->call_count - 1];
    row->right = call->right;
    snprintf(row->call, sizeof row->call, "%.60s, %d %%",
             call->called < DIAGNOSIS_COUNT ? sim_diagnoses_row(call->called)->label : "a kind of problem",
             call->confidence_percent);
}

/* Names of trainees and cases of all nights, for the choice. */
static void take_names(LogbookSheet *sheet, const Logbook *all) {
    LogbookGroup *group = calloc(LOGBOOK_GROUPS_MAX, sizeof *group);
    if (group == NULL) return;
    int count = sim_logbook_groups(all, LOGBOOK_BY_TRAINEE, group);
    for (sheet->names = 0; sheet->names < count && sheet->names < LOGBOOK_NAMES_MAX; sheet->names++)
        snprintf(sheet->trainee[sheet->names], JOURNAL_NAME_MAX, "%.63s", group[sheet->names].key);
    count = sim_logbook_groups(all, LOGBOOK_BY_CASE, group);
    for (sheet->cases = 0; sheet->cases < count && sheet->cases < LOGBOOK_NAMES_MAX; sheet->cases++) {
        snprintf(sheet->case_id[sheet->cases], JOURNAL_NAME_MAX, "%.63s", group[sheet->cases].key);
        snprintf(sheet->case_title[sheet->cases], CASE_LINE_MAX, "%s", group[sheet->cases].title);
    }
    if (sheet->name >= sheet->names) sheet->name = -1;
    if (sheet->chosen_case >= sheet->cases) sheet->chosen_case = -1;
    free(group);
}

static void take_next(LogbookSheet *sheet, const Logbook *book) {
    LogbookNext next[LOGBOOK_NEXT_MAX];
    LogbookCase *item = calloc(CASEFOLDER_FILES_MAX, sizeof *item);
    sheet->next_count = item != NULL ? sim_logbook_next(book, item, sim_logbook_cases(item), next) : 0;
    for (int i = 0; i < sheet->next_count; i++) {
        snprintf(sheet->next_case[i], CASE_LINE_MAX, "%s", item[next[i].index].title);
        snprintf(sheet->next_why[i], LOGBOOK_REASON_MAX, "%s", next[i].why);
    }
    free(item);
    LogbookPair pair[LOGBOOK_PAIRS_MAX];
    sheet->confused = sim_logbook_confused(book, pair);
    if (sheet->confused > 0)
        snprintf(sheet->confused_text, sizeof sheet->confused_text, "%d\u00d7 it was %s and was called %s",
                 pair[0].times, sim_diagnoses_row(pair[0].truth)->label,
                 sim_diagnoses_row(pair[0].called)->label);
}

static Logbook *open_book(LogbookSheet *sheet, const LogbookFilter *filter) {
    Error error;
    model_error_clear(&error);
    Logbook *book = sim_logbook_open(NULL, filter, &error);
    if (book == NULL) model_error_format(&error, sheet->notice, sizeof sheet->notice);
    return book;
}

static LogbookFilter filter_of(const LogbookSheet *sheet) {
    return (LogbookFilter){.trainee = sheet->name >= 0 ? sheet->trainee[sheet->name] : NULL,
                           .case_id = sheet->chosen_case >= 0 ? sheet->case_id[sheet->chosen_case] : NULL};
}

void ui_logbook_load(LogbookSheet *sheet) {
    Error error;
    if (!sheet->loaded) {
        Logbook *all = open_book(sheet, NULL);
        if (all == NULL) return;
        take_names(sheet, all);
        sim_logbook_free(all);
    }
    LogbookFilter filter = filter_of(sheet);
    Logbook *book = open_book(sheet, &filter);
    if (book == NULL) return;
    sheet->loaded = true;
    snprintf(sheet->folder, sizeof sheet->folder, "%s", book->folder);
    sheet->skipped = book->skipped;
    sheet->unmeasured = book->unmeasured;
    sheet->rows = book->night_count < LOGBOOK_ROWS_MAX ? book->night_count : LOGBOOK_ROWS_MAX;
    for (int i = 0; i < sheet->rows; i++)
        take_row(&sheet->item[i], book, &book->night[book->night_count - 1 - i]);
    if (sheet->row >= sheet->rows) sheet->row = sheet->rows > 0 ? sheet->rows - 1 : 0;
    if (sim_logbook_calibrate_calls(book, &sheet->calls, &error) != ERROR_OK ||
        sim_logbook_calibrate_predictions(book, &sheet->predictions, &error) != ERROR_OK)
        model_error_format(&error, sheet->notice, sizeof sheet->notice);
    take_next(sheet, book);
    sim_logbook_free(book);
}

/* ---- files ---- */

static bool ends_in(const char *path, const char *end) {
    size_t length = strlen(path), wanted = strlen(end);
    return length > wanted && strcmp(path + length - wanted, end) == 0;
}

/* Counts what became of the members of an archive. */
typedef struct Fates {
    int of[BUNDLE_UNREADABLE + 1];
} Fates;

static void count_fate(void *context, const BundleItem *item) {
    Fates *fates = context;
    fates->of[item->fate]++;
}

static ErrorCode write_plain(const Logbook *book, const char *path, Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    if (ends_in(path, ".csv"))
        sim_logbook_write_csv(book, output.file);
    else
        code = sim_xapi_write(book, NULL, output.file, error);
    if (code == ERROR_OK) return sim_output_close(&output, error);
    sim_output_drop(&output);
    return code;
}

static void export_nights(LogbookSheet *sheet) {
    Error error;
    Fates fates = {{0}};
    model_error_clear(&error);
    LogbookFilter filter = filter_of(sheet);
    Logbook *book = open_book(sheet, &filter);
    if (book == NULL) return;
    const char *path = sheet->field.text;
    bool plain = ends_in(path, ".csv") || ends_in(path, ".json");
    ErrorCode code =
        plain ? write_plain(book, path, &error) : sim_bundle_export(book, path, count_fate, &fates, &error);
    if (code != ERROR_OK)
        model_error_format(&error, sheet->notice, sizeof sheet->notice);
    else
        snprintf(sheet->notice, sizeof sheet->notice, "%d nights written to %s",
                 plain ? book->night_count : fates.of[BUNDLE_WRITTEN], path);
    sim_logbook_free(book);
}

static void import_nights(LogbookSheet *sheet) {
    Error error;
    Fates fates = {{0}};
    model_error_clear(&error);
    ErrorCode code = sim_bundle_import(sheet->field.text, NULL, count_fate, &fates, &error);
    int added = fates.of[BUNDLE_ADDED] + fates.of[BUNDLE_RENAMED];
    int left = fates.of[BUNDLE_DAMAGED] + fates.of[BUNDLE_UNLISTED] + fates.of[BUNDLE_NO_NIGHT];
    sheet->loaded = false;
    ui_logbook_load(sheet);
    if (code != ERROR_OK)
        model_error_format(&error, sheet->notice, sizeof sheet->notice);
    else
        snprintf(sheet->notice, sizeof sheet->notice,
                 "%d nights added, %d were here already, %d left out as damaged", added,
                 fates.of[BUNDLE_HERE], left);
}

static void take_name(LogbookSheet *sheet, SheetContext *context) {
    Settings *settings = &context->settings->now;
    snprintf(settings->trainee, sizeof settings->trainee, "%.*s", SETTINGS_NAME_MAX - 1, sheet->field.text);
    snprintf(sheet->working, sizeof sheet->working, "%.63s", settings->trainee);
    if (sheet->working[0] != '\0')
        snprintf(sheet->notice, sizeof sheet->notice, "Nights are recorded for %s from now on",
                 sheet->working);
    else
        snprintf(sheet->notice, sizeof sheet->notice, "Nights are recorded without a name from now on");
}

void ui_logbook_done(LogbookSheet *sheet, SheetContext *context) {
    LogbookMode mode = sheet->mode;
    sheet->mode = LOGBOOK_MODE_NONE;
    if (mode == LOGBOOK_MODE_NAME)
        take_name(sheet, context);
    else if (mode != LOGBOOK_MODE_NONE && sheet->field.text[0] == '\0')
        snprintf(sheet->notice, sizeof sheet->notice, "No file was named; nothing was done");
    else if (mode == LOGBOOK_MODE_EXPORT)
        export_nights(sheet);
    else if (mode == LOGBOOK_MODE_IMPORT)
        import_nights(sheet);
}
