/* The look: gauges beside the picture, and what the flows say in one sentence. */
#include "ui/capsules.h"
#include "ui/comb.h"
#include "ui/flow_loop.h"
#include "ui/look_parts.h"
#include "ui/septum_ruler.h"

#include <math.h>
#include <stdio.h>

static const double STEADY_L_MIN = 0.1; /* a smaller difference is none, as in ui/flow_loop.c */
static const double LEAK_L_MIN = 0.3;   /* a smaller leak is not spoken of */
static const double STILL_L_MIN = 0.2;  /* less than this is no circulation to speak of */

void ui_look_sentence(const HeartView *h, char *text, size_t size) {
    double left = h->pump_l_min + h->native_l_min, right = h->right_l_min, lungs = h->lungs_l_min;
    double leak = fmax(fmax(h->mitral_leak_l_min, h->tricuspid_leak_l_min), h->aortic_leak_l_min);
    const char *valve = leak > h->mitral_leak_l_min ? leak > h->tricuspid_leak_l_min ? "aortic" : "tricuspid"
                        : leak > h->tricuspid_leak_l_min ? "mitral"
                                                         : "tricuspid";
    char more[TEXT_LINE] = "";
    if (!isfinite(left) || !isfinite(right)) {
        snprintf(text, size, "No beat to read from yet.");
        return;
    }
    if (h->left_pump.present && h->pump_l_min < -STEADY_L_MIN)
        snprintf(more, sizeof more, " The pump leaks back %.1f.", -h->pump_l_min);
    else if (leak > LEAK_L_MIN)
        snprintf(more, sizeof more, " The %s valve leaks %.1f.", valve, leak);
    if (fabs(left) < STILL_L_MIN && fabs(right) < STILL_L_MIN)
        snprintf(text, size, "Neither heart sends out blood.%s", more);
    else if (fabs(lungs) < STEADY_L_MIN)
        snprintf(text, size, "Right and left heart both send out %.1f: the lungs keep their blood.%s", right,
                 more);
    else
        snprintf(text, size, "Left heart sends out %.1f, right heart %.1f: the lungs %s by %.1f L/min.%s",
                 left, right, lungs > 0.0 ? "fill" : "empty", fabs(lungs), more);
}

/* A gauge's panel; beside the picture a region of its own, because it stands while the picture moves. */
static Rect panel(Ui *ui, const LookLayout *l, LookRegion region, Rect rect) {
    if (!l->compact) ui_draw_region(ui->list, (int)region, rect);
    ui_draw_rect(ui->list, rect, 0.0, ui->theme->window);
    ui_draw_rect(ui->list, rect, PANEL_RADIUS, ui->theme->panel);
    return ui_rect_inset(rect, PANEL_PAD, 10.0);
}

/* Pump, valve and what leaks back, as numbers. */
static void draw_numbers(Ui *ui, Rect row, const HeartView *h) {
    static const char *const NAME[3] = {"Pump", "Valve", "Leaks"};
    const double value[3] = {h->pump_l_min, h->native_l_min,
                             h->mitral_leak_l_min + h->tricuspid_leak_l_min + h->aortic_leak_l_min};
    for (int i = 0; i < 3; i++) {
        double x = row.x + i * row.w / 3.0, v = fabs(value[i]) < 0.05 ? 0.0 : value[i];
        char text[TEXT_SHORT];
        snprintf(text, sizeof text, "%s%.1f", v < 0.0 ? "\u2212" : "", fabs(v));
        ui_draw_text(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, x, row.y + 20.0, NAME[i]);
        ui_draw_text(ui->list, FACE_DIGITS, TYPE_BODY, ALIGN_RIGHT, ui->theme->text1, x + row.w / 3.0 - 20.0,
                     row.y + 20.0, isfinite(v) ? text : "--");
    }
}

static void draw_flows(Ui *ui, Rect rect, const HeartView *h) {
    char text[TEXT_LINE * 2];
    bool words = rect.h >= 190.0;
    Rect foot = {0}, numbers = {0};
    if (words) {
        foot = ui_rect_cut_bottom(&rect, rect.h >= 220.0 ? 68.0 : 48.0);
        if (rect.h >= 230.0) numbers = ui_rect_cut_bottom(&rect, 34.0);
        (void)ui_rect_cut_bottom(&rect, 4.0);
    }
    ui_flow_loop_draw(ui->list, rect, h);
    if (numbers.h > 0.0) {
        ui_draw_rect(ui->list, (Rect){numbers.x, numbers.y - 2.0, numbers.w, 1.0}, 0.0, ui->theme->hairline);
        draw_numbers(ui, numbers, h);
    }
    if (!words) return;
    ui_look_sentence(h, text, sizeof text);
    (void)ui_draw_text_wrap(ui->list, FACE_WORDS, TYPE_NOTE, ui->theme->text1, foot.x, foot.y + 18.0, foot.w,
                            22.0, foot.h > 60.0 ? 3 : 2, text);
}

void ui_look_gauges(Ui *ui, const LookLayout *l, const LookSheet *sheet) {
    if (l->volumes.h <= 0.0) return;
    const HeartView *h = &sheet->heart;
    bool shown = sheet->picture && h->shown;
    Rect volumes = panel(ui, l, LOOK_REGION_VOLUMES, l->volumes);
    if (shown) {
        ui_capsules_draw(ui->list, volumes, h);
    } else {
        ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, volumes.x,
                         volumes.y + 18.0, volumes.w, "Gauges come with the picture.");
    }
    Rect septum = panel(ui, l, LOOK_REGION_SEPTUM, l->septum);
    if (shown) ui_septum_ruler_draw(ui->list, septum, h);
    Rect comb = panel(ui, l, LOOK_REGION_COMB, l->comb);
    if (shown) ui_comb_draw(ui->list, comb, h);
    Rect flows = panel(ui, l, LOOK_REGION_FLOWS, l->flows);
    if (shown) draw_flows(ui, flows, h);
}
