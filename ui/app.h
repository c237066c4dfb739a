/* The program with a window: from the caution and the list of cases to the end of a night. */
#ifndef UI_APP_H
#define UI_APP_H

#include "model/error.h"
#include "sim/cli.h"

/* Runs the window until it is closed. A night that is open then stays in its journal and can be resumed.
   Returns ERROR_OK, or ERROR_DISPLAY, ERROR_FONT, ... with `error` filled; prints nothing to stderr. */
ErrorCode ui_app_run(const WindowRequest *request, Error *error);

#endif
