/* What happens over the last seconds of a look, all on one time axis: the electrocardiogram and, above it,
   the page's own strip. The strips are swept, not scrolled, so that they can be read. */
#include "ui/look_parts.h"

#include "model/units.h"

#include <math.h>
#include <stdio.h>

enum { SPAN_MOMENTS = 420, GAP_MOMENTS = 16 }; /* 3.4 s across; the gap before what is oldest */

static const double LEFT_PX = 124.0, RIGHT_PX = 96.0, PAD_PX = 10.0;
static const double ECG_PX = 58.0, ECG_LOW_MV = -0.6, ECG_HIGH_MV = 1.4;
static const double VALVE_PX = 118.0, SAC_PX = 118.0, INFLOW_PX = 128.0;
static const double VALVE_MM = 20.0; /* leaflet tips apart when fully open: a usual adult valve */
static const double VELOCITY_TOP[] = {1.0, 2.0, 4.0}, VELOCITY_LOW = -0.2; /* scales; below 0, of the top */
static const double VELOCITY_MARK =
    1.5; /* m/s; above it an inflow velocity is called high (common practice) */

typedef struct Axis {
    double x0, x1;
    int64_t first, last; /* moments drawn */
} Axis;

const HeartMoment *ui_look_moment(const LookSheet *sheet) {
    if (sheet->at < sheet->loop.first || sheet->at >= sheet->loop.end) return NULL;
    return &sheet->loop.moment[sheet->at % HEART_MOMENTS];
}

double ui_look_strip_px(LookPage page, bool compact, bool tiny) {
    double own = page == LOOK_PAGE_VALVE    ? VALVE_PX
                 : page == LOOK_PAGE_SAC    ? SAC_PX
                 : page == LOOK_PAGE_INFLOW ? INFLOW_PX
                                            : 0.0;
    if (tiny) return own > 0.0 ? 108.0 : 46.0;
    return ECG_PX + 2.0 * PAD_PX + (compact ? 0.72 * own : own);
}

/* A frozen strip shows everything up to the newest moment, so that stepping back moves only the line. */
static Axis axis_of(Rect rect, const LookSheet *sheet) {
    int64_t last = sheet->frozen ? sheet->loop.end - 1 : sheet->at;
    if (last - sheet->at > SPAN_MOMENTS - GAP_MOMENTS - 1) last = sheet->at + SPAN_MOMENTS - GAP_MOMENTS - 1;
    int64_t first = last - (SPAN_MOMENTS - GAP_MOMENTS) + 1;
    if (first < sheet->loop.first) first = sheet->loop.first;
    return (Axis){rect.x + LEFT_PX, rect.x + rect.w - RIGHT_PX, first, last};
}

static double x_of(const Axis *axis, int64_t n) {
    return axis->x0 + (axis->x1 - axis->x0) * (double)(n % SPAN_MOMENTS) / SPAN_MOMENTS;
}

typedef double (*MomentValue)(const LookSheet *sheet, const HeartMoment *moment);

/* Line of a value over the axis; `y0` px at value 0 and `unit_px` px per unit upward. */
static void trace(DrawList *list, const Axis *axis, const LookSheet *sheet, MomentValue value, double y0,
                  double unit_px, double low_px, double high_px, StrokeStyle style) {
    ui_draw_path(list);
    bool down = false;
    for (int64_t n = axis->first; n <= axis->last; n++) {
        double v = value(sheet, &sheet->loop.moment[n % HEART_MOMENTS]);
        if (!isfinite(v) || n % SPAN_MOMENTS == 0) down = false;
        if (!isfinite(v)) continue;
        double x = x_of(axis, n), y = fmin(fmax(y0 - unit_px * v, high_px), low_px);
        if (down)
            ui_draw_to(list, x, y);
        else
            ui_draw_move(list, x, y);
        down = true;
    }
    ui_draw_stroke(list, style);
}

static double ecg_mv(const LookSheet *sheet, const HeartMoment *m) {
    (void)sheet;
    return m->ecg_mv;
}

static double half_apart_mm(const LookSheet *sheet, const HeartMoment *m) {
    (void)sheet;
    return 0.5 * VALVE_MM * fmin(fmax((double)m->open_frac[HEART_AORTIC], 0.0), 1.0);
}

static double velocity_m_s(const LookSheet *sheet, const HeartMoment *m) {
    return ui_look_velocity_m_s(m->left_pump_ml_s, sheet->now.left_pump.bore_mm, m->left_occlusion);
}

static void label(DrawList *list, Rect row, const char *name, const char *note) {
    const Theme *t = ui_draw_theme(list);
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text1, row.x + PAD_PX, row.y + 20.0,
                     LEFT_PX - PAD_PX - 8.0, name);
    if (row.h < 44.0) return;
    ui_draw_text_fit(list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text3, row.x + PAD_PX, row.y + 40.0,
                     LEFT_PX - PAD_PX - 8.0, note);
}

static void draw_ecg(DrawList *list, Rect row, const Axis *axis, const LookSheet *sheet) {
    const Theme *t = ui_draw_theme(list);
    const HeartMoment *m = ui_look_moment(sheet);
    double unit = (row.h - 8.0) / (ECG_HIGH_MV - ECG_LOW_MV), y0 = row.y + 4.0 + unit * ECG_HIGH_MV;
    label(list, row, "ECG", "");
    trace(list, axis, sheet, ecg_mv, y0, unit, row.y + row.h, row.y,
          ui_draw_solid(t->side[SIDE_ELECTRICAL], 1.8));
    if (m == NULL) return;
    const char *phase = !m->beating ? "no beat" : m->systole ? "systole" : "diastole";
    ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, t->text1, row.x + row.w - PAD_PX,
                 row.y + 0.5 * row.h + 6.0, phase);
}

/* Opening over time: the edges of two leaflets apart, as a line through the valve would show them. */
static void draw_valve(DrawList *list, Rect row, const Axis *axis, const LookSheet *sheet) {
    const Theme *t = ui_draw_theme(list);
    const HeartMoment *m = ui_look_moment(sheet);
    double unit = (row.h - 16.0) / VALVE_MM, mid = row.y + 0.5 * row.h;
    label(list, row, "Leaflets", "mm apart");
    for (int k = -1; k <= 1; k += 2)
        trace(list, axis, sheet, half_apart_mm, mid, k * unit, row.y + row.h, row.y,
              ui_draw_solid(t->side[SIDE_LEFT], 2.4));
    StrokeStyle wall = ui_draw_solid(t->edge, 1.5);
    wall.flat = true;
    for (int k = -1; k <= 1; k += 2) {
        double y = mid + k * (0.5 * VALVE_MM * unit + 5.0);
        ui_draw_line(list, axis->x0, y, axis->x1, y, wall);
    }
    char text[TEXT_SHORT];
    if (m == NULL) return;
    snprintf(text, sizeof text, "%.0f mm", 2.0 * half_apart_mm(sheet, m));
    ui_draw_text(list, FACE_DIGITS, TYPE_BODY, ALIGN_RIGHT, t->text1, row.x + row.w - PAD_PX, mid + 6.0,
                 text);
}

/* One row per chamber: filled while its wall is pushed in. */
static void draw_pushes(DrawList *list, Rect row, const Axis *axis, const LookSheet *sheet) {
    static const char *const NAME[HEART_CHAMBER_COUNT] = {"LV", "RV", "LA", "RA"};
    static const HeartChamberId ORDER[HEART_CHAMBER_COUNT] = {HEART_RA, HEART_RV, HEART_LA, HEART_LV};
    const Theme *t = ui_draw_theme(list);
    label(list, row, "Walls", "pushed in");
    double h = row.h / HEART_CHAMBER_COUNT, bar = fmin(0.62 * h, 18.0);
    for (int k = 0; k < HEART_CHAMBER_COUNT; k++) {
        HeartChamberId c = ORDER[k];
        double mid = row.y + (k + 0.5) * h;
        bool left = c == HEART_LV || c == HEART_LA;
        Colour side = t->side[left ? SIDE_LEFT : SIDE_RIGHT];
        ui_draw_text(list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_RIGHT, side, axis->x0 - 8.0, mid + 6.0,
                     NAME[c]);
        ui_draw_rect(list, (Rect){axis->x0, mid - 0.75, axis->x1 - axis->x0, 1.5}, 0.0, t->hairline);
        int64_t from = -1;
        for (int64_t n = axis->first; n <= axis->last + 1; n++) {
            bool in = n <= axis->last && ui_look_pushed(sheet, &sheet->loop.moment[n % HEART_MOMENTS], c);
            bool cut = from >= 0 && n % SPAN_MOMENTS == 0;
            if (from >= 0 && (!in || cut)) {
                double x0 = x_of(axis, from), x1 = cut ? axis->x1 : x_of(axis, n);
                ui_draw_rect(list, (Rect){x0, mid - 0.5 * bar, fmax(x1 - x0, 2.0), bar}, 2.0, side);
                from = -1;
            }
            if (in && from < 0) from = n;
        }
        const HeartMoment *m = ui_look_moment(sheet);
        if (m != NULL && ui_look_pushed(sheet, m, c))
            ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text1, row.x + row.w - PAD_PX,
                         mid + 6.0, "pushed in");
    }
}

static void draw_velocity(DrawList *list, Rect row, const Axis *axis, const LookSheet *sheet) {
    const Theme *t = ui_draw_theme(list);
    const HeartMoment *m = ui_look_moment(sheet);
    double most = 0.0, top = VELOCITY_TOP[0];
    for (int64_t n = axis->first; n <= axis->last; n++) {
        double v = velocity_m_s(sheet, &sheet->loop.moment[n % HEART_MOMENTS]);
        if (isfinite(v)) most = fmax(most, fabs(v));
    }
    for (int k = 0; k < 3 && most > 0.95 * top; k++)
        top = VELOCITY_TOP[k];
    double unit = (row.h - 8.0) / (top * (1.0 - VELOCITY_LOW)), y0 = row.y + 4.0 + unit * top;
    label(list, row, "Velocity", "inlet, m/s");
    for (int k = 0; k <= 2; k++) {
        double v = 0.5 * k * top;
        char tick[TEXT_SHORT];
        StrokeStyle line = ui_draw_solid(t->hairline, k == 0 ? 1.5 : 1.0);
        line.flat = true;
        ui_draw_line(list, axis->x0, y0 - unit * v, axis->x1, y0 - unit * v, line);
        snprintf(tick, sizeof tick, "%.1f", v);
        ui_draw_text(list, FACE_DIGITS, TYPE_NOTE, ALIGN_RIGHT, t->text3, axis->x0 - 6.0, y0 - unit * v + 6.0,
                     tick);
    }
    if (top > VELOCITY_MARK) {
        ui_draw_path(list);
        ui_draw_move(list, axis->x0, y0 - unit * VELOCITY_MARK);
        ui_draw_to(list, axis->x1, y0 - unit * VELOCITY_MARK);
        ui_draw_stroke(list, ui_draw_dashed(t->text3, 1.2, 2.0, 6.0));
    }
    if (!sheet->now.left_pump.present) {
        ui_draw_text(list, FACE_WORDS, TYPE_BODY, ALIGN_CENTRE, t->text2, 0.5 * (axis->x0 + axis->x1),
                     row.y + 0.5 * row.h, "no left pump");
        return;
    }
    trace(list, axis, sheet, velocity_m_s, y0, unit, row.y + row.h, row.y,
          ui_draw_solid(t->side[SIDE_PUMP], 2.4));
    if (m == NULL) return;
    double now = velocity_m_s(sheet, m);
    char text[TEXT_SHORT];
    snprintf(text, sizeof text, "%s%.2f", now < -0.005 ? "\u2212" : "", fabs(now));
    double right = row.x + row.w - PAD_PX, mid = row.y + 0.5 * row.h;
    ui_draw_text(list, FACE_DIGITS_STRONG, TYPE_VALUE_S, ALIGN_RIGHT, t->text1, right, mid + 4.0, text);
    if (now > VELOCITY_MARK)
        ui_draw_text(list, FACE_WORDS, TYPE_NOTE, ALIGN_RIGHT, t->text1, right, mid + 26.0, "above 1.5");
}

void ui_look_strip(Ui *ui, Rect rect, const LookSheet *sheet) {
    DrawList *list = ui->list;
    const Theme *t = ui->theme;
    ui_draw_rect(list, rect, PANEL_RADIUS, t->panel);
    if (sheet->at < 0) return;
    Rect inner = ui_rect_inset(rect, 0.0, rect.h < 2.0 * PAD_PX + ECG_PX + 20.0 ? 2.0 : PAD_PX);
    bool own =
        sheet->page == LOOK_PAGE_VALVE || sheet->page == LOOK_PAGE_SAC || sheet->page == LOOK_PAGE_INFLOW;
    double ecg_px = !own ? inner.h : inner.h > ECG_PX + 48.0 ? ECG_PX - 6.0 : fmin(inner.h, 36.0);
    Rect ecg = ui_rect_cut_bottom(&inner, ecg_px);
    Axis axis = axis_of(rect, sheet);
    if (inner.h > 30.0) {
        inner.h -= 6.0;
        if (sheet->page == LOOK_PAGE_VALVE) draw_valve(list, inner, &axis, sheet);
        if (sheet->page == LOOK_PAGE_SAC) draw_pushes(list, inner, &axis, sheet);
        if (sheet->page == LOOK_PAGE_INFLOW) draw_velocity(list, inner, &axis, sheet);
    }
    draw_ecg(list, ecg, &axis, sheet);
    double x = x_of(&axis, sheet->at);
    StrokeStyle cursor = ui_draw_solid(t->text1, sheet->frozen ? 2.0 : 1.4);
    cursor.flat = true;
    ui_draw_line(list, x, rect.y + PAD_PX, x, rect.y + rect.h - PAD_PX, cursor);
}
