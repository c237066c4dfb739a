/* Draw lists on a memory canvas through Cairo; the only file that knows it. */
#include "ui/raster.h"

#include "ui/speckle.h"

#include <cairo.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846
/* largest distance of a drawn curve from the true one, device px: not visible, a tenth quicker than 0.1 */
#define CURVE_TOLERANCE_PX 0.22

/* A prepared texture and what it was made from. */
typedef struct Texture {
    cairo_surface_t *surface; /* NULL: free */
    Rect rect;
    double beam_x, beam_y, grain_px;
    Colour colour, ground;
    uint64_t used; /* for replacing the one not used for longest */
} Texture;

enum { TEXTURES = 8, KEEPS = 4 };

/* Pixels of a part of the canvas that seldom changes. */
typedef struct Keep {
    uint32_t *pixels; /* owned; NULL: free */
    uint64_t hash;    /* of the commands that drew them */
    int x, y, width, height;
    uint64_t used;
} Keep;

struct Canvas {
    cairo_surface_t *surface;
    cairo_t *cairo;
    Text *text;
    double scale;
    int width, height;
    Texture texture[TEXTURES];
    uint64_t textures_used;
    uint8_t *grey; /* the grain made last, before it got a colour; owned */
    Texture grey_of;
    Keep keep[KEEPS];
    uint64_t keeps_used;
};

Canvas *ui_raster_create(int width, int height, double scale, Text *text, Error *error) {
    Canvas *canvas = calloc(1, sizeof *canvas);
    if (canvas == NULL) {
        (void)model_error_set(error, ERROR_MEMORY, "no memory for a canvas of %d x %d", width, height);
        return NULL;
    }
    canvas->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    canvas->cairo = cairo_create(canvas->surface);
    if (cairo_status(canvas->cairo) != CAIRO_STATUS_SUCCESS) {
        (void)model_error_set(error, ERROR_MEMORY, "cannot make a canvas of %d x %d: %s", width, height,
                              cairo_status_to_string(cairo_status(canvas->cairo)));
        ui_raster_destroy(canvas);
        return NULL;
    }
    canvas->text = text;
    canvas->scale = scale;
    canvas->width = width;
    canvas->height = height;
    return canvas;
}

void ui_raster_destroy(Canvas *canvas) {
    if (canvas == NULL) return;
    for (int i = 0; i < TEXTURES; i++)
        cairo_surface_destroy(canvas->texture[i].surface);
    for (int i = 0; i < KEEPS; i++)
        free(canvas->keep[i].pixels);
    free(canvas->grey);
    cairo_destroy(canvas->cairo);
    cairo_surface_destroy(canvas->surface);
    free(canvas);
}

uint32_t *ui_raster_pixels(Canvas *canvas) {
    cairo_surface_flush(canvas->surface);
    return (uint32_t *)(void *)cairo_image_surface_get_data(canvas->surface);
}

int ui_raster_width(const Canvas *canvas) {
    return canvas->width;
}

int ui_raster_height(const Canvas *canvas) {
    return canvas->height;
}

int ui_raster_stride(const Canvas *canvas) {
    return cairo_image_surface_get_stride(canvas->surface) / (int)sizeof(uint32_t);
}

double ui_raster_scale(const Canvas *canvas) {
    return canvas->scale;
}

/* Font size in whole device pixels. */
static int device_size(const Canvas *canvas, double size_px) {
    return (int)lround(size_px * canvas->scale);
}

static double measure(void *context, FontFace face, double size_px, const char *text) {
    Canvas *canvas = context;
    return ui_text_width(canvas->text, face, device_size(canvas, size_px), text) / canvas->scale;
}

void ui_raster_measure(Canvas *canvas, DrawList *list) {
    list->measure = measure;
    list->measure_context = canvas;
}

static void set_colour(cairo_t *cr, Colour c) {
    if (c.a == 255)
        cairo_set_source_rgb(cr, c.r / 255.0, c.g / 255.0, c.b / 255.0);
    else
        cairo_set_source_rgba(cr, c.r / 255.0, c.g / 255.0, c.b / 255.0, c.a / 255.0);
}

/* The path of a command in device pixels. */
static void set_path(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    cairo_t *cr = canvas->cairo;
    double s = canvas->scale;
    const double *p = list->coords + c->point_first;
    cairo_new_path(cr);
    for (size_t i = 0; i < c->path_count; i++) {
        switch ((PathVerb)list->verbs[c->path_first + i]) {
        case PATH_MOVE:
            cairo_move_to(cr, p[0] * s, p[1] * s);
            p += 2;
            break;
        case PATH_LINE:
            cairo_line_to(cr, p[0] * s, p[1] * s);
            p += 2;
            break;
        case PATH_CURVE:
            cairo_curve_to(cr, p[0] * s, p[1] * s, p[2] * s, p[3] * s, p[4] * s, p[5] * s);
            p += 6;
            break;
        case PATH_CLOSE:
            cairo_close_path(cr);
            break;
        }
    }
}

/* A rectangle with its edges on whole device pixels. */
static void snapped(const Canvas *canvas, Rect r, double out[4]) {
    double x0 = round(r.x * canvas->scale), y0 = round(r.y * canvas->scale);
    out[0] = x0;
    out[1] = y0;
    out[2] = fmax(round((r.x + r.w) * canvas->scale) - x0, 1.0);
    out[3] = fmax(round((r.y + r.h) * canvas->scale) - y0, 1.0);
}

static void round_path(cairo_t *cr, double x, double y, double w, double h, double radius) {
    double q = fmin(radius, fmin(w, h) / 2.0);
    cairo_new_path(cr);
    if (q <= 0.0) {
        cairo_rectangle(cr, x, y, w, h);
        return;
    }
    cairo_arc(cr, x + w - q, y + q, q, -PI / 2.0, 0.0);
    cairo_arc(cr, x + w - q, y + h - q, q, 0.0, PI / 2.0);
    cairo_arc(cr, x + q, y + h - q, q, PI / 2.0, PI);
    cairo_arc(cr, x + q, y + q, q, PI, 1.5 * PI);
    cairo_close_path(cr);
}

static void fill_rect(Canvas *canvas, const DrawCommand *c) {
    double r[4];
    snapped(canvas, c->rect, r);
    round_path(canvas->cairo, r[0], r[1], r[2], r[3], c->radius_px * canvas->scale);
    set_colour(canvas->cairo, c->colour);
    cairo_fill(canvas->cairo);
}

static void set_stroke(Canvas *canvas, const StrokeStyle *style) {
    cairo_t *cr = canvas->cairo;
    cairo_set_line_width(cr, style->width_px * canvas->scale);
    cairo_set_line_cap(cr, style->flat ? CAIRO_LINE_CAP_BUTT : CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(cr, style->flat ? CAIRO_LINE_JOIN_MITER : CAIRO_LINE_JOIN_ROUND);
    double dash[2] = {style->dash_on_px * canvas->scale, style->dash_off_px * canvas->scale};
    cairo_set_dash(cr, dash, style->dash_on_px > 0.0 ? 2 : 0, 0.0);
    set_colour(cr, style->colour);
}

static void stroke_frame(Canvas *canvas, const DrawCommand *c) {
    double r[4], width = fmax(round(c->stroke.width_px * canvas->scale), 1.0);
    snapped(canvas, c->rect, r);
    round_path(canvas->cairo, r[0] + width / 2.0, r[1] + width / 2.0, r[2] - width, r[3] - width,
               c->radius_px * canvas->scale - width / 2.0);
    set_stroke(canvas, &c->stroke);
    cairo_set_line_width(canvas->cairo, width);
    cairo_stroke(canvas->cairo);
}

/* A level or upright solid line is filled on whole pixels, so that it stays crisp at every scale. */
static bool stroke_crisp_line(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    const uint8_t *verb = list->verbs + c->path_first;
    if (!c->stroke.flat || c->path_count != 2 || verb[1] != PATH_LINE || c->stroke.dash_on_px > 0.0)
        return false;
    const double *p = list->coords + c->point_first;
    double s = canvas->scale, width = fmax(round(c->stroke.width_px * s), 1.0);
    bool level = fabs(p[1] - p[3]) < 0.01, upright = fabs(p[0] - p[2]) < 0.01;
    if (!level && !upright) return false;
    double x = fmin(p[0], p[2]) * s, y = fmin(p[1], p[3]) * s;
    double w = fabs(p[2] - p[0]) * s, h = fabs(p[3] - p[1]) * s;
    cairo_new_path(canvas->cairo);
    if (level)
        cairo_rectangle(canvas->cairo, round(x), round(y - width / 2.0), round(x + w) - round(x), width);
    else
        cairo_rectangle(canvas->cairo, round(x - width / 2.0), round(y), width, round(y + h) - round(y));
    set_colour(canvas->cairo, c->stroke.colour);
    cairo_fill(canvas->cairo);
    return true;
}

static void stroke_path(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    if (stroke_crisp_line(canvas, list, c)) return;
    set_path(canvas, list, c);
    set_stroke(canvas, &c->stroke);
    cairo_stroke(canvas->cairo);
}

static void fill_gradient(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    double s = canvas->scale;
    cairo_pattern_t *pattern =
        cairo_pattern_create_linear(c->from_x * s, c->from_y * s, c->to_x * s, c->to_y * s);
    const Colour *stop[2] = {&c->colour, &c->colour_to};
    for (int i = 0; i < 2; i++)
        cairo_pattern_add_color_stop_rgba(pattern, i, stop[i]->r / 255.0, stop[i]->g / 255.0,
                                          stop[i]->b / 255.0, stop[i]->a / 255.0);
    set_path(canvas, list, c);
    cairo_set_source(canvas->cairo, pattern);
    cairo_fill(canvas->cairo);
    cairo_pattern_destroy(pattern);
}

/* One tile of dots (two per tile, staggered) or of falling lines, repeated from the canvas's origin. */
static void fill_pattern(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    int n = (int)fmax(round(c->pattern.spacing_px * canvas->scale), 2.0);
    double size = c->pattern.size_px * canvas->scale;
    bool dots = c->pattern.kind == PATTERN_DOTS;
    int tile = dots ? 2 * n : n;
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, tile, tile);
    cairo_t *cr = cairo_create(surface);
    set_colour(cr, c->pattern.colour);
    if (dots) {
        for (int i = 0; i < 2; i++) {
            cairo_new_sub_path(cr);
            cairo_arc(cr, n * (0.5 + i), n * (0.5 + i), size / 2.0, 0.0, 2.0 * PI);
            cairo_fill(cr);
        }
    } else {
        cairo_set_line_width(cr, size);
        for (int i = -1; i <= 1; i++) {
            cairo_move_to(cr, i * n - n, 2 * n);
            cairo_line_to(cr, i * n + 2 * n, -n);
        }
        cairo_stroke(cr);
    }
    cairo_destroy(cr);
    cairo_pattern_t *pattern = cairo_pattern_create_for_surface(surface);
    cairo_pattern_set_extend(pattern, CAIRO_EXTEND_REPEAT);
    cairo_pattern_set_filter(pattern, CAIRO_FILTER_NEAREST);
    set_path(canvas, list, c);
    cairo_set_source(canvas->cairo, pattern);
    cairo_fill(canvas->cairo);
    cairo_pattern_destroy(pattern);
    cairo_surface_destroy(surface);
}

static bool same_colour(Colour a, Colour b) {
    return a.r == b.r && a.g == b.g && a.b == b.b && a.a == b.a;
}

static bool same_grain(const Texture *texture, const DrawCommand *c) {
    const double made[] = {texture->rect.x, texture->rect.y, texture->rect.w,  texture->rect.h,
                           texture->beam_x, texture->beam_y, texture->grain_px};
    const double wanted[] = {c->rect.x, c->rect.y, c->rect.w, c->rect.h, c->from_x, c->from_y, c->size_px};
    return memcmp(made, wanted, sizeof made) == 0;
}

static Texture texture_of(const DrawCommand *c) {
    return (Texture){.rect = c->rect,
                     .beam_x = c->from_x,
                     .beam_y = c->from_y,
                     .grain_px = c->size_px,
                     .colour = c->colour,
                     .ground = c->colour_to};
}

/* Grey values of a grain, width x height; made again only where the grain is another one. NULL without
 * memory.
 */
static const uint8_t *grey_for(Canvas *canvas, const DrawCommand *c, int width, int height) {
    double s = canvas->scale;
    if (canvas->grey != NULL && same_grain(&canvas->grey_of, c)) return canvas->grey;
    free(canvas->grey);
    canvas->grey = malloc((size_t)width * (size_t)height);
    if (canvas->grey == NULL) return NULL;
    ui_speckle_fill(canvas->grey, width, height, width, (c->from_x - c->rect.x) * s,
                    (c->from_y - c->rect.y) * s, c->size_px * s);
    canvas->grey_of = texture_of(c);
    return canvas->grey;
}

/* Premultiplied pixel of `colour` at opacity a (0..255) over a ground that is opaque or not there. */
static uint32_t over(Colour colour, Colour ground, uint32_t a) {
    uint32_t rest = ground.a == 255 ? 255u - a : 0u, alpha = a + rest;
    return alpha << 24 | (colour.r * a + ground.r * rest) / 255u << 16 |
           (colour.g * a + ground.g * rest) / 255u << 8 | (colour.b * a + ground.b * rest) / 255u;
}

/* Grain in one colour: the grey value is the opacity. */
static cairo_surface_t *make_texture(Canvas *canvas, const DrawCommand *c) {
    double s = canvas->scale;
    int width = (int)ceil(c->rect.w * s) + 1, height = (int)ceil(c->rect.h * s) + 1;
    const uint8_t *grey = grey_for(canvas, c, width, height);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height);
    if (grey == NULL || cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) return surface;
    uint8_t *pixels = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    cairo_surface_flush(surface);
    for (int y = 0; y < height; y++) {
        uint32_t *row = (uint32_t *)(void *)(pixels + (size_t)y * (size_t)stride);
        for (int x = 0; x < width; x++) {
            uint32_t a = (uint32_t)grey[(size_t)y * (size_t)width + (size_t)x] * c->colour.a / 255u;
            row[x] = over(c->colour, c->colour_to, a);
        }
    }
    cairo_surface_mark_dirty(surface);
    return surface;
}

static cairo_surface_t *texture_for(Canvas *canvas, const DrawCommand *c) {
    Texture *oldest = &canvas->texture[0];
    for (int i = 0; i < TEXTURES; i++) {
        Texture *texture = &canvas->texture[i];
        if (texture->surface != NULL && same_colour(texture->colour, c->colour) &&
            same_colour(texture->ground, c->colour_to) && same_grain(texture, c)) {
            texture->used = ++canvas->textures_used;
            return texture->surface;
        }
        if (texture->used < oldest->used) oldest = texture;
    }
    cairo_surface_destroy(oldest->surface);
    *oldest = texture_of(c);
    oldest->surface = make_texture(canvas, c);
    oldest->used = ++canvas->textures_used;
    return oldest->surface;
}

static void fill_speckle(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    cairo_surface_t *surface = texture_for(canvas, c);
    set_path(canvas, list, c);
    cairo_set_source_surface(canvas->cairo, surface, floor(c->rect.x * canvas->scale),
                             floor(c->rect.y * canvas->scale));
    cairo_pattern_set_filter(cairo_get_source(canvas->cairo), CAIRO_FILTER_NEAREST);
    cairo_fill(canvas->cairo);
}

/* Text goes straight to the pixels, inside the bounding box of the clip in force. */
static void draw_text(Canvas *canvas, const DrawList *list, const DrawCommand *c) {
    double x0, y0, x1, y1;
    cairo_clip_extents(canvas->cairo, &x0, &y0, &x1, &y1);
    TextTarget target = {.pixels = ui_raster_pixels(canvas),
                         .stride_px = ui_raster_stride(canvas),
                         .left = (int)fmax(x0, 0.0),
                         .top = (int)fmax(y0, 0.0),
                         .right = (int)fmin(x1, canvas->width),
                         .bottom = (int)fmin(y1, canvas->height)};
    ui_text_draw(canvas->text, &target, c->face, device_size(canvas, c->size_px), c->align, c->colour,
                 c->rect.x * canvas->scale, c->rect.y * canvas->scale, list->chars + c->text);
    cairo_surface_mark_dirty(canvas->surface);
}

static void execute(Canvas *canvas, const DrawList *list, const DrawCommand *c, int *depth) {
    cairo_t *cr = canvas->cairo;
    switch (c->kind) {
    case DRAW_RECT:
        fill_rect(canvas, c);
        break;
    case DRAW_FRAME:
        stroke_frame(canvas, c);
        break;
    case DRAW_FILL:
        set_path(canvas, list, c);
        set_colour(cr, c->colour);
        cairo_fill(cr);
        break;
    case DRAW_GRADIENT:
        fill_gradient(canvas, list, c);
        break;
    case DRAW_STROKE:
        stroke_path(canvas, list, c);
        break;
    case DRAW_PATTERN:
        fill_pattern(canvas, list, c);
        break;
    case DRAW_SPECKLE:
        fill_speckle(canvas, list, c);
        break;
    case DRAW_CLIP:
        cairo_save(cr);
        set_path(canvas, list, c);
        cairo_clip(cr);
        ++*depth;
        break;
    case DRAW_CLIP_RECT: {
        double r[4];
        snapped(canvas, c->rect, r);
        cairo_save(cr);
        cairo_new_path(cr);
        cairo_rectangle(cr, r[0], r[1], r[2], r[3]);
        cairo_clip(cr);
        ++*depth;
        break;
    }
    case DRAW_UNCLIP:
        if (*depth > 0) {
            cairo_restore(cr);
            --*depth;
        }
        break;
    case DRAW_TEXT:
        draw_text(canvas, list, c);
        break;
    case DRAW_REGION:
    case DRAW_KEEP:
    case DRAW_KEPT:
    case DRAW_KIND_COUNT:
        break;
    }
}

/* The whole device pixels of a rectangle, and whether the clip in force lets all of them through. */
static bool keep_area(Canvas *canvas, Rect rect, Keep *area) {
    double r[4], x0, y0, x1, y1;
    snapped(canvas, rect, r);
    cairo_clip_extents(canvas->cairo, &x0, &y0, &x1, &y1);
    area->x = (int)r[0];
    area->y = (int)r[1];
    area->width = (int)r[2];
    area->height = (int)r[3];
    return x0 <= r[0] && y0 <= r[1] && x1 >= r[0] + r[2] && y1 >= r[1] + r[3] && area->x >= 0 &&
           area->y >= 0 && area->x + area->width <= canvas->width && area->y + area->height <= canvas->height;
}

static void copy_keep(Canvas *canvas, const Keep *keep, bool out) {
    uint32_t *pixels = ui_raster_pixels(canvas);
    int stride = ui_raster_stride(canvas);
    size_t row = (size_t)keep->width * sizeof *pixels;
    for (int y = 0; y < keep->height; y++) {
        uint32_t *canvas_row = pixels + (size_t)(keep->y + y) * (size_t)stride + keep->x;
        uint32_t *kept_row = keep->pixels + (size_t)y * (size_t)keep->width;
        memcpy(out ? kept_row : canvas_row, out ? canvas_row : kept_row, row);
    }
    if (!out) cairo_surface_mark_dirty(canvas->surface);
}

/* Draws the commands from DRAW_KEEP at `first` to its DRAW_KEPT, or copies what they drew last time; returns
   the index of DRAW_KEPT. */
static size_t run_keep(Canvas *canvas, const DrawList *list, size_t first, size_t end, int *depth) {
    size_t last = first + 1;
    while (last < end && list->commands[last].kind != DRAW_KEPT)
        last++;
    Keep area = {0}, *slot = &canvas->keep[0];
    bool whole = keep_area(canvas, list->commands[first].rect, &area);
    if (whole && last > first + 1) {
        area.hash = ui_draw_hash(list, first, last - first);
        for (int i = 0; i < KEEPS; i++) {
            Keep *keep = &canvas->keep[i];
            if (keep->pixels != NULL && keep->hash == area.hash) {
                keep->used = ++canvas->keeps_used;
                copy_keep(canvas, keep, false);
                return last;
            }
            if (keep->used < slot->used) slot = keep;
        }
    }
    for (size_t i = first + 1; i < last; i++)
        execute(canvas, list, &list->commands[i], depth);
    if (!whole) return last;
    area.pixels = malloc((size_t)area.width * (size_t)area.height * sizeof *area.pixels);
    if (area.pixels == NULL) return last;
    area.used = ++canvas->keeps_used;
    free(slot->pixels);
    *slot = area;
    copy_keep(canvas, slot, true);
    return last;
}

void ui_raster_run(Canvas *canvas, const DrawList *list, size_t first, size_t count, Rect clip) {
    size_t end = count == 0 ? list->command_count : first + count;
    cairo_t *cr = canvas->cairo;
    double s = canvas->scale, x0 = floor(clip.x * s), y0 = floor(clip.y * s);
    int depth = 0;
    cairo_save(cr);
    cairo_set_tolerance(cr, CURVE_TOLERANCE_PX);
    cairo_new_path(cr);
    cairo_rectangle(cr, x0, y0, ceil((clip.x + clip.w) * s) - x0, ceil((clip.y + clip.h) * s) - y0);
    cairo_clip(cr);
    if (end > list->command_count) end = list->command_count;
    for (size_t i = first; i < end; i++) {
        if (list->commands[i].kind == DRAW_KEEP)
            i = run_keep(canvas, list, i, end, &depth);
        else
            execute(canvas, list, &list->commands[i], &depth);
    }
    while (depth-- > 0)
        cairo_restore(cr);
    cairo_restore(cr);
}

ErrorCode ui_raster_write_png(Canvas *canvas, const char *path, Error *error) {
    cairo_status_t status = cairo_surface_write_to_png(canvas->surface, path);
    if (status == CAIRO_STATUS_SUCCESS) return ERROR_OK;
    ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "cannot write the picture: %s",
                                     cairo_status_to_string(status));
    model_error_at(error, path, 0, 0);
    return code;
}

uint32_t *ui_raster_read_png(const char *path, int *width, int *height, Error *error) {
    cairo_surface_t *file = cairo_image_surface_create_from_png(path);
    uint32_t *pixels = NULL;
    if (cairo_surface_status(file) == CAIRO_STATUS_SUCCESS) {
        *width = cairo_image_surface_get_width(file);
        *height = cairo_image_surface_get_height(file);
        size_t row = (size_t)*width * sizeof *pixels;
        int stride = cairo_image_surface_get_stride(file);
        const unsigned char *data = cairo_image_surface_get_data(file);
        pixels = malloc(row * (size_t)*height);
        for (int y = 0; pixels != NULL && y < *height; y++)
            memcpy(pixels + (size_t)y * (size_t)*width, data + (size_t)y * (size_t)stride, row);
    }
    if (pixels == NULL) {
        (void)model_error_set(error, ERROR_FILE_READ, "cannot read the picture");
        model_error_at(error, path, 0, 0);
    }
    cairo_surface_destroy(file);
    return pixels;
}
