/* Reading a draw list: as text for goldens, as a hash for change detection. */
#include "ui/draw.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

enum { LONG_PATH = 48 };

static void dump_colour(FILE *out, Colour c) {
    fprintf(out, " #%02X%02X%02X", c.r, c.g, c.b);
    if (c.a != 255) fprintf(out, "/%d", c.a);
}

static void dump_rect(FILE *out, Rect r) {
    fprintf(out, " %.1f,%.1f %.1fx%.1f", r.x, r.y, r.w, r.h);
}

static void dump_path(const DrawList *list, const DrawCommand *command, FILE *out) {
    static const char LETTER[] = "MLCZ";
    static const int COORDS[] = {2, 2, 6, 0};
    const uint8_t *verb = list->verbs + command->path_first;
    const double *xy = list->coords + command->point_first;
    if (command->path_count > LONG_PATH) {
        double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
        for (size_t i = 0; i < command->path_count; xy += COORDS[verb[i]], i++) {
            for (int k = 0; k < COORDS[verb[i]]; k++) {
                low[k % 2] = fmin(low[k % 2], xy[k]);
                high[k % 2] = fmax(high[k % 2], xy[k]);
            }
        }
        fprintf(out, " path of %zu in %.1f,%.1f..%.1f,%.1f", command->path_count, low[0], low[1], high[0],
                high[1]);
        return;
    }
    for (size_t i = 0; i < command->path_count; i++) {
        fprintf(out, " %c", LETTER[verb[i]]);
        for (int k = 0; k < COORDS[verb[i]]; k++)
            fprintf(out, "%s%.1f", k == 0 ? "" : k % 2 == 1 ? "," : " ", *xy++);
    }
}

static void dump_stroke(FILE *out, const StrokeStyle *s) {
    dump_colour(out, s->colour);
    fprintf(out, " w%.1f", s->width_px);
    if (s->dash_on_px > 0.0) fprintf(out, " dash %.1f/%.1f", s->dash_on_px, s->dash_off_px);
    if (s->flat) fprintf(out, " flat");
}

static void dump_command(const DrawList *list, const DrawCommand *c, FILE *out) {
    static const char *const NAMES[DRAW_KIND_COUNT] = {"region", "rect",      "frame",   "fill", "gradient",
                                                       "stroke", "pattern",   "speckle", "keep", "kept",
                                                       "clip",   "clip-rect", "unclip",  "text"};
    static const char *const FACES[FACE_COUNT] = {"words", "words-strong", "digits", "digits-strong"};
    static const char *const ALIGNS[] = {"left", "centre", "right"};
    fputs(NAMES[c->kind], out);
    switch (c->kind) {
    case DRAW_REGION:
        fprintf(out, " %d", c->id);
        dump_rect(out, c->rect);
        break;
    case DRAW_RECT:
        dump_rect(out, c->rect);
        fprintf(out, " r%.1f", c->radius_px);
        dump_colour(out, c->colour);
        break;
    case DRAW_FRAME:
        dump_rect(out, c->rect);
        fprintf(out, " r%.1f", c->radius_px);
        dump_stroke(out, &c->stroke);
        break;
    case DRAW_FILL:
        dump_colour(out, c->colour);
        dump_path(list, c, out);
        break;
    case DRAW_GRADIENT:
        dump_colour(out, c->colour);
        dump_colour(out, c->colour_to);
        fprintf(out, " %.1f,%.1f..%.1f,%.1f", c->from_x, c->from_y, c->to_x, c->to_y);
        dump_path(list, c, out);
        break;
    case DRAW_STROKE:
        dump_stroke(out, &c->stroke);
        dump_path(list, c, out);
        break;
    case DRAW_PATTERN:
        fprintf(out, " %s", c->pattern.kind == PATTERN_DOTS ? "dots" : "hatch");
        dump_colour(out, c->pattern.colour);
        fprintf(out, " every %.1f size %.1f", c->pattern.spacing_px, c->pattern.size_px);
        dump_path(list, c, out);
        break;
    case DRAW_SPECKLE:
        dump_colour(out, c->colour);
        dump_colour(out, c->colour_to);
        fprintf(out, " grain %.1f from %.1f,%.1f over", c->size_px, c->from_x, c->from_y);
        dump_rect(out, c->rect);
        dump_path(list, c, out);
        break;
    case DRAW_CLIP:
        dump_path(list, c, out);
        break;
    case DRAW_CLIP_RECT:
    case DRAW_KEEP:
        dump_rect(out, c->rect);
        break;
    case DRAW_TEXT:
        fprintf(out, " %s %.1f %s", FACES[c->face], c->size_px, ALIGNS[c->align]);
        dump_colour(out, c->colour);
        fprintf(out, " %.1f,%.1f \"%s\"", c->rect.x, c->rect.y, list->chars + c->text);
        break;
    case DRAW_UNCLIP:
    case DRAW_KEPT:
    case DRAW_KIND_COUNT:
        break;
    }
    fputc('\n', out);
}

void ui_draw_dump(const DrawList *list, size_t first, size_t count, FILE *out) {
    size_t end = count == 0 ? list->command_count : first + count;
    for (size_t i = first; i < end && i < list->command_count; i++)
        dump_command(list, &list->commands[i], out);
}

/* Eight bytes at a time through a multiply and a rotation (after the mixing step of the FNV family). */
static uint64_t mix(uint64_t hash, const void *data, size_t bytes) {
    const uint64_t prime = 0x9E3779B97F4A7C15u; /* 2^64 / golden ratio, odd */
    const unsigned char *p = data;
    while (bytes > 0) {
        uint64_t word = 0;
        size_t part = bytes < sizeof word ? bytes : sizeof word;
        memcpy(&word, p, part);
        hash = (hash ^ word) * prime;
        hash = (hash << 29) | (hash >> 35);
        p += part;
        bytes -= part;
    }
    return hash;
}

static size_t path_coords(const DrawList *list, const DrawCommand *c) {
    static const size_t COORDS[] = {2, 2, 6, 0};
    size_t total = 0;
    for (size_t i = 0; i < c->path_count; i++)
        total += COORDS[list->verbs[c->path_first + i]];
    return total;
}

uint64_t ui_draw_hash(const DrawList *list, size_t first, size_t count) {
    uint64_t hash = 0xcbf29ce484222325u; /* FNV-1a 64 offset basis */
    size_t end = count == 0 ? list->command_count : first + count;
    for (size_t i = first; i < end && i < list->command_count; i++) {
        DrawCommand c;
        memcpy(&c, &list->commands[i], sizeof c); /* with its padding, which is zero */
        if (c.path_count > 0) {
            hash = mix(hash, list->verbs + c.path_first, c.path_count);
            hash = mix(hash, list->coords + c.point_first, path_coords(list, &c) * sizeof *list->coords);
        }
        if (c.kind == DRAW_TEXT) hash = mix(hash, list->chars + c.text, strlen(list->chars + c.text));
        /* where the path and the text lie in the buffers is not part of the picture */
        size_t path = c.path_count;
        c.path_first = c.point_first = c.text = 0;
        hash = mix(hash, &c, sizeof c);
        hash = mix(hash, &path, sizeof path);
    }
    return hash;
}

size_t ui_draw_region_end(const DrawList *list, size_t first) {
    size_t i = first + 1;
    while (i < list->command_count && list->commands[i].kind != DRAW_REGION)
        i++;
    return i;
}
