/* Cards: caution, handover, keys, messages, orders, the end; and the list of cases. */
#include "ui/overlay.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_OVERLAY_CLOSE = 900, ID_OVERLAY_LEAVE, ID_OVERLAY_CASE = 910 };

#define DIM             0.72 /* of what lies under a card */
#define LINE_PX         25.0
#define PARAGRAPH_PX    10.0
#define PARAGRAPH_LINES 60 /* more than the longest text has */
#define CARD_PAD        32.0
#define CARD_HEAD_PX    72.0
#define CARD_FOOT_PX    88.0
#define CASE_ROW_PX     68.0
#define KEY_LINE_PX     28.0
#define ENDLESS_PX      1e5 /* height of a text that is not cut */
#define WHEEL_LINES     3.0
#define CASE_SUMMARY_PX 120.0

/* What the program is not, in our own words; see the cautions of the reference on therapy. */
static const char *const CAUTIONS[] = {
    "This program is for education. Its physiology is simplified, and it cannot decide the care of any "
    "person.",
    "Doses are typical published ranges under generic names. Your hospital's protocol, pharmacy and device "
    "team come "
    "first.",
    "Only licensed and supervised staff give drugs, blood or electrical therapy, or change the settings of a "
    "pump.",
    "Real patients vary more than this model does. A result here is no evidence that a treatment works.",
    "Check units, weight and concentration twice: rates are shown per kilogram and in mL/h, and infusion "
    "pumps differ.",
    "Time runs faster here than at a bedside, and procedures that take a team are shortened.",
    "Marks and colours follow common conventions for learning. This is not a medical alarm system.",
    "Not for prediction, device settings or research on a person. Enter nothing about real patients.",
};

typedef struct KeyHelp {
    const char *keys, *text;
} KeyHelp;

static const KeyHelp KEYS[] = {
    {"F1 \u2013 F6", "orders: pump, fluids, drugs, ventilator, rhythm, procedures"},
    {"\u2191  \u2193", "another row"},
    {"\u2190  \u2192", "one step; also \u2212 and +"},
    {"Shift \u2190 \u2192", "a large step; also Page down, Page up"},
    {"0 \u2013 9  .", "type a value"},
    {"Enter", "confirm what is pending"},
    {"Esc", "drop what is pending; close a card"},
    {"Space", "pause, go on"},
    {",  .", "slower, faster; Home: back to \u00d71"},
    {"Tab", "next control; Shift and Tab: the one before"},
    {"M", "messages"},
    {"L", "your orders"},
    {"H", "handover"},
    {"Q", "leave the night; it is kept"},
    {"Ctrl + \u2212 0", "size of everything"},
    {"F11", "full screen"},
    {"F12", "picture to a file"},
    {"?  F9", "this list"},
};

enum { KEY_COUNT = sizeof KEYS / sizeof KEYS[0], CAUTION_COUNT = sizeof CAUTIONS / sizeof CAUTIONS[0] };

/* A card in the middle with its title; returns the room inside, above the button row. */
static Rect draw_card(Ui *ui, Rect screen, double width, double height, const char *title) {
    const Theme *t = ui->theme;
    double w = fmin(width, screen.w - 48.0), h = fmin(height, screen.h - 48.0);
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

/* The button that closes a card, under its room; Enter and Esc do the same. */
static void draw_close(Ui *ui, Rect room, const char *label, bool more, Intents *intents) {
    double w = ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, label) + 48.0;
    Rect button = {room.x, room.y + room.h + 20.0, fmax(w, 140.0), 44.0};
    bool done = ui_widgets_button(ui, ID_OVERLAY_CLOSE, button, label, BUTTON_PRIMARY);
    done = ui_widgets_take_key(ui, KEY_ENTER, NULL) || done;
    done = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || done;
    if (done) ui_intents_add(intents, INTENT_CLOSE, 0, 0.0, false);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, button.x + button.w + 16.0,
                 button.y + 27.0, more ? "Enter; the rest: \u2191 \u2193" : "Enter");
}

/* Moves through a text that is `over` px longer than its room, and shows where it stands. */
static void draw_scroll(Ui *ui, Rect room, double scroll_px, double over_px, Intents *intents) {
    const Theme *t = ui->theme;
    double to = scroll_px, page = room.h - LINE_PX;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to -= 2.0 * LINE_PX;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to += 2.0 * LINE_PX;
    while (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
        to -= page;
    while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
        to += page;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0.0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = over_px;
    to = fmin(fmax(to - ui->input.wheel * WHEEL_LINES * LINE_PX, 0.0), over_px);
    if (fabs(to - scroll_px) > 0.0) ui_intents_add(intents, INTENT_SCROLL, 0, to, false);
    Rect track = {room.x + room.w + 12.0, room.y, 6.0, room.h};
    double part = room.h * room.h / (room.h + over_px);
    ui_draw_rect(ui->list, track, 3.0, t->raised);
    ui_draw_rect(ui->list, (Rect){track.x, track.y + (room.h - part) * scroll_px / over_px, track.w, part},
                 3.0, t->edge);
}

/* A paragraph with a hanging mark; returns the y after it. */
static double paragraph(Ui *ui, Rect room, double y, const char *mark, const char *text) {
    double indent = mark[0] != '\0' ? 24.0 : 0.0;
    if (indent > 0.0) ui_draw_circle(ui->list, room.x + 6.0, y - 6.0, 3.5, ui->theme->text2);
    int lines = ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY + 1.0, ui->theme->text1, room.x + indent, y,
                                  room.w - indent, LINE_PX, PARAGRAPH_LINES, text);
    return y + lines * LINE_PX + PARAGRAPH_PX;
}

/* What a card says, drawn in `room`; returns the y after it. */
typedef double (*CardText)(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v);

/* A card as high as its text: drawn once to measure, taken back, and drawn in its place. A text that is
   higher than the screen scrolls. Returns the room of the text. */
static Rect draw_text_card(Ui *ui, Rect screen, double width, const char *title, const char *button,
                           CardText text, const OverlayView *o, const BedsideView *v, Intents *intents) {
    DrawMark before = ui_draw_mark(ui->list);
    Rect tall = {0.0, 0.0, fmin(width, screen.w - 48.0) - 2.0 * CARD_PAD, ENDLESS_PX};
    double used = text(ui, tall, o, v);
    ui_draw_rewind(ui->list, before);
    Rect room = draw_card(ui, screen, width, fmax(used, 120.0) + CARD_HEAD_PX + CARD_FOOT_PX, title);
    double over = fmax(used - room.h, 0.0), scroll = fmin(fmax(o->scroll_px, 0.0), over);
    ui_draw_clip_rect(ui->list, room);
    (void)text(ui, (Rect){room.x, room.y - scroll, room.w, ENDLESS_PX}, o, v);
    ui_draw_unclip(ui->list);
    if (over > 0.0) draw_scroll(ui, room, scroll, over, intents);
    draw_close(ui, room, button, over > 0.0, intents);
    return room;
}

/* At the right under a card's room: the way out of the night. */
static void draw_leave(Ui *ui, Rect room, int confirmed, Intents *intents) {
    Rect button = {room.x + room.w - 170.0, room.y + room.h + 20.0, 170.0, 44.0};
    bool leave = ui_widgets_button(ui, ID_OVERLAY_LEAVE, button, "Leave the night", BUTTON_PLAIN);
    if (ui_widgets_take_char(ui, 'q')) leave = true;
    if (leave) ui_intents_add(intents, INTENT_LEAVE, confirmed, 0.0, false);
}

static double caution_text(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v) {
    (void)o;
    (void)v;
    double y = room.y + 24.0;
    for (int i = 0; i < CAUTION_COUNT; i++)
        y = paragraph(ui, room, y, "*", CAUTIONS[i]);
    return y;
}

static double headed(Ui *ui, Rect room, double y, const char *head, const char *text) {
    if (text[0] == '\0') return y;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, room.x, y, head);
    return paragraph(ui, room, y + LINE_PX, "", text) + 4.0;
}

static double marked_list(Ui *ui, Rect room, double y, const char *head, int count,
                          const char text[][CASE_TEXT_MAX]) {
    if (count == 0) return y;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, room.x, y, head);
    y += LINE_PX;
    for (int i = 0; i < count; i++)
        y = paragraph(ui, room, y, "*", text[i]) - 4.0;
    return y + 8.0;
}

static double handover_text(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v) {
    (void)v;
    const CaseHandover *h = o->handover;
    double y = room.y + 20.0;
    y = headed(ui, room, y, "Who", h->who);
    y = headed(ui, room, y, "What was done", h->done);
    y = headed(ui, room, y, "Attached and running", h->attached);
    y = marked_list(ui, room, y, "Aims of the night", h->objective_count, h->objectives);
    return marked_list(ui, room, y, "Mind", h->caution_count, h->cautions);
}

static double messages_text(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v) {
    (void)o;
    double y = room.y + 20.0;
    if (v->messages == 0) return paragraph(ui, room, y, "", "Nobody has said anything yet.");
    for (int i = 0; i < v->messages; i++) {
        const MessageLine *m = &v->message[i];
        char when[TEXT_SHORT];
        ui_tiles_clock(when, sizeof when, m->time_s, false);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, room.x, y, when);
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, room.x + 76.0, y,
                     m->from);
        Rect inner = {room.x + 76.0, room.y, room.w - 76.0, room.h};
        y = paragraph(ui, inner, y + LINE_PX, "", m->text) + 8.0;
    }
    return y;
}

static double actions_text(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v) {
    (void)o;
    double y = room.y + 20.0, name = 0.40 * room.w;
    if (v->actions == 0) return paragraph(ui, room, y, "", "None yet.");
    for (int i = 0; i < v->actions; i++) {
        const ActionLine *a = &v->action[i];
        char when[TEXT_SHORT];
        ui_tiles_clock(when, sizeof when, a->time_s, false);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, room.x, y, when);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, room.x + 76.0,
                         y, name, a->what);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, room.x + 90.0 + name,
                         y, room.w - 90.0 - name, a->detail);
        y += 30.0;
    }
    return y;
}

static double words_text(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v) {
    (void)v;
    double y = paragraph(ui, room, room.y + 24.0, "", o->text);
    return o->detail[0] != '\0' ? paragraph(ui, room, y + 8.0, "", o->detail) : y;
}

static double help_text(Ui *ui, Rect room, const OverlayView *o, const BedsideView *v) {
    (void)o;
    (void)v;
    double y = room.y + 20.0;
    for (int i = 0; i < KEY_COUNT; i++, y += KEY_LINE_PX) {
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, room.x, y,
                     KEYS[i].keys);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, room.x + 150.0, y,
                         room.w - 150.0, KEYS[i].text);
    }
    return y;
}

static void draw_case_row(Ui *ui, const CaseEntry *e, int index, bool chosen, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    if (ui_widgets_area(ui, ID_OVERLAY_CASE + index, r))
        ui_intents_add(intents, chosen && e->readable ? INTENT_CASE : INTENT_ROW, index, 0.0, false);
    if (chosen || ui_widgets_hovered(ui, r)) ui_draw_rect(ui->list, r, 8.0, t->selected);
    if (chosen) ui_draw_frame(ui->list, r, 8.0, ui_draw_solid(t->text1, 2.0));
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, e->readable ? t->text1 : t->text3,
                     r.x + 16.0, r.y + 29.0, r.w - 200.0, e->title);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + 16.0, r.y + 53.0,
                     r.w - 32.0, e->readable ? e->theme : e->summary);
    if (!e->readable) return;
    char text[TEXT_LINE];
    snprintf(text, sizeof text, "level %d, %g h", e->level, e->length_s / 3600.0);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, r.x + r.w - 16.0, r.y + 29.0, text);
}

static void draw_cases(Ui *ui, Rect screen, const OverlayView *o, Intents *intents) {
    double wanted = CARD_HEAD_PX + CARD_FOOT_PX + CASE_SUMMARY_PX + CASE_ROW_PX * fmax(o->entries, 1);
    Rect room = draw_card(ui, screen, 1000.0, wanted, "Choose a case");
    const CaseEntry *chosen = o->entries > 0 ? &o->entry[o->chosen] : NULL;
    int visible = (int)fmax(floor((room.h - CASE_SUMMARY_PX) / CASE_ROW_PX), 1.0);
    int first = o->chosen >= visible ? o->chosen - visible + 1 : 0;
    double y = room.y;
    if (chosen == NULL) (void)paragraph(ui, room, y + 24.0, "", "There is no case in the folder of cases.");
    for (int i = first; i < o->entries && i < first + visible; i++, y += CASE_ROW_PX)
        draw_case_row(ui, &o->entry[i], i, i == o->chosen,
                      (Rect){room.x - 8.0, y, room.w + 16.0, CASE_ROW_PX - 6.0}, intents);
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        ui_intents_add(intents, INTENT_ROW, o->chosen - 1, 0.0, false);
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        ui_intents_add(intents, INTENT_ROW, o->chosen + 1, 0.0, false);
    if (chosen == NULL) return;
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY + 1.0, ui->theme->text1, room.x,
                            room.y + room.h - 84.0, room.w, LINE_PX, 4,
                            chosen->readable ? chosen->summary : "");
    Rect button = {room.x, room.y + room.h + 28.0, 180.0, 44.0};
    bool open = ui_widgets_button(ui, ID_OVERLAY_CLOSE, button, "Open the case",
                                  chosen->readable ? BUTTON_PRIMARY : BUTTON_OFF);
    open = ui_widgets_take_key(ui, KEY_ENTER, NULL) || open;
    if (open && chosen->readable) ui_intents_add(intents, INTENT_CASE, o->chosen, 0.0, false);
}

void ui_overlay_draw(Ui *ui, Rect screen, const OverlayView *o, const BedsideView *v, Intents *intents) {
    if (o->kind == OVERLAY_NONE) return;
    ui_draw_region(ui->list, REGION_OVERLAY, screen);
    ui_draw_rect(ui->list, screen, 0.0, ui_colour_alpha(ui->theme->window, DIM));
    char title[CASE_LINE_MAX + 16] = "";
    switch (o->kind) {
    case OVERLAY_CAUTION:
        (void)draw_text_card(ui, screen, 940.0, "Before you begin", "I have read this", caution_text, o, v,
                             intents);
        break;
    case OVERLAY_CASES:
        draw_cases(ui, screen, o, intents);
        break;
    case OVERLAY_HANDOVER:
        snprintf(title, sizeof title, "Handover: %s", o->case_title);
        (void)draw_text_card(ui, screen, 940.0, title, "Go to the bedside", handover_text, o, v, intents);
        break;
    case OVERLAY_HELP:
        draw_leave(ui, draw_text_card(ui, screen, 860.0, "Keys", "Close", help_text, o, v, intents), 0,
                   intents);
        break;
    case OVERLAY_MESSAGES:
        (void)draw_text_card(ui, screen, 900.0, "Messages", "Close", messages_text, o, v, intents);
        break;
    case OVERLAY_ACTIONS:
        (void)draw_text_card(ui, screen, 800.0, "Your orders", "Close", actions_text, o, v, intents);
        break;
    case OVERLAY_LEAVE:
        draw_leave(ui, draw_text_card(ui, screen, 820.0, o->title, "Stay", words_text, o, v, intents), 1,
                   intents);
        break;
    case OVERLAY_END:
    case OVERLAY_PROBLEM:
        (void)draw_text_card(ui, screen, 820.0, o->title, "Close", words_text, o, v, intents);
        break;
    case OVERLAY_NONE:
        break;
    }
}
