/* What might have been, drawn: the acts to choose from, how the chosen one is changed, and what came of it.
 */
#include "ui/debrief.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROW_PX    34.0
#define BUTTON_PX 38.0
#define GAP_PX    8.0
#define TIGHT_PX  380.0
#define BAR_PX    8.0

/* ---- the acts ---- */

static const char *change_of(const DebriefEdit *edit) {
    if (edit->dropped) return "left out";
    if (edit->was_s < 0.0) return "added";
    if (strcmp(edit->words, edit->was) != 0) return "reworded";
    return fabs(edit->time_s - edit->was_s) > 0.5 ? "moved" : "";
}

double ui_debrief_acts_text(const DebriefDraw *d, Rect room) {
    const DebriefWhatifState *w = &d->state->whatif;
    const Theme *t = d->ui->theme;
    double y = room.y + 4.0;
    for (int i = 0; i < w->edits; i++) {
        const DebriefEdit *edit = &w->edit[i];
        const char *change = change_of(edit);
        char clock[TEXT_SHORT];
        Rect row = {room.x - 8.0, y, room.w + 16.0, ROW_PX};
        double baseline = y + 23.0, used = 0.0;
        if (i == w->chosen) ui_draw_rect(d->ui->list, row, 6.0, t->selected);
        if (change[0] != '\0') {
            used = ui_draw_text_width(d->ui->list, FACE_WORDS_STRONG, TYPE_NOTE, change) + 10.0;
            ui_draw_text(d->ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text1, room.x + room.w,
                         baseline, change);
        }
        Colour ink = edit->dropped ? t->text3 : t->text1;
        ui_draw_text(d->ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, ink, room.x, baseline,
                     ui_debrief_clock(edit->time_s, clock));
        ui_draw_text_fit(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, room.x + 52.0, baseline,
                         room.w - 52.0 - used, edit->words[0] != '\0' ? edit->words : "(not written yet)");
        if (ui_debrief_shows(d, row)) {
            d->ui->mouse_only = true;
            if (ui_widgets_area(d->ui, DEBRIEF_ID_ACT + i, row))
                ui_debrief_want(d->intents, DEBRIEF_PART_ACT, i);
            ui_widgets_tell(d->ui, UI_ROLE_ROW, NULL, i == w->chosen);
            d->ui->mouse_only = false;
        }
        y += ROW_PX + 2.0;
    }
    if (w->edits == 0) y = ui_debrief_words(d, room, y + 16.0, t->text2, w->problem);
    return y;
}

/* ---- changing one ---- */

/* A row of buttons, equally wide. */
static double buttons(const DebriefDraw *d, Rect room, double y, int count, const int id[],
                      const char *const label[], const DebriefPart part[], const double amount[],
                      ButtonLook look) {
    double w = (room.w - (count - 1) * GAP_PX) / count;
    for (int i = 0; i < count; i++) {
        Rect r = {room.x + i * (w + GAP_PX), y, w, BUTTON_PX};
        if (ui_debrief_shows(d, r) && ui_widgets_button(d->ui, id[i], r, label[i], look))
            ui_debrief_want(d->intents, (int)part[i], amount[i]);
    }
    return y + BUTTON_PX + GAP_PX;
}

double ui_debrief_change_text(const DebriefDraw *d, Rect room) {
    const DebriefWhatifState *w = &d->state->whatif;
    const Theme *t = d->ui->theme;
    double y = room.y;
    if (w->edits == 0 && w->problem[0] != '\0')
        return ui_debrief_words(d, room, y + 18.0, t->text1, w->problem);
    y = buttons(d, room, y, 1, (int[]){DEBRIEF_ID_OFFER},
                (const char *const[]){"The treatment 20 min earlier  T"}, (DebriefPart[]){DEBRIEF_PART_OFFER},
                (double[]){0.0}, BUTTON_PLAIN);
    if (w->edits > 0) {
        const DebriefEdit *edit = &w->edit[w->chosen];
        char was[TEXT_SHORT], now[TEXT_SHORT], text[TEXT_LINE];
        double shift_min = (edit->time_s - edit->was_s) / 60.0;
        if (edit->was_s < 0.0)
            snprintf(text, sizeof text, "New at %s", ui_debrief_clock(edit->time_s, now));
        else if (fabs(shift_min) < 0.01)
            snprintf(text, sizeof text, "At %s, as it was", ui_debrief_clock(edit->time_s, now));
        else
            snprintf(text, sizeof text, "%s \u2192 %s, %.0f min %s", ui_debrief_clock(edit->was_s, was),
                     ui_debrief_clock(edit->time_s, now), fabs(shift_min),
                     shift_min < 0.0 ? "earlier" : "later");
        ui_draw_text_fit(d->ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y + 18.0,
                         room.w, text);
        y += 28.0;
        Rect field = {room.x, y, room.w, 40.0};
        if (ui_debrief_shows(d, field)) {
            if (d->ui->focus == DEBRIEF_ID_FIELD + DEBRIEF_FIELD_WORDS &&
                ui_widgets_take_key(d->ui, KEY_ENTER, NULL))
                ui_debrief_want(d->intents, DEBRIEF_PART_WORDS, 0.0);
            ui_textfield_draw(d->ui, DEBRIEF_ID_FIELD + DEBRIEF_FIELD_WORDS, field,
                              &d->state->field[DEBRIEF_FIELD_WORDS], "what is done; Enter takes it",
                              INTENT_PART, DEBRIEF_PART_FIELD + DEBRIEF_FIELD_WORDS, d->intents);
        }
        y += 40.0 + GAP_PX;
        y = buttons(
            d, room, y, 3, (int[]){DEBRIEF_ID_EARLIER, DEBRIEF_ID_LATER, DEBRIEF_ID_DROP},
            (const char *const[]){"\u2212 5 min", "+ 5 min", edit->dropped ? "Take back" : "Leave out"},
            (DebriefPart[]){DEBRIEF_PART_MOVE, DEBRIEF_PART_MOVE, DEBRIEF_PART_DROP},
            (double[]){-300.0, 300.0, 0.0}, BUTTON_PLAIN);
    }
    y = buttons(d, room, y, 2, (int[]){DEBRIEF_ID_ADD, DEBRIEF_ID_RESET},
                (const char *const[]){"Add at cursor  A", "As it was  R"},
                (DebriefPart[]){DEBRIEF_PART_ADD, DEBRIEF_PART_RESET}, (double[]){0.0, 0.0}, BUTTON_PLAIN);
    if (w->problem[0] != '\0') y = ui_debrief_words(d, room, y + 16.0, t->text1, w->problem);
    return y;
}

/* ---- what came of it ---- */

static double draw_progress(const DebriefDraw *d, Rect room, double y) {
    const DebriefWhatifState *w = &d->state->whatif;
    const Theme *t = d->ui->theme;
    bool range = w->news.phase == WHATIF_RANGE;
    char text[TEXT_LINE];
    if (w->stale || !w->news.working) return y;
    if (range)
        snprintf(text, sizeof text, "Like patients: %d of %d", w->news.range.variants, w->news.variants);
    else
        snprintf(text, sizeof text, "Computing: %.0f %%", 100.0 * w->news.done);
    ui_draw_text_fit(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y + 18.0,
                     room.w - 96.0, text);
    Rect stop = {room.x + room.w - 84.0, y, 84.0, BUTTON_PX};
    if (ui_debrief_shows(d, stop) && ui_widgets_button(d->ui, DEBRIEF_ID_STOP, stop, "Stop  S", BUTTON_PLAIN))
        ui_debrief_want(d->intents, DEBRIEF_PART_STOP, 0.0);
    double done = range && w->news.variants > 0
                      ? fmax(w->news.done, (double)w->news.range.variants / w->news.variants)
                      : w->news.done;
    Rect bar = {room.x, y + 26.0, room.w - 96.0, BAR_PX};
    ui_draw_rect(d->ui->list, bar, 3.0, t->raised);
    bar.w *= fmin(done, 1.0);
    ui_draw_rect(d->ui->list, bar, 3.0, t->text1);
    return y + BUTTON_PX + 12.0;
}

/* One outcome: its name beside its numbers, or above them where there is little room. Returns the y after it.
 */
static double draw_row(const DebriefDraw *d, Rect room, double y, RerunOutcome id, const RerunCourse *night,
                       const RerunCourse *other, const WhatifRange *range) {
    const RerunOutcomeRow *row = sim_rerun_outcome_row(id);
    const Theme *t = d->ui->theme;
    DrawList *list = d->ui->list;
    bool tight = room.w < TIGHT_PX;
    double right = room.x + room.w, baseline = tight ? y + 23.0 : y;
    char text[TEXT_LINE];
    snprintf(text, sizeof text, "%s, %s", row->label, row->unit);
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y,
                     tight ? room.w : room.w - 206.0, text);
    snprintf(text, sizeof text, "%.*f", row->decimals, night->outcome[id]);
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, right - 150.0, baseline, text);
    snprintf(text, sizeof text, "%.*f", row->decimals, other->outcome[id]);
    ui_draw_text(list, FACE_DIGITS_STRONG, TYPE_TITLE, ALIGN_RIGHT, t->text1, right - 80.0, baseline, text);
    if (range->variants > 1) {
        snprintf(text, sizeof text, "%.*f\u2013%.*f", row->decimals, range->low[id], row->decimals,
                 range->high[id]);
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, right, baseline, text);
    }
    ui_draw_line(list, room.x, baseline + 10.0, right, baseline + 10.0, ui_draw_solid(t->hairline, 1.0));
    return baseline + ROW_PX;
}

static void end_words(char *text, size_t size, const char *what, const RerunCourse *course) {
    char clock[TEXT_SHORT];
    snprintf(text, size, "%s: %s h, %s", what, ui_debrief_clock(course->reached_s, clock),
             course->ended ? sim_case_outcome_word(course->end) : "goes on");
}

double ui_debrief_table_text(const DebriefDraw *d, Rect room) {
    const DebriefWhatifState *w = &d->state->whatif;
    const Theme *t = d->ui->theme;
    double y = draw_progress(d, room, room.y), right = room.x + room.w;
    const RerunCourse *night = w->job != NULL && !w->stale ? sim_whatif_job_night(w->job) : NULL;
    const RerunCourse *other = w->job != NULL && !w->stale ? sim_whatif_job_other(w->job) : NULL;
    char text[TEXT_LINE * 3];
    if (night == NULL || other == NULL) {
        const char *why = w->stale                                            ? "Computing begins \u2026"
                          : w->job != NULL && w->news.phase == WHATIF_STOPPED ? "Stopped."
                          : w->job != NULL && w->news.working ? "Both courses come as soon as they are there."
                                                              : "Change an act, and see what comes of it.";
        return ui_debrief_words(d, room, y + 18.0, t->text2, why);
    }
    const struct {
        double x;
        const char *head;
    } HEADS[] = {{right - 150.0, "night"}, {right - 80.0, "what if"}, {right, "range"}};
    for (int i = 0; i < 3; i++)
        ui_draw_text(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text2, HEADS[i].x, y + 16.0,
                     HEADS[i].head);
    y += 44.0;
    for (int i = 0; i < OUTCOME_COUNT; i++)
        y = draw_row(d, room, y, (RerunOutcome)i, night, other, &w->news.range);
    end_words(text, sizeof text, "Night", night);
    y = ui_debrief_words(d, room, y, t->text1, text) - 6.0;
    end_words(text, sizeof text, "What if", other);
    y = ui_debrief_words(d, room, y, t->text1, text);
    if (other->refused > 0) {
        snprintf(text, sizeof text, "Left out, no longer possible: %d (%.120s)", other->refused,
                 other->refusal);
        y = ui_debrief_words(d, room, y, t->text2, text);
    }
    if (w->news.range.variants > 1)
        snprintf(
            text, sizeof text,
            "Range: 5th to 95th of %d patients like this one. A model's estimate, not proof of what a person "
            "would have done.",
            w->news.range.variants);
    else
        snprintf(text, sizeof text, "A model's estimate, not proof of what a person would have done.");
    return ui_debrief_words(d, room, y, t->text2, text);
}
