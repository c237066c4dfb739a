/* Whatever is ordered, in whatever order: the night goes on or says why not, its numbers stay finite, and the
   same orders read back from its log give the same night. Random text is never taken for an order that was
   not written. */
#include "model/random.h"
#include "sim/casefolder.h"
#include "sim/plan.h"
#include "sim/session.h"
#include "tests/support/check_main.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NIGHTS = 9, TEXTS = 20000 };

static const uint64_t SEED = 771;
static const double NIGHT_S = 240.0;
static const double ORDER_EVERY_S = 8.0;

static CaseFolder cases;
static Error error;

static Session *open_case(const char *name, uint64_t seed) {
    static ErrorList errors;
    char path[1024];
    snprintf(path, sizeof path, "%s/scenarios/%s", EVENKEEL_SOURCE_DIR, name);
    Case *case_file = sim_case_load(path, &errors);
    ck_assert_msg(case_file != NULL, "%s: %s", path, errors.items[0].what);
    SessionOptions options = sim_session_options_none();
    options.seed_given = true;
    options.seed = seed;
    Session *session = sim_session_open(case_file, &options, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(case_file);
    return session;
}

/* Any order of the table, with a value anywhere in (and sometimes beside) its range. */
static Order any_order(Random *random) {
    Order order = {.id = (OrderId)(model_random_next(random) % ORDER_COUNT)};
    const OrderRow *row = sim_orders_row(order.id);
    double share = 1.1 * model_random_uniform(random) - 0.05;
    order.value = row->low + share * (row->high - row->low);
    bool off = model_random_uniform(random) < 0.15;
    switch (row->kind) {
    case ORDER_KIND_FLUID:
        order.act = off                                  ? ORDER_ACT_STOP
                    : model_random_uniform(random) < 0.5 ? ORDER_ACT_BOLUS
                                                         : ORDER_ACT_INFUSION;
        order.duration_s = order.act == ORDER_ACT_BOLUS ? 60.0 + 600.0 * model_random_uniform(random) : 0.0;
        break;
    case ORDER_KIND_ACTION:
        order.act = ORDER_ACT_DO;
        order.value = 0.0;
        break;
    case ORDER_KIND_PACING:
        order.act = off ? ORDER_ACT_OFF : ORDER_ACT_SET;
        order.pacing = off ? ORDER_PACING_OFF : (OrderPacing)(1 + model_random_next(random) % 3);
        break;
    case ORDER_KIND_DRIP:
    case ORDER_KIND_GAS:
        order.act = off ? ORDER_ACT_OFF : ORDER_ACT_SET;
        break;
    case ORDER_KIND_SETTING:
        order.act = ORDER_ACT_SET;
        break;
    }
    return order;
}

/* Plays one beat; the numbers a person reads must stay finite. */
static bool play_beat(Session *session, uint64_t seed) {
    ErrorCode code = sim_session_advance(session, &error);
    ck_assert_msg(code == ERROR_OK, "seed %" PRIu64 " at %.1f s: %s", seed, sim_session_time_s(session),
                  error.what);
    const Observables *o = &sim_session_beat(session)->observables;
    ck_assert_msg(isfinite(o->art_mean_mmhg) && isfinite(o->cvp_mmhg) && isfinite(o->blood_volume_ml),
                  "seed %" PRIu64 " at %.1f s: a number is not finite", seed, sim_session_time_s(session));
    return !sim_session_ended(session) && sim_session_time_s(session) < NIGHT_S;
}

/* The night of `given` again, from the words of its log. */
static uint64_t repeat_from_log(const Session *given, const char *name, uint64_t seed) {
    Session *again = open_case(name, seed);
    double end_s = sim_session_time_s(given);
    int64_t next = 0, count = sim_session_log_count(given);
    for (bool on = true; on;) {
        for (; next < count; next++) {
            const LogEntry *entry = sim_session_log_entry(given, next);
            if (entry->time_s > sim_session_time_s(again) + 0.001) break;
            if (entry->kind == LOG_ORDER)
                ck_assert_msg(sim_session_order(again, entry->text, &error) == ERROR_OK,
                              "'%s' of the log: %s", entry->text, error.what);
        }
        on = sim_session_time_s(again) < end_s - 0.001 && (play_beat(again, seed), true);
    }
    uint64_t hash = sim_session_hash(again);
    sim_session_close(again);
    return hash;
}

START_TEST(random_nights_stay_finite_and_repeat_from_their_log) {
    ck_assert_int_eq(sim_casefolder_find(&cases, &error), ERROR_OK);
    int given = 0, refused = 0;
    for (int n = 0; n < NIGHTS; n++) {
        uint64_t seed = SEED + (uint64_t)n;
        Random random = model_random_seed(seed);
        const char *name = cases.names[n % cases.count];
        Session *session = open_case(name, seed);
        double next_order_s = 0.0;
        do {
            if (sim_session_time_s(session) < next_order_s) continue;
            next_order_s += ORDER_EVERY_S;
            Order order = any_order(&random);
            model_error_clear(&error);
            ErrorCode code = sim_session_give(session, &order, &error);
            ck_assert_msg(code == ERROR_OK || error.what[0] != '\0', "an order is refused without a word");
            *(code == ERROR_OK ? &given : &refused) += 1;
        } while (play_beat(session, seed));
        ck_assert_msg(repeat_from_log(session, name, seed) == sim_session_hash(session),
                      "seed %" PRIu64 ", %s: the log gives another night", seed, name);
        sim_session_close(session);
    }
    printf("seeds %" PRIu64 " to %" PRIu64 ": %d orders given, %d refused\n", SEED, SEED + NIGHTS - 1, given,
           refused);
    ck_assert_int_gt(given, NIGHTS * 5);
}
END_TEST

START_TEST(random_text_never_harms_the_reader_of_orders) {
    static const char *const seeds[] = {"20min speed 9400", "1h bolus crystalloid 250mL over 10min",
                                        "90s milrinone 0.25 load 50mcg/kg over 10min", "5min pacing both 90",
                                        "10min norepinephrine off"};
    static Plan plan;
    Random random = model_random_seed(SEED);
    int taken = 0;
    for (int i = 0; i < TEXTS; i++) {
        char text[64];
        snprintf(text, sizeof text, "%s", seeds[i % 5]);
        size_t length = strlen(text);
        int changes = 1 + (int)(model_random_next(&random) % 4);
        for (int k = 0; k < changes; k++)
            text[model_random_next(&random) % length] = (char)(1 + model_random_next(&random) % 255);
        model_error_clear(&error);
        plan.count = 0;
        if (sim_plan_add(&plan, text, "f", 1, NULL, &error) != ERROR_OK) {
            ck_assert_msg(error.what[0] != '\0', "'%s' is refused without a word", text);
            continue;
        }
        /* taken: then its words say the same again */
        char words[ORDER_TEXT_MAX], again_words[ORDER_TEXT_MAX];
        Order again;
        sim_orders_format(&plan.items[0].act.order, words, sizeof words);
        ck_assert_msg(sim_orders_parse(words, NULL, &again, &error) == ERROR_OK, "'%s' from '%s': %s", words,
                      text, error.what);
        sim_orders_format(&again, again_words, sizeof again_words);
        ck_assert_str_eq(words, again_words);
        taken++;
    }
    ck_assert_int_gt(taken, 50);
    ck_assert_int_lt(taken, TEXTS / 2);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("property/random_nights");
    TCase *c = tcase_create("random_nights");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, random_nights_stay_finite_and_repeat_from_their_log);
    tcase_add_test(c, random_text_never_harms_the_reader_of_orders);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
