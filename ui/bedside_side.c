/* The right-hand column but the heart: pump strip, small values, messages, what was done. */
#include "ui/bedside.h"
#include "ui/predict.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>

#define TOLD_GAP_PX   10.0
#define LIST_LEAST_PX 50.0 /* a list with less room is left out */

enum { ID_MESSAGES = 40, ID_ACTIONS };

static void draw_one_pump(Ui *ui, const PumpStrip *pump, Rect rect, bool wide) {
    const Theme *t = ui->theme;
    ui_widgets_badge(ui->list, t, rect.x, rect.y, pump->side);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, wide ? TYPE_TITLE : TYPE_BODY, ALIGN_LEFT, t->text1,
                 rect.x + 30.0, rect.y + 18.0, pump->title);
    double top = rect.y + (wide ? 30.0 : 22.0), w = (rect.w - 3.0 * 16.0) / PUMP_VALUES;
    for (int i = 0; i < pump->values; i++) {
        Rect cell = {rect.x + i * (w + 16.0), top, w, rect.y + rect.h - top};
        ui_tiles_medium(ui->list, t, &pump->value[i], pump->side, cell);
    }
}

/* Both pumps in one strip: a line for each under common headings, without trends. */
static void draw_two_pumps(Ui *ui, const BedsideView *v, Rect rect, bool wide) {
    const Theme *t = ui->theme;
    static const double SHARE[PUMP_VALUES] = {0.29, 0.26, 0.24, 0.21}; /* of the width: long numbers first */
    double label = wide ? 0.2 * rect.w : 82.0, row = floor((rect.h - 20.0) / 2.0);
    double size = wide ? 32.0 : 24.0, x[PUMP_VALUES], w[PUMP_VALUES], left = rect.x + label;
    for (int k = 0; k < PUMP_VALUES; k++) {
        x[k] = left;
        w[k] = SHARE[k] * (rect.w - label);
        left += w[k];
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x[k], rect.y + 14.0,
                         w[k] - 2.0, v->pump[0].value[k].name);
    }
    for (int i = 0; i < 2; i++) {
        const PumpStrip *pump = &v->pump[i];
        double y = rect.y + 20.0 + i * row, base = y + 0.5 * (row + 0.76 * size);
        ui_widgets_badge(ui->list, t, rect.x, base - 20.0, pump->side);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, rect.x + 30.0,
                         base - 3.0, label - 34.0, i == 0 ? "Left" : "Right");
        for (int k = 0; k < pump->values; k++)
            ui_tiles_inline(ui->list, t, &pump->value[k], size, x[k], base, w[k] - 2.0);
    }
}

static void draw_pumps(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_PUMP, l->pump);
    ui_draw_rect(ui->list, l->pump, 0.0, t->window);
    ui_draw_rect(ui->list, l->pump, PANEL_RADIUS, t->panel);
    Rect inner = ui_rect_inset(l->pump, PANEL_PAD, l->wide ? 12.0 : 8.0);
    if (v->pump[1].present) {
        draw_two_pumps(ui, v, inner, l->wide);
        return;
    }
    if (l->wide)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, inner.x + inner.w,
                     inner.y + 18.0, "trend 30 min");
    draw_one_pump(ui, &v->pump[0], inner, l->wide);
}

static void draw_labs(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_LABS, l->labs);
    ui_draw_rect(ui->list, l->labs, 0.0, t->window);
    ui_draw_rect(ui->list, l->labs, PANEL_RADIUS, t->panel);
    if (v->labs == 0) return;
    Rect inner = ui_rect_inset(l->labs, l->wide ? PANEL_PAD : 10.0, l->wide ? 10.0 : 5.0);
    double gap = l->wide ? 8.0 : 3.0, w = (inner.w + gap) / v->labs;
    for (int i = 0; i < v->labs; i++)
        ui_tiles_small(ui->list, t, &v->lab[i], (Rect){inner.x + i * w, inner.y, w - gap, inner.h});
}

static void draw_messages(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    Rect r = l->messages;
    ui_draw_region(ui->list, REGION_MESSAGES, ui_rect_inset(r, -5.0, -5.0));
    ui_draw_rect(ui->list, ui_rect_inset(r, -5.0, -5.0), 0.0, t->window);
    if (r.h < LIST_LEAST_PX) return;
    if (ui_widgets_area(ui, ID_MESSAGES, r)) ui_intents_add(intents, INTENT_MESSAGES, 0, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "all messages", false);
    char title[TEXT_SHORT];
    snprintf(title, sizeof title, v->unseen > 0 ? "Messages, %d new" : "Messages", v->unseen);
    Rect inner = ui_widgets_panel(ui, r, title, l->actions.w > 0.0 ? "M: all" : "M: all, L: your orders");
    double y = inner.y + 18.0, bottom = r.y + r.h - 6.0;
    if (v->messages == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text3, inner.x, y, "none yet");
    for (int i = 0; i < v->messages && y <= bottom; i++) {
        const MessageLine *m = &v->message[i];
        char when[TEXT_SHORT];
        ui_tiles_clock(when, sizeof when, m->time_s, false);
        Colour ink = m->seen ? t->text2 : t->text1;
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text2, inner.x, y, when);
        double x = inner.x + 62.0;
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ink, x, y, m->from);
        if (!m->seen)
            ui_draw_circle(ui->list,
                           x + ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, m->from) + 12.0,
                           y - 5.0, 5.0, t->text1);
        int room = (int)floor((bottom - y) / 21.0), want = i == 0 ? 4 : 2;
        if (room <= 0) break;
        int lines = ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, ink, x, y + 21.0,
                                      inner.x + inner.w - x, 21.0, room < want ? room : want, m->text);
        y += 21.0 * lines + 29.0;
    }
    ui_widgets_focus_ring(ui, ID_MESSAGES, ui_rect_inset(r, 1.0, 1.0), PANEL_RADIUS);
}

static void draw_actions(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    Rect r = l->actions;
    if (r.w <= 0.0) return;
    ui_draw_region(ui->list, REGION_ACTIONS, ui_rect_inset(r, -5.0, -5.0));
    ui_draw_rect(ui->list, ui_rect_inset(r, -5.0, -5.0), 0.0, t->window);
    if (r.h < LIST_LEAST_PX) return;
    if (ui_widgets_area(ui, ID_ACTIONS, r)) ui_intents_add(intents, INTENT_ACTIONS, 0, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "all orders", false);
    Rect inner = ui_widgets_panel(ui, r, "Your orders", "L: all");
    double y = inner.y + 18.0;
    if (v->actions == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text3, inner.x, y, "none yet");
    for (int i = 0; i < v->actions && y + 24.0 < r.y + r.h; i++) {
        const ActionLine *a = &v->action[i];
        char when[TEXT_SHORT];
        ui_tiles_clock(when, sizeof when, a->time_s, false);
        double x = inner.x + 62.0;
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text2, inner.x, y, when);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, x, y,
                         inner.x + inner.w - x, a->what);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y + 20.0,
                         inner.x + inner.w - x, a->detail);
        y += 50.0;
        if (i + 1 < v->actions && y + 24.0 < r.y + r.h)
            ui_draw_line(ui->list, inner.x, y - 20.5, inner.x + inner.w, y - 20.5,
                         ui_draw_solid(t->hairline, 1.0));
    }
    ui_widgets_focus_ring(ui, ID_ACTIONS, ui_rect_inset(r, 1.0, 1.0), PANEL_RADIUS);
}

void ui_bedside_side(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    if (l->pump.w > 0.0) draw_pumps(ui, l, v);
    if (l->labs.w > 0.0) draw_labs(ui, l, v);
    BedsideLayout room = *l; /* above what is told of a prediction */
    double told = ui_predict_told_height(l, v);
    if (told > 0.0) {
        room.messages.h = fmax(l->messages.h - told - TOLD_GAP_PX, 0.0);
        room.actions.h = fmax(l->actions.h - told - TOLD_GAP_PX, 0.0);
    }
    if (l->messages.w > 0.0) draw_messages(ui, &room, v, intents);
    draw_actions(ui, &room, v, intents);
    ui_predict_told(ui, l, v, intents);
}
