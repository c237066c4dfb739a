/* Draw commands as SVG. */
#include "ui/draw_svg.h"

#include "sim/markup.h"

#include <math.h>

/* One list being written. */
typedef struct Pen {
    const DrawList *list;
    const char *prefix;
    int names; /* of patterns and clips so far */
    int open;  /* groups */
    FILE *out;
} Pen;

static void put_colour(FILE *out, const char *what, Colour c) {
    fprintf(out, " %s=\"#%02x%02x%02x\"", what, c.r, c.g, c.b);
    if (c.a < 255) fprintf(out, " %s-opacity=\"%.3f\"", what, c.a / 255.0);
}

static void put_stroke(FILE *out, const StrokeStyle *s) {
    fputs(" fill=\"none\"", out);
    put_colour(out, "stroke", s->colour);
    fprintf(out, " stroke-width=\"%.2f\"", s->width_px);
    if (s->dash_on_px > 0.0) fprintf(out, " stroke-dasharray=\"%.1f %.1f\"", s->dash_on_px, s->dash_off_px);
    if (!s->flat) fputs(" stroke-linecap=\"round\" stroke-linejoin=\"round\"", out);
}

static void put_path(const Pen *p, const DrawCommand *c) {
    const double *at = p->list->coords + c->point_first;
    fputs(" d=\"", p->out);
    for (size_t i = 0; i < c->path_count; i++) {
        switch ((PathVerb)p->list->verbs[c->path_first + i]) {
        case PATH_MOVE:
            fprintf(p->out, "M%.1f %.1f", at[0], at[1]);
            at += 2;
            break;
        case PATH_LINE:
            fprintf(p->out, "L%.1f %.1f", at[0], at[1]);
            at += 2;
            break;
        case PATH_CURVE:
            fprintf(p->out, "C%.1f %.1f %.1f %.1f %.1f %.1f", at[0], at[1], at[2], at[3], at[4], at[5]);
            at += 6;
            break;
        case PATH_CLOSE:
            fputc('Z', p->out);
            break;
        }
    }
    fputc('"', p->out);
}

static void put_rect(FILE *out, Rect r, double radius_px) {
    fprintf(out, " x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"", r.x, r.y, fmax(r.w, 0.0),
            fmax(r.h, 0.0));
    if (radius_px > 0.0) fprintf(out, " rx=\"%.1f\"", radius_px);
}

static void fill_path(const Pen *p, const DrawCommand *c, Colour colour) {
    fputs("<path", p->out);
    put_colour(p->out, "fill", colour);
    put_path(p, c);
    fputs("/>\n", p->out);
}

static void fill_pattern(Pen *p, const DrawCommand *c) {
    double n = fmax(c->pattern.spacing_px, 2.0), size = c->pattern.size_px;
    int name = p->names++;
    double tile = c->pattern.kind == PATTERN_DOTS ? 2.0 * n : n;
    fprintf(p->out, "<pattern id=\"%s%d\" width=\"%.2f\" height=\"%.2f\" patternUnits=\"userSpaceOnUse\">",
            p->prefix, name, tile, tile);
    if (c->pattern.kind == PATTERN_DOTS) {
        for (int i = 0; i < 2; i++) {
            fprintf(p->out, "<circle cx=\"%.2f\" cy=\"%.2f\" r=\"%.2f\"", n * (0.5 + i), n * (0.5 + i),
                    size / 2.0);
            put_colour(p->out, "fill", c->pattern.colour);
            fputs("/>", p->out);
        }
    } else {
        fprintf(p->out, "<path d=\"M%.2f %.2fL%.2f %.2fM%.2f %.2fL%.2f %.2fM%.2f %.2fL%.2f %.2f\"", -n, n, n,
                -n, 0.0, n, n, 0.0, 0.0, 2.0 * n, 2.0 * n, 0.0);
        StrokeStyle line = {.colour = c->pattern.colour, .width_px = size, .flat = true};
        put_stroke(p->out, &line);
        fputs("/>", p->out);
    }
    fprintf(p->out, "</pattern><path fill=\"url(#%s%d)\"", p->prefix, name);
    put_path(p, c);
    fputs("/>\n", p->out);
}

static void begin_clip(Pen *p, const DrawCommand *c) {
    int name = p->names++;
    fprintf(p->out, "<clipPath id=\"%s%d\">", p->prefix, name);
    if (c->kind == DRAW_CLIP_RECT) {
        fputs("<rect", p->out);
        put_rect(p->out, c->rect, 0.0);
    } else {
        fputs("<path", p->out);
        put_path(p, c);
    }
    fprintf(p->out, "/></clipPath><g clip-path=\"url(#%s%d)\">\n", p->prefix, name);
    p->open++;
}

static void put_text(const Pen *p, const DrawCommand *c) {
    static const char *const ANCHOR[] = {"start", "middle", "end"};
    bool strong = c->face == FACE_WORDS_STRONG || c->face == FACE_DIGITS_STRONG;
    fprintf(p->out, "<text x=\"%.1f\" y=\"%.1f\" font-size=\"%.1f\" text-anchor=\"%s\"%s", c->rect.x,
            c->rect.y, c->size_px, ANCHOR[c->align], strong ? " font-weight=\"bold\"" : "");
    put_colour(p->out, "fill", c->colour);
    fputc('>', p->out);
    sim_markup_write(p->list->chars + c->text, p->out);
    fputs("</text>\n", p->out);
}

static void put_command(Pen *p, const DrawCommand *c) {
    switch (c->kind) {
    case DRAW_RECT:
        fputs("<rect", p->out);
        put_rect(p->out, c->rect, c->radius_px);
        put_colour(p->out, "fill", c->colour);
        fputs("/>\n", p->out);
        break;
    case DRAW_FRAME:
        fputs("<rect", p->out);
        put_rect(p->out, c->rect, c->radius_px);
        put_stroke(p->out, &c->stroke);
        fputs("/>\n", p->out);
        break;
    case DRAW_FILL:
        fill_path(p, c, c->colour);
        break;
    case DRAW_GRADIENT:
        fill_path(p, c, ui_colour_mix(c->colour, c->colour_to, 0.5));
        break;
    case DRAW_STROKE:
        fputs("<path", p->out);
        put_stroke(p->out, &c->stroke);
        put_path(p, c);
        fputs("/>\n", p->out);
        break;
    case DRAW_PATTERN:
        fill_pattern(p, c);
        break;
    case DRAW_CLIP:
    case DRAW_CLIP_RECT:
        begin_clip(p, c);
        break;
    case DRAW_UNCLIP:
        if (p->open > 0) fputs("</g>\n", p->out);
        p->open -= p->open > 0;
        break;
    case DRAW_TEXT:
        put_text(p, c);
        break;
    default: /* regions, grain, what is kept */
        break;
    }
}

void ui_draw_svg_write(const DrawList *list, Rect view, const char *prefix, const char *label, FILE *out) {
    Pen p = {.list = list, .prefix = prefix, .out = out};
    fprintf(
        out,
        "<svg viewBox=\"%.0f %.0f %.0f %.0f\" role=\"img\" font-family=\"Inter, 'DejaVu Sans', sans-serif\" "
        "aria-label=\"",
        view.x, view.y, view.w, view.h);
    sim_markup_write(label, out);
    fputs("\">\n", out);
    for (size_t i = 0; i < list->command_count; i++)
        put_command(&p, &list->commands[i]);
    while (p.open-- > 0)
        fputs("</g>\n", out);
    fputs("</svg>\n", out);
}
