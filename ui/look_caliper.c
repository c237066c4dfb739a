/* The calliper of a look: two points in the plane of the picture, moved by arrow keys or the pointer. */
#include "ui/look_parts.h"

#include <math.h>
#include <stdio.h>

enum { ID_PICTURE = 3040 };

static const double STEP_MM = 1.0, STRIDE_MM = 5.0; /* an arrow key, with Shift */
static const double ARM_PX = 9.0;

double ui_look_measured_mm(const LookSheet *sheet) {
    return hypot(sheet->mark[1].x_mm - sheet->mark[0].x_mm, sheet->mark[1].y_mm - sheet->mark[0].y_mm);
}

static void cross(DrawList *list, double x, double y, bool chosen, Colour ink, Colour ground) {
    for (int pass = 0; pass < 2; pass++) {
        ui_draw_path(list);
        ui_draw_move(list, x - ARM_PX, y);
        ui_draw_to(list, x + ARM_PX, y);
        ui_draw_move(list, x, y - ARM_PX);
        ui_draw_to(list, x, y + ARM_PX);
        if (chosen) ui_draw_ellipse(list, x, y, ARM_PX + 3.0, ARM_PX + 3.0);
        ui_draw_stroke(list, ui_draw_solid(pass == 0 ? ground : ink, pass == 0 ? 5.0 : 2.0));
    }
}

void ui_look_caliper_draw(DrawList *list, const LookStyle *style, const HeartPen *pen,
                          const LookSheet *sheet) {
    if (!sheet->marked) return;
    const Theme *t = style->theme;
    double x[2], y[2];
    for (int k = 0; k < 2; k++) {
        x[k] = ui_heart_px_x(pen, sheet->mark[k]);
        y[k] = ui_heart_px_y(pen, sheet->mark[k]);
    }
    ui_draw_path(list);
    ui_draw_move(list, x[0], y[0]);
    ui_draw_to(list, x[1], y[1]);
    ui_draw_stroke(list, ui_draw_solid(style->ground, 4.0));
    ui_draw_stroke(list, ui_draw_dashed(t->text1, 1.8, 2.0, 5.0));
    for (int k = 0; k < 2; k++)
        cross(list, x[k], y[k], sheet->measuring && sheet->mark_chosen == k, t->text1, style->ground);
    char text[TEXT_SHORT];
    snprintf(text, sizeof text, "%.0f mm", ui_look_measured_mm(sheet));
    double w = ui_draw_text_width(list, FACE_DIGITS_STRONG, TYPE_VALUE_S, text) + 24.0, h = 38.0;
    Rect r = style->sector->rect;
    double cx = fmin(fmax(0.5 * (x[0] + x[1]), r.x + 0.5 * w + 6.0), r.x + r.w - 0.5 * w - 6.0);
    double cy = fmin(fmax(fmin(y[0], y[1]) - 36.0, r.y + 0.5 * h + 6.0), r.y + r.h - 0.5 * h - 6.0);
    Rect box = {cx - 0.5 * w, cy - 0.5 * h, w, h};
    ui_draw_rect(list, box, 8.0, ui_colour_alpha(t->panel, 0.95));
    ui_draw_frame(list, box, 8.0, ui_draw_solid(t->text1, 1.6));
    ui_draw_text(list, FACE_DIGITS_STRONG, TYPE_VALUE_S, ALIGN_CENTRE, t->text1, cx, cy + 8.0, text);
}

static void move_key(Ui *ui, Key key, LookPart part, double sign, Intents *intents) {
    bool shift = false;
    while (ui_widgets_take_key(ui, key, &shift))
        ui_intents_add(intents, INTENT_PART, part, sign * (shift ? STRIDE_MM : STEP_MM), false);
}

void ui_look_caliper_input(Ui *ui, Rect picture, const HeartPen *pen, const LookSheet *sheet,
                           Intents *intents) {
    if (!sheet->measuring) return;
    move_key(ui, KEY_LEFT, LOOK_PART_MOVE_X, -1.0, intents);
    move_key(ui, KEY_RIGHT, LOOK_PART_MOVE_X, 1.0, intents);
    move_key(ui, KEY_UP, LOOK_PART_MOVE_Y, -1.0, intents);
    move_key(ui, KEY_DOWN, LOOK_PART_MOVE_Y, 1.0, intents);
    if (ui_widgets_take_key(ui, KEY_ENTER, NULL))
        ui_intents_add(intents, INTENT_PART, LOOK_PART_POINT, 0.0, false);
    ui->mouse_only = true;
    (void)ui_widgets_area(ui, ID_PICTURE, picture);
    ui->mouse_only = false;
    if (ui->active != ID_PICTURE || !ui->input.down ||
        !ui_rect_contains(picture, ui->input.x_px, ui->input.y_px))
        return;
    HeartPoint at = {(ui->input.x_px - pen->x_px) / pen->px_per_mm,
                     (ui->input.y_px - pen->y_px) / pen->px_per_mm};
    if (ui->input.pressed) {
        double d[2];
        for (int k = 0; k < 2; k++)
            d[k] = hypot(sheet->mark[k].x_mm - at.x_mm, sheet->mark[k].y_mm - at.y_mm);
        ui_intents_add(intents, INTENT_PART, LOOK_PART_PICK, d[1] < d[0] ? 1.0 : 0.0, false);
    }
    ui_intents_add(intents, INTENT_PART, LOOK_PART_AT_X, at.x_mm, false);
    ui_intents_add(intents, INTENT_PART, LOOK_PART_AT_Y, at.y_mm, false);
}
