/* Inside the flow sheet: rows, marks and samples are found in files of their own. */
#ifndef SIM_FLOWSHEET_PARTS_H
#define SIM_FLOWSHEET_PARTS_H

#include "sim/flowsheet.h"

/* The rows that this night has. */
void sim_flowsheet_find_rows(FlowSheet *sheet, const Session *session, const Course *course);
/* Orders, looks, messages and the rest of the log. */
void sim_flowsheet_find_marks(FlowSheet *sheet, const Session *session);
/* Every sample whose values are there. */
void sim_flowsheet_find_samples(FlowSheet *sheet, const Session *session);

#endif
