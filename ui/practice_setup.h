/* Free practice, before it begins: which person, which body size, how fast the time runs. */
#ifndef UI_PRACTICE_SETUP_H
#define UI_PRACTICE_SETUP_H

#include "ui/overlay.h"

/* Draws the card and takes its keys: INTENT_PERSON a person, INTENT_RATE a step of the time rate,
   INTENT_PRACTICE 1 begin, INTENT_RESUME go on with the last night,
   INTENT_CLOSE back to the list. */
void ui_practice_setup_draw(Ui *ui, Rect screen, const OverlayView *overlay, Intents *intents);

#endif
