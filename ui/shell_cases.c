/* The list of cases in the shell: what is in it, what was tried before, choosing, free practice. */
#include "ui/shell_parts.h"

#include "sim/attempts.h"
#include "sim/casefolder.h"
#include "ui/case_list.h"
#include "ui/clock_here.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double RATES[] = {1, 2, 5, 10, 20, 30, 60, 120, 240};
enum { RATE_COUNT = sizeof RATES / sizeof RATES[0] };

/* Puts one case file into the list; one that cannot be read says why. */
static void list_case(OverlayView *overlay, const char *folder, const char *name) {
    CaseEntry *entry = &overlay->entry[overlay->entries];
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return;
    memset(entry, 0, sizeof *entry);
    snprintf(entry->path, sizeof entry->path, "%.300s/%.100s", folder, name);
    Case *file = sim_case_load(entry->path, errors);
    if (file != NULL) {
        entry->readable = true;
        entry->level = file->level;
        entry->length_s = file->length_s;
        snprintf(entry->id, sizeof entry->id, "%s", file->id);
        snprintf(entry->title, sizeof entry->title, "%s", file->title);
        snprintf(entry->theme, sizeof entry->theme, "%s", file->theme);
        snprintf(entry->summary, sizeof entry->summary, "%s", file->summary);
        while (entry->aim_count < OVERLAY_AIMS_MAX && entry->aim_count < file->handover.objective_count) {
            snprintf(entry->aims[entry->aim_count], CASE_LINE_MAX, "%.110s",
                     file->handover.objectives[entry->aim_count]);
            entry->aim_count++;
        }
    } else {
        snprintf(entry->title, sizeof entry->title, "%.100s", name);
        if (errors->count > 0) model_error_format(&errors->items[0], entry->summary, sizeof entry->summary);
    }
    sim_case_free(file);
    free(errors);
    overlay->entries++;
}

/* What was tried of a case before. */
static void list_tries(CaseEntry *entry, const Attempts *attempts) {
    entry->tries = sim_attempts_count(attempts, entry->id);
    int kept = 0;
    for (int i = sim_attempts_next(attempts, entry->id, 0); i >= 0 && kept < OVERLAY_TRIES_MAX;
         i = sim_attempts_next(attempts, entry->id, i + 1)) {
        const Attempt *attempt = &attempts->item[i];
        CaseTry *night = &entry->last[kept++];
        *night = (CaseTry){.finished = attempt->complete,
                           .goes_on = !attempt->complete && attempt->this_build,
                           .outcome = attempt->outcome_known ? attempt->outcome : CASE_OUTCOME_NONE,
                           .reached_s = attempt->reached_s};
        ui_clock_here_write(attempt->begun, night->when, sizeof night->when);
        if (attempt->called)
            snprintf(night->call, sizeof night->call, "%.90s", sim_diagnoses_row(attempt->call)->label);
        snprintf(night->path, sizeof night->path, "%.700s/%.160s", attempts->folder, attempt->file);
    }
}

/* Nights of free practice that can be gone on with. */
static void list_practice(OverlayView *overlay, const Attempts *attempts) {
    for (int person = 0; person < PERSON_COUNT; person++) {
        CaseEntry entry = {.tries = 0};
        snprintf(entry.id, sizeof entry.id, "practice-%.38s", model_people_key((PersonId)person));
        list_tries(&entry, attempts);
        for (int i = OVERLAY_TRIES_MAX - 1; i >= 0; i--) {
            if (entry.last[i].goes_on) overlay->practice_last[person] = entry.last[i];
        }
    }
}

/* Brings the choice to the first entry on show if it is not on show. */
static void keep_choice(OverlayView *overlay) {
    int index[OVERLAY_CASES_MAX], count = ui_case_list_shown(overlay, index);
    for (int i = 0; i < count; i++) {
        if (index[i] == overlay->chosen) return;
    }
    overlay->chosen = count > 0 ? index[0] : 0;
}

ErrorCode ui_shell_cases_show(Shell *shell, Error *error) {
    OverlayView *overlay = &shell->overlay;
    char chosen[CASE_PATH_MAX] = "";
    if (overlay->chosen < overlay->entries)
        snprintf(chosen, sizeof chosen, "%s", overlay->entry[overlay->chosen].path);
    CaseFolder *folder = calloc(1, sizeof *folder);
    if (folder == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the list of cases");
    ErrorCode code = sim_casefolder_find(folder, error);
    overlay->entries = 0;
    overlay->chosen = OVERLAY_CASES_MAX;
    overlay->settings = ui_sheets_kind(SHEET_SETTINGS) != NULL;
    for (int i = 0; code == ERROR_OK && i < folder->count && i < OVERLAY_CASES_MAX; i++)
        list_case(overlay, folder->path, folder->names[i]);
    Attempts *attempts = calloc(1, sizeof *attempts);
    Error ignored; /* a list without what was tried before is still a list */
    bool known = attempts != NULL && sim_attempts_read(NULL, attempts, &ignored) == ERROR_OK;
    for (int i = 0; known && i < overlay->entries; i++)
        list_tries(&overlay->entry[i], attempts);
    memset(overlay->practice_last, 0, sizeof overlay->practice_last);
    if (known) list_practice(overlay, attempts);
    free(attempts);
    for (int i = 0; i < overlay->entries; i++) {
        if (strcmp(overlay->entry[i].path, chosen) == 0) overlay->chosen = i;
    }
    keep_choice(overlay);
    overlay->kind = OVERLAY_CASES;
    free(folder);
    return code;
}

/* The next time rate of free practice. */
static void step_rate(OverlayView *overlay, double step) {
    int at = 0;
    for (int i = 0; i < RATE_COUNT; i++) {
        if (RATES[i] <= overlay->practice_x) at = i;
    }
    at += step > 0.0 ? 1 : -1;
    overlay->practice_x = RATES[at < 0 ? 0 : at >= RATE_COUNT ? RATE_COUNT - 1 : at];
}

/* Intents of the card on which free practice is set up. */
static bool apply_practice(Shell *shell, const Intent *intent) {
    OverlayView *overlay = &shell->overlay;
    switch (intent->kind) {
    case INTENT_PERSON:
        if (intent->number >= 0 && intent->number < PERSON_COUNT) overlay->person = (PersonId)intent->number;
        return true;
    case INTENT_RATE:
        step_rate(overlay, intent->amount);
        return true;
    case INTENT_PRACTICE:
        if (intent->number == 1) ui_shell_open_practice(shell);
        return true;
    case INTENT_RESUME:
        if (overlay->practice_last[overlay->person].goes_on)
            ui_shell_open_recorded(shell, overlay->practice_last[overlay->person].path);
        return true;
    default:
        return false;
    }
}

bool ui_shell_cases_apply(Shell *shell, const Intent *intent) {
    OverlayView *overlay = &shell->overlay;
    if (overlay->kind == OVERLAY_PRACTICE) return apply_practice(shell, intent);
    if (overlay->kind != OVERLAY_CASES) return false;
    bool entry = intent->number >= 0 && intent->number < overlay->entries;
    switch (intent->kind) {
    case INTENT_ROW:
        if (entry) overlay->chosen = intent->number;
        return true;
    case INTENT_CASE:
        if (entry) ui_shell_open_case(shell, overlay->entry[intent->number].path);
        return true;
    case INTENT_RESUME:
        for (int i = 0; entry && i < OVERLAY_TRIES_MAX && i < overlay->entry[intent->number].tries; i++) {
            const CaseTry *night = &overlay->entry[intent->number].last[i];
            if (!night->goes_on) continue;
            ui_shell_open_recorded(shell, night->path);
            break;
        }
        return true;
    case INTENT_DEBRIEF:
        if (entry && intent->amount >= 0.0 && intent->amount < OVERLAY_TRIES_MAX &&
            intent->amount < overlay->entry[intent->number].tries)
            ui_shell_debrief(shell, overlay->entry[intent->number].last[(int)intent->amount].path);
        return true;
    case INTENT_TYPE:
        ui_textfield_edit(&overlay->search, intent->amount);
        keep_choice(overlay);
        return true;
    case INTENT_SORT:
        overlay->by_theme = !overlay->by_theme;
        return true;
    case INTENT_PRACTICE:
        if (overlay->practice_x < RATES[0]) {
            overlay->person = PERSON_SUPPORTED_AXIAL;
            overlay->practice_x = RATES[0];
        }
        overlay->kind = OVERLAY_PRACTICE;
        return true;
    default:
        return false;
    }
}
