/* One frame of the bedside: draw list, traces, repainting. */
#include "ui/screen.h"
#include "ui/traces.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define BAND_BEFORE_PX 8.0 /* repainted before the old cursor: its dot and the join */
#define BAND_AFTER_PX  8.0 /* and after the end of the gap */

enum { SCREEN_WIDTH_LEAST = 160, SCREEN_HEIGHT_LEAST = 100 }; /* device px */

ErrorCode ui_screen_start(Screen *screen, Error *error) {
    memset(screen, 0, sizeof *screen);
    ui_draw_init(&screen->list);
    ui_draw_init(&screen->traces);
    screen->settings = screen->settings_before = ui_settings_default();
    FontSet fonts;
    ErrorCode code = ui_fonts_find(&fonts, error);
    if (code != ERROR_OK) return code;
    screen->text = ui_text_create(&fonts, error);
    return screen->text == NULL ? ERROR_FONT : ERROR_OK;
}

void ui_screen_free(Screen *screen) {
    ui_draw_free(&screen->list);
    ui_draw_free(&screen->traces);
    ui_raster_destroy(screen->canvas);
    ui_text_destroy(screen->text);
    screen->canvas = NULL;
    screen->text = NULL;
}

/* Places everything anew: for another canvas, other lanes or another panel. */
static void lay_out(Screen *screen) {
    static const SettingId SHOWN[LANE_COUNT] = {
        [LANE_ECG] = SETTING_trace_ecg,        [LANE_ARTERY] = SETTING_trace_artery,
        [LANE_PA] = SETTING_trace_pa,          [LANE_CVP] = SETTING_trace_cvp,
        [LANE_PUMP_FLOW] = SETTING_trace_pump, [LANE_AIRWAY] = SETTING_trace_airway};
    BedsideChoice choice = {.panel = screen->panel};
    for (int i = 0; i < LANE_COUNT; i++)
        choice.lane[i] = ui_settings_on(&screen->settings, SHOWN[i]);
    double scale = ui_raster_scale(screen->canvas);
    screen->layout = ui_bedside_layout(ui_raster_width(screen->canvas) / scale,
                                       ui_raster_height(screen->canvas) / scale, &choice);
    double trace_px = screen->layout.trace[screen->layout.first_lane].w * scale;
    screen->columns = (int)fmin(floor(trace_px), SWEEP_COLUMNS_MAX);
    ui_painter_forget(&screen->painter);
}

ErrorCode ui_screen_resize(Screen *screen, int width_px, int height_px, double scale, Error *error) {
    /* a window made so small that nothing shows still has a canvas */
    width_px = width_px > SCREEN_WIDTH_LEAST ? width_px : SCREEN_WIDTH_LEAST;
    height_px = height_px > SCREEN_HEIGHT_LEAST ? height_px : SCREEN_HEIGHT_LEAST;
    /* a scale at which the smallest arrangement would not fit is brought down to one where it does */
    scale = fmin(scale, fmin(width_px / UI_BEDSIDE_LEAST_WIDTH, height_px / UI_BEDSIDE_LEAST_HEIGHT));
    Canvas *canvas = ui_raster_create(width_px, height_px, scale, screen->text, error);
    if (canvas == NULL) return ERROR_MEMORY;
    ui_raster_destroy(screen->canvas);
    screen->canvas = canvas;
    ui_raster_measure(canvas, &screen->list);
    ui_raster_measure(canvas, &screen->traces);
    lay_out(screen);
    return ERROR_OK;
}

static void trace_band(Screen *screen, DrawList *list, const ScreenFrame *frame, int lane, double x0,
                       double x1) {
    Rect r = screen->layout.trace[lane];
    x0 = fmax(x0, r.x - BAND_BEFORE_PX);
    x1 = fmin(x1, r.x + r.w + BAND_AFTER_PX);
    if (x1 > x0)
        ui_bedside_trace(list, screen->ui.theme, &screen->layout, frame->view, frame->sweep[lane], lane, x0,
                         x1);
}

static void whole_trace(Screen *screen, DrawList *list, const ScreenFrame *frame, int lane) {
    Rect r = screen->layout.trace[lane];
    trace_band(screen, list, frame, lane, r.x - BAND_BEFORE_PX, r.x + r.w + BAND_AFTER_PX);
    screen->trace_at[lane] = frame->sweep[lane]->at;
    screen->trace_cursor[lane] = frame->sweep[lane]->cursor;
}

/* The part of a lane that changed since it was painted: from the old cursor to the end of the gap ahead of
   the new one, around the right edge where need be. */
static void changed_trace(Screen *screen, DrawList *list, const ScreenFrame *frame, int lane) {
    const Sweep *sweep = frame->sweep[lane];
    Rect r = screen->layout.trace[lane];
    int64_t moved = sweep->at - screen->trace_at[lane];
    if (moved == 0) return;
    if (moved < 0 || moved >= sweep->columns || screen->trace_cursor[lane] < 0) {
        whole_trace(screen, list, frame, lane);
        return;
    }
    double step = r.w / sweep->columns, gap = (sweep->columns / UI_TRACES_GAP_SHARE + 1) * step;
    double x0 = r.x + screen->trace_cursor[lane] * step - BAND_BEFORE_PX;
    double x1 = r.x + (screen->trace_cursor[lane] + (double)moved + 1.0) * step + gap + BAND_AFTER_PX;
    trace_band(screen, list, frame, lane, x0, x1);
    if (x1 > r.x + r.w) trace_band(screen, list, frame, lane, r.x - BAND_BEFORE_PX, x1 - r.w);
    screen->trace_at[lane] = sweep->at;
    screen->trace_cursor[lane] = sweep->cursor;
}

static void paint_traces(Screen *screen, const ScreenFrame *frame) {
    bool filled = ui_bedside_envelope(frame->view), all = filled != screen->filled_before;
    screen->filled_before = filled;
    ui_draw_clear(&screen->traces);
    for (int lane = 0; lane < frame->view->lanes; lane++) {
        if (frame->sweep[lane] == NULL || screen->layout.lane[lane].w <= 0.0) continue;
        if (all || ui_painter_painted(&screen->painter, REGION_LANE + lane))
            whole_trace(screen, &screen->traces, frame, lane);
        else
            changed_trace(screen, &screen->traces, frame, lane);
    }
    ui_painter_always(&screen->painter, screen->canvas, &screen->traces);
}

/* The bedside with its traces; under a card the traces are part of the list. */
static void draw_bedside(Screen *screen, const ScreenFrame *frame, bool covered, Intents *intents) {
    ui_bedside_ground(&screen->ui, &screen->layout, frame->view != NULL);
    if (frame->view == NULL) return;
    ui_bedside_draw(&screen->ui, &screen->layout, frame->view, intents);
    for (int lane = 0; covered && lane < frame->view->lanes; lane++) {
        if (frame->sweep[lane] != NULL && screen->layout.lane[lane].w > 0.0)
            whole_trace(screen, &screen->list, frame, lane);
    }
}

void ui_screen_note(Screen *screen, const char *text, double seconds) {
    snprintf(screen->note, sizeof screen->note, "%s", text);
    screen->note_for_s = seconds;
    screen->note_from_s = -1.0;
    ui_painter_forget(&screen->painter);
}

/* Whether something is being said; forgets what has been said long enough. */
static bool note_shown(Screen *screen, double time_s) {
    if (screen->note[0] == '\0') return false;
    if (screen->note_from_s < 0.0) screen->note_from_s = time_s;
    if (time_s - screen->note_from_s <= screen->note_for_s) return true;
    screen->note[0] = '\0';
    ui_painter_forget(&screen->painter);
    return false;
}

static void draw_note(Screen *screen) {
    Ui *ui = &screen->ui;
    const Theme *t = ui->theme;
    Rect s = screen->layout.screen;
    double w =
        fmin(ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, screen->note) + 40.0, s.w - 32.0);
    int lines = 2; /* room for a long one */
    if (ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_BODY, screen->note) <= w - 36.0) lines = 1;
    Rect r = {floor((s.w - w) / 2.0), s.h - 28.0 - 24.0 * lines - 16.0, w, 24.0 * lines + 16.0};
    ui_draw_region(ui->list, REGION_NOTE, r);
    ui_draw_rect(ui->list, r, 8.0, t->text1);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS_STRONG, TYPE_BODY, t->ink, r.x + 18.0, r.y + 26.0, w - 36.0,
                            24.0, lines, screen->note);
}

/* What the settings change about drawing; everything is painted again when they have changed. */
static void take_settings(Screen *screen) {
    const Settings *s = &screen->settings;
    if (memcmp(s, &screen->settings_before, sizeof *s) != 0) lay_out(screen);
    screen->settings_before = *s;
    screen->ui.settings = s;
    screen->ui.reduced_motion = ui_settings_on(s, SETTING_reduced_motion);
    screen->ui.reduced_flashing = ui_settings_on(s, SETTING_reduced_flashing);
    screen->list.decimal_comma = screen->traces.decimal_comma = ui_settings_on(s, SETTING_decimal);
    screen->traces.theme = ui_theme_of((ThemeKind)s->value[SETTING_theme]);
}

static int depth(OverlayKind overlay, const SheetKind *sheet) {
    return (overlay != OVERLAY_NONE) + (sheet != NULL);
}

/* What comes on top begins without a focus; what was under it gets its own back. */
static void follow_focus(Screen *screen, OverlayKind overlay, const SheetKind *sheet) {
    int before = depth(screen->overlay_before, screen->sheet_before), now = depth(overlay, sheet);
    if (now > before) screen->focus_under[before] = screen->ui.focus;
    screen->ui.focus = now < before ? screen->focus_under[now] : 0;
}

/* Shows the panel that is wanted from the next frame on; opening a group of orders brings the orders. */
static void follow_panel(Screen *screen, const Intents *intents) {
    for (int i = 0; screen->layout.compact && i < intents->count; i++) {
        const Intent *intent = &intents->of[i];
        if (intent->kind == INTENT_GROUP) screen->panel = PANEL_ORDERS;
        if (intent->kind == INTENT_PANEL) screen->panel = (BedsidePanel)intent->number;
    }
}

void ui_screen_frame(Screen *screen, const ScreenFrame *frame, Intents *intents) {
    Ui *ui = &screen->ui;
    OverlayKind overlay = frame->overlay == NULL ? OVERLAY_NONE : frame->overlay->kind;
    const SheetKind *sheet = frame->sheet;
    bool page = sheet != NULL && !sheet->card, card = sheet != NULL && sheet->card;
    bool bare = frame->view == NULL && !page;
    bool covered = overlay != OVERLAY_NONE || card || bare || screen->note[0] != '\0';
    if (overlay != screen->overlay_before || sheet != screen->sheet_before) {
        ui_painter_forget(&screen->painter);
        follow_focus(screen, overlay, sheet);
    }
    screen->overlay_before = overlay;
    screen->sheet_before = sheet;
    take_settings(screen);
    if (screen->layout.panel != screen->panel) lay_out(screen);
    ui_widgets_begin(ui, &screen->list, ui_theme_of((ThemeKind)screen->settings.value[SETTING_theme]),
                     &frame->input);
    ui->time_s = frame->time_s;
    ui->blocked = overlay != OVERLAY_NONE || (card && !page);
    if (page)
        sheet->draw(ui, screen->layout.screen, frame->sheet_state, intents);
    else
        draw_bedside(screen, frame, covered, intents);
    ui->blocked = overlay != OVERLAY_NONE;
    if (card) sheet->draw(ui, screen->layout.screen, frame->sheet_state, intents);
    ui->blocked = false;
    if (overlay != OVERLAY_NONE)
        ui_overlay_draw(ui, screen->layout.screen, frame->overlay, frame->view, intents);
    else if (frame->view != NULL && sheet == NULL)
        ui_bedside_keys(ui, &screen->layout, frame->view, intents);
    bool note = note_shown(screen, frame->time_s);
    if (note) draw_note(screen);
    ui_widgets_end(ui);
    follow_panel(screen, intents);
    ui_painter_begin(&screen->painter);
    ui_painter_regions(&screen->painter, screen->canvas, &screen->list, covered);
    if (!covered && !page) paint_traces(screen, frame);
}
