/* Nights as one file, to carry to another machine: a tar archive (POSIX pax) of the nights with their SHA-256
   sums in a member of the usual form, so that any tar and sha256sum can open and check it. */
#ifndef SIM_BUNDLE_H
#define SIM_BUNDLE_H

#include "sim/logbook.h"

typedef enum BundleFate {
    BUNDLE_WRITTEN,   /* export: is in the file */
    BUNDLE_ADDED,     /* import: is now in the folder */
    BUNDLE_RENAMED,   /* import: the same under a name of its own, because another night has that name */
    BUNDLE_HERE,      /* import: was in the folder already; nothing was done */
    BUNDLE_DAMAGED,   /* import: its sum is not the one in the list; left out */
    BUNDLE_UNLISTED,  /* import: has no sum in the list; left out */
    BUNDLE_NO_NIGHT,  /* import: is no recorded night, or its name is none; left out */
    BUNDLE_UNREADABLE /* export: could not be read; left out */
} BundleFate;

typedef struct BundleItem {
    char name[ATTEMPT_FILE_MAX]; /* in the file, cut to fit */
    char as[ATTEMPT_FILE_MAX];   /* in the folder; empty: not there */
    BundleFate fate;
} BundleItem;

/* Called for each member, in order. */
typedef void (*BundleVisit)(void *context, const BundleItem *item);

/* A line about it, in words. */
const char *sim_bundle_fate_words(BundleFate fate);

/* Writes the nights of `logbook` to the new or replaced file `path`. `visit` may be NULL. ERROR_NOT_ALLOWED
   without nights; ERROR_FILE_WRITE. */
MODEL_CHECKED ErrorCode sim_bundle_export(const Logbook *logbook, const char *path, BundleVisit visit,
                                          void *context, Error *error);

/* Puts the nights of the file `path` into `folder` (NULL: the folder of the window's nights; made when
   missing). Nothing in the folder is overwritten or changed. What was taken before a failure stays.
   ERROR_FILE_READ, ERROR_FORMAT for a file that is no such archive, ERROR_FILE_WRITE. `visit` may be NULL. */
MODEL_CHECKED ErrorCode sim_bundle_import(const char *path, const char *folder, BundleVisit visit,
                                          void *context, Error *error);

#endif
