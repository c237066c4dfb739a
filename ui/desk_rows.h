/* What a row of the order desk shows. */
#ifndef UI_DESK_ROWS_H
#define UI_DESK_ROWS_H

#include "ui/desk.h"

#define UI_DESK_LOAD_S 600.0 /* a load runs over 10 min (milrinone's label: 50 mcg/kg over 10 min) */

/* Whether the device that an order sets is there: a right pump's speed needs a right pump. */
bool ui_desk_present(const Session *session, OrderId id);

/* The paced rate to start from: the one set, else the table's standard. */
double ui_desk_pace_rate(const Session *session, OrderId id);

/* Fills *view for a row; `pending` and `value` are its pending change. */
void ui_desk_row(const Desk *desk, const Session *session, const DeskRow *row, bool pending, double value,
                 DeckRow *view);

#endif
