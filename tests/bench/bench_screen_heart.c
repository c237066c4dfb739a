/* Time of the heart picture at 500 px: building the list, and list and drawing together. Goal: under 2 ms. */
#include "tests/support/heart_views.h"
#include "ui/heart.h"
#include "ui/raster.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { REPEATS = 60 };
static const double SIZE_PX = 500.0;

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

int main(void) {
    FontSet fonts;
    Error error;
    if (ui_fonts_find(&fonts, &error) != ERROR_OK) return EXIT_FAILURE;
    Text *text = ui_text_create(&fonts, &error);
    Canvas *canvas = text != NULL ? ui_raster_create((int)SIZE_PX, (int)SIZE_PX, 1.0, text, &error) : NULL;
    if (canvas == NULL) return EXIT_FAILURE;
    DrawList list;
    ui_draw_init(&list);
    ui_raster_measure(canvas, &list);
    Rect rect = {0.0, 0.0, SIZE_PX, SIZE_PX};
    printf("%-26s %10s %10s\n", "situation", "list ms", "frame ms");
    for (int i = 0; i < HEART_SITUATIONS; i++) {
        HeartView view = heart_view(&HEART_SITUATION[i], 0.5);
        double list_ms = INFINITY, frame_ms = INFINITY;
        for (int k = 0; k < REPEATS; k++) {
            double start = now_ms();
            ui_draw_clear(&list);
            ui_heart_draw(&list, rect, &view);
            double built = now_ms();
            ui_raster_run(canvas, &list, 0, 0, rect);
            double end = now_ms();
            list_ms = fmin(list_ms, built - start);
            frame_ms = fmin(frame_ms, end - start);
        }
        printf("%-26s %10.2f %10.2f\n", HEART_SITUATION[i].title, list_ms, frame_ms);
    }
    ui_draw_free(&list);
    ui_raster_destroy(canvas);
    ui_text_destroy(text);
    return EXIT_SUCCESS;
}
