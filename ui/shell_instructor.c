/* The instructor's window beside the trainee's: opened, drawn, and what its take-backs do to the other. */
#include "ui/shell_parts.h"

#include "ui/tiles.h"

#include <stdio.h>
#include <string.h>

#define NOTE_S 6.0

void ui_shell_instructor(Shell *shell, bool open) {
    Error error;
    model_error_clear(&error);
    if (!open) {
        ui_instructor_destroy(shell->instructor);
        shell->instructor = NULL;
    } else if (shell->instructor == NULL) {
        char text[SCREEN_NOTE_MAX];
        shell->instructor = ui_instructor_create(&error);
        if (shell->instructor != NULL) return;
        model_error_format(&error, text, sizeof text);
        ui_screen_note(&shell->screen, text, NOTE_S);
    }
}

/* Nothing that the trainee reads may be of a course that was left. */
static void follow_back(Shell *shell) {
    if (shell->feed == NULL || ui_feed_takes(shell->feed) == shell->takes) return;
    char text[SCREEN_NOTE_MAX], clock[TEXT_SHORT];
    shell->takes = ui_feed_takes(shell->feed);
    ui_shell_sheets_free(shell);
    if (shell->overlay.kind == OVERLAY_END || shell->overlay.kind == OVERLAY_MESSAGES ||
        shell->overlay.kind == OVERLAY_ACTIONS)
        shell->overlay.kind = OVERLAY_NONE;
    shell->end_shown = false;
    ui_feed_pause(shell->feed, true);
    ui_tiles_clock(clock, sizeof clock, ui_feed_shown_s(shell->feed), true);
    snprintf(text, sizeof text, "The instructor has taken the night back to %s. It waits.", clock);
    ui_screen_note(&shell->screen, text, NOTE_S);
}

void ui_shell_instructor_frame(Shell *shell, const Input *input, double wall_s, double now_s) {
    if (shell->instructor == NULL || shell->instructor->screen.canvas == NULL) return;
    const SheetKind *sheet = ui_sheets_kind(shell->sheet);
    bool card = shell->overlay.kind != OVERLAY_NONE || (sheet != NULL && sheet->waits);
    /* the end's card is no reason to wait: time can be taken back from it */
    if (shell->overlay.kind == OVERLAY_END) card = false;
    ui_instructor_frame(shell->instructor, shell->feed, &shell->settings.now, card, input, wall_s, now_s);
    follow_back(shell);
}
