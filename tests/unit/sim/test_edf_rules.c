/* A recording made by the command line, held against the published rules of EDF+ by a checker of the test's
   own, which also has to find each rule broken. Rules are named by section of the full specification of EDF+
   (edfplus.info/specs/edfplus.html; Kemp and Olivan, Clin Neurophysiol 2003;114:1755-61) and of EDF (Kemp and
   others, Electroencephalogr Clin Neurophysiol 1992;82:391-3). */
#include "tests/support/check_main.h"
#include "tests/support/program.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>

enum { HEADER = 256, SIGNALS_MAX = 64, RECORD_BYTES_MAX = 61440, WORD_MAX = 96 };

typedef struct Recording {
    unsigned char *bytes;
    long size;
    int signals, records;
    long header, record; /* bytes */
    long samples[SIGNALS_MAX];
    double duration_s;
} Recording;

static char folder[64], path[128];
static Program program;
static Recording recording;

static const char *word(const Recording *r, long at, int width) {
    static char text[WORD_MAX];
    memcpy(text, r->bytes + at, (size_t)width);
    text[width] = '\0';
    for (int i = width; i > 0 && text[i - 1] == ' '; i--)
        text[i - 1] = '\0';
    return text;
}

/* EDF+ 2.1.3: numbers without digit grouping, with a point; left-aligned, filled with spaces. */
static bool is_number(const char *text, bool whole, double *value) {
    const char *c = text;
    c += *c == '-' || *c == '+';
    if (!isdigit((unsigned char)*c)) return false;
    while (isdigit((unsigned char)*c))
        c++;
    if (!whole && *c == '.') {
        c++;
        while (isdigit((unsigned char)*c))
            c++;
    }
    *value = strtod(text, NULL);
    return *c == '\0';
}

static long of_signal(const Recording *r, long before, int width, int i) {
    return HEADER + before * r->signals + (long)width * i;
}

static bool is_annotations(const Recording *r, int i) {
    return strcmp(word(r, of_signal(r, 0, 16, i), 16), "EDF Annotations") == 0;
}

/* "02.08.51" */
static bool is_dotted(const char *text) {
    for (int i = 0; i < 8; i++) {
        if (i % 3 == 2 ? text[i] != '.' : !isdigit((unsigned char)text[i])) return false;
    }
    return text[8] == '\0';
}

/* Subfield `which` of a text separated by single spaces. */
static const char *subfield(const char *text, int which) {
    static char part[WORD_MAX];
    while (which-- > 0) {
        text += strcspn(text, " ");
        text += *text == ' ';
    }
    snprintf(part, sizeof part, "%.*s", (int)strcspn(text, " "), text);
    return part;
}

/* dd-MMM-yyyy with an English month, or X. */
static bool is_date(const char *text) {
    static const char MONTHS[] = "JAN FEB MAR APR MAY JUN JUL AUG SEP OCT NOV DEC";
    char month[4] = "";
    if (strcmp(text, "X") == 0) return true;
    if (strlen(text) != 11 || text[2] != '-' || text[6] != '-') return false;
    memcpy(month, text + 3, 3);
    return strstr(MONTHS, month) != NULL;
}

static const char *check_head(Recording *r) {
    double value = 0.0;
    char text[WORD_MAX];
    if (r->size < HEADER) return "EDF, header: 256 bytes and 256 for each signal";
    if (memcmp(r->bytes, "0       ", 8) != 0) return "EDF, header: version";
    if (!is_number(word(r, 252, 4), true, &value) || value < 1 || value > SIGNALS_MAX)
        return "EDF, header: signals";
    r->signals = (int)value;
    if (!is_number(word(r, 184, 8), true, &value) || value != HEADER * (1.0 + r->signals) ||
        value > (double)r->size)
        return "EDF, header: 256 bytes and 256 for each signal";
    r->header = (long)value;
    for (long i = 0; i < r->header; i++)
        if (r->bytes[i] < 32 || r->bytes[i] > 126) return "EDF+ 2.1.3: printable US-ASCII in the header";
    if (strcmp(word(r, 192, 44), "EDF+C") != 0) return "EDF+ 2.1.1: reserved field EDF+C";
    if (!is_dotted(word(r, 168, 8)) || !is_dotted(word(r, 176, 8)))
        return "EDF+ 2.1.3: startdate and starttime";
    snprintf(text, sizeof text, "%s", word(r, 8, 80));
    if (strstr("F M X", subfield(text, 1)) == NULL || !is_date(subfield(text, 2)) ||
        subfield(text, 3)[0] == '\0')
        return "EDF+ 2.1.3: local patient identification";
    snprintf(text, sizeof text, "%s", word(r, 88, 80));
    if (strcmp(subfield(text, 0), "Startdate") != 0 || !is_date(subfield(text, 1)) ||
        subfield(text, 4)[0] == '\0')
        return "EDF+ 2.1.3: local recording identification";
    if (!is_number(word(r, 236, 8), true, &value) || value < 1) return "EDF, header: data records";
    r->records = (int)value;
    if (!is_number(word(r, 244, 8), false, &r->duration_s) || !(r->duration_s > 0.0))
        return "EDF, header: duration of a data record";
    return NULL;
}

static const char *check_signal(Recording *r, int i) {
    double low = 0.0, high = 0.0, least = 0.0, most = 0.0, samples = 0.0;
    if (word(r, of_signal(r, 0, 16, i), 16)[0] == '\0') return "EDF, signals: label";
    if (!is_number(word(r, of_signal(r, 104, 8, i), 8), false, &low) ||
        !is_number(word(r, of_signal(r, 112, 8, i), 8), false, &high) || fabs(high - low) <= 0.0)
        return "EDF+ 2.1.3: physical minimum and maximum differ";
    if (!is_number(word(r, of_signal(r, 120, 8, i), 8), true, &least) ||
        !is_number(word(r, of_signal(r, 128, 8, i), 8), true, &most) || least >= most || least < -32768 ||
        most > 32767)
        return "EDF+ 2.1.3: digital maximum above digital minimum";
    if (!is_number(word(r, of_signal(r, 216, 8, i), 8), true, &samples) || samples < 1)
        return "EDF, signals: samples in a data record";
    r->samples[i] = (long)samples;
    r->record += 2 * r->samples[i];
    if (!is_annotations(r, i)) return NULL;
    if (fabs(least + 32768) > 0.0 || fabs(most - 32767) > 0.0)
        return "EDF+ 2.2.1: digital range of EDF Annotations";
    if (word(r, of_signal(r, 16, 80, i), 80)[0] != '\0' || word(r, of_signal(r, 96, 8, i), 8)[0] != '\0' ||
        word(r, of_signal(r, 136, 80, i), 80)[0] != '\0')
        return "EDF+ 2.2.1: other fields of EDF Annotations are spaces";
    return NULL;
}

static bool is_onset(const char **at, const char *end, double *onset) {
    const char *c = *at;
    if (c == end || (*c != '+' && *c != '-')) return false;
    char *stop = NULL;
    if (!isdigit((unsigned char)c[1])) return false;
    *onset = strtod(c, &stop);
    *at = stop;
    return stop <= end;
}

/* UTF-8 without control characters but tab, line feed and carriage return. */
static bool is_text(const char *from, const char *to) {
    for (const unsigned char *c = (const unsigned char *)from; c < (const unsigned char *)to;) {
        int more = *c < 0x80                 ? 0
                   : *c >= 0xc2 && *c < 0xe0 ? 1
                   : *c >= 0xe0 && *c < 0xf0 ? 2
                   : *c >= 0xf0 && *c < 0xf5 ? 3
                                             : -1;
        if (more < 0 || (*c < 32 && *c != 9 && *c != 10 && *c != 13)) return false;
        for (c++; more > 0; more--, c++)
            if (c >= (const unsigned char *)to || (*c & 0xc0) != 0x80) return false;
    }
    return true;
}

/* The TALs of one annotations signal in one data record; the first one keeps the time. */
static const char *check_tals(const Recording *r, const char *at, const char *end, int number, bool first,
                              int *annotations) {
    bool keeps_time = first;
    while (at < end && *at != '\0') {
        double onset = 0.0;
        if (!is_onset(&at, end, &onset)) return "EDF+ 2.2.2: onset begins with + or - and a number";
        if (at < end && *at == 0x15) {
            at++;
            if (!isdigit((unsigned char)*at)) return "EDF+ 2.2.2: duration is a number without a sign";
            at += strspn(at, "0123456789.");
        }
        if (at >= end || *at++ != 0x14) return "EDF+ 2.2.2: 20 after onset and duration";
        if (keeps_time && (*at != 0x14 || fabs(onset - number * r->duration_s) > 1e-6))
            return "EDF+ 2.2.4: each data record begins with its own time";
        while (at < end && *at != '\0') {
            const char *stop = memchr(at, 0x14, (size_t)(end - at));
            if (stop == NULL) return "EDF+ 2.2.2: 20 after each annotation";
            if (!is_text(at, stop)) return "EDF+ 2.2.3: annotations are UTF-8 text";
            *annotations += stop > at;
            at = stop + 1;
        }
        if (at >= end) return "EDF+ 2.2.2: 0 after the last annotation";
        at++;
        keeps_time = false;
    }
    if (keeps_time) return "EDF+ 2.2.4: each data record begins with its own time";
    for (; at < end; at++)
        if (*at != '\0') return "EDF+ 2.2.2: unused bytes are 0";
    return NULL;
}

static const char *check_records(const Recording *r, int *annotations) {
    for (int k = 0; k < r->records; k++) {
        const char *at = (const char *)r->bytes + r->header + (long)k * r->record;
        bool first = true;
        for (int i = 0; i < r->signals; at += 2 * r->samples[i], i++) {
            if (!is_annotations(r, i)) continue;
            const char *rule = check_tals(r, at, at + 2 * r->samples[i], k, first, annotations);
            if (rule != NULL) return rule;
            first = false;
        }
        if (first) return "EDF+ 2.2.1: at least one EDF Annotations signal";
    }
    return NULL;
}

/* The first rule that the recording breaks; NULL: none. */
static const char *broken_rule(Recording *r, int *annotations) {
    *annotations = 0;
    const char *rule = check_head(r);
    r->record = 0;
    for (int i = 0; rule == NULL && i < r->signals; i++)
        rule = check_signal(r, i);
    if (rule != NULL) return rule;
    if (r->record > RECORD_BYTES_MAX) return "EDF: a data record of at most 61440 bytes";
    if (r->size != r->header + (long)r->records * r->record)
        return "EDF: as many data records as the header says";
    return check_records(r, annotations);
}

static void make_recording(void) {
    char arguments[512];
    strcpy(folder, "/tmp/evenkeel_rules_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/night.edf", folder);
    snprintf(arguments, sizeof arguments,
             "run scenarios/speed-titration.yaml --until 20s --order '3s speed 8000' --order '8s look "
             "four_chamber' "
             "--order '12s call speed_too_low confidence 60' --edf %s",
             path);
    program_run(&program, folder, arguments);
    ck_assert_msg(program.status == 0, "%s", program.err);
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_eq(fseek(file, 0, SEEK_END), 0);
    recording = (Recording){.size = ftell(file)};
    rewind(file);
    recording.bytes = malloc((size_t)recording.size + 1);
    ck_assert_uint_eq(fread(recording.bytes, 1, (size_t)recording.size, file), (size_t)recording.size);
    recording.bytes[recording.size] = '\0';
    fclose(file);
}

static void forget_recording(void) {
    char command[128];
    free(recording.bytes);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

START_TEST(recording_keeps_every_rule) {
    int annotations = 0;
    const char *rule = broken_rule(&recording, &annotations);
    ck_assert_msg(rule == NULL, "%s", rule);
    ck_assert_int_ge(recording.records, 20);
    ck_assert_int_ge(annotations, 3); /* two orders and a look at least */
    ck_assert_double_eq_tol(recording.duration_s, 1.0, 1e-9);
}
END_TEST

/* Writes over the header or a record, and expects the rule that this breaks. */
static void expect_broken(long at, const char *bytes, size_t count, const char *rule) {
    unsigned char kept[WORD_MAX];
    int annotations = 0;
    memcpy(kept, recording.bytes + at, count);
    memcpy(recording.bytes + at, bytes, count);
    const char *found = broken_rule(&recording, &annotations);
    ck_assert_msg(found != NULL && strstr(found, rule) != NULL, "at %ld: %s, not %s", at,
                  found != NULL ? found : "nothing", rule);
    memcpy(recording.bytes + at, kept, count);
}

START_TEST(checker_finds_each_rule_broken) {
    int annotations = 0, last = 0;
    ck_assert_ptr_null(broken_rule(&recording, &annotations));
    last = recording.signals - 1;
    ck_assert(is_annotations(&recording, last));
    expect_broken(0, "1", 1, "version");
    expect_broken(192, "EDF+X", 5, "reserved field");
    expect_broken(168, "01/01/00", 8, "startdate");
    expect_broken(8, "\xe9", 1, "US-ASCII");
    expect_broken(88, "Begindate", 9, "local recording");
    expect_broken(184, "300     ", 8, "256 for each");
    expect_broken(236, "3       ", 8, "as many data records");
    expect_broken(244, "0       ", 8, "duration of a data record");
    char least[9] = "";
    memcpy(least, recording.bytes + of_signal(&recording, 104, 8, 0), 8);
    expect_broken(of_signal(&recording, 112, 8, 0), least, 8, "physical");
    expect_broken(of_signal(&recording, 128, 8, 0), "-40000  ", 8, "digital maximum");
    expect_broken(of_signal(&recording, 120, 8, 1), "1,000   ", 8, "digital maximum");
    expect_broken(of_signal(&recording, 120, 8, last), "-100    ", 8, "digital range");
    expect_broken(of_signal(&recording, 136, 80, last), "HP", 2, "are spaces");
    long tal = recording.header + recording.record;
    for (int i = 0; i < recording.signals && !is_annotations(&recording, i); i++)
        tal += 2 * recording.samples[i];
    expect_broken(tal, "1", 1, "onset begins");
    expect_broken(tal, "+7", 2, "its own time");
    expect_broken(tal, "\0\0", 2, "its own time");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/edf_rules");
    TCase *c = tcase_create("edf_rules");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, make_recording, forget_recording);
    tcase_add_test(c, recording_keeps_every_rule);
    tcase_add_test(c, checker_finds_each_rule_broken);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
