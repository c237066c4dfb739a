/* The list of draw commands: building it. Reading it (dump, hash) is in draw_dump.c. */
#include "ui/draw.h"
#include "ui/theme.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846
#define CIRCLE_K                                                                                             \
    0.5522847498307936 /* control distance of a quarter circle as one cubic: 4/3 (sqrt 2 - 1)                \
                        */

enum { FIRST_ROOM = 256, LINE_MAX = 512 };

/* Makes room for `more` items in a growing array; false and `failed` if memory ran out. */
static bool make_room(DrawList *list, void **items, size_t *room, size_t count, size_t more, size_t size) {
    if (count + more <= *room) return true;
    size_t wanted = *room == 0 ? FIRST_ROOM : *room * 2;
    while (wanted < count + more)
        wanted *= 2;
    void *bigger = realloc(*items, wanted * size);
    if (bigger == NULL) {
        list->failed = true;
        return false;
    }
    *items = bigger;
    *room = wanted;
    return true;
}

void ui_draw_init(DrawList *list) {
    memset(list, 0, sizeof *list);
}

void ui_draw_free(DrawList *list) {
    if (list == NULL) return;
    free(list->commands);
    free(list->verbs);
    free(list->coords);
    free(list->chars);
    memset(list, 0, sizeof *list);
}

const Theme *ui_draw_theme(const DrawList *list) {
    return list->theme != NULL ? list->theme : ui_theme_dark();
}

void ui_draw_clear(DrawList *list) {
    list->command_count = list->verb_count = list->coord_count = list->char_count = 0;
    list->path_first_verb = list->path_first_coord = 0;
    list->failed = false;
}

DrawMark ui_draw_mark(const DrawList *list) {
    return (DrawMark){list->command_count, list->verb_count, list->coord_count, list->char_count};
}

void ui_draw_rewind(DrawList *list, DrawMark mark) {
    list->command_count = mark.commands;
    list->verb_count = mark.verbs;
    list->coord_count = mark.coords;
    list->char_count = mark.chars;
    ui_draw_path(list);
}

/* A new zeroed command at the end, or NULL without memory. */
static DrawCommand *add(DrawList *list, DrawKind kind) {
    void *items = list->commands;
    if (!make_room(list, &items, &list->command_room, list->command_count, 1, sizeof *list->commands))
        return NULL;
    list->commands = items;
    DrawCommand *command = &list->commands[list->command_count++];
    memset(command, 0, sizeof *command);
    command->kind = kind;
    return command;
}

static DrawCommand *add_with_path(DrawList *list, DrawKind kind) {
    DrawCommand *command = add(list, kind);
    if (command != NULL) {
        command->path_first = list->path_first_verb;
        command->path_count = list->verb_count - list->path_first_verb;
        command->point_first = list->path_first_coord;
    }
    return command;
}

/* Copies member by member, so that padding stays zero and equal lists hash alike. */
static void set_stroke(StrokeStyle *to, StrokeStyle from) {
    to->colour = from.colour;
    to->width_px = from.width_px;
    to->dash_on_px = from.dash_on_px;
    to->dash_off_px = from.dash_off_px;
    to->flat = from.flat;
}

void ui_draw_region(DrawList *list, int id, Rect rect) {
    DrawCommand *command = add(list, DRAW_REGION);
    if (command == NULL) return;
    command->id = id;
    command->rect = rect;
}

void ui_draw_rect(DrawList *list, Rect rect, double radius_px, Colour colour) {
    DrawCommand *command = add(list, DRAW_RECT);
    if (command == NULL) return;
    command->rect = rect;
    command->radius_px = radius_px;
    command->colour = colour;
}

void ui_draw_frame(DrawList *list, Rect rect, double radius_px, StrokeStyle style) {
    DrawCommand *command = add(list, DRAW_FRAME);
    if (command == NULL) return;
    command->rect = rect;
    command->radius_px = radius_px;
    set_stroke(&command->stroke, style);
}

void ui_draw_line(DrawList *list, double x0, double y0, double x1, double y1, StrokeStyle style) {
    style.flat = true;
    ui_draw_path(list);
    ui_draw_move(list, x0, y0);
    ui_draw_to(list, x1, y1);
    ui_draw_stroke(list, style);
}

void ui_draw_circle(DrawList *list, double x, double y, double radius_px, Colour colour) {
    ui_draw_path(list);
    ui_draw_ellipse(list, x, y, radius_px, radius_px);
    ui_draw_fill(list, colour);
}

void ui_draw_ring(DrawList *list, double x, double y, double radius_px, StrokeStyle style) {
    ui_draw_path(list);
    ui_draw_ellipse(list, x, y, radius_px, radius_px);
    ui_draw_stroke(list, style);
}

void ui_draw_path(DrawList *list) {
    list->path_first_verb = list->verb_count;
    list->path_first_coord = list->coord_count;
}

static void add_verb(DrawList *list, PathVerb verb, int coords, const double *values) {
    void *verbs = list->verbs;
    if (!make_room(list, &verbs, &list->verb_room, list->verb_count, 1, sizeof *list->verbs)) return;
    list->verbs = verbs;
    void *points = list->coords;
    if (!make_room(list, &points, &list->coord_room, list->coord_count, (size_t)coords, sizeof *list->coords))
        return;
    list->coords = points;
    list->verbs[list->verb_count++] = (uint8_t)verb;
    for (int i = 0; i < coords; i++)
        list->coords[list->coord_count++] = values[i];
}

void ui_draw_move(DrawList *list, double x, double y) {
    add_verb(list, PATH_MOVE, 2, (const double[]){x, y});
}

void ui_draw_to(DrawList *list, double x, double y) {
    add_verb(list, PATH_LINE, 2, (const double[]){x, y});
}

void ui_draw_curve(DrawList *list, double x1, double y1, double x2, double y2, double x, double y) {
    add_verb(list, PATH_CURVE, 6, (const double[]){x1, y1, x2, y2, x, y});
}

void ui_draw_close(DrawList *list) {
    add_verb(list, PATH_CLOSE, 0, NULL);
}

void ui_draw_ellipse(DrawList *list, double x, double y, double rx_px, double ry_px) {
    double kx = CIRCLE_K * rx_px, ky = CIRCLE_K * ry_px;
    ui_draw_move(list, x + rx_px, y);
    ui_draw_curve(list, x + rx_px, y + ky, x + kx, y + ry_px, x, y + ry_px);
    ui_draw_curve(list, x - kx, y + ry_px, x - rx_px, y + ky, x - rx_px, y);
    ui_draw_curve(list, x - rx_px, y - ky, x - kx, y - ry_px, x, y - ry_px);
    ui_draw_curve(list, x + kx, y - ry_px, x + rx_px, y - ky, x + rx_px, y);
    ui_draw_close(list);
}

void ui_draw_round(DrawList *list, Rect r, double radius_px) {
    double q = fmin(radius_px, fmin(r.w, r.h) / 2.0), k = q * (1.0 - CIRCLE_K);
    double right = r.x + r.w, bottom = r.y + r.h;
    ui_draw_move(list, r.x + q, r.y);
    ui_draw_to(list, right - q, r.y);
    ui_draw_curve(list, right - k, r.y, right, r.y + k, right, r.y + q);
    ui_draw_to(list, right, bottom - q);
    ui_draw_curve(list, right, bottom - k, right - k, bottom, right - q, bottom);
    ui_draw_to(list, r.x + q, bottom);
    ui_draw_curve(list, r.x + k, bottom, r.x, bottom - k, r.x, bottom - q);
    ui_draw_to(list, r.x, r.y + q);
    ui_draw_curve(list, r.x, r.y + k, r.x + k, r.y, r.x + q, r.y);
    ui_draw_close(list);
}

void ui_draw_arc(DrawList *list, double x, double y, double radius_px, double a0_rad, double a1_rad) {
    int parts = (int)ceil(fabs(a1_rad - a0_rad) / (PI / 2.0));
    if (parts < 1) parts = 1;
    double step = (a1_rad - a0_rad) / parts, k = 4.0 / 3.0 * tan(step / 4.0) * radius_px;
    double sx = x + radius_px * cos(a0_rad), sy = y + radius_px * sin(a0_rad);
    if (list->verb_count == list->path_first_verb)
        ui_draw_move(list, sx, sy);
    else
        ui_draw_to(list, sx, sy);
    for (int i = 0; i < parts; i++) {
        double a = a0_rad + i * step, b = a + step;
        ui_draw_curve(list, x + radius_px * cos(a) - k * sin(a), y + radius_px * sin(a) + k * cos(a),
                      x + radius_px * cos(b) + k * sin(b), y + radius_px * sin(b) - k * cos(b),
                      x + radius_px * cos(b), y + radius_px * sin(b));
    }
}

void ui_draw_fill(DrawList *list, Colour colour) {
    DrawCommand *command = add_with_path(list, DRAW_FILL);
    if (command != NULL) command->colour = colour;
}

void ui_draw_gradient(DrawList *list, double x0, double y0, Colour c0, double x1, double y1, Colour c1) {
    DrawCommand *command = add_with_path(list, DRAW_GRADIENT);
    if (command == NULL) return;
    command->from_x = x0;
    command->from_y = y0;
    command->to_x = x1;
    command->to_y = y1;
    command->colour = c0;
    command->colour_to = c1;
}

void ui_draw_stroke(DrawList *list, StrokeStyle style) {
    DrawCommand *command = add_with_path(list, DRAW_STROKE);
    if (command != NULL) set_stroke(&command->stroke, style);
}

void ui_draw_pattern(DrawList *list, PatternStyle style) {
    DrawCommand *command = add_with_path(list, DRAW_PATTERN);
    if (command == NULL) return;
    command->pattern.kind = style.kind;
    command->pattern.colour = style.colour;
    command->pattern.spacing_px = style.spacing_px;
    command->pattern.size_px = style.size_px;
}

void ui_draw_speckle(DrawList *list, Rect extent, double beam_x, double beam_y, double grain_px,
                     Colour colour, Colour ground) {
    DrawCommand *command = add_with_path(list, DRAW_SPECKLE);
    if (command == NULL) return;
    command->rect = extent;
    command->from_x = beam_x;
    command->from_y = beam_y;
    command->size_px = grain_px;
    command->colour = colour;
    command->colour_to = ground;
}

void ui_draw_keep(DrawList *list, Rect rect) {
    DrawCommand *command = add(list, DRAW_KEEP);
    if (command != NULL) command->rect = rect;
}

void ui_draw_kept(DrawList *list) {
    (void)add(list, DRAW_KEPT);
}

void ui_draw_clip(DrawList *list) {
    (void)add_with_path(list, DRAW_CLIP);
}

void ui_draw_clip_rect(DrawList *list, Rect rect) {
    DrawCommand *command = add(list, DRAW_CLIP_RECT);
    if (command != NULL) command->rect = rect;
}

void ui_draw_unclip(DrawList *list) {
    (void)add(list, DRAW_UNCLIP);
}

StrokeStyle ui_draw_solid(Colour colour, double width_px) {
    return (StrokeStyle){.colour = colour, .width_px = width_px};
}

StrokeStyle ui_draw_dashed(Colour colour, double width_px, double on_px, double off_px) {
    return (StrokeStyle){.colour = colour, .width_px = width_px, .dash_on_px = on_px, .dash_off_px = off_px};
}

static bool digit(char c) {
    return c >= '0' && c <= '9';
}

/* Points between digits become commas, where the reader writes numbers that way. */
static void write_commas(char *text) {
    for (char *c = text; *c != '\0'; c++) {
        if (*c == '.' && c > text && digit(c[-1]) && digit(c[1])) *c = ',';
    }
}

void ui_draw_text(DrawList *list, FontFace face, double size_px, TextAlign align, Colour colour, double x,
                  double y, const char *text) {
    if (text == NULL || text[0] == '\0') return;
    size_t bytes = strlen(text) + 1;
    void *chars = list->chars;
    if (!make_room(list, &chars, &list->char_room, list->char_count, bytes, 1)) return;
    list->chars = chars;
    DrawCommand *command = add(list, DRAW_TEXT);
    if (command == NULL) return;
    command->face = face;
    command->size_px = size_px;
    command->align = align;
    command->colour = colour;
    command->rect.x = x;
    command->rect.y = y;
    command->text = list->char_count;
    memcpy(list->chars + list->char_count, text, bytes);
    if (list->decimal_comma) write_commas(list->chars + list->char_count);
    list->char_count += bytes;
}

/* Width of a text without fonts: the digit faces have equal cells, words are estimated by character class. */
static double estimate_width(FontFace face, double size_px, const char *text) {
    double em = 0.0;
    for (const unsigned char *c = (const unsigned char *)text; *c != '\0'; c++) {
        if ((*c & 0xC0) == 0x80) continue; /* continuation byte of a character already counted */
        if (face == FACE_DIGITS || face == FACE_DIGITS_STRONG)
            em += *c == '.' || *c == ',' || *c == ':' || *c == ' ' ? 0.33 : 0.65;
        else
            em += *c == ' ' || *c == 'i' || *c == 'l' || *c == '.' || *c == ',' ? 0.28 : 0.56;
    }
    return em * size_px;
}

double ui_draw_text_width(const DrawList *list, FontFace face, double size_px, const char *text) {
    if (list->measure != NULL) return list->measure(list->measure_context, face, size_px, text);
    return estimate_width(face, size_px, text);
}

/* Bytes of `text` that end before or at `limit` without cutting a UTF-8 character. */
static size_t whole_characters(const char *text, size_t limit) {
    while (limit > 0 && ((unsigned char)text[limit] & 0xC0) == 0x80)
        limit--;
    return limit;
}

void ui_draw_text_fit(DrawList *list, FontFace face, double size_px, TextAlign align, Colour colour, double x,
                      double y, double max_px, const char *text) {
    if (text == NULL || ui_draw_text_width(list, face, size_px, text) <= max_px) {
        ui_draw_text(list, face, size_px, align, colour, x, y, text);
        return;
    }
    static const char ELLIPSIS[] = "\u2026";
    char cut[LINE_MAX];
    size_t keep = strlen(text);
    if (keep > sizeof cut - sizeof ELLIPSIS) keep = sizeof cut - sizeof ELLIPSIS;
    do {
        keep = whole_characters(text, keep);
        while (keep > 0 && text[keep - 1] == ' ')
            keep--;
        memcpy(cut, text, keep);
        memcpy(cut + keep, ELLIPSIS, sizeof ELLIPSIS);
    } while (ui_draw_text_width(list, face, size_px, cut) > max_px && keep-- > 0);
    ui_draw_text(list, face, size_px, align, colour, x, y, cut);
}

int ui_draw_text_wrap(DrawList *list, FontFace face, double size_px, Colour colour, double x, double y,
                      double max_px, double line_px, int max_lines, const char *text) {
    int lines = 0;
    char line[LINE_MAX];
    while (*text != '\0' && lines < max_lines) {
        while (*text == ' ')
            text++;
        size_t length = strcspn(text, "\n"), best = 0;
        if (length > sizeof line - 1) length = whole_characters(text, sizeof line - 1);
        for (size_t end = 0; end <= length; end++) {
            if (end < length && text[end] != ' ') continue;
            memcpy(line, text, end);
            line[end] = '\0';
            if (best > 0 && ui_draw_text_width(list, face, size_px, line) > max_px) break;
            best = end;
        }
        bool last = lines == max_lines - 1 && text[best] != '\0';
        const char *rest = text + best;
        if (last) {
            size_t all =
                strlen(text) < sizeof line - 1 ? strlen(text) : whole_characters(text, sizeof line - 1);
            memcpy(line, text, all);
            line[all] = '\0';
        } else {
            memcpy(line, text, best);
            line[best] = '\0';
        }
        ui_draw_text_fit(list, face, size_px, ALIGN_LEFT, colour, x, y + lines * line_px, max_px, line);
        lines++;
        text = *rest == '\n' ? rest + 1 : rest;
    }
    return lines;
}

Rect ui_rect_inset(Rect r, double dx_px, double dy_px) {
    return (Rect){r.x + dx_px, r.y + dy_px, fmax(r.w - 2.0 * dx_px, 0.0), fmax(r.h - 2.0 * dy_px, 0.0)};
}

Rect ui_rect_union(Rect a, Rect b) {
    double x = fmin(a.x, b.x), y = fmin(a.y, b.y);
    return (Rect){x, y, fmax(a.x + a.w, b.x + b.w) - x, fmax(a.y + a.h, b.y + b.h) - y};
}

bool ui_rect_overlaps(Rect a, Rect b) {
    return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}

bool ui_rect_contains(Rect r, double x, double y) {
    return x >= r.x && x < r.x + r.w && y >= r.y && y < r.y + r.h;
}

Rect ui_rect_cut_top(Rect *r, double h_px) {
    Rect strip = {r->x, r->y, r->w, fmin(h_px, r->h)};
    r->y += strip.h;
    r->h -= strip.h;
    return strip;
}

Rect ui_rect_cut_bottom(Rect *r, double h_px) {
    double h = fmin(h_px, r->h);
    r->h -= h;
    return (Rect){r->x, r->y + r->h, r->w, h};
}

Rect ui_rect_cut_left(Rect *r, double w_px) {
    Rect strip = {r->x, r->y, fmin(w_px, r->w), r->h};
    r->x += strip.w;
    r->w -= strip.w;
    return strip;
}

Rect ui_rect_cut_right(Rect *r, double w_px) {
    double w = fmin(w_px, r->w);
    r->w -= w;
    return (Rect){r->x + r->w, r->y, w, r->h};
}
