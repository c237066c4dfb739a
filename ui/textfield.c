/* A text field: caret, edits, drawing. */
#include "ui/textfield.h"
#include "ui/pick.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TEXT_PAD_PX   10.0
#define CARET_PX      2.0
#define CARET_BLINK_S 0.53 /* half a period: under two flashes a second */

enum { FIRST_PRINTABLE = 0x20, DELETE_CODE = 0x7F, LAST_CONTROL = 0x9F, LAST_CODE = 0x10FFFF };

static bool inside_character(char byte) {
    return ((unsigned char)byte & 0xC0) == 0x80;
}

static int before(const TextField *field, int at) {
    if (at <= 0) return 0;
    for (at--; at > 0 && inside_character(field->text[at]); at--)
        continue;
    return at;
}

static int after(const TextField *field, int at) {
    if (field->text[at] == '\0') return at;
    for (at++; inside_character(field->text[at]); at++)
        continue;
    return at;
}

/* Writes a character as UTF-8; returns its bytes. */
static int encode(uint32_t c, char out[4]) {
    if (c < 0x80) {
        out[0] = (char)c;
        return 1;
    }
    int more = c < 0x800 ? 1 : c < 0x10000 ? 2 : 3;
    static const unsigned char LEAD[] = {0, 0xC0, 0xE0, 0xF0};
    out[0] = (char)(LEAD[more] | c >> (6 * more));
    for (int i = 1; i <= more; i++)
        out[i] = (char)(0x80 | (c >> (6 * (more - i)) & 0x3F));
    return more + 1;
}

static void insert(TextField *field, uint32_t c) {
    char bytes[4];
    bool surrogate = c >= 0xD800 && c <= 0xDFFF;
    if (c < FIRST_PRINTABLE || (c >= DELETE_CODE && c <= LAST_CONTROL) || c > LAST_CODE || surrogate) return;
    int count = encode(c, bytes), length = (int)strlen(field->text);
    if (length + count >= TEXTFIELD_MAX) return;
    memmove(field->text + field->caret + count, field->text + field->caret,
            (size_t)(length - field->caret + 1));
    memcpy(field->text + field->caret, bytes, (size_t)count);
    field->caret += count;
}

static void erase(TextField *field, int from, int to) {
    memmove(field->text + from, field->text + to, strlen(field->text + to) + 1);
    field->caret = from;
}

void ui_textfield_edit(TextField *field, double edit) {
    int code = (int)edit, length = (int)strlen(field->text);
    if (code > 0) {
        insert(field, (uint32_t)code);
    } else if (code <= TEXT_EDIT_CARET) {
        int to = TEXT_EDIT_CARET - code;
        field->caret = to > length ? length : to;
        while (field->caret > 0 && inside_character(field->text[field->caret]))
            field->caret--;
    } else if (code == TEXT_EDIT_BACK) {
        erase(field, before(field, field->caret), field->caret);
    } else if (code == TEXT_EDIT_DELETE) {
        erase(field, field->caret, after(field, field->caret));
    } else if (code == TEXT_EDIT_LEFT) {
        field->caret = before(field, field->caret);
    } else if (code == TEXT_EDIT_RIGHT) {
        field->caret = after(field, field->caret);
    } else if (code == TEXT_EDIT_HOME) {
        field->caret = 0;
    } else if (code == TEXT_EDIT_END) {
        field->caret = length;
    } else if (code == TEXT_EDIT_CLEAR) {
        memset(field, 0, sizeof *field);
    }
}

void ui_textfield_set(TextField *field, const char *text) {
    int end = (int)strlen(text);
    if (end >= TEXTFIELD_MAX) {
        end = TEXTFIELD_MAX - 1;
        while (end > 0 && inside_character(text[end]))
            end--;
    }
    memcpy(field->text, text, (size_t)end);
    field->text[end] = '\0';
    field->caret = end;
}

void ui_textfield_keys(Ui *ui, IntentKind kind, int number, Intents *intents) {
    if (ui->blocked) return;
    for (int i = 0; i < ui->input.keys; i++) {
        KeyPress press = ui->input.key[i];
        if (press.key == KEY_CHARACTER && press.character >= FIRST_PRINTABLE)
            ui_intents_add(intents, kind, number, (double)press.character, false);
        else if (press.key == KEY_BACKSPACE)
            ui_intents_add(intents, kind, number, TEXT_EDIT_BACK, false);
    }
    int kept = 0;
    for (int i = 0; i < ui->input.keys; i++) {
        Key key = ui->input.key[i].key;
        if (key != KEY_CHARACTER && key != KEY_BACKSPACE) ui->input.key[kept++] = ui->input.key[i];
    }
    ui->input.keys = kept;
}

/* The keys that move in the line. */
static void move_keys(Ui *ui, IntentKind kind, int number, Intents *intents) {
    static const struct {
        Key key;
        int edit;
    } MOVES[] = {{KEY_LEFT, TEXT_EDIT_LEFT},
                 {KEY_RIGHT, TEXT_EDIT_RIGHT},
                 {KEY_HOME, TEXT_EDIT_HOME},
                 {KEY_END, TEXT_EDIT_END},
                 {KEY_DELETE, TEXT_EDIT_DELETE}};
    for (size_t i = 0; i < sizeof MOVES / sizeof MOVES[0]; i++) {
        while (ui_widgets_take_key(ui, MOVES[i].key, NULL))
            ui_intents_add(intents, kind, number, MOVES[i].edit, false);
    }
}

static double width_to(const Ui *ui, const TextField *field, int bytes) {
    char head[TEXTFIELD_MAX];
    memcpy(head, field->text, (size_t)bytes);
    head[bytes] = '\0';
    return bytes == 0 ? 0.0 : ui_draw_text_width(ui->list, FACE_WORDS, TYPE_BODY, head);
}

/* The place between characters nearest to `x_px` from the start of the text. */
static int place_at(const Ui *ui, const TextField *field, double x_px) {
    int best = 0;
    double nearest = fabs(x_px);
    for (int at = 0; field->text[at] != '\0';) {
        at = after(field, at);
        double off = fabs(width_to(ui, field, at) - x_px);
        if (off < nearest) {
            nearest = off;
            best = at;
        }
    }
    return best;
}

void ui_textfield_draw(Ui *ui, int id, Rect rect, const TextField *field, const char *hint, IntentKind kind,
                       int number, Intents *intents) {
    const Theme *t = ui->theme;
    bool focused = ui->focus == id && !ui->blocked;
    if (focused) {
        move_keys(ui, kind, number, intents);
        ui_textfield_keys(ui, kind, number, intents);
    }
    bool hit = ui_pick_area(ui, id, rect);
    char says[UI_LABEL_MAX];
    snprintf(says, sizeof says, "%.28s: %.28s", hint, field->text);
    ui_widgets_tell(ui, UI_ROLE_FIELD, says, false);
    double room = rect.w - 2.0 * TEXT_PAD_PX, caret = width_to(ui, field, field->caret);
    double shift = focused && caret > room - CARET_PX ? caret - room + CARET_PX : 0.0;
    if (hit)
        ui_intents_add(intents, kind, number,
                       TEXT_EDIT_CARET - place_at(ui, field, ui->input.x_px - rect.x - TEXT_PAD_PX + shift),
                       false);
    ui_draw_rect(ui->list, rect, 6.0, t->window);
    ui_draw_frame(ui->list, rect, 6.0, ui_draw_solid(focused ? t->focus : t->edge, focused ? 1.5 : 1.0));
    double x = rect.x + TEXT_PAD_PX, y = rect.y + rect.h / 2.0 + 6.0;
    if (field->text[0] == '\0')
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text3, x + (focused ? 4.0 : 0.0), y,
                         room, hint);
    ui_draw_clip_rect(ui->list, (Rect){x - 1.0, rect.y, room + 2.0, rect.h});
    if (field->text[0] != '\0' && focused)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text1, x - shift, y, field->text);
    else if (field->text[0] != '\0')
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text1, x, y, room, field->text);
    bool lit = ui->reduced_motion || fmod(ui->time_s, 2.0 * CARET_BLINK_S) < CARET_BLINK_S;
    if (focused && lit)
        ui_draw_rect(ui->list, (Rect){x + caret - shift, rect.y + 7.0, CARET_PX, rect.h - 14.0}, 0.0,
                     t->text1);
    ui_draw_unclip(ui->list);
    ui_widgets_focus_ring(ui, id, rect, 6.0);
}
