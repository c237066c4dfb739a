/* The instructor's window: bar, strip of time, timeline, truth, and where the panels lie. */
#include "ui/instructor_parts.h"

#include "ui/heart.h"
#include "ui/pick.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WIDE_PX       1600.0
#define SMALL_PX      1100.0
#define TOP_PX        56.0
#define STRIP_PX      78.0
#define TOLD_PX       34.0
#define GAP_PX        8.0
#define TABS_PX       40.0
#define HEAD_PX       40.0
#define BUTTON_PX     36.0
#define EVENT_PX      50.0
#define EVENT_LINE_PX 20.0
#define BUTTONS_PX    88.0
#define ROW_PX        23.0
#define SIGN_PX       6.0

enum { CHOSEN_LINES = 3 };

/* Where everything lies. */
typedef struct Places {
    Rect top, strip, told, events, heart, truth, tabs, causes, say, trainee;
    bool wide, small;
} Places;

static Places place(Rect screen) {
    Places p = {.wide = screen.w >= WIDE_PX};
    Rect rest = screen;
    p.top = ui_rect_cut_top(&rest, TOP_PX);
    p.strip = ui_rect_cut_top(&rest, STRIP_PX);
    p.told = ui_rect_cut_bottom(&rest, TOLD_PX);
    rest = ui_rect_inset(rest, GAP_PX, 0.0);
    (void)ui_rect_cut_top(&rest, GAP_PX);
    p.events = ui_rect_cut_left(&rest, floor(screen.w * (p.wide ? 0.205 : 0.255)));
    (void)ui_rect_cut_left(&rest, GAP_PX);
    Rect middle = ui_rect_cut_left(&rest, floor(screen.w * (p.wide ? 0.255 : 0.31)));
    (void)ui_rect_cut_left(&rest, GAP_PX);
    p.small = screen.w < SMALL_PX; /* no room for the heart and the units */
    p.heart = ui_rect_cut_top(&middle, p.small ? 0.0 : floor(middle.h * (p.wide ? 0.34 : 0.31)));
    if (!p.small) (void)ui_rect_cut_top(&middle, GAP_PX);
    p.truth = middle;
    if (!p.wide) {
        p.tabs = ui_rect_cut_top(&rest, TABS_PX);
        p.causes = p.say = p.trainee = rest;
        return p;
    }
    p.causes = ui_rect_cut_left(&rest, floor(rest.w * 0.47));
    (void)ui_rect_cut_left(&rest, GAP_PX);
    p.say = ui_rect_cut_top(&rest, floor(rest.h * 0.56));
    (void)ui_rect_cut_top(&rest, GAP_PX);
    p.trainee = rest;
    return p;
}

void ui_instructor_area(Ui *ui, int area, Rect r) {
    ui_draw_region(ui->list, area, r);
    ui_draw_rect(ui->list, r, 0.0, ui->theme->window);
}

/* ---- the bar ---- */

static void draw_clock(Ui *ui, double x, const InstructorView *v, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE];
    ui_tiles_clock(text, sizeof text, v->time_s, true);
    ui_draw_text(ui->list, FACE_DIGITS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, x, r.y + 35.0, text);
    Rect b = {x + 106.0, r.y + 10.0, 40.0, BUTTON_PX};
    if (ui_widgets_sign_button(ui, INSTRUCTOR_ID_SLOWER, b, '<', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    b.x += 44.0;
    ButtonLook look = v->card || v->ended ? BUTTON_OFF : BUTTON_PLAIN;
    if (ui_widgets_sign_button(ui, INSTRUCTOR_ID_PAUSE, b, v->paused ? '>' : '|', look))
        ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    b.x += 44.0;
    if (ui_widgets_sign_button(ui, INSTRUCTOR_ID_FASTER, b, 'F', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    if (v->ended)
        snprintf(text, sizeof text, "over: %s", v->outcome);
    else
        snprintf(text, sizeof text,
                 v->card     ? "a card is open"
                 : v->paused ? "waits"
                             : "\u00d7%.0f",
                 v->rate_x);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, b.x + 48.0, r.y + 34.0, 110.0,
                     text);
}

static void draw_top(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE];
    ui_instructor_area(ui, INSTRUCTOR_AREA_TOP, r);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text2, r.x + r.w - 16.0, r.y + 34.0,
                 "TRAINING ONLY");
    double right = r.x + r.w - 150.0;
    if (v->open) {
        snprintf(text, sizeof text, "Score %.4g of %.4g", v->got, v->most);
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_RIGHT, t->text1, right - 8.0, r.y + 34.0,
                     text);
        right -= 180.0;
        draw_clock(ui, right - 380.0, v, r, intents);
        right -= 400.0;
    }
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, r.x + 16.0, r.y + 35.0,
                 "Instructor");
    double x = r.x + 32.0 + ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, "Instructor");
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text2, x, r.y + 34.0, right - x - 8.0,
                     v->open ? v->case_title : "no night is open; it follows the other window");
}

/* ---- the strip ---- */

/* What the trainee and the instructor did, as a letter under the line. */
static const char *letter_of(LogKind kind) {
    switch (kind) {
    case LOG_ORDER:
    case LOG_PREDICTION:
        return "O";
    case LOG_LOOK:
        return "L";
    case LOG_CALL:
        return "C";
    case LOG_MARK:
    case LOG_BOOKMARK:
    case LOG_NOTE:
        return "M";
    case LOG_HAND:
    case LOG_CAUSE:
        return "I";
    case LOG_TAKE_BACK:
        return "B";
    default:
        return NULL;
    }
}

/* An event's sign: filled for one that came, open for one to come, crossed for one that does not. */
static void draw_sign(Ui *ui, double x, double y, EventStand stand) {
    const Theme *t = ui->theme;
    ui_draw_path(ui->list);
    ui_draw_move(ui->list, x, y - SIGN_PX);
    ui_draw_to(ui->list, x + SIGN_PX, y);
    ui_draw_to(ui->list, x, y + SIGN_PX);
    ui_draw_to(ui->list, x - SIGN_PX, y);
    ui_draw_close(ui->list);
    bool came = stand == EVENT_CAME || stand == EVENT_CALLED;
    if (came) ui_draw_fill(ui->list, t->text1);
    ui_draw_stroke(ui->list, ui_draw_solid(stand == EVENT_WAITS ? t->text3 : t->text1, 1.5));
    if (stand == EVENT_SKIPPED || stand == EVENT_OTHERWISE)
        ui_draw_line(ui->list, x - SIGN_PX - 2.0, y + SIGN_PX + 2.0, x + SIGN_PX + 2.0, y - SIGN_PX - 2.0,
                     ui_draw_solid(t->text1, 1.5));
}

static void draw_marks(Ui *ui, Rect axis, double whole_s, const InstructorView *v) {
    const Theme *t = ui->theme;
    double last = -1e9;
    for (int i = v->marks - 1; i >= 0; i--) {
        const char *letter = letter_of(v->mark[i].kind);
        if (letter == NULL) continue;
        double x = axis.x + axis.w * fmin(v->mark[i].time_s / whole_s, 1.0);
        ui_draw_line(ui->list, x, axis.y + 1.0, x, axis.y + 8.0, ui_draw_solid(t->text2, 1.5));
        if (x - last < 13.0) continue; /* the letters of a busy minute would cover each other */
        last = x;
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, letter[0] == 'C' ? t->text1 : t->text2, x,
                     axis.y + 24.0, letter);
    }
}

static void draw_axis(Ui *ui, Rect r, const InstructorView *v) {
    const Theme *t = ui->theme;
    Rect axis = {r.x + 12.0, r.y + 42.0, r.w - 36.0, 0.0};
    double whole_s = fmax(v->length_s, v->time_s), step_s = whole_s > 2.0 * 3600.0 ? 1800.0 : 600.0;
    for (double s = 0.0; s <= whole_s + 1.0; s += step_s) {
        double x = axis.x + axis.w * s / whole_s;
        char text[TEXT_SHORT];
        ui_tiles_clock(text, sizeof text, s, false);
        ui_draw_line(ui->list, x, axis.y - 4.0, x, axis.y, ui_draw_solid(t->edge, 1.0));
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, s <= 0.0 ? ALIGN_LEFT : ALIGN_CENTRE, t->text3, x,
                     r.y + 18.0, text);
    }
    double now = axis.x + axis.w * v->time_s / whole_s;
    ui_draw_rect(ui->list, (Rect){axis.x, axis.y - 1.0, axis.w, 2.0}, 0.0, t->edge);
    ui_draw_rect(ui->list, (Rect){axis.x, axis.y - 2.0, now - axis.x, 4.0}, 0.0, t->text2);
    draw_marks(ui, axis, whole_s, v);
    for (int i = 0; i < v->events; i++) {
        const InstructorEvent *event = &v->event[i];
        if (isnan(event->time_s) || event->stand == EVENT_SKIPPED) continue;
        draw_sign(ui, axis.x + axis.w * fmin(event->time_s / whole_s, 1.0), axis.y - 10.0, event->stand);
    }
    ui_draw_line(ui->list, now, r.y + 22.0, now, r.y + r.h - 8.0, ui_draw_solid(t->text1, 2.0));
}

static void draw_strip(Ui *ui, Rect r, const InstructorView *v) {
    static const char *const RIGHT[] = {"no call yet", "wrong", "right kind", "right"};
    const Theme *t = ui->theme;
    char text[TEXT_LINE * 3];
    ui_instructor_area(ui, INSTRUCTOR_AREA_STRIP, r);
    ui_draw_rect(ui->list, ui_rect_inset(r, GAP_PX, 0.0), PANEL_RADIUS, t->panel);
    if (!v->open) return;
    Rect rest = ui_rect_inset(r, GAP_PX, 0.0), left = ui_rect_cut_left(&rest, floor(r.w * 0.3));
    double x = left.x + 14.0, w = left.w - 24.0;
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x, r.y + 23.0, w,
                     v->truth);
    snprintf(text, sizeof text, "%s%s", v->also[0] != '\0' ? "also right: " : "nothing else passes for it",
             v->also);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, r.y + 45.0, w, text);
    snprintf(text, sizeof text, "called: %s%s%s", v->last_call, v->last_call[0] != '\0' ? ": " : "",
             RIGHT[v->call_right + 1]);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, r.y + 67.0, w, text);
    draw_axis(ui, rest, v);
}

/* ---- the timeline ---- */

static void stand_words(const InstructorView *v, const InstructorEvent *event, char text[TEXT_LINE]) {
    char clock[TEXT_SHORT];
    switch (event->stand) {
    case EVENT_CAME:
    case EVENT_OTHERWISE:
        ui_tiles_clock(clock, sizeof clock, event->time_s, true);
        snprintf(text, TEXT_LINE, event->stand == EVENT_CAME ? "came %s" : "other way %s", clock);
        break;
    case EVENT_DUE:
        ui_tiles_minutes(clock, sizeof clock, fmax(event->time_s - v->time_s, 0.0));
        snprintf(text, TEXT_LINE, "in %s", clock);
        break;
    case EVENT_CALLED:
        snprintf(text, TEXT_LINE, "comes now");
        break;
    case EVENT_SKIPPED:
        snprintf(text, TEXT_LINE, "skipped");
        break;
    default:
        snprintf(text, TEXT_LINE, "waits");
        break;
    }
}

static double event_height(const InstructorView *v, int i) {
    return EVENT_PX + (i == v->chosen ? CHOSEN_LINES * EVENT_LINE_PX : 0.0);
}

static void draw_event(Ui *ui, Rect r, const InstructorView *v, int i, Intents *intents) {
    const Theme *t = ui->theme;
    const InstructorEvent *event = &v->event[i];
    bool chosen = i == v->chosen;
    char text[TEXT_LONG], stand[TEXT_LINE], delay[TEXT_SHORT] = "";
    if (chosen) {
        ui_draw_rect(ui->list, r, 6.0, t->selected);
        ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->text1, v->panel == INSTRUCTOR_PANELS ? 2.0 : 1.0));
    }
    ui->mouse_only = true;
    if (ui_pick_area(ui, INSTRUCTOR_ID_EVENTS + i, r))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_EVENT, i, false);
    ui_widgets_tell(ui, UI_ROLE_ROW, NULL, chosen);
    ui->mouse_only = false;
    bool over =
        event->stand == EVENT_CAME || event->stand == EVENT_OTHERWISE || event->stand == EVENT_SKIPPED;
    Colour ink = over ? t->text2 : t->text1;
    draw_sign(ui, r.x + 14.0, r.y + 15.0, event->stand);
    stand_words(v, event, stand);
    double w = ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, stand);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, ink, r.x + r.w - 8.0, r.y + 21.0,
                 stand);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ink, r.x + 30.0, r.y + 21.0,
                     r.w - w - 50.0, event->id);
    if (event->delay_s > 0.0) snprintf(delay, sizeof delay, "+%.0f min, ", event->delay_s / 60.0);
    snprintf(text, sizeof text, "%s%.600s", delay, event->when);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, r.x + 30.0, r.y + 42.0,
                     r.w - 38.0, text);
    if (chosen)
        (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, t->text2, r.x + 30.0, r.y + 63.0, r.w - 38.0,
                                EVENT_LINE_PX, CHOSEN_LINES, event->what);
}

static void draw_event_buttons(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    const InstructorEvent *event = &v->event[v->chosen];
    bool any = v->events > 0 && !v->ended;
    bool open =
        any && (event->stand == EVENT_WAITS || event->stand == EVENT_DUE || event->stand == EVENT_SKIPPED);
    bool skipped = any && event->stand == EVENT_SKIPPED;
    double w = floor((r.w - 8.0) / 2.0);
    ButtonLook look = open ? BUTTON_PLAIN : BUTTON_OFF;
    Rect line = ui_rect_cut_top(&r, BUTTON_PX);
    (void)ui_rect_cut_top(&r, 8.0);
    bool fire = ui_widgets_button(ui, INSTRUCTOR_ID_FIRE, ui_rect_cut_left(&line, w), "F  Fire now", look);
    (void)ui_rect_cut_left(&line, 8.0);
    bool skip =
        ui_widgets_button(ui, INSTRUCTOR_ID_SKIP, line, skipped ? "S  Keep after all" : "S  Skip", look);
    line = ui_rect_cut_top(&r, BUTTON_PX);
    bool later = ui_widgets_button(ui, INSTRUCTOR_ID_DELAY, ui_rect_cut_left(&line, w), "D  +5 min", look);
    (void)ui_rect_cut_left(&line, 8.0);
    bool little = ui_widgets_button(ui, INSTRUCTOR_ID_DELAY_LESS, line, "Shift D  +1 min", look);
    if (!open) return;
    little = ui_widgets_take_capital(ui, 'D') || little;
    fire = ui_widgets_take_char(ui, 'f') || fire;
    skip = ui_widgets_take_char(ui, 's') || skip;
    later = ui_widgets_take_char(ui, 'd') || later;
    if (fire) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_FIRE, 0.0, false);
    if (skip) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_SKIP, 0.0, false);
    if (later) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_DELAY, 5.0, false);
    if (little) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_DELAY, 1.0, false);
}

static void draw_events(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    ui_instructor_area(ui, INSTRUCTOR_AREA_EVENTS, r);
    Rect rest = ui_widgets_panel(ui, r, "Timeline", "F1, \u2191 \u2193");
    rest.x -= 8.0;
    rest.w += 16.0;
    Rect buttons = ui_rect_cut_bottom(&rest, BUTTONS_PX);
    if (v->events == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, rest.x + 8.0,
                     rest.y + 20.0, "this case has no events");
    int first = 0;
    for (double used = 0.0;; first++) {
        used = 0.0;
        for (int i = first; i <= v->chosen; i++)
            used += event_height(v, i);
        if (used <= rest.h || first >= v->chosen) break;
    }
    for (int i = first; i < v->events && rest.h >= event_height(v, i); i++)
        draw_event(ui, ui_rect_inset(ui_rect_cut_top(&rest, event_height(v, i)), 0.0, 1.0), v, i, intents);
    draw_event_buttons(ui, (Rect){buttons.x, buttons.y + 8.0, buttons.w, buttons.h - 8.0}, v, intents);
}

/* ---- the truth ---- */

static void draw_heart(Ui *ui, Rect r, const InstructorView *v) {
    ui_instructor_area(ui, INSTRUCTOR_AREA_HEART, r);
    ui_draw_rect(ui->list, r, PANEL_RADIUS, ui->theme->panel);
    ui_heart_draw(ui->list, ui_rect_inset(r, 8.0, 6.0), &v->heart);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, r.x + 12.0, r.y + 22.0,
                 v->heart.shown ? "the heart as it is" : "no beat yet");
}

static void draw_truth(Ui *ui, Rect r, const InstructorView *v, bool units) {
    const Theme *t = ui->theme;
    ui_instructor_area(ui, INSTRUCTOR_AREA_TRUTH, r);
    ui_draw_rect(ui->list, r, PANEL_RADIUS, t->panel);
    double unit = r.x + r.w - (units ? 84.0 : 4.0), shown = unit - 24.0, truth = shown - 78.0, y = r.y + 24.0;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x + 12.0, y, "Truth");
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text1, truth, y, "is");
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text1, shown, y, "is shown");
    if (v->frozen)
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x + 68.0, y,
                         truth - r.x - 84.0, "pump frozen");
    y += 6.0;
    ui_draw_line(ui->list, r.x + 12.0, y, r.x + r.w - 12.0, y, ui_draw_solid(t->hairline, 1.0));
    for (int i = 0; i < v->rows && y + ROW_PX + 4.0 < r.y + r.h; i++) {
        const InstructorTruth *row = &v->row[i];
        y += ROW_PX;
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + 12.0, y - 4.0,
                         truth - r.x - 80.0, row->name);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text1, truth, y - 4.0, row->truth);
        ui_draw_text(ui->list, row->apart ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT,
                     row->apart ? t->text1 : t->text2, shown, y - 4.0, row->shown);
        if (row->apart)
            ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, shown + 4.0, y - 4.0,
                         "\u2260");
        if (units)
            ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, unit, y - 4.0, 80.0,
                             row->unit);
    }
}

/* ---- tabs, what was told ---- */

static void draw_tabs(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    static const char *const NAMES[INSTRUCTOR_PANELS] = {"F2  Causes", "F3  Say, do", "F4  Trainee"};
    ui_instructor_area(ui, INSTRUCTOR_AREA_TABS, r);
    InstructorPanel shown = v->panel == INSTRUCTOR_PANELS ? v->last_panel : v->panel;
    double w = floor((r.w - 16.0) / INSTRUCTOR_PANELS);
    for (int i = 0; i < INSTRUCTOR_PANELS; i++) {
        Rect tab = {r.x + i * (w + 8.0), r.y, w, BUTTON_PX};
        if (ui_widgets_button(ui, INSTRUCTOR_ID_TABS + i, tab, NAMES[i],
                              i == (int)shown ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_PANEL, i, false);
    }
}

static void draw_told(Ui *ui, Rect r, const InstructorView *v) {
    const Theme *t = ui->theme;
    const char *keys =
        "F1 timeline  F2 causes  F3 say and do  F4 trainee   M message  N note  Z freeze  B take back   "
        "Space pause  , . slower, faster";
    ui_instructor_area(ui, INSTRUCTOR_AREA_TOLD, r);
    bool told = v->told[0] != '\0';
    char text[TEXT_LONG + 16];
    snprintf(text, sizeof text, "%s%s", v->refused ? "Not done: " : "", told ? v->told : keys);
    ui_draw_text_fit(ui->list, v->refused ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT,
                     told ? t->text1 : t->text3, r.x + 16.0, r.y + 22.0, r.w - 32.0, text);
}

/* ---- keys ---- */

/* Keys of the window as a whole, after every field has had its own. */
static void window_keys(Ui *ui, const InstructorView *v, Intents *intents) {
    static const Key PANELS[] = {KEY_F2, KEY_F3, KEY_F4};
    for (int i = 0; i < INSTRUCTOR_PANELS; i++) {
        if (ui_widgets_take_key(ui, PANELS[i], NULL))
            ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_PANEL, i, false);
    }
    if (ui_widgets_take_key(ui, KEY_F1, NULL))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_PANEL, INSTRUCTOR_PANELS, false);
    if (ui_widgets_take_key(ui, KEY_F11, NULL)) ui_intents_add(intents, INTENT_FULL_SCREEN, 0, 0.0, false);
    int to = v->chosen;
    while (v->panel == INSTRUCTOR_PANELS && ui_widgets_take_key(ui, KEY_UP, NULL))
        to--;
    while (v->panel == INSTRUCTOR_PANELS && ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to++;
    if (to != v->chosen && to >= 0 && to < v->events)
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_EVENT, to, false);
    if (ui_widgets_take_char(ui, ' ') && !v->card) ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    while (ui_widgets_take_char(ui, ','))
        ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    while (ui_widgets_take_char(ui, '.'))
        ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) ui_intents_add(intents, INTENT_RATE, 0, 0.0, false);
}

/* Keys of the panel that is not on show: they bring it. */
static void hidden_keys(Ui *ui, Intents *intents) {
    bool message = ui_widgets_take_char(ui, 'm'), note = ui_widgets_take_char(ui, 'n');
    bool back = ui_widgets_take_char(ui, 'b');
    if (message || note || back)
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_PANEL, INSTRUCTOR_SAY, false);
    if (back) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_ASK, 0.0, false);
    if (ui_widgets_take_char(ui, 'z'))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_FREEZE, 0.0, false);
    if (!message && !note) return;
    ui->focus = message ? INSTRUCTOR_ID_MESSAGE : INSTRUCTOR_ID_NOTE;
    ui->focus_shown = true;
}

/* True while letters belong to a field. */
static bool typing(const Ui *ui) {
    return ui->focus == INSTRUCTOR_ID_MESSAGE || ui->focus == INSTRUCTOR_ID_NOTE;
}

void ui_instructor_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const InstructorView *v = state;
    Places p = place(screen);
    InstructorPanel shown = v->panel == INSTRUCTOR_PANELS ? v->last_panel : v->panel;
    ui_instructor_area(ui, INSTRUCTOR_AREA_GROUND, screen);
    draw_top(ui, p.top, v, intents);
    draw_strip(ui, p.strip, v);
    draw_told(ui, p.told, v);
    if (!v->open) return;
    /* fields first: what is typed into one is no key of anything else */
    if (p.wide || shown == INSTRUCTOR_SAY) ui_instructor_draw_say(ui, p.say, v, intents);
    if (!p.wide) draw_tabs(ui, p.tabs, v, intents);
    if (p.wide || shown == INSTRUCTOR_CAUSES) {
        bool keys = v->panel == INSTRUCTOR_CAUSES && !typing(ui) && !v->asked;
        ui_practice_causes(ui, p.causes, INSTRUCTOR_AREA_CAUSES, &v->causes, keys, intents);
    }
    if (p.wide || shown == INSTRUCTOR_TRAINEE) ui_instructor_draw_trainee(ui, p.trainee, v);
    if (!p.small) draw_heart(ui, p.heart, v);
    draw_truth(ui, p.truth, v, !p.small);
    draw_events(ui, p.events, v, intents);
    if (!p.wide && shown != INSTRUCTOR_SAY) hidden_keys(ui, intents);
    window_keys(ui, v, intents);
}
