/* Nights as one tar archive, by the archive library: the only file that knows it. */
#include "sim/bundle.h"

#include "sim/digest.h"
#include "sim/journal_store.h"
#include "sim/output.h"

#include <archive.h>
#include <archive_entry.h>

#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum {
    BLOCK_BYTES = 1 << 16,
    NAMES_TRIED = 100,
    SUM_LINE_MAX = DIGEST_HEX_MAX + ATTEMPT_FILE_MAX + 8,
    SUMS_BYTES_MAX = ATTEMPTS_MAX * SUM_LINE_MAX,
    MEMBERS_MAX = ATTEMPTS_MAX + 1
};

#define NIGHT_BYTES_MAX (1LL << 31) /* no night is longer */

static const char SUMS_NAME[] = "SHA256SUMS";
static const char SUFFIX[] = ".night";

const char *sim_bundle_fate_words(BundleFate fate) {
    static const char *const WORDS[] = {
        [BUNDLE_WRITTEN] = "exported",
        [BUNDLE_ADDED] = "added",
        [BUNDLE_RENAMED] = "added under another name, because another night has this one",
        [BUNDLE_HERE] = "already here",
        [BUNDLE_DAMAGED] = "left out: it is damaged, its sum is not the one in the list",
        [BUNDLE_UNLISTED] = "left out: the list has no sum for it",
        [BUNDLE_NO_NIGHT] = "left out: it is no recorded night",
        [BUNDLE_UNREADABLE] = "left out: it cannot be read",
    };
    return WORDS[fate];
}

static void tell(BundleVisit visit, void *context, const char *name, const char *as, BundleFate fate) {
    BundleItem item = {.fate = fate};
    snprintf(item.name, sizeof item.name, "%.159s", name);
    snprintf(item.as, sizeof item.as, "%.159s", as);
    if (visit != NULL) visit(context, &item);
}

static ErrorCode refuse(ErrorCode code, const char *path, const char *what, const char *why, Error *error) {
    model_error_set(error, code, "%s: %s", what, why != NULL ? why : "unknown reason");
    model_error_at(error, path, 0, 0);
    return code;
}

/* ---- export ---- */

/* A night's file that can be read as it stands, or a whole copy of one that is in use or was left by a crash.
 */
typedef struct Source {
    char path[JOURNAL_PATH_MAX + ATTEMPT_FILE_MAX];
    char copy[OUTPUT_PATH_MAX + 32]; /* empty: none was made */
    char hex[DIGEST_HEX_MAX];
    bool whole;
} Source;

static void prepare_source(const Logbook *book, int night, const char *target, Source *source) {
    char beside[sizeof source->path + 8];
    Error unread;
    *source = (Source){.whole = true};
    sim_logbook_path(book, night, source->path, sizeof source->path);
    snprintf(beside, sizeof beside, "%s-wal", source->path);
    if (access(beside, F_OK) == 0) {
        snprintf(source->copy, sizeof source->copy, "%.1000s.%d.part", target, night);
        unlink(source->copy);
        source->whole = sim_journal_store_copy(source->path, source->copy, &unread) == ERROR_OK;
        if (source->whole)
            snprintf(source->path, sizeof source->path, "%s", source->copy);
        else
            source->copy[0] = '\0';
    }
    source->whole = source->whole && sim_digest_file(source->path, source->hex, &unread) == ERROR_OK;
}

/* Writes one member from a file or, with `file` NULL, from `bytes`. */
static ErrorCode write_member(struct archive *tar, const char *name, FILE *file, const char *bytes,
                              size_t size, time_t when, const char *target, Error *error) {
    struct archive_entry *entry = archive_entry_new();
    if (entry == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the archive");
    archive_entry_set_pathname(entry, name);
    archive_entry_set_size(entry, (int64_t)size);
    archive_entry_set_filetype(entry, AE_IFREG);
    archive_entry_set_perm(entry, 0644);
    archive_entry_set_mtime(entry, when, 0);
    bool whole = archive_write_header(tar, entry) == ARCHIVE_OK;
    archive_entry_free(entry);
    if (whole && file == NULL) whole = archive_write_data(tar, bytes, size) == (la_ssize_t)size;
    char block[BLOCK_BYTES];
    size_t left = size;
    while (whole && file != NULL && left > 0) {
        size_t got = fread(block, 1, left < sizeof block ? left : sizeof block, file);
        whole = got > 0 && archive_write_data(tar, block, got) == (la_ssize_t)got;
        left -= got;
    }
    if (whole) return ERROR_OK;
    return refuse(ERROR_FILE_WRITE, target, "cannot write the archive", archive_error_string(tar), error);
}

static ErrorCode write_night(struct archive *tar, const char *name, const Source *source, const char *target,
                             Error *error) {
    FILE *file = fopen(source->path, "rb");
    struct stat status;
    ErrorCode code = ERROR_OK;
    if (file == NULL || fstat(fileno(file), &status) != 0)
        code = refuse(ERROR_FILE_READ, source->path, "cannot read the night", strerror(errno), error);
    else
        code = write_member(tar, name, file, NULL, (size_t)status.st_size, status.st_mtime, target, error);
    if (file != NULL) fclose(file);
    return code;
}

static ErrorCode write_sums(struct archive *tar, const Logbook *book, const Source *source,
                            const char *target, Error *error) {
    char *sums = calloc((size_t)book->night_count + 1, SUM_LINE_MAX);
    size_t used = 0;
    if (sums == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the archive");
    for (int i = 0; i < book->night_count; i++) {
        if (source[i].whole)
            used += (size_t)sprintf(sums + used, "%s  %s\n", source[i].hex, book->night[i].attempt.file);
    }
    ErrorCode code = write_member(tar, SUMS_NAME, NULL, sums, used, 0, target, error);
    free(sums);
    return code;
}

static ErrorCode write_archive(const Logbook *book, const Source *source, Output *output, BundleVisit visit,
                               void *context, Error *error) {
    struct archive *tar = archive_write_new();
    if (tar == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the archive");
    ErrorCode code = ERROR_OK;
    if (archive_write_set_format_pax_restricted(tar) != ARCHIVE_OK ||
        archive_write_open_FILE(tar, output->file) != ARCHIVE_OK)
        code = refuse(ERROR_FILE_WRITE, output->path, "cannot write the archive", archive_error_string(tar),
                      error);
    if (code == ERROR_OK) code = write_sums(tar, book, source, output->path, error);
    for (int i = 0; i < book->night_count && code == ERROR_OK; i++) {
        const char *name = book->night[i].attempt.file;
        if (source[i].whole) code = write_night(tar, name, &source[i], output->path, error);
        tell(visit, context, name, "", source[i].whole ? BUNDLE_WRITTEN : BUNDLE_UNREADABLE);
    }
    if (archive_write_close(tar) != ARCHIVE_OK && code == ERROR_OK)
        code = refuse(ERROR_FILE_WRITE, output->path, "cannot write the archive", archive_error_string(tar),
                      error);
    archive_write_free(tar);
    return code;
}

ErrorCode sim_bundle_export(const Logbook *book, const char *path, BundleVisit visit, void *context,
                            Error *error) {
    Output output = {.file = NULL};
    if (book->night_count == 0) {
        ErrorCode code = model_error_set(error, ERROR_NOT_ALLOWED, "there are no nights to export");
        model_error_at(error, path, 0, 0);
        return code;
    }
    Source *source = calloc((size_t)book->night_count, sizeof *source);
    if (source == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the archive");
    ErrorCode code = sim_output_open(&output, path, error);
    for (int i = 0; i < book->night_count && code == ERROR_OK; i++)
        prepare_source(book, i, path, &source[i]);
    if (code == ERROR_OK) code = write_archive(book, source, &output, visit, context, error);
    if (code == ERROR_OK)
        code = sim_output_close(&output, error);
    else
        sim_output_drop(&output);
    for (int i = 0; i < book->night_count; i++) {
        if (source[i].copy[0] != '\0') unlink(source[i].copy);
    }
    free(source);
    return code;
}

/* ---- import ---- */

typedef struct Import {
    struct archive *tar;
    const char *path;
    char folder[JOURNAL_PATH_MAX];
    char aside[JOURNAL_PATH_MAX + 48]; /* a night until it is known to be one */
    char *sums;                        /* text of the list; NULL: not seen yet */
    Attempts *here;                    /* nights in the folder */
    BundleVisit visit;
    void *context;
} Import;

/* A name that this program gives to a night and that stays in its folder. */
static bool is_name(const char *name) {
    size_t length = strlen(name), suffix = strlen(SUFFIX);
    if (length <= suffix || length >= ATTEMPT_FILE_MAX - 8 || name[0] == '.') return false;
    for (const char *c = name; *c != '\0'; c++) {
        if (!isalnum((unsigned char)*c) && strchr("-_.", *c) == NULL) return false;
    }
    return strcmp(name + length - suffix, SUFFIX) == 0;
}

/* The sum of `name` in the list; false: none. */
static bool find_sum(const char *sums, const char *name, char hex[DIGEST_HEX_MAX]) {
    for (const char *line = sums; line != NULL && *line != '\0';) {
        size_t length = strcspn(line, "\n");
        size_t digits = strspn(line, "0123456789abcdef");
        if (digits == DIGEST_HEX_MAX - 1 && length == digits + 2 + strlen(name) && line[digits] == ' ' &&
            strncmp(line + digits + 2, name, strlen(name)) == 0) {
            snprintf(hex, DIGEST_HEX_MAX, "%.64s", line);
            return true;
        }
        line += length + (line[length] == '\n');
    }
    return false;
}

static ErrorCode read_sums(Import *import, int64_t size, Error *error) {
    if (import->sums != NULL || size < 0 || size > SUMS_BYTES_MAX)
        return refuse(ERROR_FORMAT, import->path, "this is no export of nights", "its list of sums is wrong",
                      error);
    import->sums = calloc((size_t)size + 1, 1);
    if (import->sums == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the archive");
    if (archive_read_data(import->tar, import->sums, (size_t)size) == (la_ssize_t)size) return ERROR_OK;
    return refuse(ERROR_FORMAT, import->path, "the export is cut off", archive_error_string(import->tar),
                  error);
}

/* Copies the present member to the file aside and takes its sum. */
static ErrorCode copy_aside(Import *import, char hex[DIGEST_HEX_MAX], Error *error) {
    char block[BLOCK_BYTES];
    Digest digest;
    la_ssize_t got = 0;
    int64_t total = 0;
    int file = open(import->aside, O_WRONLY | O_CREAT | O_TRUNC, 0644);
    bool written = file != -1;
    sim_digest_begin(&digest);
    while (written && (got = archive_read_data(import->tar, block, sizeof block)) > 0) {
        sim_digest_add(&digest, block, (size_t)got);
        total += got;
        written = total <= NIGHT_BYTES_MAX && write(file, block, (size_t)got) == (ssize_t)got;
    }
    if (file != -1) written = fsync(file) == 0 && close(file) == 0 && written;
    if (!written)
        return refuse(ERROR_FILE_WRITE, import->aside, "cannot write the night", strerror(errno), error);
    if (got < 0)
        return refuse(ERROR_FORMAT, import->path, "the export is cut off", archive_error_string(import->tar),
                      error);
    sim_digest_end(&digest, hex);
    return ERROR_OK;
}

/* True if the folder has this night already, as far or further. */
static bool is_here(const Import *import, const JournalStoreBrief *brief) {
    for (int i = 0; i < import->here->count; i++) {
        const Attempt *a = &import->here->item[i];
        if (strcmp(a->begun, brief->begun) == 0 && strcmp(a->case_id, brief->case_id) == 0 &&
            strcmp(a->build, brief->build) == 0 && strcmp(a->trainee, brief->trainee) == 0 &&
            a->case_hash == brief->case_hash && a->seed == brief->seed && a->reached_s >= brief->reached_s &&
            (a->complete || !brief->ended))
            return true;
    }
    return false;
}

/* Counts a night that was just added as one of the folder. */
static void remember(Import *import, const JournalStoreBrief *brief) {
    if (import->here->count == ATTEMPTS_MAX) return;
    Attempt *a = &import->here->item[import->here->count++];
    *a = (Attempt){.case_hash = brief->case_hash,
                   .seed = brief->seed,
                   .reached_s = brief->reached_s,
                   .complete = brief->ended};
    snprintf(a->begun, sizeof a->begun, "%s", brief->begun);
    snprintf(a->case_id, sizeof a->case_id, "%s", brief->case_id);
    snprintf(a->build, sizeof a->build, "%s", brief->build);
    snprintf(a->trainee, sizeof a->trainee, "%s", brief->trainee);
}

/* Gives the file aside a name in the folder that no file has. */
static ErrorCode settle(Import *import, const char *name, Error *error) {
    char path[JOURNAL_PATH_MAX + ATTEMPT_FILE_MAX], as[ATTEMPT_FILE_MAX];
    int stem = (int)(strlen(name) - strlen(SUFFIX));
    for (int i = 1; i <= NAMES_TRIED; i++) {
        if (i == 1)
            snprintf(as, sizeof as, "%s", name);
        else
            snprintf(as, sizeof as, "%.*s-%d%s", stem, name, i, SUFFIX);
        snprintf(path, sizeof path, "%s/%s", import->folder, as);
        bool placed = link(import->aside, path) == 0;
        /* a file system without links: not as safe against another program that does the same now */
        if (!placed && errno != EEXIST) placed = access(path, F_OK) != 0 && rename(import->aside, path) == 0;
        if (placed) {
            unlink(import->aside);
            tell(import->visit, import->context, name, as, i == 1 ? BUNDLE_ADDED : BUNDLE_RENAMED);
            return ERROR_OK;
        }
        if (access(path, F_OK) != 0) break;
    }
    return refuse(ERROR_FILE_WRITE, path, "cannot write the night", strerror(errno), error);
}

static ErrorCode take_night(Import *import, const char *name, Error *error) {
    char listed[DIGEST_HEX_MAX], found[DIGEST_HEX_MAX];
    JournalStoreBrief brief;
    Error unread;
    if (!find_sum(import->sums, name, listed)) {
        tell(import->visit, import->context, name, "", BUNDLE_UNLISTED);
        return ERROR_OK;
    }
    ErrorCode code = copy_aside(import, found, error);
    BundleFate fate = BUNDLE_ADDED;
    if (code == ERROR_OK && strcmp(listed, found) != 0)
        fate = BUNDLE_DAMAGED;
    else if (code == ERROR_OK &&
             sim_journal_store_brief(import->aside, LOG_END, LOG_CALL, &brief, &unread) != ERROR_OK)
        fate = BUNDLE_NO_NIGHT;
    else if (code == ERROR_OK && is_here(import, &brief))
        fate = BUNDLE_HERE;
    if (code == ERROR_OK && fate == BUNDLE_ADDED) {
        code = settle(import, name, error);
        if (code == ERROR_OK) remember(import, &brief);
    } else if (code == ERROR_OK)
        tell(import->visit, import->context, name, "", fate);
    unlink(import->aside);
    return code;
}

static ErrorCode take_members(Import *import, Error *error) {
    struct archive_entry *entry = NULL;
    ErrorCode code = ERROR_OK;
    int result = ARCHIVE_OK, members = 0;
    while (code == ERROR_OK && (result = archive_read_next_header(import->tar, &entry)) == ARCHIVE_OK) {
        const char *name = archive_entry_pathname(entry);
        if (name == NULL) name = "";
        if (++members > MEMBERS_MAX) break;
        if (archive_entry_filetype(entry) == AE_IFREG && strcmp(name, SUMS_NAME) == 0)
            code = read_sums(import, archive_entry_size(entry), error);
        else if (archive_entry_filetype(entry) != AE_IFREG || !is_name(name))
            tell(import->visit, import->context, name, "", BUNDLE_NO_NIGHT);
        else
            code = take_night(import, name, error);
    }
    if (code == ERROR_OK && result != ARCHIVE_EOF && result != ARCHIVE_OK)
        code = refuse(ERROR_FORMAT, import->path,
                      members == 0 ? "this is no export of nights" : "the export is cut off or damaged",
                      archive_error_string(import->tar), error);
    if (code == ERROR_OK && import->sums == NULL)
        code = refuse(ERROR_FORMAT, import->path, "this is no export of nights", "it has no list of sums",
                      error);
    return code;
}

static ErrorCode open_import(Import *import, const char *folder, Error *error) {
    struct stat status;
    import->tar = archive_read_new();
    import->here = malloc(sizeof *import->here);
    if (import->tar == NULL || import->here == NULL)
        return model_error_set(error, ERROR_MEMORY, "no memory for the archive");
    if (stat(import->path, &status) != 0 || S_ISDIR(status.st_mode) || access(import->path, R_OK) != 0)
        return refuse(ERROR_FILE_READ, import->path, "cannot read the export",
                      errno != 0 ? strerror(errno) : "it is a folder", error);
    archive_read_support_format_tar(import->tar);
    if (archive_read_open_filename(import->tar, import->path, BLOCK_BYTES) != ARCHIVE_OK)
        return refuse(ERROR_FORMAT, import->path, "this is no export of nights",
                      archive_error_string(import->tar), error);
    if (folder == NULL) {
        ErrorCode code = sim_journal_folder(import->folder, sizeof import->folder, error);
        if (code != ERROR_OK) return code;
    } else {
        snprintf(import->folder, sizeof import->folder, "%s", folder);
        ErrorCode code = sim_output_make_folder(import->folder, error);
        if (code != ERROR_OK) return code;
    }
    snprintf(import->aside, sizeof import->aside, "%s/import-%ld.part", import->folder, (long)getpid());
    return sim_attempts_read(import->folder, import->here, error);
}

ErrorCode sim_bundle_import(const char *path, const char *folder, BundleVisit visit, void *context,
                            Error *error) {
    Import import = {.path = path, .visit = visit, .context = context};
    errno = 0;
    ErrorCode code = open_import(&import, folder, error);
    if (code == ERROR_OK) code = take_members(&import, error);
    if (import.tar != NULL) archive_read_free(import.tar);
    free(import.sums);
    free(import.here);
    return code;
}
