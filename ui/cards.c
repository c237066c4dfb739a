/* Cards: frame, texts, scrolling, closing. */
#include "ui/cards.h"

#include <math.h>

#define SMALL_SCREEN_PX 560.0
#define DIM             0.72 /* of what lies under a card */
#define PARAGRAPH_PX    10.0
#define PARAGRAPH_LINES 60 /* more than the longest text has */
#define WHEEL_LINES     3.0

void ui_cards_dim(Ui *ui, Rect screen) {
    ui_draw_rect(ui->list, screen, 0.0, ui_colour_alpha(ui->theme->window, DIM));
}

/* What a card leaves free of the screen's width and height; less on a small one. */
static double around(Rect screen) {
    return screen.h < SMALL_SCREEN_PX ? 12.0 : 48.0;
}

Rect ui_cards_frame(Ui *ui, Rect screen, double width, double height, const char *title) {
    const Theme *t = ui->theme;
    double w = fmin(width, screen.w - around(screen)), h = fmin(height, screen.h - around(screen));
    Rect card = {floor((screen.w - w) / 2.0), floor((screen.h - h) / 2.0), w, h};
    ui_draw_rect(ui->list, card, 12.0, t->panel);
    ui_draw_frame(ui->list, card, 12.0, ui_draw_solid(t->edge, 1.5));
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, 26.0, ALIGN_LEFT, t->text1, card.x + CARD_PAD,
                     card.y + 48.0, w - 2.0 * CARD_PAD - 120.0, title);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text2, card.x + w - CARD_PAD,
                 card.y + 46.0, "TRAINING ONLY");
    return (Rect){card.x + CARD_PAD, card.y + CARD_HEAD_PX, w - 2.0 * CARD_PAD,
                  h - CARD_HEAD_PX - CARD_FOOT_PX};
}

void ui_cards_close(Ui *ui, Rect room, const char *label, bool more, Intents *intents) {
    double w = ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, label) + 48.0;
    Rect button = {room.x, room.y + room.h + 20.0, fmax(w, 140.0), 44.0};
    bool done = ui_widgets_button(ui, ID_CARD_CLOSE, button, label, BUTTON_PRIMARY);
    done = ui_widgets_take_default(ui) || done;
    done = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || done;
    if (done) ui_intents_add(intents, INTENT_CLOSE, 0, 0.0, false);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, button.x + button.w + 16.0,
                 button.y + 27.0, more ? "Enter; the rest: \u2191 \u2193" : "Enter");
}

void ui_cards_scroll(Ui *ui, Rect room, double scroll_px, double over_px, Intents *intents) {
    const Theme *t = ui->theme;
    double to = scroll_px, page = room.h - CARD_LINE_PX;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to -= 2.0 * CARD_LINE_PX;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to += 2.0 * CARD_LINE_PX;
    while (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
        to -= page;
    while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
        to += page;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0.0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = over_px;
    to = fmin(fmax(to - ui->input.wheel * WHEEL_LINES * CARD_LINE_PX, 0.0), over_px);
    if (fabs(to - scroll_px) > 0.0) ui_intents_add(intents, INTENT_SCROLL, 0, to, false);
    Rect track = {room.x + room.w + 12.0, room.y, 6.0, room.h};
    double part = room.h * room.h / (room.h + over_px);
    ui_draw_rect(ui->list, track, 3.0, t->raised);
    ui_draw_rect(ui->list, (Rect){track.x, track.y + (room.h - part) * scroll_px / over_px, track.w, part},
                 3.0, t->edge);
}

double ui_cards_paragraph(Ui *ui, Rect room, double y, bool mark, const char *text) {
    double indent = mark ? 24.0 : 0.0;
    if (indent > 0.0) ui_draw_circle(ui->list, room.x + 6.0, y - 6.0, 3.5, ui->theme->text2);
    int lines = ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY + 1.0, ui->theme->text1, room.x + indent, y,
                                  room.w - indent, CARD_LINE_PX, PARAGRAPH_LINES, text);
    return y + lines * CARD_LINE_PX + PARAGRAPH_PX;
}

double ui_cards_headed(Ui *ui, Rect room, double y, const char *head, const char *text) {
    if (text[0] == '\0') return y;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, room.x, y, head);
    return ui_cards_paragraph(ui, room, y + CARD_LINE_PX, false, text) + 4.0;
}

Rect ui_cards_text(Ui *ui, Rect screen, double width, const char *title, const char *button, CardText text,
                   const void *what, double scroll_px, Intents *intents) {
    DrawMark before = ui_draw_mark(ui->list);
    Rect tall = {0.0, 0.0, fmin(width, screen.w - around(screen)) - 2.0 * CARD_PAD, CARD_ENDLESS_PX};
    double used = text(ui, tall, what);
    ui_draw_rewind(ui->list, before);
    Rect room = ui_cards_frame(ui, screen, width, fmax(used, 120.0) + CARD_HEAD_PX + CARD_FOOT_PX, title);
    double over = fmax(used - room.h, 0.0), scroll = fmin(fmax(scroll_px, 0.0), over);
    ui_draw_clip_rect(ui->list, room);
    (void)text(ui, (Rect){room.x, room.y - scroll, room.w, CARD_ENDLESS_PX}, what);
    ui_draw_unclip(ui->list);
    if (over > 0.0) ui_cards_scroll(ui, room, scroll, over, intents);
    ui_cards_close(ui, room, button, over > 0.0, intents);
    return room;
}
