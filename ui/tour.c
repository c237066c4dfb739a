/* The tour: lights up one part of the bedside after the other and says what it is for. */
#include "ui/tour.h"

#include "ui/bedside.h"

#include <math.h>
#include <stdio.h>

enum { ID_NEXT = 780, ID_BACK, ID_SKIP };
enum { PART_STEP, PART_DONE };
enum { REGIONS_MAX = 3, LINES_MAX = 8 };

#define DIM         0.74
#define BUBBLE_PX   460.0
#define LINE_PX     24.0
#define HEAD_PX     58.0
#define FOOT_PX     64.0
#define GAP_PX      14.0
#define BUTTON_H_PX 40.0

typedef struct Tour {
    int step;
} Tour;

/* A stop: the regions it is about, those of the compact arrangement after them. */
typedef struct Stop {
    int region[REGIONS_MAX], regions;
    const char *title, *text;
} Stop;

static const Stop STOPS[] = {
    {{REGION_TOP},
     1,
     "Time and alarms",
     "Space stops the night and lets it go on; comma and full stop make it slower and faster. Alarms stand "
     "here with "
     "their priority: A pauses the sound, Shift and A acknowledges."},
    {{REGION_LANE, REGION_TILE},
     2,
     "Traces and their numbers",
     "Each trace has a letter for its side: L left, R right, P pump, G gas, E electrical. The bar under a "
     "number shows "
     "its wanted range and where it stands."},
    {{REGION_PUMP, REGION_NUMBERS},
     2,
     "The pump, and numbers",
     "Speed, flow as the console estimates it, pulsatility as a plain ratio, and power. On a small screen "
     "all numbers "
     "share this panel; F7 shows the next panel."},
    {{REGION_HEART, REGION_GAUGES, REGION_TABS},
     3,
     "The heart",
     "With a probe in place the heart is drawn against its own reference, the dashed line. E asks for a look "
     "in full; "
     "some cases allow it rarely, and it takes time."},
    {{REGION_KEYS, REGION_DECK, REGION_TABS},
     3,
     "Orders",
     "F1 to F6 open the groups. Arrows up and down choose a row, left and right or minus and plus change it, "
     "digits "
     "type a value. Nothing happens before Enter; Escape drops what is pending."},
    {{REGION_MESSAGES, REGION_ACTIONS, REGION_TABS},
     3,
     "Messages and what you did",
     "The nurse, the laboratory and the surgeon speak here. M shows all of it, L your orders, H the "
     "handover, C the "
     "chart of the night."},
    {{REGION_TOP},
     1,
     "Commit, and ask for help",
     "G is your call: what you think is wrong, how sure you are, what you plan. Question mark lists every "
     "key, O the "
     "settings. Q leaves the night, which is kept. This is for training only."},
};

enum { STOP_COUNT = sizeof STOPS / sizeof STOPS[0] };

/* Whether a region of the list belongs to the stop; lanes and tiles count as a whole. */
static bool belongs(const Stop *stop, int id) {
    for (int i = 0; i < stop->regions; i++) {
        int from = stop->region[i];
        bool group = from == REGION_LANE || from == REGION_TILE;
        if (id == from || (group && id > from && id < from + LANE_COUNT)) return true;
    }
    return false;
}

/* Where the stop's parts are on the screen as it is drawn under the tour. */
static Rect target_of(const DrawList *list, const Stop *stop, Rect screen) {
    Rect all = {0.0, 0.0, 0.0, 0.0};
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind != DRAW_REGION || !belongs(stop, c->id)) continue;
        all = all.w > 0.0 ? ui_rect_union(all, c->rect) : c->rect;
    }
    double x = fmax(all.x, 3.0), y = fmax(all.y, 3.0);
    return (Rect){x, y, fmin(all.x + all.w, screen.w - 3.0) - x, fmin(all.y + all.h, screen.h - 3.0) - y};
}

/* Darkens all but the target, and frames it. */
static void light_up(Ui *ui, Rect screen, Rect target) {
    Colour dark = ui_colour_alpha(ui->theme->window, DIM);
    double right = target.x + target.w, bottom = target.y + target.h;
    ui_draw_rect(ui->list, (Rect){0.0, 0.0, screen.w, target.y}, 0.0, dark);
    ui_draw_rect(ui->list, (Rect){0.0, bottom, screen.w, screen.h - bottom}, 0.0, dark);
    ui_draw_rect(ui->list, (Rect){0.0, target.y, target.x, target.h}, 0.0, dark);
    ui_draw_rect(ui->list, (Rect){right, target.y, screen.w - right, target.h}, 0.0, dark);
    ui_draw_frame(ui->list, target, 8.0, ui_draw_solid(ui->theme->focus, 3.0));
}

/* Beside the target where there is room: below, above, left, right; else in the middle. */
static Rect place_bubble(Rect screen, Rect target, double w, double h) {
    double x = fmin(fmax(target.x, 8.0), screen.w - w - 8.0);
    double y = fmin(fmax(target.y, 8.0), screen.h - h - 8.0);
    if (target.y + target.h + GAP_PX + h < screen.h) return (Rect){x, target.y + target.h + GAP_PX, w, h};
    if (target.y - GAP_PX - h > 0.0) return (Rect){x, target.y - GAP_PX - h, w, h};
    if (target.x - GAP_PX - w > 0.0) return (Rect){target.x - GAP_PX - w, y, w, h};
    if (target.x + target.w + GAP_PX + w < screen.w) return (Rect){target.x + target.w + GAP_PX, y, w, h};
    return (Rect){floor((screen.w - w) / 2.0), floor((screen.h - h) / 2.0), w, h};
}

static void draw_foot(Ui *ui, Rect bubble, int step, Intents *intents) {
    double y = bubble.y + bubble.h - BUTTON_H_PX - 16.0, x = bubble.x + 20.0,
           right = bubble.x + bubble.w - 20.0;
    bool last = step + 1 == STOP_COUNT;
    bool next = ui_widgets_button(ui, ID_NEXT, (Rect){right - 110.0, y, 110.0, BUTTON_H_PX},
                                  last ? "Begin" : "Next", BUTTON_PRIMARY);
    bool back = ui_widgets_button(ui, ID_BACK, (Rect){right - 218.0, y, 100.0, BUTTON_H_PX}, "Back",
                                  step > 0 ? BUTTON_PLAIN : BUTTON_OFF);
    bool skip = ui_widgets_button(ui, ID_SKIP, (Rect){x, y, 110.0, BUTTON_H_PX}, "Skip", BUTTON_PLAIN);
    next = ui_widgets_take_default(ui) || next;
    next = ui_widgets_take_key(ui, KEY_RIGHT, NULL) || next;
    next = ui_widgets_take_char(ui, ' ') || next;
    back = ui_widgets_take_key(ui, KEY_LEFT, NULL) || back;
    skip = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || skip;
    if (skip || (next && last))
        ui_intents_add(intents, INTENT_PART, PART_DONE, 0.0, false);
    else if (next || back)
        ui_intents_add(intents, INTENT_PART, PART_STEP, step + (next ? 1 : -1), false);
}

static void draw_tour(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const Tour *tour = state;
    const Theme *t = ui->theme;
    const Stop *stop = &STOPS[tour->step];
    Rect target = target_of(ui->list, stop, screen);
    double w = fmin(BUBBLE_PX, screen.w - 32.0);
    DrawMark mark = ui_draw_mark(ui->list);
    int lines = ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY, t->text1, 0.0, 0.0, w - 40.0, LINE_PX,
                                  LINES_MAX, stop->text);
    ui_draw_rewind(ui->list, mark);
    Rect bubble = place_bubble(screen, target, w, HEAD_PX + lines * LINE_PX + FOOT_PX + 8.0);
    ui_draw_region(ui->list, REGION_OVERLAY, screen);
    light_up(ui, screen, target);
    ui_draw_rect(ui->list, bubble, 12.0, t->panel);
    ui_draw_frame(ui->list, bubble, 12.0, ui_draw_solid(t->edge, 1.5));
    char count[TEXT_SHORT];
    snprintf(count, sizeof count, "%d of %d", tour->step + 1, (int)STOP_COUNT);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, bubble.x + 20.0,
                 bubble.y + 36.0, stop->title);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, bubble.x + bubble.w - 20.0,
                 bubble.y + 36.0, count);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY, t->text1, bubble.x + 20.0,
                            bubble.y + HEAD_PX + 12.0, w - 40.0, LINE_PX, LINES_MAX, stop->text);
    draw_foot(ui, bubble, tour->step, intents);
}

static void open_tour(void *state, SheetContext *context) {
    Tour *tour = state;
    tour->step = 0;
    context->close = context->feed == NULL; /* there is nothing to point at before a night */
}

static void apply_tour(void *state, SheetContext *context, const Intent *intent) {
    Tour *tour = state;
    if (intent->number == PART_STEP) {
        int to = (int)intent->amount;
        tour->step = to < 0 ? 0 : to >= STOP_COUNT ? STOP_COUNT - 1 : to;
        return;
    }
    ui_settings_set(&context->settings->now, SETTING_tour_seen, 1);
    context->close = true;
}

const SheetKind UI_TOUR_SHEET = {
    .state_size = sizeof(Tour),
    .card = true,
    .waits = true,
    .open = open_tour,
    .draw = draw_tour,
    .apply = apply_tour,
};
