/* Alarms on the screen: worked by keyboard and mouse through a whole night's shell, flash rates, contrast. */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "ui/alarm_strip.h"
#include "ui/bedside.h"
#include "ui/shell.h"
#include "ui/tiles.h"

#include <math.h>
#include <sys/stat.h>

#define FRAME_S 0.016

static const char CASE[] =
    "evenkeel_case: 1\nid: alarm-ui\ntitle: Alarms\nlevel: 1\ntheme: tests\nlength: 30min\nseed: 5\n"
    "summary: For tests.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [None]}\n"
    "patient:\n  base: supported_axial\n  settle: 1min\n"
    "  set: {ventilated: 1, peep_cmh2o: 5, driving_cmh2o: 11}\n"
    "alarms: {art_mean_low_mmhg: 89, art_mean_high_mmhg: off}\n"
    "timeline:\n  - {id: trouble, at: 90s, do: [{set: {left_pump_powered: 0}}]}\n"
    "endings:\n  - {id: over, at_length: yes, outcome: mixed, text: Over.}\n";

static char folder[] = "/tmp/evenkeel-alarm-ui-XXXXXX";
static char path[600];
static Shell shell;
static double now_s;
static WindowRequest request;
static int sounds[SOUND_COUNT];

static void start(void) {
    ck_assert_ptr_nonnull(mkdtemp(folder));
    setenv("XDG_DATA_HOME", folder, 1);
    setenv("XDG_CONFIG_HOME", folder, 1);
    snprintf(path, sizeof path, "%s/alarm-ui.yaml", folder);
    FILE *out = fopen(path, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_int_ge(fputs(CASE, out), 0);
    ck_assert_int_eq(fclose(out), 0);
}

/* One frame, and what the window would play. */
static void frame(const Input *input) {
    ui_shell_frame(&shell, input, FRAME_S, now_s += FRAME_S);
    sounds[shell.asks.sound]++;
    shell.asks.sound = SOUND_NONE;
    shell.asks.sound_stop = false;
}

static void frames(int count) {
    Input nothing = {.x_px = -1.0, .y_px = -1.0};
    for (int i = 0; i < count; i++)
        frame(&nothing);
}

static void press(Key key, bool shift) {
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
    input.key[0] = (KeyPress){key, shift, 0};
    frame(&input);
}

static void type(const char *text) {
    for (; *text != '\0'; text++) {
        Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
        input.key[0] = (KeyPress){KEY_CHARACTER, false, (unsigned char)*text};
        frame(&input);
    }
}

static const DrawCommand *find(const char *words) {
    const DrawList *list = &shell.screen.list;
    for (size_t i = list->command_count; i-- > 0;) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_TEXT && strstr(list->chars + c->text, words) != NULL) return c;
    }
    return NULL;
}

static void click(const char *words) {
    const DrawCommand *c = find(words);
    ck_assert_msg(c != NULL, "nothing on the screen reads \"%s\"", words);
    double x = c->rect.x + (c->align == ALIGN_LEFT ? 4.0 : c->align == ALIGN_RIGHT ? -4.0 : 0.0);
    Input input = {.x_px = x, .y_px = c->rect.y - 4.0, .pressed = true, .released = true};
    frame(&input);
    frames(2);
}

static const AlarmsState *alarms(void) {
    return sim_session_alarms(ui_feed_session(shell.feed));
}

/* Opens the night and lets it run to `time_s` at a high rate, then at x1. */
static void go_to(double time_s) {
    Error error;
    memset(sounds, 0, sizeof sounds);
    request = (WindowRequest){.case_path = path, .rate_x = 30.0};
    ck_assert_msg(ui_shell_start(&shell, &request, &error) == ERROR_OK, "%s", error.what);
    ui_settings_set(&shell.settings.now, SETTING_tour_seen, 1);
    ck_assert_int_eq(ui_screen_resize(&shell.screen, 1280, 800, 1.0, &error), ERROR_OK);
    frames(2);
    press(KEY_ENTER, false);
    frames(1);
    press(KEY_ENTER, false);
    for (int i = 0; i < 20000 && sim_session_time_s(ui_feed_session(shell.feed)) < time_s; i++)
        frames(1);
    press(KEY_HOME, false);
    frames(40);
}

static void stop(void) {
    Error error;
    ck_assert_msg(ui_shell_stop(&shell, &error) == ERROR_OK, "%s", error.what);
}

START_TEST(alarm_ui_is_shown_paused_and_acknowledged_by_keyboard) {
    go_to(60.0);
    ck_assert_int_eq(alarms()->phase[ALARM_art_mean_low], ALARM_ACTIVE);
    ck_assert_ptr_nonnull(find("MAP low"));
    ck_assert_ptr_nonnull(find("limit 89"));
    ck_assert_ptr_nonnull(find("!!"));
    type("a");
    frames(2);
    ck_assert_double_gt(sim_alarms_pause_left_s(alarms(), sim_session_time_s(ui_feed_session(shell.feed))),
                        100.0);
    ck_assert(find("1:59") != NULL || find("2:00") != NULL);
    type("a");
    ck_assert_double_le(alarms()->paused_until_s, 0.0);
    type("A");
    frames(2);
    ck_assert_int_eq(alarms()->phase[ALARM_art_mean_low], ALARM_ACKNOWLEDGED);
    ck_assert_ptr_nonnull(find("seen"));
    stop();
}
END_TEST

START_TEST(alarm_ui_works_by_mouse) {
    go_to(60.0);
    click("MAP low");
    ck_assert_int_eq(alarms()->phase[ALARM_art_mean_low], ALARM_ACKNOWLEDGED);
    click("Limits");
    ck_assert_ptr_nonnull(find("Alarm limits"));
    click("Back to the case");
    click("Done");
    ck_assert_ptr_null(find("Alarm limits"));
    stop();
}
END_TEST

START_TEST(alarm_ui_high_alarm_slows_the_time_and_walks_first) {
    go_to(60.0);
    ck_assert_int_eq(sounds[SOUND_HIGH], 0);
    type(".....");
    for (int i = 0; i < 4000 && alarms()->phase[ALARM_left_pump_no_power] != ALARM_ACTIVE; i++)
        frames(1);
    frames(60);
    ck_assert_double_eq_tol(ui_feed_sounds(shell.feed).time_rate, 1.0, 1e-12);
    ck_assert_ptr_nonnull(find("Left pump: no power"));
    ck_assert_ptr_nonnull(find("1/2"));
    ck_assert_int_ge(sounds[SOUND_HIGH], 1);
    type("A");
    type("A");
    frames(2);
    ck_assert_int_eq(alarms()->phase[ALARM_left_pump_no_power], ALARM_ACKNOWLEDGED);
    ck_assert_int_eq(alarms()->phase[ALARM_art_mean_low], ALARM_ACKNOWLEDGED);
    type("A"); /* nothing waits: on to the next one */
    frames(2);
    ck_assert_ptr_nonnull(find("MAP low"));
    ck_assert_int_eq(shell.view.alarms.first, 2);
    type("A");
    frames(2);
    ck_assert_int_eq(shell.view.alarms.first, 1);
    stop();
}
END_TEST

START_TEST(alarm_ui_limits_by_keyboard) {
    go_to(20.0);
    type("i");
    frames(2);
    ck_assert_ptr_nonnull(find("Alarm limits"));
    double before = alarms()->limits.value[ALARM_hr_high];
    press(KEY_RIGHT, false);
    ck_assert_double_eq_tol(alarms()->limits.value[ALARM_hr_high], before + 5.0, 1e-9);
    press(KEY_LEFT, true);
    ck_assert_double_eq_tol(alarms()->limits.value[ALARM_hr_high], before - 20.0, 1e-9);
    press(KEY_DOWN, false);
    type(" ");
    ck_assert(!alarms()->limits.on[ALARM_hr_low]);
    frames(2);
    ck_assert_ptr_nonnull(find("(changed)"));
    type("r");
    ck_assert(alarms()->limits.on[ALARM_hr_low]);
    ck_assert_double_eq_tol(alarms()->limits.value[ALARM_hr_high], before, 1e-9);
    for (int i = 0; i < 100; i++)
        press(KEY_RIGHT, false); /* never beyond what is allowed */
    ck_assert_double_eq_tol(alarms()->limits.value[ALARM_hr_low], sim_alarms_row(ALARM_hr_low)->most, 1e-9);
    press(KEY_TAB, true); /* the last control: back to the case's */
    press(KEY_ENTER, false);
    frames(2);
    ck_assert_double_eq_tol(alarms()->limits.value[ALARM_hr_low],
                            sim_session_case(ui_feed_session(shell.feed))->alarms.value[ALARM_hr_low], 1e-9);
    ck_assert_ptr_nonnull(find("Alarm limits")); /* still open */
    press(KEY_UP, false);                        /* the keyboard is with the rows again: Enter is Done */
    press(KEY_ENTER, false);
    frames(2);
    ck_assert_ptr_null(find("Alarm limits"));
    stop();
}
END_TEST

START_TEST(alarm_ui_without_a_device_says_so_once) {
    go_to(10.0);
    ui_shell_no_sound(&shell);
    frames(40);
    ck_assert_ptr_nonnull(find("No sound device"));
    ck_assert(shell.view.alarms.silent);
    frames((int)(10.0 / FRAME_S));
    ck_assert_ptr_null(find("No sound device"));
    stop();
}
END_TEST

/* The ground of the first block at a moment. */
static Colour ground(const BedsideView *v, double time_s, bool reduced, ThemeKind theme) {
    static Ui ui;
    DrawList list;
    Input input = {.x_px = -1.0, .y_px = -1.0};
    Intents intents = {0};
    Colour colour = {0};
    ui_draw_init(&list);
    ui_widgets_begin(&ui, &list, ui_theme_of(theme), &input);
    ui.time_s = time_s;
    ui.reduced_flashing = reduced;
    ui_alarm_strip_draw(&ui, v, (Rect){0.0, 0.0, 420.0, 44.0}, &intents);
    for (size_t i = 0; i < list.command_count; i++) {
        if (list.commands[i].kind != DRAW_RECT) continue;
        colour = list.commands[i].colour;
        break;
    }
    ui_draw_free(&list);
    return colour;
}

static int flashes_in_10_s(const BedsideView *v, bool reduced) {
    int changes = 0;
    Colour last = ground(v, 0.001, reduced, THEME_DARK);
    for (int i = 1; i <= 600; i++) {
        Colour now = ground(v, 0.001 + i / 60.0, reduced, THEME_DARK);
        changes += memcmp(&now, &last, sizeof now) != 0;
        last = now;
    }
    return changes / 2;
}

START_TEST(alarm_ui_flashes_at_the_rate_of_its_priority) {
    static BedsideView v;
    memset(&v, 0, sizeof v);
    v.alarms = (AlarmStrip){.lines = 1, .count = 1, .first = 1};
    for (int priority = 1; priority <= 3; priority++) {
        v.alarms.line[0] = (AlarmLine){.priority = priority, .text = "MAP low", .detail = "58 mmHg"};
        int flashes = flashes_in_10_s(&v, false);
        /* 1.4-2.8 Hz, 0.4-0.8 Hz, steady (conventions, from memory); never more than 3 a second (WCAG 2.3.1)
         */
        static const int least[] = {0, 0, 4, 14}, most[] = {0, 0, 8, 28};
        ck_assert_msg(flashes >= least[priority] && flashes <= most[priority], "%d flashes in 10 s", flashes);
        ck_assert_int_eq(flashes_in_10_s(&v, true), 0);
        v.alarms.line[0].known = true;
        ck_assert_int_eq(flashes_in_10_s(&v, false), 0);
        v.alarms.line[0].known = false;
        v.paused = true;
        ck_assert_int_eq(flashes_in_10_s(&v, false), 0);
        v.paused = false;
    }
}
END_TEST

START_TEST(alarm_ui_text_reads_lit_and_dark) {
    /* WCAG 2.2, 1.4.3: every text of the strip against the block it stands on, in all themes and phases */
    static BedsideView v;
    memset(&v, 0, sizeof v);
    v.alarms = (AlarmStrip){.lines = 1, .count = 3, .first = 1};
    for (int theme = 0; theme < THEME_COUNT; theme++) {
        for (int k = 0; k < 12; k++) {
            static Ui ui;
            DrawList list;
            Input input = {.x_px = -1.0, .y_px = -1.0};
            Intents intents = {0};
            v.alarms.line[0] = (AlarmLine){
                .priority = 1 + k % 3, .known = k >= 6, .text = "MAP low", .detail = "58 mmHg, limit 60"};
            ui_draw_init(&list);
            ui_widgets_begin(&ui, &list, ui_theme_of((ThemeKind)theme), &input);
            ui.time_s = k % 2 == 0 ? 0.1 : k % 3 == 2 ? 0.4 : 1.2;
            ui_alarm_strip_draw(&ui, &v, (Rect){0.0, 0.0, 420.0, 44.0}, &intents);
            Colour ground_now = {0};
            bool block = true;
            for (size_t i = 0; i < list.command_count && block; i++) {
                const DrawCommand *c = &list.commands[i];
                if (c->kind == DRAW_RECT) {
                    if (ground_now.a != 0) block = false; /* the bell's ground */
                    ground_now = c->colour;
                }
                bool sign = c->kind == DRAW_TEXT && list.chars[c->text] == '!'; /* stands on the triangle */
                if (c->kind == DRAW_TEXT && !sign && block)
                    ck_assert_msg(ui_colour_contrast(c->colour, ground_now) >= 4.5,
                                  "theme %d, state %d: \"%s\" %.2f", theme, k, list.chars + c->text,
                                  ui_colour_contrast(c->colour, ground_now));
            }
            ui_draw_free(&list);
        }
    }
}
END_TEST

START_TEST(alarm_ui_every_state_has_a_word_or_mark) {
    /* never colour alone: mark by priority, "seen", "over", and the bell's cross with its countdown */
    static BedsideView v;
    static const char *const marks[] = {"", "!", "!!", "!!!"};
    memset(&v, 0, sizeof v);
    for (int priority = 0; priority <= 3; priority++)
        ck_assert_str_eq(ui_alarm_strip_mark(priority), marks[priority]);
    Reading r = bedside_reading("MAP", "mmHg", 46.0, 0, 40.0, 110.0, 65.0, 85.0, -13.0);
    for (int priority = 1; priority <= 3; priority++) {
        DrawList list;
        bool mark = false, word = false;
        ui_draw_init(&list);
        bedside_alarm(&r, priority, "low");
        ui_tiles_large(&list, ui_theme_dark(), &r, SIDE_LEFT, (Rect){0.0, 0.0, 240.0, 96.0});
        for (size_t i = 0; i < list.command_count; i++) {
            const DrawCommand *c = &list.commands[i];
            if (c->kind != DRAW_TEXT) continue;
            mark = mark || strcmp(list.chars + c->text, marks[priority]) == 0;
            word = word || strcmp(list.chars + c->text, "low") == 0;
        }
        ck_assert(mark && word);
        ui_draw_free(&list);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("alarm ui");
    TCase *t = tcase_create("alarm ui");
    tcase_set_timeout(t, 120);
    tcase_add_unchecked_fixture(t, start, NULL);
    tcase_add_test(t, alarm_ui_is_shown_paused_and_acknowledged_by_keyboard);
    tcase_add_test(t, alarm_ui_works_by_mouse);
    tcase_add_test(t, alarm_ui_high_alarm_slows_the_time_and_walks_first);
    tcase_add_test(t, alarm_ui_limits_by_keyboard);
    tcase_add_test(t, alarm_ui_without_a_device_says_so_once);
    tcase_add_test(t, alarm_ui_flashes_at_the_rate_of_its_priority);
    tcase_add_test(t, alarm_ui_text_reads_lit_and_dark);
    tcase_add_test(t, alarm_ui_every_state_has_a_word_or_mark);
    suite_add_tcase(s, t);
    return s;
}

CHECK_MAIN(suite)
