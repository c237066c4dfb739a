/* The look: tabs and clock above the picture, tools below it. */
#include "ui/alarm_strip.h"
#include "ui/look_parts.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>

enum {
    ID_TAB = 3001,
    ID_PAUSE = 3020,
    ID_FREEZE,
    ID_BACK,
    ID_ON,
    ID_OUTLINE,
    ID_PLAIN,
    ID_MEASURE,
    ID_CLOSE
};

static const double COLUMN_SHARE = 0.305, COLUMN_MIN_PX = 384.0, COLUMN_MAX_PX = 580.0;
static const double COMPACT_WIDTH_PX = 1120.0, COMPACT_HEIGHT_PX = 640.0;
static const double TINY_WIDTH_PX = 800.0, ALARMS_PX = 250.0; /* least width of the alarm strip in the bar */
static const double CAP_GAP_PX = 8.0, TAB_PAD_PX = 11.0;

LookLayout ui_look_layout(Rect screen, const LookSheet *sheet) {
    LookLayout l = {.screen = screen};
    l.compact = screen.w < COMPACT_WIDTH_PX || screen.h < COMPACT_HEIGHT_PX;
    l.tiny = screen.w < TINY_WIDTH_PX;
    double gap = l.compact ? 6.0 : PANEL_GAP;
    Rect rest = screen;
    l.bar = ui_rect_cut_top(&rest, l.compact ? 46.0 : 60.0);
    rest = (Rect){rest.x + gap, rest.y, rest.w - 2.0 * gap, rest.h - gap};
    Rect column = {0};
    if (!l.compact) {
        column = ui_rect_cut_right(&rest, fmin(fmax(COLUMN_SHARE * screen.w, COLUMN_MIN_PX), COLUMN_MAX_PX));
        (void)ui_rect_cut_right(&rest, gap);
    }
    l.tools = ui_rect_cut_bottom(&rest, l.compact ? 40.0 : 52.0);
    (void)ui_rect_cut_bottom(&rest, l.compact ? 4.0 : 8.0);
    l.body = rest;
    bool grid = l.compact && sheet->gauges;
    if (grid) {
        column = rest;
        l.picture = l.strip = (Rect){0};
        Rect left = ui_rect_cut_left(&column, 0.5 * (column.w - gap));
        (void)ui_rect_cut_left(&column, gap);
        l.volumes = ui_rect_cut_top(&left, left.h - 108.0 - gap);
        (void)ui_rect_cut_top(&left, gap);
        l.septum = left;
        l.comb = ui_rect_cut_top(&column, 120.0);
        (void)ui_rect_cut_top(&column, gap);
        l.flows = column;
        return l;
    }
    l.strip = ui_rect_cut_bottom(&rest, ui_look_strip_px(sheet->page, l.compact, l.tiny));
    (void)ui_rect_cut_bottom(&rest, gap);
    l.picture = rest;
    if (l.compact) return l;
    double spare = fmax(column.h - 700.0, 0.0);
    l.volumes = ui_rect_cut_top(&column, 196.0 + 0.42 * spare);
    (void)ui_rect_cut_top(&column, gap);
    l.septum = ui_rect_cut_top(&column, 92.0);
    (void)ui_rect_cut_top(&column, gap);
    l.comb = ui_rect_cut_top(&column, 116.0 + 0.20 * spare);
    (void)ui_rect_cut_top(&column, gap);
    l.flows = column;
    return l;
}

static double tab_width(const DrawList *list, const char *label) {
    return 2.0 * TAB_PAD_PX + 27.0 + CAP_GAP_PX +
           ui_draw_text_width(list, FACE_WORDS_STRONG, TYPE_BODY, label);
}

/* A tab: key, name, and a line under the one that is open. */
static bool tab(Ui *ui, int id, Rect rect, const char *key, const char *label, const char *name, bool open) {
    const Theme *t = ui->theme;
    bool hit = ui_widgets_area(ui, id, rect);
    ui_widgets_tell(ui, UI_ROLE_TAB, name, open);
    if (open)
        ui_draw_rect(ui->list, rect, 6.0, t->raised);
    else if (ui_widgets_hovered(ui, rect))
        ui_draw_rect(ui->list, rect, 6.0, t->panel);
    double x = rect.x + TAB_PAD_PX, mid = rect.y + 0.5 * rect.h;
    x += ui_widgets_keycap(ui, x, mid - 13.5, key) + CAP_GAP_PX;
    if (label[0] != '\0')
        ui_draw_text_fit(ui->list, open ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY, ALIGN_LEFT,
                         open ? t->text1 : t->text2, x, mid + 6.0, rect.x + rect.w - x - 4.0, label);
    if (open)
        ui_draw_rect(ui->list, (Rect){rect.x + 6.0, rect.y + rect.h - 3.0, rect.w - 12.0, 3.0}, 1.5,
                     t->text1);
    ui_widgets_focus_ring(ui, id, rect, 6.0);
    return hit;
}

/* Returns the x after the tabs. */
static double draw_tabs(Ui *ui, const LookLayout *l, const LookSheet *sheet, double x, double right,
                        bool brief, Intents *intents) {
    static const char *const LONG[] = {"Four chambers", "Short axis", "Aortic valve",
                                       "Pericardium",   "Inflow",     "Gauges"};
    static const char *const BRIEF[] = {"Four", "Short", "Valve", "Sac", "Inflow", "Gauges"};
    static const char *const KEY[] = {"1", "2", "3", "4", "5", "6"};
    int count = l->compact ? LOOK_PAGES + 1 : LOOK_PAGES;
    double full = 0.0;
    for (int i = 0; i < count; i++)
        full += tab_width(ui->list, LONG[i]) + 4.0;
    const char *const *name = x + full <= right && !brief ? LONG : BRIEF;
    for (int i = 0; i < count; i++) {
        double w = l->tiny ? 44.0 : tab_width(ui->list, name[i]);
        bool gauges = l->compact && sheet->gauges;
        bool open = i == LOOK_PAGES ? gauges : !gauges && sheet->page == (LookPage)i;
        double inset = l->compact ? 4.0 : 10.0;
        Rect rect = {x, l->bar.y + inset, fmin(w, fmax(right - x, 36.0)), l->bar.h - 2.0 * inset};
        if (tab(ui, ID_TAB + i, rect, KEY[i], l->tiny ? "" : name[i], LONG[i], open))
            ui_intents_add(intents, INTENT_PART, LOOK_PART_PAGE, i, false);
        x += w + 4.0;
    }
    return x;
}

void ui_look_alarms(Ui *ui, const LookLayout *l, const LookSheet *sheet, Intents *intents) {
    if (!l->compact || sheet->bedside.alarms.count == 0) return;
    Rect under = l->picture.h > 0.0 ? l->picture : l->volumes;
    Rect rect = {under.x + 6.0, under.y + under.h - 50.0, fmin(under.w - 12.0, 420.0), 44.0};
    ui_alarm_strip_draw(ui, &sheet->bedside, rect, intents);
}

void ui_look_bar(Ui *ui, const LookLayout *l, const LookSheet *sheet, Intents *intents) {
    const Theme *t = ui->theme;
    DrawList *list = ui->list;
    ui_draw_rect(list, l->bar, 0.0, t->window);
    double mid = l->bar.y + 0.5 * l->bar.h, right = l->bar.x + l->bar.w - (l->compact ? 8.0 : 14.0);
    char text[TEXT_SHORT];
    /* from the right: the caution, the clock, the pause */
    double box_w = l->tiny      ? 100.0
                   : l->compact ? 144.0
                                : 158.0,
           box_h = l->bar.h - (l->compact ? 10.0 : 16.0);
    Rect box = {right - box_w, mid - 0.5 * box_h, box_w, box_h};
    ui_draw_frame(list, box, 8.0, ui_draw_solid(t->text2, 1.5));
    ui_draw_text_fit(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, box.x + 0.5 * box_w,
                     l->compact ? mid + 6.0 : mid - 3.0, box_w - 10.0,
                     l->tiny ? "TRAINING" : "TRAINING ONLY");
    if (!l->compact)
        ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text2, box.x + 0.5 * box_w, mid + 17.0,
                         box_w - 10.0, "schematic only");
    right = box.x - (l->compact ? 8.0 : 16.0);
    double size = l->compact ? TYPE_TITLE : 26.0;
    ui_tiles_clock(text, sizeof text, sheet->time_s, true);
    ui_draw_text(list, FACE_DIGITS_STRONG, size, ALIGN_RIGHT, t->text1, right, mid + 0.36 * size, text);
    right -= ui_draw_text_width(list, FACE_DIGITS_STRONG, size, "00:00:00") + 10.0;
    double button = l->compact ? 34.0 : TARGET_MAIN;
    Rect pause = {right - button, mid - 0.5 * button, button, button};
    if (ui_widgets_sign_button(ui, ID_PAUSE, pause, sheet->paused ? '>' : '|',
                               sheet->paused ? BUTTON_CHOSEN : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    if (sheet->paused || sheet->time_rate > 1.5) {
        if (sheet->paused)
            snprintf(text, sizeof text, "paused");
        else
            snprintf(text, sizeof text, "\u00d7%.0f", sheet->time_rate);
        double w = ui_draw_text_width(list, FACE_WORDS, TYPE_NOTE, text) + 8.0;
        if (!l->tiny)
            ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text1, pause.x - 8.0, mid + 6.0, text);
        pause.x -= l->tiny ? 0.0 : w;
    }
    double x = l->bar.x + (l->compact ? 8.0 : 18.0);
    bool alarms = sheet->bedside.alarms.count > 0;
    if (l->bar.w >= (alarms ? 1500.0 : 1240.0)) {
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, x, mid + 7.0, "Look");
        x += 66.0;
    }
    x = draw_tabs(ui, l, sheet, x, pause.x - 6.0, alarms && pause.x - x < 900.0, intents);
    Rect strip = {x + 8.0, mid - 22.0, fmin(pause.x - x - 18.0, 460.0), 44.0};
    if (alarms && strip.w >= ALARMS_PX) ui_alarm_strip_draw(ui, &sheet->bedside, strip, intents);
}

/* A tool: key and word, filled while it is on. Returns the x after it. */
static double tool(Ui *ui, int id, double x, const LookLayout *l, const char *key, const char *label, bool on,
                   LookPart part, Intents *intents) {
    const Theme *t = ui->theme;
    const char *name = label;
    double h = l->compact ? 36.0 : TARGET_MAIN,
           cap = 12.0 + ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, key);
    if (cap < 27.0) cap = 27.0;
    double w = cap + ui_draw_text_width(ui->list, FACE_WORDS, TYPE_BODY, label) + (l->compact ? 22.0 : 26.0);
    if (l->tiny && part != LOOK_PART_FREEZE && part != LOOK_PART_PAGE) w = cap + 14.0, label = "";
    Rect rect = {x, l->tools.y + 0.5 * (l->tools.h - h), w, h};
    if (ui_widgets_area(ui, id, rect)) {
        if (part == LOOK_PART_PAGE)
            ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
        else
            ui_intents_add(intents, INTENT_PART, part, 0.0, part == LOOK_PART_MEASURE && on);
    }
    ui_widgets_tell(ui, UI_ROLE_BUTTON, name, on);
    Colour face = on ? t->text1 : t->raised, ink = on ? t->ink : t->text1;
    if (ui_widgets_hovered(ui, rect)) face = ui_colour_mix(face, t->edge, 0.2);
    ui_draw_rect(ui->list, rect, 6.0, face);
    ui_draw_frame(ui->list, rect, 6.0, ui_draw_solid(t->edge, 1.0));
    double inset = l->compact ? 6.0 : 8.0, mid = rect.y + 0.5 * h;
    double used = ui_widgets_keycap(ui, x + inset, mid - 13.5, key);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, ink, x + inset + used + 8.0, mid + 6.0, label);
    ui_widgets_focus_ring(ui, id, rect, 6.0);
    return x + w + (l->compact ? 6.0 : 8.0);
}

/* Steps through the last beats, and how far back the picture stands. */
static double draw_steps(Ui *ui, const LookLayout *l, const LookSheet *sheet, double x, Intents *intents) {
    double h = l->compact ? 36.0 : TARGET_MAIN, y = l->tools.y + 0.5 * (l->tools.h - h);
    if (ui_widgets_sign_button(ui, ID_BACK, (Rect){x, y, h, h}, '<', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, LOOK_PART_STEP, -1.0, false);
    x += h + 6.0;
    if (ui_widgets_sign_button(ui, ID_ON, (Rect){x, y, h, h}, 'F', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, LOOK_PART_STEP, 1.0, false);
    x += h + 10.0;
    char text[TEXT_SHORT];
    double back_s = (double)(sheet->loop.end - 1 - sheet->at) * HEART_MOMENT_MS / 1000.0;
    snprintf(text, sizeof text, "%s%.2f s", back_s > 0.001 ? "\u2212" : "", back_s);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text1, x, y + 0.5 * h + 6.0, text);
    return x + 74.0;
}

void ui_look_tools(Ui *ui, const LookLayout *l, const LookSheet *sheet, Intents *intents) {
    const Theme *t = ui->theme;
    ui_draw_rect(ui->list, l->tools, 0.0, t->window);
    double x = l->tools.x;
    x = tool(ui, ID_FREEZE, x, l, "Space", sheet->frozen ? "Frozen" : "Freeze", sheet->frozen,
             LOOK_PART_FREEZE, intents);
    if (sheet->frozen) x = draw_steps(ui, l, sheet, x, intents);
    x = tool(ui, ID_OUTLINE, x, l, "R", "Reference", sheet->outline, LOOK_PART_OUTLINE, intents);
    x = tool(ui, ID_PLAIN, x, l, "D", "Diagram", sheet->plain, LOOK_PART_PLAIN, intents);
    x = tool(ui, ID_MEASURE, x, l, "M", "Measure", sheet->measuring, LOOK_PART_MEASURE, intents);
    x = tool(ui, ID_CLOSE, x, l, "Esc", "Close", false, LOOK_PART_PAGE, intents);
    double right = l->tools.x + l->tools.w - 4.0, mid = l->tools.y + 0.5 * l->tools.h + 6.0;
    char text[TEXT_LINE];
    if (isfinite(sheet->left_s)) {
        snprintf(text, sizeof text, "look ends in %d:%02d", (int)(sheet->left_s / 60.0),
                 (int)fmod(sheet->left_s, 60.0));
        double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, text);
        if (right - w > x)
            ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text1, right, mid, text);
    }
}
