/* Every case of the folder, played through the window's own feed to several moments of its night and drawn.
   Not compared pixel by pixel, because a better model may change a night; set EVENKEEL_GOLDEN_OUT to a folder
   to look at them. */
#include "tests/support/check_main.h"
#include "ui/feed.h"
#include "ui/screen.h"

#include "sim/casefolder.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FIRST_MIN 2.0
#define LATER_MIN 12.0
#define LAST_S    9.0 /* at true time, so that lanes show beats and not bands */

static CaseFolder folder;
static Screen screen;
static BedsideView view;

static void draw(Feed *feed) {
    ScreenFrame frame = {.view = &view, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    ui_feed_fill(feed, screen.layout.deck_rows, &view);
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = ui_feed_sweep(feed, (LaneId)i);
    ui_screen_frame(&screen, &frame, &intents);
}

static void play(Feed *feed, double until_s, int rate_steps, double wall_s) {
    Error error;
    while (view.time_s < until_s && !sim_session_ended(ui_feed_session(feed))) {
        ui_feed_rate(feed, 0);
        for (int i = 0; i < rate_steps; i++)
            ui_feed_rate(feed, 1);
        ck_assert_msg(ui_feed_step(feed, wall_s, 1.0, &error) == ERROR_OK, "%s", error.what);
        draw(feed);
    }
}

static void check_picture(const Feed *feed, const char *name, double minutes) {
    ck_assert(!screen.list.failed);
    ck_assert_int_eq(view.heart.shown, sim_session_look(ui_feed_session(feed)).picture);
    bool known = view.heart.shown || view.heart.past; /* else nothing of the heart is in the view */
    for (int i = 0; i < HEART_CHAMBER_COUNT; i++) {
        double now_ml = view.heart.chamber[i].now_ml;
        ck_assert(isfinite(now_ml) && (known ? now_ml > 0.0 : now_ml <= 0.0));
    }
    const char *out = getenv("EVENKEEL_GOLDEN_OUT");
    if (out == NULL) return;
    char path[512];
    Error error;
    snprintf(path, sizeof path, "%.200s/case_%.100s_%.0fmin.png", out, name, minutes);
    ck_assert_int_eq(ui_raster_write_png(screen.canvas, path, &error), ERROR_OK);
}

START_TEST(case_draws_through_its_night) {
    Error error;
    ErrorList *errors = calloc(1, sizeof *errors);
    char path[CASEFOLDER_PATH_MAX + CASEFOLDER_NAME_MAX + 1];
    ck_assert_int_eq(sim_casefolder_find(&folder, &error), ERROR_OK);
    for (int i = 0; i < folder.count; i++) {
        snprintf(path, sizeof path, "%s/%s", folder.path, folder.names[i]);
        Case *file = sim_case_load(path, errors);
        ck_assert_msg(file != NULL, "%s", errors->items[0].what);
        FeedRequest request = {.case_file = file};
        memset(&view, 0, sizeof view);
        Feed *feed = ui_feed_open(&request, &error);
        ck_assert_msg(feed != NULL, "%s", error.what);
        ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
        ck_assert_int_eq(ui_screen_resize(&screen, 1920, 1080, 1.0, &error), ERROR_OK);
        ui_feed_columns(feed, screen.columns);
        ui_feed_pause(feed, false);
        const double stop_min[] = {FIRST_MIN, LATER_MIN};
        for (size_t k = 0; k < sizeof stop_min / sizeof stop_min[0]; k++) {
            play(feed, stop_min[k] * 60.0 - 60.0, 7, 0.25);
            play(feed, stop_min[k] * 60.0 - LAST_S, 3, 0.05);
            play(feed, stop_min[k] * 60.0, 0, 0.05);
            check_picture(feed, file->id, stop_min[k]);
        }
        ck_assert_int_eq(ui_feed_close(feed, &error), ERROR_OK);
        ui_screen_free(&screen);
        sim_case_free(file);
    }
    free(errors);
}
END_TEST

static void own_nights(void) {
    static char nights[] = "/tmp/evenkeel-pictures-XXXXXX";
    ck_assert_ptr_nonnull(mkdtemp(nights));
    setenv("XDG_DATA_HOME", nights, 1);
}

static Suite *suite(void) {
    Suite *s = suite_create("case pictures");
    TCase *c = tcase_create("nights");
    tcase_set_timeout(c, 600);
    tcase_add_unchecked_fixture(c, own_nights, NULL);
    tcase_add_test(c, case_draws_through_its_night);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
