/* What the screens cost. */
#include "ui/app_bench.h"

#include "sim/casefolder.h"
#include "ui/keyscript.h"
#include "ui/shell_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define FRAME_S         (1.0 / 60.0)
#define MEMORY_STEP_S   0.25 /* on the wall clock, at the highest time rate */
#define MEMORY_BUDGET_S 10.0

enum { WHOLE_FRAMES = 30, STEADY_FRAMES = 180, NIGHT_FRAMES = 600, FRAMES_MAX = 600, RATE_STEPS = 16 };

typedef struct Size {
    int width_px, height_px;
} Size;

static const Size SIZES[] = {{1280, 800}, {1920, 1080}};
enum { SIZE_COUNT = sizeof SIZES / sizeof SIZES[0] };

typedef struct Bench {
    Shell shell;
    char path[CASEFOLDER_PATH_MAX + CASEFOLDER_NAME_MAX + 1];
    double now_s;
    double ms[FRAMES_MAX];
} Bench;

static double clock_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static double frame_ms(Bench *b) {
    Input input = {.x_px = -1.0, .y_px = -1.0};
    double start = clock_ms();
    b->now_s += FRAME_S;
    ui_shell_frame(&b->shell, &input, FRAME_S, b->now_s);
    return clock_ms() - start;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void report(Bench *b, const char *screen, const char *what, int count) {
    double sum = 0.0;
    for (int i = 0; i < count; i++)
        sum += b->ms[i];
    qsort(b->ms, (size_t)count, sizeof *b->ms, by_value);
    printf("%-22s %4dx%-5d %-14s %8.2f %8.2f %8.2f %8.2f\n", screen, ui_raster_width(b->shell.screen.canvas),
           ui_raster_height(b->shell.screen.canvas), what, b->ms[count / 2], sum / count,
           b->ms[count * 95 / 100], b->ms[count - 1]);
    fflush(stdout);
}

/* Frames of whatever is on show: as they follow each other, and painted whole. */
static void measure(Bench *b, const char *screen) {
    for (int i = 0; i < 4; i++)
        (void)frame_ms(b);
    for (int i = 0; i < STEADY_FRAMES; i++)
        b->ms[i] = frame_ms(b);
    report(b, screen, "steady", STEADY_FRAMES);
    for (int i = 0; i < WHOLE_FRAMES; i++) {
        ui_painter_forget(&b->shell.screen.painter);
        b->ms[i] = frame_ms(b);
    }
    report(b, screen, "painted whole", WHOLE_FRAMES);
}

static ErrorCode measure_screens(Bench *b, Size size, Error *error) {
    static const char *const SHEET_NAME[SHEET_COUNT] = {
        [SHEET_LOOK] = "look",           [SHEET_CHART] = "chart",
        [SHEET_CALL] = "call",           [SHEET_PREDICT] = "prediction",
        [SHEET_LIMITS] = "alarm limits", [SHEET_SETTINGS] = "settings",
        [SHEET_TOUR] = "tour",           [SHEET_PRACTICE] = "free practice",
        [SHEET_DEBRIEF] = "debrief"};
    ErrorCode code = ui_screen_resize(&b->shell.screen, size.width_px, size.height_px, 1.0, error);
    if (code != ERROR_OK) return code;
    measure(b, "bedside");
    for (int id = SHEET_NONE + 1; id < SHEET_COUNT; id++) {
        ui_shell_sheet(&b->shell, id);
        (void)frame_ms(b);
        if (b->shell.sheet == (SheetId)id) measure(b, SHEET_NAME[id]);
        ui_shell_sheet(&b->shell, SHEET_NONE);
        (void)frame_ms(b);
    }
    b->shell.overlay.kind = OVERLAY_HELP;
    measure(b, "keys");
    b->shell.overlay.kind = OVERLAY_NONE;
    ui_feed_pause(b->shell.feed, false);
    return ERROR_OK;
}

static void measure_night(Bench *b) {
    static const double RATES[] = {1.0, 60.0, 240.0};
    for (size_t i = 0; i < sizeof RATES / sizeof RATES[0]; i++) {
        char name[24];
        snprintf(name, sizeof name, "night x%.0f", RATES[i]);
        for (int k = 0; k < NIGHT_FRAMES; k++) {
            ui_feed_pause(b->shell.feed, false);
            while (ui_feed_rate_now(b->shell.feed) < RATES[i]) /* a message may have slowed it */
                ui_feed_rate(b->shell.feed, 1);
            b->ms[k] = frame_ms(b);
        }
        report(b, name, "with the model", NIGHT_FRAMES);
    }
}

/* Memory in use and its peak, MiB, as the system counts it; negative where it does not tell. */
static void memory_mib(double *now, double *peak) {
    char line[128];
    *now = *peak = -1.0;
    FILE *file = fopen("/proc/self/status", "r");
    if (file == NULL) return;
    while (fgets(line, sizeof line, file) != NULL) {
        double kib;
        if (sscanf(line, "VmRSS: %lf", &kib) == 1) *now = kib / 1024.0;
        if (sscanf(line, "VmHWM: %lf", &kib) == 1) *peak = kib / 1024.0;
    }
    fclose(file);
}

/* One frame of the instructor's window; with `both`, of the trainee's before it. */
static double instructor_ms(Bench *b, bool both) {
    Input input = {.x_px = -1.0, .y_px = -1.0};
    double start = clock_ms();
    b->now_s += FRAME_S;
    if (both) ui_shell_frame(&b->shell, &input, FRAME_S, b->now_s);
    ui_shell_instructor_frame(&b->shell, &input, FRAME_S, b->now_s);
    return clock_ms() - start;
}

/* The second window, on a night that runs. */
static ErrorCode measure_instructor(Bench *b, Size size, Error *error) {
    ui_shell_instructor(&b->shell, true);
    if (b->shell.instructor == NULL)
        return model_error_set(error, ERROR_MEMORY, "no memory for the instructor's window");
    Screen *screen = &b->shell.instructor->screen;
    ErrorCode code = ui_screen_resize(screen, size.width_px, size.height_px, 1.0, error);
    if (code == ERROR_OK)
        code = ui_screen_resize(&b->shell.screen, size.width_px, size.height_px, 1.0, error);
    if (code != ERROR_OK) return code;
    ui_feed_pause(b->shell.feed, false);
    for (int i = 0; i < STEADY_FRAMES; i++)
        b->ms[i] = instructor_ms(b, false);
    report(b, "instructor", "steady", STEADY_FRAMES);
    for (int i = 0; i < WHOLE_FRAMES; i++) {
        ui_painter_forget(&screen->painter);
        b->ms[i] = instructor_ms(b, false);
    }
    report(b, "instructor", "painted whole", WHOLE_FRAMES);
    for (int i = 0; i < STEADY_FRAMES; i++)
        b->ms[i] = instructor_ms(b, true);
    report(b, "both windows", "night at x1", STEADY_FRAMES);
    ui_shell_instructor(&b->shell, false);
    return ERROR_OK;
}

/* Plays a night of `hours` that nothing ends, drawing as it goes. */
static ErrorCode measure_memory(Bench *b, double hours, Error *error) {
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *file = errors != NULL ? sim_case_load(b->path, errors) : NULL;
    free(errors);
    if (file == NULL) return model_error_set(error, ERROR_MEMORY, "the case cannot be opened again");
    file->length_s = 3600.0 * hours + 60.0;
    file->ending_count = 0;
    FeedRequest request = {.case_file = file, .unrecorded = true};
    Feed *feed = ui_feed_open(&request, error);
    sim_case_free(file);
    if (feed == NULL) return error->code;
    ErrorCode code = ui_feed_close(b->shell.feed, error);
    b->shell.feed = feed;
    const Session *session = ui_feed_session(feed);
    double start = clock_ms(), now, peak;
    while (code == ERROR_OK && !sim_session_ended(session) && sim_session_time_s(session) < 3600.0 * hours) {
        for (int i = 0; i < RATE_STEPS; i++)
            ui_feed_rate(feed, 1);
        ui_feed_pause(feed, false);
        code = ui_feed_step(feed, MEMORY_STEP_S, MEMORY_BUDGET_S, error);
        if (code == ERROR_OK) (void)frame_ms(b);
    }
    memory_mib(&now, &peak);
    printf("\nmemory after %.1f simulated hours (%.0f s here): %.0f MiB, at most %.0f MiB\n",
           sim_session_time_s(session) / 3600.0, (clock_ms() - start) / 1e3, now, peak);
    return code;
}

/* The case that is measured: the first of the folder. */
static ErrorCode find_case(Bench *b, Error *error) {
    CaseFolder *folder = calloc(1, sizeof *folder);
    if (folder == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the list of cases");
    ErrorCode code = sim_casefolder_find(folder, error);
    if (code == ERROR_OK && folder->count == 0)
        code = model_error_set(error, ERROR_FILE_READ, "no case to measure with in %.200s", folder->path);
    if (code == ERROR_OK) snprintf(b->path, sizeof b->path, "%s/%s", folder->path, folder->names[0]);
    free(folder);
    return code;
}

static ErrorCode run(Bench *b, double hours, Error *error) {
    WindowRequest request = {.case_path = b->path, .apart = true};
    double start = clock_ms();
    ErrorCode code = ui_shell_start(&b->shell, &request, error);
    if (code == ERROR_OK) code = ui_screen_resize(&b->shell.screen, 1920, 1080, 1.0, error);
    if (code != ERROR_OK) return code;
    (void)frame_ms(b);
    printf("start to first frame at 1920x1080: %.0f ms\n\n%-22s %-10s %-14s %8s %8s %8s %8s  ms a frame\n",
           clock_ms() - start, "screen", "size", "", "median", "mean", "95 %", "most");
    code = ui_keyscript_play(&b->shell, "press Enter Enter\nwait 20", "bench", NULL, error);
    for (int i = 0; code == ERROR_OK && i < SIZE_COUNT; i++)
        code = measure_screens(b, SIZES[i], error);
    for (int i = 0; code == ERROR_OK && i < SIZE_COUNT; i++)
        code = measure_instructor(b, SIZES[i], error);
    if (code == ERROR_OK) measure_night(b);
    if (code == ERROR_OK) code = measure_memory(b, hours, error);
    return code;
}

ErrorCode ui_app_bench(double hours, Error *error) {
    Bench *b = calloc(1, sizeof *b);
    if (b == NULL) return model_error_set(error, ERROR_MEMORY, "no memory to measure");
    ErrorCode code = find_case(b, error);
    if (code == ERROR_OK) {
        code = run(b, hours, error);
        Error closing;
        model_error_clear(&closing);
        ErrorCode closed = ui_shell_stop(&b->shell, &closing);
        if (code == ERROR_OK && closed != ERROR_OK) {
            code = closed;
            *error = closing;
        }
    }
    free(b);
    return code;
}
