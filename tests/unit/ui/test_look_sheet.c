/* The look on real nights: what it shows is the model's, it asks for the probe and waits, keys freeze, step
   and measure, and the bedside follows the same policy. */
#include "tests/support/check_main.h"
#include "tests/support/look_views.h"
#include "tests/support/night_case.h"
#include "ui/look_parts.h"
#include "ui/look_short.h"
#include "ui/screen.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FRAME_S 0.016

static char folder[] = "/tmp/evenkeel-look-XXXXXX";
static Feed *feed;
static LookSheet sheet;
static BedsideView view;
static Screen screen;
static double now_s;

/* The case of the other tests with a line of its own for the probe. */
static Case *case_with(const char *look) {
    static char text[4096];
    const char *place = strstr(NIGHT_CASE, "handover:");
    snprintf(text, sizeof text, "%.*s%s%s", (int)(place - NIGHT_CASE), NIGHT_CASE, look, place);
    char path[512];
    snprintf(path, sizeof path, "%s/case.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_int_ge(fputs(text, out), 0);
    ck_assert_int_eq(fclose(out), 0);
    ErrorList *errors = calloc(1, sizeof *errors);
    ck_assert_ptr_nonnull(errors);
    Case *file = sim_case_load(path, errors);
    ck_assert_msg(file != NULL, "%s", errors->items[0].what);
    free(errors);
    return file;
}

static void open_night(const char *look) {
    static bool made = false;
    Error error;
    if (!made) ck_assert_ptr_nonnull(mkdtemp(folder));
    made = true;
    setenv("XDG_DATA_HOME", folder, 1);
    Case *file = case_with(look);
    FeedRequest request = {.case_file = file};
    feed = ui_feed_open(&request, &error);
    ck_assert_msg(feed != NULL, "%s", error.what);
    sim_case_free(file);
    ui_feed_pause(feed, false);
    memset(&sheet, 0, sizeof sheet);
    memset(&view, 0, sizeof view);
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, 1280, 800, 1.0, &error), ERROR_OK);
}

static void close_night(void) {
    Error error;
    ck_assert_int_eq(ui_feed_close(feed, &error), ERROR_OK);
    ui_screen_free(&screen);
}

static SheetContext context(void) {
    return (SheetContext){.feed = feed, .now_s = now_s};
}

static void play(double seconds, double wall_s) {
    Error error;
    double until_s = sim_session_time_s(ui_feed_session(feed)) + seconds;
    while (sim_session_time_s(ui_feed_session(feed)) < until_s) {
        ck_assert_int_eq(ui_feed_step(feed, wall_s, 1.0, &error), ERROR_OK);
        now_s += wall_s;
        ui_feed_fill(feed, 8, &view);
    }
}

static void fill(void) {
    SheetContext c = context();
    UI_LOOK_SHEET.fill(&sheet, &c);
}

/* One frame of the sheet with a key, and what it asks for carried out. */
static void frame_with(Input input) {
    Intents intents = {0};
    fill();
    ScreenFrame frame = {.view = &view, .sheet = &UI_LOOK_SHEET, .sheet_state = &sheet, .input = input};
    ui_screen_frame(&screen, &frame, &intents);
    ck_assert(!screen.list.failed);
    for (int i = 0; i < intents.count; i++) {
        SheetContext c = context();
        if (intents.of[i].kind == INTENT_PART) UI_LOOK_SHEET.apply(&sheet, &c, &intents.of[i]);
    }
    fill();
}

static void key(Key which, bool shift) {
    frame_with((Input){.x_px = -1.0, .y_px = -1.0, .keys = 1, .key = {{which, shift, 0}}});
}

static void type(char character) {
    frame_with(
        (Input){.x_px = -1.0, .y_px = -1.0, .keys = 1, .key = {{KEY_CHARACTER, false, (uint32_t)character}}});
}

static bool says(const char *words) {
    for (size_t i = 0; i < screen.list.command_count; i++) {
        const DrawCommand *c = &screen.list.commands[i];
        if (c->kind == DRAW_TEXT && strstr(screen.list.chars + c->text, words) != NULL) return true;
    }
    return false;
}

static void open_sheet(void) {
    SheetContext c = context();
    UI_LOOK_SHEET.open(&sheet, &c);
    fill();
}

START_TEST(loop_holds_the_last_seconds_without_a_gap) {
    open_night("");
    play(12.0, 0.05);
    open_sheet();
    const HeartLoop *loop = &sheet.loop;
    ck_assert_int_ge(loop->end - loop->first, HEART_MOMENTS - 1);
    int onsets = 0, ends = 0;
    for (int64_t n = loop->first + 1; n < loop->end; n++) {
        const HeartMoment *m = &loop->moment[n % HEART_MOMENTS],
                          *before = &loop->moment[(n - 1) % HEART_MOMENTS];
        ck_assert(m->volume_ml[HEART_LV] > 5.0f && m->volume_ml[HEART_LV] < 500.0f);
        ck_assert_double_lt(fabsf(m->volume_ml[HEART_LV] - before->volume_ml[HEART_LV]), 12.0);
        onsets += m->onset;
        ends += m->diastolic_end;
    }
    /* 8.2 s at the rate of the patient: one onset and one end of filling per beat */
    double rate = sim_session_beat(ui_feed_session(feed))->observables.hr_per_min;
    ck_assert_double_eq_tol(onsets, rate * 8.19 / 60.0, 1.6);
    ck_assert_double_eq_tol(ends, onsets, 1.1);
    close_night();
}
END_TEST

START_TEST(picture_follows_the_sample_on_show) {
    open_night("");
    play(6.0, 0.016);
    open_sheet();
    const Beat *beat = sim_session_beat(ui_feed_session(feed));
    int64_t tick = -1;
    for (int i = 0; i < 100 && tick < 0; i++) { /* until the picture has come into the newest beat */
        play(0.001, 0.016);
        fill();
        tick = sheet.at * HEART_MOMENT_MS / BEAT_TICK_MS - beat->first_tick;
    }
    ck_assert(tick >= 0 && tick < beat->ticks);
    ck_assert_double_eq_tol(sheet.now.chamber[HEART_LV].now_ml, beat->samples[tick].lv_ml, 1e-3);
    ck_assert_double_eq_tol(sheet.now.valve[HEART_MITRAL].open_frac, beat->samples[tick].mitral_open, 1e-5);
    /* at most one frame behind the clock on show */
    ck_assert_double_eq_tol((double)sheet.at * HEART_MOMENT_MS / 1000.0, ui_feed_shown_s(feed), 0.05);
    close_night();
}
END_TEST

/* The newest moment of the last beat at which the left ventricle is largest. */
static int64_t end_of_filling(void) {
    const Beat *beat = sim_session_beat(ui_feed_session(feed));
    for (int64_t n = sheet.loop.end - 1; n >= sheet.loop.first; n--) {
        if (sheet.loop.moment[n % HEART_MOMENTS].diastolic_end &&
            n * HEART_MOMENT_MS / BEAT_TICK_MS < beat->first_tick + beat->ticks)
            return n;
    }
    return -1;
}

START_TEST(calliper_across_the_left_ventricle_agrees_with_the_model) {
    open_night("");
    for (int i = 0; i < 4; i++) {
        play(7.3, 0.016);
        if (i == 0) open_sheet();
        if (i == 0) type('2');
        fill();
        sheet.at = end_of_filling();
        ck_assert_int_gt(sheet.at, 0);
        ui_look_settle(&sheet);
        /* the ends of the diameter, as they are drawn */
        const HeartView *v = &sheet.now;
        LookShortInput in = {.lv_ml = v->chamber[HEART_LV].now_ml,
                             .rv_ml = v->chamber[HEART_RV].now_ml,
                             .septum_mm = v->septum_mm,
                             .lv_reference_ml = v->chamber[HEART_LV].reference_ml,
                             .rv_reference_ml = v->chamber[HEART_RV].reference_ml};
        LookShort shape;
        ui_look_short_build(&in, &shape);
        sheet.mark[0] = shape.septum;
        sheet.mark[1] = shape.lateral;
        ck_assert_double_eq_tol(ui_look_measured_mm(&sheet),
                                sim_session_beat(ui_feed_session(feed))->observables.lv_edd_mm, 1.0);
    }
    close_night();
}
END_TEST

START_TEST(velocity_over_a_beat_is_the_models) {
    open_night("");
    play(9.0, 0.016);
    open_sheet();
    const Beat *beat = sim_session_beat(ui_feed_session(feed));
    double sum = 0.0;
    int count = 0;
    for (int64_t n = sheet.loop.first; n < sheet.loop.end; n++) {
        int64_t tick = n * HEART_MOMENT_MS / BEAT_TICK_MS - beat->first_tick;
        if (tick < 0 || tick >= beat->ticks) continue;
        const HeartMoment *m = &sheet.loop.moment[n % HEART_MOMENTS];
        sum += ui_look_velocity_m_s(m->left_pump_ml_s, sheet.heart.left_pump.bore_mm, m->left_occlusion);
        count++;
    }
    ck_assert_int_gt(count, 40);
    double model_m_s = beat->observables.inflow_velocity_cm_s / 100.0;
    ck_assert_double_gt(model_m_s, 0.05);
    ck_assert_double_eq_tol(sum / count, model_m_s, 0.03 * model_m_s);
    close_night();
}
END_TEST

START_TEST(freeze_keeps_the_picture_and_steps_while_the_night_goes_on) {
    open_night("");
    play(6.0, 0.016);
    open_sheet();
    type(' ');
    ck_assert(sheet.frozen);
    int64_t at = sheet.at;
    double before_s = sim_session_time_s(ui_feed_session(feed)), ml = sheet.now.chamber[HEART_LV].now_ml;
    play(4.0, 0.016);
    key(KEY_NONE, false);
    ck_assert_double_gt(sim_session_time_s(ui_feed_session(feed)), before_s + 3.0);
    ck_assert_int_eq(sheet.at, at);
    ck_assert_double_eq(sheet.now.chamber[HEART_LV].now_ml, ml);
    ck_assert(says("FROZEN"));
    key(KEY_LEFT, false);
    key(KEY_LEFT, false);
    ck_assert_int_lt(sheet.at, at);
    int64_t step = (at - sheet.at) / 2;
    key(KEY_RIGHT, false);
    ck_assert_int_eq(sheet.at, at - step);
    key(KEY_LEFT, true);
    ck_assert_int_eq(sheet.at, at - 11 * step);
    for (int i = 0; i < 100; i++)
        key(KEY_LEFT, true);
    ck_assert_int_eq(sheet.at, sheet.loop.first); /* no further than what is kept */
    for (int i = 0; i < 100; i++)
        key(KEY_RIGHT, true);
    ck_assert_int_eq(sheet.at, sheet.loop.end - 1);
    type(' ');
    ck_assert(!sheet.frozen);
    ck_assert_int_gt(sheet.at, at);
    close_night();
}
END_TEST

START_TEST(calliper_is_moved_by_keys_and_by_the_pointer) {
    open_night("");
    play(6.0, 0.016);
    open_sheet();
    type('m');
    key(KEY_NONE, false);
    ck_assert(sheet.measuring && sheet.marked);
    double start_mm = ui_look_measured_mm(&sheet);
    char text[32];
    snprintf(text, sizeof text, "%.0f mm", start_mm);
    ck_assert(says(text));
    key(KEY_LEFT, true); /* the first point, 5 mm outward */
    ck_assert_double_eq_tol(ui_look_measured_mm(&sheet), start_mm + 5.0, 1e-9);
    key(KEY_ENTER, false);
    key(KEY_RIGHT, false); /* the second, 1 mm outward */
    ck_assert_double_eq_tol(ui_look_measured_mm(&sheet), start_mm + 6.0, 1e-9);
    /* the pointer takes the nearer point; two places 200 px apart are 200 px apart in mm */
    LookLayout l = ui_look_layout((Rect){0.0, 0.0, 1280.0, 800.0}, &sheet);
    LookSector sector = ui_look_sector(l.picture, sheet.depth_mm[sheet.page]);
    for (int k = 0; k < 2; k++) {
        Input down = {.x_px = k == 0 ? 240.0 : 640.0, .y_px = 400.0, .down = true, .pressed = true};
        frame_with(down);
        Input drag = {.x_px = k == 0 ? 300.0 : 500.0, .y_px = 400.0, .down = true};
        frame_with(drag);
        frame_with((Input){.x_px = drag.x_px, .y_px = 400.0, .released = true});
    }
    ck_assert_double_eq_tol(ui_look_measured_mm(&sheet), 200.0 / sector.px_per_mm, 0.1);
    key(KEY_ESCAPE, false); /* leaves measuring, not the look */
    ck_assert(!sheet.measuring);
    close_night();
}
END_TEST

START_TEST(look_on_request_waits_shows_and_ends) {
    open_night("look:\n  probe: on_request\n  ready: 100s\n  longest: 200s\n  rest: 60s\n  at_most: 2\n");
    play(3.0, 0.05);
    ck_assert(!view.heart.shown);
    ck_assert_int_eq(view.heart.absence, HEART_ASK);
    open_sheet();
    key(KEY_NONE, false);
    ck_assert(!sheet.picture);
    ck_assert(says("being placed"));
    ck_assert(says("ready in 1:"));
    ck_assert(!says(" mL")); /* nothing of the heart is on the screen */
    play(1.0, 0.05);
    ck_assert_int_eq(view.heart.absence, HEART_COMING);
    play(105.0, 0.1);
    key(KEY_NONE, false);
    ck_assert(sheet.picture);
    ck_assert(says("look ends in"));
    ck_assert(says(" mL"));
    ck_assert(view.heart.shown); /* the bedside follows the same policy */
    SheetContext c = context();
    UI_LOOK_SHEET.close(&sheet, &c);
    play(1.0, 0.05);
    ck_assert_int_eq(sim_session_look(ui_feed_session(feed)).phase, LOOK_RESTING);
    ck_assert_int_eq(view.heart.absence, HEART_RESTING);
    ck_assert(!view.heart.shown);
    open_sheet(); /* too early */
    key(KEY_NONE, false);
    ck_assert(says("needed elsewhere"));
    play(65.0, 0.1);
    key(KEY_NONE, false);
    ck_assert(sheet.can_ask);
    key(KEY_ENTER, false);
    ck_assert_int_eq(sim_session_look(ui_feed_session(feed)).phase, LOOK_ASKED);
    /* all of it is in the log, in words that repeat the night */
    const Session *session = ui_feed_session(feed);
    int asked = 0, ended = 0;
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry == NULL) continue;
        asked += strcmp(entry->text, "look four_chamber") == 0;
        ended += strcmp(entry->text, "look end") == 0;
    }
    ck_assert_int_eq(asked, 2);
    ck_assert_int_ge(ended, 1);
    close_night();
}
END_TEST

/* A frame of the bedside as the feed fills it. */
static void draw_bedside(void) {
    ScreenFrame frame = {.view = &view, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    ui_screen_frame(&screen, &frame, &intents);
}

START_TEST(bedside_keeps_the_last_picture_and_nothing_newer) {
    open_night("look:\n  probe: on_request\n  ready: 20s\n  longest: 60s\n  rest: 60s\n  at_most: 2\n");
    play(3.0, 0.05);
    ck_assert(!view.heart.past); /* none had: empty, and the words */
    ck_assert_double_le(view.heart.chamber[HEART_LV].now_ml, 0.0);
    draw_bedside();
    ck_assert(says("No probe in place"));
    ck_assert(!says("as of"));
    open_sheet();
    HeartView last = view.heart;
    double last_s = 0.0;
    for (int i = 0; i < 4000 && !view.heart.past; i++) {
        play(0.1, 0.05);
        if (!view.heart.shown) continue;
        last = view.heart;
        last_s = ui_feed_shown_s(feed);
    }
    ck_assert(view.heart.past && !view.heart.shown);
    ck_assert_double_gt(last.chamber[HEART_LV].now_ml, 10.0);
    ck_assert_double_eq_tol(view.heart.past_s, last_s, 1.0); /* within a beat */
    HeartView kept = view.heart;
    play(30.0, 0.1); /* the night goes on, the picture does not */
    ck_assert_double_eq_tol(view.heart.past_s, kept.past_s, 1e-9);
    for (int i = 0; i < HEART_CHAMBER_COUNT; i++)
        ck_assert_double_eq_tol(view.heart.chamber[i].now_ml, kept.chamber[i].now_ml, 1e-9);
    ck_assert_double_eq_tol(view.heart.pump_l_min, kept.pump_l_min, 1e-9);
    ck_assert_double_eq_tol(view.heart.time_s, kept.time_s, 1e-9);
    char when[TEXT_LINE];
    int minutes = (int)(kept.past_s / 60.0);
    snprintf(when, sizeof when, "Heart as of %02d:%02d", minutes / 60, minutes % 60);
    draw_bedside();
    ck_assert_msg(says(when), "the bedside does not say \"%s\"", when);
    ck_assert(!says("Heart now"));
    close_night();
}
END_TEST

START_TEST(case_without_a_probe_shows_no_heart) {
    open_night("look:\n  probe: none\n");
    play(3.0, 0.05);
    open_sheet();
    key(KEY_NONE, false);
    ck_assert(!sheet.picture && !sheet.can_ask);
    ck_assert(says("no probe"));
    ck_assert(!says(" mL"));
    ck_assert(!view.heart.shown);
    close_night();
}
END_TEST

START_TEST(view_that_cannot_be_had_is_refused_with_the_reason) {
    open_night("look:\n  probe: always_on\n  views: [four_chamber, short_axis]\n");
    play(3.0, 0.05);
    open_sheet();
    type('5');
    key(KEY_NONE, false);
    ck_assert_int_eq(sheet.page, LOOK_PAGE_FOUR);
    ck_assert(says("inflow"));
    ck_assert(says("cannot be had"));
    type('2');
    ck_assert_int_eq(sheet.page, LOOK_PAGE_SHORT);
    ck_assert_str_eq(sheet.notice, "");
    close_night();
}
END_TEST

START_TEST(exam_level_writes_no_sizes) {
    look_example(&sheet, LOOK_SUPPORTED, LOOK_PAGE_FOUR, 0.9);
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&screen, 1280, 800, 1.0, &error), ERROR_OK);
    for (int page = 0; page < LOOK_PAGES; page++) {
        for (int tags = 0; tags < 2; tags++) {
            Intents intents = {0};
            look_example(&sheet, LOOK_SUPPORTED, (LookPage)page, 0.9);
            sheet.tags = tags == 1;
            ScreenFrame frame = {.view = &view,
                                 .sheet = &UI_LOOK_SHEET,
                                 .sheet_state = &sheet,
                                 .input = {.x_px = -1.0, .y_px = -1.0}};
            ui_screen_frame(&screen, &frame, &intents);
            if (page == LOOK_PAGE_FOUR || page == LOOK_PAGE_SHORT) ck_assert_int_eq(says(" mL"), tags == 1);
            ck_assert(says("schematic, not an image"));
        }
    }
    ui_screen_free(&screen);
}
END_TEST

START_TEST(sentence_says_what_the_flows_say) {
    char text[200];
    HeartView h = look_heart(LOOK_SUPPORTED);
    h.pump_l_min = 3.4, h.native_l_min = -0.3, h.right_l_min = 3.2, h.lungs_l_min = 0.1 + 1e-9;
    h.mitral_leak_l_min = h.tricuspid_leak_l_min = h.aortic_leak_l_min = 0.0;
    ui_look_sentence(&h, text, sizeof text);
    ck_assert_str_eq(text, "Left heart sends out 3.1, right heart 3.2: the lungs fill by 0.1 L/min.");
    h.lungs_l_min = -0.4;
    ui_look_sentence(&h, text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "the lungs empty by 0.4"));
    h.lungs_l_min = 0.05, h.tricuspid_leak_l_min = 1.3;
    ui_look_sentence(&h, text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "keep their blood"));
    ck_assert_ptr_nonnull(strstr(text, "tricuspid valve leaks 1.3"));
    h.aortic_leak_l_min = 2.0;
    ui_look_sentence(&h, text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "aortic valve leaks 2.0"));
    h.pump_l_min = -1.2;
    ui_look_sentence(&h, text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "pump leaks back 1.2"));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("look");
    TCase *c = tcase_create("sheet");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, loop_holds_the_last_seconds_without_a_gap);
    tcase_add_test(c, picture_follows_the_sample_on_show);
    tcase_add_test(c, calliper_across_the_left_ventricle_agrees_with_the_model);
    tcase_add_test(c, velocity_over_a_beat_is_the_models);
    tcase_add_test(c, freeze_keeps_the_picture_and_steps_while_the_night_goes_on);
    tcase_add_test(c, calliper_is_moved_by_keys_and_by_the_pointer);
    tcase_add_test(c, look_on_request_waits_shows_and_ends);
    tcase_add_test(c, bedside_keeps_the_last_picture_and_nothing_newer);
    tcase_add_test(c, case_without_a_probe_shows_no_heart);
    tcase_add_test(c, view_that_cannot_be_had_is_refused_with_the_reason);
    tcase_add_test(c, exam_level_writes_no_sizes);
    tcase_add_test(c, sentence_says_what_the_flows_say);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
