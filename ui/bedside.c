/* The bedside screen: composition, lanes, foot and the keys of the whole screen. */
#include "ui/bedside.h"
#include "ui/sheet.h"
#include "ui/tiles.h"
#include "ui/traces.h"

#include <math.h>
#include <stdio.h>

#define ENVELOPE_FROM_RATE 8.0  /* from this time rate on, a lane shows the band of many beats */
#define LOW_TILE_PX        60.0 /* a lower tile is a single line */
#define TICK_LEAST_PX      17.0 /* between two tick labels */
#define GROUND_PAD_PX      6.0  /* a trace's ground reaches this far above and below its scale */

bool ui_bedside_envelope(const BedsideView *view) {
    return view->time_rate >= ENVELOPE_FROM_RATE;
}

static double second_px(const BedsideLayout *l, const BedsideView *v, int lane) {
    return v->sweep_s > 0.0 && v->time_rate < ENVELOPE_FROM_RATE
               ? l->trace[lane].w / (v->sweep_s * v->time_rate)
               : 0.0;
}

/* Tick labels, but where the lane's name stands. */
static void draw_ticks(Ui *ui, const Lane *lane, Rect trace, double name_right, double name_bottom) {
    double before = INFINITY;
    for (int i = 0; i < lane->ticks; i++) {
        char text[TEXT_SHORT];
        double y = ui_traces_y(lane, trace, lane->tick[i]);
        double factor = lane->tick_factor > 0.0 ? lane->tick_factor : 1.0;
        ui_tiles_format(text, sizeof text, lane->tick[i] * factor, lane->tick_decimals);
        double left = trace.x - 10.0 - ui_draw_text_width(ui->list, FACE_DIGITS, TYPE_NOTE, text);
        if (left < name_right + 4.0 && y - 6.0 < name_bottom) continue;
        if (fabs(y - before) < TICK_LEAST_PX) continue;
        before = y;
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, ui->theme->text3, trace.x - 10.0, y + 6.0,
                     text);
    }
}

/* One lane without its trace: badge, name, tick labels. The trace's own ground belongs to ui_bedside_trace.
 */
static void draw_lane(Ui *ui, const BedsideLayout *l, const BedsideView *v, int i) {
    const Lane *lane = &v->lane[i];
    Rect r = l->lane[i], trace = l->trace[i];
    if (r.w <= 0.0) return;
    ui_draw_region(ui->list, REGION_LANE + i, r);
    ui_draw_rect(ui->list, r, 0.0, ui->theme->panel);
    if (i != l->first_lane)
        ui_draw_line(ui->list, r.x + 8.0, r.y + 0.5, r.x + r.w, r.y + 0.5,
                     ui_draw_solid(ui->theme->hairline, 1.0));
    ui_widgets_badge(ui->list, ui->theme, r.x + 12.0, r.y + 9.0, lane->side);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, r.x + 41.0, r.y + 26.0,
                 lane->name);
    double right = r.x + 41.0 + ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, lane->name);
    draw_ticks(ui, lane, trace, right, r.y + 30.0);
}

static void draw_tile(Ui *ui, const BedsideLayout *l, const BedsideView *v, int i) {
    Rect r = l->tile[i];
    if (r.w <= 0.0) return;
    Rect ground = {r.x - 4.0, r.y - 3.0, r.w + 12.0, r.h + 6.0};
    ui_draw_region(ui->list, REGION_TILE + i, ground);
    ui_draw_rect(ui->list, ground, 0.0, ui->theme->panel);
    if (i != l->first_lane)
        ui_draw_line(ui->list, ground.x, ground.y + 0.5, ground.x + ground.w - 8.0, ground.y + 0.5,
                     ui_draw_solid(ui->theme->hairline, 1.0));
    if (r.h < LOW_TILE_PX)
        ui_tiles_low(ui->list, ui->theme, &v->lane[i].value, r);
    else
        ui_tiles_large(ui->list, ui->theme, &v->lane[i].value, v->lane[i].side, r);
}

/* What the letters mean, between x0 and x1; in short words where there is little room. */
static void draw_legend(Ui *ui, double x0, double x1, double y) {
    static const Side LEGEND[] = {SIDE_ELECTRICAL, SIDE_GAS, SIDE_PUMP, SIDE_RIGHT, SIDE_LEFT};
    static const char *const SHORT[SIDE_COUNT] = {"left", "right", "pump", "gas", "ECG", "tissue"};
    enum { COUNT = sizeof LEGEND / sizeof LEGEND[0] };
    double all = 0.0;
    for (int i = 0; i < COUNT; i++)
        all += ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, ui_theme_side_name(LEGEND[i])) + 52.0;
    bool full = all <= x1 - x0;
    for (int i = 0; i < COUNT; i++) {
        const char *name = full ? ui_theme_side_name(LEGEND[i]) : SHORT[LEGEND[i]];
        double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, name);
        if (x1 - w - 28.0 < x0) break;
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, ui->theme->text2, x1, y + 4.0, name);
        ui_widgets_badge(ui->list, ui->theme, x1 - w - 29.0, y - 13.0, LEGEND[i]);
        x1 -= w + (full ? 52.0 : 42.0);
    }
}

/* Sweep speed and what the letters mean. */
static void draw_foot(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    const Theme *t = ui->theme;
    Rect r = l->foot;
    if (r.h <= 0.0) return;
    ui_draw_region(ui->list, REGION_FOOT, r);
    ui_draw_rect(ui->list, r, PANEL_RADIUS, t->panel);
    ui_draw_rect(ui->list, (Rect){r.x, r.y, r.w, r.h / 2.0}, 0.0, t->panel);
    double y = r.y + r.h / 2.0 + 2.0, x = l->trace[l->first_lane].x;
    char text[TEXT_LINE];
    if (v->time_rate < ENVELOPE_FROM_RATE)
        snprintf(text, sizeof text, "%.1f s a sweep", v->sweep_s * v->time_rate);
    else
        snprintf(text, sizeof text, "\u00d7%.0f: lowest to highest", v->time_rate);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x, y + 4.0, text);
    double after = x + ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, text) + 20.0;
    double second = second_px(l, v, l->first_lane);
    if (second > 0.0) {
        StrokeStyle line = ui_draw_solid(t->text3, 1.0);
        ui_draw_line(ui->list, after, y, after + second, y, line);
        ui_draw_line(ui->list, after, y - 4.0, after, y + 4.0, line);
        ui_draw_line(ui->list, after + second, y - 4.0, after + second, y + 4.0, line);
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, after + second + 8.0, y + 4.0,
                     "1 s");
        after += second + 36.0;
    }
    draw_legend(ui, after, r.x + r.w - 16.0, y);
}

void ui_bedside_trace(DrawList *list, const Theme *theme, const BedsideLayout *l, const BedsideView *v,
                      const Sweep *sweep, int lane, double x0, double x1) {
    Rect trace = l->trace[lane];
    Rect band = {x0, trace.y - GROUND_PAD_PX, x1 - x0, trace.h + 2.0 * GROUND_PAD_PX};
    ui_draw_region(list, REGION_LANE + lane, band);
    ui_draw_rect(list, band, 0.0, theme->panel);
    ui_draw_clip_rect(list, band);
    ui_traces_ground(list, theme, &v->lane[lane], trace, second_px(l, v, lane));
    ui_traces_draw(list, theme, &v->lane[lane], sweep, trace, x0, x1, ui_bedside_envelope(v));
    ui_draw_unclip(list);
}

void ui_bedside_ground(Ui *ui, const BedsideLayout *l, bool night) {
    ui_draw_region(ui->list, REGION_BACK, l->screen);
    ui_draw_rect(ui->list, l->screen, 0.0, ui->theme->window);
    if (night) ui_draw_rect(ui->list, l->lanes, PANEL_RADIUS, ui->theme->panel);
}

void ui_bedside_draw(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    ui_bedside_top(ui, l, v, intents);
    for (int i = 0; i < v->lanes; i++) {
        draw_lane(ui, l, v, i);
        draw_tile(ui, l, v, i);
    }
    draw_foot(ui, l, v);
    if (l->compact) ui_bedside_tabs(ui, l, v, intents);
    if (l->numbers.w > 0.0) ui_bedside_numbers(ui, l, v);
    if (l->heart.w > 0.0) ui_bedside_heart(ui, l, v, intents);
    if (l->deck.w > 0.0) ui_bedside_deck(ui, l, v, intents);
    ui_bedside_side(ui, l, v, intents);
}

/* Keys for the row with the focus: move, step, type, confirm, drop. */
static void deck_keys(Ui *ui, const BedsideView *v, Intents *intents) {
    static const Key GROUP_KEYS[DECK_GROUPS] = {KEY_F1, KEY_F2, KEY_F3, KEY_F4, KEY_F5, KEY_F6};
    int row = v->deck.focus_row, before = intents->count;
    bool shift = false;
    for (int i = 0; i < v->deck.groups; i++) {
        if (ui_widgets_take_key(ui, GROUP_KEYS[i], NULL))
            ui_intents_add(intents, INTENT_GROUP, i, 0.0, false);
    }
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        ui_intents_add(intents, INTENT_ROW, row = row > 0 ? row - 1 : 0, 0.0, false);
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        ui_intents_add(intents, INTENT_ROW, row = row + 1 < v->deck.rows ? row + 1 : row, 0.0, false);
    while (ui_widgets_take_key(ui, KEY_LEFT, &shift))
        ui_intents_add(intents, INTENT_STEP, row, -1.0, shift);
    while (ui_widgets_take_key(ui, KEY_RIGHT, &shift))
        ui_intents_add(intents, INTENT_STEP, row, 1.0, shift);
    if (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL)) ui_intents_add(intents, INTENT_STEP, row, 1.0, true);
    if (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL)) ui_intents_add(intents, INTENT_STEP, row, -1.0, true);
    while (ui_widgets_take_char(ui, '+'))
        ui_intents_add(intents, INTENT_STEP, row, 1.0, false);
    bool typing = v->deck.entry[0] != '\0';
    while (ui_widgets_take_char(ui, '-'))
        ui_intents_add(intents, INTENT_STEP, row, -1.0, false);
    for (uint32_t c = '0'; c <= '9'; c++) {
        while (ui_widgets_take_char(ui, c))
            ui_intents_add(intents, INTENT_DIGIT, (int)c, 0.0, false);
    }
    if (typing && ui_widgets_take_char(ui, '.')) ui_intents_add(intents, INTENT_DIGIT, '.', 0.0, false);
    if (ui_widgets_take_key(ui, KEY_BACKSPACE, NULL)) ui_intents_add(intents, INTENT_DIGIT, '\b', 0.0, false);
    if (intents->count > before) ui->focus = 0; /* the keyboard is with the orders */
    if (ui_widgets_take_key(ui, KEY_ENTER, NULL)) ui_intents_add(intents, INTENT_CONFIRM, row, 0.0, false);
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL)) ui_intents_add(intents, INTENT_DROP, row, 0.0, false);
}

/* The panels by key; and keys for the orders first bring them on show, so that nothing changes unseen. */
static void panel_keys(Ui *ui, const BedsideLayout *l, Intents *intents) {
    static const Key ORDER_KEYS[] = {KEY_UP,     KEY_DOWN,    KEY_LEFT,      KEY_RIGHT,    KEY_ENTER,
                                     KEY_ESCAPE, KEY_PAGE_UP, KEY_PAGE_DOWN, KEY_BACKSPACE};
    static const char ORDER_CHARS[] = "0123456789+-";
    bool back = false;
    if (ui_widgets_take_key(ui, KEY_F7, &back))
        ui_intents_add(intents, INTENT_PANEL, (l->panel + (back ? PANEL_COUNT - 1 : 1)) % PANEL_COUNT, 0.0,
                       false);
    if (l->panel == PANEL_ORDERS) return;
    bool wanted = false;
    for (size_t i = 0; i < sizeof ORDER_KEYS / sizeof ORDER_KEYS[0]; i++)
        wanted = ui_widgets_take_key(ui, ORDER_KEYS[i], NULL) || wanted;
    for (const char *c = ORDER_CHARS; *c != '\0'; c++)
        wanted = ui_widgets_take_char(ui, (uint32_t)*c) || wanted;
    if (wanted) ui_intents_add(intents, INTENT_PANEL, PANEL_ORDERS, 0.0, false);
}

void ui_bedside_keys(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents) {
    if (layout->compact) panel_keys(ui, layout, intents);
    deck_keys(ui, view, intents);
    ui_sheets_keys(ui, intents);
    if (ui_widgets_take_char(ui, 'l')) ui_intents_add(intents, INTENT_ACTIONS, 0, 0.0, false);
    if (ui_widgets_take_char(ui, 'q')) ui_intents_add(intents, INTENT_LEAVE, 0, 0.0, false);
    if (ui_widgets_take_char(ui, 'h')) ui_intents_add(intents, INTENT_HANDOVER, 0, 0.0, false);
}
