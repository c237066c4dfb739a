/* The card of alarm limits. */
#include "ui/limits.h"

#include "ui/alarm_strip.h"
#include "ui/bedside.h"
#include "ui/cards.h"
#include "ui/tiles.h"
#include "ui/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define CARD_WIDTH_PX 980.0
#define ROW_PX        46.0
#define HEAD_PX       28.0
#define NOTE_PX       52.0
#define BUTTON_PX     40.0
#define LARGE_STEPS   5.0

enum { ID_ROW = 2200, IDS_PER_ROW = 4, ID_DONE = ID_ROW + IDS_PER_ROW * ALARM_COUNT, ID_RESET };
enum { PART_ROW = 1000, PART_STEP = 2000, PART_WATCH = 3000, PART_RESET = 4000 };

typedef struct LimitsSheet {
    int row;                    /* counted among the limits */
    AlarmLimits limits, resets; /* in force; those of the case */
    Display display;
    char problem[TEXT_LONG]; /* why the last change was refused; empty if none */
} LimitsSheet;

/* The alarms that have a limit, in the table's order; returns how many. */
static int limits_of(AlarmId id[ALARM_COUNT]) {
    int count = 0;
    for (int i = 0; i < ALARM_COUNT; i++) {
        if (sim_alarms_row((AlarmId)i)->side != ALARM_SIDE_SIGN) id[count++] = (AlarmId)i;
    }
    return count;
}

static void take_in(LimitsSheet *sheet, const Session *session) {
    sheet->limits = sim_session_alarms(session)->limits;
    sheet->resets = sim_session_case(session)->alarms;
    sheet->display = *sim_session_display(session);
}

static void open_sheet(void *state, SheetContext *context) {
    LimitsSheet *sheet = state;
    sheet->problem[0] = '\0';
    if (context->feed == NULL)
        context->close = true;
    else
        take_in(sheet, ui_feed_session(context->feed));
}

static void fill_sheet(void *state, SheetContext *context) {
    if (context->feed != NULL) take_in(state, ui_feed_session(context->feed));
}

static void say(LimitsSheet *sheet, Feed *feed, AlarmAct act) {
    char words[ALARM_TEXT_MAX];
    Error error;
    model_error_clear(&error);
    sheet->problem[0] = '\0';
    sim_alarms_format(&act, words, sizeof words);
    if (ui_feed_say(feed, words, &error) != ERROR_OK)
        model_error_format(&error, sheet->problem, sizeof sheet->problem);
}

/* A step within the allowed range, on the grid of the row's steps. */
static double stepped(const AlarmRow *row, double value, double steps) {
    double to = row->step * round((value + steps * row->step) / row->step);
    return fmin(fmax(to, row->least), row->most);
}

static void apply_part(void *state, SheetContext *context, const Intent *intent) {
    LimitsSheet *sheet = state;
    AlarmId id[ALARM_COUNT];
    int count = limits_of(id);
    if (context->feed == NULL) return;
    if (intent->number == PART_RESET) {
        say(sheet, context->feed, (AlarmAct){.kind = ALARM_ACT_RESET, .id = ALARM_COUNT});
    } else if (intent->number == PART_ROW) {
        sheet->row = (int)fmin(fmax(intent->amount, 0.0), count - 1.0);
    } else if (intent->number >= PART_WATCH && intent->number < PART_WATCH + count) {
        AlarmId of = id[sheet->row = intent->number - PART_WATCH];
        say(sheet, context->feed,
            (AlarmAct){.kind = sheet->limits.on[of] ? ALARM_ACT_OFF : ALARM_ACT_ON, .id = of});
    } else if (intent->number >= PART_STEP && intent->number < PART_STEP + count) {
        AlarmId of = id[sheet->row = intent->number - PART_STEP];
        double steps = intent->amount * (intent->large ? LARGE_STEPS : 1.0), value = sheet->limits.value[of];
        double to = stepped(sim_alarms_row(of), value, steps);
        if (fabs(to - value) > 1e-9 || !sheet->limits.on[of])
            say(sheet, context->feed, (AlarmAct){.kind = ALARM_ACT_LIMIT, .id = of, .value = to});
    }
    take_in(sheet, ui_feed_session(context->feed));
}

/* A number of the row's quantity in the unit chosen. */
static void format(const Ui *ui, AlarmId id, double value, char *text, size_t size) {
    const AlarmRow *row = sim_alarms_row(id);
    const DisplayRow *number = sim_instruments_display_row(row->display);
    int decimals = row->step < 1.0 ? 1 : 0;
    ui_units_format(ui->settings, number->key, number->unit, decimals, value, text, size);
}

/* Places of the columns in a row. */
typedef struct Columns {
    double name, now;
    Rect less, value, more, watch;
    double range;
} Columns;

static Columns columns_of(Rect r) {
    Columns c = {.name = r.x + 44.0};
    double right = r.x + r.w - 4.0, y = r.y + (r.h - BUTTON_PX) / 2.0;
    c.watch = (Rect){right - 76.0, y, 76.0, BUTTON_PX};
    c.range = c.watch.x - 12.0;
    double range_w = fmin(0.2 * r.w, 190.0);
    c.more = (Rect){c.range - range_w - 12.0 - BUTTON_PX, y, BUTTON_PX, BUTTON_PX};
    c.value = (Rect){c.more.x - 76.0, y, 72.0, BUTTON_PX};
    c.less = (Rect){c.value.x - 4.0 - BUTTON_PX, y, BUTTON_PX, BUTTON_PX};
    c.now = c.less.x - 16.0;
    return c;
}

static void tell(Ui *ui, const char *alarm, const char *what, bool chosen) {
    char text[TEXT_LINE];
    snprintf(text, sizeof text, "limit of %s: %s", alarm, what);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, text, chosen);
}

static void draw_row(Ui *ui, const LimitsSheet *sheet, AlarmId id, int index, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    const AlarmRow *row = sim_alarms_row(id);
    const DisplayRow *number = sim_instruments_display_row(row->display);
    Columns c = columns_of(r);
    bool chosen = sheet->row == index, on = sheet->limits.on[id];
    bool moved = fabs(sheet->limits.value[id] - sheet->resets.value[id]) > 1e-9 || on != sheet->resets.on[id];
    int first = ID_ROW + index * IDS_PER_ROW;
    char text[TEXT_LINE], low[TEXT_SHORT], high[TEXT_SHORT];
    if (chosen) {
        ui_draw_rect(ui->list, r, 6.0, t->selected);
        ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->edge, 1.5));
    }
    double base = r.y + r.h / 2.0 + 6.0;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_CENTRE,
                 ui_tiles_priority(t, (int)row->priority), r.x + 22.0, base,
                 ui_alarm_strip_mark((int)row->priority));
    snprintf(text, sizeof text, "%s%s", row->label, moved ? " (changed)" : "");
    ui_draw_text_fit(ui->list, chosen ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY, ALIGN_LEFT,
                     on ? t->text1 : t->text3, c.name, base, c.now - 60.0 - c.name, text);
    if (sheet->display.valid[row->display])
        format(ui, id, sheet->display.value[row->display], text, sizeof text);
    else
        snprintf(text, sizeof text, "\u2013");
    ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_RIGHT, t->text2, c.now, base, text);
    if (ui_widgets_sign_button(ui, first, c.less, '-', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, PART_STEP + index, -1.0, false);
    tell(ui, row->label, "lower", false);
    format(ui, id, sheet->limits.value[id], text, sizeof text);
    ui_draw_text(ui->list, on ? FACE_DIGITS_STRONG : FACE_DIGITS, TYPE_VALUE_S, ALIGN_CENTRE,
                 on ? t->text1 : t->text3, c.value.x + c.value.w / 2.0, base + 2.0, text);
    if (ui_widgets_sign_button(ui, first + 1, c.more, '+', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, PART_STEP + index, 1.0, false);
    tell(ui, row->label, "higher", false);
    format(ui, id, row->least, low, sizeof low);
    format(ui, id, row->most, high, sizeof high);
    snprintf(text, sizeof text, "%s to %s %s", low, high,
             ui_units_shown(ui->settings, number->key, number->unit).name);
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text3, c.range, base,
                     c.range - c.more.x - 52.0, text);
    if (ui_widgets_button(ui, first + 2, c.watch, on ? "on" : "off", on ? BUTTON_PLAIN : BUTTON_CHOSEN))
        ui_intents_add(intents, INTENT_PART, PART_WATCH + index, 0.0, false);
    tell(ui, row->label, on ? "watched; switch off" : "not watched; switch on", on);
    ui->mouse_only = true;
    if (ui_widgets_area(ui, first + 3, (Rect){r.x, r.y, c.less.x - r.x - 8.0, r.h}))
        ui_intents_add(intents, INTENT_PART, PART_ROW, index, false);
    ui->mouse_only = false;
}

static void draw_head(Ui *ui, Rect r) {
    Columns c = columns_of((Rect){r.x, r.y, r.w, ROW_PX});
    Colour ink = ui->theme->text3;
    double y = r.y + 18.0;
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ink, c.name, y, "Alarm");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, ink, c.now, y, "now");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, ink, c.value.x + c.value.w / 2.0, y, "limit");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, ink, c.range, y, "allowed");
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE, ink, c.watch.x + c.watch.w / 2.0, y,
                 "watched");
}

/* What the row with the focus watches and how long it waits, or why a change was refused. */
static void draw_note(Ui *ui, const LimitsSheet *sheet, AlarmId id, Rect room) {
    const AlarmRow *row = sim_alarms_row(id);
    char text[TEXT_LONG + TEXT_LINE];
    if (sheet->problem[0] != '\0')
        snprintf(text, sizeof text, "%s", sheet->problem);
    else
        snprintf(text, sizeof text,
                 "%s: %s priority after %.0f s. Source: %s. Alarms here follow conventions for learning.",
                 row->text, sim_alarms_priority_word(row->priority), row->delay_s, row->source);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE,
                            sheet->problem[0] != '\0' ? ui->theme->text1 : ui->theme->text2, room.x,
                            room.y + 22.0, room.w, 21.0, 2, text);
}

static void draw_foot(Ui *ui, Rect room, Intents *intents) {
    Rect done = {room.x, room.y + room.h + 20.0, 120.0, 44.0};
    bool close = ui_widgets_button(ui, ID_DONE, done, "Done", BUTTON_PRIMARY);
    Rect reset = {done.x + done.w + 12.0, done.y, 220.0, 44.0};
    bool back = ui_widgets_button(ui, ID_RESET, reset, "R  Back to the case's", BUTTON_PLAIN);
    back = ui_widgets_take_char(ui, 'r') || back;
    close = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || close;
    close = ui_widgets_take_default(ui) || close;
    if (back) ui_intents_add(intents, INTENT_PART, PART_RESET, 0.0, false);
    if (close) ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
    double x = reset.x + reset.w + 16.0;
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, x, done.y + 27.0,
                     room.x + room.w - x,
                     "\u2191 \u2193 row, \u2190 \u2192 limit (Shift: more), Space: on or off, Esc: done");
}

static void take_keys(Ui *ui, const LimitsSheet *sheet, Intents *intents) {
    int at = sheet->row, before = intents->count;
    bool large = false;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        ui_intents_add(intents, INTENT_PART, PART_ROW, --at, false);
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        ui_intents_add(intents, INTENT_PART, PART_ROW, ++at, false);
    if (fabs(ui->input.wheel) > 0.0)
        ui_intents_add(intents, INTENT_PART, PART_ROW, at - ui->input.wheel, false);
    while (ui_widgets_take_key(ui, KEY_LEFT, &large))
        ui_intents_add(intents, INTENT_PART, PART_STEP + sheet->row, -1.0, large);
    while (ui_widgets_take_key(ui, KEY_RIGHT, &large))
        ui_intents_add(intents, INTENT_PART, PART_STEP + sheet->row, 1.0, large);
    if (ui_widgets_take_char(ui, ' '))
        ui_intents_add(intents, INTENT_PART, PART_WATCH + sheet->row, 0.0, false);
    if (intents->count > before) ui->focus = 0; /* the keyboard is with the rows */
}

static void draw_sheet(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const LimitsSheet *sheet = state;
    AlarmId id[ALARM_COUNT];
    int count = limits_of(id), chosen = sheet->row < count ? sheet->row : count - 1;
    ui_draw_region(ui->list, REGION_OVERLAY, screen);
    ui_cards_dim(ui, screen);
    double tallest = HEAD_PX + count * ROW_PX + NOTE_PX;
    Rect room =
        ui_cards_frame(ui, screen, CARD_WIDTH_PX, tallest + CARD_HEAD_PX + CARD_FOOT_PX, "Alarm limits");
    Rect rest = room;
    draw_head(ui, ui_rect_cut_top(&rest, HEAD_PX));
    Rect note = ui_rect_cut_bottom(&rest, NOTE_PX);
    int visible = (int)fmax(floor(rest.h / ROW_PX), 1.0);
    int first = (int)fmin(fmax(chosen - visible / 2, 0.0), fmax(count - visible, 0.0));
    for (int i = first; i < count && i < first + visible; i++)
        draw_row(ui, sheet, id[i], i, (Rect){rest.x, rest.y + (i - first) * ROW_PX, rest.w, ROW_PX - 3.0},
                 intents);
    draw_note(ui, sheet, id[chosen], note);
    draw_foot(ui, room, intents);
    take_keys(ui, sheet, intents);
}

const SheetKind UI_LIMITS_SHEET = {
    .state_size = sizeof(LimitsSheet),
    .card = true,
    .waits = true,
    .open = open_sheet,
    .fill = fill_sheet,
    .draw = draw_sheet,
    .apply = apply_part,
};
