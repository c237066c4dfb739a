/* What the critical reading of a case takes for impossible never happens: whatever is ordered, every
   parameter, observable and number on show stays within the ranges by which events and objectives are called
   impossible. Prints its seed. */
#include "sim/lint_parts.h"
#include "sim/session.h"

#include "model/random.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SLACK 1e-9 /* rounding of weights and back */

enum { SEED = 20261125, EVERY_S = 15 };

#define NIGHT_S 420.0

static const char *const CASES[] = {"clot-behind-right-heart", "speed-titration", "changeover-fails",
                                    "too-fast", "drains-that-run"};

static ErrorList errors; /* static: large */
static Lint lint;

static double uniform(Random *random, double low, double high) {
    return low + (high - low) * model_random_uniform(random);
}

/* An order that the case allows, within its limits or as the table's example has it. */
static void order_something(Session *session, Random *random) {
    const OrderLimits *limits = sim_session_limits(session);
    OrderId id = (OrderId)(model_random_next(random) % ORDER_COUNT);
    const OrderRow *row = sim_orders_row(id);
    char text[ORDER_TEXT_MAX];
    Error error;
    if (!limits->of[id].allowed) return;
    sim_orders_example(id, text, sizeof text);
    if (row->kind == ORDER_KIND_SETTING || row->kind == ORDER_KIND_DRIP || row->kind == ORDER_KIND_GAS)
        snprintf(text, sizeof text, "%s %.4g", row->key,
                 uniform(random, limits->of[id].low, limits->of[id].high));
    ErrorCode code = sim_session_order(session, text, &error);
    (void)code; /* refusals are as good */
}

static void check_span(ConditionSpan span, double value, const char *kind, const char *key) {
    ck_assert_msg(value >= span.low - SLACK && value <= span.high + SLACK, "%s %s: %.17g beyond %g to %g",
                  kind, key, value, span.low, span.high);
}

static void check_all(const Session *session) {
    const Parameters *parameters = sim_session_parameters(session);
    const Display *display = sim_session_display(session);
    const Observables *observables = &sim_session_beat(session)->observables;
    const Deeds deeds = sim_session_deeds(session);
    for (int i = 0; i < PARAMETER_COUNT; i++)
        check_span(lint.ranges.parameter[i], model_parameters_get(parameters, (ParameterId)i), "parameter",
                   model_parameters_row((ParameterId)i)->key);
    for (int i = 0; i < OBSERVABLE_COUNT; i++) {
        double value = model_observables_get(observables, (ObservableId)i);
        if (isfinite(value))
            check_span(lint.ranges.observable[i], value, "observable",
                       model_observables_row((ObservableId)i)->key);
    }
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        if (!display->valid[i]) continue;
        const char *key = sim_instruments_display_row((DisplayId)i)->key;
        ck_assert_msg(!lint.ranges.display[i].none, "%s is on show", key);
        check_span(lint.ranges.display[i], display->value[i], "on show", key);
    }
    for (int i = 0; i < DEED_COUNT; i++)
        check_span(lint.ranges.deed[i], deeds.value[i], "deed", sim_deeds_row((DeedId)i)->key);
}

START_TEST(lint_ranges_hold_whatever_is_ordered) {
    char path[256];
    Error error;
    Random random = model_random_seed(SEED + (uint64_t)_i);
    snprintf(path, sizeof path, EVENKEEL_SOURCE_DIR "/scenarios/%s.yaml", CASES[_i]);
    Case *night = sim_case_load(path, &errors);
    ck_assert_msg(night != NULL, "%s: %s", path, errors.items[0].what);
    memset(&lint, 0, sizeof lint);
    lint.night = night;
    sim_lint_find_ranges(&lint);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    double next_s = 0;
    while (!sim_session_ended(session) && sim_session_time_s(session) < NIGHT_S) {
        for (; sim_session_time_s(session) >= next_s; next_s += EVERY_S) {
            order_something(session, &random);
            if (next_s < 2 * EVERY_S) {
                ErrorCode code = sim_session_say(session, "look four_chamber", &error);
                (void)code; /* may be refused */
            }
        }
        ck_assert_msg(sim_session_advance(session, &error) == ERROR_OK, "%s", error.what);
        check_all(session);
    }
    sim_session_close(session);
    sim_case_free(night);
}
END_TEST

static Suite *suite(void) {
    printf("seed %d\n", SEED);
    Suite *s = suite_create("lint_ranges");
    TCase *c = tcase_create("lint_ranges");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, lint_ranges_hold_whatever_is_ordered, 0, sizeof CASES / sizeof CASES[0]);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
