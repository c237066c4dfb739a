/* The look, page 2: both ventricles across, with the septum. */
#include "ui/look_parts.h"
#include "ui/look_short.h"

#include <math.h>
#include <stdio.h>

static const double TOP_MM = 16.0, BOTTOM_MM = 12.0;
static const double FLUID_SEEN_MM = 1.5, TAG_FLUID_MM = 3.0;
static const double FLAT_MM = 3.0; /* septum this near to straight is called flat */

static LookShortInput input_of(const LookSheet *sheet, double lv_ml, double rv_ml, double septum_mm) {
    const HeartChamber *lv = &sheet->now.chamber[HEART_LV], *rv = &sheet->now.chamber[HEART_RV];
    return (LookShortInput){.lv_ml = lv_ml,
                            .rv_ml = rv_ml,
                            .septum_mm = septum_mm,
                            .lv_reference_ml = lv->reference_ml,
                            .rv_reference_ml = rv->reference_ml,
                            .fluid_ml = sheet->now.pericardial_ml,
                            .clot_lv_ml = lv->clot_ml,
                            .clot_rv_ml = rv->clot_ml};
}

static void shape_now(const LookSheet *sheet, LookShort *shape) {
    const HeartView *v = &sheet->now;
    LookShortInput in =
        input_of(sheet, v->chamber[HEART_LV].now_ml, v->chamber[HEART_RV].now_ml, v->septum_mm);
    const HeartMoment *moment = ui_look_moment(sheet);
    ui_look_short_build(&in, shape);
    double beside_mm = fmax(shape->fluid_mm - FLUID_SEEN_MM, 0.0);
    in.push_lv_mm = 0.8 * shape->clot_mm[0];
    in.push_rv_mm = 0.8 * shape->clot_mm[1];
    if (moment != NULL && ui_look_pushed(sheet, moment, HEART_LV))
        in.push_lv_mm += ui_look_push_mm(moment->push_mmhg[HEART_LV], beside_mm + shape->clot_mm[0]);
    if (moment != NULL && ui_look_pushed(sheet, moment, HEART_RV))
        in.push_rv_mm += ui_look_push_mm(moment->push_mmhg[HEART_RV], beside_mm + shape->clot_mm[1]);
    ui_look_short_build(&in, shape);
}

static void shape_reference(const LookSheet *sheet, LookShort *shape) {
    const HeartView *v = &sheet->now;
    LookShortInput in = input_of(sheet, v->chamber[HEART_LV].reference_ml, v->chamber[HEART_RV].reference_ml,
                                 v->septum_reference_mm);
    in.fluid_ml = in.clot_lv_ml = in.clot_rv_ml = 0.0;
    ui_look_short_build(&in, shape);
}

static void widest(const HeartCurve *curve, double *top_mm, double *bottom_mm) {
    for (int i = 0; i < curve->count; i += 3) {
        *top_mm = fmin(*top_mm, curve->point[i].y_mm);
        *bottom_mm = fmax(*bottom_mm, curve->point[i].y_mm);
    }
}

double ui_look_short_need_mm(const LookSheet *sheet) {
    LookShort rest, big;
    const HeartView *v = &sheet->now;
    shape_reference(sheet, &rest);
    LookShortInput in =
        input_of(sheet, v->chamber[HEART_LV].beat_max_ml, v->chamber[HEART_RV].beat_max_ml, v->septum_mm);
    ui_look_short_build(&in, &big);
    double top_mm = 0.0, bottom_mm = 0.0;
    widest(&rest.sac, &top_mm, &bottom_mm);
    widest(&big.sac, &top_mm, &bottom_mm);
    return TOP_MM + bottom_mm - top_mm + BOTTOM_MM;
}

/* The picture stands in the middle of the depth, so that it does not jump with the heart's size. */
static HeartPen pen_of(const LookStyle *style, const LookSheet *sheet) {
    const LookSector *s = style->sector;
    LookShort rest;
    shape_reference(sheet, &rest);
    HeartPen pen = {.px_per_mm = s->px_per_mm, .height_px = s->rect.h, .line_px = style->line_px};
    pen.x_px = s->middle_x + 0.5 * rest.rv_width_mm * s->px_per_mm;
    pen.y_px = s->skin_y + 0.5 * (s->depth_mm + TOP_MM - BOTTOM_MM) * s->px_per_mm;
    return pen;
}

static void fill_curve(DrawList *list, const HeartPen *pen, const HeartCurve *curve) {
    ui_draw_path(list);
    ui_heart_trace(list, pen, curve);
}

static void draw_body(DrawList *list, const LookStyle *style, const HeartPen *pen, const LookShort *shape,
                      bool open) {
    const Theme *t = style->theme;
    double seen = fmin(fmax((shape->fluid_mm - FLUID_SEEN_MM) / FLUID_SEEN_MM, 0.0), 1.0);
    fill_curve(list, pen, &shape->sac);
    ui_look_fluid(list, style, seen);
    for (int k = 0; k < 2; k++) {
        if (shape->clot[k].count == 0) continue;
        fill_curve(list, pen, &shape->clot[k]);
        ui_look_clot(list, style, fmin(shape->clot_mm[k] / 3.0, 1.0));
    }
    StrokeStyle line =
        ui_draw_solid(ui_colour_alpha(t->pericardium, open ? 0.55 : 1.0), 1.15 * style->line_px);
    if (open)
        line.dash_on_px = 9.0 * style->line_px, line.dash_off_px = 4.0 * style->line_px, line.flat = true;
    fill_curve(list, pen, &shape->sac);
    ui_draw_stroke(list, line);
    fill_curve(list, pen, &shape->rv_wall);
    ui_look_muscle(list, style);
    fill_curve(list, pen, &shape->lv_wall);
    ui_look_muscle(list, style);
    fill_curve(list, pen, &shape->rv);
    ui_look_blood(list, style, false);
    ui_draw_stroke(list, ui_draw_solid(t->side[SIDE_RIGHT], style->line_px));
    fill_curve(list, pen, &shape->lv);
    ui_look_blood(list, style, true);
    ui_draw_stroke(list, ui_draw_solid(t->side[SIDE_LEFT], style->line_px));
}

static void draw_reference(DrawList *list, const LookStyle *style, const HeartPen *pen,
                           const LookShort *rest) {
    double dash_mm = 4.4 * style->line_px / pen->px_per_mm;
    ui_draw_path(list);
    ui_heart_trace_dashes(list, pen, &rest->lv, (rest->lv.count - 1) / 3, dash_mm, 0.8 * dash_mm);
    ui_heart_trace_dashes(list, pen, &rest->rv, (rest->rv.count - 1) / 3, dash_mm, 0.8 * dash_mm);
    StrokeStyle line = ui_draw_solid(ui_colour_alpha(style->theme->text1, 0.9), 0.9 * style->line_px);
    line.flat = true;
    ui_draw_stroke(list, line);
}

static void tag_all(LookTags *tags, const LookStyle *style, const HeartPen *pen, const LookShort *shape,
                    const LookSheet *sheet) {
    const HeartView *v = &sheet->now;
    const Theme *t = style->theme;
    HeartPoint middle = {0.5 * shape->lateral.x_mm, -0.35 * shape->along_mm * 0.5};
    LookTag *tag = ui_look_tag(tags, "LV", true, t->side[SIDE_LEFT], ui_heart_px_x(pen, middle),
                               ui_heart_px_y(pen, middle));
    snprintf(tag->value, sizeof tag->value, "%.0f mm", shape->across_mm);
    snprintf(tag->note, sizeof tag->note, "%.0f mL, ref. %.0f", v->chamber[HEART_LV].now_ml,
             v->chamber[HEART_LV].reference_ml);
    HeartPoint rv = {shape->septum.x_mm - shape->wall_mm - 0.6 * shape->rv_width_mm, -6.0};
    tag = ui_look_tag(tags, "RV", false, t->side[SIDE_RIGHT], ui_heart_px_x(pen, rv), ui_heart_px_y(pen, rv));
    snprintf(tag->value, sizeof tag->value, "%.0f mm", shape->rv_width_mm);
    snprintf(tag->note, sizeof tag->note, "%.0f mL, ref. %.0f", v->chamber[HEART_RV].now_ml,
             v->chamber[HEART_RV].reference_ml);
    HeartPoint septum = {shape->septum.x_mm - 0.5 * shape->wall_mm, 10.0};
    tag =
        ui_look_tag(tags, "Septum", false, t->text2, ui_heart_px_x(pen, septum), ui_heart_px_y(pen, septum));
    double ratio = shape->across_mm > 1.0 ? shape->along_mm / shape->across_mm : 0.0;
    snprintf(tag->value, sizeof tag->value, "%.1f : 1", ratio);
    snprintf(tag->note, sizeof tag->note, "%s",
             v->septum_mm < -FLAT_MM  ? "bulges into the LV"
             : v->septum_mm < FLAT_MM ? "flat: the LV is a D"
                                      : "round toward the RV");
    for (int k = 0; k < 2; k++) {
        if (shape->clot[k].count == 0 || shape->clot_mm[k] < TAG_FLUID_MM) continue;
        HeartPoint at = shape->clot[k].point[3 * 5], out = shape->clot[k].point[3 * 16];
        HeartPoint mid = {0.5 * (at.x_mm + out.x_mm), 0.5 * (at.y_mm + out.y_mm)};
        tag = ui_look_tag(tags, "Clot", k == 0, t->text2, ui_heart_px_x(pen, mid), ui_heart_px_y(pen, mid));
        snprintf(tag->value, sizeof tag->value, "%.0f mm", shape->clot_mm[k]);
        snprintf(tag->note, sizeof tag->note, k == 0 ? "beside LV" : "beside RV");
    }
    if (shape->fluid_mm < TAG_FLUID_MM) return;
    HeartPoint at = shape->sac.point[3 * 6];
    tag = ui_look_tag(tags, "Fluid", true, t->fluid,
                      ui_heart_px_x(pen, at) - 0.4 * shape->fluid_mm * pen->px_per_mm,
                      ui_heart_px_y(pen, at) - 0.4 * shape->fluid_mm * pen->px_per_mm);
    snprintf(tag->value, sizeof tag->value, "%.0f mm", shape->fluid_mm);
    snprintf(tag->note, sizeof tag->note, "all around");
}

/* Names inside the cavities, so that the view reads without tags as well. */
static void name_cavities(DrawList *list, const LookStyle *style, const HeartPen *pen,
                          const LookShort *shape) {
    const Theme *t = style->theme;
    double x = ui_heart_px_x(
        pen, (HeartPoint){shape->septum.x_mm - shape->wall_mm - 0.52 * shape->rv_width_mm, 0.0});
    double y = ui_heart_px_y(pen, (HeartPoint){0.0, 0.0});
    if (shape->rv_width_mm > 12.0)
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_CENTRE, t->text1, x, y + 22.0, "RV");
    x = ui_heart_px_x(pen, (HeartPoint){0.5 * (shape->septum.x_mm + shape->lateral.x_mm), 0.0});
    if (shape->across_mm > 14.0)
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_CENTRE, t->text1, x, y + 22.0, "LV");
}

HeartPen ui_look_short_draw(DrawList *list, const LookStyle *style, const LookSheet *sheet) {
    LookShort shape, rest;
    HeartPen pen = pen_of(style, sheet);
    shape_now(sheet, &shape);
    shape_reference(sheet, &rest);
    draw_body(list, style, &pen, &shape, sheet->now.chest_open);
    if (sheet->outline) draw_reference(list, style, &pen, &rest);
    name_cavities(list, style, &pen, &shape);
    if (sheet->tags) {
        LookTags tags = {0};
        tag_all(&tags, style, &pen, &shape, sheet);
        ui_look_tags_draw(list, style, &tags);
    }
    return pen;
}
