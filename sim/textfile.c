/* Reading a whole text file. */
#include "sim/textfile.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static ErrorCode refuse(const char *path, const char *why, Error *error) {
    model_error_set(error, ERROR_FILE_READ, "cannot read the file: %s", why);
    model_error_at(error, path, 0, 0);
    return ERROR_FILE_READ;
}

/* Reads all of an open file of at most `longest` bytes. */
static ErrorCode read_all(FILE *file, const char *path, size_t longest, char **text, size_t *length,
                          Error *error) {
    char *bytes = malloc(longest + 2);
    if (bytes == NULL) return model_error_set(error, ERROR_MEMORY, "no memory to read %.150s", path);
    size_t got = fread(bytes, 1, longest + 1, file);
    ErrorCode code = ERROR_OK;
    if (ferror(file)) {
        code = refuse(path, strerror(errno), error);
    } else if (got > longest) {
        code = refuse(path, "too long", error);
        model_error_allow(error, "at most %zu bytes", longest);
    } else if (memchr(bytes, '\0', got) != NULL) {
        code = model_error_set(error, ERROR_FORMAT, "this is not a text file: it has zero bytes");
        model_error_at(error, path, 0, 0);
    }
    if (code != ERROR_OK) {
        free(bytes);
        return code;
    }
    bytes[got] = '\0';
    *text = bytes;
    *length = got;
    return ERROR_OK;
}

ErrorCode sim_textfile_read(const char *path, size_t longest, char **text, size_t *length, Error *error) {
    *text = NULL;
    *length = 0;
    FILE *file = fopen(path, "rb");
    if (file == NULL) return refuse(path, strerror(errno), error);
    struct stat about;
    ErrorCode code;
    if (fstat(fileno(file), &about) != 0) {
        code = refuse(path, strerror(errno), error);
    } else if (S_ISDIR(about.st_mode)) {
        code = refuse(path, "it is a folder", error);
    } else {
        code = read_all(file, path, longest, text, length, error);
    }
    fclose(file);
    return code;
}
