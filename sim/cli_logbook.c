/* `evenkeel logbook`: what came of the nights so far, and carrying nights to another machine. */
#include "sim/bundle.h"
#include "sim/cli_commands.h"
#include "sim/logbook_report.h"
#include "sim/output.h"
#include "sim/suggest.h"
#include "sim/xapi.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TRAINEE, CASE, SINCE, FOLDER, CSV, XAPI, HOME, EXPORT, IMPORT, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [TRAINEE] = {"trainee", "NAME", OPTION_TEXT, 0, 0, false, "nights of this trainee only"},
    [CASE] = {"case", "ID", OPTION_TEXT, 0, 0, false, "nights of this case only"},
    [SINCE] = {"since", "DATE", OPTION_TEXT, 0, 0, false, "nights begun on this day or later, as 2026-11-25"},
    [FOLDER] = {"folder", "FOLDER", OPTION_TEXT, 0, 0, false,
                "where the nights lie; the folder of the window's nights if not given"},
    [CSV] = {"csv", "FILE|-", OPTION_TEXT, 0, 0, false, "table with one row per night"},
    [XAPI] = {"xapi", "FILE|-", OPTION_TEXT, 0, 0, false,
              "statements for a learning-record store (xAPI, JSON)"},
    [HOME] = {"home", "URL", OPTION_TEXT, 0, 0, false,
              "home page of the trainees' accounts in the statements"},
    [EXPORT] = {"export", "FILE", OPTION_TEXT, 0, 0, false, "put the nights into one file (tar)"},
    [IMPORT] = {"import", "FILE", OPTION_TEXT, 0, 0, false,
                "add the nights of such a file; none is overwritten"},
};

static ErrorCode check_date(const char *date, Error *error) {
    static const char FORM[] = "0000-00-00";
    bool fits = date == NULL || (strlen(date) <= strlen(FORM) && date[0] != '\0');
    for (int i = 0; fits && date != NULL && date[i] != '\0'; i++)
        fits = FORM[i] == '-' ? date[i] == '-' : date[i] >= '0' && date[i] <= '9';
    if (fits) return ERROR_OK;
    ErrorCode code = model_error_set(error, ERROR_RANGE, "'%.40s' is no date", date);
    model_error_at(error, "--since", 0, 0);
    model_error_allow(error, "a day as 2026-11-25, a month as 2026-11, a year");
    return code;
}

static void say_fate(void *context, const BundleItem *item) {
    (void)context;
    bool renamed = item->as[0] != '\0' && strcmp(item->name, item->as) != 0;
    printf("%s: %s%s%s\n", item->name, sim_bundle_fate_words(item->fate), renamed ? ": " : "",
           renamed ? item->as : "");
}

static ErrorCode write_table(const Logbook *book, const char *path, Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    sim_logbook_write_csv(book, output.file);
    return sim_output_close(&output, error);
}

static ErrorCode write_statements(const Logbook *book, const char *path, const char *home, Error *error) {
    Output output;
    ErrorCode code = sim_output_open(&output, path, error);
    if (code != ERROR_OK) return code;
    code = sim_xapi_write(book, home, output.file, error);
    if (code == ERROR_OK) return sim_output_close(&output, error);
    if (error->code == ERROR_RANGE) model_error_at(error, "--home", 0, 0);
    sim_output_drop(&output);
    return code;
}

/* A trainee or case that has no night: said with the nearest that has. */
static ErrorCode refuse_unknown(const char *folder, const char *option, const char *wanted, LogbookBy by,
                                Error *error) {
    Logbook *all = sim_logbook_open(folder, NULL, error);
    if (all == NULL) return error->code;
    LogbookGroup *group = calloc(LOGBOOK_GROUPS_MAX, sizeof *group);
    const char *names[LOGBOOK_GROUPS_MAX];
    int count = group != NULL ? sim_logbook_groups(all, by, group) : 0;
    bool known = false;
    for (int i = 0; i < count; i++) {
        names[i] = group[i].key;
        known = known || strcmp(group[i].key, wanted) == 0;
    }
    ErrorCode code = ERROR_OK;
    if (!known) {
        code = model_error_set(error, ERROR_NOT_ALLOWED, "there is no night of '%.60s'", wanted);
        model_error_at(error, option, 0, 0);
        if (count > 0)
            sim_suggest_allow(error, wanted, names, (size_t)count, "", "evenkeel logbook shows all nights");
    }
    free(group);
    sim_logbook_free(all);
    return code;
}

static ErrorCode show(const CliCall *call, const Logbook *book, Error *error) {
    const OptionValue *v = call->values;
    ErrorCode code = ERROR_OK;
    bool quiet = v[CSV].given || v[XAPI].given || v[EXPORT].given || v[IMPORT].given;
    if (v[CSV].given) code = write_table(book, v[CSV].text, error);
    if (code == ERROR_OK && v[XAPI].given) code = write_statements(book, v[XAPI].text, v[HOME].text, error);
    if (code == ERROR_OK && v[EXPORT].given)
        code = sim_bundle_export(book, v[EXPORT].text, say_fate, NULL, error);
    if (code == ERROR_OK && !quiet) code = sim_logbook_report(book, stdout, error);
    return code;
}

static ErrorCode keep_logbook(const CliCall *call, Error *error) {
    const OptionValue *v = call->values;
    const char *folder = v[FOLDER].text;
    const CliFile files[] = {{"--import", v[IMPORT].text, false},
                             {"--csv", v[CSV].text, true},
                             {"--xapi", v[XAPI].text, true},
                             {"--export", v[EXPORT].text, true}};
    ErrorCode code = sim_cli_check_files(files, sizeof files / sizeof files[0], error);
    if (code == ERROR_OK) code = check_date(v[SINCE].text, error);
    if (code == ERROR_OK && v[HOME].given && !v[XAPI].given) {
        code = model_error_set(error, ERROR_USAGE, "--home says whose accounts the statements are of");
        model_error_at(error, "--home", 0, 0);
        model_error_allow(error, "together with --xapi");
    }
    if (code == ERROR_OK && v[IMPORT].given)
        code = sim_bundle_import(v[IMPORT].text, folder, say_fate, NULL, error);
    LogbookFilter filter = {.trainee = v[TRAINEE].text, .case_id = v[CASE].text, .since = v[SINCE].text};
    Logbook *book = code == ERROR_OK ? sim_logbook_open(folder, &filter, error) : NULL;
    if (book == NULL) return error->code;
    if (book->night_count == 0 && v[TRAINEE].given)
        code = refuse_unknown(folder, "--trainee", v[TRAINEE].text, LOGBOOK_BY_TRAINEE, error);
    if (code == ERROR_OK && book->night_count == 0 && v[CASE].given)
        code = refuse_unknown(folder, "--case", v[CASE].text, LOGBOOK_BY_CASE, error);
    if (code == ERROR_OK) code = show(call, book, error);
    sim_logbook_free(book);
    return code;
}

const CliCommand SIM_CLI_LOGBOOK = {
    .name = "logbook",
    .operands = "",
    .text = "attempts, scores, how soon it was recognised, confidence, what to practise next",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = keep_logbook,
};
