/* The heart panel: the picture at the left, and beside it the gauges that carry its values. */
#include "ui/bedside.h"
#include "ui/heart.h"

#include <math.h>

void ui_bedside_heart(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    const Theme *t = ui->theme;
    ui_draw_region(ui->list, REGION_HEART, l->heart);
    ui_draw_rect(ui->list, l->heart, 0.0, t->window);
    Rect inner = ui_widgets_panel(ui, l->heart, "Heart now against reference", "dashed = reference");
    if (!v->heart.shown) {
        ui_draw_text(ui->list, FACE_WORDS, TYPE_BODY, ALIGN_CENTRE, t->text2, inner.x + inner.w / 2.0,
                     inner.y + inner.h / 2.0, "no probe on the chest");
        return;
    }
    Rect picture = ui_rect_cut_left(&inner, floor(0.5 * inner.w));
    ui_heart_draw(ui->list, picture, &v->heart);
}
