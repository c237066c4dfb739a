/* Lists and rows of steps as one control each. */
#include "ui/pick.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROW_LEAST_PX 24.0
#define ROW_GAP_PX   2.0
#define STEP_GAP_PX  4.0
#define ROW_PAD_PX   12.0

bool ui_pick_area(Ui *ui, int id, Rect rect) {
    KeyPress kept[INPUT_KEYS_MAX];
    int keys = ui->input.keys;
    memcpy(kept, ui->input.key, sizeof kept);
    ui->input.keys = 0;
    int before = ui->items;
    bool hit = ui_widgets_area(ui, id, rect);
    if (ui->items > before) ui->item[before].leaves_enter = true;
    ui->input.keys = keys;
    memcpy(ui->input.key, kept, sizeof kept);
    return hit;
}

/* "Kind of problem: Surgical" */
static void tell(Ui *ui, UiRole role, const char *label, const char *says, bool chosen) {
    char text[UI_LABEL_MAX];
    snprintf(text, sizeof text, "%.30s%s%.30s", label, says[0] != '\0' ? ": " : "", says);
    ui_widgets_tell(ui, role, text, chosen);
}

/* Where keys move the choice to: `back` and `forth` by one, Home and End to the ends. */
static int moved(Ui *ui, int id, Key back, Key forth, int count, int chosen) {
    if (ui->focus != id || ui->blocked) return chosen;
    int to = chosen;
    while (ui_widgets_take_key(ui, back, NULL))
        to--;
    while (ui_widgets_take_key(ui, forth, NULL))
        to++;
    if (ui_widgets_take_key(ui, KEY_HOME, NULL)) to = 0;
    if (ui_widgets_take_key(ui, KEY_END, NULL)) to = count - 1;
    if (to == chosen) return chosen;
    return to < 0 ? 0 : to >= count ? count - 1 : to;
}

static int clamped(double at, int count) {
    return at < 0.0 ? 0 : at >= count ? count - 1 : (int)floor(at);
}

int ui_pick_rows(Ui *ui, int id, Rect rect, double row_px, const char *label, int count, int chosen,
                 PickName name, const void *what) {
    const Theme *t = ui->theme;
    rect.h = row_px * count;
    int first = 0, shown = count;
    if (row_px < ROW_LEAST_PX) { /* too many for their room: those around the chosen one */
        shown = (int)fmax(floor(rect.h / ROW_LEAST_PX), 1.0);
        row_px = ROW_LEAST_PX;
        first = chosen - shown / 2 < 0               ? 0
                : chosen - shown / 2 > count - shown ? count - shown
                                                     : chosen - shown / 2;
    }
    int to = moved(ui, id, KEY_UP, KEY_DOWN, count, chosen);
    if (ui_pick_area(ui, id, rect)) to = clamped(first + (ui->input.y_px - rect.y) / row_px, count);
    char says[2 * PICK_NAME_MAX] = "";
    if (chosen >= 0 && chosen < count) name(what, chosen, says);
    tell(ui, UI_ROLE_ROW, label, says, chosen >= 0);
    for (int i = first; i < first + shown; i++) {
        Rect r = {rect.x, rect.y + (i - first) * row_px, rect.w, row_px - ROW_GAP_PX};
        char text[PICK_NAME_MAX];
        name(what, i, text);
        if (i == chosen || ui_widgets_hovered(ui, r)) ui_draw_rect(ui->list, r, 6.0, t->selected);
        if (i == chosen) {
            ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(t->text1, 1.5));
            ui_draw_rect(ui->list, (Rect){r.x + 3.0, r.y + 6.0, 3.0, r.h - 12.0}, 1.5, t->text1);
        }
        ui_draw_text_fit(ui->list, i == chosen ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_BODY, ALIGN_LEFT,
                         i == chosen ? t->text1 : t->text2, r.x + ROW_PAD_PX, r.y + r.h / 2.0 + 6.0,
                         r.w - 2.0 * ROW_PAD_PX + 4.0, text);
    }
    ui_widgets_focus_ring(ui, id, rect, 6.0);
    return to == chosen ? -1 : to;
}

int ui_pick_steps(Ui *ui, int id, Rect rect, const char *label, int count, int chosen) {
    const Theme *t = ui->theme;
    int to = moved(ui, id, KEY_LEFT, KEY_RIGHT, count, chosen);
    double w = (rect.w + STEP_GAP_PX) / count;
    if (ui_pick_area(ui, id, rect)) to = clamped((ui->input.x_px - rect.x) / w, count);
    char says[32] = "";
    if (chosen >= 0) snprintf(says, sizeof says, "%d of %d", chosen + 1, count);
    tell(ui, UI_ROLE_TRACK, label, says, chosen >= 0);
    for (int i = 0; i < count; i++) {
        Rect r = {rect.x + i * w, rect.y, w - STEP_GAP_PX, rect.h};
        ui_draw_rect(ui->list, r, 4.0,
                     i <= chosen                 ? t->text1
                     : ui_widgets_hovered(ui, r) ? t->selected
                                                 : t->raised);
        ui_draw_frame(ui->list, r, 4.0, ui_draw_solid(t->edge, 1.0));
    }
    ui_widgets_focus_ring(ui, id, rect, 6.0);
    return to == chosen ? -1 : to;
}
