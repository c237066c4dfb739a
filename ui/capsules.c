/* Volume per beat of the four chambers on one common scale. */
#include "ui/capsules.h"

#include "ui/heart_parts.h"
#include "ui/theme.h"

#include <math.h>
#include <stdio.h>

static const double SCALE_TOP =
    2.0; /* of the reference; a larger volume stands at the top with an open end */
static const double HEADING_PX = 26.0, FOOT_PX = 42.0;
static const double TRACK_PX = 26.0;

static double clamp(double value, double low, double high) {
    return fmin(fmax(value, low), high);
}

/* Height of a share of the reference on a track. */
static double level(Rect track, double share) {
    return track.y + track.h * (1.0 - clamp(share, 0.0, SCALE_TOP) / SCALE_TOP);
}

static void draw_bracket(DrawList *list, Rect track, double low, double high, const Theme *theme) {
    double x = track.x - 10.0, y0 = level(track, high), y1 = level(track, low);
    ui_draw_path(list);
    ui_draw_move(list, x + 6.0, y0);
    ui_draw_to(list, x, y0);
    ui_draw_to(list, x, y1);
    ui_draw_to(list, x + 6.0, y1);
    StrokeStyle style = ui_draw_solid(theme->text1, 1.8);
    style.flat = true;
    ui_draw_stroke(list, style);
}

static void draw_pointer(DrawList *list, double x, double y, const Theme *theme) {
    ui_draw_path(list);
    ui_draw_move(list, x, y);
    ui_draw_to(list, x + 10.0, y - 6.0);
    ui_draw_to(list, x + 10.0, y + 6.0);
    ui_draw_close(list);
    ui_draw_fill(list, theme->text1);
}

static void draw_capsule(DrawList *list, Rect track, const HeartChamber *chamber, Colour colour,
                         const Theme *theme) {
    double low = chamber->beat_min_ml / chamber->reference_ml,
           high = chamber->beat_max_ml / chamber->reference_ml;
    ui_draw_rect(list, track, 0.5 * track.w, theme->raised);
    if (!isfinite(low) || !isfinite(high)) return;
    double y0 = level(track, high), y1 = fmax(level(track, low), y0 + 4.0);
    if (y1 > track.y + track.h) y0 -= y1 - track.y - track.h, y1 = track.y + track.h;
    ui_draw_rect(list, (Rect){track.x, y0, track.w, y1 - y0}, fmin(4.0, 0.5 * (y1 - y0)), colour);
    double usual_low = chamber->usual_low_ml / chamber->reference_ml;
    double usual_high = chamber->usual_high_ml / chamber->reference_ml;
    if (!isfinite(usual_low) || !isfinite(usual_high)) return;
    draw_bracket(list, track, usual_low, usual_high, theme);
    if (high < usual_low || high > usual_high) draw_pointer(list, track.x + track.w + 5.0, y0, theme);
}

void ui_capsules_draw(DrawList *list, Rect rect, const HeartView *view) {
    static const char *const NAME[HEART_CHAMBER_COUNT] = {"LV", "RV", "LA", "RA"};
    static const HeartChamberId ORDER[HEART_CHAMBER_COUNT] = {HEART_LV, HEART_RV, HEART_RA, HEART_LA};
    if (!view->shown) return;
    const Theme *theme = ui_draw_theme(list);
    ui_heart_heading(list, rect.x, rect.y + 16.0, rect.w, "Volume per beat, % of reference",
                     "Volume, % of reference");
    double column = rect.w / HEART_CHAMBER_COUNT;
    Rect track = {0.0, rect.y + HEADING_PX, TRACK_PX, rect.h - HEADING_PX - FOOT_PX};
    for (int k = 0; k < HEART_CHAMBER_COUNT; k++) {
        HeartChamberId c = ORDER[k];
        bool left = c == HEART_LV || c == HEART_LA;
        double middle = rect.x + (k + 0.5) * column, percent;
        char text[16];
        track.x = middle - 0.5 * track.w;
        draw_capsule(list, track, &view->chamber[c], theme->side[left ? SIDE_LEFT : SIDE_RIGHT], theme);
        percent = 100.0 * view->chamber[c].beat_max_ml / view->chamber[c].reference_ml;
        if (isfinite(percent))
            snprintf(text, sizeof text, "%.0f %%", percent);
        else
            snprintf(text, sizeof text, "--");
        double y = rect.y + rect.h;
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, theme->text1, middle, y - 23.0,
                     NAME[c]);
        ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, theme->text2, middle, y - 4.0, text);
    }
    /* the reference itself: 100 % across all four */
    double y = level(track, 1.0);
    StrokeStyle style = ui_draw_dashed(ui_colour_alpha(theme->text1, 0.55), 1.2, 3.0, 5.0);
    style.flat = true;
    ui_draw_path(list);
    for (int k = 0; k < HEART_CHAMBER_COUNT; k++) {
        double middle = rect.x + (k + 0.5) * column;
        ui_draw_move(list, middle - 0.5 * TRACK_PX, y);
        ui_draw_to(list, middle + 0.5 * TRACK_PX, y);
    }
    ui_draw_stroke(list, style);
}
