/* The card on which free practice is set up. */
#include "ui/practice_setup.h"
#include "ui/cards.h"
#include "ui/pick.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_SIZE = 1000, ID_SLOWER = 1002, ID_FASTER, ID_BEGIN, ID_BACK, ID_PEOPLE, ID_AGAIN };

#define CARD_WIDTH_PX 980.0
#define ROW_PX        34.0
#define SIZES_PX      48.0

/* "Supported RV failure" of "supported_rv_failure". */
static void person_name(PersonId id, char *text, size_t size) {
    static const char *const SHORT[] = {"rv", "pvr"}; /* letters of their own, not a word */
    const char *key = model_people_key(id);
    text[0] = '\0';
    while (*key != '\0') {
        size_t length = strcspn(key, "_"), at = strlen(text);
        snprintf(text + at, size - at, "%s%.*s", at > 0 ? " " : "", (int)length, key);
        bool capitals = false;
        for (size_t i = 0; i < sizeof SHORT / sizeof SHORT[0]; i++)
            capitals = capitals || (strlen(SHORT[i]) == length && strncmp(SHORT[i], key, length) == 0);
        for (size_t i = at; capitals && text[i] != '\0'; i++)
            text[i] = (char)toupper((unsigned char)text[i]);
        key += length + (key[length] == '_');
    }
    text[0] = (char)toupper((unsigned char)text[0]);
}

/* The people as one control: Up and Down anywhere on the card choose another. */
static void draw_people(Ui *ui, const OverlayView *o, Rect room, Intents *intents) {
    const Theme *t = ui->theme;
    int small = o->person >= PERSON_BODY_COUNT ? PERSON_BODY_COUNT : 0, chosen = (int)o->person - small;
    double row = fmax(fmin(ROW_PX, floor(room.h / PERSON_BODY_COUNT)), TARGET_MIN);
    /* where there is no room for all: those around the chosen one */
    int shown = (int)fmin(fmax(floor(room.h / row), 1.0), PERSON_BODY_COUNT), first = chosen - shown / 2;
    first = first < 0 ? 0 : first > PERSON_BODY_COUNT - shown ? PERSON_BODY_COUNT - shown : first;
    Rect list = {room.x - 8.0, room.y, room.w + 16.0, row * shown};
    int to = chosen;
    if (ui_pick_area(ui, ID_PEOPLE, list)) to = first + (int)floor((ui->input.y_px - list.y) / row);
    char name[TEXT_LINE];
    person_name((PersonId)chosen, name, sizeof name);
    ui_widgets_tell(ui, UI_ROLE_ROW, name, true);
    for (int i = first; i < first + shown; i++) {
        Rect r = {list.x, list.y + (i - first) * row, list.w, row - 2.0};
        if (i == chosen || ui_widgets_hovered(ui, r)) ui_draw_rect(ui->list, r, 6.0, t->selected);
        if (i == chosen) ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->text1, 2.0));
        person_name((PersonId)i, name, sizeof name);
        double y = r.y + r.h / 2.0 + 6.0, names = floor(0.36 * room.w);
        ui_draw_text_fit(ui->list, i == chosen ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY, ALIGN_LEFT,
                         t->text1, room.x + 6.0, y, names - 12.0, name);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, room.x + names, y,
                         room.w - names, model_people_text((PersonId)(i + small)));
    }
    ui_widgets_focus_ring(ui, ID_PEOPLE, list, 6.0);
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to--;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to++;
    to = to < 0 ? 0 : to >= PERSON_BODY_COUNT ? PERSON_BODY_COUNT - 1 : to;
    if (to != chosen) ui_intents_add(intents, INTENT_PERSON, to + small, 0.0, false);
}

/* Body size and time rate, each with its keys. */
static void draw_choices(Ui *ui, const OverlayView *o, Rect room, Intents *intents) {
    const Theme *t = ui->theme;
    static const char *const SIZES[] = {"Larger body", "Smaller body"};
    int small = o->person >= PERSON_BODY_COUNT, person = (int)o->person - small * PERSON_BODY_COUNT;
    double x = room.x, y = room.y + 6.0;
    for (int i = 0; i < 2; i++, x += 148.0) {
        Rect r = {x, y, 140.0, 40.0};
        if (ui_widgets_button(ui, ID_SIZE + i, r, SIZES[i], i == small ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_PERSON, person + i * PERSON_BODY_COUNT, 0.0, false);
    }
    if (ui_widgets_take_key(ui, KEY_LEFT, NULL)) ui_intents_add(intents, INTENT_PERSON, person, 0.0, false);
    if (ui_widgets_take_key(ui, KEY_RIGHT, NULL))
        ui_intents_add(intents, INTENT_PERSON, person + PERSON_BODY_COUNT, 0.0, false);
    char text[TEXT_SHORT];
    snprintf(text, sizeof text, "\u00d7%.0f", o->practice_x);
    double right = room.x + room.w;
    bool slower =
        ui_widgets_sign_button(ui, ID_SLOWER, (Rect){right - 172.0, y, 44.0, 40.0}, '-', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "time runs slower", false);
    bool faster =
        ui_widgets_sign_button(ui, ID_FASTER, (Rect){right - 44.0, y, 44.0, 40.0}, '+', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "time runs faster", false);
    slower = ui_widgets_take_char(ui, ',') || ui_widgets_take_char(ui, '-') || slower;
    faster = ui_widgets_take_char(ui, '.') || ui_widgets_take_char(ui, '+') || faster;
    if (slower) ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    if (faster) ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_TITLE, ALIGN_CENTRE, t->text1, right - 86.0, y + 27.0, text);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_RIGHT, t->text2, right - 186.0, y + 26.0,
                 "Time runs");
}

void ui_practice_setup_draw(Ui *ui, Rect screen, const OverlayView *o, Intents *intents) {
    const Theme *t = ui->theme;
    double wanted = CARD_HEAD_PX + CARD_FOOT_PX + 40.0 + ROW_PX * PERSON_BODY_COUNT + SIZES_PX;
    Rect room = ui_cards_frame(ui, screen, CARD_WIDTH_PX, wanted, "Free practice");
    Rect foot = {room.x, room.y + room.h + 20.0, room.w, 44.0};
    Rect top = ui_rect_cut_top(&room, 28.0), choices = ui_rect_cut_bottom(&room, SIZES_PX);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text2, top.x, top.y + 14.0, top.w,
                     "Any patient, every cause and control open, and the truth in view. Nothing is scored.");
    draw_people(ui, o, room, intents);
    draw_choices(ui, o, choices, intents);
    bool back = ui_widgets_button(ui, ID_BACK, (Rect){foot.x + foot.w - 140.0, foot.y, 140.0, foot.h}, "Back",
                                  BUTTON_PLAIN);
    bool begin =
        ui_widgets_button(ui, ID_BEGIN, (Rect){foot.x, foot.y, 160.0, foot.h}, "Begin", BUTTON_PRIMARY);
    begin = ui_widgets_take_default(ui) || begin;
    back = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || back;
    if (begin) ui_intents_add(intents, INTENT_PRACTICE, 1, 0.0, false);
    if (back) ui_intents_add(intents, INTENT_CLOSE, 0, 0.0, false);
    const CaseTry *last = &o->practice_last[o->person];
    double x = foot.x + 176.0;
    if (last->goes_on) {
        char text[TEXT_LINE];
        int minutes = (int)(last->reached_s / 60.0);
        snprintf(text, sizeof text, "F2  Go on at %d:%02d h", minutes / 60, minutes % 60);
        bool again = ui_widgets_button(ui, ID_AGAIN, (Rect){x, foot.y, 190.0, foot.h}, text, BUTTON_PLAIN);
        again = ui_widgets_take_key(ui, KEY_F2, NULL) || again;
        if (again) ui_intents_add(intents, INTENT_RESUME, 0, 0.0, false);
        x += 206.0;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x, foot.y + 27.0,
                     foot.x + foot.w - 156.0 - x,
                     "\u2191 \u2193 person, \u2190 \u2192 body, \u2212 + time, Enter");
}
