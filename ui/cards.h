/* What cards are made of: the sheet in the middle of the screen, its texts, scrolling, the closing button. */
#ifndef UI_CARDS_H
#define UI_CARDS_H

#include "ui/intents.h"
#include "ui/widgets.h"

#define CARD_LINE_PX    25.0
#define CARD_PAD        32.0
#define CARD_HEAD_PX    72.0
#define CARD_FOOT_PX    88.0
#define CARD_ENDLESS_PX 1e5 /* height of a text that is not cut */

enum { ID_CARD_CLOSE = 900, ID_CARD_LEAVE };

/* Darkens what lies under a card. */
void ui_cards_dim(Ui *ui, Rect screen);

/* A card in the middle with its title; returns the room inside, above the button row. */
Rect ui_cards_frame(Ui *ui, Rect screen, double width, double height, const char *title);

/* The button that closes a card, under its room; Enter and Esc do the same. `more`: the text goes on. */
void ui_cards_close(Ui *ui, Rect room, const char *label, bool more, Intents *intents);

/* Moves through a text that is `over_px` longer than its room by keys and wheel, and shows where it stands.
   Adds INTENT_SCROLL. */
void ui_cards_scroll(Ui *ui, Rect room, double scroll_px, double over_px, Intents *intents);

/* A paragraph, with a hanging mark or without; returns the y after it. */
double ui_cards_paragraph(Ui *ui, Rect room, double y, bool mark, const char *text);

/* A heading with a paragraph under it; nothing for an empty text. Returns the y after it. */
double ui_cards_headed(Ui *ui, Rect room, double y, const char *head, const char *text);

/* What a card says, drawn in `room`; returns the y after it. */
typedef double (*CardText)(Ui *ui, Rect room, const void *what);

/* A card as high as its text: drawn once to measure, taken back, and drawn in its place. A text that is
   higher than the screen scrolls. Returns the room of the text. */
Rect ui_cards_text(Ui *ui, Rect screen, double width, const char *title, const char *button, CardText text,
                   const void *what, double scroll_px, Intents *intents);

#endif
