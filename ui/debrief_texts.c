/* Panels of the debrief that are words: the night, reactions, what could be seen, chain, signs, questions. */
#include "ui/debrief.h"
#include "ui/heart.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LINE_PX   24.0
#define PARA_PX   8.0
#define ROW_PX    28.0
#define FIELD_PX  40.0
#define LINES_MAX 40
#define HEART_PX  250.0 /* of the picture beside what could be seen */
#define SIGN_R_PX 10.0

/* ---- what panels are made of ---- */

const char *ui_debrief_clock(double time_s, char text[TEXT_SHORT]) {
    if (time_s < 0.0)
        snprintf(text, TEXT_SHORT, "--");
    else
        ui_tiles_clock(text, TEXT_SHORT, time_s, false);
    return text;
}

bool ui_debrief_shows(const DebriefDraw *d, Rect r) {
    return r.y >= d->view.y - 0.5 && r.y + r.h <= d->view.y + d->view.h + 0.5;
}

double ui_debrief_words(const DebriefDraw *d, Rect room, double y, Colour colour, const char *text) {
    int lines = ui_draw_text_wrap(d->ui->list, FACE_WORDS, TYPE_NOTE, colour, room.x, y, room.w, LINE_PX,
                                  LINES_MAX, text);
    return y + lines * LINE_PX + PARA_PX;
}

double ui_debrief_point(const DebriefDraw *d, Rect room, double y, bool ring, const char *text) {
    const Theme *t = d->ui->theme;
    if (ring)
        ui_draw_ring(d->ui->list, room.x + 6.0, y - 5.5, 4.0, ui_draw_solid(t->text2, 1.5));
    else
        ui_draw_circle(d->ui->list, room.x + 6.0, y - 5.5, 3.5, t->text2);
    return ui_debrief_words(d, (Rect){room.x + 20.0, room.y, room.w - 20.0, room.h}, y, t->text1, text);
}

double ui_debrief_field(const DebriefDraw *d, Rect room, double y, DebriefFieldId id, const char *ask) {
    Rect r = {room.x, y + 10.0, room.w, FIELD_PX};
    y = ui_debrief_words(d, room, y, d->ui->theme->text1, ask);
    r.y = y - LINE_PX + 6.0;
    if (ui_debrief_shows(d, r))
        ui_textfield_draw(d->ui, DEBRIEF_ID_FIELD + (int)id, r, &d->state->field[id], "write here",
                          INTENT_PART, DEBRIEF_PART_FIELD + (int)id, d->intents);
    return r.y + FIELD_PX + 34.0;
}

void ui_debrief_sign(Ui *ui, double x, double y, int how) {
    const Theme *t = ui->theme;
    DrawList *list = ui->list;
    double r = SIGN_R_PX;
    if (how == 2)
        ui_draw_circle(list, x, y, r, t->text1);
    else
        ui_draw_ring(list, x, y, r - 0.75, ui_draw_solid(t->text1, 1.5));
    StrokeStyle pen = ui_draw_solid(how == 2 ? t->ink : t->text1, 2.0);
    ui_draw_path(list);
    if (how == 2) {
        ui_draw_move(list, x - 4.5, y);
        ui_draw_to(list, x - 1.0, y + 4.0);
        ui_draw_to(list, x + 5.0, y - 4.0);
    } else if (how == 1) {
        ui_draw_move(list, x, y - 6.0);
        ui_draw_to(list, x, y);
        ui_draw_to(list, x + 4.0, y + 2.5);
    } else {
        ui_draw_move(list, x - 4.0, y - 4.0);
        ui_draw_to(list, x + 4.0, y + 4.0);
        ui_draw_move(list, x + 4.0, y - 4.0);
        ui_draw_to(list, x - 4.0, y + 4.0);
    }
    ui_draw_stroke(list, pen);
}

void ui_debrief_pair(const DebriefDraw *d, Rect room, double y, const char *name, const char *value,
                     bool strong) {
    const Theme *t = d->ui->theme;
    double w = ui_draw_text_width(d->ui->list, FACE_DIGITS, TYPE_NOTE, value);
    ui_draw_text_fit(d->ui->list, strong ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1,
                     room.x, y, room.w - w - 10.0, name);
    ui_draw_text(d->ui->list, strong ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text1,
                 room.x + room.w, y, value);
}

/* ---- reactions ---- */

double ui_debrief_night_text(const DebriefDraw *d, Rect room) {
    const Recall *r = d->state->recall;
    const Theme *t = d->ui->theme;
    char text[TEXT_LONG + CASE_TEXT_MAX], clock[TEXT_SHORT];
    double y = room.y + 18.0;
    ui_draw_text_fit(d->ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, room.x, y, room.w,
                     r->night.case_title);
    y = ui_debrief_words(d, room, y + 30.0, t->text2, r->case_file->summary);
    snprintf(text, sizeof text, "%s h of the night, level %d, seed %llu",
             ui_debrief_clock(r->night.reached_s, clock), r->case_file->level,
             (unsigned long long)r->night.seed);
    y = ui_debrief_words(d, room, y, t->text2, text);
    bool ended = false;
    for (int64_t i = 0; i < r->entry_count; i++) {
        if (r->entry[i].kind != LOG_END) continue;
        ended = true;
        y = ui_debrief_words(d, room, y + 6.0, t->text1, r->entry[i].text);
    }
    if (!ended) y = ui_debrief_words(d, room, y + 6.0, t->text1, "The night was left before its end.");
    if (!r->same_build)
        y = ui_debrief_words(
            d, room, y, t->text2,
            "Another build recorded this night: log and numbers can be read; pictures of the heart, "
            "predictions and what might have been cannot.");
    return y;
}

double ui_debrief_reactions_text(const DebriefDraw *d, Rect room) {
    static const DebriefFieldId FIELDS[] = {DEBRIEF_FIELD_FELT, DEBRIEF_FIELD_WELL, DEBRIEF_FIELD_HARD};
    static const DebriefNoteKind KINDS[] = {NOTE_FELT, NOTE_WELL, NOTE_HARD};
    double y = room.y + 18.0;
    y = ui_debrief_words(
            d, room, y, d->ui->theme->text2,
            "Before the program says anything: what is on your mind? What you write is kept beside this "
            "night and shown to nobody by itself.") +
        10.0;
    for (size_t i = 0; i < sizeof FIELDS / sizeof FIELDS[0]; i++)
        y = ui_debrief_field(d, room, y, FIELDS[i], sim_debrief_notes_ask(KINDS[i]));
    Rect next = {room.x, y - 10.0, fmin(260.0, room.w), 44.0};
    if (ui_debrief_shows(d, next) &&
        ui_widgets_button(d->ui, DEBRIEF_ID_OFFER + 40, next, "On to what happened", BUTTON_PRIMARY))
        ui_debrief_want(d->intents, DEBRIEF_PART_PAGE, DEBRIEF_HAPPENED);
    return y + 44.0;
}

double ui_debrief_phases_text(const DebriefDraw *d, Rect room) {
    static const char *const PHASES[] = {
        "1  Reactions: yours first.",
        "2  What happened: the course minute by minute, what was hidden, what you did, and what could be "
        "seen when.",
        "3  Why: what it was, what you took it for, how sure you were; what moved first.",
        "4  What if: the same patient with something done otherwise, computed by the model.",
        "5  Take home: the score with its reasons, teaching points, what you will do next time.",
    };
    double y = room.y + 18.0;
    for (size_t i = 0; i < sizeof PHASES / sizeof PHASES[0]; i++)
        y = ui_debrief_words(d, room, y, d->ui->theme->text1, PHASES[i]);
    return ui_debrief_words(
        d, room, y + 8.0, d->ui->theme->text2,
        "It is about the night, not about you: an invented patient in a simplified model. Nothing "
        "here says how fit anybody is for practice.");
}

/* ---- what could be seen ---- */

double ui_debrief_seen_text(const DebriefDraw *d, Rect room) {
    const DebriefState *s = d->state;
    const Theme *t = d->ui->theme;
    double y = room.y + 4.0;
    if (s->heart.shown) {
        double h = fmin(HEART_PX, 0.42 * room.h);
        ui_heart_draw(d->ui->list, (Rect){room.x, y, room.w, h}, &s->heart);
        y += h;
    } else {
        ui_draw_text_fit(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, room.x, y + 16.0, room.w,
                         s->heartless);
        y += 24.0;
    }
    y += 24.0;
    for (int i = 0; i < s->seen.count; i++)
        y = ui_debrief_point(d, room, y, s->seen.picture[i], s->seen.line[i]) - 4.0;
    return ui_debrief_words(d, room, y + 6.0, t->text2,
                            "With a ring: only a look at the heart would have shown it.");
}

double ui_debrief_note_text(const DebriefDraw *d, Rect room) {
    Rect r = {room.x, room.y + 2.0, room.w, FIELD_PX};
    if (ui_debrief_shows(d, r))
        ui_textfield_draw(d->ui, DEBRIEF_ID_FIELD + DEBRIEF_FIELD_MOMENT, r,
                          &d->state->field[DEBRIEF_FIELD_MOMENT], "N: write here", INTENT_PART,
                          DEBRIEF_PART_FIELD + DEBRIEF_FIELD_MOMENT, d->intents);
    return r.y + FIELD_PX + 4.0;
}

double ui_debrief_marks_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const Theme *t = d->ui->theme;
    double y = room.y + 18.0;
    int now = -1;
    for (int i = 0; i < b->mark_count; i++) {
        if (b->mark[i].time_s <= d->state->cursor_s + 0.5) now = i;
    }
    for (int i = 0; i < b->mark_count; i++) {
        char text[DEBRIEF_LINE_MAX + TEXT_SHORT], clock[TEXT_SHORT];
        Rect inner = {room.x + 34.0, room.y, room.w - 34.0, room.h};
        double top = y - 19.0;
        DrawMark before = ui_draw_mark(d->ui->list);
        snprintf(text, sizeof text, "%s  %s", ui_debrief_clock(b->mark[i].time_s, clock), b->mark[i].text);
        double end = ui_debrief_words(d, inner, y, t->text1, text);
        Rect row = {room.x - 6.0, top, room.w + 12.0, end - LINE_PX - top};
        ui_draw_rewind(d->ui->list, before);
        if (i == now) ui_draw_rect(d->ui->list, row, 5.0, t->selected);
        snprintf(clock, sizeof clock, "%d", i + 1);
        ui_draw_text(d->ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, room.x + 24.0, y, clock);
        y = ui_debrief_words(d, inner, y, t->text1, text) - 2.0;
        if (!ui_debrief_shows(d, row)) continue;
        d->ui->mouse_only = true;
        if (ui_widgets_area(d->ui, DEBRIEF_ID_MARK + i, row))
            ui_debrief_want(d->intents, DEBRIEF_PART_CURSOR, b->mark[i].time_s);
        ui_widgets_tell(d->ui, UI_ROLE_ROW, NULL, i == now);
        d->ui->mouse_only = false;
    }
    if (b->mark_count == 0)
        y = ui_debrief_words(d, room, y, t->text2, "Nothing was ordered, looked at or said.");
    return y;
}

double ui_debrief_alarms_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    double y = room.y + 18.0;
    for (int i = 0; i < b->alarm_count; i++) {
        AlarmId id = sim_alarms_find(b->alarm[i].key);
        char from[TEXT_SHORT], to[TEXT_SHORT], when[2 * TEXT_SHORT + 8];
        snprintf(when, sizeof when, "%s \u2013 %s", ui_debrief_clock(b->alarm[i].from_s, from),
                 ui_debrief_clock(b->alarm[i].to_s, to));
        ui_debrief_pair(d, room, y, id < ALARM_COUNT ? sim_alarms_row(id)->label : b->alarm[i].key, when,
                        false);
        y += ROW_PX;
    }
    return y;
}

/* ---- why ---- */

double ui_debrief_chain_text(const DebriefDraw *d, Rect room) {
    const DebriefChain *c = &d->state->debrief->chain;
    const struct {
        const char *what;
        double time_s;
    } LINKS[] = {{"Trouble began", c->trouble_s},
                 {"First sign to be seen", c->sign_s},
                 {"First look after that", c->look_s},
                 {"Named rightly", c->call_s},
                 {"First treatment", c->answer_s}};
    const Theme *t = d->ui->theme;
    double y = room.y + 18.0, before_y = 0.0;
    for (size_t i = 0; i < sizeof LINKS / sizeof LINKS[0]; i++) {
        char clock[TEXT_SHORT], after[TEXT_SHORT] = "not at all";
        bool done = LINKS[i].time_s >= 0.0;
        double x = room.x + 8.0;
        if (i > 0) ui_draw_line(d->ui->list, x, before_y + 8.0, x, y - 14.0, ui_draw_solid(t->edge, 1.5));
        if (done)
            ui_draw_circle(d->ui->list, x, y - 6.0, 6.0, t->text1);
        else
            ui_draw_ring(d->ui->list, x, y - 6.0, 5.5, ui_draw_solid(t->text2, 1.5));
        before_y = y - 6.0;
        Rect inner = {room.x + 26.0, room.y, room.w - 26.0, room.h};
        ui_debrief_pair(d, inner, y, LINKS[i].what, ui_debrief_clock(LINKS[i].time_s, clock), done);
        if (done && i > 0)
            snprintf(after, sizeof after, "%+.0f min", (LINKS[i].time_s - c->trouble_s) / 60.0);
        if (i > 0 || !done)
            ui_draw_text(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, inner.x, y + 21.0, after);
        y += i > 0 ? 50.0 : 32.0;
    }
    return y - 20.0;
}

double ui_debrief_signs_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const Theme *t = d->ui->theme;
    double y = ui_debrief_words(d, room, room.y + 18.0, t->text2,
                                "First change of each beyond three times its noise, for a minute.") +
               4.0;
    for (int i = 0; i < b->sign_count; i++) {
        const DebriefSign *sign = &b->sign[i];
        char text[TEXT_LINE * 2], clock[TEXT_SHORT];
        int decimals = sign->decimals > 0 ? sign->decimals : 0;
        ui_debrief_pair(d, room, y, sign->label, ui_debrief_clock(sign->time_s, clock), i == 0);
        snprintf(text, sizeof text, "%.*f to %.*f %s, %s%s", decimals, sign->before, decimals, sign->now,
                 sign->unit, sign->picture ? "in the picture" : "on the monitor",
                 sign->after_order ? ", after a treatment" : "");
        y = ui_debrief_words(d, room, y + 22.0, t->text2, text) + 4.0;
    }
    return y;
}

double ui_debrief_questions_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const Theme *t = d->ui->theme;
    double y = room.y + 18.0;
    for (int i = 0; i < b->question_count; i++) {
        char letter[2] = {(char)('a' + i), '\0'};
        ui_draw_ring(d->ui->list, room.x + 10.0, y - 5.5, 10.0, ui_draw_solid(t->text2, 1.2));
        ui_draw_text(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text1, room.x + 10.0, y, letter);
        y = ui_debrief_words(d, (Rect){room.x + 30.0, room.y, room.w - 30.0, room.h}, y, t->text1,
                             b->question[i]) +
            4.0;
    }
    return y;
}

/* ---- take home ---- */

double ui_debrief_well_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    double y = room.y + 18.0;
    for (int i = 0; i < b->well_count; i++)
        y = ui_debrief_point(d, room, y, false, b->well[i]) - 2.0;
    return y - 10.0;
}

double ui_debrief_teaching_text(const DebriefDraw *d, Rect room) {
    const Case *night = d->state->recall->case_file;
    double y = room.y + 18.0;
    for (int i = 0; i < night->teaching_count; i++) {
        y = ui_debrief_point(d, room, y, false, night->teaching[i].text) - 6.0;
        y = ui_debrief_words(d, (Rect){room.x + 20.0, room.y, room.w - 20.0, room.h}, y, d->ui->theme->text2,
                             night->teaching[i].source) +
            6.0;
    }
    return y;
}

double ui_debrief_next_text(const DebriefDraw *d, Rect room) {
    double y = ui_debrief_words(d, room, room.y + 18.0, d->ui->theme->text2,
                                "One to three things, as plain as you can: when I see this, I will do that.");
    static const char *const ASKS[] = {"When \u2026, I will \u2026", "and when \u2026", "and when \u2026"};
    for (int i = 0; i < 3; i++)
        y = ui_debrief_field(d, room, y + 6.0, (DebriefFieldId)(DEBRIEF_FIELD_NEXT1 + i), ASKS[i]);
    return y - 20.0;
}

double ui_debrief_notes_text(const DebriefDraw *d, Rect room) {
    const DebriefNotes *notes = &d->state->notes;
    double y = room.y + 18.0;
    for (int i = 0; i < notes->count; i++) {
        const DebriefNote *note = &notes->note[i];
        char text[DEBRIEF_NOTE_MAX + TEXT_LINE], clock[TEXT_SHORT];
        if (note->kind == NOTE_MOMENT)
            snprintf(text, sizeof text, "%s  %s", ui_debrief_clock(note->time_s, clock), note->text);
        else
            snprintf(text, sizeof text, "%s", note->text);
        y = ui_debrief_point(d, room, y, false, text);
    }
    return y;
}

double ui_debrief_page_text(const DebriefDraw *d, Rect room) {
    double y = ui_debrief_words(d, room, room.y + 18.0, d->ui->theme->text2,
                                "The same as one page that needs nothing else, to read or to print.");
    Rect button = {room.x, y - 8.0, fmin(230.0, room.w), 44.0};
    if (ui_debrief_shows(d, button) &&
        ui_widgets_button(d->ui, DEBRIEF_ID_EXPORT, button, "Write the page  X", BUTTON_PLAIN))
        ui_debrief_want(d->intents, DEBRIEF_PART_EXPORT, 0.0);
    y = ui_debrief_words(d, room, y + 66.0, d->ui->theme->text2, d->state->path);
    return ui_debrief_words(d, room, y, d->ui->theme->text2,
                            "Local protocols and licensed practice decide what is done to a person.");
}
