/* The feed on a real session: time rates, sweeps, limits, messages, and a night that is closed half-way. */
#include "tests/support/check_main.h"
#include "tests/support/night_case.h"
#include "ui/feed.h"

#include <math.h>
#include <stdio.h>
#include <unistd.h>

static char folder[] = "/tmp/evenkeel-feed-XXXXXX";
static BedsideView view;

static void start(void) {
    static bool made = false;
    if (!made) ck_assert_ptr_nonnull(mkdtemp(folder));
    made = true;
    setenv("XDG_DATA_HOME", folder, 1);
    memset(&view, 0, sizeof view);
}

static Feed *open_feed(double rate_x) {
    Error error;
    Case *file = night_case_in(folder);
    FeedRequest request = {.case_file = file, .rate_x = rate_x};
    Feed *feed = ui_feed_open(&request, &error);
    ck_assert_msg(feed != NULL, "%s", error.what);
    sim_case_free(file);
    ui_feed_columns(feed, 800);
    ui_feed_pause(feed, false);
    return feed;
}

/* Frames of wall_s until the night has reached time_s. */
static void play(Feed *feed, double time_s, double wall_s) {
    Error error;
    for (int i = 0; i < 200000 && sim_session_time_s(ui_feed_session(feed)) < time_s; i++)
        ck_assert_int_eq(ui_feed_step(feed, wall_s, 1.0, &error), ERROR_OK);
}

static void close_feed(Feed *feed) {
    Error error;
    ck_assert_msg(ui_feed_close(feed, &error) == ERROR_OK, "%s", error.what);
}

START_TEST(frame_rate_and_time_rate_do_not_change_the_night) {
    enum { BEATS = 200 };
    static double time_s[BEATS];
    static uint64_t hash[BEATS];
    int beats = 0;
    Feed *slow = open_feed(1.0);
    while (beats < BEATS) {
        play(slow, beats == 0 ? 0.001 : time_s[beats - 1] + 0.001, 0.016);
        time_s[beats] = sim_session_time_s(ui_feed_session(slow));
        hash[beats++] = sim_session_hash(ui_feed_session(slow));
    }
    close_feed(slow);
    Feed *fast = open_feed(60.0);
    int compared = 0;
    for (double t = 5.0; t < time_s[BEATS - 1]; t += 9.0) {
        play(fast, t, 0.05);
        double now_s = sim_session_time_s(ui_feed_session(fast));
        for (int i = 0; i < BEATS; i++) {
            if (fabs(time_s[i] - now_s) > 1e-9) continue;
            ck_assert(hash[i] == sim_session_hash(ui_feed_session(fast)));
            compared++;
        }
    }
    ck_assert_int_gt(compared, 8);
    close_feed(fast);
}
END_TEST

START_TEST(clock_follows_the_wall_times_the_rate) {
    Feed *feed = open_feed(10.0);
    Error error;
    for (int i = 0; i < 300; i++)
        ck_assert_int_eq(ui_feed_step(feed, 0.02, 1.0, &error), ERROR_OK);
    ui_feed_fill(feed, 5, &view);
    ck_assert_double_eq_tol(view.time_s, 60.0, 1e-6);
    /* the model is at most one beat ahead of what is shown */
    ck_assert(sim_session_time_s(ui_feed_session(feed)) - view.time_s < 1.5);
    close_feed(feed);
}
END_TEST

START_TEST(paused_night_stands_still) {
    Feed *feed = open_feed(1.0);
    Error error;
    play(feed, 3.0, 0.016);
    ui_feed_pause(feed, true);
    ui_feed_fill(feed, 5, &view);
    double time_s = view.time_s;
    uint64_t hash = sim_session_hash(ui_feed_session(feed));
    for (int i = 0; i < 50; i++)
        ck_assert_int_eq(ui_feed_step(feed, 0.1, 1.0, &error), ERROR_OK);
    ui_feed_fill(feed, 5, &view);
    ck_assert_double_eq_tol(view.time_s, time_s, 1e-12);
    ck_assert(hash == sim_session_hash(ui_feed_session(feed)));
    close_feed(feed);
}
END_TEST

START_TEST(sweeps_hold_the_displayed_traces) {
    Feed *feed = open_feed(1.0);
    play(feed, 8.0, 0.016);
    ui_feed_fill(feed, 5, &view);
    for (int lane = 0; lane < LANE_COUNT; lane++) {
        const Sweep *sweep = ui_feed_sweep(feed, (LaneId)lane);
        double low = INFINITY, high = -INFINITY;
        for (int i = 0; i < sweep->columns; i++) {
            if (isnan(sweep->low[i])) continue;
            low = fmin(low, sweep->low[i]);
            high = fmax(high, sweep->high[i]);
        }
        ck_assert_msg(high > low, "lane %d is empty", lane);
        ck_assert_msg(low >= view.lane[lane].low && high <= view.lane[lane].high,
                      "lane %d: %.1f..%.1f outside %.1f..%.1f", lane, low, high, view.lane[lane].low,
                      view.lane[lane].high);
    }
    close_feed(feed);
}
END_TEST

START_TEST(heart_view_is_the_models_sample) {
    Feed *feed = open_feed(1.0);
    play(feed, 5.0, 0.016);
    ui_feed_fill(feed, 5, &view);
    const Beat *beat = sim_session_beat(ui_feed_session(feed));
    bool found = false;
    for (int i = 0; i < beat->ticks; i++)
        found = found || fabs(beat->samples[i].lv_ml - view.heart.chamber[HEART_LV].now_ml) < 1e-9;
    ck_assert(view.heart.shown && found);
    ck_assert_double_eq_tol(view.heart.chamber[HEART_LV].beat_max_ml, beat->observables.lv_edv_ml, 1e-9);
    ck_assert(view.heart.left_pump.running);
    ck_assert_int_gt(view.heart.beats, 3);
    close_feed(feed);
}
END_TEST

START_TEST(value_outside_its_target_is_marked_after_a_while) { /* the target is 150 to 160 mmHg */
    Feed *feed = open_feed(10.0);
    play(feed, 5.0, 0.016);
    ui_feed_fill(feed, 5, &view);
    ck_assert(!view.lane[LANE_ARTERY].value.outside);
    play(feed, 60.0, 0.5);
    ui_feed_fill(feed, 5, &view);
    ck_assert(view.lane[LANE_ARTERY].value.outside);
    ck_assert_int_eq(view.lane[LANE_ARTERY].value.limit, LIMIT_LOW);
    ck_assert_int_eq(view.lane[LANE_ARTERY].value.priority, 0); /* a target is no alarm limit */
    ck_assert_int_eq(view.outside, 1);
    ck_assert_int_eq(view.alarms.count, 0);
    close_feed(feed);
}
END_TEST

START_TEST(message_slows_the_time_and_is_new_until_read) {
    Feed *feed = open_feed(30.0);
    play(feed, 121.5, 0.02);
    ui_feed_fill(feed, 5, &view);
    ck_assert_double_eq_tol(view.time_rate, 1.0, 1e-12);
    ck_assert_int_eq(view.messages, 1);
    ck_assert_int_eq(view.unseen, 1);
    ck_assert_str_eq(view.message[0].from, "Nurse");
    ui_feed_seen(feed);
    ui_feed_fill(feed, 5, &view);
    ck_assert_int_eq(view.unseen, 0);
    close_feed(feed);
}
END_TEST

START_TEST(night_ends_at_its_length_and_stops) {
    Feed *feed = open_feed(240.0);
    Error error;
    for (int i = 0; i < 20000 && !ui_feed_paused(feed); i++) {
        ui_feed_rate(feed, 1); /* back up after the message */
        ck_assert_int_eq(ui_feed_step(feed, 0.05, 1.0, &error), ERROR_OK);
    }
    ui_feed_fill(feed, 5, &view);
    ck_assert(view.ended && view.paused);
    ck_assert_double_eq_tol(view.time_s, 600.0, 3.0);
    ui_feed_pause(feed, false);
    ck_assert(ui_feed_paused(feed));
    close_feed(feed);
}
END_TEST

START_TEST(night_closed_half_way_goes_on_where_it_was) {
    Feed *feed = open_feed(10.0);
    play(feed, 30.0, 0.1);
    ui_desk_group(ui_feed_desk(feed), ORDER_GROUP_DRUGS);
    ui_feed_fill(feed, 5, &view);
    ui_desk_step(ui_feed_desk(feed), ui_feed_session(feed), 0, 5.0, false);
    ck_assert_int_eq(ui_feed_confirm(feed), 1);
    play(feed, 45.0, 0.1);
    char path[1024];
    snprintf(path, sizeof path, "%s", ui_feed_journal_path(feed));
    ck_assert_msg(path[0] != '\0', "not recorded: %s", ui_feed_journal_problem(feed));
    double time_s = sim_session_time_s(ui_feed_session(feed));
    uint64_t hash = sim_session_hash(ui_feed_session(feed));
    close_feed(feed);

    Error error;
    FeedRequest request = {.resume_path = path};
    Feed *again = ui_feed_open(&request, &error);
    ck_assert_msg(again != NULL, "%s", error.what);
    ck_assert_double_eq_tol(sim_session_time_s(ui_feed_session(again)), time_s, 1e-9);
    ck_assert(sim_session_hash(ui_feed_session(again)) == hash);
    ui_feed_columns(again, 800);
    ui_feed_pause(again, false);
    play(again, time_s + 5.0, 0.016);
    memset(&view, 0, sizeof view);
    ui_feed_fill(again, 5, &view);
    ck_assert(view.time_s >= time_s);
    ck_assert_int_eq(view.actions, 1);
    close_feed(again);
}
END_TEST

START_TEST(folder_that_cannot_be_written_is_told_and_the_night_goes_on) {
    setenv("XDG_DATA_HOME", "/proc/nowhere", 1);
    Feed *feed = open_feed(1.0);
    ck_assert_str_ne(ui_feed_journal_problem(feed), "");
    play(feed, 2.0, 0.016);
    close_feed(feed);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("feed");
    TCase *c = tcase_create("night");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, start, NULL);
    tcase_add_test(c, frame_rate_and_time_rate_do_not_change_the_night);
    tcase_add_test(c, clock_follows_the_wall_times_the_rate);
    tcase_add_test(c, paused_night_stands_still);
    tcase_add_test(c, sweeps_hold_the_displayed_traces);
    tcase_add_test(c, heart_view_is_the_models_sample);
    tcase_add_test(c, value_outside_its_target_is_marked_after_a_while);
    tcase_add_test(c, message_slows_the_time_and_is_new_until_read);
    tcase_add_test(c, night_ends_at_its_length_and_stops);
    tcase_add_test(c, night_closed_half_way_goes_on_where_it_was);
    tcase_add_test(c, folder_that_cannot_be_written_is_told_and_the_night_goes_on);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
