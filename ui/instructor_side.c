/* The instructor's window: what is said and done, and what the trainee does. */
#include "ui/instructor_parts.h"

#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define BUTTON_PX 36.0
#define LINE_PX   44.0
#define READY_PX  28.0
#define ROW_PX    22.0
#define PAD_PX    8.0

/* ---- say and do ---- */

/* A field with its button; the letter moves the keyboard there, Enter sends, Escape leaves it. */
static void draw_field(Ui *ui, Rect r, int field, int button, const TextField *text, const char *hint,
                       const char *label, uint32_t letter, int edit, int send, Intents *intents) {
    bool here = ui->focus == field;
    bool sent = here && ui_widgets_take_key(ui, KEY_ENTER, NULL);
    bool left = here && ui_widgets_take_key(ui, KEY_ESCAPE, NULL);
    Rect b = ui_rect_cut_right(&r, 84.0);
    (void)ui_rect_cut_right(&r, PAD_PX);
    ui_textfield_draw(ui, field, r, text, hint, INTENT_PART, edit, intents);
    bool empty = text->text[0] == '\0' && send != INSTRUCTOR_PART_MARK;
    sent = ui_widgets_button(ui, button, b, label, empty ? BUTTON_OFF : BUTTON_PLAIN) || sent;
    if (sent && !empty) ui_intents_add(intents, INTENT_PART, send, 0.0, false);
    if (left || (here && sent)) ui->focus = 0; /* letters are keys again */
    bool other = ui->focus == INSTRUCTOR_ID_MESSAGE || ui->focus == INSTRUCTOR_ID_NOTE;
    if (!other && ui_widgets_take_char(ui, letter)) {
        ui->focus = field;
        ui->focus_shown = true;
    }
}

static void draw_ready(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    const Theme *t = ui->theme;
    int room = (int)floor(r.h / READY_PX);
    for (int i = 0; i < ui_instructor_ready_lines() && i < room; i++) {
        int who;
        const char *line = ui_instructor_ready_line(i, &who);
        char text[TEXT_LINE * 2];
        Rect row = {r.x, r.y + i * READY_PX, r.w, READY_PX};
        bool taken = ui_widgets_area(ui, INSTRUCTOR_ID_READY + i, row);
        snprintf(text, sizeof text, "%d  %s: %s", (i + 1) % 10, ui_instructor_speaker(who), line);
        ui_widgets_tell(ui, UI_ROLE_ROW, NULL, false);
        if (ui_widgets_hovered(ui, row)) ui_draw_rect(ui->list, row, 4.0, t->raised);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, row.x + 8.0, row.y + 20.0,
                         row.w - 16.0, text);
        ui_widgets_focus_ring(ui, INSTRUCTOR_ID_READY + i, ui_rect_inset(row, 4.0, 4.0), 4.0);
        bool key = v->panel == INSTRUCTOR_SAY && ui->focus != INSTRUCTOR_ID_MESSAGE &&
                   ui->focus != INSTRUCTOR_ID_NOTE &&
                   ui_widgets_take_char(ui, (uint32_t)('0' + (i + 1) % 10));
        if (taken || key) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_LINE, i, false);
    }
}

static void draw_diagnosis(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    Rect less = ui_rect_cut_left(&r, 40.0), say = ui_rect_cut_right(&r, 112.0);
    (void)ui_rect_cut_right(&r, PAD_PX);
    Rect more = ui_rect_cut_right(&r, 40.0);
    bool before = ui_widgets_sign_button(ui, INSTRUCTOR_ID_TRUTH_BEFORE, less, 'l', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "diagnosis before", false);
    bool after = ui_widgets_sign_button(ui, INSTRUCTOR_ID_TRUTH_AFTER, more, 'r', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "next diagnosis", false);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, ui->theme->text1, r.x + r.w / 2.0,
                     r.y + 24.0, r.w - 8.0, sim_diagnoses_row(v->diagnosis)->label);
    bool said = ui_widgets_button(ui, INSTRUCTOR_ID_TRUTH_SAY, say, "U  Is true", BUTTON_PLAIN);
    before = ui_widgets_take_capital(ui, 'T') || before;
    after = ui_widgets_take_char(ui, 't') || after;
    said = ui_widgets_take_char(ui, 'u') || said;
    if (before) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_TRUTH, -1.0, false);
    if (after) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_TRUTH, 1.0, false);
    if (said) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_TRUTH_SAY, 0.0, false);
}

static void draw_back(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    char text[TEXT_LINE];
    Rect less = ui_rect_cut_left(&r, 40.0), minutes = ui_rect_cut_left(&r, 84.0),
         more = ui_rect_cut_left(&r, 40.0);
    (void)ui_rect_cut_left(&r, PAD_PX);
    bool sooner = ui_widgets_sign_button(ui, INSTRUCTOR_ID_BACK_LESS, less, '-', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "a minute less", false);
    bool farther = ui_widgets_sign_button(ui, INSTRUCTOR_ID_BACK_MORE, more, '+', BUTTON_PLAIN);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "a minute more", false);
    snprintf(text, sizeof text, "%d min", v->back_min);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, ui->theme->text1, minutes.x + minutes.w / 2.0,
                 minutes.y + 24.0, text);
    bool ask = ui_widgets_button(ui, INSTRUCTOR_ID_BACK, r, "B  Take back", BUTTON_PLAIN);
    ask = ui_widgets_take_char(ui, 'b') || ask;
    if (sooner) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_BY, -1.0, false);
    if (farther) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_BY, 1.0, false);
    if (ask) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_ASK, 0.0, false);
}

/* What a take-back would lose, before it is done. */
static void draw_confirm(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE], from[TEXT_SHORT], to[TEXT_SHORT];
    ui_draw_rect(ui->list, r, 6.0, t->selected);
    ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->text1, 2.0));
    ui_tiles_clock(from, sizeof from, v->time_s, true);
    ui_tiles_clock(to, sizeof to, v->back_to_s, true);
    snprintf(text, sizeof text, "Take the night back from %s to %s?", from, to);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, r.x + 12.0, r.y + 25.0,
                     r.w - 24.0, text);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, t->text2, r.x + 12.0, r.y + 49.0, r.w - 24.0,
                            ROW_PX, 2, v->lost);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, r.x + 12.0, r.y + 95.0,
                     r.w - 24.0, "It stays in the record as taken back. \u2190 \u2192: less, more.");
    Rect line = {r.x + 12.0, r.y + r.h - BUTTON_PX - 8.0, r.w - 24.0, BUTTON_PX};
    bool done =
        ui_widgets_button(ui, INSTRUCTOR_ID_BACK, ui_rect_cut_left(&line, floor((line.w - PAD_PX) / 2.0)),
                          "Take back  Enter", BUTTON_PRIMARY);
    (void)ui_rect_cut_left(&line, PAD_PX);
    bool kept = ui_widgets_button(ui, INSTRUCTOR_ID_BACK_KEEP, line, "Leave it  Esc", BUTTON_PLAIN);
    done = ui_widgets_take_key(ui, KEY_ENTER, NULL) || done;
    kept = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || kept;
    if (ui_widgets_take_key(ui, KEY_LEFT, NULL))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_BY, -1.0, false);
    if (ui_widgets_take_key(ui, KEY_RIGHT, NULL))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_BY, 1.0, false);
    if (done)
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_DO, 0.0, false);
    else if (kept)
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_BACK_KEEP, 0.0, false);
}

void ui_instructor_draw_say(Ui *ui, Rect r, const InstructorView *v, Intents *intents) {
    ui_instructor_area(ui, INSTRUCTOR_AREA_SAY, r);
    Rect rest = ui_widgets_panel(ui, r, "Say and do", "F3, 1 to 0"), line;
    Rect bottom = ui_rect_cut_bottom(&rest, 3.0 * LINE_PX + 12.0);
    line = ui_rect_cut_top(&rest, LINE_PX);
    line.h = BUTTON_PX;
    Rect who = ui_rect_cut_left(&line, 112.0);
    (void)ui_rect_cut_left(&line, PAD_PX);
    if (ui_widgets_button(ui, INSTRUCTOR_ID_WHO, who, ui_instructor_speaker(v->who), BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_WHO, 1.0, false);
    draw_field(ui, line, INSTRUCTOR_ID_MESSAGE, INSTRUCTOR_ID_SEND, &v->message, "M  says to the trainee",
               "Send", 'm', INSTRUCTOR_PART_MESSAGE, INSTRUCTOR_PART_SEND, intents);
    Rect note = ui_rect_cut_bottom(&rest, LINE_PX);
    note.h = BUTTON_PX;
    draw_field(ui, note, INSTRUCTOR_ID_NOTE, INSTRUCTOR_ID_MARK, &v->note, "N  a note on this moment", "Mark",
               'n', INSTRUCTOR_PART_NOTE, INSTRUCTOR_PART_MARK, intents);
    draw_ready(ui, rest, v, intents);
    bool ready = v->panel == INSTRUCTOR_SAY && !v->asked && v->message.text[0] != '\0';
    if (ready && ui_widgets_take_default(ui))
        ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_SEND, 0.0, false);
    if (v->asked) {
        draw_confirm(ui, bottom, v, intents);
        return;
    }
    line = ui_rect_cut_top(&bottom, LINE_PX);
    line.h = BUTTON_PX;
    draw_diagnosis(ui, line, v, intents);
    line = ui_rect_cut_top(&bottom, LINE_PX);
    line.h = BUTTON_PX;
    bool freeze =
        ui_widgets_button(ui, INSTRUCTOR_ID_FREEZE, line,
                          v->frozen ? "Z  Let the pump's screen go on" : "Z  Freeze the pump's screen",
                          v->frozen ? BUTTON_CHOSEN : BUTTON_PLAIN);
    freeze = ui_widgets_take_char(ui, 'z') || freeze;
    if (freeze) ui_intents_add(intents, INTENT_PART, INSTRUCTOR_PART_FREEZE, 0.0, false);
    line = ui_rect_cut_top(&bottom, LINE_PX);
    line.h = BUTTON_PX;
    draw_back(ui, line, v, intents);
}

/* ---- the trainee ---- */

static void draw_line(Ui *ui, Rect r, const InstructorLine *line) {
    const Theme *t = ui->theme;
    char clock[TEXT_SHORT], text[TEXT_LONG + 16];
    ui_tiles_clock(clock, sizeof clock, line->time_s, true);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text3, r.x, r.y + 17.0, clock);
    bool trainee = !line->instructor && !line->mine && line->kind != LOG_MESSAGE && line->kind != LOG_DONE;
    snprintf(text, sizeof text, "%s%.630s", line->instructor ? "you: " : "", line->text);
    ui_draw_text_fit(ui->list, line->kind == LOG_CALL ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT,
                     trainee ? t->text1 : t->text2, r.x + 82.0, r.y + 17.0, r.w - 82.0, text);
}

static void draw_title(Ui *ui, Rect r, const char *title) {
    const Theme *t = ui->theme;
    ui_draw_line(ui->list, r.x, r.y + 2.0, r.x + r.w, r.y + 2.0, ui_draw_solid(t->hairline, 1.0));
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x, r.y + 22.0, title);
}

static void draw_goals(Ui *ui, Rect r, const InstructorView *v, int count) {
    const Theme *t = ui->theme;
    draw_title(ui, ui_rect_cut_top(&r, ROW_PX + 6.0), "Objectives and score so far");
    for (int i = 0; i < count; i++) {
        const InstructorGoal *goal = &v->goal[i];
        Rect row = ui_rect_cut_top(&r, ROW_PX);
        double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, goal->points);
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text1, row.x + row.w, row.y + 17.0,
                     goal->points);
        if (goal->all)
            ui_draw_circle(ui->list, row.x + 6.0, row.y + 11.0, 5.0, t->text1);
        else
            ui_draw_ring(ui->list, row.x + 6.0, row.y + 11.0, 5.0,
                         ui_draw_solid(goal->none ? t->text3 : t->text1, 1.5));
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, goal->none ? t->text2 : t->text1,
                         row.x + 20.0, row.y + 17.0, row.w - w - 34.0, goal->text);
    }
}

static void draw_drips(Ui *ui, Rect r, const InstructorView *v, int lines) {
    const Theme *t = ui->theme;
    draw_title(ui, ui_rect_cut_top(&r, ROW_PX + 6.0), "Running");
    for (int i = 0; i < v->drips && i < 2 * lines; i++)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2,
                         r.x + (i % 2) * floor(r.w / 2.0), r.y + (i / 2) * ROW_PX + 17.0,
                         floor(r.w / 2.0) - 10.0, v->drip[i]);
}

void ui_instructor_draw_trainee(Ui *ui, Rect r, const InstructorView *v) {
    ui_instructor_area(ui, INSTRUCTOR_AREA_TRAINEE, r);
    Rect rest = ui_widgets_panel(ui, r, "The trainee", "newest first");
    int goals = (int)floor(0.34 * rest.h / ROW_PX), drips = (v->drips + 1) / 2;
    goals = goals < v->goals ? goals : v->goals;
    drips = drips < 4 ? drips : 4;
    draw_goals(ui, ui_rect_cut_bottom(&rest, (goals + 1) * ROW_PX + 10.0), v, goals);
    draw_drips(ui, ui_rect_cut_bottom(&rest, (drips + 1) * ROW_PX + 10.0), v, drips);
    for (int i = 0; i < v->lines && rest.h >= ROW_PX; i++)
        draw_line(ui, ui_rect_cut_top(&rest, ROW_PX), &v->line[i]);
    if (v->lines == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, rest.x, rest.y + 17.0,
                     "nothing yet");
}
