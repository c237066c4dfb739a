/* The heart panel: the picture at the left, and beside it the gauges that carry its values. */
#include "ui/bedside.h"
#include "ui/capsules.h"
#include "ui/comb.h"
#include "ui/flow_loop.h"
#include "ui/heart.h"
#include "ui/look.h"
#include "ui/septum_ruler.h"
#include "ui/sheet.h"

#include <math.h>

enum { ID_HEART = 50 };

#define LOOP_FROM_PX 376.0 /* from this height of the panel on there is room for the flow loop */
#define GAUGE_GAP_PX 8.0
#define RULER_PX     68.0
#define LOOK_W_PX    76.0
#define LOOK_H_PX    28.0
#define COMB_PX      62.0
#define LOOP_PX      180.0 /* the least with its leaks */

static void draw_gauges(Ui *ui, Rect rect, const HeartView *heart) {
    bool loop = rect.h >= LOOP_FROM_PX;
    double ruler = RULER_PX, comb = COMB_PX, rest = rect.h - ruler - comb - (loop ? 3.0 : 2.0) * GAUGE_GAP_PX;
    double capsules = loop ? fmax(floor(0.48 * rest), 130.0) : rest;
    Rect top = ui_rect_cut_top(&rect, capsules);
    ui_capsules_draw(ui->list, top, heart);
    (void)ui_rect_cut_top(&rect, GAUGE_GAP_PX);
    ui_septum_ruler_draw(ui->list, ui_rect_cut_top(&rect, ruler), heart);
    (void)ui_rect_cut_top(&rect, GAUGE_GAP_PX);
    ui_comb_draw(ui->list, ui_rect_cut_top(&rect, comb), heart);
    (void)ui_rect_cut_top(&rect, GAUGE_GAP_PX);
    if (loop) ui_flow_loop_draw(ui->list, rect, heart);
}

/* Why there is no picture, and how to come by one. */
static void draw_absence(Ui *ui, Rect rect, const HeartView *heart) {
    char words[TEXT_LINE], detail[TEXT_LINE];
    ui_look_words(heart, words, detail);
    int lines = ui_draw_text_wrap(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ui->theme->text1, rect.x,
                                  rect.y + 20.0, rect.w, 24.0, 3, words);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, ui->theme->text2, rect.x,
                            rect.y + 24.0 + 24.0 * lines, rect.w, 22.0, 4, detail);
}

/* What shows that the panel opens the look, at its bottom left. */
static void draw_look(Ui *ui, Rect panel) {
    ui_bedside_tool_face(ui, SHEET_LOOK,
                         (Rect){panel.x + 10.0, panel.y + panel.h - LOOK_H_PX - 8.0, LOOK_W_PX, LOOK_H_PX});
}

/* Compact: the picture, the volumes and the rest beside each other. */
static void draw_compact(Ui *ui, Rect rect, const HeartView *heart) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_HEART, rect);
    ui_draw_rect(ui->list, rect, 0.0, t->window);
    ui_draw_rect(ui->list, rect, PANEL_RADIUS, t->panel);
    Rect inner = ui_rect_inset(rect, 10.0, 6.0);
    if (!heart->shown) {
        draw_absence(ui, inner, heart);
        draw_look(ui, rect);
        return;
    }
    Rect picture = ui_rect_cut_left(&inner, fmin(floor(0.32 * inner.w), 1.05 * inner.h));
    ui_heart_draw(ui->list, picture, heart);
    (void)ui_rect_cut_left(&inner, 16.0);
    bool loop = inner.h >= RULER_PX + COMB_PX + LOOP_PX;
    Rect volumes = ui_rect_cut_left(&inner, floor(0.52 * inner.w));
    (void)ui_rect_cut_left(&inner, 20.0);
    ui_capsules_draw(ui->list, volumes, heart);
    ui_septum_ruler_draw(ui->list, ui_rect_cut_top(&inner, RULER_PX), heart);
    (void)ui_rect_cut_top(&inner, GAUGE_GAP_PX);
    ui_comb_draw(ui->list, ui_rect_cut_top(&inner, fmin(inner.h, COMB_PX)), heart);
    (void)ui_rect_cut_top(&inner, GAUGE_GAP_PX);
    if (loop) ui_flow_loop_draw(ui->list, inner, heart);
    draw_look(ui, rect);
}

/* The whole panel opens the look. */
static void open_area(Ui *ui, Rect rect, Intents *intents) {
    if (ui_widgets_area(ui, ID_HEART, rect)) ui_intents_add(intents, INTENT_SHEET, SHEET_LOOK, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "look at the heart", false);
}

void ui_bedside_heart(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    open_area(ui, l->heart, intents);
    if (l->compact) {
        draw_compact(ui, l->heart, &v->heart);
        ui_widgets_focus_ring(ui, ID_HEART, ui_rect_inset(l->heart, 5.0, 5.0), PANEL_RADIUS);
        return;
    }
    /* picture and gauges side by side: two regions, because the picture moves and the gauges mostly stand */
    double left = floor((l->wide ? 0.5 : 0.48) * l->heart.w);
    Rect picture = {l->heart.x, l->heart.y, left, l->heart.h};
    Rect gauges = {l->heart.x + left, l->heart.y, l->heart.w - left, l->heart.h};
    ui_draw_region(ui->list, REGION_HEART, picture);
    ui_draw_rect(ui->list, picture, 0.0, t->window);
    ui_draw_rect(ui->list, (Rect){picture.x + 40.0, picture.y, picture.w - 40.0, picture.h}, 0.0, t->panel);
    Rect inner = ui_widgets_panel(ui, picture, "Heart now", NULL);
    if (v->heart.shown) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, picture.x + 124.0,
                     picture.y + 30.0, l->wide ? "dashed: reference" : "dashed: ref.");
        ui_heart_draw(ui->list, inner, &v->heart);
    } else {
        draw_absence(ui, inner, &v->heart);
    }
    draw_look(ui, picture);
    ui_widgets_focus_ring(ui, ID_HEART, ui_rect_inset(picture, 5.0, 5.0), PANEL_RADIUS);
    ui_draw_region(ui->list, REGION_GAUGES, gauges);
    ui_draw_rect(ui->list, gauges, 0.0, t->window);
    ui_draw_rect(ui->list, gauges, PANEL_RADIUS, t->panel);
    ui_draw_rect(ui->list, (Rect){gauges.x, gauges.y, 40.0, gauges.h}, 0.0, t->panel);
    if (v->heart.shown)
        draw_gauges(ui, (Rect){gauges.x + 8.0, gauges.y + 12.0, gauges.w - PANEL_PAD - 8.0, gauges.h - 20.0},
                    &v->heart);
}
