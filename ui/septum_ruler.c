/* Where the septum stands. */
#include "ui/septum_ruler.h"

#include "ui/heart_parts.h"
#include "ui/theme.h"

#include <math.h>
#include <stdio.h>

static const double END_MM = 15.0, TICK_MM = 2.5, LABEL_MM = 10.0;
static const double STEADY_MM = 0.5; /* a smaller shift is none */
static const double NAME_PX = 34.0;  /* for RV and LV at the ends */

typedef struct Line {
    double x0, x1, y;
} Line;

/* The right ventricle lies at the left end, so millimetres toward it run to the left. */
static double place(const Line *line, double septum_mm) {
    double t = 0.5 - 0.5 * fmin(fmax(septum_mm / END_MM, -1.0), 1.0);
    return line->x0 + t * (line->x1 - line->x0);
}

static void draw_heading(DrawList *list, Rect rect, const HeartView *view, const Theme *theme) {
    double shift_mm = view->septum_mm - view->septum_reference_mm;
    char text[48];
    if (!isfinite(shift_mm))
        snprintf(text, sizeof text, "--");
    else if (fabs(shift_mm) < STEADY_MM)
        snprintf(text, sizeof text, "at reference");
    else
        snprintf(text, sizeof text, "%.0f mm toward %s", fmax(fabs(shift_mm), 1.0),
                 shift_mm > 0.0 ? "RV" : "LV");
    double text_px = ui_draw_text_width(list, FACE_DIGITS, TYPE_NOTE, text);
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text2, rect.x, rect.y + 16.0,
                     rect.w - text_px - 12.0, "Septum");
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, theme->text1, rect.x + rect.w, rect.y + 16.0,
                 text);
}

static void draw_scale(DrawList *list, const Line *line, const HeartView *view, const Theme *theme) {
    if (isfinite(view->septum_low_mm) && isfinite(view->septum_high_mm)) {
        double a = place(line, view->septum_high_mm), b = place(line, view->septum_low_mm);
        ui_draw_rect(list, (Rect){a, line->y - 5.0, fmax(b - a, 2.0), 10.0}, 2.0,
                     ui_colour_alpha(theme->band, 0.75));
    }
    ui_draw_line(list, line->x0, line->y, line->x1, line->y, ui_draw_solid(theme->edge, 1.5));
    for (double mm = -END_MM; mm <= END_MM; mm += TICK_MM) {
        double x = place(line, mm), half = fabs(fmod(mm, LABEL_MM)) < 0.5 * TICK_MM ? 8.0 : 4.0;
        StrokeStyle style = ui_draw_solid(theme->edge, 1.5);
        style.flat = true;
        ui_draw_line(list, x, line->y - half, x, line->y + half, style);
    }
    double y = line->y + 25.0;
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, theme->text3, place(line, LABEL_MM), y, "10");
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, theme->text3, 0.5 * (line->x0 + line->x1), y,
                 "0");
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, theme->text3, place(line, -LABEL_MM), y, "10");
    double name_y = line->y + 0.36 * TYPE_NOTE;
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, theme->side[SIDE_RIGHT], line->x0 - 10.0,
                 name_y, "RV");
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, theme->side[SIDE_LEFT], line->x1 + 10.0,
                 name_y, "LV");
}

void ui_septum_ruler_draw(DrawList *list, Rect rect, const HeartView *view) {
    if (!view->shown) return;
    const Theme *theme = ui_draw_theme(list);
    Line line = {rect.x + NAME_PX, rect.x + rect.w - NAME_PX, rect.y + 38.0};
    draw_heading(list, rect, view, theme);
    draw_scale(list, &line, view, theme);
    if (!isfinite(view->septum_mm) || !isfinite(view->septum_reference_mm)) return;
    double x0 = place(&line, view->septum_reference_mm), x1 = place(&line, view->septum_mm);
    if (fabs(view->septum_mm - view->septum_reference_mm) < STEADY_MM || fabs(x1 - x0) < 2.0) {
        ui_draw_ring(list, x0, line.y, 5.5, ui_draw_solid(theme->text1, 2.2));
        ui_draw_circle(list, x0, line.y, 2.4, theme->text1);
        return;
    }
    ui_heart_arrow(list, x0, line.y, x1, line.y, 2.4, theme->text1, theme->panel);
    if (fabs(view->septum_mm) > END_MM) {
        double dir = view->septum_mm > 0.0 ? -1.0 : 1.0;
        ui_heart_arrow_head(list, x1 - dir * 8.0, line.y, dir, 0.0, 10.0, theme->text1);
    }
}
