/* The card of alarm limits: every limit with what is on show, its allowed range, and whether it is watched. */
#ifndef UI_LIMITS_H
#define UI_LIMITS_H

#include "ui/sheet.h"

extern const SheetKind UI_LIMITS_SHEET;

#endif
