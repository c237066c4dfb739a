/* Times of recorded nights on the wall clock of this place. */
#include "ui/clock_here.h"

#include <stdio.h>
#include <time.h>

void ui_clock_here_write(const char *begun, char *text, size_t size) {
    struct tm utc = {.tm_isdst = 0}, here;
    if (sscanf(begun, "%d-%d-%dT%d:%d", &utc.tm_year, &utc.tm_mon, &utc.tm_mday, &utc.tm_hour, &utc.tm_min) !=
        5) {
        snprintf(text, size, "%.16s", begun);
        return;
    }
    utc.tm_year -= 1900;
    utc.tm_mon -= 1;
    time_t as_local = mktime(&utc);
    struct tm back;
    gmtime_r(&as_local, &back);
    back.tm_isdst = 0;
    time_t when = as_local + (as_local - mktime(&back));
    if (localtime_r(&when, &here) == NULL || strftime(text, size, "%m-%d %H:%M", &here) == 0)
        snprintf(text, size, "%.16s", begun);
}
