/* Parts of the heart picture that are drawn rather than filled. */
#include "ui/heart_parts.h"

#include <math.h>

/* A jet reaches this share of the chamber it enters as the fraction grows: 0.3 -> about half. */
static const double JET_REACH = 0.75, JET_GROWTH = 3.0, JET_SLIM = 0.25;
static const double JET_SEEN = 0.04; /* a smaller fraction is no leak */
static const double CHEVRON_JET_PER_S = 1.1;
static const double CHEVRON_MM_PER_ML = 0.14; /* blood moved to chevron travel: 5 L/min is 11 mm/s */
enum { DASH_CHORDS = 6 };                     /* pieces of a cubic while dashing */
static const double CHEVRON_STEP_MM = 9.0;
static const double FLOW_SEEN_L_MIN = 0.25;

double ui_heart_px_x(const HeartPen *pen, HeartPoint point) {
    return pen->x_px + pen->px_per_mm * point.x_mm;
}

double ui_heart_px_y(const HeartPen *pen, HeartPoint point) {
    return pen->y_px + pen->px_per_mm * point.y_mm;
}

void ui_heart_trace_open(DrawList *list, const HeartPen *pen, const HeartCurve *curve, int first, int count) {
    const HeartPoint *p = &curve->point[3 * first];
    ui_draw_move(list, ui_heart_px_x(pen, p[0]), ui_heart_px_y(pen, p[0]));
    for (int i = 0; i < count; i++, p += 3) {
        ui_draw_curve(list, ui_heart_px_x(pen, p[1]), ui_heart_px_y(pen, p[1]), ui_heart_px_x(pen, p[2]),
                      ui_heart_px_y(pen, p[2]), ui_heart_px_x(pen, p[3]), ui_heart_px_y(pen, p[3]));
    }
}

void ui_heart_trace(DrawList *list, const HeartPen *pen, const HeartCurve *curve) {
    if (curve->count < 4) return;
    ui_heart_trace_open(list, pen, curve, 0, (curve->count - 1) / 3);
    ui_draw_close(list);
}

void ui_heart_trace_dashes(DrawList *list, const HeartPen *pen, const HeartCurve *curve, int count,
                           double on_mm, double off_mm) {
    double gone_mm = 0.0; /* along the dash or gap under way */
    bool on = true;
    HeartPoint last = curve->point[0];
    ui_draw_move(list, ui_heart_px_x(pen, last), ui_heart_px_y(pen, last));
    for (int i = 0; i < count; i++) {
        for (int k = 1; k <= DASH_CHORDS; k++) {
            HeartPoint next = ui_heart_curve_at(curve, i, (double)k / DASH_CHORDS);
            double chord_mm = hypot(next.x_mm - last.x_mm, next.y_mm - last.y_mm), at_mm = 0.0;
            while (gone_mm + chord_mm - at_mm >= (on ? on_mm : off_mm)) {
                at_mm += (on ? on_mm : off_mm) - gone_mm;
                double t = at_mm / chord_mm;
                HeartPoint turn = {last.x_mm + t * (next.x_mm - last.x_mm),
                                   last.y_mm + t * (next.y_mm - last.y_mm)};
                if (on)
                    ui_draw_to(list, ui_heart_px_x(pen, turn), ui_heart_px_y(pen, turn));
                else
                    ui_draw_move(list, ui_heart_px_x(pen, turn), ui_heart_px_y(pen, turn));
                on = !on;
                gone_mm = 0.0;
            }
            gone_mm += chord_mm - at_mm;
            last = next;
        }
    }
    if (on) ui_draw_to(list, ui_heart_px_x(pen, last), ui_heart_px_y(pen, last));
}

void ui_heart_trace_root(DrawList *list, const HeartPen *pen, const HeartCurve *root) {
    int sides = ((root->count - 1) / 3 - 2) / 2;
    ui_heart_trace_open(list, pen, root, 0, sides);
    ui_heart_trace_open(list, pen, root, sides + 1, sides);
}

void ui_heart_torn_top(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme) {
    double x0 = ui_heart_px_x(pen, shape->root_top[0]) - 6.0 * pen->px_per_mm;
    double x1 = ui_heart_px_x(pen, shape->root_top[1]) + 6.0 * pen->px_per_mm;
    double y = ui_heart_px_y(pen, shape->root_top[0]), wave = 3.4 * pen->px_per_mm, third = (x1 - x0) / 3.0;
    for (int k = 0; k < 2; k++) {
        double yy = y - 0.3 * wave + k * 1.25 * wave;
        ui_draw_path(list);
        ui_draw_move(list, x0, yy);
        ui_draw_curve(list, x0 + third, yy - 2.0 * wave, x1 - third, yy + 2.0 * wave, x1, yy);
        if (k == 0) {
            /* cover the lumen's straight end above the wave */
            ui_draw_to(list, x1, yy - 2.0 * wave);
            ui_draw_to(list, x0, yy - 2.0 * wave);
            ui_draw_close(list);
            ui_draw_fill(list, theme->panel);
            ui_draw_path(list);
            ui_draw_move(list, x0, yy);
            ui_draw_curve(list, x0 + third, yy - 2.0 * wave, x1 - third, yy + 2.0 * wave, x1, yy);
        }
        ui_draw_stroke(list, ui_draw_solid(theme->pericardium, 0.7 * pen->line_px));
    }
}

void ui_heart_valves(DrawList *list, const HeartPen *pen, const HeartShape *shape, const Theme *theme) {
    static const HeartValveId SEEN[] = {HEART_MITRAL, HEART_TRICUSPID, HEART_AORTIC};
    ui_draw_path(list);
    for (int v = 0; v < 3; v++) {
        for (int k = 0; k < 2; k++) {
            const HeartCurve *leaflet = &shape->valve[SEEN[v]].leaflet[k];
            ui_heart_trace_open(list, pen, leaflet, 0, (leaflet->count - 1) / 3);
        }
    }
    Colour dark = ui_colour_alpha(theme->ink, 0.55);
    ui_draw_stroke(list, ui_draw_solid(dark, 2.6 * pen->line_px));
    ui_draw_stroke(list, ui_draw_solid(ui_colour_mix(theme->text2, theme->text1, 0.5), 1.5 * pen->line_px));
}

/* An open V at (x, y) pointing along (dx, dy), `half` px to each side. */
static void chevron(DrawList *list, double x, double y, double dx, double dy, double half) {
    double back = 0.75 * half;
    ui_draw_move(list, x - dx * back - dy * half, y - dy * back + dx * half);
    ui_draw_to(list, x, y);
    ui_draw_to(list, x - dx * back + dy * half, y - dy * back - dx * half);
}

/* A drop from its neck at (x, y) along the unit vector (dx, dy), `length` px long and `half` px to each side.
 */
static void drop_path(DrawList *list, double x, double y, double dx, double dy, double length, double half) {
    double neck = 0.28 * half, nx = -dy, ny = dx;
    double bx = x + dx * 0.68 * length, by = y + dy * 0.68 * length, tx = x + dx * length,
           ty = y + dy * length;
    ui_draw_path(list);
    ui_draw_move(list, x + nx * neck, y + ny * neck);
    ui_draw_curve(list, x + nx * neck + dx * 0.3 * length, y + ny * neck + dy * 0.3 * length,
                  bx + nx * half - dx * 0.25 * length, by + ny * half - dy * 0.25 * length, bx + nx * half,
                  by + ny * half);
    ui_draw_curve(list, bx + nx * half + dx * 0.18 * length, by + ny * half + dy * 0.18 * length,
                  tx + nx * 0.55 * half, ty + ny * 0.55 * half, tx, ty);
    ui_draw_curve(list, tx - nx * 0.55 * half, ty - ny * 0.55 * half, bx - nx * half + dx * 0.18 * length,
                  by - ny * half + dy * 0.18 * length, bx - nx * half, by - ny * half);
    ui_draw_curve(list, bx - nx * half - dx * 0.25 * length, by - ny * half - dy * 0.25 * length,
                  x - nx * neck + dx * 0.3 * length, y - ny * neck + dy * 0.3 * length, x - nx * neck,
                  y - ny * neck);
    ui_draw_close(list);
}

/* One leak from `from` along (dx, dy), into a room `room_mm` long and `wide_mm` wide. */
static void jet(DrawList *list, const HeartPen *pen, HeartPoint from, double dx, double dy, double leak_frac,
                double room_mm, double wide_mm, double phase, const Theme *theme) {
    if (!(leak_frac > JET_SEEN)) return;
    double seen = fmin((leak_frac - JET_SEEN) / JET_SEEN, 1.0);
    double length = JET_REACH * room_mm * (1.0 - exp(-JET_GROWTH * leak_frac)) * pen->px_per_mm;
    double half = fmin(JET_SLIM * length + 1.2 * pen->line_px, 0.30 * wide_mm * pen->px_per_mm);
    double x = ui_heart_px_x(pen, from), y = ui_heart_px_y(pen, from), step = 4.4 * pen->line_px;
    Colour light = ui_colour_alpha(theme->text2, seen);
    drop_path(list, x, y, dx, dy, length, half);
    ui_draw_fill(list, ui_colour_alpha(theme->text2, 0.42 * seen));
    ui_draw_stroke(list, ui_draw_solid(light, 0.55 * pen->line_px));
    ui_draw_path(list);
    for (double at = phase * step; at < length - 0.5 * pen->line_px; at += step) {
        double t = at / length,
               width = t < 0.68 ? 0.3 + 0.7 * t / 0.68 : fmax(1.0 - 5.0 * (t - 0.68) * (t - 0.68), 0.3);
        chevron(list, x + dx * at, y + dy * at, dx, dy, 0.62 * half * width);
    }
    ui_draw_stroke(list, ui_draw_solid(ui_colour_alpha(theme->text1, seen), 0.7 * pen->line_px));
}

void ui_heart_jets(DrawList *list, const HeartPen *pen, const HeartShape *shape, const HeartView *view,
                   const Theme *theme) {
    double phase =
        view->reduced_motion || view->frozen ? 0.5 : fmod(fmax(view->time_s, 0.0) * CHEVRON_JET_PER_S, 1.0);
    const HeartValveShape *valve = shape->valve;
    HeartPoint mitral = valve[HEART_MITRAL].centre, tricuspid = valve[HEART_TRICUSPID].centre;
    mitral.y_mm += 3.0;
    tricuspid.y_mm += 3.0;
    jet(list, pen, mitral, 0.10, -0.995, view->valve[HEART_MITRAL].leak_frac, shape->length_mm[HEART_LA],
        shape->label_width_mm[HEART_LA], phase, theme);
    jet(list, pen, tricuspid, -0.14, -0.990, view->valve[HEART_TRICUSPID].leak_frac,
        shape->length_mm[HEART_RA], shape->label_width_mm[HEART_RA], phase, theme);
    jet(list, pen, valve[HEART_AORTIC].centre, 0.20, 0.980, view->valve[HEART_AORTIC].leak_frac,
        0.55 * shape->length_mm[HEART_LV], 0.6 * shape->label_width_mm[HEART_LV], phase, theme);
}

/* Chevrons along a tube from (x0, y0), `length` px along (dx, dy), moved on by the blood that has passed. */
static void tube_chevrons(DrawList *list, const HeartPen *pen, double x0, double y0, double dx, double dy,
                          double length, double half, const HeartPump *pump, bool still, const Theme *theme) {
    double seen = fmin(fabs(pump->mean_l_min) / FLOW_SEEN_L_MIN, 1.0),
           sign = pump->mean_l_min < 0.0 ? -1.0 : 1.0;
    if (!isfinite(pump->mean_l_min) || !(seen > 0.0)) return;
    double step = CHEVRON_STEP_MM * pen->px_per_mm,
           travel = pump->travel * CHEVRON_MM_PER_ML * pen->px_per_mm;
    double at = still || !isfinite(travel) ? 0.5 * step : fmod(fmod(travel, step) + step, step);
    for (; at < length; at += step) {
        double ends = fmin(fmin(at, length - at) / (0.6 * step), 1.0);
        ui_draw_path(list);
        chevron(list, x0 + dx * at, y0 + dy * at, sign * dx, sign * dy, 0.55 * half);
        ui_draw_stroke(list, ui_draw_solid(ui_colour_alpha(theme->text1, seen * ends), 0.9 * pen->line_px));
    }
}

static void tube(DrawList *list, const HeartPen *pen, HeartPoint tip, HeartPoint end, double lumen_mm,
                 const HeartPump *pump, bool still, Colour blood, const Theme *theme) {
    double x0 = ui_heart_px_x(pen, tip), y0 = ui_heart_px_y(pen, tip);
    double x1 = ui_heart_px_x(pen, end), y1 = ui_heart_px_y(pen, end);
    double length = hypot(x1 - x0, y1 - y0), dx = (x1 - x0) / length, dy = (y1 - y0) / length;
    double half = 0.5 * lumen_mm * pen->px_per_mm, wall = 1.9 * pen->line_px;
    double nx = -dy * (half + 0.5 * wall), ny = dx * (half + 0.5 * wall);
    ui_draw_path(list);
    ui_draw_move(list, x0 + nx, y0 + ny);
    ui_draw_to(list, x1 + nx, y1 + ny);
    ui_draw_to(list, x1 - nx, y1 - ny);
    ui_draw_to(list, x0 - nx, y0 - ny);
    ui_draw_close(list);
    ui_draw_fill(list, blood);
    tube_chevrons(list, pen, x0, y0, dx, dy, length, half, pump, still, theme);
    for (int k = -1; k <= 1; k += 2) {
        ui_draw_path(list);
        ui_draw_move(list, x0 + k * nx, y0 + k * ny);
        ui_draw_to(list, x1 + k * nx, y1 + k * ny);
        StrokeStyle style = ui_draw_solid(theme->side[SIDE_PUMP], wall);
        style.flat = true;
        ui_draw_stroke(list, style);
    }
}

void ui_heart_tubes(DrawList *list, const HeartPen *pen, const HeartShape *shape, const HeartView *view,
                    const Theme *theme) {
    if (view->left_pump.present)
        tube(list, pen, shape->cannula_tip, shape->cannula_end, shape->cannula_mm, &view->left_pump,
             view->reduced_motion, theme->blood_left, theme);
    if (view->right_pump.present) {
        int site = view->right_pump.inlet_atrium ? 0 : 1;
        tube(list, pen, shape->right_inlet_tip[site], shape->right_inlet_end[site], shape->cannula_mm,
             &view->right_pump, view->reduced_motion, theme->blood_right, theme);
    }
}

void ui_heart_arrow(DrawList *list, double x0, double y0, double x1, double y1, double line_px, Colour ink,
                    Colour border) {
    double length = hypot(x1 - x0, y1 - y0);
    if (!(length > 0.0)) return;
    double dx = (x1 - x0) / length, dy = (y1 - y0) / length, ring = fmin(2.0 * line_px, 0.30 * length);
    double head = fmin(4.6 * line_px, 0.55 * length), half = 0.66 * head, sx = x1 - dx * head,
           sy = y1 - dy * head;
    for (int pass = 0; pass < 2; pass++) {
        double grow = pass == 0 ? 2.2 : 0.0;
        Colour colour = pass == 0 ? border : ink;
        ui_draw_path(list);
        ui_draw_move(list, x0 + dx * fmin(ring, length - head), y0 + dy * fmin(ring, length - head));
        ui_draw_to(list, sx, sy);
        ui_draw_stroke(list, ui_draw_solid(colour, line_px + grow));
        ui_draw_path(list);
        ui_draw_move(list, x1, y1);
        ui_draw_to(list, sx - dy * half, sy + dx * half);
        ui_draw_to(list, sx + dy * half, sy - dx * half);
        ui_draw_close(list);
        if (pass == 0) ui_draw_stroke(list, ui_draw_solid(border, grow));
        ui_draw_fill(list, colour);
        ui_draw_ring(list, x0, y0, ring, ui_draw_solid(colour, line_px + grow));
    }
}

void ui_heart_arrow_head(DrawList *list, double x, double y, double dx, double dy, double size_px,
                         Colour ink) {
    double bx = x - dx * size_px, by = y - dy * size_px, half = 0.66 * size_px;
    ui_draw_path(list);
    ui_draw_move(list, x, y);
    ui_draw_to(list, bx - dy * half, by + dx * half);
    ui_draw_to(list, bx + dy * half, by - dx * half);
    ui_draw_close(list);
    ui_draw_fill(list, ink);
}

void ui_heart_heading(DrawList *list, double x, double y, double room_px, const char *full,
                      const char *brief) {
    bool fits = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, full) <= room_px;
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui_draw_theme(list)->text2, x, y, room_px,
                     fits ? full : brief);
}
