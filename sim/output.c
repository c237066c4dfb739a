/* Files the program makes: written beside their place and renamed when complete. */
#include "sim/output.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { FOLDER_MODE = 0755 };

static ErrorCode refuse(const char *path, const char *doing, int reason, Error *error) {
    ErrorCode code = model_error_set(error, ERROR_FILE_WRITE, "%s: %s", doing, strerror(reason));
    model_error_at(error, path, 0, 0);
    model_error_allow(error, "a file name in a folder that exists and may be written to");
    return code;
}

ErrorCode sim_output_open(Output *output, const char *path, Error *error) {
    memset(output, 0, sizeof *output);
    if (strcmp(path, "-") == 0) {
        output->standard = true;
        output->file = stdout;
        return ERROR_OK;
    }
    struct stat status;
    if (strlen(path) >= sizeof output->path) return refuse(path, "cannot write file", ENAMETOOLONG, error);
    bool exists = stat(path, &status) == 0;
    if (exists && S_ISDIR(status.st_mode)) return refuse(path, "cannot write file", EISDIR, error);
    /* a file that is protected would be replaced all the same by renaming */
    if (exists && access(path, W_OK) != 0) return refuse(path, "cannot write file", errno, error);
    strcpy(output->path, path);
    /* a pipe or a device (/dev/null, /dev/stdout) cannot be replaced by a renamed file */
    bool special = exists && !S_ISREG(status.st_mode);
    if (special)
        strcpy(output->aside, path);
    else
        snprintf(output->aside, sizeof output->aside, "%s.%ld.part", path, (long)getpid() % 1000000);
    output->file = fopen(output->aside, "w");
    if (output->file == NULL) return refuse(path, "cannot write file", errno, error);
    return ERROR_OK;
}

ErrorCode sim_output_close(Output *output, Error *error) {
    if (output->file == NULL) return ERROR_OK;
    FILE *file = output->file;
    output->file = NULL;
    errno = 0;
    if (output->standard) {
        if (fflush(file) != 0 || ferror(file))
            return refuse("standard output", "cannot write", errno != 0 ? errno : EIO, error);
        return ERROR_OK;
    }
    bool special = strcmp(output->aside, output->path) == 0;
    bool written = fflush(file) == 0 && !ferror(file) && (special || fsync(fileno(file)) == 0);
    int reason = errno != 0 ? errno : EIO;
    if (fclose(file) != 0 && written) {
        written = false;
        reason = errno;
    }
    if (written && !special && rename(output->aside, output->path) != 0) {
        written = false;
        reason = errno;
    }
    if (written) return ERROR_OK;
    if (!special) unlink(output->aside);
    return refuse(output->path, "cannot write file", reason, error);
}

void sim_output_drop(Output *output) {
    if (output->file == NULL) return;
    if (!output->standard) {
        fclose(output->file);
        if (strcmp(output->aside, output->path) != 0) unlink(output->aside);
    }
    output->file = NULL;
}

bool sim_output_same(const char *a, const char *b) {
    struct stat status_a, status_b;
    if (a == NULL || b == NULL) return false;
    if (strcmp(a, "-") == 0 || strcmp(b, "-") == 0) return strcmp(a, b) == 0;
    bool exists_a = stat(a, &status_a) == 0, exists_b = stat(b, &status_b) == 0;
    if (exists_a && exists_b)
        return S_ISREG(status_a.st_mode) && status_a.st_dev == status_b.st_dev &&
               status_a.st_ino == status_b.st_ino;
    return !exists_a && !exists_b && strcmp(a, b) == 0;
}

ErrorCode sim_output_make_folder(const char *path, Error *error) {
    char part[OUTPUT_PATH_MAX];
    size_t length = strlen(path);
    if (length == 0 || length >= sizeof part)
        return refuse(path, "cannot make folder", length == 0 ? ENOENT : ENAMETOOLONG, error);
    for (size_t i = 1; i <= length; i++) {
        if (path[i] != '/' && path[i] != '\0') continue;
        memcpy(part, path, i);
        part[i] = '\0';
        if (mkdir(part, FOLDER_MODE) != 0 && errno != EEXIST)
            return refuse(path, "cannot make folder", errno, error);
    }
    struct stat status;
    if (stat(path, &status) != 0 || !S_ISDIR(status.st_mode))
        return refuse(path, "cannot make folder", ENOTDIR, error);
    return ERROR_OK;
}
