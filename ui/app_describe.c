/* Screens in words. */
#include "ui/app_describe.h"

#include "sim/duration.h"
#include "ui/describe.h"
#include "ui/keyscript.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEYS_MAX = 2100 };

#define SWEEP_S 10.0

static ErrorCode choose_theme(Shell *shell, const char *name, Error *error) {
    static const char *const NAMES[THEME_COUNT] = {"dark", "light", "contrast"};
    for (int i = 0; i < THEME_COUNT; i++) {
        if (name != NULL && strcmp(name, NAMES[i]) != 0) continue;
        ui_settings_set(&shell->settings.now, SETTING_theme, i);
        return ERROR_OK;
    }
    ErrorCode code = model_error_set(error, ERROR_RANGE, "'%.40s' is no theme", name);
    model_error_at(error, "--theme", 0, 0);
    model_error_allow(error, "dark, light, contrast");
    return code;
}

/* Past the caution, and with a case past its handover. */
static ErrorCode begin(Shell *shell, const DescribeRequest *request, Error *error) {
    char script[128] = "press Enter";
    if (request->window.case_path != NULL) snprintf(script, sizeof script, "press Enter Enter");
    return ui_keyscript_play(shell, script, "start", NULL, error);
}

static ErrorCode go_to(Shell *shell, double at_s, Error *error) {
    char script[64] = "until ", *end = script + strlen(script);
    if (shell->feed == NULL || at_s <= SWEEP_S) return ERROR_OK;
    sim_duration_format(at_s - SWEEP_S, end, sizeof script - 16 - (size_t)(end - script));
    snprintf(script + strlen(script), 16, "\nwait %.0f", SWEEP_S); /* a whole sweep at its true pace */
    return ui_keyscript_play(shell, script, "--at", NULL, error);
}

static ErrorCode press(Shell *shell, const char *keys, Error *error) {
    char script[KEYS_MAX];
    if (keys == NULL) return ERROR_OK;
    snprintf(script, sizeof script, "%spress %.2000s", shell->instructor != NULL ? "window instructor\n" : "",
             keys);
    return ui_keyscript_play(shell, script, "--keys", NULL, error);
}

/* The screen that is described. */
static const Screen *described(const Shell *shell, const DescribeRequest *request) {
    return request->instructor && shell->instructor != NULL ? &shell->instructor->screen : &shell->screen;
}

static ErrorCode picture(const Screen *screen, const char *folder, Error *error) {
    char path[1024];
    if (folder == NULL) return ERROR_OK;
    snprintf(path, sizeof path, "%.900s/screen.png", folder);
    return ui_raster_write_png(screen->canvas, path, error);
}

static ErrorCode describe(Shell *shell, const DescribeRequest *request, FILE *out, Error *error) {
    const WindowRequest *w = &request->window;
    ErrorCode code = ui_screen_resize(&shell->screen, w->width_px, w->height_px,
                                      request->interface_percent / 100.0, error);
    if (code == ERROR_OK) code = choose_theme(shell, request->theme, error);
    if (code == ERROR_OK && request->script == NULL) code = begin(shell, request, error);
    if (code == ERROR_OK) code = go_to(shell, request->at_s, error);
    if (code == ERROR_OK && request->instructor)
        code = ui_keyscript_play(shell, "window instructor", "--instructor", NULL, error);
    if (code == ERROR_OK) code = press(shell, request->keys, error);
    if (code == ERROR_OK && request->script != NULL)
        code = ui_keyscript_play(shell, request->script, request->script_name, request->pictures, error);
    if (code == ERROR_OK) code = picture(described(shell, request), request->pictures, error);
    if (code == ERROR_OK) ui_describe_write(&described(shell, request)->ui, out);
    return code;
}

ErrorCode ui_app_describe(const DescribeRequest *request, FILE *out, Error *error) {
    Shell *shell = calloc(1, sizeof *shell);
    if (shell == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the screen");
    Error closing;
    model_error_clear(&closing);
    ErrorCode code = ui_shell_start(shell, &request->window, error);
    if (code == ERROR_OK) code = describe(shell, request, out, error);
    ErrorCode closed = ui_shell_stop(shell, &closing);
    free(shell);
    if (code == ERROR_OK && closed != ERROR_OK) {
        code = closed;
        *error = closing;
    }
    return code;
}
