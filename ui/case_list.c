/* The list of cases: search, order, rows, and what is known of the chosen one. */
#include "ui/case_list.h"
#include "ui/cards.h"
#include "ui/sheet.h"
#include "ui/tiles.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_SEARCH = 906, ID_OPEN, ID_RESUME, ID_PRACTICE, ID_SETTINGS, ID_SORT, ID_LOGBOOK, ID_CASE = 920 };

#define MARGIN_PX       24.0
#define HEAD_PX         104.0
#define FOOT_PX         72.0
#define ROW_PX          56.0
#define GROUP_PX        34.0
#define LIST_SHARE      0.55
#define LIST_LEAST_PX   440.0
#define TWO_PANES_PX    780.0 /* room from which on the chosen case has a pane of its own */
#define SIGN_PX         16.0
#define MEASURE_WIDE_PX 900.0 /* from this width on the foot says more */
#define BUTTON_PX       44.0

/* --- search and order --- */

/* Whether `text` holds `word` of `length` bytes, without regard to case. */
static bool holds(const char *text, const char *word, size_t length) {
    for (; *text != '\0'; text++) {
        size_t i = 0;
        while (i < length && text[i] != '\0' &&
               tolower((unsigned char)text[i]) == tolower((unsigned char)word[i]))
            i++;
        if (i == length) return true;
    }
    return length == 0;
}

static bool found(const CaseEntry *e, const char *search) {
    for (const char *word = search; *word != '\0';) {
        size_t length = strcspn(word, " ");
        if (!holds(e->title, word, length) && !holds(e->theme, word, length) &&
            !holds(e->summary, word, length))
            return false;
        word += length + strspn(word + length, " ");
    }
    return true;
}

/* Whether a stands after b: unreadable ones last, then level or theme, then the other, then the title. */
static bool stands_after(const CaseEntry *a, const CaseEntry *b, bool by_theme) {
    if (a->readable != b->readable) return b->readable;
    int level = a->level - b->level, theme = strcmp(a->theme, b->theme);
    int first = by_theme ? theme : level, second = by_theme ? level : theme;
    if (first != 0) return first > 0;
    return second != 0 ? second > 0 : strcmp(a->title, b->title) > 0;
}

int ui_case_list_shown(const OverlayView *o, int index[OVERLAY_CASES_MAX]) {
    int count = 0;
    const char *search = o->search.text + strspn(o->search.text, " ");
    for (int i = 0; i < o->entries; i++) {
        if (!found(&o->entry[i], search)) continue;
        int at = count++;
        for (; at > 0 && stands_after(&o->entry[index[at - 1]], &o->entry[i], o->by_theme); at--)
            index[at] = index[at - 1];
        index[at] = i;
    }
    return count;
}

/* --- how a night went --- */

void ui_case_list_went(char *text, size_t size, const CaseTry *n) {
    static const char *const WORDS[CASE_OUTCOME_COUNT] = {
        "played to the end", "went well", "went with a price", "lasting harm", "the patient died"};
    int minutes = (int)(n->reached_s / 60.0);
    if (n->finished)
        snprintf(text, size, "%s", WORDS[n->outcome]);
    else
        snprintf(text, size, "left at %d:%02d h", minutes / 60, minutes % 60);
}

void ui_case_list_sign(Ui *ui, double x, double y, double size_px, const CaseTry *n) {
    const Theme *t = ui->theme;
    DrawList *d = ui->list;
    double r = size_px / 2.0;
    StrokeStyle line = ui_draw_solid(t->text1, 2.0);
    if (!n->finished) { /* two bars: it waits */
        ui_draw_rect(d, (Rect){x - 0.5 * r - 2.0, y - 0.7 * r, 4.0, 1.4 * r}, 1.0, t->text1);
        ui_draw_rect(d, (Rect){x + 0.5 * r - 2.0, y - 0.7 * r, 4.0, 1.4 * r}, 1.0, t->text1);
        return;
    }
    switch (n->outcome) {
    case CASE_OUTCOME_GOOD: /* tick */
        ui_draw_path(d);
        ui_draw_move(d, x - 0.8 * r, y);
        ui_draw_to(d, x - 0.2 * r, y + 0.6 * r);
        ui_draw_to(d, x + 0.9 * r, y - 0.7 * r);
        ui_draw_stroke(d, line);
        break;
    case CASE_OUTCOME_MIXED: /* half a disc */
        ui_draw_ring(d, x, y, 0.8 * r, ui_draw_solid(t->text1, 1.5));
        ui_draw_path(d);
        ui_draw_arc(d, x, y, 0.8 * r, 1.5707963267948966, 4.71238898038469);
        ui_draw_close(d);
        ui_draw_fill(d, t->text1);
        break;
    case CASE_OUTCOME_HARM: /* triangle */
        ui_widgets_arrow(d, x, y, 1.6 * r, 'u', t->text1);
        break;
    case CASE_OUTCOME_DEATH: /* cross */
        ui_draw_line(d, x - 0.6 * r, y - 0.6 * r, x + 0.6 * r, y + 0.6 * r, line);
        ui_draw_line(d, x - 0.6 * r, y + 0.6 * r, x + 0.6 * r, y - 0.6 * r, line);
        break;
    default:
        ui_draw_ring(d, x, y, 0.7 * r, line);
        break;
    }
}

/* --- the list --- */

/* Heading of the group an entry stands in. */
static void group_name(const OverlayView *o, const CaseEntry *e, char *text, size_t size) {
    static const char *const LEVELS[] = {"", ": with hints, predictions first",
                                         ": predictions first, the heart in view",
                                         ": on your own, looks are rare"};
    if (!e->readable)
        snprintf(text, size, "Cannot be read");
    else if (o->by_theme)
        snprintf(text, size, "%c%s", toupper((unsigned char)e->theme[0]),
                 e->theme[0] != '\0' ? e->theme + 1 : "");
    else
        snprintf(text, size, "Level %d%s", e->level, e->level >= 1 && e->level <= 3 ? LEVELS[e->level] : "");
}

/* What stands at the right of a row: how the last try went. */
static double draw_last(Ui *ui, const CaseEntry *e, Rect r) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE] = "not tried yet";
    if (e->tries > 0) ui_case_list_went(text, sizeof text, &e->last[0]);
    double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, text), x = r.x + r.w - 14.0 - w;
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, e->tries > 0 ? t->text1 : t->text3, x,
                 r.y + 45.0, text);
    if (e->tries > 0) ui_case_list_sign(ui, x - 16.0, r.y + 40.0, SIGN_PX, &e->last[0]);
    return w + 48.0;
}

static void draw_row(Ui *ui, const OverlayView *o, int number, bool chosen, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    const CaseEntry *e = &o->entry[number];
    if (ui_widgets_area(ui, ID_CASE + number, r))
        ui_intents_add(intents, chosen && e->readable ? INTENT_CASE : INTENT_ROW, number, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_ROW, NULL, chosen);
    if (chosen || ui_widgets_hovered(ui, r)) ui_draw_rect(ui->list, r, 8.0, t->selected);
    if (chosen) {
        ui_draw_frame(ui->list, r, 8.0, ui_draw_solid(t->text1, 2.0));
        ui_draw_rect(ui->list, (Rect){r.x + 3.0, r.y + 10.0, 4.0, r.h - 20.0}, 2.0, t->text1);
    }
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY + 1.0, ALIGN_LEFT,
                     e->readable ? t->text1 : t->text3, r.x + 16.0, r.y + 23.0, r.w - 30.0, e->title);
    double used = e->readable ? draw_last(ui, e, r) : 0.0;
    char text[CASE_TEXT_MAX + 40];
    if (!e->readable)
        snprintf(text, sizeof text, "%s", e->summary);
    else if (o->by_theme)
        snprintf(text, sizeof text, "level %d, %g h", e->level, e->length_s / 3600.0);
    else
        snprintf(text, sizeof text, "%s, %g h", e->theme, e->length_s / 3600.0);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + 16.0, r.y + 45.0,
                     r.w - 30.0 - used, text);
    ui_widgets_focus_ring(ui, ID_CASE + number, ui_rect_inset(r, 5.0, 5.0), 5.0);
}

/* The rows with the headings of their groups; the chosen one is kept in view. */
static void draw_rows(Ui *ui, const OverlayView *o, const int *index, int count, int chosen, Rect room,
                      Intents *intents) {
    double top[OVERLAY_CASES_MAX], y = 0.0;
    bool headed[OVERLAY_CASES_MAX];
    char name[TEXT_LINE * 2], last[TEXT_LINE * 2] = "";
    for (int i = 0; i < count; i++) {
        group_name(o, &o->entry[index[i]], name, sizeof name);
        headed[i] = strcmp(name, last) != 0;
        snprintf(last, sizeof last, "%s", name);
        y += headed[i] ? GROUP_PX : 0.0;
        top[i] = y;
        y += ROW_PX;
    }
    double bottom = count > 0 ? top[chosen] + ROW_PX : 0.0, shift = fmax(bottom - room.h, 0.0);
    ui_draw_clip_rect(ui->list, ui_rect_inset(room, -6.0, 0.0));
    for (int i = 0; i < count; i++) {
        double at = room.y + top[i] - shift;
        if (at + ROW_PX > room.y + room.h + 1.0 || at < room.y - 1.0) continue;
        group_name(o, &o->entry[index[i]], name, sizeof name);
        if (headed[i])
            ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2,
                             room.x + 2.0, at - 11.0, room.w, name);
        draw_row(ui, o, index[i], i == chosen, (Rect){room.x, at, room.w, ROW_PX - 4.0}, intents);
    }
    ui_draw_unclip(ui->list);
    if (count == 0)
        (void)ui_cards_paragraph(ui, room, room.y + 30.0, false,
                                 o->entries == 0 ? "There is no case in the folder of cases."
                                                 : "No case has these words.");
    if (y > room.h) { /* where the list stands */
        Rect track = {room.x + room.w + 8.0, room.y, 6.0, room.h};
        ui_draw_rect(ui->list, track, 3.0, ui->theme->raised);
        ui_draw_rect(ui->list,
                     (Rect){track.x, track.y + track.h * shift / y, track.w, track.h * fmin(room.h / y, 1.0)},
                     3.0, ui->theme->edge);
    }
}

/* --- what is known of the chosen case --- */

static const CaseTry *unfinished(const CaseEntry *e) {
    int kept = e->tries < OVERLAY_TRIES_MAX ? e->tries : OVERLAY_TRIES_MAX;
    for (int i = 0; i < kept; i++) {
        if (e->last[i].goes_on) return &e->last[i];
    }
    return NULL;
}

static double draw_tries(Ui *ui, const CaseEntry *e, Rect r, double y, double bottom) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE];
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y,
                 "What you tried before");
    if (e->tries > 1) {
        snprintf(text, sizeof text, "%d nights", e->tries);
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, r.x + r.w, y, text);
    }
    y += 27.0;
    if (e->tries == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text3, r.x, y, "nothing yet");
    int kept = e->tries < OVERLAY_TRIES_MAX ? e->tries : OVERLAY_TRIES_MAX;
    y += e->tries == 0 ? 27.0 : 0.0;
    for (int i = 0; i < kept && y < bottom; i++, y += 27.0) {
        const CaseTry *n = &e->last[i];
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y, n->when);
        double x = r.x + ui_draw_text_width(ui->list, FACE_DIGITS, TYPE_NOTE, "00-00 00:00") + 24.0;
        ui_case_list_sign(ui, x, y - 6.0, SIGN_PX, n);
        ui_case_list_went(text, sizeof text, n);
        if (n->call[0] != '\0') {
            size_t length = strlen(text);
            snprintf(text + length, sizeof text - length, "; called: %s", n->call);
        }
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, x + 18.0, y,
                         r.x + r.w - x - 18.0, text);
    }
    return y;
}

static void draw_chosen(Ui *ui, const OverlayView *o, int number, Rect panel, Intents *intents) {
    const Theme *t = ui->theme;
    const CaseEntry *e = &o->entry[number];
    char text[TEXT_LINE + CASE_LINE_MAX];
    ui_draw_rect(ui->list, panel, PANEL_RADIUS, t->panel);
    Rect r = ui_rect_inset(panel, 20.0, 16.0);
    Rect buttons = ui_rect_cut_bottom(&r, BUTTON_PX + 6.0);
    const CaseTry *waiting = unfinished(e);
    double y = r.y + 22.0, bottom = r.y + r.h - 8.0;
    y +=
        28.0 * ui_draw_text_wrap(ui->list, FACE_WORDS_STRONG, 22.0, t->text1, r.x, y, r.w, 28.0, 2, e->title);
    if (e->readable) {
        snprintf(text, sizeof text, "level %d, %s, %g h", e->level, e->theme, e->length_s / 3600.0);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y, r.w, text);
        y += 32.0;
    }
    int most = (int)fmax(floor((bottom - y - 60.0) / CARD_LINE_PX), 2.0);
    y += CARD_LINE_PX * ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY, t->text1, r.x, y, r.w,
                                          CARD_LINE_PX, most, e->summary);
    if (!e->readable) return;
    y = draw_tries(ui, e, r, y + 14.0, bottom);
    if (e->aim_count > 0 && y + 14.0 + 2.0 * CARD_LINE_PX < bottom) {
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y + 14.0,
                     "Aims of the night");
        y += 14.0 + CARD_LINE_PX;
        for (int i = 0; i < e->aim_count && y + CARD_LINE_PX < bottom; i++)
            y = ui_cards_paragraph(ui, r, y, true, e->aims[i]) - 6.0;
    }
    double w = floor(waiting != NULL ? (buttons.w - 12.0) / 2.0 : fmin(buttons.w, 260.0));
    Rect open = {buttons.x, buttons.y + 6.0, w, BUTTON_PX};
    if (ui_widgets_button(ui, ID_OPEN, open, waiting != NULL ? "Begin anew" : "Open the case",
                          BUTTON_PRIMARY))
        ui_intents_add(intents, INTENT_CASE, number, 0.0, false);
    if (waiting == NULL) return;
    int minutes = (int)(waiting->reached_s / 60.0);
    snprintf(text, sizeof text, "F2  Go on at %d:%02d h", minutes / 60, minutes % 60);
    Rect resume = {open.x + w + 12.0, open.y, w, BUTTON_PX};
    if (ui_widgets_button(ui, ID_RESUME, resume, text, BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RESUME, number, 0.0, false);
}

/* --- the screen --- */

static void draw_head(Ui *ui, const OverlayView *o, Rect head, Intents *intents) {
    const Theme *t = ui->theme;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, 26.0, ALIGN_LEFT, t->text1, head.x, head.y + 38.0,
                 "Choose a case");
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text2, head.x + head.w,
                 head.y + 36.0, "TRAINING ONLY");
    double w = fmax(floor(LIST_SHARE * head.w), LIST_LEAST_PX);
    Rect sort = {head.x + w - 172.0, head.y + 54.0, 172.0, 40.0};
    Rect search = {head.x, sort.y, w - sort.w - 12.0, 40.0};
    ui_textfield_draw(ui, ID_SEARCH, search, &o->search, "Type to search", INTENT_TYPE, 0, intents);
    bool turn =
        ui_widgets_button(ui, ID_SORT, sort, o->by_theme ? "F5  By level" : "F5  By theme", BUTTON_PLAIN);
    turn = ui_widgets_take_key(ui, KEY_F5, NULL) || turn;
    if (turn) ui_intents_add(intents, INTENT_SORT, 0, 0.0, false);
}

static void draw_foot(Ui *ui, const OverlayView *o, Rect foot, Intents *intents) {
    Rect practice = {foot.x, foot.y + 14.0, 190.0, BUTTON_PX};
    bool free_practice = ui_widgets_button(ui, ID_PRACTICE, practice, "F3  Free practice", BUTTON_PLAIN);
    free_practice = ui_widgets_take_key(ui, KEY_F3, NULL) || free_practice;
    if (free_practice) ui_intents_add(intents, INTENT_PRACTICE, 0, 0.0, false);
    double x = practice.x + practice.w + 12.0;
    if (o->settings) {
        bool settings = ui_widgets_button(ui, ID_SETTINGS, (Rect){x, practice.y, 160.0, BUTTON_PX},
                                          "F4  Settings", BUTTON_PLAIN);
        settings = ui_widgets_take_key(ui, KEY_F4, NULL) || settings;
        if (settings) ui_intents_add(intents, INTENT_SHEET, SHEET_SETTINGS, 0.0, false);
        x += 172.0;
        bool logbook = ui_widgets_button(ui, ID_LOGBOOK, (Rect){x, practice.y, 160.0, BUTTON_PX},
                                         "F6  Logbook", BUTTON_PLAIN);
        logbook = ui_widgets_take_key(ui, KEY_F6, NULL) || logbook;
        if (logbook) ui_intents_add(intents, INTENT_SHEET, SHEET_LOGBOOK, 0.0, false);
        x += 172.0;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, ui->theme->text3, foot.x + foot.w,
                     practice.y + 28.0, foot.x + foot.w - x - 8.0,
                     foot.w > MEASURE_WIDE_PX ? "\u2191 \u2193 another case, Enter opens it, letters search"
                                              : "\u2191 \u2193  Enter");
}

/* Keys of the list as a whole. */
static void list_keys(Ui *ui, const OverlayView *o, const int *index, int count, int at, Intents *intents) {
    int to = at, page = 6;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to--;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to++;
    while (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
        to -= page;
    while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
        to += page;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = count - 1;
    to -= (int)ui->input.wheel;
    to = to < 0 ? 0 : to >= count ? count - 1 : to;
    if (count > 0 && to != at) ui_intents_add(intents, INTENT_ROW, index[to], 0.0, false);
    if (count > 0 && o->entry[index[at]].readable && ui_widgets_take_key(ui, KEY_ENTER, NULL))
        ui_intents_add(intents, INTENT_CASE, index[at], 0.0, false);
    bool waits = count > 0 && o->entry[index[at]].readable && unfinished(&o->entry[index[at]]) != NULL;
    if (waits && ui_widgets_take_key(ui, KEY_F2, NULL))
        ui_intents_add(intents, INTENT_RESUME, index[at], 0.0, false);
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_TYPE, 0, TEXT_EDIT_CLEAR, false);
    ui_textfield_keys(ui, INTENT_TYPE, 0, intents);
}

void ui_case_list_draw(Ui *ui, Rect screen, const OverlayView *o, Intents *intents) {
    int index[OVERLAY_CASES_MAX], count = ui_case_list_shown(o, index), at = 0;
    for (int i = 0; i < count; i++) {
        if (index[i] == o->chosen) at = i;
    }
    Rect room = ui_rect_inset(screen, MARGIN_PX, 0.0);
    ui_draw_rect(ui->list, screen, 0.0, ui->theme->window);
    Rect head = ui_rect_cut_top(&room, HEAD_PX), foot = ui_rect_cut_bottom(&room, FOOT_PX);
    draw_head(ui, o, head, intents);
    if (room.w < TWO_PANES_PX) { /* the list alone: a second click opens */
        (void)ui_rect_cut_right(&room, 16.0);
        draw_rows(ui, o, index, count, at, room, intents);
    } else {
        Rect list = ui_rect_cut_left(&room, fmax(floor(LIST_SHARE * room.w), LIST_LEAST_PX));
        (void)ui_rect_cut_left(&room, 28.0);
        draw_rows(ui, o, index, count, at, list, intents);
        if (count > 0) draw_chosen(ui, o, index[at], room, intents);
    }
    draw_foot(ui, o, foot, intents);
    list_keys(ui, o, index, count, at, intents);
}
