/* The card on which the trainee predicts, and the one that tells what happened. */
#include "ui/predict.h"
#include "ui/pick.h"

#include <math.h>
#include <stdio.h>

enum { ID_WAY = 2101, ID_SURE = ID_WAY + PREDICTION_PARTS, ID_GIVE, ID_SKIP, ID_TOLD };

#define CARD_WIDTH_PX     460.0
#define CARD_HEAD_PX      78.0
#define CARD_ROW_PX       46.0
#define CARD_FOOT_PX      66.0
#define MARGIN_PX         12.0
#define PAD_PX            18.0
#define WAY_W_PX          62.0
#define WAY_H_PX          36.0
#define WAY_GAP_PX        8.0
#define SIGN_PX           14.0
#define TOLD_ROW_PX       26.0
#define TOLD_HEAD_PX      52.0
#define TOLD_FOOT_PX      14.0
#define TOLD_ROW_LEAST_PX 23.0
#define TOLD_TOP_PX       30.0 /* of a low card, which has no note */
#define TOLD_LINE_PX      40.0
#define MINUTE_S          60.0

void ui_predict_sign(Ui *ui, double x, double y, double size_px, PredictionWay way, Colour ink) {
    if (way != WAY_SAME) {
        ui_widgets_arrow(ui->list, x, y, size_px, way == WAY_UP ? 'u' : 'd', ink);
        return;
    }
    ui_draw_rect(ui->list, (Rect){x - size_px / 2.0, y - 5.0, size_px, 2.0}, 0.0, ink);
    ui_draw_rect(ui->list, (Rect){x - size_px / 2.0, y + 3.0, size_px, 2.0}, 0.0, ink);
}

/* The three directions of one number as one control; the keys 1, 2, 3 choose and go on to the next row. */
static void draw_ways(Ui *ui, Rect r, const PredictPart *part, int index, Intents *intents) {
    const Theme *t = ui->theme;
    int id = ID_WAY + index, to = part->way;
    if (ui->focus == id) {
        for (int way = 0; way < WAY_COUNT; way++) {
            if (!ui_widgets_take_char(ui, (uint32_t)('1' + way))) continue;
            to = way;
            ui->focus = id + 1;
        }
        while (ui_widgets_take_key(ui, KEY_LEFT, NULL))
            to = to < 0 ? WAY_DOWN : to > 0 ? to - 1 : 0;
        while (ui_widgets_take_key(ui, KEY_RIGHT, NULL))
            to = to < 0 ? WAY_UP : to + 1 < WAY_COUNT ? to + 1 : to;
    }
    double pitch = WAY_W_PX + WAY_GAP_PX;
    if (ui_pick_area(ui, id, r)) {
        int at = (int)floor((ui->input.x_px - r.x) / pitch);
        to = at < 0 ? 0 : at >= WAY_COUNT ? WAY_COUNT - 1 : at;
    }
    char says[UI_LABEL_MAX];
    snprintf(says, sizeof says, "%.20s: %s", part->name,
             part->way < 0 ? "down, same or up" : sim_predictions_way_word((PredictionWay)part->way));
    ui_widgets_tell(ui, UI_ROLE_TRACK, says, part->way >= 0);
    for (int way = 0; way < WAY_COUNT; way++) {
        Rect cell = {r.x + way * pitch, r.y, WAY_W_PX, WAY_H_PX};
        bool chosen = way == part->way;
        ui_draw_rect(ui->list, cell, 6.0,
                     chosen                         ? t->text1
                     : ui_widgets_hovered(ui, cell) ? t->selected
                                                    : t->raised);
        ui_draw_frame(ui->list, cell, 6.0, ui_draw_solid(t->edge, 1.0));
        ui_predict_sign(ui, cell.x + cell.w / 2.0, cell.y + cell.h / 2.0, SIGN_PX, (PredictionWay)way,
                        chosen ? t->ink : t->text2);
    }
    ui_widgets_focus_ring(ui, id, r, 6.0);
    if (to != part->way && to >= 0) ui_intents_add(intents, INTENT_PART, PREDICT_PART_WAY + index, to, false);
}

/* How sure, in five steps with words. */
static void draw_sure(Ui *ui, Rect r, const PredictView *p, Intents *intents) {
    static const char *const WORDS[] = {"", "a guess", "unsure", "half sure", "rather sure", "certain"};
    const Theme *t = ui->theme;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, r.x, r.y + 23.0, "How sure?");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + 98.0, r.y + 23.0,
                 WORDS[p->sure]);
    int to = p->sure - 1;
    if (ui->focus == ID_SURE) {
        for (int i = 0; i < PREDICTION_SURE_MOST; i++) {
            if (ui_widgets_take_char(ui, (uint32_t)('1' + i))) to = i;
        }
    }
    Rect steps = {r.x + r.w - 3.0 * WAY_W_PX - 2.0 * WAY_GAP_PX, r.y + 4.0, 3.0 * WAY_W_PX + 2.0 * WAY_GAP_PX,
                  26.0};
    int step = ui_pick_steps(ui, ID_SURE, steps, "How sure", PREDICTION_SURE_MOST, p->sure - 1);
    if (step >= 0) to = step;
    if (to != p->sure - 1) ui_intents_add(intents, INTENT_PART, PREDICT_PART_SURE, to + 1, false);
}

/* Up and Down go from row to row. */
static void row_keys(Ui *ui, const PredictView *p) {
    int row = ui->focus == ID_SURE ? p->parts : ui->focus - ID_WAY;
    if (row < 0 || row > p->parts) row = 0;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        row = row > 0 ? row - 1 : 0;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        row = row < p->parts ? row + 1 : row;
    if (ui->focus >= ID_WAY && ui->focus <= ID_SURE) ui->focus = row == p->parts ? ID_SURE : ID_WAY + row;
}

static void draw_buttons(Ui *ui, Rect foot, const PredictView *p, Intents *intents) {
    char text[TEXT_LINE];
    int missing = ui_predict_missing(p);
    if (missing > 0)
        snprintf(text, sizeof text, "%d answer%s missing", missing, missing == 1 ? "" : "s");
    else
        snprintf(text, sizeof text, p->others > 0 ? "Give the orders" : "Give the order");
    Rect skip = ui_rect_cut_right(&foot, 96.0);
    (void)ui_rect_cut_right(&foot, 12.0);
    bool give = ui_widgets_button(ui, ID_GIVE, foot, text, missing == 0 ? BUTTON_PRIMARY : BUTTON_PLAIN);
    bool skipped = ui_widgets_button(ui, ID_SKIP, skip, "0  Skip", BUTTON_PLAIN);
    give = ui_widgets_take_default(ui) || give;
    skipped = ui_widgets_take_char(ui, '0') || skipped;
    if (skipped)
        ui_intents_add(intents, INTENT_PART, PREDICT_PART_SKIP, 0.0, false);
    else if (give && missing == 0)
        ui_intents_add(intents, INTENT_PART, PREDICT_PART_GIVE, 0.0, false);
    else if (give) /* to the first answer that is missing */
        for (int i = 0, found = 0; i <= p->parts && !found; i++) {
            found = i == p->parts || p->part[i].way < 0;
            if (found) ui->focus = i == p->parts ? ID_SURE : ID_WAY + i;
        }
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}

static void draw_question(Ui *ui, Rect r, const PredictView *p) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE * 3], more[TEXT_SHORT * 2];
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, r.x, r.y + 20.0,
                 "Predict first");
    snprintf(more, sizeof more, p->others > 0 ? "%d more go%s along" : "the night waits", p->others,
             p->others == 1 ? "es" : "");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, r.x + r.w, r.y + 20.0, more);
    snprintf(text, sizeof text, "%s: what changes in %.0f min?", p->what,
             fmax(round(p->horizon_s / MINUTE_S), 1.0));
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, r.y + 46.0, r.w, text);
}

/* Over the bottom of the bedside's right-hand column where there is one, so that the numbers that are asked
   about stay in view; else in the corner. */
static Rect place(Rect screen, double height) {
    BedsideChoice all = ui_bedside_all();
    BedsideLayout l = ui_bedside_layout(screen.w, screen.h, &all);
    double w = fmin(CARD_WIDTH_PX, screen.w - 2.0 * MARGIN_PX), margin = MARGIN_PX;
    if (!l.compact) {
        Rect column = l.actions.w > 0.0 ? ui_rect_union(l.messages, l.actions) : l.messages;
        w = column.w;
        margin = screen.w - column.x - column.w;
    }
    return (Rect){screen.w - w - margin, screen.h - height - margin, w, height};
}

void ui_predict_draw(Ui *ui, Rect screen, const PredictView *p, Intents *intents) {
    const Theme *t = ui->theme;
    Rect card = place(screen, CARD_HEAD_PX + CARD_ROW_PX * (p->parts + 1) + CARD_FOOT_PX);
    ui_draw_region(ui->list, REGION_OVERLAY, ui_rect_inset(card, -6.0, -6.0));
    ui_draw_rect(ui->list, ui_rect_inset(card, -6.0, -6.0), 0.0, t->window);
    ui_draw_rect(ui->list, card, PANEL_RADIUS, t->panel);
    ui_draw_frame(ui->list, card, PANEL_RADIUS, ui_draw_solid(t->text1, 2.0));
    if (p->frames <= 1) ui->focus = ID_WAY;
    Rect room = ui_rect_inset(card, PAD_PX, 12.0);
    draw_question(ui, room, p);
    row_keys(ui, p);
    double y = card.y + CARD_HEAD_PX, right = room.x + room.w - 3.0 * WAY_W_PX - 2.0 * WAY_GAP_PX;
    for (int i = 0; i < p->parts; i++, y += CARD_ROW_PX) {
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, room.x, y + 23.0, 94.0,
                         p->part[i].name);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, room.x + 98.0, y + 23.0,
                         right - room.x - 106.0, p->part[i].now);
        draw_ways(ui, (Rect){right, y, 3.0 * WAY_W_PX + 2.0 * WAY_GAP_PX, WAY_H_PX}, &p->part[i], i, intents);
    }
    draw_sure(ui, (Rect){room.x, y, room.w, WAY_H_PX}, p, intents);
    y += CARD_ROW_PX;
    if (p->problem[0] != '\0')
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y - 2.0, room.w,
                         p->problem);
    draw_buttons(ui, (Rect){room.x, y + 8.0, room.w, 42.0}, p, intents);
}

/* One number of a prediction that has been told: said, before and after, right or not. */
static void draw_told(Ui *ui, Rect r, const PredictionToldPart *part) {
    const Theme *t = ui->theme;
    double y = r.y + 17.0, x = r.x + 92.0;
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x, y, 88.0, part->name);
    ui_predict_sign(ui, x + 6.0, y - 6.0, 12.0, (PredictionWay)part->said, t->text2);
    char text[TEXT_LINE];
    snprintf(text, sizeof text, part->known ? "%s \u2192 %s %s" : "no longer on show", part->before,
             part->after, part->unit);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, x + 24.0, y,
                     r.w - 92.0 - 24.0 - 86.0, text);
    if (!part->known) return;
    double right = r.x + r.w, sx = right - 66.0;
    StrokeStyle line = ui_draw_solid(t->text1, 2.0);
    if (part->hit) {
        ui_draw_path(ui->list);
        ui_draw_move(ui->list, sx - 6.0, y - 6.0);
        ui_draw_to(ui->list, sx - 2.0, y - 1.0);
        ui_draw_to(ui->list, sx + 6.0, y - 11.0);
        ui_draw_stroke(ui->list, line);
    } else
        ui_draw_ring(ui->list, sx, y - 6.0, 5.0, line);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, sx + 16.0, y,
                 part->hit ? "as said" : "not so");
}

/* A message that came after it has the room; then one line is left of it. */
static bool only_a_line(const BedsideView *v) {
    return v->unseen > 0 && v->messages > 0 && v->message[0].time_s > v->told.time_s;
}

double ui_predict_told_height(const BedsideLayout *l, const BedsideView *v) {
    if (v->told.parts == 0) return 0.0;
    double room = l->messages.h, full = TOLD_HEAD_PX + TOLD_ROW_PX * v->told.parts + TOLD_FOOT_PX;
    return only_a_line(v) ? TOLD_LINE_PX : fmin(full, room);
}

void ui_predict_told(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    const PredictionTold *told = &v->told;
    if (told->parts == 0 || l->messages.w <= 0.0) return;
    bool line = only_a_line(v);
    double h = ui_predict_told_height(l, v);
    Rect card = l->actions.w > 0.0 ? ui_rect_union(l->messages, l->actions) : l->messages;
    card.y += card.h - h;
    card.h = h;
    ui_draw_region(ui->list, REGION_PREDICTION, card);
    ui_draw_rect(ui->list, card, 0.0, t->window);
    ui_draw_rect(ui->list, card, PANEL_RADIUS, t->raised);
    ui_draw_frame(ui->list, card, PANEL_RADIUS, ui_draw_solid(t->edge, 1.0));
    bool low = h < TOLD_HEAD_PX + TOLD_FOOT_PX + TOLD_ROW_LEAST_PX * told->parts - 4.0;
    Rect r = ui_rect_inset(card, 14.0, line || low ? 6.0 : 10.0);
    bool done =
        ui_widgets_sign_button(ui, ID_TOLD, (Rect){r.x + r.w - 28.0, r.y, 28.0, 28.0}, 'x', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "put away", false);
    done = ui_widgets_take_char(ui, 'p') || done;
    if (done) ui_intents_add(intents, INTENT_PREDICTION_SEEN, 0, 0.0, false);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, r.x, r.y + 18.0,
                     r.w - 70.0, told->what);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, r.x + r.w - 36.0, r.y + 18.0, "P");
    if (line) return;
    double first = r.y + (low ? TOLD_TOP_PX : TOLD_HEAD_PX) - 6.0;
    double pitch = fmin((card.y + card.h - 6.0 - first) / told->parts, TOLD_ROW_PX);
    if (!low)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, r.y + 40.0, r.w,
                         told->note);
    for (int i = 0; i < told->parts; i++)
        draw_told(ui, (Rect){r.x, first + i * pitch, r.w, pitch}, &told->part[i]);
}
