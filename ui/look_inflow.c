/* The look, page 5: the inflow of the left pump in the left ventricle. */
#include "ui/look_parts.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>

static const double PI = 3.14159265358979323846;
static const double TIP_AT = 0.60;                      /* height of the tip in the picture, of its depth */
static const double CHORD_FROM = 0.15, CHORD_TO = 0.60; /* of the length, for the direction of the septum */
static const double SIGN_FROM_PX = 280.0;               /* height of the picture that has room for the sign */
static const double SUCTION_SEEN = 0.30;                /* of the inlet covered: said as suction */
static const double PARALLEL_DEG = 3.0;
static const double OCCLUSION_JET = 0.8; /* as in model/measure.c */
static const double MM_PER_M = 1000.0, MM3_PER_ML = 1000.0;

double ui_look_velocity_m_s(double flow_ml_s, double bore_mm, double occlusion_frac) {
    if (!(bore_mm > 0.0)) return NAN;
    double covered = fmin(fmax(occlusion_frac, 0.0), 1.0);
    double area_mm2 = 0.25 * PI * bore_mm * bore_mm * (1.0 - OCCLUSION_JET * covered);
    return flow_ml_s * MM3_PER_ML / area_mm2 / MM_PER_M;
}

/* Where the septum's side of the left ventricular cavity stands at height y. */
static double septum_x_mm(const HeartShape *shape, double y_mm) {
    const HeartCurve *cavity = &shape->cavity[HEART_LV];
    int first = HEART_SAMPLES - 1, last = 2 * (HEART_SAMPLES - 1); /* cubics from the tip up to the base */
    HeartPoint from = cavity->point[3 * first];
    for (int i = first; i < last; i++) {
        for (int k = 1; k <= 6; k++) {
            HeartPoint to = ui_heart_curve_at(cavity, i, k / 6.0);
            if ((from.y_mm - y_mm) * (to.y_mm - y_mm) <= 0.0 && fabs(to.y_mm - from.y_mm) > 1e-9)
                return from.x_mm + (y_mm - from.y_mm) / (to.y_mm - from.y_mm) * (to.x_mm - from.x_mm);
            from = to;
        }
    }
    return from.x_mm;
}

static HeartPen pen_of(const LookStyle *style, const LookSheet *sheet) {
    const LookSector *s = style->sector;
    HeartShapeInput in;
    HeartShape rest;
    ui_heart_shape_reference(&sheet->now, &in);
    ui_heart_shape_build(&in, &rest);
    HeartPen pen = {.px_per_mm = s->px_per_mm, .height_px = s->rect.h, .line_px = style->line_px};
    pen.x_px = s->middle_x - (rest.cannula_tip.x_mm - 4.0) * s->px_per_mm;
    pen.y_px = s->skin_y + (TIP_AT * s->depth_mm - rest.cannula_tip.y_mm) * s->px_per_mm;
    return pen;
}

/* Dotted line from the edge of the inlet to the septum, with its length. */
static void draw_gap(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                     double gap_mm, double septum_mm) {
    const Theme *t = style->theme;
    double y = ui_heart_px_y(pen, shape->cannula_tip);
    double x1 = pen->x_px + pen->px_per_mm * (shape->cannula_tip.x_mm - 0.5 * shape->cannula_mm);
    double x0 = pen->x_px + pen->px_per_mm * septum_mm;
    if (gap_mm < 1.0) return;
    ui_draw_path(list);
    ui_draw_move(list, x0, y);
    ui_draw_to(list, x1, y);
    ui_draw_stroke(list, ui_draw_solid(style->ground, 4.0));
    ui_draw_stroke(list, ui_draw_dashed(t->text1, 2.0, 2.0, 5.0));
    ui_draw_circle(list, x0, y, 3.6, t->text1);
    ui_draw_circle(list, x1, y, 3.6, t->text1);
}

/* A sign that stands out by shape and word: the wall lies over the inlet. */
static void draw_suction(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                         double covered, bool number) {
    const Theme *t = style->theme;
    char text[TEXT_LINE];
    if (number)
        snprintf(text, sizeof text, "Suction: the wall covers %.0f %% of the inlet", 100.0 * covered);
    else
        snprintf(text, sizeof text, "Suction: the wall lies on the inlet");
    double w = ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_BODY, text) + 60.0;
    double x = fmin(fmax(ui_heart_px_x(pen, shape->cannula_tip) - 0.5 * w, style->sector->rect.x + 10.0),
                    style->sector->rect.x + style->sector->rect.w - w - 10.0);
    Rect box = {x, style->sector->rect.y + style->sector->rect.h - 92.0, w, 40.0};
    ui_draw_rect(list, box, 8.0, ui_colour_alpha(t->panel, 0.95));
    ui_draw_frame(list, box, 8.0, ui_draw_solid(t->text1, 2.0));
    double mid = box.y + 20.0;
    ui_draw_path(list);
    ui_draw_move(list, x + 24.0, mid - 12.0);
    ui_draw_to(list, x + 38.0, mid + 11.0);
    ui_draw_to(list, x + 10.0, mid + 11.0);
    ui_draw_close(list);
    ui_draw_fill(list, t->text1);
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, style->ground, x + 24.0, mid + 9.0, "!");
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x + 48.0, mid + 6.0, text);
}

HeartPen ui_look_inflow(DrawList *list, const LookStyle *style, const LookSheet *sheet) {
    const HeartPump *pump = &sheet->now.left_pump;
    const Theme *t = style->theme;
    HeartShape shape, reference;
    HeartPen pen = pen_of(style, sheet);
    ui_look_shapes(sheet, &shape, &reference);
    ui_look_fan_clip(list, style);
    ui_look_four_body(list, style, &pen, &shape, sheet);
    if (sheet->outline) ui_look_four_reference(list, style, &pen, &reference);
    ui_draw_unclip(list);
    double septum_mm = septum_x_mm(&shape, shape.cannula_tip.y_mm);
    double gap_mm = fmax(shape.cannula_tip.x_mm - 0.5 * shape.cannula_mm - septum_mm, 0.0);
    double length_mm = shape.length_mm[HEART_LV], base_mm = shape.valve[HEART_MITRAL].hinge[0].y_mm;
    double above = septum_x_mm(&shape, base_mm + CHORD_FROM * length_mm),
           below = septum_x_mm(&shape, base_mm + CHORD_TO * length_mm);
    double axis = atan2(shape.cannula_end.x_mm - shape.cannula_tip.x_mm,
                        shape.cannula_end.y_mm - shape.cannula_tip.y_mm);
    double angle = (axis - atan2(below - above, (CHORD_TO - CHORD_FROM) * length_mm)) * 180.0 / PI;
    if (!pump->present) return pen;
    draw_gap(list, style, &pen, &shape, gap_mm, septum_mm);
    if (pump->occlusion_frac > SUCTION_SEEN && style->sector->rect.h > SIGN_FROM_PX)
        draw_suction(list, style, &pen, &shape, pump->occlusion_frac, sheet->tags);
    if (!sheet->tags) return pen;
    LookTags tags = {0};
    LookTag *tag = ui_look_tag(&tags, "Septum", false, t->text2, pen.x_px + pen.px_per_mm * septum_mm,
                               ui_heart_px_y(&pen, shape.cannula_tip));
    snprintf(tag->value, sizeof tag->value, "%.0f mm", gap_mm);
    snprintf(tag->note, sizeof tag->note, gap_mm < 1.0 ? "touches the tip" : "from the tip");
    HeartPoint middle = {0.5 * (shape.cannula_tip.x_mm + shape.cannula_end.x_mm),
                         0.5 * (shape.cannula_tip.y_mm + shape.cannula_end.y_mm)};
    tag = ui_look_tag(&tags, "Inflow", true, t->side[SIDE_PUMP], ui_heart_px_x(&pen, middle),
                      ui_heart_px_y(&pen, middle));
    snprintf(tag->value, sizeof tag->value, "%.1f L/min", pump->flow_ml_s / UNITS_ML_S_PER_L_MIN);
    if (pump->occlusion_frac > SUCTION_SEEN)
        snprintf(tag->note, sizeof tag->note, "wall over %.0f %%", 100.0 * pump->occlusion_frac);
    else
        snprintf(tag->note, sizeof tag->note, "%.0f mm wide", pump->bore_mm);
    tag = ui_look_tag(&tags, "Angle", true, t->text2, ui_heart_px_x(&pen, shape.cannula_tip) + 8.0,
                      ui_heart_px_y(&pen, shape.cannula_tip) + 4.0);
    snprintf(tag->value, sizeof tag->value, "%.0f\u00b0", fabs(angle));
    snprintf(tag->note, sizeof tag->note, "%s",
             fabs(angle) < PARALLEL_DEG ? "along the septum"
             : angle > 0.0              ? "tip toward septum"
                                        : "tip away from septum");
    ui_look_tags_draw(list, style, &tags);
    return pen;
}
