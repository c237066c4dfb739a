/* Plays a night without a window: orders at their times, tables as it goes, the journal kept. */
#include "sim/night.h"

#include "sim/console.h"
#include "sim/csv.h"
#include "sim/duration.h"
#include "sim/edf.h"
#include "sim/interrupt.h"
#include "sim/means.h"
#include "sim/output.h"
#include "sim/progress.h"
#include "sim/waves.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static const double HALF_TICK_S = BEAT_TICK_S / 2.0;

/* One night under way. */
typedef struct Night {
    Session *session;
    const Plan *plan;
    int next; /* item of the plan */
    Journal *journal;
    const NightOutputs *outputs;
    Output csv, waves;
    EdfWriter *edf;
    Means means;
    double next_row_s;
    int64_t log_printed, takes;
    bool prints_log; /* standard output is free for it */
    bool stopped;    /* asked to, before its end */
    Interrupt interrupt;
    Progress progress;
} Night;

static void write_csv_header(const Night *night) {
    CsvWriter csv = sim_csv_begin(night->csv.file);
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        sim_csv_text(&csv, model_observables_row((ObservableId)i)->key);
    for (int i = 0; night->outputs->display && i < DISPLAY_COUNT; i++) {
        char name[64];
        snprintf(name, sizeof name, "shown_%s", sim_instruments_display_row((DisplayId)i)->key);
        sim_csv_text(&csv, name);
    }
    sim_csv_end_row(&csv);
}

static void write_csv_row(Night *night) {
    CsvWriter csv = sim_csv_begin(night->csv.file);
    Observables means = sim_means_read(&night->means);
    for (int i = 0; i < OBSERVABLE_COUNT; i++)
        sim_csv_quantity(&csv, model_observables_get(&means, (ObservableId)i),
                         model_observables_row((ObservableId)i)->unit);
    const Display *display = sim_session_display(night->session);
    for (int i = 0; night->outputs->display && i < DISPLAY_COUNT; i++) {
        char text[64] = "";
        if (display->valid[i])
            sim_csv_format(text, sizeof text, display->value[i],
                           sim_instruments_display_row((DisplayId)i)->decimals);
        sim_csv_text(&csv, text);
    }
    sim_csv_end_row(&csv);
    sim_means_clear(&night->means);
}

/* Prints what was logged since the last call. */
static void print_log(Night *night) {
    int64_t count = sim_session_log_count(night->session);
    for (; night->log_printed < count; night->log_printed++) {
        const LogEntry *entry = sim_session_log_entry(night->session, night->log_printed);
        if (!night->prints_log || entry == NULL) continue;
        char clock[DURATION_TEXT_MAX];
        sim_duration_format_clock(entry->time_s, clock, sizeof clock);
        sim_progress_clear(&night->progress);
        printf("%s  %-9s  %s%s%s\n", clock, sim_records_kind(entry->kind)->word, entry->from,
               entry->from[0] != '\0' && entry->text[0] != '\0' ? ": " : "", entry->text);
        fflush(stdout);
    }
}

/* Follows the night back when time was taken back: the log is said on from there, the table too. */
static void go_back(Night *night) {
    if (sim_session_takes(night->session) == night->takes) return;
    night->takes = sim_session_takes(night->session);
    SessionTake take = sim_session_take(night->session, night->takes);
    if (take.log_count < night->log_printed) night->log_printed = take.log_count;
    sim_means_clear(&night->means);
    night->next_row_s = (floor(take.to_s / night->outputs->every_s) + 1) * night->outputs->every_s;
}

/* Lets the journal take what is new; a failure is said and the night goes on. */
static void follow(Night *night) {
    Error error;
    model_error_clear(&error);
    if (night->journal != NULL && sim_journal_follow(night->journal, night->session, &error) != ERROR_OK)
        sim_console_say_error(&error);
}

/* Gives every order whose time has come. */
static ErrorCode give_orders(Night *night, Error *error) {
    double now_s = sim_session_time_s(night->session);
    while (night->next < night->plan->count &&
           night->plan->items[night->next].time_s <= now_s + HALF_TICK_S) {
        const PlanItem *item = &night->plan->items[night->next++];
        ErrorCode code = sim_session_act_as(night->session, SESSION_VOICE_PLAN, &item->act, error);
        if (code != ERROR_OK) {
            model_error_at(error, item->where, item->line, item->line > 0 ? 1 : 0);
            return code;
        }
        follow(night);
        go_back(night);
    }
    return ERROR_OK;
}

/* One beat and all that follows from it. */
static ErrorCode play_beat(Night *night, Error *error) {
    ErrorCode code = give_orders(night, error);
    if (code == ERROR_OK) code = sim_session_advance(night->session, error);
    if (code != ERROR_OK) return code;
    const Beat *beat = sim_session_beat(night->session);
    sim_means_add(&night->means, beat);
    if (night->waves.file != NULL)
        sim_waves_write_beat(night->waves.file, beat, sim_session_trace(night->session));
    if (night->edf != NULL && (code = sim_edf_beat(night->edf, night->session, error)) != ERROR_OK)
        return code;
    if (sim_session_time_s(night->session) >= night->next_row_s - HALF_TICK_S) {
        if (night->csv.file != NULL)
            write_csv_row(night);
        else
            sim_means_clear(&night->means);
        while (night->next_row_s - HALF_TICK_S <= sim_session_time_s(night->session))
            night->next_row_s += night->outputs->every_s;
    }
    print_log(night);
    follow(night);
    return ERROR_OK;
}

static ErrorCode open_outputs(Night *night, Error *error) {
    ErrorCode code = ERROR_OK;
    if (night->outputs->csv_path != NULL)
        code = sim_output_open(&night->csv, night->outputs->csv_path, error);
    if (code == ERROR_OK && night->outputs->waves_path != NULL)
        code = sim_output_open(&night->waves, night->outputs->waves_path, error);
    if (code != ERROR_OK || night->outputs->edf_path == NULL) return code;
    night->edf = sim_edf_open(night->outputs->edf_path, error);
    return night->edf != NULL ? ERROR_OK : error->code;
}

/* True if a table can no longer be written, so that going on would be for nothing. */
static bool output_failed(const Night *night) {
    return (night->csv.file != NULL && ferror(night->csv.file)) ||
           (night->waves.file != NULL && ferror(night->waves.file));
}

/* Plays until the end, until something fails, or until somebody asks to stop. */
static ErrorCode play_beats(Night *night, double until_s, Error *error) {
    Session *session = night->session;
    double start_s = sim_session_time_s(session);
    ErrorCode code = ERROR_OK;
    while (code == ERROR_OK && !sim_session_ended(session) && !output_failed(night) &&
           sim_session_time_s(session) < until_s - HALF_TICK_S) {
        night->stopped = sim_interrupt_waiting(&night->interrupt, NULL);
        if (night->stopped) break;
        code = play_beat(night, error);
        sim_progress_show(&night->progress, (sim_session_time_s(session) - start_s) / (until_s - start_s));
    }
    /* the rest, shorter than the others */
    if (night->csv.file != NULL && night->means.time_s > HALF_TICK_S) write_csv_row(night);
    return code;
}

/* Gives the files their names, also after a failure: what was played is not to be lost. */
static ErrorCode close_outputs(Night *night, ErrorCode code, Error *error) {
    Output *const outputs[] = {&night->csv, &night->waves};
    for (size_t i = 0; i < sizeof outputs / sizeof outputs[0]; i++) {
        Error closing;
        ErrorCode closed = sim_output_close(outputs[i], &closing);
        if (code != ERROR_OK || closed == ERROR_OK) continue;
        code = closed;
        if (error != NULL) *error = closing;
    }
    Error closing;
    ErrorCode closed = sim_edf_close(night->edf, &closing);
    if (code == ERROR_OK && closed != ERROR_OK) {
        code = closed;
        if (error != NULL) *error = closing;
    }
    return code;
}

/* The rubric's lines, and their sum. */
static void print_score(const Session *session) {
    ScoreLine lines[SCORE_LINES_MAX];
    char got[SCORE_POINTS_TEXT_MAX], most[SCORE_POINTS_TEXT_MAX], points[2 * SCORE_POINTS_TEXT_MAX + 2];
    int count = sim_score_lines(session, lines);
    for (int i = 0; i < count; i++) {
        bool minus = lines[i].kind == CASE_SCORE_MINUS;
        snprintf(points, sizeof points, "%s%s%s", sim_score_format(lines[i].got, got), minus ? "" : "/",
                 minus ? "" : sim_score_format(lines[i].most, most));
        printf("score     %-9s  %s (%s)\n", points, lines[i].what, lines[i].why);
    }
    ScoreTotal total = sim_score_total(lines, count);
    printf("score     %s of %s, %.0f %%\n", sim_score_format(total.got, got),
           sim_score_format(total.most, most), total.percent);
}

/* Orders that were never due, the end's fingerprint, and how to go on with a night that was stopped. */
static void print_end(const Night *night) {
    char clock[DURATION_TEXT_MAX];
    const Plan *plan = night->plan;
    sim_duration_format_clock(sim_session_time_s(night->session), clock, sizeof clock);
    if (night->stopped) {
        bool broken_pipe;
        sim_interrupt_waiting(&night->interrupt, &broken_pipe);
        if (!broken_pipe)
            sim_console_say("stopped at %s%s%s", clock,
                            night->journal != NULL ? "; go on with: evenkeel resume " : "",
                            night->journal != NULL ? sim_journal_path(night->journal) : "");
        return;
    }
    for (int i = night->next; i < plan->count; i++) {
        char due[DURATION_TEXT_MAX];
        sim_duration_format_clock(plan->items[i].time_s, due, sizeof due);
        sim_console_say("not given, the night ended at %s: %s %s", clock, due, plan->items[i].text);
    }
    if (!night->prints_log) return;
    if (sim_session_ended(night->session)) print_score(night->session);
    printf("%s  fingerprint %016" PRIx64 "%s%s\n", clock, sim_session_hash(night->session),
           sim_session_ended(night->session) ? "  outcome " : "",
           sim_session_ended(night->session) ? sim_case_outcome_word(sim_session_outcome(night->session))
                                             : "");
}

static ErrorCode play_night(Night *night, double until_s, Error *error) {
    bool table_on_stdout = night->csv.standard || night->waves.standard;
    if (night->csv.file != NULL) write_csv_header(night);
    if (night->waves.file != NULL) sim_waves_write_header(night->waves.file);
    night->prints_log = !table_on_stdout;
    night->next_row_s = sim_session_time_s(night->session) + night->outputs->every_s;
    night->progress = sim_progress_start(sim_session_case(night->session)->id);
    /* a bar between rows on the same terminal would spoil both */
    if (table_on_stdout && isatty(STDOUT_FILENO) == 1) night->progress.shown = false;
    /* of a night gone on with, only what is new is said */
    bool begun = sim_session_time_s(night->session) > HALF_TICK_S;
    night->log_printed = begun ? sim_session_log_count(night->session) : 0;
    print_log(night);
    ErrorCode code = play_beats(night, until_s, error);
    sim_progress_end(&night->progress);
    code = close_outputs(night, code, error);
    if (code == ERROR_OK) print_end(night);
    return code;
}

ErrorCode sim_night_play(Session *session, const Plan *plan, int first, Journal *journal, double until_s,
                         const NightOutputs *outputs, Error *error) {
    Night night = {.session = session, .plan = plan, .next = first, .journal = journal, .outputs = outputs};
    night.interrupt = sim_interrupt_hold();
    sim_means_clear(&night.means);
    if (!sim_session_keep(session)) sim_console_say("no memory to keep earlier states");
    night.takes = sim_session_takes(session);
    ErrorCode code = open_outputs(&night, error);
    if (code == ERROR_OK)
        code = play_night(&night, until_s, error);
    else {
        sim_output_drop(&night.csv);
        sim_output_drop(&night.waves);
    }
    Error closing;
    ErrorCode closed = sim_journal_close(journal, session, code == ERROR_OK && !night.stopped, &closing);
    if (code == ERROR_OK && closed != ERROR_OK) {
        code = closed;
        if (error != NULL) *error = closing;
    }
    if (night.stopped) fflush(stdout);
    sim_interrupt_release(&night.interrupt);
    return code;
}
