/* Standard output and standard error. */
#include "sim/console.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { LINE_BYTES_MAX = 1024 };

/* Length of the printable character at `text`; 0 for a control character or a byte that is no UTF-8. */
static size_t printable_length(const unsigned char *text) {
    if (text[0] < 0x80) return text[0] >= 0x20 && text[0] != 0x7f;
    size_t length = text[0] >= 0xc2 && text[0] < 0xe0 ? 2 : (text[0] & 0xf0) == 0xe0 ? 3 : 4;
    if (text[0] < 0xc2 || text[0] > 0xf4) return 0;
    for (size_t i = 1; i < length; i++)
        if ((text[i] & 0xc0) != 0x80) return 0;
    bool control = text[0] == 0xc2 && text[1] < 0xa0;
    return control ? 0 : length;
}

static void say_line(char *line) {
    for (unsigned char *c = (unsigned char *)line; *c != '\0';) {
        size_t length = printable_length(c);
        if (length == 0) *c = *c == '\n' || *c == '\t' ? ' ' : '?';
        c += length > 0 ? length : 1;
    }
    fprintf(stderr, "evenkeel: %s\n", line);
}

/* Opens /dev/null in the place of `stream` when that is closed. */
static void fill(int stream, int flags) {
    if (fcntl(stream, F_GETFD) != -1 || errno != EBADF) return;
    int opened = open("/dev/null", flags);
    if (opened != -1 && opened != stream) close(opened);
}

void sim_console_open(void) {
    fill(STDIN_FILENO, O_RDONLY);
    fill(STDOUT_FILENO, O_RDONLY); /* so that writing there fails and is noticed */
    fill(STDERR_FILENO, O_WRONLY);
}

ErrorCode sim_console_close(Error *error) {
    errno = 0;
    if (fflush(stdout) == 0 && !ferror(stdout)) return ERROR_OK;
    ErrorCode code =
        model_error_set(error, ERROR_FILE_WRITE, "cannot write: %s", strerror(errno != 0 ? errno : EIO));
    model_error_at(error, "standard output", 0, 0);
    return code;
}

void sim_console_say_error(const Error *error) {
    char line[LINE_BYTES_MAX];
    model_error_format(error, line, sizeof line);
    say_line(line);
}

void sim_console_say(const char *format, ...) {
    char line[LINE_BYTES_MAX];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line, sizeof line, format, arguments);
    va_end(arguments);
    say_line(line);
}
