/* The tour of a first start: a minute over the bedside, part by part. Never again by itself; settings and help offer
   it. */
#ifndef UI_TOUR_H
#define UI_TOUR_H

#include "ui/sheet.h"

extern const SheetKind UI_TOUR_SHEET;

#endif
