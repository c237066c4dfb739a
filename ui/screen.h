/* The bedside, or the sheet in its place, on a canvas: keeps fonts, canvas and what is painted, so that a
   frame repaints only what changed. Needs no display; the window copies what became dirty. */
#ifndef UI_SCREEN_H
#define UI_SCREEN_H

#include "ui/bedside.h"
#include "ui/overlay.h"
#include "ui/painter.h"
#include "ui/raster.h"
#include "ui/sheet.h"

enum { SCREEN_NOTE_MAX = 400, REGION_NOTE = PAINTER_REGIONS - 1 };

typedef struct Screen {
    Text *text;
    Canvas *canvas;
    DrawList list, traces;
    Painter painter;
    Ui ui;
    BedsideLayout layout;
    int focus_under[2]; /* of what lies under a sheet, under a card */
    BedsidePanel panel; /* on show in the compact arrangement */
    OverlayKind overlay_before;
    const SheetKind *sheet_before;
    Settings settings, settings_before; /* what everything is drawn with */
    int64_t trace_at[LANE_COUNT]; /* Sweep.at when the lane was painted last */
    int trace_cursor[LANE_COUNT];
    char note[SCREEN_NOTE_MAX]; /* said for a moment over everything; empty: none */
    double note_for_s, note_from_s;
    bool filled_before;
    int columns; /* of a sweep across a lane, one per device px */
} Screen;

/* What a frame is made from. `view` NULL: no night is open, only the overlay is shown. */
typedef struct ScreenFrame {
    const BedsideView *view;
    const Sweep *sweep[LANE_COUNT]; /* NULL: an empty lane */
    const OverlayView *overlay;
    const SheetKind *sheet; /* NULL: the bedside */
    const void *sheet_state;
    Input input;
    double time_s;
} ScreenFrame;

/* Finds the fonts. The caller frees with ui_screen_free, also after a failure. */
MODEL_CHECKED ErrorCode ui_screen_start(Screen *screen, Error *error);
void ui_screen_free(Screen *screen);

/* Gives the screen a canvas of device pixels at `scale`, or at the largest scale at which everything has
   room; everything is painted again. */
MODEL_CHECKED ErrorCode ui_screen_resize(Screen *screen, int width_px, int height_px, double scale,
                                         Error *error);

/* Says something for some seconds over whatever is on the screen. */
void ui_screen_note(Screen *screen, const char *text, double seconds);

/* Draws a frame and paints what differs from the one before; screen->painter tells what is dirty. Adds what
   the user wants to *intents. */
void ui_screen_frame(Screen *screen, const ScreenFrame *frame, Intents *intents);

#endif
