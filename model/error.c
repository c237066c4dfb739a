/* Error object: code, text, place, what is allowed. */
#include "model/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const struct {
    int exit_status;
    const char *text;
} ROWS[ERROR_CODE_COUNT] = {
#define X(name, exit_code, text) {exit_code, text},
    ERROR_CODES(X)
#undef X
};

void model_error_clear(Error *error) {
    if (error) memset(error, 0, sizeof *error);
}

ErrorCode model_error_set(Error *error, ErrorCode code, const char *what, ...) {
    if (error) {
        model_error_clear(error);
        error->code = code;
        va_list arguments;
        va_start(arguments, what);
        vsnprintf(error->what, sizeof error->what, what, arguments);
        va_end(arguments);
    }
    return code;
}

void model_error_at(Error *error, const char *where, int line, int column) {
    if (!error) return;
    snprintf(error->where, sizeof error->where, "%s", where ? where : "");
    error->line = line;
    error->column = column;
}

void model_error_allow(Error *error, const char *allowed, ...) {
    if (!error) return;
    va_list arguments;
    va_start(arguments, allowed);
    vsnprintf(error->allowed, sizeof error->allowed, allowed, arguments);
    va_end(arguments);
}

void model_error_format(const Error *error, char *text, size_t size) {
    if (size == 0) return;
    char place[ERROR_WHERE_MAX + 32] = "";
    if (error->where[0] && error->line > 0)
        snprintf(place, sizeof place, "%s:%d:%d: ", error->where, error->line, error->column);
    else if (error->where[0])
        snprintf(place, sizeof place, "%s: ", error->where);
    snprintf(text, size, "%s%s%s%s", place, error->what[0] ? error->what : model_error_text(error->code),
             error->allowed[0] ? "; " : "", error->allowed);
}

const char *model_error_text(ErrorCode code) {
    return (int)code >= 0 && code < ERROR_CODE_COUNT ? ROWS[code].text : "unknown error";
}

int model_error_exit_status(ErrorCode code) {
    return (int)code >= 0 && code < ERROR_CODE_COUNT ? ROWS[code].exit_status
                                                     : ROWS[ERROR_INTERNAL].exit_status;
}
