/* Nights as one file: what goes out comes in, twice changes nothing, nothing is overwritten, and a file that
   was tampered with, cut or is something else does no harm. */
#include "sim/bundle.h"
#include "sim/digest.h"
#include "tests/support/check_main.h"
#include "tests/support/logbook_nights.h"

#include <archive.h>
#include <archive_entry.h>
#include <sys/stat.h>
#include <unistd.h>

enum { FATES = 8, SEEN_MAX = 32 };

static char folder[64], from[128], to[128], tar[128];
static Error error;
static int seen[FATES];
static char renamed[ATTEMPT_FILE_MAX];

static void make(void) {
    strcpy(folder, "/tmp/evenkeel_bundle_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(from, sizeof from, "%s/from", folder);
    snprintf(to, sizeof to, "%s/to", folder);
    snprintf(tar, sizeof tar, "%s/all.tar", folder);
    ck_assert_int_eq(mkdir(from, 0700), 0);
    logbook_nights_make(from);
    memset(seen, 0, sizeof seen);
}

static void forget(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static void see(void *context, const BundleItem *item) {
    (void)context;
    seen[item->fate]++;
    if (item->fate == BUNDLE_RENAMED) snprintf(renamed, sizeof renamed, "%s", item->as);
}

static void export_all(const char *file) {
    Logbook *book = sim_logbook_open(from, NULL, &error);
    ck_assert_msg(sim_bundle_export(book, file, see, NULL, &error) == ERROR_OK, "%s", error.what);
    sim_logbook_free(book);
}

static ErrorCode import(const char *file) {
    memset(seen, 0, sizeof seen);
    model_error_clear(&error);
    return sim_bundle_import(file, to, see, NULL, &error);
}

static int shell(const char *format, const char *argument) {
    char command[512];
    snprintf(command, sizeof command, format, argument);
    return system(command);
}

START_TEST(nights_come_in_as_they_went_out) {
    export_all(tar);
    ck_assert_int_eq(seen[BUNDLE_WRITTEN], LOGBOOK_NIGHTS_COUNT);
    ck_assert_msg(import(tar) == ERROR_OK, "%s", error.what);
    ck_assert_int_eq(seen[BUNDLE_ADDED], LOGBOOK_NIGHTS_COUNT);
    for (int i = 0; i < LOGBOOK_NIGHTS_COUNT; i++) {
        char a[256], b[256], hex_a[DIGEST_HEX_MAX], hex_b[DIGEST_HEX_MAX];
        snprintf(a, sizeof a, "%s/%s-%s.night", from, LOGBOOK_NIGHTS[i].day, LOGBOOK_NIGHTS[i].case_id);
        snprintf(b, sizeof b, "%s/%s-%s.night", to, LOGBOOK_NIGHTS[i].day, LOGBOOK_NIGHTS[i].case_id);
        ck_assert_int_eq(sim_digest_file(a, hex_a, &error), ERROR_OK);
        ck_assert_int_eq(sim_digest_file(b, hex_b, &error), ERROR_OK);
        ck_assert_str_eq(hex_a, hex_b);
    }
    ck_assert_int_eq(import(tar), ERROR_OK);
    ck_assert_int_eq(seen[BUNDLE_HERE], LOGBOOK_NIGHTS_COUNT);
    ck_assert_int_eq(shell("test $(ls '%s' | wc -l) -eq 6", to), 0); /* and nothing was left aside */
}
END_TEST

/* POSIX tar and coreutils open it and find the sums right. */
START_TEST(other_tools_open_and_check_it) {
    export_all(tar);
    ck_assert_int_eq(
        shell("cd '%s' && mkdir t && cd t && tar xf ../all.tar && sha256sum --quiet -c SHA256SUMS", folder),
        0);
}
END_TEST

START_TEST(a_night_of_the_same_name_is_not_overwritten) {
    char path[256], hex[DIGEST_HEX_MAX], after[DIGEST_HEX_MAX];
    export_all(tar);
    ck_assert_int_eq(mkdir(to, 0700), 0);
    snprintf(path, sizeof path, "%s/2026-11-01-clots.night", to);
    FILE *file = fopen(path, "w");
    fputs("precious", file);
    fclose(file);
    ck_assert_int_eq(sim_digest_file(path, hex, &error), ERROR_OK);
    ck_assert_int_eq(import(tar), ERROR_OK);
    ck_assert_int_eq(seen[BUNDLE_RENAMED], 1);
    ck_assert_str_eq(renamed, "2026-11-01-clots-2.night");
    ck_assert_int_eq(seen[BUNDLE_ADDED], LOGBOOK_NIGHTS_COUNT - 1);
    ck_assert_int_eq(sim_digest_file(path, after, &error), ERROR_OK);
    ck_assert_str_eq(hex, after);
    ck_assert_int_eq(import(tar), ERROR_OK); /* the renamed one is known, too */
    ck_assert_int_eq(seen[BUNDLE_HERE], LOGBOOK_NIGHTS_COUNT);
}
END_TEST

/* A night that is under way, with what SQLite has not yet put into its file. */
START_TEST(a_night_left_by_a_crash_goes_out_whole) {
    char path[256], wal[272], kept[256];
    snprintf(path, sizeof path, "%s/2026-11-01-clots.night", from);
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_exec(db, "PRAGMA journal_mode=WAL; UPDATE night SET seed=4711", NULL, NULL, NULL), SQLITE_OK);
    snprintf(wal, sizeof wal, "%s-wal", path);
    ck_assert_int_eq(access(wal, F_OK), 0);
    export_all(tar);
    sqlite3_close(db);
    ck_assert_int_eq(import(tar), ERROR_OK);
    snprintf(kept, sizeof kept, "%s/2026-11-01-clots.night", to);
    JournalNight night;
    ck_assert_int_eq(sim_journal_read(kept, &night, &error), ERROR_OK);
    ck_assert_uint_eq(night.seed, 4711);
    ck_assert_int_eq(shell("ls '%s' | grep -q part", folder) != 0, 1);
}
END_TEST

START_TEST(damage_is_found_wherever_it_is) {
    enum { PLACES = 60 };
    export_all(tar);
    struct stat status;
    ck_assert_int_eq(stat(tar, &status), 0);
    int whole = 0, found = 0;
    for (int i = 0; i < PLACES; i++) {
        char bad[160];
        snprintf(bad, sizeof bad, "%s/bad.tar", folder);
        logbook_nights_copy(tar, bad);
        long at = (long)((double)status.st_size * (i + 0.5) / PLACES);
        if (i % 5 == 0) {
            ck_assert_int_eq(truncate(bad, at), 0);
        } else {
            FILE *file = fopen(bad, "r+b");
            ck_assert_int_eq(fseek(file, at, SEEK_SET), 0);
            int byte = fgetc(file);
            ck_assert_int_eq(fseek(file, at, SEEK_SET), 0);
            fputc(byte ^ 0x41, file);
            fclose(file);
        }
        ck_assert_int_eq(shell("rm -rf '%s'", to), 0);
        ErrorCode code = import(bad);
        bool said =
            code != ERROR_OK || seen[BUNDLE_DAMAGED] + seen[BUNDLE_NO_NIGHT] + seen[BUNDLE_UNLISTED] > 0;
        ck_assert_msg(said || seen[BUNDLE_ADDED] == LOGBOOK_NIGHTS_COUNT,
                      "at %ld nights were lost in silence", at);
        found += said;
        whole += !said; /* in the padding between members */
        ck_assert_int_eq(shell("test -z \"$(ls '%s' 2>/dev/null | grep part)\"", to), 0);
    }
    ck_assert_int_gt(found, PLACES / 2);
    printf("%d damages found, %d in padding\n", found, whole);
}
END_TEST

/* An archive made by somebody who means harm. */
static void write_hostile(const char *path, const char *name, int type, const char *target) {
    struct archive *a = archive_write_new();
    ck_assert_int_eq(archive_write_set_format_pax_restricted(a), ARCHIVE_OK);
    ck_assert_int_eq(archive_write_open_filename(a, path), ARCHIVE_OK);
    char sums[512];
    snprintf(sums, sizeof sums, "%064d  %s\n", 0, name);
    const char *names[] = {"SHA256SUMS", name};
    for (int i = 0; i < 2; i++) {
        struct archive_entry *entry = archive_entry_new();
        const char *text = i == 0 ? sums : "words";
        archive_entry_set_pathname(entry, names[i]);
        archive_entry_set_perm(entry, 0644);
        archive_entry_set_filetype(entry, i == 0 ? AE_IFREG : (unsigned)type);
        bool plain = i == 0 || type == AE_IFREG;
        archive_entry_set_size(entry, plain ? (int64_t)strlen(text) : 0);
        if (!plain) archive_entry_set_symlink(entry, target);
        ck_assert_int_eq(archive_write_header(a, entry), ARCHIVE_OK);
        if (plain) ck_assert_int_eq((int)archive_write_data(a, text, strlen(text)), (int)strlen(text));
        archive_entry_free(entry);
    }
    ck_assert_int_eq(archive_write_close(a), ARCHIVE_OK);
    archive_write_free(a);
}

START_TEST(hostile_archives_stay_in_their_place) {
    static const char *const NAMES[] = {"../out.night",   "/tmp/evenkeel-out.night",
                                        "a/b.night",      ".hidden.night",
                                        "plain.txt",      "x\ny.night",
                                        "night",          ".night",
                                        "-rf.night.tar.", "bell\x07.night"};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        write_hostile(tar, NAMES[i], AE_IFREG, "");
        ck_assert_msg(import(tar) == ERROR_OK, "%s: %s", NAMES[i], error.what);
        ck_assert_int_eq(seen[BUNDLE_NO_NIGHT], 1);
    }
    write_hostile(tar, "link.night", AE_IFLNK, "/etc/passwd");
    ck_assert_int_eq(import(tar), ERROR_OK);
    ck_assert_int_eq(seen[BUNDLE_NO_NIGHT], 1);
    write_hostile(tar, "good-name.night", AE_IFREG, ""); /* its sum is wrong */
    ck_assert_int_eq(import(tar), ERROR_OK);
    ck_assert_int_eq(seen[BUNDLE_DAMAGED], 1);
    ck_assert_int_eq(shell("test -z \"$(ls -A '%s')\" && test ! -e /tmp/evenkeel-out.night", to), 0);
}
END_TEST

START_TEST(what_is_no_export_is_refused) {
    char path[256];
    ck_assert_int_eq(import(folder), ERROR_FILE_READ);
    ck_assert_int_eq(import("/none/such.tar"), ERROR_FILE_READ);
    snprintf(path, sizeof path, "%s/2026-11-01-clots.night", from);
    ck_assert_int_eq(import(path), ERROR_FORMAT); /* a night itself */
    snprintf(path, sizeof path, "%s/empty.tar", folder);
    FILE *file = fopen(path, "w");
    fclose(file);
    ck_assert_int_eq(import(path), ERROR_FORMAT);
    ck_assert_str_eq(error.where, path);
    Logbook none = {.night_count = 0};
    ck_assert_int_eq(sim_bundle_export(&none, tar, NULL, NULL, &error), ERROR_NOT_ALLOWED);
    Logbook *book = sim_logbook_open(from, NULL, &error);
    snprintf(path, sizeof path, "%s/none/all.tar", folder);
    ck_assert_int_eq(sim_bundle_export(book, path, NULL, NULL, &error), ERROR_FILE_WRITE);
    sim_logbook_free(book);
}
END_TEST

/* FIPS 180-4, example for "abc"; RFC 9562 asks for version 5 and its variant. */
START_TEST(digests_are_the_published_ones) {
    Digest digest;
    char hex[DIGEST_HEX_MAX], uuid[DIGEST_UUID_MAX], again[DIGEST_UUID_MAX];
    sim_digest_begin(&digest);
    sim_digest_add(&digest, "abc", 3);
    sim_digest_end(&digest, hex);
    ck_assert_str_eq(hex, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    sim_digest_uuid("a night", uuid);
    sim_digest_uuid("a night", again);
    ck_assert_str_eq(uuid, again);
    sim_digest_uuid("another night", again);
    ck_assert_str_ne(uuid, again);
    ck_assert_int_eq(uuid[14], '5');
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/bundle");
    TCase *c = tcase_create("bundle");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, make, forget);
    tcase_add_test(c, nights_come_in_as_they_went_out);
    tcase_add_test(c, other_tools_open_and_check_it);
    tcase_add_test(c, a_night_of_the_same_name_is_not_overwritten);
    tcase_add_test(c, a_night_left_by_a_crash_goes_out_whole);
    tcase_add_test(c, damage_is_found_wherever_it_is);
    tcase_add_test(c, hostile_archives_stay_in_their_place);
    tcase_add_test(c, what_is_no_export_is_refused);
    tcase_add_test(c, digests_are_the_published_ones);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
