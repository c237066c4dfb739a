/* The look, page 3: the aortic valve from above, with what lies around it. */
#include "ui/look_parts.h"

#include <math.h>
#include <stdio.h>

static const double PI = 3.14159265358979323846;
static const double ROOT_MM = 14.5;    /* radius of the root at the valve; a usual adult size */
static const double RING_MM = 2.2;     /* its wall */
static const double BESIDE_MM = 18.3;  /* from the centre to the chambers beside the root */
static const double MIDDLE_MM = 50.0;  /* depth of the valve's centre */
static const double FIRST_RAD = -0.30; /* direction of the first commissure: right and a little up */
static const double OPEN_EDGE = 0.88;  /* free edge when open, of the radius */
static const double LEAK_SEEN = 0.03;
static const double SEAT_MM = 0.9; /* width of the drawn leaflet */

/* Opening of the leaflets as drawn: the edge goes far at once and then slows. */
static double edge_share(double open_frac) {
    double o = fmin(fmax(open_frac, 0.0), 1.0);
    return OPEN_EDGE * sqrt(o);
}

static void polar(const HeartPen *pen, double r_mm, double rad, double *x, double *y) {
    *x = pen->x_px + r_mm * cos(rad) * pen->px_per_mm;
    *y = pen->y_px + r_mm * sin(rad) * pen->px_per_mm;
}

/* Free edge of the leaflet between commissures k and k + 1, from one to the other. */
static void edge_path(DrawList *list, const HeartPen *pen, int k, double share, bool start) {
    double a0 = FIRST_RAD + k * 2.0 * PI / 3.0, a1 = a0 + 2.0 * PI / 3.0, mid = 0.5 * (a0 + a1);
    double x0, y0, x1, y1, xm, ym, xa, ya, xb, yb;
    polar(pen, ROOT_MM, a0, &x0, &y0);
    polar(pen, ROOT_MM, a1, &x1, &y1);
    polar(pen, ROOT_MM * share, mid, &xm, &ym);
    /* shut: straight to the centre and out again; open: along the wall */
    double side = 0.30 * PI * share;
    polar(pen, ROOT_MM * (0.5 + 0.46 * share), a0 + 0.5 * side, &xa, &ya);
    polar(pen, ROOT_MM * (0.5 + 0.46 * share), a1 - 0.5 * side, &xb, &yb);
    double turn = 0.55 * share * ROOT_MM * pen->px_per_mm, tx = -sin(mid) * turn, ty = cos(mid) * turn;
    if (start) ui_draw_move(list, x0, y0);
    ui_draw_curve(list, xa, ya, xm - tx, ym - ty, xm, ym);
    ui_draw_curve(list, xm + tx, ym + ty, xb, yb, x1, y1);
}

static void ring(DrawList *list, const HeartPen *pen, double r_mm) {
    ui_draw_path(list);
    ui_draw_ellipse(list, pen->x_px, pen->y_px, r_mm * pen->px_per_mm, r_mm * pen->px_per_mm);
}

/* A chamber beside the root: from angle `from` to `to` (degrees, growing clockwise from the right) along the
   root's wall, `deep_mm` deep in its middle, `more_mm` larger on all sides. */
static void room_path(DrawList *list, const HeartPen *pen, double from_deg, double to_deg, double deep_mm,
                      double more_mm) {
    enum { INNER = 6, OUTER = 9 };
    HeartPoint knot[INNER + OUTER];
    HeartCurve curve;
    double spread = more_mm / (BESIDE_MM + 0.5 * deep_mm), from = from_deg * PI / 180.0 - spread,
           to = to_deg * PI / 180.0 + spread;
    for (int i = 0; i < INNER; i++) {
        double a = from + (to - from) * i / (INNER - 1), r = BESIDE_MM - more_mm;
        knot[i] = (HeartPoint){r * cos(a), r * sin(a)};
    }
    for (int i = 0; i < OUTER; i++) {
        double u = (i + 1.0) / (OUTER + 1.0), a = to + (from - to) * u;
        double r = BESIDE_MM + more_mm + deep_mm * pow(sin(PI * u), 0.42);
        knot[INNER + i] = (HeartPoint){r * cos(a), r * sin(a)};
    }
    ui_heart_curve_ring(&curve, knot, INNER + OUTER);
    ui_draw_path(list);
    ui_heart_trace(list, pen, &curve);
}

static double grown(double volume_ml, double usual_ml) {
    return isfinite(volume_ml) ? cbrt(fmin(fmax(volume_ml / usual_ml, 0.1), 5.0)) : 1.0;
}

/* Left atrium toward the probe, right atrium at the left, right ventricle's outflow below. How deep they are
   follows the chambers' volumes. */
static void draw_around(DrawList *list, const LookStyle *style, const HeartPen *pen, const LookSheet *sheet) {
    const HeartChamber *chamber = sheet->now.chamber;
    const struct {
        double from_deg, to_deg, deep_mm, wall_mm;
        const char *name;
        bool left;
    } ROOM[] = {{-148.0, -28.0, 21.0 * grown(chamber[HEART_LA].now_ml, 70.0), 2.2, "LA", true},
                {128.0, 200.0, 27.0 * grown(chamber[HEART_RA].now_ml, 75.0), 2.2, "RA", false},
                {-2.0, 115.0, 17.0 * grown(chamber[HEART_RV].now_ml, 145.0), 3.6, "RV outflow", false}};
    for (int i = 0; i < 3; i++) {
        room_path(list, pen, ROOM[i].from_deg, ROOM[i].to_deg, ROOM[i].deep_mm, ROOM[i].wall_mm);
        ui_look_muscle(list, style);
    }
    for (int i = 0; i < 3; i++) {
        room_path(list, pen, ROOM[i].from_deg, ROOM[i].to_deg, ROOM[i].deep_mm, 0.0);
        ui_look_blood(list, style, ROOM[i].left);
        ui_draw_stroke(
            list, ui_draw_solid(style->theme->side[ROOM[i].left ? SIDE_LEFT : SIDE_RIGHT], style->line_px));
        double x, y;
        polar(pen, BESIDE_MM + 0.5 * ROOM[i].deep_mm, 0.5 * (ROOM[i].from_deg + ROOM[i].to_deg) * PI / 180.0,
              &x, &y);
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, style->theme->text2, x, y + 6.0,
                     ROOM[i].name);
    }
}

static void draw_leaflets(DrawList *list, const LookStyle *style, const HeartPen *pen, double open_frac,
                          double leak_frac) {
    const Theme *t = style->theme;
    double share = edge_share(open_frac);
    ring(list, pen, ROOT_MM + RING_MM);
    ui_look_muscle(list, style);
    ring(list, pen, ROOT_MM);
    ui_draw_fill(list, style->plain ? ui_colour_mix(t->panel, t->wall, 0.75)
                                    : ui_colour_mix(t->look_ground, t->look_wall, 0.13));
    /* the opening: between the three free edges */
    ui_draw_path(list);
    for (int k = 0; k < 3; k++)
        edge_path(list, pen, k, share, k == 0);
    ui_draw_close(list);
    ui_draw_fill(list, style->plain ? t->blood_left : ui_colour_mix(t->look_ground, t->blood_left, 0.35));
    ui_draw_path(list);
    for (int k = 0; k < 3; k++)
        edge_path(list, pen, k, share, true);
    double edge_px = SEAT_MM * pen->px_per_mm;
    ui_draw_stroke(list, ui_draw_solid(ui_colour_alpha(t->ink, 0.5), 1.9 * edge_px));
    ui_draw_stroke(list, ui_draw_solid(ui_colour_mix(t->text2, t->text1, 0.5), edge_px));
    if (leak_frac > LEAK_SEEN && open_frac < 0.05) {
        ring(list, pen, ROOT_MM * fmin(0.08 + 0.30 * sqrt(leak_frac), 0.4));
        ui_draw_fill(list, ui_colour_alpha(t->text2, 0.45));
        ui_draw_stroke(list, ui_draw_solid(t->text1, 0.8 * style->line_px));
    }
    ring(list, pen, ROOT_MM);
    ui_draw_stroke(list, ui_draw_solid(t->side[SIDE_LEFT], 1.2 * style->line_px));
}

static void tag_valve(LookTags *tags, const LookStyle *style, const HeartPen *pen, const LookSheet *sheet) {
    const HeartView *v = &sheet->now;
    const HeartValve *aortic = &v->valve[HEART_AORTIC];
    double x, y;
    polar(pen, 0.55 * ROOT_MM, -0.2, &x, &y);
    LookTag *tag = ui_look_tag(tags, "Opening", true, style->theme->side[SIDE_LEFT], x, y);
    snprintf(tag->value, sizeof tag->value, "%.0f %%", 100.0 * aortic->open_frac);
    double last_s = v->beats > 0 ? v->aortic_open_s[v->beats - 1] : NAN;
    if (isfinite(last_s) && last_s > 0.0)
        snprintf(tag->note, sizeof tag->note, "last beat open %.0f ms", 1000.0 * last_s);
    else
        snprintf(tag->note, sizeof tag->note, "stayed shut last beat");
    if (v->aortic_leak_l_min > 0.05) {
        tag = ui_look_tag(tags, "Leak", true, style->theme->text2, pen->x_px, pen->y_px + 2.0);
        snprintf(tag->value, sizeof tag->value, "%.1f L/min", v->aortic_leak_l_min);
    }
}

HeartPen ui_look_valve(DrawList *list, const LookStyle *style, const LookSheet *sheet) {
    const LookSector *s = style->sector;
    const HeartValve *aortic = &sheet->now.valve[HEART_AORTIC];
    HeartPen pen = {.px_per_mm = s->px_per_mm, .height_px = s->rect.h, .line_px = style->line_px};
    pen.x_px = s->middle_x;
    pen.y_px = s->skin_y + MIDDLE_MM * s->px_per_mm;
    draw_around(list, style, &pen, sheet);
    double open = isfinite(aortic->open_frac) ? aortic->open_frac : 0.0;
    draw_leaflets(list, style, &pen, open, aortic->leak_frac);
    if (sheet->tags) {
        LookTags tags = {0};
        tag_valve(&tags, style, &pen, sheet);
        ui_look_tags_draw(list, style, &tags);
    }
    return pen;
}
