/* Reading and writing durations. */
#include "sim/duration.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MS_PER_S 1000.0

enum { NUMBER_MAX = 24 };

typedef struct DurationUnit {
    const char *name;
    int64_t ms;
} DurationUnit;

/* Largest first: they must be written in this order. */
static const DurationUnit units[] = {{"h", 3600000}, {"min", 60000}, {"s", 1000}};

enum { UNIT_COUNT = sizeof units / sizeof units[0] };

static ErrorCode refuse(const char *text, Error *error) {
    model_error_set(error, ERROR_SYNTAX, "\"%.60s\" is not a duration", text);
    model_error_allow(error, "like 90s, 20min, 6h or 1h30min");
    return ERROR_SYNTAX;
}

/* Reads digits with an optional decimal part at *cursor and moves it on; false if there are none. */
static bool take_number(const char **cursor, double *value) {
    char digits[NUMBER_MAX];
    size_t length = 0;
    bool point = false, any = false;
    for (const char *c = *cursor; isdigit((unsigned char)*c) || (*c == '.' && !point); c++) {
        if (length + 1 >= sizeof digits) return false;
        if (*c == '.') point = true;
        if (isdigit((unsigned char)*c)) any = true;
        digits[length++] = *c;
    }
    if (!any) return false;
    digits[length] = '\0';
    *value = strtod(digits, NULL);
    *cursor += length;
    return true;
}

/* Finds which unit's name stands at *cursor, from `first` on, and moves on; UNIT_COUNT if none. */
static int take_unit(const char **cursor, int first) {
    size_t letters = 0;
    while (isalpha((unsigned char)(*cursor)[letters])) {
        letters++;
    }
    for (int i = first; i < UNIT_COUNT; i++) {
        if (strlen(units[i].name) == letters && strncmp(*cursor, units[i].name, letters) == 0) {
            *cursor += letters;
            return i;
        }
    }
    return UNIT_COUNT;
}

ErrorCode sim_duration_parse(const char *text, double *duration_s, Error *error) {
    double total_s = 0;
    int next = 0;
    const char *cursor = text;
    if (*cursor == '\0') return refuse(text, error);
    while (*cursor != '\0') {
        double number = 0;
        if (!take_number(&cursor, &number)) return refuse(text, error);
        int unit = take_unit(&cursor, next);
        if (unit == UNIT_COUNT) return refuse(text, error);
        total_s += number * ((double)units[unit].ms / MS_PER_S);
        next = unit + 1;
    }
    if (total_s > DURATION_LONGEST_S) {
        model_error_set(error, ERROR_RANGE, "\"%.60s\" is too long a duration", text);
        model_error_allow(error, "at most 168h");
        return ERROR_RANGE;
    }
    *duration_s = total_s;
    return ERROR_OK;
}

void sim_duration_format_clock(double time_s, char *text, size_t size) {
    long long seconds = (long long)floor(fabs(time_s));
    snprintf(text, size, "%s%02lld:%02lld:%02lld", time_s < 0 ? "-" : "", seconds / 3600, seconds / 60 % 60,
             seconds % 60);
}

void sim_duration_format(double duration_s, char *text, size_t size) {
    int64_t rest = llround(duration_s * MS_PER_S);
    size_t used = 0;
    if (size > 0) text[0] = '\0';
    for (int i = 0; i < UNIT_COUNT && used < size; i++) {
        bool last = i + 1 == UNIT_COUNT;
        int64_t whole = rest / units[i].ms;
        rest -= whole * units[i].ms;
        if (last && rest != 0) {
            int decimals = 3;
            for (; rest % 10 == 0; rest /= 10)
                decimals--;
            used += (size_t)snprintf(text + used, size - used, "%lld.%0*llds", (long long)whole, decimals,
                                     (long long)rest);
        } else if (whole != 0 || (last && used == 0)) {
            used += (size_t)snprintf(text + used, size - used, "%lld%s", (long long)whole, units[i].name);
        }
    }
}
