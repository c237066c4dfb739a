/* Random acts of trainee and instructor through nights of random cases: whatever is said, nothing breaks, a
   refusal changes nothing, the same words at the same times make the same night, and so does what is left of
   them when time was taken back. Prints its seed. */
#include "sim/practice.h"
#include "sim/session.h"

#include "model/people.h"
#include "model/random.h"
#include "tests/support/check_main.h"

#include <stdio.h>
#include <string.h>

enum { SEED = 20261125, NIGHTS = 6, ACTS = 60, WORDS_MAX = 200 };

static Error error;

/* Parts that words are put together from, right and wrong ones. */
static const char *const parts[] = {
    "look",
    "four_chamber",
    "short_axis",
    "inflow",
    "end",
    "call",
    "tamponade",
    "bleeding",
    "well",
    "confidence",
    "50",
    "101",
    "kind",
    "surgical",
    "volume",
    "plan",
    "predict",
    "speed 9000",
    "speed 8200",
    "milrinone 0.5",
    "norepinephrine 0.1",
    "bolus crystalloid 100mL over 1min",
    ":",
    "cvp up,",
    "art_mean same,",
    "pump_flow down,",
    "sure 3",
    "skip",
    "note",
    "bookmark",
    "hands",
    "#",
    "set",
    "rv_ees_mmhg_ml 0.2",
    "systemic_resistance_x 0.9",
    "over 60s",
    "pause",
    "acknowledge",
    "limit",
    "art_mean_mmhg low 55",
    "\xff\xc3",
    "9e99",
    "instructor",
    "fire",
    "delay",
    "by 1min",
    "mark",
    "truth",
    "freeze",
    "pump",
    "say",
    "nurse",
    "take_back",
    "30s",
};

/* Whole acts, so that most of what is said is understood. */
static const char *const wholes[] = {
    "look four_chamber",
    "look end",
    "look inflow",
    "call hypovolaemia confidence 40",
    "call well confidence 90 plan wait",
    "predict speed 9100 : pump_flow up, cvp same, art_mean up, sure 3",
    "predict speed 8700 : skip",
    "note it is late",
    "bookmark",
    "set rv_ees_mmhg_ml 0.15 over 2min",
    "set systemic_resistance_x 0.8",
    "set pulmonary_resistance_x 2 over 90s",
    "norepinephrine 0.08",
    "bolus colloid 100mL over 2min",
    "pause",
    "pause end",
    "limit art_mean_mmhg low 58",
    "predict norepinephrine 0.2 : art_mean up, cvp up, pump_flow down, sure 2",
    "set left_pump_powered 1",
    "predict peep 9 : cvp up, art_mean down, pump_flow down, sure 4",
    "freeze pump",
    "freeze end",
    "say nurse: nothing new",
    "truth tamponade",
    "truth well",
    "mark well seen",
    "instructor norepinephrine 0.1",
    "instructor bolus crystalloid 50mL over 1min",
    "take_back 20s",
    "take_back 1min",
    "take_back 3min",
};

static size_t pick(Random *random, size_t count) {
    size_t i = (size_t)(model_random_uniform(random) * (double)count);
    return i < count ? i : count - 1;
}

static void make_words(Random *random, char words[WORDS_MAX]) {
    if (model_random_uniform(random) < 0.6) {
        snprintf(words, WORDS_MAX, "%s", wholes[pick(random, sizeof wholes / sizeof wholes[0])]);
        return;
    }
    size_t used = 0, count = 1 + pick(random, 8);
    words[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        used += (size_t)snprintf(words + used, WORDS_MAX - used, "%s%s", i > 0 ? " " : "",
                                 parts[pick(random, sizeof parts / sizeof parts[0])]);
        if (used >= WORDS_MAX) break;
    }
}

typedef struct Told {
    double time_s;
    bool instructor;
    char words[WORDS_MAX];
} Told;

static void run_to(Session *session, double time_s) {
    if (sim_session_advance_to(session, time_s, &error) != ERROR_OK) ck_abort_msg("%s", error.what);
}

static Session *open_night(uint64_t night) {
    Case *file = sim_practice_case(model_people_key((PersonId)(night % PERSON_COUNT)), 100 + night, &error);
    ck_assert_msg(file != NULL, "%s", error.what);
    Session *session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(file);
    ck_assert(sim_session_keep(session));
    return session;
}

/* Says it as a plan does, or with the instructor's voice alone. */
static ErrorCode say(Session *session, const char *words, bool instructor) {
    return sim_session_say_as(session, instructor ? SESSION_VOICE_INSTRUCTOR : SESSION_VOICE_PLAN, words,
                              &error);
}

/* The night once more without what was taken back: only what its log still holds is said. */
static void repeat_from_log(const Session *session, Session *again) {
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (!sim_records_repeats(entry->kind, entry->from)) continue;
        run_to(again, entry->time_s);
        bool instructor = strcmp(entry->from, RECORDS_FROM_INSTRUCTOR) == 0;
        ErrorCode code = sim_session_say_as(
            again, instructor ? SESSION_VOICE_INSTRUCTOR : SESSION_VOICE_TRAINEE, entry->text, &error);
        ck_assert_msg(code == ERROR_OK, "%s: %s", entry->text, error.what);
    }
    run_to(again, sim_session_time_s(session));
}

START_TEST(random_acts_never_break_and_always_repeat) {
    static Told told[ACTS];
    uint64_t night = 7 * (uint64_t)_i + 2;
    Random random = model_random_seed(SEED + night);
    Session *session = open_night(night), *again = open_night(night), *left = open_night(night);
    int taken = 0;
    for (int i = 0; i < ACTS; i++) {
        run_to(session, sim_session_time_s(session) + 12 * model_random_uniform(&random));
        char words[WORDS_MAX];
        make_words(&random, words);
        uint64_t before = sim_session_hash(session);
        int64_t log = sim_session_log_count(session);
        bool instructor = model_random_uniform(&random) < 0.3;
        double time_s = sim_session_time_s(session);
        if (say(session, words, instructor) == ERROR_OK) {
            told[taken].time_s = time_s;
            told[taken].instructor = instructor;
            memcpy(told[taken++].words, words, sizeof words);
            continue;
        }
        ck_assert_msg(error.what[0] != '\0', "no reason for refusing \"%s\"", words);
        ck_assert_msg(sim_session_hash(session) == before && sim_session_log_count(session) == log,
                      "seed %d night %d: refused \"%s\" but something changed", SEED, (int)night, words);
    }
    ck_assert_int_ge(taken, ACTS / 5);
    run_to(session, sim_session_time_s(session) + 60);
    for (int i = 0; i < taken; i++) {
        run_to(again, told[i].time_s);
        ck_assert_int_eq(say(again, told[i].words, told[i].instructor), ERROR_OK);
    }
    run_to(again, sim_session_time_s(session));
    ck_assert_msg(sim_session_hash(session) == sim_session_hash(again), "seed %d night %d does not repeat",
                  SEED, (int)night);
    ck_assert_int_eq(sim_session_log_count(session), sim_session_log_count(again));
    repeat_from_log(session, left);
    ck_assert_msg(sim_session_hash(session) == sim_session_hash(left),
                  "seed %d night %d: what was taken back still counts", SEED, (int)night);
    printf("seed %d, night %d: %d of %d said, %d times taken back\n", SEED, (int)night, taken, ACTS,
           (int)sim_session_takes(session));
    sim_session_close(left);
    sim_session_close(session);
    sim_session_close(again);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("random acts");
    TCase *c = tcase_create("random_acts");
    tcase_set_timeout(c, 300);
    tcase_add_loop_test(c, random_acts_never_break_and_always_repeat, 0, NIGHTS);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
