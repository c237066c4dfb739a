/* The logbook's plots: score and time to recognition over the nights, and confidence against being right.
   Told apart by mark and word, never by colour. */
#include "ui/logbook.h"

#include <math.h>
#include <stdio.h>

#define TICKS_PX  52.0
#define TITLE_PX  28.0
#define PAD_PX    14.0
#define MARK_PX   5.0
#define PERCENT   100.0
#define MINUTE_S  60.0
#define LEAST_MIN 10.0 /* highest mark of the time scale, at least */

/* ---- marks ---- */

static void mark_square(Ui *ui, double x, double y, double r) {
    ui_draw_rect(ui->list, (Rect){x - r, y - r, 2.0 * r, 2.0 * r}, 0.0, ui->theme->text1);
}

static void mark_cross(Ui *ui, double x, double y, double r) {
    StrokeStyle line = ui_draw_solid(ui->theme->text1, 2.0);
    ui_draw_line(ui->list, x - r, y - r, x + r, y + r, line);
    ui_draw_line(ui->list, x - r, y + r, x + r, y - r, line);
}

/* A panel with its title; returns what is left for the plot. */
static Rect begin_panel(Ui *ui, Rect panel, const char *title) {
    ui_draw_rect(ui->list, panel, PANEL_RADIUS, ui->theme->panel);
    Rect r = ui_rect_inset(panel, 16.0, 8.0);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, r.x, r.y + 19.0,
                     r.w, title);
    (void)ui_rect_cut_top(&r, TITLE_PX);
    return r;
}

/* ---- over the nights ---- */

/* Lines at 0, half and top of a scale, with their numbers. */
static void draw_scale(Ui *ui, Rect plot, double top, const char *unit) {
    for (int i = 0; i <= 2; i++) {
        double y = plot.y + plot.h * (1.0 - i / 2.0);
        char text[TEXT_SHORT];
        if (i == 1 && plot.h < 60.0) continue;
        snprintf(text, sizeof text, "%.0f%s", top * i / 2.0, i == 2 ? unit : "");
        ui_draw_line(ui->list, plot.x, y, plot.x + plot.w, y, ui_draw_solid(ui->theme->hairline, 1.0));
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, ui->theme->text2, plot.x - 8.0, y + 6.0,
                     text);
    }
}

static double x_of(Rect plot, int i, int count) {
    return count > 1 ? plot.x + PAD_PX + (plot.w - 2.0 * PAD_PX) * i / (count - 1.0) : plot.x + plot.w / 2.0;
}

/* Night i of the plot, the oldest first. */
static const LogbookRow *night_at(const LogbookSheet *s, int i, int count) {
    return &s->item[count - 1 - i];
}

static void draw_scores(Ui *ui, Rect plot, const LogbookSheet *s, int count) {
    bool down = false;
    ui_draw_path(ui->list);
    for (int i = 0; i < count; i++) {
        double score = night_at(s, i, count)->score, x = x_of(plot, i, count),
               y = plot.y + plot.h * (1.0 - score);
        if (!isfinite(score)) continue;
        if (down)
            ui_draw_to(ui->list, x, y);
        else
            ui_draw_move(ui->list, x, y);
        down = true;
    }
    if (down) ui_draw_stroke(ui->list, ui_draw_solid(ui->theme->text3, 1.5));
    for (int i = 0; i < count; i++) {
        double score = night_at(s, i, count)->score;
        if (isfinite(score))
            ui_draw_circle(ui->list, x_of(plot, i, count), plot.y + plot.h * (1.0 - score), MARK_PX,
                           ui->theme->text1);
    }
}

/* Highest mark of the time scale, minutes: 10, 20, 50, 100, ... */
static double time_top(const LogbookSheet *s, int count) {
    static const double STEPS[] = {1.0, 2.0, 5.0};
    double most = LEAST_MIN;
    for (int i = 0; i < count; i++)
        most = fmax(most, night_at(s, i, count)->recognition_s / MINUTE_S);
    double power = pow(10.0, floor(log10(most)));
    for (int i = 0; i < 3; i++) {
        if (STEPS[i] * power >= most) return STEPS[i] * power;
    }
    return 10.0 * power;
}

static void draw_times(Ui *ui, Rect plot, const LogbookSheet *s, int count, double top) {
    for (int i = 0; i < count; i++) {
        const LogbookRow *row = night_at(s, i, count);
        double x = x_of(plot, i, count);
        if (row->recognition_s >= 0.0)
            mark_square(ui, x, plot.y + plot.h * (1.0 - row->recognition_s / MINUTE_S / top), MARK_PX - 1.0);
        else if (row->trouble)
            mark_cross(ui, x, plot.y, MARK_PX);
    }
}

void ui_logbook_course(Ui *ui, Rect panel, const LogbookSheet *s) {
    Rect r = begin_panel(ui, panel, "Score in %");
    int count = s->rows < LOGBOOK_COURSE_MAX ? s->rows : LOGBOOK_COURSE_MAX;
    if (count == 0) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, r.x, r.y + 20.0,
                     "nothing yet");
        return;
    }
    Rect upper = ui_rect_cut_top(&r, floor(0.5 * (r.h - TITLE_PX)));
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, r.x, r.y + 23.0,
                     r.w, "Onset to the right call in min (\u00d7: none)");
    (void)ui_rect_cut_top(&r, TITLE_PX);
    Rect plots[] = {upper, r};
    for (int i = 0; i < 2; i++) {
        (void)ui_rect_cut_left(&plots[i], TICKS_PX);
        plots[i] = ui_rect_inset(plots[i], 0.0, 9.0);
    }
    double top = time_top(s, count), x = x_of(r, 0, 1);
    for (int i = 0; i < 2; i++) {
        if (s->row >= count) break;
        x = x_of(plots[i], count - 1 - s->row, count);
        ui_draw_line(ui->list, x, plots[i].y, x, plots[i].y + plots[i].h,
                     ui_draw_solid(ui->theme->edge, 1.5));
    }
    draw_scale(ui, plots[0], PERCENT, "");
    draw_scores(ui, plots[0], s, count);
    draw_scale(ui, plots[1], top, "");
    draw_times(ui, plots[1], s, count, top);
}

/* ---- confidence ---- */

static void draw_bins(Ui *ui, Rect plot, const Calibration *c, bool calls) {
    for (int b = 0; b < CALIBRATION_BINS; b++) {
        const CalibrationBin *bin = &c->bin[b];
        if (bin->count == 0) continue;
        double x = plot.x + plot.w * bin->stated_frac, y = plot.y + plot.h * (1.0 - bin->right_frac);
        double r = MARK_PX + fmin(sqrt((double)bin->count), 6.0);
        if (calls)
            ui_draw_circle(ui->list, x, y, r, ui->theme->text1);
        else
            ui_draw_frame(ui->list, (Rect){x - r, y - r, 2.0 * r, 2.0 * r}, 0.0,
                          ui_draw_solid(ui->theme->text1, 2.0));
    }
}

static double write_terms(Ui *ui, Rect room, double y, const char *what, const Calibration *c) {
    char text[TEXT_LINE];
    const Theme *t = ui->theme;
    if (c->count == 0) return y;
    snprintf(text, sizeof text, "%s: %d", what, c->count);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y, room.w, text);
    snprintf(text, sizeof text, "said %.0f %%, right %.0f %%", PERCENT * c->stated_frac,
             PERCENT * c->right_frac);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y + 22.0, room.w, text);
    snprintf(text, sizeof text, "Brier %.2f = %.2f \u2212 %.2f + %.2f", c->brier, c->reliability,
             c->resolution, c->uncertainty);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, room.x, y + 44.0, room.w, text);
    return y + 74.0;
}

void ui_logbook_reliability(Ui *ui, Rect panel, const LogbookSheet *s) {
    const Theme *t = ui->theme;
    Rect r = begin_panel(ui, panel, "Confidence: right in %, against what was said");
    if (s->calls.count + s->predictions.count == 0) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, r.x, r.y + 20.0, "no call yet");
        return;
    }
    double side = fmin(r.h - 34.0, 0.55 * r.w - TICKS_PX);
    Rect plot = {r.x + TICKS_PX, r.y + 6.0, side, side};
    ui_draw_frame(ui->list, plot, 0.0, ui_draw_solid(t->hairline, 1.0));
    draw_scale(ui, plot, PERCENT, "");
    ui_draw_line(ui->list, plot.x, plot.y + plot.h, plot.x + plot.w, plot.y,
                 ui_draw_dashed(t->text3, 1.5, 6.0, 5.0));
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text2, plot.x, plot.y + plot.h + 22.0,
                 "0");
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text2, plot.x + plot.w,
                 plot.y + plot.h + 22.0, "100");
    draw_bins(ui, plot, &s->predictions, false);
    draw_bins(ui, plot, &s->calls, true);
    Rect words = {plot.x + plot.w + 26.0, r.y, r.x + r.w - plot.x - plot.w - 26.0, r.h};
    double y = write_terms(ui, words, words.y + 18.0, "\u25cf Calls", &s->calls);
    y = write_terms(ui, words, y, "\u25a1 Predictions", &s->predictions);
    if (y + 40.0 < words.y + words.h)
        (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, t->text3, words.x, y + 4.0, words.w, 21.0,
                                (int)fmin(floor((words.y + words.h - y) / 21.0), 4.0),
                                "Brier score = reliability \u2212 resolution + uncertainty; 0 is best");
}
