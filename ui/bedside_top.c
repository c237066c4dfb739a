/* The bar at the top: case, clock, time controls, the one thing to look at, and the caution. */
#include "ui/bedside.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>

enum { ID_SLOWER = 1, ID_PAUSE, ID_FASTER, ID_HELP };

/* Case and patient; returns the x after them. */
static double draw_case(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    double x = l->wide ? 20.0 : 12.0, w = l->wide ? 380.0 : 236.0;
    double y = l->top.h / 2.0;
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, l->wide ? TYPE_TITLE : TYPE_BODY, ALIGN_LEFT,
                     ui->theme->text1, x, y - 3.0, w, v->case_title);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, x, y + 21.0, w,
                     v->patient);
    return x + w;
}

static double draw_clock(Ui *ui, const BedsideLayout *l, const BedsideView *v, double x, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_SHORT];
    double mid = l->top.h / 2.0, button = TARGET_MAIN;
    double size = l->wide ? TYPE_CLOCK : 26.0;
    ui_tiles_clock(text, sizeof text, v->time_s, true);
    ui_draw_text(ui->list, FACE_DIGITS_STRONG, size, ALIGN_LEFT, t->text1, x, mid + 10.0, text);
    x += ui_draw_text_width(ui->list, FACE_DIGITS_STRONG, size, "00:00:00") + (l->wide ? 18.0 : 10.0);
    if (ui_widgets_sign_button(ui, ID_SLOWER, (Rect){x, mid - 20.0, button, button}, '<',
                               v->time_rate <= 1.0 ? BUTTON_OFF : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    x += button + 8.0;
    if (ui_widgets_sign_button(ui, ID_PAUSE, (Rect){x, mid - 20.0, button, button}, v->paused ? '>' : '|',
                               v->ended    ? BUTTON_OFF
                               : v->paused ? BUTTON_CHOSEN
                                           : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    x += button + 8.0;
    if (ui_widgets_sign_button(ui, ID_FASTER, (Rect){x, mid - 20.0, button, button}, 'F',
                               v->time_rate >= 240.0 ? BUTTON_OFF : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    x += button + 12.0;
    snprintf(text, sizeof text, "\u00d7%.0f", v->time_rate);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_VALUE_S, ALIGN_LEFT, t->text1, x, mid + 1.0, text);
    const char *state = v->ended ? "ended" : v->paused ? "paused" : v->catching_up ? "computing" : "running";
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, v->paused || v->ended ? t->text1 : t->text3, x,
                 mid + 21.0, state);
    return x + 84.0;
}

static void draw_warning_sign(Ui *ui, double x, double y, int priority) {
    DrawList *d = ui->list;
    const Theme *t = ui->theme;
    ui_draw_path(d);
    ui_draw_move(d, x, y - 14.0);
    ui_draw_to(d, x + 16.0, y + 13.0);
    ui_draw_to(d, x - 16.0, y + 13.0);
    ui_draw_close(d);
    ui_draw_fill(d, priority >= 2 ? ui_theme_alarm_ink(t, priority) : ui_tiles_priority(t, priority));
    ui_draw_text(d, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE,
                 priority >= 2 ? ui_theme_alarm(t, priority) : t->window, x, y + 10.0,
                 priority >= 3   ? "!!!"
                 : priority == 2 ? "!!"
                                 : "!");
}

/* One thing to look at: text, detail, and how many there are in all. */
static void draw_strip(Ui *ui, const BedsideLayout *l, const StripLine *strip, const char *count, Rect rect) {
    const Theme *t = ui->theme;
    double mid = rect.y + rect.h / 2.0, x = rect.x + 16.0;
    Colour colour = ui_theme_alarm(t, strip->priority);
    bool block = strip->priority >= 2;
    ui_draw_rect(ui->list, rect, 8.0, block ? colour : ui_colour_mix(t->window, colour, 0.16));
    ui_draw_frame(ui->list, rect, 8.0, ui_draw_solid(ui_tiles_priority(t, strip->priority), 2.0));
    draw_warning_sign(ui, x + 16.0, mid, strip->priority);
    x += 44.0;
    double right = rect.x + rect.w - 14.0;
    Colour ink = block ? ui_theme_alarm_ink(t, strip->priority) : t->text1;
    if (count[0] != '\0' && rect.w > 260.0) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, ink, right, mid - 3.0, count);
        right -= ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, count) + 12.0;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, l->wide ? TYPE_TITLE : TYPE_BODY, ALIGN_LEFT, ink, x,
                     mid - 3.0, right - x, strip->text);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, x, mid + 18.0,
                     rect.x + rect.w - 10.0 - x, strip->detail);
}

/* What is furthest outside its target, as many as fit; or calm. */
static void draw_strips(Ui *ui, const BedsideLayout *l, const BedsideView *v, Rect rect) {
    if (v->strips == 0) {
        char text[TEXT_LINE] = "nothing is outside its target";
        if (v->just_outside > 0)
            snprintf(text, sizeof text,
                     v->just_outside == 1 ? "1 value just left its target"
                                          : "%d values just left their targets",
                     v->just_outside);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, rect.x + 8.0,
                         rect.y + rect.h / 2.0 + 6.0, rect.w - 16.0, text);
        return;
    }
    bool two = v->strips > 1 && rect.w >= 560.0;
    double w = fmin(two ? 0.57 * rect.w - 5.0 : rect.w, 480.0);
    char count[TEXT_SHORT] = "";
    if (v->out_of_range > (two ? 2 : 1)) snprintf(count, sizeof count, "1 of %d", v->out_of_range);
    draw_strip(ui, l, &v->strip[0], count, (Rect){rect.x, rect.y, w, rect.h});
    if (two)
        draw_strip(ui, l, &v->strip[1], "",
                   (Rect){rect.x + w + 10.0, rect.y, fmin(rect.w - w - 10.0, 380.0), rect.h});
}

void ui_bedside_top(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_TOP, l->top);
    ui_draw_rect(ui->list, l->top, 0.0, t->window);
    double x = draw_case(ui, l, v) + (l->wide ? 16.0 : 10.0);
    x = draw_clock(ui, l, v, x, intents);
    double inset = l->wide ? 8.0 : 6.0, right = l->top.w - (l->wide ? 16.0 : 8.0);
    Rect box = {right - (l->wide ? 210.0 : 166.0), inset, l->wide ? 210.0 : 166.0, l->top.h - 2.0 * inset};
    ui_draw_frame(ui->list, box, 8.0, ui_draw_solid(t->text2, 1.5));
    double mid = box.y + box.h / 2.0, centre = box.x + box.w / 2.0;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, centre, mid - 3.0,
                 "TRAINING ONLY");
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text2, centre, mid + 17.0, box.w - 8.0,
                     "not for patient care");
    Rect help = {box.x - TARGET_MAIN - 12.0, l->top.h / 2.0 - 20.0, TARGET_MAIN, TARGET_MAIN};
    if (ui_widgets_button(ui, ID_HELP, help, "?", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_HELP, 0, 0.0, false);
    double strip_right = help.x - 12.0;
    if (strip_right - x > 160.0)
        draw_strips(ui, l, v, (Rect){x, inset, strip_right - x, l->top.h - 2.0 * inset});
}
