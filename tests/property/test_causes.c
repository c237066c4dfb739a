/* Every cause does what it is in the model for. A row (causes.def) sets one cause in a settled person, plays
   some minutes and compares means with an untouched twin; a cause that does nothing leaves the twin unchanged
   and fails its row. The direction comes from the source named in the row. The least size is a floor, set
   below what the model does within the minutes played, so that a cause cannot wither unseen: whether the size
   is right is what the published checks say. */
#include "sim/practice.h"
#include "sim/session.h"

#include "model/units.h"
#include "tests/support/check_main.h"
#include "tests/support/closed_loop.h"

#include <stdio.h>

enum { SETS_MAX = 6, EXPECTED_MAX = 4, MINUTES_MAX = 8, WORDS_MAX = 6 };

#define AVERAGE_S         30.0
#define SESSION_AVERAGE_S 20

/* One parameter. A list ends before PARAMETER_NONE, so that 0 is a parameter like others. */
typedef struct Setting {
    bool given;
    ParameterId id;
    double value;
} Setting;

/* One observable: it is to differ from the twin's by at least `least` (its unit), in its direction. */
typedef struct Expected {
    bool given;
    ObservableId id;
    double least;
} Expected;

#define S(key, number)                                                                                       \
    { true, PARAMETER_##key, number }
#define E(key, number)                                                                                       \
    { true, OBSERVABLE_##key, number }
#define SETS(...)                                                                                            \
    { __VA_ARGS__ }
#define EXPECT(...)                                                                                          \
    { __VA_ARGS__ }

typedef enum ContextId {
#define CONTEXT(name, person, sets) CONTEXT_##name,
#define CAUSE(...)
#define BORN(...)
#define DEED(...)
#include "tests/property/causes.def"
    CONTEXT_COUNT
} ContextId;

static const struct {
    const char *name;
    PersonId person;
    Setting sets[SETS_MAX];
} CONTEXTS[CONTEXT_COUNT] = {
#define CONTEXT(name, person, sets) {#name, PERSON_##person, sets},
#define CAUSE(...)
#define BORN(...)
#define DEED(...)
#include "tests/property/causes.def"
};

static const struct {
    ContextId context;
    const char *what, *source;
    bool born; /* set before the patient settles: what cannot change within minutes */
    int minutes;
    Setting sets[SETS_MAX];
    Expected expected[EXPECTED_MAX];
} CAUSES[] = {
#define CONTEXT(...)
#define CAUSE(context, what, minutes, source, sets, expected)                                                \
    {CONTEXT_##context, what, source, false, minutes, sets, expected},
#define BORN(context, what, minutes, source, sets, expected)                                                 \
    {CONTEXT_##context, what, source, true, minutes, sets, expected},
#define DEED(...)
#include "tests/property/causes.def"
};

enum { CAUSE_COUNT = sizeof CAUSES / sizeof CAUSES[0] };

/* What needs hands: words said in free practice to both twins, then words said to one of them only. */
static const struct {
    const char *person, *what, *source;
    double minutes;
    const char *both[WORDS_MAX], *one[WORDS_MAX];
    Expected expected[EXPECTED_MAX];
} DEEDS[] = {
#define CONTEXT(...)
#define CAUSE(...)
#define BORN(...)
#define DEED(person, what, minutes, source, both, one, expected)                                             \
    {#person, what, source, minutes, both, one, expected},
#include "tests/property/causes.def"
};

enum { HANDS_COUNT = sizeof DEEDS / sizeof DEEDS[0] };

/* Settled persons and how their untouched twins fare, minute by minute, made when first asked for. */
static struct {
    bool settled, played;
    Snapshot start;
    Observables twin[MINUTES_MAX]; /* after 1, 2... minutes */
} known[CONTEXT_COUNT];

static Error error;

static void set_all(Patient *patient, const Setting sets[SETS_MAX]) {
    for (int i = 0; i < SETS_MAX && sets[i].given; i++)
        closed_loop_set(patient, sets[i].id, sets[i].value);
}

/* Parameters of a context with a cause that is there from the beginning (NULL: none). */
static Parameters parameters_of(ContextId context, const Setting *born) {
    Parameters parameters = model_people_parameters(CONTEXTS[context].person);
    const Setting *lists[] = {CONTEXTS[context].sets, born};
    for (int list = 0; list < 2 && lists[list] != NULL; list++) {
        for (int i = 0; i < SETS_MAX && lists[list][i].given; i++) {
            ErrorCode code =
                model_parameters_set(&parameters, lists[list][i].id, lists[list][i].value, &error);
            ck_assert_msg(code == ERROR_OK, "%s: %s", CONTEXTS[context].name, error.what);
        }
    }
    return parameters;
}

static Observables play(Patient *patient, int minutes) {
    return closed_loop_run(patient, minutes * UNITS_S_PER_MIN, AVERAGE_S);
}

static Patient *start_of(ContextId context) {
    const Parameters parameters = parameters_of(context, NULL);
    if (!known[context].settled) {
        Patient *patient = closed_loop_settled(&parameters);
        model_patient_save(patient, &known[context].start);
        known[context].settled = true;
        return patient;
    }
    Patient *patient = model_patient_create(&parameters, 1, &error);
    ck_assert_msg(patient != NULL, "%s", error.what);
    ck_assert_int_eq(model_patient_restore(patient, &known[context].start, &error), ERROR_OK);
    return patient;
}

/* The longest that any cause of a context plays. */
static int longest(ContextId context) {
    int minutes = 1;
    for (int i = 0; i < CAUSE_COUNT; i++)
        if (CAUSES[i].context == context && CAUSES[i].minutes > minutes) minutes = CAUSES[i].minutes;
    return minutes;
}

static Observables twin_of(ContextId context, int minutes) {
    ck_assert(minutes >= 1 && minutes <= MINUTES_MAX);
    if (!known[context].played) {
        Patient *patient = start_of(context);
        for (int i = 0; i < longest(context); i++)
            known[context].twin[i] = closed_loop_run(patient, UNITS_S_PER_MIN, AVERAGE_S);
        model_patient_destroy(patient);
        known[context].played = true;
    }
    return known[context].twin[minutes - 1];
}

/* Compares with the twin, prints what was measured and returns how many expectations are not met. */
static int compare(const char *who, const char *what, const char *source,
                   const Expected expected[EXPECTED_MAX], const Observables *twin, const Observables *after) {
    int unmet = 0;
    for (int i = 0; i < EXPECTED_MAX && expected[i].given; i++) {
        const double before = model_observables_get(twin, expected[i].id);
        const double now = model_observables_get(after, expected[i].id);
        const double least = expected[i].least;
        const bool met = least > 0 ? now - before >= least : now - before <= least;
        printf("%-7s %-18s %-44s %-22s %8.3g to %8.3g (%+.3g, at least %+.3g) %s\n", met ? "ok" : "NOT MET",
               who, what, model_observables_row(expected[i].id)->key, before, now, now - before, least,
               met ? "" : source);
        unmet += !met;
    }
    return unmet;
}

START_TEST(causes_do_what_they_are_for) {
    int unmet = 0;
    for (int i = 0; i < CAUSE_COUNT; i++) {
        const ContextId context = CAUSES[i].context;
        Patient *patient;
        if (CAUSES[i].born) {
            const Parameters parameters = parameters_of(context, CAUSES[i].sets);
            patient = closed_loop_settled(&parameters);
        } else {
            patient = start_of(context);
            set_all(patient, CAUSES[i].sets);
        }
        const Observables after = play(patient, CAUSES[i].minutes);
        model_patient_destroy(patient);
        const Observables twin = twin_of(context, CAUSES[i].minutes);
        unmet += compare(CONTEXTS[context].name, CAUSES[i].what, CAUSES[i].source, CAUSES[i].expected, &twin,
                         &after);
    }
    ck_assert_msg(unmet == 0, "%d expectations are not met", unmet);
}
END_TEST

static void say_all(Session *session, const char *const words[WORDS_MAX]) {
    for (int i = 0; i < WORDS_MAX && words[i] != NULL; i++) {
        ErrorCode code = sim_session_say(session, words[i], &error);
        ck_assert_msg(code == ERROR_OK, "%s: %s", words[i], error.what);
    }
}

static void run_to(Session *session, double time_s) {
    ErrorCode code = sim_session_advance_to(session, time_s, &error);
    ck_assert_msg(code == ERROR_OK, "%s", error.what);
}

/* Means of the last seconds of a night of deeds; `one` may be NULL. */
static Observables play_deeds(const char *person, const char *const both[WORDS_MAX], const char *const *one,
                              double minutes) {
    Case *file = sim_practice_case(person, PRACTICE_SEED, &error);
    ck_assert_msg(file != NULL, "%s", error.what);
    Session *session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(file);
    run_to(session, 10);
    say_all(session, both);
    run_to(session, 15);
    if (one != NULL) say_all(session, one);
    const double end_s = minutes * UNITS_S_PER_MIN;
    double sum[OBSERVABLE_COUNT] = {0};
    for (int s = 0; s < SESSION_AVERAGE_S; s++) {
        run_to(session, end_s - SESSION_AVERAGE_S + s + 1);
        for (int o = 0; o < OBSERVABLE_COUNT; o++)
            sum[o] += model_observables_get(&sim_session_beat(session)->observables, (ObservableId)o);
    }
    sim_session_close(session);
    Observables means = {0};
#define O(key, unit, text) means.key = sum[OBSERVABLE_##key] / SESSION_AVERAGE_S;
#include "model/observables.def"
#undef O
    return means;
}

START_TEST(deeds_do_what_they_are_for) {
    int unmet = 0;
    for (int i = 0; i < HANDS_COUNT; i++) {
        const Observables twin = play_deeds(DEEDS[i].person, DEEDS[i].both, NULL, DEEDS[i].minutes);
        const Observables after = play_deeds(DEEDS[i].person, DEEDS[i].both, DEEDS[i].one, DEEDS[i].minutes);
        unmet += compare(DEEDS[i].person, DEEDS[i].what, DEEDS[i].source, DEEDS[i].expected, &twin, &after);
    }
    ck_assert_msg(unmet == 0, "%d expectations are not met", unmet);
}
END_TEST

/* The comparison itself: a twin compared with itself meets nothing, so that no row can pass idly. */
START_TEST(a_cause_that_does_nothing_fails) {
    const Observables twin = twin_of(CONTEXT_SUPPORTED, 1);
    Patient *patient = start_of(CONTEXT_SUPPORTED);
    const Observables again = play(patient, 1);
    model_patient_destroy(patient);
    for (int i = 0; i < CAUSE_COUNT; i++) {
        ck_assert_msg(CAUSES[i].expected[0].given && CAUSES[i].sets[0].given, "%s: empty", CAUSES[i].what);
        for (int e = 0; e < EXPECTED_MAX && CAUSES[i].expected[e].given; e++) {
            const ObservableId id = CAUSES[i].expected[e].id;
            ck_assert_double_gt(fabs(CAUSES[i].expected[e].least), 0);
            ck_assert_double_eq(model_observables_get(&twin, id), model_observables_get(&again, id));
        }
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("causes");
    TCase *c = tcase_create("causes");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, a_cause_that_does_nothing_fails);
    tcase_add_test(c, causes_do_what_they_are_for);
    tcase_add_test(c, deeds_do_what_they_are_for);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
