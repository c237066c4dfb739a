/* A trainee's way through the program by keys: from the list through the handover to a titration with its
   prediction, a call, the end; going on with a night; free practice. */
#include "sim/attempts.h"
#include "tests/support/check_main.h"
#include "tests/support/night_case.h"
#include "ui/call.h"
#include "ui/practice.h"
#include "ui/shell.h"

#include <math.h>
#include <sys/stat.h>

#define FRAME_S 0.016

static char folder[] = "/tmp/evenkeel-practice-XXXXXX";
static Shell shell;
static double now_s;

static void start(void) {
    static bool made = false;
    char path[512];
    if (!made) ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/cases", folder);
    if (!made) ck_assert_int_eq(mkdir(path, 0700), 0);
    made = true;
    setenv("EVENKEEL_SCENARIOS", path, 1);
    setenv("XDG_DATA_HOME", folder, 1);
    setenv("XDG_CONFIG_HOME", folder, 1);
    snprintf(path, sizeof path, "%s/cases/window-test.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    const char *unguided = strstr(NIGHT_CASE, "guided: no\n"); /* the last line */
    ck_assert_ptr_nonnull(unguided);
    ck_assert_int_gt(fprintf(out, "%.*sguided: yes\n", (int)(unguided - NIGHT_CASE), NIGHT_CASE), 0);
    ck_assert_int_eq(fclose(out), 0);
    snprintf(path, sizeof path, "%s/evenkeel", folder); /* nothing has been tried, no tour */
    char command[600];
    snprintf(command, sizeof command, "rm -rf %s", path);
    ck_assert_int_eq(system(command), 0);
}

static void frames(int count) {
    Input nothing = {.x_px = -1.0, .y_px = -1.0};
    for (int i = 0; i < count; i++, now_s += FRAME_S)
        ui_shell_frame(&shell, &nothing, FRAME_S, now_s);
}

static void press(Key key) {
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
    input.key[0] = (KeyPress){key, false, 0};
    ui_shell_frame(&shell, &input, FRAME_S, now_s += FRAME_S);
    frames(1);
}

static void type(const char *text) {
    for (; *text != '\0'; text++) {
        Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
        input.key[0] = (KeyPress){KEY_CHARACTER, false, (unsigned char)*text};
        ui_shell_frame(&shell, &input, FRAME_S, now_s += FRAME_S);
    }
    frames(1);
}

static bool says(const char *words) {
    const DrawList *list = &shell.screen.list;
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_TEXT && strstr(list->chars + c->text, words) != NULL) return true;
    }
    return false;
}

static void open_list(void) {
    static const WindowRequest request = {0};
    Error error;
    ck_assert_msg(ui_shell_start(&shell, &request, &error) == ERROR_OK, "%s", error.what);
    ck_assert_int_eq(ui_screen_resize(&shell.screen, 1280, 800, 1.0, &error), ERROR_OK);
    frames(2);
    press(KEY_ENTER); /* the caution */
    if (shell.sheet != SHEET_NONE) press(KEY_ESCAPE);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
}

/* From the list through the handover to the bedside. */
static void open_night(void) {
    press(KEY_ENTER);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_HANDOVER);
    press(KEY_ENTER);
    if (shell.sheet != SHEET_NONE) press(KEY_ESCAPE);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_NONE);
}

static void close_shell(void) {
    Error error;
    ck_assert_msg(ui_shell_stop(&shell, &error) == ERROR_OK, "%s", error.what);
}

static const Session *session(void) {
    return ui_feed_session(shell.feed);
}

/* Plays until the scenario time, closing cards that come. */
static void play_to(double time_s) {
    for (int i = 0; i < 60000 && shell.feed != NULL && sim_session_time_s(session()) < time_s; i++) {
        if (i % 10 == 0 && shell.overlay.kind == OVERLAY_NONE && shell.view.time_rate < 60.0) type(".");
        frames(1);
        if (shell.overlay.kind == OVERLAY_END) return;
    }
}

START_TEST(journey_from_the_list_to_the_end) {
    open_list();
    ck_assert(says("not tried yet"));
    ck_assert(says("A night for tests"));
    type("zz");
    ck_assert(says("No case has these words."));
    press(KEY_ESCAPE);
    open_night();
    frames(60);
    /* titrate, with a prediction first: the night waits for it */
    press(KEY_F1);
    press(KEY_RIGHT);
    press(KEY_RIGHT);
    double before = sim_session_orders(session())->value[ORDER_speed];
    press(KEY_ENTER);
    ck_assert_int_eq(shell.sheet, SHEET_PREDICT);
    ck_assert(ui_feed_paused(shell.feed));
    ck_assert(says("Predict first"));
    press(KEY_ESCAPE); /* thought better of it: the order is still pending */
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    ck_assert_int_eq(ui_desk_pending(ui_feed_desk(shell.feed)), 1);
    ck_assert_double_eq_tol(sim_session_orders(session())->value[ORDER_speed], before, 1e-9);
    press(KEY_ENTER);
    type("312");
    type("4");
    press(KEY_ENTER);
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    ck_assert(!ui_feed_paused(shell.feed));
    ck_assert_double_gt(sim_session_orders(session())->value[ORDER_speed], before);
    ck_assert_int_eq(sim_session_prediction_count(session()), 1);
    const Prediction *prediction = sim_session_prediction(session(), 0);
    ck_assert_int_eq(prediction->status, PREDICTION_PENDING);
    ck_assert_int_eq(prediction->sure, 4);
    ck_assert_int_eq(prediction->part[0].said, WAY_UP);
    ck_assert_int_eq(prediction->part[1].said, WAY_DOWN);
    ck_assert_int_eq(prediction->part[2].said, WAY_SAME);
    /* a second order, skipped */
    press(KEY_F3);
    int drug = shell.view.deck.row[shell.view.deck.focus_row].order;
    press(KEY_RIGHT);
    press(KEY_ENTER);
    ck_assert_int_eq(shell.sheet, SHEET_PREDICT);
    type("0");
    ck_assert_msg(ui_desk_pending(ui_feed_desk(shell.feed)) == 0, "%s", ui_feed_desk(shell.feed)->problem);
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    ck_assert_double_gt(sim_session_orders(session())->value[drug], 0.0);
    ck_assert_int_eq(sim_session_prediction(session(), 0)->status, PREDICTION_SKIPPED);
    /* call */
    type("g");
    ck_assert_int_eq(shell.sheet, SHEET_CALL);
    ck_assert(ui_feed_paused(shell.feed));
    press(KEY_RIGHT);
    press(KEY_TAB);
    for (int i = 0; i < 6; i++)
        press(KEY_RIGHT);
    press(KEY_TAB);
    type("look again");
    press(KEY_ENTER);
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    ck_assert_int_eq(sim_session_call_count(session()), 1);
    const Call *call = sim_session_call(session(), 0);
    ck_assert_int_eq(call->diagnosis, DIAGNOSIS_bleeding);
    ck_assert_int_eq(call->confidence_percent, 50);
    ck_assert_str_eq(call->plan, "look again");
    /* the answer comes after its five minutes, and can be put away */
    play_to(330.0);
    frames(60);
    ck_assert(says("as said"));
    ck_assert_int_eq(sim_session_prediction(session(), 1)->status, PREDICTION_SEEN);
    type("p");
    frames(40);
    ck_assert(!says("as said"));
    type("L"); /* and stands in the list of what was done */
    ck_assert(says("Predicted: Pump speed"));
    ck_assert(says("Call: Bleeding"));
    press(KEY_ESCAPE);
    play_to(700.0);
    frames(5);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_END);
    press(KEY_ESCAPE); /* no debrief now */
    frames(2);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
    ck_assert(says("went with a price"));
    ck_assert(says("called: Bleeding"));
    close_shell();
}
END_TEST

START_TEST(unfinished_night_goes_on_from_the_list) {
    open_list();
    open_night();
    frames(200);
    double time_s = sim_session_time_s(session());
    uint64_t hash = sim_session_hash(session());
    type("q");
    type("q");
    frames(1);
    if (shell.overlay.kind != OVERLAY_CASES) press(KEY_ESCAPE);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
    ck_assert(says("left at 0:00 h"));
    press(KEY_F2);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_HANDOVER);
    ck_assert_double_eq_tol(sim_session_time_s(session()), time_s, 1e-9);
    ck_assert(sim_session_hash(session()) == hash);
    close_shell();
}
END_TEST

static const PracticeView *practice(void) {
    return shell.sheet_state[SHEET_PRACTICE];
}

START_TEST(free_practice_opens_every_cause) {
    open_list();
    press(KEY_F3);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_PRACTICE);
    press(KEY_RIGHT); /* the smaller body */
    press(KEY_ENTER);
    ck_assert_ptr_nonnull(shell.feed);
    ck_assert_str_eq(sim_session_case(session())->patient.base, "supported_axial_small");
    press(KEY_ENTER); /* the handover; then the page */
    ck_assert_int_eq(shell.sheet, SHEET_PRACTICE);
    frames(120);
    ck_assert(!ui_feed_paused(shell.feed));
    ck_assert_int_gt(practice()->loop[0].now.points, 0);
    ck_assert_int_gt(practice()->truths, 20);
    /* a clot behind the right atrium, typed, at once */
    type("/");
    type("clot_ra_ml");
    press(KEY_ENTER);
    ParameterId rows[PARAMETER_COUNT];
    ck_assert_int_le(ui_practice_rows(practice(), rows), 3);
    while (practice()->focus != PARAMETER_clot_ra_ml)
        press(KEY_DOWN);
    type("90");
    ck_assert_int_eq(practice()->pendings, 1);
    press(KEY_ENTER);
    ck_assert_int_eq(practice()->pendings, 0);
    ck_assert(says("1 changed at once"));
    frames(30);
    ck_assert_double_eq_tol(sim_session_parameters(session())->clot_ra_ml, 90.0, 1e-9);
    /* back over ten seconds */
    type(">");
    press(KEY_DELETE);
    press(KEY_ENTER);
    frames(200);
    double under_way = sim_session_parameters(session())->clot_ra_ml;
    ck_assert(under_way > 5.0 && under_way < 85.0);
    frames(900);
    ck_assert_double_eq_tol(sim_session_parameters(session())->clot_ra_ml, 0.0, 1e-9);
    type("90");
    press(KEY_ENTER);
    type("w");
    ck_assert(says("written: practice-supported_axial_small-"));
    press(KEY_ESCAPE);
    if (shell.sheet == SHEET_TOUR) press(KEY_ESCAPE);
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    type("f");
    ck_assert_int_eq(shell.sheet, SHEET_PRACTICE);
    close_shell();
}
END_TEST

START_TEST(practice_goes_on_where_it_was_left) {
    open_list();
    press(KEY_F3);
    press(KEY_ENTER);
    press(KEY_ENTER);
    frames(100);
    double time_s = sim_session_time_s(session());
    press(KEY_ESCAPE);
    if (shell.sheet == SHEET_TOUR) press(KEY_ESCAPE);
    type("q");
    type("q");
    if (shell.overlay.kind != OVERLAY_CASES) press(KEY_ESCAPE);
    press(KEY_F3);
    ck_assert(says("F2  Go on at 0:00 h"));
    bool reached = false; /* Enter on the button goes on, it does not begin another night */
    for (int i = 0; i < 12 && !reached; i++) {
        press(KEY_TAB);
        for (int k = 0; k < shell.screen.ui.befores; k++) {
            const UiItem *item = &shell.screen.ui.before[k];
            reached = reached ||
                      (item->id == shell.screen.ui.focus && strncmp(item->label, "F2  Go on", 9) == 0);
        }
    }
    ck_assert(reached);
    press(KEY_ENTER);
    ck_assert_ptr_nonnull(shell.feed);
    ck_assert(sim_session_case(session())->practice);
    ck_assert_double_eq_tol(sim_session_time_s(session()), time_s, 1e-9);
    close_shell();
}
END_TEST

START_TEST(several_orders_are_asked_about_once) {
    open_list();
    open_night();
    frames(30);
    press(KEY_F1);
    press(KEY_RIGHT);
    double speed = sim_session_orders(session())->value[ORDER_speed];
    press(KEY_F3);
    press(KEY_RIGHT);
    int drug = shell.view.deck.row[shell.view.deck.focus_row].order;
    ck_assert_int_eq(ui_desk_pending(ui_feed_desk(shell.feed)), 2);
    press(KEY_ENTER);
    ck_assert_int_eq(shell.sheet, SHEET_PREDICT);
    ck_assert(says("Pump speed"));
    ck_assert(says("1 more goes along"));
    type("333");
    type("5");
    press(KEY_ENTER);
    ck_assert_int_eq(shell.sheet, SHEET_NONE); /* not asked again */
    ck_assert_int_eq(ui_desk_pending(ui_feed_desk(shell.feed)), 0);
    ck_assert_int_eq(sim_session_prediction_count(session()), 1);
    ck_assert_int_eq(sim_session_prediction(session(), 0)->order.id, ORDER_speed);
    ck_assert_double_gt(sim_session_orders(session())->value[ORDER_speed], speed);
    ck_assert_double_gt(sim_session_orders(session())->value[drug], 0.0);
    close_shell();
}
END_TEST

START_TEST(case_keeps_its_causes_closed) {
    open_list();
    open_night();
    type("f");
    frames(1);
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    Error error;
    ck_assert_int_ne(ui_feed_say(shell.feed, "set clot_ra_ml 50", &error), ERROR_OK);
    close_shell();
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("shell practice");
    TCase *c = tcase_create("journey");
    tcase_set_timeout(c, 200);
    tcase_add_checked_fixture(c, start, NULL);
    tcase_add_test(c, journey_from_the_list_to_the_end);
    tcase_add_test(c, unfinished_night_goes_on_from_the_list);
    tcase_add_test(c, free_practice_opens_every_cause);
    tcase_add_test(c, practice_goes_on_where_it_was_left);
    tcase_add_test(c, several_orders_are_asked_about_once);
    tcase_add_test(c, case_keeps_its_causes_closed);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
