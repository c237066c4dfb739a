/* The list of cases: by level or theme, with what was tried before and how it went; search by typing; going
   on with an unfinished night; the ways to free practice and to the settings. */
#ifndef UI_CASE_LIST_H
#define UI_CASE_LIST_H

#include "ui/overlay.h"

/* Numbers of the entries on show, in the order of the list: those that have every word of the search.
   Returns how many. */
int ui_case_list_shown(const OverlayView *overlay, int index[OVERLAY_CASES_MAX]);

/* Draws the list over `screen` and takes its keys: INTENT_ROW an entry gets the choice, INTENT_CASE a new
   night of it, INTENT_RESUME its unfinished night, INTENT_TYPE a letter of the search, INTENT_SORT,
   INTENT_PRACTICE, INTENT_SHEET the settings. */
void ui_case_list_draw(Ui *ui, Rect screen, const OverlayView *overlay, Intents *intents);

/* A sign for how a night went, `size_px` wide and high about x, y; the word beside it says the same. */
void ui_case_list_sign(Ui *ui, double x, double y, double size_px, const CaseTry *night);

/* "went well", "harm", "left at 1:20". */
void ui_case_list_went(char *text, size_t size, const CaseTry *night);

#endif
