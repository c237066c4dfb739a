/* The instructor's window beside the trainee's: every act by key and by mouse, nothing of it in the other
   window, time taken back on both. */
#include "tests/support/check_main.h"
#include "ui/describe.h"
#include "ui/keyscript.h"
#include "ui/shell.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char CASE[] =
    "evenkeel_case: 1\nid: hands\ntitle: A night for hands\ntheme: tests\nlevel: 2\nlength: 20min\nseed: 3\n"
    "summary: For tests.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None.]}\n"
    "patient: {base: supported_axial, settle: 30s}\n"
    "truth: {diagnosis: well}\n"
    "timeline:\n"
    "  - {id: leak, at: 8min, do: [{truth: {diagnosis: bleeding}},\n"
    "     {ramp: {parameter: bleed_hidden_ml_h, to: 600, over: 1min}}]}\n"
    "  - {id: quiet, within: [10min, 12min], do: [{message: {from: nurse, text: Quiet.}}]}\n"
    "  - {id: never, when: art_mean_mmhg > 400, do: [{message: {from: nurse, text: High.}}]}\n"
    "objectives:\n  - {id: named, text: It is named., when: call_right > 0.5}\n"
    "endings:\n  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n";

static char folder[64], path[128];
static Shell shell;
static WindowRequest request;
static double now_s;

static void start(void) {
    Error error;
    strcpy(folder, "/tmp/evenkeel_hand_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/hands.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    fputs(CASE, out);
    fclose(out);
    request = (WindowRequest){.case_path = path, .apart = true};
    ck_assert_msg(ui_shell_start(&shell, &request, &error) == ERROR_OK, "%s", error.what);
    ck_assert_int_eq(ui_screen_resize(&shell.screen, 1280, 800, 1.0, &error), ERROR_OK);
}

static void stop(void) {
    Error error;
    char command[128];
    ck_assert_int_eq(ui_shell_stop(&shell, &error), ERROR_OK);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static void play(const char *script) {
    Error error;
    model_error_clear(&error);
    if (ui_keyscript_play(&shell, script, "test", NULL, &error) != ERROR_OK)
        ck_abort_msg("line %d: %s; %s", error.line, error.what, error.allowed);
}

static const Session *session(void) {
    return ui_feed_session(shell.feed);
}

static const LogEntry *newest(LogKind kind) {
    for (int64_t i = sim_session_log_count(session()) - 1; i >= 0; i--) {
        const LogEntry *entry = sim_session_log_entry(session(), i);
        if (entry->kind == kind) return entry;
    }
    return NULL;
}

static bool instructor_says(const char *words) {
    char *text = ui_describe_text(&shell.instructor->screen.ui);
    bool says = text != NULL && strstr(text, words) != NULL;
    free(text);
    return says;
}

/* Clicks the control that is told by `label`. */
static void click(const char *label) {
    const Ui *ui = &shell.instructor->screen.ui;
    for (int i = 0; i < ui->befores; i++) {
        const UiItem *item = &ui->before[i];
        if (strcmp(item->label, label) != 0) continue;
        Input input = {.x_px = item->rect.x + item->rect.w / 2.0, .y_px = item->rect.y + item->rect.h / 2.0};
        input.pressed = input.down = true;
        ui_shell_instructor_frame(&shell, &input, 0.6, now_s += 0.6);
        input.pressed = input.down = false;
        input.released = true;
        ui_shell_instructor_frame(&shell, &input, 0.6, now_s += 0.6);
        Input nothing = {.x_px = -1.0, .y_px = -1.0};
        ui_shell_instructor_frame(&shell, &nothing, 0.6, now_s += 0.6);
        return;
    }
    ck_abort_msg("no control is called %s", label);
}

START_TEST(instructor_opens_and_closes_beside_a_running_night) {
    play("press Enter Enter\nuntil 30s\npress Space F10");
    ck_assert_ptr_nonnull(shell.instructor);
    double time_s = sim_session_time_s(session());
    play("press F10\npress Space\nwait 2");
    ck_assert_ptr_null(shell.instructor);
    ck_assert_double_gt(sim_session_time_s(session()), time_s + 1.0); /* it went on */
}
END_TEST

START_TEST(instructor_waits_for_a_night) {
    shell.overlay.kind = OVERLAY_CAUTION;
    play("window instructor\nexpect A night for hands\nexpect a card is open\npress Space");
    ck_assert(ui_feed_paused(shell.feed)); /* the handover is being read */
    play("window trainee\npress Enter Enter\nwait 1\nwindow instructor\npress Space\nwait 0.2");
    ck_assert(ui_feed_paused(shell.feed));
    play("press Space\nwait 0.2");
    ck_assert(!ui_feed_paused(shell.feed));
    play("press Period Period");
    ck_assert_double_gt(ui_feed_rate_now(shell.feed), 2.0);
}
END_TEST

START_TEST(instructor_every_act_by_key) {
    play("press Enter Enter\nuntil 1min\nwindow instructor\nexpect at 00:08:00\nexpect Going well\n"
         "press d\nwait 1\nexpect +5 min\npress Shift+d\nwait 1\nexpect +6 min\n"
         "press Down s\nwait 1\nexpect skipped\npress s\nwait 1\nrefuse skipped\npress s Up f\nwait 2\n"
         "expect came 00:01");
    ck_assert_double_gt(sim_session_script(session())->fired_s[0], 60.0);
    ck_assert(sim_session_script(session())->skipped[1]);
    play("window instructor\nexpect Bleeding");
    play("window instructor\npress t Shift+t t u\nwait 1");
    ck_assert_ptr_nonnull(newest(LOG_HAND));
    play("window instructor\npress F3 m");
    play("window instructor\ntype pump and f d s b z");
    play("window instructor\npress Enter\nwait 1");
    ck_assert_str_eq(newest(LOG_MESSAGE)->text, "pump and f d s b z");
    ck_assert_str_eq(newest(LOG_MESSAGE)->from, "nurse");
    play("window instructor\npress n\ntype well seen\npress Enter\nwait 1");
    ck_assert_str_eq(newest(LOG_MARK)->text, "mark well seen");
    play("window instructor\npress z\nwait 1\nexpect frozen");
    ck_assert(sim_session_frozen(session()));
    play("window instructor\npress z\nwait 1");
    ck_assert(!sim_session_frozen(session()));
    play("window instructor\npress F2 /\ntype systemic_resistance_x\npress Enter 1 Period 4 > Enter\nwait 1");
    ck_assert_str_eq(newest(LOG_CAUSE)->text, "set systemic_resistance_x 1.4 over 10s");
    ck_assert_str_eq(newest(LOG_CAUSE)->from, "instructor");
    play("window instructor\npress F1 Down Down Down f\nwait 2\nexpect came");
    /* refused acts say why */
    play("window instructor\npress Up Up Up");
    ck_assert(instructor_says("(not available)"));
}
END_TEST

START_TEST(instructor_every_button_by_mouse) {
    play("press Enter Enter\nuntil 1min\nwindow instructor");
    click("D  +5 min");
    ck_assert_double_eq_tol(sim_session_script(session())->delay_s[0], 300.0, 1e-9);
    click("Shift D  +1 min");
    ck_assert_double_eq_tol(sim_session_script(session())->delay_s[0], 360.0, 1e-9);
    click("S  Skip");
    ck_assert(sim_session_script(session())->skipped[0]);
    click("S  Keep after all");
    ck_assert(!sim_session_script(session())->skipped[0]);
    click("F  Fire now");
    ck_assert(sim_session_script(session())->called[0]);
    click("F3  Say, do");
    click("Z  Freeze the pump's screen");
    ck_assert(sim_session_frozen(session()));
    click("next diagnosis");
    click("U  Is true");
    ck_assert_double_ge(sim_session_script(session())->hand_truth_s, 60.0);
    click("Nurse");
    ck_assert(instructor_says("[button] Surgeon"));
    click("a minute less");
    click("a minute less");
    ck_assert(instructor_says("3 min"));
    click("a minute more");
    ui_feed_pause(shell.feed, false);
    click("B  Take back");
    ck_assert(instructor_says("Take the night back from"));
    ck_assert(ui_feed_paused(shell.feed)); /* what is asked is what is done */
    click("Leave it  Esc");
    ck_assert(!ui_feed_paused(shell.feed));
    ck_assert(!instructor_says("Take the night back from"));
    click("B  Take back");
    click("Take back  Enter");
    ck_assert_double_lt(sim_session_time_s(session()), 1.0);
    ck_assert_int_eq(sim_session_takes(session()), 1);
}
END_TEST

/* All that the trainee's window says over some pages. */
START_TEST(instructor_leaves_no_trace_in_the_trainees_window) {
    static const char *const PAGES[] = {"press c\nwait 1", "press Esc l\nwait 1", "press Esc m\nwait 1"};
    static const char *const SECRETS[] = {
        "leak", "Bleeding", "instructor", "bleed_hidden", "secret", "systemic_resistance", "Truth", "quiet"};
    play("press Enter Enter\nuntil 1min\nwindow instructor\npress f\nwait 1\npress n\ntype secret\npress "
         "Enter\n"
         "wait 1\npress z F2 /\ntype systemic_resistance_x\npress Enter 1 Period 4 > Enter\nwait 1\n"
         "window trainee\nuntil 2min");
    for (size_t page = 0; page < sizeof PAGES / sizeof PAGES[0]; page++) {
        play(PAGES[page]);
        for (size_t i = 0; i < sizeof SECRETS / sizeof SECRETS[0]; i++)
            ck_assert_msg(!ui_keyscript_says(&shell, SECRETS[i]), "page %zu says %s", page, SECRETS[i]);
    }
}
END_TEST

START_TEST(instructor_take_back_shows_on_both_and_from_the_end) {
    play("press Enter Enter\nuntil 20min\nwait 1\nexpect The night is over\nwindow instructor\nexpect over: "
         "mixed\n"
         "press b Enter\nwait 1\nexpect Done: take_back 5min\nwindow trainee\nrefuse The night is over\n"
         "expect taken the night back to 00:15:0");
    ck_assert(!sim_session_ended(session()));
    ck_assert(ui_feed_paused(shell.feed));
    ck_assert_double_lt(ui_feed_shown_s(shell.feed), 901.0);
    play("window instructor\npress Space\nwait 3\nwindow trainee");
    ck_assert_double_gt(ui_feed_shown_s(shell.feed), 901.0);
    play("until 20min\nwait 1\nexpect The night is over"); /* the end comes again */
}
END_TEST

START_TEST(instructor_window_stays_within_the_screen_and_readable) {
    static const struct {
        int w, h;
        double scale;
    } SIZES[] = {{1280, 800, 1.0}, {1920, 1080, 1.0}, {1920, 1080, 2.0}};
    Error error;
    play("press Enter Enter\nuntil 1min\nwindow instructor\npress F3");
    ck_assert_int_eq(
        ui_screen_resize(&shell.instructor->screen, SIZES[_i].w, SIZES[_i].h, SIZES[_i].scale, &error),
        ERROR_OK);
    for (int page = 0; page < 3; page++) {
        static const char *const KEYS[] = {"window instructor\npress F2\nwait 1",
                                           "window instructor\npress F3 b\nwait 1",
                                           "window instructor\npress Esc F4\nwait 1"};
        play(KEYS[page]);
        const Screen *s = &shell.instructor->screen;
        Rect all = ui_rect_inset(s->layout.screen, -0.5, -0.5);
        for (size_t i = 0; i < s->list.command_count; i++) {
            const DrawCommand *c = &s->list.commands[i];
            if (c->kind != DRAW_TEXT) continue;
            ck_assert_msg(c->size_px >= 16.0 - 1e-6 || c->rect.y < all.h * 0.5, "small: %s",
                          s->list.chars + c->text);
            double w = ui_draw_text_width(&s->list, c->face, c->size_px, s->list.chars + c->text);
            double x = c->rect.x - (c->align == ALIGN_LEFT ? 0.0 : c->align == ALIGN_CENTRE ? w / 2.0 : w);
            ck_assert_msg(x >= all.x && x + w <= all.x + all.w && c->rect.y <= all.y + all.h,
                          "outside: %s at %g, %g", s->list.chars + c->text, x, c->rect.y);
        }
        for (int i = 0; i < s->ui.befores; i++) {
            const UiItem *item = &s->ui.before[i];
            ck_assert_msg(item->rect.h >= 24.0 - 1e-6 && item->rect.w >= 24.0 - 1e-6, "%s is %g x %g",
                          item->label, item->rect.w, item->rect.h);
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("instructor");
    TCase *c = tcase_create("instructor");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, instructor_opens_and_closes_beside_a_running_night);
    tcase_add_test(c, instructor_waits_for_a_night);
    tcase_add_test(c, instructor_every_act_by_key);
    tcase_add_test(c, instructor_every_button_by_mouse);
    tcase_add_test(c, instructor_leaves_no_trace_in_the_trainees_window);
    tcase_add_test(c, instructor_take_back_shows_on_both_and_from_the_end);
    tcase_add_loop_test(c, instructor_window_stays_within_the_screen_and_readable, 0, 3);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
