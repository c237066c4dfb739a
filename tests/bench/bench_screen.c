/* Frame times of the bedside on a memory canvas: everything painted, and a steady night (sweeps every frame,
   the heart 30 times a second, numbers twice a second). Goal: under 8 ms a frame at 1920x1080. Processor
   time, so that other work on the machine does not count; copying to the window is not in it. With a case
   file as its argument also that night at 1, 60 and 240 times the clock, solver included. */
#include "tests/support/bedside_views.h"
#include "ui/screen.h"
#include "ui/shell.h"

#include <stdlib.h>
#include <time.h>

enum { FULL_FRAMES = 40, STEADY_FRAMES = 600, NIGHT_FRAMES = 600 };

static BedsideView view;
static Sweep sweep[LANE_COUNT];

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void report(const char *what, int width, int height, double *ms, int count) {
    double sum = 0.0;
    for (int i = 0; i < count; i++)
        sum += ms[i];
    qsort(ms, (size_t)count, sizeof *ms, by_value);
    printf("%4dx%-4d  %-16s  median %6.2f ms  mean %6.2f ms  95 %% %6.2f ms  most %6.2f ms\n", width, height,
           what, ms[count / 2], sum / count, ms[count * 95 / 100], ms[count - 1]);
}

static double frame(Screen *screen) {
    ScreenFrame f = {.view = &view, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    for (int i = 0; i < LANE_COUNT; i++)
        f.sweep[i] = &sweep[i];
    double start = now_ms();
    ui_screen_frame(screen, &f, &intents);
    return now_ms() - start;
}

/* One sixtieth of a second of the night. */
static void step(int i, double *t_s) {
    for (double end = *t_s + 1.0 / 60.0; *t_s < end; *t_s += 0.004) {
        for (int lane = 0; lane < LANE_COUNT; lane++)
            ui_traces_add(&sweep[lane], (int64_t)(*t_s / view.sweep_s * sweep[lane].columns),
                          bedside_wave(lane, *t_s), sweep[lane].columns / UI_TRACES_GAP_SHARE);
    }
    if (i % 2 == 0) view.heart = heart_view(&HEART_SITUATION[1], 0.5 + 0.5 * sin(*t_s * 10.0));
    if (i % 30 == 0) {
        for (int lane = 0; lane < LANE_COUNT; lane++)
            view.lane[lane].value.value += i % 60 == 0 ? 1.0 : -1.0;
        view.time_s += 1.0;
    }
}

static void measure(int width, int height, double scale) {
    static double full[FULL_FRAMES], steady[STEADY_FRAMES];
    Screen screen;
    Error error;
    if (ui_screen_start(&screen, &error) != ERROR_OK ||
        ui_screen_resize(&screen, width, height, scale, &error) != ERROR_OK) {
        fprintf(stderr, "bench_screen: %s\n", error.what);
        exit(EXIT_FAILURE);
    }
    bedside_example(&view, sweep, screen.columns);
    double t_s = 8.5 * 1.69;
    (void)frame(&screen);
    for (int i = 0; i < FULL_FRAMES; i++) {
        ui_painter_forget(&screen.painter);
        full[i] = frame(&screen);
    }
    for (int i = 0; i < STEADY_FRAMES; i++) {
        step(i, &t_s);
        steady[i] = frame(&screen);
    }
    report("everything", width, height, full, FULL_FRAMES);
    report("steady night", width, height, steady, STEADY_FRAMES);
    ui_screen_free(&screen);
}

/* A real night with its solver on the same thread, `rate_x` times as fast as the clock. */
static void measure_night(const char *case_path, double rate_x) {
    static double ms[NIGHT_FRAMES];
    static Shell shell;
    WindowRequest request = {.case_path = case_path, .rate_x = rate_x};
    Error error;
    if (ui_shell_start(&shell, &request, &error) != ERROR_OK ||
        ui_screen_resize(&shell.screen, 1920, 1080, 1.0, &error) != ERROR_OK) {
        fprintf(stderr, "bench_screen: %s\n", error.what);
        exit(EXIT_FAILURE);
    }
    double now_s = 0.0;
    Input enter = {.x_px = -1.0, .y_px = -1.0, .keys = 1, .key = {{KEY_ENTER, false, 0}}};
    Input none = {.x_px = -1.0, .y_px = -1.0};
    for (int i = 0; i < 4; i++) /* through the caution and the handover */
        ui_shell_frame(&shell, i % 2 == 0 ? &enter : &none, 1.0 / 60.0, now_s += 1.0 / 60.0);
    for (int i = 0; i < NIGHT_FRAMES; i++) {
        double start = now_ms();
        ui_shell_frame(&shell, &none, 1.0 / 60.0, now_s += 1.0 / 60.0);
        ms[i] = now_ms() - start;
    }
    char what[32];
    snprintf(what, sizeof what, "night x%.0f", rate_x);
    report(what, 1920, 1080, ms, NIGHT_FRAMES);
    if (ui_shell_stop(&shell, &error) != ERROR_OK) fprintf(stderr, "bench_screen: %s\n", error.what);
}

int main(int argc, char **argv) {
    const double rates[] = {1.0, 60.0, 240.0};
    for (int i = 0; argc > 1 && i < 3; i++)
        measure_night(argv[1], rates[i]);
    measure(1280, 800, 1.0);
    measure(1920, 1080, 1.0);
    measure(2560, 1600, 2.0);
    measure(3840, 2160, 2.0);
    return EXIT_SUCCESS;
}
