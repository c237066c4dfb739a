/* The list of what the user wants in one frame. */
#include "ui/intents.h"

void ui_intents_add(Intents *intents, IntentKind kind, int number, double amount, bool large) {
    if (intents->count < INTENTS_MAX) intents->of[intents->count++] = (Intent){kind, number, amount, large};
}
