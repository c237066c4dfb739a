/* What a row of the order desk shows. */
#ifndef UI_DESK_ROWS_H
#define UI_DESK_ROWS_H

#include "ui/desk.h"

/* Whether the device that an order sets is there: a right pump's speed needs a right pump. */
bool ui_desk_present(const Session *session, OrderId id);

/* Whether what is given at once of this drug is the load of its drip, so that both go in one order. */
bool ui_desk_dose_is_load(OrderId id);

/* What a row's value is multiplied by to be shown: 1, or mL/h for each unit of a drip. */
double ui_desk_shown_scale(const Desk *desk, const Session *session, const DeskRow *row);

/* The paced rate to start from: the one set, else the table's standard. */
double ui_desk_pace_rate(const Session *session, OrderId id);

/* Fills *view for a row; `pending` and `value` are its pending change. */
void ui_desk_row(const Desk *desk, const Session *session, const DeskRow *row, bool pending, double value,
                 DeckRow *view);

#endif
