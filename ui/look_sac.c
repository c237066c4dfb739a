/* The look, page 4: what lies around the heart, how thick, and which walls it pushes in. */
#include "ui/look_parts.h"

#include <math.h>
#include <stdio.h>

static const double FILM_MM = 1.5; /* the usual film of fluid */
static const double CLOT_MM = 2.0;
static const double PART_SEEN = 0.02; /* share of the time that counts as pushed in */

/* Share of the last whole beat's moments in which a chamber is pushed in, and the part of it in systole. */
static double pushed_part(const LookSheet *sheet, int chamber, double *systole_part) {
    int64_t end = sheet->at + 1, first = sheet->loop.first, onsets = 0, n, counted = 0, pushed = 0, early = 0;
    for (n = end - 1; n > first && onsets < 2; n--) {
        const HeartMoment *m = &sheet->loop.moment[n % HEART_MOMENTS];
        onsets += m->onset;
        counted++;
        if (!ui_look_pushed(sheet, m, chamber)) continue;
        pushed++;
        early += m->systole;
    }
    *systole_part = pushed > 0 ? (double)early / (double)pushed : 0.0;
    return counted > 0 ? (double)pushed / (double)counted : 0.0;
}

/* Middle of the gap beside a chamber: from its free wall to the line around the heart. */
static HeartPoint beside(const HeartShape *shape, int chamber) {
    const HeartCurve *wall = &shape->wall[chamber];
    HeartPoint on = wall->point[3 * (HEART_SAMPLES / 2)], best = shape->pericardium.point[0];
    double least = INFINITY;
    for (int i = 0; i < shape->pericardium.count; i += 3) {
        HeartPoint p = shape->pericardium.point[i];
        double d = hypot(p.x_mm - on.x_mm, p.y_mm - on.y_mm);
        if (d < least) least = d, best = p;
    }
    return (HeartPoint){0.5 * (on.x_mm + best.x_mm), 0.5 * (on.y_mm + best.y_mm)};
}

static void tag_site(LookTags *tags, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                     const LookSheet *sheet, int chamber) {
    static const char *const NAME[HEART_CHAMBER_COUNT] = {"LV", "RV", "LA", "RA"};
    bool left = chamber == HEART_LV || chamber == HEART_LA;
    double clot_mm = shape->clot_mm[chamber], fluid_mm = shape->fluid_mm, systole;
    bool clot = clot_mm >= CLOT_MM, fluid = fluid_mm > 2.0 * FILM_MM;
    HeartPoint at = beside(shape, chamber);
    LookTag *tag = ui_look_tag(tags, NAME[chamber], left, style->theme->side[left ? SIDE_LEFT : SIDE_RIGHT],
                               ui_heart_px_x(pen, at), ui_heart_px_y(pen, at));
    if (sheet->tags)
        snprintf(tag->value, sizeof tag->value, "%.0f mm", clot ? clot_mm : fluid ? fluid_mm : 0.0);
    if (!sheet->tags) return; /* the name alone: what lies beside it is to be seen and measured */
    const char *what = clot && fluid ? "clot, fluid" : clot ? "clot" : fluid ? "fluid" : "nothing";
    double part = pushed_part(sheet, chamber, &systole);
    if (part > PART_SEEN)
        snprintf(tag->note, sizeof tag->note, "%s, pushed in %.0f %%", what, 100.0 * part);
    else
        snprintf(tag->note, sizeof tag->note, "%s beside it", what);
}

/* Small arrows that push on a wall that is pushed in now. */
static void draw_pushes(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                        const LookSheet *sheet) {
    const HeartMoment *moment = ui_look_moment(sheet);
    if (moment == NULL) return;
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        if (!ui_look_pushed(sheet, moment, c)) continue;
        const HeartPoint *p = shape->wall[c].point;
        for (int k = -1; k <= 1; k++) {
            HeartPoint on = p[3 * (HEART_SAMPLES / 2 + 2 * k)], in = shape->label[c];
            double dx = in.x_mm - on.x_mm, dy = in.y_mm - on.y_mm, norm = fmax(hypot(dx, dy), 1.0);
            double x = ui_heart_px_x(pen, on) + 3.0 * dx / norm, y = ui_heart_px_y(pen, on) + 3.0 * dy / norm;
            double size = fmax(4.0 * pen->px_per_mm, 11.0);
            ui_heart_arrow_head(list, x, y, dx / norm, dy / norm, size + 4.0, style->ground);
            ui_heart_arrow_head(list, x, y, dx / norm, dy / norm, size, style->theme->text1);
        }
    }
}

HeartPen ui_look_sac(DrawList *list, const LookStyle *style, const LookSheet *sheet) {
    HeartShape shape, reference;
    HeartPen pen = ui_look_four_pen(style->sector, sheet);
    LookTags tags = {0};
    ui_look_shapes(sheet, &shape, &reference);
    ui_look_four_body(list, style, &pen, &shape, sheet);
    if (sheet->outline) ui_look_four_reference(list, style, &pen, &reference);
    draw_pushes(list, style, &pen, &shape, sheet);
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        tag_site(&tags, style, &pen, &shape, sheet, c);
    ui_look_tags_draw(list, style, &tags);
    return pen;
}
