/* Where everything is on the bedside screen: a wide and a narrow arrangement of the same parts. */
#include "ui/bedside.h"

#include <math.h>

#define WIDE_FROM_WIDTH  1560.0
#define FOOT_FROM_HEIGHT 760.0 /* below, the lanes need the room of the legend */
#define WIDE_FROM_HEIGHT 880.0

static double clamp(double value, double low, double high) {
    return fmin(fmax(value, low), high);
}

static double grid(double value) {
    return SPACE * floor(value / SPACE);
}

/* Splits the lanes' panel into rows: label, trace and tile. */
static void layout_lanes(BedsideLayout *l, int lanes) {
    double foot = l->wide ? 30.0 : l->screen.h < FOOT_FROM_HEIGHT ? 0.0 : 24.0;
    Rect area = l->lanes;
    l->foot = ui_rect_cut_bottom(&area, foot);
    double row = floor(area.h / fmax(lanes, 1)), tile = grid(clamp(0.235 * area.w, 208.0, 320.0));
    double label = 116.0;
    for (int i = 0; i < lanes; i++) {
        Rect r = {area.x, area.y + i * row, area.w, row};
        l->tile[i] = ui_rect_inset((Rect){r.x + r.w - tile - 8.0, r.y, tile, r.h}, 0.0, 3.0);
        l->lane[i] = (Rect){r.x, r.y, r.w - tile - 12.0, r.h};
        l->trace[i] = (Rect){r.x + label, r.y + 8.0, l->lane[i].w - label - 12.0, r.h - 16.0};
    }
}

BedsideLayout ui_bedside_layout(double width_px, double height_px, int lanes) {
    double w = fmax(width_px, UI_BEDSIDE_LEAST_WIDTH), h = fmax(height_px, UI_BEDSIDE_LEAST_HEIGHT);
    BedsideLayout l = {.wide = w >= WIDE_FROM_WIDTH && h >= WIDE_FROM_HEIGHT, .screen = {0.0, 0.0, w, h}};
    double margin = l.wide ? 16.0 : 8.0, gap = l.wide ? PANEL_GAP : 8.0;
    Rect rest = l.screen;
    l.top = ui_rect_cut_top(&rest, l.wide ? 68.0 : 56.0);
    rest = ui_rect_inset(rest, margin, 0.0);
    (void)ui_rect_cut_top(&rest, l.wide ? 12.0 : 6.0);
    (void)ui_rect_cut_bottom(&rest, margin);
    Rect side = ui_rect_cut_right(&rest, grid(clamp((l.wide ? 0.3625 : 0.39) * w, 400.0, 1000.0)));
    (void)ui_rect_cut_right(&rest, gap);
    double deck_h = grid(clamp(0.30 * h, 212.0, 480.0));

    Rect bottom = ui_rect_cut_bottom(&rest, deck_h);
    (void)ui_rect_cut_bottom(&rest, gap);
    l.lanes = rest;
    l.keys = ui_rect_cut_left(&bottom, l.wide ? 184.0 : 142.0);
    (void)ui_rect_cut_left(&bottom, gap);
    l.deck = bottom;
    double row = l.wide ? 54.0 : 42.0; /* a row of orders */
    l.deck_rows = (int)fmax(floor((l.deck.h - 52.0) / row), 1.0);

    double labs = l.wide ? 112.0 : 96.0;
    l.pump = ui_rect_cut_top(&side, l.wide ? 160.0 : 108.0);
    (void)ui_rect_cut_top(&side, gap);
    Rect words =
        ui_rect_cut_bottom(&side, l.wide ? deck_h - labs - gap : grid(clamp(0.17 * h, 104.0, 160.0)));
    (void)ui_rect_cut_bottom(&side, gap);
    l.labs = ui_rect_cut_bottom(&side, labs);
    (void)ui_rect_cut_bottom(&side, gap);
    l.heart = side;
    if (l.wide) {
        l.actions = ui_rect_cut_right(&words, grid(0.41 * words.w));
        (void)ui_rect_cut_right(&words, gap);
    }
    l.messages = words;
    layout_lanes(&l, lanes);
    return l;
}
