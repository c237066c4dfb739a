/* Drawing a pressure-volume loop. */
#include "ui/loops.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>

#define AXIS_LEFT_PX   46.0
#define AXIS_BOTTOM_PX 44.0
#define HEAD_PX        40.0
#define RIGHT_PX       24.0
#define DOT_PX         5.0
#define TICKS_MOST     6
#define TICK_LEAST_PX  46.0

/* The plot inside the panel. */
static Rect plot_of(Rect r) {
    return (Rect){r.x + AXIS_LEFT_PX, r.y + HEAD_PX, r.w - AXIS_LEFT_PX - RIGHT_PX,
                  r.h - HEAD_PX - AXIS_BOTTOM_PX};
}

double ui_loops_x(Rect rect, const LoopPanel *p, double ml) {
    Rect plot = plot_of(rect);
    return plot.x + plot.w * ml / p->high_ml;
}

double ui_loops_y(Rect rect, const LoopPanel *p, double mmhg) {
    Rect plot = plot_of(rect);
    return plot.y + plot.h * (p->high_mmhg - mmhg) / (p->high_mmhg - p->low_mmhg);
}

/* Distance of tick marks: 1, 2 or 5 times a power of ten, few enough for the room. */
static double tick_step(double span, double room_px) {
    double least = span / fmin(TICKS_MOST, fmax(floor(room_px / TICK_LEAST_PX), 1.0));
    double power = pow(10.0, floor(log10(least)));
    double times = least / power;
    return power * (times <= 1.0 ? 1.0 : times <= 2.0 ? 2.0 : times <= 5.0 ? 5.0 : 10.0);
}

static void draw_axes(Ui *ui, Rect rect, const LoopPanel *p) {
    const Theme *t = ui->theme;
    Rect plot = plot_of(rect);
    char text[TEXT_SHORT];
    double step = tick_step(p->high_mmhg - p->low_mmhg, plot.h);
    for (double v = step * ceil(p->low_mmhg / step); v <= p->high_mmhg + 0.01; v += step) {
        double y = round(ui_loops_y(rect, p, v)) + 0.5;
        ui_draw_line(ui->list, plot.x, y, plot.x + plot.w, y, ui_draw_solid(t->hairline, 1.0));
        ui_tiles_format(text, sizeof text, v, 0);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text3, plot.x - 8.0, y + 6.0, text);
    }
    double bottom = plot.y + plot.h;
    step = tick_step(p->high_ml, plot.w);
    for (double v = 0.0; v <= p->high_ml + 0.01; v += step) {
        double x = round(ui_loops_x(rect, p, v)) + 0.5;
        ui_draw_line(ui->list, x, bottom, x, bottom + 5.0, ui_draw_solid(t->edge, 1.0));
        ui_tiles_format(text, sizeof text, v, 0);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text3, x, bottom + 22.0, text);
    }
    ui_draw_line(ui->list, plot.x + 0.5, plot.y, plot.x + 0.5, bottom, ui_draw_solid(t->edge, 1.0));
    ui_draw_line(ui->list, plot.x, bottom + 0.5, plot.x + plot.w, bottom + 0.5, ui_draw_solid(t->edge, 1.0));
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, plot.x + plot.w, bottom + 40.0,
                 "mL");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, plot.x + 8.0, plot.y + 16.0, "mmHg");
}

static void trace(Ui *ui, Rect rect, const LoopPanel *p, const float *ml, const float *mmhg, int points) {
    ui_draw_path(ui->list);
    for (int i = 0; i < points; i++) {
        double x = ui_loops_x(rect, p, (double)ml[i]), y = ui_loops_y(rect, p, (double)mmhg[i]);
        if (i == 0)
            ui_draw_move(ui->list, x, y);
        else
            ui_draw_to(ui->list, x, y);
    }
}

static void draw_relation(Ui *ui, Rect rect, const LoopPanel *p, const Relation *relation, const char *name) {
    const Theme *t = ui->theme;
    if (relation->points < 2) return;
    trace(ui, rect, p, relation->ml, relation->mmhg, relation->points);
    ui_draw_stroke(ui->list, ui_draw_dashed(t->text3, 1.3, 2.0, 4.0));
    /* its name at its end, or where it leaves the plot */
    int last = relation->points - 1;
    while (last > 0 && ((double)relation->mmhg[last] > 0.96 * p->high_mmhg ||
                        (double)relation->ml[last] > 0.97 * p->high_ml))
        last--;
    double x = ui_loops_x(rect, p, (double)relation->ml[last]),
           y = ui_loops_y(rect, p, (double)relation->mmhg[last]);
    bool below = x > rect.x + rect.w - 60.0; /* no room beside it: under the line, which rises */
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, below ? ALIGN_RIGHT : ALIGN_LEFT, t->text3,
                 below ? rect.x + rect.w - RIGHT_PX : x + 6.0,
                 fmax(y + (below ? 26.0 : -4.0), plot_of(rect).y + 14.0), name);
}

static void draw_point(Ui *ui, Rect rect, const LoopPanel *p, int point) {
    if (point < 0 || point >= p->now.points) return;
    ui_draw_ring(ui->list, ui_loops_x(rect, p, (double)p->now.ml[point]),
                 ui_loops_y(rect, p, (double)p->now.mmhg[point]), 4.0, ui_draw_solid(ui->theme->text2, 1.5));
}

void ui_loops_draw(Ui *ui, Rect rect, const LoopPanel *p) {
    const Theme *t = ui->theme;
    ui_draw_rect(ui->list, rect, PANEL_RADIUS, t->panel);
    ui_widgets_badge(ui->list, t, rect.x + 12.0, rect.y + 9.0, p->side);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, rect.x + 42.0,
                     rect.y + 26.0, rect.w * 0.5, p->title);
    if (p->now.points == 0) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_CENTRE, t->text3, rect.x + rect.w / 2.0,
                     rect.y + rect.h / 2.0, "no beat yet");
        return;
    }
    draw_axes(ui, rect, p);
    ui_draw_clip_rect(ui->list, ui_rect_inset(plot_of(rect), -2.0, -2.0));
    draw_relation(ui, rect, p, &p->end_systolic, "ES");
    draw_relation(ui, rect, p, &p->end_diastolic, "ED");
    if (p->kept.points > 1) {
        trace(ui, rect, p, p->kept.ml, p->kept.mmhg, p->kept.points);
        ui_draw_close(ui->list);
        ui_draw_stroke(ui->list, ui_draw_dashed(t->text2, 1.6, 7.0, 5.0));
    }
    trace(ui, rect, p, p->now.ml, p->now.mmhg, p->now.points);
    ui_draw_close(ui->list);
    ui_draw_stroke(ui->list, ui_draw_solid(t->side[p->side], 2.4));
    draw_point(ui, rect, p, p->systole);
    draw_point(ui, rect, p, p->diastole);
    if (p->at >= 0 && p->at < p->now.points)
        ui_draw_circle(ui->list, ui_loops_x(rect, p, (double)p->now.ml[p->at]),
                       ui_loops_y(rect, p, (double)p->now.mmhg[p->at]), DOT_PX, t->text1);
    ui_draw_unclip(ui->list);
}
