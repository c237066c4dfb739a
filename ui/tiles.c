/* Number tiles, trends, target bars. */
#include "ui/tiles.h"

#include "ui/alarm_strip.h"
#include "ui/widgets.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TIGHT_CELL_PX 84.0 /* a lower cell has its lines closer together */
#define TINT          0.16 /* share of the priority colour in the ground of a tile with an alarm */

void ui_tiles_format(char *text, size_t size, double value, int decimals) {
    if (!isfinite(value)) {
        snprintf(text, size, "\u2013\u2009\u2013");
        return;
    }
    double unit = pow(10.0, -decimals), rounded = round(value / unit) * unit;
    const char *sign = rounded < 0.0 ? "\u2212" : "";
    rounded = fabs(rounded);
    if (decimals <= 0 && rounded >= 1000.0)
        snprintf(text, size, "%s%.0f\u2009%03.0f", sign, floor(rounded / 1000.0), fmod(rounded, 1000.0));
    else
        snprintf(text, size, "%s%.*f", sign, decimals < 0 ? 0 : decimals, rounded);
}

void ui_tiles_clock(char *text, size_t size, double time_s, bool seconds) {
    long s = (long)fmax(time_s, 0.0);
    if (seconds)
        snprintf(text, size, "%02ld:%02ld:%02ld", s / 3600, s / 60 % 60, s % 60);
    else
        snprintf(text, size, "%02ld:%02ld", s / 3600, s / 60 % 60);
}

void ui_tiles_minutes(char *text, size_t size, double time_s) {
    long s = (long)fmax(time_s, 0.0);
    snprintf(text, size, "%ld:%02ld", s / 60, s % 60);
}

Colour ui_tiles_priority(const Theme *theme, int priority) {
    return ui_theme_alarm_text(theme, priority);
}

/* Digits with a thin space have no glyph for it in the digit face: draw the halves with a gap. */
static double draw_number(DrawList *list, FontFace face, double size_px, Colour colour, double x, double y,
                          const char *text) {
    const char *thin = strstr(text, "\u2009");
    if (thin == NULL) {
        ui_draw_text(list, face, size_px, ALIGN_LEFT, colour, x, y, text);
        return ui_draw_text_width(list, face, size_px, text);
    }
    char part[TEXT_SHORT];
    snprintf(part, sizeof part, "%.*s", (int)(thin - text), text);
    double gap = 0.16 * size_px, w = ui_draw_text_width(list, face, size_px, part) + gap;
    ui_draw_text(list, face, size_px, ALIGN_LEFT, colour, x, y, part);
    const char *rest = thin + strlen("\u2009");
    ui_draw_text(list, face, size_px, ALIGN_LEFT, colour, x + w, y, rest);
    return w + ui_draw_text_width(list, face, size_px, rest);
}

static void draw_trend(DrawList *list, const Reading *r, Rect rect, Colour colour) {
    const Trend *t = &r->trend;
    double range = r->trend_high - r->trend_low, x = 0.0, y = 0.0;
    if (t->count < 2 || range <= 0.0 || rect.w < 16.0) return;
    bool down = false;
    ui_draw_path(list);
    for (int i = 0; i < t->count; i++) {
        if (isnan(t->value[i])) {
            down = false;
            continue;
        }
        double share = fmin(fmax((t->value[i] - r->trend_low) / range, 0.0), 1.0);
        /* the newest point stands at the right end; a young night fills the line from the right */
        x = rect.x + rect.w - (t->count - 1 - i) * rect.w / (TREND_POINTS - 1);
        y = rect.y + rect.h - share * rect.h;
        if (down)
            ui_draw_to(list, x, y);
        else
            ui_draw_move(list, x, y);
        down = true;
    }
    ui_draw_stroke(list, ui_draw_solid(colour, 1.5));
    if (down) ui_draw_circle(list, x, y, 3.0, colour);
}

static double bar_x(const Reading *r, Rect rect, double value) {
    double share = (value - r->scale_low) / (r->scale_high - r->scale_low);
    return rect.x + rect.w * fmin(fmax(share, 0.0), 1.0);
}

/* Track, wanted range with end marks, and a pointer under it. */
static void draw_bar(DrawList *list, const Theme *theme, const Reading *r, Rect rect) {
    double y = rect.y;
    ui_draw_rect(list, (Rect){rect.x, y, rect.w, 5.0}, 2.5, theme->raised);
    if (isfinite(r->target_low) && isfinite(r->target_high)) {
        double a = bar_x(r, rect, r->target_low), b = bar_x(r, rect, r->target_high);
        ui_draw_rect(list, (Rect){a, y, fmax(b - a, 2.0), 5.0}, 0.0, theme->band);
        ui_draw_line(list, a, y - 4.0, a, y + 9.0, ui_draw_solid(theme->band_mark, 2.0));
        ui_draw_line(list, b, y - 4.0, b, y + 9.0, ui_draw_solid(theme->band_mark, 2.0));
    }
    if (isfinite(r->value)) {
        Colour mark = r->priority > 0 ? ui_tiles_priority(theme, r->priority) : theme->text1;
        ui_widgets_arrow(list, bar_x(r, rect, r->value), y + 7.0, 12.0, 'u', mark);
    }
}

/* Ground and frame of a tile with an alarm: broad until somebody has acknowledged it. */
static void draw_alarm_ground(DrawList *list, const Theme *theme, const Reading *r, Rect rect,
                              double radius_px) {
    if (r->priority == 0) return;
    ui_draw_rect(list, rect, radius_px,
                 ui_colour_mix(theme->panel, ui_theme_alarm(theme, r->priority), TINT));
    ui_draw_frame(list, rect, radius_px,
                  ui_draw_solid(ui_tiles_priority(theme, r->priority), r->known ? 1.5 : 2.5));
}

/* What to say beside a number: the alarm's word, or on which side of its target it is; NULL for nothing. */
static const char *word_of(const Reading *r) {
    if (r->priority > 0) return r->mark;
    if (!r->outside || (r->limit != LIMIT_LOW && r->limit != LIMIT_HIGH)) return NULL;
    return r->limit == LIMIT_LOW ? "low" : "high";
}

static Colour word_colour(const Theme *theme, const Reading *r) {
    return r->priority > 0 ? ui_tiles_priority(theme, r->priority) : theme->text2;
}

/* Mark and word beside a number; on one line where line_px is 0. */
static void draw_mark(DrawList *list, const Theme *theme, const Reading *r, double x, double y,
                      double line_px) {
    const char *word = word_of(r), *mark = ui_alarm_strip_mark(r->priority);
    if (word == NULL) return;
    Colour colour = word_colour(theme, r);
    if (line_px > 0.0) {
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, colour, x, y, mark);
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, colour, x, y + line_px, word);
        return;
    }
    char text[TEXT_SHORT];
    snprintf(text, sizeof text, "%s%s%.16s", mark, mark[0] != '\0' ? " " : "", word);
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, colour, x, y, text);
}

/* Whether an arrow beside a number has a side to show. */
static bool draw_side(DrawList *list, const Theme *theme, const Reading *r, double x, double y,
                      double size_px) {
    bool side = r->limit == LIMIT_LOW || r->limit == LIMIT_HIGH;
    if (r->priority == 0 && !(r->outside && side)) return false;
    if (side)
        ui_widgets_arrow(list, x, y, size_px, r->limit == LIMIT_LOW ? 'd' : 'u', word_colour(theme, r));
    else
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, word_colour(theme, r), x, y + 6.0,
                     ui_alarm_strip_mark(r->priority));
    return true;
}

/* Name, unit and companion; false where the unit has no room here. */
static bool draw_head(DrawList *list, const Theme *theme, const Reading *r, Rect rect) {
    double x = rect.x + 8.0, y = rect.y + 19.0;
    double right = rect.x + rect.w - 8.0;
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, theme->text1, x, y, r->name);
    x += ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_BODY, r->name) + 8.0;
    double room = right - x;
    if (r->companion[0] != '\0') {
        bool digits = r->companion[0] >= '0' && r->companion[0] <= '9';
        FontFace face = digits ? FACE_DIGITS : FACE_WORDS;
        double size = digits ? TYPE_VALUE_S : TYPE_BODY;
        double w = ui_draw_text_width(list, face, size, r->companion);
        ui_draw_text(list, face, size, ALIGN_RIGHT, theme->text2, right, y + 2.0, r->companion);
        room -= w + 8.0;
    }
    if (ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->unit) > room) return false;
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, r->priority > 0 ? theme->text2 : theme->text3, x, y,
                 r->unit);
    return true;
}

void ui_tiles_large(DrawList *list, const Theme *theme, const Reading *r, Side side, Rect rect) {
    draw_alarm_ground(list, theme, r, rect, 8.0);
    bool tall = rect.h >= 90.0;
    /* between the head and the bar, whatever room there is */
    double base = rect.y + rect.h - (tall ? 29.0 : 20.0), head = 23.0, cap = 0.76;
    double size = floor(fmin((base - rect.y - head) / cap, tall ? TYPE_VALUE_L : 34.0));
    bool unit_shown = draw_head(list, theme, r, rect);
    char text[TEXT_SHORT];
    ui_tiles_format(text, sizeof text, r->value, r->decimals);
    double x = rect.x + 8.0, w = 0.0;
    if (isfinite(r->value)) {
        w = draw_number(list, FACE_DIGITS_STRONG, size, theme->text1, x, base, text);
        if (!unit_shown) {
            ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT,
                         r->priority > 0 ? theme->text2 : theme->text3, x + w + 6.0, base - 4.0, r->unit);
            w += 6.0 + ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->unit);
        }
    } else {
        ui_draw_text(list, FACE_DIGITS_STRONG, size, ALIGN_LEFT, theme->text2, x, base, "\u2013 \u2013");
        double after = x + 2.4 * size;
        if (r->priority > 0) {
            snprintf(text, sizeof text, "%s %.16s", ui_alarm_strip_mark(r->priority), r->mark);
            ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, word_colour(theme, r), after,
                         base - 8.0, text);
            after += ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_NOTE, text) + 8.0;
        }
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text2, after, base - 8.0,
                         rect.x + rect.w - 8.0 - after, r->reason);
    }
    double mark_x = fmax(x + w + 30.0, rect.x + (tall ? 140.0 : 108.0));
    bool low = rect.h < 68.0;
    if (isfinite(r->value))
        draw_mark(list, theme, r, mark_x,
                  base - (tall  ? 18.0
                          : low ? 1.0
                                : 17.0),
                  tall  ? 20.0
                  : low ? 0.0
                        : 17.0);
    double trend_x = mark_x + 28.0;
    if (isfinite(r->value))
        draw_trend(list, r,
                   (Rect){trend_x, base - (tall ? 36.0 : 22.0), rect.x + rect.w - 14.0 - trend_x,
                          tall ? 34.0 : 20.0},
                   theme->side[side]);
    if (r->scale_high > r->scale_low)
        draw_bar(list, theme, r,
                 (Rect){rect.x + 8.0, rect.y + rect.h - (tall ? 16.0 : 14.0), rect.w - 20.0, 5.0});
}

void ui_tiles_medium(DrawList *list, const Theme *theme, const Reading *r, Side side, Rect rect) {
    bool tall = rect.h >= 96.0;
    double size = tall ? TYPE_VALUE_M : 28.0, base = rect.y + (tall ? 62.0 : 48.0);
    draw_alarm_ground(list, theme, r, ui_rect_inset(rect, -6.0, 0.0), 6.0);
    ui_draw_text_fit(list, FACE_WORDS, tall ? TYPE_BODY : TYPE_NOTE, ALIGN_LEFT, theme->text2, rect.x,
                     rect.y + 20.0, rect.w, r->name);
    char text[TEXT_SHORT];
    ui_tiles_format(text, sizeof text, r->value, r->decimals);
    if (!isfinite(r->value)) {
        ui_draw_text(list, FACE_DIGITS_STRONG, size, ALIGN_LEFT, theme->text2, rect.x, base, "\u2013 \u2013");
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text2, rect.x, base + 22.0, rect.w,
                         r->reason);
        return;
    }
    double w = draw_number(list, FACE_DIGITS_STRONG, size, theme->text1, rect.x, base, text);
    double unit = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->unit);
    if (w + 8.0 + unit <= rect.w)
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text3, rect.x + w + 8.0, base, r->unit);
    else if (word_of(r) == NULL) /* no room beside the number: beside the name */
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text3,
                     rect.x + ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->name) + 8.0, rect.y + 20.0,
                     r->unit);
    if (word_of(r) != NULL) {
        snprintf(text, sizeof text, "%s %.16s", ui_alarm_strip_mark(r->priority), word_of(r));
        bool room = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->name) +
                        ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_NOTE, text) + 4.0 <=
                    rect.w;
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, word_colour(theme, r), rect.x + rect.w,
                     rect.y + 20.0, room ? text : word_of(r));
    }
    double top = base + 12.0, h = rect.y + rect.h - 8.0 - top;
    if (h > 10.0) draw_trend(list, r, (Rect){rect.x, top, fmin(rect.w - 16.0, 140.0), h}, theme->side[side]);
}

void ui_tiles_small(DrawList *list, const Theme *theme, const Reading *r, Rect rect) {
    bool tight = rect.h < TIGHT_CELL_PX;
    double x = rect.x, base = rect.y + (tight ? 37.0 : 44.0), unit = tight ? 18.0 : 20.0,
           below = tight ? 35.0 : 39.0;
    draw_alarm_ground(list, theme, r, ui_rect_inset(rect, -3.0, tight ? 0.0 : -2.0), 5.0);
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text2, x, rect.y + (tight ? 15.0 : 16.0),
                     rect.w, r->name);
    char text[TEXT_SHORT];
    ui_tiles_format(text, sizeof text, r->value, r->decimals);
    if (!isfinite(r->value)) {
        ui_draw_text(list, FACE_DIGITS_STRONG, TYPE_VALUE_S, ALIGN_LEFT, theme->text2, x, base,
                     "\u2013 \u2013");
    } else {
        double w = draw_number(list, FACE_DIGITS_STRONG, TYPE_VALUE_S, theme->text1, x, base, text);
        draw_side(list, theme, r, x + w + 12.0, base - 8.0, 12.0);
    }
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text3, x, base + unit, rect.w, r->unit);
    /* "at 02:10", or the time alone */
    char said[TEXT_LINE];
    const char *note = r->companion, *at = strncmp(note, "at ", 3) == 0 ? note + 2 : NULL;
    if (at != NULL && ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, note) > rect.w) note = at + 1;
    Colour colour = theme->text3;
    if (!isfinite(r->value)) {
        note = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->reason) <= rect.w ? r->reason : "none";
    }
    if (word_of(r) != NULL && (isfinite(r->value) || r->priority > 0)) {
        /* a mark is never colour alone: mark and word first, the time of a sample behind them where there is
         * room */
        const char *word = word_of(r), *mark = ui_alarm_strip_mark(r->priority),
                   *time = at != NULL ? at + 1 : "";
        const char *gap = mark[0] != '\0' ? " " : "";
        snprintf(said, sizeof said, "%s%s%.16s%s%.16s", mark, gap, word, time[0] != '\0' ? " " : "", time);
        if (ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, said) > rect.w)
            snprintf(said, sizeof said, "%s%s%.16s", mark, gap, word);
        note = said;
        colour = word_colour(theme, r);
    }
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, colour, x, base + below, rect.w, note);
}

void ui_tiles_inline(DrawList *list, const Theme *theme, const Reading *r, double size_px, double x, double y,
                     double max_px) {
    char text[TEXT_SHORT];
    ui_tiles_format(text, sizeof text, r->value, r->decimals);
    if (!isfinite(r->value)) {
        ui_draw_text(list, FACE_DIGITS_STRONG, size_px, ALIGN_LEFT, theme->text2, x, y, "\u2013 \u2013");
        return;
    }
    double w = draw_number(list, FACE_DIGITS_STRONG, size_px, theme->text1, x, y, text);
    if (draw_side(list, theme, r, x + w + 14.0, y - 0.38 * size_px, 13.0)) return;
    if (w + 8.0 + ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, r->unit) <= max_px)
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text3, x + w + 8.0, y, r->unit);
}
