/* The buttons of the bedside that open a sheet. */
#include "ui/bedside.h"
#include "ui/sheet.h"

#include <math.h>

#define FACE_PAD_PX    4.0 /* left and right of its texts */
#define FACE_GAP_PX    5.0 /* between key and name */
#define TOOL_PAD_PX    16.0
#define TOOL_GAP_PX    4.0
#define SETTINGS_PX    34.0
#define IN_BAR_FROM_PX 800.0 /* width of a compact screen whose bar has room for them */

const char *ui_bedside_tool_name(int sheet, const char **key) {
    static const struct {
        const char *name, *key;
    } TOOL[SHEET_COUNT] = {[SHEET_LOOK] = {"Look", "E"},
                           [SHEET_CHART] = {"Chart", "C"},
                           [SHEET_CALL] = {"Call", "G"},
                           [SHEET_SETTINGS] = {"Settings", "O"}};
    *key = TOOL[sheet].key;
    return TOOL[sheet].name;
}

void ui_bedside_tool_face(Ui *ui, int sheet, Rect r) {
    const Theme *t = ui->theme;
    const char *key, *name = ui_bedside_tool_name(sheet, &key);
    double key_w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, key) + FACE_GAP_PX;
    double name_w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, name);
    bool both = key_w + name_w + 2.0 * FACE_PAD_PX <= r.w;
    double x = r.x + (r.w - name_w - (both ? key_w : 0.0)) / 2.0, y = r.y + r.h / 2.0 + 6.0;
    ui_draw_rect(ui->list, r, 6.0,
                 ui_widgets_hovered(ui, r) ? ui_colour_mix(t->raised, t->edge, 0.2) : t->raised);
    ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->edge, 1.0));
    if (both) ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, x, y, key);
    ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, x + (both ? key_w : 0.0), y, name);
}

void ui_bedside_tool(Ui *ui, int sheet, Rect r, Intents *intents) {
    const char *key, *name = ui_bedside_tool_name(sheet, &key);
    int id = UI_BEDSIDE_TOOL_ID + sheet;
    if (ui_widgets_area(ui, id, r)) ui_intents_add(intents, INTENT_SHEET, sheet, 0.0, false);
    ui_widgets_tell(ui, UI_ROLE_BUTTON, name, false);
    ui_bedside_tool_face(ui, sheet, r);
    ui_widgets_focus_ring(ui, id, ui_rect_inset(r, 4.0, 4.0), 4.0);
}

static double tool_px(const Ui *ui, int sheet) {
    const char *key, *name = ui_bedside_tool_name(sheet, &key);
    return ceil(ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, name)) + TOOL_PAD_PX;
}

bool ui_bedside_tools_in_bar(const BedsideLayout *l) {
    return l->screen.w >= IN_BAR_FROM_PX;
}

double ui_bedside_tools_px(const Ui *ui) {
    return tool_px(ui, SHEET_CHART) + tool_px(ui, SHEET_CALL) + SETTINGS_PX + 4.0 * TOOL_GAP_PX;
}

void ui_bedside_tools(Ui *ui, Rect row, Intents *intents) {
    (void)ui_rect_cut_left(&row, 2.0 * TOOL_GAP_PX);
    ui_bedside_tool(ui, SHEET_CHART, ui_rect_cut_left(&row, tool_px(ui, SHEET_CHART)), intents);
    (void)ui_rect_cut_left(&row, TOOL_GAP_PX);
    ui_bedside_tool(ui, SHEET_CALL, ui_rect_cut_left(&row, tool_px(ui, SHEET_CALL)), intents);
    (void)ui_rect_cut_left(&row, TOOL_GAP_PX);
    if (ui_widgets_sign_button(ui, UI_BEDSIDE_TOOL_ID + SHEET_SETTINGS, row, 'o', BUTTON_PLAIN))
        ui_intents_add(intents, INTENT_SHEET, SHEET_SETTINGS, 0.0, false);
}
