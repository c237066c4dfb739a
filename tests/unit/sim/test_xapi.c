/* Statements against the published rules: Experience API 1.0.3, part two (data), by section. The checks are
   the test's own and read the file as a record store would. */
#include "sim/xapi.h"
#include "tests/support/check_main.h"
#include "tests/support/logbook_nights.h"

#include <ctype.h>
#include <jansson.h>
#include <math.h>

static char folder[64];
static Error error;
static Logbook *book;

static void make(void) {
    strcpy(folder, "/tmp/evenkeel_xapi_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    logbook_nights_make(folder);
    book = sim_logbook_open(folder, NULL, &error);
    ck_assert_msg(book != NULL, "%s", error.what);
}

static void forget(void) {
    char command[128];
    sim_logbook_free(book);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

/* What the command would write, read back. */
static json_t *statements(const char *home) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_msg(sim_xapi_write(book, home, out, &error) == ERROR_OK, "%s", error.what);
    fclose(out);
    json_error_t why;
    /* 2.2: a property no more than once */
    json_t *read = json_loads(text, JSON_REJECT_DUPLICATES, &why);
    ck_assert_msg(read != NULL, "line %d: %s", why.line, why.text);
    free(text);
    return read;
}

/* 2.2: only the properties that the specification has, none of them null or an empty object. */
static void only(const json_t *object, const char *allowed) {
    const char *key;
    json_t *value;
    ck_assert(json_is_object(object));
    json_object_foreach((json_t *)object, key, value) {
        char word[64];
        snprintf(word, sizeof word, " %s ", key);
        ck_assert_msg(strstr(allowed, word) != NULL, "2.2: property %s is not allowed here", key);
        ck_assert_msg(!json_is_null(value), "2.2: %s is null", key);
        ck_assert_msg(!json_is_object(value) || json_object_size(value) > 0, "2.2: %s is empty", key);
    }
}

static const char *text_of(const json_t *object, const char *key, const char *section) {
    const char *text = json_string_value(json_object_get(object, key));
    ck_assert_msg(text != NULL && text[0] != '\0', "%s: no text in %s", section, key);
    return text;
}

/* 4.3, and RFC 3987: a scheme, a colon, no spaces, no signs that are excluded. */
static void is_iri(const char *iri, const char *section) {
    const char *c = iri;
    ck_assert_msg(isalpha((unsigned char)*c), "%s: %s has no scheme", section, iri);
    while (isalnum((unsigned char)*c) || strchr("+-.", *c) != NULL)
        c++;
    ck_assert_msg(*c == ':' && c[1] != '\0', "%s: %s has no scheme", section, iri);
    for (c = iri; *c != '\0'; c++)
        ck_assert_msg((unsigned char)*c > 0x20 && strchr("<>\"{}|\\^`", *c) == NULL, "%s: %s", section, iri);
}

/* 4.4: UUIDs in the form of RFC 4122: 8-4-4-4-12 lower-case hexadecimal digits, variant 10xx, version 4 or 5.
 */
static void is_uuid(const char *uuid, const char *section) {
    ck_assert_msg(strlen(uuid) == 36, "%s: %s", section, uuid);
    for (int i = 0; i < 36; i++) {
        bool dash = i == 8 || i == 13 || i == 18 || i == 23;
        ck_assert_msg(dash ? uuid[i] == '-'
                           : isxdigit((unsigned char)uuid[i]) && !isupper((unsigned char)uuid[i]),
                      "%s: %s", section, uuid);
    }
    ck_assert_msg(uuid[14] == '5' || uuid[14] == '4', "%s: version of %s", section, uuid);
    ck_assert_msg(strchr("89ab", uuid[19]) != NULL, "%s: variant of %s", section, uuid);
}

/* 4.2: a language map has tags of RFC 5646 as keys and texts as values. */
static void is_language_map(const json_t *map, const char *section) {
    const char *key;
    json_t *value;
    ck_assert_msg(json_object_size(map) > 0, "%s: an empty language map", section);
    json_object_foreach((json_t *)map, key, value) {
        size_t first = strcspn(key, "-");
        ck_assert_msg(first >= 2 && first <= 8, "%s: tag %s", section, key);
        for (size_t i = 0; i < first; i++)
            ck_assert_msg(isalpha((unsigned char)key[i]), "%s: tag %s", section, key);
        ck_assert_msg(json_is_string(value), "%s: no text", section);
    }
}

/* 4.1: keys of extensions are IRIs. */
static void are_extensions(const json_t *extensions) {
    const char *key;
    json_t *value;
    if (extensions == NULL) return;
    json_object_foreach((json_t *)extensions, key, value) is_iri(key, "4.1");
}

static int two(const char *text) {
    ck_assert(isdigit((unsigned char)text[0]) && isdigit((unsigned char)text[1]));
    return 10 * (text[0] - '0') + text[1] - '0';
}

/* 4.5: ISO 8601 in the form of RFC 3339, and not -00. */
static void is_timestamp(const char *t) {
    ck_assert_msg(strlen(t) >= 20 && t[4] == '-' && t[7] == '-' && t[10] == 'T' && t[13] == ':' &&
                      t[16] == ':' && t[strlen(t) - 1] == 'Z',
                  "4.5: %s", t);
    ck_assert_msg(two(t) >= 19 && two(t + 5) >= 1 && two(t + 5) <= 12 && two(t + 8) >= 1 && two(t + 8) <= 31,
                  "4.5: %s", t);
    ck_assert_msg(two(t + 11) < 24 && two(t + 14) < 60 && two(t + 17) <= 60, "4.5: %s", t);
}

/* 4.6: ISO 8601 durations: P, then T before hours, minutes, seconds in this order, at least one of them. */
static void is_duration(const char *d, double seconds) {
    double value[3] = {0};
    static const char UNITS[] = "HMS";
    ck_assert_msg(d[0] == 'P' && d[1] == 'T' && d[2] != '\0', "4.6: %s", d);
    const char *at = d + 2;
    for (int unit = 0; *at != '\0'; unit++) {
        char *end = NULL;
        ck_assert_msg(isdigit((unsigned char)*at), "4.6: %s", d);
        double number = strtod(at, &end);
        while (unit < 3 && UNITS[unit] != *end)
            unit++;
        ck_assert_msg(unit < 3, "4.6: %s", d);
        value[unit] = number;
        at = end + 1;
    }
    ck_assert_double_eq_tol(3600 * value[0] + 60 * value[1] + value[2], seconds, 1.0);
}

/* 2.4.2.1, 2.4.2.3, 2.4.2.4: an agent with exactly one inverse functional identifier. */
static void check_actor(const json_t *actor) {
    only(actor, " objectType name mbox mbox_sha1sum openid account ");
    ck_assert_str_eq(text_of(actor, "objectType", "2.4.2.1"), "Agent");
    int identifiers = 0;
    static const char *const IDENTIFIERS[] = {"mbox", "mbox_sha1sum", "openid", "account"};
    for (int i = 0; i < 4; i++)
        identifiers += json_object_get(actor, IDENTIFIERS[i]) != NULL;
    ck_assert_msg(identifiers == 1, "2.4.2.3: %d identifiers", identifiers);
    const json_t *account = json_object_get(actor, "account");
    only(account, " homePage name ");
    const char *home = text_of(account, "homePage", "2.4.2.4");
    is_iri(home, "2.4.2.4");
    ck_assert_msg(strstr(home, "://") != NULL, "2.4.2.4: %s is no IRL", home);
    text_of(account, "name", "2.4.2.4");
}

/* 2.4.3: id an IRI, display a language map in the past tense of the verb's meaning. */
static void check_verb(const json_t *verb) {
    only(verb, " id display ");
    is_iri(text_of(verb, "id", "2.4.3"), "2.4.3");
    is_language_map(json_object_get(verb, "display"), "2.4.3");
    ck_assert_msg(strstr(text_of(verb, "id", "2.4.3"), "voided") == NULL, "2.3.2: reserved");
}

/* 2.4.4.1: an activity; interaction activities have their own properties. */
static void check_object(const json_t *object) {
    only(object, " objectType id definition ");
    ck_assert_str_eq(text_of(object, "objectType", "2.4.4"), "Activity");
    is_iri(text_of(object, "id", "2.4.4.1"), "2.4.4.1");
    const json_t *definition = json_object_get(object, "definition");
    only(definition,
         " name description type moreInfo extensions interactionType correctResponsesPattern choices ");
    is_language_map(json_object_get(definition, "name"), "2.4.4.1");
    is_iri(text_of(definition, "type", "2.4.4.1"), "2.4.4.1");
    if (strstr(text_of(definition, "type", "2.4.4.1"), "cmi.interaction") == NULL) return;
    ck_assert_str_eq(text_of(definition, "interactionType", "2.4.4.1"), "choice");
    const json_t *choices = json_object_get(definition, "choices");
    const json_t *correct = json_object_get(definition, "correctResponsesPattern");
    ck_assert_int_eq((int)json_array_size(correct), 1);
    bool listed = false;
    for (size_t i = 0; i < json_array_size(choices); i++) {
        const json_t *choice = json_array_get(choices, i);
        only(choice, " id description ");
        const char *id = text_of(choice, "id", "2.4.4.1");
        /* no spaces, and different within the list */
        ck_assert_msg(strchr(id, ' ') == NULL, "2.4.4.1: %s", id);
        for (size_t k = 0; k < i; k++)
            ck_assert_str_ne(id, text_of(json_array_get(choices, k), "id", "2.4.4.1"));
        is_language_map(json_object_get(choice, "description"), "2.4.4.1");
        listed = listed || strcmp(id, json_string_value(json_array_get(correct, 0))) == 0;
    }
    ck_assert_msg(listed, "2.4.4.1: the right response is none of the choices");
}

/* 2.4.5.1: scaled from -1 to 1; raw between min and max; min below max. */
static void check_score(const json_t *score) {
    if (score == NULL) return;
    only(score, " scaled raw min max ");
    double scaled = json_number_value(json_object_get(score, "scaled"));
    double raw = json_number_value(json_object_get(score, "raw"));
    double min = json_number_value(json_object_get(score, "min"));
    double max = json_number_value(json_object_get(score, "max"));
    ck_assert_msg(scaled >= -1 && scaled <= 1, "2.4.5.1: scaled %g", scaled);
    ck_assert_msg(min < max && raw >= min && raw <= max, "2.4.5.1: %g <= %g <= %g", min, raw, max);
}

static void check_result(const json_t *result) {
    only(result, " score success completion response duration extensions ");
    check_score(json_object_get(result, "score"));
    const json_t *success = json_object_get(result, "success"), *done = json_object_get(result, "completion");
    ck_assert_msg(success == NULL || json_is_boolean(success), "2.4.5: success");
    ck_assert_msg(done == NULL || json_is_boolean(done), "2.4.5: completion");
    if (json_object_get(result, "duration") != NULL) is_duration(text_of(result, "duration", "2.4.5"), 60);
    are_extensions(json_object_get(result, "extensions"));
}

/* 2.4.6: registration a UUID, platform and revision only beside an activity, language a tag. */
static void check_context(const json_t *context, const json_t *object) {
    only(context,
         " registration instructor team contextActivities revision platform language statement extensions ");
    is_uuid(text_of(context, "registration", "2.4.6"), "2.4.6");
    ck_assert_str_eq(text_of(object, "objectType", "2.4.6"), "Activity");
    text_of(context, "platform", "2.4.6");
    ck_assert_str_eq(text_of(context, "language", "2.4.6"), "en");
    are_extensions(json_object_get(context, "extensions"));
}

START_TEST(statements_follow_the_published_rules) {
    json_t *all = statements("https://hospital.example/trainees");
    ck_assert_msg(json_is_array(all), "part three, 2.1.2: a list of statements is an array");
    int calls = 0;
    for (size_t i = 0; i < json_array_size(all); i++) {
        const json_t *statement = json_array_get(all, i);
        only(statement,
             " id actor verb object result context timestamp stored authority version attachments ");
        is_uuid(text_of(statement, "id", "2.4.1"), "2.4.1");
        check_actor(json_object_get(statement, "actor"));
        check_verb(json_object_get(statement, "verb"));
        check_object(json_object_get(statement, "object"));
        check_result(json_object_get(statement, "result"));
        check_context(json_object_get(statement, "context"), json_object_get(statement, "object"));
        is_timestamp(text_of(statement, "timestamp", "2.4.7"));
        /* 2.4.8, 2.4.9: these are the record store's to say */
        ck_assert(json_object_get(statement, "stored") == NULL &&
                  json_object_get(statement, "authority") == NULL);
        for (size_t k = 0; k < i; k++)
            ck_assert_str_ne(text_of(statement, "id", "2.4.1"),
                             text_of(json_array_get(all, k), "id", "2.4.1"));
        calls += strstr(text_of(json_object_get(statement, "verb"), "id", "2.4.3"), "answered") != NULL;
    }
    ck_assert_int_eq(calls, 5);
    ck_assert_int_eq((int)json_array_size(all), LOGBOOK_NIGHTS_COUNT + calls);
    json_decref(all);
}
END_TEST

START_TEST(statements_say_what_came_of_the_night) {
    json_t *all = statements(NULL);
    const json_t *first = json_array_get(all, 0), *call = json_array_get(all, 1);
    const json_t *last = json_array_get(all, json_array_size(all) - 1);
    const json_t *score = json_object_get(json_object_get(first, "result"), "score");
    ck_assert_double_eq_tol(json_number_value(json_object_get(score, "scaled")), 0.2, 1e-9);
    ck_assert_double_eq_tol(json_number_value(json_object_get(score, "raw")), 20, 1e-9);
    ck_assert(json_is_true(json_object_get(json_object_get(first, "result"), "completion")));
    ck_assert(json_is_false(json_object_get(json_object_get(call, "result"), "success")));
    ck_assert_str_eq(text_of(json_object_get(call, "result"), "response", "2.4.5"), "right_failure");
    /* one night is one registration; the night that was left is suspended */
    ck_assert_str_eq(text_of(json_object_get(first, "context"), "registration", "2.4.6"),
                     text_of(json_object_get(call, "context"), "registration", "2.4.6"));
    ck_assert_ptr_nonnull(strstr(text_of(json_object_get(last, "verb"), "id", "2.4.3"), "suspended"));
    ck_assert(json_is_false(json_object_get(json_object_get(last, "result"), "completion")));
    json_decref(all);
}
END_TEST

/* 2.4.1, 2.3.1: sent again, a statement has the same id and the same content. */
START_TEST(statements_are_the_same_each_time) {
    json_t *once = statements(NULL), *again = statements(NULL);
    ck_assert(json_equal(once, again));
    json_decref(once);
    json_decref(again);
}
END_TEST

START_TEST(names_of_any_bytes_are_texts) {
    snprintf(book->night[0].attempt.trainee, sizeof book->night[0].attempt.trainee, "A\xff\xfe\"\n");
    snprintf(book->night[1].attempt.begun, sizeof book->night[1].attempt.begun, "yesterday");
    json_t *all = statements(NULL);
    ck_assert_str_eq(text_of(json_object_get(json_array_get(all, 0), "actor"), "name", "2.4.2"), "A??\"\n");
    ck_assert_ptr_null(json_object_get(json_array_get(all, 2), "timestamp")); /* 2.4.7: optional */
    json_decref(all);
}
END_TEST

START_TEST(home_pages_that_are_none_are_refused) {
    static const char *const HOMES[] = {
        "", "hospital", "ftp://a", "https://", "https://a b", "https://a/\"x", "http:///x"};
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    for (size_t i = 0; i < sizeof HOMES / sizeof HOMES[0]; i++)
        ck_assert_msg(sim_xapi_write(book, HOMES[i], out, &error) == ERROR_RANGE, "'%s' was taken", HOMES[i]);
    fclose(out);
    free(text);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/xapi");
    TCase *c = tcase_create("xapi");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, make, forget);
    tcase_add_test(c, statements_follow_the_published_rules);
    tcase_add_test(c, statements_say_what_came_of_the_night);
    tcase_add_test(c, statements_are_the_same_each_time);
    tcase_add_test(c, names_of_any_bytes_are_texts);
    tcase_add_test(c, home_pages_that_are_none_are_refused);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
