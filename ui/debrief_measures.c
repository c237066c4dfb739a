/* Panels of the debrief that are measured: score, targets, predictions, belief against truth, hearts. */
#include "ui/debrief.h"
#include "ui/heart.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROW_PX     34.0
#define PERCENT    100.0
#define BAR_PX     12.0
#define AXIS_PX    44.0
#define BAND_PX    24.0
#define STEP_MARK  9.0
#define LABEL_STEP 21.0

enum { SURE_MOST = 5, PERCENT_STEPS = 4 };

/* ---- score ---- */

double ui_debrief_score_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const Theme *t = d->ui->theme;
    double y = room.y + 18.0;
    for (int i = 0; i < b->line_count; i++) {
        const ScoreLine *line = &b->line[i];
        char share[2 * SCORE_POINTS_TEXT_MAX + 4], got[SCORE_POINTS_TEXT_MAX], most[SCORE_POINTS_TEXT_MAX];
        Rect inner = {room.x + 32.0, room.y, room.w - 32.0 - 76.0, room.h};
        bool off = line->most <= 0.0;
        bool whole = off ? line->got >= 0.0 : line->got >= line->most;
        ui_debrief_sign(d->ui, room.x + 11.0, y - 6.0, whole ? 2 : line->got > 0.0 ? 1 : 0);
        snprintf(share, sizeof share, off ? "%s" : "%s/%s", sim_score_format(line->got, got),
                 sim_score_format(line->most, most));
        ui_draw_text(d->ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text1, room.x + room.w, y, share);
        y = ui_debrief_words(d, inner, y, t->text1, line->what) - 6.0;
        inner.w += 76.0;
        y = ui_debrief_words(d, inner, y, t->text2, line->why) + 2.0;
        ui_draw_line(d->ui->list, room.x, y - 16.0, room.x + room.w, y - 16.0,
                     ui_draw_solid(t->hairline, 1.0));
        y += 8.0;
    }
    if (b->score_from_record)
        y = ui_debrief_words(
            d, room, y, t->text2,
            "Another build recorded this night: measured again from what was kept every 10 s.");
    return y;
}

/* ---- targets ---- */

static Side side_of(DisplayId id) {
    const char *key = sim_instruments_display_row(id)->key;
    if (strncmp(key, "pump", 4) == 0 || strncmp(key, "right_pump", 10) == 0) return SIDE_PUMP;
    if (strncmp(key, "cvp", 3) == 0 || strncmp(key, "pa_", 3) == 0) return SIDE_RIGHT;
    if (strncmp(key, "art", 3) == 0 || strncmp(key, "wedge", 5) == 0) return SIDE_LEFT;
    if (strncmp(key, "spo2", 4) == 0 || strncmp(key, "svo2", 4) == 0) return SIDE_GAS;
    return strncmp(key, "hr", 2) == 0 ? SIDE_ELECTRICAL : SIDE_TISSUE;
}

double ui_debrief_targets_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const Theme *t = d->ui->theme;
    double y = room.y + 18.0, left = room.x + 100.0, width = room.w - 100.0 - 60.0;
    for (int i = 0; i < b->target_count; i++) {
        const DebriefTarget *target = &b->target[i];
        char text[TEXT_SHORT];
        ui_draw_text_fit(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y, 94.0,
                         sim_instruments_display_row(target->quantity)->label);
        ui_draw_rect(d->ui->list, (Rect){left, y - 12.0, width, BAR_PX}, 2.0, t->raised);
        ui_draw_rect(d->ui->list, (Rect){left, y - 12.0, fmax(width * target->inside_frac, 1.0), BAR_PX}, 2.0,
                     t->side[side_of(target->quantity)]);
        snprintf(text, sizeof text, "%.0f %%", PERCENT * target->inside_frac);
        ui_draw_text(d->ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text1, room.x + room.w, y, text);
        y += ROW_PX;
    }
    return y - 10.0;
}

/* ---- predictions ---- */

static void draw_way(Ui *ui, double x, double y, PredictionWay way, Colour colour) {
    if (way == WAY_SAME) {
        ui_draw_line(ui->list, x - 7.0, y - 3.0, x + 7.0, y - 3.0, ui_draw_solid(colour, 2.0));
        ui_draw_line(ui->list, x - 7.0, y + 3.0, x + 7.0, y + 3.0, ui_draw_solid(colour, 2.0));
    } else
        ui_widgets_arrow(ui->list, x, y, 13.0, way == WAY_UP ? 'u' : 'd', colour);
}

static void draw_part(const DebriefDraw *d, Rect room, double y, const Prediction *p,
                      const PredictionPart *part) {
    const Theme *t = d->ui->theme;
    char clock[TEXT_SHORT], text[TEXT_LINE * 2];
    bool seen = p->status == PREDICTION_SEEN && part->known;
    double right = room.x + room.w;
    ui_draw_text(d->ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text2, room.x, y,
                 ui_debrief_clock(p->given_s, clock));
    snprintf(text, sizeof text, "%s, %s", sim_instruments_display_row(part->quantity)->label,
             sim_orders_row(p->order.id)->label);
    ui_draw_text_fit(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x + 52.0, y,
                     room.w - 52.0 - 122.0, text);
    for (int i = 0; i < SURE_MOST; i++)
        ui_draw_rect(d->ui->list, (Rect){right - 114.0 + 8.0 * i, y - 11.0, 6.0, 10.0}, 1.0,
                     i < p->sure ? t->text2 : t->raised);
    if (seen && !part->hit)
        ui_draw_frame(d->ui->list, (Rect){right - 62.0, y - 19.0, 62.0, 26.0}, 6.0,
                      ui_draw_solid(t->text1, 1.8));
    draw_way(d->ui, right - 46.0, y - 6.0, part->said, t->text2);
    if (seen)
        draw_way(d->ui, right - 16.0, y - 6.0, part->seen, t->text1);
    else
        ui_draw_text(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text3, right - 16.0, y, "?");
}

double ui_debrief_predictions_text(const DebriefDraw *d, Rect room) {
    const PredictionsState *state = &d->state->recall->predictions;
    const Debrief *b = d->state->debrief;
    double y = room.y + 18.0;
    ui_draw_text(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, d->ui->theme->text2, room.x + room.w, y,
                 "sure, you, seen");
    y += ROW_PX;
    for (int i = 0; i < state->kept; i++) {
        const Prediction *p = &state->prediction[i];
        for (int k = 0; p->status != PREDICTION_SKIPPED && k < p->count; k++) {
            draw_part(d, room, y, p, &p->part[k]);
            y += ROW_PX;
        }
    }
    if (b->known > 0) {
        char text[TEXT_LINE * 2];
        snprintf(text, sizeof text,
                 "The others are boxed. Brier score %.2f: 0 is best, 0.22 is honest guessing.", b->brier);
        y = ui_debrief_words(d, room, y, d->ui->theme->text2, text);
    }
    return y;
}

/* ---- belief against truth ---- */

/* A piece of a ribbon with its word. */
static void draw_band(Ui *ui, double x0, double x1, double y, const char *word, bool well) {
    const Theme *t = ui->theme;
    Rect r = {x0, y, fmax(x1 - x0 - 1.0, 1.0), BAND_PX};
    ui_draw_rect(ui->list, r, 0.0, well ? t->raised : t->blood_right);
    if (r.w > 30.0)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, x0 + 6.0, y + 17.5,
                         r.w - 12.0, word);
}

double ui_debrief_belief_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const CallsState *calls = &d->state->recall->calls;
    const Theme *t = d->ui->theme;
    DrawList *list = d->ui->list;
    double end_s = ui_debrief_end_s(d->state), x0 = room.x + AXIS_PX, w = room.w - AXIS_PX;
    double top = room.y + BAND_PX + 30.0, bottom = room.y + room.h - 30.0;
    char text[TEXT_LINE * 2], clock[TEXT_SHORT];
    for (int i = 0; i < b->band_count; i++)
        draw_band(d->ui, x0 + w * fmin(b->band[i].from_s / end_s, 1.0),
                  x0 + w * fmin(b->band[i].to_s / end_s, 1.0), room.y + 2.0,
                  sim_diagnoses_row(b->band[i].truth.diagnosis)->label,
                  b->band[i].truth.diagnosis == DIAGNOSIS_well);
    if (b->band_count == 0)
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x0, room.y + 20.0, w,
                         "The case does not say what was wrong.");
    for (int i = 0; i <= PERCENT_STEPS; i++) {
        double y = bottom - (bottom - top) * i / PERCENT_STEPS;
        snprintf(text, sizeof text, "%d", 100 * i / PERCENT_STEPS);
        ui_draw_line(list, x0, y, x0 + w, y, ui_draw_solid(t->hairline, 1.0));
        ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, x0 - 8.0, y + 6.0, text);
    }
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x0, top - 8.0, "how sure you were, %");
    for (int i = 0; i < calls->kept; i++) {
        const Call *call = &calls->call[i];
        double from = x0 + w * fmin(call->time_s / end_s, 1.0);
        double to = x0 + w * (i + 1 < calls->kept ? fmin(calls->call[i + 1].time_s / end_s, 1.0) : 1.0);
        double y = bottom - (bottom - top) * call->confidence_percent / PERCENT;
        bool right = b->call_right[i] == 2;
        StrokeStyle line = right ? ui_draw_solid(t->text1, 2.5) : ui_draw_dashed(t->text1, 2.5, 5.0, 5.0);
        ui_draw_line(list, from, y, to, y, line);
        ui_draw_line(list, from, y, from, bottom, ui_draw_dashed(t->edge, 1.0, 2.0, 4.0));
        ui_debrief_sign(d->ui, from, y, b->call_right[i]);
        snprintf(text, sizeof text, "%s  %s, %d %%", ui_debrief_clock(call->time_s, clock),
                 sim_diagnoses_row(call->diagnosis)->label, call->confidence_percent);
        double tw = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, text);
        double lx = fmin(from + 16.0, x0 + w - tw);
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, fmax(lx, x0),
                         y < top + 24.0 ? y + 24.0 : y - 14.0, w, text);
    }
    if (calls->kept == 0)
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x0 + 8.0, (top + bottom) / 2.0,
                         w - 16.0, "Nothing was called in this night.");
    double cx = floor(x0 + w * fmin(d->state->cursor_s / end_s, 1.0)) + 0.5;
    ui_draw_line(list, cx, room.y, cx, bottom, ui_draw_solid(t->text1, 1.2));
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text1,
                 fmin(fmax(cx, x0 + 24.0), x0 + w - 24.0), bottom + 21.0,
                 ui_debrief_clock(d->state->cursor_s, clock));
    return room.y + room.h;
}

/* ---- hearts ---- */

double ui_debrief_hearts_text(const DebriefDraw *d, Rect room) {
    const Debrief *b = d->state->debrief;
    const Theme *t = d->ui->theme;
    int count = b->moment_count;
    if (d->state->heartless[0] != '\0' || count == 0)
        return ui_debrief_words(d, room, room.y + 20.0, t->text2,
                                count == 0 ? "The night was too short." : d->state->heartless);
    int rows = room.w / count < 112.0 ? 2 : 1, each = (count + rows - 1) / rows;
    double w = room.w / each, h = room.h / rows;
    for (int i = 0; i < count; i++) {
        Rect r = {room.x + w * (i % each), room.y + h * (i / each), w, h};
        char clock[TEXT_SHORT];
        if (d->state->turn[i].shown)
            ui_heart_draw(d->ui->list, (Rect){r.x + 3.0, r.y, r.w - 6.0, r.h - 48.0}, &d->state->turn[i]);
        ui_draw_text(d->ui->list, FACE_DIGITS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, r.x + r.w / 2.0,
                     r.y + r.h - 30.0, ui_debrief_clock(b->moment[i].time_s, clock));
        ui_draw_text_fit(d->ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text2, r.x + r.w / 2.0,
                         r.y + r.h - 10.0, r.w - 4.0, b->moment[i].what);
    }
    return room.y + room.h;
}
