/* The feed: opening, time, journal. */
#include "ui/feed_parts.h"
#include "ui/traces.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define NUMBERS_EVERY_S 0.5   /* numbers change at most twice a second */
#define HEART_EVERY_S   0.032 /* the heart moves 30 times a second */
#define STEP_LONGEST_S  0.25  /* a longer pause of the window does not make the night jump */

static const double RATES[] = {1, 2, 5, 10, 20, 30, 60, 120, 240};
enum { RATE_COUNT = sizeof RATES / sizeof RATES[0] };

static const TraceId TRACE_OF[LANE_COUNT] = {
    [LANE_ECG] = TRACE_ECG, [LANE_ARTERY] = TRACE_ART,          [LANE_PA] = TRACE_PA,
    [LANE_CVP] = TRACE_CVP, [LANE_PUMP_FLOW] = TRACE_PUMP_FLOW, [LANE_AIRWAY] = TRACE_AIRWAY,
};

static double clock_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Opens the journal of a new night. That it cannot be written is shown, and the night goes on without it. */
static ErrorCode open_journal(Feed *feed, const FeedRequest *request, const SessionOptions *options,
                              Error *error) {
    char path[JOURNAL_PATH_MAX];
    const Case *file = sim_session_case(feed->session);
    ErrorCode code = ERROR_OK;
    if (request->save_path != NULL)
        snprintf(path, sizeof path, "%s", request->save_path);
    else
        code = sim_journal_new_path(file->id, path, sizeof path, error);
    JournalSetup setup = {
        .options = options, .maker = "window", .trainee = request->trainee, .until_s = file->length_s};
    if (code == ERROR_OK) {
        feed->journal = sim_journal_create(path, feed->session, &setup, error);
        code = feed->journal == NULL ? error->code : ERROR_OK;
    }
    /* a file the user named must be written; without a name the night may go on unrecorded */
    if (code != ERROR_OK && request->save_path == NULL) {
        model_error_format(error, feed->journal_problem, sizeof feed->journal_problem);
        model_error_clear(error);
        code = ERROR_OK;
    }
    if (feed->journal != NULL)
        snprintf(feed->journal_path, sizeof feed->journal_path, "%s", sim_journal_path(feed->journal));
    return code;
}

static ErrorCode open_night(Feed *feed, const FeedRequest *request, Error *error) {
    if (request->resume_path != NULL) {
        feed->journal = sim_journal_resume(request->resume_path, &feed->session, error);
        if (feed->journal == NULL) return error->code;
        snprintf(feed->journal_path, sizeof feed->journal_path, "%s", sim_journal_path(feed->journal));
        return ERROR_OK;
    }
    SessionOptions options = sim_session_options_none();
    options.seed_given = request->seed_given;
    options.seed = request->seed;
    feed->session = sim_session_open(request->case_file, &options, error);
    if (feed->session == NULL) return error->code;
    if (!sim_session_keep(feed->session))
        return model_error_set(error, ERROR_MEMORY, "no memory for the night");
    return request->unrecorded ? ERROR_OK : open_journal(feed, request, &options, error);
}

Feed *ui_feed_open(const FeedRequest *request, Error *error) {
    Error local;
    error = error == NULL ? &local : error;
    model_error_clear(error);
    Feed *feed = calloc(1, sizeof *feed);
    SessionState *state = calloc(1, sizeof *state);
    if (feed == NULL || state == NULL) {
        free(feed);
        free(state);
        (void)model_error_set(error, ERROR_MEMORY, "no memory for the night");
        return NULL;
    }
    feed->state = state;
    if (open_night(feed, request, error) != ERROR_OK) {
        sim_session_close(feed->session);
        free(state);
        free(feed);
        return NULL;
    }
    ui_desk_start(&feed->desk);
    feed->settings = ui_settings_default();
    feed->rate = request->rate_x > 0.0 ? fmin(fmax(request->rate_x, 1.0), FEED_RATE_MAX) : 1.0;
    feed->paused = true;
    feed->numbers_now = true;
    feed->play_tick = sim_session_time_s(feed->session) / BEAT_TICK_S;
    feed->shown_tick = (int64_t)llround(feed->play_tick);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        feed->outside_since_s[i] = -1.0;
    feed->log_heard = sim_session_log_count(feed->session);
    ui_feed_columns(feed, 2);
    return feed;
}

ErrorCode ui_feed_close(Feed *feed, Error *error) {
    if (feed == NULL) return ERROR_OK;
    ErrorCode code = ERROR_OK;
    if (feed->journal != NULL)
        code = sim_journal_close(feed->journal, feed->session, sim_session_ended(feed->session), error);
    sim_session_close(feed->session);
    free(feed->state);
    free(feed);
    return code;
}

/* Starts the lanes anew. */
static double sweep_s(const Feed *feed) {
    /* one sweep on the wall clock; 8.5 s are about 25 mm/s on a desk monitor */
    static const double SWEEPS_S[] = {4.25, 8.5, 17.0, 34.0};
    return SWEEPS_S[feed->settings.value[SETTING_sweep]];
}

static void clear_sweeps(Feed *feed) {
    for (int i = 0; i < LANE_COUNT; i++)
        ui_traces_reset(&feed->sweep[i], feed->columns);
    feed->columns = feed->sweep[0].columns;
    feed->sweep_pos = 0.0;
    feed->sweep_rate = feed->rate;
}

void ui_feed_columns(Feed *feed, int columns) {
    if (columns == feed->columns) return;
    feed->columns = columns;
    clear_sweeps(feed);
}

void ui_feed_settings(Feed *feed, const Settings *settings) {
    if (memcmp(&feed->settings, settings, sizeof *settings) == 0) return;
    bool other_axis = feed->settings.value[SETTING_sweep] != settings->value[SETTING_sweep];
    feed->settings = *settings;
    feed->numbers_now = true;
    if (other_axis) clear_sweeps(feed);
}

const Settings *ui_feed_settings_now(const Feed *feed) {
    return &feed->settings;
}

const Sweep *ui_feed_sweep(const Feed *feed, LaneId lane) {
    return &feed->sweep[lane];
}

/* Writes what is new to the journal; the first failure is kept to be shown. */
static void follow(Feed *feed) {
    if (feed->journal == NULL) return;
    Error error;
    model_error_clear(&error);
    if (sim_journal_follow(feed->journal, feed->session, &error) != ERROR_OK)
        model_error_format(&error, feed->journal_problem, sizeof feed->journal_problem);
}

/* True for the begin of an alarm of high priority. */
static bool high_alarm(const LogEntry *entry) {
    AlarmId id = entry->kind == LOG_ALARM ? sim_alarms_find(entry->from) : ALARM_COUNT;
    return id != ALARM_COUNT && sim_alarms_row(id)->priority == ALARM_PRIORITY_HIGH &&
           strncmp(entry->text, "begins", strlen("begins")) == 0;
}

/* A new message or an alarm of high priority brings the time rate back to 1. */
static void hear(Feed *feed) {
    int64_t count = sim_session_log_count(feed->session);
    for (int64_t i = feed->log_heard; i < count; i++) {
        const LogEntry *entry = sim_session_log_entry(feed->session, i);
        if (entry == NULL) continue;
        if (entry->kind == LOG_MESSAGE && ui_settings_on(&feed->settings, SETTING_slow_on_message))
            feed->rate = 1.0;
        if (high_alarm(entry) && ui_settings_on(&feed->settings, SETTING_slow_on_alarm)) feed->rate = 1.0;
        if (!sim_records_hidden(entry)) feed->numbers_now = true;
    }
    feed->log_heard = count;
}

/* Moves samples of the last beat up to `tick` into the sweeps. */
static void show_samples(Feed *feed, double tick) {
    const Trace *trace = sim_session_trace(feed->session);
    int64_t end = trace->first_tick + trace->ticks;
    if (feed->rate > feed->sweep_rate || feed->rate < feed->sweep_rate)
        clear_sweeps(feed); /* another time axis */
    double columns_per_tick = BEAT_TICK_S / feed->rate / sweep_s(feed) * feed->columns;
    int gap = feed->columns / UI_TRACES_GAP_SHARE;
    bool pump = sim_session_parameters(feed->session)->left_pump_present > 0.5;
    if (feed->shown_tick < trace->first_tick) feed->shown_tick = trace->first_tick;
    while (feed->shown_tick < end && (double)feed->shown_tick < tick) {
        int64_t i = feed->shown_tick - trace->first_tick;
        feed->sweep_pos += columns_per_tick;
        for (int lane = 0; lane < LANE_COUNT; lane++) {
            double value = lane == LANE_PUMP_FLOW && !pump ? NAN : trace->value[TRACE_OF[lane]][i];
            ui_traces_add(&feed->sweep[lane], (int64_t)feed->sweep_pos, value, gap);
        }
        feed->shown_tick++;
    }
}

/* Plays one beat more. */
static ErrorCode next_beat(Feed *feed, Error *error) {
    ErrorCode code = sim_session_advance(feed->session, error);
    if (code != ERROR_OK) return code;
    follow(feed);
    hear(feed);
    ui_feed_heart_beat(feed, sim_session_beat(feed->session));
    ui_feed_loop_beat(feed, sim_session_beat(feed->session));
    return ERROR_OK;
}

ErrorCode ui_feed_step(Feed *feed, double wall_s, double budget_s, Error *error) {
    wall_s = fmin(fmax(wall_s, 0.0), STEP_LONGEST_S);
    feed->wall_s += wall_s;
    if (feed->paused || feed->failed) return ERROR_OK;
    double start_s = clock_s(), target = feed->play_tick + wall_s * feed->rate / BEAT_TICK_S;
    feed->behind = false;
    for (;;) {
        show_samples(feed, target);
        double ready = sim_session_time_s(feed->session) / BEAT_TICK_S;
        if (ready >= target) break;
        if (sim_session_ended(feed->session) || clock_s() - start_s > budget_s) {
            feed->behind = !sim_session_ended(feed->session);
            target = ready;
            break;
        }
        double rate = feed->rate;
        ErrorCode code = next_beat(feed, error);
        if (code != ERROR_OK) {
            feed->failed = feed->paused = true;
            return code;
        }
        if (feed->rate < rate) target = ready; /* a message came: go on at the slower rate from here */
    }
    feed->play_tick = target;
    if (sim_session_ended(feed->session) && feed->shown_tick >= (int64_t)llround(target)) feed->paused = true;
    ui_feed_heart_step(feed, wall_s);
    return ERROR_OK;
}

void ui_feed_fill(Feed *feed, int visible, BedsideView *view) {
    view->time_s = feed->play_tick * BEAT_TICK_S;
    view->time_rate = feed->rate;
    view->paused = feed->paused;
    view->ended = sim_session_ended(feed->session);
    view->catching_up = feed->behind;
    view->sweep_s = sweep_s(feed);
    ui_desk_fill(&feed->desk, feed->session, visible, &view->deck);
    if (feed->wall_s >= feed->heart_due_s || !view->heart.shown) {
        feed->heart_due_s = feed->wall_s + HEART_EVERY_S;
        ui_feed_heart_bedside(feed, &view->heart);
    }
    if (!feed->numbers_now && feed->wall_s < feed->numbers_due_s) return;
    feed->numbers_now = false;
    feed->numbers_due_s = feed->wall_s + NUMBERS_EVERY_S;
    ui_feed_heart_clots(feed);
    ui_feed_numbers(feed, view);
    ui_feed_lists(feed, view);
    ui_feed_told(feed, &view->told);
}

void ui_feed_pause(Feed *feed, bool paused) {
    feed->paused = paused || feed->failed || sim_session_ended(feed->session);
    if (feed->paused && feed->journal != NULL) {
        Error error;
        model_error_clear(&error);
        if (sim_journal_flush(feed->journal, &error) != ERROR_OK)
            model_error_format(&error, feed->journal_problem, sizeof feed->journal_problem);
    }
}

bool ui_feed_paused(const Feed *feed) {
    return feed->paused;
}

void ui_feed_rate(Feed *feed, int step) {
    int at = 0;
    for (int i = 0; i < RATE_COUNT; i++) {
        if (RATES[i] <= feed->rate) at = i;
    }
    at = step == 0 ? 0 : at + step;
    feed->rate = RATES[at < 0 ? 0 : at >= RATE_COUNT ? RATE_COUNT - 1 : at];
}

void ui_feed_seen(Feed *feed) {
    feed->log_seen = sim_session_log_count(feed->session);
    feed->numbers_now = true;
}

Desk *ui_feed_desk(Feed *feed) {
    return &feed->desk;
}

const Session *ui_feed_session(const Feed *feed) {
    return feed->session;
}

int ui_feed_confirm(Feed *feed) {
    int given = ui_desk_confirm(&feed->desk, feed->session);
    if (given > 0) {
        follow(feed);
        feed->log_heard = sim_session_log_count(feed->session);
        feed->numbers_now = true;
    }
    return given;
}

ErrorCode ui_feed_say(Feed *feed, const char *words, Error *error) {
    ErrorCode code = sim_session_say(feed->session, words, error);
    if (code != ERROR_OK) return code;
    follow(feed);
    feed->log_heard = sim_session_log_count(feed->session);
    feed->numbers_now = true;
    return ERROR_OK;
}

/* Puts what is on the screen back to the session's time: nothing shown may be newer. */
static void go_back(Feed *feed) {
    feed->takes = sim_session_takes(feed->session);
    int64_t stayed = sim_session_take(feed->session, feed->takes).log_count;
    double now_s = sim_session_time_s(feed->session);
    feed->play_tick = now_s / BEAT_TICK_S;
    feed->shown_tick = (int64_t)llround(feed->play_tick);
    clear_sweeps(feed);
    if (feed->log_seen > stayed) feed->log_seen = stayed;
    feed->told_seen_s = fmin(feed->told_seen_s, now_s);
    for (int i = 0; i < DISPLAY_COUNT; i++)
        feed->outside_since_s[i] = -1.0;
    for (int i = 0; i < LANE_COUNT; i++)
        feed->range_since_s[i] = fmin(feed->range_since_s[i], now_s);
    feed->alarms_walked = 0;
    feed->averages_started = false;
    feed->aortic_beats = 0;
    feed->loop.first = feed->loop.end;
    if (feed->past_s > now_s) feed->past_known = false;
    feed->failed = false;
    feed->rate = 1.0;
}

ErrorCode ui_feed_instruct(Feed *feed, const char *words, Error *error) {
    ErrorCode code = sim_session_say_as(feed->session, SESSION_VOICE_INSTRUCTOR, words, error);
    if (code != ERROR_OK) return code;
    follow(feed);
    if (sim_session_takes(feed->session) != feed->takes)
        go_back(feed);
    else
        hear(feed); /* a message is one, whoever had it said */
    feed->log_heard = sim_session_log_count(feed->session);
    feed->numbers_now = true;
    return ERROR_OK;
}

int64_t ui_feed_takes(const Feed *feed) {
    return feed->takes;
}

double ui_feed_rate_now(const Feed *feed) {
    return feed->rate;
}

double ui_feed_shown_s(const Feed *feed) {
    return feed->play_tick * BEAT_TICK_S;
}

const char *ui_feed_journal_path(const Feed *feed) {
    return feed->journal_path;
}

const char *ui_feed_journal_problem(const Feed *feed) {
    return feed->journal_problem;
}
