/* The alarm strip. */
#include "ui/alarm_strip.h"

#include "sim/alarms.h"
#include "ui/sheet.h"

#include <math.h>
#include <stdio.h>

#define FLASH_HIGH_HZ   2.0  /* conventions: 1.4 to 2.8 Hz (from memory) */
#define FLASH_MEDIUM_HZ 0.6  /* conventions: 0.4 to 0.8 Hz (from memory) */
#define LIT_SHARE       0.5  /* of a flash's period */
#define DARK_TINT       0.20 /* share of the priority colour in a block that is not lit */
#define LOW_TINT        0.16
#define BLOCK_MAX_PX    480.0
#define TWO_FROM_PX     600.0 /* room in which two blocks stand side by side */
#define TWO_LINES_PX    40.0  /* height of a strip with its detail under its text */
#define WIDE_FROM_PX    620.0 /* room in which the sound's state has words */
#define SHORT_TO_PX     340.0 /* room in which the count is written shortly */

enum { ID_BLOCK = 60, ID_BELL = ID_BLOCK + ALARM_LINES_MAX, ID_LIMITS };

double ui_alarm_strip_flash_hz(int priority) {
    return priority >= 3 ? FLASH_HIGH_HZ : priority == 2 ? FLASH_MEDIUM_HZ : 0.0;
}

const char *ui_alarm_strip_mark(int priority) {
    return priority >= 3 ? "!!!" : priority == 2 ? "!!" : priority == 1 ? "!" : "";
}

void ui_alarm_strip_sign(DrawList *list, double x, double y, int priority, Colour triangle, Colour mark) {
    ui_draw_path(list);
    ui_draw_move(list, x, y - 15.0);
    ui_draw_to(list, x + 17.0, y + 13.0);
    ui_draw_to(list, x - 17.0, y + 13.0);
    ui_draw_close(list);
    ui_draw_fill(list, triangle);
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, mark, x, y + 10.0,
                 ui_alarm_strip_mark(priority));
}

void ui_alarm_strip_bell(DrawList *list, double x, double y, double size_px, char cross, Colour colour) {
    double u = size_px / 24.0, cx = x + 12.0 * u;
    ui_draw_path(list);
    ui_draw_move(list, cx - 9.0 * u, y + 18.0 * u);
    ui_draw_curve(list, cx - 5.0 * u, y + 15.0 * u, cx - 7.0 * u, y + 4.0 * u, cx, y + 3.5 * u);
    ui_draw_curve(list, cx + 7.0 * u, y + 4.0 * u, cx + 5.0 * u, y + 15.0 * u, cx + 9.0 * u, y + 18.0 * u);
    ui_draw_close(list);
    ui_draw_stroke(list, ui_draw_solid(colour, 2.0));
    ui_draw_path(list);
    ui_draw_arc(list, cx, y + 19.0 * u, 2.6 * u, 0.0, 3.1416);
    ui_draw_stroke(list, ui_draw_solid(colour, 2.0));
    if (cross == 0) return;
    StrokeStyle line = cross == 'd' ? ui_draw_dashed(colour, 2.0, 4.0, 3.0) : ui_draw_solid(colour, 2.0);
    ui_draw_line(list, cx - 11.0 * u, y + 1.0 * u, cx + 11.0 * u, y + 23.0 * u, line);
    ui_draw_line(list, cx + 11.0 * u, y + 1.0 * u, cx - 11.0 * u, y + 23.0 * u, line);
}

/* Lit or dark: only what nobody has acknowledged flashes, and nothing does while the night waits. */
static bool lit(const Ui *ui, const BedsideView *v, const AlarmLine *line) {
    double hz = ui_alarm_strip_flash_hz(line->priority);
    if (line->known) return false;
    if (hz <= 0.0 || ui->reduced_flashing || v->paused) return true;
    double phase = ui->time_s * hz;
    return phase - floor(phase) < LIT_SHARE;
}

static void draw_block(Ui *ui, const BedsideView *v, int index, const char *count, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    const AlarmLine *line = &v->alarms.line[index];
    bool filled = line->priority >= 2 && lit(ui, v, line);
    Colour colour = ui_theme_alarm(t, line->priority), edge = ui_theme_alarm_text(t, line->priority);
    Colour ground =
        filled ? colour : ui_colour_mix(t->window, colour, line->priority >= 2 ? DARK_TINT : LOW_TINT);
    Colour ink = filled ? ui_theme_alarm_ink(t, line->priority) : t->text1;
    int id = ID_BLOCK + index;
    if (ui_widgets_area(ui, id, r)) ui_intents_add(intents, INTENT_ALARM_SEEN, line->id, 0.0, false);
    char said[2 * TEXT_LINE + TEXT_SHORT];
    snprintf(said, sizeof said, "%s alarm: %s, %s%s", sim_alarms_priority_word((AlarmPriority)line->priority),
             line->text, line->detail,
             line->known  ? ", acknowledged"
             : line->over ? ", over; acknowledge"
                          : "; acknowledge");
    ui_widgets_tell(ui, UI_ROLE_BUTTON, said, line->known);
    ui_draw_rect(ui->list, r, 8.0, ground);
    ui_draw_frame(ui->list, r, 8.0, ui_draw_solid(edge, line->known ? 1.5 : 2.5));
    double mid = r.y + r.h / 2.0, x = r.x + 12.0, right = r.x + r.w - 12.0;
    ui_alarm_strip_sign(ui->list, x + 17.0, mid, line->priority, filled ? ink : edge,
                        filled ? ground : t->window);
    x += 44.0;
    bool low = r.h < TWO_LINES_PX; /* text and detail on one line */
    double size = r.h > 48.0 ? TYPE_TITLE : TYPE_BODY, first = low ? mid + 6.0 : mid - 3.0;
    double second = low ? mid + 6.0 : mid + 17.0;
    const char *note = line->known ? "seen" : line->over ? "over" : count;
    double after = right;
    if (note[0] != '\0') {
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, ink, right, second, note);
        after -= ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, note) + 10.0;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, size, ALIGN_LEFT, ink, x, first, (low ? after : right) - x,
                     line->text);
    if (low) x += ui_draw_text_width(ui->list, FACE_WORDS_STRONG, size, line->text) + 12.0;
    if (after - x > 40.0)
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, x, second, after - x,
                         line->detail);
    ui_widgets_focus_ring(ui, id, r, 8.0);
}

static void draw_calm(Ui *ui, const BedsideView *v, Rect r) {
    char text[TEXT_LINE] = "every value is in its target";
    double mid = r.y + r.h / 2.0, x = r.x + 10.0;
    if (v->outside > 0)
        snprintf(text, sizeof text,
                 v->outside == 1 ? "1 value is outside its target" : "%d values are outside their targets",
                 v->outside);
    if (r.h < TWO_LINES_PX) {
        char both[TEXT_LINE + 16];
        snprintf(both, sizeof both, "No alarm; %s", text);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, x, mid + 6.0,
                         r.w - 16.0, both);
        return;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, x, mid - 3.0, r.w - 16.0,
                     "No alarm");
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, x, mid + 17.0, r.w - 16.0,
                     text);
}

/* The bell: what becomes of sounds, and the button that pauses them. */
static void draw_bell(Ui *ui, const AlarmStrip *alarms, bool words, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    bool paused = alarms->pause_left_s > 0.0;
    if (ui_widgets_area(ui, ID_BELL, r)) ui_intents_add(intents, INTENT_ALARM_PAUSE, 0, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON,
                    alarms->silent ? "alarm sounds: silent"
                    : paused       ? "alarm sounds: paused"
                                   : "alarm sounds: on; pause",
                    paused);
    ui_draw_rect(ui->list, r, 6.0,
                 ui_widgets_hovered(ui, r) ? ui_colour_mix(t->raised, t->edge, 0.2) : t->raised);
    ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->edge, 1.0));
    char left[TEXT_SHORT] = "";
    long s = (long)ceil(alarms->pause_left_s);
    if (paused) snprintf(left, sizeof left, "%ld:%02ld", s / 60, s % 60);
    double mid = r.y + r.h / 2.0, x = r.x + (paused || words ? 8.0 : (r.w - 24.0) / 2.0);
    ui_alarm_strip_bell(ui->list, x, mid - 12.0, 24.0, alarms->silent ? 's' : paused ? 'd' : 0, t->text1);
    x += 32.0;
    if (words) {
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, x, mid - 2.0,
                         r.x + r.w - 6.0 - x,
                         alarms->silent ? "Silent"
                         : paused       ? "Paused"
                                        : "Sound on");
        ui_draw_text_fit(ui->list, paused ? FACE_DIGITS : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x,
                         mid + 17.0, r.x + r.w - 6.0 - x, paused ? left : "A: pause");
    } else if (paused) {
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_LEFT, t->text1, x, mid + 6.0, left);
    }
    ui_widgets_focus_ring(ui, ID_BELL, r, 6.0);
}

void ui_alarm_strip_draw(Ui *ui, const BedsideView *v, Rect rect, Intents *intents) {
    const AlarmStrip *alarms = &v->alarms;
    bool words = rect.w >= WIDE_FROM_PX && rect.h >= TWO_LINES_PX;
    double pad = rect.h > 44.0 ? (rect.h - 44.0) / 2.0 : 0.0, gap = 8.0;
    Rect room = rect, tools = ui_rect_inset(rect, 0.0, pad);
    Rect limits = ui_rect_cut_right(&tools, words ? 76.0 : 64.0);
    (void)ui_rect_cut_right(&tools, gap);
    Rect bell = ui_rect_cut_right(&tools, words ? 118.0 : alarms->pause_left_s > 0.0 ? 84.0 : 44.0);
    (void)ui_rect_cut_right(&tools, gap);
    room.w = tools.w;
    if (alarms->lines == 0) draw_calm(ui, v, room);
    bool two = alarms->lines > 1 && room.w >= TWO_FROM_PX;
    char count[TEXT_SHORT] = "";
    if (alarms->count > 1)
        snprintf(count, sizeof count, room.w < SHORT_TO_PX ? "%d/%d" : "%d of %d", alarms->first,
                 alarms->count);
    Rect first = room;
    if (two) first = ui_rect_cut_left(&room, fmin(0.54 * room.w, BLOCK_MAX_PX));
    first.w = fmin(first.w, BLOCK_MAX_PX);
    if (alarms->lines > 0) draw_block(ui, v, 0, count, first, intents);
    if (two) {
        (void)ui_rect_cut_left(&room, gap);
        room.w = fmin(room.w, BLOCK_MAX_PX);
        draw_block(ui, v, 1, "", room, intents);
    }
    draw_bell(ui, alarms, words, bell, intents);
    if (ui_widgets_button(ui, ID_LIMITS, limits, "Limits", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_LIMITS, 0.0, false);
}

void ui_alarm_strip_keys(Ui *ui, Intents *intents) {
    while (ui_widgets_take_capital(ui, 'A'))
        ui_intents_add(intents, INTENT_ALARM_SEEN, ALARM_FIRST, 0.0, false);
    if (ui_widgets_take_char(ui, 'a')) ui_intents_add(intents, INTENT_ALARM_PAUSE, 0, 0.0, false);
}
