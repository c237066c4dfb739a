/* Sheets: opened, filled, closed; each keeps its state for as long as the night is open. */
#include "ui/shell_parts.h"

#include <stdlib.h>

/* The state of a sheet, made when it is first needed; NULL when memory is short. */
static void *state_of(Shell *shell, SheetId id) {
    if (shell->sheet_state[id] == NULL) shell->sheet_state[id] = calloc(1, ui_sheets_kind(id)->state_size);
    return shell->sheet_state[id];
}

static void close_sheet(Shell *shell) {
    const SheetKind *kind = ui_sheets_kind(shell->sheet);
    void *state = shell->sheet_state[shell->sheet];
    shell->sheet = SHEET_NONE;
    if (kind != NULL && kind->close != NULL && state != NULL && shell->feed != NULL) {
        SheetContext context = {.feed = shell->feed, .settings = &shell->settings};
        kind->close(state, &context);
    }
    if (kind != NULL && kind->waits && shell->feed != NULL && shell->sheet_was_running)
        ui_feed_pause(shell->feed, false);
}

void ui_shell_sheet(Shell *shell, int id) {
    const SheetKind *kind = ui_sheets_kind((SheetId)id);
    if (kind == NULL || shell->sheet == (SheetId)id) {
        close_sheet(shell);
        return;
    }
    close_sheet(shell);
    void *state = state_of(shell, (SheetId)id);
    if (state == NULL) return;
    shell->sheet = (SheetId)id;
    if (kind->waits && shell->feed != NULL) {
        shell->sheet_was_running = !ui_feed_paused(shell->feed);
        ui_feed_pause(shell->feed, true);
    }
    SheetContext context = {.feed = shell->feed, .settings = &shell->settings};
    if (kind->open != NULL) kind->open(state, &context);
    if (context.close) close_sheet(shell);
}

void ui_shell_sheet_fill(Shell *shell, double now_s) {
    const SheetKind *kind = ui_sheets_kind(shell->sheet);
    if (kind == NULL || kind->fill == NULL) return;
    SheetContext context = {.feed = shell->feed, .settings = &shell->settings, .now_s = now_s};
    kind->fill(shell->sheet_state[shell->sheet], &context);
    if (context.close) close_sheet(shell);
}

void ui_shell_sheet_apply(Shell *shell, const Intent *intent, double now_s) {
    const SheetKind *kind = ui_sheets_kind(shell->sheet);
    if (kind == NULL || kind->apply == NULL) return;
    SheetContext context = {.feed = shell->feed, .settings = &shell->settings, .now_s = now_s};
    kind->apply(shell->sheet_state[shell->sheet], &context, intent);
    if (context.close) close_sheet(shell);
}

void ui_shell_sheets_free(Shell *shell) {
    shell->sheet = SHEET_NONE;
    for (int id = 0; id < SHEET_COUNT; id++) {
        free(shell->sheet_state[id]);
        shell->sheet_state[id] = NULL;
    }
}
