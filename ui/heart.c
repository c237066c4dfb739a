/* The heart picture: draws the outlines of ui/heart_shape.h. Shape, pattern and line carry the meaning;
   colour only repeats it. */
#include "ui/heart.h"

#include "ui/heart_parts.h"
#include "ui/heart_shape.h"
#include "ui/theme.h"

#include <math.h>
#include <stdio.h>

static const double MARGIN = 0.09; /* room around the reference, of its size, before the frame widens */
static const double ASPECT = 1.25; /* usual height of the picture, of its width */
static const double PX_PER_LINE = 0.0062; /* line width per px of height */
static const double LINE_MIN_PX = 1.5, LINE_MAX_PX = 3.4;
static const double LABEL_PER_PX = 0.046, LABEL_MIN_PX = 16.0, LABEL_MAX_PX = 30.0;
static const double SEPTUM_SEEN_MM = 3.0; /* a smaller shift gets no arrow */
static const double FLUID_SEEN_MM = 1.5;  /* the usual film of fluid is not dotted */

static double fade(double value, double none, double full) {
    double t = fmin(fmax((value - none) / (full - none), 0.0), 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/* --- frame: millimetres to pixels --- */

typedef struct Box {
    double left, right, top, bottom; /* mm */
} Box;

static void box_hold(Box *box, const HeartCurve *curve) {
    for (int i = 0; i < curve->count; i += 3) {
        box->left = fmin(box->left, curve->point[i].x_mm);
        box->right = fmax(box->right, curve->point[i].x_mm);
        box->top = fmin(box->top, curve->point[i].y_mm);
        box->bottom = fmax(box->bottom, curve->point[i].y_mm);
    }
}

static Box box_of(const HeartShape *shape) {
    Box box = {shape->root_top[0].x_mm, shape->root_top[1].x_mm, shape->root_top[0].y_mm,
               shape->cannula_end.y_mm};
    box_hold(&box, &shape->pericardium);
    return box;
}

/* The reference with a margin, widened for the heart at its largest of this beat. */
static HeartPen pen_for(Rect rect, const HeartShape *reference, const HeartShape *largest) {
    Box a = box_of(reference), b = box_of(largest);
    double dx = MARGIN * (a.right - a.left), dy = MARGIN * (a.bottom - a.top);
    Box all = {fmin(a.left - dx, b.left), fmax(a.right + dx, b.right),
               fmin(a.top - 0.3 * dy, b.top - 0.3 * dy), fmax(a.bottom + 0.3 * dy, b.bottom)};
    HeartPen pen;
    pen.px_per_mm = fmin(rect.w / (all.right - all.left), rect.h / (all.bottom - all.top));
    pen.x_px = rect.x + 0.5 * rect.w - 0.5 * (all.left + all.right) * pen.px_per_mm;
    pen.y_px = rect.y + 0.5 * rect.h - 0.5 * (all.top + all.bottom) * pen.px_per_mm;
    pen.height_px = fmin(rect.h, ASPECT * rect.w);
    pen.line_px = fmin(fmax(PX_PER_LINE * pen.height_px, LINE_MIN_PX), LINE_MAX_PX);
    return pen;
}

/* --- layers, back to front --- */

static void draw_sac(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme) {
    double seen = fade(shape->fluid_mm, FLUID_SEEN_MM, 2.0 * FLUID_SEEN_MM);
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->pericardium);
    ui_draw_fill(list, ui_colour_mix(theme->panel, theme->fluid, 0.03 + 0.10 * seen));
    if (seen > 0.0) {
        double step_px = fmax(2.6 * pen->line_px, 4.0);
        ui_draw_pattern(
            list, (PatternStyle){PATTERN_DOTS, ui_colour_alpha(theme->fluid, seen), step_px, 0.42 * step_px});
    }
}

/* Whole line: closed sac. Long dashes: the chest is open and the sac with it. */
static void draw_sac_line(DrawList *list, const HeartPen *pen, const HeartShape *shape, bool open,
                          const Theme *theme) {
    StrokeStyle line = ui_draw_solid(theme->pericardium, 0.75 * pen->line_px);
    if (open) {
        line.dash_on_px = 9.0 * pen->line_px;
        line.dash_off_px = 4.0 * pen->line_px;
        line.flat = true;
        line.colour = ui_colour_alpha(theme->pericardium, 0.55);
    }
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->pericardium);
    ui_draw_stroke(list, line);
}

static void draw_clots(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme) {
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        if (shape->clot[c].count == 0) continue;
        double seen = fade(shape->clot_mm[c], 0.0, 3.0);
        ui_draw_path(list);
        ui_heart_trace(list, pen, &shape->clot[c]);
        ui_draw_fill(list, ui_colour_alpha(theme->clot, seen));
        Colour line = ui_colour_alpha(ui_colour_mix(theme->clot, theme->text1, 0.62), seen);
        ui_draw_pattern(list, (PatternStyle){PATTERN_HATCH, line, 3.6 * pen->line_px, 0.62 * pen->line_px});
        ui_draw_stroke(list, ui_draw_solid(line, 0.9 * pen->line_px));
    }
}

static void draw_walls(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme) {
    ui_draw_path(list);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        ui_draw_path(list);
        ui_heart_trace(list, pen, &shape->wall[c]);
        ui_draw_fill(list, theme->wall);
    }
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->root_wall);
    ui_draw_fill(list, theme->wall);
}

/* Both chambers of a side in one path: no seam at the open valve. */
static void draw_blood(DrawList *list, const HeartPen *pen, const HeartShape *shape, bool left,
                       const Theme *theme) {
    Colour tint = left ? theme->blood_left : theme->blood_right;
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->cavity[left ? HEART_LV : HEART_RV]);
    ui_heart_trace(list, pen, &shape->cavity[left ? HEART_LA : HEART_RA]);
    if (left) ui_heart_trace(list, pen, &shape->root);
    ui_draw_fill(list, tint);
}

static void draw_edges(DrawList *list, const HeartPen *pen, const HeartShape *shape, bool left,
                       const Theme *theme) {
    Colour edge = theme->side[left ? SIDE_LEFT : SIDE_RIGHT];
    ui_draw_path(list);
    ui_heart_trace_open(list, pen, &shape->cavity[left ? HEART_LV : HEART_RV], 0, 2 * (HEART_SAMPLES - 1));
    ui_heart_trace_open(list, pen, &shape->cavity[left ? HEART_LA : HEART_RA], 0, 2 * (HEART_SAMPLES - 1));
    if (left) ui_heart_trace_root(list, pen, &shape->root);
    ui_draw_stroke(list, ui_draw_solid(edge, pen->line_px));
}

static void draw_reference(DrawList *list, const HeartPen *pen, const HeartShape *reference,
                           const Theme *theme) {
    double dash_mm = 3.8 * pen->line_px / pen->px_per_mm;
    ui_draw_path(list);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        ui_heart_trace_dashes(list, pen, &reference->cavity[c], 2 * (HEART_SAMPLES - 1), dash_mm,
                              0.75 * dash_mm);
    StrokeStyle line = ui_draw_solid(ui_colour_alpha(theme->text1, 0.85), 0.78 * pen->line_px);
    line.flat = true;
    ui_draw_stroke(list, line);
}

static void draw_labels(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme) {
    static const char *const NAME[HEART_CHAMBER_COUNT] = {"LV", "RV", "LA", "RA"};
    double size_px = fmin(fmax(LABEL_PER_PX * pen->height_px, LABEL_MIN_PX), LABEL_MAX_PX);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        double x = ui_heart_px_x(pen, shape->label[c]), y = ui_heart_px_y(pen, shape->label[c]);
        double w = 1.75 * size_px, h = 1.2 * size_px;
        bool left = c == HEART_LV || c == HEART_LA;
        Colour plate = ui_colour_alpha(left ? theme->blood_left : theme->blood_right, 0.88);
        ui_draw_rect(list, (Rect){x - 0.5 * w, y - 0.5 * h, w, h}, 0.5 * h, plate);
        ui_draw_text(list, FACE_WORDS_STRONG, size_px, ALIGN_CENTRE, theme->text1, x, y + 0.36 * size_px,
                     NAME[c]);
    }
}

static void draw_septum_arrow(DrawList *list, const HeartPen *pen, const HeartShape *shape,
                              const HeartShape *reference, const HeartView *view, const Theme *theme) {
    double shift_mm = view->septum_mm - view->septum_reference_mm; /* positive toward the right ventricle */
    double seen = isfinite(shift_mm) ? fade(fabs(shift_mm), SEPTUM_SEEN_MM - 0.3, SEPTUM_SEEN_MM + 0.3) : 0.0;
    if (seen <= 0.0) return;
    double size_px = fmin(fmax(0.9 * LABEL_PER_PX * pen->height_px, LABEL_MIN_PX), LABEL_MAX_PX);
    double x0 = ui_heart_px_x(pen, reference->septum), x1 = ui_heart_px_x(pen, shape->septum);
    double y = ui_heart_px_y(pen, shape->septum), dir = x1 > x0 ? 1.0 : -1.0, ring_px = 2.4 * pen->line_px;
    Colour ink = ui_colour_alpha(theme->text1, seen);
    char text[16];
    snprintf(text, sizeof text, "%.0f mm", fabs(shift_mm));
    double w = ui_draw_text_width(list, FACE_WORDS_STRONG, size_px, text) + size_px * 0.7, h = 1.25 * size_px;
    double cx = x0 - dir * (ring_px + 4.0 + 0.5 * w);
    ui_draw_rect(list, (Rect){cx - 0.5 * w, y - 0.5 * h, w, h}, 0.5 * h,
                 ui_colour_alpha(theme->panel, 0.85 * seen));
    ui_draw_text(list, FACE_WORDS_STRONG, size_px, ALIGN_CENTRE, ink, cx, y + 0.36 * size_px, text);
    ui_heart_arrow(list, x0, y, x1, y, 1.15 * pen->line_px, ink, ui_colour_alpha(theme->panel, seen));
}

void ui_heart_draw(DrawList *list, Rect rect, const HeartView *view) {
    if (!view->shown) return;
    const Theme *theme = ui_draw_theme(list);
    HeartShapeInput input, rest, big;
    HeartShape shape, reference, largest;
    ui_heart_shape_now(view, &input);
    ui_heart_shape_reference(view, &rest);
    big = input;
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        big.now_ml[c] = input.end_diastole_ml[c];
    ui_heart_shape_build(&input, &shape);
    ui_heart_shape_build(&rest, &reference);
    ui_heart_shape_build(&big, &largest);
    HeartPen pen = pen_for(rect, &reference, &largest);
    ui_draw_clip_rect(list, rect);
    draw_sac(list, &pen, &shape, theme);
    draw_clots(list, &pen, &shape, theme);
    draw_walls(list, &pen, &shape, theme);
    draw_sac_line(list, &pen, &shape, view->chest_open, theme);
    draw_blood(list, &pen, &shape, false, theme);
    draw_blood(list, &pen, &shape, true, theme);
    draw_edges(list, &pen, &shape, false, theme);
    draw_edges(list, &pen, &shape, true, theme);
    ui_heart_torn_top(list, &pen, &shape, theme);
    draw_reference(list, &pen, &reference, theme);
    ui_heart_jets(list, &pen, &shape, view, theme);
    ui_heart_valves(list, &pen, &shape, theme);
    ui_heart_tubes(list, &pen, &shape, view, theme);
    draw_labels(list, &pen, &shape, theme);
    draw_septum_arrow(list, &pen, &shape, &reference, view, theme);
    ui_draw_unclip(list);
}
