/* Controls drawn and answered in one call. A screen calls them in the order the eye reads; that order is the
   Tab order. Every control has a number of its own, is at least TARGET_MIN high, and shows the focus. */
#ifndef UI_WIDGETS_H
#define UI_WIDGETS_H

#include "ui/draw.h"
#include "ui/input.h"
#include "ui/settings.h"
#include "ui/theme.h"

enum { UI_ITEMS_MAX = 256, UI_LABEL_MAX = 128 };

typedef enum UiRole { UI_ROLE_BUTTON, UI_ROLE_TAB, UI_ROLE_ROW, UI_ROLE_FIELD, UI_ROLE_TRACK, UI_ROLE_COUNT } UiRole;

/* A control of a frame, as whoever cannot see it needs it. */
typedef struct UiItem {
    int id;
    Rect rect;
    UiRole role;
    bool mouse_only;          /* answers clicks; Tab passes it over */
    bool off;                 /* shown, not available now */
    bool leaves_enter;        /* answers other keys; Enter does what the card does by default */
    bool chosen;              /* the open tab, the value in force, the row with the cursor */
    size_t at;                /* commands in the list when it was drawn */
    char label[UI_LABEL_MAX]; /* empty: the texts within its rect say what it is */
} UiItem;

/* The state between frames (focus, pressed control) and the list the frame is drawn to. */
typedef struct Ui {
    DrawList *list; /* not owned */
    const Theme *theme;
    const Settings *settings; /* NULL: the defaults; not owned */
    Input input;      /* of this frame; a control that takes a key removes it */
    int focus;        /* control that has the keyboard, 0 none */
    bool focus_shown; /* the focus ring is drawn: the keyboard is in use */
    int active;       /* control the button went down on, 0 none */
    bool mouse_only;  /* controls drawn now answer clicks but take no focus and no keys */
    bool blocked;     /* a dialog lies on top: controls draw but do not answer */
    double time_s;    /* wall clock, for blinking carets and flashing marks */
    bool reduced_motion, reduced_flashing;
    UiItem item[UI_ITEMS_MAX]; /* controls of this frame, in Tab order */
    int items;
    UiItem before[UI_ITEMS_MAX]; /* of the last frame */
    int befores;
} Ui;

typedef enum ButtonLook { BUTTON_PLAIN, BUTTON_CHOSEN, BUTTON_OFF, BUTTON_PRIMARY } ButtonLook;

/* Starts a frame: takes the input, clears the list, moves the focus for Tab. */
void ui_widgets_begin(Ui *ui, DrawList *list, const Theme *theme, const Input *input);
/* Ends it: keeps the controls for the next frame's Tab; a press that no control wanted drops the focus ring.
 */
void ui_widgets_end(Ui *ui);

/* True once if `key` was pressed (any modifier); the press is then taken. *shift may be NULL. */
bool ui_widgets_take_key(Ui *ui, Key key, bool *shift);
/* True once if Enter was pressed while no control that answers it has the focus: for what a card does by
   default. */
bool ui_widgets_take_default(Ui *ui);
/* True once if the character was typed; letters without regard to case, and only with Alt where single-letter
   keys are switched off. */
bool ui_widgets_take_char(Ui *ui, uint32_t character);
/* True once if the capital letter was typed: the letter with Shift. */
bool ui_widgets_take_capital(Ui *ui, uint32_t letter);

/* Registers an area as control `id`; true when clicked or, having the focus, activated with Enter or Space.
 */
bool ui_widgets_area(Ui *ui, int id, Rect rect);
/* Says what the control registered last is, what for whoever cannot see it, and whether it is chosen. `label`
   NULL: the texts drawn within it. */
void ui_widgets_tell(Ui *ui, UiRole role, const char *label, bool chosen);
bool ui_widgets_hovered(const Ui *ui, Rect rect);
void ui_widgets_focus_ring(Ui *ui, int id, Rect rect, double radius_px);

/* A labelled button. */
bool ui_widgets_button(Ui *ui, int id, Rect rect, const char *label, ButtonLook look);
/* A button with a drawn sign: '-', '+', '>' play, '|' pause, '<' slower, 'F' faster, 'l' 'r' the word before
   and after, 'x' close, 'o' settings. */
bool ui_widgets_sign_button(Ui *ui, int id, Rect rect, char sign, ButtonLook look);
/* A key's name in a small frame, as on the F-keys; returns its width in px. */
double ui_widgets_keycap(Ui *ui, double x, double y, const char *key);

/* A sheet of a panel with title at the top left and a quieter note at the top right; returns what is left
 * below. */
Rect ui_widgets_panel(Ui *ui, Rect rect, const char *title, const char *note);

/* A coloured letter badge, 22 px; x, y is the top left. */
void ui_widgets_badge(DrawList *list, const Theme *theme, double x, double y, Side side);
/* An arrowhead filling a box of `size` centred on x, y; direction 'u', 'd', 'l', 'r'. */
void ui_widgets_arrow(DrawList *list, double x, double y, double size_px, char direction, Colour colour);

#endif
