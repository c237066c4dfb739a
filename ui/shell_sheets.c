/* Sheets: opened, filled, closed; each keeps its state for as long as the night is open. */
#include "ui/debrief.h"
#include "ui/shell_parts.h"

#include <stdio.h>
#include <stdlib.h>

/* The state of a sheet, made when it is first needed; NULL when memory is short. */
static void *state_of(Shell *shell, SheetId id) {
    if (shell->sheet_state[id] == NULL) shell->sheet_state[id] = calloc(1, ui_sheets_kind(id)->state_size);
    return shell->sheet_state[id];
}

static SheetContext context_of(Shell *shell, double now_s) {
    return (SheetContext){
        .feed = shell->feed, .settings = &shell->settings, .now_s = now_s, .night = shell->debrief_path, .apart = shell->request->apart};
}

static void close_sheet(Shell *shell) {
    const SheetKind *kind = ui_sheets_kind(shell->sheet);
    void *state = shell->sheet_state[shell->sheet];
    shell->sheet = SHEET_NONE;
    if (kind != NULL && kind->close != NULL && state != NULL && shell->feed != NULL) {
        SheetContext context = context_of(shell, 0.0);
        kind->close(state, &context);
    }
    if (kind != NULL && kind->waits && shell->feed != NULL && shell->sheet_was_running)
        ui_feed_pause(shell->feed, false);
}

void ui_shell_sheet(Shell *shell, int id) {
    const SheetKind *kind = ui_sheets_kind((SheetId)id);
    if (kind == NULL || shell->sheet == (SheetId)id) {
        SheetId back = shell->sheet == SHEET_DEBRIEF ? shell->debrief_from : SHEET_NONE;
        close_sheet(shell);
        shell->debrief_from = SHEET_NONE;
        if (back != SHEET_NONE) ui_shell_sheet(shell, (int)back);
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
    SheetContext context = context_of(shell, 0.0);
    if (kind->open != NULL) kind->open(state, &context);
    if (context.close) close_sheet(shell);
}

/* What a sheet asked for. */
static void after(Shell *shell, const SheetContext *context) {
    if (context->debrief[0] != '\0')
        ui_shell_debrief(shell, context->debrief);
    else if (context->close)
        close_sheet(shell);
}

void ui_shell_sheet_fill(Shell *shell, double now_s) {
    const SheetKind *kind = ui_sheets_kind(shell->sheet);
    if (kind == NULL || kind->fill == NULL) return;
    SheetContext context = context_of(shell, now_s);
    kind->fill(shell->sheet_state[shell->sheet], &context);
    after(shell, &context);
}

void ui_shell_sheet_apply(Shell *shell, const Intent *intent, double now_s) {
    const SheetKind *kind = ui_sheets_kind(shell->sheet);
    if (kind == NULL || kind->apply == NULL) return;
    SheetContext context = context_of(shell, now_s);
    kind->apply(shell->sheet_state[shell->sheet], &context, intent);
    after(shell, &context);
}

static void forget(Shell *shell, SheetId id) {
    const SheetKind *kind = ui_sheets_kind(id);
    if (shell->sheet_state[id] != NULL && kind != NULL && kind->forget != NULL)
        kind->forget(shell->sheet_state[id]);
    free(shell->sheet_state[id]);
    shell->sheet_state[id] = NULL;
}

void ui_shell_sheets_free(Shell *shell) {
    shell->sheet = SHEET_NONE;
    for (int id = 0; id < SHEET_COUNT; id++)
        forget(shell, (SheetId)id);
}

void ui_shell_debrief_open(Shell *shell, const char *path) {
    if (shell->sheet != SHEET_DEBRIEF) shell->debrief_from = shell->sheet;
    close_sheet(shell);
    forget(shell, SHEET_DEBRIEF);
    snprintf(shell->debrief_path, sizeof shell->debrief_path, "%s", path);
    ui_shell_sheet(shell, SHEET_DEBRIEF);
}

bool ui_shell_busy(const Shell *shell) {
    const void *state = shell->sheet_state[SHEET_DEBRIEF];
    return state != NULL && ui_debrief_busy(state);
}
