/* The look: what it shows, its keys, and what they do. */
#include "ui/look_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double DEPTH_STEP_MM = 10.0, DEPTH_SPARE_MM = 26.0; /* deeper at once, shallower late */
static const double VALVE_DEPTH_MM = 92.0, INFLOW_DEPTH_MM = 104.0;
static const double LIVE_TO_RATE = 2.0; /* above it the last second is played again and again */
static const double REPLAY_S = 1.0;

enum { FRAME_MOMENTS = 2 }; /* a frame of 16 ms */

/* --- what is shown --- */

static void keep_depth(double *depth_mm, double need_mm) {
    if (!isfinite(need_mm)) return;
    if (need_mm > *depth_mm || need_mm < *depth_mm - DEPTH_SPARE_MM)
        *depth_mm = DEPTH_STEP_MM * ceil(need_mm / DEPTH_STEP_MM);
}

void ui_look_settle(LookSheet *sheet) {
    const HeartMoment *m = ui_look_moment(sheet);
    sheet->now = sheet->heart;
    sheet->now.reduced_motion = sheet->reduced_motion;
    sheet->now.frozen = sheet->frozen;
    if (m != NULL) {
        HeartView *v = &sheet->now;
        for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
            v->chamber[c].now_ml = m->volume_ml[c];
        for (int k = 0; k < HEART_VALVE_COUNT; k++) {
            v->valve[k].open_frac = m->open_frac[k];
            v->valve[k].flow_ml_s = m->valve_ml_s[k];
        }
        v->septum_mm = m->septum_mm;
        v->left_pump.flow_ml_s = m->left_pump_ml_s;
        v->left_pump.occlusion_frac = m->left_occlusion;
        v->right_pump.flow_ml_s = m->right_pump_ml_s;
        v->right_pump.occlusion_frac = m->right_occlusion;
    }
    if (!sheet->heart.shown) return;
    keep_depth(&sheet->depth_mm[LOOK_PAGE_FOUR], ui_look_four_need_mm(sheet));
    keep_depth(&sheet->depth_mm[LOOK_PAGE_SHORT], ui_look_short_need_mm(sheet));
    sheet->depth_mm[LOOK_PAGE_SAC] = sheet->depth_mm[LOOK_PAGE_FOUR];
    sheet->depth_mm[LOOK_PAGE_VALVE] = VALVE_DEPTH_MM;
    sheet->depth_mm[LOOK_PAGE_INFLOW] = INFLOW_DEPTH_MM;
}

static void look_open(void *state, SheetContext *context) {
    LookSheet *sheet = state;
    (void)context;
    sheet->frozen = sheet->measuring = sheet->marked = false;
    sheet->outline = true;
    sheet->at = -1;
    sheet->renewed_s = 0.0;
    sheet->left_s = NAN;
}

/* At high time rates single beats cannot be followed: the last second is played again and again. */
static void replay(LookSheet *sheet, double now_s) {
    int64_t moments = (int64_t)((now_s - sheet->renewed_s) * 1000.0 / HEART_MOMENT_MS);
    sheet->at = sheet->played_from + moments;
    if (sheet->at >= sheet->loop.end) sheet->at = sheet->loop.end - 1;
}

static void look_fill(void *state, SheetContext *context) {
    LookSheet *sheet = state;
    if (context->feed == NULL) return;
    const Case *file = sim_session_case(ui_feed_session(context->feed));
    BedsideView *view = NULL;
    (void)view;
    sheet->tags = file->level < 3;
    sheet->picture = true;
    sheet->time_s = sim_session_time_s(ui_feed_session(context->feed));
    sheet->paused = ui_feed_paused(context->feed);
    if (sheet->frozen) {
        ui_look_settle(sheet);
        return;
    }
    if (sheet->time_rate > LIVE_TO_RATE && sheet->at >= 0 && context->now_s - sheet->renewed_s < REPLAY_S) {
        replay(sheet, context->now_s);
    } else {
        sheet->at = ui_feed_look(context->feed, &sheet->heart, &sheet->loop);
        sheet->renewed_s = context->now_s;
        if (sheet->time_rate > LIVE_TO_RATE) {
            int64_t span = (int64_t)(REPLAY_S * 1000.0 / HEART_MOMENT_MS);
            sheet->played_from =
                sheet->loop.end - span > sheet->loop.first ? sheet->loop.end - span : sheet->loop.first;
            sheet->at = sheet->played_from;
        }
    }
    ui_look_settle(sheet);
}

/* --- what the user wants --- */

/* Where the calliper starts: in the middle of the page's picture, level. */
static void place_marks(LookSheet *sheet) {
    static const HeartPoint FROM[LOOK_PAGES] = {
        {10.0, 60.0}, {-20.0, 0.0}, {-10.0, 0.0}, {10.0, 60.0}, {10.0, 60.0}};
    static const double LENGTH_MM[LOOK_PAGES] = {40.0, 40.0, 20.0, 40.0, 30.0};
    if (sheet->marked) return;
    sheet->marked = true;
    sheet->mark_chosen = 0;
    sheet->mark[0] = sheet->mark[1] = FROM[sheet->page];
    sheet->mark[1].x_mm += LENGTH_MM[sheet->page];
}

static void open_page(LookSheet *sheet, int page) {
    sheet->gauges = page == LOOK_PAGES;
    if (page < 0 || page >= LOOK_PAGES || sheet->page == (LookPage)page) return;
    sheet->page = (LookPage)page;
    sheet->marked = sheet->measuring = false;
}

static void step_frames(LookSheet *sheet, double frames) {
    if (!sheet->frozen) return;
    sheet->at += (int64_t)(frames * FRAME_MOMENTS);
    if (sheet->at < sheet->loop.first) sheet->at = sheet->loop.first;
    if (sheet->at >= sheet->loop.end) sheet->at = sheet->loop.end - 1;
}

static void freeze(LookSheet *sheet) {
    sheet->frozen = !sheet->frozen;
    sheet->renewed_s = 0.0;
    /* what has been computed ahead of the picture has not been seen: it is not kept */
    if (sheet->frozen && sheet->at >= 0 && sheet->at < sheet->loop.end) sheet->loop.end = sheet->at + 1;
}

static void look_apply(void *state, SheetContext *context, const Intent *intent) {
    LookSheet *sheet = state;
    HeartPoint *mark = &sheet->mark[sheet->mark_chosen];
    (void)context;
    switch ((LookPart)intent->number) {
    case LOOK_PART_PAGE:
        open_page(sheet, (int)intent->amount);
        break;
    case LOOK_PART_FREEZE:
        freeze(sheet);
        break;
    case LOOK_PART_OUTLINE:
        sheet->outline = !sheet->outline;
        break;
    case LOOK_PART_PLAIN:
        sheet->plain = !sheet->plain;
        break;
    case LOOK_PART_MEASURE:
        sheet->measuring = !intent->large;
        if (sheet->measuring)
            place_marks(sheet);
        else
            sheet->marked = false;
        break;
    case LOOK_PART_STEP:
        step_frames(sheet, intent->amount);
        break;
    case LOOK_PART_POINT:
        sheet->mark_chosen = 1 - sheet->mark_chosen;
        break;
    case LOOK_PART_PICK:
        sheet->mark_chosen = intent->amount > 0.5 ? 1 : 0;
        break;
    case LOOK_PART_MOVE_X:
        mark->x_mm += intent->amount;
        break;
    case LOOK_PART_MOVE_Y:
        mark->y_mm += intent->amount;
        break;
    case LOOK_PART_AT_X:
        mark->x_mm = intent->amount;
        break;
    case LOOK_PART_AT_Y:
        mark->y_mm = intent->amount;
        break;
    }
}

/* --- drawing --- */

static void part(Intents *intents, LookPart which, double amount, bool large) {
    ui_intents_add(intents, INTENT_PART, (int)which, amount, large);
}

/* Keys of the sheet before any control sees them: Space freezes whatever has the focus. */
static void take_keys(Ui *ui, const LookSheet *sheet, const LookLayout *l, Intents *intents) {
    for (uint32_t k = 0; k < LOOK_PAGES + (l->compact ? 1 : 0); k++) {
        if (ui_widgets_take_char(ui, '1' + k)) part(intents, LOOK_PART_PAGE, k, false);
    }
    if (ui_widgets_take_char(ui, ' ')) part(intents, LOOK_PART_FREEZE, 0.0, false);
    if (ui_widgets_take_char(ui, 'r')) part(intents, LOOK_PART_OUTLINE, 0.0, false);
    if (ui_widgets_take_char(ui, 'd')) part(intents, LOOK_PART_PLAIN, 0.0, false);
    if (ui_widgets_take_char(ui, 'm')) part(intents, LOOK_PART_MEASURE, 0.0, sheet->measuring);
    if (sheet->measuring && ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        part(intents, LOOK_PART_MEASURE, 0.0, true);
    if (!sheet->frozen || sheet->measuring) return;
    bool shift = false;
    while (ui_widgets_take_key(ui, KEY_LEFT, &shift))
        part(intents, LOOK_PART_STEP, shift ? -10.0 : -1.0, false);
    while (ui_widgets_take_key(ui, KEY_RIGHT, &shift))
        part(intents, LOOK_PART_STEP, shift ? 10.0 : 1.0, false);
}

/* What the page is, and how to read its lines. */
static void draw_heading(Ui *ui, const LookStyle *style, const LookSheet *sheet) {
    static const char *const NAME[LOOK_PAGES] = {"Four chambers", "Short axis, middle of the ventricles",
                                                 "Aortic valve from above", "Pericardium", "Inflow"};
    const Theme *t = ui->theme;
    double x = style->sector->rect.x + 18.0, y = style->sector->rect.y + 28.0;
    bool dashed =
        sheet->outline && sheet->picture && (sheet->page == LOOK_PAGE_FOUR || sheet->page == LOOK_PAGE_SHORT);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x, y, NAME[sheet->page]);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x, y + 23.0,
                 "schematic, not an image");
    if (dashed)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x, y + 45.0,
                     "dashed: reference, end diastole");
    if (!sheet->frozen) return;
    double w = 92.0;
    Rect box = {style->sector->middle_x - 0.5 * w, style->sector->rect.y + style->sector->rect.h - 40.0, w,
                30.0};
    ui_draw_rect(ui->list, box, 6.0, t->text1);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->ink, box.x + 0.5 * w, box.y + 21.0,
                 "FROZEN");
}

static void draw_words(Ui *ui, const LookStyle *style, const LookSheet *sheet) {
    const Theme *t = ui->theme;
    Rect r = style->sector->rect;
    double x = style->sector->middle_x, y = r.y + 0.46 * r.h;
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_CENTRE, t->text1, x, y, r.w - 60.0,
                     sheet->words);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_CENTRE, t->text2, x, y + 32.0, r.w - 60.0,
                     sheet->detail);
}

static void draw_picture(Ui *ui, const LookLayout *l, const LookSheet *sheet, Intents *intents) {
    typedef HeartPen (*DrawPage)(DrawList *, const LookStyle *, const LookSheet *);
    static const DrawPage PAGE[LOOK_PAGES] = {ui_look_four, ui_look_short_draw, ui_look_valve, ui_look_sac,
                                              ui_look_inflow};
    double depth_mm = sheet->depth_mm[sheet->page];
    LookSector sector = ui_look_sector(l->picture, depth_mm > 0.0 ? depth_mm : 160.0);
    LookStyle style = ui_look_style(ui->theme, &sector, sheet);
    bool seen = sheet->picture && sheet->heart.shown;
    ui_draw_region(ui->list, LOOK_REGION_PICTURE, l->picture);
    ui_draw_rect(ui->list, l->picture, 0.0, ui->theme->window);
    ui_look_fan(ui->list, &style, !seen);
    if (seen) {
        HeartPen pen = PAGE[sheet->page](ui->list, &style, sheet);
        ui_look_depth(ui->list, &style);
        ui_look_caliper_draw(ui->list, &style, &pen, sheet);
        ui_look_caliper_input(ui, l->picture, &pen, sheet, intents);
    } else {
        draw_words(ui, &style, sheet);
    }
    draw_heading(ui, &style, sheet);
}

void ui_look_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const LookSheet *sheet = state;
    LookLayout l = ui_look_layout(screen, sheet);
    take_keys(ui, sheet, &l, intents);
    ui_draw_region(ui->list, LOOK_REGION_GROUND, screen);
    ui_draw_rect(ui->list, screen, 0.0, ui->theme->window);
    ui_draw_region(ui->list, LOOK_REGION_BAR, l.bar);
    ui_look_bar(ui, &l, sheet, intents);
    if (l.picture.h > 0.0) {
        draw_picture(ui, &l, sheet, intents);
        ui_draw_region(ui->list, LOOK_REGION_STRIP, l.strip);
        ui_draw_rect(ui->list, l.strip, 0.0, ui->theme->window);
        if (sheet->picture && sheet->heart.shown)
            ui_look_strip(ui, l.strip, sheet);
        else
            ui_draw_rect(ui->list, l.strip, PANEL_RADIUS, ui->theme->panel);
    }
    ui_draw_region(ui->list, LOOK_REGION_TOOLS, l.tools);
    ui_look_tools(ui, &l, sheet, intents);
    ui_look_gauges(ui, &l, sheet);
    ui_sheets_keys(ui, intents);
}

const SheetKind UI_LOOK_SHEET = {.state_size = sizeof(LookSheet),
                                .open = look_open,
                                .fill = look_fill,
                                .draw = ui_look_draw,
                                .apply = look_apply};
