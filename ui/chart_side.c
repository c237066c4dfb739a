/* Beside the plots: the orders on show with their numbers, or the list to choose plots from. */
#include "ui/chart.h"

#include <math.h>
#include <stdio.h>

#define ORDER_PX 46.0
#define LINE_PX  30.0
#define HEAD_PX  40.0
#define BADGE_PX 22.0

/* Orders between two moments; fills `found` with their marks, at most `most`, and returns how many. */
static int orders_between(const FlowSheet *sheet, double from_s, double to_s, int *found, int most) {
    int count = 0;
    for (int i = 0; i < sheet->marks && count < most; i++) {
        const FlowMark *mark = &sheet->mark[i];
        if (mark->kind == FLOW_MARK_ORDER && mark->time_s >= from_s && mark->time_s <= to_s)
            found[count++] = i;
    }
    return count;
}

static void draw_order(Ui *ui, Rect r, const FlowMark *mark, bool last) {
    const Theme *t = ui->theme;
    char text[TEXT_SHORT];
    if (last) ui_draw_rect(ui->list, r, 6.0, t->selected);
    if (last) ui_draw_frame(ui->list, ui_rect_inset(r, 0.5, 0.5), 6.0, ui_draw_solid(t->edge, 1.0));
    snprintf(text, sizeof text, "%d", mark->number);
    double w = fmax(ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, text) + 10.0, BADGE_PX);
    Rect badge = {r.x + 8.0, r.y + 5.0, w, BADGE_PX - 2.0};
    ui_draw_rect(ui->list, badge, 10.0, t->raised);
    ui_draw_frame(ui->list, badge, 10.0, ui_draw_solid(t->text2, 1.5));
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, badge.x + w / 2.0,
                 badge.y + 15.0, text);
    double x = r.x + 46.0;
    sim_flowsheet_clock(mark->time_s, text, sizeof text);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text2, r.x + r.w - 10.0, r.y + 20.0, text);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, x, r.y + 20.0,
                     r.x + r.w - 62.0 - x, mark->what);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, r.y + 39.0,
                     r.x + r.w - 10.0 - x, mark->detail);
}

static void draw_orders(Ui *ui, Rect rect, const ChartState *chart, double from_s, double to_s,
                        Intents *intents) {
    int found[FLOWSHEET_MARKS_MAX], last = -1;
    const FlowSheet *sheet = &chart->sheet;
    char note[TEXT_SHORT];
    int count = orders_between(sheet, from_s, to_s, found, FLOWSHEET_MARKS_MAX);
    double cursor_s = chart->cursor_s < 0.0 ? chart->now_s : chart->cursor_s + RECORDS_HISTORY_STEP_S / 2.0;
    for (int i = 0; i < count; i++) {
        if (sheet->mark[found[i]].time_s <= cursor_s) last = i;
    }
    snprintf(note, sizeof note, "%d on show", count);
    Rect room = ui_widgets_panel(ui, rect, "Orders", note);
    room = (Rect){rect.x + 8.0, rect.y + HEAD_PX, rect.w - 16.0, rect.h - HEAD_PX - 8.0};
    int fit = (int)fmax(floor(room.h / ORDER_PX), 1.0);
    int first = last - fit / 2;
    if (first > count - fit) first = count - fit;
    if (first < 0) first = 0;
    if (count == 0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, room.x + 8.0,
                     room.y + 24.0, "None in this time.");
    for (int i = first; i < count && i < first + fit; i++) {
        const FlowMark *mark = &sheet->mark[found[i]];
        Rect r = {room.x, room.y + (i - first) * ORDER_PX, room.w, ORDER_PX - 2.0};
        ui->mouse_only = true; /* by keyboard: the arrows up and down */
        if (ui_widgets_area(ui, CHART_ID_QUANTITY + i - first, r))
            ui_intents_add(intents, INTENT_PART, CHART_PART_CURSOR,
                           round(mark->time_s / RECORDS_HISTORY_STEP_S) * RECORDS_HISTORY_STEP_S, false);
        ui->mouse_only = false;
        draw_order(ui, r, mark, i == last);
    }
}

/* ---- choosing ---- */

static void draw_tick_box(Ui *ui, double x, double y, bool on) {
    const Theme *t = ui->theme;
    Rect box = {x, y, 18.0, 18.0};
    ui_draw_rect(ui->list, box, 4.0, on ? t->text1 : t->raised);
    ui_draw_frame(ui->list, box, 4.0, ui_draw_solid(on ? t->text1 : t->edge, 1.5));
    if (!on) return;
    ui_draw_line(ui->list, x + 4.0, y + 9.5, x + 8.0, y + 13.5, ui_draw_solid(t->ink, 2.2));
    ui_draw_line(ui->list, x + 8.0, y + 13.5, x + 14.5, y + 5.0, ui_draw_solid(t->ink, 2.2));
}

static void draw_quantity(Ui *ui, Rect r, const ChartState *chart, int q, bool cursor) {
    const Theme *t = ui->theme;
    const ChartQuantity *quantity = &chart->quantity[q];
    if (cursor) ui_draw_rect(ui->list, r, 5.0, t->selected);
    if (cursor) ui_draw_frame(ui->list, ui_rect_inset(r, 1.0, 1.0), 5.0, ui_draw_solid(t->focus, 2.0));
    draw_tick_box(ui, r.x + 8.0, r.y + 6.0, ui_chart_plotted(chart, q));
    ui_widgets_badge(ui->list, t, r.x + 34.0, r.y + 4.0, quantity->side);
    double unit = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, quantity->unit);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, r.x + r.w - 10.0, r.y + 21.0,
                 quantity->unit);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, r.x + 64.0, r.y + 21.0,
                     r.w - 84.0 - unit, quantity->name);
}

static void picker_keys(Ui *ui, const ChartState *chart, int fit, Intents *intents) {
    int to = chart->pick;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to--;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to++;
    if (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL)) to -= fit;
    if (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL)) to += fit;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = chart->quantities - 1;
    to = to < 0 ? 0 : to >= chart->quantities ? chart->quantities - 1 : to;
    if (to != chart->pick) {
        ui->focus = 0;
        ui_intents_add(intents, INTENT_PART, CHART_PART_PICK, to, false);
    }
    if (ui->focus == 0 && ui_widgets_take_key(ui, KEY_ENTER, NULL))
        ui_intents_add(intents, INTENT_PART, CHART_PART_TOGGLE, to, false);
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_PART, CHART_PART_PICKER, 0.0, false);
}

static void draw_picker(Ui *ui, Rect rect, const ChartState *chart, Intents *intents) {
    char note[TEXT_SHORT];
    snprintf(note, sizeof note, "%d of %d", chart->plots, CHART_PLOTS_MAX);
    (void)ui_widgets_panel(ui, rect, "Choose plots", note);
    Rect room = {rect.x + 8.0, rect.y + HEAD_PX, rect.w - 16.0, rect.h - HEAD_PX - 52.0};
    int fit = (int)fmax(floor(room.h / LINE_PX), 1.0), count = chart->quantities;
    int first = chart->pick - fit / 2;
    if (first > count - fit) first = count - fit;
    if (first < 0) first = 0;
    for (int i = first; i < count && i < first + fit; i++) {
        Rect r = {room.x, room.y + (i - first) * LINE_PX, room.w, LINE_PX};
        ui->mouse_only = true;
        bool hit = ui_widgets_area(ui, CHART_ID_QUANTITY + i - first, r);
        ui_widgets_tell(ui, UI_ROLE_ROW, NULL, ui_chart_plotted(chart, i));
        if (hit) {
            ui_intents_add(intents, INTENT_PART, CHART_PART_PICK, i, false);
            ui_intents_add(intents, INTENT_PART, CHART_PART_TOGGLE, i, false);
        }
        ui->mouse_only = false;
        draw_quantity(ui, r, chart, i, i == chart->pick);
    }
    double x = room.x + 4.0, y = rect.y + rect.h - 44.0;
    if (ui_chart_button(ui, CHART_ID_USUAL, &x, y, "The usual ones", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, CHART_PART_USUAL, 0.0, false);
    if (ui_widgets_hovered(ui, rect) && fabs(ui->input.wheel) > 0.0)
        ui_intents_add(intents, INTENT_PART, CHART_PART_PICK,
                       fmin(fmax(chart->pick - 3.0 * ui->input.wheel, 0.0), count - 1.0), false);
    picker_keys(ui, chart, fit, intents);
}

void ui_chart_side(Ui *ui, Rect rect, const ChartState *chart, double from_s, double to_s, Intents *intents) {
    ui_chart_region(ui, chart, CHART_REGION_SIDE, rect, ui->theme->window);
    if (chart->picking)
        draw_picker(ui, rect, chart, intents);
    else
        draw_orders(ui, rect, chart, from_s, to_s, intents);
}
