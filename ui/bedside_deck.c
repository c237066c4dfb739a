/* Orders: the F-keys of the groups and the rows of the open one. A change is pending until it is confirmed.
 */
#include "ui/bedside.h"
#include "ui/sheet.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_GROUP = UI_BEDSIDE_GROUP_ID, ID_CONFIRM = 30, ID_DROP, ID_ROW = 100, IDS_PER_ROW = 5 };
enum { PART_ROW, PART_MINUS, PART_PLUS, PART_TRACK, PART_DO };

#define KNOB_PX        7.0
#define TICK_COUNT     5
#define TRACK_LEAST_PX 60.0

/* Columns of a row, from its left edge. */
typedef struct RowColumns {
    double name, value, value_w, track, track_w, note, note_w, minus, plus, button_w, button_h;
} RowColumns;

static RowColumns columns(const BedsideLayout *l, Rect row) {
    bool wide = l->wide;
    RowColumns c = {.name = 12.0, .button_w = wide ? 50.0 : 44.0, .button_h = wide ? 40.0 : 34.0};
    c.plus = row.w - c.button_w - 8.0;
    c.minus = c.plus - c.button_w - 10.0;
    c.note_w = wide ? 128.0 : 92.0;
    c.note = c.minus - c.note_w - 12.0;
    c.value = (wide ? 0.225 : 0.29) * row.w;
    c.value_w = wide ? 250.0 : 190.0;
    c.track = c.value + c.value_w + 16.0;
    c.track_w = c.note - c.track - 20.0;
    if (c.track_w < TRACK_LEAST_PX) { /* no room for a track: the value takes its place */
        c.track_w = 0.0;
        c.value_w = c.note - c.value - 12.0;
    }
    return c;
}

/* Chart and call side by side. */
static void draw_tools(Ui *ui, Rect r, double gap, Intents *intents) {
    double half = floor((r.w - gap) / 2.0);
    ui_bedside_tool(ui, SHEET_CHART, (Rect){r.x, r.y, half, r.h}, intents);
    ui_bedside_tool(ui, SHEET_CALL, (Rect){r.x + half + gap, r.y, r.w - half - gap, r.h}, intents);
}

static void draw_keys(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_KEYS, ui_rect_inset(l->keys, -5.0, -5.0));
    ui_draw_rect(ui->list, ui_rect_inset(l->keys, -5.0, -5.0), 0.0, t->window);
    double gap = l->wide ? 8.0 : 4.0, h = floor((l->keys.h - gap * DECK_GROUPS) / (DECK_GROUPS + 1));
    for (int i = 0; i < v->deck.groups; i++) {
        Rect r = {l->keys.x, l->keys.y + i * (h + gap), l->keys.w, h};
        bool open = i == v->deck.open_group;
        if (ui_widgets_area(ui, ID_GROUP + i, r)) ui_intents_add(intents, INTENT_GROUP, i, 0.0, false);
        ui_widgets_tell(ui, UI_ROLE_TAB, NULL, open);
        Colour face = open || ui_widgets_hovered(ui, r) ? t->raised : t->panel;
        ui_draw_rect(ui->list, r, 7.0, face);
        if (open) {
            ui_draw_frame(ui->list, r, 7.0, ui_draw_solid(t->text1, 2.0));
            ui_draw_rect(ui->list, (Rect){r.x + 2.0, r.y + 8.0, 4.0, r.h - 16.0}, 2.0, t->text1);
        }
        char key[TEXT_SHORT];
        snprintf(key, sizeof key, "F%d", i + 1);
        double mid = r.y + r.h / 2.0, x = r.x + (l->wide ? 14.0 : 10.0);
        x += ui_widgets_keycap(ui, x, mid - 13.0, key) + (l->wide ? 12.0 : 7.0);
        ui_draw_text_fit(ui->list, open ? FACE_WORDS_STRONG : FACE_WORDS, l->wide ? TYPE_BODY : TYPE_NOTE,
                         ALIGN_LEFT, open ? t->text1 : t->text2, x, mid + 6.0, r.x + r.w - 4.0 - x,
                         v->deck.group[i].name);
        if (v->deck.group[i].pending > 0)
            ui_draw_ring(ui->list, r.x + r.w - 12.0, r.y + 12.0, 4.0, ui_draw_solid(t->text1, 1.5));
        ui_widgets_focus_ring(ui, ID_GROUP + i, ui_rect_inset(r, 4.0, 4.0), 5.0);
    }
    double y = l->keys.y + DECK_GROUPS * (h + gap);
    draw_tools(ui, (Rect){l->keys.x, y, l->keys.w, l->keys.y + l->keys.h - y}, gap, intents);
}

static double track_x(const DeckRow *row, const RowColumns *c, double x, double value) {
    double share = row->high > row->low ? (value - row->low) / (row->high - row->low) : 0.0;
    return x + c->track + c->track_w * fmin(fmax(share, 0.0), 1.0);
}

/* The line with ticks, the running value's knob, and for a pending change: open ring, dots, new knob. */
static void draw_track(Ui *ui, const DeckRow *row, Rect r, const RowColumns *c) {
    const Theme *t = ui->theme;
    DrawList *d = ui->list;
    double y = r.y + r.h / 2.0, x0 = r.x + c->track, now = track_x(row, c, r.x, row->current);
    double next = track_x(row, c, r.x, row->pending);
    ui_draw_rect(d, (Rect){x0, y - 3.0, c->track_w, 6.0}, 3.0, ui_colour_mix(t->raised, t->edge, 0.25));
    for (int i = 0; i < TICK_COUNT; i++) {
        double x = x0 + c->track_w * i / (TICK_COUNT - 1);
        ui_draw_line(d, x, y + 9.0, x, y + 14.0, ui_draw_solid(t->edge, 1.0));
    }
    Colour knob = row->allowed && (row->current > row->low || row->is_pending) ? t->text1 : t->text3;
    if (!row->is_pending) {
        ui_draw_rect(d, (Rect){x0, y - 3.0, fmax(now - x0, 0.0), 6.0}, 3.0, t->text2);
        ui_draw_circle(d, now, y, KNOB_PX, knob);
        return;
    }
    double from = fmin(now, next), to = fmax(now, next);
    for (double x = from + KNOB_PX + 5.0; x < to - KNOB_PX - 1.0; x += 9.0)
        ui_draw_circle(d, x, y, 2.0, t->text1);
    ui_draw_circle(d, now, y, KNOB_PX - 1.0, t->raised);
    ui_draw_ring(d, now, y, KNOB_PX - 1.0, ui_draw_solid(t->text1, 2.0));
    ui_draw_circle(d, next, y, KNOB_PX, t->text1);
}

static double value_text(Ui *ui, FontFace face, double size, Colour colour, double x, double y,
                         const char *text) {
    ui_draw_text(ui->list, face, size, ALIGN_LEFT, colour, x, y, text);
    return x + ui_draw_text_width(ui->list, face, size, text);
}

/* "0.00 -> 0.25 mcg/kg/min", "VVI", "250 mL". */
static void draw_value(Ui *ui, const DeckView *deck, const DeckRow *row, bool focused, Rect r,
                       const RowColumns *c, bool wide) {
    const Theme *t = ui->theme;
    double x = r.x + c->value, y = r.y + r.h / 2.0 + 8.0, end = x + c->value_w;
    char now[TEXT_SHORT], next[TEXT_SHORT + 2];
    ui_tiles_format(now, sizeof now, row->current, row->decimals);
    ui_tiles_format(next, sizeof next, row->pending, row->decimals);
    bool word = row->kind == DECK_CHOICE;
    bool typing = focused && deck->entry[0] != '\0';
    if (typing) snprintf(next, sizeof next, "%s_", deck->entry);
    const char *from = word ? row->current_word : now, *to = word ? row->pending_word : next;
    FontFace strong = word ? FACE_WORDS_STRONG : FACE_DIGITS_STRONG, plain = word ? FACE_WORDS : FACE_DIGITS;
    double big = word ? TYPE_BODY : wide ? 24.0 : 21.0, small = word ? TYPE_BODY : wide ? 20.0 : 17.0;
    if ((row->is_pending || typing) && row->kind != DECK_DOSE) {
        x = value_text(ui, plain, small, t->text2, x, y, from) + 8.0;
        ui_draw_line(ui->list, x, y - 7.5, x + 12.0, y - 7.5, ui_draw_solid(t->text1, 2.0));
        ui_widgets_arrow(ui->list, x + 15.0, y - 7.5, 9.0, 'r', t->text1);
        x = value_text(ui, strong, big, t->text1, x + 26.0, y, to);
    } else {
        bool off = row->kind == DECK_LEVEL && row->current <= 0.0;
        x = value_text(ui, strong, big, off || !row->allowed ? t->text3 : t->text1, x, y,
                       row->kind == DECK_DOSE ? next : from);
    }
    if (!word && end - x > 30.0)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x + 8.0, y, end - x - 8.0,
                         row->unit);
}

/* Which row a stepper belongs to. */
static void tell_step(Ui *ui, const char *what, const char *row) {
    char label[UI_LABEL_MAX];
    snprintf(label, sizeof label, "%s: %.50s", what, row);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, label, false);
}

/* Steppers and the track answer the mouse; keys go to the row with the focus. */
static void row_controls(Ui *ui, const DeckRow *row, int index, Rect r, const RowColumns *c,
                         Intents *intents) {
    int id = ID_ROW + index * IDS_PER_ROW;
    double y = r.y + (r.h - c->button_h) / 2.0;
    ButtonLook look = row->allowed ? BUTTON_PLAIN : BUTTON_OFF;
    if (row->kind == DECK_ACT) {
        Rect button = {r.x + c->minus, y, 2.0 * c->button_w + 10.0, c->button_h};
        if (ui_widgets_button(ui, id + PART_DO, button, row->current_word,
                              row->is_pending ? BUTTON_CHOSEN : look))
            ui_intents_add(intents, INTENT_STEP, index, 1.0, false);
        return;
    }
    if (ui_widgets_sign_button(ui, id + PART_MINUS, (Rect){r.x + c->minus, y, c->button_w, c->button_h}, '-',
                               look))
        ui_intents_add(intents, INTENT_STEP, index, -1.0, false);
    tell_step(ui, "less", row->name);
    if (ui_widgets_sign_button(ui, id + PART_PLUS, (Rect){r.x + c->plus, y, c->button_w, c->button_h}, '+',
                               look))
        ui_intents_add(intents, INTENT_STEP, index, 1.0, false);
    tell_step(ui, "more", row->name);
    Rect track = {r.x + c->track - 8.0, r.y + r.h / 2.0 - 14.0, c->track_w + 16.0, 28.0};
    bool level = row->kind == DECK_LEVEL || row->kind == DECK_DOSE;
    if (level && row->allowed && c->track_w > 0.0 && ui_widgets_area(ui, id + PART_TRACK, track)) {
        double share = fmin(fmax((ui->input.x_px - r.x - c->track) / c->track_w, 0.0), 1.0);
        double value = row->low + share * (row->high - row->low);
        ui_intents_add(intents, INTENT_SET, index, round(value / row->step) * row->step, false);
    }
    if (level && row->allowed && c->track_w > 0.0) ui_widgets_tell(ui, UI_ROLE_TRACK, row->name, false);
}

static void draw_row(Ui *ui, const BedsideLayout *l, const BedsideView *v, int index, Rect r,
                     Intents *intents) {
    const Theme *t = ui->theme;
    const DeckRow *row = &v->deck.row[index];
    RowColumns c = columns(l, r);
    bool focused = index == v->deck.focus_row;
    if (row->is_pending || focused) ui_draw_rect(ui->list, r, 6.0, t->selected);
    if (focused) ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(ui->focus == 0 ? t->text1 : t->edge, 2.0));
    bool two = row->detail[0] != '\0' && r.h >= 40.0;
    double mid = r.y + r.h / 2.0,
           name_w = row->kind == DECK_ACT ? c.note - c.name - 12.0 : c.value - c.name - 8.0;
    ui_draw_text_fit(ui->list, row->allowed ? FACE_WORDS_STRONG : FACE_WORDS, l->wide ? TYPE_BODY : TYPE_NOTE,
                     ALIGN_LEFT, row->allowed ? t->text1 : t->text3, r.x + c.name, mid + (two ? -4.0 : 6.0),
                     name_w, row->name);
    if (two)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, r.x + c.name, mid + 15.0,
                         name_w, row->detail);
    if (row->kind != DECK_ACT) {
        draw_value(ui, &v->deck, row, focused, r, &c, l->wide);
        if (row->kind != DECK_CHOICE && c.track_w > 0.0) draw_track(ui, row, r, &c);
    }
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, row->is_pending ? t->text1 : t->text3,
                     r.x + c.note + c.note_w, mid + 6.0, c.note_w, row->note);
    row_controls(ui, row, index, r, &c, intents);
    if (ui_widgets_area(ui, ID_ROW + index * IDS_PER_ROW + PART_ROW, r))
        ui_intents_add(intents, INTENT_ROW, index, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_ROW, NULL, focused);
}

/* One line at the right, or two where the words are many. */
static void draw_hint(Ui *ui, Rect room, const char *hint, bool problem) {
    FontFace face = problem ? FACE_WORDS_STRONG : FACE_WORDS;
    Colour ink = problem ? ui->theme->text1 : ui->theme->text3;
    if (ui_draw_text_width(ui->list, face, TYPE_NOTE, hint) <= room.w)
        ui_draw_text(ui->list, face, TYPE_NOTE, ALIGN_RIGHT, ink, room.x + room.w, room.y + 30.0, hint);
    else
        (void)ui_draw_text_wrap(ui->list, face, TYPE_NOTE, ink, room.x, room.y + 20.0, room.w, 19.0, 2, hint);
}

/* Right of the title: the buttons to confirm or drop, a refusal, or how the keys work. */
static void draw_head(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const DeckView *deck = &v->deck;
    int pending = 0;
    for (int i = 0; i < deck->groups; i++)
        pending += deck->group[i].pending;
    Rect d = l->deck;
    double right = d.x + d.w - 12.0, y = d.y + (l->compact ? 4.0 : 8.0);
    double title =
        ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, deck->group[deck->open_group].title);
    double left = d.x + PANEL_PAD + title + 20.0;
    if (pending > 0) {
        ui->mouse_only = false;
        char text[TEXT_SHORT];
        snprintf(text, sizeof text, pending == 1 ? "Confirm" : "Confirm %d", pending);
        Rect drop = {right - 76.0, y, 76.0, 32.0}, confirm = {right - 76.0 - 8.0 - 116.0, y, 116.0, 32.0};
        if (ui_widgets_button(ui, ID_CONFIRM, confirm, text, BUTTON_PRIMARY))
            ui_intents_add(intents, INTENT_CONFIRM, deck->focus_row, 0.0, false);
        if (ui_widgets_button(ui, ID_DROP, drop, "Drop", BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_DROP, deck->focus_row, 0.0, false);
        right = confirm.x - 14.0;
    }
    const char *caution = deck->rows > 0 ? deck->row[deck->focus_row].caution : "";
    const char *hint = deck->problem[0] != '\0' ? deck->problem
                       : pending > 0            ? (caution[0] != '\0' ? caution : "Enter confirms, Esc drops")
                       : l->wide ? "select with \u2191 \u2193, change with \u2212 +, confirm with Enter"
                                 : "\u2191 \u2193, \u2212 +, Enter";
    if (right - left > 80.0)
        draw_hint(ui, (Rect){left, d.y, right - left, l->deck_head}, hint, deck->problem[0] != '\0');
}

/* Under a short list there is room for what to mind with the row that has the focus. */
static void draw_notes(Ui *ui, const DeckView *deck, Rect room) {
    const Theme *t = ui->theme;
    if (deck->rows == 0) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text3, room.x, room.y + 24.0,
                     "nothing to order here in this case");
        return;
    }
    const DeckRow *row = &deck->row[deck->focus_row];
    if (room.h < 60.0 || row->caution[0] == '\0') return;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text2, room.x, room.y + 30.0, "Mind");
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, t->text2, room.x + 52.0, room.y + 30.0,
                            room.w - 52.0, 22.0, 2, row->caution);
}

void ui_bedside_deck(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    const DeckView *deck = &v->deck;
    if (!l->compact) draw_keys(ui, l, v, intents);
    ui_draw_region(ui->list, REGION_DECK, ui_rect_inset(l->deck, -2.0, -2.0));
    ui_draw_rect(ui->list, ui_rect_inset(l->deck, -2.0, -2.0), 0.0, t->window);
    if (deck->groups == 0) return;
    (void)ui_widgets_panel(ui, l->deck, deck->group[deck->open_group].title, NULL);
    draw_head(ui, l, v, intents);
    Rect area = {l->deck.x + 8.0, l->deck.y + l->deck_head, l->deck.w - 16.0, l->deck.h - l->deck_head - 6.0};
    double h = floor(area.h / l->deck_rows);
    h = fmin(h, l->wide ? 58.0 : 46.0);
    bool scrolls = deck->rows > l->deck_rows;
    ui->mouse_only = true;
    for (int i = 0; i < l->deck_rows && deck->first_row + i < deck->rows; i++) {
        Rect r = {area.x, area.y + i * h, area.w - (scrolls ? 12.0 : 0.0), h - 2.0};
        draw_row(ui, l, v, deck->first_row + i, r, intents);
    }
    ui->mouse_only = false;
    draw_notes(ui, deck,
               (Rect){area.x + 12.0, area.y + deck->rows * h, area.w - 24.0, area.h - deck->rows * h});
    if (scrolls) {
        double track = h * l->deck_rows - 4.0, part = track * l->deck_rows / deck->rows;
        double top = area.y + track * deck->first_row / deck->rows;
        ui_draw_rect(ui->list, (Rect){area.x + area.w - 6.0, area.y, 5.0, track}, 2.5, t->raised);
        ui_draw_rect(ui->list, (Rect){area.x + area.w - 6.0, top, 5.0, part}, 2.5, t->edge);
    }
    if (ui_widgets_hovered(ui, l->deck) && fabs(ui->input.wheel) > 0.0) {
        int to = deck->focus_row + (ui->input.wheel < 0.0 ? 1 : -1);
        if (to >= 0 && to < deck->rows) ui_intents_add(intents, INTENT_ROW, to, 0.0, false);
    }
}
