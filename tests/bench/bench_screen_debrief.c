/* What the debrief costs a frame: bench_screen_debrief SESSION. Every page at 1920x1080 as frames follow each
   other, with the cursor moving, and painted whole; then frames while a what-if is computed beside them, on
   the wall clock and in processor time of the window's own thread. */
#include "ui/keyscript.h"
#include "ui/shell_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { FRAMES = 120 };

static Shell shell;
static double now_s, wall_ms[FRAMES], own_ms[FRAMES];

static double clock_ms(clockid_t which) {
    struct timespec now;
    clock_gettime(which, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static void frame(int i, Key key) {
    Input input = {.x_px = -1.0, .y_px = -1.0, .keys = key != KEY_NONE};
    input.key[0].key = key;
    double wall = clock_ms(CLOCK_MONOTONIC), own = clock_ms(CLOCK_THREAD_CPUTIME_ID);
    now_s += 1.0 / 60.0;
    ui_shell_frame(&shell, &input, 1.0 / 60.0, now_s);
    wall_ms[i] = clock_ms(CLOCK_MONOTONIC) - wall;
    own_ms[i] = clock_ms(CLOCK_THREAD_CPUTIME_ID) - own;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void report(const char *page, const char *what, int count) {
    qsort(wall_ms, (size_t)count, sizeof *wall_ms, by_size);
    qsort(own_ms, (size_t)count, sizeof *own_ms, by_size);
    printf("%-16s %-26s own median %6.2f  95 %% %6.2f ms   wall clock median %6.2f  95 %% %6.2f ms\n", page,
           what, own_ms[count / 2], own_ms[count * 95 / 100], wall_ms[count / 2], wall_ms[count * 95 / 100]);
    fflush(stdout);
}

static void measure(const char *page) {
    for (int i = 0; i < FRAMES; i++)
        frame(i, KEY_NONE);
    report(page, "steady", FRAMES);
    for (int i = 0; i < FRAMES; i++)
        frame(i, i < FRAMES / 2 ? KEY_RIGHT : KEY_LEFT);
    report(page, "cursor moving", FRAMES);
    for (int i = 0; i < FRAMES; i++) {
        ui_painter_forget(&shell.screen.painter);
        frame(i, KEY_NONE);
    }
    report(page, "painted whole", FRAMES);
}

int main(int argc, char **argv) {
    static const char *const PAGES[] = {"reactions", "what happened", "why"};
    WindowRequest request = {.debrief_path = argc > 1 ? argv[1] : NULL, .apart = true};
    Error error;
    model_error_clear(&error);
    if (argc < 2 || ui_shell_start(&shell, &request, &error) != ERROR_OK ||
        ui_screen_resize(&shell.screen, 1920, 1080, 1.0, &error) != ERROR_OK ||
        ui_keyscript_play(&shell, "press Enter", "start", NULL, &error) != ERROR_OK) {
        fprintf(stderr, "bench_screen_debrief: %s\n",
                argc < 2 ? "give a recorded night of this build" : error.what);
        return 1;
    }
    for (int page = 0; page < 3; page++) {
        char keys[32];
        snprintf(keys, sizeof keys, "press Alt+%d", page + 1);
        (void)!ui_keyscript_play(&shell, keys, "page", NULL, &error);
        measure(PAGES[page]);
    }
    (void)!ui_keyscript_play(&shell, "press Alt+4\nwait 1\nwork 600", "page", NULL, &error);
    const struct timespec gap = {.tv_nsec = 16000000};
    for (int i = 0; i < FRAMES; i++) {
        nanosleep(&gap, NULL);
        frame(i, i % 2 == 0 ? KEY_RIGHT : KEY_LEFT);
    }
    report("what if", "while the range is found", FRAMES);
    return ui_shell_stop(&shell, &error) == ERROR_OK ? 0 : 1;
}
