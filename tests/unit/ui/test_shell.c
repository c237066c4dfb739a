/* A night worked by keyboard and mouse, without a window: from the caution through the list of cases to the
   bedside, orders, cards, the end, and on again after closing half-way. */
#include "tests/support/check_main.h"
#include "tests/support/night_case.h"
#include "ui/shell.h"

#include <math.h>
#include <sys/stat.h>

#define FRAME_S 0.016

static char folder[] = "/tmp/evenkeel-shell-XXXXXX";
static Shell shell;
static double now_s;

static void write_file(const char *name, const char *text) {
    char path[512];
    snprintf(path, sizeof path, "%s/cases/%s", folder, name);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_int_ge(fputs(text, out), 0);
    ck_assert_int_eq(fclose(out), 0);
}

/* A folder of its own with one good and one broken case, and the nights beside it. */
static void start(void) {
    static bool made = false;
    char cases[512];
    if (!made) ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(cases, sizeof cases, "%s/cases", folder);
    if (!made) ck_assert_int_eq(mkdir(cases, 0700), 0);
    made = true;
    write_file("window-test.yaml", NIGHT_CASE);
    write_file("broken.yaml", "evenkeel_case: 1\nlevl: 3\n");
    setenv("EVENKEEL_SCENARIOS", cases, 1);
    setenv("XDG_DATA_HOME", folder, 1);
}

static void open_shell(const WindowRequest *request) {
    Error error;
    ck_assert_msg(ui_shell_start(&shell, request, &error) == ERROR_OK, "%s", error.what);
    ck_assert_int_eq(ui_screen_resize(&shell.screen, 1280, 800, 1.0, &error), ERROR_OK);
}

static void close_shell(void) {
    Error error;
    ck_assert_msg(ui_shell_stop(&shell, &error) == ERROR_OK, "%s", error.what);
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
}

static void type(const char *text) {
    for (; *text != '\0'; text++) {
        Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
        input.key[0] = (KeyPress){KEY_CHARACTER, false, (unsigned char)*text};
        ui_shell_frame(&shell, &input, FRAME_S, now_s += FRAME_S);
    }
}

static void click(double x_px, double y_px) {
    Input input = {.x_px = x_px, .y_px = y_px, .pressed = true, .released = true};
    ui_shell_frame(&shell, &input, FRAME_S, now_s += FRAME_S);
}

/* Clicks the middle of the last text of the frame that reads `text`. */
static void click_text(const char *text) {
    const DrawList *list = &shell.screen.list;
    for (size_t i = list->command_count; i-- > 0;) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind != DRAW_TEXT || strcmp(list->chars + c->text, text) != 0) continue;
        click(c->rect.x + (c->align == ALIGN_LEFT ? 4.0 : 0.0), c->rect.y - 4.0);
        return;
    }
    ck_abort_msg("nothing on the screen reads \"%s\"", text);
}

static bool says(const char *words) {
    const DrawList *list = &shell.screen.list;
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_TEXT && strstr(list->chars + c->text, words) != NULL) return true;
    }
    return false;
}

static double in_force(OrderId id) {
    return sim_session_orders(ui_feed_session(shell.feed))->value[id];
}

/* Through the caution, the list and the handover to the running bedside. */
static void go_to_bedside(void) {
    static const WindowRequest request = {0};
    open_shell(&request);
    frames(2);
    press(KEY_ENTER);
    frames(1);
    press(KEY_ENTER);
    ck_assert_ptr_nonnull(shell.feed);
    frames(1);
    press(KEY_ENTER);
    frames(2);
}

START_TEST(caution_comes_first_and_has_to_be_confirmed) {
    static const WindowRequest request = {0};
    open_shell(&request);
    frames(2);
    ck_assert(says("for education"));
    ck_assert(says("TRAINING ONLY"));
    press(KEY_F3);
    type("x");
    frames(2);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CAUTION);
    press(KEY_ENTER);
    frames(1);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
    close_shell();
}
END_TEST

START_TEST(list_shows_good_and_broken_cases) {
    static const WindowRequest request = {0};
    open_shell(&request);
    frames(1);
    press(KEY_ENTER);
    frames(1);
    ck_assert_int_eq(shell.overlay.entries, 2);
    ck_assert(says("A night for tests"));
    ck_assert(says("broken.yaml"));
    press(KEY_DOWN);
    press(KEY_ENTER); /* the broken one does not open */
    frames(1);
    ck_assert_ptr_null(shell.feed);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
    close_shell();
}
END_TEST

START_TEST(night_runs_after_the_handover) {
    go_to_bedside();
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_NONE);
    ck_assert(ui_shell_moving(&shell));
    frames(120);
    ck_assert_double_eq_tol(shell.view.time_s, 123 * FRAME_S, 0.1);
    ck_assert(says("A night for tests"));
    press(KEY_CHARACTER);
    type(" ");
    ck_assert(ui_feed_paused(shell.feed));
    double time_s = shell.view.time_s;
    frames(30);
    ck_assert_double_eq_tol(shell.view.time_s, time_s, 0.05);
    type(" ");
    ck_assert(!ui_feed_paused(shell.feed));
    close_shell();
}
END_TEST

START_TEST(order_by_keyboard_is_given_on_enter) {
    go_to_bedside();
    press(KEY_F3);
    frames(1);
    press(KEY_RIGHT);
    press(KEY_RIGHT);
    frames(1);
    ck_assert(says("Confirm"));
    ck_assert_double_eq_tol(in_force(ORDER_norepinephrine), 0.05, 1e-12); /* what runs comes first */
    press(KEY_ENTER);
    frames(40);
    ck_assert_double_eq_tol(in_force(ORDER_norepinephrine), 0.07, 1e-9);
    ck_assert(!says("Confirm"));
    press(KEY_F1);
    type("8800");
    press(KEY_ESCAPE);
    frames(1);
    ck_assert_int_eq(ui_desk_pending(ui_feed_desk(shell.feed)), 0);
    type("8600");
    press(KEY_ENTER);
    frames(1);
    ck_assert_double_eq_tol(in_force(ORDER_speed), 8600.0, 1e-9);
    frames(40);
    ck_assert_int_eq(shell.view.actions, 2);
    close_shell();
}
END_TEST

START_TEST(order_by_mouse_is_given_on_confirm) {
    go_to_bedside();
    click_text("Fluids");
    frames(2);
    ck_assert_int_eq(shell.view.deck.open_group, ORDER_GROUP_FLUIDS);
    Rect deck = shell.screen.layout.deck;
    click(deck.x + deck.w - 46.0, deck.y + 66.0); /* plus of the first row */
    frames(2);
    ck_assert_int_eq(ui_desk_pending(ui_feed_desk(shell.feed)), 1);
    click_text("Confirm");
    frames(2);
    ck_assert_msg(sim_session_orders(ui_feed_session(shell.feed))->running[0].active, "%s / pending %d",
                  ui_feed_desk(shell.feed)->problem, ui_desk_pending(ui_feed_desk(shell.feed)));
    close_shell();
}
END_TEST

START_TEST(cards_open_over_the_night_which_waits) {
    go_to_bedside();
    static const struct {
        const char *key;
        OverlayKind kind;
    } CARD[] = {
        {"?", OVERLAY_HELP}, {"m", OVERLAY_MESSAGES}, {"L", OVERLAY_ACTIONS}, {"h", OVERLAY_HANDOVER}};
    for (size_t i = 0; i < sizeof CARD / sizeof CARD[0]; i++) {
        type(CARD[i].key);
        ck_assert_int_eq(shell.overlay.kind, CARD[i].kind);
        ck_assert(ui_feed_paused(shell.feed));
        frames(2);
        press(KEY_ESCAPE);
        frames(1);
        ck_assert_int_eq(shell.overlay.kind, OVERLAY_NONE);
        ck_assert(!ui_feed_paused(shell.feed));
    }
    close_shell();
}
END_TEST

/* Baseline of the last text of the frame that begins with `words`; -1 if there is none. */
static double baseline(const char *words) {
    const DrawList *list = &shell.screen.list;
    for (size_t i = list->command_count; i-- > 0;) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_TEXT && strncmp(list->chars + c->text, words, strlen(words)) == 0)
            return c->rect.y;
    }
    return -1.0;
}

START_TEST(handover_longer_than_its_card_scrolls_to_its_end) {
    static CaseHandover handover;
    go_to_bedside();
    while (strlen(handover.done) + 12 < sizeof handover.done)
        strcat(handover.done, "many words ");
    memcpy(handover.attached, handover.done, sizeof handover.done);
    while (handover.objective_count < 6)
        memcpy(handover.objectives[handover.objective_count++], handover.done, 200);
    handover.caution_count = 1;
    snprintf(handover.cautions[0], sizeof handover.cautions[0], "The last words");
    shell.overlay.handover = &handover;
    type("h");
    frames(2);
    double button = baseline("Go to the bedside");
    ck_assert_double_gt(baseline("The last words"), button);
    press(KEY_END);
    frames(1);
    ck_assert_double_lt(baseline("The last words"), button - 30.0);
    press(KEY_HOME);
    frames(1);
    ck_assert_double_gt(baseline("The last words"), button);
    Input wheel = {.x_px = -1.0, .y_px = -1.0, .wheel = -2.0};
    double before = baseline("The last words");
    ui_shell_frame(&shell, &wheel, FRAME_S, now_s += FRAME_S);
    frames(1);
    ck_assert_double_lt(baseline("The last words"), before - 20.0);
    close_shell();
}
END_TEST

START_TEST(night_can_be_left_and_gone_on_with) {
    go_to_bedside();
    frames(100);
    char path[1024];
    snprintf(path, sizeof path, "%s", ui_feed_journal_path(shell.feed));
    type("q");
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_LEAVE);
    ck_assert(ui_feed_paused(shell.feed));
    frames(1);
    press(KEY_ESCAPE); /* stays */
    frames(1);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_NONE);
    ck_assert(!ui_feed_paused(shell.feed));
    uint64_t hash = sim_session_hash(ui_feed_session(shell.feed));
    type("q");
    frames(1);
    click_text("Leave the night");
    frames(1);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
    ck_assert_ptr_null(shell.feed);
    close_shell();
    WindowRequest request = {.resume_path = path};
    open_shell(&request);
    ck_assert(sim_session_hash(ui_feed_session(shell.feed)) == hash);
    close_shell();
}
END_TEST

START_TEST(digits_outside_the_limits_are_shown_while_typed) {
    go_to_bedside();
    press(KEY_F3);
    type("9");
    type("9");
    frames(1);
    ck_assert(says("99_"));
    ck_assert(says("allowed:"));
    ck_assert_int_eq(ui_desk_pending(ui_feed_desk(shell.feed)), 0);
    close_shell();
}
END_TEST

START_TEST(small_screen_shows_every_small_value_with_its_unit) {
    go_to_bedside();
    frames(120);
    static const char *const NAMES[] = {"SpO2", "SvO2", "Lactate", "Urine", "Drain", "Hb", "Wedge"};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++)
        ck_assert_msg(says(NAMES[i]), "%s is missing", NAMES[i]);
    ck_assert(says("mmol/L"));
    ck_assert(says("g/dL"));
    close_shell();
}
END_TEST

START_TEST(night_played_to_its_end_leads_back_to_the_list) {
    go_to_bedside();
    for (int i = 0; i < 6000 && shell.overlay.kind != OVERLAY_END; i++) {
        type(".");
        frames(2);
    }
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_END);
    frames(1);
    ck_assert(says("The night is over."));
    press(KEY_ENTER); /* looking back comes next */
    frames(1);
    ck_assert_int_eq(shell.sheet, SHEET_DEBRIEF);
    ck_assert_ptr_null(shell.feed);
    ck_assert(says("First, in your own words"));
    press(KEY_ESCAPE);
    frames(1);
    ck_assert_int_eq(shell.sheet, SHEET_NONE);
    ck_assert_int_eq(shell.overlay.kind, OVERLAY_CASES);
    close_shell();
}
END_TEST

START_TEST(window_closed_half_way_loses_nothing) {
    go_to_bedside();
    press(KEY_F3);
    press(KEY_RIGHT);
    press(KEY_ENTER);
    frames(200);
    char path[1024];
    snprintf(path, sizeof path, "%s", ui_feed_journal_path(shell.feed));
    double time_s = sim_session_time_s(ui_feed_session(shell.feed));
    uint64_t hash = sim_session_hash(ui_feed_session(shell.feed));
    close_shell();
    WindowRequest request = {.resume_path = path};
    open_shell(&request);
    frames(1);
    press(KEY_ENTER);
    frames(1);
    ck_assert(sim_session_hash(ui_feed_session(shell.feed)) == hash);
    ck_assert_double_eq_tol(sim_session_time_s(ui_feed_session(shell.feed)), time_s, 1e-9);
    press(KEY_ENTER);
    frames(100);
    ck_assert(shell.view.time_s > time_s);
    ck_assert_double_eq_tol(in_force(ORDER_norepinephrine), 0.06, 1e-9);
    close_shell();
}
END_TEST

START_TEST(hostile_keys_do_no_harm) {
    go_to_bedside();
    uint32_t seed = 12345;
    for (int i = 0; i < 4000; i++) {
        seed = seed * 1664525u + 1013904223u; /* Numerical Recipes' quick generator */
        Input input = {.x_px = seed % 1300, .y_px = (seed >> 8) % 820, .keys = 1};
        input.pressed = input.released = i % 3 == 0;
        input.wheel = i % 7 == 0 ? 1.0 : 0.0;
        input.key[0] = (KeyPress){(Key)((seed >> 16) % (KEY_ZOOM_RESET + 1)), (seed >> 24) % 2 == 0,
                                  32u + (seed >> 18) % 96u};
        if (input.key[0].key == KEY_F12) input.keys = 0; /* writes a file */
        ui_shell_frame(&shell, &input, FRAME_S, now_s += FRAME_S);
        ck_assert(!shell.screen.list.failed);
    }
    close_shell();
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("shell");
    TCase *c = tcase_create("journey");
    tcase_set_timeout(c, 200);
    tcase_add_checked_fixture(c, start, NULL);
    tcase_add_test(c, caution_comes_first_and_has_to_be_confirmed);
    tcase_add_test(c, list_shows_good_and_broken_cases);
    tcase_add_test(c, night_runs_after_the_handover);
    tcase_add_test(c, order_by_keyboard_is_given_on_enter);
    tcase_add_test(c, order_by_mouse_is_given_on_confirm);
    tcase_add_test(c, cards_open_over_the_night_which_waits);
    tcase_add_test(c, handover_longer_than_its_card_scrolls_to_its_end);
    tcase_add_test(c, night_can_be_left_and_gone_on_with);
    tcase_add_test(c, digits_outside_the_limits_are_shown_while_typed);
    tcase_add_test(c, small_screen_shows_every_small_value_with_its_unit);
    tcase_add_test(c, night_played_to_its_end_leads_back_to_the_list);
    tcase_add_test(c, window_closed_half_way_loses_nothing);
    tcase_add_test(c, hostile_keys_do_no_harm);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
