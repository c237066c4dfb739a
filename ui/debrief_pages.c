/* The pages of the debrief: which panels stand where, their frames and scrolling, tabs and keys. */
#include "ui/debrief.h"

#include <math.h>
#include <stdio.h>

#define TOP_PX       52.0
#define FOOT_PX      36.0
#define BUTTON_PX    36.0
#define MARGIN_PX    12.0
#define WIDE_PX      1600.0
#define NARROW_PX    1100.0 /* below: one panel at a time */
#define TITLE_PX     1250.0 /* a narrower bar has no room for the case's title */
#define SIDE_WIDE    376.0
#define SIDE_USUAL   300.0
#define RIGHT_WIDE   440.0
#define RIGHT_USUAL  318.0
#define PARTS_PX     50.0
#define WHEEL_PX     60.0
#define BAR_PX       6.0
#define CURSOR_STEPS 120.0
#define TRAINING_PX  150.0
#define BACK_PX      104.0
#define LEAST_H      70.0

static const char *const PAGE_NAMES[DEBRIEF_PAGES] = {"Reactions", "What happened", "Why", "What if",
                                                      "Take home"};

typedef enum Column { LEFT, CENTRE, RIGHT, COLUMNS } Column;

/* One panel: its page and column, its share of the column's height. */
typedef struct PanelRow {
    DebriefPage page;
    Column column;
    double share;
    const char *title;
    DebriefText text;
} PanelRow;

static const PanelRow PANELS[] = {
    {DEBRIEF_REACTIONS, LEFT, 1.0, "This night", ui_debrief_night_text},
    {DEBRIEF_REACTIONS, CENTRE, 1.0, "First, in your own words", ui_debrief_reactions_text},
    {DEBRIEF_REACTIONS, RIGHT, 1.0, "How this goes", ui_debrief_phases_text},
    {DEBRIEF_HAPPENED, LEFT, 0.42, "Time inside target", ui_debrief_targets_text},
    {DEBRIEF_HAPPENED, LEFT, 0.58, "What you did", ui_debrief_marks_text},
    {DEBRIEF_HAPPENED, CENTRE, 1.0, "What happened, minute by minute", ui_debrief_course_text},
    {DEBRIEF_HAPPENED, RIGHT, 0.61, "What you could see", ui_debrief_seen_text},
    {DEBRIEF_HAPPENED, RIGHT, 0.15, "A note", ui_debrief_note_text},
    {DEBRIEF_HAPPENED, RIGHT, 0.24, "Alarms", ui_debrief_alarms_text},
    {DEBRIEF_WHY, LEFT, 0.42, "From trouble to answer", ui_debrief_chain_text},
    {DEBRIEF_WHY, LEFT, 0.58, "What moved first", ui_debrief_signs_text},
    {DEBRIEF_WHY, CENTRE, 0.5, "What you called, and what it was", ui_debrief_belief_text},
    {DEBRIEF_WHY, CENTRE, 0.5, "The heart at the turning points", ui_debrief_hearts_text},
    {DEBRIEF_WHY, RIGHT, 0.45, "Your predictions", ui_debrief_predictions_text},
    {DEBRIEF_WHY, RIGHT, 0.55, "Talk it through", ui_debrief_questions_text},
    {DEBRIEF_WHATIF, LEFT, 1.0, "Choose what to change", ui_debrief_acts_text},
    {DEBRIEF_WHATIF, CENTRE, 1.0, "The night, and what might have been", ui_debrief_course_text},
    {DEBRIEF_WHATIF, RIGHT, 0.4, "What if", ui_debrief_change_text},
    {DEBRIEF_WHATIF, RIGHT, 0.6, "What would have come of it", ui_debrief_table_text},
    {DEBRIEF_HOME, LEFT, 1.0, "Score, with reasons", ui_debrief_score_text},
    {DEBRIEF_HOME, CENTRE, 0.26, "What went well", ui_debrief_well_text},
    {DEBRIEF_HOME, CENTRE, 0.52, "Teaching points", ui_debrief_teaching_text},
    {DEBRIEF_HOME, CENTRE, 0.26, "Your notes", ui_debrief_notes_text},
    {DEBRIEF_HOME, RIGHT, 0.62, "Next time", ui_debrief_next_text},
    {DEBRIEF_HOME, RIGHT, 0.38, "Keep it", ui_debrief_page_text},
};

enum { PANEL_COUNT = sizeof PANELS / sizeof PANELS[0] };

void ui_debrief_want(Intents *intents, int part, double amount) {
    ui_intents_add(intents, INTENT_PART, part, amount, false);
}

static bool is_empty(const DebriefState *state, const PanelRow *row) {
    const Debrief *d = state->debrief;
    if (row->text == ui_debrief_predictions_text) return d->recall->predictions.kept == 0;
    if (row->text == ui_debrief_chain_text) return d->chain.trouble_s < 0.0;
    if (row->text == ui_debrief_signs_text) return d->sign_count == 0;
    if (row->text == ui_debrief_notes_text) return state->notes.count == 0;
    if (row->text == ui_debrief_well_text) return d->well_count == 0;
    if (row->text == ui_debrief_alarms_text) return d->alarm_count == 0;
    if (row->text == ui_debrief_targets_text) return d->target_count == 0;
    return false;
}

/* Starts a region with the window's ground, drawn anew whenever panels lie elsewhere than before. */
static void begin_region(Ui *ui, const DebriefState *state, int id, Rect r) {
    int arranged = (int)state->page * PANEL_COUNT + state->panel[state->page];
    for (int i = 0; state->debrief != NULL && i < PANEL_COUNT; i++)
        arranged += PANELS[i].page == state->page && !is_empty(state, &PANELS[i]) ? 100 * (i + 1) : 0;
    ui_draw_region(ui->list, id, r);
    ui_draw_rect(ui->list, r, 0.0, ui->theme->window);
    ui_draw_rect(ui->list, (Rect){r.x, r.y, 0.0, (double)arranged}, 0.0,
                 ui->theme->window); /* nothing to see */
}

/* ---- a panel ---- */

/* Where a text that is longer than its panel stands, and moving it: wheel, or arrows with the focus. */
static void scroll(Ui *ui, Rect panel, Rect room, int number, double at, double over, Intents *intents) {
    const Theme *t = ui->theme;
    double to = at;
    Rect whole = ui_rect_inset(panel, 4.0, 4.0);
    if (over > 0.0) {
        (void)ui_widgets_area(ui, DEBRIEF_ID_SCROLL + number, whole);
        ui_widgets_tell(ui, UI_ROLE_FIELD, PANELS[number].title, false);
        ui_widgets_focus_ring(ui, DEBRIEF_ID_SCROLL + number, whole, PANEL_RADIUS);
        if (ui->focus == DEBRIEF_ID_SCROLL + number && ui->focus_shown) {
            while (ui_widgets_take_key(ui, KEY_UP, NULL))
                to -= WHEEL_PX;
            while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
                to += WHEEL_PX;
            while (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
                to -= room.h;
            while (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
                to += room.h;
        }
        if (ui_widgets_hovered(ui, panel)) to -= ui->input.wheel * WHEEL_PX;
        Rect track = {panel.x + panel.w - BAR_PX - 4.0, room.y, BAR_PX, room.h};
        double part = fmax(room.h * room.h / (room.h + over), 24.0);
        ui_draw_rect(ui->list, track, 3.0, t->raised);
        ui_draw_rect(ui->list,
                     (Rect){track.x, track.y + (room.h - part) * fmin(at / over, 1.0), BAR_PX, part}, 3.0,
                     t->edge);
    }
    to = fmin(fmax(to, 0.0), fmax(over, 0.0));
    if (fabs(to - at) > 0.01) ui_debrief_want(intents, DEBRIEF_PART_SCROLL + number, to);
}

/* What stands at the right of a panel's title. */
static void panel_note(const DebriefState *state, const PanelRow *row, char *note, size_t size) {
    const Debrief *d = state->debrief;
    char clock[TEXT_SHORT];
    note[0] = '\0';
    if (row->text == ui_debrief_score_text) {
        char got[SCORE_POINTS_TEXT_MAX], most[SCORE_POINTS_TEXT_MAX];
        snprintf(note, size, "%s of %s", sim_score_format(d->total.got, got),
                 sim_score_format(d->total.most, most));
    }
    if (row->text == ui_debrief_seen_text || row->text == ui_debrief_note_text)
        snprintf(note, size, "at %s", ui_debrief_clock(state->cursor_s, clock));
    if (row->text == ui_debrief_predictions_text && d->known > 0)
        snprintf(note, size, "%d of %d", d->hits, d->known);
    if (row->text == ui_debrief_alarms_text) snprintf(note, size, "%d", d->alarm_count);
    if (row->text == ui_debrief_change_text) snprintf(note, size, "same patient, same seed");
    if (row->text == ui_debrief_hearts_text) snprintf(note, size, "dashed: at the start");
}

static void draw_panel(Ui *ui, const DebriefState *state, int number, Rect r, Intents *intents) {
    const PanelRow *row = &PANELS[number];
    char note[TEXT_LINE];
    int place = 0;
    for (int i = 0; i < number; i++)
        place += PANELS[i].page == row->page;
    begin_region(ui, state, DEBRIEF_REGION_PANEL + place, ui_rect_inset(r, -5.0, -5.0));
    panel_note(state, row, note, sizeof note);
    Rect room = ui_widgets_panel(ui, r, row->title, note[0] != '\0' ? note : NULL);
    double at = state->scroll_px[number];
    ui_draw_clip_rect(ui->list, (Rect){r.x + 2.0, room.y, r.w - 4.0, room.h});
    Rect moved = {room.x, room.y - at, room.w, room.h};
    DebriefDraw d = {ui, state, intents, {r.x, room.y, r.w, room.h}};
    double used = row->text(&d, moved) - moved.y;
    ui_draw_unclip(ui->list);
    scroll(ui, r, room, number, at, used - room.h > 1.0 ? used - room.h : 0.0, intents);
}

static void draw_column(Ui *ui, const DebriefState *state, Column column, Rect room, Intents *intents) {
    double all = 0.0;
    int count = 0;
    for (int i = 0; i < PANEL_COUNT; i++) {
        if (PANELS[i].page != state->page || PANELS[i].column != column || is_empty(state, &PANELS[i]))
            continue;
        all += PANELS[i].share;
        count++;
    }
    double height = room.h - (count - 1) * PANEL_GAP, y = room.y;
    for (int i = 0; i < PANEL_COUNT; i++) {
        if (PANELS[i].page != state->page || PANELS[i].column != column || is_empty(state, &PANELS[i]))
            continue;
        double h = floor(height * PANELS[i].share / all);
        draw_panel(ui, state, i, (Rect){room.x, y, room.w, h}, intents);
        y += h + PANEL_GAP;
    }
}

/* Where there is room for one panel only: buttons to choose it. */
static void draw_single(Ui *ui, const DebriefState *state, Rect body, Intents *intents) {
    static const Column ORDER[COLUMNS] = {CENTRE, RIGHT, LEFT}; /* what matters most comes first */
    int shown[PANEL_COUNT], count = 0, chosen = state->panel[state->page];
    for (int k = 0; k < COLUMNS * PANEL_COUNT; k++) {
        int i = k % PANEL_COUNT;
        if (PANELS[i].page == state->page && PANELS[i].column == ORDER[k / PANEL_COUNT] &&
            !is_empty(state, &PANELS[i]))
            shown[count++] = i;
    }
    chosen = chosen < count ? chosen : 0;
    Rect bar = ui_rect_cut_top(&body, PARTS_PX);
    begin_region(ui, state, DEBRIEF_REGION_BAR, ui_rect_inset(bar, -5.0, 0.0));
    bar.y += 4.0;
    double w = floor((bar.w - (count - 1) * 8.0) / count);
    for (int i = 0; i < count; i++) {
        Rect r = {bar.x + i * (w + 8.0), bar.y, w, BUTTON_PX};
        if (ui_widgets_button(ui, DEBRIEF_ID_PANEL + i, r, PANELS[shown[i]].title,
                              i == chosen ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_debrief_want(intents, DEBRIEF_PART_PANEL, i);
    }
    bool back = false;
    if (ui_widgets_take_key(ui, KEY_F7, &back))
        ui_debrief_want(intents, DEBRIEF_PART_PANEL, (chosen + (back ? count - 1 : 1)) % count);
    draw_panel(ui, state, shown[chosen], body, intents);
}

static void draw_body(Ui *ui, const DebriefState *state, Rect body, Intents *intents) {
    Rect columns[COLUMNS];
    if (body.w < NARROW_PX) {
        draw_single(ui, state, body, intents);
        return;
    }
    bool wide = body.w >= WIDE_PX - 2.0 * MARGIN_PX;
    columns[LEFT] = ui_rect_cut_left(&body, wide ? SIDE_WIDE : SIDE_USUAL);
    columns[RIGHT] = ui_rect_cut_right(&body, wide ? RIGHT_WIDE : RIGHT_USUAL);
    columns[CENTRE] = (Rect){body.x + PANEL_GAP, body.y, body.w - 2.0 * PANEL_GAP, body.h};
    for (int i = 0; i < COLUMNS; i++)
        draw_column(ui, state, (Column)i, columns[i], intents);
}

/* ---- around the panels ---- */

static void draw_top(Ui *ui, Rect top, const DebriefState *state, Intents *intents) {
    const Theme *t = ui->theme;
    char text[TEXT_LINE * 2], when[TEXT_SHORT];
    begin_region(ui, state, DEBRIEF_REGION_TOP, top);
    double x = top.x + MARGIN_PX + 4.0, y = top.y + 8.0;
    bool named = top.w >= NARROW_PX;
    if (top.w >= TITLE_PX) {
        double room = top.w >= WIDE_PX ? 420.0 : 250.0;
        ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_TITLE, ALIGN_LEFT, t->text1, x, y + 16.0, room,
                         "Debrief");
        if (state->debrief != NULL) {
            const JournalNight *night = &state->recall->night;
            snprintf(text, sizeof text, "%.80s%s%.40s, %s h", night->case_title,
                     night->trainee[0] != '\0' ? ", " : "", night->trainee,
                     ui_debrief_clock(night->reached_s, when));
            ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y + 36.0, room, text);
        }
        x += room + 12.0;
    }
    for (int page = 0; page < DEBRIEF_PAGES; page++) {
        bool open = page == (int)state->page;
        snprintf(text, sizeof text, "%d%s%s", page + 1, named || open ? "  " : "",
                 named || open ? PAGE_NAMES[page] : "");
        Rect r = {x, y, ui_draw_text_width(ui->list, FACE_WORDS, TYPE_BODY, text) + 24.0, BUTTON_PX};
        bool hit = ui_widgets_button(ui, DEBRIEF_ID_TAB + page, r, text, open ? BUTTON_CHOSEN : BUTTON_PLAIN);
        ui_widgets_tell(ui, UI_ROLE_TAB, PAGE_NAMES[page], open);
        if (hit) ui_debrief_want(intents, DEBRIEF_PART_PAGE, page);
        x += r.w + 8.0;
    }
    Rect box = {top.x + top.w - MARGIN_PX - TRAINING_PX, y, TRAINING_PX, BUTTON_PX};
    ui_draw_frame(ui->list, box, 6.0, ui_draw_solid(t->text1, 1.5));
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_CENTRE, t->text1, box.x + box.w / 2.0,
                 y + 24.0, "TRAINING ONLY");
    Rect back = {box.x - 8.0 - BACK_PX, y, BACK_PX, BUTTON_PX};
    if (ui_widgets_button(ui, DEBRIEF_ID_BACK, back, "Close  Esc", BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}

static const char *const HINTS[DEBRIEF_PAGES] = {
    [DEBRIEF_REACTIONS] = "Tab: next field   Alt and 1 to 5: page   what you write stays beside the night",
    [DEBRIEF_HAPPENED] = "\u2190 \u2192: time, with Shift ten times as far   \u2191 \u2193: act before, "
                         "after   N: a note here   1 to 5: page",
    [DEBRIEF_WHY] = "\u2190 \u2192: time   \u2191 \u2193: act before, after   Tab: a panel, then \u2191 "
                    "\u2193 scroll it   1 to 5: page",
    [DEBRIEF_WHATIF] =
        "\u2191 \u2193: act   + \u2212: 5 min later, earlier   D: leave out   A: add one at the cursor   "
        "T: treatment 20 min earlier   R: as it was",
    [DEBRIEF_HOME] = "Tab: next field   X: write the page   1 to 5: page"};

static void draw_foot(Ui *ui, Rect foot, const DebriefState *state) {
    const Theme *t = ui->theme;
    bool said = state->said[0] != '\0';
    begin_region(ui, state, DEBRIEF_REGION_FOOT, foot);
    ui_draw_text_fit(ui->list, said ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_LEFT,
                     said ? t->text1 : t->text3, foot.x + 16.0, foot.y + 23.0, foot.w - 32.0,
                     said ? state->said : HINTS[state->page]);
}

/* ---- keys ---- */

/* The mark after the cursor, or the one before it; negative: none. */
static double neighbour_s(const DebriefState *state, bool next) {
    double found = -1.0;
    for (int i = 0; i < state->debrief->mark_count; i++) {
        double at_s = state->debrief->mark[i].time_s;
        if (!next && at_s < state->cursor_s - 0.5) found = at_s;
        if (next && at_s > state->cursor_s + 0.5) return at_s;
    }
    return found;
}

static void cursor_keys(Ui *ui, const DebriefState *state, Intents *intents) {
    double end_s = ui_debrief_end_s(state), to = state->cursor_s, other;
    double step = fmax(round(end_s / CURSOR_STEPS / RECORDS_HISTORY_STEP_S), 1.0) * RECORDS_HISTORY_STEP_S;
    bool shift = false;
    while (ui_widgets_take_key(ui, KEY_LEFT, &shift))
        to -= shift ? 10.0 * step : step;
    while (ui_widgets_take_key(ui, KEY_RIGHT, &shift))
        to += shift ? 10.0 * step : step;
    if (ui_widgets_take_key(ui, KEY_UP, NULL) && (other = neighbour_s(state, false)) >= 0.0) to = other;
    if (ui_widgets_take_key(ui, KEY_DOWN, NULL) && (other = neighbour_s(state, true)) >= 0.0) to = other;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0.0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = end_s;
    if (fabs(to - state->cursor_s) > 0.0)
        ui_debrief_want(intents, DEBRIEF_PART_CURSOR, fmin(fmax(to, 0.0), end_s));
}

static void whatif_keys(Ui *ui, const DebriefState *state, Intents *intents) {
    static const struct {
        char key;
        DebriefPart part;
        double amount;
    } KEYS[] = {{'+', DEBRIEF_PART_MOVE, 300.0}, {'-', DEBRIEF_PART_MOVE, -300.0},
                {'d', DEBRIEF_PART_DROP, 0.0},   {'a', DEBRIEF_PART_ADD, 0.0},
                {'t', DEBRIEF_PART_OFFER, 0.0},  {'r', DEBRIEF_PART_RESET, 0.0},
                {'s', DEBRIEF_PART_STOP, 0.0}};
    int chosen = state->whatif.chosen, last = state->whatif.edits - 1;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        chosen--;
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        chosen++;
    chosen = chosen < 0 ? 0 : chosen > last ? last : chosen;
    if (chosen != state->whatif.chosen && last >= 0) ui_debrief_want(intents, DEBRIEF_PART_ACT, chosen);
    for (size_t i = 0; i < sizeof KEYS / sizeof KEYS[0]; i++) {
        while (ui_widgets_take_char(ui, (uint32_t)KEYS[i].key)) {
            ui_debrief_want(intents, KEYS[i].part, KEYS[i].amount);
            if (KEYS[i].part != DEBRIEF_PART_ADD) continue;
            ui->focus = DEBRIEF_ID_FIELD + DEBRIEF_FIELD_WORDS; /* to write what is to be done */
            ui->focus_shown = true;
        }
    }
}

static void take_keys(Ui *ui, const DebriefState *state, Intents *intents) {
    for (int page = 0; page < DEBRIEF_PAGES; page++) {
        if (ui_widgets_take_char(ui, (uint32_t)('1' + page)))
            ui_debrief_want(intents, DEBRIEF_PART_PAGE, page);
    }
    if (ui_widgets_take_char(ui, 'x')) ui_debrief_want(intents, DEBRIEF_PART_EXPORT, 0.0);
    if (state->page == DEBRIEF_WHATIF) whatif_keys(ui, state, intents);
    if (state->page == DEBRIEF_HAPPENED && ui_widgets_take_char(ui, 'n')) {
        ui->focus = DEBRIEF_ID_FIELD + DEBRIEF_FIELD_MOMENT;
        ui->focus_shown = true;
    }
    if (state->page != DEBRIEF_REACTIONS && state->page != DEBRIEF_HOME) cursor_keys(ui, state, intents);
    if (ui_widgets_take_char(ui, 'v')) ui_intents_add(intents, INTENT_DESCRIBE, 0, 0.0, false);
    if (ui_widgets_take_key(ui, KEY_F12, NULL)) ui_intents_add(intents, INTENT_PICTURE, 0, 0.0, false);
}

void ui_debrief_draw(Ui *ui, Rect screen, const void *of, Intents *intents) {
    const DebriefState *state = of;
    Rect rest = screen;
    Rect top = ui_rect_cut_top(&rest, TOP_PX), foot = ui_rect_cut_bottom(&rest, FOOT_PX);
    begin_region(ui, state, DEBRIEF_REGION_BACK, screen);
    draw_top(ui, top, state, intents);
    Rect body = ui_rect_inset(rest, MARGIN_PX, 0.0);
    if (state->debrief == NULL) {
        ui_draw_region(ui->list, DEBRIEF_REGION_PANEL, body);
        Rect room = ui_widgets_panel(ui, body, "This night cannot be looked back on", NULL);
        DebriefDraw d = {ui, state, intents, room};
        (void)ui_debrief_words(&d, room, room.y + 20.0, ui->theme->text1, state->problem);
    } else {
        draw_body(ui, state, body, intents);
        draw_foot(ui, foot, state);
        take_keys(ui, state, intents);
    }
    if (ui_widgets_take_key(ui, KEY_ESCAPE, NULL))
        ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
}
