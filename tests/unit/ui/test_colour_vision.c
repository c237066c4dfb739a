/* The palette for people who see colours otherwise: signal and alarm colours stay apart under simulated
   protanopia, deuteranopia and tritanopia, and nothing is told by colour alone. Simulation: Machado,
   Oliveira, Fernandes, IEEE Trans Vis Comput Graph 2009;15:1291-8, severity 1, on linear RGB. Distance:
   CIEDE2000, checked against a pair of Sharma, Wu, Dalal, Color Res Appl 2005;30:21-30, table 1. */
#include "tests/support/bedside_views.h"
#include "tests/support/check_main.h"
#include "ui/screen.h"

#include <math.h>

/* Smallest distances wanted. Even a good set keeps little for a dichromat, which is why every colour has a
 * letter. */
#define SIGNALS_APART_NORMAL 25.0
#define SIGNALS_APART_OTHER  8.5
#define ALARMS_APART_NORMAL  18.0
#define ALARMS_APART_OTHER   8.5

typedef enum Vision { VISION_NORMAL, VISION_PROTAN, VISION_DEUTAN, VISION_TRITAN, VISION_COUNT } Vision;

static const double MACHADO[VISION_COUNT][3][3] = {
    [VISION_NORMAL] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
    [VISION_PROTAN] = {{0.152286, 1.052583, -0.204868},
                       {0.114503, 0.786281, 0.099216},
                       {-0.003882, -0.048116, 1.051998}},
    [VISION_DEUTAN] = {{0.367322, 0.860646, -0.227968},
                       {0.280085, 0.672501, 0.047413},
                       {-0.011820, 0.042940, 0.968881}},
    [VISION_TRITAN] = {{1.255528, -0.076749, -0.178779},
                       {-0.078411, 0.930809, 0.147602},
                       {0.004733, 0.691367, 0.303900}},
};

typedef struct Lab {
    double l, a, b;
} Lab;

static double linear(uint8_t value) {
    double c = value / 255.0;
    return c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
}

static double lab_f(double t) {
    return t > 216.0 / 24389.0 ? cbrt(t) : (24389.0 / 27.0 * t + 16.0) / 116.0;
}

/* sRGB to CIELAB, D65, as `vision` sees it. */
static Lab seen(Colour colour, Vision vision) {
    double rgb[3] = {linear(colour.r), linear(colour.g), linear(colour.b)}, out[3];
    for (int i = 0; i < 3; i++) {
        const double *m = MACHADO[vision][i];
        out[i] = fmin(fmax(m[0] * rgb[0] + m[1] * rgb[1] + m[2] * rgb[2], 0.0), 1.0);
    }
    double x = (0.4124564 * out[0] + 0.3575761 * out[1] + 0.1804375 * out[2]) / 0.95047;
    double y = 0.2126729 * out[0] + 0.7151522 * out[1] + 0.0721750 * out[2];
    double z = (0.0193339 * out[0] + 0.1191920 * out[1] + 0.9503041 * out[2]) / 1.08883;
    return (Lab){116.0 * lab_f(y) - 16.0, 500.0 * (lab_f(x) - lab_f(y)), 200.0 * (lab_f(y) - lab_f(z))};
}

static double hue_deg(double a, double b) {
    double h = atan2(b, a) * 180.0 / BEDSIDE_PI;
    return h < 0.0 ? h + 360.0 : h;
}

static double cos_deg(double deg) {
    return cos(deg * BEDSIDE_PI / 180.0);
}

/* CIEDE2000, equations 2 to 22 of Sharma 2005. */
static double distance(Lab p, Lab q) {
    const double p7 = pow(25.0, 7.0);
    double c_mean = 0.5 * (hypot(p.a, p.b) + hypot(q.a, q.b));
    double g = 0.5 * (1.0 - sqrt(pow(c_mean, 7.0) / (pow(c_mean, 7.0) + p7)));
    double a1 = (1.0 + g) * p.a, a2 = (1.0 + g) * q.a, c1 = hypot(a1, p.b), c2 = hypot(a2, q.b);
    double h1 = hue_deg(a1, p.b), h2 = hue_deg(a2, q.b), dh = h2 - h1;
    bool grey = c1 * c2 < 1e-12;
    dh = grey ? 0.0 : dh > 180.0 ? dh - 360.0 : dh < -180.0 ? dh + 360.0 : dh;
    double dl = q.l - p.l, dc = c2 - c1, d_hue = 2.0 * sqrt(c1 * c2) * sin(0.5 * dh * BEDSIDE_PI / 180.0);
    double l = 0.5 * (p.l + q.l), c = 0.5 * (c1 + c2), h = h1 + h2;
    if (!grey) h = fabs(h1 - h2) <= 180.0 ? 0.5 * h : h < 360.0 ? 0.5 * (h + 360.0) : 0.5 * (h - 360.0);
    double t = 1.0 - 0.17 * cos_deg(h - 30.0) + 0.24 * cos_deg(2.0 * h) + 0.32 * cos_deg(3.0 * h + 6.0) -
               0.20 * cos_deg(4.0 * h - 63.0);
    double turn = 30.0 * exp(-pow((h - 275.0) / 25.0, 2.0)),
           rc = 2.0 * sqrt(pow(c, 7.0) / (pow(c, 7.0) + p7));
    double sl = 1.0 + 0.015 * pow(l - 50.0, 2.0) / sqrt(20.0 + pow(l - 50.0, 2.0));
    double sc = 1.0 + 0.045 * c, sh = 1.0 + 0.015 * c * t, rt = -sin(2.0 * turn * BEDSIDE_PI / 180.0) * rc;
    return sqrt(pow(dl / sl, 2.0) + pow(dc / sc, 2.0) + pow(d_hue / sh, 2.0) + rt * (dc / sc) * (d_hue / sh));
}

START_TEST(distance_of_published_pairs_is_as_published) {
    ck_assert_double_eq_tol(distance((Lab){50, 2.6772, -79.7751}, (Lab){50, 0, -82.7485}), 2.0425, 5e-5);
    ck_assert_double_eq_tol(distance((Lab){50, 0, 0}, (Lab){50, -1, 2}), 2.3669, 5e-5);
    ck_assert_double_eq_tol(distance((Lab){50, 2.5, 0}, (Lab){73, 25, -18}), 27.1492, 5e-5);
}
END_TEST

START_TEST(signal_colours_stay_apart) {
    const Theme *t = ui_theme_of((ThemeKind)_i); /* the two with colours */
    for (int vision = 0; vision < VISION_COUNT; vision++) {
        for (int i = 0; i < SIDE_TISSUE; i++) {
            for (int k = 0; k < i; k++) {
                double d = distance(seen(t->side[i], (Vision)vision), seen(t->side[k], (Vision)vision));
                ck_assert_msg(d >= (vision == VISION_NORMAL ? SIGNALS_APART_NORMAL : SIGNALS_APART_OTHER),
                              "vision %d: %s and %s are %.1f apart", vision, ui_theme_side_name((Side)i),
                              ui_theme_side_name((Side)k), d);
            }
        }
    }
}
END_TEST

START_TEST(alarm_colours_stay_apart_from_signals) {
    const Theme *t = ui_theme_of((ThemeKind)_i);
    const Colour alarm[] = {t->alarm_high, t->alarm_medium, t->alarm_low};
    for (int vision = 0; vision < VISION_COUNT; vision++) {
        for (int i = 0; i < SIDE_TISSUE; i++) {
            for (int k = 0; k < 3; k++) {
                double d = distance(seen(t->side[i], (Vision)vision), seen(alarm[k], (Vision)vision));
                ck_assert_msg(d >= (vision == VISION_NORMAL ? ALARMS_APART_NORMAL : ALARMS_APART_OTHER),
                              "vision %d: %s and alarm %d are %.1f apart", vision,
                              ui_theme_side_name((Side)i), k, d);
            }
        }
    }
}
END_TEST

/* Whether one text of the region `id` holds `words`. */
static bool region_says(const DrawList *list, int id, const char *words) {
    int region = -1;
    for (size_t i = 0; i < list->command_count; i++) {
        const DrawCommand *c = &list->commands[i];
        if (c->kind == DRAW_REGION) region = c->id;
        if (c->kind == DRAW_TEXT && region == id && strstr(list->chars + c->text, words) != NULL) return true;
    }
    return false;
}

START_TEST(every_colour_goes_with_a_letter_or_a_word) {
    static BedsideView view;
    static Sweep sweep[LANE_COUNT];
    static Ui ui;
    DrawList list;
    Input input = {.x_px = -1.0, .y_px = -1.0};
    Intents intents = {0};
    ui_draw_init(&list);
    bedside_example(&view, sweep, 600);
    BedsideChoice all = ui_bedside_all();
    BedsideLayout l = ui_bedside_layout(1920.0, 1080.0, &all);
    ui_widgets_begin(&ui, &list, ui_theme_dark(), &input);
    ui_bedside_draw(&ui, &l, &view, &intents);
    ui_widgets_end(&ui);
    for (int i = 0; i < LANE_COUNT; i++) {
        const Lane *lane = &view.lane[i];
        ck_assert(region_says(&list, REGION_LANE + i, ui_theme_letter(lane->side)));
        ck_assert(region_says(&list, REGION_FOOT, ui_theme_side_name(lane->side)));
        if (lane->value.priority == 0) continue;
        ck_assert(region_says(&list, REGION_TILE + i, lane->value.limit == LIMIT_LOW ? "low" : "high"));
        ck_assert(region_says(&list, REGION_TILE + i, lane->value.priority == 2 ? "!!" : "!"));
    }
    ck_assert(region_says(&list, REGION_LABS, "low") && region_says(&list, REGION_LABS, "high"));
    ck_assert(region_says(&list, REGION_TOP, "MAP low"));
    ui_draw_free(&list);
}
END_TEST

/* Turns a pixel into what `vision` sees of it. */
static uint32_t seen_pixel(uint32_t pixel, Vision vision) {
    double rgb[3] = {linear((uint8_t)(pixel >> 16)), linear((uint8_t)(pixel >> 8)), linear((uint8_t)pixel)};
    uint32_t out = 0;
    for (int i = 0; i < 3; i++) {
        const double *m = MACHADO[vision][i];
        double c = fmin(fmax(m[0] * rgb[0] + m[1] * rgb[1] + m[2] * rgb[2], 0.0), 1.0);
        c = c <= 0.0031308 ? 12.92 * c : 1.055 * pow(c, 1.0 / 2.4) - 0.055;
        out = out << 8 | (uint32_t)lround(255.0 * c);
    }
    return out;
}

/* Pictures of the bedside in every theme as it is seen otherwise, for people to look at: into the folder
   EVENKEEL_GOLDEN_OUT. What is checked is that an alarm's block stays apart from the ground it stands on. */
START_TEST(screens_as_others_see_them) {
    static Screen screen;
    static BedsideView view;
    static Sweep sweep[LANE_COUNT];
    static const char *const NAME[VISION_COUNT] = {"normal", "protan", "deutan", "tritan"};
    static const char *const THEME[THEME_COUNT] = {"dark", "light", "contrast"};
    const char *out = getenv("EVENKEEL_GOLDEN_OUT");
    Error error;
    ck_assert_int_eq(ui_screen_start(&screen, &error), ERROR_OK);
    for (int theme = 0; theme < THEME_COUNT; theme++) {
        ui_settings_set(&screen.settings, SETTING_theme, theme);
        ck_assert_int_eq(ui_screen_resize(&screen, 1280, 800, 1.0, &error), ERROR_OK);
        bedside_example(&view, sweep, screen.columns);
        ScreenFrame frame = {.view = &view, .input = {.x_px = -1.0, .y_px = -1.0}};
        for (int i = 0; i < LANE_COUNT; i++)
            frame.sweep[i] = &sweep[i];
        for (int vision = 0; vision < VISION_COUNT; vision++) {
            Intents intents = {0};
            ui_painter_forget(&screen.painter);
            ui_screen_frame(&screen, &frame, &intents);
            uint32_t *pixels = ui_raster_pixels(screen.canvas);
            int stride = ui_raster_stride(screen.canvas);
            for (int i = 0; i < stride * 800; i++)
                pixels[i] = seen_pixel(pixels[i], (Vision)vision);
            if (out == NULL) continue;
            char path[600];
            snprintf(path, sizeof path, "%.400s/bedside_%s_%s.png", out, THEME[theme], NAME[vision]);
            ck_assert_int_eq(ui_raster_write_png(screen.canvas, path, &error), ERROR_OK);
        }
        const Theme *t = ui_theme_of((ThemeKind)theme);
        for (int vision = 0; vision < VISION_COUNT; vision++) {
            for (int priority = 2; priority <= 3; priority++)
                ck_assert(distance(seen(ui_theme_alarm(t, priority), (Vision)vision),
                                   seen(t->window, (Vision)vision)) > 15.0);
        }
    }
    ui_screen_free(&screen);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("colour vision");
    TCase *c = tcase_create("palette");
    tcase_add_test(c, distance_of_published_pairs_is_as_published);
    tcase_add_loop_test(c, signal_colours_stay_apart, 0, THEME_HIGH_CONTRAST);
    tcase_add_loop_test(c, alarm_colours_stay_apart_from_signals, 0, THEME_HIGH_CONTRAST);
    tcase_add_test(c, every_colour_goes_with_a_letter_or_a_word);
    tcase_add_test(c, screens_as_others_see_them);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
