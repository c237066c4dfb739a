/* The bar at the top: case, clock, time controls, the alarms, and the caution. */
#include "ui/alarm_strip.h"
#include "ui/bedside.h"
#include "ui/sheet.h"
#include "ui/tiles.h"

#include <stdio.h>

enum { ID_SLOWER = 1, ID_PAUSE, ID_FASTER, ID_HELP };

/* Height of the bar without the strip that lies under it in the compact arrangement. */
static double bar_px(const BedsideLayout *l) {
    return l->compact ? l->top.h - l->strip.h : l->top.h;
}

/* Case and patient; returns the x after them. */
static double draw_case(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    double x = l->wide ? 20.0 : 12.0, w = l->wide ? 380.0 : 208.0;
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
    double mid = bar_px(l) / 2.0, button = l->compact ? 36.0 : TARGET_MAIN;
    double size = l->wide ? TYPE_CLOCK : 26.0;
    if (ui_settings_on(ui->settings, SETTING_clock))
        ui_tiles_minutes(text, sizeof text, v->time_s);
    else
        ui_tiles_clock(text, sizeof text, v->time_s, true);
    ui_draw_text(ui->list, FACE_DIGITS_STRONG, size, ALIGN_LEFT, t->text1, x, mid + 10.0, text);
    x += ui_draw_text_width(ui->list, FACE_DIGITS_STRONG, size, "00:00:00") + (l->wide ? 18.0 : 10.0);
    if (ui_widgets_sign_button(ui, ID_SLOWER, (Rect){x, mid - button / 2.0, button, button}, '<',
                               v->time_rate <= 1.0 ? BUTTON_OFF : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, -1.0, false);
    x += button + 8.0;
    if (ui_widgets_sign_button(ui, ID_PAUSE, (Rect){x, mid - button / 2.0, button, button},
                               v->paused ? '>' : '|',
                               v->ended    ? BUTTON_OFF
                               : v->paused ? BUTTON_CHOSEN
                                           : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PAUSE, 0, 0.0, false);
    x += button + 8.0;
    if (ui_widgets_sign_button(ui, ID_FASTER, (Rect){x, mid - button / 2.0, button, button}, 'F',
                               v->time_rate >= 240.0 ? BUTTON_OFF : BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_RATE, 0, 1.0, false);
    x += button + 12.0;
    snprintf(text, sizeof text, "\u00d7%.0f", v->time_rate);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_VALUE_S, ALIGN_LEFT, t->text1, x,
                 l->compact ? mid + 8.0 : mid + 1.0, text);
    const char *state = v->ended ? "ended" : v->paused ? "paused" : v->catching_up ? "computing" : "running";
    Colour ink = v->paused || v->ended ? t->text1 : t->text3;
    if (l->compact) {
        x += ui_draw_text_width(ui->list, FACE_DIGITS, TYPE_VALUE_S, text) + 10.0;
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, x, mid + 7.0, state);
        return x + ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, "computing") + 12.0;
    }
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, x, mid + 21.0, state);
    return x + 84.0;
}

void ui_bedside_top(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_TOP, l->top);
    ui_draw_rect(ui->list, l->top, 0.0, t->window);
    double x = l->compact ? 10.0 : draw_case(ui, l, v) + (l->wide ? 16.0 : 10.0);
    x = draw_clock(ui, l, v, x, intents);
    double inset = l->compact ? 4.0 : l->wide ? 8.0 : 6.0, right = l->top.w - (l->wide ? 16.0 : 8.0);
    double bar = bar_px(l), box_w = l->wide ? 210.0 : l->compact ? 142.0 : 166.0;
    Rect box = {right - box_w, inset, box_w, bar - 2.0 * inset};
    ui_draw_frame(ui->list, box, 8.0, ui_draw_solid(t->text2, 1.5));
    double mid = box.y + box.h / 2.0, centre = box.x + box.w / 2.0;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, centre,
                 l->compact ? mid + 6.0 : mid - 3.0, "TRAINING ONLY");
    if (!l->compact)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, t->text2, centre, mid + 17.0,
                         box.w - 8.0, "not for patient care");
    double button = l->compact ? 36.0 : TARGET_MAIN;
    Rect help = {box.x - button - 12.0, (bar - button) / 2.0, button, button};
    bool in_bar = l->compact && ui_bedside_tools_in_bar(l);
    double tools = l->compact ? in_bar * ui_bedside_tools_px(ui) : button + 8.0;
    Rect settings = {help.x - tools, help.y, button, button};
    if (in_bar) ui_bedside_tools(ui, (Rect){settings.x - 8.0, help.y, tools, button}, intents);
    if (!l->compact &&
        ui_widgets_sign_button(ui, UI_BEDSIDE_TOOL_ID + SHEET_SETTINGS, settings, 'o', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_SETTINGS, 0.0, false);
    if (ui_widgets_button(ui, ID_HELP, help, "?", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_HELP, 0, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "keys and help", false);
    double strip_right = settings.x - 12.0;
    Rect alarms = l->compact ? ui_rect_inset(l->strip, 0.0, 1.0)
                             : (Rect){x, inset, strip_right - x, l->top.h - 2.0 * inset};
    if (alarms.w > 160.0) ui_alarm_strip_draw(ui, v, alarms, intents);
    if (l->compact && strip_right - x > 60.0)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, bar / 2.0 + 6.0,
                         strip_right - x, v->case_title);
}
