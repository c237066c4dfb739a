/* The debrief as a sheet: reading the night, its pages and panels, keys, notes. */
#include "ui/debrief.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NOTE_WAIT_S 1.0 /* after the last letter, before a note is kept */

/* Where the fields' texts are kept. */
static const struct {
    DebriefNoteKind kind;
    int slot;
} KEPT_AS[DEBRIEF_FIELD_MOMENT + 1] = {
    [DEBRIEF_FIELD_FELT] = {NOTE_FELT, 0},    [DEBRIEF_FIELD_WELL] = {NOTE_WELL, 0},
    [DEBRIEF_FIELD_HARD] = {NOTE_HARD, 0},    [DEBRIEF_FIELD_NEXT1] = {NOTE_NEXT, 0},
    [DEBRIEF_FIELD_NEXT2] = {NOTE_NEXT, 1},   [DEBRIEF_FIELD_NEXT3] = {NOTE_NEXT, 2},
    [DEBRIEF_FIELD_MOMENT] = {NOTE_MOMENT, 0}};

/* ---- the night ---- */

double ui_debrief_end_s(const DebriefState *state) {
    double end_s = fmax(state->recall->night.reached_s, RECORDS_HISTORY_STEP_S);
    const RerunCourse *other =
        state->page == DEBRIEF_WHATIF && state->whatif.job != NULL && state->whatif.news.course_here
            ? sim_whatif_job_other(state->whatif.job)
            : NULL;
    return other != NULL ? fmax(end_s, other->reached_s) : end_s;
}

/* Puts what is kept into a field. */
static void fill_field(DebriefState *state, DebriefFieldId id) {
    const DebriefNote *note =
        sim_debrief_notes_find(&state->notes, KEPT_AS[id].kind, KEPT_AS[id].slot, state->cursor_s);
    ui_textfield_set(&state->field[id], note != NULL ? note->text : "");
}

/* What could be seen at the cursor, and the heart then. */
static void look_at_cursor(DebriefState *state) {
    DebriefHeart *heart = malloc(sizeof *heart);
    Error error;
    model_error_clear(&error);
    state->seen_s = state->cursor_s;
    sim_debrief_seen(state->debrief, state->cursor_s, &state->seen);
    state->heart.shown = false;
    if (heart != NULL && state->heartless[0] == '\0' &&
        sim_debrief_heart(state->debrief, state->cursor_s, heart, &error) == ERROR_OK)
        ui_debrief_heart_view(heart, &state->heart);
    free(heart);
    fill_field(state, DEBRIEF_FIELD_MOMENT);
}

static void read_turns(DebriefState *state) {
    DebriefHeart *heart = malloc(sizeof *heart);
    if (!state->recall->same_build)
        snprintf(state->heartless, sizeof state->heartless, "No picture: another build recorded this night.");
    for (int i = 0; heart != NULL && state->heartless[0] == '\0' && i < state->debrief->moment_count; i++) {
        Error error;
        model_error_clear(&error);
        if (sim_debrief_heart(state->debrief, state->debrief->moment[i].time_s, heart, &error) == ERROR_OK)
            ui_debrief_heart_view(heart, &state->turn[i]);
        else
            snprintf(state->heartless, sizeof state->heartless, "No picture: %.70s", error.what);
    }
    free(heart);
}

void ui_debrief_begin(DebriefState *state) {
    const Debrief *d = state->debrief;
    state->cursor_s = d->chain.sign_s >= 0.0 ? d->chain.sign_s : d->recall->night.reached_s;
    state->whatif.changed_s = -1.0;
    look_at_cursor(state);
    for (int id = 0; id <= DEBRIEF_FIELD_MOMENT; id++)
        fill_field(state, (DebriefFieldId)id);
}

void ui_debrief_read(DebriefState *state, const char *path) {
    Error error;
    model_error_clear(&error);
    memset(state, 0, sizeof *state);
    snprintf(state->path, sizeof state->path, "%s", path);
    if (path[0] == '\0') {
        snprintf(state->problem, sizeof state->problem, "No night has been chosen.");
        return;
    }
    state->recall = sim_recall_open(path, &error);
    if (state->recall != NULL) state->debrief = calloc(1, sizeof *state->debrief);
    if (state->recall != NULL && state->debrief == NULL)
        model_error_set(&error, ERROR_MEMORY, "no memory for the debrief");
    if (state->debrief == NULL) {
        model_error_format(&error, state->problem, sizeof state->problem);
        return;
    }
    sim_debrief_make(state->recall, state->debrief);
    if (sim_debrief_notes_read(path, &state->notes, &error) != ERROR_OK) {
        state->notes_locked = true;
        model_error_format(&error, state->said, sizeof state->said);
    }
    read_turns(state);
    ui_debrief_begin(state);
}

static void keep_notes(DebriefState *state) {
    Error error;
    model_error_clear(&error);
    if (!state->notes_changed || state->notes_locked || state->apart) return;
    state->notes_changed = false;
    if (sim_debrief_notes_write(state->path, &state->notes, &error) != ERROR_OK)
        model_error_format(&error, state->said, sizeof state->said);
}

void ui_debrief_forget(void *of) {
    DebriefState *state = of;
    if (state->debrief != NULL) keep_notes(state);
    ui_debrief_whatif_forget(state);
    free(state->debrief);
    sim_recall_free(state->recall);
    state->debrief = NULL;
    state->recall = NULL;
}

bool ui_debrief_busy(const void *of) {
    const DebriefState *state = of;
    const DebriefWhatifState *w = &state->whatif;
    return w->stale || (w->job != NULL && w->news.working && w->news.phase == WHATIF_COURSE);
}

/* ---- the sheet ---- */

static void open_debrief(void *of, SheetContext *context) {
    DebriefState *state = of;
    if (state->debrief == NULL && state->problem[0] == '\0')
        ui_debrief_read(state, context->night != NULL ? context->night : "");
    state->apart = context->apart;
}

static void close_debrief(void *of, SheetContext *context) {
    (void)context;
    keep_notes(of);
}

static void fill_debrief(void *of, SheetContext *context) {
    DebriefState *state = of;
    if (state->debrief == NULL) return;
    if (state->notes_changed && state->notes_s <= 0.0) state->notes_s = context->now_s;
    if (state->notes_changed && context->now_s - state->notes_s > NOTE_WAIT_S) keep_notes(state);
    bool moved = fabs(state->seen_s - state->cursor_s) > 1e-6;
    if (moved) look_at_cursor(state);
    ui_debrief_whatif_follow(state, context->now_s);
}

static void edit_field(DebriefState *state, DebriefFieldId id, double edit) {
    ui_textfield_edit(&state->field[id], edit);
    if (id > DEBRIEF_FIELD_MOMENT) return;
    if (!sim_debrief_notes_put(&state->notes, KEPT_AS[id].kind, KEPT_AS[id].slot, state->cursor_s,
                               state->field[id].text))
        snprintf(state->said, sizeof state->said, "There is no room for more notes.");
    state->notes_changed = true;
    state->notes_s = 0.0;
}

/* Writes the page beside the night. */
static void export_page(DebriefState *state) {
    char path[JOURNAL_PATH_MAX + 8];
    if (state->apart) {
        snprintf(state->said, sizeof state->said, "Nothing is written here.");
        return;
    }
    snprintf(path, sizeof path, "%s.html", state->path);
    FILE *out = fopen(path, "w");
    bool good = out != NULL;
    DebriefExtras extras = {.notes = &state->notes, .heart = ui_debrief_heart_svg};
    if (state->whatif.job != NULL && state->whatif.news.course_here && !state->whatif.stale) {
        extras.acts = &state->whatif.acts;
        extras.otherwise = &state->whatif.otherwise;
        extras.night = sim_whatif_job_night(state->whatif.job);
        extras.other = sim_whatif_job_other(state->whatif.job);
        extras.range = &state->whatif.news.range;
    }
    if (good) sim_debrief_write_page(state->debrief, &extras, out);
    if (out != NULL) good = fclose(out) == 0;
    snprintf(state->said, sizeof state->said, good ? "Written: %.600s" : "It cannot be written: %.600s",
             path);
}

static void apply_debrief(void *of, SheetContext *context, const Intent *intent) {
    DebriefState *state = of;
    (void)context;
    if (state->debrief == NULL) return;
    if (intent->number >= DEBRIEF_PART_SCROLL && intent->number < DEBRIEF_PART_SCROLL + DEBRIEF_PANELS_MAX) {
        state->scroll_px[intent->number - DEBRIEF_PART_SCROLL] = intent->amount;
        return;
    }
    if (intent->number >= DEBRIEF_PART_FIELD) {
        edit_field(state, (DebriefFieldId)(intent->number - DEBRIEF_PART_FIELD), intent->amount);
        return;
    }
    state->said[0] = '\0';
    switch ((DebriefPart)intent->number) {
    case DEBRIEF_PART_PAGE:
        state->page = (DebriefPage)intent->amount;
        memset(state->scroll_px, 0, sizeof state->scroll_px);
        if (state->page == DEBRIEF_WHATIF) ui_debrief_whatif_begin(state);
        break;
    case DEBRIEF_PART_PANEL:
        state->panel[state->page] = (int)intent->amount;
        break;
    case DEBRIEF_PART_CURSOR:
        state->cursor_s = fmin(fmax(intent->amount, 0.0), ui_debrief_end_s(state));
        break;
    case DEBRIEF_PART_EXPORT:
        export_page(state);
        break;
    default:
        ui_debrief_whatif_apply(state, intent);
        break;
    }
}

const SheetKind UI_DEBRIEF_SHEET = {.state_size = sizeof(DebriefState),
                                    .waits = true,
                                    .open = open_debrief,
                                    .close = close_debrief,
                                    .fill = fill_debrief,
                                    .draw = ui_debrief_draw,
                                    .apply = apply_debrief,
                                    .forget = ui_debrief_forget};
