/* Settings in the shell: read at the start, given to the screen and the night every frame, kept when changed.
 */
#include "ui/shell_parts.h"

#include <stdio.h>
#include <string.h>

static const char NOWHERE[] = "/dev/null/none"; /* no such file: the settings of a first start */

#define KEEP_AFTER_S 1.0 /* without a further change */
#define NOTE_S       6.0

void ui_shell_settings_start(Shell *shell) {
    ui_settings_load(&shell->settings, shell->request->apart ? NOWHERE : NULL);
    if (shell->request->apart) {
        shell->settings.path[0] = '\0';
        shell->settings.unsaved_told = true;
        ui_settings_set(&shell->settings.now, SETTING_tour_seen, 1);
    }
    shell->settings_kept = shell->settings_seen = shell->settings.now;
    shell->screen.settings = shell->settings.now;
    if (shell->settings.problem[0] == '\0') return;
    char text[SCREEN_NOTE_MAX];
    snprintf(text, sizeof text, "%.*s", (int)strcspn(shell->settings.problem, "\n"), shell->settings.problem);
    ui_screen_note(&shell->screen, text, NOTE_S);
}

/* Writes the file of settings; says once if it cannot be written. */
static void keep(Shell *shell) {
    Error error;
    model_error_clear(&error);
    shell->settings_kept = shell->settings.now;
    if (ui_settings_save(&shell->settings, &error) == ERROR_OK || shell->settings.unsaved_told) return;
    shell->settings.unsaved_told = true;
    char why[SCREEN_NOTE_MAX - 40], text[SCREEN_NOTE_MAX];
    model_error_format(&error, why, sizeof why);
    snprintf(text, sizeof text, "Settings hold until the end: %s", why);
    ui_screen_note(&shell->screen, text, NOTE_S);
}

/* Without motion the heart stands at the end of filling. */
static void stand_still(HeartView *heart) {
    heart->reduced_motion = true;
    for (int i = 0; i < HEART_CHAMBER_COUNT; i++)
        heart->chamber[i].now_ml = heart->chamber[i].beat_max_ml;
    for (int i = 0; i < HEART_VALVE_COUNT; i++)
        heart->valve[i].open_frac = 0.0;
}

/* At the first bedside of a first start, once. */
static void offer_tour(Shell *shell) {
    bool bedside = shell->feed != NULL && shell->view.lanes > 0 && shell->overlay.kind == OVERLAY_NONE &&
                   shell->sheet == SHEET_NONE;
    if (!bedside || shell->tour_offered || ui_settings_on(&shell->settings.now, SETTING_tour_seen)) return;
    shell->tour_offered = true;
    ui_shell_sheet(shell, SHEET_TOUR);
}

void ui_shell_settings_frame(Shell *shell, double now_s) {
    const Settings *now = &shell->settings.now;
    if (memcmp(now, &shell->settings_seen, sizeof *now) != 0) {
        shell->settings_seen = *now;
        shell->settings_changed_s = now_s;
    }
    shell->screen.settings = *now;
    if (shell->feed != NULL) ui_feed_settings(shell->feed, now);
    if (ui_settings_on(now, SETTING_reduced_motion) && shell->view.heart.shown)
        stand_still(&shell->view.heart);
    offer_tour(shell);
    bool kept = memcmp(now, &shell->settings_kept, sizeof *now) == 0;
    if (!kept && now_s - shell->settings_changed_s > KEEP_AFTER_S) keep(shell);
}

void ui_shell_settings_stop(Shell *shell) {
    if (memcmp(&shell->settings.now, &shell->settings_kept, sizeof shell->settings.now) != 0) keep(shell);
}
