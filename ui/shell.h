/* What the program does with what the user wants: cards, cases, orders, the night's time. Knows no window, so
   that a test can work a whole night through it. */
#ifndef UI_SHELL_H
#define UI_SHELL_H

#include "model/error.h"
#include "sim/cli.h"
#include "ui/feed.h"
#include "ui/instructor.h"
#include "ui/screen.h"

/* What the window has to do; cleared by the caller. */
typedef struct ShellAsks {
    bool quit, full_screen;
    bool describe; /* tell the screen in words */
    bool zoom; /* by zoom_step; 0: back to the first guess */
    int zoom_step;
    bool title; /* ui_shell_title has changed */
    SoundId sound;   /* start this; SOUND_NONE: nothing */
    bool sound_stop; /* end what plays, before starting */
    double volume;   /* 0 to 1 */
} ShellAsks;

typedef struct Shell {
    Screen screen;
    SettingsStore settings;
    Settings settings_kept, settings_seen; /* as in the file; as of the last frame */
    double settings_changed_s;
    bool tour_offered; /* in this run */
    Feed *feed; /* NULL: no night is open */
    BedsideView view;
    OverlayView overlay;
    const WindowRequest *request; /* not owned */
    bool from_list;               /* the night was chosen from the list of cases */
    bool end_shown, was_running, record_told;
    OverlayKind scrolled; /* the card that overlay.scroll_px belongs to */
    SheetId sheet;        /* open in place of the bedside or over it */
    bool sheet_was_running;
    void *sheet_state[SHEET_COUNT]; /* owned; NULL: not opened in this night */
    char debrief_path[JOURNAL_PATH_MAX]; /* recorded night that the debrief is about */
    SheetId debrief_from;                /* what was open before it */
    Instructor *instructor;              /* owned; NULL: that window is not open */
    int64_t takes;                       /* of the night, seen by the trainee's screen */
    SoundCourse sounds;
    bool no_sound, no_sound_told;   /* there is no sound device; that has been said */
    ShellAsks asks;
    char title[TEXT_LINE * 2];
} Shell;

/* Finds the fonts and opens the night that `request` names, if it names one; the caution comes first.
   `request` must outlive the shell. Free with ui_shell_stop, also after a failure. */
MODEL_CHECKED ErrorCode ui_shell_start(Shell *shell, const WindowRequest *request, Error *error);

/* Closes the night (its journal can be resumed) and frees everything. */
MODEL_CHECKED ErrorCode ui_shell_stop(Shell *shell, Error *error);

/* One frame: lets wall_s seconds pass if the night runs, draws, paints what changed, and does what the user
 * wants. */
void ui_shell_frame(Shell *shell, const Input *input, double wall_s, double now_s);

/* Opens the debrief of a recorded night; a night that is open is closed first. Where the night cannot be read the
   page says why. */
void ui_shell_debrief(Shell *shell, const char *path);

/* True while something is computed in the background for what is on show. */
bool ui_shell_busy(const Shell *shell);

/* There is no sound device: the trainee is told once, and the bell is crossed out. */
void ui_shell_no_sound(Shell *shell);

/* Opens the instructor's window on the same night, or closes it; the night goes on either way. */
void ui_shell_instructor(Shell *shell, bool open);
/* One frame of it, after the trainee's; does nothing where it is not open. */
void ui_shell_instructor_frame(Shell *shell, const Input *input, double wall_s, double now_s);

/* True while something on the screen moves by itself. */
bool ui_shell_moving(const Shell *shell);

#endif
