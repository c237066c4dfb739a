/* The circulation as one ribbon. */
#include "ui/flow_loop.h"

#include "ui/heart_parts.h"
#include "ui/theme.h"

#include <math.h>
#include <stdio.h>

static const double FULL_L_MIN = 8.0;   /* flow that fills the ribbon's height */
static const double SHOWN_L_MIN = 0.05; /* a smaller flow is not drawn */
static const double STEADY_L_MIN = 0.1; /* a smaller difference: the lungs stay as they are */
static const double HEADING_PX = 26.0, NAMES_PX = 22.0, NUMBERS_PX = 20.0, LEAKS_PX = 56.0;
static const double LEAKS_FROM_PX = 156.0, NAMES_FROM_PX = 130.0, NUMBERS_FROM_PX = 100.0;
static const double NODE_PX = 26.0, RIBBON_MAX_PX = 64.0, RIBBON_MIN_PX = 30.0, FULL_NAMES_PX = 440.0;
static const double CHEVRON_PX_PER_S = 14.0, CHEVRON_STEP_PX = 26.0;

enum { VEINS, RIGHT_HEART, LUNGS, LEFT_HEART, ARTERIES, NODE_COUNT };

typedef struct Loop {
    double x[NODE_COUNT]; /* middles */
    double y, height;     /* middle and full height of the ribbons */
    double phase_px;
    const Theme *theme;
} Loop;

/* Width of a flow in px; never so thin that it vanishes. */
static double ribbon_px(const Loop *loop, double flow_l_min) {
    if (!isfinite(flow_l_min)) return 0.0;
    double px = loop->height * fmin(fabs(flow_l_min) / FULL_L_MIN, 1.0);
    return fabs(flow_l_min) < SHOWN_L_MIN ? 0.0 : fmax(px, 1.5);
}

static void flow_text(char *text, size_t size, double flow_l_min, bool sign) {
    double shown = fabs(flow_l_min) < SHOWN_L_MIN ? 0.0 : flow_l_min;
    if (!isfinite(flow_l_min))
        snprintf(text, size, "--");
    else
        snprintf(text, size, "%s%.1f", shown < 0.0 ? "\u2212" : sign && shown > 0.0 ? "+" : "", fabs(shown));
}

static void chevrons(DrawList *list, const Loop *loop, double x0, double x1, double y, double width,
                     double dir) {
    if (width < 7.0) return;
    double half = fmin(0.30 * width, 6.0), span = x1 - x0, room = 2.0 * half;
    ui_draw_path(list);
    for (double at = loop->phase_px - CHEVRON_STEP_PX; at < span; at += CHEVRON_STEP_PX) {
        double x = dir > 0.0 ? x0 + at : x1 - at;
        if (x < x0 + room || x > x1 - room) continue;
        ui_draw_move(list, x - dir * 0.5 * half, y - half);
        ui_draw_to(list, x + dir * 0.5 * half, y);
        ui_draw_to(list, x - dir * 0.5 * half, y + half);
    }
    ui_draw_stroke(list, ui_draw_solid(ui_colour_alpha(loop->theme->ink, 0.85), 1.8));
}

/* A ribbon from node `from` to the next, its middle moving from y0 to y1, its width from `w0` to `w1`. */
static void ribbon(DrawList *list, const Loop *loop, int from, double y0, double w0, double y1, double w1,
                   bool backward, Colour colour) {
    double x0 = loop->x[from] + 0.5 * NODE_PX - 1.0, x1 = loop->x[from + 1] - 0.5 * NODE_PX + 1.0,
           bend = 0.45 * (x1 - x0);
    if (!(w0 > 0.0) && !(w1 > 0.0)) return;
    ui_draw_path(list);
    ui_draw_move(list, x0, y0 - 0.5 * w0);
    ui_draw_curve(list, x0 + bend, y0 - 0.5 * w0, x1 - bend, y1 - 0.5 * w1, x1, y1 - 0.5 * w1);
    ui_draw_to(list, x1, y1 + 0.5 * w1);
    ui_draw_curve(list, x1 - bend, y1 + 0.5 * w1, x0 + bend, y0 + 0.5 * w0, x0, y0 + 0.5 * w0);
    ui_draw_close(list);
    ui_draw_fill(list, backward ? ui_colour_mix(loop->theme->panel, colour, 0.30) : colour);
    if (backward) {
        ui_draw_pattern(list, (PatternStyle){PATTERN_HATCH, colour, 7.0, 1.6});
        ui_draw_stroke(list, ui_draw_solid(colour, 1.5));
    }
    if (!backward)
        chevrons(list, loop, x0, x1, 0.5 * (y0 + y1), fmin(w0, w1), 1.0);
    else {
        double size = fmin(11.0, 0.5 * (x1 - x0));
        ui_heart_arrow_head(list, x0 + 0.5 * (x1 - x0 - size), 0.5 * (y0 + y1), -1.0, 0.0, size,
                            loop->theme->text1);
    }
}

/* What leaves a heart through a pump (above) and through its valve (below). */
static void twin_ribbons(DrawList *list, const Loop *loop, int from, double pump_l_min, double valve_l_min,
                         Colour valve_colour) {
    double pump = ribbon_px(loop, pump_l_min), valve = ribbon_px(loop, valve_l_min);
    double gap = pump > 0.0 && valve > 0.0 ? 3.0 : 0.0, top = loop->y - 0.5 * (pump + valve + gap);
    double pump_y = top + 0.5 * pump, valve_y = top + pump + gap + 0.5 * valve;
    ribbon(list, loop, from, pump_y, pump, pump_y, pump, pump_l_min < 0.0, loop->theme->side[SIDE_PUMP]);
    ribbon(list, loop, from, valve_y, valve, valve_y, valve, valve_l_min < 0.0, valve_colour);
}

/* A leak from the right end of a U back to its left end. */
static void leak(DrawList *list, const Loop *loop, double x_left, double x_right, double y, double depth,
                 double flow_l_min, Colour colour) {
    double width = ribbon_px(loop, flow_l_min);
    if (!(width > 0.0)) return;
    double head = fmin(fmax(1.5 * width, 8.0), 0.55 * (x_right - x_left)), tip = y + 1.0;
    ui_draw_path(list);
    ui_draw_move(list, x_right, y);
    ui_draw_curve(list, x_right, y + 1.30 * depth, x_left, y + 1.30 * depth, x_left, tip + head);
    StrokeStyle style = ui_draw_solid(colour, width);
    style.flat = true;
    ui_draw_stroke(list, style);
    ui_heart_arrow_head(list, x_left, tip, 0.0, -1.0, head, colour);
}

/* Returns whether there is a leak; `word` false: the number alone, beside another that has the word. */
static bool leak_text(DrawList *list, const Loop *loop, double x, double y, double flow_l_min, bool word) {
    char number[16], text[32];
    if (ribbon_px(loop, flow_l_min) <= 0.0) return false;
    flow_text(number, sizeof number, flow_l_min, false);
    snprintf(text, sizeof text, "%s%s", word ? "leak " : "", number);
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, loop->theme->text2, x, y, text);
    return true;
}

static void nodes(DrawList *list, const Loop *loop) {
    for (int i = 0; i < NODE_COUNT; i++) {
        Rect box = {loop->x[i] - 0.5 * NODE_PX, loop->y - 0.5 * loop->height - 4.0, NODE_PX,
                    loop->height + 8.0};
        ui_draw_rect(list, box, 6.0, loop->theme->raised);
        ui_draw_frame(list, box, 6.0, ui_draw_solid(loop->theme->text2, 1.6));
    }
}

/* The sign in the lungs' box: up they fill, down they empty, two bars they stay. */
static void lung_sign(DrawList *list, const Loop *loop, double lungs_l_min) {
    double x = loop->x[LUNGS], y = loop->y;
    Colour ink = loop->theme->text1;
    if (!isfinite(lungs_l_min)) return;
    if (fabs(lungs_l_min) < STEADY_L_MIN) {
        ui_draw_rect(list, (Rect){x - 7.0, y - 5.0, 14.0, 2.5}, 0.0, ink);
        ui_draw_rect(list, (Rect){x - 7.0, y + 2.5, 14.0, 2.5}, 0.0, ink);
    } else {
        double dir = lungs_l_min > 0.0 ? -1.0 : 1.0;
        ui_heart_arrow_head(list, x, y + dir * 8.0, 0.0, dir, 15.0, ink);
    }
}

static void names(DrawList *list, const Loop *loop, Rect rect, double y) {
    static const char *const FULL[NODE_COUNT] = {"Veins", "Right heart", "Lungs", "Left heart", "Arteries"};
    static const char *const SHORT[NODE_COUNT] = {"Veins", "Right", "Lungs", "Left", "Body"};
    for (int i = 0; i < NODE_COUNT; i++) {
        const char *name = rect.w >= FULL_NAMES_PX ? FULL[i] : SHORT[i];
        TextAlign align = i == VEINS ? ALIGN_LEFT : i == ARTERIES ? ALIGN_RIGHT : ALIGN_CENTRE;
        double x = i == VEINS ? rect.x : i == ARTERIES ? rect.x + rect.w : loop->x[i];
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, align, loop->theme->text2, x, y, name);
    }
}

static void number_over(DrawList *list, const Loop *loop, int from, double y, double flow_l_min) {
    char text[16];
    flow_text(text, sizeof text, flow_l_min, false);
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, loop->theme->text1,
                 0.5 * (loop->x[from] + loop->x[from + 1]), y, text);
}

static void numbers(DrawList *list, const Loop *loop, const HeartView *view, double left_l_min) {
    double over = loop->y - 0.5 * loop->height - 8.0, under = loop->y + 0.5 * loop->height + 22.0;
    number_over(list, loop, VEINS, over, view->right_l_min);
    number_over(list, loop, RIGHT_HEART, over, view->right_l_min);
    number_over(list, loop, LUNGS, over, left_l_min);
    number_over(list, loop, LEFT_HEART, over, left_l_min);
    char text[16];
    flow_text(text, sizeof text, view->lungs_l_min, true);
    ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_CENTRE, loop->theme->text1, loop->x[LUNGS], under, text);
}

/* The three leaks under their chambers, with their values, down to `bottom`. */
static void leaks(DrawList *list, const Loop *loop, const HeartView *view, double bottom, Colour venous,
                  Colour arterial) {
    double y = loop->y + 0.5 * loop->height + 4.0, half = 0.5 * NODE_PX + 7.0;
    double right = loop->x[RIGHT_HEART], left = loop->x[LEFT_HEART], root = left + half + 16.0,
           arteries = loop->x[ARTERIES] - 2.0;
    double widest = ribbon_px(
        loop, fmax(view->tricuspid_leak_l_min, fmax(view->mitral_leak_l_min, view->aortic_leak_l_min)));
    double depth = fmax(fmin(bottom - y - 20.0 - 0.5 * widest, 28.0), 8.0);
    leak(list, loop, right - half, right + half, y, depth, view->tricuspid_leak_l_min, venous);
    leak(list, loop, left - half, left + half, y, depth, view->mitral_leak_l_min, arterial);
    leak(list, loop, root, arteries, y, depth, view->aortic_leak_l_min, loop->theme->side[SIDE_LEFT]);
    double text_y = fmin(y + depth + 0.5 * widest + 17.0, bottom - 3.0);
    (void)leak_text(list, loop, right, text_y, view->tricuspid_leak_l_min, true);
    bool beside = leak_text(list, loop, left, text_y, view->mitral_leak_l_min, true);
    (void)leak_text(list, loop, 0.5 * (root + arteries), text_y, view->aortic_leak_l_min, !beside);
}

void ui_flow_loop_draw(DrawList *list, Rect rect, const HeartView *view) {
    if (!view->shown) return;
    Loop loop = {.theme = ui_draw_theme(list)};
    const Theme *theme = loop.theme;
    /* what does not fit is left out: first the leaks, then the names, then the numbers */
    bool with_leaks = rect.h >= LEAKS_FROM_PX, with_names = rect.h >= NAMES_FROM_PX,
         with_numbers = rect.h >= NUMBERS_FROM_PX;
    double above = HEADING_PX + (with_names ? NAMES_PX : 0.0) + (with_numbers ? NUMBERS_PX : 0.0) + 4.0;
    double room = rect.h - above - (with_leaks ? LEAKS_PX : with_numbers ? NUMBERS_PX : 0.0) - 8.0;
    loop.height = fmin(fmax(room, RIBBON_MIN_PX), RIBBON_MAX_PX);
    loop.y = rect.y + above + 0.5 * loop.height;
    for (int i = 0; i < NODE_COUNT; i++)
        loop.x[i] = rect.x + 0.5 * NODE_PX + i * (rect.w - NODE_PX) / (NODE_COUNT - 1);
    bool still = view->reduced_motion || view->frozen;
    loop.phase_px =
        still ? 0.5 * CHEVRON_STEP_PX : fmod(fmax(view->time_s, 0.0) * CHEVRON_PX_PER_S, CHEVRON_STEP_PX);

    ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, theme->text2, rect.x, rect.y + 16.0,
                 "Flow loop, L/min");
    if (rect.w >= FULL_NAMES_PX)
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, theme->text3, rect.x + rect.w, rect.y + 16.0,
                     "width = flow");
    if (with_names) names(list, &loop, rect, rect.y + HEADING_PX + 15.0);

    Colour venous = ui_colour_mix(theme->side[SIDE_RIGHT], theme->blood_right, 0.45);
    Colour arterial = ui_colour_mix(theme->side[SIDE_LEFT], theme->blood_left, 0.40);
    double left_l_min = view->pump_l_min + view->native_l_min;
    double right = ribbon_px(&loop, view->right_l_min), left = ribbon_px(&loop, left_l_min);
    if (with_leaks) leaks(list, &loop, view, rect.y + rect.h, venous, arterial);
    ribbon(list, &loop, VEINS, loop.y, right, loop.y, right, view->right_l_min < 0.0, venous);
    if (view->right_pump.present) {
        double pump_l_min = view->right_pump.mean_l_min;
        twin_ribbons(list, &loop, RIGHT_HEART, pump_l_min, view->right_l_min - pump_l_min,
                     theme->side[SIDE_RIGHT]);
    } else {
        ribbon(list, &loop, RIGHT_HEART, loop.y, right, loop.y, right, view->right_l_min < 0.0,
               theme->side[SIDE_RIGHT]);
    }
    ribbon(list, &loop, LUNGS, loop.y, right, loop.y, left, left_l_min < 0.0, arterial);
    twin_ribbons(list, &loop, LEFT_HEART, view->pump_l_min, view->native_l_min, theme->side[SIDE_LEFT]);
    nodes(list, &loop);
    lung_sign(list, &loop, view->lungs_l_min);
    if (with_numbers) numbers(list, &loop, view, left_l_min);
}
