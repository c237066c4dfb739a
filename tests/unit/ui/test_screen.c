/* The bedside on a memory canvas: repainting only what changed gives the same pixels as painting everything;
   parts do not overlap; controls are large enough; texts stay on the screen. */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "ui/screen.h"

#include <string.h>

typedef struct Size {
    int width_px, height_px;
    double scale;
} Size;

static const Size SIZES[] = {{1240, 700, 1.0},  {1920, 1080, 2.0}, {1280, 720, 1.0},   {1280, 800, 1.0},
                             {1366, 768, 1.0},  {1600, 900, 1.0},  {1920, 1080, 1.0},  {2560, 1440, 1.25},
                             {2560, 1600, 2.0}, {3840, 2160, 2.0}, {1920, 1080, 0.875},
                             {1280, 800, 2.0},  {1280, 800, 1.5},  {1366, 768, 2.0},   {1024, 768, 1.0},
                             {640, 400, 1.0},   {1920, 1080, 1.75}, {800, 600, 1.0},   {1600, 500, 1.0}};
enum { SIZE_COUNT = sizeof SIZES / sizeof SIZES[0] };

static BedsideView view;
static Sweep sweep[LANE_COUNT];
static const Input NOTHING = {.x_px = -1.0, .y_px = -1.0};

static void start_screen(Screen *screen, Size size) {
    Error error;
    ck_assert_int_eq(ui_screen_start(screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(screen, size.width_px, size.height_px, size.scale, &error), ERROR_OK);
}

static void draw(Screen *screen, const OverlayView *overlay, const Input *input) {
    ScreenFrame frame = {.view = &view, .overlay = overlay, .input = *input};
    Intents intents = {0};
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = &sweep[i];
    ui_screen_frame(screen, &frame, &intents);
}

/* Changes what a running night changes, differently in every frame. */
static void change(int frame_number, double *t_s) {
    for (int i = 0; i < 4 + frame_number % 7; i++, *t_s += 0.004) {
        for (int lane = 0; lane < LANE_COUNT; lane++)
            ui_traces_add(&sweep[lane], (int64_t)(*t_s / view.sweep_s * sweep[lane].columns),
                          bedside_wave(lane, *t_s), sweep[lane].columns / UI_TRACES_GAP_SHARE);
    }
    if (frame_number % 2 == 0) view.heart.chamber[HEART_LV].now_ml += frame_number % 4 == 0 ? 2.0 : -2.0;
    if (frame_number % 9 == 0) view.time_s += 1.0;
    if (frame_number % 11 == 0) view.lane[1].value.value = 55.0 + frame_number % 5;
    if (frame_number % 17 == 0) view.deck.focus_row = frame_number % view.deck.rows;
    if (frame_number % 23 == 0) view.alarms.lines = frame_number % 3;
    if (frame_number % 31 == 0) view.lane[2].high = view.lane[2].high > 50.0 ? 45.0 : 60.0;
    if (frame_number % 41 == 0) view.paused = !view.paused;
}

/* Largest difference of a channel. A stroke cut at a repainted band is tessellated anew, which moves its
   smoothed edge by a few of 255; a forgotten repaint differs by far more. */
enum { ROUNDING = 8 };

static int channel_step(uint32_t a, uint32_t b) {
    int most = 0;
    for (int shift = 0; shift < 24; shift += 8) {
        int d = abs((int)(a >> shift & 255u) - (int)(b >> shift & 255u));
        most = d > most ? d : most;
    }
    return most;
}

static void compare(Screen *kept, Screen *fresh, int frame_number) {
    const uint32_t *a = ui_raster_pixels(kept->canvas), *b = ui_raster_pixels(fresh->canvas);
    int stride = ui_raster_stride(kept->canvas), most = 0, worst_x = 0, worst_y = 0;
    for (int y = 0; y < ui_raster_height(kept->canvas); y++) {
        for (int x = 0; x < ui_raster_width(kept->canvas); x++) {
            uint32_t p = a[(long)y * stride + x], q = b[(long)y * stride + x];
            if (p == q) continue;
            int step = channel_step(p, q);
            if (step <= most) continue;
            most = step;
            worst_x = x;
            worst_y = y;
        }
    }
    ck_assert_msg(most <= ROUNDING, "frame %d: pixel %d,%d differs by %d from painting anew", frame_number,
                  worst_x, worst_y, most);
}

START_TEST(repainting_what_changed_equals_painting_everything) {
    Screen kept, fresh;
    Size size = _i == 0   ? (Size){1280, 800, 1.0}
                : _i == 1 ? (Size){1920, 1080, 1.0}
                          : (Size){1600, 1000, 1.25};
    start_screen(&kept, size);
    start_screen(&fresh, size);
    bedside_example(&view, sweep, kept.columns);
    double t_s = 8.5 * 1.69;
    for (int frame_number = 1; frame_number <= 240; frame_number++) {
        change(frame_number, &t_s);
        Input input = NOTHING;
        if (frame_number % 13 == 0) input = (Input){.x_px = 40.0, .y_px = size.height_px / size.scale - 90.0};
        if (frame_number % 29 == 0) {
            input.keys = 1;
            input.key[0] = (KeyPress){KEY_TAB, false, 0};
        }
        draw(&kept, NULL, &input);
        if (frame_number % 40 != 0) continue;
        fresh.ui = kept.ui;
        ui_painter_forget(&fresh.painter);
        draw(&fresh, NULL, &NOTHING);
        draw(&kept, NULL, &NOTHING);
        compare(&kept, &fresh, frame_number);
    }
    ui_screen_free(&kept);
    ui_screen_free(&fresh);
}
END_TEST

START_TEST(closing_a_card_restores_the_bedside) {
    Screen screen, fresh;
    Size size = {1280, 800, 1.0};
    start_screen(&screen, size);
    start_screen(&fresh, size);
    bedside_example(&view, sweep, screen.columns);
    static OverlayView help = {.kind = OVERLAY_HELP};
    draw(&screen, NULL, &NOTHING);
    draw(&screen, &help, &NOTHING);
    draw(&screen, &help, &NOTHING);
    draw(&screen, NULL, &NOTHING);
    draw(&fresh, NULL, &NOTHING);
    compare(&screen, &fresh, 0);
    ui_screen_free(&screen);
    ui_screen_free(&fresh);
}
END_TEST

START_TEST(steady_frame_paints_only_the_sweeps) {
    Screen screen;
    start_screen(&screen, (Size){1920, 1080, 1.0});
    bedside_example(&view, sweep, screen.columns);
    double t_s = 8.5 * 1.69, area = 0.0;
    draw(&screen, NULL, &NOTHING);
    change(1, &t_s);
    draw(&screen, NULL, &NOTHING);
    ck_assert(!screen.painter.all);
    for (int i = 0; i < screen.painter.dirties; i++)
        area += screen.painter.dirty[i].w * screen.painter.dirty[i].h;
    ck_assert_int_ge(screen.painter.dirties, LANE_COUNT);
    ck_assert_msg(area < 0.02 * 1920 * 1080, "%.0f px are painted in a steady frame", area);
    draw(&screen, NULL, &NOTHING);
    ck_assert_int_eq(screen.painter.dirties, 0);
    ui_screen_free(&screen);
}
END_TEST

static bool inside(Rect inner, Rect outer) {
    return inner.x >= outer.x - 0.5 && inner.y >= outer.y - 0.5 &&
           inner.x + inner.w <= outer.x + outer.w + 0.5 && inner.y + inner.h <= outer.y + outer.h + 0.5;
}

static void check_parts(const BedsideLayout *l) {
    Rect part[] = {l->top,  l->lanes,    l->pump,    l->heart, l->keys,   l->deck,
                   l->labs, l->messages, l->actions, l->tabs,  l->numbers};
    for (size_t i = 0; i < sizeof part / sizeof part[0]; i++) {
        if (part[i].w <= 0.0) continue;
        ck_assert_msg(inside(part[i], l->screen), "part %zu is off the screen", i);
        for (size_t k = 0; k < i; k++)
            ck_assert_msg(part[k].w <= 0.0 || !ui_rect_overlaps(part[i], part[k]),
                          "parts %zu and %zu overlap", i, k);
    }
    int lanes = 0;
    for (int i = 0; i < LANE_COUNT; i++) {
        if (l->lane[i].w <= 0.0) continue;
        lanes++;
        ck_assert(inside(l->lane[i], l->lanes) && inside(l->trace[i], l->lane[i]));
        ck_assert(l->tile[i].x >= l->lane[i].x + l->lane[i].w);
    }
    ck_assert_int_ge(lanes, l->compact ? 2 : LANE_COUNT);
    if (l->deck.w > 0.0) ck_assert_int_ge(l->deck_rows, 3);
}

START_TEST(parts_lie_on_the_screen_and_apart) {
    const Size *size = &SIZES[_i];
    BedsideChoice choice = ui_bedside_all();
    for (int panel = 0; panel < PANEL_COUNT; panel++) {
        choice.panel = (BedsidePanel)panel;
        BedsideLayout l =
            ui_bedside_layout(size->width_px / size->scale, size->height_px / size->scale, &choice);
        check_parts(&l);
    }
}
END_TEST

START_TEST(lanes_that_are_switched_off_leave_their_room_to_the_others) {
    BedsideChoice choice = ui_bedside_all();
    BedsideLayout all = ui_bedside_layout(1920.0, 1080.0, &choice);
    choice.lane[LANE_ECG] = choice.lane[LANE_AIRWAY] = false;
    BedsideLayout four = ui_bedside_layout(1920.0, 1080.0, &choice);
    ck_assert(!(four.lane[LANE_ECG].w > 0.0) && !(four.lane[LANE_AIRWAY].w > 0.0));
    ck_assert(four.lane[LANE_ARTERY].h > 1.3 * all.lane[LANE_ARTERY].h);
    for (int i = 0; i < LANE_COUNT; i++)
        choice.lane[i] = false;
    BedsideLayout none = ui_bedside_layout(1920.0, 1080.0, &choice);
    ck_assert_int_eq(none.first_lane, LANE_ARTERY);
}
END_TEST

/* Every text of the list lies inside its region, left to right, and none is smaller than the floor. */
static void check_texts(const DrawList *list, const Size *size) {
    Rect region = {0.0, 0.0, 0.0, 0.0};
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_REGION) region = c->rect;
        if (c->kind != DRAW_TEXT) continue;
        const char *text = list->chars + c->text;
        double w = ui_draw_text_width(list, c->face, c->size_px, text);
        double x = c->rect.x - (c->align == ALIGN_LEFT ? 0.0 : c->align == ALIGN_CENTRE ? w / 2.0 : w);
        ck_assert_msg(x >= region.x - 1.0 && x + w <= region.x + region.w + 1.5,
                      "\"%s\" at %.0f..%.0f leaves its region %.0f..%.0f at %dx%d", text, x, x + w, region.x,
                      region.x + region.w, size->width_px, size->height_px);
        ck_assert_msg(c->rect.y <= region.y + region.h + 1.0 && c->rect.y >= region.y,
                      "\"%s\" at y %.0f leaves its region %.0f..%.0f at %dx%d", text, c->rect.y, region.y,
                      region.y + region.h, size->width_px, size->height_px);
        ck_assert_msg(c->size_px >= 15.0, "\"%s\" is %.0f px", text, c->size_px);
    }
}

static bool says(const Screen *screen, const char *words) {
    for (size_t i = 0; i < screen->list.command_count; i++) {
        const DrawCommand *c = &screen->list.commands[i];
        if (c->kind == DRAW_TEXT && strstr(screen->list.chars + c->text, words) != NULL) return true;
    }
    return false;
}

START_TEST(controls_are_large_enough_and_texts_stay_inside_their_region) {
    const Size *size = &SIZES[_i];
    Screen screen;
    start_screen(&screen, *size);
    bedside_example(&view, sweep, screen.columns);
    draw(&screen, NULL, &NOTHING);
    for (int i = 0; i < screen.ui.befores; i++) {
        Rect r = screen.ui.before[i].rect;
        ck_assert_msg(r.w >= TARGET_MIN && r.h >= TARGET_MIN, "control %d is %.0f x %.0f",
                      screen.ui.before[i].id, r.w, r.h);
    }
    check_texts(&screen.list, size);
    /* two pumps, a refused order, nothing measured */
    view.pump[1] = view.pump[0];
    snprintf(
        view.deck.problem, sizeof view.deck.problem,
        "the order cannot be given because the device is not there; what is allowed is said here at length");
    for (int i = 0; i < LANE_COUNT; i++)
        view.lane[i].value.value = NAN;
    draw(&screen, NULL, &NOTHING);
    check_texts(&screen.list, size);
    for (int panel = 0; screen.layout.compact && panel < PANEL_COUNT; panel++) {
        screen.panel = (BedsidePanel)panel;
        draw(&screen, NULL, &NOTHING);
        check_texts(&screen.list, size);
    }
    /* the last picture, and why there is none of now */
    screen.panel = PANEL_HEART;
    view.heart.shown = false;
    view.heart.past = true;
    view.heart.past_s = 1980.0;
    view.heart.absence = HEART_RESTING;
    view.heart.absent_s = 160.0;
    draw(&screen, NULL, &NOTHING);
    check_texts(&screen.list, size);
    ck_assert(says(&screen, "Heart as of 00:33"));
    ck_assert(says(&screen, "not now"));
    ck_assert(says(&screen, "The probe is needed"));
    ck_assert(!says(&screen, "Heart now"));
    ui_screen_free(&screen);
}
END_TEST

/* The control that says `label` (its first word); NULL if there is none. */
static const UiItem *control(const Screen *screen, const char *label) {
    for (int i = 0; i < screen->ui.befores; i++) {
        const UiItem *item = &screen->ui.before[i];
        if (strncmp(item->label, label, strlen(label)) == 0 && !item->off) return item;
    }
    return NULL;
}

static bool opens(Screen *screen, const UiItem *item, SheetId sheet) {
    ScreenFrame frame = {.view = &view};
    frame.input = (Input){.x_px = item->rect.x + item->rect.w / 2.0,
                          .y_px = item->rect.y + item->rect.h / 2.0,
                          .pressed = true,
                          .released = true};
    Intents intents = {0};
    ui_screen_frame(screen, &frame, &intents);
    for (int i = 0; i < intents.count; i++) {
        if (intents.of[i].kind == INTENT_SHEET && intents.of[i].number == (int)sheet) return true;
    }
    return false;
}

/* What a key opens, a click opens, too (WCAG 2.2, 2.5.8 for the size); no button lies on another control. */
START_TEST(every_sheet_is_opened_by_a_click) {
    static const struct {
        const char *label;
        SheetId sheet;
    } WANTED[] = {{"look at the heart", SHEET_LOOK},
                  {"Chart", SHEET_CHART},
                  {"Call", SHEET_CALL},
                  {"settings", SHEET_SETTINGS},
                  {"Limits", SHEET_LIMITS}};
    Screen screen;
    start_screen(&screen, SIZES[_i]);
    bedside_example(&view, sweep, screen.columns);
    for (size_t i = 0; i < sizeof WANTED / sizeof WANTED[0]; i++) {
        if (screen.layout.compact && WANTED[i].sheet == SHEET_LOOK) screen.panel = PANEL_HEART;
        draw(&screen, NULL, &NOTHING);
        const UiItem *item = control(&screen, WANTED[i].label);
        ck_assert_msg(item != NULL, "no control for %s", WANTED[i].label);
        UiItem found = *item;
        ck_assert(inside(found.rect, screen.layout.screen));
        ck_assert_double_ge(found.rect.w, TARGET_MIN);
        ck_assert_double_ge(found.rect.h, TARGET_MIN);
        for (int k = 0; k < screen.ui.befores; k++) {
            const UiItem *other = &screen.ui.before[k];
            ck_assert_msg(other->id == found.id || !ui_rect_overlaps(other->rect, found.rect),
                          "%s lies on control %d (%s)", WANTED[i].label, other->id, other->label);
        }
        ck_assert_msg(opens(&screen, &found, WANTED[i].sheet), "%s opens nothing", WANTED[i].label);
    }
    ui_screen_free(&screen);
}
END_TEST

/* What came of a prediction is told in the messages' room, whatever its height, and only where that is on
   show. */
START_TEST(told_prediction_stays_in_the_room_of_the_messages) {
    Screen screen;
    start_screen(&screen, SIZES[_i]);
    bedside_example(&view, sweep, screen.columns);
    PredictionTold *told = &view.told;
    snprintf(told->what, sizeof told->what, "Milrinone 0.25: 1 of 3 as said");
    snprintf(told->note, sizeof told->note, "rather sure; 20 min ago");
    told->time_s = view.time_s;
    told->parts = TOLD_PARTS;
    for (int i = 0; i < TOLD_PARTS; i++) {
        told->part[i] = (PredictionToldPart){.said = i, .known = true, .hit = i == 0};
        snprintf(told->part[i].name, TEXT_SHORT, "CVP %d", i);
        snprintf(told->part[i].before, TEXT_SHORT, "17");
        snprintf(told->part[i].after, TEXT_SHORT, "14");
    }
    for (int panel = 0; panel < (screen.layout.compact ? (int)PANEL_COUNT : 1); panel++) {
        screen.panel = (BedsidePanel)panel;
        draw(&screen, NULL, &NOTHING);
        const BedsideLayout *l = &screen.layout;
        Rect room = l->actions.w > 0.0 ? ui_rect_union(l->messages, l->actions) : l->messages;
        Rect card = {0.0, 0.0, 0.0, 0.0};
        double last = 0.0;
        for (size_t i = 0; i < screen.list.command_count; i++) {
            const DrawCommand *c = &screen.list.commands[i];
            if (c->kind == DRAW_REGION && c->id == REGION_PREDICTION) card = c->rect;
            if (c->kind != DRAW_TEXT || strncmp(screen.list.chars + c->text, "CVP ", 4) != 0) continue;
            ck_assert_double_ge(c->rect.y - last, TYPE_NOTE + 2.0); /* lines keep apart */
            last = c->rect.y;
        }
        ck_assert_int_eq(card.w > 0.0, l->messages.w > 0.0);
        if (card.w > 0.0) ck_assert(inside(card, room));
        check_texts(&screen.list, &SIZES[_i]);
    }
    ui_screen_free(&screen);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("screen");
    TCase *c = tcase_create("bedside");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, repainting_what_changed_equals_painting_everything, 0, 3);
    tcase_add_test(c, closing_a_card_restores_the_bedside);
    tcase_add_test(c, steady_frame_paints_only_the_sweeps);
    tcase_add_test(c, lanes_that_are_switched_off_leave_their_room_to_the_others);
    tcase_add_loop_test(c, parts_lie_on_the_screen_and_apart, 0, SIZE_COUNT);
    tcase_add_loop_test(c, controls_are_large_enough_and_texts_stay_inside_their_region, 0, SIZE_COUNT);
    tcase_add_loop_test(c, told_prediction_stays_in_the_room_of_the_messages, 0, SIZE_COUNT);
    tcase_add_loop_test(c, every_sheet_is_opened_by_a_click, 0, SIZE_COUNT);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
