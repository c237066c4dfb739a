/* What happens on the screen, in words. */
#include "ui/text_log.h"

#include "ui/describe.h"
#include "ui/tiles.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { FOCUS_MAX = 512 };

struct TextLog {
    FILE *file;
    OverlayKind overlay; /* OVERLAY_NONE before the first frame, which has the caution */
    SheetId sheet;
    bool night, other; /* another screen is about to be drawn */
    char focus[FOCUS_MAX], note[SCREEN_NOTE_MAX];
    AlarmStrip alarms;
    MessageLine message; /* the newest that was told */
};

TextLog *ui_text_log_open(const char *path, Error *error) {
    TextLog *log = calloc(1, sizeof *log);
    if (log == NULL) {
        (void)model_error_set(error, ERROR_MEMORY, "no memory for the text log");
        return NULL;
    }
    int descriptor = open(path, O_WRONLY | O_APPEND | O_CREAT | O_NONBLOCK, 0600);
    log->file = descriptor >= 0 ? fdopen(descriptor, "a") : NULL;
    if (log->file == NULL) {
        (void)model_error_set(error, ERROR_FILE_WRITE, "the text log cannot be opened: %s",
                              errno == ENXIO ? "nobody reads this pipe" : strerror(errno));
        model_error_at(error, path, 0, 0);
        if (descriptor >= 0) close(descriptor);
        free(log);
        return NULL;
    }
    (void)signal(SIGPIPE, SIG_IGN); /* a reader that goes away must not end the night */
    return log;
}

void ui_text_log_close(TextLog *log) {
    if (log == NULL) return;
    (void)fclose(log->file);
    free(log);
}

/* One line with the night's time in front. */
static void tell(TextLog *log, const Shell *shell, const char *what, const char *text, const char *more) {
    char clock[TEXT_SHORT] = "--:--:--";
    if (shell->feed != NULL) ui_tiles_clock(clock, sizeof clock, shell->view.time_s, true);
    fprintf(log->file, "%s %s: %s%s%s\n", clock, what, text, more[0] != '\0' ? ", " : "", more);
}

void ui_text_log_ask(TextLog *log) {
    if (log != NULL) log->other = true;
}

static void tell_screen(TextLog *log, const Shell *shell) {
    log->other = false;
    tell(log, shell, "screen", shell->title, "");
    ui_describe_write(&shell->screen.ui, log->file);
    fputs(".\n", log->file);
    (void)fflush(log->file);
}

static bool known_alarm(const AlarmStrip *before, const AlarmLine *line) {
    for (int i = 0; i < before->lines; i++) {
        if (before->line[i].id == line->id && before->line[i].priority == line->priority) return true;
    }
    return false;
}

static void tell_alarms(TextLog *log, const Shell *shell) {
    static const char *const PRIORITY[] = {"alarm", "low alarm", "medium alarm", "high alarm"};
    const AlarmStrip *now = &shell->view.alarms;
    for (int i = 0; i < now->lines; i++) {
        const AlarmLine *line = &now->line[i];
        if (!known_alarm(&log->alarms, line))
            tell(log, shell, PRIORITY[line->priority & 3], line->text, line->detail);
    }
    if (log->alarms.lines > 0 && now->lines == 0) tell(log, shell, "alarm", "none any more", "");
    log->alarms = *now;
}

static void tell_message(TextLog *log, const Shell *shell) {
    const MessageLine *newest = &shell->view.message[0];
    if (shell->view.messages == 0 || strcmp(newest->text, log->message.text) == 0) return;
    tell(log, shell, newest->from, newest->text, "");
    log->message = *newest;
}

void ui_text_log_frame(TextLog *log, const Shell *shell) {
    if (log == NULL) return;
    char focus[FOCUS_MAX];
    bool night = shell->feed != NULL;
    if (shell->overlay.kind != log->overlay || shell->sheet != log->sheet || night != log->night) {
        log->overlay = shell->overlay.kind;
        log->sheet = shell->sheet;
        log->night = night;
        log->other = true; /* it is drawn in the next frame */
    } else if (log->other) {
        log->other = false;
        tell_screen(log, shell);
    }
    if (night) {
        tell_alarms(log, shell);
        tell_message(log, shell);
    }
    ui_describe_focus(&shell->screen.ui, focus, sizeof focus);
    if (strcmp(focus, log->focus) != 0 && focus[0] != '\0') tell(log, shell, "focus", focus, "");
    memcpy(log->focus, focus, sizeof focus);
    if (strcmp(shell->screen.note, log->note) != 0 && shell->screen.note[0] != '\0')
        tell(log, shell, "note", shell->screen.note, "");
    memcpy(log->note, shell->screen.note, sizeof log->note);
    (void)fflush(log->file);
}
