/* The loop: input, frame, present. */
#include "ui/app.h"
#include "ui/audio.h"
#include "ui/shell.h"
#include "ui/text_log.h"
#include "ui/window.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define FRAME_S      (1.0 / 60.0)
#define IDLE_FRAME_S 0.1 /* while nothing moves */
#define NOTE_S       2.5

enum { SIZE_STEP = 10, SIZE_LEAST = 75, SIZE_MOST = 300 }; /* interface size by Ctrl and plus or minus, % */

typedef struct App {
    Shell shell;
    Window *window;
    Window *second; /* the instructor's; NULL: not open */
    Audio *audio;   /* NULL: no sound device */
    bool audio_tried;
    TextLog *text_log;              /* NULL: none */
    int size_percent;               /* setting in force; 0: the first guess */
    bool second_full;               /* the instructor's fills its screen */
    bool full_screen, full_setting; /* of the window; the setting seen last */
} App;

static double clock_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static ErrorCode resize(App *app, Error *error) {
    int w = 0, h = 0;
    ui_window_size(app->window, &w, &h);
    app->size_percent = app->shell.settings.now.value[SETTING_size_percent];
    double scale = app->size_percent > 0 ? app->size_percent / 100.0 * ui_window_pixel_ratio(app->window)
                                         : ui_window_scale_guess(app->window);
    return ui_screen_resize(&app->shell.screen, w, h, scale, error);
}

/* The interface's size now, % of a pixel of the window's own units. */
static int size_now(const App *app) {
    double ratio = ui_window_pixel_ratio(app->window);
    return (int)lround(100.0 * ui_raster_scale(app->shell.screen.canvas) / ratio);
}

/* One step up or down from what is in force, or back to the first guess. */
static void zoom(App *app, int step) {
    int now = size_now(app), to = 0;
    if (step > 0) to = (now / SIZE_STEP + 1) * SIZE_STEP;
    if (step < 0) to = ((now + SIZE_STEP - 1) / SIZE_STEP - 1) * SIZE_STEP;
    if (step != 0 && to < SIZE_LEAST) to = SIZE_LEAST;
    if (step != 0 && to > SIZE_MOST) to = SIZE_MOST;
    ui_settings_set(&app->shell.settings.now, SETTING_size_percent, to);
}

/* Says how large everything is now, and if that is as large as the window allows. */
static void say_size(App *app) {
    char text[SCREEN_NOTE_MAX];
    int now = size_now(app);
    bool cut = app->size_percent > now + 1;
    if (cut) ui_settings_set(&app->shell.settings.now, SETTING_size_percent, app->size_percent = now);
    snprintf(text, sizeof text, "Interface size %d %%%s", now,
             cut                      ? ": a larger one does not fit this window"
             : now >= SIZE_MOST       ? ": the largest"
             : now <= SIZE_LEAST      ? ": the smallest"
             : app->size_percent == 0 ? ", chosen for this screen"
                                      : "");
    ui_screen_note(&app->shell.screen, text, NOTE_S);
}

/* Carries out what the shell asks of the window, and the settings that concern it; true if the canvas must be
   made anew. */
static bool answer(App *app) {
    ShellAsks *asks = &app->shell.asks;
    Settings *settings = &app->shell.settings.now;
    if (asks->zoom) zoom(app, asks->zoom_step);
    if (asks->full_screen) ui_settings_set(settings, SETTING_full_screen, !app->full_screen);
    if (asks->title) ui_window_title(app->window, app->shell.title);
    bool full = ui_settings_on(settings, SETTING_full_screen);
    if (full != app->full_setting || asks->full_screen)
        ui_window_full_screen(app->window, app->full_screen = full);
    app->full_setting = full;
    bool anew = asks->zoom || settings->value[SETTING_size_percent] != app->size_percent;
    if (asks->describe && app->text_log == NULL)
        ui_screen_note(&app->shell.screen, "To tell the screen in words: evenkeel --text-log FILE", NOTE_S);
    else if (asks->describe)
        ui_text_log_ask(app->text_log);
    asks->zoom = asks->full_screen = asks->title = asks->describe = false;
    return anew;
}

/* Plays what the shell asks for. The device is opened after the first frame: some are slow. */
static void sound(App *app) {
    Error error;
    if (!app->audio_tried) app->audio = ui_audio_open(&error);
    if (!app->audio_tried && app->audio == NULL) ui_shell_no_sound(&app->shell);
    app->audio_tried = true;
    ShellAsks *asks = &app->shell.asks;
    if (asks->sound_stop) ui_audio_stop(app->audio);
    if (asks->sound != SOUND_NONE) ui_audio_play(app->audio, asks->sound, asks->volume);
    asks->sound_stop = false;
    asks->sound = SOUND_NONE;
}

static ErrorCode resize_second(App *app, Error *error) {
    int w = 0, h = 0, percent = app->shell.settings.now.value[SETTING_size_percent];
    ui_window_size(app->second, &w, &h);
    double scale = percent > 0 ? percent / 100.0 * ui_window_pixel_ratio(app->second)
                               : ui_window_scale_guess(app->second);
    return ui_screen_resize(&app->shell.instructor->screen, w, h, scale, error);
}

/* Opens the instructor's window when the shell has its screen, and closes it when it has not any more. One
   that cannot be opened is said on the trainee's, and the night goes on. */
static void follow_second(App *app) {
    const WindowRequest *request = app->shell.request;
    if (app->second != NULL && app->shell.instructor == NULL) {
        ui_window_close(app->second);
        app->second = NULL;
    }
    if (app->second != NULL || app->shell.instructor == NULL) return;
    Error error;
    model_error_clear(&error);
    int display = request->instructor_display > 0 ? request->instructor_display - 1
                                                  : ui_window_other_display(app->window);
    app->second = ui_window_open("Evenkeel: instructor (training only)", display, request->width_px,
                                 request->height_px, false, &error);
    if (app->second != NULL && resize_second(app, &error) == ERROR_OK) return;
    char text[SCREEN_NOTE_MAX];
    model_error_format(&error, text, sizeof text);
    ui_screen_note(&app->shell.screen, text, NOTE_S);
    ui_window_close(app->second);
    app->second = NULL;
    ui_shell_instructor(&app->shell, false);
}

/* The instructor's frame; closing that window leaves the night as it is. */
static ErrorCode frame_second(App *app, double passed_s, double now_s, bool sized, Error *error) {
    follow_second(app);
    if (app->second == NULL) return ERROR_OK;
    Input input;
    Instructor *instructor = app->shell.instructor;
    ui_window_input(app->second, ui_raster_scale(instructor->screen.canvas), &input);
    if (input.quit) {
        ui_shell_instructor(&app->shell, false);
        follow_second(app);
        return ERROR_OK;
    }
    ErrorCode code = sized || input.resized ? resize_second(app, error) : ERROR_OK;
    if (code != ERROR_OK) return code;
    ui_shell_instructor_frame(&app->shell, &input, passed_s, now_s);
    const Painter *painter = &instructor->screen.painter;
    ui_window_present(app->second, instructor->screen.canvas, painter->dirty, painter->dirties,
                      painter->all || input.exposed || input.resized);
    if (instructor->full_screen) {
        app->second_full = !app->second_full;
        ui_window_full_screen(app->second, app->second_full);
    }
    if (instructor->zoom) {
        app->shell.asks.zoom = true;
        app->shell.asks.zoom_step = instructor->zoom_step;
    }
    instructor->zoom = instructor->full_screen = false;
    return ERROR_OK;
}

static ErrorCode run(App *app, Error *error) {
    app->full_setting = ui_settings_on(&app->shell.settings.now, SETTING_full_screen);
    app->full_screen = app->full_setting || app->shell.request->full_screen;
    if (app->full_setting) ui_window_full_screen(app->window, true);
    ErrorCode code = resize(app, error);
    if (app->shell.request->instructor) ui_shell_instructor(&app->shell, true);
    double last_s = clock_s();
    while (code == ERROR_OK && !app->shell.asks.quit) {
        Input input;
        double wait_s = (ui_shell_moving(&app->shell) ? FRAME_S : IDLE_FRAME_S) - (clock_s() - last_s);
        Canvas *canvas = app->shell.screen.canvas;
        Window *const windows[] = {app->window, app->second};
        ui_window_wait(windows, 2, wait_s);
        ui_window_input(app->window, ui_raster_scale(canvas), &input);
        double now_s = clock_s(), passed_s = now_s - last_s;
        last_s = now_s;
        if (input.quit) break;
        bool sized = answer(app);
        if (sized || input.resized) code = resize(app, error);
        if (code != ERROR_OK) break;
        if (sized) say_size(app);
        ui_shell_frame(&app->shell, &input, passed_s, now_s);
        ui_text_log_frame(app->text_log, &app->shell);
        const Painter *painter = &app->shell.screen.painter;
        ui_window_present(app->window, app->shell.screen.canvas, painter->dirty, painter->dirties,
                          painter->all || input.exposed || input.resized);
        code = frame_second(app, passed_s, now_s, sized, error);
        sound(app);
    }
    return code;
}

ErrorCode ui_app_run(const WindowRequest *request, Error *error) {
    App *app = calloc(1, sizeof *app);
    if (app == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the window");
    Error first;
    model_error_clear(&first);
    app->window = ui_window_open("Evenkeel (training only)", 0, request->width_px, request->height_px,
                                 request->full_screen, &first);
    ErrorCode code = app->window == NULL ? first.code : ui_shell_start(&app->shell, request, &first);
    if (code == ERROR_OK && request->text_log != NULL) {
        app->text_log = ui_text_log_open(request->text_log, &first);
        code = first.code;
    }
    if (code == ERROR_OK) code = run(app, &first);
    Error closing;
    model_error_clear(&closing);
    ErrorCode closed = ui_shell_stop(&app->shell, &closing);
    ui_audio_close(app->audio);
    ui_text_log_close(app->text_log);
    ui_window_close(app->second);
    ui_window_close(app->window);
    free(app);
    if (code == ERROR_OK && closed != ERROR_OK) {
        code = closed;
        first = closing;
    }
    if (code != ERROR_OK && error != NULL) *error = first;
    return code;
}
