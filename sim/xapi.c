/* Statements of the learning-record standard, by the jansson library: the only file that knows it. Sections
   in comments are those of part two (data) of the xAPI 1.0.3 specification. */
#include "sim/xapi.h"

#include "sim/digest.h"

#include <jansson.h>

#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { IRI_MAX = 400, NAME_MAX_BYTES = 900 };

#define LANGUAGE  "en"
#define VERBS     "http://adlnet.gov/expapi/verbs/"
#define TYPES     "http://adlnet.gov/expapi/activities/"
#define EXTENSION "https://evenkeel.invalid/xapi/"
#define PERCENT   100.0

/* A text; bytes that are no UTF-8 become '?'. */
static json_t *text(const char *bytes) {
    json_t *whole = json_string(bytes);
    if (whole != NULL) return whole;
    char plain[NAME_MAX_BYTES];
    size_t i = 0;
    for (; bytes[i] != '\0' && i + 1 < sizeof plain; i++)
        plain[i] = (unsigned char)bytes[i] < 0x80 ? bytes[i] : '?';
    plain[i] = '\0';
    return json_string(plain);
}

/* 4.2: a map from language to text. */
static json_t *language_map(const char *words) {
    return json_pack("{s:o}", LANGUAGE, text(words));
}

/* 2.4.2.1, 2.4.2.4: an agent known by an account. */
static json_t *make_actor(const LogbookNight *night, const char *home) {
    const char *name = night->attempt.trainee[0] != '\0' ? night->attempt.trainee : "unnamed";
    return json_pack("{s:s, s:o, s:{s:s, s:o}}", "objectType", "Agent", "name", text(name), "account",
                     "homePage", home, "name", text(name));
}

/* 2.4.3: verbs of the vocabulary that the standard's makers keep. */
static json_t *make_verb(const char *verb) {
    char iri[IRI_MAX];
    snprintf(iri, sizeof iri, VERBS "%s", verb);
    return json_pack("{s:s, s:o}", "id", iri, "display", language_map(verb));
}

/* A part of an address: what is not allowed there becomes '-'. */
static void write_segment(char *iri, size_t size, const char *word) {
    size_t used = strlen(iri);
    for (; *word != '\0' && used + 1 < size; word++)
        iri[used++] = isalnum((unsigned char)*word) || strchr("-._", *word) != NULL ? *word : '-';
    iri[used] = '\0';
}

/* Address of the case: its id and the fingerprint of its text, so that a changed case is another activity. */
static void write_case_iri(const LogbookNight *night, const char *home, char iri[IRI_MAX]) {
    snprintf(iri, IRI_MAX, "%.200scases/", home);
    write_segment(iri, IRI_MAX - 40, night->attempt.case_id);
    size_t used = strlen(iri);
    snprintf(iri + used, IRI_MAX - used, "/%016" PRIx64, night->attempt.case_hash);
}

/* 2.4.4.1: the case as an activity. */
static json_t *make_case(const LogbookNight *night, const char *home) {
    char iri[IRI_MAX];
    write_case_iri(night, home, iri);
    return json_pack("{s:s, s:s, s:{s:s, s:o}}", "objectType", "Activity", "id", iri, "definition", "type",
                     TYPES "simulation", "name",
                     language_map(night->case_title[0] != '\0' ? night->case_title : night->attempt.case_id));
}

/* 2.4.4.1, interaction activities: which diagnosis is it? Its right answer is part of its address. */
static json_t *make_question(const LogbookNight *night, const char *home, const LogbookCall *call) {
    char iri[IRI_MAX];
    const char *truth = sim_diagnoses_row(call->truth)->key;
    write_case_iri(night, home, iri);
    size_t used = strlen(iri);
    snprintf(iri + used, sizeof iri - used, "/diagnosis/%s", truth);
    json_t *choices = json_array();
    for (int i = 0; i < DIAGNOSIS_COUNT; i++) {
        const DiagnosisRow *row = sim_diagnoses_row((DiagnosisId)i);
        json_array_append_new(
            choices, json_pack("{s:s, s:o}", "id", row->key, "description", language_map(row->label)));
    }
    return json_pack("{s:s, s:s, s:{s:s, s:o, s:s, s:[s], s:o}}", "objectType", "Activity", "id", iri,
                     "definition", "type", TYPES "cmi.interaction", "name",
                     language_map("What is wrong with the patient now?"), "interactionType", "choice",
                     "correctResponsesPattern", truth, "choices", choices);
}

/* 4.6: a duration in hours, minutes and seconds. */
static void write_duration(double seconds, char iso[48]) {
    int64_t whole = (int64_t)floor(fmax(seconds, 0.0));
    snprintf(iso, 48, "PT%" PRId64 "H%" PRId64 "M%" PRId64 "S", whole / 3600, whole / 60 % 60, whole % 60);
}

/* 4.1: keys are IRIs; only what is known is said. */
static void extend(json_t *extensions, const char *name, json_t *value) {
    char iri[IRI_MAX];
    snprintf(iri, sizeof iri, EXTENSION "%s", name);
    json_object_set_new(extensions, iri, value);
}

static void extend_seconds(json_t *extensions, const char *name, double seconds) {
    if (isfinite(seconds) && seconds >= 0.0) extend(extensions, name, json_real(seconds));
}

/* 2.4.5, 2.4.5.1: score with scaled, raw, min and max. */
static json_t *make_night_result(const LogbookNight *night) {
    char duration[48];
    write_duration(night->attempt.reached_s, duration);
    json_t *extensions = json_object();
    json_t *result =
        json_pack("{s:b, s:s}", "completion", (int)night->attempt.complete, "duration", duration);
    if (night->most > 0.0)
        json_object_set_new(result, "score",
                            json_pack("{s:f, s:f, s:f, s:f}", "scaled", sim_logbook_score(night), "raw",
                                      fmin(fmax(night->got, 0.0), night->most), "min", 0.0, "max",
                                      night->most));
    extend_seconds(extensions, "onset-s", night->onset_s);
    extend_seconds(extensions, "first-sign-s", night->sign_s);
    extend_seconds(extensions, "recognition-s", night->recognition_s);
    extend_seconds(extensions, "answer-s", night->answer_s);
    if (isfinite(night->in_target)) extend(extensions, "inside-targets-share", json_real(night->in_target));
    if (isfinite(night->brier)) extend(extensions, "predictions-brier", json_real(night->brier));
    if (night->outcome[0] != '\0') extend(extensions, "outcome", text(night->outcome));
    if (json_object_size(extensions) > 0)
        json_object_set_new(result, "extensions", extensions);
    else
        json_decref(extensions);
    return result;
}

static json_t *make_call_result(const LogbookCall *call) {
    json_t *extensions = json_object();
    extend(extensions, "confidence", json_real(call->confidence_percent / PERCENT));
    extend_seconds(extensions, "case-time-s", call->time_s);
    return json_pack("{s:b, s:s, s:o}", "success", call->right == 2, "response",
                     sim_diagnoses_row(call->called)->key, "extensions", extensions);
}

/* Everything that makes a night this night. */
static void write_night_name(const LogbookNight *night, char name[NAME_MAX_BYTES]) {
    const Attempt *a = &night->attempt;
    snprintf(name, NAME_MAX_BYTES, "%s|%s|%s|%016" PRIx64 "|%" PRIu64 "|%s", a->begun, a->trainee, a->case_id,
             a->case_hash, a->seed, a->build);
}

/* 2.4.6: the night as a registration, and how it was set up. */
static json_t *make_context(const LogbookNight *night) {
    char name[NAME_MAX_BYTES], registration[DIGEST_UUID_MAX], revision[32];
    write_night_name(night, name);
    sim_digest_uuid(name, registration);
    snprintf(revision, sizeof revision, "%016" PRIx64, night->attempt.case_hash);
    json_t *extensions = json_object();
    char seed[32]; /* a text: 64 bits do not fit a number of JSON */
    snprintf(seed, sizeof seed, "%" PRIu64, night->attempt.seed);
    extend(extensions, "seed", text(seed));
    extend(extensions, "build", text(night->attempt.build));
    if (night->level > 0) extend(extensions, "level", json_integer(night->level));
    if (night->theme[0] != '\0') extend(extensions, "theme", text(night->theme));
    return json_pack("{s:s, s:s, s:s, s:s, s:o}", "registration", registration, "platform", "Evenkeel",
                     "revision", revision, "language", LANGUAGE, "extensions", extensions);
}

/* 4.5: "2026-11-25T21:04:09Z" and nothing else. */
static bool is_timestamp(const char *stamp) {
    static const char FORM[] = "dddd-dd-ddTdd:dd:ddZ";
    if (strlen(stamp) != strlen(FORM)) return false;
    for (size_t i = 0; FORM[i] != '\0'; i++) {
        if (FORM[i] == 'd' ? !isdigit((unsigned char)stamp[i]) : stamp[i] != FORM[i]) return false;
    }
    return true;
}

/* 2.4: a statement; takes over the references to its parts. `what` tells it from others of the night. */
static json_t *make_statement(const LogbookNight *night, const char *home, const char *what, const char *verb,
                              json_t *object, json_t *result) {
    char name[NAME_MAX_BYTES], id[DIGEST_UUID_MAX];
    write_night_name(night, name);
    size_t used = strlen(name);
    snprintf(name + used, sizeof name - used, "|%s", what);
    sim_digest_uuid(name, id);
    json_t *statement =
        json_pack("{s:s, s:o, s:o, s:o, s:o, s:o}", "id", id, "actor", make_actor(night, home), "verb",
                  make_verb(verb), "object", object, "result", result, "context", make_context(night));
    if (statement != NULL && is_timestamp(night->attempt.begun))
        json_object_set_new(statement, "timestamp", text(night->attempt.begun));
    return statement;
}

static bool add_night(json_t *statements, const Logbook *book, int number, const char *home) {
    const LogbookNight *night = &book->night[number];
    char what[64];
    snprintf(what, sizeof what, "%s at %.0f", night->attempt.complete ? "completed" : "suspended",
             night->attempt.reached_s);
    bool whole =
        json_array_append_new(
            statements, make_statement(night, home, what, night->attempt.complete ? "completed" : "suspended",
                                       make_case(night, home), make_night_result(night))) == 0;
    for (int i = night->first_call; i < night->first_call + night->call_count && whole; i++) {
        const LogbookCall *call = &book->call[i];
        if (call->called >= DIAGNOSIS_COUNT || call->truth >= DIAGNOSIS_COUNT) continue;
        snprintf(what, sizeof what, "call %d at %.0f", i - night->first_call, call->time_s);
        whole = json_array_append_new(statements, make_statement(night, home, what, "answered",
                                                                 make_question(night, home, call),
                                                                 make_call_result(call))) == 0;
    }
    return whole;
}

/* True for http or https with a host and no sign that an address cannot hold. */
static bool is_address(const char *home) {
    size_t scheme = strncmp(home, "https://", 8) == 0 ? 8 : strncmp(home, "http://", 7) == 0 ? 7 : 0;
    if (scheme == 0 || !isalnum((unsigned char)home[scheme])) return false;
    for (const char *c = home; *c != '\0'; c++) {
        if (!isgraph((unsigned char)*c) || strchr("\"<>\\^`{|}", *c) != NULL) return false;
    }
    return strlen(home) < IRI_MAX / 2;
}

ErrorCode sim_xapi_write(const Logbook *book, const char *home, FILE *out, Error *error) {
    char base[IRI_MAX];
    if (home == NULL) home = XAPI_HOME_STANDARD;
    if (!is_address(home)) {
        model_error_set(error, ERROR_RANGE, "'%.80s' is no address of a home page", home);
        model_error_allow(error, "for example https://hospital.example/trainees");
        return ERROR_RANGE;
    }
    snprintf(base, sizeof base, "%s%s", home, home[strlen(home) - 1] == '/' ? "" : "/");
    json_t *statements = json_array();
    bool whole = statements != NULL;
    for (int i = 0; i < book->night_count && whole; i++)
        whole = add_night(statements, book, i, base);
    ErrorCode code = ERROR_OK;
    if (!whole)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the statements");
    else if (json_dumpf(statements, out, JSON_INDENT(2) | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(9)) != 0 ||
             fputc('\n', out) == EOF)
        code = model_error_set(error, ERROR_FILE_WRITE, "cannot write the statements");
    json_decref(statements);
    return code;
}
