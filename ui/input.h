/* What the user did since the last frame, in our own words: filled by ui/window.c from events, or by a test
 * script. */
#ifndef UI_INPUT_H
#define UI_INPUT_H

#include <stdbool.h>
#include <stdint.h>

typedef enum Key {
    KEY_NONE,
    KEY_CHARACTER, /* a typed character, in KeyPress.character */
    KEY_ALT,       /* Alt and a character; counts where single-letter keys are off as well */
    KEY_F1,
    KEY_F2,
    KEY_F3,
    KEY_F4,
    KEY_F5,
    KEY_F6,
    KEY_F7,
    KEY_F8,
    KEY_F9,
    KEY_F10,
    KEY_F11,
    KEY_F12,
    KEY_UP,
    KEY_DOWN,
    KEY_LEFT,
    KEY_RIGHT,
    KEY_ENTER,
    KEY_ESCAPE,
    KEY_TAB,
    KEY_BACKSPACE,
    KEY_DELETE,
    KEY_HOME,
    KEY_END,
    KEY_PAGE_UP,
    KEY_PAGE_DOWN,
    KEY_ZOOM_IN,   /* Ctrl and plus */
    KEY_ZOOM_OUT,  /* Ctrl and minus */
    KEY_ZOOM_RESET /* Ctrl and 0 */
} Key;

typedef struct KeyPress {
    Key key;
    bool shift;
    uint32_t character; /* Unicode, for KEY_CHARACTER */
} KeyPress;

enum { INPUT_KEYS_MAX = 32 };

typedef struct Input {
    double x_px, y_px;      /* pointer, design px; negative outside the window */
    bool down;              /* main button is held */
    bool pressed, released; /* it went down or up since the last frame */
    double wheel;           /* notches, positive up */
    KeyPress key[INPUT_KEYS_MAX];
    int keys;
    bool quit;    /* the window was asked to close */
    bool exposed; /* the window needs all of its pixels again */
    bool resized;
} Input;

#endif
