/* Durations as people write them (90s, 20min, 6h, 1h30min) and as screens show them (hh:mm:ss). */
#ifndef SIM_DURATION_H
#define SIM_DURATION_H

#include "model/error.h"

#include <stddef.h>

#define DURATION_LONGEST_S (7.0 * 24.0 * 3600.0) /* longest duration that is accepted: a week */

enum { DURATION_TEXT_MAX = 24 };

/* Reads `text` into seconds: one or more of <number>h, <number>min, <number>s in this order, without spaces,
   each at most once; a number may have decimals. 0 <= result <= DURATION_LONGEST_S. On ERROR_SYNTAX or
   ERROR_RANGE *duration_s is unchanged and `error` (may be NULL) says what is allowed. */
MODEL_CHECKED ErrorCode sim_duration_parse(const char *text, double *duration_s, Error *error);

/* Writes `time_s` as hh:mm:ss, rounded down to whole seconds ("-" in front when negative); always terminated.
 */
void sim_duration_format_clock(double time_s, char *text, size_t size);

/* Writes `duration_s` as sim_duration_parse reads it, to whole milliseconds: "1h30min", "90s" becomes
 * "1min30s". */
void sim_duration_format(double duration_s, char *text, size_t size);

#endif
