/* Times of recorded nights on the wall clock of this place. */
#ifndef UI_CLOCK_HERE_H
#define UI_CLOCK_HERE_H

#include <stddef.h>

/* "11-25 14:40" here, of an ISO 8601 time in UTC; its beginning as it is where it cannot be read. */
void ui_clock_here_write(const char *begun, char *text, size_t size);

#endif
