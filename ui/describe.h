/* A screen in words, in the order it is read: every text of the draw list and every control with what it is, its
   name and its state. For whoever cannot see the screen, and for tests that look for words instead of pixels. */
#ifndef UI_DESCRIBE_H
#define UI_DESCRIBE_H

#include "ui/widgets.h"

#include <stdio.h>

/* Writes the frame that `ui` drew last into its list. Under a card only the card is told. */
void ui_describe_write(const Ui *ui, FILE *out);

/* The same as freshly allocated text that the caller frees; NULL when memory is short. */
char *ui_describe_text(const Ui *ui);

/* The control with the focus as "button Confirm", or "" if none has it or it is not shown. */
void ui_describe_focus(const Ui *ui, char *text, size_t size);

#endif
