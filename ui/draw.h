/* Draw commands as plain data. A screen is a function from a view struct to a list of commands; what executes
   the list (ui/raster.c) and what reads it (tests, the debrief) are somebody else's business.
   Coordinates are design pixels at scale 1, x to the right, y down. Nothing is allocated per frame: the
   buffers grow to what a screen needs and are then reused. */
#ifndef UI_DRAW_H
#define UI_DRAW_H

#include "ui/colour.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

typedef struct Rect {
    double x, y, w, h; /* px */
} Rect;

typedef enum FontFace {
    FACE_WORDS,         /* names and sentences */
    FACE_WORDS_STRONG,  /* titles, selected rows */
    FACE_DIGITS,        /* numbers: all digits equally wide */
    FACE_DIGITS_STRONG, /* big values */
    FACE_COUNT
} FontFace;

typedef enum TextAlign { ALIGN_LEFT, ALIGN_CENTRE, ALIGN_RIGHT } TextAlign;

typedef struct StrokeStyle {
    Colour colour;
    double width_px;
    double dash_on_px, dash_off_px; /* both 0: solid */
    bool flat;                      /* true: butt caps and mitred joins; false: round */
} StrokeStyle;

typedef enum PatternKind { PATTERN_DOTS, PATTERN_HATCH } PatternKind;

typedef struct PatternStyle {
    PatternKind kind;
    Colour colour;
    double spacing_px; /* between dots or lines */
    double size_px;    /* dot diameter or line width */
} PatternStyle;

typedef enum DrawKind {
    DRAW_REGION,   /* what follows belongs to region `id` and stays inside `rect` */
    DRAW_RECT,     /* filled, corner radius `radius_px` */
    DRAW_FRAME,    /* outlined rectangle, corner radius `radius_px` */
    DRAW_FILL,     /* path filled with `colour` */
    DRAW_GRADIENT, /* path filled from `colour` at `from` to `colour_to` at `to` */
    DRAW_STROKE,   /* path outlined */
    DRAW_PATTERN,  /* path filled with dots or hatching */
    DRAW_SPECKLE,  /* path filled with the prepared grain of a sector (ui/speckle.h) in `rect` */
    DRAW_KEEP, /* the commands up to DRAW_KEPT fill `rect`; drawn once, and copied while they stay the same */
    DRAW_KEPT,
    DRAW_CLIP, /* what follows is cut to the path, inside the clip in force */
    DRAW_CLIP_RECT,
    DRAW_UNCLIP,
    DRAW_TEXT,
    DRAW_KIND_COUNT
} DrawKind;

/* One command; which members count follows from `kind`. Unused members are zero bytes. */
typedef struct DrawCommand {
    DrawKind kind;
    int id;    /* DRAW_REGION */
    Rect rect; /* DRAW_REGION, DRAW_RECT, DRAW_FRAME, DRAW_CLIP_RECT, DRAW_SPECKLE, DRAW_KEEP; DRAW_TEXT: x,
                  baseline y */
    double radius_px;   /* DRAW_RECT, DRAW_FRAME */
    size_t path_first;  /* first verb in DrawList.verbs */
    size_t path_count;  /* verbs */
    size_t point_first; /* first of the path's coordinates in DrawList.coords */
    Colour colour, colour_to;
    StrokeStyle stroke;
    PatternStyle pattern;
    double from_x, from_y, to_x, to_y;
    FontFace face;
    TextAlign align;
    double size_px; /* font size */
    size_t text;    /* first byte in DrawList.chars, NUL terminated UTF-8 */
} DrawCommand;

typedef enum PathVerb { PATH_MOVE, PATH_LINE, PATH_CURVE, PATH_CLOSE } PathVerb; /* 2, 2, 6, 0 coordinates */

/* Width in px of a UTF-8 text; `context` is the list's measure_context. */
typedef double (*DrawMeasure)(void *context, FontFace face, double size_px, const char *text);

typedef struct DrawList {
    DrawCommand *commands;
    size_t command_count, command_room;
    uint8_t *verbs;
    size_t verb_count, verb_room;
    double *coords;
    size_t coord_count, coord_room;
    char *chars;
    size_t char_count, char_room;
    size_t path_first_verb, path_first_coord; /* the path being built */
    bool failed;                              /* memory ran out; the list is incomplete */
    DrawMeasure measure;                      /* NULL: an estimate by character class */
    void *measure_context;                    /* not owned */
    const struct Theme *theme;                /* for pictures that are not given one; NULL: dark; not owned */
    bool decimal_comma;                       /* a point between two digits is written as a comma */
} DrawList;

/* An empty list; all members zero. Nothing is allocated until the first command. */
void ui_draw_init(DrawList *list);
/* Frees the buffers. Accepts NULL and an empty list. */
void ui_draw_free(DrawList *list);
/* The theme the list is drawn with; never NULL. */
const struct Theme *ui_draw_theme(const DrawList *list);
/* Empties the list and keeps its buffers, its measure and its theme. */
void ui_draw_clear(DrawList *list);

/* A place in the list, to take back what was added after it (after drawing only to measure). */
typedef struct DrawMark {
    size_t commands, verbs, coords, chars;
} DrawMark;

DrawMark ui_draw_mark(const DrawList *list);
void ui_draw_rewind(DrawList *list, DrawMark mark);

/* Starts a region: an independently repainted part of the screen; everything until the next region is in it.
 */
void ui_draw_region(DrawList *list, int id, Rect rect);

void ui_draw_rect(DrawList *list, Rect rect, double radius_px, Colour colour);
void ui_draw_frame(DrawList *list, Rect rect, double radius_px, StrokeStyle style);
/* A straight line with butt ends. */
void ui_draw_line(DrawList *list, double x0, double y0, double x1, double y1, StrokeStyle style);
void ui_draw_circle(DrawList *list, double x, double y, double radius_px, Colour colour);
void ui_draw_ring(DrawList *list, double x, double y, double radius_px, StrokeStyle style);

/* Building a path. It stays current after fill, stroke, pattern and clip, so that one path can serve several.
 */
void ui_draw_path(DrawList *list); /* begins a new, empty path */
void ui_draw_move(DrawList *list, double x, double y);
void ui_draw_to(DrawList *list, double x, double y);
void ui_draw_curve(DrawList *list, double x1, double y1, double x2, double y2, double x, double y);
void ui_draw_close(DrawList *list);
/* Adds a closed ellipse to the current path. */
void ui_draw_ellipse(DrawList *list, double x, double y, double rx_px, double ry_px);
/* Adds a closed rounded rectangle to the current path. */
void ui_draw_round(DrawList *list, Rect rect, double radius_px);
/* Adds a circular arc from angle a0 to a1 in radians (0 right, growing downward); joined by a line if the
   path has a current point. */
void ui_draw_arc(DrawList *list, double x, double y, double radius_px, double a0_rad, double a1_rad);

void ui_draw_fill(DrawList *list, Colour colour);
void ui_draw_gradient(DrawList *list, double x0, double y0, Colour c0, double x1, double y1, Colour c1);
void ui_draw_stroke(DrawList *list, StrokeStyle style);
void ui_draw_pattern(DrawList *list, PatternStyle style);
/* Grain in `colour`, its strength the grain's grey value, on `ground` (alpha 0: on what is there). The
   texture covers `extent` (keep it the same from frame to frame: it is prepared once) as beams from (beam_x,
   beam_y) give it, grains `grain_px` deep. */
void ui_draw_speckle(DrawList *list, Rect extent, double beam_x, double beam_y, double grain_px,
                     Colour colour, Colour ground);
/* What is drawn between the two fills `rect`, all of it and opaque, and seldom changes: it is drawn once and
   then copied. Clips must be balanced in between. */
void ui_draw_keep(DrawList *list, Rect rect);
void ui_draw_kept(DrawList *list);
/* Cuts what follows to the current path, or to a rectangle, until the matching ui_draw_unclip. */
void ui_draw_clip(DrawList *list);
void ui_draw_clip_rect(DrawList *list, Rect rect);
void ui_draw_unclip(DrawList *list);

/* One line of text with its baseline at y. `text` is UTF-8 and copied. */
void ui_draw_text(DrawList *list, FontFace face, double size_px, TextAlign align, Colour colour, double x,
                  double y, const char *text);
/* The same, cut with an ellipsis where it is wider than `max_px`. */
void ui_draw_text_fit(DrawList *list, FontFace face, double size_px, TextAlign align, Colour colour, double x,
                      double y, double max_px, const char *text);
/* Words broken into lines at most `max_px` wide, the first baseline at y; at most `max_lines` (the last is
   cut with an ellipsis). Returns the number of lines. */
int ui_draw_text_wrap(DrawList *list, FontFace face, double size_px, Colour colour, double x, double y,
                      double max_px, double line_px, int max_lines, const char *text);
/* Width in px of `text` by the list's measure. */
double ui_draw_text_width(const DrawList *list, FontFace face, double size_px, const char *text);

/* A stroke style in one expression: solid, round. */
StrokeStyle ui_draw_solid(Colour colour, double width_px);
StrokeStyle ui_draw_dashed(Colour colour, double width_px, double on_px, double off_px);

/* Writes the commands [first, first + count) as text, one per line, coordinates to 0.1 px; a path of more
   than 48 verbs is written as its count and bounding box. count 0: to the end. */
void ui_draw_dump(const DrawList *list, size_t first, size_t count, FILE *out);
/* 64-bit hash of the commands [first, first + count) with their paths and texts: equal lists, equal hashes.
 */
uint64_t ui_draw_hash(const DrawList *list, size_t first, size_t count);
/* First command of the region that follows the one starting at `first`, or command_count. */
size_t ui_draw_region_end(const DrawList *list, size_t first);

/* Rectangle helpers. */
Rect ui_rect_inset(Rect rect, double dx_px, double dy_px);
Rect ui_rect_union(Rect a, Rect b);
bool ui_rect_overlaps(Rect a, Rect b);
bool ui_rect_contains(Rect rect, double x, double y);
/* Cuts a strip off one side of *rect and returns it; *rect keeps the rest. */
Rect ui_rect_cut_top(Rect *rect, double h_px);
Rect ui_rect_cut_bottom(Rect *rect, double h_px);
Rect ui_rect_cut_left(Rect *rect, double w_px);
Rect ui_rect_cut_right(Rect *rect, double w_px);

#endif
