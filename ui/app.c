/* The loop: input, night, frame, present; and what each intent does. */
#include "ui/app.h"
#include "ui/feed.h"
#include "ui/screen.h"
#include "ui/window.h"

#include "sim/casefolder.h"
#include "sim/journal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define FRAME_S        (1.0 / 60.0)
#define IDLE_FRAME_S   0.1   /* while nothing moves */
#define MODEL_BUDGET_S 0.010 /* computing of the night per frame */
#define SCALE_LOW      0.75
#define SCALE_HIGH     3.0
#define SCALE_STEP     0.125

static const char TITLE[] = "Evenkeel (training only)";

typedef struct App {
    Window *window;
    Screen screen;
    Feed *feed; /* NULL: no night is open */
    BedsideView view;
    OverlayView overlay;
    const WindowRequest *request;
    bool caution_read, quit, end_shown, was_running, record_told;
    double scale; /* 0: the first guess */
} App;

static double clock_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Shows a failure on a card. */
static void show_problem(App *app, const char *title, const Error *error) {
    app->overlay.kind = OVERLAY_PROBLEM;
    snprintf(app->overlay.title, sizeof app->overlay.title, "%s", title);
    model_error_format(error, app->overlay.text, sizeof app->overlay.text);
    app->overlay.detail[0] = '\0';
}

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
        snprintf(entry->title, sizeof entry->title, "%s", file->title);
        snprintf(entry->theme, sizeof entry->theme, "%s", file->theme);
        snprintf(entry->summary, sizeof entry->summary, "%s", file->summary);
    } else {
        snprintf(entry->title, sizeof entry->title, "%.100s", name);
        if (errors->count > 0) model_error_format(&errors->items[0], entry->summary, sizeof entry->summary);
    }
    sim_case_free(file);
    free(errors);
    overlay->entries++;
}

static int by_level(const void *a, const void *b) {
    const CaseEntry *x = a, *y = b;
    if (x->readable != y->readable) return x->readable ? -1 : 1;
    return x->level != y->level ? x->level - y->level : strcmp(x->title, y->title);
}

static ErrorCode show_cases(App *app, Error *error) {
    CaseFolder *folder = calloc(1, sizeof *folder);
    if (folder == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the list of cases");
    ErrorCode code = sim_casefolder_find(folder, error);
    app->overlay.entries = app->overlay.chosen = 0;
    for (int i = 0; code == ERROR_OK && i < folder->count && i < OVERLAY_CASES_MAX; i++)
        list_case(&app->overlay, folder->path, folder->names[i]);
    qsort(app->overlay.entry, (size_t)app->overlay.entries, sizeof app->overlay.entry[0], by_level);
    app->overlay.kind = OVERLAY_CASES;
    free(folder);
    return code;
}

/* Opens a night of the case at `path`, or goes on with a recorded one. */
static ErrorCode open_night(App *app, const char *path, Error *error) {
    const WindowRequest *r = app->request;
    FeedRequest request = {
        .save_path = r->save_path, .seed_given = r->seed_given, .seed = r->seed, .rate_x = r->rate_x};
    Case *file = NULL;
    if (path == NULL) {
        request.resume_path = r->resume_path;
    } else {
        ErrorList *errors = calloc(1, sizeof *errors);
        if (errors == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the case");
        file = sim_case_load(path, errors);
        if (file == NULL) *error = errors->items[0];
        free(errors);
        if (file == NULL) return error->code;
        request.case_file = file;
    }
    app->feed = ui_feed_open(&request, error);
    sim_case_free(file); /* the session keeps a copy */
    if (app->feed == NULL) return error->code;
    app->end_shown = app->record_told = false;
    app->was_running = true; /* once the handover has been read */
    memset(&app->view, 0, sizeof app->view);
    app->overlay.handover = &sim_session_case(ui_feed_session(app->feed))->handover;
    app->overlay.case_title = sim_session_case(ui_feed_session(app->feed))->title;
    char title[TEXT_LINE * 2];
    snprintf(title, sizeof title, "Evenkeel: %s (training only)", app->overlay.case_title);
    ui_window_title(app->window, title);
    return ERROR_OK;
}

/* What comes first: the caution, then the night asked for or the list of cases. */
static void after_caution(App *app) {
    Error error;
    model_error_clear(&error);
    if (app->request->case_path == NULL && app->request->resume_path == NULL) {
        if (show_cases(app, &error) != ERROR_OK) show_problem(app, "No cases", &error);
        return;
    }
    app->overlay.kind = OVERLAY_HANDOVER;
}

/* Ends the night that is open and shows the list again. */
static void back_to_cases(App *app) {
    Error error;
    model_error_clear(&error);
    ErrorCode code = ui_feed_close(app->feed, &error);
    app->feed = NULL;
    if (code == ERROR_OK) code = show_cases(app, &error);
    if (code != ERROR_OK) show_problem(app, "The night could not be closed", &error);
    ui_window_title(app->window, TITLE);
}

/* A card was closed: what comes next. */
static void close_card(App *app) {
    OverlayKind closed = app->overlay.kind;
    app->overlay.kind = OVERLAY_NONE;
    switch (closed) {
    case OVERLAY_CAUTION:
        app->caution_read = true;
        after_caution(app);
        break;
    case OVERLAY_MESSAGES:
        ui_feed_seen(app->feed);
        break;
    case OVERLAY_PROBLEM:
        if (app->feed == NULL) app->quit = app->overlay.entries == 0;
        if (app->feed == NULL && !app->quit) app->overlay.kind = OVERLAY_CASES;
        break;
    case OVERLAY_END:
        if (app->request->case_path == NULL && app->request->resume_path == NULL) back_to_cases(app);
        break;
    default:
        break;
    }
    if (app->feed != NULL && app->overlay.kind == OVERLAY_NONE && app->was_running)
        ui_feed_pause(app->feed, false);
}

/* Opens a card over the bedside; the night waits. */
static void open_card(App *app, OverlayKind kind) {
    app->was_running = !ui_feed_paused(app->feed);
    ui_feed_pause(app->feed, true);
    app->overlay.kind = kind;
}

static void choose_case(App *app, int number) {
    Error error;
    model_error_clear(&error);
    if (number < 0 || number >= app->overlay.entries) return;
    if (open_night(app, app->overlay.entry[number].path, &error) == ERROR_OK)
        app->overlay.kind = OVERLAY_HANDOVER;
    else
        show_problem(app, "This case cannot be opened", &error);
}

static ErrorCode resize(App *app, Error *error) {
    int w = 0, h = 0;
    ui_window_size(app->window, &w, &h);
    double scale = app->scale > 0.0 ? app->scale : ui_window_scale_guess(app->window);
    return ui_screen_resize(&app->screen, w, h, scale, error);
}

static void zoom(App *app, int step) {
    double scale = ui_raster_scale(app->screen.canvas) + step * SCALE_STEP;
    app->scale = step == 0 ? 0.0 : fmin(fmax(scale, SCALE_LOW), SCALE_HIGH);
    Error error;
    if (resize(app, &error) != ERROR_OK) app->scale = 0.0;
}

/* Writes the screen as a picture beside the recorded nights. */
static void write_picture(App *app) {
    Error error;
    model_error_clear(&error);
    char folder[JOURNAL_PATH_MAX], path[JOURNAL_PATH_MAX + 64];
    Desk *desk = ui_feed_desk(app->feed);
    ErrorCode code = sim_journal_folder(folder, sizeof folder, &error);
    if (code == ERROR_OK) {
        snprintf(path, sizeof path, "%s/picture-%06.0fs-%ld.png", folder, app->view.time_s, (long)time(NULL));
        code = ui_raster_write_png(app->screen.canvas, path, &error);
    }
    if (code == ERROR_OK)
        snprintf(desk->problem, sizeof desk->problem, "picture: %.600s", path);
    else
        model_error_format(&error, desk->problem, sizeof desk->problem);
}

static void move_choice(App *app, int to) {
    int last = app->overlay.entries - 1;
    app->overlay.chosen = to < 0 ? 0 : to > last ? (last < 0 ? 0 : last) : to;
}

/* Intents that concern the orders. */
static void apply_order(App *app, const Intent *intent) {
    Desk *desk = ui_feed_desk(app->feed);
    const Session *session = ui_feed_session(app->feed);
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
        (void)ui_feed_confirm(app->feed);
        break;
    case INTENT_DROP:
        ui_desk_drop(desk);
        break;
    default:
        break;
    }
}

static void apply(App *app, const Intent *intent) {
    switch (intent->kind) {
    case INTENT_CLOSE:
        close_card(app);
        return;
    case INTENT_CASE:
        choose_case(app, intent->number);
        return;
    case INTENT_ZOOM:
        zoom(app, (int)intent->amount);
        return;
    case INTENT_FULL_SCREEN:
        ui_window_toggle_full_screen(app->window);
        return;
    case INTENT_ROW:
        if (app->overlay.kind == OVERLAY_CASES) {
            move_choice(app, intent->number);
            return;
        }
        break;
    default:
        break;
    }
    if (app->feed == NULL) return;
    switch (intent->kind) {
    case INTENT_PAUSE:
        ui_feed_pause(app->feed, !ui_feed_paused(app->feed));
        break;
    case INTENT_RATE:
        ui_feed_rate(app->feed, (int)intent->amount);
        break;
    case INTENT_SEEN:
        ui_feed_seen(app->feed);
        break;
    case INTENT_HELP:
        open_card(app, OVERLAY_HELP);
        break;
    case INTENT_MESSAGES:
        open_card(app, OVERLAY_MESSAGES);
        break;
    case INTENT_ACTIONS:
        open_card(app, OVERLAY_ACTIONS);
        break;
    case INTENT_HANDOVER:
        open_card(app, OVERLAY_HANDOVER);
        break;
    case INTENT_PICTURE:
        write_picture(app);
        break;
    default:
        apply_order(app, intent);
        break;
    }
}

/* Keys that work everywhere. */
static void window_keys(const Input *input, Intents *intents) {
    for (int i = 0; i < input->keys; i++) {
        Key key = input->key[i].key;
        if (key == KEY_ZOOM_IN) ui_bedside_intend(intents, INTENT_ZOOM, 0, 1.0, false);
        if (key == KEY_ZOOM_OUT) ui_bedside_intend(intents, INTENT_ZOOM, 0, -1.0, false);
        if (key == KEY_ZOOM_RESET) ui_bedside_intend(intents, INTENT_ZOOM, 0, 0.0, false);
    }
}

/* Lets the night go on by `wall_s`, and shows its end or a failure. */
static void step_night(App *app, double wall_s) {
    Error error;
    model_error_clear(&error);
    if (ui_feed_step(app->feed, wall_s, MODEL_BUDGET_S, &error) != ERROR_OK) {
        show_problem(app, "The night cannot go on", &error);
        snprintf(app->overlay.detail, sizeof app->overlay.detail,
                 "Everything up to this moment is kept%s%.500s.",
                 ui_feed_journal_path(app->feed)[0] != '\0' ? " in " : "", ui_feed_journal_path(app->feed));
        return;
    }
    if (!app->record_told && ui_feed_journal_problem(app->feed)[0] != '\0') {
        app->record_told = true;
        open_card(app, OVERLAY_PROBLEM);
        snprintf(app->overlay.title, sizeof app->overlay.title, "This night is not recorded");
        snprintf(app->overlay.text, sizeof app->overlay.text, "%s", ui_feed_journal_problem(app->feed));
        snprintf(
            app->overlay.detail, sizeof app->overlay.detail,
            "It can be played on, but it cannot be resumed or looked back on unless the cause goes away.");
        return;
    }
    const Session *session = ui_feed_session(app->feed);
    if (!app->end_shown && sim_session_ended(session) && ui_feed_paused(app->feed)) {
        app->end_shown = true;
        app->was_running = false;
        app->overlay.kind = OVERLAY_END;
        snprintf(app->overlay.title, sizeof app->overlay.title, "The night is over");
        snprintf(app->overlay.text, sizeof app->overlay.text, "%.600s", sim_session_end_text(session));
        snprintf(app->overlay.detail, sizeof app->overlay.detail, "Recorded in %.600s",
                 ui_feed_journal_path(app->feed));
        if (ui_feed_journal_path(app->feed)[0] == '\0') app->overlay.detail[0] = '\0';
    }
}

static void draw_frame(App *app, const Input *input, double now_s) {
    ScreenFrame frame = {.view = NULL, .overlay = &app->overlay, .input = *input, .time_s = now_s};
    if (app->feed != NULL) {
        ui_feed_columns(app->feed, app->screen.columns);
        ui_feed_fill(app->feed, app->screen.layout.deck_rows, &app->view);
        frame.view = &app->view;
        for (int i = 0; i < LANE_COUNT; i++)
            frame.sweep[i] = ui_feed_sweep(app->feed, (LaneId)i);
    }
    Intents intents = {0};
    window_keys(input, &intents);
    ui_screen_frame(&app->screen, &frame, &intents);
    const Painter *painter = &app->screen.painter;
    ui_window_present(app->window, app->screen.canvas, painter->dirty, painter->dirties,
                      painter->all || input->exposed);
    for (int i = 0; i < intents.count; i++)
        apply(app, &intents.of[i]);
}

/* True while something on the screen moves by itself. */
static bool moving(const App *app) {
    return app->feed != NULL && app->overlay.kind == OVERLAY_NONE && !ui_feed_paused(app->feed);
}

static ErrorCode run(App *app, Error *error) {
    ErrorCode code = resize(app, error);
    double last_s = clock_s();
    while (code == ERROR_OK && !app->quit) {
        Input input;
        double wait_s = (moving(app) ? FRAME_S : IDLE_FRAME_S) - (clock_s() - last_s);
        ui_window_input(app->window, wait_s, ui_raster_scale(app->screen.canvas), &input);
        double now_s = clock_s(), passed_s = now_s - last_s;
        last_s = now_s;
        if (input.quit) break;
        if (input.resized) code = resize(app, error);
        if (code != ERROR_OK) break;
        if (moving(app)) step_night(app, passed_s);
        draw_frame(app, &input, now_s);
    }
    return code;
}

ErrorCode ui_app_run(const WindowRequest *request, Error *error) {
    App *app = calloc(1, sizeof *app);
    if (app == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the window");
    app->request = request;
    app->overlay.kind = OVERLAY_CAUTION;
    ErrorCode code = ui_screen_start(&app->screen, error);
    if (code == ERROR_OK) {
        app->window =
            ui_window_open(TITLE, request->width_px, request->height_px, request->full_screen, error);
        code = app->window == NULL ? error->code : ERROR_OK;
    }
    if (code == ERROR_OK && (request->case_path != NULL || request->resume_path != NULL))
        code = open_night(app, request->case_path, error);
    if (code == ERROR_OK) code = run(app, error);
    Error closing;
    model_error_clear(&closing);
    ErrorCode closed = ui_feed_close(app->feed, &closing);
    ui_screen_free(&app->screen);
    ui_window_close(app->window);
    free(app);
    if (code == ERROR_OK && closed != ERROR_OK) {
        code = closed;
        if (error != NULL) *error = closing;
    }
    return code;
}
