/* Error codes and the error object every layer reports with: what, where, what is allowed. */
#ifndef MODEL_ERROR_H
#define MODEL_ERROR_H

#include <stdbool.h>
#include <stddef.h>

/* One row per kind of failure: enum suffix, process exit code, short text. */
#define ERROR_CODES(X)                                                                             \
    X(OK, 0, "ok")                                                                                 \
    X(RANGE, 1, "value out of range")                                                              \
    X(UNKNOWN_NAME, 1, "unknown name")                                                             \
    X(SYNTAX, 1, "cannot be read")                                                                 \
    X(COMBINATION, 1, "values that cannot go together")                                            \
    X(FILE_READ, 1, "cannot read file")                                                            \
    X(FILE_WRITE, 1, "cannot write file")                                                          \
    X(FORMAT, 1, "not in the expected format")                                                     \
    X(NOT_ALLOWED, 1, "not allowed now")                                                           \
    X(DISPLAY, 1, "no display")                                                                    \
    X(FONT, 1, "no font")                                                                          \
    X(USAGE, 2, "wrong use of the command")                                                        \
    X(MEMORY, 3, "out of memory")                                                                  \
    X(SOLVER, 3, "the integrator failed")                                                          \
    X(NOT_FINITE, 3, "a state is not a finite number")                                             \
    X(NEGATIVE_VOLUME, 3, "a volume became negative")                                              \
    X(INTERNAL, 3, "internal failure")

typedef enum ErrorCode {
#define X(name, exit_code, text) ERROR_##name,
    ERROR_CODES(X)
#undef X
        ERROR_CODE_COUNT
} ErrorCode;

enum { ERROR_WHAT_MAX = 240, ERROR_WHERE_MAX = 240, ERROR_ALLOWED_MAX = 240 };

/* What went wrong, where, and what would have been allowed. Plain data, copied by assignment. */
typedef struct Error {
    ErrorCode code;
    int line;                      /* 1-based line in `where`, 0 if none */
    int column;                    /* 1-based column, 0 if none */
    char what[ERROR_WHAT_MAX];     /* one sentence without a full stop */
    char where[ERROR_WHERE_MAX];   /* file, option, or key; empty if none */
    char allowed[ERROR_ALLOWED_MAX]; /* range, list, or nearest name; empty if none */
} Error;

#if defined(__GNUC__)
#define MODEL_CHECKED __attribute__((warn_unused_result))
#define MODEL_PRINTF(fmt, first) __attribute__((format(printf, fmt, first)))
#else
#define MODEL_CHECKED
#define MODEL_PRINTF(fmt, first)
#endif

/* Resets `error` (may be NULL) to ERROR_OK with empty texts. */
void model_error_clear(Error *error);

/* Fills `error` (may be NULL) with `code` and a printf text for `what`; keeps nothing of what it held.
   Returns `code`, so that a caller can write `return model_error_set(...)`. */
ErrorCode model_error_set(Error *error, ErrorCode code, const char *what, ...) MODEL_PRINTF(3, 4);

/* Adds the place (file, option or key) and the 1-based line and column (0: none). */
void model_error_at(Error *error, const char *where, int line, int column);

/* Adds what is allowed: a range, a list of names, or the nearest name. */
void model_error_allow(Error *error, const char *allowed, ...) MODEL_PRINTF(2, 3);

/* Writes "where:line:column: what; allowed" on one line into `text`[size]; always terminated. */
void model_error_format(const Error *error, char *text, size_t size);

/* Short constant text of a code. */
const char *model_error_text(ErrorCode code);

/* Exit status of the process for a code: 0 ok, 1 bad input, 2 usage, 3 internal failure. */
int model_error_exit_status(ErrorCode code);

#endif
