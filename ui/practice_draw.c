/* The page of free practice: loops, truth, and the list of causes and controls. */
#include "ui/practice.h"

#include "model/people.h"
#include "ui/pick.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { AREA_GROUND, AREA_TOP, AREA_LEFT, AREA_RIGHT, AREA_TRUTH, AREA_HEAD, AREA_ROWS, AREA_FOOT };
enum {
    ID_SLOWER = 2201,
    ID_PAUSE,
    ID_FASTER,
    ID_BEDSIDE,
    ID_BEFORE,
    ID_AFTER,
    ID_SEARCH,
    ID_OVER_LESS,
    ID_OVER_MORE,
    ID_SET,
    ID_BACK,
    ID_KEEP,
    ID_SAVE,
    ID_ROWS = 2300
};
enum { PARTS_A_ROW = 4, PART_AREA = 0, PART_LESS, PART_MORE, PART_TRACK };

#define SMALL_PX      820.0
#define TOP_PX        52.0
#define MARGIN_PX     8.0
#define GAP_PX        8.0
#define HEAD_PX       98.0
#define FOOT_PX       138.0
#define FOOT_SHORT_PX 98.0
#define ROW_PX        62.0
#define BUTTON_PX     36.0
#define TRUTH_ROW_PX  23.0
#define TRUTH_CELL_PX 244.0
#define KNOB_PX       7.0

/* Where the parts of the page lie. */
typedef struct PageLayout {
    Rect top, loop[2], truth, head, rows, foot;
    int truth_columns;
} PageLayout;

static PageLayout layout_page(Rect screen, int truths) {
    PageLayout l;
    Rect rest = screen;
    l.top = ui_rect_cut_top(&rest, TOP_PX);
    rest = ui_rect_inset(rest, MARGIN_PX, 0.0);
    (void)ui_rect_cut_bottom(&rest, MARGIN_PX);
    bool small = screen.w < SMALL_PX; /* loops above each other, no table of truths */
    Rect side = ui_rect_cut_right(&rest, small ? floor(0.52 * screen.w)
                                               : floor(fmin(fmax(0.39 * screen.w, 400.0), 640.0)));
    (void)ui_rect_cut_right(&rest, GAP_PX);
    l.head = ui_rect_cut_top(&side, HEAD_PX);
    l.foot = ui_rect_cut_bottom(&side, FOOT_PX);
    l.rows = side;
    if (small) {
        l.truth = (Rect){0};
        l.truth_columns = 1;
        l.loop[0] = ui_rect_cut_top(&rest, floor((rest.h - GAP_PX) / 2.0));
        (void)ui_rect_cut_top(&rest, GAP_PX);
        l.loop[1] = rest;
        return l;
    }
    l.truth_columns = (int)fmax(floor(rest.w / TRUTH_CELL_PX), 2.0);
    int lines = (truths + l.truth_columns - 1) / l.truth_columns;
    double most = floor(0.42 * rest.h / TRUTH_ROW_PX) * TRUTH_ROW_PX + 18.0;
    l.truth = ui_rect_cut_bottom(&rest, fmin(lines * TRUTH_ROW_PX + 18.0, most));
    (void)ui_rect_cut_bottom(&rest, GAP_PX);
    double w = floor((rest.w - GAP_PX) / 2.0);
    l.loop[0] = ui_rect_cut_left(&rest, w);
    (void)ui_rect_cut_left(&rest, GAP_PX);
    l.loop[1] = rest;
    return l;
}

static void area(Ui *ui, int id, Rect r) {
    ui_draw_region(ui->list, id, r);
    ui_draw_rect(ui->list, r, 0.0, ui->theme->window);
}

static void draw_top(Ui *ui, Rect r, const PracticeView *p, Intents *intents) {
    const Theme *t = ui->theme;
    area(ui, AREA_TOP, r);
    char text[TEXT_LINE];
    Rect back = {r.x + r.w - 130.0 - MARGIN_PX, r.y + 8.0, 130.0, BUTTON_PX};
    double buttons = back.x - 3.0 * 48.0 - 150.0;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text2, buttons - 24.0, r.y + 33.0,
                 "TRAINING ONLY");
    if (r.w >= SMALL_PX) {
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, r.x + 16.0, r.y + 33.0,
                     "Free practice");
        double x =
            r.x + 16.0 + ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, "Free practice") + 20.0;
        PersonId person = model_people_find(p->person);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, r.y + 32.0,
                         buttons - x - 180.0, person < PERSON_COUNT ? model_people_text(person) : p->person);
    }
    char clock[TEXT_SHORT];
    ui_tiles_clock(clock, sizeof clock, p->time_s, true);
    ui_draw_text(ui->list, FACE_DIGITS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, buttons, r.y + 33.0, clock);
    Rect b = {buttons + 108.0, r.y + 8.0, 40.0, BUTTON_PX};
    if (ui_widgets_sign_button(ui, ID_SLOWER, b, '<', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "slower", false);
    b.x += 44.0;
    if (ui_widgets_sign_button(ui, ID_PAUSE, b, p->paused ? '>' : '|', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, p->paused ? "go on" : "pause", false);
    b.x += 44.0;
    if (ui_widgets_sign_button(ui, ID_FASTER, b, 'F', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "faster", false);
    snprintf(text, sizeof text, p->paused ? "waits" : "\u00d7%.0f", p->rate_x);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, b.x + 48.0, r.y + 32.0, text);
    if (ui_widgets_button(ui, ID_BEDSIDE, back, "Bedside  Esc", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}

static void draw_truth(Ui *ui, Rect r, const PracticeView *p, int columns) {
    const Theme *t = ui->theme;
    area(ui, AREA_TRUTH, r);
    ui_draw_rect(ui->list, r, PANEL_RADIUS, t->panel);
    int lines = (int)floor((r.h - 16.0) / TRUTH_ROW_PX);
    double w = (r.w - 24.0) / columns;
    for (int i = 0; i < p->truths && i < lines * columns; i++) {
        double x = r.x + 12.0 + i / lines * w, y = r.y + 24.0 + i % lines * TRUTH_ROW_PX;
        double units = w > 240.0 ? 84.0 : 76.0, right = x + w - units - 10.0;
        double number = ui_draw_text_width(ui->list, FACE_DIGITS, TYPE_NOTE, p->truth[i].value);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y,
                         right - number - x - 6.0, p->truth[i].name);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text1, right, y, p->truth[i].value);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, right + 6.0, y, units,
                         p->truth[i].unit);
    }
}

static void draw_head(Ui *ui, Rect r, int region, const PracticeView *p, int rows, Intents *intents) {
    const Theme *t = ui->theme;
    area(ui, region, r);
    ui_draw_rect(ui->list, (Rect){r.x, r.y, r.w, r.h + PANEL_RADIUS}, PANEL_RADIUS, t->panel);
    Rect before = {r.x + 12.0, r.y + 8.0, 40.0, BUTTON_PX}, after = before;
    after.x = r.x + r.w - 52.0;
    bool back = ui_widgets_sign_button(ui, ID_BEFORE, before, 'l', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "group before", false);
    bool forth = ui_widgets_sign_button(ui, ID_AFTER, after, 'r', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "next group", false);
    char text[TEXT_LINE];
    if (p->search.text[0] != '\0')
        snprintf(text, sizeof text, "%d found in all groups", rows);
    else
        snprintf(text, sizeof text, "%s", ui_practice_group_name(p->group));
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_CENTRE, t->text1, r.x + r.w / 2.0,
                     r.y + 33.0, r.w - 130.0, text);
    Rect search = {r.x + 12.0, r.y + 52.0, r.w - 24.0, BUTTON_PX};
    bool slash = ui->focus != ID_SEARCH && ui_widgets_take_char(ui, '/');
    ui_textfield_draw(ui, ID_SEARCH, search, &p->search, "/  search: a name, a part, a key", INTENT_PART,
                      PRACTICE_PART_SEARCH, intents);
    if (slash) ui->focus = ID_SEARCH;
    if (ui->focus == ID_SEARCH && ui_widgets_take_key(ui, KEY_ENTER, NULL)) ui->focus = 0;
    if (ui->focus == ID_SEARCH && p->search.text[0] != '\0' && ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_SEARCH, TEXT_EDIT_CLEAR, false);
    while (ui_widgets_take_char(ui, '['))
        back = true;
    while (ui_widgets_take_char(ui, ']'))
        forth = true;
    if (back) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_GROUP, -1.0, false);
    if (forth) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_GROUP, 1.0, false);
}

static void value_text(char *text, size_t size, double value) {
    snprintf(text, size, "%.4g", value);
    if (text[0] == '-') { /* a true minus sign */
        char digits[TEXT_SHORT - 4];
        snprintf(digits, sizeof digits, "%.4g", -value);
        snprintf(text, size, "\u2212%s", digits);
    }
}

static double track_x(Rect track, const ParameterRow *row, double value) {
    double share = (value - row->low) / (row->high - row->low);
    return track.x + track.w * fmin(fmax(share, 0.0), 1.0);
}

/* The line from the least to the greatest value: a mark where it began, a ring where it is, a knob where it
   is wanted. */
static void draw_track(Ui *ui, int id, Rect track, const PracticeView *p, ParameterId param,
                       Intents *intents) {
    const Theme *t = ui->theme;
    const ParameterRow *row = model_parameters_row(param);
    double y = track.y + track.h / 2.0, now = track_x(track, row, model_parameters_get(&p->now, param));
    double start = track_x(track, row, model_parameters_get(&p->start, param));
    double wanted = track_x(track, row, ui_practice_wanted(p, param));
    ui->mouse_only = true;
    bool hit = ui_pick_area(ui, id, track);
    ui_widgets_tell(ui, UI_ROLE_TRACK, row->key, p->pending[param]);
    ui->mouse_only = false;
    if (hit || (ui->active == id && ui->input.down)) {
        double share = fmin(fmax((ui->input.x_px - track.x) / track.w, 0.0), 1.0);
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_FOCUS, param, false);
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_VALUE, row->low + share * (row->high - row->low),
                       false);
    }
    ui_draw_rect(ui->list, (Rect){track.x, y - 3.0, track.w, 6.0}, 3.0,
                 ui_colour_mix(t->raised, t->edge, 0.25));
    ui_draw_line(ui->list, start, y - 9.0, start, y + 9.0, ui_draw_solid(t->text3, 1.5));
    if (!p->pending[param]) {
        ui_draw_rect(ui->list, (Rect){track.x, y - 3.0, fmax(now - track.x, 0.0), 6.0}, 3.0, t->text2);
        ui_draw_circle(ui->list, now, y, KNOB_PX, t->text1);
        return;
    }
    ui_draw_circle(ui->list, now, y, KNOB_PX - 1.0, t->panel);
    ui_draw_ring(ui->list, now, y, KNOB_PX - 1.0, ui_draw_solid(t->text1, 2.0));
    ui_draw_circle(ui->list, wanted, y, KNOB_PX, t->text1);
}

static void draw_row(Ui *ui, Rect r, const PracticeView *p, ParameterId param, int index, Intents *intents) {
    const Theme *t = ui->theme;
    const ParameterRow *row = model_parameters_row(param);
    int id = ID_ROWS + index * PARTS_A_ROW;
    bool focused = param == p->focus;
    Rect less = {r.x + r.w - 88.0, r.y + 28.0, 40.0, 28.0}, more = less;
    more.x += 44.0;
    Rect track = {r.x + 20.0, r.y + 28.0, less.x - r.x - 40.0, 28.0};
    if (focused) {
        ui_draw_rect(ui->list, r, 6.0, t->selected);
        ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->text1, 1.5));
    }
    ui->mouse_only = true;
    bool minus = ui_widgets_sign_button(ui, id + PART_LESS, less, '-', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "less", false);
    bool plus = ui_widgets_sign_button(ui, id + PART_MORE, more, '+', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "more", false);
    bool chosen = ui_pick_area(ui, id + PART_AREA, (Rect){r.x, r.y, r.w, 28.0});
    ui_widgets_tell(ui, UI_ROLE_ROW, NULL, focused);
    ui->mouse_only = false;
    if (chosen || minus || plus) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_FOCUS, param, false);
    if (minus) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_STEP, -1.0, false);
    if (plus) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_STEP, 1.0, false);
    char now[TEXT_SHORT], wanted[TEXT_SHORT], text[TEXT_LINE];
    value_text(now, sizeof now, model_parameters_get(&p->now, param));
    value_text(wanted, sizeof wanted, ui_practice_wanted(p, param));
    if (focused && p->entry[0] != '\0')
        snprintf(text, sizeof text, "%s_", p->entry);
    else if (p->pending[param])
        snprintf(text, sizeof text, "%s \u2192 %s", now, wanted);
    else
        snprintf(text, sizeof text, "%s", now);
    const char *unit = strcmp(row->unit, "RhythmKind") == 0 ? "" : row->unit;
    double unit_w = fmin(ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, unit), 110.0);
    double right = r.x + r.w - 10.0, value_right = right - unit_w - (unit_w > 0.0 ? 6.0 : 0.0);
    double value_w = ui_draw_text_width(ui->list, FACE_DIGITS, TYPE_NOTE, text);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, right - unit_w, r.y + 21.0,
                     unit_w + 1.0, unit);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text1, value_right, r.y + 21.0, text);
    ui_draw_text_fit(ui->list, focused ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1,
                     r.x + 12.0, r.y + 21.0, value_right - value_w - r.x - 24.0, row->text);
    draw_track(ui, id + PART_TRACK, track, p, param, intents);
}

/* The rows of the group, the one with the focus in view. */
static void draw_rows(Ui *ui, Rect r, int region, const PracticeView *p, const ParameterId *rows, int count,
                      int at, Intents *intents) {
    const Theme *t = ui->theme;
    area(ui, region, r);
    ui_draw_rect(ui->list, r, 0.0, t->panel);
    int visible = (int)fmax(floor(r.h / ROW_PX), 1.0);
    int first = at < visible ? 0 : at - visible + 1;
    for (int i = first; i < count && i < first + visible; i++)
        draw_row(ui, (Rect){r.x + 8.0, r.y + (i - first) * ROW_PX + 2.0, r.w - 24.0, ROW_PX - 4.0}, p,
                 rows[i], i - first, intents);
    if (count == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_CENTRE, t->text3, r.x + r.w / 2.0, r.y + 40.0,
                     "nothing has these words");
    if (count <= visible) return;
    Rect track = {r.x + r.w - 11.0, r.y + 4.0, 6.0, r.h - 8.0};
    double part = track.h * visible / count;
    ui_draw_rect(ui->list, track, 3.0, t->raised);
    ui_draw_rect(ui->list,
                 (Rect){track.x, track.y + (track.h - part) * first / (count - visible), track.w, part}, 3.0,
                 t->edge);
}

/* What is done with all rows, and with the loops. */
static void draw_buttons(Ui *ui, Rect last, Intents *intents) {
    double button = floor((last.w - 20.0) / 3.0);
    bool back = ui_widgets_button(ui, ID_BACK, ui_rect_cut_left(&last, button), "Del  Reset", BUTTON_PLAIN);
    (void)ui_rect_cut_left(&last, 10.0);
    bool keep =
        ui_widgets_button(ui, ID_KEEP, ui_rect_cut_left(&last, button), "K  Keep loops", BUTTON_PLAIN);
    (void)ui_rect_cut_left(&last, 10.0);
    bool save = ui_widgets_button(ui, ID_SAVE, last, "W  Write", BUTTON_PLAIN);
    back = ui_widgets_take_key(ui, KEY_DELETE, NULL) || back;
    keep = ui_widgets_take_char(ui, 'k') || keep;
    save = ui_widgets_take_char(ui, 'w') || save;
    if (back) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_BACK, 0.0, false);
    if (keep) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_KEEP, 0.0, false);
    if (save) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_SAVE, 0.0, false);
}

/* What is known of the row with the focus, the time a change takes, and, with `keys`, Enter. */
static void draw_foot(Ui *ui, Rect r, int region, const PracticeView *p, bool any, bool keys,
                      Intents *intents) {
    const Theme *t = ui->theme;
    area(ui, region, r);
    ui_draw_rect(ui->list, (Rect){r.x, r.y - PANEL_RADIUS, r.w, r.h + PANEL_RADIUS}, PANEL_RADIUS, t->panel);
    ui_draw_line(ui->list, r.x + 8.0, r.y + 0.5, r.x + r.w - 8.0, r.y + 0.5, ui_draw_solid(t->hairline, 1.0));
    char text[TEXT_LONG] = "", below[TEXT_LONG] = "", start[TEXT_SHORT];
    const ParameterRow *row = model_parameters_row(p->focus);
    value_text(start, sizeof start, model_parameters_get(&p->start, p->focus));
    double w = r.w - 24.0;
    const char *second = strchr(p->told, '\n');
    if (p->told[0] != '\0') {
        snprintf(text, sizeof text, "%.*s", second != NULL ? (int)(second - p->told) : 500, p->told);
        snprintf(below, sizeof below, "%.500s", second != NULL ? second + 1 : "");
    } else if (any) {
        snprintf(text, sizeof text, "%s: %g to %g, began at %s", row->key, row->low, row->high, start);
        snprintf(below, sizeof below, "healthy %g; %s", row->standard, row->text);
    }
    Colour ink = p->told[0] != '\0' ? t->text1 : t->text2;
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, r.x + 12.0, r.y + 21.0, w, text);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, r.x + 12.0, r.y + 42.0, w, below);
    Rect line = {r.x + 12.0, r.y + 52.0, w, BUTTON_PX};
    ui_practice_over_text(p->over, text, sizeof text);
    Rect less = ui_rect_cut_left(&line, 40.0), over = ui_rect_cut_left(&line, 92.0),
         more = ui_rect_cut_left(&line, 40.0);
    bool sooner = ui_widgets_sign_button(ui, ID_OVER_LESS, less, '-', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "change sooner", false);
    bool later = ui_widgets_sign_button(ui, ID_OVER_MORE, more, '+', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "change later", false);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text1, over.x + over.w / 2.0,
                     over.y + 24.0, over.w - 6.0, text);
    sooner = ui_widgets_take_char(ui, '<') || sooner;
    later = ui_widgets_take_char(ui, '>') || later;
    if (sooner) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_OVER, -1.0, false);
    if (later) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_OVER, 1.0, false);
    (void)ui_rect_cut_left(&line, 10.0);
    snprintf(text, sizeof text, p->pendings > 0 ? "Change %d  Enter" : "Nothing to change", p->pendings);
    bool set = ui_widgets_button(ui, ID_SET, line, text, p->pendings > 0 ? BUTTON_PRIMARY : BUTTON_OFF);
    set = (keys && p->pendings > 0 && ui_widgets_take_key(ui, KEY_ENTER, NULL)) || set;
    if (set) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_SET, 0.0, false);
}

/* Keys of the rows: move, step, type, drop. */
static void row_keys(Ui *ui, const PracticeView *p, const ParameterId *rows, int count, int at,
                     Rect area_rows, Intents *intents) {
    int to = at, page = (int)fmax(floor(area_rows.h / ROW_PX) - 1.0, 1.0);
    bool shift = false;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to--;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to++;
    while (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
        to -= page;
    while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
        to += page;
    if (ui_rect_contains(area_rows, ui->input.x_px, ui->input.y_px)) to -= (int)ui->input.wheel;
    to = to < 0 ? 0 : to >= count ? count - 1 : to;
    if (count > 0 && to != at) ui_intents_add(intents, INTENT_PART, PRACTICE_PART_FOCUS, rows[to], false);
    if (count == 0) return;
    while (ui_widgets_take_key(ui, KEY_LEFT, &shift))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_STEP, -1.0, shift);
    while (ui_widgets_take_key(ui, KEY_RIGHT, &shift))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_STEP, 1.0, shift);
    for (uint32_t c = '0'; c <= '9'; c++) {
        while (ui_widgets_take_char(ui, c))
            ui_intents_add(intents, INTENT_PART, PRACTICE_PART_DIGIT, c, false);
    }
    bool typing = p->entry[0] != '\0';
    if (typing && ui_widgets_take_char(ui, '.'))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_DIGIT, '.', false);
    if (ui_widgets_take_char(ui, '-'))
        ui_intents_add(intents, INTENT_PART, typing ? PRACTICE_PART_STEP : PRACTICE_PART_DIGIT,
                       typing ? -1.0 : '-', false);
    while (ui_widgets_take_char(ui, '+'))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_STEP, 1.0, false);
    if (ui_widgets_take_key(ui, KEY_BACKSPACE, NULL))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_DIGIT, '\b', false);
    if ((p->pendings > 0 || typing) && ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_PART, PRACTICE_PART_DROP, 0.0, false);
}

void ui_practice_causes(Ui *ui, Rect r, int region, const PracticeView *p, bool keys, Intents *intents) {
    ParameterId rows[PARAMETER_COUNT];
    int count = ui_practice_rows(p, rows), at = 0;
    for (int i = 0; i < count; i++) {
        if (rows[i] == p->focus) at = i;
    }
    Rect head = ui_rect_cut_top(&r, HEAD_PX), foot = ui_rect_cut_bottom(&r, FOOT_SHORT_PX);
    draw_head(ui, head, region, p, count, intents);
    draw_rows(ui, r, region + 1, p, rows, count, at, intents);
    draw_foot(ui, foot, region + 2, p, count > 0, keys, intents);
    if (keys) row_keys(ui, p, rows, count, at, r, intents);
}

void ui_practice_draw(Ui *ui, Rect screen, const PracticeView *p, Intents *intents) {
    ParameterId rows[PARAMETER_COUNT];
    int count = ui_practice_rows(p, rows), at = 0;
    for (int i = 0; i < count; i++) {
        if (rows[i] == p->focus) at = i;
    }
    PageLayout l = layout_page(screen, p->truths);
    area(ui, AREA_GROUND, screen);
    draw_top(ui, l.top, p, intents);
    for (int i = 0; i < 2; i++) {
        area(ui, AREA_LEFT + i, l.loop[i]);
        ui_loops_draw(ui, l.loop[i], &p->loop[i]);
    }
    if (l.truth.w > 0.0) draw_truth(ui, l.truth, p, l.truth_columns);
    draw_head(ui, l.head, AREA_HEAD, p, count, intents);
    draw_rows(ui, l.rows, AREA_ROWS, p, rows, count, at, intents);
    draw_foot(ui, l.foot, AREA_FOOT, p, count > 0, true, intents);
    draw_buttons(ui, (Rect){l.foot.x + 12.0, l.foot.y + 94.0, l.foot.w - 24.0, BUTTON_PX}, intents);
    row_keys(ui, p, rows, count, at, l.rows, intents);
    ui_sheets_keys(ui, intents);
}
