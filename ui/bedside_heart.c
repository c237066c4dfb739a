/* The heart panel: the picture at the left, and beside it the gauges that carry its values. */
#include "ui/bedside.h"
#include "ui/capsules.h"
#include "ui/comb.h"
#include "ui/flow_loop.h"
#include "ui/heart.h"
#include "ui/look.h"
#include "ui/septum_ruler.h"
#include "ui/sheet.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>

enum { ID_HEART = 50 };

#define LOOP_FROM_PX  376.0 /* from this height of the panel on there is room for the flow loop */
#define GAUGE_GAP_PX  8.0
#define RULER_PX      68.0
#define PALE          0.45 /* of the ground over a picture that is not of now */
#define PAST_HEAD_PX  24.0 /* compact: the words above it */
#define REASON_PX     46.0 /* two lines under such a picture */
#define LOOK_W_PX     76.0
#define LOOK_LOW_W_PX 46.0
#define LOW_PANEL_PX  200.0 /* in a lower one the picture needs the room of the key's letter */
#define LOOK_H_PX     28.0
#define COMB_PX       62.0
#define LOOP_PX       180.0 /* the least with its leaks */

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
    double w = panel.h < LOW_PANEL_PX ? LOOK_LOW_W_PX : LOOK_W_PX;
    ui_bedside_tool_face(ui, SHEET_LOOK,
                         (Rect){panel.x + 8.0, panel.y + panel.h - LOOK_H_PX - 8.0, w, LOOK_H_PX});
}

/* The picture had last, as if it were on show. */
static HeartView last_picture(const HeartView *heart) {
    HeartView last = *heart;
    last.shown = last.frozen = true;
    return last;
}

/* It is not of now: pale, under words that say so. */
static void draw_pale(Ui *ui, Rect rect, const HeartView *heart) {
    HeartView last = last_picture(heart);
    ui_heart_draw(ui->list, rect, &last);
    ui_draw_rect(ui->list, rect, 0.0, ui_colour_alpha(ui->theme->panel, PALE));
}

/* "as of 00:33" */
static void as_of(const HeartView *heart, const char *before, const char *after, char text[TEXT_LINE]) {
    char when[TEXT_SHORT];
    ui_tiles_clock(when, sizeof when, heart->past_s, false);
    snprintf(text, TEXT_LINE, "%sas of %s%s", before, when, after);
}

/* Why there is no picture of now, in a line or two. */
static void absence_line(const HeartView *heart, char text[TEXT_LONG]) {
    char words[TEXT_LINE], detail[TEXT_LINE];
    ui_look_words(heart, words, detail);
    bool wait = heart->absence == HEART_COMING || heart->absence == HEART_RESTING;
    snprintf(text, TEXT_LONG, "%.90s%s%.90s", words, wait ? ", " : "", wait ? detail : "");
}

/* The last picture in the place of the one there is not, with the reason under it. */
static void draw_past(Ui *ui, Rect rect, const HeartView *heart) {
    char text[TEXT_LONG];
    Rect words = ui_rect_cut_bottom(&rect, REASON_PX + LOOK_H_PX + 8.0);
    draw_pale(ui, rect, heart);
    absence_line(heart, text);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, ui->theme->text1, words.x, words.y + 20.0,
                            words.w, 20.0, 2, text);
}

/* Compact: the picture, the volumes and the rest beside each other. */
static void draw_compact(Ui *ui, Rect rect, const HeartView *heart) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_HEART, rect);
    ui_draw_rect(ui->list, rect, 0.0, t->window);
    ui_draw_rect(ui->list, rect, PANEL_RADIUS, t->panel);
    Rect inner = ui_rect_inset(rect, 10.0, 6.0);
    if (!heart->shown && !heart->past) {
        draw_absence(ui, inner, heart);
        draw_look(ui, rect);
        return;
    }
    HeartView last;
    if (!heart->shown) {
        char when[TEXT_LINE], reason[TEXT_LONG], text[TEXT_LONG];
        as_of(heart, "Heart ", ", not now", when);
        absence_line(heart, reason);
        snprintf(text, sizeof text, "%.90s. %.200s", when, reason);
        Rect head = ui_rect_cut_top(&inner, PAST_HEAD_PX);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, head.x, head.y + 16.0,
                         head.w, text);
        last = last_picture(heart);
    }
    bool past = !heart->shown;
    Rect picture = ui_rect_cut_left(&inner, fmin(floor(0.32 * inner.w), 1.05 * inner.h));
    if (past) {
        draw_pale(ui, picture, heart);
        heart = &last;
    } else
        ui_heart_draw(ui->list, picture, heart);
    (void)ui_rect_cut_left(&inner, 16.0);
    bool loop = inner.h >= RULER_PX + COMB_PX + LOOP_PX;
    Rect volumes = ui_rect_cut_left(&inner, floor(0.52 * inner.w));
    (void)ui_rect_cut_left(&inner, 20.0);
    ui_capsules_draw(ui->list, volumes, heart);
    ui_septum_ruler_draw(ui->list, ui_rect_cut_top(&inner, RULER_PX), heart);
    (void)ui_rect_cut_top(&inner, GAUGE_GAP_PX);
    if (inner.h >= COMB_PX) ui_comb_draw(ui->list, ui_rect_cut_top(&inner, COMB_PX), heart);
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
    bool past = !v->heart.shown && v->heart.past;
    char title[TEXT_LINE] = "Heart now";
    if (past) as_of(&v->heart, "Heart ", "", title);
    Rect inner = ui_widgets_panel(ui, picture, title, NULL);
    if (v->heart.shown) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, picture.x + 124.0,
                     picture.y + 30.0, l->wide ? "dashed: reference" : "dashed: ref.");
        ui_heart_draw(ui->list, inner, &v->heart);
    } else if (past) {
        draw_past(ui, inner, &v->heart);
    } else {
        draw_absence(ui, inner, &v->heart);
    }
    draw_look(ui, picture);
    ui_widgets_focus_ring(ui, ID_HEART, ui_rect_inset(picture, 5.0, 5.0), PANEL_RADIUS);
    ui_draw_region(ui->list, REGION_GAUGES, gauges);
    ui_draw_rect(ui->list, gauges, 0.0, t->window);
    ui_draw_rect(ui->list, gauges, PANEL_RADIUS, t->panel);
    ui_draw_rect(ui->list, (Rect){gauges.x, gauges.y, 40.0, gauges.h}, 0.0, t->panel);
    Rect room = {gauges.x + 8.0, gauges.y + 12.0, gauges.w - PANEL_PAD - 8.0, gauges.h - 20.0};
    if (v->heart.shown) {
        draw_gauges(ui, room, &v->heart);
    } else if (past) {
        char text[TEXT_LINE];
        HeartView last = last_picture(&v->heart);
        as_of(&v->heart, "", ", not now", text);
        Rect head = ui_rect_cut_top(&room, PAST_HEAD_PX);
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, head.x, head.y + 16.0,
                         head.w, text);
        draw_gauges(ui, room, &last);
    }
}
