/* A screen without a window on which a sheet or a card is drawn and answered, and what holds of every one of
   them: nothing outside the screen, no small text, no small control. */
#ifndef TESTS_SUPPORT_SHEET_SCREEN_H
#define TESTS_SUPPORT_SHEET_SCREEN_H

#include "tests/support/bedside_views.h"
#include "ui/screen.h"

#include <check.h>

typedef struct SheetScreen {
    Screen screen;
    BedsideView view;
    Sweep sweep[LANE_COUNT];
    bool bare;       /* without the bedside underneath */
    Intents intents; /* of the last frame */
} SheetScreen;

/* Device pixels and scale of the sizes everything has to work at: the smallest, the usual, twice as large. */
enum { SHEET_SIZES = 3 };
static const struct {
    int width_px, height_px;
    double scale;
    const char *name;
} SHEET_SIZE[SHEET_SIZES] = {
    {1280, 800, 1.0, "1280x800"}, {1920, 1080, 1.0, "1920x1080"}, {1920, 1080, 2.0, "960x540"}};

static inline void sheet_start(SheetScreen *s, int size) {
    Error error;
    memset(s, 0, sizeof *s);
    ck_assert_int_eq(ui_screen_start(&s->screen, &error), ERROR_OK);
    ck_assert_int_eq(ui_screen_resize(&s->screen, SHEET_SIZE[size].width_px, SHEET_SIZE[size].height_px,
                                      SHEET_SIZE[size].scale, &error),
                     ERROR_OK);
    bedside_example(&s->view, s->sweep, s->screen.columns);
}

static inline void sheet_stop(SheetScreen *s) {
    ui_screen_free(&s->screen);
}

/* One frame of a sheet over the invented bedside. */
static inline void sheet_frame(SheetScreen *s, const SheetKind *kind, const void *state, const Input *input) {
    ScreenFrame frame = {
        .view = s->bare ? NULL : &s->view, .sheet = kind, .sheet_state = state, .input = *input};
    s->intents = (Intents){0};
    for (int i = 0; i < LANE_COUNT; i++)
        frame.sweep[i] = &s->sweep[i];
    ui_screen_frame(&s->screen, &frame, &s->intents);
    ck_assert(!s->screen.list.failed);
}

static inline void sheet_still(SheetScreen *s, const SheetKind *kind, const void *state) {
    sheet_frame(s, kind, state, &(Input){.x_px = -1.0, .y_px = -1.0});
}

static inline void sheet_key(SheetScreen *s, const SheetKind *kind, const void *state, Key key) {
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
    input.key[0] = (KeyPress){key, false, 0};
    sheet_frame(s, kind, state, &input);
}

static inline void sheet_char(SheetScreen *s, const SheetKind *kind, const void *state, char c) {
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = 1};
    input.key[0] = (KeyPress){KEY_CHARACTER, false, (unsigned char)c};
    sheet_frame(s, kind, state, &input);
}

static inline void sheet_click(SheetScreen *s, const SheetKind *kind, const void *state, double x_px,
                               double y_px) {
    Input input = {.x_px = x_px, .y_px = y_px, .pressed = true, .released = true};
    sheet_frame(s, kind, state, &input);
}

/* The last text of the frame that reads `text`; NULL if there is none. */
static inline const DrawCommand *sheet_text(const SheetScreen *s, const char *text) {
    const DrawList *list = &s->screen.list;
    for (size_t i = list->command_count; i-- > 0;) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_TEXT && strcmp(list->chars + c->text, text) == 0) return c;
    }
    return NULL;
}

static inline void sheet_click_text(SheetScreen *s, const SheetKind *kind, const void *state,
                                    const char *text) {
    const DrawCommand *c = sheet_text(s, text);
    ck_assert_msg(c != NULL, "nothing on the screen reads \"%s\"", text);
    double dx = c->align == ALIGN_LEFT ? 4.0 : c->align == ALIGN_RIGHT ? -4.0 : 0.0;
    sheet_click(s, kind, state, c->rect.x + dx, c->rect.y - 4.0);
}

static inline bool sheet_says(const SheetScreen *s, const char *words) {
    const DrawList *list = &s->screen.list;
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_TEXT && strstr(list->chars + c->text, words) != NULL) return true;
    }
    return false;
}

/* The intent of the last frame with this kind and number; fails if there is none. */
static inline Intent sheet_intent(const SheetScreen *s, IntentKind kind, int number) {
    for (int i = 0; i < s->intents.count; i++) {
        if (s->intents.of[i].kind == kind && s->intents.of[i].number == number) return s->intents.of[i];
    }
    ck_abort_msg("no intent %d %d among %d", (int)kind, number, s->intents.count);
    return (Intent){0};
}

/* Smallest texts and controls (SCREENS.md 7.4 and 9; WCAG 2.2, 2.5.8), and nothing outside the screen. */
static inline void sheet_check_sizes(const SheetScreen *s) {
    const DrawList *list = &s->screen.list;
    Rect all = s->screen.layout.screen;
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind != DRAW_TEXT) continue;
        const char *text = list->chars + c->text;
        ck_assert_msg(c->size_px >= TYPE_NOTE - 0.01, "\"%s\" is %.1f px high", text, c->size_px);
        double w = ui_draw_text_width(list, c->face, c->size_px, text);
        double x0 = c->align == ALIGN_LEFT    ? c->rect.x
                    : c->align == ALIGN_RIGHT ? c->rect.x - w
                                              : c->rect.x - w / 2.0;
        ck_assert_msg(x0 > all.x - 1.0 && x0 + w < all.x + all.w + 1.0, "\"%s\" reaches from %.0f to %.0f",
                      text, x0, x0 + w);
    }
    for (int i = 0; i < s->screen.ui.befores; i++) {
        const UiItem *item = &s->screen.ui.before[i];
        ck_assert_msg(item->rect.w >= TARGET_MIN && item->rect.h >= TARGET_MIN,
                      "control %d (%s) is %.0f x %.0f", item->id, item->label, item->rect.w, item->rect.h);
        ck_assert_msg(item->rect.x >= all.x && item->rect.y >= all.y &&
                          item->rect.x + item->rect.w <= all.x + all.w + 0.5 &&
                          item->rect.y + item->rect.h <= all.y + all.h + 0.5,
                      "control %d (%s) lies outside", item->id, item->label);
    }
}

/* Every control is reached by Tab, and the focus is seen where it is: each step changes what is drawn. */
static inline void sheet_check_tab(SheetScreen *s, const SheetKind *kind, const void *state) {
    sheet_still(s, kind, state);
    int wanted = 0, reached = 0, seen[UI_ITEMS_MAX];
    for (int i = 0; i < s->screen.ui.befores; i++)
        wanted += !s->screen.ui.before[i].mouse_only && !s->screen.ui.before[i].off;
    for (int step = 0; step < 2 * wanted; step++) {
        sheet_key(s, kind, state, KEY_TAB);
        bool known = false;
        for (int i = 0; i < reached; i++)
            known = known || seen[i] == s->screen.ui.focus;
        if (!known) seen[reached++] = s->screen.ui.focus;
        const Rect *at = NULL;
        for (int i = 0; i < s->screen.ui.befores; i++) {
            if (s->screen.ui.before[i].id == s->screen.ui.focus) at = &s->screen.ui.before[i].rect;
        }
        ck_assert_msg(at != NULL, "the focus is on %d, which is not there", s->screen.ui.focus);
        bool ring = false;
        for (size_t i = 0; i < s->screen.list.command_count; i++) {
            const DrawCommand *c = &s->screen.list.commands[i];
            ring =
                ring ||
                (c->kind == DRAW_FRAME && fabs(c->rect.x + c->rect.w / 2.0 - at->x - at->w / 2.0) < 6.0 &&
                 fabs(c->rect.y + c->rect.h / 2.0 - at->y - at->h / 2.0) < 6.0 && c->stroke.width_px >= 2.0);
        }
        ck_assert_msg(ring, "control %d has the focus, and it is not seen", s->screen.ui.focus);
    }
    ck_assert_int_eq(reached, wanted);
}

#endif
