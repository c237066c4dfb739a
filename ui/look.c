/* The look: what it shows, its keys, and what they do. */
#include "ui/look_parts.h"
#include "ui/feed_parts.h"
#include "ui/settings.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double DEPTH_STEP_MM = 10.0, DEPTH_SPARE_MM = 26.0; /* deeper at once, shallower late */
static const double VALVE_DEPTH_MM = 92.0, INFLOW_DEPTH_MM = 104.0;
static const double LEAK_LEAST_ML_S = 4.0; /* back-flow that fills a drop at least */
enum { LEAK_MOMENTS = 125 };               /* a second */
static const double SIZE_STEADY = 0.5;  /* mm and mL together: a smaller change of the heart moves no depth */
static const double LIVE_TO_RATE = 2.0; /* above it the last second is played again and again */
static const double REPLAY_S = 1.0;

static const double SMALL_PX = 280.0; /* a picture no higher has no room for a legend */
enum { ID_ASK = 3050 };
enum { EXAM_LEVEL = 3 };    /* from here on sizes are not written beside the picture */
enum { FRAME_MOMENTS = 4 }; /* a frame of 32 ms, when live and when stepping */

/* --- what is shown --- */

static void keep_depth(double *depth_mm, double need_mm) {
    if (!isfinite(need_mm)) return;
    if (need_mm > *depth_mm || need_mm < *depth_mm - DEPTH_SPARE_MM)
        *depth_mm = DEPTH_STEP_MM * ceil(need_mm / DEPTH_STEP_MM);
}

/* A leak is seen while blood runs back: its size at this moment, of the beat's largest. */
static double leak_now(const LookSheet *sheet, int valve, double leak_frac) {
    double most_ml_s = LEAK_LEAST_ML_S, now_ml_s = 0.0;
    int64_t first = sheet->at - LEAK_MOMENTS;
    for (int64_t n = first > sheet->loop.first ? first : sheet->loop.first; n <= sheet->at; n++) {
        now_ml_s = -sheet->loop.moment[n % HEART_MOMENTS].valve_ml_s[valve];
        most_ml_s = fmax(most_ml_s, now_ml_s);
    }
    return leak_frac * sqrt(fmax(now_ml_s, 0.0) / most_ml_s);
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
            if (!sheet->reduced_motion) v->valve[k].leak_frac = leak_now(sheet, k, v->valve[k].leak_frac);
        }
        v->septum_mm = m->septum_mm;
        v->left_pump.flow_ml_s = m->left_pump_ml_s;
        v->left_pump.occlusion_frac = m->left_occlusion;
        v->right_pump.flow_ml_s = m->right_pump_ml_s;
        v->right_pump.occlusion_frac = m->right_occlusion;
    }
    if (!sheet->heart.shown) return;
    double size = sheet->heart.septum_mm + sheet->heart.pericardial_ml;
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++)
        size += sheet->heart.chamber[c].beat_max_ml + sheet->heart.chamber[c].clot_ml;
    if (fabs(size - sheet->sized_for) < SIZE_STEADY) return;
    sheet->sized_for = size;
    keep_depth(&sheet->depth_mm[LOOK_PAGE_FOUR], ui_look_four_need_mm(sheet));
    keep_depth(&sheet->depth_mm[LOOK_PAGE_SHORT], ui_look_short_need_mm(sheet));
    sheet->depth_mm[LOOK_PAGE_SAC] = sheet->depth_mm[LOOK_PAGE_FOUR];
    sheet->depth_mm[LOOK_PAGE_VALVE] = VALVE_DEPTH_MM;
    sheet->depth_mm[LOOK_PAGE_INFLOW] = INFLOW_DEPTH_MM;
}

_Static_assert((int)LOOK_PAGE_INFLOW == (int)LOOK_VIEW_inflow && (int)LOOK_PAGES == (int)LOOK_VIEW_COUNT,
               "pages are the views that can be asked for");

/* Says the words of an act; what is refused is kept to be shown. */
static bool say(LookSheet *sheet, Feed *feed, const char *words) {
    Error error;
    model_error_clear(&error);
    sheet->notice[0] = '\0';
    if (feed == NULL || sim_session_ended(ui_feed_session(feed))) return true; /* looking back is free */
    if (ui_feed_say(feed, words, &error) == ERROR_OK) return true;
    snprintf(sheet->notice, sizeof sheet->notice, "%.*s", (int)sizeof sheet->notice - 1, error.what);
    return false;
}

/* Asks for the picture of a page; a look on show only changes the view. */
static bool ask(LookSheet *sheet, Feed *feed, LookPage page) {
    char words[TEXT_LINE];
    snprintf(words, sizeof words, "look %s", sim_look_view_key((LookView)page));
    return say(sheet, feed, words);
}

static void look_open(void *state, SheetContext *context) {
    LookSheet *sheet = state;
    sheet->frozen = sheet->measuring = sheet->marked = sheet->gauges = false;
    sheet->outline = true;
    sheet->at = -1;
    sheet->renewed_s = 0.0;
    sheet->left_s = NAN;
    (void)ask(sheet, context->feed, sheet->page);
    sheet->notice[0] = '\0'; /* why not is said in the empty picture */
}

/* A look that is on show ends; a probe that is on its way still comes. */
static void look_close(void *state, SheetContext *context) {
    LookSheet *sheet = state;
    if (sim_session_look(ui_feed_session(context->feed)).phase == LOOK_SHOWN)
        (void)say(sheet, context->feed, "look end");
}

/* Whether there is a picture, and for how long. */
static void fill_status(LookSheet *sheet, const Session *session) {
    LookStatus look = sim_session_look(session);
    sheet->picture = look.picture;
    sheet->left_s = look.phase == LOOK_SHOWN && look.ends_s >= 0.0 ? look.ends_s : NAN;
    sheet->can_ask = look.phase == LOOK_NONE && !look.picture;
    if (!look.picture) sheet->frozen = false;
}

/* At high time rates single beats cannot be followed: the last second is played again and again. */
static void replay(LookSheet *sheet, double now_s) {
    int64_t moments = (int64_t)((now_s - sheet->renewed_s) * 1000.0 / HEART_MOMENT_MS);
    sheet->at = sheet->played_from + moments;
    if (sheet->at >= sheet->loop.end) sheet->at = sheet->loop.end - 1;
}

/* The moment on show: live, or of the second that is played again and again. */
static void follow(LookSheet *sheet, Feed *feed, double now_s) {
    bool fast = sheet->time_rate > LIVE_TO_RATE;
    if (fast && sheet->at >= 0 && now_s - sheet->renewed_s < REPLAY_S) {
        replay(sheet, now_s);
    } else {
        sheet->at = ui_feed_look(feed, &sheet->heart, &sheet->loop);
        sheet->renewed_s = now_s;
        int64_t start = sheet->loop.end - (int64_t)(REPLAY_S * 1000.0 / HEART_MOMENT_MS);
        sheet->played_from = start > sheet->loop.first ? start : sheet->loop.first;
        if (fast && sheet->at >= 0) sheet->at = sheet->played_from;
    }
    /* whole frames, as when stepping: the picture moves 30 times a second */
    if (sheet->at - sheet->at % FRAME_MOMENTS >= sheet->loop.first) sheet->at -= sheet->at % FRAME_MOMENTS;
}

/* Without motion the picture stands at the last end of filling. */
static void stand_still(LookSheet *sheet) {
    for (int64_t n = sheet->at; n > sheet->loop.first && n > 0; n--) {
        if (!sheet->loop.moment[n % HEART_MOMENTS].diastolic_end) continue;
        sheet->at = n;
        return;
    }
}

static void look_fill(void *state, SheetContext *context) {
    LookSheet *sheet = state;
    if (context->feed == NULL) return;
    const Session *session = ui_feed_session(context->feed);
    sheet->tags = sim_session_case(session)->level < EXAM_LEVEL;
    sheet->time_s = ui_feed_shown_s(context->feed);
    sheet->time_rate = ui_feed_rate_now(context->feed);
    sheet->paused = ui_feed_paused(context->feed);
    sheet->reduced_motion = ui_settings_on(ui_feed_settings_now(context->feed), SETTING_reduced_motion);
    fill_status(sheet, session);
    ui_feed_alarms(context->feed, &sheet->bedside.alarms);
    if (!sheet->frozen) {
        follow(sheet, context->feed, context->now_s);
        if (sheet->reduced_motion) stand_still(sheet);
    }
    ui_look_words(&sheet->heart, sheet->words, sheet->detail);
    if (sheet->can_ask) snprintf(sheet->detail, sizeof sheet->detail, "Enter asks for a look.");
    size_t used = strlen(sheet->detail);
    if (sheet->paused && sheet->heart.absence == HEART_COMING)
        snprintf(sheet->detail + used, sizeof sheet->detail - used, "; the night is paused: Space goes on");
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

static void open_page(LookSheet *sheet, Feed *feed, int page) {
    sheet->gauges = page == LOOK_PAGES;
    if (page < 0 || page >= LOOK_PAGES || sheet->page == (LookPage)page) return;
    if (!ask(sheet, feed, (LookPage)page) && sheet->picture) return;
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
    sheet->at -= sheet->at > 0 ? sheet->at % FRAME_MOMENTS : 0;
    if (sheet->frozen && sheet->at >= 0 && sheet->at < sheet->loop.end) sheet->loop.end = sheet->at + 1;
}

static void look_apply(void *state, SheetContext *context, const Intent *intent) {
    LookSheet *sheet = state;
    HeartPoint *mark = &sheet->mark[sheet->mark_chosen];
    switch ((LookPart)intent->number) {
    case LOOK_PART_PAGE:
        open_page(sheet, context->feed, (int)intent->amount);
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
    case LOOK_PART_ASK:
        (void)ask(sheet, context->feed, sheet->page);
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
    /* without a picture Space stops the night, as everywhere */
    if (sheet->picture && ui_widgets_take_char(ui, ' ')) part(intents, LOOK_PART_FREEZE, 0.0, false);
    if (ui_widgets_take_char(ui, 'r')) part(intents, LOOK_PART_OUTLINE, 0.0, false);
    if (ui_widgets_take_char(ui, 'd')) part(intents, LOOK_PART_PLAIN, 0.0, false);
    if (ui_widgets_take_char(ui, 'm')) part(intents, LOOK_PART_MEASURE, 0.0, sheet->measuring);
    if (sheet->measuring && ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        part(intents, LOOK_PART_MEASURE, 0.0, true);
    if (sheet->can_ask && ui_widgets_take_key(ui, KEY_ENTER, NULL)) part(intents, LOOK_PART_ASK, 0.0, false);
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
    bool dashed = style->sector->rect.h > SMALL_PX && sheet->outline && sheet->picture &&
                  sheet->page != LOOK_PAGE_VALVE;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_LEFT, t->text1, x, y, NAME[sheet->page]);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x, y + 23.0,
                 "schematic, not an image");
    if (dashed)
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, x, y + 45.0,
                     "dashed: reference, end diastole");
    if (sheet->notice[0] != '\0')
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, t->text1, x,
                         y + (dashed ? 67.0 : 45.0), style->sector->rect.w - 36.0, sheet->notice);
    if (!sheet->frozen) return;
    double w = 92.0;
    Rect box = {style->sector->middle_x - 0.5 * w, style->sector->rect.y + style->sector->rect.h - 40.0, w,
                30.0};
    ui_draw_rect(ui->list, box, 6.0, t->text1);
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->ink, box.x + 0.5 * w, box.y + 21.0,
                 "FROZEN");
}

static void draw_words(Ui *ui, const LookStyle *style, const LookSheet *sheet, Intents *intents) {
    const Theme *t = ui->theme;
    Rect r = style->sector->rect;
    double x = style->sector->middle_x, y = r.y + 0.46 * r.h;
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_CENTRE, t->text1, x, y, r.w - 60.0,
                     sheet->words);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_CENTRE, t->text2, x, y + 32.0, r.w - 60.0,
                     sheet->detail);
    if (sheet->can_ask && ui_widgets_button(ui, ID_ASK, (Rect){x - 90.0, y + 56.0, 180.0, TARGET_MAIN},
                                            "Ask for a look", BUTTON_PRIMARY))
        part(intents, LOOK_PART_ASK, 0.0, false);
}

static void draw_picture(Ui *ui, const LookLayout *l, const LookSheet *sheet, Intents *intents) {
    typedef HeartPen (*DrawPage)(DrawList *, const LookStyle *, const LookSheet *);
    static const DrawPage PAGE[LOOK_PAGES] = {ui_look_four, ui_look_short_draw, ui_look_valve, ui_look_sac,
                                              ui_look_inflow};
    double depth_mm = sheet->depth_mm[sheet->page];
    LookSector sector = ui_look_sector(l->picture, depth_mm > 0.0 ? depth_mm : 160.0);
    LookStyle style = ui_look_style(ui->theme, &sector, sheet);
    bool seen = sheet->picture && sheet->heart.shown;
    ui_draw_keep(ui->list, l->picture);
    ui_draw_rect(ui->list, l->picture, 0.0, ui->theme->window);
    ui_look_fan(ui->list, &style, !seen);
    if (seen) ui_look_depth(ui->list, &style, sheet->page == LOOK_PAGE_INFLOW ? "scale, cm" : "depth, cm");
    ui_draw_kept(ui->list);
    if (seen) {
        HeartPen pen = PAGE[sheet->page](ui->list, &style, sheet);
        ui_look_caliper_draw(ui->list, &style, &pen, sheet);
        ui_look_caliper_input(ui, l->picture, &pen, sheet, intents);
    } else {
        draw_words(ui, &style, sheet, intents);
    }
    draw_heading(ui, &style, sheet);
    ui_look_alarms(ui, l, sheet, intents);
}

void ui_look_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const LookSheet *sheet = state;
    LookLayout l = ui_look_layout(screen, sheet);
    take_keys(ui, sheet, &l, intents);
    ui_draw_region(ui->list, LOOK_REGION_GROUND, screen);
    ui_draw_rect(ui->list, screen, 0.0, ui->theme->window);
    ui_draw_region(ui->list, LOOK_REGION_BAR, l.bar);
    ui_look_bar(ui, &l, sheet, intents);
    ui_draw_region(ui->list, LOOK_REGION_BODY, l.body);
    ui_draw_rect(ui->list, l.body, 0.0, ui->theme->window);
    if (l.picture.h > 0.0) {
        draw_picture(ui, &l, sheet, intents);
        if (sheet->picture && sheet->heart.shown)
            ui_look_strip(ui, l.strip, sheet);
        else
            ui_draw_rect(ui->list, l.strip, PANEL_RADIUS, ui->theme->panel);
    } else {
        ui_look_gauges(ui, &l, sheet);
        ui_look_alarms(ui, &l, sheet, intents);
    }
    ui_draw_region(ui->list, LOOK_REGION_TOOLS, l.tools);
    ui_look_tools(ui, &l, sheet, intents);
    if (!l.compact) ui_look_gauges(ui, &l, sheet);
    ui_sheets_keys(ui, intents);
}

const SheetKind UI_LOOK_SHEET = {.state_size = sizeof(LookSheet),
                                 .open = look_open,
                                 .close = look_close,
                                 .fill = look_fill,
                                 .draw = ui_look_draw,
                                 .apply = look_apply};
