/* `evenkeel bench`: what the screens cost on this machine. Nothing needs a display. */
#ifndef UI_APP_BENCH_H
#define UI_APP_BENCH_H

#include "model/error.h"

/* Prints the time from the start to the first frame, the time of a frame of each screen at two sizes, steady and
   painted whole, the frames of a night at three time rates, and the memory after `hours` simulated hours. */
ErrorCode ui_app_bench(double hours, Error *error);

#endif
