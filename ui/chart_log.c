/* Results of samples side by side, and the log of the night: messages, orders, what was done. */
#include "ui/chart.h"
#include "ui/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LINE_PX     24.0
#define ROW_PX      34.0
#define HEAD_PX     38.0
#define TIME_PX     78.0
#define KIND_PX     110.0
#define WORDS_LINES 6
#define WHEEL_LINES 3.0
#define FILTERS_PX  48.0
#define TRACK_PX    14.0

/* Moves by keys and wheel through something `over` px higher than its room, and shows where it stands. */
static void scroll(Ui *ui, Rect room, Rect track, double at, double over, Intents *intents) {
    const Theme *t = ui->theme;
    double to = at;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        to -= 2.0 * LINE_PX;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        to += 2.0 * LINE_PX;
    while (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
        to -= room.h - LINE_PX;
    while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
        to += room.h - LINE_PX;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0.0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = over;
    if (!ui->blocked) to -= ui->input.wheel * WHEEL_LINES * LINE_PX;
    ui->mouse_only = true;
    (void)ui_widgets_area(ui, CHART_ID_BAR_DOWN, track);
    ui_widgets_tell(ui, UI_ROLE_TRACK, "scroll", false);
    ui->mouse_only = false;
    if (!ui->blocked && ui->active == CHART_ID_BAR_DOWN && ui->input.down)
        to = (ui->input.y_px - track.y) / track.h * (over + room.h) - room.h / 2.0;
    to = fmin(fmax(to, 0.0), fmax(over, 0.0));
    if (fabs(to - at) > 0.0) ui_intents_add(intents, INTENT_PART, CHART_PART_SCROLL, to, false);
    if (over <= 0.0) return;
    double part = track.h * room.h / (room.h + over);
    ui_draw_rect(ui->list, (Rect){track.x + 3.0, track.y, 8.0, track.h}, 4.0, t->raised);
    ui_draw_rect(ui->list, (Rect){track.x + 3.0, track.y + (track.h - part) * at / over, 8.0, part}, 4.0,
                 t->edge);
}

/* What is shown, and the alarms. */
static void title(Ui *ui, Rect bar, const ChartState *chart, const char *text, Intents *intents) {
    double w = ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, text);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, ui->theme->text1, bar.x + 16.0,
                 bar.y + 26.0, text);
    ui_chart_alarms(ui, bar, bar.x + 40.0 + w, chart, intents);
}

/* ---- results ---- */

static void result_cell(Ui *ui, const ChartState *chart, DisplayId id, double value, double x, double y) {
    const Theme *t = ui->theme;
    char text[TEXT_SHORT];
    const DisplayRow *display = sim_instruments_display_row(id);
    double low = NAN, high = NAN;
    for (int q = 0; q < chart->quantities; q++) {
        if (chart->quantity[q].shown != id) continue;
        low = chart->quantity[q].target_low;
        high = chart->quantity[q].target_high;
    }
    bool beyond = value < low || value > high;
    Colour ink = t->text1; /* alarms alone have colours of their own */
    ui_units_format(ui->settings, display->key, display->unit, display->decimals > 0 ? display->decimals : 0,
                    value, text, sizeof text);
    ui_draw_text(ui->list, beyond ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_BODY, ALIGN_RIGHT, ink, x, y,
                 text);
    if (beyond) ui_widgets_arrow(ui->list, x + 12.0, y - 6.0, 10.0, value > high ? 'u' : 'd', ink);
}

/* One kind of sample as a table, newest first; returns the y after it. */
static double draw_samples(Ui *ui, Rect room, double y, const ChartState *chart, int kind) {
    const Theme *t = ui->theme;
    const FlowSampleRow *row = sim_flowsheet_sample_row(kind);
    double x = room.x + 190.0, step = fmin((room.w - 190.0) / FLOWSHEET_SAMPLE_VALUES, 150.0);
    char when[TEXT_SHORT], unit[TEXT_LINE];
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, room.x, y + 26.0, row->name);
    for (int k = 0; k < row->values; k++) {
        const DisplayRow *display = sim_instruments_display_row(row->value[k]);
        double right = x + (k + 1) * step - 24.0;
        ShownUnit shown = ui_units_shown(ui->settings, display->key, display->unit);
        snprintf(unit, sizeof unit, "%s", strcmp(shown.name, "pH") == 0 ? "" : shown.name);
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text1, right, y + 18.0,
                     display->label);
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, right, y + 36.0, unit);
    }
    y += HEAD_PX + 8.0;
    int shown = 0;
    for (int i = chart->sheet.samples - 1; i >= 0; i--) {
        const FlowSample *sample = &chart->sheet.sample[i];
        if (sample->row != kind) continue;
        sim_flowsheet_clock(sample->taken_s, when, sizeof when);
        ui_draw_line(ui->list, room.x, y + 0.5, room.x + room.w, y + 0.5, ui_draw_solid(t->hairline, 1.0));
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text2, room.x, y + 23.0, "at");
        ui_draw_text(ui->list, shown == 0 ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_BODY, ALIGN_LEFT, t->text1,
                     room.x + 26.0, y + 23.0, when);
        for (int k = 0; k < row->values; k++)
            result_cell(ui, chart, row->value[k], sample->value[k], x + (k + 1) * step - 24.0, y + 23.0);
        y += ROW_PX;
        shown++;
    }
    return y + 20.0;
}

static bool taken(const FlowSheet *sheet, int kind) {
    for (int i = 0; i < sheet->samples; i++) {
        if (sheet->sample[i].row == kind) return true;
    }
    return false;
}

/* Every kind that was taken, then in one line what was not. */
static double draw_all_samples(Ui *ui, Rect room, double y, const ChartState *chart) {
    char missing[TEXT_LONG] = "";
    size_t used = 0;
    for (int kind = 0; kind < sim_flowsheet_sample_rows(); kind++) {
        if (taken(&chart->sheet, kind))
            y = draw_samples(ui, room, y, chart, kind);
        else if (used < sizeof missing)
            used += (size_t)snprintf(missing + used, sizeof missing - used, "%s%s", used > 0 ? ", " : "",
                                     sim_flowsheet_sample_row(kind)->name);
    }
    if (used == 0) return y;
    char text[TEXT_LONG + TEXT_SHORT];
    snprintf(text, sizeof text, "Not taken yet: %s.", missing);
    return y + LINE_PX * ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY, ui->theme->text2, room.x,
                                           y + 20.0, room.w, LINE_PX, WORDS_LINES, text);
}

static void draw_foot(Ui *ui, Rect foot, const ChartState *chart, const char *words) {
    ui_chart_region(ui, chart, CHART_REGION_FOOT, foot, ui->theme->window);
    if (chart->notice[0] != '\0') {
        ui_chart_notice(ui, foot, chart);
        return;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, foot.x + 16.0,
                     foot.y + 23.0, foot.w - 32.0, words);
}

void ui_chart_results(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents) {
    const Theme *t = ui->theme;
    ui_chart_region(ui, chart, CHART_REGION_BAR, bar, t->window);
    title(ui, bar, chart, "Results, newest first", intents);
    ui_chart_region(ui, chart, CHART_REGION_CELLS, body, t->panel);
    Rect room = ui_rect_inset(body, PANEL_PAD, 8.0), track = ui_rect_cut_right(&room, TRACK_PX);
    DrawMark before = ui_draw_mark(ui->list);
    double used = draw_all_samples(ui, room, 0.0, chart);
    ui_draw_rewind(ui->list, before);
    double over = fmax(used - room.h, 0.0), at = fmin(chart->scroll_px, over);
    ui_draw_clip_rect(ui->list, room);
    (void)draw_all_samples(ui, room, room.y - at, chart);
    ui_draw_unclip(ui->list);
    scroll(ui, room, track, at, over, intents);
    draw_foot(ui, foot, chart, "The arrows and the wheel move through the results");
}

/* ---- the log ---- */

/* Kinds that can be shown and hidden. */
typedef struct FilterRow {
    FlowMarkKind kind;
    const char *name, *word;
    char key;
} FilterRow;

static const FilterRow FILTERS[] = {
    {FLOW_MARK_MESSAGE, "Messages", "message", 'a'}, {FLOW_MARK_ORDER, "Orders", "order", 'o'},
    {FLOW_MARK_DONE, "Done", "done", 'd'},           {FLOW_MARK_LOOK, "Looks, calls, notes", "act", 'l'},
    {FLOW_MARK_RESULT, "Results", "result", 'r'},    {FLOW_MARK_ALARM, "Alarms", "alarm", 'n'},
};

enum { FILTER_COUNT = sizeof FILTERS / sizeof FILTERS[0] };

static int count_kind(const FlowSheet *sheet, FlowMarkKind kind) {
    int count = 0;
    for (int i = 0; i < sheet->marks; i++)
        count += sheet->mark[i].kind == kind;
    return count;
}

static const char *word_of(FlowMarkKind kind) {
    for (int i = 0; i < FILTER_COUNT; i++) {
        if (FILTERS[i].kind == kind) return FILTERS[i].word;
    }
    return "end";
}

/* One entry; returns the y after it. */
static double draw_entry(Ui *ui, Rect room, double y, const FlowMark *mark) {
    const Theme *t = ui->theme;
    char text[TEXT_SHORT];
    double x = room.x + TIME_PX + KIND_PX;
    ui_draw_line(ui->list, room.x, y + 0.5, room.x + room.w, y + 0.5, ui_draw_solid(t->hairline, 1.0));
    sim_flowsheet_clock(mark->time_s, text, sizeof text);
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_LEFT, t->text2, room.x, y + 22.0, text);
    if (mark->number > 0)
        snprintf(text, sizeof text, "order %d", mark->number);
    else
        snprintf(text, sizeof text, "%s", word_of(mark->kind));
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, room.x + TIME_PX, y + 22.0, text);
    double name = fmin(ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, mark->what), 240.0);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x, y + 22.0, 240.0,
                     mark->what);
    int lines = ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_BODY, t->text1, x + name + 14.0, y + 22.0,
                                  room.x + room.w - x - name - 14.0, LINE_PX, WORDS_LINES, mark->detail);
    return y + (lines > 1 ? lines : 1) * LINE_PX + 8.0;
}

static double draw_entries(Ui *ui, Rect room, double y, const ChartState *chart) {
    const FlowSheet *sheet = &chart->sheet;
    for (int i = sheet->marks - 1; i >= 0; i--) {
        if (!chart->hidden[sheet->mark[i].kind]) y = draw_entry(ui, room, y, &sheet->mark[i]);
    }
    return y;
}

static void draw_filters(Ui *ui, Rect bar, const ChartState *chart, Intents *intents) {
    ui_chart_region(ui, chart, CHART_REGION_HEAD, bar, ui->theme->panel);
    double x = bar.x + PANEL_PAD, y = bar.y + 6.0;
    char label[TEXT_LINE];
    for (int i = 0; i < FILTER_COUNT; i++) {
        int count = count_kind(&chart->sheet, FILTERS[i].kind);
        bool shown = !chart->hidden[FILTERS[i].kind];
        snprintf(label, sizeof label, "%s%s %d", shown ? "\u2713 " : "", FILTERS[i].name, count);
        bool hit =
            ui_chart_button(ui, CHART_ID_FILTER + i, &x, y, label, shown ? BUTTON_CHOSEN : BUTTON_PLAIN);
        if (hit) ui_intents_add(intents, INTENT_PART, CHART_PART_FILTER, FILTERS[i].kind, false);
    }
}

void ui_chart_log(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents) {
    ui_chart_region(ui, chart, CHART_REGION_BAR, bar, ui->theme->window);
    title(ui, bar, chart, "The night so far", intents);
    draw_filters(ui, ui_rect_cut_top(&body, FILTERS_PX), chart, intents);
    ui_chart_region(ui, chart, CHART_REGION_CELLS, body, ui->theme->panel);
    Rect room = ui_rect_inset(body, PANEL_PAD, 8.0), track = ui_rect_cut_right(&room, TRACK_PX);
    room.w -= 8.0;
    DrawMark before = ui_draw_mark(ui->list);
    double used = draw_entries(ui, room, 0.0, chart);
    ui_draw_rewind(ui->list, before);
    double over = fmax(used - room.h, 0.0), at = fmin(chart->scroll_px, over);
    ui_draw_clip_rect(ui->list, room);
    if (used <= 0.0)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_LEFT, ui->theme->text2, room.x, room.y + 24.0,
                     "Nothing yet.");
    (void)draw_entries(ui, room, room.y - at, chart);
    ui_draw_unclip(ui->list);
    scroll(ui, room, track, at, over, intents);
    draw_foot(ui, foot, chart, "Newest first; Tab and Enter choose what is shown");
}
