/* Where everything is on the bedside screen: a wide, a narrow and a compact arrangement of the same parts. */
#include "ui/bedside.h"

#include <math.h>

#define WIDE_FROM_WIDTH  1560.0
#define WIDE_FROM_HEIGHT 880.0
#define FOOT_FROM_HEIGHT 760.0 /* below, the lanes need the room of the legend */

#define DECK_HEAD_PX         46.0
#define COMPACT_DECK_HEAD_PX 40.0
#define COMPACT_BAR_PX       44.0 /* clock and time controls */
#define COMPACT_STRIP_PX     36.0 /* what to look at */
#define COMPACT_TABS_PX      34.0
#define COMPACT_GAP_PX       4.0
#define COMPACT_LANE_PX      54.0 /* the least */
#define COMPACT_LANES_SHARE  0.42 /* of what lanes and panel share */

enum { COMPACT_LANES_LEAST = 2 };

static double clamp(double value, double low, double high) {
    return fmin(fmax(value, low), high);
}

static double grid(double value) {
    return SPACE * floor(value / SPACE);
}

BedsideChoice ui_bedside_all(void) {
    BedsideChoice choice = {.panel = PANEL_NUMBERS};
    for (int i = 0; i < LANE_COUNT; i++)
        choice.lane[i] = true;
    return choice;
}

/* Marks the lanes on show: of those wanted, the `most` that matter first. Returns how many. */
static int pick_lanes(const BedsideChoice *choice, int most, bool shown[LANE_COUNT]) {
    static const LaneId MATTERS[LANE_COUNT] = {LANE_ARTERY, LANE_PUMP_FLOW, LANE_CVP,
                                               LANE_PA,     LANE_ECG,       LANE_AIRWAY};
    int count = 0;
    for (int i = 0; i < LANE_COUNT; i++)
        shown[i] = false;
    for (int i = 0; i < LANE_COUNT && count < most; i++) {
        shown[MATTERS[i]] = choice->lane[MATTERS[i]];
        count += choice->lane[MATTERS[i]];
    }
    if (count > 0) return count;
    shown[LANE_ARTERY] = true;
    return 1;
}

/* Splits the lanes' panel into rows: label, trace and tile. */
static void layout_lanes(BedsideLayout *l, const bool shown[LANE_COUNT], int count) {
    double foot = l->compact ? 0.0 : l->wide ? 30.0 : l->screen.h < FOOT_FROM_HEIGHT ? 0.0 : 24.0;
    Rect area = l->lanes;
    l->foot = ui_rect_cut_bottom(&area, foot);
    double row = floor(area.h / count), tile = grid(clamp(0.235 * area.w, 208.0, 320.0));
    double label = 116.0;
    l->first_lane = -1;
    for (int i = 0, at = 0; i < LANE_COUNT; i++) {
        if (!shown[i]) continue;
        if (l->first_lane < 0) l->first_lane = i;
        Rect r = {area.x, area.y + at++ * row, area.w, row};
        l->tile[i] = ui_rect_inset((Rect){r.x + r.w - tile - 8.0, r.y, tile, r.h}, 0.0, 3.0);
        l->lane[i] = (Rect){r.x, r.y, r.w - tile - 12.0, r.h};
        l->trace[i] = (Rect){r.x + label, r.y + 8.0, l->lane[i].w - label - 12.0, r.h - 16.0};
    }
}

/* Rows of orders that fit under the title line. */
static void layout_deck(BedsideLayout *l, double row_px) {
    l->deck_head = l->compact ? COMPACT_DECK_HEAD_PX : DECK_HEAD_PX;
    l->deck_rows = (int)fmax(floor((l->deck.h - l->deck_head - 6.0) / row_px), 1.0);
}

/* Bar, strip, lanes, tabs, and one panel. */
static BedsideLayout compact_layout(double w, double h, const BedsideChoice *choice) {
    BedsideLayout l = {.compact = true, .panel = choice->panel, .screen = {0.0, 0.0, w, h}};
    Rect rest = l.screen;
    l.top = ui_rect_cut_top(&rest, COMPACT_BAR_PX + COMPACT_STRIP_PX);
    Rect top = l.top;
    l.strip = ui_rect_inset(ui_rect_cut_bottom(&top, COMPACT_STRIP_PX), 6.0, 0.0);
    rest = ui_rect_inset(rest, 6.0, COMPACT_GAP_PX);
    double shared = rest.h - COMPACT_TABS_PX - 2.0 * COMPACT_GAP_PX;
    bool shown[LANE_COUNT];
    int room = (int)fmax(floor(COMPACT_LANES_SHARE * shared / COMPACT_LANE_PX), COMPACT_LANES_LEAST);
    int count = pick_lanes(choice, room, shown);
    double row = clamp(floor(COMPACT_LANES_SHARE * shared / count), COMPACT_LANE_PX, 90.0);
    l.lanes = ui_rect_cut_top(&rest, count * row);
    (void)ui_rect_cut_top(&rest, COMPACT_GAP_PX);
    l.tabs = ui_rect_cut_top(&rest, COMPACT_TABS_PX);
    (void)ui_rect_cut_top(&rest, COMPACT_GAP_PX + 2.0); /* panels paint a little around themselves */
    switch (choice->panel) {
    case PANEL_HEART:
        l.heart = rest;
        break;
    case PANEL_ORDERS:
        l.deck = rest;
        break;
    case PANEL_WORDS:
        l.actions = ui_rect_cut_right(&rest, grid(0.42 * rest.w));
        (void)ui_rect_cut_right(&rest, 2.0 * COMPACT_GAP_PX);
        l.messages = rest;
        break;
    default:
        l.numbers = rest;
        break;
    }
    layout_deck(&l, 36.0);
    layout_lanes(&l, shown, count);
    return l;
}

BedsideLayout ui_bedside_layout(double width_px, double height_px, const BedsideChoice *choice) {
    double w = fmax(width_px, UI_BEDSIDE_LEAST_WIDTH), h = fmax(height_px, UI_BEDSIDE_LEAST_HEIGHT);
    if (w < UI_BEDSIDE_FULL_WIDTH || h < UI_BEDSIDE_FULL_HEIGHT) return compact_layout(w, h, choice);
    BedsideLayout l = {.wide = w >= WIDE_FROM_WIDTH && h >= WIDE_FROM_HEIGHT,
                       .panel = choice->panel,
                       .screen = {0.0, 0.0, w, h}};
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
    layout_deck(&l, l.wide ? 54.0 : 42.0);

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
    bool shown[LANE_COUNT];
    int count = pick_lanes(choice, LANE_COUNT, shown);
    layout_lanes(&l, shown, count);
    return l;
}
