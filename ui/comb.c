/* Aortic valve, beat by beat. */
#include "ui/comb.h"

#include "ui/heart_parts.h"
#include "ui/theme.h"

#include <math.h>
#include <stdio.h>

static const double FULL_S = 0.30; /* opening time that fills the row: ejection of a native heart */
static const double HEADING_PX = 26.0, FOOT_PX = 20.0, FOOT_FROM_PX = 84.0;
static const double RING_PX = 4.6;

void ui_comb_draw(DrawList *list, Rect rect, const HeartView *view) {
    if (!view->shown) return;
    const Theme *theme = ui_draw_theme(list);
    int beats = view->beats < 0 ? 0 : view->beats > HEART_BEATS ? HEART_BEATS : view->beats, opened = 0;
    for (int i = 0; i < beats; i++)
        opened += view->aortic_open_s[i] > 0.0;
    char text[32];
    if (beats > 0)
        snprintf(text, sizeof text, "%d of %d open", opened, beats);
    else
        snprintf(text, sizeof text, "no beats");
    double count_px = ui_draw_text_width(list, FACE_DIGITS, TYPE_NOTE, text);
    ui_heart_heading(list, rect.x, rect.y + 16.0, rect.w - count_px - 12.0, "Aortic valve, each beat",
                     "Aortic valve");
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, theme->text1, rect.x + rect.w, rect.y + 16.0,
                 text);

    bool foot = rect.h >= FOOT_FROM_PX;
    double base = rect.y + rect.h - (foot ? FOOT_PX : 2.0), full = base - rect.y - HEADING_PX;
    double column = rect.w / HEART_BEATS, bar = fmin(0.46 * column, 14.0);
    for (int k = 0; k < HEART_BEATS; k++) {
        double x = rect.x + (k + 0.5) * column;
        int beat = k - (HEART_BEATS - beats);
        ui_draw_rect(list, (Rect){x - 0.36 * column, base, 0.72 * column, 1.5}, 0.0, theme->edge);
        if (beat < 0) continue;
        double open_s = view->aortic_open_s[beat];
        if (open_s > 0.0) {
            double h = fmax(full * fmin(open_s / FULL_S, 1.0), 5.0);
            ui_draw_rect(list, (Rect){x - 0.5 * bar, base - h, bar, h}, 2.0, theme->side[SIDE_LEFT]);
        } else {
            ui_draw_ring(list, x, base - RING_PX - 3.0, RING_PX, ui_draw_solid(theme->text2, 1.8));
        }
    }
    if (!foot) return;
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text3, rect.x, rect.y + rect.h - 2.0,
                 "older");
    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, theme->text3, rect.x + rect.w,
                 rect.y + rect.h - 2.0, "now");
}
