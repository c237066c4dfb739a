/* The chart as a sheet: its top bar, its tabs, what its intents do. */
#include "ui/chart.h"

#include "sim/journal.h"
#include "ui/alarm_strip.h"
#include "ui/feed_parts.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#define TIGHT_PX      820.0 /* a narrower bar names only the open tab */
#define TIGHT_BACK_PX 56.0
#define MARGIN_PX     12.0
#define TOP_PX        52.0
#define BAR_PX        44.0
#define FOOT_PX       36.0
#define BUTTON_PX     36.0
#define NARROW_PX     1200.0
#define ALARMS_LEAST  180.0 /* room of the alarm strip */
#define TRAINING_PX   150.0
#define BACK_PX       136.0

static const char *const TAB_NAMES[CHART_TAB_COUNT] = {"Flow sheet", "Plots", "Results", "Log"};

void ui_chart_region(Ui *ui, const ChartState *chart, int region, Rect rect, Colour ground) {
    ui_draw_region(ui->list, region, rect);
    ui_draw_rect(ui->list, rect, 0.0, ground);
    /* nothing to see, but another list when the page was rearranged */
    ui_draw_rect(ui->list, (Rect){rect.x, rect.y, 0.0, (double)chart->version}, 0.0, ground);
}

bool ui_chart_button(Ui *ui, int id, double *x, double y, const char *label, ButtonLook look) {
    double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_BODY, label) + 24.0;
    Rect r = {*x, y, w, BUTTON_PX};
    *x += w + 8.0;
    return ui_widgets_button(ui, id, r, label, look);
}

void ui_chart_number(char *text, size_t size, double value, int decimals) {
    ui_tiles_format(text, size, value, decimals);
}

void ui_chart_alarms(Ui *ui, Rect bar, double x, const ChartState *chart, Intents *intents) {
    Rect room = {x + 4.0, bar.y + 1.0, bar.x + bar.w - MARGIN_PX - x - 4.0, BUTTON_PX + 2.0};
    if (room.w >= ALARMS_LEAST) ui_alarm_strip_draw(ui, &chart->bedside, room, intents);
}

void ui_chart_notice(Ui *ui, Rect foot, const ChartState *chart) {
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text1, foot.x + 16.0,
                     foot.y + 23.0, foot.w - 32.0, chart->notice);
}

/* ---- top bar ---- */

static void draw_training(Ui *ui, double right, double y) {
    const Theme *t = ui->theme;
    Rect box = {right - TRAINING_PX, y, TRAINING_PX, BUTTON_PX};
    ui_draw_frame(ui->list, box, 6.0, ui_draw_solid(t->text1, 1.5));
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, box.x + box.w / 2.0,
                 y + 24.0, "TRAINING ONLY");
}

static void draw_top(Ui *ui, Rect top, const ChartState *chart, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE], when[TEXT_SHORT];
    ui_chart_region(ui, chart, CHART_REGION_TOP, top, t->window);
    double x = top.x + MARGIN_PX, y = top.y + 8.0;
    ui_tiles_clock(when, sizeof when, chart->now_s, true);
    ui_draw_text(ui->list, FACE_DIGITS, 22.0, ALIGN_LEFT, t->text1, x, y + 26.0, when);
    x += 116.0;
    if (top.w >= NARROW_PX) {
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x, y + 16.0, 210.0,
                         "Chart");
        snprintf(text, sizeof text, "\u00d7%.0f%s, %.60s", chart->bedside.time_rate,
                 chart->paused ? " paused" : "", chart->case_title);
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y + 35.0, 220.0, text);
        x += 236.0;
    }
    for (int tab = 0; tab < CHART_TAB_COUNT; tab++) {
        bool named = top.w >= TIGHT_PX || tab == (int)chart->tab;
        snprintf(text, sizeof text, "%d%s%s", tab + 1, named ? "  " : "", named ? TAB_NAMES[tab] : "");
        ButtonLook look = tab == (int)chart->tab ? BUTTON_CHOSEN : BUTTON_PLAIN;
        bool hit = ui_chart_button(ui, CHART_ID_TAB + tab, &x, y, text, look);
        ui_widgets_tell(ui, UI_ROLE_TAB, TAB_NAMES[tab], tab == (int)chart->tab);
        if (hit) ui_intents_add(intents, INTENT_PART, CHART_PART_TAB, tab, false);
    }
    draw_training(ui, top.x + top.w - MARGIN_PX, y);
    bool tight = top.w < TIGHT_PX;
    double back = top.x + top.w - MARGIN_PX - TRAINING_PX - 8.0 - (tight ? TIGHT_BACK_PX : BACK_PX);
    if (ui_chart_button(ui, CHART_ID_BACK, &back, y, tight ? "Esc" : "Bedside  Esc", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, "back to the bedside, Esc", false);
}

static void tab_keys(Ui *ui, Intents *intents) {
    for (int tab = 0; tab < CHART_TAB_COUNT; tab++) {
        if (ui_widgets_take_char(ui, (uint32_t)('1' + tab)))
            ui_intents_add(intents, INTENT_PART, CHART_PART_TAB, tab, false);
    }
    if (ui_widgets_take_char(ui, 'x')) ui_intents_add(intents, INTENT_PART, CHART_PART_EXPORT, 0.0, false);
}

static void draw_chart(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const ChartState *chart = state;
    Rect rest = screen;
    Rect top = ui_rect_cut_top(&rest, TOP_PX), bar = ui_rect_cut_top(&rest, BAR_PX);
    Rect foot = ui_rect_cut_bottom(&rest, FOOT_PX);
    ui_chart_region(ui, chart, CHART_REGION_BACK, screen, ui->theme->window);
    draw_top(ui, top, chart, intents);
    Rect body = {rest.x + MARGIN_PX, rest.y, rest.w - 2.0 * MARGIN_PX, rest.h};
    switch (chart->tab) {
    case CHART_TAB_PLOTS:
        ui_chart_plots(ui, bar, body, foot, chart, intents);
        break;
    case CHART_TAB_RESULTS:
        ui_chart_results(ui, bar, body, foot, chart, intents);
        break;
    case CHART_TAB_LOG:
        ui_chart_log(ui, bar, body, foot, chart, intents);
        break;
    default:
        ui_chart_table(ui, bar, body, foot, chart, intents);
        break;
    }
    tab_keys(ui, intents);
    ui_sheets_keys(ui, intents);
}

/* ---- intents ---- */

static void toggle(ChartState *chart, int quantity) {
    if (quantity < 0 || quantity >= chart->quantities) return;
    for (int i = 0; i < chart->plots; i++) {
        if (chart->chosen[i] != quantity) continue;
        for (int k = i; k + 1 < chart->plots; k++)
            chart->chosen[k] = chart->chosen[k + 1];
        chart->plots--;
        return;
    }
    if (chart->plots == CHART_PLOTS_MAX) {
        snprintf(chart->notice, sizeof chart->notice, "Eight plots at most: take one off first.");
        return;
    }
    chart->chosen[chart->plots++] = quantity;
}

static int within(double amount, int count) {
    return amount < 0.0 ? 0 : amount > count - 1 ? count - 1 : (int)amount;
}

/* From a row of the sheet to its plot, at the cell's moment. */
static void plot_row(ChartState *chart, int row) {
    int quantity = ui_chart_row_quantity(chart, row);
    if (quantity < 0) return;
    if (!ui_chart_plotted(chart, quantity)) toggle(chart, quantity);
    chart->tab = CHART_TAB_PLOTS;
    chart->cursor_s = chart->cell_s;
    if (chart->cell_s >= 0.0) chart->end_s = chart->cell_s + CHART_SPANS_S[chart->span] / 2.0;
}

void ui_chart_apply(ChartState *chart, ChartPart part, double amount) {
    chart->notice[0] = '\0';
    switch (part) {
    case CHART_PART_TAB:
        chart->tab = (ChartTab)within(amount, CHART_TAB_COUNT);
        chart->picking = false;
        chart->scroll_px = 0.0;
        break;
    case CHART_PART_STEP:
        chart->step = within(amount, CHART_STEPS);
        break;
    case CHART_PART_ROW:
        chart->row = within(amount, chart->sheet.rows);
        break;
    case CHART_PART_CELL:
        chart->cell_s = amount;
        break;
    case CHART_PART_TOP:
        chart->top = within(amount, chart->sheet.rows);
        break;
    case CHART_PART_RIGHT:
        chart->right_s = amount;
        break;
    case CHART_PART_PLOT:
        plot_row(chart, within(amount, chart->sheet.rows));
        break;
    case CHART_PART_SPAN:
        chart->span = within(amount, CHART_SPANS);
        break;
    case CHART_PART_CURSOR:
        chart->cursor_s = amount;
        break;
    case CHART_PART_END:
        chart->end_s = amount;
        break;
    case CHART_PART_PICKER:
        chart->picking = !chart->picking;
        break;
    case CHART_PART_PICK:
        chart->pick = within(amount, chart->quantities);
        break;
    case CHART_PART_TOGGLE:
        toggle(chart, (int)amount);
        break;
    case CHART_PART_USUAL:
        chart->plots = -1;
        break;
    case CHART_PART_FILTER:
        chart->hidden[within(amount, FLOW_MARK_COUNT)] = !chart->hidden[within(amount, FLOW_MARK_COUNT)];
        chart->scroll_px = 0.0;
        break;
    case CHART_PART_SCROLL:
        chart->scroll_px = amount;
        break;
    case CHART_PART_EXPORT:
        break;
    }
    bool rearranged = part == CHART_PART_TAB || part == CHART_PART_TOGGLE || part == CHART_PART_USUAL ||
                      part == CHART_PART_PICKER || part == CHART_PART_PLOT;
    if (rearranged) chart->version++;
    if (part == CHART_PART_TOGGLE || part == CHART_PART_USUAL || part == CHART_PART_PLOT)
        chart->history_seen = -1; /* the plots are to be filled */
}

void ui_chart_export(ChartState *chart, const char *folder, const char *stem) {
    char path[JOURNAL_PATH_MAX + 64];
    Error error;
    model_error_clear(&error);
    snprintf(path, sizeof path, "%.500s/%.300s-events.csv", folder, stem);
    ErrorCode code = sim_flowsheet_write_marks(&chart->sheet, path, &error);
    snprintf(path, sizeof path, "%.500s/%.300s-flowsheet.csv", folder, stem);
    if (code == ERROR_OK) code = sim_flowsheet_write(&chart->sheet, path, &error);
    if (code == ERROR_OK)
        snprintf(chart->notice, sizeof chart->notice, "Written: %.500s, and -events.csv beside it", path);
    else
        model_error_format(&error, chart->notice, sizeof chart->notice);
}

/* Names the tables after the recorded night, or after the case and the time where there is none. */
static void export_night(ChartState *chart, Feed *feed) {
    char folder[JOURNAL_PATH_MAX], stem[JOURNAL_PATH_MAX];
    Error error;
    model_error_clear(&error);
    if (sim_journal_folder(folder, sizeof folder, &error) != ERROR_OK) {
        model_error_format(&error, chart->notice, sizeof chart->notice);
        return;
    }
    const char *night = ui_feed_journal_path(feed), *slash = strrchr(night, '/');
    if (night[0] != '\0') {
        snprintf(stem, sizeof stem, "%s", slash != NULL ? slash + 1 : night);
        char *dot = strrchr(stem, '.');
        if (dot != NULL) *dot = '\0';
    } else {
        snprintf(stem, sizeof stem, "%.60s-%ld", sim_session_case(ui_feed_session(feed))->id,
                 (long)time(NULL));
    }
    ui_chart_export(chart, folder, stem);
}

/* ---- the sheet ---- */

static void open_chart(void *state, SheetContext *context) {
    ChartState *chart = state;
    if (context->feed == NULL) {
        context->close = true;
        return;
    }
    if (!chart->filled) ui_chart_start(chart);
    chart->version++;
    chart->notice[0] = '\0';
}

static void fill_chart(void *state, SheetContext *context) {
    ChartState *chart = state;
    if (context->feed == NULL) {
        context->close = true;
        return;
    }
    chart->paused = ui_feed_paused(context->feed);
    chart->bedside.paused = chart->paused;
    chart->bedside.time_rate = ui_feed_rate_now(context->feed);
    ui_feed_alarms(context->feed, &chart->bedside.alarms);
    ui_chart_fill(chart, ui_feed_session(context->feed));
}

static void apply_chart(void *state, SheetContext *context, const Intent *intent) {
    ChartState *chart = state;
    ui_chart_apply(chart, (ChartPart)intent->number, intent->amount);
    if (intent->number == CHART_PART_EXPORT && context->feed != NULL) export_night(chart, context->feed);
}

const SheetKind UI_CHART_SHEET = {.state_size = sizeof(ChartState),
                                  .open = open_chart,
                                  .fill = fill_chart,
                                  .draw = draw_chart,
                                  .apply = apply_chart};
