/* Cards: caution, handover, keys, messages, orders, the end; and the list of cases. */
#include "ui/overlay.h"
#include "ui/cards.h"
#include "ui/case_list.h"
#include "ui/handover.h"
#include "ui/practice_setup.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define KEY_LINE_PX         28.0
#define HELP_KEYS_PX        108.0
#define HELP_GAP_PX         32.0
#define HELP_TWO_COLUMNS_PX 900.0

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
    "Alarms, their colours and sounds follow common conventions for learning. This is not a medical alarm "
    "system.",
    "Not for prediction, device settings or research on a person. Enter nothing about real patients.",
};

typedef struct KeyHelp {
    const char *keys, *text;
} KeyHelp;

static const KeyHelp KEYS[] = {
    {"F1 \u2013 F6", "orders: pump, fluids, drugs, lungs, rhythm, tests"},
    {"\u2191  \u2193", "another row"},
    {"\u2190  \u2192", "one step; also \u2212 and +"},
    {"Shift \u2190 \u2192", "a large step; also Page down, Page up"},
    {"0 \u2013 9  .", "type a value; Backspace takes back"},
    {"Enter", "confirm what is pending"},
    {"Esc", "drop what is pending; close a card"},
    {"Space", "pause, go on"},
    {",  .", "slower, faster; Home: back to \u00d71"},
    {"Tab", "next control; Shift and Tab: the one before"},
    {"A", "pause the alarms' sound for 2 min; again: sound on"},
    {"Shift A", "alarm seen; then the next one"},
    {"I", "alarm limits"},
    {"E", "look: the picture of the heart"},
    {"C", "chart: flow sheet, plots, results, log"},
    {"G", "your call: what is wrong, how sure, the plan"},
    {"P", "put away what became of a prediction"},
    {"F", "free practice: causes, loops, the truth"},
    {"M", "messages"},
    {"L", "your orders"},
    {"H", "handover"},
    {"O", "settings"},
    {"V", "the screen in words, to the text log; Alt V too"},
    {"F7", "small screen: next panel; Shift: the one before"},
    {"Q", "leave the night; it is kept"},
    {"Ctrl + \u2212 0", "size of everything"},
    {"Alt", "with a letter, where single-letter keys are switched off"},
    {"F10", "the instructor's window"},
    {"F11", "full screen"},
    {"F12", "picture to a file"},
    {"?  F9", "this list"},
};

enum { KEY_COUNT = sizeof KEYS / sizeof KEYS[0], CAUTION_COUNT = sizeof CAUTIONS / sizeof CAUTIONS[0] };

/* What a card's text is made from. */
typedef struct CardWhat {
    const OverlayView *o;
    const BedsideView *v;
} CardWhat;

/* At the right under a card's room: the way out of the night. */
static void draw_leave(Ui *ui, Rect room, int confirmed, Intents *intents) {
    Rect button = {room.x + room.w - 170.0, room.y + room.h + 20.0, 170.0, 44.0};
    bool leave = ui_widgets_button(ui, ID_CARD_LEAVE, button, "Leave the night", BUTTON_PLAIN);
    if (ui_widgets_take_char(ui, 'q')) leave = true;
    if (leave) ui_intents_add(intents, INTENT_LEAVE, confirmed, 0.0, false);
}

static double caution_text(Ui *ui, Rect room, const void *what) {
    (void)what;
    double y = room.y + 24.0;
    for (int i = 0; i < CAUTION_COUNT; i++)
        y = ui_cards_paragraph(ui, room, y, true, CAUTIONS[i]);
    return y;
}

/* Under a list that holds the newest only. */
static const char OLDER_ONES[] = "Older ones are in the log of the chart: C, then 4.";

static double messages_text(Ui *ui, Rect room, const void *what) {
    const BedsideView *v = ((const CardWhat *)what)->v;
    double y = room.y + 20.0;
    if (v->messages == 0) return ui_cards_paragraph(ui, room, y, false, "Nobody has said anything yet.");
    for (int i = 0; i < v->messages; i++) {
        const MessageLine *m = &v->message[i];
        char when[TEXT_SHORT];
        ui_tiles_clock(when, sizeof when, m->time_s, false);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, room.x, y, when);
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, room.x + 76.0, y,
                     m->from);
        Rect inner = {room.x + 76.0, room.y, room.w - 76.0, room.h};
        y = ui_cards_paragraph(ui, inner, y + CARD_LINE_PX, false, m->text) + 8.0;
    }
    return v->messages < MESSAGES_MAX ? y : ui_cards_paragraph(ui, room, y, false, OLDER_ONES);
}

static double actions_text(Ui *ui, Rect room, const void *what) {
    const BedsideView *v = ((const CardWhat *)what)->v;
    double y = room.y + 20.0, name = 0.40 * room.w;
    if (v->actions == 0) return ui_cards_paragraph(ui, room, y, false, "None yet.");
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
    return v->actions < ACTIONS_MAX ? y : ui_cards_paragraph(ui, room, y, false, OLDER_ONES);
}

static double words_text(Ui *ui, Rect room, const void *what) {
    const OverlayView *o = ((const CardWhat *)what)->o;
    double y = ui_cards_paragraph(ui, room, room.y + 24.0, false, o->text);
    return o->detail[0] != '\0' ? ui_cards_paragraph(ui, room, y + 8.0, false, o->detail) : y;
}

static double help_text(Ui *ui, Rect room, const void *what) {
    (void)what;
    int columns = room.w > HELP_TWO_COLUMNS_PX ? 2 : 1, lines = (KEY_COUNT + columns - 1) / columns;
    double w = (room.w - (columns - 1) * HELP_GAP_PX) / columns;
    for (int i = 0; i < KEY_COUNT; i++) {
        double x = room.x + i / lines * (w + HELP_GAP_PX), y = room.y + 20.0 + i % lines * KEY_LINE_PX;
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, x, y,
                     KEYS[i].keys);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, x + HELP_KEYS_PX, y,
                         w - HELP_KEYS_PX, KEYS[i].text);
    }
    return room.y + 20.0 + lines * KEY_LINE_PX;
}

/* The end of a night: looking back on it is what comes next, if it was recorded. */
static void draw_end(Ui *ui, Rect screen, const OverlayView *o, const CardWhat *what, Intents *intents) {
    bool away = o->debrief && ui_widgets_take_key(ui, KEY_ESCAPE, NULL);
    int first = intents->count;
    Rect room = ui_cards_text(ui, screen, 820.0, o->title, o->debrief ? "Debrief" : "Close", words_text, what,
                              o->scroll_px, intents);
    for (int i = first; o->debrief && i < intents->count; i++) {
        if (intents->of[i].kind == INTENT_CLOSE) intents->of[i].kind = INTENT_DEBRIEF;
    }
    if (!o->debrief) return;
    Rect button = {room.x + room.w - 170.0, room.y + room.h + 20.0, 170.0, 44.0};
    away = ui_widgets_button(ui, ID_CARD_LEAVE, button, "Close  Esc", BUTTON_PLAIN) || away;
    if (away) ui_intents_add(intents, INTENT_CLOSE, 0, 0.0, false);
}

void ui_overlay_draw(Ui *ui, Rect screen, const OverlayView *o, const BedsideView *v, Intents *intents) {
    if (o->kind == OVERLAY_NONE) return;
    ui_draw_region(ui->list, REGION_OVERLAY, screen);
    ui_cards_dim(ui, screen);
    CardWhat what = {o, v};
    switch (o->kind) {
    case OVERLAY_CAUTION:
        (void)ui_cards_text(ui, screen, 940.0, "Before you begin", "I have read this", caution_text, &what,
                            o->scroll_px, intents);
        break;
    case OVERLAY_CASES:
        ui_case_list_draw(ui, screen, o, intents);
        break;
    case OVERLAY_HANDOVER:
        ui_handover_draw(ui, screen, o, intents);
        break;
    case OVERLAY_PRACTICE:
        ui_practice_setup_draw(ui, screen, o, intents);
        break;
    case OVERLAY_HELP:
        draw_leave(
            ui, ui_cards_text(ui, screen, 1180.0, "Keys", "Close", help_text, &what, o->scroll_px, intents),
            0, intents);
        break;
    case OVERLAY_MESSAGES:
        (void)ui_cards_text(ui, screen, 900.0, "Messages", "Close", messages_text, &what, o->scroll_px,
                            intents);
        break;
    case OVERLAY_ACTIONS:
        (void)ui_cards_text(ui, screen, 800.0, "Your orders", "Close", actions_text, &what, o->scroll_px,
                            intents);
        break;
    case OVERLAY_LEAVE:
        draw_leave(
            ui, ui_cards_text(ui, screen, 820.0, o->title, "Stay", words_text, &what, o->scroll_px, intents),
            1, intents);
        break;
    case OVERLAY_END:
        draw_end(ui, screen, o, &what, intents);
        break;
    case OVERLAY_PROBLEM:
        (void)ui_cards_text(ui, screen, 820.0, o->title, "Close", words_text, &what, o->scroll_px, intents);
        break;
    case OVERLAY_NONE:
        break;
    }
}
