/* The look, page 1: four chambers with the outflow tract; also the parts that the pericardial and the inflow
   page share with it. */
#include "ui/look_parts.h"

#include <math.h>
#include <stdio.h>

static const double TOP_MM = 12.0, BOTTOM_MM = 6.0; /* room above and below the heart */
static const double PUSH_MMHG = 2.0; /* pressure difference at which a wall has gone most of its way; ours */
static const double PUSH_SHARE = 0.9;
static const double PUSHED_MMHG = 0.5, PUSHED_ROOM_MM = 2.5; /* less counts as not pushed in */
static const double FLUID_SEEN_MM = 1.5;                     /* the usual film of fluid is not drawn */
static const double SEPTUM_SEEN_MM = 3.0;
static const double TAG_FLUID_MM = 3.0;

double ui_look_push_mm(double push_mmhg, double room_mm) {
    if (!(push_mmhg > 0.0) || !(room_mm > 0.0)) return 0.0;
    return PUSH_SHARE * room_mm * (1.0 - exp(-push_mmhg / PUSH_MMHG));
}

/* Fluid and clot beside a chamber, mm. */
static double room_mm(const HeartShape *shape, int chamber) {
    return fmax(shape->fluid_mm - FLUID_SEEN_MM, 0.0) + shape->clot_mm[chamber];
}

bool ui_look_pushed(const LookSheet *sheet, const HeartMoment *moment, int chamber) {
    const HeartView *v = &sheet->now;
    bool beside =
        ui_heart_shape_fluid_mm(v->pericardial_ml) > PUSHED_ROOM_MM || v->chamber[chamber].clot_ml > 10.0;
    return beside && moment->push_mmhg[chamber] > PUSHED_MMHG;
}

void ui_look_shapes(const LookSheet *sheet, HeartShape *now, HeartShape *reference) {
    HeartShapeInput in, rest;
    const HeartMoment *moment = ui_look_moment(sheet);
    ui_heart_shape_now(&sheet->now, &in);
    ui_heart_shape_reference(&sheet->now, &rest);
    in.inflow_mm = rest.inflow_mm = sheet->now.left_pump.bore_mm;
    ui_heart_shape_build(&rest, reference);
    ui_heart_shape_build(&in, now);
    bool pushed = false;
    for (int c = 0; moment != NULL && c < HEART_CHAMBER_COUNT; c++) {
        if (!ui_look_pushed(sheet, moment, c)) continue;
        in.push_mm[c] = ui_look_push_mm(moment->push_mmhg[c], room_mm(now, c));
        pushed = true;
    }
    if (pushed) ui_heart_shape_build(&in, now);
}

typedef struct Span {
    double left, right, top, bottom; /* mm */
} Span;

static void hold(Span *span, const HeartCurve *curve) {
    for (int i = 0; i < curve->count; i += 3) {
        span->left = fmin(span->left, curve->point[i].x_mm);
        span->right = fmax(span->right, curve->point[i].x_mm);
        span->top = fmin(span->top, curve->point[i].y_mm);
        span->bottom = fmax(span->bottom, curve->point[i].y_mm);
    }
}

static Span span_of(const HeartShape *shape) {
    Span span = {shape->root_top[0].x_mm, shape->root_top[1].x_mm, shape->root_top[0].y_mm,
                 shape->cannula_end.y_mm - 10.0};
    hold(&span, &shape->pericardium);
    return span;
}

/* Reference and the heart at its largest of this beat: both must find room. */
static Span whole_span(const LookSheet *sheet) {
    HeartShapeInput in;
    HeartShape shape;
    ui_heart_shape_reference(&sheet->now, &in);
    ui_heart_shape_build(&in, &shape);
    Span a = span_of(&shape);
    ui_heart_shape_now(&sheet->now, &in);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        in.now_ml[c] = in.end_diastole_ml[c];
    ui_heart_shape_build(&in, &shape);
    Span b = span_of(&shape);
    return (Span){fmin(a.left, b.left), fmax(a.right, b.right), fmin(a.top, b.top), fmax(a.bottom, b.bottom)};
}

double ui_look_four_need_mm(const LookSheet *sheet) {
    Span span = whole_span(sheet);
    return TOP_MM + span.bottom - span.top + BOTTOM_MM;
}

HeartPen ui_look_four_pen(const LookSector *sector, const LookSheet *sheet) {
    HeartShapeInput rest;
    HeartShape reference;
    ui_heart_shape_reference(&sheet->now, &rest);
    ui_heart_shape_build(&rest, &reference);
    Span span = span_of(&reference);
    HeartPen pen = {.px_per_mm = sector->px_per_mm, .height_px = sector->rect.h};
    pen.x_px = sector->middle_x - 0.5 * (span.left + span.right) * pen.px_per_mm;
    pen.y_px = sector->skin_y + (TOP_MM - span.top) * pen.px_per_mm;
    return pen;
}

static double fade(double value, double none, double full) {
    double t = fmin(fmax((value - none) / (full - none), 0.0), 1.0);
    return t * t * (3.0 - 2.0 * t);
}

static void draw_sac(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                     bool open) {
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->pericardium);
    ui_look_fluid(list, style, fade(shape->fluid_mm, FLUID_SEEN_MM, 2.0 * FLUID_SEEN_MM));
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        if (shape->clot[c].count == 0) continue;
        ui_draw_path(list);
        ui_heart_trace(list, pen, &shape->clot[c]);
        ui_look_clot(list, style, fade(shape->clot_mm[c], 0.0, 3.0));
    }
    StrokeStyle line =
        ui_draw_solid(ui_colour_alpha(style->theme->pericardium, open ? 0.55 : 1.0), 1.15 * style->line_px);
    if (open)
        line.dash_on_px = 9.0 * style->line_px, line.dash_off_px = 4.0 * style->line_px, line.flat = true;
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->pericardium);
    ui_draw_stroke(list, line);
}

static void draw_muscle(DrawList *list, const LookStyle *style, const HeartPen *pen,
                        const HeartShape *shape) {
    /* the outlines overlap and turn different ways, so each is filled by itself */
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        ui_draw_path(list);
        ui_heart_trace(list, pen, &shape->wall[c]);
        ui_look_muscle(list, style);
    }
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->root_wall);
    ui_look_muscle(list, style);
}

static void draw_side(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                      bool left) {
    ui_draw_path(list);
    ui_heart_trace(list, pen, &shape->cavity[left ? HEART_LV : HEART_RV]);
    ui_heart_trace(list, pen, &shape->cavity[left ? HEART_LA : HEART_RA]);
    if (left) ui_heart_trace(list, pen, &shape->root);
    ui_look_blood(list, style, left);
    ui_draw_path(list);
    int sides = 2 * (HEART_SAMPLES - 1);
    ui_heart_trace_open(list, pen, &shape->cavity[left ? HEART_LV : HEART_RV], 0, sides);
    ui_heart_trace_open(list, pen, &shape->cavity[left ? HEART_LA : HEART_RA], 0, sides);
    if (left) ui_heart_trace_root(list, pen, &shape->root);
    ui_draw_stroke(list, ui_draw_solid(style->theme->side[left ? SIDE_LEFT : SIDE_RIGHT], style->line_px));
}

/* Two waves over the cut of the aorta. */
static void draw_cut(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape) {
    double x0 = ui_heart_px_x(pen, shape->root_top[0]) - 5.0 * pen->px_per_mm;
    double x1 = ui_heart_px_x(pen, shape->root_top[1]) + 5.0 * pen->px_per_mm;
    double y = ui_heart_px_y(pen, shape->root_top[0]), wave = 2.6 * pen->px_per_mm, third = (x1 - x0) / 3.0;
    ui_draw_path(list);
    for (int k = 0; k < 2; k++) {
        double at = y - 0.2 * wave + k * 1.3 * wave;
        ui_draw_move(list, x0, at);
        ui_draw_curve(list, x0 + third, at - 2.0 * wave, x1 - third, at + 2.0 * wave, x1, at);
    }
    ui_draw_stroke(list, ui_draw_solid(style->theme->pericardium, 0.8 * style->line_px));
}

void ui_look_four_body(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                       const LookSheet *sheet) {
    HeartPen thin = *pen;
    thin.line_px = style->line_px;
    draw_sac(list, style, &thin, shape, sheet->now.chest_open);
    draw_muscle(list, style, &thin, shape);
    draw_side(list, style, &thin, shape, false);
    draw_side(list, style, &thin, shape, true);
    draw_cut(list, style, &thin, shape);
    ui_heart_jets(list, &thin, shape, &sheet->now, style->theme);
    ui_heart_valves(list, &thin, shape, style->theme);
    Theme dim = *style->theme; /* blood in the tubes as dark as in the chambers */
    dim.blood_left = ui_look_blood_colour(style, true);
    dim.blood_right = ui_look_blood_colour(style, false);
    ui_heart_tubes(list, &thin, shape, &sheet->now, &dim);
}

void ui_look_four_reference(DrawList *list, const LookStyle *style, const HeartPen *pen,
                            const HeartShape *reference) {
    double dash_mm = 4.4 * style->line_px / pen->px_per_mm;
    ui_draw_path(list);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        ui_heart_trace_dashes(list, pen, &reference->cavity[c], 2 * (HEART_SAMPLES - 1), dash_mm,
                              0.8 * dash_mm);
    StrokeStyle line = ui_draw_solid(ui_colour_alpha(style->theme->text1, 0.9), 0.9 * style->line_px);
    line.flat = true;
    ui_draw_stroke(list, line);
}

static void draw_septum(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                        const HeartShape *reference, const LookSheet *sheet) {
    double shift_mm = sheet->now.septum_mm - sheet->now.septum_reference_mm;
    if (!isfinite(shift_mm) || fabs(shift_mm) < SEPTUM_SEEN_MM) return;
    const Theme *t = style->theme;
    double x0 = ui_heart_px_x(pen, reference->septum), x1 = ui_heart_px_x(pen, shape->septum);
    double y = ui_heart_px_y(pen, shape->septum), dir = x1 > x0 ? 1.0 : -1.0;
    ui_heart_arrow(list, x0, y, x1, y, 1.2 * style->line_px, t->text1, style->ground);
    if (!sheet->tags) return;
    char text[TEXT_SHORT];
    snprintf(text, sizeof text, "%.0f mm", fabs(shift_mm));
    double w = ui_draw_text_width(list, FACE_DIGITS, TYPE_NOTE, text) + 14.0;
    double cx = x0 - dir * (10.0 + 0.5 * w);
    ui_draw_rect(list, (Rect){cx - 0.5 * w, y - 13.0, w, 26.0}, 6.0, ui_colour_alpha(style->ground, 0.85));
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, t->text1, cx, y + 6.0, text);
}

static const char *arrow_word(double now, double reference) {
    return now > 1.08 * reference ? ", larger" : now < 0.92 * reference ? ", smaller" : "";
}

static void tag_chambers(LookTags *tags, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                         const LookSheet *sheet) {
    static const char *const NAME[HEART_CHAMBER_COUNT] = {"LV", "RV", "LA", "RA"};
    static const HeartChamberId ORDER[HEART_CHAMBER_COUNT] = {HEART_RA, HEART_RV, HEART_LA, HEART_LV};
    for (int k = 0; k < HEART_CHAMBER_COUNT; k++) {
        HeartChamberId c = ORDER[k];
        const HeartChamber *chamber = &sheet->now.chamber[c];
        bool left = c == HEART_LV || c == HEART_LA;
        LookTag *tag = ui_look_tag(tags, NAME[c], left, style->theme->side[left ? SIDE_LEFT : SIDE_RIGHT],
                                   ui_heart_px_x(pen, shape->label[c]), ui_heart_px_y(pen, shape->label[c]));
        snprintf(tag->value, sizeof tag->value, "%.0f mL", chamber->now_ml);
        snprintf(tag->note, sizeof tag->note, "ref. %.0f%s", chamber->reference_ml,
                 arrow_word(chamber->beat_max_ml, chamber->reference_ml));
    }
}

static void tag_tip(LookTags *tags, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                    const LookSheet *sheet) {
    if (!sheet->now.left_pump.present) return;
    LookTag *tag = ui_look_tag(tags, "Inflow", true, style->theme->side[SIDE_PUMP],
                               ui_heart_px_x(pen, shape->cannula_tip),
                               ui_heart_px_y(pen, shape->cannula_tip) + 6.0 * pen->px_per_mm);
    snprintf(tag->value, sizeof tag->value, "%.1f L/min", sheet->now.left_pump.mean_l_min);
    if (sheet->now.left_pump.occlusion_frac > 0.1)
        snprintf(tag->note, sizeof tag->note, "wall over %.0f %%",
                 100.0 * sheet->now.left_pump.occlusion_frac);
}

static void tag_fluid(LookTags *tags, const LookStyle *style, const HeartPen *pen, const HeartShape *shape) {
    static const char *const BESIDE[HEART_CHAMBER_COUNT] = {"beside LV", "beside RV", "beside LA",
                                                            "beside RA"};
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        if (shape->clot[c].count == 0 || shape->clot_mm[c] < TAG_FLUID_MM) continue;
        const HeartCurve *clot = &shape->clot[c];
        /* a point in the middle of the outer line and one of the inner line: the clot's own middle */
        HeartPoint in = clot->point[3 * (HEART_SAMPLES / 2)],
                   out = clot->point[clot->count - 1 - 3 * (HEART_SAMPLES / 2)];
        HeartPoint mid = {0.5 * (in.x_mm + out.x_mm), 0.5 * (in.y_mm + out.y_mm)};
        LookTag *tag = ui_look_tag(tags, "Clot", c == HEART_LV || c == HEART_LA, style->theme->text2,
                                   ui_heart_px_x(pen, mid), ui_heart_px_y(pen, mid));
        snprintf(tag->value, sizeof tag->value, "%.0f mm", shape->clot_mm[c]);
        snprintf(tag->note, sizeof tag->note, "%s", BESIDE[c]);
    }
    if (shape->fluid_mm < TAG_FLUID_MM) return;
    HeartPoint at = shape->pericardium.point[3 * (HEART_HULL_KNOTS * 13 / 40)]; /* left and down: beside RV */
    LookTag *tag = ui_look_tag(tags, "Fluid", false, style->theme->fluid,
                               ui_heart_px_x(pen, at) + 0.4 * shape->fluid_mm * pen->px_per_mm,
                               ui_heart_px_y(pen, at) - 0.4 * shape->fluid_mm * pen->px_per_mm);
    snprintf(tag->value, sizeof tag->value, "%.0f mm", shape->fluid_mm);
    snprintf(tag->note, sizeof tag->note, "all around");
}

HeartPen ui_look_four(DrawList *list, const LookStyle *style, const LookSheet *sheet) {
    HeartShape shape, reference;
    HeartPen pen = ui_look_four_pen(style->sector, sheet);
    ui_look_shapes(sheet, &shape, &reference);
    ui_look_four_body(list, style, &pen, &shape, sheet);
    if (sheet->outline) ui_look_four_reference(list, style, &pen, &reference);
    draw_septum(list, style, &pen, &shape, &reference, sheet);
    if (sheet->tags) {
        LookTags tags = {0};
        tag_chambers(&tags, style, &pen, &shape, sheet);
        tag_tip(&tags, style, &pen, &shape, sheet);
        tag_fluid(&tags, style, &pen, &shape);
        ui_look_tags_draw(list, style, &tags);
    }
    return pen;
}
