/* Recordings read back by the letters of the published format, not by the library that wrote them.
   Sources: Kemp and others, Electroencephalogr Clin Neurophysiol 1992;82:391-3 (EDF); Kemp and Olivan, Clin
   Neurophysiol 2003;114:1755-61 (EDF+): header of 256 bytes and 256 per signal, US-ASCII without control
   characters, samples as 16-bit two's complement, little-endian; annotations as onset, 0x14, text, 0x14, 0.
 */
#include "sim/edf.h"
#include "tests/support/check_main.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { HEADER = 256, SIGNALS_MAX = 32, RATE_HZ = 250, NIGHT_S = 12, KEPT = NIGHT_S * RATE_HZ };

static char folder[64], path[128];
static Case *night;

static void make_folder(void) {
    strcpy(folder, "/tmp/evenkeel_edf_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/night.edf", folder);
    ErrorList *errors = calloc(1, sizeof *errors);
    night = sim_case_load(EVENKEEL_SOURCE_DIR "/scenarios/clot-behind-right-heart.yaml", errors);
    ck_assert_ptr_nonnull(night);
    free(errors);
}

static void remove_folder(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    sim_case_free(night);
}

/* A file in memory, and where its signals are. */
typedef struct Recording {
    unsigned char *bytes;
    size_t size;
    int signals, records;
    size_t header, record; /* bytes */
    int samples[SIGNALS_MAX];
} Recording;

static void field(const Recording *r, size_t at, size_t width, char *text) {
    memcpy(text, r->bytes + at, width);
    text[width] = '\0';
    for (size_t i = width; i > 0 && text[i - 1] == ' '; i--)
        text[i - 1] = '\0';
}

static long number(const Recording *r, size_t at, size_t width) {
    char text[96];
    field(r, at, width, text);
    return strtol(text, NULL, 10);
}

/* Field of width `width` of signal `i`, in the block that begins `before` bytes per signal into the header.
 */
static size_t of_signal(const Recording *r, size_t before, size_t width, int i) {
    return HEADER + before * (size_t)r->signals + width * (size_t)i;
}

static Recording read_recording(void) {
    Recording r = {.bytes = NULL};
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_eq(fseek(file, 0, SEEK_END), 0);
    r.size = (size_t)ftell(file);
    rewind(file);
    r.bytes = malloc(r.size);
    ck_assert_uint_eq(fread(r.bytes, 1, r.size, file), r.size);
    fclose(file);
    r.header = (size_t)number(&r, 184, 8);
    r.records = (int)number(&r, 236, 8);
    r.signals = (int)number(&r, 252, 4);
    ck_assert_int_le(r.signals, SIGNALS_MAX);
    for (int i = 0; i < r.signals; i++) {
        r.samples[i] = (int)number(&r, of_signal(&r, 216, 8, i), 8);
        r.record += 2 * (size_t)r.samples[i];
    }
    return r;
}

static double sample_of(const Recording *r, int signal, int k) {
    size_t at = r->header + r->record * (size_t)(k / RATE_HZ);
    for (int i = 0; i < signal; i++)
        at += 2 * (size_t)r->samples[i];
    at += 2 * (size_t)(k % RATE_HZ);
    int digital = (int16_t)(r->bytes[at] | r->bytes[at + 1] << 8);
    double low = (double)number(r, of_signal(r, 104, 8, signal), 8);
    double high = (double)number(r, of_signal(r, 112, 8, signal), 8);
    double least = (double)number(r, of_signal(r, 120, 8, signal), 8);
    double most = (double)number(r, of_signal(r, 128, 8, signal), 8);
    return low + (digital - least) * (high - low) / (most - least);
}

/* Plays NIGHT_S seconds into the file, an order at the start; keeps the arterial trace and the LV's volume.
 */
static void record(double *art, double *lv_ml) {
    Error error;
    SessionOptions options = sim_session_options_none();
    Session *session = sim_session_open(night, &options, &error);
    EdfWriter *writer = sim_edf_open(path, &error);
    ck_assert_ptr_nonnull(session);
    ck_assert_ptr_nonnull(writer);
    ck_assert_int_eq(sim_session_order(session, "peep 8", &error), ERROR_OK);
    for (int k = 0; sim_session_time_s(session) < NIGHT_S;) {
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_edf_beat(writer, session, &error), ERROR_OK);
        const Beat *beat = sim_session_beat(session);
        for (int t = 0; t < beat->ticks && k < KEPT; t++, k++) {
            art[k] = sim_session_trace(session)->value[TRACE_ART][t];
            lv_ml[k] = beat->samples[t].lv_ml;
        }
    }
    ck_assert_int_ne(access(path, F_OK), 0); /* not under its name before it is complete */
    ck_assert_int_eq(sim_edf_close(writer, &error), ERROR_OK);
    sim_session_close(session);
}

static int find_signal(const Recording *r, const char *label) {
    char text[32];
    for (int i = 0; i < r->signals; i++) {
        field(r, of_signal(r, 0, 16, i), 16, text);
        if (strcmp(text, label) == 0) return i;
    }
    ck_abort_msg("no signal '%s'", label);
    return -1;
}

START_TEST(header_follows_the_format) {
    double art[KEPT], lv_ml[KEPT];
    record(art, lv_ml);
    Recording r = read_recording();
    char text[96];
    field(&r, 0, 8, text);
    ck_assert_str_eq(text, "0"); /* version */
    field(&r, 8, 80, text);
    ck_assert(strncmp(text, "SIM ", 4) == 0); /* nobody's recording */
    field(&r, 88, 80, text);
    ck_assert(strncmp(text, "Startdate 01-JAN-2000", 21) == 0);
    field(&r, 192, 44, text);
    ck_assert_str_eq(text, "EDF+C");
    ck_assert_int_eq(number(&r, 244, 8), 1); /* s a record */
    ck_assert_uint_eq(r.header, (size_t)HEADER * (size_t)(r.signals + 1));
    ck_assert_uint_eq(r.size, r.header + r.record * (size_t)r.records);
    ck_assert_int_ge(r.records, NIGHT_S);
    for (size_t i = 0; i < r.header; i++)
        ck_assert(r.bytes[i] >= 32 && r.bytes[i] <= 126);
    field(&r, of_signal(&r, 96, 8, find_signal(&r, "PAP")), 8, text);
    ck_assert_str_eq(text, "mmHg");
    free(r.bytes);
}
END_TEST

START_TEST(samples_are_those_of_the_night) {
    double art[KEPT], lv_ml[KEPT];
    record(art, lv_ml);
    Recording r = read_recording();
    int shown = find_signal(&r, "ART"), truth = find_signal(&r, "LV volume true");
    for (int k = 0; k < KEPT; k++) {
        ck_assert_double_eq_tol(sample_of(&r, shown, k), art[k], 330.0 / 65535.0);
        ck_assert_double_eq_tol(sample_of(&r, truth, k), lv_ml[k], 1000.0 / 65535.0);
    }
    free(r.bytes);
}
END_TEST

START_TEST(what_happened_is_annotated) {
    double art[KEPT], lv_ml[KEPT];
    record(art, lv_ml);
    Recording r = read_recording();
    /* each record begins its first annotation signal with the record's own time, without a text */
    int first = find_signal(&r, "EDF Annotations");
    size_t at = r.header;
    for (int i = 0; i < first; i++)
        at += 2 * (size_t)r.samples[i];
    ck_assert(memcmp(r.bytes + at, "+0\x14\x14\0", 5) == 0);
    bool found = false;
    static const char ORDER[] = "trainee: peep 8";
    for (size_t i = r.header; !found && i + sizeof ORDER < r.size; i++)
        found = memcmp(r.bytes + i, ORDER, sizeof ORDER - 1) == 0;
    ck_assert(found);
    free(r.bytes);
}
END_TEST

START_TEST(nothing_is_left_of_a_file_that_is_given_up) {
    Error error;
    EdfWriter *writer = sim_edf_open(path, &error);
    ck_assert_ptr_nonnull(writer);
    sim_edf_drop(writer);
    int left = 0;
    DIR *dir = opendir(folder);
    for (struct dirent *entry = readdir(dir); entry != NULL; entry = readdir(dir))
        left += entry->d_name[0] != '.';
    closedir(dir);
    ck_assert_int_eq(left, 0);
    ck_assert_int_eq(sim_edf_close(NULL, &error), ERROR_OK);
}
END_TEST

START_TEST(places_that_cannot_be_written_are_named) {
    Error error;
    char nowhere[192];
    snprintf(nowhere, sizeof nowhere, "%s/none/night.edf", folder);
    ck_assert_ptr_null(sim_edf_open(nowhere, &error));
    ck_assert_int_eq(error.code, ERROR_FILE_WRITE);
    ck_assert_str_eq(error.where, nowhere);
    ck_assert_ptr_null(sim_edf_open("/dev/null", &error));
    ck_assert_int_eq(error.code, ERROR_FILE_WRITE);
    ck_assert_ptr_null(sim_edf_open("-", &error));
    ck_assert_int_eq(error.code, ERROR_FILE_WRITE);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("edf");
    TCase *tests = tcase_create("edf");
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, header_follows_the_format);
    tcase_add_test(tests, samples_are_those_of_the_night);
    tcase_add_test(tests, what_happened_is_annotated);
    tcase_add_test(tests, nothing_is_left_of_a_file_that_is_given_up);
    tcase_add_test(tests, places_that_cannot_be_written_are_named);
    suite_add_tcase(s, tests);
    return s;
}

CHECK_MAIN(suite)
