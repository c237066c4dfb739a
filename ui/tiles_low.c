/* A tile of one line for lanes with little height. */
#include "ui/tiles.h"

#include "ui/alarm_strip.h"
#include "ui/widgets.h"

#include <math.h>
#include <stdio.h>

#define TINT     0.16
#define VALUE_PX 26.0
#define BAR_PX   4.0
#define PAD_PX   8.0

static double bar_x(const Reading *r, Rect bar, double value) {
    return bar.x + bar.w * fmin(fmax((value - r->scale_low) / (r->scale_high - r->scale_low), 0.0), 1.0);
}

/* The wanted range with its end marks and a pointer under it. */
static void draw_bar(DrawList *list, const Theme *t, const Reading *r, Rect bar) {
    ui_draw_rect(list, bar, 2.0, t->raised);
    if (isfinite(r->target_low) && isfinite(r->target_high)) {
        double a = bar_x(r, bar, r->target_low), b = bar_x(r, bar, r->target_high);
        ui_draw_rect(list, (Rect){a, bar.y, fmax(b - a, 2.0), bar.h}, 0.0, t->band);
        ui_draw_line(list, a, bar.y - 3.0, a, bar.y + bar.h + 3.0, ui_draw_solid(t->band_mark, 2.0));
        ui_draw_line(list, b, bar.y - 3.0, b, bar.y + bar.h + 3.0, ui_draw_solid(t->band_mark, 2.0));
    }
    if (isfinite(r->value))
        ui_widgets_arrow(list, bar_x(r, bar, r->value), bar.y + 5.0, 10.0, 'u',
                         r->priority > 0 ? ui_tiles_priority(t, r->priority) : t->text1);
}

void ui_tiles_low(DrawList *list, const Theme *t, const Reading *r, Rect rect) {
    if (r->priority > 0) {
        ui_draw_rect(list, rect, 6.0, ui_colour_mix(t->panel, ui_theme_alarm(t, r->priority), TINT));
        ui_draw_frame(list, rect, 6.0,
                      ui_draw_solid(ui_tiles_priority(t, r->priority), r->known ? 1.5 : 2.5));
    }
    double y = rect.y + 27.0, x = rect.x + PAD_PX, right = rect.x + rect.w - PAD_PX;
    char text[TEXT_SHORT];
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, x, y - 2.0, r->name);
    x += fmax(ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_NOTE, r->name) + 10.0, 50.0);
    if (!isfinite(r->value)) {
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y - 2.0, right - x, r->reason);
    } else {
        ui_tiles_format(text, sizeof text, r->value, r->decimals);
        ui_draw_text(list, FACE_DIGITS_STRONG, VALUE_PX, ALIGN_LEFT, t->text1, x, y, text);
        x += ui_draw_text_width(list, FACE_DIGITS_STRONG, VALUE_PX, text) + 8.0;
        char mark[TEXT_SHORT] = "";
        bool side = r->limit == LIMIT_LOW || r->limit == LIMIT_HIGH,
             outside = r->priority > 0 || (r->outside && side);
        if (r->priority > 0)
            snprintf(mark, sizeof mark, "%s %.16s", ui_alarm_strip_mark(r->priority), r->mark);
        else if (outside)
            snprintf(mark, sizeof mark, "%s", r->limit == LIMIT_LOW ? "low" : "high");
        double w = ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_NOTE, mark);
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT,
                     r->priority > 0 ? ui_tiles_priority(t, r->priority) : t->text2, right, y - 2.0, mark);
        double room = right - x - (outside ? w + 8.0 : 0.0);
        const char *beside = r->companion[0] != '\0' && !outside ? r->companion : r->unit;
        if (ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, beside) <= room)
            ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, outside ? t->text2 : t->text3, x, y - 2.0,
                         beside);
    }
    if (r->scale_high > r->scale_low)
        draw_bar(list, t, r, (Rect){rect.x + PAD_PX, rect.y + rect.h - 12.0, rect.w - 2.0 * PAD_PX, BAR_PX});
}
