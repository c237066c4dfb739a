/* Frame times of the look on a memory canvas: the first frame (the grain is prepared) and a steady picture
   that moves 30 times a second at 60 frames. Goal: under 8 ms a frame at 1920x1080. Processor time, so that
   other work on the machine does not count; copying to the window is not in it. */
#include "tests/support/look_views.h"
#include "ui/screen.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { FRAMES = 400, PICTURE_EVERY = 2, MOMENTS_PER_PICTURE = 4 };

static LookSheet sheet;
static BedsideView view;

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double frame(Screen *screen) {
    ScreenFrame f = {
        .view = &view, .sheet = &UI_LOOK_SHEET, .sheet_state = &sheet, .input = {.x_px = -1.0, .y_px = -1.0}};
    Intents intents = {0};
    double start = now_ms();
    ui_look_settle(&sheet);
    ui_screen_frame(screen, &f, &intents);
    return now_ms() - start;
}

static void measure(int width, int height, double scale, LookPage page) {
    static const char *const NAME[LOOK_PAGES] = {"four chambers", "short axis", "aortic valve", "pericardium",
                                                 "inflow"};
    static double ms[FRAMES];
    Screen screen;
    Error error;
    if (ui_screen_start(&screen, &error) != ERROR_OK ||
        ui_screen_resize(&screen, width, height, scale, &error) != ERROR_OK) {
        fprintf(stderr, "bench_screen_look: %s\n", error.what);
        exit(EXIT_FAILURE);
    }
    look_example(&sheet, LOOK_RV_FAILURE, page, 0.2);
    double first = frame(&screen), sum = 0.0;
    for (int i = 0; i < FRAMES; i++) {
        sheet.at = sheet.loop.first + 200 + i / PICTURE_EVERY * MOMENTS_PER_PICTURE % 700;
        sum += ms[i] = frame(&screen);
    }
    qsort(ms, FRAMES, sizeof *ms, by_value);
    printf("%4dx%-4d  look, %-14s  first %6.1f ms  mean %5.2f ms  95 %% %5.2f ms  most %5.2f ms\n", width,
           height, NAME[page], first, sum / FRAMES, ms[FRAMES * 95 / 100], ms[FRAMES - 1]);
    ui_screen_free(&screen);
}

int main(void) {
    for (int page = 0; page < LOOK_PAGES; page++) {
        measure(1280, 800, 1.0, (LookPage)page);
        measure(1920, 1080, 1.0, (LookPage)page);
    }
    measure(3840, 2160, 2.0, LOOK_PAGE_FOUR);
    return EXIT_SUCCESS;
}
