/* How a look is painted: fan, grain, tags. */
#include "ui/look_parts.h"

#include <math.h>
#include <stdio.h>

static const double PI = 3.14159265358979323846;
static const double NEAR_MM = 46.0;  /* the probe's face from where the beams meet: a curved face */
static const double HALF_RAD = 0.84; /* 48 degrees to each side */
static const double TOP_PX = 14.0, BOTTOM_PX = 16.0;
static const double PX_PER_LINE = 0.0036, LINE_MIN_PX = 1.6, LINE_MAX_PX = 3.0;
static const double GRAIN_MM = 0.85, GRAIN_MIN_PX = 1.7;
static const double TAG_PAD_PX = 10.0, TAG_GAP_PX = 10.0, TAG_MARGIN_PX = 18.0, TAG_LEAST_PX = 84.0;

LookSector ui_look_sector(Rect rect, double depth_mm) {
    LookSector s = {.rect = rect, .depth_mm = depth_mm, .half_rad = HALF_RAD};
    s.px_per_mm = fmax(rect.h - TOP_PX - BOTTOM_PX, 1.0) / depth_mm;
    s.middle_x = rect.x + 0.5 * rect.w;
    s.skin_y = rect.y + TOP_PX;
    s.near_px = NEAR_MM * s.px_per_mm;
    s.far_px = (NEAR_MM + depth_mm) * s.px_per_mm;
    s.beam_y = s.skin_y - s.near_px;
    return s;
}

LookStyle ui_look_style(const Theme *theme, const LookSector *sector, const LookSheet *sheet) {
    LookStyle style = {.theme = theme, .sector = sector, .plain = sheet->plain};
    style.line_px = fmin(fmax(PX_PER_LINE * sector->rect.h, LINE_MIN_PX), LINE_MAX_PX);
    style.grain_px = fmax(GRAIN_MM * sector->px_per_mm, GRAIN_MIN_PX);
    style.ground = sheet->plain ? theme->panel : theme->look_ground;
    return style;
}

static void fan_path(DrawList *list, const LookSector *s) {
    double a0 = 0.5 * PI - s->half_rad, a1 = 0.5 * PI + s->half_rad;
    ui_draw_path(list);
    ui_draw_arc(list, s->middle_x, s->beam_y, s->far_px, a0, a1);
    ui_draw_arc(list, s->middle_x, s->beam_y, s->near_px, a1, a0);
    ui_draw_close(list);
}

/* Grain of the sector in one colour over the current path. */
static void grain(DrawList *list, const LookStyle *style, Colour colour, Colour ground) {
    const LookSector *s = style->sector;
    ui_draw_speckle(list, s->rect, s->middle_x, s->beam_y, style->grain_px, colour, ground);
}

void ui_look_fan_clip(DrawList *list, const LookStyle *style) {
    fan_path(list, style->sector);
    ui_draw_clip(list);
}

void ui_look_fan(DrawList *list, const LookStyle *style, bool empty) {
    const LookSector *s = style->sector;
    const Theme *t = style->theme;
    ui_draw_rect(list, s->rect, PANEL_RADIUS, style->plain ? t->panel : t->look_ground);
    fan_path(list, s);
    if (!style->plain && !empty)
        grain(list, style, ui_colour_alpha(t->look_tissue, 0.66),
              ui_colour_mix(t->look_ground, t->look_tissue, 0.07));
    ui_draw_stroke(list, ui_draw_solid(ui_colour_alpha(t->hairline, empty || style->plain ? 1.0 : 0.6), 1.2));
    /* the probe's face */
    ui_draw_path(list);
    ui_draw_arc(list, s->middle_x, s->beam_y, s->near_px, 0.5 * PI - s->half_rad, 0.5 * PI + s->half_rad);
    ui_draw_stroke(list, ui_draw_solid(ui_colour_alpha(t->text3, empty ? 0.4 : 0.8), 2.0));
}

void ui_look_depth(DrawList *list, const LookStyle *style, const char *name) {
    const LookSector *s = style->sector;
    const Theme *t = style->theme;
    double right = s->rect.x + s->rect.w - 14.0, cm_px = 10.0 * s->px_per_mm;
    int step = cm_px < 22.0 ? 4 : 2;
    for (int cm = 0; 10.0 * cm <= s->depth_mm + 0.01; cm++) {
        double y = s->skin_y + cm * cm_px, w = cm % step == 0 ? 14.0 : 7.0;
        StrokeStyle tick = ui_draw_solid(cm % step == 0 ? t->text2 : t->edge, 1.5);
        tick.flat = true;
        ui_draw_line(list, right - w, y, right, y, tick);
        if (cm % step != 0 || cm == 0) continue;
        char text[TEXT_SHORT];
        snprintf(text, sizeof text, "%d", cm);
        ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text3, right - 20.0, y + 6.0, text);
    }
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, right - 20.0, s->skin_y + 10.0, name);
}

void ui_look_muscle(DrawList *list, const LookStyle *style) {
    const Theme *t = style->theme;
    if (style->plain) {
        ui_draw_fill(list, t->wall);
        return;
    }
    grain(list, style, t->look_wall, ui_colour_mix(t->look_ground, t->look_wall, 0.24));
}

Colour ui_look_blood_colour(const LookStyle *style, bool left) {
    const Theme *t = style->theme;
    Colour blood = left ? t->blood_left : t->blood_right;
    return style->plain ? blood : ui_colour_mix(t->look_ground, blood, 0.26);
}

void ui_look_blood(DrawList *list, const LookStyle *style, bool left) {
    ui_draw_fill(list, ui_look_blood_colour(style, left));
}

void ui_look_clot(DrawList *list, const LookStyle *style, double seen) {
    const Theme *t = style->theme;
    Colour line = ui_colour_alpha(ui_colour_mix(t->clot, t->text1, 0.62), seen);
    ui_draw_fill(list, ui_colour_alpha(t->clot, seen));
    if (!style->plain && seen > 0.5) grain(list, style, ui_colour_alpha(t->look_wall, 0.55), (Colour){0});
    ui_draw_pattern(list, (PatternStyle){PATTERN_HATCH, line, 4.6 * style->line_px, 0.55 * style->line_px});
    ui_draw_stroke(list, ui_draw_solid(line, 0.8 * style->line_px));
}

void ui_look_fluid(DrawList *list, const LookStyle *style, double seen) {
    const Theme *t = style->theme;
    /* without fluid the valleys hold fat, which gives echoes; one strength, so that one texture serves */
    if (!style->plain && seen < 0.5)
        grain(list, style, ui_colour_alpha(t->look_wall, 0.40), t->look_ground);
    else
        ui_draw_fill(list,
                     style->plain ? ui_colour_mix(t->panel, t->fluid, 0.03 + 0.10 * seen) : t->look_ground);
    if (!(seen > 0.0)) return;
    double step_px = fmax(3.4 * style->line_px, 6.0);
    Colour dots = ui_colour_alpha(t->fluid, (style->plain ? 1.0 : 0.62) * seen);
    ui_draw_pattern(list, (PatternStyle){PATTERN_DOTS, dots, step_px, 0.34 * step_px});
}

LookTag *ui_look_tag(LookTags *tags, const char *name, bool right, Colour edge, double x_px, double y_px) {
    LookTag *tag = &tags->tag[tags->count < LOOK_TAGS_MAX ? tags->count++ : LOOK_TAGS_MAX - 1];
    *tag = (LookTag){.name = name, .right = right, .edge = edge, .x_px = x_px, .y_px = y_px};
    return tag;
}

static double tag_width(const DrawList *list, const LookTag *tag) {
    double name = ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_BODY, tag->name);
    double value = ui_draw_text_width(list, FACE_DIGITS, TYPE_BODY, tag->value);
    double note = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, tag->note);
    return fmax(fmax(name + 12.0 + value, note) + 2.0 * TAG_PAD_PX, TAG_LEAST_PX);
}

static double tag_height(const LookTag *tag) {
    return tag->note[0] == '\0' ? 32.0 : 52.0;
}

/* One column of tags from the top down; each as near its own height as those above allow. */
static void place_column(const LookTags *tags, const LookSector *s, bool right, double y_px[LOOK_TAGS_MAX]) {
    int order[LOOK_TAGS_MAX], count = 0;
    for (int i = 0; i < tags->count; i++) {
        if (tags->tag[i].right != right) continue;
        int k = count++;
        for (; k > 0 && tags->tag[order[k - 1]].y_px > tags->tag[i].y_px; k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
    double top = s->rect.y + 84.0, bottom = s->rect.y + s->rect.h - 10.0;
    for (int k = 0; k < count; k++) {
        double h = tag_height(&tags->tag[order[k]]);
        y_px[order[k]] = fmax(tags->tag[order[k]].y_px - 0.5 * h, top);
        top = y_px[order[k]] + h + TAG_GAP_PX;
    }
    for (int k = count - 1; k >= 0; k--) { /* push up what hangs out below */
        double h = tag_height(&tags->tag[order[k]]);
        y_px[order[k]] = fmin(y_px[order[k]], bottom - h);
        bottom = y_px[order[k]] - TAG_GAP_PX;
    }
}

void ui_look_tags_draw(DrawList *list, const LookStyle *style, const LookTags *tags) {
    const Theme *t = style->theme;
    const LookSector *s = style->sector;
    double y_px[LOOK_TAGS_MAX];
    place_column(tags, s, false, y_px);
    place_column(tags, s, true, y_px);
    for (int i = 0; i < tags->count; i++) {
        const LookTag *tag = &tags->tag[i];
        double w = tag_width(list, tag), h = tag_height(tag);
        double x = tag->right ? s->rect.x + s->rect.w - TAG_MARGIN_PX - 44.0 - w : s->rect.x + TAG_MARGIN_PX;
        double from = tag->right ? x : x + w, mid = y_px[i] + 0.5 * h;
        ui_draw_path(list);
        ui_draw_move(list, from, mid);
        ui_draw_to(list, tag->x_px, tag->y_px);
        ui_draw_stroke(list, ui_draw_solid(style->ground, 3.4));
        ui_draw_stroke(list, ui_draw_solid(t->text2, 1.3));
        ui_draw_circle(list, tag->x_px, tag->y_px, 3.2, t->text1);
        Rect box = {x, y_px[i], w, h};
        ui_draw_rect(list, box, 6.0, ui_colour_alpha(t->panel, 0.94));
        ui_draw_frame(list, box, 6.0, ui_draw_solid(tag->edge, 1.6));
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x + TAG_PAD_PX, y_px[i] + 22.0,
                     tag->name);
        ui_draw_text(list, FACE_DIGITS, TYPE_BODY, ALIGN_RIGHT, t->text1, x + w - TAG_PAD_PX, y_px[i] + 22.0,
                     tag->value);
        if (tag->note[0] != '\0')
            ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x + TAG_PAD_PX, y_px[i] + 43.0,
                         tag->note);
    }
}
