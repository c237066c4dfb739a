/* What the program does with what the user wants: cards, cases, orders, the night's time. Knows no window. */
#include "ui/shell_parts.h"

#include "sim/practice.h"
#include "ui/predict.h"

#include "sim/journal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define MODEL_BUDGET_S 0.010 /* computing of the night per frame */

static void set_title(Shell *shell, const char *case_title) {
    snprintf(shell->title, sizeof shell->title, "Evenkeel%s%.120s (training only)",
             case_title[0] != '\0' ? ": " : "", case_title);
    shell->asks.title = true;
}

/* Shows a failure on a card. */
static void show_problem(Shell *shell, const char *title, const Error *error) {
    shell->overlay.kind = OVERLAY_PROBLEM;
    snprintf(shell->overlay.title, sizeof shell->overlay.title, "%s", title);
    model_error_format(error, shell->overlay.text, sizeof shell->overlay.text);
    shell->overlay.detail[0] = '\0';
}

/* Opens a night of a case (the session keeps a copy), or goes on with a recorded one. */
static ErrorCode open_night(Shell *shell, const Case *file, const char *resume_path, double rate_x,
                            Error *error) {
    const WindowRequest *r = shell->request;
    FeedRequest request = {.case_file = file,
                           .resume_path = resume_path,
                           .save_path = r->save_path,
                           .trainee = shell->settings.now.trainee,
                           .seed_given = r->seed_given,
                           .seed = r->seed,
                           .unrecorded = r->apart,
                           .rate_x = rate_x};
    shell->feed = ui_feed_open(&request, error);
    if (shell->feed == NULL) return error->code;
    shell->end_shown = shell->record_told = false;
    shell->takes = 0;
    shell->was_running = true; /* once the handover has been read */
    memset(&shell->view, 0, sizeof shell->view);
    const Case *opened = sim_session_case(ui_feed_session(shell->feed));
    shell->overlay.handover = &opened->handover;
    shell->overlay.case_file = opened;
    shell->overlay.case_title = opened->title;
    set_title(shell, shell->overlay.case_title);
    return ERROR_OK;
}

/* The same with the case at `path`. */
static ErrorCode open_path(Shell *shell, const char *path, Error *error) {
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the case");
    Case *file = sim_case_load(path, errors);
    if (file == NULL) *error = errors->items[0];
    free(errors);
    ErrorCode code =
        file == NULL ? error->code : open_night(shell, file, NULL, shell->request->rate_x, error);
    sim_case_free(file);
    return code;
}

/* After a night was chosen from the list: its handover, or why it cannot be opened. */
static void after_choice(Shell *shell, ErrorCode code, const Error *error) {
    if (code == ERROR_OK) {
        shell->from_list = true;
        shell->overlay.kind = OVERLAY_HANDOVER;
    } else
        show_problem(shell, "This night cannot be opened", error);
}

void ui_shell_open_case(Shell *shell, const char *path) {
    Error error;
    model_error_clear(&error);
    ErrorCode code = open_path(shell, path, &error);
    after_choice(shell, code, &error);
}

void ui_shell_open_recorded(Shell *shell, const char *path) {
    Error error;
    model_error_clear(&error);
    ErrorCode code = open_night(shell, NULL, path, shell->request->rate_x, &error);
    after_choice(shell, code, &error);
}

/* What comes first: the caution, then the night asked for or the list of cases. */
static void after_caution(Shell *shell) {
    Error error;
    model_error_clear(&error);
    if (shell->request->case_path == NULL && shell->request->resume_path == NULL) {
        if (ui_shell_cases_show(shell, &error) != ERROR_OK) show_problem(shell, "No cases", &error);
        if (shell->request->debrief_path != NULL) ui_shell_debrief_open(shell, shell->request->debrief_path);
        return;
    }
    shell->overlay.kind = OVERLAY_HANDOVER;
}

/* Ends the night that is open and shows the list again. */
static void back_to_cases(Shell *shell) {
    Error error;
    model_error_clear(&error);
    ui_shell_sheets_free(shell);
    ErrorCode code = ui_feed_close(shell->feed, &error);
    shell->feed = NULL;
    if (code != ERROR_OK)
        show_problem(shell, "The night could not be closed", &error);
    else if (ui_shell_cases_show(shell, &error) != ERROR_OK)
        show_problem(shell, "No cases", &error);
    set_title(shell, "");
}

void ui_shell_debrief(Shell *shell, const char *path) {
    char night[JOURNAL_PATH_MAX];
    snprintf(night, sizeof night, "%s", path); /* it may be the open night's own */
    if (shell->feed != NULL) back_to_cases(shell);
    if (shell->feed == NULL && shell->overlay.kind != OVERLAY_PROBLEM) ui_shell_debrief_open(shell, night);
}

/* Asks whether to leave the night, and says what becomes of it. */
static void ask_to_leave(Shell *shell) {
    const char *path = ui_feed_journal_path(shell->feed);
    bool kept = path[0] != '\0' && ui_feed_journal_problem(shell->feed)[0] == '\0';
    if (shell->overlay.kind == OVERLAY_NONE) shell->was_running = !ui_feed_paused(shell->feed);
    ui_feed_pause(shell->feed, true);
    shell->overlay.kind = OVERLAY_LEAVE;
    snprintf(shell->overlay.title, sizeof shell->overlay.title, "Leave this night?");
    snprintf(shell->overlay.text, sizeof shell->overlay.text, "%s",
             kept ? "It is kept as it stands and can be gone on with at any time."
                  : "It is not recorded: once left, it is gone.");
    shell->overlay.detail[0] = '\0';
    if (kept) snprintf(shell->overlay.detail, sizeof shell->overlay.detail, "evenkeel resume %.600s", path);
}

/* A card was closed: what comes next. */
static void close_card(Shell *shell) {
    OverlayKind closed = shell->overlay.kind;
    shell->overlay.kind = OVERLAY_NONE;
    switch (closed) {
    case OVERLAY_CAUTION:
        after_caution(shell);
        break;
    case OVERLAY_MESSAGES:
        ui_feed_seen(shell->feed);
        break;
    case OVERLAY_PRACTICE:
        shell->overlay.kind = OVERLAY_CASES;
        break;
    case OVERLAY_HANDOVER:
        /* free practice begins on its page */
        if (sim_session_case(ui_feed_session(shell->feed))->practice &&
            shell->sheet_state[SHEET_PRACTICE] == NULL)
            ui_shell_sheet(shell, SHEET_PRACTICE);
        break;
    case OVERLAY_PROBLEM:
        if (shell->feed == NULL) shell->asks.quit = shell->overlay.entries == 0;
        if (shell->feed == NULL && !shell->asks.quit) shell->overlay.kind = OVERLAY_CASES;
        break;
    case OVERLAY_END:
        if (shell->from_list) back_to_cases(shell);
        break;
    default:
        break;
    }
    if (shell->feed != NULL && shell->overlay.kind == OVERLAY_NONE && shell->was_running)
        ui_feed_pause(shell->feed, false);
}

/* Opens a card over the bedside; the night waits. */
static void open_card(Shell *shell, OverlayKind kind) {
    shell->was_running = !ui_feed_paused(shell->feed);
    ui_feed_pause(shell->feed, true);
    shell->overlay.kind = kind;
}

void ui_shell_open_practice(Shell *shell) {
    Error error;
    model_error_clear(&error);
    Case *file = sim_practice_case(model_people_key(shell->overlay.person), PRACTICE_SEED, &error);
    ErrorCode code =
        file == NULL ? error.code : open_night(shell, file, NULL, shell->overlay.practice_x, &error);
    sim_case_free(file);
    after_choice(shell, code, &error);
}

/* Writes the screen as a picture beside the recorded nights. */
static void write_picture(Shell *shell) {
    Error error;
    model_error_clear(&error);
    char folder[JOURNAL_PATH_MAX], path[JOURNAL_PATH_MAX + 64];
    Desk *desk = ui_feed_desk(shell->feed);
    ErrorCode code = sim_journal_folder(folder, sizeof folder, &error);
    if (code == ERROR_OK) {
        snprintf(path, sizeof path, "%s/picture-%06.0fs-%ld.png", folder, shell->view.time_s,
                 (long)time(NULL));
        code = ui_raster_write_png(shell->screen.canvas, path, &error);
    }
    if (code == ERROR_OK)
        snprintf(desk->problem, sizeof desk->problem, "picture: %.600s", path);
    else
        model_error_format(&error, desk->problem, sizeof desk->problem);
}

/* Intents that concern the orders. */
static void apply_order(Shell *shell, const Intent *intent) {
    Desk *desk = ui_feed_desk(shell->feed);
    const Session *session = ui_feed_session(shell->feed);
    switch (intent->kind) {
    case INTENT_GROUP:
        ui_desk_group(desk, intent->number);
        break;
    case INTENT_ROW:
        ui_desk_focus(desk, intent->number);
        break;
    case INTENT_STEP:
        ui_desk_step(desk, session, intent->number, intent->amount, intent->large);
        break;
    case INTENT_SET:
        ui_desk_set(desk, session, intent->number, intent->amount);
        break;
    case INTENT_DIGIT:
        ui_desk_type(desk, session, intent->number);
        break;
    case INTENT_CONFIRM:
        if (ui_predict_wanted(shell->feed))
            ui_shell_sheet(shell, SHEET_PREDICT);
        else
            (void)ui_feed_confirm(shell->feed);
        break;
    case INTENT_DROP:
        ui_desk_drop(desk);
        break;
    default:
        break;
    }
}

static void apply(Shell *shell, const Intent *intent, double now_s) {
    if (ui_shell_cases_apply(shell, intent) || ui_shell_alarms_apply(shell, intent)) return;
    switch (intent->kind) {
    case INTENT_CLOSE:
        close_card(shell);
        return;
    case INTENT_DEBRIEF:
        if (shell->feed != NULL) ui_shell_debrief(shell, ui_feed_journal_path(shell->feed));
        return;
    case INTENT_SCROLL:
        shell->overlay.scroll_px = intent->amount;
        return;
    case INTENT_ZOOM:
        shell->asks.zoom = true;
        shell->asks.zoom_step = (int)intent->amount;
        return;
    case INTENT_INSTRUCTOR:
        ui_shell_instructor(shell, shell->instructor == NULL);
        return;
    case INTENT_DESCRIBE:
        shell->asks.describe = true;
        return;
    case INTENT_FULL_SCREEN:
        shell->asks.full_screen = true;
        return;
    case INTENT_SHEET:
        ui_shell_sheet(shell, intent->number);
        return;
    case INTENT_PART:
        ui_shell_sheet_apply(shell, intent, now_s);
        return;
    default:
        break;
    }
    if (shell->feed == NULL) return;
    switch (intent->kind) {
    case INTENT_PAUSE:
        ui_feed_pause(shell->feed, !ui_feed_paused(shell->feed));
        break;
    case INTENT_RATE:
        ui_feed_rate(shell->feed, (int)intent->amount);
        break;
    case INTENT_SEEN:
        ui_feed_seen(shell->feed);
        break;
    case INTENT_PREDICTION_SEEN:
        ui_feed_told_seen(shell->feed);
        break;
    case INTENT_HELP:
        open_card(shell, OVERLAY_HELP);
        break;
    case INTENT_MESSAGES:
        open_card(shell, OVERLAY_MESSAGES);
        break;
    case INTENT_ACTIONS:
        open_card(shell, OVERLAY_ACTIONS);
        break;
    case INTENT_HANDOVER:
        open_card(shell, OVERLAY_HANDOVER);
        break;
    case INTENT_PICTURE:
        write_picture(shell);
        break;
    case INTENT_LEAVE:
        if (intent->number == 0)
            ask_to_leave(shell);
        else
            back_to_cases(shell);
        break;
    default:
        apply_order(shell, intent);
        break;
    }
}

/* Keys that work everywhere. */
static void window_keys(const Input *input, Intents *intents) {
    for (int i = 0; i < input->keys; i++) {
        Key key = input->key[i].key;
        if (key == KEY_ZOOM_IN) ui_intents_add(intents, INTENT_ZOOM, 0, 1.0, false);
        if (key == KEY_ZOOM_OUT) ui_intents_add(intents, INTENT_ZOOM, 0, -1.0, false);
        if (key == KEY_ZOOM_RESET) ui_intents_add(intents, INTENT_ZOOM, 0, 0.0, false);
        bool alt_v = key == KEY_ALT && (input->key[i].character == 'v' || input->key[i].character == 'V');
        if (alt_v) ui_intents_add(intents, INTENT_DESCRIBE, 0, 0.0, false); /* on every card, too */
        if (key == KEY_F10) ui_intents_add(intents, INTENT_INSTRUCTOR, 0, 0.0, false);
        if (key == KEY_F11) ui_intents_add(intents, INTENT_FULL_SCREEN, 0, 0.0, false);
    }
}

/* Lets the night go on by `wall_s`, and shows its end or a failure. */
static void step_night(Shell *shell, double wall_s) {
    Error error;
    model_error_clear(&error);
    if (ui_feed_step(shell->feed, wall_s, MODEL_BUDGET_S, &error) != ERROR_OK) {
        show_problem(shell, "The night cannot go on", &error);
        snprintf(shell->overlay.detail, sizeof shell->overlay.detail,
                 "Everything up to this moment is kept%s%.500s.",
                 ui_feed_journal_path(shell->feed)[0] != '\0' ? " in " : "",
                 ui_feed_journal_path(shell->feed));
        return;
    }
    if (!shell->record_told && ui_feed_journal_problem(shell->feed)[0] != '\0') {
        shell->record_told = true;
        open_card(shell, OVERLAY_PROBLEM);
        snprintf(shell->overlay.title, sizeof shell->overlay.title, "This night is not recorded");
        snprintf(shell->overlay.text, sizeof shell->overlay.text, "%s", ui_feed_journal_problem(shell->feed));
        snprintf(shell->overlay.detail, sizeof shell->overlay.detail, "%s",
                 ui_feed_journal_path(shell->feed)[0] != '\0'
                     ? "It goes on in memory. It is written when the cause goes away, or in another place "
                       "when you leave it."
                     : "It can be played on, but it cannot be resumed or looked back on.");
        return;
    }
    const Session *session = ui_feed_session(shell->feed);
    if (!shell->end_shown && sim_session_ended(session) && ui_feed_paused(shell->feed)) {
        shell->end_shown = true;
        shell->was_running = false;
        shell->overlay.kind = OVERLAY_END;
        snprintf(shell->overlay.title, sizeof shell->overlay.title, "The night is over");
        snprintf(shell->overlay.text, sizeof shell->overlay.text, "%.600s", sim_session_end_text(session));
        snprintf(shell->overlay.detail, sizeof shell->overlay.detail, "Recorded in %.600s",
                 ui_feed_journal_path(shell->feed));
        shell->overlay.debrief =
            ui_feed_journal_path(shell->feed)[0] != '\0' && ui_feed_journal_problem(shell->feed)[0] == '\0';
        if (ui_feed_journal_path(shell->feed)[0] == '\0') shell->overlay.detail[0] = '\0';
    }
}

bool ui_shell_moving(const Shell *shell) {
    return shell->feed != NULL && shell->overlay.kind == OVERLAY_NONE && !ui_feed_paused(shell->feed);
}

void ui_shell_frame(Shell *shell, const Input *input, double wall_s, double now_s) {
    if (ui_shell_moving(shell)) step_night(shell, wall_s);
    ScreenFrame frame = {.view = NULL, .overlay = &shell->overlay, .input = *input, .time_s = now_s};
    if (shell->feed != NULL) {
        ui_feed_columns(shell->feed, shell->screen.columns);
        ui_feed_fill(shell->feed, shell->screen.layout.deck_rows, &shell->view);
        frame.view = &shell->view;
        for (int i = 0; i < LANE_COUNT; i++)
            frame.sweep[i] = ui_feed_sweep(shell->feed, (LaneId)i);
    }
    ui_shell_settings_frame(shell, now_s);
    if (shell->overlay.kind != shell->scrolled) shell->overlay.scroll_px = 0.0;
    shell->scrolled = shell->overlay.kind;
    ui_shell_sheet_fill(shell, now_s);
    if (shell->sheet != SHEET_NONE) {
        frame.sheet = ui_sheets_kind(shell->sheet);
        frame.sheet_state = shell->sheet_state[shell->sheet];
    }
    /* a sheet that was opened from the list of cases lies over it */
    if (frame.sheet != NULL && shell->overlay.kind == OVERLAY_CASES) frame.overlay = NULL;
    Intents intents = {0};
    window_keys(input, &intents);
    ui_screen_frame(&shell->screen, &frame, &intents);
    for (int i = 0; i < intents.count; i++)
        apply(shell, &intents.of[i], now_s);
    ui_shell_alarms_frame(shell, now_s);
}

ErrorCode ui_shell_start(Shell *shell, const WindowRequest *request, Error *error) {
    memset(shell, 0, sizeof *shell);
    shell->request = request;
    shell->overlay.kind = OVERLAY_CAUTION;
    set_title(shell, "");
    ErrorCode code = ui_screen_start(&shell->screen, error);
    ui_shell_settings_start(shell);
    if (code == ERROR_OK && (request->case_path != NULL || request->resume_path != NULL))
        code = request->case_path != NULL
                   ? open_path(shell, request->case_path, error)
                   : open_night(shell, NULL, request->resume_path, request->rate_x, error);
    return code;
}

ErrorCode ui_shell_stop(Shell *shell, Error *error) {
    ui_shell_sheets_free(shell);
    ui_shell_settings_stop(shell);
    ui_shell_instructor(shell, false);
    ErrorCode code = ui_feed_close(shell->feed, error);
    shell->feed = NULL;
    ui_screen_free(&shell->screen);
    return code;
}
