/* The handover: who lies here, what was done, what is attached and running, aims, what to mind, what may be
   ordered. */
#ifndef UI_HANDOVER_H
#define UI_HANDOVER_H

#include "ui/overlay.h"

/* Draws the card and takes its keys; INTENT_CLOSE: to the bedside. */
void ui_handover_draw(Ui *ui, Rect screen, const OverlayView *overlay, Intents *intents);

#endif
