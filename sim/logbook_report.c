/* The logbook as text and as a table. */
#include "sim/logbook_report.h"

#include "sim/csv.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PERCENT   100.0
#define MINUTE_S  60.0
#define CELL_MAX  40
#define CASE_WIDE 30

enum { LINES_MOST = 5 };

/* ---- cells ---- */

static const char *share(double frac, char text[CELL_MAX]) {
    if (isfinite(frac))
        snprintf(text, CELL_MAX, "%.0f %%", PERCENT * frac);
    else
        snprintf(text, CELL_MAX, "-");
    return text;
}

/* Whole minutes; "-" for a negative time. */
static const char *minutes(double time_s, char text[CELL_MAX]) {
    if (time_s >= 0.0)
        snprintf(text, CELL_MAX, "%.0f min", time_s / MINUTE_S);
    else
        snprintf(text, CELL_MAX, "-");
    return text;
}

/* "2026-11-25 21:04" of an ISO time. */
static const char *moment(const char *begun, char text[CELL_MAX]) {
    snprintf(text, CELL_MAX, "%.10s %.5s", begun, strlen(begun) > 11 ? begun + 11 : "");
    return text;
}

static const char *name_of(const char *trainee) {
    return trainee[0] != '\0' ? trainee : "(no name)";
}

/* ---- parts ---- */

static void write_nights(const Logbook *book, FILE *out) {
    char when[CELL_MAX], score[CELL_MAX], recognised[CELL_MAX], target[CELL_MAX];
    fprintf(out, "%-16s  %-*s  %6s  %10s  %9s  %-9s  %s\n", "night (UTC)", CASE_WIDE, "case", "score",
            "recognised", "in target", "outcome", "last call");
    for (int i = 0; i < book->night_count; i++) {
        const LogbookNight *n = &book->night[i];
        fprintf(out, "%-16s  %-*.*s  %6s  %10s  %9s  %-9s", moment(n->attempt.begun, when), CASE_WIDE,
                CASE_WIDE, n->attempt.case_id, share(sim_logbook_score(n), score),
                n->onset_s < 0.0 ? "no trouble" : minutes(n->recognition_s, recognised),
                share(n->in_target, target),
                n->outcome[0] != '\0' ? n->outcome
                : n->attempt.complete ? "stopped"
                                      : "left");
        if (n->call_count > 0) {
            static const char *const RIGHT[] = {"wrong", "right kind", "right"};
            const LogbookCall *call = &book->call[n->first_call + n->call_count - 1];
            fprintf(out, "  %s, %d %%, %s",
                    call->called < DIAGNOSIS_COUNT ? sim_diagnoses_row(call->called)->label : "a kind",
                    call->confidence_percent, RIGHT[call->right]);
        }
        fputc('\n', out);
    }
}

static void write_groups(const Logbook *book, LogbookBy by, const char *head, LogbookGroup *group,
                         FILE *out) {
    int count = sim_logbook_groups(book, by, group);
    if (by == LOGBOOK_BY_TRAINEE && count < 2) return;
    fprintf(out, "\n%-*s  %6s  %6s  %6s  %6s  %12s  %10s  %s\n", CASE_WIDE, head, "nights", "first", "last",
            "mean", "recognised", "first", "last");
    for (int i = 0; i < count; i++) {
        const LogbookGroup *g = &group[i];
        char first[CELL_MAX], last[CELL_MAX], mean[CELL_MAX], early[CELL_MAX], late[CELL_MAX],
            times[CELL_MAX];
        snprintf(times, sizeof times, "%d of %d", g->recognised, g->trouble);
        fprintf(out, "%-*.*s  %6d  %6s  %6s  %6s  %12s  %10s  %s\n", CASE_WIDE, CASE_WIDE,
                by == LOGBOOK_BY_TRAINEE ? name_of(g->key) : g->key, g->nights, share(g->first_score, first),
                share(g->last_score, last), share(g->mean_score, mean), times,
                minutes(g->first_recognition_s, early), minutes(g->last_recognition_s, late));
    }
}

static void write_calibration(const char *what, const Calibration *c, FILE *out) {
    if (c->count == 0) return;
    fprintf(out, "\n%s: %d, said %.0f %% sure, right %.0f %%\n", what, c->count, PERCENT * c->stated_frac,
            PERCENT * c->right_frac);
    for (int b = 0; b < CALIBRATION_BINS; b++) {
        const CalibrationBin *bin = &c->bin[b];
        if (bin->count == 0) continue;
        fprintf(out, "  said %3.0f to %3.0f %%: %3d, mean %3.0f %%, right %3.0f %%\n",
                PERCENT * bin->low_frac, PERCENT * bin->high_frac, bin->count, PERCENT * bin->stated_frac,
                PERCENT * bin->right_frac);
    }
    fprintf(out, "  Brier score %.3f = reliability %.3f - resolution %.3f + uncertainty %.3f (Murphy 1973)\n",
            c->brier, c->reliability, c->resolution, c->uncertainty);
}

static void write_confused(const Logbook *book, FILE *out) {
    LogbookPair pair[LOGBOOK_PAIRS_MAX];
    int count = sim_logbook_confused(book, pair);
    if (count > 0) fprintf(out, "\nCalled one for the other\n");
    for (int i = 0; i < count && i < LINES_MOST; i++)
        fprintf(out, "  %d x  it was %s, called %s\n", pair[i].times, sim_diagnoses_row(pair[i].truth)->label,
                sim_diagnoses_row(pair[i].called)->label);
}

static ErrorCode write_next(const Logbook *book, FILE *out, Error *error) {
    LogbookNext next[LOGBOOK_NEXT_MAX];
    LogbookCase *item = calloc(CASEFOLDER_FILES_MAX, sizeof *item);
    if (item == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    int count = sim_logbook_next(book, item, sim_logbook_cases(item), next);
    if (count > 0) fprintf(out, "\nWhat to practise next\n");
    for (int i = 0; i < count; i++)
        fprintf(out, "  %s: %s\n", item[next[i].index].id, next[i].why);
    free(item);
    return ERROR_OK;
}

/* ---- whole ---- */

ErrorCode sim_logbook_report(const Logbook *book, FILE *out, Error *error) {
    Calibration calls, predictions;
    LogbookGroup *group = calloc(LOGBOOK_GROUPS_MAX, sizeof *group);
    if (group == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the logbook");
    ErrorCode code = sim_logbook_calibrate_calls(book, &calls, error);
    if (code == ERROR_OK) code = sim_logbook_calibrate_predictions(book, &predictions, error);
    if (code == ERROR_OK) {
        fprintf(out, "%d night%s in %s\n", book->night_count, book->night_count == 1 ? "" : "s",
                book->folder);
        if (book->skipped > 0) fprintf(out, "%d more files there are no whole nights\n", book->skipped);
        if (book->unmeasured > 0)
            fprintf(out, "of %d nights it is not known what came of them\n", book->unmeasured);
    }
    if (code == ERROR_OK && book->night_count > 0) {
        fputc('\n', out);
        write_nights(book, out);
        write_groups(book, LOGBOOK_BY_CASE, "case", group, out);
        write_groups(book, LOGBOOK_BY_THEME, "theme", group, out);
        write_groups(book, LOGBOOK_BY_TRAINEE, "trainee", group, out);
        write_calibration("Calls", &calls, out);
        write_calibration("Predictions", &predictions, out);
        write_confused(book, out);
    }
    if (code == ERROR_OK) code = write_next(book, out, error);
    free(group);
    return code;
}

/* An optional time: empty when it did not happen. */
static void put_time(CsvWriter *csv, double time_s) {
    sim_csv_number(csv, time_s >= 0.0 ? time_s : NAN);
}

static void put_night(CsvWriter *csv, const Logbook *book, const LogbookNight *n) {
    char text[CELL_MAX];
    sim_csv_text(csv, n->attempt.begun);
    sim_csv_text(csv, n->attempt.trainee);
    sim_csv_text(csv, n->attempt.case_id);
    sim_csv_text(csv, n->theme);
    sim_csv_number(csv, n->level);
    snprintf(text, sizeof text, "%" PRIu64, n->attempt.seed);
    sim_csv_text(csv, text);
    sim_csv_text(csv, n->attempt.build);
    sim_csv_number(csv, n->attempt.complete);
    sim_csv_text(csv, n->outcome);
    sim_csv_number(csv, n->attempt.reached_s);
    sim_csv_number(csv, n->most > 0.0 ? n->got : NAN);
    sim_csv_number(csv, n->most > 0.0 ? n->most : NAN);
    sim_csv_number(csv, sim_logbook_score(n));
    put_time(csv, n->onset_s);
    put_time(csv, n->sign_s);
    put_time(csv, n->call_s);
    put_time(csv, n->recognition_s);
    put_time(csv, n->answer_s);
    sim_csv_number(csv, n->call_count);
    const LogbookCall *last = n->call_count > 0 ? &book->call[n->first_call + n->call_count - 1] : NULL;
    sim_csv_text(csv,
                 last != NULL && last->called < DIAGNOSIS_COUNT ? sim_diagnoses_row(last->called)->key : "");
    sim_csv_number(csv, last != NULL ? (double)last->confidence_percent : NAN);
    sim_csv_number(csv, last != NULL ? (double)(last->right == 2) : NAN);
    sim_csv_number(csv, n->brier);
    sim_csv_number(csv, n->in_target);
    sim_csv_number(csv, n->objectives);
    sim_csv_number(csv, n->objectives_met);
    sim_csv_text(csv, n->attempt.file);
    sim_csv_end_row(csv);
}

void sim_logbook_write_csv(const Logbook *book, FILE *out) {
    static const char *const HEAD[] = {"begun",
                                       "trainee",
                                       "case",
                                       "theme",
                                       "level",
                                       "seed",
                                       "build",
                                       "complete",
                                       "outcome",
                                       "reached_s",
                                       "score_points",
                                       "score_most_points",
                                       "score_frac",
                                       "onset_s",
                                       "first_sign_s",
                                       "right_call_s",
                                       "recognition_s",
                                       "answer_s",
                                       "calls",
                                       "last_call",
                                       "last_confidence_percent",
                                       "last_right",
                                       "predictions_brier",
                                       "in_target_frac",
                                       "objectives",
                                       "objectives_met",
                                       "file"};
    CsvWriter csv = sim_csv_begin(out);
    for (size_t i = 0; i < sizeof HEAD / sizeof HEAD[0]; i++)
        sim_csv_text(&csv, HEAD[i]);
    sim_csv_end_row(&csv);
    for (int i = 0; i < book->night_count; i++)
        put_night(&csv, book, &book->night[i]);
}
