/* Controls: focus, buttons, keycaps, badges, panels. */
#include "ui/widgets.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define RING_GAP_PX             2.0
#define RING_WIDTH_PX           2.0
#define BADGE_PX                22.0
#define KEYCAP_HEIGHT_PX        26.0
#define PANEL_TITLE_BASELINE_PX 30.0
#define PANEL_HEAD_PX           44.0

static void remove_key(Ui *ui, int index) {
    for (int i = index; i + 1 < ui->input.keys; i++)
        ui->input.key[i] = ui->input.key[i + 1];
    ui->input.keys--;
}

bool ui_widgets_take_key(Ui *ui, Key key, bool *shift) {
    for (int i = 0; i < ui->input.keys; i++) {
        if (ui->input.key[i].key == key) {
            if (shift != NULL) *shift = ui->input.key[i].shift;
            remove_key(ui, i);
            return true;
        }
    }
    return false;
}

static bool takes_focus(const UiItem *item) {
    return !item->mouse_only && !item->off;
}

bool ui_widgets_take_default(Ui *ui) {
    for (int i = 0; ui->focus_shown && i < ui->befores; i++) {
        const UiItem *item = &ui->before[i];
        if (item->id == ui->focus && takes_focus(item) && !item->leaves_enter) return false;
    }
    return ui_widgets_take_key(ui, KEY_ENTER, NULL);
}

static uint32_t lower(uint32_t c) {
    return c >= 'A' && c <= 'Z' ? c + 32 : c;
}

static bool letter(uint32_t c) {
    return lower(c) >= 'a' && lower(c) <= 'z';
}

bool ui_widgets_take_char(Ui *ui, uint32_t character) {
    bool bare = !letter(character) || ui_settings_on(ui->settings, SETTING_letter_keys);
    for (int i = 0; i < ui->input.keys; i++) {
        bool key = ui->input.key[i].key == KEY_ALT || (bare && ui->input.key[i].key == KEY_CHARACTER);
        if (key && lower(ui->input.key[i].character) == lower(character)) {
            remove_key(ui, i);
            return true;
        }
    }
    return false;
}

bool ui_widgets_take_capital(Ui *ui, uint32_t capital) {
    bool bare = ui_settings_on(ui->settings, SETTING_letter_keys);
    for (int i = 0; i < ui->input.keys; i++) {
        const KeyPress *press = &ui->input.key[i];
        bool typed = bare && press->key == KEY_CHARACTER && press->character == capital;
        bool held = press->key == KEY_ALT && press->shift && lower(press->character) == lower(capital);
        if (!typed && !held) continue;
        remove_key(ui, i);
        return true;
    }
    return false;
}

/* Moves the focus to the next or previous control of the last frame that takes it. */
static void move_focus(Ui *ui, bool back) {
    int count = ui->befores, at = back ? 0 : -1;
    for (int i = 0; i < count; i++) {
        if (ui->before[i].id == ui->focus && takes_focus(&ui->before[i])) at = i;
    }
    for (int i = 1; i <= count; i++) {
        int to = (at + (back ? count - i : i)) % count;
        if (to < 0 || !takes_focus(&ui->before[to])) continue;
        ui->focus = ui->before[to].id;
        return;
    }
}

void ui_widgets_begin(Ui *ui, DrawList *list, const Theme *theme, const Input *input) {
    ui->list = list;
    ui->theme = list->theme = theme;
    ui->input = *input;
    ui->items = 0;
    ui->blocked = ui->mouse_only = false;
    ui_draw_clear(list);
    if (input->keys > 0) ui->focus_shown = true;
    if (input->pressed) ui->focus_shown = false;
    bool shift = false;
    while (ui_widgets_take_key(ui, KEY_TAB, &shift))
        move_focus(ui, shift);
}

void ui_widgets_end(Ui *ui) {
    memcpy(ui->before, ui->item, sizeof ui->before);
    ui->befores = ui->items;
    if (ui->input.released || !ui->input.down) ui->active = 0;
}

bool ui_widgets_hovered(const Ui *ui, Rect rect) {
    return !ui->blocked && ui_rect_contains(rect, ui->input.x_px, ui->input.y_px);
}

/* Remembers a control of this frame. */
static void register_item(Ui *ui, int id, Rect rect, bool off) {
    if (ui->blocked || ui->items == UI_ITEMS_MAX) return;
    ui->item[ui->items++] = (UiItem){
        .id = id, .rect = rect, .mouse_only = ui->mouse_only, .off = off, .at = ui->list->command_count};
}

void ui_widgets_tell(Ui *ui, UiRole role, const char *label, bool chosen) {
    if (ui->blocked || ui->items == 0) return;
    UiItem *item = &ui->item[ui->items - 1];
    item->role = role;
    item->chosen = chosen;
    if (label != NULL) snprintf(item->label, sizeof item->label, "%s", label);
}

bool ui_widgets_area(Ui *ui, int id, Rect rect) {
    if (ui->blocked) return false;
    register_item(ui, id, rect, false);
    bool inside = ui_rect_contains(rect, ui->input.x_px, ui->input.y_px);
    bool hit = false;
    if (inside && ui->input.pressed && ui->active == 0) {
        ui->active = id;
        if (!ui->mouse_only) ui->focus = id;
    }
    if (inside && ui->input.released && ui->active == id) hit = true;
    if (!ui->mouse_only && ui->focus == id && ui->focus_shown &&
        (ui_widgets_take_key(ui, KEY_ENTER, NULL) || ui_widgets_take_char(ui, ' ')))
        hit = true;
    return hit;
}

void ui_widgets_focus_ring(Ui *ui, int id, Rect rect, double radius_px) {
    if (ui->blocked || ui->focus != id || !ui->focus_shown) return;
    double width = ui->theme->focus_px, out = RING_GAP_PX + 0.5 * (RING_WIDTH_PX + width);
    out = fmin(out, 5.0); /* regions leave this much around their controls */
    ui_draw_frame(ui->list, ui_rect_inset(rect, -out, -out), radius_px + out,
                  ui_draw_solid(ui->theme->focus, width));
}

static void button_face(Ui *ui, int id, Rect rect, ButtonLook look) {
    const Theme *t = ui->theme;
    Colour fill = look == BUTTON_CHOSEN || look == BUTTON_PRIMARY ? t->text1 : t->raised;
    if (look != BUTTON_OFF && ui_widgets_hovered(ui, rect))
        fill = ui_colour_mix(fill, look == BUTTON_PLAIN ? t->edge : t->panel, ui->active == id ? 0.45 : 0.2);
    ui_draw_rect(ui->list, rect, 6.0, fill);
    ui_draw_frame(ui->list, rect, 6.0, ui_draw_solid(look == BUTTON_OFF ? t->hairline : t->edge, 1.0));
}

static Colour button_ink(const Ui *ui, ButtonLook look) {
    if (look == BUTTON_CHOSEN || look == BUTTON_PRIMARY) return ui->theme->ink;
    return look == BUTTON_OFF ? ui->theme->text3 : ui->theme->text1;
}

bool ui_widgets_button(Ui *ui, int id, Rect rect, const char *label, ButtonLook look) {
    bool hit = look != BUTTON_OFF && ui_widgets_area(ui, id, rect);
    if (look == BUTTON_OFF) register_item(ui, id, rect, true);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, label, look == BUTTON_CHOSEN);
    button_face(ui, id, rect, look);
    ui_draw_text_fit(ui->list, look == BUTTON_PRIMARY ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY,
                     ALIGN_CENTRE, button_ink(ui, look), rect.x + rect.w / 2.0, rect.y + rect.h / 2.0 + 6.0,
                     rect.w - 8.0, label);
    ui_widgets_focus_ring(ui, id, rect, 6.0);
    return hit;
}

static void draw_sign(Ui *ui, Rect rect, char sign, Colour ink) {
    double x = rect.x + rect.w / 2.0, y = rect.y + rect.h / 2.0;
    DrawList *d = ui->list;
    switch (sign) {
    case '+':
        ui_draw_rect(d, (Rect){x - 1.0, y - 9.0, 2.0, 18.0}, 0.0, ink);
        ui_draw_rect(d, (Rect){x - 9.0, y - 1.0, 18.0, 2.0}, 0.0, ink);
        break;
    case '-':
        ui_draw_rect(d, (Rect){x - 9.0, y - 1.0, 18.0, 2.0}, 0.0, ink);
        break;
    case '|':
        ui_draw_rect(d, (Rect){x - 6.0, y - 8.0, 4.0, 16.0}, 0.0, ink);
        ui_draw_rect(d, (Rect){x + 2.0, y - 8.0, 4.0, 16.0}, 0.0, ink);
        break;
    case '>':
        ui_widgets_arrow(d, x + 1.0, y, 16.0, 'r', ink);
        break;
    case 'l':
    case 'r':
        ui_widgets_arrow(d, x, y, 14.0, sign, ink);
        break;
    case '<':
        ui_widgets_arrow(d, x - 5.0, y, 11.0, 'l', ink);
        ui_widgets_arrow(d, x + 5.0, y, 11.0, 'l', ink);
        break;
    case 'F':
        ui_widgets_arrow(d, x - 5.0, y, 11.0, 'r', ink);
        ui_widgets_arrow(d, x + 5.0, y, 11.0, 'r', ink);
        break;
    case 'x':
        ui_draw_line(d, x - 6.0, y - 6.0, x + 6.0, y + 6.0, ui_draw_solid(ink, 2.0));
        ui_draw_line(d, x - 6.0, y + 6.0, x + 6.0, y - 6.0, ui_draw_solid(ink, 2.0));
        break;
    case 'o': /* three sliders */
        for (int i = -1; i <= 1; i++) {
            double row = y + 6.0 * i;
            ui_draw_line(d, x - 9.0, row, x + 9.0, row, ui_draw_solid(ink, 2.0));
            ui_draw_circle(d, x + (i == 0 ? -3.5 : 3.5), row, 3.0, ink);
        }
        break;
    default:
        break;
    }
}

/* What a sign means where nothing else is said. */
static const char *sign_name(char sign) {
    static const struct {
        char sign;
        const char *name;
    } NAMES[] = {{'+', "more"},   {'-', "less"},         {'|', "pause"},      {'>', "go on"}, {'<', "slower"},
                 {'F', "faster"}, {'l', "value before"}, {'r', "next value"}, {'x', "close"},
                 {'o', "settings"}};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        if (NAMES[i].sign == sign) return NAMES[i].name;
    }
    return "";
}

bool ui_widgets_sign_button(Ui *ui, int id, Rect rect, char sign, ButtonLook look) {
    bool hit = look != BUTTON_OFF && ui_widgets_area(ui, id, rect);
    if (look == BUTTON_OFF) register_item(ui, id, rect, true);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, sign_name(sign), false);
    button_face(ui, id, rect, look);
    draw_sign(ui, rect, sign, button_ink(ui, look));
    ui_widgets_focus_ring(ui, id, rect, 6.0);
    return hit;
}

double ui_widgets_keycap(Ui *ui, double x, double y, const char *key) {
    const Theme *t = ui->theme;
    double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, key) + 12.0;
    w = w < KEYCAP_HEIGHT_PX ? KEYCAP_HEIGHT_PX : w;
    Rect cap = {x, y, w, KEYCAP_HEIGHT_PX};
    ui_draw_rect(ui->list, cap, 4.0, t->raised);
    ui_draw_frame(ui->list, cap, 4.0, ui_draw_solid(t->edge, 1.0));
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text1, x + w / 2.0, y + 19.0, key);
    return w;
}

Rect ui_widgets_panel(Ui *ui, Rect rect, const char *title, const char *note) {
    const Theme *t = ui->theme;
    ui_draw_rect(ui->list, rect, PANEL_RADIUS, t->panel);
    double room = rect.w - 2.0 * PANEL_PAD;
    if (title == NULL) return ui_rect_inset(rect, PANEL_PAD, PANEL_PAD);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, rect.x + PANEL_PAD,
                     rect.y + PANEL_TITLE_BASELINE_PX, room, title);
    if (note != NULL) {
        double used = ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, title) + 24.0;
        if (room - used > 60.0)
            ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3,
                             rect.x + rect.w - PANEL_PAD, rect.y + PANEL_TITLE_BASELINE_PX, room - used,
                             note);
    }
    return (Rect){rect.x + PANEL_PAD, rect.y + PANEL_HEAD_PX, room, rect.h - PANEL_HEAD_PX - 8.0};
}

void ui_widgets_badge(DrawList *list, const Theme *theme, double x, double y, Side side) {
    ui_draw_rect(list, (Rect){x, y, BADGE_PX, BADGE_PX}, 5.0, theme->side[side]);
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, theme->ink, x + BADGE_PX / 2.0, y + 17.0,
                 ui_theme_letter(side));
}

void ui_widgets_arrow(DrawList *list, double x, double y, double size_px, char direction, Colour colour) {
    double h = size_px / 2.0, point[3][2] = {{h, 0.0}, {-h, -h}, {-h, h}};
    ui_draw_path(list);
    for (int i = 0; i < 3; i++) {
        double a = point[i][0], b = point[i][1];
        double px = direction == 'r' ? a : direction == 'l' ? -a : b;
        double py = direction == 'd' ? a : direction == 'u' ? -a : b;
        if (i == 0)
            ui_draw_move(list, x + px, y + py);
        else
            ui_draw_to(list, x + px, y + py);
    }
    ui_draw_close(list);
    ui_draw_fill(list, colour);
}
