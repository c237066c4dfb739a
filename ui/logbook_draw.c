/* Drawing the logbook's sheet: head, list of nights, figures, foot. The plots are in logbook_plots.c. */
#include "ui/cards.h"
#include "ui/logbook.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    ID_TRAINEE = 1300,
    ID_CASE,
    ID_NAME,
    ID_TAB,
    ID_DEBRIEF = ID_TAB + 2,
    ID_EXPORT,
    ID_IMPORT,
    ID_BACK,
    ID_FIELD,
    ID_DONE,
    ID_ROW = 1400
};

enum { REGION = 40 /* past those of the bedside */ };

#define MARGIN_PX  24.0
#define HEAD_PX    108.0
#define FOOT_PX    104.0
#define ROW_PX     56.0
#define BUTTON_PX  44.0
#define HEAD_BTN   40.0
#define LIST_SHARE 0.56
#define TWO_PX     1100.0 /* room from which on nights and figures stand side by side */
#define WIDE_PX    760.0  /* figures side by side */
#define PERCENT    100.0
#define MINUTE_S   60.0

static const char *name_of(const char *trainee) {
    return trainee[0] != '\0' ? trainee : "without a name";
}

/* A button as wide as its label, at *x, which moves on. */
static bool wide_button(Ui *ui, int id, double *x, double y, double h, double most, const char *label,
                        ButtonLook look) {
    double w = fmin(ui_draw_text_width(ui->list, FACE_WORDS, TYPE_BODY, label) + 28.0, most);
    Rect r = {*x, y, fmax(w, 56.0), h};
    *x += r.w + 10.0;
    return ui_widgets_button(ui, id, r, label, look);
}

/* ---- head ---- */

static void draw_head(Ui *ui, const LogbookSheet *s, Rect head, bool narrow, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE * 2];
    ui_draw_text(ui->list, FACE_WORDS_STRONG, 26.0, ALIGN_LEFT, t->text1, head.x, head.y + 38.0, "Logbook");
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text2, head.x + head.w,
                 head.y + 36.0, "TRAINING ONLY");
    snprintf(text, sizeof text, "%d %s%s", s->rows, s->rows == 1 ? "night" : "nights",
             s->skipped > 0 ? ", and files that are no whole nights" : "");
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, head.x + 130.0, head.y + 37.0,
                     head.w - 290.0, text);
    double x = head.x, y = head.y + 56.0, most = floor((head.w - (narrow ? 250.0 : 30.0)) / 3.0);
    snprintf(text, sizeof text, "T  %.60s", s->name >= 0 ? name_of(s->trainee[s->name]) : "All trainees");
    if (wide_button(ui, ID_TRAINEE, &x, y, HEAD_BTN, most, text, s->name >= 0 ? BUTTON_CHOSEN : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_TRAINEE, 1.0, false);
    snprintf(text, sizeof text, "C  %.110s",
             s->chosen_case >= 0 ? s->case_title[s->chosen_case] : "All cases");
    if (wide_button(ui, ID_CASE, &x, y, HEAD_BTN, most, text,
                    s->chosen_case >= 0 ? BUTTON_CHOSEN : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_CASE, 1.0, false);
    snprintf(text, sizeof text, "N  Working %s%.60s", s->working[0] != '\0' ? "as " : "",
             name_of(s->working));
    if (wide_button(ui, ID_NAME, &x, y, HEAD_BTN, most, text, BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_NAME, false);
    if (!narrow) return;
    static const char *const TABS[] = {"1  Nights", "2  Figures"};
    x = head.x + head.w - 232.0;
    for (int i = 0; i < 2; i++) {
        if (wide_button(ui, ID_TAB + i, &x, y, HEAD_BTN, 120.0, TABS[i],
                        s->tab == i ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_TAB, i, false);
        ui_widgets_tell(ui, UI_ROLE_TAB, NULL, s->tab == i);
    }
}

/* ---- nights ---- */

static void say_recognition(const LogbookRow *row, char *text, size_t size) {
    if (!row->trouble)
        snprintf(text, size, "no trouble");
    else if (row->recognition_s >= 0.0)
        snprintf(text, size, "right call after %.0f min", row->recognition_s / MINUTE_S);
    else
        snprintf(text, size, "no right call");
}

static void draw_row(Ui *ui, const LogbookSheet *s, int index, Rect r, Intents *intents) {
    static const char *const RIGHT[] = {"wrong", "right kind", "right"};
    const Theme *t = ui->theme;
    const LogbookRow *row = &s->item[index];
    bool chosen = index == s->row;
    char text[TEXT_LINE * 4], score[TEXT_SHORT] = "--";
    ui->mouse_only = true;
    if (ui_widgets_area(ui, ID_ROW + index, r))
        ui_intents_add(intents, INTENT_PART, chosen ? LOGBOOK_PART_DEBRIEF : LOGBOOK_PART_ROW, index, false);
    ui_widgets_tell(ui, UI_ROLE_ROW, NULL, chosen);
    ui->mouse_only = false;
    if (chosen || ui_widgets_hovered(ui, r)) ui_draw_rect(ui->list, r, 8.0, t->selected);
    if (chosen) ui_draw_frame(ui->list, r, 8.0, ui_draw_solid(t->text1, 2.0));
    if (isfinite(row->score)) snprintf(score, sizeof score, "%.0f %%", PERCENT * row->score);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_RIGHT, t->text1, r.x + r.w - 14.0, r.y + 23.0,
                 score);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY + 1.0, ALIGN_LEFT, t->text1, r.x + 14.0,
                     r.y + 23.0, r.w - 100.0, row->case_title);
    say_recognition(row, text, sizeof text);
    double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, text);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, r.x + r.w - 14.0, r.y + 45.0, text);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + 14.0, r.y + 45.0, row->when);
    double x = r.x + 14.0 + ui_draw_text_width(ui->list, FACE_DIGITS, TYPE_NOTE, "00-00 00:00") + 14.0;
    snprintf(text, sizeof text, "%s%s%s%s%s%s%s", s->name < 0 ? name_of(row->trainee) : "",
             s->name < 0 ? ", " : "", row->outcome, row->call[0] != '\0' ? "; called " : "",
             row->call[0] != '\0' ? RIGHT[row->right] : "", row->call[0] != '\0' ? ": " : "", row->call);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, x, r.y + 45.0,
                     r.x + r.w - 28.0 - w - x, text);
}

static void draw_nights(Ui *ui, const LogbookSheet *s, Rect room, Intents *intents) {
    int visible = (int)fmax(floor(room.h / ROW_PX), 1.0);
    int first = s->row >= visible ? s->row - visible + 1 : 0;
    if (s->rows == 0) {
        (void)ui_cards_paragraph(
            ui, room, room.y + 30.0, false,
            "No night has been recorded here yet. Play a case: what came of it stands here "
            "as soon as you leave it.");
        return;
    }
    for (int i = first; i < s->rows && i < first + visible; i++)
        draw_row(ui, s, i, (Rect){room.x, room.y + (i - first) * ROW_PX, room.w - 14.0, ROW_PX - 4.0},
                 intents);
    if (s->rows <= visible) return;
    Rect track = {room.x + room.w - 6.0, room.y, 6.0, room.h};
    ui_draw_rect(ui->list, track, 3.0, ui->theme->raised);
    ui_draw_rect(ui->list,
                 (Rect){track.x, track.y + track.h * first / s->rows, track.w, track.h * visible / s->rows},
                 3.0, ui->theme->edge);
}

/* ---- figures ---- */

static void draw_next(Ui *ui, const LogbookSheet *s, Rect panel) {
    const Theme *t = ui->theme;
    ui_draw_rect(ui->list, panel, PANEL_RADIUS, t->panel);
    Rect r = ui_rect_inset(panel, 16.0, 8.0);
    double y = r.y + 20.0, bottom = r.y + r.h;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y,
                 "What to practise next");
    y += 25.0;
    for (int i = 0; i < s->next_count && y < bottom; i++, y += 22.0) {
        double w =
            fmin(ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, s->next_case[i]), 0.5 * r.w);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x, y, w + 1.0,
                         s->next_case[i]);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x + w + 12.0, y,
                         r.w - w - 12.0, s->next_why[i]);
    }
    if (s->confused > 0 && y < bottom)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, r.x, y, r.w,
                         s->confused_text);
}

static void draw_figures(Ui *ui, const LogbookSheet *s, Rect room) {
    double next = 34.0 + 22.0 * (s->next_count + (s->confused > 0)) + 14.0;
    Rect rest = room, bottom = ui_rect_cut_bottom(&rest, fmin(next, 0.4 * room.h));
    (void)ui_rect_cut_bottom(&rest, 12.0);
    Rect course = rest, reliability;
    if (room.w >= WIDE_PX && room.h < room.w) {
        reliability = ui_rect_cut_right(&course, floor(0.5 * rest.w) - 6.0);
        (void)ui_rect_cut_right(&course, 12.0);
    } else {
        reliability = ui_rect_cut_bottom(&course, floor(0.5 * rest.h) - 6.0);
        (void)ui_rect_cut_bottom(&course, 12.0);
    }
    ui_logbook_course(ui, course, s);
    ui_logbook_reliability(ui, reliability, s);
    draw_next(ui, s, bottom);
}

/* ---- foot ---- */

static void draw_typing(Ui *ui, const LogbookSheet *s, Rect foot, Intents *intents) {
    static const char *const ASKS[] = {
        [LOGBOOK_MODE_EXPORT] = "Write these nights to (.tar nights, .csv table, .json xAPI)",
        [LOGBOOK_MODE_IMPORT] = "Add the nights of the file",
        [LOGBOOK_MODE_NAME] = "Record nights for (a pseudonym; empty: no name)"};
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, foot.x, foot.y + 24.0,
                     foot.w, ASKS[s->mode]);
    Rect field = {foot.x, foot.y + 40.0, foot.w - 260.0, BUTTON_PX};
    if (ui->focus != ID_DONE && ui->focus != ID_BACK) ui->focus = ID_FIELD;
    ui_textfield_draw(ui, ID_FIELD, field, &s->field, s->mode == LOGBOOK_MODE_NAME ? "a name" : "a file",
                      INTENT_PART, LOGBOOK_PART_EDIT, intents);
    Rect done = {field.x + field.w + 12.0, field.y, 118.0, BUTTON_PX},
         drop = {done.x + 130.0, field.y, 118.0, BUTTON_PX};
    bool go = ui_widgets_button(ui, ID_DONE, done, "Done", BUTTON_PRIMARY);
    bool stop = ui_widgets_button(ui, ID_BACK, drop, "Esc  Drop", BUTTON_PLAIN);
    go = (!stop && ui_widgets_take_default(ui)) || go;
    stop = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || stop;
    if (stop)
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_NONE, false);
    else if (go)
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_DONE, 0.0, false);
}

static void draw_foot(Ui *ui, const LogbookSheet *s, Rect foot, Intents *intents) {
    ui_draw_text_fit(
        ui->list, s->notice[0] != '\0' ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT,
        s->notice[0] != '\0' ? ui->theme->text1 : ui->theme->text3, foot.x, foot.y + 24.0, foot.w,
        s->notice[0] != '\0' ? s->notice : "\u2191 \u2193 another night, Enter looks back on it");
    double x = foot.x, y = foot.y + 40.0;
    bool some = s->rows > 0;
    bool back = wide_button(ui, ID_DEBRIEF, &x, y, BUTTON_PX, 260.0, "Enter  Debrief",
                            some ? BUTTON_PRIMARY : BUTTON_OFF);
    if (back && some) ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_DEBRIEF, 0.0, false);
    if (wide_button(ui, ID_EXPORT, &x, y, BUTTON_PX, 260.0, "X  Export", some ? BUTTON_PLAIN : BUTTON_OFF) &&
        some)
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_EXPORT, false);
    if (wide_button(ui, ID_IMPORT, &x, y, BUTTON_PX, 260.0, "I  Import", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_IMPORT, false);
    if (wide_button(ui, ID_BACK, &x, y, BUTTON_PX, 260.0, "Esc  Back", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}

static void take_keys(Ui *ui, const LogbookSheet *s, Intents *intents) {
    int to = s->row;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to--;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to++;
    if (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL)) to -= 8;
    if (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL)) to += 8;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = s->rows - 1;
    to -= (int)ui->input.wheel;
    if (to != s->row) ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_ROW, to, false);
    if (ui_widgets_take_char(ui, 't')) ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_TRAINEE, 1.0, false);
    if (ui_widgets_take_char(ui, 'c')) ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_CASE, 1.0, false);
    if (ui_widgets_take_char(ui, '1')) ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_TAB, 0.0, false);
    if (ui_widgets_take_char(ui, '2')) ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_TAB, 1.0, false);
    if (ui_widgets_take_char(ui, 'n'))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_NAME, false);
    if (s->rows > 0 && ui_widgets_take_char(ui, 'x'))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_EXPORT, false);
    if (ui_widgets_take_char(ui, 'i'))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_MODE, LOGBOOK_MODE_IMPORT, false);
    if (s->rows > 0 && ui_widgets_take_default(ui))
        ui_intents_add(intents, INTENT_PART, LOGBOOK_PART_DEBRIEF, 0.0, false);
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}

void ui_logbook_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const LogbookSheet *s = state;
    Rect room = ui_rect_inset(screen, MARGIN_PX, 0.0);
    bool narrow = room.w < TWO_PX;
    ui_draw_region(ui->list, REGION, screen);
    ui_draw_rect(ui->list, screen, 0.0, ui->theme->window);
    Rect head = ui_rect_cut_top(&room, HEAD_PX), foot = ui_rect_cut_bottom(&room, FOOT_PX);
    bool typing = s->mode != LOGBOOK_MODE_NONE;
    if (typing) draw_typing(ui, s, foot, intents); /* first: what is typed is its own */
    draw_head(ui, s, head, narrow, intents);
    if (narrow) {
        if (s->tab == 0)
            draw_nights(ui, s, room, intents);
        else
            draw_figures(ui, s, room);
    } else {
        Rect list = ui_rect_cut_left(&room, floor(LIST_SHARE * room.w));
        (void)ui_rect_cut_left(&room, 18.0);
        draw_nights(ui, s, list, intents);
        draw_figures(ui, s, room);
    }
    if (typing) return;
    draw_foot(ui, s, foot, intents);
    take_keys(ui, s, intents);
}
