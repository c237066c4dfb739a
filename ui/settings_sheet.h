/* The sheet of settings: the table of ui/settings.def by keyboard and mouse; every change holds at once. */
#ifndef UI_SETTINGS_SHEET_H
#define UI_SETTINGS_SHEET_H

#include "ui/sheet.h"

extern const SheetKind UI_SETTINGS_SHEET;

#endif
