/* The loop: input, frame, present. */
#include "ui/app.h"
#include "ui/shell.h"
#include "ui/window.h"

#include <math.h>
#include <stdlib.h>
#include <time.h>

#define FRAME_S      (1.0 / 60.0)
#define IDLE_FRAME_S 0.1 /* while nothing moves */
#define SCALE_LOW    0.75
#define SCALE_HIGH   3.0
#define SCALE_STEP   0.125

typedef struct App {
    Shell shell;
    Window *window;
    double scale; /* chosen by the user; 0: the first guess */
} App;

static double clock_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static ErrorCode resize(App *app, Error *error) {
    int w = 0, h = 0;
    ui_window_size(app->window, &w, &h);
    double scale = app->scale > 0.0 ? app->scale : ui_window_scale_guess(app->window);
    return ui_screen_resize(&app->shell.screen, w, h, scale, error);
}

/* Carries out what the shell asks of the window; true if the canvas must be made anew. */
static bool answer(App *app) {
    ShellAsks *asks = &app->shell.asks;
    bool anew = asks->zoom;
    if (asks->zoom) {
        double scale = ui_raster_scale(app->shell.screen.canvas) + asks->zoom_step * SCALE_STEP;
        app->scale = asks->zoom_step == 0 ? 0.0 : fmin(fmax(scale, SCALE_LOW), SCALE_HIGH);
    }
    if (asks->full_screen) ui_window_toggle_full_screen(app->window);
    if (asks->title) ui_window_title(app->window, app->shell.title);
    asks->zoom = asks->full_screen = asks->title = false;
    return anew;
}

static ErrorCode run(App *app, Error *error) {
    ErrorCode code = resize(app, error);
    double last_s = clock_s();
    while (code == ERROR_OK && !app->shell.asks.quit) {
        Input input;
        double wait_s = (ui_shell_moving(&app->shell) ? FRAME_S : IDLE_FRAME_S) - (clock_s() - last_s);
        Canvas *canvas = app->shell.screen.canvas;
        ui_window_input(app->window, wait_s, ui_raster_scale(canvas), &input);
        double now_s = clock_s(), passed_s = now_s - last_s;
        last_s = now_s;
        if (input.quit) break;
        if (answer(app) || input.resized) code = resize(app, error);
        if (code != ERROR_OK) break;
        ui_shell_frame(&app->shell, &input, passed_s, now_s);
        const Painter *painter = &app->shell.screen.painter;
        ui_window_present(app->window, app->shell.screen.canvas, painter->dirty, painter->dirties,
                          painter->all || input.exposed || input.resized);
    }
    return code;
}

ErrorCode ui_app_run(const WindowRequest *request, Error *error) {
    App *app = calloc(1, sizeof *app);
    if (app == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the window");
    Error first;
    model_error_clear(&first);
    app->window = ui_window_open("Evenkeel (training only)", request->width_px, request->height_px,
                                 request->full_screen, &first);
    ErrorCode code = app->window == NULL ? first.code : ui_shell_start(&app->shell, request, &first);
    if (code == ERROR_OK) code = run(app, &first);
    Error closing;
    model_error_clear(&closing);
    ErrorCode closed = ui_shell_stop(&app->shell, &closing);
    ui_window_close(app->window);
    free(app);
    if (code == ERROR_OK && closed != ERROR_OK) {
        code = closed;
        first = closing;
    }
    if (code != ERROR_OK && error != NULL) *error = first;
    return code;
}
