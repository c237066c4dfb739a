/* One line of text that can be typed into. The text lives with whoever shows the field; drawing turns keys
   and clicks into edits, which go through the intents like everything else the user wants. */
#ifndef UI_TEXTFIELD_H
#define UI_TEXTFIELD_H

#include "ui/intents.h"
#include "ui/widgets.h"

enum { TEXTFIELD_MAX = 160 }; /* bytes, with the end */

/* Zeroed: empty. */
typedef struct TextField {
    char text[TEXTFIELD_MAX]; /* UTF-8 */
    int caret;                /* byte it stands before, always between characters */
} TextField;

/* An edit as an intent's amount: a character's Unicode number, or one of these. */
enum {
    TEXT_EDIT_BACK = -1,
    TEXT_EDIT_DELETE = -2,
    TEXT_EDIT_LEFT = -3,
    TEXT_EDIT_RIGHT = -4,
    TEXT_EDIT_HOME = -5,
    TEXT_EDIT_END = -6,
    TEXT_EDIT_CLEAR = -7,
    TEXT_EDIT_CARET = -1000 /* minus the byte to stand before */
};

/* Draws the field as control `id`, with `hint` while it is empty, and adds its edits as intents of `kind`
   with `number`. While it has the focus it takes characters, arrows left and right, Home, End, Backspace and
   Delete; Enter and Escape are left to the card. */
void ui_textfield_draw(Ui *ui, int id, Rect rect, const TextField *field, const char *hint, IntentKind kind,
                       int number, Intents *intents);

/* Takes every typed character as an edit, whatever has the focus: for a list that is searched by typing. */
void ui_textfield_keys(Ui *ui, IntentKind kind, int number, Intents *intents);

/* Carries out an edit. Characters that do not fit or cannot be shown are dropped. */
void ui_textfield_edit(TextField *field, double edit);

/* Puts the caret at the end of `text`, cut to fit between characters. */
void ui_textfield_set(TextField *field, const char *text);

#endif
