/* The sheet of settings. */
#include "ui/settings_sheet.h"

#include "ui/bedside.h"
#include "ui/cards.h"
#include "ui/textfield.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_GROUP = 700, ID_ROW = 710, IDS_PER_ROW = 3, ID_NAME = 800, ID_TOUR, ID_DONE, ID_SOUND };
enum { PART_GROUP = 1000, PART_ROW, PART_NAME };
enum { SHOWN_GROUPS = SETTINGS_HIDDEN, NAME_ROW = SETTING_COUNT, ROWS_MAX = 10 };

#define CARD_WIDTH_PX 900.0
#define ROW_PX        50.0
#define GROUP_PX      40.0
#define HELP_PX       30.0
#define VALUE_PX      150.0
#define BUTTON_PX     44.0
#define NARROW_PX     640.0 /* a room narrower than this has its groups above the rows */

typedef struct SettingsSheet {
    int group, row; /* row: counted within the group */
    bool night;     /* one is open: there is a bedside to take the tour over */
    TextField name;
    char path[SETTINGS_PATH_MAX];
    char problem[SETTINGS_KEPT_MAX];
} SettingsSheet;

/* The rows of a group, in the table's order; returns how many. NAME_ROW stands for the trainee's name. */
static int rows_of(int group, int row[ROWS_MAX]) {
    int count = 0;
    for (int i = 0; i < SETTING_COUNT && count < ROWS_MAX; i++) {
        if (ui_settings_row((SettingId)i)->group == (SettingGroup)group) row[count++] = i;
    }
    if (group == SETTINGS_NIGHT && count < ROWS_MAX) row[count++] = NAME_ROW;
    return count;
}

static void open_sheet(void *state, SheetContext *context) {
    SettingsSheet *sheet = state;
    sheet->night = context->feed != NULL;
    ui_textfield_set(&sheet->name, context->settings->now.trainee);
    snprintf(sheet->path, sizeof sheet->path, "%s", context->settings->path);
    snprintf(sheet->problem, sizeof sheet->problem, "%s", context->settings->problem);
}

static void apply_part(void *state, SheetContext *context, const Intent *intent) {
    SettingsSheet *sheet = state;
    Settings *settings = &context->settings->now;
    int row[ROWS_MAX];
    if (intent->number == PART_GROUP) {
        sheet->group = ((int)intent->amount % SHOWN_GROUPS + SHOWN_GROUPS) % SHOWN_GROUPS;
        sheet->row = 0;
    } else if (intent->number == PART_ROW) {
        int count = rows_of(sheet->group, row);
        sheet->row = (int)fmin(fmax(intent->amount, 0.0), count - 1.0);
    } else if (intent->number == PART_NAME) {
        ui_textfield_edit(&sheet->name, intent->amount);
        snprintf(settings->trainee, sizeof settings->trainee, "%.*s", SETTINGS_NAME_MAX - 1,
                 sheet->name.text);
    } else if (intent->number >= 0 && intent->number < SETTING_COUNT) {
        ui_settings_step(settings, (SettingId)intent->number, (int)intent->amount);
    }
}

/* The groups: a column at the left, or a line above. */
static void draw_groups(Ui *ui, const SettingsSheet *sheet, Rect room, bool narrow, Intents *intents) {
    double gap = 8.0, w = narrow ? (room.w - gap * (SHOWN_GROUPS - 1)) / SHOWN_GROUPS : room.w;
    for (int i = 0; i < SHOWN_GROUPS; i++) {
        Rect r = {room.x + (narrow ? i * (w + gap) : 0.0), room.y + (narrow ? 0.0 : i * (GROUP_PX + gap)), w,
                  GROUP_PX};
        bool open = i == sheet->group;
        if (ui_widgets_button(ui, ID_GROUP + i, r, ui_settings_group_name((SettingGroup)i),
                              open ? BUTTON_CHOSEN : BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_PART, PART_GROUP, i, false);
        ui_widgets_tell(ui, UI_ROLE_TAB, NULL, open);
    }
}

static void draw_name(Ui *ui, const SettingsSheet *sheet, Rect r, bool chosen, Intents *intents) {
    double w = fmin(2.0 * BUTTON_PX + VALUE_PX + 16.0, 0.5 * r.w);
    ui_draw_text_fit(ui->list, chosen ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY, ALIGN_LEFT,
                     ui->theme->text1, r.x + 12.0, r.y + r.h / 2.0 + 6.0, r.w - w - 28.0,
                     "Your name in the records");
    ui_textfield_draw(ui, ID_NAME, (Rect){r.x + r.w - w - 4.0, r.y + 4.0, w, r.h - 8.0}, &sheet->name,
                      "a pseudonym, or nothing", INTENT_PART, PART_NAME, intents);
}

/* Which row a stepper belongs to. */
static void tell_step(Ui *ui, const char *what, const char *row) {
    char label[UI_LABEL_MAX];
    snprintf(label, sizeof label, "%s: %.44s", what, row);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, label, false);
}

/* Label, less, value, more; with the focus, arrows left and right change it. */
static void draw_row(Ui *ui, const SettingsSheet *sheet, int id, int index, Rect r, Intents *intents) {
    const Theme *t = ui->theme;
    bool chosen = index == sheet->row;
    if (chosen) ui_draw_rect(ui->list, r, 6.0, t->selected);
    if (chosen) ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->edge, 1.5));
    if (id == NAME_ROW) {
        draw_name(ui, sheet, r, chosen, intents);
        return;
    }
    const SettingRow *row = ui_settings_row((SettingId)id);
    char value[TEXT_LINE];
    ui_settings_format((SettingId)id, ui_settings_value(ui->settings, (SettingId)id), value, sizeof value);
    double h = r.h - 8.0, right = r.x + r.w - 4.0;
    Rect more = {right - BUTTON_PX, r.y + 4.0, BUTTON_PX, h};
    Rect less = {more.x - VALUE_PX - 8.0 - BUTTON_PX, r.y + 4.0, BUTTON_PX, h};
    int first = ID_ROW + index * IDS_PER_ROW;
    ui_draw_text_fit(ui->list, chosen ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY, ALIGN_LEFT, t->text1,
                     r.x + 12.0, r.y + r.h / 2.0 + 6.0, less.x - r.x - 24.0, row->label);
    bool number = row->kind == SETTING_NUMBER;
    if (ui_widgets_sign_button(ui, first, less, number ? '-' : 'l', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, id, -1.0, false);
    tell_step(ui, number ? "less" : "value before", row->label);
    ui_draw_text_fit(ui->list, FACE_WORDS_STRONG, TYPE_BODY, ALIGN_CENTRE, t->text1,
                     less.x + less.w + 4.0 + VALUE_PX / 2.0, r.y + r.h / 2.0 + 6.0, VALUE_PX - 4.0, value);
    if (ui_widgets_sign_button(ui, first + 1, more, number ? '+' : 'r', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_PART, id, 1.0, false);
    tell_step(ui, number ? "more" : "next value", row->label);
    ui->mouse_only = true;
    if (ui_widgets_area(ui, first + 2, (Rect){r.x, r.y, less.x - r.x - 4.0, r.h}))
        ui_intents_add(intents, INTENT_PART, PART_ROW, index, false);
    char said[UI_LABEL_MAX];
    snprintf(said, sizeof said, "%.40s: %.20s", row->label, value);
    ui_widgets_tell(ui, UI_ROLE_ROW, said, chosen);
    ui->mouse_only = false;
}

/* Keys: rows by up and down, values by left and right, groups by Page up and down. */
static void take_keys(Ui *ui, const SettingsSheet *sheet, const int row[], int count, Intents *intents) {
    int at = sheet->row < count ? sheet->row : count - 1, before = intents->count;
    while (ui_widgets_take_key(ui, KEY_UP, NULL))
        ui_intents_add(intents, INTENT_PART, PART_ROW, --at, false);
    while (ui_widgets_take_key(ui, KEY_DOWN, NULL))
        ui_intents_add(intents, INTENT_PART, PART_ROW, ++at, false);
    if (ui_widgets_take_key(ui, KEY_PAGE_UP, NULL))
        ui_intents_add(intents, INTENT_PART, PART_GROUP, sheet->group - 1, false);
    if (ui_widgets_take_key(ui, KEY_PAGE_DOWN, NULL))
        ui_intents_add(intents, INTENT_PART, PART_GROUP, sheet->group + 1, false);
    int id = row[at < 0 ? 0 : at >= count ? count - 1 : at];
    if (intents->count > before) ui->focus = id == NAME_ROW ? ID_NAME : 0;
    if (id == NAME_ROW) return;
    while (ui_widgets_take_key(ui, KEY_LEFT, NULL))
        ui_intents_add(intents, INTENT_PART, id, -1.0, false);
    while (ui_widgets_take_key(ui, KEY_RIGHT, NULL))
        ui_intents_add(intents, INTENT_PART, id, 1.0, false);
}

/* What the row with the focus means, or what is wrong in the file. */
static void draw_help(Ui *ui, const SettingsSheet *sheet, int id, Rect room) {
    const char *help = id == NAME_ROW ? "for your own list of nights; nothing about real people"
                                      : ui_settings_row((SettingId)id)->help;
    char text[TEXT_LONG];
    if (sheet->problem[0] != '\0')
        snprintf(text, sizeof text, "Ignored and kept: %.500s", sheet->problem);
    else
        snprintf(text, sizeof text, "%s", help);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, ui->theme->text2, room.x, room.y + 20.0, room.w,
                            21.0, sheet->problem[0] != '\0' ? 2 : 1, text);
}

static void draw_foot(Ui *ui, const SettingsSheet *sheet, Rect room, Intents *intents) {
    Rect done = {room.x, room.y + room.h + 20.0, 140.0, 44.0};
    bool close = ui_widgets_button(ui, ID_DONE, done, "Done", BUTTON_PRIMARY);
    close = ui_widgets_take_key(ui, KEY_ESCAPE, NULL) || close;
    close = ui_widgets_take_default(ui) || close;
    if (close) ui_intents_add(intents, INTENT_SHEET, SHEET_NONE, 0.0, false);
    Rect tour = {done.x + done.w + 12.0, done.y, 160.0, 44.0};
    if (ui_widgets_button(ui, ID_TOUR, tour, "Take the tour", sheet->night ? BUTTON_PLAIN : BUTTON_OFF))
        ui_intents_add(intents, INTENT_SHEET, SHEET_TOUR, 0.0, false);
    double x = tour.x + tour.w + 16.0;
    if (sheet->group == SETTINGS_SOUND) {
        Rect play = {x - 4.0, done.y, 150.0, 44.0};
        if (ui_widgets_button(ui, ID_SOUND, play, "Play a sound", BUTTON_PLAIN))
            ui_intents_add(intents, INTENT_SOUND_CHECK, SOUND_MEDIUM, 0.0, false);
        x = play.x + play.w + 16.0;
    }
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text3, x, done.y + 27.0,
                     room.x + room.w - x,
                     "\u2191 \u2193 row, \u2190 \u2192 value, Page keys: group, Esc: done");
}

static void draw_sheet(Ui *ui, Rect screen, const void *state, Intents *intents) {
    const SettingsSheet *sheet = state;
    int row[ROWS_MAX], count = rows_of(sheet->group, row);
    ui_draw_region(ui->list, REGION_OVERLAY, screen);
    ui_cards_dim(ui, screen);
    double tallest = 7.0 * ROW_PX + HELP_PX + 12.0;
    Rect room = ui_cards_frame(ui, screen, CARD_WIDTH_PX, tallest + CARD_HEAD_PX + CARD_FOOT_PX, "Settings");
    bool narrow = room.w < NARROW_PX;
    Rect rest = room;
    Rect groups = narrow ? ui_rect_cut_top(&rest, GROUP_PX) : ui_rect_cut_left(&rest, 150.0);
    draw_groups(ui, sheet, groups, narrow, intents);
    if (narrow)
        (void)ui_rect_cut_top(&rest, 8.0);
    else
        (void)ui_rect_cut_left(&rest, 20.0);
    Rect help = ui_rect_cut_bottom(&rest, HELP_PX);
    int chosen = sheet->row < count ? sheet->row : count - 1;
    int visible = (int)fmax(floor(rest.h / ROW_PX), 1.0),
        first = chosen >= visible ? chosen - visible + 1 : 0;
    for (int i = first; i < count && i < first + visible; i++)
        draw_row(ui, sheet, row[i], i, (Rect){rest.x, rest.y + (i - first) * ROW_PX, rest.w, ROW_PX - 4.0},
                 intents);
    draw_help(ui, sheet, row[chosen], help);
    draw_foot(ui, sheet, room, intents);
    take_keys(ui, sheet, row, count, intents);
}

const SheetKind UI_SETTINGS_SHEET = {
    .state_size = sizeof(SettingsSheet),
    .card = true,
    .waits = true,
    .open = open_sheet,
    .draw = draw_sheet,
    .apply = apply_part,
};
