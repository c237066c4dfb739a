/* Where case files lie, and which there are. */
#include "sim/casefolder.h"

#include "sim/suggest.h"

#include <dirent.h>
#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char ENDING[] = ".yaml";

static int compare_names(const void *a, const void *b) {
    return strcmp(a, b);
}

static size_t stem_length(const char *name) {
    size_t length = strlen(name), ending = sizeof ENDING - 1;
    return length > ending && strcmp(name + length - ending, ENDING) == 0 ? length - ending : 0;
}

/* Lists the case files of `path`; false when it is no folder or holds none. */
static bool read_folder(const char *path, CaseFolder *folder) {
    DIR *dir = opendir(path);
    if (dir == NULL) return false;
    folder->count = 0;
    for (struct dirent *entry = readdir(dir); entry != NULL; entry = readdir(dir)) {
        if (stem_length(entry->d_name) == 0 || entry->d_name[0] == '.' ||
            strlen(entry->d_name) >= CASEFOLDER_NAME_MAX || folder->count == CASEFOLDER_FILES_MAX)
            continue;
        strcpy(folder->names[folder->count++], entry->d_name);
    }
    closedir(dir);
    qsort(folder->names, (size_t)folder->count, sizeof folder->names[0], compare_names);
    snprintf(folder->path, sizeof folder->path, "%s", path);
    return folder->count > 0;
}

/* Folder of the running program, without the last slash; false where the system does not tell. */
static bool program_folder(char *path, size_t size) {
    ssize_t length = readlink("/proc/self/exe", path, size - 1);
    if (length <= 0) return false;
    path[length] = '\0';
    char *slash = strrchr(path, '/');
    if (slash == NULL) return false;
    *slash = '\0';
    return true;
}

ErrorCode sim_casefolder_find(CaseFolder *folder, Error *error) {
    /* installed; in a build folder one or two below the sources */
    static const char *const BESIDE[] = {"../share/evenkeel/scenarios", "../scenarios", "../../scenarios"};
    const char *chosen = getenv("EVENKEEL_SCENARIOS");
    if (chosen != NULL && chosen[0] != '\0') {
        if (read_folder(chosen, folder)) return ERROR_OK;
        ErrorCode code = model_error_set(error, ERROR_FILE_READ, "no case file in this folder");
        model_error_at(error, chosen, 0, 0);
        model_error_allow(error, "EVENKEEL_SCENARIOS names a folder with .yaml files");
        return code;
    }
    if (read_folder("scenarios", folder)) return ERROR_OK;
    char program[CASEFOLDER_PATH_MAX / 2], path[CASEFOLDER_PATH_MAX];
    if (program_folder(program, sizeof program)) {
        for (size_t i = 0; i < sizeof BESIDE / sizeof BESIDE[0]; i++) {
            snprintf(path, sizeof path, "%s/%s", program, BESIDE[i]);
            if (read_folder(path, folder)) return ERROR_OK;
        }
    }
    if (read_folder(EVENKEEL_DATA_DIR "/scenarios", folder)) return ERROR_OK;
    ErrorCode code = model_error_set(error, ERROR_FILE_READ, "no folder with case files");
    model_error_at(error, "scenarios", 0, 0);
    model_error_allow(error, "start in the source folder, install, or set EVENKEEL_SCENARIOS");
    return code;
}

/* Looks `typed` up among the folder's names, with or without the ending. */
static int find_name(const CaseFolder *folder, const char *typed) {
    for (int i = 0; i < folder->count; i++) {
        size_t stem = stem_length(folder->names[i]);
        if (strcmp(folder->names[i], typed) == 0 ||
            (strlen(typed) == stem && strncmp(folder->names[i], typed, stem) == 0))
            return i;
    }
    return -1;
}

static ErrorCode refuse_missing(const CaseFolder *folder, const char *typed, int reason, Error *error) {
    const char *names[CASEFOLDER_FILES_MAX];
    char stems[CASEFOLDER_FILES_MAX][CASEFOLDER_NAME_MAX];
    const char *base = strrchr(typed, '/') != NULL ? strrchr(typed, '/') + 1 : typed;
    char base_stem[CASEFOLDER_NAME_MAX];
    size_t stem = stem_length(base);
    snprintf(base_stem, sizeof base_stem, "%.*s", (int)(stem > 0 && stem < 95 ? stem : 95), base);
    for (int i = 0; i < folder->count; i++) {
        snprintf(stems[i], sizeof stems[i], "%.*s", (int)stem_length(folder->names[i]), folder->names[i]);
        names[i] = stems[i];
    }
    ErrorCode code = model_error_set(error, ERROR_FILE_READ, "cannot read case file: %s", strerror(reason));
    model_error_at(error, typed, 0, 0);
    sim_suggest_allow(error, base_stem, names, (size_t)folder->count, "",
                      "a case file (.yaml), or a name from: evenkeel list cases");
    return code;
}

ErrorCode sim_casefolder_resolve(const char *typed, char *path, size_t size, Error *error) {
    int length = snprintf(path, size, "%s", typed);
    int reason = ENAMETOOLONG;
    if (length >= 0 && (size_t)length < size) {
        if (access(path, R_OK) == 0) return ERROR_OK;
        reason = errno;
    }
    CaseFolder *folder = calloc(1, sizeof *folder);
    if (folder == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the list of cases");
    ErrorCode code = ERROR_OK;
    if (sim_casefolder_find(folder, NULL) != ERROR_OK) folder->count = 0;
    int index = strchr(typed, '/') == NULL ? find_name(folder, typed) : -1;
    if (index >= 0) {
        length = snprintf(path, size, "%s/%s", folder->path, folder->names[index]);
        if (length < 0 || (size_t)length >= size) index = -1;
    }
    if (index < 0) code = refuse_missing(folder, typed, reason, error);
    free(folder);
    return code;
}
